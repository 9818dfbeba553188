//! Where on its face a panel changed.
//!
//! ```text
//!   ┌──────────────────────┐
//!   │   ╭◠◠◠◠◠◠╮           │      openings, edges, lumber, chases and contours that are not as they were;
//!   │   ( opening )        │      what lies near each other is one place
//!   │   ╰◡◡◡◡◡◡╯           │
//!   └──────────────────────┘
//! ```

use super::differences::is_same;
use serde_json::Value;

/// Left, bottom, right, top: panel axes, inches.
type Place = [f64; 4];

/// Places no farther apart than this are one, inches.
const NEAR: f64 = 4.0;
/// Where the places take more than this share of the face, the whole panel changed.
const MOST: f64 = 0.6;

/// The places that changed; none when the panel changed as a whole, or in nothing that has a place.
pub(super) fn changed_places(old: &Value, new: &Value) -> Vec<Place> {
    let whole = [
        "assembly",
        "kind",
        "face_up",
        "width",
        "height",
        "thickness",
    ];
    if whole.iter().any(|key| !is_same(&old[*key], &new[*key])) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (key, shape, facts) in [
        (
            "openings",
            rect_of_opening as fn(&Value) -> Option<Place>,
            &["rough", "skin_hole"][..],
        ),
        (
            "edges",
            rect_of_edge,
            &[
                "contour",
                "from",
                "to",
                "joint",
                "recess",
                "slots",
                "bevel_deg",
            ],
        ),
        (
            "lumber",
            rect_of_lumber,
            &["use", "section", "grade", "length", "at", "fitted"],
        ),
        ("chases", rect_of_chase, &["line", "diameter"]),
    ] {
        found.extend(unlike(&old[key], &new[key], facts, shape));
    }
    if found.is_empty() {
        for key in ["outer_skin", "inner_skin", "core"] {
            found.extend(corners(&old[key], &new[key]));
        }
    }
    let [width, height] = ["width", "height"].map(|key| new[key].as_f64().unwrap_or_default());
    let inside = |[x0, y0, x1, y1]: Place| {
        [
            x0.clamp(0.0, width),
            y0.clamp(0.0, height),
            x1.clamp(0.0, width),
            y1.clamp(0.0, height),
        ]
    };
    let places = together(found.into_iter().map(inside).collect());
    let covered: f64 = places
        .iter()
        .map(|[x0, y0, x1, y1]| (x1 - x0) * (y1 - y0))
        .sum();
    if covered > MOST * width * height {
        return Vec::new();
    }
    places
}

/// Items of either list that the other does not have.
fn unlike(
    old: &Value,
    new: &Value,
    facts: &[&str],
    shape: fn(&Value) -> Option<Place>,
) -> Vec<Place> {
    let of = |list: &Value| list.as_array().cloned().unwrap_or_default();
    let (mut gone, mut come) = (of(old), of(new));
    let is_alike = |a: &Value, b: &Value| facts.iter().all(|fact| is_same(&a[*fact], &b[*fact]));
    gone.retain(|was| match come.iter().position(|now| is_alike(was, now)) {
        Some(at) => {
            come.remove(at);
            false
        }
        None => true,
    });
    gone.iter().chain(&come).filter_map(shape).collect()
}

fn point(value: &Value) -> Option<[f64; 2]> {
    Some([value[0].as_f64()?, value[1].as_f64()?])
}

fn around([x0, y0]: [f64; 2], [x1, y1]: [f64; 2]) -> Place {
    [x0.min(x1), y0.min(y1), x0.max(x1), y0.max(y1)]
}

fn rect(value: &Value) -> Option<Place> {
    Some([
        value[0].as_f64()?,
        value[1].as_f64()?,
        value[2].as_f64()?,
        value[3].as_f64()?,
    ])
}

fn rect_of_opening(it: &Value) -> Option<Place> {
    rect(&it["rough"])
}

fn rect_of_lumber(it: &Value) -> Option<Place> {
    rect(&it["rect"])
}

