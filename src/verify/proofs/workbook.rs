//! The workbook holds every list, cell for cell, and its totals are their sums.

use super::Proof;
use crate::findings::Place;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::workbook::{Cell, Cells, Workbook};
use std::collections::{BTreeMap, BTreeSet};

pub(super) const PROOF: Proof = Proof {
    code: codes::WORKBOOK,
    statement: "the workbook holds every list, cell for cell, and its totals are their sums",
    cases: "cells",
    prove,
};

const NAME: &str = "lists/lists.xlsx";
/// Totals have three decimals, of numbers that are added in another order.
const HALF_A_DECIMAL: f64 = 0.000_5 + 1e-6;

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let book = match package.files.get(NAME).map(|bytes| Workbook::read(bytes)) {
        None => return ledger.fail(Place::file(NAME), "it is missing"),
        Some(Err(reason)) => return ledger.fail(Place::file(NAME), reason),
        Some(Ok(book)) => book,
    };
    let lists: BTreeMap<&str, &Vec<u8>> = package
        .files
        .iter()
        .filter_map(|(path, bytes)| {
            let name = path.strip_prefix("lists/")?.strip_suffix(".csv")?;
            Some((name, bytes))
        })
        .collect();
    let sheets: BTreeSet<&str> = book.sheets.keys().map(String::as_str).collect();
    let named: BTreeSet<&str> = lists.keys().copied().collect();
    for name in sheets.symmetric_difference(&named) {
        ledger.fail(
            Place::file(NAME),
            format!("'{name}' is a list without a sheet, or a sheet without a list"),
        );
    }
    for (name, bytes) in lists {
        if let Some(cells) = book.sheets.get(name) {
            prove_sheet(ledger, name, bytes, cells);
        }
    }
}

fn prove_sheet(ledger: &mut Ledger, name: &str, bytes: &[u8], cells: &Cells) {
    let mut reader = csv::ReaderBuilder::new();
    let mut reader = reader.has_headers(false).from_reader(bytes);
    let Ok(rows) = reader.records().collect::<Result<Vec<_>, _>>() else {
        return ledger.fail(
            Place::file(&format!("lists/{name}.csv")),
            "it cannot be read",
        );
    };
    let mut sums: BTreeMap<&String, f64> = BTreeMap::new();
    let none = BTreeMap::new();
    for (number, row) in (0_u32..).zip(&rows) {
        let found = cells.get(&number).unwrap_or(&none);
        let shown = row.iter().filter(|it| !it.is_empty());
        // Columns in the order of the sheet: by length of their letters, then by letter.
        let mut columns: Vec<&String> = found.keys().collect();
        columns.sort_by_key(|it| (it.len(), it.as_str()));
        let filled: Vec<(&String, &Cell)> = columns
            .into_iter()
            .filter_map(|column| Some((column, found.get(column)?)))
            .filter(|(_, cell)| !cell.value.is_empty())
            .collect();
        let mut is_so = filled.len() == shown.clone().count();
        for (text, (column, cell)) in shown.zip(filled) {
            ledger.case();
            is_so &= shows(cell, text);
            if let (true, Ok(value)) = (cell.is_number, cell.value.parse::<f64>()) {
                *sums.entry(column).or_default() += value;
            }
        }
        ledger.demand(
            is_so,
            || Place::file(NAME),
            || format!("sheet '{name}', row {}: it is not the list's", number + 1),
        );
    }
    let n_rows = u32::try_from(rows.len()).unwrap_or(u32::MAX);
    for (number, found) in cells.range(n_rows..) {
        for (column, cell) in found {
            ledger.case();
            let range = format!("SUBTOTAL(109,{column}2:{column}{n_rows})");
            let sum = sums.get(column).copied().unwrap_or_default();
            let said: f64 = cell.value.parse().unwrap_or(f64::NAN);
            let is_sum = cell.formula.as_deref() == Some(range.as_str());
            ledger.demand(
                is_sum && (said - sum).abs() <= HALF_A_DECIMAL,
                || Place::file(NAME),
                || {
                    format!(
                        "sheet '{name}', {column}{}: it is not the sum of its column",
                        number + 1
                    )
                },
            );
        }
    }
}

/// True when a cell shows a field: the same text, or the same number.
#[expect(clippy::float_cmp, reason = "both are read from the same decimals")]
fn shows(cell: &Cell, text: &str) -> bool {
    if cell.is_number {
        let both = cell.value.parse::<f64>().ok().zip(text.parse::<f64>().ok());
        both.is_some_and(|(a, b)| a == b)
    } else {
        cell.value == text
    }
}
