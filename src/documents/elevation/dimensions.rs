//! Strings under the wall, its height at the left, levels at the right.

use super::subject::Subject;
use crate::documents::key_plan::{GRID_BUBBLE, grid_bubble};
use crate::documents::paper::dimension::{
    DimensionString, Ordinate, OrdinateRow, Side, StringTold, dimension_string_in_rows,
    ordinate_row, printed_pieces, short_string, unprinted,
};
use crate::documents::paper::overlap::clear_of;
use crate::documents::paper::spread::spread_evenly;
use crate::documents::paper::style::{Dash, Pen, dimension as size};
use crate::documents::paper::{Area, Canvas, Lettered, View, spot};
use crate::units::Length;
use std::collections::BTreeMap;

/// From the wall to the lines of its levels, and from there to their words, mm.
const LEVELS: f64 = 13.0;
const LABEL: f64 = 12.0;

/// Rows of numbers of one string, at most.
const ROWS: usize = 4;

/// Draws all dimensions of the wall; returns what its strings had no room to print, string by string, and how much deeper they
/// are than with one row of numbers each, mm.
pub(super) fn draw_dimensions(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
) -> (Vec<String>, f64) {
    let mut left = Vec::new();
    let mut deeper = 0.0;
    for (string, lane) in strings(subject).iter().zip(size::LANES) {
        let (more, words) = string_below(canvas, subject, view, string, lane + deeper);
        left.extend(words);
        deeper += more;
    }
    heights(canvas, subject, view);
    levels(canvas, subject, view);
    (left, deeper)
}

/// A string along the wall.
pub(super) struct WallString {
    /// What it is called in ids.
    id: &'static str,
    /// What it is called on paper.
    pub(super) name: &'static str,
    /// Where its pieces part, in run axes.
    pub(super) ends: Vec<Length>,
}

impl WallString {
    /// The lengths of its pieces as printed: rounded from the wall's corner, as on the key plan, so that the same piece has the same
    /// number on both.
    pub(super) fn words(&self, subject: &Subject<'_>) -> Vec<String> {
        let from_corner: Vec<Length> = self.ends.iter().map(|it| subject.run.from + *it).collect();
        printed_pieces(&from_corner)
    }
}

/// Openings, modules, overall.
pub(super) fn strings(subject: &Subject<'_>) -> Vec<WallString> {
    let (from, to) = (subject.from, subject.to);
    let mut openings = vec![from, to];
    for (_, from, to) in subject.openings() {
        openings.extend([from, to]);
    }
    openings.sort_unstable();
    openings.dedup();
    let overall = match subject.part {
        [_, 1] => "RUN OVERALL",
        _ => "PART OVERALL",
    };
    let strings = [
        ("openings", ROUGH_OPENINGS, openings),
        ("modules", "PANEL MODULES", subject.module_ends()),
        ("overall", overall, vec![from, to]),
    ];
    let strings = strings.into_iter().filter(|it| it.2.len() > 1);
    strings
        .map(|(id, name, ends)| WallString { id, name, ends })
        .collect()
}

/// The longest name of a string under the wall.
pub(super) const ROUGH_OPENINGS: &str = "ROUGH OPENINGS";

/// A string under the wall between places of the run, its name at its left; returns how much deeper than with one row of numbers
/// it is, and what it had no room to print.
fn string_below(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    string: &WallString,
    lane: f64,
) -> (f64, Option<String>) {
    let WallString { id, name, ends } = string;
    let floor = view.y(-subject.depth().to_inches());
    let cap = subject.lettering().note;
    let words = string.words(subject);
    let places: Vec<f64> = ends.iter().map(|end| view.x(end.to_inches())).collect();
    let data = [("string", *id)];
    let mut told = StringTold::default();
    canvas.group_with(&string_id(subject, id), name, &data, |canvas| {
        let string = DimensionString {
            side: Side::Below,
            edge: floor,
            ends: &places,
            words: &words,
            lane,
            from: lane - 6.0,
            cap,
        };
        told = dimension_string_in_rows(canvas, &string, ROWS);
    });
    let left = view.x(subject.from.to_inches());
    let left = places.first().map_or(left, |it| it.min(left));
    let lettered = Lettered::cap(cap).end();
    canvas.text_centred(spot(left - 5.0, floor + lane), *name, lettered);
    let about = format!("{name} of {}", subject.key());
    let start = "the left end of the string";
    (
        told.deeper,
        unprinted(&about, start, ends, &words, &told.left),
    )
}

