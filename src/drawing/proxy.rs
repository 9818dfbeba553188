//! Objects of other programs: the picture of lines that many carry for readers that do not know them.
//!
//! ```text
//!   size, count, then records:  size, type, numbers        all little-endian
//!   2 circle  3 the same by three points  4 arc  5 the same by three points  6, 32 polyline  7 polygon  9 shell
//!   29/30 push a matrix  31 pop it
//! ```
//!
//! Source of the record types: the documentation and behaviour of ezdxf 1.4 (`proxygraphic`), observed; layers, colours and
//! texts are passed over. What carries no picture stays counted and named in the census.

use super::affine::{cross, norm};
use super::contents::{Contents, Record};
use super::curves::{arc_through, circle_through};
use super::model::Curve;
use super::pairs::Value;
use super::shape::{Shape, Space};
use geo::Coord;
use std::collections::BTreeSet;

/// Objects draw at most this many records: the format has no more than a few thousand for one object.
const MOST_RECORDS: u32 = 100_000;

/// The lines and arcs of an object's picture, world coordinates; empty when it has none.
pub(super) fn picture(contents: &Contents<'_>, record: &Record) -> Vec<Shape> {
    let mut bytes: Vec<u8> = Vec::new();
    let mut wanted = 0_usize;
    for pair in contents.pairs(record).skip(1) {
        match pair.code {
            1000.. => break,
            // The first size with chunks after it is the picture's; the second is the object's own data.
            92 | 160 if wanted == 0 => {
                wanted = pair
                    .value
                    .whole()
                    .and_then(|size| usize::try_from(size).ok())
                    .unwrap_or(0);
            }
            310 if wanted > 0 && bytes.len() < wanted => match pair.value {
                Value::Chunk(chunk) => bytes.extend(chunk),
                other => bytes.extend(from_hex(other.bytes())),
            },
            93 | 161 if !bytes.is_empty() => break,
            _ => {}
        }
    }
    bytes.truncate(wanted);
    shapes(&bytes).unwrap_or_default()
}

fn from_hex(text: &[u8]) -> Vec<u8> {
    text.trim_ascii()
        .chunks(2)
        .map_while(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok())
        .collect()
}

/// A walk over little-endian numbers.
struct Numbers<'a> {
    bytes: &'a [u8],
}

impl Numbers<'_> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (head, rest) = self.bytes.split_first_chunk::<N>()?;
        self.bytes = rest;
        Some(*head)
    }

    fn count(&mut self) -> Option<u32> {
        self.take().map(u32::from_le_bytes)
    }

    fn real(&mut self) -> Option<f64> {
        let number = f64::from_le_bytes(self.take()?);
        (number.is_finite() && number.abs() < 1e15).then_some(number)
    }

    fn point(&mut self) -> Option<Space> {
        Some([self.real()?, self.real()?, self.real()?])
    }
}

/// Rows of a matrix: three of rotation and move.
type Matrix = [[f64; 4]; 3];

const STRAIGHT: Matrix = [
    [1.0, 0.0, 0.0, 0.0],
    [0.0, 1.0, 0.0, 0.0],
    [0.0, 0.0, 1.0, 0.0],
];

fn moved(matrix: &Matrix, at: Space) -> Space {
    matrix.map(|row| row[0] * at[0] + row[1] * at[1] + row[2] * at[2] + row[3])
}

fn after(outer: &Matrix, inner: &Matrix) -> Matrix {
    let mut out = [[0.0; 4]; 3];
    for (row, line) in out.iter_mut().zip(outer) {
        for (column, cell) in row.iter_mut().enumerate() {
            let own = if column == 3 { line[3] } else { 0.0 };
            *cell = own
                + line
                    .iter()
                    .zip(inner)
                    .map(|(a, b)| a * b[column])
                    .sum::<f64>();
        }
    }
    out
}

