//! Doors, windows and gates as symbols: a small drawing of its own, placed as a block or exploded.
//!
//! ```text
//!        │leaf  ◝           x from the first jamb along the wall, y to its left;
//!   ─────┘y      └─────     the other hinge and the other side are mirrored placings
//!        0      w
//! ```

use super::house::{Hole, House, Kind};
use super::plane::{Point, contains, point};
use super::random::Random;
use super::sheet::{Entity, Shape, Sheet};
use super::style::{Leaf, Style, Walls};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// Draws what stands in the openings.
pub(crate) fn draw(house: &House, style: &Style, random: &mut Random, sheet: &mut Sheet) {
    for (number, hole) in house.holes.iter().enumerate() {
        let mut symbol = Symbol {
            entities: Vec::new(),
        };
        let wall = &house.walls[hole.wall];
        let is_single = style.walls == Walls::Single;
        // A door hangs on the line itself.
        let t = if is_single && hole.kind == Kind::Door {
            0.0
        } else {
            wall.thickness
        };
        let w = hole.width();
        let layer = match hole.kind {
            Kind::Window => style.names[2],
            _ => style.names[1],
        };
        match hole.kind {
            Kind::Door => {
                let leaf = if wall.exterior {
                    style.leaf
                } else {
                    style.inner_leaf
                };
                symbol.door(leaf, w, t);
            }
            Kind::Window if is_single => symbol.box_of_window(style, w),
            Kind::Garage if is_single => symbol.bar((0.0, w), (-2.0, 2.0)),
            Kind::Window => symbol.window(style, w, t),
            Kind::Garage => symbol.gate(random, w, t),
            Kind::Opening => symbol.nothing(random, w, t),
        }
        let wish = (random.chance(0.5), random.chance(0.5));
        let (end, side) = if hole.kind == Kind::Door {
            opening_free(house, hole, wish)
        } else {
            wish
        };
        place(
            sheet,
            style,
            (number, hole),
            house,
            (end, side),
            symbol,
            layer,
        );
    }
}

/// The jamb a door hangs on and the side it opens to, as wished where its leaf does not run into a wall there.
fn opening_free(house: &House, hole: &Hole, wish: (bool, bool)) -> (bool, bool) {
    let wall = &house.walls[hole.wall];
    let (axis, out) = (wall.line(), wall.thickness / 2.0);
    let rings = || house.rooms.iter().map(|room| &room.ring);
    let is_free = |(end, side): (bool, bool)| {
        let (hinge, sign) = if end {
            (hole.to, -1.0)
        } else {
            (hole.from, 1.0)
        };
        let w = if hole.width() > 52.0 {
            hole.width() / 2.0
        } else {
            hole.width()
        };
        let left = if side { -1.0 } else { 1.0 };
        let tips = [(0.0, 1.0), (0.71, 0.71), (1.0, 0.1)];
        let at =
            |along: f64, aside: f64| axis.at(hinge + sign * along * w, left * (out + aside * w));
        let double = hole.width() > 52.0;
        let all: Vec<Point> = tips
            .iter()
            .flat_map(|(along, aside)| {
                let other = if double { 2.0 - along } else { *along };
                [at(*along, *aside), at(other, *aside)]
            })
            .collect();
        let in_room = rings().any(|ring| all.iter().all(|p| contains(ring, *p)));
        let outside = all
            .iter()
            .all(|p| !contains(&house.outline, *p) || contains(&house.court, *p));
        in_room || wall.exterior && outside
    };
    let (end, side) = wish;
    [(end, side), (!end, side), (end, !side), (!end, !side)]
        .into_iter()
        .find(|it| is_free(*it))
        .unwrap_or(wish)
}

/// Puts a symbol where its opening is: from the other jamb, to the other side.
fn place(
    sheet: &mut Sheet,
    style: &Style,
    (number, hole): (usize, &Hole),
    house: &House,
    (end, side): (bool, bool),
    symbol: Symbol,
    layer: &str,
) {
    let axis = house.walls[hole.wall].line();
    let at = axis.at(if end { hole.to } else { hole.from }, 0.0);
    let angle = axis.along.y.atan2(axis.along.x);
    let scale = [if end { -1.0 } else { 1.0 }, if side { -1.0 } else { 1.0 }];
    let name = if style.nested {
        format!("*U{}", number + 1)
    } else {
        format!(
            "{}{}",
            if hole.kind == Kind::Window { "W" } else { "D" },
            number + 1
        )
    };
    let insert = Entity {
        layer: layer.to_owned(),
        dashed: false,
        shape: Shape::Insert(name.clone(), at, scale, angle),
    };
    let mut own = Sheet::default();
    if style.nested {
        let inner = format!("{name}X");
        own.blocks.insert(inner.clone(), symbol.entities);
        own.blocks.insert(
            name,
            vec![Entity {
                layer: "0".to_owned(),
                dashed: false,
                shape: Shape::Insert(inner, point(0.0, 0.0), [1.0, 1.0], 0.0),
            }],
        );
    } else {
        own.blocks.insert(name, symbol.entities);
    }
    own.entities.push(insert);
    if !style.blocks {
        own = own.exploded();
    }
    sheet.blocks.append(&mut own.blocks);
    sheet.entities.append(&mut own.entities);
}

/// A symbol in the making, on layer 0 of its block.
struct Symbol {
    entities: Vec<Entity>,
}

