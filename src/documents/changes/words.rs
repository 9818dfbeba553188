//! A question in the architect's words: what it is about, what was seen and taken, what we ask. Codes and keys are the drafter's.

use crate::documents::asked::Asked;
use crate::documents::trace::Units;

/// A question as the architect reads it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wording {
    /// What it is about, with the ids that stand on the plan.
    pub(super) topic: String,
    /// What was seen and what was taken meanwhile.
    pub(super) seen: String,
    /// What we ask.
    pub(super) ask: &'static str,
}

/// Rooms of the program, and single codes, whose questions are the plant's own: they stand on the trace and in the list of findings.
/// How modules are printed is no business of the architect's.
const OURS: [&str; 7] = ["RULE", "STOCK", "LOAD", "EST", "PROOF", "REV", "LAY-15"];

/// True for a question that the architect can answer.
pub(super) fn is_for_architect(code: &str) -> bool {
    !OURS.iter().any(|room| code.starts_with(room))
}

/// Topic and ask by the codes they are for.
const ASKS: [(&[&str], &str, &str); 22] = [
    (
        &["DRAW-02", "DRAW-03", "DRAW-16"],
        "Unit of the drawing",
        "Please confirm the unit, or one length of the building.",
    ),
    (
        &[
            "PLAN-01", "PLAN-02", "BLDG-01", "BLDG-02", "BLDG-21", "PLAN-14", "PLAN-66",
        ],
        "Walls that do not close",
        "Please show how the walls close here.",
    ),
    (
        &["PLAN-03", "PLAN-04", "PLAN-09"],
        "Opening of an unknown kind",
        "Please say what stands here: door, window, opening, or wall.",
    ),
    (
        &["PLAN-05", "PLAN-38", "PLAN-39", "PLAN-40"],
        "Opening, tag and schedule disagree",
        "Please say which holds.",
    ),
    (
        &["PLAN-06", "PLAN-07"],
        "Door or window without an opening",
        "Please say whether an opening is missing here.",
    ),
    (
        &["PLAN-12", "BLDG-50", "BLDG-51"],
        "Layers of a wall",
        "Please say which layer bears, and how thick each is.",
    ),
    (
        &["PLAN-15"],
        "Opening at a corner",
        "Please say what carries the corner.",
    ),
    (
        &["PLAN-16"],
        "Wall of glass",
        "Please confirm that its maker supplies it: it is not made of panels.",
    ),
    (
        &["PLAN-18", "PLAN-60"],
        "Curved wall",
        "Panels are straight: please draw straight walls, or confirm that it is framed on site.",
    ),
    (
        &["PLAN-30", "PLAN-31", "PLAN-32", "BLDG-03"],
        "Dimension and drawing disagree",
        "Please say which holds.",
    ),
    (
        &["PLAN-61", "PLAN-65", "BLDG-04", "BLDG-22"],
        "Thickness of walls",
        "Please say which line of the wall has to stay, and how thick the wall is.",
    ),
    (
        &["BLDG-05", "BLDG-06"],
        "Kind of panel",
        "Please confirm the panel, or name another.",
    ),
    (
        &["BLDG-07", "BLDG-08", "BLDG-09", "BLDG-23", "BLDG-24"],
        "Heights of walls and floors",
        "Please state floor to floor and floor to top of wall.",
    ),
    (
        &["BLDG-10", "BLDG-11"],
        "Heads and sills of openings",
        "Please state head, sill and height of each opening named.",
    ),
    (
        &["BLDG-12", "BLDG-13", "BLDG-14", "LAY-07", "FAB-03"],
        "Opening that does not fit its wall",
        "Please move or resize it, or confirm that it is framed on site.",
    ),
    (
        &[
            "BLDG-15", "BLDG-16", "BLDG-17", "BLDG-40", "BLDG-41", "BLDG-42", "LAY-05", "LAY-11",
            "LAY-13", "LAY-02", "LAY-26", "FAB-04", "FAB-30",
        ],
        "What carries over and beside an opening",
        "Not sized: engineer. Please have the engineer of record name the member and its bearing.",
    ),
    (
        &["BLDG-57"],
        "Openings over each other",
        "Please say whether they are to stand in line.",
    ),
    (
        &["BLDG-19", "LAY-03", "LAY-21"],
        "Design by an engineer",
        "Please have the engineer of record confirm it.",
    ),
    (
        &["BLDG-43", "BLDG-44", "BLDG-45", "PLAN-50"],
        "Wall that is not made of panels",
        "Please confirm who builds what stands there.",
    ),
    (
        &["LAY-01", "LAY-04", "LAY-06", "FAB-02", "FAB-06"],
        "Opening that leaves no room for a panel",
        "Please say whether it may be moved, and by how much.",
    ),
    (
        &["FAB-08", "FAB-09", "FAB-10", "FAB-18"],
        "Wiring",
        "Please say whether a wire has to come up here.",
    ),
    (
        &[
            "DRAW-01", "DRAW-04", "DRAW-05", "DRAW-06", "DRAW-07", "DRAW-10", "DRAW-12", "DRAW-13",
            "DRAW-15",
        ],
        "Drawing file",
        "Please send it once more, with all that belongs to it, or confirm that nothing is missing.",
    ),
];

