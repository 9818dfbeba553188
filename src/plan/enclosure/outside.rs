//! What the job says is outside: a wall called exterior that parts two rooms leaves one of them out of the building, and so does a
//! place in a room that is called so.
//!
//! ```text
//!   ┌───────┬──────┐          ┌───────┐
//!   │ HALL  │PORCH │   ──►    │ HALL  │      the wall between them is exterior: the porch is no room of the building
//!   └───────┴──────┘          └───────┘
//! ```
//!
//! Which room goes: the one whose name says that it is not heated, else the smaller, one on the building's edge if there is one. One
//! with rooms all round it is open to the sky.

use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::plan::answers::obey::Located;
use crate::plan::enclosure::faces::{Ring, Side};
use crate::plan::enclosure::heated::is_unheated;
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline;
use crate::plan::enclosure::outline::{contains, point_within, polygon, stretches};
use crate::plan::inside::rooms::is_name;
use crate::plan::walls::runs::Run;
use crate::plan::{CorrectionIntent, codes};
use geo::Coord;

/// How far beside a wall's face a point may lie and still mean the wall, inches.
const BESIDE: f64 = 3.0;

/// What the job says of rooms with rooms all round them: places in them, from where the runs' axes begin.
#[derive(Clone, Debug, Default)]
pub(in crate::plan) struct InnerPlaces {
    /// In those open to the sky.
    pub open: Vec<Coord<f64>>,
    /// In those with a roof.
    pub roofed: Vec<Coord<f64>>,
}

