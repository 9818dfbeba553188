//! Billets from the end: which slabs the wire cuts from each, from the bottom up, and at which heights it is set.

use super::fill::{Head, alike, filled, parted};
use super::{AT_THE_WIRE, CuttingInput, Page, bounds, of_stock, waste};
use crate::documents::paper::canvas::View;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::scale::{Scale, fitting_scale};
use crate::documents::paper::style::{Fill, Lettering, Pen, RECESS_HATCH};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Weight, spot};
use crate::stock::Billet;
use crate::units::{Inches, Length};

/// Least greatest height of a drawing, mm of ANSI B.
const TALL: f64 = 50.0;
/// Largest scale, as so many times smaller than life.
const LARGEST: f64 = 8.0;
/// Room at the right of a drawing for the heights of the wire, mm of ANSI B.
const WORDS: f64 = 62.0;
/// What a layer must be higher than its words for them to stand in it, mm.
const LAYER: f64 = 1.0;

pub(super) fn pages(input: &CuttingInput<'_>) -> Vec<Page> {
    let mut groups: Vec<Vec<&Billet>> = Vec::new();
    for billet in &input.stock.billets {
        let is_alike = |group: &Vec<&Billet>| group.first().is_some_and(|it| are_alike(it, billet));
        match groups.iter_mut().find(|group| is_alike(group)) {
            Some(group) => group.push(billet),
            None => groups.push(vec![billet]),
        }
    }
    if groups.is_empty() {
        return Vec::new();
    }
    let pages = filled(input, |flow, larger| {
        let mut scales = 0.0;
        let column = flow.area();
        let parts = groups.iter().flat_map(|group| {
            parted(group, column.height(), |part| {
                Card::new(input, part, (column.width(), larger)).height()
            })
        });
        for group in parts {
            let card = |width: f64| Card::new(input, group, (width, larger));
            flow.block(
                |width| card(width).height(),
                |canvas, area| {
                    let card = card(area.width());
                    scales += card.scale.per_inch();
                    card.draw(canvas, area);
                },
            );
        }
        flow.table("WHERE THE FOAM GOES", "cubic feet, pounds", &foam(input));
        scales
    });
    let count = pages.len();
    pages
        .into_iter()
        .enumerate()
        .map(|(index, canvas)| Page {
            name: "billets".to_owned(),
            title: "Billets".to_owned(),
            subtitle: if count > 1 {
                format!("slabs from billets, sheet {} of {count}", index + 1)
            } else {
                "slabs from billets".to_owned()
            },
            scale: "as shown",
            layers: vec![canvas.into_group("billets", "Slabs from billets")],
            facts: (
                "WHAT IT COMES TO, CU FT".to_owned(),
                waste(input, &["billets"]),
            ),
            bounds: bounds(input.stock, &["billets"]),
            notes: vec![
                "Waste of a billet is its skins, the wire's kerf and a rest too low to keep: they stand in where the foam goes, with those of slabs. Rests go back to be ground.".to_owned(),
                "Billets are seen from the end. Numbers at the right: heights of the wire above the billet's bottom, inches; a slab lies between two, and the wire's kerf above it.".to_owned(),
                "Hatched: what is left, and the skins taken off bottom and top. What is kept keeps its upper skin: label it with its name and shelve it flat.".to_owned(),
                "Foam that goes back to be ground is collected clean, by material.".to_owned(),
            ],
            cautions: AT_THE_WIRE,
        })
        .collect()
}

fn are_alike(a: &Billet, b: &Billet) -> bool {
    let layers = |it: &Billet| -> Vec<[Length; 2]> {
        let slabs = it.slabs.iter();
        slabs.map(|(_, from, to)| [*from, *to]).collect()
    };
    let size = |it: &Billet| [it.length, it.width, it.height, it.skin, it.kerf];
    (&a.what, &a.leftover) == (&b.what, &b.leftover) && size(a) == size(b) && layers(a) == layers(b)
}

/// Billets that come apart alike.
struct Card<'a> {
    group: &'a [&'a Billet],
    lettering: Lettering,
    head: Head,
    lines: Vec<String>,
    scale: Scale,
}

