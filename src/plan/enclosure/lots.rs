//! Walls round the lot: they close round the house, stand free of it and look at nothing.
//!
//! ```text
//!   ┏━━━━━━━━━━━━━━━━━┓
//!   ┃  YARD ┏━╍╍━━━┓  ┃      the house within has windows towards them, they have gates only: walls of the lot, left out
//!   ┃       ┗━━╍╍━━┛  ┃
//!   ┗━━━━━━╌╌╌╌━━━━━━━┛
//! ```
//!
//! Thicker walls round what stands free within them and has few windows are those of a hall with an office in it. Where walls of the lot are built against the
//! house, the place between them is a yard by its name and by the windows that look into it.

use crate::drawing::Drawing;
use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Traced, openings_of};
use crate::plan::enclosure::decks::{answer, is_room, leave, room_round};
use crate::plan::enclosure::faces::{Ring, Side};
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline::{contains, polygon, stretches};
use crate::plan::enclosure::outside::is_reverse;
use crate::plan::enclosure::shells::Shell;
use crate::plan::enclosure::wells::{is_yard, shows_glass};
use crate::plan::walls::openings::{Judged, middle_of};
use crate::plan::walls::runs::Run;
use crate::plan::{OpeningKind, codes};
use geo::Coord;

/// Walls are as thick as others within this, inches.
const ALIKE: f64 = 0.25;

/// Takes walls of the lot out of what may be storeys; each of their gates is asked about.
pub(in crate::plan) fn leave_lots(
    it: &Traced<'_>,
    shells: &mut Vec<Shell<'_>>,
    findings: &mut Vec<Finding>,
) {
    let is_lot: Vec<bool> = (shells.iter().map(|own| is_lot(it, own, shells))).collect();
    let lots = shells.iter().zip(&is_lot).filter(|own| *own.1);
    for (lot, _) in lots {
        let gates = openings(it, lot).map(|own| middle_of(it.runs, own) + it.lines.origin);
        findings.extend(gates.map(|at| {
            Finding::doubt(
                codes::LEFT_OUTSIDE,
                Where::file(&it.drawing.file).with_at(at.x, at.y),
                "walls without a window close round the house and stand free of it: taken as walls of the lot, left out of the building",
                format!(
                    "if they are walls of the building, {}, at a point between them and what stands within",
                    answer(at, "interior")
                ),
            )
        }));
    }
    let mut is_lot = is_lot.into_iter();
    shells.retain(|_| is_lot.next() != Some(true));
}

/// What has so many windows stands in no hall.
const MANY: usize = 4;
/// A gate of one line looks like a window: the house has so many times as many windows.
const WINDOWS: usize = 3;

/// True for walls with hardly a window, round others that have windows and are as thick, where the job calls nothing between them a room.
fn is_lot(it: &Traced<'_>, lot: &Shell<'_>, all: &[Shell<'_>]) -> bool {
    let within = |house: &&Shell<'_>| {
        let mut corners = house.outline.iter();
        house.area < lot.area && corners.all(|p| contains(&lot.outline, *p))
    };
    let is_roofed = |house: &Shell<'_>| {
        let mut rooms = it.inner_places.roofed.iter();
        rooms.any(|p| contains(&lot.outline, *p) && !contains(&house.outline, *p))
    };
    let mut houses = all.iter().filter(within);
    houses.any(|house| {
        let n_windows = n_windows(it, house);
        n_windows > 0
            && WINDOWS * self::n_windows(it, lot) <= n_windows
            && (n_windows >= MANY || thickest(it, lot) <= thickest(it, house) + ALIKE)
            && !is_roofed(house)
    })
}

/// Takes yards out of the building: places at its edge that have such a name and windows of the house towards them. Each is asked about
/// there, at what opens into it and at its gates.
///
/// - `origin`: where the runs' axes begin, drawing coordinates.
/// - `roofed`: places that the job calls rooms, from there.
/// - Returns what is left, and the outlines of the yards with their walls.
pub(in crate::plan) fn leave_yards(
    mut rings: Vec<Ring>,
    network: &Network,
    runs: &[Run],
    (drawing, origin): (&Drawing, Coord<f64>),
    roofed: &[Coord<f64>],
    findings: &mut Vec<Finding>,
) -> (Vec<Ring>, Vec<Vec<Coord<f64>>>) {
    let mut yards = Vec::new();
    for text in drawing.texts.iter().filter(|it| is_yard(&it.content)) {
        let at = text.middle - origin;
        let Some(room) = room_round(&rings, network, runs, at) else {
            continue;
        };
        if is_room(&rings[room], network, runs, roofed) {
            continue;
        }
        let Some((outer, openings)) = yard(&rings, network, runs, room) else {
            continue;
        };
        for p in std::iter::once(at).chain(openings) {
            let p = p + origin;
            findings.push(Finding::doubt(
                codes::LEFT_OUTSIDE,
                Where::file(&drawing.file).with_at(p.x, p.y),
                format!(
                    "{} is a yard by its name, and windows look into it: left out of the building",
                    text.content.trim()
                ),
                format!(
                    "if it is a room of the building, {}; or give it another name",
                    answer(at + origin, "interior")
                ),
            ));
        }
        yards.push(polygon(runs, &stretches(network, &rings[room].sides), -1.0));
        leave(&mut rings, network, room, outer);
    }
    (rings, yards)
}

