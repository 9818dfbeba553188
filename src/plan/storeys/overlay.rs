//! What of a storey can lie on what of another, and how much of it does at a place.
//!
//! Cost: the corners of both outlines and the ends of their longest inner walls, pair by pair; lines that both draw, such as treads,
//! vote for the moves that lay one on the other.

use crate::drawing::{Curve, Drawing};
use crate::geometry::tolerance::ON_FACE;
use crate::geometry::{Face, Motion, laid};
use crate::plan::axis::{Axis, distance};
use crate::plan::enclosure::outline::contains;
use crate::plan::storeys::register::is_one_place;
use crate::plan::{GridLine, Storey};
use geo::Coord;
use std::collections::BTreeMap;

/// Inner walls that are looked at, the longest.
const INNER: usize = 24;
/// Treads, sides of shafts and the like are this long, inches.
const DRAWN: (f64, f64) = (20.0, 200.0);
/// What lies so near an outside face is of its wall and its openings, inches.
const IN_WALL: f64 = 10.0;
/// With more lines than this a plan is hatched, and they say nothing.
const MOST: usize = 4000;
/// Moves whose drawn lines are compared.
const TRIED: usize = 24;
/// Grid lines agree within this, inches.
const GRID: f64 = 1.0;
/// Storeys lie parallel within this, degrees: drawings are skewed by hundredths.
const PARALLEL: f64 = 0.1;
/// Letters are turned as their plan within this, degrees.
const LETTERS: f64 = 10.0;

/// What a pair of faces says: the way square to them, and how far they are apart along it.
type Weight<'a> = &'a dyn Fn(&(Coord<f64>, f64)) -> f64;

/// A place of a storey over another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// Added after turning.
    pub shift: Coord<f64>,
    /// Counter-clockwise, degrees.
    pub turn: f64,
    /// Inches of outside faces that lie on faces.
    pub outline: f64,
    /// The same with inner walls and drawn lines.
    pub score: f64,
}

/// How a storey may be turned over another.
pub(super) struct Turns {
    /// As its letters are; `None` where it has none.
    pub told: Option<f64>,
    pub all: Vec<f64>,
}

/// What of a storey may lie on another.
pub(super) struct Overlay {
    file: String,
    corners: Vec<Coord<f64>>,
    pub perimeter: f64,
    inner: Vec<[Coord<f64>; 2]>,
    drawn: Vec<[Coord<f64>; 2]>,
    grid: Vec<GridLine>,
    /// Angle of most of its letters, degrees.
    letters: Option<f64>,
    /// Angle of its longest face, degrees, from -45 to 45.
    skew: f64,
}

impl Overlay {
    /// - `drawing`: the one it comes from.
    pub(super) fn of(storey: &Storey, drawing: Option<&Drawing>) -> Self {
        let corners = storey.outline.clone();
        let faces = faces(&corners);
        let longest = faces
            .iter()
            .max_by(|p, q| p.length().total_cmp(&q.length()));
        let skew = longest.map_or(0.0, |it| {
            let [x, y] = [it.end[0] - it.start[0], it.end[1] - it.start[1]];
            let angle = y.atan2(x).to_degrees();
            angle - 90.0 * (angle / 90.0).round()
        });
        let walls = storey.walls.iter().filter(|it| !it.is_exterior);
        let mut inner: Vec<[Coord<f64>; 2]> = walls.map(|it| [it.start, it.end]).collect();
        inner.sort_by(|p, q| distance(q[0], q[1]).total_cmp(&distance(p[0], p[1])));
        inner.truncate(INNER);
        Self {
            file: storey.file.clone(),
            perimeter: faces.iter().map(Face::length).sum(),
            inner,
            drawn: drawing.map_or_else(Vec::new, |it| drawn_in(it, &corners)),
            grid: nearest_of_each_name(&storey.grid, &corners),
            letters: drawing.and_then(|it| letters_in(it, &corners)),
            skew,
            corners,
        }
    }

