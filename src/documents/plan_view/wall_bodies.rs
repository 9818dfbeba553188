//! Walls as the bodies one sees on a plan: mitred where two meet, cut where openings are.

use super::PlanView;
use crate::documents::paper::Spot;
use crate::plan::{Opening, Storey, Wall};
use geo::{BooleanOps, Coord, LineString, MultiPolygon, Polygon, unary_union};
use std::collections::BTreeMap;

/// Two directions closer than this (sine of the angle between them) are one: their faces have no crossing to mitre at.
const PARALLEL: f64 = 1e-3;

/// A mitre longer than this many half thicknesses is drawn square instead: it would be a spike, not a corner.
const LONGEST_MITRE: f64 = 4.0;

/// One wall from face to face, openings closed, and what of it is solid.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct WallBody {
    /// Index into `Storey::walls`.
    pub(crate) wall: usize,
    /// The four corners: along the left face, back along the right one. Plan inches.
    pub(crate) quad: [Coord<f64>; 4],
}

/// The bodies of all walls that have a length and a thickness.
///
/// ```text
///   ┌───────────────────┬─        left face
///   │  wall            ╱          mitred where exactly one other wall of its kind ends at the same node,
///   └─────────────────╱  ─        else square: at the node where a run goes on, half a thickness past it at a corner of many
/// ```
pub(crate) fn wall_bodies(storey: &Storey) -> Vec<WallBody> {
    storey
        .walls
        .iter()
        .enumerate()
        .filter_map(|(index, wall)| {
            let along = direction(wall)?;
            let [start_left, start_right] = corners(storey, index, wall, wall.start, along);
            let [end_left, end_right] = corners(storey, index, wall, wall.end, along);
            Some(WallBody {
                wall: index,
                quad: [start_left, end_left, end_right, start_right],
            })
        })
        .collect()
}

/// The solid parts of some walls as one shape: their bodies joined, openings taken out, what `cut` covers taken out too.
pub(crate) fn solid_shape<'a>(
    storey: &Storey,
    bodies: impl IntoIterator<Item = &'a WallBody>,
    cut: &MultiPolygon<f64>,
) -> MultiPolygon<f64> {
    let mut openings: BTreeMap<&str, Vec<&Opening>> = BTreeMap::new();
    for opening in &storey.openings {
        openings.entry(&opening.wall).or_default().push(opening);
    }
    let solid = |body: &WallBody| {
        let wall = storey.walls.get(body.wall)?;
        let own = openings.get(wall.id.as_str()).into_iter().flatten();
        let holes: Vec<_> = own
            .filter_map(|opening| opening_quad(wall, opening))
            .map(|quad| polygon(&quad))
            .collect();
        let body = MultiPolygon::new(vec![polygon(&body.quad)]);
        Some(if holes.is_empty() {
            body
        } else {
            body.difference(&unary_union(&holes))
        })
    };
    let solids: Vec<_> = bodies.into_iter().filter_map(solid).collect();
    let shape = unary_union(&solids);
    if cut.0.is_empty() {
        shape
    } else {
        shape.difference(cut)
    }
}

/// Some bodies joined, openings closed.
pub(crate) fn closed_shape<'a>(
    bodies: impl IntoIterator<Item = &'a WallBody>,
) -> MultiPolygon<f64> {
    let quads: Vec<_> = bodies.into_iter().map(|it| polygon(&it.quad)).collect();
    unary_union(&quads)
}

/// Each polygon as its rings on paper, outer ring first.
pub(crate) fn shape_on_paper(shape: &MultiPolygon<f64>, view: &PlanView) -> Vec<Vec<Vec<Spot>>> {
    let ring = |line: &LineString<f64>| -> Vec<Spot> {
        let n_points = line.0.len().saturating_sub(1);
        line.0
            .iter()
            .take(n_points)
            .map(|p| view.paper(*p))
            .collect()
    };
    shape
        .0
        .iter()
        .map(|polygon| {
            std::iter::once(polygon.exterior())
                .chain(polygon.interiors())
                .map(ring)
                .collect()
        })
        .collect()
}

/// The hole an opening makes in its wall, a little deeper than the wall so that no film of wall is left.
fn opening_quad(wall: &Wall, opening: &Opening) -> Option<[Coord<f64>; 4]> {
    let along = direction(wall)?;
    let left = Coord {
        x: -along.y,
        y: along.x,
    } * (wall.thickness * 0.51);
    let from = wall.start + along * opening.near;
    let to = wall.start + along * (opening.near + opening.width);
    Some([from + left, to + left, to - left, from - left])
}

/// Unit vector along a wall; `None` when it has no length or no thickness.
pub(crate) fn direction(wall: &Wall) -> Option<Coord<f64>> {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    (length > 0.0 && length.is_finite() && wall.thickness > 0.0).then(|| d / length)
}

fn polygon(quad: &[Coord<f64>; 4]) -> Polygon<f64> {
    // Left face first runs clockwise; boolean operations want outer rings counter-clockwise.
    let ring: Vec<Coord<f64>> = if doubled_area(quad) < 0.0 {
        quad.iter().rev().copied().collect()
    } else {
        quad.to_vec()
    };
    Polygon::new(LineString::new(ring), Vec::new())
}

