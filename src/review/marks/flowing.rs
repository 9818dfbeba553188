//! Texts that run along a line or flow in a region: where they stand, as far as the file says it.

use super::drafts::far;
use super::drawn::{Lines, Words};
use super::style::length;
use super::trail::{shape, straightened, transform};
use crate::documents::paper::fonts::cap_ratio;
use crate::documents::paper::{Anchor, Area, Spot, spot};
use kurbo::Affine;
use roxmltree::Node;

/// From line to line where a text flows by itself, of the letters' size.
pub(super) const FLOWS: f64 = 1.25;

/// `x` and `y` of a node, as a shift.
pub(super) fn at(node: Node<'_, '_>) -> (f64, f64) {
    let number = |name: &str| node.attribute(name).and_then(length).unwrap_or_default();
    (number("x"), number("y"))
}

/// The address of what an element refers to.
pub(super) fn href<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    let found = node.attributes().find(|it| it.name() == "href");
    found.map(|it| it.value())
}

/// The lines of a shape under a transform beside its own.
pub(super) fn lines_of(node: Node<'_, '_>, to_paper: Affine) -> Option<Lines> {
    let own = transform(node.attribute("transform").unwrap_or_default());
    shape(node).map(|path| straightened(&path, to_paper * own))
}

/// The box of a shape, or of the clone of one, in the units round it.
///
/// - `named`: what an address of the same file names.
pub(super) fn box_of<'a, 'input>(
    node: Node<'a, 'input>,
    named: &impl Fn(&str) -> Option<Node<'a, 'input>>,
) -> Option<Area> {
    let lines = if node.tag_name().name() == "use" {
        let own = transform(node.attribute("transform").unwrap_or_default());
        lines_of(named(href(node)?)?, own * Affine::translate(at(node)))
    } else {
        lines_of(node, Affine::IDENTITY)
    };
    let points = lines?.runs.into_iter().flat_map(|it| it.points);
    Area::around(&points.collect::<Vec<_>>())
}

/// How many lines a text takes that is so wide in a region.
pub(super) fn n_lines(wide: f64, region: f64) -> f64 {
    (wide / region.max(1e-6)).ceil().clamp(1.0, 1000.0)
}

/// Where a text runs along a line, and the box of it; what goes beyond the line's end is not seen.
///
/// - `words`: as it would stand level.
/// - `start`: where on the line it begins, mm or a share of it.
pub(super) fn along(lines: &Lines, words: &Words, start: Start) -> Option<(Words, Area)> {
    let pieces = || lines.runs.iter().flat_map(|it| it.pieces());
    let whole: f64 = pieces().map(|(a, b)| far(a, b)).sum();
    let level = Words {
        turn_deg: 0.0,
        ..words.clone()
    };
    let wide = level.area().width();
    let from = match start {
        Start::Share(share) => share * whole,
        Start::Mm(mm) => mm,
    };
    let from = match words.anchor {
        Anchor::Middle => from - wide / 2.0,
        Anchor::End => from - wide,
        Anchor::Start => from,
    };
    let (from, to) = (from.clamp(0.0, whole), (from + wide).clamp(0.0, whole));
    let high = words.size * cap_ratio();
    let (mut gone, mut first, mut seen) = (0.0, None, Vec::new());
    for (a, b) in pieces() {
        let long = far(a, b);
        if long > 1e-9 && gone + long >= from && gone <= to {
            let [x, y] = [(b.x - a.x) / long, (b.y - a.y) / long];
            for end in [from, to] {
                let off = (end - gone).clamp(0.0, long);
                let p = spot(a.x + x * off, a.y + y * off);
                let turn_deg = -y.atan2(x).to_degrees();
                first.get_or_insert((p, turn_deg));
                seen.extend([p, spot(p.x + y * high, p.y - x * high)]);
            }
        }
        gone += long;
    }
    let (at, turn_deg): (Spot, f64) = first?;
    let words = Words {
        at,
        turn_deg,
        anchor: Anchor::Start,
        ..words.clone()
    };
    Some((words, Area::around(&seen)?))
}

/// Where on a line a text begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Start {
    /// So far along it, mm.
    Mm(f64),
    /// At a share of it.
    Share(f64),
}

