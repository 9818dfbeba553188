//! How far the foam stands back at each of a panel's four sides, and every edge with its joint.
//!
//! ```text
//!   kind      bottom                       top            ends
//!   wall      sole plate                   top plate      spline, stud, jamb pack
//!   header    head buck and header         top plate      end studs
//!   sill      sole plate                   sill buck      end studs
//! ```

use super::brief::{PanelBrief, bevel_of};
use super::lumber::{
    EndPack, Home, OpeningFrame, Piece, PieceKind, Side, StackPlace, end_pack, header_stack,
    jacks_beside, sizing_note, stud, under_plate_note, under_slope,
};
use super::{EdgeContour, EdgeJoint, PartFace, SkinEdge};
use crate::findings::Finding;
use crate::geometry::{ShopPoint, ShopRect};
use crate::layout::{PanelEdge, PanelKind, PlateUse};
use crate::units::Length;

/// What lies in the four sides of a panel.
pub(super) struct Recesses {
    pub(super) left: EndPack,
    pub(super) right: EndPack,
    pub(super) bottom: Length,
    pub(super) top: Length,
    /// At an upright side of a step in base or top.
    pub(super) step: Length,
    /// Lumber along bottom and top that is the panel's own: header, head and sill bucks.
    pub(super) level_pieces: Vec<Piece>,
    pub(super) notes: Vec<String>,
    pub(super) findings: Vec<Finding>,
}

/// Lays lumber and foam back along the four sides.
pub(super) fn recess(brief: &PanelBrief<'_>) -> Recesses {
    let rules = brief.rules;
    let plate = rules.recesses.plate + rules.recesses.seat;
    let mut bottom = (rules.plates.thickness, plate);
    let mut top = (rules.plates.thickness, plate);
    let mut level_pieces = Vec::new();
    let mut notes = Vec::new();
    let mut findings = Vec::new();
    match brief.panel.kind {
        PanelKind::Wall => level_pieces.extend(step_studs(brief)),
        PanelKind::Header => {
            if let Some(index) = framed_opening(brief)
                && let Some(opening) = brief.opening(index)
            {
                let rough = brief.rough(opening);
                let pack = |is_left| brief.stud.thickness * jacks_beside(brief, index, is_left);
                let place = StackPlace {
                    home: Home::Bottom,
                    x0: rough.x0 - pack(true),
                    x1: rough.x1 + pack(false),
                    y0: Length::ZERO,
                };
                let stack = header_stack(brief, opening, &place);
                bottom = (stack.height, stack.height + rules.recesses.seat);
                level_pieces.extend(stack.pieces);
                findings.extend(stack.findings);
                notes.push(if stack.height == Length::ZERO {
                    under_plate_note(opening)
                } else {
                    sizing_note(opening)
                });
            }
        }
        PanelKind::Sill => {
            let thickness = brief.stud.thickness;
            top = (thickness, rules.recesses.buck + rules.recesses.seat);
            let rect = ShopRect::new(
                Length::ZERO,
                brief.height - thickness,
                brief.width,
                brief.height,
            );
            let kind = PieceKind {
                home: Home::Top,
                usage: "buck sill",
                section: &brief.assembly.lumber,
                rule: "openings.buck",
            };
            level_pieces.push(stud(brief, &kind, rect, false));
        }
    }
    let plates = [bottom.0, top.0];
    Recesses {
        left: end_pack(brief, Home::Left, plates),
        right: end_pack(brief, Home::Right, plates),
        step: rules.recesses.end_stud + rules.recesses.seat,
        bottom: bottom.1,
        top: top.1,
        level_pieces,
        notes,
        findings,
    }
}

