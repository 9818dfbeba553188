//! The lists of saw, framing, loading, site and erection count and measure what `panels.json` and `loads.json` have.

use super::Proof;
use crate::findings::Place;
use crate::geometry::ShopRing;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::loads::LoadsFile;
use crate::verify::readers::panels::{Edge, Face, Panel};
use crate::verify::readers::table::{Row, Table};
use std::collections::{BTreeMap, BTreeSet};

pub(super) const PROOF: Proof = Proof {
    code: codes::STATIONS,
    statement: "the lists of saw, specials, framing, bundles, site and erection count and measure what panels.json and loads.json have",
    cases: "rows",
    prove,
};

/// Weights in lists have one decimal.
const HALF_A_DECIMAL: f64 = 0.05 + 1e-9;

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let mut panels: Vec<&Panel> = package.panels.panels.iter().collect();
    panels.sort_by_key(|panel| panel.erection);
    prove_saw(package, ledger, &panels);
    prove_framing(package, ledger);
    prove_bundles(package, ledger);
    prove_erection(package, ledger, &panels);
    prove_site(package, ledger);
}

/// Reads a list; a list that is missing or broken is a failure.
fn list(package: &Package<'_>, ledger: &mut Ledger, name: &'static str) -> Option<Table> {
    match package.files.get(name).map(|bytes| Table::read(bytes)) {
        None => ledger.fail(Place::file(name), "it is missing"),
        Some(Err(reason)) => ledger.fail(Place::file(name), reason),
        Some(Ok(table)) => return Some(table),
    }
    None
}

fn is_sized(row: Row<'_>, panel: &Panel) -> bool {
    let [width, height] = [panel.width.0, panel.height.0].map(|it| it.feet_inches().to_string());
    row.text("size (ft-in)") == format!("{width} x {height}")
        && row.inches("width (in)") == Some(panel.width.0)
        && row.inches("height (in)") == Some(panel.height.0)
        && row.text("revision") == panel.revision
}

/// One row for each panel that may be cut, numbered in the order of erection.
fn prove_saw(package: &Package<'_>, ledger: &mut Ledger, panels: &[&Panel]) {
    const NAME: &str = "lists/saw.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    let released: Vec<&&Panel> = panels.iter().filter(|panel| !panel.hold).collect();
    ledger.demand(
        table.rows().len() == released.len(),
        || Place::file(NAME),
        || {
            format!(
                "{} rows for {} panels that may be cut",
                table.rows().len(),
                released.len()
            )
        },
    );
    for (index, (row, panel)) in table.rows().zip(released).enumerate() {
        ledger.case();
        let is_so = row.text("order") == (index + 1).to_string()
            && row.text("mark") == panel.mark
            && row.text("assembly") == panel.assembly
            && row.text("face up") == panel.face_up
            && row.text("holes") == panel.outer_skin.holes().len().to_string()
            && row.text("bevelled edges") == edges(panel, |it| it.bevel_deg != 0.0)
            && row.text("recessed edges") == edges(panel, |it| it.recess.0 > Length::ZERO)
            && is_sized(row, panel);
        ledger.demand(
            is_so,
            || Place::line(NAME, index + 2),
            || format!("it is not what panels.json has of {}", panel.mark),
        );
    }
    prove_specials(package, ledger, &table);
    prove_corners(package, ledger, &table, panels);
}

fn edges(panel: &Panel, is_so: impl Fn(&Edge) -> bool) -> String {
    panel
        .edges
        .iter()
        .filter(|it| is_so(it))
        .count()
        .to_string()
}

/// The saw list says `special` of just those panels of which `specials.csv` has more than corners by hand.
fn prove_specials(package: &Package<'_>, ledger: &mut Ledger, saw: &Table) {
    const NAME: &str = "lists/specials.csv";
    let Some(Ok(table)) = package.files.get(NAME).map(|bytes| Table::read(bytes)) else {
        return;
    };
    let special: BTreeSet<&str> = table
        .rows()
        .filter(|row| !row.text("special").contains("by hand"))
        .map(|row| row.text("panel"))
        .collect();
    for (index, row) in saw.rows().enumerate() {
        let is_special = special.contains(row.text("mark"));
        ledger.demand(
            row.text("special") == if is_special { "yes" } else { "no" },
            || Place::line("lists/saw.csv", index + 2),
            || format!("its special is not what {NAME} has of {}", row.text("mark")),
        );
    }
}

