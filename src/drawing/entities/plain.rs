//! The commonest entities, read straight from their pairs: nine in ten of a plan's, and through the crate each takes ten
//! times as long.
//!
//! What a group means, and what stands for one that is missing, is as in `dxf`: a test holds the two against each other.

use crate::drawing::entities::affine::exact_sin_cos;
use crate::drawing::entities::lettering;
use crate::drawing::entities::ordinary::{NO_PLACE, Reading, real, small_whole};
use crate::drawing::entities::shape::{Insertion, Shape, Space, TextShape, Vertex};
use crate::drawing::file::contents::{Contents, Record};
use crate::drawing::file::pairs::Pair;

/// A kind of entity that is read here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Plain {
    Line,
    Circle,
    Arc,
    LightPolyline,
    Text,
    Attribute,
    Insert,
}

impl Plain {
    /// By the entity's type.
    pub(super) fn of(kind: &str) -> Option<Self> {
        Some(match kind {
            // The second is that of releases 9 and 10.
            "LINE" | "3DLINE" => Self::Line,
            "CIRCLE" => Self::Circle,
            "ARC" => Self::Arc,
            "LWPOLYLINE" => Self::LightPolyline,
            "TEXT" => Self::Text,
            "ATTRIB" => Self::Attribute,
            "INSERT" => Self::Insert,
            _ => return None,
        })
    }

    /// True for group codes that carry its geometry.
    const fn wants(self, code: i64) -> bool {
        let is_normal = matches!(code, 210 | 220 | 230);
        match self {
            Self::Line => matches!(code, 10 | 20 | 30 | 11 | 21 | 31),
            Self::Circle => is_normal || matches!(code, 10 | 20 | 30 | 40),
            Self::Arc => is_normal || matches!(code, 10 | 20 | 30 | 40 | 50 | 51),
            Self::LightPolyline => is_normal || matches!(code, 10 | 20 | 38 | 40..=43 | 70),
            Self::Text | Self::Attribute => {
                is_normal
                    || matches!(code, 10 | 20 | 30 | 11 | 21 | 31 | 40 | 50 | 72..=74)
                    || code == 70 && matches!(self, Self::Attribute)
            }
            Self::Insert => is_normal || matches!(code, 10 | 20 | 30 | 41..=45 | 50 | 70 | 71),
        }
    }
}

/// What the groups of an entity say, the last of each.
struct Groups {
    /// Groups 10 to 30 and 11 to 31.
    points: [Space; 2],
    /// Groups 210 to 230.
    normal: Space,
    /// Group 38.
    elevation: f64,
    /// Groups 40 to 45.
    sizes: [Option<f64>; 6],
    /// Groups 50 and 51, degrees.
    angles: [Option<f64>; 2],
    /// Groups 70 to 74.
    flags: [Option<i16>; 5],
    /// The corners of a light polyline.
    vertices: Vec<Vertex>,
    /// A group of a corner that stands before the first one.
    early: Option<i64>,
    /// A text, or the name of a block.
    words: String,
    /// The tag of an attribute.
    tag: Option<String>,
}

/// Reads an entity.
pub(super) fn read_plain(contents: &Contents<'_>, plain: Plain, record: &Record) -> Reading {
    let shape = groups(contents, plain, record).and_then(|it| shape(plain, it));
    shape.map_or_else(Reading::Broken, Reading::Shape)
}

fn groups(contents: &Contents<'_>, plain: Plain, record: &Record) -> Result<Groups, String> {
    let mut it = Groups {
        points: [[0.0; 3]; 2],
        normal: [0.0, 0.0, 1.0],
        elevation: 0.0,
        sizes: [None; 6],
        angles: [None; 2],
        flags: [None; 5],
        vertices: Vec::new(),
        early: None,
        words: String::new(),
        tag: None,
    };
    let mut has_place = false;
    for pair in contents.pairs(record).skip(1) {
        let text = || contents.letters.read(pair.value.bytes());
        match (plain, pair.code) {
            // XDATA and embedded objects repeat codes with other meanings.
            (_, 101 | 1000..) => break,
            (_, code) if plain.wants(code) => {
                has_place |= code == 10;
                it.take(plain, &pair)?;
            }
            (Plain::Text, 1 | 3) | (Plain::Attribute, 1) => it.words.push_str(&text()),
            (Plain::Attribute, 2) => it.tag = Some(text().into_owned()),
            (Plain::Insert, 2) => {
                let name = pair.value.bytes().trim_ascii();
                it.words = contents.letters.read(name).into_owned();
            }
            _ => {}
        }
    }
    match it.early {
        _ if !has_place => Err(NO_PLACE.to_owned()),
        Some(code) => Err(format!("group {code} stands before its first corner")),
        None => Ok(it),
    }
}

