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

/// How many times larger than what was recovered the view may grow, each way: beyond that a layer holds more than one building.
const MOST_GROWTH: f64 = 8.0;

/// Rounds of growing; each takes in all lines near what the last one reached.
const ROUNDS: usize = 24;

/// Zoomed on what was recovered, on what the same layers draw right beside it (it may have been missed), and on every place in
/// question on what is drawn; without walls, on the whole drawing.
pub(super) fn fit_view(
    input: &TraceInput<'_>,
    storey: &Storey,
    questions: &[Question],
    gaps: &[Gap],
    turn: f64,
    window: &Area,
) -> PlanView {
    let list = &plan_scales(input.facts.sheets.scales);
    match shown(input.drawing, storey, questions, gaps) {
        Some(points) => PlanView::fit(&points, turn, &window.grown(-AROUND), list),
        None => {
            let strokes = input.drawing.map_or(&[][..], |it| &it.strokes);
            let points: Vec<_> = strokes.iter().flat_map(|it| ends_of(&it.curve)).collect();
            PlanView::fit(&points, turn, &window.grown(-4.0), list)
        }
    }
}

/// The points that a view of a storey holds; `None` without walls.
fn shown(
    drawing: Option<&Drawing>,
    storey: &Storey,
    questions: &[Question],
    gaps: &[Gap],
) -> Option<Vec<Coord<f64>>> {
    let mut points: Vec<Coord<f64>> = wall_bodies(storey)
        .into_iter()
        .flat_map(|body| body.quad)
        .collect();
    let recovered = extent_of(points.iter().copied())?;
    if let Some(drawing) = drawing {
        points.extend(beside(drawing, storey, &recovered));
    }
    let asked = questions.iter().flat_map(|it| it.places.iter().copied());
    let ends = gaps.iter().flat_map(|it| [it.from, it.to]);
    // What another view on the sheet is asked about stands on that view, however far off.
    let far = recovered.width().max(recovered.height()) * MOST_GROWTH;
    let near = recovered.grown(far);
    points.extend(asked.chain(ends).filter(|p| near.holds(&Area::of(*p, *p))));
    Some(points)
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
    let is_one_building = reached.width() <= recovered.width() * MOST_GROWTH
        && reached.height() <= recovered.height() * MOST_GROWTH;
    if is_one_building { points } else { Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Source, SourceIndex, Stroke};
    use crate::plan::Wall;

    /// How far to the right a view reaches that holds a wall from 0 to 100, of a drawing whose lines of the same layer go on to `far` in
    /// steps of 40 in, with a question at a place.
    fn reach(far: f64, asked: f64) -> f64 {
        let wall = Wall {
            end: Coord { x: 100.0, y: 0.0 },
            thickness: 6.0,
            sources: vec!["A".to_owned()],
            ..Wall::default()
        };
        let storey = Storey {
            walls: vec![wall],
            ..Storey::default()
        };
        let mut drawing = Drawing {
            sources: vec![Source {
                handle: "A".to_owned(),
                ..Source::default()
            }],
            ..Drawing::default()
        };
        let mut x = 100.0;
        while x < far {
            drawing.strokes.push(Stroke {
                curve: Curve::Line {
                    start: Coord { x, y: 0.0 },
                    end: Coord {
                        x: x + 40.0,
                        y: 0.0,
                    },
                },
                source: SourceIndex(0),
                part: 0,
                is_face: false,
                is_approximate: false,
            });
            x += 40.0;
        }
        let question = Question {
            number: 1,
            is_fault: false,
            code: "",
            about: Vec::new(),
            seen: String::new(),
            hint: String::new(),
            places: vec![Coord { x: asked, y: 0.0 }],
        };
        let points = shown(Some(&drawing), &storey, &[question], &[]).unwrap();
        points.iter().map(|p| p.x).fold(0.0, f64::max)
    }

    #[test]
    fn a_view_holds_the_lines_beside_what_was_recovered_and_every_question() {
        assert!((reach(100.0, 50.0) - 100.0).abs() < 1e-9);
        assert!((reach(500.0, 50.0) - 500.0).abs() < 1e-9);
        assert!((reach(100.0, 700.0) - 700.0).abs() < 1e-9);
        // A layer that holds the whole sheet is no building.
        assert!((reach(2000.0, 50.0) - 100.0).abs() < 1e-9);
    }
}
