//! What the plant demands of joints, widths and openings: one small file for each rule, which obeys its file in `src/rules/plant/`.
//!
//! ```text
//!   wall + rules ──► Forbidden { from, to, rule, words }, …      where no part of a joint's gap may lie
//!                    least widths, least legs, must frame
//! ```
//!
//! Every demand carries the key in `plant.toml` that made it, so that a drafter can ask of any joint "why here?".

pub(crate) mod joint_from_corner;
pub(crate) mod joint_from_opening;
pub(crate) mod joint_from_point_load;
pub(crate) mod joint_from_step;
pub(crate) mod joint_from_tee;
pub(crate) mod joint_under_jacks;
pub(crate) mod leg_at_opening;
pub(crate) mod pier_at_opening;
pub(crate) mod whole_opening;
pub(crate) mod wishes;

use crate::building::PanelWall;
use crate::rules::PlantRules;
use crate::units::Length;

/// A stretch of wall in which no part of a joint's gap may lie. Its two ends are allowed. Wall axes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Forbidden {
    pub(crate) from: Length,
    pub(crate) to: Length,
    /// Key of the rule.
    pub(crate) rule: &'static str,
    /// The rule in words, about this very stretch.
    pub(crate) words: String,
}

impl Forbidden {
    /// True when a gap from `left` to `right` has any part of it inside.
    pub(crate) fn bars(&self, left: Length, right: Length) -> bool {
        right > self.from && left < self.to
    }
}

/// Everything that forbids joints along a wall, but for its corners: sorted from left to right.
pub(crate) fn forbidden(wall: &PanelWall, rules: &PlantRules) -> Vec<Forbidden> {
    let mut all = joint_from_opening::forbidden(wall, rules);
    all.extend(joint_from_step::forbidden(wall, rules));
    all.extend(joint_from_tee::forbidden(wall, rules));
    all.extend(joint_under_jacks::forbidden(wall, rules));
    all.sort_by(|a, b| (a.from, a.to, a.rule).cmp(&(b.from, b.to, b.rule)));
    all
}
