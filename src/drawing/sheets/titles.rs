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
//! Storeys that lie over each other in the model are told apart by what their windows freeze: see [`storeys_over_each_other`].
//! Only titles of plans, elevations, sections and details come over: schedules and legends of a sheet are no part of the model, and
//! a plan of roof or services is often the floor plan in another window.

use crate::drawing::blocks::unfold::{Around, Unfolding};
use crate::drawing::entities::affine::Affine;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Shape, TextShape};
use crate::drawing::file::contents::{Contents, LayerState, Record};
use crate::drawing::file::walk::parse_handle;
use crate::drawing::sheets::levels::is_storey_name;
use crate::drawing::sheets::sheet::{Sheet, sheets};
use crate::drawing::sheets::views::{ViewKind, view_kind};
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};

/// A title stands within this share of its window's height below it.
const BELOW: f64 = 0.35;

/// A window onto the model that looks straight down.
struct Window {
    centre: Coord<f64>,
    half: Coord<f64>,
    /// From paper to the model.
    onto: Affine,
    /// Handles of the layers that it does not show.
    frozen: Vec<u64>,
}

/// A storey that lies under or over others in the model.
pub(in crate::drawing) struct Overlaid {
    /// What its title says.
    pub(in crate::drawing) name: String,
    /// Layers that its window does not show, upper case.
    pub(in crate::drawing) shut: BTreeSet<String>,
    /// The record of its title.
    pub(in crate::drawing) title: usize,
    /// From paper to the model.
    pub(in crate::drawing) onto: Affine,
    /// What its window shows: middle and half of it, in the model.
    middle: Coord<f64>,
    half: Coord<f64>,
}

/// How a title stands to a window: in it, below it, above it; then by area or distance. The least is meant.
type Standing = (u8, f64);

/// Adds the titles of all sheets to the model they show; where storeys over each other were set side by side, each to the storey of its
/// height.
pub(in crate::drawing) fn from_sheets(unfolding: &mut Unfolding<'_>) {
    let (contents, readings) = (unfolding.contents, unfolding.readings);
    each_title(contents, readings, |index, text, window| {
        if let Some(record) = contents.records.get(index) {
            let mut around = Around::outside();
            around.place =
                Affine::moved([unfolding.flat.aside(text), 0.0, 0.0]).after(&window.onto);
            unfolding.text(record, text, &around);
        }
    });
}

/// A storey has at least so many things of its own, and half as many again as it shares with the others.
const OWN: usize = 8;

/// Storeys drawn over each other on layers of their own, each shown by a window that freezes the others'; fewer than two are none.
pub(in crate::drawing) fn storeys_over_each_other(
    contents: &Contents<'_>,
    readings: &[Option<Reading>],
) -> Vec<Overlaid> {
    let mut shown: Vec<Overlaid> = Vec::new();
    each_title(contents, readings, |index, text, window| {
        let mut lines = text.lines.iter();
        let name =
            lines.find(|line| view_kind(line) == Some(ViewKind::Plan) || is_storey_name(line));
        let (Some(name), false) = (name, window.frozen.is_empty()) else {
            return;
        };
        let is_shut =
            |layer: &&LayerState| layer.handle.is_some_and(|it| window.frozen.contains(&it));
        let layers = contents.layers.values().filter(is_shut);
        let corner = window.onto.flat([
            window.centre.x + window.half.x,
            window.centre.y + window.half.y,
            0.0,
        ]);
        let middle = window.onto.flat([window.centre.x, window.centre.y, 0.0]);
        let half = corner - middle;
        shown.push(Overlaid {
            name: name.clone(),
            shut: layers.map(|layer| layer.name.to_uppercase()).collect(),
            title: index,
            onto: window.onto,
            middle,
            half: Coord {
                x: half.x.abs(),
                y: half.y.abs(),
            },
        });
    });
    let mut of_names = vec![0; contents.names.len()];
    for record in contents.model_space().into_iter().flatten() {
        let record = contents.records.get(record);
        if let Some(record) = record.filter(|it| !(it.is_part || it.is_paper))
            && let Some(count) = of_names.get_mut(record.layer as usize)
        {
            *count += 1;
        }
    }
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for (layer, count) in contents.names.iter().zip(of_names) {
        let state = contents.layer(layer);
        if count > 0 && !state.is_some_and(|it| it.is_off || it.is_frozen) {
            *counts.entry(layer.to_uppercase()).or_default() += count;
        }
    }
    let mut storeys: Vec<Overlaid> = Vec::new();
    for it in shown {
        if storeys.iter().all(|other| is_over(&it, other, &counts)) {
            storeys.push(it);
        }
    }
    if storeys.len() < 2 {
        storeys.clear();
    }
    storeys
}

/// True when two windows show one part of the model and hardly a thing in common.
fn is_over(a: &Overlaid, b: &Overlaid, counts: &BTreeMap<String, usize>) -> bool {
    let off = a.middle - b.middle;
    let is_one_part = off.x.abs() < a.half.x.min(b.half.x) && off.y.abs() < a.half.y.min(b.half.y);
    let count = |of: &dyn Fn(&String) -> bool| -> usize {
        let layers = counts.iter().filter(|(layer, _)| of(layer));
        layers.map(|it| it.1).sum()
    };
    let own = |it: &Overlaid, other: &Overlaid| {
        count(&|layer| !it.shut.contains(layer) && other.shut.contains(layer))
    };
    let shared = count(&|layer| !a.shut.contains(layer) && !b.shut.contains(layer));
    let least = own(a, b).min(own(b, a));
    is_one_part && least >= OWN && least * 2 > shared * 3
}

/// Calls for each title of a view that stands at a window: its record, its text, the window.
fn each_title(
    contents: &Contents<'_>,
    readings: &[Option<Reading>],
    mut call: impl FnMut(usize, &TextShape, &Window),
) {
    for sheet in sheets(contents) {
        let windows = windows(contents, &sheet);
        if windows.is_empty() {
            continue;
        }
        for index in sheet.records.iter().cloned().flatten() {
            let Some(Some(Reading::Shape(Shape::Text(text)))) = readings.get(index) else {
                continue;
            };
            let at = Affine::object(text.normal).flat(text.at);
            if names_a_view(text)
                && let Some(window) = meant(&windows, at)
            {
                call(index, text, window);
            }
        }
    }
}

fn names_a_view(text: &TextShape) -> bool {
    text.lines.iter().any(|line| {
        matches!(
            view_kind(line),
            Some(ViewKind::Plan | ViewKind::Elevation | ViewKind::Section | ViewKind::Detail)
        ) || is_storey_name(line)
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
    let (mut number, mut status, mut frozen) = (0, 1, Vec::new());
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
            331 | 341 => frozen.extend(parse_handle(pair.value.bytes())),
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
        frozen,
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
