//! One panel for the saw: `outlines/<MARK>.dxf`, or `held/<MARK>.dxf` when it must not be cut.
//!
//! ```text
//!   FabricatedPanel ──► contents: contours, lines, texts in the saw's axes ──► writer: DXF R12 or R2000
//!
//!    y ▲  ┌───────────────────┐      notes: mark, revision,
//!      │  │ OUTLINE  W101  UP │      face up, unit, depths,
//!      │  │   ┌─────────┐     │      bevels, cautions
//!      │  │   │ OPENING │     │
//!      │  └───┴─────────┴─────┘
//!      └──────────────────────► x    the face that lies up towards you
//! ```
//!
//! *Promises.* One closed polyline for each contour, outer ones counter-clockwise, holes clockwise; part lines, the controller
//! adds kerf; coordinates equal the model's exact lengths, rounded to nine decimals of an inch or six of a millimetre, which is
//! the same whole nanometre when read back. Whatever a note says in words stands on the contour as data of the application
//! `PANELWRIGHT`. Every layer of a held panel begins with `HOLD-`.
//!
//! *Does not do.* Lead-ins, tabs, kerf, tool paths: those are the controller's. A saw that understands other files needs a writer
//! beside `writer.rs`.

mod blank;
mod contents;
mod facts;
mod index;
mod marking;
mod notes;
pub(super) mod shell;
mod writer;

pub use blank::blank_files;
pub use index::{outline_files, outline_path};

use crate::fabrication::FabricatedPanel;
use crate::rules::PlantRules;

/// The bytes of a panel's outline file.
///
/// - Panel axes, seen from the face that lies up: with the inner face up, x is mirrored about the panel's width, and said so.
/// - Unit and DXF version by the plant's rules `saw.unit` and `saw.version`.
/// - Source of the conventions: common practice for saw files, no published standard.
#[must_use]
pub fn outline_dxf(panel: &FabricatedPanel, rules: &PlantRules) -> Vec<u8> {
    writer::write(&contents::saw_drawing(panel, rules))
}
