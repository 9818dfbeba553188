//! From the `dxf` crate's entities to shapes.

use crate::drawing::entities::affine::{cross, norm};
use crate::drawing::entities::lettering;
use crate::drawing::entities::ordinary::{Entry, Reading};
use crate::drawing::entities::shape::{Nurbs, Shape, Space, TextShape};
use crate::drawing::entities::solids;
use crate::drawing::entities::splines::through_points;
use crate::drawing::file::contents::Contents;
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
        EntityType::Ellipse(ellipse) => ellipse_shape(ellipse),
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
        EntityType::MText(text) => Reading::Shape(Shape::Text(Box::new(multi_text(text, entry)))),
        _ => Reading::Broken(format!(
            "it was taken for another kind of entity on layer {}",
            contents
                .records
                .get(entry.record)
                .map_or("", |record| contents.name(record.layer))
        )),
    }
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
        justified,
        is_underlined: lettering::is_underlined(&entry.words),
        ..TextShape::default()
    }
}
