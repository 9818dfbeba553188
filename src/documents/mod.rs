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

mod findings_json;
mod model;
mod plan_json;

pub use findings_json::findings_json;
pub use model::{DocumentSet, TitleFacts};
pub use plan_json::plan_json;

/// JSON with two blanks of indent and a line break at the end.
///
/// Every value written here is plain data, so this cannot fail; a failure would show as an empty file to `verify`.
#[must_use]
pub fn pretty(value: &impl serde::Serialize) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

/// A number to nine decimals: read back, it gives the same whole nanometre.
#[must_use]
pub fn nine(value: f64) -> f64 {
    let rounded = (value * 1e9).round() / 1e9;
    // No negative zero in files.
    if rounded == 0.0 { 0.0 } else { rounded }
}
