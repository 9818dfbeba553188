//! Whether all lumber of a panel has room.

use super::brief::PanelBrief;
use super::{Fitted, Lumber, codes};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::layout::{PanelEdge, PanelKind};
use crate::units::Length;

/// A fault for the first two plant-fitted pieces, or piece and plate, that want the same place; the panel is then on HOLD.
///
/// One is enough: a leg too narrow for its studs makes a dozen, and one move cures them.
pub(super) fn find_overlap(brief: &PanelBrief<'_>, lumber: &[Lumber]) -> Option<Finding> {
    let fitted: Vec<&Lumber> = lumber
        .iter()
        .filter(|piece| piece.fitted == Fitted::Plant)
        .collect();
    let clash = fitted.iter().enumerate().find_map(|(place, piece)| {
        let other = fitted[place + 1..]
            .iter()
            .find(|other| overlap(piece, other))
            .map(|other| format!("{} {}", other.usage, other.mark));
        let plate = (!piece.usage.starts_with("bridge"))
            .then(|| plate_in_the_way(brief, piece.rect))
            .flatten();
        other
            .or(plate.map(str::to_owned))
            .or_else(|| spline_in_the_way(brief, piece))
            .map(|other| (*piece, other))
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

/// The spline of a joint that reaches in from the edge where a piece stands: the panel's own, or its neighbour's.
fn spline_in_the_way(brief: &PanelBrief<'_>, piece: &Lumber) -> Option<String> {
    let rules = brief.rules;
    // Beside an opening framed between panels stand king studs and jacks, no splines.
    if brief.panel.kind != PanelKind::Wall || piece.usage.starts_with("spline") {
        return None;
    }
    let reach = |edge| match edge {
        PanelEdge::Spline { fit, .. } => {
            fit.kind(&rules.joints, brief.assembly).reach(rules) - rules.joints.gap.half()
        }
        _ => Length::ZERO,
    };
    let [left, right] = [brief.panel.left, brief.panel.right].map(reach);
    let (near, far) = (piece.rect.x0, piece.rect.x1);
    let is_met =
        left > Length::ZERO && near < left || right > Length::ZERO && brief.width - right < far;
    is_met.then(|| "the spline of the joint beside it".to_owned())
}

/// The wall's plate that lies where a piece wants to stand; only as far as the piece lies in the panel.
fn plate_in_the_way(brief: &PanelBrief<'_>, rect: ShopRect) -> Option<&'static str> {
    let thickness = brief.rules.plates.thickness;
    // Beyond the panel the wall's plate goes on.
    rect.common(&brief.bounds())?;
    let foot = brief.foot(rect.x0, rect.x1, thickness);
    let [head, _] = brief.head(rect.x0, rect.x1, thickness);
    if brief.panel.kind != PanelKind::Header && rect.y0 < foot {
        Some("the sole plate")
    } else if brief.panel.kind != PanelKind::Sill && rect.y1 > head {
        Some("the top plate")
    } else {
        None
    }
}
