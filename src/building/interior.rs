//! Interior walls that the job has made of panels: bearing walls, party walls, partitions.
//!
//! ```text
//!   ═══════╗ host                   a run ends at the face of the wall it meets, and is held square to it; where two such walls
//!          ║        face a          meet end to end, the one that stands first in the plan runs on to the other's far face
//!          ╟───────────────────╢
//!          ║        outside face    it is the side on the right, walking the wall as the plan has it
//! ```
//!
//! Where a wall meets another one askew its end is bevelled to lie on that wall's face. One that meets sharper than the rule, or ends
//! in an opening, is a fault that names it; the rest goes on.

use super::as_issued::is_same;
use super::bridge::SnappedFace;
use super::codes;
use super::faces::{Face, interior_faces};
use super::model::{Building, Corner, CornerKind, PanelWall, Tee, WallRole};
use super::openings::raise_openings;
use super::outline::distance;
use super::raise::{Raising, element_place, raise_wall, to_building};
use crate::findings::{Finding, Place};
use crate::geometry::Frame;
use crate::geometry::tolerance::SQUARE_ANGLE_DEG;
use crate::plan::{Storey, Wall};
use crate::rules::InteriorUse;
use crate::units::Length;
use geo::Coord;

/// How far beside a face or an end a drawn end may lie and still meet it, inches.
const MEETS: f64 = 1.0;

/// An interior wall to be made of panels, as drawn, building coordinates.
struct Drawn<'a> {
    plan: &'a Wall,
    role: WallRole,
    face: Face,
    /// The drawn centre line.
    line: Frame,
    length: f64,
    /// Of the panel.
    thickness: Length,
    /// From the centre line to the panel's outside face.
    to_face: f64,
}

/// What stands at a drawn end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Met {
    /// Nothing made of panels.
    Nothing,
    /// A panel wall of the building, by its index there.
    Wall(usize),
    /// Another interior wall, by its place in the list.
    Interior(usize),
    /// The end of another one, which this wall passes.
    Passes(usize),
}

/// Adds the interior walls of a storey that the job has made of panels; its exterior ones stand from `first` on.
pub(super) fn raise_interior(
    raising: &mut Raising<'_>,
    storey: &Storey,
    (storey_index, first): (usize, usize),
    building: &mut Building,
) {
    let drawn = drawn(raising, storey);
    let n_exterior = building.walls.len();
    let met: Vec<[Met; 2]> = (0..drawn.len())
        .map(|i| {
            [true, false].map(|at_start| met_at(raising, building, first, (&drawn, i), at_start))
        })
        .collect();
    // A host stands before its guests: it is known by then where its faces lie.
    let mut raised: Vec<Option<usize>> = vec![None; drawn.len()];
    let mut waiting: Vec<usize> = (0..drawn.len()).collect();
    loop {
        let is_ready = |i: &usize| {
            let mut hosts = met[*i].iter();
            hosts.all(|it| !matches!(it, Met::Interior(host) if waiting.contains(host)))
        };
        let Some(next) = waiting.iter().copied().find(is_ready) else {
            break;
        };
        waiting.retain(|i| *i != next);
        let hosts = met[next].map(|it| match it {
            Met::Wall(index) => Some(index),
            Met::Interior(host) => raised[host],
            Met::Nothing | Met::Passes(_) => None,
        });
        let past = met[next].map(|it| match it {
            Met::Passes(other) => drawn.get(other),
            _ => None,
        });
        let there = (&*building, storey.id.as_str());
        match place(raising, there, &drawn[next], hosts, past) {
            Ok(placed) => {
                raised[next] = Some(building.walls.len());
                stand(
                    raising,
                    storey,
                    storey_index,
                    &drawn[next],
                    placed,
                    building,
                );
            }
            Err(reason) => refuse(raising, storey, &drawn[next], &reason),
        }
    }
    for i in waiting {
        refuse(
            raising,
            storey,
            &drawn[i],
            "each of the walls it meets waits for another",
        );
    }
    let interior = building.walls.get(n_exterior..).unwrap_or_default();
    let parties: Vec<&str> = interior
        .iter()
        .filter(|wall| wall.role == WallRole::Party)
        .map(|wall| wall.id.as_str())
        .collect();
    if !parties.is_empty() {
        let message = format!(
            "{}: a wall between two dwellings; its fire and sound rating is not designed here",
            parties.join(", ")
        );
        raising.findings.push(Finding::doubt(
            codes::PARTY_WALL,
            super::raise::storey_place(storey),
            message,
            "have layers, sealing and the joint to floor and roof detailed by the architect under the local code",
        ));
    }
}

