//! Reads an architect's drawing into flat strokes, texts and dimensions in inches.
//!
//! ```text
//!   bytes ──► pairs (code, value, line) ──► entities ──► blocks unfolded ──► units voted ──► Drawing
//! ```
//!
//! *Promises.* Nothing is dropped without being counted and named in the census; every stroke keeps the handle, layer and
//! block path it came from; a fault is local to one entity; coordinates are inches, in the drawing's own axes.
//!
//! *Does not do.* No opinion on what is a wall: that is `plan`.

pub mod codes;
mod model;

pub use model::{
    BlockPlacement, Census, CensusRow, Curve, Dimension, Drawing, DrawingUnit, Fill, FillKind,
    Layer, Scale, Sketch, SketchOpening, SketchWall, Source, SourceIndex, Stroke, Text, UnitVote,
};
