//! The ordinary entities, through the `dxf` crate.
//!
//! The crate knows how entities are built; what it does not know is how to go on after a bad one, how to read letters,
//! and which releases wrote what. So each entity is first checked here, pair by pair, and handed over in small binary
//! drawings that hold geometry only. A drawing that the crate refuses is halved until the entity at fault stands alone.

use super::contents::{Contents, Record};
use super::lettering;
use super::pairs::Pair;
use super::shape::{Insertion, Nurbs, Shape, Space, TextShape, Vertex};
use super::solids;
use dxf::entities::{self as crate_entities, EntityType};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// What became of one entity.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Reading {
    /// It draws this.
    Shape(Shape),
    /// It is of a kind that is only counted, for this reason.
    Counted(&'static str),
    /// It is broken: what is wrong with it.
    Broken(String),
}

/// Entities handed to the crate at once: enough to forget the cost of a drawing, few enough to find a bad one quickly and to
/// stay in memory that is at hand (256 measured fastest of 64 to 2048).
const BATCH: usize = 256;

/// True for the kinds that go through the crate.
pub(super) fn is_ordinary(kind: &str) -> bool {
    !wanted_codes(kind).is_empty()
}

/// Group codes of a kind that carry geometry.
fn wanted_codes(kind: &str) -> &'static [i64] {
    match kind {
        "LINE" => &[10, 20, 30, 11, 21, 31],
        "CIRCLE" => &[10, 20, 30, 40, 210, 220, 230],
        "ARC" => &[10, 20, 30, 40, 50, 51, 210, 220, 230],
        "ELLIPSE" => &[10, 20, 30, 11, 21, 31, 40, 41, 42, 210, 220, 230],
        "LWPOLYLINE" => &[10, 20, 38, 40, 41, 42, 43, 70, 210, 220, 230],
        "POLYLINE" => &[10, 20, 30, 40, 41, 70, 71, 72, 210, 220, 230],
        "VERTEX" => &[10, 20, 30, 40, 41, 42, 70, 71, 72, 73, 74],
        "SPLINE" => &[10, 20, 30, 11, 21, 31, 40, 41, 70, 71],
        "SOLID" | "TRACE" => &[
            10, 20, 30, 11, 21, 31, 12, 22, 32, 13, 23, 33, 210, 220, 230,
        ],
        "3DFACE" => &[10, 20, 30, 11, 21, 31, 12, 22, 32, 13, 23, 33, 70],
        "TEXT" | "ATTRIB" => &[10, 20, 30, 11, 21, 31, 40, 50, 72, 73, 74, 210, 220, 230],
        "MTEXT" => &[10, 20, 30, 11, 21, 31, 40, 44, 50, 71, 210, 220, 230],
        "INSERT" => &[10, 20, 30, 41, 42, 43, 44, 45, 50, 70, 71, 210, 220, 230],
        _ => &[],
    }
}

/// An entity on its way through the crate.
struct Entry {
    record: usize,
    /// Its pairs in the crate's binary form.
    bytes: Vec<u8>,
    /// Its text or block name, and an attribute's tag.
    words: String,
    tag: Option<String>,
}

/// Reads the entities of `records` that are ordinary; `readings` has a place for each record of the file.
pub(super) fn read_ordinary(contents: &Contents<'_>, readings: &mut [Option<Reading>]) {
    let mut batch = Vec::with_capacity(BATCH);
    for (index, record) in contents.records.iter().enumerate() {
        let kind = contents.kind(record);
        let is_own = !record.is_part || kind == "ATTRIB";
        if !is_own || !is_ordinary(kind) || kind == "VERTEX" {
            continue;
        }
        let prepared = if record.is_broken {
            Err(super::direct::OUT_OF_STEP.to_owned())
        } else {
            prepare(contents, index, record)
        };
        match prepared {
            Ok(entry) => batch.push(entry),
            Err(reason) => put(readings, index, Reading::Broken(reason)),
        }
        if batch.len() == BATCH {
            convert(contents, &batch, readings);
            batch.clear();
        }
    }
    convert(contents, &batch, readings);
}

fn put(readings: &mut [Option<Reading>], index: usize, reading: Reading) {
    if let Some(place) = readings.get_mut(index) {
        *place = Some(reading);
    }
}

