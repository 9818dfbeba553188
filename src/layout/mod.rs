//! Decides where each panel starts and ends, its mark and its place in the order of erection.
//!
//! ```text
//!   PanelWall ──► run from corner to corner ──► allowed joints ──► exact search ──► panels, gaps, openings, plates
//! ```
//!
//! *Promises.* Panels and gaps tile each run exactly. No joint lies in an opening or nearer to one than the rules allow.
//! The layout of a wall has the least cost that its rules allow, and says that cost. Every joint knows why it is there.
//!
//! *Does not do.* Parts inside a panel: that is `fabrication`.

pub mod codes;
mod model;

pub use model::{
    Layout, Panel, PanelEdge, PanelKind, PlateRun, PlateUse, Reason, RunPiece, WallEnd, WallLayout,
};
