//! What the lines of a drawing are before any wall is made of them: faces, symbols, grids, tiles, studs, edges.

mod behind;
mod centre_lines;
pub(super) mod chords;
mod dashes;
mod door_forms;
mod edges;
pub(super) mod grid;
mod hatching;
pub(super) mod islands;
pub(super) mod layer_words;
pub(super) mod layers;
pub(super) mod leaves;
mod noise;
pub(super) mod rails;
pub(super) mod segments;
mod studs;
pub(super) mod symbols;
pub(super) mod tiles;
