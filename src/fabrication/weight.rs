//! Weight, centre of gravity, and how a panel is lifted.
//!
//! Skins and foam weigh by the exact area of their contours, lumber by its block; chases, slots, glue and screws are left out:
//! together under one in a hundred. Densities are the plant's. What is fitted on site or ships loose is not lifted with the panel.

use super::brief::PanelBrief;
use super::{Fitted, Lift, Lumber, PartFace};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::rules::LiftRules;
use crate::units::Length;

/// Pick points lie on this step.
const PICK_STEP: Length = Length::fraction(0, 1, 8);

/// A panel as lifted: pounds, and inches from the datum corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Weight {
    pub(super) pounds: f64,
    pub(super) centre: [f64; 2],
}

/// Weighs skins, foam and plant-fitted lumber.
pub(super) fn weigh<'a>(
    brief: &PanelBrief<'_>,
    outer: &PartFace,
    inner: &PartFace,
    core: impl Iterator<Item = &'a PartFace>,
    lumber: &[Lumber],
) -> Weight {
    let assembly = brief.assembly;
    let mut sum = Moments::default();
    let per_square_inch =
        |thickness: Length, density: f64| thickness.to_inches() * density / 1728.0;
    let skin = assembly.skin_density;
    sum.add_face(outer, per_square_inch(assembly.outer_skin, skin));
    sum.add_face(inner, per_square_inch(assembly.inner_skin, skin));
    let foam = per_square_inch(assembly.core, assembly.core_density);
    for piece in core {
        sum.add_face(piece, foam);
    }
    for piece in lumber.iter().filter(|l| l.fitted == Fitted::Plant) {
        let (r, w) = (piece.rect, piece.weight_lb);
        let middle = |a: Length, b: Length| f64::midpoint(a.to_inches(), b.to_inches());
        sum.add(w, middle(r.x0, r.x1), middle(r.y0, r.y1));
    }
    sum.weight()
}

/// What lifts that much.
pub(super) fn lift(pounds: f64, rules: &LiftRules) -> Lift {
    if pounds <= rules.hand_limit {
        Lift::Hand
    } else if pounds <= rules.forklift_limit {
        Lift::Forklift
    } else {
        Lift::Crane
    }
}

/// Two pick points at equal distance from the centre of gravity, below the top edge and in sound panel.
///
/// ```text
///      ▲ ── half ── ◐ ── half ── ▲        moved in together where the panel is narrow,
///                                         out or in together where an opening or its lining is in the way
/// ```
///
/// - `keep_out`: what a pick must not touch: openings with their lining.
/// - Returns an empty list when no distance is clear on both sides.
pub(super) fn pick_points(
    brief: &PanelBrief<'_>,
    centre: [f64; 2],
    keep_out: &[ShopRect],
) -> Vec<ShopPoint> {
    let rules = &brief.rules.lifts;
    let Some(x) = Length::nearest(centre[0], PICK_STEP) else {
        return Vec::new();
    };
    // A pick keeps from the upright edges what it keeps from the top; a panel too narrow for that is picked half way out.
    let reach = x.min(brief.width - x);
    let inside = reach - rules.pick_below_top;
    let wanted = if inside > Length::ZERO {
        rules.pick_half_spacing.min(inside)
    } else {
        reach.half().floor_to(PICK_STEP)
    };
    let y = (brief.height - rules.pick_below_top).max(brief.height.half());
    let pair = |half: Length| [ShopPoint::new(x - half, y), ShopPoint::new(x + half, y)];
    let is_clear = |p: &ShopPoint| {
        // From an opening's lining half of that is enough: buck and header stiffen the skins there.
        let around = ShopRect::new(p.x, p.y, p.x, p.y).grown(rules.pick_below_top.half());
        keep_out.iter().all(|rect| rect.common(&around).is_none())
    };
    let steps = reach.steps_of(PICK_STEP).max(1);
    (0..steps)
        .flat_map(|step| [wanted + PICK_STEP * step, wanted - PICK_STEP * step])
        .filter(|half| *half > Length::ZERO && *half < reach)
        .map(pair)
        .find(|pair| pair.iter().all(is_clear))
        .map(Vec::from)
        .unwrap_or_default()
}

#[derive(Clone, Copy, Debug, Default)]
struct Moments {
    weight: f64,
    x: f64,
    y: f64,
}

impl Moments {
    fn add(&mut self, weight: f64, x: f64, y: f64) {
        self.weight += weight;
        self.x += weight * x;
        self.y += weight * y;
    }

    /// A plate of that weight per square inch.
    fn add_face(&mut self, face: &PartFace, per_square_inch: f64) {
        for ring in std::iter::once(&face.outline).chain(&face.holes) {
            let [area, x, y] = area_moments(ring);
            self.weight += per_square_inch * area;
            self.x += per_square_inch * x;
            self.y += per_square_inch * y;
        }
    }

    fn weight(self) -> Weight {
        let centre = if self.weight > 0.0 {
            [self.x / self.weight, self.y / self.weight]
        } else {
            [0.0; 2]
        };
        Weight {
            pounds: self.weight,
            centre,
        }
    }
}

/// Signed area and first moments about both axes, inches: holes run clockwise and count below zero.
fn area_moments(ring: &ShopRing) -> [f64; 3] {
    ring.sides().fold([0.0; 3], |[area, mx, my], (a, b)| {
        let [ax, ay, bx, by] = [a.x, a.y, b.x, b.y].map(Length::to_inches);
        let cross = ax * by - bx * ay;
        [
            area + cross / 2.0,
            mx + (ax + bx) * cross / 6.0,
            my + (ay + by) * cross / 6.0,
        ]
    })
}
