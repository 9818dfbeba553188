//! Reveals rebated in masonry: nibs at both ends of an opening stand in the outer or the inner part of the wall only.
//!
//! ```text
//!   ═══════╗         ╔═══════        one opening, as wide as it is clear between the nibs: the frame stands behind them, and the
//!          ║   nib   ║               wall is open through its whole depth there only
//!   ═══════╩══╗   ╔══╩═══════
//! ```
//!
//! Panels have no nibs: what passes through the whole wall is the opening, and never a thin wall inside a thick one.

use crate::plan::axis::Axis;
use crate::plan::lines::rails::around;
use crate::plan::lines::symbols::Place;
use crate::plan::nearby::Nearby;
use crate::plan::walls::runs::{Cell, Run};

/// A nib is at most this long, inches: a brick on end with its joint. Source: common practice, no source.
pub(super) const NIB: f64 = 10.0;
/// The wall goes on beyond its nibs by at least this and half its thickness, inches: more than to the middle of a wall across.
const BEYOND: f64 = 4.0;
/// What a nib leaves of its wall's depth, inches, at least: a rebate for a frame.
const REBATE: f64 = 1.0;
/// A nib is flush with a face of its wall, and ends where the wider part does, within this, inches, beyond the drawing's slack.
const FLUSH: f64 = 0.3;
/// Within this sine two axes lie along one another.
const PARALLEL: f64 = 0.01;

/// Gives each wall the openings that nibs narrow, and takes out the thin walls that the nibs would be.
pub(super) fn with_reveals(mut runs: Vec<Run>, place: &Place<'_>, slack: f64) -> Vec<Run> {
    let loose = FLUSH + slack;
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((around(&run.corners(), loose)?, i))));
    let mut gone = vec![false; runs.len()];
    // Which run a piece is a part of by now.
    let mut now: Vec<usize> = (0..runs.len()).collect();
    for i in 0..runs.len() {
        let Some((own, area)) =
            narrow(&runs[i]).and_then(|cell| Some((cell, around(&runs[i].corners(), loose)?)))
        else {
            continue;
        };
        let nibs = runs[i].clone();
        let near = tree.sorted(&area).into_iter();
        let mut hosts: Vec<usize> = near.map(|j| now[j]).collect();
        hosts.sort_unstable();
        hosts.dedup();
        hosts.retain(|&j| j != i && !gone[j] && is_flush(&nibs, &runs[j], loose));
        let wide = |run: &Run| on(&nibs.axis, (nibs.u0, nibs.u1), &run.axis);
        let whole = hosts.iter().find_map(|&j| {
            let (host, wide) = (&runs[j], wide(&runs[j]));
            // From corner to corner the thin one is the wall, and what stands before it furniture.
            if (wide.0 - host.u0).min(host.u1 - wide.1) < host.thickness / 2.0 + BEYOND {
                return None;
            }
            // A frame in an opening is closed all round; a nib is one with its wall.
            let is_nib = nibs.capped == [false, false];
            // A wall across may end the wider part before the nib's root does, or after.
            let is_it = |it: &Cell| {
                (is_nib || !it.has_jambs)
                    && (it.u0 - wide.0).abs().max((it.u1 - wide.1).abs()) <= NIB
            };
            let mut cells = host.cells.iter().enumerate();
            Some((j, cells.find(|it| is_it(it.1))?.0))
        });
        if let Some((host, number)) = whole {
            let cell = through(&own, &nibs.axis, &runs[host], place);
            runs[host].cells[number] = cell;
            gone[i] = true;
            continue;
        }
        // Nothing drawn across the wider part: the wall is in two pieces.
        let ends_here = |j: &&usize| {
            let (run, wide) = (&runs[**j], wide(&runs[**j]));
            (run.u1 - wide.0).abs().min((run.u0 - wide.1).abs()) <= loose
        };
        let pair: Vec<usize> = hosts.iter().filter(ends_here).copied().collect();
        let [first, last] = pair[..] else { continue };
        let goes_on = |run: &Run| run.u1 - run.u0 >= run.thickness / 2.0 + BEYOND;
        let is_one = goes_on(&runs[first])
            && goes_on(&runs[last])
            && (runs[first].thickness - runs[last].thickness).abs() <= loose
            && runs[first]
                .axis
                .d(runs[last].axis.point(runs[last].u0, 0.0))
                .abs()
                <= loose
            && runs[first].curve.is_none()
            && runs[last].curve.is_none();
        if is_one {
            let cell = through(&own, &nibs.axis, &runs[first], place);
            let mut joined = runs[first].clone().joined(&runs[last]);
            joined.cells.push(cell);
            joined.cells.sort_by(|p, q| p.u0.total_cmp(&q.u0));
            runs[first] = joined;
            gone[last] = true;
            gone[i] = true;
            for it in now.iter_mut().filter(|it| **it == last) {
                *it = first;
            }
        }
    }
    let mut gone = gone.into_iter();
    runs.retain(|_| gone.next() != Some(true));
    runs
}

