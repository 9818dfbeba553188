//! Decks and porches whose rails are drawn as two lines: they close with the house, and are no part of it.
//! One without a name is known by walls like those outside between it and the house.
//!
//! ```text
//!   ┏━━━━━━━━━━━━┓
//!   ┃   LIVING   ┃
//!   ┗━┯━━━╍╍━━━┯━┛      by its name under the open sky, and round it thin walls with nothing in them: left out, and asked
//!     │  DECK  │
//!     └────────┘
//! ```

use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::plan::codes;
use crate::plan::enclosure::faces::{Ring, Side};
use crate::plan::enclosure::heated::{is_outdoors, is_unheated};
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline::{contains, point_within, polygon, stretches};
use crate::plan::enclosure::outside::{is_reverse, without};
use crate::plan::enclosure::wells::LEAST;
use crate::plan::walls::runs::Run;
use geo::Coord;
use std::collections::BTreeSet;

/// Rails are at most this thick, as a share of the thickest outside wall.
const RAIL: f64 = 0.8;

/// Takes places out of the building that have rails round them and are named as not heated, or not named; each with a doubt.
///
/// - `origin`: where the runs' axes begin, drawing coordinates.
/// - `roofed`: places that the job calls rooms, from there.
pub(in crate::plan) fn leave_decks(
    mut rings: Vec<Ring>,
    network: &Network,
    runs: &[Run],
    (drawing, origin): (&Drawing, Coord<f64>),
    roofed: &[Coord<f64>],
    findings: &mut Vec<Finding>,
) -> Vec<Ring> {
    let named = drawing.texts.iter().filter(|it| is_unheated(&it.content));
    let named: Vec<(&str, Coord<f64>)> = named
        .map(|text| (text.content.as_str(), text.middle - origin))
        .collect();
    for (name, at) in named {
        let Some(room) = room_round(&rings, network, runs, at) else {
            continue;
        };
        if is_room(&rings[room], network, runs, roofed) {
            continue;
        }
        if let Some(outer) = outside_of(&rings, network, runs, room, false) {
            findings.push(left_out(name, at + origin, drawing));
            leave(&mut rings, network, room, outer);
        } else if is_outdoors(name)
            && let Some(Walled {
                outer,
                doors,
                is_open,
            }) = walled(&rings, network, runs, room)
        {
            // What opens into it stands in an outside wall then: it is asked there too.
            for p in std::iter::once(at).chain(doors) {
                findings.push(walled_in(name, (p + origin, at + origin), is_open, drawing));
            }
            leave(&mut rings, network, room, outer);
        }
    }
    while let Some((room, outer)) = without_name(&rings, network, runs, (drawing, origin), roofed) {
        let at = middle(&rings[room], network, runs) + origin;
        findings.push(left_out("a place without a name", at, drawing));
        leave(&mut rings, network, room, outer);
    }
    rings
}

/// What to write in the job that keeps a place in the building, or that takes it out.
///
/// - `at`: in it, drawing coordinates.
pub(in crate::plan) fn answer(at: Coord<f64>, is: &str) -> String {
    format!(
        "write in job.toml: [[correction]] at = [{:.1}, {:.1}] is = \"{is}\"",
        at.x, at.y
    )
}

fn left_out(name: &str, at: Coord<f64>, drawing: &Drawing) -> Finding {
    Finding::doubt(
        codes::LEFT_OUTSIDE,
        Place::file(&drawing.file).with_at(at.x, at.y),
        format!(
            "{name} closes with the house by walls as thin as rails and without a door or window: left out of the building"
        ),
        format!(
            "if it is a room of the building, {}; or draw its walls as thick as the others or with their windows",
            answer(at, "interior")
        ),
    )
}

fn walled_in(
    name: &str,
    (at, within): (Coord<f64>, Coord<f64>),
    is_open: bool,
    drawing: &Drawing,
) -> Finding {
    let how = if is_open {
        "is open towards the outside from wall to wall, or closed by glass or lines alone: taken as outdoors"
    } else {
        "has walls towards the outside without a door or window in them: taken as low walls outdoors"
    };
    Finding::doubt(
        codes::LEFT_OUTSIDE,
        Place::file(&drawing.file).with_at(at.x, at.y),
        format!("{name} {how}, left out of the building"),
        format!(
            "if it is a room of the building, {}; or give it another name, or draw what opens in its walls",
            answer(within, "interior")
        ),
    )
}

/// A place that is outdoors by its name, behind walls.
struct Walled {
    /// The outside beyond it.
    outer: usize,
    /// The middles of what opens into it from the house.
    doors: Vec<Coord<f64>>,
    /// One of its sides is open from wall to wall.
    is_open: bool,
}

/// An opening as wide leaves a side of a place open, inches, where no more than walls across are beside it.
const OPEN: f64 = 84.0;

