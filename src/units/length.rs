//! The exact length.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

const NM_PER_INCH: i64 = 25_400_000;

/// An exact length, held as a whole number of nanometres.
///
/// ```
/// use panelwright::units::Length;
/// let net = Length::inches(48) - Length::fraction(0, 1, 8);
/// assert_eq!(net.to_string(), "47 7/8\"");
/// assert_eq!(net * 2 + Length::fraction(0, 1, 4), Length::inches(96));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);
    /// The finest mark on a tape, 1/64 in.
    pub const TAPE_STEP: Self = Self::fraction(0, 1, 64);

    /// A whole number of inches.
    #[must_use]
    pub const fn inches(whole: i64) -> Self {
        Self(whole * NM_PER_INCH)
    }

    /// A whole number of feet.
    #[must_use]
    pub const fn feet(whole: i64) -> Self {
        Self::inches(whole * 12)
    }

    /// A whole number of inches and a fraction, as read from a tape: `fraction(3, 1, 2)` is 3 1/2 in.
    ///
    /// # Panics
    /// When the fraction is not a whole number of nanometres; in a `const` that is a compile error.
    #[must_use]
    pub const fn fraction(whole: i64, numerator: i64, denominator: i64) -> Self {
        assert!(
            denominator > 0 && (NM_PER_INCH * numerator) % denominator == 0,
            "not a whole number of nanometres"
        );
        Self(whole * NM_PER_INCH + NM_PER_INCH * numerator / denominator)
    }

    /// A whole number of millimetres.
    #[must_use]
    pub const fn millimetres(whole: i64) -> Self {
        Self(whole * 1_000_000)
    }

    /// A whole number of nanometres, as [`Self::to_nanometres`] gives it.
    #[must_use]
    pub const fn nanometres(whole: i64) -> Self {
        Self(whole)
    }

    /// The multiple of `step` nearest to a measured number of inches: the one door from floating point.
    ///
    /// - Returns `None` when `inches` is not finite, beyond a hundred miles, or `step` is not positive.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "the range is checked just before"
    )]
    pub fn nearest(inches: f64, step: Self) -> Option<Self> {
        if step.0 <= 0 || !inches.is_finite() || inches.abs() > 6_336_000.0 {
            return None;
        }
        let steps = (inches * NM_PER_INCH as f64 / step.0 as f64).round();
        Some(Self(steps as i64 * step.0))
    }

    /// Inches as floating point, for writing coordinates and for areas, never for comparing lengths.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "nanometres of any building are below 2^53"
    )]
    pub fn to_inches(self) -> f64 {
        self.0 as f64 / NM_PER_INCH as f64
    }

    /// Millimetres as floating point, for writing coordinates.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "nanometres of any building are below 2^53"
    )]
    pub fn to_millimetres(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The whole number of nanometres.
    #[must_use]
    pub const fn to_nanometres(self) -> i64 {
        self.0
    }

    /// Half of it, rounded down to the nanometre.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0.div_euclid(2))
    }

    /// The greatest multiple of `step` (above zero) that is not above this length.
    #[must_use]
    pub const fn floor_to(self, step: Self) -> Self {
        Self(self.0.div_euclid(step.0) * step.0)
    }

    /// The least multiple of `step` (above zero) that is not below this length.
    #[must_use]
    pub const fn ceil_to(self, step: Self) -> Self {
        Self(-((-self.0).div_euclid(step.0)) * step.0)
    }

    /// How many whole `step`s (above zero) fit, rounded down.
    #[must_use]
    pub const fn steps_of(self, step: Self) -> i64 {
        self.0.div_euclid(step.0)
    }

    /// The length without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

/// The area of a rectangle in square feet, for lists and weights.
#[must_use]
pub fn square_feet(width: Length, height: Length) -> f64 {
    width.to_inches() * height.to_inches() / 144.0
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0 * count)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sixty_fourth_a_millimetre_and_nineteen_point_two_inches_are_whole() {
        assert_eq!(Length::TAPE_STEP.to_nanometres(), 396_875);
        assert_eq!(Length::millimetres(1).to_nanometres(), 1_000_000);
        assert_eq!(Length::fraction(0, 96, 5).to_nanometres(), 487_680_000);
    }

    #[test]
    fn a_measured_length_snaps_to_the_nearest_step() {
        assert_eq!(
            Length::nearest(36.004, Length::TAPE_STEP),
            Some(Length::inches(36))
        );
        assert_eq!(
            Length::nearest(-0.51, Length::inches(1)),
            Some(Length::inches(-1))
        );
        assert_eq!(Length::nearest(f64::NAN, Length::TAPE_STEP), None);
        assert_eq!(Length::nearest(1e12, Length::TAPE_STEP), None);
    }

    #[test]
    fn rounding_to_a_step_keeps_the_side_also_below_zero() {
        let step = Length::fraction(0, 1, 16);
        assert_eq!(
            Length::fraction(-1, -1, 32).floor_to(step),
            Length::fraction(-1, -1, 16)
        );
        assert_eq!(
            Length::fraction(-1, -1, 32).ceil_to(step),
            Length::inches(-1)
        );
        assert_eq!(
            Length::fraction(1, 1, 32).ceil_to(step),
            Length::fraction(1, 1, 16)
        );
    }
}
