//! "What we changed and what we need": one sheet for the architect, over the architect's own lines.
//!
//! ```text
//!   ┌ the architect's drawing, pale ────────┐ WHAT WE CHANGED   No.  What    Plan   Panels
//!   │   ▬▬▬▬▬①▬▬▬▬▬  panels as they stand   │ WHAT WE NEED      ◇1 seen, taken meanwhile, holds up W104
//!   │   ▌     ◇1    ▐                       │                   ┌ answer ─────────────────┐
//!   └───────────────────────────────────────┘                   └─────────────────────────┘
//! ```
//!
//! *Promises.* Every difference between plan and panels stands here with both numbers, and every open question with its
//! number of the trace (less those that are the plant's own), what was taken meanwhile, what waits for it, and room for an answer; what does not fit goes on on
//! the next sheet.
//!
//! *Does not do.* Judging which of the two is right.

mod compare;
mod metric;
mod names;
mod numbers;
mod sheet;
mod words;

use super::asked::{Asked, asked};
use super::paper::Sheet;
use super::{Models, TitleFacts};
use crate::plan::Storey;

/// The sheets of all storeys: `Z-021`… and, where a list goes on, `Z-022`…
#[must_use]
pub(super) fn change_sheets(models: &Models<'_>, facts: &TitleFacts) -> Vec<Sheet> {
    let questions = asked(
        models.trace.plan,
        models.trace.findings,
        models.building,
        models.fabrication,
    );
    let mut sheets = Vec::new();
    for (index, storey) in models.trace.plan.storeys.iter().enumerate() {
        // What is the plant's own question stands on the trace and in the list of findings only.
        let own: Vec<&Asked> = questions
            .iter()
            .filter(|it| it.storey == index && words::is_for_architect(it.question.code))
            .collect();
        let first = 21 + sheets.len();
        sheets.extend(sheet::storey_sheets(&sheet::ChangeInput {
            models,
            facts,
            storey,
            questions: &own,
            number: first,
        }));
    }
    sheets
}

/// A point of the building in the drawing of a storey: moved back, then turned back.
pub(super) fn in_drawing(storey: &Storey, point: geo::Coord<f64>) -> geo::Coord<f64> {
    let to = &storey.to_building;
    let (sin, cos) = (-to.turn_deg).to_radians().sin_cos();
    let (x, y) = (point.x - to.shift[0], point.y - to.shift[1]);
    geo::Coord {
        x: x * cos - y * sin,
        y: x * sin + y * cos,
    }
}
