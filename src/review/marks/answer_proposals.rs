//! From an architect's answer to what `job.toml` would have to say: proposed where place and words are sure, else a form to fill in.

use super::answer_places::{Places, Spot, What};
use super::answer_special::special;
use super::answer_words::{Answer, answer_of, is_opening};
use super::answers::Question;
use super::proposals::quoted;
use crate::rules::read_job;
use crate::units::Length;
use std::fmt::Write;

/// Why an answer is not read.
const WORDS: &str = "its words may mean more than one thing";
const PLACE: &str = "it is about no one place that this package knows";
const MANY: &str = "it is about several places, and the answer does not say that it is for all";
const OTHER: &str = "what it says cannot be said of what stands there";
/// What was taken holds, and the job has no words for that.
const NOTHING: &str = "#   right as taken: nothing to copy\n";

/// The tables of an answer; commented out where it is not read for sure.
pub(super) fn tables(places: &Places, question: &Question) -> String {
    let spots = places.of_question(question);
    match sure(places, question, &spots) {
        Ok(text) => text,
        Err(why) => form(question, &spots, why),
    }
}

/// What the answer says of every place.
fn sure(places: &Places, question: &Question, spots: &[Spot]) -> Result<String, &'static str> {
    if let Some(text) = special(places, question, spots) {
        return is_job(&text).then_some(text).ok_or(OTHER);
    }
    let answer = answer_of(&question.answer, places.has_inches()).ok_or(WORDS)?;
    let is_of_plan = question.code.starts_with("PLAN-");
    if answer.is_right {
        return Ok(as_taken(is_of_plan, spots));
    }
    match spots {
        [] => return Err(PLACE),
        [_] => {}
        _ if answer.is_for_all => {}
        _ => return Err(MANY),
    }
    let mut text = String::new();
    for spot in spots {
        text.push_str(&one(&answer, is_of_plan, spot).ok_or(OTHER)?);
    }
    if text.is_empty() {
        return Ok(NOTHING.to_owned());
    }
    is_job(&text).then_some(text).ok_or(OTHER)
}

/// What a job would refuse is a slip of the pen.
fn is_job(text: &str) -> bool {
    read_job(text, "proposed.toml").is_ok()
}

/// The tables of one place; `None` when the answer does not fit what is there.
fn one(answer: &Answer, is_of_plan: bool, spot: &Spot) -> Option<String> {
    let mut sizes = answer.sizes.clone();
    let mut text = String::new();
    if let Some(is) = answer.is {
        let fits = match &spot.what {
            What::Opening(..) => is_opening(is) || matches!(is, "wall" | "not an opening"),
            What::Wall(_) => matches!(is, "not a wall" | "exterior" | "interior"),
            What::Gap(is_in_line) => is == "wall" || (is_opening(is) && *is_in_line),
            What::Bare => false,
        };
        if !fits {
            return None;
        }
        let is_known = matches!(&spot.what, What::Opening(_, kind) if kind == is);
        // "All window heads" of openings that are windows names them; of a door it would make a window.
        if !is_of_plan && !is_known && !sizes.is_empty() {
            return None;
        }
        if is_of_plan || !is_known {
            text = spot.correction(is);
            if let Some(index) = sizes.iter().position(|it| it.0 == "width") {
                let (_, width) = sizes.remove(index);
                // Writing to a string cannot fail.
                let _ = writeln!(text, "width = {}", toml_size(width));
            }
        }
    }
    if sizes.is_empty() {
        return Some(text);
    }
    let table = spot.opening()?;
    if answer.is.is_some_and(|is| !is_opening(is)) {
        return None;
    }
    text.push_str(&table);
    for (key, size) in sizes {
        let _ = writeln!(text, "{key} = {}", toml_size(size));
    }
    Some(text)
}

/// An answer that what was taken holds: of openings that the plan asks about their kind is said, so that it is not asked again.
fn as_taken(is_of_plan: bool, spots: &[Spot]) -> String {
    let kinds = spots.iter().filter_map(|spot| match &spot.what {
        What::Opening(_, kind) => Some(spot.correction(kind)),
        _ => None,
    });
    let text: String = kinds.filter(|_| is_of_plan).collect();
    if text.is_empty() {
        NOTHING.to_owned()
    } else {
        text
    }
}

