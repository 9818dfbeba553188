//! Ends of walls that face each other across something that only an opening has: what the outline may have left out.
//!
//! ```text
//!   ═══════╗   ╔═══════      two lines as long as a wall is thick, faces going off from both their ends,
//!     wall ║━━━║ wall        glass, a leaf or a swing in between: a window or a door, whatever became of the wall
//!   ═══════╝   ╚═══════
//! ```
//!
//! Where hardly any such line is drawn, two faces that end side by side are the end of a wall as well.

use crate::plan::axis::{Axis, Interval, distance};
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::Segment;
use crate::plan::lines::symbols::Place;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::{STONE, THICKEST};
use crate::plan::walls::bonds::WIDEST;
use crate::side_by_side::in_stretches;
use geo::Coord;

/// A face goes off from the end of a cap at least this far, inches.
const FACE: f64 = 1.5;
/// A face begins within this of the end of a cap, inches, beyond the drawing's slack.
const AT_END: f64 = 0.2;
/// Caps that face each other differ in length by less, inches, beyond the drawing's slack.
const ALIKE: f64 = 0.2;
/// Slits of this width are made, inches.
const SLIT: f64 = 5.0;
/// Fewer openings between lines across than this, and a drawing shows no jambs.
const SHOWN: usize = 4;
/// The sine of the greatest angle between lines that are square to each other or in line.
const SQUARE: f64 = 0.05;

/// The place of an opening by its jambs alone.
pub(in crate::plan) struct Facing {
    pub middle: Coord<f64>,
    pub width: f64,
    pub thickness: f64,
}

/// A line that closes a wall: its middle, square to it the way off the wall, and its length.
struct Cap {
    axis: Axis,
    long: f64,
}

/// Openings between caps of a thickness within a range, that something drawn speaks for.
pub(in crate::plan) fn facing(place: &Place<'_>, (least, most): Interval) -> Vec<Facing> {
    let mut caps = line_caps(place, (least, most));
    let found = opposite(place, &caps);
    if found.len() >= SHOWN {
        return found;
    }
    caps.extend(open_ends(place, (least, most)));
    opposite(place, &caps)
}

/// Lines that close a wall of a thickness within a range.
fn line_caps(place: &Place<'_>, (least, most): Interval) -> Vec<Cap> {
    let segments = &place.lines.segments;
    let fits = |it: &Segment| {
        let long = it.length();
        it.face > 0.0 && long > least - ALIKE && long < most + ALIKE && long <= STONE
    };
    let caps_of = |it: &Segment| {
        let left = Axis::through(it.a, it.b)?.left();
        let ways = [left, left * -1.0];
        let first = going_off(place, it.a, ways);
        if first == [false, false] {
            return None;
        }
        let last = going_off(place, it.b, ways);
        // A cap looks off the wall, whose faces go the other way.
        let looks = [first[1] && last[1], first[0] && last[0]];
        let own = ways.into_iter().zip(looks).filter(|it| it.1);
        let (middle, long) = ((it.a + it.b) / 2.0, it.length());
        Some(own.map(move |(along, _)| Cap {
            axis: Axis {
                origin: middle,
                along,
            },
            long,
        }))
    };
    in_stretches(segments.len(), |part| {
        let own = segments[part].iter().filter(|it| fits(it));
        own.filter_map(caps_of).flatten().collect()
    })
}

/// Openings in walls of one thickness beyond what others have, from so many on, are of a building of stone.
const OF_STONE: usize = 3;

/// What walls of a drawing are at most, inches.
pub(in crate::plan) fn thickest(place: &Place<'_>) -> f64 {
    let (caps, loose) = (
        line_caps(place, (THICKEST, STONE)),
        ALIKE + 2.0 * place.lines.slack,
    );
    let mut found: Vec<f64> = opposite(place, &caps)
        .into_iter()
        .map(|it| it.thickness)
        .collect();
    found.sort_by(f64::total_cmp);
    let mut alike = found.windows(OF_STONE);
    if alike.any(|it| it[OF_STONE - 1] - it[0] < loose) {
        STONE
    } else {
        THICKEST
    }
}

/// The pairs of caps that face each other across something drawn.
fn opposite(place: &Place<'_>, caps: &[Cap]) -> Vec<Facing> {
    let index = Nearby::points(caps.iter().map(|it| it.axis.origin));
    let loose = ALIKE + 2.0 * place.lines.slack;
    let facing = |i: usize| {
        let cap = &caps[i];
        let ends = [cap.axis.point(SLIT, 0.0), cap.axis.point(WIDEST, 0.0)];
        let area = around(&ends, 2.0 * loose)?;
        // The nearest one that looks back.
        let mut nearest: Option<(f64, usize)> = None;
        index.visit(&area, |j| {
            let other = &caps[j];
            let (s, d) = (cap.axis.s(other.axis.origin), cap.axis.d(other.axis.origin));
            let looks_back = cap.axis.sine(&other.axis).abs() < SQUARE
                && cap.axis.along.x * other.axis.along.x + cap.axis.along.y * other.axis.along.y
                    < 0.0;
            let is_alike = (other.long - cap.long).abs() < loose && d.abs() < loose;
            let is_it = j != i && (SLIT..=WIDEST).contains(&s) && looks_back && is_alike;
            if is_it && nearest.is_none_or(|it| (s, j) < it) {
                nearest = Some((s, j));
            }
        });
        let (width, j) = nearest?;
        (j > i && place.is_drawn(&cap.axis, width, cap.long)).then(|| Facing {
            middle: (cap.axis.origin + caps[j].axis.origin) / 2.0,
            width,
            thickness: cap.long,
        })
    };
    in_stretches(caps.len(), |part| part.filter_map(facing).collect())
}

