//! Two walls over each other walked side by side: the least of both and of the joints that stand over none.
//!
//! ```text
//!   upper  ├──────u─────────►            state: the last stop of each wall
//!   lower  ├───────────l────────┤        the wall that lags behind goes on; once the lower one has passed u, it is known
//!                                        whether u stands over a joint
//! ```
//!
//! Method: best first. A state is reached at an excess: by how much both walls so far, each finished at its least, are dearer than the
//! least of each alone; so an excess never falls, and the first state in which both walls are finished is the least of all. Where the
//! counted work ends before that, the least excess still waiting is proved: nothing costs less. Joints of one wall lie farther from
//! each other than twice what still stands over a joint (`Stacks::is_coupled`), so only the last joint of each wall is looked at.

use super::search::Chain;
use crate::units::Length;
use std::collections::BTreeMap;

/// More pairs of stops than this are not walked.
const MOST_STATES: usize = 12_500_000;

/// What the walk of two walls found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Walked {
    /// The least excess, cents, and the joints of the upper wall then.
    Least { excess: i64, upper: Vec<Length> },
    /// No less than this excess: more was not asked for.
    AtLeast(i64),
    /// No less than this excess, and what more it is would take too much work.
    Unproved(i64),
}

/// How the two walls lie, and what a joint over none costs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Over {
    /// Where 0 of the lower wall lies along the upper one.
    pub(crate) start: Length,
    pub(crate) within: Length,
    pub(crate) cents: i64,
}

/// Walks both walls as far as the excess is below `most`; `effort` is the steps that may be looked at, and is used up.
pub(crate) fn walk(
    [lower, upper]: [&mut Chain<'_>; 2],
    (over, most): (Over, i64),
    effort: &mut usize,
) -> Walked {
    let [n_lower, n_upper] = [lower.stops.len(), upper.stops.len()];
    let count = n_lower.saturating_mul(n_upper);
    if count > MOST_STATES {
        return Walked::Unproved(0);
    }
    let mut known = Known {
        excess: vec![0; count],
        before: vec![0; count],
    };
    known.excess[0] = 1;
    let mut waiting: BTreeMap<i64, Vec<usize>> = BTreeMap::from([(0, vec![0])]);
    while let Some(mut first) = waiting.first_entry() {
        let excess = *first.key();
        let Some(state) = first.get_mut().pop() else {
            first.remove();
            continue;
        };
        if known.excess[state] != excess + 1 {
            continue;
        }
        let (l, u) = (state / n_upper, state % n_upper);
        if (l + 1, u + 1) == (n_lower, n_upper) {
            return Walked::Least {
                excess,
                upper: traced(&known, state, n_upper, upper),
            };
        }
        let here = (lower.stops[l], upper.stops[u]);
        let place = here.0.at + over.start;
        let lower_lags = l + 1 < n_lower && (u + 1 == n_upper || place <= here.1.at);
        let steps = if lower_lags {
            lower.steps(l)
        } else {
            upper.steps(u)
        };
        // Steps are copied out: the chain may not be borrowed while its stops are read.
        let steps = steps.to_vec();
        if *effort < steps.len() {
            return Walked::Unproved(excess);
        }
        *effort -= steps.len();
        for (next, more) in steps {
            let (after, unserved) = if lower_lags {
                let stop = lower.stops[next];
                let is_served = |stop: super::search::Stop| {
                    stop.is_joint && (stop.at + over.start - here.1.at).abs() <= over.within
                };
                let is_open = here.1.is_joint && !is_served(here.0);
                let is_passed = next + 1 == n_lower || stop.at + over.start >= here.1.at;
                (next * n_upper + u, is_open && !is_served(stop) && is_passed)
            } else {
                let stop = upper.stops[next];
                let is_served = here.0.is_joint && (place - stop.at).abs() <= over.within;
                let is_behind = next + 1 < n_upper && stop.at < place;
                (l * n_upper + next, stop.is_joint && !is_served && is_behind)
            };
            let sum =
                excess
                    .saturating_add(more)
                    .saturating_add(if unserved { over.cents } else { 0 });
            let before = known.excess[after];
            if sum < most && (before == 0 || sum + 1 < before) {
                known.excess[after] = sum + 1;
                known.before[after] = u32::try_from(state).unwrap_or(u32::MAX);
                waiting.entry(sum).or_default().push(after);
            }
        }
    }
    Walked::AtLeast(most)
}

/// What is known of each state. Most are never reached, and memory that is all zeros is not touched before.
struct Known {
    /// One more than the least excess; 0 where it was not reached.
    excess: Vec<i64>,
    before: Vec<u32>,
}

/// The joints of the upper wall on the way to a state.
fn traced(known: &Known, mut state: usize, n_upper: usize, upper: &Chain<'_>) -> Vec<Length> {
    let mut joints = Vec::new();
    while state != 0 {
        let before = usize::try_from(known.before[state]).unwrap_or_default();
        let u = state % n_upper;
        let stop = upper.stops[u];
        if stop.is_joint && before % n_upper != u {
            joints.push(stop.at);
        }
        state = before;
    }
    joints.reverse();
    joints
}
