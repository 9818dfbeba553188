//! Every panel rides exactly once, in reverse order of erection, within the limits of the truck.
//!
//! ```text
//!      ┌───┐ 3        down a stack the order of erection rises and nothing overhangs the one that it lies on;
//!      ├───┴┐ 7       stacks do not meet on the deck; no later truck carries an earlier panel;
//!     ═╧════╧═══      weights and sizes are those of panels.json, and every piece of lumber lies in one bundle
//! ```

use super::Proof;
use super::fewest_trucks::fewest_trucks;
use crate::findings::Place;
use crate::units::{Erection, Length};
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::loads::{Limits, Loaded, LoadsFile, Stack, Truck};
use std::collections::BTreeMap;

pub(super) const PROOF: Proof = Proof {
    code: codes::LOADS,
    statement: "every panel rides exactly once, in reverse order of erection, and every truck keeps its limits",
    cases: "panels",
    prove,
};

const FILE: &str = "loads.json";

/// Weights are written with nine decimals and added up here in another order.
const POUND: f64 = 1e-6;

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let file = match package.files.get(FILE).map(|it| LoadsFile::read(it)) {
        None => return ledger.fail(Place::file(FILE), "it is missing"),
        Some(Err(reason)) => return ledger.fail(Place::file(FILE), reason),
        Some(Ok(file)) => file,
    };
    prove_once(package, &file, ledger);
    prove_bundles(package, &file, ledger);
    let fewest = fewest_trucks(&file);
    ledger.demand(
        file.bound <= fewest && file.bound <= file.trucks.len(),
        || Place::file(FILE),
        || {
            let bound = file.bound;
            format!("no plan is said to need fewer than {bound} trucks; only {fewest} are proved")
        },
    );
    let mut latest = Erection::default();
    for truck in &file.trucks {
        let order =
            |it: &Stack| -> Vec<Erection> { it.panels.iter().map(|it| it.erection).collect() };
        let orders: Vec<Erection> = truck.stacks.iter().flat_map(order).collect();
        ledger.demand(
            orders.iter().all(|it| *it > latest),
            || Place::file(FILE),
            || {
                format!(
                    "truck {} carries a panel that is set before one of an earlier truck",
                    truck.truck
                )
            },
        );
        latest = orders.into_iter().max().unwrap_or(latest).max(latest);
        prove_truck(truck, &file.limits, ledger);
        for stack in &truck.stacks {
            prove_stack(stack, &file.limits, ledger);
        }
    }
}

/// Every panel of the package lies in one stack, as large and as heavy as it is.
fn prove_once(package: &Package<'_>, file: &LoadsFile, ledger: &mut Ledger) {
    let mut loaded: BTreeMap<&str, Vec<&Loaded>> = BTreeMap::new();
    let stacks = file.trucks.iter().flat_map(|truck| &truck.stacks);
    for it in stacks.flat_map(|stack| &stack.panels) {
        loaded.entry(&it.mark).or_default().push(it);
    }
    for panel in &package.panels.panels {
        ledger.case();
        let place = || Place::panel(&panel.mark);
        let found = loaded.remove(panel.mark.as_str()).unwrap_or_default();
        let [it] = found.as_slice() else {
            ledger.fail(place(), format!("it rides {} times", found.len()));
            continue;
        };
        let [width, height] = [panel.width.0, panel.height.0];
        let agrees = it.length.0 == width.max(height)
            && it.width.0 == width.min(height)
            && it.thickness == panel.thickness
            && it.erection == panel.erection
            && (it.weight_lb - panel.weight_lb).abs() <= POUND;
        ledger.demand(agrees, place, || {
            format!("{FILE} gives it another size, weight or place in the order of erection")
        });
    }
    for mark in loaded.keys() {
        ledger.fail(Place::file(FILE), format!("there is no panel {mark}"));
    }
}

