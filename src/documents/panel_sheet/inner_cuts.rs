//! What is cut into the inner skin alone, said beside it: pockets, boxes, accesses of hold-downs.

use super::arrange::Arrangement;
use super::labels::{Label, TextBlock, box_choice};
use super::subject::{Subject, size};
use super::view::area;
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::{Area, Lettered, Spot, spot};
use crate::fabrication::InnerCut;

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// A label for each cut.
pub(super) fn cut_labels<'a>(
    subject: &'a Subject<'_>,
    arrangement: &'a Arrangement,
) -> impl Iterator<Item = Label<'a>> + use<'a> {
    let cuts = subject.panel.inner_cuts.iter();
    cuts.map(|cut| cut_label(arrangement, cut))
}

/// Its name, size and skin; where that has no room, its name alone.
fn cut_label<'a>(arrangement: &'a Arrangement, cut: &InnerCut) -> Label<'a> {
    let what = cut.what.to_uppercase();
    let measures = size(cut.rect.width(), cut.rect.height());
    let name = format!("{what} {measures} in the inner skin");
    let blocks: Vec<TextBlock> = [
        vec![
            (what.clone(), NOTE.bold()),
            (measures.clone(), NOTE),
            ("INNER SKIN".to_owned(), NOTE),
        ],
        vec![(format!("{what} {measures}, INNER SKIN"), NOTE)],
        vec![(what, NOTE.bold())],
    ]
    .into_iter()
    .map(|lines| TextBlock::new(lines, true))
    .collect();
    let hole = area(&arrangement.view, &cut.rect);
    let panel = arrangement.panel.grown(-1.0);
    let mut choices = Vec::new();
    for (form, block) in blocks.iter().enumerate() {
        let cost = [0.0, 6.0, 30.0].get(form).copied().unwrap_or(0.0);
        for (rank, at) in beside(&hole, block.width(), block.height()).enumerate() {
            let here = Area::new(at.x, at.y, at.x + block.width(), at.y + block.height());
            if panel.holds(&here) {
                let rank = u32::try_from(rank).map_or(0.0, f64::from);
                choices.push(box_choice(here, cost + rank, form));
            }
        }
    }
    Label {
        name,
        choices,
        draw: Box::new(move |canvas, choice| {
            if let Some(block) = blocks.get(choice.form) {
                block.draw(canvas, choice.at);
            }
        }),
    }
}

/// Corners of a block beside a hole, the nearest first.
fn beside(hole: &Area, w: f64, h: f64) -> impl Iterator<Item = Spot> + use<> {
    let (middle, hole) = (hole.middle(), *hole);
    [1.4, 4.0, 8.0, 14.0].into_iter().flat_map(move |gap| {
        [
            spot(hole.x1 + gap, middle.y - h / 2.0),
            spot(hole.x0 - gap - w, middle.y - h / 2.0),
            spot(middle.x - w / 2.0, hole.y0 - gap - h),
            spot(middle.x - w / 2.0, hole.y1 + gap),
            spot(hole.x1 + gap, hole.y0 - gap - h),
            spot(hole.x0 - gap - w, hole.y0 - gap - h),
            spot(hole.x1 + gap, hole.y1 + gap),
            spot(hole.x0 - gap - w, hole.y1 + gap),
        ]
    })
}
