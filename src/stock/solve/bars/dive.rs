//! Diving: what the programme uses whole is cut, then the most used pattern, and the programme is asked again for the rest.
//!
//! At every step best fit completes the plan. Dives start again with other choices until the bound is met or the work is done.

use super::super::numbers::Chance;
use super::columns::{Solved, solve};
use super::finish::{Finish, Rests};
use super::fit::best_fit;
use super::problem::{Pattern, Problem};

/// Rounding slack of prices and of numbers of bars.
const SLACK: f64 = 1e-6;
/// So few pieces are laid on their bars by trying out.
const FEW_PIECES: u32 = 18;
/// Steps of trying out at one place.
const FINISH_STEPS: u64 = 100_000;
/// Steps of trying out a whole plan.
const TRY_ALL_STEPS: u64 = 1_000_000;
/// Dives before that: the better the plan in hand, the less is left to try.
const FIRST_DIVES: u64 = 4;

/// Work on the number of bars once the cost is proved least: as much as until then, and so much more.
const AFTER_COST: u64 = 100_000;

/// What is known while searching.
#[derive(Debug)]
pub(super) struct Dive<'a> {
    pub(super) problem: &'a Problem,
    /// No plan has a lower price.
    pub(super) floor: i128,
    pub(super) effort: u64,
    pub(super) work: u64,
    pub(super) best: Vec<Pattern>,
    /// Every plan was tried out: none has a lower price than the best.
    pub(super) has_tried_all: bool,
}

impl Dive<'_> {
    fn is_over(&self) -> bool {
        self.work >= self.effort || self.problem.whole_price_of(&self.best) <= self.floor
    }

    /// Dives from the solved programme until there is nothing to gain.
    pub(super) fn run(&mut self, root: &Solved) {
        let rests = Rests::new(self.problem, root);
        let mut pool = root.patterns.clone();
        let mut round = 0;
        let mut cost_is_least = false;
        while !self.is_over() && round < 10_000 {
            if round == FIRST_DIVES && self.try_all(&rests) {
                self.has_tried_all = true;
                return;
            }
            self.one(root, &rests, &mut pool, &mut Chance::new(round), round);
            if pool.len() > 4000 {
                pool.clone_from(&root.patterns);
            }
            if !cost_is_least && self.costs_least() {
                cost_is_least = true;
                self.effort = self.effort.min(2 * self.work + AFTER_COST);
            }
            round += 1;
        }
    }

    /// True when only the number of bars is open.
    fn costs_least(&self) -> bool {
        let per_cost = self.problem.bars_in_cost.max(1);
        let price = self.problem.whole_price_of(&self.best);
        price / per_cost <= self.floor / per_cost
    }

    /// Every plan from the start, as far as its steps go. True when none is cheaper than the best.
    fn try_all(&mut self, rests: &Rests) -> bool {
        let (demand, stock) = (self.problem.demand(), self.problem.stock());
        self.finish(rests, &demand, &stock, &[], TRY_ALL_STEPS)
    }

    /// Completes a plan by trying out. True when no rest of it is better than the best plan now.
    fn finish(
        &mut self,
        rests: &Rests,
        demand: &[u32],
        stock: &[u32],
        plan: &[Pattern],
        steps: u64,
    ) -> bool {
        let below = self.problem.whole_price_of(&self.best);
        let price = self.problem.whole_price_of(plan);
        let finish = Finish::run(self.problem, rests, (demand, stock), (price, below), steps);
        self.work += finish.taken(steps) / 2;
        if let Some(rest) = &finish.best {
            self.best = plan.iter().chain(rest).cloned().collect();
        }
        finish.has_tried_all()
    }

    fn one(
        &mut self,
        root: &Solved,
        rests: &Rests,
        pool: &mut Vec<Pattern>,
        chance: &mut Chance,
        round: u64,
    ) {
        let problem = self.problem;
        let mut demand = problem.demand();
        let mut stock = problem.stock();
        let mut plan: Vec<Pattern> = Vec::new();
        let (mut patterns, mut used) = (root.patterns.clone(), root.used.clone());
        loop {
            let chosen = choose(&used, chance, round);
            if chosen.is_empty() {
                return;
            }
            for (place, (at, n)) in chosen.into_iter().enumerate() {
                for done in 0..n {
                    let whole = patterns[at].pieces.iter().all(|(of, n)| *n <= demand[*of]);
                    // Of several chosen, those that clash with one before wait for the next programme.
                    if !whole && (place > 0 || done > 0) {
                        break;
                    }
                    cut(&patterns[at], &mut demand, &mut stock, &mut plan);
                }
            }
            self.work += 3;
            let Some(rest) = best_fit(problem, &demand, &stock) else {
                return;
            };
            let price = problem.price(&plan) + problem.price(&rest);
            if price < problem.price(&self.best) - SLACK {
                self.best = plan.iter().cloned().chain(rest).collect();
            }
            if self.is_over() || demand.iter().all(|it| *it == 0) {
                return;
            }
            if demand.iter().sum::<u32>() <= FEW_PIECES {
                self.finish(rests, &demand, &stock, &plan, FINISH_STEPS);
                return;
            }
            let fits = |it: &Pattern| {
                stock[it.kind] > 0 && it.pieces.iter().all(|(of, n)| *n <= demand[*of])
            };
            let fitting: Vec<Pattern> = pool.iter().filter(|it| fits(it)).cloned().collect();
            let n_fitting = fitting.len();
            let limits = (&mut self.work, self.effort);
            let Some(solved) = solve(problem, &demand, &stock, fitting, limits) else {
                return;
            };
            pool.extend(solved.patterns[n_fitting..].iter().cloned());
            if problem.price(&plan) + solved.price > problem.price(&self.best) - 1.0 + SLACK {
                return;
            }
            (patterns, used) = (solved.patterns, solved.used);
        }
    }
}

