//! Where on its face a panel changed.
//!
//! ```text
//!   ┌──────────────────────┐
//!   │   ╭◠◠◠◠◠◠╮           │      openings, edges, lumber, chases and contours that are not as they were; of what grew
//!   │   ( opening )        │      or shrank at one end only, that end; what lies near each other is one place
//!   │   ╰◡◡◡◡◡◡╯           │
//!   └──────────────────────┘
//! ```
//!
//! Places are measured as the saw measures, from the datum corner: where the left edge moved, all moved.

use super::differences::is_same;
use serde_json::Value;

/// Left, bottom, right, top: panel axes, inches.
type Place = [f64; 4];

/// Places no farther apart than this are one, inches.
const NEAR: f64 = 4.0;
/// Where the places take more than this share of the face, the whole panel changed.
const MOST: f64 = 0.6;
/// As near as this two ends are one, inches.
const SAME: f64 = 0.001;

/// Things of one sort in a panel.
struct Sort {
    list: &'static str,
    shape: fn(&Value) -> Option<Place>,
    /// Facts that say where it is.
    places: &'static [&'static str],
    /// Facts that say what it is.
    others: &'static [&'static str],
    /// May it grow at one end?
    is_long: bool,
}

const SORTS: [Sort; 4] = [
    Sort {
        list: "openings",
        shape: |it| rect(&it["rough"]),
        places: &["rough", "skin_hole"],
        others: &[],
        is_long: false,
    },
    Sort {
        list: "edges",
        shape: |it| Some(around(point(&it["from"])?, point(&it["to"])?)),
        places: &["from", "to"],
        others: &["contour", "joint", "recess", "slots", "bevel_deg"],
        is_long: true,
    },
    Sort {
        list: "lumber",
        shape: |it| rect(&it["rect"]),
        places: &["length", "at"],
        others: &["use", "section", "grade", "fitted"],
        is_long: true,
    },
    Sort {
        list: "chases",
        shape: |it| Some(around(point(&it["line"][0])?, point(&it["line"][1])?)),
        places: &["line"],
        others: &["diameter"],
        is_long: true,
    },
];

