//! Paints a sheet on a page of a PDF: the same items in the same order as the SVG, from the same tables.
//!
//! The sheet itself is painted, not its SVG: no style sheet has to be understood again, text keeps the advances it was
//! measured with, and a page takes a millisecond or two. That both say the same is a check against the outside
//! (`tests/outside/sheets.py`).

use super::fonts::{font_bytes, font_size, glyphs};
use super::model::{Area, Form, Group, Item, Shape, Sheet, Spot, Text, Weight, on_circle, spot};
use super::style::{self, dimension};
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, Paint, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

/// Points of a PDF page for one millimetre.
pub const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The two weights of the one font, read once for a document.
#[derive(Clone)]
pub struct PageFonts {
    regular: Font,
    bold: Font,
}

impl PageFonts {
    /// Reads them; `None` only if the font carried by the program were broken.
    #[must_use]
    pub fn read() -> Option<Self> {
        let font = |weight| Font::new(font_bytes(weight).into(), 0);
        Some(Self {
            regular: font(Weight::Regular)?,
            bold: font(Weight::Bold)?,
        })
    }

    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::Bold => self.bold.clone(),
        }
    }
}

/// Paints every layer of a sheet on the surface of a page of the sheet's size.
pub fn paint(surface: &mut Surface<'_>, sheet: &Sheet, fonts: &PageFonts) {
    let scale = single(POINTS_PER_MM);
    surface.push_transform(&Transform::from_scale(scale, scale));
    for layer in &sheet.layers {
        paint_group(surface, layer, fonts);
    }
    surface.pop();
}

/// A place of a page, where a click leads to another sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkPlace {
    /// Where, mm.
    pub area: Area,
    /// What the group's link says.
    pub target: String,
    /// What a reader sees.
    pub title: String,
}

/// Every linked group of a sheet that shows something, in drawing order.
#[must_use]
pub fn links(sheet: &Sheet) -> Vec<LinkPlace> {
    let mut found = Vec::new();
    for layer in &sheet.layers {
        links_in(layer, &mut found);
    }
    found
}

fn links_in(group: &Group, found: &mut Vec<LinkPlace>) {
    if !group.link.is_empty()
        && let Some(area) = extent(group)
    {
        found.push(LinkPlace {
            area,
            target: group.link.clone(),
            title: group.title.clone(),
        });
    }
    for item in &group.items {
        if let Item::Group(inner) = item {
            links_in(inner, found);
        }
    }
}

/// What a group covers, mm; `None` when it shows nothing.
#[must_use]
pub fn extent(group: &Group) -> Option<Area> {
    let parts = group.items.iter().filter_map(|item| match item {
        Item::Group(inner) => extent(inner),
        Item::Text(text) => Some(text.area()),
        Item::Shape(shape) => extent_of(&shape.form),
    });
    parts.reduce(|a, b| a.with(spot(b.x0, b.y0)).with(spot(b.x1, b.y1)))
}

fn extent_of(form: &Form) -> Option<Area> {
    match form {
        Form::Line(a, b) => Some(Area::of(*a, *b)),
        Form::Polyline(points) | Form::Polygon(points) => Area::around(points),
        Form::Region(rings) => Area::around(rings.first()?),
        Form::Area(area) => Some(*area),
        Form::Circle(centre, radius) | Form::Arc { centre, radius, .. } => {
            Some(Area::of(*centre, *centre).grown(*radius))
        }
        Form::Hatch(lines) => {
            let points: Vec<Spot> = lines.iter().flat_map(|(a, b)| [*a, *b]).collect();
            Area::around(&points)
        }
    }
}

fn paint_group(surface: &mut Surface<'_>, group: &Group, fonts: &PageFonts) {
    for item in &group.items {
        match item {
            Item::Group(inner) => paint_group(surface, inner, fonts),
            Item::Shape(shape) => paint_shape(surface, shape),
            Item::Text(text) => {
                if text.is_masked {
                    let patch = Form::Polygon(text.corners(dimension::MASK).to_vec());
                    surface.set_stroke(None);
                    surface.set_fill(filled("#fff", FillRule::NonZero));
                    if let Some(path) = path(&patch) {
                        surface.draw_path(&path);
                    }
                }
                paint_text(surface, text, fonts);
            }
        }
    }
}

fn paint_shape(surface: &mut Surface<'_>, shape: &Shape) {
    let Some(path) = path(&shape.form) else {
        return;
    };
    let rule = match shape.form {
        Form::Region(_) => FillRule::EvenOdd,
        _ => FillRule::NonZero,
    };
    let fill = shape.fill.row().and_then(|(_, ink)| filled(ink, rule));
    let stroke = shape.stroke.map(stroked);
    if fill.is_none() && stroke.is_none() {
        return;
    }
    surface.set_fill(fill);
    surface.set_stroke(stroke);
    surface.draw_path(&path);
}

