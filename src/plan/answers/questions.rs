//! What recovery leaves open, as findings: in plain words, with a place and a default.

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::axis::{Axis, distance};
use crate::plan::dimensions::allowed;
use crate::plan::enclosure::heated::holds_vehicles;
use crate::plan::enclosure::outline::contains;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::jambs_and_leaves_between;
use crate::plan::walls::openings::{EXACT, Judged, is_glass_on_a_door_layer};
use crate::plan::walls::piers::LEAST_PIER;
use crate::plan::{OpeningKind, Storey, Wall, codes};
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};

/// A gap in an outside wall wider than this with nothing in it is asked as a gap, inches.
const WIDE: f64 = 96.0;

/// Glass doors that slide are at least this wide, inches: 5 ft to the frame, 1.5 m. Source: common practice, no source.
const SLIDER: f64 = 57.0;

/// Doubts about openings: bare jambs, wide gaps, sizes that disagree.
pub(in crate::plan) fn ask_about_openings(
    it: &Traced<'_>,
    storey: &Storey,
    asked: &[usize],
    findings: &mut Vec<Finding>,
) {
    let at_corners = meeting_at_corners(storey);
    let exterior: BTreeSet<&str> = storey
        .walls
        .iter()
        .filter(|wall| wall.is_exterior)
        .map(|wall| wall.id.as_str())
        .collect();
    // Openings stand in the order in which they were made.
    for (k, opening) in asked.iter().zip(&storey.openings) {
        let (id, judged) = (&opening.id, &it.openings[*k]);
        let is_exterior = exterior.contains(opening.wall.as_str());
        let place = Where::element(&storey.id, id)
            .with_at(opening.centre.x, opening.centre.y)
            .with_sources(opening.sources.iter());
        if let Some((callout, reading)) = judged.callout
            && (judged.width() - reading.width).abs() > allowed(it.lines.slack) + reading.rounding
            // Drawn to the unit, an opening is narrower than its rough opening.
            && !(it.place.callouts[callout].is_rough && judged.width() < reading.width)
        {
            // What is a whole unit's rounding off is told; more, on an outside wall, is asked.
            let is_asked = is_exterior && judged.width() - reading.width > EXACT;
            let make = if is_asked {
                Finding::doubt
            } else {
                Finding::note
            };
            findings.push(make(
                codes::CALL_OUT_WIDTH,
                place.clone(),
                format!(
                    "{id} in {} is drawn {:.2} in wide, and the size {} beside it says {:.2} in",
                    opening.wall, judged.width(), it.place.callouts[callout].text, reading.width
                ),
                "check which is right; the jambs as drawn are taken, which fits a rough opening or a frame",
            ));
        }
        if !is_exterior {
            continue;
        }
        if opening.kind == OpeningKind::GarageDoor
            && judged.callout.is_none()
            && has_posts(it, judged)
        {
            findings.push(Finding::doubt(
                codes::BARE_JAMBS,
                place.clone(),
                "posts stand in an opening as wide as a vehicle door: glass between posts looks so too",
                "say in the job what it is; taken as a vehicle door until then",
            ));
        } else if opening.kind == OpeningKind::GarageDoor && !is_for_vehicles(it, storey, judged) {
            findings.push(Finding::doubt(
                codes::BARE_JAMBS,
                place.clone(),
                "one leaf closes an opening as wide as a vehicle door, and nothing else says what it is",
                "say in the job what it is; taken as a vehicle door until then",
            ));
        }
        let written = judged.callout.and_then(|(i, _)| it.place.callouts[i].kind);
        if opening.kind == OpeningKind::Window
            && written.is_none()
            && judged.width() >= SLIDER
            && is_glass_on_a_door_layer(judged)
        {
            findings.push(Finding::doubt(
                codes::BARE_JAMBS,
                place.clone(),
                "two panes and sills are drawn as in a window, and the layer or block is named for doors",
                "say in the job what it is; taken as a window until then",
            ));
        }
        if let Some(door) = judged.evidence.between_lights {
            findings.push(Finding::note(
                codes::PIER,
                place.clone(),
                format!(
                    "{id} in {} is a door of {door:.1} in between lights: taken as one rough opening of {:.1} in",
                    opening.wall,
                    judged.width()
                ),
                "nothing, if one header spans them; else say in the job how wide each opening is",
            ));
        } else if let Some((wide, jamb)) = pier(it, judged) {
            let jamb = jamb + it.lines.origin;
            findings.push(Finding::doubt(
                codes::PIER,
                place.clone().with_at(jamb.x, jamb.y),
                format!(
                    "a line crosses the wall within {id} in {}, and no glass and no leaf is drawn over the {wide:.1} in beside it: a pier of wall may be missing",
                    opening.wall
                ),
                "check where the opening ends; its outermost jambs are taken",
            ));
        }
        if judged.in_corner || at_corners.contains(opening.id.as_str()) {
            findings.push(Finding::doubt(
                codes::IN_CORNER,
                place,
                format!("{id} in {} runs into the corner: no wall stands there", opening.wall),
                "check what carries the corner; the opening is taken up to where the walls' centre lines meet, the longer of two to the outer face",
            ));
        } else if judged.is_bare() && judged.width() > WIDE {
            findings.push(Finding::doubt(
                codes::LONG_GAP,
                place,
                format!("a gap wider than {:.0} ft has nothing in it", WIDE / 12.0),
                "say whether it is an opening or two walls; taken as an opening without door or window",
            ));
        } else if opening.kind == OpeningKind::Opening
            || !judged.has_jambs && !judged.evidence.fits
            || judged.evidence.swings.is_empty() && !judged.evidence.speaks() && !judged.is_agreed()
        {
            findings.push(Finding::doubt(
                codes::BARE_JAMBS,
                place,
                if judged.evidence.speaks() && !judged.has_jambs {
                    "an opening has no jambs: it is taken to end where the wall's faces do"
                } else {
                    "nothing is drawn in an opening that says what it is"
                },
                format!(
                    "say in the job what it is; taken as {} until then",
                    with_article(opening.kind)
                ),
            ));
        }
    }
}

