//! A pier: a strip beside a framed opening that is too narrow for foam, filled with lumber from skin to skin.
//!
//! ```text
//!   header │▒▒│▓▓│▓▓│▒▒│ header      ▒ jack under a header, cripple over it
//!   ───────┤▒▒│▓▓│▓▓│▒▒├───────      ▓ king studs from plate to plate, the last ripped to what is left
//!    opening    pier     opening
//! ```
//!
//! Where it has no room for all jacks that are named, each side has its share, one at least: the sheet says that nobody sized it.

use super::super::brief::PanelBrief;
use super::ends::{End, EndPack};
use super::headers::columns_beside;
use super::{Home, Piece, PieceKind, stud, under_slope};
use crate::building::RoughOpening;
use crate::fabrication::EdgeJoint;
use crate::geometry::ShopRect;
use crate::layout::{Panel, PanelEdge, RunPiece};
use crate::rules::BuckConvention;
use crate::units::{Inches, Length};

/// Jacks under the header at one side of a framed opening: as many as are named, fewer where a pier has no room for all.
pub(in super::super) fn jacks_beside(brief: &PanelBrief<'_>, opening: usize, is_left: bool) -> i64 {
    let named = named_jacks(brief, opening);
    let Some(pier) = pier_beside(brief, opening, is_left) else {
        return named;
    };
    let columns = pier.rect.width().steps_of(brief.stud.thickness);
    // A pier on the opening's left has the opening at its right, and the other way round.
    let far = if is_left { pier.left } else { pier.right };
    let PanelEdge::Jamb { opening: other } = far else {
        return named.min(columns - 1).max(1);
    };
    let other = named_jacks(brief, other);
    if named + other <= columns {
        return named;
    }
    let (first, both) = (if is_left { other } else { named }, named + other);
    let first = (columns * first / both).clamp(1, (columns - 1).max(1));
    if is_left {
        (columns - first).max(1)
    } else {
        first
    }
}

fn named_jacks(brief: &PanelBrief<'_>, opening: usize) -> i64 {
    let opening = brief.opening(opening);
    opening.map_or(1, |opening| i64::from(opening.jacks.max(1)))
}

fn pier_beside<'a>(brief: &PanelBrief<'a>, opening: usize, is_left: bool) -> Option<&'a Panel> {
    let run = &brief.run.run;
    let is_it =
        |piece: &RunPiece| matches!(piece, RunPiece::Opening { opening: o, .. } if *o == opening);
    let place = run.iter().position(is_it)?;
    let beside = if is_left {
        place.checked_sub(1)?
    } else {
        place + 1
    };
    let RunPiece::Panel { panel, .. } = run.get(beside)? else {
        return None;
    };
    let panel = brief.layout.panels.get(*panel)?;
    panel.is_pier.then_some(panel)
}

/// True when a panel is a pier and has no foam.
pub(in super::super) fn is_pier(brief: &PanelBrief<'_>) -> bool {
    brief.panel.is_pier
}

/// Upright lumber side by side that fills a zone from its left; the last piece is ripped to what is left.
pub(super) fn fill(
    brief: &PanelBrief<'_>,
    home: Home,
    usage: &str,
    rule: &str,
    zone: ShopRect,
) -> Vec<Piece> {
    let lumber = &brief.assembly.lumber;
    let mut pieces = Vec::new();
    let mut x0 = zone.x0;
    while x0 < zone.x1 {
        let x1 = (x0 + brief.stud.thickness).min(zone.x1);
        let section = if x1 - x0 == brief.stud.thickness {
            lumber.clone()
        } else {
            format!("{lumber} ripped {} thick", Inches(x1 - x0))
        };
        let kind = PieceKind {
            home,
            usage,
            section: &section,
            rule,
        };
        pieces.push(stud(brief, &kind, ShopRect { x0, x1, ..zone }, true));
        x0 = x1;
    }
    pieces
}

/// An opening's part of the narrow pier between it and the next one in the same panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct HalfPier {
    /// From the hole to the middle of the pier: heads and sills of both openings meet there.
    pub(super) half: Length,
    /// From the hole to where its own studs end: the whole pier where both openings have one sill and one head, and then nothing
    /// on the other's side.
    pub(super) filled: Length,
    /// Index of the other opening.
    other: usize,
}

impl HalfPier {
    pub(super) fn note(self, brief: &PanelBrief<'_>, opening: &RoughOpening) -> String {
        let other = brief.opening(self.other).map_or("", |it| it.id.as_str());
        format!(
            "the pier between {} and {other} is solid lumber: not sized: engineer",
            opening.id
        )
    }
}

