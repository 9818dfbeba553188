//! What each joint takes, whichever of its panels it was counted with.
//!
//! ```text
//!        corner X1/X2          joint W101/W102
//!   ┌───╥──────────────────────╥────────────┐    top plate of W101
//!   │   ║         W101         ║    W102    │    nails, screws and beads are counted once, with a panel,
//!   └───╨──────────────────────╨────────────┘    and each names the joint it is for: both sums are the same goods
//! ```

use super::brief::PanelBrief;
use super::{EdgeJoint, Fixing, Joint, SkinEdge};
use crate::layout::PlateUse;
use crate::units::Length;
use std::collections::BTreeMap;

pub(super) use super::model::JointKind;

/// Which joint something is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct JointName {
    kind: JointKind,
    name: String,
}

/// Fixings or bead of one panel for one joint. One without either says that the panel is there.
#[derive(Clone, Debug)]
pub(super) struct Charge {
    pub(super) joint: JointName,
    /// How long the joint is, as this panel has it.
    pub(super) length: Length,
    pub(super) fixing: Option<Fixing>,
    pub(super) bead: Length,
}

impl JointName {
    /// The joint at an edge: a spline by its two panels from left to right, a plate by panel and use, a jamb by opening and panel.
    pub(super) fn of_edge(brief: &PanelBrief<'_>, edge: &SkinEdge) -> Self {
        let mark = brief.panel.mark.as_str();
        let with = edge.with.as_deref().unwrap_or_default();
        // Contours run with the panel on their left: what runs up is a right end.
        let is_right = edge.to.y > edge.from.y;
        let (kind, name) = match edge.joint {
            EdgeJoint::Spline if is_right => (JointKind::Spline, format!("{mark}/{with}")),
            EdgeJoint::Spline => (JointKind::Spline, format!("{with}/{mark}")),
            EdgeJoint::Jamb => {
                let end = if is_right { "right" } else { "left" };
                (JointKind::Jamb, format!("{with}/{mark} {end}"))
            }
            _ => {
                let plate = if edge.to.x > edge.from.x {
                    PlateUse::Sole
                } else {
                    PlateUse::Top
                };
                (JointKind::Plate, format!("{mark} {}", plate.name()))
            }
        };
        Self { kind, name }
    }

    /// What is nailed within a panel.
    pub(super) fn own(brief: &PanelBrief<'_>) -> Self {
        Self {
            kind: JointKind::Panel,
            name: brief.panel.mark.clone(),
        }
    }

    /// Where this panel's wall meets another at its end: the same name from both.
    pub(super) fn of_walls(brief: &PanelBrief<'_>, kind: JointKind, with: usize) -> Self {
        let walls = &brief.building.walls;
        let [a, b] = [brief.panel.wall, with];
        let id = |index: usize| walls.get(index).map_or("", |wall| wall.id.as_str());
        Self {
            kind,
            name: format!("{}/{}", id(a.min(b)), id(a.max(b))),
        }
    }

    /// Where a wall meets this panel's face.
    pub(super) fn tee(brief: &PanelBrief<'_>, guest: &str) -> Self {
        Self {
            kind: JointKind::Tee,
            name: format!("{}/{guest}", brief.wall.id),
        }
    }
}

/// Adds to the fixings of the same use, item and rule.
pub(super) fn add(fixings: &mut Vec<Fixing>, more: &Fixing) {
    if more.count == 0 {
        return;
    }
    let like =
        |it: &&mut Fixing| (&it.usage, &it.item, &it.rule) == (&more.usage, &more.item, &more.rule);
    match fixings.iter_mut().find(like) {
        Some(it) => it.count += more.count,
        None => fixings.push(more.clone()),
    }
}

/// All joints, in the order in which the panels first name them.
#[derive(Debug, Default)]
pub(super) struct JointSums {
    joints: Vec<Joint>,
    places: BTreeMap<(JointKind, String), usize>,
}

impl JointSums {
    /// Takes a panel's charges.
    pub(super) fn take(&mut self, brief: &PanelBrief<'_>, charges: Vec<Charge>) {
        for charge in charges {
            let key = (charge.joint.kind, charge.joint.name.clone());
            let place = *self.places.entry(key).or_insert(self.joints.len());
            if place == self.joints.len() {
                self.joints.push(Joint {
                    kind: charge.joint.kind,
                    name: charge.joint.name,
                    wall: brief.panel.wall,
                    panels: Vec::new(),
                    length: Length::ZERO,
                    fixings: Vec::new(),
                    sealant: Length::ZERO,
                });
            }
            let Some(joint) = self.joints.get_mut(place) else {
                continue;
            };
            if !joint.panels.contains(&brief.panel.mark) {
                joint.panels.push(brief.panel.mark.clone());
            }
            joint.length = joint.length.max(charge.length);
            joint.sealant += charge.bead;
            if let Some(fixing) = &charge.fixing {
                add(&mut joint.fixings, fixing);
            }
        }
    }

    /// The joints that take something.
    pub(super) fn into_joints(self) -> Vec<Joint> {
        let takes = |joint: &Joint| !joint.fixings.is_empty() || joint.sealant > Length::ZERO;
        self.joints.into_iter().filter(takes).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{inches, reference};
    use super::*;

    #[test]
    fn a_joint_has_the_nails_and_beads_of_both_its_panels() {
        // By hand: 108 in at 6 in o.c. = 18 a skin; two skins, two panels: 72. Two beads on each panel's edge: 4 x 108.
        let made = reference().make().output;
        let joint = made
            .joints
            .iter()
            .find(|it| it.name == "W101/W102")
            .unwrap();
        assert_eq!(joint.kind, JointKind::Spline);
        assert_eq!(joint.panels, ["W101", "W102"]);
        assert_eq!(joint.length, inches("108"));
        assert_eq!(joint.fixings[0].count, 72);
        assert_eq!(joint.sealant, inches("432"));
    }

    #[test]
    fn joints_and_panels_sum_to_the_same_goods() {
        let made = reference().make().output;
        let count = |fixings: &[Fixing]| fixings.iter().map(|it| it.count).sum::<u32>();
        let by_joint: u32 = made.joints.iter().map(|it| count(&it.fixings)).sum();
        let by_panel: u32 = made.panels.iter().map(|it| count(&it.fixings)).sum();
        assert!(by_joint > 200);
        assert_eq!(by_joint, by_panel);
        let beads: Length = made.joints.iter().map(|it| it.sealant).sum();
        assert_eq!(beads, made.panels.iter().map(|it| it.sealant).sum());
        let corner = made.joints.iter().find(|it| it.kind == JointKind::Corner);
        assert_eq!(corner.map(|it| count(&it.fixings)), Some(5));
    }
}
