//! What part of the drawing a trace shows, and how large.

use super::facts::{Gap, Question};
use super::sheet::TraceInput;
use crate::documents::paper::Area;
use crate::documents::paper::scale::plan_scales;
use crate::documents::plan_view::{PlanView, extent_of, wall_bodies};
use crate::drawing::{Curve, Drawing};
use crate::plan::Storey;
use geo::Coord;
use std::collections::BTreeSet;

/// Room round the building for tags, questions and the architect's dimensions, mm.
const AROUND: f64 = 44.0;

/// Lines of the walls' layers this near what is shown already belong to the same building, inches: a doorway's width.
const SAME_BUILDING: f64 = 48.0;

/// How many times larger than what was recovered the view may grow, each way: beyond that a layer holds more than walls.
const MOST_GROWTH: f64 = 3.0;

/// How much larger the shown area must become for the view to grow at all: a porch is not worth a smaller scale.
const LEAST_GROWTH: f64 = 1.3;

/// Rounds of growing; each takes in all lines near what the last one reached.
const ROUNDS: usize = 24;

/// Zoomed on what was recovered, on what the same layers draw right beside it (it may have been missed), and on places in
/// question near it; without walls, on the whole drawing.
pub(super) fn fit_view(
    input: &TraceInput<'_>,
    storey: &Storey,
    questions: &[Question],
    gaps: &[Gap],
    turn: f64,
    window: &Area,
) -> PlanView {
    let list = &plan_scales(input.facts.sheets.scales);
    let mut points: Vec<Coord<f64>> = wall_bodies(storey)
        .into_iter()
        .flat_map(|body| body.quad)
        .collect();
    let Some(recovered) = extent_of(points.iter().copied()) else {
        let strokes = input.drawing.map_or(&[][..], |it| &it.strokes);
        points.extend(strokes.iter().flat_map(|stroke| ends_of(&stroke.curve)));
        return PlanView::fit(&points, turn, &window.grown(-4.0), list);
    };
    if let Some(drawing) = input.drawing {
        points.extend(beside(drawing, storey, &recovered));
    }
    let near = recovered.grown(recovered.width().max(recovered.height()) * 0.1);
    let asked = questions.iter().flat_map(|it| it.places.iter().copied());
    let ends = gaps.iter().flat_map(|it| [it.from, it.to]);
    points.extend(asked.chain(ends).filter(|p| near.holds(&Area::of(*p, *p))));
    PlanView::fit(&points, turn, &window.grown(-AROUND), list)
}

/// What of a storey without an outline hangs together with its gaps; `None` where all of it is shown.
pub(super) fn near_gaps(storey: &Storey, gaps: &[Gap]) -> Option<Storey> {
    if !storey.outline.is_empty() || gaps.is_empty() {
        return None;
    }
    let bodies = wall_bodies(storey);
    let area = |points: &[Coord<f64>]| extent_of(points.iter().copied());
    let mut reached: Vec<Area> = gaps
        .iter()
        .filter_map(|it| area(&[it.from, it.to]))
        .collect();
    let mut left: Vec<(usize, Area)> = bodies
        .iter()
        .filter_map(|body| Some((body.wall, area(&body.quad)?)))
        .collect();
    let mut kept: BTreeSet<usize> = BTreeSet::new();
    let mut next = 0;
    while let Some(near) = reached.get(next).map(|it| it.grown(SAME_BUILDING)) {
        next += 1;
        left.retain(|(wall, body)| {
            let is_near = near.meets(body);
            if is_near {
                kept.insert(*wall);
                reached.push(*body);
            }
            !is_near
        });
    }
    let walls = storey.walls.iter().enumerate();
    let walls: Vec<_> = walls
        .filter(|(i, _)| kept.contains(i))
        .map(|it| it.1.clone())
        .collect();
    if walls.is_empty() || left.is_empty() {
        return None;
    }
    let is_kept = |id: &str| walls.iter().any(|wall| wall.id == id);
    let openings = storey.openings.iter().filter(|it| is_kept(&it.wall));
    Some(Storey {
        openings: openings.cloned().collect(),
        rooms: Vec::new(),
        walls,
        ..storey.clone()
    })
}

fn ends_of(curve: &Curve) -> [Coord<f64>; 2] {
    match curve {
        Curve::Line { start, end } => [*start, *end],
        Curve::Arc { centre, .. } => [*centre, *centre],
    }
}

/// Ends of the lines on the layers of recovered walls that lie beside what was recovered, and beside each other.
///
/// Nothing when they reach so far that the layer must hold more than one building.
fn beside(drawing: &Drawing, storey: &Storey, recovered: &Area) -> Vec<Coord<f64>> {
    let handles: BTreeSet<&str> = storey
        .walls
        .iter()
        .flat_map(|it| &it.sources)
        .map(String::as_str)
        .collect();
    let layers: BTreeSet<&str> = drawing
        .sources
        .iter()
        .filter(|it| handles.contains(it.handle.as_str()))
        .map(|it| it.layer.as_str())
        .collect();
    let mut lines: Vec<[Coord<f64>; 2]> = drawing
        .strokes
        .iter()
        .filter(|stroke| {
            usize::try_from(stroke.source.0)
                .ok()
                .and_then(|index| drawing.sources.get(index))
                .is_some_and(|it| !it.is_hidden && layers.contains(it.layer.as_str()))
        })
        .filter_map(|stroke| match stroke.curve {
            Curve::Line { start, end } => Some([start, end]),
            Curve::Arc { .. } => None,
        })
        .filter(|ends| ends.iter().all(|p| p.x.is_finite() && p.y.is_finite()))
        .collect();
    let mut reached = *recovered;
    let mut points = Vec::new();
    for _ in 0..ROUNDS {
        let near = reached.grown(SAME_BUILDING);
        let before = lines.len();
        lines.retain(|[a, b]| {
            let is_near = near.meets(&Area::of(*a, *b).grown(1e-6));
            if is_near {
                reached = reached.with(*a).with(*b);
                points.extend([*a, *b]);
            }
            !is_near
        });
        if lines.len() == before {
            break;
        }
    }
    let area = |it: &Area| it.width() * it.height();
    let is_worth_it = area(&reached) > area(recovered) * LEAST_GROWTH;
    let is_one_building = reached.width() <= recovered.width() * MOST_GROWTH
        && reached.height() <= recovered.height() * MOST_GROWTH;
    if is_worth_it && is_one_building {
        points
    } else {
        Vec::new()
    }
}
