//! The panel in a corner is wide enough.
//!
//! # What it demands
//! The first and the last panel of a run are at least `joints.least_panel` wide, measured on the shorter skin; where another
//! wall butts against the run's end, the joint stays clear of that wall as it does of one that meets anywhere else. A panel with no
//! joint, from a run's end to a framed opening or to its other end, only reaches past that wall.
//!
//! # Why
//! The butting wall is screwed into the corner panel's lumber: a joint behind it could not be sealed or nailed.
//!
//! # Picture
//! ```text
//!   runs through ═══════════╤═══════ joint not under or near the butting wall
//!                    ║   ║◄3►│ ok
//!                    ║   ║ butts
//! ```
//!
//! # Keys
//! `joints.least_panel`, `joints.from_tee`
//!
//! # Source
//! Common practice, no source.

use crate::layout::corners::RunEnd;
use crate::rules::PlantRules;
use crate::units::Length;

/// The least width, on the outer skin, of a panel from this end to a joint.
pub(crate) fn least_width(end: &RunEnd, rules: &PlantRules) -> Length {
    let least = least_strip(end, rules);
    if end.cover > Length::ZERO {
        least.max(end.cover + rules.joints.from_tee)
    } else {
        least
    }
}

/// The least width, on the outer skin, of a panel from this end to where there is no joint: a framed opening, the other end.
pub(crate) fn least_strip(end: &RunEnd, rules: &PlantRules) -> Length {
    let bevelled = rules.joints.least_panel + end.inner_shorter.max(Length::ZERO);
    bevelled.max(end.cover)
}
