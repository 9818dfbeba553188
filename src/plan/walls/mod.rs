//! Solid pieces joined into walls, with the openings between them and what stands in or at them.

pub(super) mod beside;
pub(super) mod bonds;
pub(super) mod caps;
mod columns;
pub(super) mod curtains;
pub(super) mod curves;
pub(super) mod double_walls;
pub(super) mod ends;
pub(super) mod facets;
pub(super) mod fill;
mod frames;
pub(super) mod masses;
pub(super) mod openings;
pub(super) mod partitions;
pub(super) mod parts;
pub(super) mod piers;
mod reveals;
pub(super) mod round_corners;
pub(super) mod runs;
mod splays;
pub(super) mod through;
pub(super) mod veneers;
