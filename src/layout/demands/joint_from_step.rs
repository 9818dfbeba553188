//! Joints keep off steps in a wall's base and top, or lie on them: the rule `joints.from_step`.

use super::Forbidden;
use crate::building::PanelWall;
use crate::rules::PlantRules;
use crate::units::Length;

/// The stretches beside each step, and the step itself where a gap would lie across it.
pub(crate) fn forbidden(wall: &PanelWall, rules: &PlantRules) -> Vec<Forbidden> {
    let (keep_off, gap) = (rules.joints.from_step, rules.joints.gap);
    let around = |step: Length| {
        let stretches = [
            [step - keep_off, step - gap],
            [step, step],
            [step + gap, step + keep_off],
        ];
        stretches
            .into_iter()
            .filter(|[from, to]| from <= to)
            .map(move |[from, to]| Forbidden {
                from,
                to,
                rule: "joints.from_step",
                words: format!("no joint within {keep_off} of the step at {step} but on it"),
            })
    };
    wall.profile.steps().flat_map(around).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::ShopPoint;
    use crate::layout::testing::free_wall;

    #[test]
    fn a_joint_lies_on_a_step_or_clear_of_it() {
        // By hand: a gap of 1/8 in ends where the right panel starts. On a step at 144 it may lie left or right of it, not across;
        // else 6 in away.
        let rules = PlantRules::default();
        let mut wall = free_wall(300, &[], &rules);
        let low = ShopPoint::new(Length::inches(144), Length::inches(-16));
        wall.profile.base.push(low);
        let zones = forbidden(&wall, &rules);
        let is_free = |sixteenths: i64| {
            let joint = Length::fraction(0, sixteenths, 16);
            let left = joint - rules.joints.gap;
            zones.iter().all(|zone| !zone.bars(left, joint))
        };
        let step = 144 * 16;
        let free: Vec<i64> = (-99..=101).filter(|n| is_free(step + n)).collect();
        assert_eq!(free, [-99, -98, -97, -96, 0, 2, 98, 99, 100, 101]);
        assert!(forbidden(&free_wall(300, &[], &rules), &rules).is_empty());
    }
}
