//! From values to bounds: if pieces are worth `total` and a sheet or bar of a kind never holds more than `most`, so many are needed.

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
    // Each of the fewest costs no less than the cheapest.
    let cheapest = holders.iter().map(|it| it.cost).min().unwrap_or(0);
    let cost = cost.max(count * i128::from(cheapest));
    (
        u32::try_from(count).unwrap_or(u32::MAX),
        i64::try_from(cost).unwrap_or(i64::MAX),
    )
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
    fn what_is_on_hand_runs_out() {
        // Two cheap ones hold 8 for 2, the other 12 need 1.2 of the large ones: 6 rounded up.
        check(20, &[(10, 5, None), (4, 1, Some(2))], (2, 8));
        check(20, &[(10, 5, Some(1)), (4, 1, None)], (4, 5));
    }
}