/// Every piece of lumber and every plate lies in one bundle; what is shipped loose is weighed with the trucks.
fn prove_bundles(package: &Package<'_>, file: &LoadsFile, ledger: &mut Ledger) {
    let lumber = package.panels.panels.iter().flat_map(|panel| &panel.lumber);
    let lumber = lumber.map(|it| (it.mark.as_str(), it.weight_lb, it.fitted == "plant"));
    let plates = package.panels.walls.iter().flat_map(|wall| &wall.plates);
    let plates = plates.map(|it| (it.mark.as_str(), it.weight_lb, false));
    let mut pieces: BTreeMap<&str, (f64, bool)> = lumber
        .chain(plates)
        .map(|(mark, weight, is_fitted)| (mark, (weight, is_fitted)))
        .collect();
    let mut loose = 0.0;
    for bundle in &file.bundles {
        let mut weight = 0.0;
        for mark in &bundle.pieces {
            let Some((pounds, is_fitted)) = pieces.remove(mark.as_str()) else {
                let message = format!("{}: {mark} is not there, or in two bundles", bundle.bundle);
                ledger.fail(Place::file(FILE), message);
                continue;
            };
            weight += pounds;
            ledger.demand(
                is_fitted == bundle.truck.is_none(),
                || Place::file(FILE),
                || {
                    format!(
                        "{}: {mark} goes the wrong way, to the plant or to the truck",
                        bundle.bundle
                    )
                },
            );
        }
        ledger.demand(
            (weight - bundle.weight_lb).abs() <= POUND,
            || Place::file(FILE),
            || format!("{}: its pieces weigh {weight:.3} lb", bundle.bundle),
        );
        if bundle.truck.is_some() {
            loose += weight;
        }
    }
    for mark in pieces.keys() {
        ledger.fail(Place::file(FILE), format!("{mark} lies in no bundle"));
    }
    let carried: f64 = file.trucks.iter().map(|truck| truck.loose_lb).sum();
    ledger.demand(
        (carried - loose).abs() <= POUND || file.trucks.is_empty(),
        || Place::file(FILE),
        || format!("loose goods weigh {loose:.3} lb, the trucks carry {carried:.3}"),
    );
}

/// A truck keeps its limits, or carries one panel alone and says which it breaks.
fn prove_truck(truck: &Truck, limits: &Limits, ledger: &mut Ledger) {
    let place = || Place::file(FILE);
    let name = format!("truck {}", truck.truck);
    let weight = truck
        .stacks
        .iter()
        .fold(truck.loose_lb, |sum, it| sum + it.weight_lb);
    ledger.demand((weight - truck.weight_lb).abs() <= POUND, place, || {
        format!("{name}: its stacks and loose goods weigh {weight:.3} lb")
    });
    let n_panels: usize = truck.stacks.iter().map(|it| it.panels.len()).sum();
    let is_said = !truck.beyond.is_empty() && n_panels == 1;
    ledger.demand(truck.beyond.is_empty() || is_said, place, || {
        format!("{name}: goes beyond its limits with more than one panel")
    });
    let is_legal = weight <= limits.weight_lb
        && truck.stacks.iter().all(|it| {
            it.at.iter().all(|at| at.0 >= Length::ZERO)
                && it.at[0].0 + it.length.0 <= limits.length.0
                && it.at[1].0 + it.width.0 <= limits.width.0
                && it.height <= limits.height
        });
    ledger.demand(is_legal || is_said, place, || {
        format!("{name}: is heavier, longer, wider or higher than its limits")
    });
    for (index, a) in truck.stacks.iter().enumerate() {
        for b in truck.stacks.iter().skip(index + 1) {
            let [ax, ay, bx, by] = [a.at[0].0, a.at[1].0, b.at[0].0, b.at[1].0];
            let apart = ax + a.length.0 <= bx
                || bx + b.length.0 <= ax
                || ay + a.width.0 <= by
                || by + b.width.0 <= ay;
            ledger.demand(apart, place, || {
                format!("{name}: {} and {} want the same deck", a.stack, b.stack)
            });
        }
    }
}

