//! The order of erection: from a corner round the building, left to right as seen from outside.
//!
//! ```text
//!        ┌──────◄───────┐        The first panel stands in a corner. Every next one tilts up over the sole plate and slides
//!        │              ▲        left onto the spline of its neighbour: it needs room at its right. The last panel of a
//!        ▼              │        closed ring has that room only where its wall runs through at the corner of the first.
//!        └──────►───────┘
//! ```
//!
//! So the walk starts, where it can, at a corner whose left-hand wall runs through: of these at the lowest on the drawing,
//! then the leftmost.

use super::WallEnd;
use super::ring::{Chosen, Ring};
use crate::building::Building;
use crate::units::Length;

/// One ring or chain as it is walked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Walk {
    /// Walls in order of erection.
    pub(crate) walls: Vec<usize>,
    /// True when the last panel has no room to slide: every corner lacks a wall that runs through from the left.
    pub(crate) is_tight: bool,
}

/// All walks of the building: storey by storey, within a storey from the lowest start on the drawing.
pub(crate) fn walks(building: &Building, chosen: &[Chosen], rings: &[Ring]) -> Vec<Walk> {
    let mut walks: Vec<(StartKey, Walk)> = rings
        .iter()
        .map(|ring| {
            let walk = walk(building, chosen, ring);
            let first = walk.walls.first().copied().unwrap_or_default();
            (start_key(building, first), walk)
        })
        .collect();
    walks.sort_by(|a, b| (a.0, &a.1.walls).cmp(&(b.0, &b.1.walls)));
    walks.into_iter().map(|(_, walk)| walk).collect()
}

/// Storey, then how far up and how far right the wall's left corner lies on the drawing, to the nearest 1/64 in.
type StartKey = (usize, Length, Length);

fn start_key(building: &Building, wall: usize) -> StartKey {
    building
        .walls
        .get(wall)
        .map_or((0, Length::ZERO, Length::ZERO), |wall| {
            let round = |x: f64| Length::nearest(x, Length::TAPE_STEP).unwrap_or_default();
            let corner = wall.frame.origin;
            (wall.storey_index, round(corner.y), round(corner.x))
        })
}

fn walk(building: &Building, chosen: &[Chosen], ring: &Ring) -> Walk {
    let count = ring.walls.len();
    if !ring.is_closed {
        return Walk {
            walls: ring.walls.clone(),
            is_tight: false,
        };
    }
    // A wall that is not panelled leaves room too.
    let has_room = |start: usize| {
        let last = ring.walls[(start + count - 1) % count];
        chosen
            .get(last)
            .is_none_or(|last| last.solution.is_none() || last.ends.right.end == WallEnd::Through)
    };
    let key = |start: &usize| {
        (
            !has_room(*start),
            start_key(building, ring.walls[*start]),
            *start,
        )
    };
    let start = (0..count).min_by_key(key).unwrap_or_default();
    let mut walls = ring.walls.clone();
    walls.rotate_left(start);
    Walk {
        walls,
        is_tight: !has_room(start),
    }
}
