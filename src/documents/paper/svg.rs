//! Writes a sheet as SVG: one element a line, three decimals, layers as top groups, text as text.
//!
//! Built with the `svg` crate's plain `Element`, which writes the content of a text on one line without added blanks (its
//! typed text element would break the line). User unit = 1 mm, so the file plots at its size.

use super::fonts::{FAMILY, font_faces, font_size};
use super::model::{Anchor, Form, Group, Item, Shape, Sheet, Spot, Text, Weight};
use super::style::{Dash, Fill, Ink, PENS, Stroke, dimension};
use std::collections::BTreeSet;
use std::fmt::Write;
use svg::node::Node;
use svg::node::element::Element;

/// The bytes of the SVG file.
#[must_use]
pub fn to_svg(sheet: &Sheet) -> Vec<u8> {
    let mut file = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    // Writing to a string cannot fail.
    let _ = writeln!(file, "{}", root(sheet, Some(sheet_style(&[sheet]))));
    file.into_bytes()
}

/// The same without style sheet and declaration: for a page that carries [`sheet_style`] once for all its sheets.
#[must_use]
pub fn to_bare_svg(sheet: &Sheet) -> String {
    root(sheet, None).to_string()
}

/// Font and classes of some sheets.
#[must_use]
pub fn sheet_style(sheets: &[&Sheet]) -> String {
    let mut used = BTreeSet::new();
    for layer in sheets.iter().flat_map(|sheet| &sheet.layers) {
        characters(&layer.items, &mut used);
    }
    format!("{}{}", font_faces(&used), style_sheet())
}

fn root(sheet: &Sheet, style: Option<String>) -> Element {
    let mut root = Element::new("svg");
    root.assign("xmlns", "http://www.w3.org/2000/svg");
    root.assign(
        "xmlns:inkscape",
        "http://www.inkscape.org/namespaces/inkscape",
    );
    root.assign("width", format!("{}mm", number(sheet.width)));
    root.assign("height", format!("{}mm", number(sheet.height)));
    root.assign(
        "viewBox",
        format!("0 0 {} {}", number(sheet.width), number(sheet.height)),
    );
    root.assign("data-sheet", sheet.number.as_str());
    root.assign("data-paper", sheet.paper.as_str());
    for (name, value) in &sheet.data {
        root.assign(format!("data-{name}"), value.as_str());
    }
    root.append(worded("title", &sheet.title));
    root.append(worded("desc", &sheet.description));
    if let Some(style) = style {
        let mut element = Element::new("style");
        element.append(svg::node::Blob::new(style));
        root.append(element);
    }
    let mut paper = Element::new("rect");
    paper.assign("id", "paper");
    paper.assign("class", "wht");
    paper.assign("width", number(sheet.width));
    paper.assign("height", number(sheet.height));
    root.append(paper);
    for layer in &sheet.layers {
        if layer.items.is_empty() {
            continue;
        }
        let mut element = group(layer);
        element.assign("inkscape:groupmode", "layer");
        element.assign("inkscape:label", layer.title.as_str());
        root.append(element);
    }
    root
}

