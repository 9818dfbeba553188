//! Exact points, rectangles and rings of the shop world.

use crate::units::Length;

/// A point in a panel's or a wall's own axes: x along, y up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShopPoint {
    /// Along, to the right as seen from outside.
    pub x: Length,
    /// Up.
    pub y: Length,
}

impl ShopPoint {
    /// A point from its two coordinates.
    #[must_use]
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// The point moved by `dx` and `dy`.
    #[must_use]
    pub fn moved(self, dx: Length, dy: Length) -> Self {
        Self {
            x: self.x + dx,
            y: self.y + dy,
        }
    }
}

/// An upright rectangle: `x0 <= x1`, `y0 <= y1`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShopRect {
    /// Left.
    pub x0: Length,
    /// Bottom.
    pub y0: Length,
    /// Right.
    pub x1: Length,
    /// Top.
    pub y1: Length,
}

impl ShopRect {
    /// A rectangle from left, bottom, right, top.
    #[must_use]
    pub const fn new(x0: Length, y0: Length, x1: Length, y1: Length) -> Self {
        Self { x0, y0, x1, y1 }
    }

    /// Left to right.
    #[must_use]
    pub fn width(&self) -> Length {
        self.x1 - self.x0
    }

    /// Bottom to top.
    #[must_use]
    pub fn height(&self) -> Length {
        self.y1 - self.y0
    }

    /// The rectangle moved by `dx` and `dy`.
    #[must_use]
    pub fn moved(&self, dx: Length, dy: Length) -> Self {
        Self::new(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)
    }

    /// The rectangle grown by `by` on every side; negative shrinks.
    #[must_use]
    pub fn grown(&self, by: Length) -> Self {
        Self::new(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)
    }

    /// What two rectangles share, when that has any area.
    #[must_use]
    pub fn common(&self, other: &Self) -> Option<Self> {
        let both = Self::new(
            self.x0.max(other.x0),
            self.y0.max(other.y0),
            self.x1.min(other.x1),
            self.y1.min(other.y1),
        );
        (both.x0 < both.x1 && both.y0 < both.y1).then_some(both)
    }

    /// Its corners, counter-clockwise from the lower left.
    #[must_use]
    pub fn ring(&self) -> ShopRing {
        ShopRing(vec![
            ShopPoint::new(self.x0, self.y0),
            ShopPoint::new(self.x1, self.y0),
            ShopPoint::new(self.x1, self.y1),
            ShopPoint::new(self.x0, self.y1),
        ])
    }
}

/// A closed ring of points, the first not repeated; counter-clockwise unless its user says otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct ShopRing(pub Vec<ShopPoint>);

impl ShopRing {
    /// Twice the enclosed area in square nanometres: positive when counter-clockwise. Exact.
    #[must_use]
    pub fn doubled_area(&self) -> i128 {
        self.sides().map(|(a, b)| cross(a, b)).sum()
    }

    /// The enclosed area in square inches, without sign.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "an area for weights and lists, not for comparison"
    )]
    pub fn square_inches(&self) -> f64 {
        self.doubled_area().abs() as f64 / 2.0 / (25_400_000.0 * 25_400_000.0)
    }

    /// Each side from a point to the next, the last back to the first.
    pub fn sides(&self) -> impl Iterator<Item = (ShopPoint, ShopPoint)> + '_ {
        let n = self.0.len();
        (0..n).map(move |i| (self.0[i], self.0[(i + 1) % n]))
    }

    /// How many of its points turn right.
    #[must_use]
    pub fn right_turns(&self) -> usize {
        self.turning_right().count()
    }

    /// Its points that turn right: inside corners of a contour that runs counter-clockwise, every corner of a hole.
    pub fn turning_right(&self) -> impl Iterator<Item = ShopPoint> + '_ {
        let ends = self
            .sides()
            .zip(self.sides().skip(1).chain(self.sides().take(1)));
        ends.filter_map(|((a, b), (_, c))| {
            let [from, to] = [(a, b), (b, c)].map(|(a, b)| ShopPoint::new(b.x - a.x, b.y - a.y));
            (cross(from, to) < 0).then_some(b)
        })
    }

    /// The ring run the other way round, starting at the same point.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut points = self.0.clone();
        if points.len() > 1 {
            points[1..].reverse();
        }
        Self(points)
    }

    /// The ring moved by `dx` and `dy`.
    #[must_use]
    pub fn moved(&self, dx: Length, dy: Length) -> Self {
        Self(self.0.iter().map(|p| p.moved(dx, dy)).collect())
    }

    /// The bounding rectangle; `None` when the ring has no points.
    #[must_use]
    pub fn bounds(&self) -> Option<ShopRect> {
        let first = *self.0.first()?;
        Some(
            self.0
                .iter()
                .fold(ShopRect::new(first.x, first.y, first.x, first.y), |r, p| {
                    ShopRect::new(r.x0.min(p.x), r.y0.min(p.y), r.x1.max(p.x), r.y1.max(p.y))
                }),
        )
    }
}

fn cross(a: ShopPoint, b: ShopPoint) -> i128 {
    i128::from(a.x.to_nanometres()) * i128::from(b.y.to_nanometres())
        - i128::from(b.x.to_nanometres()) * i128::from(a.y.to_nanometres())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rectangle_has_its_area_and_turns_counter_clockwise() {
        let sheet = ShopRect::new(
            Length::ZERO,
            Length::ZERO,
            Length::inches(48),
            Length::inches(96),
        )
        .ring();
        assert!(sheet.doubled_area() > 0 && sheet.reversed().doubled_area() < 0);
        assert!((sheet.square_inches() / 144.0 - 32.0).abs() < 1e-12);
    }
}
