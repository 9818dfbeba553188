//! A list of what is cut from what, or the workbook, that was tampered with is caught, whatever the field.

use crate::house::{house, package};
use panelwright::documents::workbook;
use panelwright::verify::verify_package;
use std::collections::{BTreeMap, BTreeSet};

type Files = BTreeMap<String, Vec<u8>>;
type Rows = Vec<Vec<String>>;

const LISTS: [&str; 7] = [
    "billets",
    "slabs",
    "boards",
    "bars",
    "leftovers",
    "lamination",
    "waste",
];

fn rows(bytes: &[u8]) -> Rows {
    let mut reader = csv::ReaderBuilder::new();
    let mut reader = reader.has_headers(false).from_reader(bytes);
    let records = reader.records().map(Result::unwrap);
    records
        .map(|it| it.iter().map(str::to_owned).collect())
        .collect()
}

fn written(rows: &Rows) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer.write_record(row).unwrap();
    }
    writer.into_inner().unwrap()
}

fn failing(files: &Files) -> BTreeSet<&'static str> {
    let outcome = verify_package(files).unwrap();
    outcome.findings.iter().map(|it| it.code.name()).collect()
}

/// The sound package with one list changed, and the workbook made from the changed lists so that only the list differs.
fn with_list(sound: &Files, list: &str, change: impl FnOnce(&mut Rows)) -> Files {
    let mut files = sound.clone();
    let path = format!("lists/{list}.csv");
    let mut all = rows(&files[&path]);
    change(&mut all);
    files.insert(path, written(&all));
    let book = workbook(&files, "2026-01-02", "House").unwrap();
    files.insert("lists/lists.xlsx".to_owned(), book);
    files
}

/// Another value of the same kind: a number off by more than one decimal rounds away, a text with a letter more.
fn other(text: &str) -> String {
    match text.parse::<f64>() {
        Ok(number) => (number + 1.0 / 8.0).to_string(),
        Err(_) => format!("{text}x"),
    }
}

#[test]
fn every_field_of_every_list_of_stock_is_held_to_the_plan() {
    let sound = package(&house());
    assert_eq!(failing(&sound), BTreeSet::new());
    for list in LISTS.into_iter().chain(["foam"]) {
        let all = rows(&sound[&format!("lists/{list}.csv")]);
        assert!(all.len() > if list == "foam" { 1 } else { 2 }, "{list}");
        let last = all.len() - 1;
        for column in 0..all[0].len() {
            let files = with_list(&sound, list, |rows| {
                rows[last][column] = other(&rows[last][column]);
            });
            let codes = failing(&files);
            assert!(codes.contains("PROOF-17"), "{list}: {}", all[0][column]);
        }
    }
}

#[test]
fn a_row_dropped_doubled_or_moved_is_seen() {
    let sound = package(&house());
    for list in LISTS {
        let changes: [fn(&mut Rows); 3] = [
            |rows| drop(rows.pop()),
            |rows| rows.push(rows[1].clone()),
            |rows| rows.swap(1, 2),
        ];
        for (number, change) in changes.into_iter().enumerate() {
            let files = with_list(&sound, list, change);
            assert!(failing(&files).contains("PROOF-17"), "{list} {number}");
        }
    }
}

#[test]
fn a_workbook_that_says_something_else_than_a_list_is_seen() {
    let sound = package(&house());
    let paths: Vec<&String> = sound.keys().filter(|it| it.ends_with(".csv")).collect();
    let mut n = 0;
    for path in paths {
        let Some(list) = path.strip_prefix("lists/") else {
            continue;
        };
        let list = list.strip_suffix(".csv").unwrap();
        if rows(&sound[path]).len() < 2 {
            continue;
        }
        // The list is right, its sheet is made from another.
        let mut files = with_list(&sound, list, |rows| {
            let last = rows.len() - 1;
            rows[last][0] = other(&rows[last][0]);
        });
        files.insert(path.clone(), sound[path].clone());
        assert!(failing(&files).contains("PROOF-18"), "{list}");
        n += 1;
    }
    assert!(n >= 15, "{n}");
    let mut files = sound.clone();
    files.remove("lists/lists.xlsx");
    assert!(failing(&files).contains("PROOF-18"));
    files.insert("lists/lists.xlsx".to_owned(), b"PK\x05\x06".to_vec());
    assert!(failing(&files).contains("PROOF-18"));
}