/// Patterns to cut now: all that are used whole, and of the others the most used, one in so many; chance has a say in later
/// rounds, which also take smaller steps.
fn choose(used: &[(usize, f64)], chance: &mut Chance, round: u64) -> Vec<(usize, u32)> {
    let whole = |n: f64| count(n + SLACK);
    let mut chosen: Vec<(usize, u32)> = used.iter().map(|(at, n)| (*at, whole(*n))).collect();
    chosen.retain(|it| it.1 > 0);
    let noise = match round {
        0 => 0.0,
        _ => [0.1, 0.3, 1.0][usize::try_from(round / 3 % 3).unwrap_or(0)],
    };
    let mut parts: Vec<(f64, usize)> = used
        .iter()
        .map(|(at, n)| (n - f64::from(whole(*n)) + noise * chance.share(), *at))
        .collect();
    parts.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let one_in = if round.is_multiple_of(3) { 8 } else { 30 };
    let n_parts = if chosen.is_empty() {
        parts.len().div_ceil(one_in)
    } else {
        0
    };
    chosen.extend(parts.iter().take(n_parts).map(|(_, at)| (*at, 1)));
    chosen
}

/// A number of bars, rounded down.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "numbers of bars are not below zero and far below 2^32"
)]
fn count(n: f64) -> u32 {
    n.max(0.0).floor() as u32
}

/// Cuts one bar, without what is needed no more.
fn cut(it: &Pattern, demand: &mut [u32], stock: &mut [u32], plan: &mut Vec<Pattern>) {
    if stock[it.kind] == 0 {
        return;
    }
    let mut pieces = Vec::new();
    for (of, n) in &it.pieces {
        let n = (*n).min(demand[*of]);
        demand[*of] -= n;
        if n > 0 {
            pieces.push((*of, n));
        }
    }
    if !pieces.is_empty() {
        if stock[it.kind] != u32::MAX {
            stock[it.kind] -= 1;
        }
        plan.push(Pattern {
            kind: it.kind,
            pieces,
        });
    }
}
