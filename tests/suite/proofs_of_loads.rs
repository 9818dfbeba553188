//! The proof of loads holds for every sample's loads and fails for each way in which a load can be wrong.

use crate::house::{house_package, house_with, package};
use panelwright::rules::{CornerTreatment, PlantRules};
use panelwright::verify::verify_package;
use serde_json::{Value, json};

/// Breaks `loads.json`; says whether the proof of loads fails.
fn fails(break_it: impl FnOnce(&mut Value)) -> bool {
    let mut files = house_package();
    let mut value: Value = serde_json::from_slice(&files["loads.json"]).unwrap();
    break_it(&mut value);
    files.insert("loads.json".to_owned(), value.to_string().into_bytes());
    let report = verify_package(&files).unwrap().output;
    let proof = report.proofs.iter().find(|it| it.code.name() == "PROOF-15");
    proof.unwrap().n_failed > 0
}

/// What is done to a load.
type Harm = fn(&mut Value);

/// The first stack with two panels in it.
fn stack(loads: &mut Value) -> &mut Value {
    let stacks = loads["trucks"][0]["stacks"].as_array_mut().unwrap();
    stacks
        .iter_mut()
        .find(|it| it["panels"].as_array().unwrap().len() > 1)
        .unwrap()
}

fn panels(stack: &mut Value) -> &mut Vec<Value> {
    stack["panels"].as_array_mut().unwrap()
}

#[test]
fn a_sound_load_is_proved() {
    assert!(!fails(|_| {}));
}

#[test]
fn every_way_in_which_a_load_can_be_wrong_is_seen() {
    let wrong: [(&str, Harm); 19] = [
        ("a panel left out", |it| drop(panels(stack(it)).pop())),
        ("a panel twice", |it| {
            let top = panels(stack(it)).last().unwrap().clone();
            panels(stack(it)).push(top);
        }),
        ("a stack in the order of erection", |it| {
            panels(stack(it)).reverse();
        }),
        ("a panel in the air", |it| {
            let bottom = &mut panels(stack(it))[1]["bottom"];
            *bottom = json!(bottom.as_f64().unwrap() + 1.0);
        }),
        ("two panels in one place", |it| {
            panels(stack(it))[1]["bottom"] = json!(0.0);
        }),
        ("a panel beside what it lies on", |it| {
            let across = &mut panels(stack(it))[1]["across"];
            *across = json!(across.as_f64().unwrap() + 100.0);
        }),
        ("a panel in another layer", |it| {
            panels(stack(it))[1]["layer"] = json!(7);
        }),
        ("a panel a nanometre longer", |it| {
            let length = &mut panels(stack(it))[0]["length"];
            *length = json!(length.as_f64().unwrap() + 1e-7);
        }),
        ("a lighter panel", |it| {
            panels(stack(it))[0]["weight_lb"] = json!(1.0);
        }),
        ("a stack above the clear height", |it| {
            it["limits"]["height"] = json!(6.0);
        }),
        ("a truck above its payload", |it| {
            it["limits"]["weight_lb"] = json!(100.0);
        }),
        ("a deck too short", |it| {
            it["limits"]["length"] = json!(90.0);
        }),
        ("a tie-down too few", |it| stack(it)["tie_downs"] = json!(1)),
        ("tie-downs too weak", |it| {
            it["limits"]["tie_down_lb"] = json!(10.0);
        }),
        ("two stacks in one place", |it| {
            let stacks = it["trucks"][0]["stacks"].as_array_mut().unwrap();
            let at = stacks[0]["at"].clone();
            stacks[1]["at"] = at;
        }),
        ("a piece in no bundle", |it| {
            drop(it["bundles"][0]["pieces"].as_array_mut().unwrap().pop());
        }),
        ("a bundle that goes the wrong way", |it| {
            it["bundles"][0]["truck"] = json!(1);
        }),
        ("a bound that is no proof", |it| it["bound"] = json!(2)),
        ("another file", |it| {
            it["schema"] = json!("panelwright.loads/9");
        }),
    ];
    for (what, break_it) in wrong {
        assert!(fails(break_it), "{what} is not seen");
    }
}