/// A post between two openings is at least this thick, inches: a stud on edge with its finish. Source: common practice, no source.
pub(in crate::plan) const LEAST_POST: f64 = 2.25;

/// Doubts about openings of one outside wall that stand nearer each other than any post is thick.
pub(in crate::plan) fn ask_about_posts(storey: &Storey, findings: &mut Vec<Finding>) {
    let outside = storey.walls.iter().filter(|wall| wall.is_exterior);
    let walls: BTreeSet<&str> = outside.map(|wall| wall.id.as_str()).collect();
    for pair in storey.openings.windows(2) {
        let [one, other] = pair else { continue };
        let apart = other.near - one.near - one.width;
        if one.wall != other.wall
            || !walls.contains(one.wall.as_str())
            || !(0.0..LEAST_POST).contains(&apart)
        {
            continue;
        }
        let at = (one.centre + other.centre) / 2.0
            + (other.centre - one.centre) * ((one.width - other.width) / 4.0)
                / distance(one.centre, other.centre).max(1e-9);
        findings.push(Finding::doubt(
            codes::PIER,
            Where::element(&storey.id, &one.id).with_at(at.x, at.y),
            format!(
                "{} and {} in {} stand {apart:.1} in apart: no wall fits between them, and one opening with a mullion looks so",
                one.id, other.id, one.wall
            ),
            "if it is one opening, say its width in the job; taken as two until then",
        ));
    }
}

/// Openings of two walls end at one corner when their ends are this near each other, as a share of the thicker wall: at the inner
/// faces of both it is 0.71, and nothing but a post can stand there.
const AT_CORNER: f64 = 0.75;

/// Where an opening of an outside wall ends.
struct Ending<'a> {
    opening: &'a str,
    wall: &'a Wall,
    ends: [Coord<f64>; 2],
}

/// The openings that end at the same corner as one of another wall, with no wall between them, by id.
fn meeting_at_corners(storey: &Storey) -> BTreeSet<&str> {
    let outside = storey.walls.iter().filter(|wall| wall.is_exterior);
    let walls: BTreeMap<&str, &Wall> = outside.map(|wall| (wall.id.as_str(), wall)).collect();
    let endings = storey.openings.iter().filter_map(|it| {
        let wall = *walls.get(it.wall.as_str())?;
        let axis = Axis::through(wall.start, wall.end)?;
        let ends = [-0.5, 0.5].map(|half| it.centre + axis.along * (half * it.width));
        Some(Ending {
            opening: &it.id,
            wall,
            ends,
        })
    });
    let endings: Vec<Ending<'_>> = endings.collect();
    let index = Nearby::points(endings.iter().flat_map(|it| it.ends));
    let thickest = endings.iter().map(|it| it.wall.thickness);
    let reach = AT_CORNER * thickest.fold(0.0, f64::max);
    let meets = |own: &Ending<'_>, end: Coord<f64>| {
        index.any_within(end, reach, |k| {
            let other = &endings[k / 2];
            let reach = AT_CORNER * own.wall.thickness.max(other.wall.thickness);
            other.wall.id != own.wall.id && distance(end, other.ends[k % 2]) <= reach
        })
    };
    let corner = endings
        .iter()
        .filter(|own| own.ends.iter().any(|end| meets(own, *end)));
    corner.map(|it| it.opening).collect()
}

