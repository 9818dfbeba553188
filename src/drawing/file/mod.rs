//! What the bytes of a file are: pairs of a DXF, letters and code pages, DWG, drawings that are referred to, and what stands where.

pub(super) mod bound_names;
pub(super) mod census;
mod code_pages;
pub(super) mod contents;
pub(super) mod dwg;
pub(super) mod letters;
pub(super) mod pairs;
pub(super) mod references;
pub(super) mod walk;
