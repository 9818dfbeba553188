//! Centre lines drawn within walls like any other line: they part a wall into no layers and are the face of none.
//!
//! ```text
//!   ─────────────────      as far from either face, in thick walls and in thin ones
//!   ·················
//!   ─────────────────
//! ```
//!
//! Of the lines of one multiple line that is told at once: the middle one, the others lying alike on either side. Else it is told where
//! the drawing has no jambs and most of all walls of two thicknesses have such a line; with jambs what ends at them tells the layers.

use crate::drawing::{Curve, Drawing, Stroke};
use crate::plan::axis::Axis;
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::Segment;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::{THICKEST, THINNEST};
use crate::side_by_side::in_stretches;
use std::ops::Range;

/// Lines from this length on tell whether walls have centre lines, inches: glass is seldom so long.
const LONG: f64 = 48.0;
/// A line of a multiple line runs along so much of another, as a share.
const ALONG: f64 = 0.5;
/// Of all wall of one thickness so much has a line in its middle, as a share.
const MOST: f64 = 0.6;
/// In each of two thicknesses so much wall has one, inches.
const LEAST: f64 = 120.0;
/// Thicknesses within this are one, inches.
const ONE: f64 = 0.25;
/// Thicknesses of two kinds of wall are so far apart, inches.
const TWO: f64 = 0.5;
/// A line across stands within this of an end, inches.
const AT_JAMB: f64 = 0.6;
/// From so many ends at a line across on, the drawing has jambs.
const JAMBS: usize = 4;
/// So many lines are looked at first for jambs, and each time twice as many.
const AT_FIRST: usize = 64;

/// Strokes that are the middle lines of multiple lines, true for each that is.
pub(super) fn of_multiple_lines(drawing: &Drawing) -> Vec<bool> {
    let mut is_middle = vec![false; drawing.strokes.len()];
    let mut from = 0;
    for one in drawing.strokes.chunk_by(|p, q| p.source == q.source) {
        if one.len() >= 3 && one.iter().all(|it| it.is_face) {
            for (i, it) in one.iter().enumerate() {
                is_middle[from + i] = is_in_the_middle(it, one);
            }
        }
        from += one.len();
    }
    is_middle
}

/// True for a line with as many others along it on one side as on the other, each as far off.
fn is_in_the_middle(it: &Stroke, all: &[Stroke]) -> bool {
    let Some(axis) = axis_of(it) else {
        return false;
    };
    let Curve::Line { start, end } = it.curve else {
        return false;
    };
    let long = axis.s(end) - axis.s(start);
    let mut offs: Vec<f64> = Vec::new();
    for other in all {
        let Curve::Line { start, end } = other.curve else {
            return false;
        };
        let (p, q) = (axis.d(start), axis.d(end));
        let (from, to) = (axis.s(start), axis.s(end));
        let shared = from.max(to).min(long) - from.min(to).max(0.0);
        if (p - q).abs() < 0.01 && p.abs() > 0.01 && p.abs() <= THICKEST && shared > ALONG * long {
            offs.push(p);
        }
    }
    offs.sort_by(f64::total_cmp);
    let turned = offs.iter().rev();
    offs.len() >= 2 && offs.iter().zip(turned).all(|(p, q)| (p + q).abs() < 0.01)
}

fn axis_of(it: &Stroke) -> Option<Axis> {
    match it.curve {
        Curve::Line { start, end } => Axis::through(start, end),
        Curve::Arc { .. } => None,
    }
}

/// What stands beside a long line.
#[derive(Clone, Copy, Debug)]
struct Beside {
    line: usize,
    long: f64,
    /// The nearest line along it on its left and on its right, how far off.
    off: [Option<f64>; 2],
    /// Ends at which a line stands across.
    n_jambs: usize,
}

impl Beside {
    /// The thickness of the wall in whose middle it lies.
    fn wall(&self, exact: f64) -> Option<f64> {
        let [Some(left), Some(right)] = self.off else {
            return None;
        };
        let is_even = (left - right).abs() <= exact && left + right >= THINNEST;
        is_even.then_some(left + right)
    }
}

