//! Spells a [`SawDrawing`] as DXF: R12 with POLYLINE, or R2000 with LWPOLYLINE, handles, tables and `$INSUNITS`.
//!
//! Source: the published DXF reference, group codes of AC1009 and AC1015. Every file is opened and audited by the
//! library `ezdxf` in `tests/outside`, in both versions, without an error and without a fix.

use super::contents::{SawDrawing, SawEntity, SawShape};
use super::facts::number;
use crate::geometry::ShopPoint;
use crate::rules::{SawUnit, SawVersion};
use crate::units::Length;
use std::fmt::{Display, Write};

/// Name under which the facts stand.
const APPLICATION: &str = "PANELWRIGHT";
/// Longest text in one group of extended data.
const LONGEST_FACT: usize = 255;

/// The bytes of the file: ASCII, lines end with a line feed.
pub(super) fn write(drawing: &SawDrawing) -> Vec<u8> {
    match drawing.version {
        SawVersion::R12 => r12(drawing),
        SawVersion::R2000 => r2000(drawing),
    }
    .into_bytes()
}

/// Pairs of group code and value.
#[derive(Default)]
struct Pairs {
    text: String,
    last_handle: u32,
}

impl Pairs {
    fn pair(&mut self, code: u16, value: impl Display) -> &mut Self {
        // Writing to a String cannot fail.
        let _ = writeln!(self.text, "{code:>3}\n{value}");
        self
    }

    fn point(&mut self, at: ShopPoint, unit: SawUnit) -> &mut Self {
        self.pair(10, number(at.x, unit))
            .pair(20, number(at.y, unit))
    }

    /// A fresh handle.
    fn handle(&mut self) -> String {
        self.last_handle += 1;
        format!("{:X}", self.last_handle)
    }

    fn facts(&mut self, facts: &[String]) {
        if facts.is_empty() {
            return;
        }
        self.pair(1001, APPLICATION);
        for fact in facts {
            self.pair(1000, plain(fact, LONGEST_FACT));
        }
    }
}

/// Text as DXF of any version can hold it: ASCII, other characters by number, no control characters, not longer than `longest`.
fn plain(text: &str, longest: usize) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        let spelt = match letter {
            '^' => "^ ".to_owned(),
            ' '..='~' => letter.to_string(),
            _ if letter.is_control() => " ".to_owned(),
            _ => {
                let mut units = [0; 2];
                let units = letter.encode_utf16(&mut units).iter();
                units.map(|unit| format!("\\U+{unit:04X}")).collect()
            }
        };
        if out.len() + spelt.len() > longest {
            break;
        }
        out.push_str(&spelt);
    }
    out
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

fn header_extents(out: &mut Pairs, drawing: &SawDrawing) {
    let [low, high] = extents(drawing);
    for (name, point) in [("$EXTMIN", low), ("$EXTMAX", high)] {
        out.pair(9, name).point(point, drawing.unit).pair(30, "0.0");
    }
}

fn r12(drawing: &SawDrawing) -> String {
    let mut out = Pairs::default();
    out.pair(0, "SECTION").pair(2, "HEADER");
    out.pair(9, "$ACADVER").pair(1, "AC1009");
    header_extents(&mut out, drawing);
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
    out.text
}

fn style_values(out: &mut Pairs) {
    out.pair(70, 0).pair(40, "0.0").pair(41, "1.0");
    out.pair(50, "0.0").pair(71, 0).pair(42, "1.0");
    out.pair(3, "txt").pair(4, "");
}

