//! What the drafter must know of a layout: faults and doubts by wall, opening and wish.

use super::assemble::{held, infill, place};
use super::order::Walk;
use super::price::{highest, lying_line, upright_line};
use super::ring::Chosen;
use super::run::Run;
use super::search::Search;
use super::solution::{Blocked, Side, Solution};
use super::{CornerWish, Layout, LayoutOptions, PanelEdge, PanelKind, WallEnd, codes};
use crate::building::{Building, PanelWall};
use crate::findings::{Finding, Place};
use crate::rules::PlantRules;

/// Everything about one wall.
pub(crate) fn wall(
    wall: &PanelWall,
    rules: &PlantRules,
    run: &Run<'_>,
    solution: Option<&Solution>,
    findings: &mut Vec<Finding>,
) {
    for opening in &wall.openings {
        let limit = wall.stack.panel_top - rules.plates.thickness;
        if opening.head > limit {
            findings.push(Finding::fault(
                codes::OPENING_TOO_HIGH,
                place(wall, &opening.id, &opening.sources),
                format!(
                    "the rough head of {} is {} above the deck, the underside of the top plate {}",
                    opening.id,
                    opening.head.feet_inches(),
                    limit.feet_inches()
                ),
                "lower the head, or raise the wall (wall_height in job.toml)",
            ));
        }
    }
    for (joint, reason) in &run.refused {
        findings.push(Finding::doubt(
            codes::WISH_REFUSED,
            place(wall, &wall.id, &wall.sources),
            format!(
                "the joint fixed at {joint} along wall {} is refused: {reason}",
                wall.name
            ),
            "move the joint, or change the rule it breaks",
        ));
    }
    match solution {
        Some(solution) => openings(wall, rules, run, solution, findings),
        None => findings.push(no_layout(wall, rules, run)),
    }
}

fn no_layout(wall: &PanelWall, rules: &PlantRules, run: &Run<'_>) -> Finding {
    let search = Search::new(run, run.left.at, run.left.at);
    let (why, hint) = match search
        .map_or_else(|blocked| blocked, |search| search.blocked(&run.left))
    {
        Blocked::Gap { reached, next } => (
            format!(
                "from its left corner, as seen from outside, panels reach {}, and none can go on from there to {}",
                reached.feet_inches(),
                next.feet_inches()
            ),
            "openings stand too close together or too near a corner there: move one, allow narrower strips (joints.least_panel, joints.from_opening), or frame that stretch by hand",
        ),
        Blocked::Height => (
            format!(
                "its panels would be {} high, and no line makes them higher than {}",
                run.pricer.height.feet_inches(),
                highest(rules).feet_inches()
            ),
            "lower the wall, or add a line that makes such panels (lines)",
        ),
        Blocked::Size => (
            format!("it is {} long", (run.right.at - run.left.at).feet_inches()),
            "check the unit of the drawing, or take a coarser grid (grid)",
        ),
    };
    Finding::fault(
        codes::NO_LAYOUT,
        place(wall, &wall.id, &wall.sources),
        format!("wall {} cannot be panelled: {why}", wall.name),
        hint,
    )
}

fn openings(
    wall: &PanelWall,
    rules: &PlantRules,
    run: &Run<'_>,
    solution: &Solution,
    findings: &mut Vec<Finding>,
) {
    for piece in &solution.panels {
        if let Side::Jamb(i) = piece.right {
            framed(wall, rules, i, findings);
        }
        for pair in held(run, piece).windows(2) {
            let (before, after) = (&wall.openings[pair[0]], &wall.openings[pair[1]]);
            let pier = after.from - before.to;
            if pier < rules.openings.least_leg {
                findings.push(Finding::doubt(
                    codes::NARROW_PIER,
                    place(wall, &after.id, &after.sources),
                    format!(
                        "only {pier} of panel stands between {} and {}, less than {}",
                        before.id, after.id, rules.openings.least_leg
                    ),
                    "it becomes a solid lumber mullion, not sized: engineer; or move an opening (openings.least_leg)",
                ));
            }
        }
    }
}

