//! The last bars of a plan by trying out: branch and bound over the bar that holds the longest piece left.
//!
//! The values of the solved programme bound what the rest costs at least; fillings that lose least against them come first. Only
//! fillings to which nothing can be added are tried: a piece more on a bar never makes the rest dearer.

use super::super::numbers::{real, short};
use super::problem::{Pattern, Problem};

/// Fillings of one kind of bar that are looked at, at one place.
const MOST_FILLINGS: usize = 300;

/// What a finish works with.
pub(super) struct Finish<'a> {
    pub(super) problem: &'a Problem,
    /// What a piece of each type is worth: no filling is worth more than the hurdle of its kind of bar.
    pub(super) worths: &'a [f64],
    /// Price of each kind of bar, and of its scarcity.
    pub(super) hurdles: &'a [f64],
    /// Plans must be cheaper than this.
    pub(super) below: f64,
    /// Steps that are left.
    pub(super) steps: u64,
    /// The best rest of a plan found.
    pub(super) best: Option<Vec<Pattern>>,
}

impl Finish<'_> {
    /// Looks for a rest of a plan; `price` is that of the bars cut already.
    pub(super) fn run(&mut self, demand: &[u32], stock: &[u32], price: f64) {
        let (mut demand, mut stock) = (demand.to_vec(), stock.to_vec());
        self.go_on(&mut demand, &mut stock, price, &mut Vec::new());
    }

    fn go_on(
        &mut self,
        demand: &mut [u32],
        stock: &mut [u32],
        price: f64,
        plan: &mut Vec<Pattern>,
    ) {
        let Some(longest) = demand.iter().position(|it| *it > 0) else {
            if price < self.below {
                self.below = price - 0.5;
                self.best = Some(plan.clone());
            }
            return;
        };
        let rest = demand.iter().zip(self.worths);
        let rest: f64 = rest.map(|(n, worth)| real(i64::from(*n)) * worth).sum();
        let scarce: f64 = self
            .problem
            .kinds
            .iter()
            .enumerate()
            .map(|(kind, it)| {
                let left = it.on_hand.map_or(0, |_| stock[kind]);
                (self.hurdles[kind] - it.price) * real(i64::from(left))
            })
            .sum();
        if self.steps == 0 || price + rest - scarce > self.below + 1e-6 {
            return;
        }
        for (_, it) in self.fillings(longest, demand, stock) {
            for (of, n) in &it.pieces {
                demand[*of] -= n;
            }
            let limited = stock[it.kind] != u32::MAX;
            stock[it.kind] -= u32::from(limited);
            plan.push(it);
            let Some(it) = plan.last().cloned() else {
                return;
            };
            self.go_on(
                demand,
                stock,
                price + self.problem.kinds[it.kind].price,
                plan,
            );
            plan.pop();
            stock[it.kind] += u32::from(limited);
            for (of, n) in &it.pieces {
                demand[*of] += n;
            }
        }
    }

    /// Fillings of every kind of bar with the longest piece in it, those that lose least first.
    fn fillings(&mut self, longest: usize, demand: &[u32], stock: &[u32]) -> Vec<(f64, Pattern)> {
        let mut found = Vec::new();
        for (kind, bar) in self.problem.kinds.iter().enumerate() {
            let room = bar.length - self.problem.types[longest].length;
            if stock[kind] == 0 || room < 0 {
                continue;
            }
            let mut counts = vec![0; demand.len()];
            counts[longest] = 1;
            let from = found.len();
            self.fill(longest, room, (demand, kind), &mut counts, &mut found);
            found.truncate(from + MOST_FILLINGS);
        }
        found.sort_by(|a: &(f64, Pattern), b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        found
    }

    fn fill(
        &mut self,
        of: usize,
        room: i64,
        (demand, kind): (&[u32], usize),
        counts: &mut [u32],
        found: &mut Vec<(f64, Pattern)>,
    ) {
        self.steps = self.steps.saturating_sub(1);
        if self.steps == 0 {
            return;
        }
        let types = &self.problem.types;
        let Some(it) = types.get(of) else {
            let left = |of: usize| demand[of] > counts[of] && types[of].length <= room;
            if !(0..types.len()).any(left) {
                found.push(self.filling(kind, counts));
            }
            return;
        };
        let already = counts[of];
        let fit = usize::try_from(room / it.length).unwrap_or(0);
        let most = short(fit).min(demand[of] - already);
        for n in (0..=most).rev() {
            counts[of] = already + n;
            let room = room - it.length * i64::from(n);
            self.fill(of + 1, room, (demand, kind), counts, found);
        }
        counts[of] = already;
    }

    /// What a bar filled so loses against the values, and the pattern.
    fn filling(&self, kind: usize, counts: &[u32]) -> (f64, Pattern) {
        let pieces = counts.iter().enumerate().filter(|it| *it.1 > 0);
        let pieces: Vec<(usize, u32)> = pieces.map(|(of, n)| (of, *n)).collect();
        let worth = pieces
            .iter()
            .map(|(of, n)| self.worths[*of] * real(i64::from(*n)));
        let loss = self.hurdles[kind] - worth.sum::<f64>();
        (loss, Pattern { kind, pieces })
    }
}
