//! Curves seen from above: which of them are circles, and arcs for those that are not.

use crate::drawing::entities::shape::Nurbs;
use crate::drawing::entities::splines::{smooth_breaks, spline_point};
use crate::drawing::model::Curve;
use geo::Coord;
use std::f64::consts::{PI, TAU};

/// A curve in the drawing's plane, still in the file's units.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) enum FlatCurve {
    /// A line or an arc.
    Plain(Curve),
    /// Part of an ellipse: centre, two conjugate half axes, start, sweep (either way).
    Ellipse([Coord<f64>; 3], f64, f64),
    /// A spline whose control points lie in the plane.
    Spline(Box<Nurbs>),
}

/// How far two half axes may differ, as a share, for their ellipse to be a circle: far above rounding in turned blocks,
/// far below any scale that a person meant.
const SAME_AXES: f64 = 1e-9;

/// Part of the curve `centre + u cos t + v sin t`: an arc, a line when seen edge on, else an ellipse.
///
/// - `start` and `sweep` are in radians of `t`; `sweep` may have either sign.
/// - Returns `None` when nothing remains of it.
pub(in crate::drawing) fn flat_ellipse(
    centre: Coord<f64>,
    u: Coord<f64>,
    v: Coord<f64>,
    start: f64,
    sweep: f64,
) -> Option<FlatCurve> {
    let (length_u, length_v) = (u.x.hypot(u.y), v.x.hypot(v.y));
    let longest = length_u.max(length_v);
    if !longest.is_finite() || longest <= 0.0 {
        return None;
    }
    let turn = u.x * v.y - u.y * v.x;
    let along = u.x * v.x + u.y * v.y;
    if turn.abs() <= longest * longest * SAME_AXES {
        return edge_on(centre, u, v, start, sweep);
    }
    if (length_u - length_v).abs() <= longest * SAME_AXES
        && along.abs() <= longest * longest * SAME_AXES
    {
        let sign = turn.signum();
        return Some(FlatCurve::Plain(Curve::Arc {
            centre,
            radius: length_u,
            start_angle: u.y.atan2(u.x) + sign * start,
            sweep: (sign * sweep).clamp(-TAU, TAU),
        }));
    }
    Some(FlatCurve::Ellipse([centre, u, v], start, sweep))
}

/// A flat ellipse is the line between its extremes.
fn edge_on(
    centre: Coord<f64>,
    u: Coord<f64>,
    v: Coord<f64>,
    start: f64,
    sweep: f64,
) -> Option<FlatCurve> {
    let at = |t: f64| point_on(&[centre, u, v], t);
    let axis = if u.x.hypot(u.y) >= v.x.hypot(v.y) {
        u
    } else {
        v
    };
    let place = |point: Coord<f64>| (point.x - centre.x) * axis.x + (point.y - centre.y) * axis.y;
    // Extremes lie at the ends, or where the derivative vanishes.
    let peak = place(at(PI / 2.0)).atan2(place(at(0.0)));
    let mut points = vec![at(start), at(start + sweep)];
    let (low, high) = if sweep < 0.0 {
        (start + sweep, start)
    } else {
        (start, start + sweep)
    };
    for half_turn in -3_i32..=3 {
        let t = peak + f64::from(half_turn) * PI;
        if t > low && t < high {
            points.push(at(t));
        }
    }
    let first = points
        .iter()
        .copied()
        .min_by(|a, b| place(*a).total_cmp(&place(*b)))?;
    let last = points
        .iter()
        .copied()
        .max_by(|a, b| place(*a).total_cmp(&place(*b)))?;
    (first != last).then_some(FlatCurve::Plain(Curve::Line {
        start: first,
        end: last,
    }))
}

fn point_on(axes: &[Coord<f64>; 3], t: f64) -> Coord<f64> {
    let [centre, u, v] = axes;
    let (sin, cos) = t.sin_cos();
    Coord {
        x: centre.x + u.x * cos + v.x * sin,
        y: centre.y + u.y * cos + v.y * sin,
    }
}

/// The arc of a bulge, in the plane of its two ends: centre, radius, start angle, sweep; `None` for a straight segment.
pub(in crate::drawing) fn bulge_arc(
    from: [f64; 2],
    to: [f64; 2],
    bulge: f64,
) -> Option<([f64; 2], f64, f64, f64)> {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let chord = dx.hypot(dy);
    // A sagitta below a millionth of the chord is a straight line that was written as an arc.
    if bulge.abs() < 2e-6 || chord <= 0.0 {
        return None;
    }
    let shift = (1.0 - bulge * bulge) / (4.0 * bulge);
    let centre = [
        from[0] + dx / 2.0 - dy * shift,
        from[1] + dy / 2.0 + dx * shift,
    ];
    let radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
    let start = (from[1] - centre[1]).atan2(from[0] - centre[0]);
    Some((centre, radius, start, 4.0 * bulge.atan()))
}

