//! Panel sheets and elevations of all samples: nothing stands on anything, and every panel and wall has exactly one sheet.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::Sheet;
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::{
    ElevationInput, PanelSheetInput, TitleFacts, elevation_sheets, panel_sheets,
};
use panelwright::package::Made;
use panelwright::plan::Plan;
use panelwright::rules::PlantRules;

/// Draws the sheets of every sample, and expects all there is to draw, without overlaps.
#[track_caller]
fn check(
    draw: impl Fn(&Made, &PlantRules, &TitleFacts) -> Vec<Sheet>,
    is_complete: impl Fn(&Made, &[Sheet]) -> bool,
) {
    let rules = PlantRules::default();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let facts = TitleFacts {
            building: (*case).to_owned(),
            ..TitleFacts::default()
        };
        let sheets = draw(&made, &rules, &facts);
        assert!(is_complete(&made, &sheets), "{case}");
        for sheet in &sheets {
            assert_eq!(overlaps(sheet), [], "{case} {}", sheet.name);
        }
    }
}

#[test]
fn nothing_stands_on_anything_on_panel_sheets() {
    check(
        |made, rules, facts| {
            panel_sheets(&PanelSheetInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                rules,
                facts,
                issue: &panelwright::documents::IssueFacts::default(),
                north_deg: Some(0.0),
            })
        },
        |made, sheets| sheets.len() == made.fabrication.panels.len(),
    );
}

#[test]
fn nothing_stands_on_anything_on_elevations() {
    check(
        |made, rules, facts| {
            elevation_sheets(&ElevationInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                rules,
                facts,
                plan: &Plan::default(),
            })
        },
        |made, sheets| {
            let own = |sheet: &Sheet| {
                let data = sheet.data.iter().find(|(key, _)| key == "elevation");
                data.map_or("", |(_, walls)| walls.as_str()).to_owned()
            };
            let shown: Vec<String> = sheets.iter().map(own).collect();
            let shown = shown.join(" ");
            let walls: Vec<&str> = made
                .building
                .walls
                .iter()
                .map(|it| it.id.as_str())
                .collect();
            shown.split(' ').collect::<Vec<_>>() == walls
        },
    );
}