/// Checks an entity pair by pair and writes it in the crate's binary form, its parts with it.
fn prepare(contents: &Contents<'_>, index: usize, record: &Record) -> Result<Entry, String> {
    let kind = contents.kind(record);
    let mut entry = Entry {
        record: index,
        bytes: Vec::with_capacity(128),
        words: String::new(),
        tag: None,
    };
    let name = match kind {
        // An attribute is placed like a text; its tag is kept here.
        "ATTRIB" => "TEXT",
        other => other,
    };
    write_text(&mut entry.bytes, 0, name);
    write_body(contents, record, kind, &mut entry, [0.0; 2])?;
    if kind == "POLYLINE" {
        let widths = default_widths(contents, record);
        let parts = contents
            .records
            .get(index + 1..index + 1 + record.parts as usize);
        for part in parts.unwrap_or_default() {
            if contents.kind(part) == "VERTEX" {
                write_text(&mut entry.bytes, 0, "VERTEX");
                write_body(contents, part, "VERTEX", &mut entry, widths)?;
            }
        }
        write_text(&mut entry.bytes, 0, "SEQEND");
    }
    Ok(entry)
}

fn write_text(bytes: &mut Vec<u8>, code: i16, text: &str) {
    bytes.extend(code.to_le_bytes());
    bytes.extend(text.as_bytes());
    bytes.push(0);
}

fn write_real(bytes: &mut Vec<u8>, code: i16, number: f64) {
    bytes.extend(code.to_le_bytes());
    bytes.extend(number.to_le_bytes());
}

/// Widths that a polyline's vertices have when they state none.
fn default_widths(contents: &Contents<'_>, record: &Record) -> [f64; 2] {
    let mut widths = [0.0; 2];
    for pair in contents.pairs(record) {
        match pair.code {
            40 => widths[0] = pair.value.real().unwrap_or(0.0),
            41 => widths[1] = pair.value.real().unwrap_or(0.0),
            _ => {}
        }
    }
    widths
}

fn write_body(
    contents: &Contents<'_>,
    record: &Record,
    kind: &str,
    entry: &mut Entry,
    widths: [f64; 2],
) -> Result<(), String> {
    let wanted = wanted_codes(kind);
    if kind == "VERTEX" {
        write_real(&mut entry.bytes, 40, widths[0]);
        write_real(&mut entry.bytes, 41, widths[1]);
    }
    let mut has_place = false;
    let mut pieces: Vec<&[u8]> = Vec::new();
    for pair in contents.pairs(record).skip(1) {
        match (kind, pair.code) {
            // XDATA and embedded objects repeat codes with other meanings.
            (_, 101 | 1000..) => break,
            ("TEXT" | "ATTRIB" | "MTEXT", 1 | 3) => pieces.push(pair.value.bytes()),
            ("ATTRIB", 2) => {
                entry.tag = Some(contents.letters.read(pair.value.bytes()).into_owned());
            }
            ("INSERT", 2) => {
                entry.words = contents
                    .letters
                    .read(pair.value.bytes().trim_ascii())
                    .into_owned();
            }
            ("MTEXT", 50) => {
                // One way to say a direction is enough: the angle becomes the axis.
                let (sin, cos) = super::affine::exact_sin_cos(real(&pair)?.to_radians());
                write_real(&mut entry.bytes, 11, cos);
                write_real(&mut entry.bytes, 21, sin);
            }
            (_, code) if wanted.contains(&code) => {
                has_place |= code == 10;
                write_pair(&mut entry.bytes, &pair)?;
            }
            _ => {}
        }
    }
    if !pieces.is_empty() {
        entry.words = pieces
            .iter()
            .map(|piece| contents.letters.read(piece))
            .collect();
    }
    if has_place || kind == "POLYLINE" || kind == "SPLINE" {
        Ok(())
    } else {
        Err("it has no coordinates (group 10)".to_owned())
    }
}

fn real(pair: &Pair<'_>) -> Result<f64, String> {
    pair.value.real().ok_or_else(|| {
        format!(
            "group {} has no usable number: '{}'{}",
            pair.code,
            String::from_utf8_lossy(pair.value.bytes()).trim(),
            line_note(pair)
        )
    })
}

fn line_note(pair: &Pair<'_>) -> String {
    if pair.line == 0 {
        String::new()
    } else {
        format!(" on line {}", pair.line + 1)
    }
}

