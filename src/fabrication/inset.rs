//! A contour moved inwards, each side by its own distance: the foam behind its recesses.
//!
//! ```text
//!     ╱╲            a slope moves square to itself; sides meet where their moved lines cross
//!   ╱╱──╲╲
//!   ││  ││          level and upright sides stay exact; a corner on a slope is taken to the nearest nanometre
//!   └────┘
//! ```

use super::region::height_at;
use crate::geometry::{ShopPoint, ShopRing};
use crate::units::Length;

/// A side's line moved inwards.
#[derive(Clone, Copy, Debug)]
enum Line {
    Upright(Length),
    /// A line through two points, moved up by a length.
    Across((ShopPoint, ShopPoint), Length),
}

/// The ring with every side moved inwards by `by(from, to)`; the ring is counter-clockwise.
pub(super) fn inset(ring: &ShopRing, by: impl Fn(ShopPoint, ShopPoint) -> Length) -> ShopRing {
    let lines: Vec<Line> = ring.sides().map(|(a, b)| moved(a, b, by(a, b))).collect();
    let n = lines.len();
    let corners = ring.0.iter().enumerate().map(|(i, corner)| {
        let (before, after) = (lines[(i + n - 1) % n], lines[i]);
        cross(before, after, *corner)
    });
    ShopRing(corners.collect())
}

/// The inside lies on the left of every side.
fn moved(a: ShopPoint, b: ShopPoint, by: Length) -> Line {
    if a.x == b.x {
        return Line::Upright(if b.y > a.y { a.x - by } else { a.x + by });
    }
    let (run, rise) = ((b.x - a.x).to_inches(), (b.y - a.y).to_inches());
    let upright = if a.y == b.y {
        by
    } else {
        let inches = by.to_inches() * run.hypot(rise) / run.abs();
        Length::nearest(inches, Length::nanometres(1)).unwrap_or(by)
    };
    Line::Across((a, b), if run > 0.0 { upright } else { -upright })
}

/// Where two neighbouring sides' moved lines cross; `corner` is where they did.
fn cross(before: Line, after: Line, corner: ShopPoint) -> ShopPoint {
    match (before, after) {
        (Line::Upright(x), Line::Across(side, up)) | (Line::Across(side, up), Line::Upright(x)) => {
            ShopPoint::new(x, height_at(side, x) + up)
        }
        (Line::Upright(x), Line::Upright(_)) => ShopPoint::new(x, corner.y),
        (Line::Across(a, up_a), Line::Across(b, up_b)) => {
            let [slope_a, slope_b] =
                [a, b].map(|(p, q)| (q.y - p.y).to_inches() / (q.x - p.x).to_inches());
            if up_a == up_b || (slope_a - slope_b).abs() < 1e-9 {
                return corner.moved(Length::ZERO, up_a);
            }
            let along = (up_b - up_a).to_inches() / (slope_a - slope_b);
            let x = Length::nearest(along, Length::nanometres(1)).unwrap_or_default() + corner.x;
            ShopPoint::new(x, height_at(a, x) + up_a)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::ShopRect;

    #[test]
    fn foam_of_a_rectangle_stands_back_by_each_sides_own_recess() {
        let [a, b, c, d] = [0, 48, 96, 3].map(Length::inches);
        let panel = ShopRect::new(a, a, b, c).ring();
        let foam = inset(&panel, |from, to| if from.x == to.x { d } else { d.half() });
        let half = d.half();
        assert_eq!(foam, ShopRect::new(d, half, b - d, c - half).ring());
    }

    #[test]
    fn under_a_gable_foam_stands_back_square_to_the_slope() {
        // 6:12: 1-1/2 square to the slope is 1-1/2 x 1.11803 = 1.67705 upright (slope factor: trade.md 5.2, derived).
        let p = |x: i64, y: i64| ShopPoint::new(Length::inches(x), Length::inches(y));
        let gable = ShopRing(vec![p(0, 0), p(96, 0), p(96, 96), p(48, 120), p(0, 96)]);
        let foam = inset(&gable, |_, _| Length::fraction(1, 1, 2));
        let ridge = foam.0[3];
        assert_eq!(ridge.x, Length::inches(48));
        assert!((ridge.y.to_inches() - (120.0 - 1.677_051)).abs() < 1e-6);
        let eave = foam.0[4];
        assert!((eave.y.to_inches() - (96.0 + 0.75 - 1.677_051)).abs() < 1e-6);
    }
}
