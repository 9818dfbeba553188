//! The bound by column generation over all edge-to-edge cuttings: values of pieces such that no sheet holds more than its price.
//!
//! Gilmore and Gomory (1965). The programme's values are rounded down to whole numbers, and the bound is what [`check_bound`]
//! would find for them: an error here can make it weak, never false.
//!
//! [`check_bound`]: super::check_bound

use super::super::master::{Cut, Master, Stock};
use super::super::numbers::{real, whole};
use super::pattern::Pattern;
use super::problem::Problem;
use super::table::Table;

/// What one sheet of the dearest kind is worth in whole values.
const SCALE: f64 = 1_073_741_824.0;

/// Values of the types that may prove more than `floor`, found within `effort` counted from `work`; the plan gives the first
/// patterns.
pub(super) fn values(
    problem: &Problem,
    plan: &[Pattern],
    floor: f64,
    (work, effort): (&mut u64, u64),
) -> Vec<i64> {
    let kinds: Vec<Stock> = problem
        .kinds
        .iter()
        .map(|it| Stock {
            price: it.price,
            on_hand: it.on_hand,
        })
        .collect();
    let dearest = kinds.iter().map(|it| it.price).fold(1.0, f64::max);
    let mut master = Master::new(&kinds, &problem.demand(), first_cuts(problem, plan));
    let mut table = Table::new(problem);
    let mut best: (f64, Vec<i64>) = (0.0, Vec::new());
    loop {
        master.solve();
        *work += std::mem::take(&mut master.work);
        let price: f64 = master.level_price();
        let (worths, hurdles) = master.prices();
        let values = worths.iter().map(|it| whole(it.max(0.0) / dearest * SCALE));
        let values: Vec<i64> = values.collect();
        table.fill(&values, work);
        let mut found_better = false;
        // How far the dearest pattern goes beyond its price: all values less by that share are a proof.
        let mut beyond = 1.0f64;
        for (kind, hurdle) in hurdles.iter().enumerate() {
            let hurdle = hurdle / dearest * SCALE;
            let (value, pieces) = table.best(problem, kind);
            beyond = beyond.max(real(value) / hurdle.max(1.0));
            let cut = Cut { kind, pieces };
            if real(value) > hurdle + 1e-7 * SCALE && !master.patterns.contains(&cut) {
                master.patterns.push(cut);
                found_better = true;
            }
        }
        if price / beyond > best.0 {
            best = (price / beyond, values);
        }
        // The programme's price only falls: once it rounds up to what is proved already there is nothing to find.
        let hopeless = (price - 1e-6).ceil() <= floor + 1e-6;
        let proved = (best.0 - 1e-6).ceil() >= (price - 1e-6).ceil();
        if !found_better || hopeless || proved && problem.kinds.len() == 1 || *work > effort {
            return best.1;
        }
    }
}

/// What the sheets of a plan hold, and each type alone.
fn first_cuts(problem: &Problem, plan: &[Pattern]) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = plan
        .iter()
        .map(|it| {
            let mut pieces: Vec<(usize, u32)> = Vec::new();
            for of in it.types(problem) {
                match pieces.last_mut() {
                    Some((last, n)) if *last == of => *n += 1,
                    _ => pieces.push((of, 1)),
                }
            }
            Cut {
                kind: it.kind,
                pieces,
            }
        })
        .collect();
    cuts.sort();
    cuts.dedup();
    cuts
}
