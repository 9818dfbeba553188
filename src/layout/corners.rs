//! Where a wall's run of panels begins and ends, once it is decided who runs through at each corner.
//!
//! ```text
//!   outside corner, A runs through      inside corner, A runs through     any other corner
//!        │ B │                          ═══════════A═══════════╗               ╲ B
//!        └───┘ ◄ B stops T short        outside face ──────┐   ║ ◄ A passes     ╲
//!   ════════════╗                                          │ B │   B's end      ╱ both ends bevelled
//!   ══════A═════╝ ◄ A reaches the                          │   │   by T        ╱  by half the turn
//!                   corner                                                    ╱ A
//! ```
//!
//! At a square outside corner the run-through wall reaches the corner of the outside faces and the other one stops at its
//! inside face. At an inside corner the square where both would stand lies beyond both outside faces: the run-through
//! wall passes the corner by the other's thickness, the other one starts at the corner. Check value (trade rule, derived):
//! 28'-0" out to out with two butts against 6-1/2 in panels leaves 26'-11".

use super::WallEnd;
use crate::building::{Building, Corner, CornerKind, PanelWall};
use crate::rules::PlantRules;
use crate::units::Length;

/// What a wall does at a square corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Role {
    /// Runs through.
    Through,
    /// Butts.
    Butt,
}

/// The two ends of a run, along the wall's outside face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ends {
    pub(crate) from: Length,
    pub(crate) to: Length,
    pub(crate) left: WallEnd,
    pub(crate) right: WallEnd,
}

/// The run of a wall whose ends play these roles; roles do not matter at corners that are not square.
pub(crate) fn ends(
    building: &Building,
    rules: &PlantRules,
    wall: &PanelWall,
    left: Role,
    right: Role,
) -> Ends {
    let (left_in, left_end) = end(building, rules, &wall.left, left);
    let (right_in, right_end) = end(building, rules, &wall.right, right);
    Ends {
        from: left_in,
        to: wall.face_length - right_in,
        left: left_end,
        right: right_end,
    }
}

/// True when somebody must run through at this corner.
pub(crate) fn is_square(corner: &Corner) -> bool {
    corner.with.is_some() && matches!(corner.kind, CornerKind::Outside | CornerKind::Inside)
}

/// How far short of the corner the run ends (negative: beyond it), and how.
fn end(building: &Building, rules: &PlantRules, corner: &Corner, role: Role) -> (Length, WallEnd) {
    let Some(other) = corner.with.and_then(|index| building.walls.get(index)) else {
        return (Length::ZERO, WallEnd::Free);
    };
    let thickness = rules
        .assemblies
        .get(other.assembly)
        .map_or(Length::ZERO, crate::rules::Assembly::thickness);
    match (corner.kind, role) {
        (CornerKind::Outside, Role::Through) => (Length::ZERO, WallEnd::Through),
        (CornerKind::Outside, Role::Butt) => (thickness, WallEnd::Butt),
        (CornerKind::Inside, Role::Through) => (-thickness, WallEnd::Through),
        (CornerKind::Inside, Role::Butt) => (Length::ZERO, WallEnd::Butt),
        // Turning left makes an outside corner, where the outer skin is the longer one.
        (CornerKind::Odd, _) => (
            Length::ZERO,
            WallEnd::Mitre {
                bevel_deg: corner.turn_deg / 2.0,
            },
        ),
        (CornerKind::Free, _) => (Length::ZERO, WallEnd::Free),
    }
}
