//! An opening keeps a leg of panel beside it at the end of a run and beside a framed opening.
//!
//! # What it demands
//! At the end of a run, and at the jamb of an opening that is framed between panels, at least `openings.least_leg` of panel
//! stands beside an opening that is cut whole. Where another wall covers the run's end, no opening lies behind that wall.
//!
//! # Why
//! The leg carries the header; the opening must not look into the end of the other wall.
//!
//! # Picture
//! ```text
//!   ┌──────┬─────┐
//!   │◄─6──►│ O1  │      corner leg, on the shorter skin
//!   │      └─────┘
//! ```
//!
//! # Keys
//! `openings.least_leg`
//!
//! # Source
//! Common practice, no source.

use crate::layout::corners::RunEnd;
use crate::rules::PlantRules;
use crate::units::Length;

/// The least leg, on the outer skin, between this end and an opening.
pub(crate) fn least_leg(end: &RunEnd, rules: &PlantRules) -> Length {
    let bevelled = rules.openings.least_leg + end.inner_shorter.max(Length::ZERO);
    bevelled.max(end.cover)
}
