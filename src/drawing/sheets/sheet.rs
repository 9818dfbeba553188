//! Sheets in paper space: the windows onto the model tell its scale, and where the model is empty the sheets themselves are read.
//!
//! ```text
//!   paper  ┌────────────┐
//!          │ ┌───┐      │     a window 8 in high that shows 384 in: 1/4" = 1'-0", so the model is in inches
//!          │ └───┘  ▤   │
//!          └────────────┘
//! ```

use crate::drawing::file::census;
use crate::drawing::file::contents::Contents;
use crate::drawing::model::DrawingUnit;
use std::collections::BTreeSet;
use std::ops::Range;

/// Scales of plans in feet and inches, from 1/2" to 1/16" to the foot. Source: common practice, no source.
pub(in crate::drawing) const IMPERIAL: [f64; 8] =
    [24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0, 384.0];
/// Scales of plans in the metric system. Source: ISO 5455.
pub(in crate::drawing) const METRIC: [f64; 5] = [20.0, 50.0, 100.0, 200.0, 500.0];
/// How near a scale must be, as a share.
const NEAR: f64 = 2e-3;

/// Units of the model for one unit of paper, of each window onto it; distinct and sorted.
pub(in crate::drawing) fn windows(contents: &Contents<'_>) -> Vec<f64> {
    let mut scales: Vec<f64> = contents
        .records
        .iter()
        .filter(|record| contents.kind(record) == "VIEWPORT")
        .filter_map(|record| {
            let (mut high, mut shown, mut number) = (0.0, 0.0, 0);
            for pair in contents.pairs(record).skip(1) {
                match pair.code {
                    41 => high = pair.value.real().unwrap_or(0.0),
                    45 => shown = pair.value.real().unwrap_or(0.0),
                    69 => number = pair.value.whole().unwrap_or(0),
                    _ => {}
                }
            }
            // Window 1 is the sheet itself.
            (number > 1 && high > 0.0 && shown > 0.0).then_some(shown / high)
        })
        .filter(|scale| scale.is_finite())
        .collect();
    scales.sort_by(f64::total_cmp);
    scales.dedup_by(|a, b| (*a / *b - 1.0).abs() < NEAR);
    scales
}

/// True when a window shows a model in this unit at a usual scale: feet and inches on paper in inches, metric on millimetres.
pub(in crate::drawing) fn is_usual(scale: f64, unit: DrawingUnit) -> bool {
    let (list, paper): (&[f64], f64) = if unit.is_metric() {
        (&METRIC, 1.0 / 25.4)
    } else {
        (&IMPERIAL, 1.0)
    };
    let real = scale * unit.inches() / paper;
    list.iter().any(|usual| (real / usual - 1.0).abs() < NEAR)
}

/// A sheet in paper space.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::drawing) struct Sheet {
    /// What its tab says; empty where the file does not tell.
    pub(in crate::drawing) name: String,
    /// Its records.
    pub(in crate::drawing) records: Vec<Range<usize>>,
    /// How many of them are more than windows.
    pub(in crate::drawing) weight: usize,
    /// True for a block that is placed nowhere.
    pub(in crate::drawing) is_block: bool,
}

/// The sheets in the order of their tabs; those that hold nothing are left out.
pub(in crate::drawing) fn sheets(contents: &Contents<'_>) -> Vec<Sheet> {
    let mut sheets: Vec<(i64, Sheet)> = Vec::new();
    let mut open_owner = None;
    for block in &contents.blocks {
        if census::space_of_block(&block.name) != "paper" {
            continue;
        }
        // The sheet that was open when the file was saved has its entities in their own section.
        if block.records.is_empty() && block.name.len() == "*PAPER_SPACE".len() {
            open_owner = block.owner;
        }
        sheets.push(sheet(contents, block.owner, vec![block.records.clone()]));
    }
    sheets.push(sheet(contents, open_owner, on_open_sheet(contents)));
    sheets.retain(|it| !it.1.records.iter().all(Range::is_empty));
    sheets.sort_by_key(|it| it.0);
    sheets.into_iter().map(|it| it.1).collect()
}

