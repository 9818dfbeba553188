//! Entities read straight from their pairs: those that the `dxf` crate does not have, or loses in some releases.

use crate::drawing::entities::affine;
use crate::drawing::entities::areas;
use crate::drawing::entities::lettering;
use crate::drawing::entities::mesh;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::plain;
use crate::drawing::entities::proxy;
use crate::drawing::entities::shape::{DimensionShape, Shape, Space, TextShape};
use crate::drawing::entities::table;
use crate::drawing::file::contents::{Contents, Record};

/// Reads the entities that do not go through the crate.
pub(in crate::drawing) fn read_direct(contents: &Contents<'_>, readings: &mut [Option<Reading>]) {
    for (record, place) in contents.records.iter().zip(readings) {
        if place.is_some() || record.is_part {
            continue;
        }
        *place = Some(match read_one(contents, record) {
            Reading::Shape(_) if record.is_broken => Reading::Broken(OUT_OF_STEP.to_owned()),
            reading => reading,
        });
    }
}

/// What is said of an entity in which pairs were lost.
pub(in crate::drawing) const OUT_OF_STEP: &str =
    "its lines are out of step: a line is missing, doubled or damaged";

fn read_one(contents: &Contents<'_>, record: &Record) -> Reading {
    let kind = contents.kind(record);
    let reason = match kind {
        "DIMENSION" | "ARC_DIMENSION" | "LARGE_RADIAL_DIMENSION" => {
            return dimension(contents, record);
        }
        "HATCH" | "MPOLYGON" => return areas::hatch(contents, record),
        "MESH" => return mesh::mesh(contents, record),
        "WIPEOUT" => return areas::wipeout(contents, record),
        "MLINE" => return areas::multi_line(contents, record),
        "ACAD_TABLE" => return table::table(contents, record),
        "MULTILEADER" | "MLEADER" => return note(contents, record),
        "VERTEX" | "SEQEND" => "stands without the entity it belongs to",
        "POINT" => "a point has no extent",
        "LEADER" => "the pointer of a note, which stands beside it",
        "ATTDEF" if is_constant(contents, record) => {
            return plain::read_plain(contents, plain::Plain::Attribute, record);
        }
        "ATTDEF" => "a definition of an attribute prints nothing when placed",
        "VIEWPORT" => "a window onto the model",
        "IMAGE" | "OLEFRAME" | "OLE2FRAME" | "PDFUNDERLAY" | "DWFUNDERLAY" | "DGNUNDERLAY" => {
            "a picture has no lines"
        }
        "RAY" | "XLINE" => "a construction line without end",
        "ACAD_PROXY_ENTITY" | "ACAD_PROXY" => {
            return picture_or(contents, record, FOREIGN);
        }
        "TOLERANCE" | "SHAPE" | "LIGHT" | "SECTION" => "not read",
        "3DSOLID" | "BODY" | "REGION" => return picture_or(contents, record, SOLID),
        _ if kind.ends_with("SURFACE") => return picture_or(contents, record, SOLID),
        // Many programs write their objects under a name of their own, with a picture for those that do not know them.
        _ => return picture_or(contents, record, UNKNOWN),
    };
    Reading::Counted(reason)
}

const FOREIGN: &str = "an object of another program, whose lines only that program knows";
/// Of these kinds walls may be drawn.
pub(in crate::drawing) const SOLID: &str = "a solid in space";
pub(in crate::drawing) const UNKNOWN: &str = "an unknown kind of entity";

fn picture_or(contents: &Contents<'_>, record: &Record, reason: &'static str) -> Reading {
    let shapes = proxy::picture(contents, record);
    if shapes.is_empty() {
        return Reading::Counted(reason);
    }
    Reading::Shape(Shape::Several(shapes))
}

/// True for an attribute whose value is part of the block and shown wherever that is placed.
fn is_constant(contents: &Contents<'_>, record: &Record) -> bool {
    let mut pairs = contents.pairs(record).skip(1);
    let flags = pairs.find(|pair| pair.code == 70);
    flags
        .and_then(|pair| pair.value.whole())
        .is_some_and(|it| it & 2 != 0)
}

