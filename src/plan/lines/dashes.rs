//! Broken lines drawn dash by dash, as a drawing that was once paper has them: they bound nothing.
//!
//! ```text
//!   ──  ──  ──  ──  ──  ──      every dash as long as the one before it, or as the one before that, every gap as wide;
//!   ─────  ─  ─────  ─  ─────   nothing ends or passes at most of the ends
//! ```
//!
//! A line type says the same by its name. Walls between equal windows have jambs at their ends; dashes have nothing there.

use crate::plan::axis::{Axis, Interval};
use crate::plan::groups::Groups;
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::{NearEnd, Segment};
use crate::plan::nearby::Nearby;
use crate::side_by_side::in_stretches;
use std::collections::BTreeMap;

/// Dashes are as long at most, inches: the long dash of an axis on paper at 1/8" to the foot.
const LONG: f64 = 120.0;
/// Gaps between dashes, inches: narrower ones are drafting errors, wider ones openings.
const GAP: (f64, f64) = (0.05, 9.0);
/// So many dashes are a broken line.
const ROW: usize = 6;
/// Of ten dashes so many must be like the others; of ten ends so many must be free.
const OF_TEN: usize = 8;
/// Lengths and gaps are alike within this share.
const ALIKE: f64 = 0.05;
/// Dashes lie in line within this, inches.
const IN_LINE: f64 = 0.02;
/// A pattern repeats after so many dashes at most: one long and two short.
const PERIOD: usize = 3;

/// Lines that are the dashes of broken lines, by rising number.
pub(super) fn dashes(segments: &[Segment], tree: &Nearby, ends: &[NearEnd]) -> Vec<usize> {
    let mut is_met = vec![[false; 2]; segments.len()];
    for end in ends {
        is_met[end.own()][usize::from(end.is_last())] = true;
    }
    let is_dash = |i: usize| segments[i].face > 0.0 && segments[i].length() <= LONG;
    let pairs = in_stretches(segments.len(), |part| {
        let dashes = part.filter(|i| is_dash(*i));
        let ends = dashes.flat_map(|i| [(i, 0), (i, 1)]);
        let free = ends.filter(|(i, end)| !is_met[*i][*end]);
        let followed = free.filter_map(|it| Some((it.0, next(segments, tree, it)?)));
        followed.filter(|pair| is_dash(pair.1)).collect()
    });
    let mut groups = Groups::new(segments.len());
    let mut in_rows: Vec<usize> = Vec::new();
    for (i, j) in pairs {
        groups.join(i, j);
        in_rows.extend([i, j]);
    }
    in_rows.sort_unstable();
    in_rows.dedup();
    let mut rows: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for i in in_rows {
        rows.entry(groups.least(i)).or_default().push(i);
    }
    let mut found: Vec<usize> = rows
        .into_values()
        .filter(|row| {
            let all = row.iter().flat_map(|i| is_met[*i]);
            let met = all.filter(|it| *it).count();
            met * 10 <= 2 * row.len() * (10 - OF_TEN) && is_regular(segments, row)
        })
        .flatten()
        .collect();
    found.sort_unstable();
    found
}

/// The line that goes on in line beyond an end of a line, its second where that is 1, across a gap of dashes: the nearest.
fn next(segments: &[Segment], tree: &Nearby, (i, end): (usize, usize)) -> Option<usize> {
    let ends = [segments[i].a, segments[i].b];
    let (from, to) = (ends[1 - end], ends[end]);
    let axis = Axis::through(from, to)?;
    let end = axis.s(to);
    let area = around(
        &[axis.point(end + GAP.0, 0.0), axis.point(end + GAP.1, 0.0)],
        IN_LINE,
    )?;
    let mut nearest: Option<(f64, usize)> = None;
    tree.visit(&area, |j| {
        let other = &segments[j];
        let off = axis.d(other.a).abs().max(axis.d(other.b).abs());
        let gap = axis.s(other.a).min(axis.s(other.b)) - end;
        let is_on = off < IN_LINE.max(1e-3 * other.length()) && (GAP.0..=GAP.1).contains(&gap);
        if is_on && nearest.is_none_or(|it| (gap, j) < it) {
            nearest = Some((gap, j));
        }
    });
    nearest.map(|it| it.1)
}