/// A stud along each upright side of a step: a base's stands on the lower sole, a top's reaches the upper plate.
///
/// ```text
///        ┌────────        ────┐   ┌────
///        │▓               ────┘   │▓
///   ─────┘▓                  ▓│   ▓
///         ▓                  ▓└────
/// ```
fn step_studs(brief: &PanelBrief<'_>) -> Vec<Piece> {
    let (plate, thickness) = (brief.rules.plates.thickness, brief.stud.thickness);
    let outline = brief.outline_at(Length::ZERO);
    let [low, high] = [Length::ZERO, brief.width];
    let inner = |(a, b): &(ShopPoint, ShopPoint)| a.x == b.x && a.x != low && a.x != high;
    let steps = outline.sides().filter(inner);
    steps
        .map(|(a, b)| {
            // The inside lies on the left of the side.
            let x0 = if b.y > a.y { a.x - thickness } else { a.x };
            let (bottom, top) = (a.y.min(b.y), a.y.max(b.y));
            let foot = brief.foot(x0, x0 + thickness, Length::ZERO);
            let rect = if bottom == foot {
                ShopRect::new(x0, bottom + plate, x0 + thickness, top)
            } else {
                let [head, _] = brief.head(x0, x0 + thickness, plate);
                ShopRect::new(x0, bottom, x0 + thickness, head)
            };
            let kind = PieceKind {
                home: Home::Step(a.x),
                usage: "step stud",
                section: &brief.assembly.lumber,
                rule: "recesses.end_stud",
            };
            under_slope(brief, stud(brief, &kind, rect, true))
        })
        .filter(|piece| piece.lumber.rect.y0 < piece.lumber.rect.y1)
        .collect()
}

/// The opening that a header or sill panel stands in: the one whose rough jambs it lies between.
pub(super) fn framed_opening(brief: &PanelBrief<'_>) -> Option<usize> {
    if brief.panel.kind == PanelKind::Wall {
        return None;
    }
    brief.wall.openings.iter().position(|opening| {
        let rough = brief.rough(opening);
        rough.x0 <= Length::ZERO && brief.width <= rough.x1
    })
}

/// Every straight side of the outer skin's contours with its joint, and the edge of the panel it belongs to.
pub(super) fn edges(
    brief: &PanelBrief<'_>,
    outer: &PartFace,
    recesses: &Recesses,
    openings: &[OpeningFrame],
) -> Vec<(Home, SkinEdge)> {
    let mut edges = Vec::new();
    for (from, to) in outer.outline.sides() {
        let home = outline_home(brief, from, to, openings);
        edges.push((
            home,
            side(
                brief,
                home,
                EdgeContour::Outline,
                (from, to),
                recesses,
                openings,
            ),
        ));
    }
    for hole in &outer.holes {
        for (from, to) in hole.sides() {
            let Some(home) = opening_home(from, to, openings) else {
                continue;
            };
            let id = match home {
                Home::Opening(index, _) => openings.iter().find(|o| o.index == index),
                _ => None,
            };
            let contour = EdgeContour::Opening(id.map(|o| o.id.clone()).unwrap_or_default());
            edges.push((
                home,
                side(brief, home, contour, (from, to), recesses, openings),
            ));
        }
    }
    edges
}

fn outline_home(
    brief: &PanelBrief<'_>,
    from: ShopPoint,
    to: ShopPoint,
    openings: &[OpeningFrame],
) -> Home {
    let upright = from.x == to.x;
    match (upright, from.x) {
        (true, x) if x <= Length::ZERO => return Home::Left,
        (true, x) if x >= brief.width => return Home::Right,
        _ => {}
    }
    // Contours run with the panel on their left: a base runs to the right, a top to the left.
    opening_home(from, to, openings).unwrap_or(match (upright, to.x > from.x) {
        (true, _) => Home::Step(from.x),
        (false, true) => Home::Bottom,
        (false, false) => Home::Top,
    })
}

fn opening_home(from: ShopPoint, to: ShopPoint, openings: &[OpeningFrame]) -> Option<Home> {
    openings.iter().find_map(|opening| {
        let hole = opening.skin_hole;
        let (low, high) = (from.min(to), from.max(to));
        let in_x = hole.x0 <= low.x && high.x <= hole.x1;
        let in_y = hole.y0 <= low.y && high.y <= hole.y1;
        let side = if from.x == to.x {
            [(hole.x0, Side::Left), (hole.x1, Side::Right)]
                .into_iter()
                .find(|(x, _)| *x == from.x && in_y)
        } else {
            [(hole.y1, Side::Head), (hole.y0, Side::Sill)]
                .into_iter()
                .find(|(y, _)| *y == from.y && in_x)
        };
        side.map(|(_, side)| Home::Opening(opening.index, side))
    })
}