/// A sheet, and where its tab stands.
fn sheet(contents: &Contents<'_>, owner: Option<u64>, records: Vec<Range<usize>>) -> (i64, Sheet) {
    let all = records.iter().cloned().flatten();
    let weight = all
        .filter_map(|index| contents.records.get(index))
        .filter(|record| !record.is_part && contents.kind(record) != "VIEWPORT")
        .count();
    let mut layouts = contents.layouts.iter();
    let layout = owner.and_then(|owner| layouts.find(|it| it.owner == Some(owner)));
    let own = Sheet {
        name: layout.map_or_else(String::new, |it| it.name.clone()),
        records,
        weight,
        is_block: false,
    };
    (layout.map_or(i64::MAX, |it| it.tab), own)
}

/// Stretches of the ENTITIES sections that lie on the sheet.
fn on_open_sheet(contents: &Contents<'_>) -> Vec<Range<usize>> {
    let mut ranges: Vec<Range<usize>> = Vec::new();
    for index in contents.entities.iter().cloned().flatten() {
        if !contents.records.get(index).is_some_and(|it| it.is_paper) {
            continue;
        }
        match ranges.last_mut() {
            Some(last) if last.end == index => last.end = index + 1,
            _ => ranges.push(index..index + 1),
        }
    }
    ranges
}

/// A model with fewer lines than a hut has is scrap where a sheet holds so many times as much.
const SCRAP: (usize, usize) = (8, 8);
/// A sheet with less than this share of the fullest holds notes or a cover.
const FULL: usize = 4;

/// What lies in model space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Model {
    Empty,
    /// A few words, points or lines.
    Scrap(usize),
    Drawn,
}

fn model(contents: &Contents<'_>) -> Model {
    let (mut count, mut lines) = (0, 0);
    let all = contents.model_space().into_iter().flatten();
    for record in all.filter_map(|index| contents.records.get(index)) {
        if record.is_paper || record.is_part {
            continue;
        }
        count += 1;
        match contents.kind(record) {
            "POINT" | "TEXT" | "MTEXT" | "ATTDEF" => {}
            "LINE" | "ARC" | "CIRCLE" => lines += 1,
            _ => return Model::Drawn,
        }
    }
    match count {
        0 => Model::Empty,
        count if lines < SCRAP.0 => Model::Scrap(count),
        _ => Model::Drawn,
    }
}

/// The sheets to read in place of the model, where it is empty or holds scrap only, and how much scrap that is.
pub(in crate::drawing) fn instead_of_model(contents: &Contents<'_>) -> Option<(Vec<Sheet>, usize)> {
    let scrap = match model(contents) {
        Model::Drawn => return None,
        Model::Empty => 0,
        Model::Scrap(count) => count,
    };
    let mut sheets = sheets(contents);
    if scrap == 0 && sheets.iter().all(|it| it.weight == 0) {
        sheets = unplaced(contents);
    }
    let fullest = sheets.iter().map(|it| it.weight).max().unwrap_or(0);
    if fullest == 0 || scrap > 0 && fullest < SCRAP.0.max(scrap) * SCRAP.1 {
        return None;
    }
    sheets.retain(|it| it.weight * FULL >= fullest);
    Some((sheets, scrap))
}

/// Blocks that are placed nowhere, not even in each other: some programs write a whole drawing so.
fn unplaced(contents: &Contents<'_>) -> Vec<Sheet> {
    let mut placed: BTreeSet<String> = BTreeSet::new();
    for record in contents.records.iter().filter(|it| !it.is_part) {
        let names_a_block = matches!(contents.kind(record), "INSERT" | "DIMENSION" | "ACAD_TABLE");
        let mut pairs = contents.pairs(record).skip(1);
        if names_a_block && let Some(pair) = pairs.find(|pair| pair.code == 2) {
            let name = contents.letters.read(pair.value.bytes().trim_ascii());
            placed.insert(name.to_uppercase());
        }
    }
    let blocks = contents.blocks.iter();
    blocks
        .filter(|it| census::space_of_block(&it.name) == "block" && it.reference.is_none())
        // Names that begin so are those of arrow heads, patterns and pictures.
        .filter(|it| !it.name.starts_with(['*', '_']) && !placed.contains(&it.name.to_uppercase()))
        .map(|it| Sheet {
            name: it.name.clone(),
            weight: it.records.len(),
            records: vec![it.records.clone()],
            is_block: true,
        })
        .filter(|it| it.weight >= SCRAP.0)
        .collect()
}
