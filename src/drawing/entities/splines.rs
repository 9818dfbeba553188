//! Splines: points on them, where they bend sharply, and the one through given points.

use crate::drawing::entities::affine::{minus, norm, plus};
use crate::drawing::entities::shape::{Nurbs, Space};
use geo::Coord;

/// Parameters between which a spline is smooth: its ends, and its knots as multiple as its degree.
pub(super) fn smooth_breaks(nurbs: &Nurbs) -> Vec<f64> {
    let degree = nurbs.degree;
    let inner = nurbs
        .knots
        .get(degree..nurbs.knots.len().saturating_sub(degree))
        .unwrap_or_default();
    let (Some(&first), Some(&last)) = (inner.first(), inner.last()) else {
        return Vec::new();
    };
    let mut breaks = vec![first];
    for knot in inner.chunk_by(|a, b| a.total_cmp(b).is_eq()) {
        if let Some(&value) = knot.first()
            && value > first
            && value < last
            && knot.len() >= degree
        {
            breaks.push(value);
        }
    }
    breaks.push(last);
    breaks
}

/// A point of a spline (de Boor's algorithm in homogeneous coordinates).
pub(super) fn spline_point(nurbs: &Nurbs, t: f64) -> Coord<f64> {
    let degree = nurbs.degree;
    let last_span = nurbs.control.len().saturating_sub(1);
    // The span that holds t: the last knot not above it, within the curve's own range.
    let span = nurbs
        .knots
        .partition_point(|&knot| knot <= t)
        .saturating_sub(1)
        .clamp(degree, last_span.max(degree));
    let mut points: Vec<[f64; 3]> = (0..=degree)
        .filter_map(|number| {
            let at = span - degree + number;
            let [x, y, _] = *nurbs.control.get(at)?;
            let weight = *nurbs.weights.get(at)?;
            Some([x * weight, y * weight, weight])
        })
        .collect();
    let knot = |at: usize| nurbs.knots.get(at).copied().unwrap_or(t);
    for round in 1..=degree {
        for number in (round..=degree).rev() {
            let low = knot(span - degree + number);
            let high = knot(span + 1 + number - round);
            let share = if high > low {
                (t - low) / (high - low)
            } else {
                0.0
            };
            let (Some(&before), Some(here)) = (
                points.get(number - 1).copied().as_ref(),
                points.get_mut(number),
            ) else {
                continue;
            };
            for (part, earlier) in here.iter_mut().zip(before) {
                *part = earlier + (*part - earlier) * share;
            }
        }
    }
    match points.last() {
        Some([x, y, weight]) if *weight > 0.0 => Coord {
            x: x / weight,
            y: y / weight,
        },
        _ => Coord { x: 0.0, y: 0.0 },
    }
}

/// The cubic spline through points, chord lengths as parameters, natural at its ends; `None` for fewer than two points.
pub(super) fn through_points(points: &[Space], is_closed: bool) -> Option<Nurbs> {
    let mut points = points.to_vec();
    points.dedup();
    if is_closed && points.first() != points.last() {
        points.extend(points.first().copied());
    }
    if points.len() < 2 {
        return None;
    }
    let steps: Vec<f64> = points
        .windows(2)
        .map(|pair| norm(minus(pair[1], pair[0])))
        .collect();
    let tangents = natural_tangents(&points, &steps);
    let mut control = vec![points[0]];
    let mut knots = vec![0.0; 4];
    let mut parameter = 0.0;
    for (number, step) in steps.iter().enumerate() {
        let (Some(&from), Some(&to)) = (points.get(number), points.get(number + 1)) else {
            continue;
        };
        let tangent = |at: usize| tangents.get(at).copied().unwrap_or_default();
        control.push(plus(from, tangent(number), step / 3.0));
        control.push(plus(to, tangent(number + 1), -step / 3.0));
        control.push(to);
        parameter += step;
        knots.extend([parameter; 3]);
    }
    knots.push(parameter);
    Some(Nurbs {
        degree: 3,
        weights: vec![1.0; control.len()],
        knots,
        control,
    })
}

/// Derivatives at the points of a natural cubic spline (tridiagonal system, solved from both ends).
fn natural_tangents(points: &[Space], steps: &[f64]) -> Vec<Space> {
    let mut tangents = vec![[0.0; 3]; points.len()];
    for axis in [0_usize, 1, 2] {
        let values: Vec<f64> = points.iter().map(|point| point[axis]).collect();
        for (tangent, slope) in tangents.iter_mut().zip(natural_slopes(&values, steps)) {
            tangent[axis] = slope;
        }
    }
    tangents
}

