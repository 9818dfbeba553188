//! Why the panel ends where it ends and is as wide as it is: each joint and choice with its rule, in short.
//!
//! `panelwright explain` says it at length; here stands the first sentence of each reason and the rule's name.

use super::arrange::Arrangement;
use super::labels::{Label, box_choice};
use super::subject::{Subject, capital};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::Strip;
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::{Area, Canvas, Lettered, Spot, Weight, spot};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);
pub(super) const HEADING: &str = "WHY IT IS SO";
const REMARK: &str = "[rule]";

/// Widths of the list beside the panel, mm.
const BESIDE: [f64; 3] = [104.0, 82.0, 60.0];
/// The same, set solid where the list has no room.
const SOLID: [f64; 5] = [112.0, 96.0, 80.0, 64.0, 48.0];
/// From one place that is tried to the next, mm.
const STEP: f64 = 7.0;
/// Left of the words, where it stands what they are about, mm.
const INDENT: f64 = 14.5;
/// Between two reasons, mm.
const GAP: f64 = 0.8;

/// What each reason is about, and its words with the rule.
pub(super) fn reasons_in_short(subject: &Subject<'_>) -> Vec<(String, String)> {
    let reasons = subject.place.reasons.iter();
    reasons
        // Who has the spline stands at the edge.
        .filter(|it| !it.about.ends_with(" spline"))
        .map(|it| {
            let about = it.about.trim_end_matches(" edge");
            let about = about.strip_prefix("opening ").unwrap_or(about);
            let about = about.strip_prefix("point ").unwrap_or(about);
            (
                capital(about),
                format!("{} [{}]", short(&it.words), rule_name(&it.rule)),
            )
        })
        .collect()
}

/// The first sentence: what the search weighed beside it stands in `panels.json`.
fn short(words: &str) -> String {
    let first = words.split(": ").next().unwrap_or(words);
    let first = first.split("; ").next().unwrap_or(first);
    first.replace("the panel to its left takes", "the panel left of it takes")
}

/// Of a line of the job file its name alone: where the file lies is nobody's matter on a sheet.
fn rule_name(rule: &str) -> &str {
    rule.rsplit(['/', '\\']).next().unwrap_or(rule)
}

/// Lines of the list, each at its height below the heading, and the height of all.
struct Lines {
    /// What a reason is about where it begins, words, baseline.
    rows: Vec<(String, String, f64)>,
    /// Left of the words, mm.
    indent: f64,
    height: f64,
}

fn lines(subject: &Subject<'_>, width: f64) -> Lines {
    let leading = SMALL_SHEET.leading();
    let mut rows = Vec::new();
    let mut y = 0.0;
    for (about, words) in reasons_in_short(subject) {
        let mut about = Some(about);
        for line in wrap(&words, width - INDENT, NOTE.cap, Weight::Regular) {
            y += leading;
            rows.push((about.take().unwrap_or_default(), line, y));
        }
        y += GAP;
    }
    Lines {
        rows,
        indent: INDENT,
        height: y,
    }
}

/// A reason on a line of its own; what it is about is said once: `O1 is cut whole`, `Left: the run stops`.
pub(super) fn told(about: &str, words: &str) -> String {
    match words.strip_prefix(about) {
        Some(rest) if rest.starts_with(' ') => words.to_owned(),
        _ => format!("{about}: {words}"),
    }
}

/// One reason after the other, what each is about in capitals.
pub(super) fn reasons_set_solid(subject: &Subject<'_>) -> String {
    let reasons = reasons_in_short(subject);
    let words: Vec<String> = (reasons.iter())
        .map(|(about, words)| match words.strip_prefix(about.as_str()) {
            Some(rest) => format!("{about}{rest}"),
            None => format!("{} {words}", about.to_uppercase()),
        })
        .collect();
    words.join("; ")
}

/// The same set solid.
fn solid_lines(subject: &Subject<'_>, width: f64) -> Lines {
    let leading = SMALL_SHEET.leading();
    let mut y = 0.0;
    let lines = wrap(
        &reasons_set_solid(subject),
        width,
        NOTE.cap,
        Weight::Regular,
    )
    .into_iter();
    let rows = lines.map(|line| {
        y += leading;
        (String::new(), line, y)
    });
    Lines {
        rows: rows.collect(),
        indent: 0.0,
        height: y + GAP,
    }
}

impl Lines {
    fn draw(&self, canvas: &mut Canvas, at: Spot) {
        for (about, words, y) in &self.rows {
            let base = at.y + y;
            canvas.text_within(spot(at.x, base), about, NOTE.bold(), INDENT - 1.0);
            canvas.text(spot(at.x + self.indent, base), words.as_str(), NOTE);
        }
    }
}

/// In the strip, where that leaves the small plan its room: false where it does not.
///
/// - `keep`: the height that must stay free, mm.
pub(super) fn draw_why(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    keep: f64,
) -> bool {
    let width = strip.right() - strip.left();
    let list = lines(subject, width);
    if list.rows.is_empty() {
        return true;
    }
    let mut trial = *strip;
    let mut drawn = Canvas::new();
    trial.heading(&mut drawn, HEADING, REMARK);
    let top = trial.top - 0.4;
    trial.top = top + list.height + 1.4;
    if trial.top + keep > strip.foot {
        return false;
    }
    list.draw(&mut drawn, spot(strip.left(), top));
    trial.rule(&mut drawn);
    *strip = trial;
    canvas.append(drawn);
    true
}

