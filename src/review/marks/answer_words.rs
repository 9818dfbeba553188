//! What an architect's answer says, where nothing else can be meant: the kind of a thing and its sizes.
//!
//! *Promises.* Every word counts: one that is not known, a question, two sizes for one thing, and the answer is not read.
//!
//! *Does not do.* Guessing units: a bare number is inches only where the drawing is in inches or feet, and from a foot on.

use crate::units::{Length, parse_length, typed_marks};

/// Words of an answer that say nothing by themselves.
pub(super) const FILLERS: [&str; 20] = [
    "it", "is", "its", "it's", "this", "that", "these", "those", "they", "are", "be", "should",
    "shall", "make", "them", "please", "a", "an", "the", "at",
];
/// An answer is meant for every place of its question.
const ALL: [&str; 4] = ["all", "both", "each", "every"];
/// What was taken is right.
pub(super) const RIGHT: [&str; 9] = [
    "right as taken",
    "as taken",
    "taken right",
    "correct",
    "correct as taken",
    "ok",
    "okay",
    "ok as taken",
    "agreed",
];
/// Kinds by their names, the value of `is` in a correction, and whether several are meant.
const KINDS: [(&str, &str, bool); 25] = [
    ("window", "window", false),
    ("windows", "window", true),
    ("door", "door", false),
    ("doors", "door", true),
    ("opening", "opening", false),
    ("openings", "opening", true),
    ("cased opening", "opening", false),
    ("cased openings", "opening", true),
    ("garage door", "garage_door", false),
    ("garage doors", "garage_door", true),
    ("overhead door", "garage_door", false),
    ("overhead doors", "garage_door", true),
    ("wall", "wall", false),
    ("solid wall", "wall", false),
    ("not opening", "not an opening", false),
    ("not openings", "not an opening", true),
    ("no opening", "not an opening", false),
    ("not wall", "not a wall", false),
    ("not walls", "not a wall", true),
    ("no wall", "not a wall", false),
    ("exterior", "exterior", false),
    ("exterior wall", "exterior", false),
    ("interior", "interior", false),
    ("interior wall", "interior", false),
    ("partition", "interior", false),
];
/// Names of sizes, their keys in `[[opening]]`, and whether several are meant.
const SIZES: [(&str, &str, bool); 16] = [
    ("rough width", "rough_width", false),
    ("rough height", "rough_height", false),
    ("width", "width", false),
    ("wide", "width", false),
    ("widths", "width", true),
    ("height", "height", false),
    ("high", "height", false),
    ("tall", "height", false),
    ("heights", "height", true),
    ("head height", "head", false),
    ("head", "head", false),
    ("heads", "head", true),
    ("sill height", "sill", false),
    ("sill", "sill", false),
    ("sills", "sill", true),
    ("head heights", "head", true),
];

/// An answer that was read to its last word.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Answer {
    /// What stands there, as `is` of a correction.
    pub(super) is: Option<&'static str>,
    /// Keys of `[[opening]]` with their sizes.
    pub(super) sizes: Vec<(&'static str, Length)>,
    /// True when what was taken holds.
    pub(super) is_right: bool,
    /// True when it is meant for all places of its question.
    pub(super) is_for_all: bool,
}

/// True for a kind of opening.
pub(super) fn is_opening(is: &str) -> bool {
    matches!(is, "window" | "door" | "opening" | "garage_door")
}

/// Reads an answer; `None` when it may mean something else.
///
/// - `has_inches`: the drawing is in inches or feet.
pub(super) fn answer_of(text: &str, has_inches: bool) -> Option<Answer> {
    let text = plain(text);
    let whole = text.trim_end_matches(['.', '!', ' ']);
    if RIGHT.contains(&whole) {
        return Some(Answer {
            is_right: true,
            ..Answer::default()
        });
    }
    let mut answer = Answer::default();
    for clause in whole
        .split([',', ';'])
        .flat_map(|it| it.split(" and "))
        .flat_map(|it| it.split(" with "))
    {
        let mut words: Vec<&str> = clause.split_whitespace().collect();
        let n_all = words.len();
        words.retain(|it| !ALL.contains(it));
        answer.is_for_all |= words.len() < n_all;
        words.retain(|it| !FILLERS.contains(it));
        answer.take(&words.join(" "), has_inches)?;
    }
    let says = answer.is.is_some() || !answer.sizes.is_empty();
    says.then_some(answer)
}

