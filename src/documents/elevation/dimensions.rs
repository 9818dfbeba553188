//! Strings under the wall, its height at the left, levels at the right.

use super::PAPER;
use super::subject::Subject;
use crate::documents::paper::dimension::{
    DimensionString, Ordinate, OrdinateRow, Side, dimension_string, ordinate_row,
};
use crate::documents::paper::style::dimension as size;
use crate::documents::paper::{Canvas, Lettered, View, spot};
use crate::units::Length;
use std::collections::BTreeMap;

/// Draws all dimensions of the wall.
pub(super) fn draw_dimensions(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let length = subject.length();
    let mut openings = vec![Length::ZERO];
    for (_, from, to) in subject.openings() {
        openings.extend([from, to]);
    }
    openings.push(length);
    openings.sort_unstable();
    openings.dedup();
    let strings = [
        ("ROUGH OPENINGS", openings),
        ("PANEL MODULES", subject.module_ends()),
        ("RUN OVERALL", vec![Length::ZERO, length]),
    ];
    let floor = view.y(0.0);
    let note = Lettered::cap(PAPER.lettering.note);
    for ((name, ends), lane) in strings.into_iter().zip(size::LANES) {
        let words: Vec<String> = ends
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).feet_inches().to_string())
            .collect();
        let places: Vec<f64> = ends.iter().map(|end| view.x(end.to_inches())).collect();
        dimension_string(
            canvas,
            &DimensionString {
                side: Side::Below,
                edge: floor,
                ends: &places,
                words: &words,
                lane,
                from: lane - 6.0,
                cap: PAPER.lettering.note,
            },
        );
        canvas.text_centred(spot(view.x(0.0) - 5.0, floor + lane), name, note.end());
    }
    height(canvas, subject, view);
    levels(canvas, subject, view);
}

fn height(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let stack = &subject.wall.stack;
    let panel = stack.panel_top - stack.panel_bottom;
    dimension_string(
        canvas,
        &DimensionString {
            side: Side::Left,
            edge: view.x(0.0),
            ends: &[
                view.y(stack.panel_top.to_inches()),
                view.y(stack.panel_bottom.to_inches()),
            ],
            words: &[format!("{} panel", panel.feet_inches())],
            lane: size::LANES[0],
            from: 3.0,
            cap: PAPER.lettering.note,
        },
    );
}

/// Heights above the deck, each once, with what lies there.
fn levels(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let stack = &subject.wall.stack;
    let mut named: BTreeMap<Length, Vec<&str>> = BTreeMap::new();
    let mut name = |at: Length, words: &'static str| {
        let list = named.entry(at).or_default();
        if !list.contains(&words) {
            list.push(words);
        }
    };
    name(Length::ZERO, "FLOOR");
    name(stack.panel_top, "TOP OF PANEL");
    if stack.cap_top > stack.panel_top {
        name(stack.cap_top, "TOP OF CAP");
    }
    for (opening, _, _) in subject.openings() {
        name(opening.head, "R.O. HEAD");
        if !opening.reaches_floor() {
            name(opening.sill, "R.O. SILL");
        }
    }
    for height in &subject.input.rules.chases.horizontal {
        name(*height, "CHASE");
    }
    let ordinates: Vec<Ordinate> = named
        .into_iter()
        .rev()
        .map(|(at, words)| Ordinate {
            at: view.y(at.to_inches()),
            words: format!("{} {}", words.join(", "), at.feet_inches()),
            is_bold: false,
            remarks: Vec::new(),
        })
        .collect();
    let right = view.x(subject.length().to_inches()) + 13.0;
    let row = OrdinateRow {
        side: Side::Right,
        edge: right,
        label: 12.0,
        within: [view.y(stack.cap_top.to_inches()) - 4.0, view.y(0.0) + 12.0],
        cap: PAPER.lettering.note,
    };
    ordinate_row(canvas, &PAPER.lettering, &row, &ordinates);
}
