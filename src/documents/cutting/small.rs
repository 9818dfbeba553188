//! Small blanks: several on one sheet, each in a band of its own with its picture at the left and its lists at the right.
//!
//! ```text
//!   B07, 6-1/2, 9'-0" × 4'-0" …
//!   ┌──────┐   PIECES
//!   │ W107 │   CUTS
//!   ◣──────┘
//!   B08 …
//! ```
//!
//! Letters are as high as on a blank's own sheet. A blank that needs more than half of a sheet has one of its own, and so has one that
//! would stand alone in its band.

use super::blank::{cut_table, group_pages, notes, offcuts, pieces};
use super::blank_view::{View, draw};
use super::fill::{Head, LARGER, alike};
use super::{AT_THE_SAW, CuttingInput, Page, blanks_title, bounds, of_stock, waste};
use crate::documents::paper::flow::Flow;
use crate::documents::paper::table::Table;
use crate::documents::paper::{Area, Canvas, Lettered, spot};
use crate::rules::Face;
use crate::stock::{Blank, NumberedCut, numbered_cuts};
use crate::units::Inches;

/// Part of the width that the picture has.
const PICTURE: f64 = 0.65;
/// Greatest height of a picture, mm.
const TALL: f64 = 62.0;
/// Between two bands, mm.
const BETWEEN: f64 = 4.0;

/// Blanks that come apart alike, in a band.
pub(super) struct Band<'a> {
    group: Vec<&'a Blank>,
    cuts: Vec<NumberedCut>,
    tables: Vec<(&'static str, Table)>,
    head: Head,
    /// Of the picture, as printed.
    scale: &'static str,
    /// How much higher than at least the picture may be.
    larger: f64,
    height: f64,
}

impl<'a> Band<'a> {
    /// The band of a group, when it takes no more than half of a sheet.
    pub(super) fn new(input: &CuttingInput<'_>, group: &[&'a Blank]) -> Option<Self> {
        let room = input.paper().field().grown(-3.0);
        let band = Self::of(input, group, 1.0)?;
        (band.height * 2.0 <= room.height()).then_some(band)
    }

    /// The band with its picture so many times higher than at least.
    fn of(input: &CuttingInput<'_>, group: &[&'a Blank], larger: f64) -> Option<Self> {
        let first = group.first()?;
        let paper = input.paper();
        let room = paper.field().grown(-3.0);
        let cuts = numbered_cuts(first, |index| input.fabrication.panels.get(index));
        let tables = [
            ("PIECES", pieces(input, group)),
            ("OFFCUTS", offcuts(group)),
            ("CUTS, IN THIS ORDER", cut_table(&cuts)),
        ];
        let tables = tables
            .into_iter()
            .filter(|(_, table)| !table.rows.is_empty());
        let tables: Vec<(&'static str, Table)> = tables.collect();
        let lettering = paper.lettering;
        let (left, right) = halves(&room);
        let view = View::within(input, &first.sheet, &left, TALL * larger);
        let [name, facts] = head(input, group);
        let facts = format!("{facts}; {}", view.scale.name);
        let head = Head::new(&lettering, room.width(), &name, &facts);
        let mut band = Self {
            group: group.to_vec(),
            cuts,
            tables,
            head,
            scale: view.scale.name,
            larger,
            height: 0.0,
        };
        let lists = band.tables.iter().map(|(_, table)| {
            let laid = table.lay_out(&lettering, right.width());
            laid.height() + lettering.title + 3.0 + BETWEEN
        });
        let lists = lists.fold(0.0, |sum, it| sum + it);
        let picture = view.foot - left.y0;
        band.height = band.head.height() + 2.0 + lists.max(picture) + BETWEEN;
        Some(band)
    }

    /// The same as high as a number of bands of one sheet leave room for.
    fn stretched(&self, input: &CuttingInput<'_>, room: f64) -> Option<Self> {
        let larger = LARGER.iter().filter(|it| **it > self.larger);
        let mut larger = larger.filter_map(|it| Self::of(input, &self.group, *it));
        larger.find(|it| it.height <= room)
    }

    fn draw(&self, canvas: &mut Canvas, input: &CuttingInput<'_>, area: &Area) {
        let Some(first) = self.group.first() else {
            return;
        };
        let lettering = input.paper().lettering;
        let y = self.head.draw(canvas, area);
        let below = Area::new(area.x0, y + 2.0, area.x1, area.y1);
        let (left, right) = halves(&below);
        let view = View::within(input, &first.sheet, &left, TALL * self.larger);
        let name = &first.sheet.name;
        let title = format!("{name}, {}", view.scale.name);
        canvas.group(&format!("blank-{name}"), &title, |canvas| {
            draw(canvas, input, &self.group, &self.cuts, &view);
        });
        let mut y = right.y0;
        for (heading, table) in &self.tables {
            let cap = lettering.title;
            let title = Lettered::cap(cap).bold();
            canvas.text(spot(right.x0 + 1.4, y + cap), *heading, title);
            let laid = table.lay_out(&lettering, right.width());
            y = laid.draw(canvas, right.x0, y + cap + 3.0) + BETWEEN;
        }
    }
}

