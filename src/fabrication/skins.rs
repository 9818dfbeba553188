//! The three outlines of a panel: outer skin, inner skin, and the foam that remains between them.
//!
//! ```text
//!   outer skin            inner skin             core
//!   ┌──────────┐          ┌──────────┐            ┌──────┐
//!   │  ┌──┐    │          │  ┌──┐    │           ┌┘ ┌──┐ └┐   back from every edge by its recess,
//!   │  │  │    │          │  │  │    │           │  │  │  │   back from every opening by its lining
//!   └──┘  └────┘          └──┘  └────┘           └──┘  └──┘
//! ```
//!
//! At a bevelled end the three differ in length: each is cut where the bevel passes its plane, the outer face, the inner face and
//! the middle of the core. Pockets and boxes of the job open the inner skin only; posts stand in the core only.

use super::PartFace;
use super::brief::PanelBrief;
use super::codes;
use super::inserts::Inserts;
use super::inset::inset;
use super::lumber::{OpeningFrame, is_pier};
use super::recesses::Recesses;
use super::region::subtract;
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};

/// Skins and foam.
pub(super) struct Faces {
    pub(super) outer: PartFace,
    pub(super) inner: PartFace,
    /// Largest first; empty when lumber fills the panel.
    pub(super) core: Vec<PartFace>,
    /// The core's contour before openings are taken out.
    pub(super) foam: ShopRing,
    pub(super) findings: Vec<Finding>,
}

/// Cuts the three outlines.
pub(super) fn cut_faces(
    brief: &PanelBrief<'_>,
    recesses: &Recesses,
    openings: &[OpeningFrame],
    inserts: &Inserts,
) -> Faces {
    let holes: Vec<ShopRect> = openings.iter().map(|o| o.skin_hole).collect();
    let foam_holes = openings.iter().map(|o| o.foam_hole);
    let foam_holes: Vec<ShopRect> = foam_holes.chain(inserts.foam_holes.clone()).collect();
    let own = inserts.inner_cuts.iter().map(|cut| cut.rect);
    let inner_holes: Vec<ShopRect> = holes.iter().copied().chain(own).collect();
    let mut findings = Vec::new();
    let mut skin = |outline: ShopRing, name: &str, holes: &[ShopRect]| {
        let pieces = subtract(&outline, holes);
        if pieces.len() != 1 {
            findings.push(Finding::fault(
                codes::SKIN_IN_PIECES,
                Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources),
                format!("the {name} skin is cut into {} pieces", pieces.len()),
                "move the opening or the joint, or frame the opening between panels",
            ));
        }
        pieces.into_iter().next().unwrap_or_default()
    };
    let outer = skin(brief.outer_outline(), "outer", &holes);
    let behind = brief.outline_at(brief.assembly.thickness());
    let inner = skin(behind, "inner", &inner_holes);
    let middle = brief.outline_at(brief.core_middle());
    let ends = middle.bounds().unwrap_or_default();
    let foam = inset(&middle, |a: ShopPoint, b: ShopPoint| {
        match (a.x == b.x, b.x > a.x) {
            (true, _) if a.x == ends.x0 => recesses.left.recess,
            (true, _) if a.x == ends.x1 => recesses.right.recess,
            (true, _) => recesses.step,
            (false, true) => recesses.bottom,
            (false, false) => recesses.top,
        }
    });
    let core = if is_pier(brief) {
        Vec::new()
    } else {
        subtract(&foam, &foam_holes)
    };
    Faces {
        outer,
        inner,
        core,
        foam,
        findings,
    }
}
