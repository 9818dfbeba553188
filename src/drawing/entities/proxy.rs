//! Objects of other programs: the picture of lines that many carry for readers that do not know them.
//!
//! ```text
//!   size, count, then records:  size, type, numbers        all little-endian
//!   2 circle  3 the same by three points  4 arc  5 the same by three points  6, 32 polyline  7 polygon  8 mesh  9 shell
//!   10, 11, 36, 38 text  29/30 push a matrix  31 pop it  33 light polyline  44 elliptic arc
//! ```
//!
//! Source of the record types: the documentation and behaviour of ezdxf 1.4 (`proxygraphic`), observed; layers and colours
//! are passed over. What carries no picture stays counted and named in the census.

use crate::drawing::entities::affine::{Affine, cross, minus, norm};
use crate::drawing::entities::curves::{arc_through, circle_through};
use crate::drawing::entities::proxy_text::{light_polyline, text};
use crate::drawing::entities::shape::{Shape, Space};
use crate::drawing::file::contents::{Contents, Record};
use crate::drawing::file::letters::Letters;
use crate::drawing::file::pairs::Value;
use crate::drawing::model::Curve;
use geo::Coord;
use std::collections::BTreeSet;

/// Objects draw at most this many records: the format has no more than a few thousand for one object.
const MOST_RECORDS: u32 = 100_000;

/// The lines, arcs and texts of an object's picture, world coordinates; empty when it has none.
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
    shapes(&bytes, contents.letters).unwrap_or_default()
}

fn from_hex(text: &[u8]) -> Vec<u8> {
    text.trim_ascii()
        .chunks(2)
        .map_while(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok())
        .collect()
}

/// A walk over little-endian numbers.
pub(super) struct Numbers<'a> {
    bytes: &'a [u8],
}

impl<'a> Numbers<'a> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (head, rest) = self.bytes.split_first_chunk::<N>()?;
        self.bytes = rest;
        Some(*head)
    }

    pub(super) fn count(&mut self) -> Option<u32> {
        self.take().map(u32::from_le_bytes)
    }

    pub(super) fn real(&mut self) -> Option<f64> {
        let number = f64::from_le_bytes(self.take()?);
        (number.is_finite() && number.abs() < 1e15).then_some(number)
    }

    pub(super) fn point(&mut self) -> Option<Space> {
        Some([self.real()?, self.real()?, self.real()?])
    }

    /// Letters of `N` bytes up to a zero, and past what fills up to four bytes.
    pub(super) fn until_zero<const N: usize>(&mut self) -> Option<Vec<[u8; N]>> {
        let mut letters = Vec::new();
        loop {
            let letter: [u8; N] = self.take()?;
            if letter == [0; N] {
                break;
            }
            letters.push(letter);
        }
        let used = (letters.len() + 1) * N;
        let filled = used.next_multiple_of(4) - used;
        self.bytes = self.bytes.get(filled..).unwrap_or_default();
        Some(letters)
    }

    /// The bytes that follow, at most so many.
    pub(super) fn rest(&self, size: usize) -> &'a [u8] {
        self.bytes.get(..size).unwrap_or(self.bytes)
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

