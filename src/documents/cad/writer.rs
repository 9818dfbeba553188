//! Spells a drawing for an office as DXF R2000: LINE, ARC, CIRCLE, LWPOLYLINE, TEXT.
//!
//! Source: the published DXF reference, group codes of AC1015; audited by `ezdxf` in `tests/outside`.

use crate::documents::outline_dxf::shell::{LONGEST_FACT, Pairs, Shell, plain, r2000};
use crate::documents::plan_view::extent_of;
use geo::Coord;
use std::collections::BTreeMap;

/// A drawing: everything in inches, written in its unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CadDrawing {
    /// `$INSUNITS`.
    pub(super) units: u16,
    /// True for metric units.
    pub(super) is_metric: bool,
    /// Inches in one unit.
    pub(super) inches_per_unit: f64,
    /// Colour by index of each layer.
    pub(super) layers: BTreeMap<String, u8>,
    /// Entities in order.
    pub(super) entities: Vec<CadEntity>,
}

impl Default for CadDrawing {
    fn default() -> Self {
        Self {
            units: 1,
            is_metric: false,
            inches_per_unit: 1.0,
            layers: BTreeMap::new(),
            entities: Vec::new(),
        }
    }
}

/// One entity.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CadEntity {
    /// Its layer.
    pub(super) layer: String,
    /// What it is.
    pub(super) shape: CadShape,
}

/// Geometry, inches.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum CadShape {
    /// A straight line.
    Line(Coord<f64>, Coord<f64>),
    /// Part of a circle, counter-clockwise, degrees.
    Arc {
        /// Centre.
        centre: Coord<f64>,
        /// Radius.
        radius: f64,
        /// Where it begins.
        from_deg: f64,
        /// Where it ends.
        to_deg: f64,
    },
    /// A circle.
    Circle(Coord<f64>, f64),
    /// A closed row of lines.
    Ring(Vec<Coord<f64>>),
    /// A line of text.
    Text {
        /// Lower left end, or the middle.
        at: Coord<f64>,
        /// Height.
        height: f64,
        /// Degrees counter-clockwise.
        turn_deg: f64,
        /// What it says.
        words: String,
        /// True when `at` is its middle.
        is_centred: bool,
    },
}

impl CadDrawing {
    /// Puts something on a layer, which is made when it is new.
    pub(super) fn put(&mut self, layer: &str, colour: u8, shape: CadShape) {
        self.layers.entry(layer.to_owned()).or_insert(colour);
        self.entities.push(CadEntity {
            layer: layer.to_owned(),
            shape,
        });
    }
}

/// A number with nine decimals at most.
fn spelt(value: f64) -> String {
    let text = format!("{value:.9}");
    let short = text.trim_end_matches('0');
    let short = if short == "-0." { "0." } else { short };
    if short.ends_with('.') {
        format!("{short}0")
    } else {
        short.to_owned()
    }
}

/// The bytes of the file.
pub(super) fn write(drawing: &CadDrawing) -> Vec<u8> {
    let per = drawing.inches_per_unit;
    let points = drawing.entities.iter().flat_map(|it| match &it.shape {
        CadShape::Line(a, b) => vec![*a, *b],
        CadShape::Ring(ring) => ring.clone(),
        CadShape::Text { at, .. } => vec![*at],
        CadShape::Arc { centre, radius, .. } | CadShape::Circle(centre, radius) => {
            let r = Coord {
                x: *radius,
                y: *radius,
            };
            vec![*centre - r, *centre + r]
        }
    });
    let extent = extent_of(points).unwrap_or_default();
    let pair = |x: f64, y: f64| [spelt(x / per), spelt(y / per)];
    let middle = extent.middle();
    let layers: Vec<(String, u8)> = drawing
        .layers
        .iter()
        .map(|(name, colour)| (name.clone(), *colour))
        .collect();
    let shell = Shell {
        layers: &layers,
        extents: [pair(extent.x0, extent.y0), pair(extent.x1, extent.y1)],
        middle: pair(middle.x, middle.y),
        size: spelt(extent.width().max(extent.height()).max(1.0) / per),
        units: drawing.units,
        is_metric: drawing.is_metric,
    };
    r2000(&shell, |out, owner| {
        for entity in &drawing.entities {
            put(out, entity, per, owner);
        }
    })
    .into_bytes()
}

fn put(out: &mut Pairs, entity: &CadEntity, per: f64, owner: &str) {
    let (kind, class) = match &entity.shape {
        CadShape::Line(..) => ("LINE", "AcDbLine"),
        CadShape::Arc { .. } => ("ARC", "AcDbCircle"),
        CadShape::Circle(..) => ("CIRCLE", "AcDbCircle"),
        CadShape::Ring(_) => ("LWPOLYLINE", "AcDbPolyline"),
        CadShape::Text { .. } => ("TEXT", "AcDbText"),
    };
    let handle = out.handle();
    out.pair(0, kind).pair(5, handle).pair(330, owner);
    out.pair(100, "AcDbEntity")
        .pair(8, plain(&entity.layer, LONGEST_FACT));
    out.pair(100, class);
    let n = |value: f64| spelt(value / per);
    let at = |out: &mut Pairs, first: u16, p: Coord<f64>| {
        out.pair(first, n(p.x))
            .pair(first + 10, n(p.y))
            .pair(first + 20, "0.0");
    };
    match &entity.shape {
        CadShape::Line(a, b) => {
            at(out, 10, *a);
            at(out, 11, *b);
        }
        CadShape::Circle(centre, radius) => {
            at(out, 10, *centre);
            out.pair(40, n(*radius));
        }
        CadShape::Arc {
            centre,
            radius,
            from_deg,
            to_deg,
        } => {
            at(out, 10, *centre);
            out.pair(40, n(*radius)).pair(100, "AcDbArc");
            out.pair(50, spelt(*from_deg)).pair(51, spelt(*to_deg));
        }
        CadShape::Ring(ring) => {
            out.pair(90, ring.len()).pair(70, 1).pair(43, "0.0");
            for p in ring {
                out.pair(10, n(p.x)).pair(20, n(p.y));
            }
        }
        CadShape::Text {
            at: place,
            height,
            turn_deg,
            words,
            is_centred,
        } => {
            at(out, 10, *place);
            out.pair(40, n(*height)).pair(1, plain(words, LONGEST_FACT));
            out.pair(50, spelt(*turn_deg));
            if *is_centred {
                out.pair(72, 1);
                at(out, 11, *place);
            }
            out.pair(100, "AcDbText");
            if *is_centred {
                out.pair(73, 2);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_nothing() {
        for (value, expected) in [(1.0, "1.0"), (-0.000_000_000_1, "0.0"), (2.5, "2.5")] {
            assert_eq!(spelt(value), expected);
        }
    }

    #[test]
    fn a_drawing_is_written_in_its_unit() {
        let mut drawing = CadDrawing {
            units: 4,
            is_metric: true,
            inches_per_unit: 1.0 / 25.4,
            ..CadDrawing::default()
        };
        let line = CadShape::Line(Coord { x: 0.0, y: 0.0 }, Coord { x: 10.0, y: 0.0 });
        drawing.put("Z-WALL-OTLN", 7, line);
        let text = String::from_utf8(write(&drawing)).unwrap();
        assert!(text.contains("\n 11\n254.0\n"), "{text}");
        assert!(text.contains("$INSUNITS\n 70\n4\n"));
    }
}