/// The places that changed; none when the panel changed as a whole, or in nothing that has a place.
pub(super) fn changed_places(old: &Value, new: &Value) -> Vec<Place> {
    let whole = ["assembly", "kind", "face_up", "height", "thickness"];
    if whole.iter().any(|key| !is_same(&old[*key], &new[*key])) {
        return Vec::new();
    }
    let mut found: Vec<Place> = SORTS
        .iter()
        .flat_map(|sort| sort.changed(&old[sort.list], &new[sort.list]))
        .collect();
    let side = |panel: &Value, key: &str| panel[key].as_f64().unwrap_or_default();
    let (width, height) = (side(new, "width"), side(new, "height"));
    if !is_same(&old["width"], &new["width"]) {
        found.push([side(old, "width").min(width), 0.0, width, height]);
    }
    if found.is_empty() {
        for key in ["outer_skin", "inner_skin", "core"] {
            found.extend(corners(&old[key], &new[key]));
        }
    }
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

/// Marks of lumber that is not as it was: new, of another size or at another place.
pub(super) fn other_parts(old: &Value, new: &Value) -> Vec<String> {
    let [_, _, lumber, _] = SORTS;
    let [_, come] = lumber.unlike(&old[lumber.list], &new[lumber.list]);
    let marks = come.iter().filter_map(|it| it["mark"].as_str());
    marks.map(str::to_owned).collect()
}

impl Sort {
    /// Where either list has what the other has not.
    fn changed(&self, old: &Value, new: &Value) -> Vec<Place> {
        let [mut gone, mut come] = self.unlike(old, new);
        let ends = without_pairs(&mut gone, &mut come, |was, now| {
            let is_it = self.is_long && alike(self.others, was, now);
            let (was, now) = ((self.shape)(was)?, (self.shape)(now)?);
            is_it.then(|| grown(was, now)).flatten()
        });
        let rest = gone.iter().chain(&come).filter_map(self.shape);
        ends.into_iter().chain(rest).collect()
    }

    /// What the other list has not, of the old one and of the new one.
    fn unlike(&self, old: &Value, new: &Value) -> [Vec<Value>; 2] {
        let of = |list: &Value| list.as_array().cloned().unwrap_or_default();
        let (mut gone, mut come) = (of(old), of(new));
        without_pairs(&mut gone, &mut come, |was, now| {
            (alike(self.places, was, now) && alike(self.others, was, now)).then_some(())
        });
        [gone, come]
    }
}

fn alike(facts: &[&str], a: &Value, b: &Value) -> bool {
    facts.iter().all(|fact| is_same(&a[*fact], &b[*fact]))
}

/// Takes out of both lists what makes a pair; returns what each pair makes.
fn without_pairs<T>(
    gone: &mut Vec<Value>,
    come: &mut Vec<Value>,
    pair: impl Fn(&Value, &Value) -> Option<T>,
) -> Vec<T> {
    let mut made = Vec::new();
    gone.retain(|was| {
        let found = (come.iter().enumerate()).find_map(|(at, now)| Some((at, pair(was, now)?)));
        let is_alone = found.is_none();
        if let Some((at, it)) = found {
            come.remove(at);
            made.push(it);
        }
        is_alone
    });
    made
}

/// The stretch by which one of two places reaches beyond the other, where they share their sides and one end.
fn grown(a: Place, b: Place) -> Option<Place> {
    let is_one = |i: usize| (a[i] - b[i]).abs() <= SAME;
    [0, 1].into_iter().find_map(|along| {
        let across = 1 - along;
        if !is_one(across) || !is_one(across + 2) {
            return None;
        }
        let end = match (is_one(along), is_one(along + 2)) {
            (true, false) => along + 2,
            (false, true) => along,
            _ => return None,
        };
        let mut place = a;
        place[along] = a[end].min(b[end]);
        place[along + 2] = a[end].max(b[end]);
        Some(place)
    })
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
    fn a_panel_that_is_cut_at_its_right_changed_there() {
        let mut old = panel();
        let plate = |width: f64| json!({"contour": "outline", "from": [0.0, 0.0], "to": [width, 0.0], "joint": "plate", "recess": 1.5});
        old["edges"].as_array_mut().unwrap().push(plate(96.0));
        let mut new = panel();
        new["width"] = json!(90.0);
        new["edges"][0]["from"] = json!([90.0, 0.0]);
        new["edges"][0]["to"] = json!([90.0, 96.0]);
        new["edges"].as_array_mut().unwrap().push(plate(90.0));
        assert_eq!(changed_places(&old, &new), [[90.0, 0.0, 90.0, 96.0]]);
    }

    #[test]
    fn a_panel_whose_left_edge_moved_changed_as_a_whole() {
        let mut new = panel();
        new["width"] = json!(90.0);
        new["openings"][0]["rough"] = json!([24.0, 4.0, 44.0, 60.0]);
        new["lumber"][0]["rect"] = json!([0.0, 1.5, 1.5, 88.5]);
        new["lumber"][1]["rect"] = json!([24.0, 60.0, 44.0, 61.5]);
        new["lumber"][1]["at"] = json!([24.0, 60.0]);
        new["chases"] = json!([{"line": [[1.5, 16.0], [88.5, 16.0]], "diameter": 1.5}, {"line": [[60.0, 1.5], [60.0, 94.5]], "diameter": 1.5}]);
        assert!(changed_places(&panel(), &new).is_empty());
    }

    #[test]
    fn a_plate_cut_longer_changed_at_its_end() {
        let mut new = panel();
        new["lumber"][1]["length"] = json!(23.0);
        new["lumber"][1]["rect"] = json!([30.0, 60.0, 53.0, 61.5]);
        assert_eq!(changed_places(&panel(), &new), [[50.0, 60.0, 53.0, 61.5]]);
    }
}
