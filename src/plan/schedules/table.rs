//! Finds schedules among the texts of a sheet: heads in a row, and what stands in line under them.
//!
//! Method: (1) texts are sorted into rows by their middles; (2) a row with a head for tags and one for a size begins a schedule;
//! (3) columns part where lines stand between their heads, else halfway; a text under them belongs to the column it stands in, or
//! without lines to the head whose left edge, middle or right edge is nearest to its own; (4) rows follow until there is a gap.

use super::cells::{count, length, size};
use super::words::{Column, column, named_kind};
use super::{Row, Schedule};
use crate::drawing::{Curve, Drawing, Text, ViewKind, view_kind};
use crate::plan::lines::layers::Known;
use geo::Coord;

/// A text with its extent along its row.
#[derive(Clone, Debug)]
struct Cell<'a> {
    text: &'a Text,
    left: f64,
    right: f64,
    y: f64,
    /// What it says as the head of a column.
    head: Option<Column>,
}

impl Cell<'_> {
    const fn middle(&self) -> f64 {
        f64::midpoint(self.left, self.right)
    }
}

/// A column with its head.
#[derive(Clone, Copy, Debug)]
struct Head {
    what: Column,
    left: f64,
    right: f64,
}

/// Texts whose middles differ by less than this share of their height stand in one row.
const IN_ROW: f64 = 0.7;
/// Rows follow one another within this many heights of their letters.
const NEXT_ROW: f64 = 4.5;

/// The schedules of a drawing.
pub(in crate::plan) fn schedules(drawing: &Drawing) -> Vec<Schedule> {
    let rows = rows(drawing);
    let mut used = vec![false; rows.len()];
    let mut found = Vec::new();
    for at in 0..rows.len() {
        if used[at] {
            continue;
        }
        for group in split(&rows[at]) {
            if let Some((schedule, taken)) = schedule(drawing, &rows, at, &group) {
                for row in taken {
                    used[row] = true;
                }
                found.push(schedule);
            }
        }
    }
    found
}

/// Level texts in rows from the top down, each from the left.
fn rows(drawing: &Drawing) -> Vec<Vec<Cell<'_>>> {
    let mut known = Known::new(column);
    let mut cells: Vec<Cell<'_>> = drawing
        .texts
        .iter()
        .filter(|text| {
            let source = drawing.sources.get(text.source.0 as usize);
            let is_hidden = source.is_some_and(|source| source.is_hidden);
            let (sine, cosine) = text.angle.sin_cos();
            !is_hidden
                && sine.abs() < 0.02
                && cosine > 0.0
                && text.height > 0.0
                && !text.content.trim().is_empty()
        })
        .map(|text| {
            let half = (text.middle.x - text.at.x).abs().max(0.3 * text.height);
            Cell {
                text,
                left: text.middle.x - half,
                right: text.middle.x + half,
                y: text.middle.y,
                head: known.get(&text.content),
            }
        })
        .collect();
    cells.sort_by(|a, b| {
        b.y.total_cmp(&a.y)
            .then(a.left.total_cmp(&b.left))
            .then(a.text.content.cmp(&b.text.content))
    });
    let mut rows: Vec<Vec<Cell<'_>>> = Vec::new();
    for cell in cells {
        match rows.last_mut() {
            Some(row)
                if row
                    .first()
                    .is_some_and(|first| first.y - cell.y < IN_ROW * first.text.height) =>
            {
                row.push(cell);
            }
            _ => rows.push(vec![cell]),
        }
    }
    for row in &mut rows {
        row.sort_by(|a, b| a.left.total_cmp(&b.left));
        count_beside_tag(row);
    }
    rows
}

