//! Boards and slabs: a small drawing for each that comes apart in its own way, with its pieces in words.

use super::{
    AT_THE_BOARDS, AT_THE_WIRE, CuttingInput, Page, bounds, cut_numbers, named, unit, waste,
    write_head,
};
use crate::documents::general::capitalised;
use crate::documents::paper::canvas::View;
use crate::documents::paper::flow::Flow;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::scale::fitting_scale;
use crate::documents::paper::style::{Fill, Ink, Lettering, Pen, RECESS_HATCH};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Weight, spot};
use crate::geometry::ShopRect;
use crate::stock::{CutSheet, SheetCut};
use crate::units::{Inches, Length};

/// Greatest height of a drawing, mm.
const TALL: f64 = 44.0;

/// What makes two sheets come apart alike.
#[derive(PartialEq)]
struct Shape<'a> {
    what: &'a str,
    size: [Length; 5],
    rects: Vec<ShopRect>,
    cuts: &'a [SheetCut],
}

fn shape(sheet: &CutSheet) -> Shape<'_> {
    Shape {
        what: &sheet.what,
        size: [
            sheet.length,
            sheet.width,
            sheet.thickness,
            sheet.trim,
            sheet.kerf,
        ],
        rects: sheet.pieces.iter().map(|it| it.rect).collect(),
        cuts: &sheet.cuts,
    }
}

pub(super) fn pages(input: &CuttingInput<'_>) -> Vec<Page> {
    let stock = input.stock;
    let mut pages = Vec::new();
    for (name, what, sheets, from) in [
        ("boards", "skins from boards", &stock.boards, "boards"),
        ("slabs", "cores from slabs of foam", &stock.slabs, "slabs"),
    ] {
        let mut groups: Vec<(Shape<'_>, Vec<&CutSheet>)> = Vec::new();
        for sheet in sheets {
            let shape = shape(sheet);
            match groups.iter_mut().find(|it| it.0 == shape) {
                Some((_, group)) => group.push(sheet),
                None => groups.push((shape, vec![sheet])),
            }
        }
        if groups.is_empty() {
            continue;
        }
        let paper = input.paper();
        let columns = paper.columns(paper.field().grown(-4.0), 6.0);
        let mut flow = Flow::new(columns.clone(), columns, paper.lettering);
        for (_, group) in &groups {
            let Some(first) = group.first() else { continue };
            flow.block(
                |width| Card::new(input, first, group, width).height,
                |canvas, area| Card::new(input, first, group, area.width()).draw(canvas, area),
            );
        }
        let sheets = flow.into_pages();
        let count = sheets.len();
        pages.extend(sheets.into_iter().enumerate().map(|(index, canvas)| Page {
            name: name.to_owned(),
            title: capitalised(name),
            subtitle: if count > 1 {
                format!("{what}, sheet {} of {count}", index + 1)
            } else {
                what.to_owned()
            },
            scale: "as shown",
            layers: vec![canvas.into_group(name, what)],
            facts: (
                format!("WHAT IT COMES TO, {}", unit(stock, from).to_uppercase()),
                waste(input, &[from]),
            ),
            bounds: bounds(stock, &[from]),
            notes: vec![
                "x along the long side and the strength axis, from the corner at the lower left; inches, rounded to 1/16.".to_owned(),
                "Cuts are made in the order of their numbers, from edge to edge of what is left; the kerf of a cross cut lies right of its line, of a rip above it. Letters name the pieces.".to_owned(),
                "Hatched: offcuts. Kept ones are labelled with their name and shelved.".to_owned(),
            ],
            cautions: if from == "boards" {
                AT_THE_BOARDS
            } else {
                AT_THE_WIRE
            },
        }));
    }
    pages
}

/// `a` to `z`, then `aa`: what pieces are called on a card, so that they are not taken for cuts.
fn letters() -> impl Iterator<Item = String> {
    let singles = ('a'..='z').map(String::from);
    singles.chain(('a'..='z').flat_map(|a| ('a'..='z').map(move |b| format!("{a}{b}"))))
}

/// One drawing with its words.
struct Card<'a> {
    sheet: &'a CutSheet,
    lettering: Lettering,
    head: Vec<String>,
    lines: Vec<String>,
    scale: &'static str,
    k: f64,
    height: f64,
}

