//! What lines an opening cut in one panel.
//!
//! ```text
//!   in the recess: hole = rough opening    lining the hole
//!   ░░▓▓▓▓▓▓▓▓░░  head buck                ░░░░░░░░░░
//!   ░░▓┌────┐▓░░  jambs between            ░░▓▓▓▓▓▓░░   skin hole
//!   ░░▓│    │▓░░                           ░░▓┌──┐▓░░
//!   ░░▓└────┘▓░░                           ░░▓│  │▓░░   rough opening
//!   ░░▓▓▓▓▓▓▓▓░░  sill buck, under them    ░░▓▓▓▓▓▓░░
//! ```
//!
//! Under a lumber header the jambs are jacks, as many as job or plant names. They stand on the sill buck, a door's on the sole
//! plate; there is no king stud, because the skins run past the header's ends. A header's load so passes from jacks through
//! sill buck into the skins: the sheet says so, and an engineer has to agree.

use super::super::brief::PanelBrief;
use super::super::codes;
use super::headers::{
    HeaderStack, StackPlace, columns_beside, has_jacks, header_stack, sizing_note, under_plate_note,
};
use super::piers::{HalfPier, fill, half_piers};
use super::{Home, Piece, PieceKind, Side, piece, section_name, stud};
use crate::building::RoughOpening;
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::rules::{BuckConvention, SoleAtDoors};
use crate::units::Length;

/// An opening with its lining: what it takes out of skins and foam, and what is put in.
#[derive(Clone, Debug)]
pub(in super::super) struct OpeningFrame {
    /// Index into the wall's openings.
    pub(in super::super) index: usize,
    pub(in super::super) id: String,
    /// Rough opening as far as it lies in the panel.
    pub(in super::super) rough: ShopRect,
    /// Hole in the skins as far as it lies in the panel.
    pub(in super::super) skin_hole: ShopRect,
    /// What the foam gives way to.
    pub(in super::super) foam_hole: ShopRect,
    pub(in super::super) pieces: Vec<Piece>,
    pub(in super::super) notes: Vec<String>,
    pub(in super::super) findings: Vec<Finding>,
}

/// Lines one opening; `None` when the layout names an opening that the wall does not have.
pub(in super::super) fn frame_opening(
    brief: &PanelBrief<'_>,
    index: usize,
) -> Option<OpeningFrame> {
    let opening = brief.opening(index)?;
    let frame = Frame::new(brief, opening, index);
    let mut pieces = frame.head.pieces.clone();
    pieces.extend(frame.sill());
    pieces.extend(frame.jambs());
    pieces.extend(frame.lining());
    let (bridge, bridge_note) = frame.bridge();
    pieces.extend(bridge);
    let is_under_plate = frame.is_framed() && frame.head.height == Length::ZERO;
    let mut notes = vec![if is_under_plate {
        under_plate_note(opening)
    } else {
        sizing_note(opening)
    }];
    notes.extend(bridge_note);
    if has_jacks(opening) && !frame.is_door() {
        notes.push(format!(
            "jacks at {} stand on the sill buck, which passes the header's load into {}: engineer to agree",
            opening.id,
            if brief.assembly.is_liner() {
                "the one skin"
            } else {
                "both skins"
            }
        ));
    }
    notes.extend(frame.piers[1].map(|pier| pier.note(brief, opening)));
    let mut findings = frame.head.findings.clone();
    let skin_hole = frame.skin_hole();
    let bounds = brief.bounds();
    let [_, low] = brief.head(skin_hole.x0, skin_hole.x1, Length::ZERO);
    if skin_hole.x0 <= bounds.x0 || skin_hole.x1 >= bounds.x1 || skin_hole.y1 >= low {
        findings.push(does_not_fit(brief, opening));
    }
    let mut skin_hole = skin_hole.common(&bounds).unwrap_or(skin_hole);
    if frame.is_door() {
        skin_hole.y0 -= brief.drop;
    }
    Some(OpeningFrame {
        index,
        id: opening.id.clone(),
        rough: frame.rough.common(&bounds).unwrap_or(frame.rough),
        skin_hole,
        foam_hole: frame.foam_hole(),
        pieces,
        notes,
        findings,
    })
}

