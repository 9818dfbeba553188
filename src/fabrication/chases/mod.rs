//! Round chases for wiring through the foam.
//!
//! ```text
//!   ┌──────┊───────────────────┊─┐     ┄ horizontal, at the same heights above the deck in every panel, so that they meet
//!   │      ┊   ┌─────────┐     ┊ │       across the joints
//!   │┄┄┄┄┄┄┊┄┄ │         │ ┄┄┄┄┊┄│  44   stopped clear of the lining, picked up by a vertical one on each side
//!   │      ┊   └─────────┘     ┊ │
//!   │┄┄┄┄┄┄┊┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┊┄│  16
//!   └──────┊───────────────────┊─┘     ┊ vertical, from sole to top plate: left of each joint, beside latches, at spacing
//! ```
//!
//! *Promises.* A chase lies in foam over its whole length, clear of header, jacks and bucks by the rule's distance. Plates, studs
//! and splines at its ends are drilled on site. Whatever a rule wants and a panel does not allow is a finding.

mod clip;
mod horizontal;
mod vertical;

pub(super) use clip::clip;

use super::brief::PanelBrief;
use super::inserts::Solid;
use super::lumber::{OpeningFrame, is_pier};
use super::region::height_at;
use super::{Chase, codes};
use crate::building::RoughOpening;
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::layout::{PanelEdge, PanelKind};
use crate::units::Length;

/// Chases with what the sheet has to say about them.
#[derive(Clone, Debug, Default)]
pub(super) struct Chases {
    pub(super) chases: Vec<Chase>,
    pub(super) notes: Vec<String>,
    pub(super) findings: Vec<Finding>,
}

/// Draws all chases of a panel; `contour` is the core's before openings are taken out, `solids` stand in the core.
pub(super) fn draw_chases(
    brief: &PanelBrief<'_>,
    contour: &ShopRing,
    frames: &[OpeningFrame],
    solids: &[Solid],
) -> Chases {
    if is_pier(brief) {
        let note = "solid lumber: no chase passes through it; wires go over it or under it";
        return Chases {
            notes: vec![note.to_owned()],
            ..Chases::default()
        };
    }
    let foam = contour.bounds().unwrap_or_default();
    let field = Field {
        brief,
        contour,
        foam,
        obstacles: obstacles(brief, foam, frames),
        posts: posts(brief, solids),
    };
    let mut drawn = Chases::default();
    if brief.panel.kind == PanelKind::Header {
        return drawn;
    }
    let stops = horizontal::draw(&field, &mut drawn);
    match brief.panel.kind {
        PanelKind::Sill if drawn.chases.is_empty() => {}
        PanelKind::Sill => vertical::draw_middle(&field, &mut drawn),
        PanelKind::Wall | PanelKind::Header => vertical::draw(&field, &stops, &mut drawn),
    }
    drawn
}

/// Foam with what stands in its way.
struct Field<'a> {
    brief: &'a PanelBrief<'a>,
    contour: &'a ShopRing,
    /// The contour's bounds.
    foam: ShopRect,
    obstacles: Vec<Obstacle<'a>>,
    /// From where to where posts and pockets stand in the way of what is upright.
    posts: Vec<(Length, Length)>,
}

/// An opening in the panel or beside it.
struct Obstacle<'a> {
    opening: &'a RoughOpening,
    /// Rough opening.
    rough: ShopRect,
    /// Where the foam gives way to its lining.
    hole: ShopRect,
    /// True when foam of this panel lies to its left.
    has_left: bool,
    /// True when foam of this panel lies to its right.
    has_right: bool,
}

fn obstacles<'a>(
    brief: &PanelBrief<'a>,
    foam: ShopRect,
    frames: &[OpeningFrame],
) -> Vec<Obstacle<'a>> {
    let cut = frames.iter().filter_map(|frame| {
        let opening = brief.opening(frame.index)?;
        Some(Obstacle {
            opening,
            rough: frame.rough,
            hole: frame.foam_hole,
            has_left: true,
            has_right: true,
        })
    });
    // The jamb pack of a framed opening stands in this panel's edge over its full height.
    let edges = [(brief.panel.left, true), (brief.panel.right, false)];
    let beside = edges.into_iter().filter_map(|(edge, is_left)| {
        let PanelEdge::Jamb { opening } = edge else {
            return None;
        };
        let opening = brief.opening(opening)?;
        let (rough, bounds) = (brief.rough(opening), brief.bounds());
        let hole = if is_left {
            ShopRect {
                x0: rough.x0.min(bounds.x0),
                x1: foam.x0,
                ..bounds
            }
        } else {
            ShopRect {
                x0: foam.x1,
                x1: rough.x1.max(bounds.x1),
                ..bounds
            }
        };
        (brief.panel.kind == PanelKind::Wall).then_some(Obstacle {
            opening,
            rough,
            hole,
            has_left: !is_left,
            has_right: is_left,
        })
    });
    let mut all: Vec<Obstacle<'a>> = cut.chain(beside).collect();
    all.sort_by_key(|obstacle| obstacle.hole.x0);
    all
}

