//! The problem as the searches see it: kerf counted into every piece and bar, equal pieces made one type.

pub(super) use super::super::master::Cut as Pattern;
use super::super::master::Stock;
use super::super::model::{Bar, BarUse, Length1, Unfit};
use super::super::numbers::{common_divisor, real};

/// Lengths beyond this are refused: sums in proofs then stay within 128 bits, sums of lengths within 64.
const LONGEST: i64 = 1 << 40;
/// More pieces than this are refused.
const MOST_PIECES: u64 = 1 << 20;

/// A usable kind of bar, inside its trim, one kerf longer.
#[derive(Debug, Clone)]
pub(super) struct Kind {
    pub(super) bar: usize,
    pub(super) length: i64,
    pub(super) on_hand: Option<u32>,
    pub(super) cost: i64,
    /// Cost first, then one for the bar; one alone where there is one kind. What a search makes least.
    pub(super) price: f64,
}

/// Equal pieces.
#[derive(Debug, Clone)]
pub(super) struct Type {
    pub(super) length: i64,
    pub(super) count: u32,
    /// Which of the pieces given, and how many of each.
    pub(super) members: Vec<(usize, u32)>,
}

/// Bars and pieces with the kerf counted in: `l1 + k, l2 + k, ...` fit `L + k` exactly when the pieces and the kerfs between fit
/// `L`.
#[derive(Debug, Clone)]
pub(super) struct Problem {
    /// Shortest first.
    pub(super) kinds: Vec<Kind>,
    /// Longest first.
    pub(super) types: Vec<Type>,
    unit: i64,
    kerf: i64,
    /// What a unit of cost weighs in a price against one bar: more than all bars together.
    pub(super) bars_in_cost: i128,
}

impl Problem {
    /// Reads the problem.
    pub(super) fn read(
        bars: &[Bar],
        pieces: &[Length1],
        kerf: i64,
        end_trim: i64,
    ) -> Result<Self, Unfit> {
        checked_sizes(bars, pieces, kerf, end_trim)?;
        let mut kinds: Vec<Kind> = bars
            .iter()
            .enumerate()
            .filter(|(_, it)| it.on_hand != Some(0) && it.length > 2 * end_trim)
            .map(|(bar, it)| Kind {
                bar,
                length: it.length - 2 * end_trim + kerf,
                on_hand: it.on_hand,
                cost: it.cost,
                price: 0.0,
            })
            .collect();
        let longest = kinds.iter().map(|it| it.length).max().unwrap_or(0);
        let mut types: Vec<Type> = Vec::new();
        for (piece, it) in pieces.iter().enumerate().filter(|(_, it)| it.count > 0) {
            let length = it.length + kerf;
            if length > longest {
                return Err(Unfit::Piece { piece });
            }
            match types.iter_mut().find(|of| of.length == length) {
                Some(of) => {
                    of.count += it.count;
                    of.members.push((piece, it.count));
                }
                None => types.push(Type {
                    length,
                    count: it.count,
                    members: vec![(piece, it.count)],
                }),
            }
        }
        let shortest = types.iter().map(|it| it.length).min().unwrap_or(0);
        kinds.retain(|it| it.length >= shortest);
        let n: u64 = pieces.iter().map(|it| u64::from(it.count)).sum();
        let weight = if kinds.len() == 1 { 0 } else { n + 1 };
        for it in &mut kinds {
            let weight = real(i64::try_from(weight).unwrap_or(i64::MAX));
            it.price = real(it.cost) * weight + 1.0;
        }
        types.sort_by_key(|it| std::cmp::Reverse(it.length));
        kinds.sort_by_key(|it| (it.length, it.bar));
        let lengths = kinds.iter().map(|it| it.length);
        let unit = lengths
            .chain(types.iter().map(|it| it.length))
            .fold(0, common_divisor);
        let unit = unit.max(1);
        for it in &mut kinds {
            it.length /= unit;
        }
        for it in &mut types {
            it.length /= unit;
        }
        Ok(Self {
            kinds,
            types,
            unit,
            kerf,
            bars_in_cost: i128::from(weight),
        })
    }