fn paint_text(surface: &mut Surface<'_>, text: &Text, fonts: &PageFonts) {
    let ink = text.ink.row().map_or("#000", |row| row.text);
    surface.set_stroke(None);
    surface.set_fill(filled(ink, FillRule::NonZero));
    let line: Vec<KrillaGlyph> = glyphs(&text.words, text.weight)
        .into_iter()
        .map(|glyph| KrillaGlyph {
            glyph_id: GlyphId::new(u32::from(glyph.id)),
            text_range: glyph.bytes,
            x_advance: single(glyph.advance),
            x_offset: 0.0,
            y_offset: 0.0,
            y_advance: 0.0,
            location: None,
        })
        .collect();
    if text.turn_deg != 0.0 {
        // The page's y points down here: a turn counter-clockwise as seen is negative.
        surface.push_transform(&Transform::from_rotate_at(
            single(-text.turn_deg),
            single(text.at.x),
            single(text.at.y),
        ));
    }
    surface.draw_glyphs(
        point(spot(text.at.x + text.local_box().x0, text.at.y)),
        &line,
        fonts.of(text.weight),
        &text.words,
        single(font_size(text.cap)),
        false,
    );
    if text.turn_deg != 0.0 {
        surface.pop();
    }
}

fn filled(ink: &str, rule: FillRule) -> Option<Fill> {
    Some(Fill {
        paint: paint_of(ink),
        opacity: NormalizedF32::ONE,
        rule,
    })
}

fn stroked(stroke: style::Stroke) -> Stroke {
    let ink = stroke.ink.row().map_or("#000", |row| row.stroke);
    let dash = stroke.dash.row().map(|(_, pattern)| StrokeDash {
        array: pattern
            .split(' ')
            .filter_map(|part| part.parse().ok())
            .collect(),
        offset: 0.0,
    });
    Stroke {
        paint: paint_of(ink),
        width: single(stroke.pen.row().width),
        // As the style sheet of the SVG has it: SVG's own limit is 4.
        miter_limit: 4.0,
        dash,
        ..Stroke::default()
    }
}

/// A colour of the table: `#rgb` or `#rrggbb`.
fn paint_of(ink: &str) -> Paint {
    let digits: Vec<u8> = ink
        .chars()
        .filter_map(|c| c.to_digit(16))
        .filter_map(|digit| u8::try_from(digit).ok())
        .collect();
    let colour = match digits.as_slice() {
        [r, g, b] => rgb::Color::new(r * 17, g * 17, b * 17),
        [a, b, c, d, e, f] => rgb::Color::new(a * 16 + b, c * 16 + d, e * 16 + f),
        _ => rgb::Color::black(),
    };
    colour.into()
}

fn path(form: &Form) -> Option<Path> {
    let mut pen = PathBuilder::new();
    match form {
        Form::Line(a, b) => trail(&mut pen, &[*a, *b]),
        Form::Polyline(points) => trail(&mut pen, points),
        Form::Polygon(points) => {
            trail(&mut pen, points);
            pen.close();
        }
        Form::Region(rings) => {
            for ring in rings {
                trail(&mut pen, ring);
                pen.close();
            }
        }
        Form::Area(area) => {
            trail(&mut pen, &area.corners());
            pen.close();
        }
        Form::Circle(centre, radius) => {
            bow(&mut pen, *centre, *radius, 0.0, 360.0);
            pen.close();
        }
        Form::Arc {
            centre,
            radius,
            start_deg,
            sweep_deg,
        } => bow(&mut pen, *centre, *radius, *start_deg, *sweep_deg),
        Form::Hatch(lines) => {
            for (a, b) in lines {
                trail(&mut pen, &[*a, *b]);
            }
        }
    }
    pen.finish()
}

fn trail(pen: &mut PathBuilder, points: &[Spot]) {
    for (i, p) in points.iter().enumerate() {
        if i == 0 {
            pen.move_to(single(p.x), single(p.y));
        } else {
            pen.line_to(single(p.x), single(p.y));
        }
    }
}

/// Part of a circle as cubic curves of at most a quarter: handles of 4/3 tan(angle/4), off by 0.03 % of the radius.
fn bow(pen: &mut PathBuilder, centre: Spot, radius: f64, start_deg: f64, sweep_deg: f64) {
    let pieces = (1..=4).find(|n| sweep_deg.abs() <= 90.0 * f64::from(*n));
    let pieces = pieces.unwrap_or(4);
    let step = sweep_deg / f64::from(pieces);
    let handle = radius * 4.0 / 3.0 * (step.to_radians() / 4.0).tan();
    let tangent = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        spot(-sin * handle, -cos * handle)
    };
    let first = on_circle(centre, radius, start_deg);
    pen.move_to(single(first.x), single(first.y));
    for piece in 0..pieces {
        let from_deg = start_deg + step * f64::from(piece);
        let (from, to) = (
            on_circle(centre, radius, from_deg),
            on_circle(centre, radius, from_deg + step),
        );
        let (a, b) = (from + tangent(from_deg), to - tangent(from_deg + step));
        pen.cubic_to(
            single(a.x),
            single(a.y),
            single(b.x),
            single(b.y),
            single(to.x),
            single(to.y),
        );
    }
}

fn point(p: Spot) -> Point {
    Point::from_xy(single(p.x), single(p.y))
}

/// A number as a page holds it.
#[expect(
    clippy::cast_possible_truncation,
    reason = "millimetres on paper: seven digits are a ten-thousandth of a millimetre on the largest sheet"
)]
#[must_use]
pub fn single(value: f64) -> f32 {
    value as f32
}