fn with_article(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::Door => "a door",
        OpeningKind::Window => "a window",
        OpeningKind::Opening => "an opening without door or window",
        OpeningKind::GarageDoor => "a vehicle door",
    }
}

/// Vehicle doors are made this wide, inches: 7, 8, 9, 10, 12, 14, 15, 16, 18 and 20 ft; 2.25 to 3 m by the quarter, 4, 4.5, 5 and 5.5 m.
/// Source: common practice, no source.
const VEHICLE_DOORS: [f64; 18] = [
    84.0, 96.0, 108.0, 120.0, 144.0, 168.0, 180.0, 192.0, 216.0, 240.0, 88.6, 98.4, 106.3, 118.1,
    157.5, 177.2, 196.9, 216.5,
];
/// A door is of a usual width within this, inches: drawn to the frame or the rough opening.
const USUAL: f64 = 1.6;
/// Lines of this length beside an opening are its door drawn open overhead, as a share of its width.
const OVERHEAD: f64 = 0.9;
/// An overhead door lies at least this deep inside, and at most so deep, inches. Source: doors are 6'-6" to 10 ft high.
const RAISED: (f64, f64) = (60.0, 132.0);

/// True when more than its one line says that a wide opening is for vehicles: a size, a tag, its layer or block, the door drawn
/// open overhead, or a usual width with a garage behind it.
fn is_for_vehicles(it: &Traced<'_>, storey: &Storey, judged: &Judged) -> bool {
    if judged.callout.is_some() || judged.evidence.door > 6.0 {
        return true;
    }
    let run = &it.runs[judged.run];
    let (width, middle) = (judged.width(), f64::midpoint(judged.u0, judged.u1));
    let at = |d: f64| run.axis.point(middle, d) + it.lines.origin;
    let beside = [1.0, -1.0].map(|side| at(side * (run.thickness / 2.0 + 12.0)));
    let is_garage = |p: &Coord<f64>| {
        let mut rooms = storey.rooms.iter();
        rooms.any(|room| contains(&room.outline, *p) && holds_vehicles(&room.name))
    };
    let is_usual = VEHICLE_DOORS
        .iter()
        .any(|usual| (usual - width).abs() <= USUAL);
    if is_usual && beside.iter().any(is_garage) {
        return true;
    }
    let centre = run.axis.point(middle, 0.0);
    let near = it.place.segments_near(centre, width.max(RAISED.1));
    near.into_iter().any(|i| {
        let line = &it.lines.segments[i];
        let [p, q] = [line.a, line.b].map(|p| (run.axis.s(p), run.axis.d(p)));
        let cover = p.0.max(q.0).min(judged.u1) - p.0.min(q.0).max(judged.u0);
        let beyond = (judged.u0 - p.0.min(q.0)).max(p.0.max(q.0) - judged.u1);
        (RAISED.0..=RAISED.1).contains(&p.1.abs())
            && (p.1 - q.1).abs() < 1.0
            && cover >= OVERHEAD * width
            && beyond < (1.0 - OVERHEAD) * width
    })
}

/// True when lines stand across an opening, off its ends, that end within its wall: two at least.
fn has_posts(it: &Traced<'_>, judged: &Judged) -> bool {
    let run = &it.runs[judged.run];
    let middle = run.axis.point(f64::midpoint(judged.u0, judged.u1), 0.0);
    let ends = (judged.u0 + LEAST_PIER, judged.u1 - LEAST_PIER);
    let half = run.thickness / 2.0 + it.lines.slack + 0.1;
    let near = it.place.segments_near(middle, judged.width() / 2.0);
    let across = near.into_iter().filter(|i| {
        let line = &it.lines.segments[*i];
        let [p, q] = [line.a, line.b].map(|p| (run.axis.s(p), run.axis.d(p)));
        let is_inside = [p, q]
            .iter()
            .all(|(s, d)| *s > ends.0 && *s < ends.1 && d.abs() <= half);
        is_inside && (p.0 - q.0).abs() < 0.1 * (p.1 - q.1).abs()
    });
    across.count() >= 2
}

