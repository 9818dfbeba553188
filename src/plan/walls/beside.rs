//! What stands against a wall and is none: counters, shelves, wardrobes, boards before windows.
//!
//! ```text
//!   ══════════════════════   wall            ══════════════════════   wall
//!     ┌────────────┐  both ends free,          │              │       the line that closes the end goes on to the wall:
//!     └────────────┘  no room behind it        └──────────────┘       the side of a box, and no end of a wall
//!                                              └──────────────┘
//! ```

use crate::plan::axis::Axis;
use crate::plan::lines::rails::{Rails, around};
use crate::plan::nearby::Nearby;
use crate::plan::walls::runs::Run;
use crate::side_by_side::one_each;
use geo::Coord;
use std::ops::RangeInclusive;

/// Between a wall and what stands against it is no room, inches.
const NO_ROOM: f64 = 6.0;
/// What stands against a wall with one end at another wall is at least this deep, inches: two walls may stand so close.
const DEEP: f64 = 10.0;
/// A box against a wall is at most this deep behind its front, inches.
const BOX: f64 = 30.0;
/// An end meets what lies within this of it, inches.
const REACH: f64 = 2.0;
/// What hangs askew is off along and off across by more than six degrees, as a sine.
const SKEW: RangeInclusive<f64> = 0.1..=0.99;
/// Lines end where they touch a face, inches, beyond the drawing's slack.
const AT_FACE: f64 = 0.35;

/// Takes out runs that stand against a wall and are none.
pub(in crate::plan) fn drop_beside(rails: &Rails, runs: &mut Vec<Run>, slack: f64) {
    drop_hangers(runs);
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((around(&run.corners(), REACH)?, i))));
    let all: &[Run] = runs;
    let gone = one_each(all.len(), |i| {
        let own = &all[i];
        let is_known = own.is_curtain
            || own.curve.is_some()
            || own.cells.iter().any(|it| it.evidence.is_hung());
        let Some(area) = around(&own.corners(), BOX + REACH).filter(|_| !is_known) else {
            return false;
        };
        let near = tree.sorted(&area).into_iter();
        let others: Vec<&Run> = near.filter(|j| *j != i).map(|j| &all[j]).collect();
        let free = [own.u0, own.u1].map(|u| !others.iter().any(|it| meets(own, u, it)));
        if free == [false, false] || others.iter().any(|it| ends_at(it, own)) {
            return false;
        }
        let walls = || others.iter().filter_map(|it| behind(own, it));
        let is_against = || {
            let is_none = free == [true, true] || own.thickness >= DEEP;
            is_none && walls().any(|it| it.1 <= NO_ROOM)
        };
        let is_box = || {
            let closes = |side, gap| {
                (0..2).any(|end| free[end] && closes_a_box(rails, own, (end, side, gap), slack))
            };
            walls().any(|(side, gap)| gap > REACH && closes(side, gap))
        };
        is_against() || is_box()
    });
    let mut gone = gone.into_iter();
    runs.retain(|_| gone.next() != Some(true));
}

/// Takes out what is shorter than twice its thickness, closed at neither end and free at one, and hangs askew at other runs: the
/// hangers of a wardrobe, two by two.
fn drop_hangers(runs: &mut Vec<Run>) {
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((around(&run.corners(), REACH)?, i))));
    let is_short = |run: &Run| run.u1 - run.u0 < 2.0 * run.thickness;
    let all: &[Run] = runs;
    let gone = one_each(all.len(), |i| {
        let own = &all[i];
        let is_loose = own.capped == [false, false] && own.cells.is_empty();
        let may_be = is_loose && is_short(own) && !own.is_curtain && own.curve.is_none();
        let Some(area) = around(&own.corners(), REACH).filter(|_| may_be) else {
            return false;
        };
        let near = tree.sorted(&area).into_iter();
        let others: Vec<&Run> = near.filter(|j| *j != i).map(|j| &all[j]).collect();
        let is_free = |u: f64| !others.iter().any(|it| meets(own, u, it));
        let mut walls = others.iter().filter(|it| !is_short(it));
        let is_askew = walls.all(|it| SKEW.contains(&own.axis.sine(&it.axis).abs()));
        is_askew && (is_free(own.u0) || is_free(own.u1))
    });
    let mut gone = gone.into_iter();
    runs.retain(|_| gone.next() != Some(true));
}

/// True when the end of a run at `u` lies at another run: across it or in line with it.
fn meets(own: &Run, u: f64, other: &Run) -> bool {
    let end = own.axis.point(u, 0.0);
    let (s, d) = (other.axis.s(end), other.axis.d(end).abs());
    if own.axis.sine(&other.axis).abs() > 0.3 {
        let beyond = own.thickness / 2.0 + REACH;
        return d <= other.thickness / 2.0 + REACH
            && s >= other.u0 - beyond
            && s <= other.u1 + beyond;
    }
    d < other.thickness / 2.0 && (s - other.u0).abs().min((s - other.u1).abs()) <= REACH
}