    /// How it may be turned over another.
    pub(super) fn turns(&self, base: &Self) -> Turns {
        let skew = base.skew - self.skew;
        let skew = skew - 90.0 * (skew / 90.0).round();
        let skew = (skew * 1e9).round() / 1e9;
        let quarters = [0.0, 90.0, -90.0, 180.0];
        let mut all = quarters.to_vec();
        if skew.abs() > PARALLEL {
            all.extend(quarters.map(|it| it + skew));
        }
        let told = self.letters.zip(base.letters).and_then(|(own, base)| {
            let off = |turn: &f64| within_half_turn(base - own - turn).abs();
            let nearest = all.iter().copied();
            let nearest = nearest.min_by(|p, q| off(p).total_cmp(&off(q)))?;
            (off(&nearest) <= LETTERS).then_some(nearest)
        });
        Turns { told, all }
    }

    /// Whether the places of both overlap as drawn.
    pub(super) fn is_over(&self, base: &Self) -> bool {
        let inside = |points: &[Coord<f64>], outline: &[Coord<f64>]| {
            points.iter().any(|p| contains(outline, *p))
        };
        inside(&self.corners, &base.corners) || inside(&base.corners, &self.corners)
    }

    /// Lines of equal names of both; one line of a sheet near two plans names neither.
    fn named<'a>(&'a self, base: &'a Self) -> impl Iterator<Item = (&'a GridLine, &'a GridLine)> {
        let is_one_line = |p: &GridLine, q: &GridLine| {
            self.file == base.file && p.start == q.start && p.end == q.end
        };
        let other = |own: &GridLine| base.grid.iter().find(|it| it.name == own.name);
        let pairs = self
            .grid
            .iter()
            .filter_map(move |own| Some((own, other(own)?)));
        pairs.filter(move |(own, base)| !is_one_line(own, base))
    }

    /// The place where grid lines of equal names lie on each other, both ways; `None` where they do not.
    pub(super) fn by_grid(&self, base: &Self, turn: f64) -> Option<Spot> {
        let motion = motion(turn, Coord::default());
        let mut rows: Vec<(Coord<f64>, f64)> = Vec::new();
        for (own, base) in self.named(base) {
            let along = (base.end - base.start) / distance(base.start, base.end).max(1e-9);
            let own_along = moved(&motion, own.end) - moved(&motion, own.start);
            let long = own_along.x.hypot(own_along.y).max(1e-9);
            if (along.x * own_along.y - along.y * own_along.x).abs() > 0.01 * long {
                return None;
            }
            let normal = Coord {
                x: -along.y,
                y: along.x,
            };
            let off = base.start - moved(&motion, own.start);
            rows.push((normal, off.x * normal.x + off.y * normal.y));
        }
        // The move nearest to all of them.
        let sum = |of: Weight<'_>| rows.iter().map(of).sum::<f64>();
        let (xx, xy, yy) = (
            sum(&|r| r.0.x * r.0.x),
            sum(&|r| r.0.x * r.0.y),
            sum(&|r| r.0.y * r.0.y),
        );
        let (bx, by) = (sum(&|r| r.0.x * r.1), sum(&|r| r.0.y * r.1));
        let det = xx * yy - xy * xy;
        if det < 0.1 {
            return None;
        }
        let shift = Coord {
            x: (bx * yy - by * xy) / det,
            y: (by * xx - bx * xy) / det,
        };
        let fits = |shift: Coord<f64>| {
            let off = |r: &(Coord<f64>, f64)| (shift.x * r.0.x + shift.y * r.0.y - r.1).abs();
            rows.iter().all(|r| off(r) <= GRID)
        };
        if !fits(shift) {
            return None;
        }
        // Faces lie closer than the middles of bubbles.
        let corners = self.corner_moves(base, turn).into_iter();
        let exact = corners.filter(|it| distance(*it, shift) <= GRID);
        let exact = exact.map(|it| self.spot(base, it, turn));
        let best = exact.max_by(|p, q| p.score.total_cmp(&q.score));
        Some(
            best.filter(|it| it.outline > 0.0)
                .unwrap_or_else(|| self.spot(base, shift, turn)),
        )
    }

    /// What lies on what at a move.
    pub(super) fn spot(&self, base: &Self, shift: Coord<f64>, turn: f64) -> Spot {
        let motion = motion(turn, shift);
        let outline = laid(&faces(&self.corners), &faces(&base.corners), &motion);
        let both = |list: &[[Coord<f64>; 2]]| -> Vec<Face> {
            let faces = list.iter().map(|it| face(it[0], it[1]));
            let back = list.iter().map(|it| face(it[1], it[0]));
            faces.chain(back).collect()
        };
        let own: Vec<Face> = self.inner.iter().map(|it| face(it[0], it[1])).collect();
        Spot {
            shift,
            turn,
            outline,
            score: outline + laid(&own, &both(&base.inner), &motion),
        }
    }

    /// Inches of outside faces that lie on faces as drawn, along the first storey's longest face and across it.
    pub(super) fn laid_both_ways(&self, base: &Self) -> [f64; 2] {
        let (sine, cosine) = base.skew.to_radians().sin_cos();
        [true, false].map(|is_along| {
            let own = faces(&self.corners).into_iter().filter(|it| {
                let [x, y] = [it.end[0] - it.start[0], it.end[1] - it.start[1]];
                let (along, across) = (x * cosine + y * sine, y * cosine - x * sine);
                (along.abs() > across.abs()) == is_along
            });
            laid(
                &own.collect::<Vec<Face>>(),
                &faces(&base.corners),
                &Motion::NONE,
            )
        })
    }

    /// The best place at a turn, and the best of the others.
    pub(super) fn best(&self, base: &Self, turn: f64) -> (Spot, Option<Spot>) {
        let plain = {
            let own = self
                .corners
                .iter()
                .map(|p| moved(&motion(turn, Coord::default()), *p));
            lower_left(base.corners.iter().copied()) - lower_left(own)
        };
        let mut moves = vec![plain];
        moves.extend(self.corner_moves(base, turn));
        moves.extend(self.inner_moves(base, turn));
        let mut spots: Vec<Spot> = moves
            .into_iter()
            .map(|it| self.spot(base, it, turn))
            .collect();
        // The sort is stable: of equals those nearest to corner on corner go first.
        spots.sort_by(|p, q| distance(p.shift, plain).total_cmp(&distance(q.shift, plain)));
        spots.sort_by(|p, q| q.score.total_cmp(&p.score));
        let mut tried: Vec<Spot> = Vec::new();
        for spot in spots {
            let is_known = |it: &Spot| distance(it.shift, spot.shift) < 1e-6;
            if tried.len() < TRIED && !tried.iter().any(is_known) {
                tried.push(spot);
            }
        }
        let votes = self.votes(base, turn).into_iter();
        tried.extend(votes.map(|it| self.spot(base, it, turn)));
        let tried: Vec<Spot> = tried.iter().map(|it| self.with_lines(base, it)).collect();
        let most = tried.iter().map(|it| it.score).fold(0.0, f64::max);
        let far = |it: &&Spot| distance(it.shift, plain);
        let first = tried.iter().filter(|it| it.score >= most - ON_FACE);
        let first = first.min_by(|p, q| far(p).total_cmp(&far(q)));
        let best = first
            .copied()
            .unwrap_or_else(|| self.spot(base, plain, turn));
        let others = tried
            .iter()
            .filter(|it| !is_one_place(it.shift, best.shift));
        let rival = others.max_by(|p, q| p.score.total_cmp(&q.score));
        (best, rival.copied())
    }

    /// A place with the lines that both draw counted too.
    pub(super) fn with_lines(&self, base: &Self, spot: &Spot) -> Spot {
        Spot {
            score: spot.score + self.drawn_alike(base, spot).min(self.perimeter),
            ..*spot
        }
    }

    /// The moves that lay a corner of its outline on one of the other's.
    fn corner_moves(&self, base: &Self, turn: f64) -> Vec<Coord<f64>> {
        let motion = motion(turn, Coord::default());
        let own = self.corners.iter().map(|p| moved(&motion, *p));
        own.flat_map(|own| base.corners.iter().map(move |p| *p - own))
            .collect()
    }

    /// The moves that lay an end of an inner wall on one of a parallel inner wall.
    fn inner_moves(&self, base: &Self, turn: f64) -> Vec<Coord<f64>> {
        let motion = motion(turn, Coord::default());
        let mut moves = Vec::new();
        for own in &self.inner {
            let own = own.map(|p| moved(&motion, p));
            let along = own[1] - own[0];
            for other in &base.inner {
                let theirs = other[1] - other[0];
                let cross = along.x * theirs.y - along.y * theirs.x;
                let whole = along.x.hypot(along.y) * theirs.x.hypot(theirs.y);
                if cross.abs() <= 0.01 * whole {
                    moves.extend(own.iter().flat_map(|p| other.map(|q| q - *p)));
                }
            }
        }
        moves
    }

    /// The moves that lay the greatest length of drawn lines on lines as long.
    fn votes(&self, base: &Self, turn: f64) -> Vec<Coord<f64>> {
        const CHOSEN: usize = 8;
        const ALIKE: usize = 64;
        let motion = motion(turn, Coord::default());
        let mut known: BTreeMap<[u64; 2], Vec<Coord<f64>>> = BTreeMap::new();
        for line in &base.drawn {
            known.entry(kind_of(line)).or_default().push(line[0]);
        }
        known.retain(|_, list| list.len() <= ALIKE);
        let mut tally: BTreeMap<[u64; 2], (f64, Coord<f64>)> = BTreeMap::new();
        for line in &self.drawn {
            let line = upright(line.map(|p| moved(&motion, p)));
            for other in known.get(&kind_of(&line)).into_iter().flatten() {
                let shift = *other - line[0];
                let key = [key(shift.x), key(shift.y)];
                let vote = tally.entry(key).or_insert((0.0, shift));
                vote.0 += distance(line[0], line[1]);
            }
        }
        let mut list: Vec<(f64, Coord<f64>)> = tally.into_values().collect();
        list.sort_by(|p, q| q.0.total_cmp(&p.0));
        list.into_iter().take(CHOSEN).map(|it| it.1).collect()
    }

    /// Inches of drawn lines that lie on lines as long.
    fn drawn_alike(&self, base: &Self, spot: &Spot) -> f64 {
        let motion = motion(spot.turn, spot.shift);
        let mut known: BTreeMap<[u64; 2], Vec<[Coord<f64>; 2]>> = BTreeMap::new();
        for line in &base.drawn {
            let at = [key(line[0].x), key(line[0].y)];
            known.entry(at).or_default().push(*line);
        }
        let is_known = |line: &[Coord<f64>; 2]| {
            let around = [-1.0, 0.0, 1.0];
            let places = around.iter().flat_map(|x| around.map(|y| (*x, y)));
            let mut near = places.filter_map(|(x, y)| {
                let at = [key(line[0].x.round() + x), key(line[0].y.round() + y)];
                known.get(&at)
            });
            near.any(|list| {
                let mut list = list.iter();
                list.any(|it| (0..2).all(|i| distance(it[i], line[i]) <= ON_FACE))
            })
        };
        let own = self.drawn.iter();
        let own = own.map(|line| upright(line.map(|p| moved(&motion, p))));
        own.filter(is_known)
            .map(|line| distance(line[0], line[1]))
            .sum()
    }
}

