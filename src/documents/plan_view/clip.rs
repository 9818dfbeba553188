//! Cuts lines and areas to an upright window, so that a sheet holds nothing that lies outside its frame.

use crate::documents::paper::Area;
use geo::Coord;

/// The part of a line inside a window; `None` when there is none.
///
/// Method: Liang and Barsky's parametric clipping (ACM Transactions on Graphics 3:1, 1984).
pub(crate) fn clip_line(
    start: Coord<f64>,
    end: Coord<f64>,
    window: &Area,
) -> Option<(Coord<f64>, Coord<f64>)> {
    let d = end - start;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let sides = [
        (-d.x, start.x - window.x0),
        (d.x, window.x1 - start.x),
        (-d.y, start.y - window.y0),
        (d.y, window.y1 - start.y),
    ];
    for (step, room) in sides {
        if step == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if step < 0.0 {
            enter = enter.max(room / step);
        } else {
            leave = leave.min(room / step);
        }
    }
    // Written so that a line with a coordinate that is no number is dropped as well.
    if enter <= leave && d.x.is_finite() && d.y.is_finite() {
        Some((start + d * enter, start + d * leave))
    } else {
        None
    }
}

/// The part of a ring inside a window; empty when there is none. A concave ring may keep seams along the window's edge.
///
/// Method: Sutherland and Hodgman's reentrant clipping (Communications of the ACM 17:1, 1974).
pub(crate) fn clip_ring(ring: &[Coord<f64>], window: &Area) -> Vec<Coord<f64>> {
    let mut points = ring.to_vec();
    let distances: [&dyn Fn(Coord<f64>) -> f64; 4] = [
        &|p| p.x - window.x0,
        &|p| window.x1 - p.x,
        &|p| p.y - window.y0,
        &|p| window.y1 - p.y,
    ];
    for inside_by in distances {
        let mut kept = Vec::with_capacity(points.len() + 4);
        let Some(mut last) = points.last().copied() else {
            return points;
        };
        for next in points {
            let (a, b) = (inside_by(last), inside_by(next));
            if (a < 0.0) != (b < 0.0) {
                kept.push(last + (next - last) * (a / (a - b)));
            }
            if b >= 0.0 {
                kept.push(next);
            }
            last = next;
        }
        points = kept;
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Area = Area::new(0.0, 0.0, 10.0, 10.0);

    #[test]
    fn a_line_across_the_window_is_cut_at_both_edges_and_one_beside_it_vanishes() {
        let at = |x, y| Coord { x, y };
        assert_eq!(
            clip_line(at(-5.0, 5.0), at(15.0, 5.0), &WINDOW),
            Some((at(0.0, 5.0), at(10.0, 5.0)))
        );
        assert_eq!(clip_line(at(-5.0, 11.0), at(15.0, 11.0), &WINDOW), None);
        assert_eq!(clip_line(at(f64::NAN, 1.0), at(2.0, 2.0), &WINDOW), None);
    }

    #[test]
    fn a_square_over_a_corner_keeps_its_quarter() {
        let at = |x, y| Coord { x, y };
        let square = [at(5.0, 5.0), at(15.0, 5.0), at(15.0, 15.0), at(5.0, 15.0)];
        let kept = clip_ring(&square, &WINDOW);
        let area: f64 = (0..kept.len())
            .map(|i| {
                let (a, b) = (kept[i], kept[(i + 1) % kept.len()]);
                (a.x * b.y - b.x * a.y) / 2.0
            })
            .sum();
        assert_eq!(area, 25.0);
    }
}
