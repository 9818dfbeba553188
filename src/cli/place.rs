//! Puts a package in its place whole, or not at all.
//!
//! ```text
//!   .out.new/  (written)  ──exchange──►  out/           one system call where there is one
//!                                         │
//!              else: out ──► out.old, .out.new ──► out   the next command finishes or undoes what was interrupted
//! ```
//!
//! A lock file beside the package, `.out.lock`, refuses a second run; the system drops the lock with the process.

use anyhow::{Context, Result, bail};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Component, Path, PathBuf};

/// A place for a package, locked until dropped.
#[derive(Debug)]
pub(crate) struct Place {
    target: PathBuf,
    staging: PathBuf,
    old: PathBuf,
    lock_path: PathBuf,
    lock: File,
}

/// What may stand at the target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    /// Only nothing or an empty folder.
    Refused,
    /// Files of this program, to be replaced.
    Replaced,
}

impl Place {
    /// Locks the place, finishes or undoes what an interrupted run left, and refuses what must not be overwritten.
    ///
    /// `proof_of_ours`: a folder that holds one of these files was written by this program. So was one that holds what `trace`
    /// writes and nothing else.
    pub(crate) fn claim(target: &Path, standing: Standing, proof_of_ours: &[&str]) -> Result<Self> {
        let shown = target.display();
        let name = target
            .file_name()
            .with_context(|| format!("{shown}: --out must name a folder"))?
            .to_string_lossy()
            .into_owned();
        let parent = match target.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
            _ => PathBuf::from("."),
        };
        let unwritable =
            || format!("{shown}: cannot be written beside its place; choose another --out");
        fs::create_dir_all(&parent).with_context(unwritable)?;
        let lock_path = parent.join(format!(".{name}.lock"));
        let lock = lock_file(&lock_path, &shown.to_string())?;
        let place = Self {
            target: target.to_path_buf(),
            staging: parent.join(format!(".{name}.new")),
            old: parent.join(format!("{name}.old")),
            lock_path,
            lock,
        };
        place.finish_or_undo()?;
        if target.is_file() {
            bail!("{shown}: is a file, not a folder; choose another --out");
        }
        if is_filled(target)? {
            if standing == Standing::Refused {
                bail!("{shown}: is not empty; choose another --out, or add --replace");
            }
            let is_ours = proof_of_ours.iter().any(|file| target.join(file).is_file());
            if !is_ours && let Some(foreign) = beside_trace(target)? {
                bail!(
                    "{shown}: holds no package of this program but '{foreign}', so --replace will not touch it; choose another --out, or \
                     move that away or delete the folder by hand if nothing in it is needed"
                );
            }
        }
        fs::create_dir(&place.staging).with_context(unwritable)?;
        Ok(place)
    }

    /// Writes all files beside the place, keeps the folders named in `kept`, then exchanges the two.
    pub(crate) fn put(self, files: &BTreeMap<String, Vec<u8>>, kept: &[&str]) -> Result<()> {
        // Names come from files too, such as marks of an earlier issue: none leads out of the package.
        let is_inside = |name: &&String| {
            let mut parts = Path::new(name).components();
            parts.all(|it| matches!(it, Component::Normal(_)))
        };
        if let Some(name) = files.keys().find(|it| !is_inside(it)) {
            bail!(
                "'{name}' leads out of the package: nothing was written; a file it was read from was altered"
            );
        }
        let mut made: Option<PathBuf> = None;
        for (name, bytes) in files {
            let path = self.staging.join(name);
            if let Some(folder) = path.parent()
                && made.as_deref() != Some(folder)
            {
                fs::create_dir_all(folder)
                    .with_context(|| format!("{}: cannot be made", folder.display()))?;
                made = Some(folder.to_path_buf());
            }
            fs::write(&path, bytes).with_context(|| {
                format!("{}: cannot be written; is the disk full?", path.display())
            })?;
        }
        for folder in kept {
            copy_tree(&self.target.join(folder), &self.staging.join(folder))?;
        }
        self.exchange()
    }

    fn exchange(&self) -> Result<()> {
        let shown = self.target.display();
        if !self.target.exists() {
            return fs::rename(&self.staging, &self.target)
                .with_context(|| format!("{shown}: cannot be put in place"));
        }
        if exchange_folders(&self.staging, &self.target) {
            return fs::remove_dir_all(&self.staging).with_context(|| {
                format!(
                    "{}: what was replaced cannot be removed",
                    self.staging.display()
                )
            });
        }
        remove_tree(&self.old)?;
        fs::rename(&self.target, &self.old)
            .with_context(|| format!("{shown}: cannot be moved aside; is a file in it open?"))?;
        fs::rename(&self.staging, &self.target).with_context(|| {
            format!(
                "{shown}: cannot be put in place; the old one is {}",
                self.old.display()
            )
        })
    }

    /// An interrupted run leaves a staging folder, and between two renames no target.
    fn finish_or_undo(&self) -> Result<()> {
        if !self.target.exists() && self.old.exists() {
            // The old package is moved aside only once staging is complete: so finish when staging is there.
            let (from, what) = if self.staging.exists() {
                (&self.staging, "finished")
            } else {
                (&self.old, "undone")
            };
            fs::rename(from, &self.target).with_context(|| {
                format!(
                    "{}: an interrupted exchange cannot be {what}",
                    self.target.display()
                )
            })?;
        }
        remove_tree(&self.staging)
    }
}

