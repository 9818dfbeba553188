//! Joints of the wall below, for a wall of an upper storey.
//!
//! ```text
//!   upper   ├──────┼───────┼────┤
//!   lower ├────────┼───────┼────┤     the same face of the building, one storey down
//! ```
//!
//! Storeys are laid out from the lowest up, so what stands below is known; the layout of an upper wall is the least given that.

use super::ring::Chosen;
use super::run::grid;
use crate::building::{Building, PanelWall};
use crate::rules::PlantRules;
use crate::units::Length;

/// How far beside each other the faces of two walls may lie that stand over each other, inches: less than a panel is thick.
const BESIDE: f64 = 3.0;

/// Where joints of the walls below stand, along this wall, rising; `None` where no wall stands below.
pub(crate) fn joints_below(
    building: &Building,
    rules: &PlantRules,
    wall: &PanelWall,
    chosen: &[Option<Chosen>],
) -> Option<Vec<Length>> {
    let below = wall.storey_index.checked_sub(1)?;
    let mut is_over = false;
    let mut joints = Vec::new();
    for (other, chosen) in building.walls.iter().zip(chosen) {
        if other.storey_index != below {
            continue;
        }
        let along = wall.frame.along;
        let is_parallel = along.x * other.frame.along.x + along.y * other.frame.along.y > 0.999_999;
        let (start, out) = wall.frame.local(other.frame.origin);
        let end = start + other.face_length.to_inches();
        let overlaps = end > 0.0 && start < wall.face_length.to_inches();
        if !is_parallel || out.abs() > BESIDE || !overlaps {
            continue;
        }
        is_over = true;
        let start = Length::nearest(start, grid(rules)).unwrap_or_default();
        let solution = chosen.as_ref().and_then(|it| it.solution.as_ref());
        joints.extend(
            solution
                .iter()
                .flat_map(|it| it.joints())
                .map(|x| x + start),
        );
    }
    joints.sort_unstable();
    is_over.then_some(joints)
}
