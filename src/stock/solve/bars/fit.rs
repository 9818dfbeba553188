//! Best fit decreasing: longest piece first, each into the fullest bar that still holds it.

use super::super::numbers::real;
use super::problem::{Kind, Pattern, Problem};

/// The cheapest of the plans from all stock and from each endless kind alone, with and without what is on hand. `None`: the
/// stock does not do.
pub(super) fn best_fit(problem: &Problem, demand: &[u32], stock: &[u32]) -> Option<Vec<Pattern>> {
    let mut best = one_fit(problem, demand, stock);
    if problem.kinds.len() == 1 {
        return best;
    }
    let endless = |kind: usize| problem.kinds[kind].on_hand.is_none();
    for only in (0..problem.kinds.len()).filter(|it| endless(*it)) {
        for on_hand in [true, false] {
            let open = |kind: usize| kind == only || on_hand && !endless(kind);
            let stock = stock.iter().enumerate();
            let stock = stock.map(|(kind, n)| if open(kind) { *n } else { 0 });
            let plan = one_fit(problem, demand, &stock.collect::<Vec<u32>>());
            let price = |it: &Option<Vec<Pattern>>| {
                it.as_ref().map_or(f64::INFINITY, |it| problem.price(it))
            };
            if price(&plan) < price(&best) {
                best = plan;
            }
        }
    }
    best
}

/// One plan from this stock.
fn one_fit(problem: &Problem, demand: &[u32], stock: &[u32]) -> Option<Vec<Pattern>> {
    let mut stock = stock.to_vec();
    // Rest of each bar, and its pattern.
    let mut open: Vec<(i64, Pattern)> = Vec::new();
    for (of, it) in problem.types.iter().enumerate() {
        for _ in 0..demand[of] {
            let holds = open.iter_mut().filter(|(rest, _)| *rest >= it.length);
            if let Some((rest, pattern)) = holds.min_by_key(|(rest, _)| *rest) {
                *rest -= it.length;
                match pattern.pieces.last_mut() {
                    Some((last, n)) if *last == of => *n += 1,
                    _ => pattern.pieces.push((of, 1)),
                }
                continue;
            }
            let fresh = problem.kinds.iter().enumerate();
            let fresh = fresh.filter(|(kind, bar)| stock[*kind] > 0 && bar.length >= it.length);
            let (kind, bar) = fresh.min_by(|(_, a), (_, b)| {
                let of_length = |it: &Kind| it.price / real(it.length);
                of_length(a).total_cmp(&of_length(b))
            })?;
            stock[kind] -= 1;
            let pieces = vec![(of, 1)];
            open.push((bar.length - it.length, Pattern { kind, pieces }));
        }
    }
    let mut plan: Vec<Pattern> = open.into_iter().map(|it| it.1).collect();
    for it in &mut plan {
        cheaper_bar(problem, it, &mut stock);
    }
    Some(plan)
}

/// Cuts the same from the cheapest bar that holds it.
fn cheaper_bar(problem: &Problem, it: &mut Pattern, stock: &mut [u32]) {
    let length = problem.length(it);
    let holds = problem.kinds.iter().enumerate();
    let holds = holds.filter(|(kind, bar)| stock[*kind] > 0 && bar.length >= length);
    if let Some((kind, bar)) = holds.min_by(|a, b| a.1.price.total_cmp(&b.1.price))
        && bar.price < problem.kinds[it.kind].price
    {
        stock[it.kind] = stock[it.kind].saturating_add(1);
        stock[kind] -= 1;
        it.kind = kind;
    }
}
