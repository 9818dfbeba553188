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
use super::search::Search;
use super::solution::Solution;
use crate::units::Length;
use std::collections::BTreeSet;

/// Layouts after the best one, cheapest first; none where the best one has no joint to move.
///
/// - `search`: of the run, filled; it comes back as it was.
pub(crate) fn alternatives(
    search: &mut Search<'_>,
    left: &End,
    best: &Solution,
    options: &LayoutOptions,
) -> Vec<Solution> {
    let mut kept = vec![best.clone()];
    let mut waiting: Vec<Branch> = vec![Branch {
        solution: best.clone(),
        closed: Vec::new(),
    }];
    let mut seen = BTreeSet::new();
    let mut effort = options.effort;
    let near = |joint: Length| (joint - options.apart, joint + options.apart);
    while !waiting.is_empty() {
        let next = (0..waiting.len()).min_by_key(|i| (waiting[*i].solution.cost, *i));
        let branch = waiting.remove(next.unwrap_or_default());
        let like = kept
            .iter()
            .find(|kept| !differs(kept, &branch.solution, options.apart));
        let like = match like {
            Some(like) => like.clone(),
            None => {
                kept.push(branch.solution.clone());
                branch.solution.clone()
            }
        };
        if kept.len() > options.alternatives {
            break;
        }
        let mut closed = Vec::new();
        for joint in &branch.closed {
            closed.push(search.close(near(*joint).0, near(*joint).1));
        }
        // From the right: what closing one joint makes stale, opening it again makes stale too, and the next lies left of it.
        for joint in like.joints().collect::<Vec<_>>().into_iter().rev() {
            let mut all = branch.closed.clone();
            all.push(joint);
            all.sort_unstable();
            if effort == 0 || !seen.insert(all.clone()) {
                continue;
            }
            effort -= 1;
            let again = search.close(near(joint).0, near(joint).1);
            search.refill();
            if let Some(solution) = search.solve(left) {
                waiting.push(Branch {
                    solution,
                    closed: all,
                });
            }
            search.open(again);
        }
        for again in closed.into_iter().rev() {
            search.open(again);
        }
    }
    search.refill();
    kept.split_off(1)
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
