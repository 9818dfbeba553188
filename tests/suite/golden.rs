//! What each sample must give, kept as files that a person can open: `tests/golden/<case>/`.
//!
//! All data files, and one sheet of each kind. `BLESS=1 cargo test --release golden` accepts what the program now makes;
//! a difference writes `target/golden/<case>/index.html` with old and new side by side. The manifest is left out: it only
//! repeats the digests of all other files, and `verify` proves them.

use crate::kit::{SAMPLES, root, sample_package};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::Path;

/// True for a file that is kept: data, and the first sheet or outline of each kind.
fn kept(files: &BTreeMap<String, Vec<u8>>) -> BTreeSet<String> {
    let mut kept: BTreeSet<String> = files
        .keys()
        .filter(|name| {
            let is_data =
                name.ends_with(".json") || name.ends_with(".csv") || name.starts_with("trace");
            is_data && *name != "manifest.json"
        })
        .cloned()
        .collect();
    for prefix in [
        "sheets/Z-1",
        "sheets/Z-2",
        "sheets/Z-4",
        "sheets/Z-7",
        "outlines/W",
        "held/W",
        "blanks/B",
    ] {
        kept.extend(files.keys().find(|name| name.starts_with(prefix)).cloned());
    }
    kept
}

#[test]
fn samples_give_what_they_gave() {
    let mut wrong = String::new();
    for (case, plan) in SAMPLES {
        let files = sample_package(case, plan).documents.files;
        let names = kept(&files);
        let folder = root().join("tests/golden").join(case);
        if std::env::var_os("BLESS").is_some() {
            bless(&folder, &files, &names);
            continue;
        }
        let standing = standing(&folder);
        for name in names.union(&standing) {
            let old = fs::read(folder.join(name)).ok();
            let new = files.get(name).filter(|_| names.contains(name));
            if old.as_ref() != new {
                report(case, name, old.as_deref(), new.map(Vec::as_slice));
                let _ = write!(wrong, "\n  {case}/{name}");
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "differs from tests/golden, see target/golden/*/index.html; BLESS=1 accepts:{wrong}"
    );
}

fn standing(folder: &Path) -> BTreeSet<String> {
    if !folder.is_dir() {
        return BTreeSet::new();
    }
    let name = |path: &Path| {
        path.strip_prefix(folder)
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/")
    };
    crate::kit::snapshot(folder)
        .iter()
        .map(|(path, _)| name(path))
        .collect()
}

fn bless(folder: &Path, files: &BTreeMap<String, Vec<u8>>, names: &BTreeSet<String>) {
    drop(fs::remove_dir_all(folder));
    for name in names {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, &files[name]).unwrap();
    }
}

fn report(case: &str, name: &str, old: Option<&[u8]>, new: Option<&[u8]>) {
    let folder = root().join("target/golden").join(case);
    fs::create_dir_all(&folder).unwrap();
    let flat = name.replace('/', "_");
    let mut page = format!("<h2>{case}/{name}</h2>\n");
    for (which, bytes) in [("old", old), ("new", new)] {
        let Some(bytes) = bytes else {
            let _ = writeln!(page, "<p>{which}: there is none</p>");
            continue;
        };
        fs::write(folder.join(format!("{which}-{flat}")), bytes).unwrap();
        let shown = if name.ends_with(".svg") {
            "img"
        } else {
            "iframe"
        };
        let _ = writeln!(
            page,
            "<p>{which}</p><{shown} src=\"{which}-{flat}\" width=\"49%\" height=\"600\"></{shown}>"
        );
    }
    let index = folder.join("index.html");
    let before = fs::read_to_string(&index).unwrap_or_default();
    fs::write(index, before + &page).unwrap();
}
