//! Buildings beside the plan: sheds, garages and studios that stand alone and are no storey of it.
//!
//! ```text
//!   ┏━━━━━━━━━━━┓
//!   ┃   plan    ┃   ┏━━╍╍━┓      closed, with a door or a window, near the plan and outside it: left out, and said
//!   ┗━━━━╍╍━━━━━┛   ┗━━━━━┛      once for the building, not once for each of its openings
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Traced, is_within, openings_of};
use crate::plan::axis::{Axis, distance};
use crate::plan::codes;
use crate::plan::enclosure::outline::{contains, doubled_area, point_within, polygon, stretches};
use crate::plan::enclosure::shells::{LEAST_SHED, Shell};
use crate::plan::walls::openings::middle_of;
use geo::Coord;

/// What stands further from every plan is another drawing, inches: 20 ft.
const FAR: f64 = 240.0;
/// A storey without a title is at least this share of the largest where it is one room with a door to the outside.
const STOREY: f64 = 0.75;
/// Openings from this width on are for vehicles, inches.
const VEHICLE: f64 = 84.0;
/// What lies this near an outbuilding's outline is its own, inches.
const OWN: f64 = 24.0;

/// The outlines of buildings beside those that are taken, from where the runs' axes begin.
///
/// - `taken`: outlines of storeys.
pub(in crate::plan) fn outbuildings(
    it: &Traced<'_>,
    taken: &[&[Coord<f64>]],
) -> Vec<Vec<Coord<f64>>> {
    let outer = it.rings.iter().filter(|ring| ring.area < 0.0);
    outer
        .filter_map(|ring| {
            let around = stretches(it.network, &ring.sides);
            let mut outline = polygon(it.runs, &around, 1.0);
            outline.reverse();
            let has_opening = around.iter().any(|part| {
                let (low, high) = (part.from.min(part.to), part.from.max(part.to));
                openings_of(it, part.run).any(|(_, own)| {
                    own.evidence.is_drawn() && own.u0 > low - OWN && own.u1 < high + OWN
                })
            });
            let within = point_within(&outline)?;
            let apart = taken.iter().all(|own| {
                let theirs = point_within(own);
                !contains(own, within) && !theirs.is_some_and(|p| contains(&outline, p))
            });
            let near = taken
                .iter()
                .any(|own| outline.iter().any(|p| off(own, *p) <= FAR));
            let is_one = doubled_area(&outline) / 2.0 >= LEAST_SHED && has_opening && apart && near;
            is_one.then_some(outline)
        })
        .collect()
}

/// True when an outline without a title is a building beside the largest rather than another storey of it: one room, where the
/// largest has several, a good deal smaller, near it, and with a door or a vehicle door to the outside.
pub(in crate::plan) fn is_outbuilding(
    it: &Traced<'_>,
    shell: &Shell<'_>,
    largest: &Shell<'_>,
) -> bool {
    if std::ptr::eq(shell.ring, largest.ring) || shell.area >= STOREY * largest.area {
        return false;
    }
    let n_rooms = |of: &Shell<'_>| {
        let rooms = it.rings.iter().filter(|ring| ring.area > 0.0);
        rooms
            .filter(|ring| is_within(it, ring, &of.outline))
            .count()
    };
    let has_door = || {
        let mut around = stretches(it.network, &shell.ring.sides).into_iter();
        around.any(|part| {
            let (low, high) = (part.from.min(part.to), part.from.max(part.to));
            openings_of(it, part.run).any(|(_, own)| {
                let is_door = own.evidence.is_hung() || own.width() >= VEHICLE;
                is_door && own.u0 > low && own.u1 < high
            })
        })
    };
    let is_near = || {
        shell
            .outline
            .iter()
            .any(|p| off(&largest.outline, *p) <= FAR)
    };
    n_rooms(shell) < 2 && n_rooms(largest) > 1 && has_door() && is_near()
}

/// True when a point belongs to a building beside the plan.
pub(in crate::plan) fn is_of_outbuilding(beside: &[Vec<Coord<f64>>], p: Coord<f64>) -> bool {
    beside
        .iter()
        .any(|outline| contains(outline, p) || off(outline, p) <= OWN)
}

