//! Draws what a cut meets, clipped to a window with break lines where it goes on.

use super::cut::{CutPart, Stuff};
use crate::documents::paper::style::{
    FOAM_HATCH, Fill, Ink, OTHER_FOAM_HATCH, Pen, SKIN_HATCH, Stroke,
};
use crate::documents::paper::{Area, Canvas, Form, Spot, spot};
use crate::documents::plan_view::clip_ring;

/// Draws parts of a cut.
///
/// - `paper`: from the cut's inches to the paper.
/// - `window`: what lies outside it is cut off, mm on paper.
pub(crate) fn draw_cut(
    canvas: &mut Canvas,
    parts: &[CutPart],
    paper: &impl Fn(Spot) -> Spot,
    window: &Area,
) {
    for part in parts {
        let ring: Vec<Spot> = part.ring.iter().map(|p| paper(*p)).collect();
        let clipped = clip_ring(&ring, window);
        if clipped.len() < 3 || area(&clipped) < 1e-6 {
            continue;
        }
        match part.stuff {
            Stuff::Foam => canvas.hatch(&FOAM_HATCH, &[clipped]),
            Stuff::BareFoam => {
                canvas.hatch(&FOAM_HATCH, std::slice::from_ref(&clipped));
                outline(canvas, &clipped, window, Pen::Fine.full());
            }
            Stuff::OtherFoam => {
                canvas.shape(Form::Polygon(clipped.clone()), None, Fill::White);
                canvas.hatch(&OTHER_FOAM_HATCH, std::slice::from_ref(&clipped));
                outline(canvas, &clipped, window, Pen::Bold.full());
            }
            Stuff::Skin => {
                canvas.shape(Form::Polygon(clipped.clone()), None, Fill::White);
                canvas.hatch(&SKIN_HATCH, std::slice::from_ref(&clipped));
                outline(canvas, &clipped, window, Pen::Bold.full());
            }
            Stuff::LumberEnd => {
                canvas.shape(Form::Polygon(clipped.clone()), None, Fill::White);
                if let [a, b, c, d] = ring.as_slice()
                    && ring.iter().all(|p| holds(window, *p))
                {
                    let cross = Form::Hatch(vec![(*a, *c), (*b, *d)]);
                    canvas.shape(cross, Pen::Fine.full(), Fill::None);
                }
                outline(canvas, &clipped, window, Pen::Bold.full());
            }
            Stuff::LumberSide => {
                canvas.shape(Form::Polygon(clipped.clone()), None, Fill::White);
                grain(canvas, &clipped);
                outline(canvas, &clipped, window, Pen::Bold.full());
            }
        }
    }
}

/// Two fine lines along the longer way: lumber seen along its grain.
fn grain(canvas: &mut Canvas, ring: &[Spot]) {
    let Some(extent) = Area::around(ring) else {
        return;
    };
    let lines = [1.0 / 3.0, 2.0 / 3.0].map(|part| {
        if extent.width() > extent.height() {
            let y = extent.y0 + extent.height() * part;
            (spot(extent.x0, y), spot(extent.x1, y))
        } else {
            let x = extent.x0 + extent.width() * part;
            (spot(x, extent.y0), spot(x, extent.y1))
        }
    });
    let stroke = Pen::Hair.full().with(Ink::Hatch);
    canvas.shape(Form::Hatch(lines.to_vec()), stroke, Fill::None);
}

/// The sides of a clipped contour, less those that only the window made.
fn outline(canvas: &mut Canvas, ring: &[Spot], window: &Area, stroke: Stroke) {
    let next = ring.iter().cycle().skip(1);
    let own: Vec<(Spot, Spot)> = ring
        .iter()
        .zip(next)
        .filter(|(a, b)| !on_same_side(**a, **b, window))
        .map(|(a, b)| (*a, *b))
        .collect();
    if own.len() == ring.len() {
        canvas.polygon(stroke, ring.to_vec());
        return;
    }
    for (a, b) in own {
        canvas.line(stroke, a, b);
    }
}

/// Rounding of clipped points, mm on paper.
const CLIP_ROUNDING: f64 = 1e-6;

fn on_same_side(a: Spot, b: Spot, window: &Area) -> bool {
    let both = |x: f64, y: f64, side: f64| {
        (x - side).abs() < CLIP_ROUNDING && (y - side).abs() < CLIP_ROUNDING
    };
    both(a.x, b.x, window.x0)
        || both(a.x, b.x, window.x1)
        || both(a.y, b.y, window.y0)
        || both(a.y, b.y, window.y1)
}

fn holds(window: &Area, p: Spot) -> bool {
    window.grown(CLIP_ROUNDING).holds(&Area::of(p, p))
}

fn area(ring: &[Spot]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    let doubled: f64 = ring
        .iter()
        .zip(next)
        .map(|(a, b)| a.x * b.y - b.x * a.y)
        .sum();
    doubled.abs() / 2.0
}

/// A break line: straight with one zigzag in its middle, a little beyond what it breaks.
pub(crate) fn break_line(canvas: &mut Canvas, from: Spot, to: Spot) {
    let d = to - from;
    let length = d.x.hypot(d.y);
    if length <= 0.0 {
        return;
    }
    let along = d / length;
    let across = spot(-along.y, along.x);
    let middle = (from + to) / 2.0;
    let (step, high) = (1.2_f64.min(length / 8.0), 2.0_f64.min(length / 5.0));
    canvas.polyline(
        Pen::Fine.full(),
        vec![
            from - along * 2.0,
            middle - along * (1.5 * step),
            middle - along * (0.5 * step) + across * high,
            middle + along * (0.5 * step) - across * high,
            middle + along * (1.5 * step),
            to + along * 2.0,
        ],
    );
}
