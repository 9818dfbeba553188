//! A run as a problem of numbers: where joints may lie and what each panel and joint costs. Wall axes throughout.

use super::WallWishes;
use super::corners::{Ends, RunEnd};
use super::cost::Cost;
use super::demands::{
    Forbidden, forbidden, joint_from_corner, joint_from_point_load, leg_at_opening,
    pier_at_opening, whole_opening, wishes,
};
use super::issued::Issued;
use super::price::{Pricer, per_foot, widest};
use super::stacked::Neighbours;
use crate::building::PanelWall;
use crate::rules::PlantRules;
use crate::units::{Length, square_feet};

/// One wall between one pair of ends.
#[derive(Clone, Debug)]
pub(crate) struct Run<'a> {
    pub(crate) rules: &'a PlantRules,
    pub(crate) pricer: Pricer<'a>,
    pub(crate) left: End,
    pub(crate) right: End,
    pub(crate) openings: Vec<Hole>,
    /// Where no part of a joint's gap may lie, sorted from the left.
    pub(crate) forbidden: Vec<Forbidden>,
    /// Joints that must be, by where their right panel starts, rising.
    pub(crate) fixed: Vec<Length>,
    /// Wished joints and locked panels that cannot be, each with the reason.
    pub(crate) refused: Vec<(String, String)>,
    /// Joints of the storeys over and under it.
    pub(crate) beside: Neighbours,
    /// Panels of the issue before.
    pub(crate) issued: Issued,
    /// Half a blank of the smallest line: whole modules are multiples of it.
    pub(crate) half_module: Length,
    /// Whole cents of a joint for its height alone.
    joint: i64,
    pub(crate) widest: Length,
}

/// One end of a run, as its panel sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct End {
    pub(crate) at: Length,
    /// Least leg between here and an opening that is cut whole.
    pub(crate) leg: Length,
    /// Least width of the panel from here to a joint.
    pub(crate) least: Length,
    /// Least width of the panel from here to where there is no joint.
    pub(crate) strip: Length,
    /// Least width of a pier of solid lumber between here and a framed opening; none at a bevelled end.
    pub(crate) pier: Option<Length>,
    /// What a bevel or a make-up adds to the width of the panel's longer skin.
    pub(crate) extra: Length,
    /// Cost of the bevel.
    pub(crate) cents: i64,
}

/// An opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Hole {
    pub(crate) from: Length,
    pub(crate) to: Length,
    /// Square feet of panel that it takes away.
    pub(crate) area: f64,
    /// True when it is framed between panels whatever it costs.
    pub(crate) must_frame: bool,
    /// Whether it ends at the post of a corner, left and right.
    pub(crate) at_post: [bool; 2],
}

impl<'a> Run<'a> {
    /// The run of `wall` between `ends`.
    pub(crate) fn new(
        wall: &PanelWall,
        ends: &Ends,
        rules: &'a PlantRules,
        wished: Option<&WallWishes>,
        beside: &Neighbours,
    ) -> Self {
        // Splines end with the foam: what the outer skin drops is no part of a joint.
        let foam_height = wall.stack.panel_top - wall.stack.panel_bottom;
        let height = foam_height + wall.skin_drop;
        let assembly = rules.assemblies.get(wall.assembly);
        let joint_ft = rules.cost.joint_ft_cents(assembly);
        let pricer = Pricer::new(rules, assembly, height).for_run(ends.right.at - ends.left.at);
        let mut zones = forbidden(wall, rules);
        zones.extend(wished.into_iter().flat_map(wishes::forbidden));
        let points = wished.map_or(&[][..], |wished| &wished.points);
        zones.extend(joint_from_point_load::forbidden(points, rules));
        let boxes = wished.map_or(&[][..], |wished| &wished.boxes);
        zones.extend(joint_from_point_load::round_boxes(boxes, rules));
        let chases = wished.map_or(&[][..], |wished| &wished.chases);
        zones.extend(joint_from_point_load::round_chases(chases, rules));
        zones.sort_by(|a, b| (a.from, a.to, a.rule).cmp(&(b.from, b.to, b.rule)));
        let (mut fixed, mut refused) = (Vec::new(), Vec::new());
        let place = wishes::Place {
            wall,
            ends,
            rules,
            forbidden: &zones,
            widest: widest(rules, height),
        };
        for joint in wished.iter().flat_map(|wished| &wished.joints) {
            match place.refused_joint(*joint, &fixed) {
                None => fixed.push(*joint),
                Some(reason) => refused.push((format!("the joint fixed at {joint}"), reason)),
            }
        }
        let mut kept = Vec::new();
        for lock in wished.iter().flat_map(|wished| &wished.locked) {
            match place.refused_lock(*lock, &fixed, &kept) {
                None => {
                    fixed.extend(place.joints_of(*lock));
                    kept.push(*lock);
                }
                Some(reason) => {
                    let [from, to] = lock;
                    refused.push((format!("the panel locked from {from} to {to}"), reason));
                }
            }
        }
        zones.extend(wishes::locked(&kept));
        zones.sort_by(|a, b| (a.from, a.to, a.rule).cmp(&(b.from, b.to, b.rule)));
        fixed.sort_unstable();
        fixed.dedup();
        let openings = wall.openings.iter();
        let openings = openings.map(|opening| Hole {
            from: opening.from,
            to: opening.to,
            area: square_feet(
                opening.width(),
                opening.head.min(wall.stack.panel_top) - opening.sill.max(wall.stack.panel_bottom),
            ),
            must_frame: whole_opening::must_be_framed(opening, rules),
            at_post: opening.at_post(),
        });
        Self {
            rules,
            pricer,
            left: End::new(&ends.left, rules),
            right: End::new(&ends.right, rules),
            openings: openings.collect(),
            forbidden: zones,
            fixed,
            refused,
            beside: beside.clone(),
            issued: Issued::new(wished.map_or(&[][..], |it| &it.issued), wall, rules),
            half_module: half_module(rules),
            joint: per_foot(joint_ft, foam_height),
            widest: widest(rules, height),
        }
    }

