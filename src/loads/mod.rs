//! Loads trucks so that what is set first lies on top.
//!
//! ```text
//!   erection 1 2 3 … n      truck 1: 1…k      truck 2: k+1…n
//!                            ┌──┐ 1 ┌──┐ 3      flat, the longer side along the deck; from the bottom up the number in the
//!                            ├──┤ 2 ├──┤ 5      order of erection only falls, and nothing overhangs what it lies on
//!                           ═╧══╧═══╧══╧═══
//! ```
//!
//! *Promises.* Every panel lies on exactly one truck; every truck keeps the limits of `[shipping]`, or says which not; what does
//! not fit goes to another truck. Panels come off in the order of erection.
//!
//! *Does not do.* Axle loads, permits, routes: the carrier's.

mod bundles;
pub mod codes;
mod dunnage;
mod model;
mod tie_downs;

pub use dunnage::dunnage_places;
pub use model::{Bundle, BundleKind, BundlePiece, LoadPlan, LoadedPanel, Stack, Truck};
pub use tie_downs::tie_downs;

use crate::building::Building;
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::findings::{Finding, Outcome, Place};
use crate::rules::{PlantRules, ShippingRules};
use crate::units::Length;

/// Plans the loads.
///
/// Method: each truck takes the longest run of panels in the order of erection that can be stacked, looked for from the whole
/// rest downwards; a run is stacked from its last panel to its first, each on the stack whose top it leaves least of, else on
/// the deck. Cost: panels squared times stacks.
#[must_use]
pub fn plan_loads(
    building: &Building,
    fabrication: &Fabrication,
    rules: &PlantRules,
) -> Outcome<LoadPlan> {
    let shipping = &rules.dispatch.shipping;
    let mut panels: Vec<LoadedPanel> = fabrication
        .panels
        .iter()
        .map(|panel| loaded(panel, rules))
        .collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    let mut findings = Vec::new();
    let mut plan = LoadPlan {
        trucks: Vec::new(),
        bundles: bundles::bundles(building, fabrication),
    };
    let shipped = plan.bundles.iter().filter(|it| it.kind.is_shipped());
    let loose = shipped.fold(0.0, |sum, it| sum + it.weight_lb());
    let mut rest = panels.as_slice();
    while !rest.is_empty() {
        let number = u32::try_from(plan.trucks.len() + 1).unwrap_or(u32::MAX);
        // Plates are set first: all loose goods ride on the first truck.
        let loose_lb = if number == 1 { loose } else { 0.0 };
        let fitting = (1..=rest.len()).rev().find_map(|n| {
            let (run, after) = rest.split_at_checked(n)?;
            Some((stacked(run, shipping, loose_lb)?, after))
        });
        let (mut stacks, beyond, after) = match fitting {
            Some((stacks, after)) => (stacks, Vec::new(), after),
            None => {
                let Some((panel, after)) = rest.split_first() else {
                    break;
                };
                let beyond = limits_broken(panel, shipping, loose_lb);
                findings.push(beyond_limits(panel, number, &beyond, shipping, loose_lb));
                (
                    vec![on_deck(panel, Length::ZERO, Length::ZERO)],
                    beyond,
                    after,
                )
            }
        };
        for (stack, letter) in stacks.iter_mut().zip(letters()) {
            stack.name = format!("{number}{letter}");
            stack.tie_downs = tie_downs(stack.length, stack.weight_lb(), shipping.tie_down);
        }
        plan.trucks.push(Truck {
            number,
            stacks,
            loose_lb,
            beyond,
        });
        rest = after;
    }
    Outcome {
        output: plan,
        findings,
    }
}

/// A, B … Z, AA, AB …
fn letters() -> impl Iterator<Item = String> {
    let one = || ('A'..='Z').map(String::from);
    one().chain(('A'..='Z').flat_map(move |first| one().map(move |next| format!("{first}{next}"))))
}

fn loaded(panel: &FabricatedPanel, rules: &PlantRules) -> LoadedPanel {
    let assembly = rules.assemblies.get(panel.assembly);
    LoadedPanel {
        mark: panel.mark.clone(),
        erection: panel.erection,
        length: panel.width.max(panel.height),
        width: panel.width.min(panel.height),
        thickness: assembly.map_or(Length::ZERO, crate::rules::Assembly::thickness),
        weight_lb: panel.weight_lb,
    }
}

