//! What stands in an opening, and what is written beside it.

use super::OpeningKind;
use super::rails::Family;
use super::runs::{Cell, Run};
use crate::drawing::{Curve, Drawing, SourceIndex};
use geo::Coord;

/// A swing arc.
#[derive(Clone, Copy, Debug)]
pub(super) struct Swing {
    pub(super) centre: Coord<f64>,
    pub(super) radius: f64,
    pub(super) middle: Coord<f64>,
    pub(super) source: SourceIndex,
}

/// A call-out such as `3068`, or a size in millimetres such as `900 x 2030`.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    pub(super) text: String,
    pub(super) at: Coord<f64>,
    pub(super) width: f64,
    pub(super) height: Option<f64>,
    pub(super) source: SourceIndex,
}

/// Door leaves are this wide, inches.
const LEAF: (f64, f64) = (15.0, 52.0);
/// A vehicle door is at least this wide, inches: 7 ft.
const VEHICLE: f64 = 84.0;

/// Arcs that may be swings of doors.
pub(super) fn swings(drawing: &Drawing, origin: Coord<f64>) -> Vec<Swing> {
    let arcs = drawing
        .strokes
        .iter()
        .filter_map(|stroke| match stroke.curve {
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => {
                let is_hidden = drawing
                    .sources
                    .get(stroke.source.0 as usize)
                    .is_none_or(|source| source.is_hidden);
                let fits = !is_hidden
                    && (LEAF.0..=LEAF.1).contains(&radius)
                    && (0.5..2.3).contains(&sweep.abs());
                fits.then(|| {
                    let angle = start_angle + sweep / 2.0;
                    let centre = centre - origin;
                    let middle = Coord {
                        x: centre.x + radius * angle.cos(),
                        y: centre.y + radius * angle.sin(),
                    };
                    Swing {
                        centre,
                        radius,
                        middle,
                        source: stroke.source,
                    }
                })
            }
            Curve::Line { .. } => None,
        });
    arcs.collect()
}

/// Call-outs of the drawing; `unit` in inches turns bare numbers of a metric drawing into widths.
pub(super) fn callouts(drawing: &Drawing, origin: Coord<f64>) -> Vec<Callout> {
    let read = |text: &crate::drawing::Text| {
        let (width, height) = callout_size(&text.content, drawing.scale.inches_per_unit)?;
        Some(Callout {
            text: text.content.trim().to_owned(),
            at: text.at - origin,
            width,
            height,
            source: text.source,
        })
    };
    drawing.texts.iter().filter_map(read).collect()
}

/// Width and height in inches of a call-out.
pub(super) fn callout_size(text: &str, inches_per_unit: f64) -> Option<(f64, Option<f64>)> {
    let text = text.trim();
    if let Some((w, h)) = text.split_once(['x', 'X', '×']) {
        let (w, h): (f64, f64) = (w.trim().parse().ok()?, h.trim().parse().ok()?);
        let mm = 1.0 / 25.4;
        let is_mm = (300.0..=9000.0).contains(&w) && (300.0..=4000.0).contains(&h);
        return is_mm.then_some((w * mm, Some(h * mm)));
    }
    if !text.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let digit = |i: usize| f64::from(text.as_bytes()[i] - b'0');
    // Feet and inches of width, then of height: 3068 is 3'-0" x 6'-8".
    let four = |i: usize| {
        (
            digit(i) * 12.0 + digit(i + 1),
            digit(i + 2) * 12.0 + digit(i + 3),
        )
    };
    match text.len() {
        4 if (inches_per_unit - 1.0).abs() < 1e-9
            || inches_per_unit > 1.0 && inches_per_unit < 13.0 =>
        {
            let (w, h) = four(0);
            (w >= 12.0 && h >= 12.0).then_some((w, Some(h)))
        }
        5 if (inches_per_unit - 1.0).abs() < 1e-9 => {
            let w = (digit(0) * 10.0 + digit(1)) * 12.0 + digit(2);
            (w <= 240.0).then_some((w, Some(digit(3) * 12.0 + digit(4))))
        }
        3 | 4 => {
            let w: f64 = text.parse().ok()?;
            (300.0..=6000.0).contains(&w).then_some((w / 25.4, None))
        }
        _ => None,
    }
}

