//! Pairs of faces, cut at what crosses them: which spans of them are solid wall.

pub(super) mod bands;
pub(super) mod boards;
mod claims;
mod conflicts;
mod gaps;
pub(super) mod held;
mod in_line;
mod layered;
mod linings;
pub(super) mod solids;
mod spans;
mod thicknesses;
