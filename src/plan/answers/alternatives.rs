//! What else walls, openings and rooms may be: what is left of their confidence, shared among the answers that a correction gives.
//!
//! ```text
//!   O3 door 0.70  ──►  opening 0.13, window 0.04, not an opening 0.04, …
//! ```

use crate::findings::{Finding, Severity};
use crate::plan::answers::obey::{body, wall_among};
use crate::plan::axis::{Axis, distance};
use crate::plan::enclosure::heated::is_unheated;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::walls::parts::bears_clearly;
use crate::plan::{Alternative, Opening, OpeningKind, Room, Storey, Wall, codes};
use crate::side_by_side::one_each;
use geo::Coord;
use std::collections::BTreeSet;

/// An alternative less likely than this is none.
const LEAST: f64 = 0.001;
/// A vehicle door is at least this wide, inches: 7 ft. Source: common practice, no source.
const VEHICLE: f64 = 84.0;
/// A room whose name says porch or garage may be meant as outside of what is built.
const PORCH: f64 = 0.1;
/// What looks like a courtyard by its walls alone may be a room.
const COURT: f64 = 0.2;
/// What bounds a room where no wall is found on its edge.
const NO_WALL: f64 = 0.9;

/// Gives each wall, opening and room of a storey what else it may be, and rooms their confidence.
pub(in crate::plan) fn give_alternatives(storey: &mut Storey, findings: &[Finding]) {
    let mut findings = findings.iter();
    let has_court = findings.any(|it| {
        let is_asked = it.code == codes::COURTYARD && it.severity == Severity::Doubt;
        is_asked && it.place.storey.as_ref() == Some(&storey.id)
    });
    let bodies = storey.walls.iter().enumerate();
    let bodies = Nearby::new(bodies.filter_map(|(i, wall)| Some((body(wall)?, i))));
    let rooms = one_each(storey.rooms.len(), |i| {
        of_room(&storey.rooms[i], &storey.walls, &bodies)
    });
    for (room, (confidence, alternatives)) in storey.rooms.iter_mut().zip(rooms) {
        room.confidence = confidence;
        room.alternatives = alternatives;
    }
    let exterior = storey.walls.iter().filter(|wall| wall.is_exterior);
    let exterior: BTreeSet<&str> = exterior.map(|wall| wall.id.as_str()).collect();
    for opening in &mut storey.openings {
        let is_exterior = exterior.contains(opening.wall.as_str());
        opening.alternatives = of_opening(opening, is_exterior);
    }
    for wall in &mut storey.walls {
        let is_of_court = has_court && wall.is_exterior && !is_on(&storey.outline, wall);
        if is_of_court {
            wall.confidence = wall.confidence.min(1.0 - COURT);
        }
        wall.alternatives = of_wall(wall, is_of_court);
    }
}

