//! Reads an architect's drawing into flat strokes, texts and dimensions in inches.
//!
//! ```text
//!   DWG ──► DXF ─┐
//!          bytes ┴► pairs (code, value, line) ──► entities ──► blocks and references unfolded ──► units voted ──► Drawing
//! ```
//!
//! *Promises.* Nothing is dropped without being counted and named in the census; every stroke keeps the handle, layer and
//! block path it came from; a fault is local to one entity; coordinates are inches, in the drawing's own axes.
//!
//! *Does not do.* No opinion on what is a wall: that is `plan`.

mod blocks;
pub mod codes;
mod entities;
mod error;
mod file;
mod finish;
mod model;
mod sheets;
mod sketches;
mod unit;

pub use error::DrawingError;
pub use file::census::holdings;
pub use model::{
    BlockPlacement, Census, CensusRow, Curve, Dimension, Drawing, DrawingUnit, Fill, FillKind,
    Layer, Level, Scale, Sketch, SketchOpening, SketchWall, Source, SourceIndex, Stroke, Text,
    UnitVote,
};

pub use file::references::{Reference, reference_names};
pub use sheets::levels::storey_level;
pub use sheets::stacked::read_as_one;
pub use sheets::survey::{survey, survey_json};
pub use sheets::variants::{PlanVariant, plan_variant};
pub use sheets::views::{
    ViewKind, ViewTitle, ViewsNamed, is_underlined, view_kind, view_titles, views_named,
};
pub use sketches::sketch::read_sketch;
pub use sketches::sketch_file::sketch_schema;
pub use unit::scale_notes::scale_note;

use crate::findings::{Finding, Outcome, Place};
use blocks::{flat, unfold};
use file::contents::Contents;
use file::{census, dwg, references};
use sheets::stacked;
use std::collections::BTreeMap;
use unit::drawn_scale::DrawnScale;
use unit::vote;

/// How to read a drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DrawingOptions<'a> {
    /// The unit, where the user states it; it overrules every vote. Default: `None`, the votes decide.
    pub unit: Option<DrawingUnit>,
    /// The unit to take of two that the votes leave open. Default: `None`, the likelier one.
    pub leaning: Option<DrawingUnit>,
    /// Whether storeys that seem to lie over each other in the model are read side by side. Default: no, as one; the drawing says
    /// that they seem to.
    pub apart: bool,
    /// What stands beside the drawing and may be referred to. Default: nothing, references are named in a finding.
    pub references: &'a [Reference<'a>],
}

/// Reads a DXF of any release, text or binary, or a DWG of releases 12 to 2018.
///
/// # Errors
/// [`DrawingError`] when the file is no drawing, breaks off inside its entities, or draws nothing.
pub fn read_drawing(
    bytes: &[u8],
    file: &str,
    options: &DrawingOptions<'_>,
) -> Result<Outcome<Drawing>, DrawingError> {
    if let Some(error) = error::not_dxf(bytes, file) {
        return Err(error);
    }
    let converted = dwg::convert(bytes, file)?;
    let contents = Contents::read(converted.as_ref().map_or(bytes, |it| &it.bytes));
    refuse(&contents, file)?;
    let mut findings = Vec::new();
    let opened = references::open(&contents, options.references, file, file, &mut findings);
    let beside: Vec<Contents<'_>> = opened.iter().map(|it| Contents::read(&it.bytes)).collect();
    let mut parts = vec![references::read_part(file, &contents)];
    for (it, contents) in opened.iter().zip(&beside) {
        parts.push(references::read_part(it.name, contents));
    }
    for part in &parts {
        findings.append(&mut census::findings(
            part.contents,
            &part.readings,
            part.name,
        ));
    }
    findings.append(&mut census::about_references(&parts, file));
    let mut lost = BTreeMap::new();
    let own = converted.iter().map(|it| (it, &contents, file));
    let theirs = opened
        .iter()
        .zip(&beside)
        .filter_map(|(it, contents)| Some((it.converted.as_ref()?, contents, it.name)));
    for (it, contents, name) in own.chain(theirs) {
        findings.extend(it.findings.iter().cloned());
        let missing = it.lost(contents);
        findings.extend(dwg::about_lost(&missing, name));
        for (kind, count) in missing {
            *lost.entry(kind).or_default() += count;
        }
    }
    let mut flat = unfold::unfold(&parts, file, options.apart);
    findings.append(&mut flat.findings);
    let census = census::census(&parts, &flat, &lost);
    findings.extend(census::about_foreign(&census, file));
    findings.extend(census::about_unread(&census, file));
    findings.extend(census::about_clipped(&flat, file));
    if flat.curves.is_empty() && flat.areas.is_empty() {
        return Err(DrawingError::NothingDrawn {
            file: file.to_owned(),
            reason: census::why_nothing(&census, &findings),
        });
    }
    let scale = scale(&contents, &flat, file, options, &mut findings);
    if !flat.sheets.is_empty() {
        findings.push(on_sheet(&flat, &scale, options, file));
    }
    if !flat.overlaid.is_empty() {
        findings.push(over_each_other(&flat, &scale, file));
    }
    let mut drawing = finish::finish(&contents, flat, scale, file);
    if let Some(it) = converted {
        drawing.version = it.version;
    }
    drawing.census = census;
    show_a_dimension(&drawing, &mut findings);
    Ok(Outcome {
        output: drawing,
        findings,
    })
}

