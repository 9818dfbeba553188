//! Draws the key plan of each storey: where every panel stands, in what order it is set, and how long everything is.
//!
//! ```text
//!             ├───8'-0"───┼──4'-0"──┤
//!             W118 ⑱      W117 ⑰              marks and numbers of erection outside
//!          ▭▭▭▭▭▭▭▭▭▭▭▭┼▭▭▭▭▭▭▭▭▭             panels light, joints across, openings cut
//!            ◄──── X3: 12 to 18 ────          order of erection inside
//! ```
//!
//! *Promises.* One sheet for each storey that has panels. Strings of dimensions close as printed: every piece is the
//! difference of two positions rounded to 1/16 in, so the pieces add up to the overall. A panel on HOLD says so beside its
//! mark. Nothing of ours stands on anything else of ours.
//!
//! *Does not do.* Details of corners and joints: that is for the elevations; sizes of parts: that is for panel sheets.

mod beside;
mod body;
mod dimensions;
mod grid;
mod marks;
mod order;
mod scene;
mod sheet;
mod strip;

pub(in crate::documents) use grid::{BUBBLE as GRID_BUBBLE, bubble as grid_bubble};

use crate::building::Building;
use crate::documents::TitleFacts;
use crate::documents::paper::Sheet;
use crate::fabrication::Fabrication;
use crate::layout::Layout;
use crate::plan::Plan;
use crate::rules::PlantRules;

/// All that key plans are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct KeyPlanInput<'a> {
    /// Walls and storeys.
    pub building: &'a Building,
    /// Where panels stand.
    pub layout: &'a Layout,
    /// Weights and holds.
    pub fabrication: &'a Fabrication,
    /// Interior walls, rooms and swings, pale.
    pub plan: &'a Plan,
    /// Thickness of the panels, gap of the joints.
    pub rules: &'a PlantRules,
    /// Title block.
    pub facts: &'a TitleFacts,
    /// Compass direction of the drawing's +y axis, degrees clockwise from north; `None` prints no north arrow.
    pub north_deg: Option<f64>,
}

/// The sheets, `Z-101` for the lowest storey, `Z-102` for the next…; storeys without panels have none.
#[must_use]
pub fn key_plan_sheets(input: &KeyPlanInput<'_>) -> Vec<Sheet> {
    let storeys = 0..input.building.storeys.len();
    storeys
        .filter_map(|storey| scene::Scene::new(input, storey))
        .map(|scene| sheet::key_plan_sheet(&scene))
        .collect()
}
