//! Nails, screws and sealant of one panel, counted by rule.
//!
//! ```text
//!   ╥ ╥ ╥ ╥ ╥        nails along every skin that lies on lumber, plates and splines included
//!   ║───────║
//!   ║       ║ ◄──    corner screws through the panel that runs through, or through the right one of two mitred
//!   ║═══════║        two beads of sealant along every plate, spline, butt end and infill end
//! ```
//!
//! A row at a spacing has one for each begun spacing: the first stands half a spacing from the end. Plates are nailed and sealed
//! on site, but counted with the panel, so that what is sent with it is enough.

use super::brief::PanelBrief;
use super::joints::{Charge, JointKind, JointName};
use super::{EdgeJoint, Fitted, Fixing, Lumber, SkinEdge};
use crate::building::CornerKind;
use crate::layout::{PanelEdge, PanelKind, WallEnd};
use crate::units::{Inches, Length};

/// All nails, screws and beads of a panel, each with the joint it is for.
pub(super) fn charges(
    brief: &PanelBrief<'_>,
    edges: &[SkinEdge],
    lumber: &[Lumber],
) -> Vec<Charge> {
    let mut charges = Vec::new();
    let n_skins = brief.assembly.n_skins();
    for joint in [EdgeJoint::Plate, EdgeJoint::Spline] {
        let usage = match joint {
            EdgeJoint::Plate => "plates",
            _ => "splines",
        };
        for edge in edges.iter().filter(|edge| edge.joint == joint) {
            let along = length(edge);
            let nails = nails(brief, usage, along, n_skins);
            charges.push(Charge {
                joint: JointName::of_edge(brief, edge),
                length: along,
                fixing: Some(nails),
                bead: along * 2,
            });
        }
    }
    for piece in lumber.iter().filter(|piece| is_nailed_in_plant(piece)) {
        let usage = "studs, bucks and headers";
        let nails = nails(brief, usage, piece.length, skins_at(brief, piece));
        charges.push(Charge {
            joint: JointName::own(brief),
            length: Length::ZERO,
            fixing: Some(nails),
            bead: Length::ZERO,
        });
    }
    if brief.panel.kind != PanelKind::Wall {
        for edge in edges.iter().filter(|edge| edge.joint == EdgeJoint::Jamb) {
            let along = length(edge);
            charges.push(Charge {
                joint: JointName::of_edge(brief, edge),
                length: along,
                fixing: None,
                bead: along * 2,
            });
        }
    }
    charges.extend(corners(brief));
    charges.extend(super::tees::screws(brief));
    charges
}

/// A panel's own sums: fixings by use and item in the order of their charges, and the length of bead.
pub(super) fn sums(charges: &[Charge]) -> (Vec<Fixing>, Length) {
    let mut fixings: Vec<Fixing> = Vec::new();
    for fixing in charges.iter().filter_map(|charge| charge.fixing.as_ref()) {
        super::joints::add(&mut fixings, fixing);
    }
    let bead = charges.iter().map(|charge| charge.bead).sum();
    (fixings, bead)
}

fn nails(brief: &PanelBrief<'_>, usage: &str, along: Length, n_skins: u32) -> Fixing {
    let rules = &brief.rules.fixings;
    Fixing {
        usage: format!("{usage}, each skin"),
        item: rules.nail.clone(),
        count: count_at(along, rules.nail_spacing) * n_skins,
        rule: "fixings.nail_spacing".to_owned(),
    }
}