impl Groups {
    fn take(&mut self, plain: Plain, pair: &Pair<'_>) -> Result<(), String> {
        let code = pair.code;
        if let 70..=74 = code {
            *place(&mut self.flags, code - 70) = Some(small_whole(pair)?);
            return Ok(());
        }
        let number = real(pair)?;
        match (plain, code) {
            (Plain::LightPolyline, 10) => self.vertices.push(Vertex {
                at: [number, 0.0, 0.0],
                ..Vertex::default()
            }),
            (Plain::LightPolyline, 20 | 40..=42) => match self.vertices.last_mut() {
                None => self.early = Some(code),
                Some(vertex) => match code {
                    20 => vertex.at[1] = number,
                    40 => vertex.start_width = number,
                    41 => vertex.end_width = number,
                    _ => vertex.bulge = number,
                },
            },
            (_, 38) => self.elevation = number,
            (_, 40..=45) => *place(&mut self.sizes, code - 40) = Some(number),
            (_, 50 | 51) => *place(&mut self.angles, code - 50) = Some(number),
            (_, 210 | 220 | 230) => *place(&mut self.normal, code / 10 - 21) = number,
            _ => {
                let point = place(&mut self.points, code % 10);
                *place(point, code / 10 - 1) = number;
            }
        }
        Ok(())
    }
}

/// The place of a group in its list; the last one for a code that is none of it.
fn place<T, const N: usize>(list: &mut [T; N], number: i64) -> &mut T {
    let number = usize::try_from(number).unwrap_or(N);
    &mut list[number.min(N - 1)]
}

fn shape(plain: Plain, it: Groups) -> Result<Shape, String> {
    let [first, last] = it.points;
    let angle = |number: usize, missing: f64| it.angles[number].unwrap_or(missing);
    match plain {
        Plain::Line => Ok(Shape::Line {
            start: first,
            end: last,
        }),
        Plain::Circle => arc(&it, [0.0, 360.0]),
        Plain::Arc => arc(&it, [angle(0, 0.0), angle(1, 360.0)]),
        Plain::LightPolyline => Ok(light_polyline(it)),
        Plain::Text | Plain::Attribute => Ok(Shape::Text(Box::new(text(it)))),
        Plain::Insert => Ok(Shape::Insert(Box::new(insertion(it)))),
    }
}

fn arc(it: &Groups, degrees: [f64; 2]) -> Result<Shape, String> {
    let radius = it.sizes[0].unwrap_or(0.0);
    if radius <= 0.0 {
        return Err(format!("its radius is {radius}, not above zero"));
    }
    // Equal angles are a full turn, as the CAD programs draw it.
    let mut sweep = (degrees[1] - degrees[0]).rem_euclid(360.0);
    if sweep == 0.0 {
        sweep = 360.0;
    }
    Ok(Shape::Arc {
        centre: it.points[0],
        radius,
        start: degrees[0].to_radians(),
        sweep: sweep.to_radians(),
        normal: it.normal,
    })
}

fn light_polyline(mut it: Groups) -> Shape {
    let constant_width = it.sizes[3].unwrap_or(0.0);
    for vertex in &mut it.vertices {
        vertex.at[2] = it.elevation;
        // A tapered segment states both widths, one of which may be zero.
        if vertex.start_width <= 0.0 && vertex.end_width <= 0.0 {
            vertex.start_width = constant_width;
            vertex.end_width = constant_width;
        }
    }
    Shape::Polyline {
        vertices: it.vertices,
        is_closed: it.flags[0].unwrap_or(0) & 1 != 0,
        normal: it.normal,
    }
}