/// What is left of a confidence, shared by weight, the likeliest first.
fn shared(weights: &[(&'static str, f64)], left: f64) -> Vec<Alternative> {
    let total: f64 = weights.iter().map(|it| it.1).sum();
    let mut list: Vec<Alternative> = weights
        .iter()
        .map(|(is, weight)| Alternative {
            is,
            layer: None,
            confidence: left * weight / total.max(1e-9),
        })
        .filter(|it| it.confidence >= LEAST)
        .collect();
    list.sort_by(|p, q| q.confidence.total_cmp(&p.confidence));
    list
}

/// True when a wall's middle lies on an outline, within its thickness.
fn is_on(outline: &[Coord<f64>], wall: &Wall) -> bool {
    let middle = (wall.start + wall.end) / 2.0;
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    let mut sides = sides.filter_map(|(a, b)| Some((Axis::through(*a, *b)?, distance(*a, *b))));
    sides.any(|(side, long)| {
        let s = side.s(middle);
        side.d(middle).abs() <= wall.thickness && s >= 0.0 && s <= long
    })
}

/// No wall, or one between rooms round what may be no courtyard; and of a layered one each other layer where several may bear, by the square of its thickness: the thick ones bear.
fn of_wall(wall: &Wall, is_of_court: bool) -> Vec<Alternative> {
    let what = if is_of_court {
        "interior"
    } else {
        "not a wall"
    };
    let mut list = shared(&[(what, 1.0)], 1.0 - wall.confidence);
    let square = |t: f64| t * t;
    let total: f64 = wall.layers.iter().map(|it| square(it.thickness)).sum();
    let is_clear = bears_clearly(&wall.layers);
    let others = wall.layers.iter().enumerate();
    list.extend(
        others
            .filter(|(_, layer)| !layer.is_structural && !is_clear)
            .map(|(n, layer)| Alternative {
                is: "core",
                layer: Some(n + 1),
                confidence: square(layer.thickness) / total.max(1e-9),
            }),
    );
    list.sort_by(|p, q| q.confidence.total_cmp(&p.confidence));
    list
}

/// Other kinds, and no opening at all. A door that shows its leaf is no window; what is wide may be for vehicles.
fn of_opening(opening: &Opening, is_exterior: bool) -> Vec<Alternative> {
    let is_hung = opening.leaf.is_some();
    let kinds = [
        (OpeningKind::Door, if is_exterior { 2.0 } else { 3.0 }),
        (
            OpeningKind::Window,
            if is_hung {
                0.0
            } else {
                1.0 + f64::from(u8::from(is_exterior))
            },
        ),
        (OpeningKind::Opening, if is_exterior { 1.0 } else { 3.0 }),
        (
            OpeningKind::GarageDoor,
            if opening.width >= VEHICLE && !is_hung {
                2.0
            } else {
                0.0
            },
        ),
    ];
    let mut weights: Vec<(&'static str, f64)> = kinds
        .iter()
        .filter(|it| it.0 != opening.kind)
        .map(|it| (it.0.name(), it.1))
        .collect();
    weights.push(("not an opening", 1.0));
    shared(&weights, 1.0 - opening.confidence)
}

/// How sure the walls round a room are, and whether it may lie outside.
///
/// - `bodies`: where the walls lie.
fn of_room(room: &Room, walls: &[Wall], bodies: &Nearby) -> (f64, Vec<Alternative>) {
    let ends = room.outline.iter().zip(room.outline.iter().cycle().skip(1));
    let sure = ends
        .filter(|(a, b)| distance(**a, **b) > 6.0)
        .map(|(a, b)| {
            let at = (*a + *b) / 2.0;
            let near = bodies.sorted(&Area::of(at, at)).into_iter();
            wall_among(near.map(|i| &walls[i]), at).map_or(NO_WALL, |(wall, _)| wall.confidence)
        });
    let closed = sure.fold(1.0, f64::min);
    let outside = if is_unheated(&room.name) { PORCH } else { 0.0 };
    (
        closed * (1.0 - outside),
        shared(&[("exterior", 1.0)], outside),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::WallLayer;
    use crate::plan::trial::{open_shell, recovered_among};

    #[test]
    fn a_bare_opening_says_what_else_it_may_be() {
        let lines = open_shell(100.0, 136.0);
        let plan = recovered_among(&lines, &[], &[("PORCH", [180.0, 120.0])]).output;
        let storey = &plan.storeys[0];
        let opening = &storey.openings[0];
        assert_eq!(
            (opening.kind, opening.confidence),
            (OpeningKind::Opening, 0.7)
        );
        let is: Vec<&str> = opening.alternatives.iter().map(|it| it.is).collect();
        assert_eq!(is, ["door", "window", "not an opening"]);
        let sum: f64 = opening.alternatives.iter().map(|it| it.confidence).sum();
        assert!((sum - 0.3).abs() < 1e-9);
        let room = &storey.rooms[0];
        assert_eq!(room.alternatives[0].is, "exterior");
        assert!(room.confidence > 0.8 && room.confidence < 0.95);
        assert_eq!(room.sources.len(), 1);
    }

    #[test]
    fn another_layer_may_bear() {
        let layer = |thickness, is_structural| WallLayer {
            thickness,
            is_structural,
        };
        let wall = Wall {
            layers: vec![layer(3.0, false), layer(4.0, true)],
            confidence: 0.999,
            ..Wall::default()
        };
        let list = of_wall(&wall, false);
        assert_eq!((list[0].is, list[0].layer), ("core", Some(1)));
        assert!((list[0].confidence - 0.36).abs() < 1e-9);
        assert_eq!(list[1].is, "not a wall");
    }
}
