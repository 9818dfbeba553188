//! Fixings and sealant by panel and by joint are the same goods, in `panels.json` and in the lists.

use crate::findings::Place;
use crate::units::Length;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::panels::Fixing;
use crate::verify::readers::table::Table;
use std::collections::{BTreeMap, BTreeSet};

/// How many of an item for a use, over the building.
type Counts = BTreeMap<(String, String), u64>;

/// Half of the last decimal of a list, and what sums of floating point lose.
const HALF_A_HUNDREDTH: f64 = 0.005 + 1e-6;

/// Proves it, as a part of the proof of lists.
pub(super) fn prove_goods(package: &Package<'_>, ledger: &mut Ledger) {
    let file = &package.panels;
    let by_panel = counts(file.panels.iter().flat_map(|panel| &panel.fixings));
    let by_joint = counts(file.joints.iter().flat_map(|joint| &joint.fixings));
    ledger.case();
    ledger.demand(
        by_panel == by_joint,
        || Place::file("panels.json"),
        || "the fixings of its joints are not those of its panels".to_owned(),
    );
    let panels: Length = file.panels.iter().map(|panel| panel.sealant_in.0).sum();
    let joints: Length = file.joints.iter().map(|joint| joint.sealant_in.0).sum();
    ledger.case();
    ledger.demand(
        panels == joints,
        || Place::file("panels.json"),
        || format!("its joints take {joints} of sealant, its panels {panels}"),
    );
    for name in ["lists/loose.csv", "lists/joints.csv"] {
        listed(package, ledger, name, &by_panel);
    }
    for name in ["lists/loose.csv", "lists/joints.csv", "lists/site.csv"] {
        sealed(package, ledger, name, panels);
    }
    splines(package, ledger);
}

fn counts<'a>(fixings: impl Iterator<Item = &'a Fixing>) -> Counts {
    let mut counts = Counts::new();
    for fixing in fixings {
        let key = (fixing.item.clone(), fixing.usage.clone());
        *counts.entry(key).or_default() += u64::from(fixing.count);
    }
    counts
}

fn listed(package: &Package<'_>, ledger: &mut Ledger, name: &'static str, expected: &Counts) {
    let table = package.files.get(name).map(|bytes| Table::read(bytes));
    let Some(Ok(table)) = table else {
        return ledger.fail(Place::file(name), "it is missing or cannot be read");
    };
    let mut found = Counts::new();
    for row in table.rows().filter(|row| row.text("unit") == "piece") {
        let key = (row.text("item").to_owned(), row.text("use").to_owned());
        let count = row.text("quantity").parse::<u64>().unwrap_or_default();
        *found.entry(key).or_default() += count;
    }
    let keys: BTreeSet<_> = expected.keys().chain(found.keys()).collect();
    for key in keys {
        let [listed, has] =
            [&found, expected].map(|counts| counts.get(key).copied().unwrap_or_default());
        ledger.case();
        ledger.demand(
            listed == has,
            || Place::file(name),
            || {
                let (item, usage) = key;
                format!("it lists {listed} of {item} for {usage}, panels.json has {has}")
            },
        );
    }
}

/// The beads of a list as printed add up to the printed sum of them all: 1/100 ft is its last decimal.
fn sealed(package: &Package<'_>, ledger: &mut Ledger, name: &'static str, bead: Length) {
    let table = package.files.get(name).map(|bytes| Table::read(bytes));
    let Some(Ok(table)) = table else {
        return ledger.fail(Place::file(name), "it is missing or cannot be read");
    };
    let beads = table
        .rows()
        .filter(|row| row.text("use") == "joints, plates and corners" && row.text("unit") == "ft");
    let feet: f64 = beads.filter_map(|row| row.number("quantity")).sum();
    let has = bead.to_inches() / 12.0;
    ledger.case();
    ledger.demand(
        (feet - has).abs() < HALF_A_HUNDREDTH,
        || Place::file(name),
        || format!("it lists {feet:.2} ft of sealant, panels.json has {has:.2}"),
    );
}

/// Every spline edge of a panel is a joint of it and its neighbour.
fn splines(package: &Package<'_>, ledger: &mut Ledger) {
    let joints = package.panels.joints.iter();
    let joints = joints.filter(|joint| joint.kind == "spline");
    let pairs: BTreeMap<BTreeSet<&str>, &str> = joints
        .map(|joint| {
            let marks = joint.panels.iter().map(String::as_str).collect();
            (marks, joint.joint.as_str())
        })
        .collect();
    for panel in &package.panels.panels {
        for edge in panel.edges.iter().filter(|edge| edge.joint == "spline") {
            let with = edge.with.as_deref().unwrap_or_default();
            ledger.case();
            ledger.demand(
                pairs.contains_key(&BTreeSet::from([panel.mark.as_str(), with])),
                || Place::panel(&panel.mark),
                || format!("its joint with {with} is not among the joints of panels.json"),
            );
        }
    }
}
