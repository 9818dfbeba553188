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
//! At a bevelled corner a plate reaches to its long point. On a slope each stretch has plates of its own, cut plumb at both
//! ends; stock lengths are then counted along the slope. A sole is parted at the steps of the base.

use super::caps::Caps;
use super::corners::RunEnd;
use super::plates::{PlateProblem, Plates, Span, cut_plates};
use super::ring::Chosen;
use super::solution::{Side, Solution};
use super::{PlateUse, WallEnd, WallLayout, codes};
use crate::building::{PanelWall, TopStretch};
use crate::findings::{Finding, Place};
use crate::rules::{Assembly, PlantRules, PlateRules, SoleAtDoors};
use crate::units::Length;

/// Cuts the plates of one wall and adds them to its layout, without marks.
pub(crate) fn add_plates(
    caps: Caps<'_>,
    wall: &PanelWall,
    solution: &Solution,
    laid: &mut WallLayout,
    findings: &mut Vec<Finding>,
) {
    let rules = caps.rules;
    let (Some(assembly), Some(choice)) = (
        rules.assemblies.get(wall.assembly),
        caps.chosen.get(laid.wall),
    ) else {
        return;
    };
    let place = || Place::element(&wall.storey, &wall.id).with_sources(wall.sources.iter());
    let origin = choice.ends.left.at;
    let doors = wall.openings.iter().filter(|opening| wall.is_door(opening));
    let doors: Vec<Span> = match rules.plates.sole_at_doors {
        SoleAtDoors::Stops => doors.map(|o| (o.from - origin, o.to - origin)).collect(),
        SoleAtDoors::RunsThrough => Vec::new(),
    };
    let panel_joints = panel_joints(rules, solution, origin);
    let problem = |rules: &PlateRules, spans: [Vec<Span>; 3], ends: &[Span]| {
        let [sole, top, cap] = spans;
        // Where a cap is parted the plate under it runs through.
        let ends = ends.iter().flat_map(|span| [span.0, span.1]);
        cut_plates(&PlateProblem {
            rules,
            sole,
            top,
            cap,
            panel_joints: panel_joints.iter().copied().chain(ends).collect(),
        })
    };
    let core = core_span(rules, assembly, choice);
    let steps = wall.profile.base.iter().skip(1);
    let steps = steps.map(|step| step.x - origin);
    let steps: Vec<Length> = steps.collect();
    let sole = parted_at(without(core, &doors), &steps);
    let trimmed = without_trim(rules);
    let Plates {
        mut pieces,
        mut broken,
        ..
    } = problem(&trimmed, [sole, Vec::new(), Vec::new()], &[]);
    let cap = rules.plates.has_cap.then(|| caps.span(laid.wall));
    let parted = caps.parted(laid.wall);
    if cap.is_some() {
        findings.extend(caps.refusals(laid.wall));
    }
    let stretches: Vec<TopStretch> = wall.profile.stretches().collect();
    for (index, stretch) in stretches.iter().enumerate() {
        // The first and the last go on beyond the corners.
        let from = (index > 0).then_some(stretch.from.x - origin);
        let to = (index + 1 < stretches.len()).then_some(stretch.to.x - origin);
        let on_stretch = |span: Span| {
            let span = (
                from.map_or(span.0, |from| span.0.max(from)),
                to.map_or(span.1, |to| span.1.min(to)),
            );
            (span.0 < span.1).then_some(span)
        };
        let top = on_stretch(core).into_iter().collect();
        let cap = cap.and_then(on_stretch);
        let cap = cap.map_or_else(Vec::new, |span| without(span, &parted));
        let made = problem(&along(&trimmed, stretch), [Vec::new(), top, cap], &parted);
        pieces.extend(made.pieces);
        broken.extend(made.broken);
        if let Some([(n_pieces, length), (least, least_length)]) = made.gap {
            findings.push(Finding::note(
                codes::PLATE_GAP,
                place(),
                format!(
                    "top plate and cap of wall {} take {n_pieces} pieces, {} bought; that nothing less does is proved only down to {least} pieces, {}",
                    wall.name,
                    length.feet_inches(),
                    least_length.feet_inches()
                ),
                "nothing, or cut these two plates by hand",
            ));
        }
    }
    pieces.sort_by_key(|(plate, (from, _))| (*plate, *from));
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
    let inner = assembly.outer.thickness + section.map_or(assembly.core, |section| section.width);
    let short = |end: &RunEnd| long_point(end, assembly.outer.thickness, inner);
    let length = choice.ends.length();
    (short(&choice.ends.left), length - short(&choice.ends.right))
}

/// What a bar gives once its two ends are trimmed: a plate of its full length could be cut from none.
fn without_trim(rules: &PlantRules) -> PlateRules {
    let mut plates = rules.plates.clone();
    for stock in &mut plates.stock_lengths {
        *stock -= rules.stock.lumber_trim * 2;
    }
    plates.stock_lengths.retain(|it| *it > Length::ZERO);
    plates
}

/// Stock measured along the wall where a plate lies on a slope: both ends are cut plumb.
fn along(rules: &PlateRules, stretch: &TopStretch) -> PlateRules {
    let mut rules = rules.clone();
    if !stretch.is_level() {
        let (slope, slant) = (stretch.slope().abs(), stretch.slope().hypot(1.0));
        let lost = rules.thickness.to_inches() * slope;
        let level = |stock: Length| {
            let inches = (stock.to_inches() - lost) / slant;
            let nearest = Length::nearest(inches, Length::nanometres(1)).unwrap_or_default();
            nearest.floor_to(Length::fraction(0, 1, 16))
        };
        rules.stock_lengths = rules.stock_lengths.iter().copied().map(level).collect();
    }
    rules
}

/// Spans parted at these places.
fn parted_at(spans: Vec<Span>, places: &[Length]) -> Vec<Span> {
    let mut parts = Vec::new();
    for (mut from, to) in spans {
        for place in places {
            if from < *place && *place < to {
                parts.push((from, *place));
                from = *place;
            }
        }
        parts.push((from, to));
    }
    parts
}

/// How far short of the outer skin's end lies the long point of something between two depths from the outside.
pub(super) fn long_point(end: &RunEnd, outer: Length, inner: Length) -> Length {
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
