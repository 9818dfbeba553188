//! The proofs hold for a sound package, and each fails when its own promise is broken.

use crate::house::{
    house, house_package, house_with, opening, package, plan_of, raised, raised_for, walls,
};
use crate::kit::sample_package;
use panelwright::layout::{WallEnd, WallLayout};
use panelwright::plan::OpeningKind;
use panelwright::rules::{Face, PlantRules, SawUnit, SawVersion, WallAxis, read_job};
use panelwright::units::Length;
use panelwright::verify::{VerifyError, verify_package};
use serde_json::{Value, json};
use std::collections::BTreeMap;

type Files = BTreeMap<String, Vec<u8>>;

fn sound() -> Files {
    house_package()
}

/// Codes of the proofs that fail.
fn failing(files: &Files) -> Vec<&'static str> {
    let outcome = verify_package(files).unwrap();
    let failed = outcome
        .output
        .proofs
        .iter()
        .filter(|proof| proof.n_failed > 0);
    let codes: Vec<&str> = failed.map(|proof| proof.code.name()).collect();
    for finding in &outcome.findings {
        assert!(codes.contains(&finding.code.name()));
    }
    codes
}

/// Breaks `panels.json` and makes the manifest anew, so that only the broken promise can show.
#[track_caller]
fn check(break_it: impl FnOnce(&mut Value), expected: &str) {
    let mut files = sound();
    let mut value: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    break_it(&mut value);
    files.insert("panels.json".to_owned(), value.to_string().into_bytes());
    let codes = failing(&files);
    assert!(
        codes.contains(&expected),
        "{expected} is not among {codes:?}"
    );
}

fn number(value: &mut Value, by: f64) {
    *value = json!(value.as_f64().unwrap() + by);
}

/// The first panel of the file that is cut with an opening.
fn with_opening(file: &mut Value) -> &mut Value {
    let panels = file["panels"].as_array_mut().unwrap();
    let cut = panels
        .iter_mut()
        .find(|panel| panel["openings"][0].is_object());
    cut.unwrap()
}

/// The mark of the first panel of the file.
fn first_mark(files: &Files) -> String {
    let value: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    value["panels"][0]["mark"].as_str().unwrap().to_owned()
}

#[test]
fn a_sound_package_is_proved_in_every_version_unit_and_face() {
    for version in [SawVersion::R12, SawVersion::R2000] {
        for unit in [SawUnit::Inch, SawUnit::Millimetre] {
            for face in [Face::Outer, Face::Inner] {
                let mut rules = PlantRules::default();
                rules.saw.version = version;
                rules.saw.unit = unit;
                rules.saw.face_up = face;
                let outcome = verify_package(&package(&house_with(rules))).unwrap();
                let messages: Vec<String> =
                    outcome.findings.iter().map(ToString::to_string).collect();
                assert_eq!(messages, Vec::<String>::new());
                let proofs = &outcome.output.proofs;
                assert!(proofs.iter().all(|proof| proof.n_checked > 0));
                assert_eq!(proofs.len(), 18);
            }
        }
    }
}

#[test]
fn a_gap_one_nanometre_too_wide_is_seen() {
    check(
        |file| number(&mut file["walls"][1]["run"][1]["gap"], 0.000_000_04),
        "PROOF-01",
    );
}

#[test]
fn panels_that_touch_are_proved_and_panels_that_overlap_are_not() {
    let mut rules = PlantRules::default();
    rules.joints.gap = Length::ZERO;
    let mut files = package(&house_with(rules));
    assert_eq!(failing(&files), Vec::<&str>::new());
    let mut value: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    assert_eq!(value["walls"][1]["run"][1]["gap"], json!(0.0));
    value["walls"][1]["run"][1]["gap"] = json!(-0.001);
    files.insert("panels.json".to_owned(), value.to_string().into_bytes());
    assert!(failing(&files).contains(&"PROOF-01"));
}

#[test]
fn a_wall_for_which_nothing_was_made_fails_once_unless_a_fault_names_it() {
    let mut files = sound();
    let mut value: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    let gone = value["walls"][1]["id"].clone();
    value["walls"][1]["run"] = json!([]);
    value["walls"][1]["plates"] = json!([]);
    let panels = value["panels"].as_array_mut().unwrap();
    panels.retain(|panel| panel["wall"] != gone);
    files.insert("panels.json".to_owned(), value.to_string().into_bytes());
    let findings = verify_package(&files).unwrap().findings;
    let of_wall = |finding: &&panelwright::findings::Finding| {
        ["PROOF-01", "PROOF-02", "PROOF-10"].contains(&finding.code.name())
    };
    let said: Vec<_> = findings.iter().filter(of_wall).collect();
    assert_eq!(said.len(), 1, "{findings:#?}");
    assert!(
        said[0]
            .message
            .contains("no panel and no plate is made for it")
    );
    assert!(said[0].hint.contains("says that"), "{}", said[0].hint);
    // Neither a fault of another wall nor another fault of this one says why; that it cannot be panelled does.
    let gone = gone.as_str().unwrap();
    for (code, element, n) in [
        ("LAY-01", "X9", 1),
        ("LAY-12", gone, 1),
        ("LAY-01", gone, 0),
    ] {
        let told = json!([{"code": code, "severity": "fault", "storey": "S1", "element": element}]);
        files.insert("findings.json".to_owned(), told.to_string().into_bytes());
        let findings = verify_package(&files).unwrap().findings;
        assert_eq!(findings.iter().filter(of_wall).count(), n, "{findings:#?}");
    }
}