impl Symbol {
    fn add(&mut self, shape: Shape, dashed: bool) {
        self.entities.push(Entity {
            layer: "0".to_owned(),
            dashed,
            shape,
        });
    }

    fn line(&mut self, a: (f64, f64), b: (f64, f64)) {
        self.add(Shape::Line(point(a.0, a.1), point(b.0, b.1)), false);
    }

    fn bar(&mut self, x: (f64, f64), y: (f64, f64)) {
        let corners = [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)];
        let corners = corners.map(|(x, y)| point(x, y));
        self.add(Shape::Poly(corners.to_vec(), true, 0.0), false);
    }

    fn door(&mut self, leaf: Leaf, w: f64, t: f64) {
        if leaf == Leaf::Sliding {
            let (half, deep) = (w / 2.0, (t / 4.0).min(1.5));
            self.bar((0.0, half + 1.5), (0.0, deep));
            self.bar((half - 1.5, w), (-deep, 0.0));
            return;
        }
        if w > 52.0 {
            self.leaf(leaf, 0.0, 1.0, w / 2.0, t);
            self.leaf(leaf, w, -1.0, w / 2.0, t);
        } else {
            self.leaf(leaf, 0.0, 1.0, w, t);
        }
    }

    /// One leaf hung at `x`, its opening to the right or left of it by `sign`.
    fn leaf(&mut self, leaf: Leaf, x: f64, sign: f64, r: f64, t: f64) {
        let y = t / 2.0;
        let hinge = point(x, y);
        let tip = |angle: f64| hinge + point(sign * angle.cos(), angle.sin()) * r;
        let arc = |sweep: f64| {
            let from = if sign > 0.0 {
                0.0
            } else {
                std::f64::consts::PI - sweep
            };
            Shape::Arc(hinge, r, from, sweep)
        };
        let straight = |p: Point| Shape::Line(hinge, p);
        match leaf {
            Leaf::Swing => {
                self.add(straight(tip(FRAC_PI_2)), false);
                self.add(arc(FRAC_PI_2), false);
            }
            Leaf::ThickSwing => {
                let inner = x + sign * 1.5;
                self.bar((x.min(inner), x.max(inner)), (y, y + r));
                self.add(arc(FRAC_PI_2), false);
            }
            Leaf::Chords => {
                self.add(straight(tip(FRAC_PI_2)), false);
                let list = (0..=10).map(|i| tip(FRAC_PI_2 * f64::from(i) / 10.0));
                self.add(Shape::Poly(list.collect(), false, 0.0), false);
            }
            Leaf::Half => {
                self.add(straight(tip(FRAC_PI_4)), false);
                self.add(arc(FRAC_PI_4), false);
            }
            Leaf::Alone => self.add(straight(tip(FRAC_PI_2)), false),
            Leaf::AloneHalf => self.add(straight(tip(FRAC_PI_4)), false),
            Leaf::Chord => {
                self.add(straight(tip(FRAC_PI_2)), false);
                self.add(Shape::Line(tip(FRAC_PI_2), tip(0.0)), false);
            }
            Leaf::Sliding => {}
        }
    }

    fn window(&mut self, style: &Style, w: f64, t: f64) {
        let glass = style.glass;
        let inset = if glass.frames { 2.0 } else { 0.0 };
        let step = (t / 6.0).min(1.0);
        for i in 0..glass.lines {
            let i = u32::try_from(i).unwrap_or(0);
            let n = u32::try_from(glass.lines - 1).unwrap_or(0);
            let y = (f64::from(i) - f64::from(n) / 2.0) * step;
            self.line((inset, y), (w - inset, y));
        }
        if glass.sills && !style.run_on {
            for y in [-t / 2.0, t / 2.0] {
                self.line((0.0, y), (w, y));
            }
        }
        if glass.frames {
            let deep = t / 3.0;
            self.bar((0.0, 2.0), (-deep, deep));
            self.bar((w - 2.0, w), (-deep, deep));
        }
    }

    /// A window on a single line: a box over it, with glass in it or not.
    fn box_of_window(&mut self, style: &Style, w: f64) {
        self.bar((0.0, w), (-2.5, 2.5));
        if style.glass.lines > 2 && !style.run_on {
            self.line((0.0, 0.0), (w, 0.0));
        }
    }

    fn gate(&mut self, random: &mut Random, w: f64, t: f64) {
        match random.index(3) {
            0 => self.line((0.0, 0.0), (w, 0.0)),
            1 => self.line((0.0, t / 4.0), (w, t / 4.0)),
            _ => self.bar((0.0, w), (-t / 4.0, t / 4.0 - 1.0)),
        }
        if random.chance(0.5) {
            let corners = [
                (0.0, t / 2.0),
                (0.0, t / 2.0 + 84.0),
                (w, t / 2.0 + 84.0),
                (w, t / 2.0),
            ];
            let list = corners.map(|(x, y)| point(x, y)).to_vec();
            self.add(Shape::Poly(list, false, 0.0), true);
        }
    }

    fn nothing(&mut self, random: &mut Random, w: f64, t: f64) {
        if random.chance(0.4) {
            for y in [-t / 2.0, t / 2.0] {
                self.add(Shape::Line(point(0.0, y), point(w, y)), true);
            }
        }
    }
}
