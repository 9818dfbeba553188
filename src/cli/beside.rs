//! What drawings refer to, looked for beside them by name: no path in a drawing is followed, nothing is fetched.

use super::read_input;
use anyhow::Result;
use panelwright::drawing::reference_names;
use panelwright::package::InputFile;
use panelwright::rules;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Reads every drawing that the inputs, or what they refer to, name and that stands in the input's own folder.
///
/// - A name ending in `.dwg` is also looked for as `.dxf`, and the other way round: references are often handed on converted.
/// - Small and capital letters are the same: the drawings come from systems that do not tell them apart.
pub(super) fn beside(paths: &[PathBuf], inputs: &[InputFile]) -> Result<Vec<InputFile>> {
    let mut found = Vec::new();
    for (path, input) in paths.iter().zip(inputs) {
        if input.is_sketch() {
            continue;
        }
        let folder = path.parent().unwrap_or_else(|| Path::new(""));
        let mut seen: BTreeSet<PathBuf> = BTreeSet::from([path.clone()]);
        let mut queue = reference_names(&input.bytes);
        let there = if queue.is_empty() {
            Vec::new()
        } else {
            files_in(folder)
        };
        while let Some(name) = queue.pop() {
            let place = candidates(&name)
                .iter()
                .find_map(|name| {
                    let is_same = |it: &&String| it.to_lowercase() == name.to_lowercase();
                    let exact = there.iter().find(|it| *it == name);
                    exact.or_else(|| there.iter().find(is_same))
                })
                .map(|name| folder.join(name));
            let Some(place) = place.filter(|place| place.is_file()) else {
                continue;
            };
            if !seen.insert(place.clone()) {
                continue;
            }
            let file = read_input(&place)?;
            queue.extend(reference_names(&file.bytes));
            if !found
                .iter()
                .any(|known: &InputFile| known.name == file.name)
            {
                found.push(file);
            }
        }
    }
    Ok(found)
}

/// The earlier plan that a job names, by its path from the job file; `None` when it names none, or none is there.
pub(super) fn earlier_plan(job: Option<&Path>) -> Result<Option<InputFile>> {
    let Some(path) = job else { return Ok(None) };
    let file = read_input(path)?;
    let named = match rules::read_job(&file.text(), &file.name) {
        Ok(read) => read.output.corrected_plan,
        // What is wrong with the job is said where it is used.
        Err(_) => None,
    };
    let place = named.map(|name| path.parent().unwrap_or_else(|| Path::new("")).join(name));
    match place.filter(|place| place.is_file()) {
        Some(place) => Ok(Some(read_input(&place)?)),
        None => Ok(None),
    }
}

/// Names of what stands in a folder, sorted; none where it cannot be listed.
fn files_in(folder: &Path) -> Vec<String> {
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut names: Vec<String> = entries
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

/// Names under which a drawing may stand beside the one that refers to it.
fn candidates(name: &str) -> Vec<String> {
    // Only a plain name: what would lead out of the folder is not looked for.
    if name.is_empty() || name == "." || name == ".." || name.contains(['/', '\\', ':']) {
        return Vec::new();
    }
    let lower = name.to_lowercase();
    let stem = if lower.ends_with(".dwg") || lower.ends_with(".dxf") {
        name.get(..name.len() - 4).unwrap_or(name)
    } else {
        name
    };
    let mut names = vec![name.to_owned()];
    names.extend(["dxf", "dwg"].map(|ending| format!("{stem}.{ending}")));
    names
}
