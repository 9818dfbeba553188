//! Weight, centre of gravity, and how a panel is lifted.
//!
//! Skins and foam weigh by the exact area of their contours, lumber by its block; the foam that is not there is out: in the slots of
//! strips and flanges, behind nailers, in chases, behind boxes. Glue and screws are left out. Densities are the plant's. What is
//! fitted on site or ships loose is not lifted with the panel, what the plant fits is, beyond the edge too.
//!
//! ```text
//!   ════════║      slot    the foam within its width of the edge, as deep as the slot
//!   ░░░▒▒▒▒▒║▒▒            the strip itself is lumber, with the panel that the plant fits it into
//!   ══┆══╪══┆══    chase   a round bar of foam; where two cross at right angles, what they share, 16/3 r³, only once
//! ```

use super::brief::PanelBrief;
use super::inserts::is_nailer;
use super::lumber::cubic_feet;
use super::{Chase, Fitted, InnerCut, Lift, Lumber, PartFace, Slot};
use crate::geometry::{ShopPoint, ShopRect};
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

/// Foam that a panel's contours hold and that is not there.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Hollows<'a> {
    /// Slots of the left and of the right edge.
    pub(super) slots: [&'a [Slot]; 2],
    /// Chases.
    pub(super) chases: &'a [Chase],
    /// Cuts from the inner face. Those through the whole core are out of its contours already.
    pub(super) cuts: &'a [InnerCut],
}

/// Weighs skins, foam and plant-fitted lumber.
pub(super) fn weigh(
    brief: &PanelBrief<'_>,
    [outer, inner]: [&PartFace; 2],
    core: &[PartFace],
    hollows: &Hollows<'_>,
    lumber: &[Lumber],
) -> Weight {
    let assembly = brief.assembly;
    let mut sum = Moments::default();
    for (face, skin) in [(outer, &assembly.outer), (inner, &assembly.inner)] {
        sum.add_face(face, skin.pounds_per_sq_ft() / 144.0);
    }
    let foam = |thickness: Length| thickness.to_inches() * assembly.core_density / 1728.0;
    for piece in core {
        sum.add_face(piece, foam(assembly.core));
        for (slots, is_left) in hollows.slots.into_iter().zip([true, false]) {
            for slot in slots {
                let strip = if is_left {
                    [f64::NEG_INFINITY, slot.width.to_inches()]
                } else {
                    [(brief.width - slot.width).to_inches(), f64::INFINITY]
                };
                sum.add_strip(piece, strip, -foam(slot.depth));
            }
        }
    }
    for [cubic_inches, x, y] in bored(hollows.chases) {
        sum.add(-cubic_inches * assembly.core_density / 1728.0, x, y);
    }
    for cut in hollows.cuts {
        let into = cut.depth - assembly.inner.thickness;
        if into < assembly.core {
            let (r, skin) = (cut.rect, Length::ZERO);
            let w = cubic_feet(r, [skin, into]) * assembly.core_density;
            sum.add(-w, middle(r.x0, r.x1), middle(r.y0, r.y1));
        }
    }
    for piece in lumber.iter().filter(|l| l.fitted == Fitted::Plant) {
        let (r, mut w) = (piece.rect, piece.weight_lb);
        if is_nailer(&piece.usage) {
            w -= cubic_feet(r, piece.depth) * assembly.core_density;
        }
        sum.add(w, middle(r.x0, r.x1), middle(r.y0, r.y1));
    }
    sum.weight()
}

/// What chases take out of the core: cubic inches and where, less what two that cross share.
fn bored(chases: &[Chase]) -> Vec<[f64; 3]> {
    let mut bodies: Vec<[f64; 3]> = chases
        .iter()
        .map(|it| {
            let [dx, dy] = [it.to.x - it.from.x, it.to.y - it.from.y].map(Length::to_inches);
            let radius = it.diameter.to_inches() / 2.0;
            let volume = std::f64::consts::PI * radius * radius * dx.hypot(dy);
            [
                volume,
                middle(it.from.x, it.to.x),
                middle(it.from.y, it.to.y),
            ]
        })
        .collect();
    let within = |x: Length, [a, b]: [Length; 2], radius: Length| {
        a.min(b) + radius <= x && x <= a.max(b) - radius
    };
    for level in chases.iter().filter(|it| it.from.y == it.to.y) {
        for upright in chases.iter().filter(|it| it.from.x == it.to.x) {
            let (x, y, radius) = (upright.from.x, level.from.y, level.diameter.half());
            let is_crossed = within(x, [level.from.x, level.to.x], radius)
                && within(y, [upright.from.y, upright.to.y], radius);
            if is_crossed && upright.diameter == level.diameter {
                let shared = 16.0 / 3.0 * radius.to_inches().powi(3);
                bodies.push([-shared, x.to_inches(), y.to_inches()]);
            }
        }
    }
    bodies
}

