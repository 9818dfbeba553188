//! The words beside a panel's outline: everything a person at the saw has to know, outside the panel's rectangle.

use super::contents::SawShape;
use super::facts::SawAxes;
use super::marking::inked_words;
use crate::fabrication::{EdgeContour, EdgeJoint, FabricatedPanel, Lift, SkinEdge};
use crate::geometry::ShopPoint;
use crate::rules::{ChaseMade, CornerTreatment, Face, PlantRules, Skin};
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// Height of the letters of notes.
const LETTER: Length = Length::inches(1);
/// Height of the mark above them.
const MARK_LETTER: Length = Length::inches(3);
/// From one line of notes to the next.
const LINE: Length = Length::fraction(1, 3, 4);
/// Clear distance of the notes from the panel.
const BESIDE: Length = Length::inches(6);
/// Letters in a line at most.
const LINE_LETTERS: usize = 64;

/// The note block, standing on y = 0 to the right of the panel, mark on top.
pub(super) fn note_texts(
    panel: &FabricatedPanel,
    rules: &PlantRules,
    axes: &SawAxes,
) -> Vec<SawShape> {
    let faces = [&panel.outer_skin, &panel.inner_skin];
    let right = faces
        .iter()
        .flat_map(|face| axes.ring(&face.outline))
        .map(|point| point.x)
        .fold(panel.width, Length::max);
    let x = right + BESIDE;
    let mut texts = Vec::new();
    let mut y = Length::ZERO;
    let lines: Vec<String> = note_lines(panel, rules, axes)
        .iter()
        .flat_map(|line| wrapped(line))
        .collect();
    for words in lines.into_iter().rev() {
        texts.push(SawShape::Text {
            at: ShopPoint::new(x, y),
            height: LETTER,
            words,
        });
        y += LINE;
    }
    texts.push(SawShape::Text {
        at: ShopPoint::new(x, y),
        height: MARK_LETTER,
        words: panel.mark.clone(),
    });
    texts.reverse();
    texts
}

fn note_lines(panel: &FabricatedPanel, rules: &PlantRules, axes: &SawAxes) -> Vec<String> {
    let mut lines = Vec::new();
    if panel.is_held() {
        lines.push("HOLD: DO NOT CUT".to_owned());
        let reasons = panel.holds.iter();
        lines.extend(reasons.map(|hold| format!("hold {}: {}", hold.code, hold.reason)));
    }
    lines.push(if panel.revision.is_empty() {
        "revision: first issue".to_owned()
    } else {
        format!("revision: {}", panel.revision)
    });
    lines.push(match axes.face_up() {
        Face::Outer => "face up: outer; x and y as seen from outside the building".to_owned(),
        Face::Inner => format!(
            "face up: inner; x is mirrored: x here = {} less the panel's x",
            axes.number(panel.width)
        ),
    });
    lines.push(format!(
        "unit: {}; 1 drawing unit = 1 {0}",
        axes.unit_name()
    ));
    lines.push(format!(
        "size: {} x {}",
        axes.words(panel.width),
        axes.words(panel.height)
    ));
    if panel.make_up > Length::ZERO {
        lines.push(format!(
            "make-up: the right end as seen from outside is left {} long, to be trimmed on site",
            axes.words(panel.make_up)
        ));
    }
    if let Some(assembly) = rules.assemblies.get(panel.assembly) {
        let skin = |skin: &Skin| {
            if skin.is_there() {
                format!("{} {}", skin.material, axes.words(skin.thickness))
            } else {
                "bare".to_owned()
            }
        };
        let [outer, inner] = if assembly.is_even() {
            ["", ""]
        } else {
            ["outer face ", "inner face "]
        };
        lines.push(format!(
            "assembly {}: {outer}{}, {} {}, {inner}{}, in all {}",
            assembly.name,
            skin(&assembly.outer),
            assembly.core_material,
            axes.words(assembly.core),
            skin(&assembly.inner),
            axes.words(assembly.thickness())
        ));
    }
    lines.push("part lines: the controller adds kerf; no lead-ins, no tabs".to_owned());
    lines.extend(opening_lines(panel, rules, axes));
    lines.extend(corner_line(panel, rules, axes));
    lines.extend(inner_cut_lines(panel, axes));
    lines.extend(recess_lines(panel, axes));
    lines.extend(slot_lines(panel, axes));
    lines.extend(bevel_lines(panel, axes));
    lines.extend(chase_line(panel, rules, axes));
    lines.push(format!(
        "ink on the face: {}, letters upright when the panel stands",
        inked_words(panel, axes)
    ));
    lines.extend(caution_lines(panel, rules));
    lines
}