/// Turns a flat curve into lines and arcs, in the same units; the flag is true for those that only come near it.
pub(in crate::drawing) fn plain_curves(curve: &FlatCurve, tolerance: f64) -> Vec<(Curve, bool)> {
    match curve {
        FlatCurve::Plain(curve) => vec![(*curve, false)],
        FlatCurve::Ellipse(axes, start, sweep) => {
            let mut fit = Fit::new(|t| point_on(axes, t), tolerance);
            // Quarters bend one way, which the halving relies on.
            let pieces = if sweep.abs() > PI { 4 } else { 2 };
            for piece in 0..pieces {
                let share = |number: i32| start + sweep * f64::from(number) / f64::from(pieces);
                fit.piece(share(piece), share(piece + 1), 0);
            }
            fit.done()
        }
        FlatCurve::Spline(nurbs) => {
            let breaks = smooth_breaks(nurbs);
            let mut fit = Fit::new(|t| spline_point(nurbs, t), tolerance);
            for (from, to) in breaks.iter().zip(breaks.iter().skip(1)) {
                if !fit.whole_circle(*from, *to) {
                    fit.piece(*from, *to, 0);
                }
            }
            fit.done()
        }
    }
}

/// Fits arcs and chords to a curve.
struct Fit<F: Fn(f64) -> Coord<f64>> {
    at: F,
    tolerance: f64,
    out: Vec<(Curve, bool)>,
}

/// Halvings after which a piece is drawn as a chord whatever it looks like: a 4096th of the curve.
const MOST_HALVINGS: u32 = 12;

/// Points at which a piece is compared with the curve.
const SAMPLES: i32 = 16;

impl<F: Fn(f64) -> Coord<f64>> Fit<F> {
    fn new(at: F, tolerance: f64) -> Self {
        Self {
            at,
            tolerance,
            out: Vec::new(),
        }
    }

    fn done(self) -> Vec<(Curve, bool)> {
        self.out
    }

    fn samples(&self, from: f64, to: f64) -> impl Iterator<Item = Coord<f64>> {
        (0..=SAMPLES).map(move |number| {
            (self.at)(from + (to - from) * f64::from(number) / f64::from(SAMPLES))
        })
    }

    /// Draws a closed curve that is a circle as one.
    fn whole_circle(&mut self, from: f64, to: f64) -> bool {
        let (start, end) = ((self.at)(from), (self.at)(to));
        if distance(start, end) > self.tolerance {
            return false;
        }
        let third = (to - from) / 3.0;
        let Some((centre, radius)) =
            circle_through(start, (self.at)(from + third), (self.at)(to - third))
        else {
            return false;
        };
        if radius <= self.tolerance
            || self
                .samples(from, to)
                .any(|point| (distance(point, centre) - radius).abs() > self.tolerance)
        {
            return false;
        }
        let angle = (start.y - centre.y).atan2(start.x - centre.x);
        let quarter = (self.at)(from + third / 2.0);
        let turn = cross(minus(start, centre), minus(quarter, centre));
        let arc = Curve::Arc {
            centre,
            radius,
            start_angle: angle,
            sweep: if turn < 0.0 { -TAU } else { TAU },
        };
        self.out.push((arc, true));
        true
    }

    fn piece(&mut self, from: f64, to: f64, halvings: u32) {
        let middle = f64::midpoint(from, to);
        let (start, between, end) = ((self.at)(from), (self.at)(middle), (self.at)(to));
        let chord = Curve::Line { start, end };
        let fits = |curve: &Curve| {
            self.samples(from, to)
                .all(|point| away(curve, point) <= self.tolerance)
        };
        let is_last = halvings >= MOST_HALVINGS;
        if start != end && (is_last || fits(&chord)) {
            self.out.push((chord, true));
            return;
        }
        if is_last {
            return;
        }
        if let Some(arc) = arc_through(start, between, end)
            && fits(&arc)
        {
            self.out.push((arc, true));
            return;
        }
        self.piece(from, middle, halvings + 1);
        self.piece(middle, to, halvings + 1);
    }
}

/// Distance of a point from a line's or an arc's own curve.
fn away(curve: &Curve, point: Coord<f64>) -> f64 {
    match curve {
        Curve::Line { start, end } => {
            let along = minus(*end, *start);
            let length = along.x.hypot(along.y);
            (cross(along, minus(point, *start)) / length).abs()
        }
        Curve::Arc { centre, radius, .. } => (distance(point, *centre) - radius).abs(),
    }
}