/// The opening of a run that is nothing but it and a nib at either end.
fn narrow(run: &Run) -> Option<Cell> {
    let [cell] = &run.cells[..] else { return None };
    let is_nib = |long: f64| (0.5..=NIB).contains(&long);
    let is_it = is_nib(cell.u0 - run.u0) && is_nib(run.u1 - cell.u1) && run.curve.is_none();
    is_it.then(|| cell.clone())
}

/// True when a run has one face on that of a thicker one, and its body in it.
fn is_flush(own: &Run, host: &Run, loose: f64) -> bool {
    let aside = host.axis.d(own.axis.point(own.u0, 0.0)).abs();
    own.axis.sine(&host.axis).abs() < PARALLEL
        && host.thickness >= own.thickness + REBATE
        && (aside + own.thickness / 2.0 - host.thickness / 2.0).abs() <= loose
}

/// Where a stretch of one axis lies along another.
fn on(axis: &Axis, (u0, u1): (f64, f64), of: &Axis) -> (f64, f64) {
    let [p, q] = [u0, u1].map(|u| of.s(axis.point(u, 0.0)));
    (p.min(q), p.max(q))
}

/// The opening between nibs through the whole of a wall: what is drawn behind the nibs is in it.
fn through(cell: &Cell, axis: &Axis, host: &Run, place: &Place<'_>) -> Cell {
    let (u0, u1) = on(axis, (cell.u0, cell.u1), &host.axis);
    let own = Axis {
        origin: host.axis.point(u0, 0.0),
        ..host.axis
    };
    let evidence = place.look(&own, u1 - u0, host.thickness);
    Cell {
        u0,
        u1,
        evidence,
        has_jambs: cell.has_jambs,
        in_corner: false,
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{Swing, exterior_openings, recovered_with, sides};

    /// How many walls and which outside openings come of a house of 12 in walls, a window and a door in its lower wall, both narrowed
    /// by nibs of 4 in from here to there in its depth.
    fn narrowed((low, high): (f64, f64), glass: f64) -> (usize, Vec<[f64; 3]>) {
        let mut lines = sides(0.0, 0.0, 400.0, 280.0);
        lines.extend(sides(12.0, 12.0, 388.0, 268.0));
        lines.retain(|l| !(l[1] < 13.0 && l[3] < 13.0));
        let middle = if low > 0.0 { low } else { high };
        let openings = [(100.0, 148.0), (260.0, 296.0)];
        for y in [0.0, 12.0] {
            let wide = if (low..=high).contains(&y) { 0.0 } else { 4.0 };
            let (start, end) = if y > 0.0 { (12.0, 388.0) } else { (0.0, 400.0) };
            let [a, b, c, d] = [100.0 - wide, 148.0 + wide, 260.0 - wide, 296.0 + wide];
            lines.extend([[start, y, a, y], [b, y, c, y], [d, y, end, y], [a, y, b, y]]);
            for (x, away) in [(100.0, -wide), (148.0, wide), (260.0, -wide), (296.0, wide)] {
                lines.push([x + away, y, x + away, middle]);
            }
        }
        for (left, right) in openings {
            lines.extend([
                [left - 4.0, middle, left, middle],
                [right, middle, right + 4.0, middle],
            ]);
        }
        lines.extend([glass, glass + 1.0].map(|y| [100.0, y, 148.0, y]));
        lines.push([260.0, middle, 260.0, middle + 36.0]);
        let swing = Swing {
            centre: [260.0, middle],
            radius: 36.0,
            start: 0.0,
        };
        let plan = recovered_with(&lines, &[swing]).output;
        (plan.storeys[0].walls.len(), exterior_openings(&plan))
    }

    #[test]
    fn an_opening_is_as_wide_as_it_is_clear_between_the_nibs_and_they_are_no_walls() {
        let wanted = vec![[124.0, 6.0, 48.0], [278.0, 6.0, 36.0]];
        assert_eq!(narrowed((0.0, 4.0), 2.0), (4, wanted.clone()));
        assert_eq!(narrowed((0.0, 4.0), 6.0), (4, wanted.clone()));
        assert_eq!(narrowed((8.0, 12.0), 9.0), (4, wanted));
    }
}
