//! What is measured before the label goes on, with a box to tick for each.

use super::subject::{Hand, Subject, degrees, printed};
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
    let mut rows = vec![
        ("Width, bottom".to_owned(), inches(panel.width)),
        ("Width, top".to_owned(), inches(panel.width)),
        ("Height, left".to_owned(), inches(left[1] - left[0])),
        ("Height, right".to_owned(), inches(right[1] - right[0])),
    ];
    if diagonals[0] == diagonals[1] {
        rows.push(("Diagonals".to_owned(), diagonals[0].clone()));
    } else {
        rows.push(("Diagonal, right".to_owned(), diagonals[0].clone()));
        rows.push(("Diagonal, left".to_owned(), diagonals[1].clone()));
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

/// Draws as many as there is room for, in two columns, and counts the rest.
pub(super) fn draw_measures(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
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
            format!("tolerance ±1/8; {n} more: see panels.json"),
            all.join(", "),
        ),
    };
    let mut drawn = Canvas::new();
    strip.heading(&mut drawn, "MEASURE BEFORE LABEL", &remark);
    let half = rows.len().div_ceil(2);
    let cell = strip.take(&mut drawn, rows_height(half) + 2.4);
    let width = cell.width() / 2.0;
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
            drawn.text_centred(spot(at, middle), value.clone(), number);
            let room = at - number.width(value) - x - 3.0;
            drawn.text_within(spot(x + 2.0, base), name, NOTE, room);
            drawn.rect(Pen::Thin.full(), tick);
            middle += PITCH;
        }
    }
    canvas.put(Item::Group(drawn.into_group("measures", &title)));
}
