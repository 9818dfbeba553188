//! Glass round a corner that is drawn alone: two walls end at jambs, and a pane goes on from each to where their centre lines cross.
//!
//! ```text
//!   ━━━━━━━┓
//!    wall  ┃═══════╗       no wall stands across either end: both openings run into the corner
//!   ━━━━━━━┛       ║
//!                ┏━━━┓
//!                ┃   ┃ wall
//! ```

use crate::plan::axis::Axis;
use crate::plan::lines::rails::around;
use crate::plan::lines::symbols::{Evidence, Place};
use crate::plan::nearby::Nearby;
use crate::plan::walls::bonds::{NARROWEST, WIDEST};
use crate::plan::walls::runs::Run;

/// Walls at a corner stand at an angle whose sine is at least this.
const ACROSS: f64 = 0.5;

/// No window's box is longer, inches.
const LONG: f64 = 120.0;

/// Adds the openings of both walls at each such corner.
pub(in crate::plan) fn add_round_corners(runs: &mut [Run], place: &Place<'_>) {
    let ends: Vec<(usize, usize)> = (0..runs.len())
        .flat_map(|i| [(i, 0), (i, 1)])
        .filter(|&(i, side)| is_wall(&runs[i], side))
        .collect();
    let at = |&(i, side): &(usize, usize)| {
        let run: &Run = &runs[i];
        run.axis.point([run.u0, run.u1][side], 0.0)
    };
    let index = Nearby::points(ends.iter().map(at));
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((around(&run.corners(), 0.0)?, i))));
    let mut found: Vec<[(usize, usize, f64, Evidence); 2]> = Vec::new();
    for (k, own) in ends.iter().enumerate() {
        let mut near = Vec::new();
        index.visit_within(at(own), WIDEST, |j| near.push(j));
        near.sort_unstable();
        let corner = near.into_iter().filter(|j| *j > k).find_map(|j| {
            let other = ends[j];
            let first = pane(runs, (*own, other.0), &tree, place)?;
            let second = pane(runs, (other, own.0), &tree, place)?;
            Some([first, second])
        });
        found.extend(corner);
    }
    for (i, side, corner, evidence) in found.into_iter().flatten() {
        if runs[i].capped[side] {
            runs[i].open_into_corner(side, corner, evidence);
        }
    }
}

/// True for the closed end of a wall: its other end goes on to another wall, or it is long. A window's box in a wall of one line is
/// closed at both.
fn is_wall(run: &Run, side: usize) -> bool {
    let is_one = !run.capped[1 - side] || run.longest > LONG;
    run.capped[side] && is_one && !run.is_curtain && run.curve.is_none()
}

/// The opening from the end of a run to where another one's centre line crosses, when glass fills it and no wall stands there.
fn pane(
    runs: &[Run],
    ((i, side), other): ((usize, usize), usize),
    tree: &Nearby,
    place: &Place<'_>,
) -> Option<(usize, usize, f64, Evidence)> {
    let run = &runs[i];
    if other == i || run.axis.sine(&runs[other].axis).abs() < ACROSS {
        return None;
    }
    let corner = run.axis.meets(&runs[other].axis)?;
    let (from, to) = if side == 0 {
        (corner, run.u0)
    } else {
        (run.u1, corner)
    };
    if !(NARROWEST..=WIDEST).contains(&(to - from)) {
        return None;
    }
    let axis = Axis {
        origin: run.axis.point(from, 0.0),
        ..run.axis
    };
    // As far as the inner side of the corner: beyond it the other pane may be nearer the outside.
    let evidence = place.look(&axis, to - from, run.thickness);
    let ends = [from + 1.0, to - 1.0].map(|u| run.axis.point(u, 0.0));
    let area = around(&ends, 0.0)?;
    let is_taken = tree.any(&area, |j| j != i);
    (evidence.n_inner > 0 && !is_taken && !evidence.is_hung())
        .then_some((i, side, corner, evidence))
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, open_shell, recovered};

    #[test]
    fn a_pane_round_a_corner_is_two_openings_and_asked_about() {
        for off in [&[0.0][..], &[-0.5, 0.5][..]] {
            let mut lines = open_shell(100.0, 136.0);
            lines.push([100.0, 3.0, 136.0, 3.0]);
            lines.retain(|l| !(l[0] >= 136.0 && l[1] < 7.0 && l[1] == l[3]));
            lines.retain(|l| !(l[0] > 353.0 && l[2] > 353.0 && l[0] == l[2]));
            for (y, end) in [(0.0, 300.0), (6.0, 300.0)] {
                lines.push([136.0, y, end, y]);
            }
            lines.push([300.0, 0.0, 300.0, 6.0]);
            for (x, top) in [(354.0, 234.0), (360.0, 240.0)] {
                lines.push([x, 60.0, x, top]);
            }
            lines.push([354.0, 60.0, 360.0, 60.0]);
            for d in off {
                lines.push([300.0, 3.0 + d, 357.0 - d, 3.0 + d]);
                lines.push([357.0 - d, 3.0 + d, 357.0 - d, 60.0]);
            }
            let found = recovered(&lines);
            assert_eq!(found.output.storeys[0].outline.len(), 4);
            let asked = found
                .findings
                .iter()
                .filter(|it| it.code == codes::IN_CORNER);
            assert_eq!(asked.count(), 2, "{off:?}");
            assert_eq!(exterior_openings(&found.output).len(), 3, "{off:?}");
        }
    }
}
