//! Joints keep off what the jacks of the storey above bear on: the rule `alignment.under_jacks`.

use super::Forbidden;
use crate::building::PanelWall;
use crate::rules::{PlantRules, UnderJacks};

/// The stretch under each pack of jacks.
pub(crate) fn forbidden(wall: &PanelWall, rules: &PlantRules) -> Vec<Forbidden> {
    let is_asked = rules.alignment.under_jacks == UnderJacks::Clear;
    let packs = wall.jacks_above.iter().filter(|_| is_asked);
    packs
        .map(|jacks| Forbidden {
            from: jacks.from,
            to: jacks.to,
            rule: "alignment.under_jacks",
            words: format!(
                "no joint under the jacks of {} in the storey above",
                jacks.opening
            ),
        })
        .collect()
}
