//! What answers to single questions of the plan and the building mean: how high walls are, of which assembly, which layer bears,
//! whether an opening goes into line, where its middle stands.
//!
//! *Promises.* As for every answer: each word counts, and one that is not known leaves it unread.

use super::answer_places::{Places, Spot, What};
use super::answer_proposals::toml_size;
use super::answer_words::{FILLERS, RIGHT, length, plain};
use super::answers::Question;
use crate::units::Length;

/// Words about a height that change nothing.
const OF_HEIGHTS: [&str; 6] = ["all", "wall", "walls", "height", "heights", "high"];
/// Words about an assembly that change nothing.
const OF_ASSEMBLIES: [&str; 9] = [
    "all", "use", "take", "assembly", "panel", "panels", "wall", "walls", "thick",
];
/// Words about a layer that change nothing.
const OF_LAYERS: [&str; 8] = [
    "layer",
    "bears",
    "bearing",
    "core",
    "structural",
    "number",
    "no.",
    "one",
];
/// Layers by their place, the outermost first.
const PLACES: [[&str; 3]; 6] = [
    ["1", "1st", "first"],
    ["2", "2nd", "second"],
    ["3", "3rd", "third"],
    ["4", "4th", "fourth"],
    ["5", "5th", "fifth"],
    ["6", "6th", "sixth"],
];
/// An opening goes into line with the one below.
const IN_LINE: [&str; 7] = [
    "in line",
    "into line",
    "move into line",
    "move in line",
    "in line with one below",
    "align",
    "yes in line",
];
/// It stays where it is drawn.
const STAYS: [&str; 8] = [
    "not in line",
    "leave",
    "leave as drawn",
    "leave as is",
    "leave where drawn",
    "as drawn",
    "stays",
    "stays as drawn",
];
/// Words about the place of an opening that change nothing.
const OF_PLACES: [&str; 12] = [
    "move", "moved", "moves", "to", "of", "stands", "opening", "window", "door", "from", "wall's",
    "corner",
];

/// The tables of an answer to such a question; `None` where it is none of these, or its words may mean something else.
pub(super) fn special(places: &Places, question: &Question, spots: &[Spot]) -> Option<String> {
    let text = plain(&question.answer);
    let text = text.trim_end_matches(['.', '!', ' ']);
    let is_right = RIGHT.contains(&text);
    let words = |others: &[&str]| -> Vec<&str> {
        let all = text.split_whitespace();
        all.filter(|it| !FILLERS.contains(it) && !others.contains(it))
            .collect()
    };
    match question.code.as_str() {
        "BLDG-07" => {
            let size = match is_right {
                true => length(&taken(question)?, true)?,
                false => length(&words(&OF_HEIGHTS).join(" "), places.has_inches())?,
            };
            wall_height(places, question, size)
        }
        "BLDG-05" => {
            let name = match is_right {
                true => taken(question)?,
                false => assembly(&words(&OF_ASSEMBLIES))?,
            };
            Some(format!("assembly = \"{name}\"\n"))
        }
        "PLAN-12" => {
            let [spot] = spots else { return None };
            let What::Wall(id) = &spot.what else {
                return None;
            };
            let layer = layer(words(&OF_LAYERS))?;
            let is_known = layer <= places.n_layers(id);
            is_known.then(|| format!("{}layer = {layer}\n", spot.correction("core")))
        }
        "BLDG-57" => {
            let [spot] = spots else { return None };
            let words = words(&[]).join(" ");
            let is_wished = IN_LINE.contains(&words.as_str());
            let is_said = is_wished || STAYS.contains(&words.as_str());
            let table = spot.opening().filter(|_| is_said)?;
            Some(format!("{table}in_line = {is_wished}\n"))
        }
        _ => {
            let [spot] = spots else { return None };
            spot.opening()?;
            let middle = middle(&words(&OF_PLACES), places.has_inches())?;
            let table = spot.correction("moved");
            Some(format!("{table}middle = {}\n", toml_size(middle)))
        }
    }
}