#[test]
fn a_later_truck_never_carries_what_is_set_earlier() {
    assert!(fails(|it| {
        let trucks = it["trucks"].as_array_mut().unwrap();
        let mut second = trucks[0].clone();
        let stacks = second["stacks"].as_array_mut().unwrap();
        // The last stack goes to a truck of its own: what else is proved of it still holds.
        let moved = stacks.pop().unwrap();
        trucks[0]["stacks"].as_array_mut().unwrap().pop();
        second["stacks"] = json!([moved]);
        second["loose_lb"] = json!(0.0);
        second["weight_lb"] = moved["weight_lb"].clone();
        let weight =
            trucks[0]["weight_lb"].as_f64().unwrap() - moved["weight_lb"].as_f64().unwrap();
        trucks[0]["weight_lb"] = json!(weight);
        trucks.push(second);
    }));
}

/// Changes the first `from` of a list to `to`; says whether the proof of the stations' lists fails.
fn list_fails(name: &str, from: &str, to: &str) -> bool {
    let mut files = house_package();
    let text = String::from_utf8(files[name].clone()).unwrap();
    assert!(text.contains(from), "{name} has no {from}");
    files.insert(name.to_owned(), text.replacen(from, to, 1).into_bytes());
    let report = verify_package(&files).unwrap().output;
    let proof = report.proofs.iter().find(|it| it.code.name() == "PROOF-16");
    proof.unwrap().n_failed > 0
}

#[test]
fn a_wrong_count_or_size_in_a_list_of_a_station_is_seen() {
    for (name, from, to) in [
        ("lists/saw.csv", "\n1,", "\n2,"),
        ("lists/saw.csv", ",outer,", ",inner,"),
        ("lists/saw.csv", ",no,outlines", ",yes,outlines"),
        ("lists/specials.csv", "bevelled edge", "corner by hand"),
        ("lists/specials.csv", ",,,,4,", ",,,,3,"),
        ("lists/specials.csv", "inner skin, ", "inner side, "),
        ("lists/framing.csv", ",square,1,", ",square,2,"),
        ("lists/framing.csv", ",end stud,", ",king stud,"),
        ("lists/bundles.csv", "-F,", "-L,"),
        ("lists/bundles.csv", "PLATES-X1", "PLATES-X2"),
        ("lists/erection.csv", ",1A,", ",1B,"),
        ("lists/erection.csv", "\n1,", "\n2,"),
        ("lists/site.csv", "plate,", "spline of the plate,"),
        ("lists/site.csv", "fixing,", "tape,"),
    ] {
        assert!(
            list_fails(name, from, to),
            "{name}: {from} as {to} is not seen"
        );
    }
    assert!(!list_fails("lists/site.csv", "\n", "\n"));
}

#[test]
fn corners_that_a_tool_leaves_round_are_listed_skin_by_skin_with_its_radius() {
    let mut rules = PlantRules::default();
    rules.saw.corners = CornerTreatment::ToolRadius;
    let house = house_with(rules.clone());
    let files = package(&house);
    let text = String::from_utf8(files["lists/specials.csv"].clone()).unwrap();
    let panels = house.fabrication.panels.iter();
    let window = panels.clone().find(|it| !it.outer_skin.holes.is_empty());
    let window = window.unwrap();
    let id = &window.openings[0].id;
    // A hole has four corners on each skin; the tool is of 1/2 in.
    let row = format!(
        "{},{},no,square corners by hand,\"outer skin, {id}\",,,,4,0.25\n",
        window.erection, window.mark
    );
    assert!(text.contains(&row), "{row} is not in {text}");
    rules.saw.corners = CornerTreatment::Square;
    for panel in panels {
        assert_eq!(panel.corners_by_hand(&rules.saw), []);
    }
}