/// Said before an ask of the engineer, once.
const NOT_SIZED: &str = "Not sized: engineer. ";

/// Topic and ask of every other question.
const OTHER: (&str, &str) = (
    "To confirm",
    "Please confirm what was taken, or say what holds.",
);

/// Words of the drafter's tools, and what the architect reads instead.
const PLAIN: [(&str, &str); 8] = [
    ("No assembly is named", "The plan does not say which panel"),
    ("Neither plan nor job says", "The plan does not say"),
    ("neither plan nor job says", "the plan does not say"),
    ("The job names no", "Nobody has named the"),
    ("The job states no", "Nobody has stated the"),
    ("by the plant's table of widths", "by our table of widths"),
    ("from the plant rules", "by our practice"),
    ("the plant's", "our"),
];

/// The question as the architect reads it.
pub(super) fn wording(asked: &Asked, units: Units) -> Wording {
    let it = &asked.question;
    let known = ASKS.iter().find(|row| row.0.contains(&it.code));
    let (topic, ask) = known.map_or(OTHER, |row| (row.1, row.2));
    let ids: Vec<&str> = it
        .about
        .iter()
        .map(String::as_str)
        .filter(|words| is_on_the_plan(words))
        .collect();
    let topic = match ids[..] {
        [] => topic.to_owned(),
        _ => format!("{topic}: {}", ids.join(", ")),
    };
    let seen = match units {
        Units::Imperial => plain(&it.seen),
        Units::Metric => with_millimetres(&plain(&it.seen)),
    };
    // What was seen may say it already.
    let ask = match ask.strip_prefix(NOT_SIZED) {
        Some(rest) if seen.contains("not sized: engineer") => rest,
        _ => ask,
    };
    Wording { topic, seen, ask }
}

/// Walls, openings, rooms and panels, not files, layers and entities.
fn is_on_the_plan(words: &str) -> bool {
    !words.starts_with("layer ") && !words.starts_with("entity ") && !words.contains('.')
}

/// A sentence without what only the drafter knows: keys in brackets, names of files and tables.
fn plain(words: &str) -> String {
    let mut text = words.to_owned();
    for (from, to) in PLAIN {
        text = text.replace(from, to);
    }
    let mut kept = String::new();
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once(" (") {
        kept.push_str(before);
        let Some((inside, tail)) = after.split_once(')') else {
            rest = &rest[before.len()..];
            break;
        };
        if !is_key(inside) {
            kept.push_str(" (");
            kept.push_str(inside);
            kept.push(')');
        }
        rest = tail;
    }
    kept.push_str(rest);
    let kept = kept.replace("[[", "").replace("]]", "").replace('`', "");
    let said = |word| match word {
        file if str::contains(file, ".toml") => "our job file",
        word => word,
    };
    kept.split(' ').map(said).collect::<Vec<_>>().join(" ")
}

/// Every length in feet and inches with the millimetres of it behind: whoever draws in metres need not reckon.
fn with_millimetres(words: &str) -> String {
    let mut told = String::new();
    let mut rest = words;
    while let Some(at) = rest.find('"') {
        let (before, after) = rest.split_at(at + 1);
        told.push_str(before);
        if let Some(inches) = inches_at_end(&before[..at]) {
            told.push_str(&format!(" ({:.0} mm)", inches * 25.4));
        }
        rest = after;
    }
    told.push_str(rest);
    told
}

