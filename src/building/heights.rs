//! How high decks, panels and caps are.

use super::codes;
use super::model::HeightStack;
use super::raise::{Raising, storey_place};
use crate::findings::Finding;
use crate::plan::Storey;
use crate::rules::{HeightTo, JobStorey, JobWall};
use crate::units::Length;

/// The job's entry for a storey, by id or by title; the later one wins.
pub(super) fn job_storey<'a>(raising: &Raising<'a>, storey: &Storey) -> Option<&'a JobStorey> {
    raising.job.storeys.iter().rev().find(|entry| {
        entry.storey.eq_ignore_ascii_case(&storey.id)
            || (!storey.name.is_empty() && entry.storey.eq_ignore_ascii_case(&storey.name))
    })
}

/// The height a wall is given, and whether anybody stated it.
pub(super) fn wall_height(
    raising: &Raising<'_>,
    storey: &Storey,
    entry: Option<&JobWall>,
) -> (Length, bool) {
    let stated = entry
        .and_then(|entry| entry.wall_height)
        .or_else(|| job_storey(raising, storey).and_then(|entry| entry.wall_height))
        .or(raising.job.wall_height);
    (
        stated.unwrap_or(raising.rules.default_wall_height),
        stated.is_some(),
    )
}

/// Panel and cap for a wall height, by what the height reaches.
///
/// ```text
///   to = "panel"                        to = "cap", "ceiling"
///   ┌──────────┐ cap top = height + cap   ┌──────────┐ cap top = height
///   ├──────────┤ panel top = height       ├──────────┤ panel top = height - cap
///   │          │                          │          │
/// ```
///
/// A ceiling is fixed to what lies on the cap, so its height is the cap's.
pub(super) fn height_stack(raising: &Raising<'_>, height: Length) -> HeightStack {
    let plates = &raising.rules.plates;
    let cap = if plates.has_cap {
        plates.thickness
    } else {
        Length::ZERO
    };
    let panel_top = match raising.job.height_to {
        HeightTo::Panel => height,
        HeightTo::Cap | HeightTo::Ceiling => height - cap,
    };
    HeightStack {
        panel_bottom: Length::ZERO,
        panel_top,
        cap_top: panel_top + cap,
    }
}

/// The deck of a storey above the lowest.
///
/// - `below`: deck and cap top of the storey below; `None` for the lowest.
/// - Returns the deck, and true when nothing states it and its walls must be held.
pub(super) fn floor_height(
    raising: &mut Raising<'_>,
    storey: &Storey,
    below: Option<(Length, Length)>,
) -> (Length, bool) {
    let Some((floor_below, cap_below)) = below else {
        return (Length::ZERO, false);
    };
    if let Some(floor) = job_storey(raising, storey).and_then(|entry| entry.floor) {
        return (floor, false);
    }
    if let Some(floor) = Length::nearest(storey.to_building.floor, raising.step)
        && floor > floor_below
    {
        return (floor, false);
    }
    let guess = floor_below + cap_below;
    raising.findings.push(Finding::fault(
        codes::FLOOR_UNKNOWN,
        storey_place(storey),
        format!(
            "nothing says how high the deck of storey {} lies; it is drawn on the caps below, at {}, without any floor",
            storey.id,
            guess.feet_inches()
        ),
        format!(
            "give it in job.toml: [[storey]] id = \"{}\", floor = …",
            storey.id
        ),
    ));
    (guess, true)
}
