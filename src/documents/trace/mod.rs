//! Draws the trace: the architect's drawing in grey, what was recovered over it, and every question to be answered.
//!
//! ```text
//!   ┌──────────────────────────────────────┬───────────────┐
//!   │   architect's drawing, pale          │ questions     │
//!   │   recovered walls, heavy, hatched    │ dimensions    │
//!   │   openings with what they were read  │ recovered     │
//!   │   from, questions ◇, conflicts △     │ not used      │
//!   │   view title, scale, north           │ openings      │
//!   └──────────────────────────────────────┴───────────────┘
//! ```
//!
//! *Promises.* One sheet for each storey, zoomed on what was recovered. Every doubt that asks something and every fault stands in the
//! strip, and where its place is known, on the drawing. Nothing of ours stands on anything else of ours.
//!
//! *Does not do.* Judging: it shows what the plan and the findings say, and compares dimensions with the geometry.

mod background;
mod dimension_checks;
mod facts;
mod labels;
mod legend;
mod recovered;
mod sheet;
mod sign;
mod strip;
mod things;
mod units;
mod words;
mod zoom;

pub(crate) use background::draw_background;
pub(crate) use dimension_checks::check_dimensions;
pub(crate) use facts::{Question, questions};
pub(crate) use units::Units;
pub(crate) use words::left_out_words;

use crate::documents::TitleFacts;
use crate::documents::paper::{Sheet, to_svg};
use crate::drawing::Drawing;
use crate::findings::Finding;
use crate::plan::{Plan, Storey, unclaimed};

/// The sheets of a plan, one for each storey: `trace` for the first, `trace-S2` and so on for the others.
///
/// - `drawings`: as read; a storey stands over the drawing whose file it names, else over the first.
/// - `findings`: of all stages so far; doubts and faults become questions.
/// - `names_unclaimed`: what no wall or opening came of is named by its kind.
/// - A plan without storeys gives one sheet with the drawing alone and the findings beside it.
#[must_use]
pub fn trace_sheets(
    drawings: &[Drawing],
    plan: &Plan,
    findings: &[Finding],
    facts: &TitleFacts,
    names_unclaimed: bool,
) -> Vec<Sheet> {
    let empty = Storey::default();
    let storeys = if plan.storeys.is_empty() {
        std::slice::from_ref(&empty)
    } else {
        &plan.storeys
    };
    storeys
        .iter()
        .zip(1..)
        .map(|(storey, number)| {
            let own = drawings.iter().find(|it| it.file == storey.file);
            let drawing = own.or(drawings.first());
            let beside: Vec<&Storey> = storeys.iter().filter(|it| it.file == storey.file).collect();
            let wanted = drawing.filter(|_| names_unclaimed);
            let things = wanted.map(|it| unclaimed(it, &beside));
            sheet::trace_sheet(&sheet::TraceInput {
                drawing,
                plan,
                storey,
                findings,
                facts,
                number,
                unclaimed: &things.unwrap_or_default(),
            })
        })
        .collect()
}

/// The files of a plan: `trace.svg`, `trace-S2.svg`… and their bytes. See [`trace_sheets`].
#[must_use]
pub fn trace_files(
    drawings: &[Drawing],
    plan: &Plan,
    findings: &[Finding],
    facts: &TitleFacts,
    names_unclaimed: bool,
) -> Vec<(String, Vec<u8>)> {
    trace_sheets(drawings, plan, findings, facts, names_unclaimed)
        .iter()
        .map(|sheet| (format!("{}.svg", sheet.name), to_svg(sheet)))
        .collect()
}
