//! What the drafter must know of a layout: faults and doubts by wall, opening and wish.

use super::assemble::{held, infill, place};
use super::demands::{pier_at_opening, whole_opening};
use super::measured::compare;
use super::price::{highest, lying_line, upright_line};
use super::ring::Chosen;
use super::run::Run;
use super::search::Search;
use super::solution::{Blocked, Side, Solution};
use super::together::Unproved;
use super::{
    CornerWish, Layout, LayoutOptions, PanelKind, RunPiece, Said, WallEnd, WallLayout, WallWishes,
    codes,
};
use crate::building::{Building, PanelWall, WallRole};
use crate::findings::{Finding, Place};
use crate::rules::{PlantRules, PointLoad};
use crate::units::Length;

/// Everything about one wall.
pub(crate) fn wall(
    wall: &PanelWall,
    rules: &PlantRules,
    run: &Run<'_>,
    solution: Option<&Solution>,
    findings: &mut Vec<Finding>,
) {
    for opening in &wall.openings {
        let limit = wall.room_over(opening, rules.plates.thickness);
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
    findings.extend(jacks_over_openings(wall));
    for (what, reason) in &run.refused {
        findings.push(Finding::doubt(
            codes::WISH_REFUSED,
            place(wall, &wall.id, &wall.sources),
            format!("{what} along wall {} is refused: {reason}", wall.name),
            "move it, or change the rule it breaks",
        ));
    }
    match solution {
        Some(solution) => {
            openings(wall, rules, run, solution, findings);
            findings.extend(printed_sum(wall, run, solution));
        }
        None => findings.push(no_layout(wall, rules, run)),
    }
}

/// Jacks of the storey above that bear on what carries over an opening, those of one opening over one opening together.
fn jacks_over_openings(wall: &PanelWall) -> Vec<Finding> {
    let mut told: Vec<[&str; 2]> = Vec::new();
    let mut found = Vec::new();
    for opening in &wall.openings {
        let packs = wall.jacks_above.iter();
        for jacks in packs.filter(|it| it.from < opening.to && opening.from < it.to) {
            let pair = [jacks.opening.as_str(), opening.id.as_str()];
            if told.contains(&pair) {
                continue;
            }
            told.push(pair);
            found.push(Finding::doubt(
                codes::JACKS_OVER_OPENING,
                place(wall, &opening.id, &opening.sources),
                format!(
                    "jacks of {} in the storey above stand over {} of wall {}: what carries over it takes them at one place, which no table covers: not sized: engineer",
                    jacks.opening, opening.id, wall.name
                ),
                "have the engineer size it for them, or bring both openings into line",
            ));
        }
    }
    found
}

fn no_layout(wall: &PanelWall, rules: &PlantRules, run: &Run<'_>) -> Finding {
    let (why, hint) = why_blocked(rules, run);
    Finding::fault(
        codes::NO_LAYOUT,
        place(wall, &wall.id, &wall.sources),
        format!("wall {} cannot be panelled: {why}", wall.name),
        hint,
    )
}

/// What stops the panels of a run, and what to do.
fn why_blocked(rules: &PlantRules, run: &Run<'_>) -> (String, &'static str) {
    let search = Search::new(run, run.left.at, run.left.at);
    match search.map_or_else(|blocked| blocked, |search| search.blocked(&run.left)) {
        Blocked::Gaps(gaps) => (
            gaps_words(&gaps),
            "openings stand too close together or too near a corner there: move one, allow narrower strips (piers.least, joints.least_panel, joints.from_opening), or frame that stretch by hand",
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
    }
}

/// Where panels stop, all of it in one go.
fn gaps_words(gaps: &[[Length; 2]]) -> String {
    let words = gaps.iter().enumerate().map(|(i, [reached, next])| {
        let (reached, next) = (reached.feet_inches(), next.feet_inches());
        if i == 0 {
            format!("from its left corner, as seen from outside, panels reach {reached}, and none can go on from there to {next}")
        } else {
            format!("begun again there they reach {reached}, and none can go on from there to {next}")
        }
    });
    words.collect::<Vec<_>>().join("; ")
}

/// A doubt where modules printed to the sixteenth do not add up to the overall as printed.
fn printed_sum(wall: &PanelWall, run: &Run<'_>, solution: &Solution) -> Option<Finding> {
    let sixteenth = Length::fraction(0, 1, 16);
    let printed = |length: Length| (length + sixteenth.half()).floor_to(sixteenth);
    let starts = solution.panels.iter().map(|piece| piece.from);
    let stops: Vec<Length> = starts.chain([run.right.at]).collect();
    let sum: Length = stops
        .windows(2)
        .map(|pair| printed(pair[1] - pair[0]))
        .sum();
    let overall = printed(run.right.at - run.left.at);
    (sum != overall).then(|| {
        Finding::doubt(
            codes::PRINTED_SUM,
            place(wall, &wall.id, &wall.sources),
            format!(
                "the modules of wall {}, each printed to the sixteenth, add up to {}, and its overall is printed {}",
                wall.name,
                sum.feet_inches(),
                overall.feet_inches()
            ),
            "measure from the left end, not part by part; or bring the wall or the grid to whole sixteenths",
        )
    })
}

/// What the job states about a wall: wishes that cannot be kept together, point loads over openings, what was measured on site.
pub(crate) fn stated(
    wall: &PanelWall,
    rules: &PlantRules,
    (wished, choice): (&WallWishes, &Chosen),
    findings: &mut Vec<Finding>,
) {
    let at = || place(wall, &wall.id, &wall.sources);
    if choice.is_without_wishes {
        let run = Run::new(wall, &choice.ends, rules, Some(wished), &choice.beside);
        findings.push(Finding::doubt(
            codes::WISH_REFUSED,
            at(),
            format!(
                "joints, locked panels and clear stretches wished for wall {} are refused together: with them {}",
                wall.name,
                why_blocked(rules, &run).0
            ),
            "wish for less in [[layout]] of job.toml, or change the rule that stops there",
        ));
    }
    for point in &wished.points {
        // The post of a hold-down slides clear of the wall's end and of jambs: only its middle has to lie on the wall.
        let half = if point.hold_down.is_some() {
            Length::ZERO
        } else {
            point.width.half()
        };
        let (from, to) = (point.at - half, point.at + half);
        if from < choice.ends.left.at || to > choice.ends.right.at {
            let said = wished.said.iter().find(|it| is_of(it, point));
            findings.push(Finding::doubt(
                codes::WISH_REFUSED,
                said.map_or_else(at, |it| said_at(it, at())),
                format!(
                    "{} at {} lies beyond the panels of wall {}",
                    point.what,
                    point.at.feet_inches(),
                    wall.name
                ),
                "correct its place in [[layout]] points of job.toml",
            ));
        }
        for opening in wall.openings.iter().filter(|o| o.from < to && from < o.to) {
            let at = place(wall, &opening.id, &opening.sources);
            let words = format!(
                "{} bears over {} of wall {}",
                point.what, opening.id, wall.name
            );
            let carrier = wall.carried_by(point);
            findings.push(if carrier.is_some_and(|it| it.id == opening.id) {
                Finding::doubt(
                    codes::POINT_LOAD,
                    at,
                    format!(
                        "{words}, on the {} that the job names there: no table covers a load at one place: not sized: engineer",
                        opening.header.name()
                    ),
                    "have the engineer confirm that member and its jacks for this load",
                )
            } else {
                Finding::fault(
                    codes::POINT_LOAD,
                    at,
                    format!("{words}: what carries it is not sized: engineer"),
                    "have the engineer name the member over the opening, as header under its [[opening]] of job.toml, or move the load; one that bears half beside an opening is moved",
                )
            });
        }
    }
    findings.extend(compare(wall, rules, wished));
}

fn is_of(said: &Said, point: &PointLoad) -> bool {
    said.what == point.what && said.ends == [point.at; 2]
}

/// The line that says it, and the wall that it is about.
fn said_at(said: &Said, wall: Place) -> Place {
    Place {
        file: Some(said.file.clone()),
        line: Some(said.line),
        ..wall
    }
}

/// What the job puts into a wall where no panel of it is: beyond its ends, or in an opening between panels. Point loads are
/// told by what they bear on.
pub(crate) fn without_panel(
    wall: &PanelWall,
    wished: &WallWishes,
    laid: &WallLayout,
) -> Vec<Finding> {
    let is_in_panel = |[from, to]: [Length; 2]| {
        laid.run.iter().any(|piece| match piece {
            RunPiece::Panel { from: a, to: b, .. } => {
                let [a, b] = [laid.from + *a, laid.from + *b];
                // The middle of something, or the ends of a board.
                from < b && (a <= from || a < to)
            }
            RunPiece::Opening { .. } | RunPiece::Gap { .. } => false,
        })
    };
    let said = wished.said.iter();
    said.filter(|it| !wished.points.iter().any(|point| is_of(it, point)))
        .filter(|it| !is_in_panel(it.ends))
        .map(|it| {
            Finding::doubt(
                codes::WISH_REFUSED,
                said_at(it, place(wall, &wall.id, &wall.sources)),
                format!(
                    "{} at {} finds no panel in wall {}, whose panels stand from {} to {}: it is not made",
                    it.what,
                    it.ends[0].feet_inches(),
                    wall.name,
                    laid.from.feet_inches(),
                    laid.to.feet_inches()
                ),
                "correct its place in that [[layout]] of job.toml, measured along the wall's outside face from its left corner, clear of openings between panels",
            )
        })
        .collect()
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
        let beside = [piece.left, piece.right]
            .into_iter()
            .find_map(|side| match side {
                Side::Jamb(i) => wall.openings.get(i),
                Side::End | Side::Joint => None,
            });
        if let Some(beside) = beside.filter(|_| pier_at_opening::is_pier(wall, rules, piece)) {
            let why = if pier_at_opening::is_post(wall, piece) {
                "the post of the corner".to_owned()
            } else {
                let least = rules.joints.least_panel;
                format!("a pier of solid lumber, because a panel is no narrower than {least}")
            };
            findings.push(Finding::doubt(
                codes::PIER,
                place(wall, &beside.id, &beside.sources),
                format!(
                    "the strip of {} beside {} is {why}: not sized: engineer",
                    piece.to - piece.from,
                    beside.id
                ),
                "have the engineer name what stands there, or move an opening (piers.least, joints.least_panel)",
            ));
        }
        for pair in held(run, piece).windows(2) {
            let (before, after) = (&wall.openings[pair[0]], &wall.openings[pair[1]]);
            let pier = after.from - before.to;
            let words = format!(
                "only {pier} of panel stands between {} and {}, less than",
                before.id, after.id
            );
            let at = place(wall, &after.id, &after.sources);
            if pier < rules.plates.thickness {
                findings.push(Finding::fault(
                    codes::NARROW_PIER,
                    at,
                    format!("{words} a stud: {}", rules.plates.thickness),
                    "make one opening of the two with a mullion in it, or move one",
                ));
            } else if pier < rules.openings.least_leg {
                findings.push(Finding::doubt(
                    codes::NARROW_PIER,
                    at,
                    format!("{words} {}", rules.openings.least_leg),
                    "it becomes a pier of solid lumber, not sized: engineer; or move an opening (openings.least_leg)",
                ));
            }
        }
    }
}

fn framed(wall: &PanelWall, rules: &PlantRules, i: usize, findings: &mut Vec<Finding>) {
    let opening = &wall.openings[i];
    let at = || place(wall, &opening.id, &opening.sources);
    if !whole_opening::must_be_framed(opening, rules) {
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

/// The last panel of a ring that has no room at its right: its spline is loose.
pub(crate) fn closing_panel(
    building: &Building,
    [before, last]: [usize; 2],
    layout: &Layout,
    findings: &mut Vec<Finding>,
) {
    let (Some(before), Some(panel)) = (layout.panels.get(before), layout.panels.get(last)) else {
        return;
    };
    let Some(wall) = building.walls.get(panel.wall) else {
        return;
    };
    let (what, stands, hint) = if wall.role == WallRole::Exterior {
        let hint = "tell the erector, or let this wall run through at that corner ([[layout]] right = \"through\")";
        ("ring", "the first wall", hint)
    } else {
        let hint = "tell the erector: the walls at both its ends stand before it";
        ("interior wall", "the wall at its right end", hint)
    };
    findings.push(Finding::doubt(
        codes::NO_TRAVEL,
        Place {
            panel: Some(panel.mark.clone()),
            ..place(wall, &wall.id, &wall.sources)
        },
        format!(
            "{} closes the {} between {} and {} and has no room to slide: its spline comes loose (joints.closing) and is dropped in from the top before the top plate goes on",
            panel.mark, what, before.mark, stands
        ),
        hint,
    ));
}

/// Walls over each other whose layout may not be the least: the cost, the bound, the walls.
pub(crate) fn storeys(building: &Building, unproved: &[Unproved], findings: &mut Vec<Finding>) {
    for group in unproved {
        let walls = group
            .walls
            .iter()
            .filter_map(|wall| building.walls.get(*wall));
        let names: Vec<&str> = walls.map(|wall| wall.name.as_str()).collect();
        let dollars = |cents: i64| format!("{}.{:02}", cents / 100, cents % 100);
        findings.push(Finding::note(
            codes::STOREYS_GAP,
            Place::default(),
            format!(
                "walls {} stand over each other and cost {} together; that nothing costs less is proved only down to {}",
                names.join(", "),
                dollars(group.cost),
                dollars(group.bound)
            ),
            "nothing; or a lower price of joints that stand over none (alignment.cents), or a coarser grid",
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
                "look up the wall's id on trace.svg, or its point in the drawing",
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
