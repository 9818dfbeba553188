//! Whether all lumber of a panel has room.

use super::brief::PanelBrief;
use super::{Fitted, Lumber, codes};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::layout::PanelKind;
use crate::units::Length;

/// A fault for the first two plant-fitted pieces, or piece and plate, that want the same place; the panel is then on HOLD.
///
/// One is enough: a leg too narrow for its studs makes a dozen, and one move cures them.
pub(super) fn find_overlap(brief: &PanelBrief<'_>, lumber: &[Lumber]) -> Option<Finding> {
    let fitted: Vec<&Lumber> = lumber
        .iter()
        .filter(|piece| piece.fitted == Fitted::Plant)
        .collect();
    let plates = plates(brief);
    let clash = fitted.iter().enumerate().find_map(|(place, piece)| {
        let other = fitted[place + 1..]
            .iter()
            .find(|other| overlap(piece, other))
            .map(|other| format!("{} {}", other.usage, other.mark));
        let plate = plates
            .iter()
            .filter(|_| !piece.usage.starts_with("bridge"))
            .find(|(_, rect)| rect.common(&piece.rect).is_some())
            .map(|(name, _)| (*name).to_owned());
        other.or(plate).map(|other| (*piece, other))
    })?;
    let (piece, other) = clash;
    Some(Finding::fault(
        codes::LUMBER_OVERLAPS,
        Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources),
        format!(
            "{} {} and {other} want the same place",
            piece.usage, piece.mark
        ),
        "give the opening a wider leg, a higher sill or a lower head, or name fewer jacks",
    ))
}

fn overlap(a: &Lumber, b: &Lumber) -> bool {
    a.rect.common(&b.rect).is_some() && a.depth[0] < b.depth[1] && b.depth[0] < a.depth[1]
}

/// Where the wall's plates lie in the panel.
fn plates(brief: &PanelBrief<'_>) -> Vec<(&'static str, ShopRect)> {
    let thickness = brief.rules.plates.thickness;
    let bounds = brief.bounds();
    let mut plates = Vec::new();
    if brief.panel.kind != PanelKind::Header {
        let y1 = bounds.y0 + thickness;
        plates.push(("the sole plate", ShopRect { y1, ..bounds }));
    }
    if brief.panel.kind != PanelKind::Sill {
        let y0: Length = bounds.y1 - thickness;
        plates.push(("the top plate", ShopRect { y0, ..bounds }));
    }
    plates
}
