//! Lays an earlier building over a new one: the one motion that brings most of its walls and openings onto walls and openings.
//!
//! ```text
//!   every old wall against every new one: left ends together, right ends together ──► a motion each
//!   score of a motion: length of old walls that then lie on new ones, and width of openings; the best wins, of equals the least motion
//! ```
//!
//! Openings tell apart what walls alone do not: a rectangle lies over itself turned half round.
//!
//! A plan comes back with another origin, or turned; walls have moved, gone, come. No single wall is trusted: what most of the
//! building agrees on is the motion. Cost grows with the square of the number of walls tried, so the longest are.
//! Method: exhaustive pose voting (pose clustering), from memory.

use super::issued::IssuedWall;
pub use crate::geometry::Motion;
use crate::geometry::{Face, laid};

/// Only this many walls of each building propose motions and vote: the longest.
const N_VOTERS: usize = 24;
/// Below this share of the longer building's walls on each other, they are two buildings: a small one lies on a corner of any.
const LEAST_SHARE: f64 = 0.4;

/// The motion that turns `from` into `to` (unit vectors) and takes point `a` to `b`.
fn bringing(from: [f64; 2], to: [f64; 2], a: [f64; 2], b: [f64; 2]) -> Motion {
    let turn = Motion {
        cos: from[0] * to[0] + from[1] * to[1],
        sin: from[0] * to[1] - from[1] * to[0],
        shift: [0.0, 0.0],
    };
    // What is turned by less than rounding is not turned at all.
    let turn = if turn.sin.abs() < 1e-7 && turn.cos > 0.0 {
        Motion::NONE
    } else {
        turn
    };
    let moved = turn.turn(a);
    Motion {
        shift: [b[0] - moved[0], b[1] - moved[1]],
        ..turn
    }
}

/// The motion that lays `old` over `new`; `None` when too little of the old building then lies on walls.
pub(super) fn register(old: &[IssuedWall], new: &[IssuedWall]) -> Option<Motion> {
    let openings = |walls: &[IssuedWall]| walls.iter().flat_map(holes).collect::<Vec<Face>>();
    let (own_holes, base_holes) = (openings(old), openings(new));
    let (old, new) = (longest(old), longest(new));
    let length = |walls: &[&IssuedWall]| walls.iter().map(|wall| wall.length).sum::<f64>();
    let total = length(&old).max(length(&new));
    let faces = |walls: &[&IssuedWall]| walls.iter().map(|it| face(it)).collect::<Vec<Face>>();
    let (own, base) = (faces(&old), faces(&new));
    let mut best: Option<(f64, Motion)> = None;
    let proposals = std::iter::once(Motion::NONE).chain(old.iter().flat_map(|a| {
        new.iter().flat_map(move |b| {
            [0.0, 1.0].map(|end| {
                bringing(
                    a.along,
                    b.along,
                    at(a, end * a.length),
                    at(b, end * b.length),
                )
            })
        })
    }));
    for motion in proposals {
        // To a tenth of an inch, so that rounding decides nothing; then the least motion, the first of equals.
        let score = laid(&own, &base, &motion) + laid(&own_holes, &base_holes, &motion);
        let score = (score * 10.0).round();
        if best
            .as_ref()
            .is_none_or(|(least, held)| (score, -size(&motion)) > (*least, -size(held)))
        {
            best = Some((score, motion));
        }
    }
    best.map(|(_, motion)| motion)
        .filter(|motion| laid(&own, &base, motion) >= total * LEAST_SHARE && total > 0.0)
}

/// How far a motion is from none: degrees and feet count alike.
fn size(motion: &Motion) -> f64 {
    let degrees = motion.degrees().abs();
    (degrees + motion.shift[0].hypot(motion.shift[1]) / 12.0) * 1e3
}

fn longest(walls: &[IssuedWall]) -> Vec<&IssuedWall> {
    let mut sorted: Vec<&IssuedWall> = walls.iter().collect();
    sorted.sort_by(|a, b| b.length.total_cmp(&a.length));
    sorted.truncate(N_VOTERS);
    sorted
}

fn at(wall: &IssuedWall, along: f64) -> [f64; 2] {
    [
        wall.origin[0] + wall.along[0] * along,
        wall.origin[1] + wall.along[1] * along,
    ]
}

