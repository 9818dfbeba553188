//! Sheets: pieces of two sides by cuts from edge to edge.

mod beam;
mod bound;
mod check;
mod columns;
mod dual;
mod pattern;
mod problem;
mod replay;
mod rework;
mod search;
mod table;
#[cfg(test)]
mod tests;

pub use check::{check_bound, cost_bound};
pub use replay::replay;

use super::model::{CutPlan, CutSheet, Effort, Piece, Saw, Sheet, Unfit};
use pattern::Pattern;
use problem::Problem;
use search::Search;

/// Cuts pieces from sheets: at least cost, and among plans of least cost with fewest sheets.
///
/// The plan is complete; with `effort` 0 it is the first one found. Its bound says how much better a plan can be at all.
///
/// # Errors
/// [`Unfit`]: a piece that fits no sheet, stock that runs out, or a size that is none.
pub fn cut_sheets(
    sheets: &[Sheet],
    pieces: &[Piece],
    saw: &Saw,
    effort: Effort,
) -> Result<CutPlan, Unfit> {
    let problem = Problem::read(sheets, pieces, saw)?;
    let mut bound = bound::quick(sheets, pieces, saw);
    let mut search = Search::new(&problem, problem.floor(&bound), effort);
    search.first_plan()?;
    if let Some(values) = search.values(pieces.len()) {
        bound::improve(sheets, pieces, saw, &values, &mut bound);
        search.floor = problem.floor(&bound);
    }
    let plan = search.run();
    Ok(CutPlan {
        sheets: unfolded(&problem, plan),
        bound,
    })
}

/// The plan in the caller's units, batch by batch, with pieces handed out in the order given.
fn unfolded(problem: &Problem, mut plan: Vec<Pattern>) -> Vec<CutSheet> {
    let first_batch = |it: &Pattern| {
        let uses = &problem.uses[it.frame];
        it.moves.iter().map(|(_, at)| uses[*at].batch).min()
    };
    plan.sort_by_key(first_batch);
    let mut hands: Vec<_> = problem
        .types
        .iter()
        .map(|it| {
            let members = it.members.iter();
            members.flat_map(|(piece, n)| (0..*n).map(|_| *piece))
        })
        .collect();
    let mut next = |of: usize| {
        hands
            .get_mut(of)
            .and_then(Iterator::next)
            .unwrap_or(usize::MAX)
    };
    plan.iter()
        .map(|it| it.unfold(problem, &mut next))
        .collect()
}