fn shapes(bytes: &[u8]) -> Option<Vec<Shape>> {
    let mut head = Numbers { bytes };
    let _size = head.count()?;
    let count = head.count()?.min(MOST_RECORDS);
    let mut rest = head.bytes;
    let mut out = Vec::new();
    let mut stack = vec![STRAIGHT];
    for _ in 0..count {
        let mut record = Numbers { bytes: rest };
        let Some(size) = record.count().and_then(|size| usize::try_from(size).ok()) else {
            break;
        };
        let (Some(own), Some(next)) = (rest.get(..size), rest.get(size.max(8)..)) else {
            break;
        };
        rest = next;
        let mut it = Numbers { bytes: own };
        let _ = it.count();
        let Some(kind) = it.count() else { break };
        let matrix = stack.last().copied().unwrap_or(STRAIGHT);
        match kind {
            2 => out.extend(arc(&mut it, &matrix, false)),
            4 => out.extend(arc(&mut it, &matrix, true)),
            3 | 5 => out.extend(through_three(&mut it, &matrix, kind == 5)),
            6 | 7 | 32 => out.extend(chain(&mut it, &matrix, kind == 7)),
            9 => out.extend(shell(&mut it, &matrix)),
            29 | 30 => stack.push(read_matrix(&mut it).map_or(matrix, |own| after(&matrix, &own))),
            31 if stack.len() > 1 => {
                stack.pop();
            }
            _ => {}
        }
    }
    Some(out)
}

fn read_matrix(it: &mut Numbers<'_>) -> Option<Matrix> {
    let mut matrix = STRAIGHT;
    for row in &mut matrix {
        for cell in row.iter_mut() {
            *cell = it.real()?;
        }
    }
    Some(matrix)
}

fn chain(it: &mut Numbers<'_>, matrix: &Matrix, is_closed: bool) -> Option<Shape> {
    let count = it.count()?;
    let mut points: Vec<Space> = (0..count)
        .map_while(|_| it.point())
        .map(|at| moved(matrix, at))
        .collect();
    if is_closed {
        points.extend(points.first().copied());
    }
    let lines: Vec<(Space, Space)> = points
        .iter()
        .zip(points.iter().skip(1))
        .map(|(a, b)| (*a, *b))
        .collect();
    (!lines.is_empty()).then_some(Shape::Lines {
        lines,
        are_faces: false,
    })
}

/// The edges of the faces of a shell: each face is the number of its corners, negative for a hole, and their numbers.
fn shell(it: &mut Numbers<'_>, matrix: &Matrix) -> Option<Shape> {
    let count = it.count()?;
    let points: Vec<Space> = (0..count)
        .map_while(|_| it.point())
        .map(|at| moved(matrix, at))
        .collect();
    let mut left = it.count()?;
    let mut edges: BTreeSet<(u32, u32)> = BTreeSet::new();
    while left > 0 {
        let size = i32::from_le_bytes(it.take()?).unsigned_abs();
        let corners: Vec<u32> = (0..size).map_while(|_| it.count()).collect();
        let next = corners.iter().cycle().skip(1);
        edges.extend(
            corners
                .iter()
                .zip(next)
                .map(|(a, b)| (*a.min(b), *a.max(b))),
        );
        left = left.saturating_sub(size.saturating_add(1));
    }
    let point = |at: u32| points.get(usize::try_from(at).ok()?).copied();
    let lines: Vec<(Space, Space)> = edges
        .into_iter()
        .filter_map(|(a, b)| Some((point(a)?, point(b)?)))
        .collect();
    (!lines.is_empty()).then_some(Shape::Lines {
        lines,
        are_faces: false,
    })
}

/// A circle, or an arc, through three points, seen from above.
fn through_three(it: &mut Numbers<'_>, matrix: &Matrix, is_part: bool) -> Option<Shape> {
    let [a, b, c] = [it.point()?, it.point()?, it.point()?]
        .map(|at| moved(matrix, at))
        .map(|at| Coord { x: at[0], y: at[1] });
    let (centre, radius) = circle_through(a, b, c)?;
    let (mut start, mut sweep) = (0.0, std::f64::consts::TAU);
    if is_part
        && let Curve::Arc {
            start_angle,
            sweep: own,
            ..
        } = arc_through(a, b, c)?
    {
        (start, sweep) = (start_angle.min(start_angle + own), own.abs());
    }
    Some(Shape::Arc {
        centre: [centre.x, centre.y, 0.0],
        radius,
        start,
        sweep,
        normal: [0.0, 0.0, 1.0],
    })
}

