//! Runs meet: nodes where centre lines cross, and the runs that hang together.
//!
//! ```text
//!      ║               each end goes to the farthest crossing that its faces reach:
//!   ───╨──●──          half the other wall, plus its own corner at an angle, plus the slack of drafting
//! ```

use crate::plan::axis::{Axis, distance};
use crate::plan::lines::islands::islands;
use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::walls::runs::{RARE, Run};
use crate::side_by_side::in_stretches;
use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

/// How far an end may miss the wall it meets, beyond half its thickness, inches.
const REACH: f64 = 2.0;
/// Crossings closer than this are one node, inches.
const ONE_NODE: f64 = 1.25;
/// Two runs in line, end to end, may be this far apart, inches.
const STEP: f64 = 1.5;

/// Walls that jog stand aside from each other by at least this, inches.
const JOG: f64 = 0.5;

/// Walls are of one kind when they are as thick within this, inches.
const SAME_KIND: f64 = 0.15;

/// Corners further than this from an end are not looked at, inches: half the thickest wall, a little over, and as much aside.
const BLOCK: f64 = 26.0;

/// How far the end of a chord of a curved wall may miss the wall it meets, inches.
const CHORD_END: f64 = 3.0;

/// A stop along a run: where, and at which node.
pub(in crate::plan) type Stop = (f64, usize);

/// Runs with their nodes.
#[derive(Clone, Debug, Default)]
pub(in crate::plan) struct Network {
    pub nodes: Vec<Coord<f64>>,
    /// For each run the stops along it by rising `u`, its ends included; empty for a run that was dropped.
    pub stops: Vec<Vec<Stop>>,
    /// For each run, whether its two ends meet nothing.
    pub free: Vec<[bool; 2]>,
}

/// A meeting of two runs.
struct Meeting {
    runs: [usize; 2],
    us: [f64; 2],
    at: Coord<f64>,
}

/// Where the runs meet.
pub(in crate::plan) fn network(runs: &[Run]) -> Network {
    let meetings = meetings(runs);
    let mut spans: Vec<(f64, f64)> = runs.iter().map(|run| (run.u0, run.u1)).collect();
    let mut free = vec![[true, true]; runs.len()];
    // Ends go to the farthest meeting in reach: where two walls end on a third a little apart, it meets both.
    for meeting in &meetings {
        for side in 0..2 {
            let (i, u) = (meeting.runs[side], meeting.us[side]);
            let run = &runs[i];
            let reach = match run.curve {
                Some(_) => CHORD_END,
                None => reach(run, &runs[meeting.runs[1 - side]]),
            };
            if (u - run.u0).abs() <= reach && (free[i][0] || u < spans[i].0) {
                spans[i].0 = u;
                free[i][0] = false;
            }
            if (u - run.u1).abs() <= reach && (free[i][1] || u > spans[i].1) {
                spans[i].1 = u;
                free[i][1] = false;
            }
        }
    }
    let pairs: Vec<[usize; 2]> = meetings.iter().map(|it| it.runs).collect();
    let alone = islands(runs, &pairs);
    let dropped: Vec<bool> = (0..runs.len())
        .map(|i| {
            let enclosed = runs[i].capped == [true, true];
            let is_rare = runs[i].support < RARE && !holds_opening(&runs[i]);
            alone[i] || is_rare && (free[i] == [true, true] || enclosed)
        })
        .collect();
    let mut network = Network {
        nodes: Vec::new(),
        stops: vec![Vec::new(); runs.len()],
        free,
    };
    let stays = |it: &&Meeting| !it.runs.iter().any(|&i| dropped[i]);
    let ends = |i: usize| [(i, spans[i].0), (i, spans[i].1)];
    let ends = (0..runs.len()).filter(|i| !dropped[*i]).flat_map(ends);
    let met = meetings.iter().filter(stays).map(|it| it.at);
    let ended = ends.clone().map(|(i, u)| runs[i].axis.point(u, 0.0));
    let (nodes, at) = nodes(&met.chain(ended).collect::<Vec<_>>());
    network.nodes = nodes;
    let mut at = at.into_iter();
    for (meeting, node) in meetings.iter().filter(stays).zip(at.by_ref()) {
        for side in 0..2 {
            let (i, u) = (meeting.runs[side], meeting.us[side]);
            if u >= spans[i].0 - ONE_NODE && u <= spans[i].1 + ONE_NODE {
                network.stops[i].push((u.clamp(spans[i].0, spans[i].1), node));
            }
        }
    }
    for ((i, u), node) in ends.zip(at) {
        network.stops[i].push((u, node));
    }
    let mut named = Named::of(&network);
    steps(runs, &dropped, &mut network, &mut named);
    join_corners(runs, &mut network, &mut named);
    for list in &mut network.stops {
        list.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        list.dedup_by_key(|stop| stop.1);
    }
    network
}