/// Behind another head of tags, `N.` heads how many there are.
fn count_beside_tag(row: &mut [Cell<'_>]) {
    let is_number = |cell: &Cell<'_>| {
        let word = cell.text.content.trim().trim_end_matches('.');
        ["N", "Nº", "N°", "№"].contains(&word.to_uppercase().as_str())
    };
    for i in 1..row.len() {
        let are_tags = [i - 1, i].map(|i| row[i].head) == [Some(Column::Tag); 2];
        if are_tags && is_number(&row[i]) && !is_number(&row[i - 1]) {
            row[i].head = Some(Column::Quantity);
        }
    }
}

/// Parts of a row that stand far apart: two schedules side by side.
fn split<'a, 'b>(row: &'b [Cell<'a>]) -> Vec<Vec<&'b Cell<'a>>> {
    let mut groups: Vec<Vec<&Cell<'a>>> = Vec::new();
    let mut seen_tag = false;
    for cell in row {
        let is_tag = cell.head == Some(Column::Tag);
        let is_far = groups
            .last()
            .and_then(|group| group.last())
            .is_none_or(|last| cell.left - last.right > 25.0 * cell.text.height);
        if is_far || is_tag && seen_tag {
            groups.push(Vec::new());
            seen_tag = false;
        }
        seen_tag |= is_tag;
        if let Some(group) = groups.last_mut() {
            group.push(cell);
        }
    }
    groups
}

