//! Which chains are walls, and how thick each is.
//!
//! ```text
//!   ┌────┬────┐  ┌─┐       closed, with an opening: walls;  a small ring without one: furniture;  what hangs with neither: nothing
//!   │    │    │  └─┘
//!   └─ ──┴────┘            on the outside of the outer ring: exterior
//! ```

use super::super::axis::{Axis, Interval, common, covered, joined};
use super::super::enclosure::faces::{Ring, Side};
use super::super::enclosure::network::Network;
use super::super::enclosure::outline::contains;
use super::super::groups::Groups;
use super::super::pieces::solids::without;
use super::super::walls::runs::Run;
use super::super::{DrawnLine, SingleLines};
use geo::Coord;

/// A closed ring that no opening leads into is no room when it is smaller than this, square inches: 60 square feet.
const ROOM: f64 = 8640.0;
/// A part of a wall shorter than this is a corner, inches.
const LEAST: f64 = 1.0;

/// For each chain whether it is a wall: it hangs together with a closed outline that has an opening, and bounds more than a
/// piece of furniture.
pub(super) fn is_wall(
    runs: &[Run],
    network: &Network,
    rings: &[Ring],
    least_storey: f64,
) -> Vec<bool> {
    let part = parts(network);
    let is_drawn = |run: usize| runs[run].cells.iter().any(|it| it.evidence.is_drawn());
    let open: Vec<usize> = (0..runs.len())
        .filter(|&run| is_drawn(run))
        .map(|run| part[run])
        .collect();
    let closed: Vec<usize> = rings
        .iter()
        .filter(|ring| -ring.area >= least_storey)
        .filter_map(|ring| ring.sides.first().map(|side| part[side.run]))
        .filter(|own| open.contains(own))
        .collect();
    let mut is_wall: Vec<bool> = (0..runs.len())
        .map(|run| !network.stops[run].is_empty() && closed.contains(&part[run]))
        .collect();
    let outer = on_rings(runs.len(), network, rings.iter().filter(|it| it.area < 0.0));
    for ring in rings.iter().filter(|it| it.area > 0.0 && it.area < ROOM) {
        let own = on_rings(runs.len(), network, std::iter::once(ring));
        let has_opening = (0..runs.len()).any(|run| {
            let cells = runs[run].cells.iter();
            cells
                .map(|it| covered(&own[run], it.u0, it.u1))
                .any(|shared| shared > 1.0)
        });
        for run in (0..runs.len()).filter(|_| !has_opening) {
            let long = runs[run].u1 - runs[run].u0;
            let on = |list: &[Interval]| covered(list, runs[run].u0, runs[run].u1);
            if runs[run].cells.is_empty() && on(&own[run]) > 0.8 * long && on(&outer[run]) < LEAST {
                is_wall[run] = false;
            }
        }
    }
    is_wall
}

/// Takes away what bounds a part without a name and without an opening of its own to the outside, beside named rooms: a porch,
/// a terrace. True when something went.
///
/// - `names`: where words stand.
pub(super) fn without_porches(
    runs: &mut Vec<Run>,
    network: &Network,
    rings: &[Ring],
    names: &[Coord<f64>],
) -> bool {
    let outer = on_rings(runs.len(), network, rings.iter().filter(|it| it.area < 0.0));
    let is_named = |ring: &Ring| holds(network, ring, names);
    let (named, nameless): (Vec<&Ring>, Vec<&Ring>) = rings
        .iter()
        .filter(|it| it.area > 0.0)
        .partition(|ring| is_named(ring));
    let mut gone = false;
    for ring in nameless.into_iter().filter(|_| named.len() >= 2) {
        let own = on_rings(runs.len(), network, std::iter::once(ring));
        let edges: Vec<Vec<Interval>> = own
            .iter()
            .zip(&outer)
            .map(|(own, outer)| joined(common(own, outer), LEAST))
            .collect();
        let is_open = runs.iter().zip(&edges).any(|(run, edges)| {
            let cells = run.cells.iter();
            cells
                .map(|it| covered(edges, it.u0, it.u1))
                .any(|shared| shared > 1.0)
        });
        if is_open || edges.iter().all(Vec::is_empty) {
            continue;
        }
        for (run, edges) in runs.iter_mut().zip(&edges) {
            for &(from, to) in edges {
                // One that lies in the middle of a wall stays: it cannot be told from the wall.
                if from <= run.u0 + LEAST && to > run.u0 + LEAST {
                    (run.u0, gone) = (to, true);
                } else if to >= run.u1 - LEAST && from < run.u1 - LEAST {
                    (run.u1, gone) = (from, true);
                }
            }
        }
    }
    runs.retain(|run| run.u1 - run.u0 > LEAST);
    gone
}

/// The rings with the open air on their left: round buildings, and the smallest round each courtyard.
fn outer<'a>(
    network: &Network,
    rings: &'a [Ring],
    courts: &[Coord<f64>],
) -> impl Iterator<Item = &'a Ring> {
    let is_inside = |ring: &Ring| {
        let first = ring.sides.first().map(|side| node(network, side));
        let mut larger = rings.iter().filter(|it| it.area < ring.area);
        first.is_some_and(|p| larger.any(|it| holds(network, it, &[p])))
    };
    let round_a_court = courts.iter().filter_map(|court| {
        let around = rings
            .iter()
            .filter(|it| it.area > 0.0 && holds(network, it, &[*court]));
        around.min_by(|p, q| p.area.total_cmp(&q.area))
    });
    let buildings = rings.iter().filter(|it| it.area < 0.0 && !is_inside(it));
    let list: Vec<&Ring> = buildings.chain(round_a_court).collect();
    list.into_iter()
}

