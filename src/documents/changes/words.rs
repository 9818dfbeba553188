//! Questions in the architect's words: what it is about, what was seen and taken, what we ask. Codes and keys are the drafter's.

use super::metric::{in_millimetres, with_millimetres, without_coordinates};
use crate::documents::asked::Asked;
use crate::documents::trace::Units;
use crate::rules::{HeaderMember, HeaderRule};

/// Questions on one topic as the architect reads them: answered together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wording {
    /// What they are about; of a single one with the ids that stand on the plan.
    pub(super) topic: String,
    /// Of each its number, and what was seen and what was taken meanwhile.
    pub(super) seen: Vec<(String, String)>,
    /// What we ask.
    pub(super) ask: &'static str,
    /// Panels that wait.
    pub(super) holds: Vec<String>,
}

/// Rooms of the program, and single codes, whose questions are the plant's own: they stand on the trace and in the list of findings.
/// How modules are printed is no business of the architect's.
const OURS: [&str; 7] = ["RULE", "STOCK", "LOAD", "EST", "PROOF", "REV", "LAY-15"];

/// True for a question that the architect can answer.
pub(super) fn is_for_architect(code: &str) -> bool {
    !OURS.iter().any(|room| code.starts_with(room))
}

/// Topic and ask by the codes they are for.
const ASKS: [(&[&str], &str, &str); 23] = [
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
        &["LAY-01"],
        "Wall that no panels can fill",
        "Please say which opening may be moved or resized, and by how much, or confirm that the wall is framed on site.",
    ),
    (
        &["LAY-04", "LAY-06", "FAB-02", "FAB-06"],
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
const PLAIN: [(&str, &str); 7] = [
    ("No assembly is named", "The plan does not say which panel"),
    ("Neither plan nor job says", "The plan does not say"),
    ("neither plan nor job says", "the plan does not say"),
    ("The job names no", "Nobody has named the"),
    ("The job states no", "Nobody has stated the"),
    ("from the plant rules", "by our practice"),
    ("the plant's", "our"),
];

/// Questions that have one topic and one answer together, in the order of the first of each.
pub(super) fn by_topic<'a>(questions: &[&'a Asked]) -> Vec<Vec<&'a Asked>> {
    let mut groups: Vec<Vec<&'a Asked>> = Vec::new();
    for asked in questions {
        let topic = |it: &Asked| (topic(it.question.code), it.question.is_fault);
        let is_its = |group: &&mut Vec<&Asked>| {
            topic(asked).0 != OTHER && group.first().is_some_and(|it| topic(it) == topic(asked))
        };
        match groups.iter_mut().find(is_its) {
            Some(group) => group.push(asked),
            None => groups.push(vec![asked]),
        }
    }
    groups
}

fn topic(code: &str) -> (&'static str, &'static str) {
    let known = ASKS.iter().find(|row| row.0.contains(&code));
    known.map_or(OTHER, |row| (row.1, row.2))
}

