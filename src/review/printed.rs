//! What a sheet of a panel would print otherwise now than it did when it was issued.
//!
//! ```text
//!   as issued:  SHELTER, job J-1   [key plan]   rev 0        now:  BARN, job J-1   [key plan]   rev 1
//!                └── differs: the sheet is drawn anew                                            └── depends on the issue: it is kept
//! ```
//!
//! Compared are the words, wherever they stand, and the shapes of the small plan and of the north arrow, each by itself; of a plan
//! that came back turned both turned back alike, by the quarter at which they differ least: sheets draw buildings level. Words in
//! the small plan stand there as it leaves them room, and elsewhere on the sheet too: they are not compared. What is drawn of the
//! panel comes from `panels.json`, and is compared there.

use roxmltree::{Document, Node, ParsingOptions};
use std::collections::BTreeMap;

/// Groups that say which issue this is, or what came back for it.
const OF_THE_ISSUE: [&str; 3] = ["revision-row", "small-print", "carried-marks"];
/// Pictures that show more than the panel.
const PICTURES: [(&str, &str); 2] = [(SMALL_PLAN, "key plan"), ("north", "north arrow")];
const SMALL_PLAN: &str = "small-plan";
/// Points no farther apart than this share of their picture are the same.
const SAME_SHARE: f64 = 0.005;
/// So many words are told.
const MOST_TOLD: usize = 3;
/// No sheet has more elements and attributes.
const MOST_NODES: u32 = 2_000_000;

/// What is printed otherwise, in words; nothing where the sheet can be kept, or where one of them is no sheet.
///
/// - `was`, `now`: the sheet as issued and as it would be drawn, SVG.
/// - `is_turned`: the building lies otherwise on the plan.
pub(super) fn printed_otherwise(was: &[u8], now: &[u8], is_turned: bool) -> Vec<String> {
    let [Some(was), Some(now)] = [was, now].map(Printed::read) else {
        return Vec::new();
    };
    let gone = apart(&was.words, &now.words);
    let come = apart(&now.words, &was.words);
    let mut told = match (gone.is_empty(), come.is_empty()) {
        (true, true) => Vec::new(),
        (false, true) => vec![format!("printed no more: {}", in_short(&gone))],
        (true, false) => vec![format!("printed new: {}", in_short(&come))],
        (false, false) => vec![format!(
            "printed {} is now {}",
            in_short(&gone),
            in_short(&come)
        )],
    };
    let unlike = |quarters: usize| -> Vec<&str> {
        let others = PICTURES.into_iter().filter(|(id, _)| {
            let pair = was.pictures.get(id).zip(now.pictures.get(id));
            pair.is_some_and(|(was, now)| !is_alike(&turned(was, quarters), now))
        });
        others.map(|(_, name)| name).collect()
    };
    let quarters = if is_turned { 0..4 } else { 0..1 };
    // The plan says how it was turned, and the arrow whether north went with it.
    let rank = |names: &Vec<&str>| (names.contains(&PICTURES[0].1), names.len());
    let pictures = quarters.map(unlike).min_by_key(rank);
    let pictures = pictures.into_iter().flatten();
    told.extend(pictures.map(|name| format!("another {name}")));
    told
}

/// A picture turned by so many quarters.
fn turned(picture: &[Shape], quarters: usize) -> Vec<Shape> {
    let quarter = |shape: Shape| shape.into_iter().map(|[x, y]| [y, -x]).collect();
    let turn = |shape: &Shape| (0..quarters).fold(shape.clone(), |shape, _| quarter(shape));
    picture.iter().map(turn).collect()
}

/// Words that one has oftener than the other.
fn apart(own: &BTreeMap<String, usize>, other: &BTreeMap<String, usize>) -> Vec<String> {
    let more = own
        .iter()
        .filter(|(word, n)| other.get(*word).is_none_or(|there| there < *n));
    more.map(|(word, _)| word.clone()).collect()
}

fn in_short(words: &[String]) -> String {
    let first = words.iter().take(MOST_TOLD);
    let mut told: Vec<String> = first.map(|it| format!("\"{it}\"")).collect();
    if words.len() > MOST_TOLD {
        told.push(format!("{} more", words.len() - MOST_TOLD));
    }
    told.join(", ")
}

