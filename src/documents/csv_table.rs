//! A list as CSV: one header row whose names carry their units, then the rows.

use crate::units::Length;

/// A table under construction. Fields that hold a comma, a quote or a line break are quoted.
pub(super) struct CsvTable {
    writer: csv::Writer<Vec<u8>>,
}

impl CsvTable {
    /// A table with its header row, such as `length (in)`.
    pub(super) fn new(header: &[&str]) -> Self {
        let mut table = Self {
            writer: csv::WriterBuilder::new()
                .terminator(csv::Terminator::Any(b'\n'))
                .from_writer(Vec::new()),
        };
        table.row(header.iter().copied());
        table
    }

    /// Adds a row.
    pub(super) fn row(&mut self, fields: impl IntoIterator<Item = impl AsRef<[u8]>>) {
        // Writing to memory fails only for a row of another length than the header, which the tests of every list would show.
        let _ = self.writer.write_record(fields);
    }

    /// The file's bytes.
    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.writer.into_inner().unwrap_or_default()
    }

    /// A length in inches with at most nine decimals, which is exact: `47.9375`.
    pub(super) fn inches(length: Length) -> String {
        trimmed(format!("{:.9}", length.to_inches()))
    }

    /// Two lengths as on a tape, to 1/16 in: `3'-11 7/8" x 9'-0"`.
    pub(super) fn size(first: Length, second: Length) -> String {
        format!("{} x {}", first.feet_inches(), second.feet_inches())
    }

    /// A number with at most `decimals` decimals.
    pub(super) fn number(value: f64, decimals: usize) -> String {
        trimmed(format!("{value:.decimals$}"))
    }
}

/// Lengths of a column in feet, to 1/100: each takes up what the ones before it lost in rounding, so that the column as printed adds up to
/// the printed sum, in whatever order its rows stand.
#[derive(Default)]
pub(super) struct FeetInTurn {
    sum: Length,
    said: i64,
}

impl FeetInTurn {
    /// The next length.
    pub(super) fn next(&mut self, length: Length) -> String {
        self.sum += length;
        let all = hundredths_of_a_foot(self.sum);
        let own = all - self.said;
        self.said = all;
        trimmed(format!("{}.{:02}", own / 100, own % 100))
    }
}

/// A length that is not negative, rounded half up.
const fn hundredths_of_a_foot(length: Length) -> i64 {
    let one = Length::feet(1).to_nanometres() / 100;
    (length.to_nanometres() + one / 2) / one
}

/// Without needless zeros; never `-0`.
fn trimmed(text: String) -> String {
    if !text.contains('.') {
        return text;
    }
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_in_turn_add_up_to_the_feet_of_their_sum() {
        // Three times 1 in, 0.08333 ft: rounded each by itself 0.24, together 0.25.
        let mut feet = FeetInTurn::default();
        let said = [1, 1, 1].map(|inches| feet.next(Length::inches(inches)));
        assert_eq!(said, ["0.08", "0.09", "0.08"]);
        assert_eq!(FeetInTurn::default().next(Length::inches(3)), "0.25");
    }

    #[test]
    fn fields_are_quoted_where_needed_and_numbers_are_short() {
        let mut table = CsvTable::new(&["mark", "length (in)"]);
        table.row(["a, \"b\"".to_owned(), CsvTable::inches(Length::inches(48))]);
        table.row([
            "c".to_owned(),
            CsvTable::inches(Length::fraction(47, 15, 16)),
        ]);
        let text = String::from_utf8(table.into_bytes()).unwrap();
        assert_eq!(text, "mark,length (in)\n\"a, \"\"b\"\"\",48\nc,47.9375\n");
        assert_eq!(CsvTable::number(-0.0001, 2), "0");
    }
}
