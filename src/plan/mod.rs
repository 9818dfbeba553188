//! Finds storeys, walls, openings, rooms and the outline in an architect's drawing.
//!
//! ```text
//!   Drawing ──► symbols ──► strips (line pairs) ──► cells ──► walls + openings ──► arrangement ──► outline, rooms ──► Plan
//! ```
//!
//! Beside the plan stand what else the sheet says: `schedules` give heights and kinds to openings by their tags, `dimensions` are
//! held against what is drawn, `carry` brings corrections made on an earlier plan over to this one.
//!
//! *Promises.* Nothing is guessed in silence: whatever is uncertain is a finding with a place and a default. Every wall
//! and opening keeps the handles it came from. What is unknown is `None`, never a default. Ids come from geometry.
//!
//! *Does not do.* No panel sizes, no heights by habit, no rounding: that is `building`.

mod answers;
mod assemble;
mod axis;
mod callouts;
mod carry;
pub mod codes;
mod corrections;
mod dimensions;
mod enclosure;
mod groups;
mod inside;
mod lines;
mod model;
mod nearby;
mod pieces;
mod recover;
mod schedules;
mod single;
mod sketch;
mod storeys;
#[cfg(test)]
mod trial;
mod unclaimed;
mod walls;

pub use carry::{
    EarlierPlan, EarlierPlanError, Elsewhere, IssuedNames, OtherMeaning, PlanChange, Whereabouts,
    Whither, anchors_now, as_drawn, corrections_elsewhere, entries_either_way, other_meanings,
    plan_changes, read_earlier_plan, read_issued_names, read_issued_plan, read_written_on,
};
pub use corrections::{
    CorrectionAnchor, CorrectionIntent, DrawnLine, PlanCorrection, PlanCorrections, SingleLines,
};
pub use dimensions::{
    DimensionChain, DimensionCheck, DimensionVerdict, check_dimensions, dimension_chains,
    dimensions_in_lines,
};
pub use lines::layers::layer_meaning;
pub use model::{
    Alternative, Core, Fitment, FitmentKind, GridLine, Hinge, Opening, OpeningKind, Plan, Room,
    StatedDimension, Storey, Swing, ToBuilding, Wall, WallLayer,
};
pub use recover::{all_close, closes, recover_plan};
pub use sketch::{correct_sketches, plan_from_sketches};
pub use unclaimed::{NotWall, Unclaimed, UnclaimedKind, not_walls, unclaimed, unused_strokes};
