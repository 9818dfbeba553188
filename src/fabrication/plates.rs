//! The plates of each wall as cut: they cross the panel joints and belong to the wall.

use super::WallPlate;
use crate::building::Building;
use crate::layout::{Layout, PlateUse};
use crate::rules::PlantRules;
use crate::units::Length;

/// Every piece of plate with its height, grade and weight, wall by wall.
///
/// A cap is as wide as the panel is thick; sole and top plate as wide as the section that fits the core.
pub(super) fn wall_plates(
    building: &Building,
    layout: &Layout,
    rules: &PlantRules,
) -> Vec<WallPlate> {
    let mut plates = Vec::new();
    for run in &layout.walls {
        let Some(wall) = building.walls.get(run.wall) else {
            continue;
        };
        let Some(assembly) = rules.assemblies.get(wall.assembly) else {
            continue;
        };
        let thickness = rules.plates.thickness;
        let stud_width = rules
            .lumber
            .sections
            .get(&assembly.lumber)
            .map_or(assembly.core, |section| section.width);
        for plate in &run.plates {
            let (bottom, width) = match plate.plate {
                PlateUse::Sole => (wall.stack.panel_bottom, stud_width),
                PlateUse::Top => (wall.stack.panel_top - thickness, stud_width),
                PlateUse::Cap => (wall.stack.panel_top, assembly.thickness()),
            };
            let inches = [plate.to - plate.from, thickness, width].map(Length::to_inches);
            plates.push(WallPlate {
                mark: plate.mark.clone(),
                wall: run.wall,
                plate: plate.plate,
                section: plate.section.clone(),
                grade: rules.lumber.grade.clone(),
                from: plate.from,
                to: plate.to,
                bottom,
                weight_lb: inches.iter().product::<f64>() / 1728.0 * rules.lumber.density,
            });
        }
    }
    plates
}
