//! What a text says, without its formatting, and where each of its lines stands.

use crate::drawing::blocks::flat::FlatText;
use crate::drawing::entities::affine::{Affine, cross, norm};
use crate::drawing::entities::shape::TextShape;
use crate::drawing::model::SourceIndex;
use geo::Coord;

/// Average width of a letter as a share of its height, for the middle of a text (common practice, no source).
const LETTER_WIDTH: f64 = 0.8;

/// The lines of a text, placed; empty ones left out.
#[expect(
    clippy::cast_precision_loss,
    reason = "texts have far fewer than 2^53 lines and letters"
)]
pub(in crate::drawing) fn flat_texts(
    text: &TextShape,
    place: &Affine,
    placement: Option<usize>,
    source: SourceIndex,
) -> Vec<FlatText> {
    // Upwards is a quarter turn from the direction of reading, before placing. Both are one unit of text long.
    let unit = |by: [f64; 3]| {
        let length = norm(by);
        place.flat_direction(by.map(|part| if length > 0.0 { part / length } else { 0.0 }))
    };
    let along = unit(text.along);
    let up = unit(cross([0.0, 0.0, 1.0], text.along));
    let anchor = place.flat(text.at);
    let moved = |from: Coord<f64>, right: f64, upward: f64| Coord {
        x: from.x + along.x * right + up.x * upward,
        y: from.y + along.y * right + up.y * upward,
    };
    let count = text.lines.len() as f64;
    let [across_anchor, up_anchor] = text.justified;
    text.lines
        .iter()
        .enumerate()
        .filter(|(_, line)| !line.is_empty())
        .map(|(number, line)| {
            // The anchor of a text of several lines is at the top, middle or foot of them all.
            let lines_up = (count - 1.0) * (1.0 - up_anchor) - number as f64;
            let at = moved(anchor, 0.0, text.line_step * text.height * lines_up);
            let width = line.chars().count() as f64 * LETTER_WIDTH * text.height;
            FlatText {
                content: line.clone(),
                at,
                middle: moved(
                    at,
                    (0.5 - across_anchor) * width,
                    (0.5 - up_anchor) * text.height,
                ),
                height: text.height * up.x.hypot(up.y),
                angle: along.y.atan2(along.x),
                tag: text.tag.clone(),
                is_underlined: text.is_underlined,
                placement,
                source,
            }
        })
        .collect()
}

/// True when a text switches a line under itself on.
pub(in crate::drawing) fn is_underlined(raw: &str) -> bool {
    raw.contains("%%u") || raw.contains("%%U") || raw.contains("\\L")
}

/// TEXT and ATTRIB: `%%` codes become what they print.
pub(in crate::drawing) fn plain_text(raw: &str) -> String {
    percent_codes(raw).trim().to_owned()
}

/// `%%d` degree, `%%p` plus-minus, `%%c` diameter, `%%%` per cent, `%%nnn` a letter by number; `%%u`, `%%o`, `%%k` switch lines.
fn percent_codes(raw: &str) -> String {
    let mut out = String::with_capacity(raw.len());
    let mut rest = raw;
    while let Some(at) = rest.find("%%") {
        let (before, tail) = rest.split_at(at);
        out.push_str(before);
        let after = tail.get(2..).unwrap_or_default();
        let mut letters = after.chars();
        match letters.next() {
            Some('d' | 'D') => out.push('°'),
            Some('p' | 'P') => out.push('±'),
            Some('c' | 'C') => out.push('⌀'),
            Some('%') => out.push('%'),
            Some('u' | 'U' | 'o' | 'O' | 'k' | 'K') => {}
            Some('0'..='9') => {
                let digits = after
                    .get(..3)
                    .filter(|digits| digits.bytes().all(|byte| byte.is_ascii_digit()));
                let letter = digits
                    .and_then(|digits| digits.parse().ok())
                    .and_then(char::from_u32);
                if let Some(letter) = letter {
                    out.push(letter);
                    rest = after.get(3..).unwrap_or_default();
                    continue;
                }
                out.push_str("%%");
                rest = after;
                continue;
            }
            _ => {
                out.push_str("%%");
                rest = after;
                continue;
            }
        }
        rest = letters.as_str();
    }
    out.push_str(rest);
    out
}

