//! Puts walls on sheets: in the building's order, side by side in rows, those of a sheet at one scale, each as wide as what
//! is drawn of it.
//!
//! ```text
//!   walls ──► drawn once at each scale to see what room they take ──► the scale with the fewest sheets ──► rows ──► sheets, each as large as it can be
//!                         └── none fits: parted at match lines
//! ```

use super::subject::Subject;
use super::{DETAILS, ElevationInput, draw_cell};
use crate::documents::paper::page::extent;
use crate::documents::paper::scale::{Scale, scales};
use crate::documents::paper::{Area, Canvas, View, spot};
use crate::units::Length;

/// No wall is drawn larger than this: the sheets of its panels are.
const LARGEST: f64 = 8.0;
/// A wall that would be drawn smaller than this is parted at match lines.
const LEAST: f64 = 50.0;
/// Between walls, and between them and the frame, mm.
const GAP: f64 = 6.0;

/// A wall, or a part of one, at its place.
#[derive(Clone, Debug)]
pub(super) struct Cell<'a> {
    pub(super) subject: Subject<'a>,
    pub(super) view: View,
    /// All that is drawn of it, its title beneath left out; as high as its row.
    pub(super) area: Area,
}

/// What one sheet shows.
#[derive(Clone, Debug)]
pub(super) struct Page<'a> {
    pub(super) number: String,
    pub(super) scale: Scale,
    pub(super) cells: Vec<Cell<'a>>,
    /// What is free under a single row of walls.
    pub(super) rest: Option<Area>,
}

/// A wall with the room it takes about the place where its left end meets the deck, mm.
#[derive(Clone, Debug)]
struct Measured<'a> {
    subject: Subject<'a>,
    room: Area,
}

/// All sheets of elevations.
pub(super) fn arrange<'a>(input: &'a ElevationInput<'a>) -> Vec<Page<'a>> {
    let walls = 0..input.building.walls.len();
    let subjects: Vec<Subject<'_>> = walls.filter_map(|it| Subject::new(input, it)).collect();
    let Some(first) = subjects.first() else {
        return Vec::new();
    };
    let field = first.paper().field().grown(-GAP);
    // What is read on a table is drawn at 1/2" = 1'-0" or larger, what is read in the hand at half of it.
    let least = if first.paper().zones.is_some() {
        LEAST / 2.0
    } else {
        LEAST
    };
    let title = title_height(first);
    let fits_up = |it: &Measured<'_>| it.room.height() + title <= field.height();
    let fits = |it: &Measured<'_>| fits_up(it) && it.room.width() <= field.width();
    // A wall without panels makes no other one smaller: where it does not fit, key plan and cover name it.
    let is_alone = subjects.iter().all(Subject::is_left_out);
    let counts = |it: &Subject<'_>| is_alone || !it.is_left_out();
    let list = scales(input.facts.sheets.scales);
    let mut best: Option<(Scale, Vec<Vec<Row<'_>>>)> = None;
    for scale in list.iter().filter(|it| it.ratio >= LARGEST) {
        // By the bare wall first: what cannot fit is not drawn.
        let k = scale.per_inch();
        let is_hopeless = |it: &Subject<'_>| {
            it.highest().to_inches() * k > field.height()
                || !is_parted_at(*scale) && it.length().to_inches() * k > field.width()
        };
        if subjects.iter().filter(|it| counts(it)).any(is_hopeless) {
            continue;
        }
        let mut all: Vec<Measured<'_>> = subjects.iter().map(|it| measured(it, *scale)).collect();
        all.retain(|it| counts(&it.subject) || fits(it));
        let is_last = std::ptr::eq(scale, list.last().unwrap_or(scale));
        if scale.ratio > least && best.is_some() {
            break;
        }
        if !all.iter().all(fits) {
            let may_part = all.iter().all(fits_up) && is_parted_at(*scale);
            if !may_part && !is_last {
                continue;
            }
            all = all
                .into_iter()
                .flat_map(|it| in_parts(it, *scale, field.width()))
                .collect();
            // A wall with no joint to part it at waits for a smaller scale.
            if !is_last && !all.iter().all(fits) {
                continue;
            }
        }
        let pages = paged(all, &field, title);
        if best.as_ref().is_none_or(|(_, it)| pages.len() < it.len()) {
            best = Some((*scale, pages));
        }
        if scale.ratio > least {
            break;
        }
    }
    let Some((scale, pages)) = best else {
        return Vec::new();
    };
    let mut pages: Vec<Page<'_>> = pages
        .into_iter()
        .zip(201..)
        .map(|(rows, number)| {
            let (scale, rows) = enlarged(rows, scale, list, &field, title);
            page(rows, format!("Z-{number}"), scale, &field, title)
        })
        .collect();
    lead_on(&mut pages);
    pages
}