    /// How many of each type are needed.
    pub(super) fn demand(&self) -> Vec<u32> {
        self.types.iter().map(|it| it.count).collect()
    }

    /// How many of each kind of bar there are.
    pub(super) fn stock(&self) -> Vec<u32> {
        let stock = self.kinds.iter().map(|it| it.on_hand.unwrap_or(u32::MAX));
        stock.collect()
    }

    /// The kinds as the programme sees them, when this much stock is left.
    pub(super) fn kinds_left(&self, stock: &[u32]) -> Vec<Stock> {
        let kinds = self.kinds.iter().zip(stock);
        let left = kinds.map(|(it, n)| Stock {
            price: it.price,
            on_hand: it.on_hand.map(|_| *n),
        });
        left.collect()
    }

    /// Length that a pattern takes, kerf counted.
    pub(super) fn length(&self, it: &Pattern) -> i64 {
        let each = it.pieces.iter();
        each.map(|(of, n)| self.types[*of].length * i64::from(*n))
            .sum()
    }

    /// Price of a plan.
    pub(super) fn price(&self, plan: &[Pattern]) -> f64 {
        plan.iter().map(|it| self.kinds[it.kind].price).sum()
    }

    /// Price of a bar of a kind, in whole numbers.
    pub(super) fn whole_price(&self, kind: usize) -> i128 {
        i128::from(self.kinds[kind].cost) * self.bars_in_cost + 1
    }

    /// Price of a plan, in whole numbers.
    pub(super) fn whole_price_of(&self, plan: &[Pattern]) -> i128 {
        plan.iter().map(|it| self.whole_price(it.kind)).sum()
    }

    /// The plan in the caller's units, fullest bars first, pieces handed out in the order given.
    pub(super) fn unfolded(&self, mut plan: Vec<Pattern>) -> Vec<BarUse> {
        plan.sort_by(|a, b| {
            let left = |it: &Pattern| self.kinds[it.kind].length - self.length(it);
            (left(a), &a.pieces, a.kind).cmp(&(left(b), &b.pieces, b.kind))
        });
        let mut hands: Vec<_> = self
            .types
            .iter()
            .map(|it| {
                let members = it.members.iter();
                members.flat_map(|(piece, n)| (0..*n).map(|_| *piece))
            })
            .collect();
        plan.iter()
            .map(|it| {
                let rest = (self.kinds[it.kind].length - self.length(it)) * self.unit;
                let mut pieces = Vec::new();
                for (of, n) in &it.pieces {
                    pieces.extend((0..*n).filter_map(|_| hands[*of].next()));
                }
                BarUse {
                    bar: self.kinds[it.kind].bar,
                    pieces,
                    offcut: (rest - self.kerf).max(0),
                }
            })
            .collect()
    }
}

fn checked_sizes(bars: &[Bar], pieces: &[Length1], kerf: i64, end_trim: i64) -> Result<(), Unfit> {
    let refuse = |what: String| Err(Unfit::Size { what });
    if !(0..LONGEST).contains(&kerf) || !(0..LONGEST).contains(&end_trim) {
        return refuse(format!("kerf {kerf} with end trim {end_trim}"));
    }
    for (i, it) in bars.iter().enumerate() {
        if !(1..LONGEST).contains(&it.length) || !(0..LONGEST).contains(&it.cost) {
            return refuse(format!("bar {i}: {} at {}", it.length, it.cost));
        }
    }
    for (i, it) in pieces.iter().enumerate() {
        if !(1..LONGEST).contains(&it.length) {
            return refuse(format!("piece {i}: {}", it.length));
        }
    }
    let n: u64 = pieces.iter().map(|it| u64::from(it.count)).sum();
    if n > MOST_PIECES {
        return refuse(format!("a count of {n} pieces"));
    }
    Ok(())
}
