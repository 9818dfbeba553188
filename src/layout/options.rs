//! What a layout is asked for beyond the plant's rules.

use super::IssuedPanel;
use crate::rules::{Nailer, PointLoad, WiringBox};
use crate::units::{Erection, Length};
use std::collections::BTreeMap;

/// How to lay out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutOptions {
    /// How many truly different layouts of each wall to keep besides the best. Default: none.
    pub alternatives: usize,
    /// Two layouts of a wall truly differ when some joint of the first has none of the second nearer than this. Default: 6 in,
    /// which a drafter sees at a glance on an elevation.
    pub apart: Length,
    /// How many searches the alternatives of one wall may take; the answer may be shorter than asked for, never wrong.
    /// Default: 400.
    pub effort: usize,
    /// What the drafter wishes, by wall id.
    pub walls: BTreeMap<String, WallWishes>,
}

impl Default for LayoutOptions {
    fn default() -> Self {
        Self {
            alternatives: 0,
            apart: Length::inches(6),
            effort: 400,
            walls: BTreeMap::new(),
        }
    }
}

/// What the drafter wishes of one wall: kept exactly, or refused with the rule it breaks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WallWishes {
    /// Joints that must be, by where their right panel starts: along the wall's outside face from its left corner.
    pub joints: Vec<Length>,
    /// Stretches without joints, along the wall's outside face.
    pub keep_clear: Vec<[Length; 2]>,
    /// What the wall does at its left corner.
    pub left: Option<CornerWish>,
    /// What it does at its right corner.
    pub right: Option<CornerWish>,
    /// Panels that must stand from here to there, along the wall's outside face.
    pub locked: Vec<[Length; 2]>,
    /// Point loads and beam pockets: facts, not wishes. No joint lies under them.
    pub points: Vec<PointLoad>,
    /// Electrical boxes: no joint through them.
    pub boxes: Vec<WiringBox>,
    /// Boards behind the inner skin.
    pub nailers: Vec<Nailer>,
    /// Middles of upright chases: no joint through them.
    pub chases: Vec<Length>,
    /// What the job puts into the wall, with the lines that say it.
    pub said: Vec<Said>,
    /// Panels of the issue before that stood here: facts, each at a price where it is not made again.
    pub issued: Vec<IssuedPanel>,
    /// Least place of them in the order of erection: where work began, it begins again.
    pub stood_from: Option<Erection>,
    /// What the foundation or deck measures on site along the wall's outside face, corner to corner.
    pub measured: Option<Length>,
    /// Who accepts that it differs from the plan, and what is done about it on site.
    pub measured_accepted: Option<String>,
}

impl WallWishes {
    /// The same without joints, locked panels and clear stretches: what is left when they cannot be kept together.
    pub(crate) fn without_joints(&self) -> Self {
        Self {
            joints: Vec::new(),
            locked: Vec::new(),
            keep_clear: Vec::new(),
            ..self.clone()
        }
    }
}

/// Something that the job puts into a wall, and where it says so.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// As told: `the box for receptacle`; of a point load what it is.
    pub what: String,
    /// Its stretch along the wall's outside face; a middle is a stretch without length.
    pub ends: [Length; 2],
    /// Name of the job's file.
    pub file: String,
    /// Line of the entry.
    pub line: usize,
}

/// What a wall does at a square corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerWish {
    /// It runs through.
    RunsThrough,
    /// It butts.
    Butts,
}
