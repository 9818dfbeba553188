//! From shapes to flat curves: placing, bulges, widths.

use crate::drawing::entities::affine::Affine;
use crate::drawing::entities::curves::{FlatCurve, bulge_arc, flat_ellipse};
use crate::drawing::entities::shape::{AreaEdge, Nurbs, Space, Vertex};
use crate::drawing::entities::wide;
use crate::drawing::model::Curve;

/// Flat curves of one entity; true for faces.
#[derive(Default)]
pub(super) struct Pieces {
    /// In the order in which they are drawn.
    pub(super) list: Vec<(FlatCurve, bool)>,
}

impl Pieces {
    /// Adds a curve, if there is one.
    pub(super) fn extend(&mut self, curve: Option<FlatCurve>, is_face: bool) {
        self.list.extend(curve.map(|curve| (curve, is_face)));
    }

    /// Adds a line between two points before placing.
    pub(super) fn line(&mut self, place: &Affine, start: Space, end: Space, is_face: bool) {
        self.extend(flat_line(place, start, end), is_face);
    }

    /// Adds part of a circle: angles are its start and its sweep.
    pub(super) fn arc(
        &mut self,
        place: &Affine,
        centre: Space,
        radius: f64,
        angles: (f64, f64),
        is_face: bool,
    ) {
        let curve = flat_ellipse(
            place.flat(centre),
            place.flat_direction([radius, 0.0, 0.0]),
            place.flat_direction([0.0, radius, 0.0]),
            angles.0,
            angles.1,
        );
        self.extend(curve, is_face);
    }

    fn bent(&mut self, place: &Affine, from: Space, to: Space, bulge: f64, is_face: bool) {
        match bulge_arc([from[0], from[1]], [to[0], to[1]], bulge) {
            Some((centre, radius, start, sweep)) => self.arc(
                place,
                [centre[0], centre[1], from[2]],
                radius,
                (start, sweep),
                is_face,
            ),
            None => self.line(place, from, to, is_face),
        }
    }

    /// Adds the segments of a polyline, or the faces of a wide one.
    pub(super) fn polyline(&mut self, place: &Affine, vertices: &[Vertex], is_closed: bool) {
        if wide::is_wide(vertices) {
            let height = vertices.first().map_or(0.0, |vertex| vertex.at[2]);
            for piece in wide::faces(vertices, is_closed) {
                self.bent(
                    place,
                    [piece.from[0], piece.from[1], height],
                    [piece.to[0], piece.to[1], height],
                    piece.bulge,
                    true,
                );
            }
            return;
        }
        let closing = if is_closed { vertices.first() } else { None };
        for (from, to) in vertices.iter().zip(vertices.iter().skip(1).chain(closing)) {
            self.bent(place, from.at, to.at, from.bulge, false);
        }
    }
}

fn flat_line(place: &Affine, start: Space, end: Space) -> Option<FlatCurve> {
    let (start, end) = (place.flat(start), place.flat(end));
    (start != end).then_some(FlatCurve::Plain(Curve::Line { start, end }))
}

/// A spline with its control points placed.
pub(super) fn flat_spline(place: &Affine, nurbs: &Nurbs) -> FlatCurve {
    let mut flat = nurbs.clone();
    for point in &mut flat.control {
        *point = place.point(*point);
    }
    FlatCurve::Spline(Box::new(flat))
}

/// The sides of an area by its corners.
pub(super) fn ring_of(corners: &[Space], place: &Affine) -> Vec<FlatCurve> {
    corners
        .iter()
        .zip(corners.iter().cycle().skip(1))
        .filter_map(|(from, to)| flat_line(place, *from, *to))
        .collect()
}

/// An edge of an area, placed.
pub(super) fn flat_edge(place: &Affine, edge: &AreaEdge) -> Option<FlatCurve> {
    match edge {
        AreaEdge::Line(start, end) => flat_line(place, *start, *end),
        AreaEdge::Ellipse {
            centre,
            major,
            minor,
            start,
            sweep,
        } => flat_ellipse(
            place.flat(*centre),
            place.flat_direction(*major),
            place.flat_direction(*minor),
            *start,
            *sweep,
        ),
        AreaEdge::Spline(nurbs) => Some(flat_spline(place, nurbs)),
    }
}