/// True when a window or a door stands between jambs of a run: furniture has none.
fn holds_opening(run: &Run) -> bool {
    let mut cells = run.cells.iter();
    cells.any(|cell| cell.has_jambs && cell.evidence.is_drawn())
}

/// The nodes that points make, taken in order, and the node of each: the first made of those near it, else its own.
fn nodes(points: &[Coord<f64>]) -> (Vec<Coord<f64>>, Vec<usize>) {
    let index = Nearby::points(points.iter().copied());
    let mut nodes = Vec::new();
    let mut made: Vec<Option<usize>> = vec![None; points.len()];
    let mut of = Vec::with_capacity(points.len());
    for (k, p) in points.iter().enumerate() {
        let mut near: Option<usize> = None;
        index.visit_within(*p, ONE_NODE, |other| {
            if let Some(node) = made[other] {
                near = Some(near.map_or(node, |it| it.min(node)));
            }
        });
        of.push(near.unwrap_or(nodes.len()));
        if near.is_none() {
            made[k] = Some(nodes.len());
            nodes.push(*p);
        }
    }
    (nodes, of)
}

/// How far `a` may have to go on to reach the middle of `b`.
fn reach(a: &Run, b: &Run) -> f64 {
    let sine = a.axis.sine(&b.axis).abs().max(0.05);
    let cosine = (1.0 - sine * sine).max(0.0).sqrt();
    (b.thickness / 2.0 + a.thickness / 2.0 * cosine) / sine + REACH
}

fn meetings(runs: &[Run]) -> Vec<Meeting> {
    let body = |run: &Run| around(&run.corners(), run.thickness + REACH + 12.0);
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((body(run)?, i))));
    in_stretches(runs.len(), |part| {
        let mut meetings = Vec::new();
        for i in part {
            let Some(area) = body(&runs[i]) else { continue };
            let near = tree.sorted(&area).into_iter().filter(|j| *j > i);
            meetings.extend(near.filter_map(|j| meeting(runs, i, j)));
        }
        meetings
    })
}

fn meeting(runs: &[Run], i: usize, j: usize) -> Option<Meeting> {
    let (a, b) = (&runs[i], &runs[j]);
    let u = a.axis.meets(&b.axis)?;
    let at = a.axis.point(u, 0.0);
    let v = b.axis.s(at);
    // The flat angle between chords would let each reach far past its neighbours: a chord ends where it ends.
    let reach_of =
        |own: &Run, other: &Run| own.curve.map_or_else(|| reach(own, other), |_| CHORD_END);
    let (ra, rb) = (reach_of(a, b), reach_of(b, a));
    let meets = u >= a.u0 - ra && u <= a.u1 + ra && v >= b.u0 - rb && v <= b.u1 + rb;
    if !meets {
        return None;
    }
    // A rare pair of lines that lies across a wall, ending at neither side of it, is furniture over it.
    let ends =
        |run: &Run, u: f64, reach: f64| (u - run.u0).abs() <= reach || (u - run.u1).abs() <= reach;
    let (a_ends, b_ends) = (ends(a, u, ra), ends(b, v, rb));
    // A wing of a rare wall is as thick as that wall is, and ends at it.
    let is_wing = (a.thickness - b.thickness).abs() <= SAME_KIND && (a_ends || b_ends);
    let rare_cross = !is_wing && (a.support < RARE && !a_ends || b.support < RARE && !b_ends);
    (!rare_cross).then_some(Meeting {
        runs: [i, j],
        us: [u, v],
        at,
    })
}

