//! Lengths, sizes and counts as cells of a schedule write them.

use super::super::callouts::readings;
use crate::drawing::Drawing;
use crate::units::{parse_length, typed_marks};

/// Openings and their parts are at most this long, inches.
const MOST: f64 = 400.0;

/// A length, inches.
///
/// - `bare`: inches in a bare number; `None`, and each is in the unit that makes it a size of an opening, the drawing's system first.
pub(super) fn length(text: &str, drawing: &Drawing, bare: Option<f64>) -> Option<f64> {
    let text = typed_marks(text);
    let text = text.trim().trim_end_matches(['*', '±']).trim();
    if text.is_empty() || matches!(text, "-" | "--" | "—" | "N/A" | "n/a") {
        return None;
    }
    if let Ok(number) = text.replace(',', ".").parse::<f64>() {
        return match bare {
            Some(inches) => Some(number * inches).filter(|it| (0.0..=MOST).contains(it)),
            None => bare_length(number, drawing),
        };
    }
    if let Some((feet, inches)) = dashed(text) {
        return Some(feet * 12.0 + inches).filter(|it| *it <= MOST);
    }
    let inches = parse_length(text).ok()?.to_inches();
    (0.0..=MOST).contains(&inches).then_some(inches)
}

/// `3-0` and `2-8 1/2` without marks: feet and inches.
fn dashed(text: &str) -> Option<(f64, f64)> {
    if text.contains(['\'', '"']) {
        return None;
    }
    let (feet, rest) = text.split_once('-')?;
    let feet: f64 = feet.trim().parse().ok()?;
    let mut inches = 0.0;
    for word in rest.split_whitespace() {
        inches += match word.split_once('/') {
            Some((a, b)) => {
                a.parse::<f64>().ok()? / b.parse::<f64>().ok().filter(|it| *it > 0.0)?
            }
            None => word.parse::<f64>().ok()?,
        };
    }
    (inches < 12.0).then_some((feet, inches))
}

fn bare_length(number: f64, drawing: &Drawing) -> Option<f64> {
    if number < 0.0 {
        return None;
    }
    let inches = if drawing.scale.unit.is_metric() {
        // A sill of 0 is 0 in any unit.
        match number {
            n if n >= 400.0 => n / 25.4,
            n if n >= 30.0 => n / 2.54,
            n => n / 0.0254,
        }
    } else if number > MOST {
        number / 25.4
    } else {
        number
    };
    (inches <= MOST).then_some(inches)
}

/// Width and height in one cell.
pub(super) fn size(text: &str, drawing: &Drawing, bare: Option<f64>) -> Option<(f64, f64)> {
    let upper = text.to_uppercase().replace('×', "X");
    if let Some((w, h)) = upper.split_once('X')
        && let (Some(w), Some(h)) = (
            length(strip(w), drawing, bare),
            length(strip(h), drawing, bare),
        )
        && w >= 10.0
        && h >= 10.0
    {
        return Some((w, h));
    }
    readings(text)
        .into_iter()
        .find_map(|reading| Some((reading.width, reading.height?)))
}

/// `3'-0" W` without the letter.
fn strip(text: &str) -> &str {
    text.trim()
        .trim_end_matches(['W', 'H', '(', ')'])
        .trim_start_matches(['(', '['])
        .trim()
}

/// How many.
pub(super) fn count(text: &str) -> Option<usize> {
    let digits: String = text
        .trim()
        .trim_start_matches(['(', 'x', 'X'])
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    digits.parse().ok().filter(|count| *count < 1000)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{DrawingUnit, Scale};

    fn in_unit(unit: DrawingUnit) -> Drawing {
        Drawing {
            scale: Scale {
                unit,
                inches_per_unit: unit.inches(),
                ..Scale::default()
            },
            ..Drawing::default()
        }
    }

    #[track_caller]
    fn check(text: &str, unit: DrawingUnit, expected: Option<f64>) {
        let found = length(text, &in_unit(unit), None);
        let is_same = match (found, expected) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-6,
            (a, b) => a == b,
        };
        assert!(is_same, "{text}: {found:?}");
    }

    #[test]
    fn lengths_of_cells_are_read_in_their_spellings() {
        use DrawingUnit::{Inch, Millimetre};
        check("3'-0\"", Inch, Some(36.0));
        check("2'-8 1/2\"", Inch, Some(32.5));
        check("3-0", Inch, Some(36.0));
        check("36", Inch, Some(36.0));
        check("900", Millimetre, Some(900.0 / 25.4));
        check("90", Millimetre, Some(90.0 / 2.54));
        check("0,90", Millimetre, Some(0.9 / 0.0254));
        check("900 mm", Inch, Some(900.0 / 25.4));
        check("--", Inch, None);
        check("OAK", Inch, None);
    }

    #[test]
    fn sizes_and_counts_are_read() {
        let drawing = in_unit(DrawingUnit::Inch);
        assert_eq!(size("3'-0\" x 6'-8\"", &drawing, None), Some((36.0, 80.0)));
        assert_eq!(size("3068", &drawing, None), Some((36.0, 80.0)));
        assert_eq!(size("36 X 80", &drawing, None), Some((36.0, 80.0)));
        assert_eq!(size("OAK", &drawing, None), None);
        assert_eq!(count("2"), Some(2));
        assert_eq!(count("(3) EA"), Some(3));
        assert_eq!(count("-"), None);
    }
}