type Shape = Vec<[f64; 2]>;

/// What one reads and sees on a sheet.
#[derive(Default)]
struct Printed {
    /// Every line of words, and how often it stands there.
    words: BTreeMap<String, usize>,
    /// Corners of the shapes of each picture.
    pictures: BTreeMap<&'static str, Vec<Shape>>,
}

impl Printed {
    fn read(svg: &[u8]) -> Option<Self> {
        let options = ParsingOptions {
            nodes_limit: MOST_NODES,
            ..ParsingOptions::default()
        };
        let text = std::str::from_utf8(svg).ok()?;
        let document = Document::parse_with_options(text, options).ok()?;
        let mut printed = Self::default();
        for node in document.root_element().descendants() {
            let within = |id: &str| node.ancestors().any(|it| it.attribute("id") == Some(id));
            if node.tag_name().name() == "text" {
                if !OF_THE_ISSUE.into_iter().any(within) && !within(SMALL_PLAN) {
                    let letters = node.descendants().filter(Node::is_text);
                    let letters = letters.filter_map(|it| it.text());
                    let words: Vec<&str> = letters.flat_map(str::split_whitespace).collect();
                    let words = words.join(" ");
                    let words = without_total(without_revision(&words)).to_owned();
                    *printed.words.entry(words).or_default() += 1;
                }
            } else if let Some(shape) = shape(node)
                && let Some((id, _)) = PICTURES.into_iter().find(|(id, _)| within(id))
            {
                printed.pictures.entry(id).or_default().push(shape);
            }
        }
        Some(printed)
    }
}

/// The name of a part without the letter of the issue in which it became new: `Buck head, rev B`.
fn without_revision(words: &str) -> &str {
    let is_letter = |it: &str| it.chars().all(|c| c.is_ascii_uppercase());
    match words.rsplit_once(", rev ") {
        Some((name, letter)) if is_letter(letter) => name,
        _ => words,
    }
}

/// The place of a panel in the order of erection without how many places there are: one more at the end is no news of the others.
fn without_total(words: &str) -> &str {
    match words.split_once(" OF ") {
        Some((place, _)) if words.starts_with("ERECT ") => place,
        _ => words,
    }
}

/// The corners of a polygon, or the centre of a circle. The sign of the view, a triangle of one size, is none.
fn shape(node: Node<'_, '_>) -> Option<Shape> {
    let number = |name: &str| node.attribute(name)?.parse::<f64>().ok();
    if node.tag_name().name() == "circle" {
        return Some(vec![[number("cx")?, number("cy")?]]);
    }
    let points = node.attribute("points")?;
    let is_sign = |n: usize, id: &str| n == 3 && id == SMALL_PLAN;
    let numbers: Vec<f64> = points
        .split([' ', ','])
        .filter_map(|it| it.parse().ok())
        .collect();
    let corners: Shape = numbers
        .chunks_exact(2)
        .map(|pair| [pair[0], pair[1]])
        .collect();
    let group = node.parent_element()?.attribute("id").unwrap_or_default();
    (!is_sign(corners.len(), group)).then_some(corners)
}

/// True when two pictures are the same but for their place and size on the sheet, and the order of their shapes.
fn is_alike(a: &[Shape], b: &[Shape]) -> bool {
    let [a, mut b] = [a, b].map(in_own_box);
    let near = |(p, q): (&[f64; 2], &[f64; 2])| (0..2).all(|i| (p[i] - q[i]).abs() <= SAME_SHARE);
    let is_same = |a: &Shape, b: &Shape| a.len() == b.len() && a.iter().zip(b).all(near);
    a.len() == b.len()
        && a.iter().all(|shape| {
            let found = b.iter().position(|it| is_same(shape, it));
            found.map(|index| b.swap_remove(index)).is_some()
        })
}

