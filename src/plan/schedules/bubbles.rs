//! Tags on a plan: short texts inside a circle, a hexagon or any other small closed shape.

use crate::drawing::{Curve, Drawing, Text};
use geo::Coord;

/// A bubble's edge stands within this many heights of its letters.
const REACH: f64 = 5.0;
/// Directions in which an edge is looked for, and in how many it must stand.
const RAYS: (u32, usize) = (12, 11);

/// True when a text stands in a small closed shape, or is an attribute of a block.
pub(super) fn is_in_bubble(drawing: &Drawing, text: &Text) -> bool {
    if text.tag.is_some() {
        return true;
    }
    let reach = REACH * text.height;
    let near: Vec<&Curve> = drawing
        .strokes
        .iter()
        .map(|stroke| &stroke.curve)
        .filter(|curve| is_near(curve, text.middle, reach))
        .collect();
    if near.is_empty() {
        return false;
    }
    let hits = (0..RAYS.0)
        .filter(|n| {
            let (sine, cosine) =
                (std::f64::consts::TAU * f64::from(*n) / f64::from(RAYS.0) + 0.1).sin_cos();
            let way = Coord { x: cosine, y: sine };
            near.iter()
                .any(|curve| is_hit(curve, text.middle, way, reach))
        })
        .count();
    hits >= RAYS.1
}

fn is_near(curve: &Curve, p: Coord<f64>, reach: f64) -> bool {
    match *curve {
        // A bubble is small: long lines are walls.
        Curve::Line { start, end } => {
            let d = end - start;
            let (low, high) = (
                Coord {
                    x: start.x.min(end.x),
                    y: start.y.min(end.y),
                },
                Coord {
                    x: start.x.max(end.x),
                    y: start.y.max(end.y),
                },
            );
            d.x.hypot(d.y) < 2.0 * reach
                && p.x > low.x - reach
                && p.x < high.x + reach
                && p.y > low.y - reach
                && p.y < high.y + reach
        }
        Curve::Arc { centre, radius, .. } => {
            let d = centre - p;
            radius < reach && d.x.hypot(d.y) < reach
        }
    }
}

/// Whether a ray from `p` meets a curve within `reach`.
fn is_hit(curve: &Curve, p: Coord<f64>, way: Coord<f64>, reach: f64) -> bool {
    match *curve {
        Curve::Line { start, end } => {
            let (d, r) = (end - start, start - p);
            let det = way.x * d.y - way.y * d.x;
            if det.abs() < 1e-9 {
                return false;
            }
            let t = (r.x * d.y - r.y * d.x) / det;
            let u = (r.x * way.y - r.y * way.x) / det;
            t > 0.0 && t <= reach && (-0.02..=1.02).contains(&u)
        }
        Curve::Arc {
            centre,
            radius,
            start_angle,
            sweep,
        } => {
            let r = p - centre;
            let b = r.x * way.x + r.y * way.y;
            let c = r.x * r.x + r.y * r.y - radius * radius;
            let root = b * b - c;
            if root < 0.0 {
                return false;
            }
            [-b - root.sqrt(), -b + root.sqrt()].into_iter().any(|t| {
                if t <= 0.0 || t > reach {
                    return false;
                }
                let q = r + way * t;
                let turn = (q.y.atan2(q.x) - start_angle) * sweep.signum();
                turn.rem_euclid(std::f64::consts::TAU) <= sweep.abs() + 0.02
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{SourceIndex, Stroke};

    fn text() -> Text {
        Text {
            content: "3".to_owned(),
            at: (0.0, 0.0).into(),
            middle: (0.0, 0.0).into(),
            height: 6.0,
            angle: 0.0,
            tag: None,
            is_underlined: false,
            placement: None,
            source: SourceIndex(0),
        }
    }

    fn in_curves(curves: Vec<Curve>) -> bool {
        let drawing = Drawing {
            strokes: curves
                .into_iter()
                .map(|curve| Stroke {
                    curve,
                    source: SourceIndex(0),
                    part: 0,
                    is_face: false,
                    is_approximate: false,
                })
                .collect(),
            ..Drawing::default()
        };
        is_in_bubble(&drawing, &text())
    }

    fn polygon(n: u32, radius: f64) -> Vec<Curve> {
        let corner = |i: u32| -> Coord<f64> {
            let (sine, cosine) = (std::f64::consts::TAU * f64::from(i) / f64::from(n)).sin_cos();
            (radius * cosine, radius * sine).into()
        };
        (0..n)
            .map(|i| Curve::Line {
                start: corner(i),
                end: corner(i + 1),
            })
            .collect()
    }

    #[test]
    fn circles_hexagons_and_diamonds_are_bubbles_and_a_door_swing_is_none() {
        let circle = |sweep: f64| Curve::Arc {
            centre: (0.0, 0.0).into(),
            radius: 9.0,
            start_angle: 0.0,
            sweep,
        };
        assert!(in_curves(vec![circle(std::f64::consts::TAU)]));
        assert!(in_curves(polygon(6, 9.0)));
        assert!(in_curves(polygon(4, 12.0)));
        assert!(!in_curves(vec![circle(1.6)]));
        assert!(!in_curves(polygon(6, 9.0)[..4].to_vec()));
        assert!(!in_curves(vec![]));
    }
}
