//! Traps that a sheet may hold beside errors of drafting: slivers, walls of one direction skewed, a second storey, a detail and an
//! elevation on the same sheet, each above its title.

use super::errors;
use super::house::{House, bounds};
use super::plan::{Truth, truth};
use super::plane::{Line, Point, distance, point};
use super::random::Random;
use super::sheet::{Entity, Lie, Shape, Sheet};
use super::style::Style;
use super::{fittings, rest, walls};

/// Which traps a sheet holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Traps {
    /// Share of lines with a sliver left beside them.
    pub(crate) slivers: f64,
    /// Radians by which what runs along x is out of square; what runs along y is not.
    pub(crate) skew: f64,
    /// A second storey, a detail and an elevation stand beside the plan.
    pub(crate) views: bool,
}

impl Traps {
    /// Traps by chance: at least one.
    pub(crate) fn choose(random: &mut Random) -> Self {
        let skew = random.between(0.02, 0.1).to_radians();
        let skew = if random.chance(0.5) { skew } else { -skew };
        let slivers = random.between(0.03, 0.15);
        let [a, b, c] = [0.5, 0.5, 0.5].map(|share| random.chance(share));
        Self {
            slivers: if a || !(b || c) { slivers } else { 0.0 },
            skew: if b { skew } else { 0.0 },
            views: c,
        }
    }
}

/// Bits of line left behind by trimming: on a line's end, across it, or beside it.
pub(crate) fn sliver(sheet: &mut Sheet, share: f64, random: &mut Random) {
    let mut bits = Vec::new();
    for it in &sheet.entities {
        let Shape::Line(a, b) = &it.shape else {
            continue;
        };
        if it.dashed || distance(*a, *b) < 6.0 || !random.chance(share) {
            continue;
        }
        let (line, long) = (Line::through(*a, *b), distance(*a, *b));
        let end = if random.chance(0.5) { 0.0 } else { long };
        let bit = random.between(0.01, 0.6);
        let (p, q) = match random.index(4) {
            0 => (line.at(end, 0.0), line.at(end, bit)),
            1 => (line.at(end - bit, 0.0), line.at(end + bit, 0.0)),
            2 => {
                let off = random.between(0.01, 0.04);
                let from = random.between(0.0, 0.8) * long;
                (line.at(from, off), line.at(from + 2.0 * bit, off))
            }
            _ => (line.at(end, 0.0), line.at(end, 0.0)),
        };
        bits.push(Entity {
            shape: Shape::Line(p, q),
            ..it.clone()
        });
    }
    sheet.entities.append(&mut bits);
}

/// A point of a sheet whose lines along x are out of square.
fn skewed(p: Point, by: f64) -> Point {
    point(p.x, p.y + by.tan() * p.x)
}

/// The sheet with what runs along x out of square. Symbols keep their shape.
pub(crate) fn skew(sheet: &mut Sheet, by: f64) {
    let at = |p: &mut Point| *p = skewed(*p, by);
    for it in &mut sheet.entities {
        match &mut it.shape {
            Shape::Line(a, b) => [a, b].into_iter().for_each(at),
            Shape::Arc(p, ..) | Shape::Circle(p, _) | Shape::Text(p, ..) => at(p),
            Shape::Poly(list, ..) | Shape::Multi(list, ..) => list.iter_mut().for_each(at),
            Shape::Hatch(rings, _) => rings.iter_mut().flatten().for_each(at),
            Shape::Solid(list) => list.iter_mut().for_each(at),
            Shape::Dimension(a, b, c, _) => [a, b, c].into_iter().for_each(at),
            Shape::Insert(_, p, ..) => at(p),
        }
    }
}

/// The truth of a skewed sheet.
pub(crate) fn skew_truth(truth: &mut Truth, by: f64) {
    for p in &mut truth.outline {
        *p = skewed(*p, by);
    }
    for wall in &mut truth.walls {
        wall.start = skewed(wall.start, by);
        wall.end = skewed(wall.end, by);
    }
    for opening in &mut truth.openings {
        opening.centre = skewed(opening.centre, by);
    }
}

/// The drawing of one storey, not yet laid.
pub(crate) fn storey(house: &House, style: &Style, random: &mut Random) -> Sheet {
    let mut sheet = Sheet::default();
    walls::draw(house, style, &mut sheet);
    fittings::draw(house, style, random, &mut sheet);
    if let Some(errors) = &style.errors {
        errors::spoil(&mut sheet, errors, random);
    }
    rest::draw(house, style, random, &mut sheet);
    sheet
}