/// True for scales at which a wall that does not fit is parted: 1/4" = 1'-0" is called as small as the least, 1:50.
fn is_parted_at(scale: Scale) -> bool {
    scale.ratio * 1.05 >= LEAST
}

/// Height of the title under a row, mm.
fn title_height(subject: &Subject<'_>) -> f64 {
    subject.lettering().title * 5.5
}

fn measured<'a>(subject: &Subject<'a>, scale: Scale) -> Measured<'a> {
    let view = View {
        origin: spot(-subject.from.to_inches() * scale.per_inch(), 0.0),
        scale: scale.per_inch(),
    };
    let mut drawn = Canvas::new();
    draw_cell(subject, &view).draw_all(&mut drawn);
    let room = extent(&drawn.into_group("", "")).unwrap_or_default();
    Measured {
        subject: subject.clone(),
        room,
    }
}

/// A wall that is too long for the sheet in parts that are not.
fn in_parts(wall: Measured<'_>, scale: Scale, width: f64) -> Vec<Measured<'_>> {
    let k = scale.per_inch();
    let beside = wall.room.width() - wall.subject.length().to_inches() * k;
    let longest = Length::nearest((width - beside) / k, Length::fraction(0, 1, 16));
    match longest {
        Some(longest) if wall.room.width() > width => {
            let parts = wall.subject.parts(longest);
            parts.iter().map(|it| measured(it, scale)).collect()
        }
        _ => vec![wall],
    }
}

/// Walls side by side.
#[derive(Clone, Debug, Default)]
struct Row<'a> {
    walls: Vec<Measured<'a>>,
}

impl Row<'_> {
    fn width(&self) -> f64 {
        self.walls.iter().map(|it| it.room.width() + GAP).sum()
    }

    /// Above the deck and below it: the decks of a row are level.
    fn heights(&self) -> [f64; 2] {
        let most =
            |of: fn(&Area) -> f64| self.walls.iter().map(|it| of(&it.room)).fold(0.0, f64::max);
        [most(|it| -it.y0), most(|it| it.y1)]
    }

    fn height(&self, title: f64) -> f64 {
        let [up, down] = self.heights();
        up + down + title
    }
}

/// Fills row after row and sheet after sheet; a new storey begins a new row.
fn paged<'a>(walls: Vec<Measured<'a>>, field: &Area, title: f64) -> Vec<Vec<Row<'a>>> {
    let mut rows: Vec<Row<'a>> = Vec::new();
    for wall in walls {
        let storey = wall.subject.wall.storey_index;
        let room = wall.room.width() + GAP;
        let fits = |row: &Row<'_>| {
            let same = row
                .walls
                .iter()
                .all(|it| it.subject.wall.storey_index == storey);
            same && row.width() + room <= field.width() + GAP
        };
        match rows.last_mut() {
            Some(row) if fits(row) => row.walls.push(wall),
            _ => rows.push(Row { walls: vec![wall] }),
        }
    }
    let mut pages: Vec<Vec<Row<'a>>> = Vec::new();
    for row in rows {
        let taken = |page: &Vec<Row<'_>>| page.iter().map(|it| it.height(title)).sum::<f64>();
        match pages.last_mut() {
            Some(page) if taken(page) + row.height(title) <= field.height() => page.push(row),
            _ => pages.push(vec![row]),
        }
    }
    pages
}

