//! HATCH, WIPEOUT and MLINE, from their pairs.

use crate::drawing::entities::affine::{cross, minus, norm, plus};
use crate::drawing::entities::curves;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Area, AreaEdge, Nurbs, Shape, Space};
use crate::drawing::entities::splines;
use crate::drawing::file::contents::{Contents, Record};
use crate::drawing::file::pairs;
use std::f64::consts::{PI, TAU};

/// HATCH: its boundary.
pub(super) fn hatch(contents: &Contents<'_>, record: &Record) -> Reading {
    let mut area = Area {
        normal: [0.0, 0.0, 1.0],
        ..Area::default()
    };
    let mut numbers = Vec::new();
    let mut elevation = 0.0;
    let mut in_boundary = false;
    for pair in contents.pairs(record).skip(1) {
        match pair.code {
            101 | 1000.. => break,
            2 => {
                area.pattern = contents
                    .letters
                    .read(pair.value.bytes().trim_ascii())
                    .into_owned();
            }
            210 | 220 | 230 => {
                let axis = usize::from(pair.code >= 220) + usize::from(pair.code >= 230);
                area.normal[axis] = pair.value.real().unwrap_or(0.0);
            }
            30 if !in_boundary => elevation = pair.value.real().unwrap_or(0.0),
            91 => in_boundary = true,
            // The style and the seed points come after the boundary.
            75 | 98 if in_boundary => break,
            code @ (10..=59 | 70..=74 | 92..=97) if in_boundary => match pair.value.real() {
                Some(number) => numbers.push((code, number)),
                None => return Reading::Broken(format!("group {code} has no usable number")),
            },
            _ => {}
        }
    }
    area.rings = rings(&numbers, elevation);
    if area.rings.is_empty() {
        return Reading::Broken("it has no boundary".to_owned());
    }
    Reading::Shape(Shape::Area(Box::new(area)))
}

/// Parts the numbers of a boundary into its paths, each from its group 92 on.
fn rings(numbers: &[(i64, f64)], elevation: f64) -> Vec<Vec<AreaEdge>> {
    numbers
        .chunk_by(|_, next| next.0 != 92)
        .filter_map(|path| {
            let (_, flags) = path.first().filter(|first| first.0 == 92)?;
            let edges = if flags_of(*flags) & 2 != 0 {
                polyline_edges(path, elevation)
            } else {
                path.chunk_by(|_, next| next.0 != 72)
                    .filter_map(|edge| edge_of(edge, elevation))
                    .collect()
            };
            Some(edges)
        })
        .filter(|edges: &Vec<AreaEdge>| !edges.is_empty())
        .collect()
}

/// Whole flags written as a number.
fn flags_of(number: f64) -> i64 {
    pairs::Value::Real(number).whole().unwrap_or(0)
}

fn polyline_edges(path: &[(i64, f64)], elevation: f64) -> Vec<AreaEdge> {
    let mut vertices: Vec<(Space, f64)> = Vec::new();
    for &(code, number) in path {
        match (code, vertices.last_mut()) {
            (10, _) => vertices.push(([number, 0.0, elevation], 0.0)),
            (20, Some(vertex)) => vertex.0[1] = number,
            (42, Some(vertex)) => vertex.1 = number,
            _ => {}
        }
    }
    let next = vertices.iter().cycle().skip(1);
    vertices
        .iter()
        .zip(next)
        .map(|(from, to)| bent_edge(from.0, to.0, from.1))
        .collect()
}

fn bent_edge(from: Space, to: Space, bulge: f64) -> AreaEdge {
    match curves::bulge_arc([from[0], from[1]], [to[0], to[1]], bulge) {
        Some((centre, radius, start, sweep)) => AreaEdge::Ellipse {
            centre: [centre[0], centre[1], from[2]],
            major: [radius, 0.0, 0.0],
            minor: [0.0, radius, 0.0],
            start,
            sweep,
        },
        None => AreaEdge::Line(from, to),
    }
}