pub(super) fn node(network: &Network, side: &Side) -> Coord<f64> {
    network.nodes[network.stops[side.run][side.from].1]
}

/// True when one of some points lies in a ring.
fn holds(network: &Network, ring: &Ring, points: &[Coord<f64>]) -> bool {
    let corners: Vec<Coord<f64>> = ring.sides.iter().map(|it| node(network, it)).collect();
    points.iter().any(|p| contains(&corners, *p))
}

/// For each run the part of the network it hangs in.
pub(super) fn parts(network: &Network) -> Vec<usize> {
    let mut groups = Groups::new(network.nodes.len());
    for stops in &network.stops {
        for pair in stops.windows(2) {
            groups.join(pair[0].1, pair[1].1);
        }
    }
    network
        .stops
        .iter()
        .map(|stops| {
            stops
                .first()
                .map_or(usize::MAX, |stop| groups.least(stop.1))
        })
        .collect()
}

/// For each run where it lies on rings.
fn on_rings<'a>(
    n_runs: usize,
    network: &Network,
    rings: impl Iterator<Item = &'a Ring>,
) -> Vec<Vec<Interval>> {
    let mut list = vec![Vec::new(); n_runs];
    for side in rings.flat_map(|ring| &ring.sides) {
        let stops = &network.stops[side.run];
        let (p, q) = (stops[side.from].0, stops[side.to].0);
        list[side.run].push((p.min(q), p.max(q)));
    }
    for own in &mut list {
        own.sort_by(|p, q| p.0.total_cmp(&q.0));
    }
    list
}

/// How much of a chain, less its openings, lies in or on a solid piece of a wall of two faces, inches.
pub(super) fn doubled(run: &Run, walls: &[Run]) -> f64 {
    let solid = solid_parts(run, &run.axis);
    let shared = walls
        .iter()
        .filter(|wall| run.axis.sine(&wall.axis).abs() < 0.03)
        .filter(|wall| {
            let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
            wall.axis.d(middle).abs() <= wall.thickness / 2.0 + 0.5
        })
        .flat_map(|wall| common(&solid, &solid_parts(wall, &run.axis)));
    let shared = joined(shared.collect(), 0.0);
    shared.iter().map(|(a, b)| b - a).sum()
}

/// A run less its openings, along an axis.
pub(super) fn solid_parts(run: &Run, axis: &Axis) -> Vec<Interval> {
    let mut parts = vec![(run.u0, run.u1)];
    for cell in &run.cells {
        parts = parts
            .into_iter()
            .flat_map(|part| without(part, (cell.u0, cell.u1)))
            .collect();
    }
    let along = parts.into_iter().map(|(a, b)| {
        let [p, q] = [a, b].map(|u| axis.s(run.axis.point(u, 0.0)));
        (p.min(q), p.max(q))
    });
    joined(along.collect(), 0.0)
}

/// Walls of their thickness: what lies on an outer ring or round a courtyard is exterior, the rest interior.
///
/// - `courts`: where words stand that name a place under the sky.
pub(super) fn thick(
    runs: &[Run],
    network: &Network,
    (rings, courts): (&[Ring], &[Coord<f64>]),
    how: &SingleLines,
) -> Vec<Run> {
    let mut list = Vec::new();
    let mut outside: Vec<Vec<(f64, f64, f64)>> = vec![Vec::new(); runs.len()];
    for side in outer(network, rings, courts).flat_map(|ring| &ring.sides) {
        let stops = &network.stops[side.run];
        let (p, q) = (stops[side.from].0, stops[side.to].0);
        // Walked with the outside on the left: forward, the inside is on the right.
        outside[side.run].push((p.min(q), p.max(q), if q > p { -1.0 } else { 1.0 }));
    }
    for (run, outside) in runs.iter().zip(&mut outside) {
        outside.sort_by(|p, q| p.0.total_cmp(&q.0));
        let mut stretches: Vec<(f64, f64, f64)> = Vec::new();
        for &(from, to, inward) in outside.iter() {
            match stretches.last_mut() {
                Some(last) if last.2 * inward > 0.0 && from <= last.1 + LEAST => {
                    last.1 = last.1.max(to);
                }
                _ => stretches.push((from, to, inward)),
            }
        }
        let mut inner = vec![(run.u0, run.u1)];
        for &(from, to, inward) in &stretches {
            inner = inner
                .into_iter()
                .flat_map(|part| without(part, (from, to)))
                .collect();
            let aside = match how.line {
                DrawnLine::Centre => 0.0,
                DrawnLine::Outside => inward * how.exterior / 2.0,
                DrawnLine::Inside => -inward * how.exterior / 2.0,
            };
            list.push(part_of(run, (from, to), how.exterior, aside));
        }
        for part in inner.into_iter().filter(|(a, b)| b - a >= LEAST) {
            list.push(part_of(run, part, how.interior, 0.0));
        }
    }
    list
}

fn part_of(run: &Run, (u0, u1): Interval, thickness: f64, aside: f64) -> Run {
    let mut part = run.clone();
    part.axis.origin = run.axis.point(0.0, aside);
    part.thickness = thickness;
    part.cells.retain(|cell| {
        let middle = f64::midpoint(cell.u0, cell.u1);
        middle > u0 && middle < u1
    });
    (part.u0, part.u1) = (u0, u1);
    part.longest = part.longest.min(u1 - u0);
    part.capped = [false, false];
    part
}
