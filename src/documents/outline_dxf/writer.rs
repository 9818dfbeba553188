//! Spells a [`SawDrawing`] as DXF: R12 with POLYLINE, or R2000 with LWPOLYLINE, handles, tables and `$INSUNITS`.
//!
//! Source: the published DXF reference, group codes of AC1009 and AC1015. Every file is opened and audited by the
//! library `ezdxf` in `tests/outside`, in both versions, without an error and without a fix.

use super::contents::{SawDrawing, SawEntity, SawShape};
use super::facts::number;
use super::shell::{
    self, APPLICATION, LONGEST_FACT, Pairs, Shell, header_extents, plain, style_values,
};
use crate::geometry::ShopPoint;
use crate::rules::{SawUnit, SawVersion};
use crate::units::Length;

/// The bytes of the file: ASCII, lines end with a line feed.
pub(super) fn write(drawing: &SawDrawing) -> Vec<u8> {
    match drawing.version {
        SawVersion::R12 => r12(drawing),
        SawVersion::R2000 => r2000(drawing),
    }
    .into_bytes()
}

fn extents(drawing: &SawDrawing) -> [ShopPoint; 2] {
    let points = drawing
        .entities
        .iter()
        .flat_map(|entity| match &entity.shape {
            SawShape::Contour(points) => points.clone(),
            SawShape::Line(from, to) => vec![*from, *to],
            SawShape::Text { at, height, .. } => vec![*at, at.moved(Length::ZERO, *height)],
        });
    points.fold([ShopPoint::default(); 2], |[low, high], point| {
        [
            ShopPoint::new(low.x.min(point.x), low.y.min(point.y)),
            ShopPoint::new(high.x.max(point.x), high.y.max(point.y)),
        ]
    })
}

fn spelt_extents(drawing: &SawDrawing) -> [[String; 2]; 2] {
    extents(drawing).map(|at| [number(at.x, drawing.unit), number(at.y, drawing.unit)])
}

/// A point as groups 10 and 20.
fn point(out: &mut Pairs, at: ShopPoint, unit: SawUnit) -> &mut Pairs {
    out.pair(10, number(at.x, unit))
        .pair(20, number(at.y, unit))
}

fn r12(drawing: &SawDrawing) -> String {
    let mut out = Pairs::default();
    out.pair(0, "SECTION").pair(2, "HEADER");
    out.pair(9, "$ACADVER").pair(1, "AC1009");
    header_extents(&mut out, &spelt_extents(drawing));
    out.pair(0, "ENDSEC").pair(0, "SECTION").pair(2, "TABLES");
    out.pair(0, "TABLE").pair(2, "LTYPE").pair(70, 1);
    out.pair(0, "LTYPE").pair(2, "CONTINUOUS").pair(70, 0);
    out.pair(3, "Solid line")
        .pair(72, 65)
        .pair(73, 0)
        .pair(40, "0.0");
    out.pair(0, "ENDTAB");
    out.pair(0, "TABLE")
        .pair(2, "LAYER")
        .pair(70, drawing.layers.len() + 1);
    let zero = [("0".to_owned(), 7)];
    for (name, colour) in zero.iter().chain(&drawing.layers) {
        out.pair(0, "LAYER").pair(2, plain(name, LONGEST_FACT));
        out.pair(70, 0).pair(62, colour).pair(6, "CONTINUOUS");
    }
    out.pair(0, "ENDTAB");
    out.pair(0, "TABLE").pair(2, "STYLE").pair(70, 1);
    out.pair(0, "STYLE").pair(2, "STANDARD");
    style_values(&mut out);
    out.pair(0, "ENDTAB");
    out.pair(0, "TABLE").pair(2, "APPID").pair(70, 2);
    for name in ["ACAD", APPLICATION] {
        out.pair(0, "APPID").pair(2, name).pair(70, 0);
    }
    out.pair(0, "ENDTAB").pair(0, "ENDSEC");
    out.pair(0, "SECTION").pair(2, "BLOCKS").pair(0, "ENDSEC");
    out.pair(0, "SECTION").pair(2, "ENTITIES");
    for entity in &drawing.entities {
        r12_entity(&mut out, entity, drawing.unit);
    }
    out.pair(0, "ENDSEC").pair(0, "EOF");
    out.into_text()
}

