//! Schedules of doors and windows on the sheet: read as tables, tied to openings by the tags in bubbles beside them.
//!
//! ```text
//!   DOOR SCHEDULE
//!   ┌─────┬───────┬────────┬─────┐
//!   │ NO. │ WIDTH │ HEIGHT │ QTY │        ⬡3 beside an opening ──► height, rough opening, sill, head, kind
//!   │  3  │ 3'-0" │ 6'-8"  │  2  │        two openings with that tag? else a finding
//!   └─────┴───────┴────────┴─────┘
//! ```
//!
//! Nothing is overwritten: what is drawn stands, then a call-out, then the schedule; where they differ, a finding has all numbers.

mod apply;
mod bubbles;
mod cells;
mod table;
#[cfg(test)]
mod tests;
mod words;

pub(super) use apply::{TaggedSize, apply_schedules, tagged_sizes};
pub(super) use table::schedules;

use super::OpeningKind;
use geo::Coord;

/// One row of a schedule.
#[derive(Clone, Debug, Default, PartialEq)]
struct Row {
    /// As written.
    tag: String,
    /// What stands in its column of types.
    type_word: String,
    /// What the row, else the schedule, says it is.
    kind: Option<OpeningKind>,
    width: Option<f64>,
    height: Option<f64>,
    rough_width: Option<f64>,
    rough_height: Option<f64>,
    sill: Option<f64>,
    head: Option<f64>,
    quantity: Option<usize>,
    /// Handles of its texts.
    sources: Vec<String>,
}

/// A schedule.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Schedule {
    /// Its title; empty when it has none.
    title: String,
    /// What its title says that it lists.
    kind: Option<OpeningKind>,
    rows: Vec<Row>,
    /// Lowest and highest corner of its texts.
    bounds: [Coord<f64>; 2],
}