fn write_pair(bytes: &mut Vec<u8>, pair: &Pair<'_>) -> Result<(), String> {
    let code = i16::try_from(pair.code).unwrap_or(i16::MAX);
    if (60..80).contains(&pair.code) {
        let number = pair
            .value
            .whole()
            .and_then(|number| i16::try_from(number).ok())
            .ok_or_else(|| {
                format!(
                    "group {} has no usable whole number{}",
                    pair.code,
                    line_note(pair)
                )
            })?;
        bytes.extend(code.to_le_bytes());
        bytes.extend(number.to_le_bytes());
    } else {
        write_real(bytes, code, real(pair)?);
    }
    Ok(())
}

/// Hands entries to the crate; those that it refuses are halved down to one.
fn convert(contents: &Contents<'_>, entries: &[Entry], readings: &mut [Option<Reading>]) {
    if entries.is_empty() {
        return;
    }
    let loaded = load(contents, entries);
    match loaded {
        Ok(shapes) => {
            for (entry, reading) in entries.iter().zip(shapes) {
                put(readings, entry.record, reading);
            }
        }
        Err(reason) => {
            if let [entry] = entries {
                put(readings, entry.record, Reading::Broken(reason));
            } else {
                let (first, second) = entries.split_at(entries.len() / 2);
                convert(contents, first, readings);
                convert(contents, second, readings);
            }
        }
    }
}

/// One small drawing through the crate.
fn load(contents: &Contents<'_>, entries: &[Entry]) -> Result<Vec<Reading>, String> {
    let mut bytes = super::pairs::BINARY_MARK.to_vec();
    bytes.reserve(entries.iter().map(|entry| entry.bytes.len()).sum());
    write_text(&mut bytes, 0, "SECTION");
    write_text(&mut bytes, 2, "ENTITIES");
    for (number, entry) in entries.iter().enumerate() {
        let kind_end = entry
            .bytes
            .iter()
            .skip(2)
            .position(|&byte| byte == 0)
            .map_or(0, |end| end + 3);
        let (head, rest) = entry.bytes.split_at(kind_end);
        bytes.extend(head);
        write_text(&mut bytes, 5, &format!("{:08X}", number + 1));
        bytes.extend(rest);
    }
    write_text(&mut bytes, 0, "ENDSEC");
    write_text(&mut bytes, 0, "EOF");
    // The crate is known to panic on absurd header dates only, which it never gets from here; a file must not end the
    // program all the same.
    let drawing = catch_unwind(AssertUnwindSafe(|| {
        dxf::Drawing::load(&mut bytes.as_slice())
    }))
    .map_err(|_| "the entity reader gave up on it".to_owned())?
    .map_err(|error| error.to_string())?;
    let mut shapes: Vec<Option<Reading>> = vec![None; entries.len()];
    for entity in drawing.entities() {
        let number = usize::try_from(entity.common.handle.0).unwrap_or(0);
        let at = number.wrapping_sub(1);
        if let (Some(place), Some(entry)) = (shapes.get_mut(at), entries.get(at)) {
            *place = Some(shape_of(contents, entity, entry));
        }
    }
    shapes
        .into_iter()
        .collect::<Option<Vec<_>>>()
        .ok_or_else(|| "the entity reader could not make sense of it".to_owned())
}

fn space(point: &dxf::Point) -> Space {
    [point.x, point.y, point.z]
}

fn direction(vector: &dxf::Vector) -> Space {
    [vector.x, vector.y, vector.z]
}

fn shape_of(contents: &Contents<'_>, entity: &crate_entities::Entity, entry: &Entry) -> Reading {
    match &entity.specific {
        EntityType::Line(line) => Reading::Shape(Shape::Line {
            start: space(&line.p1),
            end: space(&line.p2),
        }),
        EntityType::Circle(circle) => arc(
            space(&circle.center),
            circle.radius,
            [0.0, 360.0],
            direction(&circle.normal),
        ),
        EntityType::Arc(arc_entity) => arc(
            space(&arc_entity.center),
            arc_entity.radius,
            [arc_entity.start_angle, arc_entity.end_angle],
            direction(&arc_entity.normal),
        ),
        EntityType::Ellipse(ellipse) => ellipse_shape(ellipse),
        EntityType::LwPolyline(line) => light_polyline(line, entity.common.elevation),
        EntityType::Polyline(line) => solids::polyline(line),
        EntityType::Spline(spline) => spline_shape(spline),
        EntityType::Solid(solid) => corners(
            [
                &solid.first_corner,
                &solid.second_corner,
                &solid.fourth_corner,
                &solid.third_corner,
            ],
            direction(&solid.extrusion_direction),
        ),
        EntityType::Trace(trace) => corners(
            [
                &trace.first_corner,
                &trace.second_corner,
                &trace.fourth_corner,
                &trace.third_corner,
            ],
            direction(&trace.extrusion_direction),
        ),
        EntityType::Face3D(face) => solids::face(face),
        EntityType::Text(text) => Reading::Shape(Shape::Text(Box::new(text_shape(text, entry)))),
        EntityType::MText(text) => Reading::Shape(Shape::Text(Box::new(multi_text(text, entry)))),
        EntityType::Insert(insert) => insertion(insert, entry),
        _ => Reading::Broken(format!(
            "it was taken for another kind of entity on layer {}",
            contents
                .records
                .get(entry.record)
                .map_or("", |record| contents.name(record.layer))
        )),
    }
}

