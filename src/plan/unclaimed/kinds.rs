//! What a group of unclaimed lines is: by the names of its layers and blocks, else by its shape and place.

use super::names::named;
use super::{Line, UnclaimedKind};
use crate::drawing::{Drawing, Source};
use crate::plan::axis::{Axis, distance};
use crate::plan::enclosure::outline::contains;
use crate::plan::nearby::Area;
use crate::plan::{Storey, Wall};
use geo::Coord;
use std::collections::BTreeSet;

/// Treads are this far apart, inches. Source: goings of 8 to 14 in; common practice, no source.
const TREAD: (f64, f64) = (7.0, 15.0);
/// And this long, inches.
const FLIGHT: (f64, f64) = (24.0, 96.0);
/// So many lines in a row are a flight, and so many hatching.
const TREADS: usize = 4;
const HATCHED: usize = 6;
/// Cabinets are this deep, inches.
const CABINET: (f64, f64) = (9.0, 28.0);
/// Eaves stand this far off the outside, inches, footings less.
const EAVES: (f64, f64) = (10.0, 84.0);
/// A line along the building is at least this long, inches.
const LONG: f64 = 48.0;
/// What is further outside is another view, inches: 20 ft.
pub(super) const FAR: f64 = 240.0;
/// Furniture is no larger, inches.
const LARGEST: f64 = 150.0;

/// What the lines lie in.
pub(super) struct Setting<'a> {
    drawing: &'a Drawing,
    outlines: Vec<&'a [Coord<f64>]>,
    walls: Vec<&'a Wall>,
    grid: BTreeSet<&'a str>,
}

impl<'a> Setting<'a> {
    pub(super) fn new(drawing: &'a Drawing, storeys: &[&'a Storey]) -> Self {
        let outlines = storeys.iter().map(|it| it.outline.as_slice());
        let grid = storeys.iter().flat_map(|it| &it.grid);
        Self {
            drawing,
            outlines: outlines.filter(|it| it.len() > 2).collect(),
            walls: storeys.iter().flat_map(|it| &it.walls).collect(),
            grid: grid
                .flat_map(|it| &it.sources)
                .map(String::as_str)
                .collect(),
        }
    }

    /// True for a line of the architect's grid.
    pub(super) fn is_grid(&self, line: &Line) -> bool {
        let source = self.drawing.sources.get(line.source.0 as usize);
        source.is_some_and(|it| self.grid.contains(it.handle.as_str()))
    }

    fn is_inside(&self, p: Coord<f64>) -> bool {
        self.outlines.iter().any(|it| contains(it, p))
    }

    /// The nearest side of an outline: how far off, and its direction.
    fn edge(&self, p: Coord<f64>) -> Option<(f64, Axis)> {
        let sides = self
            .outlines
            .iter()
            .flat_map(|it| it.iter().zip(it.iter().cycle().skip(1)));
        sides
            .filter_map(|(a, b)| {
                let axis = Axis::through(*a, *b)?;
                let s = axis.s(p).clamp(0.0, distance(*a, *b));
                Some((distance(axis.point(s, 0.0), p), axis))
            })
            .min_by(|p, q| p.0.total_cmp(&q.0))
    }
}

/// What some lines are, and whether a name says so.
pub(super) fn kind(own: &[Line], bounds: &Area, setting: &Setting<'_>) -> (UnclaimedKind, bool) {
    let sources = own
        .iter()
        .filter_map(|it| setting.drawing.sources.get(it.source.0 as usize));
    if own.iter().any(|it| setting.is_grid(it)) {
        return (UnclaimedKind::Grid, false);
    }
    if is_north(own, bounds, setting.drawing) {
        return (UnclaimedKind::North, false);
    }
    let said = sources.into_iter().find_map(said_of);
    match said {
        Some(kind) => (kind, true),
        None => (by_shape(own, bounds, setting), false),
    }
}

/// What the names of the blocks and the layer of something say it is.
pub(super) fn said_of(source: &Source) -> Option<UnclaimedKind> {
    let mut names = source.blocks.iter().rev().chain([&source.layer]);
    names.find_map(|name| named(name))
}

fn by_shape(own: &[Line], bounds: &Area, setting: &Setting<'_>) -> UnclaimedKind {
    let middle = (bounds.low + bounds.high) / 2.0;
    let size = bounds.high - bounds.low;
    let Some(longest) = own.iter().max_by(|p, q| p.length().total_cmp(&q.length())) else {
        return UnclaimedKind::Other;
    };
    let is_inside = setting.is_inside(middle);
    let off = setting.edge(longest.middle());
    let is_out = !setting.is_inside(longest.middle());
    if let Some((row, gap)) = row(own) {
        let is_flight = row.n_across < HATCHED && (FLIGHT.0..=FLIGHT.1).contains(&row.long);
        if is_flight && (TREAD.0..=TREAD.1).contains(&gap) {
            return UnclaimedKind::Stairs;
        }
        if row.n >= HATCHED {
            return UnclaimedKind::Hatching;
        }
    }
    let (far, along) = off.map_or((f64::INFINITY, false), |(far, axis)| {
        let own = Axis::through(longest.a, longest.b);
        (far, own.is_some_and(|it| it.sine(&axis).abs() < 0.05))
    });
    let is_long = longest.length() >= LONG;
    if is_long && along && is_out && far < EAVES.1 {
        return if far < EAVES.0 {
            UnclaimedKind::Footing
        } else {
            UnclaimedKind::Roof
        };
    }
    if is_long && longest.is_broken {
        // Under the wall, a footing; across the rooms, ridges, hips and beams.
        let is_under = along && far < EAVES.0 + thickest(setting);
        return if is_under {
            UnclaimedKind::Footing
        } else {
            UnclaimedKind::Roof
        };
    }
    if is_inside && is_cabinet(own, bounds, setting) {
        UnclaimedKind::Cabinets
    } else if is_inside && size.x.max(size.y) <= LARGEST {
        UnclaimedKind::Furniture
    } else if is_inside {
        UnclaimedKind::Other
    } else if far < FAR {
        UnclaimedKind::Outdoors
    } else {
        UnclaimedKind::OtherView
    }
}

