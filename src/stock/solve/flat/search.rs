//! The order of the searches: a first plan at once, then wider and wider ones until the bound is met or the work is done.

use super::super::model::{Effort, Unfit};
use super::beam::{Found, Guide, Task, beam};
use super::columns;
use super::pattern::Pattern;
use super::problem::Problem;
use super::rework::rework;

/// Partial plans kept in the last of the first searches: until then each is wider than the one before.
const FIRST_WIDTHS: [usize; 4] = [1, 3, 8, 20];

/// Types at most for the bound by columns: its work grows with their cube.
const MOST_TYPES: usize = 300;

/// More partial plans than any search has work for.
const WIDEST: usize = 1 << 24;

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
    /// Every plan of three stages was looked at, and none is better than the best.
    exhausted: bool,
}

impl<'a> Search<'a> {
    /// Nothing is known yet.
    pub(super) fn new(problem: &'a Problem, floor: f64, effort: Effort) -> Self {
        Self {
            problem,
            floor,
            effort: effort.0,
            work: 0,
            best: None,
            exhausted: false,
        }
    }

    /// Finds a plan at once, then better ones while that is quick.
    pub(super) fn first_plan(&mut self) -> Result<(), Unfit> {
        if self.problem.types.is_empty() {
            return Ok(());
        }
        for width in FIRST_WIDTHS {
            beams(self, width);
        }
        let piece = self.problem.types.first().and_then(|it| it.members.first());
        let piece = piece.map_or(0, |it| it.0);
        self.best
            .as_ref()
            .map(|_| ())
            .ok_or(Unfit::RunsOut { piece })
    }

    /// Values, one for each piece given, that may prove a better bound; none where there is nothing to prove.
    pub(super) fn values(&mut self, n_pieces: usize) -> Option<Vec<i64>> {
        if self.is_over() || self.problem.types.len() > MOST_TYPES {
            return None;
        }
        let plan = self.best.as_ref()?.plan.clone();
        let until = self.work.saturating_add((self.effort - self.work) / 4);
        let limits = (&mut self.work, until);
        let values = columns::values(self.problem, &plan, self.floor, limits);
        let mut of_pieces = vec![0; n_pieces];
        for (it, value) in self.problem.types.iter().zip(&values) {
            for (piece, _) in &it.members {
                of_pieces[*piece] = *value;
            }
        }
        (!values.is_empty()).then_some(of_pieces)
    }

    /// Searches until the bound is met or the work is done.
    pub(super) fn run(mut self) -> Vec<Pattern> {
        let mut width = 30;
        let mut round = 0;
        while self.best.is_some() && !self.is_over() {
            let before = self.work;
            beams(&mut self, width);
            let spent = self.work - before;
            rework(&mut self, spent, round);
            width = (width * 3 / 2 + 1).min(WIDEST);
            round += 1;
        }
        self.best.map(|it| it.plan).unwrap_or_default()
    }

    /// Nothing better is possible, or the work is done and there is a plan.
    pub(super) fn is_over(&self) -> bool {
        self.best.as_ref().is_some_and(|best| {
            self.exhausted
                || self.work >= self.effort
                || price(self.problem, &best.plan) <= self.floor + SLACK
        })
    }

    /// Price below which a plan is better than the best: one sheet less, or the cheapest step less.
    pub(super) fn target(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |best| {
            (price(self.problem, &best.plan) - 1.0) * (1.0 + 1e-12)
        })
    }

    /// Keeps a plan if it is better.
    pub(super) fn keep(&mut self, mut found: Found) {
        if self.problem.kinds.len() > 1 {
            from_cheaper_sheets(self.problem, &mut found.plan);
        }
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

/// Beam searches of one width, with every guide, in each frame and in both, from all stock and from each choice of it.
fn beams(search: &mut Search<'_>, width: usize) {
    let problem = search.problem;
    let worth: Vec<f64> = problem.types.iter().map(|it| it.area).collect();
    let mut frames: Vec<&[usize]> = problem.frames.chunks(1).collect();
    if problem.frames.len() > 1 {
        frames.push(&problem.frames);
    }
    for guide in [Guide::SizeFirst, Guide::WasteBySize, Guide::Waste] {
        for frames in &frames {
            for (choice, stock) in problem.choices().iter().enumerate() {
                if search.is_over() {
                    return;
                }
                let task = Task {
                    demand: &problem.demand(),
                    worth: &worth,
                    guide,
                    width,
                    target: search.target(),
                    frames,
                    stock,
                    limit: match search.best {
                        Some(_) => search.effort,
                        None => u64::MAX,
                    },
                };
                let answer = beam(problem, &task, &mut search.work);
                let all = choice == 0 && frames.len() == problem.frames.len();
                search.exhausted |= all && answer.whole && answer.found.is_none();
                if let Some(found) = answer.found {
                    search.keep(found);
                }
            }
        }
    }
}

/// Cuts the same from the cheapest sheets that hold it, as far as there are any.
fn from_cheaper_sheets(problem: &Problem, plan: &mut [Pattern]) {
    let mut stock = problem.stock();
    for it in plan.iter() {
        stock[it.kind] = stock[it.kind].saturating_sub(1);
    }
    for it in plan {
        let (along, up) = it.extent(problem);
        let holds = (0..problem.kinds.len()).filter(|kind| {
            let (width, height) = problem.extent(*kind, it.frame);
            stock[*kind] > 0 && along <= width && up <= height
        });
        let price = |kind: &usize| problem.kinds[*kind].price;
        if let Some(kind) = holds.min_by(|a, b| price(a).total_cmp(&price(b)))
            && price(&kind) < price(&it.kind)
        {
            stock[it.kind] = stock[it.kind].saturating_add(1);
            stock[kind] -= 1;
            it.kind = kind;
        }
    }
}
