//! Decides where each panel starts and ends, its mark and its place in the order of erection.
//!
//! ```text
//!   PanelWall ──► run from corner to corner ──► allowed joints ──► exact search ──► panels, gaps, openings, plates
//! ```
//!
//! *Promises.* Panels and gaps tile each run exactly. No joint lies in an opening or nearer to one than the rules allow.
//! The layout of a wall has the least cost that its rules allow, and says that cost. Every joint knows why it is there.
//!
//! *Does not do.* Parts inside a panel: that is `fabrication`.

mod alternatives;
mod as_drawn;
mod assemble;
mod caps;
mod checks;
pub mod codes;
mod corners;
mod cost;
mod demands;
mod from_job;
mod issued;
mod least;
mod make_up;
mod measured;
mod model;
mod options;
mod order;
mod pairs;
mod plate_pairs;
mod plates;
mod price;
mod reasons;
mod rename;
mod ring;
mod run;
mod search;
mod solution;
mod stacked;
#[cfg(test)]
mod testing;
mod together;
mod wall_plates;

use solution::Solution;

use crate::building::Building;
use crate::findings::Outcome;
use crate::rules::PlantRules;

pub use from_job::options_of_job;
pub use issued::{IssuedEdge, IssuedPanel, beside_free};
pub use model::{
    Layout, Panel, PanelEdge, PanelKind, PlateRun, PlateUse, Reason, RunPiece, SplineFit, WallEnd,
    WallLayout,
};
pub use options::{CornerWish, LayoutOptions, Said, WallWishes};
pub(crate) use rename::rename_findings;

/// Lays out every wall of the building.
///
/// - Returns panels in the order of erection, and for each wall its run, plates, cost and bound.
/// - A wall that cannot be panelled is a fault that names it; the rest goes on.
#[must_use]
pub fn lay_out(
    building: &Building,
    rules: &PlantRules,
    options: &LayoutOptions,
) -> Outcome<Layout> {
    let rings = ring::rings(building);
    let stacks = stacked::Stacks::new(building, rules);
    let asked = ring::Problem {
        building,
        rules,
        options,
        stacks: &stacks,
    };
    let chosen = ring::choose(&asked, &rings);
    let (chosen, unproved) = together::together(&asked, &rings, chosen);
    let mut findings = Vec::new();
    checks::storeys(building, &unproved, &mut findings);
    checks::wishes(building, options, &chosen, &mut findings);
    let output = assemble::assemble(building, rules, options, (&rings, &chosen), &mut findings);
    Outcome { output, findings }
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_of_corners;
#[cfg(test)]
mod tests_of_issued;
#[cfg(test)]
mod tests_of_properties;
#[cfg(test)]
mod tests_of_storeys;
#[cfg(test)]
mod tests_of_wishes;