fn arc(centre: Space, radius: f64, degrees: [f64; 2], normal: Space) -> Reading {
    if radius <= 0.0 {
        return Reading::Broken(format!("its radius is {radius}, not above zero"));
    }
    // Equal angles are a full turn, as the CAD programs draw it.
    let mut sweep = (degrees[1] - degrees[0]).rem_euclid(360.0);
    if sweep == 0.0 {
        sweep = 360.0;
    }
    Reading::Shape(Shape::Arc {
        centre,
        radius,
        start: degrees[0].to_radians(),
        sweep: sweep.to_radians(),
        normal,
    })
}

fn ellipse_shape(ellipse: &crate_entities::Ellipse) -> Reading {
    let major = direction(&ellipse.major_axis);
    let length = super::affine::norm(major);
    if length <= 0.0 || ellipse.minor_axis_ratio == 0.0 {
        return Reading::Broken("an axis of it has no length".to_owned());
    }
    let normal = direction(&ellipse.normal);
    let size = super::affine::norm(normal);
    let unit = if size > 0.0 {
        normal.map(|part| part / size)
    } else {
        [0.0, 0.0, 1.0]
    };
    let minor = super::affine::cross(unit, major).map(|part| part * ellipse.minor_axis_ratio);
    let turn = std::f64::consts::TAU;
    let mut sweep = (ellipse.end_parameter - ellipse.start_parameter).rem_euclid(turn);
    if sweep == 0.0 || (turn - sweep).abs() < 1e-9 {
        sweep = turn;
    }
    Reading::Shape(Shape::Ellipse {
        centre: space(&ellipse.center),
        major,
        minor,
        start: ellipse.start_parameter,
        sweep,
    })
}

fn light_polyline(line: &crate_entities::LwPolyline, elevation: f64) -> Reading {
    let width = |own: f64| if own > 0.0 { own } else { line.constant_width };
    let vertices = line
        .vertices
        .iter()
        .map(|vertex| {
            // A tapered segment states both widths, one of which may be zero.
            let is_plain = vertex.starting_width <= 0.0 && vertex.ending_width <= 0.0;
            Vertex {
                at: [vertex.x, vertex.y, elevation],
                bulge: vertex.bulge,
                start_width: if is_plain {
                    width(0.0)
                } else {
                    vertex.starting_width
                },
                end_width: if is_plain {
                    width(0.0)
                } else {
                    vertex.ending_width
                },
            }
        })
        .collect();
    Reading::Shape(Shape::Polyline {
        vertices,
        is_closed: line.is_closed(),
        normal: direction(&line.extrusion_direction),
    })
}

fn spline_shape(spline: &crate_entities::Spline) -> Reading {
    let control: Vec<Space> = spline.control_points.iter().map(space).collect();
    let degree = usize::try_from(spline.degree_of_curve).unwrap_or(0);
    if control.is_empty() {
        let points: Vec<Space> = spline.fit_points.iter().map(space).collect();
        return match super::curves::through_points(&points, spline.is_closed()) {
            Some(nurbs) => Reading::Shape(Shape::Spline(Box::new(nurbs))),
            None => Reading::Broken("it has neither control points nor two fit points".to_owned()),
        };
    }
    let knots = spline.knot_values.clone();
    let is_rising = knots.windows(2).all(|pair| pair[0] <= pair[1]);
    if !(1..=25).contains(&degree)
        || control.len() <= degree
        || knots.len() != control.len() + degree + 1
        || !is_rising
    {
        return Reading::Broken(format!(
            "its {} control points, {} knots and degree {degree} do not make a spline",
            control.len(),
            knots.len()
        ));
    }
    let weights = if spline.weight_values.len() == control.len()
        && spline.weight_values.iter().all(|&weight| weight > 0.0)
    {
        spline.weight_values.clone()
    } else {
        vec![1.0; control.len()]
    };
    Reading::Shape(Shape::Spline(Box::new(Nurbs {
        degree,
        knots,
        control,
        weights,
    })))
}

