//! What each station wastes, in area, weight and money, and the foam that goes back to be ground.

use crate::documents::csv_table::CsvTable;
use crate::rules::PlantRules;
use crate::stock::StockPlan;
use rust_decimal::Decimal;

/// An amount of money; empty where nothing has a price.
fn money(cents: Option<i64>) -> String {
    cents.map_or_else(String::new, |cents| Decimal::new(cents, 2).to_string())
}

/// One row for each kind and make of stock, by the station that cuts it.
pub(super) fn waste_list(stock: &StockPlan, rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "station",
        "cut from",
        "stock",
        "unit",
        "used (unit)",
        "cut (unit)",
        "kept (unit)",
        "waste (unit)",
        "waste (%)",
        "waste (lb)",
        "waste (money)",
        "priced by",
    ]);
    for it in &stock.tallies {
        let share = if it.used > 0.0 {
            100.0 * it.waste() / it.used
        } else {
            0.0
        };
        let three = |value| CsvTable::number(value, 3);
        table.row([
            it.station().to_owned(),
            it.kind.to_owned(),
            it.what.clone(),
            it.unit.to_owned(),
            three(it.used),
            three(it.cut),
            three(it.kept),
            three(it.waste()),
            CsvTable::number(share, 1),
            CsvTable::number(it.waste_lb, 1),
            money(it.waste_cents),
            it.waste_cents
                .map_or_else(String::new, |_| rules.cost.source()),
        ]);
    }
    table
}

/// One row for each foam: where it goes, what of it goes back to be ground, and what that is worth.
pub(super) fn foam_list(stock: &StockPlan, rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "material",
        "billets (cu ft)",
        "in panels (cu ft)",
        "offcuts of blanks (cu ft)",
        "leftover slabs used (cu ft)",
        "kept (cu ft)",
        "rests (cu ft)",
        "wire (cu ft)",
        "ground, sawn, trimmed (cu ft)",
        "back to be ground (lb)",
        "worth of it (money)",
        "cost of the waste (money)",
        "priced by",
    ]);
    for it in &stock.foam {
        let three = |value| CsvTable::number(value, 3);
        let is_priced = it.waste_cents.or(it.ground_cents).is_some();
        table.row([
            it.material.clone(),
            three(it.billets),
            three(it.panels),
            three(it.blank_offcuts),
            three(it.slabs),
            three(it.kept),
            three(it.rests),
            three(it.wire),
            three(it.grindings),
            CsvTable::number(it.ground_lb, 1),
            money(it.ground_cents),
            money(it.waste_cents),
            if is_priced {
                rules.cost.source()
            } else {
                String::new()
            },
        ]);
    }
    table
}
