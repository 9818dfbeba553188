//! The architect's grid: long lines that end at a bubble with a letter or a number.
//!
//! ```text
//!    (A)      (B)          a bubble: a circle with one short word
//!     |        |           its line starts at the circle, points away from it, and may be drawn in pieces
//!   ──┼────────┼──
//!     |        |
//! ```
//!
//! A circle with two words, or a line across it, is the sign of a section or a detail and no grid. Cost: the number of circles and
//! lines, times those near them.

use crate::drawing::{Curve, Drawing, SourceIndex};
use crate::plan::nearby::{Area, Nearby};
use crate::plan::{GridLine, Storey};
use geo::Coord;
use std::cell::LazyCell;
use std::collections::BTreeSet;

/// A bubble's radius, inches in life: 1/8 in at 1/2" = 1'-0" to 3/8 in at 1/16" = 1'-0".
const RADIUS: (f64, f64) = (3.0, 72.0);
/// The line misses the circle by no more than this part of the radius.
const MISS: f64 = 0.15;
/// Between two pieces of a line, in radii.
const GAP: f64 = 2.0;
/// A grid line is at least so many radii long; shorter ones are leaders.
const LEAST: f64 = 6.0;
/// Letters in a bubble.
const LETTERS: usize = 4;
/// How far from the outside faces a line may end and still belong to a storey, inches.
const NEAR: f64 = 240.0;
/// No grid line is as long as this, inches.
const FAR: f64 = 1e5;
/// Pieces of one line that are followed.
const PIECES: usize = 4000;

/// Gives every storey of a drawing the grid lines that cross it or end near it.
pub(in crate::plan) fn give_grid(lines: &[GridLine], storeys: &mut [Storey]) {
    for storey in storeys {
        let near: Vec<&GridLine> = lines.iter().filter(|it| is_near(it, storey)).collect();
        storey.grid = near.into_iter().cloned().collect();
    }
}

/// Is a line within reach of the storey's outline?
fn is_near(line: &GridLine, storey: &Storey) -> bool {
    let range = |pick: fn(&Coord<f64>) -> f64| {
        let all = storey.outline.iter().map(pick);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| {
            (low.min(it), high.max(it))
        })
    };
    let meets =
        |a: f64, b: f64, (low, high): (f64, f64)| a.min(b) <= high + NEAR && a.max(b) >= low - NEAR;
    meets(line.start.x, line.end.x, range(|p| p.x))
        && meets(line.start.y, line.end.y, range(|p| p.y))
}

/// The ends of the lines, each with the number of its stroke, and where they lie.
struct Ends {
    list: Vec<(Coord<f64>, usize)>,
    index: Nearby,
}

/// A circle with one short word in it.
struct Bubble<'a> {
    name: &'a str,
    centre: Coord<f64>,
    radius: f64,
    sources: [SourceIndex; 2],
}

/// The bubbles of a drawing.
fn bubbles(drawing: &Drawing, is_hidden: impl Fn(SourceIndex) -> bool) -> Vec<Bubble<'_>> {
    // Most drawings have no circle of that size: then nothing is asked for.
    let words = LazyCell::new(|| {
        let words = (drawing.texts.iter().enumerate())
            .filter(|(_, it)| !it.content.trim().is_empty() && !is_hidden(it.source))
            .map(|(index, it)| (Area::of(it.middle, it.middle), index));
        Nearby::new(words)
    });
    let mut found = Vec::new();
    for stroke in &drawing.strokes {
        let Curve::Arc {
            centre,
            radius,
            sweep,
            ..
        } = stroke.curve
        else {
            continue;
        };
        let is_whole = sweep.abs() >= std::f64::consts::TAU - 1e-6;
        let is_one = is_whole && (RADIUS.0..=RADIUS.1).contains(&radius);
        if !is_one || is_hidden(stroke.source) {
            continue;
        }
        let mut inside = Vec::new();
        words.visit_within(centre, radius, |i| inside.push(i));
        let &[word] = &inside[..] else {
            continue;
        };
        let Some(word) = drawing.texts.get(word) else {
            continue;
        };
        let name = word.content.trim();
        if name.chars().count() <= LETTERS && name.chars().any(char::is_alphanumeric) {
            found.push(Bubble {
                name,
                centre,
                radius,
                sources: [stroke.source, word.source],
            });
        }
    }
    found
}