/// What a question says was taken: the words between "takes" and "from the plant rules".
fn taken(question: &Question) -> Option<String> {
    let (_, after) = question.asked.rsplit_once(" takes ")?;
    let (taken, _) = after.split_once(" from the plant rules")?;
    Some(taken.to_owned())
}

/// The height of all walls that none is stated for; in a building of several storeys of those of one.
fn wall_height(places: &Places, question: &Question, size: Length) -> Option<String> {
    if size <= Length::ZERO {
        return None;
    }
    let size = toml_size(size);
    if !places.has_storeys() {
        return Some(format!("[wall]\nheight = {size}\n"));
    }
    let storeys = places.storeys_of(question);
    let tables = storeys.iter();
    let tables = tables.map(|id| format!("[[storey]]\nid = \"{id}\"\nheight = {size}\n"));
    let tables: String = tables.collect();
    (!tables.is_empty()).then_some(tables)
}

/// The name of an assembly: inches and a fraction, as plants name them.
fn assembly(words: &[&str]) -> Option<String> {
    let name = words.join("-");
    let name = name.trim_end_matches("-in").trim_end_matches('"');
    let is_number = |it: &str| !it.is_empty() && it.chars().all(|c| c.is_ascii_digit());
    let (whole, part) = name.split_once('-').unwrap_or((name, "1/2"));
    let (above, below) = part.split_once('/')?;
    [whole, above, below]
        .into_iter()
        .all(is_number)
        .then(|| name.to_owned())
}

/// The place of a layer, counted from the outside, from 1.
fn layer(mut words: Vec<&str>) -> Option<usize> {
    let count: [&[&str]; 4] = [
        &["counted", "from", "outside"],
        &["from", "outside", "in"],
        &["from", "outside"],
        &[],
    ];
    let tail = count.into_iter().find(|it| words.ends_with(it))?;
    words.truncate(words.len() - tail.len());
    let [word] = words[..] else { return None };
    PLACES
        .iter()
        .position(|it| it.contains(&word))
        .map(|n| n + 1)
}

