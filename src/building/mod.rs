//! Raises a recovered plan into panel walls with heights, in exact lengths.
//!
//! ```text
//!   Plan + Job + PlantRules ──bridge──► outline corners snapped once ──► PanelWall: frame, face length, stack, rough openings
//! ```
//!
//! *Promises.* `bridge.rs` is the only way from the survey world to the shop world, and reports what it moved by more than
//! 1/64 in. Corners of the whole outline are snapped together, so parallel chains keep equal sums. Every wall is named by
//! the plan's id; a wall that cannot be panelled is a fault that names it and the rest goes on.
//!
//! *Does not do.* Who runs through at a corner, where panels end: that is `layout`.

mod as_issued;
mod bridge;
pub mod codes;
mod corner_posts;
mod faces;
mod header_sizes;
mod headers;
mod heights;
mod hold;
mod interior;
mod liners;
mod model;
mod openings;
mod outline;
mod profile;
mod raise;
mod references;
mod scope;
mod sizes;
mod skin_drop;
mod stacked;
mod statements;

pub use as_issued::{AsIssued, IssuedFace, SAME_CORNER};
pub use model::{
    Building, BuildingStorey, Corner, CornerKind, HeightStack, JacksAbove, MovedOver, PanelWall,
    RoughOpening, SizeOrigin, Tee, WallRole,
};
pub use openings::default_head;
pub use profile::{TopStretch, WallProfile};
pub use raise::{raise_as_issued, raise_building};
pub use stacked::{bear_on_below, lies_over};
