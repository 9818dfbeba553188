//! Errors of drafting: ends that miss, lines broken and doubled, corners off by a little.

use super::plane::{Line, Point, distance, point};
use super::random::Random;
use super::sheet::{Entity, Shape, Sheet};
use super::style::Errors;

/// Lines shorter than this are only moved, inches.
const SHORT: f64 = 14.0;

/// Spoils the lines and polylines of a sheet.
pub(crate) fn spoil(sheet: &mut Sheet, errors: &Errors, random: &mut Random) {
    let mut out = Vec::new();
    for it in std::mem::take(&mut sheet.entities) {
        match &it.shape {
            Shape::Line(a, b) => line(&it, *a, *b, errors, random, &mut out),
            Shape::Poly(list, closed, width) => {
                let list = list.iter().map(|p| moved(*p, errors, random)).collect();
                out.push(Entity {
                    shape: Shape::Poly(list, *closed, *width),
                    ..it.clone()
                });
            }
            _ => out.push(it),
        }
    }
    sheet.entities = out;
}

fn moved(p: Point, errors: &Errors, random: &mut Random) -> Point {
    let j = errors.jitter;
    p + point(random.between(-j, j), random.between(-j, j))
}

fn line(
    it: &Entity,
    a: Point,
    b: Point,
    errors: &Errors,
    random: &mut Random,
    out: &mut Vec<Entity>,
) {
    let (mut a, mut b) = (moved(a, errors, random), moved(b, errors, random));
    let mut put = |a: Point, b: Point| {
        out.push(Entity {
            shape: Shape::Line(a, b),
            ..it.clone()
        });
    };
    let length = distance(a, b);
    if length < SHORT || it.dashed {
        put(a, b);
        return;
    }
    let axis = Line::through(a, b);
    if random.chance(errors.share) {
        b = axis.at(length + random.between(-errors.miss, errors.miss), 0.0);
    }
    if random.chance(errors.share) {
        a = axis.at(random.between(-errors.miss, errors.miss), 0.0);
    }
    if random.chance(errors.share) {
        // Drawn twice, in part.
        let (from, to) = (random.between(0.0, 0.4), random.between(0.6, 1.0));
        put(axis.at(from * length, 0.0), axis.at(to * length, 0.0));
    }
    if random.chance(errors.share) {
        // Broken: a gap, or an overlap.
        let at = random.between(0.25, 0.75) * length;
        let gap = random.between(-1.0, 0.8);
        put(a, axis.at(at - gap / 2.0, 0.0));
        put(axis.at(at + gap / 2.0, 0.0), b);
        return;
    }
    put(a, b);
}
