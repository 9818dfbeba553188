//! The last bars of a plan by trying out: branch and bound over the bar that holds the longest piece left.
//!
//! ```text
//!   pieces left ──► every filling with the longest of them, least loss first ──► pieces left ──► …
//!                   not where whole bars cannot hold the rest at a lower price, nor where as little led here before
//! ```
//!
//! Only fillings to which nothing can be added are tried, on the cheapest bar that holds them: a piece more on a bar never makes
//! the rest dearer. Prices and worths are whole numbers, so that what was tried out in full is tried out.

use super::super::filling::{Holder, Ladder};
use super::super::numbers::{short, whole};
use super::columns::Solved;
use super::problem::{Pattern, Problem};
use super::replay::most_by_length;
use std::collections::BTreeMap;

/// Fillings looked at, at one place.
const MOST_FILLINGS: usize = 3000;
/// Cells of a table of lengths; longer bars are looked at on a coarser grid.
const MOST_CELLS: i64 = 1 << 14;

/// What rests of a plan cost at least: from whole worths of pieces, which no bar holds more of than its most.
#[derive(Debug)]
pub(super) struct Rests {
    /// Worth of a piece of each type.
    worths: Vec<i64>,
    /// What a bar of each kind has to hold to be worth its price and its scarcity.
    hurdles: Vec<i64>,
    grid: i64,
    /// The most worth within each number of cells.
    most: Vec<i64>,
    ladder: Option<Ladder>,
    holders: Vec<Holder>,
}

impl Rests {
    /// From a solved programme.
    pub(super) fn new(problem: &Problem, root: &Solved) -> Self {
        let longest = problem.kinds.iter().map(|it| it.length).max().unwrap_or(0);
        let grid = longest / MOST_CELLS + 1;
        let both = problem.types.iter().zip(&root.values);
        let lengths: BTreeMap<i64, (i64, u64)> = both
            .clone()
            .map(|(it, worth)| (it.length, (*worth, u64::from(it.count))))
            .collect();
        let most = most_by_length(&lengths, longest / grid, grid);
        let holders = problem.kinds.iter().map(|it| Holder {
            most: cell(&most, it.length, grid).into(),
            cost: it.cost,
            on_hand: it.on_hand,
        });
        let holders: Vec<Holder> = holders.collect();
        let total = both.map(|(it, worth)| i128::from(it.count) * i128::from(*worth));
        let scale = |hurdle: &f64| whole(hurdle * root.scale);
        Self {
            ladder: Ladder::new(total.sum(), &holders),
            hurdles: root.hurdles.iter().map(scale).collect(),
            worths: root.values.clone(),
            grid,
            most,
            holders,
        }
    }

    fn most(&self, length: i64) -> i64 {
        cell(&self.most, length, self.grid)
    }

    fn worth(&self, demand: &[u32]) -> i64 {
        let both = demand.iter().zip(&self.worths);
        both.map(|(n, worth)| i64::from(*n).saturating_mul(*worth))
            .fold(0, i64::saturating_add)
    }

    /// Least price of whole bars that hold this much.
    fn price(&self, problem: &Problem, worth: i64) -> i128 {
        let worth = i128::from(worth.max(0));
        let roomiest = self.holders.iter().map(|it| it.most).max().unwrap_or(0);
        if worth == 0 || roomiest == 0 {
            return 0;
        }
        let rounded_up = |n: i128, by: i128| n / by + i128::from(n % by != 0);
        let cost = match &self.ladder {
            Some(ladder) => ladder.least(worth),
            None => {
                let holders = self.holders.iter().filter(|it| it.most > 0);
                let costs = holders.map(|it| rounded_up(worth * i128::from(it.cost), it.most));
                costs.min().unwrap_or(0)
            }
        };
        cost * problem.bars_in_cost + rounded_up(worth, roomiest)
    }
}

fn cell(table: &[i64], length: i64, grid: i64) -> i64 {
    let at = usize::try_from(length / grid).unwrap_or(0);
    table.get(at).copied().unwrap_or(0)
}

/// What a finish works with.
pub(super) struct Finish<'a> {
    pub(super) problem: &'a Problem,
    pub(super) rests: &'a Rests,
    /// Plans must be cheaper than this.
    pub(super) below: i128,
    /// Steps that are left.
    pub(super) steps: u64,
    /// The best rest of a plan found.
    pub(super) best: Option<Vec<Pattern>>,
    /// Fillings were left out.
    is_cut_short: bool,
    /// Least price at which pieces and stock were left so.
    seen: BTreeMap<Vec<u32>, i128>,
    demand: Vec<u32>,
    stock: Vec<u32>,
    plan: Vec<Pattern>,
}

/// A bar being filled.
struct Filling {
    kind: usize,
    /// Worth that it has to reach.
    least: i64,
    counts: Vec<u32>,
    found: Vec<(i64, Pattern)>,
}

impl<'a> Finish<'a> {
    /// Looks for a rest of a plan below a price; `price` is that of the bars cut already.
    pub(super) fn run(
        problem: &'a Problem,
        rests: &'a Rests,
        (demand, stock): (&[u32], &[u32]),
        (price, below): (i128, i128),
        steps: u64,
    ) -> Self {
        let mut finish = Self {
            problem,
            rests,
            below,
            steps,
            best: None,
            is_cut_short: false,
            seen: BTreeMap::new(),
            demand: demand.to_vec(),
            stock: stock.to_vec(),
            plan: Vec::new(),
        };
        finish.go_on(price);
        finish
    }