struct Frame<'a> {
    brief: &'a PanelBrief<'a>,
    opening: &'a RoughOpening,
    index: usize,
    rough: ShopRect,
    head: HeaderStack,
    /// Narrow piers of solid lumber at its left and right.
    piers: [Option<HalfPier>; 2],
}

impl<'a> Frame<'a> {
    fn new(brief: &'a PanelBrief<'a>, opening: &'a RoughOpening, index: usize) -> Self {
        let rough = brief.rough(opening);
        let mut frame = Self {
            brief,
            opening,
            index,
            rough,
            head: HeaderStack::default(),
            piers: [None; 2],
        };
        if frame.is_framed() {
            frame.piers = half_piers(brief, index);
            let hole = frame.skin_hole();
            let [left, right] = frame.packs();
            let place = StackPlace {
                home: Home::Opening(index, Side::Head),
                x0: hole.x0 - left,
                x1: hole.x1 + right,
                y0: hole.y1,
            };
            frame.head = header_stack(brief, opening, &place);
        }
        frame
    }

    fn is_door(&self) -> bool {
        self.brief.wall.is_door(self.opening)
    }

    fn is_lined(&self) -> bool {
        self.brief.rules.openings.buck == BuckConvention::Lining
    }

    /// True when lumber stands in the recess round the hole; a lined hole without header needs none.
    fn is_framed(&self) -> bool {
        !self.is_lined() || has_jacks(self.opening)
    }

    fn thickness(&self) -> Length {
        self.brief.stud.thickness
    }

    /// Studs in the recess on each side: the jacks, or without a header the buck.
    fn n_columns(&self) -> i64 {
        if self.is_framed() {
            columns_beside(self.opening)
        } else {
            0
        }
    }

    /// From the edge of the skins to the far side of the studs, at its left and right: a narrow pier's middle ends them.
    fn packs(&self) -> [Length; 2] {
        let pack = self.thickness() * self.n_columns();
        self.piers.map(|pier| pier.map_or(pack, |pier| pier.half))
    }

    /// The rough opening, with a lining on all sides of it but not below a door.
    fn skin_hole(&self) -> ShopRect {
        let liner = if self.is_lined() {
            self.thickness()
        } else {
            Length::ZERO
        };
        let mut hole = self.rough.grown(liner);
        if self.is_door() {
            hole.y0 = self.rough.y0;
        }
        hole
    }

    fn foam_hole(&self) -> ShopRect {
        let recesses = &self.brief.rules.recesses;
        let mut hole = self.skin_hole();
        if !self.is_framed() {
            return hole;
        }
        let spare = (recesses.buck - self.thickness()).max(Length::ZERO) + recesses.seat;
        let packs = self.packs();
        let [left, right] = [0, 1].map(|side| match self.piers[side] {
            None => packs[side] + spare,
            Some(pier) => pier.half,
        });
        hole.x0 -= left;
        hole.x1 += right;
        hole.y1 += self.head.height + spare;
        if !self.is_door() {
            hole.y0 -= self.thickness() + spare;
        }
        hole
    }

    fn kind<'k>(&self, side: Side, usage: &'k str, section: &'k str) -> PieceKind<'k> {
        PieceKind {
            home: Home::Opening(self.index, side),
            usage,
            section,
            rule: "openings.buck",
        }
    }

    /// Where the studs beside a hole begin: on the sill buck, a door's on the sole plate.
    fn foot(&self, hole: ShopRect) -> Length {
        if self.is_door() {
            let sole = self.brief.rules.plates.thickness;
            self.brief.foot(hole.x0, hole.x1, sole)
        } else {
            hole.y0
        }
    }

    fn sill(&self) -> Option<Piece> {
        if self.is_door() || !self.is_framed() {
            return None;
        }
        let hole = self.skin_hole();
        let [left, right] = self.packs();
        let rect = ShopRect::new(
            hole.x0 - left,
            hole.y0 - self.thickness(),
            hole.x1 + right,
            hole.y0,
        );
        let kind = self.kind(Side::Sill, "buck sill", &self.brief.assembly.lumber);
        Some(stud(self.brief, &kind, rect, false))
    }

