//! `ACAD_TABLE`: the block that holds its picture; where that is not in the file, its own cells.
//!
//! ```text
//!   ┌──────┬─────────┐      rows down, columns to the right, from the upper left corner;
//!   │ MARK │  SIZE   │      every cell's text stands in its middle
//!   ├──────┼─────────┤
//! ```

use crate::drawing::entities::lettering;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Insertion, Shape, Space, TextShape};
use crate::drawing::file::contents::{Contents, Record};

/// A grid of more cells than this is no schedule, and no drawing holds one.
const MOST_CELLS: usize = 20_000;

/// What an `ACAD_TABLE` says of itself.
#[derive(Default)]
struct Table {
    picture: String,
    at: Space,
    along: Option<[f64; 2]>,
    size: [usize; 2],
    rows: Vec<f64>,
    columns: Vec<f64>,
    /// Texts of the cells, row by row; a cell without one is empty.
    cells: Vec<String>,
    height: f64,
}

pub(super) fn table(contents: &Contents<'_>, record: &Record) -> Reading {
    let own = read(contents, record);
    let has_picture = contents
        .block_by_name
        .contains_key(&own.picture.to_uppercase());
    if has_picture {
        return Reading::Shape(Shape::Insert(Box::new(Insertion {
            angle: own.along.map_or(0.0, |along| along[1].atan2(along[0])),
            name: own.picture,
            at: own.at,
            scale: [1.0; 3],
            count: [1, 1],
            spacing: [0.0, 0.0],
            normal: [0.0, 0.0, 1.0],
        })));
    }
    let shapes = cells(&own);
    if shapes.is_empty() {
        return Reading::Counted("a table without its picture and without cells");
    }
    Reading::Shape(Shape::Several(shapes))
}

fn read(contents: &Contents<'_>, record: &Record) -> Table {
    let mut own = Table::default();
    for pair in contents.pairs(record).skip(1) {
        let number = || pair.value.real().unwrap_or(0.0);
        let text = || contents.letters.read(pair.value.bytes()).into_owned();
        let count = || usize::try_from(pair.value.whole().unwrap_or(0)).unwrap_or(0);
        let in_cells = !own.cells.is_empty();
        match pair.code {
            101 | 1000.. => break,
            // Each cell starts with its type.
            171 if own.cells.len() < MOST_CELLS => own.cells.push(String::new()),
            1 | 302 if in_cells => {
                // The text of a cell of 2007 and later comes twice: as one string, and as its value.
                if let Some(cell) = own.cells.last_mut()
                    && cell.is_empty()
                {
                    *cell = text();
                }
            }
            140 if in_cells && own.height <= 0.0 => own.height = number(),
            2 if !in_cells => text().trim().clone_into(&mut own.picture),
            10 if !in_cells => own.at[0] = number(),
            20 if !in_cells => own.at[1] = number(),
            30 if !in_cells => own.at[2] = number(),
            11 if !in_cells => own.along = Some([number(), 0.0]),
            21 if !in_cells => {
                if let Some(along) = &mut own.along {
                    along[1] = number();
                }
            }
            91 if !in_cells => own.size[0] = count(),
            92 if !in_cells => own.size[1] = count(),
            141 if !in_cells => own.rows.push(number()),
            142 if !in_cells => own.columns.push(number()),
            _ => {}
        }
    }
    own
}

/// The lines of the grid and the texts of its cells.
fn cells(own: &Table) -> Vec<Shape> {
    let [n_rows, n_columns] = own.size;
    let is_whole = n_rows > 0
        && n_columns > 0
        && own.rows.len() >= n_rows
        && own.columns.len() >= n_columns
        && n_rows.saturating_mul(n_columns) <= MOST_CELLS;
    if !is_whole {
        return Vec::new();
    }
    let along = own.along.unwrap_or([1.0, 0.0]);
    let length = along[0].hypot(along[1]).max(f64::MIN_POSITIVE);
    let unit = [along[0] / length, along[1] / length];
    let place = |right: f64, down: f64| {
        [
            own.at[0] + unit[0] * right + unit[1] * down,
            own.at[1] + unit[1] * right - unit[0] * down,
            own.at[2],
        ]
    };
    let marks = |steps: &[f64]| {
        let mut at = 0.0;
        let mut marks = vec![0.0];
        for step in steps {
            at += step;
            marks.push(at);
        }
        marks
    };
    let (down, right) = (marks(&own.rows[..n_rows]), marks(&own.columns[..n_columns]));
    let (width, height) = (right[n_columns], down[n_rows]);
    let mut lines: Vec<(Space, Space)> = Vec::new();
    lines.extend(down.iter().map(|&y| (place(0.0, y), place(width, y))));
    lines.extend(right.iter().map(|&x| (place(x, 0.0), place(x, height))));
    let mut shapes = vec![Shape::Lines {
        lines,
        are_faces: false,
    }];
    for (index, text) in own.cells.iter().take(n_rows * n_columns).enumerate() {
        let lines = lettering::plain_lines(text);
        if lines.is_empty() {
            continue;
        }
        let (row, column) = (index / n_columns, index % n_columns);
        let letters = if own.height > 0.0 {
            own.height
        } else {
            own.rows[row] / 2.0
        };
        shapes.push(Shape::Text(Box::new(TextShape {
            lines,
            at: place(
                f64::midpoint(right[column], right[column + 1]),
                f64::midpoint(down[row], down[row + 1]),
            ),
            along: [unit[0], unit[1], 0.0],
            line_step: 5.0 / 3.0,
            height: letters,
            normal: [0.0, 0.0, 1.0],
            justified: [0.5, 0.5],
            ..TextShape::default()
        })));
    }
    shapes
}
