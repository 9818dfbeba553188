//! What differs between two panels of `panels.json`, in words.
//!
//! Compared is what is cut, fitted and counted. Names (marks, ids, handles), reasons and the order of erection are not: they
//! are references, and a panel whose references alone differ is cut as before.

use crate::units::{Length, counted as counted_things};
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;

/// Numbers no farther apart than this are the same, inches: far below what a saw or a tape can tell.
pub(super) const SAME: f64 = 0.001;

/// One difference.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// What it is about: `width`, `opening`, `end stud`.
    pub what: String,
    /// What it was; empty when there was none.
    pub was: String,
    /// What it is now; empty when there is none.
    pub now: String,
    /// False where nothing is cut otherwise: only what the plant fits, or the number of fixings, is another.
    pub is_cut: bool,
}

impl Change {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        match (self.was.as_str(), self.now.as_str()) {
            ("", now) => format!("{} added: {now}", self.what),
            (was, "") => format!("{} gone: {was}", self.what),
            (was, now) => format!("{} {was} is now {now}", self.what),
        }
    }
}

/// So many kinds of fixings are told one by one.
const MOST_FIXINGS: usize = 4;

/// Changes as one reads them in a row: sizes and openings in full, pieces by name only, for the panel's sheet has their places.
pub(super) fn in_short(changes: &[Change]) -> Vec<String> {
    const IN_FULL: [&str; 9] = [
        "assembly",
        "layers",
        "kind",
        "face up",
        "width",
        "height",
        "thickness",
        "hole of the opening",
        "core",
    ];
    let is_in_full = |it: &&Change| {
        IN_FULL.contains(&it.what.as_str())
            || it.what.starts_with("opening")
            || ["outer skin", "inner skin"].contains(&it.what.as_str())
            || it.what.ends_with(',')
    };
    let (full, pieces): (Vec<&Change>, Vec<&Change>) = changes.iter().partition(is_in_full);
    let mut said: Vec<String> = full.into_iter().map(Change::words).collect();
    let (fixings, pieces): (Vec<&Change>, Vec<&Change>) = pieces
        .into_iter()
        .partition(|it| it.what.starts_with("fixings"));
    let named = |is_it: fn(&Change) -> bool| -> Option<String> {
        let own = pieces.iter().filter(|it| is_it(it));
        let plain = |it: &&Change| match it.what.split_once(", ") {
            // In a row of names its comma would make two of one.
            Some((name, more)) => format!("{name} ({more})"),
            None => it.what.clone(),
        };
        let mut names: Vec<String> = own.map(plain).collect();
        names.dedup();
        (!names.is_empty()).then(|| names.join(", "))
    };
    let otherwise = named(|it| !it.was.is_empty() && !it.now.is_empty());
    said.extend(named(|it| it.was.is_empty()).map(|it| format!("new: {it}")));
    said.extend(named(|it| it.now.is_empty()).map(|it| format!("gone: {it}")));
    said.extend(otherwise.map(|it| format!("of another size or place: {it}")));
    // Where nothing else is another, they are what there is to act on.
    if said.is_empty() && fixings.len() <= MOST_FIXINGS {
        said.extend(fixings.into_iter().map(Change::words));
    } else if !fixings.is_empty() {
        said.push("another number of fixings".to_owned());
    }
    said
}

/// Differences of what is cut, fitted and counted; empty for panels that are made alike.
pub(super) fn differences(old: &Value, new: &Value) -> Vec<Change> {
    let mut changes = Vec::new();
    for key in ["assembly", "kind", "face_up"] {
        let (was, now) = (word(&old[key]), word(&new[key]));
        if was != now {
            changes.push(change(key.replace('_', " "), was, now));
        }
    }
    // Of one name, and made of something else by the plant's rules; what an older package does not say is not compared.
    let layers = [old, new].map(|it| it["layers"].as_str());
    if let [Some(was), Some(now)] = layers
        && was != now
    {
        changes.push(change("layers", was, now));
    }
    for key in ["width", "height", "thickness"] {
        if !is_same(&old[key], &new[key]) {
            changes.push(change(key, length(&old[key]), length(&new[key])));
        }
    }
    openings(old, new, &mut changes);
    // A contour that differs although size and openings do not.
    if changes.is_empty() {
        for (key, what) in [
            ("outer_skin", "outer skin"),
            ("inner_skin", "inner skin"),
            ("core", "core"),
            ("core_others", "core"),
        ] {
            if !is_same(&old[key], &new[key]) {
                let (was, mut now) = (contour(&old[key]), contour(&new[key]));
                if was == now && !was.is_empty() {
                    "one of other sizes".clone_into(&mut now);
                }
                changes.push(change(what, was, now));
            }
        }
    }
    counted("edge", old, new, "edges", edge_key, &mut changes);
    counted("", old, new, "lumber", lumber_key, &mut changes);
    fitted(old, new, &mut changes);
    counted("chase", old, new, "chases", chase_key, &mut changes);
    let n_cut = changes.len();
    counted("fixings", old, new, "fixings", fixing_key, &mut changes);
    for change in changes.iter_mut().skip(n_cut) {
        change.is_cut = false;
    }
    changes
}

