//! From the text of a TOML file to typed values: misspelt keys and wrong values found with their lines.
//!
//! ```text
//!   text + JSON Schema of T ──► T, values with their offsets    or    every mistake with its line and what would be right
//! ```
//!
//! *Promises.* A key that the schema does not have is refused with the key nearest to it; no mistake without a line.
//!
//! *Does not do.* No meaning: whether values agree with each other is for whoever asked for them.

mod values;

pub(crate) use values::{At, LengthValue, PlaceValue};

use crate::findings::Place;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt;
use toml::de::{DeTable, DeValue};

/// One mistake in a file that people write.
#[derive(Clone, Debug, PartialEq)]
pub struct Mistake {
    /// File and line.
    pub place: Place,
    /// What was found.
    pub message: String,
    /// What would be right.
    pub hint: String,
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}: {}", self.place, self.message, self.hint)
    }
}

/// A file's name and text, for turning byte offsets into lines.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Text<'a> {
    /// Name as the user gave it.
    pub(crate) file: &'a str,
    /// Its content.
    pub(crate) text: &'a str,
}

impl Text<'_> {
    /// The line of a byte offset, from 1.
    pub(crate) fn line(&self, offset: usize) -> usize {
        let before = self.text.as_bytes().iter().take(offset);
        1 + before.filter(|byte| **byte == b'\n').count()
    }

    /// The place of a byte offset.
    pub(crate) fn place(&self, offset: usize) -> Place {
        Place::line(self.file, self.line(offset))
    }

    /// A mistake at a byte offset.
    pub(crate) fn mistake(
        &self,
        offset: usize,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Mistake {
        Mistake {
            place: self.place(offset),
            message: message.into(),
            hint: hint.into(),
        }
    }
}

/// Reads a text into `T`, whose JSON Schema names the keys there are.
///
/// - Every unknown key is found, not only the first, each with the known key nearest to it.
/// - A wrong value is found by serde, one at a time.
///
/// # Errors
/// The mistakes, at least one.
pub(crate) fn read_typed<T: DeserializeOwned>(
    text: Text<'_>,
    schema: &Value,
) -> Result<T, Vec<Mistake>> {
    let refused = |error: &toml::de::Error| {
        let (message, hint) = in_our_words(error.message());
        vec![text.mistake(error.span().map_or(0, |span| span.start), message, hint)]
    };
    let table = DeTable::parse(text.text).map_err(|error| refused(&error))?;
    let mut mistakes = Vec::new();
    check_keys(text, table.get_ref(), schema, schema, "", &mut mistakes);
    if !mistakes.is_empty() {
        mistakes.sort_by_key(|mistake| mistake.place.line);
        return Err(mistakes);
    }
    toml::from_str(text.text).map_err(|error| refused(&error))
}

/// What the parser says, on one line, and what would be right.
fn in_our_words(message: &str) -> (String, String) {
    let message = message.split_whitespace().collect::<Vec<_>>().join(" ");
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    match quoted.split_first() {
        Some((word, known)) if message.starts_with("unknown variant") => {
            let list = known.join("\", \"");
            let hint = match nearest(word, known) {
                Some(near) => format!("did you mean \"{near}\"? It is one of \"{list}\""),
                None => format!("write one of \"{list}\""),
            };
            (format!("there is no choice \"{word}\" here"), hint)
        }
        Some((key, _)) if message.starts_with("missing field") => (
            format!("this table has no '{key}'"),
            "add it: a table of this kind is given whole".to_owned(),
        ),
        _ => (
            message,
            "correct it, or delete the line to take the default".to_owned(),
        ),
    }
}

/// Walks a table beside the schema of its type and reports the keys the schema does not have.
fn check_keys(
    text: Text<'_>,
    table: &DeTable<'_>,
    schema: &Value,
    root: &Value,
    path: &str,
    mistakes: &mut Vec<Mistake>,
) {
    let schema = resolved(schema, root);
    let properties = schema.get("properties").and_then(Value::as_object);
    let free = schema
        .get("additionalProperties")
        .filter(|more| more.is_object());
    for (key, value) in table {
        let name = key.get_ref().as_ref();
        let inner = properties.and_then(|known| known.get(name)).or(free);
        match inner {
            Some(inner) => {
                let path = join(path, name);
                check_value(text, value.get_ref(), inner, root, &path, mistakes);
            }
            None if properties.is_none() => {}
            None => {
                let known: Vec<&str> = properties
                    .into_iter()
                    .flat_map(|known| known.keys().map(String::as_str))
                    .collect();
                mistakes.push(text.mistake(
                    key.span().start,
                    format!("there is no key '{}'", join(path, name)),
                    known_keys_hint(name, &known, schema, root),
                ));
            }
        }
    }
}