/// Corners by hand are all inside corners of both skins, or none of any panel, and `specials.csv` has them skin by skin.
fn prove_corners(package: &Package<'_>, ledger: &mut Ledger, saw: &Table, panels: &[&Panel]) {
    const NAME: &str = "lists/specials.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    let of_skin = |face: &Face| {
        let holes: usize = face.holes().iter().map(ShopRing::right_turns).sum();
        face.outline().right_turns() + holes
    };
    let mut told: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for row in table.rows() {
        let count: usize = row.text("quantity").parse().unwrap_or_default();
        if let Some((face, _)) = row.text("where").split_once(" skin, ") {
            *told.entry((row.text("panel"), face)).or_default() += count;
        }
    }
    let is_by_hand = told.values().any(|count| *count > 0);
    let mut rows = saw.rows();
    for panel in panels {
        let skins = [("outer", &panel.outer_skin), ("inner", &panel.inner_skin)];
        let mut all = 0;
        for (name, skin) in skins {
            let wanted = if is_by_hand { of_skin(skin) } else { 0 };
            let found = told.remove(&(panel.mark.as_str(), name));
            all += wanted;
            ledger.demand(
                found.unwrap_or_default() == wanted,
                || Place::file(NAME),
                || {
                    let mark = &panel.mark;
                    format!("{mark}: its {name} skin has {wanted} corners to finish by hand")
                },
            );
        }
        if !panel.hold {
            let listed = rows
                .next()
                .map(|row| row.text("corners by hand").to_owned());
            ledger.demand(
                listed == Some(all.to_string()),
                || Place::file("lists/saw.csv"),
                || format!("{} has {all} corners to finish by hand", panel.mark),
            );
        }
    }
}

/// Every piece the plant fits stands in one row of its panel, with its length.
fn prove_framing(package: &Package<'_>, ledger: &mut Ledger) {
    const NAME: &str = "lists/framing.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    let panels = package.panels.panels.iter();
    let mut wanted: BTreeMap<(&str, &str), (Length, &str)> = panels
        .flat_map(|panel| panel.lumber.iter().map(move |it| (panel, it)))
        .filter(|(_, it)| it.fitted == "plant")
        .map(|(panel, it)| ((&*panel.mark, &*it.mark), (it.length.0, &*it.usage)))
        .collect();
    for (index, row) in table.rows().enumerate() {
        ledger.case();
        let marks: Vec<&str> = row.text("marks").split(' ').collect();
        let is_counted = row.text("quantity") == marks.len().to_string();
        let panel = row.text("panel");
        let found: Vec<_> = marks
            .iter()
            .map(|mark| wanted.remove(&(panel, *mark)))
            .collect();
        let is_so = found.iter().all(|it| {
            it.is_some_and(|(length, usage)| {
                row.inches("length (in)") == Some(length) && row.text("use") == usage
            })
        });
        ledger.demand(
            is_so && is_counted,
            || Place::line(NAME, index + 2),
            || {
                format!(
                    "{}: pieces, lengths or count are not those of panels.json",
                    row.text("panel")
                )
            },
        );
    }
    for (panel, mark) in wanted.keys() {
        ledger.fail(Place::file(NAME), format!("{panel}: {mark} is not listed"));
    }
}

/// Every piece of lumber and every plate stands in one row, with its length, in the bundle of `loads.json`.
fn prove_bundles(package: &Package<'_>, ledger: &mut Ledger) {
    const NAME: &str = "lists/bundles.csv";
    let (Some(table), Some(loads)) = (list(package, ledger, NAME), loads(package)) else {
        return;
    };
    let lumber = package.panels.panels.iter().flat_map(|panel| &panel.lumber);
    let lumber = lumber.map(|it| (&*it.mark, it.length.0));
    let plates = package.panels.walls.iter().flat_map(|wall| &wall.plates);
    let plates = plates.map(|it| (&*it.mark, it.length.0));
    let lengths: BTreeMap<&str, Length> = lumber.chain(plates).collect();
    let bundles = loads.bundles.iter();
    let mut wanted: BTreeMap<&str, &str> = bundles
        .flat_map(|it| it.pieces.iter().map(move |mark| (&**mark, &*it.bundle)))
        .collect();
    for (index, row) in table.rows().enumerate() {
        ledger.case();
        let mark = row.text("mark");
        let is_so = wanted.remove(mark) == Some(row.text("bundle"))
            && lengths.get(mark).copied() == row.inches("length (in)");
        ledger.demand(
            is_so,
            || Place::line(NAME, index + 2),
            || format!("{mark}: another bundle or length, or listed twice"),
        );
    }
    for mark in wanted.keys() {
        ledger.fail(Place::file(NAME), format!("{mark} is not listed"));
    }
}