/// Lumber that stays as it is, and that somebody else fits now.
fn fitted(old: &Value, new: &Value, changes: &mut Vec<Change>) {
    let mut both: BTreeMap<(String, String), [Vec<String>; 2]> = BTreeMap::new();
    for (side, panel) in [old, new].into_iter().enumerate() {
        for part in list(&panel["lumber"]) {
            both.entry(lumber_key(part)).or_default()[side].push(word(&part["fitted"]));
        }
    }
    let by = |fitted: &[String]| match fitted {
        [one] if one == "loose" => "shipped loose".to_owned(),
        [one] => format!("fitted by the {one}"),
        many => format!("fitted: {}", many.join(", ")),
    };
    for ((usage, words), [mut was, mut now]) in both {
        was.sort_unstable();
        now.sort_unstable();
        if was.len() == now.len() && was != now {
            changes.push(Change {
                is_cut: false,
                ..change(format!("{usage} {words},"), by(&was), by(&now))
            });
        }
    }
}

fn change(what: impl Into<String>, was: impl Into<String>, now: impl Into<String>) -> Change {
    Change {
        what: what.into(),
        was: was.into(),
        now: now.into(),
        is_cut: true,
    }
}

/// Openings by their place: moved and resized ones, new and gone ones.
fn openings(old: &Value, new: &Value, changes: &mut Vec<Change>) {
    let old = list(&old["openings"]);
    let mut free: Vec<&Value> = list(&new["openings"]).iter().collect();
    for before in old {
        let nearest = (0..free.len()).min_by(|a, b| {
            let far = |i: &usize| distance(&before["rough"], &free[*i]["rough"]);
            far(a).total_cmp(&far(b))
        });
        // An opening that moved farther than four feet is another one.
        let Some(now) = nearest.filter(|i| distance(&before["rough"], &free[*i]["rough"]) < 48.0)
        else {
            changes.push(change(named(before), rough(before), ""));
            continue;
        };
        let now = free.remove(now);
        if !is_same(&before["rough"], &now["rough"]) {
            changes.push(opening_change(before, now));
        } else if !is_same(&before["skin_hole"], &now["skin_hole"]) {
            changes.push(change("hole of the opening", rough(before), rough(now)));
        }
    }
    changes.extend(
        free.into_iter()
            .map(|now| change(named(now), "", rough(now))),
    );
}

fn distance(a: &Value, b: &Value) -> f64 {
    let middle = |rect: &Value| {
        let side = |i: usize| rect[i].as_f64().unwrap_or_default();
        [(side(0) + side(2)) / 2.0, (side(1) + side(3)) / 2.0]
    };
    let ([x0, y0], [x1, y1]) = (middle(a), middle(b));
    (x1 - x0).hypot(y1 - y0)
}

/// `opening O4`.
fn named(opening: &Value) -> String {
    format!("opening {}", word(&opening["id"]))
        .trim_end()
        .to_owned()
}

fn rough(opening: &Value) -> String {
    let [size, left, up] = rough_parts(opening);
    format!("{size} at {left}, {up}")
}

/// Size, place from the left and height of its sill, in words.
fn rough_parts(opening: &Value) -> [String; 3] {
    let side = |i: usize| opening["rough"][i].as_f64().unwrap_or_default();
    let size = [side(2) - side(0), side(3) - side(1)].map(inches);
    [
        size.join(" x "),
        format!("{} from the left", inches(side(0))),
        format!("{} up", inches(side(1))),
    ]
}

