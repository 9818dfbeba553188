//! What each key means, read out of the commented files, so that file, schema and `docs/rules.md` cannot disagree.
//!
//! ```text
//!   # Gap between skins at a joint.              meaning, one or more lines
//!   # unit: length; source: APA advice …         closes the comment
//!   gap = "1/8"                                  key and default; a `#` before it: left out by default
//! ```

use super::{default_rules_text, new_job_text};
use serde_json::Value;
use std::fmt::Write as _;

/// One key of a commented file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct KeyNote {
    /// Dotted key: `joints.gap`.
    pub(super) key: String,
    /// Its meaning, lines as in the file; empty where a key needs no words beside its group's.
    meaning: Vec<String>,
    /// `unit: …; source: …`.
    unit: String,
    /// Key and value as in the file, or the tables of a list; without the `#` of one that is left out.
    default: Vec<String>,
    /// True when the file leaves it out.
    is_left_out: bool,
}

impl KeyNote {
    /// Its meaning without pictures and rows.
    fn words(&self) -> Vec<&str> {
        sentences(&self.meaning)
    }
}

fn sentences(lines: &[String]) -> Vec<&str> {
    let lines = lines.iter().map(String::as_str);
    lines.filter(|line| !line.starts_with("  ")).collect()
}

/// What a rule named in a reason demands, its first sentence, why where its own words say it, and the section of `docs/rules.md` that has all
/// of it; `None` for a name that no key or group of the plant's rules has.
#[must_use]
pub fn rule_words(rule: &str) -> Option<String> {
    let groups = groups(default_rules_text());
    let key = groups.iter().find_map(|group| {
        let note = group.keys.iter().find(|note| note.key == rule)?;
        // A list stands under its own head, whatever section comes before it.
        let head = note.default.first().filter(|code| code.starts_with("[["));
        let place = head.cloned().unwrap_or_else(|| group.place(rule));
        Some((place, note.words()))
    });
    let group = || groups.iter().find(|group| group.name == rule);
    let (place, words) =
        key.or_else(|| group().map(|it| (it.place(rule), sentences(&it.words))))?;
    let words = words.join(" ");
    let first = words
        .split_once(". ")
        .map_or(words.as_str(), |(first, _)| first);
    let first = first.trim_end_matches('.');
    let why = words.split_once("Why: ").map(|(_, why)| {
        let why = why.split_once(". ").map_or(why, |(why, _)| why);
        format!(", because {}", why.trim_end_matches('.'))
    });
    let why = why.unwrap_or_default();
    Some(format!(
        "{first}{why}; {place} of `panelwright rules` and docs/rules.md"
    ))
}

/// What a key of a job or of the plant's rules means, as it is said on paper.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeyMeaning {
    /// Its meaning, the first words of it; `None` where those are many, or a list's.
    pub words: Option<String>,
    /// True where a number without unit is a length, inches.
    pub is_length: bool,
}

/// What a dotted key means, without the names of entries: `joints.gap`; `None` of one that neither file has a note of.
#[must_use]
pub fn key_meaning(key: &str) -> Option<KeyMeaning> {
    /// No meaning that is told on paper is longer, in letters.
    const MOST: usize = 60;
    let files = [new_job_text(), default_rules_text()];
    let notes = files.into_iter().flat_map(groups).flat_map(|it| it.keys);
    let note = notes.into_iter().find(|note| note.key == key)?;
    let words = note.words().join(" ");
    let end = words.find([':', ';', '(', ',']).unwrap_or(words.len());
    let first = words[..end].split(". ").next().unwrap_or_default();
    let first = first.trim().trim_end_matches('.');
    let mut letters = first.chars();
    let head: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_lowercase)
        .collect();
    let rest = letters.as_str();
    // Of a switch the first words say when it is on, not what it is.
    let is_switch = first.starts_with("True ") || first.starts_with("False ");
    let is_told = !rest.is_empty() && !is_switch && first.chars().count() <= MOST;
    Some(KeyMeaning {
        words: is_told.then(|| format!("{head}{rest}")),
        is_length: note
            .unit
            .split(';')
            .next()
            .is_some_and(|it| it.contains("length")),
    })
}

/// A group of keys, a `[table]` of the file; the first has no name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Group {
    name: String,
    words: Vec<String>,
    pub(super) keys: Vec<KeyNote>,
}

impl Group {
    /// Where a rule of the group stands in the file.
    fn place(&self, rule: &str) -> String {
        if self.name.is_empty() {
            rule.to_owned()
        } else {
            format!("[{}]", self.name)
        }
    }
}

