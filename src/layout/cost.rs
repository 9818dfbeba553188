//! What a layout costs: one number to compare by, made of several in order of weight.

use crate::units::Length;
use std::ops::{Add, AddAssign};

/// Compared field by field, from the first: a later field only decides between equals.
///
/// ```text
///   framed by need │ cents │ off-module panels │ uneven legs
///   ───────────────┴───────┴───────────────────┴────────────►  less and less weight
/// ```
///
/// Only `cents` is money, and only `cents` is reported. The first field is a rule, not a price: an opening that may be cut
/// whole is framed between panels only where no other layout exists. The last two choose among layouts of equal price the one
/// that a drafter would draw: whole modules, and panels symmetric about their openings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Cost {
    /// Openings that a panel could hold by its own size and that are framed all the same.
    pub(crate) framed_by_need: i32,
    /// Whole cents.
    pub(crate) cents: i64,
    /// Panels whose module is not a whole number of half blanks of the smallest line.
    pub(crate) off_module: i32,
    /// Sum over panels with openings of the difference between the two outer legs.
    pub(crate) uneven: Length,
}

impl Cost {
    /// More than any layout costs: there is none.
    pub(crate) const NEVER: Self = Self {
        framed_by_need: i32::MAX / 4,
        cents: 0,
        off_module: 0,
        uneven: Length::ZERO,
    };

    /// Money only.
    pub(crate) fn cents(cents: i64) -> Self {
        Self {
            cents,
            ..Self::default()
        }
    }

    /// False for [`Self::NEVER`] and for whatever was added to it.
    pub(crate) fn is_possible(&self) -> bool {
        self.framed_by_need < Self::NEVER.framed_by_need / 2
    }

    /// The same with its last field moved, for searching by a part of it.
    pub(crate) fn with_uneven(self, by: Length) -> Self {
        Self {
            uneven: self.uneven + by,
            ..self
        }
    }
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            framed_by_need: self.framed_by_need.saturating_add(other.framed_by_need),
            cents: self.cents.saturating_add(other.cents),
            off_module: self.off_module.saturating_add(other.off_module),
            uneven: self.uneven + other.uneven,
        }
    }
}

impl AddAssign for Cost {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cent_outweighs_every_preference_and_a_rule_outweighs_every_cent() {
        let cheap = Cost {
            off_module: 90,
            uneven: Length::feet(500),
            ..Cost::cents(100)
        };
        assert!(cheap < Cost::cents(101));
        let framed = Cost {
            framed_by_need: 1,
            ..Cost::cents(0)
        };
        assert!(Cost::cents(i64::MAX) < framed && framed < Cost::NEVER);
    }

    #[test]
    fn what_is_added_to_never_stays_impossible() {
        assert!(!(Cost::NEVER + Cost::cents(5) + Cost::NEVER).is_possible());
    }
}
