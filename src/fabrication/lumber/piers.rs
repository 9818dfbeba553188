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
use super::{Home, piece, under_slope};
use crate::fabrication::EdgeJoint;
use crate::layout::{Panel, PanelEdge, PanelKind, RunPiece};
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
    if is_left { (columns - first).max(1) } else { first }
}

fn named_jacks(brief: &PanelBrief<'_>, opening: usize) -> i64 {
    let opening = brief.opening(opening);
    opening.map_or(1, |opening| i64::from(opening.jacks.max(1)))
}

fn pier_beside<'a>(brief: &PanelBrief<'a>, opening: usize, is_left: bool) -> Option<&'a Panel> {
    let run = &brief.run.run;
    let is_it = |piece: &RunPiece| matches!(piece, RunPiece::Opening { opening: o, .. } if *o == opening);
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
    panel.is_pier(brief.rules).then_some(panel)
}

/// True when a panel is a pier and has no foam.
pub(in super::super) fn is_pier(brief: &PanelBrief<'_>) -> bool {
    brief.panel.kind == PanelKind::Wall && brief.panel.is_pier(brief.rules)
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
        let mut near = own;
        while near < pack.recess {
            let far = (near + thickness).min(pack.recess);
            let section = if far - near == thickness {
                brief.assembly.lumber.clone()
            } else {
                format!(
                    "{} ripped {} thick",
                    brief.assembly.lumber,
                    Inches(far - near)
                )
            };
            let kind = end.kind("king stud", &section, "piers.least");
            let depth = brief.centred_depth(brief.stud.width);
            let stud = piece(brief, &kind, end.rect(near, far), true, depth);
            pack.pieces.push(under_slope(brief, stud));
            near = far;
        }
    }
    pack
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{Scene, plies};
    use super::super::super::{EdgeJoint, FabricatedPanel};
    use crate::layout::{PanelEdge, RunPiece};
    use crate::units::Length;

    /// A pier of so many inches between two openings framed beside it, each with so many jacks.
    fn pier(width: &str, jacks: [u32; 2]) -> FabricatedPanel {
        let jamb = |opening| PanelEdge::Jamb { opening };
        let end = format!("{}", 100.0 + width.parse::<f64>().unwrap());
        let mut scene = Scene::new("400")
            .opening("10, 0, 100, 82", plies(2, "2x10"), jacks[0])
            .opening(&format!("{end}, 0, 300, 82"), plies(2, "2x10"), jacks[1])
            .panel(["100", &end], jamb(0), jamb(1), &[]);
        let [from, to] = [100.0, 100.0 + width.parse::<f64>().unwrap()]
            .map(|x| Length::nearest(x, Length::TAPE_STEP).unwrap());
        let hole = |opening: usize, from: Length, to: Length| RunPiece::Opening { opening, from, to };
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
}
