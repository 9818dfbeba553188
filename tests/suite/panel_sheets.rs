//! Panel sheets and elevations of all samples: nothing stands on anything, and every panel has exactly one sheet.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::{
    ElevationInput, PanelSheetInput, TitleFacts, elevation_sheets, panel_sheets,
};
use panelwright::rules::PlantRules;

#[test]
fn nothing_stands_on_anything_on_panel_sheets() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let facts = TitleFacts {
            building: (*case).to_owned(),
            ..TitleFacts::default()
        };
        let rules = PlantRules::default();
        let sheets = panel_sheets(&PanelSheetInput {
            building: &made.building,
            layout: &made.layout,
            fabrication: &made.fabrication,
            rules: &rules,
            facts: &facts,
            north_deg: Some(0.0),
        });
        assert_eq!(sheets.len(), made.fabrication.panels.len(), "{case}");
        for sheet in &sheets {
            assert_eq!(overlaps(sheet), [], "{case} {}", sheet.name);
        }
    }
}

#[test]
fn nothing_stands_on_anything_on_elevations() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let facts = TitleFacts {
            building: (*case).to_owned(),
            ..TitleFacts::default()
        };
        let rules = PlantRules::default();
        let sheets = elevation_sheets(&ElevationInput {
            building: &made.building,
            layout: &made.layout,
            fabrication: &made.fabrication,
            rules: &rules,
            facts: &facts,
        });
        assert_eq!(sheets.len(), made.building.walls.len(), "{case}");
        for sheet in &sheets {
            assert_eq!(overlaps(sheet), [], "{case} {}", sheet.name);
        }
    }
}
