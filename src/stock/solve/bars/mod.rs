//! Bars: pieces of one length.
//!
//! ```text
//!   best fit ─► columns: values ─► bound ─► a few dives ─► every plan, as far as its steps go ─► more dives
//!                                     ▲                        └─► the cost proved, by trying out again (`tried`)
//!                                     └─ whole bars of what they cost and hold (`filling`)
//! ```

mod columns;
mod dive;
mod finish;
mod fit;
mod knapsack;
mod problem;
mod replay;
#[cfg(test)]
mod tests;
mod tried;

pub use replay::{check_bar_bound, replay_bars};

use super::model::{Bar, BarBound, BarPlan, Effort, Length1, Unfit};
use problem::{Pattern, Problem};
use replay::{bars_of_cost, proved};
use tried::none_costs_less;

/// Different lengths at most for columns and diving, whose work grows with their cube; beyond that best fit stands.
const MOST_TYPES: usize = 500;

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
    effort: Effort,
) -> Result<BarPlan, Unfit> {
    let problem = Problem::read(bars, pieces, kerf, end_trim)?;
    let lengths: Vec<i64> = pieces.iter().map(|it| it.length + kerf).collect();
    let (count, cost) = proved(bars, pieces, kerf, end_trim, &lengths);
    let mut bound = BarBound {
        bars: count,
        cost,
        count_values: lengths.clone(),
        cost_values: lengths,
        is_tried: false,
    };
    let (demand, stock) = (problem.demand(), problem.stock());
    let runs_out = |of: usize| Unfit::RunsOut {
        piece: problem.types[of].members.first().map_or(0, |it| it.0),
    };
    let first = fit::best_fit(&problem, &demand, &stock);
    let mut best = first.unwrap_or_default();
    let complete = |plan: &[Pattern]| short_of(&problem, plan).is_none();
    let over = complete(&best) && problem.whole_price_of(&best) <= problem.floor(&bound);
    let mut work = 0;
    if !over && problem.types.len() <= MOST_TYPES {
        let mut start = best.clone();
        start.sort();
        start.dedup();
        let limits = (&mut work, effort.0);
        if let Some(root) = columns::solve(&problem, &demand, &stock, start, limits) {
            improve_bound(
                (bars, pieces, kerf, end_trim),
                of_pieces(&problem, &root.values, pieces.len()),
                &mut bound,
            );
            let mut dive = dive::Dive {
                problem: &problem,
                floor: problem.floor(&bound),
                effort: effort.0,
                work,
                best,
                has_tried_all: false,
            };
            dive.run(&root);
            best = dive.best;
            if dive.has_tried_all {
                let values = of_pieces(&problem, &root.values, pieces.len());
                prove_cost(
                    (bars, pieces, kerf, end_trim),
                    values,
                    &best,
                    &problem,
                    &mut bound,
                );
            }
        }
    }
    if let Some(of) = short_of(&problem, &best) {
        return Err(runs_out(of));
    }
    Ok(BarPlan {
        bars: problem.unfolded(best),
        bound,
    })
}

/// A type of which a plan cuts too few.
fn short_of(problem: &Problem, plan: &[Pattern]) -> Option<usize> {
    let mut demand = problem.demand();
    for (of, n) in plan.iter().flat_map(|it| &it.pieces) {
        demand[*of] = demand[*of].saturating_sub(*n);
    }
    demand.iter().position(|it| *it > 0)
}

/// Values of pieces from those of types.
fn of_pieces(problem: &Problem, values: &[i64], n: usize) -> Vec<i64> {
    let mut of_pieces = vec![0; n];
    for (it, value) in problem.types.iter().zip(values) {
        for (piece, _) in &it.members {
            of_pieces[*piece] = *value;
        }
    }
    of_pieces
}

/// Takes values for proofs where they prove more.
fn improve_bound(
    (bars, pieces, kerf, end_trim): (&[Bar], &[Length1], i64, i64),
    values: Vec<i64>,
    bound: &mut BarBound,
) {
    let (count, cost) = proved(bars, pieces, kerf, end_trim, &values);
    let count = count.max(bars_of_cost(bars, cost));
    if count > bound.bars {
        bound.bars = count;
        bound.count_values.clone_from(&values);
    }
    if cost > bound.cost {
        bound.cost = cost;
        bound.cost_values = values;
    }
}

/// Proves what the plan costs by trying out, where that is short enough.
fn prove_cost(
    (bars, pieces, kerf, end_trim): (&[Bar], &[Length1], i64, i64),
    values: Vec<i64>,
    plan: &[Pattern],
    problem: &Problem,
    bound: &mut BarBound,
) {
    let cost = plan.iter().map(|it| problem.kinds[it.kind].cost).sum();
    if cost > bound.cost && none_costs_less(bars, pieces, (kerf, end_trim), &values, cost) {
        bound.cost = cost;
        bound.cost_values = values;
        bound.is_tried = true;
        bound.bars = bound.bars.max(bars_of_cost(bars, cost));
    }
}

impl Problem {
    /// No plan has a lower price than this.
    fn floor(&self, bound: &BarBound) -> i128 {
        i128::from(bound.cost) * self.bars_in_cost + i128::from(bound.bars)
    }
}
