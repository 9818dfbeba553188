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
//! not fit goes to another truck. Panels come off in the order of erection. Beside the trucks stands how few any plan in that order
//! needs.
//!
//! *Does not do.* Axle loads, permits, routes: the carrier's.

mod bound;
mod bundles;
pub mod codes;
mod dunnage;
mod model;
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

/// States of a wider search for stacks: common panels of a house need fewer than ten.
const BEAM: usize = 48;

/// Plans the loads.
///
/// Method: each truck takes the longest run of panels in the order of erection for which stacks are found; where that takes more
/// trucks than the bound, once more with a wider search. Cost: panels squared times stacks, times the width of the search.
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
    let room = bound::Room::new(&panels, shipping);
    let bound = room.fewest(&panels, loose);
    let (mut trucks, mut findings) = load(&panels, &room, shipping, loose, 1);
    if trucks.len() > bound {
        let wider = load(&panels, &room, shipping, loose, BEAM);
        if wider.0.len() < trucks.len() {
            (trucks, findings) = wider;
        }
    }
    Outcome {
        output: LoadPlan {
            trucks,
            bundles,
            bound,
        },
        findings,
    }
}

/// Trucks one after the other, each with the longest run of panels that a search of this width stacks.
fn load(
    panels: &[LoadedPanel],
    room: &bound::Room,
    shipping: &ShippingRules,
    loose: f64,
    beam: usize,
) -> (Vec<Truck>, Vec<Finding>) {
    let (mut trucks, mut findings) = (Vec::new(), Vec::new());
    let mut from = 0;
    while let Some(rest) = panels.get(from..).filter(|rest| !rest.is_empty()) {
        let number = u32::try_from(trucks.len() + 1).unwrap_or(u32::MAX);
        // Plates are set first: all loose goods ride on the first truck.
        let loose_lb = if number == 1 { loose } else { 0.0 };
        let most = room.most(panels, from, loose_lb);
        let fitting = (1..=most).rev().find_map(|n| {
            let run = rest.get(..n)?;
            Some((stacking::stacked(run, shipping, loose_lb, beam)?, n))
        });
        let (mut stacks, beyond, n) = match fitting {
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
            stack.tie_downs = tie_downs(stack.length, stack.weight_lb(), shipping);
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

fn on_deck(panel: &LoadedPanel) -> Stack {
    Stack {
        length: panel.length,
        width: panel.width,
        height: panel.thickness,
        panels: vec![panel.clone()],
        ..Stack::default()
    }
}

#[cfg(test)]
mod tests;
