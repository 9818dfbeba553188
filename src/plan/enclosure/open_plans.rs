//! Plans that close without a part of the building: a wing whose outside wall has a gap is cut off at its partition.
//!
//! ```text
//!   ┏━━━━━━━┳━━━━━━      the ring closes round the left half; the walls that go on from it, with windows,
//!   ┃       ┃            and end at nothing say that it does not end there
//!   ┗━━━━━━━┻━━ ━━━
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::axis::distance;
use crate::plan::enclosure::completion::ask_about_gap;
use crate::plan::enclosure::outline::contains;
use crate::plan::storeys::clusters::{Clusters, lies_round, surrounds};
use crate::plan::walls::openings::middle_of;
use crate::plan::walls::runs::RARE;
use crate::plan::{Plan, Storey, codes};
use geo::Coord;

/// A plan of the sheet is open when more than this share of its wall lies outside every outline.
const OUTSIDE: f64 = 0.35;
/// A wing has at least this much wall of the outside's thickness, inches: 20 ft. Walls beside a porch have less.
const WING: f64 = 240.0;
/// An outside wall goes on past the outline by at least this, and is a part of it for at least this, inches.
const ON: f64 = 60.0;
const OF_OUTLINE: f64 = 24.0;
/// Walls are as thick as the outside ones within this, inches.
const ALIKE: f64 = 0.25;