/// The same along one axis.
fn natural_slopes(values: &[f64], steps: &[f64]) -> Vec<f64> {
    let last = values.len().saturating_sub(1);
    let step = |at: usize| steps.get(at).copied().unwrap_or(1.0);
    let chord = |at: usize| match (values.get(at), values.get(at + 1)) {
        (Some(a), Some(b)) => (b - a) / step(at),
        _ => 0.0,
    };
    // Forwards: each row keeps what is above its diagonal and its right side, the part below eliminated.
    let mut rows: Vec<(f64, f64)> = Vec::with_capacity(values.len());
    for row in 0..values.len() {
        let (below, diagonal, above, value) = if row == 0 {
            (0.0, 2.0, 1.0, 3.0 * chord(0))
        } else if row == last {
            (1.0, 2.0, 0.0, 3.0 * chord(row - 1))
        } else {
            let (before, after) = (step(row - 1), step(row));
            (
                after,
                2.0 * (before + after),
                before,
                3.0 * (after * chord(row - 1) + before * chord(row)),
            )
        };
        let (upper, right) = rows.last().copied().unwrap_or((0.0, 0.0));
        let pivot = diagonal - below * upper;
        rows.push((above / pivot, (value - below * right) / pivot));
    }
    // Backwards.
    let mut slopes: Vec<f64> = rows
        .iter()
        .rev()
        .scan(0.0, |later, (upper, right)| {
            *later = right - upper * *later;
            Some(*later)
        })
        .collect();
    slopes.reverse();
    slopes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::entities::curves::{FlatCurve, plain_curves};
    use crate::drawing::model::Curve;
    use std::f64::consts::PI;

    fn at(x: f64, y: f64) -> Coord<f64> {
        Coord { x, y }
    }

    #[test]
    fn a_rational_spline_of_a_quarter_circle_is_one_arc() {
        // The quadratic with weights 1, cos 45°, 1 is an exact quarter circle (Piegl and Tiller, The NURBS Book, 7.3).
        let nurbs = Nurbs {
            degree: 2,
            knots: vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0],
            control: vec![[10.0, 0.0, 0.0], [10.0, 10.0, 0.0], [0.0, 10.0, 0.0]],
            weights: vec![1.0, std::f64::consts::FRAC_1_SQRT_2, 1.0],
        };
        let pieces = plain_curves(&FlatCurve::Spline(Box::new(nurbs)), 1e-6);
        let [
            (
                Curve::Arc {
                    centre,
                    radius,
                    sweep,
                    ..
                },
                true,
            ),
        ] = pieces.as_slice()
        else {
            panic!("{pieces:?}");
        };
        assert!(
            centre.x.abs() < 1e-9
                && (radius - 10.0).abs() < 1e-9
                && (sweep - PI / 2.0).abs() < 1e-9
        );
    }

    #[test]
    fn a_spline_of_degree_one_keeps_its_corners() {
        let nurbs = Nurbs {
            degree: 1,
            knots: vec![0.0, 0.0, 1.0, 2.0, 2.0],
            control: vec![[0.0; 3], [10.0, 0.0, 0.0], [10.0, 5.0, 0.0]],
            weights: vec![1.0; 3],
        };
        let pieces = plain_curves(&FlatCurve::Spline(Box::new(nurbs)), 0.01);
        assert_eq!(
            pieces,
            [
                (
                    Curve::Line {
                        start: at(0.0, 0.0),
                        end: at(10.0, 0.0)
                    },
                    true
                ),
                (
                    Curve::Line {
                        start: at(10.0, 0.0),
                        end: at(10.0, 5.0)
                    },
                    true
                ),
            ]
        );
    }

    #[test]
    fn a_spline_through_points_meets_them() {
        let points = [
            [0.0; 3],
            [10.0, 5.0, 0.0],
            [20.0, 0.0, 0.0],
            [30.0, 9.0, 0.0],
        ];
        let nurbs = through_points(&points, false).unwrap();
        assert_eq!(nurbs.knots.len(), nurbs.control.len() + 4);
        let steps = nurbs.knots.iter().skip(3).step_by(3);
        for (knot, point) in steps.zip(&points) {
            let met = spline_point(&nurbs, *knot);
            assert!((met.x - point[0]).hypot(met.y - point[1]) < 1e-9, "{met:?}");
        }
        assert!(through_points(&[[1.0; 3], [1.0; 3]], false).is_none());
    }
}
