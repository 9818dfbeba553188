//! Hatching drawn line by line, slanted to the walls it fills: as a drawing that was once paper has it.
//!
//! ```text
//!   ━━━━━━━━━━━━━
//!   ╱ ╱ ╱ ╱ ╱ ╱ ╱      one direction, in which no line is long; most of its lines one step of the pattern from the next,
//!   ━━━━━━━━━━━━━      all over the sheet
//! ```
//!
//! Rows of equal lines square to what they stand in are found elsewhere (`noise`). A line both ends of which meet the ends
//! of lines of other directions is an edge of something, and stays.

use crate::plan::axis::{Axis, distance};
use crate::plan::lines::segments::{NearEnd, Segment};
use std::collections::BTreeMap;

/// In the direction of a hatching no line is longer, inches: walls run in one with longer lines.
const LONGEST: f64 = 120.0;
/// A hatching has so many lines.
const LEAST: usize = 24;
/// Directions are told apart by this, radians: a tenth of a degree.
const DIRECTION: f64 = 0.1 / 180.0 * std::f64::consts::PI;
/// The step of a pattern, inches.
const STEP: (f64, f64) = (0.4, 24.0);
/// Steps are alike within this share of one.
const ALIKE: f64 = 0.06;
/// Lines lie on one line within this, inches.
const SAME: f64 = 0.03;
/// Ends meet within this, inches.
const MET: f64 = 0.1;
/// Of ten steps so many must be whole, and so many one.
const WHOLE: usize = 9;
const ONE: usize = 6;

/// Lines that are hatching, by rising number.
pub(super) fn hatching(segments: &[Segment], ends: &[NearEnd]) -> Vec<usize> {
    let mut directions: BTreeMap<i64, Vec<usize>> = BTreeMap::new();
    for (i, it) in segments.iter().enumerate().filter(|it| it.1.face > 0.0) {
        let d = it.b - it.a;
        #[expect(clippy::cast_possible_truncation, reason = "at most 1800")]
        let number = (d.y.atan2(d.x).rem_euclid(std::f64::consts::PI) / DIRECTION).round() as i64;
        directions.entry(number).or_default().push(i);
    }
    let is_short = |list: &&Vec<usize>| {
        list.len() >= LEAST && list.iter().all(|i| segments[*i].length() <= LONGEST)
    };
    let lists = directions.values().filter(is_short);
    let mut is_hatching = vec![false; segments.len()];
    for i in lists.flat_map(|list| stepped(segments, list)) {
        is_hatching[i] = true;
    }
    let mut meets = vec![[false; 2]; segments.len()];
    let to_others = ends.iter();
    for it in to_others.filter(|it| is_hatching[it.own()] && !is_hatching[it.other()]) {
        let (end, other) = (it.end(segments), &segments[it.other()]);
        let near = distance(end, other.a).min(distance(end, other.b));
        meets[it.own()][usize::from(it.is_last())] |= near <= MET;
    }
    let all = 0..segments.len();
    all.filter(|i| is_hatching[*i] && meets[*i] != [true; 2])
        .collect()
}

/// Those of the lines of one direction that lie whole steps of a pattern from each other; none where most do not lie one from the next.
fn stepped(segments: &[Segment], list: &[usize]) -> Vec<usize> {
    let first = &segments[list[0]];
    let Some(axis) = Axis::through(first.a, first.b) else {
        return Vec::new();
    };
    let off = |i: usize| axis.d((segments[i].a + segments[i].b) / 2.0);
    // Ticks of dimensions run so too, and are shorter.
    let mut lengths: Vec<f64> = list.iter().map(|i| segments[*i].length()).collect();
    lengths.sort_by(f64::total_cmp);
    let usual = lengths[lengths.len() / 2];
    let long = list
        .iter()
        .filter(|i| segments[**i].length() >= 0.9 * usual);
    let mut offs: Vec<f64> = long.map(|i| off(*i)).collect();
    offs.sort_by(f64::total_cmp);
    offs.dedup_by(|p, q| (*p - *q).abs() < SAME);
    let mut steps: Vec<f64> = offs.windows(2).map(|pair| pair[1] - pair[0]).collect();
    if steps.len() + 1 < LEAST {
        return Vec::new();
    }
    steps.sort_by(f64::total_cmp);
    let one = steps[steps.len() / 2];
    let is_whole = |step: f64| (step / one - (step / one).round()).abs() <= ALIKE;
    let whole = steps.iter().filter(|it| is_whole(**it)).count();
    let ones = steps.iter().filter(|it| (**it / one - 1.0).abs() <= ALIKE);
    let is_pattern = (STEP.0..=STEP.1).contains(&one)
        && whole * 10 >= steps.len() * WHOLE
        && ones.count() * 10 >= steps.len() * ONE;
    let is_on = |i: &usize| {
        let own = off(*i);
        let next = offs.partition_point(|it| *it < own).min(offs.len() - 1);
        is_whole(own - offs[next]) || is_whole(own - offs[next.saturating_sub(1)])
    };
    let mut found = list.to_vec();
    found.retain(|i| is_pattern && is_on(i));
    found
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, recovered};

    /// Lines at 45 degrees across the walls of the shell, so far apart along a face, its window left free.
    fn slanted(apart: f64) -> Vec<[f64; 4]> {
        let bodies = [
            [0.0, 0.0, 100.0, 6.0],
            [136.0, 0.0, 360.0, 6.0],
            [0.0, 234.0, 360.0, 240.0],
            [0.0, 6.0, 6.0, 234.0],
            [354.0, 6.0, 360.0, 234.0],
        ];
        let mut lines = Vec::new();
        for [x0, y0, x1, y1] in bodies {
            // The lines x - y = c of one pattern, cut off by the body.
            let mut c = ((x0 - y1) / apart).ceil() * apart;
            while c < x1 - y0 {
                let (low, high) = (y0.max(x0 - c), y1.min(x1 - c));
                if high - low > 0.5 {
                    lines.push([low + c, low, high + c, high]);
                }
                c += apart;
            }
        }
        lines
    }

    #[test]
    fn hatching_drawn_line_by_line_is_no_wall() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let plain = recovered(&lines).output;
        for apart in [3.0, 5.0, 7.0] {
            let mut all = lines.clone();
            all.extend(slanted(apart));
            let found = recovered(&all).output;
            assert_eq!(exterior_openings(&found), [[118.0, 3.0, 36.0]], "{apart}");
            let counts = [&found, &plain].map(|it| it.storeys[0].walls.len());
            assert_eq!(counts, [4, 4], "{apart}");
        }
    }
}
