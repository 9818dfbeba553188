//! From file units to inches: the last step to a [`Drawing`].

use super::blocks::flat::{Flat, FlatDimension};
use super::entities::curves::{FlatCurve, plain_curves};
use super::file::contents::Contents;
use super::model::{BlockPlacement, Curve, Dimension, Drawing, Fill, Layer, Scale, Stroke, Text};
use super::sheets::stacked::levels;
use crate::geometry::tolerance::CURVE_FIT;
use geo::Coord;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Scales everything and fits arcs to what is no circle.
pub(super) fn finish(contents: &Contents<'_>, flat: Flat, scale: Scale, file: &str) -> Drawing {
    let factor = scale.inches_per_unit;
    let (strokes, starts) = strokes(&flat, factor);
    let placements = flat
        .placements
        .iter()
        .map(|placement| {
            let stroke = |curve: usize| starts.get(curve).copied().unwrap_or(strokes.len());
            let own = strokes
                .get(stroke(placement.curves.start)..stroke(placement.curves.end))
                .unwrap_or_default();
            BlockPlacement {
                name: placement.name.clone(),
                at: scaled(placement.at, factor),
                angle: placement.angle,
                scale: placement.scale,
                bounds: bounds(own),
                parent: placement.parent,
                attributes: placement.attributes.clone(),
                source: placement.source,
            }
        })
        .collect();
    let fills: Vec<Fill> = flat
        .areas
        .into_iter()
        .map(|area| Fill {
            kind: area.kind,
            rings: area
                .rings
                .iter()
                .map(|ring| chords(ring, factor, CURVE_FIT))
                .filter(|ring| ring.len() > 2)
                .collect(),
            pattern: area.pattern,
            source: area.source,
        })
        .collect();
    let texts: Vec<Text> = flat
        .texts
        .into_iter()
        .map(|text| Text {
            content: text.content,
            at: scaled(text.at, factor),
            middle: scaled(text.middle, factor),
            height: text.height * factor,
            angle: text.angle,
            tag: text.tag,
            is_underlined: text.is_underlined,
            placement: text.placement,
            source: text.source,
        })
        .collect();
    let levels = levels(&flat.set_aside, factor);
    let mut drawing = Drawing {
        file: file.to_owned(),
        version: contents.header.get("$ACADVER").cloned().unwrap_or_default(),
        scale,
        layers: Vec::new(),
        sources: flat.sources,
        strokes,
        fills,
        texts,
        dimensions: flat
            .dimensions
            .iter()
            .map(|dimension| dimension_of(dimension, factor))
            .collect(),
        placements,
        census: super::model::Census::default(),
        stacked: flat.stacked,
        levels,
    };
    drawing.layers = layers(contents, &drawing, &flat.source_layers, &flat.layer_names);
    drawing
}

fn scaled(at: Coord<f64>, factor: f64) -> Coord<f64> {
    Coord {
        x: at.x * factor,
        y: at.y * factor,
    }
}

fn scaled_curve(curve: &Curve, factor: f64) -> Curve {
    match *curve {
        Curve::Line { start, end } => Curve::Line {
            start: scaled(start, factor),
            end: scaled(end, factor),
        },
        Curve::Arc {
            centre,
            radius,
            start_angle,
            sweep,
        } => Curve::Arc {
            centre: scaled(centre, factor),
            radius: radius * factor,
            start_angle,
            sweep,
        },
    }
}

/// The strokes, and for each flat curve the number of its first stroke.
fn strokes(flat: &Flat, factor: f64) -> (Vec<Stroke>, Vec<usize>) {
    let mut strokes = Vec::with_capacity(flat.curves.len());
    let mut starts = Vec::with_capacity(flat.curves.len());
    for item in &flat.curves {
        starts.push(strokes.len());
        match &item.curve {
            FlatCurve::Plain(curve) => strokes.push(Stroke {
                curve: scaled_curve(curve, factor),
                source: item.source,
                part: item.part,
                is_face: item.is_face,
                is_approximate: false,
            }),
            bent => {
                for (number, (curve, is_approximate)) in
                    plain_curves(bent, CURVE_FIT / factor).iter().enumerate()
                {
                    strokes.push(Stroke {
                        curve: scaled_curve(curve, factor),
                        source: item.source,
                        part: item.part + u32::try_from(number).unwrap_or(u32::MAX),
                        is_face: item.is_face,
                        is_approximate: *is_approximate,
                    });
                }
            }
        }
    }
    (strokes, starts)
}