/// True when both have grid lines of equal names both ways.
pub(super) fn names_both_ways(own: &Overlay, base: &Overlay) -> bool {
    let mut named = own.named(base);
    let is_level = |it: &GridLine| (it.end.x - it.start.x).abs() > (it.end.y - it.start.y).abs();
    // Lines one way alone leave the move open.
    let Some(first) = named.next() else {
        return false;
    };
    named.any(|it| is_level(it.1) != is_level(first.1))
}

/// True when two turns are the same, degrees.
pub(super) fn one_turn(p: f64, q: f64) -> bool {
    within_half_turn(p - q).abs() < 1e-6
}

/// An angle from -180 to 180 degrees.
fn within_half_turn(angle: f64) -> f64 {
    angle - 360.0 * (angle / 360.0).round()
}

fn motion(turn: f64, shift: Coord<f64>) -> Motion {
    let (sin, cos) = turn.to_radians().sin_cos();
    let [cos, sin] = [cos, sin].map(|it| if it.abs() < 1e-12 { 0.0 } else { it });
    Motion {
        cos,
        sin,
        shift: [shift.x, shift.y],
    }
}

fn moved(motion: &Motion, p: Coord<f64>) -> Coord<f64> {
    motion.point([p.x, p.y]).into()
}

/// A place to a whole inch, to be looked up.
fn key(at: f64) -> u64 {
    (at.round() + 0.0).to_bits()
}

