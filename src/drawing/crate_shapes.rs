//! From the `dxf` crate's entities to shapes.

use super::affine::{cross, exact_sin_cos, norm};
use super::contents::Contents;
use super::lettering;
use super::ordinary::{Entry, Reading};
use super::shape::{Insertion, Nurbs, Shape, Space, TextShape, Vertex};
use super::solids;
use super::splines::through_points;
use dxf::entities::{self as crate_entities, EntityType};

fn space(point: &dxf::Point) -> Space {
    [point.x, point.y, point.z]
}

fn direction(vector: &dxf::Vector) -> Space {
    [vector.x, vector.y, vector.z]
}

/// The shape of an entity that the crate read.
pub(super) fn shape_of(
    contents: &Contents<'_>,
    entity: &crate_entities::Entity,
    entry: &Entry,
) -> Reading {
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
    let length = norm(major);
    if length <= 0.0 || ellipse.minor_axis_ratio == 0.0 {
        return Reading::Broken("an axis of it has no length".to_owned());
    }
    let normal = direction(&ellipse.normal);
    let size = norm(normal);
    let unit = if size > 0.0 {
        normal.map(|part| part / size)
    } else {
        [0.0, 0.0, 1.0]
    };
    let minor = cross(unit, major).map(|part| part * ellipse.minor_axis_ratio);
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
        return match through_points(&points, spline.is_closed()) {
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
    let (sin, cos) = exact_sin_cos(text.rotation.to_radians());
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
        along: if norm(along) > 0.0 {
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
