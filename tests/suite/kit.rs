//! What the tests of this suite share: samples, scratch folders, runs of the program.

use panelwright::documents::PdfFiles;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// The samples: folder, plan file, job file.
pub(crate) const SAMPLES: &[(&str, &str)] = &[
    ("bunkhouse", "plan.dxf"),
    ("cottage", "plan.dxf"),
    ("workshop", "plan.dxf"),
    ("napkin", "sketch.toml"),
    ("lookout", "plan.dxf"),
];

/// The root of the project.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A file of a sample.
pub(crate) fn sample_file(case: &str, file: &str) -> InputFile {
    let path = root().join("sample-drawings").join(case).join(file);
    let bytes = fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    InputFile {
        name: file.to_owned(),
        bytes,
    }
}

/// The package of a sample: made once, however many tests ask.
pub(crate) fn sample_package(case: &str, plan: &str) -> Made {
    static MADE: [OnceLock<Made>; SAMPLES.len()] = [const { OnceLock::new() }; SAMPLES.len()];
    let index = SAMPLES.iter().position(|it| *it == (case, plan));
    let index = index.unwrap_or_else(|| panic!("{case} is no sample"));
    MADE[index]
        .get_or_init(|| make_sample_package(case, plan))
        .clone()
}

/// The package of a sample, made anew.
pub(crate) fn make_sample_package(case: &str, plan: &str) -> Made {
    make_sample_with(case, plan, "")
}

/// The package of a sample with more in its job.
pub(crate) fn make_sample_with(case: &str, plan: &str, more: &str) -> Made {
    let mut job = sample_file(case, "job.toml");
    job.bytes.extend_from_slice(more.as_bytes());
    make_sample_under(case, plan, job)
}

/// The package of a sample under another job.
pub(crate) fn make_sample_under(case: &str, plan: &str, job: InputFile) -> Made {
    let options = MakeOptions {
        job: Some(job),
        ..MakeOptions::default()
    };
    make(&[sample_file(case, plan)], &options, &mut |_| {})
        .unwrap_or_else(|error| panic!("{case}: {error}"))
}

/// A sample under other plant rules, without its PDF.
pub(crate) fn sample_under(case: &str, plan: &str, rules: &str) -> Made {
    let options = MakeOptions {
        job: Some(sample_file(case, "job.toml")),
        rules: Some(InputFile {
            name: "plant.toml".to_owned(),
            bytes: rules.as_bytes().to_vec(),
        }),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[sample_file(case, plan)], &options, &mut |_| {})
        .unwrap_or_else(|error| panic!("{case}: {error}"))
}

/// Rows of a package's list by the names of their columns.
pub(crate) fn rows(made: &Made, name: &str) -> Vec<BTreeMap<String, String>> {
    let list = &made.documents.files[&format!("lists/{name}.csv")];
    let mut reader = csv::Reader::from_reader(list.as_slice());
    reader.deserialize().map(Result::unwrap).collect()
}

/// All words of a sheet in the order of the file, lines of one text joined: `sheets/Z-101-key-plan.svg`.
pub(crate) fn sheet_words(made: &Made, path: &str) -> String {
    let files = &made.documents.files;
    let file = files.get(path);
    let file = file.unwrap_or_else(|| panic!("no {path} in {:?}", files.keys()));
    let text = std::str::from_utf8(file).unwrap();
    let svg = roxmltree::Document::parse(text).unwrap();
    let texts = svg.descendants().filter(|it| it.has_tag_name("text"));
    let words = texts.flat_map(|it| it.descendants());
    let words = words.filter(|it| it.is_text()).filter_map(|it| it.text());
    words.collect::<Vec<_>>().join(" ")
}

/// An empty folder for one test, emptied before use.
pub(crate) fn scratch(name: &str) -> PathBuf {
    let folder = root().join("target/suite").join(name);
    drop(fs::remove_dir_all(&folder));
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// Runs the program.
pub(crate) fn panelwright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_panelwright"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

/// Every file below a folder with its bytes, to see whether anything changed.
pub(crate) fn snapshot(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = fs::read(&path).unwrap();
                found.push((path, bytes));
            }
        }
    }
    found.sort();
    found
}
