//! Invented houses, exact: footprint, walls, rooms, openings. What the drawing is later measured against.
//!
//! ```text
//!   footprint ──► inset by the walls ──► split again and again ──► rooms ──► openings where both faces are free
//! ```

use super::plane::{
    Line, Point, area, contains, crossings, distance, inset, left_part, point, sides,
};
use super::random::Random;

/// What an opening is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Door,
    Window,
    Opening,
    Garage,
}

impl Kind {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Door => "door",
            Self::Window => "window",
            Self::Opening => "opening",
            Self::Garage => "garage_door",
        }
    }
}

/// A wall: centre line, the outside of an exterior one on the right.
#[derive(Clone, Debug)]
pub(crate) struct Wall {
    pub(crate) a: Point,
    pub(crate) b: Point,
    pub(crate) thickness: f64,
    pub(crate) exterior: bool,
}

impl Wall {
    pub(crate) fn line(&self) -> Line {
        Line::through(self.a, self.b)
    }
}

/// An opening: from where to where along its wall.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hole {
    pub(crate) wall: usize,
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) kind: Kind,
}

impl Hole {
    pub(crate) fn width(&self) -> f64 {
        self.to - self.from
    }
}

/// A room: inside faces, counter-clockwise.
#[derive(Clone, Debug)]
pub(crate) struct Room {
    pub(crate) ring: Vec<Point>,
    pub(crate) name: &'static str,
}

/// A house.
#[derive(Clone, Debug, Default)]
pub(crate) struct House {
    pub(crate) footprint: &'static str,
    /// Outside faces, counter-clockwise.
    pub(crate) outline: Vec<Point>,
    /// Faces towards the courtyard, clockwise; empty without one.
    pub(crate) court: Vec<Point>,
    /// Walls of the outline, then of the courtyard, then inside.
    pub(crate) walls: Vec<Wall>,
    pub(crate) rooms: Vec<Room>,
    pub(crate) holes: Vec<Hole>,
    /// Depth of lines between the layers of outside walls, from outside.
    pub(crate) layers: Vec<f64>,
    pub(crate) metric: bool,
}

/// What kind of house to invent.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wish {
    pub(crate) metric: bool,
    /// Every outside wall has the same thickness.
    pub(crate) even: bool,
    pub(crate) layered: bool,
    /// Only right angles.
    pub(crate) square: bool,
    /// Bare openings are left out: nothing is left open by the drawing.
    pub(crate) told: bool,
    /// Rooms are split until none is longer than this, inches.
    pub(crate) longest_room: f64,
    /// Width and depth, where they are given.
    pub(crate) size: Option<(f64, f64)>,
}

const NAMES: [&str; 12] = [
    "LIVING",
    "KITCHEN",
    "BEDROOM",
    "BATH",
    "HALL",
    "DINING",
    "OFFICE",
    "LAUNDRY",
    "STORE",
    "BEDROOM 2",
    "BEDROOM 3",
    "PANTRY",
];

/// Least side of a room, inches.
const LEAST_ROOM: f64 = 44.0;

impl House {
    /// Invents a house.
    pub(crate) fn invent(random: &mut Random, wish: &Wish) -> Self {
        let mut house = Self {
            metric: wish.metric,
            ..Self::default()
        };
        house.shape(random, wish);
        let (thick, layers) = outside(random, wish);
        house.layers = layers;
        let other = if wish.even || !house.layers.is_empty() || random.chance(0.7) {
            thick
        } else {
            thick + if wish.metric { 50.0 / 25.4 } else { 2.0 }
        };
        let odd = random.index(house.outline.len());
        house.ring_walls(thick, &|i| if i == odd { other } else { thick });
        house.split_rooms(random, wish, thick);
        house.name_rooms(random);
        house.open(random, wish);
        house
    }