/// Where two lines that may be faces end side by side, as far apart as a wall is thick.
fn open_ends(place: &Place<'_>, (least, most): Interval) -> Vec<Cap> {
    let segments = &place.lines.segments;
    let near = AT_END + 2.0 * place.lines.slack;
    let is_face = |it: &Segment| it.face > 0.0 && it.length() >= FACE;
    let of_end = |from: Coord<f64>, p: Coord<f64>| {
        let out = Axis::through(from, p)?;
        let off = Axis {
            origin: p,
            along: out.along,
        };
        let ends = [off.point(0.0, least), off.point(0.0, most.min(STONE))];
        let area = around(&ends, near)?;
        let mut nearest: Option<f64> = None;
        place.lines.index.visit(&area, |j| {
            let it = &segments[j];
            let [a, b] = [it.a, it.b].map(|q| (off.s(q), off.d(q)));
            let (end, back) = if a.0 > b.0 { (a, b) } else { (b, a) };
            let is_beside = end.0.abs() <= near
                && back.0 <= -FACE
                && (end.1 - back.1).abs() <= SQUARE * (end.0 - back.0)
                && end.1 > least - ALIKE
                && end.1 < most + ALIKE;
            if is_face(it) && is_beside && nearest.is_none_or(|long| end.1 < long) {
                nearest = Some(end.1);
            }
        });
        nearest.map(|long| Cap {
            axis: Axis {
                origin: off.point(0.0, long / 2.0),
                ..off
            },
            long,
        })
    };
    in_stretches(segments.len(), |part| {
        let own = segments[part].iter().filter(|it| is_face(it));
        own.flat_map(|it| [of_end(it.a, it.b), of_end(it.b, it.a)])
            .flatten()
            .collect()
    })
}

/// In which of two directions a line goes off from a point.
fn going_off(place: &Place<'_>, p: Coord<f64>, ways: [Coord<f64>; 2]) -> [bool; 2] {
    let reach = AT_END + 2.0 * place.lines.slack;
    let mut found = [false, false];
    let [Some(first), Some(second)] = ways.map(|way| Axis::through(p, p + way)) else {
        return found;
    };
    let Some(area) = around(&[p], reach) else {
        return found;
    };
    place.lines.index.any(&area, |i| {
        let it = &place.lines.segments[i];
        for (own, found) in [&first, &second].into_iter().zip(&mut found) {
            *found |= goes_off(it, own, reach);
        }
        found == [true, true]
    });
    found
}

/// True when a line that may be a face goes off along an axis from where that begins.
fn goes_off(it: &Segment, own: &Axis, reach: f64) -> bool {
    let [from, to] = [it.a, it.b].map(|q| own.s(q));
    let p = own.origin;
    let near = if distance(it.a, p) < distance(it.b, p) {
        it.a
    } else {
        it.b
    };
    it.face > 0.0
        && from.max(to) >= FACE
        && from.min(to) <= reach
        && own.d(near).abs() <= reach
        && Axis::through(it.a, it.b).is_some_and(|line| line.sine(own).abs() < SQUARE)
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{recovered, shell, sides};

    #[test]
    fn a_window_whose_wall_was_not_found_is_asked_about() {
        // A wing beside the house: only the two stubs beside its window are drawn.
        let mut lines = shell();
        lines.extend([
            [120.0, 0.0, 120.0, 6.0],
            [156.0, 0.0, 156.0, 6.0],
            [120.0, 3.0, 156.0, 3.0],
        ]);
        for (from, to) in [(400.0, 406.0), (442.0, 448.0)] {
            lines.extend([[from, 0.0, to, 0.0], [from, 6.0, to, 6.0]]);
        }
        let bare = recovered(&lines);
        assert!(!bare.findings.iter().any(|f| f.code == codes::LEFT_OVER));
        lines.extend([
            [406.0, 0.0, 406.0, 6.0],
            [442.0, 0.0, 442.0, 6.0],
            [406.0, 3.0, 442.0, 3.0],
        ]);
        let found = recovered(&lines);
        let asked = found.findings.iter().find(|f| f.code == codes::LEFT_OVER);
        assert_eq!(asked.and_then(|f| f.place.at), Some([424.0, 3.0]));
        // A bench of the same lines, closed all round, is none.
        lines.truncate(lines.len() - 7);
        lines.extend(sides(400.0, 0.0, 448.0, 6.0));
        let bench = recovered(&lines);
        assert!(!bench.findings.iter().any(|f| f.code == codes::LEFT_OVER));
    }
}
