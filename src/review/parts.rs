//! What becomes of the parts of panels that were made from the earlier issue: reused, recut or scrapped.
//!
//! Lumber is matched within a section and grade: first with its like in its own panel, then by equal length, then the shortest old
//! piece that is longer than a new one. Skins and core are glued to each other, so they go the way of their panel: what the table
//! says of it they do.

use super::compare::Comparison;
use super::differences::is_same;
use super::issued::IssuedPanel;
use super::verdict::Verdict;
use serde::Serialize;
use serde_json::Value;

/// Lengths no farther apart than this are the same, inches; as in [`super::differences`].
const SAME: f64 = 0.001;

/// What is done with a part, in the order of the list.
const ORDER: [&str; 4] = ["reuse", "recut", "scrap", "cut new"];

/// One part of a panel of either issue.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PartFate {
    /// `reuse`, `recut`, `scrap` or `cut new`.
    pub what: &'static str,
    /// Panel and part that are there; empty for a new one.
    pub old: String,
    /// Panel and part it becomes; empty for scrap.
    pub new: String,
    /// Section and grade, or what it is.
    pub stuff: String,
    /// Length there is, inches; 0 for none.
    pub from_in: f64,
    /// Length wanted, inches; 0 for none.
    pub to_in: f64,
}

#[derive(Clone, Debug)]
struct Piece {
    name: String,
    /// Panel and use: pieces alike in it are each other's likes.
    place: [String; 2],
    stuff: String,
    length: f64,
}

/// Every part of panels that are not the same: what is reused, recut, scrapped, then what has to be cut new.
#[must_use]
pub fn part_fates(compared: &Comparison) -> Vec<PartFate> {
    let mut old = Vec::new();
    let mut new = Vec::new();
    let mut rows = Vec::new();
    for (row, verdict) in compared.rows() {
        if matches!(verdict, Verdict::Keep | Verdict::NewSheet) {
            continue;
        }
        let before = row.old.and_then(|index| compared.old.panels.get(index));
        let now = row.new.and_then(|index| compared.new.panels.get(index));
        old.extend(before.into_iter().flat_map(lumber));
        new.extend(now.into_iter().flat_map(lumber));
        rows.extend(faces(before, now, verdict));
    }
    let mut wanted: Vec<Option<Piece>> = new.into_iter().map(Some).collect();
    let mut there: Vec<Option<Piece>> = old.into_iter().map(Some).collect();
    let is_equal = |old: &Piece, new: &Piece| (old.length - new.length).abs() <= SAME;
    pair_up(&mut there, &mut wanted, &mut rows, "reuse", |old, new| {
        old.place == new.place && is_equal(old, new)
    });
    pair_up(&mut there, &mut wanted, &mut rows, "reuse", is_equal);
    pair_up(&mut there, &mut wanted, &mut rows, "recut", |old, new| {
        old.length > new.length
    });
    rows.extend(there.into_iter().flatten().map(|it| PartFate {
        what: "scrap",
        old: it.name,
        stuff: it.stuff,
        from_in: it.length,
        ..PartFate::default()
    }));
    rows.extend(wanted.into_iter().flatten().map(|it| PartFate {
        what: "cut new",
        new: it.name,
        stuff: it.stuff,
        to_in: it.length,
        ..PartFate::default()
    }));
    rows.sort_by_key(|it| ORDER.iter().position(|what| *what == it.what));
    rows
}

