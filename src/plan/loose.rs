//! Lines that hang by one end: door leaves. They look like a face beside the wall that they open against.
//!
//! ```text
//!   ║ ╷
//!   ║ │ leaf      one end on a jamb, the other meets nothing but its own thickness, its swing or the chord of it
//!   ║ ┘
//! ```

use super::axis::{Axis, distance, dot};
use super::chords::Chorded;
use super::rails::around;
use super::segments::Segment;
use geo::Coord;
use rstar::RTree;
use rstar::primitives::{GeomWithData, Rectangle};

/// Leaves are this wide, inches; common practice, no source.
pub(super) const LEAF: (f64, f64) = (15.0, 52.0);
/// Pieces of a broken leaf are at least this long, inches.
const PIECE: f64 = 4.0;
/// Leaves are at most this thick, inches: 2 1/4 in is the thickest made; common practice, no source.
pub(super) const LEAF_THICK: f64 = 2.6;
/// An end is loose when nothing comes within this of it, inches, beyond the drawing's slack.
const LOOSE: f64 = 0.75;
/// The faces of one wall end opposite each other within this, inches, where no jamb is drawn.
const OPPOSITE: (f64, f64) = (1.0, 14.0);
/// Sines between which a chord leads from the tip of a leaf to the other jamb.
const CHORD: (f64, f64) = (0.5, 0.87);
/// Swept angles of swings, radians.
const SWEEP: (f64, f64) = (0.5, 2.3);

type Tree = RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>;

