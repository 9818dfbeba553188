//! Whether a panel that was made from the earlier issue can be cut into the one wanted now, and what stands in the way: a saw takes
//! away and puts nothing back.
//!
//! ```text
//!   ┌─────────────┐      ┌─────────┐
//!   │   ┌──┐      │  ──► │  ┌────┐ │   narrower, its opening larger: recut
//!   └───┴──┴──────┘      └──┴────┴─┘   wider, an opening gone or moved off its place, thicker: scrap
//! ```
//!
//! The new panel is laid over the old one flush at either end, or opening on opening, without turning it; the way with the fewest
//! hindrances is told.

use super::differences::{SAME, inches, is_same, is_within};
use super::hindrances::{SAME_CHASE, filled, generic, grown, lost_cuts, unlike_chases};
use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon, Translate};
use serde_json::Value;

/// So much, sq in, may be wanting for rounding: a strip of 1/200 in along the side of a panel.
const NOTHING: f64 = 0.5;
/// Edges no farther apart than this lie on one line, inches.
pub(super) const ON_LINE: f64 = 0.01;

/// The new panel laid over the one that was made.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Laid {
    /// Where the new datum corner lies on the old panel, inches.
    pub(super) at: [f64; 2],
    /// Why it cannot be cut so, in words; none where it can.
    pub(super) hindrances: Vec<String>,
}

/// How the panel wanted now is best cut out of the one made before.
///
/// - `old`, `new`: the panels as `panels.json` has them.
pub(super) fn laid_over(old: &Value, new: &Value) -> Laid {
    let unlike = other_stuff(old, new);
    if !unlike.is_empty() {
        return Laid {
            at: [0.0; 2],
            hindrances: unlike,
        };
    }
    let across = shifts(old, new, "width", |at| at.x);
    let up = shifts(old, new, "height", |at| at.y);
    let mut best: Option<(Laid, f64)> = None;
    for x in &across {
        for y in &up {
            let (laid, wanting) = laid_at(old, new, Coord { x: *x, y: *y });
            let n = laid.hindrances.len();
            let is_better = best.as_ref().is_none_or(|(it, least)| {
                let fewest = it.hindrances.len();
                n < fewest || n == fewest && wanting < least - NOTHING
            });
            if is_better {
                best = Some((laid, wanting));
            }
        }
    }
    best.map(|(laid, _)| laid).unwrap_or_default()
}

/// What no saw changes and is another: what it is made of.
fn other_stuff(old: &Value, new: &Value) -> Vec<String> {
    const STUFF: [(&str, &str); 4] = [
        ("assembly", "assembly"),
        ("layers", "layers"),
        ("kind", "kind"),
        ("face_up", "face up"),
    ];
    let word = |panel: &Value, key: &str| panel[key].as_str().unwrap_or("none").to_owned();
    let differ = STUFF
        .iter()
        .find(|(key, _)| !is_same(&old[*key], &new[*key]));
    let told =
        differ.map(|(key, what)| format!("{what} {} is now {}", word(old, key), word(new, key)));
    let thicker = || {
        let thickness = |it: &Value| inches(it["thickness"].as_f64().unwrap_or_default());
        (!is_same(&old["thickness"], &new["thickness"]))
            .then(|| format!("thickness {} is now {}", thickness(old), thickness(new)))
    };
    told.or_else(thicker).into_iter().collect()
}