fn middle(a: Length, b: Length) -> f64 {
    f64::midpoint(a.to_inches(), b.to_inches())
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
///                                         out or in together where an opening is in the way, in by half at most
/// ```
///
/// - `keep_out`: the holes a pick must keep from; header and bucks round them are sound.
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
        rules.pick_half_spacing.min(inside).floor_to(PICK_STEP)
    } else {
        reach.half().floor_to(PICK_STEP)
    };
    let pair = |half: Length| {
        let places = [x - half, x + half];
        // Both at one height: below the lower of the two places of the top.
        let top = places.map(|x| brief.head(x, x, Length::ZERO)[0]);
        let top = top[0].min(top[1]);
        let y = (top - rules.pick_below_top).max(top.half());
        let y = y.floor_to(PICK_STEP);
        places.map(|x| ShopPoint::new(x, y))
    };
    let is_clear = |p: &ShopPoint| {
        // From an opening half of that is enough: buck and header stiffen the skins there.
        let around = ShopRect::new(p.x, p.y, p.x, p.y).grown(rules.pick_below_top.half());
        keep_out.iter().all(|rect| rect.common(&around).is_none())
    };
    let steps = reach.steps_of(PICK_STEP).max(1);
    (0..steps)
        .flat_map(|step| [wanted + PICK_STEP * step, wanted - PICK_STEP * step])
        .filter(|half| *half > Length::ZERO && *half >= wanted.half() && *half < reach)
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
            let points = ring.0.iter().map(|p| [p.x.to_inches(), p.y.to_inches()]);
            self.add_moments(per_square_inch, moments(&points.collect::<Vec<_>>()));
        }
    }

    /// The part of a plate between two uprights.
    fn add_strip(&mut self, face: &PartFace, strip: [f64; 2], per_square_inch: f64) {
        for ring in std::iter::once(&face.outline).chain(&face.holes) {
            let points = ring.0.iter().map(|p| [p.x.to_inches(), p.y.to_inches()]);
            let points = beyond(&points.collect::<Vec<_>>(), strip[0], 1.0);
            let points = beyond(&points, -strip[1], -1.0);
            let [area, x, y] = moments(&points);
            self.add_moments(per_square_inch, [area, x, y]);
        }
    }

    fn add_moments(&mut self, per_square_inch: f64, [area, x, y]: [f64; 3]) {
        self.weight += per_square_inch * area;
        self.x += per_square_inch * x;
        self.y += per_square_inch * y;
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

/// What of a contour lies where `sign * x` is at least `limit`. Parts that fall apart stay joined along the limit, which has no area.
fn beyond(points: &[[f64; 2]], limit: f64, sign: f64) -> Vec<[f64; 2]> {
    let next = points.iter().cycle().skip(1);
    let mut kept = Vec::new();
    for (a, b) in points.iter().zip(next) {
        let [from, to] = [a, b].map(|p| sign * p[0] - limit);
        if from >= 0.0 {
            kept.push(*a);
        }
        if (from < 0.0) != (to < 0.0) {
            let part = from / (from - to);
            kept.push([sign * limit, a[1] + (b[1] - a[1]) * part]);
        }
    }
    kept
}

/// Signed area and first moments about both axes, inches: holes run clockwise and count below zero.
fn moments(points: &[[f64; 2]]) -> [f64; 3] {
    let next = points.iter().cycle().skip(1);
    let sides = points.iter().zip(next);
    sides.fold([0.0; 3], |[area, mx, my], ([ax, ay], [bx, by])| {
        let cross = ax * by - bx * ay;
        [
            area + cross / 2.0,
            mx + (ax + bx) * cross / 6.0,
            my + (ay + by) * cross / 6.0,
        ]
    })
}

#[cfg(test)]
mod tests {
    use super::super::Lift;
    use super::super::testing::{Scene, plies, reference, spline};
    use super::*;
    use crate::layout::PanelEdge;

    #[test]
    fn bare_panels_weigh_what_the_trade_reckons_by_the_square_foot() {
        // Derived from skins of 40 pcf (Canadian Wood Council, 640 kg/m3) and foam of 1.0 pcf (nominal): 4-1/2 3.219 psf,
        // 6-1/2 3.385, 8-1/4 3.531, 10-1/4 3.698, 12-1/4 3.865. Published range check 3.1 to 4.1 psf.
        let scene = Scene::new("96").panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[]);
        // An 8 x 24 ft blank of 6-1/2, 192 sf: 650 lb.
        let published = [
            ("4-1/2", 3.219),
            ("6-1/2", 3.385),
            ("8-1/4", 3.531),
            ("10-1/4", 3.698),
            ("12-1/4", 3.865),
        ];
        for (name, expected) in published {
            let mut building = scene.building.clone();
            let assembly = scene.rules.assemblies.iter().position(|a| a.name == name);
            building.walls[0].assembly = assembly.unwrap();
            let brief = PanelBrief::new(&building, &scene.layout, &scene.rules, 0).unwrap();
            let face = PartFace {
                outline: brief.bounds().ring(),
                holes: Vec::new(),
            };
            let psf = weigh(
                &brief,
                [&face, &face],
                std::slice::from_ref(&face),
                &Hollows::default(),
                &[],
            )
            .pounds
                / 72.0;
            assert!((psf - expected).abs() < 0.0005, "{name}: {psf}");
            assert!(name != "6-1/2" || (psf * 192.0 - 650.0).abs() < 0.5);
        }
    }

    #[test]
    fn loose_lumber_is_not_lifted() {
        let with = |jacks| {
            Scene::new("96")
                .opening("30, 33, 68, 100", plies("2-2x12"), jacks)
                .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0])
                .made(0)
        };
        let panel = with(1);
        let loose: f64 = panel
            .lumber
            .iter()
            .filter(|l| l.fitted == Fitted::Loose)
            .map(|l| l.weight_lb)
            .sum();
        let fitted: f64 = panel
            .lumber
            .iter()
            .filter(|l| l.fitted == Fitted::Plant)
            .map(|l| l.weight_lb)
            .sum();
        let skins = panel.outer_skin.square_inches() * 2.0 * 0.4375 / 1728.0 * 40.0;
        let foam: f64 = panel
            .core_pieces()
            .map(PartFace::square_inches)
            .sum::<f64>()
            * 5.625
            / 1728.0;
        assert!(loose > 10.0);
        let bored: f64 = bored(&panel.chases).iter().map(|it| it[0]).sum::<f64>() / 1728.0;
        assert!((panel.weight_lb - skins - (foam - bored) - fitted).abs() < 1e-9);
    }

    #[test]
    fn slots_are_out_of_the_foam_and_strips_are_in_with_the_panel_that_has_them() {
        // By hand: slots 1/2 deep, half of a 3 in strip and 1/8 play wide, 105 in high, two at each edge:
        // 4 x 0.5 x 1.625 x 105 = 341.25 cu in of foam at 1.0 pcf, and at each edge half of that.
        let made = |owns: [bool; 2]| {
            let mut scene = Scene::new("192")
                .panel(["0", "47 7/8"], PanelEdge::Free, spline(1, true), &[])
                .panel(
                    ["48", "95 7/8"],
                    spline(0, owns[0]),
                    spline(2, owns[1]),
                    &[],
                )
                .panel(["96", "192"], spline(1, false), PanelEdge::Free, &[]);
            scene.rules.joints.spline = crate::rules::SplineKind::Surface;
            // Chases off this panel's middle would shift its centre: none here.
            scene.rules.chases.diameter = Length::ZERO;
            scene.made(1)
        };
        let skins = 2.0 * 47.875 * 108.0 * 0.4375 * 40.0 / 1728.0;
        let foam = (47.875 * 105.0 * 5.625 - 341.25) / 1728.0;
        let plain = made([false, false]);
        assert!(
            (plain.weight_lb - skins - foam).abs() < 1e-9,
            "{}",
            plain.weight_lb
        );
        assert!((plain.centre_of_gravity[0] - 23.9375).abs() < 1e-9);
        let strips = 2.0 * 3.0 * 105.0 * 0.4375 * 40.0 / 1728.0;
        let with = made([false, true]);
        assert!((with.weight_lb - skins - foam - strips).abs() < 1e-9);
        // The strips' middle lies half a gap beyond the right edge.
        let x = (plain.weight_lb * 23.9375 + strips * 47.9375) / (plain.weight_lb + strips);
        assert!((with.centre_of_gravity[0] - x).abs() < 1e-9);
    }

    #[test]
    fn chases_and_the_hollows_behind_boxes_weigh_nothing() {
        //   ┊       ┊│ 44     level chases from 1 1/2 to 46 3/8, one upright at 43 7/8 from 1 1/2 to 106 1/2, 1 1/2 in diameter:
        //   │┄┄┄┄┄┄┄┊│ 16     by hand π/4 · 2.25 · (2 · 44.875 + 105) less twice 16/3 · 0.75³, which two round bars that cross
        //   │  ▫    ┊│        share (Steinmetz): 344.152 − 4.5 = 339.652 cu in; a box of 2 1/4 x 3 3/4, 2 in deep: 16.875
        let panel = |spacious: bool, has_box: bool| {
            let mut scene = Scene::new("96")
                .panel(["0", "47 7/8"], PanelEdge::Free, spline(1, true), &[])
                .panel(["48", "96"], spline(0, false), PanelEdge::Free, &[]);
            if spacious {
                scene.rules.chases.diameter = Length::ZERO;
            }
            if has_box {
                scene.layout.walls[0].boxes.push(crate::rules::WiringBox {
                    at: Length::inches(20),
                    height: Length::inches(16),
                    size: [Length::fraction(2, 1, 4), Length::fraction(3, 3, 4)],
                    depth: None,
                    what: "receptacle".to_owned(),
                });
            }
            scene.made(0)
        };
        let (solid, bored) = (panel(true, false), panel(false, false));
        let bars = std::f64::consts::FRAC_PI_4 * 2.25 * (2.0 * 44.875 + 105.0) - 4.5;
        assert!((bars - 339.652).abs() < 5e-4);
        let foam = bars / 1728.0;
        assert!((solid.weight_lb - bored.weight_lb - foam).abs() < 1e-9);
        // Moment of the level ones about x = 23.9375, of the upright one at 43.875 less what it shares.
        let level = std::f64::consts::FRAC_PI_4 * 2.25 * 89.75;
        let moment = (level * 23.9375 + (bars - level) * 43.875) / 1728.0;
        let x = (solid.weight_lb * solid.centre_of_gravity[0] - moment) / bored.weight_lb;
        assert!((bored.centre_of_gravity[0] - x).abs() < 1e-6);
        let boxed = panel(false, true);
        let skin = 2.25 * 3.75 * 0.4375 * 40.0 / 1728.0;
        let lost = bored.weight_lb - boxed.weight_lb - skin - 16.875 / 1728.0;
        assert!(lost.abs() < 1e-9, "{lost}");
        assert_eq!(boxed.inner_cuts[0].depth, Length::fraction(2, 7, 16));
    }

    #[test]
    fn lifts_change_at_their_limits() {
        let rules = reference().rules.lifts;
        assert_eq!(lift(150.0, &rules), Lift::Hand);
        assert_eq!(lift(150.1, &rules), Lift::Forklift);
        assert_eq!(lift(600.1, &rules), Lift::Crane);
    }

    #[test]
    fn picks_move_together_out_of_an_opening() {
        //   ┌───────▲──────◐──────▲───────┐      a high window where the picks would be: they move out on both sides
        //   │        └─────────────┘      │
        let scene = Scene::new("96")
            .opening("20, 60, 76, 103", crate::rules::HeaderMember::None, 0)
            .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0]);
        let panel = scene.made(0);
        let [a, b] = [panel.pick_points[0], panel.pick_points[1]];
        assert!(
            a.x < Length::inches(20) && b.x > Length::inches(76),
            "{a:?} {b:?}"
        );
        assert_eq!(a.x + b.x, Length::inches(96));
    }
}
