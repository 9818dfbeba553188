//! A directed line with its own coordinates, and intervals along it.
//!
//! ```text
//!            d (left)
//!            ▲
//!    origin ●┼────────► s (along)
//! ```

use geo::Coord;
use smallvec::SmallVec;

/// A directed line: `s` runs along it, `d` is the distance to its left. Inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    /// Where `s` and `d` are zero.
    pub origin: Coord<f64>,
    /// Unit vector.
    pub along: Coord<f64>,
}

impl Axis {
    /// The axis from one point towards another; `None` when they are the same.
    pub(super) fn through(from: Coord<f64>, to: Coord<f64>) -> Option<Self> {
        let d = to - from;
        let length = d.x.hypot(d.y);
        (length > 1e-9).then(|| Self {
            origin: from,
            along: d / length,
        })
    }

    /// The unit vector to the left.
    pub(super) fn left(&self) -> Coord<f64> {
        Coord {
            x: -self.along.y,
            y: self.along.x,
        }
    }

    /// The straight line of least squares through weighed points, in this axis's direction; the axis itself where they do not
    /// set one.
    pub(super) fn fitted(&self, points: impl Iterator<Item = (Coord<f64>, f64)>) -> Option<Self> {
        let (mut w, mut ws, mut wd, mut wss, mut wsd) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (p, weight) in points {
            let (s, d) = (self.s(p), self.d(p));
            w += weight;
            ws += weight * s;
            wd += weight * d;
            wss += weight * s * s;
            wsd += weight * s * d;
        }
        let spread = w * wss - ws * ws;
        if spread <= 1e-12 || w <= 0.0 {
            return Some(*self);
        }
        let slope = (w * wsd - ws * wd) / spread;
        let base = (wd - slope * ws) / w;
        // Exact drawings stay exact: a slope below rounding is none.
        let slope = if slope.abs() < 1e-9 { 0.0 } else { slope };
        Self::through(self.point(0.0, base), self.point(1.0, base + slope))
    }

    /// How far along a point lies.
    pub(super) fn s(&self, p: Coord<f64>) -> f64 {
        dot(p - self.origin, self.along)
    }

    /// How far to the left a point lies.
    pub(super) fn d(&self, p: Coord<f64>) -> f64 {
        dot(p - self.origin, self.left())
    }

    /// The point at `s` and `d`.
    pub(super) fn point(&self, s: f64, d: f64) -> Coord<f64> {
        self.origin + self.along * s + self.left() * d
    }

    /// Sine of the angle from this axis to another.
    pub(super) fn sine(&self, other: &Self) -> f64 {
        cross(self.along, other.along)
    }

    /// Where the line of `other` crosses this one, as `s`; `None` when nearly parallel.
    pub(super) fn meets(&self, other: &Self) -> Option<f64> {
        if self.sine(other).abs() > 0.05 {
            self.meets_at(other)
        } else {
            None
        }
    }

    /// Where the line of `other` crosses this one, as `s`, however flat the angle; `None` when parallel.
    pub(super) fn meets_at(&self, other: &Self) -> Option<f64> {
        let sine = self.sine(other);
        (sine.abs() > 1e-9).then(|| cross(other.origin - self.origin, other.along) / sine)
    }
}

/// Scalar product.
pub(super) fn dot(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.x + a.y * b.y
}

/// Third component of the vector product.
pub(super) fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// Distance between two points.
pub(super) fn distance(a: Coord<f64>, b: Coord<f64>) -> f64 {
    let d = a - b;
    dot(d, d).sqrt()
}

/// The middle of two points.
pub(super) fn middle(a: Coord<f64>, b: Coord<f64>) -> Coord<f64> {
    (a + b) / 2.0
}

/// A list that is mostly of one.
pub(super) type Few<T> = SmallVec<[T; 1]>;

/// An interval of `s`.
pub(super) type Interval = (f64, f64);

/// Intervals sorted and joined where they overlap or lie within `slack` of each other.
pub(super) fn joined(mut list: Vec<Interval>, slack: f64) -> Vec<Interval> {
    list.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    list.dedup_by(|next, last| joins(last, *next, slack));
    list
}

/// Sorted intervals joined the same way.
pub(super) fn joined_in_order(list: impl Iterator<Item = Interval>, slack: f64) -> Few<Interval> {
    let mut list: Few<Interval> = list.collect();
    list.dedup_by(|next, last| joins(last, *next, slack));
    list
}

/// Joins an interval to the one before it where it can.
fn joins(last: &mut Interval, next: Interval, slack: f64) -> bool {
    let joins = next.0 <= last.1 + slack;
    if joins {
        last.1 = last.1.max(next.1);
    }
    joins
}

/// What two sorted lists of intervals share.
pub(super) fn common(a: &[Interval], b: &[Interval]) -> Vec<Interval> {
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while i < a.len() && j < b.len() {
        let (low, high) = (a[i].0.max(b[j].0), a[i].1.min(b[j].1));
        if high > low {
            out.push((low, high));
        }
        if a[i].1 < b[j].1 {
            i += 1;
        } else {
            j += 1;
        }
    }
    out
}

/// Those of a sorted list of disjoint intervals that reach `[from, to]`.
pub(super) fn reaching(list: &[Interval], from: f64, to: f64) -> &[Interval] {
    let list = &list[list.partition_point(|it| it.1 < from)..];
    &list[..list.partition_point(|it| it.0 <= to)]
}

/// How much of `[from, to]` a sorted list of disjoint intervals covers, as a length.
pub(super) fn covered(list: &[Interval], from: f64, to: f64) -> f64 {
    reaching(list, from, to)
        .iter()
        .map(|&(a, b)| (b.min(to) - a.max(from)).max(0.0))
        .sum()
}

/// An interval of one axis measured along a parallel one.
pub(super) fn moved(interval: Interval, from: &Axis, to: &Axis) -> Interval {
    let (a, b) = (
        to.s(from.point(interval.0, 0.0)),
        to.s(from.point(interval.1, 0.0)),
    );
    (a.min(b), a.max(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_join_and_share() {
        let a = joined(vec![(5.0, 6.0), (0.0, 2.0), (2.05, 3.0)], 0.1);
        assert_eq!(a, vec![(0.0, 3.0), (5.0, 6.0)]);
        assert_eq!(common(&a, &[(1.0, 5.5)]), vec![(1.0, 3.0), (5.0, 5.5)]);
        assert_eq!(covered(&a, 2.0, 5.5), 1.5);
        assert_eq!(reaching(&a, 3.0, 4.0), [(0.0, 3.0)]);
        assert!(reaching(&a, 3.5, 4.0).is_empty());
    }

    #[test]
    fn an_axis_measures_along_and_to_the_left() {
        let axis = Axis::through((1.0, 1.0).into(), (1.0, 5.0).into()).unwrap();
        assert_eq!(
            (axis.s((0.0, 3.0).into()), axis.d((0.0, 3.0).into())),
            (2.0, 1.0)
        );
        assert_eq!(axis.point(2.0, 1.0), Coord { x: 0.0, y: 3.0 });
    }
}
