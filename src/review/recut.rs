//! Whether a panel that was made from the earlier issue can be cut into the one wanted now: a saw takes away and puts nothing back.
//!
//! ```text
//!   ┌─────────────┐      ┌─────────┐
//!   │   ┌──┐      │  ──► │  ┌────┐ │   narrower, its opening larger: recut
//!   └───┴──┴──────┘      └──┴────┴─┘   wider, an opening gone or moved off its place, thicker: scrap
//! ```

use super::differences::is_same;
use geo::{Area, BooleanOps, Contains, Coord, LineString, MultiPolygon, Polygon, Translate};
use serde_json::Value;

/// So much, sq in, may be wanting for rounding: a strip of 1/200 in along the side of a panel.
const NOTHING: f64 = 0.5;
/// Edges no farther apart than this lie on one line, inches.
const ON_LINE: f64 = 0.01;

/// True when the panel wanted now can be cut out of the one made before, laid over it somehow without turning it.
///
/// - `old`, `new`: the panels as `panels.json` has them.
pub(super) fn can_be_recut(old: &Value, new: &Value) -> bool {
    let is_alike = ["assembly", "layers", "kind", "thickness", "face_up"];
    if is_alike.iter().any(|key| !is_same(&old[*key], &new[*key])) {
        return false;
    }
    let across = shifts(old, new, "width", |at| at.0.x);
    let up = shifts(old, new, "height", |at| at.0.y);
    across.iter().any(|x| {
        up.iter()
            .any(|y| is_within(old, new, Coord { x: *x, y: *y }))
    })
}

/// How far the new panel may be moved over the old one: flush at either end, or with an opening's edge on an opening's edge.
fn shifts(old: &Value, new: &Value, size: &str, of: impl Fn(Corner) -> f64) -> Vec<f64> {
    let longer = old[size].as_f64().unwrap_or_default() - new[size].as_f64().unwrap_or_default();
    let holes = |panel: &Value| -> Vec<f64> {
        let holes = list(&panel["outer_skin"]["holes"]).iter();
        holes.flat_map(corners).map(&of).collect()
    };
    let (there, wanted) = (holes(old), holes(new));
    let mut shifts = vec![0.0, longer];
    let of_holes = there.iter().flat_map(|a| wanted.iter().map(move |b| a - b));
    shifts.extend(of_holes.filter(|shift| *shift > 0.0 && *shift < longer));
    shifts
}

/// True when the moved panel has nothing where the old one has nothing, and asks of no old edge what was cut into it otherwise.
fn is_within(old: &Value, new: &Value, shift: Coord<f64>) -> bool {
    let is_covered = |keys: &[&str]| {
        let [there, wanted] = [old, new].map(|panel| {
            let shapes = keys.iter().flat_map(|key| shapes(&panel[*key]));
            MultiPolygon::new(shapes.collect())
        });
        let wanted = wanted.translate(shift.x, shift.y);
        wanted.difference(&there).unsigned_area() < NOTHING
    };
    is_covered(&["outer_skin"])
        && is_covered(&["inner_skin"])
        && is_covered(&["core", "core_others"])
        && list(&old["edges"]).iter().all(|before| {
            let mut on_it = list(&new["edges"])
                .iter()
                .filter(|now| lie_together(before, now, shift));
            on_it.all(|now| keeps_cuts(before, now))
        })
        && list(&old["chases"])
            .iter()
            .all(|chase| is_known(chase, new, shift))
}

/// True when an old chase does not lie in the new panel, or is a chase there too: nobody drills into a hollow that no sheet shows.
fn is_known(chase: &Value, new: &Value, shift: Coord<f64>) -> bool {
    let ends = |it: &Value| Some([corner(&it["line"][0])?.0, corner(&it["line"][1])?.0]);
    let Some([a, b]) = ends(chase) else {
        return false;
    };
    let own = MultiPolygon::new(shapes(&new["core"]));
    let middle = (a + b) / 2.0 - shift;
    let is_on = |[c, d]: [Coord<f64>; 2]| {
        let long = (d - c).x.hypot((d - c).y).max(f64::MIN_POSITIVE);
        let along = (d - c) / long;
        let from = middle - c;
        let at = from.x * along.x + from.y * along.y;
        (from.x * along.y - from.y * along.x).abs() <= ON_LINE && (0.0..=long).contains(&at)
    };
    !own.contains(&middle)
        || list(&new["chases"])
            .iter()
            .any(|it| is_same(&it["diameter"], &chase["diameter"]) && ends(it).is_some_and(is_on))
}