/// True when a run across ends at the body of another one.
fn ends_at(run: &Run, own: &Run) -> bool {
    let is_across = own.axis.sine(&run.axis).abs() > 0.3;
    is_across
        && [run.u0, run.u1].iter().any(|u| {
            let end = run.axis.point(*u, 0.0);
            let (s, d) = (own.axis.s(end), own.axis.d(end).abs());
            let is_along = s > own.u0 + REACH && s < own.u1 - REACH;
            is_along && d <= own.thickness / 2.0 + REACH
        })
}

/// On which side a longer wall stands along the whole of a run, and how far its face is from the run's.
fn behind(own: &Run, wall: &Run) -> Option<(f64, f64)> {
    if own.axis.sine(&wall.axis).abs() > 0.01 {
        return None;
    }
    let ends = [own.u0, own.u1].map(|u| wall.axis.s(own.axis.point(u, 0.0)));
    let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let is_along = low >= wall.u0 - REACH && high <= wall.u1 + REACH;
    let middle = wall.axis.point(f64::midpoint(low, high), 0.0);
    let aside = own.axis.d(middle);
    let gap = aside.abs() - (own.thickness + wall.thickness) / 2.0;
    let is_longer = wall.u1 - wall.u0 > 1.25 * (own.u1 - own.u0);
    (is_along && is_longer && gap > -0.5 && gap <= BOX).then_some((aside.signum(), gap))
}

/// True when one line closes the end of a run and goes on to the wall beside it, and none closes the end alone.
fn closes_a_box(rails: &Rails, own: &Run, (end, side, gap): (usize, f64, f64), slack: f64) -> bool {
    let u = [own.u0, own.u1][end];
    let half = own.thickness / 2.0;
    let across = Axis {
        origin: own.axis.point(u, -side * half),
        along: own.axis.left() * side,
    };
    let loose = AT_FACE + slack;
    let ends: [Coord<f64>; 2] = [across.origin, across.point(own.thickness + gap, 0.0)];
    let (mut goes_on, mut is_closed) = (false, false);
    for i in rails.near_line(ends, 1.0, |way| way.sine_from(&across).abs() < 0.02) {
        let rail = &rails.list[i];
        if across.d(rail.axis.point(rail.start(), 0.0)).abs() > loose + 0.5 {
            continue;
        }
        for (a, b, _) in &rail.pieces {
            let [p, q] = [*a, *b].map(|s| across.s(rail.axis.point(s, 0.0)));
            let (low, high) = (p.min(q), p.max(q));
            goes_on |= low <= loose && high >= own.thickness + gap - loose;
            is_closed |= low.abs() <= loose && (high - own.thickness).abs() <= loose;
        }
    }
    goes_on && !is_closed
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered, sides};

    /// How many inner walls come of the house with a window and these lines.
    fn n_inner(own: &[[f64; 4]]) -> usize {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        // A partition, so that its thickness is common.
        lines.extend([[250.0, 6.0, 250.0, 234.0], [254.5, 6.0, 254.5, 234.0]]);
        lines.extend(own);
        let plan = recovered(&lines).output;
        let walls = plan.storeys[0].walls.iter();
        walls.filter(|wall| !wall.is_exterior).count() - 1
    }

    #[test]
    fn a_board_inside_before_a_window_is_no_wall() {
        assert_eq!(n_inner(&sides(90.0, 6.0, 146.0, 10.5)), 0);
    }

    #[test]
    fn a_counter_with_its_splashback_is_no_wall() {
        let lines = [
            [6.0, 30.0, 200.0, 30.0],
            [200.0, 30.0, 200.0, 6.0],
            [6.0, 7.0, 200.0, 7.0],
        ];
        assert_eq!(n_inner(&lines), 0);
    }

    #[test]
    fn the_front_of_a_wardrobe_is_no_wall_and_that_of_a_closet_is_one() {
        let mut lines = sides(6.0, 210.0, 120.0, 234.0);
        lines.push([6.0, 213.5, 120.0, 213.5]);
        assert_eq!(n_inner(&lines), 0);
        // With a rod, and hangers on it askew.
        let mut lines = sides(6.0, 148.0, 30.0, 234.0);
        lines.push([18.0, 148.0, 18.0, 234.0]);
        for k in 0..8 {
            let y = 152.0 + 10.0 * f64::from(k);
            lines.push([10.0, y, 27.0, y + 4.0]);
        }
        assert_eq!(n_inner(&lines), 0);
        // A wall 2 ft before the other, with an end of its own.
        let lines = [
            [6.0, 205.0, 120.0, 205.0],
            [6.0, 209.5, 120.0, 209.5],
            [120.0, 205.0, 120.0, 209.5],
        ];
        assert_eq!(n_inner(&lines), 1);
    }
}
