//! Openings over which the line of the wall is drawn through: a window between two ticks, a door by its swing.
//!
//! ```text
//!   ───┬──────┬───     ───╮─────        the line runs on; ticks with a line from one to the other, or a quarter circle
//!      └──────┘           ╰             about a point of the line
//! ```

use super::super::axis::{Axis, covered};
use super::super::lines::rails::Rails;
use super::super::lines::symbols::{Evidence, Place};
use super::super::walls::bonds::{NARROWEST, WIDEST};
use super::super::walls::runs::Run;
use super::chains::{SYMBOL, cell};
use std::collections::BTreeSet;

/// A tick is at least this long, inches: so deep is a window drawn as a flat box on its line.
const LEAST_TICK: f64 = 0.7;
/// What ends at a tick or at the line ends within this of it, inches, beyond the drawing's slack.
const AT: f64 = 0.6;

/// Adds windows: boxes and pairs of ticks on a line.
pub(super) fn mark_windows(rails: &Rails, runs: &mut [Run], place: &Place<'_>, slack: f64) {
    let near = AT + slack;
    for run in runs.iter_mut() {
        let ends = [run.axis.point(run.u0, 0.0), run.axis.point(run.u1, 0.0)];
        // Ticks across the line, and lines along it that are as long as two ticks are apart.
        let (mut ticks, mut along) = (Vec::new(), Vec::new());
        for i in rails.near(&ends, SYMBOL) {
            let rail = &rails.list[i];
            let sine = run.axis.sine(&rail.axis).abs();
            for &(a, b) in &rail.cover {
                let [p, q] = [a, b].map(|u| rail.axis.point(u, 0.0));
                let (s, d) = ([p, q].map(|p| run.axis.s(p)), [p, q].map(|p| run.axis.d(p)));
                let (low, high) = (d[0].min(d[1]), d[0].max(d[1]));
                let is_on = low <= near && high >= -near;
                if sine > 0.96 && (LEAST_TICK..=SYMBOL).contains(&(b - a)) && is_on {
                    ticks.push((f64::midpoint(s[0], s[1]), low, high));
                } else if sine < 0.03 && low.abs().min(high.abs()) > 0.4 && high.abs() <= SYMBOL {
                    along.push((s[0].min(s[1]), s[0].max(s[1]), f64::midpoint(low, high)));
                }
            }
        }
        ticks.sort_by(|p, q| p.0.total_cmp(&q.0));
        ticks.dedup_by(|next, tick| {
            let is_one = (next.0 - tick.0).abs() < near;
            if is_one {
                (tick.1, tick.2) = (tick.1.min(next.1), tick.2.max(next.2));
            }
            is_one
        });
        let mut found = Vec::new();
        for pair in ticks.windows(2) {
            let (from, to) = (pair[0].0, pair[1].0);
            // A leaf that stands open beside the wall meets the stub it hangs on, and no tick of a window.
            let meets = |d: f64| pair.iter().all(|it| d > it.1 - near && d < it.2 + near);
            let is_boxed = along
                .iter()
                .any(|(a, b, d)| (a - from).abs() <= near && (b - to).abs() <= near && meets(*d));
            let inside = from > run.u0 - near && to < run.u1 + near;
            if is_boxed && inside && (NARROWEST..=WIDEST).contains(&(to - from)) {
                found.push((from, to));
            }
        }
        let inside = |it: &(f64, f64)| it.0 > run.u0 - near && it.1 < run.u1 + near;
        found.extend(panes(&along, near).into_iter().filter(inside));
        add(run, &found, place);
    }
}

/// Panes lie within this of the line, inches.
const PANE: f64 = 3.0;

/// Windows drawn by their panes alone: two lines of one length, as far on either side of the wall's.
///
/// - `along`: from where to where each line goes beside the wall's, and how far off it.
fn panes(along: &[(f64, f64, f64)], near: f64) -> Vec<(f64, f64)> {
    let is_one = |p: f64, q: f64| (p - q).abs() <= near;
    let mut list = Vec::new();
    for &(from, to, d) in along.iter().filter(|it| (0.0..=PANE).contains(&it.2)) {
        let mut others = along.iter();
        let is_pair =
            others.any(|it| is_one(it.0, from) && is_one(it.1, to) && (it.2 + d).abs() < 0.1);
        if is_pair && (NARROWEST..=WIDEST).contains(&(to - from)) {
            list.push((from, to));
        }
    }
    list
}

