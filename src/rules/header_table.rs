//! The code's span table of lumber headers: data with its edition, looked up and interpolated, never extended.
//!
//! ```text
//!            50 psf            70 psf           between two columns straight lines in snow and in width, and the greater
//!         12   24   36      12   24   36        number of jacks; below the least column that column, which is the safe side;
//!   2x10  7-8  5-11 4-11    6-9  5-3  4-5       above the greatest nothing: not sized, engineer
//! ```
//!
//! Footnotes of the table: width is measured square to the ridge; interpolation is allowed; tops that are not braced sideways
//! take 0.70 of the span of 2x8 and deeper.

use super::HeaderMember;
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::sync::LazyLock;

/// The table as shipped.
const TEXT: &str = include_str!("header_spans_2018.toml");

/// What bears on a header: which rows of the table hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum Supports {
    /// Roof and ceiling.
    #[serde(rename = "roof")]
    Roof,
    /// Roof, ceiling and one floor borne in the middle.
    #[serde(rename = "roof and floor")]
    RoofAndFloor,
}

impl Supports {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Roof => "roof and ceiling",
            Self::RoofAndFloor => "roof, ceiling and one floor borne in the middle",
        }
    }
}

/// What a header is looked up for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeaderLoad {
    /// What bears.
    pub supports: Supports,
    /// Ground snow load, psf.
    pub snow_psf: f64,
    /// Width of the building, square to its ridge.
    pub building_width: Length,
    /// True when the header's top is braced sideways.
    pub is_braced: bool,
}

/// What the table answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeaderSpan {
    /// Greatest clear span, down to 1/16 in.
    pub span: Length,
    /// Jack studs at each end.
    pub jacks: u32,
}

/// A table of header spans.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeaderTable {
    /// What it is quoted from.
    pub edition: String,
    /// Species and grades it holds for.
    pub species: String,
    snow_psf: Vec<f64>,
    width_ft: Vec<f64>,
    unbraced: f64,
    rows: Vec<Row>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    supports: Supports,
    member: String,
    spans: Vec<String>,
    jacks: Vec<u32>,
}

impl HeaderTable {
    /// Members of the rows for this load, as the table lists them: two plies before three, shallow before deep.
    pub fn members(&self, supports: Supports) -> impl Iterator<Item = HeaderMember> + '_ {
        let rows = self.rows.iter().filter(move |row| row.supports == supports);
        rows.filter_map(|row| HeaderMember::from_name(&row.member))
    }
}

static TABLE: LazyLock<HeaderTable> = LazyLock::new(|| {
    let read = toml::from_str(TEXT);
    // The text is part of the program, and a test reads every cell of it.
    read.unwrap_or_else(|error| unreachable!("header_spans_2018.toml: {error}"))
});

/// The shipped table.
#[must_use]
pub fn header_table() -> &'static HeaderTable {
    &TABLE
}

/// The span of a member under a load; `None` outside the table.
///
/// ```
/// use panelwright::rules::{HeaderLoad, HeaderMember, Supports, header_span};
/// use panelwright::units::Length;
/// let load = HeaderLoad {
///     supports: Supports::Roof,
///     snow_psf: 50.0,
///     building_width: Length::feet(24),
///     is_braced: true,
/// };
/// let found = header_span(&HeaderMember::from_name("2-2x10").unwrap(), &load).unwrap();
/// assert_eq!((found.span, found.jacks), (Length::inches(71), 2));
/// ```
#[must_use]
pub fn header_span(member: &HeaderMember, load: &HeaderLoad) -> Option<HeaderSpan> {
    let table = header_table();
    let name = member.name();
    let mut rows = table.rows.iter();
    let row = rows.find(|row| row.supports == load.supports && row.member == name)?;
    let (snow, width) = (
        between(&table.snow_psf, load.snow_psf)?,
        between(&table.width_ft, load.building_width.to_inches() / 12.0)?,
    );
    let (mut inches, mut jacks) = (0.0, 0);
    for (i, snow_share) in snow {
        for (j, width_share) in width {
            let share = snow_share * width_share;
            if share > 0.0 {
                let cell = i * table.width_ft.len() + j;
                inches += share * cell_inches(row.spans.get(cell)?)?;
                jacks = jacks.max(*row.jacks.get(cell)?);
            }
        }
    }
    // From 2x8 up: the footnote names 2x8, 2x10 and 2x12.
    let is_deep = !name.ends_with("2x4") && !name.ends_with("2x6");
    if is_deep && !load.is_braced {
        inches *= table.unbraced;
    }
    // A span on the mark may come out a hair below it in floating point.
    let exact = Length::nearest(inches + 1e-6, Length::nanometres(1))?;
    Some(HeaderSpan {
        span: exact.floor_to(Length::fraction(0, 1, 16)),
        jacks,
    })
}

/// The two columns round a value with their shares; below the first column the first holds, above the last none.
fn between(columns: &[f64], value: f64) -> Option<[(usize, f64); 2]> {
    let above = columns.iter().position(|column| value <= *column)?;
    let Some(below) = above.checked_sub(1) else {
        return Some([(0, 1.0), (0, 0.0)]);
    };
    let share = (value - columns[below]) / (columns[above] - columns[below]);
    Some([(below, 1.0 - share), (above, share)])
}

