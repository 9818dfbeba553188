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

mod csv_table;
mod digest;
mod findings_json;
mod json_text;
mod key_plan;
mod lists;
mod model;
mod outline_dxf;
mod panels_json;
pub mod paper;
mod plan_json;
mod plan_view;
mod trace;

pub use digest::sha256_hex;
pub use findings_json::findings_json;
pub use json_text::json_text as pretty;
pub use key_plan::{KeyPlanInput, key_plan_sheets};
pub use lists::lists;
pub use model::{DocumentSet, TitleFacts};
pub use outline_dxf::{outline_dxf, outline_files, outline_path};
pub use panels_json::panels_json;
pub use plan_json::plan_json;
pub use trace::{trace_files, trace_sheets};

/// A number to nine decimals: read back, it gives the same whole nanometre.
#[must_use]
pub fn nine(value: f64) -> f64 {
    let rounded = (value * 1e9).round() / 1e9;
    // No negative zero in files.
    if rounded == 0.0 { 0.0 } else { rounded }
}
