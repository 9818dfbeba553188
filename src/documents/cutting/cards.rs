//! Boards and slabs: a small drawing for each that comes apart in its own way, with its pieces in words.

use super::blank_view::draw_ordinates;
use super::fill::{Head, alike, filled, parted};
use super::{
    AT_THE_BOARDS, AT_THE_WIRE, CuttingInput, Page, bounds, cut_numbers, of_stock, unit, waste,
};
use crate::documents::general::capitalised;
use crate::documents::paper::canvas::View;
use crate::documents::paper::scale::fitting_scale;
use crate::documents::paper::style::{Fill, Ink, Lettering, Pen, RECESS_HATCH, SMALL_SHEET};
use crate::documents::paper::symbol::quartered_disc;
use crate::documents::paper::table::{Column, Table, TableLayout};
use crate::documents::paper::{Area, Canvas, Form, Lettered, spot};
use crate::geometry::ShopRect;
use crate::stock::{CutSheet, SheetCut, SheetPiece};
use crate::units::{Inches, Length};

/// Least greatest height of a drawing, mm of ANSI B.
const TALL: f64 = 40.0;
/// Largest scale on ANSI B, as so many times smaller than life.
const LARGEST: f64 = 16.0;
/// Room round a drawing for ordinates and lists, mm.
const LEFT: f64 = 26.0;
const RIGHT: f64 = 8.0;
const BELOW: f64 = 27.0;
const ABOVE: f64 = 4.0;
/// Least width of lists at the right of a drawing, mm of ANSI B.
const BESIDE: f64 = 84.0;
/// Width of the list of cuts beside that of pieces, mm of ANSI B.
const CUTS: f64 = 62.0;
/// Between lists, mm.
const GAP: f64 = 3.0;

/// What makes two sheets come apart alike.
#[derive(PartialEq)]
struct Shape<'a> {
    what: &'a str,
    leftover: &'a str,
    size: [Length; 5],
    rects: Vec<ShopRect>,
    cuts: &'a [SheetCut],
}

fn shape(sheet: &CutSheet) -> Shape<'_> {
    Shape {
        what: &sheet.what,
        leftover: &sheet.leftover,
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
        let sheets = filled(input, |flow, larger| {
            let mut scales = 0.0;
            let column = flow.area();
            let parts = groups.iter().flat_map(|(_, group)| {
                let card = |part: &[&CutSheet]| {
                    let first = part.first();
                    first.map(|it| Card::new(input, it, part, (column.width(), larger)).height)
                };
                parted(group, column.height(), move |part| {
                    card(part).unwrap_or(0.0)
                })
            });
            for group in parts {
                let Some(first) = group.first() else { continue };
                let card = |width: f64| Card::new(input, first, group, (width, larger));
                flow.block(
                    |width| card(width).height,
                    |canvas, area| {
                        let card = card(area.width());
                        scales += card.k;
                        card.draw(canvas, area);
                    },
                );
            }
            scales
        });
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

/// One drawing with its lists: at its right where there is room, else below it.
struct Card<'a> {
    sheet: &'a CutSheet,
    lettering: Lettering,
    head: Head,
    scale: &'static str,
    k: f64,
    lists: Vec<TableLayout>,
    is_beside: bool,
    /// True when no other sheet comes apart alike.
    is_alone: bool,
    /// How far apart lists stand that stand side by side, mm; 0 for one below the other.
    step: f64,
    height: f64,
}