/// The width of a part of an opening, beside a line across its wall, in which nothing is drawn; and where that line is.
fn pier(it: &Traced<'_>, judged: &Judged) -> Option<(f64, Coord<f64>)> {
    let run = &it.runs[judged.run];
    let ends = (judged.u0 + LEAST_PIER, judged.u1 - LEAST_PIER);
    let lines = jambs_and_leaves_between(it.rails, &run.axis, run.thickness, ends, it.lines.slack);
    let cuts = [judged.u0].into_iter().chain(lines).chain([judged.u1]);
    let cuts: Vec<f64> = cuts.collect();
    if cuts.len() < 3 {
        return None;
    }
    let parts = cuts.windows(2).map(|pair| (pair[0], pair[1] - pair[0]));
    let bare = parts.filter(|(from, wide)| {
        let axis = Axis {
            origin: run.axis.point(*from, 0.0),
            ..run.axis
        };
        *wide >= LEAST_PIER && !it.place.look(&axis, *wide, run.thickness).speaks()
    });
    let (from, wide) = bare.reduce(|best, it| if it.1 > best.1 { it } else { best })?;
    let line = if from > judged.u0 { from } else { from + wide };
    Some((wide, run.axis.point(line, 0.0)))
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered, recovered_among, sides};

    /// How many openings are asked about at a corner, of one in the lower wall and one in the right wall that starts at a height.
    fn asked(height: f64) -> usize {
        let mut lines = open_shell(300.0, 354.0);
        lines.retain(|l| !(l[0] > 353.0 && l[2] > 353.0));
        for y in [2.8, 3.2] {
            lines.push([300.0, y, 354.0, y]);
        }
        for (x, low, high) in [(354.0, 6.0, 234.0), (360.0, 0.0, 240.0)] {
            lines.extend([[x, low, x, height], [x, height + 54.0, x, high]]);
        }
        for y in [height, height + 54.0] {
            lines.push([354.0, y, 360.0, y]);
        }
        for x in [356.8, 357.2] {
            lines.push([x, height, x, height + 54.0]);
        }
        lines.extend([[354.0, 0.0, 360.0, 0.0], [354.0, 6.0, 360.0, 6.0]]);
        let found = recovered(&lines);
        let corner = found
            .findings
            .iter()
            .filter(|it| it.code == codes::IN_CORNER);
        corner.count()
    }

    #[test]
    fn two_windows_that_end_at_one_corner_are_asked_about() {
        assert_eq!(asked(6.0), 2);
        assert_eq!(asked(30.0), 0);
    }

    #[test]
    fn posts_in_a_vehicle_door_are_asked_about() {
        let asked = |posts: &[f64]| {
            let mut lines = open_shell(100.0, 220.0);
            lines.push([100.0, 3.0, 220.0, 3.0]);
            for x in posts {
                lines.extend(sides(*x, 2.0, x + 2.0, 4.0));
            }
            let found = recovered(&lines).findings;
            let asked = found.iter().filter(|it| it.code == codes::BARE_JAMBS);
            let words: Vec<&str> = asked
                .map(|it| it.message.split(' ').next().unwrap())
                .collect();
            words.join(" ")
        };
        assert_eq!(asked(&[]), "one");
        assert_eq!(asked(&[140.0, 180.0]), "posts");
    }

    #[test]
    fn one_line_across_a_wide_gap_is_asked_about_where_nothing_else_says_that_vehicles_go_through()
    {
        let asked = |wide: f64, name: &str, overhead: bool| {
            let (from, to) = (100.0, 100.0 + wide);
            let mut lines = open_shell(from, to);
            lines.push([from, 3.0, to, 3.0]);
            if overhead {
                lines.extend([
                    [from, 6.0, from, 90.0],
                    [from, 90.0, to, 90.0],
                    [to, 90.0, to, 6.0],
                ]);
            }
            let found = recovered_among(&lines, &[], &[(name, [180.0, 150.0])]).findings;
            found.iter().any(|it| it.code == codes::BARE_JAMBS)
        };
        assert!(asked(108.0, "LIVING", false));
        assert!(!asked(108.0, "2 CAR GARAGE", false));
        assert!(
            asked(92.0, "GARAGE", false),
            "no vehicle door is 7'-8\" wide"
        );
        assert!(!asked(108.0, "LIVING", true));
    }

    #[test]
    fn glass_without_jambs_is_asked_about_as_it_is_drawn() {
        let asked = |from: f64, to: f64, faces: &[f64]| {
            let mut lines = open_shell(100.0, 136.0);
            lines.retain(|l| !(l[0] == l[2] && l[3] - l[1] == 6.0));
            for y in faces {
                lines.push([100.0, *y, 136.0, *y]);
            }
            for y in [2.8, 3.2] {
                lines.push([from, y, to, y]);
            }
            let found = recovered(&lines).findings;
            let asked = found.iter().find(|it| it.code == codes::BARE_JAMBS);
            asked.map_or(String::new(), |it| it.message.clone())
        };
        let no_jambs = "an opening has no jambs";
        assert!(asked(101.0, 135.0, &[0.0, 6.0]).starts_with(no_jambs));
        assert!(asked(101.0, 135.0, &[]).starts_with(no_jambs));
        // Glass that ends where both faces do says where the opening ends, sills drawn or not.
        assert_eq!(asked(100.0, 136.0, &[]), "");
        assert_eq!(asked(100.0, 136.0, &[0.0, 6.0]), "");
    }
}