fn opening_lines(panel: &FabricatedPanel, rules: &PlantRules, axes: &SawAxes) -> Vec<String> {
    let mut lines = Vec::new();
    for opening in &panel.openings {
        lines.push(format!(
            "opening {}: rough {} x {}; {}",
            opening.id,
            axes.words(opening.rough.width()),
            axes.words(opening.rough.height()),
            rules.openings.buck.sentence()
        ));
    }
    lines
}

/// How inside corners are made, where a skin has any: of an opening, a door's notch, a step, a cut of the inner skin alone.
fn corner_line(panel: &FabricatedPanel, rules: &PlantRules, axes: &SawAxes) -> Option<String> {
    let faces = [&panel.outer_skin, &panel.inner_skin].into_iter();
    let mut rings = faces.flat_map(|face| std::iter::once(&face.outline).chain(&face.holes));
    rings
        .any(|ring| ring.right_turns() > 0)
        .then(|| match rules.saw.corners {
            CornerTreatment::Square => "inside corners: square by the machine".to_owned(),
            CornerTreatment::StopShort => {
                "inside corners: stop short of the corner, finish by hand".to_owned()
            }
            CornerTreatment::ToolRadius => format!(
                "inside corners: tool radius {} left standing in the opening, square by hand",
                axes.words(rules.saw.tool_radius)
            ),
        })
}

fn recess_lines(panel: &FabricatedPanel, axes: &SawAxes) -> Vec<String> {
    let mut places: BTreeMap<(String, Length), BTreeSet<String>> = BTreeMap::new();
    for edge in &panel.edges {
        if edge.recess > Length::ZERO {
            let joint = match &edge.contour {
                EdgeContour::Outline if is_notch(edge) => format!(
                    "{} of {}",
                    edge.joint.name(),
                    edge.with.as_deref().unwrap_or("the notch")
                ),
                EdgeContour::Outline => edge.joint.name().to_owned(),
                EdgeContour::Opening(id) => format!("{} of {id}", edge.joint.name()),
            };
            let sides = places.entry((joint, edge.recess)).or_default();
            sides.insert(side_words(edge, axes).0);
        }
    }
    places
        .into_iter()
        .map(|((joint, depth), sides)| {
            format!(
                "recess at {joint} ({}): foam {} back from the skin's edge",
                sides.into_iter().collect::<Vec<_>>().join(", "),
                axes.words(depth)
            )
        })
        .collect()
}

fn slot_lines(panel: &FabricatedPanel, axes: &SawAxes) -> BTreeSet<String> {
    let slots = panel.edges.iter().flat_map(|edge| &edge.slots);
    slots
        .map(|slot| {
            format!(
                "slot behind the {} skin: {} deep, {} wide",
                slot.face.name(),
                axes.words(slot.depth),
                axes.words(slot.width)
            )
        })
        .collect()
}

fn bevel_lines(panel: &FabricatedPanel, axes: &SawAxes) -> Vec<String> {
    let bevelled = panel.edges.iter().filter(|edge| edge.bevel_deg != 0.0);
    let lines: Vec<String> = bevelled
        .map(|edge| {
            let (side, place) = side_words(edge, axes);
            format!(
                "bevel at the {side} edge ({place}): {:.3} degrees from square, {} skin longer",
                edge.bevel_deg.abs(),
                if edge.bevel_deg > 0.0 {
                    "outer"
                } else {
                    "inner"
                }
            )
        })
        .collect();
    if lines.is_empty() {
        vec!["bevels: none, all edges square through the panel".to_owned()]
    } else {
        lines
    }
}

