//! The architect's grid on the key plan: chain lines through the building, a bubble at each, a string from line to line.
//!
//! ```text
//!        (A)   (B)        above and at the left, outside all other strings;
//!     ────┼─────┼────     a line at an angle has its bubble at the end where the architect has it
//! ```

use super::dimensions::{Lane, MarkDepths, draw_at_side, left_of_string, side_depth};
use super::scene::Scene;
use crate::documents::paper::dimension::printed_pieces;
use crate::documents::paper::model::Item;
use crate::documents::paper::overlap::{clear_of, text_areas};
use crate::documents::paper::spread::spread_evenly;
use crate::documents::paper::style::{Dash, LARGE_SHEET, Pen};
use crate::documents::paper::symbol::balloon;
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};
use crate::documents::plan_view::{PlanView, clip_line, turned};
use crate::plan::GridLine;
use crate::units::Length;

/// Radius of a bubble, mm.
pub(in crate::documents) const BUBBLE: f64 = 5.5;
/// A line passes the building by so much, mm.
const PAST: f64 = 5.0;
/// A line that leans less than this stands upright or level, inches in an inch.
const LEVEL: f64 = 1e-3;

/// Sides that have bubbles: above for upright lines, left for level ones, by their places in `SIDES`.
const SIDES_OF_GRID: [usize; 2] = [0, 3];

/// Their names in ids.
const SIDE_NAMES: [&str; 2] = ["above", "left"];

/// Room that a side needs for the grid outside its strings, mm.
pub(super) fn grid_depth(scene: &Scene<'_>, side: usize) -> f64 {
    let has_lines = lines(scene).any(|it| side_of(scene, it) == Some(side));
    if has_lines {
        scene.lane() + 2.0 * BUBBLE + 2.0
    } else {
        0.0
    }
}

fn lines<'a>(scene: &'a Scene<'_>) -> impl Iterator<Item = &'a GridLine> {
    scene.plan.iter().flat_map(|storey| &storey.grid)
}

fn side_of(scene: &Scene<'_>, line: &GridLine) -> Option<usize> {
    let along = turned(line.end - line.start, scene.turn);
    let length = along.x.hypot(along.y);
    let [upright, level] = SIDES_OF_GRID;
    if along.x.abs() < LEVEL * length {
        Some(upright)
    } else if along.y.abs() < LEVEL * length {
        Some(level)
    } else {
        None
    }
}

/// Draws lines, bubbles and strings, lines broken at the texts of the dimensions; returns what the strings had no room to print.
pub(super) fn draw_grid(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    view: &PlanView,
    (lanes, marks): (&[Lane], &MarkDepths),
    texts: &[Area],
) -> Vec<String> {
    let mut left = Vec::new();
    let corners: Vec<Spot> = scene.corners().iter().map(|p| view.paper(*p)).collect();
    let Some(building) = Area::around(&corners) else {
        return left;
    };
    for side in SIDES_OF_GRID {
        let is_upright = side == 0;
        // Along the side: level inches and paper.
        let mut row: Vec<(f64, f64, &str)> = lines(scene)
            .filter(|it| side_of(scene, it) == Some(side))
            .map(|it| {
                let (level, paper) = (turned(it.start, scene.turn), view.paper(it.start));
                let name = it.name.as_str();
                if is_upright {
                    (level.x, paper.x, name)
                } else {
                    (level.y, paper.y, name)
                }
            })
            .collect();
        row.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.2.cmp(b.2)));
        row.dedup_by(|a, b| a.2 == b.2 && (a.1 - b.1).abs() < 0.1);
        if row.is_empty() {
            continue;
        }
        let depth = side_depth(scene, lanes, side, marks);
        let wanted: Vec<f64> = row.iter().map(|it| it.1).collect();
        let places = spread_evenly(
            &wanted,
            2.0 * BUBBLE + 1.0,
            f64::NEG_INFINITY,
            f64::INFINITY,
        );
        let at = |along: f64, out: f64| {
            if is_upright {
                spot(along, building.y0 - out)
            } else {
                spot(building.x0 - out, along)
            }
        };
        let far = if is_upright {
            building.height() + PAST
        } else {
            building.width() + PAST
        };
        let mut apart = row.clone();
        apart.dedup_by(|a, b| (a.1 - b.1).abs() < 0.01);
        let mut string = Canvas::new();
        if apart.len() > 1 {
            let zero = apart.first().map_or(0.0, |it| it.0);
            let ends: Vec<Length> = apart
                .iter()
                .filter_map(|it| Length::nearest((it.0 - zero).abs(), Length::nanometres(1)))
                .collect();
            let places: Vec<f64> = apart.iter().map(|it| it.1).collect();
            let words = printed_pieces(&ends);
            let lane = depth + scene.lane() * 0.5;
            let short = draw_at_side(&mut string, scene, side, &building, &places, &words, lane);
            left.extend(left_of_string("the grid", side, &words, &short));
        }
        let id = format!("string-grid-{}", SIDE_NAMES[usize::from(!is_upright)]);
        let string = string.into_group(&id, "Grid");
        // Stems lean, where bubbles stand apart: more air beside a text.
        let own: Vec<Area> = text_areas(&string).iter().map(|it| it.grown(1.0)).collect();
        let all: Vec<Area> = texts.iter().chain(&own).copied().collect();
        let pen = Pen::Fine.dashed(Dash::Chain);
        let bend = depth + scene.lane() * 0.5 + 2.0;
        let centre = depth + scene.lane() + BUBBLE + 1.0;
        for ((_, along, name), place) in row.iter().zip(places) {
            let data = [("grid", *name)];
            canvas.group_with("", &format!("Grid line {name}"), &data, |canvas| {
                for [from, to] in clear_of(&all, [at(*along, bend), at(*along, -far)]) {
                    canvas.line(pen, from, to);
                }
                for [from, to] in clear_of(&all, [at(*along, bend), at(place, centre - BUBBLE)]) {
                    canvas.line(Pen::Fine.full(), from, to);
                }
                bubble(canvas, at(place, centre), name);
            });
        }
        if !own.is_empty() {
            canvas.put(Item::Group(string));
        }
    }
    draw_slanted(canvas, scene, view, &building);
    left
}

/// Lines at an angle: through the building, the bubble just outside it.
fn draw_slanted(canvas: &mut Canvas, scene: &Scene<'_>, view: &PlanView, building: &Area) {
    for line in lines(scene).filter(|it| side_of(scene, it).is_none()) {
        let (start, end) = (view.paper(line.start), view.paper(line.end));
        let Some((from, to)) = clip_line(start, end, &building.grown(PAST)) else {
            continue;
        };
        let along = (end - start) / (end - start).x.hypot((end - start).y);
        let data = [("grid", line.name.as_str())];
        canvas.group_with("", &format!("Grid line {}", line.name), &data, |canvas| {
            canvas.line(Pen::Fine.dashed(Dash::Chain), from, to);
            bubble(canvas, from - along * BUBBLE, &line.name);
        });
    }
}

/// A bubble with its name.
pub(in crate::documents) fn bubble(canvas: &mut Canvas, centre: Spot, name: &str) {
    let mut letters = Lettered::cap(LARGE_SHEET.title * 0.7).bold();
    let fits = 2.0 * BUBBLE - 2.0;
    if letters.width(name) > fits {
        letters.cap = (letters.cap * fits / letters.width(name)).max(LARGE_SHEET.note * 0.8);
    }
    balloon(canvas, Pen::Edge.full(), centre, BUBBLE, name, letters);
}