/// Reads a commented file into its groups.
pub(super) fn groups(text: &str) -> Vec<Group> {
    let mut groups = vec![Group::default()];
    let mut words: Vec<String> = Vec::new();
    let mut unit = String::new();
    for line in text.lines() {
        let comment = line
            .strip_prefix('#')
            .map(|rest| rest.strip_prefix(' ').unwrap_or(rest));
        let code = comment.unwrap_or(line);
        let in_key = groups.last().and_then(|group| group.keys.last());
        let continues = words.is_empty() && unit.is_empty() && in_key.is_some();
        if is_code(code) {
            if let Some(name) = table(code)
                && unit.is_empty()
            {
                groups.push(Group {
                    name: name.to_owned(),
                    words: std::mem::take(&mut words),
                    keys: Vec::new(),
                });
                continue;
            }
            let Some(group) = groups.last_mut() else {
                continue;
            };
            if unit.is_empty() {
                if let Some(note) = group.keys.last_mut() {
                    note.default.push(code.to_owned());
                }
                continue;
            }
            group.keys.push(KeyNote {
                key: full_key(&group.name, code),
                meaning: std::mem::take(&mut words),
                unit: std::mem::take(&mut unit),
                default: vec![code.to_owned()],
                is_left_out: comment.is_some(),
            });
        } else if code.trim().is_empty() {
            if continues {
                let note = groups.last_mut().and_then(|group| group.keys.last_mut());
                if let Some(note) = note {
                    note.default.push(String::new());
                }
            } else if comment.is_some() {
                words.push(String::new());
            } else if let Some(group) = groups.last_mut() {
                // Words before an empty line introduce the file.
                group.words.append(&mut words);
            }
        } else if code.starts_with("unit: ") {
            code.clone_into(&mut unit);
        } else {
            words.push(code.to_owned());
        }
    }
    for group in &mut groups {
        for note in &mut group.keys {
            while note.default.last().is_some_and(String::is_empty) {
                note.default.pop();
            }
        }
    }
    groups
}

/// A key with its value, or the head of a table; not a sentence with an equals sign in it.
fn is_code(line: &str) -> bool {
    let key = line.split_once(" = ").map(|(key, _)| key);
    line.starts_with('[')
        || key.is_some_and(|key| {
            let is_quoted = key.starts_with('"') && key.ends_with('"');
            let is_plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
            is_quoted || key.chars().all(is_plain)
        })
}

/// The name in `[name]`; `None` for a list `[[name]]`.
fn table(line: &str) -> Option<&str> {
    line.strip_prefix('[')
        .filter(|rest| !rest.starts_with('['))?
        .strip_suffix(']')
}

fn full_key(group: &str, code: &str) -> String {
    let list = code
        .strip_prefix("[[")
        .and_then(|rest| rest.strip_suffix("]]"));
    if let Some(list) = list {
        return list.to_owned();
    }
    let key = code.split(" = ").next().unwrap_or(code);
    if group.is_empty() {
        key.to_owned()
    } else {
        format!("{group}.{key}")
    }
}

/// Puts meaning, unit and source of every key into its schema.
pub(super) fn describe_schema(schema: &mut Value, text: &str) {
    for group in groups(text) {
        for note in group.keys {
            let Some(place) = property(schema, &note.key) else {
                continue;
            };
            if let Some(place) = place.as_object_mut() {
                let mut words = note.words().join(" ");
                if !words.is_empty() {
                    words.push(' ');
                }
                words.push_str(&note.unit);
                place.insert("description".to_owned(), Value::String(words));
            }
        }
    }
}

/// The schema of a dotted key, to be changed.
fn property<'a>(schema: &'a mut Value, key: &str) -> Option<&'a mut Value> {
    let mut pointer = String::new();
    for (index, name) in key.split('.').enumerate() {
        if index > 0 {
            let group = schema.pointer(&pointer)?;
            if let Some(target) = group.get("$ref").and_then(Value::as_str) {
                target.strip_prefix('#')?.clone_into(&mut pointer);
            }
        }
        write!(pointer, "/properties/{name}").ok()?;
    }
    schema.pointer_mut(&pointer)
}

/// `docs/rules.md`: every key of `plant.toml` and `job.toml`.
#[must_use]
pub fn rules_document() -> String {
    let mut page = "# Rules and job files\n\nMade from the commented files that `panelwright rules` prints and `panelwright new` \
        writes: do not edit it here.\n\nA misspelt key or an impossible value is refused with file and line, and the message \
        says what would be right. Every default that was taken is a finding. `panelwright rules --schema` prints JSON Schemas \
        for editors.\n"
        .to_owned();
    for (title, text) in [
        ("The plant: `plant.toml`", default_rules_text()),
        ("The job: `job.toml`", new_job_text()),
    ] {
        page.push_str(&format!("\n## {title}\n"));
        for group in groups(text) {
            if !group.name.is_empty() {
                page.push_str(&format!("\n### [{}]\n", group.name));
            }
            paragraph(&mut page, &group.words);
            for note in &group.keys {
                key_section(&mut page, note);
            }
        }
    }
    page
}

fn key_section(page: &mut String, note: &KeyNote) {
    page.push_str(&format!("\n#### `{}`\n", note.key));
    paragraph(page, &note.meaning);
    let unit = note.unit.replacen("unit: ", "", 1);
    let (unit, source) = unit.split_once("; ").unwrap_or((&unit, ""));
    page.push_str(&format!("\n- unit: {unit}\n"));
    if !source.is_empty() {
        page.push_str(&format!("- {source}\n"));
    }
    let label = if note.is_left_out {
        "for example"
    } else {
        "shipped"
    };
    match note.default.as_slice() {
        [one] if !one.starts_with('[') => page.push_str(&format!("- {label}: `{one}`\n")),
        lines => page.push_str(&format!(
            "\n{label}:\n\n```toml\n{}\n```\n",
            lines.join("\n")
        )),
    }
}