    fn jambs(&self) -> Vec<Piece> {
        let (brief, t, hole) = (self.brief, self.thickness(), self.skin_hole());
        let (y0, y1) = (self.foot(hole), hole.y1);
        let mut pieces = Vec::new();
        for place in 0..self.n_columns() {
            let near = t * place;
            for (side, x0) in [
                (Side::Left, hole.x0 - near - t),
                (Side::Right, hole.x1 + near),
            ] {
                if self.piers[usize::from(side == Side::Right)].is_some() {
                    continue;
                }
                let mut kind = self.kind(side, "buck jamb", &brief.assembly.lumber);
                if has_jacks(self.opening) {
                    kind.usage = "jack";
                    kind.rule = &self.opening.header_rule;
                }
                let rect = ShopRect::new(x0, y0, x0 + t, y1);
                pieces.push(stud(brief, &kind, rect, true));
            }
        }
        let [left, right] = self.piers;
        let left = left.map(|pier| (Side::Left, hole.x0 - pier.filled, hole.x0));
        let right = right.map(|pier| (Side::Right, hole.x1, hole.x1 + pier.filled));
        for (side, x0, x1) in left.into_iter().chain(right) {
            let home = Home::Opening(self.index, side);
            let zone = ShopRect::new(x0, y0, x1.max(x0), y1);
            pieces.extend(fill(brief, home, "pier stud", "openings.least_leg", zone));
        }
        pieces
    }

    /// The lining of the hole, as wide as the panel is thick; nothing when bucks lie in the recess.
    fn lining(&self) -> Vec<Piece> {
        if !self.is_lined() {
            return Vec::new();
        }
        let (r, t, foot) = (self.rough, self.thickness(), self.foot(self.rough));
        let head = ShopRect::new(r.x0 - t, r.y1, r.x1 + t, r.y1 + t);
        let sill = ShopRect::new(r.x0 - t, r.y0 - t, r.x1 + t, r.y0);
        let left = ShopRect::new(r.x0 - t, foot, r.x0, r.y1);
        let right = ShopRect::new(r.x1, foot, r.x1 + t, r.y1);
        let through = self.brief.assembly.thickness();
        let section = section_name(self.brief, through);
        let depth = [Length::ZERO, through];
        let mut pieces = Vec::new();
        for (side, usage, rect, upright) in [
            (Side::Head, "buck head, lining", head, false),
            (Side::Sill, "buck sill, lining", sill, false),
            (Side::Left, "buck jamb, lining", left, true),
            (Side::Right, "buck jamb, lining", right, true),
        ] {
            if side != Side::Sill || !self.is_door() {
                let kind = self.kind(side, usage, &section);
                pieces.push(piece(self.brief, &kind, rect, upright, depth));
            }
        }
        pieces
    }

    /// A brace across a door's legs, on edge in the opening, with the note that it has to go.
    fn bridge(&self) -> (Option<Piece>, Option<String>) {
        let (brief, limit) = (self.brief, self.brief.rules.openings.door_bridge);
        let section = brief
            .rules
            .lumber
            .sections
            .iter()
            .filter(|(_, s)| s.thickness == brief.stud.thickness && s.width <= limit)
            .max_by_key(|(name, s)| (s.width, name.as_str()));
        let (Some((name, section)), true) = (section, self.is_door()) else {
            return (None, None);
        };
        let sole = match brief.rules.plates.sole_at_doors {
            SoleAtDoors::Stops => Length::ZERO,
            SoleAtDoors::RunsThrough => brief.rules.plates.thickness,
        };
        let foot = brief.foot(self.rough.x0, self.rough.x1, sole);
        let rect = ShopRect::new(self.rough.x0, foot, self.rough.x1, foot + section.width);
        if rect.y1 >= self.rough.y1 {
            return (None, None);
        }
        let near = (brief.assembly.thickness() - section.thickness).half();
        let kind = PieceKind {
            home: Home::Bottom,
            usage: "bridge, cut out on site",
            section: name,
            rule: "openings.door_bridge",
        };
        let bridge = piece(brief, &kind, rect, false, [near, near + section.thickness]);
        let note = format!(
            "bridge {name} across {} holds the legs for saw, truck and crane: cut out on site when the panel is fixed",
            self.opening.id
        );
        (Some(bridge), Some(note))
    }
}

