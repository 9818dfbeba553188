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
    /// The opening, by id; none for a step or notch of the outline that is at no opening.
    pub opening: Option<String>,
    /// How many.
    pub count: usize,
}

impl FabricatedPanel {
    /// Corners that are finished by hand, skin by skin, by opening as in the panel's own list, then the outline's others.
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
            let owner = |at: &ShopPoint| {
                let mut own = self.openings.iter();
                own.position(|it| holds(&it.skin_hole, *at))
            };
            let places = (0..self.openings.len()).map(Some).chain([None]);
            let found: Vec<CornersByHand> = places
                .map(|place| CornersByHand {
                    face,
                    opening: place
                        .and_then(|it| self.openings.get(it))
                        .map(|it| it.id.clone()),
                    count: corners.iter().filter(|it| owner(it) == place).count(),
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
