//! Foundations as measured on site against the plan, before panels are released.
//!
//! ```text
//!   plan     ├──────────── 24'-0" ────────────┤
//!   site     ├──────────── 24'-0 3/8" ─────────┤     more than joints.site_tolerance: the wall's panels are on HOLD
//! ```
//!
//! What differs blocks until the drawing or the foundation is corrected, or the job says who accepts it.

use super::assemble::place;
use super::{LayoutOptions, WallWishes, codes};
use crate::building::{Building, PanelWall, WallRole};
use crate::findings::{Finding, Place};
use crate::rules::{Job, PanelStatus, PlantRules};
use crate::units::Length;

/// What the foundation under a wall measures otherwise than drawn: a fault, or a note where the job says who accepts it.
pub(crate) fn compare(
    wall: &PanelWall,
    rules: &PlantRules,
    wished: &WallWishes,
) -> Option<Finding> {
    let measured = wished.measured?;
    let off = measured - wall.face_length;
    let tolerance = rules.joints.site_tolerance;
    if off.abs() <= tolerance {
        return None;
    }
    let place = place(wall, &wall.id, &wall.sources);
    let words = format!(
        "the foundation under wall {} measures {} on site and the plan {}: {} {}, more than {tolerance}",
        wall.name,
        measured.feet_inches(),
        wall.face_length.feet_inches(),
        off.abs(),
        if off > Length::ZERO {
            "longer"
        } else {
            "shorter"
        }
    );
    Some(match &wished.measured_accepted {
        Some(by) => Finding::note(
            codes::MEASURED_OTHERWISE,
            place,
            format!("{words}; accepted: {by}"),
            "nothing, if that is still so on the day the sole plate is laid",
        ),
        None => Finding::fault(
            codes::MEASURED_OTHERWISE,
            place,
            words,
            "correct the drawing, have the foundation corrected, or say under [[layout]] measured_accepted who accepts it",
        ),
    })
}

/// Walls on the foundation that nobody has measured, where the job calls panels released.
pub(crate) fn unmeasured(
    job: &Job,
    building: &Building,
    options: &LayoutOptions,
) -> Option<Finding> {
    let released = job.panels.iter().filter(|it| it.status > PanelStatus::Open);
    let first = released.map(|it| it.line).min()?;
    let lowest = building.walls.iter().map(|it| it.storey_index).min()?;
    let on_foundation = building
        .walls
        .iter()
        .filter(|it| it.storey_index == lowest && it.role == WallRole::Exterior);
    let is_measured = |wall: &&PanelWall| {
        let wished = options.walls.get(&wall.id);
        wished.is_some_and(|it| it.measured.is_some())
    };
    let names: Vec<&str> = on_foundation
        .filter(|wall| !is_measured(wall))
        .map(|wall| wall.name.as_str())
        .collect();
    (!names.is_empty()).then(|| {
        Finding::doubt(
            codes::NOT_MEASURED,
            Place::line(&job.file, first),
            format!(
                "panels are released, and no foundation is measured under {}",
                names.join(", ")
            ),
            "measure it corner to corner before more is cut, and write it under [[layout]] as measured",
        )
    })
}