impl Field<'_> {
    fn radius(&self) -> Length {
        self.brief.rules.chases.diameter.half()
    }

    /// From the middle of a chase to lumber, at least.
    fn clear(&self) -> Length {
        self.radius() + self.brief.rules.chases.clear_of_lumber
    }

    /// True where a post or a pocket stands in the way of an upright chase.
    fn is_at_post(&self, x: Length) -> bool {
        let clear = self.clear();
        let mut posts = self.posts.iter();
        posts.any(|(a, b)| *a - clear < x && x < *b + clear)
    }

    /// From where to where foam stands over x, for a chase's width on both sides of it.
    fn upright(&self, x: Length) -> (Length, Length) {
        let sides = [x - self.radius(), x + self.radius()].map(|x| self.crossings(x, false));
        let at = |ys: &Vec<Length>| Some((*ys.first()?, *ys.last()?));
        let spans = sides.iter().filter_map(at);
        spans
            .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
            .unwrap_or((self.foam.y0, self.foam.y1))
    }

    /// From where to where foam lies at y, clear of plates above and below; `None` where there is none.
    fn level(&self, y: Length) -> Option<(Length, Length)> {
        let lines = [y - self.clear(), y, y + self.clear()].map(|y| self.crossings(y, true));
        let at = |xs: &Vec<Length>| Some((*xs.first()?, *xs.last()?));
        let spans: Option<Vec<_>> = lines.iter().map(at).collect();
        let span = spans?
            .into_iter()
            .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))?;
        (span.0 < span.1).then_some(span)
    }

    /// Where an upright or level line crosses the contour, rising.
    fn crossings(&self, at: Length, is_level: bool) -> Vec<Length> {
        let axes = |p: ShopPoint| {
            if is_level {
                ShopPoint::new(p.y, p.x)
            } else {
                p
            }
        };
        let sides = self.contour.sides().map(|(a, b)| (axes(a), axes(b)));
        let met = sides.filter(|(a, b)| a.x != b.x && a.x.min(b.x) <= at && at <= a.x.max(b.x));
        let mut found: Vec<Length> = met.map(|side| height_at(side, at)).collect();
        found.sort_unstable();
        found
    }

    fn place(&self, opening: Option<&RoughOpening>) -> Place {
        Place {
            storey: Some(self.brief.wall.storey.clone()),
            element: opening.map(|o| o.id.clone()),
            ..Place::panel(&self.brief.panel.mark)
        }
    }

    fn without_room(&self, opening: Option<&RoughOpening>, what: &str) -> Finding {
        Finding::doubt(
            codes::CHASE_WITHOUT_ROOM,
            self.place(opening),
            format!("there is no room for {what}"),
            "bring the wire up in the next panel, or move the joint away from the opening",
        )
    }
}

/// Upright lumber and pockets that reach the middle of the core. A level board is no post: a chase stops at it.
fn posts(brief: &PanelBrief<'_>, solids: &[Solid]) -> Vec<(Length, Length)> {
    let radius = brief.rules.chases.diameter.half();
    let [near, far] = [brief.core_middle() - radius, brief.core_middle() + radius];
    let stands =
        |it: &&Solid| it.rect.height() > it.rect.width() && it.depth[0] < far && near < it.depth[1];
    let posts = solids.iter().filter(stands);
    posts.map(|it| (it.rect.x0, it.rect.x1)).collect()
}