impl<'a> Card<'a> {
    fn new(
        input: &CuttingInput<'_>,
        sheet: &'a CutSheet,
        group: &[&CutSheet],
        (width, larger): (f64, f64),
    ) -> Self {
        let paper = input.paper();
        let (lettering, grown) = (paper.lettering, paper.letters_grown());
        let size = [sheet.length, sheet.width].map(Length::to_inches);
        let room = [width - (LEFT + RIGHT) * grown, TALL * grown * larger];
        let scale = fitting_scale(input.scales(), LARGEST / paper.grown(), size, room);
        let names: Vec<&str> = group.iter().map(|it| it.name.as_str()).collect();
        let leftover = if sheet.leftover.is_empty() {
            String::new()
        } else {
            format!(", leftover {}", sheet.leftover)
        };
        let name = format!("{}{}", of_stock(&names), alike(group.len()));
        let facts = format!(
            "{} {}, {} × {}{leftover}; kerf {}, trim {}; {}",
            sheet.what,
            sheet.thickness,
            sheet.length.feet_inches(),
            sheet.width.feet_inches(),
            sheet.kerf,
            sheet.trim,
            scale.name
        );
        let k = scale.per_inch();
        let drawn = size[0] * k + (LEFT + RIGHT) * grown;
        let is_beside = width - drawn >= BESIDE * grown;
        let wide = if is_beside { width - drawn } else { width };
        let lists = [piece_table(sheet, group), cut_table(sheet)];
        let lists: Vec<&Table> = lists.iter().filter(|it| !it.rows.is_empty()).collect();
        // Side by side where both have their room, else one below the other; the cuts are never wrapped.
        let cuts = lists.last().map_or(0.0, |it| it.natural_width(&lettering));
        let cuts = cuts.max(CUTS * grown);
        let in_row = wide >= BESIDE * grown + cuts && lists.len() > 1;
        let widths = if in_row {
            [wide - cuts - GAP, cuts]
        } else {
            [wide, wide]
        };
        let lists = lists.iter().zip(widths);
        let lists: Vec<TableLayout> = lists
            .map(|(it, wide)| it.lay_out(&lettering, wide))
            .collect();
        let heights = lists.iter().map(TableLayout::height);
        let tall: f64 = if in_row {
            heights.fold(0.0, f64::max)
        } else {
            heights.map(|it| it + GAP).sum()
        };
        let head = Head::new(&lettering, width, &name, &facts);
        let picture = size[1] * k + BELOW * grown;
        let body = if is_beside {
            picture.max(tall)
        } else {
            picture + tall
        };
        Self {
            height: head.height() + ABOVE + body + 2.0 * GAP,
            sheet,
            lettering,
            head,
            scale: scale.name,
            k,
            lists,
            is_beside,
            is_alone: group.len() == 1,
            step: if in_row { widths[0] + GAP } else { 0.0 },
        }
    }

    fn draw(&self, canvas: &mut Canvas, area: Area) {
        let lettering = self.lettering;
        let top = self.head.draw(canvas, &area) + ABOVE;
        let grown = lettering.note / SMALL_SHEET.note;
        let size = [self.sheet.length, self.sheet.width].map(Length::to_inches);
        let view = View {
            origin: spot(area.x0 + LEFT * grown, top + size[1] * self.k),
            scale: self.k,
        };
        let title = format!("{}, {}", self.sheet.name, self.scale);
        canvas.group(&format!("sheet-{}", self.sheet.name), &title, |canvas| {
            self.draw_picture(canvas, &view);
        });
        let (mut left, mut y) = if self.is_beside {
            (
                view.origin.x + size[0] * self.k + RIGHT * grown,
                top - ABOVE,
            )
        } else {
            (area.x0, view.origin.y + BELOW * grown)
        };
        for list in &self.lists {
            let foot = list.draw(canvas, left, y);
            if self.step > 0.0 {
                left += self.step;
            } else {
                y = foot + GAP;
            }
        }
    }

    fn draw_picture(&self, canvas: &mut Canvas, view: &View) {
        let on_paper = |rect: &ShopRect| {
            let [x0, y0, x1, y1] = [rect.x0, rect.y0, rect.x1, rect.y1].map(Length::to_inches);
            view.area(x0, y0, x1, y1)
        };
        let size = [self.sheet.length, self.sheet.width].map(Length::to_inches);
        let whole = view.area(0.0, 0.0, size[0], size[1]);
        canvas.shape(Form::Area(whole), Pen::Heavy.full(), Fill::Light);
        let mut taken = Vec::new();
        for offcut in &self.sheet.offcuts {
            let area = on_paper(&offcut.rect);
            canvas.shape(Form::Area(area), Pen::Thin.full(), Fill::White);
            canvas.hatch_area(&RECESS_HATCH, area);
            if offcut.is_kept {
                // Boards that come apart alike have each a name of their own for it, which the list gives.
                let name = self.is_alone.then(|| format!("KEEP {}", offcut.name));
                let words = [name, Some("KEEP".to_owned())].into_iter().flatten();
                let note = Lettered::cap(self.lettering.note).bold().middle().masked();
                let fits = |it: &String| {
                    note.width(it) + 1.6 <= area.width() && note.cap + 2.0 <= area.height()
                };
                if let Some(words) = words.into_iter().find(fits) {
                    let half = spot(note.width(&words) / 2.0 + 1.0, note.cap / 2.0 + 1.0);
                    let middle = area.middle();
                    taken.push(Area::of(middle - half, middle + half));
                    canvas.text_centred(middle, words, note);
                }
            }
        }
        for (letter, piece) in letters().zip(&self.sheet.pieces) {
            let area = on_paper(&piece.rect);
            canvas.shape(Form::Area(area), Pen::Edge.full(), Fill::White);
            self.name_piece(canvas, &letter, piece, &area, &mut taken);
        }
        let cuts = (1_usize..).zip(&self.sheet.cuts).map(|(number, cut)| {
            let ends = [cut.from, cut.to].map(|it| view.spot(it.x.to_inches(), it.y.to_inches()));
            (number, ends, Ink::Black)
        });
        let cuts: Vec<_> = cuts.collect();
        for (_, [from, to], _) in &cuts {
            canvas.line(Pen::Bold.full(), *from, *to);
        }
        cut_numbers(canvas, self.lettering.title, &cuts, &mut taken);
        quartered_disc(canvas, view.origin, 2.2);
        let cuts = self.sheet.cuts.iter();
        let set_at = cuts.map(|it| [it.from, it.to]);
        let size = [self.sheet.length, self.sheet.width];
        draw_ordinates(canvas, &self.lettering, view, &whole, size, &[], set_at);
    }

