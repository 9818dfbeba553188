//! Reading lengths as people type them.

use super::Length;

/// Why a text is not a length.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "'{text}' is not a length: {reason}; write for example 12'-6 1/2\", 150.5\", 6 1/2 or 3820 mm"
)]
pub struct ParseLengthError {
    /// The text as it was given.
    pub text: String,
    /// What is wrong with it.
    pub reason: &'static str,
}

/// Reads a length: feet, inches and fraction in all usual spellings, or metric with its unit.
///
/// - Feet-inches: `12'6.5"`, `12' - 6 1/2"`, `12'-6½″`, `12-6 1/2` (a bare hyphen parts feet from inches), `12 ft 6 in`.
/// - Inches: `150 1/2"`, `150.5`, `7/16`; a number without a mark is inches.
/// - Metric: `3820 mm`, `38.2cm`, `2.4 m`.
/// - A leading `-` is a negative length.
/// - The result is exact; a decimal finer than a nanometre is refused.
///
/// # Errors
/// [`ParseLengthError`] with the text and the reason.
pub fn parse_length(text: &str) -> Result<Length, ParseLengthError> {
    let fail = |reason| ParseLengthError {
        text: text.trim().to_owned(),
        reason,
    };
    let plain = plain_marks(text);
    let (negative, body) = match plain.strip_prefix('-') {
        Some(rest) => (true, rest.trim()),
        None => (false, plain.as_str()),
    };
    if body.is_empty() {
        return Err(fail("it is empty"));
    }
    let value = match metric(body) {
        Some((number, nm_per_unit)) => quantity(number, nm_per_unit).map_err(fail)?,
        None => feet_inches(body).map_err(fail)?,
    };
    Ok(if negative { -value } else { value })
}

/// Brings every mark people and keyboards produce to one spelling: `'` for feet, `"` for inches, ` n/d` for fractions.
fn plain_marks(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.trim().chars() {
        match c {
            _ if typed(c) != c => out.push(typed(c)),
            _ => match vulgar_fraction(c) {
                Some(fraction) => {
                    out.push(' ');
                    out.push_str(fraction);
                }
                None => out.extend(c.to_lowercase()),
            },
        }
    }
    let mut joined = out.replace("''", "\"");
    // Most lengths are written by marks: each word has one of these letters.
    if joined.contains(['f', 'i']) {
        for (word, mark) in WORDS {
            joined = joined.replace(word, mark);
        }
    }
    joined.trim().to_owned()
}

/// Words for feet and inches, longer ones first.
const WORDS: [(&str, &str); 8] = [
    ("feet", "'"),
    ("foot", "'"),
    ("ft.", "'"),
    ("ft", "'"),
    ("inches", "\""),
    ("inch", "\""),
    ("in.", "\""),
    ("in", "\""),
];

/// The mark of a keyboard that a printed one stands for; others as they are.
const fn typed(mark: char) -> char {
    match mark {
        '′' | '’' | '‘' | '´' | '`' => '\'',
        '″' | '”' | '“' | '„' => '"',
        '–' | '—' | '−' | '‐' | '‑' => '-',
        '\u{a0}' | '\u{2009}' | '\u{202f}' | '\t' => ' ',
        '⁄' => '/',
        _ => mark,
    }
}

/// A text with the marks of a keyboard for feet, inches, dashes and blanks.
#[must_use]
pub fn typed_marks(text: &str) -> String {
    text.chars().map(typed).collect()
}

fn vulgar_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

fn metric(body: &str) -> Option<(&str, i64)> {
    for (unit, nm) in [("mm", 1_000_000), ("cm", 10_000_000), ("m", 1_000_000_000)] {
        if let Some(number) = body.strip_suffix(unit) {
            return Some((number.trim(), nm));
        }
    }
    None
}

