//! Draws every document of a package: sheets, outlines, lists, data files, as names and bytes.
//!
//! ```text
//!   all models ──► DocumentSet { "sheets/Z-401-W101.svg": bytes, "outlines/W101.dxf": bytes, "panels.json": bytes, … }
//! ```
//!
//! *Promises.* Same input, same bytes. Every dimension on a sheet comes from the model's exact lengths and is rounded only
//! when printed. A panel on HOLD never stands in `outlines/`.
//!
//! *Does not do.* Touching a disk: that is `cli`.

mod model;

pub use model::{DocumentSet, TitleFacts};