/// Gives every wanted piece, longest first, the shortest one there that fits.
fn pair_up(
    there: &mut [Option<Piece>],
    wanted: &mut [Option<Piece>],
    rows: &mut Vec<PartFate>,
    what: &'static str,
    fits: impl Fn(&Piece, &Piece) -> bool,
) {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    let length = |it: &Option<Piece>| it.as_ref().map_or(0.0, |it| it.length);
    order.sort_by(|a, b| length(&wanted[*b]).total_cmp(&length(&wanted[*a])));
    for index in order {
        let Some(new) = &wanted[index] else { continue };
        let found = (0..there.len())
            .filter(|i| {
                there[*i]
                    .as_ref()
                    .is_some_and(|old| old.stuff == new.stuff && fits(old, new))
            })
            .min_by(|a, b| length(&there[*a]).total_cmp(&length(&there[*b])));
        if let Some(old) = found.and_then(|i| there[i].take()) {
            rows.push(PartFate {
                what,
                old: old.name,
                new: new.name.clone(),
                stuff: old.stuff,
                from_in: old.length,
                to_in: new.length,
            });
            wanted[index] = None;
        }
    }
}

fn lumber(panel: &IssuedPanel) -> Vec<Piece> {
    let list = panel.data["lumber"].as_array();
    let word = |it: &Value, key: &str| it[key].as_str().unwrap_or_default().to_owned();
    list.into_iter()
        .flatten()
        .map(|it| Piece {
            name: format!("{} {}", word(it, "mark"), word(it, "use")),
            place: [panel.mark.clone(), word(it, "use")],
            stuff: format!("{} {}", word(it, "section"), word(it, "grade"))
                .trim()
                .to_owned(),
            length: it["length"].as_f64().unwrap_or_default(),
        })
        .collect()
}

/// Skins and core of a panel that changed, went or came: a panel that is scrapped has them twice, once to throw away and once to cut.
fn faces(
    before: Option<&IssuedPanel>,
    now: Option<&IssuedPanel>,
    verdict: &Verdict,
) -> Vec<PartFate> {
    const FACES: [(&str, &[&str]); 3] = [
        ("outer skin", &["outer_skin"]),
        ("inner skin", &["inner_skin"]),
        ("core", &["core", "core_others"]),
    ];
    let mark = |panel: Option<&IssuedPanel>| panel.map_or_else(String::new, |it| it.mark.clone());
    let mut rows = Vec::new();
    for (stuff, keys) in FACES {
        let has = |panel: Option<&IssuedPanel>| {
            panel.is_some_and(|it| keys.iter().any(|key| !is_nothing(&it.data[*key])))
        };
        let is_alike = before.zip(now).is_some_and(|(was, now)| {
            keys.iter()
                .all(|key| is_same(&was.data[*key], &now.data[*key]))
        });
        let row = |what, old: String, new: String| PartFate {
            what,
            old,
            new,
            stuff: stuff.to_owned(),
            ..PartFate::default()
        };
        let is_kept = matches!(verdict, Verdict::Refit | Verdict::Recut { .. });
        if is_kept && has(before) && has(now) {
            let what = if is_alike { "reuse" } else { "recut" };
            rows.push(row(what, mark(before), mark(now)));
            continue;
        }
        if has(before) {
            rows.push(row("scrap", mark(before), String::new()));
        }
        if has(now) {
            rows.push(row("cut new", String::new(), mark(now)));
        }
    }
    rows
}

/// True of a face that a panel has not.
fn is_nothing(face: &Value) -> bool {
    let is_empty = |it: &Value| it.as_array().is_some_and(Vec::is_empty);
    face.is_null() || is_empty(face) || is_empty(&face["outline"])
}

/// The list as CSV.
#[must_use]
pub fn parts_csv(parts: &[PartFate]) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::Any(b'\n'))
        .from_writer(Vec::new());
    let length = |inches: f64| {
        if inches > 0.0 {
            format!("{inches:.4}")
        } else {
            String::new()
        }
    };
    // Writing rows of one length to memory cannot fail.
    let _ = writer.write_record([
        "what to do",
        "there",
        "becomes",
        "material",
        "there (in)",
        "wanted (in)",
    ]);
    for it in parts {
        let _ = writer.write_record([
            it.what,
            &it.old,
            &it.new,
            &it.stuff,
            &length(it.from_in),
            &length(it.to_in),
        ]);
    }
    writer.into_inner().unwrap_or_default()
}
