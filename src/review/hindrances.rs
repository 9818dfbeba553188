//! What stands in the way of cutting a panel out of one that was made, in words a foreman can act on.
//!
//! ```text
//!   longer by 6" · opening O4 1'-2" farther left · slot at the left edge gone
//! ```
//!
//! Places are told as the made panel has them; an opening is found again by its id, else it is the nearest one. A chase that the new panel
//! has not is no hindrance: it is plugged.

use super::differences::{feet_inches as length, is_same};
use super::recut::{ON_LINE, corner, id, list, rough, shapes};
use geo::{Contains, Coord, MultiPolygon};
use serde_json::Value;

/// An opening that moved farther than this is another one, inches.
const MOST_MOVED: f64 = 48.0;
/// A chase drilled no farther off than this is the one the new sheet shows, inches: a wire takes that step.
pub(super) const SAME_CHASE: f64 = 0.25;

/// Where the new panel is longer or higher than the old one.
pub(super) fn grown(old: &Value, new: &Value) -> Vec<String> {
    let by =
        |key: &str| new[key].as_f64().unwrap_or_default() - old[key].as_f64().unwrap_or_default();
    let sides = [("longer", by("width")), ("higher", by("height"))];
    let grown = sides.into_iter().filter(|(_, by)| *by > ON_LINE);
    grown
        .map(|(how, by)| format!("{how} by {}", length(by)))
        .collect()
}

/// Openings of the old panel that would have to be filled, wholly or along a side.
pub(super) fn filled(old: &Value, new: &Value, shift: Coord<f64>) -> Vec<String> {
    let now = list(&new["openings"]).iter().filter_map(|it| {
        let [x0, y0, x1, y1] = rough(it)?;
        Some((
            id(it),
            [x0 + shift.x, y0 + shift.y, x1 + shift.x, y1 + shift.y],
        ))
    });
    let now: Vec<(&str, [f64; 4])> = now.collect();
    let side = |key: &str| new[key].as_f64().unwrap_or_default();
    let kept = [
        shift.x,
        shift.y,
        side("width") + shift.x,
        side("height") + shift.y,
    ];
    let was = list(&old["openings"]).iter();
    was.filter_map(|it| Some((id(it), rough(it)?)))
        .filter(|(_, was)| (0..2).all(|i| was[i] < kept[i + 2] && kept[i] < was[i + 2]))
        .filter_map(|(name, was)| {
            let own = now.iter().find(|it| !name.is_empty() && it.0 == name);
            let near = || {
                let far = |it: &[f64; 4]| middle_apart(&was, it);
                let nearest = now.iter().min_by(|a, b| far(&a.1).total_cmp(&far(&b.1)));
                nearest.filter(|it| far(&it.1) < MOST_MOVED)
            };
            let Some((_, is)) = own.or_else(near) else {
                return Some(format!("{} gone", named(name)));
            };
            let told = opening_told(&was, is);
            (!told.is_empty()).then(|| format!("{} {}", named(name), told.join(", ")))
        })
        .collect()
}

fn named(id: &str) -> String {
    format!("opening {id}").trim_end().to_owned()
}

/// How an opening would have to be filled: moved as a whole, or by a strip at some of its sides; nothing where it is only larger.
fn opening_told(was: &[f64; 4], is: &[f64; 4]) -> Vec<String> {
    let moved = [0, 1, 2, 3].map(|i| is[i] - was[i]);
    // Filled at its left and foot by what moved in, at its right and head by what moved back.
    let strips = [moved[0], moved[1], -moved[2], -moved[3]];
    if strips.iter().all(|by| *by <= ON_LINE) {
        return Vec::new();
    }
    let is_whole = |i: usize| (moved[i] - moved[i + 2]).abs() <= ON_LINE;
    if is_whole(0) && is_whole(1) {
        let ways = [
            (moved[0], "farther right", "farther left"),
            (moved[1], "higher up", "lower down"),
        ];
        let ways = ways.into_iter().filter(|(by, _, _)| by.abs() > ON_LINE);
        return ways
            .map(|(by, more, less)| {
                format!(
                    "{} {}",
                    length(by.abs()),
                    if by > 0.0 { more } else { less }
                )
            })
            .collect();
    }
    let sides = ["left", "foot", "right", "head"];
    let filled = strips.iter().zip(sides).filter(|(by, _)| **by > ON_LINE);
    filled
        .map(|(by, side)| format!("{} smaller at its {side}", length(*by)))
        .collect()
}

fn middle_apart(a: &[f64; 4], b: &[f64; 4]) -> f64 {
    let middle = |it: &[f64; 4], i: usize| f64::midpoint(it[i], it[i + 2]);
    (middle(a, 0) - middle(b, 0)).hypot(middle(a, 1) - middle(b, 1))
}

