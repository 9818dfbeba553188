//! Texts and light polylines in the pictures of other programs' objects.
//!
//! ```text
//!   10 text  11 text with its font  36, 38 the same in UTF-16      words end at a zero, filled up to four bytes
//!   33 light polyline, in bits as a DWG has it
//! ```

use crate::drawing::entities::affine::{Affine, cross, minus, norm};
use crate::drawing::entities::curves::bulge_arc;
use crate::drawing::entities::lettering;
use crate::drawing::entities::proxy::Numbers;
use crate::drawing::entities::shape::{Shape, Space, TextShape, Vertex};
use crate::drawing::entities::wide;
use crate::drawing::file::letters::Letters;

/// Where a point of a picture goes.
type Place<'a> = &'a dyn Fn(Space) -> Space;

fn way(place: Place<'_>, by: Space) -> Space {
    minus(place(by), place([0.0; 3]))
}

/// A text: place, normal, direction, then words and sizes in an order of each kind.
pub(super) fn text(
    it: &mut Numbers<'_>,
    place: Place<'_>,
    kind: u32,
    letters: Letters,
) -> Option<Shape> {
    let (at, normal, along) = (it.point()?, it.point()?, it.point()?);
    let (words, height) = if matches!(kind, 10 | 36) {
        let height = it.real()?;
        // Width and slant.
        let _ = (it.real()?, it.real()?);
        (words(it, kind, letters)?, height)
    } else {
        let words = words(it, kind, letters)?;
        // Length, and whether signs are written out.
        let _ = (it.count()?, it.count()?);
        (words, it.real()?)
    };
    let long = norm(along);
    let up = cross(normal, along).map(|part| part / long);
    let along = way(place, along);
    let height = height * norm(way(place, up));
    let content = lettering::plain_text(&words);
    let is_sound = norm(along) > 0.0 && height > 0.0 && height.is_finite();
    (is_sound && !content.trim().is_empty()).then(|| {
        Shape::Text(Box::new(TextShape {
            lines: vec![content],
            at: place(at),
            along: along.map(|part| part / norm(along)),
            height,
            normal: [0.0, 0.0, 1.0],
            is_underlined: lettering::is_underlined(&words),
            ..TextShape::default()
        }))
    })
}

fn words(it: &mut Numbers<'_>, kind: u32, letters: Letters) -> Option<String> {
    if matches!(kind, 36 | 38) {
        let units: Vec<u16> = it
            .until_zero()?
            .into_iter()
            .map(u16::from_le_bytes)
            .collect();
        Some(String::from_utf16_lossy(&units))
    } else {
        let bytes: Vec<[u8; 1]> = it.until_zero()?;
        Some(letters.read(&bytes.concat()).into_owned())
    }
}

/// Flags of a light polyline. Source: Open Design Specification for .dwg files, LWPLINE; 512 as ezdxf 1.4 reads it, observed.
const NORMAL: i64 = 1;
const THICK: i64 = 2;
const WIDTH: i64 = 4;
const HEIGHT: i64 = 8;
const BULGES: i64 = 16;
const WIDTHS: i64 = 32;
const CLOSED: i64 = 512;
const NUMBERED: i64 = 1024;

/// A light polyline holds no more vertices.
const MOST_VERTICES: i64 = 1_000_000;

/// A light polyline; a wide one as its faces.
pub(super) fn light_polyline(it: &mut Numbers<'_>, place: Place<'_>) -> Option<Shape> {
    let size = usize::try_from(it.count()?).ok()?;
    let mut bits = Bits {
        bytes: it.rest(size),
        at: 0,
    };
    let flags = bits.short()?;
    let has = |flag: i64| flags & flag != 0;
    let width = if has(WIDTH) { bits.real()? } else { 0.0 };
    let height = if has(HEIGHT) { bits.real()? } else { 0.0 };
    if has(THICK) {
        let _ = bits.real()?;
    }
    let normal = if has(NORMAL) {
        [bits.real()?, bits.real()?, bits.real()?]
    } else {
        [0.0, 0.0, 1.0]
    };
    let mut number = |is: bool| match is {
        true => bits.long().filter(|it| (0..=MOST_VERTICES).contains(it)),
        false => Some(0),
    };
    let n_points = number(true)?;
    let n_bulges = number(has(BULGES))?;
    let n_numbers = number(has(NUMBERED))?;
    let n_widths = number(has(WIDTHS))?;
    let mut vertices: Vec<Vertex> = Vec::new();
    for _ in 0..n_points {
        let [x, y] = match vertices.last() {
            None => [bits.plain_real()?, bits.plain_real()?],
            Some(before) => [
                bits.real_after(before.at[0])?,
                bits.real_after(before.at[1])?,
            ],
        };
        vertices.push(Vertex {
            at: [x, y, height],
            bulge: 0.0,
            start_width: width,
            end_width: width,
        });
    }
    for at in 0..n_bulges {
        let bulge = bits.real()?;
        let own = usize::try_from(at).ok();
        if let Some(vertex) = own.and_then(|at| vertices.get_mut(at)) {
            vertex.bulge = bulge;
        }
    }
    for _ in 0..n_numbers {
        let _ = bits.long()?;
    }
    for vertex in vertices.iter_mut().take(usize::try_from(n_widths).ok()?) {
        (vertex.start_width, vertex.end_width) = (bits.real()?, bits.real()?);
    }
    let is_sound = vertices.iter().all(|it| {
        let [x, y, z] = it.at;
        let all = [x, y, z, it.bulge, it.start_width, it.end_width];
        all.iter().all(|it| it.is_finite() && it.abs() < 1e15)
    });
    let object = Affine::object(normal);
    is_sound.then(|| segments(&vertices, has(CLOSED), &|at| place(object.point(at))))?
}