fn does_not_fit(brief: &PanelBrief<'_>, opening: &RoughOpening) -> Finding {
    let place = Place {
        storey: Some(brief.wall.storey.clone()),
        element: Some(opening.id.clone()),
        ..Place::panel(&brief.panel.mark)
    }
    .with_sources(&opening.sources);
    Finding::fault(
        codes::OPENING_DOES_NOT_FIT,
        place,
        format!(
            "opening {} leaves no panel beside or over it: panel {} wide and {} high",
            opening.id, brief.width, brief.height
        ),
        "lower the head, raise the wall, or frame the opening between panels (openings.whole_up_to)",
    )
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{Scene, corner, plies};
    use super::super::super::{EdgeContour, EdgeJoint, FabricatedPanel};
    use crate::layout::{PanelEdge, WallEnd};
    use crate::rules::{BuckConvention, HeaderMember, SoleAtDoors};

    /// Usage, section and rectangle of each piece beyond the two end studs.
    #[track_caller]
    fn check(panel: &FabricatedPanel, expected: &[&str]) {
        let found: Vec<String> = panel
            .lumber
            .iter()
            .skip(2)
            .map(|l| {
                let r = l.rect;
                let sides = [r.x0, r.y0, r.x1, r.y1].map(|side| side.to_inches().to_string());
                format!("{} {} {}", l.usage, l.section, sides.join(" "))
            })
            .collect();
        assert_eq!(found, expected);
    }

    fn scene(opening: &str, header: HeaderMember, jacks: u32) -> Scene {
        Scene::new("96").opening(opening, header, jacks).panel(
            ["0", "96"],
            corner(WallEnd::Through),
            PanelEdge::Free,
            &[0],
        )
    }

    #[test]
    fn a_door_is_a_notch_with_legs_and_a_bridge() {
        //   ┌───────────────┐ 108      header 2-2x8 on a flat buck over 82, both 1 1/2 past the rough jambs
        //   │   ▓▓▓▓▓▓▓▓▓   │          one jack on each side, on the sole plate
        //   │   ▓┌─────┐▓   │  82      bridge 5 1/2 high between the jambs, on the deck
        //   │   ▓│  O1 │▓   │
        //   └────┘▒▒▒▒▒└────┘   0
        //   0    30    68   96
        let panel = scene("30, 0, 68, 82", plies("2-2x8"), 1).made(0);
        let outline: Vec<[f64; 2]> = panel
            .outer_skin
            .outline
            .0
            .iter()
            .map(|p| [p.x.to_inches(), p.y.to_inches()])
            .collect();
        assert_eq!(
            outline,
            [
                [0.0, 0.0],
                [30.0, 0.0],
                [30.0, 82.0],
                [68.0, 82.0],
                [68.0, 0.0],
                [96.0, 0.0],
                [96.0, 108.0],
                [0.0, 108.0],
            ]
        );
        check(
            &panel,
            &[
                "buck head 2x6 28.5 82 69.5 83.5",
                "header 2x8 28.5 83.5 69.5 90.75",
                "header 2x8 28.5 83.5 69.5 90.75",
                "header filler EPS 2 5/8 x 7 1/4 28.5 83.5 69.5 90.75",
                "jack 2x6 28.5 1.5 30 82",
                "jack 2x6 68 1.5 69.5 82",
                "bridge, cut out on site 2x6 30 0 68 5.5",
            ],
        );
        // The foam gives way to head buck and header as well: 1 1/2 + 7 1/4 over the head.
        let joints: Vec<(EdgeJoint, f64)> = panel
            .edges
            .iter()
            .map(|e| (e.joint, e.recess.to_inches()))
            .collect();
        assert_eq!(
            joints,
            [
                (EdgeJoint::Plate, 1.5),
                (EdgeJoint::Buck, 1.5),
                (EdgeJoint::Buck, 8.75),
                (EdgeJoint::Buck, 1.5),
                (EdgeJoint::Plate, 1.5),
                (EdgeJoint::Free, 1.5),
                (EdgeJoint::Plate, 1.5),
                (EdgeJoint::Corner, 1.5),
            ]
        );
        assert!(
            panel
                .edges
                .iter()
                .all(|e| e.contour == EdgeContour::Outline)
        );
        assert!(panel.notes.iter().any(|n| n.contains("cut out on site")));
        assert!(
            panel
                .notes
                .iter()
                .any(|n| n.contains("not sized: engineer"))
        );
    }

    #[test]
    fn a_bridge_stands_on_a_sole_plate_that_runs_through() {
        let mut scene = scene("30, 0, 68, 82", HeaderMember::None, 0);
        scene.rules.plates.sole_at_doors = SoleAtDoors::RunsThrough;
        check(
            &scene.made(0),
            &[
                "buck head 2x6 28.5 82 69.5 83.5",
                "buck jamb 2x6 28.5 1.5 30 82",
                "buck jamb 2x6 68 1.5 69.5 82",
                "bridge, cut out on site 2x6 30 1.5 68 7",
            ],
        );
    }

    #[test]
    fn bucks_that_line_the_hole_make_it_larger_and_leave_no_recess() {
        //   skin hole = rough opening 30..66, 33..82 and 1 1/2 on each side; the lining is as wide as the panel is thick
        let mut scene = scene("30, 33, 66, 82", HeaderMember::None, 0);
        scene.rules.openings.buck = BuckConvention::Lining;
        let panel = scene.made(0);
        let hole = panel.openings[0].skin_hole;
        assert_eq!(
            [hole.x0, hole.y0, hole.x1, hole.y1].map(crate::units::Length::to_inches),
            [28.5, 31.5, 67.5, 83.5]
        );
        assert_eq!(panel.core.holes, panel.outer_skin.holes);
        check(
            &panel,
            &[
                "buck head, lining 2x8 ripped to 6 1/2 28.5 82 67.5 83.5",
                "buck sill, lining 2x8 ripped to 6 1/2 28.5 31.5 67.5 33",
                "buck jamb, lining 2x8 ripped to 6 1/2 28.5 33 30 82",
                "buck jamb, lining 2x8 ripped to 6 1/2 66 33 67.5 82",
            ],
        );
        let buck = panel.edges.iter().find(|e| e.joint == EdgeJoint::Buck);
        assert_eq!(buck.unwrap().recess, crate::units::Length::ZERO);
    }

    #[test]
    fn a_lined_hole_under_a_header_has_jacks_behind_its_lining() {
        let mut scene = scene("30, 33, 66, 82", plies("2-2x8"), 1);
        scene.rules.openings.buck = BuckConvention::Lining;
        check(
            &scene.made(0),
            &[
                "buck head 2x6 27 83.5 69 85",
                "header 2x8 27 85 69 92.25",
                "header 2x8 27 85 69 92.25",
                "header filler EPS 2 5/8 x 7 1/4 27 85 69 92.25",
                "buck sill 2x6 27 30 69 31.5",
                "jack 2x6 27 31.5 28.5 83.5",
                "jack 2x6 67.5 31.5 69 83.5",
                "buck head, lining 2x8 ripped to 6 1/2 28.5 82 67.5 83.5",
                "buck sill, lining 2x8 ripped to 6 1/2 28.5 31.5 67.5 33",
                "buck jamb, lining 2x8 ripped to 6 1/2 28.5 33 30 82",
                "buck jamb, lining 2x8 ripped to 6 1/2 66 33 67.5 82",
            ],
        );
    }

    #[test]
    fn a_header_takes_the_bucks_place_where_both_are_too_high() {
        // Room from 95 to 106 1/2: 11 1/2. A 2x12 is 11 1/4, with the flat buck 12 3/4.
        let panel = scene("30, 0, 68, 95", plies("2-2x12"), 2).made(0);
        assert_eq!(
            panel.lumber[2].rect,
            super::super::super::testing::rect("27, 95, 71, 106 1/4")
        );
    }

    #[test]
    fn a_leg_too_narrow_for_its_lumber_holds_the_panel() {
        // Leg of 4 in between the free end and the rough jamb: end stud 1 1/2 and two jacks of 1 1/2.
        let scene = scene("30, 33, 92, 82", plies("2-2x10"), 2);
        let made = scene.make();
        let fault = made.findings.iter().find(|f| f.code.name() == "FAB-06");
        assert!(fault.is_some(), "{:?}", made.findings);
        assert_eq!(made.output.panels[0].holds[0].code, "FAB-06");
    }

    #[test]
    fn an_opening_at_the_panels_edge_is_a_fault() {
        let made = scene("60, 33, 96, 82", HeaderMember::None, 0).make();
        assert!(made.findings.iter().any(|f| f.code.name() == "FAB-03"));
        assert!(made.output.panels[0].is_held());
    }
}
