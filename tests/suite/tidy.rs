//! House rules that can be tests: arrows between rooms, file lengths, introductions, forbidden words, codes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in the order of the line. A room may look into those before it.
const LINE: [&str; 16] = [
    "side_by_side",
    "units",
    "findings",
    "geometry",
    "toml_text",
    "drawing",
    "plan",
    "rules",
    "building",
    "layout",
    "fabrication",
    "stock",
    "loads",
    "estimate",
    "documents",
    "review",
];
/// Verify trusts no model.
const VERIFY_SEES: [&str; 3] = ["units", "findings", "geometry"];
/// Longest file, in lines: what the head holds.
const LONGEST: usize = 600;
/// Only the commands print, know the time, read the environment or touch a disk; nothing depends on the order of a hash.
const FORBIDDEN: [&str; 10] = [
    "println!",
    "eprintln!",
    "print!(",
    "SystemTime",
    "Instant",
    "std::env",
    "std::fs",
    "HashMap",
    "HashSet",
    "std::thread",
];

/// The one place outside the commands that starts threads: its answers do not depend on their order.
const SIDE_BY_SIDE: &str = "src/side_by_side.rs";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder, sorted, by its name from the top.
fn rust_files(folder: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut rest: Vec<PathBuf> = vec![root().join(folder)];
    while let Some(place) = rest.pop() {
        for entry in fs::read_dir(place).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                rest.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let name = path
                    .strip_prefix(root())
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/");
                found.insert(name, fs::read_to_string(path).unwrap());
            }
        }
    }
    assert!(!found.is_empty());
    found
}

/// The room a file stands in: `src/plan/model.rs` in `plan`, `src/package.rs` in `package`.
fn room(name: &str) -> &str {
    let inner = name.trim_start_matches("src/");
    inner.split('/').next().unwrap().trim_end_matches(".rs")
}

/// Lines that are no comments, with their numbers from 1.
fn code_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let numbered = text.lines().enumerate().map(|(n, line)| (n + 1, line));
    numbered.filter(|(_, line)| !line.trim_start().starts_with("//"))
}

/// Names behind `crate::` in a line.
fn looks_into(line: &str) -> impl Iterator<Item = &str> {
    line.split("crate::").skip(1).map(|rest| {
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
        &rest[..end.unwrap_or(rest.len())]
    })
}

/// What a room may look into besides itself; `None` for the front door, which sees all.
fn may_see(room: &str) -> Option<Vec<&'static str>> {
    match room {
        "verify" => Some(VERIFY_SEES.to_vec()),
        "lib" | "package" | "quote" => None,
        // The program is a crate of its own and sees the library by its name.
        "main" | "cli" => Some(vec!["cli"]),
        _ => {
            let place = LINE.iter().position(|it| *it == room);
            Some(LINE[..place.unwrap_or_else(|| panic!("{room} is no room of the line"))].to_vec())
        }
    }
}

#[track_caller]
fn nothing(found: &[String]) {
    assert!(found.is_empty(), "\n{}\n", found.join("\n"));
}

#[test]
fn a_room_looks_only_into_rooms_before_it() {
    let mut found = Vec::new();
    for (name, text) in rust_files("src") {
        let own = room(&name);
        let Some(seen) = may_see(own) else { continue };
        for (number, line) in code_lines(&text) {
            for into in looks_into(line) {
                if into != own && !seen.contains(&into) {
                    found.push(format!("{name}:{number}: {own} looks into {into}"));
                }
            }
        }
    }
    nothing(&found);
}

#[test]
fn every_file_is_short_enough_for_the_head() {
    let files = rust_files("src").into_iter().chain(rust_files("tests"));
    let long = files.filter(|(_, text)| text.lines().count() > LONGEST);
    let found: Vec<String> = long
        .map(|(name, text)| format!("{name}: {} lines", text.lines().count()))
        .collect();
    nothing(&found);
}

#[test]
fn every_room_has_an_introduction_with_picture_promises_and_absences() {
    let mut found = Vec::new();
    for (name, text) in rust_files("src").into_iter().chain(rust_files("tests")) {
        let head: Vec<&str> = text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .collect();
        if head.is_empty() {
            found.push(format!("{name}: has no introduction"));
            continue;
        }
        let is_room = name == format!("src/{}/mod.rs", room(&name)) && room(&name) != "cli";
        let head = head.join("\n");
        for part in ["```text", "*Promises.*", "*Does not do.*"] {
            if is_room && !head.contains(part) {
                found.push(format!("{name}: its introduction lacks {part}"));
            }
        }
    }
    nothing(&found);
}

