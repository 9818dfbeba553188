//! Sheets in paper space: the windows onto the model tell its scale, and where the model is empty the sheet itself is read.
//!
//! ```text
//!   paper  ┌────────────┐
//!          │ ┌───┐      │     a window 8 in high that shows 384 in: 1/4" = 1'-0", so the model is in inches
//!          │ └───┘  ▤   │
//!          └────────────┘
//! ```

use super::contents::Contents;
use super::model::DrawingUnit;
use std::ops::Range;

/// Scales of plans in feet and inches, from 1/2" to 1/16" to the foot. Source: common practice, no source.
const IMPERIAL: [f64; 8] = [24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0, 384.0];
/// Scales of plans in the metric system. Source: ISO 5455.
const METRIC: [f64; 5] = [20.0, 50.0, 100.0, 200.0, 500.0];
/// How near a scale must be, as a share.
const NEAR: f64 = 2e-3;

/// Units of the model for one unit of paper, of each window onto it; distinct and sorted.
pub(super) fn windows(contents: &Contents<'_>) -> Vec<f64> {
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
pub(super) fn is_usual(scale: f64, unit: DrawingUnit) -> bool {
    let (list, paper): (&[f64], f64) = if unit.is_metric() {
        (&METRIC, 1.0 / 25.4)
    } else {
        (&IMPERIAL, 1.0)
    };
    let real = scale * unit.inches() / paper;
    list.iter().any(|usual| (real / usual - 1.0).abs() < NEAR)
}

/// True when nothing but windows and pictures of them lies in model space.
pub(super) fn is_model_empty(contents: &Contents<'_>) -> bool {
    !contents
        .model_space()
        .into_iter()
        .flatten()
        .filter_map(|index| contents.records.get(index))
        .any(|record| !record.is_paper && !record.is_part)
}

/// The records of the sheet that holds most, where there is one.
pub(super) fn fullest(contents: &Contents<'_>) -> Option<Vec<Range<usize>>> {
    let weight = |ranges: &[Range<usize>], is_marked: bool| {
        ranges
            .iter()
            .cloned()
            .flatten()
            .filter_map(|index| contents.records.get(index))
            .filter(|record| !record.is_part && contents.kind(record) != "VIEWPORT")
            .filter(|record| record.is_paper || !is_marked)
            .count()
    };
    let mut sheets = vec![(weight(&contents.entities, true), contents.entities.clone())];
    for block in &contents.blocks {
        if super::census::space_of_block(&block.name) == "paper" {
            let ranges = vec![block.records.clone()];
            sheets.push((weight(&ranges, false), ranges));
        }
    }
    // Of equal ones the first: the sheet that was open when the file was saved.
    sheets.reverse();
    sheets
        .into_iter()
        .max_by_key(|(weight, _)| *weight)
        .filter(|(weight, _)| *weight > 0)
        .map(|(_, ranges)| ranges)
}
