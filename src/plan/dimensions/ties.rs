//! What the point of a dimension means: a face, a centre line, a jamb, the middle of an opening.
//!
//! ```text
//!        point ●│   the face is 1/4 in beside it
//!   ════════════╪═══════════
//! ```

use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::{Storey, Wall};
use geo::Coord;
use std::collections::BTreeMap;

/// What a point of a dimension is tied to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tie {
    pub(super) what: Tied,
    /// Where it is along the dimension's direction.
    pub(super) at: f64,
    /// How far the point lies from it along the direction, signed.
    pub(super) off: f64,
}

/// The kinds of things that dimensions measure to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tied {
    /// A face of a wall, or the face of one of its layers.
    Face {
        /// Index into the storey's walls.
        wall: usize,
    },
    /// The centre line of a wall.
    Centre {
        /// Index into the storey's walls.
        wall: usize,
    },
    /// A jamb.
    Jamb {
        /// Index into the storey's openings.
        opening: usize,
        /// True for the jamb nearer the wall's start.
        is_near: bool,
    },
    /// The middle of an opening.
    Middle {
        /// Index into the storey's openings.
        opening: usize,
    },
}

/// A point means what lies within this of it along its dimension, inches: farther, it means something else.
const REACH: f64 = 1.5;
/// Points of dimensions stand this far beyond the end of the wall they measure to, or off the wall whose openings they measure.
const ASIDE: f64 = 60.0;
/// Sine of the angle within which a wall is square to, or along, a dimension.
const SQUARE: f64 = 0.01;

fn dot(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.x + a.y * b.y
}

fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// Length and unit vector of a wall.
pub(super) fn along_of(wall: &Wall) -> Option<(f64, Coord<f64>)> {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    (length > 1e-6).then(|| (length, d / length))
}

/// A storey, with where on the sheet each of its walls may be meant by a point.
pub(super) struct Ties<'a> {
    pub storey: &'a Storey,
    walls: Nearby,
    /// The openings of each wall, by rising number.
    openings: BTreeMap<&'a str, Vec<usize>>,
}

impl<'a> Ties<'a> {
    /// Indexes the walls of a storey.
    pub(super) fn new(storey: &'a Storey) -> Self {
        let boxes = storey.walls.iter().enumerate().filter_map(|(i, wall)| {
            let layers: f64 = wall.layers.iter().map(|it| it.thickness).sum();
            let reach = ASIDE + 2.0 * REACH + wall.thickness + layers;
            Some((around(&[wall.start, wall.end], reach)?, i))
        });
        let walls = Nearby::new(boxes);
        let mut openings: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (i, opening) in storey.openings.iter().enumerate() {
            openings.entry(&opening.wall).or_default().push(i);
        }
        Self {
            storey,
            walls,
            openings,
        }
    }
}

/// What a point is tied to; `None` when nothing of the plan is near it.
///
/// - `direction`: unit vector in which the dimension measures.
pub(super) fn tie(ties: &Ties<'_>, point: Coord<f64>, direction: Coord<f64>) -> Option<Tie> {
    let storey = ties.storey;
    let own = dot(point, direction);
    let mut best: Option<(f64, u8, Tie)> = None;
    let mut offer = |what: Tied, at: f64, rank: u8| {
        let tie = Tie {
            what,
            at,
            off: own - at,
        };
        let off = tie.off.abs();
        // Things at one place are told apart by rank; a hair of rounding does not choose between them.
        let is_better = best.is_none_or(|(known, known_rank, _)| {
            off < known - 1e-4 || off < known + 1e-4 && rank < known_rank
        });
        if off <= REACH && is_better {
            best = Some((off, rank, tie));
        }
    };
    for index in ties.walls.sorted(&around(&[point], 0.0)?) {
        let wall = &storey.walls[index];
        let Some((length, along)) = along_of(wall) else {
            continue;
        };
        let to_point = point - wall.start;
        if dot(along, direction).abs() <= SQUARE {
            let s = dot(to_point, along);
            if s < -ASIDE || s > length + ASIDE {
                continue;
            }
            let centre = dot(wall.start + along * s.clamp(0.0, length), direction);
            let half = wall.thickness / 2.0;
            let mut faces = vec![-half, half];
            // Layers run from the right of the wall's direction to its left.
            let mut at = -half;
            for layer in &wall.layers {
                at += layer.thickness;
                faces.push(at);
            }
            let side = cross(along, direction).signum();
            for face in faces {
                offer(Tied::Face { wall: index }, centre + side * face, 1);
            }
            offer(Tied::Centre { wall: index }, centre, 2);
        } else if cross(along, direction).abs() <= SQUARE && cross(along, to_point).abs() <= ASIDE {
            let way = dot(along, direction).signum();
            let start = dot(wall.start, direction);
            for &number in ties.openings.get(wall.id.as_str()).into_iter().flatten() {
                let opening = &storey.openings[number];
                let at = |u: f64| start + way * u;
                for (u, is_near) in [(opening.near, true), (opening.near + opening.width, false)] {
                    let jamb = Tied::Jamb {
                        opening: number,
                        is_near,
                    };
                    offer(jamb, at(u), 0);
                }
                let middle = Tied::Middle { opening: number };
                offer(middle, at(opening.near + opening.width / 2.0), 0);
            }
        }
    }
    best.map(|(_, _, tie)| tie)
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::plan::Opening;

    /// Two walls 6 in thick, upright, with centre lines at 0 and 240, and one between them with an opening from 60 to 96.
    pub(in crate::plan::dimensions) fn storey() -> Storey {
        let wall = |id: &str, start: (f64, f64), end: (f64, f64)| Wall {
            id: id.to_owned(),
            start: start.into(),
            end: end.into(),
            thickness: 6.0,
            ..Wall::default()
        };
        Storey {
            id: "S1".to_owned(),
            walls: vec![
                wall("X1", (0.0, 0.0), (240.0, 0.0)),
                wall("X2", (240.0, 0.0), (240.0, 120.0)),
                wall("X3", (0.0, 120.0), (0.0, 0.0)),
            ],
            openings: vec![Opening {
                id: "O1".to_owned(),
                wall: "X1".to_owned(),
                near: 60.0,
                width: 36.0,
                centre: (78.0, 0.0).into(),
                ..Opening::default()
            }],
            ..Storey::default()
        }
    }

    #[track_caller]
    fn check(x: f64, expected: Option<(Tied, f64)>) {
        let level = Coord { x: 1.0, y: 0.0 };
        let found = tie(&Ties::new(&storey()), (x, -3.0).into(), level);
        assert_eq!(found.map(|it| (it.what, it.at)), expected);
    }

    #[test]
    fn a_point_is_tied_to_what_lies_nearest_along_its_dimension() {
        check(-3.0, Some((Tied::Face { wall: 2 }, -3.0)));
        check(0.0, Some((Tied::Centre { wall: 2 }, 0.0)));
        check(243.25, Some((Tied::Face { wall: 1 }, 243.0)));
        let jamb = |is_near| Tied::Jamb {
            opening: 0,
            is_near,
        };
        check(60.0, Some((jamb(true), 60.0)));
        check(95.5, Some((jamb(false), 96.0)));
        check(78.0, Some((Tied::Middle { opening: 0 }, 78.0)));
        check(150.0, None);
    }
}
