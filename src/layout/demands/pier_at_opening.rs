//! A strip too narrow for a panel, beside a framed opening, is a pier of solid lumber.
//!
//! # What it demands
//! Between two openings that are framed between panels, or between one and the square end of a run, a strip narrower than
//! `joints.least_panel` may stand where it is no narrower than `piers.least`; at a run's end that another wall covers it is also
//! no narrower than that wall is thick. It holds no opening and has no joint, and its skins are filled with lumber. The strip between a
//! run's end and glass that goes round that corner is one however wide it is: the post of the corner.
//!
//! # Why
//! Foam in so narrow a strip carries no header and breaks in handling. What stands there carries two headers: not sized, engineer.
//!
//! # Picture
//! ```text
//!   ═══════════════╤═══╤═════════════
//!     header      │▓▓▓│     header
//!   ┌─────────────┤▓▓▓├─────────────┐
//!   │ garage door │◄9►│ garage door │
//! ```
//!
//! # Keys
//! `piers.least`, `piers.cents`
//!
//! # Source
//! Common practice, no source.

use crate::building::PanelWall;
use crate::layout::WallEnd;
use crate::layout::corners::RunEnd;
use crate::layout::solution::{Piece, Side};
use crate::rules::PlantRules;
use crate::units::Length;

/// The least width of a pier at this end of a run; `None` where the end is bevelled.
pub(crate) fn least_width(end: &RunEnd, rules: &PlantRules) -> Option<Length> {
    let is_square = !matches!(end.end, WallEnd::Mitre { .. });
    is_square.then_some(rules.piers.least.max(end.cover))
}

/// True for a strip of solid lumber: one beside a framed opening that is narrower than a panel may be, or the post of a corner.
pub(crate) fn is_pier(wall: &PanelWall, rules: &PlantRules, piece: &Piece) -> bool {
    let is_jamb = |side: Side| matches!(side, Side::Jamb(_));
    let is_narrow = piece.to - piece.from < rules.joints.least_panel;
    (is_narrow && (is_jamb(piece.left) || is_jamb(piece.right))) || is_post(wall, piece)
}

/// True for the strip between a run's end and glass that goes round that corner.
pub(crate) fn is_post(wall: &PanelWall, piece: &Piece) -> bool {
    let at_post = |opening: usize, side: usize| {
        let opening = wall.openings.get(opening);
        opening.is_some_and(|opening| opening.at_post()[side])
    };
    match (piece.left, piece.right) {
        (Side::End, Side::Jamb(opening)) => at_post(opening, 0),
        (Side::Jamb(opening), Side::End) => at_post(opening, 1),
        _ => false,
    }
}