/// A length that the job reads back exactly.
pub(super) fn toml_size(size: Length) -> String {
    if !size.to_string().starts_with('~') {
        return quoted(size);
    }
    let nanometres = size.to_nanometres();
    let text = format!("{}.{:06}", nanometres / 1_000_000, nanometres % 1_000_000);
    format!(
        "\"{} mm\"",
        text.trim_end_matches('0').trim_end_matches('.')
    )
}

/// The form of what the job would say at every place, commented out.
fn form(question: &Question, spots: &[Spot], why: &str) -> String {
    let mut tables = String::new();
    for spot in spots {
        let is = match &spot.what {
            What::Opening(..) if !question.code.starts_with("PLAN-") => {
                tables.extend(spot.opening());
                tables.push_str("head = \"\"               # or sill, width, height, rough_width, rough_height\n");
                continue;
            }
            What::Opening(..) => "door, window, opening, garage_door, wall, not an opening",
            What::Wall(_) => "not a wall, exterior, interior",
            What::Gap(_) => {
                "wall; at a point in line with a wall: door, window, opening, garage_door"
            }
            What::Bare => "wall, not a wall, not an opening, door, window, opening, garage_door",
        };
        tables.push_str(&spot.correction(""));
        let _ = writeln!(tables, "# is one of: {is}");
    }
    let mut text = format!("#   for the drafter to read: {why}\n");
    for line in tables.lines() {
        let _ = writeln!(text, "# {}", line.trim_start_matches("# "));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{CorrectionAnchor, CorrectionIntent, OpeningKind};
    use serde_json::json;
    use std::collections::BTreeMap;

    fn places(unit: &str, n_storeys: usize) -> Places {
        let opening = |id: &str, kind: &str, x: f64| json!({"id": id, "wall": "X1", "kind": kind, "centre": [x, 3.0], "width": 36.0});
        let wall = |id: &str, start: [f64; 2], end: [f64; 2]| json!({"id": id, "start": start, "end": end, "thickness": 6.0});
        let storey = |id: &str| {
            json!({"id": id, "openings": [opening("O1", "opening", 100.0), opening("O2", "window", 200.0)],
                "walls": [wall("X1", [0.0, 3.0], [320.0, 3.0]), wall("X2", [160.0, 3.0], [160.0, 200.0])]})
        };
        let names = ["S1", "S2"].into_iter().take(n_storeys);
        let storeys: Vec<_> = names.map(storey).collect();
        let plan = json!({"drawing": {"unit": unit}, "storeys": storeys});
        let one = |message: &str, element: &str, storey: &str| json!({"code": "PLAN-03", "message": message, "storey": storey, "element": element, "at": [9.0, 9.0]});
        let findings = json!([
            one("nothing is drawn", "O1", "S1"),
            one("nothing is drawn", "O1", "S2"),
            one("two alike", "O1", "S1"),
            one("two alike", "O2", "S1"),
            one("a wall ends", "X1", "S1"),
            {"code": "PLAN-03", "message": "a gap", "at": [50.0, 60.0], "between": [[40.0, 60.0], [60.0, 60.0]]},
            {"code": "PLAN-03", "message": "askew", "at": [50.0, 60.0], "between": [[40.0, 50.0], [60.0, 70.0]]},
            {"code": "PLAN-03", "message": "a swing", "at": [50.0, 60.0]},
            {"code": "PLAN-03", "message": "the sheet"},
        ]);
        let files = [("plan.json", plan), ("findings.json", findings)];
        let files = files.map(|(name, it)| (name.to_owned(), it.to_string().into_bytes()));
        Places::of(&BTreeMap::from(files))
    }

    fn answered(places: &Places, number: &str, asked: &str, answer: &str) -> String {
        let question = Question {
            number: number.to_owned(),
            code: "PLAN-03".to_owned(),
            about: String::new(),
            asked: asked.to_owned(),
            answer: answer.to_owned(),
            time: None,
        };
        tables(places, &question)
    }

    fn intents(text: &str) -> Vec<(CorrectionAnchor, CorrectionIntent)> {
        let job = read_job(text, "proposed.toml").unwrap().output;
        let list = job.corrections.list.into_iter();
        list.map(|it| (it.anchor, it.intent)).collect()
    }

    fn at(x: f64, y: f64, storey: Option<&str>) -> CorrectionAnchor {
        let storey = storey.map(str::to_owned);
        CorrectionAnchor::Point { at: [x, y], storey }
    }

    #[test]
    fn a_kind_is_a_correction_at_the_opening_the_wall_or_the_gap() {
        let one = places("in", 1);
        let window = CorrectionIntent::Opening {
            kind: OpeningKind::Window,
            width: Some(36.0),
        };
        let text = answered(&one, "1", "Nothing is drawn.", "A window, 36\" wide");
        assert_eq!(intents(&text), [(at(100.0, 3.0, None), window)]);
        let text = answered(
            &places("in", 2),
            "S2-1",
            "Nothing is drawn.",
            "a 36\" window",
        );
        assert_eq!(intents(&text), [(at(100.0, 3.0, Some("S2")), window)]);
        let text = answered(&one, "1", "A gap.", "wall");
        assert_eq!(
            intents(&text),
            [(at(50.0, 60.0, None), CorrectionIntent::Wall)]
        );
        assert_eq!(
            intents(&answered(&one, "1", "A gap.", "a 20 in. opening")).len(),
            1
        );
        // As far as can be from openings and from the wall that meets it.
        let text = answered(&one, "1", "A wall ends.", "Not a wall");
        assert_eq!(
            intents(&text),
            [(at(270.0, 3.0, None), CorrectionIntent::NotAWall)]
        );
        let text = answered(&one, "1", "Two alike.", "these are doors");
        assert_eq!(intents(&text).len(), 2);
    }

    #[test]
    fn sizes_go_to_the_opening_exactly_and_what_was_taken_is_said_where_a_job_can() {
        let metric = places("mm", 1);
        let text = answered(&metric, "1", "Nothing is drawn.", "door, head 2100 mm");
        let job = read_job(&text, "proposed.toml").unwrap().output;
        assert_eq!(job.openings[0].head.unwrap().to_nanometres(), 2_100_000_000);
        assert_eq!(intents(&text).len(), 1);
        let text = answered(&metric, "1", "Two alike.", "Right as taken.");
        let kinds: Vec<&str> = text.lines().filter(|it| it.starts_with("is = ")).collect();
        assert_eq!(kinds, ["is = \"opening\"", "is = \"window\""]);
        assert_eq!(answered(&metric, "1", "A wall ends.", "ok"), NOTHING);
    }

    #[test]
    fn what_is_not_sure_is_a_form_with_its_place() {
        let one = places("in", 1);
        for (asked, answer, why, place) in [
            (
                "Nothing is drawn.",
                "a bay",
                WORDS,
                "# at = [100.000, 3.000]",
            ),
            ("Two alike.", "door", MANY, "# at = [200.000, 3.000]"),
            ("A wall ends.", "door", OTHER, "# at = [270.000, 3.000]"),
            (
                "A wall ends.",
                "head 80\"",
                OTHER,
                "# at = [270.000, 3.000]",
            ),
            ("Askew.", "door", OTHER, "# at = [50.000, 60.000]"),
            ("A swing.", "door", OTHER, "# at = [50.000, 60.000]"),
            ("Nothing is drawn.", "wall, 36\" wide", OTHER, "# is = \"\""),
            ("The sheet.", "door", PLACE, ""),
            ("Never asked.", "door", PLACE, ""),
        ] {
            let text = answered(&one, "1", asked, answer);
            assert!(text.lines().all(|it| it.starts_with('#')), "{text}");
            assert!(
                text.contains(why) && text.contains(place),
                "{asked} {answer}: {text}"
            );
        }
    }
}
