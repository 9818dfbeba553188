//! Which line of the architect's wall the panel keeps, and what that does to rooms and overall dimensions.
//!
//! ```text
//!   outside │siding│sheathing│      stud      │drywall│ inside     as drawn
//!                  │◄─── panel ───►│                               hold = "outside", hold_layer = "sheathing"
//!                    │◄── panel ───►│                              hold = "inside",  hold_layer = "stud"
//! ```
//!
//! Without a named layer the line is one of the layer that bears, where the plan has layers and panels are not as thick as all of
//! them: panels stand where the frame was drawn, and cladding stays outside them. While the plan asks which layer bears, the line is
//! one of the whole wall as drawn, and what stands on it is on HOLD. Layers are the job's own, by name; where it gives none, those
//! of the drawing, by number from the outside.

use super::codes;
use super::faces::Face;
use super::raise::{Raising, element_place, storey_place};
use crate::findings::{Finding, Place};
use crate::geometry::tolerance::BRIDGE_MOVE;
use crate::plan::{Core, Storey, Wall};
use crate::rules::{HeldFace, Job};
use crate::units::Length;
use std::collections::BTreeMap;

/// A layer of the drawn wall that is held.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct HeldLayer {
    /// Its name in the job, or its number in the drawing.
    pub(super) name: String,
    /// Where it begins and ends, from the drawn outside face inwards.
    pub(super) depth: [Length; 2],
    /// True where the job names it, not the plan.
    is_named: bool,
}

/// Settles which line stays, and how far the panel's outside face moves outwards from the drawn one for it.
pub(super) fn hold(
    raising: &mut Raising<'_>,
    storey: &Storey,
    face: &mut Face,
    wall: Option<&Wall>,
) {
    let Some(assembly) = raising.rules.assemblies.get(face.assembly) else {
        return;
    };
    let thickness = assembly.thickness();
    if face.drawn_thickness <= 0.0 {
        face.drawn_thickness = thickness.to_inches();
    }
    let drawn = Length::nearest(face.drawn_thickness, raising.step).unwrap_or_default();
    face.layer = match named(raising.job, face, wall).map(str::to_owned) {
        Some(name) if name.eq_ignore_ascii_case(WHOLE) => None,
        Some(name) => layer(raising, storey, face, wall, drawn, &name),
        None if (thickness - drawn).abs().to_inches() > BRIDGE_MOVE => bearing(raising, face, wall),
        None => None,
    };
    let [from, to] = face
        .layer
        .as_ref()
        .map_or([Length::ZERO, drawn], |it| it.depth);
    face.outward = match face.hold {
        HeldFace::Outside => -from,
        HeldFace::Inside => thickness - to,
        HeldFace::Centre => (thickness - from - to).half(),
    };
}

/// What the job calls the wall as drawn with all its layers.
const WHOLE: &str = "whole";

/// The name of the layer that the job holds of a wall. What it says of all walls is about those round the building.
fn named<'a>(job: &'a Job, face: &Face, wall: Option<&Wall>) -> Option<&'a str> {
    let own = face.job_wall(job).and_then(|it| it.hold_layer.as_ref());
    let common = (job.hold_layer.as_ref()).filter(|_| is_common(wall));
    own.or(common).map(String::as_str)
}

fn is_common(wall: Option<&Wall>) -> bool {
    wall.is_none_or(|wall| wall.is_exterior)
}

/// The layer that bears by the plan; what stands on a wall of which that is asked is on HOLD, unless the job says which line is held.
fn bearing(raising: &Raising<'_>, face: &mut Face, wall: Option<&Wall>) -> Option<HeldLayer> {
    let wall = wall?;
    match wall.core() {
        Core::Whole => None,
        Core::Asked => {
            face.on_hold |= !is_hold_stated(raising.job, face);
            None
        }
        Core::Known(index) => {
            let layers = drawn_layers(raising, wall);
            let number = match wall.is_exterior {
                true => index,
                false => layers.len().checked_sub(index + 1)?,
            };
            held(&layers, number, false)
        }
    }
}

/// True where the job says which of the wall's faces stays.
fn is_hold_stated(job: &Job, face: &Face) -> bool {
    job.is_hold_stated || face.job_wall(job).is_some_and(|it| it.hold.is_some())
}

/// One of the layers, with where it begins and ends.
fn held(layers: &[(String, Length)], index: usize, is_named: bool) -> Option<HeldLayer> {
    let (name, thickness) = layers.get(index)?;
    let from: Length = layers[..index].iter().map(|(_, it)| *it).sum();
    Some(HeldLayer {
        name: name.clone(),
        depth: [from, from + *thickness],
        is_named,
    })
}