/// MTEXT: one entry for each line, formatting removed, empty lines kept between others.
pub(in crate::drawing) fn plain_lines(raw: &str) -> Vec<String> {
    let mut out = String::with_capacity(raw.len());
    let mut rest = raw;
    loop {
        let mut letters = rest.chars();
        let Some(letter) = letters.next() else { break };
        rest = letters.as_str();
        match letter {
            '\\' => rest = backslash(rest, &mut out),
            '{' | '}' => {}
            other => out.push(other),
        }
    }
    let mut lines: Vec<String> = percent_codes(&out)
        .split('\n')
        .map(|line| line.replace(['\t', '\u{a0}', '\r'], " ").trim().to_owned())
        .collect();
    while lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    lines
}

/// What follows a backslash: a line break, a letter, or a format up to its semicolon.
fn backslash<'a>(rest: &'a str, out: &mut String) -> &'a str {
    let mut letters = rest.chars();
    let Some(letter) = letters.next() else {
        return rest;
    };
    let after = letters.as_str();
    match letter {
        'P' | 'N' | 'X' => out.push('\n'),
        '~' => out.push('\u{a0}'),
        '\\' | '{' | '}' => out.push(letter),
        'L' | 'l' | 'O' | 'o' | 'K' | 'k' => {}
        'S' => {
            let (stack, tail) = after.split_once(';').unwrap_or((after, ""));
            // A fraction stands after the number before it: 6 then 1/2.
            if out.ends_with(|before: char| before.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(&stacked(stack));
            return tail;
        }
        'A' | 'C' | 'c' | 'F' | 'f' | 'H' | 'p' | 'Q' | 'T' | 'W' => {
            return after.split_once(';').map_or("", |(_, tail)| tail);
        }
        _ => {
            out.push('\\');
            out.push(letter);
        }
    }
    after
}

/// `1/2`, `1#2` and `1^2` stand over each other.
fn stacked(stack: &str) -> String {
    let mut out = String::new();
    let mut letters = stack.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '#' => out.push('/'),
            '^' => {
                let tail = letters.as_str().trim();
                if !tail.is_empty() && !out.trim().is_empty() {
                    out.push('/');
                }
            }
            '\\' => out.extend(letters.next()),
            other => out.push(other),
        }
    }
    out.trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(raw: &str, expected: &[&str]) {
        assert_eq!(plain_lines(raw), expected, "{raw}");
    }

    #[test]
    fn formatting_goes_and_lines_part() {
        check("plain", &["plain"]);
        check(
            "{\\fArial|b0|i0;KITCHEN}\\P12'-0\" x 10'",
            &["KITCHEN", "12'-0\" x 10'"],
        );
        check("\\A1;6\\H0.7x;\\S1/2;\\H1.4x;\"", &["6 1/2\""]);
        check("\\C1;\\LUP\\l \\\\ \\{x\\}", &["UP \\ {x}"]);
        check("a\nb", &["a", "b"]);
        check("\\pxqc;TITLE\\P", &["TITLE"]);
        check("3\\S3#4;", &["3 3/4"]);
        check("\\S+0.1^-0.2;", &["+0.1/-0.2"]);
    }

    #[test]
    fn percent_codes_print_their_letters() {
        assert_eq!(
            plain_text("45%%d %%p2 %%c3 %%uPLAN%%u 50%%% %%065"),
            "45° ±2 ⌀3 PLAN 50% A"
        );
        assert_eq!(plain_text("100%% %%x"), "100%% %%x");
    }
}
