//! The architect's drawing as it was read, on layers of its own.

use super::writer::{CadDrawing, CadShape};
use crate::documents::trace::Units;
use crate::drawing::{Curve, Dimension, Drawing, SourceIndex};
use geo::Coord;

/// Grey, by index.
const GREY: u8 = 8;

/// Adds every visible stroke, text and dimension of a drawing.
pub(super) fn add_background(cad: &mut CadDrawing, drawing: &Drawing) {
    let stem = stem(&drawing.file);
    let layer_of = |source: SourceIndex| {
        let index = usize::try_from(source.0).ok()?;
        let source = drawing.sources.get(index)?;
        (!source.is_hidden).then(|| format!("{stem}$0${}", clean(&source.layer)))
    };
    for stroke in &drawing.strokes {
        let Some(layer) = layer_of(stroke.source) else {
            continue;
        };
        let shape = match stroke.curve {
            Curve::Line { start, end } => CadShape::Line(start, end),
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => arc(centre, radius, start_angle, sweep),
        };
        cad.put(&layer, GREY, shape);
    }
    for text in &drawing.texts {
        let Some(layer) = layer_of(text.source) else {
            continue;
        };
        let shape = CadShape::Text {
            at: text.middle,
            height: if text.height > 0.0 { text.height } else { 1.0 },
            turn_deg: text.angle.to_degrees(),
            words: text.content.replace(['\n', '\r'], " "),
            is_centred: true,
        };
        cad.put(&layer, GREY, shape);
    }
    for dimension in &drawing.dimensions {
        if let Some(layer) = layer_of(dimension.source) {
            add_dimension(cad, &layer, dimension, Units::of(drawing.scale.unit));
        }
    }
}

/// Height of the numbers of the architect's dimensions, inches in life: the file does not say how high they are.
const NUMBER: f64 = 4.5;

/// A dimension as lines and text: its line under its number, extension lines to what it measures.
fn add_dimension(cad: &mut CadDrawing, layer: &str, dimension: &Dimension, units: Units) {
    let Some(direction) = dimension.direction else {
        return;
    };
    // Read from below or from the right.
    let half = std::f64::consts::PI;
    let turn = (half / 2.0 - (half / 2.0 - direction).rem_euclid(half)).clamp(-half, half);
    let (sin, cos) = turn.sin_cos();
    let under = dimension.text_at + Coord { x: sin, y: -cos } * NUMBER;
    let on_line = |p: Coord<f64>| {
        let along = (p.x - under.x) * cos + (p.y - under.y) * sin;
        under + Coord { x: cos, y: sin } * along
    };
    let (from, to) = (on_line(dimension.from), on_line(dimension.to));
    for (a, b) in [(from, to), (dimension.from, from), (dimension.to, to)] {
        cad.put(layer, GREY, CadShape::Line(a, b));
    }
    let length = units.inches(dimension.measured);
    let words = [&dimension.shown_text, &dimension.override_text]
        .into_iter()
        .map(|words| words.trim())
        .find(|words| !words.is_empty())
        .map_or_else(|| length.clone(), |words| words.replace("<>", &length));
    let shape = CadShape::Text {
        at: dimension.text_at,
        height: NUMBER,
        turn_deg: turn.to_degrees(),
        words: words.replace(['\n', '\r'], " "),
        is_centred: true,
    };
    cad.put(layer, GREY, shape);
}

fn arc(centre: Coord<f64>, radius: f64, start_angle: f64, sweep: f64) -> CadShape {
    if sweep.abs() >= std::f64::consts::TAU - 1e-9 {
        return CadShape::Circle(centre, radius);
    }
    let (from, to) = if sweep >= 0.0 {
        (start_angle, start_angle + sweep)
    } else {
        (start_angle + sweep, start_angle)
    };
    let degrees = |angle: f64| angle.to_degrees().rem_euclid(360.0);
    CadShape::Arc {
        centre,
        radius,
        from_deg: degrees(from),
        to_deg: degrees(to),
    }
}

/// The file's name without folder and ending, as a bound reference is named.
fn stem(file: &str) -> String {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    clean(name.rsplit_once('.').map_or(name, |(stem, _)| stem))
}

/// Without the characters that a layer's name may not hold.
fn clean(name: &str) -> String {
    let is_bad = |c: char| "<>/\\\":;?*|,=`".contains(c) || c.is_control();
    name.replace(is_bad, "_")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_are_named_like_those_of_a_bound_reference() {
        assert_eq!(stem("jobs/a/plan.v2.dxf"), "plan.v2");
        assert_eq!(clean("A|B*C"), "A_B_C");
    }
}
