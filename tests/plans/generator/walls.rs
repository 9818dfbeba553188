//! The walls of a house drawn in a style.
//!
//! ```text
//!   faces less openings + jambs ──► lines, rings, hatches        centre lines less openings ──► wide, multi, solids
//! ```

use super::house::{House, Kind};
use super::plane::{Line, Point, distance, inset, sides, without};
use super::sheet::{Shape, Sheet};
use super::style::{Style, Walls};

/// Draws the walls.
pub(crate) fn draw(house: &House, style: &Style, sheet: &mut Sheet) {
    let layer = style.names[0];
    let mut faces = faces(house, style.run_on);
    if style.unbroken {
        faces = unbroken(faces, house);
    }
    match style.walls {
        Walls::Lines => {
            for (a, b) in faces.into_iter().chain(jambs(house)) {
                sheet.line(layer, a, b);
            }
            layer_lines(house, style, sheet);
        }
        Walls::Rings => {
            for ring in rings(house) {
                sheet.add(layer, Shape::Poly(ring, true, 0.0));
            }
            layer_lines(house, style, sheet);
        }
        Walls::Poche => {
            for (a, b) in faces.into_iter().chain(jambs(house)) {
                sheet.line(layer, a, b);
            }
            sheet.add(style.names[6], Shape::Hatch(rings(house), "ANSI31"));
        }
        Walls::HatchOnly => {
            sheet.add(layer, Shape::Hatch(rings(house), "SOLID"));
        }
        Walls::Solids => solids(house, layer, sheet),
        Walls::Single => {
            for (a, b) in single_lines(house, style.run_on) {
                sheet.line(layer, a, b);
            }
        }
        Walls::Wide | Walls::Multi => {
            for (list, closed, width) in centre_lines(house) {
                let shape = if style.walls == Walls::Wide {
                    Shape::Poly(list, closed, width)
                } else {
                    Shape::Multi(list, closed, width)
                };
                sheet.add(layer, shape);
            }
            if style.walls == Walls::Multi {
                for (a, b) in jambs(house) {
                    sheet.line(layer, a, b);
                }
            }
        }
    }
}

/// Centre lines less the openings, windows too unless they run on; inside walls go on to the centre line they meet.
fn single_lines(house: &House, run_on: bool) -> Vec<(Point, Point)> {
    let mut list = Vec::new();
    for (i, wall) in house.walls.iter().enumerate() {
        let axis = wall.line();
        let holes: Vec<(f64, f64)> = house
            .holes
            .iter()
            .filter(|hole| hole.wall == i && !(run_on && hole.kind == Kind::Window))
            .map(|hole| (hole.from, hole.to))
            .collect();
        let far = |end: Point, sign: f64| {
            let met = house.walls.iter().enumerate().filter(|(j, _)| *j != i);
            let onto = met.filter_map(|(_, other)| {
                let line = other.line();
                let sine = axis.along.x * line.along.y - axis.along.y * line.along.x;
                let ahead = line.d(end) / (sine * sign);
                let s = line.s(end);
                let reach = other.thickness / 2.0 / sine.abs() + 0.01;
                let is_on = s > -reach && s < distance(other.a, other.b) + reach;
                // Distance to the left of the other line shrinks by the sine of the way.
                (sine.abs() > 0.1 && is_on && ahead.abs() <= reach && !wall.exterior)
                    .then_some(ahead)
            });
            onto.fold(0.0, f64::max)
        };
        let whole = distance(wall.a, wall.b);
        let (from, to) = (-far(wall.a, -1.0), whole + far(wall.b, 1.0));
        for (from, to) in without(from, to, &holes) {
            list.push((axis.at(from, 0.0), axis.at(to, 0.0)));
        }
    }
    list
}

/// The openings of a wall, as intervals.
fn holes_of(house: &House, wall: usize) -> Vec<(f64, f64)> {
    let own = house.holes.iter().filter(|hole| hole.wall == wall);
    own.map(|hole| (hole.from, hole.to)).collect()
}

