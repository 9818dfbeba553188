//! Who runs through at each corner: the exact least over the whole ring of walls.
//!
//! Method: at each square corner one of two walls runs through, so a wall has up to four runs (left and right end). All are
//! solved; then a dynamic program walks round the ring over the state of the corner just passed, once for each state of the
//! first corner. Exact, and linear in the number of walls. Among equal costs the longer wall runs through.

use super::corners::{Ends, Role, ends, is_square};
use super::run::Run;
use super::search::{Blocked, Solution, solve};
use crate::building::Building;
use crate::rules::PlantRules;

/// The chosen run of one wall.
#[derive(Clone, Debug)]
pub(crate) struct Chosen {
    pub(crate) ends: Ends,
    pub(crate) solution: Result<Solution, Blocked>,
}

/// A wall that cannot be panelled costs more than any that can: the rest of the building still gets its best layout.
const UNPANELLED: i64 = 1_000_000_000_000;

/// Cost, then corners where the shorter wall runs through.
type Score = (i64, i64);

/// The best run of each wall, in the building's order.
pub(crate) fn choose(building: &Building, rules: &PlantRules) -> Vec<Chosen> {
    let mut chosen: Vec<Option<Chosen>> = vec![None; building.walls.len()];
    for first in 0..building.walls.len() {
        if chosen[first].is_none() {
            let ring = ring_from(building, first);
            for (wall, choice) in ring.iter().zip(best_of(building, rules, &ring)) {
                chosen[*wall] = Some(choice);
            }
        }
    }
    chosen.into_iter().flatten().collect()
}

/// The walls that follow one another by their right corners, starting with the first of an open chain if it is one.
fn ring_from(building: &Building, wall: usize) -> Vec<usize> {
    let follow = |start: usize, right: bool| {
        let mut walls = vec![start];
        let mut at = start;
        loop {
            let corner = if right {
                &building.walls[at].right
            } else {
                &building.walls[at].left
            };
            match corner
                .with
                .filter(|next| *next < building.walls.len() && !walls.contains(next))
            {
                Some(next) => {
                    walls.push(next);
                    at = next;
                }
                None => return walls,
            }
        }
    };
    let back = follow(wall, false);
    let is_closed = building.walls[back[back.len() - 1]].left.with == Some(wall);
    if is_closed {
        follow(wall, true)
    } else {
        follow(back[back.len() - 1], true)
    }
}

/// State of the corner at a wall's right end: who runs through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Passed {
    /// The wall before the corner.
    Before,
    /// The wall after it.
    After,
}

const STATES: [Passed; 2] = [Passed::Before, Passed::After];

impl Passed {
    fn right_role(self) -> Role {
        if self == Self::Before {
            Role::Through
        } else {
            Role::Butt
        }
    }

    fn left_role(self) -> Role {
        if self == Self::Before {
            Role::Butt
        } else {
            Role::Through
        }
    }
}

fn best_of(building: &Building, rules: &PlantRules, ring: &[usize]) -> Vec<Chosen> {
    // variants[i][left state][right state]
    let variants: Vec<[[Chosen; 2]; 2]> = ring
        .iter()
        .map(|index| {
            let wall = &building.walls[*index];
            STATES.map(|left| {
                STATES.map(|right| {
                    let ends = ends(building, rules, wall, left.left_role(), right.right_role());
                    Chosen {
                        ends,
                        solution: solve(&Run::new(wall, &ends, rules)),
                    }
                })
            })
        })
        .collect();
    let score = |i: usize, left: usize, right: usize| -> Score {
        let cost = variants[i][left][right]
            .solution
            .as_ref()
            .map_or(UNPANELLED, |solution| solution.cost);
        let (wall, next) = (
            &building.walls[ring[i]],
            &building.walls[ring[(i + 1) % ring.len()]],
        );
        let through_is_shorter = match STATES[right] {
            Passed::Before => wall.face_length < next.face_length,
            Passed::After => next.face_length < wall.face_length,
        };
        (
            cost,
            i64::from(is_square(&wall.right) && through_is_shorter),
        )
    };
    let mut best: Option<(Score, Vec<usize>)> = None;
    for first in 0..STATES.len() {
        // The state of the corner before the first wall; the ring must come back to it.
        let mut reached: [Option<(Score, Vec<usize>)>; 2] = [None, None];
        reached[first] = Some(((0, 0), Vec::new()));
        for i in 0..ring.len() {
            let mut next: [Option<(Score, Vec<usize>)>; 2] = [None, None];
            for (left, from) in reached.iter().enumerate() {
                let Some((sum, path)) = from else { continue };
                for (right, slot) in next.iter_mut().enumerate() {
                    let (cost, shorter) = score(i, left, right);
                    let total = (sum.0 + cost, sum.1 + shorter);
                    if slot.as_ref().is_none_or(|(least, _)| total < *least) {
                        *slot = Some((total, path.iter().copied().chain([right]).collect()));
                    }
                }
            }
            reached = next;
        }
        let is_closed = building.walls[ring[ring.len() - 1]].right.with == Some(ring[0]);
        for (last, end) in reached.into_iter().enumerate() {
            let Some((sum, path)) = end else { continue };
            if (last == first || !is_closed) && best.as_ref().is_none_or(|(least, _)| sum < *least)
            {
                best = Some((sum, std::iter::once(first).chain(path).collect()));
            }
        }
    }
    let states = best
        .map(|(_, states)| states)
        .unwrap_or_else(|| vec![0; ring.len() + 1]);
    variants
        .into_iter()
        .enumerate()
        .map(|(i, v)| v[states[i]][states[i + 1]].clone())
        .collect()
}
