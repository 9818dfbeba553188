//! What every R2000 file has round its entities: header, tables, blocks, objects, and how pairs and texts are spelt.
//!
//! Source: the published DXF reference, group codes of AC1015. `ezdxf` audits files made with it in `tests/outside` without
//! an error and without a fix.

use std::fmt::{Display, Write};

/// Name under which the facts stand.
pub(super) const APPLICATION: &str = "PANELWRIGHT";
/// Longest text in one group of extended data.
pub(crate) const LONGEST_FACT: usize = 255;

/// Pairs of group code and value.
#[derive(Default)]
pub(crate) struct Pairs {
    text: String,
    last_handle: u32,
}

impl Pairs {
    /// The file.
    pub(super) fn into_text(self) -> String {
        self.text
    }

    /// Adds a pair.
    pub(crate) fn pair(&mut self, code: u16, value: impl Display) -> &mut Self {
        // Writing to a String cannot fail.
        let _ = writeln!(self.text, "{code:>3}\n{value}");
        self
    }

    /// A fresh handle.
    pub(crate) fn handle(&mut self) -> String {
        self.last_handle += 1;
        format!("{:X}", self.last_handle)
    }

    /// Facts as extended data of the entity before.
    pub(crate) fn facts(&mut self, facts: &[String]) {
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
pub(crate) fn plain(text: &str, longest: usize) -> String {
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

pub(super) fn style_values(out: &mut Pairs) {
    out.pair(70, 0).pair(40, "0.0").pair(41, "1.0");
    out.pair(50, "0.0").pair(71, 0).pair(42, "1.0");
    out.pair(3, "txt").pair(4, "");
}

/// Handles that other parts of an R2000 file point to.
struct Handles {
    model_record: String,
    paper_record: String,
    model_layout: String,
    paper_layout: String,
}

/// What a file says about itself, numbers already spelt.
pub(crate) struct Shell<'a> {
    /// Layers with their colour by index; layer 0 is added.
    pub(crate) layers: &'a [(String, u8)],
    /// Lower left and upper right corner of all that is drawn.
    pub(crate) extents: [[String; 2]; 2],
    /// Middle of it.
    pub(crate) middle: [String; 2],
    /// Height of a view that shows it.
    pub(crate) size: String,
    /// `$INSUNITS`: 1 inch, 2 foot, 4 millimetre, 5 centimetre, 6 metre.
    pub(crate) units: u16,
    /// True for millimetres and their like.
    pub(crate) is_metric: bool,
}

/// A whole R2000 file.
///
/// - `entities`: adds the entities of model space; it is given the handle of their owner.
pub(crate) fn r2000(shell: &Shell<'_>, entities: impl FnOnce(&mut Pairs, &str)) -> String {
    let mut body = Pairs::default();
    let handles = Handles {
        model_record: body.handle(),
        paper_record: body.handle(),
        model_layout: body.handle(),
        paper_layout: body.handle(),
    };
    body.pair(0, "SECTION").pair(2, "CLASSES").pair(0, "ENDSEC");
    tables(&mut body, shell, &handles);
    blocks(&mut body, &handles);
    body.pair(0, "SECTION").pair(2, "ENTITIES");
    entities(&mut body, &handles.model_record);
    body.pair(0, "ENDSEC");
    objects(&mut body, &handles, shell.is_metric);
    body.pair(0, "EOF");

    let mut head = Pairs::default();
    head.pair(0, "SECTION").pair(2, "HEADER");
    head.pair(9, "$ACADVER").pair(1, "AC1015");
    head.pair(9, "$HANDSEED")
        .pair(5, format!("{:X}", body.last_handle + 1));
    header_extents(&mut head, &shell.extents);
    head.pair(9, "$INSUNITS").pair(70, shell.units);
    head.pair(9, "$MEASUREMENT")
        .pair(70, u8::from(shell.is_metric));
    head.pair(0, "ENDSEC");
    head.text + &body.text
}

/// The corners of all that is drawn, as variables of a header.
pub(super) fn header_extents(out: &mut Pairs, extents: &[[String; 2]; 2]) {
    for (name, [x, y]) in ["$EXTMIN", "$EXTMAX"].into_iter().zip(extents) {
        out.pair(9, name).pair(10, x).pair(20, y).pair(30, "0.0");
    }
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

fn tables(out: &mut Pairs, shell: &Shell<'_>, handles: &Handles) {
    out.pair(0, "SECTION").pair(2, "TABLES");
    viewport_table(out, shell);
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
    let owner = open_table(out, "LAYER", shell.layers.len() + 1);
    let zero = [("0".to_owned(), 7)];
    for (name, colour) in zero.iter().chain(shell.layers) {
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
fn viewport_table(out: &mut Pairs, shell: &Shell<'_>) {
    let owner = open_table(out, "VPORT", 1);
    open_record(out, "VPORT", &owner, "AcDbViewportTableRecord", "*Active");
    out.pair(10, "0.0").pair(20, "0.0");
    out.pair(11, "1.0").pair(21, "1.0");
    out.pair(12, &shell.middle[0]);
    out.pair(22, &shell.middle[1]);
    out.pair(16, "0.0").pair(26, "0.0").pair(36, "1.0");
    out.pair(17, "0.0").pair(27, "0.0").pair(37, "0.0");
    out.pair(40, &shell.size).pair(41, "1.0");
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

/// The root dictionary with groups and the two layouts.
fn objects(out: &mut Pairs, handles: &Handles, is_metric: bool) {
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
        plot_settings(out, flags, is_metric);
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

fn plot_settings(out: &mut Pairs, flags: u16, is_metric: bool) {
    out.pair(100, "AcDbPlotSettings");
    out.pair(1, "").pair(2, "").pair(4, "").pair(6, "");
    for code in 40..=49 {
        out.pair(code, "0.0");
    }
    out.pair(140, "0.0").pair(141, "0.0");
    out.pair(142, "1.0").pair(143, "1.0");
    out.pair(70, flags)
        .pair(72, u8::from(is_metric))
        .pair(73, 0);
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