    fn shape(&mut self, random: &mut Random, wish: &Wish) {
        let step = if wish.metric { 500.0 / 25.4 } else { 12.0 };
        let (w, d) = wish.size.unwrap_or_else(|| {
            (
                random.stepped(320.0, 640.0, step),
                random.stepped(260.0, 460.0, step),
            )
        });
        let bite = |random: &mut Random, of: f64| random.stepped(0.3 * of, 0.5 * of, step);
        let (x, y) = (bite(random, w), bite(random, d));
        let chosen = if wish.size.is_some() {
            0
        } else if wish.square {
            random.index(5)
        } else {
            random.index(8)
        };
        let (name, ring): (&str, Vec<(f64, f64)>) = match chosen {
            0 => ("rect", vec![(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)]),
            1 => (
                "L",
                vec![(0.0, 0.0), (w, 0.0), (w, y), (x, y), (x, d), (0.0, d)],
            ),
            2 => {
                let (x0, x1) = (0.3 * w, 0.3 * w + x.min(0.4 * w));
                (
                    "T",
                    vec![
                        (x0, 0.0),
                        (x1, 0.0),
                        (x1, d - y),
                        (w, d - y),
                        (w, d),
                        (0.0, d),
                        (0.0, d - y),
                        (x0, d - y),
                    ],
                )
            }
            3 => {
                let (w, d) = (w + 120.0, d + 60.0);
                let (x0, x1) = (0.34 * w, 0.66 * w);
                (
                    "U",
                    vec![
                        (0.0, 0.0),
                        (x0, 0.0),
                        (x0, d - y),
                        (x1, d - y),
                        (x1, 0.0),
                        (w, 0.0),
                        (w, d),
                        (0.0, d),
                    ],
                )
            }
            4 => {
                let (w, d) = (w.max(480.0) + 120.0, d.max(380.0) + 120.0);
                let (x0, x1, y0, y1) = (0.36 * w, 0.64 * w, 0.36 * d, 0.64 * d);
                self.court = vec![point(x0, y0), point(x0, y1), point(x1, y1), point(x1, y0)];
                ("court", vec![(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)])
            }
            5 => {
                let cut = random.stepped(60.0, 120.0, step);
                let lean = random.pick(&[1.0, 0.577_350_269, 1.5]);
                (
                    "chamfer",
                    vec![
                        (0.0, 0.0),
                        (w, 0.0),
                        (w, d - cut * lean),
                        (w - cut, d),
                        (0.0, d),
                    ],
                )
            }
            6 => {
                let (out, x0) = (random.stepped(36.0, 60.0, 6.0), 0.3 * w);
                let x1 = x0 + 2.0 * out + random.stepped(72.0, 120.0, 6.0);
                (
                    "bay",
                    vec![
                        (0.0, 0.0),
                        (x0, 0.0),
                        (x0 + out, -out),
                        (x1 - out, -out),
                        (x1, 0.0),
                        (w, 0.0),
                        (w, d),
                        (0.0, d),
                    ],
                )
            }
            _ => {
                let lean = random.between(0.1, 0.3) * d;
                ("skew", vec![(0.0, 0.0), (w, 0.0), (w, d), (0.0, d - lean)])
            }
        };
        self.footprint = name;
        self.outline = ring.into_iter().map(|(x, y)| point(x, y)).collect();
    }

    /// The walls of the outline and of the courtyard.
    fn ring_walls(&mut self, thick: f64, of: &dyn Fn(usize) -> f64) {
        let mut walls = Vec::new();
        let mut add = |ring: &[Point], of: &dyn Fn(usize) -> f64| {
            let middle = inset(ring, &|i| of(i) / 2.0);
            walls.extend(sides(&middle).enumerate().map(|(i, (a, b))| Wall {
                a,
                b,
                thickness: of(i),
                exterior: true,
            }));
        };
        add(&self.outline, of);
        if !self.court.is_empty() {
            add(&self.court, &|_| thick);
        }
        self.walls = walls;
    }

    /// The inside faces of the outside walls: of the outline, and of the courtyard's towards the rooms.
    pub(crate) fn inner_rings(&self) -> Vec<Vec<Point>> {
        let n = self.outline.len();
        let mut rings = vec![inset(&self.outline, &|i| self.walls[i].thickness)];
        if !self.court.is_empty() {
            rings.push(inset(&self.court, &|i| self.walls[n + i].thickness));
        }
        rings
    }

    fn split_rooms(&mut self, random: &mut Random, wish: &Wish, thick: f64) {
        let thin: &[f64] = if wish.metric {
            &[100.0 / 25.4, 115.0 / 25.4, 120.0 / 25.4, 150.0 / 25.4]
        } else {
            &[4.5, 4.75, 4.0, 3.5]
        };
        let inside = random.pick(thin).min(thick);
        let rings = self.inner_rings();
        let inner = rings[0].clone();
        let mut rooms: Vec<Vec<Point>> = match rings.get(1) {
            None => vec![inner],
            Some(hole) => self.round_the_court(&inner, hole, inside),
        };
        let mut done: Vec<Vec<Point>> = Vec::new();
        while let Some(room) = rooms.pop() {
            let (low, high) = bounds(&room);
            let (w, h) = (high.x - low.x, high.y - low.y);
            let longest = w.max(h);
            let is_large = longest > wish.longest_room || !random.chance(0.35);
            let thickness = if random.chance(0.12) && !wish.metric {
                6.5_f64.min(thick)
            } else {
                inside
            };
            let cut = (is_large && longest > 130.0)
                .then(|| self.cut(random, &room, thickness, w >= h))
                .flatten();
            match cut {
                Some((left, right, wall)) => {
                    self.walls.push(wall);
                    rooms.push(left);
                    rooms.push(right);
                }
                None => done.push(room),
            }
        }
        self.rooms = done
            .into_iter()
            .map(|ring| Room { ring, name: "" })
            .collect();
    }

