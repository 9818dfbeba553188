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

mod alternatives;
mod assemble;
mod assumed;
mod axis;
mod bands;
mod behind;
mod beside;
mod boards;
mod bonds;
mod callouts;
mod caps;
mod carry;
mod centre_lines;
mod chords;
mod claims;
mod clusters;
pub mod codes;
mod columns;
mod completion;
mod conflicts;
mod corrections;
mod courts;
mod crossed;
mod curtains;
mod curves;
mod dashes;
mod decks;
mod dimensions;
mod door_forms;
mod double_walls;
mod edges;
mod ends;
mod faces;
mod facets;
mod fill;
mod fireboxes;
mod fitments;
mod frames;
mod fronts;
mod gaps;
mod glazed;
mod grid;
mod groups;
mod hatching;
mod heated;
mod held;
mod in_line;
mod islands;
mod layer_words;
mod layered;
mod layers;
mod leaves;
mod leftovers;
mod loose;
mod loose_furniture;
mod masses;
mod meant;
mod model;
mod moved;
mod nearby;
mod network;
mod niches;
mod noise;
mod notches;
mod obey;
mod open_plans;
mod openings;
mod outbuildings;
mod outline;
mod outside;
mod overlay;
mod partitions;
mod parts;
mod pictures;
mod piers;
mod questions;
mod rails;
mod recover;
mod register;
mod reveals;
mod rooms;
mod round_corners;
mod runs;
mod scales;
mod schedules;
mod segments;
mod several;
mod shells;
mod single;
mod sketch;
mod solids;
mod spans;
mod splays;
mod standing;
mod strays;
mod studs;
mod symbols;
mod thicknesses;
mod through;
mod tiles;
#[cfg(test)]
mod trial;
mod unclaimed;
mod variants;
mod veneers;
mod views;
mod wells;

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
pub use layers::layer_meaning;
pub use model::{
    Alternative, Fitment, FitmentKind, GridLine, Hinge, Opening, OpeningKind, Plan, Room,
    StatedDimension, Storey, Swing, ToBuilding, Wall, WallLayer,
};
pub use recover::{all_close, closes, recover_plan};
pub use sketch::{correct_sketches, plan_from_sketches};
pub use unclaimed::{NotWall, Unclaimed, UnclaimedKind, not_walls, unclaimed, unused_strokes};
