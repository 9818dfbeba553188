//! The drafter's own joints and zones are kept exactly, or refused with the rule they break.
//!
//! # What it demands
//! A joint that the drafter fixes is a joint of the layout, its right panel starting there; no joint lies in a zone that the
//! drafter keeps clear. A fixed joint off the grid, off the wall, or where another rule forbids it is refused, and named.
//!
//! # Why
//! The drafter knows what the drawing does not show. A wish that was bent in silence would be worse than none.
//!
//! # Picture
//! ```text
//!   ───┬─────────▼─────────┬──── a fixed joint: panels on both sides are searched as before
//!   ───┬─────░░░░░░░───────┬──── a zone kept clear
//! ```
//!
//! # Keys
//! [`crate::layout::WallWishes`], from `[[layout]]` of the job
//!
//! # Source
//! The drafter.

use super::Forbidden;
use crate::layout::WallWishes;
use crate::layout::corners::Ends;
use crate::layout::run::grid;
use crate::rules::PlantRules;
use crate::units::Length;

/// The zones that the drafter keeps clear.
pub(crate) fn forbidden(wishes: &WallWishes) -> impl Iterator<Item = Forbidden> + '_ {
    wishes.keep_clear.iter().map(|zone| Forbidden {
        from: zone[0].min(zone[1]),
        to: zone[0].max(zone[1]),
        rule: "wishes.keep_clear",
        words: "the drafter keeps this stretch clear of joints".to_owned(),
    })
}

/// The inside of each locked panel that can be one.
pub(crate) fn locked(panels: &[[Length; 2]]) -> impl Iterator<Item = Forbidden> + '_ {
    panels.iter().map(|[from, to]| Forbidden {
        from: *from,
        to: *to,
        rule: "wishes.locked",
        words: format!("the drafter locked the panel from {from} to {to}"),
    })
}

/// Why a locked panel cannot be one, whatever its joints: `None` when it can.
pub(crate) fn refused_lock(
    [from, to]: [Length; 2],
    ends: &Ends,
    run: (&PlantRules, Length),
) -> Option<String> {
    let (rules, widest) = run;
    if from < ends.left.at || to > ends.right.at {
        return Some("it reaches beyond the run".to_owned());
    }
    let width = to - from;
    if width < rules.joints.least_panel {
        return Some(format!("it is only {width} wide (joints.least_panel)"));
    }
    (width > widest)
        .then(|| format!("no line makes a panel wider than {widest} of this height (lines)"))
}

/// Why a wished joint cannot be one; `None` when it can. Wall axes.
pub(crate) fn refusal(
    joint: Length,
    ends: &Ends,
    rules: &PlantRules,
    forbidden: &[Forbidden],
) -> Option<String> {
    let left = joint - rules.joints.gap;
    if left <= ends.left.at || joint >= ends.right.at {
        return Some("it lies beyond the run".to_owned());
    }
    let off = joint - ends.left.at;
    if off.floor_to(grid(rules)) != off {
        return Some(format!(
            "it is off the grid of {} from the run's left end (grid)",
            rules.grid
        ));
    }
    let breaks = forbidden.iter().find(|zone| zone.bars(left, joint))?;
    Some(format!("{} ({})", breaks.words, breaks.rule))
}