fn framed(wall: &PanelWall, rules: &PlantRules, i: usize, findings: &mut Vec<Finding>) {
    let opening = &wall.openings[i];
    let at = || place(wall, &opening.id, &opening.sources);
    if opening.width() <= rules.openings.whole_up_to {
        findings.push(Finding::doubt(
            codes::FRAMED_BY_NEED,
            at(),
            format!(
                "{} is framed between panels: none can hold it whole here",
                opening.id
            ),
            "confirm, or move it farther from its neighbours or the corner",
        ));
    }
    for (kind, rect) in infill(wall, rules, i) {
        let (width, height) = (rect.width(), rect.height());
        let fits = match kind {
            PanelKind::Header => lying_line(rules, width, height).is_some(),
            PanelKind::Sill | PanelKind::Wall => {
                lying_line(rules, width, height).is_some()
                    || upright_line(rules, width, height).is_some()
            }
        };
        if !fits {
            findings.push(Finding::fault(
                codes::NO_INFILL,
                at(),
                format!(
                    "the {} panel of {} would be {} long and {} high, with its strength along its length: no line makes it",
                    kind.name(), opening.id, width.feet_inches(), height.feet_inches()
                ),
                "have the engineer name what spans the opening, and frame it by hand",
            ));
        } else if height < rules.joints.least_panel {
            findings.push(Finding::doubt(
                codes::LOW_INFILL,
                at(),
                format!(
                    "the {} panel of {} is only {height} high, less than {}",
                    kind.name(),
                    opening.id,
                    rules.joints.least_panel
                ),
                "confirm it, or fill the strip with lumber",
            ));
        }
    }
}

/// The last panel of a ring that has no room at its right.
pub(crate) fn closing_panel(
    building: &Building,
    walk: &Walk,
    layout: &Layout,
    findings: &mut Vec<Finding>,
) {
    let Some(last) = walk.walls.last() else {
        return;
    };
    let of_wall = |panel: &&super::Panel| panel.wall == *last && panel.kind == PanelKind::Wall;
    let Some(panel) = layout.panels.iter().rfind(of_wall) else {
        return;
    };
    if let (PanelEdge::Spline { with, .. }, Some(wall)) = (panel.left, building.walls.get(*last)) {
        let neighbour = layout
            .panels
            .get(with)
            .map_or("", |with| with.mark.as_str());
        findings.push(Finding::doubt(
            codes::NO_TRAVEL,
            Place { panel: Some(panel.mark.clone()), ..place(wall, &wall.id, &wall.sources) },
            format!(
                "{} closes the ring between {neighbour} and the first wall: it has no room to slide onto its spline",
                panel.mark
            ),
            "join it with surface splines or a loose spline dropped in from the top before the top plate goes on, or let this wall run through at that corner",
        ));
    }
}

/// Wishes about corners that were not kept, and wishes about walls that do not exist.
pub(crate) fn wishes(
    building: &Building,
    options: &LayoutOptions,
    chosen: &[Chosen],
    findings: &mut Vec<Finding>,
) {
    for (id, wishes) in &options.walls {
        let Some(index) = building.walls.iter().position(|wall| wall.id == *id) else {
            findings.push(Finding::doubt(
                codes::WISH_REFUSED,
                Place::default(),
                format!("wishes are stated for wall {id}, and there is none"),
                "look up the wall's id on the trace",
            ));
            continue;
        };
        let wall = &building.walls[index];
        let Some(choice) = chosen.get(index) else {
            continue;
        };
        let sides = [
            ("left", wishes.left, choice.ends.left.end),
            ("right", wishes.right, choice.ends.right.end),
        ];
        for (side, wish, end) in sides {
            let is_kept = match wish {
                None => true,
                Some(CornerWish::RunsThrough) => end == WallEnd::Through,
                Some(CornerWish::Butts) => end == WallEnd::Butt,
            };
            if !is_kept {
                findings.push(Finding::doubt(
                    codes::WISH_REFUSED,
                    place(wall, &wall.id, &wall.sources),
                    format!("what is wished for the {side} corner of wall {} is refused", wall.name),
                    "the corner is not square, the other wall's wish contradicts it, or a wall could not be panelled that way",
                ));
            }
        }
    }
}
