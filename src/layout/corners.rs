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

use super::{WallEnd, make_up};
use crate::building::{Building, Corner, CornerKind, PanelWall};
use crate::rules::{OddCorner, PlantRules};
use crate::units::Length;

/// What a wall does at a square corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Role {
    /// Runs through.
    Through,
    /// Butts.
    Butt,
}

/// One end of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RunEnd {
    /// Where the outer skin ends, along the wall's outside face.
    pub(crate) at: Length,
    /// How it ends.
    pub(crate) end: WallEnd,
    /// How much of the run's end another wall covers: its thickness where this wall runs through.
    pub(crate) cover: Length,
    /// By how much a bevel makes the inner skin shorter than the outer one; negative where it is longer.
    pub(crate) inner_shorter: Length,
    /// Thickness of the wall met here.
    pub(crate) other_thickness: Length,
    /// How much longer the panel here is made, to be trimmed on site.
    pub(crate) make_up: Length,
}

/// The two ends of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ends {
    pub(crate) left: RunEnd,
    pub(crate) right: RunEnd,
}

impl Ends {
    /// From end to end of the outer skin.
    pub(crate) fn length(&self) -> Length {
        self.right.at - self.left.at
    }

    /// The same ends, each panel made to its place.
    pub(crate) fn without_make_up(mut self) -> Self {
        self.right.make_up = Length::ZERO;
        self
    }
}

/// The run of a wall whose ends play these roles; roles do not matter at corners that are not square.
pub(crate) fn ends(
    building: &Building,
    rules: &PlantRules,
    wall: &PanelWall,
    left: Role,
    right: Role,
) -> Ends {
    let (mut left, mut right) = (
        end(building, rules, wall, &wall.left, left),
        end(building, rules, wall, &wall.right, right),
    );
    right.at = wall.face_length - right.at;
    // A run that stops short of its corner meets nothing there.
    if left.end == WallEnd::Free {
        left.at = wall.stops[0];
    }
    if right.end == WallEnd::Free {
        right.at = wall.face_length - wall.stops[1];
    }
    if make_up::refusal(wall, &right, rules).is_none() {
        right.make_up = rules.joints.make_up;
    }
    Ends { left, right }
}

/// True when somebody must run through at this corner.
pub(crate) fn is_square(corner: &Corner) -> bool {
    corner.with.is_some() && matches!(corner.kind, CornerKind::Outside | CornerKind::Inside)
}

/// The end at a corner; `at` is how far short of the corner the run ends, negative beyond it.
fn end(
    building: &Building,
    rules: &PlantRules,
    wall: &PanelWall,
    corner: &Corner,
    role: Role,
) -> RunEnd {
    let thickness = |wall: &PanelWall| {
        let assembly = rules.assemblies.get(wall.assembly);
        assembly.map_or(Length::ZERO, crate::rules::Assembly::thickness)
    };
    let plain = |at: Length, end: WallEnd, other: Length| RunEnd {
        at,
        end,
        cover: if end == WallEnd::Through {
            other
        } else {
            Length::ZERO
        },
        inner_shorter: Length::ZERO,
        other_thickness: other,
        make_up: Length::ZERO,
    };
    let Some(other) = corner.with.and_then(|index| building.walls.get(index)) else {
        return plain(Length::ZERO, WallEnd::Free, Length::ZERO);
    };
    let (own, met) = (thickness(wall), thickness(other));
    match (corner.kind, role) {
        (CornerKind::Outside, Role::Through) => plain(Length::ZERO, WallEnd::Through, met),
        (CornerKind::Outside, Role::Butt) => plain(met, WallEnd::Butt, met),
        (CornerKind::Inside, Role::Through) => plain(-met, WallEnd::Through, met),
        (CornerKind::Inside, Role::Butt) => plain(Length::ZERO, WallEnd::Butt, met),
        (CornerKind::Tee, _) if corner.turn_deg != 0.0 => {
            let bevel_deg = corner.turn_deg;
            let shorter = own.to_inches() * bevel_deg.to_radians().tan();
            RunEnd {
                inner_shorter: Length::nearest(shorter, Length::nanometres(1)).unwrap_or_default(),
                ..plain(Length::ZERO, WallEnd::Mitre { bevel_deg }, met)
            }
        }
        (CornerKind::Tee, _) => plain(Length::ZERO, WallEnd::Butt, met),
        (CornerKind::Free, _) => plain(Length::ZERO, WallEnd::Free, Length::ZERO),
        (CornerKind::Odd, _) => {
            let bevel_deg = bevel(corner.turn_deg, own, met);
            let shorter = own.to_inches() * bevel_deg.to_radians().tan();
            let shorter = Length::nearest(shorter, Length::nanometres(1)).unwrap_or_default();
            // Walls so unlike that one would be wider outside and the other inside touch nowhere when cut square.
            let is_alike = bevel_deg.signum() == bevel(corner.turn_deg, met, own).signum();
            if rules.corners.odd == OddCorner::Square && is_alike {
                let at = shorter.max(Length::ZERO);
                return plain(at, WallEnd::Filled { bevel_deg }, met);
            }
            RunEnd {
                inner_shorter: shorter,
                ..plain(Length::ZERO, WallEnd::Mitre { bevel_deg }, met)
            }
        }
    }
}

/// The bevel of a wall `own` thick that meets one `met` thick, turning by `turn_deg` (left is positive), degrees.
///
/// Of walls equally thick it is half the turn. Otherwise both bevels lie in the plane through the corner of the outside
/// faces and the corner of the inside faces: tan b = (met − own · cos t) / (own · sin t).
/// Turning left makes an outside corner, where the outer skin is the longer one and the bevel positive.
fn bevel(turn_deg: f64, own: Length, met: Length) -> f64 {
    let turn = turn_deg.to_radians();
    let along = own.to_inches() * turn.sin();
    if own == met || along.abs() < f64::EPSILON {
        return turn_deg / 2.0;
    }
    ((met.to_inches() - own.to_inches() * turn.cos()) / along)
        .atan()
        .to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_walls_are_bevelled_by_half_the_turn_and_unequal_ones_meet_in_one_plane() {
        let (thin, thick) = (Length::fraction(4, 1, 2), Length::fraction(6, 1, 2));
        assert!((bevel(45.0, thin, thin) - 22.5).abs() < 1e-12);
        assert!((bevel(-45.0, thick, thick) + 22.5).abs() < 1e-12);
        // The two bevels of one corner are parts of the turn: together they make it up.
        for turn in [20.0, 45.0, 90.0, 120.0, -30.0] {
            let sum = bevel(turn, thin, thick) + bevel(turn, thick, thin);
            assert!((sum - turn).abs() < 1e-9, "{turn}: {sum}");
        }
    }
}
