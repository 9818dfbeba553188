//! The architect's drawing as it was read, on layers of its own.

use super::writer::{CadDrawing, CadShape};
use crate::drawing::{Curve, Drawing, SourceIndex};

/// Grey, by index.
const GREY: u8 = 8;

/// Adds every visible stroke and text of a drawing.
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
}

fn arc(centre: geo::Coord<f64>, radius: f64, start_angle: f64, sweep: f64) -> CadShape {
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
