//! What closes or joins the two upright edges of a panel.
//!
//! ```text
//!   corner, free         spline (block)           jamb of a framed opening
//!   ║▓▓░░░░              ░░░░▒▒║▒▒                ░░░░▓▓▒▒▒▒║
//!   ║▓▓░░░░  end stud    ░░░░▒▒║▒▒  half of it    ░░░░▓▓▒▒▒▒║  king stud, then the jacks
//!   ║▓▓░░░░              ░░░░▒▒║▒▒  beyond        ░░░░▓▓▒▒▒▒║
//! ```
//!
//! At a corner the inner skin of the panel that runs through stays whole: the wall that butts bears against it, and the screws
//! go through foam and both skins into the butt's end stud.

use super::super::brief::{PanelBrief, askew, bevel_of};
use super::super::{EdgeJoint, Fitted, Slot};
use super::piers::{is_pier, jacks_beside, pier_pack};
use super::{Home, Piece, PieceKind, piece, section_name, stud, under_slope};
use crate::geometry::ShopRect;
use crate::layout::{PanelEdge, PanelKind, SplineFit, WallEnd};
use crate::units::{Inches, Length};

/// One upright edge: its joint, how far the foam stands back there, and the lumber in it.
#[derive(Clone, Debug)]
pub(in super::super) struct EndPack {
    pub(in super::super) joint: EdgeJoint,
    /// Foam back from the panel's end, in the middle of the core.
    pub(in super::super) recess: Length,
    pub(in super::super) slots: Vec<Slot>,
    pub(in super::super) pieces: Vec<Piece>,
}

/// The pack at the left or right edge; `plates` is how thick what lies below and above upright lumber is.
pub(in super::super) fn end_pack(
    brief: &PanelBrief<'_>,
    home: Home,
    plates: [Length; 2],
) -> EndPack {
    let end = End {
        brief,
        home,
        plates,
    };
    let edge = if home == Home::Left {
        brief.panel.left
    } else {
        brief.panel.right
    };
    if is_pier(brief) {
        return pier_pack(&end);
    }
    let mut pack = match (brief.panel.kind, edge) {
        (PanelKind::Header | PanelKind::Sill, _) => end.closed(EdgeJoint::Jamb, 0.0),
        // By rule the panel to the left of a joint has the spline, fitted or loose.
        (PanelKind::Wall, PanelEdge::Spline { fit, .. }) => {
            let owns = match fit {
                SplineFit::Carries => Some(Fitted::Plant),
                SplineFit::Loose if home == Home::Right => Some(Fitted::Loose),
                SplineFit::Loose | SplineFit::Receives => None,
            };
            end.spline(fit.kind(&brief.rules.joints, brief.assembly), owns)
        }
        (PanelKind::Wall, PanelEdge::Corner { end: how, .. }) => {
            let mut pack = end.closed(EdgeJoint::Corner, bevel_of(edge));
            if let WallEnd::Filled { bevel_deg } = how {
                pack.pieces.extend(end.wedge(bevel_deg));
            }
            pack
        }
        (PanelKind::Wall, PanelEdge::Free) => end.closed(EdgeJoint::Free, 0.0),
        (PanelKind::Wall, PanelEdge::Jamb { opening }) => end.jamb(opening),
    };
    if home == Home::Right && brief.panel.make_up > Length::ZERO {
        // What closes the end goes in after the site has trimmed the skins.
        pack.recess += brief.panel.make_up;
        for piece in &mut pack.pieces {
            piece.lumber.fitted = Fitted::Site;
        }
    }
    pack
}

pub(super) struct End<'a> {
    pub(super) brief: &'a PanelBrief<'a>,
    pub(super) home: Home,
    plates: [Length; 2],
}