    /// Two walls part the ring round a courtyard into two rooms.
    fn round_the_court(&mut self, inner: &[Point], hole: &[Point], t: f64) -> Vec<Vec<Point>> {
        let (low, high) = bounds(inner);
        let (c0, c1) = bounds(hole);
        let x = ((c0.x + c1.x) / 2.0).round();
        for (y0, y1) in [(low.y, c0.y), (c1.y, high.y)] {
            self.walls.push(Wall {
                a: point(x, y0),
                b: point(x, y1),
                thickness: t,
                exterior: false,
            });
        }
        let half = t / 2.0;
        let left = vec![
            low,
            point(x - half, low.y),
            point(x - half, c0.y),
            c0,
            point(c0.x, c1.y),
            point(x - half, c1.y),
            point(x - half, high.y),
            point(low.x, high.y),
        ];
        let right = vec![
            high,
            point(x + half, high.y),
            point(x + half, c1.y),
            c1,
            point(c1.x, c0.y),
            point(x + half, c0.y),
            point(x + half, low.y),
            point(high.x, low.y),
        ];
        vec![left, right]
    }

    /// Parts a room by a wall across its longer side; `None` where no clean cut is found.
    fn cut(
        &self,
        random: &mut Random,
        room: &[Point],
        t: f64,
        upright: bool,
    ) -> Option<(Vec<Point>, Vec<Point>, Wall)> {
        let (low, high) = bounds(room);
        for attempt in 0..12 {
            let upright = if attempt < 8 { upright } else { !upright };
            let (from, to) = if upright {
                (low.x, high.x)
            } else {
                (low.y, high.y)
            };
            if to - from < 2.0 * LEAST_ROOM + t {
                continue;
            }
            let step = if self.metric { 100.0 / 25.4 } else { 6.0 };
            let at = from + random.stepped(LEAST_ROOM, to - from - LEAST_ROOM - t, step) + t / 2.0;
            let middle = if upright {
                Line::through(point(at, 0.0), point(at, 1.0))
            } else {
                Line::through(point(0.0, at), point(1.0, at))
            };
            let faces = [t / 2.0, -t / 2.0].map(|d| Line {
                origin: middle.at(0.0, d),
                ..middle
            });
            let cuts = faces.map(|face| crossings(room, &face));
            let is_clean = cuts.iter().all(|list| list.len() == 2)
                && room.iter().all(|p| middle.d(*p).abs() > t / 2.0 + 6.0);
            if !is_clean {
                continue;
            }
            // Neither end may run into a hole that is not there yet, nor past a slanted wall's corner.
            let ends = crossings(room, &middle);
            let (left, right) = (
                left_part(room, &faces[0]),
                left_part(
                    room,
                    &Line {
                        origin: faces[1].origin,
                        along: faces[1].along * -1.0,
                    },
                ),
            );
            let fits = |ring: &[Point]| {
                let (low, high) = bounds(ring);
                (high.x - low.x).min(high.y - low.y) >= LEAST_ROOM - 1.0
                    && area(ring) > 2400.0
                    && sides(ring).all(|(a, b)| distance(a, b) > 5.0)
            };
            if ends.len() == 2 && fits(&left) && fits(&right) {
                let wall = Wall {
                    a: middle.at(ends[0], 0.0),
                    b: middle.at(ends[1], 0.0),
                    thickness: t,
                    exterior: false,
                };
                return Some((left, right, wall));
            }
        }
        None
    }

    fn name_rooms(&mut self, random: &mut Random) {
        for room in &mut self.rooms {
            room.name = random.pick(&NAMES);
        }
    }

    /// Parts of a wall whose two faces are free of other walls, along its axis.
    pub(crate) fn free(&self, wall: &Wall) -> Vec<(f64, f64)> {
        let line = wall.line();
        let mut found: [Vec<(f64, f64)>; 2] = [Vec::new(), Vec::new()];
        let rings = self
            .rooms
            .iter()
            .map(|room| &room.ring)
            .chain([&self.outline, &self.court]);
        for (a, b) in rings.flat_map(|ring| sides(ring)) {
            for (side, d) in [wall.thickness / 2.0, -wall.thickness / 2.0]
                .into_iter()
                .enumerate()
            {
                if (line.d(a) - d).abs() < 1e-6 && (line.d(b) - d).abs() < 1e-6 {
                    let (p, q) = (line.s(a), line.s(b));
                    found[side].push((p.min(q), p.max(q)));
                }
            }
        }
        let length = distance(wall.a, wall.b);
        let mut list = Vec::new();
        for &(a, b) in &found[0] {
            for &(c, d) in &found[1] {
                let (from, to) = (a.max(c).max(0.0), b.min(d).min(length));
                if to - from > 20.0 {
                    list.push((from, to));
                }
            }
        }
        list.sort_by(|p, q| p.0.total_cmp(&q.0));
        list
    }

