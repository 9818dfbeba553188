//! Blocks and references unfolded: flat curves, texts and areas where they are placed, clipped as the drawing shows them.

mod bombs;
pub(super) mod clips;
pub(super) mod flat;
mod insertions;
mod pieces;
pub(super) mod unfold;
