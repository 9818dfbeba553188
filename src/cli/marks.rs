//! `panelwright marks`: reads marked sheets into `review/` of a package, and touches nothing else of it.

use super::args::Shared;
use super::{COMPLETE, HELD, REFUSED, read_input, read_package, report};
use anyhow::{Context, Result, bail};
use panelwright::documents::findings_json;
use panelwright::findings::Severity;
use panelwright::review::{MarkStatus, Review, read_marks};
use panelwright::units::counted;
use std::fs;
use std::path::{Path, PathBuf};

/// Reads the marks: 0 all read, 1 a file was refused and others were read, 2 nothing was read.
pub(super) fn run(dir: &Path, marked: &[PathBuf], shared: &Shared) -> Result<u8> {
    let files = read_package(dir)?;
    let marked = marked
        .iter()
        .map(|path| read_input(path))
        .collect::<Result<Vec<_>>>()?;
    let read = read_marks(&files, &marked).with_context(|| dir.display().to_string())?;
    let review = read.output;
    let is_refused = review.n_refused == marked.len() && !marked.is_empty();
    if !is_refused {
        put(dir, &review)?;
    }
    let open = |status| {
        let marks = review.log.marks.iter();
        marks.filter(|mark| mark.status == status).count()
    };
    let summary = format!(
        "{}: {} new marks; {} in all: {} open, {} answered, {} closed; see review/log.json",
        dir.display(),
        review.n_added,
        review.log.marks.len(),
        open(MarkStatus::Open),
        open(MarkStatus::Answered),
        open(MarkStatus::Closed)
    );
    let summary = match review.n_answers {
        0 => summary,
        n => format!(
            "{summary}; {} to questions: see review/proposed.toml",
            counted(n, "new answer")
        ),
    };
    let json = findings_json(&read.findings);
    report::report(shared, &read.findings, &json, &summary);
    let has_fault = read
        .findings
        .iter()
        .any(|finding| finding.severity == Severity::Fault);
    Ok(match (is_refused, has_fault) {
        (true, _) => REFUSED,
        (false, true) => HELD,
        (false, false) => COMPLETE,
    })
}

/// Writes the files of a review, each whole or not at all, the log last: it names the others.
fn put(dir: &Path, review: &Review) -> Result<()> {
    let folder = dir.join("review");
    if folder.is_symlink() {
        bail!(
            "{}: is a link; nothing is written through it",
            folder.display()
        );
    }
    fs::create_dir_all(&folder).with_context(|| format!("{}: cannot be made", folder.display()))?;
    let is_log = |name: &str| name.ends_with("log.json");
    let others = review.files.iter().filter(|(name, _)| !is_log(name));
    let log = review.files.iter().filter(|(name, _)| is_log(name));
    for (name, bytes) in others.chain(log) {
        let path = dir.join(name);
        let beside = path.with_extension("new");
        fs::write(&beside, bytes)
            .and_then(|()| fs::rename(&beside, &path))
            .with_context(|| format!("{}: cannot be written; is the disk full?", path.display()))?;
    }
    Ok(())
}