/// One edge: group 72 says its type, 1 line, 2 circular arc, 3 elliptic arc, 4 spline.
fn edge_of(edge: &[(i64, f64)], elevation: f64) -> Option<AreaEdge> {
    let (_, kind) = edge.first().filter(|first| first.0 == 72)?;
    let get = |code: i64| edge.iter().find(|pair| pair.0 == code).map(|pair| pair.1);
    let point = |x: i64| Some([get(x)?, get(x + 10)?, elevation]);
    let is_clockwise = get(73) == Some(0.0);
    match flags_of(*kind) {
        1 => Some(AreaEdge::Line(point(10)?, point(11)?)),
        2 => {
            let radius = get(40).filter(|&radius| radius > 0.0)?;
            let (start, sweep) =
                sweep_of(get(50)?.to_radians(), get(51)?.to_radians(), is_clockwise);
            Some(AreaEdge::Ellipse {
                centre: point(10)?,
                major: [radius, 0.0, 0.0],
                minor: [0.0, radius, 0.0],
                start,
                sweep,
            })
        }
        3 => {
            let major = [get(11)?, get(21)?, 0.0];
            let ratio = get(40).filter(|&ratio| ratio > 0.0)?;
            let (start, sweep) = sweep_of(
                parameter(get(50)?.to_radians(), ratio),
                parameter(get(51)?.to_radians(), ratio),
                is_clockwise,
            );
            Some(AreaEdge::Ellipse {
                centre: point(10)?,
                major,
                minor: cross([0.0, 0.0, 1.0], major).map(|part| part * ratio),
                start,
                sweep,
            })
        }
        4 => spline_edge(edge, elevation),
        _ => None,
    }
}

/// Angles of a clockwise edge are counted clockwise too.
fn sweep_of(start: f64, end: f64, is_clockwise: bool) -> (f64, f64) {
    let mut sweep = (end - start).rem_euclid(TAU);
    if sweep < 1e-12 {
        sweep = TAU;
    }
    if is_clockwise {
        (-start, -sweep)
    } else {
        (start, sweep)
    }
}

/// The parameter of an ellipse at an angle seen from its centre, on the same turn.
fn parameter(angle: f64, ratio: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    let near = (sin / ratio).atan2(cos);
    angle + (near - angle + PI).rem_euclid(TAU) - PI
}

fn spline_edge(edge: &[(i64, f64)], elevation: f64) -> Option<AreaEdge> {
    let all = |code: i64| {
        edge.iter()
            .filter(move |pair| pair.0 == code)
            .map(|pair| pair.1)
    };
    let degree = usize::try_from(flags_of(all(94).next()?)).ok()?;
    let control: Vec<Space> = all(10)
        .zip(all(20))
        .map(|(x, y)| [x, y, elevation])
        .collect();
    let knots: Vec<f64> = all(40).collect();
    let weights: Vec<f64> = all(42).filter(|&weight| weight > 0.0).collect();
    let is_sound = (1..=25).contains(&degree)
        && control.len() > degree
        && knots.len() == control.len() + degree + 1
        && knots.windows(2).all(|pair| pair[0] <= pair[1]);
    if !is_sound {
        let fit: Vec<Space> = all(11)
            .zip(all(21))
            .map(|(x, y)| [x, y, elevation])
            .collect();
        return splines::through_points(&fit, false).map(AreaEdge::Spline);
    }
    Some(AreaEdge::Spline(Nurbs {
        degree,
        knots,
        weights: if weights.len() == control.len() {
            weights
        } else {
            vec![1.0; control.len()]
        },
        control,
    }))
}

