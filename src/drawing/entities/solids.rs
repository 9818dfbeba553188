//! Polylines of the old kind, their meshes, and faces in space: seen from above they are lines.

use crate::drawing::entities::affine;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Shape, Space, Vertex};
use dxf::entities as crate_entities;

const IS_SPLINE_FRAME: i32 = 16;
const IS_MESH_VERTEX: i32 = 64;
const IS_FACE: i32 = 128;

/// POLYLINE with its vertices: a line, a mesh or a set of faces.
pub(super) fn polyline(line: &crate_entities::Polyline) -> Reading {
    let vertices: Vec<&crate_entities::Vertex> = line.vertices().collect();
    if line.flags & 64 != 0 {
        return Reading::Shape(Shape::Lines {
            lines: faces(&vertices),
            are_faces: false,
        });
    }
    if line.flags & 16 != 0 {
        return mesh(line, &vertices);
    }
    let is_flat = line.flags & 8 == 0;
    let vertices = vertices
        .iter()
        .filter(|vertex| vertex.flags & IS_SPLINE_FRAME == 0)
        .map(|vertex| Vertex {
            at: [
                vertex.location.x,
                vertex.location.y,
                if is_flat {
                    line.location.z
                } else {
                    vertex.location.z
                },
            ],
            bulge: if is_flat { vertex.bulge } else { 0.0 },
            start_width: if is_flat { vertex.starting_width } else { 0.0 },
            end_width: if is_flat { vertex.ending_width } else { 0.0 },
        })
        .collect();
    Reading::Shape(Shape::Polyline {
        vertices,
        is_closed: line.is_closed(),
        normal: if is_flat {
            [line.normal.x, line.normal.y, line.normal.z]
        } else {
            [0.0, 0.0, 1.0]
        },
    })
}

fn place(vertex: &crate_entities::Vertex) -> Space {
    [vertex.location.x, vertex.location.y, vertex.location.z]
}

/// The visible edges of a polyface mesh: points first, then faces that name them from 1, negative for a hidden edge.
fn faces(vertices: &[&crate_entities::Vertex]) -> Vec<(Space, Space)> {
    let points: Vec<Space> = vertices
        .iter()
        .filter(|vertex| vertex.flags & IS_MESH_VERTEX != 0)
        .map(|vertex| place(vertex))
        .collect();
    let point = |index: i32| {
        let at = usize::try_from(index.unsigned_abs()).ok()?.checked_sub(1)?;
        points.get(at).copied()
    };
    let mut lines = Vec::new();
    for face in vertices
        .iter()
        .filter(|vertex| vertex.flags & IS_FACE != 0 && vertex.flags & IS_MESH_VERTEX == 0)
    {
        let corners: Vec<i32> = [
            face.polyface_mesh_vertex_index1,
            face.polyface_mesh_vertex_index2,
            face.polyface_mesh_vertex_index3,
            face.polyface_mesh_vertex_index4,
        ]
        .into_iter()
        .filter(|&index| index != 0)
        .collect();
        for (&from, &to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            if from > 0
                && let (Some(from), Some(to)) = (point(from), point(to))
            {
                lines.push((from, to));
            }
        }
    }
    lines
}

/// The grid lines of a polygon mesh of M by N vertices.
fn mesh(line: &crate_entities::Polyline, vertices: &[&crate_entities::Vertex]) -> Reading {
    let points: Vec<Space> = vertices
        .iter()
        .filter(|vertex| vertex.flags & IS_SPLINE_FRAME == 0)
        .map(|vertex| place(vertex))
        .collect();
    let count = |stated: i32| usize::try_from(stated).unwrap_or(0);
    let m_count = count(line.polygon_mesh_m_vertex_count);
    let n_count = count(line.polygon_mesh_n_vertex_count);
    if m_count.checked_mul(n_count) != Some(points.len()) || points.is_empty() {
        return Reading::Counted("a smoothed mesh: it has no lines of its own");
    }
    let mut lines = Vec::new();
    let mut join = |from: usize, to: usize| {
        if let (Some(&from), Some(&to)) = (points.get(from), points.get(to)) {
            lines.push((from, to));
        }
    };
    for row in 0..m_count {
        for column in 0..n_count {
            let here = row * n_count + column;
            if column + 1 < n_count {
                join(here, here + 1);
            } else if line.flags & 32 != 0 {
                join(here, row * n_count);
            }
            if row + 1 < m_count {
                join(here, here + n_count);
            } else if line.flags & 1 != 0 {
                join(here, column);
            }
        }
    }
    Reading::Shape(Shape::Lines {
        lines,
        are_faces: false,
    })
}

/// 3DFACE: its visible edges.
pub(super) fn face(face: &crate_entities::Face3D) -> Reading {
    let corners = [
        &face.first_corner,
        &face.second_corner,
        &face.third_corner,
        &face.fourth_corner,
    ]
    .map(|point| [point.x, point.y, point.z]);
    let lines = (0..4)
        .filter(|edge| face.edge_flags & (1 << edge) == 0)
        .filter_map(|edge| Some((*corners.get(edge)?, *corners.get((edge + 1) % 4)?)))
        .filter(|(from, to)| affine::norm(affine::minus(*to, *from)) > 0.0)
        .collect();
    Reading::Shape(Shape::Lines {
        lines,
        are_faces: false,
    })
}
