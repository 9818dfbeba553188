//! Inside corners that the saw leaves to the hand.
//!
//! ```text
//!   ┌───────────┐   a blade stops short of a corner, a router leaves its radius standing in the opening: each is finished by hand,
//!   │  ┌─────┐  │   for no skin is over-cut; four corners of a window, two of a door's notch, on each skin
//!   │  └─────┘  │
//!   └───────────┘
//! ```

use super::{FabricatedPanel, PartFace};
use crate::geometry::{ShopPoint, ShopRect};
use crate::rules::{CornerTreatment, Face, SawRules};

/// Inside corners of one skin in one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CornersByHand {
    /// The skin.
    pub face: Face,
    /// The opening, by id, or what a cut of the inner skin alone is for; none for a step or notch of the outline that is at neither.
    pub place: Option<String>,
    /// How many.
    pub count: usize,
}

impl FabricatedPanel {
    /// Corners that are finished by hand, skin by skin, by opening and by cut of the inner skin as in the panel's own lists, then the outline's others.
    #[must_use]
    pub fn corners_by_hand(&self, saw: &SawRules) -> Vec<CornersByHand> {
        if saw.corners == CornerTreatment::Square {
            return Vec::new();
        }
        let faces = [
            (Face::Outer, &self.outer_skin),
            (Face::Inner, &self.inner_skin),
        ];
        let all = faces.into_iter().flat_map(|(face, skin)| {
            let corners = corners(skin);
            let openings = self.openings.iter().map(|it| (&it.id, it.skin_hole));
            let cuts = self.inner_cuts.iter().map(|it| (&it.what, it.rect));
            let places: Vec<(&String, ShopRect)> = openings.chain(cuts).collect();
            let owner = |at: &ShopPoint| places.iter().position(|it| holds(&it.1, *at));
            let numbers = (0..places.len()).map(Some).chain([None]);
            let found: Vec<CornersByHand> = numbers
                .map(|number| CornersByHand {
                    face,
                    place: number.and_then(|it| places.get(it)).map(|it| it.0.clone()),
                    count: corners.iter().filter(|it| owner(it) == number).count(),
                })
                .filter(|it| it.count > 0)
                .collect();
            found
        });
        all.collect()
    }
}

fn corners(skin: &PartFace) -> Vec<ShopPoint> {
    let rings = std::iter::once(&skin.outline).chain(&skin.holes);
    rings.flat_map(|ring| ring.turning_right()).collect()
}

fn holds(rect: &ShopRect, at: ShopPoint) -> bool {
    rect.x0 <= at.x && at.x <= rect.x1 && rect.y0 <= at.y && at.y <= rect.y1
}