/// WIPEOUT: a rectangle, or a polygon in it, given in shares of its two sides from the upper left corner.
pub(super) fn wipeout(contents: &Contents<'_>, record: &Record) -> Reading {
    let mut points = [[0.0; 3]; 4];
    let mut corners: Vec<[f64; 2]> = Vec::new();
    let mut is_polygon = false;
    for pair in contents.pairs(record).skip(1) {
        match pair.code {
            101 | 1000.. => break,
            71 => is_polygon = pair.value.whole() == Some(2),
            14 => corners.push([pair.value.real().unwrap_or(0.0), 0.0]),
            24 => {
                if let Some(corner) = corners.last_mut() {
                    corner[1] = pair.value.real().unwrap_or(0.0);
                }
            }
            code @ (10..=13 | 20..=23 | 30..=33) => {
                let axis = usize::from(code >= 20) + usize::from(code >= 30);
                let which = usize::try_from(code % 10).unwrap_or(0);
                if let (Some(point), Some(number)) = (points.get_mut(which), pair.value.real()) {
                    point[axis] = number;
                }
            }
            _ => {}
        }
    }
    let [origin, across, up, size] = points;
    if norm(cross(across, up)) <= 0.0 {
        return Reading::Broken("it has no area".to_owned());
    }
    if !is_polygon && corners.len() == 2 {
        let (a, b) = (corners[0], corners[1]);
        corners = vec![a, [b[0], a[1]], b, [a[0], b[1]]];
    }
    let place = |corner: &[f64; 2]| {
        let right = plus(origin, across, corner[0] + 0.5);
        plus(right, up, size[1] - corner[1] - 0.5)
    };
    let corners: Vec<Space> = corners.iter().map(place).collect();
    let ring: Vec<AreaEdge> = corners
        .iter()
        .zip(corners.iter().cycle().skip(1))
        .map(|(from, to)| AreaEdge::Line(*from, *to))
        .collect();
    if ring.len() < 3 {
        return Reading::Broken("it has fewer than three corners".to_owned());
    }
    Reading::Shape(Shape::Area(Box::new(Area {
        rings: vec![ring],
        pattern: "SOLID".to_owned(),
        is_wipeout: true,
        normal: [0.0, 0.0, 1.0],
    })))
}

/// Flags of an MLINE: closed; its caps at the start and at the end suppressed.
const CLOSED: i64 = 2;
const NO_CAPS: [i64; 2] = [4, 8];
/// Flags of its style that cap the start and the end with any of a line, inner arcs or an outer arc: whatever its form, there the
/// wall ends. Source: DXF reference, MLINESTYLE group 70.
const STYLE_CAPS: [i64; 2] = [16 + 32 + 64, 256 + 512 + 1024];

/// A vertex of an MLINE.
#[derive(Default)]
struct Knee {
    at: Space,
    along: Space,
    mitre: Space,
    /// For each element: its distance along the mitre, then where its line starts, breaks, goes on, breaks…
    elements: Vec<Vec<f64>>,
}

/// MLINE: its element lines, with the cuts that were made into them.
pub(super) fn multi_line(contents: &Contents<'_>, record: &Record) -> Reading {
    let mut knees: Vec<Knee> = Vec::new();
    let mut flags = 0;
    let mut style = 0;
    for pair in contents.pairs(record).skip(1) {
        if pair.code == 2 && knees.is_empty() {
            let name = contents.letters.read(pair.value.bytes().trim_ascii());
            style = contents
                .line_styles
                .get(&name.to_uppercase())
                .copied()
                .unwrap_or(0);
        }
        let Some(number) = pair.value.real() else {
            if (10..=59).contains(&pair.code) {
                return Reading::Broken(format!("group {} has no usable number", pair.code));
            }
            continue;
        };
        if pair.code == 11 {
            knees.push(Knee::default());
        }
        let code = pair.code;
        match (code, knees.last_mut()) {
            (101 | 1000.., _) => break,
            (71, None) => flags = flags_of(number),
            (11..=13 | 21..=23 | 31..=33, Some(knee)) => {
                let axis = usize::from(code >= 20) + usize::from(code >= 30);
                match code % 10 {
                    1 => knee.at[axis] = number,
                    2 => knee.along[axis] = number,
                    _ => knee.mitre[axis] = number,
                }
            }
            (74, Some(knee)) => knee.elements.push(Vec::new()),
            (41, Some(knee)) => {
                if let Some(element) = knee.elements.last_mut() {
                    element.push(number);
                }
            }
            _ => {}
        }
    }
    let is_closed = flags & CLOSED != 0;
    let closing = if is_closed { knees.first() } else { None };
    let mut lines = Vec::new();
    for (from, to) in knees.iter().zip(knees.iter().skip(1).chain(closing)) {
        for (number, element) in from.elements.iter().enumerate() {
            element_lines(from, to, number, element, &mut lines);
        }
    }
    if lines.is_empty() {
        return Reading::Broken("it has fewer than two vertices".to_owned());
    }
    if !is_closed {
        let is_capped = [
            style & STYLE_CAPS[0] != 0 && flags & NO_CAPS[0] == 0,
            style & STYLE_CAPS[1] != 0 && flags & NO_CAPS[1] == 0,
        ];
        let ends = [knees.first(), knees.last()];
        for (knee, _) in ends.into_iter().zip(is_capped).filter(|(_, is)| *is) {
            lines.extend(knee.and_then(cap));
        }
    }
    Reading::Shape(Shape::Lines {
        lines,
        are_faces: true,
    })
}