impl<'a> Card<'a> {
    fn new(input: &CuttingInput<'_>, sheet: &'a CutSheet, group: &[&CutSheet], width: f64) -> Self {
        let paper = input.paper();
        let lettering = paper.lettering;
        let tall = TALL * paper.letters_grown();
        let size = [sheet.length, sheet.width].map(Length::to_inches);
        let scale = fitting_scale(input.scales(), 32.0, size, [width - 4.0, tall]);
        let names: Vec<&str> = group.iter().map(|it| it.name.as_str()).collect();
        let leftover = if sheet.leftover.is_empty() {
            String::new()
        } else {
            format!(", leftover {}", sheet.leftover)
        };
        let head = format!(
            "{} × {}, {} × {}{leftover}: {}",
            group.len(),
            sheet.what,
            sheet.length.feet_inches(),
            sheet.width.feet_inches(),
            named(&names)
        );
        let inches = |it: Length| Inches(it).to_string();
        let place = |rect: &ShopRect| {
            format!(
                "x {}, y {}, {} × {}",
                inches(rect.x0),
                inches(rect.y0),
                inches(rect.width()),
                inches(rect.height())
            )
        };
        let mut lines = vec![format!(
            "{}; thickness {}, kerf {}, trim {}",
            scale.name, sheet.thickness, sheet.kerf, sheet.trim
        )];
        for ((index, letter), piece) in letters().enumerate().zip(&sheet.pieces) {
            let own = group.iter().filter_map(|it| it.pieces.get(index));
            let own: Vec<&str> = own.map(|it| it.name.as_str()).collect();
            lines.push(format!("{letter}: {}; {}", place(&piece.rect), named(&own)));
        }
        for (index, offcut) in sheet.offcuts.iter().enumerate() {
            let own = group.iter().filter_map(|it| it.offcuts.get(index));
            let own: Vec<&str> = own.map(|it| it.name.as_str()).collect();
            let kept = if offcut.is_kept { "keep" } else { "waste" };
            lines.push(format!("{kept}: {}; {}", place(&offcut.rect), named(&own)));
        }
        for (index, cut) in sheet.cuts.iter().enumerate() {
            let line = if cut.from.x == cut.to.x {
                let [a, b] = [cut.from.y, cut.to.y].map(inches);
                format!("cross cut at x {}, y {a} to {b}", inches(cut.from.x))
            } else {
                let [a, b] = [cut.from.x, cut.to.x].map(inches);
                format!("rip at y {}, x {a} to {b}", inches(cut.from.y))
            };
            lines.push(format!("{}: {line}", index + 1));
        }
        let wrapped = |words: &str, weight| wrap(words, width - 2.0, lettering.note, weight);
        let head = wrapped(&head, Weight::Bold);
        let lines: Vec<String> = lines
            .iter()
            .flat_map(|words| wrapped(words, Weight::Regular))
            .collect();
        let n = head.iter().chain(&lines).map(|_| lettering.leading());
        let k = scale.per_inch();
        let height = n.fold(0.0, |sum, it| sum + it) + size[1] * k + 12.0;
        Self {
            sheet,
            lettering,
            head,
            lines,
            scale: scale.name,
            k,
            height,
        }
    }

    fn draw(&self, canvas: &mut Canvas, area: Area) {
        let lettering = self.lettering;
        let note = Lettered::cap(lettering.note);
        let mut y = write_head(canvas, &lettering, &area, &self.head);
        let size = [self.sheet.length, self.sheet.width].map(Length::to_inches);
        let view = View {
            origin: spot(area.x0 + 1.0, y + 4.0 + size[1] * self.k),
            scale: self.k,
        };
        let title = format!("{}, {}", self.sheet.name, self.scale);
        canvas.group(&format!("sheet-{}", self.sheet.name), &title, |canvas| {
            self.draw_picture(canvas, &view);
        });
        y = view.origin.y + 1.5;
        for words in &self.lines {
            y += lettering.leading();
            canvas.text(spot(area.x0 + 1.0, y), words.clone(), note);
        }
    }

    fn draw_picture(&self, canvas: &mut Canvas, view: &View) {
        let on_paper = |rect: &ShopRect| {
            let [x0, y0, x1, y1] = [rect.x0, rect.y0, rect.x1, rect.y1].map(Length::to_inches);
            view.area(x0, y0, x1, y1)
        };
        let size = [self.sheet.length, self.sheet.width].map(Length::to_inches);
        let whole = view.area(0.0, 0.0, size[0], size[1]);
        canvas.shape(Form::Area(whole), Pen::Bold.full(), Fill::Light);
        for offcut in &self.sheet.offcuts {
            let area = on_paper(&offcut.rect);
            canvas.shape(Form::Area(area), Pen::Thin.full(), Fill::White);
            canvas.hatch_area(&RECESS_HATCH, area);
        }
        let note = Lettered::cap(self.lettering.note).middle().masked();
        let mut taken = Vec::new();
        for (letter, piece) in letters().zip(&self.sheet.pieces) {
            let area = on_paper(&piece.rect);
            canvas.shape(Form::Area(area), Pen::Edge.full(), Fill::White);
            let size = format!(
                "{letter}: {} × {}",
                Inches(piece.rect.width()),
                Inches(piece.rect.height())
            );
            let fitting = [size, letter].into_iter().find(|words| {
                note.width(words) + 1.6 <= area.width() && note.cap + 1.6 <= area.height()
            });
            if let Some(words) = fitting {
                let half = spot(note.width(&words) / 2.0 + 1.0, note.cap / 2.0 + 1.0);
                taken.push(Area::of(area.middle() - half, area.middle() + half));
                canvas.text_centred(area.middle(), words, note);
            }
        }
        let cuts = (1_usize..).zip(&self.sheet.cuts).map(|(number, cut)| {
            let ends = [cut.from, cut.to].map(|it| view.spot(it.x.to_inches(), it.y.to_inches()));
            (number, ends, Ink::Black)
        });
        let cuts: Vec<_> = cuts.collect();
        for (_, [from, to], _) in &cuts {
            canvas.line(Pen::Bold.full(), *from, *to);
        }
        cut_numbers(canvas, self.lettering.note, &cuts, &mut taken);
    }
}