/// A circle or an arc as an ellipse in world coordinates, whose two axes are equal.
fn arc(it: &mut Numbers<'_>, matrix: &Matrix, is_part: bool) -> Option<Shape> {
    let (centre, radius, normal) = (it.point()?, it.real()?, it.point()?);
    let (toward, sweep) = if is_part {
        (it.point()?, it.real()?)
    } else {
        let guide = if normal[0].abs() < 1.0 / 64.0 && normal[1].abs() < 1.0 / 64.0 {
            [0.0, 1.0, 0.0]
        } else {
            [0.0, 0.0, 1.0]
        };
        (cross(guide, normal), std::f64::consts::TAU)
    };
    let (long, up) = (norm(toward), norm(normal));
    if radius <= 0.0 || long <= 0.0 || up <= 0.0 {
        return None;
    }
    let major = toward.map(|part| part / long * radius);
    let minor = cross(normal.map(|part| part / up), major);
    let origin = moved(matrix, [0.0; 3]);
    let turned = |way: Space| {
        let end = moved(matrix, way);
        [end[0] - origin[0], end[1] - origin[1], end[2] - origin[2]]
    };
    Some(Shape::Ellipse {
        centre: moved(matrix, centre),
        major: turned(major),
        minor: turned(minor),
        start: 0.0,
        sweep,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn record(kind: u32, numbers: &[f64], count: Option<u32>) -> Vec<u8> {
        let mut body: Vec<u8> = count.map(u32::to_le_bytes).into_iter().flatten().collect();
        body.extend(numbers.iter().flat_map(|number| number.to_le_bytes()));
        let size = u32::try_from(body.len() + 8).unwrap();
        [&size.to_le_bytes()[..], &kind.to_le_bytes(), &body].concat()
    }

    fn file(records: &[Vec<u8>]) -> Vec<u8> {
        let body = records.concat();
        let size = u32::try_from(body.len() + 8).unwrap();
        let count = u32::try_from(records.len()).unwrap();
        [&size.to_le_bytes()[..], &count.to_le_bytes(), &body].concat()
    }

    #[test]
    fn a_polyline_inside_a_moved_frame_is_moved() {
        let shift = [
            1.0, 0.0, 0.0, 5.0, 0.0, 1.0, 0.0, 7.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0,
        ];
        let line = record(6, &[0.0, 0.0, 0.0, 10.0, 0.0, 0.0], Some(2));
        let bytes = file(&[
            record(29, &shift, None),
            line.clone(),
            record(31, &[], None),
            line,
        ]);
        let expected = |x: f64, y: f64| Shape::Lines {
            lines: vec![([x, y, 0.0], [x + 10.0, y, 0.0])],
            are_faces: false,
        };
        assert_eq!(
            shapes(&bytes).unwrap(),
            [expected(5.0, 7.0), expected(0.0, 0.0)]
        );
    }

    #[test]
    fn shells_give_each_edge_once_and_three_points_an_arc() {
        let corners = [0.0, 0.0, 0.0, 4.0, 0.0, 0.0, 4.0, 3.0, 0.0, 0.0, 3.0, 0.0];
        let mut body: Vec<u8> = 4_u32.to_le_bytes().to_vec();
        body.extend(corners.iter().flat_map(|it: &f64| it.to_le_bytes()));
        // Two triangles: of six edges one is shared.
        for number in [8_i32, 3, 0, 1, 2, 3, 0, 2, 3] {
            body.extend(number.to_le_bytes());
        }
        let size = u32::try_from(body.len() + 8).unwrap();
        let shell = [&size.to_le_bytes()[..], &9_u32.to_le_bytes(), &body].concat();
        let arc = record(5, &[2.0, 0.0, 0.0, 0.0, 2.0, 0.0, -2.0, 0.0, 0.0], None);
        let read = shapes(&file(&[shell, arc])).unwrap();
        let [Shape::Lines { lines, .. }, Shape::Arc { radius, sweep, .. }] = &read[..] else {
            panic!("{read:?}");
        };
        assert_eq!(lines.len(), 5);
        assert!((radius - 2.0).abs() < 1e-12 && (sweep - std::f64::consts::PI).abs() < 1e-9);
    }

    #[test]
    fn a_picture_cut_short_gives_what_is_whole() {
        let mut bytes = file(&[
            record(6, &[0.0, 0.0, 0.0, 1.0, 0.0, 0.0], Some(2)),
            record(2, &[0.0, 0.0, 0.0, 4.0, 0.0, 0.0, 1.0], None),
        ]);
        assert_eq!(shapes(&bytes).unwrap().len(), 2);
        bytes.truncate(bytes.len() - 3);
        assert_eq!(shapes(&bytes).unwrap().len(), 1);
    }
}
