//! Openings at the end of a run: from its last jamb to the side of the wall across.
//!
//! ```text
//!   ─────────┐              ║
//!    run     │ ════════════ ║ wall across       no stub of wall stands beyond the opening
//!   ─────────┘              ║
//! ```

use crate::plan::axis::Axis;
use crate::plan::lines::rails::{Rails, around};
use crate::plan::lines::symbols::Place;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::{STONE, jamb_off};
use crate::plan::walls::bonds::{NARROWEST, WIDEST};
use crate::plan::walls::piers::{Part, between_piers};
use crate::plan::walls::runs::{Cell, Run};
use crate::side_by_side::in_stretches;

/// A wall across is found this far beyond its drawn end, inches.
const REACH: f64 = 2.0;

/// Adds the openings that lie between a run's capped end and the wall across, where something drawn speaks for them.
///
/// - `others`: walls that may stand across as well, and get no openings.
pub(in crate::plan) fn add_end_openings(
    rails: &Rails,
    runs: &mut [Run],
    others: &[Run],
    place: &Place<'_>,
    slack: f64,
) {
    let tree = Nearby::new(
        runs.iter()
            .chain(others)
            .enumerate()
            .filter_map(|(i, run)| Some((around(&run.corners(), REACH)?, i))),
    );
    let all: &[Run] = runs;
    let found = in_stretches(all.len(), |part| {
        let ends = part.flat_map(|i| [(i, 0), (i, 1)]);
        ends.filter(|&(i, side)| all[i].capped[side])
            .filter_map(|at| {
                let (face, cells) = end_opening(rails, [all, others], &tree, at, place, slack)?;
                Some((at, face, cells))
            })
            .collect()
    });
    for ((i, side), face, cells) in found {
        let run = &mut runs[i];
        if side == 0 {
            run.u0 = face;
            run.cells.splice(0..0, cells.into_iter().rev());
        } else {
            run.u1 = face;
            run.cells.extend(cells);
        }
        run.capped[side] = false;
    }
}

fn end_opening(
    rails: &Rails,
    [runs, others]: [&[Run]; 2],
    tree: &Nearby,
    (i, side): (usize, usize),
    place: &Place<'_>,
    slack: f64,
) -> Option<(f64, Vec<Cell>)> {
    let run = &runs[i];
    let (end, sign) = if side == 0 {
        (run.u0, -1.0)
    } else {
        (run.u1, 1.0)
    };
    let far = run.axis.point(end + sign * (WIDEST + STONE), 0.0);
    let area = around(&[run.axis.point(end, 0.0), far], run.thickness)?;
    let near = tree.sorted(&area).into_iter().filter(|&j| j != i);
    // The side of the nearest wall across, as a distance from the end.
    let gap = near
        .filter_map(|j| {
            let other = runs.get(j).unwrap_or_else(|| &others[j - runs.len()]);
            let sine = run.axis.sine(&other.axis).abs();
            if sine < 0.5 {
                return None;
            }
            let u = run.axis.meets(&other.axis)?;
            let v = other.axis.s(run.axis.point(u, 0.0));
            let reach = run.thickness / 2.0 + REACH;
            let is_across = v > other.u0 - reach && v < other.u1 + reach;
            // A post of a frame stands in the wall, and goes beyond neither face.
            let goes_beyond = other.u0 < v - reach || other.u1 > v + reach;
            let gap = sign * (u - end) - other.thickness / 2.0 / sine;
            (is_across && goes_beyond && gap > -other.thickness).then_some(gap)
        })
        .min_by(f64::total_cmp)?;
    if !(NARROWEST..=WIDEST).contains(&gap) {
        return None;
    }
    let face = jamb_off(
        rails,
        &run.axis,
        run.thickness,
        end + sign * gap,
        -sign,
        slack,
    );
    let gap = (face - end).abs();
    let axis = Axis {
        origin: run.axis.point(end, 0.0),
        along: run.axis.along * sign,
    };
    let parts = between_piers(rails, &run.rails, (&axis, gap), run.thickness, place, slack)
        .unwrap_or_else(|| vec![(0.0, gap, place.look(&axis, gap, run.thickness))]);
    let cell = |(from, to, evidence): Part| {
        let (p, q) = (end + sign * from, end + sign * to);
        Cell {
            u0: p.min(q),
            u1: p.max(q),
            // A swing's start was seen from the end of the run outwards.
            evidence: if side == 0 {
                evidence.turned()
            } else {
                evidence
            },
            has_jambs: true,
            in_corner: false,
        }
    };
    let is_drawn = parts.iter().all(|it| it.2.is_drawn());
    is_drawn.then(|| (face, parts.into_iter().map(cell).collect()))
}