/// Lines as a paragraph; indented ones stand as they are, as a list of a table's keys.
fn paragraph(page: &mut String, lines: &[String]) {
    if lines.iter().all(|line| line.trim().is_empty()) {
        return;
    }
    let mut in_table = false;
    page.push('\n');
    for line in lines {
        let is_row = line.starts_with("  ");
        if is_row != in_table {
            page.push_str(if is_row { "\n```text\n" } else { "```\n\n" });
            in_table = is_row;
        }
        page.push_str(line.trim_end());
        page.push('\n');
    }
    if in_table {
        page.push_str("```\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::read_rules::RULE_FILES;
    use crate::rules::{job_schema, rules_schema};
    use crate::toml_text::all_keys;
    use std::collections::BTreeSet;

    #[test]
    fn every_key_has_a_unit_and_a_source_and_stands_in_the_schema() {
        for (text, schema, origin) in [
            (default_rules_text(), rules_schema(), "source: "),
            (new_job_text(), job_schema(), "default: "),
        ] {
            let mut known = BTreeSet::new();
            all_keys(&schema, &schema, "", &mut known);
            let notes: Vec<KeyNote> = groups(text)
                .into_iter()
                .flat_map(|group| group.keys)
                .collect();
            for note in &notes {
                assert!(note.unit.contains(origin), "{}: {}", note.key, note.unit);
            }
            let told: BTreeSet<String> = notes.iter().map(|note| note.key.clone()).collect();
            // The sections of a plant's lumber are free names under one key of the schema.
            let told = told
                .into_iter()
                .filter(|key| !key.starts_with("lumber.sections."))
                .collect();
            known.remove("lumber.sections");
            assert_eq!(known, told);
        }
    }

    #[test]
    fn the_schema_tells_what_a_key_means() {
        let schema = rules_schema();
        let text = serde_json::to_string(&schema).unwrap();
        assert!(text.contains("Gap between skins at a joint. unit: length; source: APA"));
        assert!(text.contains("Diameter. unit: length"));
    }

    #[test]
    fn every_rule_is_a_small_file_with_a_picture_and_a_source() {
        for (name, text) in RULE_FILES {
            // Rows of a list after its first one are data, not more of the rule.
            let rows = text.lines().enumerate();
            let mut rows = rows.filter(|(_, line)| line.starts_with("[["));
            let end = rows.nth(1).map(|(row, _)| row);
            let lines = end.unwrap_or_else(|| text.lines().count());
            assert!(lines <= 45, "{name} is no small file: {lines} lines");
            assert!(text.contains("\n# Why: "), "{name} does not say why");
            assert!(
                text.lines().any(|line| line.starts_with("#   ")),
                "{name} has no picture"
            );
            assert!(text.contains("source: "), "{name} has no source");
            let first = text.lines().next().unwrap_or_default();
            assert!(
                first.starts_with("# ") && first.len() > 20,
                "{name} does not say what it demands"
            );
        }
    }

    /// Every key of the plant but its name stands in such a file: none is left without a reason, a picture and a source.
    #[test]
    fn every_key_of_the_plant_stands_in_the_file_of_a_rule() {
        let files = RULE_FILES.iter().map(|(_, text)| text.lines().count() + 1);
        let rules: usize = files.sum();
        let all = default_rules_text().lines().count();
        let rest: Vec<&str> = default_rules_text()
            .lines()
            .take(all + 1 - rules)
            .filter(|line| !line.is_empty() && !line.starts_with('#'))
            .collect();
        assert_eq!(rest, ["name = \"shipped defaults\""]);
    }

    #[test]
    fn a_rule_is_told_in_a_sentence_with_its_section() {
        let told = rule_words("joints.from_tee").unwrap();
        assert!(
            told.starts_with("Least distance from a joint to the face of a wall"),
            "{told}"
        );
        assert!(
            told.ends_with("[joints] of `panelwright rules` and docs/rules.md"),
            "{told}"
        );
        assert!(
            rule_words("corners")
                .unwrap()
                .starts_with("Corners of walls")
        );
        for (rule, place) in [
            ("lines", "[[lines]]"),
            ("openings.headers", "[[openings.headers]]"),
            ("openings.whole_up_to", "[openings]"),
            ("grid", "grid"),
        ] {
            let told = rule_words(rule).unwrap();
            assert!(told.contains(&format!("; {place} of")), "{told}");
        }
        assert_eq!(rule_words("order"), None);
    }

    #[test]
    fn the_page_in_docs_is_the_page_made() {
        let page = include_str!("../../docs/rules.md");
        let made = rules_document();
        let first_difference = page.lines().zip(made.lines()).position(|(a, b)| a != b);
        assert!(
            page == made,
            "docs/rules.md differs from line {first_difference:?}; write it anew with `panelwright rules --document`"
        );
    }
}
