//! Writes groups, shapes and texts of a sheet straight into one text.
//!
//! ```text
//!   Group ──► <g …>            Shape ──► <line …/>      Text ──► <text …>words</text>
//! ```
//!
//! Attributes stand in the order of their names and values are escaped, as the `svg` crate writes them. Refused: an element
//! tree for these too; it took three times as long.

use super::fonts::font_size;
use super::model::{Anchor, Area, Form, Group, Item, Shape, Spot, Text, Weight, on_circle, spot};
use super::style::{Fill, Stroke, dimension};
use super::svg::write_number;

/// Writes a layer: a top group that vector editors show as one. Ends with a line break.
pub(super) fn write_layer(out: &mut String, layer: &Group) {
    write_group(out, layer, true);
}

fn write_group(out: &mut String, group: &Group, is_layer: bool) {
    out.push_str("<g");
    let mut data: Vec<&(String, String)> = group.data.iter().collect();
    data.sort_by_key(|(name, _)| name);
    for (name, value) in data {
        out.push_str(" data-");
        out.push_str(name);
        push_value(out, value);
    }
    if !group.id.is_empty() {
        attribute(out, "id", &group.id);
    }
    if is_layer {
        attribute(out, "inkscape:groupmode", "layer");
        attribute(out, "inkscape:label", &group.title);
    }
    if group.title.is_empty() && group.items.is_empty() && group.link.is_empty() {
        out.push_str("/>\n");
        return;
    }
    out.push_str(">\n");
    if !group.title.is_empty() {
        out.push_str("<title>");
        escape(out, &group.title);
        out.push_str("</title>\n");
    }
    let is_linked = !group.link.is_empty();
    if is_linked {
        out.push_str("<a");
        if !group.title.is_empty() {
            attribute(out, "aria-label", &group.title);
        }
        attribute(out, "href", &group.link);
        out.push_str(">\n");
    }
    for item in &group.items {
        match item {
            Item::Group(inner) => write_group(out, inner, false),
            Item::Shape(shape) => write_shape(out, shape),
            Item::Text(text) => write_text(out, text),
        }
    }
    out.push_str(if is_linked { "</a>\n</g>\n" } else { "</g>\n" });
}

fn attribute(out: &mut String, name: &str, value: &str) {
    out.push(' ');
    out.push_str(name);
    push_value(out, value);
}

fn push_value(out: &mut String, value: &str) {
    out.push_str("=\"");
    if !value
        .bytes()
        .any(|it| matches!(it, b'"' | b'\'' | b'&' | b'<' | b'>'))
    {
        out.push_str(value);
        out.push('"');
        return;
    }
    for c in value.chars() {
        match c {
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            _ => escape_one(out, c),
        }
    }
    out.push('"');
}

fn escape(out: &mut String, words: &str) {
    if !words.bytes().any(|it| matches!(it, b'&' | b'<' | b'>')) {
        out.push_str(words);
        return;
    }
    for c in words.chars() {
        escape_one(out, c);
    }
}

fn escape_one(out: &mut String, c: char) {
    match c {
        '&' => out.push_str("&amp;"),
        '<' => out.push_str("&lt;"),
        '>' => out.push_str("&gt;"),
        _ => out.push(c),
    }
}

fn measure(out: &mut String, name: &str, value: f64) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    write_number(out, value);
    out.push('"');
}

fn begin(out: &mut String, name: &str, shape: &Shape) {
    out.push('<');
    out.push_str(name);
    out.push_str(" class=\"");
    push_classes(out, shape.stroke, shape.fill);
    out.push('"');
}

fn push_classes(out: &mut String, stroke: Option<Stroke>, fill: Fill) {
    if let Some(stroke) = stroke {
        out.push_str(stroke.pen.row().class);
        out.push(' ');
        if let Some((class, _)) = stroke.dash.row() {
            out.push_str(class);
            out.push(' ');
        }
        if let Some(row) = stroke.ink.row() {
            out.push_str(row.stroke_class);
            out.push(' ');
        }
    }
    out.push_str(fill.row().map_or("n", |(class, _)| class));
}