    /// True when no rest of a plan is cheaper than the one found, or than what was asked for.
    pub(super) fn has_tried_all(&self) -> bool {
        self.steps > 0 && !self.is_cut_short
    }

    fn go_on(&mut self, price: i128) {
        let Some(longest) = self.demand.iter().position(|it| *it > 0) else {
            if price < self.below {
                self.below = price;
                self.best = Some(self.plan.clone());
            }
            return;
        };
        let worth = self.rests.worth(&self.demand);
        if self.steps == 0 || price + self.rests.price(self.problem, worth) >= self.below {
            return;
        }
        let limited = self.problem.kinds.iter().zip(&self.stock);
        let limited = limited.filter(|(kind, _)| kind.on_hand.is_some());
        let left = self.demand.iter().chain(limited.map(|(_, n)| n)).copied();
        let before = self.seen.entry(left.collect()).or_insert(i128::MAX);
        if *before <= price {
            return;
        }
        *before = price;
        for (value, it) in self.fillings(longest, price, worth) {
            let price = price + self.problem.whole_price(it.kind);
            if price + self.rests.price(self.problem, worth - value) >= self.below {
                continue;
            }
            for (of, n) in &it.pieces {
                self.demand[*of] -= n;
            }
            let limited = u32::from(self.stock[it.kind] != u32::MAX);
            self.stock[it.kind] -= limited;
            self.plan.push(it);
            self.go_on(price);
            if let Some(it) = self.plan.pop() {
                self.stock[it.kind] += limited;
                for (of, n) in &it.pieces {
                    self.demand[*of] += n;
                }
            }
        }
    }

    /// Fillings of every kind of bar with the longest piece in it, with their worths, those that lose least first.
    fn fillings(&mut self, longest: usize, price: i128, worth: i64) -> Vec<(i64, Pattern)> {
        let mut found = Vec::new();
        for (kind, bar) in self.problem.kinds.iter().enumerate() {
            let room = bar.length - self.problem.types[longest].length;
            if self.stock[kind] == 0 || room < 0 {
                continue;
            }
            let price = price + self.problem.whole_price(kind);
            let Some(least) = self.least_worth(price, worth) else {
                continue;
            };
            let mut counts = vec![0; self.demand.len()];
            counts[longest] = 1;
            let mut filling = Filling {
                kind,
                least,
                counts,
                found: std::mem::take(&mut found),
            };
            let value = self.rests.worths[longest];
            self.fill(longest, room, value, &mut filling);
            found = filling.found;
        }
        let loss = |it: &(i64, Pattern)| self.rests.hurdles[it.1.kind] - it.0;
        found.sort_by(|a, b| loss(a).cmp(&loss(b)).then(a.1.cmp(&b.1)));
        found
    }

    /// The least that a bar has to hold, of so much left, for the rest to be cheap enough.
    fn least_worth(&self, price: i128, worth: i64) -> Option<i64> {
        let cheap = |held: i64| price + self.rests.price(self.problem, worth - held) < self.below;
        if !cheap(worth) {
            return None;
        }
        let (mut low, mut high) = (-1, worth);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if cheap(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(high)
    }

    fn fill(&mut self, of: usize, room: i64, value: i64, filling: &mut Filling) {
        self.steps = self.steps.saturating_sub(1);
        if self.steps == 0 || value.saturating_add(self.rests.most(room)) < filling.least {
            return;
        }
        if filling.found.len() >= MOST_FILLINGS {
            self.is_cut_short = true;
            return;
        }
        let types = &self.problem.types;
        let Some(it) = types.get(of) else {
            let left = |of: usize| self.demand[of] > filling.counts[of] && types[of].length <= room;
            if !(0..types.len()).any(left) && !self.fits_cheaper(filling.kind, room) {
                let pieces = filling.counts.iter().enumerate().filter(|it| *it.1 > 0);
                let pieces = pieces.map(|(of, n)| (of, *n)).collect();
                let kind = filling.kind;
                filling.found.push((value, Pattern { kind, pieces }));
            }
            return;
        };
        let already = filling.counts[of];
        let fit = usize::try_from(room / it.length).unwrap_or(0);
        let most = short(fit).min(self.demand[of] - already);
        for n in (0..=most).rev() {
            filling.counts[of] = already + n;
            let room = room - it.length * i64::from(n);
            let value = value + self.rests.worths[of] * i64::from(n);
            self.fill(of + 1, room, value, filling);
        }
        filling.counts[of] = already;
    }

    /// True when what leaves so much room fits an endless kind that costs less, or as much and comes first.
    fn fits_cheaper(&self, kind: usize, room: i64) -> bool {
        let kinds = &self.problem.kinds;
        let used = kinds[kind].length - room;
        let mut others = kinds.iter().enumerate();
        others.any(|(at, it)| {
            it.on_hand.is_none() && it.length >= used && (it.cost, at) < (kinds[kind].cost, kind)
        })
    }

    /// How much of its steps it took.
    pub(super) fn taken(&self, steps: u64) -> u64 {
        steps - self.steps
    }
}
