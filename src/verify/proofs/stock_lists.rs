//! The lists of what is cut from what say what `stock.json`, the blanks' files and `panels.json` have, row for row.

use super::Proof;
use super::blanks::read;
use super::conservation::is_sawn_from;
use crate::findings::Place;
use crate::geometry::{ShopPoint, ShopRing};
use crate::units::{Inches, Length};
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::outline::Outline;
use crate::verify::readers::stock::{Bar, Billet, Blank, Piece, Sheet, StockFile};
use crate::verify::readers::table::{Row, Table};
use std::collections::{BTreeMap, BTreeSet};

mod leftovers;

pub(super) const PROOF: Proof = Proof {
    code: codes::STOCK_LISTS,
    statement: "the lists of billets, slabs, boards, bars, leftovers, lamination, waste and foam say, row for row, what stock.json, the blanks' files and panels.json have",
    cases: "rows",
    prove,
};

/// What one field of a row must say.
enum Field {
    Length(&'static str, Length),
    Text(&'static str, String),
    /// Words and lengths in inches, each length read to the nanometre.
    Words(&'static str, String),
    /// A number, to so many decimals.
    Number(&'static str, f64, i32),
    /// Cents as an amount with two decimals; empty where there are none.
    Money(&'static str, Option<i64>),
}

impl Field {
    const fn column(&self) -> &'static str {
        match self {
            Self::Length(column, _)
            | Self::Text(column, _)
            | Self::Words(column, _)
            | Self::Number(column, ..)
            | Self::Money(column, _) => column,
        }
    }

    fn agrees(&self, row: Row<'_>) -> bool {
        match self {
            Self::Length(column, length) => row.inches(column) == Some(*length),
            Self::Text(column, text) => row.text(column) == text,
            Self::Words(column, text) => say_the_same(row.text(column), text),
            Self::Number(column, number, decimals) => {
                let off = row.number(column).unwrap_or(f64::NAN) - number;
                off.abs() <= 0.6 * 10_f64.powi(-decimals)
            }
            Self::Money(column, cents) => match (row.text(column), cents) {
                ("", None) => true,
                (text, Some(cents)) => text.replace('.', "").parse() == Ok(*cents),
                _ => false,
            },
        }
    }
}

fn say_the_same(found: &str, expected: &str) -> bool {
    let words = |text: &str| -> Vec<Result<Length, String>> {
        let spaced = text.replace(';', " ;").replace(',', " ,");
        let read = spaced.split(' ').map(|word| {
            let inches = word.parse().ok();
            let length = inches.and_then(|it| Length::nearest(it, Length::nanometres(1)));
            length.ok_or_else(|| word.to_owned())
        });
        read.collect()
    };
    words(found) == words(expected)
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let Some(stock) = read(package, ledger) else {
        return;
    };
    let boards = stock.boards.iter();
    let boards =
        boards.flat_map(|it| pieces("board", [&it.board, &it.material], &it.sheet, &it.pieces));
    let slabs = stock.slabs.iter();
    let slabs =
        slabs.flat_map(|it| pieces("slab", [&it.slab, &it.material], &it.sheet, &it.pieces));
    let billets = stock.billets.iter().flat_map(layers);
    let bars = stock.lumber.iter().flat_map(bar);
    compare(package, ledger, "lists/boards.csv", boards.collect());
    compare(package, ledger, "lists/slabs.csv", slabs.collect());
    compare(package, ledger, "lists/billets.csv", billets.collect());
    compare(package, ledger, "lists/bars.csv", bars.collect());
    leftovers::prove(package, ledger, &stock);
    compare(package, ledger, "lists/lamination.csv", tickets(&stock));
    compare(package, ledger, "lists/waste.csv", waste(&stock));
    compare(package, ledger, "lists/foam.csv", foam(&stock));
    prove_lumber(package, ledger, &stock);
    prove_blanks(package, ledger, &stock);
    prove_cycles(package, ledger);
}

/// Pieces of a board or slab, in the order of `stock.json`, then what of it is kept.
fn pieces(
    column: &'static str,
    [name, material]: [&str; 2],
    sheet: &Sheet,
    pieces: &[Piece],
) -> Vec<Vec<Field>> {
    let used = pieces.iter().map(|it| (it.name.as_str(), it.rect(), ""));
    let kept = sheet.offcuts.iter().filter(|it| it.kept);
    let kept = kept.map(|it| ("offcut", it.rect(), it.name.as_str()));
    let rows = used.chain(kept).map(|(piece, rect, kept)| {
        vec![
            Field::Text(column, name.to_owned()),
            Field::Text("material", material.to_owned()),
            Field::Text("leftover used", sheet.leftover.clone()),
            Field::Length("stock length (in)", sheet.length.0),
            Field::Length("stock width (in)", sheet.width.0),
            Field::Length("thickness (in)", sheet.thickness.0),
            Field::Text("piece", piece.to_owned()),
            Field::Length("x (in)", rect.x0),
            Field::Length("y (in)", rect.y0),
            Field::Length("along x (in)", rect.width()),
            Field::Length("along y (in)", rect.height()),
            Field::Text(
                "size (ft-in)",
                format!(
                    "{} x {}",
                    rect.width().feet_inches(),
                    rect.height().feet_inches()
                ),
            ),
            Field::Text("kept as", kept.to_owned()),
        ]
    });
    rows.collect()
}

/// Layers of a billet, from its bottom up, then what of it is kept.
fn layers(billet: &Billet) -> Vec<Vec<Field>> {
    let slabs = billet.slabs.iter();
    let slabs = slabs.map(|it| (it.slab.as_str(), it.from.0, it.to.0, ""));
    let (left, top) = (billet.left(), billet.height.0);
    let kept = billet.kept.as_deref();
    let kept = kept.map(|name| ("offcut", top - left, top, name));
    let rows = slabs.chain(kept).map(|(slab, from, to, kept)| {
        vec![
            Field::Text("billet", billet.billet.clone()),
            Field::Text("material", billet.material.clone()),
            Field::Text("leftover used", billet.leftover.clone()),
            Field::Length("billet length (in)", billet.length.0),
            Field::Length("billet width (in)", billet.width.0),
            Field::Length("billet height (in)", billet.height.0),
            Field::Text("slab", slab.to_owned()),
            Field::Length("from (in)", from),
            Field::Length("to (in)", to),
            Field::Text(
                "from and to (ft-in)",
                format!("{} to {}", from.feet_inches(), to.feet_inches()),
            ),
            Field::Length("thickness (in)", to - from),
            Field::Length("kerf (in)", billet.kerf.0),
            Field::Length("rest (in)", billet.rest.0),
            Field::Text("kept as", kept.to_owned()),
        ]
    });
    rows.collect()
}

/// Pieces of a bar, from its left end.
fn bar(bar: &Bar) -> impl Iterator<Item = Vec<Field>> + '_ {
    (1_usize..).zip(&bar.pieces).map(|(number, piece)| {
        vec![
            Field::Text("bar", bar.bar.clone()),
            Field::Text("section", bar.section.clone()),
            Field::Text("grade", bar.grade.clone()),
            Field::Text("leftover used", bar.leftover.clone()),
            Field::Length("bar length (in)", bar.length.0),
            Field::Text("piece", number.to_string()),
            Field::Text("mark", piece.mark.clone()),
            Field::Length("length (in)", piece.length.0),
            Field::Text("length (ft-in)", piece.length.0.feet_inches().to_string()),
            Field::Length("offcut (in)", bar.offcut.0),
            Field::Text("kept as", bar.kept.clone().unwrap_or_default()),
        ]
    })
}

/// A row for each kind of stock: what is used is cut, kept or wasted.
fn waste(stock: &StockFile) -> Vec<Vec<Field>> {
    let priced = |cents: Option<i64>| cents.map_or_else(String::new, |_| stock.priced_by.clone());
    let rows = stock.summary.iter().map(|it| {
        vec![
            Field::Text("station", station(&it.kind).to_owned()),
            Field::Text("cut from", it.kind.clone()),
            Field::Text("stock", it.what.clone()),
            Field::Text("unit", it.unit.clone()),
            Field::Number("used (unit)", it.used, 3),
            Field::Number("cut (unit)", it.cut, 3),
            Field::Number("kept (unit)", it.kept, 3),
            Field::Number("waste (unit)", it.waste, 3),
            Field::Number("waste (unit)", (it.used - it.cut - it.kept).max(0.0), 3),
            Field::Number("waste (%)", 100.0 * it.waste / it.used.max(1e-9), 1),
            Field::Number("waste (lb)", it.waste_lb, 1),
            Field::Text("priced by", priced(it.waste_cents)),
            Field::Money("waste (money)", it.waste_cents),
        ]
    });
    rows.collect()
}

/// Who cuts what.
fn station(kind: &str) -> &'static str {
    match kind {
        "billets" => "slabs",
        "slabs" => "cores",
        "boards" => "skins",
        "blanks" => "saw",
        _ => "lumber",
    }
}

/// A row for each foam.
fn foam(stock: &StockFile) -> Vec<Vec<Field>> {
    let priced = |cents: Option<i64>| cents.map_or_else(String::new, |_| stock.priced_by.clone());
    let rows = stock.foam.iter().map(|it| {
        vec![
            Field::Text("material", it.material.clone()),
            Field::Number("billets (cu ft)", it.billets_cu_ft, 3),
            Field::Number("in panels (cu ft)", it.panels_cu_ft, 3),
            Field::Number("offcuts of blanks (cu ft)", it.blank_offcuts_cu_ft, 3),
            Field::Number("leftover slabs used (cu ft)", it.slabs_cu_ft, 3),
            Field::Number("kept (cu ft)", it.kept_cu_ft, 3),
            Field::Number("rests (cu ft)", it.rests_cu_ft, 3),
            Field::Number("wire (cu ft)", it.wire_cu_ft, 3),
            Field::Number("ground, sawn, trimmed (cu ft)", it.grindings_cu_ft, 3),
            Field::Number("back to be ground (lb)", it.ground_lb, 1),
            Field::Text("priced by", priced(it.waste_cents.or(it.ground_cents))),
            Field::Money("worth of it (money)", it.ground_cents),
            Field::Money("cost of the waste (money)", it.waste_cents),
        ]
    });
    rows.collect()
}

/// A ticket for each blank, in the order of `stock.json`.
fn tickets(stock: &StockFile) -> Vec<Vec<Field>> {
    let boards = stock.boards.iter().map(|it| (&it.board, &it.pieces));
    let boards = sources(boards);
    let slabs = stock.slabs.iter().map(|it| (&it.slab, &it.pieces));
    let slabs = sources(slabs);
    let said = |from: &BTreeMap<(&str, &str), Vec<String>>, blank: &str, part: &str| {
        let found = from.get(&(blank, part));
        found.map_or_else(String::new, |all| all.join("; "))
    };
    let ticket = |(number, blank): (usize, &Blank)| {
        let (lower, upper) = if blank.face_up == "inner" {
            ("outer", "inner")
        } else {
            ("inner", "outer")
        };
        let name = blank.blank.as_str();
        // What fits no board on hand is cut from none.
        let material = |column, face: &str| {
            let piece = format!("{name} {face}");
            if stock.unplaced.contains(&piece) {
                return None;
            }
            let mut boards = stock.boards.iter();
            let board = boards.find(|it| it.pieces.iter().any(|cut| cut.name == piece));
            let words = board.map_or_else(
                || "bare".to_owned(),
                |it| format!("{} {}", it.material, Inches(it.sheet.thickness.0)),
            );
            Some(Field::Text(column, words))
        };
        let marks: Vec<&str> = blank.panels.iter().map(|it| it.mark.as_str()).collect();
        let size = [blank.sheet.length, blank.sheet.width].map(|it| it.0.feet_inches());
        let mut fields = vec![
            Field::Text("ticket", number.to_string()),
            Field::Text("blank", blank.blank.clone()),
            Field::Text("assembly", blank.assembly.clone()),
            Field::Text("line", blank.line.clone()),
            Field::Length("length (in)", blank.sheet.length.0),
            Field::Length("width (in)", blank.sheet.width.0),
            Field::Text("size (ft-in)", format!("{} x {}", size[0], size[1])),
            Field::Length("thickness (in)", blank.sheet.thickness.0),
            Field::Text("face up", blank.face_up.clone()),
            Field::Text("lower skin", said(&boards, name, lower)),
            Field::Text("core", said(&slabs, name, "core")),
            Field::Words("core joints (in)", lines(&blank.joints(), blank, in_inches)),
            Field::Text(
                "core joints (ft-in)",
                lines(&blank.joints(), blank, on_tape),
            ),
            Field::Words(
                "chases in core (in)",
                lines(&blank.chases(), blank, in_inches),
            ),
            Field::Text(
                "chases in core (ft-in)",
                lines(&blank.chases(), blank, on_tape),
            ),
            Field::Text("upper skin", said(&boards, name, upper)),
            Field::Text("panels", marks.join(" ")),
        ];
        let materials = [("lower material", lower), ("upper material", upper)];
        let materials = materials.map(|(column, face)| material(column, face));
        // Each skin is glued on; a bare face is none.
        let bare =
            |it: &&Option<Field>| matches!(it, Some(Field::Text(_, words)) if words == "bare");
        let glued = materials.len() - materials.iter().filter(bare).count();
        fields.push(Field::Text("glue lines", glued.to_string()));
        fields.extend(materials.into_iter().flatten());
        fields
    };
    let blanks = stock.blanks.iter();
    let anew = blanks.filter(|it| it.sheet.leftover.is_empty());
    (1_usize..).zip(anew).map(ticket).collect()
}

/// By blank and part, as a ticket names them, the pieces with what they are cut from: `B01 core 1 (F02)`.
fn sources<'a>(
    sheets: impl Iterator<Item = (&'a String, &'a Vec<Piece>)>,
) -> BTreeMap<(&'a str, &'a str), Vec<String>> {
    let mut all: BTreeMap<(&str, &str), Vec<String>> = BTreeMap::new();
    for (sheet, pieces) in sheets {
        for piece in pieces {
            let mut words = piece.name.split(' ');
            if let (Some(blank), Some(part)) = (words.next(), words.next()) {
                let said = format!("{} ({sheet})", piece.name);
                all.entry((blank, part)).or_default().push(said);
            }
        }
    }
    all
}

/// Chases and core joints as a ticket has them: where each crosses or runs along the blank, and over what part where not the whole.
///
/// - `said`: how a length is written.
fn lines(lines: &[[ShopPoint; 2]], blank: &Blank, said: fn(Length) -> String) -> String {
    let (long, wide) = (blank.sheet.length.0, blank.sheet.width.0);
    let words = lines.iter().map(|[a, b]| {
        let [x0, y0, x1, y1] = [a.x, a.y, b.x, b.y].map(said);
        let (is_across, is_along) = (a.x == b.x, a.y == b.y);
        let (at, from, to, whole) = if is_across {
            (format!("x {x0}"), a.y, b.y, wide)
        } else if is_along {
            (format!("y {y0}"), a.x, b.x, long)
        } else {
            return format!("from {x0}, {y0} to {x1}, {y1}");
        };
        if (from.min(to), from.max(to)) == (Length::ZERO, whole) {
            at
        } else {
            format!("{at} from {} to {}", said(from.min(to)), said(from.max(to)))
        }
    });
    words.collect::<Vec<_>>().join("; ")
}

fn in_inches(length: Length) -> String {
    length.to_inches().to_string()
}

/// As on a tape, to 1/16 in.
fn on_tape(length: Length) -> String {
    length.feet_inches().to_string()
}

/// Reads a list; that it can be read is this proof's own.
fn list(package: &Package<'_>, ledger: &mut Ledger, name: &'static str) -> Option<Table> {
    match package.files.get(name).map(|bytes| Table::read(bytes)) {
        None => ledger.fail(Place::file(name), "it is missing"),
        Some(Err(reason)) => ledger.fail(Place::file(name), reason),
        Some(Ok(table)) => return Some(table),
    }
    None
}

/// Row for row, field for field.
fn compare(
    package: &Package<'_>,
    ledger: &mut Ledger,
    name: &'static str,
    expected: Vec<Vec<Field>>,
) {
    let Some(table) = list(package, ledger, name) else {
        return;
    };
    let (n_rows, n_expected) = (table.rows().len(), expected.len());
    ledger.demand(
        n_rows == n_expected,
        || Place::file(name),
        || format!("it has {n_rows} rows, stock.json makes {n_expected}"),
    );
    for ((line, row), fields) in (2_usize..).zip(table.rows()).zip(&expected) {
        ledger.case();
        let odd = fields.iter().find(|field| !field.agrees(row));
        if let Some(odd) = odd {
            let column = odd.column();
            ledger.fail(
                Place::line(name, line),
                format!("'{column}' is not what stock.json has"),
            );
        }
    }
}

/// The list of bars has just the lumber that `panels.json` wants: every mark once, with its section and length.
fn prove_lumber(package: &Package<'_>, ledger: &mut Ledger, stock: &StockFile) {
    const NAME: &str = "lists/bars.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    let unplaced: BTreeSet<&str> = stock.unplaced.iter().map(String::as_str).collect();
    let panels = package.panels.panels.iter().filter(|panel| !panel.hold);
    let lumber = panels.flat_map(|panel| &panel.lumber);
    let lumber = lumber.map(|it| (&*it.mark, &*it.section, it.length.0));
    let plates = package.panels.walls.iter().flat_map(|wall| &wall.plates);
    let plates = plates.map(|it| (&*it.mark, &*it.section, it.length.0));
    let wanted = lumber.chain(plates).filter(|it| !unplaced.contains(it.0));
    let mut wanted: BTreeMap<&str, (&str, Length)> = wanted
        .map(|(mark, section, length)| (mark, (section, length)))
        .collect();
    for (line, row) in (2_usize..).zip(table.rows()) {
        ledger.case();
        let mark = row.text("mark");
        let asked = wanted.remove(mark);
        let is_so = asked.is_some_and(|(section, length)| {
            is_sawn_from(section, row.text("section")) && row.inches("length (in)") == Some(length)
        });
        ledger.demand(
            is_so,
            || Place::line(NAME, line),
            || format!("panels.json has no such piece as {mark}, or it is listed twice"),
        );
    }
    for mark in wanted.keys() {
        ledger.fail(Place::file(NAME), format!("{mark} is not listed"));
    }
}

/// Each ticket's blank has a file of the same size with the same panels; all panels that lie on blanks laminated anew are on tickets.
fn prove_blanks(package: &Package<'_>, ledger: &mut Ledger, stock: &StockFile) {
    const NAME: &str = "lists/lamination.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    // A leftover is laminated already and has no ticket.
    let old = stock.blanks.iter();
    let old = old.filter(|it| !it.sheet.leftover.is_empty());
    let old: BTreeSet<&str> = old.map(|it| it.blank.as_str()).collect();
    let panels = package.panels.panels.iter();
    let mut placed: BTreeSet<(&str, &str)> = panels
        .filter_map(|panel| Some((panel.blank.as_deref()?, panel.mark.as_str())))
        .filter(|(blank, _)| !old.contains(blank))
        .collect();
    let files = package.files.keys();
    let files = files.filter_map(|it| it.strip_prefix("blanks/")?.strip_suffix(".dxf"));
    let n_files = files.filter(|it| !old.contains(it)).count();
    ledger.demand(
        table.rows().len() == n_files,
        || Place::file(NAME),
        || {
            format!(
                "{} tickets for {n_files} files of blanks",
                table.rows().len()
            )
        },
    );
    for (line, row) in (2_usize..).zip(table.rows()) {
        ledger.case();
        let blank = row.text("blank");
        let listed: BTreeSet<&str> = row.text("panels").split_whitespace().collect();
        for mark in &listed {
            ledger.demand(
                placed.remove(&(blank, mark)),
                || Place::line(NAME, line),
                || format!("panels.json does not have {mark} on {blank}, or it is listed twice"),
            );
        }
        let file = package.files.get(&format!("blanks/{blank}.dxf"));
        let file = file.and_then(|bytes| Outline::read(bytes).ok());
        let agrees = file.is_some_and(|file| {
            let outlines = file.with_role("outline");
            let marks: BTreeSet<&str> = outlines.map(|it| it.fact("mark")).collect();
            let contour = file.with_role("blank").next();
            let size = contour.and_then(|it| ShopRing(it.points.clone()).bounds());
            let size = size.map(|it| (Some(it.width()), Some(it.height())));
            marks == listed && size == Some((row.inches("length (in)"), row.inches("width (in)")))
        });
        ledger.demand(
            agrees,
            || Place::line(NAME, line),
            || format!("blanks/{blank}.dxf has another size or other panels"),
        );
    }
    for (blank, mark) in placed {
        ledger.fail(
            Place::file(NAME),
            format!("{mark}, which lies on {blank}, is on no ticket"),
        );
    }
}

/// Cycles of the press are numbered without a gap, hold one assembly and line each, and take equally long.
fn prove_cycles(package: &Package<'_>, ledger: &mut Ledger) {
    const NAME: &str = "lists/lamination.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    let mut last: Option<(u32, [&str; 2])> = None;
    let mut minutes = (0.0_f64, f64::INFINITY);
    for (line, row) in (2_usize..).zip(table.rows()) {
        let made = ["assembly", "line"].map(|column| row.text(column));
        let cycle: Option<u32> = row.text("press cycle").parse().ok();
        let dry = row.number("dry after (min)");
        let follows = cycle.is_some_and(|cycle| match last {
            None => cycle == 1,
            Some((before, same)) => cycle == before + 1 || (cycle == before && made == same),
        });
        let is_even = dry.zip(cycle).is_some_and(|(dry, cycle)| {
            // The list rounds minutes to a tenth: what a cycle may take is known between two bounds, closer with each row.
            let cycle = f64::from(cycle.max(1));
            minutes.0 = minutes.0.max((dry - 0.05) / cycle - 1e-9);
            minutes.1 = minutes.1.min((dry + 0.05) / cycle + 1e-9);
            let tenths = dry * 10.0;
            (tenths - tenths.round()).abs() < 1e-6 && minutes.0 <= minutes.1
        });
        ledger.demand(
            follows && is_even,
            || Place::line(NAME, line),
            || "its press cycle or its minutes do not follow from the row before".to_owned(),
        );
        last = cycle.map(|cycle| (cycle, made));
    }
}