/// The ends of the lines that may be of a grid: those that end at a bubble, and those that lie along such a line.
///
/// Most lines do neither, and an index of all their ends would be most of the work.
fn ends(
    drawing: &Drawing,
    bubbles: &[Bubble<'_>],
    is_hidden: impl Fn(SourceIndex) -> bool,
) -> Ends {
    let boxes = bubbles
        .iter()
        .map(|it| Area::around(&[it.centre], it.radius * (1.0 + MISS)));
    let boxes = Nearby::new(boxes.zip(0..).filter_map(|(area, i)| Some((area?, i))));
    let lines = || {
        let all = drawing.strokes.iter().enumerate();
        all.filter_map(|(index, stroke)| match stroke.curve {
            Curve::Line { start, end } => Some(([start, end], index, stroke.source)),
            Curve::Arc { .. } => None,
        })
    };
    // Lines that start at a bubble, drawn on far beyond the sheet, and what lies as near to each as its bubble is wide.
    let (mut rays, mut strips, mut at_bubbles) = (Vec::new(), Vec::new(), BTreeSet::new());
    for ([start, end], index, _) in lines() {
        for (here, far) in [(start, end), (end, start)] {
            boxes.visit(&Area::of(here, here), |i| {
                at_bubbles.insert(index);
                if leads_out(&bubbles[i], here, far) == Some(true) {
                    let along = (far - here) / apart(here, far);
                    let ends = [here, here + along * FAR];
                    if let Some(area) = Area::around(&ends, bubbles[i].radius) {
                        rays.push(area);
                        strips.push((here, along, bubbles[i].radius));
                    }
                }
            });
        }
    }
    let rays = Nearby::new(rays.into_iter().zip(0..));
    let mut list = Vec::new();
    for ([start, end], index, source) in lines() {
        // A slanted line's box is most of the sheet.
        let is_on = |i: usize| {
            let (from, along, radius) = strips[i];
            let [p, q] = [start, end].map(|p| (p - from).y * along.x - (p - from).x * along.y);
            p.min(q) <= radius && p.max(q) >= -radius
        };
        let is_along = || rays.any(&Area::of(start, end), is_on);
        if (at_bubbles.contains(&index) || is_along()) && !is_hidden(source) {
            list.extend([(start, index), (end, index)]);
        }
    }
    let index = Nearby::points(list.iter().map(|it| it.0));
    Ends { list, index }
}

/// Whether a line that ends near a circle leads away from its middle; `None` when it crosses the circle, as in the sign of a
/// section or a detail.
fn leads_out(bubble: &Bubble<'_>, here: Coord<f64>, far: Coord<f64>) -> Option<bool> {
    let radius = bubble.radius;
    let out = here - bubble.centre;
    let along = far - here;
    let length = along.x.hypot(along.y);
    let is_inside = out.x.hypot(out.y) < radius * (1.0 - MISS);
    let leads_in = out.x * along.x + out.y * along.y < 0.0;
    if is_inside || leads_in {
        // A letter's own stroke is no longer than this.
        return (length <= radius * (1.0 - MISS)).then_some(false);
    }
    let aside = (out.x * along.y - out.y * along.x).abs();
    Some(length > 0.0 && aside <= radius * MISS * length)
}

/// Every grid line of a drawing, by name and place.
pub(in crate::plan) fn grid_lines(drawing: &Drawing) -> Vec<GridLine> {
    let is_hidden = |source: SourceIndex| {
        let index = usize::try_from(source.0).unwrap_or(usize::MAX);
        drawing.sources.get(index).is_none_or(|it| it.is_hidden)
    };
    let bubbles = bubbles(drawing, is_hidden);
    if bubbles.is_empty() {
        return Vec::new();
    }
    let ends = ends(drawing, &bubbles, is_hidden);
    let mut found: Vec<GridLine> = Vec::new();
    for bubble in bubbles {
        let Some((start, end, pieces)) = line_from(drawing, &ends, &bubble) else {
            continue;
        };
        let mut sources: Vec<String> = (pieces.iter())
            .filter_map(|index| drawing.strokes.get(*index))
            .map(|it| it.source)
            .chain(bubble.sources)
            .filter_map(|it| drawing.sources.get(usize::try_from(it.0).ok()?))
            .map(|it| it.handle.clone())
            .collect();
        let mut seen = BTreeSet::new();
        sources.retain(|it| seen.insert(it.clone()));
        found.push(GridLine {
            name: bubble.name.to_owned(),
            start,
            end,
            sources,
        });
    }
    found.sort_by(|a, b| {
        let count = |it: &GridLine| it.name.chars().count();
        (count(a).cmp(&count(b)).then_with(|| a.name.cmp(&b.name)))
            .then(a.start.x.total_cmp(&b.start.x))
            .then(a.start.y.total_cmp(&b.start.y))
    });
    // A line with a bubble at either end is one line.
    let mut kept: Vec<GridLine> = Vec::new();
    for line in found {
        let is_twin = |it: &GridLine| {
            let reach = (it.end - it.start).x.hypot((it.end - it.start).y);
            it.name == line.name
                && apart(it.start, line.end) < reach / 4.0
                && apart(it.end, line.start) < reach / 4.0
        };
        match kept.iter_mut().find(|it| is_twin(it)) {
            Some(twin) => twin.sources.extend(line.sources),
            None => kept.push(line),
        }
    }
    kept
}

fn apart(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

/// The longest line that starts at a circle and leads away from it, with the strokes it is drawn by; `None` when another line
/// crosses the circle.
fn line_from(
    drawing: &Drawing,
    ends: &Ends,
    bubble: &Bubble<'_>,
) -> Option<(Coord<f64>, Coord<f64>, Vec<usize>)> {
    let radius = bubble.radius;
    let mut longest = 0.0;
    let mut best = None;
    let mut near = Vec::new();
    let reach = radius * (1.0 + MISS);
    (ends.index).visit_within(bubble.centre, reach, |i| near.push(i));
    near.sort_unstable();
    for (here, index) in near.into_iter().map(|i| ends.list[i]) {
        let Some(far) = other_end(drawing, index, here) else {
            continue;
        };
        if !leads_out(bubble, here, far)? {
            continue;
        }
        let along = (far - here) / apart(here, far);
        let (end, pieces) = followed(drawing, ends, index, far, along, radius);
        let whole = apart(here, end);
        if whole >= LEAST * radius && whole > longest {
            longest = whole;
            best = Some((here, end, pieces));
        }
    }
    best
}

fn other_end(drawing: &Drawing, index: usize, here: Coord<f64>) -> Option<Coord<f64>> {
    match drawing.strokes.get(index)?.curve {
        Curve::Line { start, end } => Some(if start == here { end } else { start }),
        Curve::Arc { .. } => None,
    }
}

/// Follows a line over its gaps: pieces in one line on one layer, each starting where the last ends or a little on.
fn followed(
    drawing: &Drawing,
    ends: &Ends,
    first: usize,
    from: Coord<f64>,
    along: Coord<f64>,
    radius: f64,
) -> (Coord<f64>, Vec<usize>) {
    let layer = |index: usize| {
        let source = drawing.strokes.get(index)?.source;
        let source = drawing.sources.get(usize::try_from(source.0).ok()?)?;
        Some(source.layer.as_str())
    };
    let slack = radius * 0.05;
    let mut end = from;
    let mut pieces = vec![first];
    let gap = GAP * radius;
    while pieces.len() < PIECES {
        let next = (Area::around(&[end], gap).into_iter())
            .flat_map(|around| ends.index.sorted(&around))
            .map(|i| ends.list[i])
            .filter(|(_, index)| layer(*index) == layer(first))
            .filter_map(|(here, index)| {
                let far = other_end(drawing, index, here)?;
                let forward = |p: Coord<f64>| (p - end).x * along.x + (p - end).y * along.y;
                let aside = |p: Coord<f64>| ((p - end).x * along.y - (p - end).y * along.x).abs();
                let is_next = forward(here) >= -slack
                    && forward(here) <= gap
                    && forward(far) > forward(here).max(slack)
                    && aside(here) <= slack
                    && aside(far) <= slack;
                is_next.then_some((forward(here), index, far))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let Some((_, index, far)) = next else { break };
        pieces.push(index);
        end = far;
    }
    (end, pieces)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Source, Stroke, Text};

    fn at(x: f64, y: f64) -> Coord<f64> {
        Coord { x, y }
    }

    fn drawing(lines: &[(Coord<f64>, Coord<f64>)], bubbles: &[(Coord<f64>, &str)]) -> Drawing {
        let mut drawing = Drawing::default();
        let add = |drawing: &mut Drawing| {
            let index = u32::try_from(drawing.sources.len()).unwrap();
            drawing.sources.push(Source {
                handle: format!("{:X}", index + 16),
                ..Source::default()
            });
            SourceIndex(index)
        };
        let mut curves: Vec<Curve> = Vec::new();
        curves.extend(lines.iter().map(|(start, end)| Curve::Line {
            start: *start,
            end: *end,
        }));
        curves.extend(bubbles.iter().map(|(centre, _)| Curve::Arc {
            centre: *centre,
            radius: 9.0,
            start_angle: 0.0,
            sweep: std::f64::consts::TAU,
        }));
        for curve in curves {
            let source = add(&mut drawing);
            drawing.strokes.push(Stroke {
                curve,
                source,
                part: 0,
                is_face: false,
                is_approximate: false,
            });
        }
        for (centre, words) in bubbles {
            let source = add(&mut drawing);
            drawing.texts.push(Text {
                content: (*words).to_owned(),
                at: *centre,
                middle: *centre,
                height: 6.0,
                angle: 0.0,
                tag: None,
                is_underlined: false,
                placement: None,
                source,
            });
        }
        drawing
    }

    #[test]
    fn a_bubble_with_a_line_in_pieces_is_a_grid_line() {
        let lines = [
            (at(0.0, -9.0), at(0.0, -40.0)),
            (at(0.0, -50.0), at(0.0, -90.0)),
            (at(0.0, -95.0), at(0.0, -300.0)),
            // Another line across, and one too far on.
            (at(-50.0, -100.0), at(50.0, -100.0)),
            (at(0.0, -400.0), at(0.0, -500.0)),
        ];
        let found = grid_lines(&drawing(&lines, &[(at(0.0, 0.0), "A")]));
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].start, found[0].end), (lines[0].0, lines[2].1));
        assert_eq!(found[0].sources, ["10", "11", "12", "15", "16"]);
    }

    #[test]
    fn bubbles_at_both_ends_are_one_line() {
        let lines = [(at(0.0, -9.0), at(0.0, -291.0))];
        let bubbles = [(at(0.0, 0.0), "7"), (at(0.0, -300.0), "7")];
        assert_eq!(grid_lines(&drawing(&lines, &bubbles)).len(), 1);
    }

    #[test]
    fn leaders_tags_and_signs_of_sections_are_no_grid() {
        let leader = [(at(0.0, -9.0), at(0.0, -30.0))];
        let across = [
            (at(0.0, -9.0), at(0.0, -300.0)),
            (at(-9.0, 0.0), at(9.0, 0.0)),
            (at(0.0, 0.0), at(9.0, 0.0)),
        ];
        let long = [(at(0.0, -9.0), at(0.0, -300.0))];
        let aside = [(at(9.0, 0.0), at(9.0, -300.0))];
        for (lines, bubbles) in [
            (&leader[..], vec![(at(0.0, 0.0), "A")]),
            (&across[..], vec![(at(0.0, 0.0), "A")]),
            (&long[..], vec![(at(0.0, 0.0), "OFFICE")]),
            (&long[..], vec![(at(0.0, 3.0), "A"), (at(0.0, -3.0), "A6")]),
            (&aside[..], vec![(at(0.0, 0.0), "A")]),
        ] {
            assert!(grid_lines(&drawing(lines, &bubbles)).is_empty());
        }
    }
}