/// The interior walls that the job names, in the order of the plan.
fn drawn<'a>(raising: &mut Raising<'_>, storey: &'a Storey) -> Vec<Drawn<'a>> {
    let mut named = Vec::new();
    for entry in &raising.job.walls {
        let Some(used) = entry.panels else { continue };
        match storey.walls.iter().find(|wall| wall.id == entry.wall) {
            Some(wall) if wall.is_exterior => raising.findings.push(Finding::doubt(
                codes::JOB_NAMES_NOTHING,
                Place::line(&raising.job.file, entry.line),
                format!(
                    "{} is an exterior wall and made of panels anyway: `panels` has no effect",
                    wall.id
                ),
                "leave `panels` out, or name an interior wall of trace.svg",
            )),
            Some(wall) => {
                named.retain(|(known, _): &(&Wall, InteriorUse)| known.id != wall.id);
                named.push((wall, used));
            }
            None => {}
        }
    }
    let order = |wall: &Wall| storey.walls.iter().position(|it| it.id == wall.id);
    named.sort_by_key(|(wall, _)| order(wall));
    let walls: Vec<&Wall> = named.iter().map(|(wall, _)| *wall).collect();
    let faces = interior_faces(raising, storey, &walls);
    let made = named.into_iter().zip(faces);
    made.filter_map(|((plan, used), face)| {
        let [start, end] = [plan.start, plan.end].map(|p| to_building(&storey.to_building, p));
        let line = Frame::from_points(start, end)?;
        let thickness = raising.rules.assemblies.get(face.assembly)?.thickness();
        let to_face = face.drawn_thickness / 2.0 + face.outward.to_inches();
        let out = Frame {
            origin: line.point(0.0, face.drawn_thickness / 2.0),
            ..line
        };
        face.tell_moved(raising, out, distance(start, end));
        Some(Drawn {
            plan,
            role: WallRole::of(used),
            face,
            line,
            length: distance(start, end),
            thickness,
            to_face,
        })
    })
    .collect()
}

