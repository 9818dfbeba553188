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
//! *Promises.* One sheet for each storey, zoomed on what was recovered. Every doubt and every fault stands in the strip,
//! and where its place is known, on the drawing. Nothing of ours stands on anything else of ours.
//!
//! *Does not do.* Judging: it shows what the plan and the findings say, and compares dimensions with the geometry.

mod background;
mod dimension_checks;
mod facts;
mod labels;
mod recovered;
mod sheet;
mod strip;

use crate::documents::paper::to_svg;
use crate::documents::TitleFacts;
use crate::drawing::Drawing;
use crate::findings::Finding;
use crate::plan::Plan;

/// The sheets of a plan: `trace.svg` for the first storey, `trace-S2.svg` and so on for the others. Names and bytes.
///
/// - `drawings`: as read; a storey stands over the drawing whose file it names, else over the first.
/// - `findings`: of all stages so far; doubts and faults become questions.
/// - A plan without storeys gives one sheet with the drawing alone and the findings beside it.
#[must_use]
pub fn trace_sheets(
    drawings: &[Drawing],
    plan: &Plan,
    findings: &[Finding],
    facts: &TitleFacts,
) -> Vec<(String, Vec<u8>)> {
    let empty = crate::plan::Storey::default();
    let storeys = if plan.storeys.is_empty() {
        std::slice::from_ref(&empty)
    } else {
        &plan.storeys
    };
    storeys
        .iter()
        .enumerate()
        .map(|(index, storey)| {
            let drawing = drawings
                .iter()
                .find(|it| it.file == storey.file)
                .or(drawings.first());
            let name = if index == 0 {
                "trace.svg".to_owned()
            } else {
                format!("trace-{}.svg", storey.id)
            };
            let sheet = sheet::trace_sheet(&sheet::TraceInput {
                drawing,
                plan,
                storey,
                findings,
                facts,
                number: index + 1,
            });
            (name, to_svg(&sheet))
        })
        .collect()
}

#[cfg(test)]
pub(crate) fn overlaps_of_ours(
    drawings: &[Drawing],
    plan: &Plan,
    findings: &[Finding],
    facts: &TitleFacts,
) -> Vec<crate::documents::paper::Overlap> {
    let empty = crate::plan::Storey::default();
    let storeys = if plan.storeys.is_empty() {
        std::slice::from_ref(&empty)
    } else {
        &plan.storeys
    };
    storeys
        .iter()
        .flat_map(|storey| {
            let sheet = sheet::trace_sheet(&sheet::TraceInput {
                drawing: drawings.first(),
                plan,
                storey,
                findings,
                facts,
                number: 1,
            });
            crate::documents::paper::overlaps(&sheet::without_architect(&sheet))
        })
        .collect()
}
