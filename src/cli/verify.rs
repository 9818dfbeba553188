//! `panelwright verify`: reads a package's files and proves them.

use super::args::Shared;
use super::{COMPLETE, HELD, report};
use anyhow::{Context, Result};
use panelwright::documents::findings_json;
use panelwright::verify::verify_package;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Folders of a package are not nested deeper than this; a link that leads round in a circle ends here.
const DEEPEST: usize = 8;

/// Proves the package in `dir`: 0 proved, 1 a proof failed; what is no package is refused.
pub(super) fn run(dir: &Path, shared: &Shared) -> Result<u8> {
    let files = super::read_package(dir)?;
    let proved = verify_package(&files).with_context(|| format!("{}", dir.display()))?;
    let lines = proved.output.lines().join("\n");
    let summary = format!("{lines}\n{}: {}", dir.display(), proved.output.summary());
    let json = findings_json(&proved.findings);
    report::report(shared, &proved.findings, &json, &summary);
    Ok(if proved.output.is_proved() {
        COMPLETE
    } else {
        HELD
    })
}

/// Reads every file below a folder by its name in the package, with `/`.
pub(super) fn read_folder(
    folder: &Path,
    prefix: &str,
    depth: usize,
    files: &mut BTreeMap<String, Vec<u8>>,
) -> Result<()> {
    let unreadable = || format!("{}: cannot be read", folder.display());
    if depth > DEEPEST {
        anyhow::bail!("{}: folders are nested too deeply", folder.display());
    }
    for entry in fs::read_dir(folder).with_context(unreadable)? {
        let path = entry.with_context(unreadable)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let name = format!("{prefix}{name}");
        if path.is_dir() {
            read_folder(&path, &format!("{name}/"), depth + 1, files)?;
        } else {
            let bytes = fs::read(&path);
            let bytes = bytes.with_context(|| format!("{}: cannot be read", path.display()))?;
            files.insert(name, bytes);
        }
    }
    Ok(())
}
