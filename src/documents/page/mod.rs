//! `index.html`: every sheet of a package in one file that opens from disk, to look through, mark and answer.
//!
//! ```text
//!   sheets ──► svg without style, one <script> each ─┐
//!   style and font, once ────────────────────────────┼──► index.html
//!   findings, HOLDs, questions ──► facts (JSON) ─────┘      view.js  marks.js  history.js  lists.js
//! ```
//!
//! *Promises.* No network, no second file; the same package gives the same bytes. Only the sheet that is shown is parsed, so
//! four hundred sheets open as fast as one. The format of marked sheets is that of `docs/review.md`.
//!
//! *Does not do.* Writing into the package: marks and answers are saved where the reader's browser saves files.

mod jump;

use super::asked::asked;
use super::paper::{Group, Item, Sheet, sheet_style, to_bare_svg};
use super::pdf::series;
use super::{FiledSheet, Models, TitleFacts};
use crate::findings::Finding;
use crate::side_by_side::side_by_side;
use jump::{Jumps, place_of};
use serde::Serialize;
use std::collections::BTreeSet;
use std::fmt::Write;

const TEMPLATE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");
const SCRIPTS: [&str; 4] = [
    include_str!("view.js"),
    include_str!("marks.js"),
    include_str!("history.js"),
    include_str!("lists.js"),
];

#[derive(Serialize)]
struct PageFacts<'a> {
    title: String,
    package: &'a str,
    revision: &'a str,
    sheets: Vec<PageSheet<'a>>,
    held: Vec<PageHold<'a>>,
    findings: Vec<PageFinding<'a>>,
    questions: Vec<PageQuestion>,
}

#[derive(Serialize)]
struct PageSheet<'a> {
    number: &'a str,
    name: &'a str,
    title: &'a str,
    series: &'a str,
    panel: &'a str,
    wall: &'a str,
    revision: &'a str,
    held: bool,
    width: f64,
    height: f64,
    marks: Vec<&'a str>,
    /// What else is named on it: plates, boards, parts.
    words: BTreeSet<&'a str>,
}

#[derive(Serialize)]
struct PageHold<'a> {
    panels: Vec<&'a str>,
    reason: String,
}

#[derive(Serialize)]
struct PageFinding<'a> {
    code: &'static str,
    severity: &'static str,
    about: String,
    message: &'a str,
    hint: &'a str,
    sheet: Option<usize>,
    at: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct PageQuestion {
    key: String,
    number: String,
    code: &'static str,
    about: String,
    seen: String,
    taken: String,
    holds: String,
    fault: bool,
    sheet: Option<usize>,
    at: Option<[f64; 2]>,
}

/// The page of a package.
#[must_use]
pub(super) fn page(models: &Models<'_>, set: &[FiledSheet], facts: &TitleFacts) -> String {
    let sheets: Vec<&Sheet> = set.iter().map(|it| &it.sheet).collect();
    let title = super::heading(facts);
    let all = PageFacts {
        title: title.clone(),
        package: &facts.package,
        revision: &facts.revision,
        sheets: sheets.iter().map(|it| page_sheet(it, models)).collect(),
        held: holds(models),
        findings: findings(models.trace.findings, &sheets),
        questions: questions(models, &sheets),
    };
    let data = serde_json::to_string(&all).unwrap_or_default();
    let mut bodies = String::new();
    for (index, body) in side_by_side(&sheets, |it| to_bare_svg(it))
        .iter()
        .enumerate()
    {
        // Writing to a string cannot fail.
        let _ = writeln!(
            bodies,
            "<script type=\"image/svg+xml\" id=\"sheet-{index}\">{body}</script>"
        );
    }
    fill(|name| match name {
        "title" => escaped(&title),
        "package" => escaped(&facts.package),
        "revision" => escaped(&facts.revision),
        "sheet-style" => sheet_style(&sheets),
        "css" => STYLE.to_owned(),
        // No text of a drawing can close the script that holds the facts.
        "facts" => data.replace('<', "\\u003c"),
        "sheets" => bodies.clone(),
        _ => SCRIPTS.concat(),
    })
}

/// Puts words in the places of the template, once: what is put in is not looked at again.
fn fill(words: impl Fn(&str) -> String) -> String {
    let mut parts = TEMPLATE.split("{{");
    let mut page = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (name, rest) = part.split_once("}}").unwrap_or((part, ""));
        page.push_str(&words(name));
        page.push_str(rest);
    }
    page
}

fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('"', "&quot;")
}

fn datum<'a>(data: &'a [(String, String)], name: &str) -> Option<&'a str> {
    let found = data.iter().find(|(key, _)| key == name);
    found.map(|(_, value)| value.as_str())
}