/// The outside beyond a room in whose outside walls nothing opens but all of a side, and what opens into it from the house; none where
/// the outside would go all round it or the walls towards the house are not those of the outside.
fn walled(rings: &[Ring], network: &Network, runs: &[Run], room: usize) -> Option<Walled> {
    let is_shared = |other: &Ring, side: &Side| other.sides.iter().any(|it| is_reverse(side, it));
    let own = &rings[room].sides;
    let outer = (0..rings.len())
        .find(|&i| rings[i].area < 0.0 && own.iter().any(|side| is_shared(&rings[i], side)))?;
    let (edge, inner): (Vec<&Side>, Vec<&Side>) =
        own.iter().partition(|side| is_shared(&rings[outer], side));
    let middles = |side: &Side| -> Vec<Coord<f64>> {
        let stop = |i: usize| network.stops[side.run][i].0;
        let (low, high) = (
            stop(side.from).min(stop(side.to)),
            stop(side.from).max(stop(side.to)),
        );
        let middles = runs[side.run].cells.iter();
        let middles = middles.map(|it| f64::midpoint(it.u0, it.u1));
        let middles = middles.filter(|u| *u > low && *u < high);
        middles.map(|u| runs[side.run].axis.point(u, 0.0)).collect()
    };
    let thick = own.iter().map(|side| runs[side.run].thickness);
    let thickest = thick.fold(0.0, f64::max);
    let thinnest = |sides: &[&Side]| {
        let thick = sides.iter().map(|side| runs[side.run].thickness);
        thick.fold(f64::INFINITY, f64::min)
    };
    // From wall to wall there is nothing but what opens: posts with lines between them, the edge of a deck.
    let is_open = |side: &Side| {
        let stop = |i: usize| network.stops[side.run][i].0;
        let long = (stop(side.to) - stop(side.from)).abs();
        let middle = f64::midpoint(stop(side.to), stop(side.from));
        let mut cells = runs[side.run].cells.iter();
        cells.any(|it| {
            let wide = it.u1 - it.u0;
            it.u0 < middle && it.u1 > middle && wide >= OPEN && long - wide <= 2.0 * thickest
        })
    };
    let has_open = edge.iter().any(|side| is_open(side));
    let is_closed = edge
        .iter()
        .all(|side| middles(side).is_empty() || is_open(side));
    let is_house = edge.len() < rings[outer].sides.len() && !inner.is_empty();
    let is_like_outside =
        thinnest(&inner) > RAIL * thinnest(&edge).min(thinnest(&rest(rings, outer, &edge)));
    let is_it = is_closed && is_house && is_like_outside && rings[room].area >= LEAST;
    is_it.then(|| Walled {
        outer,
        doors: inner.iter().flat_map(|side| middles(side)).collect(),
        is_open: has_open,
    })
}

/// The sides of an outside that are not among those of a room.
fn rest<'a>(rings: &'a [Ring], outer: usize, edge: &[&Side]) -> Vec<&'a Side> {
    let sides = rings[outer].sides.iter();
    sides
        .filter(|side| !edge.iter().any(|it| is_reverse(side, it)))
        .collect()
}

/// Gives a room to the outside.
pub(in crate::plan) fn leave(rings: &mut Vec<Ring>, network: &Network, room: usize, outer: usize) {
    let merged = without(&rings[outer], &rings[room], network);
    let mut index = 0..;
    rings.retain(|_| index.next().is_some_and(|i: usize| i != room && i != outer));
    rings.extend(merged);
}

pub(in crate::plan) fn corners(ring: &Ring, network: &Network, runs: &[Run]) -> Vec<Coord<f64>> {
    polygon(runs, &stretches(network, &ring.sides), 1.0)
}

/// The middle of a room's corners, to point at; where that is not in it, a point that is.
pub(in crate::plan) fn middle(ring: &Ring, network: &Network, runs: &[Run]) -> Coord<f64> {
    let corners = corners(ring, network, runs);
    let mean = mean(&corners);
    if contains(&corners, mean) {
        return mean;
    }
    point_within(&corners).unwrap_or(mean)
}

fn mean(corners: &[Coord<f64>]) -> Coord<f64> {
    let sum = corners.iter().fold(Coord::default(), |sum, p| sum + *p);
    #[expect(clippy::cast_precision_loss, reason = "a room has few corners")]
    let count = corners.len().max(1) as f64;
    sum / count
}

