//! The half-edge arrangement of centre lines: the rings that bound rooms and the ring that bounds the building.
//!
//! ```text
//!   ●━━━━●━━━━●       each edge has two sides; walking with the face on the left gives
//!   ┃  R1┃ R2 ┃       rooms counter-clockwise and the outside clockwise
//!   ●━━━━●━━━━●
//! ```
//!
//! Dead ends bound nothing and are left out, as are edges with the same face on both sides: a fence from house to shed.
//! Directions at a node are ordered by exact orientation tests (`robust`, Shewchuk 1997), not by rounded angles.

use crate::plan::enclosure::network::Network;
use geo::Coord;
use robust::orient2d;
use smallvec::SmallVec;

/// One side of an edge, walked from one node to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::plan) struct Side {
    pub run: usize,
    /// Positions in the run's stops.
    pub from: usize,
    pub to: usize,
}

/// A closed walk with its face on the left.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Ring {
    pub sides: Vec<Side>,
    /// Enclosed area of the centre lines, square inches: positive for rooms, negative for outsides.
    pub area: f64,
}

/// The rings of a network.
pub(in crate::plan) fn rings(network: &Network) -> Vec<Ring> {
    let mut edges: Vec<(usize, usize)> = network
        .stops
        .iter()
        .enumerate()
        .flat_map(|(run, stops)| (1..stops.len()).map(move |i| (run, i - 1)))
        .filter(|&(run, i)| network.stops[run][i].1 != network.stops[run][i + 1].1)
        .collect();
    loop {
        prune(network, &mut edges);
        let (rings, bridges) = walk(network, &edges);
        if bridges.is_empty() {
            return rings;
        }
        edges.retain(|edge| bridges.binary_search(edge).is_err());
    }
}

/// Takes dead ends away, and what is one when they are gone.
fn prune(network: &Network, edges: &mut Vec<(usize, usize)>) {
    let ends = |(run, i): (usize, usize)| [0, 1].map(|k| network.stops[run][i + k].1);
    // At each node how many edges, and the numbers of them added up: where one is left, that is its number.
    let mut left = vec![(0_u32, 0_usize); network.nodes.len()];
    for (k, edge) in edges.iter().enumerate() {
        for node in ends(*edge) {
            left[node].0 += 1;
            left[node].1 += k;
        }
    }
    let mut stays = vec![true; edges.len()];
    for first in 0..left.len() {
        let mut node = first;
        while let (1, k) = left[node] {
            stays[k] = false;
            for end in ends(edges[k]) {
                left[end].0 -= 1;
                left[end].1 -= k;
            }
            let [a, b] = ends(edges[k]);
            node = if a == node { b } else { a };
        }
    }
    let mut stays = stays.into_iter();
    edges.retain(|_| stays.next().unwrap_or(true));
}

/// All closed walks, and the edges that have the same face on both sides.
fn walk(network: &Network, edges: &[(usize, usize)]) -> (Vec<Ring>, Vec<(usize, usize)>) {
    // Sides 2k and 2k + 1 are the two sides of edge k.
    let ends = |side: usize| {
        let (run, i) = edges[side / 2];
        let (a, b) = (network.stops[run][i].1, network.stops[run][i + 1].1);
        if side.is_multiple_of(2) {
            (a, b)
        } else {
            (b, a)
        }
    };
    let mut around: Vec<SmallVec<[usize; 4]>> = vec![SmallVec::new(); network.nodes.len()];
    for side in 0..edges.len() * 2 {
        around[ends(side).0].push(side);
    }
    for (node, sides) in around.iter_mut().enumerate() {
        let at = network.nodes[node];
        sides.sort_by(|&p, &q| {
            let (a, b) = (network.nodes[ends(p).1], network.nodes[ends(q).1]);
            by_direction(at, a, b).then(p.cmp(&q))
        });
    }
    let mut ring_of: Vec<Option<usize>> = vec![None; edges.len() * 2];
    let mut rings: Vec<Ring> = Vec::new();
    for first in 0..edges.len() * 2 {
        if ring_of[first].is_some() {
            continue;
        }
        let (mut side, mut sides, mut doubled) = (first, Vec::new(), 0.0);
        let base = network.nodes[ends(first).0];
        while ring_of[side].is_none() {
            ring_of[side] = Some(rings.len());
            let (run, i) = edges[side / 2];
            let (from, to) = if side.is_multiple_of(2) {
                (i, i + 1)
            } else {
                (i + 1, i)
            };
            sides.push(Side { run, from, to });
            let (a, b) = ends(side);
            let (p, q) = (network.nodes[a] - base, network.nodes[b] - base);
            doubled += p.x * q.y - q.x * p.y;
            // At the far node, the next side clockwise from the way back keeps the face on the left.
            let list = &around[b];
            let back = side ^ 1;
            let position = list.iter().position(|&s| s == back).unwrap_or(0);
            side = list[(position + list.len() - 1) % list.len()];
        }
        rings.push(Ring {
            sides,
            area: doubled / 2.0,
        });
    }
    let bridges = (0..edges.len())
        .filter(|&k| ring_of[2 * k].is_some() && ring_of[2 * k] == ring_of[2 * k + 1])
        .map(|k| edges[k])
        .collect();
    (rings, bridges)
}

/// Counter-clockwise order of two points seen from `at`, from the positive x axis.
fn by_direction(at: Coord<f64>, a: Coord<f64>, b: Coord<f64>) -> std::cmp::Ordering {
    let upper = |p: Coord<f64>| p.y > at.y || (p.y >= at.y && p.x > at.x);
    let coord = |p: Coord<f64>| robust::Coord { x: p.x, y: p.y };
    upper(b)
        .cmp(&upper(a))
        .then_with(|| 0.0_f64.total_cmp(&(orient2d(coord(at), coord(a), coord(b)) + 0.0)))
}
