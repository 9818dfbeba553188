//! Which line of the architect's wall the panel keeps, and what that does to rooms and overall dimensions.
//!
//! ```text
//!   outside │siding│sheathing│      stud      │drywall│ inside     as drawn
//!                  │◄─── panel ───►│                               hold = "outside", hold_layer = "sheathing"
//!                    │◄── panel ───►│                              hold = "inside",  hold_layer = "stud"
//! ```
//!
//! Without a named layer the line is one of the whole wall as drawn. Layers are the job's own, by name; where it gives none, those of
//! the drawing, by number from the outside.

use super::codes;
use super::faces::Face;
use super::raise::{Raising, element_place, storey_place};
use crate::findings::{Finding, Place};
use crate::geometry::tolerance::BRIDGE_MOVE;
use crate::plan::{Storey, Wall};
use crate::rules::HeldFace;
use crate::units::Length;
use std::collections::BTreeMap;

/// A layer of the drawn wall that is held.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct HeldLayer {
    /// Its name in the job, or its number in the drawing.
    pub(super) name: String,
    /// Where it begins and ends, from the drawn outside face inwards.
    pub(super) depth: [Length; 2],
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
    face.layer = layer(raising, storey, face, wall, drawn);
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

/// The layer that the job holds of a wall; one that does not exist is a fault.
fn layer(
    raising: &mut Raising<'_>,
    storey: &Storey,
    face: &mut Face,
    wall: Option<&Wall>,
    drawn: Length,
) -> Option<HeldLayer> {
    let job = raising.job;
    let entry = face.job_wall(job);
    // What the job says of all walls is about those round the building.
    let is_common = wall.is_none_or(|wall| wall.is_exterior);
    let common = job.hold_layer.as_ref().filter(|_| is_common);
    let name = entry.and_then(|it| it.hold_layer.as_ref()).or(common)?;
    let line = entry.filter(|it| it.hold_layer.is_some()).map(|it| it.line);
    let own = entry.map(|it| &it.layers).filter(|it| !it.is_empty());
    let none = Vec::new();
    let given = own.unwrap_or(if is_common { &job.layers } else { &none });
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
    let sum = |layers: &[(String, Length)]| -> Length { layers.iter().map(|(_, it)| *it).sum() };
    let all = sum(&layers);
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
    let from = sum(&layers[..index]);
    Some(HeldLayer {
        name: layers[index].0.clone(),
        depth: [from, from + layers[index].1],
    })
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
        let is_stated = layer.is_some()
            || raising.job.is_hold_stated
            || group.iter().all(|face| {
                face.job_wall(raising.job)
                    .is_some_and(|entry| entry.hold.is_some())
            });
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