/// Each panel lies on one that is set later and reaches no farther beyond it than is allowed; none is under one that is set before it, no
/// two want one place, and the stack is what its panels are.
fn prove_stack(stack: &Stack, limits: &Limits, ledger: &mut Ledger) {
    let place = || Place::file(FILE);
    let name = &stack.stack;
    let is_in_order = stack.panels.windows(2).all(|pair| {
        let [first, then] = [pair.first(), pair.last()].map(|it| it.map(|it| it.erection));
        first > then
    });
    ledger.demand(is_in_order, place, || {
        format!("{name}: its panels do not stand in the order in which they are laid")
    });
    let lowest: Vec<&Loaded> = stack.panels.iter().filter(|it| lies_on_deck(it)).collect();
    ledger.demand(lowest.len() == 1, place, || {
        format!("{name}: {} of its panels lie on the deck", lowest.len())
    });
    for (index, it) in stack.panels.iter().enumerate() {
        let carrier = stack.panels.iter().find(|below| {
            top(below) == it.bottom.0
                && below.erection > it.erection
                && reaches(it, below, limits.overhang.0)
        });
        let is_carried = carrier.is_some_and(|below| {
            let is_on_lowest = |low: &&Loaded| {
                let over = limits.overhang.0;
                it.length.0 <= low.length.0 + over && it.width.0 <= low.width.0 + over
            };
            it.layer == below.layer + 1 && lowest.iter().all(is_on_lowest)
        });
        ledger.demand(
            is_carried || (lies_on_deck(it) && it.layer == 1),
            place,
            || {
                format!(
                    "{name}: {} lies on none that carries it and is set later",
                    it.mark
                )
            },
        );
        for other in stack.panels.iter().skip(index + 1) {
            let beside = it.across.0 + it.width.0 <= other.across.0
                || other.across.0 + other.width.0 <= it.across.0;
            let (low, high) = if it.bottom <= other.bottom {
                (it, other)
            } else {
                (other, it)
            };
            let is_over = top(low) <= high.bottom.0 && low.erection > high.erection;
            ledger.demand(beside || is_over, place, || {
                format!("{name}: {} bars the way of {}", high.mark, low.mark)
            });
        }
    }
    let weight = stack.panels.iter().fold(0.0, |sum, it| sum + it.weight_lb);
    let left = stack.panels.iter().map(|it| it.across.0).min();
    let right = stack.panels.iter().map(|it| it.across.0 + it.width.0).max();
    let is_so = stack.panels.iter().map(top).max() == Some(stack.height.0)
        && (weight - stack.weight_lb).abs() <= POUND
        && stack.panels.iter().map(|it| it.length.0).max() == Some(stack.length.0)
        && left >= Some(Length::ZERO)
        && right <= Some(stack.width.0);
    ledger.demand(is_so, place, || {
        format!("{name}: its panels make another height, weight or size")
    });
    let columns = unlike_columns(stack);
    let least = least_tie_downs(stack.length.0, weight, limits) * columns;
    ledger.demand(f64::from(stack.tie_downs) >= least, place, || {
        format!(
            "{name}: {} tie-downs where {least} are the least",
            stack.tie_downs
        )
    });
}

fn lies_on_deck(panel: &Loaded) -> bool {
    panel.bottom.0 == Length::ZERO
}

fn top(panel: &Loaded) -> Length {
    panel.bottom.0 + panel.thickness.0
}

/// True when a panel reaches no farther beyond one below it than so much, on both sides together.
fn reaches(upper: &Loaded, below: &Loaded, over: Length) -> bool {
    let left = (below.across.0 - upper.across.0).max(Length::ZERO);
    let right = upper.across.0 + upper.width.0 - below.across.0 - below.width.0;
    upper.length.0 <= below.length.0 + over && left + right.max(Length::ZERO) <= over
}

/// How many columns a strap over the stack does not hold together: those side by side where their tops differ.
fn unlike_columns(stack: &Stack) -> f64 {
    let tops = stack.panels.iter().filter(|it| {
        let mut others = stack.panels.iter();
        !others.any(|upper| {
            upper.bottom.0 == top(it)
                && upper.across.0 < it.across.0 + it.width.0
                && it.across.0 < upper.across.0 + upper.width.0
        })
    });
    let heights: Vec<Length> = tops.map(top).collect();
    let is_level = heights.windows(2).all(|pair| pair.first() == pair.last());
    f64::from(if is_level {
        1
    } else {
        u32::try_from(heights.len()).unwrap_or(u32::MAX)
    })
}

/// 49 CFR 393.110, articles that nothing blocks: one up to 5 ft and 1,100 lb, two up to 10 ft, one more for each 10 ft begun;
/// blocked towards the front: one for each 10 ft begun; 393.106: working load limits of half the weight. As summarised by FMCSA; counted apart from what `loads` does.
fn least_tie_downs(length: Length, weight_lb: f64, limits: &Limits) -> f64 {
    let feet = length.to_inches() / 12.0;
    let by_length = if limits.blocked {
        (feet / 10.0).ceil().max(1.0)
    } else if feet <= 5.0 && weight_lb <= 1_100.0 {
        1.0
    } else {
        2.0 + ((feet - 10.0) / 10.0).ceil().max(0.0)
    };
    by_length.max((weight_lb / 2.0 / limits.tie_down_lb).ceil())
}
