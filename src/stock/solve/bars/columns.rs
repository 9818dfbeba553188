//! Column generation: patterns are made as the programme asks for them, until none is worth its bar.
//!
//! Gilmore and Gomory (1961). Cost: a table of lengths for each pattern, and pivots of the square of the number of types.

use super::super::master::Master;
use super::super::numbers::{real, whole};
use super::knapsack::best_patterns;
use super::problem::{Pattern, Problem};

/// What one bar of the dearest kind is worth in whole values.
const SCALE: f64 = 68_719_476_736.0;

/// A programme solved over all patterns.
#[derive(Debug)]
pub(super) struct Solved {
    /// Patterns made so far, those given among them.
    pub(super) patterns: Vec<Pattern>,
    /// How many bars of each pattern.
    pub(super) used: Vec<(usize, f64)>,
    /// Price of that: no plan has a lower one, but for rounding.
    pub(super) price: f64,
    /// What a piece of each type is worth in whole values, rounded down.
    pub(super) values: Vec<i64>,
    /// Price of each kind of bar, and of its scarcity.
    pub(super) hurdles: Vec<f64>,
    /// Whole values to a unit of price.
    pub(super) scale: f64,
}

/// Solves for a demand and a stock. Stops early when the work is done: `None`.
pub(super) fn solve(
    problem: &Problem,
    demand: &[u32],
    stock: &[u32],
    patterns: Vec<Pattern>,
    (work, effort): (&mut u64, u64),
) -> Option<Solved> {
    let dearest = problem.kinds.iter().map(|it| it.price).fold(1.0, f64::max);
    let mut master = Master::new(&problem.kinds_left(stock), demand, patterns);
    loop {
        master.solve();
        *work += std::mem::take(&mut master.work);
        let (worths, hurdles) = master.prices();
        let values = worths.iter().map(|it| whole(it.max(0.0) / dearest * SCALE));
        let values: Vec<i64> = values.collect();
        let mut found_better = false;
        for (value, pattern) in best_patterns(problem, demand, &values, work) {
            let hurdle = hurdles[pattern.kind] / dearest * SCALE;
            let open = stock[pattern.kind] > 0;
            if open && real(value) > hurdle + 1e-7 * SCALE && !master.patterns.contains(&pattern) {
                master.patterns.push(pattern);
                found_better = true;
            }
        }
        if !found_better {
            let used = master.used();
            let price = used
                .iter()
                .map(|(at, n)| problem.kinds[master.patterns[*at].kind].price * n)
                .sum();
            return Some(Solved {
                used,
                hurdles,
                price,
                values,
                scale: SCALE / dearest,
                patterns: master.patterns,
            });
        }
        if *work > effort {
            return None;
        }
    }
}
