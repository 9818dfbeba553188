//! What an open question holds: told by where panels and openings stand, not by which panel lists which opening.

use crate::kit::sample_package;
use panelwright::fabrication::{FabricateOptions, fabricate};
use panelwright::findings::{Finding, Place};
use panelwright::package::Made;
use panelwright::plan::codes::{BARE_JAMBS, NO_OUTLINE};
use panelwright::rules::{Issue, PlantRules};
use std::collections::BTreeSet;

/// Marks on HOLD when a package is made anew with one more finding of recovery.
fn held_by(made: &Made, finding: Finding) -> BTreeSet<String> {
    let options = FabricateOptions {
        earlier: &[finding],
        issue: Issue::Production,
    };
    let rules = PlantRules::default();
    let again = fabricate(&made.building, &made.layout, &rules, &options).output;
    let held = again.panels.into_iter().filter(|panel| panel.is_held());
    held.map(|panel| panel.mark).collect()
}

#[test]
fn a_question_about_an_opening_holds_the_panels_that_reach_it_and_no_other() {
    let made = sample_package("bunkhouse", "plan.dxf");
    let (mut n_asked, mut n_spared) = (0, 0);
    for (index, wall) in made.building.walls.iter().enumerate() {
        for opening in &wall.openings {
            // Within an eighth of an inch, as panels stand apart by a gap.
            let reaches = |from: f64, to: f64| {
                from <= opening.to.to_inches() + 0.125 && to >= opening.from.to_inches() - 0.125
            };
            let laid = made.layout.panels.iter();
            let expected: BTreeSet<String> = laid
                .filter(|panel| {
                    let rect = &panel.rect;
                    panel.wall == index && reaches(rect.x0.to_inches(), rect.x1.to_inches())
                })
                .map(|panel| panel.mark.clone())
                .collect();
            let place = || Place::element(&wall.storey, &opening.id);
            let question = Finding::fault(NO_OUTLINE, place(), "open", "say what it is");
            assert_eq!(held_by(&made, question), expected, "{}", opening.id);
            n_asked += 1;
            n_spared += made.layout.panels.len() - expected.len();
            // What is taken until somebody says otherwise holds them too.
            let doubt = Finding::doubt(BARE_JAMBS, place(), "bare", "say what it is");
            assert_eq!(held_by(&made, doubt), expected, "{}", opening.id);
        }
    }
    assert!(n_asked > 4 && n_spared > 10 * n_asked);
}
