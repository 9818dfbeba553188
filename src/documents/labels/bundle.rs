//! The label of a bundle of lumber.

use super::panel::CODE;
use super::place::{Line, MARGIN, Place};
use super::{LabelInput, code_words, job_words, qr, wall_words};
use crate::documents::paper::style::Pen;
use crate::documents::paper::{Canvas, Lettered};
use crate::loads::{Bundle, BundleKind};
use crate::rules::LumberRules;
use crate::units::Length;
use std::collections::BTreeMap;

/// Between two lines of the list, in millimetres of the design.
const PITCH: f64 = 4.8;
/// First line of the list.
const TOP: f64 = 62.0;
/// How high its letters are.
const CAP: f64 = 2.9;
/// How low they may be where marks need the room.
const LEAST_CAP: f64 = 2.7;

pub(super) fn draw(canvas: &mut Canvas, place: &Place, input: &LabelInput<'_>, bundle: &Bundle) {
    let right = place.width() - MARGIN;
    let room = right - CODE - MARGIN;
    let what = match bundle.kind {
        BundleKind::Framing => "FRAMING PACKAGE",
        BundleKind::Loose => "LOOSE LUMBER",
        BundleKind::Plates => "PLATES",
    };
    let place_words = match bundle.kind {
        BundleKind::Framing => "to the framing station",
        BundleKind::Loose | BundleKind::Plates => "to the first truck, loose",
    };
    let of = match &bundle.panel {
        Some(mark) => format!("of panel {mark}, {place_words}"),
        None => format!("all plates of this wall, {place_words}"),
    };
    place.write(
        canvas,
        [MARGIN, 22.0],
        room,
        &Line::new(&bundle.name, 14.0).bold(),
    );
    place.write(canvas, [MARGIN, 31.0], room, &Line::new(what, 5.5).bold());
    place.write(canvas, [MARGIN, 38.5], room, &Line::new(&of, 3.6));
    let wall = wall_words(input, bundle.wall);
    place.write(canvas, [MARGIN, 45.5], room, &Line::new(&wall, 3.6));
    let n = bundle.pieces.len();
    let pieces = if n == 1 { "piece" } else { "pieces" };
    let sum = format!("{n} {pieces}, {:.0} lb computed", bundle.weight_lb());
    place.write(canvas, [MARGIN, 53.5], room, &Line::new(&sum, 4.4).bold());
    let code = code_words(input, &bundle.name, "");
    let square = place.area(right - CODE, 4.0, right, 4.0 + CODE);
    qr::draw(canvas, &code, square);
    canvas.line(
        Pen::Edge.full(),
        place.spot(MARGIN, 57.0),
        place.spot(right, 57.0),
    );
    let foot = place.height() - 3.4;
    draw_pieces(canvas, place, bundle, foot - 5.0);
    let job = job_words(input.facts);
    place.write(
        canvas,
        [MARGIN, foot],
        right - MARGIN,
        &Line::new(&job, 3.4).bold(),
    );
}

/// Equal pieces in one line with their marks, in two columns where one is too short; what has no room is counted.
fn draw_pieces(canvas: &mut Canvas, place: &Place, bundle: &Bundle, bottom: f64) {
    let mut equal: BTreeMap<(&str, &str, Length), Vec<&str>> = BTreeMap::new();
    for piece in &bundle.pieces {
        let key = (piece.usage.as_str(), piece.section.as_str(), piece.length);
        equal.entry(key).or_default().push(&piece.mark);
    }
    let mut ys = Vec::new();
    let mut y = TOP;
    while y <= bottom {
        ys.push(y);
        y += PITCH;
    }
    let n_lines = equal.len();
    let whole = place.width() - 2.0 * MARGIN;
    let (columns, room) = if n_lines <= ys.len() {
        (vec![MARGIN], whole)
    } else {
        (vec![MARGIN, MARGIN + whole / 2.0], whole / 2.0 - 3.0)
    };
    let spots = columns.iter().flat_map(|x| ys.iter().map(|y| [*x, *y]));
    let spots: Vec<[f64; 2]> = spots.collect();
    let n_shown = if n_lines > spots.len() {
        spots.len().saturating_sub(1)
    } else {
        n_lines
    };
    let mut lines: Vec<String> = equal
        .iter()
        .take(n_shown)
        .map(|((usage, section, length), marks)| {
            let n = marks.len();
            let words = |section: &str| {
                let words = format!("{usage}, {section}, {}", length.feet_inches());
                match n {
                    1 => words,
                    _ => format!("{n} × {words}"),
                }
            };
            // Marks are never bought with letters too small, sooner with what a section is ripped to; `lists/bundles.csv`
            // has all.
            [*section, LumberRules::sawn_from(section)]
                .iter()
                .map(|it| format!("{}: {}", words(it), marks.join(" ")))
                .find(|it| Lettered::cap(LEAST_CAP).width(it) <= room)
                .unwrap_or_else(|| words(section))
        })
        .collect();
    if n_shown < n_lines {
        let rest: usize = equal.values().skip(n_shown).map(Vec::len).sum();
        lines.push(format!(
            "and {rest} more pieces: Z-601, sheets of the panels"
        ));
    }
    for (at, words) in spots.into_iter().zip(&lines) {
        place.write(canvas, at, room, &Line::new(words, CAP));
    }
}
