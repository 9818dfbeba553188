//! Joints keep off openings: the rules `joints.from_opening` and `openings.least_leg`.

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
