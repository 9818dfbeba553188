//! Lists of the stations before the saw: billets, slabs, boards, lamination, and lumber by the bar.

use crate::documents::csv_table::CsvTable;
use crate::geometry::{ShopPoint, ShopRect};
use crate::rules::PlantRules;
use crate::stock::{CutSheet, StockPlan};
use crate::units::Length;

/// Slabs by the billet they are cut from, from the bottom up; then what of it is kept, and as what.
pub(super) fn billet_list(stock: &StockPlan) -> CsvTable {
    let mut table = CsvTable::new(&[
        "billet",
        "material",
        "leftover used",
        "billet length (in)",
        "billet width (in)",
        "billet height (in)",
        "slab",
        "from (in)",
        "to (in)",
        "from and to (ft-in)",
        "thickness (in)",
        "kerf (in)",
        "rest (in)",
        "kept as",
    ]);
    for billet in &stock.billets {
        let slabs = billet.slabs.iter();
        let slabs = slabs.map(|(slab, from, to)| (slab.as_str(), *from, *to, ""));
        let left = billet.height - billet.left();
        let kept = billet.kept.as_deref();
        let kept = kept.map(|name| ("offcut", left, billet.height, name));
        for (slab, from, to, kept) in slabs.chain(kept) {
            table.row([
                billet.name.clone(),
                billet.what.clone(),
                billet.leftover.clone(),
                CsvTable::inches(billet.length),
                CsvTable::inches(billet.width),
                CsvTable::inches(billet.height),
                slab.to_owned(),
                CsvTable::inches(from),
                CsvTable::inches(to),
                format!("{} to {}", from.feet_inches(), to.feet_inches()),
                CsvTable::inches(to - from),
                CsvTable::inches(billet.kerf),
                CsvTable::inches(billet.rest),
                kept.to_owned(),
            ]);
        }
    }
    table
}

/// What heads the lists of slabs and boards.
const SHEET: [&str; 11] = [
    "material",
    "leftover used",
    "stock length (in)",
    "stock width (in)",
    "thickness (in)",
    "piece",
    "x (in)",
    "y (in)",
    "along x (in)",
    "along y (in)",
    "size (ft-in)",
];

/// What is cut from each slab or board, piece by piece; then what of it is kept, and as what.
///
/// - `key`: `slab` or `board`.
pub(super) fn sheet_list(key: &str, sheets: &[CutSheet]) -> CsvTable {
    let heads: Vec<&str> = [key].into_iter().chain(SHEET).chain(["kept as"]).collect();
    let mut table = CsvTable::new(&heads);
    for sheet in sheets {
        for piece in &sheet.pieces {
            let row = sheet_row(sheet, &piece.name, &piece.rect);
            table.row(row.into_iter().chain([String::new()]));
        }
        for kept in sheet.offcuts.iter().filter(|it| it.is_kept) {
            let row = sheet_row(sheet, "offcut", &kept.rect);
            table.row(row.into_iter().chain([kept.name.clone()]));
        }
    }
    table
}

fn sheet_row(sheet: &CutSheet, piece: &str, rect: &ShopRect) -> [String; 12] {
    [
        sheet.name.clone(),
        sheet.what.clone(),
        sheet.leftover.clone(),
        CsvTable::inches(sheet.length),
        CsvTable::inches(sheet.width),
        CsvTable::inches(sheet.thickness),
        piece.to_owned(),
        CsvTable::inches(rect.x0),
        CsvTable::inches(rect.y0),
        CsvTable::inches(rect.width()),
        CsvTable::inches(rect.height()),
        CsvTable::size(rect.width(), rect.height()),
    ]
}

/// What lies on the rack when the job is done: the rows of `leftovers.toml`, with what each is chalked on.
pub(super) fn leftover_list(stock: &StockPlan) -> CsvTable {
    let mut table = CsvTable::new(&[
        "kept as",
        "kind",
        "stock",
        "grade",
        "thickness (in)",
        "length (in)",
        "width (in)",
        "size (ft-in)",
        "core without joint",
        "cut from",
    ]);
    let filled = |length: Length, words: String| {
        if length > Length::ZERO {
            words
        } else {
            String::new()
        }
    };
    let cut_from = stock.cut_from();
    for it in &stock.leftovers {
        let from = cut_from.get(it.name.as_str());
        table.row([
            it.name.clone(),
            it.kind.to_owned(),
            it.what.clone(),
            it.grade.clone(),
            filled(it.thickness, CsvTable::inches(it.thickness)),
            CsvTable::inches(it.length),
            filled(it.width, CsvTable::inches(it.width)),
            match it.kind {
                "bar" => it.length.feet_inches().to_string(),
                "billet" => format!(
                    "{} x {} high",
                    CsvTable::size(it.length, it.width),
                    it.thickness.feet_inches()
                ),
                _ => CsvTable::size(it.length, it.width),
            },
            match (it.kind, it.has_whole_core) {
                ("blank", true) => "yes",
                ("blank", false) => "no",
                _ => "",
            }
            .to_owned(),
            from.map_or_else(|| "an earlier job".to_owned(), |it| (*it).to_owned()),
        ]);
    }
    table
}