fn minus(a: Coord<f64>, b: Coord<f64>) -> Coord<f64> {
    Coord {
        x: a.x - b.x,
        y: a.y - b.y,
    }
}

fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

fn distance(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

/// Centre and radius of the circle through three points; `None` when they lie on a line.
pub(in crate::drawing) fn circle_through(
    a: Coord<f64>,
    b: Coord<f64>,
    c: Coord<f64>,
) -> Option<(Coord<f64>, f64)> {
    let (p, q) = (minus(b, a), minus(c, a));
    let twice = 2.0 * cross(p, q);
    let (p_square, q_square) = (p.x * p.x + p.y * p.y, q.x * q.x + q.y * q.y);
    if twice.abs() <= (p_square + q_square) * 1e-12 {
        return None;
    }
    let offset = Coord {
        x: (q.y * p_square - p.y * q_square) / twice,
        y: (p.x * q_square - q.x * p_square) / twice,
    };
    let centre = Coord {
        x: a.x + offset.x,
        y: a.y + offset.y,
    };
    Some((centre, offset.x.hypot(offset.y)))
}

pub(in crate::drawing) fn arc_through(
    a: Coord<f64>,
    b: Coord<f64>,
    c: Coord<f64>,
) -> Option<Curve> {
    let (centre, radius) = circle_through(a, b, c)?;
    let angle = |point: Coord<f64>| (point.y - centre.y).atan2(point.x - centre.x);
    let start_angle = angle(a);
    let turn = cross(minus(b, a), minus(c, b)).signum();
    let sweep = turn * (turn * (angle(c) - start_angle)).rem_euclid(TAU);
    Some(Curve::Arc {
        centre,
        radius,
        start_angle,
        sweep,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> Coord<f64> {
        Coord { x, y }
    }

    #[test]
    fn a_turned_and_mirrored_circle_stays_an_arc() {
        let arc = flat_ellipse(at(5.0, 5.0), at(0.0, 2.0), at(2.0, 0.0), 0.0, PI / 2.0);
        let Some(FlatCurve::Plain(Curve::Arc {
            radius,
            start_angle,
            sweep,
            ..
        })) = arc
        else {
            panic!("not an arc: {arc:?}");
        };
        assert_eq!(radius, 2.0);
        assert_eq!(start_angle, PI / 2.0);
        assert_eq!(sweep, -PI / 2.0);
    }

    #[test]
    fn a_circle_seen_edge_on_is_a_line() {
        let line = flat_ellipse(at(0.0, 0.0), at(3.0, 0.0), at(0.0, 0.0), 0.0, TAU);
        assert_eq!(
            line,
            Some(FlatCurve::Plain(Curve::Line {
                start: at(-3.0, 3.0 * PI.sin() * 0.0),
                end: at(3.0, 0.0)
            }))
        );
    }

    #[test]
    fn a_bulge_of_one_is_half_a_circle() {
        let (centre, radius, start, sweep) = bulge_arc([0.0, 0.0], [2.0, 0.0], 1.0).unwrap();
        assert_eq!((centre, radius), ([1.0, 0.0], 1.0));
        assert!((start.abs() - PI).abs() < 1e-12 && (sweep - PI).abs() < 1e-12);
        assert!(bulge_arc([0.0, 0.0], [2.0, 0.0], 0.0).is_none());
    }

    /// Every sample of the curve lies within the tolerance of the pieces, and they join end to end.
    #[track_caller]
    fn check(curve: &FlatCurve, true_points: &[Coord<f64>], tolerance: f64) -> usize {
        let pieces = plain_curves(curve, tolerance);
        for point in true_points {
            let nearest = pieces
                .iter()
                .map(|(piece, _)| away(piece, *point))
                .fold(f64::INFINITY, f64::min);
            assert!(nearest <= tolerance * 1.2, "{point:?} is {nearest} away");
        }
        pieces.len()
    }

    #[test]
    fn an_ellipse_is_drawn_by_few_arcs() {
        let axes = [at(100.0, 50.0), at(60.0, 0.0), at(0.0, 30.0)];
        let points: Vec<_> = (0..200)
            .map(|n| point_on(&axes, f64::from(n) * TAU / 200.0))
            .collect();
        let count = check(&FlatCurve::Ellipse(axes, 0.0, TAU), &points, 1.0 / 128.0);
        assert!((8..=64).contains(&count), "{count}");
    }
}
