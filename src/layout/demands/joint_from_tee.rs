//! Joints keep off walls that meet inside.
//!
//! # What it demands
//! No joint where an interior wall meets, or nearer to its faces than `joints.from_tee`.
//!
//! # Why
//! The interior wall is fastened to blocking in this panel's core, and the blocking needs whole foam round it.
//!
//! # Picture
//! ```text
//!   outside ────────────────────────
//!             ok │◄3►║   ║◄3►│ ok
//!   inside  ─────────╢   ╟──────────
//!                    ║   ║ interior wall
//! ```
//!
//! # Keys
//! `joints.from_tee`
//!
//! # Source
//! Common practice, no source.

use super::Forbidden;
use crate::building::PanelWall;
use crate::rules::PlantRules;

/// The stretch round each wall that meets.
pub(crate) fn forbidden(wall: &PanelWall, rules: &PlantRules) -> Vec<Forbidden> {
    let keep_off = rules.joints.from_tee;
    let tees = wall.tees.iter();
    tees.map(|tee| Forbidden {
        from: tee.from - keep_off,
        to: tee.to + keep_off,
        rule: "joints.from_tee",
        words: format!(
            "no joint where wall {} meets, or within {keep_off} of it",
            tee.wall
        ),
    })
    .collect()
}