/// Where the list may stand beside the panel: down to the frame, beside the view's title.
pub(super) fn window(arrangement: &Arrangement) -> Area {
    let (stage, title) = (arrangement.stage, arrangement.title);
    let is_below = title.x0 <= stage.x0 && stage.x1 <= title.x1 && title.y0 <= stage.y1 + 0.1;
    let foot = if is_below { title.y1 } else { stage.y1 };
    Area::new(stage.x0, stage.y0, stage.x1, foot).grown(-0.5)
}

/// Beside the panel, for sheets whose strip has no room for it.
pub(super) fn why_label<'a>(subject: &Subject<'_>, arrangement: &Arrangement) -> Label<'a> {
    let listed = BESIDE.map(|width| (width, lines(subject, width), STEP));
    let solid = SOLID.map(|width| (width, solid_lines(subject, width), STEP / 2.0));
    let lists = listed.into_iter().chain(solid).collect();
    let heading = format!("{HEADING} {REMARK}");
    list_label("why it is so", heading, lists, arrangement)
}

/// Notes that the strip has no room for, beside the panel.
pub(super) fn notes_label<'a>(notes: &[(usize, String)], arrangement: &Arrangement) -> Label<'a> {
    let lists = BESIDE.map(|width| (width, note_lines(notes, width), STEP / 2.0));
    let heading = "NOTES, CONTINUED".to_owned();
    list_label("notes", heading, lists.into(), arrangement)
}

fn note_lines(notes: &[(usize, String)], width: f64) -> Lines {
    const INDENT: f64 = 6.0;
    let mut rows = Vec::new();
    let mut y = 0.0;
    for (number, words) in notes {
        let mut number = Some(number.to_string());
        for line in wrap(words, width - INDENT, NOTE.cap, Weight::Regular) {
            y += SMALL_SHEET.leading();
            rows.push((number.take().unwrap_or_default(), line, y));
        }
        y += GAP;
    }
    Lines {
        rows,
        indent: INDENT,
        height: y,
    }
}

/// A list wherever beside the panel is room for one of its forms.
///
/// - `lists`: width, lines and steps of each form.
fn list_label<'a>(
    name: &str,
    heading: String,
    lists: Vec<(f64, Lines, f64)>,
    arrangement: &Arrangement,
) -> Label<'a> {
    let stage = window(arrangement).grown(-0.5);
    let count = |room: f64, step: f64| {
        let steps = (0..=200).map(move |i| f64::from(i) * step);
        steps.take_while(move |it| *it <= room)
    };
    let mut choices = Vec::new();
    for (form, (width, list, step)) in lists.iter().enumerate() {
        let (width, step) = (*width, *step);
        let height = list.height + SMALL_SHEET.leading();
        for up in count(stage.height() - height, step) {
            for along in count(stage.width() - width, step) {
                let corner = spot(stage.x1 - along - width, stage.y1 - up - height);
                let area = Area::new(corner.x, corner.y, corner.x + width, corner.y + height);
                if area.meets(&arrangement.panel) {
                    continue;
                }
                // The foot of the field is where nobody looks for anything else.
                let narrow = [0.0, 20.0, 40.0, 500.0, 520.0, 540.0, 560.0, 580.0];
                let narrow = narrow.get(form).copied().unwrap_or_default();
                choices.push(box_choice(area, up + along * 0.5 + narrow, form));
            }
        }
    }
    Label {
        name: name.to_owned(),
        choices,
        draw: Box::new(move |canvas, choice| {
            let Some((_, list, _)) = lists.get(choice.form) else {
                return;
            };
            let at = spot(choice.at.x, choice.at.y + SMALL_SHEET.note);
            canvas.text(at, heading.as_str(), NOTE.bold());
            list.draw(canvas, at);
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_is_told_by_its_first_sentence_and_its_rule() {
        for (words, expected) in [
            (
                "the panel to its left takes 96\" of the wall, whole modules of the 8 ft line: a step of 1/16\" to the right costs $15.00 more",
                "the panel left of it takes 96\" of the wall, whole modules of the 8 ft line",
            ),
            (
                "ripped to 94 7/8\" on the 8 ft line",
                "ripped to 94 7/8\" on the 8 ft line",
            ),
            (
                "girder bears 3'-3 1/4\" from its left end; not sized here: engineer",
                "girder bears 3'-3 1/4\" from its left end",
            ),
        ] {
            assert_eq!(short(words), expected);
        }
        assert_eq!(rule_name("/home/somebody/job.toml:18"), "job.toml:18");
        assert_eq!(rule_name("openings.whole_up_to"), "openings.whole_up_to");
    }

    #[test]
    fn what_a_reason_is_about_is_said_once() {
        assert_eq!(told("O1", "O1 is cut whole"), "O1 is cut whole");
        assert_eq!(told("O1", "O10 is cut whole"), "O1: O10 is cut whole");
        assert_eq!(
            told("left edge", "the run stops"),
            "left edge: the run stops"
        );
    }
}
