//! Joints keep off walls that meet inside: the rule `joints.from_tee`.

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
