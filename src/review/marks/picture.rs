//! A small picture of a mark: the mark in red over what it stands on in grey, as an SVG of its own.
//!
//! Written from what was read, not copied: nothing of the file that came back but lines, words and dots is in it.

use super::drawn::{Drawn, DrawnForm, Lines, Look, around};
use super::sheets::IssuedSheet;
use super::trail::thinned;
use crate::documents::paper::{Anchor, Area, number};
use std::fmt::Write;

/// Room round the mark, mm.
const ROUND: f64 = 14.0;
/// Most points of a picture's mark, most things, and what each thing has at least.
const MOST_POINTS: usize = 8000;
const MOST_ITEMS: usize = 4000;
const FEWEST_POINTS: usize = 16;
/// The mark's own ink; the sheets' accent.
const RED: &str = "#b3261e";
/// Paper round the words of a mark, so that they are read over lines.
const HALO: &str =
    " stroke=\"#fff\" stroke-width=\"0.9\" stroke-linejoin=\"round\" paint-order=\"stroke\"";

/// The bytes of `review/<id>.svg`.
///
/// - `sheet`: what the mark stands on, if it is known.
pub(super) fn picture(
    id: &str,
    title: &str,
    items: &[Drawn],
    sheet: Option<&IssuedSheet>,
) -> Vec<u8> {
    let area = around(items).unwrap_or_default().grown(ROUND);
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"{x} {y} {w} {h}\" font-family=\"Noto Sans, Arial, sans-serif\">\n<title>{title}</title>\n<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>\n",
        x = number(area.x0),
        y = number(area.y0),
        w = number(area.width()),
        h = number(area.height()),
        title = escaped(title),
    );
    if let Some(sheet) = sheet {
        out.push_str("<g id=\"sheet\">\n");
        for item in &sheet.drawing.items {
            if item.area.grown(0.1).meets(&area) {
                draw(&mut out, item, &grey(&item.look));
            }
        }
        out.push_str("</g>\n");
    }
    // Writing to a string cannot fail.
    let _ = writeln!(out, "<g id=\"mark\" data-mark=\"{}\">", escaped(id));
    // Enough to see it by: what a line has beyond that is not drawn.
    let n_items = items.len().clamp(1, MOST_ITEMS);
    let most = (MOST_POINTS / n_items).max(FEWEST_POINTS);
    for item in items.iter().take(MOST_ITEMS) {
        let look = Look {
            stroke: RED.to_owned(),
            fill: match &item.form {
                DrawnForm::Words(_) => RED.to_owned(),
                DrawnForm::Lines(lines) if is_solid(lines, &item.look) => RED.to_owned(),
                DrawnForm::Lines(_) if item.look.fill == "#ffffff" => item.look.fill.clone(),
                DrawnForm::Lines(_) | DrawnForm::Image(_) => "none".to_owned(),
            },
            width: "0.70".to_owned(),
            dash: item.look.dash.clone(),
            is_clear: false,
        };
        let mut item = item.clone();
        if let DrawnForm::Lines(lines) = &mut item.form {
            thinned(lines, most);
        }
        draw(&mut out, &item, &look);
    }
    out.push_str("</g>\n</svg>\n");
    out.into_bytes()
}

/// A head of an arrow and the like: filled, small, without a hole to look through.
fn is_solid(lines: &Lines, look: &Look) -> bool {
    look.fill != "none"
        && look.fill != "#ffffff"
        && lines.runs.iter().all(|run| run.points.len() <= 5)
        && look.stroke == "none"
}

fn grey(look: &Look) -> Look {
    let pale = |paint: &str| match paint {
        "none" | "#ffffff" => paint.to_owned(),
        _ => "#8a8a8a".to_owned(),
    };
    Look {
        stroke: pale(&look.stroke),
        fill: pale(&look.fill),
        ..look.clone()
    }
}

fn draw(out: &mut String, item: &Drawn, look: &Look) {
    match &item.form {
        DrawnForm::Lines(lines) => {
            let mut d = String::new();
            for run in &lines.runs {
                for (i, p) in run.points.iter().enumerate() {
                    let letter = if i == 0 { 'M' } else { 'L' };
                    let _ = write!(d, "{letter}{} {}", number(p.x), number(p.y));
                }
                if run.is_closed {
                    d.push('Z');
                }
            }
            let dash = if look.dash.is_empty() {
                String::new()
            } else {
                format!(" stroke-dasharray=\"{}\"", escaped(&look.dash))
            };
            let _ = writeln!(
                out,
                "<path d=\"{d}\" fill=\"{}\" fill-rule=\"evenodd\" stroke=\"{}\" stroke-width=\"{}\"{dash}/>",
                escaped(&look.fill),
                escaped(&look.stroke),
                if look.width.is_empty() {
                    "0"
                } else {
                    look.width.as_str()
                },
            );
        }
        DrawnForm::Words(words) => {
            let anchor = match words.anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let [x, y] = [number(words.at.x), number(words.at.y)];
            let turn = if words.turn_deg.abs() > 0.01 {
                format!(" transform=\"rotate({} {x} {y})\"", number(-words.turn_deg))
            } else {
                String::new()
            };
            let _ = writeln!(
                out,
                "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\"{}{turn}>{}</text>",
                number(words.size),
                escaped(&look.fill),
                if look.fill == RED { HALO } else { "" },
                escaped(&words.words),
            );
        }
        DrawnForm::Image(image) => {
            let Area { x0, y0, x1, y1 } = item.area;
            let place = format!(
                "x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
                number(x0),
                number(y0),
                number(x1 - x0),
                number(y1 - y0)
            );
            if let Some((kind, data)) = &image.data {
                let _ = writeln!(
                    out,
                    "<image {place} preserveAspectRatio=\"none\" href=\"data:{kind};base64,{data}\"/>"
                );
            } else {
                let _ = writeln!(
                    out,
                    "<rect {place} fill=\"none\" stroke=\"{RED}\" stroke-width=\"0.7\"/>"
                );
            }
        }
    }
}

fn escaped(words: &str) -> String {
    // Control characters are no XML, however they are written.
    let plain: String = words
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    plain
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