impl Start {
    /// As `startOffset` says it.
    ///
    /// - `scale`: millimetres of one user unit.
    pub(super) fn of(text: &str, scale: f64) -> Self {
        match text.trim().strip_suffix('%') {
            Some(share) => Self::Share(share.trim().parse().unwrap_or(0.0) / 100.0),
            None => Self::Mm(length(text).unwrap_or_default() * scale),
        }
    }
}

/// The one child of a `switch` that is shown whatever the reader's language is.
pub(super) fn shown_of<'a, 'input>(node: Node<'a, 'input>) -> Option<Node<'a, 'input>> {
    let can_show = |it: &Node<'_, '_>| it.is_element() && it.tag_name().name() != "foreignObject";
    let is_plain = |it: &Node<'_, '_>| {
        let mut names = it.attributes().map(|it| it.name().to_owned());
        !names.any(|it| it == "systemLanguage" || it.starts_with("required"))
    };
    let mut plain = node.children().filter(|it| can_show(it) && is_plain(it));
    plain.next().or_else(|| node.children().find(can_show))
}

#[cfg(test)]
mod tests {
    use super::super::reader::read_svg;

    fn area(text: &str) -> [f64; 4] {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" viewBox=\"0 0 200 200\">{text}</svg>"
        );
        let drawing = read_svg(text.as_bytes()).unwrap();
        let words = drawing.items.iter().find(|it| !it.words().is_empty());
        let area = words.unwrap().area;
        [area.x0, area.y0, area.x1, area.y1].map(f64::round)
    }

    #[test]
    fn words_along_a_line_stand_where_it_leads() {
        let down = "<defs><path id=\"p\" d=\"M100 50V150\"/></defs><text font-size=\"5\"><textPath href=\"#p\">Down the line</textPath></text>";
        let [x0, y0, x1, y1] = area(down);
        assert!((x0, y0) == (100.0, 50.0) && x1 < 105.0 && y1 > 75.0);
        let half = down.replace("href", "startOffset=\"50%\" href");
        assert!((area(&half)[1] - 100.0).abs() < 1.0, "{:?}", area(&half));
        let ended = down.replace(
            "<textPath",
            "<textPath style=\"text-anchor:end\" startOffset=\"100\"",
        );
        assert!((area(&ended)[3] - 150.0).abs() < 1.0, "{:?}", area(&ended));
    }

    #[test]
    fn words_that_flow_stand_in_their_region_whatever_it_is_made_of() {
        let box_ = "<path id=\"r\" d=\"M70 80h20v30h-20z\"/>";
        let flow = |region: &str| {
            format!(
                "<flowRoot font-size=\"5\"><flowRegion>{region}</flowRegion><flowPara>Words that flow in a box</flowPara></flowRoot>"
            )
        };
        let used = format!("<defs>{box_}</defs>{}", flow("<use href=\"#r\"/>"));
        let inside = format!(
            "<defs>{box_}</defs><text style=\"shape-inside:url(#r);font-size:5px\">Words that flow in a box</text>"
        );
        for text in [flow(box_), used, inside] {
            let [x0, y0, x1, y1] = area(&text);
            assert!(
                x0 == 70.0 && y0 >= 80.0 && x1 <= 90.0 && y1 > 92.0,
                "{text}"
            );
        }
    }

    #[test]
    fn words_set_from_top_to_bottom_reach_down() {
        let [x0, y0, x1, y1] = area(
            "<text x=\"100\" y=\"90\" style=\"font-size:5px;writing-mode:tb\">Vertical words</text>",
        );
        assert!(y1 - y0 > 25.0 && x1 - x0 < 8.0 && (y0 - 90.0).abs() < 1.0);
    }

    #[test]
    fn of_a_switch_one_child_is_read() {
        let text = "<svg xmlns=\"http://www.w3.org/2000/svg\"><switch><text systemLanguage=\"xx\">No</text><text>Yes</text></switch></svg>";
        let drawing = read_svg(text.as_bytes()).unwrap();
        assert_eq!(drawing.items.len(), 1);
        assert_eq!(drawing.items[0].words(), "Yes");
    }
}
