//! Drawings that a drawing refers to: found among the files handed in by their name, and only by their name.
//!
//! ```text
//!   block 'site' refers to "..\\base\\site.dwg" ──► site.dwg or site.dxf beside the drawing ──► unfolded where it is placed
//! ```
//!
//! No path of the file is ever followed, and nothing is fetched: whoever reads the disk hands in what stands beside the drawing.

use crate::drawing::entities::ordinary::{self, Reading};
use crate::drawing::file::contents::Contents;
use crate::drawing::file::dwg::{self, Converted};
use crate::drawing::{codes, entities::direct};
use crate::findings::{Finding, Place};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// A file that a drawing may refer to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reference<'a> {
    /// File name; folders before it are not looked at.
    pub name: &'a str,
    /// Its bytes.
    pub bytes: &'a [u8],
}

/// Names of the drawings that a drawing refers to, without their folders: what to look for beside it. Empty for what is no
/// drawing.
#[must_use]
pub fn reference_names(bytes: &[u8]) -> Vec<String> {
    let converted = dwg::convert(bytes, "").ok().flatten();
    let bytes = converted.as_ref().map_or(bytes, |it| &it.bytes);
    names(&Contents::read(bytes))
}

fn names(contents: &Contents<'_>) -> Vec<String> {
    let names: BTreeSet<String> = contents
        .blocks
        .iter()
        .filter_map(|block| Some(file_name(block.reference.as_deref()?).to_owned()))
        .collect();
    names.into_iter().collect()
}

/// The last part of a path of either kind.
pub(in crate::drawing) fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path).trim()
}

/// The name that files are compared by: no folder, no ending `.dwg` or `.dxf`, upper case.
pub(in crate::drawing) fn stem(path: &str) -> String {
    let upper = file_name(path).to_uppercase();
    match upper.rsplit_once('.') {
        Some((stem, "DWG" | "DXF")) => stem.to_owned(),
        _ => upper,
    }
}

/// A referred drawing's bytes, as DXF.
pub(in crate::drawing) struct Opened<'a> {
    pub(in crate::drawing) name: &'a str,
    pub(in crate::drawing) bytes: Cow<'a, [u8]>,
    pub(in crate::drawing) converted: Option<Converted>,
}

/// One drawing file, walked and read: the drawing itself or one it refers to.
pub(in crate::drawing) struct Part<'a> {
    pub(in crate::drawing) name: &'a str,
    pub(in crate::drawing) contents: &'a Contents<'a>,
    pub(in crate::drawing) readings: Vec<Option<Reading>>,
}

/// Opens the references that `contents` and they themselves refer to, in the order met, each once.
pub(in crate::drawing) fn open<'a>(
    contents: &Contents<'_>,
    references: &[Reference<'a>],
    own: &str,
    file: &str,
    findings: &mut Vec<Finding>,
) -> Vec<Opened<'a>> {
    let mut seen: BTreeSet<String> = BTreeSet::from([stem(own)]);
    let mut queue = names(contents);
    let mut opened = Vec::new();
    while !queue.is_empty() {
        let mut next = Vec::new();
        for wanted in queue {
            if !seen.insert(stem(&wanted)) {
                continue;
            }
            let Some(found) = references.iter().find(|it| stem(it.name) == stem(&wanted)) else {
                continue;
            };
            match dwg::convert(found.bytes, found.name) {
                Ok(converted) => {
                    let bytes = match &converted {
                        Some(it) => Cow::Owned(it.bytes.clone()),
                        None => Cow::Borrowed(found.bytes),
                    };
                    let own = Contents::read(&bytes);
                    if own.sections.is_empty() {
                        findings.push(unreadable(found.name, "it is no drawing", file));
                        continue;
                    }
                    next.extend(names(&own));
                    opened.push(Opened {
                        name: found.name,
                        bytes,
                        converted,
                    });
                }
                Err(error) => findings.push(unreadable(found.name, &error.to_string(), file)),
            }
        }
        queue = next;
    }
    opened
}

fn unreadable(name: &str, why: &str, file: &str) -> Finding {
    Finding::doubt(
        codes::REFERENCE,
        Place::file(file),
        format!("the external drawing '{name}' stands beside the file and cannot be read: {why}"),
        "if walls are drawn in it, bind the references and save the drawing again",
    )
}

/// Reads the entities of a walked file.
pub(in crate::drawing) fn read_part<'a>(name: &'a str, contents: &'a Contents<'a>) -> Part<'a> {
    let mut readings = vec![None; contents.records.len()];
    ordinary::read_ordinary(contents, &mut readings);
    direct::read_direct(contents, &mut readings);
    Part {
        name,
        contents,
        readings,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_compared_by_their_last_name() {
        for path in [
            "..\\base\\Site.dwg",
            "/home/x/site.DXF",
            "site",
            "SITE.dwg ",
        ] {
            assert_eq!(stem(path), "SITE", "{path}");
        }
        assert_eq!(stem("plan.v2.dwg"), "PLAN.V2");
        assert_eq!(stem("photo.jpg"), "PHOTO.JPG");
    }
}