#[test]
fn only_the_commands_print_or_know_the_time_or_touch_a_disk() {
    let mut found = Vec::new();
    for (name, text) in rust_files("src") {
        if room(&name) == "cli" {
            continue;
        }
        for (number, line) in code_lines(&text) {
            let words = FORBIDDEN.iter().filter(|word| line.contains(**word));
            let words = words.filter(|word| **word != "std::thread" || name != SIDE_BY_SIDE);
            found.extend(words.map(|word| format!("{name}:{number}: {word}")));
        }
    }
    nothing(&found);
}

#[test]
fn no_test_is_ignored_or_expects_a_panic() {
    // Spelt in two parts, or this file would find itself.
    let words = [concat!("#[", "ignore"), concat!("#[should", "_panic")];
    let mut found = Vec::new();
    for (name, text) in rust_files("src").into_iter().chain(rust_files("tests")) {
        for (number, line) in code_lines(&text) {
            if words.iter().any(|word| line.contains(word)) {
                found.push(format!("{name}:{number}: {}", line.trim()));
            }
        }
    }
    nothing(&found);
}

/// Codes declared in the rooms' `codes.rs`, with the files they stand in.
fn declared_codes() -> BTreeMap<String, Vec<String>> {
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (name, text) in rust_files("src") {
        if name.ends_with("/codes.rs") {
            for (_, line) in code_lines(&text) {
                for rest in line.split("Code::new(\"").skip(1) {
                    let code = rest.split('"').next().unwrap().to_owned();
                    found.entry(code).or_default().push(name.clone());
                }
            }
        }
    }
    found
}

#[test]
fn every_code_is_declared_once_and_documented_once() {
    let declared = declared_codes();
    let text = fs::read_to_string(root().join("docs/findings.md")).unwrap();
    let rows = text
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.split(" |").next());
    let codes = rows.filter(|word| {
        let mut parts = word.split('-');
        let is_room = parts
            .next()
            .is_some_and(|it| it.chars().all(|c| c.is_ascii_uppercase()));
        let is_number = parts
            .next()
            .is_some_and(|it| it.chars().all(|c| c.is_ascii_digit()));
        is_room && is_number
    });
    let mut documented: BTreeMap<&str, usize> = BTreeMap::new();
    for code in codes {
        *documented.entry(code).or_default() += 1;
    }
    let mut found = Vec::new();
    for (code, files) in &declared {
        if files.len() > 1 {
            found.push(format!("{code} is declared in {}", files.join(" and ")));
        }
        if !documented.contains_key(code.as_str()) {
            found.push(format!("{code} of {} is not in docs/findings.md", files[0]));
        }
    }
    for (code, n) in documented {
        if !declared.contains_key(code) || n > 1 {
            found.push(format!(
                "docs/findings.md: {code} stands there {n} times; declared: {}",
                declared.contains_key(code)
            ));
        }
    }
    nothing(&found);
}

#[test]
fn each_room_has_its_own_prefix_of_codes() {
    let mut rooms: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (code, files) in declared_codes() {
        let prefix = code.split('-').next().unwrap().to_owned();
        rooms.entry(prefix).or_default().extend(files);
    }
    let mixed = rooms.into_iter().filter(|(_, files)| files.len() > 1);
    let found: Vec<String> = mixed
        .map(|(prefix, files)| format!("{prefix}: {files:?}"))
        .collect();
    nothing(&found);
}

#[test]
fn codes_are_made_in_codes_files_only() {
    let mut found = Vec::new();
    for (name, text) in rust_files("src") {
        let code = text.split("#[cfg(test)]\nmod ").next().unwrap();
        let is_home = name.ends_with("/codes.rs") || room(&name) == "findings";
        for (number, line) in code_lines(code) {
            if !is_home && line.contains("Code::new(") {
                found.push(format!("{name}:{number}"));
            }
        }
    }
    nothing(&found);
}

#[test]
fn every_code_is_given_by_the_room_that_names_it() {
    let files = rust_files("src");
    let mut found = Vec::new();
    for (name, text) in files.iter().filter(|(name, _)| name.ends_with("/codes.rs")) {
        let folder = name.trim_end_matches("codes.rs");
        for constant in text
            .lines()
            .filter_map(|line| line.strip_prefix("pub const ")?.split(':').next())
        {
            let given = format!("codes::{constant}");
            let uses = |(other, text): (&String, &String)| {
                other.starts_with(folder)
                    && text
                        .split(given.as_str())
                        .skip(1)
                        .any(|rest| !rest.starts_with(|c: char| c.is_ascii_uppercase() || c == '_'))
            };
            if !files.iter().any(uses) {
                found.push(format!("{name}: {constant} is never given"));
            }
        }
    }
    nothing(&found);
}

#[test]
fn every_rule_file_is_part_of_the_shipped_rules() {
    let reader = fs::read_to_string("src/rules/read_rules.rs").unwrap();
    for entry in fs::read_dir("src/rules/plant").unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        assert!(
            reader.contains(&format!("\"{name}\"")),
            "{name} is read by nothing"
        );
    }
}
