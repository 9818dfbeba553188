//! Reads an architect's drawing into flat strokes, texts and dimensions in inches.
//!
//! ```text
//!   bytes ──► pairs (code, value, line) ──► entities ──► blocks unfolded ──► units voted ──► Drawing
//! ```
//!
//! *Promises.* Nothing is dropped without being counted and named in the census; every stroke keeps the handle, layer and
//! block path it came from; a fault is local to one entity; coordinates are inches, in the drawing's own axes.
//!
//! *Does not do.* No opinion on what is a wall: that is `plan`.

mod affine;
mod areas;
mod census;
pub mod codes;
mod contents;
mod crate_shapes;
mod curves;
mod direct;
mod error;
mod evidence;
mod finish;
mod flat;
mod lettering;
mod letters;
mod model;
mod ordinary;
mod pairs;
mod pieces;
mod shape;
mod sketch;
mod sketch_file;
mod sketch_openings;
mod solids;
mod splines;
mod survey;
mod unfold;
mod vote;
mod walk;
mod wide;

pub use error::DrawingError;
pub use model::{
    BlockPlacement, Census, CensusRow, Curve, Dimension, Drawing, DrawingUnit, Fill, FillKind,
    Layer, Scale, Sketch, SketchOpening, SketchWall, Source, SourceIndex, Stroke, Text, UnitVote,
};

pub use sketch::read_sketch;
pub use sketch_file::sketch_schema;
pub use survey::{survey, survey_json};

use crate::findings::{Finding, Outcome, Place};
use contents::Contents;
use std::ops::Range;

/// How to read a drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DrawingOptions {
    /// The unit, where the user states it; it overrules every vote. Default: `None`, the votes decide.
    pub unit: Option<DrawingUnit>,
}

/// Reads a DXF of any release, text or binary.
///
/// # Errors
/// [`DrawingError`] when the file is no DXF, breaks off inside its entities, or draws nothing.
pub fn read_drawing(
    bytes: &[u8],
    file: &str,
    options: &DrawingOptions,
) -> Result<Outcome<Drawing>, DrawingError> {
    if let Some(error) = error::not_dxf(bytes, file) {
        return Err(error);
    }
    let contents = Contents::read(bytes);
    refuse(&contents, file)?;
    let mut readings = vec![None; contents.records.len()];
    ordinary::read_ordinary(&contents, &mut readings);
    direct::read_direct(&contents, &mut readings);
    let mut flat = unfold::unfold(&contents, &readings, file, &model_space(&contents));
    let mut findings = census::findings(&contents, &readings, file);
    findings.append(&mut flat.findings);
    let census = census::census(&contents, &readings, &flat);
    if flat.curves.is_empty() && flat.areas.is_empty() {
        return Err(DrawingError::NothingDrawn {
            file: file.to_owned(),
            reason: census::why_nothing(&census, &findings),
        });
    }
    let scale = scale(&contents, &flat, file, options, &mut findings);
    let mut drawing = finish::finish(&contents, flat, scale, file);
    drawing.census = census;
    Ok(Outcome {
        output: drawing,
        findings,
    })
}

/// Refuses what is no DXF or only half of one.
fn refuse(contents: &Contents<'_>, file: &str) -> Result<(), DrawingError> {
    if contents.sections.is_empty() {
        return Err(error::no_sections(contents.bytes, file));
    }
    let has_entities = contents.sections.iter().any(|name| name == "ENTITIES");
    if let Some(cut) = &contents.cut
        && (!has_entities || cut.section == "ENTITIES")
    {
        // The last record may itself be cut: the one before it is whole.
        let last = contents.records.iter().rev().nth(1);
        return Err(DrawingError::Truncated {
            file: file.to_owned(),
            section: cut.section.clone(),
            line: cut.line,
            last: last.map_or_else(
                || "none".to_owned(),
                |record| format!("{} {}", contents.kind(record), contents.handle(record)),
            ),
        });
    }
    Ok(())
}

/// The records of model space: the ENTITIES section, and what some programs write into the block of that name.
fn model_space(contents: &Contents<'_>) -> Vec<Range<usize>> {
    contents
        .blocks
        .iter()
        .filter(|block| census::space_of_block(&block.name) == "model")
        .map(|block| block.records.clone())
        .chain(contents.entities.iter().cloned())
        .collect()
}

/// Votes on the unit, and says what the vote does not settle.
fn scale(
    contents: &Contents<'_>,
    flat: &flat::Flat,
    file: &str,
    options: &DrawingOptions,
    findings: &mut Vec<Finding>,
) -> Scale {
    let (mut scale, ratio, next) = vote::vote(contents, flat);
    if let Some(unit) = options.unit {
        scale.unit = unit;
        scale.inches_per_unit = unit.inches();
        scale.confidence = 1.0;
        return scale;
    }
    if ratio < vote::DECISIVE {
        findings.push(Finding::fault(
            codes::UNKNOWN_UNIT,
            Place::file(file),
            format!(
                "the unit of the drawing cannot be told: {} are only {ratio:.0} times as likely as {}",
                scale.unit.word(),
                next.word()
            ),
            "state the unit in the job, or add a dimension whose text gives a length with its unit",
        ));
    }
    if let Some(header) = scale.header
        && header != scale.unit
    {
        let message = format!(
            "the header says {}, the drawing is in {}",
            header.word(),
            scale.unit.word()
        );
        let hint = "check that one dimension reads right; else state the unit in the job";
        let place = Place::file(file);
        findings.push(if ratio > vote::BEYOND_DOUBT {
            Finding::note(codes::HEADER_UNIT, place, message, hint)
        } else {
            Finding::doubt(codes::HEADER_UNIT, place, message, hint)
        });
    }
    scale
}

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
