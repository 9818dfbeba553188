//! The frame of a wall: where it stands in the building, in floating point, while inside it all is exact.

use geo::Coord;

/// Origin and direction of a wall's outer face in plan, building coordinates, inches.
///
/// ```text
///            out (to the right of `along`)
///             ▲        seen from above, walls run counter-clockwise round the building,
///             │        so seen from outside `along` points to the right and `up` is up:
///   origin ●──┼──► along          along × up = out
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The start of the wall's outer face.
    pub origin: Coord<f64>,
    /// Unit vector along the wall, left to right as seen from outside.
    pub along: Coord<f64>,
}

impl Frame {
    /// The frame of the line from `start` to `end`; `None` when the two are the same point.
    #[must_use]
    pub fn from_points(start: Coord<f64>, end: Coord<f64>) -> Option<Self> {
        let d = end - start;
        let length = d.x.hypot(d.y);
        (length > 0.0).then(|| Self {
            origin: start,
            along: Coord {
                x: d.x / length,
                y: d.y / length,
            },
        })
    }

    /// Unit vector to the outside, to the right of `along`.
    ///
    /// ```
    /// use panelwright::geometry::Frame;
    /// let south = Frame::from_points((0.0, 0.0).into(), (10.0, 0.0).into()).unwrap();
    /// assert_eq!(south.out(), (0.0, -1.0).into());
    /// ```
    #[must_use]
    pub fn out(&self) -> Coord<f64> {
        Coord {
            x: self.along.y,
            y: -self.along.x,
        }
    }

    /// The point `along` inches along the wall and `out` inches outside its outer face.
    #[must_use]
    pub fn point(&self, along: f64, out: f64) -> Coord<f64> {
        self.origin + self.along * along + self.out() * out
    }

    /// How far along and how far out a point lies.
    #[must_use]
    pub fn local(&self, point: Coord<f64>) -> (f64, f64) {
        let d = point - self.origin;
        let out = self.out();
        (
            d.x * self.along.x + d.y * self.along.y,
            d.x * out.x + d.y * out.y,
        )
    }
}