fn write_shape(out: &mut String, shape: &Shape) {
    match &shape.form {
        Form::Line(a, b) => {
            begin(out, "line", shape);
            for (name, value) in [("x1", a.x), ("x2", b.x), ("y1", a.y), ("y2", b.y)] {
                measure(out, name, value);
            }
        }
        Form::Polyline(points) => points_of(out, "polyline", shape, points),
        Form::Polygon(points) => points_of(out, "polygon", shape, points),
        Form::Region(rings) => {
            begin(out, "path", shape);
            out.push_str(" d=\"");
            for ring in rings {
                trail(out, ring);
                out.push('Z');
            }
            out.push_str("\" fill-rule=\"evenodd\"");
        }
        Form::Area(area) => {
            begin(out, "rect", shape);
            write_area(out, area);
        }
        Form::Circle(centre, radius) => {
            begin(out, "circle", shape);
            for (name, value) in [("cx", centre.x), ("cy", centre.y), ("r", *radius)] {
                measure(out, name, value);
            }
        }
        Form::Arc {
            centre,
            radius,
            start_deg,
            sweep_deg,
        } => {
            begin(out, "path", shape);
            out.push_str(" d=\"M");
            pair(out, on_circle(*centre, *radius, *start_deg), ' ');
            out.push('A');
            pair(out, spot(*radius, *radius), ' ');
            out.push_str(if sweep_deg.abs() > 180.0 {
                " 0 1 "
            } else {
                " 0 0 "
            });
            // SVG's sweep flag turns with y down: clockwise as seen.
            out.push_str(if *sweep_deg < 0.0 { "1 " } else { "0 " });
            pair(out, on_circle(*centre, *radius, start_deg + sweep_deg), ' ');
            out.push('"');
        }
        Form::Hatch(lines) => {
            begin(out, "path", shape);
            out.push_str(" d=\"");
            for (a, b) in lines {
                trail(out, &[*a, *b]);
            }
            out.push('"');
        }
    }
    out.push_str("/>\n");
}

fn write_area(out: &mut String, area: &Area) {
    for (name, value) in [
        ("height", area.height()),
        ("width", area.width()),
        ("x", area.x0),
        ("y", area.y0),
    ] {
        measure(out, name, value);
    }
}

fn points_of(out: &mut String, name: &str, shape: &Shape, points: &[Spot]) {
    begin(out, name, shape);
    out.push_str(" points=\"");
    for (i, p) in points.iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        pair(out, *p, ',');
    }
    out.push('"');
}

fn pair(out: &mut String, at: Spot, between: char) {
    write_number(out, at.x);
    out.push(between);
    write_number(out, at.y);
}

fn trail(out: &mut String, points: &[Spot]) {
    for (i, p) in points.iter().enumerate() {
        out.push(if i == 0 { 'M' } else { 'L' });
        pair(out, *p, ' ');
    }
}

fn write_text(out: &mut String, text: &Text) {
    if text.is_masked {
        write_mask(out, text);
    }
    out.push_str("<text");
    let bold = (text.weight == Weight::Bold).then_some("b");
    let ink = text.ink.row().map(|row| row.text_class);
    match (bold, ink) {
        (Some(bold), Some(ink)) => attribute(out, "class", &format!("{bold} {ink}")),
        (Some(class), None) | (None, Some(class)) => attribute(out, "class", class),
        (None, None) => {}
    }
    measure(out, "font-size", font_size(text.cap));
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => attribute(out, "text-anchor", "middle"),
        Anchor::End => attribute(out, "text-anchor", "end"),
    }
    turn(out, text);
    measure(out, "x", text.at.x);
    measure(out, "y", text.at.y);
    out.push('>');
    escape(out, &text.words);
    out.push_str("</text>\n");
}

fn turn(out: &mut String, text: &Text) {
    if text.turn_deg != 0.0 {
        out.push_str(" transform=\"rotate(");
        write_number(out, -text.turn_deg);
        out.push(' ');
        pair(out, text.at, ' ');
        out.push_str(")\"");
    }
}

/// The white patch under a text.
fn write_mask(out: &mut String, text: &Text) {
    let area = text.local_box().grown(dimension::MASK);
    out.push_str("<rect class=\"wht\"");
    measure(out, "height", area.height());
    turn(out, text);
    measure(out, "width", area.width());
    measure(out, "x", text.at.x + area.x0);
    measure(out, "y", text.at.y + area.y0);
    out.push_str("/>\n");
}