/// The segments of a polyline, or the faces of a wide one, each where it goes.
fn segments(vertices: &[Vertex], is_closed: bool, place: Place<'_>) -> Option<Shape> {
    let is_wide = wide::is_wide(vertices);
    let mut lines = Vec::new();
    let mut shapes = Vec::new();
    let mut segment = |from: Space, to: Space, bulge: f64| {
        match bulge_arc([from[0], from[1]], [to[0], to[1]], bulge) {
            Some((centre, radius, start, sweep)) => {
                // An ellipse runs counter-clockwise.
                let start = if sweep < 0.0 { start + sweep } else { start };
                shapes.push(Shape::Ellipse {
                    centre: place([centre[0], centre[1], from[2]]),
                    major: way(place, [radius, 0.0, 0.0]),
                    minor: way(place, [0.0, radius, 0.0]),
                    start,
                    sweep: sweep.abs(),
                });
            }
            None if norm(minus(to, from)) > 0.0 => lines.push((place(from), place(to))),
            None => {}
        }
    };
    if is_wide {
        let height = vertices.first()?.at[2];
        for it in wide::faces(vertices, is_closed) {
            let at = |p: [f64; 2]| [p[0], p[1], height];
            segment(at(it.from), at(it.to), it.bulge);
        }
    } else {
        let closing = if is_closed { vertices.first() } else { None };
        for (from, to) in vertices.iter().zip(vertices.iter().skip(1).chain(closing)) {
            segment(from.at, to.at, from.bulge);
        }
    }
    if !lines.is_empty() {
        shapes.push(Shape::Lines {
            lines,
            are_faces: is_wide,
        });
    }
    (!shapes.is_empty()).then_some(Shape::Several(shapes))
}

/// A walk over numbers packed in bits. Source: Open Design Specification for .dwg files, bit codes.
struct Bits<'a> {
    bytes: &'a [u8],
    /// The next bit.
    at: usize,
}

impl Bits<'_> {
    fn bits(&mut self, count: u32) -> Option<u8> {
        let mut value = 0;
        for _ in 0..count {
            let byte = self.bytes.get(self.at / 8)?;
            value = value << 1 | byte >> (7 - self.at % 8) & 1;
            self.at += 1;
        }
        Some(value)
    }

    fn bytes<const N: usize>(&mut self) -> Option<[u8; N]> {
        let mut bytes = [0; N];
        for byte in &mut bytes {
            *byte = self.bits(8)?;
        }
        Some(bytes)
    }

    fn short(&mut self) -> Option<i64> {
        Some(match self.bits(2)? {
            0 => i64::from(i16::from_le_bytes(self.bytes()?)),
            1 => i64::from(self.bits(8)?),
            2 => 0,
            _ => 256,
        })
    }

    fn long(&mut self) -> Option<i64> {
        Some(match self.bits(2)? {
            0 => i64::from(i32::from_le_bytes(self.bytes()?)),
            1 => i64::from(self.bits(8)?),
            2 => 0,
            _ => return None,
        })
    }

    fn plain_real(&mut self) -> Option<f64> {
        Some(f64::from_le_bytes(self.bytes()?))
    }

    fn real(&mut self) -> Option<f64> {
        match self.bits(2)? {
            0 => self.plain_real(),
            1 => Some(1.0),
            2 => Some(0.0),
            _ => None,
        }
    }

    /// A number of which only those bytes stand here that differ from the one before.
    fn real_after(&mut self, before: f64) -> Option<f64> {
        let mut bytes = before.to_le_bytes();
        match self.bits(2)? {
            0 => {}
            1 => bytes[..4].copy_from_slice(&self.bytes::<4>()?),
            2 => {
                bytes[4..6].copy_from_slice(&self.bytes::<2>()?);
                bytes[..4].copy_from_slice(&self.bytes::<4>()?);
            }
            _ => return self.plain_real(),
        }
        Some(f64::from_le_bytes(bytes))
    }
}