/// A load above the payload does not leave the yard; the rest may with a permit or another trailer.
fn beyond_limits(
    panel: &LoadedPanel,
    number: u32,
    beyond: &[String],
    shipping: &ShippingRules,
    loose_lb: f64,
) -> Finding {
    let place = Place::panel(&panel.mark);
    let words = beyond.join(", ");
    if panel.weight_lb + loose_lb > shipping.payload {
        Finding::fault(
            codes::OVER_PAYLOAD,
            place,
            format!(
                "with {loose_lb:.0} lb of loose goods on truck {number} its {:.0} lb are more than the payload of {:.0} lb: {words}",
                panel.weight_lb, shipping.payload
            ),
            "order a trailer that carries it and set [shipping] payload, or part the panel; do not load it",
        )
    } else {
        Finding::doubt(
            codes::BEYOND_LIMITS,
            place,
            format!("alone on truck {number} it goes beyond its limits: {words}"),
            "order another trailer or a permit and set [shipping], or part the panel",
        )
    }
}

fn limits_broken(panel: &LoadedPanel, shipping: &ShippingRules, loose_lb: f64) -> Vec<String> {
    let checks = [
        (panel.length > shipping.deck_length, "longer than the deck"),
        (panel.width > shipping.deck_width, "wider than the deck"),
        (
            panel.thickness > shipping.clear_height(),
            "higher than allowed",
        ),
        (
            panel.weight_lb + loose_lb > shipping.payload,
            "heavier than the payload",
        ),
    ];
    let broken = checks.into_iter().filter(|(is_broken, _)| *is_broken);
    broken.map(|(_, words)| words.to_owned()).collect()
}

fn on_deck(panel: &LoadedPanel, x: Length, y: Length) -> Stack {
    Stack {
        x,
        y,
        length: panel.length,
        width: panel.width,
        height: panel.thickness,
        panels: vec![panel.clone()],
        ..Stack::default()
    }
}

/// Stacks side by side across the deck.
struct Bay {
    x: Length,
    length: Length,
    width: Length,
}

/// Stacks a run of panels on one truck, the last first; `None` when it does not fit.
fn stacked(run: &[LoadedPanel], shipping: &ShippingRules, loose_lb: f64) -> Option<Vec<Stack>> {
    let weight = run
        .iter()
        .fold(loose_lb, |sum, panel| sum + panel.weight_lb);
    if weight > shipping.payload {
        return None;
    }
    let clear = shipping.clear_height();
    let mut stacks: Vec<Stack> = Vec::new();
    let mut bays: Vec<Bay> = Vec::new();
    for panel in run.iter().rev() {
        let carries = |stack: &Stack| {
            stack.height + panel.thickness <= clear
                && stack
                    .panels
                    .last()
                    .is_some_and(|top| panel.length <= top.length && panel.width <= top.width)
        };
        let waste = |stack: &Stack| {
            let top = stack.panels.last();
            top.map_or(Length::ZERO, |top| {
                (top.length - panel.length) + (top.width - panel.width)
            })
        };
        let best = stacks
            .iter_mut()
            .filter(|stack| carries(stack))
            .min_by_key(|stack| waste(stack));
        if let Some(stack) = best {
            stack.height += panel.thickness;
            stack.panels.push(panel.clone());
            continue;
        }
        if panel.thickness > clear || panel.width > shipping.deck_width {
            return None;
        }
        let beside = bays.iter_mut().find(|bay| {
            panel.length <= bay.length && bay.width + panel.width <= shipping.deck_width
        });
        if let Some(bay) = beside {
            stacks.push(on_deck(panel, bay.x, bay.width));
            bay.width += panel.width;
            continue;
        }
        let x = bays.last().map_or(Length::ZERO, |bay| bay.x + bay.length);
        if x + panel.length > shipping.deck_length {
            return None;
        }
        stacks.push(on_deck(panel, x, Length::ZERO));
        bays.push(Bay {
            x,
            length: panel.length,
            width: panel.width,
        });
    }
    // In the middle of the deck, bay by bay.
    for stack in &mut stacks {
        if let Some(bay) = bays.iter().find(|bay| bay.x == stack.x) {
            stack.y += (shipping.deck_width - bay.width).half();
        }
    }
    Some(stacks)
}

#[cfg(test)]
mod tests;