/// Length and direction of a line, to be looked up.
fn kind_of(line: &[Coord<f64>; 2]) -> [u64; 2] {
    let d = line[1] - line[0];
    [key(2.0 * d.x), key(2.0 * d.y)]
}

/// A line from left to right, an upright one from below.
fn upright([a, b]: [Coord<f64>; 2]) -> [Coord<f64>; 2] {
    let is_upright = (a.x - b.x).abs() < ON_FACE;
    let is_forward = if is_upright { a.y <= b.y } else { a.x < b.x };
    if is_forward { [a, b] } else { [b, a] }
}

fn face(a: Coord<f64>, b: Coord<f64>) -> Face {
    Face {
        start: [a.x, a.y],
        end: [b.x, b.y],
    }
}

/// The sides of an outline.
fn faces(points: &[Coord<f64>]) -> Vec<Face> {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| face(*a, *b)).collect()
}

fn lower_left(points: impl Iterator<Item = Coord<f64>>) -> Coord<f64> {
    let far = Coord {
        x: f64::INFINITY,
        y: f64::INFINITY,
    };
    points.fold(far, |m, p| Coord {
        x: m.x.min(p.x),
        y: m.y.min(p.y),
    })
}

/// Of lines of one name the nearest to the middle of an outline: a sheet's other plan has lines of the same name.
fn nearest_of_each_name(grid: &[GridLine], outline: &[Coord<f64>]) -> Vec<GridLine> {
    let low = lower_left(outline.iter().copied());
    let high = lower_left(outline.iter().map(|p| -*p));
    let middle = (low - high) / 2.0;
    let off = |it: &GridLine| {
        let d = it.end - it.start;
        let long = (d.x * d.x + d.y * d.y).max(1e-9);
        let to = middle - it.start;
        let s = ((to.x * d.x + to.y * d.y) / long).clamp(0.0, 1.0);
        distance(it.start + d * s, middle)
    };
    let mut list: Vec<&GridLine> = grid.iter().collect();
    list.sort_by(|p, q| p.name.cmp(&q.name).then(off(p).total_cmp(&off(q))));
    list.dedup_by(|p, q| p.name == q.name);
    list.into_iter().cloned().collect()
}