/// A ring's corners, times `factor`, curves as chords within `fit`, the first not repeated.
pub(super) fn chords(ring: &[FlatCurve], factor: f64, fit: f64) -> Vec<Coord<f64>> {
    let mut corners: Vec<Coord<f64>> = Vec::new();
    let mut push = |at: Coord<f64>| {
        if corners.last() != Some(&at) {
            corners.push(at);
        }
    };
    for pieces in oriented(ring, factor, fit) {
        for piece in pieces {
            match piece {
                Curve::Line { start, end } => {
                    push(start);
                    push(end);
                }
                Curve::Arc { radius, sweep, .. } => {
                    let count = chord_count(radius, sweep, fit);
                    for number in 0..=count {
                        push(piece.at(f64::from(number) / f64::from(count)));
                    }
                }
            }
        }
    }
    let near = |a: &Coord<f64>, b: &Coord<f64>| (a.x - b.x).hypot(a.y - b.y) < fit * 1e-3;
    while corners.len() > 1
        && matches!((corners.first(), corners.last()), (Some(a), Some(b)) if near(a, b))
    {
        corners.pop();
    }
    corners
}

/// The edges of a ring as lines and arcs, times `factor`, each turned so that it starts where the one before it ends: files
/// have them in order, not always in one direction.
fn oriented(ring: &[FlatCurve], factor: f64, fit: f64) -> Vec<Vec<Curve>> {
    let mut edges: Vec<Vec<Curve>> = ring
        .iter()
        .map(|curve| {
            plain_curves(curve, fit / factor)
                .iter()
                .map(|(piece, _)| scaled_curve(piece, factor))
                .collect()
        })
        .filter(|pieces: &Vec<Curve>| !pieces.is_empty())
        .collect();
    let ends = |pieces: &[Curve]| {
        let first = pieces.first().map(|piece| curve_ends(piece)[0]);
        let last = pieces.last().map(|piece| curve_ends(piece)[1]);
        first.zip(last)
    };
    let apart = |a: Coord<f64>, b: Coord<f64>| (a.x - b.x).hypot(a.y - b.y);
    for number in 0..edges.len() {
        let Some((start, end)) = edges.get(number).and_then(|edge| ends(edge)) else {
            continue;
        };
        let is_backward = if number == 0 {
            match edges.get(1).and_then(|edge| ends(edge)) {
                Some((a, b)) => {
                    apart(start, a).min(apart(start, b)) < apart(end, a).min(apart(end, b))
                }
                None => false,
            }
        } else {
            match edges.get(number - 1).and_then(|edge| ends(edge)) {
                Some((_, before)) => apart(end, before) < apart(start, before),
                None => false,
            }
        };
        if is_backward && let Some(edge) = edges.get_mut(number) {
            edge.reverse();
            for piece in edge {
                *piece = reversed(piece);
            }
        }
    }
    edges
}

fn reversed(curve: &Curve) -> Curve {
    match *curve {
        Curve::Line { start, end } => Curve::Line {
            start: end,
            end: start,
        },
        Curve::Arc {
            centre,
            radius,
            start_angle,
            sweep,
        } => Curve::Arc {
            centre,
            radius,
            start_angle: start_angle + sweep,
            sweep: -sweep,
        },
    }
}

fn curve_ends(curve: &Curve) -> [Coord<f64>; 2] {
    [curve.at(0.0), curve.at(1.0)]
}

/// Chords whose sagitta stays within `fit`, at least two, at most 720.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped just before"
)]
fn chord_count(radius: f64, sweep: f64, fit: f64) -> u32 {
    let step = 2.0 * (1.0 - (fit / radius).min(1.0)).acos();
    (sweep.abs() / step.max(1e-6)).ceil().clamp(2.0, 720.0) as u32
}

