//! Loads trucks so that what is set first lies on top.
//!
//! ```text
//!   erection 1 2 3 … n      truck 1: 1…k      truck 2: k+1…n
//!                            ┌──┐ 1 ┌──┐ 3      flat, the longer side along the deck; from the bottom up the number in the
//!                            ├──┤ 2 ├──┤ 5      order of erection only falls, and nothing overhangs what it lies on by more than a rule;
//!                           ═╧══╧═══╧══╧═══  narrow panels may lie side by side on a wide one
//! ```
//!
//! *Promises.* Every panel lies on exactly one truck; every truck keeps the limits of `[shipping]`, or says which not; what does
//! not fit goes to another truck. Panels come off in the order of erection. Beside the trucks stands how few any plan in that order
//! needs.
//!
//! *Does not do.* Axle loads, permits, routes: the carrier's.

mod bound;
mod bundles;
mod chains;
pub mod codes;
mod dunnage;
mod level;
mod model;
mod pile;
mod stacking;
mod tie_downs;

pub use dunnage::dunnage_places;
pub use model::{Bundle, BundleKind, BundlePiece, LoadPlan, LoadedPanel, Stack, Truck};
pub use tie_downs::tie_downs;

use crate::building::Building;
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::findings::{Finding, Outcome, Place};
use crate::rules::{PlantRules, ShippingRules};
use crate::units::Length;

/// Ways to finish a stack that all trucks together may have looked at: about a second's work.
const EFFORT: usize = 40_000;

/// Plans the loads.
///
/// Method: each truck takes the longest run of panels in the order of erection for which stacks are found; where that takes more
/// trucks than the bound, once more with a search. Cost: panels squared times stacks, and the effort of the search.
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
    let bundles = bundles::bundles(building, fabrication);
    let shipped = bundles.iter().filter(|it| it.kind.is_shipped());
    let loose = shipped.fold(0.0, |sum, it| sum + it.weight_lb());
    let ((trucks, findings), bound) = load_all(&panels, shipping, loose);
    Outcome {
        output: LoadPlan {
            trucks,
            bundles,
            bound,
        },
        findings,
    }
}

/// Trucks with what was noticed, and how few any plan needs: the cheap bound and the cheap search first.
fn load_all(
    panels: &[LoadedPanel],
    shipping: &ShippingRules,
    loose: f64,
) -> ((Vec<Truck>, Vec<Finding>), usize) {
    let room = bound::Room::new(panels, shipping);
    let mut bound = room.fewest(panels, loose);
    let found = load(panels, &room, shipping, loose, 0);
    if found.0.len() <= bound {
        return (found, bound);
    }
    let first = |from: usize| if from == 0 { loose } else { 0.0 };
    let most = |from| room.most(panels, from, first(from));
    bound = bound.max(chains::fewest(panels, shipping, most));
    if found.0.len() <= bound {
        return (found, bound);
    }
    let searched = load(panels, &room, shipping, loose, EFFORT);
    if searched.0.len() < found.0.len() {
        (searched, bound)
    } else {
        (found, bound)
    }
}

/// Trucks one after the other, each with the longest run of panels that is stacked.
///
/// - `effort`: what the searches for all trucks may look at.
fn load(
    panels: &[LoadedPanel],
    room: &bound::Room,
    shipping: &ShippingRules,
    loose: f64,
    mut effort: usize,
) -> (Vec<Truck>, Vec<Finding>) {
    let (mut trucks, mut findings) = (Vec::new(), Vec::new());
    let mut from = 0;
    while let Some(rest) = panels.get(from..).filter(|rest| !rest.is_empty()) {
        let number = u32::try_from(trucks.len() + 1).unwrap_or(u32::MAX);
        // Plates are set first: all loose goods ride on the first truck.
        let loose_lb = if number == 1 { loose } else { 0.0 };
        let most = room.most(panels, from, loose_lb);
        let (mut stacks, beyond, n) = match longest(rest, most, shipping, loose_lb, &mut effort) {
            Some((stacks, n)) => (stacks, Vec::new(), n),
            None => {
                let Some(panel) = rest.first() else {
                    break;
                };
                let beyond = limits_broken(panel, shipping, loose_lb);
                findings.push(beyond_limits(panel, number, &beyond, shipping, loose_lb));
                (vec![on_deck(panel)], beyond, 1)
            }
        };
        for (stack, letter) in stacks.iter_mut().zip(letters()) {
            stack.name = format!("{number}{letter}");
            let own = tie_downs(stack.length, stack.weight_lb(), shipping);
            // A strap over columns of two heights holds the higher one alone.
            let columns = if stack.is_level { 1 } else { stack.columns };
            stack.tie_downs = own * u32::try_from(columns).unwrap_or(u32::MAX);
        }
        trucks.push(Truck {
            number,
            stacks,
            loose_lb,
            beyond,
        });
        from += n;
    }
    (trucks, findings)
}

/// The longest run for which stacks are found: without a search first, then, by halves, what a search adds.
fn longest(
    rest: &[LoadedPanel],
    most: usize,
    shipping: &ShippingRules,
    loose_lb: f64,
    effort: &mut usize,
) -> Option<(Vec<Stack>, usize)> {
    let stacked = |n: usize, effort: &mut usize| {
        let run = rest.get(..n)?;
        Some((stacking::stacked(run, shipping, loose_lb, effort)?, n))
    };
    let mut best = (1..=most).rev().find_map(|n| stacked(n, &mut 0));
    let mut too_many = most + 1;
    while let Some(n) = best.as_ref().map(|it| it.1)
        && *effort > 0
        && n + 1 < too_many
    {
        let tried = n.midpoint(too_many).max(n + 1);
        match stacked(tried, effort) {
            Some(more) => best = Some(more),
            None => too_many = tried,
        }
    }
    best
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
        ..LoadedPanel::default()
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

fn on_deck(panel: &LoadedPanel) -> Stack {
    Stack {
        length: panel.length,
        width: panel.width,
        height: panel.thickness,
        panels: vec![LoadedPanel {
            layer: 1,
            ..panel.clone()
        }],
        is_level: true,
        ..Stack::default()
    }
}

#[cfg(test)]
mod tests;
