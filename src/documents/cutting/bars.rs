//! Lumber, splines and plates: bars with their pieces from the left end.

use super::fill::{Head, filled, parted};
use super::{AT_THE_LUMBER, CuttingInput, Page, bounds, waste};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::style::{Fill, Lettering, Pen, RECESS_HATCH};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Weight, spot};
use crate::stock::Bar;
use crate::units::{Length, ranges};
use std::collections::BTreeSet;

/// What a bar is higher on paper than its letters, mm.
const BAR: f64 = 3.2;
/// Below a bar and its marks at least, and at most, mm.
const GAP: f64 = 4.0;
const MOST_GAP: f64 = 9.0;
/// Width of the bars' names, in heights of a letter.
const NAMES: f64 = 6.0;

pub(super) fn pages(input: &CuttingInput<'_>) -> Vec<Page> {
    let mut groups: Vec<Vec<&Bar>> = Vec::new();
    for bar in &input.stock.bars {
        let is_alike = |group: &Vec<&Bar>| group.first().is_some_and(|it| are_alike(it, bar));
        match groups.iter_mut().find(|group| is_alike(group)) {
            Some(group) => group.push(bar),
            None => groups.push(vec![bar]),
        }
    }
    if groups.is_empty() {
        return Vec::new();
    }
    // What is fetched together stands together.
    groups.sort_by_key(|group| group.first().map(|it| first_of(input, it)));
    let longest = input.stock.bars.iter().map(|it| it.length).max();
    let longest = longest.unwrap_or_default().to_inches().max(1.0);
    let lettering = input.paper().lettering;
    let shaped = shaped(input);
    let pages = filled(input, |flow, larger| {
        let gap = (GAP * larger).min(MOST_GAP);
        let mut before: Option<&Bar> = None;
        let column = flow.area();
        let parts = groups.iter().flat_map(|group| {
            parted(group, column.height(), |part| {
                Row::new(lettering, part, (column.width(), longest), true).height() + gap
            })
        });
        for group in parts {
            let row = |width: f64, has_head| Row::new(lettering, group, (width, longest), has_head);
            let Some(bar) = group.first() else { continue };
            let is_new = !before.is_some_and(|it| is_one_stock(it, bar));
            flow.make_room(|width| row(width, is_new).height() + gap);
            let has_head = is_new || flow.is_at_top();
            flow.block(
                |width| row(width, has_head).height() + gap,
                |canvas, area| row(area.width(), has_head).draw(canvas, area),
            );
            before = Some(bar);
        }
        if !shaped.rows.is_empty() {
            flow.table(SHAPED, "degrees from square", &shaped);
        }
        // A bar is as long as its column is wide: the fewer columns, the larger.
        0.0
    });
    let count = pages.len();
    pages
        .into_iter()
        .enumerate()
        .map(|(index, canvas)| Page {
            name: "lumber".to_owned(),
            title: "Lumber".to_owned(),
            subtitle: if count > 1 {
                format!("pieces from bars, sheet {} of {count}", index + 1)
            } else {
                "pieces from bars".to_owned()
            },
            scale: "not to scale",
            layers: vec![canvas.into_group("bars", "Pieces from bars")],
            facts: (
                "WHAT IT COMES TO, FT".to_owned(),
                waste(input, &["lumber"]),
            ),
            bounds: bounds(input.stock, &["lumber"]),
            notes: vec![
                "Pieces run from the left end, their marks below them, a line for each bar; hatched: what is left. Bars on one sheet are drawn to one scale.".to_owned(),
                if shaped.rows.is_empty() {
                    "Lengths are cut lengths, to 1/16 in. All ends are square; no piece is ripped.".to_owned()
                } else {
                    "Lengths are cut lengths, to 1/16 in. Ends are square and pieces as wide as the bar, but for those listed after the bars.".to_owned()
                },
                "Mark each piece as it comes off; bundle it with its panel's framing package.".to_owned(),
            ],
            cautions: AT_THE_LUMBER,
        })
        .collect()
}

/// Heading of the list after the bars.
const SHAPED: &str = "RIPPED, OR ENDS NOT SQUARE";

