//! The drafter's corrections in `job.toml` are obeyed, or reported.

use crate::kit::make_sample_with;
use panelwright::package::Made;
use panelwright::plan::OpeningKind;

/// The bunkhouse with corrections added to its job.
fn corrected(corrections: &str) -> Made {
    make_sample_with("bunkhouse", "plan.dxf", corrections)
}

fn codes(made: &Made) -> Vec<&'static str> {
    made.findings
        .iter()
        .map(|finding| finding.code.name())
        .collect()
}

/// The south wall's openings: left jamb along the wall, width, kind.
fn south(made: &Made) -> Vec<(f64, f64, OpeningKind)> {
    let wall = made
        .building
        .walls
        .iter()
        .find(|wall| wall.frame.out().y < -0.5)
        .unwrap();
    wall.openings
        .iter()
        .map(|o| (o.from.to_inches(), o.width().to_inches(), o.kind))
        .collect()
}

#[test]
fn a_window_that_is_a_door_of_another_width_becomes_one_about_its_middle() {
    // The window 3040 in the south wall has its middle at 48; a door of 30 has rough 32, from 32 to 64.
    let made = corrected("\n[[correction]]\nat = [48, 3]\nis = \"door\"\nwidth = 30\n");
    assert_eq!(south(&made)[0], (32.0, 32.0, OpeningKind::Door));
    assert!(!codes(&made).contains(&"PLAN-08"));
}

#[test]
fn an_opening_that_is_none_goes_and_one_that_was_missed_comes() {
    let gone = corrected("\n[[correction]]\nat = [48, 3]\nis = \"not an opening\"\n");
    assert_eq!(south(&gone).len(), 2);
    // 24 wide about 200: unit 188 to 212, rough a quarter more on each side.
    let come = corrected("\n[[correction]]\nat = [200, 3]\nis = \"window\"\nwidth = 24\n");
    assert_eq!(south(&come).len(), 4);
    assert_eq!(south(&come)[1], (187.75, 24.5, OpeningKind::Window));
}

#[test]
fn a_partition_that_is_no_wall_leaves_the_plan() {
    let tees =
        |made: &Made| -> usize { made.building.walls.iter().map(|wall| wall.tees.len()).sum() };
    let plain = corrected("");
    let without = corrected("\n[[correction]]\nat = [450, 140]\nis = \"not a wall\"\n");
    assert!(tees(&without) < tees(&plain));
    assert_eq!(without.building.walls.len(), plain.building.walls.len());
}

#[test]
fn a_correction_that_means_nothing_is_reported() {
    for nothing in [
        "at = [270, 170]\nis = \"door\"\nwidth = 36",
        "id = \"O99\"\nis = \"door\"",
    ] {
        let made = corrected(&format!("\n[[correction]]\n{nothing}\n"));
        assert!(codes(&made).contains(&"PLAN-08"), "{nothing}");
    }
}
