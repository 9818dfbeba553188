//! Section A-A: the panel cut upright, broken where nothing changes.
//!
//! Stretches near lumber, plates and openings are drawn; between them the panel is broken, so that the section stands at a
//! scale at which a 7/16 in skin can be seen.

use super::section::{Cuts, TITLE, call_out, models};
use super::subject::{Subject, printed};
use crate::documents::details::{CutPart, Part, Stuff, break_line, draw_cut};
use crate::documents::paper::dimension::{DimensionString, Side, short_string};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::scale::{ARCHITECT, Scale, scales};
use crate::documents::paper::spread::spread;
use crate::documents::paper::style::{Fill, Pen, SMALL_SHEET};
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, Weight, spot};
use crate::units::{Inches, Length};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Paper between two stretches, mm.
const BREAK: f64 = 4.0;
/// Room above for the dimension and below for the words, mm.
const HEAD: f64 = 14.0;
const FOOT: f64 = 8.0;

/// A stretch of the panel's height, inches, and where its bottom lies on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    bottom: f64,
}

/// Draws section A-A.
pub(super) fn draw_upright(canvas: &mut Canvas, subject: &Subject<'_>, area: Area, cuts: &Cuts) {
    let parts = models(subject).upright(subject.index, cuts.x);
    let room = area.height() - TITLE - HEAD - FOOT;
    let (scale, mut stretches) = choose(subject, &parts, room);
    let k = scale.per_inch();
    let total = paper_height(&stretches, k);
    let mut y = area.y0 + HEAD + (room - total).max(0.0) / 2.0 + total;
    for stretch in &mut stretches {
        stretch.bottom = y;
        y -= (stretch.to - stretch.from) * k + BREAK;
    }
    let left = area.x0 + 17.0;
    let thickness = subject.assembly.thickness().to_inches();
    let right = left + thickness * k;
    for stretch in &stretches {
        draw_stretch(canvas, &parts, stretch, left, k, thickness);
    }
    let top = stretches
        .last()
        .map_or(area.y0, |it| it.bottom - (it.to - it.from) * k);
    let words = [printed(thickness)];
    short_string(
        canvas,
        &DimensionString {
            side: Side::Above,
            edge: top,
            ends: &[left, right],
            words: &words,
            lane: 6.5,
            from: 1.5,
            cap: SMALL_SHEET.note,
        },
    );
    draw_floor(canvas, subject, &stretches, [left, right], k);
    draw_heights(canvas, subject, &stretches, left, k);
    draw_call_outs(canvas, subject, &parts, &stretches, (left, k), area);
    let title = spot(area.x0 + 8.0, area.y1 - TITLE / 2.0);
    view_title(
        canvas,
        &SMALL_SHEET,
        title,
        "A",
        "SECTION A-A",
        &format!("SCALE {}   At x {}", scale.name, Inches(cuts.x)),
        area.x1 - 1.0,
    );
}

fn paper_height(stretches: &[Stretch], k: f64) -> f64 {
    let drawn: f64 = stretches.iter().map(|it| (it.to - it.from) * k).sum();
    let breaks: f64 = stretches.iter().skip(1).map(|_| BREAK).sum();
    drawn + breaks
}

/// The largest scale, then the widest surroundings, that fit.
fn choose(subject: &Subject<'_>, parts: &[CutPart], room: f64) -> (Scale, Vec<Stretch>) {
    let thickness = subject.assembly.thickness().to_inches();
    let mut last = None;
    for scale in scales(subject.input.facts.sheets.scales)
        .iter()
        .filter(|it| it.ratio >= 8.0)
    {
        if thickness * scale.per_inch() > 28.0 {
            continue;
        }
        for around in [1e3, 7.0, 5.0, 3.5, 2.5] {
            let found = stretches(parts, around);
            let fits = paper_height(&found, scale.per_inch()) <= room;
            last = Some((*scale, found));
            if fits {
                break;
            }
        }
        if let Some((_, found)) = &last
            && paper_height(found, scale.per_inch()) <= room
        {
            break;
        }
    }
    last.unwrap_or((ARCHITECT[3], Vec::new()))
}