/// One question for each: it may be a part of what is built of panels. It is asked at each of its openings.
///
/// - `titled`: outlines whose titles say that they are something else, such as a plan of the roof: they are noted with the titles.
pub(in crate::plan) fn say_outbuildings(
    it: &Traced<'_>,
    beside: &[Vec<Coord<f64>>],
    titled: &[&[Coord<f64>]],
) -> Vec<Finding> {
    let is_titled = |outline: &[Coord<f64>]| {
        point_within(outline).is_some_and(|p| titled.iter().any(|own| contains(own, p)))
    };
    let mut said = Vec::new();
    for outline in beside.iter().filter(|it| !is_titled(it)) {
        let area = doubled_area(outline) / 2.0;
        let feet = area / 144.0;
        let place = |p: Coord<f64>| {
            let at = p + it.lines.origin;
            Where::file(&it.drawing.file).with_at(at.x, at.y)
        };
        let own = it.openings.iter().filter(|own| !own.is_bare());
        let middles = own.map(|own| middle_of(it.runs, own));
        let middles = middles.filter(|p| contains(outline, *p) || off(outline, *p) <= OWN);
        said.extend(middles.map(|p| {
            Finding::doubt(
                codes::OUTBUILDING,
                place(p),
                format!("a building of {feet:.0} sq ft stands beside the plan: left out"),
                "if it is to be built of panels too, give it a drawing and a job of its own; else nothing",
            )
        }));
    }
    said
}

/// Distance of a point from the nearest side of an outline.
fn off(outline: &[Coord<f64>], p: Coord<f64>) -> f64 {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    sides
        .filter_map(|(a, b)| {
            let axis = Axis::through(*a, *b)?;
            let s = axis.s(p).clamp(0.0, distance(*a, *b));
            Some(distance(axis.point(s, 0.0), p))
        })
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{Swing, open_shell, recovered, recovered_with, sides};

    /// What is said of a building beside the house, square, with a window in its lower wall, and of everything else.
    fn said(side: f64) -> (Vec<String>, usize) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let (left, right) = (480.0, 480.0 + side);
        lines.extend(sides(left + 4.5, 4.5, right - 4.5, side - 4.5));
        lines.extend(sides(left, 0.0, right, side));
        lines.retain(|l| !(l[0] > 470.0 && l[1] < 5.0 && l[3] < 5.0));
        for (y, low, high) in [(0.0, left, right), (4.5, left + 4.5, right - 4.5)] {
            lines.extend([[low, y, 510.0, y], [546.0, y, high, y]]);
        }
        lines.extend([[510.0, 0.0, 510.0, 4.5], [546.0, 0.0, 546.0, 4.5]]);
        lines.push([510.0, 2.25, 546.0, 2.25]);
        let found = recovered(&lines).findings;
        let own = found.iter().filter(|it| it.code == codes::OUTBUILDING);
        let own: Vec<String> = own.map(|it| format!("{:?}", it.severity)).collect();
        let others = [codes::LEFT_OVER, codes::NO_OUTLINE];
        let n_others = found.iter().filter(|it| others.contains(&it.code)).count();
        (own, n_others)
    }

    #[test]
    fn a_building_of_one_room_with_a_door_is_no_storey_of_the_house() {
        // 17 ft square, 40 % of the house, its door in the lower wall; the house has two rooms.
        let storeys = |has_swing: bool| {
            let mut lines = open_shell(100.0, 136.0);
            lines.push([100.0, 3.0, 136.0, 3.0]);
            lines.extend([[200.0, 6.0, 200.0, 234.0], [206.0, 6.0, 206.0, 234.0]]);
            let (left, right) = (480.0, 666.0);
            lines.extend(sides(left + 6.0, 6.0, right - 6.0, 180.0));
            lines.extend(sides(left, 0.0, right, 186.0));
            lines.retain(|l| !(l[0] > 470.0 && l[1] < 7.0 && l[3] < 7.0));
            for (y, low, high) in [(0.0, left, right), (6.0, left + 6.0, right - 6.0)] {
                lines.extend([[low, y, 510.0, y], [546.0, y, high, y]]);
            }
            lines.extend([[510.0, 0.0, 510.0, 6.0], [546.0, 0.0, 546.0, 6.0]]);
            let mut swings = Vec::new();
            if has_swing {
                lines.push([510.0, 6.0, 510.0, 42.0]);
                swings.push(Swing {
                    centre: [510.0, 6.0],
                    radius: 36.0,
                    start: 0.0,
                });
            } else {
                lines.push([510.0, 3.0, 546.0, 3.0]);
            }
            let found = recovered_with(&lines, &swings);
            let mut said = found.findings.iter();
            let is_asked = said.any(|it| it.code == codes::OUTBUILDING);
            (found.output.storeys.len(), is_asked)
        };
        assert_eq!(storeys(true), (1, true));
        assert_eq!(storeys(false), (2, false));
    }

    #[test]
    fn a_shed_or_a_studio_beside_the_house_is_asked_about_once() {
        assert_eq!(said(96.0), (vec!["Doubt".to_owned()], 0));
        assert_eq!(said(156.0), (vec!["Doubt".to_owned()], 0));
    }
}
