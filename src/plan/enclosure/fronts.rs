//! Fronts of garages that their vehicle door fills: one line from the end of a side wall to the wall across, and no pier beside it.
//!
//! ```text
//!   ━━━━━━━━━━━━┓
//!     GARAGE    ┃
//!   ┃           ┃       the side wall ends at nothing, a line goes on from its face to the other wall:
//!   ┃───────────┃       an opening from face to face, as thick as the side wall
//! ```
//!
//! A line across a porch or a carport looks the same, the edge of its floor or roof: what has the name of a place outdoors or of
//! a carport is none, and without a name it must be as deep as a car.

use crate::drawing::Drawing;
use crate::plan::axis::{Axis, distance, dot};
use crate::plan::enclosure::faces::{Ring, rings as rings_of};
use crate::plan::enclosure::heated::{holds_vehicles, is_carport, is_outdoors};
use crate::plan::enclosure::network::{Network, network as network_of};
use crate::plan::enclosure::outline::{contains, polygon, stretches};
use crate::plan::lines::symbols::Place;
use crate::plan::walls::fill::between;
use crate::plan::walls::runs::{Cell, Run};
use geo::Coord;

/// Vehicle doors are so wide, inches: 7 to 20 ft. Source: common practice, no source.
const WIDE: (f64, f64) = (84.0, 240.0);
/// A place without a name is a garage from this depth on, inches: 15 ft. Source: common practice, no source.
const DEEP: f64 = 180.0;
/// A line ends at a face within this, inches, beyond the drawing's slack.
const AT_FACE: f64 = 0.6;

/// Adds the fronts that close a place outside every room, with the network and the rings they make.
pub(in crate::plan) fn close_fronts(
    runs: &mut Vec<Run>,
    (network, rings): (&mut Network, &mut Vec<Ring>),
    place: &Place<'_>,
    drawing: &Drawing,
    origin: Coord<f64>,
) {
    let mut found = Vec::new();
    for i in 0..runs.len() {
        for side in [0, 1] {
            let is_end = network.free[i][side] && runs[i].capped[side];
            if !is_end || network.stops[i].is_empty() || runs[i].curve.is_some() {
                continue;
            }
            let deep = runs[i].u1 - runs[i].u0;
            found.extend(front(runs, (i, side), place).map(|it| (it, deep)));
        }
    }
    if found.is_empty() {
        return;
    }
    let outer = rings.iter().filter(|ring| ring.area < 0.0);
    let outlines: Vec<Vec<Coord<f64>>> = outer
        .map(|ring| polygon(runs, &stretches(network, &ring.sides), 1.0))
        .collect();
    found.retain(|(front, _)| {
        let middle = front.axis.point(f64::midpoint(front.u0, front.u1), 0.0);
        !outlines.iter().any(|outline| contains(outline, middle))
    });
    for (front, deep) in found {
        let mut tried = runs.clone();
        tried.push(front);
        let made = network_of(&tried);
        let around = rings_of(&made);
        let of_front =
            |ring: &&Ring| ring.area > 0.0 && ring.sides.iter().any(|it| it.run == tried.len() - 1);
        let Some(room) = around.iter().find(of_front) else {
            continue;
        };
        let outline = polygon(&tried, &stretches(&made, &room.sides), 1.0);
        let texts = drawing.texts.iter();
        let names = texts.filter(|text| contains(&outline, text.middle - origin));
        let names: Vec<&str> = names.map(|text| text.content.as_str()).collect();
        let is_garage = names.iter().any(|it| holds_vehicles(it));
        let is_open = names.iter().any(|it| is_outdoors(it) || is_carport(it));
        if !is_open && (is_garage || deep >= DEEP) {
            (*runs, *network, *rings) = (tried, made, around);
        }
    }
}

