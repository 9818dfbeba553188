//! What can be cut out of a panel that was made, and why the rest cannot.

use super::{cuts, is_cut_alike, laid_over};
use serde_json::{Value, json};

/// A panel 96 in high with an opening, and with a slot of the jamb's kind in its left edge or none.
fn panel(width: f64, hole: Option<[f64; 4]>, has_slot: bool) -> Value {
    let ring = |[x0, y0, x1, y1]: [f64; 4]| json!([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]);
    let holes: Vec<Value> = hole.map(ring).into_iter().collect();
    let face = |inset: f64| {
        let outline = ring([inset, inset, width - inset, 96.0 - inset]);
        json!({"outline": outline, "holes": holes})
    };
    let slots = if has_slot { json!([3.0]) } else { json!([]) };
    json!({
        "assembly": "6-1/2", "layers": "OSB", "kind": "wall", "thickness": 6.5, "face_up": "outer",
        "width": width, "height": 96.0,
        "openings": hole.iter().map(|it| json!({"id": "O4", "rough": it})).collect::<Vec<_>>(),
        "outer_skin": face(0.0), "inner_skin": face(0.0), "core": face(1.5), "core_others": [],
        "edges": [
            {"from": [0.0, 96.0], "to": [0.0, 0.0], "slots": slots, "bevel_deg": 0.0},
            {"from": [width, 0.0], "to": [width, 96.0], "slots": [], "bevel_deg": 0.0},
        ],
    })
}

#[track_caller]
fn check(old: &Value, new: &Value, expected: bool) {
    let hindrances = laid_over(old, new).hindrances;
    assert_eq!(hindrances.is_empty(), expected, "{hindrances:?}");
}

#[track_caller]
fn told(old: &Value, new: &Value, expected: &[&str]) {
    assert_eq!(laid_over(old, new).hindrances, expected);
}

#[test]
fn what_only_loses_is_recut_and_what_grows_is_not() {
    let hole = [20.0, 30.0, 50.0, 80.0];
    let old = panel(96.0, Some(hole), false);
    check(&old, &panel(97.0, Some(hole), false), false);
    check(&old, &panel(96.0, None, false), false);
    check(
        &old,
        &panel(96.0, Some([22.0, 30.0, 52.0, 80.0]), false),
        false,
    );
    check(
        &old,
        &panel(96.0, Some([18.0, 30.0, 52.0, 80.0]), false),
        true,
    );
    // Cut off at the left: the opening stays where it is and is nearer the new edge.
    check(
        &old,
        &panel(88.0, Some([12.0, 30.0, 42.0, 80.0]), false),
        true,
    );
    // Cut off at both ends.
    check(
        &old,
        &panel(80.0, Some([10.0, 30.0, 40.0, 80.0]), false),
        true,
    );
}

#[test]
fn an_edge_that_stays_keeps_its_slots() {
    let old = panel(96.0, None, true);
    check(&old, &panel(96.0, None, false), false);
    check(&old, &panel(90.0, None, false), true);
    check(&panel(96.0, None, false), &old, true);
}

#[test]
fn a_chase_that_no_sheet_shows_any_more_is_plugged() {
    let chase = |y: f64| json!([{"line": [[1.5, y], [94.5, y]], "diameter": 1.5}]);
    let (mut old, mut new) = (panel(96.0, None, false), panel(90.0, None, false));
    old["chases"] = chase(16.0);
    let done = |new: &Value| {
        let laid = laid_over(&old, new);
        assert_eq!(laid.hindrances, [""; 0]);
        cuts(&old, new, laid.at)
    };
    let off = "cut 6\" off its right end";
    assert_eq!(done(&new), [off, "plug the old chase 1'-4\" up"]);
    new["chases"] = chase(44.0);
    let both = [
        off,
        "drill a chase 3'-8\" up",
        "plug the old chase 1'-4\" up",
    ];
    assert_eq!(done(&new), both);
    new["chases"] = chase(16.0);
    assert_eq!(done(&new), [off]);
}

#[test]
fn another_core_is_no_recut() {
    let old = panel(96.0, None, false);
    let mut new = panel(90.0, None, false);
    new["layers"] = json!("plywood");
    check(&old, &new, false);
}

#[test]
fn what_stands_in_the_way_is_named() {
    let hole = [20.0, 30.0, 50.0, 80.0];
    let old = panel(96.0, Some(hole), true);
    let with = |hole: [f64; 4]| panel(96.0, Some(hole), true);
    told(&old, &panel(102.0, Some(hole), true), &["longer by 6\""]);
    told(&old, &panel(96.0, None, true), &["opening O4 gone"]);
    told(
        &old,
        &with([6.0, 30.0, 36.0, 80.0]),
        &["opening O4 1'-2\" farther left"],
    );
    told(
        &old,
        &with([20.0, 36.0, 50.0, 80.0]),
        &["opening O4 6\" smaller at its foot"],
    );
    told(
        &old,
        &panel(96.0, Some(hole), false),
        &["slot at the left edge gone"],
    );
    let mut other = old.clone();
    other["assembly"] = json!("8-1/4");
    other["layers"] = json!("thicker");
    told(&old, &other, &["assembly 6-1/2 is now 8-1/4"]);
    // A recess that is less deep, and nothing else.
    let mut shallow = old.clone();
    shallow["core"]["outline"] = json!([[0.5, 1.5], [94.5, 1.5], [94.5, 94.5], [0.5, 94.5]]);
    told(&old, &shallow, &["core wanted where it was cut away"]);
}

#[test]
fn a_chase_a_little_off_is_the_one_on_the_sheet() {
    let chase = |x: f64| json!([{"line": [[x, 1.5], [x, 94.5]], "diameter": 1.5}]);
    let (mut old, mut new) = (panel(96.0, None, false), panel(96.0, None, false));
    old["chases"] = chase(60.0);
    new["chases"] = chase(60.0 + 1.0 / 16.0);
    assert!(is_cut_alike(&old, &new));
    new["chases"] = chase(60.5);
    assert!(!is_cut_alike(&old, &new));
    assert_eq!(
        cuts(&old, &new, [0.0; 2]),
        [
            "drill a chase 5'-0 1/2\" from the left",
            "plug the old chase 5'-0\" from the left"
        ]
    );
}

#[test]
fn what_is_cut_off_and_out_is_told_from_where_the_new_panel_lies() {
    let old = panel(96.0, Some([20.0, 30.0, 50.0, 80.0]), false);
    let new = panel(84.0, Some([12.0, 30.0, 44.0, 80.0]), false);
    let laid = laid_over(&old, &new);
    assert_eq!(laid.hindrances, [""; 0]);
    assert_eq!(
        cuts(&old, &new, laid.at),
        [
            "cut 8\" off its left end",
            "cut 4\" off its right end",
            "cut opening O4 larger"
        ]
    );
    assert!(!is_cut_alike(&old, &new));
    let mut refitted = old.clone();
    refitted["lumber"] = json!([{"use": "end stud"}]);
    refitted["edges"][0]["with"] = json!("W9");
    assert!(is_cut_alike(&old, &refitted));
}
