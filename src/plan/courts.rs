//! Courtyards: rooms inside the building that are named as open to the sky. Their walls are exterior.
//!
//! ```text
//!   ┏━━━━━━━━━━━━━┓
//!   ┃  ┏━━━━━━━┓  ┃      the ring round the court is walked the other way: its outside is the court
//!   ┃  ┃ COURT ┃  ┃
//!   ┃  ┗━━━━━━━┛  ┃
//!   ┗━━━━━━━━━━━━━┛
//! ```

use super::assemble::{Part, Traced};
use super::faces::Ring;
use super::outline::{contains, doubled_area, polygon, stretches};
use super::{OpeningKind, Storey, codes};
use crate::drawing::Text;
use crate::findings::{Finding, Place as Where};

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
pub(super) fn is_open(name: &str) -> bool {
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

/// Rings of rooms that are courtyards: named so, and nowhere at the building's edge.
pub(super) fn courts<'a>(it: &Traced<'_>, rooms: &[&'a Ring], outside: &[Part]) -> Vec<&'a Ring> {
    let texts = it.drawing.texts.iter();
    let texts: Vec<&Text> = texts.filter(|text| is_open(&text.content)).collect();
    if texts.is_empty() {
        return Vec::new();
    }
    let named = |ring: &&&Ring| {
        let outline = polygon(it.runs, &stretches(it.network, &ring.sides), 1.0);
        doubled_area(&outline) > 0.0
            && texts
                .iter()
                .any(|text| contains(&outline, text.middle - it.lines.origin))
    };
    rooms
        .iter()
        .filter(named)
        .filter(|ring| is_inner(it, ring, outside))
        .copied()
        .collect()
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

/// A doubt for each room that may be a courtyard: nothing is written in it, all walls round it are like those outside and others
/// inside are not, and a window looks into it.
pub(super) fn ask(
    it: &Traced<'_>,
    rooms: &[&Ring],
    parts: &[Part],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    let outside: Vec<Part> = parts.iter().filter(|it| it.is_exterior).copied().collect();
    let of = |part: &Part| it.runs[part.run].thickness;
    let thinnest = outside.iter().map(of).fold(f64::INFINITY, f64::min);
    let is_thick = |run: usize| it.runs[run].thickness >= thinnest - ALIKE;
    if parts.iter().all(|part| is_thick(part.run)) {
        return;
    }
    for ring in rooms {
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
        if !has_window || !walk.iter().all(|own| is_thick(own.run)) || !is_inner(it, ring, &outside)
        {
            continue;
        }
        let outline = polygon(it.runs, &walk, 1.0);
        let area = doubled_area(&outline) / 288.0;
        let mut texts = it.drawing.texts.iter();
        let is_named = texts.any(|text| contains(&outline, text.middle - it.lines.origin));
        let Some(at) = outline.first().map(|p| *p + it.lines.origin) else {
            continue;
        };
        if area < LEAST || is_named {
            continue;
        }
        findings.push(Finding::doubt(
            codes::COURTYARD,
            Where {
                storey: Some(storey.id.clone()),
                ..Where::default()
            }
            .with_at(at.x, at.y),
            format!("{area:.0} sq ft inside the building have no name, walls like those outside all round, and a window: perhaps a courtyard; taken as a room"),
            "if it is open to the sky, write COURTYARD in it in the drawing: then its walls are exterior; if it is a room, give it its name",
        ));
    }
}

/// The walls round a courtyard, their outside on the right.
pub(super) fn parts(it: &Traced<'_>, ring: &Ring) -> Vec<Part> {
    let walk = stretches(it.network, &ring.sides);
    let parts = walk.iter().rev().map(|own| Part {
        run: own.run,
        from: own.to,
        to: own.from,
        is_exterior: true,
    });
    parts.collect()
}

/// A fault for each courtyard: its walls are known, and no panels are made for them yet.
pub(super) fn note(
    it: &Traced<'_>,
    courts: &[&Ring],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    for ring in courts {
        let outline = polygon(it.runs, &stretches(it.network, &ring.sides), 1.0);
        let area = doubled_area(&outline) / 288.0;
        let Some(at) = outline.first().map(|p| *p + it.lines.origin) else {
            continue;
        };
        findings.push(Finding::fault(
            codes::COURTYARD,
            Where {
                storey: Some(storey.id.clone()),
                ..Where::default()
            }
            .with_at(at.x, at.y),
            format!("{area:.0} sq ft inside the building are a courtyard by its name: its walls are exterior, and no panels are made for them"),
            "if it is not open to the sky, give it another name in the drawing; else have these walls framed on site, or draw them as a building of their own",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::findings::Severity;
    use crate::plan::codes;
    use crate::plan::trial::{recovered_among, sides};

    /// What is said of a place inside a house with a partition from it to the outside, its walls `thick` and a window in one.
    fn said(name: &str, thick: f64) -> Vec<Severity> {
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
        let words = [("LIVING", [100.0, 100.0]), (name, [300.0, 240.0])];
        let words = &words[..if name.is_empty() { 1 } else { 2 }];
        let found = recovered_among(&lines, &[], words).findings;
        let own = found.iter().filter(|it| it.code == codes::COURTYARD);
        own.map(|it| it.severity).collect()
    }

    #[test]
    fn a_place_inside_with_walls_like_those_outside_is_asked_about() {
        assert_eq!(said("", 6.0), [Severity::Doubt]);
        assert_eq!(said("COURTYARD", 6.0), [Severity::Fault]);
        assert_eq!(said("LIBRARY", 6.0), []);
        assert_eq!(said("", 4.0), []);
    }
}
