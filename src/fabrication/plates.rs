//! The plates of each wall as cut: they cross the panel joints and belong to the wall.

use super::WallPlate;
use crate::building::{Building, PanelWall};
use crate::layout::{Layout, PlateRun, PlateUse, WallLayout};
use crate::rules::{PlantRules, SoleAtDoors};
use crate::units::{Inches, Length};

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
            let [bottom, bottom_to] = bottoms(wall, run, plate, thickness);
            let width = match plate.plate {
                PlateUse::Sole | PlateUse::Top => stud_width,
                PlateUse::Cap => assembly.thickness(),
            };
            let level = plate.to - plate.from;
            let rise = (bottom_to - bottom).to_inches();
            let (length, degrees) = if bottom == bottom_to {
                (level, 0.0)
            } else {
                let slant = level.to_inches().hypot(rise);
                let length = Length::nearest(slant, Length::nanometres(1)).unwrap_or(level);
                (length, rise.atan2(level.to_inches()).to_degrees().abs())
            };
            let inches = [length, thickness, width].map(Length::to_inches);
            plates.push(WallPlate {
                mark: plate.mark.clone(),
                wall: run.wall,
                plate: plate.plate,
                section: as_cut(&plate.section, width, rules),
                grade: rules.lumber.grade.clone(),
                from: plate.from,
                to: plate.to,
                bottom,
                bottom_to,
                cut_out: cut_out(wall, run, plate, rules.plates.sole_at_doors),
                length,
                end_cuts: [[degrees, 0.0]; 2],
                weight_lb: inches.iter().product::<f64>() / 1728.0 * rules.lumber.density,
            });
        }
    }
    plates
}

/// `2x8`, or `2x8 ripped to 6 1/2` where the plate is narrower than what it is sawn from.
fn as_cut(section: &str, width: Length, rules: &PlantRules) -> String {
    let sections = &rules.lumber.sections;
    if sections.get(section).is_some_and(|it| it.width > width) {
        format!("{section} ripped to {}", Inches(width))
    } else {
        section.to_owned()
    }
}

/// What of a sole plate lies under doors for erection only: between their jambs.
fn cut_out(
    wall: &PanelWall,
    run: &WallLayout,
    plate: &PlateRun,
    at_doors: SoleAtDoors,
) -> Vec<[Length; 2]> {
    if plate.plate != PlateUse::Sole || at_doors != SoleAtDoors::RunsThrough {
        return Vec::new();
    }
    let doors = wall.openings.iter().filter(|opening| wall.is_door(opening));
    let spans = doors.map(|it| {
        let [from, to] = [it.from - run.from, it.to - run.from];
        [from.max(plate.from), to.min(plate.to)]
    });
    spans.filter(|[from, to]| from < to).collect()
}

/// The undersides of a plate's two ends above the deck.
fn bottoms(wall: &PanelWall, run: &WallLayout, plate: &PlateRun, thickness: Length) -> [Length; 2] {
    let ends = [plate.from + run.from, plate.to + run.from];
    if plate.plate == PlateUse::Sole {
        let [base, _] = wall.profile.base_range(ends[0], ends[1]);
        return [base; 2];
    }
    // A plate lies under one stretch: that over its middle.
    let middle = ends[0] + (ends[1] - ends[0]).half();
    let Some(stretch) = wall.profile.stretch(middle, false) else {
        return [wall.stack.panel_top; 2];
    };
    let below = match plate.plate {
        PlateUse::Top => stretch.upright(thickness),
        PlateUse::Sole | PlateUse::Cap => Length::ZERO,
    };
    ends.map(|x| stretch.at(x) - below)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{inches, reference};
    use crate::layout::{PlateRun, PlateUse};

    #[test]
    fn plates_lie_at_their_heights_and_weigh_their_lumber() {
        //   cap    108       1 1/2 x 6 1/2
        //   top    106 1/2   1 1/2 x 5 1/2
        //   sole     0       1 1/2 x 5 1/2        12 ft at 28 pcf: 1.5 x 5.5 / 144 x 12 x 28 = 19.25 lb
        let mut scene = reference();
        for (mark, plate) in [
            ("SP1", PlateUse::Sole),
            ("TP1", PlateUse::Top),
            ("CP1", PlateUse::Cap),
        ] {
            scene.layout.walls[0].plates.push(PlateRun {
                mark: mark.to_owned(),
                plate,
                section: "2x6".to_owned(),
                from: inches("0"),
                to: inches("144"),
            });
        }
        let made = scene.make().output;
        let table: Vec<String> = made
            .plates
            .iter()
            .map(|p| format!("{} {} {:.2}", p.mark, p.bottom, p.weight_lb))
            .collect();
        assert_eq!(
            table,
            ["SP1 0\" 19.25", "TP1 106 1/2\" 19.25", "CP1 108\" 22.75"]
        );
        // A panel's bottom edge names the plate it stands on.
        assert_eq!(made.panels[0].edges[0].with.as_deref(), Some("SP1"));
    }
}