/// What is left of the span from `from` to `to` outside the blocks, left to right.
fn free(from: Length, to: Length, blocks: &mut [(Length, Length)]) -> Vec<(Length, Length)> {
    blocks.sort_unstable();
    let mut spans = Vec::new();
    let mut start = from;
    for (low, high) in blocks.iter() {
        if *low > start {
            spans.push((start, (*low).min(to)));
        }
        start = start.max(*high);
    }
    spans.push((start, to));
    spans.retain(|(a, b)| a < b);
    spans
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Scene, corner, inches, plies, reference, spline};
    use super::super::{Chase, FabricatedPanel};
    use crate::layout::{PanelEdge, WallEnd};
    use crate::plan::Hinge;
    use crate::rules::HeaderMember;

    fn line(chase: &Chase) -> String {
        format!(
            "{},{} {},{}",
            chase.from.x.to_inches(),
            chase.from.y.to_inches(),
            chase.to.x.to_inches(),
            chase.to.y.to_inches()
        )
    }

    #[track_caller]
    fn check(panel: &FabricatedPanel, expected: &[&str]) {
        let found: Vec<String> = panel.chases.iter().map(line).collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn a_plain_panel_has_two_level_chases_and_one_left_of_its_joint() {
        //   1 1/2                46 3/8
        //    │┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┊┄│ 44     joint chase at 47 7/8 - 4
        //    │┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┊┄│ 16
        let scene = Scene::new("96")
            .panel(["0", "47 7/8"], PanelEdge::Free, spline(1, true), &[])
            .panel(["48", "96"], spline(0, false), PanelEdge::Free, &[]);
        check(
            &scene.made(0),
            &[
                "1.5,16 46.375,16",
                "1.5,44 46.375,44",
                "43.875,1.5 43.875,106.5",
            ],
        );
        // The last panel has no joint to its right: its chase stands 48 in from the neighbour's, at 43 7/8.
        check(
            &scene.made(1),
            &[
                "1.5,16 46.5,16",
                "1.5,44 46.5,44",
                "43.875,1.5 43.875,106.5",
            ],
        );
    }

    #[test]
    fn a_wide_panel_has_a_second_one_at_spacing() {
        let scene = Scene::new("192")
            .panel(["0", "95 7/8"], PanelEdge::Free, spline(1, true), &[])
            .panel(["96", "192"], spline(0, false), PanelEdge::Free, &[]);
        check(
            &scene.made(0),
            &[
                "1.5,16 94.375,16",
                "1.5,44 94.375,44",
                "43.875,1.5 43.875,106.5",
                "91.875,1.5 91.875,106.5",
            ],
        );
    }

    #[test]
    fn at_a_window_the_upper_chase_stops_clear_and_is_picked_up_on_both_sides() {
        // Foam ends 1 1/2 in beside the rough opening of 29 3/4 to 66 1/4; the chase stops 1 in before it. On the left the pick-up
        // stands 6 in from the rough opening, on the right the joint's chase serves.
        let panel = reference().made(0);
        check(
            &panel,
            &[
                "1.5,16 94.375,16",
                "1.5,44 27.25,44",
                "68.75,44 94.375,44",
                "23.75,1.5 23.75,106.5",
                "91.875,1.5 91.875,106.5",
            ],
        );
        assert!(
            panel.notes.iter().any(|note| note
                == "44\" chase stops at O1: the wire goes down a vertical chase and crosses below the sill in the 16\" chase"),
            "{:?}",
            panel.notes
        );
    }

    fn door(hinge: Option<Hinge>) -> Scene {
        let mut scene = Scene::new("96")
            .opening("30, 0, 68, 82", plies("2-2x8"), 1)
            .panel(["0", "96"], corner(WallEnd::Through), PanelEdge::Free, &[0]);
        scene.building.walls[0].openings[0].hinge = hinge;
        scene
    }

    #[test]
    fn beside_a_latch_stands_a_chase_6_in_from_the_rough_opening() {
        // Hung on its left jamb, so the latch is on the right: 68 + 6. Left of it the pick-up also has 6 in.
        let expected = [
            "1.5,16 27.5,16",
            "70.5,16 94.5,16",
            "1.5,44 27.5,44",
            "70.5,44 94.5,44",
            "24,1.5 24,106.5",
            "74,1.5 74,106.5",
        ];
        let panel = door(Some(Hinge::Start)).made(0);
        check(&panel, &expected);
        assert!(panel.chases[5].rule == "chases.from_latch");
        assert!(panel.chases[4].rule == "chases.clear_of_lumber");
        assert!(
            panel
                .notes
                .iter()
                .any(|n| n.contains("over the head through the top plate")),
            "{:?}",
            panel.notes
        );
        // Swing unknown: both sides are latch sides.
        let unknown = door(None).made(0);
        assert!(unknown.chases[4].rule == "chases.from_latch");
        assert!(unknown.chases[5].rule == "chases.from_latch");
    }

    #[test]
    fn a_leg_too_narrow_for_a_chase_is_a_doubt_and_not_a_drilled_jamb() {
        // Foam of the right leg: 90 + 1 1/2 to 96 - 1 1/2, 3 in wide; a chase wants 1 1/2 + 2 x 1.
        let scene = Scene::new("96")
            .opening("30, 20, 90, 82", HeaderMember::None, 0)
            .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0]);
        let made = scene.make();
        let codes: Vec<&str> = made.findings.iter().map(|f| f.code.name()).collect();
        // 96 wide without a joint: one in the middle, which is in the opening, is dropped.
        assert_eq!(codes, ["FAB-07", "FAB-08", "FAB-31"]);
        let mut upright = made.output.panels[0]
            .chases
            .iter()
            .filter(|c| c.from.x == c.to.x);
        assert!(upright.all(|c| c.from.x < inches("30")));
    }

    #[test]
    fn the_last_panel_before_a_bevelled_corner_still_has_its_upright_chase() {
        // 48 in from the neighbour's is 43 7/8; the bevelled stud ends the foam at 45.03, less 1 3/4: it moves in to 43.28.
        let end = WallEnd::Mitre { bevel_deg: 22.5 };
        let scene = Scene::new("96")
            .panel(["0", "47 7/8"], PanelEdge::Free, spline(1, true), &[])
            .panel(["48", "96"], spline(0, false), corner(end), &[]);
        let upright = scene.made(1).chases[2];
        assert!((upright.from.x.to_inches() - 43.280_217_622).abs() < 1e-6);
    }

    #[test]
    fn a_leg_between_opening_and_joint_without_room_is_spoken_of_once() {
        let scene = Scene::new("144")
            .opening("50, 33, 89 7/8, 82", HeaderMember::None, 0)
            .panel(["0", "95 7/8"], PanelEdge::Free, spline(1, true), &[0])
            .panel(["96", "144"], spline(0, false), PanelEdge::Free, &[]);
        let found = scene.make().findings;
        let doubts = found.iter().filter(|f| f.code.name() == "FAB-08");
        assert_eq!(doubts.count(), 1);
    }

    #[test]
    fn what_a_rule_wants_in_an_opening_moves_or_is_dropped_and_two_asks_in_one_place_are_told() {
        // Wanted in the middle at 48: in the frame of a window 28 1/2 .. 47 1/2 with its clear 1 3/4 it moves to 49 1/4.
        let scene = |bounds: &str| {
            Scene::new("96")
                .opening(bounds, HeaderMember::None, 0)
                .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0])
        };
        let told = |scene: &Scene| {
            let found = scene.make().findings;
            let mut own = found.iter().filter(|f| f.code.name() == "FAB-31");
            own.next().map(|f| f.message.clone())
        };
        assert_eq!(
            told(&scene("30, 60, 46, 82")).as_deref(),
            Some(
                "the upright chase wanted 48 from the left end would run into the frame of O1: it stands 49 1/4 from the left end instead"
            )
        );
        let dropped = told(&scene("30, 60, 66, 82"));
        assert!(dropped.is_some_and(|it| it.ends_with("it is dropped")));
        assert_eq!(told(&scene("10, 60, 26, 82")), None);
        // Two asked for 2 in apart: 1 1/2 and an inch of foam between do not fit.
        let mut asked = scene("10, 60, 26, 82");
        asked.layout.walls[0].chases = vec![inches("60"), inches("62")];
        let found = asked.make();
        let refused = found.findings.iter().find(|f| f.code.name() == "FAB-08");
        assert!(refused.is_some_and(|f| f.message.contains("asks for at 62\"")));
    }

    #[test]
    fn two_vertical_chases_closer_than_the_rule_are_noted() {
        let scene = Scene::new("144")
            .opening("20, 0, 58, 82", HeaderMember::None, 0)
            .panel(["0", "77 7/8"], PanelEdge::Free, spline(1, true), &[0])
            .panel(["78", "144"], spline(0, false), PanelEdge::Free, &[]);
        let made = scene.make();
        // Latch side 58 + 6 = 64, joint 77 7/8 - 4 = 73 7/8.
        let close = made.findings.iter().find(|f| f.code.name() == "FAB-09");
        assert_eq!(
            close.map(|f| f.message.as_str()),
            Some("vertical chases at 64\" and 73 7/8\" are 9 7/8\" apart; the rule wants 24\"")
        );
    }

    #[test]
    fn a_height_in_the_plate_is_reported_once_for_the_wall() {
        let mut scene = reference();
        scene.rules.chases.horizontal = vec![inches("2"), inches("44")];
        let found = scene.make().findings;
        let outside: Vec<_> = found.iter().filter(|f| f.code.name() == "FAB-10").collect();
        assert_eq!(outside.len(), 1);
        assert_eq!(outside[0].place.element.as_deref(), Some("X1"));
    }
}
