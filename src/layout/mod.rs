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

mod assemble;
pub mod codes;
mod corners;
mod model;
mod plates;
mod ring;
mod run;
mod search;

use crate::building::Building;
use crate::findings::Outcome;
use crate::rules::PlantRules;

pub use model::{
    Layout, Panel, PanelEdge, PanelKind, PlateRun, PlateUse, Reason, RunPiece, WallEnd, WallLayout,
};

/// How to lay out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LayoutOptions {
    /// How many truly different layouts of each wall to keep besides the best. Default: none.
    pub alternatives: usize,
}

/// Lays out every wall of the building.
///
/// - Returns panels in the order of erection, and for each wall its run, plates, cost and bound.
/// - A wall that cannot be panelled is a fault that names it; the rest goes on.
#[must_use]
pub fn lay_out(
    building: &Building,
    rules: &PlantRules,
    _options: &LayoutOptions,
) -> Outcome<Layout> {
    let chosen = ring::choose(building, rules);
    let mut findings = Vec::new();
    let output = assemble::assemble(building, rules, &chosen, &mut findings);
    Outcome { output, findings }
}
