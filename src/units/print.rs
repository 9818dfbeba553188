//! How lengths are written on paper.
//!
//! Rounding rule: fractions of a sixteenth of one half or more round up (US Navy NAVEDTRA 14044, volume 2, chapter 2), and
//! the carry goes through: 11.97 in prints `1'-0"`, never `0'-12"`. Whatever was rounded says so with a leading `~`, except
//! through [`FeetInches`] and [`Inches`] with `about` off, where the sheet as a whole states its rounding.

use super::Length;
use std::fmt;

/// Feet, inches and fraction to 1/16: `12'-6 1/2"`, `12'-0"`; below one foot inches only: `11 1/2"`.
#[derive(Clone, Copy, Debug)]
pub struct FeetInches(pub Length);

/// Inches and fraction to 1/16 without a mark: `95 7/8`.
#[derive(Clone, Copy, Debug)]
pub struct Inches(pub Length);

/// Millimetres to a tenth: `165.1`, whole ones without a point.
#[derive(Clone, Copy, Debug)]
pub struct Millimetres(pub Length);

impl Length {
    /// As feet, inches and sixteenths: see [`FeetInches`].
    #[must_use]
    pub const fn feet_inches(self) -> FeetInches {
        FeetInches(self)
    }
}

/// Whole inches and the reduced fraction, `denominator` parts to the inch, rounded half up (away from zero).
fn parts(length: Length, denominator: i64) -> (bool, i64, i64, i64, bool) {
    let nm = length.to_nanometres();
    let per_inch = Length::inches(1).to_nanometres();
    let scaled = i128::from(nm.abs()) * i128::from(denominator);
    let rounded = (scaled * 2 + i128::from(per_inch)) / (i128::from(per_inch) * 2);
    let exact = rounded * i128::from(per_inch) == scaled;
    let count = i64::try_from(rounded).unwrap_or(i64::MAX);
    let (whole, mut num) = (count / denominator, count % denominator);
    let mut den = denominator;
    while num > 0 && num % 2 == 0 && den > 1 {
        num /= 2;
        den /= 2;
    }
    (nm < 0 && count > 0, whole, num, den, exact)
}

fn write_inches(f: &mut fmt::Formatter<'_>, whole: i64, num: i64, den: i64) -> fmt::Result {
    match (whole, num) {
        (_, 0) => write!(f, "{whole}"),
        (0, _) => write!(f, "{num}/{den}"),
        _ => write!(f, "{whole} {num}/{den}"),
    }
}

/// Inches to 1/64 with the inch mark; what lies between tape marks has a leading `~`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (negative, whole, num, den, exact) = parts(*self, 64);
        f.write_str(if exact { "" } else { "~" })?;
        f.write_str(if negative { "-" } else { "" })?;
        write_inches(f, whole, num, den)?;
        f.write_str("\"")
    }
}

impl fmt::Display for FeetInches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (negative, whole, num, den, _) = parts(self.0, 16);
        f.write_str(if negative { "-" } else { "" })?;
        if whole >= 12 {
            write!(f, "{}'-", whole / 12)?;
            write_inches_after_feet(f, whole % 12, num, den)?;
        } else {
            write_inches(f, whole, num, den)?;
        }
        f.write_str("\"")
    }
}

/// After a foot mark the inches are always written, even `0`, and a lone fraction as `0 1/2`.
fn write_inches_after_feet(
    f: &mut fmt::Formatter<'_>,
    whole: i64,
    num: i64,
    den: i64,
) -> fmt::Result {
    if num == 0 {
        write!(f, "{whole}")
    } else {
        write!(f, "{whole} {num}/{den}")
    }
}

impl fmt::Display for Inches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (negative, whole, num, den, _) = parts(self.0, 16);
        f.write_str(if negative { "-" } else { "" })?;
        write_inches(f, whole, num, den)
    }
}

impl fmt::Display for Millimetres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = (self.0.to_nanometres().abs() + 50_000) / 100_000;
        let sign = if self.0 < Length::ZERO && tenths > 0 {
            "-"
        } else {
            ""
        };
        if tenths % 10 == 0 {
            write!(f, "{sign}{}", tenths / 10)
        } else {
            write!(f, "{sign}{}.{}", tenths / 10, tenths % 10)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_and_inches_carry_and_reduce() {
        // Forms and rounding: US Navy NAVEDTRA 14044 (Builder 3 & 2, volume 2), chapter 2; feet-inch style: common practice.
        let cases = [
            (
                Length::inches(150) + Length::fraction(0, 1, 2),
                "12'-6 1/2\"",
            ),
            (Length::feet(12), "12'-0\""),
            (Length::fraction(11, 1, 2), "11 1/2\""),
            (Length::fraction(0, 3, 4), "3/4\""),
            (Length::fraction(12, 1, 4), "1'-0 1/4\""),
            (Length::fraction(11, 31, 32), "1'-0\""),
            (Length::fraction(11, 61, 64), "11 15/16\""),
            (Length::ZERO, "0\""),
            (-Length::fraction(3, 1, 2), "-3 1/2\""),
        ];
        for (length, expected) in cases {
            assert_eq!(length.feet_inches().to_string(), expected);
        }
    }

    #[test]
    fn the_navy_rafter_of_seven_in_twelve_over_eight_feet_prints_as_published() {
        // NAVEDTRA 14044: 13.89 in per foot of run, run 8 ft: 111.12 in, printed 9'-3 1/8".
        let rafter = Length::nearest(111.12, Length::nanometres(1)).unwrap();
        assert_eq!(rafter.feet_inches().to_string(), "9'-3 1/8\"");
    }

    #[test]
    fn what_lies_between_tape_marks_says_so() {
        assert_eq!(Length::millimetres(2400).to_string(), "~94 31/64\"");
        assert_eq!(Length::fraction(91, 1, 2).to_string(), "91 1/2\"");
        assert_eq!(Millimetres(Length::fraction(6, 1, 2)).to_string(), "165.1");
    }
}
