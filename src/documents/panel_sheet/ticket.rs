//! A ticket, upright and small: its first page is the drawing with what crane and saw must not miss, its further pages are lists.
//!
//! ```text
//!   ┌──────────────────┐  ┌────────┬─────────┐
//!   │                  │  │ parts  │ edges   │
//!   │    the panel     │  │ open-  │ measures│
//!   │                  │  │ ings   │ notes   │
//!   ├────────┬─────────┤  ├────────┼─────────┤
//!   │ weight │  HOLD   │  │ small  │  HOLD   │
//!   │cautions│  W101   │  │ plan   │  W101   │
//!   └────────┴─────────┘  └────────┴─────────┘
//! ```

use super::strip::{WEIGHT, draw_cautions, draw_weight};
use super::subject::Subject;
use super::title::{draw_hold, draw_mark, draw_project, draw_revisions};
use crate::documents::paper::strip::Strip;
use crate::documents::paper::style::{Pen, SMALL_SHEET};
use crate::documents::paper::{Area, Canvas, spot};

/// Share of a ticket's width that stands left of its title block.
const LEFT: f64 = 0.54;

/// The two strips of a ticket's lower block, parted by a line.
pub(super) fn ticket_strips(block: Area) -> [Strip; 2] {
    let split = block.x0 + block.width() * LEFT;
    [
        Area::new(block.x0, block.y0, split, block.y1),
        Area::new(split, block.y0, block.x1, block.y1),
    ]
    .map(|area| Strip::within(area, SMALL_SHEET))
}

/// The lines round a lower block.
pub(super) fn draw_block(canvas: &mut Canvas, block: Area) {
    let [_, right] = ticket_strips(block);
    let bold = Pen::Bold.full();
    canvas.line(bold, spot(block.x0, block.y0), spot(block.x1, block.y0));
    let split = right.area.x0;
    canvas.line(bold, spot(split, block.y0), spot(split, block.y1));
}

/// The lower block of the drawing's page: as high as what stands in it.
pub(super) fn ticket_block(subject: &Subject<'_>, number: &str) -> Area {
    let frame = subject.paper().frame();
    let strips = fill(&mut Canvas::new(), subject, number, ticket_strips(frame));
    let used = strips.map(|it| frame.height() - it.rest().height());
    // A hair more than needed, else rounding leaves out what stands last.
    let height = used[0].max(used[1]) + 0.1;
    Area::new(frame.x0, frame.y1 - height, frame.x1, frame.y1)
}

/// Draws it.
pub(super) fn draw_ticket(canvas: &mut Canvas, subject: &Subject<'_>, number: &str, block: Area) {
    draw_block(canvas, block);
    fill(canvas, subject, number, ticket_strips(block));
}

fn fill(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    number: &str,
    [mut left, mut right]: [Strip; 2],
) -> [Strip; 2] {
    draw_mark(canvas, &mut right, subject, number);
    draw_hold(canvas, &mut right, subject);
    draw_revisions(canvas, &mut right, subject);
    // The project is named on the page of lists: height is for the drawing.
    draw_project(canvas, &mut left, subject, "");
    draw_cautions(canvas, &mut left, subject);
    // At the foot of what is left, so that nothing stands apart.
    let cell = left.take_foot(canvas, WEIGHT);
    draw_weight(canvas, &mut Strip::within(cell, SMALL_SHEET), subject);
    [left, right]
}