fn shapes(bytes: &[u8], letters: Letters) -> Option<Vec<Shape>> {
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
        let place = |at: Space| moved(&matrix, at);
        match kind {
            2 => out.extend(arc(&mut it, &matrix, false)),
            4 => out.extend(arc(&mut it, &matrix, true)),
            3 | 5 => out.extend(through_three(&mut it, &matrix, kind == 5)),
            6 | 7 | 32 => out.extend(chain(&mut it, &matrix, kind == 7)),
            8 => out.extend(mesh(&mut it, &matrix)),
            9 => out.extend(shell(&mut it, &matrix)),
            10 | 11 | 36 | 38 => out.extend(text(&mut it, &place, kind, letters)),
            29 | 30 => stack.push(read_matrix(&mut it).map_or(matrix, |own| after(&matrix, &own))),
            31 if stack.len() > 1 => {
                stack.pop();
            }
            33 => out.extend(light_polyline(&mut it, &place)),
            44 => out.extend(elliptic_arc(&mut it, &matrix)),
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

/// Most vertices of one mesh.
const MOST_VERTICES: usize = 1_000_000;

/// Rows and columns of a mesh.
fn mesh(it: &mut Numbers<'_>, matrix: &Matrix) -> Option<Shape> {
    let rows = usize::try_from(it.count()?).ok()?;
    let columns = usize::try_from(it.count()?).ok()?;
    let count = rows.checked_mul(columns)?;
    if columns == 0 || count > MOST_VERTICES {
        return None;
    }
    let points: Vec<Space> = (0..count)
        .map_while(|_| it.point())
        .map(|at| moved(matrix, at))
        .collect();
    let mut lines = Vec::new();
    for (at, point) in points.iter().enumerate() {
        let right = points.get(at + 1).filter(|_| (at + 1) % columns != 0);
        let below = points.get(at + columns);
        lines.extend(right.into_iter().chain(below).map(|it| (*point, *it)));
    }
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

/// Part of an ellipse: centre, normal, both half axes, the two parameters and the angle of the long axis.
fn elliptic_arc(it: &mut Numbers<'_>, matrix: &Matrix) -> Option<Shape> {
    let (centre, normal) = (it.point()?, it.point()?);
    let (long, short) = (it.real()?, it.real()?);
    let (start, end, angle) = (it.real()?, it.real()?, it.real()?);
    if long <= 0.0 || short <= 0.0 || norm(normal) <= 0.0 {
        return None;
    }
    let object = Affine::object(normal);
    let (sin, cos) = angle.sin_cos();
    let origin = moved(matrix, [0.0; 3]);
    let turned = |way: Space| minus(moved(matrix, object.direction(way)), origin);
    let sweep = (end - start).rem_euclid(std::f64::consts::TAU);
    Some(Shape::Ellipse {
        centre: moved(matrix, centre),
        major: turned([cos * long, sin * long, 0.0]),
        minor: turned([-sin * short, cos * short, 0.0]),
        start,
        sweep: if sweep < 1e-12 {
            std::f64::consts::TAU
        } else {
            sweep
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a picture in Western European letters.
    fn shapes(bytes: &[u8]) -> Option<Vec<Shape>> {
        super::shapes(bytes, Letters::of("", "", b""))
    }

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

    #[test]
    fn texts_are_read_in_both_kinds_of_letters_where_their_frame_puts_them() {
        let numbers =
            |list: &[f64]| -> Vec<u8> { list.iter().flat_map(|it| it.to_le_bytes()).collect() };
        let place = numbers(&[10.0, 20.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0]);
        let plain = [&place[..], &numbers(&[6.0, 1.0, 0.0]), b"BATH\0\0\0\0"].concat();
        let wide: Vec<u8> = "3068\0".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let rest = [
            &5_u32.to_le_bytes()[..],
            &0_u32.to_le_bytes(),
            &numbers(&[4.0, 1.0, 0.0, 1.0]),
        ]
        .concat();
        let other = [&place[..], &wide, &[0, 0], &rest].concat();
        let of = |kind: u32, body: &[u8]| {
            let size = u32::try_from(body.len() + 8).unwrap();
            [&size.to_le_bytes()[..], &kind.to_le_bytes(), body].concat()
        };
        let double = [
            2.0, 0.0, 0.0, 5.0, 0.0, 2.0, 0.0, 7.0, 0.0, 0.0, 2.0, 0.0, 0.0, 0.0, 0.0, 1.0,
        ];
        let bytes = file(&[of(10, &plain), record(29, &double, None), of(38, &other)]);
        let said: Vec<_> = shapes(&bytes)
            .unwrap()
            .into_iter()
            .map(|it| match it {
                Shape::Text(it) => (it.lines.concat(), it.at, it.height),
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(
            said,
            [
                ("BATH".to_owned(), [10.0, 20.0, 0.0], 6.0),
                ("3068".to_owned(), [25.0, 47.0, 0.0], 8.0),
            ]
        );
    }

    #[test]
    fn light_polylines_and_elliptic_arcs_are_read() {
        let mut bits = Vec::new();
        let mut push = |value: u64, count: u32| {
            bits.extend((0..count).rev().map(|at| value >> at & 1 == 1));
        };
        let bytes = |push: &mut dyn FnMut(u64, u32), list: &[u8]| {
            list.iter().for_each(|it| push(u64::from(*it), 8));
        };
        // Flags 512 and 16 in two bytes, three vertices, three bulges.
        push(0, 2);
        bytes(&mut push, &528_i16.to_le_bytes());
        for _ in 0..2 {
            push(1, 2);
            push(3, 8);
        }
        bytes(&mut push, &0.0_f64.to_le_bytes());
        bytes(&mut push, &0.0_f64.to_le_bytes());
        // x in full, y as before; then x as before, y in full.
        push(3, 2);
        bytes(&mut push, &100.0_f64.to_le_bytes());
        push(0, 2);
        push(0, 2);
        push(3, 2);
        bytes(&mut push, &50.0_f64.to_le_bytes());
        // Bulges 0, 1, 0.
        push(2, 2);
        push(1, 2);
        push(2, 2);
        let packed: Vec<u8> = bits
            .chunks(8)
            .map(|it| {
                it.iter()
                    .enumerate()
                    .fold(0, |sum, (at, is)| sum | u8::from(*is) << (7 - at))
            })
            .collect();
        let length = u32::try_from(packed.len()).unwrap();
        let body = [&length.to_le_bytes()[..], &packed].concat();
        let size = u32::try_from(body.len() + 8).unwrap();
        let light = [&size.to_le_bytes()[..], &33_u32.to_le_bytes(), &body].concat();
        let arc = record(
            44,
            &[5.0, 6.0, 0.0, 0.0, 0.0, 1.0, 4.0, 2.0, 0.0, 1.5, 0.0],
            None,
        );
        let read = shapes(&file(&[light, arc])).unwrap();
        let [
            Shape::Several(polyline),
            Shape::Ellipse {
                centre,
                major,
                minor,
                sweep,
                ..
            },
        ] = &read[..]
        else {
            panic!("{read:?}");
        };
        let [
            Shape::Ellipse {
                centre: knee,
                sweep: half,
                ..
            },
            Shape::Lines { lines, .. },
        ] = &polyline[..]
        else {
            panic!("{polyline:?}");
        };
        assert_eq!(
            lines[..],
            [
                ([0.0, 0.0, 0.0], [100.0, 0.0, 0.0]),
                ([100.0, 50.0, 0.0], [0.0, 0.0, 0.0]),
            ]
        );
        assert_eq!(*knee, [100.0, 25.0, 0.0]);
        assert!((half - std::f64::consts::PI).abs() < 1e-12);
        assert_eq!(
            (*centre, *major, *minor),
            ([5.0, 6.0, 0.0], [4.0, 0.0, 0.0], [-0.0, 2.0, 0.0])
        );
        assert!((sweep - 1.5).abs() < 1e-12);
    }
}