/// What one opening turned out to be.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) kind: OpeningKind,
    pub(super) leaf: Option<f64>,
    /// Hinge at the low end of u, and swing towards higher v.
    pub(super) hinge_low: Option<bool>,
    pub(super) swings_up: Option<bool>,
    pub(super) callout: Option<usize>,
    pub(super) sources: Vec<SourceIndex>,
    pub(super) is_sure: bool,
}

/// Looks at one opening.
pub(super) fn look(
    family: &Family,
    run: &Run,
    cell: &Cell,
    swings: &[Swing],
    callouts: &[Callout],
) -> Found {
    let width = cell.u1 - cell.u0;
    let slack = run.thickness() * 0.6 + 2.0;
    let mut sources = Vec::new();
    let mut doors: Vec<(&Swing, bool, bool)> = Vec::new();
    for swing in swings {
        let (u, v) = family.local(swing.centre);
        let near_face = v > run.v.0 - slack && v < run.v.1 + slack;
        let low = (u - cell.u0).abs() < 2.5;
        let high = (u - cell.u1).abs() < 2.5;
        let single = (swing.radius - width).abs() < 4.0;
        let double = (swing.radius * 2.0 - width).abs() < 6.0;
        let (um, vm) = family.local(swing.middle);
        let over = um > cell.u0 - 3.0 && um < cell.u1 + 3.0;
        if near_face && over && (low || high) && (single || double) {
            doors.push((swing, low, vm > run.middle()));
            sources.push(swing.source);
        }
    }
    let between: Vec<_> = family
        .rails
        .iter()
        .filter(|rail| {
            rail.v >= run.v.0 - 0.3
                && rail.v <= run.v.1 + 0.3
                && rail.covered(cell.u0, cell.u1) > 0.75 * width
        })
        .collect();
    for rail in &between {
        sources.extend(
            rail.pieces
                .iter()
                .filter(|p| p.u0 > cell.u0 - 2.0 && p.u1 < cell.u1 + 2.0)
                .map(|p| p.source),
        );
    }
    let inner = between
        .iter()
        .filter(|rail| rail.v > run.v.0 + 0.4 && rail.v < run.v.1 - 0.4)
        .count();
    let (kind, is_sure) = if !doors.is_empty() {
        (OpeningKind::Door, true)
    } else if between.len() <= 2 && inner >= 1 && width >= VEHICLE && between.len() == inner {
        (OpeningKind::GarageDoor, true)
    } else if inner >= 1 || between.len() >= 2 {
        (OpeningKind::Window, true)
    } else {
        (OpeningKind::Opening, true)
    };
    let centre = family.point((cell.u0 + cell.u1) / 2.0, run.middle());
    let fits = |callout: &Callout| {
        let close = (callout.width - width).abs() < 1.0
            || (kind == OpeningKind::Door && (callout.width - width).abs() < 4.0);
        let far = (callout.at.x - centre.x).hypot(callout.at.y - centre.y);
        (close && far < width / 2.0 + 48.0).then_some(far)
    };
    let callout = callouts
        .iter()
        .enumerate()
        .filter_map(|(i, c)| Some((fits(c)?, i)))
        .min_by(|p, q| p.0.total_cmp(&q.0))
        .map(|(_, i)| i);
    sources.extend(callout.map(|i| callouts[i].source));
    let one = if doors.len() == 1 {
        doors.first()
    } else {
        None
    };
    Found {
        kind,
        leaf: doors.first().map(|(swing, _, _)| swing.radius),
        hinge_low: one.map(|(_, low, _)| *low),
        swings_up: doors.first().map(|(_, _, up)| *up),
        callout,
        sources,
        is_sure,
    }
}