/// What is milled or slanted along an old edge is so along the new one on it.
fn keeps_cuts(before: &Value, now: &Value) -> bool {
    let slots = list(&before["slots"]).iter();
    is_same(&before["bevel_deg"], &now["bevel_deg"])
        && slots
            .clone()
            .all(|slot| list(&now["slots"]).iter().any(|it| is_same(it, slot)))
}

/// True when the moved new edge lies on the old one for some way.
fn lie_together(before: &Value, now: &Value, shift: Coord<f64>) -> bool {
    let end = |edge: &Value, key: &str| corner(&edge[key]).map(|it| it.0);
    let ends = (end(before, "from"), end(before, "to"));
    let (Some(a), Some(b)) = ends else {
        return false;
    };
    let moved = |key: &str| end(now, key).map(|at| at + shift);
    let (Some(c), Some(d)) = (moved("from"), moved("to")) else {
        return false;
    };
    let long = (b - a).x.hypot((b - a).y);
    if long <= ON_LINE {
        return false;
    }
    let along = (b - a) / long;
    let off = |p: Coord<f64>| ((p - a).x * along.y - (p - a).y * along.x).abs();
    let at = |p: Coord<f64>| (p - a).x * along.x + (p - a).y * along.y;
    let (from, to) = (at(c).min(at(d)), at(c).max(at(d)));
    off(c) <= ON_LINE && off(d) <= ON_LINE && from < long - ON_LINE && to > ON_LINE
}

/// A corner of a contour.
#[derive(Clone, Copy)]
struct Corner(Coord<f64>);

fn corner(at: &Value) -> Option<Corner> {
    let (x, y) = (at[0].as_f64()?, at[1].as_f64()?);
    Some(Corner(Coord { x, y }))
}

fn corners(ring: &Value) -> Vec<Corner> {
    list(ring).iter().filter_map(corner).collect()
}

/// The areas of one contour or of a list of contours.
fn shapes(faces: &Value) -> Vec<Polygon<f64>> {
    let one = std::slice::from_ref(faces);
    let faces = faces.as_array().map_or(one, Vec::as_slice);
    let ring = |it: &Value| LineString::new(corners(it).into_iter().map(|it| it.0).collect());
    let shape = |face: &Value| {
        let holes = list(&face["holes"]).iter().map(ring).collect();
        Polygon::new(ring(&face["outline"]), holes)
    };
    faces
        .iter()
        .filter(|face| face["outline"].is_array())
        .map(shape)
        .collect()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

#[cfg(test)]
mod tests {
    use super::can_be_recut;
    use serde_json::{Value, json};

    /// A panel 96 in high with an opening, and with a slot of the jamb's kind in its left edge or none.
    fn panel(width: f64, hole: Option<[f64; 4]>, has_slot: bool) -> Value {
        let ring = |[x0, y0, x1, y1]: [f64; 4]| json!([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]);
        let holes: Vec<Value> = hole.into_iter().map(ring).collect();
        let face = |inset: f64| {
            let outline = ring([inset, inset, width - inset, 96.0 - inset]);
            json!({"outline": outline, "holes": holes})
        };
        let slots = if has_slot { json!([3.0]) } else { json!([]) };
        json!({
            "assembly": "6-1/2", "layers": "OSB", "kind": "wall", "thickness": 6.5, "face_up": "outer",
            "width": width, "height": 96.0,
            "outer_skin": face(0.0), "inner_skin": face(0.0), "core": face(1.5), "core_others": [],
            "edges": [
                {"from": [0.0, 96.0], "to": [0.0, 0.0], "slots": slots, "bevel_deg": 0.0},
                {"from": [width, 0.0], "to": [width, 96.0], "slots": [], "bevel_deg": 0.0},
            ],
        })
    }

    #[track_caller]
    fn check(old: &Value, new: &Value, expected: bool) {
        assert_eq!(can_be_recut(old, new), expected);
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
    fn a_chase_that_no_sheet_would_show_is_no_recut() {
        let chase = |y: f64| json!([{"line": [[1.5, y], [94.5, y]], "diameter": 1.5}]);
        let (mut old, mut new) = (panel(96.0, None, false), panel(90.0, None, false));
        old["chases"] = chase(16.0);
        check(&old, &new, false);
        new["chases"] = chase(44.0);
        check(&old, &new, false);
        new["chases"] = chase(16.0);
        check(&old, &new, true);
    }

    #[test]
    fn another_core_is_no_recut() {
        let old = panel(96.0, None, false);
        let mut new = panel(90.0, None, false);
        new["layers"] = json!("plywood");
        check(&old, &new, false);
    }
}