/// Piers at the left and the right of an opening cut in a panel that are narrower than a leg may be, or too narrow for the studs
/// of both openings.
pub(super) fn half_piers(brief: &PanelBrief<'_>, index: usize) -> [Option<HalfPier>; 2] {
    let held = &brief.panel.openings;
    let Some((place, opening)) = held
        .iter()
        .position(|held| *held == index)
        .zip(brief.opening(index))
    else {
        return [None; 2];
    };
    let lining = match brief.rules.openings.buck {
        BuckConvention::Lining => brief.stud.thickness * 2,
        BuckConvention::InRecess => Length::ZERO,
    };
    let pier = |other: Option<&usize>, is_left: bool| {
        let other = *other?;
        let beside = brief.opening(other)?;
        let width = if is_left {
            opening.from - beside.to
        } else {
            beside.from - opening.to
        } - lining;
        let studs = columns_beside(opening) + columns_beside(beside);
        let needed = brief.rules.openings.least_leg;
        let is_narrow = width < needed.max(brief.stud.thickness * studs);
        let is_alike = (opening.sill, opening.head) == (beside.sill, beside.head);
        let half = if is_left {
            width.half()
        } else {
            width - width.half()
        };
        let filled = match (is_alike, is_left) {
            (false, _) => half,
            (true, true) => Length::ZERO,
            (true, false) => width,
        };
        (is_narrow && width > Length::ZERO).then_some(HalfPier {
            half,
            filled,
            other,
        })
    };
    let before = place.checked_sub(1).and_then(|before| held.get(before));
    [pier(before, true), pier(held.get(place + 1), false)]
}