/// Where picture and lists stand in a band.
fn halves(area: &Area) -> (Area, Area) {
    let middle = area.x0 + area.width() * PICTURE;
    (
        Area::new(area.x0, area.y0, middle, area.y1),
        Area::new(middle + 4.0, area.y0, area.x1, area.y1),
    )
}

/// Which it is and which face lies up; what it is and how large.
fn head(input: &CuttingInput<'_>, group: &[&Blank]) -> [String; 2] {
    let Some(first) = group.first() else {
        return [String::new(), String::new()];
    };
    let sheet = &first.sheet;
    let names: Vec<&str> = group.iter().map(|it| it.sheet.name.as_str()).collect();
    let line = input.rules.lines.get(first.line);
    let face = match first.face_up {
        Face::Outer => "OUTSIDE",
        Face::Inner => "INSIDE",
    };
    let leftover = if sheet.leftover.is_empty() {
        String::new()
    } else {
        format!(", leftover {}", sheet.leftover)
    };
    [
        format!("{}{}; {face} UP", of_stock(&names), alike(group.len())),
        format!(
            "{}, {} line, {} × {} × {}\"{leftover}; kerf {}, trim {}",
            sheet.what,
            line.map_or("", |it| it.name.as_str()),
            sheet.length.feet_inches(),
            sheet.width.feet_inches(),
            Inches(sheet.thickness),
            sheet.kerf,
            sheet.trim
        ),
    ]
}

/// Sheets of bands, as many to a sheet as it has room for.
pub(super) fn pages(input: &CuttingInput<'_>, bands: &[Band<'_>]) -> Vec<Page> {
    let room = input.paper().field().grown(-3.0);
    let mut sheets: Vec<Vec<&Band<'_>>> = Vec::new();
    let mut used = 0.0;
    for band in bands {
        match sheets.last_mut() {
            Some(sheet) if used + band.height <= room.height() => sheet.push(band),
            _ => {
                sheets.push(vec![band]);
                used = 0.0;
            }
        }
        used += band.height;
    }
    let sheets = sheets.iter().flat_map(|sheet| match sheet.as_slice() {
        [alone] => group_pages(input, &alone.group),
        several => vec![page(input, several)],
    });
    sheets.collect()
}

fn page(input: &CuttingInput<'_>, bands: &[&Band<'_>]) -> Page {
    let paper = input.paper();
    let room = paper.field().grown(-3.0);
    let columns = vec![room];
    // Each picture takes its share of what room the sheet has left.
    let used: f64 = bands.iter().map(|it| it.height).sum();
    let each = (room.height() - used) / bands.iter().map(|_| 1.0).sum::<f64>().max(1.0);
    let stretched = bands.iter().map(|it| it.stretched(input, it.height + each));
    let stretched: Vec<Option<Band<'_>>> = stretched.collect();
    let bands: Vec<&Band<'_>> = bands
        .iter()
        .zip(&stretched)
        .map(|(band, larger)| larger.as_ref().unwrap_or(band))
        .collect();
    let mut flow = Flow::new(columns.clone(), columns, paper.lettering);
    for band in &bands {
        flow.block(
            |_| band.height,
            |canvas, area| band.draw(canvas, input, &area),
        );
    }
    let blanks = bands.iter().flat_map(|band| &band.group);
    let names: Vec<&str> = blanks.map(|it| it.sheet.name.as_str()).collect();
    let firsts = bands.iter();
    let firsts: Vec<&Blank> = firsts
        .filter_map(|band| band.group.first().copied())
        .collect();
    let said = notes(input, &firsts);
    let scale = bands.first().map_or("", |it| it.scale);
    let is_one = bands.iter().all(|it| it.scale == scale);
    let layers = flow.into_pages().into_iter();
    Page {
        name: names
            .first()
            .map_or_else(String::new, |it| (*it).to_owned()),
        title: blanks_title(&names),
        subtitle: "panels from small blanks".to_owned(),
        scale: if is_one { scale } else { "as shown" },
        layers: layers
            .map(|it| it.into_group("blanks", "Small blanks"))
            .collect(),
        facts: ("ALL BLANKS, SQ FT".to_owned(), waste(input, &["blanks"])),
        bounds: bounds(input.stock, &["blanks"]),
        notes: said,
        cautions: AT_THE_SAW,
    }
}
