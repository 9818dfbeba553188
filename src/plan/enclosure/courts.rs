//! Courtyards: rooms inside the building that are open to the sky, by their name, by the job or by their walls. Their walls are exterior.
//!
//! ```text
//!   ┏━━━━━━━━━━━━━┓
//!   ┃  ┏━━━━━━━┓  ┃      the ring round the court is walked the other way: its outside is the court
//!   ┃  ┃ COURT ┃  ┃
//!   ┃  ┗━━━━━━━┛  ┃
//!   ┗━━━━━━━━━━━━━┛
//! ```

use crate::drawing::Text;
use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Part, Traced};
use crate::plan::enclosure::faces::Ring;
use crate::plan::enclosure::outline::{contains, doubled_area, point_within, polygon, stretches};
use crate::plan::walls::openings::middle_of;
use crate::plan::{OpeningKind, Storey, codes};
use crate::side_by_side::in_stretches;
use geo::Coord;

/// Words for a place under the sky, in nine languages; common practice, no source.
const WORDS: [&str; 16] = [
    "COURTYARD",
    "PATIO",
    "ATRIUM",
    "LIGHT WELL",
    "OPEN TO SKY",
    "INNENHOF",
    "LICHTHOF",
    "HOF",
    "COUR",
    "CORTILE",
    "SISÄPIHA",
    "PIHA",
    "ДВОР",
    "庭院",
    "中庭",
    "天井",
];

/// True when a name says that a place is open to the sky.
pub(in crate::plan) fn is_open(name: &str) -> bool {
    let upper = name.to_uppercase();
    let words: Vec<&str> = upper.split(|c: char| !c.is_alphanumeric()).collect();
    WORDS.iter().any(|word| {
        if word.chars().count() > 4 || !word.is_ascii() {
            upper.contains(word)
        } else {
            words.contains(word)
        }
    })
}

/// What says that a room is a courtyard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Witness {
    Name,
    Job,
    /// Walls like those outside all round, and a window.
    Walls,
}

/// A room of the arrangement that is open to the sky.
pub(in crate::plan) struct Court<'a> {
    pub ring: &'a Ring,
    witness: Witness,
}

/// Rings of rooms that are courtyards, by the job, by their name or by their walls, and nowhere at the building's edge.
pub(in crate::plan) fn courts<'a>(
    it: &Traced<'_>,
    rooms: &[&'a Ring],
    outside: &[Part],
) -> Vec<Court<'a>> {
    let texts = it.drawing.texts.iter();
    let texts: Vec<&Text> = texts.filter(|text| is_open(&text.content)).collect();
    let thinnest = outside.iter().map(|part| it.runs[part.run].thickness);
    let least = thinnest.fold(f64::INFINITY, f64::min) - ALIKE;
    let own = it.runs.iter().zip(&it.network.stops);
    let mut own = own.filter(|(_, stops)| !stops.is_empty());
    let has_partitions = own.any(|(run, _)| run.thickness < least);
    let witness = |ring: &Ring| {
        let outline = polygon(it.runs, &stretches(it.network, &ring.sides), 1.0);
        let holds = |p: &Coord<f64>| contains(&outline, *p);
        let mut names = texts.iter().map(|text| text.middle - it.lines.origin);
        if it.inner_places.open.iter().any(holds) {
            Some(Witness::Job)
        } else if it.inner_places.roofed.iter().any(holds) {
            None
        } else if doubled_area(&outline) > 0.0 && names.any(|p| holds(&p)) {
            Some(Witness::Name)
        } else if has_partitions && looks_open(it, ring, &outline, least) {
            Some(Witness::Walls)
        } else {
            None
        }
    };
    in_stretches(rooms.len(), |part| {
        let found = rooms[part].iter().filter_map(|ring| {
            let witness = witness(ring)?;
            is_inner(it, ring, outside).then_some(Court { ring, witness })
        });
        found.collect()
    })
}

