//! Walls of panels with one skin: liners, and what closes a frame that carries by itself.
//!
//! ```text
//!   ═══════════ skin          a panel carries because two skins and the foam between them act together;
//!   ░░░░░░░░░░░ foam          with one skin it is a board with foam glued to it, and bears nothing
//! ```

use super::codes;
use super::model::{PanelWall, WallRole};
use super::raise::{Raising, element_place, storey_place};
use crate::findings::Finding;
use crate::plan::Storey;
use crate::rules::Assembly;
use crate::units::Length;

/// Refuses panels with one skin in walls that bear, and asks about those that stand.
pub(super) fn report(raising: &mut Raising<'_>, storey: &Storey, walls: &mut [PanelWall]) {
    let mut liners = Vec::new();
    for wall in walls {
        let assembly = raising.rules.assemblies.get(wall.assembly);
        let Some((assembly, bare)) = assembly.and_then(|it| Some((it, it.bare()?))) else {
            continue;
        };
        let bare = bare.name();
        let place = || element_place(storey, &wall.id).with_sources(wall.sources.iter());
        if wall.skin_drop > Length::ZERO && bare == "outer" {
            wall.on_hold = true;
            raising.findings.push(Finding::fault(
                codes::ONE_SKIN_BEARS,
                place(),
                format!(
                    "the outer skin of {} is to drop by {}, and its panels ({}) have none",
                    wall.id, wall.skin_drop, assembly.name
                ),
                "leave skin_drop at 0 there, or take an assembly with an outer skin",
            ));
            wall.skin_drop = Length::ZERO;
        }
        if let Some(why) = bears(wall) {
            wall.on_hold = true;
            raising.findings.push(Finding::fault(
                codes::ONE_SKIN_BEARS,
                place(),
                format!(
                    "{} is made of {} panels, whose {bare} face is bare, and {why}: panels with one skin bear nothing",
                    wall.id, assembly.name
                ),
                "take an assembly with two skins; or, where something else carries, have the engineer name it and say bears = false in job.toml, under [wall] or in [[wall.only]]",
            ));
        }
        liners.push(named(wall, assembly));
    }
    if !liners.is_empty() {
        raising.findings.push(Finding::doubt(
            codes::ONE_SKIN,
            storey_place(storey),
            format!(
                "panels with one skin bear nothing, neither upright loads nor wind across them by any table: {}; not sized: engineer",
                liners.join(", ")
            ),
            "have the engineer name what carries beside them and how they are fixed to it",
        ));
    }
}

fn named(wall: &PanelWall, assembly: &Assembly) -> String {
    format!("{} ({}: {})", wall.id, assembly.name, assembly.skin_words())
}

/// Why a wall counts as bearing; `None` where it does not.
fn bears(wall: &PanelWall) -> Option<String> {
    if !wall.bearing.is_empty() {
        return Some(format!("the job has {} bear on it", wall.bearing));
    }
    let by_role = match wall.role {
        WallRole::Partition => return None,
        WallRole::Bearing => return Some("the job has it as a bearing wall".to_owned()),
        WallRole::Exterior => "every exterior wall counts as bearing (IRC R610.2)",
        WallRole::Party => "a party wall counts as bearing",
    };
    wall.bears.then(|| by_role.to_owned())
}
