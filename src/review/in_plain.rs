//! What a file says otherwise, as it is read on paper: what a key means in the words of the rules, and its value with a unit.
//!
//! ```text
//!   joints.gap  "1/8" ─► "3/16"          gap between skins at a joint: 3/16", was 1/8"
//!   opening[6040].header                 opening 6040, header: 2-2x12, was 2-2x10
//! ```

use crate::rules::{KeyMeaning, key_meaning};
use crate::units::parse_length;
use toml::Value;

/// No value is told at more length, in letters.
const MOST_LETTERS: usize = 48;
/// Keys whose texts are names, whatever length they look like.
const OF_NAMES: [&str; 6] = ["assembly", "name", "id", "header", "section", "hold_layer"];

/// What of a key is not as it was, in plain words.
///
/// - `was`, `now`: its values as written in TOML; `shipped`: what holds where the file says nothing.
pub(super) fn in_plain_words(
    key: &str,
    (was, now, shipped): (Option<&str>, Option<&str>, Option<&str>),
) -> String {
    let found = key_meaning(&without_entries(key));
    let is_length = found.as_ref().is_some_and(|it| it.is_length);
    let what = match found {
        Some(KeyMeaning {
            words: Some(words), ..
        }) => words,
        _ => key_in_words(key),
    };
    let last = key.rsplit(['.', '[']).next().unwrap_or(key);
    let is_name = OF_NAMES.contains(&last);
    let told = |value: &str| value_in_words(value, is_length, is_name);
    let [was, now, shipped] = [was, now, shipped].map(|it| it.map(told));
    match (was, now, shipped) {
        (Some(was), Some(now), _) | (None, Some(now), Some(was)) | (Some(was), None, Some(now)) => {
            format!("{what}: {now}, was {was}")
        }
        (Some(was), None, None) => format!("{what}: not said any more, was {was}"),
        (None, now, _) => format!("{what}: {}, was not said", now.unwrap_or_default()),
    }
}

/// `opening.header` of `opening[6040].header`.
fn without_entries(key: &str) -> String {
    let mut plain = String::new();
    let mut depth = 0_usize;
    for letter in key.chars() {
        match letter {
            '[' => depth += 1,
            ']' => depth = depth.saturating_sub(1),
            _ if depth == 0 => plain.push(letter),
            _ => {}
        }
    }
    plain
}

/// `opening 6040, header` of `opening[6040].header`, `wall X2, bears` of `wall.only[X2].bears`, `wall bears` of `wall.bears`.
fn key_in_words(key: &str) -> String {
    let mut words = String::new();
    let (mut depth, mut is_entry) = (0_usize, false);
    for letter in key.chars() {
        match letter {
            '.' if depth == 0 => {
                words.push_str(if is_entry { ", " } else { " " });
                is_entry = false;
            }
            '[' => {
                depth += 1;
                words.push(' ');
            }
            ']' => {
                depth = depth.saturating_sub(1);
                is_entry = true;
            }
            '_' if depth == 0 => words.push(' '),
            _ => words.push(letter),
        }
    }
    words
        .replace("wall only ", "wall ")
        .replace("loads bearing ", "load on wall ")
        .replace("assemblies ", "assembly ")
}

/// A value from how it is written in TOML.
pub(super) fn value_of(written: &str) -> Option<Value> {
    let table = format!("it = {written}").parse::<toml::Table>();
    table.ok()?.remove("it")
}

/// A value as a tape or a sheet says it: lengths with their unit, words without quotes, yes or no.
fn value_in_words(value: &str, is_length: bool, is_name: bool) -> String {
    let value = match value_of(value) {
        Some(value) => told(&value, is_length, is_name),
        None => value.to_owned(),
    };
    if value.chars().count() <= MOST_LETTERS {
        return value;
    }
    let short: String = value.chars().take(MOST_LETTERS - 1).collect();
    format!("{}…", short.trim_end())
}

fn told(value: &Value, is_length: bool, is_name: bool) -> String {
    match value {
        Value::String(text) => {
            let is_bare = text.ends_with(|c: char| c.is_ascii_digit());
            if is_bare && !is_name && parse_length(text).is_ok() {
                format!("{}\"", text.replace('-', " "))
            } else {
                text.clone()
            }
        }
        Value::Boolean(true) => "yes".to_owned(),
        Value::Boolean(false) => "no".to_owned(),
        Value::Array(list) => {
            let all: Vec<String> = list.iter().map(|it| told(it, is_length, is_name)).collect();
            all.join(", ")
        }
        Value::Table(table) => {
            let all = table.iter();
            let all = all.map(|(key, it)| format!("{key} {}", told(it, is_length, is_name)));
            all.collect::<Vec<_>>().join(", ")
        }
        Value::Integer(_) | Value::Float(_) if is_length => format!("{value}\""),
        Value::Integer(_) | Value::Float(_) | Value::Datetime(_) => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(key: &str, values: [Option<&str>; 3], expected: &str) {
        let [was, now, shipped] = values;
        assert_eq!(in_plain_words(key, (was, now, shipped)), expected);
    }

    #[test]
    fn a_key_of_the_rules_is_told_by_what_it_means_and_lengths_have_their_unit() {
        check(
            "joints.gap",
            [None, Some("\"3/16\""), Some("\"1/8\"")],
            "gap between skins at a joint: 3/16\", was 1/8\"",
        );
        check(
            "chases.horizontal",
            [Some("[\"16\", \"44\"]"), Some("[16, 48]"), None],
            "heights of horizontal chases above the deck: 16\", 48\", was 16\", 44\"",
        );
        check(
            "joints.spline",
            [Some("\"block\""), None, Some("\"surface\"")],
            "spline at ordinary joints: surface, was block",
        );
    }

    #[test]
    fn a_key_of_the_job_is_told_without_dots_brackets_and_quotes() {
        check(
            "wall.height",
            [Some("\"9'-0\\\"\""), Some("\"9'-6\\\"\""), None],
            "wall height: 9'-6\", was 9'-0\"",
        );
        check(
            "opening[6040].header",
            [Some("\"2-2x10\""), Some("\"2-2x12\""), None],
            "opening 6040, header: 2-2x12, was 2-2x10",
        );
        check(
            "wall.only[X2].bears",
            [None, Some("false"), None],
            "wall X2, bears: no, was not said",
        );
        check(
            "opening[O1].head",
            [Some("\"82-1/2\""), None, None],
            "opening O1, head: not said any more, was 82 1/2\"",
        );
        check(
            "assembly",
            [Some("\"6-1/2\""), Some("\"8-1/4\""), None],
            "the assembly of every wall: 8-1/4, was 6-1/2",
        );
    }

    #[test]
    fn no_value_is_told_at_length() {
        let long = format!("\"{}\"", "roof trusses ".repeat(20));
        let told = in_plain_words("loads.bearing[X1].carries", (None, Some(&long), None));
        assert!(
            told.starts_with("load on wall X1, carries: roof trusses"),
            "{told}"
        );
        assert!(
            told.ends_with("…, was not said") && told.chars().count() < 100,
            "{told}"
        );
    }
}
