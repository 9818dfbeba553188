//! Sketches: a plan in words of runs and openings.

pub(super) mod sketch;
pub(super) mod sketch_file;
mod sketch_openings;
