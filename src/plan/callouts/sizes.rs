//! Reads a text as the size of an opening, or as none.
//!
//! ```text
//!   PR │ R.O. │ DK, TW, V1 │ 3'-0" x 6'-8" │ BRH 90 │ (EGRESS), SH, LH
//!   count, rough │ lead    │ two lengths    │ sill   │ words
//! ```
//!
//! Words go first; what is left is packed digits, or two lengths that are both written in one way. Where they can be read in several
//! ways all are kept: the opening beside them says which is meant. Anything else that stands with them, and it is no size.

use super::lengths::{
    centimetres, decimetres, feet_and_inches, inches, is_fraction, metres, millimetres,
    parted_feet, two_digits,
};
use super::words::{Style, kind_of, sill_in, without_class, without_lead, without_words};
use crate::plan::OpeningKind;
use crate::units::typed_marks;

/// One reading of a call-out, inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::plan) struct Reading {
    pub width: f64,
    pub height: Option<f64>,
    /// How far its width may be off its opening for being written in whole centimetres.
    pub rounding: f64,
}

/// A text that is a size.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Size {
    pub readings: Vec<Reading>,
    /// Sill above the floor, inches.
    pub sill: Option<f64>,
    /// What its words say.
    pub kind: Option<OpeningKind>,
    /// True for packed digits, which mean nothing but an opening.
    pub is_packed: bool,
    /// True when it is the rough opening.
    pub is_rough: bool,
}

/// Openings are at least and at most this wide, inches: readings beyond are none.
const WIDE: (f64, f64) = (10.0, 246.0);
/// And so high.
const HIGH: (f64, f64) = (10.0, 132.0);
/// Two lengths with no sign between them, and two of two digits, are a door's or window's from this width and height, inches.
const APART: (f64, f64) = (18.0, 24.0);
/// Written bare in inches, one side is at least so long: less is timber.
const BARE_INCHES: f64 = 30.0;
/// Doors are so high, inches (1930 mm).
const DOOR: f64 = 76.0;
/// Behind the tag of a window both its sides are so long, inches: 400 mm.
const LEAST_WINDOW: f64 = 400.0 / 25.4;
/// Widths and heights of vehicle doors, feet. Source: common practice, no source.
const VEHICLES: [&[f64]; 2] = [&[8.0, 9.0, 10.0, 12.0, 16.0, 18.0], &[7.0, 8.0]];
/// Of these widths and heights nothing else is written without a word, feet: 8 by 8 is timber, 16 by 8 block.
const BARE_VEHICLES: [&[f64]; 2] = [&[9.0, 16.0, 18.0], &[7.0]];
/// Before so high a door (`66`, `68`), two bare digits are feet and inches.
const DOOR_HEIGHTS: [&str; 2] = ["66", "68"];

/// Reads a text; `None` when it is no size of an opening.
pub(super) fn size(text: &str) -> Option<Size> {
    // Most texts are names: nothing makes a digit of what is none.
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let text = plain(text);
    if text.chars().count() > 48 {
        return None;
    }
    let (text, sill) = match sill_in(&text) {
        Some((size, word, height)) => (size, Some((word, height))),
        None => match sill_behind(&text) {
            Some((size, height)) => (size, Some(("", height))),
            None => (text.as_str(), None),
        },
    };
    let (text, mut words) = without_words(without_class(text));
    let (text, count, mut is_rough) = before(text);
    is_rough |= words.iter().any(|word| word == "RO");
    let (mut list, is_packed) = read(text, &mut words)?;
    if count > 1.0 {
        let all: Vec<Reading> = list
            .iter()
            .map(|one| Reading {
                width: count * one.width,
                ..*one
            })
            .collect();
        list.extend(all);
    }
    let within = |(least, most): (f64, f64), it: f64| (least..=most).contains(&it);
    list.retain(|it| within(WIDE, it.width) && it.height.is_none_or(|it| within(HIGH, it)));
    if list.is_empty() {
        return None;
    }
    let sill = match sill {
        Some((word, height)) => Some(sill_height(height, word.starts_with("SILL"), text)?),
        None => None,
    };
    Some(Size {
        readings: list,
        sill,
        kind: kind_of(&words),
        is_packed,
        is_rough,
    })
}

/// The height of a sill that stands alone: `BRH 90`, `all. 0,90`.
pub(super) fn sill_alone(text: &str) -> Option<f64> {
    if !text.contains(|c: char| c.is_ascii_digit()) || text.chars().count() > 24 {
        return None;
    }
    let text = plain(text);
    let (size, word, height) = sill_in(&text).filter(|it| it.0.is_empty())?;
    sill_height(height, word.starts_with("SILL"), size)
}