pub(super) fn bounds(strokes: &[Stroke]) -> Option<[Coord<f64>; 2]> {
    let mut found: Option<[Coord<f64>; 2]> = None;
    for stroke in strokes {
        let (low, high) = curve_bounds(&stroke.curve);
        found = Some(found.map_or([low, high], |[a, b]| {
            [
                Coord {
                    x: a.x.min(low.x),
                    y: a.y.min(low.y),
                },
                Coord {
                    x: b.x.max(high.x),
                    y: b.y.max(high.y),
                },
            ]
        }));
    }
    found
}

/// Lowest and highest corner of a curve's box.
pub(super) fn curve_bounds(curve: &Curve) -> (Coord<f64>, Coord<f64>) {
    let points: Vec<Coord<f64>> = match *curve {
        Curve::Line { start, end } => vec![start, end],
        Curve::Arc {
            centre,
            radius,
            start_angle,
            sweep,
        } => {
            let at = |angle: f64| Coord {
                x: centre.x + radius * angle.cos(),
                y: centre.y + radius * angle.sin(),
            };
            let (low, high) = if sweep < 0.0 {
                (start_angle + sweep, start_angle)
            } else {
                (start_angle, start_angle + sweep)
            };
            let mut points = vec![at(low), at(high)];
            let quarter = TAU / 4.0;
            let mut angle = (low / quarter).ceil() * quarter;
            for _ in 0..4 {
                if angle > high {
                    break;
                }
                points.push(at(angle));
                angle += quarter;
            }
            points
        }
    };
    let mut low = Coord {
        x: f64::INFINITY,
        y: f64::INFINITY,
    };
    let mut high = Coord {
        x: f64::NEG_INFINITY,
        y: f64::NEG_INFINITY,
    };
    for point in points {
        low = Coord {
            x: low.x.min(point.x),
            y: low.y.min(point.y),
        };
        high = Coord {
            x: high.x.max(point.x),
            y: high.y.max(point.y),
        };
    }
    (low, high)
}

fn dimension_of(flat: &FlatDimension, factor: f64) -> Dimension {
    let (from, to) = (scaled(flat.from, factor), scaled(flat.to, factor));
    let direction = flat.along.map(|along| along.y.atan2(along.x));
    let measured = match direction {
        Some(angle) => ((to.x - from.x) * angle.cos() + (to.y - from.y) * angle.sin()).abs(),
        None => (to.x - from.x).hypot(to.y - from.y),
    };
    Dimension {
        from,
        to,
        direction,
        measured,
        stated: flat.stated.map(|stated| stated * factor),
        override_text: flat.override_text.clone(),
        shown_text: flat.shown_text.clone(),
        text_at: scaled(flat.text_at, factor),
        source: flat.source,
    }
}

/// Layers of the table and of the entities, with what lies on each.
fn layers(
    contents: &Contents<'_>,
    drawing: &Drawing,
    source_layers: &[usize],
    layer_names: &[String],
) -> Vec<Layer> {
    let mut by_name: BTreeMap<String, Layer> = BTreeMap::new();
    for (key, state) in &contents.layers {
        let layer = Layer {
            name: state.name.clone(),
            is_off: state.is_off,
            is_frozen: state.is_frozen,
            is_locked: state.is_locked,
            count: 0,
        };
        by_name.insert(key.clone(), layer);
    }
    let on_strokes = drawing.strokes.iter().map(|stroke| stroke.source);
    let on_fills = drawing.fills.iter().map(|fill| fill.source);
    let on_texts = drawing.texts.iter().map(|text| text.source);
    let mut counts = vec![0_usize; layer_names.len()];
    for source in on_strokes.chain(on_fills).chain(on_texts) {
        let layer = source_layers.get(source.0 as usize);
        if let Some(count) = layer.and_then(|layer| counts.get_mut(*layer)) {
            *count += 1;
        }
    }
    for (name, count) in layer_names.iter().zip(counts) {
        let layer = by_name.entry(name.to_uppercase()).or_insert_with(|| Layer {
            name: name.clone(),
            ..Layer::default()
        });
        layer.count += count;
    }
    let mut layers: Vec<Layer> = by_name.into_values().collect();
    layers.sort_by(|a, b| a.name.cmp(&b.name));
    layers
}