/// Takes rooms out of the building that lie beyond walls the job calls exterior, or that it calls so themselves.
///
/// - `origin`: where the runs' axes begin, drawing coordinates.
/// - Returns what is left, and what is said of rooms not at the building's edge.
pub(in crate::plan) fn leave_outside(
    mut rings: Vec<Ring>,
    network: &Network,
    runs: &[Run],
    (located, storey): (&[Located<'_>], &str),
    drawing: &Drawing,
    origin: Coord<f64>,
    findings: &mut Vec<Finding>,
) -> (Vec<Ring>, InnerPlaces) {
    let mut places = InnerPlaces::default();
    for it in located.iter().filter(|it| it.is_drawn_in(&drawing.file)) {
        let at = it.at - origin;
        let outline = |ring: &Ring| polygon(runs, &stretches(network, &ring.sides), 1.0);
        let edge = edge_at(network, runs, at);
        let is_meant = |ring: &Ring| match edge {
            Some((run, i)) => ring.sides.iter().any(|side| is_edge(side, run, i)),
            None => contains(&outline(ring), at),
        };
        let rooms = rings.iter().enumerate();
        let rooms = rooms.filter(|(_, ring)| ring.area > 0.0 && is_meant(ring));
        let inner: Vec<usize> = rooms.map(|(number, _)| number).collect();
        match it.correction.intent {
            CorrectionIntent::Interior => {
                let within = |number: &usize| match edge {
                    Some(_) => point_within(&outline(&rings[*number])),
                    None => Some(at),
                };
                places.roofed.extend(inner.iter().filter_map(within));
                continue;
            }
            CorrectionIntent::Exterior => {}
            _ => continue,
        }
        // A wall with the outside on one side is exterior already.
        if inner.is_empty() || edge.is_some() && inner.len() < 2 {
            continue;
        }
        let holds = |room: usize, is_it: &dyn Fn(&str) -> bool| {
            let outline = outline(&rings[room]);
            let mut texts = drawing.texts.iter();
            texts.any(|it| is_it(&it.content) && contains(&outline, it.middle - origin))
        };
        let outer_of = |room: usize| {
            let is_outer = |ring: &Ring| ring.area < 0.0 && share_edge(ring, &rings[room]);
            rings.iter().position(is_outer)
        };
        let at_edge = inner.iter().filter_map(|room| {
            let is_warm = !holds(*room, &is_unheated);
            Some((is_warm, rings[*room].area, *room, outer_of(*room)?))
        });
        let edge = at_edge.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let within = inner.iter().filter(|room| outer_of(**room).is_none());
        let within = within.map(|room| (holds(*room, &is_name), rings[*room].area, *room));
        let within = within.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        // Nameless and the smaller, with rooms all round it, it is a courtyard rather than its neighbour a porch.
        let court = within.filter(|(is_named, area, _)| {
            edge.is_none_or(|(is_warm, other, ..)| is_warm && !is_named && *area < other)
        });
        if let Some((.., room)) = court {
            places.open.extend(point_within(&outline(&rings[room])));
            continue;
        }
        let Some((_, area, room, outer)) = edge else {
            continue;
        };
        findings.push(Finding::note(
            codes::LEFT_OUTSIDE,
            Place {
                storey: Some(storey.to_owned()),
                ..Place::default()
            }
            .with_at(it.at.x, it.at.y),
            format!(
                "{:.0} sq ft beyond a wall that the job calls exterior are left out of the building",
                area / 144.0
            ),
            "look at the outline on trace.svg",
        ));
        let merged = without(&rings[outer], &rings[room], network);
        let mut kept: Vec<Ring> = rings
            .into_iter()
            .enumerate()
            .filter(|(number, _)| *number != outer && *number != room)
            .map(|(_, ring)| ring)
            .collect();
        kept.extend(merged);
        rings = kept;
    }
    (rings, places)
}

/// The edge of the network under a point: the run, and which of its stops it starts at.
fn edge_at(network: &Network, runs: &[Run], at: Coord<f64>) -> Option<(usize, usize)> {
    let mut best: Option<(f64, usize, usize)> = None;
    for (number, run) in runs.iter().enumerate() {
        let (s, d) = (run.axis.s(at), run.axis.d(at).abs());
        if d > run.thickness / 2.0 + BESIDE {
            continue;
        }
        for (i, pair) in network.stops[number].windows(2).enumerate() {
            if s >= pair[0].0 && s <= pair[1].0 && best.is_none_or(|(known, _, _)| d < known) {
                best = Some((d, number, i));
            }
        }
    }
    best.map(|(_, run, i)| (run, i))
}

fn is_edge(side: &Side, run: usize, i: usize) -> bool {
    side.run == run && side.from.min(side.to) == i
}

pub(in crate::plan) fn is_reverse(a: &Side, b: &Side) -> bool {
    a.run == b.run && a.from == b.to && a.to == b.from
}

fn share_edge(a: &Ring, b: &Ring) -> bool {
    a.sides
        .iter()
        .any(|side| b.sides.iter().any(|other| is_reverse(side, other)))
}

/// The outside with a room added to it: their sides, less those walked both ways, put together to walks again.
pub(in crate::plan) fn without(outer: &Ring, room: &Ring, network: &Network) -> Vec<Ring> {
    let all: Vec<Side> = outer.sides.iter().chain(&room.sides).copied().collect();
    let mut left: Vec<Side> = all
        .iter()
        .filter(|side| !all.iter().any(|other| is_reverse(side, other)))
        .copied()
        .collect();
    let node = |side: &Side, stop: usize| network.stops[side.run][stop].1;
    let mut rings = Vec::new();
    while let Some(first) = left.pop() {
        let start = node(&first, first.from);
        let mut sides = vec![first];
        let mut at = node(&first, first.to);
        while at != start {
            let Some(next) = left.iter().position(|side| node(side, side.from) == at) else {
                break;
            };
            let side = left.remove(next);
            at = node(&side, side.to);
            sides.push(side);
        }
        let corners: Vec<Coord<f64>> = sides
            .iter()
            .map(|side| network.nodes[node(side, side.from)])
            .collect();
        let area = outline::doubled_area(&corners) / 2.0;
        rings.push(Ring { sides, area });
    }
    rings
}
