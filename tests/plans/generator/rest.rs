//! Everything on a sheet that is no wall and no opening: furniture, stairs, dimensions, grids, frames, words.

use super::house::{House, Kind, bounds, inside_of};
use super::plane::{Line, Point, contains, inset, point, sides};
use super::random::Random;
use super::sheet::{Shape, Sheet};
use super::style::Style;

/// Draws the rest.
pub(crate) fn draw(house: &House, style: &Style, random: &mut Random, sheet: &mut Sheet) {
    words(house, style, sheet);
    if style.furniture {
        for room in &house.rooms {
            furnish(&room.ring, style, random, sheet);
        }
    }
    if style.stairs {
        stairs(house, style, sheet);
    }
    if style.floor_hatch {
        tiles(house, style, sheet);
    }
    if style.dimensions {
        dimensions(house, style, sheet);
    }
    if style.call_outs {
        call_outs(house, style, sheet);
    }
    if style.grid {
        grid(house, style, sheet);
    }
    if style.overhang {
        let eaves = inset(&house.outline, &|_| -24.0);
        sheet.dashed(style.names[8], Shape::Poly(eaves, true, 0.0));
    }
    if style.porch {
        porch(house, style, sheet);
    }
    if style.frame {
        frame(house, style, sheet);
    }
}

fn words(house: &House, style: &Style, sheet: &mut Sheet) {
    for room in &house.rooms {
        let at = inside_of(&room.ring);
        let text = Shape::Text(at, 6.0, 0.0, room.name.to_owned());
        sheet.add(style.names[4], text);
    }
    if !house.court.is_empty() {
        let at = inside_of(&house.court);
        sheet.add(
            style.names[4],
            Shape::Text(at, 6.0, 0.0, "COURTYARD".to_owned()),
        );
    }
    let (low, high) = bounds(&house.outline);
    let at = point((low.x + high.x) / 2.0, low.y - 110.0);
    let title = Shape::Text(at, 12.0, 0.0, "FLOOR PLAN".to_owned());
    sheet.add(style.names[4], title);
}

/// A box in a room, if it fits.
fn boxed(ring: &[Point], at: Point, w: f64, d: f64) -> Option<[Point; 4]> {
    let corners = [(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)].map(|(x, y)| at + point(x, y));
    corners
        .iter()
        .all(|p| contains(ring, *p))
        .then_some(corners)
}

fn furnish(ring: &[Point], style: &Style, random: &mut Random, sheet: &mut Sheet) {
    let layer = style.names[3];
    let (low, high) = bounds(ring);
    let as_one = random.chance(0.5);
    let sizes = [
        (60.0, 80.0),
        (84.0, 36.0),
        (36.0, 36.0),
        (20.0, 28.0),
        (30.0, 60.0),
        (18.0, 18.0),
    ];
    let mut placed: Vec<(Point, Point)> = Vec::new();
    for _ in 0..3 {
        let (w, d) = random.pick(&sizes);
        let (dx, dy) = (high.x - low.x - w - 12.0, high.y - low.y - d - 12.0);
        if dx < 0.0 || dy < 0.0 {
            continue;
        }
        let at = low + point(6.0 + dx * random.unit(), 6.0 + dy * random.unit());
        let Some(corners) = boxed(ring, at, w, d) else {
            continue;
        };
        let far = at + point(w, d);
        let meets = |(low, high): &(Point, Point)| {
            at.x < high.x + 4.0 && far.x > low.x - 4.0 && at.y < high.y + 4.0 && far.y > low.y - 4.0
        };
        if placed.iter().any(meets) {
            continue;
        }
        placed.push((at, far));
        sheet.quad(layer, corners, as_one);
        match random.index(3) {
            0 => sheet.line(layer, at + point(0.0, 0.8 * d), at + point(w, 0.8 * d)),
            1 => {
                let middle = at + point(w / 2.0, d / 2.0);
                sheet.add(layer, Shape::Circle(middle, w.min(d) / 3.0));
            }
            _ => {}
        }
    }
    // A counter along the longest side, its corner closed by the walls.
    if random.chance(0.25) {
        let longest = sides(ring).max_by(|p, q| {
            let length = |s: &(Point, Point)| (s.1 - s.0).x.hypot((s.1 - s.0).y);
            length(p).total_cmp(&length(q))
        });
        if let Some((a, b)) = longest {
            let line = Line::through(a, b);
            let far = line.s(b).min(96.0);
            let (p, q) = (line.at(0.5, 25.0), line.at(far - 4.0, 25.0));
            if contains(ring, p) && contains(ring, q) {
                sheet.line(layer, line.at(0.0, 25.0), q);
                sheet.line(layer, q, line.at(far - 4.0, 0.0));
            }
        }
    }
}