/// Questions of one topic as the architect reads them.
pub(super) fn wording(group: &[&Asked], units: Units, headers: &[HeaderRule]) -> Wording {
    let code = group.first().map_or("", |it| it.question.code);
    let (topic, ask) = topic(code);
    let about = |asked: &Asked| {
        let words = asked.question.about.iter().map(String::as_str);
        let ids: Vec<&str> = words.filter(|words| is_on_the_plan(words)).collect();
        ids.join(", ")
    };
    let seen: Vec<(String, String)> = group
        .iter()
        .map(|asked| {
            let told = without_coordinates(&plain(&by_width(&asked.question.seen, headers)));
            let told = match units {
                Units::Imperial => told,
                Units::Metric => in_millimetres(&with_millimetres(&told)),
            };
            let told = match about(asked).as_str() {
                "" => told,
                _ if group.len() == 1 => told,
                ids => format!("{}: {told}", capitalised(ids)),
            };
            (asked.number.clone(), told)
        })
        .collect();
    let topic = match group {
        [one] if !about(one).is_empty() => format!("{topic}: {}", about(one)),
        _ => topic.to_owned(),
    };
    // What was seen may say it already.
    let is_said = |it: &(String, String)| it.1.contains("not sized: engineer");
    let ask = match ask.strip_prefix(NOT_SIZED) {
        Some(rest) if seen.iter().all(is_said) => rest,
        _ => ask,
    };
    let mut holds: Vec<String> = Vec::new();
    for mark in group.iter().flat_map(|it| &it.holds) {
        if !holds.contains(mark) {
            holds.push(mark.clone());
        }
    }
    Wording {
        topic,
        seen,
        ask,
        holds,
    }
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|it| it.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The plant's table of widths by its numbers: the architect has never seen it.
fn by_width(words: &str, headers: &[HeaderRule]) -> String {
    const NAMED: &str = " is named by the plant's table of widths (openings.headers) and no table here has sized it";
    const BARE: &str =
        "the panel itself carries, named by the plant's table of widths (openings.headers)";
    const BEYOND: &str =
        "the plant's table of widths (openings.headers) names none that goes there";
    let range = |is_its: &dyn Fn(&HeaderMember) -> bool| -> Option<String> {
        let at = headers.iter().position(|row| is_its(&row.member))?;
        let to = headers[at..]
            .iter()
            .take_while(|row| is_its(&row.member))
            .last()?;
        let to = to.up_to.feet_inches();
        Some(
            match at.checked_sub(1).and_then(|before| headers.get(before)) {
                Some(before) => format!("wider than {} and up to {to}", before.up_to.feet_inches()),
                None => format!("up to {to} wide"),
            },
        )
    };
    if let Some((before, after)) = words.split_once(NAMED) {
        let name = before.split(" over ").next().unwrap_or_default();
        let told = range(&|it| it.name() == name).unwrap_or_else(|| "so wide".to_owned());
        return format!(
            "{before}: it is what we put over openings {told}, and nobody has calculated it{after}"
        );
    }
    if words.contains(BARE) {
        let told = range(&|it| *it == HeaderMember::None).unwrap_or_else(|| "so narrow".to_owned());
        let told = format!(
            "the panel itself carries, as we do it over openings {told}; nobody has calculated it"
        );
        return words.replace(BARE, &told);
    }
    let widest = headers
        .iter()
        .rfind(|row| row.member != HeaderMember::Engineer);
    let told = widest.map_or_else(
        || "we put no member there without an engineer".to_owned(),
        |row| {
            format!(
                "what we put over openings of our own goes up to {} wide",
                row.up_to.feet_inches()
            )
        },
    );
    words.replace(BEYOND, &told)
}

/// Walls, openings, rooms and panels, not files, layers and entities.
fn is_on_the_plan(words: &str) -> bool {
    !words.starts_with("layer ") && !words.starts_with("entity ") && !words.contains('.')
}

/// `…: X1, X2 takes 8'-0" from the plant rules` as a sentence of what was taken meanwhile.
fn taken(words: &str) -> String {
    let parts = words.split_once(" takes ").and_then(|(before, rest)| {
        let (what, after) = rest.split_once(" from the plant rules")?;
        let (seen, ids) = before.rsplit_once(": ")?;
        Some(format!(
            "{seen}. For {ids} we have taken {what}, as usual with us{after}"
        ))
    });
    parts.unwrap_or_else(|| words.to_owned())
}

/// A sentence without what only the drafter knows: keys in brackets, names of files and tables.
fn plain(words: &str) -> String {
    let mut text = taken(words);
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
            "The plan does not say how high. For O1, O2 (window) we have taken head 82\" above the deck, as usual with us."
        );
        assert_eq!(
            plain("No assembly is named: X1 takes 6-1/2 from the plant rules (default_assembly)."),
            "The plan does not say which panel. For X1 we have taken 6-1/2, as usual with us."
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

    #[test]
    fn the_plants_table_is_told_by_its_numbers() {
        let rules = crate::rules::read_rules("", "default plant rules")
            .unwrap()
            .output;
        let headers = &rules.openings.headers;
        let named = headers
            .iter()
            .find(|row| matches!(row.member, HeaderMember::Lumber { .. }));
        let named = named.unwrap();
        let seen = format!(
            "{} over O1, O3 is named by the plant's table of widths (openings.headers) and no table here has sized it; not sized: engineer.",
            named.member.name()
        );
        let told = plain(&by_width(&seen, headers));
        assert!(
            told.contains(&named.up_to.feet_inches().to_string()),
            "{told}"
        );
        assert!(
            told.ends_with("nobody has calculated it; not sized: engineer."),
            "{told}"
        );
        assert!(!told.contains("table"), "{told}");
        let beyond = "nobody names the member over O1, 16'-0\" wide: the plant's table of widths (openings.headers) names none that goes there; not sized: engineer";
        let told = plain(&by_width(beyond, headers));
        assert!(
            !told.contains("table") && told.contains("wide; not sized: engineer"),
            "{told}"
        );
    }

    fn asked(number: &str, code: &'static str, about: &str, seen: &str, holds: &[&str]) -> Asked {
        Asked {
            storey: 0,
            number: number.to_owned(),
            question: crate::documents::trace::Question {
                number: 1,
                is_fault: false,
                code,
                about: vec![about.to_owned()],
                seen: seen.to_owned(),
                hint: String::new(),
                places: Vec::new(),
            },
            holds: holds.iter().map(|it| (*it).to_owned()).collect(),
        }
    }

    #[test]
    fn questions_of_one_topic_are_asked_once_with_a_list_of_places() {
        let first = asked(
            "3",
            "FAB-08",
            "panel W102",
            "No room for the chase at the joint with W103.",
            &["W102"],
        );
        let other = asked("4", "BLDG-57", "O4 in X1", "It stands 1\" beside O9.", &[]);
        let second = asked(
            "7",
            "FAB-09",
            "panel W106",
            "No room for the chase at the joint with W107.",
            &["W102", "W106"],
        );
        let groups = by_topic(&[&first, &other, &second]);
        assert_eq!(groups.len(), 2);
        let told = wording(&groups[0], Units::Imperial, &[]);
        assert_eq!(told.topic, "Wiring");
        assert_eq!(told.holds, ["W102", "W106"]);
        let seen: Vec<String> = told
            .seen
            .iter()
            .map(|(n, words)| format!("{n} {words}"))
            .collect();
        assert_eq!(
            seen,
            [
                "3 Panel W102: No room for the chase at the joint with W103.",
                "7 Panel W106: No room for the chase at the joint with W107."
            ]
        );
        assert_eq!(
            wording(&groups[1], Units::Imperial, &[]).topic,
            "Openings over each other: O4 in X1"
        );
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