fn side(
    brief: &PanelBrief<'_>,
    home: Home,
    contour: EdgeContour,
    (from, to): (ShopPoint, ShopPoint),
    recesses: &Recesses,
    openings: &[OpeningFrame],
) -> SkinEdge {
    let mut edge = SkinEdge {
        contour,
        from,
        to,
        joint: EdgeJoint::Plate,
        recess: Length::ZERO,
        slots: Vec::new(),
        bevel_deg: 0.0,
        with: None,
    };
    match home {
        Home::Left | Home::Right => {
            let (pack, layout_edge) = if home == Home::Left {
                (&recesses.left, brief.panel.left)
            } else {
                (&recesses.right, brief.panel.right)
            };
            edge.joint = pack.joint;
            edge.recess = pack.recess;
            edge.slots.clone_from(&pack.slots);
            edge.bevel_deg = bevel_of(layout_edge);
            edge.with = neighbour(brief, layout_edge);
        }
        Home::Bottom | Home::Top => {
            let is_buck = matches!(
                (brief.panel.kind, home),
                (PanelKind::Header, Home::Bottom) | (PanelKind::Sill, Home::Top)
            );
            (edge.recess, edge.with) = if home == Home::Bottom {
                let sole = plates(brief, PlateUse::Sole, from, to);
                (recesses.bottom + brief.drop, sole)
            } else {
                (recesses.top, plates(brief, PlateUse::Top, from, to))
            };
            if is_buck {
                edge.joint = EdgeJoint::Buck;
                edge.with = framed_opening(brief)
                    .and_then(|index| brief.opening(index))
                    .map(|opening| opening.id.clone());
            }
        }
        Home::Field => {}
        Home::Step(_) => {
            edge.joint = EdgeJoint::Free;
            edge.recess = recesses.step;
        }
        Home::Opening(index, side) => {
            edge.joint = EdgeJoint::Buck;
            if let Some(opening) = openings.iter().find(|o| o.index == index) {
                let (skin, foam) = (opening.skin_hole, opening.foam_hole);
                edge.recess = match side {
                    Side::Left => skin.x0 - foam.x0,
                    Side::Right => foam.x1 - skin.x1,
                    Side::Head => foam.y1 - skin.y1,
                    Side::Sill => skin.y0 - foam.y0,
                };
                edge.with = Some(opening.id.clone());
            }
        }
    }
    edge
}

fn neighbour(brief: &PanelBrief<'_>, edge: PanelEdge) -> Option<String> {
    match edge {
        PanelEdge::Spline { with, .. } => brief.layout.panels.get(with).map(|p| p.mark.clone()),
        PanelEdge::Corner { with, .. } => brief.building.walls.get(with).map(|w| w.id.clone()),
        PanelEdge::Jamb { opening } => brief.opening(opening).map(|o| o.id.clone()),
        PanelEdge::Free => None,
    }
}

/// Marks of the pieces of plate that lie along an edge: `T1`, or `T1, T2` where two meet over the panel.
fn plates(
    brief: &PanelBrief<'_>,
    plate: PlateUse,
    from: ShopPoint,
    to: ShopPoint,
) -> Option<String> {
    let left = brief.panel.rect.x0;
    let (x0, x1) = (left + from.x.min(to.x), left + from.x.max(to.x));
    let marks: Vec<&str> = brief
        .run
        .plates
        .iter()
        .filter(|run| run.plate == plate && run.from < x1 && x0 < run.to)
        .map(|run| run.mark.as_str())
        .collect();
    (!marks.is_empty()).then(|| marks.join(", "))
}
