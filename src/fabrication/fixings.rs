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
use super::{EdgeJoint, Fitted, Fixing, Lumber, SkinEdge};
use crate::building::CornerKind;
use crate::layout::{PanelEdge, PanelKind, WallEnd};
use crate::units::{Inches, Length};

/// Fixings by use, and the length of sealant bead.
pub(super) fn count(
    brief: &PanelBrief<'_>,
    edges: &[SkinEdge],
    lumber: &[Lumber],
) -> (Vec<Fixing>, Length) {
    let rules = &brief.rules.fixings;
    let along = |joint: EdgeJoint| {
        edges
            .iter()
            .filter(move |edge| edge.joint == joint)
            .map(length)
    };
    let nails = |lengths: &mut dyn Iterator<Item = (Length, u32)>| {
        lengths
            .map(|(length, n_skins)| count_at(length, rules.nail_spacing) * n_skins)
            .sum::<u32>()
    };
    let both = |length: Length| (length, 2);
    let studs = lumber.iter().filter(|l| is_nailed_in_plant(l));
    let rows = [
        ("plates", nails(&mut along(EdgeJoint::Plate).map(both))),
        ("splines", nails(&mut along(EdgeJoint::Spline).map(both))),
        (
            "studs, bucks and headers",
            nails(&mut studs.map(|l| (l.length, n_skins(brief, l)))),
        ),
    ];
    let mut fixings: Vec<Fixing> = rows
        .into_iter()
        .map(|(usage, count)| Fixing {
            usage: format!("{usage}, each skin"),
            item: rules.nail.clone(),
            count,
            rule: "fixings.nail_spacing".to_owned(),
        })
        .collect();
    let corners = &brief.rules.corners;
    let corner_heights = screwed_corners(brief);
    fixings.push(Fixing {
        usage: "corner, through the panel into the end stud that meets it".to_owned(),
        item: format!(
            "panel screw {} in",
            Inches(brief.assembly.thickness() + corners.screw_bite)
        ),
        count: corner_heights
            .iter()
            .map(|height| count_at(*height, corners.screw_spacing))
            .sum(),
        rule: "corners.screw_spacing".to_owned(),
    });
    fixings.extend(super::tees::screws(brief));
    fixings.retain(|fixing| fixing.count > 0);
    (fixings, sealant(brief, edges))
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
fn n_skins(brief: &PanelBrief<'_>, lumber: &Lumber) -> u32 {
    let assembly = brief.assembly;
    let play = (assembly.core - brief.stud.width).half();
    let inner = assembly.outer_skin + assembly.core;
    u32::from(lumber.depth[0] <= assembly.outer_skin + play)
        + u32::from(lumber.depth[1] >= inner - play)
}

/// Heights of the corners whose screws go through this panel, up to the lower of the two walls: every one at which it runs through, and of a mitre the right end,
/// so that the two panels that meet there count it once.
fn screwed_corners(brief: &PanelBrief<'_>) -> Vec<Length> {
    let is_through = |edge: PanelEdge| {
        matches!(
            edge,
            PanelEdge::Corner {
                end: WallEnd::Through,
                ..
            }
        )
    };
    let is_screwed = [
        is_through(brief.panel.left),
        // Screws into a wall that meets askew are counted with the panel that they go through.
        is_through(brief.panel.right)
            || (is_mitred(brief.panel.right) && brief.wall.right.kind != CornerKind::Tee),
    ];
    let ends = [true, false].into_iter().zip(is_screwed);
    ends.filter(|(_, is_screwed)| *is_screwed)
        .map(|(is_left, _)| {
            let corner = if is_left {
                brief.wall.left
            } else {
                brief.wall.right
            };
            let own = brief.end_height(is_left);
            let met = corner.with.and_then(|with| brief.building.walls.get(with));
            met.map_or(own, |wall| own.min(wall.end_height(!is_left)))
        })
        .collect()
}

fn is_mitred(edge: PanelEdge) -> bool {
    matches!(
        edge,
        PanelEdge::Corner {
            end: WallEnd::Mitre { .. } | WallEnd::Filled { .. },
            ..
        }
    )
}

fn sealant(brief: &PanelBrief<'_>, edges: &[SkinEdge]) -> Length {
    let is_infill = brief.panel.kind != PanelKind::Wall;
    let flat = edges.iter().filter(|edge| match edge.joint {
        EdgeJoint::Plate | EdgeJoint::Spline => true,
        EdgeJoint::Jamb => is_infill,
        EdgeJoint::Corner | EdgeJoint::Buck | EdgeJoint::Free | EdgeJoint::Bridge => false,
    });
    let is_butt = |edge: PanelEdge| {
        matches!(
            edge,
            PanelEdge::Corner {
                end: WallEnd::Butt,
                ..
            }
        )
    };
    let is_askew = is_mitred(brief.panel.left) && brief.wall.left.kind == CornerKind::Tee;
    let is_sealed = [
        is_butt(brief.panel.left) || is_askew,
        is_butt(brief.panel.right) || is_mitred(brief.panel.right),
    ];
    let ends = [true, false].into_iter().zip(is_sealed);
    let ends = ends.filter(|(_, is_sealed)| *is_sealed);
    let upright: Length = ends.map(|(is_left, _)| brief.end_height(is_left)).sum();
    (flat.map(length).sum::<Length>() + upright) * 2
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
