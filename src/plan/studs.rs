//! Studs drawn across a wall: rows of pairs of lines from face to face, jambs of nothing.
//!
//! ```text
//!   ──┬┬─────┬┬─────┬┬─────┬┬──     both edges of each stud, one stud as far from the next as that from the one after;
//!     ││     ││     ││     ││       both faces run on over every line
//!   ──┴┴─────┴┴─────┴┴─────┴┴──
//! ```

use super::axis::{Axis, covered, joined};
use super::groups::Groups;
use super::nearby::Nearby;
use super::rails::around;
use super::segments::Segment;
use crate::side_by_side::in_stretches;
use geo::Coord;

/// Lines across a wall of studs are so long, inches.
const LONG: (f64, f64) = (3.0, 13.0);
/// Studs are so thick, inches: 1 1/2 in, 38 to 60 mm. Source: common practice, no source.
const THICK: (f64, f64) = (1.2, 2.6);
/// And stand so far apart, inches: 12 to 24 in, 300 to 625 mm. Source: common practice, no source.
const APART: (f64, f64) = (11.0, 26.0);
/// So many lines are a row.
const ROW: usize = 6;
/// A face goes on over a line for this on either side of it, inches.
const OVER: f64 = 0.5;

/// Lines that are the edges of studs, by rising number.
pub(super) fn studs(segments: &[Segment], tree: &Nearby, slack: f64) -> Vec<usize> {
    let found: Vec<(usize, Vec<usize>)> = in_stretches(segments.len(), |part| {
        part.filter_map(|i| Some((i, next(segments, tree, i, slack)?)))
            .collect()
    });
    let mut is_edge = vec![false; segments.len()];
    let mut groups = Groups::new(segments.len());
    for (i, list) in &found {
        is_edge[*i] = true;
        for j in list {
            groups.join(*i, *j);
        }
    }
    let mut count = vec![0_usize; segments.len()];
    for (i, _) in &found {
        count[groups.least(*i)] += 1;
    }
    let rows = (found.iter()).filter(|(i, _)| is_edge[*i] && count[groups.least(*i)] >= ROW);
    let rows: Vec<usize> = rows.map(|it| it.0).collect();
    rows.into_iter()
        .filter(|i| is_passed(segments, tree, &segments[*i], slack))
        .collect()
}

/// For the edge of a stud its other edge and those of the next studs beside it; `None` for another line.
fn next(segments: &[Segment], tree: &Nearby, i: usize, slack: f64) -> Option<Vec<usize>> {
    let segment = &segments[i];
    let long = segment.length();
    if segment.face <= 0.0 || !(LONG.0..=LONG.1).contains(&long) {
        return None;
    }
    let axis = Axis::through(segment.a, segment.b)?;
    let far = APART.1 + THICK.1;
    let ends = [axis.point(long / 2.0, far), axis.point(long / 2.0, -far)];
    let loose = 0.1 + 2.0 * slack;
    let mut beside: Vec<(f64, usize)> = Vec::new();
    tree.visit(&around(&ends, loose)?, |j| {
        let own = &segments[j];
        let (a, b) = (axis.s(own.a), axis.s(own.b));
        let (p, q) = (axis.d(own.a), axis.d(own.b));
        let is_alike = a.min(b).abs() < loose && (a.max(b) - long).abs() < loose;
        if j != i && own.face > 0.0 && is_alike && (p - q).abs() < loose {
            beside.push((f64::midpoint(p, q), j));
        }
    });
    let at = |d: f64| {
        let mut near = beside.iter().filter(|it| (it.0 - d).abs() < loose);
        near.next().map(|it| it.1)
    };
    let thick = |it: &&(f64, usize)| (THICK.0..=THICK.1).contains(&it.0.abs());
    let apart = |it: &&(f64, usize)| (APART.0..=APART.1).contains(&it.0.abs());
    beside.iter().filter(thick).find_map(|&(twin, j)| {
        let mut found = vec![j];
        for &(d, k) in beside.iter().filter(apart) {
            if let Some(other) = at(d + twin) {
                found.extend([k, other]);
            }
        }
        (found.len() > 1).then_some(found)
    })
}

/// True when a line goes on over both ends of a line across.
fn is_passed(segments: &[Segment], tree: &Nearby, it: &Segment, slack: f64) -> bool {
    let passes = |p: Coord<f64>, q: Coord<f64>| {
        let Some(axis) = Axis::through(p, q) else {
            return false;
        };
        let face = Axis {
            origin: p,
            along: axis.left(),
        };
        let near = 0.1 + 2.0 * slack;
        let Some(area) = around(&[face.point(-OVER, 0.0), face.point(OVER, 0.0)], near) else {
            return false;
        };
        let mut cover = Vec::new();
        tree.visit(&area, |j| {
            let own = &segments[j];
            if own.face > 0.0
                && face.d(own.a).abs().max(face.d(own.b).abs()) < near.max(0.01 * own.length())
            {
                let (a, b) = (face.s(own.a), face.s(own.b));
                cover.push((a.min(b), a.max(b)));
            }
        });
        covered(&joined(cover, near), -OVER, OVER) > 1.9 * OVER
    };
    passes(it.a, it.b) && passes(it.b, it.a)
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, open_shell, recovered};

    #[test]
    fn studs_in_a_wall_are_no_jambs_and_a_window_beside_one_ends_at_its_own() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for apart in [16.0, 24.0] {
            let mut all = lines.clone();
            let mut x = 96.5 - 4.0 * apart;
            while x < 340.0 {
                if x > 8.0 && !(98.0..138.0).contains(&x) {
                    all.extend([x, x + 1.5].map(|x| [x, 0.0, x, 6.0]));
                }
                x += apart;
            }
            let found = recovered(&all);
            assert_eq!(exterior_openings(&found.output), [[118.0, 3.0, 36.0]]);
            assert!(found.findings.iter().all(|it| it.code != codes::ACROSS));
        }
    }
}