/// `string-modules-X1`, of a part `string-modules-X1-2`.
fn string_id(subject: &Subject<'_>, id: &str) -> String {
    format!("string-{id}-{}", subject.key())
}

/// The architect's grid: a chain line at each crossing, broken at the texts of the dimensions, its bubble and a string under
/// the others; returns how much deeper than with one row of numbers that is, mm, and what it had no room to print.
///
/// - `deeper`: by how much the others are.
pub(super) fn draw_grid(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    grid: &[(String, Length)],
    texts: &[Area],
    deeper: f64,
) -> (f64, Option<String>) {
    let floor = view.y(-subject.depth().to_inches());
    let top = view.y(subject.wall.stack.cap_top.to_inches());
    let [.., last] = size::LANES;
    let lane = last + 13.0 + deeper;
    let places: Vec<f64> = grid.iter().map(|it| view.x(it.1.to_inches())).collect();
    let centre = lane + 3.0 + GRID_BUBBLE;
    let spread = spread_evenly(
        &places,
        2.0 * GRID_BUBBLE + 1.0,
        f64::NEG_INFINITY,
        f64::INFINITY,
    );
    for (((name, _), x), place) in grid.iter().zip(&places).zip(spread) {
        let data = [("grid", name.as_str())];
        canvas.group_with("", &format!("Grid line {name}"), &data, |canvas| {
            let bend = spot(*x, floor + lane + 2.0);
            for [from, to] in clear_of(texts, [spot(*x, top - 1.0), bend]) {
                canvas.line(Pen::Fine.dashed(Dash::Chain), from, to);
            }
            let centre = spot(place, floor + centre);
            canvas.line(Pen::Fine.full(), bend, spot(place, centre.y - GRID_BUBBLE));
            grid_bubble(canvas, centre, name);
        });
    }
    let mut ends: Vec<Length> = grid.iter().map(|(_, at)| *at).collect();
    ends.dedup();
    if ends.len() < 2 {
        return (0.0, None);
    }
    let string = WallString {
        id: "grid",
        name: "GRID",
        ends,
    };
    string_below(canvas, subject, view, &string, lane)
}

/// The stack at the left: deck, panel, cap, floor; and all of it.
fn heights(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let stack = &subject.wall.stack;
    let [panel_top, cap_top] = subject.tops();
    let panel = if subject.is_left_out() {
        "WALL"
    } else if subject.wall.profile.is_level() {
        "PANEL"
    } else {
        "HIGHEST PANEL"
    };
    // Each piece from below, named by what it is.
    let skin = stack.panel_bottom - subject.wall.skin_drop;
    let mut ends = vec![Length::ZERO.min(skin)];
    let mut names = Vec::new();
    let deck = subject.next_deck();
    let pieces = [
        (
            stack.panel_bottom,
            if skin < stack.panel_bottom {
                "SKIN"
            } else {
                "BELOW"
            },
        ),
        (panel_top, panel),
        (cap_top, "CAP"),
        (deck.unwrap_or(cap_top), "FLOOR"),
    ];
    for (to, name) in pieces {
        if ends.last().is_some_and(|last| to > *last) {
            ends.push(to);
            names.push(name);
        }
    }
    let (Some(first), Some(last)) = (ends.first(), ends.last()) else {
        return;
    };
    // What hangs below the deck is told beside what stands on it, and both are all of it.
    let mut overall = vec![*first, Length::ZERO, *last];
    overall.dedup();
    let all = if deck.is_some() {
        "DECK TO DECK"
    } else {
        "DECK TO TOP"
    };
    let both = match overall.len() {
        3 if stack.panel_bottom < Length::ZERO => vec!["BELOW DECK", all],
        3 => vec!["SKIN", all],
        _ => vec![all],
    };
    // Clear of a cap that laps over the wall at the left.
    let edge = view.x(subject.leftmost().to_inches());
    let rows = [
        ("heights", ends, names, size::LANES[0], 3.0),
        ("height-overall", overall, both, size::LANES[1], 25.5),
    ];
    for (id, ends, names, lane, from) in rows {
        if ends.len() == 2 && id == "height-overall" && deck.is_none() && cap_top == panel_top {
            continue;
        }
        let mut words: Vec<String> = printed_pieces(&ends)
            .into_iter()
            .zip(names)
            .map(|(length, name)| format!("{length} {name}"))
            .collect();
        words.reverse();
        let places: Vec<f64> = ends
            .iter()
            .rev()
            .map(|end| view.y(end.to_inches()))
            .collect();
        let (id, data) = (string_id(subject, id), [("string", id)]);
        canvas.group_with(&id, "Heights", &data, |canvas| {
            short_string(
                canvas,
                &DimensionString {
                    side: Side::Left,
                    edge,
                    ends: &places,
                    words: &words,
                    lane,
                    from,
                    cap: subject.lettering().note,
                },
            );
        });
    }
}

