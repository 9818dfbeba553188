//! A directed line with its own coordinates.
//!
//! ```text
//!            d (left)
//!            ▲
//!    origin ●┼────────► s (along)
//! ```

use geo::Coord;

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

    /// How far along a point lies.
    pub(super) fn s(&self, p: Coord<f64>) -> f64 {
        dot(p - self.origin, self.along)
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
        let sine = self.sine(other);
        (sine.abs() > 0.05).then(|| cross(other.origin - self.origin, other.along) / sine)
    }
}

fn dot(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.x + a.y * b.y
}

/// Third component of the vector product.
fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}
