//! What plates a wall needs, from where to where, and what their joints keep away from.
//!
//! ```text
//!        ├── cap of the butting wall laps over the wall that runs through
//!   ┌────┴──────────────┬──────────────────┐ cap
//!   ╞═════╤═════════════╧════╤═════════════╡ top, in the panels' recess     joints of plates 24 in apart, and from panel joints
//!   │ W101│ W102             │ W103        │
//!   ╞═════╧══════┐    ┌══════╧═════════════╡ sole, stopped at the door
//! ```
//!
//! At a bevelled corner a plate reaches to its long point.

use super::corners::RunEnd;
use super::plates::{PlateProblem, Plates, Span, cut_plates};
use super::ring::Chosen;
use super::solution::{Side, Solution};
use super::{PlateUse, WallEnd, WallLayout, codes};
use crate::building::PanelWall;
use crate::findings::{Finding, Place};
use crate::rules::{Assembly, PlantRules, SoleAtDoors};
use crate::units::Length;

/// Cuts the plates of one wall and adds them to its layout, without marks.
pub(crate) fn add_plates(
    rules: &PlantRules,
    wall: &PanelWall,
    choice: &Chosen,
    solution: &Solution,
    laid: &mut WallLayout,
    findings: &mut Vec<Finding>,
) {
    let Some(assembly) = rules.assemblies.get(wall.assembly) else {
        return;
    };
    let place = || Place::element(&wall.storey, &wall.id).with_sources(wall.sources.iter());
    let origin = choice.ends.left.at;
    let doors = wall
        .openings
        .iter()
        .filter(|opening| opening.reaches_floor());
    let doors: Vec<Span> = match rules.plates.sole_at_doors {
        SoleAtDoors::Stops => doors.map(|o| (o.from - origin, o.to - origin)).collect(),
        SoleAtDoors::RunsThrough => Vec::new(),
    };
    let limit = wall.stack.panel_top - rules.plates.thickness;
    let high = wall.openings.iter().filter(|opening| opening.head > limit);
    let high: Vec<Span> = high.map(|o| (o.from - origin, o.to - origin)).collect();
    let core = core_span(rules, assembly, choice);
    let problem = PlateProblem {
        rules: &rules.plates,
        sole: without(core, &doors),
        top: without(core, &high),
        cap: if rules.plates.has_cap {
            vec![cap_span(assembly, choice)]
        } else {
            Vec::new()
        },
        panel_joints: panel_joints(rules, solution, origin),
    };
    let Plates { pieces, broken } = cut_plates(&problem);
    for (plate, _) in broken {
        findings.push(Finding::doubt(
            codes::PLATE_JOINTS,
            place(),
            format!(
                "no joints of the {} of wall {} keep {} from panel joints and from the next plate's joints",
                plate.name(), wall.name, rules.plates.joint_offset
            ),
            "splice it as the engineer says, or change plates.joint_offset, plates.least_piece or plates.stock_lengths",
        ));
    }
    let cap_section = cap_section(rules, assembly);
    if rules.plates.has_cap && cap_section.is_none() {
        findings.push(Finding::doubt(
            codes::NO_CAP_SECTION,
            place(),
            format!(
                "no lumber section is as wide as wall {}: its cap cannot be ripped from one",
                wall.name
            ),
            "add a section to lumber.sections, or order engineered lumber for the cap",
        ));
    }
    laid.plates = pieces
        .into_iter()
        .map(|(plate, (from, to))| super::PlateRun {
            mark: String::new(),
            plate,
            section: match plate {
                PlateUse::Cap => cap_section
                    .clone()
                    .unwrap_or_else(|| "engineered lumber".to_owned()),
                PlateUse::Sole | PlateUse::Top => assembly.lumber.clone(),
            },
            from,
            to,
        })
        .collect();
}

/// A cap is ripped from the least section that is as wide as the panel is thick.
fn cap_section(rules: &PlantRules, assembly: &Assembly) -> Option<String> {
    let sections = rules.lumber.sections.iter();
    let wide = sections.filter(|(_, section)| section.width >= assembly.thickness());
    wide.min_by_key(|(name, section)| (section.width, (*name).clone()))
        .map(|(name, _)| name.clone())
}

/// Middles of the gaps at joints and of those beside header panels.
fn panel_joints(rules: &PlantRules, solution: &Solution, origin: Length) -> Vec<Length> {
    let half = rules.joints.gap.half();
    let edges = solution.panels.iter().flat_map(|piece| {
        let left = match piece.left {
            Side::Joint => Some(piece.from - half),
            Side::Jamb(_) => Some(piece.from - half),
            Side::End => None,
        };
        let right = matches!(piece.right, Side::Jamb(_)).then_some(piece.to + half);
        [left, right]
    });
    edges.flatten().map(|x| x - origin).collect()
}

/// Sole and top plate lie between the skins.
fn core_span(rules: &PlantRules, assembly: &Assembly, choice: &Chosen) -> Span {
    let section = rules.lumber.sections.get(&assembly.lumber);
    let inner = assembly.outer_skin + section.map_or(assembly.core, |section| section.width);
    let short = |end: &RunEnd| long_point(end, assembly.outer_skin, inner);
    let length = choice.ends.length();
    (short(&choice.ends.left), length - short(&choice.ends.right))
}

/// The cap of the butting wall runs over the wall that runs through, so that corners are tied across.
fn cap_span(assembly: &Assembly, choice: &Chosen) -> Span {
    let short = |end: &RunEnd| match end.end {
        WallEnd::Butt => -end.other_thickness,
        WallEnd::Through => end.other_thickness,
        WallEnd::Mitre { .. } => long_point(end, Length::ZERO, assembly.thickness()),
        WallEnd::Free => Length::ZERO,
    };
    let length = choice.ends.length();
    (short(&choice.ends.left), length - short(&choice.ends.right))
}

/// How far short of the outer skin's end lies the long point of something between two depths from the outside.
fn long_point(end: &RunEnd, outer: Length, inner: Length) -> Length {
    let WallEnd::Mitre { bevel_deg } = end.end else {
        return Length::ZERO;
    };
    let depth = if bevel_deg > 0.0 { outer } else { inner };
    let short = depth.to_inches() * bevel_deg.to_radians().tan();
    Length::nearest(short, Length::TAPE_STEP).unwrap_or_default()
}

fn without(span: Span, holes: &[Span]) -> Vec<Span> {
    let mut spans = Vec::new();
    let mut from = span.0;
    for (a, b) in holes {
        if *a > from {
            spans.push((from, *a));
        }
        from = from.max(*b);
    }
    if from < span.1 {
        spans.push((from, span.1));
    }
    spans
}
