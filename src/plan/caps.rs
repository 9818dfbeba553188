//! Ends of walls that face each other across something that only an opening has: what the outline may have left out.
//!
//! ```text
//!   ═══════╗   ╔═══════      two lines as long as a wall is thick, faces going off from both their ends,
//!     wall ║━━━║ wall        glass, a leaf or a swing in between: a window or a door, whatever became of the wall
//!   ═══════╝   ╚═══════
//! ```

use super::axis::{Axis, Interval, distance};
use super::bands::THICKEST;
use super::bonds::{NARROWEST, WIDEST};
use super::nearby::Nearby;
use super::rails::around;
use super::segments::Segment;
use super::symbols::Place;
use geo::Coord;

/// A face goes off from the end of a cap at least this far, inches.
const FACE: f64 = 1.5;
/// A face begins within this of the end of a cap, inches, beyond the drawing's slack.
const AT_END: f64 = 0.2;
/// Caps that face each other differ in length by less, inches, beyond the drawing's slack.
const ALIKE: f64 = 0.2;
/// The sine of the greatest angle between lines that are square to each other or in line.
const SQUARE: f64 = 0.05;

/// The place of an opening by its jambs alone.
pub(super) struct Facing {
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
pub(super) fn facing(place: &Place<'_>, (least, most): Interval) -> Vec<Facing> {
    let slack = place.lines.slack;
    let segments = &place.lines.segments;
    let fits = |it: &Segment| {
        let long = it.length();
        it.face > 0.0 && long > least - ALIKE && long < most + ALIKE && long <= THICKEST
    };
    let mut caps: Vec<Cap> = Vec::new();
    for it in segments.iter().filter(|it| fits(it)) {
        let Some(line) = Axis::through(it.a, it.b) else {
            continue;
        };
        let left = line.left();
        let ways = [left, left * -1.0];
        let [first, last] = [it.a, it.b].map(|end| going_off(place, end, ways));
        for (side, out) in ways.into_iter().enumerate() {
            // A cap looks off the wall, whose faces go the other way.
            let back = 1 - side;
            if first[back] && last[back] {
                caps.push(Cap {
                    axis: Axis {
                        origin: (it.a + it.b) / 2.0,
                        along: out,
                    },
                    long: it.length(),
                });
            }
        }
    }
    let index = Nearby::points(caps.iter().map(|it| it.axis.origin));
    let loose = ALIKE + 2.0 * slack;
    let mut found = Vec::new();
    for (i, cap) in caps.iter().enumerate() {
        let ends = [cap.axis.point(NARROWEST, 0.0), cap.axis.point(WIDEST, 0.0)];
        let Some(area) = around(&ends, 2.0 * loose) else {
            continue;
        };
        // The nearest one that looks back.
        let facing = index
            .sorted(&area)
            .into_iter()
            .filter(|&j| j != i)
            .filter_map(|j| {
                let other = &caps[j];
                let (s, d) = (cap.axis.s(other.axis.origin), cap.axis.d(other.axis.origin));
                let looks_back = cap.axis.sine(&other.axis).abs() < SQUARE
                    && cap.axis.along.x * other.axis.along.x
                        + cap.axis.along.y * other.axis.along.y
                        < 0.0;
                let is_alike = (other.long - cap.long).abs() < loose && d.abs() < loose;
                ((NARROWEST..=WIDEST).contains(&s) && looks_back && is_alike).then_some((s, j))
            })
            .min_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        let Some((width, j)) = facing else { continue };
        if j < i || !place.look(&cap.axis, width, cap.long).is_drawn() {
            continue;
        }
        found.push(Facing {
            middle: (cap.axis.origin + caps[j].axis.origin) / 2.0,
            width,
            thickness: cap.long,
        });
    }
    found
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