fn check_value(
    text: Text<'_>,
    value: &DeValue<'_>,
    schema: &Value,
    root: &Value,
    path: &str,
    mistakes: &mut Vec<Mistake>,
) {
    match value {
        DeValue::Table(table) => check_keys(text, table, schema, root, path, mistakes),
        DeValue::Array(items) => {
            if let Some(inner) = resolved(schema, root).get("items") {
                for item in items {
                    check_value(text, item.get_ref(), inner, root, path, mistakes);
                }
            }
        }
        _ => {}
    }
}

fn join(path: &str, name: &str) -> String {
    if path.is_empty() {
        name.to_owned()
    } else {
        format!("{path}.{name}")
    }
}

/// Follows `$ref`, and the one branch of `anyOf` that is not null.
pub(crate) fn resolved<'a>(schema: &'a Value, root: &'a Value) -> &'a Value {
    let mut schema = schema;
    loop {
        let reference = schema.get("$ref").and_then(Value::as_str);
        let branch = schema.get("anyOf").and_then(Value::as_array);
        if let Some(target) = reference
            .and_then(|name| name.strip_prefix('#'))
            .and_then(|pointer| root.pointer(pointer))
        {
            schema = target;
        } else if let Some(inner) = branch.and_then(|all| {
            all.iter()
                .find(|one| one.get("type").and_then(Value::as_str) != Some("null"))
        }) {
            schema = inner;
        } else {
            return schema;
        }
    }
}

/// What would be right: the nearest known key, a key of that name elsewhere in the file, or the list of keys.
fn known_keys_hint(name: &str, known: &[&str], schema: &Value, root: &Value) -> String {
    if let Some(near) = nearest(name, known) {
        return format!("did you mean '{near}'?");
    }
    let mut elsewhere = BTreeSet::new();
    all_keys(root, root, "", &mut elsewhere);
    let found: Vec<&str> = elsewhere
        .iter()
        .filter(|path| path.rsplit('.').next() == Some(name))
        .map(String::as_str)
        .collect();
    if let (Some(path), false) = (found.first(), std::ptr::eq(schema, root)) {
        return format!("it belongs elsewhere: '{path}'");
    }
    if let Some(path) = found.first() {
        return format!("did you mean '{path}'?");
    }
    format!("the keys here are {}", known.join(", "))
}

/// Every dotted key that is one value to its reader. A list, and a table that must be given whole, is one value; so are the
/// free keys of a map.
pub(crate) fn all_keys(schema: &Value, root: &Value, path: &str, keys: &mut BTreeSet<String>) {
    let properties = resolved(schema, root)
        .get("properties")
        .and_then(Value::as_object);
    for (name, inner) in properties.into_iter().flatten() {
        let path = join(path, name);
        let inner = resolved(inner, root);
        if inner.get("properties").is_some() && inner.get("required").is_none() {
            all_keys(inner, root, &path, keys);
        } else {
            keys.insert(path);
        }
    }
}

/// The known word nearest to a misspelt one, when it is near enough to be meant.
pub(crate) fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let letters = word.chars().count();
    let limit = (letters / 3).max(2).min(letters.saturating_sub(1));
    known
        .iter()
        .map(|candidate| (edits(word, candidate), *candidate))
        .min()
        .filter(|(count, _)| *count <= limit)
        .map(|(_, candidate)| candidate)
}

/// How many letters must be put in, taken out or changed: the distance of Levenshtein (1966), by rows.
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut next = vec![i + 1];
        let mut left = i + 1;
        for (y, above) in b.iter().zip(row.windows(2)) {
            let [diagonal, up] = above else { continue };
            left = (diagonal + usize::from(x != *y)).min(up + 1).min(left + 1);
            next.push(left);
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_misspelt_word_finds_its_neighbour() {
        // kitten/sitting = 3: the textbook example of the distance.
        assert_eq!(edits("kitten", "sitting"), 3);
        assert_eq!(
            nearest("least_pannel", &["gap", "least_panel"]),
            Some("least_panel")
        );
        assert_eq!(nearest("colour", &["gap", "least_panel"]), None);
    }
}
