//! What a text of an SVG says, line by line, and where each line stands.

use super::drawn::Words;
use super::flowing::FLOWS;
use super::style::{Rules, Style, length};
use super::trail::numbers;
use crate::documents::paper::{Anchor, Area, spot};
use roxmltree::Node;

/// A gap in a line that is a blank, of the letters' size.
const BLANK: f64 = 0.2;
/// A shift that begins another line, of the letters' size; less is a letter set high or low.
const NEXT_LINE: f64 = 0.6;

/// What a text says.
pub(super) struct Spoken {
    /// Its lines, none of them blank.
    pub(super) lines: Vec<Line>,
    /// What holds for its first words.
    pub(super) style: Style,
}

/// One line of a text.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Line {
    /// What it says.
    pub(super) words: String,
    /// Where it stands, in the text's own units.
    pub(super) at: [f64; 2],
}

/// What an element says that is shown; `None` for nothing.
///
/// - `region`: where it flows, in its own units.
/// - `is_all`: what is hidden in it counts too.
pub(super) fn spoken(
    node: Node<'_, '_>,
    (style, rules): (&Style, &Rules),
    region: Option<Area>,
    is_all: bool,
) -> Option<Spoken> {
    let corner = region.map(|it| [it.x0, it.y0 + size(style)]);
    let mut voice = Voice {
        rules,
        lines: vec![Line::default()],
        pen: corner.unwrap_or_default(),
        style: None,
        is_all,
    };
    voice.place(node, style);
    voice.say(node, style);
    let Voice {
        mut lines, style, ..
    } = voice;
    lines.retain(|it| !it.words.trim().is_empty());
    Some(Spoken {
        lines,
        style: style?,
    })
}

/// Letter size, user units.
pub(super) fn size(style: &Style) -> f64 {
    length(style.get("font-size")).unwrap_or(16.0)
}

struct Voice<'a> {
    rules: &'a Rules,
    lines: Vec<Line>,
    /// Where the next words stand, as far as the file says it.
    pen: [f64; 2],
    style: Option<Style>,
    is_all: bool,
}

impl Voice<'_> {
    /// Takes over where an element says that it stands.
    fn place(&mut self, node: Node<'_, '_>, style: &Style) {
        let size = size(style);
        let first = |name: &str| numbers(node.attribute(name)?).first().copied();
        let (x, y) = (first("x"), first("y"));
        let shift = shift(node.attribute("dy").unwrap_or_default(), size);
        self.pen = [x.unwrap_or(self.pen[0]), y.unwrap_or(self.pen[1]) + shift];
        let pen = self.pen;
        let is_paragraph = matches!(node.tag_name().name(), "flowPara" | "flowDiv");
        let Some(line) = self.lines.last_mut() else {
            return;
        };
        if line.words.trim().is_empty() {
            line.at = pen;
            return;
        }
        let down = (pen[1] - line.at[1]).abs();
        if is_paragraph || (down > 1e-6 && (x.is_some() || down >= NEXT_LINE * size)) {
            let below = if is_paragraph { FLOWS * size } else { 0.0 };
            let at = [pen[0], pen[1] + below];
            self.pen = at;
            self.lines.push(Line {
                words: String::new(),
                at,
            });
        } else if shift.abs() > 1e-6 || down > 1e-6 || x.is_some_and(|x| is_apart(line, x, size)) {
            // A letter set high or low, or one that stands apart.
            line.words.push(' ');
        }
    }

    fn say(&mut self, node: Node<'_, '_>, style: &Style) {
        for part in node.children() {
            if part.is_text() {
                if style.is_invisible() && !self.is_all {
                    continue;
                }
                let words = part.text().unwrap_or_default();
                if self.style.is_none() && !words.trim().is_empty() {
                    self.style = Some(style.clone());
                }
                if let Some(line) = self.lines.last_mut() {
                    line.words.push_str(words);
                }
            } else if matches!(
                part.tag_name().name(),
                "tspan" | "textPath" | "a" | "flowPara" | "flowDiv" | "flowSpan"
            ) {
                let own = style.inside(part, self.rules);
                if self.is_all || !own.is_gone() {
                    self.place(part, &own);
                    self.say(part, &own);
                }
            }
        }
    }
}

