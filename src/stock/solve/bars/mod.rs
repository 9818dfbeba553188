//! Bars: pieces of one length.

mod fit;
mod replay;

pub use replay::{check_bar_bound, replay_bars};

use super::model::{Bar, BarBound, BarPlan, Effort, Length1, Unfit};

/// Cuts pieces from bars: at least cost, and among plans of least cost with fewest bars.
///
/// `end_trim` is taken off each end of a bar, its own kerf counted in it; `kerf` lies between two pieces.
///
/// # Errors
/// [`Unfit`]: a piece that fits no bar, stock that runs out, or a size that is none.
pub fn cut_bars(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
    _effort: Effort,
) -> Result<BarPlan, Unfit> {
    let plan = fit::first_plan(bars, pieces, kerf, end_trim)?;
    let values: Vec<i64> = pieces.iter().map(|it| it.length + kerf).collect();
    let mut bound = BarBound {
        bars: 0,
        cost: 0,
        count_values: values.clone(),
        cost_values: values,
    };
    (bound.bars, bound.cost) = replay::proved(bars, pieces, kerf, end_trim, &bound);
    Ok(BarPlan { bars: plan, bound })
}