/// A number with at most three decimals and no trailing zeros.
#[must_use]
pub fn number(value: f64) -> String {
    let mut text = format!("{value:.3}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

fn style_sheet() -> String {
    let mut css = format!(
        "text{{font-family:\"{FAMILY}\",Arial,Helvetica,sans-serif;font-kerning:none;font-variant-ligatures:none;fill:#000;stroke:none;white-space:pre}}\n.b{{font-weight:700}}\n.n{{fill:none}}\n"
    );
    let classes: Vec<String> = PENS.iter().map(|row| format!(".{}", row.class)).collect();
    let _ = writeln!(
        css,
        "{}{{stroke:#000;stroke-linejoin:miter;stroke-linecap:butt}}",
        classes.join(",")
    );
    for row in PENS {
        let _ = writeln!(css, ".{}{{stroke-width:{}}}", row.class, row.width);
    }
    for (class, pattern) in Dash::ALL.iter().filter_map(|dash| dash.row()) {
        let _ = writeln!(css, ".{class}{{stroke-dasharray:{pattern}}}");
    }
    for row in Ink::ALL.iter().filter_map(|ink| ink.row()) {
        let _ = writeln!(
            css,
            ".{}{{stroke:{}}}\n.{}{{fill:{}}}",
            row.stroke_class, row.stroke, row.text_class, row.text
        );
    }
    for (class, colour) in Fill::ALL.iter().filter_map(|fill| fill.row()) {
        let _ = writeln!(css, ".{class}{{fill:{colour}}}");
    }
    css
}

fn characters(items: &[Item], used: &mut BTreeSet<char>) {
    for item in items {
        match item {
            Item::Group(group) => characters(&group.items, used),
            Item::Text(text) => used.extend(text.words.chars()),
            Item::Shape(_) => {}
        }
    }
}

fn worded(name: &str, words: &str) -> Element {
    let mut element = Element::new(name);
    element.append(svg::node::Text::new(words));
    element
}

fn group(group: &Group) -> Element {
    let mut element = Element::new("g");
    if !group.id.is_empty() {
        element.assign("id", group.id.as_str());
    }
    for (name, value) in &group.data {
        element.assign(format!("data-{name}"), value.as_str());
    }
    if !group.title.is_empty() {
        element.append(worded("title", &group.title));
    }
    let mut link = (!group.link.is_empty()).then(|| {
        let mut link = Element::new("a");
        link.assign("href", group.link.as_str());
        if !group.title.is_empty() {
            link.assign("aria-label", group.title.as_str());
        }
        link
    });
    let inside = link.as_mut().unwrap_or(&mut element);
    for item in &group.items {
        match item {
            Item::Group(inner) => inside.append(self::group(inner)),
            Item::Shape(shape) => inside.append(self::shape(shape)),
            Item::Text(text) => {
                if text.is_masked {
                    inside.append(mask(text));
                }
                inside.append(self::text(text));
            }
        }
    }
    if let Some(link) = link {
        element.append(link);
    }
    element
}

fn classes(stroke: Option<Stroke>, fill: Fill) -> String {
    let mut classes = Vec::new();
    if let Some(stroke) = stroke {
        classes.push(stroke.pen.row().class);
        classes.extend(stroke.dash.row().map(|(class, _)| class));
        classes.extend(stroke.ink.row().map(|row| row.stroke_class));
    }
    classes.push(fill.row().map_or("n", |(class, _)| class));
    classes.join(" ")
}

fn shape(shape: &Shape) -> Element {
    let (name, attributes) = form(&shape.form);
    let mut element = Element::new(name);
    element.assign("class", classes(shape.stroke, shape.fill));
    if matches!(shape.form, Form::Region(_)) {
        element.assign("fill-rule", "evenodd");
    }
    for (name, value) in attributes {
        element.assign(name, value);
    }
    element
}

fn form(form: &Form) -> (&'static str, Vec<(&'static str, String)>) {
    match form {
        Form::Line(a, b) => (
            "line",
            vec![
                ("x1", number(a.x)),
                ("y1", number(a.y)),
                ("x2", number(b.x)),
                ("y2", number(b.y)),
            ],
        ),
        Form::Polyline(points) => ("polyline", vec![("points", spots(points))]),
        Form::Polygon(points) => ("polygon", vec![("points", spots(points))]),
        Form::Region(rings) => {
            let mut d = String::new();
            for ring in rings {
                trail(&mut d, ring);
                d.push('Z');
            }
            ("path", vec![("d", d)])
        }
        Form::Area(area) => (
            "rect",
            vec![
                ("x", number(area.x0)),
                ("y", number(area.y0)),
                ("width", number(area.width())),
                ("height", number(area.height())),
            ],
        ),
        Form::Circle(centre, radius) => (
            "circle",
            vec![
                ("cx", number(centre.x)),
                ("cy", number(centre.y)),
                ("r", number(*radius)),
            ],
        ),
        Form::Arc {
            centre,
            radius,
            start_deg,
            sweep_deg,
        } => {
            let from = on_circle(*centre, *radius, *start_deg);
            let to = on_circle(*centre, *radius, start_deg + sweep_deg);
            let large = i32::from(sweep_deg.abs() > 180.0);
            // SVG's sweep flag turns with y down: clockwise as seen.
            let sweep = i32::from(*sweep_deg < 0.0);
            let r = number(*radius);
            let d = format!(
                "M{} {}A{r} {r} 0 {large} {sweep} {} {}",
                number(from.x),
                number(from.y),
                number(to.x),
                number(to.y)
            );
            ("path", vec![("d", d)])
        }
        Form::Hatch(lines) => {
            let mut d = String::new();
            for (a, b) in lines {
                trail(&mut d, &[*a, *b]);
            }
            ("path", vec![("d", d)])
        }
    }
}

/// The point of a circle at an angle counter-clockwise as seen from the paper's x.
#[must_use]
pub(super) fn on_circle(centre: Spot, radius: f64, degrees: f64) -> Spot {
    let (sin, cos) = degrees.to_radians().sin_cos();
    Spot {
        x: centre.x + radius * cos,
        y: centre.y - radius * sin,
    }
}

fn trail(d: &mut String, points: &[Spot]) {
    for (i, p) in points.iter().enumerate() {
        let letter = if i == 0 { 'M' } else { 'L' };
        let _ = write!(d, "{letter}{} {}", number(p.x), number(p.y));
    }
}

fn spots(points: &[Spot]) -> String {
    let pairs: Vec<String> = points
        .iter()
        .map(|p| format!("{},{}", number(p.x), number(p.y)))
        .collect();
    pairs.join(" ")
}

fn turned(element: &mut Element, text: &Text) {
    if text.turn_deg != 0.0 {
        element.assign(
            "transform",
            format!(
                "rotate({} {} {})",
                number(-text.turn_deg),
                number(text.at.x),
                number(text.at.y)
            ),
        );
    }
}

fn text(text: &Text) -> Element {
    let mut element = worded("text", &text.words);
    element.assign("x", number(text.at.x));
    element.assign("y", number(text.at.y));
    element.assign("font-size", number(font_size(text.cap)));
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => element.assign("text-anchor", "middle"),
        Anchor::End => element.assign("text-anchor", "end"),
    }
    let mut classes = Vec::new();
    if text.weight == Weight::Bold {
        classes.push("b");
    }
    classes.extend(text.ink.row().map(|row| row.text_class));
    if !classes.is_empty() {
        element.assign("class", classes.join(" "));
    }
    turned(&mut element, text);
    element
}

