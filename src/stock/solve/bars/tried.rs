//! Proves a cost by trying out every filling, where whole values of pieces leave a gap. Written apart from the search.
//!
//! States are the pieces and the stock left, taken in falling order, so that each is met once, with the least that led to it. A
//! state is left out when what it cost and what whole bars that hold the rest cost are no less than the cost to be proved.

use super::super::filling::Ladder;
use super::super::model::{Bar, Length1};
use super::replay::{Values, values_of};
use std::collections::BTreeMap;

/// Steps of filling at most; what takes more is not proved.
const MOST_STEPS: u64 = 4_000_000;

/// What is tried out.
struct Tried {
    /// Length with its kerf, and value; longest first.
    types: Vec<(i64, i64)>,
    /// Net length, cost, on hand.
    bars: Vec<(i64, i64, Option<u32>)>,
    ladder: Ladder,
    cost: i128,
    steps: u64,
}

/// A state: how many of each type are left, then how many bars of each kind of which there are only so many.
type Left = Vec<u32>;

/// A filling: how many of each type, their value, their length.
type Filling = (Vec<u32>, i64, i64);

/// True when every plan that costs less was looked for in vain.
pub(super) fn none_costs_less(
    bars: &[Bar],
    pieces: &[Length1],
    (kerf, end_trim): (i64, i64),
    of_pieces: &[i64],
    cost: i64,
) -> bool {
    let known = values_of(bars, pieces, (kerf, end_trim), of_pieces);
    let Some(Values {
        total,
        holders,
        lengths,
    }) = known
    else {
        return false;
    };
    let Some(ladder) = Ladder::new(total, &holders) else {
        return false;
    };
    let lengths = lengths.iter().rev();
    let usable = bars.iter().filter(|it| it.on_hand != Some(0));
    let mut tried = Tried {
        types: lengths
            .clone()
            .map(|(length, it)| (*length, it.0))
            .collect(),
        bars: usable
            .map(|it| (it.length - 2 * end_trim + kerf, it.cost, it.on_hand))
            .collect(),
        ladder,
        cost: cost.into(),
        steps: 0,
    };
    let demand = lengths.map(|(_, it)| u32::try_from(it.1).unwrap_or(u32::MAX));
    let stock = tried.bars.iter().filter_map(|it| it.2);
    let mut open: BTreeMap<Left, i128> = BTreeMap::from([(demand.chain(stock).collect(), 0)]);
    while let Some((left, paid)) = open.pop_last() {
        if tried.types.iter().zip(&left).all(|(_, n)| *n == 0) {
            if paid < tried.cost {
                return false;
            }
            continue;
        }
        for (next, paid) in tried.after(&left, paid) {
            let least = open.entry(next).or_insert(paid);
            *least = paid.min(*least);
        }
        if tried.steps > MOST_STEPS {
            return false;
        }
    }
    true
}

impl Tried {
    fn worth(&self, left: &[u32]) -> i128 {
        let both = self.types.iter().zip(left);
        both.map(|((_, value), n)| i128::from(*value) * i128::from(*n))
            .sum()
    }

    /// The states that one bar more leads to, the longest piece left on it.
    fn after(&mut self, left: &Left, paid: i128) -> Vec<(Left, i128)> {
        let worth = self.worth(left);
        let mut next = Vec::new();
        let mut limited = self.types.len();
        for (net, cost, on_hand) in self.bars.clone() {
            let at = limited;
            limited += usize::from(on_hand.is_some());
            if on_hand.is_some() && left.get(at) == Some(&0) {
                continue;
            }
            let paid = paid + i128::from(cost);
            for (counts, value, _) in self.fillings(left, net) {
                if paid + self.ladder.least(worth - i128::from(value)) >= self.cost {
                    continue;
                }
                let mut left = left.clone();
                for (rest, n) in left.iter_mut().zip(&counts) {
                    *rest -= n;
                }
                if on_hand.is_some() {
                    left[at] -= 1;
                }
                next.push((left, paid));
            }
        }
        next
    }

    /// Every filling with the longest piece left in it to which nothing left can be added.
    fn fillings(&mut self, left: &[u32], net: i64) -> Vec<Filling> {
        let types = self.types.len();
        let mut open: Vec<Filling> = vec![(vec![0; types], 0, 0)];
        for at in 0..types {
            let (length, value) = self.types[at];
            let is_first = left[..at].iter().all(|n| *n == 0) && left[at] > 0;
            let mut more = Vec::new();
            for (counts, worth, used) in open {
                for n in u32::from(is_first)..=left[at] {
                    let used = used + length * i64::from(n);
                    if used > net {
                        break;
                    }
                    let mut counts = counts.clone();
                    counts[at] = n;
                    more.push((counts, worth + value * i64::from(n), used));
                }
            }
            self.steps += u64::try_from(more.len()).unwrap_or(u64::MAX);
            if self.steps > MOST_STEPS {
                return Vec::new();
            }
            open = more;
        }
        open.retain(|(counts, _, used)| {
            let rest = left.iter().zip(counts).zip(&self.types);
            let mut rest = rest.filter(|((left, n), _)| left > n);
            rest.all(|(_, (length, _))| used + length > net)
        });
        open
    }
}
