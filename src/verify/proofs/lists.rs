//! The lists say what `panels.json` says: as many rows, the same marks, sizes and areas.

use super::Proof;
use crate::findings::Place;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::panels::{Face, RunPiece};
use crate::verify::readers::table::{Row, Table};
use std::collections::{BTreeMap, BTreeSet};

pub(super) const PROOF: Proof = Proof {
    code: codes::LISTS,
    statement: "the lists of panels, lumber, skins, foam, openings, plates, fixings and sealant count and measure what panels.json has, by panel and by joint",
    cases: "rows",
    prove,
};

const OPENINGS: &str = "lists/openings.csv";

/// Areas in lists have three decimals, square feet.
const HALF_A_DECIMAL: f64 = 0.000_5 + 1e-9;

/// What a list must hold: by a row's key, what its other fields must say.
type Expected = BTreeMap<String, Vec<Field>>;

enum Field {
    Length(&'static str, Length),
    Area(&'static str, f64),
    Text(&'static str, String),
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let file = &package.panels;
    let mut panels = Expected::new();
    let mut lumber = Expected::new();
    let mut skins = Expected::new();
    let mut cores = Expected::new();
    let mut plates = Expected::new();
    for panel in &file.panels {
        panels.insert(
            panel.mark.clone(),
            vec![
                Field::Length("width (in)", panel.width.0),
                Field::Length("height (in)", panel.height.0),
                Field::Area("net area (sq ft)", square_feet(&panel.outer_skin)),
                Field::Text("hold", if panel.hold { "yes" } else { "no" }.to_owned()),
                Field::Text("erection", panel.erection.to_string()),
                Field::Text("wall", panel.wall.clone()),
            ],
        );
        for part in &panel.lumber {
            let fields = vec![
                Field::Length("length (in)", part.length.0),
                Field::Text("panel", panel.mark.clone()),
            ];
            lumber.insert(part.mark.clone(), fields);
        }
        for (name, face) in panel.skins() {
            let mut fields = size_fields(face);
            fields.push(Field::Area("net area (sq ft)", square_feet(face)));
            skins.insert(format!("{} {name}", panel.mark), fields);
        }
        let foam = std::iter::once(&panel.core).chain(&panel.core_others);
        let pieces = foam.filter(|face| !face.outline().0.is_empty());
        for (number, face) in pieces.enumerate() {
            let key = format!("{} {}", panel.mark, number + 1);
            cores.insert(key, size_fields(face));
        }
    }
    for wall in &file.walls {
        for plate in &wall.plates {
            let fields = vec![
                Field::Length("length (in)", plate.length.0),
                Field::Text("wall", wall.id.clone()),
                Field::Text("use", plate.usage.clone()),
            ];
            plates.insert(plate.mark.clone(), fields);
        }
    }
    let n_lumber: usize = file.panels.iter().map(|panel| panel.lumber.len()).sum();
    let n_plates: usize = file.walls.iter().map(|wall| wall.plates.len()).sum();
    for (n, expected, what) in [
        (n_lumber, &lumber, "pieces of lumber"),
        (n_plates, &plates, "plates"),
    ] {
        ledger.demand(
            n == expected.len(),
            || Place::file("panels.json"),
            || format!("{n} {what} have {} marks", expected.len()),
        );
    }
    let check = |ledger: &mut Ledger, name, key: &[&str], expected: Expected| {
        compare(package, ledger, name, key, expected);
    };
    check(ledger, "lists/panels.csv", &["mark"], panels);
    check(ledger, "lists/lumber.csv", &["mark"], lumber);
    check(ledger, "lists/skins.csv", &["panel", "face"], skins);
    check(ledger, "lists/cores.csv", &["panel", "piece"], cores);
    check(ledger, "lists/plates.csv", &["mark"], plates);
    check(ledger, OPENINGS, &["opening"], openings(package));
    super::goods::prove_goods(package, ledger);
}

fn openings(package: &Package<'_>) -> Expected {
    let cut = package
        .panels
        .panels
        .iter()
        .flat_map(|panel| &panel.openings);
    let cut: BTreeSet<&str> = cut.map(|opening| opening.id.as_str()).collect();
    let runs = package.panels.walls.iter().flat_map(|wall| &wall.run);
    let framed = runs.filter_map(|piece| match piece {
        RunPiece::Opening { opening, .. } => Some(opening.as_str()),
        RunPiece::Panel { .. } | RunPiece::Gap { .. } => None,
    });
    let ids = cut.into_iter().chain(framed);
    ids.map(|id| (id.to_owned(), Vec::new())).collect()
}

/// Openings of walls for which nothing was made: they are ordered all the same, and a panel cannot have them.
fn without_panels(package: &Package<'_>) -> BTreeSet<String> {
    let walls = package.panels.walls.iter();
    let left_out: BTreeSet<(&str, &str)> = walls
        .filter(|wall| package.is_told_left_out(wall))
        .map(|wall| (wall.storey.as_str(), wall.id.as_str()))
        .collect();
    let openings = package.plan.storeys.iter().flat_map(|storey| {
        let openings = storey.openings.iter();
        openings.filter(|it| left_out.contains(&(storey.id.as_str(), it.wall.as_str())))
    });
    openings.map(|it| it.id.clone()).collect()
}

fn size_fields(face: &Face) -> Vec<Field> {
    let bounds = face.outline().bounds().unwrap_or_default();
    vec![
        Field::Length("width (in)", bounds.width()),
        Field::Length("height (in)", bounds.height()),
    ]
}

#[expect(clippy::cast_precision_loss, reason = "an area to three decimals")]
fn square_feet(face: &Face) -> f64 {
    face.doubled_area() as f64 / 2.0 / (25_400_000.0 * 25_400_000.0) / 144.0
}

fn compare(
    package: &Package<'_>,
    ledger: &mut Ledger,
    name: &'static str,
    key: &[&str],
    mut expected: Expected,
) {
    let table = match package.files.get(name).map(|bytes| Table::read(bytes)) {
        None => return ledger.fail(Place::file(name), "it is missing"),
        Some(Err(reason)) => return ledger.fail(Place::file(name), reason),
        Some(Ok(table)) => table,
    };
    for (index, row) in table.rows().enumerate() {
        ledger.case();
        let words: Vec<&str> = key.iter().map(|column| row.text(column)).collect();
        let words = words.join(" ");
        let place = || Place::line(name, index + 2);
        let Some(fields) = expected.remove(&words) else {
            if name == OPENINGS && without_panels(package).contains(&words) {
                continue;
            }
            ledger.fail(
                place(),
                format!("panels.json has no {words}, or it is listed twice"),
            );
            continue;
        };
        for field in fields {
            ledger.demand(agrees(row, &field), place, || {
                format!("{words}: '{}' is not what panels.json has", column(&field))
            });
        }
    }
    for words in expected.keys() {
        ledger.fail(Place::file(name), format!("{words} is not listed"));
    }
}

const fn column(field: &Field) -> &'static str {
    match field {
        Field::Length(column, _) | Field::Area(column, _) | Field::Text(column, _) => column,
    }
}

fn agrees(row: Row<'_>, field: &Field) -> bool {
    match field {
        Field::Length(column, length) => row.inches(column) == Some(*length),
        Field::Area(column, area) => row
            .number(column)
            .is_some_and(|found| (found - area).abs() <= HALF_A_DECIMAL),
        Field::Text(column, text) => row.text(column) == text,
    }
}
