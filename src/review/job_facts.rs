//! What the title block of a sheet about a package says of the job: as the job of that package has it.

use super::files::is_of_rules;
use super::in_plain::value_of;
use super::issued::Issued;
use crate::documents::TitleFacts;
use crate::rules::ScaleList;
use std::collections::BTreeMap;

/// Keys of a job that a title block prints.
const PRINTED: [&str; 5] = ["name", "number", "project", "drawn_by", "date"];

/// Project, building, job number, date and who drew it; empty where its manifest does not tell.
pub(super) fn title_facts(issued: &Issued) -> TitleFacts {
    let own = |said: &BTreeMap<String, String>| {
        PRINTED.iter().filter(|it| said.contains_key(**it)).count()
    };
    let is_sketch = |said: &BTreeMap<String, String>| said.keys().any(|key| key.starts_with("run"));
    let files = issued.said.values();
    let job = files
        .filter(|said| !is_of_rules(said) && !is_sketch(said))
        .max_by_key(|said| own(said));
    let text = |key: &str| {
        let value = job.and_then(|said| said.get(key));
        value.and_then(|it| unquoted(it)).unwrap_or_default()
    };
    let row = issued.revisions.sheets.first();
    let date = row.map_or_else(|| text("date"), |row| row.date.clone());
    TitleFacts {
        project: text("project"),
        building: text("name"),
        number: text("number"),
        drawn_by: text("drawn_by"),
        date,
        revision: issued.issue.to_string(),
        package: issued.package.clone(),
        ..TitleFacts::default()
    }
}

/// The list of scales that its sheets are drawn at.
pub(super) fn scale_list(issued: &Issued) -> ScaleList {
    let mut all = issued
        .said
        .values()
        .filter_map(|it| it.get("sheets.scales"));
    match all.any(|it| unquoted(it).as_deref() == Some("metric")) {
        true => ScaleList::Metric,
        false => ScaleList::Imperial,
    }
}

/// A text as written in TOML without its quotes.
fn unquoted(value: &str) -> Option<String> {
    value_of(value)?.as_str().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::{Revision, Revisions, said};

    #[test]
    fn the_job_is_told_from_rules_and_a_sketch_whatever_the_files_are_called() {
        let job = "name = \"Barn, \\\"old\\\"\"\nnumber = \"J-1\"\n";
        let rules = "name = \"a plant\"\n[joints]\ngap = \"1/8\"\n[sheets]\nscales = \"metric\"\n";
        let sketch = "name = \"Shelter\"\nrun = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\n";
        let files = [("b.toml", job), ("a.toml", rules), ("c.toml", sketch)];
        let issued = Issued {
            said: files
                .map(|(name, text)| (name.to_owned(), said(text)))
                .into(),
            revisions: Revisions {
                sheets: vec![Revision {
                    date: "2026-11-25".to_owned(),
                    ..Revision::default()
                }],
                ..Revisions::default()
            },
            ..Issued::default()
        };
        let facts = title_facts(&issued);
        assert_eq!(facts.building, "Barn, \"old\"");
        assert_eq!(
            (facts.number.as_str(), facts.date.as_str()),
            ("J-1", "2026-11-25")
        );
        assert_eq!(scale_list(&issued), ScaleList::Metric);
        assert_eq!(title_facts(&Issued::default()).building, "");
    }
}