/// A shift in user units, of which one may be letter sizes.
fn shift(text: &str, size: f64) -> f64 {
    let first = text.split([' ', ',']).find(|it| !it.is_empty());
    let first = first.unwrap_or_default();
    match first.strip_suffix("em") {
        Some(share) => share.parse::<f64>().unwrap_or_default() * size,
        None => length(first).unwrap_or_default(),
    }
}

/// True when what begins at `x` does not go on where a line ends.
fn is_apart(line: &Line, x: f64, size: f64) -> bool {
    let words = Words {
        words: line.words.clone(),
        at: spot(0.0, 0.0),
        size,
        turn_deg: 0.0,
        anchor: Anchor::Start,
    };
    let end = line.at[0] + words.area().width();
    x > end + BLANK * size || x < line.at[0]
}

#[cfg(test)]
mod tests {
    use super::super::reader::read_svg;

    fn said(text: &str) -> String {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" viewBox=\"0 0 100 100\">{text}</svg>"
        );
        let drawing = read_svg(text.as_bytes()).unwrap();
        let items = drawing.items.iter();
        items
            .map(|it| it.words().to_owned())
            .collect::<Vec<_>>()
            .join("|")
    }

    #[test]
    fn what_is_hidden_in_a_text_is_left_out_and_the_rest_is_read() {
        let hidden = "<text x=\"9\" y=\"9\">Is it <tspan style=\"display:none\">not <tspan>at all</tspan></tspan>right?</text>";
        assert_eq!(said(hidden), "Is it right?");
        assert_eq!(said("<text><title>tip</title>shown</text>"), "shown");
        assert_eq!(
            said("<text><tspan visibility=\"hidden\">all</tspan></text>"),
            ""
        );
    }

    #[test]
    fn lines_of_a_text_are_apart_however_they_are_set_and_letters_of_a_word_are_not() {
        for (text, words) in [
            (
                "<tspan x=\"9\">Move</tspan><tspan x=\"9\" dy=\"1.2em\">the joint</tspan>",
                "Move the joint",
            ),
            (
                "<tspan>Move</tspan><tspan dy=\"5\">the joint</tspan>",
                "Move the joint",
            ),
            (
                "<tspan x=\"9\" y=\"9\">Move</tspan><tspan x=\"9\" y=\"15\">the joint</tspan>",
                "Move the joint",
            ),
            ("<tspan>36</tspan><tspan dy=\"-1\">1/2</tspan>", "36 1/2"),
            (
                "<tspan x=\"9\">Mo</tspan><tspan x=\"15.5\">ve</tspan>",
                "Move",
            ),
            (
                "<tspan x=\"9\">Move</tspan><tspan x=\"30\">it</tspan>",
                "Move it",
            ),
        ] {
            let text = format!("<text x=\"9\" y=\"9\" font-size=\"4\">{text}</text>");
            assert_eq!(said(&text), words, "{text}");
        }
    }

    #[test]
    fn a_text_stands_where_its_first_words_do_and_as_far_as_its_lines_reach() {
        let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" viewBox=\"0 0 100 100\"><text x=\"5\" y=\"50\" font-size=\"4\"><tspan x=\"9\">Move</tspan><tspan x=\"9\" dy=\"10\">it</tspan></text>\
            <flowRoot font-size=\"4\"><flowRegion><rect x=\"20\" y=\"70\" width=\"30\" height=\"9\"/></flowRegion><flowPara>Flows</flowPara><flowPara>on</flowPara></flowRoot></svg>";
        let drawing = read_svg(text.as_bytes()).unwrap();
        let area = drawing.items[0].area;
        assert!(
            (area.x0 - 9.0).abs() < 0.5 && area.y0 < 50.0 && area.y1 > 59.0,
            "{area:?}"
        );
        assert_eq!(drawing.items[1].words(), "Flows on");
        let area = drawing.items[1].area;
        assert!((area.x0 - 20.0).abs() < 0.5 && area.y0 > 69.0, "{area:?}");
    }
}
