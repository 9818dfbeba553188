//! The paper kit: what every sheet is drawn with.
//!
//! ```text
//!   style ──► canvas ──► Sheet (items, mm) ──► to_svg ──► bytes
//!   fonts ──►   ▲                        ├───► page: the same on a page of a PDF
//!               │                        └───► overlaps ──► [] in every test
//!   dimension, ordinate, symbol, table, strip, frame: drawing helpers
//! ```
//!
//! *Promises.* One table of widths, patterns and heights ([`style`]); text is measured from the font that is embedded; a
//! sheet is plain data until it is written; same sheet, same bytes.
//!
//! *Does not do.* Knowing what a panel or a wall is.

pub mod canvas;
pub mod dimension;
pub mod flow;
pub mod fonts;
pub mod frame;
pub mod hatch;
pub mod model;
pub mod overlap;
pub mod page;
pub mod scale;
pub mod spread;
pub mod strip;
pub mod style;
pub mod svg;
mod svg_items;
pub mod symbol;
pub mod table;

pub use canvas::{Canvas, Lettered, View};
pub use model::{Anchor, Area, Form, Group, Item, Shape, Sheet, Spot, Text, Weight, spot};
pub use overlap::{Overlap, overlaps};
pub use svg::{number, sheet_style, to_bare_svg, to_svg};