/// A room in which nothing is written, that only rails part from the outside and only walls like those outside from the house; and
/// the outside beyond it.
fn without_name(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    (drawing, origin): (&Drawing, Coord<f64>),
    roofed: &[Coord<f64>],
) -> Option<(usize, usize)> {
    // Most rooms have no thin wall to the outside: that is looked up, and only the others are looked at.
    let outside = || rings.iter().filter(|ring| ring.area < 0.0);
    let edges = outside().flat_map(|ring| &ring.sides);
    let edges: BTreeSet<(usize, usize, usize)> = edges.map(|it| (it.run, it.to, it.from)).collect();
    let thick = edges
        .iter()
        .map(|it| runs[it.0].thickness)
        .fold(0.0, f64::max);
    let has_rails = |i: &usize| {
        let sides = rings[*i].sides.iter();
        let mut edge = sides
            .filter(|it| edges.contains(&(it.run, it.from, it.to)))
            .peekable();
        edge.peek().is_some() && edge.all(|it| runs[it.run].thickness <= RAIL * thick)
    };
    let rooms = (0..rings.len()).filter(|&i| rings[i].area > 0.0);
    let mut found = rooms
        .filter(has_rails)
        .filter_map(|room| Some((room, outside_of(rings, network, runs, room, true)?)));
    found.find(|(room, _)| {
        let outline = corners(&rings[*room], network, runs);
        let mut texts = drawing.texts.iter();
        let holds = |p: &Coord<f64>| contains(&outline, *p);
        !texts.any(|text| holds(&(text.middle - origin))) && !roofed.iter().any(holds)
    })
}

/// True when the job says that a place is a room of the building.
pub(in crate::plan) fn is_room(
    ring: &Ring,
    network: &Network,
    runs: &[Run],
    roofed: &[Coord<f64>],
) -> bool {
    !roofed.is_empty() && {
        let outline = corners(ring, network, runs);
        roofed.iter().any(|p| contains(&outline, *p))
    }
}

/// The room round a point.
pub(in crate::plan) fn room_round(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    at: Coord<f64>,
) -> Option<usize> {
    (0..rings.len())
        .find(|&i| rings[i].area > 0.0 && contains(&corners(&rings[i], network, runs), at))
}

/// The outside beyond a room, where only rails part them.
///
/// - `is_strict`: no opening of any kind in them, and walls like those outside between the room and the house.
fn outside_of(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    room: usize,
    is_strict: bool,
) -> Option<usize> {
    let shared = |other: &Ring| -> Vec<Side> {
        let own = rings[room].sides.iter().copied();
        own.filter(|side| other.sides.iter().any(|it| is_reverse(side, it)))
            .collect()
    };
    let outer = (0..rings.len()).find(|&i| rings[i].area < 0.0 && !shared(&rings[i]).is_empty())?;
    let edge = shared(&rings[outer]);
    let sides = rings[outer].sides.iter();
    let thickest = sides
        .map(|side| runs[side.run].thickness)
        .fold(0.0, f64::max);
    let is_rail = |side: &Side| {
        let run = &runs[side.run];
        let (a, b) = (
            network.stops[side.run][side.from].0,
            network.stops[side.run][side.to].0,
        );
        let mut cells = run.cells.iter();
        run.thickness <= RAIL * thickest
            && !cells.any(|it| {
                let middle = f64::midpoint(it.u0, it.u1);
                (is_strict || it.evidence.is_drawn()) && middle > a.min(b) && middle < a.max(b)
            })
    };
    let is_like_outside = || {
        let mut inner = rings[room].sides.iter();
        let is_edge = |side: &Side| rings[outer].sides.iter().any(|it| is_reverse(side, it));
        inner.all(|side| is_edge(side) || runs[side.run].thickness > RAIL * thickest)
    };
    // Rails end at the house: a thin outside wall goes on beyond a cabinet that closes a corner of the room behind it.
    let are_rails = || {
        let mut sides = rings[outer].sides.iter();
        let is_own = |side: &Side| rings[room].sides.iter().any(|it| is_reverse(side, it));
        rings[room].area >= LEAST
            && sides.all(|side| edge.iter().all(|it| it.run != side.run) || is_own(side))
    };
    // A house that is all thin has no rails.
    let is_deck = edge.len() < rings[outer].sides.len()
        && edge.iter().all(is_rail)
        && (!is_strict || is_like_outside() && are_rails());
    is_deck.then_some(outer)
}

