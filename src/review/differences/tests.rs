//! What differs between two panels, told.

use super::*;
use crate::review::references::other_references;
use serde_json::json;

fn panel() -> Value {
    json!({"mark": "W101", "assembly": "6-1/2", "kind": "wall", "face_up": "outer", "width": 48.0, "height": 96.0,
        "openings": [{"id": "O1", "rough": [6.0, 20.0, 42.0, 80.0], "skin_hole": [4.5, 18.5, 43.5, 81.5]}],
        "lumber": [{"mark": "W101-1", "use": "end stud", "section": "2x6", "length": 93.0, "at": [0.0, 1.5], "fitted": "plant"}],
        "erection": 1})
}

/// What differs from the panel, in words.
fn told(other: &Value) -> Vec<String> {
    let found = differences(&panel(), other);
    found.iter().map(Change::words).collect()
}

#[test]
fn a_panel_equals_itself_whatever_its_marks() {
    let mut other = panel();
    other["mark"] = json!("W109");
    other["lumber"][0]["mark"] = json!("W109-7");
    assert_eq!(differences(&panel(), &other), []);
    assert_eq!(other_references(&panel(), &other), [""; 0]);
}

#[test]
fn another_place_in_the_order_is_a_reference() {
    let mut other = panel();
    other["erection"] = json!(2);
    assert_eq!(differences(&panel(), &other), []);
    assert_eq!(other_references(&panel(), &other), ["order 1 is now 2"]);
}

#[test]
fn a_panel_that_weighs_more_is_lifted_otherwise_and_drawn_anew() {
    let with = |weight: f64, lift: &str| {
        let mut it = panel();
        it["weight_lb"] = json!(weight);
        it["lift"] = json!(lift);
        it["pick_points"] = json!([[12.0, weight / 2.0], [36.0, weight / 2.0]]);
        it
    };
    let (light, heavy) = (with(134.2, "hand"), with(239.0, "crane"));
    assert_eq!(differences(&light, &heavy), []);
    assert_eq!(
        other_references(&light, &heavy),
        [
            "weight 134 lb is now 239 lb",
            "lift hand is now crane",
            "pick points 1'-0\" from the left, 5'-7 1/8\" up and 3'-0\" from the left, 5'-7 1/8\" up are now \
             1'-0\" from the left, 9'-11 1/2\" up and 3'-0\" from the left, 9'-11 1/2\" up"
        ]
    );
    assert_eq!(other_references(&light, &with(134.21, "hand")), [""; 0]);
}

#[test]
fn another_core_under_the_same_name_is_another_panel() {
    let of = |layers: &str| {
        let mut it = panel();
        it["layers"] = json!(layers);
        it
    };
    let (was, now) = (
        of("OSB 7/16; core EPS 5 5/8"),
        of("OSB 1/2; core EPS 5 1/2"),
    );
    let found = differences(&was, &now);
    assert_eq!(
        found.iter().map(Change::words).collect::<Vec<_>>(),
        ["layers OSB 7/16; core EPS 5 5/8 is now OSB 1/2; core EPS 5 1/2"]
    );
    assert!(found[0].is_cut);
    assert_eq!(
        differences(&panel(), &now),
        [],
        "an older package does not say"
    );
}

#[test]
fn a_moved_opening_says_both_places() {
    let mut other = panel();
    other["openings"][0]["rough"] = json!([8.0, 20.0, 44.0, 80.0]);
    assert_eq!(
        told(&other),
        ["opening O1 36\" x 60\": 6\" from the left is now 8\" from the left"]
    );
}

#[test]
fn a_stud_gone_and_a_wider_panel_are_two_changes() {
    let mut other = panel();
    other["lumber"] = json!([]);
    other["width"] = json!(49.5);
    assert_eq!(
        told(&other),
        [
            "width 48\" is now 49 1/2\"",
            "end stud gone: 2x6  93\" at (0\", 1 1/2\")"
        ]
    );
}