/// The rows of one sheet at the largest scale at which they fit it, still with details beneath where they had room.
fn enlarged<'a>(
    rows: Vec<Row<'a>>,
    scale: Scale,
    list: &[Scale],
    field: &Area,
    title: f64,
) -> (Scale, Vec<Row<'a>>) {
    let free = |rows: &[Row<'_>]| {
        let taken: f64 = rows.iter().map(|it| it.height(title)).sum();
        field.height() - taken
    };
    let had_details = rows.len() == 1 && free(&rows) >= DETAILS + GAP;
    let least = if had_details { DETAILS + GAP } else { 0.0 };
    let larger = list
        .iter()
        .filter(|it| it.ratio >= LARGEST && it.ratio < scale.ratio);
    for larger in larger {
        let grown = rows.iter().map(|row| Row {
            walls: row
                .walls
                .iter()
                .map(|it| measured(&it.subject, *larger))
                .collect(),
        });
        let grown: Vec<Row<'a>> = grown.collect();
        let is_wide = grown.iter().any(|row| row.width() > field.width() + GAP);
        if !is_wide && free(&grown) >= least {
            return (*larger, grown);
        }
    }
    (scale, rows)
}

fn page<'a>(
    rows: Vec<Row<'a>>,
    number: String,
    scale: Scale,
    field: &Area,
    title: f64,
) -> Page<'a> {
    let is_single = rows.len() == 1;
    let taken: f64 = rows.iter().map(|it| it.height(title)).sum();
    let free = (field.height() - taken).max(0.0);
    let count = u32::try_from(rows.len()).map_or(1.0, f64::from);
    // A single row stands at the top, with details beneath where they have room.
    let has_details = is_single && free >= DETAILS + GAP;
    let between = if has_details { 0.0 } else { free / count };
    let mut cells = Vec::new();
    let mut top = field.y0 + between / 2.0;
    for row in rows {
        let [up, down] = row.heights();
        let deck = top + up;
        let spare = (field.width() + GAP - row.width()).max(0.0);
        let beside = spare / (u32::try_from(row.walls.len()).map_or(1.0, f64::from) + 1.0);
        let mut left = field.x0 + beside;
        for wall in row.walls {
            let origin = left - wall.room.x0 - wall.subject.from.to_inches() * scale.per_inch();
            let right = left + wall.room.width();
            cells.push(Cell {
                view: View {
                    origin: spot(origin, deck),
                    scale: scale.per_inch(),
                },
                area: Area::new(left, top, right, deck + down),
                subject: wall.subject,
            });
            left = right + GAP + beside;
        }
        top = deck + down + title + between;
    }
    let rest = Area::new(field.x0, top + GAP / 2.0, field.x1, field.y1);
    Page {
        number,
        scale,
        cells,
        rest: has_details.then_some(rest),
    }
}

/// Tells each part of a wall where the next one is.
fn lead_on(pages: &mut [Page<'_>]) {
    let places: Vec<(usize, [usize; 2], String)> = pages
        .iter()
        .flat_map(|page| {
            let cells = page.cells.iter().zip(1..);
            cells.map(|(cell, view)| {
                let place = format!("{}, view {view}", page.number);
                (cell.subject.index, cell.subject.part, place)
            })
        })
        .collect();
    let place = |wall: usize, number: usize| {
        let found = places.iter().find(|it| it.0 == wall && it.1[0] == number);
        found.map_or(String::new(), |it| it.2.clone())
    };
    let cells = pages.iter_mut().flat_map(|page| &mut page.cells);
    for cell in cells.filter(|it| it.subject.part[1] > 1) {
        let (wall, number) = (cell.subject.index, cell.subject.part[0]);
        cell.subject.goes_on = [
            place(wall, number.saturating_sub(1)),
            place(wall, number + 1),
        ];
    }
}
