//! An opening keeps a leg of panel beside it at the end of a run and beside a framed opening: the rule `openings.least_leg`. Where another wall
//! covers the run's end, no opening lies behind that wall: it must not look into the end of the other wall.

use crate::layout::corners::RunEnd;
use crate::rules::PlantRules;
use crate::units::Length;

/// The least leg, on the outer skin, between this end and an opening.
pub(crate) fn least_leg(end: &RunEnd, rules: &PlantRules) -> Length {
    let bevelled = rules.openings.least_leg + end.inner_shorter.max(Length::ZERO);
    bevelled.max(end.cover)
}