/// The heads of a row, in order; `None` when it is no row of heads.
fn heads(group: &[&Cell<'_>]) -> Option<Vec<Head>> {
    let heads: Vec<Head> = group
        .iter()
        .map(|cell| Head {
            what: cell.head.unwrap_or(Column::Other),
            left: cell.left,
            right: cell.right,
        })
        .collect();
    let known = group.iter().filter(|cell| cell.head.is_some()).count();
    (known * 2 > group.len()).then_some(heads)
}

fn is_size(what: Column) -> bool {
    matches!(
        what,
        Column::Width | Column::Height | Column::Size | Column::Rough | Column::RoughWidth
    )
}

fn schedule(
    drawing: &Drawing,
    rows: &[Vec<Cell<'_>>],
    at: usize,
    group: &[&Cell<'_>],
) -> Option<(Schedule, Vec<usize>)> {
    let mut heads = heads(group)?;
    let mut taken = vec![at];
    let first = group.first()?;
    let letter = first.text.height;
    let (mut low, mut high) = (first.left, heads.last()?.right);
    // Heads in two rows: "ROUGH OPENING" over "W" and "H", above or below the others.
    for other in [at.checked_sub(1), Some(at + 1)].into_iter().flatten() {
        let Some(row) = rows.get(other) else { continue };
        let near = row
            .first()
            .is_some_and(|cell| (cell.y - first.y).abs() < NEXT_ROW * letter);
        let cells: Vec<&Cell<'_>> = row
            .iter()
            .filter(|cell| cell.right > low - 2.0 * letter && cell.left < high + 20.0 * letter)
            .collect();
        let all_heads = !cells.is_empty() && cells.iter().all(|cell| cell.head.is_some());
        if near && all_heads {
            merge(&mut heads, &cells, other < at);
            taken.push(other);
        }
    }
    let has = |test: fn(Column) -> bool| heads.iter().any(|head| test(head.what));
    if !has(is_size) {
        return None;
    }
    // Where nothing else is, the type is what stands in the bubbles.
    if !has(|it| it == Column::Tag) {
        let kind = heads.iter_mut().find(|head| head.what == Column::Kind)?;
        kind.what = Column::Tag;
    }
    heads.sort_by(|a, b| a.left.total_cmp(&b.left));
    low = heads.first()?.left;
    high = heads.last()?.right;
    let top = taken
        .iter()
        .filter_map(|row| rows.get(*row)?.first())
        .map(|cell| cell.y)
        .fold(f64::NEG_INFINITY, f64::max);
    let title = title(rows, taken.iter().copied().min()?, (low, high), top, letter);
    let kind = title.as_deref().and_then(named_kind);
    let columns = Columns::new(drawing, heads, first.y);
    let last = taken
        .iter()
        .filter_map(|row| rows.get(*row)?.first())
        .map(|cell| cell.y)
        .fold(f64::INFINITY, f64::min);
    let begin = taken.iter().copied().max()? + 1;
    let read = |bare: Option<f64>| body(drawing, (rows, begin, last), &columns, (letter, bare));
    // Bare numbers are in one unit all down the schedule: the first in which all are sizes of openings.
    let mut body = read(None);
    if !body.is_plausible() {
        let others = units_of_numbers(drawing)
            .into_iter()
            .map(|bare| read(Some(bare)));
        if let Some(other) = others.into_iter().find(Body::is_plausible) {
            body = other;
        }
    }
    for row in &mut body.rows {
        row.kind = row.kind.or(kind);
    }
    taken.append(&mut body.taken);
    (!body.rows.is_empty()).then(|| {
        let out = Schedule {
            title: title.unwrap_or_default(),
            kind,
            rows: body.rows,
            bounds: [
                Coord {
                    x: low.min(body.left),
                    y: top.min(body.low),
                },
                Coord {
                    x: high.max(body.right),
                    y: top + letter,
                },
            ],
        };
        (out, taken)
    })
}

/// What stands under the heads of a schedule.
struct Body {
    rows: Vec<Row>,
    taken: Vec<usize>,
    left: f64,
    right: f64,
    low: f64,
}

/// Openings are so wide and so high, inches: beyond it a number is in another unit (common practice, no source).
const WIDE: std::ops::RangeInclusive<f64> = 10.0..=246.0;
const HIGH: std::ops::RangeInclusive<f64> = 10.0..=132.0;

impl Body {
    /// True when every size is one of an opening.
    fn is_plausible(&self) -> bool {
        self.rows.iter().all(|row| {
            row.width.is_none_or(|it| WIDE.contains(&it))
                && row.height.is_none_or(|it| HIGH.contains(&it))
        })
    }
}

/// Inches in a bare number, by the units that schedules are written in: those of the drawing's system first.
fn units_of_numbers(drawing: &Drawing) -> [f64; 5] {
    use crate::drawing::DrawingUnit::{Centimetre, Foot, Inch, Metre, Millimetre};
    let units = if drawing.scale.unit.is_metric() {
        [Millimetre, Centimetre, Metre, Inch, Foot]
    } else {
        [Inch, Millimetre, Centimetre, Metre, Foot]
    };
    units.map(crate::drawing::DrawingUnit::inches)
}

/// Reads the rows under the heads.
///
/// - `begin`, `last`: the first of `rows` that may belong to it, and how high the row above that stands.
/// - `bare`: inches in a bare number, where that is settled.
fn body(
    drawing: &Drawing,
    (rows, begin, mut last): (&[Vec<Cell<'_>>], usize, f64),
    columns: &Columns,
    (letter, bare): (f64, Option<f64>),
) -> Body {
    let mut out = Body {
        rows: Vec::new(),
        taken: Vec::new(),
        left: f64::INFINITY,
        right: f64::NEG_INFINITY,
        low: f64::INFINITY,
    };
    for (number, row) in rows.iter().enumerate().skip(begin) {
        let cells: Vec<&Cell<'_>> = row.iter().filter(|cell| columns.holds(cell)).collect();
        let Some(y) = cells.first().map(|cell| cell.y) else {
            continue;
        };
        if last - y > NEXT_ROW * letter {
            break;
        }
        let Some(made) = columns.row(drawing, &cells, bare) else {
            // A second line of a cell, or the end.
            if last - y < 2.2 * letter {
                last = y;
                continue;
            }
            break;
        };
        last = y;
        out.taken.push(number);
        out.low = out.low.min(y - letter);
        for cell in &cells {
            out.left = out.left.min(cell.left);
            out.right = out.right.max(cell.right);
        }
        out.rows.push(made);
    }
    out
}

/// Brings a second row of heads in: over or under the first.
fn merge(heads: &mut Vec<Head>, cells: &[&Cell<'_>], is_above: bool) {
    for cell in cells {
        let Some(what) = cell.head else {
            continue;
        };
        let middle = cell.middle();
        let under: Vec<usize> = heads
            .iter()
            .enumerate()
            .filter(|(_, head)| {
                let own = f64::midpoint(head.left, head.right);
                own > cell.left - cell.text.height && own < cell.right + cell.text.height
                    || middle > head.left && middle < head.right
            })
            .map(|(number, _)| number)
            .collect();
        let rough = |head: &mut Head| {
            head.what = match head.what {
                Column::Width => Column::RoughWidth,
                Column::Height => Column::RoughHeight,
                other => other,
            };
        };
        if is_above {
            match what {
                Column::Rough => under.iter().for_each(|it| rough(&mut heads[*it])),
                _ if under.is_empty() => heads.push(Head {
                    what,
                    left: cell.left,
                    right: cell.right,
                }),
                _ => {}
            }
        } else {
            let is_rough = under.iter().any(|it| heads[*it].what == Column::Rough);
            let is_group = under
                .iter()
                .any(|it| matches!(heads[*it].what, Column::Rough | Column::Size));
            if under.is_empty() || is_group {
                let mut head = Head {
                    what,
                    left: cell.left,
                    right: cell.right,
                };
                if is_rough {
                    rough(&mut head);
                }
                heads.push(head);
            }
        }
    }
    // A head over others is none itself once they are there.
    let has = |heads: &[Head], group: &Head| {
        heads.iter().any(|head| {
            let own = f64::midpoint(head.left, head.right);
            matches!(
                head.what,
                Column::Width | Column::Height | Column::RoughWidth | Column::RoughHeight
            ) && (own - f64::midpoint(group.left, group.right)).abs()
                < 1.5 * (group.right - group.left)
        })
    };
    let copy = heads.clone();
    heads.retain(|head| {
        !(matches!(head.what, Column::Rough | Column::Size) && !is_above && has(&copy, head))
    });
}

/// The text over a schedule that names it.
fn title(
    rows: &[Vec<Cell<'_>>],
    first: usize,
    (low, high): (f64, f64),
    top: f64,
    letter: f64,
) -> Option<String> {
    rows.iter()
        .take(first)
        .rev()
        .take_while(|row| row.first().is_some_and(|cell| cell.y - top < 14.0 * letter))
        .flatten()
        .find(|cell| {
            let is_over = cell.right > low - 10.0 * letter && cell.left < high + 10.0 * letter;
            is_over
                && (view_kind(&cell.text.content) == Some(ViewKind::Schedule)
                    || named_kind(&cell.text.content).is_some())
        })
        .map(|cell| cell.text.content.trim().to_owned())
}

/// The columns of a schedule.
struct Columns {
    heads: Vec<Head>,
    /// Where one column ends and the next begins; with lines, the outer ones too.
    parts: Vec<f64>,
    has_lines: bool,
}

impl Columns {
    fn new(drawing: &Drawing, heads: Vec<Head>, y: f64) -> Self {
        let mut lines: Vec<f64> = drawing
            .strokes
            .iter()
            .filter_map(|stroke| match stroke.curve {
                Curve::Line { start, end }
                    if (start.x - end.x).abs() < 0.01
                        && start.y.min(end.y) <= y
                        && start.y.max(end.y) >= y =>
                {
                    Some(start.x)
                }
                _ => None,
            })
            .collect();
        lines.sort_by(f64::total_cmp);
        let between = |left: f64, right: f64| {
            lines
                .iter()
                .copied()
                .find(|x| *x > left - 0.01 && *x < right + 0.01)
        };
        let mut has_lines = true;
        let mut parts = Vec::new();
        for pair in heads.windows(2) {
            let (a, b) = (
                f64::midpoint(pair[0].left, pair[0].right),
                f64::midpoint(pair[1].left, pair[1].right),
            );
            let line = between(a, b);
            has_lines &= line.is_some();
            parts.push(line.unwrap_or_else(|| f64::midpoint(pair[0].right, pair[1].left)));
        }
        let first = heads.first().map_or(0.0, |head| head.left);
        let last = heads.last().map_or(0.0, |head| head.right);
        let (outer_left, outer_right) = (
            lines.iter().copied().rfind(|x| *x < first),
            lines.iter().copied().find(|x| *x > last),
        );
        let width = last - first;
        parts.insert(
            0,
            if has_lines { outer_left } else { None }.unwrap_or(first - 0.15 * width),
        );
        parts.push(if has_lines { outer_right } else { None }.unwrap_or(last + 0.3 * width));
        Self {
            heads,
            parts,
            has_lines,
        }
    }

    fn holds(&self, cell: &Cell<'_>) -> bool {
        let (Some(first), Some(last)) = (self.parts.first(), self.parts.last()) else {
            return false;
        };
        cell.middle() > *first && cell.middle() < *last
    }

    fn column_of(&self, cell: &Cell<'_>) -> usize {
        if self.has_lines {
            let inside = self
                .parts
                .windows(2)
                .position(|pair| cell.middle() >= pair[0] && cell.middle() < pair[1]);
            return inside.unwrap_or(0);
        }
        let off = |head: &Head| {
            let middle = f64::midpoint(head.left, head.right);
            (cell.left - head.left)
                .abs()
                .min((cell.middle() - middle).abs())
                .min((cell.right - head.right).abs())
        };
        (0..self.heads.len())
            .min_by(|a, b| off(&self.heads[*a]).total_cmp(&off(&self.heads[*b])))
            .unwrap_or(0)
    }

    /// A row; `None` when it has no tag.
    fn row(&self, drawing: &Drawing, cells: &[&Cell<'_>], bare: Option<f64>) -> Option<Row> {
        let mut words: Vec<String> = vec![String::new(); self.heads.len()];
        let mut row = Row::default();
        for cell in cells {
            let word = words.get_mut(self.column_of(cell))?;
            if !word.is_empty() {
                word.push(' ');
            }
            word.push_str(cell.text.content.trim());
            if let Some(source) = drawing.sources.get(cell.text.source.0 as usize) {
                row.sources.push(source.handle.clone());
            }
        }
        row.sources.sort();
        row.sources.dedup();
        for (head, text) in self.heads.iter().zip(&words) {
            let long = || length(text, drawing, bare);
            match head.what {
                Column::Tag if row.tag.is_empty() => row.tag.clone_from(text),
                Column::Width => row.width = row.width.or_else(long),
                Column::Height => row.height = row.height.or_else(long),
                Column::RoughWidth => row.rough_width = row.rough_width.or_else(long),
                Column::RoughHeight => row.rough_height = row.rough_height.or_else(long),
                Column::Sill => row.sill = long(),
                Column::Head => row.head = long(),
                Column::Quantity => row.quantity = count(text),
                Column::Kind => {
                    row.kind = row.kind.or_else(|| named_kind(text));
                    row.type_word.clone_from(text);
                }
                Column::Size => {
                    if let Some((w, h)) = size(text, drawing, bare) {
                        (row.width, row.height) = (Some(w), Some(h));
                    }
                }
                Column::Rough => {
                    if let Some((w, h)) = size(text, drawing, bare) {
                        (row.rough_width, row.rough_height) = (Some(w), Some(h));
                    }
                }
                Column::Tag | Column::Other => {}
            }
        }
        let is_tag = !row.tag.is_empty()
            && row.tag.chars().count() <= 8
            && column(&row.tag)
                .is_none_or(|it| it == Column::Width || it == Column::Height || it == Column::Tag);
        let says = row.width.or(row.height).or(row.rough_width).is_some();
        (is_tag && says).then_some(row)
    }
}
