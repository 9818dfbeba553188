//! A strip too narrow for a panel, beside a framed opening, is a pier of solid lumber.
//!
//! # What it demands
//! Between two openings that are framed between panels, or between one and the square end of a run, a strip narrower than
//! `joints.least_panel` may stand where it is no narrower than `piers.least`; at a run's end that another wall covers it is also
//! no narrower than that wall is thick. It holds no opening and has no joint, and its skins are filled with lumber.
//!
//! # Why
//! Foam in so narrow a strip carries no header and breaks in handling. What stands there carries two headers: not sized, engineer.
//!
//! # Picture
//! ```text
//!   ═══════════════╤═══╤═════════════
//!     header      │▓▓▓│     header
//!   ┌─────────────┤▓▓▓├─────────────┐
//!   │ garage door │◄9►│ garage door │
//! ```
//!
//! # Keys
//! `piers.least`, `piers.cents`
//!
//! # Source
//! Common practice, no source.

use crate::layout::WallEnd;
use crate::layout::corners::RunEnd;
use crate::rules::PlantRules;
use crate::units::Length;

/// The least width of a pier at this end of a run; `None` where the end is bevelled.
pub(crate) fn least_width(end: &RunEnd, rules: &PlantRules) -> Option<Length> {
    let is_square = !matches!(end.end, WallEnd::Mitre { .. });
    is_square.then_some(rules.piers.least.max(end.cover))
}
