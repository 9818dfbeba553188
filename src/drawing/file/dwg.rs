//! DWG of releases 12 to 2018: turned in memory into a binary DXF, which is then read like any other.
//!
//! ```text
//!   bytes of a DWG ──► acadrust's document ──► binary DXF ──► the reader of DXF
//!                            └── every handle of it is looked for in what was read; what is not there is named
//! ```
//!
//! So a DWG and the DXF saved from the same program give the same drawing, the same census, the same messages, and handles are
//! those of the DWG. What the conversion cannot carry is counted by kind, never lost in silence. The crate is MPL-2.0, used
//! unmodified; releases before 12 are refused by name. Damaged files are read as far as they go, with a doubt.

use crate::drawing::codes;
use crate::drawing::error::{DrawingError, dwg_version, release_name};
use crate::drawing::file::contents::Contents;
use crate::findings::{Finding, Place};
use acadrust::entities::EntityType;
use acadrust::{CadDocument, DwgReadOptions, DwgReader, DxfWriter};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Sections of a DWG may unpack to this much, bytes; beyond it the file is hostile.
const MOST_UNPACKED: usize = 1 << 30;

/// A DWG as a DXF.
#[derive(Debug)]
pub(in crate::drawing) struct Converted {
    /// A binary DXF.
    pub(in crate::drawing) bytes: Vec<u8>,
    /// The DWG's own version, such as `AC1027`.
    pub(in crate::drawing) version: String,
    /// Every entity of the DWG: handle and kind, by handle.
    entities: BTreeMap<u64, String>,
    /// What was noticed while reading.
    pub(in crate::drawing) findings: Vec<Finding>,
}

/// Converts a DWG; `None` when the bytes are none.
pub(in crate::drawing) fn convert(
    bytes: &[u8],
    file: &str,
) -> Result<Option<Converted>, DrawingError> {
    let Some(version) = dwg_version(bytes) else {
        return Ok(None);
    };
    let refuse = |reason: String| DrawingError::Dwg {
        file: file.to_owned(),
        version: named(version),
        reason,
    };
    if version < "AC1009" || release_name(version).is_none() {
        return Err(refuse(
            "releases 12 to 2018 are read; save it as a DWG of release 2018 or as DXF".to_owned(),
        ));
    }
    let mut findings = Vec::new();
    let mut document = match read(bytes, DwgReadOptions::default()) {
        Ok(document) => document,
        Err(reason) => {
            let options = DwgReadOptions::failsafe();
            // What gives nothing even so is no drawing read as far as it goes.
            let document = read(bytes, options)
                .ok()
                .filter(|document| document.entities().next().is_some())
                .ok_or_else(|| {
                    refuse(format!(
                        "it cannot be read: {reason}; save it again from the CAD program"
                    ))
                })?;
            findings.push(Finding::doubt(
                codes::DAMAGED_DWG,
                Place::file(file),
                format!("the DWG is damaged and was read as far as it goes: {reason}"),
                "ask for a fresh copy; until then check the plan line by line against a print",
            ));
            document
        }
    };
    let entities = document
        .entities()
        .map(|entity| (entity.common().handle.value(), kind_of(entity)))
        .collect();
    let bytes = write(&mut document).map_err(|reason| {
        refuse(format!(
            "it cannot be turned into a DXF: {reason}; save it as DXF from the CAD program"
        ))
    })?;
    Ok(Some(Converted {
        bytes,
        version: version.to_owned(),
        entities,
        findings,
    }))
}

fn named(version: &str) -> String {
    match release_name(version) {
        Some(release) => format!("{version}, {release}"),
        None => format!("{version}, an unknown release"),
    }
}

fn read(bytes: &[u8], options: DwgReadOptions) -> Result<CadDocument, String> {
    let options = options.with_max_decompressed_bytes(MOST_UNPACKED);
    catch_unwind(AssertUnwindSafe(|| {
        DwgReader::from_stream_with_options(Cursor::new(bytes), options).read()
    }))
    .map_err(|_| "its reader gave up on it".to_owned())?
    .map_err(|error| error.to_string())
}

/// Writes the document; where one entity stops the writer, those of unknown kinds are taken out first.
fn write(document: &mut CadDocument) -> Result<Vec<u8>, String> {
    match write_once(document) {
        Ok(bytes) => Ok(bytes),
        Err(_) => {
            let unknown: Vec<_> = document
                .entities()
                .filter(|entity| matches!(entity, EntityType::Unknown(_) | EntityType::Extended(_)))
                .map(|entity| entity.common().handle)
                .collect();
            for handle in unknown {
                document.remove_entity(handle);
            }
            write_once(document)
        }
    }
}

fn write_once(document: &CadDocument) -> Result<Vec<u8>, String> {
    catch_unwind(AssertUnwindSafe(|| {
        DxfWriter::new_binary(document)
            .with_version(acadrust::types::DxfVersion::AC1032)
            .write_to_vec()
    }))
    .map_err(|_| "its writer gave up on it".to_owned())?
    .map_err(|error| error.to_string())
}

/// The kind of an entity as DXF names it, as far as the crate tells.
fn kind_of(entity: &EntityType) -> String {
    match entity {
        EntityType::Unknown(it) => it.dxf_name.to_uppercase(),
        other => other.as_entity().entity_type().to_uppercase(),
    }
}

impl Converted {
    /// Entities of the DWG that are not in the DXF made from it, by kind.
    pub(in crate::drawing) fn lost(&self, contents: &Contents<'_>) -> BTreeMap<&str, usize> {
        let there: BTreeSet<u64> = contents
            .records
            .iter()
            .filter_map(|record| record.handle)
            .collect();
        let mut lost: BTreeMap<&str, usize> = BTreeMap::new();
        for (handle, kind) in &self.entities {
            // Attributes stand in their insertion, end marks are no drawing.
            if !there.contains(handle) && !matches!(kind.as_str(), "SEQEND" | "VERTEX" | "ATTRIB") {
                *lost.entry(kind).or_default() += 1;
            }
        }
        lost
    }
}

/// The finding about entities that the conversion could not carry; `None` when it carried all.
pub(in crate::drawing) fn about_lost(lost: &BTreeMap<&str, usize>, file: &str) -> Option<Finding> {
    if lost.is_empty() {
        return None;
    }
    let kinds: Vec<String> = lost
        .iter()
        .map(|(kind, count)| format!("{count} {kind}"))
        .collect();
    Some(Finding::doubt(
        codes::NOT_CONVERTED,
        Place::file(file),
        format!(
            "the DWG holds entities that are not read: {}",
            kinds.join(", ")
        ),
        "if walls or openings are drawn by them, explode them in the CAD program and save again, or export DXF",
    ))
}
