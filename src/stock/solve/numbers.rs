//! Conversions that the searches need, each with why it is safe.

/// A whole number as floating point: guides of a search compare with it, no proof does.
#[expect(
    clippy::cast_precision_loss,
    reason = "a guide needs no more than fifteen figures"
)]
pub(super) fn real(n: i64) -> f64 {
    n as f64
}

/// The same of a wide number.
#[expect(
    clippy::cast_precision_loss,
    reason = "a guide needs no more than fifteen figures"
)]
pub(super) fn real_wide(n: i128) -> f64 {
    n as f64
}

/// Rounded down; what is no number is nothing.
#[expect(
    clippy::cast_possible_truncation,
    reason = "values are far below 2^63, and a smaller value is still a value"
)]
pub(super) fn whole(value: f64) -> i64 {
    value.floor() as i64
}

/// An index or count in 32 bits; what is beyond is refused where the problem is read.
pub(super) fn short(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// The greatest common divisor; of nothing, 0.
pub(super) fn common_divisor(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Numbers that look drawn by chance and are the same in every run.
#[derive(Debug, Clone)]
pub(super) struct Chance(u64);

impl Chance {
    /// A sequence of its own for each seed.
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_add(0x9E37_79B9_7F4A_7C15))
    }

    /// The next 64 bits (splitmix64, public domain).
    pub(super) fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from 0 up to `n`, `n` left out; 0 for an empty range.
    pub(super) fn below(&mut self, n: usize) -> usize {
        let n = u64::try_from(n).unwrap_or(u64::MAX);
        usize::try_from(self.bits().checked_rem(n).unwrap_or(0)).unwrap_or(0)
    }

    /// From 0 up to 1.
    pub(super) fn share(&mut self) -> f64 {
        let top = i64::try_from(self.bits() >> 12).unwrap_or(0);
        real(top) / real(1 << 52)
    }
}