/// What is settled by looking at one dimension is shown at the longest; a unit that nothing tells, else in the drawing's middle.
fn show_a_dimension(drawing: &Drawing, findings: &mut [Finding]) {
    let linear = drawing
        .dimensions
        .iter()
        .filter(|it| it.direction.is_some());
    let longest = linear.max_by(|p, q| p.measured.total_cmp(&q.measured));
    let longest = longest.map(|it| (it.from + it.to) / 2.0);
    for it in findings {
        let at = match it.code {
            codes::HEADER_UNIT | codes::ON_SHEET | codes::DRAWN_AT => longest,
            codes::UNKNOWN_UNIT => longest.or_else(|| middle(drawing)),
            _ => continue,
        };
        it.place.at = at.map(|p| [p.x, p.y]);
    }
}

/// The middle of all strokes.
fn middle(drawing: &Drawing) -> Option<geo::Coord<f64>> {
    let [low, high] = finish::bounds(&drawing.strokes)?;
    Some((low + high) / 2.0)
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

/// A sheet may be drawn at any scale: unless the job states the unit or a dimension shows it, that is a fault.
fn on_sheet(flat: &flat::Flat, scale: &Scale, options: &DrawingOptions<'_>, file: &str) -> Finding {
    let model = if flat.scrap == 0 {
        "model space is empty".to_owned()
    } else {
        format!("model space holds {} stray things only", flat.scrap)
    };
    let names: Vec<String> = flat
        .sheets
        .iter()
        .map(|it| format!("'{}'", it.name))
        .collect();
    let is_block = flat.sheets.iter().any(|it| it.is_block);
    let sheets = match (names.as_slice(), is_block) {
        (_, true) => format!(
            "what stands in blocks that are placed nowhere is read instead: {}",
            names.join(", ")
        ),
        ([_], false) => "the sheet in paper space is read instead".to_owned(),
        (_, false) => format!(
            "the sheets in paper space are read instead, side by side: {}",
            names.join(", ")
        ),
    };
    let message = format!("{model}: {sheets}, as drawn {}", size_words(scale));
    let shows_size = scale
        .votes
        .iter()
        .any(|vote| vote.evidence == vote::DIMENSIONS);
    let place = Place::file(file);
    // Blocks are drawn full size, sheets at any.
    if options.unit.is_some() || shows_size || is_block {
        let hint =
            "check that one dimension reads right, and that nothing of the title block is a wall";
        Finding::doubt(codes::ON_SHEET, place, message, hint)
    } else {
        let hint = "nothing on it shows its scale: state the unit in the job if it is drawn full size, else draw the plan in model space";
        Finding::fault(codes::ON_SHEET, place, message, hint)
    }
}

/// Storeys that lie over each other in the model.
fn over_each_other(flat: &flat::Flat, scale: &Scale, file: &str) -> Finding {
    let names: Vec<String> = flat.overlaid.iter().map(|it| format!("'{it}'")).collect();
    let levels = stacked::levels(&flat.set_aside, scale.inches_per_unit);
    let decks: Vec<String> = levels.iter().map(|it| format!("{:.2}", it.floor)).collect();
    let decks = if decks.is_empty() {
        String::new()
    } else {
        format!("; their decks are taken to lie at {} in", decks.join(", "))
    };
    Finding::doubt(
        codes::OVER_EACH_OTHER,
        Place::file(file),
        format!(
            "storeys lie over each other in the model and are told apart by {}: {}; each is read {:.0} in to the right of the one before{decks}",
            flat.overlaid_by,
            names.join(", "),
            flat.storey_step * scale.inches_per_unit
        ),
        "look at each storey on its trace: that it holds its own walls and no other's",
    )
}

/// No plan is drawn so near full size: what looks so is drawn in the points of a page.
const LEAST_SCALE: f64 = 10.0;

/// `full size in inches`, `at 1:48`.
fn size_words(scale: &Scale) -> String {
    let one_to = scale.inches_per_unit / scale.unit.inches();
    if (one_to - 1.0).abs() < 1e-9 {
        format!("full size in {}", scale.unit.word())
    } else if one_to < LEAST_SCALE {
        format!("at 1:{:.0}, paper in points of 1/72 in", one_to * 72.0)
    } else {
        format!("at 1:{one_to:.0}, paper in {}", scale.unit.word())
    }
}

/// Votes on the unit, and says what the vote does not settle.
fn scale(
    contents: &Contents<'_>,
    flat: &flat::Flat,
    file: &str,
    options: &DrawingOptions<'_>,
    findings: &mut Vec<Finding>,
) -> Scale {
    let vote::Voted {
        mut scale,
        ratio,
        next,
        drawn_scale,
        decisive,
    } = vote::vote(contents, flat);
    if let Some(unit) = options.unit {
        scale.unit = unit;
        scale.inches_per_unit = unit.inches();
        scale.confidence = 1.0;
        return scale;
    }
    let place = || Place::file(file);
    match drawn_scale {
        DrawnScale::Agree => {}
        DrawnScale::DrawnAt { one_to, unit, by } => {
            scale.unit = unit;
            scale.inches_per_unit = one_to * unit.inches();
            findings.push(Finding::doubt(
                codes::DRAWN_AT,
                place(),
                format!(
                    "the drawing is not drawn full size: by {by} it is drawn {}",
                    size_words(&scale)
                ),
                "check that one dimension and one door read right; ask the architect for the model drawn full size",
            ));
            return scale;
        }
        // Two units left open are asked about below.
        DrawnScale::MayBeDrawnAt { .. } if ratio < decisive => {}
        DrawnScale::MayBeDrawnAt { one_to, unit } => findings.push(Finding::fault(
            codes::UNKNOWN_UNIT,
            place(),
            format!(
                "the size of the drawing cannot be told: drawn full size in {} few walls are as thick as walls are made, drawn {} nearly all are; taken in {}",
                scale.unit.word(),
                size_words(&Scale { unit, inches_per_unit: one_to * unit.inches(), ..Scale::default() }),
                scale.unit.word()
            ),
            "write the scale beside the plan, or dimension it; if it is drawn full size, state the unit in the job",
        )),
        DrawnScale::Disagree { times } => findings.push(Finding::fault(
            codes::UNKNOWN_UNIT,
            place(),
            format!(
                "the size of the drawing cannot be told: its dimensions say {times:.3} times what is drawn, taken in {}",
                scale.unit.word()
            ),
            "measure one dimension in the drawing, and state the unit in the job or have the drawing scaled to full size",
        )),
    }
    if ratio < decisive {
        let mut message = format!(
            "the unit of the drawing cannot be told: {} are only {ratio:.0} times as likely as {}",
            scale.unit.word(),
            next.word()
        );
        if options.leaning == Some(next) {
            message += &format!(
                "; taken as {}, for in the others no walls close",
                next.word()
            );
            scale.confidence /= ratio;
            scale.rival = Some(scale.unit);
            scale.unit = next;
            scale.inches_per_unit = next.inches();
        } else {
            scale.rival = Some(next);
        }
        findings.push(Finding::fault(
            codes::UNKNOWN_UNIT,
            place(),
            message,
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
        findings.push(if ratio > vote::BEYOND_DOUBT {
            Finding::note(codes::HEADER_UNIT, place(), message, hint)
        } else {
            Finding::doubt(codes::HEADER_UNIT, place(), message, hint)
        });
    }
    scale
}

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