/// Pieces of the bars that are ripped, or whose ends are not square: those alike in one row.
fn shaped(input: &CuttingInput<'_>) -> Table {
    let pieces = input.stock.bars.iter().flat_map(|bar| &bar.pieces);
    let sawn: BTreeSet<&str> = pieces.map(|(mark, _)| mark.as_str()).collect();
    let lumber = input.fabrication.panels.iter().flat_map(|it| &it.lumber);
    let lumber = lumber.map(|it| (it.mark.as_str(), it.section.as_str(), it.end_cuts));
    let plates = input.fabrication.plates.iter();
    let plates = plates.map(|it| (it.mark.as_str(), it.section.as_str(), it.end_cuts));
    let mut alike: Vec<([String; 3], Vec<&str>)> = Vec::new();
    for (mark, section, cuts) in lumber.chain(plates) {
        let is_square = cuts.as_flattened().iter().all(|it| *it == 0.0);
        if !sawn.contains(mark) || is_square && !section.contains(" ripped ") {
            continue;
        }
        let told = [section.to_owned(), cut(cuts[0]), cut(cuts[1])];
        match alike.iter_mut().find(|it| it.0 == told) {
            Some((_, marks)) => marks.push(mark),
            None => alike.push((told, vec![mark])),
        }
    }
    let rows = alike.into_iter();
    let rows = rows
        .map(|(told, marks)| std::iter::once(ranges(&marks)).chain(told).collect())
        .collect();
    Table {
        columns: vec![
            Column::wrapping("Pieces").bold(),
            Column::wrapping("Section"),
            Column::words("First end"),
            Column::words("Second end"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

/// An end cut in words.
fn cut([mitre, bevel]: [f64; 2]) -> String {
    let parts = [("mitre", mitre), ("bevel", bevel)].into_iter();
    let parts = parts.filter(|it| it.1 != 0.0);
    let parts: Vec<String> = parts
        .map(|(name, angle)| format!("{name} {}°", (angle * 10.0).round() / 10.0))
        .collect();
    if parts.is_empty() {
        "square".to_owned()
    } else {
        parts.join(", ")
    }
}

fn are_alike(a: &Bar, b: &Bar) -> bool {
    let lengths = |it: &Bar| -> Vec<Length> { it.pieces.iter().map(|piece| piece.1).collect() };
    (&a.section, &a.grade, a.length, a.trim, a.kerf)
        == (&b.section, &b.grade, b.length, b.trim, b.kerf)
        && a.leftover.is_empty() == b.leftover.is_empty()
        && lengths(a) == lengths(b)
}

/// True when a piece is long enough on paper for the words of its length.
fn is_lettered(cap: f64, words: &str, length: Length, scale: f64) -> bool {
    let note = Lettered::cap(cap).bold();
    note.width(words) + 1.6 <= length.to_inches() * scale
}

/// The first bar of the same stock: where it stands in the list.
fn first_of(input: &CuttingInput<'_>, bar: &Bar) -> Option<usize> {
    input.stock.bars.iter().position(|it| is_one_stock(it, bar))
}

/// True for bars that are fetched from one pile and cut with one setting.
fn is_one_stock(a: &Bar, b: &Bar) -> bool {
    let size = |it: &Bar| [it.length, it.trim, it.kerf];
    (&a.section, &a.grade, a.leftover.is_empty()) == (&b.section, &b.grade, b.leftover.is_empty())
        && size(a) == size(b)
}

/// Bars that come apart alike.
struct Row<'a> {
    group: &'a [&'a Bar],
    lettering: Lettering,
    /// Paper mm to an inch.
    scale: f64,
    /// Width of the bars' names, mm.
    names: f64,
    head: Option<Head>,
    /// Marks in words, where not all of them find room under their pieces, and of leftovers, each by its name.
    lines: Vec<String>,
}

impl<'a> Row<'a> {
    fn new(
        lettering: Lettering,
        group: &'a [&'a Bar],
        (width, longest): (f64, f64),
        has_head: bool,
    ) -> Self {
        let names = NAMES * lettering.note;
        let scale = (width - names - 2.0) / longest;
        let head = group.first().filter(|_| has_head).map(|bar| {
            let leftover = if bar.leftover.is_empty() {
                ""
            } else {
                ", leftovers"
            };
            let name = format!(
                "{} {}, {}{leftover}",
                bar.section,
                bar.grade,
                bar.length.feet_inches()
            );
            let facts = format!("kerf {}, {} off each end", bar.kerf, bar.trim);
            Head::new(&lettering, width, &name, &facts)
        });
        let mut row = Self {
            group,
            lettering,
            scale,
            names,
            head,
            lines: Vec::new(),
        };
        let fit = |bar: &&Bar| {
            bar.leftover.is_empty()
                && bar.pieces.iter().all(|piece| row.has_room(piece))
                && row.has_room_for_offcut(bar)
        };
        if !group.iter().all(fit) {
            let lines = group.iter().map(|it| row.in_words(it));
            let room = width - names - 2.0;
            let lines = lines
                .flat_map(|words| wrap(&words, room, lettering.note, Weight::Regular))
                .collect();
            row.lines = lines;
        }
        row
    }

    /// True when mark and length stand one below the other in the piece's own width.
    fn has_room(&self, (mark, length): &(String, Length)) -> bool {
        let words = length.feet_inches().to_string();
        let cap = self.lettering.note;
        is_lettered(cap, &words, *length, self.scale) && is_lettered(cap, mark, *length, self.scale)
    }

    /// True when the name of what is kept, if it is, stands below it.
    fn has_room_for_offcut(&self, bar: &Bar) -> bool {
        let words = kept(bar);
        is_lettered(self.lettering.note, &words, bar.offcut, self.scale) || words.is_empty()
    }

    /// Marks from the left end; a piece too short for its length in the drawing has it here.
    fn in_words(&self, bar: &Bar) -> String {
        let said = |(mark, length): &(String, Length)| {
            let words = length.feet_inches().to_string();
            if is_lettered(self.lettering.note, &words, *length, self.scale) {
                mark.clone()
            } else {
                format!("{mark} ({words})")
            }
        };
        let mut words: Vec<String> = bar.pieces.iter().map(said).collect();
        words.extend(Some(kept(bar)).filter(|it| !it.is_empty()));
        let from = if bar.leftover.is_empty() {
            String::new()
        } else {
            format!(" from {}", bar.leftover)
        };
        format!("{}{from}: {}", bar.name, words.join(", "))
    }

    fn height(&self) -> f64 {
        let rows = if self.lines.is_empty() {
            self.group.len()
        } else {
            self.lines.len()
        };
        let rows = (0..rows).map(|_| self.lettering.leading());
        let head = self.head.as_ref().map_or(0.0, Head::height);
        rows.fold(head, |sum, it| sum + it) + self.high()
    }

    /// Height of the bar on paper, mm.
    fn high(&self) -> f64 {
        self.lettering.note + BAR
    }

    fn draw(&self, canvas: &mut Canvas, area: Area) {
        let Some(bar) = self.group.first() else {
            return;
        };
        let lettering = self.lettering;
        let note = Lettered::cap(lettering.note);
        let mut y = self
            .head
            .as_ref()
            .map_or(area.y0, |head| head.draw(canvas, &area))
            + 2.0;
        let left = area.x0 + self.names;
        let k = self.scale;
        let at = |from: Length, to: Length| {
            let [x0, x1] = [from, to].map(|it| left + it.to_inches() * k);
            Area::new(x0, y, x1, y + self.high())
        };
        let whole = at(Length::ZERO, bar.length);
        canvas.shape(Form::Area(whole), Pen::Edge.full(), Fill::White);
        canvas.hatch_area(&RECESS_HATCH, whole);
        let count = format!("{} ×", self.group.len());
        let middle = spot(area.x0 + 1.0, whole.middle().y);
        canvas.text_centred(middle, count, Lettered::cap(lettering.title).bold());
        let mut from = bar.trim;
        let mut middles = Vec::new();
        for (_, length) in &bar.pieces {
            let piece = at(from, from + *length);
            canvas.shape(Form::Area(piece), Pen::Bold.full(), Fill::White);
            let words = length.feet_inches().to_string();
            if is_lettered(lettering.note, &words, *length, k) {
                canvas.text_centred(piece.middle(), words, note.bold().middle());
            }
            middles.push(piece.middle().x);
            from += *length + bar.kerf;
        }
        y += self.high();
        for words in &self.lines {
            y += lettering.leading();
            canvas.text(spot(left, y), words.clone(), note);
        }
        if !self.lines.is_empty() {
            return;
        }
        for it in self.group {
            y += lettering.leading();
            canvas.text(spot(area.x0 + 1.0, y), it.name.clone(), note);
            for ((mark, _), x) in it.pieces.iter().zip(&middles) {
                canvas.text(spot(*x, y), mark.clone(), note.middle());
            }
            canvas.text(spot(whole.x1, y), kept(it), note.end());
        }
    }
}

/// The name of what is kept, in words.
fn kept(bar: &Bar) -> String {
    let name = bar.kept.as_ref();
    name.map_or_else(String::new, |name| format!("keep {name}"))
}
