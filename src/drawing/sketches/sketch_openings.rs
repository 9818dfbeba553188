//! The openings of a sketch.

use crate::drawing::model::{SketchOpening, SketchWall};
use crate::drawing::sketches::sketch_file::{OpeningItem, WallName, parse_size};
use crate::findings::Place;
use crate::geometry::tolerance::SKETCH_CLOSES;
use crate::toml_text::{At, Mistake, Text, nearest};
use crate::units::Length;

fn find_wall(
    text: Text<'_>,
    item: &OpeningItem,
    walls: &[SketchWall],
    mistakes: &mut Vec<Mistake>,
) -> Option<usize> {
    let (wanted, found) = match &item.wall.value {
        WallName::Number(number) => (
            number.to_string(),
            number.checked_sub(1).filter(|at| *at < walls.len()),
        ),
        WallName::Name(name) => (
            format!("'{name}'"),
            walls.iter().position(|wall| wall.name == *name),
        ),
    };
    if found.is_none() {
        let names: Vec<&str> = walls.iter().map(|wall| wall.name.as_str()).collect();
        let near = match &item.wall.value {
            WallName::Name(name) => nearest(name, &names),
            WallName::Number(_) => None,
        };
        let hint = near.map_or_else(
            || format!("the walls are {}", names.join(", ")),
            |near| format!("did you mean '{near}'?"),
        );
        mistakes.push(text.mistake(item.wall.offset, format!("there is no wall {wanted}"), hint));
    }
    found
}

/// Width, height and tag of an opening, from its lengths and its call-out.
fn sizes(
    text: Text<'_>,
    item: &At<OpeningItem>,
    mistakes: &mut Vec<Mistake>,
) -> Option<(Length, Option<Length>)> {
    let written = &item.value;
    let mut called = None;
    if let Some(size) = &written.size {
        match parse_size(&size.value) {
            Ok(both) => called = Some(both),
            Err((message, hint)) => {
                mistakes.push(text.mistake(size.offset, message, hint));
                return None;
            }
        }
    }
    let stated = [
        ("width", &written.width, called.map(|size| size.0)),
        ("height", &written.height, called.map(|size| size.1)),
    ];
    let mut result = [None; 2];
    for ((name, stated, called), result) in stated.into_iter().zip(&mut result) {
        let own = stated.as_ref().map(|length| length.value.0);
        if let (Some(length), Some(own), Some(called)) = (stated, own, called)
            && own != called
        {
            mistakes.push(text.mistake(
                length.offset,
                format!("the {name} is {own}, the size says {called}"),
                "delete one of them",
            ));
        }
        *result = own.or(called);
    }
    let [width, height] = result;
    if width.is_none() {
        mistakes.push(text.mistake(
            item.offset,
            "this opening has no width",
            "write width = \"3'\" or a size such as size = \"3068\"",
        ));
    }
    Some((width?, height))
}

/// One opening as it is handed on; `None` when a mistake keeps it from being placed.
pub(super) fn opening(
    text: Text<'_>,
    item: &At<OpeningItem>,
    walls: &[SketchWall],
    walls_are_sound: bool,
    mistakes: &mut Vec<Mistake>,
) -> Option<SketchOpening> {
    let written = &item.value;
    let sizes = sizes(text, item, mistakes);
    // With broken runs every wall would be missing: their own mistakes are enough.
    let wall = walls_are_sound
        .then(|| find_wall(text, written, walls, mistakes))
        .flatten();
    let ((width, height), wall) = sizes.zip(wall)?;
    let from = written.from.value.0;
    let lengths = [
        ("from", Some(&written.from), from >= Length::ZERO),
        ("width", written.width.as_ref(), width > Length::ZERO),
        (
            "height",
            written.height.as_ref(),
            height.is_none_or(|height| height > Length::ZERO),
        ),
        (
            "sill",
            written.sill.as_ref(),
            written
                .sill
                .as_ref()
                .is_none_or(|sill| sill.value.0 >= Length::ZERO),
        ),
    ];
    for (name, place, is_right) in lengths {
        if !is_right {
            mistakes.push(text.mistake(
                place.map_or(item.offset, |place| place.offset),
                format!("'{name}' is not above zero"),
                "lengths are measured from the wall's left end, seen from outside, and upwards",
            ));
        }
    }
    Some(SketchOpening {
        wall,
        kind: written.kind.value.name().to_owned(),
        from: from.to_inches(),
        width: width.to_inches(),
        height: height.map(Length::to_inches),
        sill: written.sill.as_ref().map(|sill| sill.value.0.to_inches()),
        tag: written
            .tag
            .clone()
            .or_else(|| written.size.as_ref().map(|size| size.value.clone())),
        line: text.line(item.offset),
    })
}

/// Openings that leave their wall or run into each other.
pub(super) fn check_overlaps(
    text: Text<'_>,
    walls: &[SketchWall],
    openings: &[SketchOpening],
    mistakes: &mut Vec<Mistake>,
) {
    let printed = |inches: f64| {
        Length::nearest(inches, Length::TAPE_STEP)
            .unwrap_or_default()
            .feet_inches()
            .to_string()
    };
    for (number, opening) in openings.iter().enumerate() {
        let Some(wall) = walls.get(opening.wall) else {
            continue;
        };
        let length = (wall.end.x - wall.start.x).hypot(wall.end.y - wall.start.y);
        let end = opening.from + opening.width;
        if end > length + SKETCH_CLOSES {
            mistakes.push(Mistake {
                place: Place::line(text.file, opening.line),
                message: format!(
                    "this {} ends at {}, beyond '{}', which is {} long",
                    opening.kind.replace('_', " "),
                    printed(end),
                    wall.name,
                    printed(length)
                ),
                hint: "measure 'from' from the wall's left end, seen from outside".to_owned(),
            });
        }
        let before = openings.iter().take(number);
        for other in before.filter(|other| other.wall == opening.wall) {
            if opening.from < other.from + other.width && other.from < end {
                mistakes.push(Mistake {
                    place: Place::line(text.file, opening.line),
                    message: format!(
                        "this {} overlaps the {} of line {}",
                        opening.kind.replace('_', " "),
                        other.kind.replace('_', " "),
                        other.line
                    ),
                    hint: "move one of them or make it smaller".to_owned(),
                });
            }
        }
    }
}
