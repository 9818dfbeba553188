//! Sizes written beside openings: `3068`, `2'-6" x 6'-8"`, `16070 O.H. DOOR`, `914`, `900 x 2100`.
//!
//! ```text
//!   "3068"  ──► 3'-0" wide, 6'-8" high, or 3068 mm wide: the opening beside it says which
//! ```
//!
//! Four digits are feet and inches of width, then of height; five begin with two digits of feet. Source: trade notation
//! (house-plan FAQ for `4050`); suffixes are common practice, no source.

use super::OpeningKind;
use crate::drawing::{Drawing, SourceIndex};
use geo::Coord;

/// A size as written, with every reading it allows.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    pub text: String,
    /// About the middle of the text.
    pub at: Coord<f64>,
    pub readings: Vec<Reading>,
    /// True for packed digits, which mean nothing but an opening; a pair may be the size of a room.
    pub is_packed: bool,
    /// What its suffix says.
    pub kind: Option<OpeningKind>,
    pub source: SourceIndex,
}

/// One reading of a call-out, inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reading {
    pub width: f64,
    pub height: Option<f64>,
}

/// Openings are at least and at most this wide and high, inches: readings beyond are none.
const SIZE: (f64, f64) = (10.0, 246.0);

/// All call-outs of a drawing.
pub(super) fn callouts(drawing: &Drawing, origin: Coord<f64>) -> Vec<Callout> {
    let mut list: Vec<Callout> = drawing
        .texts
        .iter()
        .filter(|text| {
            drawing
                .sources
                .get(text.source.0 as usize)
                .is_some_and(|source| !source.is_hidden)
        })
        .filter_map(|text| {
            let readings = readings(&text.content);
            let letters = f64::from(u32::try_from(text.content.chars().count()).ok()?);
            let half = letters * text.height * 0.4;
            let along = Coord {
                x: text.angle.cos(),
                y: text.angle.sin(),
            };
            (!readings.is_empty()).then(|| Callout {
                text: text.content.trim().to_owned(),
                at: text.at - origin + along * half,
                readings,
                is_packed: is_packed(&text.content),
                kind: suffix_kind(&text.content),
                source: text.source,
            })
        })
        .collect();
    list.sort_by(|p, q| {
        p.at.x
            .total_cmp(&q.at.x)
            .then(p.at.y.total_cmp(&q.at.y))
            .then(p.text.cmp(&q.text))
    });
    list
}

/// Every reading of a text as an opening's size; empty when it is none.
pub(super) fn readings(text: &str) -> Vec<Reading> {
    let mut text = text.trim().to_uppercase().replace('×', "X");
    for prefix in ["PR ", "(2) ", "(2)", "2 - ", "PAIR "] {
        if let Some(rest) = text.strip_prefix(prefix) {
            text = rest.trim().to_owned();
        }
    }
    let mut list = Vec::new();
    if let Some((w, h)) = pair(&text) {
        list.push(Reading {
            width: w,
            height: Some(h),
        });
    } else {
        let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
        let rest = text[digits.len()..].trim();
        let clean = rest.is_empty() || text[digits.len()..].starts_with(' ') && is_suffix(rest);
        if clean {
            list.extend(packed(&digits));
            if rest.is_empty()
                && (3..=4).contains(&digits.len())
                && let Ok(mm) = digits.parse::<f64>()
            {
                list.push(Reading {
                    width: mm / 25.4,
                    height: None,
                });
            }
        }
    }
    let fits = |inches: f64| (SIZE.0..=SIZE.1).contains(&inches);
    list.retain(|it| fits(it.width) && it.height.is_none_or(fits));
    list
}

/// True when a text begins with four or five digits and no more.
fn is_packed(text: &str) -> bool {
    let n_digits = text.trim().chars().take_while(char::is_ascii_digit).count();
    (4..=5).contains(&n_digits)
}

/// `3068` and `16070` as feet and inches.
fn packed(digits: &str) -> Option<Reading> {
    let d: Vec<f64> = digits.bytes().map(|b| f64::from(b - b'0')).collect();
    let size = |feet: f64, inches: f64| (inches < 12.0).then_some(feet * 12.0 + inches);
    match d.as_slice() {
        [a, b, c, e] => Some(Reading {
            width: size(*a, *b)?,
            height: Some(size(*c, *e)?),
        }),
        [a, b, c, e, f] => Some(Reading {
            width: size(a * 10.0 + b, *c)?,
            height: Some(size(*e, *f)?),
        }),
        _ => None,
    }
}