/// What is drawn in an opening sets its jambs closer than the ends of the lines beside it, within this, inches.
const SETS: f64 = 0.75;

/// Where an opening begins and ends: at the ends of a window's box, at a swing's hinge and where it meets the line again, else
/// where the lines beside it end.
pub(super) fn jambs(
    rails: &Rails,
    axis: &Axis,
    width: f64,
    evidence: &Evidence,
    place: &Place<'_>,
) -> (f64, f64) {
    let mut marks: Vec<f64> = Vec::new();
    for end in [0.0, width] {
        for i in rails.near(&[axis.point(end, 0.0)], SETS) {
            let rail = &rails.list[i];
            if axis.sine(&rail.axis).abs() < 0.96 {
                continue;
            }
            let on = rail.axis.s(axis.point(end, 0.0));
            let is_tick = |(a, b): &(f64, f64)| {
                (LEAST_TICK..=SYMBOL).contains(&(b - a)) && *a <= on + SETS && *b >= on - SETS
            };
            if rail.cover.iter().any(is_tick) {
                marks.extend(axis.meets(&rail.axis));
            }
        }
    }
    for arc in evidence.swings.iter().map(|it| &place.arcs[it.arc]) {
        let hinge = axis.s(arc.centre);
        marks.extend([
            hinge,
            hinge + (axis.s(arc.middle) - hinge).signum() * arc.radius,
        ]);
    }
    let set = |end: f64| {
        let near = marks.iter().copied().filter(|u| (u - end).abs() <= SETS);
        near.min_by(|p, q| (p - end).abs().total_cmp(&(q - end).abs()))
            .unwrap_or(end)
    };
    (set(0.0), set(width))
}

/// Adds doors whose swing turns about a point of a line that runs on.
pub(super) fn mark_doors(runs: &mut [Run], place: &Place<'_>, slack: f64) {
    let hung: BTreeSet<usize> = runs
        .iter()
        .flat_map(|run| &run.cells)
        .flat_map(|cell| cell.evidence.swings.iter().map(|it| it.arc))
        .collect();
    let near = AT + slack;
    for (i, arc) in place.arcs.iter().enumerate() {
        if hung.contains(&i) {
            continue;
        }
        let mut on = runs.iter_mut().filter(|run| {
            let (s, d) = (run.axis.s(arc.centre), run.axis.d(arc.centre).abs());
            let ahead = run.axis.s(arc.middle) - s;
            let far = s + ahead.signum() * arc.radius;
            let (low, high) = (run.u0 - near, run.u1 + near);
            let is_square = (ahead.abs() - 0.707 * arc.radius).abs() < 0.15 * arc.radius;
            d <= near && is_square && s >= low && s <= high && far >= low && far <= high
        });
        let (Some(run), None) = (on.next(), on.next()) else {
            continue;
        };
        let s = run.axis.s(arc.centre);
        let far = s + (run.axis.s(arc.middle) - s).signum() * arc.radius;
        add(run, &[(s.min(far), s.max(far))], place);
    }
}

fn add(run: &mut Run, found: &[(f64, f64)], place: &Place<'_>) {
    for &(from, to) in found {
        let mut taken: Vec<(f64, f64)> = run.cells.iter().map(|it| (it.u0, it.u1)).collect();
        taken.sort_by(|p, q| p.0.total_cmp(&q.0));
        if covered(&taken, from, to) > 0.1 * (to - from) {
            continue;
        }
        let axis = Axis {
            origin: run.axis.point(from, 0.0),
            ..run.axis
        };
        let evidence = place.look(&axis, to - from, SYMBOL);
        if evidence.is_drawn() {
            let ends = [from, to].map(|u| run.axis.point(u, 0.0));
            run.cells.push(cell(&run.axis, ends[0], ends[1], evidence));
        }
    }
    run.cells.sort_by(|p, q| p.u0.total_cmp(&q.u0));
}