/// A fault for each drawing on the sheet that is a plan and whose walls lie, for a good part, outside every outline.
pub(in crate::plan) fn ask_about_open_plans(
    it: &Traced<'_>,
    clusters: &Clusters,
    plan: &Plan,
    findings: &mut Vec<Finding>,
) {
    let storeys: Vec<&Storey> = plan
        .storeys
        .iter()
        .filter(|storey| storey.file == it.drawing.file)
        .collect();
    let outlines: Vec<Vec<Coord<f64>>> = storeys
        .iter()
        .map(|storey| {
            let outline = storey.outline.iter();
            outline.map(|p| *p - it.lines.origin).collect()
        })
        .chain(it.beside.iter().cloned())
        .collect();
    let is_out = |p: Coord<f64>| !outlines.iter().any(|outline| contains(outline, p));
    // A wall may be half of it inside: it is looked at from each meeting to the next.
    let outside = |run: usize| -> f64 {
        let own = &it.runs[run];
        let stops: Vec<f64> = match it.network.stops[run].as_slice() {
            [] => vec![own.u0, own.u1],
            stops => stops.iter().map(|stop| stop.0).collect(),
        };
        let parts = stops.windows(2).filter(|pair| {
            let middle = f64::midpoint(pair[0], pair[1]);
            is_out(own.axis.point(middle, 0.0))
        });
        parts.map(|pair| pair[1] - pair[0]).sum()
    };
    let is_frame = |index: usize| {
        let corners: Vec<Coord<f64>> = (0..it.runs.len())
            .filter(|run| clusters.of[*run] == index)
            .flat_map(|run| it.runs[run].corners())
            .collect();
        outlines.iter().any(|outline| surrounds(&corners, outline))
    };
    let walls = || storeys.iter().flat_map(|it| &it.walls);
    let is_like_outside = |thickness: f64| {
        let mut outer = walls().filter(|wall| wall.is_exterior);
        outer.any(|wall| (wall.thickness - thickness).abs() < ALIKE)
    };
    for (index, _) in clusters.is_plan.iter().enumerate().filter(|(_, is)| **is) {
        let (mut all, mut out, mut wing) = (0.0, 0.0, 0.0);
        let mut goes_on = false;
        let mut loose = Vec::new();
        for run in (0..it.runs.len()).filter(|&run| clusters.of[run] == index) {
            let own = &it.runs[run];
            let beyond = outside(run);
            all += (own.u1 - own.u0) * own.support;
            out += beyond * own.support;
            if beyond > 0.0 && own.support >= RARE && is_like_outside(own.thickness) {
                wing += beyond;
                goes_on |= beyond >= ON && own.u1 - own.u0 - beyond >= OF_OUTLINE;
                let ends = [own.u0, own.u1].into_iter().zip(it.network.free[run]);
                let free = ends.filter(|(_, is_free)| *is_free);
                loose.extend(free.map(|(u, _)| own.axis.point(u, 0.0)));
            }
        }
        let has_opening = || {
            it.openings.iter().any(|judged| {
                clusters.of[judged.run] == index
                    && judged.has_jambs
                    && judged.evidence.is_drawn()
                    && is_like_outside(it.runs[judged.run].thickness)
                    && is_out(middle_of(it.runs, judged))
            })
        };
        loose.retain(|p| is_out(*p));
        let apart = |p: &Coord<f64>| loose.iter().any(|q| distance(*p, *q) > 12.0);
        // Lines round the whole building, a slab's edge or the eaves, end nowhere.
        let is_round = || {
            let own = (0..it.runs.len()).filter(|run| clusters.of[*run] == index);
            let beyond = own.filter(|run| outside(*run) > 0.0);
            let corners: Vec<Coord<f64>> = beyond.flat_map(|run| it.runs[run].corners()).collect();
            loose.is_empty() && outlines.iter().any(|outline| lies_round(&corners, outline))
        };
        let is_wing = wing >= WING && loose.iter().any(apart) && has_opening();
        // An outside wall that goes on past the outline's corner to a loose end.
        let may_go_on = || wing >= WING && goes_on && !loose.is_empty();
        // What stands round a plan on all sides is the sheet's border and title block.
        if (out > OUTSIDE * all || is_wing) && !is_frame(index) && !is_round() {
            let id = storeys.last().map_or("S1", |storey| &storey.id);
            let open = |run: usize| clusters.of[run] == index && outside(run) > 0.0;
            let own = |run: usize| clusters.of[run] == index;
            findings.extend(ask_about_gap(it, id, &own, &open));
        } else if may_go_on() && !is_frame(index) {
            let at = loose[0] + it.lines.origin;
            findings.push(Finding::doubt(
                codes::NO_OUTLINE,
                Where::file(&it.drawing.file).with_at(at.x, at.y),
                format!("{:.0} ft of wall as thick as the outside goes on beyond the outline and ends here at nothing: a part of the building may be missing", wing / 12.0),
                "if it is a part of the building, draw the missing wall or opening there; if these are walls of a yard or porch, nothing",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{recovered, sides};

    /// A house with a partition right of its middle; its right wall has a gap with no jambs, its upper wall a window there.
    fn wing(gap: [f64; 2]) -> Vec<[f64; 4]> {
        let mut lines = sides(0.0, 0.0, 480.0, 240.0);
        lines.extend(sides(6.0, 6.0, 320.0, 234.0));
        lines.extend(sides(324.0, 6.0, 474.0, 234.0));
        lines.retain(|l| !(l[0] > 470.0 && l[2] > 470.0));
        for (x, low, high) in [(480.0, 0.0, 240.0), (474.0, 6.0, 234.0)] {
            lines.push([x, low, x, gap[0]]);
            lines.push([x, gap[1], x, high]);
        }
        for (low, high) in [(100.0, 136.0), (380.0, 428.0)] {
            lines.push([low, 234.0, low, 240.0]);
            lines.push([high, 234.0, high, 240.0]);
            lines.push([low, 237.0, high, 237.0]);
        }
        lines
    }

    #[test]
    fn a_wing_whose_outside_wall_has_a_gap_is_no_outside() {
        let found = recovered(&wing([90.0, 150.0]));
        let gap = found
            .findings
            .iter()
            .find(|it| it.code == codes::NO_OUTLINE);
        assert_eq!(gap.and_then(|it| it.place.at), Some([477.0, 120.0]));
    }

    #[test]
    fn an_outside_wall_that_goes_on_past_the_outline_is_asked_about() {
        // No window beyond the partition, and one loose end: the right wall does not reach the upper one.
        let mut lines = wing([120.0, 120.0]);
        lines.retain(|l| !(l[0] >= 380.0 && l[2] <= 428.0));
        lines.retain(|l| !(l[1] > 233.0 && l[3] > 233.0));
        for y in [234.0, 240.0] {
            lines.push([6.0, y, 324.0, y]);
        }
        lines.push([0.0, 240.0, 6.0, 240.0]);
        let found = recovered(&lines).findings;
        let mut asked = found.iter().filter(|it| it.code == codes::NO_OUTLINE);
        assert!(asked.any(|it| it.place.at.is_some_and(|p| p[0] > 470.0)));
    }

    #[test]
    fn walls_beside_a_porch_are_no_wing() {
        let mut lines = wing([120.0, 120.0]);
        for y in [20.0, 200.0] {
            lines.extend([[480.0, y, 540.0, y], [480.0, y + 6.0, 540.0, y + 6.0]]);
            lines.push([540.0, y, 540.0, y + 6.0]);
        }
        let found = recovered(&lines);
        assert!(!found.findings.iter().any(|it| it.code == codes::NO_OUTLINE));
    }

    #[test]
    fn two_lines_round_the_building_are_no_open_plan() {
        let mut lines = wing([120.0, 120.0]);
        lines.extend(sides(-2.0, -2.0, 482.0, 242.0));
        lines.extend(sides(-8.0, -8.0, 488.0, 248.0));
        let found = recovered(&lines);
        assert!(!found.findings.iter().any(|it| it.code == codes::NO_OUTLINE));
    }
}
