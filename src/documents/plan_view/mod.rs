//! What the trace and the key plan share: how a plan lies on the paper, its walls as bodies, and places for labels.
//!
//! ```text
//!   plan, inches ──view──► paper, millimetres ──► wall bodies, the architect's lines cut to the frame, labels placed
//! ```
//!
//! *Promises.* The building lies level, at the greatest standard scale that fits. A label never stands on another one or
//! on anything it was told to avoid; work is counted, so a slower machine draws the same sheet.
//!
//! *Does not do.* Deciding what to say: that is the sheet's own business.

mod clip;
mod far;
mod foot;
mod grid;
mod ground;
mod label_box;
mod placement;
mod rooms;
mod small;
mod strip_parts;
mod tag;
mod view;
mod wall_bodies;

pub(crate) use clip::{clip_line, clip_ring};
pub(crate) use far::{Far, Missed, far_places, place_all};
pub(crate) use foot::{draw_foot, foot, without_scale};
pub(crate) use grid::grid_on_wall;
pub(crate) use label_box::LabelBox;
pub(crate) use placement::{Candidate, Obstacles, Standing, place};
pub(crate) use rooms::room_places;
pub(crate) use small::SmallPlan;
pub(crate) use strip_parts::{draw_table, grouped, left_words, legend_row, short_list};
pub(crate) use tag::{Side, Tag, TagPlace, box_edge, edge};
pub(crate) use view::{PlanView, extent_of, level_turn, turned};
pub(crate) use wall_bodies::{
    WallBody, closed_shape, direction, shape_on_paper, solid_shape, wall_bodies,
};