/// Puts what else a sheet shows beside the first storey: the second, a detail of a wall, an elevation.
pub(crate) fn views(
    first: &House,
    second: &House,
    style: &Style,
    random: &mut Random,
    (sheet, whole): (&mut Sheet, &mut Truth),
) {
    let (low, high) = bounds(&first.outline);
    let plain = Style {
        frame: false,
        ..style.clone()
    };
    for it in &mut sheet.entities {
        if let Shape::Text(_, _, _, words) = &mut it.shape
            && words == "FLOOR PLAN"
        {
            *words = "FIRST FLOOR PLAN".to_owned();
        }
    }
    let (own_low, own_high) = bounds(&second.outline);
    let beside = Lie {
        shift: point(high.x + 480.0 - own_low.x, low.y - own_low.y),
        ..Lie::straight()
    };
    let mut upper = storey(second, &plain, random);
    for it in &mut upper.entities {
        if let Shape::Text(_, _, _, words) = &mut it.shape
            && words == "FLOOR PLAN"
        {
            *words = "SECOND FLOOR PLAN".to_owned();
        }
    }
    let upper = upper.renamed("U").laid(&beside);
    sheet.blocks.extend(upper.blocks);
    sheet.entities.extend(upper.entities);
    let mut own = truth(second, style).laid(&beside);
    let n_walls = whole.walls.len();
    for opening in &mut own.openings {
        opening.wall += n_walls;
    }
    whole.walls.append(&mut own.walls);
    whole.openings.append(&mut own.openings);
    let right = high.x + 480.0 + own_high.x - own_low.x + 480.0;
    detail(point(right, low.y), style, sheet);
    elevation(first, point(low.x, high.y + 420.0), style, sheet);
}

/// A section through a wall, four times as large as the plan: plates, sheathing, insulation, a title below.
fn detail(at: Point, style: &Style, sheet: &mut Sheet) {
    let layer = style.names[0];
    let rectangle = |sheet: &mut Sheet, x: f64, y: f64, w: f64, h: f64| {
        let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
        sheet.quad(layer, corners.map(|(x, y)| at + point(x, y)), false);
    };
    for (x, w) in [(0.0, 2.0), (2.0, 22.0), (24.0, 2.0)] {
        rectangle(sheet, x, 12.0, w, 180.0);
    }
    for y in [12.0, 180.0, 186.0] {
        rectangle(sheet, 2.0, y, 22.0, 6.0);
    }
    rectangle(sheet, -6.0, 0.0, 44.0, 12.0);
    for i in 0..12 {
        let y = 24.0 + 12.0 * f64::from(i);
        sheet.line(
            style.names[6],
            at + point(2.0, y),
            at + point(24.0, y + 11.0),
        );
    }
    for (x, y, words) in [(60.0, 150.0, "STUD WALL"), (60.0, 30.0, "SILL PLATE")] {
        let text = Shape::Text(at + point(x, y), 6.0, 0.0, words.to_owned());
        sheet.add(style.names[4], text);
    }
    let title = Shape::Text(
        at + point(20.0, -30.0),
        12.0,
        0.0,
        "WALL SECTION DETAIL".to_owned(),
    );
    sheet.add(style.names[4], title);
}

/// The front of a house: wall, roof, windows with casings, a title below.
fn elevation(house: &House, at: Point, style: &Style, sheet: &mut Sheet) {
    let (low, high) = bounds(&house.outline);
    let (long, layer) = (high.x - low.x, style.names[0]);
    let rectangle = |sheet: &mut Sheet, x: f64, y: f64, w: f64, h: f64| {
        let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
        sheet.quad(layer, corners.map(|(x, y)| at + point(x, y)), false);
    };
    rectangle(sheet, 0.0, 0.0, long, 108.0);
    rectangle(sheet, -24.0, 108.0, long + 48.0, 8.0);
    let (eave, ridge) = (point(-24.0, 116.0), point(long / 2.0, 116.0 + long / 4.0));
    sheet.line(layer, at + eave, at + ridge);
    sheet.line(layer, at + ridge, at + point(long + 24.0, 116.0));
    let mut x = 30.0;
    while x + 48.0 < long {
        rectangle(sheet, x - 4.0, 32.0, 44.0, 56.0);
        rectangle(sheet, x, 36.0, 36.0, 48.0);
        x += 96.0;
    }
    let title = Shape::Text(
        at + point(long / 2.0, -36.0),
        12.0,
        0.0,
        "SOUTH ELEVATION".to_owned(),
    );
    sheet.add(style.names[4], title);
}
