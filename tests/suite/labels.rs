//! Labels: one for each panel and bundle, nothing on anything, whatever the size.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::to_svg;
use panelwright::documents::{LabelInput, TitleFacts, label_pages};
use panelwright::fabrication::Hold;
use panelwright::loads::plan_loads;
use panelwright::rules::PlantRules;
use panelwright::units::Length;

#[test]
fn nothing_stands_on_anything_on_a_label_of_any_size() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let mut fabrication = made.fabrication;
        for it in &mut fabrication.panels {
            it.revision = "B".to_owned();
        }
        fabrication.panels[0].holds.push(Hold {
            code: "FAB-02".to_owned(),
            reason: "a test".to_owned(),
        });
        let facts = TitleFacts {
            building: "Bunkhouse with boat shed, wash house and a very long name".to_owned(),
            number: "J-2607".to_owned(),
            ..TitleFacts::default()
        };
        for (width, height) in [(6, 4), (3, 2), (4, 6), (8, 3)] {
            let mut rules = PlantRules::default();
            let labels = &mut rules.dispatch.labels;
            (labels.width, labels.height) = (Length::inches(width), Length::inches(height));
            (labels.page_width, labels.page_height) = (labels.width, labels.height);
            let loads = plan_loads(&made.building, &fabrication, &rules).output;
            let pages = label_pages(&LabelInput {
                building: &made.building,
                fabrication: &fabrication,
                loads: &loads,
                rules: &rules,
                facts: &facts,
            });
            assert_eq!(pages.len(), fabrication.panels.len() + loads.bundles.len());
            for page in &pages {
                let found = overlaps(page);
                assert_eq!(found, [], "{case} {width} x {height}: {}", page.title);
            }
        }
    }
}

#[test]
fn every_piece_of_lumber_and_every_plate_lies_in_one_bundle() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let loads = plan_loads(&made.building, &made.fabrication, &PlantRules::default()).output;
        let bundled = loads.bundles.iter().flat_map(|it| &it.pieces);
        let mut bundled: Vec<&str> = bundled.map(|it| it.mark.as_str()).collect();
        let lumber = made.fabrication.panels.iter().flat_map(|it| &it.lumber);
        let plates = made.fabrication.plates.iter().map(|it| it.mark.as_str());
        let mut made: Vec<&str> = lumber.map(|it| it.mark.as_str()).chain(plates).collect();
        bundled.sort_unstable();
        made.sort_unstable();
        assert_eq!(bundled, made, "{case}");
    }
}

#[test]
fn the_label_of_a_bundle_names_the_marks_of_its_pieces() {
    let made = sample_package("bunkhouse", "plan.dxf");
    let rules = PlantRules::default();
    let loads = plan_loads(&made.building, &made.fabrication, &rules).output;
    let pages = label_pages(&LabelInput {
        building: &made.building,
        fabrication: &made.fabrication,
        loads: &loads,
        rules: &rules,
        facts: &TitleFacts::default(),
    });
    let bundles = pages.iter().skip(made.fabrication.panels.len());
    for (page, bundle) in bundles.zip(&loads.bundles) {
        let page = String::from_utf8_lossy(&to_svg(page)).into_owned();
        for piece in &bundle.pieces {
            assert!(
                page.contains(&piece.mark),
                "{}: {}",
                bundle.name,
                piece.mark
            );
        }
    }
}