/// One half of a pier: what stands at its end, and at the left one the king studs up to the other half.
pub(super) fn pier_pack(end: &End<'_>) -> EndPack {
    let brief = end.brief;
    let thickness = brief.stud.thickness;
    let (left, right) = (brief.panel.left, brief.panel.right);
    let (edge, far, is_left) = match end.home {
        Home::Left => (left, right, true),
        _ => (right, left, false),
    };
    let mut pack = match edge {
        PanelEdge::Jamb { opening } => EndPack {
            joint: EdgeJoint::Jamb,
            recess: Length::ZERO,
            slots: Vec::new(),
            pieces: end.jacks(opening),
        },
        PanelEdge::Corner { .. } => end.closed(EdgeJoint::Corner, 0.0),
        PanelEdge::Spline { .. } | PanelEdge::Free => end.closed(EdgeJoint::Free, 0.0),
    };
    // At the pier's left edge stands the right jamb of an opening.
    let columns = |edge: PanelEdge, is_left: bool| match edge {
        PanelEdge::Jamb { opening } => jacks_beside(brief, opening, !is_left),
        _ => 1,
    };
    let (own, others) = (
        thickness * columns(edge, is_left),
        thickness * columns(far, !is_left),
    );
    pack.recess = own;
    if is_left {
        pack.recess = brief.width - others;
        let zone = end.rect(own, pack.recess);
        let studs = fill(brief, end.home, "king stud", "piers.least", zone);
        let studs = studs.into_iter().filter(|_| own < pack.recess);
        pack.pieces
            .extend(studs.map(|stud| under_slope(brief, stud)));
    }
    pack
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{Scene, plies};
    use super::super::super::{EdgeJoint, FabricatedPanel};
    use crate::findings::Severity;
    use crate::layout::{PanelEdge, RunPiece};
    use crate::units::Length;

    /// A pier of so many inches between two openings framed beside it, each with so many jacks.
    fn pier(width: &str, jacks: [u32; 2]) -> FabricatedPanel {
        let jamb = |opening| PanelEdge::Jamb { opening };
        let end = format!("{}", 100.0 + width.parse::<f64>().unwrap());
        let mut scene = Scene::new("400")
            .opening("10, 0, 100, 82", plies("2-2x10"), jacks[0])
            .opening(&format!("{end}, 0, 300, 82"), plies("2-2x10"), jacks[1])
            .panel(["100", &end], jamb(0), jamb(1), &[]);
        let [from, to] = [100.0, 100.0 + width.parse::<f64>().unwrap()]
            .map(|x| Length::nearest(x, Length::TAPE_STEP).unwrap());
        let hole =
            |opening: usize, from: Length, to: Length| RunPiece::Opening { opening, from, to };
        scene.layout.walls[0].run = vec![
            hole(0, Length::inches(10), from),
            RunPiece::Panel { panel: 0, from, to },
            hole(1, to, Length::inches(300)),
        ];
        scene.made(0)
    }

    #[track_caller]
    fn check(panel: &FabricatedPanel, expected: &[&str]) {
        let found: Vec<String> = panel
            .lumber
            .iter()
            .map(|l| format!("{} {} {}", l.usage, l.section, l.rect.x0.to_inches()))
            .collect();
        assert_eq!(found, expected);
        assert!(panel.core.outline.0.is_empty(), "no foam");
        assert!(panel.chases.is_empty());
        assert!(panel.edges.iter().any(|edge| edge.joint == EdgeJoint::Jamb));
        let pounds = 8.5 * 105.0 * 5.5 / 1728.0 * 28.0;
        assert!(panel.weight_lb < pounds * 1.4, "{}", panel.weight_lb);
    }

    #[test]
    fn a_pier_has_its_jacks_at_both_sides_and_king_studs_between() {
        check(
            &pier("8.5", [1, 2]),
            &[
                "jack 2x6 0",
                "cripple over header 2x6 0",
                "king stud 2x6 1.5",
                "king stud 2x6 3",
                "king stud 2x6 ripped 1 thick 4.5",
                "jack 2x6 7",
                "cripple over header 2x6 7",
                "jack 2x6 5.5",
                "cripple over header 2x6 5.5",
            ],
        );
    }

    #[test]
    fn a_pier_without_room_for_all_jacks_gives_each_side_its_share() {
        check(
            &pier("3", [2, 2]),
            &[
                "jack 2x6 0",
                "cripple over header 2x6 0",
                "jack 2x6 1.5",
                "cripple over header 2x6 1.5",
            ],
        );
    }

    /// The first panel, made with nothing worse than notes.
    #[track_caller]
    fn sound(scene: &Scene) -> FabricatedPanel {
        let made = scene.make();
        let worst = made.findings.iter().map(|it| it.severity).max();
        assert!(worst <= Some(Severity::Note), "{:?}", made.findings);
        made.output.panels[0].clone()
    }

    /// Upright lumber in the pier between two windows of one panel: usage, section, left, bottom and top.
    #[track_caller]
    fn check_between(second: &str, jacks: u32, expected: &[&str]) {
        let scene = Scene::new("96")
            .opening("10, 30, 40, 82", plies("2-2x6"), jacks)
            .opening(second, plies("2-2x6"), jacks)
            .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0, 1]);
        let panel = &sound(&scene);
        let [low, high] = [40, 48].map(Length::inches);
        let between = panel
            .lumber
            .iter()
            .filter(|l| l.is_upright && l.rect.x0 >= low && l.rect.x1 <= high);
        let found: Vec<String> = between
            .map(|l| {
                let r = [l.rect.x0, l.rect.y0, l.rect.y1].map(Length::to_inches);
                format!("{} {} {} {} {}", l.usage, l.section, r[0], r[1], r[2])
            })
            .collect();
        assert_eq!(found, expected);
        let notes = panel.notes.iter();
        let told = notes.filter(|note| note.contains("solid lumber: not sized: engineer"));
        assert_eq!(told.count(), 1);
    }

    #[test]
    fn a_pier_of_four_inches_between_like_windows_is_two_studs_and_a_strip() {
        check_between(
            "44, 30, 80, 82",
            2,
            &[
                "pier stud 2x6 40 30 82",
                "pier stud 2x6 41.5 30 82",
                "pier stud 2x6 ripped 1 thick 43 30 82",
            ],
        );
    }

    #[test]
    fn between_unlike_windows_each_has_its_half_of_the_pier() {
        check_between(
            "44, 40, 80, 78",
            1,
            &[
                "pier stud 2x6 40 30 82",
                "pier stud 2x6 ripped 1/2 thick 41.5 30 82",
                "pier stud 2x6 42 40 78",
                "pier stud 2x6 ripped 1/2 thick 43.5 40 78",
            ],
        );
    }

    #[test]
    fn an_opening_up_to_the_top_plate_has_no_buck_over_it_and_says_so() {
        let scene = Scene::new("96")
            .opening("20, 30, 60, 106 1/2", crate::rules::HeaderMember::None, 0)
            .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0]);
        let panel = &sound(&scene);
        assert!(panel.lumber.iter().all(|l| l.usage != "buck head"));
        assert!(
            panel
                .notes
                .iter()
                .any(|note| note.contains("reaches the top plate"))
        );
        let jambs = panel.lumber.iter().filter(|l| l.usage == "buck jamb");
        assert!(jambs.clone().all(|l| l.rect.y1.to_inches() == 106.5));
        assert_eq!(jambs.count(), 2);
    }
}