/// `2'-6" x 6'-8"`, `2-6 x 6-8`, `30x68`, `900 x 2100`.
fn pair(text: &str) -> Option<(f64, f64)> {
    let (w, h) = text.split_once('X')?;
    let (w, h) = (w.trim(), h.trim());
    if h.contains('X') {
        return None;
    }
    let both = |read: fn(&str) -> Option<f64>| Some((read(w)?, read(h)?));
    both(feet_and_inches)
        .or_else(|| both(dashed_feet))
        .or_else(|| both(millimetres))
        .or_else(|| both(two_digits))
}

fn feet_and_inches(text: &str) -> Option<f64> {
    let (feet, rest) = text.split_once('\'')?;
    let rest = rest.trim_matches(|c: char| c == '"' || c == '-' || c == ' ' || c == '\'');
    let inches: f64 = if rest.is_empty() {
        0.0
    } else {
        rest.parse().ok()?
    };
    Some(feet.trim().parse::<f64>().ok()? * 12.0 + inches)
}

fn dashed_feet(text: &str) -> Option<f64> {
    let (feet, inches) = text.split_once('-')?;
    let inches: f64 = inches.trim().parse().ok()?;
    (inches < 12.0).then_some(feet.trim().parse::<f64>().ok()? * 12.0 + inches)
}

fn millimetres(text: &str) -> Option<f64> {
    let mm: f64 = text.trim_end_matches("MM").trim().parse().ok()?;
    (mm >= 250.0).then_some(mm / 25.4)
}

fn two_digits(text: &str) -> Option<f64> {
    let digits: Vec<u8> = text.bytes().collect();
    match digits.as_slice() {
        [a @ b'1'..=b'9', b @ b'0'..=b'9'] => {
            Some(f64::from(a - b'0') * 12.0 + f64::from(b - b'0'))
        }
        _ => None,
    }
}

/// Letters that may follow a size.
fn is_suffix(rest: &str) -> bool {
    suffix_kind(rest).is_some() || ["TEMP", "EGRESS", "TYP", "TEMP."].contains(&rest)
}

fn suffix_kind(text: &str) -> Option<OpeningKind> {
    let text = text.to_uppercase().replace('.', "");
    let has = |words: &[&str]| {
        text.split(|c: char| !c.is_alphanumeric())
            .any(|token| words.contains(&token))
    };
    if has(&["OH", "OHD", "GARAGE"]) {
        Some(OpeningKind::GarageDoor)
    } else if has(&[
        "SGD", "BF", "PKT", "BIFOLD", "BYPASS", "DOOR", "FRENCH", "FR", "SC", "HC", "BP",
    ]) {
        Some(OpeningKind::Door)
    } else if has(&[
        "SH", "DH", "SL", "CSMT", "FX", "FIXED", "AWN", "XO", "OX", "XOX", "HS", "SLDR", "CS", "PW",
    ]) {
        Some(OpeningKind::Window)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, width: f64, height: f64) {
        let list = readings(text);
        assert!(
            list.iter().any(|it| (it.width - width).abs() < 0.02
                && it.height.is_some_and(|h| (h - height).abs() < 0.02)),
            "{text}: {list:?}"
        );
    }

    #[test]
    fn sizes_are_read_in_the_spellings_of_the_trade() {
        // Source: house-plan FAQ for 3068, 4050 and 2668; metric values are 25.4 mm to the inch.
        check("3068", 36.0, 80.0);
        check("4050", 48.0, 60.0);
        check("2668", 30.0, 80.0);
        check("16070 O.H. DOOR", 192.0, 84.0);
        check("6068 S.G.D.", 72.0, 80.0);
        check("5050 XO", 60.0, 60.0);
        check("2'-6\" x 6'-8\"", 30.0, 80.0);
        check("2-6 x 6-8", 30.0, 80.0);
        check("30x68", 36.0, 80.0);
        check("(2) 2868", 32.0, 80.0);
        check("900 x 2100", 35.433, 82.677);
    }

    #[test]
    fn notes_are_no_sizes() {
        for text in [
            "LIVING",
            "13'8 x 14' BEDROOM",
            "101A",
            "2 CAR GARAGE",
            "SHEET 3 OF 12",
            "",
        ] {
            assert!(readings(text).is_empty(), "{text}");
        }
    }
}