    /// The same run seen from inside: its left end at the right, with one and the same cost for one and the same layout.
    ///
    /// A joint is named by where its right panel starts; mirrored, that is where its left panel ended.
    pub(crate) fn mirrored(&self) -> Self {
        let (sum, gap) = (self.left.at + self.right.at, self.rules.joints.gap);
        let joints = |joints: &[Length]| -> Vec<Length> {
            joints.iter().rev().map(|x| sum + gap - *x).collect()
        };
        let end = |end: End| End {
            at: sum - end.at,
            ..end
        };
        let holes = self.openings.iter().rev().map(|hole| Hole {
            from: sum - hole.to,
            to: sum - hole.from,
            at_post: [hole.at_post[1], hole.at_post[0]],
            ..*hole
        });
        let zones = self.forbidden.iter().map(|zone| Forbidden {
            from: sum - zone.to,
            to: sum - zone.from,
            ..zone.clone()
        });
        let mut zones: Vec<Forbidden> = zones.collect();
        zones.sort_by_key(|zone| zone.from);
        Self {
            left: end(self.right),
            right: end(self.left),
            openings: holes.collect(),
            forbidden: zones,
            fixed: joints(&self.fixed),
            refused: Vec::new(),
            beside: self.beside.mirrored(joints),
            issued: self.issued.mirrored(sum),
            ..self.clone()
        }
    }

    /// Whole cents of the joint whose right panel starts at `joint`.
    pub(crate) fn joint_cents(&self, joint: Length) -> i64 {
        let near = if self.is_near_opening(joint) {
            self.rules.cost.near_opening
        } else {
            0
        };
        self.joint
            .saturating_add(near)
            .saturating_add(self.beside.cents(joint, self.rules))
    }

    /// What is paid first and given back by what is kept: issued panels, and joints above that stand over one of this wall.
    pub(crate) fn paid_first(&self) -> Cost {
        self.issued.all() + Cost::cents(self.beside.all(self.rules))
    }

    /// True when a joint lies nearer to an opening than the rules prefer.
    pub(crate) fn is_near_opening(&self, joint: Length) -> bool {
        let preferred = self.rules.joints.from_opening_preferred;
        let left = joint - self.rules.joints.gap;
        // Openings lie from left to right: only the last that starts left of the joint and the next one can be near.
        let next = self.openings.partition_point(|hole| hole.from < joint);
        let before = next.checked_sub(1).and_then(|i| self.openings.get(i));
        before.is_some_and(|hole| left < hole.to + preferred)
            || self
                .openings
                .get(next)
                .is_some_and(|hole| joint > hole.from - preferred)
    }

    /// Whole cents of a panel of this width for being off the module; one that touches an end of the run may fill it without a gap.
    pub(crate) fn off_module_cents(&self, width: Length, is_at_end: bool) -> i64 {
        if self.is_module(width, is_at_end) {
            0
        } else {
            self.rules.cost.off_module
        }
    }

    /// True when a panel of this width fills whole modules: with the gap that follows it or, at the end of a run, without.
    pub(crate) fn is_module(&self, width: Length, is_last: bool) -> bool {
        let fits = |width: Length| width.floor_to(self.half_module) == width;
        fits(width + self.rules.joints.gap) || (is_last && fits(width))
    }
}

/// The grid of joints; never zero, whatever the rules say.
pub(crate) fn grid(rules: &PlantRules) -> Length {
    rules.grid.max(Length::nanometres(1))
}

fn half_module(rules: &PlantRules) -> Length {
    let narrowest = rules.lines.iter().map(|line| line.width).min();
    narrowest
        .unwrap_or_default()
        .half()
        .max(Length::nanometres(1))
}

impl End {
    fn new(end: &RunEnd, rules: &PlantRules) -> Self {
        let is_special = matches!(end.end, super::WallEnd::Mitre { .. });
        Self {
            at: end.at,
            leg: leg_at_opening::least_leg(end, rules),
            least: joint_from_corner::least_width(end, rules),
            strip: joint_from_corner::least_strip(end, rules),
            pier: pier_at_opening::least_width(end, rules),
            extra: (-end.inner_shorter).max(Length::ZERO) + end.make_up,
            cents: if is_special { rules.cost.special } else { 0 },
        }
    }
}
