//! Titles on sheets: what stands below a window onto the model names what the window shows, and goes to its place there.
//!
//! ```text
//!   paper   ┌────────────┐
//!           │ ┌──┬──┐    │   a window
//!           │ └──┴──┘    │
//!           └────────────┘
//!           FIRST FLOOR PLAN     ──►  below the plan in the model, as large as the window shows it
//! ```
//!
//! Only titles of plans, elevations, sections and details come over: schedules and legends of a sheet are no part of the model, and
//! a plan of roof or services is often the floor plan in another window.

use super::affine::Affine;
use super::contents::{Contents, Record};
use super::ordinary::Reading;
use super::shape::{Shape, TextShape};
use super::sheet::{Sheet, sheets};
use super::unfold::{Around, Unfolding};
use super::views::{ViewKind, view_kind};
use geo::Coord;

/// A title stands within this share of its window's height below it.
const BELOW: f64 = 0.35;

/// A window onto the model that looks straight down.
struct Window {
    centre: Coord<f64>,
    half: Coord<f64>,
    /// From paper to the model.
    onto: Affine,
}

/// How a title stands to a window: in it, below it, above it; then by area or distance. The least is meant.
type Standing = (u8, f64);

/// Adds the titles of all sheets to the model they show.
pub(super) fn from_sheets(unfolding: &mut Unfolding<'_>) {
    let (contents, readings) = (unfolding.contents, unfolding.readings);
    for sheet in sheets(contents) {
        let windows = windows(contents, &sheet);
        if windows.is_empty() {
            continue;
        }
        for index in sheet.records.iter().cloned().flatten() {
            let (Some(Some(Reading::Shape(Shape::Text(text)))), Some(record)) =
                (readings.get(index), contents.records.get(index))
            else {
                continue;
            };
            let at = Affine::object(text.normal).flat(text.at);
            if names_a_view(text)
                && let Some(window) = meant(&windows, at)
            {
                let mut around = Around::outside();
                around.place = window.onto.clone();
                unfolding.text(record, text, &around);
            }
        }
    }
}

fn names_a_view(text: &TextShape) -> bool {
    text.lines.iter().any(|line| {
        matches!(
            view_kind(line),
            Some(ViewKind::Plan | ViewKind::Elevation | ViewKind::Section | ViewKind::Detail)
        )
    })
}

/// The windows of a sheet, the sheet itself left out.
fn windows(contents: &Contents<'_>, sheet: &Sheet) -> Vec<Window> {
    let records = sheet.records.iter().cloned().flatten();
    records
        .filter_map(|index| contents.records.get(index))
        .filter(|record| contents.kind(record) == "VIEWPORT")
        .filter_map(|record| window(contents, record))
        .collect()
}

fn window(contents: &Contents<'_>, record: &Record) -> Option<Window> {
    let (mut centre, mut size, mut looked_at) = ([0.0; 2], [0.0; 2], [0.0; 2]);
    let (mut target, mut way, mut shown, mut twist) = ([0.0; 2], [0.0, 0.0, 1.0], 0.0, 0.0);
    let (mut number, mut status) = (0, 1);
    for pair in contents.pairs(record).skip(1) {
        let real = pair.value.real().unwrap_or(0.0);
        match pair.code {
            10 => centre[0] = real,
            20 => centre[1] = real,
            40 => size[0] = real,
            41 => size[1] = real,
            12 => looked_at[0] = real,
            22 => looked_at[1] = real,
            17 => target[0] = real,
            27 => target[1] = real,
            16 => way[0] = real,
            26 => way[1] = real,
            36 => way[2] = real,
            45 => shown = real,
            51 => twist = real,
            68 => status = pair.value.whole().unwrap_or(1),
            69 => number = pair.value.whole().unwrap_or(0),
            _ => {}
        }
    }
    let is_from_above = way[0] == 0.0 && way[1] == 0.0 && way[2] > 0.0;
    // Window 1 is the sheet itself; 0 is off.
    if number == 1
        || status == 0
        || !is_from_above
        || size.iter().any(|it| *it <= 0.0)
        || shown <= 0.0
    {
        return None;
    }
    let scale = shown / size[1];
    let onto = Affine::moved([target[0], target[1], 0.0])
        .after(&Affine::turned(-twist.to_radians()))
        .after(&Affine::moved([looked_at[0], looked_at[1], 0.0]))
        .after(&Affine::scaled([scale; 3]))
        .after(&Affine::moved([-centre[0], -centre[1], 0.0]));
    onto.is_sane().then(|| Window {
        centre: centre.into(),
        half: Coord {
            x: size[0] / 2.0,
            y: size[1] / 2.0,
        },
        onto,
    })
}

/// The window that a title names: the smallest it stands in, else the nearest above it, else below it.
fn meant(windows: &[Window], at: Coord<f64>) -> Option<&Window> {
    let standing = |it: &Window| -> Option<Standing> {
        let off = at - it.centre;
        let gap = off.y.abs() - it.half.y;
        if off.x.abs() > it.half.x || gap > BELOW * 2.0 * it.half.y {
            return None;
        }
        Some(if gap <= 0.0 {
            (0, it.half.x * it.half.y)
        } else {
            (if off.y < 0.0 { 1 } else { 2 }, gap)
        })
    };
    windows
        .iter()
        .filter_map(|it| Some((standing(it)?, it)))
        .min_by(|(a, _), (b, _)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))
        .map(|(_, it)| it)
}