fn largest(house: &House) -> Option<&Vec<Point>> {
    let size = |ring: &Vec<Point>| super::plane::area(ring);
    house
        .rooms
        .iter()
        .map(|room| &room.ring)
        .max_by(|p, q| size(p).total_cmp(&size(q)))
}

fn stairs(house: &House, style: &Style, sheet: &mut Sheet) {
    let Some(ring) = largest(house) else { return };
    let at = inside_of(ring) + point(-50.0, 12.0);
    let Some(corners) = boxed(ring, at, 110.0, 38.0) else {
        return;
    };
    sheet.quad(style.names[3], corners, false);
    for i in 1..10 {
        let x = f64::from(i) * 11.0;
        sheet.line(style.names[3], at + point(x, 0.0), at + point(x, 38.0));
    }
}

/// Floor tiles drawn as lines a foot apart.
fn tiles(house: &House, style: &Style, sheet: &mut Sheet) {
    let smallest = house.rooms.iter().min_by(|p, q| {
        let (p, q) = (super::plane::area(&p.ring), super::plane::area(&q.ring));
        p.total_cmp(&q)
    });
    let Some(room) = smallest else { return };
    let (low, high) = bounds(&room.ring);
    for upright in [true, false] {
        let (from, to) = if upright {
            (low.x, high.x)
        } else {
            (low.y, high.y)
        };
        let mut at = from + 12.0;
        while at < to - 1.0 {
            let line = if upright {
                Line::through(point(at, 0.0), point(at, 1.0))
            } else {
                Line::through(point(0.0, at), point(1.0, at))
            };
            let cuts = super::plane::crossings(&room.ring, &line);
            if let [a, b] = cuts[..] {
                sheet.line(style.names[6], line.at(a, 0.0), line.at(b, 0.0));
            }
            at += 12.0;
        }
    }
}

fn dimensions(house: &House, style: &Style, sheet: &mut Sheet) {
    let (low, high) = bounds(&house.outline);
    let layer = style.names[5];
    let mut stops: Vec<f64> = house
        .outline
        .iter()
        .filter(|p| (p.y - low.y).abs() < 1e-6)
        .map(|p| p.x)
        .collect();
    for hole in &house.holes {
        let wall = &house.walls[hole.wall];
        if wall.exterior
            && (wall.a.y - low.y).abs() < wall.thickness
            && (wall.b.y - wall.a.y).abs() < 1e-6
        {
            stops.push(wall.line().at((hole.from + hole.to) / 2.0, 0.0).x);
        }
    }
    stops.sort_by(f64::total_cmp);
    for pair in stops.windows(2) {
        let (a, b) = (point(pair[0], low.y), point(pair[1], low.y));
        sheet.add(layer, Shape::Dimension(a, b, a + point(0.0, -36.0), 0.0));
    }
    let (a, b) = (point(low.x, low.y), point(high.x, low.y));
    sheet.add(layer, Shape::Dimension(a, b, a + point(0.0, -60.0), 0.0));
    let right = std::f64::consts::FRAC_PI_2;
    let c = point(low.x, high.y);
    sheet.add(layer, Shape::Dimension(a, c, a + point(-60.0, 0.0), right));
}