fn feet_inches(body: &str) -> Result<Length, &'static str> {
    let inch = Length::inches(1).to_nanometres();
    let (feet, rest) = if let Some((feet, rest)) = body.split_once('\'') {
        (Some(feet.trim()), rest)
    } else if let Some((feet, rest)) = body.split_once('-') {
        (Some(feet.trim()), rest)
    } else {
        (None, body)
    };
    let rest = rest.trim().trim_start_matches('-').trim();
    let rest = rest.strip_suffix('"').unwrap_or(rest).trim();
    let mut total = Length::ZERO;
    if let Some(feet) = feet {
        total += quantity(feet, 12 * inch)?;
        if rest.is_empty() {
            return Ok(total);
        }
    }
    if rest.contains('-') && feet.is_none() {
        return Err("it has more than one hyphen");
    }
    // Inches and fraction may be joined by a blank or, as in 6-1/2, by a hyphen.
    let pieces: Vec<&str> = rest
        .split([' ', '-'])
        .filter(|piece| !piece.is_empty())
        .collect();
    let inches = match pieces.as_slice() {
        [one] => quantity(one, inch)?,
        [whole, part] if part.contains('/') && !whole.contains('/') => {
            quantity(whole, inch)? + quantity(part, inch)?
        }
        _ => return Err("its inches cannot be read"),
    };
    if feet.is_some() && feet.is_some_and(|feet| !body.contains('\'') && feet.contains('/')) {
        return Err("its feet cannot be read");
    }
    // 6-1/2 with no foot mark is six and a half inches, the way panels are named; 12-6 is twelve feet six.
    if !body.contains('\'')
        && let (Some(feet), [part]) = (feet, pieces.as_slice())
        && part.contains('/')
    {
        return Ok(quantity(feet, inch)? + quantity(part, inch)?);
    }
    Ok(total + inches)
}

/// `3`, `3.25` or `3/4` of a unit, exactly.
fn quantity(number: &str, nm_per_unit: i64) -> Result<Length, &'static str> {
    const TOO_LONG: &str = "it is too long for a building";
    let unit = i128::from(nm_per_unit);
    let (top, bottom) = if let Some((num, den)) = number.split_once('/') {
        (digits(num)?, digits(den)?)
    } else if let Some((whole, decimals)) = number.split_once('.') {
        if decimals.len() > 12 {
            return Err("it has more than twelve decimals");
        }
        let scale = 10_i128.pow(u32::try_from(decimals.len()).map_err(|_| TOO_LONG)?);
        let whole = if whole.is_empty() { 0 } else { digits(whole)? };
        let tail = if decimals.is_empty() {
            0
        } else {
            digits(decimals)?
        };
        (whole * scale + tail, scale)
    } else {
        (digits(number)?, 1)
    };
    if bottom == 0 {
        return Err("its fraction divides by zero");
    }
    let product = top.checked_mul(unit).ok_or(TOO_LONG)?;
    if product % bottom != 0 {
        return Err("it is finer than a nanometre");
    }
    let nm = i64::try_from(product / bottom).map_err(|_| TOO_LONG)?;
    if nm > Length::inches(6_336_000).to_nanometres() {
        return Err(TOO_LONG);
    }
    Ok(Length::nanometres(nm))
}

fn digits(text: &str) -> Result<i128, &'static str> {
    if text.is_empty() || text.len() > 12 || !text.bytes().all(|b| b.is_ascii_digit()) {
        return Err("a number is missing or misspelt");
    }
    text.parse().map_err(|_| "a number is missing or misspelt")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_usual_spelling_is_read() {
        let twelve_six_half = Length::fraction(150, 1, 2);
        for text in [
            "12'6.5\"",
            "12' - 6 1/2\"",
            "12-6 1/2",
            "150 1/2\"",
            "12'-6½\"",
            "12′-6 1/2″",
            "12’ 6½”",
            "12'-6 1/2''",
            "12 ft 6 1/2 in",
            "150.5",
            "12'-6-1/2\"",
            "3822.7 mm",
            "382.27cm",
            "3.8227 m",
            " 12'-6 1/2\" ",
        ] {
            assert_eq!(parse_length(text), Ok(twelve_six_half), "{text}");
        }
        assert_eq!(parse_length("6-1/2"), Ok(Length::fraction(6, 1, 2)));
        assert_eq!(parse_length("7/16"), Ok(Length::fraction(0, 7, 16)));
        assert_eq!(parse_length("8'"), Ok(Length::feet(8)));
        assert_eq!(parse_length("12-6"), Ok(Length::inches(150)));
        assert_eq!(parse_length("-1/2"), Ok(-Length::fraction(0, 1, 2)));
        assert_eq!(parse_length("19.2"), Ok(Length::fraction(0, 96, 5)));
    }

    #[test]
    fn what_is_not_a_length_is_refused_with_a_reason() {
        for text in [
            "",
            "abc",
            "12'x",
            "1/0",
            "1/3",
            "12''6\"",
            "1 2 3",
            "9999999999999",
            "1.2.3",
            "6 1/2 1/2",
            "--3",
        ] {
            let error = parse_length(text).unwrap_err();
            assert!(
                !error.reason.is_empty() && error.to_string().contains("not a length"),
                "{text}"
            );
        }
    }
}
