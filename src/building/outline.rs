//! An outline as drawn, reduced to its true corners: still in the survey world.

use crate::geometry::Frame;
use crate::geometry::tolerance::{SHARED_FACE, SQUARE_ANGLE_DEG};
use geo::Coord;

/// The corners of an outline without those that are none: doubled points, and points on a straight line.
///
/// - `outline`: closed, the first point not repeated.
pub(super) fn true_corners(outline: &[Coord<f64>]) -> Vec<Coord<f64>> {
    let mut points: Vec<Coord<f64>> = Vec::with_capacity(outline.len());
    for point in outline {
        if points
            .last()
            .is_none_or(|last| distance(*last, *point) > SHARED_FACE)
        {
            points.push(*point);
        }
    }
    while points.len() > 3
        && matches!((points.first(), points.last()), (Some(a), Some(b)) if distance(*a, *b) <= SHARED_FACE)
    {
        points.pop();
    }
    let mut index = 0;
    while points.len() > 3 && index < points.len() {
        if is_straight(&points, index) {
            points.remove(index);
            index = index.saturating_sub(1);
        } else {
            index += 1;
        }
    }
    points
}

fn neighbours(points: &[Coord<f64>], index: usize) -> Option<[Coord<f64>; 3]> {
    let n_points = points.len();
    Some([
        *points.get((index + n_points - 1) % n_points)?,
        *points.get(index)?,
        *points.get((index + 1) % n_points)?,
    ])
}

/// True when the point lies on the line through its neighbours, between them.
fn is_straight(points: &[Coord<f64>], index: usize) -> bool {
    let Some([before, here, after]) = neighbours(points, index) else {
        return false;
    };
    let Some(frame) = Frame::from_points(before, after) else {
        return false;
    };
    let (along, out) = frame.local(here);
    let on_line = out.abs() <= SHARED_FACE && along > 0.0 && along < distance(before, after);
    on_line || are_one_square_face(before, here, after)
}

/// True when both faces at a corner run on in the same direction within the tolerances of a square face.
fn are_one_square_face(before: Coord<f64>, here: Coord<f64>, after: Coord<f64>) -> bool {
    let (Some(a), Some(b)) = (
        Frame::from_points(before, here),
        Frame::from_points(here, after),
    ) else {
        return true;
    };
    let sine = (a.along.x * b.along.y - a.along.y * b.along.x).abs();
    let cosine = a.along.x * b.along.x + a.along.y * b.along.y;
    cosine > 0.0 && sine <= SQUARE_ANGLE_DEG.to_radians().sin()
}

/// From one point to another, inches.
pub(super) fn distance(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (b.x - a.x).hypot(b.y - a.y)
}