/// A path without links and dots, though its last parts may not be there yet.
pub(super) fn real(path: &Path) -> PathBuf {
    let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    let known = whole.ancestors().find_map(|it| {
        let found = fs::canonicalize(it).ok()?;
        Some(
            whole
                .strip_prefix(it)
                .map_or_else(|_| found.clone(), |rest| found.join(rest)),
        )
    });
    known.unwrap_or(whole)
}

impl Drop for Place {
    fn drop(&mut self) {
        // When one of these fails nothing better can be done here: the next run cleans up.
        drop(remove_tree(&self.staging));
        drop(fs::remove_file(&self.lock_path));
        drop(self.lock.unlock());
    }
}

/// Opens and locks a file, and makes sure that it is still the one at that path.
fn lock_file(path: &Path, shown: &str) -> Result<File> {
    loop {
        let file = File::create(path).with_context(|| {
            format!("{shown}: cannot be written beside its place; choose another --out")
        })?;
        match file.try_lock() {
            Ok(()) => {}
            Err(fs::TryLockError::WouldBlock) => {
                bail!(
                    "{shown}: another run is writing it; wait for that run, or choose another --out"
                )
            }
            Err(fs::TryLockError::Error(error)) => {
                return Err(error).with_context(|| format!("{}: cannot be locked", path.display()));
            }
        }
        if is_still_at(&file, path) {
            return Ok(file);
        }
    }
}

#[cfg(unix)]
fn is_still_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(ours), Ok(theirs)) => ours.ino() == theirs.ino() && ours.dev() == theirs.dev(),
        _ => false,
    }
}

#[cfg(not(unix))]
fn is_still_at(_file: &File, path: &Path) -> bool {
    path.exists()
}

/// Swaps two folders in one system call; false where there is none.
#[cfg(target_os = "linux")]
fn exchange_folders(a: &Path, b: &Path) -> bool {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE).is_ok()
}

#[cfg(not(target_os = "linux"))]
fn exchange_folders(_a: &Path, _b: &Path) -> bool {
    false
}

/// The first by name of what lies in a folder and is none of the files that `trace` writes; of a trace that lacks one, any file.
fn beside_trace(folder: &Path) -> Result<Option<String>> {
    let unreadable = || format!("{}: cannot be read", folder.display());
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).with_context(unreadable)? {
        let name = entry.with_context(unreadable)?.file_name();
        names.push(name.to_string_lossy().into_owned());
    }
    names.sort();
    let is_traced = |name: &String| {
        let is_picture = name.starts_with("trace") && name.ends_with(".svg");
        is_picture || name == "plan.json" || name == "findings.json"
    };
    let foreign = names.iter().find(|name| !is_traced(name));
    let is_whole = ["plan.json", "findings.json", "trace.svg"]
        .iter()
        .all(|file| folder.join(file).is_file());
    Ok(foreign.or(names.first().filter(|_| !is_whole)).cloned())
}

fn is_filled(folder: &Path) -> Result<bool> {
    match fs::read_dir(folder) {
        Ok(mut entries) => Ok(entries.next().is_some()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error).with_context(|| format!("{}: cannot be read", folder.display())),
    }
}

fn remove_tree(folder: &Path) -> Result<()> {
    match fs::remove_dir_all(folder) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(error).with_context(|| {
            format!(
                "{}: left by an interrupted run, cannot be removed",
                folder.display()
            )
        }),
    }
}

