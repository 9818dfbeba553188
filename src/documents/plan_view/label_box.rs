//! The boxes that labels, leaders and lines take up on paper, at any angle.

use crate::documents::paper::Area;
use geo::Coord;
use rstar::AABB;

/// What rounding may add up to, mm.
const ROUNDING: f64 = 1e-6;

/// A box at an angle, millimetres on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LabelBox {
    centre: Coord<f64>,
    half: [f64; 2],
    axis: Coord<f64>,
}

impl LabelBox {
    /// An upright box.
    pub(crate) fn upright(extent: &Area) -> Self {
        Self {
            centre: extent.middle(),
            half: [extent.width() / 2.0, extent.height() / 2.0],
            axis: Coord { x: 1.0, y: 0.0 },
        }
    }

    /// A box about its centre whose width runs along a unit vector.
    pub(crate) const fn about(
        centre: Coord<f64>,
        width: f64,
        height: f64,
        axis: Coord<f64>,
    ) -> Self {
        Self {
            centre,
            half: [width / 2.0, height / 2.0],
            axis,
        }
    }

    /// A line with a thickness.
    pub(crate) fn line(start: Coord<f64>, end: Coord<f64>, thickness: f64) -> Self {
        let d = end - start;
        let length = d.x.hypot(d.y);
        let axis = if length > 0.0 {
            d / length
        } else {
            Coord { x: 1.0, y: 0.0 }
        };
        Self::about((start + end) / 2.0, length + thickness, thickness, axis)
    }

    /// The upright box round it.
    pub(crate) fn extent(&self) -> Area {
        let x = self.half[0] * self.axis.x.abs() + self.half[1] * self.axis.y.abs();
        let y = self.half[0] * self.axis.y.abs() + self.half[1] * self.axis.x.abs();
        Area::new(
            self.centre.x - x,
            self.centre.y - y,
            self.centre.x + x,
            self.centre.y + y,
        )
    }

    /// Half its width and height on paper, if it stands upright: nearly all do.
    pub(super) fn upright_half(&self) -> Option<[f64; 2]> {
        let [along, across] = self.half;
        if self.axis.y == 0.0 {
            Some([along, across])
        } else if self.axis.x == 0.0 {
            Some([across, along])
        } else {
            None
        }
    }

    /// False when a line along the box parts it from all that stands in an upright one.
    pub(super) fn may_overlap(&self, other: &AABB<[f64; 2]>) -> bool {
        let ([x0, y0], [x1, y1]) = (other.lower(), other.upper());
        let across = Coord {
            x: -self.axis.y,
            y: self.axis.x,
        };
        let from = Coord {
            x: f64::midpoint(x0, x1) - self.centre.x,
            y: f64::midpoint(y0, y1) - self.centre.y,
        };
        let off = (from.x * across.x + from.y * across.y).abs();
        let reach = ((x1 - x0) * across.x.abs() + (y1 - y0) * across.y.abs()) / 2.0;
        off <= self.half[1] + reach + ROUNDING
    }

    /// True when two boxes share any area: no line parts them along any of their four directions.
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        let d = other.centre - self.centre;
        if let (Some(own), Some(others)) = (self.upright_half(), other.upright_half()) {
            return d.x.abs() < own[0] + others[0] && d.y.abs() < own[1] + others[1];
        }
        let across = |axis: Coord<f64>| Coord {
            x: -axis.y,
            y: axis.x,
        };
        [self.axis, across(self.axis), other.axis, across(other.axis)]
            .into_iter()
            .all(|direction| {
                let dot = |v: Coord<f64>| v.x * direction.x + v.y * direction.y;
                let reach = |it: &Self| {
                    it.half[0] * dot(it.axis).abs() + it.half[1] * dot(across(it.axis)).abs()
                };
                dot(d).abs() < reach(self) + reach(other)
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn upright_boxes_overlap_as_turned_ones_do() {
        let level = Coord { x: -1.0, y: 0.0 };
        let upright = Coord { x: 0.0, y: 1.0 };
        // A hair off upright, so that it goes the long way.
        let leaning = Coord {
            x: 1e-12,
            y: (1.0 - 1e-24_f64).sqrt(),
        };
        for (x, y) in (0..200).map(|i| (f64::from(i % 20) * 0.37, f64::from(i / 20) * 0.61)) {
            let a = LabelBox::about(Coord { x: 0.0, y: 0.0 }, 4.0, 1.0, level);
            let centre = Coord { x, y };
            let [short, long] =
                [upright, leaning].map(|axis| LabelBox::about(centre, 3.0, 2.0, axis));
            assert_eq!(a.overlaps(&short), a.overlaps(&long), "{x} {y}");
        }
    }

    #[test]
    fn boxes_at_an_angle_part_where_their_upright_boxes_do_not() {
        let r = std::f64::consts::FRAC_1_SQRT_2;
        let slanted =
            |x: f64, y: f64| LabelBox::about(Coord { x, y }, 10.0, 1.0, Coord { x: r, y: r });
        let (a, b) = (slanted(0.0, 0.0), slanted(2.0, -2.0));
        assert!(a.extent().meets(&b.extent()) && !a.overlaps(&b));
        assert!(a.overlaps(&slanted(1.0, 1.0)));
    }
}