/// Each corner by where it lies in the box round all, whose longer side is one.
fn in_own_box(shapes: &[Shape]) -> Vec<Shape> {
    let all = || shapes.iter().flatten();
    let end =
        |i: usize, start: f64, pick: fn(f64, f64) -> f64| all().map(|it| it[i]).fold(start, pick);
    let low = [0, 1].map(|i| end(i, f64::INFINITY, f64::min));
    let high = [0, 1].map(|i| end(i, f64::NEG_INFINITY, f64::max));
    let side = (high[0] - low[0])
        .max(high[1] - low[1])
        .max(f64::MIN_POSITIVE);
    let lay = |it: &[f64; 2]| [0, 1].map(|i| (it[i] - low[i]) / side);
    shapes
        .iter()
        .map(|shape| shape.iter().map(lay).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(words: &str, revision: &str, plan: &str) -> Vec<u8> {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\"><text>{words}</text>\
             <g id=\"revision-row\"><text>{revision}</text></g>\
             <g id=\"small-plan\"><polygon points=\"{plan}\"/><polygon points=\"1,1 2,2 1,2\"/></g></svg>"
        )
        .into_bytes()
    }

    const SQUARE: &str = "0,0 40,0 40,40 0,40";

    #[test]
    fn what_depends_on_the_issue_and_where_a_picture_stands_is_no_difference() {
        let was = sheet("BARN", "First issue", SQUARE);
        let now = sheet("BARN", "Cut as before", "5,9 25,9 25,29 5,29");
        assert_eq!(printed_otherwise(&was, &now, false), [""; 0]);
    }

    #[test]
    fn how_many_panels_there_are_is_no_difference_and_another_place_is() {
        let was = sheet("ERECT 4 OF 20", "", SQUARE);
        for now in ["ERECT 4 OF 21", "ERECT 4"] {
            assert_eq!(
                printed_otherwise(&was, &sheet(now, "", SQUARE), false),
                [""; 0]
            );
        }
        let told = ["printed \"ERECT 4\" is now \"ERECT 5\""];
        assert_eq!(
            printed_otherwise(&was, &sheet("ERECT 5 OF 20", "", SQUARE), false),
            told
        );
    }

    #[test]
    fn another_name_and_another_plan_are_told() {
        let was = sheet("BARN", "", SQUARE);
        let now = sheet("SHED", "", "0,0 44,0 44,40 0,40");
        let told = ["printed \"BARN\" is now \"SHED\"", "another key plan"];
        assert_eq!(printed_otherwise(&was, &now, false), told);
        assert_eq!(printed_otherwise(&was, &now, true), told);
    }

    #[test]
    fn of_a_turned_plan_the_pictures_are_turned_back_together() {
        // A plan longer than deep, a wing at its left end, and an arrow that points along it.
        let level = ["0,0 60,0 60,30 0,30", "0,30 10,30 10,50 0,50"];
        let upright = ["0,60 0,0 30,0 30,60", "30,60 30,50 50,50 50,60"];
        let drawn = |plan: [&str; 2], arrow: &str| {
            let words =
                format!("BARN</text><g id=\"north\"><polygon points=\"{arrow}\"/></g><text>",);
            let plan = plan.join("\"/><polygon points=\"");
            sheet(&words, "", &plan)
        };
        let was = drawn(level, "0,0 2,-8 4,0");
        let (with_it, as_before) = ("0,0 -8,-2 0,-4", "0,0 2,-8 4,0");
        let told = |arrow: &str| printed_otherwise(&was, &drawn(upright, arrow), true);
        assert_eq!(told(with_it), [""; 0]);
        assert_eq!(told(as_before), ["another north arrow"]);
        assert!(!printed_otherwise(&was, &drawn(upright, with_it), false).is_empty());
    }

    #[test]
    fn words_in_the_small_plan_stand_there_as_it_leaves_them_room() {
        let was = sheet("BARN", "", SQUARE);
        let named = format!("{SQUARE}\"/><text>W101</text><polygon points=\"1,1 2,2 1,2");
        assert_eq!(
            printed_otherwise(&was, &sheet("BARN", "", &named), false),
            [""; 0]
        );
    }

    #[test]
    fn words_that_stand_there_oftener_are_told() {
        let (was, now) = (sheet("A", "", SQUARE), sheet("A</text><text>A", "", SQUARE));
        assert_eq!(printed_otherwise(&was, &now, false), ["printed new: \"A\""]);
    }
}