#[test]
fn in_short_sizes_are_told_and_pieces_named() {
    let mut other = panel();
    other["width"] = json!(49.5);
    other["openings"][0]["rough"] = json!([8.0, 20.0, 44.0, 80.0]);
    other["lumber"][0]["at"] = json!([1.0, 1.5]);
    other["lumber"].as_array_mut().unwrap().push(
        json!({"mark": "W101-2", "use": "jack", "section": "2x6", "length": 60.0, "at": [4.0, 20.0], "fitted": "plant"}),
    );
    other["fixings"] = json!([{"use": "studs", "count": 4, "item": "8d"}]);
    assert_eq!(
        in_short(&differences(&panel(), &other)),
        [
            "width 48\" is now 49 1/2\"",
            "opening O1 36\" x 60\": 6\" from the left is now 8\" from the left",
            "new: jack",
            "of another size or place: end stud",
            "another number of fixings"
        ]
    );
}

#[test]
fn in_short_fixings_are_told_with_both_numbers_where_nothing_else_is_another() {
    let nails = |count: usize| {
        let mut panel = panel();
        panel["fixings"] = json!([{"use": "plates, each skin", "count": count, "item": "8d"}]);
        panel
    };
    assert_eq!(
        in_short(&differences(&nails(4), &nails(6))),
        ["fixings plates, each skin 4 8d is now 6 8d"]
    );
    assert_eq!(
        in_short(&differences(&panel(), &nails(4))),
        ["fixings plates, each skin added: 4 8d"]
    );
    let mut many = panel();
    let one = |n: usize| json!({"use": format!("use {n}"), "count": 4, "item": "8d"});
    many["fixings"] = (0..9).map(one).collect();
    assert_eq!(
        in_short(&differences(&panel(), &many)),
        ["another number of fixings"]
    );
}

#[test]
fn a_contour_of_as_many_corners_is_not_told_as_if_it_were_the_same() {
    let mut other = panel();
    other["core"] = json!({"outline": [[0, 0], [1, 0], [1, 1]], "holes": [[]]});
    let mut moved = other.clone();
    moved["core"]["outline"][1] = json!([2, 0]);
    assert_eq!(
        in_short(&differences(&other, &moved)),
        ["core a contour of 3 corners with 1 hole is now one of other sizes"]
    );
}

#[test]
fn a_neighbour_that_is_called_otherwise_is_named_once() {
    let mut other = panel();
    let mut own = panel();
    own["edges"] = json!([{"with": "TP1"}, {"with": "TP1"}, {"with": "W102"}]);
    other["edges"] = json!([{"with": "TP2"}, {"with": "TP2"}, {"with": "W102"}]);
    assert_eq!(
        other_references(&own, &other),
        ["joined with TP1 is now TP2"]
    );
}

#[test]
fn a_stud_that_ships_loose_now_is_not_cut_again() {
    let mut other = panel();
    other["lumber"][0]["fitted"] = json!("loose");
    let found = differences(&panel(), &other);
    let words: Vec<(String, bool)> = found.iter().map(|it| (it.words(), it.is_cut)).collect();
    let said = "end stud 2x6  93\" at (0\", 1 1/2\"), fitted by the plant is now shipped loose";
    assert_eq!(words, [(said.to_owned(), false)]);
    other["lumber"][0]["length"] = json!(92.0);
    assert!(differences(&panel(), &other).iter().all(|it| it.is_cut));
}

#[test]
fn what_holds_a_panel_is_named_by_its_words_and_its_code() {
    let held = |holds: &[(&str, &str)]| {
        let mut it = panel();
        let all = holds
            .iter()
            .map(|(code, reason)| json!({"code": code, "reason": reason}));
        it["holds"] = all.collect();
        it["hold"] = json!(!holds.is_empty());
        it
    };
    let (free, width) = (held(&[]), held(&[("PLAN-11", "how wide is O1?")]));
    assert_eq!(
        other_references(&free, &width),
        ["on HOLD: how wide is O1? [PLAN-11]"]
    );
    let height = held(&[("PLAN-12", "how high is O1?")]);
    assert_eq!(
        other_references(&width, &height),
        [
            "on HOLD: how high is O1? [PLAN-12]",
            "no longer on HOLD: how wide is O1? [PLAN-11]"
        ]
    );
    let mut noted = panel();
    noted["notes"] = json!(["header over O1: not sized: engineer"]);
    assert_eq!(
        other_references(&panel(), &noted),
        ["new note: header over O1: not sized: engineer"]
    );
}
