//! Panels that are made alike, and panels that look like each other's mirror image.
//!
//! ```text
//!   ┌──┬─┐   ┌──┬─┐   ┌─┬──┐
//!   │  └─┤   │  └─┤   ├─┘  │
//!   └────┘   └────┘   └────┘
//!    W101     W104     W107       W104 is made like W101; W107 is the mirror image of both
//! ```
//!
//! Equal panels have equal outlines, lumber and chases: they may share a drawing, never a mark. A mirror image is judged by what
//! the yard sees, the skins and their bevels: such panels are set the wrong way round. A panel that is its own mirror image is
//! nobody's.

use super::{FabricatedPanel, PartFace, codes};
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRing};
use crate::units::Length;
use std::collections::BTreeMap;

/// Fills `same_as` and `mirror_of` of every panel with the mark of the first such panel before it.
pub(super) fn find_twins(panels: &mut [FabricatedPanel], findings: &mut Vec<Finding>) {
    let mut made: BTreeMap<String, String> = BTreeMap::new();
    let mut seen: BTreeMap<String, String> = BTreeMap::new();
    for panel in panels {
        let whole = as_made(panel);
        panel.same_as = made.get(&whole).cloned();
        made.entry(whole).or_insert_with(|| panel.mark.clone());
        let (look, mirrored) = (as_seen(panel), as_seen_mirrored(panel));
        if look != mirrored {
            panel.mirror_of = seen.get(&mirrored).cloned();
        }
        seen.entry(look).or_insert_with(|| panel.mark.clone());
        if let (Some(other), None) = (&panel.mirror_of, &panel.same_as) {
            findings.push(Finding::doubt(
                codes::MIRRORED_TWIN,
                Place::panel(&panel.mark),
                format!("{} looks like the mirror image of {other}", panel.mark),
                "check mark, outside face and UP arrow before it is cut or set",
            ));
        }
    }
}

/// Everything that makes two panels the same work, and nothing that only says where they stand.
fn as_made(panel: &FabricatedPanel) -> String {
    let edges: Vec<_> = panel
        .edges
        .iter()
        .map(|e| (e.from, e.to, e.joint, e.recess, &e.slots, e.bevel_deg))
        .collect();
    let lumber: Vec<_> = panel
        .lumber
        .iter()
        .map(|l| (&l.usage, &l.section, &l.grade, l.rect, l.depth, l.fitted))
        .collect();
    let core: Vec<_> = panel.core_pieces().collect();
    let cuts: Vec<_> = panel
        .inner_cuts
        .iter()
        .map(|it| (it.rect, it.depth))
        .collect();
    format!(
        "{:?} {} {:?} {:?} {core:?} {edges:?} {lumber:?} {:?} {cuts:?}",
        panel.kind, panel.assembly, panel.outer_skin, panel.inner_skin, panel.chases
    )
}

fn as_seen(panel: &FabricatedPanel) -> String {
    format!(
        "{:?} {} {:?} {:?}",
        panel.kind, panel.assembly, panel.outer_skin, panel.inner_skin
    )
}

fn as_seen_mirrored(panel: &FabricatedPanel) -> String {
    let mirrored = |face: &PartFace| {
        let mut holes: Vec<ShopRing> = face.holes.iter().map(|h| mirror(h, panel.width)).collect();
        holes.sort_by_key(|hole| hole.0.first().copied());
        PartFace {
            outline: mirror(&face.outline, panel.width),
            holes,
        }
    };
    format!(
        "{:?} {} {:?} {:?}",
        panel.kind,
        panel.assembly,
        mirrored(&panel.outer_skin),
        mirrored(&panel.inner_skin)
    )
}

/// The ring seen from behind, run the same way round, from its lowest, leftmost point.
fn mirror(ring: &ShopRing, width: Length) -> ShopRing {
    let mut points: Vec<ShopPoint> = ring
        .0
        .iter()
        .rev()
        .map(|p| ShopPoint::new(width - p.x, p.y))
        .collect();
    let lowest = (0..points.len()).min_by_key(|k| (points[*k].y, points[*k].x));
    points.rotate_left(lowest.unwrap_or(0));
    ShopRing(points)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Scene, spline};
    use crate::layout::PanelEdge;
    use crate::rules::HeaderMember;

    #[test]
    fn equal_panels_are_found_and_a_mirror_image_is_noted() {
        //   0          96          192         288
        //   │  ┌──┐     │  ┌──┐     │     ┌──┐  │     windows at 20..50, 20..50 and 46..76 of each panel of 96 less the gap
        let window = |scene: Scene, at: &str| scene.opening(at, HeaderMember::None, 0);
        let mut scene = Scene::new("384");
        for at in [
            "20, 30, 50, 70",
            "116, 30, 146, 70",
            "237 7/8, 30, 267 7/8, 70",
        ] {
            scene = window(scene, at);
        }
        let edge = |with| spline(with, true);
        let scene = scene
            .panel(["0", "95 7/8"], spline(0, false), edge(1), &[0])
            .panel(["96", "191 7/8"], spline(0, false), edge(2), &[1])
            .panel(["192", "287 7/8"], spline(1, false), edge(3), &[2])
            .panel(["288", "384"], spline(2, false), PanelEdge::Free, &[]);
        let made = scene.make();
        let panels = &made.output.panels;
        assert_eq!(panels[1].same_as.as_deref(), Some("W101"));
        assert_eq!(panels[1].mirror_of, None);
        assert_eq!(panels[2].same_as, None);
        assert_eq!(panels[2].mirror_of.as_deref(), Some("W101"));
        assert_eq!((&panels[3].same_as, &panels[3].mirror_of), (&None, &None));
        let notes = made.findings.iter().filter(|f| f.code.name() == "FAB-15");
        assert_eq!(notes.count(), 1);
    }
}
