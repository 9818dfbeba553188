//! Lumber, splines and plates: bars with their pieces from the left end.

use super::{AT_THE_LUMBER, CuttingInput, Page, bounds, named, waste, write_head};
use crate::documents::paper::flow::Flow;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::style::{Fill, Lettering, Pen, RECESS_HATCH};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Weight, spot};
use crate::stock::Bar;
use crate::units::Length;

/// What a bar is higher on paper than its letters, mm.
const BAR: f64 = 3.2;
/// Between two columns, mm.
const BETWEEN: f64 = 8.0;

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
    let longest = input.stock.bars.iter().map(|it| it.length).max();
    let longest = longest.unwrap_or_default().to_inches().max(1.0);
    let paper = input.paper();
    let field = paper.field().grown(-4.0);
    let narrow = paper.columns(field, BETWEEN);
    let lettering = paper.lettering;
    let laid = |columns: Vec<Area>| {
        let mut flow = Flow::new(columns.clone(), columns, lettering);
        for group in &groups {
            flow.block(
                |width| Row::new(lettering, group, width, longest).height(),
                |canvas, area| Row::new(lettering, group, area.width(), longest).draw(canvas, area),
            );
        }
        flow.into_pages()
    };
    // As few columns, and bars as long, as take no more sheets.
    let pages = laid(narrow.clone());
    let fewer = (1_u32..).take(narrow.len().saturating_sub(1));
    let mut fewer = fewer.map(|count| laid(Flow::columns(field, count, BETWEEN)));
    let pages = fewer.find(|it| it.len() <= pages.len()).unwrap_or(pages);
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
            scale: "none",
            layers: vec![canvas.into_group("bars", "Pieces from bars")],
            facts: (
                "WHAT IT COMES TO, FT".to_owned(),
                waste(input, &["lumber"]),
            ),
            bounds: bounds(input.stock, &["lumber"]),
            notes: vec![
                "Pieces run from the left end; hatched: what is left. Bars on one sheet are drawn to one scale.".to_owned(),
                "Lengths are cut lengths, to 1/16 in; end cuts that are not square stand in lists/lumber.csv.".to_owned(),
                "Mark each piece as it comes off; bundle it with its panel's framing package.".to_owned(),
            ],
            cautions: AT_THE_LUMBER,
        })
        .collect()
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
    let note = Lettered::cap(cap);
    note.width(words) + 1.6 <= length.to_inches() * scale
}

/// Bars that come apart alike.
struct Row<'a> {
    bar: &'a Bar,
    lettering: Lettering,
    /// Paper mm to an inch.
    scale: f64,
    head: Vec<String>,
    lines: Vec<String>,
}

impl<'a> Row<'a> {
    fn new(lettering: Lettering, group: &[&'a Bar], width: f64, longest: f64) -> Self {
        let scale = (width - 2.0) / longest;
        let bar = group[0];
        let names: Vec<&str> = group.iter().map(|it| it.name.as_str()).collect();
        let leftover = if bar.leftover.is_empty() {
            ""
        } else {
            ", leftovers"
        };
        let head = format!(
            "{} × {} {}, {}{leftover}: {}; kerf {}, {} off each end",
            group.len(),
            bar.section,
            bar.grade,
            bar.length.feet_inches(),
            named(&names),
            bar.kerf,
            bar.trim
        );
        let marks = group.iter().map(|it| {
            // A piece too short for its length in the drawing has it here.
            let said = |(mark, length): &(String, Length)| {
                let words = length.feet_inches().to_string();
                if is_lettered(lettering.note, &words, *length, scale) {
                    mark.clone()
                } else {
                    format!("{mark} ({words})")
                }
            };
            let marks: Vec<String> = it.pieces.iter().map(said).collect();
            let kept = it.kept.as_ref();
            let kept = kept.map_or_else(String::new, |name| format!("; keep {name}"));
            format!("{}: {}{kept}", it.name, marks.join(", "))
        });
        let wrapped = |words: &str, weight| wrap(words, width - 2.0, lettering.note, weight);
        let lines = marks.flat_map(|words| wrapped(&words, Weight::Regular));
        Self {
            bar,
            lettering,
            scale,
            head: wrapped(&head, Weight::Bold),
            lines: lines.collect(),
        }
    }

    fn height(&self) -> f64 {
        let lines = self.head.iter().chain(&self.lines);
        let lines = lines.map(|_| self.lettering.leading());
        lines.fold(0.0, |sum, it| sum + it) + self.high() + 7.0
    }

    /// Height of the bar on paper, mm.
    fn high(&self) -> f64 {
        self.lettering.note + BAR
    }

    fn draw(&self, canvas: &mut Canvas, area: Area) {
        let lettering = self.lettering;
        let note = Lettered::cap(lettering.note);
        let mut y = write_head(canvas, &lettering, &area, &self.head);
        y += 1.6;
        let left = area.x0 + 1.0;
        let k = self.scale;
        let at = |from: Length, to: Length| {
            let [x0, x1] = [from, to].map(|it| left + it.to_inches() * k);
            Area::new(x0, y, x1, y + self.high())
        };
        let bar = self.bar;
        canvas.shape(
            Form::Area(at(Length::ZERO, bar.length)),
            Pen::Edge.full(),
            Fill::White,
        );
        canvas.hatch_area(&RECESS_HATCH, at(Length::ZERO, bar.length));
        let mut from = bar.trim;
        for (_, length) in &bar.pieces {
            let piece = at(from, from + *length);
            canvas.shape(Form::Area(piece), Pen::Edge.full(), Fill::White);
            let words = length.feet_inches().to_string();
            if is_lettered(lettering.note, &words, *length, k) {
                canvas.text_centred(piece.middle(), words, note.middle());
            }
            from += *length + bar.kerf;
        }
        y += self.high();
        for words in &self.lines {
            y += lettering.leading();
            canvas.text(spot(left, y), words.clone(), note);
        }
    }
}