fn mask(text: &Text) -> Element {
    let area = text.local_box().grown(dimension::MASK);
    let mut element = Element::new("rect");
    element.assign("class", "wht");
    element.assign("x", number(text.at.x + area.x0));
    element.assign("y", number(text.at.y + area.y0));
    element.assign("width", number(area.width()));
    element.assign("height", number(area.height()));
    turned(&mut element, text);
    element
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::canvas::{Canvas, Lettered};
    use crate::documents::paper::model::spot;

    #[test]
    fn text_stays_on_its_line_and_is_escaped() {
        let mut canvas = Canvas::new();
        canvas.text(spot(1.0, 2.0), "a < b & c", Lettered::cap(2.4).upwards());
        let sheet = Sheet {
            layers: vec![canvas.into_group("notes", "Notes")],
            ..Sheet::default()
        };
        let file = String::from_utf8(to_svg(&sheet)).unwrap();
        assert!(file.contains(">a &lt; b &amp; c</text>"), "{file}");
        assert!(file.contains("rotate(-90 1 2)"));
    }

    #[test]
    fn numbers_have_three_decimals_at_most() {
        for (value, expected) in [
            (0.333_333, "0.333"),
            (2.5, "2.5"),
            (-0.000_1, "0"),
            (1300.0, "1300"),
        ] {
            assert_eq!(number(value), expected);
        }
    }
}
