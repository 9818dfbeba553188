//! Takes a few sheets of the best plan apart, the emptiest always, and lays their pieces again so that it gets emptier still.
//!
//! A plan with one sheet less is met when the emptiest sheet has nothing left. Cost of a step: a beam search over a few sheets.

use super::super::numbers::{Chance, real};
use super::beam::{Found, Guide, Task, beam};
use super::pattern::Pattern;
use super::search::{SLACK, Search, price};

/// Sheets taken apart at once: from 2 up to this.
const MOST_SHEETS: usize = 6;

/// Reworks the best plan until the work is done; `round` makes each call go another way.
pub(super) fn rework(search: &mut Search<'_>, work: u64, round: u64) {
    let Some(best) = search.best.clone() else {
        return;
    };
    let problem = search.problem;
    let mut chance = Chance::new(round);
    let mut now = best.plan;
    emptiest_last(&mut now, |it| {
        it.filled(problem) * problem.kinds[it.kind].rate
    });
    let until = search.work.saturating_add(work);
    while search.work < until && !search.is_over() && now.len() > 1 {
        step(search, &mut now, &mut chance);
    }
}

fn emptiest_last(plan: &mut Vec<Pattern>, fill: impl Fn(&Pattern) -> f64) {
    let emptiest = (0..plan.len()).min_by(|a, b| fill(&plan[*a]).total_cmp(&fill(&plan[*b])));
    if let Some(at) = emptiest {
        let it = plan.remove(at);
        plan.push(it);
    }
}

/// One step: some sheets are laid again.
fn step(search: &mut Search<'_>, now: &mut Vec<Pattern>, chance: &mut Chance) {
    let problem = search.problem;
    let n_apart = (2 + chance.below(MOST_SHEETS - 1)).min(now.len());
    // The last sheet and n - 1 others go to the end.
    let last = now.len() - 1;
    for place in 1..n_apart {
        let other = chance.below(last - place + 1);
        now.swap(other, last - place);
    }
    let kept = now.len() - n_apart;
    let mut demand = vec![0; problem.types.len()];
    let mut stock = problem.stock();
    for it in &now[..kept] {
        stock[it.kind] = stock[it.kind].saturating_sub(1);
    }
    for it in &now[kept..] {
        for of in it.types(problem) {
            demand[of] += 1;
        }
    }
    let old = price(problem, &now[kept..last]) + used(search, &now[last]);
    let guides = [Guide::SizeFirst, Guide::WasteBySize, Guide::Waste];
    let worth: Vec<f64> = problem
        .types
        .iter()
        .map(|it| it.area * (0.9 + 0.2 * chance.share()))
        .collect();
    let frame = problem.frames[chance.below(problem.frames.len())];
    let both = problem.frames.len() > 1 && chance.below(2) == 0;
    let frames = if both {
        problem.frames.clone()
    } else {
        vec![frame]
    };
    let task = Task {
        demand: &demand,
        worth: &worth,
        guide: guides[chance.below(guides.len())],
        width: 5 + chance.below(40),
        target: old,
        frames: &frames,
        stock: &stock,
        limit: search.effort,
    };
    let Some(found) = beam(problem, &task, &mut search.work).found else {
        return;
    };
    now.truncate(kept);
    now.extend(found.plan);
    let whole = price(problem, &now[..kept]) + found.price;
    search.keep(Found {
        plan: now.clone(),
        price: whole,
    });
}

/// Price of what is used of a sheet, by the strips it takes.
fn used(search: &Search<'_>, it: &Pattern) -> f64 {
    let problem = search.problem;
    let (along, up) = problem.extent(it.kind, it.frame);
    let area = it.front_area(problem, up);
    debug_assert!(area <= real(along) * real(up) * (1.0 + SLACK));
    area * problem.kinds[it.kind].rate
}
