//! Each mark stands in exactly one of `outlines/` and `held/`, the right one, and the index lists what may be cut.

use super::Proof;
use crate::findings::Place;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel};
use crate::verify::readers::digest::sha256;
use crate::verify::readers::panels::Panel;
use crate::verify::readers::table::Table;
use std::collections::BTreeSet;

pub(super) const PROOF: Proof = Proof {
    code: codes::FOLDERS,
    statement: "each mark stands in one of outlines/ and held/ by its hold, and the index lists in order what may be cut, with its digest",
    cases: "panels",
    prove,
};

const INDEX: &str = "outlines/index.csv";

/// Where a panel's outline has to stand.
pub(super) fn outline_path(panel: &Panel) -> String {
    let folder = if panel.hold { "held" } else { "outlines" };
    let name = match panel.revision.as_str() {
        "" => panel.mark.clone(),
        revision => format!("{}-{revision}", panel.mark),
    };
    format!("{folder}/{name}.dxf")
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let outlines = package.files.keys().filter(|name| {
        (name.starts_with("outlines/") || name.starts_with("held/")) && *name != INDEX
    });
    let mut found: BTreeSet<&str> = outlines.map(String::as_str).collect();
    for panel in &package.panels.panels {
        ledger.case();
        let path = outline_path(panel);
        ledger.demand(
            found.remove(path.as_str()),
            || at_panel(panel),
            || format!("{path} is missing"),
        );
    }
    for name in found {
        ledger.fail(
            Place::file(name),
            "it is no panel's outline, or stands in the wrong folder",
        );
    }
    prove_index(package, ledger);
}

fn prove_index(package: &Package<'_>, ledger: &mut Ledger) {
    let table = match package.files.get(INDEX).map(|bytes| Table::read(bytes)) {
        None => return ledger.fail(Place::file(INDEX), "it is missing"),
        Some(Err(reason)) => return ledger.fail(Place::file(INDEX), reason),
        Some(Ok(table)) => table,
    };
    let mut panels: Vec<&Panel> = package.panels.panels.iter().filter(|it| !it.hold).collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    ledger.demand(
        table.rows().len() == panels.len(),
        || Place::file(INDEX),
        || {
            format!(
                "it has {} rows for {} panels",
                table.rows().len(),
                panels.len()
            )
        },
    );
    for (order, (row, panel)) in table.rows().zip(panels).enumerate() {
        let path = outline_path(panel);
        let digest = package.files.get(&path).map(|bytes| sha256(bytes));
        let holds = row.text("order") == (order + 1).to_string()
            && row.text("mark") == panel.mark
            && row.text("revision") == panel.revision
            && format!("outlines/{}", row.text("file")) == path
            && row.text("face up") == panel.face_up
            && row.inches("width (in)") == Some(panel.width.0)
            && row.inches("height (in)") == Some(panel.height.0)
            && Some(row.text("sha256")) == digest.as_deref();
        ledger.demand(
            holds,
            || Place::line(INDEX, order + 2),
            || format!("it does not say what {} and its file are", panel.mark),
        );
    }
}
