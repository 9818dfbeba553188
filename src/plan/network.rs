//! Runs meet: nodes at crossings of their middles, and the ring of walls that faces the outside.
//!
//! Method: (1) each end of a run goes to the nearest crossing of middles that its faces reach; (2) runs that meet form
//! networks, and the one with most openings and length is the building: a double border line meets nothing; (3) the
//! unbounded face of the planar graph of middles, walked with the outside on the right, gives the exterior runs in order.

use super::rails::Family;
use super::runs::Run;
use geo::Coord;

/// How far an end may miss the wall it meets, beyond half its thickness, inches.
const REACH: f64 = 2.5;

/// A run with its middle line stretched to the walls it meets.
#[derive(Clone, Debug)]
pub(super) struct Member {
    pub(super) run: usize,
    pub(super) start: Coord<f64>,
    pub(super) end: Coord<f64>,
    /// Where other walls meet along it, distances from `start`, both ends included.
    pub(super) stops: Vec<(f64, usize)>,
    /// Ends that meet nothing.
    pub(super) free: [bool; 2],
}

/// The building's walls, and the ring that faces the outside.
#[derive(Clone, Debug, Default)]
pub(super) struct Network {
    pub(super) members: Vec<Member>,
    pub(super) nodes: Vec<Coord<f64>>,
    /// Pieces of the outer ring in order, outside on the right: member, from node, to node.
    pub(super) ring: Vec<(usize, usize, usize)>,
    /// Ends of exterior walls that meet nothing, when the ring does not close.
    pub(super) gaps: Vec<Coord<f64>>,
}

fn direction(families: &[Family], run: &Run) -> Coord<f64> {
    families[run.family].along
}

/// The crossing of two middles in the axes of `a`: u along a, u along b.
fn crossing(families: &[Family], a: &Run, b: &Run) -> Option<(f64, f64)> {
    let (fa, fb) = (&families[a.family], &families[b.family]);
    let sine = fa.along.x * fb.along.y - fa.along.y * fb.along.x;
    if sine.abs() < 0.05 {
        return None;
    }
    // Point on b's middle that lies at a's middle offset.
    let base = fb.point(0.0, b.middle());
    let step = fb.along;
    let (_, v0) = fa.local(base);
    let (_, v1) = fa.local(base + step);
    let ub = (a.middle() - v0) / (v1 - v0);
    let (ua, _) = fa.local(base + step * ub);
    Some((ua, ub))
}

/// How much of b's body a's middle crosses, half of it, plus what a's own corner needs.
fn reach(families: &[Family], a: &Run, b: &Run) -> f64 {
    let (da, db) = (direction(families, a), direction(families, b));
    let sine = (da.x * db.y - da.y * db.x).abs();
    let cosine = (da.x * db.x + da.y * db.y).abs();
    (b.thickness() / 2.0 + a.thickness() / 2.0 * cosine) / sine + REACH
}

pub(super) fn network(families: &[Family], runs: &[Run]) -> Network {
    let chosen = building(families, runs);
    let mut members: Vec<Member> = Vec::new();
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for index in &chosen {
        let run = &runs[*index];
        let mut span = (run.u0, run.u1);
        let mut free = [true, true];
        for other in &chosen {
            let Some((ua, ub)) = crossing(families, run, &runs[*other]) else {
                continue;
            };
            let other = &runs[*other];
            let along_other = reach(families, other, run);
            if ub < other.u0 - along_other || ub > other.u1 + along_other {
                continue;
            }
            let reach = reach(families, run, other);
            if (ua - run.u0).abs() <= reach
                && (free[0] || (ua - run.u0).abs() < (span.0 - run.u0).abs())
            {
                span.0 = ua;
                free[0] = false;
            }
            if (ua - run.u1).abs() <= reach
                && (free[1] || (ua - run.u1).abs() < (span.1 - run.u1).abs())
            {
                span.1 = ua;
                free[1] = false;
            }
        }
        let family = &families[run.family];
        members.push(Member {
            run: *index,
            start: family.point(span.0, run.middle()),
            end: family.point(span.1, run.middle()),
            stops: Vec::new(),
            free,
        });
        spans.push(span);
    }
    let nodes = place_nodes(&mut members);
    let (ring, gaps) = outer_ring(&members, &nodes);
    Network {
        members,
        nodes,
        ring,
        gaps,
    }
}

/// Runs that meet, directly or through others: the network with most openings and length.
fn building(families: &[Family], runs: &[Run]) -> Vec<usize> {
    let mut group: Vec<usize> = (0..runs.len()).collect();
    fn root(group: &mut [usize], mut i: usize) -> usize {
        while group[i] != i {
            group[i] = group[group[i]];
            i = group[i];
        }
        i
    }
    for a in 0..runs.len() {
        for b in a + 1..runs.len() {
            let Some((ua, ub)) = crossing(families, &runs[a], &runs[b]) else {
                continue;
            };
            let (ra, rb) = (
                reach(families, &runs[a], &runs[b]),
                reach(families, &runs[b], &runs[a]),
            );
            let meets = ua >= runs[a].u0 - ra
                && ua <= runs[a].u1 + ra
                && ub >= runs[b].u0 - rb
                && ub <= runs[b].u1 + rb;
            if meets {
                let (x, y) = (root(&mut group, a), root(&mut group, b));
                group[x.max(y)] = x.min(y);
            }
        }
    }
    let mut score: std::collections::BTreeMap<usize, (usize, f64)> =
        std::collections::BTreeMap::new();
    for i in 0..runs.len() {
        let r = root(&mut group, i);
        let entry = score.entry(r).or_insert((0, 0.0));
        entry.0 += runs[i].openings.len();
        entry.1 += runs[i].u1 - runs[i].u0;
    }
    let best = score
        .iter()
        .max_by(|(i, a), (j, b)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(j.cmp(i)))
        .map(|(r, _)| *r);
    (0..runs.len())
        .filter(|i| Some(root(&mut group, *i)) == best)
        .collect()
}