    /// Its letter, and below it its size, as far as there is room.
    fn name_piece(
        &self,
        canvas: &mut Canvas,
        letter: &str,
        piece: &SheetPiece,
        area: &Area,
        taken: &mut Vec<Area>,
    ) {
        let size = format!(
            "{} × {}",
            Inches(piece.rect.width()),
            Inches(piece.rect.height())
        );
        let note = Lettered::cap(self.lettering.note).middle().masked();
        let large = Lettered::cap(self.lettering.heading)
            .bold()
            .middle()
            .masked();
        let both = large.cap + note.cap + 1.6;
        let fits = |lettered: Lettered, words: &str, high: f64| {
            lettered.width(words) + 1.6 <= area.width() && high + 2.0 <= area.height()
        };
        let middle = area.middle();
        let words: Vec<(&str, Lettered, f64)> =
            if fits(large, letter, both) && fits(note, &size, both) {
                let up = (both - large.cap) / 2.0;
                let down = (both - note.cap) / 2.0;
                vec![(letter, large, -up), (size.as_str(), note, down)]
            } else if fits(note, letter, note.cap) {
                vec![(letter, note.bold(), 0.0)]
            } else {
                Vec::new()
            };
        for (words, lettered, down) in words {
            let at = middle + spot(0.0, down);
            let half = spot(lettered.width(words) / 2.0 + 1.0, lettered.cap / 2.0 + 1.0);
            taken.push(Area::of(at - half, at + half));
            canvas.text_centred(at, words, lettered);
        }
    }
}

/// Pieces by letter, then what is left.
fn piece_table(sheet: &CutSheet, group: &[&CutSheet]) -> Table {
    let inches = |it: Length| Inches(it).to_string();
    let row = |first: String, rect: &ShopRect, own: Vec<&str>| {
        vec![
            first,
            format!("{} × {}", inches(rect.width()), inches(rect.height())),
            inches(rect.x0),
            inches(rect.y0),
            of_stock(&own),
        ]
    };
    let mut rows = Vec::new();
    for ((index, letter), piece) in letters().enumerate().zip(&sheet.pieces) {
        let own = group.iter().filter_map(|it| it.pieces.get(index));
        rows.push(row(
            letter,
            &piece.rect,
            own.map(|it| it.name.as_str()).collect(),
        ));
    }
    for (index, offcut) in sheet.offcuts.iter().enumerate() {
        let own = group.iter().filter_map(|it| it.offcuts.get(index));
        let kept = if offcut.is_kept { "KEEP" } else { "waste" };
        rows.push(row(
            kept.to_owned(),
            &offcut.rect,
            own.map(|it| it.name.as_str()).collect(),
        ));
    }
    Table {
        columns: vec![
            Column::words("Piece").bold(),
            Column::numbers("x × y").bold(),
            Column::numbers("From x"),
            Column::numbers("y"),
            Column::wrapping("Goes to"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

/// Cuts in their order, each with what the saw or wire is set at.
fn cut_table(sheet: &CutSheet) -> Table {
    let inches = |it: Length| Inches(it).to_string();
    let rows = (1_usize..).zip(&sheet.cuts).map(|(number, cut)| {
        let [what, at, from, to] = if cut.from.x == cut.to.x {
            ["cross cut", "x", "y", ""].map(str::to_owned)
        } else {
            ["rip", "y", "x", ""].map(str::to_owned)
        };
        let [set, ends] = if cut.from.x == cut.to.x {
            [[cut.from.x, cut.from.x], [cut.from.y, cut.to.y]]
        } else {
            [[cut.from.y, cut.from.y], [cut.from.x, cut.to.x]]
        };
        vec![
            number.to_string(),
            what,
            format!("{at} {}", inches(set[0])),
            format!("{from} {}", inches(ends[0])),
            format!("{to}{}", inches(ends[1])),
        ]
    });
    Table {
        columns: vec![
            Column::numbers("Cut").bold(),
            Column::words(""),
            Column::numbers("Set at").bold(),
            Column::numbers("From"),
            Column::numbers("To"),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    }
}
