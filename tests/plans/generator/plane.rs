//! The plane geometry that inventing a house takes: insets, half planes, intervals along a line.

use geo::Coord;

pub(crate) type Point = Coord<f64>;

/// A directed line: `s` along it, `d` to its left.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line {
    pub(crate) origin: Point,
    pub(crate) along: Point,
}

impl Line {
    pub(crate) fn through(a: Point, b: Point) -> Self {
        let d = b - a;
        Self {
            origin: a,
            along: d / d.x.hypot(d.y),
        }
    }

    pub(crate) fn left(&self) -> Point {
        Point {
            x: -self.along.y,
            y: self.along.x,
        }
    }

    pub(crate) fn s(&self, p: Point) -> f64 {
        let d = p - self.origin;
        d.x * self.along.x + d.y * self.along.y
    }

    pub(crate) fn d(&self, p: Point) -> f64 {
        let (d, left) = (p - self.origin, self.left());
        d.x * left.x + d.y * left.y
    }

    pub(crate) fn at(&self, s: f64, d: f64) -> Point {
        self.origin + self.along * s + self.left() * d
    }

    /// The point where two lines cross.
    pub(crate) fn meets(&self, other: &Self) -> Point {
        let sine = self.along.x * other.along.y - self.along.y * other.along.x;
        let d = other.origin - self.origin;
        self.at((d.x * other.along.y - d.y * other.along.x) / sine, 0.0)
    }
}

pub(crate) fn distance(a: Point, b: Point) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

pub(crate) fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// The sides of a polygon, in order.
pub(crate) fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter()
        .zip(ring.iter().cycle().skip(1))
        .map(|(a, b)| (*a, *b))
}

/// The polygon whose sides lie to the left of another's by `by(side)`.
pub(crate) fn inset(ring: &[Point], by: &dyn Fn(usize) -> f64) -> Vec<Point> {
    let lines: Vec<Line> = sides(ring)
        .enumerate()
        .map(|(i, (a, b))| {
            let line = Line::through(a, b);
            Line {
                origin: line.at(0.0, by(i)),
                ..line
            }
        })
        .collect();
    let n = lines.len();
    (0..n)
        .map(|i| lines[(i + n - 1) % n].meets(&lines[i]))
        .collect()
}

/// Signed area, positive when counter-clockwise.
pub(crate) fn area(ring: &[Point]) -> f64 {
    sides(ring).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
}

pub(crate) fn contains(ring: &[Point], p: Point) -> bool {
    let mut inside = false;
    for (a, b) in sides(ring) {
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
    }
    inside
}

/// Where a line crosses a polygon's sides, as rising `s`.
pub(crate) fn crossings(ring: &[Point], line: &Line) -> Vec<f64> {
    let mut list: Vec<f64> = sides(ring)
        .filter_map(|(a, b)| {
            let (p, q) = (line.d(a), line.d(b));
            ((p > 0.0) != (q > 0.0)).then(|| {
                let share = p / (p - q);
                line.s(a + (b - a) * share)
            })
        })
        .collect();
    list.sort_by(f64::total_cmp);
    list
}

/// The part of a polygon to the left of a line that crosses it twice only.
pub(crate) fn left_part(ring: &[Point], line: &Line) -> Vec<Point> {
    let mut out = Vec::new();
    for (a, b) in sides(ring) {
        let (p, q) = (line.d(a), line.d(b));
        if p > 0.0 {
            out.push(a);
        }
        if (p > 0.0) != (q > 0.0) {
            out.push(a + (b - a) * (p / (p - q)));
        }
    }
    out
}

/// `[from, to]` without some intervals.
pub(crate) fn without(from: f64, to: f64, holes: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut parts = vec![(from, to)];
    for &(a, b) in holes {
        parts = parts
            .into_iter()
            .flat_map(|(p, q)| {
                if b <= p || a >= q {
                    vec![(p, q)]
                } else {
                    [(p, a), (b, q)]
                        .into_iter()
                        .filter(|(p, q)| q - p > 1e-6)
                        .collect()
                }
            })
            .collect();
    }
    parts
}

/// For each vertex of a multi-line: the vertex, the way to the next, the unit mitre, and how much longer than straight it is.
pub(crate) fn mitres(list: &[Point], closed: bool) -> Vec<(Point, Point, Point, f64)> {
    let n = list.len();
    let unit = |a: Point, b: Point| Line::through(a, b).along;
    (0..n)
        .map(|i| {
            let before = if i > 0 || closed {
                Some(unit(list[(i + n - 1) % n], list[i]))
            } else {
                None
            };
            let after = if i + 1 < n || closed {
                Some(unit(list[i], list[(i + 1) % n]))
            } else {
                None
            };
            let (from, to) = match (before, after) {
                (Some(a), Some(b)) => (a, b),
                (Some(a), None) | (None, Some(a)) => (a, a),
                (None, None) => (point(1.0, 0.0), point(1.0, 0.0)),
            };
            let left = |p: Point| point(-p.y, p.x);
            let sum = left(from) + left(to);
            let mitre = sum / sum.x.hypot(sum.y);
            let cosine = mitre.x * left(to).x + mitre.y * left(to).y;
            (list[i], to, mitre, 1.0 / cosine)
        })
        .collect()
}