fn doubled_area(quad: &[Coord<f64>; 4]) -> f64 {
    let [a, b, c, d] = *quad;
    [(a, b), (b, c), (c, d), (d, a)]
        .iter()
        .map(|(p, q)| p.x * q.y - q.x * p.y)
        .sum()
}

/// Left and right corner of one end of a wall, left and right as seen along `along`.
fn corners(
    storey: &Storey,
    index: usize,
    wall: &Wall,
    node: Coord<f64>,
    along: Coord<f64>,
) -> [Coord<f64>; 2] {
    let half = wall.thickness / 2.0;
    let left = Coord {
        x: -along.y,
        y: along.x,
    };
    let is_end = node == wall.end;
    let outward = if is_end { along } else { along * -1.0 };
    let meeting: Vec<(&Wall, Coord<f64>)> = storey
        .walls
        .iter()
        .enumerate()
        .filter(|(other, it)| *other != index && it.is_exterior == wall.is_exterior)
        .filter_map(|(_, it)| {
            let reach = half.min(it.thickness / 2.0);
            let away = direction(it)?;
            if distance(it.start, node) <= reach {
                Some((it, away))
            } else if distance(it.end, node) <= reach {
                Some((it, away * -1.0))
            } else {
                None
            }
        })
        .collect();
    let square = |past: f64| {
        let middle = node + outward * past;
        [middle + left * half, middle - left * half]
    };
    match meeting.as_slice() {
        [] => square(0.0),
        [(other, away)] => {
            let turn = outward.x * away.y - outward.y * away.x;
            if turn.abs() < PARALLEL {
                return square(0.0);
            }
            // `away` leaves the node. Its left face seen that way meets our left face seen outward, and right meets right.
            let other_left = Coord {
                x: -away.y,
                y: away.x,
            };
            let our_left = Coord {
                x: -outward.y,
                y: outward.x,
            };
            let other_node = if distance(other.start, node) <= distance(other.end, node) {
                other.start
            } else {
                other.end
            };
            let crossing = |side: f64| {
                let p = node + our_left * (half * side);
                let q = other_node + other_left * (other.thickness / 2.0 * side);
                let d = q - p;
                p + outward * ((d.x * away.y - d.y * away.x) / turn)
            };
            let (ours_left, ours_right) = (crossing(1.0), crossing(-1.0));
            let longest = half.max(other.thickness / 2.0) * LONGEST_MITRE;
            if distance(ours_left, node) > longest || distance(ours_right, node) > longest {
                return square(0.0);
            }
            if is_end {
                [ours_left, ours_right]
            } else {
                [ours_right, ours_left]
            }
        }
        many => {
            let goes_on = many.iter().any(|(_, away)| {
                (outward.x * away.y - outward.y * away.x).abs() < PARALLEL
                    && outward.x * away.x + outward.y * away.y > 0.0
            });
            square(if goes_on { 0.0 } else { half })
        }
    }
}

fn distance(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Area as _;

    /// Centre lines of a ring of exterior walls, counter-clockwise, 6 in thick.
    fn ring(points: &[(f64, f64)]) -> Storey {
        let n = points.len();
        Storey {
            walls: (0..n)
                .map(|i| Wall {
                    id: format!("X{}", i + 1),
                    is_exterior: true,
                    start: points[i].into(),
                    end: points[(i + 1) % n].into(),
                    thickness: 6.0,
                    ..Wall::default()
                })
                .collect(),
            ..Storey::default()
        }
    }

    #[track_caller]
    fn check_area(storey: &Storey, square_inches: f64) {
        let bodies = wall_bodies(storey);
        let shape = solid_shape(storey, &bodies, &MultiPolygon::new(Vec::new()));
        let area = shape.unsigned_area();
        assert!((area - square_inches).abs() < 1e-3, "area {area}");
    }

    #[test]
    fn four_walls_make_a_frame_without_seams() {
        let storey = ring(&[(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)]);
        check_area(&storey, 306.0 * 206.0 - 294.0 * 194.0);
        let shape = solid_shape(
            &storey,
            &wall_bodies(&storey),
            &MultiPolygon::new(Vec::new()),
        );
        assert_eq!(shape.0.len(), 1);
    }

    #[test]
    fn a_corner_of_forty_five_degrees_is_mitred_on_both_faces() {
        // Centre line length times thickness: mitres add at one end what they take at the other face.
        let storey = ring(&[
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 100.0),
            (200.0, 200.0),
            (0.0, 200.0),
        ]);
        let perimeter = 300.0 + 100.0 + 100.0 * 2.0_f64.sqrt() + 200.0 + 200.0;
        check_area(&storey, perimeter * 6.0);
    }

    #[test]
    fn an_opening_takes_its_width_out_of_the_wall() {
        let mut storey = ring(&[(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)]);
        storey.openings.push(Opening {
            wall: "X1".to_owned(),
            near: 50.0,
            width: 36.0,
            ..Opening::default()
        });
        check_area(&storey, 1000.0 * 6.0 - 36.0 * 6.0);
    }
}