fn copy_tree(from: &Path, to: &Path) -> Result<()> {
    if !from.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let (source, copy) = (entry.path(), to.join(entry.file_name()));
        if entry.file_type()?.is_dir() {
            copy_tree(&source, &copy)?;
        } else {
            fs::copy(&source, &copy)
                .with_context(|| format!("{}: cannot be kept", source.display()))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const OURS: &[&str] = &["manifest.json"];

    fn scratch(name: &str) -> PathBuf {
        let folder =
            std::env::temp_dir().join(format!("panelwright-place-{}-{name}", std::process::id()));
        drop(fs::remove_dir_all(&folder));
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    fn package(text: &str) -> BTreeMap<String, Vec<u8>> {
        ["manifest.json", "sheets/one.svg"]
            .map(|name| (name.to_owned(), text.into()))
            .into()
    }

    #[test]
    fn a_package_is_put_in_place_and_replaced_whole_and_review_is_kept() {
        let out = scratch("replace").join("out");
        Place::claim(&out, Standing::Refused, OURS)
            .unwrap()
            .put(&package("one"), &["review"])
            .unwrap();
        let refused = Place::claim(&out, Standing::Refused, OURS).unwrap_err();
        assert!(refused.to_string().contains("--replace"));
        fs::create_dir(out.join("review")).unwrap();
        fs::write(out.join("review/log.json"), "marks").unwrap();
        Place::claim(&out, Standing::Replaced, OURS)
            .unwrap()
            .put(&package("two"), &["review"])
            .unwrap();
        assert_eq!(
            fs::read_to_string(out.join("sheets/one.svg")).unwrap(),
            "two"
        );
        assert_eq!(
            fs::read_to_string(out.join("review/log.json")).unwrap(),
            "marks"
        );
        let beside: Vec<_> = fs::read_dir(out.parent().unwrap())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        assert_eq!(beside, ["out"], "nothing is left beside the package");
    }

    #[test]
    fn no_name_leads_out_of_the_package() {
        let out = scratch("inside").join("out");
        let beside = out.with_file_name("evil");
        for name in ["sheets/../../evil", beside.to_str().unwrap()] {
            let files = BTreeMap::from([(name.to_owned(), b"evil".to_vec())]);
            let place = Place::claim(&out, Standing::Refused, OURS).unwrap();
            let error = place.put(&files, &[]).unwrap_err().to_string();
            assert!(error.contains("leads out of the package"), "{error}");
            assert!(!beside.exists() && !out.exists());
        }
    }

    #[test]
    fn a_folder_that_is_no_package_is_never_replaced() {
        let out = scratch("foreign").join("out");
        fs::create_dir(&out).unwrap();
        fs::write(out.join("thesis.txt"), "mine").unwrap();
        let error = Place::claim(&out, Standing::Replaced, OURS).unwrap_err();
        let said = error.to_string();
        assert!(
            said.contains("no package") && said.contains("but 'thesis.txt'"),
            "{said}"
        );
        assert!(
            said.contains("another --out, or") && said.contains("by hand"),
            "{said}"
        );
        assert_eq!(fs::read_to_string(out.join("thesis.txt")).unwrap(), "mine");
    }

    #[test]
    fn a_trace_is_replaced_by_a_package_and_a_trace_with_a_file_of_its_readers_is_not() {
        let out = scratch("traced").join("out");
        fs::create_dir(&out).unwrap();
        for name in ["plan.json", "findings.json", "trace.svg"] {
            fs::write(out.join(name), "traced").unwrap();
        }
        fs::write(out.join("notes.txt"), "mine").unwrap();
        let error = Place::claim(&out, Standing::Replaced, OURS).unwrap_err();
        assert!(error.to_string().contains("but 'notes.txt'"), "{error}");
        fs::remove_file(out.join("notes.txt")).unwrap();
        drop(Place::claim(&out, Standing::Replaced, OURS).unwrap());
    }

    #[test]
    fn a_second_run_is_refused_while_the_first_holds_the_place() {
        let out = scratch("locked").join("out");
        let first = Place::claim(&out, Standing::Refused, OURS).unwrap();
        assert!(
            Place::claim(&out, Standing::Refused, OURS)
                .unwrap_err()
                .to_string()
                .contains("another run")
        );
        drop(first);
        Place::claim(&out, Standing::Refused, OURS).unwrap();
    }

    #[test]
    fn an_interrupted_exchange_is_finished_or_undone() {
        let folder = scratch("interrupted");
        let (out, old, new) = (
            folder.join("out"),
            folder.join("out.old"),
            folder.join(".out.new"),
        );
        for (holds_new, expected) in [(true, "new"), (false, "old")] {
            drop(fs::remove_dir_all(&out));
            fs::create_dir_all(&old).unwrap();
            fs::write(old.join("manifest.json"), "old").unwrap();
            if holds_new {
                fs::create_dir_all(&new).unwrap();
                fs::write(new.join("manifest.json"), "new").unwrap();
            }
            drop(Place::claim(&out, Standing::Replaced, OURS).unwrap());
            assert_eq!(
                fs::read_to_string(out.join("manifest.json")).unwrap(),
                expected
            );
            assert!(!new.exists());
        }
    }

    #[test]
    fn an_interrupted_write_leaves_the_old_package_whole() {
        let out = scratch("write").join("out");
        Place::claim(&out, Standing::Refused, OURS)
            .unwrap()
            .put(&package("one"), &[])
            .unwrap();
        let place = Place::claim(&out, Standing::Replaced, OURS).unwrap();
        fs::write(place.staging.join("half"), "half").unwrap();
        drop(place);
        assert_eq!(
            fs::read_to_string(out.join("manifest.json")).unwrap(),
            "one"
        );
    }
}