/// Distinct points where members meet, and the stops along each member.
fn place_nodes(members: &mut [Member]) -> Vec<Coord<f64>> {
    let mut nodes: Vec<Coord<f64>> = Vec::new();
    let node_at = |nodes: &mut Vec<Coord<f64>>, p: Coord<f64>| -> usize {
        let near = nodes
            .iter()
            .position(|q| (q.x - p.x).hypot(q.y - p.y) < 1.0);
        near.unwrap_or_else(|| {
            nodes.push(p);
            nodes.len() - 1
        })
    };
    let lines: Vec<(Coord<f64>, Coord<f64>)> = members.iter().map(|m| (m.start, m.end)).collect();
    for (i, member) in members.iter_mut().enumerate() {
        let (start, end) = lines[i];
        let length = (end.x - start.x).hypot(end.y - start.y);
        let mut stops = vec![
            (0.0, node_at(&mut nodes, start)),
            (length, node_at(&mut nodes, end)),
        ];
        for (j, (a, b)) in lines.iter().enumerate() {
            if i == j {
                continue;
            }
            let d = Coord {
                x: (end.x - start.x) / length,
                y: (end.y - start.y) / length,
            };
            for p in [a, b] {
                let r = *p - start;
                let (u, v) = (r.x * d.x + r.y * d.y, d.x * r.y - d.y * r.x);
                if v.abs() < 1.0 && u > 1.0 && u < length - 1.0 {
                    stops.push((u, node_at(&mut nodes, *p)));
                }
            }
            // Crossings in the middle of both.
            let e = *b - *a;
            let sine = d.x * e.y - d.y * e.x;
            if sine.abs() > 1e-9 {
                let r = *a - start;
                let (u, w) = (
                    (r.x * e.y - r.y * e.x) / sine,
                    (r.x * d.y - r.y * d.x) / sine,
                );
                if u > 1.0 && u < length - 1.0 && w > 0.0 && w < 1.0 {
                    let p = start + d * u;
                    stops.push((u, node_at(&mut nodes, p)));
                }
            }
        }
        stops.sort_by(|p, q| p.0.total_cmp(&q.0));
        stops.dedup_by_key(|stop| stop.1);
        member.stops = stops;
    }
    nodes
}

/// Walks the unbounded face with the outside on the right; dead ends are left out.
#[expect(
    clippy::type_complexity,
    reason = "a ring and the ends that keep it open"
)]
fn outer_ring(
    members: &[Member],
    nodes: &[Coord<f64>],
) -> (Vec<(usize, usize, usize)>, Vec<Coord<f64>>) {
    let mut edges: Vec<(usize, usize, usize)> = members
        .iter()
        .enumerate()
        .flat_map(|(m, member)| {
            member
                .stops
                .windows(2)
                .map(move |pair| (m, pair[0].1, pair[1].1))
        })
        .filter(|(_, a, b)| a != b)
        .collect();
    // Dead ends bound no face.
    let mut gaps = Vec::new();
    loop {
        let mut degree = vec![0; nodes.len()];
        for (_, a, b) in &edges {
            degree[*a] += 1;
            degree[*b] += 1;
        }
        let before = edges.len();
        edges.retain(|(m, a, b)| {
            let dead = degree[*a] < 2 || degree[*b] < 2;
            if dead {
                let end = if degree[*a] < 2 { *a } else { *b };
                let _ = m;
                gaps.push(nodes[end]);
            }
            !dead
        });
        if edges.len() == before {
            break;
        }
    }
    let used = |n: &usize| edges.iter().any(|(_, a, b)| a == n || b == n);
    let Some(first) = (0..nodes.len()).filter(used).min_by(|a, b| {
        nodes[*a]
            .y
            .total_cmp(&nodes[*b].y)
            .then(nodes[*a].x.total_cmp(&nodes[*b].x))
    }) else {
        return (Vec::new(), gaps);
    };
    // From the lowest node, coming from below, turn as far right as possible at every node: counter-clockwise round.
    let mut ring = Vec::new();
    let mut at = first;
    let mut heading = std::f64::consts::FRAC_PI_2;
    let mut arrived: Option<(usize, usize, usize)> = None;
    for _ in 0..edges.len() * 2 + 2 {
        let turn = |to: usize| {
            let d = nodes[to] - nodes[at];
            (d.y.atan2(d.x) - heading + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU)
        };
        let next = edges
            .iter()
            .filter_map(|(m, a, b)| {
                if *a == at {
                    Some((*m, *a, *b))
                } else if *b == at {
                    Some((*m, *b, *a))
                } else {
                    None
                }
            })
            .filter(|(m, _, to)| arrived.is_none_or(|(am, from, _)| (am, from) != (*m, *to)))
            .min_by(|p, q| turn(p.2).total_cmp(&turn(q.2)));
        let Some(step) = next else { break };
        if ring.first() == Some(&step) {
            return (ring, Vec::new());
        }
        ring.push(step);
        let d = nodes[step.2] - nodes[at];
        heading = d.y.atan2(d.x);
        at = step.2;
        arrived = Some(step);
    }
    (Vec::new(), gaps)
}