impl<'a> Card<'a> {
    fn new(input: &CuttingInput<'_>, group: &'a [&'a Billet], (width, larger): (f64, f64)) -> Self {
        let paper = input.paper();
        let lettering = paper.lettering;
        let names: Vec<&str> = group.iter().map(|it| it.name.as_str()).collect();
        let first = group.first();
        let size = first.map_or([1.0, 1.0], |it| {
            [it.width, it.height].map(Length::to_inches)
        });
        let grown = paper.letters_grown();
        let room = [width - WORDS * grown, TALL * grown * larger];
        let scale = fitting_scale(input.scales(), LARGEST, size, room);
        let name = format!("{}{}", of_stock(&names), alike(group.len()));
        let facts = first.map_or_else(String::new, |it| {
            let leftover = if it.leftover.is_empty() {
                String::new()
            } else {
                format!(", leftover {}", it.leftover)
            };
            format!(
                "{}, {} × {} × {} high{leftover}; kerf {}, {} off bottom and top, {} left; {}",
                it.what,
                it.length.feet_inches(),
                it.width.feet_inches(),
                it.height.feet_inches(),
                it.kerf,
                it.skin,
                it.rest,
                scale.name
            )
        });
        let mut lines = Vec::new();
        if group.len() > 1 {
            lines.extend(group.iter().map(|it| {
                let slabs = it.slabs.iter().map(|slab| slab.0.clone());
                let kept = it.kept.iter().map(|name| format!("keep {name}"));
                let layers: Vec<String> = slabs.chain(kept).collect();
                format!("{}, from the bottom: {}", it.name, layers.join(", "))
            }));
        }
        let lines = lines
            .iter()
            .flat_map(|words| wrap(words, width - 2.0, lettering.note, Weight::Regular));
        Self {
            group,
            lettering,
            head: Head::new(&lettering, width, &name, &facts),
            lines: lines.collect(),
            scale,
        }
    }

    fn tall(&self) -> f64 {
        let height = self.group.first().map(|it| it.height.to_inches());
        height.unwrap_or_default() * self.scale.per_inch()
    }

    fn height(&self) -> f64 {
        let lines = self.lines.iter().map(|_| self.lettering.leading());
        lines.fold(0.0, |sum, it| sum + it)
            + self.head.height()
            + self.lettering.leading()
            + self.tall()
            + 14.0
    }

    fn draw(&self, canvas: &mut Canvas, area: Area) {
        let Some(billet) = self.group.first() else {
            return;
        };
        let lettering = self.lettering;
        let note = Lettered::cap(lettering.note);
        let left = area.x0 + 1.0;
        let top = self.head.draw(canvas, &area) + lettering.leading() + 3.0;
        let view = View {
            origin: spot(left, top + self.tall()),
            scale: self.scale.per_inch(),
        };
        let title = format!("{}, {}", billet.name, self.scale.name);
        canvas.group(&format!("billet-{}", billet.name), &title, |canvas| {
            draw_end(canvas, &lettering, (self.group, billet), &view);
        });
        let mut y = view.origin.y + 2.5;
        for words in &self.lines {
            y += lettering.leading();
            canvas.text(spot(left, y), words.clone(), note);
        }
    }
}

fn draw_end(
    canvas: &mut Canvas,
    lettering: &Lettering,
    (group, billet): (&[&Billet], &Billet),
    view: &View,
) {
    let wide = billet.width.to_inches();
    let between = |from: Length, to: Length| view.area(0.0, from.to_inches(), wide, to.to_inches());
    let whole = between(Length::ZERO, billet.height);
    canvas.shape(Form::Area(whole), Pen::Bold.full(), Fill::White);
    canvas.hatch_area(&RECESS_HATCH, whole);
    let note = Lettered::cap(lettering.note);
    let number = Lettered::cap(lettering.title).bold();
    let least = number.cap + LAYER;
    let heads = spot(whole.x1 + 6.0, whole.y0 - 2.0);
    canvas.text(heads, "WIRE AT, FROM THE BOTTOM", note);
    if let Some(name) = &billet.kept {
        let rest = between(billet.height - billet.left(), billet.height);
        let words = if group.len() == 1 {
            format!("KEEP {name}: {} high", Inches(billet.left()))
        } else {
            format!("KEEP, {} high", Inches(billet.left()))
        };
        if rest.height() >= least {
            canvas.text_centred(rest.middle(), words, number.middle().masked());
        }
    }
    // Words of thin layers are pushed apart, each with a line to its place.
    let mut last = f64::INFINITY;
    for (name, from, to) in &billet.slabs {
        let layer = between(*from, *to);
        canvas.shape(Form::Area(layer), Pen::Edge.full(), Fill::White);
        let thickness = *to - *from;
        let words = if group.len() == 1 {
            format!("{name}: {}", Inches(thickness))
        } else {
            Inches(thickness).to_string()
        };
        if layer.height() >= least {
            canvas.text_centred(layer.middle(), words, number.middle());
        }
        let at = layer.middle().y.min(last - least);
        last = at;
        let elbow = spot(layer.x1 + 5.0, at);
        canvas.line(
            Pen::Hair.full(),
            spot(layer.x1 + 1.0, layer.middle().y),
            elbow,
        );
        let words = format!("{} and {}", Inches(*from), Inches(*to));
        let at = elbow + spot(1.0, number.cap / 2.0);
        let width = number.width(&words);
        canvas.text(at, words, number);
        canvas.text(at + spot(width + 3.0, 0.0), name.clone(), note);
    }
}

fn foam(input: &CuttingInput<'_>) -> Table {
    let number = |value: f64| format!("{value:.1}");
    let rows = input.stock.foam.iter().map(|it| {
        let mut row = vec![it.material.clone()];
        row.extend(
            [
                it.billets + it.slabs,
                it.panels,
                it.blank_offcuts,
                it.kept,
                it.rests,
                it.wire,
                it.grindings,
                it.ground_lb,
            ]
            .map(number),
        );
        row
    });
    Table {
        columns: vec![
            Column::wrapping("Foam").bold(),
            Column::numbers("Used"),
            Column::numbers("Panels"),
            Column::numbers("Blank offcuts"),
            Column::numbers("Kept"),
            Column::numbers("Waste: rests"),
            Column::numbers("Wire"),
            Column::numbers("Ground"),
            Column::numbers("Back, lb").bold(),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    }
}
