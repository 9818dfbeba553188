//! The panel that closes a run is made longer at its end, to be trimmed to fit on site.
//!
//! ```text
//!   set from left to right ──►                    trim line: where the panel ends as drawn
//!   ┌──────────┐┌──────────┐┌────────────────────┆─┐
//!   │  W101    ││  W102    ││  W103, make-up     ┆ │ left long by joints.make_up: skins only, the foam stands back for the
//!   └──────────┘└──────────┘└────────────────────┆─┘ panel as drawn and its end stud comes loose
//! ```
//!
//! Only at a plain end: square, under a level top, on a level base, with foam between the skins. Where the panel would be larger or heavier than can
//! be made, the run is laid out without it.

use super::assemble::place;
use super::corners::RunEnd;
use super::{Panel, WallEnd, codes};
use crate::building::PanelWall;
use crate::findings::Finding;
use crate::rules::PlantRules;
use crate::units::Length;

/// Why the panel at a run's right end cannot be left long; `None` where it can.
pub(crate) fn refusal(wall: &PanelWall, end: &RunEnd, rules: &PlantRules) -> Option<&'static str> {
    if matches!(end.end, WallEnd::Mitre { .. }) {
        return Some("its right end is bevelled");
    }
    if matches!(end.end, WallEnd::Filled { .. }) {
        return Some("a wedge stands at its right end");
    }
    let (profile, beyond) = (&wall.profile, end.at + rules.joints.make_up);
    let [high, low] = profile.top_range(end.at, beyond);
    let is_level = profile.stretch(end.at, true).is_none_or(|it| it.is_level());
    if high != low || high != profile.top_at(end.at, true) || !is_level {
        return Some("its top is not level at its right end");
    }
    let [high, low] = profile.base_range(end.at, beyond);
    (high != low || high != profile.base_at(end.at, true))
        .then_some("its base steps at its right end")
}

/// A wall whose last panel is made to its place though the rule asks for more.
///
/// - `last`: the panel at the run's right end.
pub(crate) fn finding(
    wall: &PanelWall,
    end: &RunEnd,
    last: Option<&Panel>,
    rules: &PlantRules,
) -> Option<Finding> {
    let asked = rules.joints.make_up;
    let last = last.filter(|last| last.make_up < asked)?;
    let why = refusal(wall, end, rules).unwrap_or(if last.is_pier {
        "it ends in a pier of solid lumber"
    } else {
        "no line makes its last panel that much longer with joints that the rules allow"
    });
    Some(Finding::doubt(
        codes::NO_MAKE_UP,
        place(wall, &wall.id, &wall.sources),
        format!(
            "no panel of wall {} is left long by {asked} for trimming: {why}",
            wall.name
        ),
        "measure its foundation before its panels are cut ([[layout]] measured), or set joints.make_up to 0",
    ))
}

/// What the sheet and the erector are told.
pub(crate) fn words(make_up: Length) -> String {
    format!(
        "make-up panel: its right end is left {make_up} long, trim both skins to fit on site, up to {make_up}; its end stud comes loose"
    )
}