#[test]
fn a_skin_that_loses_a_corner_is_seen() {
    check(
        |file| {
            let panel = &mut file["panels"][0];
            number(&mut panel["outer_skin"]["outline"][2][1], -1.0);
        },
        "PROOF-02",
    );
}

#[test]
fn an_opening_an_inch_beside_its_place_is_seen() {
    check(
        |file| {
            let rough = &mut with_opening(file)["openings"][0]["rough"];
            number(&mut rough[0], 1.0);
            number(&mut rough[2], 1.0);
        },
        "PROOF-03",
    );
}

#[test]
fn a_panel_seen_from_inside_is_seen() {
    check(
        |file| {
            let panel = &mut file["panels"][0];
            let width = panel["width"].as_f64().unwrap();
            let placed = &mut panel["placed"];
            for i in 0..3 {
                let x = placed["x"][i].as_f64().unwrap();
                number(&mut placed["origin"][i], x * width);
                placed["x"][i] = json!(-x);
            }
        },
        "PROOF-04",
    );
}

#[test]
fn a_panel_pushed_into_its_neighbour_is_seen() {
    check(
        |file| {
            // Two panels of one wall come a quarter of an inch closer than their gap of an eighth.
            let placed = &mut file["panels"][0]["placed"];
            for i in 0..2 {
                let along = placed["x"][i].as_f64().unwrap();
                number(&mut placed["origin"][i], along * 0.25);
            }
        },
        "PROOF-05",
    );
}

#[test]
fn an_outline_that_differs_by_a_hundredth_of_an_inch_is_seen() {
    let mut files = sound();
    let name = format!("outlines/{}.dxf", first_mark(&files));
    let text = String::from_utf8(files[&name].clone()).unwrap();
    let (head, entities) = text.split_once("VERTEX\n").unwrap();
    let moved = entities.replacen(" 20\n0.0\n", " 20\n0.01\n", 1);
    assert_ne!(moved, entities);
    files.insert(name, format!("{head}VERTEX\n{moved}").into_bytes());
    // Index and manifest see it by its digest.
    assert_eq!(failing(&files), ["PROOF-06", "PROOF-07", "PROOF-09"]);
}

#[test]
fn a_held_panel_left_in_outlines_is_seen() {
    check(|file| file["panels"][0]["hold"] = json!(true), "PROOF-07");
    let mut files = sound();
    let mark = first_mark(&files);
    let outline = files[&format!("outlines/{mark}.dxf")].clone();
    files.insert(format!("held/{mark}.dxf"), outline);
    assert!(failing(&files).contains(&"PROOF-07"));
}

#[test]
fn a_list_that_forgets_a_stud_is_seen() {
    let mut files = sound();
    let name = "lists/lumber.csv";
    let text = String::from_utf8(files[name].clone()).unwrap();
    let cut = text.rfind("\nW1").unwrap();
    files.insert(name.to_owned(), format!("{}\n", &text[..cut]).into_bytes());
    assert_eq!(failing(&files), ["PROOF-08", "PROOF-09", "PROOF-18"]);
}

#[test]
fn a_file_the_manifest_does_not_name_is_seen() {
    let mut files = sound();
    files.insert("outlines.txt".to_owned(), Vec::new());
    files.insert("review/W101.svg".to_owned(), Vec::new());
    assert_eq!(failing(&files), ["PROOF-09"]);
    assert_eq!(verify_package(&files).unwrap().findings.len(), 1);
}

#[test]
fn a_plate_too_short_is_seen() {
    check(
        |file| number(&mut file["walls"][0]["plates"][0]["to"], -1.0),
        "PROOF-10",
    );
}

#[test]
fn one_panel_as_long_as_its_bevelled_wall_has_plates_to_their_long_point() {
    let outline = [
        (0.0, 0.0),
        (336.0, 0.0),
        (336.0, 144.0),
        (296.0, 184.0),
        (0.0, 184.0),
    ];
    let mut rules = PlantRules::default();
    for line in &mut rules.lines {
        line.wall_axis = WallAxis::Either;
        "R".clone_into(&mut line.report);
    }
    let house = raised(plan_of(&outline, walls(&outline), Vec::new()), rules);
    let mitred = |wall: &&WallLayout| {
        matches!(wall.right_end, WallEnd::Mitre { .. }) && wall.left_end == WallEnd::Through
    };
    let walls = house.layout.walls.iter().filter(mitred);
    let alone = walls.filter(|wall| wall.run.len() == 1);
    assert!(alone.count() > 0);
    assert_eq!(failing(&package(&house)), Vec::<&str>::new());
}