/// The lines drawn within an outline that may be treads or sides of shafts; none where there are too many.
fn drawn_in(drawing: &Drawing, outline: &[Coord<f64>]) -> Vec<[Coord<f64>; 2]> {
    let low = lower_left(outline.iter().copied());
    let high = -lower_left(outline.iter().map(|p| -*p));
    let is_near = |p: Coord<f64>| p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y;
    let mut list = Vec::new();
    for stroke in &drawing.strokes {
        let Curve::Line { start, end } = stroke.curve else {
            continue;
        };
        let source = drawing.sources.get(stroke.source.0 as usize);
        let is_hidden = source.is_none_or(|it| it.is_hidden);
        let is_long = (DRAWN.0..=DRAWN.1).contains(&distance(start, end));
        if !is_hidden && is_long && [start, end].iter().all(|p| is_near(*p)) {
            list.push(upright([start, end]));
        }
        if list.len() > MOST {
            return Vec::new();
        }
    }
    let sides = faces(outline);
    let is_inside = |line: &[Coord<f64>; 2]| {
        let middle = (line[0] + line[1]) / 2.0;
        let in_wall = |side: &Face| {
            let axis = Axis::through(side.start.into(), side.end.into());
            axis.is_some_and(|it| {
                let s = it.s(middle);
                it.d(middle).abs() < IN_WALL && s > 0.0 && s < side.length()
            })
        };
        contains(outline, middle) && !sides.iter().any(in_wall)
    };
    list.retain(is_inside);
    list
}

/// The angle of most letters within an outline, degrees.
fn letters_in(drawing: &Drawing, outline: &[Coord<f64>]) -> Option<f64> {
    let texts = drawing.texts.iter();
    let inside = texts.filter(|it| contains(outline, it.middle));
    let angles: Vec<f64> = inside.map(|it| it.angle.to_degrees()).collect();
    let like = |angle: f64| {
        let like = angles.iter();
        like.filter(|it| within_half_turn(**it - angle).abs() < 1.0)
            .count()
    };
    let most = angles.iter().copied().max_by_key(|it| like(*it))?;
    (2 * like(most) > angles.len()).then_some(most)
}