fn thickest(setting: &Setting<'_>) -> f64 {
    let walls = setting.walls.iter();
    walls.map(|it| it.thickness).fold(0.0, f64::max)
}

/// True when a line runs along a wall as far off as a cabinet is deep, and another one leads to the wall.
fn is_cabinet(own: &[Line], bounds: &Area, setting: &Setting<'_>) -> bool {
    let near = setting.walls.iter().filter(|wall| {
        Area::around(&[wall.start, wall.end], wall.thickness + CABINET.1)
            .is_some_and(|it| it.meets(bounds))
    });
    near.into_iter().any(|wall| {
        let Some(axis) = Axis::through(wall.start, wall.end) else {
            return false;
        };
        let long = distance(wall.start, wall.end);
        let half = wall.thickness / 2.0;
        let depth = |p: Coord<f64>| axis.d(p).abs() - half;
        let is_beside = |p: Coord<f64>| (0.0..=long).contains(&axis.s(p));
        let is_front = |it: &&Line| {
            it.length() >= FLIGHT.0
                && [it.a, it.b]
                    .iter()
                    .all(|p| is_beside(*p) && (CABINET.0..=CABINET.1).contains(&depth(*p)))
                && (depth(it.a) - depth(it.b)).abs() < 0.5
        };
        let leads = |it: &Line| {
            let (p, q) = (depth(it.a), depth(it.b));
            p.min(q) < 1.5 && p.max(q) >= CABINET.0 && is_beside(it.middle())
        };
        own.iter().any(|it| is_front(&it)) && own.iter().any(leads)
    })
}

/// An arrow or a circle with N on it.
fn is_north(own: &[Line], bounds: &Area, drawing: &Drawing) -> bool {
    let size = bounds.high - bounds.low;
    let reach = size.x.max(size.y);
    let middle = (bounds.low + bounds.high) / 2.0;
    let is_sign = |it: &str| {
        let it = it.trim().to_uppercase();
        matches!(it.as_str(), "N" | "NORTH" | "NORD" | "NORTE" | "С" | "北")
    };
    let is_small = reach > 1.0 && reach <= 2.0 * LARGEST && own.len() >= 3;
    is_small
        && drawing
            .texts
            .iter()
            .any(|it| is_sign(&it.content) && distance(it.middle, middle) < reach)
}

/// Of many lines so many say what the others are like.
const SAMPLE: usize = 200;

/// A row of lines side by side.
struct Row {
    n: usize,
    /// Lines square to it: tiles have as many.
    n_across: usize,
    long: f64,
}

/// The longest row of equally long parallel lines and the gap that most of them have.
fn row(own: &[Line]) -> Option<(Row, f64)> {
    let straight: Vec<&Line> = own.iter().filter(|it| !it.is_arc).collect();
    let first = straight.iter().take(SAMPLE).copied().max_by_key(|it| {
        // Lines of the commonest length and direction.
        let alike = straight
            .iter()
            .take(SAMPLE)
            .filter(|other| is_alike(it, other));
        alike.count()
    })?;
    let axis = Axis::through(first.a, first.b)?;
    let mut at: Vec<f64> = straight
        .iter()
        .filter(|it| is_alike(first, it))
        .map(|it| axis.d(it.middle()))
        .collect();
    at.sort_by(f64::total_cmp);
    at.dedup_by(|p, q| (*p - *q).abs() < 0.25);
    let mut gaps: Vec<f64> = at.windows(2).map(|pair| pair[1] - pair[0]).collect();
    gaps.sort_by(f64::total_cmp);
    let gap = *gaps.get(gaps.len() / 2)?;
    let even = gaps.iter().filter(|it| (**it - gap).abs() <= 0.15 * gap);
    let n = even.count() + 1;
    let long = first.length();
    let across = straight
        .iter()
        .filter(|it| Axis::through(it.a, it.b).is_some_and(|it| it.sine(&axis).abs() > 0.95));
    let row = Row {
        n,
        n_across: across.count(),
        long,
    };
    (n >= TREADS).then_some((row, gap))
}

fn is_alike(p: &Line, q: &Line) -> bool {
    let (Some(one), Some(other)) = (Axis::through(p.a, p.b), Axis::through(q.a, q.b)) else {
        return false;
    };
    one.sine(&other).abs() < 0.03 && (p.length() - q.length()).abs() <= 0.05 * p.length() + 0.5
}
