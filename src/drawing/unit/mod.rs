//! Which unit and which scale a drawing is in, by all that speaks of it.

mod breaks;
pub(super) mod drawn_scale;
mod evidence;
mod lengths_in_lines;
pub(super) mod scale_notes;
pub(super) mod vote;
