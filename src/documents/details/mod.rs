//! Sections and details generated from the parts as fabricated: nothing in them is a standard picture.
//!
//! ```text
//!   parts ──cut──► contours of skin, foam, lumber ──draw──► hatched, clipped, broken
//! ```
//!
//! *Promises.* What is drawn is what the lists hold: every contour comes from a skin, a core, a piece of lumber or a plate.
//!
//! *Does not do.* Naming and dimensioning: that is the sheet's business.

mod cut;
mod draw;

pub(crate) use cut::{CutModels, CutPart, Part, Stuff};
pub(crate) use draw::{break_line, draw_cut};
