//! Sections and details generated from the parts as fabricated: nothing in them is a standard picture.
//!
//! ```text
//!   parts ──cut──► contours of skin, foam, lumber ──draw──► hatched, clipped, broken
//!     └─ walls, openings ──► details: window, dimensions, words, beads, nails ──cell──► sheets Z-501…
//! ```
//!
//! *Promises.* What is drawn is what the lists hold: every contour comes from a skin, a core, a piece of lumber or a plate.
//! Every kind of corner, joint, plate and opening of the building is drawn once, with where it is found. Strings of dimensions
//! add up as printed.
//!
//! *Does not do.* Sizing anything: nails and screws are signs beside the rule that spaces them.

mod cell;
mod cut;
mod detail;
mod draw;
mod openings;
mod plates;
mod sheets;
mod walls;

pub(crate) use cell::draw_detail;
pub(crate) use cut::{CutModels, CutPart, Part, Stuff};
pub(crate) use draw::{break_line, draw_cut};
pub(crate) use sheets::detail_sheets;
pub(crate) use walls::{merge, wall_details};
