//! Panels whose outer skin reaches below what bears: made with y 0 at the bottom that bears, then stood on that skin's edge.
//!
//! ```text
//!   y 0 ──►│░░░░░│            │░░░░░│
//!          │▒▒▒▒▒│ drop  ──►  │▒▒▒▒▒│
//!          └─────┘      y 0 ─►└─────┘
//! ```

use super::brief::PanelBrief;
use super::{FabricatedPanel, PartFace};
use crate::geometry::ShopRing;
use crate::units::Length;

/// What the sheet says of the skin below the panel.
pub(super) fn note(brief: &PanelBrief<'_>) -> Option<String> {
    (brief.drop > Length::ZERO).then(|| {
        format!(
            "the outer skin reaches {} below the inner skin and foam and does not bear there: not sized: engineer; keep it off the ground and the forks",
            brief.drop
        )
    })
}

/// The panel in the axes of its sheet: origin at the lower left of the outer skin's bounding rectangle.
pub(super) fn on_its_skin(mut panel: FabricatedPanel) -> FabricatedPanel {
    let up = panel.skin_drop;
    if up == Length::ZERO {
        return panel;
    }
    let ring = |ring: &mut ShopRing| *ring = ring.moved(Length::ZERO, up);
    let face = |face: &mut PartFace| {
        ring(&mut face.outline);
        face.holes.iter_mut().for_each(ring);
    };
    let skins = [
        &mut panel.outer_skin,
        &mut panel.inner_skin,
        &mut panel.core,
    ];
    skins.into_iter().for_each(face);
    panel.core_others.iter_mut().for_each(face);
    let cuts = panel.inner_cuts.iter_mut().map(|it| &mut it.rect);
    let openings = panel.openings.iter_mut();
    let openings = openings.flat_map(|it| [&mut it.rough, &mut it.skin_hole]);
    let lumber = panel.lumber.iter_mut().map(|it| &mut it.rect);
    for rect in cuts.chain(openings).chain(lumber) {
        *rect = rect.moved(Length::ZERO, up);
    }
    let edges = panel.edges.iter_mut();
    let edges = edges.flat_map(|it| [&mut it.from, &mut it.to]);
    let chases = panel.chases.iter_mut();
    let chases = chases.flat_map(|it| [&mut it.from, &mut it.to]);
    for point in edges.chain(chases).chain(&mut panel.pick_points) {
        point.y += up;
    }
    panel.centre_of_gravity[1] += up.to_inches();
    panel
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Scene, inches};
    use crate::layout::PanelEdge;
    use crate::rules::HeaderMember;
    use crate::units::Length;

    /// A door of 38 in in a panel of 8 ft; the outer skin drops by 10-1/2 in. By hand: (96 - 38) x 10-1/2 of a skin of 7/16 in and 40 pcf
    /// hang, 6.17 lb.
    #[test]
    fn only_the_outer_skin_reaches_below_and_all_else_stays_where_it_was() {
        let scene = |drop: &str| {
            let mut scene = Scene::new("96")
                .opening("30, 0, 68, 82", HeaderMember::None, 0)
                .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0]);
            scene.building.walls[0].skin_drop = inches(drop);
            scene.layout.panels[0].rect.y0 -= inches(drop);
            scene.made(0)
        };
        let (plain, dropped, drop) = (scene("0"), scene("10 1/2"), inches("10 1/2"));
        assert_eq!(dropped.height, plain.height + drop);
        let up = |face: &super::PartFace| face.outline.moved(Length::ZERO, drop);
        assert_eq!(dropped.inner_skin.outline, up(&plain.inner_skin));
        assert_eq!(dropped.core.outline, up(&plain.core));
        let outer = |panel: &super::FabricatedPanel| panel.outer_skin.outline.doubled_area();
        let nm = |length: Length| i128::from(length.to_nanometres());
        let hanging = 2 * nm(drop) * nm(Length::inches(96 - 38));
        assert_eq!(outer(&dropped) - outer(&plain), hanging);
        let lumber = plain
            .lumber
            .iter()
            .map(|it| it.rect.moved(Length::ZERO, drop));
        assert!(lumber.eq(dropped.lumber.iter().map(|it| it.rect)));
        let chases = plain.chases.iter().map(|it| it.from.y + drop);
        assert!(chases.eq(dropped.chases.iter().map(|it| it.from.y)));
        let heavier = dropped.weight_lb - plain.weight_lb;
        assert!((heavier - 6.167).abs() < 0.001, "{heavier}");
        // Both faces of the core are reached from the same edge: the recess counts from the skin's own.
        let bottom = |panel: &super::FabricatedPanel| panel.edges[0].recess;
        assert_eq!(bottom(&dropped), bottom(&plain) + drop);
    }
}
