//! Issue after issue: the rows of revisions stay, newest first, and the issue before is named as its sheets name it.

use crate::kit::sheet_words;
use crate::revisions::{MOVED_WINDOW, shelter};
use panelwright::review::Fate;

/// The words of the group of a sheet.
fn words_of(svg: &[u8], group: &str) -> Vec<String> {
    let text = std::str::from_utf8(svg).unwrap();
    let svg = roxmltree::Document::parse(text).unwrap();
    let found = svg
        .descendants()
        .find(|it| it.attribute("id") == Some(group));
    let texts = found.unwrap().descendants();
    let texts = texts.filter(|it| it.has_tag_name("text"));
    texts
        .filter_map(|it| it.text().map(str::to_owned))
        .collect()
}

#[test]
fn rows_of_revisions_stay_newest_first() {
    let farther = ("from = \"15'\"", "from = \"16'\"");
    let first = shelter(&[], "", None).documents.files;
    let second = shelter(&[MOVED_WINDOW], "", Some(&first)).documents.files;
    let third = shelter(&[farther], "", Some(&second));
    let changed = third
        .fates
        .iter()
        .find(|it| matches!(it.fate, Fate::Changed(_)));
    let mark = &third.fabrication.panels[changed.unwrap().new.unwrap()].mark;
    let files = &third.documents.files;
    // Not its further sheets.
    let ending = format!("-{mark}.svg");
    let is_first = |it: &&String| it.ends_with(&ending) && it.matches('.').count() == 1;
    let mut sheets = files.keys().filter(|it| it.starts_with("sheets/Z-4"));
    let path = sheets.find(is_first).unwrap();
    let rows = words_of(&files[path], "revision-row");
    let letters: Vec<&str> = (rows.iter())
        .map(String::as_str)
        .filter(|it| ["0", "A", "B"].contains(it))
        .collect();
    assert_eq!(letters, ["B", "A", "0"], "{rows:?}");
    assert!(rows.iter().any(|it| it == "First issue"), "{rows:?}");
    let plan = sheet_words(&third, "sheets/Z-101-key-plan.svg");
    for row in [
        "See Z-091 of issue 2",
        "See Z-091 of issue 1",
        "First issue",
    ] {
        assert!(plan.contains(row), "{row}: {plan}");
    }
    // A fourth issue of the same plan keeps the sheet, and what it says.
    let fourth = shelter(&[farther], "", Some(files));
    let changes = sheet_words(&fourth, "sheets/Z-091-revised-panels.svg");
    assert!(changes.contains("no panel changed"), "{changes}");
    assert!(fourth.documents.files[path] == files[path], "{path}");
}

#[test]
fn the_issue_before_is_named_by_the_id_that_its_sheets_print() {
    let first = shelter(&[], "", None);
    let cover = &first.documents.files["sheets/Z-000-cover.svg"];
    let text = std::str::from_utf8(cover).unwrap();
    let id = text.split("data-package=\"").nth(1).unwrap();
    let id = id.split('"').next().unwrap();
    let second = shelter(&[MOVED_WINDOW], "", Some(&first.documents.files));
    let changes = sheet_words(&second, "sheets/Z-091-revised-panels.svg");
    let expected = format!("since issue 0, package id {id}");
    assert!(changes.contains(&expected), "{expected}: {changes}");
}