/// DIMENSION of any release: measured from its definition points.
fn dimension(contents: &Contents<'_>, record: &Record) -> Reading {
    let mut points = [[0.0; 3]; 7];
    let mut seen = [false; 7];
    let (mut flags, mut angle, mut stated) = (0, 0.0_f64, None);
    let (mut text, mut picture) = (String::new(), String::new());
    for pair in contents.pairs(record).skip(1) {
        match pair.code {
            101 | 1000.. => break,
            1 => text = contents.letters.read(pair.value.bytes()).into_owned(),
            2 => {
                picture = contents
                    .letters
                    .read(pair.value.bytes().trim_ascii())
                    .into_owned();
            }
            42 => stated = pair.value.real().filter(|&value| value > 0.0),
            50 => angle = pair.value.real().unwrap_or(0.0),
            70 => flags = pair.value.whole().unwrap_or(0),
            code @ (10..=16 | 20..=26 | 30..=36) => {
                let Some(number) = pair.value.real() else {
                    return Reading::Broken(format!("group {code} has no usable number"));
                };
                let axis = usize::from(code >= 20) + usize::from(code >= 30);
                let which = usize::try_from(code % 10).unwrap_or(0);
                if let (Some(point), Some(seen)) = (points.get_mut(which), seen.get_mut(which)) {
                    point[axis] = number;
                    *seen = true;
                }
            }
            _ => {}
        }
    }
    let [definition, text_at, _, first, second, third, _] = points;
    let is_linear = matches!(flags & 7, 0 | 1);
    let direction = |from: Space, to: Space| {
        let along = affine::minus(to, from);
        let length = affine::norm(along);
        (length > 0.0).then(|| along.map(|part| part / length))
    };
    let (from, to, along) = match flags & 7 {
        0 => {
            let (sin, cos) = affine::exact_sin_cos(angle.to_radians());
            (first, second, Some([cos, sin, 0.0]))
        }
        1 => (first, second, direction(first, second)),
        3 | 4 => (definition, third, None),
        _ => (first, second, None),
    };
    if is_linear && !(seen[3] && seen[4]) {
        return Reading::Broken("it lacks the points it measures between".to_owned());
    }
    Reading::Shape(Shape::Dimension(Box::new(DimensionShape {
        from,
        to,
        along,
        stated,
        override_text: if text == "<>" {
            String::new()
        } else {
            lettering::plain_lines(&text).join(" ")
        },
        text_at,
        picture,
    })))
}

/// MULTILEADER: the text it carries; its pointer is no line of the plan.
fn note(contents: &Contents<'_>, record: &Record) -> Reading {
    let mut text = None;
    let (mut at, mut along) = ([0.0; 3], [1.0, 0.0, 0.0]);
    let mut height = 0.0;
    let mut is_inside = false;
    for pair in contents.pairs(record).skip(1) {
        let number = || pair.value.real().unwrap_or(0.0);
        match pair.code {
            1000.. => break,
            300 => is_inside |= pair.value.bytes().starts_with(b"CONTEXT_DATA"),
            301 | 302 if is_inside => break,
            304 if is_inside && text.is_none() => {
                text = Some(contents.letters.read(pair.value.bytes()).into_owned());
            }
            12 if is_inside => at[0] = number(),
            22 if is_inside => at[1] = number(),
            32 if is_inside => at[2] = number(),
            13 if is_inside => along[0] = number(),
            23 if is_inside => along[1] = number(),
            41 if is_inside && text.is_none() => height = number(),
            _ => {}
        }
    }
    let lines = lettering::plain_lines(&text.unwrap_or_default());
    if lines.is_empty() {
        return Reading::Counted("the pointer of a note without text");
    }
    Reading::Shape(Shape::Text(Box::new(TextShape {
        lines,
        at,
        along,
        line_step: 5.0 / 3.0,
        height,
        normal: [0.0, 0.0, 1.0],
        justified: [0.0, 1.0],
        ..TextShape::default()
    })))
}