/// Of a wall whose top slopes.
const HIGHEST: &str = "HIGHEST PANEL";
const LOWEST: &str = "LOWEST PANEL";
const TOP_AT: &str = "TOP AT";

/// Heights above the deck, each once, with what lies there, from the top.
pub(super) fn named_levels(subject: &Subject<'_>) -> Vec<(Length, String)> {
    let stack = &subject.wall.stack;
    let mut named: BTreeMap<Length, Vec<String>> = BTreeMap::new();
    let mut name = |at: Length, words: &str| {
        let list = named.entry(at).or_default();
        if !list.iter().any(|it| it == words) {
            list.push(words.to_owned());
        }
    };
    name(Length::ZERO, "DECK");
    for step in &subject.wall.profile.base {
        if step.y != Length::ZERO {
            name(step.y, "BOTTOM OF PANEL");
        }
        if subject.wall.skin_drop > Length::ZERO {
            name(step.y - subject.wall.skin_drop, "BOTTOM OF OUTER SKIN");
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
        let (from, to) = (
            subject.run.from + subject.from,
            subject.run.from + subject.to,
        );
        let [high, low] = profile.top_range(from, to);
        name(high, HIGHEST);
        name(low, LOWEST);
        // Where modules begin and end under a slope.
        for end in subject.module_ends() {
            let x = subject.run.from + end;
            let sides = [(true, end > subject.from), (false, end < subject.to)];
            for (is_left, _) in sides.into_iter().filter(|it| it.1) {
                if profile.stretch(x, is_left).is_some_and(|it| !it.is_level()) {
                    let words = format!("{TOP_AT} {}", end.feet_inches());
                    name(profile.top_at(x, is_left), &words);
                }
            }
        }
    }
    if let Some(deck) = subject.next_deck() {
        name(deck, "NEXT DECK");
    }
    for (opening, _, _) in subject.openings() {
        name(opening.head, "R.O. HEAD");
        if !opening.reaches_floor() {
            name(opening.sill, "R.O. SILL");
        }
    }
    // A knee wall ends below the upper ones.
    let chases = subject.input.rules.chases.horizontal.iter();
    let has_chase = |height: &&Length| !subject.is_left_out() && **height < stack.panel_top;
    for height in chases.filter(has_chase) {
        name(*height, "CHASE");
    }
    let words = |(at, mut words): (Length, Vec<String>)| {
        // Where a module ends at the highest place, that says it: two names would make a gable too wide for its sheet.
        let is_at = words.iter().any(|it| it.starts_with(TOP_AT));
        words.retain(|it| !is_at || it != HIGHEST && it != LOWEST);
        let along = if is_at { " ALONG:" } else { "" };
        let words = format!("{}{along} {}", words.join(", "), at.feet_inches());
        (at, words)
    };
    named.into_iter().rev().map(words).collect()
}

/// Draws the levels at the right.
fn levels(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let stack = &subject.wall.stack;
    let named = named_levels(subject);
    let highest = named.first().map_or(stack.cap_top, |(at, _)| *at);
    let named_top = view.y(highest.max(stack.cap_top).to_inches());
    let ordinates: Vec<Ordinate> = named
        .into_iter()
        .map(|(at, words)| Ordinate {
            at: view.y(at.to_inches()),
            words,
            is_bold: false,
            remarks: Vec::new(),
        })
        .collect();
    let right = view.x(subject.to.to_inches()) + LEVELS;
    let row = OrdinateRow {
        side: Side::Right,
        edge: right,
        label: LABEL,
        within: [named_top - 4.0, view.y(-subject.depth().to_inches()) + 12.0],
        cap: subject.lettering().note,
    };
    ordinate_row(canvas, &subject.lettering(), &row, &ordinates);
}
