//! What a layout costs: one number to compare by, made of several in order of weight.

use crate::units::Length;
use std::ops::{Add, AddAssign, Neg};

/// Compared field by field, from the first: a later field only decides between equals.
///
/// ```text
///   framed by need │ cents │ issued panels not kept │ off-module panels │ uneven legs
///   ───────────────┴───────┴────────────────────────┴───────────────────┴────────────►  less and less weight
/// ```
///
/// Only `cents` is money, and only `cents` is reported. The first field is a rule, not a price: an opening that may be cut
/// whole is framed between panels only where no other layout exists. The last three choose among layouts of equal price the one
/// that a drafter would draw: whole modules, and panels symmetric about their openings; before that, one that was issued already.
///
/// The first four are one number, so that a comparison is one: the search makes millions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Cost {
    /// Openings framed by need, then cents, then issued panels not kept, then off-module panels: each field in bits of its own, none reaches the next.
    rank: i128,
    /// Sum over panels with openings of the difference between the two outer legs.
    pub(crate) uneven: Length,
}

/// Where the fields of a rank begin; cents have 64 bits.
const ISSUED: u32 = 24;
const CENTS: u32 = ISSUED + 24;
const FRAMED: u32 = CENTS + 64;

impl Cost {
    /// More than any layout costs: there is none.
    pub(crate) const NEVER: Self = Self {
        rank: 1 << 124,
        uneven: Length::ZERO,
    };

    /// Money only.
    pub(crate) fn cents(cents: i64) -> Self {
        Self {
            rank: i128::from(cents) << CENTS,
            uneven: Length::ZERO,
        }
    }

    /// The same with so many more openings framed that a panel could hold by its own size.
    pub(crate) fn with_framed(self, openings: i32) -> Self {
        Self {
            rank: self.rank + (i128::from(openings) << FRAMED),
            ..self
        }
    }

    /// The same with so many more panels whose module is not a whole number of half blanks of the smallest line.
    pub(crate) fn with_off_module(self, panels: i32) -> Self {
        Self {
            rank: self.rank + i128::from(panels),
            ..self
        }
    }

    /// An issued panel that is not made again as it was.
    pub(crate) fn of_issued(cents: i64) -> Self {
        Self {
            rank: (i128::from(cents) << CENTS) + (1 << ISSUED),
            uneven: Length::ZERO,
        }
    }

    /// Issued panels that are not made again as they were.
    pub(crate) fn issued_not_kept(self) -> i64 {
        let panels = (self.rank & ((1 << CENTS) - 1)) >> ISSUED;
        i64::try_from(panels).unwrap_or(i64::MAX)
    }

    /// Openings that a panel could hold by its own size and that are framed all the same.
    pub(crate) fn framed_by_need(self) -> i64 {
        i64::try_from(self.rank >> FRAMED).unwrap_or(i64::MAX)
    }

    /// Whole cents.
    pub(crate) fn whole_cents(self) -> i64 {
        let cents = (self.rank & ((1 << FRAMED) - 1)) >> CENTS;
        i64::try_from(cents).unwrap_or(i64::MAX)
    }

    /// Cents of a difference between two costs; `None` where more openings are framed by need than in the lesser.
    pub(crate) fn cents_more(self) -> Option<i64> {
        i64::try_from((self.rank + (1 << (CENTS - 1))) >> CENTS).ok()
    }

    /// False for [`Self::NEVER`] and for whatever was added to it.
    pub(crate) fn is_possible(self) -> bool {
        self.rank < Self::NEVER.rank / 2
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
            rank: self.rank.saturating_add(other.rank),
            uneven: self.uneven + other.uneven,
        }
    }
}

impl Neg for Cost {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            rank: -self.rank,
            uneven: -self.uneven,
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
        let cheap = Cost::cents(100)
            .with_off_module(90)
            .with_uneven(Length::feet(500));
        assert!(cheap < Cost::cents(101));
        let framed = Cost::cents(0).with_framed(1);
        assert!(Cost::cents(i64::MAX) < framed && framed < Cost::NEVER);
    }

    #[test]
    fn every_field_reads_back() {
        let cost = Cost::cents(123_456).with_framed(3).with_off_module(17) + Cost::cents(4);
        assert_eq!((cost.framed_by_need(), cost.whole_cents()), (3, 123_460));
        let two = Cost::of_issued(500) + Cost::of_issued(700);
        let kept = cost + two + -Cost::of_issued(700);
        assert_eq!((kept.whole_cents(), kept.issued_not_kept()), (123_960, 1));
        assert_eq!(kept + -Cost::of_issued(500), cost);
    }

    #[test]
    fn what_is_added_to_never_stays_impossible() {
        assert!(!(Cost::NEVER + Cost::cents(5) + Cost::NEVER).is_possible());
    }
}