/// An opening moved or resized, told by what differs alone.
fn opening_change(before: &Value, now: &Value) -> Change {
    let (was, is) = (rough_parts(before), rough_parts(now));
    let apart = |own: &[String; 3]| {
        let pairs = own.iter().zip(was.iter().zip(&is));
        let differ = pairs.filter(|(_, (a, b))| a != b);
        differ
            .map(|(it, _)| it.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    if was == is || was[0] != is[0] && was[1..] == is[1..] {
        return change(named(now), was[0].clone(), is[0].clone());
    }
    if was[0] == is[0] {
        let what = format!("{} {}:", named(now), was[0]);
        return change(what, apart(&was), apart(&is));
    }
    change(named(now), rough(before), rough(now))
}

/// Things compared as a bag: by what they are and where, not by their marks.
fn counted(
    what: &str,
    old: &Value,
    new: &Value,
    list_name: &str,
    key: fn(&Value) -> (String, String),
    changes: &mut Vec<Change>,
) {
    let mut balance: BTreeMap<(String, String), i64> = BTreeMap::new();
    for (side, panel) in [(-1, old), (1, new)] {
        for item in list(&panel[list_name]) {
            *balance.entry(key(item)).or_default() += side;
        }
    }
    // Of one kind, what went and what came is one change each.
    let mut kinds: BTreeMap<String, [Vec<String>; 2]> = BTreeMap::new();
    for ((kind, words), n) in balance {
        let sides = kinds.entry(kind).or_default();
        let side = usize::from(n > 0);
        for _ in 0..n.abs() {
            sides[side].push(words.clone());
        }
    }
    for (kind, [was, now]) in kinds {
        if was.is_empty() && now.is_empty() {
            continue;
        }
        let what = if what.is_empty() {
            kind
        } else {
            format!("{what} {kind}").trim().to_owned()
        };
        changes.push(change(what, was.join(", "), now.join(", ")));
    }
}

fn edge_key(edge: &Value) -> (String, String) {
    let contour = if word(&edge["contour"]) == "outline" {
        ""
    } else {
        "of an opening"
    };
    let slots: Vec<String> = list(&edge["slots"])
        .iter()
        .map(|slot| {
            format!(
                " slot {} {} x {}",
                word(&slot["face"]),
                length(&slot["depth"]),
                length(&slot["width"])
            )
        })
        .collect();
    let bevel = edge["bevel_deg"].as_f64().unwrap_or_default();
    (
        contour.to_owned(),
        format!(
            "{} {} to {} recess {}{}{}",
            word(&edge["joint"]),
            point(&edge["from"]),
            point(&edge["to"]),
            length(&edge["recess"]),
            if bevel.abs() > 0.01 {
                format!(" bevel {bevel:.2}°")
            } else {
                String::new()
            },
            slots.concat()
        ),
    )
}

fn lumber_key(part: &Value) -> (String, String) {
    (
        word(&part["use"]),
        format!(
            "{} {} {} at {}",
            word(&part["section"]),
            word(&part["grade"]),
            length(&part["length"]),
            point(&part["at"]),
        ),
    )
}

fn chase_key(chase: &Value) -> (String, String) {
    (
        String::new(),
        format!(
            "{} from {} to {}",
            length(&chase["diameter"]),
            point(&chase["line"][0]),
            point(&chase["line"][1])
        ),
    )
}

fn fixing_key(fixing: &Value) -> (String, String) {
    (
        word(&fixing["use"]),
        format!("{} {}", fixing["count"], word(&fixing["item"])),
    )
}

fn contour(face: &Value) -> String {
    let face = if face.is_array() { &face[0] } else { face };
    if face.is_null() {
        return String::new();
    }
    let (corners, holes) = (list(&face["outline"]).len(), list(&face["holes"]).len());
    format!(
        "a contour of {corners} corners with {}",
        counted_things(holes, "hole")
    )
}

fn point(at: &Value) -> String {
    format!("({}, {})", length(&at[0]), length(&at[1]))
}

/// In feet and inches, to the sixteenth.
pub(super) fn feet_inches(value: f64) -> String {
    Length::nearest(value, Length::fraction(0, 1, 16)).map_or_else(
        || format!("{value:.1}\""),
        |length| length.feet_inches().to_string(),
    )
}

fn length(value: &Value) -> String {
    inches(value.as_f64().unwrap_or_default())
}

/// As on a tape, to the nearest 1/64 in.
pub(super) fn inches(value: f64) -> String {
    Length::nearest(value, Length::TAPE_STEP)
        .map_or_else(|| format!("{value}\""), |length| length.to_string())
}

pub(super) fn word(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}

pub(super) fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// Equal, numbers to within [`SAME`].
pub(super) fn is_same(a: &Value, b: &Value) -> bool {
    is_within(a, b, SAME)
}

/// Equal, numbers to within so much.
pub(super) fn is_within(a: &Value, b: &Value, most: f64) -> bool {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (
                a.as_f64().unwrap_or_default(),
                b.as_f64().unwrap_or_default(),
            );
            (a - b).abs() <= most
        }
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_within(a, b, most))
        }
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, a)| b.get(key).is_some_and(|b| is_within(a, b, most)))
        }
        _ => a == b,
    }
}

#[cfg(test)]
mod tests;