/// How far the new panel may be moved over the old one: flush at either end, or with an opening's edge on an opening's edge.
fn shifts(old: &Value, new: &Value, size: &str, of: impl Fn(Coord<f64>) -> f64) -> Vec<f64> {
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

/// The new panel at one place over the old one, and how much of it lies where the old one has nothing, sq in.
fn laid_at(old: &Value, new: &Value, shift: Coord<f64>) -> (Laid, f64) {
    const FACES: [(&[&str], &str); 3] = [
        (&["outer_skin"], "outer skin"),
        (&["inner_skin"], "inner skin"),
        (&["core", "core_others"], "core"),
    ];
    let wanting = FACES.map(|(keys, what)| {
        let [there, wanted] = [old, new].map(|panel| area_of(panel, keys));
        let wanted = wanted.translate(shift.x, shift.y);
        (what, wanted.difference(&there).unsigned_area())
    });
    let lacking: Vec<&str> = (wanting.iter())
        .filter(|(_, area)| *area >= NOTHING)
        .map(|(what, _)| *what)
        .collect();
    let mut hindrances = Vec::new();
    if !lacking.is_empty() {
        hindrances.extend(grown(old, new));
        hindrances.extend(filled(old, new, shift));
        if hindrances.is_empty() {
            hindrances.extend(generic(&lacking));
        }
    }
    hindrances.extend(lost_cuts(old, new, shift));
    let laid = Laid {
        at: [shift.x, shift.y],
        hindrances,
    };
    (laid, wanting.iter().map(|(_, area)| area).sum())
}

/// What is done to the panel that was made, in words: what of its ends is cut off, which openings are new or larger, which chases are new,
/// and which are plugged.
pub(super) fn cuts(old: &Value, new: &Value, [x, y]: [f64; 2]) -> Vec<String> {
    let longer =
        |key: &str| old[key].as_f64().unwrap_or_default() - new[key].as_f64().unwrap_or_default();
    let ends = [
        (x, "left end"),
        (longer("width") - x, "right end"),
        (y, "bottom"),
        (longer("height") - y, "top"),
    ];
    let off = ends.iter().filter(|(by, _)| *by > ON_LINE);
    let mut told: Vec<String> = off
        .map(|(by, end)| format!("cut {} off its {end}", inches(*by)))
        .collect();
    let there: Vec<[f64; 4]> = list(&old["openings"]).iter().filter_map(rough).collect();
    for opening in list(&new["openings"]) {
        let Some([x0, y0, x1, y1]) = rough(opening) else {
            continue;
        };
        let wanted = [x0 + x, y0 + y, x1 + x, y1 + y];
        let is_it = |it: &&[f64; 4]| (0..4).all(|i| (it[i] - wanted[i]).abs() <= ON_LINE);
        let meets = |it: &&[f64; 4]| (0..2).all(|i| it[i] < wanted[i + 2] && wanted[i] < it[i + 2]);
        if there.iter().any(|it| is_it(&it)) {
            continue;
        }
        let what = if there.iter().any(|it| meets(&it)) {
            " larger"
        } else {
            ""
        };
        told.push(format!("cut opening {}{what}", id(opening)));
    }
    let chases = unlike_chases(new, old, Coord { x: -x, y: -y });
    told.extend(chases.map(|place| format!("drill a chase {place}")));
    // No sheet shows it any more: a hollow that nobody knows of takes no wire and lets air through.
    let hollow = unlike_chases(old, new, Coord { x, y });
    told.extend(hollow.map(|place| format!("plug the old chase {place}")));
    told.dedup();
    told
}

/// True when skins, core, slots, bevels and chases are as they were: nothing is sawn, milled or drilled.
pub(super) fn is_cut_alike(old: &Value, new: &Value) -> bool {
    const WHOLE: [&str; 8] = [
        "assembly",
        "layers",
        "kind",
        "thickness",
        "face_up",
        "outer_skin",
        "inner_skin",
        "core",
    ];
    const MILLED: [&str; 6] = ["contour", "from", "to", "recess", "slots", "bevel_deg"];
    let alike = |lists: &str, keys: &[&str], most: f64| {
        let (was, now) = (list(&old[lists]), list(&new[lists]));
        let is_one =
            |a: &Value, b: &Value| keys.iter().all(|key| is_within(&a[*key], &b[*key], most));
        let has = |own: &[Value], it: &Value| own.iter().any(|other| is_one(other, it));
        was.len() == now.len() && was.iter().all(|it| has(now, it))
    };
    WHOLE.iter().all(|key| is_same(&old[*key], &new[*key]))
        && is_same(&old["core_others"], &new["core_others"])
        && alike("edges", &MILLED, SAME)
        && alike("chases", &["line", "diameter"], SAME_CHASE)
}

fn area_of(panel: &Value, keys: &[&str]) -> MultiPolygon<f64> {
    MultiPolygon::new(keys.iter().flat_map(|key| shapes(&panel[*key])).collect())
}

/// Left, bottom, right and top of an opening's rough size.
pub(super) fn rough(opening: &Value) -> Option<[f64; 4]> {
    let side = |i: usize| opening["rough"][i].as_f64();
    Some([side(0)?, side(1)?, side(2)?, side(3)?])
}

pub(super) fn id(thing: &Value) -> &str {
    thing["id"].as_str().unwrap_or_default()
}

pub(super) fn corner(at: &Value) -> Option<Coord<f64>> {
    let (x, y) = (at[0].as_f64()?, at[1].as_f64()?);
    Some(Coord { x, y })
}

fn corners(ring: &Value) -> Vec<Coord<f64>> {
    list(ring).iter().filter_map(corner).collect()
}

/// The areas of one contour or of a list of contours.
pub(super) fn shapes(faces: &Value) -> Vec<Polygon<f64>> {
    let one = std::slice::from_ref(faces);
    let faces = faces.as_array().map_or(one, Vec::as_slice);
    let ring = |it: &Value| LineString::new(corners(it));
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

pub(super) fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

#[cfg(test)]
mod tests;
