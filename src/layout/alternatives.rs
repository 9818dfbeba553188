//! The next best layouts of a wall that truly differ from the better ones.
//!
//! Two layouts truly differ when some joint of the first has no joint of the second near it. Plain second-best layouts would
//! be the best one with a joint a sixteenth aside.
//!
//! Method: a layout that truly differs from another leaves the neighbourhood of one of its joints empty. So from a layout
//! that is found, one search for each of its joints, with that neighbourhood closed, reaches every layout that truly differs
//! from it. Searches wait in order of their cost; the cheapest is taken next, and if it does not yet differ from all that
//! were kept, it is split again. Exact while the counted effort lasts. (Kept from the K-best literature: partition of the
//! solution space after Lawler, 1972, from memory.)

use super::options::LayoutOptions;
use super::run::End;
use super::search::{Before, Closed, Search};
use super::solution::Solution;
use crate::units::Length;
use std::collections::BTreeSet;

/// Layouts after the best one, cheapest first; none where the best one has no joint to move.
///
/// - `before`: of the run, for what lies left of all that is closed.
/// - `search`, `plain`: of the run, filled, with and without regard to legs; both are left stale. The many searches
///   are plain; what is kept is searched once more, so that its openings stand in the middle where that costs nothing.
pub(crate) fn alternatives(
    [search, plain]: [&mut Search<'_>; 2],
    (before, left): (&Before<'_>, &End),
    best: &Solution,
    options: &LayoutOptions,
) -> Vec<Solution> {
    let apart = options.apart;
    let mut kept = vec![best.clone()];
    let mut waiting: Vec<Branch> = vec![Branch {
        solution: best.clone(),
        closed: Vec::new(),
    }];
    let mut seen = BTreeSet::new();
    let mut effort = options.effort;
    while !waiting.is_empty() {
        let next = (0..waiting.len()).min_by_key(|i| (waiting[*i].solution.cost, *i));
        let branch = waiting.remove(next.unwrap_or_default());
        let is_new = |solution: &Solution| kept.iter().all(|kept| differs(kept, solution, apart));
        let like = if is_new(&branch.solution) {
            let even = with_closed(search, left, &branch.closed, apart);
            let even = even.filter(|even| is_new(even));
            kept.push(even.unwrap_or_else(|| branch.solution.clone()));
            kept.last().cloned()
        } else {
            let mut kept = kept.iter();
            kept.find(|kept| !differs(kept, &branch.solution, apart))
                .cloned()
        };
        if kept.len() > options.alternatives {
            break;
        }
        let closed = close(plain, &branch.closed, apart);
        let joints: Vec<Length> = like.iter().flat_map(Solution::joints).collect();
        // From the right: what closing one joint makes stale, opening it again makes stale too, and the next lies left of it.
        for joint in joints.into_iter().rev() {
            let mut all = branch.closed.clone();
            all.push(joint);
            all.sort_unstable();
            if effort == 0 || !seen.insert(all.clone()) {
                continue;
            }
            effort -= 1;
            let again = close(plain, &[joint], apart);
            // Left of all that is closed nothing changes.
            let cut = closed.iter().chain(&again).map(Closed::first).min();
            let solution = plain.solve_over(cut.unwrap_or_default(), before, left);
            again.into_iter().for_each(|again| plain.open(again));
            if let Some(solution) = solution {
                waiting.push(Branch {
                    solution,
                    closed: all,
                });
            }
        }
        closed.into_iter().rev().for_each(|again| plain.open(again));
    }
    kept.split_off(1)
}

/// The best layout with the neighbourhoods of these joints closed; they are open again when it returns.
fn with_closed(
    search: &mut Search<'_>,
    left: &End,
    joints: &[Length],
    apart: Length,
) -> Option<Solution> {
    let closed = close(search, joints, apart);
    search.refill();
    let solution = search.solve(left);
    closed
        .into_iter()
        .rev()
        .for_each(|again| search.open(again));
    solution
}

fn close(search: &mut Search<'_>, joints: &[Length], apart: Length) -> Vec<Closed> {
    let each = joints.iter();
    each.map(|joint| search.close(*joint - apart, *joint + apart))
        .collect()
}

/// The best layout with no joint near any of these.
struct Branch {
    solution: Solution,
    closed: Vec<Length>,
}

/// True when some joint of `kept` has no joint of `other` nearer than `apart`.
fn differs(kept: &Solution, other: &Solution, apart: Length) -> bool {
    let is_near = |joint: Length| other.joints().any(|near| (near - joint).abs() < apart);
    kept.joints().any(|joint| !is_near(joint))
}