/// `120X100/110`: a sill behind a size in the same unit, with a stroke between them.
fn sill_behind(text: &str) -> Option<(&str, &str)> {
    let (size, height) = text.split_once('/')?;
    let (wide, high) = size.split_once('X')?;
    let number = |it: &str| {
        let it = it.trim();
        let is_plain = it
            .bytes()
            .all(|b| b.is_ascii_digit() || b == b'.' || b == b',');
        it.replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|_| is_plain)
    };
    let (wide, high, sill) = (number(wide)?, number(high)?, number(height)?);
    let metric = |it: f64| it >= 40.0 || size.contains(['.', ',']) && it >= 0.4;
    let is_sill = sill >= 0.1 && (sill >= 10.0) == (high >= 10.0);
    (metric(wide) && metric(high) && is_sill).then(|| (size.trim(), height.trim()))
}

/// A text in capitals with a keyboard's marks and single blanks.
fn plain(text: &str) -> String {
    let text = text
        .replace("%%u", "")
        .replace("%%U", "")
        .replace("%%d", "°");
    let mut text = typed_marks(&text).to_uppercase().replace('×', "X");
    for letter in ["(B)", "(W)", "(L)", "(H)"] {
        text = text.replace(letter, " ");
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    crossed(&words.join(" "))
}

/// A text with the star and the Cyrillic letter that stand for a cross between two numbers.
fn crossed(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let is_number = |it: Option<&&char>| it.is_some_and(|c| c.is_ascii_digit());
    let not_blank = |c: &&char| **c != ' ';
    let cross = |(i, c): (usize, &char)| {
        let is_cross = matches!(c, '*' | 'Х')
            && is_number(letters[..i].iter().rev().find(not_blank).as_ref())
            && is_number(letters[i + 1..].iter().find(not_blank).as_ref());
        if is_cross { 'X' } else { *c }
    };
    letters.iter().enumerate().map(cross).collect()
}

/// Takes off what says how many there are and that the size is the rough opening's.
fn before(text: &str) -> (&str, f64, bool) {
    let mut left = text;
    let (mut count, mut is_rough) = (1.0, false);
    loop {
        let known = left;
        for (word, is_pair) in [
            ("PR. ", true),
            ("PR ", true),
            ("PAIR ", true),
            ("TWIN ", true),
            ("DBL ", true),
            ("R.O. ", false),
            ("R.O.: ", false),
            ("R.O ", false),
            ("RO ", false),
            ("R/O ", false),
        ] {
            if let Some(rest) = left.strip_prefix(word) {
                left = rest.trim();
                count = if is_pair { 2.0 } else { count };
                is_rough |= !is_pair;
            }
        }
        for (number, value) in [("2", 2.0), ("3", 3.0), ("4", 4.0)] {
            let braced = left
                .strip_prefix('(')
                .and_then(|it| it.strip_prefix(number))
                .and_then(|it| it.strip_prefix(')'));
            // A dash parts feet from inches too: only before packed digits does it count.
            let dashed = left
                .strip_prefix(number)
                .and_then(|it| it.trim_start().strip_prefix('-'))
                .map(str::trim)
                .filter(|it| it.len() == 4 && it.bytes().all(|b| b.is_ascii_digit()));
            if let Some(rest) = braced.or(dashed) {
                (left, count) = (rest.trim(), value);
            }
        }
        for word in [" PR", " PAIR"] {
            if let Some(rest) = left.strip_suffix(word) {
                (left, count) = (rest.trim(), 2.0);
            }
        }
        if left == known {
            return (left, count, is_rough);
        }
    }
}

/// Every reading of what is left, and whether it is packed digits.
fn read(text: &str, words: &mut Vec<String>) -> Option<(Vec<Reading>, bool)> {
    let n_digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, rest) = text.split_at(n_digits);
    // Behind packed digits other words may stand with the one that names a door or window.
    let is_named = rest.starts_with(' ')
        && !rest.contains(|c: char| c.is_ascii_digit())
        && rest.split_whitespace().count() <= 4;
    if n_digits >= 3 && (rest.is_empty() || is_named) {
        let own: Vec<String> = rest
            .split(|c: char| !(c.is_alphabetic() || c == '.'))
            .map(|it| it.replace('.', ""))
            .collect();
        if !rest.is_empty() && kind_of(&own).is_none() {
            return None;
        }
        words.extend(own);
        let mut list = packed(digits);
        if rest.is_empty() && words.iter().all(String::is_empty) && n_digits <= 4 {
            list.push(Reading {
                width: digits.parse::<f64>().ok()? / 25.4,
                height: None,
                rounding: 0.0,
            });
        }
        return Some((list, (4..=5).contains(&n_digits)));
    }
    if let Some(one) = vehicle_door(text, words) {
        return Some((vec![one], false));
    }
    if let Some(list) = pair(text) {
        return Some((list, false));
    }
    let style = if text.contains(['\'', '"']) {
        Style::Feet
    } else {
        Style::Bare
    };
    let (rest, lead) = without_lead(text, style)?;
    let list = pair(rest)?;
    // Behind a tag two numbers with a cross between them may be a column's, but for a door's height; behind a window's a beam's, where
    // one of them is small.
    let is_large = |it: &Reading| {
        it.height
            .is_some_and(|high| high.min(it.width) >= LEAST_WINDOW)
    };
    let is_of_window = lead.starts_with(['W', 'V', 'F', 'J']) && list.iter().all(is_large);
    let is_column = style == Style::Bare
        && lead.ends_with(|c: char| c.is_ascii_digit())
        && rest.contains('X')
        && !is_of_window
        && !list.iter().any(|it| it.height.is_some_and(|it| it >= DOOR));
    words.push(lead);
    (!is_column).then_some((list, false))
}