fn rect_of_edge(it: &Value) -> Option<Place> {
    Some(around(point(&it["from"])?, point(&it["to"])?))
}

fn rect_of_chase(it: &Value) -> Option<Place> {
    Some(around(point(&it["line"][0])?, point(&it["line"][1])?))
}

/// Corners of either contour that the other does not have.
fn corners(old: &Value, new: &Value) -> Vec<Place> {
    let of = |face: &Value| -> Vec<[f64; 2]> {
        let holes = face["holes"].as_array().into_iter().flatten();
        let rings = std::iter::once(&face["outline"]).chain(holes);
        let points = rings.flat_map(|ring| ring.as_array().into_iter().flatten());
        points.filter_map(point).collect()
    };
    let (old, new) = (of(old), of(new));
    let lacks = |list: &[[f64; 2]], p: &[f64; 2]| {
        !list.iter().any(|q| (p[0] - q[0]).hypot(p[1] - q[1]) < 1e-3)
    };
    let gone = old.iter().filter(|p| lacks(&new, p));
    let come = new.iter().filter(|p| lacks(&old, p));
    gone.chain(come).map(|p| around(*p, *p)).collect()
}

/// Places near each other made one, until all stand apart.
fn together(mut places: Vec<Place>) -> Vec<Place> {
    let mut apart: Vec<Place> = Vec::new();
    while let Some(mut place) = places.pop() {
        let is_near = |it: &Place| {
            it[0] - place[2] <= NEAR
                && place[0] - it[2] <= NEAR
                && it[1] - place[3] <= NEAR
                && place[1] - it[3] <= NEAR
        };
        if let Some(at) = apart.iter().position(is_near) {
            let other = apart.remove(at);
            place = [
                place[0].min(other[0]),
                place[1].min(other[1]),
                place[2].max(other[2]),
                place[3].max(other[3]),
            ];
            places.push(place);
        } else {
            apart.push(place);
        }
    }
    apart.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    apart
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn panel() -> Value {
        json!({"assembly": "6-1/2", "kind": "wall", "width": 96.0, "height": 96.0,
            "openings": [{"rough": [30.0, 40.0, 50.0, 60.0], "skin_hole": [30.0, 40.0, 50.0, 60.0]}],
            "lumber": [
                {"use": "end stud", "section": "2x6", "length": 93.0, "at": [0.0, 1.5], "rect": [0.0, 1.5, 1.5, 94.5]},
                {"use": "buck head", "section": "2x6", "length": 20.0, "at": [30.0, 60.0], "rect": [30.0, 60.0, 50.0, 61.5]}],
            "edges": [{"contour": "outline", "from": [96.0, 0.0], "to": [96.0, 96.0], "joint": "spline", "recess": 1.5}]})
    }

    #[test]
    fn a_moved_window_and_its_buck_are_one_place_and_the_rest_is_left_alone() {
        let mut new = panel();
        new["openings"][0]["rough"] = json!([32.0, 40.0, 52.0, 60.0]);
        new["lumber"][1]["at"] = json!([32.0, 60.0]);
        new["lumber"][1]["rect"] = json!([32.0, 60.0, 52.0, 61.5]);
        assert_eq!(changed_places(&panel(), &new), [[30.0, 40.0, 52.0, 61.5]]);
    }

    #[test]
    fn an_edge_and_a_window_far_from_it_are_two() {
        let mut new = panel();
        new["edges"][0]["recess"] = json!(2.5);
        new["openings"][0]["rough"] = json!([30.0, 40.0, 50.0, 58.0]);
        assert_eq!(
            changed_places(&panel(), &new),
            [[30.0, 40.0, 50.0, 60.0], [96.0, 0.0, 96.0, 96.0]]
        );
    }

    #[test]
    fn a_wider_panel_changed_as_a_whole() {
        let mut new = panel();
        new["width"] = json!(90.0);
        new["edges"][0]["recess"] = json!(2.5);
        assert!(changed_places(&panel(), &new).is_empty());
    }
}
