//! `review/answers.toml`: the drafter answers and closes marks; the page's answers to questions are kept beside them.

use super::answer_places::Places;
use super::answer_proposals::tables;
use super::model::{Mark, MarkStatus, ReviewLog};
use super::plain_words::{LONGEST, plain_words};
use crate::documents::InputFile;
use crate::findings::{Finding, Place, base_name};
use crate::review::codes;
use crate::rules::RulesError;
use crate::toml_text::{At, Mistake, Text, read_typed};
use crate::units::is_date;
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeSet;

/// Name of the file in a package.
pub(super) const FILE: &str = "review/answers.toml";

/// Answers to the marks of a review.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AnswersFile {
    /// One table for each mark that is answered.
    #[serde(default)]
    answer: Vec<At<AnswerRow>>,
    /// Package id, as the page writes it.
    #[serde(default)]
    package: Option<String>,
    /// Its revision, as the page writes it.
    #[serde(default)]
    #[expect(dead_code, reason = "the page writes it for whoever reads the file")]
    revision: Option<String>,
    /// Answers to the questions of the trace, as the page writes them.
    #[serde(default)]
    question: Vec<Question>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AnswerRow {
    /// The mark: `M1`.
    mark: At<String>,
    /// What became of it.
    #[serde(default = "answered")]
    status: MarkStatus,
    /// The answer.
    #[serde(default)]
    answer: String,
    /// When, `YYYY-MM-DD`.
    date: Option<At<String>>,
}

const fn answered() -> MarkStatus {
    MarkStatus::Answered
}

/// A question of the trace with the architect's answer.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub(super) struct Question {
    /// Its number on the trace.
    pub(super) number: String,
    /// Finding code.
    #[serde(default)]
    pub(super) code: String,
    /// What it is about.
    #[serde(default)]
    pub(super) about: String,
    /// What was asked.
    #[serde(default)]
    pub(super) asked: String,
    /// The answer.
    pub(super) answer: String,
    /// When it was written, ISO 8601, as the page says it.
    #[serde(default)]
    pub(super) time: Option<String>,
}

impl Question {
    fn is_answered(&self) -> bool {
        !self.answer.trim().is_empty()
    }

    /// True when another asks the same.
    fn is_same(&self, other: &Self) -> bool {
        let asked = |it: &Self| [&it.number, &it.code, &it.about, &it.asked].map(Clone::clone);
        asked(self) == asked(other)
    }

    /// True when an answer that stands further down is no earlier one: by their times, else by their order.
    fn gives_way_to(&self, next: &Self) -> bool {
        let times = self.time.as_ref().zip(next.time.as_ref());
        times.is_none_or(|(own, next)| own <= next)
    }
}

/// The answer that holds of each question, and those that it replaces.
pub(super) fn standing(questions: &[Question]) -> Vec<(&Question, Vec<&Question>)> {
    let mut all: Vec<(&Question, Vec<&Question>)> = Vec::new();
    for next in questions.iter().filter(|it| it.is_answered()) {
        let Some((holds, replaced)) = all.iter_mut().find(|it| it.0.is_same(next)) else {
            all.push((next, Vec::new()));
            continue;
        };
        let earlier = if holds.gives_way_to(next) {
            std::mem::replace(holds, next)
        } else {
            next
        };
        replaced.push(earlier);
    }
    for (holds, replaced) in &mut all {
        replaced.retain(|it| it.answer.trim() != holds.answer.trim());
    }
    all
}

/// A note of each question of which a later answer replaces another.
pub(super) fn replaced(questions: &[Question], findings: &mut Vec<Finding>) {
    for (holds, replaced) in standing(questions) {
        let Some(last) = replaced.last() else {
            continue;
        };
        let said = |it: &Question| plain_words(&it.answer, LONGEST).0;
        findings.push(Finding::note(
            codes::ANSWERED_ANEW,
            Place::file(FILE),
            format!(
                "question {} was answered anew: \"{}\" holds now, and \"{}\" is replaced",
                plain_words(&holds.number, LONGEST).0,
                said(holds),
                said(last)
            ),
            "nothing, if the later answer was meant; both stand in review/answers.toml",
        ));
    }
}

/// Every answer of a file that the page saved.
///
/// - `package`: id of the package; a file that names another is refused.
///
/// # Errors
/// Why it is refused, and what to do, parted by `; `.
pub(super) fn of_page(file: &InputFile, package: &str) -> Result<Vec<Question>, String> {
    let text = String::from_utf8_lossy(&file.bytes);
    let text = Text {
        file: base_name(&file.name),
        text: text.trim_start_matches('\u{feff}'),
    };
    let page = read(text).map_err(|error| {
        let error = error.to_string();
        let first = error.lines().next().unwrap_or_default();
        format!("is not what the page saves as answers.toml: {first}; save it from the page again")
    })?;
    if !page.answer.is_empty() {
        return Err(
            "answers marks, which the page does not; answers to marks stand in review/answers.toml of the package: put them there, and run this again without them"
                .to_owned(),
        );
    }
    if let Some(other) = page
        .package
        .filter(|it| !package.is_empty() && it != package)
    {
        return Err(format!(
            "answers questions of package {other}, which this is not; give the folder of that package"
        ));
    }
    let answered = page.question.into_iter();
    let answered: Vec<Question> = answered.filter(Question::is_answered).collect();
    if answered.is_empty() {
        return Err(
            "answers no question; write into the answer boxes of the page, and save answers.toml from it again"
                .to_owned(),
        );
    }
    Ok(answered)
}

