//! Plans nobody drew: a generator invents houses and draws them in the styles of many offices; recovery has to find them again.
//!
//! ```text
//!   seed ──► House (truth) ──► Style ──► Sheet ──► DXF ──► read, recover ──► Score against the truth
//! ```
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test may stop at the first surprise, and prints its figures"
)]

mod changes;
mod generator;
mod score;

use generator::plan::Plan;
use generator::style::Level;
use score::{Score, Total, recover_as, score};

/// What the first 42 plans reached, easy, mixed and hard: none may get worse.
const SAMPLE: [Goal; 3] = [
    Goal {
        perfect: 1.0,
        exterior: 1.0,
        exterior_openings: 1.0,
        interior: 0.996,
        precision: 0.997,
        sure: 0.995,
        questions: 0,
        silent_in_100: 0,
    },
    Goal {
        perfect: 1.0,
        exterior: 1.0,
        exterior_openings: 1.0,
        interior: 1.0,
        precision: 0.997,
        sure: 0.995,
        questions: 0,
        silent_in_100: 0,
    },
    Goal {
        perfect: 1.0,
        exterior: 1.0,
        exterior_openings: 1.0,
        interior: 0.991,
        precision: 0.993,
        sure: 1.0,
        questions: 0,
        silent_in_100: 0,
    },
];

/// What 400 of them reached: all that is wanted (docs/recovery.md has both), and a little more.
const MANY: [Goal; 3] = [
    Goal {
        perfect: 0.99,
        exterior: 0.999,
        exterior_openings: 1.0,
        interior: 0.996,
        precision: 0.998,
        sure: 0.99,
        questions: 1,
        silent_in_100: 0,
    },
    Goal {
        perfect: 0.99,
        exterior: 0.999,
        exterior_openings: 1.0,
        interior: 0.995,
        precision: 0.994,
        sure: 0.99,
        questions: 1,
        silent_in_100: 0,
    },
    Goal {
        perfect: 0.98,
        exterior: 0.999,
        exterior_openings: 0.999,
        interior: 0.985,
        precision: 0.994,
        sure: 0.99,
        questions: 1,
        silent_in_100: 0,
    },
];

/// What 24 plans of single lines reached, exact and drafted, told how thick their walls are; 120 reach the same.
const SINGLE: Goal = Goal {
    perfect: 1.0,
    exterior: 1.0,
    exterior_openings: 1.0,
    interior: 0.986,
    precision: 0.994,
    sure: 0.99,
    questions: 1,
    silent_in_100: 0,
};

/// What 300 plans with slivers, skew, or further views on their sheet reached; 12 in the gate reach the same.
const TRAPS: Goal = Goal {
    perfect: 0.99,
    exterior: 0.999,
    exterior_openings: 0.999,
    interior: 0.99,
    precision: 0.99,
    sure: 0.99,
    questions: 4,
    silent_in_100: 0,
};

/// How many plans the gate looks at.
const GATE: u64 = 42;

/// How many plans: those in the gate, as many as `PLANS` says elsewhere.
fn count() -> u64 {
    let wished = std::env::var("PLANS").ok();
    wished.and_then(|it| it.parse().ok()).unwrap_or(GATE)
}

fn scored(plan: &Plan) -> Score {
    match recover_as(&plan.dxf(), plan.single_lines()) {
        Ok((found, findings)) => score(&found, &findings, &plan.truth),
        Err(words) => {
            let mut it = score(&panelwright::plan::Plan::default(), &[], &plan.truth);
            it.notes.push(format!("refused: {words}"));
            it
        }
    }
}

/// True for what is no question of recovery: which layer bears, a unit not stated or stated wrong, panels of a courtyard.
fn is_left_open(plan: &Plan, question: &str) -> bool {
    let is_of_unit = !plan.style.declared && question.starts_with("DRAW-");
    is_of_unit
        || ["PLAN-12", "PLAN-50", "PLAN-61"]
            .iter()
            .any(|code| question.starts_with(code))
}

