//! What is measured before the label goes on, with a box to tick for each.

use super::subject::{Hand, Subject, degrees, printed};
use crate::documents::paper::flow::Flow;
use crate::documents::paper::strip::Strip;
use crate::documents::paper::style::{Pen, SMALL_SHEET};
use crate::documents::paper::{Area, Canvas, Item, Lettered, spot};
use crate::units::{Inches, Length};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Name and value.
fn measures(subject: &Subject<'_>) -> Vec<(String, String)> {
    let panel = subject.panel;
    let inches = |length: Length| Inches(length).to_string();
    let diagonal =
        |width: Length, height: Length| printed(width.to_inches().hypot(height.to_inches()));
    let [left, right] = [Hand::Left, Hand::Right].map(|hand| subject.end_span(hand));
    // From each lower corner to the upper one beyond.
    let diagonals = [
        diagonal(panel.width, right[1] - left[0]),
        diagonal(panel.width, left[1] - right[0]),
    ];
    // A tape lies along an edge: under a rake or over a step there is none of the whole width.
    let widths = [
        ("Width, bottom", left[0] == right[0]),
        ("Width, top", left[1] == right[1] && left[1] == panel.height),
    ];
    let widths = widths.into_iter().filter(|it| it.1);
    let mut rows: Vec<(String, String)> = widths
        .map(|it| (it.0.to_owned(), inches(panel.width)))
        .collect();
    if rows.is_empty() {
        rows.push(("Width".to_owned(), inches(panel.width)));
    }
    rows.extend([
        ("Height, left".to_owned(), inches(left[1] - left[0])),
        ("Height, right".to_owned(), inches(right[1] - right[0])),
    ]);
    if diagonals[0] == diagonals[1] {
        rows.push(("Diagonals".to_owned(), diagonals[0].clone()));
    } else {
        // As they lie on the view: between the corners at the panel's ends.
        rows.push(("Diagonal /".to_owned(), diagonals[0].clone()));
        rows.push(("Diagonal \\".to_owned(), diagonals[1].clone()));
    }
    if let Some(inner) = panel.inner_skin.outline.bounds()
        && inner.width() != panel.width
    {
        rows.push(("Inner skin, width".to_owned(), inches(inner.width())));
    }
    for (ids, width, height) in alike(subject) {
        rows.push((format!("{ids} width"), inches(width)));
        rows.push((format!("{ids} height"), inches(height)));
        rows.push((format!("{ids} diagonals"), diagonal(width, height)));
    }
    if rows.len() % 2 == 1 {
        let bevel = [Hand::Left, Hand::Right]
            .iter()
            .filter_map(|hand| subject.skin_edge(*hand))
            .find(|edge| edge.bevel_deg != 0.0);
        let words = bevel.map_or_else(
            || inches(subject.assembly.thickness()),
            |edge| format!("{}°", degrees(edge.bevel_deg)),
        );
        let name = if bevel.is_some() {
            "Bevel"
        } else {
            "Thickness"
        };
        rows.push((name.to_owned(), words));
    }
    rows
}

/// Openings by id and size; many of one size are one row each of which is measured.
fn alike(subject: &Subject<'_>) -> Vec<(String, Length, Length)> {
    let holes: Vec<_> = subject.holes().collect();
    let mut rows: Vec<(Vec<&str>, Length, Length)> = Vec::new();
    for &(id, hole) in &holes {
        let size = (hole.width(), hole.height());
        let known = rows.iter().position(|it| (it.1, it.2) == size);
        match known.and_then(|at| rows.get_mut(at)) {
            Some((ids, ..)) if holes.len() > FEW => ids.push(id),
            _ => rows.push((vec![id], size.0, size.1)),
        }
    }
    rows.into_iter()
        .map(|(ids, width, height)| {
            let name = match ids.as_slice() {
                [one] => (*one).to_owned(),
                [first, .., last] => format!("{first}…{last}"),
                [] => String::new(),
            };
            (name, width, height)
        })
        .collect()
}

/// Openings beyond which those of one size share their rows.
const FEW: usize = 2;
/// Height of a row, mm.
const PITCH: f64 = 4.7;

