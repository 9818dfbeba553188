//! Outer skins that reach below their panels, over the rim of a floor or the edge of a foundation.
//!
//! ```text
//!   outer │ │░░░░│ │ inner
//!         │ │▓▓▓▓│ │ sole plate
//!         │ ├────┴─┤ deck, panel bottom: what bears is foam's lumber and the inner skin
//!         │ │ rim      drop: this skin hangs and bears nothing
//!         └─┘
//! ```

use super::codes;
use super::model::PanelWall;
use super::raise::{Raising, element_place, storey_place};
use crate::findings::Finding;
use crate::plan::Storey;
use crate::rules::JobWall;
use crate::units::Length;

/// How far the outer skin of an exterior wall reaches below its panels, as the job states it.
pub(super) fn skin_drop(raising: &Raising<'_>, entry: Option<&JobWall>) -> Length {
    let own = entry.and_then(|entry| entry.skin_drop);
    own.unwrap_or(raising.job.skin_drop)
}

/// Asks about the skins of a storey that do not bear, and refuses those that reach onto the panels below.
///
/// - `room`: from the panels of the storey below up to this deck; `None` on the lowest.
pub(super) fn report(
    raising: &mut Raising<'_>,
    storey: &Storey,
    walls: &mut [PanelWall],
    room: Option<Length>,
) {
    let mut dropped = Vec::new();
    for wall in walls.iter_mut().filter(|it| it.skin_drop > Length::ZERO) {
        dropped.push(format!("{} by {}", wall.id, wall.skin_drop));
        let Some(room) = room.filter(|room| wall.skin_drop > *room) else {
            continue;
        };
        wall.on_hold = true;
        raising.findings.push(Finding::fault(
            codes::SKIN_ON_PANEL,
            element_place(storey, &wall.id).with_sources(wall.sources.iter()),
            format!(
                "the outer skin of {} drops by {}, and the panels of the storey below end {room} under its deck",
                wall.id, wall.skin_drop
            ),
            "give a smaller skin_drop under [wall] or its [[wall.only]] in job.toml",
        ));
    }
    if !dropped.is_empty() {
        raising.findings.push(Finding::doubt(
            codes::SKIN_DOES_NOT_BEAR,
            storey_place(storey),
            format!(
                "the outer skin drops below its panels and does not bear there: {}; not sized: engineer",
                dropped.join(", ")
            ),
            "have the engineer say what the inner skin and the plates carry without it, or leave skin_drop at 0",
        ));
    }
}