/// The outside beyond a place that windows of the house look into, and the middles of all that opens round it.
fn yard(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    room: usize,
) -> Option<(usize, Vec<Coord<f64>>)> {
    let own = &rings[room].sides;
    let is_shared = |other: &Ring, side: &Side| other.sides.iter().any(|it| is_reverse(side, it));
    let is_outer = |ring: &Ring| ring.area < 0.0 && own.iter().any(|side| is_shared(ring, side));
    let outer = rings.iter().position(is_outer)?;
    let cells = |side: &Side| {
        let stop = |i: usize| network.stops[side.run][i].0;
        let (a, b) = (stop(side.from), stop(side.to));
        let (low, high) = (a.min(b), a.max(b));
        let run = &runs[side.run];
        run.cells.iter().filter_map(move |it| {
            let middle = f64::midpoint(it.u0, it.u1);
            (middle > low && middle < high).then(|| (it, run.axis.point(middle, 0.0)))
        })
    };
    let mut inner = own.iter().filter(|side| !is_shared(&rings[outer], side));
    let is_seen = inner.any(|side| {
        let mut cells = cells(side);
        cells.any(|it| it.0.has_jambs && shows_glass(&it.0.evidence))
    });
    let openings = own.iter().flat_map(|side| cells(side).map(|it| it.1));
    is_seen.then(|| (outer, openings.collect()))
}

fn thickest(it: &Traced<'_>, shell: &Shell<'_>) -> f64 {
    let sides = shell.ring.sides.iter();
    let thick = sides.map(|side| it.runs[side.run].thickness);
    thick.fold(0.0, f64::max)
}

fn n_windows(it: &Traced<'_>, shell: &Shell<'_>) -> usize {
    let glass = openings(it, shell).filter(|own| own.has_jambs && shows_glass(&own.evidence));
    glass
        .filter(|own| own.kind != OpeningKind::GarageDoor)
        .count()
}

/// What opens in the walls of a shell.
fn openings<'a>(it: &Traced<'a>, shell: &Shell<'_>) -> impl Iterator<Item = &'a Judged> {
    let around = stretches(it.network, &shell.ring.sides);
    let parts = around.into_iter().flat_map(|part| {
        let (low, high) = (part.from.min(part.to), part.from.max(part.to));
        let own = openings_of(it, part.run).map(|own| own.1);
        own.filter(move |own| own.u0 > low && own.u1 < high)
    });
    parts.collect::<Vec<_>>().into_iter()
}

#[cfg(test)]
mod tests {
    use crate::plan::CorrectionIntent;
    use crate::plan::codes;
    use crate::plan::trial::{
        corrected, exterior_openings, open_shell, recovered, recovered_among, sides,
    };
    use geo::Coord;

    /// A house with a window in its lower wall, walls so thick round it 10 ft off, a gate of 10 ft in the lower one.
    fn walled(thick: f64) -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for d in [0.0, thick] {
            let (low, right, high) = (-120.0 + d, 480.0 - d, 360.0 - d);
            let all = sides(low, low, right, high);
            lines.extend(all.into_iter().filter(|l| !(l[1] == low && l[3] == low)));
            lines.extend([[low, low, 100.0, low], [220.0, low, right, low]]);
        }
        for x in [100.0, 220.0] {
            lines.push([x, -120.0, x, -120.0 + thick]);
        }
        let middle = -120.0 + thick / 2.0;
        lines.push([100.0, middle, 220.0, middle]);
        lines
    }

    #[test]
    fn walls_of_the_lot_are_left_out_and_a_hall_round_an_office_stays() {
        let found = recovered(&walled(6.0));
        let corners = |it: &[Coord<f64>]| it.iter().all(|p| p.x >= 0.0 && p.y >= 0.0);
        let storeys = &found.output.storeys;
        assert!(storeys.len() == 1 && corners(&storeys[0].outline));
        assert_eq!(exterior_openings(&found.output), [[118.0, 3.0, 36.0]]);
        let asked = found.findings.iter();
        let asked = asked.filter(|it| it.code == codes::LEFT_OUTSIDE);
        let at: Vec<_> = asked.filter_map(|it| it.place.at).collect();
        assert_eq!(at, [[160.0, -117.0]]);
        // The job says that it is a hall with a house in it.
        let roofed = corrected(
            &walled(6.0),
            &[],
            ([300.0, -60.0], None),
            Some(CorrectionIntent::Interior),
        );
        let low = |it: &Coord<f64>| it.y < -100.0;
        assert!(roofed.output.storeys[0].outline.iter().any(low));
        let hall = recovered(&walled(12.0)).output;
        assert!(hall.storeys[0].outline.iter().any(|p| p.x < -100.0));
    }

    #[test]
    fn a_yard_by_its_name_with_windows_towards_it_is_left_out() {
        // Walls of the lot against the house, 20 ft deep, a gate of one line in the lower one.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for (x, d) in [(0.0, 0.0), (6.0, 6.0), (354.0, 6.0), (360.0, 0.0)] {
            lines.push([x, 0.0, x, -240.0 + d]);
        }
        for (y, d) in [(-240.0, 0.0), (-234.0, 6.0)] {
            lines.extend([[d, y, 100.0, y], [200.0, y, 360.0 - d, y]]);
        }
        lines.extend([
            [100.0, -240.0, 100.0, -234.0],
            [200.0, -240.0, 200.0, -234.0],
        ]);
        lines.push([100.0, -237.0, 200.0, -237.0]);
        let low = |name: &str| {
            let found = recovered_among(&lines, &[], &[(name, [180.0, -120.0])]);
            let corners = found.output.storeys[0].outline.iter();
            let asked = found.findings.iter();
            let asked = asked.filter(|it| it.code == codes::LEFT_OUTSIDE).count();
            let is_open = found.findings.iter().any(|it| it.code == codes::NO_OUTLINE);
            assert!(!is_open);
            (corners.map(|p| p.y).fold(0.0, f64::min).round(), asked)
        };
        assert_eq!(low("QUINTAL"), (0.0, 3));
        assert_eq!(low("WORKSHOP").0, -240.0);
    }
}