fn r12_entity(out: &mut Pairs, entity: &SawEntity, unit: SawUnit) {
    let layer = plain(&entity.layer, LONGEST_FACT);
    match &entity.shape {
        SawShape::Contour(points) => {
            out.pair(0, "POLYLINE").pair(8, &layer).pair(66, 1);
            out.pair(10, "0.0").pair(20, "0.0").pair(30, "0.0");
            out.pair(70, 1);
            out.facts(&entity.facts);
            for corner in points {
                out.pair(0, "VERTEX").pair(8, &layer);
                point(out, *corner, unit).pair(30, "0.0");
            }
            out.pair(0, "SEQEND").pair(8, &layer);
        }
        SawShape::Line(from, to) => {
            out.pair(0, "LINE").pair(8, &layer);
            line_values(out, *from, *to, unit);
            out.facts(&entity.facts);
        }
        SawShape::Text { at, height, words } => {
            out.pair(0, "TEXT").pair(8, &layer);
            text_values(out, *at, *height, words, unit);
            out.facts(&entity.facts);
        }
    }
}

fn line_values(out: &mut Pairs, from: ShopPoint, to: ShopPoint, unit: SawUnit) {
    point(out, from, unit).pair(30, "0.0");
    out.pair(11, number(to.x, unit));
    out.pair(21, number(to.y, unit)).pair(31, "0.0");
}

fn text_values(out: &mut Pairs, at: ShopPoint, height: Length, words: &str, unit: SawUnit) {
    point(out, at, unit).pair(30, "0.0");
    out.pair(40, number(height, unit))
        .pair(1, plain(words, LONGEST_FACT));
}

fn r2000(drawing: &SawDrawing) -> String {
    let unit = drawing.unit;
    let [low, high] = extents(drawing);
    let spelt = |x: Length, y: Length| [number(x, unit), number(y, unit)];
    let size = (high.y - low.y).max(high.x - low.x).max(Length::inches(1));
    let shell = Shell {
        layers: &drawing.layers,
        extents: spelt_extents(drawing),
        middle: spelt((low.x + high.x).half(), (low.y + high.y).half()),
        size: number(size, unit),
        units: match unit {
            SawUnit::Inch => 1,
            SawUnit::Millimetre => 4,
        },
        is_metric: unit == SawUnit::Millimetre,
    };
    shell::r2000(&shell, |out, owner| {
        for entity in &drawing.entities {
            r2000_entity(out, entity, unit, owner);
        }
    })
}

fn r2000_entity(out: &mut Pairs, entity: &SawEntity, unit: SawUnit, owner: &str) {
    let kind = match &entity.shape {
        SawShape::Contour(_) => "LWPOLYLINE",
        SawShape::Line(..) => "LINE",
        SawShape::Text { .. } => "TEXT",
    };
    let handle = out.handle();
    out.pair(0, kind).pair(5, handle).pair(330, owner);
    out.pair(100, "AcDbEntity")
        .pair(8, plain(&entity.layer, LONGEST_FACT));
    match &entity.shape {
        SawShape::Contour(points) => {
            out.pair(100, "AcDbPolyline").pair(90, points.len());
            out.pair(70, 1).pair(43, "0.0");
            for corner in points {
                point(out, *corner, unit);
            }
        }
        SawShape::Line(from, to) => {
            out.pair(100, "AcDbLine");
            line_values(out, *from, *to, unit);
        }
        SawShape::Text { at, height, words } => {
            out.pair(100, "AcDbText");
            text_values(out, *at, *height, words, unit);
            out.pair(100, "AcDbText");
        }
    }
    out.facts(&entity.facts);
}
