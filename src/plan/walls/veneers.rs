//! Leaves of brick or stone that stand before a wall: drawn as a wall of their own, and none of the building's.
//!
//! ```text
//!   ▒▒▒▒▒▒▒▒┐   ┌▒▒▒▒▒▒▒▒   it meets no other wall, and opens only where the wall behind it does:
//!   ════════╪═══╪════════   that one is the outside, and the leaf is asked about
//!   ════════╪═══╪════════
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::axis::Axis;
use crate::plan::codes;
use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::walls::runs::{Cell, Run};
use crate::side_by_side::one_each;
use geo::Coord;

/// A leaf ends where its wall does within this, inches.
const FLUSH: f64 = 1.0;
/// Brick and stone before a wall are so thick, inches. Source: units of 2 3/4 to 4 in and their mortar; common practice, no source.
const BRICK: (f64, f64) = (2.2, 4.8);
/// And stand so far off it, inches. Source: air spaces of 1 in, 2 in at most before sheathing; common practice, no source.
const AIR: (f64, f64) = (0.25, 3.0);
/// The wall behind is thicker by this at least, inches: two equal leaves are a double wall.
const THICKER: f64 = 0.7;
/// A leaf is at least this long, inches.
const LONG: f64 = 48.0;
/// Walls meet that are nearer than this, inches.
const APART: f64 = 0.2;

/// Takes out the leaves, and hands them back.
pub(in crate::plan) fn drop_veneers(runs: &mut Vec<Run>) -> Vec<Run> {
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((around(&run.corners(), 0.0)?, i))));
    let all: &[Run] = runs;
    let is_gone = one_each(all.len(), |i| {
        let own = &all[i];
        let may_be = (BRICK.0..=BRICK.1).contains(&own.thickness)
            && own.u1 - own.u0 >= LONG
            && !own.is_curtain
            && own.curve.is_none();
        let Some(area) = around(&own.corners(), AIR.1).filter(|_| may_be) else {
            return false;
        };
        let near = tree.sorted(&area).into_iter();
        let others: Vec<&Run> = near.filter(|j| *j != i).map(|j| &all[j]).collect();
        let mut walls = others.iter();
        walls.any(|wall| is_leaf(own, wall) && is_apart(own, wall, &others))
    });
    let mut is_gone = is_gone.into_iter();
    let is_leaf = |_: &mut Run| is_gone.next() == Some(true);
    runs.extract_if(.., is_leaf).collect()
}

/// A doubt at each leaf that was left out, and at what opens in it.
pub(in crate::plan) fn ask_about_veneers(
    leaves: &[Run],
    file: &str,
    origin: Coord<f64>,
) -> Vec<Finding> {
    let ask = |leaf: &Run| -> Vec<Finding> {
        let middles = leaf.cells.iter().map(|it| f64::midpoint(it.u0, it.u1));
        let places = std::iter::once(f64::midpoint(leaf.u0, leaf.u1)).chain(middles);
        let places = places.map(|u| leaf.axis.point(u, 0.0) + origin);
        let doubt = |at: Coord<f64>| {
            Finding::doubt(
                codes::WHICH_LAYER,
                Where::file(file).with_at(at.x, at.y),
                format!(
                    "a leaf of {:.2} in stands before a wall, meets no other, and opens only where that does: taken as a veneer, the wall behind it as the outside",
                    leaf.thickness
                ),
                "nothing, if it is brick or stone before the wall; else draw it up to the walls that it belongs to",
            )
        };
        places.map(doubt).collect()
    };
    leaves.iter().flat_map(ask).collect()
}

/// From where to where a run lies along another one.
fn along(run: &Run, of: &Run) -> (f64, f64) {
    let [p, q] = [run.u0, run.u1].map(|u| of.axis.s(run.axis.point(u, 0.0)));
    (p.min(q), p.max(q))
}

/// Where a cell of a run lies along another one.
fn cell_along(axis: &Axis, cell: &Cell, of: &Run) -> (f64, f64) {
    let [p, q] = [cell.u0, cell.u1].map(|u| of.axis.s(axis.point(u, 0.0)));
    (p.min(q), p.max(q))
}

/// True for a leaf as thick as brick, an air space before a thicker wall, with openings only where that has one.
fn is_leaf(own: &Run, wall: &Run) -> bool {
    let (low, high) = along(wall, own);
    let both = f64::midpoint(low.max(own.u0), high.min(own.u1));
    let aside = wall.axis.d(own.axis.point(both, 0.0)).abs();
    let gap = aside - (own.thickness + wall.thickness) / 2.0;
    // The wall behind is known from inner corner to inner corner.
    let beyond = wall.thickness + own.thickness + gap + FLUSH;
    let opens_too = |cell: &Cell| {
        wall.cells.iter().any(|it| {
            let (from, to) = cell_along(&wall.axis, it, own);
            from < cell.u1 && to > cell.u0
        })
    };
    own.axis.sine(&wall.axis).abs() < 0.01
        && (AIR.0..=AIR.1).contains(&gap)
        && wall.thickness >= own.thickness + THICKER
        && own.u0 >= low - beyond
        && own.u1 <= high + beyond
        && own.cells.iter().all(opens_too)
}

/// True when no wall but the one behind it comes near a run: a leaf inside ends at the walls across.
fn is_apart(own: &Run, wall: &Run, others: &[&Run]) -> bool {
    let half = own.thickness / 2.0;
    !others.iter().any(|it| {
        let corners = it.corners().map(|p| (own.axis.s(p), own.axis.d(p)));
        let reach = |of: &dyn Fn((f64, f64)) -> f64| {
            corners
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |m, c| {
                    (m.0.min(of(*c)), m.1.max(of(*c)))
                })
        };
        let (s, d) = (reach(&|c| c.0), reach(&|c| c.1));
        let off =
            |(low, high): (f64, f64), from: f64, to: f64| (low - to).max(from - high).max(0.0);
        !std::ptr::eq(*it, wall) && off(s, own.u0, own.u1).hypot(off(d, -half, half)) < APART
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, open_shell, recovered};

    /// The house with a window, and brick before its lower wall, open where that is; brick of the left wall, or none.
    fn veneered(returns: bool) -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for (from, to) in [(0.0, 100.0), (136.0, 360.0)] {
            lines.extend([-1.0, -4.5].map(|y| [from, y, to, y]));
            lines.extend([from, to].map(|x| [x, -4.5, x, -1.0]));
        }
        if returns {
            lines.extend([[0.0, -4.5, 0.0, 0.0]]);
        }
        lines
    }

    #[test]
    fn brick_before_one_wall_is_no_wall_and_asked_about() {
        for returns in [false, true] {
            let found = recovered(&veneered(returns));
            assert_eq!(exterior_openings(&found.output), [[118.0, 3.0, 36.0]]);
            let storey = &found.output.storeys[0];
            assert_eq!((storey.outline.len(), storey.walls.len()), (4, 4));
            let asked = found
                .findings
                .iter()
                .filter(|it| it.code == codes::WHICH_LAYER);
            let places: Vec<[f64; 2]> = asked.filter_map(|it| it.place.at).collect();
            assert!(places.contains(&[118.0, -2.75]), "{returns}: {places:?}");
        }
    }
}