/// Pieces of lumber by the bar they are cut from, from its left end.
pub(super) fn bar_list(stock: &StockPlan) -> CsvTable {
    let mut table = CsvTable::new(&[
        "bar",
        "section",
        "grade",
        "leftover used",
        "bar length (in)",
        "piece",
        "mark",
        "length (in)",
        "length (ft-in)",
        "offcut (in)",
        "kept as",
    ]);
    for bar in &stock.bars {
        for (index, (mark, length)) in bar.pieces.iter().enumerate() {
            table.row([
                bar.name.clone(),
                bar.section.clone(),
                bar.grade.clone(),
                bar.leftover.clone(),
                CsvTable::inches(bar.length),
                (index + 1).to_string(),
                mark.clone(),
                CsvTable::inches(*length),
                length.feet_inches().to_string(),
                CsvTable::inches(bar.offcut),
                bar.kept.clone().unwrap_or_default(),
            ]);
        }
    }
    table
}

/// Lamination tickets in order: by assembly, then line, then what is set first; with press cycles.
///
/// - A leftover is laminated already and has none.
/// - A cycle never mixes assemblies or lines and holds `press.blanks` at most.
pub(super) fn lamination_list(stock: &StockPlan, rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "ticket",
        "press cycle",
        "dry after (min)",
        "blank",
        "assembly",
        "line",
        "length (in)",
        "width (in)",
        "size (ft-in)",
        "thickness (in)",
        "face up",
        "lower skin",
        "lower material",
        "core",
        "core joints (in)",
        "core joints (ft-in)",
        "chases in core (in)",
        "chases in core (ft-in)",
        "upper skin",
        "upper material",
        "glue lines",
        "panels",
    ]);
    let press = &rules.dispatch.press;
    let pieces = |sheets: &[CutSheet], name: &str| -> String {
        let from = sheets.iter().flat_map(|sheet| {
            let own = |piece: &str| piece == name || piece.starts_with(&format!("{name} "));
            let found = sheet.pieces.iter().filter(move |it| own(&it.name));
            found.map(|it| format!("{} ({})", it.name, sheet.name))
        });
        from.collect::<Vec<_>>().join("; ")
    };
    let mut cycle = 0_u32;
    let mut in_cycle = 0_u32;
    let mut last = None;
    // A leftover is laminated already.
    let anew = stock
        .blanks
        .iter()
        .filter(|it| it.sheet.leftover.is_empty());
    for (index, blank) in anew.enumerate() {
        let made = Some((blank.assembly, blank.line));
        if made != last || in_cycle >= press.blanks {
            cycle += 1;
            in_cycle = 0;
        }
        last = made;
        in_cycle += 1;
        let sheet = &blank.sheet;
        let faces = [blank.face_up.other(), blank.face_up];
        let [lower, upper] =
            faces.map(|face| pieces(&stock.boards, &format!("{} {}", sheet.name, face.name())));
        let assembly = rules.assemblies.get(blank.assembly);
        let [under, over] =
            faces.map(|face| assembly.map_or_else(String::new, |it| it.skin(face).words()));
        let line = rules.lines.get(blank.line);
        let marks: Vec<&str> = blank.panels.iter().map(|it| it.mark.as_str()).collect();
        table.row([
            (index + 1).to_string(),
            cycle.to_string(),
            CsvTable::number(f64::from(cycle) * press.minutes, 1),
            sheet.name.clone(),
            sheet.what.clone(),
            line.map_or_else(String::new, |it| it.name.clone()),
            CsvTable::inches(sheet.length),
            CsvTable::inches(sheet.width),
            CsvTable::size(sheet.length, sheet.width),
            CsvTable::inches(sheet.thickness),
            blank.face_up.name().to_owned(),
            lower,
            under,
            pieces(&stock.slabs, &format!("{} core", sheet.name)),
            lines(&blank.core_joints, sheet, CsvTable::inches),
            lines(&blank.core_joints, sheet, on_tape),
            lines(&blank.chases, sheet, CsvTable::inches),
            lines(&blank.chases, sheet, on_tape),
            upper,
            over,
            assembly
                .map_or(0, crate::rules::Assembly::n_skins)
                .to_string(),
            marks.join(" "),
        ]);
    }
    table
}

/// As on a tape, to 1/16 in.
fn on_tape(length: Length) -> String {
    length.feet_inches().to_string()
}

/// Chases and joints of the core as wire and glue need them, from the blank's datum corner: `x 48` runs across the whole blank, `y 16`
/// along it, `y 48 from 0 to 82` along a part.
///
/// - `inches`: how a length is written.
fn lines(lines: &[[ShopPoint; 2]], sheet: &CutSheet, inches: fn(Length) -> String) -> String {
    let part = |from: Length, to: Length, whole: Length| {
        let (low, high) = (from.min(to), from.max(to));
        if low <= Length::ZERO && high >= whole {
            String::new()
        } else {
            format!(" from {} to {}", inches(low), inches(high))
        }
    };
    let words = lines.iter().map(|[from, to]| {
        if from.x == to.x {
            format!("x {}{}", inches(from.x), part(from.y, to.y, sheet.width))
        } else if from.y == to.y {
            format!("y {}{}", inches(from.y), part(from.x, to.x, sheet.length))
        } else {
            let ends = [from.x, from.y, to.x, to.y].map(inches);
            format!("from {}, {} to {}, {}", ends[0], ends[1], ends[2], ends[3])
        }
    });
    words.collect::<Vec<_>>().join("; ")
}