fn r12_entity(out: &mut Pairs, entity: &SawEntity, unit: SawUnit) {
    let layer = plain(&entity.layer, LONGEST_FACT);
    match &entity.shape {
        SawShape::Contour(points) => {
            out.pair(0, "POLYLINE").pair(8, &layer).pair(66, 1);
            out.pair(10, "0.0").pair(20, "0.0").pair(30, "0.0");
            out.pair(70, 1);
            out.facts(&entity.facts);
            for point in points {
                out.pair(0, "VERTEX").pair(8, &layer);
                out.point(*point, unit).pair(30, "0.0");
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
    out.point(from, unit).pair(30, "0.0");
    out.pair(11, number(to.x, unit));
    out.pair(21, number(to.y, unit)).pair(31, "0.0");
}

fn text_values(out: &mut Pairs, at: ShopPoint, height: Length, words: &str, unit: SawUnit) {
    out.point(at, unit).pair(30, "0.0");
    out.pair(40, number(height, unit))
        .pair(1, plain(words, LONGEST_FACT));
}

/// Handles that other parts of an R2000 file point to.
struct Handles {
    model_record: String,
    paper_record: String,
    model_layout: String,
    paper_layout: String,
}

fn r2000(drawing: &SawDrawing) -> String {
    let mut body = Pairs::default();
    let handles = Handles {
        model_record: body.handle(),
        paper_record: body.handle(),
        model_layout: body.handle(),
        paper_layout: body.handle(),
    };
    body.pair(0, "SECTION").pair(2, "CLASSES").pair(0, "ENDSEC");
    tables(&mut body, drawing, &handles);
    blocks(&mut body, &handles);
    body.pair(0, "SECTION").pair(2, "ENTITIES");
    for entity in &drawing.entities {
        r2000_entity(&mut body, entity, drawing.unit, &handles.model_record);
    }
    body.pair(0, "ENDSEC");
    objects(&mut body, &handles, drawing.unit);
    body.pair(0, "EOF");

    let mut head = Pairs::default();
    head.pair(0, "SECTION").pair(2, "HEADER");
    head.pair(9, "$ACADVER").pair(1, "AC1015");
    head.pair(9, "$HANDSEED")
        .pair(5, format!("{:X}", body.last_handle + 1));
    header_extents(&mut head, drawing);
    let (units, measurement) = match drawing.unit {
        SawUnit::Inch => (1, 0),
        SawUnit::Millimetre => (4, 1),
    };
    head.pair(9, "$INSUNITS").pair(70, units);
    head.pair(9, "$MEASUREMENT").pair(70, measurement);
    head.pair(0, "ENDSEC");
    head.text + &body.text
}

/// Opens a table and gives its handle, which its records name as their owner.
fn open_table(out: &mut Pairs, name: &str, n_records: usize) -> String {
    let handle = out.handle();
    out.pair(0, "TABLE").pair(2, name).pair(5, &handle);
    out.pair(330, "0").pair(100, "AcDbSymbolTable");
    out.pair(70, n_records);
    handle
}

fn open_record(out: &mut Pairs, kind: &str, owner: &str, class: &str, name: &str) {
    let handle = out.handle();
    // A dimension style keeps its handle in group 105, for 5 once meant something else there.
    let handle_code = if kind == "DIMSTYLE" { 105 } else { 5 };
    out.pair(0, kind).pair(handle_code, handle).pair(330, owner);
    out.pair(100, "AcDbSymbolTableRecord");
    out.pair(100, class).pair(2, plain(name, LONGEST_FACT));
    out.pair(70, 0);
}

fn tables(out: &mut Pairs, drawing: &SawDrawing, handles: &Handles) {
    out.pair(0, "SECTION").pair(2, "TABLES");
    viewport_table(out, drawing);
    let owner = open_table(out, "LTYPE", 3);
    for (name, words) in [
        ("ByBlock", ""),
        ("ByLayer", ""),
        ("Continuous", "Solid line"),
    ] {
        open_record(out, "LTYPE", &owner, "AcDbLinetypeTableRecord", name);
        out.pair(3, words).pair(72, 65).pair(73, 0).pair(40, "0.0");
    }
    out.pair(0, "ENDTAB");
    let owner = open_table(out, "LAYER", drawing.layers.len() + 1);
    let zero = [("0".to_owned(), 7)];
    for (name, colour) in zero.iter().chain(&drawing.layers) {
        open_record(out, "LAYER", &owner, "AcDbLayerTableRecord", name);
        out.pair(62, colour).pair(6, "Continuous");
    }
    out.pair(0, "ENDTAB");
    let owner = open_table(out, "STYLE", 1);
    let handle = out.handle();
    out.pair(0, "STYLE").pair(5, handle).pair(330, owner);
    out.pair(100, "AcDbSymbolTableRecord");
    out.pair(100, "AcDbTextStyleTableRecord")
        .pair(2, "Standard");
    style_values(out);
    out.pair(0, "ENDTAB");
    for empty in ["VIEW", "UCS"] {
        open_table(out, empty, 0);
        out.pair(0, "ENDTAB");
    }
    let owner = open_table(out, "APPID", 2);
    for name in ["ACAD", APPLICATION] {
        open_record(out, "APPID", &owner, "AcDbRegAppTableRecord", name);
    }
    out.pair(0, "ENDTAB");
    let owner = open_table(out, "DIMSTYLE", 1);
    out.pair(100, "AcDbDimStyleTable").pair(71, 0);
    let class = "AcDbDimStyleTableRecord";
    open_record(out, "DIMSTYLE", &owner, class, "Standard");
    out.pair(0, "ENDTAB");
    let owner = open_table(out, "BLOCK_RECORD", 2);
    for (name, record, layout) in spaces(handles) {
        out.pair(0, "BLOCK_RECORD")
            .pair(5, record)
            .pair(330, &owner);
        out.pair(100, "AcDbSymbolTableRecord");
        out.pair(100, "AcDbBlockTableRecord").pair(2, name);
        out.pair(340, layout);
    }
    out.pair(0, "ENDTAB").pair(0, "ENDSEC");
}

fn spaces(handles: &Handles) -> [(&'static str, &str, &str); 2] {
    [
        ("*Model_Space", &handles.model_record, &handles.model_layout),
        ("*Paper_Space", &handles.paper_record, &handles.paper_layout),
    ]
}

/// One view that shows everything.
fn viewport_table(out: &mut Pairs, drawing: &SawDrawing) {
    let [low, high] = extents(drawing);
    let owner = open_table(out, "VPORT", 1);
    open_record(out, "VPORT", &owner, "AcDbViewportTableRecord", "*Active");
    let unit = drawing.unit;
    out.pair(10, "0.0").pair(20, "0.0");
    out.pair(11, "1.0").pair(21, "1.0");
    out.pair(12, number((low.x + high.x).half(), unit));
    out.pair(22, number((low.y + high.y).half(), unit));
    out.pair(16, "0.0").pair(26, "0.0").pair(36, "1.0");
    out.pair(17, "0.0").pair(27, "0.0").pair(37, "0.0");
    let size = (high.y - low.y).max(high.x - low.x).max(Length::inches(1));
    out.pair(40, number(size, unit)).pair(41, "1.0");
    out.pair(0, "ENDTAB");
}

fn blocks(out: &mut Pairs, handles: &Handles) {
    out.pair(0, "SECTION").pair(2, "BLOCKS");
    for (name, record, _) in spaces(handles) {
        for (kind, class) in [("BLOCK", "AcDbBlockBegin"), ("ENDBLK", "AcDbBlockEnd")] {
            let handle = out.handle();
            out.pair(0, kind).pair(5, handle).pair(330, record);
            out.pair(100, "AcDbEntity");
            if name == "*Paper_Space" {
                out.pair(67, 1);
            }
            out.pair(8, "0").pair(100, class);
            if kind == "BLOCK" {
                out.pair(2, name).pair(70, 0);
                out.pair(10, "0.0").pair(20, "0.0").pair(30, "0.0");
                out.pair(3, name).pair(1, "");
            }
        }
    }
    out.pair(0, "ENDSEC");
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
            for point in points {
                out.point(*point, unit);
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

/// The root dictionary with groups and the two layouts.
fn objects(out: &mut Pairs, handles: &Handles, unit: SawUnit) {
    let [root, groups, layouts] = [out.handle(), out.handle(), out.handle()];
    out.pair(0, "SECTION").pair(2, "OBJECTS");
    let root_entries = [("ACAD_GROUP", groups.as_str()), ("ACAD_LAYOUT", &layouts)];
    dictionary(out, &root, "0", &root_entries);
    dictionary(out, &groups, &root, &[]);
    let layout_entries = [
        ("Model", handles.model_layout.as_str()),
        ("Layout1", &handles.paper_layout),
    ];
    dictionary(out, &layouts, &root, &layout_entries);
    let layouts_of = [
        ("Model", &handles.model_layout, &handles.model_record, 1024),
        ("Layout1", &handles.paper_layout, &handles.paper_record, 0),
    ];
    for (order, (name, handle, record, flags)) in layouts_of.into_iter().enumerate() {
        out.pair(0, "LAYOUT").pair(5, handle).pair(330, &layouts);
        plot_settings(out, flags, unit);
        out.pair(100, "AcDbLayout").pair(1, name);
        out.pair(70, 1).pair(71, order);
        out.pair(10, "0.0").pair(20, "0.0");
        out.pair(11, "12.0").pair(21, "9.0");
        for code in [12, 22, 32, 14, 24, 34, 15, 25, 35] {
            out.pair(code, "0.0");
        }
        out.pair(146, "0.0").pair(13, "0.0").pair(23, "0.0");
        out.pair(33, "0.0").pair(16, "1.0").pair(26, "0.0");
        out.pair(36, "0.0").pair(17, "0.0").pair(27, "1.0");
        out.pair(37, "0.0").pair(76, 0).pair(330, record);
    }
    out.pair(0, "ENDSEC");
}

fn dictionary(out: &mut Pairs, handle: &str, owner: &str, entries: &[(&str, &str)]) {
    out.pair(0, "DICTIONARY").pair(5, handle).pair(330, owner);
    out.pair(100, "AcDbDictionary").pair(281, 1);
    for (name, entry) in entries {
        out.pair(3, name).pair(350, entry);
    }
}

fn plot_settings(out: &mut Pairs, flags: u16, unit: SawUnit) {
    out.pair(100, "AcDbPlotSettings");
    out.pair(1, "").pair(2, "").pair(4, "").pair(6, "");
    for code in 40..=49 {
        out.pair(code, "0.0");
    }
    out.pair(140, "0.0").pair(141, "0.0");
    out.pair(142, "1.0").pair(143, "1.0");
    let paper_unit = match unit {
        SawUnit::Inch => 0,
        SawUnit::Millimetre => 1,
    };
    out.pair(70, flags).pair(72, paper_unit).pair(73, 0);
    out.pair(74, 5).pair(7, "").pair(75, 16);
    out.pair(147, "1.0").pair(148, "0.0").pair(149, "0.0");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_spelt_in_ascii_and_cut_whole() {
        assert_eq!(plain("47 1/2\" ü^\n", 255), "47 1/2\" \\U+00FC^  ");
        assert_eq!(plain("abü", 4), "ab");
    }
}