/// Walls in line that change their thickness: their ends share a node.
fn steps(runs: &[Run], dropped: &[bool], network: &mut Network, named: &mut Named) {
    let ends: Vec<GeomWithData<[f64; 2], (usize, usize)>> = (0..runs.len())
        .filter(|&i| !dropped[i])
        .flat_map(|i| {
            let run = &runs[i];
            [(0, run.u0), (1, run.u1)].map(|(side, u)| {
                let p = run.axis.point(u, 0.0);
                GeomWithData::new([p.x, p.y], (i, side))
            })
        })
        .filter(|it| network.free[it.data.0][it.data.1])
        .collect();
    let tree = RTree::bulk_load(ends.clone());
    let sum = network
        .nodes
        .iter()
        .fold(Coord::default(), |sum, p| sum + *p);
    #[expect(clippy::cast_precision_loss, reason = "nodes are few")]
    let middle = sum / network.nodes.len().max(1) as f64;
    let off_middle = |run: usize| runs[run].axis.d(middle).abs();
    for end in &ends {
        let (i, side) = end.data;
        let near = tree
            .locate_within_distance(*end.geom(), 400.0)
            .map(|it| it.data)
            .filter(|&(j, _)| j > i)
            .find(|&(j, other)| touches(&runs[i], side, &runs[j], other));
        let Some((j, other)) = near else { continue };
        let (first, second) = (
            stop_at(&runs[i], &network.stops[i], side),
            stop_at(&runs[j], &network.stops[j], other),
        );
        if let (Some(first), Some(second)) = (first, second) {
            let (keep, gone) = (network.stops[i][first].1, network.stops[j][second].1);
            let gap = distance(network.nodes[keep], network.nodes[gone]);
            // A jog hides one wall's end behind the other: the wall further out shows the corner, and goes on to it.
            if gap > STEP && off_middle(j) >= off_middle(i) {
                network.stops[j][second].0 = runs[j].axis.s(network.nodes[keep]);
            } else if gap > STEP {
                network.stops[i][first].0 = runs[i].axis.s(network.nodes[gone]);
            }
            named.rename(network, gone, keep);
            network.free[i][side] = false;
            network.free[j][other] = false;
        }
    }
}

/// Which of a run's stops is the one at an end of it.
fn stop_at(run: &Run, stops: &[Stop], side: usize) -> Option<usize> {
    let u = if side == 0 { run.u0 } else { run.u1 };
    let off = |k: &usize| (stops[*k].0 - u).abs();
    (0..stops.len()).min_by(|p, q| off(p).total_cmp(&off(q)))
}

/// Which stops are at each node: of each its run and its place among that run's.
struct Named(Vec<Vec<(usize, usize)>>);

impl Named {
    fn of(network: &Network) -> Self {
        let mut at = vec![Vec::new(); network.nodes.len()];
        for (run, stops) in network.stops.iter().enumerate() {
            for (k, stop) in stops.iter().enumerate() {
                at[stop.1].push((run, k));
            }
        }
        Self(at)
    }

    /// Puts what is at one node at another.
    fn rename(&mut self, network: &mut Network, gone: usize, keep: usize) {
        let moved = std::mem::take(&mut self.0[gone]);
        for (run, k) in &moved {
            network.stops[*run][*k].1 = keep;
        }
        self.0[keep].extend(moved);
    }
}