/// The length that a text ends with, its last inch sign taken off: `82`, `48 1/2`, `8'-0`; `None` when it ends with none.
fn inches_at_end(words: &str) -> Option<f64> {
    let mut tokens = words.rsplit(' ');
    let last = tokens.next()?;
    let (feet, last) = match last.split_once("'-") {
        Some((feet, inches)) => (feet.parse::<u32>().ok()?, inches),
        None => (0, last),
    };
    let inches = match last.split_once('/') {
        None => f64::from(last.parse::<u32>().ok()?),
        Some((part, whole)) => {
            let (part, whole) = (part.parse::<u32>().ok()?, whole.parse::<u32>().ok()?);
            let before = tokens.next().unwrap_or_default();
            let (feet, inches) = before.split_once("'-").unwrap_or(("0", before));
            let feet: u32 = feet.parse().unwrap_or(0);
            let inches: u32 = inches.parse().unwrap_or(0);
            f64::from(feet * 12 + inches) + f64::from(part) / f64::from(whole.max(1))
        }
    };
    Some(f64::from(feet) * 12.0 + inches)
}

/// `openings.sizes`, `wall.hold`, `[[layout]] of the job`.
fn is_key(words: &str) -> bool {
    let is_dotted = |word: &str| {
        word.split_once('.').is_some_and(|(a, b)| {
            let is_name = |part: &str| {
                part.starts_with(|c: char| c.is_ascii_lowercase())
                    && part
                        .chars()
                        .all(|c| c.is_ascii_lowercase() || c == '_' || c == '.')
            };
            is_name(a) && is_name(b)
        })
    };
    // `default_assembly`
    let is_joined =
        |word: &str| word.contains('_') && word.chars().all(|c| c.is_ascii_lowercase() || c == '_');
    words.contains("[[")
        || words
            .split([' ', ','])
            .any(|word| is_dotted(word) || is_joined(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_of_the_drafter_are_left_out_and_numbers_stay() {
        let seen = "Neither plan nor job says how high: O1, O2 (window) takes head 82\" above the deck from the plant rules (openings.sizes).";
        assert_eq!(
            plain(seen),
            "The plan does not say how high: O1, O2 (window) takes head 82\" above the deck by our practice."
        );
        assert_eq!(
            plain("No assembly is named: X1 takes 6-1/2 from the plant rules (default_assembly)."),
            "The plan does not say which panel: X1 takes 6-1/2 by our practice."
        );
        assert_eq!(
            plain("The joint lies in it ([[layout]] of the job)"),
            "The joint lies in it"
        );
        assert_eq!(
            plain("2-2x10 is named by plans/job.toml:20 and no table has sized it"),
            "2-2x10 is named by our job file and no table has sized it"
        );
        assert_eq!(
            plain("An open bracket (as typed"),
            "An open bracket (as typed"
        );
    }

    /// 25.4 mm to the inch, exactly (1959).
    #[test]
    fn lengths_carry_their_millimetres() {
        let check = |words: &str, expected: &str| assert_eq!(with_millimetres(words), expected);
        check("head 82\" above", "head 82\" (2083 mm) above");
        check("O7 takes 48 1/2\".", "O7 takes 48 1/2\" (1232 mm).");
        check("X1 takes 8'-0\" here", "X1 takes 8'-0\" (2438 mm) here");
        check("8'-4 1/2\"", "8'-4 1/2\" (2553 mm)");
        check("called \"store\" here", "called \"store\" here");
    }

    #[test]
    fn every_question_that_the_architect_can_get_has_one_topic() {
        let mut all: Vec<&str> = ASKS.iter().flat_map(|row| row.0).copied().collect();
        all.sort_unstable();
        let count = all.len();
        all.dedup();
        assert_eq!(all.len(), count);
        let findings = include_str!("../../../docs/findings.md");
        for code in all {
            let row = format!("| {code} |");
            assert!(findings.contains(&row), "{code}");
            assert!(is_for_architect(code));
        }
        assert!(!is_for_architect("STOCK-01") && !is_for_architect("LAY-15"));
    }
}