/// The line across all elements at an end.
fn cap(knee: &Knee) -> Option<(Space, Space)> {
    let offsets = || knee.elements.iter().filter_map(|it| it.first().copied());
    let low = offsets().min_by(f64::total_cmp)?;
    let high = offsets().max_by(f64::total_cmp)?;
    (high > low).then(|| {
        (
            plus(knee.at, knee.mitre, low),
            plus(knee.at, knee.mitre, high),
        )
    })
}

fn element_lines(
    from: &Knee,
    to: &Knee,
    number: usize,
    element: &[f64],
    lines: &mut Vec<(Space, Space)>,
) {
    let (Some(&offset), Some(&far_offset)) = (
        element.first(),
        to.elements.get(number).and_then(|element| element.first()),
    ) else {
        return;
    };
    let start = plus(from.at, from.mitre, offset);
    let end = plus(to.at, to.mitre, far_offset);
    let length = norm(minus(end, start));
    let marks = element.get(1..).unwrap_or_default();
    if marks.is_empty() {
        lines.push((start, end));
    }
    for piece in marks.chunks(2) {
        let near = piece.first().copied().unwrap_or(0.0).max(0.0);
        let far = piece.get(1).copied().unwrap_or(length).min(length);
        if near >= far {
            continue;
        }
        let last = if piece.len() < 2 || far >= length {
            end
        } else {
            plus(start, from.along, far)
        };
        let first = if near > 0.0 {
            plus(start, from.along, near)
        } else {
            start
        };
        lines.push((first, last));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clockwise_edge_counts_its_angles_clockwise() {
        let (start, sweep) = sweep_of(0.0, PI / 2.0, true);
        assert_eq!((start, sweep), (-0.0, -PI / 2.0));
        assert_eq!(sweep_of(0.0, TAU, false), (0.0, TAU));
    }

    #[test]
    fn a_boundary_parts_into_paths_and_edges() {
        let polyline = [(92, 2.0), (72, 1.0), (73, 1.0), (93, 2.0)];
        let corners = [
            (10, 0.0),
            (20, 0.0),
            (42, 1.0),
            (10, 2.0),
            (20, 0.0),
            (42, 1.0),
        ];
        let edges = [
            (97, 0.0),
            (92, 1.0),
            (93, 2.0),
            (72, 1.0),
            (10, 0.0),
            (20, 0.0),
            (11, 5.0),
            (21, 0.0),
            (72, 2.0),
            (10, 0.0),
            (20, 0.0),
            (40, 5.0),
            (50, 0.0),
            (51, 90.0),
            (73, 1.0),
        ];
        let numbers: Vec<(i64, f64)> = polyline.into_iter().chain(corners).chain(edges).collect();
        let rings = rings(&numbers, 0.0);
        assert_eq!(rings.len(), 2);
        assert!(
            matches!(rings[0][0], AreaEdge::Ellipse { sweep, .. } if (sweep - PI).abs() < 1e-12)
        );
        assert_eq!(rings[1].len(), 2);
    }

    #[test]
    fn a_cut_in_a_multi_line_leaves_a_gap() {
        let knee = |x: f64, marks: &[f64]| Knee {
            at: [x, 0.0, 0.0],
            along: [1.0, 0.0, 0.0],
            mitre: [0.0, 1.0, 0.0],
            elements: vec![marks.to_vec()],
        };
        let mut lines = Vec::new();
        let (from, to) = (knee(0.0, &[3.0, 0.0, 40.0, 76.0]), knee(100.0, &[3.0, 0.0]));
        element_lines(&from, &to, 0, &from.elements[0], &mut lines);
        assert_eq!(
            lines,
            [
                ([0.0, 3.0, 0.0], [40.0, 3.0, 0.0]),
                ([76.0, 3.0, 0.0], [100.0, 3.0, 0.0])
            ]
        );
    }
}
