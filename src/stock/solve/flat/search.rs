//! The order of the searches: a first plan at once, then wider and wider ones until the bound is met or the work is done.

use super::super::model::{Effort, Unfit};
use super::beam::{Found, Guide, Task, beam};
use super::pattern::Pattern;
use super::problem::Problem;
use super::rework::rework;

/// Partial plans kept in the last of the first searches: until then each is wider than the one before.
const FIRST_WIDTHS: [usize; 4] = [1, 3, 8, 20];

/// Rounding slack of prices: far below the price of the smallest piece.
pub(super) const SLACK: f64 = 1e-7;

/// Price of a plan.
pub(super) fn price(problem: &Problem, plan: &[Pattern]) -> f64 {
    plan.iter().map(|it| problem.kinds[it.kind].price).sum()
}

/// What is known while searching.
pub(super) struct Search<'a> {
    pub(super) problem: &'a Problem,
    /// No plan has a lower price.
    pub(super) floor: f64,
    pub(super) effort: u64,
    pub(super) work: u64,
    pub(super) best: Option<Found>,
}

impl Search<'_> {
    /// Nothing better is possible, or the work is done and there is a plan.
    pub(super) fn is_over(&self) -> bool {
        self.best.as_ref().is_some_and(|best| {
            self.work >= self.effort || price(self.problem, &best.plan) <= self.floor + SLACK
        })
    }

    /// Price below which a plan is better than the best: one sheet less, or the cheapest step less.
    pub(super) fn target(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |best| {
            (price(self.problem, &best.plan) - 1.0) * (1.0 + 1e-12)
        })
    }

    /// Keeps a plan if it is better.
    pub(super) fn keep(&mut self, found: Found) {
        let value = |it: &Found| (price(self.problem, &it.plan), it.price);
        let better = self.best.as_ref().is_none_or(|best| {
            let ((a, a_used), (b, b_used)) = (value(&found), value(best));
            a < b - SLACK || a < b + SLACK && a_used < b_used - SLACK
        });
        if better {
            self.best = Some(found);
        }
    }
}

/// Searches.
pub(super) fn search(problem: &Problem, floor: f64, effort: Effort) -> Result<Vec<Pattern>, Unfit> {
    if problem.types.is_empty() {
        return Ok(Vec::new());
    }
    let mut search = Search {
        problem,
        floor,
        effort: effort.0,
        work: 0,
        best: None,
    };
    for width in FIRST_WIDTHS {
        beams(&mut search, width);
    }
    let mut width = 30;
    let mut round = 0;
    // A beam as wide as the work allowed keeps every partial plan: wider ones would find nothing more.
    let widest = usize::try_from(effort.0.min(1 << 40)).unwrap_or(usize::MAX >> 8);
    while search.best.is_some() && !search.is_over() && width <= widest {
        let before = search.work;
        beams(&mut search, width);
        let spent = search.work - before;
        rework(&mut search, spent, round);
        width = width * 3 / 2 + 1;
        round += 1;
    }
    let piece = problem.types.first().and_then(|it| it.members.first());
    let piece = piece.map_or(0, |it| it.0);
    let best = search.best.ok_or(Unfit::RunsOut { piece })?;
    Ok(best.plan)
}

/// Beam searches of one width, with every guide in every frame.
fn beams(search: &mut Search<'_>, width: usize) {
    let problem = search.problem;
    let worth: Vec<f64> = problem.types.iter().map(|it| it.area).collect();
    for guide in [Guide::SizeFirst, Guide::WasteBySize, Guide::Waste] {
        for frame in &problem.frames {
            if search.is_over() {
                return;
            }
            let task = Task {
                demand: &problem.demand(),
                worth: &worth,
                guide,
                width,
                target: search.target(),
                frames: &[*frame],
                stock: &problem.stock(),
            };
            if let Some(found) = beam(problem, &task, &mut search.work) {
                search.keep(found);
            }
        }
    }
}