/// The faces of all walls: of the outline, of the courtyard, of the rooms; without the openings unless they run on.
pub(crate) fn faces(house: &House, run_on: bool) -> Vec<(Point, Point)> {
    let rooms = house.rooms.iter().map(|room| &room.ring);
    let rings = rooms.chain([&house.outline, &house.court]);
    let cut: Vec<(Point, Point, f64)> = house
        .holes
        .iter()
        .filter(|hole| !(run_on && matches!(hole.kind, Kind::Door | Kind::Window)))
        .map(|hole| {
            let wall = &house.walls[hole.wall];
            let axis = wall.line();
            let half = wall.thickness / 2.0;
            (axis.at(hole.from, 0.0), axis.at(hole.to, 0.0), half)
        })
        .collect();
    let mut list = Vec::new();
    for (a, b) in rings.flat_map(|ring| sides(ring)) {
        let line = Line::through(a, b);
        let holes: Vec<(f64, f64)> = cut.iter().filter_map(|hole| on_face(hole, &line)).collect();
        for (from, to) in without(0.0, distance(a, b), &holes) {
            list.push((line.at(from, 0.0), line.at(to, 0.0)));
        }
    }
    list
}

/// An opening, by its ends on the centre line and half the wall's thickness, as an interval of a face of the wall.
fn on_face(&(from, to, half): &(Point, Point, f64), face: &Line) -> Option<(f64, f64)> {
    if (face.d(from).abs() - half).abs() > 1e-6 || (face.d(to).abs() - half).abs() > 1e-6 {
        return None;
    }
    let (p, q) = (face.s(from), face.s(to));
    Some((p.min(q), p.max(q)))
}

/// The lines across the wall at both ends of each opening.
pub(crate) fn jambs(house: &House) -> Vec<(Point, Point)> {
    let mut list = Vec::new();
    for hole in &house.holes {
        let wall = &house.walls[hole.wall];
        let (axis, half) = (wall.line(), wall.thickness / 2.0);
        for s in [hole.from, hole.to] {
            list.push((axis.at(s, -half), axis.at(s, half)));
        }
    }
    list
}

/// Faces and jambs chained into closed rings.
pub(crate) fn rings(house: &House) -> Vec<Vec<Point>> {
    let mut left: Vec<(Point, Point)> = faces(house, false)
        .into_iter()
        .chain(jambs(house))
        .collect();
    let mut rings = Vec::new();
    while let Some((start, mut at)) = left.pop() {
        let mut ring = vec![start];
        while distance(at, start) > 1e-4 {
            ring.push(at);
            let next = left
                .iter()
                .position(|(a, b)| distance(*a, at) < 1e-4 || distance(*b, at) < 1e-4);
            let Some(next) = next else { break };
            let (a, b) = left.swap_remove(next);
            at = if distance(a, at) < 1e-4 { b } else { a };
        }
        rings.push(ring);
    }
    rings
}

/// Joins faces in line that only a wall's end parts.
fn unbroken(mut list: Vec<(Point, Point)>, house: &House) -> Vec<(Point, Point)> {
    let thickest = house.walls.iter().filter(|wall| !wall.exterior);
    let widest = thickest.map(|wall| wall.thickness).fold(0.0, f64::max) + 1e-6;
    let inner = house.inner_rings();
    let on_inner = |p: Point, q: Point| {
        inner.iter().flat_map(|ring| sides(ring)).any(|(a, b)| {
            let line = Line::through(a, b);
            line.d(p).abs() < 1e-6 && line.d(q).abs() < 1e-6
        })
    };
    loop {
        let mut joined = None;
        'search: for i in 0..list.len() {
            for j in 0..list.len() {
                let ((a, b), (c, d)) = (list[i], list[j]);
                let gap = distance(b, c).min(distance(a, d));
                if i == j || gap > widest || !on_inner(a, b) || !on_inner(c, d) {
                    continue;
                }
                let line = Line::through(a, b);
                let in_line = line.d(c).abs() < 1e-6 && line.d(d).abs() < 1e-6;
                let is_free = !house.holes.iter().any(|hole| {
                    let wall = &house.walls[hole.wall];
                    let middle = if line.s(c) > line.s(b) - 1e-6 {
                        (b + c) / 2.0
                    } else {
                        (a + d) / 2.0
                    };
                    let s = wall.line().s(middle);
                    wall.line().d(middle).abs() < wall.thickness && s > hole.from && s < hole.to
                });
                if in_line && is_free {
                    joined = Some((i, j));
                    break 'search;
                }
            }
        }
        let Some((i, j)) = joined else { return list };
        let line = Line::through(list[i].0, list[i].1);
        let ends = [list[i].0, list[i].1, list[j].0, list[j].1];
        let low = ends
            .iter()
            .map(|p| line.s(*p))
            .fold(f64::INFINITY, f64::min);
        let high = ends
            .iter()
            .map(|p| line.s(*p))
            .fold(f64::NEG_INFINITY, f64::max);
        let (i, j) = (i.max(j), i.min(j));
        list.swap_remove(i);
        list.swap_remove(j);
        list.push((line.at(low, 0.0), line.at(high, 0.0)));
    }
}