fn page_sheet<'a>(sheet: &'a Sheet, models: &Models<'_>) -> PageSheet<'a> {
    let panel = datum(&sheet.data, "panel").unwrap_or("");
    let mut marks = Vec::new();
    for layer in &sheet.layers {
        openings_in(layer, &mut marks);
    }
    marks.sort_unstable();
    marks.dedup();
    let mut words = BTreeSet::new();
    for layer in sheet.layers.iter().filter(|it| it.id != "small-print") {
        names_in(layer, &mut words);
    }
    words.retain(|it| *it != panel && marks.binary_search(it).is_err());
    PageSheet {
        number: &sheet.number,
        name: &sheet.name,
        title: &sheet.title,
        series: series(&sheet.number).unwrap_or("Other"),
        panel,
        wall: datum(&sheet.data, "elevation").unwrap_or(""),
        revision: datum(&sheet.data, "revision").unwrap_or(""),
        held: models
            .fabrication
            .panels
            .iter()
            .any(|it| it.mark == panel && it.is_held()),
        width: sheet.width,
        height: sheet.height,
        marks,
        words,
    }
}

/// What looks like a mark among the words of a group, and the parts that its groups name.
fn names_in<'a>(group: &'a Group, names: &mut BTreeSet<&'a str>) {
    let parts = datum(&group.data, "part").unwrap_or_default();
    names.extend(parts.split(' ').filter(|it| is_mark(it)));
    for item in &group.items {
        match item {
            Item::Group(inner) => names_in(inner, names),
            Item::Text(text) => {
                let words = text.words.split(|c: char| !c.is_alphanumeric() && c != '-');
                names.extend(words.filter(|it| is_mark(it)));
            }
            Item::Shape(_) => {}
        }
    }
}

/// A letter first and a number in it: `CP3`, `W105-3`, `PLATES-X1`.
fn is_mark(word: &str) -> bool {
    /// Longer ones are names of layers and files.
    const LONGEST: usize = 20;
    word.len() <= LONGEST
        && word.starts_with(|c: char| c.is_ascii_uppercase())
        && word.ends_with(|c: char| c.is_ascii_alphanumeric())
        && word.contains(|c: char| c.is_ascii_digit())
}

fn openings_in<'a>(group: &'a Group, marks: &mut Vec<&'a str>) {
    marks.extend(datum(&group.data, "opening"));
    for item in &group.items {
        if let Item::Group(inner) = item {
            openings_in(inner, marks);
        }
    }
}

/// Why panels are on HOLD; those that share all reasons stand together.
fn holds<'a>(models: &Models<'a>) -> Vec<PageHold<'a>> {
    let mut held: Vec<PageHold<'a>> = Vec::new();
    for panel in models.fabrication.panels.iter().filter(|it| it.is_held()) {
        let reasons = panel.holds.iter();
        let reasons = reasons.map(|hold| format!("{} {}", hold.code, hold.reason));
        let reason = reasons.collect::<Vec<_>>().join("; ");
        match held.iter_mut().find(|it| it.reason == reason) {
            Some(own) => own.panels.push(&panel.mark),
            None => held.push(PageHold {
                panels: vec![&panel.mark],
                reason,
            }),
        }
    }
    held
}

fn findings<'a>(findings: &'a [Finding], sheets: &[&Sheet]) -> Vec<PageFinding<'a>> {
    let jumps = Jumps::of(sheets);
    findings
        .iter()
        .map(|finding| {
            let place = &finding.place;
            let panel = place.panel.as_deref();
            let element = place.element.as_deref();
            let (sheet, at) = jumps.to(finding);
            PageFinding {
                code: finding.code.name(),
                severity: finding.severity.name(),
                about: panel.or(element).unwrap_or("").to_owned(),
                message: &finding.message,
                hint: &finding.hint,
                sheet,
                at,
            }
        })
        .collect()
}

fn questions(models: &Models<'_>, sheets: &[&Sheet]) -> Vec<PageQuestion> {
    let asked = asked(
        models.trace.plan,
        models.trace.findings,
        models.building,
        models.fabrication,
    );
    asked
        .into_iter()
        .map(|it| {
            let number = it.question.number.to_string();
            let storey = models.trace.plan.storeys.get(it.storey);
            let storey = storey.map_or("", |storey| storey.id.as_str());
            let own = sheets.iter().position(|sheet| {
                sheet.name.starts_with("trace") && datum(&sheet.data, "storey") == Some(storey)
            });
            let at = own
                .and_then(|index| sheets.get(index))
                .and_then(|sheet| place_of(sheet, "question", &number));
            PageQuestion {
                key: it.number.clone(),
                number: it.number,
                code: it.question.code,
                about: it.question.about.join(", "),
                seen: it.question.seen,
                taken: it.question.hint,
                holds: it.holds.join(", "),
                fault: it.question.is_fault,
                sheet: own,
                at,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_put_into_the_template_is_not_looked_at_again() {
        let page = fill(|name| format!("{{{{{name}}}}}"));
        assert!(page.contains("{{js}}") && page.contains("{{facts}}"));
    }

    #[test]
    fn nothing_is_fetched_from_anywhere() {
        let all = [TEMPLATE, STYLE].concat() + &SCRIPTS.concat();
        let addresses = all.replace("http://www.w3.org/2000/svg", "");
        for word in ["http:", "https:", "fetch(", "@import", "src="] {
            assert!(!addresses.contains(word), "{word}");
        }
    }
}