/// `5-11` as inches.
fn cell_inches(cell: &str) -> Option<f64> {
    let (feet, inches) = cell.split_once('-')?;
    Some(feet.parse::<f64>().ok()? * 12.0 + inches.parse::<f64>().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(
        member: &str,
        supports: Supports,
        snow: f64,
        feet: i64,
        is_braced: bool,
    ) -> Option<(String, u32)> {
        let load = HeaderLoad {
            supports,
            snow_psf: snow,
            building_width: Length::feet(feet),
            is_braced,
        };
        let found = header_span(&HeaderMember::from_name(member).unwrap(), &load)?;
        Some((found.span.feet_inches().to_string(), found.jacks))
    }

    #[track_caller]
    fn check(found: Option<(String, u32)>, expected: &str, jacks: u32) {
        assert_eq!(found, Some((expected.to_owned(), jacks)));
    }

    #[test]
    fn every_cell_reads_and_spans_fall_with_snow_and_width() {
        let table = header_table();
        assert_eq!(table.rows.len(), 12);
        for row in &table.rows {
            assert_eq!((row.spans.len(), row.jacks.len()), (6, 6));
            assert!(HeaderMember::from_name(&row.member).is_some());
            let cells: Vec<f64> = row
                .spans
                .iter()
                .map(|cell| cell_inches(cell).unwrap())
                .collect();
            for snow in cells.chunks(3) {
                assert!(snow.windows(2).all(|pair| pair[0] > pair[1]), "{row:?}");
            }
            assert!(
                (0..3).all(|width| cells[width] > cells[width + 3]),
                "{row:?}"
            );
        }
    }

    #[test]
    fn published_cells_come_out_as_published() {
        // 2018 IRC Table R602.7(1), as the 2018 Seattle Residential Code reproduces it, from a handbook that transcribes it: 50 psf at
        // 12, 24 and 36 ft, then 70 psf; span in ft-in, jacks.
        let roof = "2-2x6 5-1 1 3-11 1 3-3 2 4-6 1 3-6 2 2-11 2
            2-2x8 6-5 1 5-0 2 4-2 2 5-9 1 4-5 2 3-9 2
            2-2x10 7-8 2 5-11 2 4-11 2 6-9 2 5-3 2 4-5 2
            2-2x12 9-0 2 6-11 2 5-10 2 8-0 2 6-2 2 5-2 3
            3-2x10 9-7 1 7-4 2 6-2 2 8-6 1 6-7 2 5-6 2
            3-2x12 11-3 2 8-8 2 7-4 2 10-0 2 7-9 2 6-6 2";
        let floor = "2-2x6 4-5 1 3-6 2 3-0 2 4-1 1 3-3 2 2-9 2
            2-2x8 5-7 2 4-5 2 3-9 2 5-2 2 4-1 2 3-6 2
            2-2x10 6-8 2 5-3 2 4-5 2 6-1 2 4-10 2 4-1 2
            2-2x12 7-10 2 6-2 2 5-3 3 7-2 2 5-8 2 4-10 3
            3-2x10 8-4 1 6-7 2 5-7 2 7-8 2 6-1 2 5-2 2
            3-2x12 9-10 2 7-8 2 6-7 2 9-0 2 7-1 2 6-1 2";
        let loads = [50.0, 70.0].map(|snow| [12, 24, 36].map(|feet| (snow, feet)));
        for (supports, rows) in [(Supports::Roof, roof), (Supports::RoofAndFloor, floor)] {
            for row in rows.lines() {
                let words: Vec<&str> = row.split_whitespace().collect();
                let (member, cells) = words.split_first().unwrap();
                let loads = loads.as_flattened();
                assert_eq!(cells.len(), loads.len() * 2, "{row}");
                for (cell, (snow, feet)) in cells.chunks(2).zip(loads) {
                    let (feet_of, inches_of) = cell[0].split_once('-').unwrap();
                    let expected = format!("{feet_of}'-{inches_of}\"");
                    let found = span(member, supports, *snow, *feet, true);
                    check(found, &expected, cell[1].parse().unwrap());
                }
            }
        }
    }

    #[test]
    fn between_two_columns_the_line_is_straight_as_in_the_published_exercise() {
        // "An exercise in interpolation" (a building code forum, Table R502.5(1) of 2009): 6'-2" at 30 psf, 5'-6" at 50 psf,
        // so 5'-10" at 40 psf.
        let shares = between(&[30.0, 50.0], 40.0).unwrap();
        let cells = [cell_inches("6-2").unwrap(), cell_inches("5-6").unwrap()];
        let inches: f64 = shares.iter().map(|(i, share)| cells[*i] * share).sum();
        assert!((inches - cell_inches("5-10").unwrap()).abs() < 1e-9);
        // Derived: 2-2x10 at 60 psf and 24 ft lies half way between 5'-11" and 5'-3", both with two jacks.
        check(span("2-2x10", Supports::Roof, 60.0, 24, true), "5'-7\"", 2);
        // Of two neighbours the greater number of jacks: 2-2x8 at 50 psf, one at 12 ft and two at 24 ft.
        check(
            span("2-2x8", Supports::Roof, 50.0, 18, true),
            "5'-8 1/2\"",
            2,
        );
    }

    #[test]
    fn tops_without_bracing_take_seven_tenths_from_two_by_eight_up() {
        // 2-2x12 at 50 psf and 12 ft: 9'-0" x 0.70 = 75.6 in, down to 1/16: 6'-3 9/16".
        check(
            span("2-2x12", Supports::Roof, 50.0, 12, false),
            "6'-3 9/16\"",
            2,
        );
        check(span("2-2x6", Supports::Roof, 50.0, 12, false), "5'-1\"", 1);
    }

    #[test]
    fn outside_the_table_there_is_no_answer_and_below_it_the_first_column() {
        assert_eq!(span("2-2x10", Supports::Roof, 71.0, 24, true), None);
        assert_eq!(span("2-2x10", Supports::Roof, 50.0, 37, true), None);
        assert_eq!(span("4-2x10", Supports::Roof, 50.0, 24, true), None);
        check(span("2-2x10", Supports::Roof, 20.0, 10, true), "7'-8\"", 2);
    }
}
