//! Loads trucks so that what is set first lies on top.
//!
//! ```text
//!   erection 1 2 3 … n      truck 1: 1…k      truck 2: k+1…n
//!                            ┌──┐ 1 ┌──┐ 3      flat, the longer side along the deck; from the bottom up the number in the
//!                            ├──┤ 2 ├──┤ 5      order of erection only falls, and nothing overhangs what it lies on by more than a rule
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
            stack.tie_downs = tie_downs(stack.length, stack.weight_lb(), shipping);
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

/// Stacks side by side across the deck, by their places in the list of stacks.
struct Bay(Vec<usize>);

impl Bay {
    /// Its length, and its width, where the stack at one place needs so much.
    fn size(&self, stacks: &[Stack], with: Option<(usize, &Stack)>) -> (Length, Length) {
        let of = |at: &usize| match with {
            Some((place, stack)) if place == *at => Some(stack),
            _ => stacks.get(*at),
        };
        let all = self.0.iter().filter_map(of);
        let length = all.clone().map(|it| it.length).max().unwrap_or_default();
        (length, all.map(|it| it.width).sum())
    }
}

/// True when all bays lie on the deck, the stack at one place as given.
fn fit(bays: &[Bay], stacks: &[Stack], with: (usize, &Stack), shipping: &ShippingRules) -> bool {
    let sizes = bays.iter().map(|bay| bay.size(stacks, Some(with)));
    let (mut length, mut is_narrow) = (Length::ZERO, true);
    for (long, wide) in sizes {
        length += long;
        is_narrow &= wide <= shipping.deck_width;
    }
    is_narrow && length <= shipping.deck_length
}

/// The stack with one panel more on it, if it carries it: nothing lies further beyond the panel below it, or beyond the lowest, than
/// the rule allows.
fn with_panel(stack: &Stack, panel: &LoadedPanel, shipping: &ShippingRules) -> Option<Stack> {
    let holds = |below: &LoadedPanel| {
        panel.length <= below.length + shipping.overhang
            && panel.width <= below.width + shipping.overhang
    };
    let is_carried = holds(stack.panels.first()?) && holds(stack.panels.last()?);
    let height = stack.height + panel.thickness;
    (is_carried && height <= shipping.clear_height()).then(|| {
        let mut more = stack.clone();
        more.height = height;
        more.length = more.length.max(panel.length);
        more.width = more.width.max(panel.width);
        more.panels.push(panel.clone());
        more
    })
}

/// Stacks a run of panels on one truck, the last first; `None` when it does not fit.
fn stacked(run: &[LoadedPanel], shipping: &ShippingRules, loose_lb: f64) -> Option<Vec<Stack>> {
    let weight = run
        .iter()
        .fold(loose_lb, |sum, panel| sum + panel.weight_lb);
    if weight > shipping.payload {
        return None;
    }
    let mut stacks: Vec<Stack> = Vec::new();
    let mut bays: Vec<Bay> = Vec::new();
    for panel in run.iter().rev() {
        // How far a stack's top and the panel differ: what lies best leaves least.
        let waste = |stack: &Stack| {
            let top = stack.panels.last();
            top.map_or(Length::ZERO, |top| {
                let apart = |a: Length, b: Length| (a - b).max(b - a);
                apart(top.length, panel.length) + apart(top.width, panel.width)
            })
        };
        let carrying = stacks.iter().enumerate().filter_map(|(at, stack)| {
            let more = with_panel(stack, panel, shipping)?;
            let fits = fit(&bays, &stacks, (at, &more), shipping);
            fits.then(|| (waste(stack), at, more))
        });
        let best = carrying.min_by_key(|(waste, at, _)| (*waste, *at));
        if let Some((_, at, more)) = best {
            if let Some(stack) = stacks.get_mut(at) {
                *stack = more;
            }
            continue;
        }
        if panel.thickness > shipping.clear_height() {
            return None;
        }
        let new = stacks.len();
        stacks.push(on_deck(panel, Length::ZERO, Length::ZERO));
        let beside = bays.iter_mut().find(|bay| {
            let (length, width) = bay.size(&stacks, None);
            panel.length <= length && width + panel.width <= shipping.deck_width
        });
        match beside {
            Some(bay) => bay.0.push(new),
            None => bays.push(Bay(vec![new])),
        }
        let last = stacks.last().cloned()?;
        if !fit(&bays, &stacks, (new, &last), shipping) {
            return None;
        }
    }
    // From the headboard, and in the middle of the deck, bay by bay.
    let mut x = Length::ZERO;
    for bay in &bays {
        let (length, width) = bay.size(&stacks, None);
        let mut y = (shipping.deck_width - width).half();
        for at in &bay.0 {
            if let Some(stack) = stacks.get_mut(*at) {
                (stack.x, stack.y) = (x, y);
                y += stack.width;
            }
        }
        x += length;
    }
    Some(stacks)
}

#[cfg(test)]
mod tests;