fn say(plan: &Plan, one: &Score) {
    let style = &plan.style;
    println!(
        "{} {:?} {} {} leaf {:?}/{:?} {:?} run on {} unbroken {} blocks {} nested {} layers {} jitter {}: perfect {}, overlap {:.4}, axis {:.3}, thickness {:.3}, opening {:.3}, called wrongly {:.0}",
        plan.name(),
        style.walls,
        plan.footprint,
        style.unit,
        style.leaf,
        style.inner_leaf,
        style.glass,
        style.run_on,
        style.unbroken,
        style.blocks,
        style.nested,
        style.names[0],
        plan.truth.jitter,
        one.perfect,
        one.overlap,
        one.axis_error,
        one.thickness_error,
        one.opening_error,
        one.called_wrongly
    );
    for note in one.notes.iter().chain(&one.questions) {
        println!("    {note}");
    }
}

/// What a set has to reach: shares of one, and the most questions on one plan.
struct Goal {
    perfect: f64,
    exterior: f64,
    exterior_openings: f64,
    interior: f64,
    precision: f64,
    sure: f64,
    questions: usize,
    /// Silent errors in a hundred plans.
    silent_in_100: usize,
}

#[test]
fn plans_nobody_drew_are_found_again() {
    let mut totals = [Total::default(), Total::default(), Total::default()];
    for seed in 0..count() {
        let plan = Plan::of(seed);
        let mut one = scored(&plan);
        one.questions.retain(|it| !is_left_open(&plan, it));
        if !one.notes.is_empty() || !one.questions.is_empty() || !one.perfect {
            say(&plan, &one);
        }
        totals[plan.style.level as usize].add(&one);
    }
    for (total, level) in totals.iter().zip([Level::Easy, Level::Mixed, Level::Hard]) {
        println!("{}", total.line(level.name()));
    }
    let goals = if count() == GATE { &SAMPLE } else { &MANY };
    for (total, goal) in totals.iter().zip(goals) {
        total.assert(goal);
    }
}

/// Plans on which an opening of the outside was once wrong and nothing said so: a pier of layers beside a corner.
const ONCE_SILENT: [u64; 1] = [825];

#[test]
fn plans_that_were_once_silently_wrong_are_right() {
    for seed in ONCE_SILENT {
        let plan = Plan::of(seed);
        let one = scored(&plan);
        say(&plan, &one);
        assert!(one.perfect, "{}", plan.name());
    }
}

#[test]
fn plans_of_single_lines_are_found_again() {
    let n_plans = if count() == GATE { 24 } else { 120 };
    let mut total = Total::default();
    for seed in 0..n_plans {
        let plan = Plan::of_single_lines(seed);
        let mut one = scored(&plan);
        let asked = one.questions.iter().filter(|it| it.starts_with("PLAN-61"));
        assert_eq!(asked.count(), 1, "{}: asked once", plan.name());
        one.questions.retain(|it| !is_left_open(&plan, it));
        if !one.notes.is_empty() || !one.questions.is_empty() || !one.perfect {
            say(&plan, &one);
        }
        total.add(&one);
    }
    println!("{}", total.line("single lines"));
    total.assert(&SINGLE);
}

#[test]
fn plans_with_traps_on_their_sheet_are_found_again() {
    let n_plans = if count() == GATE { 12 } else { 300 };
    let mut total = Total::default();
    for seed in 0..n_plans {
        let plan = Plan::of_traps(seed);
        let mut one = scored(&plan);
        one.questions.retain(|it| !is_left_open(&plan, it));
        if !one.notes.is_empty() || !one.questions.is_empty() || !one.perfect {
            say(&plan, &one);
        }
        total.add(&one);
    }
    println!("{}", total.line("with traps"));
    total.assert(&TRAPS);
}
