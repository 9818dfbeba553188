//! Joints keep off openings.
//!
//! # What it demands
//! No joint in an opening, or nearer to a rough jamb than `joints.from_opening`; what stays beside an opening that is cut whole
//! is also no narrower than `openings.least_leg`.
//!
//! # Why
//! Studs, jacks and the header's bearing stand beside the jamb, all in one panel; a narrower leg of skin breaks in handling.
//!
//! # Picture
//! ```text
//!        ok │◄─6─►┌────────┐◄─6─►│ ok
//!   ────────┤ no  │  O4    │ no  ├────────
//!        joint    └────────┘     joint
//! ```
//!
//! # Keys
//! `joints.from_opening`, `openings.least_leg`; preferred: `joints.from_opening_preferred` at `cost.near_opening`.
//!
//! # Source
//! Common practice, no source.

use super::Forbidden;
use crate::building::PanelWall;
use crate::rules::PlantRules;

/// The stretch round each opening.
pub(crate) fn forbidden(wall: &PanelWall, rules: &PlantRules) -> Vec<Forbidden> {
    let keep_off = rules.joints.from_opening.max(rules.openings.least_leg);
    let openings = wall.openings.iter();
    openings
        .map(|opening| Forbidden {
            from: opening.from - keep_off,
            to: opening.to + keep_off,
            rule: "joints.from_opening",
            words: format!(
                "no joint in {} or within {keep_off} of its rough jambs",
                opening.id
            ),
        })
        .collect()
}
