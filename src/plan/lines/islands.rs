//! Pairs of lines that stand alone inside a building: furniture, not walls.
//!
//! ```text
//!        ┌┐
//!      ┌─┼┼─┐     chairs round a table       ▭ ▭     two sofas a wall's thickness apart
//!      └─┼┼─┘                                ▭
//!        └┘
//! ```
//!
//! What hangs together with no wall of the building round it, and has no opening that something drawn speaks for, is
//! furniture when its thicknesses are no wall's, when it is a closed thin box, or when every piece of it is short for its
//! thickness: a wall is long. Columns and chimneys go with it: they are no walls either.

use crate::plan::groups::Groups;
use crate::plan::lines::rails::around;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::pieces::bands::FURRING;
use crate::plan::walls::runs::{RARE, Run};
use geo::Coord;

/// A wall that stands alone has a piece at least this many times as long as it is thick.
const LONG: f64 = 5.0;

/// Sides of a shaft or a chimney are shorter than this, inches: what is larger has a door. Source: common practice, no source.
const SHAFT: f64 = 72.0;

/// For each run whether it stands alone inside the building and is no wall.
///
/// - `meets`: pairs of runs that meet.
pub(in crate::plan) fn islands(runs: &[Run], meets: &[[usize; 2]]) -> Vec<bool> {
    let parts = parts(runs, meets);
    let boxes: Vec<Option<Area>> = parts
        .iter()
        .map(|list| {
            let corners: Vec<Coord<f64>> = list.iter().flat_map(|&i| runs[i].corners()).collect();
            around(&corners, 0.0)
        })
        .collect();
    let weights: Vec<f64> = parts
        .iter()
        .map(|list| list.iter().map(|&i| runs[i].u1 - runs[i].u0).sum())
        .collect();
    let index = Nearby::new((0..).zip(&boxes).filter_map(|(i, it)| Some(((*it)?, i))));
    let mut alone = vec![false; runs.len()];
    for (part, list) in parts.iter().enumerate() {
        let Some(own) = boxes[part] else { continue };
        let holds = |other: usize| {
            weights[other] > weights[part] && boxes[other].is_some_and(|it| it.holds(&own))
        };
        if (is_no_wall(runs, list) || is_closed_up(runs, list, meets)) && index.any(&own, holds) {
            for &i in list {
                alone[i] = true;
            }
        }
    }
    alone
}

/// Runs that hang together.
pub(in crate::plan) fn parts(runs: &[Run], meets: &[[usize; 2]]) -> Vec<Vec<usize>> {
    let mut groups = Groups::new(runs.len());
    for [a, b] in meets {
        groups.join(*a, *b);
    }
    let mut members = groups.members();
    members.retain(|list| !list.is_empty());
    members
}

/// True when runs go round a place large enough to stand in that nothing opens into: a carpet's border, a lowered ceiling.
fn is_closed_up(runs: &[Run], list: &[usize], meets: &[[usize; 2]]) -> bool {
    let n_meets = |i: &usize| meets.iter().filter(|it| it.contains(i)).count();
    let own = || list.iter().map(|&i| &runs[i]);
    let is_open = |run: &Run| run.is_curtain || run.curve.is_some() || !run.cells.is_empty();
    list.len() >= 4
        && !own().any(is_open)
        && own().all(|run| run.u1 - run.u0 >= SHAFT)
        && list.iter().all(|i| n_meets(i) == 2)
}

fn is_no_wall(runs: &[Run], list: &[usize]) -> bool {
    let own = || list.iter().map(|&i| &runs[i]);
    let is_known = |run: &Run| {
        run.is_curtain || run.curve.is_some() || run.cells.iter().any(|it| it.evidence.speaks())
    };
    let is_rare = own().all(|run| run.support < RARE);
    // Furring stands against something.
    let is_thin = own().all(|run| run.thickness < FURRING && run.capped == [true, true]);
    let is_short = own().all(|run| run.thickness >= FURRING && run.longest < LONG * run.thickness);
    !own().any(is_known) && (is_rare || is_thin || is_short)
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered, sides};

    fn furnished(boxes: &[[f64; 4]]) -> usize {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for b in boxes {
            lines.extend(sides(b[0], b[1], b[2], b[3]));
        }
        let found = recovered(&lines);
        let walls = &found.output.storeys[0].walls;
        walls.iter().filter(|wall| !wall.is_exterior).count()
    }

    #[test]
    fn chairs_round_a_table_are_no_walls() {
        // Four tables: two pairs of chairs under each, 17 in wide, cross in its middle.
        let mut boxes = Vec::new();
        for (x, y) in [(60.0, 60.0), (60.0, 170.0), (250.0, 60.0), (250.0, 170.0)] {
            boxes.push([x - 27.0, y - 8.5, x + 27.0, y + 8.5]);
            boxes.push([x - 8.5, y - 27.0, x + 8.5, y + 27.0]);
        }
        assert_eq!(furnished(&boxes), 0);
    }

    #[test]
    fn seats_a_few_inches_apart_are_no_walls() {
        let boxes = [
            [60.0, 60.0, 90.0, 130.0],
            [97.0, 100.0, 170.0, 130.0],
            [97.0, 60.0, 170.0, 93.0],
        ];
        assert_eq!(furnished(&boxes), 0);
    }

    #[test]
    fn a_carpet_with_a_border_is_no_room() {
        let outer = [60.0, 60.0, 220.0, 180.0];
        assert_eq!(furnished(&[outer, [64.0, 64.0, 216.0, 176.0]]), 0);
        // A closet in the middle of a room has an opening.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(sides(60.0, 60.0, 220.0, 180.0));
        lines.extend(sides(64.0, 64.0, 216.0, 176.0));
        lines.retain(|l| {
            !(l[0] > 50.0 && l[0] < 230.0 && (60.0..65.0).contains(&l[1]) && l[1] == l[3])
        });
        for (y, low, high) in [(60.0, 60.0, 220.0), (64.0, 64.0, 216.0)] {
            lines.extend([[low, y, 120.0, y], [150.0, y, high, y]]);
        }
        lines.extend([[120.0, 60.0, 120.0, 64.0], [150.0, 60.0, 150.0, 64.0]]);
        let storey = &recovered(&lines).output.storeys[0];
        assert_eq!(storey.walls.iter().filter(|it| !it.is_exterior).count(), 4);
    }

    #[test]
    fn a_free_standing_wall_is_one() {
        assert_eq!(furnished(&[[60.0, 100.0, 200.0, 104.5]]), 1);
    }
}
