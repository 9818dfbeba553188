//! Thin partitions: cubicles and glass fronts, thinner than any wall of studs, known by the doors that hang in them.
//!
//! ```text
//!   ║                              ║
//!   ║═════════╗  ◜  ╔═════════════ ║     two lines an inch apart, from wall to wall or to one another,
//!   ║         ╚    ─╝              ║     and a door in what hangs together
//! ```
//!
//! Two lines so near each other are nearly always something else: glazing, a leaf, a casing, the edge of a counter. They are
//! taken for a partition only where they run apart from every wall, hang together with one, and have a door, or are of the
//! thickness of one that has: a screen. Partitions bound no rooms: the outline is found without them.

use crate::plan::axis::distance;
use crate::plan::enclosure::network::Network;
use crate::plan::lines::islands::parts;
use crate::plan::lines::rails::{Rails, around};
use crate::plan::lines::symbols::Place;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::pieces::bands::{Band, FURRING};
use crate::plan::pieces::solids::thin_solids;
use crate::plan::walls::ends::add_end_openings;
use crate::plan::walls::runs::{Run, runs};
use geo::Coord;

/// A partition stands off the faces of walls by more than this, inches: nearer, it is a sill, a nosing or a mirror.
const APART: f64 = 2.0;
/// Ends touch what they meet within this, inches.
const TOUCHES: f64 = 1.5;
/// Boards are alike within this, inches.
const ALIKE: f64 = 0.06;
/// A leaf agrees with its swing within this, inches.
const LEAF: f64 = 3.0;
/// The chord of half a quarter turn, as a share of the radius.
const HALF_SWING: f64 = 0.765;

/// The runs of bands thinner than a wall, where doors are drawn: what may be partitions.
pub(in crate::plan) fn thin_runs(
    rails: &Rails,
    bands: &[Band],
    place: &Place<'_>,
    slack: f64,
) -> Vec<Run> {
    if place.arcs.is_empty() {
        return Vec::new();
    }
    runs(rails, thin_solids(rails, bands, slack), place, slack)
}