/// Small letters, marks of a keyboard, and a blank on either side of the sign between two sizes.
pub(super) fn plain(text: &str) -> String {
    let text = typed_marks(text).to_lowercase();
    let text = text.replace("in. ", "in ").replace("ft. ", "ft ");
    let text = text.replace("rough opening", "r.o.");
    let letters: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len() + 4);
    for (i, c) in letters.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|i| letters.get(i));
        let after = letters.get(i + 1);
        let is_size = |it: Option<&char>| {
            it.is_some_and(|it| it.is_ascii_digit() || matches!(it, '"' | '\'' | ' '))
        };
        match c {
            '×' => out.push_str(" x "),
            'x' if is_size(before) && is_size(after) => out.push_str(" x "),
            _ => out.push(*c),
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Answer {
    /// Takes a clause in; `None` when it is not known to its last word.
    fn take(&mut self, clause: &str, has_inches: bool) -> Option<()> {
        if clause.is_empty() {
            return None;
        }
        for (name, is, is_many) in KINDS {
            let before = clause
                .strip_suffix(name)
                .and_then(|it| it.strip_suffix(' '));
            let after = clause
                .strip_prefix(name)
                .and_then(|it| it.strip_prefix(' '));
            let sized = before.or(after).filter(|_| is_opening(is));
            let mut with = self.clone();
            let is_it = match sized {
                Some(sizes) => with.size(sizes, Some("width"), has_inches).is_some(),
                None => clause == name,
            };
            if is_it {
                if with.is.replace(is).is_some() {
                    return None;
                }
                with.is_for_all |= is_many;
                *self = with;
                return Some(());
            }
        }
        self.size(clause, None, has_inches)
    }

    /// Takes in a size with its name, or width and height.
    ///
    /// - `bare`: what a size without a name is.
    fn size(&mut self, words: &str, bare: Option<&'static str>, has_inches: bool) -> Option<()> {
        if let Some((width, height)) = words.split_once(" x ") {
            let is_rough = |it: &&str| it.starts_with("rough ") || it.starts_with("r.o. ");
            let rough = Some(width).filter(is_rough);
            let width = rough
                .and_then(|it| it.split_once(' '))
                .map_or(width, |it| it.1);
            let width = width.strip_suffix(" wide").unwrap_or(width);
            let height = height.strip_suffix(" high").unwrap_or(height);
            let keys = match rough {
                Some(_) => ["rough_width", "rough_height"],
                None => ["width", "height"],
            };
            self.put(keys[0], length(width, has_inches)?)?;
            return self.put(keys[1], length(height, has_inches)?);
        }
        for (name, key, is_many) in SIZES {
            let after = words.strip_prefix(name).and_then(|it| it.strip_prefix(' '));
            let before = words.strip_suffix(name).and_then(|it| it.strip_suffix(' '));
            let size = after.or(before).and_then(|it| length(it, has_inches));
            if let Some(size) = size {
                self.is_for_all |= is_many;
                return self.put(key, size);
            }
        }
        self.put(bare?, length(words, has_inches)?)
    }

    /// One size for one key; none that leaves nothing.
    fn put(&mut self, key: &'static str, size: Length) -> Option<()> {
        let is_known = self.sizes.iter().any(|it| it.0 == key);
        let is_possible = size > Length::ZERO || (key == "sill" && size == Length::ZERO);
        if is_known || !is_possible {
            return None;
        }
        self.sizes.push((key, size));
        Some(())
    }
}

/// A size with its unit; without one it is inches where the drawing has them, and from a foot on.
pub(super) fn length(words: &str, has_inches: bool) -> Option<Length> {
    if !words.starts_with(|c: char| c.is_numeric() || c == '.') {
        return None;
    }
    let size = parse_length(words).ok()?;
    let has_unit = words.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '\''));
    (has_unit || (has_inches && size >= Length::feet(1))).then_some(size)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Option<(Option<&'static str>, String, bool)> {
        answer_of(text, true).map(|it| {
            let sizes: Vec<String> = (it.sizes.iter())
                .map(|(key, size)| format!("{key} {size}"))
                .collect();
            (it.is, sizes.join(", "), it.is_for_all)
        })
    }

    #[test]
    fn kinds_and_sizes_are_read_in_the_spellings_of_the_trade() {
        for (text, is, sizes, is_for_all) in [
            ("It is a window.", Some("window"), "", false),
            ("Not an opening", Some("not an opening"), "", false),
            ("these are not walls", Some("not a wall"), "", true),
            ("a garage door", Some("garage_door"), "", false),
            ("Exterior wall", Some("exterior"), "", false),
            ("Door, 3'-0″ wide", Some("door"), "width 36\"", false),
            ("a 36\" door", Some("door"), "width 36\"", false),
            (
                "window 3'-0\"x4'-0\"",
                Some("window"),
                "width 36\", height 48\"",
                false,
            ),
            ("All heads 80\"", None, "head 80\"", true),
            (
                "all window heads at 6'-8\"",
                Some("window"),
                "head 80\"",
                true,
            ),
            (
                "head 82 and sill 2 ft. 6 in",
                None,
                "head 82\", sill 30\"",
                false,
            ),
            (
                "R.O. 38 1/2\" × 82 1/2\"",
                None,
                "rough_width 38 1/2\", rough_height 82 1/2\"",
                false,
            ),
        ] {
            let expected = Some((is, sizes.to_owned(), is_for_all));
            assert_eq!(said(text), expected, "{text}");
        }
        assert!(answer_of("Right as taken.", false).unwrap().is_right);
        let metric = answer_of("head 2100 mm", false).unwrap();
        assert_eq!(metric.sizes, [("head", parse_length("2100 mm").unwrap())]);
    }

    #[test]
    fn what_may_mean_something_else_is_not_read() {
        for text in [
            "",
            "yes",
            "a window?",
            "not sure, a window",
            "door or window",
            "a window, a door",
            "head 80\", head 82\"",
            "head 7",
            "width 0\"",
            "80\"",
            "window if the owner agrees",
            "not a window",
            "door width",
            "36 high x 40 wide",
        ] {
            assert_eq!(said(text), None, "{text}");
        }
        assert_eq!(answer_of("head 2100", false), None);
    }
}