    fn open(&mut self, random: &mut Random, wish: &Wish) {
        let step = if self.metric { 10.0 / 25.4 } else { 1.0 };
        let size = |inches: f64, metric: f64| if wish.metric { metric / 25.4 } else { inches };
        let mut doors = 0;
        let mut garage = random.chance(0.3);
        for index in 0..self.walls.len() {
            let wall = self.walls[index].clone();
            for (low, high) in self.free(&wall) {
                let mut at = low + 4.0;
                let most = if wall.exterior { 3 } else { 1 };
                for _ in 0..most {
                    let (kind, width) = if !wall.exterior {
                        if !random.chance(0.85) {
                            break;
                        }
                        match random.index(if wish.told { 8 } else { 10 }) {
                            0..=7 => (
                                Kind::Door,
                                random.pick(&[
                                    size(28.0, 760.0),
                                    size(30.0, 800.0),
                                    size(32.0, 860.0),
                                    size(36.0, 910.0),
                                ]),
                            ),
                            _ => (
                                Kind::Opening,
                                random.pick(&[
                                    size(36.0, 900.0),
                                    size(48.0, 1200.0),
                                    size(60.0, 1500.0),
                                ]),
                            ),
                        }
                    } else if garage && high - low > size(120.0, 3000.0) {
                        garage = false;
                        (
                            Kind::Garage,
                            random.pick(&[size(96.0, 2500.0), size(108.0, 2700.0)]),
                        )
                    } else if doors < 2 && random.chance(0.35) {
                        doors += 1;
                        (
                            Kind::Door,
                            random.pick(&[
                                size(36.0, 1000.0),
                                size(36.0, 900.0),
                                size(60.0, 1500.0),
                                size(72.0, 1800.0),
                            ]),
                        )
                    } else {
                        (
                            Kind::Window,
                            random.pick(&[
                                size(24.0, 600.0),
                                size(30.0, 800.0),
                                size(36.0, 900.0),
                                size(48.0, 1200.0),
                                size(60.0, 1500.0),
                                size(72.0, 1800.0),
                            ]),
                        )
                    };
                    let room = high - 4.0 - width - at;
                    if room < 0.0 {
                        break;
                    }
                    let from = at + random.stepped(0.0, (room * 0.6).min(90.0), step);
                    self.holes.push(Hole {
                        wall: index,
                        from,
                        to: from + width,
                        kind,
                    });
                    at = from + width + random.stepped(8.0, 60.0, step);
                }
            }
        }
    }
}

/// Thickness of the outside walls and the depths of their layers.
fn outside(random: &mut Random, wish: &Wish) -> (f64, Vec<f64>) {
    if wish.layered {
        // Brick, air, studs: or siding on sheathing, studs, gypsum.
        return if random.chance(0.5) {
            (10.25, vec![3.625, 4.625])
        } else {
            (7.0, vec![1.0, 6.5])
        };
    }
    let list: &[f64] = if wish.metric {
        &[
            150.0 / 25.4,
            200.0 / 25.4,
            240.0 / 25.4,
            300.0 / 25.4,
            365.0 / 25.4,
        ]
    } else {
        &[4.5, 5.5, 6.0, 6.5, 8.25, 10.25, 12.0]
    };
    (random.pick(list), Vec::new())
}

/// The corners of the box of some points.
pub(crate) fn bounds(ring: &[Point]) -> (Point, Point) {
    ring.iter().fold(
        (
            point(f64::INFINITY, f64::INFINITY),
            point(f64::NEG_INFINITY, f64::NEG_INFINITY),
        ),
        |(low, high), p| {
            (
                point(low.x.min(p.x), low.y.min(p.y)),
                point(high.x.max(p.x), high.y.max(p.y)),
            )
        },
    )
}

/// A point well inside a ring.
pub(crate) fn inside_of(ring: &[Point]) -> Point {
    let (low, high) = bounds(ring);
    let middle = (low + high) / 2.0;
    if contains(ring, middle) {
        return middle;
    }
    let line = Line::through(middle, middle + point(1.0, 0.0));
    let cuts = crossings(ring, &line);
    match cuts.as_slice() {
        [a, b, ..] => line.at((a + b) / 2.0, 0.0),
        _ => middle,
    }
}