/// The lines between the layers of the outside walls.
fn layer_lines(house: &House, style: &Style, sheet: &mut Sheet) {
    for depth in &house.layers {
        let rings = [&house.outline, &house.court];
        let mut first = 0;
        for ring in rings.into_iter().filter(|ring| !ring.is_empty()) {
            let inner = inset(ring, &|_| *depth);
            for (i, (a, b)) in sides(&inner).enumerate() {
                let wall = &house.walls[first + i];
                let (line, axis) = (Line::through(a, b), wall.line());
                let holes: Vec<(f64, f64)> = holes_of(house, first + i)
                    .into_iter()
                    .map(|(p, q)| (line.s(axis.at(p, 0.0)), line.s(axis.at(q, 0.0))))
                    .collect();
                for (from, to) in without(0.0, distance(a, b), &holes) {
                    sheet.line(style.names[0], line.at(from, 0.0), line.at(to, 0.0));
                }
            }
            first += ring.len();
        }
    }
}

/// Quadrilaterals: each wall between its openings, outside walls mitred.
fn solids(house: &House, layer: &str, sheet: &mut Sheet) {
    let rings = [&house.outline, &house.court];
    let mut index = 0;
    for (ring, inner) in rings.into_iter().zip(house.inner_rings()) {
        for ((a, b), (c, d)) in sides(ring).zip(sides(&inner)) {
            let wall = &house.walls[index];
            let (axis, half) = (wall.line(), wall.thickness / 2.0);
            let mut starts = vec![[a, c]];
            let mut ends = Vec::new();
            let mut holes = holes_of(house, index);
            holes.sort_by(|p, q| p.0.total_cmp(&q.0));
            for (from, to) in holes {
                ends.push([axis.at(from, -half), axis.at(from, half)]);
                starts.push([axis.at(to, -half), axis.at(to, half)]);
            }
            ends.push([b, d]);
            for (start, end) in starts.into_iter().zip(ends) {
                sheet.add(layer, Shape::Solid([start[0], end[0], end[1], start[1]]));
            }
            index += 1;
        }
    }
    for (i, wall) in house.walls.iter().enumerate().skip(index) {
        let (axis, half) = (wall.line(), wall.thickness / 2.0);
        for (from, to) in without(0.0, distance(wall.a, wall.b), &holes_of(house, i)) {
            let corners = [(from, -half), (to, -half), (to, half), (from, half)];
            sheet.add(layer, Shape::Solid(corners.map(|(s, d)| axis.at(s, d))));
        }
    }
}

/// Centre lines between openings, round corners: vertices, closed or not, thickness. Every ring has one thickness.
fn centre_lines(house: &House) -> Vec<(Vec<Point>, bool, f64)> {
    let mut out = Vec::new();
    let mut first = 0;
    for n in [house.outline.len(), house.court.len()] {
        // Walk the ring once; each opening ends a piece and starts the next.
        let mut pieces: Vec<Vec<Point>> = vec![Vec::new()];
        for (i, wall) in house.walls.iter().enumerate().skip(first).take(n) {
            let axis = wall.line();
            let mut holes = holes_of(house, i);
            holes.sort_by(|p, q| p.0.total_cmp(&q.0));
            if let Some(last) = pieces.last_mut() {
                last.push(wall.a);
            }
            for (from, to) in holes {
                if let Some(last) = pieces.last_mut() {
                    last.push(axis.at(from, 0.0));
                }
                pieces.push(vec![axis.at(to, 0.0)]);
            }
        }
        let width = house.walls.get(first).map_or(0.0, |wall| wall.thickness);
        first += n;
        if n == 0 {
            continue;
        }
        if pieces.len() == 1 {
            out.push((pieces.remove(0), true, width));
            continue;
        }
        let head = pieces.remove(0);
        if let Some(last) = pieces.last_mut() {
            last.extend(head);
        }
        out.extend(pieces.into_iter().map(|piece| (piece, false, width)));
    }
    for (i, wall) in house.walls.iter().enumerate().skip(first) {
        let axis = wall.line();
        for (from, to) in without(0.0, distance(wall.a, wall.b), &holes_of(house, i)) {
            out.push((
                vec![axis.at(from, 0.0), axis.at(to, 0.0)],
                false,
                wall.thickness,
            ));
        }
    }
    out
}