/// Lines that are the centre lines of walls in a drawing without jambs, by rising number.
pub(super) fn centre_lines(segments: &[Segment], tree: &Nearby, slack: f64) -> Vec<usize> {
    let exact = 0.03 + 2.0 * slack;
    let look = |part: Range<usize>, least: f64| {
        in_stretches(part.len(), |own| {
            let own = own.start + part.start..own.end + part.start;
            own.filter_map(|i| beside(segments, tree, i, (least, exact)))
                .collect()
        })
    };
    // Most drawings have jambs, and a few lines show them.
    let (mut seen, mut n_jambs): (Vec<Beside>, usize) = (Vec::new(), 0);
    let (mut start, mut at_once) = (0, AT_FIRST);
    while start < segments.len() {
        let end = segments.len().min(start + at_once);
        let own = look(start..end, LONG);
        n_jambs += own.iter().map(|it: &Beside| it.n_jambs).sum::<usize>();
        if n_jambs >= JAMBS {
            return Vec::new();
        }
        seen.extend(own);
        (start, at_once) = (end, 2 * at_once);
    }
    let mut walls: Vec<(f64, &Beside)> = seen
        .iter()
        .filter_map(|it| Some((it.wall(exact)?, it)))
        .collect();
    walls.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.line.cmp(&q.1.line)));
    let mut thicknesses: Vec<f64> = Vec::new();
    for alike in walls.chunk_by(|p, q| q.0 - p.0 <= ONE) {
        let thickness = alike[alike.len() / 2].0;
        let with: f64 = alike.iter().map(|it| it.1.long).sum();
        // Of a wall without such a line each face is seen from the other.
        let bare: f64 = seen
            .iter()
            .filter(|it| it.wall(exact).is_none())
            .filter(|it| {
                it.off
                    .iter()
                    .flatten()
                    .any(|d| (d - thickness).abs() <= ONE)
            })
            .map(|it| it.long / 2.0)
            .sum();
        if with >= LEAST && with >= MOST * (with + bare) && alike.len() >= 2 {
            thicknesses.push(thickness);
        }
    }
    let [Some(least), Some(most)] = [thicknesses.first(), thicknesses.last()] else {
        return Vec::new();
    };
    if most - least < TWO {
        return Vec::new();
    }
    let is_known = |wall: f64| thicknesses.iter().any(|it| (it - wall).abs() <= ONE);
    let found = look(0..segments.len(), 0.0).into_iter();
    let found = found.filter(|it: &Beside| it.wall(exact).is_some_and(is_known));
    found.map(|it| it.line).collect()
}

/// Where along a line it is looked at what lies beside it, as shares; most of them must agree.
const LOOKS: [f64; 7] = [0.08, 0.22, 0.36, 0.5, 0.64, 0.78, 0.92];

/// What stands beside a line of some length.
fn beside(
    segments: &[Segment],
    tree: &Nearby,
    i: usize,
    (least, exact): (f64, f64),
) -> Option<Beside> {
    let own = &segments[i];
    let long = own.length();
    if own.face <= 0.0 || long < least {
        return None;
    }
    let axis = Axis::through(own.a, own.b)?;
    let looks = LOOKS.map(|share| nearest(segments, tree, i, (&axis, share * long, exact)));
    // Over a window panes lie nearer, and where another wall meets this one a face is missing: what most looks see counts.
    let side = |side: usize| {
        let offs = looks.map(|it| it[side]);
        let alike = |p: f64| {
            offs.iter()
                .flatten()
                .filter(|q| (*q - p).abs() <= exact)
                .count()
        };
        let seen = offs.into_iter().flatten().map(|it| (alike(it), it));
        let most = seen.max_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)));
        most.filter(|it| 2 * it.0 > LOOKS.len()).map(|it| it.1)
    };
    let mut it = Beside {
        line: i,
        long,
        off: [side(0), side(1)],
        n_jambs: 0,
    };
    if it.wall(exact).is_some() {
        let ends = [0.0, long].map(|s| is_across(segments, tree, (&axis, s, exact)));
        it.n_jambs = ends.iter().filter(|it| **it).count();
    }
    Some(it)
}