/// What is cut from the inner face alone, by what it is for.
fn inner_cut_lines(panel: &FabricatedPanel, axes: &SawAxes) -> Vec<String> {
    let lines = panel.inner_cuts.iter().filter_map(|cut| {
        let ring = axes.ring(&cut.rect.ring());
        let left = ring.iter().map(|point| point.x).min()?;
        let bottom = ring.iter().map(|point| point.y).min()?;
        Some(format!(
            "cut from the inner face, for {}: {} x {}, {} deep, left x = {}, bottom y = {}",
            cut.what,
            axes.words(cut.rect.width()),
            axes.words(cut.rect.height()),
            axes.words(cut.depth),
            axes.number(left),
            axes.number(bottom)
        ))
    });
    lines.collect()
}

/// True for the sides of a door: its hole reaches the panel's edge and is a notch in the outline.
fn is_notch(edge: &SkinEdge) -> bool {
    edge.contour == EdgeContour::Outline && edge.joint == EdgeJoint::Buck
}

/// `left` and `x = 0.0`, or for a slope `slope` and its two ends.
fn side_words(edge: &SkinEdge, axes: &SawAxes) -> (String, String) {
    let (from, to) = axes.edge(edge);
    let is_hole = edge.contour != EdgeContour::Outline || is_notch(edge);
    // The panel lies on the left of every contour, so a hole's sides are named the other way round.
    let (side, place) = if from.x == to.x {
        let side = if (to.y > from.y) == is_hole {
            "left"
        } else {
            "right"
        };
        (side, format!("x = {}", axes.number(from.x)))
    } else if from.y == to.y {
        let side = if (to.x > from.x) == is_hole {
            "top"
        } else {
            "bottom"
        };
        (side, format!("y = {}", axes.number(from.y)))
    } else {
        let [x0, y0, x1, y1] = [from.x, from.y, to.x, to.y].map(|length| axes.number(length));
        ("slope", format!("({x0}, {y0}) to ({x1}, {y1})"))
    };
    (side.to_owned(), place)
}

/// Who makes the chases: a line of a file for the saw is else taken for work to do.
fn chase_line(panel: &FabricatedPanel, rules: &PlantRules, axes: &SawAxes) -> Option<String> {
    let first = panel.chases.first()?;
    let made = match rules.chases.made {
        ChaseMade::Core => "made in the core before lamination: nothing to make here",
        ChaseMade::Panel => "to be made in the panel",
    };
    Some(format!(
        "chases: {}, {} in diameter, in the middle of the core, {made}",
        panel.chases.len(),
        axes.words(first.diameter)
    ))
}

fn caution_lines(panel: &FabricatedPanel, rules: &PlantRules) -> Vec<String> {
    let how = match panel.lift {
        Lift::Hand => "lifted by a crew",
        Lift::Forklift => "lifted by forklift",
        Lift::Crane => "lifted by crane",
    };
    let assembly = rules.assemblies.get(panel.assembly);
    let carries = if assembly.is_some_and(|it| it.is_liner()) {
        "one skin, this panel bears nothing"
    } else {
        "skins carry the load"
    };
    vec![
        format!(
            "caution: {:.0} lb, {how}; nobody under or beside a raised panel",
            panel.weight_lb
        ),
        format!("caution: {carries}: never over-cut a corner, never shift an opening or a chase"),
        "caution: structure and wiring by local code and licensed practice".to_owned(),
    ]
}

/// Broken at spaces into lines of at most [`LINE_LETTERS`]; what continues is indented.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let length = line.chars().count() + 1 + word.chars().count();
        if !line.is_empty() && length > LINE_LETTERS {
            lines.push(std::mem::replace(&mut line, format!("    {word}")));
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines.push(line);
    lines
}
