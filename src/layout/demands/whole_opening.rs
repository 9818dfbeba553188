//! Openings are cut whole out of one panel, or framed between two.
//!
//! # What it demands
//! An opening wider than `openings.whole_up_to` is framed between two panels, whose edges are its rough jambs, with a header
//! panel over it and a sill panel under it. A narrower one is cut whole, and framed only where no panel can hold it. One that ends at a post in a corner is framed.
//!
//! # Why
//! A panel that is mostly hole breaks in handling; framing costs two pieces, loose lumber and two more joints.
//!
//! # Picture
//! ```text
//!   ┌────────────┐       ┌──────┬─────────────┬──────┐
//!   │  ┌──────┐  │       │ W101 │ header W103 │ W102 │
//!   │  │  O1  │  │       │      ├─────────────┤      │
//!   │  └──────┘  │       │      │     O1      │      │
//!   └────────────┘       └──────┘             └──────┘
//!      cut whole             framed between panels
//! ```
//!
//! # Keys
//! `openings.whole_up_to`; `cost.framed_opening`
//!
//! # Source
//! Common practice, no source.

use crate::building::RoughOpening;
use crate::rules::PlantRules;

/// True when the rule has it framed between panels.
pub(crate) fn must_be_framed(opening: &RoughOpening, rules: &PlantRules) -> bool {
    opening.width() > rules.openings.whole_up_to || opening.at_post() != [false; 2]
}