fn corners(points: [&dxf::Point; 4], normal: Space) -> Reading {
    let mut corners: Vec<Space> = points.into_iter().map(space).collect();
    corners.dedup();
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    Reading::Shape(Shape::Corners { corners, normal })
}

fn text_shape(text: &crate_entities::Text, entry: &Entry) -> TextShape {
    use dxf::enums::{HorizontalTextJustification as Across, VerticalTextJustification as Up};
    let across = text.horizontal_text_justification;
    let up = text.vertical_text_justification;
    let is_plain = across == Across::Left && up == Up::Baseline;
    let is_stretched = matches!(across, Across::Aligned | Across::Fit);
    let at = if is_plain || is_stretched {
        space(&text.location)
    } else {
        space(&text.second_alignment_point)
    };
    let (sin, cos) = super::affine::exact_sin_cos(text.rotation.to_radians());
    let justified = [
        match across {
            Across::Left | Across::Aligned | Across::Fit => 0.0,
            Across::Center | Across::Middle => 0.5,
            Across::Right => 1.0,
        },
        match (across, up) {
            (Across::Middle, _) | (_, Up::Middle) => 0.5,
            (_, Up::Top) => 1.0,
            (_, Up::Baseline | Up::Bottom) => 0.0,
        },
    ];
    TextShape {
        lines: vec![lettering::plain_text(&entry.words)],
        at,
        along: [cos, sin, 0.0],
        line_step: 0.0,
        height: text.text_height,
        normal: direction(&text.normal),
        tag: entry.tag.clone(),
        justified,
    }
}

fn multi_text(text: &crate_entities::MText, entry: &Entry) -> TextShape {
    use dxf::enums::AttachmentPoint as At;
    let lines = lettering::plain_lines(&entry.words);
    let attachment = text.attachment_point;
    let justified = [
        match attachment {
            At::TopLeft | At::MiddleLeft | At::BottomLeft => 0.0,
            At::TopCenter | At::MiddleCenter | At::BottomCenter => 0.5,
            At::TopRight | At::MiddleRight | At::BottomRight => 1.0,
        },
        match attachment {
            At::TopLeft | At::TopCenter | At::TopRight => 1.0,
            At::MiddleLeft | At::MiddleCenter | At::MiddleRight => 0.5,
            At::BottomLeft | At::BottomCenter | At::BottomRight => 0.0,
        },
    ];
    let factor = if text.line_spacing_factor > 0.0 {
        text.line_spacing_factor
    } else {
        1.0
    };
    let along = direction(&text.x_axis_direction);
    TextShape {
        lines,
        at: space(&text.insertion_point),
        along: if super::affine::norm(along) > 0.0 {
            along
        } else {
            [1.0, 0.0, 0.0]
        },
        // Lines stand 5/3 of the height apart (DXF reference, MTEXT group 44).
        line_step: 5.0 / 3.0 * factor,
        height: text.initial_text_height,
        normal: direction(&text.extrusion_direction),
        tag: None,
        justified,
    }
}

fn insertion(insert: &crate_entities::Insert, entry: &Entry) -> Reading {
    let count = |stated: i16| u32::try_from(stated).unwrap_or(1).max(1);
    // A scale of zero is written by some programs for a flat block: it can only mean one.
    let scale = |stated: f64| if stated == 0.0 { 1.0 } else { stated };
    Reading::Shape(Shape::Insert(Box::new(Insertion {
        name: entry.words.clone(),
        at: space(&insert.location),
        scale: [
            scale(insert.x_scale_factor),
            scale(insert.y_scale_factor),
            scale(insert.z_scale_factor),
        ],
        angle: insert.rotation.to_radians(),
        count: [count(insert.column_count), count(insert.row_count)],
        spacing: [insert.column_spacing, insert.row_spacing],
        normal: direction(&insert.extrusion_direction),
    })))
}
