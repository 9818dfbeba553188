//! What the sheet of a panel that is cut as before says otherwise now: its neighbours' names, its place in the order of erection, how
//! it is lifted, what holds it.

use super::differences::{feet_inches, is_within, list, word};
use serde_json::Value;

/// Weights this far apart are one, pounds, and places on a panel that it is lifted by, inches.
const SAME_WEIGHT: f64 = 0.5;
const SAME_PLACE: f64 = 1.0 / 32.0;
/// So much of a reason or a note is told, in letters: the sheet has all of it.
const ROOM: usize = 120;

/// What the panel's sheet refers to and calls otherwise now, in words: order of erection, neighbours, ids, holds, notes. The
/// blank is not on it.
pub(super) fn other_references(old: &Value, new: &Value) -> Vec<String> {
    const TOLD: [(&str, &str); 4] = [
        ("wall", "wall"),
        ("storey", "storey"),
        ("same_as", "same as"),
        ("mirror_of", "mirror image of"),
    ];
    let said = |value: &Value| match value {
        Value::String(words) => words.clone(),
        Value::Null => "none".to_owned(),
        other => other.to_string(),
    };
    let with = |panel: &Value| -> Vec<String> {
        list(&panel["edges"])
            .iter()
            .map(|edge| word(&edge["with"]))
            .collect()
    };
    let ids = |panel: &Value| -> Vec<String> {
        list(&panel["openings"])
            .iter()
            .map(|opening| word(&opening["id"]))
            .collect()
    };
    let place = |panel: &Value| {
        let letter = panel["erection_letter"].as_str().unwrap_or_default();
        format!("{}{letter}", panel["erection"])
    };
    let mut words: Vec<String> = Vec::new();
    let [was, now] = [place(old), place(new)];
    if was != now {
        words.push(format!("order {was} is now {now}"));
    }
    words.extend(handling(old, new));
    let told = TOLD.iter().filter(|(key, _)| old[*key] != new[*key]);
    words.extend(
        told.map(|(key, what)| format!("{what} {} is now {}", said(&old[*key]), said(&new[*key]))),
    );
    for (what, was, now) in [
        ("joined with", with(old), with(new)),
        ("opening", ids(old), ids(new)),
    ] {
        if was.len() == now.len() {
            let unlike = was.into_iter().zip(now).filter(|(a, b)| a != b);
            let mut pairs: Vec<(String, String)> = unlike.collect();
            pairs.sort_unstable();
            pairs.dedup();
            let (was, now): (Vec<String>, Vec<String>) = pairs.into_iter().unzip();
            let [was, now] = [was, now].map(|it| it.join(", "));
            let is = if was.contains(',') { "are" } else { "is" };
            if !was.is_empty() {
                words.push(format!("{what} {was} {is} now {now}"));
            }
        } else {
            words.push(format!("other names: {what}"));
        }
    }
    words.extend(other_holds(old, new));
    words.extend(other_notes(old, new));
    words
}

/// What holds the panel now and did not, and what does no more: each finding by its words and its code.
pub(super) fn other_holds(old: &Value, new: &Value) -> Vec<String> {
    let holds = |panel: &Value| -> Vec<(String, String)> {
        let all = list(&panel["holds"]).iter();
        all.map(|it| (word(&it["code"]), word(&it["reason"])))
            .collect()
    };
    let (was, now) = (holds(old), holds(new));
    let told = |how: &str, own: &[(String, String)], others: &[(String, String)]| -> Vec<String> {
        let unlike = own.iter().filter(|it| !others.contains(it));
        unlike
            .map(|(code, reason)| format!("{how}: {} [{code}]", in_short(reason)))
            .collect()
    };
    let mut words = told("on HOLD", &now, &was);
    words.extend(told("no longer on HOLD", &was, &now));
    // An older package tells that it holds and not why.
    let is_held = |panel: &Value| panel["hold"].as_bool().unwrap_or_default();
    if words.is_empty() && is_held(old) != is_held(new) {
        let word = if is_held(new) { "on" } else { "no longer on" };
        words.push(format!("{word} HOLD"));
    }
    words
}

fn other_notes(old: &Value, new: &Value) -> Vec<String> {
    let [was, now] = [old, new].map(|it| list(&it["notes"]));
    let told = |how: &str, own: &[Value], others: &[Value]| -> Vec<String> {
        let unlike = own.iter().filter(|it| !others.contains(it));
        unlike
            .map(|it| format!("{how}: {}", in_short(&word(it))))
            .collect()
    };
    let mut words = told("new note", now, was);
    words.extend(told("note gone", was, now));
    if words.is_empty() && was != now {
        words.push("notes in another order".to_owned());
    }
    words
}

/// The first so many letters, to the end of a word.
fn in_short(words: &str) -> String {
    let Some((end, _)) = words.char_indices().nth(ROOM) else {
        return words.to_owned();
    };
    let whole = words[..end].rfind(' ').unwrap_or(end);
    format!("{} …", &words[..whole])
}

/// What people lift a panel by, where it is another: weight, lift, picks, centre of gravity.
fn handling(old: &Value, new: &Value) -> Vec<String> {
    let mut words = Vec::new();
    let weight = |panel: &Value| panel["weight_lb"].as_f64().unwrap_or_default();
    let (was, now) = (weight(old), weight(new));
    if (was - now).abs() > SAME_WEIGHT {
        words.push(format!("weight {was:.0} lb is now {now:.0} lb"));
    }
    let [was, now] = [word(&old["lift"]), word(&new["lift"])];
    if was != now {
        words.push(format!("lift {was} is now {now}"));
    }
    let point = |at: &Value| {
        let [x, y] = [0, 1].map(|i| feet_inches(at[i].as_f64().unwrap_or_default()));
        format!("{x} from the left, {y} up")
    };
    let places = |list_of: &Value| match list(list_of) {
        [] => "none".to_owned(),
        all => all.iter().map(point).collect::<Vec<_>>().join(" and "),
    };
    let (was, now) = (&old["pick_points"], &new["pick_points"]);
    if !is_within(was, now, SAME_PLACE) {
        words.push(format!(
            "pick points {} are now {}",
            places(was),
            places(now)
        ));
    }
    let (was, now) = (&old["centre_of_gravity"], &new["centre_of_gravity"]);
    if !is_within(was, now, SAME_PLACE) {
        words.push(format!(
            "centre of gravity {} is now {}",
            point(was),
            point(now)
        ));
    }
    words
}