/// Screws and beads of the corners at the panel's ends. Screws reach up to the lower of the two walls and are counted where the panel runs through, beads where
/// it butts; of a mitre both are the right end's, so that the two panels that meet there count it once.
fn corners(brief: &PanelBrief<'_>) -> Vec<Charge> {
    let rules = &brief.rules.corners;
    let ends = [(brief.panel.left, true), (brief.panel.right, false)];
    let mut charges = Vec::new();
    for (edge, is_left) in ends {
        let PanelEdge::Corner { with, end } = edge else {
            continue;
        };
        let corner = if is_left {
            brief.wall.left
        } else {
            brief.wall.right
        };
        let (is_screwed, is_sealed) = match end {
            WallEnd::Through => (true, false),
            WallEnd::Butt => (false, true),
            // Screws into a wall that meets askew are counted with the panel that they go through.
            WallEnd::Mitre { .. } | WallEnd::Filled { .. } if corner.kind == CornerKind::Tee => {
                (false, true)
            }
            WallEnd::Mitre { .. } | WallEnd::Filled { .. } => (!is_left, !is_left),
            WallEnd::Free => (false, false),
        };
        let own = brief.end_height(is_left);
        let met = corner.with.and_then(|with| brief.building.walls.get(with));
        let screwed = met.map_or(own, |wall| own.min(wall.end_height(!is_left)));
        charges.push(Charge {
            joint: JointName::of_walls(brief, JointKind::Corner, with),
            length: own,
            fixing: is_screwed.then(|| Fixing {
                usage: "corner, through the panel into the end stud that meets it".to_owned(),
                item: format!(
                    "panel screw {} in",
                    Inches(brief.assembly.thickness() + rules.screw_bite)
                ),
                count: count_at(screwed, rules.screw_spacing),
                rule: "corners.screw_spacing".to_owned(),
            }),
            bead: if is_sealed { own * 2 } else { Length::ZERO },
        });
    }
    charges
}

/// How many stand in a row at a spacing: one for each begun spacing.
pub(super) fn count_at(length: Length, spacing: Length) -> u32 {
    if length <= Length::ZERO || spacing <= Length::ZERO {
        return 0;
    }
    u32::try_from(length.ceil_to(spacing).steps_of(spacing)).unwrap_or(u32::MAX)
}

fn length(edge: &SkinEdge) -> Length {
    let (dx, dy) = (
        (edge.to.x - edge.from.x).abs(),
        (edge.to.y - edge.from.y).abs(),
    );
    if dx == Length::ZERO || dy == Length::ZERO {
        return dx + dy;
    }
    let slant = dx.to_inches().hypot(dy.to_inches());
    Length::nearest(slant, Length::nanometres(1)).unwrap_or(dx + dy)
}

/// Solid lumber between the skins; splines are nailed where panels meet, a bridge and a lining go through no skin.
fn is_nailed_in_plant(lumber: &Lumber) -> bool {
    let not = ["spline", "bridge", "filler", "lining"];
    lumber.fitted == Fitted::Plant && not.iter().all(|word| !lumber.usage.contains(word))
}

/// On how many skins a piece lies.
fn skins_at(brief: &PanelBrief<'_>, lumber: &Lumber) -> u32 {
    let assembly = brief.assembly;
    let play = (assembly.core - brief.stud.width).half();
    let inner = assembly.outer.thickness + assembly.core;
    let at_outer = lumber.depth[0] <= assembly.outer.thickness + play;
    let at_inner = lumber.depth[1] >= inner - play;
    u32::from(at_outer && assembly.outer.is_there())
        + u32::from(at_inner && assembly.inner.is_there())
}

#[cfg(test)]
mod tests {
    use super::super::testing::{inches, reference};

    #[test]
    fn corner_screws_of_the_reference_sheet_are_five() {
        // Sheet drawn by hand: "5 corner screws at 24 o.c." in 108 in, 8 in long for a 6-1/2 in panel (trade press, 2006).
        let panel = reference().made(0);
        let screws = panel.fixings.iter().find(|f| f.usage.starts_with("corner"));
        let screws = screws.map(|f| (f.item.as_str(), f.count));
        assert_eq!(screws, Some(("panel screw 8 in", 5)));
    }

    #[test]
    fn nails_stand_at_6_in_in_each_skin() {
        // By hand. Plates: 2 edges of 95 7/8 = 16 each, two skins: 64. Spline: 108 / 6 = 18, two skins: 36. Lumber: end stud 105
        // = 18, head and sill 39 1/2 = 7 each, jambs 48 1/2 = 9 each: 50, two skins: 100.
        let panel = reference().made(0);
        let nails: Vec<u32> = panel
            .fixings
            .iter()
            .filter(|f| f.item.starts_with("8d"))
            .map(|f| f.count)
            .collect();
        assert_eq!(nails, [64, 36, 100]);
    }

    #[test]
    fn sealant_runs_twice_along_plates_and_splines() {
        // By hand: 2 x (95 7/8 + 95 7/8 + 108); the corner's beads belong to the panel that butts.
        let panel = reference().made(0);
        assert_eq!(panel.sealant, inches("599 1/2"));
    }
}