/// Ends that meet the block of a corner, off the lines of its walls: they end at its node.
///
/// ```text
///        ║
///   ═══╗ ║        the partition lies in the corner's block, and crosses neither centre line
///   ───╫─╚═══
/// ```
fn join_corners(runs: &[Run], network: &mut Network, named: &mut Named) {
    let open: Vec<(usize, usize)> = (0..runs.len())
        .filter(|&i| !network.stops[i].is_empty() && runs[i].curve.is_none())
        .flat_map(|i| [(i, 0), (i, 1)])
        .filter(|&(i, side)| network.free[i][side] && !runs[i].capped[side])
        .collect();
    if open.is_empty() {
        return;
    }
    // Nodes at which an end of a wall meets another wall, and how thick the thickest there is.
    let mut blocks = vec![(0_usize, 0.0_f64); network.nodes.len()];
    for (run, stops) in network.stops.iter().enumerate() {
        for stop in stops {
            let block = &mut blocks[stop.1];
            *block = (block.0 + 1, block.1.max(runs[run].thickness));
        }
    }
    let corners = (0..blocks.len()).filter(|&node| blocks[node].0 > 1);
    let tree: RTree<GeomWithData<[f64; 2], usize>> = RTree::bulk_load(
        corners
            .map(|node| GeomWithData::new([network.nodes[node].x, network.nodes[node].y], node))
            .collect(),
    );
    for (i, side) in open {
        let run = &runs[i];
        let (u, sign) = if side == 0 {
            (run.u0, -1.0)
        } else {
            (run.u1, 1.0)
        };
        let p = run.axis.point(u, 0.0);
        let lies_in = |node: usize| {
            let (at, half) = (network.nodes[node], blocks[node].1 / 2.0);
            let ahead = sign * (run.axis.s(at) - u);
            let aside = run.axis.d(at).abs();
            ahead > -half && ahead <= half + REACH && aside < half + run.thickness / 2.0 + JOG
        };
        let found = tree
            .nearest_neighbor_iter_with_distance_2(&[p.x, p.y])
            .take_while(|(_, far)| *far <= BLOCK * BLOCK)
            .map(|(it, _)| it.data)
            .find(|&node| lies_in(node) && network.stops[i].iter().all(|it| it.1 != node));
        let own = stop_at(run, &network.stops[i], side);
        if let (Some(node), Some(own)) = (found, own) {
            let gone = network.stops[i][own].1;
            named.rename(network, gone, node);
            network.free[i][side] = false;
        }
    }
}

/// True when two runs in line touch end to end, their bodies overlapping sideways.
fn touches(a: &Run, side: usize, b: &Run, other: usize) -> bool {
    if a.axis.sine(&b.axis).abs() > 0.03 {
        return false;
    }
    let end = |run: &Run, side: usize| run.axis.point(if side == 0 { run.u0 } else { run.u1 }, 0.0);
    let (p, q) = (end(a, side), end(b, other));
    let gap = (a.axis.s(q) - a.axis.s(p)).abs();
    let aside = a.axis.d(q).abs();
    let outward = |run: &Run, side: usize, to: Coord<f64>| {
        let (near, far) = (end(run, side), end(run, 1 - side));
        distance(to, far) + STEP >= distance(near, far)
    };
    // Where they jog, the outer face of one and the inner face of the other end a wall's thickness apart.
    let is_jog = aside >= JOG && !a.capped[side] && !b.capped[other];
    let far = if is_jog {
        a.thickness.max(b.thickness)
    } else {
        0.0
    };
    gap <= STEP + far
        && aside < (a.thickness + b.thickness) / 2.0
        && outward(a, side, end(b, 1 - other))
        && outward(b, other, end(a, 1 - side))
}

