//! The arrow at a bevelled end: from the outer skin's edge to the inner skin's, with the angle from square.
//!
//! ```text
//!   ┃ ──►  22 1/2°          ┃ ◄──  22 1/2°
//!   ┃      inner longer     ┃      outer longer
//! ```

use super::around::steps;
use super::arrange::Arrangement;
use super::labels::{Label, TextBlock, box_choice};
use super::subject::{Hand, Subject, degrees};
use crate::documents::paper::style::{Pen, SMALL_SHEET};
use crate::documents::paper::symbol::arrow;
use crate::documents::paper::{Area, Lettered, spot};
use crate::layout::WallEnd;

/// Length of the arrow, mm.
const ARROW: f64 = 9.0;
/// Between the panel and the arrow, mm.
const OFF: f64 = 1.6;
/// Between the arrow and its words, mm.
const GAP: f64 = 1.2;

/// One for each bevelled end.
pub(super) fn bevel_labels<'a>(subject: &Subject<'_>, arrangement: &Arrangement) -> Vec<Label<'a>> {
    let ends = [Hand::Left, Hand::Right].into_iter();
    ends.filter_map(|hand| match subject.wall_end(hand) {
        Some(WallEnd::Mitre { bevel_deg }) if bevel_deg != 0.0 => {
            Some(bevel_label(subject, arrangement, hand, bevel_deg))
        }
        _ => None,
    })
    .collect()
}

fn bevel_label<'a>(
    subject: &Subject<'_>,
    arrangement: &Arrangement,
    hand: Hand,
    bevel_deg: f64,
) -> Label<'a> {
    let (panel, stage) = (arrangement.panel, arrangement.stage);
    let is_outer_longer = bevel_deg > 0.0;
    let angle = (
        format!("{}°", degrees(bevel_deg)),
        Lettered::cap(SMALL_SHEET.title).bold(),
    );
    let longer = if is_outer_longer {
        "outer longer"
    } else {
        "inner longer"
    };
    let note = Lettered::cap(SMALL_SHEET.note);
    let blocks = [
        TextBlock::new(vec![angle.clone(), (longer.to_owned(), note)], false),
        TextBlock::new(vec![angle], false),
    ];
    // The inner skin's edge is drawn beyond the panel's where it is the longer.
    let inner = subject.panel.inner_skin.outline.bounds();
    let past = inner.map_or(0.0, |inner| {
        let past = match hand {
            Hand::Left => -inner.x0.to_inches(),
            Hand::Right => (inner.x1 - subject.panel.width).to_inches(),
        };
        past.max(0.0) * arrangement.view.scale
    });
    let wanted = panel.y0 + panel.height() * 0.7;
    let mut choices = Vec::new();
    for (form, block) in blocks.iter().enumerate() {
        let (width, height) = (ARROW + GAP + block.width(), block.height());
        let x = match hand {
            Hand::Left => panel.x0 - past - OFF - width,
            Hand::Right => panel.x1 + past + OFF,
        };
        let cost = if form == 0 { 0.0 } else { 60.0 };
        choices.extend(
            steps(wanted, panel.y0 + 1.0, panel.y1 - height - 1.0)
                .map(|y| Area::new(x, y, x + width, y + height))
                .filter(|area| stage.holds(area))
                .map(|area| box_choice(area, cost + (area.y0 - wanted).abs(), form)),
        );
    }
    Label {
        name: format!("bevel of the {} end", hand.word()),
        choices,
        draw: Box::new(move |canvas, choice| {
            let Some(block) = blocks.get(choice.form) else {
                return;
            };
            let y = choice.at.y + SMALL_SHEET.title / 2.0;
            let (near, words) = match hand {
                Hand::Left => (choice.at.x + block.width() + GAP + ARROW, choice.at.x),
                Hand::Right => (choice.at.x, choice.at.x + ARROW + GAP),
            };
            let far = match hand {
                Hand::Left => near - ARROW,
                Hand::Right => near + ARROW,
            };
            let (from, tip) = if is_outer_longer {
                (far, near)
            } else {
                (near, far)
            };
            let title = "Bevel: from the outer skin's edge to the inner skin's";
            canvas.group("", title, |canvas| {
                arrow(canvas, Pen::Bold.full(), spot(from, y), spot(tip, y), 3.2);
                block.draw(canvas, spot(words, choice.at.y));
            });
        }),
    }
}