/// Height that all measures take.
pub(super) fn measures_height(subject: &Subject<'_>) -> f64 {
    let half = measures(subject).len().div_ceil(2);
    HEAD + rows_height(half)
}

/// Heading and space round the rows, mm.
const HEAD: f64 = 8.0;

fn rows_height(rows: usize) -> f64 {
    std::iter::repeat_n(PITCH, rows).sum()
}

/// Draws as many as there is room for, in two columns, and counts the rest; true when all are there.
pub(super) fn draw_measures(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    further: &str,
) -> bool {
    let mut rows = measures(subject);
    let all: Vec<String> = rows.iter().map(|it| format!("{} {}", it.0, it.1)).collect();
    let room = strip.rest().height() - HEAD;
    while rows.len() > 2 && rows_height(rows.len().div_ceil(2)) > room {
        rows.truncate((rows.len() - 1) / 2 * 2);
    }
    let left_out = all.len() - rows.len();
    let (remark, title) = match left_out {
        0 => ("tolerance ±1/8".to_owned(), "Measures".to_owned()),
        n => (
            format!("tolerance ±1/8; {n} more: see {further}"),
            all.join(", "),
        ),
    };
    let mut drawn = Canvas::new();
    strip.heading(&mut drawn, "MEASURE BEFORE LABEL", &remark);
    let cell = strip.take(&mut drawn, rows_height(rows.len().div_ceil(2)) + 2.4);
    draw_rows(&mut drawn, &cell, &rows, 2);
    canvas.put(Item::Group(drawn.into_group("measures", &title)));
    left_out == 0
}

/// All measures as blocks under one heading, on a sheet that has room for all of them.
pub(super) fn flow_measures(flow: &mut Flow, subject: &Subject<'_>) {
    const TOGETHER: usize = 16;
    let rows = measures(subject);
    for (index, rows) in rows.chunks(TOGETHER).enumerate() {
        let head = if index == 0 {
            SMALL_SHEET.title + 3.0
        } else {
            0.0
        };
        let height =
            |width: f64| head + rows_height(rows.len().div_ceil(abreast(rows, width))) + 2.4;
        flow.block(height, |canvas, area| {
            if index == 0 {
                let base = area.y0 + SMALL_SHEET.title;
                let bold = Lettered::cap(SMALL_SHEET.title).bold();
                canvas.text(spot(area.x0 + 1.4, base), "MEASURE BEFORE LABEL", bold);
                canvas.text(spot(area.x1 - 1.4, base), "±1/8", NOTE.end());
            }
            let cell = Area::new(area.x0, area.y0 + head, area.x1, area.y1);
            draw_rows(canvas, &cell, rows, abreast(rows, cell.width()));
        });
    }
}

/// Two columns where all names stand whole in them, else one.
fn abreast(rows: &[(String, String)], width: f64) -> usize {
    let needed =
        |(name, value): &(String, String)| NOTE.width(name) + NOTE.bold().width(value) + BESIDE;
    if rows.iter().all(|row| needed(row) <= width / 2.0) {
        2
    } else {
        1
    }
}

/// What box and spaces of a row take, mm.
const BESIDE: f64 = 14.2;

/// Names, values and boxes to tick in columns.
fn draw_rows(canvas: &mut Canvas, cell: &Area, rows: &[(String, String)], columns: usize) {
    let half = rows.len().div_ceil(columns);
    let width = cell.width() / if columns == 1 { 1.0 } else { 2.0 };
    for (column, rows) in rows.chunks(half.max(1)).enumerate() {
        let x = if column == 0 {
            cell.x0
        } else {
            cell.x0 + width
        };
        let mut middle = cell.y0 + 1.2 + PITCH / 2.0;
        for (name, value) in rows {
            let tick = Area::new(x + width - 9.5, middle - 1.6, x + width - 2.0, middle + 1.6);
            let at = tick.x0 - 1.6;
            let base = middle + NOTE.cap / 2.0;
            let number = NOTE.bold().end();
            canvas.text_centred(spot(at, middle), value.clone(), number);
            let room = at - number.width(value) - x - 3.0;
            canvas.text_within(spot(x + 2.0, base), name, NOTE, room);
            canvas.rect(Pen::Thin.full(), tick);
            middle += PITCH;
        }
    }
}
