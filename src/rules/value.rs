//! Values as they stand in TOML files, and what is said when they cannot be read.

use crate::units::{Length, parse_length};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer, Visitor};
use std::borrow::Cow;
use std::fmt;

/// A length as typed: a text such as `"12'-6 1/2\""`, or a number of inches. Never negative.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct LengthValue(pub(crate) Length);

impl<'de> Deserialize<'de> for LengthValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader;
        impl Visitor<'_> for Reader {
            type Value = LengthValue;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a length such as \"12'-6 1/2\\\"\", \"165 mm\" or a number of inches")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<LengthValue, E> {
                let length = parse_length(text).map_err(E::custom)?;
                if length < Length::ZERO {
                    return Err(E::custom(format!(
                        "{text} is below zero; lengths here are not"
                    )));
                }
                Ok(LengthValue(length))
            }
            fn visit_i64<E: de::Error>(self, inches: i64) -> Result<LengthValue, E> {
                self.visit_str(&inches.to_string())
            }
            fn visit_f64<E: de::Error>(self, inches: f64) -> Result<LengthValue, E> {
                self.visit_str(&inches.to_string())
            }
        }
        deserializer.deserialize_any(Reader)
    }
}

impl JsonSchema for LengthValue {
    fn schema_name() -> Cow<'static, str> {
        "Length".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A length: text such as 12'-6 1/2\", 5 5/8\", 165 mm; or a number of inches.",
            "anyOf": [{ "type": "string" }, { "type": "number", "minimum": 0 }]
        })
    }
}

/// Why a rules, job or sketch file cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}{at}: {message}")]
pub struct RulesError {
    /// File name as the user gave it.
    pub file: String,
    /// Line, from 1, when known.
    pub line: Option<usize>,
    /// The line as printed, `:12` or nothing.
    at: String,
    /// What was found, and what would be right.
    pub message: String,
}

impl RulesError {
    /// A message for a line of a file.
    #[must_use]
    pub fn new(file: &str, line: Option<usize>, message: impl Into<String>) -> Self {
        let at = line.map_or_else(String::new, |line| format!(":{line}"));
        Self {
            file: file.to_owned(),
            line,
            at,
            message: message.into(),
        }
    }
}

/// Reads TOML into a type, turning the parser's message into one with file, line and the nearest right key.
pub(crate) fn read_toml<T: de::DeserializeOwned>(text: &str, file: &str) -> Result<T, RulesError> {
    toml::from_str(text).map_err(|error| {
        let line = error.span().map(|span| line_at(text, span.start));
        RulesError::new(file, line, with_suggestion(error.message()))
    })
}

/// The line of a byte offset, from 1.
pub(crate) fn line_at(text: &str, offset: usize) -> usize {
    text.as_bytes()
        .iter()
        .take(offset)
        .filter(|byte| **byte == b'\n')
        .count()
        + 1
}

/// "unknown field `hieght`, expected one of `height`, …" gets "; did you mean `height`?".
fn with_suggestion(message: &str) -> String {
    let message = message.trim().replace('\n', "; ");
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    let is_unknown = message.starts_with("unknown field") || message.starts_with("unknown variant");
    match quoted.split_first() {
        Some((wrong, known)) if is_unknown => match nearest(wrong, known) {
            Some(right) => format!("{message}; did you mean `{right}`?"),
            None => message,
        },
        _ => message,
    }
}

/// The known word that differs from `wrong` by the fewest letters, when that is few enough to be a slip.
pub(crate) fn nearest<'a>(wrong: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .map(|word| (edits(wrong, word), *word))
        .filter(|(n, word)| *n <= 1 + word.len() / 3)
        .min()
        .map(|(_, word)| word)
}

/// How many letters must be added, dropped or changed (Levenshtein distance).
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (cell, y) in row.iter_mut().skip(1).zip(&b) {
            let best = (diagonal + usize::from(x != *y))
                .min(left + 1)
                .min(*cell + 1);
            diagonal = *cell;
            *cell = best;
            left = best;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}
