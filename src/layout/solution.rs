//! What a search answers: the panels of a run, or what stops them.

use super::cost::Cost;
use crate::units::Length;

/// The cheapest run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Solution {
    pub(crate) cost: Cost,
    /// Panels from left to right, wall axes.
    pub(crate) panels: Vec<Piece>,
}

impl Solution {
    /// Where the right panel of each joint starts, wall axes.
    pub(crate) fn joints(&self) -> impl Iterator<Item = Length> + '_ {
        let starts = self.panels.iter();
        starts
            .filter(|piece| piece.left == Side::Joint)
            .map(|piece| piece.from)
    }
}

/// A full-height panel of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    pub(crate) from: Length,
    pub(crate) to: Length,
    pub(crate) left: Side,
    pub(crate) right: Side,
}

/// What bounds a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    /// The end of the run.
    End,
    /// A joint.
    Joint,
    /// The jamb of an opening that is framed.
    Jamb(usize),
}

/// Why there is no run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Blocked {
    /// Stretches that no panel passes, from the left: panels reach the first place, and none from there or before can end anywhere
    /// up to the second. The first few.
    Gaps(Vec<[Length; 2]>),
    /// The wall is higher than any line can make.
    Height,
    /// The wall has too many places for joints.
    Size,
}