#[cfg(test)]
mod tests {
    use crate::findings::Finding;
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, open_shell, recovered_among, sides};

    /// The house with a window in its lower wall, and below it a place with rails round it.
    fn low_edge(name: &str, rail: f64) -> (f64, Vec<[f64; 3]>, bool) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for d in [0.0, rail] {
            let (left, right, low) = (60.0 + d, 260.0 - d, -100.0 + d);
            lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
            lines.push([left, low, right, low]);
        }
        let words = [("LIVING", [180.0, 120.0]), (name, [160.0, -50.0])];
        let words = &words[..if name.is_empty() { 1 } else { 2 }];
        let found = recovered_among(&lines, &[], words);
        let outline = &found.output.storeys[0].outline;
        let low = outline.iter().map(|p| p.y).fold(0.0, f64::min);
        let is_asked = found
            .findings
            .iter()
            .any(|it| it.code == codes::LEFT_OUTSIDE && it.place.at.is_some_and(|p| p[1] < 0.0));
        (low, exterior_openings(&found.output), is_asked)
    }

    #[test]
    fn a_deck_with_rails_is_no_part_of_the_house() {
        let window = vec![[118.0, 3.0, 36.0]];
        for name in ["DECK", ""] {
            assert_eq!(low_edge(name, 3.5), (0.0, window.clone(), true), "{name}");
        }
    }

    #[test]
    fn a_cabinet_that_closes_a_corner_behind_a_thin_wall_leaves_it_outside() {
        // The lower wall is 4 in thick, the others 6; a box of 12 in closes a corner against it.
        let mut lines = open_shell(200.0, 236.0);
        lines.retain(|l| !(l[1] < 7.0 && l[3] < 7.0 && l[0] != l[2]));
        for (low, high) in [(6.0, 200.0), (236.0, 354.0)] {
            lines.extend([[low, 4.0, high, 4.0], [low, 0.0, high, 0.0]]);
        }
        lines.extend([[0.0, 0.0, 6.0, 0.0], [354.0, 0.0, 360.0, 0.0]]);
        lines.push([200.0, 2.0, 236.0, 2.0]);
        for d in [0.0, 12.0] {
            lines.extend([
                [60.0 + d, 4.0, 60.0 + d, 80.0 + d],
                [6.0, 80.0 + d, 60.0 + d, 80.0 + d],
            ]);
        }
        let found = recovered_among(&lines, &[], &[]);
        let is_asked = |it: &Finding| it.code == codes::LEFT_OUTSIDE;
        assert!(!found.findings.iter().any(is_asked));
    }

    #[test]
    fn a_garage_as_wide_as_its_door_is_a_part_of_the_house() {
        // In the lower left corner, its partitions thinner than the outside; its door leaves 9 in at either side.
        let mut lines = open_shell(15.0, 123.0);
        lines.push([15.0, 3.0, 123.0, 3.0]);
        for d in [0.0, 3.5] {
            lines.extend([[132.0 + d, 6.0, 132.0 + d, 120.0 + d]]);
            lines.push([6.0, 120.0 + d, 132.0 + d, 120.0 + d]);
        }
        let words = [("LIVING", [240.0, 120.0]), ("GARAGE", [70.0, 60.0])];
        let plan = recovered_among(&lines, &[], &words).output;
        assert_eq!(plan.storeys[0].outline.len(), 4);
        assert_eq!(exterior_openings(&plan), [[69.0, 3.0, 108.0]]);
    }

    #[test]
    fn what_is_outdoors_by_its_name_is_left_out_and_asked_about_where_nothing_opens_in_its_walls() {
        let window = vec![[118.0, 3.0, 36.0]];
        for (name, thick) in [("PATIO", 6.0), ("COVERED PORCH", 9.0), ("TERRACE", 12.0)] {
            assert_eq!(low_edge(name, thick), (0.0, window.clone(), true), "{name}");
        }
        // A store is a room whatever opens in it.
        assert_eq!(low_edge("SHED", 6.0), (-100.0, Vec::new(), false));
    }

    #[test]
    fn a_porch_between_walls_with_only_its_edge_drawn_before_it_is_left_out_and_asked_about() {
        // Walls of the house's thickness on either side; in line with their ends a beam, the edge of the floor, and posts.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for x in [54.0, 260.0] {
            lines.extend([[x, 0.0, x, -100.0], [x + 6.0, 0.0, x + 6.0, -100.0]]);
            lines.push([x, -100.0, x + 6.0, -100.0]);
        }
        lines.extend([-98.0, -92.0].map(|y| [60.0, y, 260.0, y]));
        for x in [66.0, 150.0, 248.0] {
            lines.extend(sides(x, -98.0, x + 6.0, -92.0));
        }
        let words = [
            ("LIVING", [180.0, 120.0]),
            ("COVERED PORCH", [160.0, -50.0]),
        ];
        let found = recovered_among(&lines, &[], &words);
        assert_eq!(exterior_openings(&found.output), [[118.0, 3.0, 36.0]]);
        let is_asked = |it: &Finding| it.code == codes::LEFT_OUTSIDE;
        assert!(found.findings.iter().any(is_asked));
    }

    #[test]
    fn a_place_with_walls_and_another_name_is_a_part_of_the_house() {
        assert_eq!(low_edge("", 6.0), (-100.0, Vec::new(), true));
        assert_eq!(low_edge("STUDY", 3.5), (-100.0, Vec::new(), false));
    }
}
