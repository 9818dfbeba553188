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
    let floor = view.y(subject.wall.stack.panel_bottom.to_inches().min(0.0));
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
    let highest = if subject.wall.profile.is_level() {
        "panel"
    } else {
        "highest"
    };
    dimension_string(
        canvas,
        &DimensionString {
            side: Side::Left,
            edge: view.x(0.0),
            ends: &[
                view.y(stack.panel_top.to_inches()),
                view.y(stack.panel_bottom.to_inches()),
            ],
            words: &[format!("{} {highest}", panel.feet_inches())],
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
    name(Length::ZERO, "DECK");
    for step in &subject.wall.profile.base {
        if step.y != Length::ZERO {
            name(step.y, "BOTTOM OF PANEL");
        }
    }
    let profile = &subject.wall.profile;
    let cap = stack.cap_top - stack.panel_top;
    for stretch in profile.stretches() {
        if stretch.is_level() {
            name(stretch.from.y, "TOP OF PANEL");
            if cap > Length::ZERO {
                name(stretch.from.y + cap, "TOP OF CAP");
            }
        }
    }
    if profile.is_sloped() {
        let (from, to) = (subject.run.from, subject.run.to);
        let [high, low] = profile.top_range(from, to);
        name(high, "HIGHEST PANEL");
        name(low, "LOWEST PANEL");
    }
    let storeys = &subject.input.building.storeys;
    let own = storeys.get(subject.wall.storey_index);
    if let (Some(own), Some(next)) = (own, storeys.get(subject.wall.storey_index + 1)) {
        name(next.floor - own.floor, "NEXT DECK");
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
    let highest = named.keys().next_back().copied().unwrap_or(stack.cap_top);
    let named_top = view.y(highest.max(stack.cap_top).to_inches());
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
        within: [
            named_top - 4.0,
            view.y(stack.panel_bottom.to_inches().min(0.0)) + 12.0,
        ],
        cap: PAPER.lettering.note,
    };
    ordinate_row(canvas, &PAPER.lettering, &row, &ordinates);
}