/// Finds the partitions, and takes out of the walls what was only the face of one and something beside it.
///
/// - `found`: what may be partitions.
pub(in crate::plan) fn partitions(
    rails: &Rails,
    mut found: Vec<Run>,
    walls: &mut Vec<Run>,
    place: &Place<'_>,
    slack: f64,
) -> Vec<Run> {
    add_end_openings(rails, &mut found, walls, place, slack);
    let of_walls = bodies(walls);
    let lies_beside = |run: &Run| {
        let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
        let area = Area::of(middle, middle);
        of_walls.any(&area, |i| is_beside(&walls[i], run))
    };
    found.retain(|run| !is_leaf(run, place) && !lies_beside(run));
    let of_found = bodies(&found);
    let mut pairs = Vec::new();
    for (i, run) in found.iter().enumerate() {
        for area in at_ends(run) {
            of_found.visit(&area, |j| {
                if j != i && touch(run, &found[j]) {
                    pairs.push([i.min(j), i.max(j)]);
                }
            });
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    let groups = parts(&found, &pairs);
    let is_held = |list: &[usize]| {
        let own = || list.iter().map(|&i| &found[i]);
        let meets = |run: &Run| {
            let mut ends = at_ends(run);
            ends.any(|area| of_walls.any(&area, |i| touch(run, &walls[i])))
        };
        own().any(meets)
    };
    let has_door = |run: &Run| run.cells.iter().any(|it| !it.evidence.swings.is_empty());
    let held: Vec<&Vec<usize>> = groups.iter().filter(|list| is_held(list)).collect();
    let known: Vec<f64> = held
        .iter()
        .filter(|list| list.iter().any(|&i| has_door(&found[i])))
        .flat_map(|list| list.iter().map(|&i| found[i].thickness))
        .collect();
    let mut keep = vec![false; found.len()];
    for &i in held.iter().copied().flatten() {
        let own = found[i].thickness;
        keep[i] = known.iter().any(|it| (it - own).abs() <= ALIKE);
    }
    let mut index = 0..;
    found.retain(|_| index.next().is_some_and(|i: usize| keep[i]));
    walls.retain(|wall| wall.thickness >= FURRING || !found.iter().any(|it| is_in(it, wall)));
    found
}

/// Adds partitions to the runs, each with its ends for nodes: they meet nothing, so that no ring changes.
pub(in crate::plan) fn add_partitions(
    runs: &mut Vec<Run>,
    network: &mut Network,
    partitions: Vec<Run>,
) {
    for run in partitions {
        let nodes = network.nodes.len();
        network
            .nodes
            .extend([run.u0, run.u1].map(|u| run.axis.point(u, 0.0)));
        network
            .stops
            .push(vec![(run.u0, nodes), (run.u1, nodes + 1)]);
        network.free.push([false, false]);
        runs.push(run);
    }
}

fn ends(run: &Run) -> [Coord<f64>; 2] {
    [run.u0, run.u1].map(|u| run.axis.point(u, 0.0))
}

/// Where the bodies of runs lie, each with what stands off it as little as a sill does.
fn bodies(runs: &[Run]) -> Nearby {
    let all = runs.iter().enumerate();
    Nearby::new(all.filter_map(|(i, run)| Some((around(&run.corners(), APART)?, i))))
}

/// Where a body lies that an end of a run touches.
fn at_ends(run: &Run) -> impl Iterator<Item = Area> {
    let reach = run.thickness / 2.0 + TOUCHES;
    ends(run)
        .into_iter()
        .filter_map(move |end| around(&[end], reach))
}

/// True when an end of `a` touches the body of `b`.
fn touch(a: &Run, b: &Run) -> bool {
    ends(a).iter().any(|p| {
        let (s, d) = (b.axis.s(*p), b.axis.d(*p).abs());
        d <= f64::midpoint(b.thickness, a.thickness) + TOUCHES
            && s >= b.u0 - TOUCHES
            && s <= b.u1 + TOUCHES
    })
}

/// True when a run lies along a wall for most of its length, in it or against it, or stands inside it.
fn is_beside(wall: &Run, run: &Run) -> bool {
    let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
    let aside = wall.axis.d(middle).abs();
    let [p, q] = ends(run).map(|p| wall.axis.s(p));
    let shared = p.max(q).min(wall.u1) - p.min(q).max(wall.u0);
    if wall.axis.sine(&run.axis).abs() < 0.3 {
        // Two lines as near as furring may be a face of the partition and a leaf that stands open beside it.
        wall.thickness >= FURRING
            && aside <= wall.thickness / 2.0 + APART
            && shared > 0.5 * (run.u1 - run.u0)
    } else {
        let s = wall.axis.s(middle);
        aside <= wall.thickness / 2.0 && s >= wall.u0 && s <= wall.u1
    }
}

/// True when a wall lies along a partition and over its body, for most of its length.
fn is_in(partition: &Run, wall: &Run) -> bool {
    let [p, q] = ends(wall).map(|p| partition.axis.s(p));
    let shared = p.max(q).min(partition.u1) - p.min(q).max(partition.u0);
    let middle = wall.axis.point(f64::midpoint(wall.u0, wall.u1), 0.0);
    wall.axis.sine(&partition.axis).abs() < 0.05
        && partition.axis.d(middle).abs()
            <= f64::midpoint(wall.thickness, partition.thickness) + 0.1
        && shared > 0.5 * (wall.u1 - wall.u0)
}

/// True when it is the leaf of a door: from the centre of a swing to the end of its arc.
fn is_leaf(run: &Run, place: &Place<'_>) -> bool {
    let [p, q] = ends(run);
    [(p, q), (q, p)].into_iter().any(|(hinge, tip)| {
        run.cells.is_empty()
            && place.arcs_near(hinge, LEAF).into_iter().any(|i| {
                let arc = &place.arcs[i];
                distance(hinge, arc.centre) < LEAF
                    && (run.u1 - run.u0 - arc.radius).abs() < LEAF
                    && (distance(tip, arc.middle) - HALF_SWING * arc.radius).abs() < LEAF
            })
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{Swing, open_shell, recovered_with};

    /// A cubicle in the lower right corner of the house, 60 in by 48 in, its door in the upper side.
    fn cubicle() -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        // Left side, from the wall below to the front.
        lines.extend([[293.0, 6.0, 293.0, 55.0], [294.0, 6.0, 294.0, 54.0]]);
        // Front: a piece of 8 in, a door of 32 in, a piece to the wall.
        lines.extend([
            [293.0, 55.0, 302.0, 55.0],
            [294.0, 54.0, 302.0, 54.0],
            [302.0, 54.0, 302.0, 55.0],
            [334.0, 54.0, 334.0, 55.0],
            [334.0, 55.0, 354.0, 55.0],
            [334.0, 54.0, 354.0, 54.0],
            [302.0, 55.0, 302.0, 87.0],
        ]);
        lines
    }

    #[test]
    fn a_cubicle_is_two_partitions_and_a_door_and_bounds_no_room() {
        let swing = Swing {
            centre: [302.0, 55.0],
            radius: 32.0,
            start: 0.0,
        };
        let plan = recovered_with(&cubicle(), &[swing]).output;
        let storey = &plan.storeys[0];
        let inner: Vec<f64> = storey
            .walls
            .iter()
            .filter(|wall| !wall.is_exterior)
            .map(|wall| wall.thickness)
            .collect();
        assert_eq!(inner, [1.0, 1.0]);
        let widths: Vec<f64> = storey.openings.iter().map(|it| it.width).collect();
        assert!(widths.contains(&32.0), "{widths:?}");
        assert_eq!(storey.rooms.len(), 1);
    }

    #[test]
    fn a_door_may_end_at_the_wall_across() {
        let mut lines = cubicle();
        // No piece of partition is left between the door and the wall.
        let moved = lines.len() - 7;
        lines.truncate(moved);
        lines.extend([
            [293.0, 55.0, 322.0, 55.0],
            [294.0, 54.0, 322.0, 54.0],
            [322.0, 54.0, 322.0, 55.0],
            [322.0, 55.0, 322.0, 87.0],
        ]);
        let swing = Swing {
            centre: [322.0, 55.0],
            radius: 32.0,
            start: 0.0,
        };
        let plan = recovered_with(&lines, &[swing]).output;
        let storey = &plan.storeys[0];
        let inner = storey.walls.iter().filter(|wall| !wall.is_exterior);
        assert_eq!(inner.map(|it| it.thickness).collect::<Vec<_>>(), [1.0, 1.0]);
        let door = storey.openings.iter().find(|it| it.width == 32.0);
        assert_eq!(
            door.map(|it| [it.centre.x, it.centre.y]),
            Some([338.0, 54.5])
        );
    }

    #[test]
    fn without_a_door_two_lines_an_inch_apart_are_no_wall() {
        let plan = recovered_with(&cubicle(), &[]).output;
        assert!(plan.storeys[0].walls.iter().all(|wall| wall.is_exterior));
    }
}
