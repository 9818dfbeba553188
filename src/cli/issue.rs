//! Which issue comes before the one to be made, and what is never lost by making it.
//!
//! ```text
//!   --revise OLD, else `revises` in job.toml ──► the issue before
//!   --out with --replace ──► made again only while it is a draft: nothing came back on it, no later issue, nothing of it released
//! ```

use super::place::real;
use super::read_package;
use anyhow::{Result, bail};
use panelwright::package::InputFile;
use panelwright::rules::{self, PanelStatus};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

type Files = BTreeMap<String, Vec<u8>>;

/// The issue before the one that is made.
#[derive(Debug, Default)]
pub(super) struct IssueBefore {
    /// Its files; `None`: a first issue is made.
    pub(super) files: Option<Files>,
    /// Its folder.
    folder: Option<PathBuf>,
    /// Panels that the job names as no longer only on paper.
    locked: BTreeSet<String>,
}

impl IssueBefore {
    /// The package that `--revise` names, else the job by its path from the job file.
    pub(super) fn read(revise: Option<&Path>, job: Option<(&Path, &InputFile)>) -> Result<Self> {
        // What is wrong with the job is said where it is used.
        let said = job.and_then(|(path, file)| {
            let read = rules::read_job(&file.text(), &file.name).ok()?;
            Some((path, read.output))
        });
        let named = said.as_ref().and_then(|(path, job)| {
            let beside = path.parent().unwrap_or_else(|| Path::new(""));
            job.revises.as_ref().map(|name| beside.join(name))
        });
        let panels = said.iter().flat_map(|(_, job)| &job.panels);
        let locked = panels
            .filter(|panel| panel.status != PanelStatus::Open)
            .map(|panel| panel.mark.clone())
            .collect();
        let folder = revise.map(Path::to_path_buf).or(named);
        let files = match (&folder, revise, &said) {
            (Some(folder), None, Some((path, _))) if !folder.join("manifest.json").is_file() => {
                bail!(
                    "{}: revises names {}, which holds no package; put the issue before there, or take the key out",
                    path.display(),
                    folder.display()
                )
            }
            (Some(folder), _, _) => Some(read_package(folder)?),
            (None, _, _) => None,
        };
        Ok(Self {
            files,
            folder,
            locked,
        })
    }

    /// Refuses what needs no run to be known: a package that would be overwritten by its own next issue, or without a word.
    pub(super) fn refuse_early(&self, out: &Path, is_replaced: bool) -> Result<()> {
        let shown = out.display();
        let is_own = |folder: &PathBuf| real(folder) == real(out);
        if self.folder.as_ref().is_some_and(is_own) {
            bail!(
                "{shown}: is the issue that is revised, and an issued package is never altered; choose another --out"
            );
        }
        if !is_replaced && let Some(old) = Standing::read(out) {
            bail!(
                "{shown}: holds issue {} of a job. For its next issue choose another --out and add --revise {shown} (or revises in job.toml); to make this one again before it goes out, add --replace",
                old.issue
            );
        }
        Ok(())
    }

    /// Refuses a package that would take the place of one that has gone out.
    ///
    /// - Returns the folders of the old package that the new one keeps: what came back, where it is the very same package.
    pub(super) fn kept(&self, out: &Path, files: &Files) -> Result<&'static [&'static str]> {
        let Some(old) = Standing::read(out) else {
            return Ok(&[]);
        };
        let new = files.get("manifest.json").map(Vec::as_slice);
        if new == Some(&old.manifest) {
            return Ok(&["review"]);
        }
        let number = new.map_or(0, issue_of);
        let why = if old.issue > number {
            format!(
                "holds issue {} of a job, and issue {number} would take its place",
                old.issue
            )
        } else if let Some(mark) = old.open.intersection(&self.locked).next() {
            format!("is the issue that {mark} was released from")
        } else if old.came_back {
            "has marks or answers in review/, which answer it as it is".to_owned()
        } else {
            return Ok(&[]);
        };
        let shown = out.display();
        bail!(
            "{shown}: {why}; nothing was written. For the next issue choose another --out and add --revise {shown} (or revises in job.toml); if this one never went out, move it away first"
        )
    }
}

/// A package that stands where the new one is to go.
struct Standing {
    manifest: Vec<u8>,
    issue: u64,
    /// Marks of panels that it has as still on paper.
    open: BTreeSet<String>,
    came_back: bool,
}

impl Standing {
    fn read(out: &Path) -> Option<Self> {
        let manifest = fs::read(out.join("manifest.json")).ok()?;
        let panels = fs::read(out.join("panels.json")).unwrap_or_default();
        let panels: Value = serde_json::from_slice(&panels).unwrap_or_default();
        let open = panels["panels"].as_array().into_iter().flatten();
        let open = open
            .filter(|panel| panel["status"] == "open")
            .filter_map(|panel| Some(panel["mark"].as_str()?.to_owned()))
            .collect();
        Some(Self {
            issue: issue_of(&manifest),
            manifest,
            open,
            came_back: came_back(&out.join("review")),
        })
    }
}

fn issue_of(manifest: &[u8]) -> u64 {
    let read: Value = serde_json::from_slice(manifest).unwrap_or_default();
    read["issue"].as_u64().unwrap_or_default()
}

/// True when a review holds more than the marks of the issue before, with which a package starts.
fn came_back(review: &Path) -> bool {
    let Ok(entries) = fs::read_dir(review) else {
        return false;
    };
    entries.flatten().any(|entry| {
        let path = entry.path();
        match path.file_name().and_then(|name| name.to_str()) {
            Some("log.json") => has_own_marks(&fs::read(&path).unwrap_or_default()),
            Some(name) => Path::new(name)
                .extension()
                .is_none_or(|ending| ending != "svg"),
            None => true,
        }
    })
}

/// True for a log with a mark made on this very issue, or answered on it, or that cannot be read.
fn has_own_marks(log: &[u8]) -> bool {
    let read: Value = serde_json::from_slice(log).unwrap_or_default();
    read["marks"]
        .as_array()
        .is_none_or(|marks| marks.iter().any(|mark| mark["carried_from"].is_null()))
}