/// The axis of a run from one stop to another, walking that way.
pub(in crate::plan) fn directed(run: &Run, from: f64, to: f64) -> Axis {
    let sign = if to >= from { 1.0 } else { -1.0 };
    Axis {
        origin: run.axis.point(from, 0.0),
        along: run.axis.along * sign,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::trial::{recovered, wall};

    /// Where the first wall is met: one of 10 in, rare, and another that goes off from its middle.
    fn met(thickness: f64, from: f64) -> Vec<f64> {
        let walls = [
            wall([0.0, 0.0], [200.0, 0.0], 10.0, RARE / 2.0),
            wall([100.0, from], [100.0, 80.0], thickness, 1.0),
        ];
        let walls: Vec<Run> = walls.into_iter().flatten().collect();
        let met = meetings(&walls);
        met.iter().map(|it| it.us[0]).collect()
    }

    #[test]
    fn a_wing_as_thick_as_the_rare_wall_it_ends_at_meets_it() {
        assert_eq!(met(10.0, 5.0), [100.0]);
        // A pair of rare lines over a common wall is furniture, and so is what crosses it.
        assert!(met(4.5, 5.0).is_empty());
        assert!(met(10.0, -80.0).is_empty());
    }

    #[test]
    fn walls_that_jog_by_less_than_they_are_thick_close_the_outline() {
        // The right part of the lower wall stands 2 in further out.
        let outer = [
            [0.0, 0.0],
            [200.0, 0.0],
            [200.0, -2.0],
            [360.0, -2.0],
            [360.0, 240.0],
            [0.0, 240.0],
        ];
        let inner = [
            [6.0, 6.0],
            [206.0, 6.0],
            [206.0, 4.0],
            [354.0, 4.0],
            [354.0, 234.0],
            [6.0, 234.0],
        ];
        let round = |points: &[[f64; 2]]| -> Vec<[f64; 4]> {
            let sides = points.iter().zip(points.iter().cycle().skip(1));
            sides.map(|(p, q)| [p[0], p[1], q[0], q[1]]).collect()
        };
        let mut lines = round(&outer);
        lines.extend(round(&inner));
        lines.extend([
            [80.0, 234.0, 80.0, 240.0],
            [116.0, 234.0, 116.0, 240.0],
            [80.0, 237.0, 116.0, 237.0],
        ]);
        let plan = recovered(&lines).output;
        let mut corners: Vec<[f64; 2]> =
            plan.storeys[0].outline.iter().map(|p| [p.x, p.y]).collect();
        let mut wanted = outer.to_vec();
        for list in [&mut corners, &mut wanted] {
            list.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
        }
        assert_eq!(corners, wanted);
    }

    #[test]
    fn a_partition_off_the_line_of_an_outside_wall_ends_at_the_inner_corner() {
        // An L: its lower part goes on to the right of x = 200, below y = 150.
        for off in [0.0, 2.0, 3.5, 5.0] {
            let (low, high): (f64, f64) = (145.0 - off, 149.0 - off);
            let mut lines = vec![
                [0.0, 0.0, 400.0, 0.0],
                [400.0, 0.0, 400.0, 150.0],
                [400.0, 150.0, 200.0, 150.0],
                [200.0, 150.0, 200.0, 300.0],
                [200.0, 300.0, 0.0, 300.0],
                [0.0, 300.0, 0.0, 0.0],
                [6.0, 6.0, 394.0, 6.0],
                [394.0, 6.0, 394.0, 144.0],
                [394.0, 144.0, 194.0, 144.0],
                [194.0, high.max(144.0), 194.0, 294.0],
                [194.0, 294.0, 6.0, 294.0],
                [6.0, 294.0, 6.0, high],
                [6.0, low, 6.0, 6.0],
                [6.0, low, 194.0, low],
                [6.0, high, 194.0, high],
                [194.0, low, 194.0, 144.0],
            ];
            lines.extend([
                [80.0, 0.0, 80.0, 6.0],
                [116.0, 0.0, 116.0, 6.0],
                [80.0, 3.0, 116.0, 3.0],
            ]);
            let plan = recovered(&lines).output;
            assert_eq!(plan.storeys[0].rooms.len(), 2, "{off}");
        }
    }
}
