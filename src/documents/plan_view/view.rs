//! From inches on the plan to millimetres on paper: a turn that brings the building level, a scale, a place.

use crate::documents::paper::Area;
use crate::documents::paper::scale::{Scale, fitting_scale};
use geo::Coord;

/// Walls whose directions differ by less than this belong to one family when the building is brought level, radians.
///
/// A drafting error of a tenth of a degree stays in its family; two wings that meet at one degree do not.
const SAME_FAMILY: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// How a plan lies on the paper.
///
/// ```text
///   drawing, inches, y up  ──turn──► level  ──scale──►  paper, millimetres, y down
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PlanView {
    cosine: f64,
    sine: f64,
    turn: f64,
    scale: Scale,
    centre: Coord<f64>,
    paper_centre: Coord<f64>,
}

/// The turn that brings the greater part of some walls level or upright, radians counter-clockwise, within ±45°.
///
/// - `walls`: their ends, inches. Each direction counts by its length; directions a right angle apart count together.
/// - Returns exactly 0 when the dominant family is level already, so that a plain plan is never turned by rounding.
pub(crate) fn level_turn(walls: &[(Coord<f64>, Coord<f64>)]) -> f64 {
    let quarter = std::f64::consts::FRAC_PI_2;
    let mut families: Vec<(f64, f64)> = Vec::new(); // direction within a quarter turn, length
    for (start, end) in walls {
        let d = *end - *start;
        let length = d.x.hypot(d.y);
        if length <= 0.0 || !length.is_finite() {
            continue;
        }
        let direction = d.y.atan2(d.x).rem_euclid(quarter);
        let apart = |other: f64| {
            let a = (direction - other).rem_euclid(quarter);
            if a > quarter / 2.0 { a - quarter } else { a }
        };
        match families
            .iter_mut()
            .find(|(other, _)| apart(*other).abs() < SAME_FAMILY)
        {
            Some((mean, total)) => {
                *mean += apart(*mean) * length / (*total + length);
                *total += length;
            }
            None => families.push((direction, length)),
        }
    }
    let Some((direction, _)) = families
        .iter()
        .copied()
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
    else {
        return 0.0;
    };
    let direction = direction.rem_euclid(quarter);
    let turn = if direction > quarter / 2.0 {
        quarter - direction
    } else {
        -direction
    };
    if turn.abs() < 1e-9 { 0.0 } else { turn }
}

/// A point turned about the origin, radians counter-clockwise.
pub(crate) fn turned(p: Coord<f64>, turn: f64) -> Coord<f64> {
    if turn == 0.0 {
        return p;
    }
    let (s, c) = turn.sin_cos();
    Coord {
        x: p.x * c - p.y * s,
        y: p.x * s + p.y * c,
    }
}

/// The box round those points that are numbers; `None` when there are none.
pub(crate) fn extent_of(points: impl IntoIterator<Item = Coord<f64>>) -> Option<Area> {
    points
        .into_iter()
        .filter(|p| p.x.is_finite() && p.y.is_finite())
        .fold(None, |area: Option<Area>, p| {
            Some(area.map_or_else(|| Area::of(p, p), |it| it.with(p)))
        })
}

impl PlanView {
    /// No plan is drawn larger than 1 1/2" = 1'-0": a scale for details.
    pub(crate) const LARGEST: f64 = 8.0;

    /// The greatest standard scale at which some points fit a window of the paper, and the place in its middle.
    ///
    /// - `points`: on the plan, inches; `turn` as from [`level_turn`].
    /// - `window`: on paper, millimetres, already less the room for dimensions and marks.
    /// - `scales`: the list to choose from, largest first.
    pub(crate) fn fit(points: &[Coord<f64>], turn: f64, window: &Area, scales: &[Scale]) -> Self {
        let level = extent_of(points.iter().map(|p| turned(*p, turn)))
            .unwrap_or(Area::new(0.0, 0.0, 1.0, 1.0));
        let scale = fitting_scale(
            scales,
            Self::LARGEST,
            [level.width(), level.height()],
            [window.width(), window.height()],
        );
        let (sine, cosine) = if turn == 0.0 {
            (0.0, 1.0)
        } else {
            turn.sin_cos()
        };
        Self {
            cosine,
            sine,
            turn,
            scale,
            centre: level.middle(),
            paper_centre: window.middle(),
        }
    }

    /// A point on the plan, as it lies on the paper.
    pub(crate) fn paper(&self, p: Coord<f64>) -> Coord<f64> {
        let level = Coord {
            x: p.x * self.cosine - p.y * self.sine,
            y: p.x * self.sine + p.y * self.cosine,
        };
        let k = self.scale.per_inch();
        Coord {
            x: self.paper_centre.x + (level.x - self.centre.x) * k,
            y: self.paper_centre.y - (level.y - self.centre.y) * k,
        }
    }

    /// A direction on the plan (radians, counter-clockwise) as a turn on paper: degrees, counter-clockwise.
    pub(crate) fn paper_degrees(&self, direction: f64) -> f64 {
        (direction + self.turn).to_degrees()
    }

    /// A unit vector on the plan as a unit vector on paper (y down).
    pub(crate) fn paper_vector(&self, v: Coord<f64>) -> Coord<f64> {
        Coord {
            x: v.x * self.cosine - v.y * self.sine,
            y: -(v.x * self.sine + v.y * self.cosine),
        }
    }

    /// Millimetres on paper for a length on the plan, inches.
    pub(crate) fn millimetres(&self, inches: f64) -> f64 {
        inches * self.scale.per_inch()
    }

    /// The scale.
    pub(crate) const fn scale(&self) -> Scale {
        self.scale
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_turn(walls: &[([f64; 2], [f64; 2])], degrees: f64) {
        let walls: Vec<_> = walls
            .iter()
            .map(|(a, b)| ((*a).into(), (*b).into()))
            .collect();
        let turn = level_turn(&walls).to_degrees();
        assert!((turn - degrees).abs() < 1e-9, "turned by {turn}");
    }

    #[test]
    fn a_level_building_is_not_turned() {
        check_turn(
            &[([0.0, 0.0], [400.0, 0.0]), ([400.0, 0.0], [400.0, 200.0])],
            0.0,
        );
        assert_eq!(level_turn(&[]), 0.0);
    }

    #[test]
    fn a_building_at_fifteen_degrees_is_brought_level_though_its_bay_is_not() {
        let at = |degrees: f64, length: f64| {
            let (s, c) = degrees.to_radians().sin_cos();
            ([0.0, 0.0], [length * c, length * s])
        };
        check_turn(&[at(15.0, 300.0), at(105.0, 200.0), at(60.0, 90.0)], -15.0);
        check_turn(&[at(-15.0, 300.0), at(75.0, 200.0)], 15.0);
    }

    #[test]
    fn the_greatest_standard_scale_that_fits_is_taken() {
        // 44 ft x 28 ft into 720 x 420 mm: 1/2" = 1'-0" gives 558.8 x 355.6 mm, 3/4" would need 838 mm.
        let points = [Coord { x: 0.0, y: 0.0 }, Coord { x: 528.0, y: 336.0 }];
        let view = PlanView::fit(
            &points,
            0.0,
            &Area::new(0.0, 0.0, 720.0, 420.0),
            &crate::documents::paper::scale::ARCHITECT,
        );
        assert_eq!(view.scale().name, "1/2\" = 1'-0\"");
        let low = view.paper(points[0]);
        let high = view.paper(points[1]);
        assert!((high.x - low.x - 558.8).abs() < 1e-9 && (low.y - high.y - 355.6).abs() < 1e-9);
    }
}
