//! Placing: from object and block coordinates to the drawing's.

use crate::drawing::entities::shape::Space;
use geo::Coord;

/// A linear map and a move, in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::drawing) struct Affine {
    /// Images of the x, y and z axes.
    axes: [Space; 3],
    /// Image of the origin.
    origin: Space,
}

impl Affine {
    /// Leaves everything where it is.
    pub(in crate::drawing) const IDENTITY: Self = Self {
        axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        origin: [0.0; 3],
    };

    /// A move.
    pub(in crate::drawing) const fn moved(by: Space) -> Self {
        Self {
            origin: by,
            ..Self::IDENTITY
        }
    }

    /// A scale along the axes.
    pub(in crate::drawing) const fn scaled(by: Space) -> Self {
        Self {
            axes: [[by[0], 0.0, 0.0], [0.0, by[1], 0.0], [0.0, 0.0, by[2]]],
            origin: [0.0; 3],
        }
    }

    /// A turn about z, radians. Quarter turns are exact.
    pub(in crate::drawing) fn turned(angle: f64) -> Self {
        let (sin, cos) = exact_sin_cos(angle);
        Self {
            axes: [[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]],
            origin: [0.0; 3],
        }
    }

    /// From the coordinates of an object whose z axis is `normal` to the world (DXF reference, "Arbitrary Axis Algorithm").
    pub(in crate::drawing) fn object(normal: Space) -> Self {
        let length = norm(normal);
        if length <= 0.0 || (normal[0] == 0.0 && normal[1] == 0.0 && normal[2] > 0.0) {
            return Self::IDENTITY;
        }
        let z = normal.map(|part| part / length);
        // The reference fixes this number, 1/64: nearer to the world's z axis than this, x is taken from the world's y.
        let limit = 1.0 / 64.0;
        let guide = if z[0].abs() < limit && z[1].abs() < limit {
            [0.0, 1.0, 0.0]
        } else {
            [0.0, 0.0, 1.0]
        };
        let x = cross(guide, z);
        let width = norm(x);
        let x = x.map(|part| part / width);
        Self {
            axes: [x, cross(z, x), z],
            origin: [0.0; 3],
        }
    }

    /// First `inner`, then `self`.
    pub(in crate::drawing) fn after(&self, inner: &Self) -> Self {
        Self {
            axes: inner.axes.map(|axis| self.direction(axis)),
            origin: self.point(inner.origin),
        }
    }

    /// Where a point goes.
    pub(in crate::drawing) fn point(&self, at: Space) -> Space {
        let turned = self.direction(at);
        [
            turned[0] + self.origin[0],
            turned[1] + self.origin[1],
            turned[2] + self.origin[2],
        ]
    }

    /// Where a direction goes.
    pub(in crate::drawing) fn direction(&self, by: Space) -> Space {
        let [x, y, z] = &self.axes;
        [
            x[0] * by[0] + y[0] * by[1] + z[0] * by[2],
            x[1] * by[0] + y[1] * by[1] + z[1] * by[2],
            x[2] * by[0] + y[2] * by[1] + z[2] * by[2],
        ]
    }

    /// A point, seen from above.
    pub(in crate::drawing) fn flat(&self, at: Space) -> Coord<f64> {
        let [x, y, _] = self.point(at);
        Coord { x, y }
    }

    /// A direction, seen from above.
    pub(in crate::drawing) fn flat_direction(&self, by: Space) -> Coord<f64> {
        let [x, y, _] = self.direction(by);
        Coord { x, y }
    }

    /// True when all its numbers are finite and of a size that drawings have.
    pub(in crate::drawing) fn is_sane(&self) -> bool {
        self.axes
            .iter()
            .chain([&self.origin])
            .flatten()
            .all(|part| part.is_finite() && part.abs() < 1e15)
    }
}

/// Sine and cosine; quarter turns to within a few bits give whole numbers, so that turned blocks stay square.
pub(in crate::drawing) fn exact_sin_cos(angle: f64) -> (f64, f64) {
    let (sin, cos) = angle.sin_cos();
    let clean = |part: f64| {
        let whole = part.round();
        if (part - whole).abs() < 1e-15 {
            whole
        } else {
            part
        }
    };
    (clean(sin), clean(cos))
}

/// Vector product.
pub(in crate::drawing) fn cross(a: Space, b: Space) -> Space {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Length.
pub(in crate::drawing) fn norm(a: Space) -> f64 {
    a[0].hypot(a[1]).hypot(a[2])
}

/// Difference of two points.
pub(in crate::drawing) fn minus(a: Space, b: Space) -> Space {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `a` and `share` of `b`.
pub(in crate::drawing) fn plus(a: Space, b: Space, share: f64) -> Space {
    [
        a[0] + b[0] * share,
        a[1] + b[1] * share,
        a[2] + b[2] * share,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_object_seen_from_below_is_mirrored_in_x() {
        // DXF reference, arbitrary axis algorithm: for (0, 0, -1) the object's x axis is the world's -x.
        let below = Affine::object([0.0, 0.0, -1.0]);
        assert_eq!(below.point([3.0, 2.0, 1.0]), [-3.0, 2.0, -1.0]);
        assert_eq!(Affine::object([0.0, 0.0, 2.0]), Affine::IDENTITY);
    }

    #[test]
    fn placing_turns_after_scaling_and_moves_last() {
        let place = Affine::moved([10.0, 0.0, 0.0])
            .after(&Affine::turned(std::f64::consts::FRAC_PI_2))
            .after(&Affine::scaled([2.0, -1.0, 1.0]));
        assert_eq!(place.flat([1.0, 1.0, 0.0]), Coord { x: 11.0, y: 2.0 });
    }
}