/// One row for each panel in the order of erection, with its size, weight and place on its truck.
fn prove_erection(package: &Package<'_>, ledger: &mut Ledger, panels: &[&Panel]) {
    const NAME: &str = "lists/erection.csv";
    let (Some(table), Some(loads)) = (list(package, ledger, NAME), loads(package)) else {
        return;
    };
    let mut rides: BTreeMap<&str, [String; 4]> = BTreeMap::new();
    for truck in &loads.trucks {
        for stack in &truck.stacks {
            let columns = stack.panels.iter().map(|it| it.column).max();
            let columns = columns.unwrap_or_default();
            for it in &stack.panels {
                let beside = match it.column {
                    0 => String::new(),
                    column => format!("{column} of {columns} from the left"),
                };
                let [number, layer] = [truck.truck, it.layer].map(|it| it.to_string());
                rides.insert(&it.mark, [number, stack.stack.clone(), layer, beside]);
            }
        }
    }
    ledger.demand(
        table.rows().len() == panels.len(),
        || Place::file(NAME),
        || format!("{} rows for {} panels", table.rows().len(), panels.len()),
    );
    for (index, (row, panel)) in table.rows().zip(panels).enumerate() {
        ledger.case();
        let ride = ["truck", "stack", "layer", "beside"].map(|it| row.text(it).to_owned());
        let weight = row.number("weight (lb)").unwrap_or(f64::NAN);
        let is_so = row.text("mark") == panel.mark
            && row.text("erection") == panel.erection.to_string()
            && is_sized(row, panel)
            && (weight - panel.weight_lb).abs() <= HALF_A_DECIMAL
            && rides.get(panel.mark.as_str()) == Some(&ride);
        ledger.demand(
            is_so,
            || Place::line(NAME, index + 2),
            || {
                format!(
                    "it is not what panels.json and loads.json have of {}",
                    panel.mark
                )
            },
        );
    }
}

/// Plates and loose lumber by length, fixings by the piece.
fn prove_site(package: &Package<'_>, ledger: &mut Ledger) {
    const NAME: &str = "lists/site.csv";
    let Some(table) = list(package, ledger, NAME) else {
        return;
    };
    let plates = package.panels.walls.iter().flat_map(|wall| &wall.plates);
    let plates = plates.map(|it| (&*it.usage, it.length.0));
    let lumber = package.panels.panels.iter().flat_map(|panel| &panel.lumber);
    let lumber = lumber.filter(|it| it.fitted != "plant");
    let mut wanted: BTreeMap<(&str, Length), f64> = BTreeMap::new();
    for key in plates.chain(lumber.map(|it| (&*it.usage, it.length.0))) {
        *wanted.entry(key).or_default() += 1.0;
    }
    let fixings = package
        .panels
        .panels
        .iter()
        .flat_map(|panel| &panel.fixings);
    let mut fixings: f64 = fixings.map(|it| f64::from(it.count)).sum();
    for row in table.rows() {
        ledger.case();
        let count = row.number("quantity").unwrap_or(f64::NAN);
        match row.text("goods") {
            "plate" | "lumber" | "spline" => {
                let length = row.inches("length (in)").unwrap_or_default();
                *wanted.entry((row.text("use"), length)).or_default() -= count;
            }
            "fixing" => fixings -= count,
            _ => {}
        }
    }
    for ((usage, length), left) in wanted {
        ledger.demand(
            left == 0.0,
            || Place::file(NAME),
            || format!("{usage}, {length}: {left} pieces are missing"),
        );
    }
    ledger.demand(
        fixings == 0.0,
        || Place::file(NAME),
        || format!("{fixings} fixings are missing"),
    );
}

/// The loads, where they can be read: that they can is another proof's.
fn loads(package: &Package<'_>) -> Option<LoadsFile> {
    LoadsFile::read(package.files.get("loads.json")?).ok()
}