/// Width and height packed in four digits, feet and inches each, beside the opening.
fn call_outs(house: &House, style: &Style, sheet: &mut Sheet) {
    for hole in &house.holes {
        let wall = &house.walls[hole.wall];
        if !wall.exterior || !matches!(hole.kind, Kind::Door | Kind::Window) {
            continue;
        }
        let (feet, inches) = ((hole.width() / 12.0).floor(), hole.width() % 12.0);
        if (inches - inches.round()).abs() > 1e-6 || inches > 9.0 {
            continue;
        }
        let height = if hole.kind == Kind::Door { "68" } else { "40" };
        let axis = wall.line();
        let at = axis.at((hole.from + hole.to) / 2.0, -wall.thickness / 2.0 - 9.0);
        let words = format!("{feet:.0}{inches:.0}{height}");
        let angle = axis.along.y.atan2(axis.along.x);
        sheet.add(style.names[4], Shape::Text(at, 4.5, angle, words));
    }
}

fn grid(house: &House, style: &Style, sheet: &mut Sheet) {
    let (low, high) = bounds(&house.outline);
    let layer = style.names[7];
    for (i, wall) in house.walls.iter().enumerate() {
        if !wall.exterior || (wall.a.x - wall.b.x).abs() > 1e-6 {
            continue;
        }
        let (a, b) = (
            point(wall.a.x, low.y - 96.0),
            point(wall.a.x, high.y + 48.0),
        );
        sheet.dashed(layer, Shape::Line(a, b));
        sheet.add(layer, Shape::Circle(a + point(0.0, -9.0), 9.0));
        let name = Shape::Text(a + point(0.0, -9.0), 6.0, 0.0, format!("{}", i + 1));
        sheet.add(layer, name);
    }
}

/// A deck with posts before the longest side.
fn porch(house: &House, style: &Style, sheet: &mut Sheet) {
    let (low, _) = bounds(&house.outline);
    let side = sides(&house.outline).find(|(a, b)| {
        (a.y - low.y).abs() < 1e-6 && (b.y - low.y).abs() < 1e-6 && (b.x - a.x).abs() > 100.0
    });
    let Some((a, b)) = side else { return };
    let line = Line::through(a, b);
    let layer = style.names[3];
    let far = line.s(b);
    let corners = [
        line.at(0.0, 0.0),
        line.at(0.0, -72.0),
        line.at(far, -72.0),
        line.at(far, 0.0),
    ];
    for pair in corners.windows(2) {
        sheet.line(layer, pair[0], pair[1]);
    }
    for i in 0..3 {
        let s = 3.0 + f64::from(i) * (far - 12.0) / 2.0;
        let post = [(0.0, -70.0), (6.0, -70.0), (6.0, -64.0), (0.0, -64.0)];
        sheet.quad(layer, post.map(|(x, y)| line.at(s + x, y)), true);
    }
}

fn frame(house: &House, style: &Style, sheet: &mut Sheet) {
    let (low, high) = bounds(&house.outline);
    let (a, b) = (low + point(-200.0, -240.0), high + point(320.0, 160.0));
    let layer = style.names[4];
    for inset in [0.0, 12.0] {
        let corners = [
            a + point(inset, inset),
            point(b.x - inset, a.y + inset),
            b - point(inset, inset),
            point(a.x + inset, b.y - inset),
        ];
        sheet.quad(layer, corners, true);
    }
    let x = b.x - 132.0;
    sheet.line(layer, point(x, a.y + 12.0), point(x, b.y - 12.0));
    for i in 1..6 {
        let y = a.y + 12.0 + f64::from(i) * 24.0;
        sheet.line(layer, point(x, y), point(b.x - 12.0, y));
    }
    let words = Shape::Text(
        point(x + 60.0, a.y + 24.0),
        6.0,
        0.0,
        "SHEET A-101".to_owned(),
    );
    sheet.add(layer, words);
}
