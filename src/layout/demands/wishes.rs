//! The drafter's own joints and zones are kept exactly, or refused with the rule they break.
//!
//! # What it demands
//! A joint that the drafter fixes is a joint of the layout, its right panel starting there; no joint lies in a zone that the
//! drafter keeps clear. A fixed joint off the grid, off the wall, or where another rule forbids it is refused, and named.
//!
//! # Why
//! The drafter knows what the drawing does not show. A wish that was bent in silence would be worse than none.
//!
//! # Picture
//! ```text
//!   ───┬─────────▼─────────┬──── a fixed joint: panels on both sides are searched as before
//!   ───┬─────░░░░░░░───────┬──── a zone kept clear
//! ```
//!
//! # Keys
//! [`crate::layout::WallWishes`], from `[[layout]]` of the job
//!
//! # Source
//! The drafter.

use super::Forbidden;
use super::joint_from_corner::least_width;
use crate::building::PanelWall;
use crate::layout::WallWishes;
use crate::layout::corners::Ends;
use crate::layout::run::grid;
use crate::rules::PlantRules;
use crate::units::Length;

/// The zones that the drafter keeps clear.
pub(crate) fn forbidden(wishes: &WallWishes) -> impl Iterator<Item = Forbidden> + '_ {
    wishes.keep_clear.iter().map(|zone| Forbidden {
        from: zone[0].min(zone[1]),
        to: zone[0].max(zone[1]),
        rule: "wishes.keep_clear",
        words: "the drafter keeps this stretch clear of joints".to_owned(),
    })
}

/// The inside of each locked panel that can be one.
pub(crate) fn locked(panels: &[[Length; 2]]) -> impl Iterator<Item = Forbidden> + '_ {
    panels.iter().map(|[from, to]| Forbidden {
        from: *from,
        to: *to,
        rule: "wishes.locked",
        words: format!("the drafter locked the panel from {from} to {to}"),
    })
}

/// Where the drafter's joints and locked panels are to stand. Wall axes.
pub(crate) struct Place<'a> {
    pub(crate) wall: &'a PanelWall,
    pub(crate) ends: &'a Ends,
    pub(crate) rules: &'a PlantRules,
    pub(crate) forbidden: &'a [Forbidden],
    pub(crate) widest: Length,
}

impl Place<'_> {
    /// Why a wished joint cannot be one, given those fixed before it; `None` when it can.
    pub(crate) fn refused_joint(&self, joint: Length, fixed: &[Length]) -> Option<String> {
        self.refused_alone(joint)
            .or_else(|| self.narrow_at_left(joint, fixed))
            .or_else(|| self.narrow_at_right(joint, fixed))
    }

    /// The joints at the sides of a locked panel; none at the ends of the run.
    pub(crate) fn joints_of(&self, [from, to]: [Length; 2]) -> Vec<Length> {
        let at = |edge: Length, end: Length, joint: Length| (edge != end).then_some(joint);
        let sides = [
            at(from, self.ends.left.at, from),
            at(to, self.ends.right.at, to + self.rules.joints.gap),
        ];
        sides.into_iter().flatten().collect()
    }

    /// Why a locked panel cannot be one, given joints and panels fixed before it; `None` when it can.
    pub(crate) fn refused_lock(
        &self,
        [from, to]: [Length; 2],
        fixed: &[Length],
        locked: &[[Length; 2]],
    ) -> Option<String> {
        let (rules, widest) = (self.rules, self.widest);
        if from < self.ends.left.at || to > self.ends.right.at {
            return Some("it reaches beyond the run".to_owned());
        }
        let width = to - from;
        if width < rules.joints.least_panel {
            return Some(format!("it is only {width} wide (joints.least_panel)"));
        }
        if width > widest {
            return Some(format!(
                "no line makes a panel wider than {widest} of this height (lines)"
            ));
        }
        let gap = rules.joints.gap;
        let mut over = locked
            .iter()
            .filter(|it| from < it[1] + gap && it[0] < to + gap);
        if let Some([a, b]) = over.next() {
            return Some(format!(
                "it overlaps the panel locked from {a} to {b}, or leaves no gap beside it (joints.gap)"
            ));
        }
        let mut fixed_inside = fixed
            .iter()
            .filter(|joint| from < **joint && **joint < to + rules.joints.gap);
        if let Some(joint) = fixed_inside.next() {
            return Some(format!(
                "the joint fixed at {joint} lies in it ([[layout]] of the job)"
            ));
        }
        let joints = self.joints_of([from, to]);
        let alone = joints.iter().find_map(|joint| self.refused_alone(*joint));
        alone
            .or_else(|| (from != self.ends.left.at).then(|| self.narrow_at_left(from, fixed))?)
            .or_else(|| {
                (to != self.ends.right.at).then(|| self.narrow_at_right(to + gap, fixed))?
            })
    }

    /// Why a joint cannot be one wherever the others lie.
    fn refused_alone(&self, joint: Length) -> Option<String> {
        let (rules, ends) = (self.rules, self.ends);
        let left = joint - rules.joints.gap;
        if left <= ends.left.at || joint >= ends.right.at {
            return Some("it lies beyond the run".to_owned());
        }
        let off = joint - ends.left.at;
        if off.floor_to(grid(rules)) != off {
            return Some(format!(
                "it is off the grid of {} from the run's left end (grid)",
                rules.grid
            ));
        }
        let breaks = self.forbidden.iter().find(|zone| zone.bars(left, joint))?;
        Some(format!("{} ({})", breaks.words, breaks.rule))
    }

    fn narrow_at_left(&self, joint: Length, fixed: &[Length]) -> Option<String> {
        let before = fixed.iter().filter(|other| **other < joint).max();
        let (from, least) = match before {
            Some(other) => (*other, self.rules.joints.least_panel),
            None => (self.ends.left.at, least_width(&self.ends.left, self.rules)),
        };
        self.narrow([from, joint - self.rules.joints.gap], least)
    }

    fn narrow_at_right(&self, joint: Length, fixed: &[Length]) -> Option<String> {
        let after = fixed.iter().filter(|other| **other > joint).min();
        let (to, least) = match after {
            Some(other) => (
                *other - self.rules.joints.gap,
                self.rules.joints.least_panel,
            ),
            None => (
                self.ends.right.at,
                least_width(&self.ends.right, self.rules),
            ),
        };
        self.narrow([joint, to], least)
    }

    /// A strip between two joints, or a joint and an end, with no opening in it is one panel.
    fn narrow(&self, [from, to]: [Length; 2], least: Length) -> Option<String> {
        let mut openings = self.wall.openings.iter();
        let is_parted = openings.any(|opening| opening.from < to && opening.to > from);
        (!is_parted && to - from < least).then(|| {
            format!(
                "a strip of {} is left beside it, and a panel there is no narrower than {least} (joints.least_panel)",
                to - from
            )
        })
    }
}
