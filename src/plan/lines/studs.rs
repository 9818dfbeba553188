//! Studs drawn across a wall: rows of pairs of lines from face to face, jambs of nothing.
//!
//! ```text
//!   ──┬┬─────┬┬─────┬┬─────┬┬──     both edges of each stud, one stud as far from the next as that from the one after;
//!     ││     ││     ││     ││       both faces run on over every line
//!   ──┴┴─────┴┴─────┴┴─────┴┴──
//! ```
//!
//! Beside an opening a few alone are known too: jacks and kings. There both faces run on over the edges of the studs and end at the
//! jamb, where glass or sills begin.

use crate::plan::axis::{Axis, covered, joined};
use crate::plan::groups::Groups;
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::Segment;
use crate::plan::nearby::{Area, Nearby};
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
/// Studs beside a jamb stand this far off it and off each other at most, inches, and go this far from it.
const PACKED: f64 = 2.6;
const PACK: f64 = 8.0;
/// Beyond the jamb glass or a sill is at least this long, inches.
const GLASS: f64 = 12.0;
/// A face goes on over a line for this on either side of it, inches.
const OVER: f64 = 0.5;

/// Lines that are the edges of studs, by rising number.
pub(super) fn studs(segments: &[Segment], tree: &Nearby, slack: f64) -> Vec<usize> {
    // Few lines as long have another so near.
    let across = in_stretches(segments.len(), |part| {
        let own = part.filter_map(|i| Some((i, Across::of(&segments[i], slack)?)));
        own.filter(|it| it.1.has_close(segments, tree)).collect()
    });
    let found: Vec<(usize, Vec<usize>)> = in_stretches(across.len(), |part| {
        let own = across[part].iter();
        own.filter_map(|(i, it)| Some((*i, next(segments, tree, (*i, it))?)))
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
    let packs = in_stretches(across.len(), |part| {
        let own = across[part].iter();
        own.flat_map(|(i, it)| pack(segments, tree, (*i, it)))
            .collect()
    });
    let rows = rows.into_iter();
    let mut all: Vec<usize> = rows
        .filter(|i| is_passed(segments, tree, &segments[*i], slack))
        .chain(packs)
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// A line as long as those across a wall of studs.
struct Across {
    axis: Axis,
    long: f64,
    /// Within this its ends and those of others are side by side, inches.
    loose: f64,
}

impl Across {
    /// `None` for another line.
    fn of(it: &Segment, slack: f64) -> Option<Self> {
        let long = it.length();
        let axis = Axis::through(it.a, it.b)
            .filter(|_| it.face > 0.0 && (LONG.0..=LONG.1).contains(&long))?;
        let loose = 0.1 + 2.0 * slack;
        Some(Self { axis, long, loose })
    }

    /// How far off a line as long as it is, square beside it; the line itself lies nowhere off.
    fn off(&self, other: &Segment) -> Option<f64> {
        let [p, q] = [other.a, other.b].map(|p| (self.axis.s(p), self.axis.d(p)));
        let is_alike =
            p.0.min(q.0).abs() < self.loose && (p.0.max(q.0) - self.long).abs() < self.loose;
        (other.face > 0.0 && is_alike && (p.1 - q.1).abs() < self.loose)
            .then_some(f64::midpoint(p.1, q.1))
    }

    /// Where others lie so far beside it at most: they all cross its middle upright.
    fn beside(&self, far: f64) -> Option<Area> {
        let ends = [far, -far].map(|d| self.axis.point(self.long / 2.0, d));
        around(&ends, self.loose)
    }

    /// True when another one stands as near as the other edge of a stud or one packed against it.
    fn has_close(&self, segments: &[Segment], tree: &Nearby) -> bool {
        let is_close = |d: f64| d.abs() > self.loose && d.abs() <= PACKED;
        let area = self.beside(PACKED);
        area.is_some_and(|it| tree.any(&it, |j| self.off(&segments[j]).is_some_and(is_close)))
    }
}

/// Of a line across a wall that is the jamb of an opening, the edges of the studs packed beside it: both faces run on over them as one
/// line each, and end at the jamb.
fn pack(segments: &[Segment], tree: &Nearby, (i, jamb): (usize, &Across)) -> Vec<usize> {
    let (axis, long, loose) = (jamb.axis, jamb.long, jamb.loose);
    let corners = [(0.0, PACK), (long, PACK), (0.0, -PACK), (long, -PACK)];
    let Some(area) = around(&corners.map(|(s, d)| axis.point(s, d)), loose) else {
        return Vec::new();
    };
    let seen = |j: usize| [segments[j].a, segments[j].b].map(|p| (axis.s(p), axis.d(p)));
    let near = tree.sorted(&area);
    let others = near.iter().filter(|j| **j != i);
    let mut across: Vec<(f64, usize)> = others
        .filter_map(|j| Some((jamb.off(&segments[*j])?, *j)))
        .collect();
    across.sort_by(|p, q| p.0.abs().total_cmp(&q.0.abs()));
    for side in [1.0, -1.0] {
        let (mut far, mut found) = (0.0, Vec::new());
        for (d, j) in &across {
            let off = d * side;
            if off > loose && off - far <= PACKED && off <= PACK {
                far = off;
                found.push(*j);
            }
        }
        // A line square to the jamb that ends on it, and how far it goes to a side.
        let goes = |j: usize, way: f64| {
            let [p, q] = seen(j);
            let (at, end) = if p.1.abs() < q.1.abs() {
                (p, q)
            } else {
                (q, p)
            };
            let is_square = (at.0 - end.0).abs() < loose.max(0.01 * end.1.abs());
            (is_square && at.1.abs() < loose).then_some((at.0, end.1 * way))
        };
        let ends_at = |s: f64| {
            let mut lines = near.iter().filter_map(|j| goes(*j, side));
            lines.any(|it| (it.0 - s).abs() < loose && it.1 > far + OVER)
        };
        let mut beyond = near.iter().filter_map(|j| goes(*j, -side));
        if !found.is_empty()
            && ends_at(0.0)
            && ends_at(long)
            && beyond.any(|it| it.0 > -loose && it.0 < long + loose && it.1 >= GLASS)
        {
            return found;
        }
    }
    Vec::new()
}

/// For the edge of a stud its other edge and those of the next studs beside it; `None` for another line.
fn next(segments: &[Segment], tree: &Nearby, (i, edge): (usize, &Across)) -> Option<Vec<usize>> {
    let mut beside: Vec<(f64, usize)> = Vec::new();
    tree.visit(&edge.beside(APART.1 + THICK.1)?, |j| {
        let off = edge.off(&segments[j]).filter(|_| j != i);
        beside.extend(off.map(|d| (d, j)));
    });
    let at = |d: f64| {
        let mut near = beside.iter().filter(|it| (it.0 - d).abs() < edge.loose);
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

    #[test]
    fn two_studs_alone_beside_a_window_leave_it_as_wide_as_it_is() {
        for off in [0.0, 0.5, 1.0, 1.5] {
            let mut lines = open_shell(100.0, 136.0);
            lines.extend([0.0, 3.0, 6.0].map(|y| [100.0, y, 136.0, y]));
            for x in [off, off + 1.5] {
                lines.extend([100.0 - x, 136.0 + x].map(|x| [x, 0.0, x, 6.0]));
            }
            let found = recovered(&lines);
            assert_eq!(
                exterior_openings(&found.output),
                [[118.0, 3.0, 36.0]],
                "{off}"
            );
        }
    }
}