/// What is wanted where the old panel has nothing, and no size or opening says why: corners, recesses.
pub(super) fn generic(lacking: &[&str]) -> Vec<String> {
    let told = lacking
        .iter()
        .map(|what| format!("{what} wanted where it was cut away"));
    told.collect()
}

/// Slots and bevels of old edges that the new edges on them have not, or otherwise.
pub(super) fn lost_cuts(old: &Value, new: &Value, shift: Coord<f64>) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for before in list(&old["edges"]) {
        let mut on_it = list(&new["edges"])
            .iter()
            .filter(|now| lie_together(before, now, shift));
        let lost = on_it.find_map(|now| lost_cut(before, now));
        told.extend(lost.map(|(cut, how)| format!("{cut} at the {} {how}", side_of(before, old))));
    }
    told.dedup();
    told
}

/// What is milled or slanted along an old edge and is not, or otherwise, along the new one on it.
fn lost_cut(before: &Value, now: &Value) -> Option<(&'static str, &'static str)> {
    let has = |slot: &Value| list(&now["slots"]).iter().any(|it| is_same(it, slot));
    if !list(&before["slots"]).iter().all(has) {
        let is_gone = list(&now["slots"]).is_empty();
        return Some(("slot", if is_gone { "gone" } else { "another" }));
    }
    let square = |edge: &Value| edge["bevel_deg"].as_f64().unwrap_or_default().abs() < ON_LINE;
    let how = if square(now) { "gone" } else { "another" };
    (!is_same(&before["bevel_deg"], &now["bevel_deg"])).then_some(("bevel", how))
}

/// Which edge of its panel it is.
fn side_of(edge: &Value, panel: &Value) -> &'static str {
    let ends = [corner(&edge["from"]), corner(&edge["to"])];
    let [Some(a), Some(b)] = ends else {
        return "edge";
    };
    let is = |x: f64, y: f64, line: f64| (x - line).abs() <= ON_LINE && (y - line).abs() <= ON_LINE;
    let size = |key: &str| panel[key].as_f64().unwrap_or_default();
    match () {
        () if is(a.x, b.x, 0.0) => "left edge",
        () if is(a.x, b.x, size("width")) => "right edge",
        () if is(a.y, b.y, 0.0) => "bottom edge",
        () if is(a.y, b.y, size("height")) => "top edge",
        () => "edge of an opening",
    }
}

/// True when the moved new edge lies on the old one for some way.
fn lie_together(before: &Value, now: &Value, shift: Coord<f64>) -> bool {
    let ends = corner(&before["from"]).zip(corner(&before["to"]));
    let moved = |key: &str| corner(&now[key]).map(|at| at + shift);
    let (Some((a, b)), Some((c, d))) = (ends, moved("from").zip(moved("to"))) else {
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

/// Where chases of one panel are that lie in the other and are none there.
///
/// - `shift`: from the other's axes to the panel's own.
pub(super) fn unlike_chases<'a>(
    own: &'a Value,
    other: &'a Value,
    shift: Coord<f64>,
) -> impl Iterator<Item = String> + 'a {
    let core = MultiPolygon::new(shapes(&other["core"]));
    let known = |chase: &Value, middle: Coord<f64>| {
        let shown = list(&other["chases"]).iter();
        shown
            .filter(|it| is_same(&it["diameter"], &chase["diameter"]))
            .filter_map(chase_ends)
            .any(|ends| is_on(middle, ends))
    };
    list(&own["chases"]).iter().filter_map(move |chase| {
        let [a, b] = chase_ends(chase)?;
        let middle = (a + b) / 2.0 - shift;
        if !core.contains(&middle) || known(chase, middle) {
            return None;
        }
        Some(if (a.x - b.x).abs() <= ON_LINE {
            format!("{} from the left", length(a.x))
        } else {
            format!("{} up", length(f64::midpoint(a.y, b.y)))
        })
    })
}

fn chase_ends(chase: &Value) -> Option<[Coord<f64>; 2]> {
    Some([corner(&chase["line"][0])?, corner(&chase["line"][1])?])
}

/// True when a point lies along a line, near enough to it.
fn is_on(point: Coord<f64>, [from, to]: [Coord<f64>; 2]) -> bool {
    let long = (to - from).x.hypot((to - from).y).max(f64::MIN_POSITIVE);
    let along = (to - from) / long;
    let d = point - from;
    let at = d.x * along.x + d.y * along.y;
    (d.x * along.y - d.y * along.x).abs() <= SAME_CHASE && (0.0..=long).contains(&at)
}
