//! Writes a sheet as SVG: one element a line, three decimals, layers as top groups, text as text.
//!
//! The root is built with the `svg` crate's plain `Element`; what it holds is written straight into one text by
//! `svg_items.rs`, since a package has half a million elements. User unit = 1 mm, so the file plots at its size.

use super::fonts::{FAMILY, font_faces};
use super::model::{Item, Sheet};
use super::style::{Dash, Fill, Ink, PENS};
use super::svg_items::write_layer;
use std::cmp::Ordering;
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
    // For readers that know no `white-space` of a stylesheet: two spaces in a text are two.
    root.assign("xml:space", "preserve");
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
    let mut layers = String::new();
    for layer in sheet.layers.iter().filter(|it| !it.items.is_empty()) {
        write_layer(&mut layers, layer);
    }
    if layers.pop().is_some() {
        root.append(svg::node::Blob::new(layers));
    }
    root
}

/// A number with at most three decimals and no trailing zeros.
#[must_use]
pub fn number(value: f64) -> String {
    let mut text = String::new();
    write_number(&mut text, value);
    text
}

/// Writes [`number`].
pub(super) fn write_number(out: &mut String, value: f64) {
    let value_over = value.abs();
    let thousandths = value_over * 1e3;
    if thousandths.is_nan() || thousandths >= 1e12 {
        let text = format!("{value:.3}");
        out.push_str(text.trim_end_matches('0').trim_end_matches('.'));
        return;
    }
    let low = thousandths.floor();
    // What rounding took from the product: only a half needs it to know its side.
    let is_up = match (thousandths - low).total_cmp(&0.5) {
        Ordering::Less => false,
        Ordering::Greater => true,
        Ordering::Equal => match value_over.mul_add(1e3, -thousandths).partial_cmp(&0.0) {
            Some(Ordering::Less) => false,
            Some(Ordering::Greater) => true,
            // Halves go to the even digit.
            _ => (low * 0.5).fract() != 0.0,
        },
    };
    let whole = if is_up { low + 1.0 } else { low };
    // The whole number stands in the lowest bits once two to the power of 52 is added.
    let digits = (whole + 4_503_599_627_370_496.0).to_bits() & ((1 << 52) - 1);
    if value < 0.0 && digits > 0 {
        out.push('-');
    }
    write_whole(out, digits / 1000);
    let mut rest = u32::try_from(digits % 1000).unwrap_or_default();
    if rest > 0 {
        out.push('.');
        for place in [100, 10, 1] {
            if rest > 0 {
                out.extend(char::from_digit(rest / place, 10));
                rest %= place;
            }
        }
    }
}

/// Below a thousand million: what is left of [`write_number`]'s greatest number without its thousandths.
fn write_whole(out: &mut String, whole: u64) {
    let mut left = u32::try_from(whole).unwrap_or(u32::MAX);
    let mut digits = ['0'; 10];
    let mut first = digits.len();
    for (place, digit) in digits.iter_mut().enumerate().rev() {
        *digit = char::from_digit(left % 10, 10).unwrap_or('0');
        left /= 10;
        first = place;
        if left == 0 {
            break;
        }
    }
    out.extend(digits.iter().skip(first));
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
            // What every sheet carries anyway is not counted.
            Item::Text(text) => used.extend(text.words.chars().filter(|c| !matches!(c, ' '..='~'))),
            Item::Shape(_) => {}
        }
    }
}

fn worded(name: &str, words: &str) -> Element {
    let mut element = Element::new(name);
    element.append(svg::node::Text::new(words));
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
    fn spaces_are_kept_for_readers_without_stylesheets_too() {
        let file = String::from_utf8(to_svg(&Sheet::default())).unwrap();
        let root = file.lines().nth(1).unwrap();
        assert!(
            root.starts_with("<svg") && root.contains(" xml:space=\"preserve\""),
            "{root}"
        );
        assert!(file.contains("white-space:pre"));
    }

    #[test]
    fn numbers_have_three_decimals_at_most() {
        for (value, expected) in [
            (0.333_333, "0.333"),
            (2.5, "2.5"),
            (-0.000_1, "0"),
            (1300.0, "1300"),
            (-12.050_4, "-12.05"),
            (0.062_5, "0.062"),
            (0.187_5, "0.188"),
            (7e15, "7000000000000000"),
        ] {
            assert_eq!(number(value), expected);
        }
        for n in -40_000..40_000 {
            let value = f64::from(n) * 0.012_3;
            let slow = format!("{value:.3}");
            let slow = slow.trim_end_matches('0').trim_end_matches('.');
            assert_eq!(number(value), if slow == "-0" { "0" } else { slow });
            // Halves, and what lies a hair beside them.
            let half = f64::from(n) / 16_000.0;
            for value in [half, half.next_up(), half.next_down()] {
                let slow = format!("{value:.3}");
                let slow = slow.trim_end_matches('0').trim_end_matches('.');
                assert_eq!(
                    number(value),
                    if slow == "-0" { "0" } else { slow },
                    "{value:?}"
                );
            }
        }
    }
}
