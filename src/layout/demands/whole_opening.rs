//! Openings are cut whole out of one panel, or framed between two: the rule `openings.whole_up_to`.

use crate::building::RoughOpening;
use crate::rules::PlantRules;

/// True when the rule has it framed between panels.
pub(crate) fn must_be_framed(opening: &RoughOpening, rules: &PlantRules) -> bool {
    opening.width() > rules.openings.whole_up_to || opening.at_post() != [false; 2]
}