/// Leaves, and chords of swings, by rising index.
pub(super) fn leaves(segments: &[Segment], chorded: &[Chorded], slack: f64) -> Vec<usize> {
    let boxes = segments.iter().enumerate().map(|(i, it)| {
        GeomWithData::new(
            Rectangle::from_corners([it.a.x, it.a.y], [it.b.x, it.b.y]),
            i,
        )
    });
    let tree: Tree = RTree::bulk_load(boxes.collect());
    let mut chord = vec![false; segments.len()];
    let mut found = Vec::new();
    let swings = chorded.iter().filter(|it| {
        (LEAF.0..=LEAF.1).contains(&it.radius) && (SWEEP.0..SWEEP.1).contains(&it.sweep)
    });
    for pair in swings.flat_map(|it| it.points.windows(2)) {
        let Some(area) = around(pair, 0.01) else {
            continue;
        };
        for it in tree.locate_in_envelope(&area) {
            chord[it.data] = true;
            found.push(it.data);
        }
    }
    // Pieces of a broken leaf hang on each other: what hangs on a piece found is looked at in the next round.
    let mut gone = vec![false; segments.len()];
    for least in [LEAF.0, PIECE, PIECE] {
        let round = hanging(segments, &tree, (&chord, &gone), least, slack);
        for i in &round {
            gone[*i] = true;
        }
        found.extend(round);
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// Segments of at least a length that hang by one end, not counting chords of swings and what was found before.
fn hanging(
    segments: &[Segment],
    tree: &Tree,
    (chord, gone): (&[bool], &[bool]),
    least: f64,
    slack: f64,
) -> Vec<usize> {
    let mut found = Vec::new();
    for (i, segment) in segments.iter().enumerate() {
        let long = segment.length();
        if segment.face <= 0.0 || gone[i] || !(least..=LEAF.1 + 1.0).contains(&long) {
            continue;
        }
        let is_loose = [segment.a, segment.b].map(|end| {
            let reach = LOOSE + slack;
            let meets = |j: usize, other: &Segment| {
                j != i
                    && !chord[j]
                    && !gone[j]
                    && !other.is_broken
                    && other.length() > LEAF_THICK
                    && off(other, end) <= reach
                    && !is_same(segment, other)
                    && !is_chord(segment, other, end)
            };
            !any_near(tree, segments, end, reach, &meets)
        });
        let tip = match is_loose {
            [true, false] => segment.a,
            [false, true] => segment.b,
            _ => continue,
        };
        // Short pieces count only where they carry on what was found.
        let carries_on = |j: usize, other: &Segment| gone[j] && off(other, tip) <= LOOSE + slack;
        if least < LEAF.0 && !any_near(tree, segments, tip, LOOSE + slack, &carries_on) {
            continue;
        }
        // The faces of a wall whose end is not drawn are loose too, and opposite each other.
        let opposite = |j: usize, other: &Segment| {
            let Some(axis) = Axis::through(segment.a, segment.b) else {
                return false;
            };
            let ends = [other.a, other.b];
            j != i
                && other.face > 0.0
                && other.length() > LEAF_THICK
                && Axis::through(other.a, other.b).is_some_and(|own| axis.sine(&own).abs() < 0.05)
                && ends.iter().any(|p| {
                    let aside = (axis.d(*p)).abs();
                    (axis.s(*p) - axis.s(tip)).abs() < OPPOSITE.0
                        && (LEAF_THICK..OPPOSITE.1).contains(&aside)
                })
        };
        if !any_near(tree, segments, tip, OPPOSITE.1, &opposite) {
            found.push(i);
        }
    }
    found
}

fn any_near(
    tree: &Tree,
    segments: &[Segment],
    p: Coord<f64>,
    reach: f64,
    test: &dyn Fn(usize, &Segment) -> bool,
) -> bool {
    around(&[p], reach).is_some_and(|area| {
        tree.locate_in_envelope_intersecting(&area)
            .any(|it| test(it.data, &segments[it.data]))
    })
}

/// The same line drawn twice, or the other side of one leaf.
fn is_same(a: &Segment, b: &Segment) -> bool {
    let apart = distance(a.a, b.a).max(distance(a.b, b.b));
    apart < LEAF_THICK && (a.length() - b.length()).abs() < 0.5
}

/// True when a line leads slantwise from the tip of a leaf over the opening.
fn is_chord(leaf: &Segment, other: &Segment, tip: Coord<f64>) -> bool {
    let (Some(p), Some(q)) = (
        Axis::through(leaf.a, leaf.b),
        Axis::through(other.a, other.b),
    ) else {
        return false;
    };
    let sine = p.sine(&q).abs();
    let from_tip = distance(other.a, tip).min(distance(other.b, tip)) < LEAF_THICK;
    let far_of = |it: &Segment| {
        if distance(it.a, tip) > distance(it.b, tip) {
            it.a
        } else {
            it.b
        }
    };
    // Back beside the leaf; the next face of a wall at a blunt corner leads on.
    let is_back = dot(far_of(leaf) - tip, far_of(other) - tip) > 0.0;
    let is_long = (other.length() / leaf.length() - std::f64::consts::SQRT_2).abs() < 0.3;
    from_tip && is_back && is_long && (CHORD.0..CHORD.1).contains(&sine)
}

/// Distance of a point from a segment.
pub(super) fn off(segment: &Segment, p: Coord<f64>) -> f64 {
    let Some(axis) = Axis::through(segment.a, segment.b) else {
        return distance(segment.a, p);
    };
    distance(axis.point(axis.s(p).clamp(0.0, segment.length()), 0.0), p)
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{recovered, shell};

    #[test]
    fn a_leaf_that_stands_open_beside_a_wall_is_no_wall() {
        // A partition from below with a door at its foot whose leaf stands 7 in off the left wall.
        let mut lines = shell();
        lines.extend([
            [13.0, 100.0, 13.0, 100.0 + 30.0],
            [6.0, 96.0, 13.0, 96.0],
            [6.0, 100.0, 13.0, 100.0],
            [13.0, 96.0, 13.0, 100.0],
            [43.0, 96.0, 354.0, 96.0],
            [43.0, 100.0, 354.0, 100.0],
            [43.0, 96.0, 43.0, 100.0],
        ]);
        let storey = &recovered(&lines).output.storeys[0];
        let mut thick: Vec<i64> = Vec::new();
        for wall in &storey.walls {
            thick.extend((wall.thickness > 6.5).then_some(0));
        }
        assert!(thick.is_empty());
    }
}