/// True for a room nowhere at the building's edge.
fn is_inner(it: &Traced<'_>, ring: &Ring, outside: &[Part]) -> bool {
    !stretches(it.network, &ring.sides).iter().any(|own| {
        let (low, high) = (own.from.min(own.to), own.from.max(own.to));
        outside.iter().any(|part| {
            let (from, to) = (part.from.min(part.to), part.from.max(part.to));
            part.run == own.run && high.min(to) - low.max(from) > 1.0
        })
    })
}

/// Walls are like the outside ones where they are as thick within this, inches.
const ALIKE: f64 = 0.25;
/// A place under the sky is at least this large, square feet; less is a shaft.
const LEAST: f64 = 30.0;

/// True when a room has walls at least so thick all round, a window that looks into it, and nothing written in it.
fn looks_open(it: &Traced<'_>, ring: &Ring, outline: &[Coord<f64>], least: f64) -> bool {
    let walk = stretches(it.network, &ring.sides);
    let has_window = walk.iter().any(|own| {
        let (low, high) = (own.from.min(own.to), own.from.max(own.to));
        it.by_run[own.run].iter().any(|k| {
            let judged = &it.openings[*k];
            let middle = f64::midpoint(judged.u0, judged.u1);
            let is_window = judged.kind == OpeningKind::Window && judged.evidence.is_drawn();
            is_window && judged.has_jambs && middle > low && middle < high
        })
    });
    let mut texts = it.drawing.texts.iter();
    has_window
        && walk.iter().all(|own| it.runs[own.run].thickness >= least)
        && doubled_area(outline) / 288.0 >= LEAST
        && !texts.any(|text| contains(outline, text.middle - it.lines.origin))
}

/// The middles of what opens into a courtyard, drawing coordinates.
fn opening_into(it: &Traced<'_>, ring: &Ring) -> Vec<Coord<f64>> {
    let walk = stretches(it.network, &ring.sides);
    let own = walk.iter().flat_map(|own| {
        let (low, high) = (own.from.min(own.to), own.from.max(own.to));
        let openings = it.by_run[own.run].iter().map(|k| &it.openings[*k]);
        openings.filter(move |judged| judged.u0 > low && judged.u1 < high)
    });
    own.map(|judged| middle_of(it.runs, judged) + it.lines.origin)
        .collect()
}

/// The walls round a courtyard, their outside on the right.
pub(in crate::plan) fn parts(it: &Traced<'_>, ring: &Ring) -> Vec<Part> {
    let walk = stretches(it.network, &ring.sides);
    let parts = walk.iter().rev().map(|own| Part {
        run: own.run,
        from: own.to,
        to: own.from,
        is_exterior: true,
    });
    parts.collect()
}