/// The drafter's file with answers of the page behind it; how many of them are new. What stands in it is not touched.
///
/// # Errors
/// [`RulesError`] when the file that is there cannot be read.
pub(super) fn with_questions(
    own: Option<&Vec<u8>>,
    came: &[Question],
) -> Result<(String, usize), RulesError> {
    let mut all = own.map_or_else(String::new, |it| String::from_utf8_lossy(it).into_owned());
    let known = read(Text {
        file: FILE,
        text: &all,
    })?
    .question;
    let mut n_new = 0;
    for (index, question) in came.iter().enumerate() {
        if known.contains(question) || came[..index].contains(question) {
            continue;
        }
        n_new += 1;
        if !all.is_empty() && !all.ends_with('\n') {
            all.push('\n');
        }
        let rows = [
            ("number", &question.number),
            ("code", &question.code),
            ("about", &question.about),
            ("asked", &question.asked),
            ("answer", &question.answer),
        ];
        all.push_str("\n[[question]]\n");
        let time = question.time.iter().map(|it| ("time", it));
        for (key, words) in rows.into_iter().chain(time) {
            let words = toml::Value::String(words.clone());
            all.push_str(&format!("{key} = {words}\n"));
        }
    }
    Ok((all, n_new))
}

fn read(text: Text<'_>) -> Result<AnswersFile, RulesError> {
    let schema = schemars::schema_for!(AnswersFile).to_value();
    Ok(read_typed(text, &schema)?)
}

/// Puts the answers of a file into a log.
///
/// - An answer to a mark that is not there is a doubt.
///
/// # Errors
/// [`RulesError`] with every mistake of the file and its line.
pub(super) fn answer(
    log: &mut ReviewLog,
    text: &str,
    findings: &mut Vec<Finding>,
) -> Result<Vec<Question>, RulesError> {
    let text = Text { file: FILE, text };
    let file = read(text)?;
    let mut mistakes: Vec<Mistake> = Vec::new();
    let mut answered = BTreeSet::new();
    for row in &file.answer {
        let row = &row.value;
        if !answered.insert(&row.mark.value) {
            findings.push(Finding::note(
                codes::ANSWERED_ANEW,
                text.place(row.mark.offset),
                format!(
                    "mark {} is answered more than once: what stands last holds",
                    row.mark.value
                ),
                "nothing, if that was meant",
            ));
        }
        let date = row.date.as_ref().map(|it| it.value.clone());
        if let (Some(at), Some(date)) = (&row.date, &date)
            && !is_date(date)
        {
            mistakes.push(text.mistake(
                at.offset,
                format!("'{date}' is no date"),
                "write YYYY-MM-DD",
            ));
        }
        let wanted = &row.mark.value;
        match log.marks.iter_mut().find(|mark| mark.id == *wanted) {
            Some(mark) => {
                mark.status = row.status;
                mark.answer = Some(row.answer.clone()).filter(|it| !it.is_empty());
                mark.answered_on = date;
            }
            None => findings.push(Finding::doubt(
                codes::UNKNOWN_MARK,
                text.place(row.mark.offset),
                format!("there is no mark {wanted}"),
                "review/log.json lists the marks",
            )),
        }
    }
    if mistakes.is_empty() {
        Ok(file.question)
    } else {
        Err(mistakes.into())
    }
}

/// `review/proposed.toml`: what open marks and answered questions would change, for the drafter to take over by hand.
///
/// - `places`: where the questions of this package stand.
pub(super) fn proposed(log: &ReviewLog, questions: &[Question], places: &Places) -> String {
    let mut out = String::from(
        "# Proposed by reviewers. Nothing here is in force: take what you accept over into job.toml, and answer the mark in\n# review/answers.toml. Two tables for one opening are two proposals.\n",
    );
    let line = |words: &str| plain_words(words, LONGEST).0;
    let open = |mark: &&Mark| mark.status != MarkStatus::Closed;
    let mut blocks: Vec<String> = Vec::new();
    for mark in log.marks.iter().filter(open) {
        if let Some(proposal) = &mark.proposal {
            let who = mark.reviewer.as_deref().unwrap_or("not named");
            blocks.push(format!(
                "\n# {} on {}, by {}: {}\n{proposal}",
                mark.id,
                mark.sheet.as_deref().unwrap_or("no sheet"),
                line(who),
                line(&mark.text)
            ));
        }
    }
    for (question, replaced) in standing(questions) {
        let replaced = replaced.iter().map(|it| {
            let when = it
                .time
                .as_deref()
                .map_or_else(String::new, |it| format!(" of {it}"));
            format!("#   replaced: {}{}\n", line(&it.answer), line(&when))
        });
        blocks.push(format!(
            "\n# Question {} ({} {}): {}\n#   answer: {}\n{}{}",
            line(&question.number),
            line(&question.code),
            line(&question.about),
            line(&question.asked),
            line(&question.answer),
            replaced.collect::<String>(),
            tables(places, question)
        ));
    }
    // A key of the job itself stands before every table.
    let is_bare = |block: &String| {
        let mut lines = block.lines().filter(|it| !it.is_empty());
        let first = lines.find(|it| !it.starts_with('#'));
        first.is_some_and(|it| !it.starts_with('['))
    };
    blocks.sort_by_key(|it| !is_bare(it));
    out.extend(blocks);
    out
}