fn text(it: Groups) -> TextShape {
    // Group 72 across: left, centre, right, aligned, middle, fit; group 73 up: base line, bottom, middle, top.
    let across = it.flags[2].filter(|it| (0..=5).contains(it)).unwrap_or(0);
    let up = it.flags[3].filter(|it| (0..=3).contains(it)).unwrap_or(0);
    let is_plain = across == 0 && up == 0;
    let is_stretched = matches!(across, 3 | 5);
    let at = it.points[usize::from(!is_plain && !is_stretched)];
    let (sin, cos) = exact_sin_cos(it.angles[0].unwrap_or(0.0).to_radians());
    let justified = [
        match across {
            1 | 4 => 0.5,
            2 => 1.0,
            _ => 0.0,
        },
        match (across, up) {
            (4, _) | (_, 2) => 0.5,
            (_, 3) => 1.0,
            _ => 0.0,
        },
    ];
    TextShape {
        lines: vec![lettering::plain_text(&it.words)],
        at,
        along: [cos, sin, 0.0],
        line_step: 0.0,
        height: it.sizes[0].unwrap_or(1.0),
        normal: it.normal,
        is_underlined: lettering::is_underlined(&it.words),
        // Group 70 of an attribute: 1 not shown.
        is_hidden: it.tag.is_some() && it.flags[0].unwrap_or(0) & 1 != 0,
        tag: it.tag,
        justified,
    }
}