/// A finding for each courtyard: its walls are known, and no panels are made for them yet. One by its walls alone is asked.
pub(in crate::plan) fn note(
    it: &Traced<'_>,
    courts: &[Court<'_>],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    for court in courts {
        let outline = polygon(it.runs, &stretches(it.network, &court.ring.sides), 1.0);
        let area = doubled_area(&outline) / 288.0;
        let Some(at) = point_within(&outline).map(|p| p + it.lines.origin) else {
            continue;
        };
        let place = Where {
            storey: Some(storey.id.clone()),
            ..Where::default()
        }
        .with_at(at.x, at.y);
        let by = match court.witness {
            Witness::Name => "by its name",
            Witness::Job => "by the job",
            Witness::Walls => {
                let said = format!(
                    "{area:.0} sq ft inside the building have no name, walls like those outside all round, and a window: taken as a courtyard, its walls exterior and without panels"
                );
                let openings = opening_into(it, court.ring).into_iter();
                let openings = openings.map(|p| place.clone().with_at(p.x, p.y));
                for place in std::iter::once(place.clone()).chain(openings) {
                    findings.push(Finding::doubt(
                        codes::COURTYARD,
                        place,
                        said.clone(),
                        "say in the job what this place is: exterior if it is open to the sky, interior if it is a room; or write its name in it",
                    ));
                }
                continue;
            }
        };
        findings.push(Finding::fault(
            codes::COURTYARD,
            place,
            format!("{area:.0} sq ft inside the building are a courtyard {by}: its walls are exterior, and no panels are made for them"),
            "if it is not open to the sky, give it another name in the drawing; else have these walls framed on site, or draw them as a building of their own",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::findings::{Finding, Severity};
    use crate::plan::trial::{corrected, recovered_among, sides};
    use crate::plan::{CorrectionIntent, codes};

    /// A house with a place inside, with a partition from it to the outside, its walls `thick` and a window in one.
    fn house(thick: f64) -> Vec<[f64; 4]> {
        let mut lines = sides(0.0, 0.0, 600.0, 480.0);
        lines.extend(sides(6.0, 6.0, 594.0, 474.0));
        lines.extend(sides(200.0, 150.0, 400.0, 330.0));
        lines.extend(sides(
            200.0 + thick,
            150.0 + thick,
            400.0 - thick,
            330.0 - thick,
        ));
        for y in [238.0, 242.0] {
            lines.extend([[6.0, y, 200.0, y], [400.0, y, 594.0, y]]);
        }
        for (low, high) in [(0.0, 6.0), (150.0, 150.0 + thick)] {
            let middle = f64::midpoint(low, high);
            lines.push([280.0, low, 280.0, high]);
            lines.push([320.0, low, 320.0, high]);
            lines.push([280.0, middle, 320.0, middle]);
        }
        lines
    }

    /// What is said of the place.
    fn said(name: &str, thick: f64) -> Vec<Severity> {
        let words = [("LIVING", [100.0, 100.0]), (name, [300.0, 240.0])];
        let words = &words[..if name.is_empty() { 1 } else { 2 }];
        let found = recovered_among(&house(thick), &[], words).findings;
        let own = found.iter().filter(|it| it.code == codes::COURTYARD);
        own.map(|it| it.severity).collect()
    }

    #[test]
    fn a_place_inside_with_walls_like_those_outside_is_asked_about() {
        // There, and at its window.
        assert_eq!(said("", 6.0), [Severity::Doubt; 2]);
        assert_eq!(said("COURTYARD", 6.0), [Severity::Fault]);
        assert_eq!(said("LIBRARY", 6.0), []);
        assert_eq!(said("", 4.0), []);
    }

    /// How many exterior walls the house has, and what is asked, after a correction at a point.
    fn answered(
        thick: f64,
        at: [f64; 2],
        intent: Option<CorrectionIntent>,
    ) -> (usize, Vec<Severity>) {
        let found = corrected(
            &house(thick),
            &[("LIVING", [100.0, 100.0])],
            (at, None),
            intent,
        );
        let asks = |it: &&Finding| [codes::COURTYARD, codes::ORPHAN_CORRECTION].contains(&it.code);
        let asked = found.findings.iter().filter(asks);
        let walls = &found.output.storeys[0].walls;
        let exterior = walls.iter().filter(|wall| wall.is_exterior).count();
        (exterior, asked.map(|it| it.severity).collect())
    }

    #[test]
    fn the_job_says_whether_a_place_inside_is_open_to_the_sky() {
        let within = [300.0, 240.0];
        assert_eq!(answered(6.0, within, None), (8, vec![Severity::Doubt; 2]));
        let room = Some(CorrectionIntent::Interior);
        let open = Some(CorrectionIntent::Exterior);
        for at in [within, [397.0, 200.0]] {
            assert_eq!(answered(6.0, at, room), (4, vec![]), "{at:?}");
            assert_eq!(
                answered(6.0, at, open),
                (8, vec![Severity::Fault]),
                "{at:?}"
            );
        }
        assert_eq!(answered(4.0, within, open), (8, vec![Severity::Fault]));
        assert_eq!(answered(4.0, within, None), (4, vec![]));
    }
}
