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

/// Draws the sheets of every sample, and expects as many as there are things to draw, without overlaps.
#[track_caller]
fn check(
    draw: impl Fn(&Made, &PlantRules, &TitleFacts) -> Vec<Sheet>,
    count: impl Fn(&Made) -> usize,
) {
    let rules = PlantRules::default();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let facts = TitleFacts {
            building: (*case).to_owned(),
            ..TitleFacts::default()
        };
        let sheets = draw(&made, &rules, &facts);
        assert!(!sheets.is_empty() && sheets.len() == count(&made), "{case}");
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
        |made| made.fabrication.panels.len(),
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
        |made| made.building.walls.len(),
    );
}