/// The layer that the job holds of a wall; one that does not exist is a fault.
fn layer(
    raising: &mut Raising<'_>,
    storey: &Storey,
    face: &mut Face,
    wall: Option<&Wall>,
    drawn: Length,
    name: &str,
) -> Option<HeldLayer> {
    let job = raising.job;
    let entry = face.job_wall(job);
    let line = entry.filter(|it| it.hold_layer.is_some()).map(|it| it.line);
    let own = entry.map(|it| &it.layers).filter(|it| !it.is_empty());
    let none = Vec::new();
    let given = own.unwrap_or(if is_common(wall) { &job.layers } else { &none });
    let layers: Vec<(String, Length)> = if given.is_empty() {
        let numbered = wall.map_or_else(Vec::new, |wall| drawn_layers(raising, wall));
        numbered.into_iter().collect()
    } else {
        given.clone()
    };
    let place = || Place {
        file: Some(job.file.clone()),
        line,
        ..element_place(storey, &face.id)
    };
    let Some(index) = layers
        .iter()
        .position(|(own, _)| own.eq_ignore_ascii_case(name))
    else {
        let known: Vec<&str> = layers.iter().map(|(own, _)| own.as_str()).collect();
        let known = if known.is_empty() {
            "it is drawn as one layer, and the job gives none".to_owned()
        } else {
            format!("there are {}", known.join(", "))
        };
        let fault = Finding::fault(
            codes::HELD_LAYER_UNKNOWN,
            place(),
            format!(
                "{} has no layer '{name}' to hold: {known}; the whole wall's line is held",
                face.id
            ),
            "correct wall.hold_layer, or give wall.layers from the outside in, each with name and thickness",
        );
        face.on_hold = true;
        raising.findings.push(fault);
        return None;
    };
    let all: Length = layers.iter().map(|(_, it)| *it).sum();
    if !given.is_empty() && (all - drawn).abs().to_inches() > BRIDGE_MOVE {
        let doubt = Finding::doubt(
            codes::LAYERS_DO_NOT_ADD_UP,
            place(),
            format!(
                "the layers that the job gives for {} are {all} together, and it is drawn {drawn} thick; they are counted from its outside face",
                face.id
            ),
            "correct wall.layers, or ask the architect which of both holds",
        );
        raising.findings.push(doubt);
    }
    held(&layers, index, true)
}

/// The layers of the drawing, named by number, from the outside in: of an interior wall from its outside face.
fn drawn_layers(raising: &Raising<'_>, wall: &Wall) -> Vec<(String, Length)> {
    let mut thick: Vec<f64> = wall.layers.iter().map(|it| it.thickness).collect();
    if !wall.is_exterior {
        thick.reverse();
    }
    let on_grid = |inches: f64| Length::nearest(inches, raising.step).unwrap_or_default();
    let numbered = thick.into_iter().zip(1..);
    numbered
        .map(|(inches, number): (f64, u32)| (number.to_string(), on_grid(inches)))
        .collect()
}

/// One finding for all faces of a storey that differ in the same way.
pub(super) fn report(raising: &mut Raising<'_>, storey: &Storey, faces: &[Face]) {
    let mut groups: BTreeMap<(Length, usize, &str, Option<&HeldLayer>), Vec<&Face>> =
        BTreeMap::new();
    for face in faces {
        let drawn = Length::nearest(face.drawn_thickness, raising.step).unwrap_or_default();
        let word = match face.hold {
            HeldFace::Outside => "outside face",
            HeldFace::Inside => "inside face",
            HeldFace::Centre => "centre line",
        };
        groups
            .entry((drawn, face.assembly, word, face.layer.as_ref()))
            .or_default()
            .push(face);
    }
    for ((drawn, assembly, word, layer), group) in groups {
        let (Some(assembly), Some(first)) = (raising.rules.assemblies.get(assembly), group.first())
        else {
            continue;
        };
        let difference = assembly.thickness() - drawn;
        if layer.is_none() && difference.abs().to_inches() <= BRIDGE_MOVE {
            continue;
        }
        let compared = match difference {
            it if it > Length::ZERO => format!("{it} thicker"),
            it if it < Length::ZERO => format!("{} thinner", -it),
            _ => "as thick".to_owned(),
        };
        let (held, consequence) = match (layer, first.hold) {
            (Some(layer), _) => {
                let ends = moved(first.outward, difference - first.outward);
                (format!("the {word} of its layer '{}'", layer.name), ends)
            }
            (None, HeldFace::Inside) => (
                format!("the {word}"),
                format!(
                    "rooms keep their sizes, overall dimensions change by {} at each such wall",
                    difference.abs()
                ),
            ),
            (None, HeldFace::Centre) => (
                format!("the {word}"),
                format!(
                    "rooms and overall dimensions change by {} at each such wall",
                    difference.abs().half()
                ),
            ),
            (None, HeldFace::Outside) => (
                format!("the {word}"),
                format!(
                    "overall dimensions stay, rooms change by {} at each such wall",
                    difference.abs()
                ),
            ),
        };
        let ids: Vec<&str> = group.iter().map(|face| face.id.as_str()).collect();
        let by = if layer.is_none() { "by " } else { "" };
        let message = format!(
            "{} {} drawn {drawn} thick and panels are {}, {by}{compared}: {held} is held, {consequence}",
            ids.join(", "),
            if ids.len() == 1 { "is" } else { "are" },
            assembly.thickness()
        );
        let place = storey_place(storey)
            .with_sources(group.iter().flat_map(|face| face.sources.iter()).take(1));
        let is_stated = layer.is_some_and(|it| it.is_named)
            || group.iter().all(|face| is_hold_stated(raising.job, face));
        let hint = "confirm with the architect; wall.hold in job.toml chooses the line that stays";
        raising.findings.push(if is_stated {
            Finding::note(codes::THICKNESS_DIFFERS, place, message, hint)
        } else {
            Finding::doubt(codes::THICKNESS_DIFFERS, place, message, hint)
        });
    }
}

/// What the panel's two faces do against the drawn ones: how far the outside one lies outwards, the inside one inwards.
fn moved(outward: Length, inward: Length) -> String {
    let side = |by: Length, face: &str, out: &str, back: &str| match by {
        it if it > Length::ZERO => format!("the {face} face moves {it} {out}"),
        it if it < Length::ZERO => format!("the {face} face moves {} {back}", -it),
        _ => format!("the {face} face stays"),
    };
    let (overall, rooms) = (
        side(outward, "outside", "outwards", "inwards"),
        side(inward, "inside", "into the room", "out of the room"),
    );
    format!(
        "{overall} and {rooms}; overall dimensions change by the first and rooms by the second at each such wall"
    )
}
