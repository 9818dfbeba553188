//! All outline files of a package, and the list beside them.

use super::outline_dxf;
use crate::documents::csv_table::CsvTable;
use crate::documents::sha256_hex;
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::rules::PlantRules;
use crate::stock::StockPlan;
use std::collections::BTreeMap;

/// Where a panel's outline stands: `outlines/W101.dxf`, from the first revision `outlines/W101-A.dxf`; on HOLD in `held/`.
#[must_use]
pub fn outline_path(panel: &FabricatedPanel) -> String {
    let folder = if panel.is_held() { "held" } else { "outlines" };
    let mark = &panel.mark;
    if panel.revision.is_empty() {
        format!("{folder}/{mark}.dxf")
    } else {
        format!("{folder}/{mark}-{}.dxf", panel.revision)
    }
}

/// Every outline file by its path, and `outlines/index.csv`: what may be cut, in cutting order.
///
/// - Cutting order is the order of erection: what is set first is cut first.
#[must_use]
pub fn outline_files(
    fabrication: &Fabrication,
    stock: &StockPlan,
    rules: &PlantRules,
) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut index = CsvTable::new(&[
        "order",
        "mark",
        "revision",
        "file",
        "blank",
        "face up",
        "width (in)",
        "height (in)",
        "sha256",
    ]);
    let mut panels: Vec<&FabricatedPanel> = fabrication.panels.iter().collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    let mut order = 0;
    for panel in panels {
        let path = outline_path(panel);
        let bytes = outline_dxf(panel, rules);
        if !panel.is_held() {
            order += 1;
            let blank = stock.blank_of(&panel.mark);
            index.row([
                order.to_string(),
                panel.mark.clone(),
                panel.revision.clone(),
                path.trim_start_matches("outlines/").to_owned(),
                blank.map_or_else(String::new, |it| it.sheet.name.clone()),
                panel.face_up.name().to_owned(),
                CsvTable::inches(panel.width),
                CsvTable::inches(panel.height),
                sha256_hex(&bytes),
            ]);
        }
        files.insert(path, bytes);
    }
    files.insert("outlines/index.csv".to_owned(), index.into_bytes());
    files
}