/// True when the dashes of a row repeat, and the gaps between them are alike.
fn is_regular(segments: &[Segment], row: &[usize]) -> bool {
    if row.len() < ROW {
        return false;
    }
    let first = &segments[row[0]];
    let Some(axis) = Axis::through(first.a, first.b) else {
        return false;
    };
    let along = row.iter().map(|i| {
        let (p, q) = (axis.s(segments[*i].a), axis.s(segments[*i].b));
        (p.min(q), p.max(q))
    });
    let mut dashes: Vec<Interval> = along.collect();
    dashes.sort_by(|p, q| p.0.total_cmp(&q.0));
    let alike = |p: f64, q: f64| (p - q).abs() <= IN_LINE.max(ALIKE * p.max(q));
    let pairs = dashes.windows(2);
    let mut gaps: Vec<f64> = pairs.map(|pair| pair[1].0 - pair[0].1).collect();
    let all = gaps.len();
    gaps.sort_by(f64::total_cmp);
    let usual = gaps[all / 2];
    let even = gaps.iter().filter(|it| alike(**it, usual)).count();
    let long = |k: usize| dashes[k].1 - dashes[k].0;
    let repeats = |period: usize| {
        let pairs = dashes.len() - period;
        let same = (period..dashes.len()).filter(|k| alike(long(*k), long(k - period)));
        same.count() * 10 >= pairs * OF_TEN
    };
    even * 10 >= all * OF_TEN && (1..=PERIOD).any(repeats)
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, recovered};

    /// The dashes of a line, each so long, so far from the next.
    fn dashed(line: [f64; 4], dash: &[f64], gap: f64) -> Vec<[f64; 4]> {
        let [x0, y0, x1, y1] = line;
        let all = (x1 - x0).hypot(y1 - y0);
        let (ux, uy) = ((x1 - x0) / all, (y1 - y0) / all);
        let (mut lines, mut s) = (Vec::new(), 0.0);
        for long in dash.iter().cycle() {
            let end = (s + long).min(all);
            lines.push([x0 + s * ux, y0 + s * uy, x0 + end * ux, y0 + end * uy]);
            s = end + gap;
            if s >= all {
                break;
            }
        }
        lines
    }

    #[test]
    fn an_axis_drawn_dash_by_dash_along_a_wall_parts_it_in_no_two() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let plain = exterior_openings(&recovered(&lines).output);
        assert_eq!(plain, [[118.0, 3.0, 36.0]]);
        for dash in [&[6.0][..], &[24.0, 3.0], &[24.0, 3.0, 3.0]] {
            let mut all = lines.clone();
            all.extend(dashed([-90.0, 3.0, 480.0, 3.0], dash, 4.0));
            all.extend(dashed([3.0, -90.0, 3.0, 400.0], dash, 4.0));
            let found = recovered(&all).output;
            assert_eq!(exterior_openings(&found), plain, "{dash:?}");
            let walls = found.storeys.iter().flat_map(|it| &it.walls);
            assert_eq!(walls.count(), 4, "{dash:?}");
        }
    }

    #[test]
    fn eaves_drawn_dash_by_dash_are_no_face() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let plain = recovered(&lines).output;
        for off in [4.0, 6.0, 12.0] {
            let mut all = lines.clone();
            all.extend(dashed([-off, -off, 400.0, -off], &[7.0], 5.0));
            let found = recovered(&all).output;
            assert_eq!(found.storeys[0].outline, plain.storeys[0].outline, "{off}");
        }
    }
}