#[test]
fn an_opening_drawn_into_the_top_plate_is_cut_down_and_the_plate_runs_on() {
    let outline = [(0.0, 0.0), (336.0, 0.0), (336.0, 192.0), (0.0, 192.0)];
    for (kind, width) in [(OpeningKind::Door, 36.0), (OpeningKind::GarageDoor, 108.0)] {
        let walls = walls(&outline);
        let high = opening("O1", &walls[0], kind, 90.0, width, "high");
        let job = "[[opening]]\nid = 'O1'\nhead = 98";
        let job = read_job(job, "job.toml").unwrap().output;
        let plan = plan_of(&outline, walls, vec![high]);
        let house = raised_for(plan, PlantRules::default(), &job);
        assert!(house.findings.iter().any(|it| it.code.name() == "BLDG-14"));
        assert_eq!(failing(&package(&house)), Vec::<&str>::new());
    }
}

#[test]
fn a_corner_that_gapes_by_a_thirty_second_is_seen() {
    check(
        |file| number(&mut file["walls"][0]["origin"][1], 1.0 / 32.0),
        "PROOF-12",
    );
}

#[test]
fn a_gable_that_loses_its_ridge_is_seen() {
    let mut files = sample_package("lookout", "plan.dxf").documents.files;
    assert_eq!(failing(&files), Vec::<&str>::new());
    let mut value: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    let panels = value["panels"].as_array_mut().unwrap();
    let gable = panels.iter_mut().find(|panel| panel["kind"] == "gable");
    let outline = gable.unwrap()["outer_skin"]["outline"].as_array_mut();
    let high = outline.unwrap().iter_mut();
    let high = high.max_by(|a, b| a[1].as_f64().unwrap().total_cmp(&b[1].as_f64().unwrap()));
    number(&mut high.unwrap()[1], -0.001);
    files.insert("panels.json".to_owned(), value.to_string().into_bytes());
    assert!(failing(&files).contains(&"PROOF-02"));
}

#[test]
fn what_is_not_a_package_is_refused() {
    assert_eq!(
        verify_package(&Files::new()),
        Err(VerifyError::Missing("plan.json"))
    );
    let mut files = sound();
    files.insert("panels.json".to_owned(), b"{".to_vec());
    let error = verify_package(&files).unwrap_err().to_string();
    assert!(error.starts_with("panels.json: "), "{error}");
}

#[test]
fn a_panel_on_hold_is_proved_too_and_named() {
    let mut made = house();
    let mark = made.fabrication.panels[3].mark.clone();
    made.fabrication.panels[3]
        .holds
        .push(panelwright::fabrication::Hold {
            code: "FAB-00".to_owned(),
            reason: "a question is open".to_owned(),
        });
    let outcome = verify_package(&package(&made)).unwrap();
    assert!(outcome.output.is_proved());
    let panels = made.fabrication.panels.iter();
    let held: Vec<_> = panels
        .filter(|it| it.is_held())
        .map(|it| &it.mark)
        .collect();
    assert!(held.contains(&&mark));
    assert!(outcome.output.held.iter().eq(held.iter().copied()));
    let lines = outcome.output.lines();
    assert!(lines[0].starts_with("proved PROOF-01"));
    let named: Vec<&str> = held.iter().map(|it| it.as_str()).collect();
    let told = format!("on HOLD: {}", named.join(", "));
    assert_eq!(lines.last(), Some(&told));
}

#[test]
fn a_panel_set_between_two_neighbours_that_stand_is_seen() {
    // The panel with a neighbour on each side comes last: no room to slide onto either spline.
    check(
        |file| {
            let panels = file["panels"].as_array_mut().unwrap();
            let last = panels.len() + 1;
            let splines = |panel: &Value| {
                let edges = panel["edges"].as_array().unwrap();
                edges
                    .iter()
                    .filter(|edge| edge["joint"] == "spline")
                    .count()
            };
            let between = panels.iter_mut().find(|panel| splines(panel) == 2);
            between.unwrap()["erection"] = json!(last);
        },
        "PROOF-11",
    );
}

#[test]
fn one_mark_on_two_panels_is_seen() {
    check(
        |file| file["panels"][1]["mark"] = file["panels"][0]["mark"].clone(),
        "PROOF-01",
    );
}

#[test]
fn two_panels_with_one_number_are_seen() {
    check(
        |file| file["panels"][1]["erection"] = file["panels"][0]["erection"].clone(),
        "PROOF-11",
    );
}
