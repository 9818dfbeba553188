//! Reads a list: a header row, then rows found by the header's names.

use crate::units::Length;
use std::collections::BTreeMap;

/// A list as read.
pub(in crate::verify) struct Table {
    rows: Vec<BTreeMap<String, String>>,
}

impl Table {
    /// Reads a CSV file; the reason when it is none.
    pub(in crate::verify) fn read(bytes: &[u8]) -> Result<Self, String> {
        let mut reader = csv::Reader::from_reader(bytes);
        let rows = reader.deserialize().collect::<Result<_, _>>();
        rows.map(|rows| Self { rows })
            .map_err(|error| error.to_string())
    }

    /// Its rows.
    pub(in crate::verify) fn rows(&self) -> impl ExactSizeIterator<Item = Row<'_>> {
        self.rows.iter().map(Row)
    }
}

/// One row.
#[derive(Clone, Copy)]
pub(in crate::verify) struct Row<'a>(&'a BTreeMap<String, String>);

impl<'a> Row<'a> {
    /// A field by its column; empty when there is no such column.
    pub(in crate::verify) fn text(self, column: &str) -> &'a str {
        self.0.get(column).map_or("", String::as_str)
    }

    /// A length in inches, to the whole nanometre.
    pub(in crate::verify) fn inches(self, column: &str) -> Option<Length> {
        let inches: f64 = self.text(column).parse().ok()?;
        Length::nearest(inches, Length::nanometres(1))
    }

    /// A number.
    pub(in crate::verify) fn number(self, column: &str) -> Option<f64> {
        self.text(column).parse().ok()
    }
}
