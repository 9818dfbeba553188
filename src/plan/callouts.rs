//! Sizes written beside openings: `3068`, `2'-6" x 6'-8"`, `16070 O.H. DOOR`, `914`, `900 x 2100`.
//!
//! ```text
//!   "3068"  ──► 3'-0" wide, 6'-8" high, or 3068 mm wide: the opening beside it says which
//! ```
//!
//! Four digits are feet and inches of width, then of height; five begin with two digits of feet, or of inches: `21068` is 21'-0" or
//! 2'-10" wide, and the opening beside it says which. `PR 2668` is a pair: one leaf or both may fill the opening. `90/210` and
//! `0,90 x 2,10` are centimetres and metres. Source: trade notation (house-plan FAQ for `4050`); suffixes and metric forms are
//! common practice, no source.

use super::OpeningKind;
use crate::drawing::{Drawing, SourceIndex};
use crate::units::typed_marks;
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
    let mut text = typed_marks(text.trim()).to_uppercase().replace('×', "X");
    let mut is_pair = false;
    for prefix in ["PR. ", "PR ", "(2) ", "(2)", "2 - ", "PAIR "] {
        if let Some(rest) = text.strip_prefix(prefix) {
            text = rest.trim().to_owned();
            is_pair = true;
        }
    }
    if let Some(rest) = text
        .strip_suffix(" PR")
        .or_else(|| text.strip_suffix(" PAIR"))
    {
        text = rest.trim().to_owned();
        is_pair = true;
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
    if is_pair {
        let both: Vec<Reading> = list
            .iter()
            .map(|one| Reading {
                width: 2.0 * one.width,
                ..*one
            })
            .collect();
        list.extend(both);
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

/// `3068`, `16070` and `21068` as feet and inches: every way to part the digits.
fn packed(digits: &str) -> Vec<Reading> {
    let d: Vec<f64> = digits.bytes().map(|b| f64::from(b - b'0')).collect();
    let size = |feet: f64, inches: f64| (inches < 12.0).then_some(feet * 12.0 + inches);
    let reading = |width: Option<f64>, height: Option<f64>| {
        Some(Reading {
            width: width?,
            height: Some(height?),
        })
    };
    match d.as_slice() {
        [a, b, c, e] => reading(size(*a, *b), size(*c, *e)).into_iter().collect(),
        [a, b, c, e, f] => {
            // 16'-0" by 7'-0", 2'-10" by 6'-8", 3'-0" by 6'-10".
            let two_digits =
                |tens: f64, ones: f64| Some(tens * 10.0 + ones).filter(|it| *it >= 10.0);
            [
                reading(size(a * 10.0 + b, *c), size(*e, *f)),
                two_digits(*b, *c).and_then(|inches| reading(size(*a, inches), size(*e, *f))),
                two_digits(*e, *f).and_then(|inches| reading(size(*a, *b), size(*c, inches))),
            ]
            .into_iter()
            .flatten()
            .collect()
        }
        _ => Vec::new(),
    }
}

/// `2'-6" x 6'-8"`, `2-6 x 6-8`, `2-6 x 6-8 x 1 3/8`, `30x68`, `900 x 2100`, `90/210`, `0,90 x 2,10`.
fn pair(text: &str) -> Option<(f64, f64)> {
    let slashed = || {
        text.split_once('/')
            .filter(|_| !text.contains(['\'', '"', 'X']))
    };
    let is_slashed = !text.contains('X');
    let (w, h) = text.split_once('X').or_else(slashed)?;
    // A third number is the thickness of the leaf.
    let (h, thick) = match h.split_once('X') {
        Some((h, thick)) => (h, Some(thick)),
        None => (h, None),
    };
    if thick.is_some_and(|it| !is_thickness(it)) {
        return None;
    }
    let letters = |text: &str, letter: char| -> String {
        text.trim().trim_end_matches(letter).trim().to_owned()
    };
    let (w, h) = (letters(w, 'W'), letters(h, 'H'));
    let both = |read: fn(&str) -> Option<f64>| Some((read(&w)?, read(&h)?));
    if is_slashed {
        return both(centimetres)
            .or_else(|| both(metres))
            .or_else(|| both(millimetres));
    }
    both(feet_and_inches)
        .or_else(|| both(dashed_feet))
        .or_else(|| both(millimetres))
        .or_else(|| both(two_digits))
        .or_else(|| both(centimetres))
        .or_else(|| both(metres))
}

/// `1 3/8`, `1-3/4"`, `40`: the thickness of a leaf.
fn is_thickness(text: &str) -> bool {
    let plain = text.replace('-', " ");
    let plain = plain.trim().trim_end_matches('"').trim();
    !plain.is_empty()
        && plain.chars().count() <= 6
        && plain
            .chars()
            .all(|c| c.is_ascii_digit() || " /.".contains(c))
}

/// How far a size may be off its opening for being written in whole centimetres, inches.
pub(super) fn rounding(text: &str) -> f64 {
    let text = text.to_uppercase();
    let width = text.split(['/', 'X']).next().unwrap_or("");
    let number: Option<f64> = width.replace(',', ".").trim().parse().ok();
    let is_coarse = number.is_some_and(|it| it < 4.0 || (50.0..=300.0).contains(&it));
    if is_coarse { 0.5 / 2.54 } else { 0.0 }
}

/// Whole centimetres of openings: `90`, `210`.
fn centimetres(text: &str) -> Option<f64> {
    let text = text.trim_end_matches("CM").trim();
    let cm: f64 = text.parse().ok().filter(|_| !text.contains('.'))?;
    (50.0..=300.0).contains(&cm).then_some(cm / 2.54)
}

/// Metres with their decimals: `0.90`, `2,10`.
fn metres(text: &str) -> Option<f64> {
    let text = text.trim_end_matches('M').trim().replace(',', ".");
    let m: f64 = text.parse().ok().filter(|_| text.contains('.'))?;
    (0.4..=3.0).contains(&m).then_some(m / 0.0254)
}

fn feet_and_inches(text: &str) -> Option<f64> {
    if !text.contains(['\'', '"']) {
        return None;
    }
    // All spellings of feet, inches and fractions; two quotes mean inches too.
    let text = text.replace("''", "\"");
    Some(crate::units::parse_length(&text).ok()?.to_inches())
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
    suffix_kind(rest).is_some()
        || [
            "TEMP", "EGRESS", "TYP", "TEMP.", "TYP.", "L", "R", "LH", "RH", "LHR", "RHR",
            "INSWING", "OUTSWING", "R.O.", "RO", "U.N.O.", "NEW",
        ]
        .contains(&rest)
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
        check("2′-6″ x 6′-8″", 30.0, 80.0);
        check("2’–6” × 6’–8”", 30.0, 80.0);
        check("30x68", 36.0, 80.0);
        check("(2) 2868", 32.0, 80.0);
        check("900 x 2100", 35.433, 82.677);
        check("2'6\"x6'8\"", 30.0, 80.0);
        check("2'-6 1/2\" x 6'-8\"", 30.5, 80.0);
        check("2-8 x 6-8 x 1 3/8", 32.0, 80.0);
        check("3'-0\"W x 5'-0\"H", 36.0, 60.0);
        check("16070 OHD", 192.0, 84.0);
        check("21068", 34.0, 80.0);
        check("PR 2668", 30.0, 80.0);
        check("PR 2668", 60.0, 80.0);
        check("(2) 2868", 64.0, 80.0);
        check("2868 LH", 32.0, 80.0);
        check("90/210", 35.433, 82.677);
        check("0,90 x 2,10", 35.433, 82.677);
        check("3050 DH", 36.0, 60.0);
        check("6068 SGD", 72.0, 80.0);
    }

    #[test]
    fn notes_are_no_sizes() {
        for text in [
            "LIVING",
            "13'8 x 14' BEDROOM",
            "101A",
            "2 CAR GARAGE",
            "SHEET 3 OF 12",
            "24/7",
            "1/2",
            "5.00 X 3.60",
            "12/25/2026",
            "",
        ] {
            assert!(readings(text).is_empty(), "{text}");
        }
    }

    #[test]
    fn a_size_beside_an_opening_of_another_width_is_told_with_both_numbers() {
        use crate::findings::Severity;
        use crate::plan::codes::CALL_OUT_WIDTH;
        use crate::plan::trial::{open_shell, recovered_among};
        let written = |width: f64, size: &str| {
            let mut lines = open_shell(100.0, 100.0 + width);
            lines.push([100.0, 3.0, 100.0 + width, 3.0]);
            let plan = recovered_among(&lines, &[], &[(size, [110.0, -12.0])]);
            let own = plan.findings.into_iter();
            let own = own.filter(|it| it.code == CALL_OUT_WIDTH);
            own.map(|it| (it.severity, it.message)).collect::<Vec<_>>()
        };
        let told = |width: f64| written(width, "3068");
        assert_eq!(told(36.0), []);
        // 91 cm are 35.83 in.
        assert_eq!(written(36.0, "91/203"), []);
        assert_eq!(written(36.0, "0,91 x 2,03"), []);
        assert_eq!(written(36.25, "91/203").len(), 1);
        assert_eq!(told(36.0 + 1.0 / 32.0), []);
        for (width, drawn, severity) in [
            (36.5, "36.50 in", Severity::Note),
            (35.5, "35.50 in", Severity::Note),
            (38.0, "38.00 in", Severity::Doubt),
        ] {
            let told = told(width);
            let [(own, message)] = &told[..] else {
                panic!("{width}: {told:?}");
            };
            assert_eq!(*own, severity, "{message}");
            assert!(
                message.contains(drawn) && message.contains("36.00 in"),
                "{message}"
            );
        }
    }
}