/// What stands at the start or the end of a drawn wall.
fn met_at(
    raising: &Raising<'_>,
    building: &Building,
    first: usize,
    (drawn, i): (&[Drawn<'_>], usize),
    at_start: bool,
) -> Met {
    let own = &drawn[i];
    let end = own.line.point(if at_start { 0.0 } else { own.length }, 0.0);
    for (index, wall) in building.walls.iter().enumerate().skip(first) {
        let assembly = raising.rules.assemblies.get(wall.assembly);
        let thickness = assembly.map_or(0.0, |it| it.thickness().to_inches());
        let (along, out) = wall.frame.local(end);
        let deep = thickness.max(wall.drawn_thickness) + MEETS;
        if (-deep..=MEETS).contains(&out) && (0.0..=wall.face_length.to_inches()).contains(&along) {
            return Met::Wall(index);
        }
    }
    for (index, other) in drawn.iter().enumerate().filter(|(index, _)| *index != i) {
        let half = other.thickness.to_inches().max(other.face.drawn_thickness) / 2.0 + MEETS;
        let (along, out) = other.line.local(end);
        if out.abs() > half || !(-half..=other.length + half).contains(&along) {
            continue;
        }
        let reach = own.thickness.to_inches().max(own.face.drawn_thickness) / 2.0 + MEETS;
        let is_at_end = along < reach || along > other.length - reach;
        return if is_at_end && i < index {
            Met::Passes(index)
        } else {
            Met::Interior(index)
        };
    }
    Met::Nothing
}

/// Where a wall stands, and the hosts of its ends with the stretch it takes of each.
struct Placed {
    snapped: SnappedFace,
    hosts: [Option<usize>; 2],
    /// Bevels of ends that are not square, positive where the outside face is the longer one.
    bevels: [Option<f64>; 2],
}

/// Places a wall between the faces it meets; `past` are walls whose ends it passes.
fn place(
    raising: &Raising<'_>,
    (building, storey): (&Building, &str),
    own: &Drawn<'_>,
    hosts: [Option<usize>; 2],
    past: [Option<&Drawn<'_>>; 2],
) -> Result<Placed, String> {
    let middle = own.line.point(own.length / 2.0, 0.0);
    let standing = hosts.map(|host| host.and_then(|index| building.walls.get(index)));
    // In the direction drawn, or square to the first host it meets nearly so.
    let least = raising.rules.corners.tee_least_angle;
    let mut square = None;
    for host in standing.into_iter().flatten() {
        let out = host.frame.out();
        let cosine = out.x * own.line.along.x + out.y * own.line.along.y;
        let degrees = 90.0 - cosine.abs().min(1.0).acos().to_degrees();
        if degrees < least {
            return Err(format!(
                "it meets {} at {degrees:.1} degrees, sharper than {least} (corners.tee_least_angle)",
                host.id
            ));
        }
        if square.is_none() && 90.0 - degrees <= SQUARE_ANGLE_DEG {
            square = Some(out * cosine.signum());
        }
    }
    let along = square.unwrap_or(own.line.along);
    for other in past.into_iter().flatten() {
        let cosine = along.x * other.line.along.x + along.y * other.line.along.y;
        if cosine.abs() > SQUARE_ANGLE_DEG.to_radians().sin() {
            return Err(format!(
                "it meets {} end to end and not square, and no such corner is made inside",
                other.plan.id
            ));
        }
    }
    let axis = Frame {
        origin: middle,
        along,
    };
    let mut face = axis.point(0.0, own.to_face);
    // The face on the shop's grid, counted along the first host.
    if let Some(host) = standing.into_iter().flatten().next() {
        let (at, out) = host.frame.local(face);
        let issued = raising.issued;
        let under = issued.under(&host.storey, &host.frame, host.face_length);
        let on_grid = Length::nearest(at, raising.step);
        let kept = on_grid.map(|at| under.map_or(at, |it| it.side_of_tee(at)));
        face = host.frame.point(kept.map_or(at, Length::to_inches), out);
    }
    let axis = Frame {
        origin: face,
        along,
    };
    let ends = [0, 1].map(|side| {
        let is_start = side == 0;
        if let Some(host) = standing[side] {
            let met = meeting_point(raising, host, face, middle);
            let out = host.frame.out();
            let [reach, slope] = [met - face, along].map(|it| it.x * out.x + it.y * out.y);
            return reach / slope;
        }
        let drawn_end = own.line.point(if is_start { 0.0 } else { own.length }, 0.0);
        let at = axis.local(drawn_end).0;
        let Some(other) = past[side] else { return at };
        // On to the far face of the wall it passes.
        let faces = [other.to_face, other.to_face - other.thickness.to_inches()];
        let reached = faces.map(|out| axis.local(other.line.point(0.0, out)).0);
        if is_start {
            reached[0].min(reached[1])
        } else {
            reached[0].max(reached[1])
        }
    });
    let length = Length::nearest(ends[1] - ends[0], raising.step).unwrap_or_default();
    let frame = Frame {
        origin: axis.point(ends[0], 0.0),
        along,
    };
    let under = raising.issued.under(storey, &frame, length);
    let kept = under.and_then(|it| it.length);
    let length = kept
        .filter(|it| is_same(&[*it], &[length]))
        .unwrap_or(length);
    if length <= Length::ZERO {
        return Err("nothing of it is left between the walls it meets".to_owned());
    }
    Ok(Placed {
        snapped: SnappedFace {
            frame,
            length,
            moved: 0.0,
        },
        hosts,
        bevels: [0, 1].map(|side| {
            let host = standing[side]?;
            let (out, face) = (host.frame.out(), axis.out());
            let across = face.x * out.x + face.y * out.y;
            let ahead = along.x * out.x + along.y * out.y;
            let bevel = (across / ahead).atan().to_degrees();
            let is_square = bevel.abs() <= SQUARE_ANGLE_DEG;
            (!is_square).then_some(if side == 0 { bevel } else { -bevel })
        }),
    })
}

/// A point of the host's face that looks towards `middle`, beside `face`.
fn meeting_point(
    raising: &Raising<'_>,
    host: &PanelWall,
    face: Coord<f64>,
    middle: Coord<f64>,
) -> Coord<f64> {
    let assembly = raising.rules.assemblies.get(host.assembly);
    let thickness = assembly.map_or(0.0, |it| it.thickness().to_inches());
    let (_, out) = host.frame.local(middle);
    let plane = if out > -thickness / 2.0 {
        0.0
    } else {
        -thickness
    };
    let (at, _) = host.frame.local(face);
    host.frame.point(at, plane)
}

/// Raises the placed wall, and tells its hosts where it meets them.
fn stand(
    raising: &mut Raising<'_>,
    storey: &Storey,
    storey_index: usize,
    own: &Drawn<'_>,
    placed: Placed,
    building: &mut Building,
) {
    let mut wall = raise_wall(raising, storey, storey_index, &own.face, &placed.snapped);
    wall.role = own.role;
    // Both its skins bear on the deck.
    wall.skin_drop = Length::ZERO;
    let [left, right] = [0, 1].map(|side| {
        let host = placed.hosts[side];
        host.map_or_else(Corner::default, |with| Corner {
            with: Some(with),
            kind: CornerKind::Tee,
            turn_deg: placed.bevels[side].unwrap_or_default(),
        })
    });
    (wall.left, wall.right) = (left, right);
    raise_openings(raising, storey, &own.face, &mut wall, [None; 2]);
    let (length, thickness) = (wall.face_length.to_inches(), own.thickness.to_inches());
    for (side, host) in placed.hosts.into_iter().enumerate() {
        let Some(host) = host.and_then(|index| building.walls.get_mut(index)) else {
            continue;
        };
        let back = placed.bevels[side].map_or(0.0, |bevel| thickness * bevel.to_radians().tan());
        let ends = if side == 0 {
            [0.0, back]
        } else {
            [length, length - back]
        };
        let faces = [(ends[0], 0.0), (ends[1], -thickness)];
        let sides = faces.map(|(at, out)| host.frame.local(wall.frame.point(at, out)).0);
        let on_grid = |at: f64| Length::nearest(at, raising.step).unwrap_or_default();
        let from = on_grid(sides[0].min(sides[1]));
        let to = match placed.bevels[side] {
            Some(_) => on_grid(sides[0].max(sides[1])),
            None => from + own.thickness,
        };
        let mut tee = [Tee {
            wall: wall.id.clone(),
            from,
            to,
        }];
        let issued = raising.issued;
        if let Some(under) = issued.under(&host.storey, &host.frame, host.face_length) {
            under.keep_tees(&mut tee);
        }
        host.tees
            .retain(|tee| tee.wall != wall.id || (tee.from - from).abs() > to - from);
        host.tees.extend(tee);
        host.tees
            .sort_by(|a, b| (a.from, a.to, &a.wall).cmp(&(b.from, b.to, &b.wall)));
        let in_way = host.openings.iter().find(|it| it.from < to && from < it.to);
        if let Some(opening) = in_way {
            wall.on_hold = true;
            raising.findings.push(Finding::fault(
                codes::INTERIOR_REFUSED,
                element_place(storey, &wall.id).with_sources(wall.sources.iter()),
                format!(
                    "{} ends in {} of {}: nothing stands there to hold it",
                    wall.id, opening.id, host.id
                ),
                "move the wall or the opening in the drawing, or have the wall framed by hand",
            ));
        }
    }
    building.walls.push(wall);
}

fn refuse(raising: &mut Raising<'_>, storey: &Storey, own: &Drawn<'_>, reason: &str) {
    raising.findings.push(Finding::fault(
        codes::INTERIOR_REFUSED,
        element_place(storey, &own.plan.id).with_sources(own.plan.sources.iter()),
        format!("no panels are made for {}: {reason}", own.plan.id),
        "have it framed by hand, correct the drawing, or leave `panels` out of its [[wall.only]]",
    ));
}