impl End<'_> {
    /// A rectangle from `near` to `far` inwards of the panel's end, from plate to plate.
    pub(super) fn rect(&self, near: Length, far: Length) -> ShopRect {
        let brief = self.brief;
        let shift = brief.end_shift(brief.core_middle());
        let (x0, x1) = if self.home == Home::Left {
            (shift[0] + near, shift[0] + far)
        } else {
            let end = brief.width - brief.panel.make_up - shift[1];
            (end - far, end - near)
        };
        let y0 = brief.foot(x0, x1, self.plates[0]);
        let [y1, _] = brief.head(x0, x1, self.plates[1]);
        ShopRect::new(x0, y0, x1, y1.max(y0))
    }

    pub(super) fn kind<'k>(
        &self,
        usage: &'k str,
        section: &'k str,
        rule: &'k str,
    ) -> PieceKind<'k> {
        PieceKind {
            home: self.home,
            usage,
            section,
            rule,
        }
    }

    /// An end stud. At a bevelled end it stands along the bevel, ripped to what the core measures across it.
    pub(super) fn closed(&self, joint: EdgeJoint, bevel_deg: f64) -> EndPack {
        let brief = self.brief;
        let recess = brief.rules.recesses.end_stud + brief.rules.recesses.seat;
        let across = askew(brief.stud.width, bevel_deg);
        let mut section = section_name(brief, across);
        if bevel_deg != 0.0 {
            // It lies in the bevel, between skins that meet it askew.
            let degrees = (bevel_deg.abs() * 1000.0).round() / 1000.0;
            section.push_str(&format!(", edges at {degrees} degrees"));
        }
        let rect = self.rect(Length::ZERO, askew(brief.stud.thickness, bevel_deg));
        let kind = self.kind("end stud", &section, "recesses.end_stud");
        let piece = under_slope(brief, stud(brief, &kind, rect, true));
        EndPack {
            joint,
            recess: askew(recess, bevel_deg),
            slots: Vec::new(),
            pieces: vec![piece],
        }
    }

    /// The wedge beside a square end at a corner that is not square, from deck to cap: planed to the corner as it was built.
    fn wedge(&self, bevel_deg: f64) -> Option<Piece> {
        let (brief, rules) = (self.brief, self.brief.rules);
        let thickness = brief.assembly.thickness();
        let wide = thickness.to_inches() * bevel_deg.abs().to_radians().tan();
        let wide = Length::nearest(wide, Length::nanometres(1))?;
        let is_left = self.home == Home::Left;
        let cap = if rules.plates.has_cap {
            rules.plates.thickness
        } else {
            Length::ZERO
        };
        let x0 = if is_left { -wide } else { brief.width };
        let top = brief.end_height(is_left) + cap;
        let rect = ShopRect::new(x0, Length::ZERO, x0 + wide, top);
        let side = if bevel_deg > 0.0 { "outside" } else { "inside" };
        let section = format!(
            "wedge {} x {}, wide {side}",
            Inches(thickness),
            Inches(wide)
        );
        let kind = self.kind("corner filler", &section, "corners.odd");
        let mut wedge = piece(brief, &kind, rect, true, [Length::ZERO, thickness]);
        wedge.lumber.fitted = Fitted::Site;
        wedge.lumber.weight_lb /= 2.0;
        (wide > Length::ZERO).then_some(wedge)
    }

    /// King stud and jacks in the edge beside an opening framed between panels.
    fn jamb(&self, opening: usize) -> EndPack {
        let brief = self.brief;
        let thickness = brief.stud.thickness;
        let rule = brief
            .opening(opening)
            .map_or("openings.header", |opening| opening.header_rule.as_str());
        let n_jacks = jacks_beside(brief, opening, self.home == Home::Right);
        let king = self.rect(thickness * n_jacks, thickness * (n_jacks + 1));
        let kind = self.kind("king stud", &brief.assembly.lumber, rule);
        let mut pieces = vec![under_slope(brief, stud(brief, &kind, king, true))];
        pieces.extend(self.jacks(opening));
        EndPack {
            joint: EdgeJoint::Jamb,
            recess: thickness * (n_jacks + 1) + brief.rules.recesses.seat,
            slots: Vec::new(),
            pieces,
        }
    }

    /// The jacks beside a framed opening. They reach the head; what stands over them comes loose, because the header has to be
    /// lowered between the skins first.
    pub(super) fn jacks(&self, opening: usize) -> Vec<Piece> {
        let brief = self.brief;
        let thickness = brief.stud.thickness;
        let (rule, head) = brief
            .opening(opening)
            .map_or(("openings.header", brief.height), |opening| {
                (opening.header_rule.as_str(), brief.y_of(opening.head))
            });
        let over = brief.opening(opening).map_or(head, |opening| {
            head + super::headers::stack_height(brief, opening)
        });
        let section = brief.assembly.lumber.as_str();
        let mut pieces = Vec::new();
        for place in 0..jacks_beside(brief, opening, self.home == Home::Right) {
            let column = self.rect(thickness * place, thickness * (place + 1));
            let jack = ShopRect {
                y1: head.min(column.y1),
                ..column
            };
            pieces.push(stud(brief, &self.kind("jack", section, rule), jack, true));
            let cripple = ShopRect {
                y0: over.max(column.y0),
                ..column
            };
            if cripple.y0 < cripple.y1 {
                let kind = self.kind("cripple over header", section, rule);
                let mut piece = under_slope(brief, stud(brief, &kind, cripple, true));
                piece.lumber.fitted = Fitted::Loose;
                pieces.push(piece);
            }
        }
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{Scene, corner, inches, loose, plies, rect, spline};
    use super::super::super::{EdgeJoint, FabricatedPanel, Fitted};
    use crate::layout::{PanelEdge, PanelKind, WallEnd};
    use crate::rules::{ClosingSpline, SplineKind};
    use crate::units::Length;

    fn pieces(panel: &FabricatedPanel) -> Vec<String> {
        panel
            .lumber
            .iter()
            .map(|l| {
                let r = l.rect;
                let sides = [r.x0, r.y0, r.x1, r.y1].map(|side| side.to_inches().to_string());
                format!(
                    "{} {} {} {}",
                    l.usage,
                    l.section,
                    sides.join(" "),
                    l.fitted.name()
                )
            })
            .collect()
    }

    /// Two panels with one joint; the pieces at it, and each panel's recess there.
    #[track_caller]
    fn check_joint(kind: SplineKind, recess: &str, left: &[&str], right: &[&str]) {
        let mut scene = Scene::new("96")
            .panel(["0", "47 7/8"], PanelEdge::Free, spline(1, true), &[])
            .panel(["48", "96"], spline(0, false), PanelEdge::Free, &[]);
        scene.rules.joints.spline = kind;
        let [a, b] = [scene.made(0), scene.made(1)];
        let at_joint = |panel: &FabricatedPanel| {
            let edge = panel.edges.iter().find(|e| e.joint == EdgeJoint::Spline);
            assert_eq!(edge.map(|e| e.recess), Some(inches(recess)));
            let mut found = pieces(panel);
            found.retain(|piece| piece.starts_with("spline"));
            found
        };
        assert_eq!(at_joint(&a), left);
        assert_eq!(at_joint(&b), right);
    }

    #[test]
    fn each_kind_of_spline_has_its_recess_and_its_pieces() {
        // Recesses: half of a 3 in block, half of a 2x, a whole 2x; surface strips leave the foam (common practice, no source).
        check_joint(
            SplineKind::Block,
            "1 1/2",
            &["spline block 3 x 5 5/8 46.4375 1.5 49.4375 106.5 plant"],
            &[],
        );
        check_joint(
            SplineKind::SingleLumber,
            "3/4",
            &["spline 2x6 47.1875 1.5 48.6875 106.5 plant"],
            &[],
        );
        check_joint(
            SplineKind::DoubleLumber,
            "1 1/2",
            &["spline 2x6 46.375 1.5 47.875 106.5 plant"],
            &["spline 2x6 0 1.5 1.5 106.5 plant"],
        );
        check_joint(
            SplineKind::Surface,
            "0",
            &[
                "spline, outer strip 7/16 x 3 46.4375 1.5 49.4375 106.5 plant",
                "spline, inner strip 7/16 x 3 46.4375 1.5 49.4375 106.5 plant",
            ],
            &[],
        );
        check_joint(
            SplineKind::ThermalPost,
            "1 3/4",
            &[
                "spline, outer flange 2x4 46.1875 1.5 49.6875 106.5 plant",
                "spline, inner flange 2x4 46.1875 1.5 49.6875 106.5 plant",
                "spline, filler foam 3 1/2 x 2 5/8 46.1875 1.5 49.6875 106.5 plant",
            ],
            &[],
        );
        check_joint(
            SplineKind::IJoist,
            "3/16",
            &["spline, I-joist I-joist 2 1/2 x 5 5/8 46.6875 1.5 49.1875 106.5 plant"],
            &[],
        );
    }

    #[test]
    fn a_spline_that_neither_panel_carries_is_listed_loose_with_the_left_one() {
        let mut scene = Scene::new("96")
            .panel(["0", "47 7/8"], PanelEdge::Free, loose(1), &[])
            .panel(["48", "96"], loose(0), PanelEdge::Free, &[]);
        for kind in [
            SplineKind::Block,
            SplineKind::SingleLumber,
            SplineKind::Surface,
        ] {
            scene.rules.joints.spline = kind;
            let [a, b] = [scene.made(0), scene.made(1)];
            let splines = |panel: &FabricatedPanel| -> Vec<Fitted> {
                let lumber = panel.lumber.iter();
                let of = lumber.filter(|piece| piece.usage.starts_with("spline"));
                of.map(|piece| piece.fitted).collect()
            };
            assert!(splines(&a).iter().all(|fitted| *fitted == Fitted::Loose));
            assert_eq!(
                (splines(&a).is_empty(), splines(&b).is_empty()),
                (false, true)
            );
        }
        // Closed by surface strips both foams have slots and no recess, whatever the plant's spline is.
        scene.rules.joints.spline = SplineKind::Block;
        scene.rules.joints.closing = ClosingSpline::Surface;
        for panel in [scene.made(0), scene.made(1)] {
            let edge = panel.edges.iter().find(|e| e.joint == EdgeJoint::Spline);
            let edge = edge.unwrap();
            assert_eq!((edge.recess, edge.slots.len()), (Length::ZERO, 2));
        }
        let strips = scene.made(0).lumber;
        let strips = strips.iter().filter(|it| it.usage.starts_with("spline"));
        let strips: Vec<(&str, Fitted)> = strips.map(|it| (it.usage.as_str(), it.fitted)).collect();
        let expected = ["spline, outer", "spline, inner"].map(|it| (it, Fitted::Loose));
        assert_eq!(strips, expected);
    }

    #[test]
    fn a_surface_spline_leaves_a_slot_behind_each_skin() {
        let mut scene = Scene::new("96")
            .panel(["0", "47 7/8"], PanelEdge::Free, spline(1, true), &[])
            .panel(["48", "96"], spline(0, false), PanelEdge::Free, &[]);
        scene.rules.joints.spline = SplineKind::Surface;
        let panel = scene.made(1);
        let edge = panel
            .edges
            .iter()
            .find(|e| e.joint == EdgeJoint::Spline)
            .unwrap();
        // Half of 3 in and 1/8 in of play, 1/2 in deep (common practice, no source).
        let slots: Vec<(Length, Length)> = edge.slots.iter().map(|s| (s.width, s.depth)).collect();
        assert_eq!(slots, [(inches("1 5/8"), inches("1/2")); 2]);
    }

    #[test]
    fn an_opening_framed_between_panels_has_king_and_jacks_beside_it_and_its_header_over_them() {
        //   0      48                 144      192
        //   │     ▓│▒┌───────────────┐▒│▓       │ 108    header panel 82 to 108, its header 3 in past each rough jamb
        //   │     ▓│▒│▓▓▓▓▓▓▓▓▓▓▓▓▓▓▓│▒│▓       │  82    king stud and two jacks in the recess of each side panel
        //   │     ▓▒▒│      O1       │▒▒▓       │
        //   │     ▓▒▒│───────────────│▒▒▓       │  33    sill panel 0 to 33
        //   └────────┴───────────────┴──────────┘   0
        let jamb = PanelEdge::Jamb { opening: 0 };
        let scene = Scene::new("192")
            .opening("48, 33, 144, 82", plies("2-2x12"), 2)
            .panel(["0", "48"], PanelEdge::Free, jamb, &[])
            .piece(
                PanelKind::Sill,
                rect("48 1/8, 0, 143 7/8, 33"),
                spline(0, false),
                spline(3, false),
                &[],
            )
            .piece(
                PanelKind::Header,
                rect("48 1/8, 82, 143 7/8, 108"),
                spline(0, false),
                spline(3, false),
                &[],
            )
            .panel(["144", "192"], jamb, PanelEdge::Free, &[]);
        let made = scene.make();
        assert!(
            made.findings.iter().all(|f| f.code.name() == "FAB-07"),
            "{:?}",
            made.findings
        );
        let panels = &made.output.panels;
        assert_eq!(
            pieces(&panels[0]),
            [
                "end stud 2x6 0 1.5 1.5 106.5 plant",
                "king stud 2x6 43.5 1.5 45 106.5 plant",
                "jack 2x6 46.5 1.5 48 82 plant",
                "cripple over header 2x6 46.5 94.75 48 106.5 loose",
                "jack 2x6 45 1.5 46.5 82 plant",
                "cripple over header 2x6 45 94.75 46.5 106.5 loose",
            ]
        );
        assert_eq!(
            pieces(&panels[1]),
            [
                "end stud 2x6 0 1.5 1.5 31.5 plant",
                "end stud 2x6 94.25 1.5 95.75 31.5 plant",
                "buck sill 2x6 0 31.5 95.75 33 plant",
            ]
        );
        // 3 1/8 beyond the header panel's end is 3 in past the rough jamb: the two jacks.
        assert_eq!(
            pieces(&panels[2]),
            [
                "end stud 2x6 0 12.75 1.5 24.5 plant",
                "end stud 2x6 94.25 12.75 95.75 24.5 plant",
                "buck head 2x6 -3.125 0 98.875 1.5 plant",
                "header 2x12 -3.125 1.5 98.875 12.75 plant",
                "header 2x12 -3.125 1.5 98.875 12.75 plant",
                "header filler EPS 2 5/8 x 11 1/4 -3.125 1.5 98.875 12.75 plant",
            ]
        );
        let jamb = panels[0]
            .edges
            .iter()
            .find(|e| e.joint == EdgeJoint::Jamb)
            .unwrap();
        assert_eq!(
            (jamb.recess, jamb.with.as_deref()),
            (inches("4 1/2"), Some("O1"))
        );
        let bottom = &panels[2].edges[0];
        assert_eq!(
            (bottom.joint, bottom.recess),
            (EdgeJoint::Buck, inches("12 3/4"))
        );
    }

    #[test]
    fn a_mitred_end_has_a_shorter_inner_skin_and_a_stud_along_the_bevel() {
        //   outer ├──────────────────┤      6 1/2 thick, 22 1/2 degrees: 6.5 x 0.41421 = 2.692 in at the inner face,
        //          \                        half of it in the middle; stud 1 1/2 / cos = 1.624 in along the panel
        //   inner    ├───────────────┤
        let end = WallEnd::Mitre { bevel_deg: 22.5 };
        let scene = Scene::new("48").panel(["0", "48"], corner(end), PanelEdge::Free, &[]);
        let panel = scene.made(0);
        let x0 = |ring: &crate::geometry::ShopRing| ring.bounds().unwrap().x0.to_inches();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} {b}");
        near(x0(&panel.outer_skin.outline), 0.0);
        near(x0(&panel.inner_skin.outline), 2.692_388_155);
        near(x0(&panel.core.outline), 1.346_194_078 + 1.623_588_300);
        let stud = &panel.lumber[0];
        near(stud.rect.x0.to_inches(), 1.346_194_078);
        assert_eq!(stud.section.split(' ').next(), Some("2x8"));
        let left = panel
            .edges
            .iter()
            .find(|e| e.joint == EdgeJoint::Corner)
            .unwrap();
        assert!((left.bevel_deg - 22.5).abs() < 1e-12);
        // At an inside corner the outer skin is the shorter one.
        let end = WallEnd::Mitre { bevel_deg: -22.5 };
        let scene = Scene::new("48").panel(["0", "48"], corner(end), PanelEdge::Free, &[]);
        near(x0(&scene.made(0).inner_skin.outline), -2.692_388_155);
    }
}
