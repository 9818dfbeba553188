//! From values to bounds: if pieces are worth `total` and a sheet or bar of a kind never holds more than `most`, so many are needed.

use super::numbers::common_divisor;

/// A kind of sheet or bar, as a proof sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Holder {
    /// The most that pieces on one can be worth.
    pub(super) most: i128,
    /// What one costs.
    pub(super) cost: i64,
    /// How many there are.
    pub(super) on_hand: Option<u32>,
}

/// Fewest holders, and least cost of holders, that hold the total.
///
/// Any plan of `n_k` holders has `sum most_k n_k >= total`. Fewest: the roomiest first. Least cost: the cheapest room first, in
/// fractions, the sum rounded up. What is on hand runs out; where all does, what there is, is the bound.
pub(super) fn filled(total: i128, mut holders: Vec<Holder>) -> (u32, i64) {
    holders.retain(|it| it.most > 0);
    holders.sort_by_key(|it| std::cmp::Reverse(it.most));
    let (mut rest, mut count) = (total.max(0), 0);
    for it in &holders {
        let n = rounded_up(rest, it.most);
        let n = it.on_hand.map_or(n, |have| n.min(i128::from(have)));
        count += n;
        rest = (rest - n * it.most).max(0);
    }
    holders.sort_by(|a, b| {
        let price = |it: &Holder, of: &Holder| i128::from(it.cost) * of.most;
        price(a, b).cmp(&price(b, a))
    });
    let (mut rest, mut cost) = (total.max(0), 0);
    for it in &holders {
        let whole = it
            .on_hand
            .map_or(i128::MAX, |have| i128::from(have) * it.most);
        if rest >= whole {
            cost += whole / it.most * i128::from(it.cost);
            rest -= whole;
        } else {
            let sheets = rest / it.most;
            let part = rest % it.most;
            cost += sheets * i128::from(it.cost) + rounded_up(part * i128::from(it.cost), it.most);
            break;
        }
    }
    // Each of the fewest costs no less than the cheapest, and no holder is bought in part.
    let cheapest = holders.iter().map(|it| it.cost).min().unwrap_or(0);
    let cost = cost.max(count * i128::from(cheapest));
    let cost = cost.max(Ladder::new(total, &holders).map_or(0, |it| it.least(total)));
    (
        u32::try_from(count).unwrap_or(u32::MAX),
        i64::try_from(cost).unwrap_or(i64::MAX),
    )
}

/// Steps of cost looked at; beyond them only fractions bound the cost.
const MOST_STEPS: i128 = 1 << 18;

/// What whole holders hold at most for each cost, in steps of the greatest that all costs are whole multiples of.
#[derive(Debug, Clone)]
pub(super) struct Ladder {
    step: i128,
    /// By steps of cost; rising.
    most: Vec<i128>,
}

impl Ladder {
    /// Up to a cost that holds the total. `None`: nothing is endless and worth its cost, or the costs take too many steps.
    pub(super) fn new(total: i128, holders: &[Holder]) -> Option<Self> {
        let costs = holders.iter().filter(|it| it.most > 0);
        let step = i128::from(costs.map(|it| it.cost).fold(0, common_divisor).max(1));
        let endless = || {
            holders
                .iter()
                .filter(|it| it.on_hand.is_none() && it.most > 0)
        };
        let alone = |it: &Holder| rounded_up(total.max(0), it.most) * i128::from(it.cost);
        let highest = endless().map(alone).min()? / step;
        if highest > MOST_STEPS || endless().any(|it| it.cost <= 0) {
            return None;
        }
        let mut most = vec![0_i128; usize::try_from(highest + 1).ok()?];
        let steps = |it: &Holder| usize::try_from(i128::from(it.cost) / step).ok();
        for it in endless() {
            let cost = steps(it)?;
            for at in cost..most.len() {
                most[at] = most[at].max(most[at - cost] + it.most);
            }
        }
        // Bundles of 1, 2, 4 ... and the rest, each at most once: as many as there are, and no more.
        for it in holders.iter().filter(|it| it.most > 0) {
            let mut left = it.on_hand.unwrap_or(0);
            let mut bundle = 1;
            while left > 0 {
                let n = left.min(bundle);
                let cost = steps(it)?.checked_mul(usize::try_from(n).ok()?)?;
                for at in (cost..most.len()).rev() {
                    most[at] = most[at].max(most[at - cost] + it.most * i128::from(n));
                }
                left -= n;
                bundle *= 2;
            }
        }
        for at in 1..most.len() {
            most[at] = most[at].max(most[at - 1]);
        }
        Some(Self { step, most })
    }

    /// Least cost of what holds this much: at most the total that the ladder was made for.
    pub(super) fn least(&self, held: i128) -> i128 {
        let steps = self.most.partition_point(|it| *it < held);
        i128::try_from(steps).unwrap_or(0) * self.step
    }
}

fn rounded_up(n: i128, by: i128) -> i128 {
    n / by + i128::from(n % by != 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(total: i128, holders: &[(i128, i64, Option<u32>)], expected: (u32, i64)) {
        let holders = holders.iter().map(|(most, cost, on_hand)| Holder {
            most: *most,
            cost: *cost,
            on_hand: *on_hand,
        });
        assert_eq!(filled(total, holders.collect()), expected);
    }

    #[test]
    fn a_part_of_a_sheet_is_a_sheet_and_its_cost_is_rounded_up() {
        check(0, &[(10, 3, None)], (0, 0));
        check(20, &[(10, 3, None)], (2, 6));
        check(21, &[(10, 3, None)], (3, 9));
        check(21, &[(10, 3, None), (1, 0, Some(1))], (3, 6));
    }

    #[test]
    fn no_sheet_is_bought_in_part() {
        // Two and a half of the large ones, but 2 large and 2 small is the least that holds 25.
        check(25, &[(10, 6, None), (3, 2, None)], (3, 16));
        check(20, &[(10, 6, None), (3, 2, None)], (2, 12));
    }

    #[test]
    fn what_is_on_hand_runs_out() {
        // Two cheap ones hold 8 for 2, the other 12 take two of the large ones, which do alone.
        check(20, &[(10, 5, None), (4, 1, Some(2))], (2, 10));
        check(18, &[(10, 5, None), (4, 1, Some(2))], (2, 7));
        check(20, &[(10, 5, Some(1)), (4, 1, None)], (4, 5));
        // One for nothing, and then 2 of the others: not a third of what there is one of.
        check(20, &[(10, 6, None), (9, 1, Some(1))], (2, 12));
        check(20, &[(10, 6, None), (5, 0, Some(1))], (2, 12));
    }
}