fn insertion(it: Groups) -> Insertion {
    let count =
        |number: usize| u32::try_from(it.flags[number].unwrap_or(1)).map_or(1, |it| it.max(1));
    // A scale of zero is written by some programs for a flat block: it can only mean one.
    let scale = |number: usize| it.sizes[number].filter(|it| *it != 0.0).unwrap_or(1.0);
    let spacing = |number: usize| it.sizes[number].unwrap_or(0.0);
    Insertion {
        at: it.points[0],
        scale: [scale(1), scale(2), scale(3)],
        angle: it.angles[0].unwrap_or(0.0).to_radians(),
        count: [count(0), count(1)],
        spacing: [spacing(4), spacing(5)],
        normal: it.normal,
        name: it.words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::testing::pairs;
    use dxf::entities::EntityType;
    use dxf::enums::{HorizontalTextJustification as Across, VerticalTextJustification as Up};

    /// The numbers that place a shape, and how many of whatever it has.
    fn own(entity: &str) -> Vec<f64> {
        let file = format!(
            "{}{}0\nENDSEC\n0\nEOF\n",
            pairs("0 SECTION, 2 ENTITIES"),
            pairs(entity)
        );
        let contents = Contents::read(file.as_bytes());
        let record = &contents.records[0];
        let plain = Plain::of(contents.kind(record)).unwrap();
        let Reading::Shape(shape) = read_plain(&contents, plain, record) else {
            panic!("{entity} is not read");
        };
        match shape {
            Shape::Line { start, end } => [start, end].concat(),
            Shape::Arc {
                centre,
                radius,
                start,
                sweep,
                normal,
            } => [&centre[..], &[radius, start, sweep], &normal].concat(),
            Shape::Polyline {
                vertices,
                is_closed,
                normal,
            } => {
                let corners = vertices
                    .iter()
                    .flat_map(|it| [it.at[0], it.at[1], it.bulge, it.start_width, it.end_width]);
                let rest = [f64::from(u8::from(is_closed))].into_iter().chain(normal);
                corners.chain(rest).collect()
            }
            Shape::Text(it) => [&it.at[..], &it.along, &[it.height], &it.normal].concat(),
            Shape::Insert(it) => {
                let count = it.count.map(f64::from);
                let angle = [it.angle];
                [
                    &it.at[..],
                    &it.scale,
                    &angle,
                    &count,
                    &it.spacing,
                    &it.normal,
                ]
                .concat()
            }
            other => panic!("{other:?}"),
        }
    }

    /// The same from the `dxf` crate.
    fn theirs(entity: &str) -> Vec<f64> {
        let file = format!(
            "{}{}0\nENDSEC\n0\nEOF\n",
            pairs("0 SECTION, 2 ENTITIES"),
            pairs(entity)
        );
        let drawing = dxf::Drawing::load(&mut file.as_bytes()).unwrap();
        let point = |it: &dxf::Point| [it.x, it.y, it.z];
        let vector = |it: &dxf::Vector| [it.x, it.y, it.z];
        let sweep = |from: f64, to: f64| match (to - from).rem_euclid(360.0) {
            0.0 => 360.0_f64.to_radians(),
            other => other.to_radians(),
        };
        match &drawing.entities().next().unwrap().specific {
            EntityType::Line(it) => [point(&it.p1), point(&it.p2)].concat(),
            EntityType::Circle(it) => {
                let turn = [it.radius, 0.0, sweep(0.0, 360.0)];
                [point(&it.center), turn, vector(&it.normal)].concat()
            }
            EntityType::Arc(it) => {
                let (from, to) = (it.start_angle, it.end_angle);
                let turn = [it.radius, from.to_radians(), sweep(from, to)];
                [point(&it.center), turn, vector(&it.normal)].concat()
            }
            EntityType::LwPolyline(it) => {
                let corners = it.vertices.iter().flat_map(|own| {
                    let widths = [own.starting_width, own.ending_width];
                    let widths = if widths == [0.0; 2] {
                        [it.constant_width; 2]
                    } else {
                        widths
                    };
                    [own.x, own.y, own.bulge, widths[0], widths[1]]
                });
                let is_closed = f64::from(u8::from(it.is_closed()));
                let rest = [is_closed]
                    .into_iter()
                    .chain(vector(&it.extrusion_direction));
                corners.chain(rest).collect()
            }
            EntityType::Text(it) => {
                let across = it.horizontal_text_justification;
                let is_first = matches!(across, Across::Aligned | Across::Fit)
                    || across == Across::Left && it.vertical_text_justification == Up::Baseline;
                let at = if is_first {
                    &it.location
                } else {
                    &it.second_alignment_point
                };
                let (sin, cos) = exact_sin_cos(it.rotation.to_radians());
                let height = [it.text_height];
                [
                    &point(at)[..],
                    &[cos, sin, 0.0],
                    &height,
                    &vector(&it.normal),
                ]
                .concat()
            }
            EntityType::Insert(it) => {
                let scale = [it.x_scale_factor, it.y_scale_factor, it.z_scale_factor];
                let count = [it.column_count, it.row_count].map(f64::from);
                let spacing = [it.column_spacing, it.row_spacing];
                let turn = [it.rotation.to_radians()];
                let normal = vector(&it.extrusion_direction);
                [
                    &point(&it.location)[..],
                    &scale,
                    &turn,
                    &count,
                    &spacing,
                    &normal,
                ]
                .concat()
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn entities_are_read_as_the_crate_reads_them() {
        for entity in [
            "0 LINE, 8 0, 10 1.25, 20 -2e1, 30 3, 11 4, 21 .5, 31 6.0",
            "0 LINE, 8 0, 10 1, 10 2, 62 3, 21 7",
            "0 CIRCLE, 10 1, 20 2, 40 7.5",
            "0 CIRCLE, 10 1, 20 2, 30 9, 40 7.5, 210 0, 220 0.6, 230 -0.8",
            "0 ARC, 10 1, 20 2, 40 3, 50 350, 51 10",
            "0 ARC, 10 1, 20 2, 40 3, 50 90",
            "0 ARC, 10 1, 20 2, 40 3, 50 45, 51 45, 230 -1",
            "0 LWPOLYLINE, 90 2, 70 1, 38 4, 10 1, 20 2, 42 0.5, 10 3, 20 4, 40 1, 41 2, 10 5, 20 6",
            "0 LWPOLYLINE, 43 0.25, 70 128, 10 1, 20 2, 10 3, 20 4, 40 6, 210 0, 220 0, 230 -1",
            "0 TEXT, 10 1, 20 2, 1 HALL",
            "0 TEXT, 10 1, 20 2, 11 5, 21 6, 40 7, 50 30, 72 1, 1 HALL",
            "0 TEXT, 10 1, 20 2, 11 5, 21 6, 40 7, 72 5, 73 2, 1 HALL",
            "0 TEXT, 10 1, 20 2, 11 5, 21 6, 40 7, 72 9, 73 7, 1 HALL",
            "0 TEXT, 10 1, 20 2, 11 5, 21 6, 40 7, 73 3, 1 HALL",
            "0 INSERT, 2 DOOR, 10 1, 20 2",
            "0 INSERT, 2 DOOR, 10 1, 20 2, 41 -1, 42 2, 43 3, 44 5, 45 6, 50 45, 70 3, 71 2",
        ] {
            assert_eq!(own(entity), theirs(entity), "{entity}");
        }
    }
}