/// The opening that one line makes from a wall's end to the wall across.
fn front(runs: &[Run], (i, side): (usize, usize), place: &Place<'_>) -> Option<Run> {
    let run = &runs[i];
    let (u, sign) = if side == 0 {
        (run.u0, -1.0)
    } else {
        (run.u1, 1.0)
    };
    let (half, near) = (run.thickness / 2.0, AT_FACE + place.lines.slack);
    let end = run.axis.point(u, 0.0);
    let found = place.segments_near(end, run.thickness + near);
    found.into_iter().find_map(|k| {
        let segment = &place.lines.segments[k];
        let long = distance(segment.a, segment.b);
        let is_wide = long >= WIDE.0 && long <= WIDE.1;
        if !is_wide {
            return None;
        }
        let at_face = |p: Coord<f64>| (run.axis.d(p).abs() - half).abs() <= near;
        let (from, to) = if at_face(segment.a) {
            (segment.a, segment.b)
        } else {
            (segment.b, segment.a)
        };
        // In the wall's depth, behind its end, square to it.
        let back = sign * (u - run.axis.s(from));
        let is_across = (run.axis.s(from) - run.axis.s(to)).abs() <= near;
        if !at_face(from) || !is_across || back < -near || back > run.thickness + near {
            return None;
        }
        let out = run.axis.d(to).signum();
        let middle_of_depth = u - sign * half;
        let start = run.axis.point(middle_of_depth, out * half);
        let far = run.axis.point(middle_of_depth, run.axis.d(to));
        let across = Axis::through(start, far)?;
        let is_met = runs.iter().enumerate().any(|(j, other)| {
            let s = other.axis.s(to);
            let reach = run.thickness + near;
            j != i
                && dot(other.axis.along, across.along).abs() < 0.03
                && (other.axis.d(to).abs() - other.thickness / 2.0).abs() <= near
                && s > other.u0 - reach
                && s < other.u1 + reach
        });
        let width = distance(start, far);
        let evidence = place.look(&across, width, run.thickness);
        let is_one_line = evidence.n_inner + evidence.n_faces == 1 && evidence.swings.is_empty();
        let middle = across.point(width / 2.0, 0.0);
        let is_taken = runs.iter().any(|other| {
            let s = other.axis.s(middle);
            let beside = (other.thickness + run.thickness) / 2.0;
            s > other.u0 && s < other.u1 && other.axis.d(middle).abs() < beside
        });
        if !is_met || !is_one_line || is_taken {
            return None;
        }
        let mut front = between(run, start, far)?;
        front.rails.clear();
        front.cells.push(Cell {
            u0: front.u0,
            u1: front.u1,
            evidence,
            has_jambs: true,
            in_corner: false,
        });
        Some(front)
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, recovered_among};

    /// The house with a door to the right; what stands there has walls so thick and a line from wall to wall, piers beside it.
    fn garage(name: &str, thick: f64, pier: f64) -> Vec<[f64; 3]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let (left, right) = (360.0, 600.0);
        lines.extend([
            [left, 240.0, right, 240.0],
            [left, 240.0 - thick, right - thick, 240.0 - thick],
        ]);
        lines.extend([[right, 0.0, right, 240.0]]);
        let (p, q) = (left + pier, right - thick - pier);
        for (x, end) in [(left, p), (right - thick, q)] {
            if pier > 0.0 {
                lines.extend([
                    [x, thick, end, thick],
                    [end, 0.0, end, thick],
                    [x, 0.0, end, 0.0],
                ]);
            }
        }
        let low = if pier > 0.0 { thick } else { 0.0 };
        lines.push([right - thick, low, right - thick, 240.0 - thick]);
        lines.push([right - thick, 0.0, right, 0.0]);
        lines.push([p, 1.0, q, 1.0]);
        let words = [("LIVING", [180.0, 120.0]), (name, [480.0, 120.0])];
        exterior_openings(&recovered_among(&lines, &[], &words).output)
    }

    #[test]
    fn a_vehicle_door_from_wall_to_wall_closes_its_garage() {
        for thick in [6.0, 12.0] {
            let wide = 240.0 - thick;
            let door = [360.0 + wide / 2.0, thick / 2.0, wide];
            for name in ["GARAGE", ""] {
                assert_eq!(garage(name, thick, 0.0), [[118.0, 3.0, 36.0], door]);
            }
        }
    }

    #[test]
    fn a_line_across_a_porch_or_a_carport_is_no_vehicle_door() {
        for name in ["PORCH", "CARPORT"] {
            assert_eq!(garage(name, 6.0, 0.0), [[118.0, 3.0, 36.0]], "{name}");
        }
    }
}