/// The middle of an opening from its wall's left corner: both must be said.
fn middle(words: &[&str], has_inches: bool) -> Option<Length> {
    let is_middle = |it: &&&str| matches!(**it, "middle" | "centre" | "center");
    let (n_middle, n_left) = (
        words.iter().filter(is_middle).count(),
        words.iter().filter(|it| **it == "left").count(),
    );
    let rest = words.iter().filter(|it| **it != "left" && !is_middle(it));
    let rest: Vec<&str> = rest.copied().collect();
    let size = length(&rest.join(" "), has_inches).filter(|it| *it > Length::ZERO);
    size.filter(|_| n_middle == 1 && n_left == 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;
    use std::collections::BTreeMap;

    /// A plan of one storey or two, with a question of each kind.
    fn places(n_storeys: usize) -> Places {
        let storey = |n: usize| {
            let id = format!("S{n}");
            let layers = [json!({"thickness": 4.0}), json!({"thickness": 6.0})];
            json!({"id": id, "walls": [{"id": "X1", "start": [0, 0], "end": [200, 0], "thickness": 10.0, "layers": layers}],
                "openings": [{"id": "O1", "wall": "X1", "kind": "window", "centre": [100, 0], "width": 36.0}]})
        };
        let storeys: Vec<_> = (1..=n_storeys).map(storey).collect();
        let row = |code: &str, message: &str, element: Option<&str>| json!({"code": code, "message": message, "storey": "S1", "element": element});
        let findings = json!([
            row(
                "BLDG-07",
                "no wall height is stated: X1 takes 8'-0\" from the plant rules (default_wall_height)",
                None
            ),
            row(
                "BLDG-05",
                "no assembly is named: X1 takes 6-1/2 from the plant rules (default_assembly)",
                None
            ),
            row("PLAN-12", "which bears", Some("X1")),
            row("BLDG-57", "nearly over", Some("O1")),
            row("PLAN-38", "they disagree", Some("O1")),
        ]);
        let plan = json!({"drawing": {"unit": "in"}, "storeys": storeys});
        let files = [("plan.json", plan), ("findings.json", findings)];
        let files = files.map(|(name, it)| (name.to_owned(), it.to_string().into_bytes()));
        Places::of(&BTreeMap::from(files))
    }

    fn said(places: &Places, code: &str, answer: &str) -> Option<String> {
        let asked = match code {
            "BLDG-07" => {
                "No wall height is stated: X1 takes 8'-0\" from the plant rules (default_wall_height)."
            }
            "BLDG-05" => {
                "No assembly is named: X1 takes 6-1/2 from the plant rules (default_assembly)."
            }
            "PLAN-12" => "Which bears.",
            "BLDG-57" => "Nearly over.",
            _ => "They disagree.",
        };
        let question = Question {
            number: "1".to_owned(),
            code: code.to_owned(),
            about: String::new(),
            asked: asked.to_owned(),
            answer: answer.to_owned(),
            time: None,
        };
        special(places, &question, &places.of_question(&question))
    }

    #[test]
    fn an_answer_becomes_the_key_that_the_question_is_about() {
        let one = places(1);
        for (code, answer, expected) in [
            ("BLDG-07", "9'-0\"", Some("[wall]\nheight = \"108\\\"\"\n")),
            (
                "BLDG-07",
                "All walls 9'-0\" high.",
                Some("[wall]\nheight = \"108\\\"\"\n"),
            ),
            (
                "BLDG-07",
                "Right as taken",
                Some("[wall]\nheight = \"96\\\"\"\n"),
            ),
            ("BLDG-07", "9'-0\" but the gable", None),
            ("BLDG-05", "8 1/4\" panels", Some("assembly = \"8-1/4\"\n")),
            ("BLDG-05", "ok", Some("assembly = \"6-1/2\"\n")),
            (
                "PLAN-12",
                "The second layer from outside",
                Some("is = \"core\"\nlayer = 2\n"),
            ),
            ("PLAN-12", "layer 3", None),
            ("BLDG-57", "Move it into line", Some("in_line = true\n")),
            ("BLDG-57", "leave as drawn", Some("in_line = false\n")),
            ("BLDG-57", "perhaps in line", None),
            (
                "PLAN-38",
                "middle 8'-4\" from the left corner",
                Some("is = \"moved\"\nmiddle = \"100\\\"\"\n"),
            ),
            ("PLAN-38", "8'-4\" from the left corner", None),
        ] {
            let text = said(&one, code, answer);
            let is_it = match (&text, expected) {
                (Some(text), Some(tail)) => text.ends_with(tail),
                (None, None) => true,
                _ => false,
            };
            assert!(is_it, "{code} {answer}: {text:?}");
        }
        let text = said(&places(2), "BLDG-07", "9'").unwrap();
        assert_eq!(text, "[[storey]]\nid = \"S1\"\nheight = \"108\\\"\"\n");
    }

    #[test]
    fn layers_assemblies_and_middles_are_read_where_nothing_else_can_be_meant() {
        for (text, expected) in [
            ("2", Some(2)),
            ("second from outside", Some(2)),
            ("3rd counted from outside", Some(3)),
            ("second from inside", None),
            ("stud", None),
            ("2 3", None),
        ] {
            assert_eq!(layer(text.split(' ').collect()), expected, "{text}");
        }
        for (text, expected) in [
            ("8-1/4", Some("8-1/4")),
            ("8 1/4\"", Some("8-1/4")),
            ("6-1/2 in", Some("6-1/2")),
            ("8", Some("8")),
            ("eight", None),
            ("8 1/4 osb", None),
        ] {
            let words: Vec<&str> = text.split(' ').collect();
            assert_eq!(assembly(&words).as_deref(), expected, "{text}");
        }
        for (text, expected) in [
            ("middle 12'-6\" left", Some(Length::inches(150))),
            ("12'-6\" left centre", Some(Length::inches(150))),
            ("12'-6\" left", None),
            ("12'-6\" middle", None),
            ("12'-6\" jamb left middle", None),
            ("6 right", None),
        ] {
            let words: Vec<&str> = text.split(' ').collect();
            assert_eq!(middle(&words, true), expected, "{text}");
        }
    }
}
