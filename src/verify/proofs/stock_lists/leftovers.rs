//! What is kept bears one name everywhere: on the sheet it is cut from, in `stock.json`, in the list and in `leftovers.toml`.

use super::{Field, compare};
use crate::findings::Place;
use crate::units::Length;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::stock::{Leftover, StockFile};
use std::collections::BTreeMap;

const LIST: &str = "lists/leftovers.csv";
const FILE: &str = "leftovers.toml";

pub(super) fn prove(package: &Package<'_>, ledger: &mut Ledger, stock: &StockFile) {
    let kept = kept(stock);
    let rows = stock.leftovers.iter().map(|it| {
        let from = kept.get(it.name.as_str());
        vec![
            Field::Text("kept as", it.name.clone()),
            Field::Text("kind", it.kind.clone()),
            Field::Text("stock", it.what.clone()),
            Field::Text("grade", it.grade.clone()),
            filled("thickness (in)", it.thickness.0),
            Field::Length("length (in)", it.length.0),
            filled("width (in)", it.width.0),
            Field::Text("size (ft-in)", size(it)),
            Field::Text("core without joint", whole(it).to_owned()),
            Field::Text(
                "cut from",
                from.map_or("an earlier job", |it| it.0).to_owned(),
            ),
        ]
    });
    compare(package, ledger, LIST, rows.collect());
    for (name, (from, size)) in &kept {
        ledger.case();
        let mut same = stock.leftovers.iter().filter(|it| it.name == *name);
        let is_kept = same
            .next()
            .is_some_and(|it| [it.thickness.0, it.length.0, it.width.0] == *size)
            && same.next().is_none();
        ledger.demand(
            is_kept,
            || Place::file(LIST),
            || format!("{name}, kept of {from}, is no leftover of its size, or is one twice"),
        );
    }
    // The names in the file, in its order; verify reads no TOML. That the file is there is the manifest's proof.
    let Some(text) = package
        .files
        .get(FILE)
        .map(|it| String::from_utf8_lossy(it))
    else {
        return;
    };
    let lines = text.lines().filter_map(|it| it.strip_prefix("name = "));
    let named: Vec<&str> = lines.map(|it| it.trim_matches(['"', '\''])).collect();
    let wanted: Vec<&str> = stock.leftovers.iter().map(|it| it.name.as_str()).collect();
    let is_plain = wanted
        .iter()
        .all(|it| !it.contains(['"', '\'', '\\', '\n']));
    ledger.demand(
        !is_plain || named == wanted,
        || Place::file(FILE),
        || "it names other leftovers than stock.json".to_owned(),
    );
}

/// Nothing where there is no such side.
fn filled(column: &'static str, length: Length) -> Field {
    if length == Length::ZERO {
        Field::Text(column, String::new())
    } else {
        Field::Length(column, length)
    }
}

fn size(it: &Leftover) -> String {
    let high = match it.kind.as_str() {
        "billet" => format!(" x {} high", it.thickness.0.feet_inches()),
        _ => String::new(),
    };
    let sides = [it.length.0, it.width.0].into_iter();
    let sides = sides.filter(|side| *side > Length::ZERO);
    let words: Vec<String> = sides.map(|side| side.feet_inches().to_string()).collect();
    format!("{}{high}", words.join(" x "))
}

fn whole(it: &Leftover) -> &'static str {
    match (it.kind.as_str(), it.whole_core) {
        ("blank", true) => "yes",
        ("blank", false) => "no",
        _ => "",
    }
}

/// By name: what each kept offcut is cut from, and its thickness, length and width, 0 where the rack names none.
fn kept(stock: &StockFile) -> BTreeMap<&str, (&str, [Length; 3])> {
    let none = Length::ZERO;
    let blanks = stock.blanks.iter().map(|it| (&it.blank, &it.sheet, none));
    let boards = stock.boards.iter().map(|it| (&it.board, &it.sheet));
    let slabs = stock.slabs.iter().map(|it| (&it.slab, &it.sheet));
    let thick = boards.chain(slabs);
    let thick = thick.map(|(name, sheet)| (name, sheet, sheet.thickness.0));
    let offcuts = blanks.chain(thick).flat_map(|(from, sheet, thickness)| {
        let kept = sheet.offcuts.iter().filter(|it| it.kept);
        kept.map(move |it| {
            let rect = it.rect();
            let size = [thickness, rect.width(), rect.height()];
            (it.name.as_str(), (from.as_str(), size))
        })
    });
    let billets = stock.billets.iter().filter_map(|it| {
        let size = [it.left(), it.length.0, it.width.0];
        Some((it.kept.as_deref()?, (it.billet.as_str(), size)))
    });
    let bars = stock.lumber.iter().filter_map(|it| {
        let size = [none, it.offcut.0, none];
        Some((it.kept.as_deref()?, (it.bar.as_str(), size)))
    });
    offcuts.chain(billets).chain(bars).collect()
}