/// How far off the nearest line along a line lies at `s`, on its left and on its right.
fn nearest(
    segments: &[Segment],
    tree: &Nearby,
    i: usize,
    (axis, s, exact): (&Axis, f64, f64),
) -> [Option<f64>; 2] {
    let far = THICKEST / 2.0;
    let mut found = [None; 2];
    let ends = [axis.point(s, far), axis.point(s, -far)];
    let Some(area) = around(&ends, exact) else {
        return found;
    };
    tree.visit(&area, |j| {
        let it = &segments[j];
        let (p, q) = (axis.d(it.a), axis.d(it.b));
        let (from, to) = (axis.s(it.a), axis.s(it.b));
        let is_along = (p - q).abs() <= exact && from.min(to) <= s && from.max(to) >= s;
        let off = f64::midpoint(p, q);
        if j != i && it.face > 0.0 && is_along && off.abs() > exact && off.abs() <= far {
            let known: &mut Option<f64> = &mut found[usize::from(off < 0.0)];
            *known = Some(known.map_or(off.abs(), |it: f64| it.min(off.abs())));
        }
    });
    found
}

/// True when a line stands across another at `s`, on both sides of it.
fn is_across(segments: &[Segment], tree: &Nearby, (axis, s, exact): (&Axis, f64, f64)) -> bool {
    let at = axis.point(s, 0.0);
    let Some(area) = around(&[at], AT_JAMB) else {
        return false;
    };
    tree.any(&area, |j| {
        let it = &segments[j];
        let (p, q) = (axis.d(it.a), axis.d(it.b));
        let (from, to) = (axis.s(it.a), axis.s(it.b));
        let is_short = it.length() <= THICKEST && (from - to).abs() <= exact;
        it.face > 0.0
            && is_short
            && (from - s).abs() <= AT_JAMB
            && p.min(q) < -exact
            && p.max(q) > exact
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, recovered};

    /// A house 40 by 28 ft of 6 1/2 in walls and a partition of 4 1/2 in, no jambs, a line in the middle of each wall.
    fn house(is_through: bool) -> Vec<[f64; 4]> {
        let mut lines = Vec::new();
        let gaps = [(60.0, 108.0), (300.0, 360.0)];
        for (y, d) in [(3.25, 3.25), (332.75, 3.25)] {
            for off in [-d, 0.0, d] {
                let inner = (y < 100.0) == (off > 0.0) && off != 0.0;
                let (from, to) = match off {
                    0.0 => (3.25, 476.75),
                    _ if inner => (6.5, 473.5),
                    _ => (0.0, 480.0),
                };
                let y = y + off;
                if off == 0.0 && is_through {
                    lines.push([from, y, to, y]);
                } else {
                    let ends = [from, gaps[0].0, gaps[0].1, gaps[1].0, gaps[1].1, to];
                    lines.extend(ends.chunks(2).map(|it| [it[0], y, it[1], y]));
                }
            }
            for off in [-3.25, -0.5, 0.5, 3.25] {
                lines.extend(gaps.map(|(from, to)| [from, y + off, to, y + off]));
            }
        }
        for x in [3.25, 476.75] {
            for off in [-3.25, 0.0, 3.25] {
                let inner = (x < 100.0) == (off > 0.0) && off != 0.0;
                let (from, to) = match off {
                    0.0 => (3.25, 332.75),
                    _ if inner => (6.5, 329.5),
                    _ => (0.0, 336.0),
                };
                lines.push([x + off, from, x + off, to]);
            }
        }
        for x in [200.0, 280.0] {
            lines.extend([-2.25, 0.0, 2.25].map(|off| [x + off, 6.5, x + off, 329.5]));
        }
        lines
    }

    #[test]
    fn lines_in_the_middle_of_all_walls_are_no_faces_where_openings_have_no_jambs() {
        for is_through in [true, false] {
            let found = recovered(&house(is_through));
            let openings = exterior_openings(&found.output);
            let expected = [
                [84.0, 3.25, 48.0],
                [84.0, 332.75, 48.0],
                [330.0, 3.25, 60.0],
                [330.0, 332.75, 60.0],
            ];
            assert_eq!(openings, expected, "{is_through}");
            let inside = found.output.storeys[0].walls.iter();
            let inside = inside.filter(|it| !it.is_exterior).map(|it| it.thickness);
            assert!(
                inside.clone().count() == 2 && inside.into_iter().all(|it| (it - 4.5).abs() < 1e-6)
            );
        }
    }
}
