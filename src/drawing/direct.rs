//! Entities read straight from their pairs: those that the `dxf` crate does not have, or loses in some releases.

use super::contents::{Contents, Record};
use super::ordinary::Reading;
use super::shape::{DimensionShape, Shape, Space};

/// Reads the entities that do not go through the crate.
pub(super) fn read_direct(contents: &Contents<'_>, readings: &mut [Option<Reading>]) {
    for (record, place) in contents.records.iter().zip(readings) {
        if place.is_some() || record.is_part {
            continue;
        }
        *place = Some(read_one(contents, record));
    }
}

fn read_one(contents: &Contents<'_>, record: &Record) -> Reading {
    let kind = contents.kind(record);
    let reason = match kind {
        "DIMENSION" | "ARC_DIMENSION" | "LARGE_RADIAL_DIMENSION" => {
            return dimension(contents, record);
        }
        "VERTEX" | "SEQEND" => "stands without the entity it belongs to",
        "POINT" => "a point has no extent",
        "LEADER" | "MULTILEADER" | "MLEADER" => "leaders and their notes are not read",
        "ATTDEF" => "a definition of an attribute prints nothing when placed",
        "VIEWPORT" => "a window onto the model",
        "IMAGE" | "OLEFRAME" | "OLE2FRAME" | "PDFUNDERLAY" | "DWFUNDERLAY" | "DGNUNDERLAY" => {
            "a picture has no lines"
        }
        "RAY" | "XLINE" => "a construction line without end",
        "ACAD_PROXY_ENTITY" | "ACAD_PROXY" => "an object of another program",
        "3DSOLID" | "BODY" | "REGION" | "SURFACE" | "MESH" => "a solid in space",
        "TOLERANCE" | "SHAPE" | "ACAD_TABLE" | "LIGHT" | "HELIX" | "SECTION" => "not read",
        _ => "an unknown kind of entity",
    };
    Reading::Counted(reason)
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
        let along = super::affine::minus(to, from);
        let length = super::affine::norm(along);
        (length > 0.0).then(|| along.map(|part| part / length))
    };
    let (from, to, along) = match flags & 7 {
        0 => {
            let (sin, cos) = super::affine::exact_sin_cos(angle.to_radians());
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
            super::lettering::plain_lines(&text).join(" ")
        },
        text_at,
        picture,
    })))
}