/// `3068`, `16070` and `21068` as feet and inches: every way to part the digits.
fn packed(digits: &str) -> Vec<Reading> {
    let d: Vec<f64> = digits.bytes().map(|b| f64::from(b - b'0')).collect();
    let size = |feet: f64, inches: f64| (inches < 12.0).then_some(feet * 12.0 + inches);
    let reading = |width: Option<f64>, height: Option<f64>| {
        Some(Reading {
            width: width?,
            height: Some(height?),
            rounding: 0.0,
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

/// `16X7`, `9 X 8 GARAGE DOOR`: a vehicle door in whole feet.
fn vehicle_door(text: &str, words: &[String]) -> Option<Reading> {
    let (w, h) = text.split_once('X')?;
    let is_named = kind_of(words) == Some(OpeningKind::GarageDoor);
    let known = if is_named { VEHICLES } else { BARE_VEHICLES };
    let feet = |text: &str, known: &[f64]| {
        let text = if is_named { text.trim() } else { text };
        let is_whole = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        let feet: f64 = text.parse().ok().filter(|_| is_whole)?;
        known.contains(&feet).then_some(feet * 12.0)
    };
    Some(Reading {
        width: feet(w, known[0])?,
        height: Some(feet(h, known[1])?),
        rounding: 0.0,
    })
}

/// What stands between two lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Between {
    Cross,
    Stroke,
    Blank,
    /// The lengths have letters: `B=1200 H=1400`.
    Letters,
}

/// Two lengths written in one way, in every way that they can be read.
fn pair(text: &str) -> Option<Vec<Reading>> {
    let (w, h, between) = sides(text)?;
    let both = |read: fn(&str) -> Option<f64>| Some((read(&w)?, read(&h)?));
    let is_parted = !(is_fraction(&w) && is_fraction(&h));
    let feet = both(feet_and_inches);
    let parted = both(parted_feet).filter(|_| is_parted);
    // Below a metre in centimetres, from there on in metres: `88⁵/2,13⁵`.
    let short = |it: &str| centimetres(it).filter(|it| *it < 100.0 / 2.54);
    let mixed = short(&w)
        .zip(metres(&h))
        .or_else(|| metres(&w).zip(short(&h)));
    let metric = [both(centimetres), both(metres), both(millimetres), mixed];
    let inches = both(inches).filter(|(w, h)| w.max(*h) >= BARE_INCHES);
    let two = both(two_digits);
    let found: Vec<(f64, f64)> = match between {
        Between::Cross => {
            let inches = inches.filter(|_| !DOOR_HEIGHTS.contains(&h.as_str()));
            let first = feet.or(parted);
            let two = two.filter(|(w, h)| *w >= APART.0 && *h >= APART.1);
            // Blanks stand in the size of a room.
            let tenths = decimetres((&w, &h)).filter(|_| !text.contains(' '));
            let others = [two, inches, tenths].into_iter().chain(metric);
            first.into_iter().chain(others.flatten()).collect()
        }
        Between::Stroke => {
            // `12/25` is a day: doors and windows are wider than a month is long.
            let two = two.filter(|(w, h)| w.min(h - 12.0) >= APART.0 && h > &APART.1);
            let two = two.filter(|_| !is_fraction(text) && !is_scale(&w));
            // `4-0/5-0`, both in feet and inches.
            let dashed = parted.filter(|(wide, high)| {
                w.contains('-') && h.contains('-') && *wide >= APART.0 && *high >= APART.1
            });
            let inches = inches.filter(|(w, h)| w.max(*h) < 100.0 && !is_fraction(text));
            let inches = inches.filter(|_| !is_scale(&w) && !DOOR_HEIGHTS.contains(&h.as_str()));
            let others = [two, dashed, inches];
            metric.into_iter().chain(others).flatten().collect()
        }
        Between::Blank => {
            let apart = parted.filter(|(w, h)| *w >= APART.0 && *h >= APART.1);
            apart.into_iter().collect()
        }
        Between::Letters => {
            let all = [feet, parted].into_iter().chain(metric).chain([inches]);
            all.flatten().collect()
        }
    };
    let (rounding, tenths) = (rounding(&w), decimetres((&w, &h)));
    let reading = |(width, height)| Reading {
        width,
        height: Some(height),
        rounding: if tenths == Some((width, height)) {
            0.5 / 2.54
        } else {
            rounding
        },
    };
    (!found.is_empty()).then(|| found.into_iter().map(reading).collect())
}

/// `1/48`, `10/24`: below 13 before the stroke, it is a scale or a day.
fn is_scale(w: &str) -> bool {
    w.parse::<f64>().is_ok_and(|it| it <= 12.0)
}

/// Parts a text into two sides.
fn sides(text: &str) -> Option<(String, String, Between)> {
    let trimmed = |text: &str, letter: char| -> String {
        text.trim().trim_end_matches(letter).trim().to_owned()
    };
    if let Some((w, h)) = lettered(text) {
        return Some((w, h, Between::Letters));
    }
    if let Some((w, h)) = text.split_once('X') {
        // A third number is the thickness of the leaf.
        let (h, thick) = match h.split_once('X') {
            Some((h, thick)) => (h, Some(thick)),
            None => (h, None),
        };
        let (w, h) = (trimmed(w, 'W'), trimmed(h, 'H'));
        return thick
            .is_none_or(is_thickness)
            .then_some((w, h, Between::Cross));
    }
    if text.contains(['\'', '"']) {
        return None;
    }
    let strokes = text.matches('/').count();
    if strokes == 1 {
        let (w, h) = text.split_once('/')?;
        return Some((trimmed(w, 'W'), trimmed(h, 'H'), Between::Stroke));
    }
    let (w, h) = text.split_once(' ')?;
    let is_apart = strokes == 2 || text.matches(['-', '°']).count() >= 2 && strokes == 0;
    let is_raised = strokes == 0 && text.contains(['⁰', '⁴', '⁶', '⁸']);
    (is_apart || is_raised).then(|| (w.trim().to_owned(), h.trim().to_owned(), Between::Blank))
}

/// `B=1200 H=1400`, `L 120 x H 140`, `W 36" x H 80"`: the letters of width and height before the numbers.
fn lettered(text: &str) -> Option<(String, String)> {
    let rest = text.strip_prefix(['B', 'L', 'W', 'A'])?;
    let number = |text: &str| {
        text.trim_start_matches([' ', '=', ':', '.'])
            .trim()
            .to_owned()
    };
    let (w, h) = rest.split_once('H')?;
    let w = w.trim_end_matches([' ', 'X', '/', ',', ';']);
    let (w, h) = (number(w), number(h));
    let begins = |it: &str| it.starts_with(|c: char| c.is_ascii_digit());
    (begins(&w) && begins(&h)).then_some((w, h))
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

/// Half a centimetre for a width in whole centimetres.
fn rounding(width: &str) -> f64 {
    let number: Option<f64> = width.replace(',', ".").trim().parse().ok();
    let is_whole = |it: f64| (50.0..=300.0).contains(&it) && it.fract() < 1e-9;
    let is_coarse = number.is_some_and(|it| it < 4.0 || is_whole(it));
    if is_coarse { 0.5 / 2.54 } else { 0.0 }
}

/// The height of a sill.
///
/// - `is_english`: with an English word a bare number is in inches, unless the size before it is metric.
fn sill_height(text: &str, is_english: bool, size: &str) -> Option<f64> {
    if text.contains(['\'', '"']) {
        return feet_and_inches(text);
    }
    let number = text.trim_end_matches("CM").trim_end_matches('M').trim();
    let number: f64 = number.replace(',', ".").parse().ok()?;
    let is_metric = size
        .split(|c: char| !c.is_ascii_digit())
        .any(|run| run.len() == 3);
    let unit = if text.contains([',', '.']) && number < 4.0 {
        1.0 / 0.0254
    } else if number >= 400.0 {
        1.0 / 25.4
    } else if is_english && !is_metric {
        1.0
    } else {
        1.0 / 2.54
    };
    Some(number * unit).filter(|it| (0.0..=HIGH.1).contains(it))
}