/// Stretches near lumber and plates and skin ends, from the bottom, joined where they touch.
fn stretches(parts: &[CutPart], around: f64) -> Vec<Stretch> {
    let span = |part: &CutPart| {
        let ys = part.ring.iter().map(|p| p.y);
        (
            ys.clone().fold(f64::INFINITY, f64::min),
            ys.fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let all = parts.iter().map(span);
    let low = all.clone().map(|it| it.0).fold(f64::INFINITY, f64::min);
    let high = all.map(|it| it.1).fold(f64::NEG_INFINITY, f64::max);
    let mut wanted: Vec<(f64, f64)> = Vec::new();
    for part in parts {
        let (from, to) = span(part);
        match part.part {
            Part::Skin(_) => {
                wanted.push((from - 1.5, from + around));
                wanted.push((to - around, to + 1.5));
            }
            Part::Foam => {}
            Part::Lumber(_) if part.stuff == Stuff::LumberSide => {}
            Part::Lumber(_) | Part::Plate(_) => wanted.push((from - around, to + around)),
        }
    }
    // Inside an opening there is nothing to show beyond an inch and a half.
    let solid: Vec<(f64, f64)> = parts.iter().map(span).collect();
    for (from, to) in &mut wanted {
        *from = from.max(low);
        *to = to.min(high);
        let is_solid = |y: f64| solid.iter().any(|(a, b)| *a <= y && y <= *b);
        let mut guard = 0;
        while !is_solid(*to) && guard < 40 && to > from {
            *to -= 0.5;
            guard += 1;
        }
        guard = 0;
        while !is_solid(*from) && guard < 40 && to > from {
            *from += 0.5;
            guard += 1;
        }
    }
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut found: Vec<Stretch> = Vec::new();
    for (from, to) in wanted {
        match found.last_mut() {
            // A break must save more height than it takes.
            Some(last) if from <= last.to + 2.0 => last.to = last.to.max(to),
            _ => found.push(Stretch {
                from,
                to,
                bottom: 0.0,
            }),
        }
    }
    found
}

fn draw_stretch(
    canvas: &mut Canvas,
    parts: &[CutPart],
    stretch: &Stretch,
    left: f64,
    k: f64,
    thickness: f64,
) {
    let to_paper = |p: Spot| spot(left + p.x * k, stretch.bottom - (p.y - stretch.from) * k);
    let top = stretch.bottom - (stretch.to - stretch.from) * k;
    let window = Area::new(left - 1.0, top, left + thickness * k + 1.0, stretch.bottom);
    draw_cut(canvas, parts, &to_paper, &window);
    for (y, level) in [(top, stretch.to), (stretch.bottom, stretch.from)] {
        let goes_on = parts.iter().any(|part| {
            matches!(part.part, Part::Skin(_))
                && part.ring.iter().any(|p| p.y < level - 1e-6)
                && part.ring.iter().any(|p| p.y > level + 1e-6)
        });
        if goes_on {
            break_line(canvas, spot(left, y), spot(left + thickness * k, y));
        }
    }
}

/// Where a height lies on paper, if in a stretch.
fn paper_y(stretches: &[Stretch], y: f64, k: f64) -> Option<f64> {
    stretches
        .iter()
        .find(|it| it.from - 1e-6 <= y && y <= it.to + 1e-6)
        .map(|it| it.bottom - (y - it.from) * k)
}

fn draw_floor(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    stretches: &[Stretch],
    [left, right]: [f64; 2],
    k: f64,
) {
    let Some(first) = stretches.first() else {
        return;
    };
    if let Some(deck) = subject.deck()
        && let Some(y) = paper_y(stretches, deck.to_inches(), k)
    {
        // A panel that reaches below the deck hides it from outside.
        let from = if deck > Length::ZERO {
            right
        } else {
            left - 2.0
        };
        canvas.line(Pen::Heavy.full(), spot(from, y), spot(right + 5.0, y));
    }
    let y = first.bottom + 5.0;
    canvas.text(spot(left + 2.0, y), "OUT", NOTE.end());
    canvas.text(spot(right - 2.0, y), "IN", NOTE);
}

fn draw_heights(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    stretches: &[Stretch],
    left: f64,
    k: f64,
) {
    let mut heights = vec![Length::ZERO, subject.panel.height];
    heights.extend(subject.deck());
    heights.extend(
        subject
            .holes()
            .next()
            .iter()
            .flat_map(|(_, hole)| [hole.y0, hole.y1]),
    );
    heights.sort();
    heights.dedup();
    let placed: Vec<(f64, String)> = heights
        .iter()
        .rev()
        .filter_map(|y| {
            Some((
                paper_y(stretches, y.to_inches(), k)?,
                Inches(*y).to_string(),
            ))
        })
        .collect();
    let wanted: Vec<f64> = placed.iter().map(|it| it.0).collect();
    let sizes = vec![SMALL_SHEET.note * 1.8; wanted.len()];
    let places = spread(&wanted, &sizes, f64::NEG_INFINITY, f64::INFINITY);
    for ((y, words), place) in placed.into_iter().zip(places) {
        canvas.polyline(
            Pen::Fine.full(),
            vec![
                spot(left - 1.2, y),
                spot(left - 2.6, y),
                spot(left - 4.2, place),
                spot(left - 5.4, place),
            ],
        );
        canvas.text_centred(spot(left - 6.0, place), words, NOTE.bold().end());
    }
}

fn draw_call_outs(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    parts: &[CutPart],
    stretches: &[Stretch],
    (left, k): (f64, f64),
    area: Area,
) {
    let mut said: Vec<String> = Vec::new();
    let mut targets: Vec<(Spot, Vec<String>)> = Vec::new();
    let thickness = subject.assembly.thickness().to_inches();
    let label = left + thickness * k + 9.0;
    // The innermost of parts that are called alike, from the top.
    let mut order: Vec<&CutPart> = parts.iter().collect();
    order.sort_by(|a, b| {
        top_of(b)
            .total_cmp(&top_of(a))
            .then(right_of(b).total_cmp(&right_of(a)))
    });
    for part in order {
        let Some(words) = call_out(subject, part) else {
            continue;
        };
        if said.contains(&words) {
            continue;
        }
        let Some(target) = target_of(part, stretches, left, k) else {
            continue;
        };
        said.push(words.clone());
        targets.push((
            target,
            wrap(&words, area.x1 - label - 1.0, NOTE.cap, Weight::Regular),
        ));
    }
    targets.sort_by(|a, b| a.0.y.total_cmp(&b.0.y));
    let leading = SMALL_SHEET.leading();
    let sizes: Vec<f64> = targets
        .iter()
        .map(|(_, lines)| lines.iter().map(|_| leading).sum::<f64>() + 1.2)
        .collect();
    let wanted: Vec<f64> = targets.iter().map(|it| it.0.y).collect();
    let places = spread(&wanted, &sizes, area.y0 + 3.0, area.y1 - TITLE - 1.0);
    for (((target, lines), place), size) in targets.into_iter().zip(places).zip(sizes) {
        canvas.polyline(
            Pen::Fine.full(),
            vec![target, spot(label - 3.0, place), spot(label - 1.0, place)],
        );
        canvas.shape(Form::Circle(target, 0.55), None, Fill::Black);
        let mut y = place - (size - 1.2) / 2.0 + leading / 2.0;
        for line in lines {
            canvas.text_centred(spot(label, y), line, NOTE);
            y += leading;
        }
    }
}

fn top_of(part: &CutPart) -> f64 {
    part.ring
        .iter()
        .map(|p| p.y)
        .fold(f64::NEG_INFINITY, f64::max)
}

fn right_of(part: &CutPart) -> f64 {
    part.ring
        .iter()
        .map(|p| p.x)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// A point of a part for its leader: where most of it is drawn, to the right of its middle.
fn target_of(part: &CutPart, stretches: &[Stretch], left: f64, k: f64) -> Option<Spot> {
    let low = part.ring.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let near = part.ring.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let (high, far) = (top_of(part), right_of(part));
    let drawn = stretches
        .iter()
        .map(|it| (it.from.max(low), it.to.min(high)))
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
        .filter(|(from, to)| from < to)?;
    let y = paper_y(stretches, f64::midpoint(drawn.0, drawn.1), k)?;
    Some(spot(left + (near + (far - near) * 0.7) * k, y))
}