fn face(wall: &IssuedWall) -> Face {
    Face {
        start: at(wall, 0.0),
        end: at(wall, wall.length),
    }
}

/// Openings of a wall, each a face in it.
fn holes(wall: &IssuedWall) -> impl Iterator<Item = Face> + '_ {
    wall.openings.iter().map(|[from, to]| Face {
        start: at(wall, *from),
        end: at(wall, *to),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A building's walls, counter-clockwise on paper, from its outside corners.
    fn building(corners: &[[f64; 2]], turn_deg: f64, shift: [f64; 2]) -> Vec<IssuedWall> {
        let motion = Motion {
            cos: turn_deg.to_radians().cos(),
            sin: turn_deg.to_radians().sin(),
            shift,
        };
        let corners: Vec<[f64; 2]> = corners.iter().map(|p| motion.point(*p)).collect();
        (0..corners.len())
            .map(|i| {
                let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
                let length = (b[0] - a[0]).hypot(b[1] - a[1]);
                IssuedWall {
                    origin: [a[0], a[1], 0.0],
                    along: [(b[0] - a[0]) / length, (b[1] - a[1]) / length],
                    length,
                    ..IssuedWall::default()
                }
            })
            .collect()
    }

    const HOUSE: [[f64; 2]; 6] = [
        [0.0, 0.0],
        [480.0, 0.0],
        [480.0, 200.0],
        [300.0, 200.0],
        [300.0, 360.0],
        [0.0, 360.0],
    ];

    #[test]
    fn the_same_plan_is_not_moved() {
        let house = building(&HOUSE, 0.0, [0.0, 0.0]);
        assert_eq!(register(&house, &house), Some(Motion::NONE));
    }

    #[test]
    fn a_turned_and_moved_plan_with_one_wing_longer_is_found() {
        let mut longer = HOUSE;
        longer[1][0] += 48.0;
        longer[2][0] += 48.0;
        let old = building(&HOUSE, 0.0, [0.0, 0.0]);
        let new = building(&longer, 90.0, [1000.0, -250.0]);
        let motion = register(&old, &new).unwrap();
        let corner = motion.point([0.0, 360.0]);
        assert!((corner[0] - 640.0).abs() < 1e-6, "{corner:?}");
        assert!((corner[1] + 250.0).abs() < 1e-6, "{corner:?}");
    }

    #[test]
    fn openings_tell_which_way_round_a_turned_rectangle_came() {
        let corners = [[0.0, 0.0], [528.0, 0.0], [528.0, 336.0], [0.0, 336.0]];
        let mut old = building(&corners, 0.0, [0.0, 0.0]);
        let openings = [
            vec![[30.0, 66.0], [300.0, 336.0]],
            vec![[30.0, 66.0]],
            vec![[42.0, 78.0], [234.0, 258.0]],
            vec![[60.0, 96.0], [264.0, 300.0]],
        ];
        for (wall, openings) in old.iter_mut().zip(openings) {
            wall.openings = openings;
        }
        for (turn, corner) in [(90.0, [664.0, -250.0]), (270.0, [1336.0, -250.0])] {
            let mut new = building(&corners, turn, [1000.0, -250.0]);
            for (wall, was) in new.iter_mut().zip(&old) {
                wall.openings.clone_from(&was.openings);
            }
            // One more window, and another two feet farther.
            new[0].openings.push([190.0, 226.0]);
            new[2].openings[1] = [210.0, 234.0];
            let motion = register(&old, &new).unwrap();
            let there = motion.point([0.0, 336.0]);
            assert!((there[0] - corner[0]).abs() < 1e-6, "{turn}: {there:?}");
            assert!((there[1] - corner[1]).abs() < 1e-6, "{turn}: {there:?}");
        }
    }

    #[test]
    fn another_building_is_not_forced_onto_this_one() {
        let other = building(
            &[[0.0, 0.0], [90.0, 31.0], [60.0, 150.0], [-40.0, 77.0]],
            0.0,
            [0.0, 0.0],
        );
        let small = building(&HOUSE, 0.0, [0.0, 0.0]);
        assert_eq!(register(&small, &other), None);
    }
}
