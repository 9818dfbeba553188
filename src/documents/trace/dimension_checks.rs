//! Which side of the building each chain of dimensions stands on; the checks themselves are the plan's.

use crate::documents::paper::Area;
use crate::drawing::Drawing;
pub(super) use crate::plan::dimensions_in_lines;
use crate::plan::{DimensionChain, dimension_chains};
pub(crate) use crate::plan::{DimensionCheck, DimensionVerdict as Verdict, check_dimensions};
use crate::units::Length;

/// A row of dimensions end to end under one overall dimension.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ChainCheck {
    /// Which side of the building, on the sheet as it lies: `top`, `right`, `bottom`, `left`, `inside`.
    pub(crate) side: &'static str,
    /// Lengths as written, in order from the left or from below.
    pub(crate) parts: Vec<Length>,
    /// What they add up to.
    pub(crate) sum: Length,
    /// The overall as written.
    pub(crate) overall: Length,
    /// True when the two agree.
    pub(crate) closes: bool,
}

/// Finds chains that stand under an overall dimension, and adds them up.
///
/// - `turn`: as the sheet turns the building; sides are named as they lie on it.
/// - `extent`: the building as turned, inches.
/// - Returns them by side (top, right, bottom, left, inside), then from the outside in; each set of lengths once.
pub(crate) fn check_chains(
    drawing: &Drawing,
    checks: &[DimensionCheck],
    turn: f64,
    extent: &Area,
) -> Vec<ChainCheck> {
    let mut chains: Vec<(usize, ChainCheck)> = dimension_chains(drawing, checks, turn)
        .into_iter()
        .map(|chain| {
            let side = side_of(&chain, extent);
            (
                side,
                ChainCheck {
                    side: SIDES[side],
                    parts: chain.parts,
                    sum: chain.sum,
                    overall: chain.overall,
                    closes: chain.closes,
                },
            )
        })
        .collect();
    chains.sort_by_key(|(side, _)| *side);
    chains.dedup();
    chains.into_iter().map(|(_, chain)| chain).collect()
}

const SIDES: [&str; 5] = ["top", "right", "bottom", "left", "inside"];

/// Index into [`SIDES`]: on which side of the building an overall dimension stands.
fn side_of(chain: &DimensionChain, extent: &Area) -> usize {
    if chain.is_upright {
        if chain.lane >= extent.x1 {
            1
        } else if chain.lane <= extent.x0 {
            3
        } else {
            4
        }
    } else if chain.lane >= extent.y1 {
        0
    } else if chain.lane <= extent.y0 {
        2
    } else {
        4
    }
}
