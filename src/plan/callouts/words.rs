//! Words that stand with a size: before it, behind it, for its sill. Source: common practice, no source.

use crate::plan::OpeningKind;

const GARAGE: [&str; 3] = ["OH", "OHD", "GARAGE"];
const DOOR: [&str; 13] = [
    "SGD", "BF", "PKT", "BIFOLD", "BYPASS", "POCKET", "DOOR", "FRENCH", "FR", "SC", "HC", "BP",
    "DR",
];
const WINDOW: [&str; 20] = [
    "SH", "DH", "SL", "CSMT", "CASEMENT", "FX", "FIXED", "AWN", "AWNING", "SLIDER", "XO", "OX",
    "XOX", "HS", "SLDR", "CS", "PW", "WINDOW", "FENSTER", "TW",
];
/// Suffixes that follow their digits without a blank: `3050SH`.
const JOINED: [&str; 13] = [
    "SH", "DH", "SL", "CSMT", "FX", "AWN", "SGD", "BF", "PKT", "OH", "OHD", "XO", "OX",
];
/// Words behind a size that say nothing about what it is.
const NOTES: [&str; 25] = [
    "TEMP", "TEMPERED", "EGRESS", "TYP", "L", "R", "LH", "RH", "LHR", "RHR", "INSWING", "OUTSWING",
    "UNO", "NEW", "EXT", "INT", "RO", "MIN", "CLG", "TG", "MULL", "MULLED", "ENTRY", "EXTERIOR",
    "INTERIOR",
];
/// What stands before a size in numbers: turn and tilt, door, window, gate.
const BEFORE: [&str; 19] = [
    "DK",
    "P",
    "PT",
    "PF",
    "PP",
    "V",
    "J",
    "TÜR",
    "FENSTER",
    "PUERTA",
    "VENTANA",
    "PORTE",
    "PORTA",
    "DØR",
    "DÖRR",
    "ДВЕРЬ",
    "ОКНО",
    "门",
    "窗",
];
/// What stands before a size with feet and inches.
const BEFORE_FEET: [&str; 20] = [
    "TW", "W", "WD", "D", "DR", "DOOR", "WINDOW", "SH", "DH", "SL", "CSMT", "FX", "FIXED", "AWN",
    "PW", "SGD", "OH", "BF", "PKT", "P",
];
/// Words before the height of a sill.
const SILL: [&str; 16] = [
    "BRÜSTUNG",
    "BRUESTUNG",
    "BRH",
    "BR.H",
    "SILL HT",
    "SILL",
    "ALLÈGE",
    "ALLEGE",
    "ANTEPECHO",
    "DAVANZALE",
    "PEITORIL",
    "PARAPET",
    "BORSTWERING",
    "ALL.",
    "PEIT.",
    "HP",
];

/// Numbers bare, or with feet and inches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Style {
    Bare,
    Feet,
}

/// Takes the words off the end of a text; what is left, and the words, dots left out.
///
/// - Words stand apart, or are one of the trade's short suffixes: a maker's code is letters and digits too, and is no size.
pub(super) fn without_words(text: &str) -> (&str, Vec<String>) {
    let mut left = text;
    let mut words = Vec::new();
    loop {
        let end = left.trim_end_matches([' ', ')', '(', ',', ';', '/', '-', '.']);
        let dotted = left.trim_end_matches([' ', ')', '(', ',', ';', '/', '-']);
        let dotted = if dotted.len() > end.len() {
            &left[..=end.len()]
        } else {
            end
        };
        let start = dotted.trim_end_matches(|c: char| c.is_alphabetic() || c == '.');
        let word = dotted[start.len()..].replace('.', "");
        let is_apart = !start.ends_with(|c: char| c.is_ascii_digit() || "'\"".contains(c));
        let is_known = if is_apart {
            NOTES.contains(&word.as_str()) || is_of_kind(&word)
        } else {
            JOINED.contains(&word.as_str())
        };
        if word.is_empty() || !is_known {
            return (left.trim(), words);
        }
        words.push(word);
        left = start.trim_end_matches([' ', '(', ',', ';', '/', '-']);
    }
}

/// Classes of fire, noise and burglary behind a size: `EI30`, `T30`, `RC2`.
const CLASSES: [&str; 8] = ["EI", "EI2", "REI", "E", "T", "F", "RC", "WK"];

/// Takes a class with its number off the end of a text.
pub(super) fn without_class(text: &str) -> &str {
    let Some((rest, last)) = text.rsplit_once(' ') else {
        return text;
    };
    let class = last.trim_end_matches(|c: char| c.is_ascii_digit());
    let class = class.trim_end_matches('-');
    let has_number = last.len() > class.len();
    if has_number && CLASSES.contains(&class) {
        rest.trim_end()
    } else {
        text
    }
}

/// True when a word of a text says what kind of opening it is, or that it is one.
pub(super) fn names_kind(text: &str) -> bool {
    let text = text.to_uppercase();
    text.split(|c: char| !c.is_alphabetic()).any(is_of_kind)
}

fn is_of_kind(word: &str) -> bool {
    GARAGE.contains(&word) || DOOR.contains(&word) || WINDOW.contains(&word)
}

/// What words say a size is the size of.
pub(super) fn kind_of(words: &[String]) -> Option<OpeningKind> {
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    if has(&GARAGE) {
        Some(OpeningKind::GarageDoor)
    } else if has(&DOOR) {
        Some(OpeningKind::Door)
    } else if has(&WINDOW) {
        Some(OpeningKind::Window)
    } else {
        None
    }
}

/// Takes one word or tag off the front of a size.
///
/// - A tag is a letter of doors or windows and its number (`V1`, `W-02`): letters and digits of sheets (`A1`) and steel are none.
pub(super) fn without_lead(text: &str, style: Style) -> Option<(&str, String)> {
    let (lead, rest) = text.split_once(' ')?;
    let lead = lead.trim_end_matches([':', '.', '=']).replace('.', "");
    let letters = lead.trim_end_matches(|c: char| c.is_ascii_digit());
    let number = &lead[letters.len()..];
    let letters = letters.trim_end_matches('-');
    let is_tag = (1..=2).contains(&number.len())
        && ["W", "D", "F", "V", "P", "T", "J", "M", "DR", "WD"].contains(&letters);
    let list: &[&str] = match style {
        Style::Bare => &BEFORE,
        Style::Feet => &BEFORE_FEET,
    };
    (is_tag || list.contains(&lead.as_str())).then(|| (rest.trim(), lead))
}

/// Parts a text at the word for its sill: the size, the word, and how high the sill is. The word may stand before the size, with its
/// height between them.
pub(super) fn sill_in(text: &str) -> Option<(&str, &'static str, &str)> {
    let found = SILL.iter().find_map(|word| {
        let at = text.find(word)?;
        let is_apart = !text[..at].ends_with(char::is_alphanumeric);
        is_apart.then(|| (&text[..at], *word, &text[at + word.len()..]))
    });
    let (size, word, rest) = found?;
    let signs = [' ', '.', '=', ':', '@', '(', ')', '+', ',', ';', '/', '-'];
    let rest = rest.trim_matches(signs);
    let (height, behind) = match rest.split_once([' ', ';', '/']) {
        Some((height, behind)) if size.trim().is_empty() => (height, behind),
        _ => (rest, ""),
    };
    let size = if behind.is_empty() { size } else { behind };
    Some((
        size.trim_matches([' ', ',', ';', '(', '/', '-']),
        word,
        height.trim_matches(signs),
    ))
}
