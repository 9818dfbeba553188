//! `review/answers.toml`: the drafter answers and closes marks; the page's answers to questions are kept beside them.

use super::model::{Mark, MarkStatus, ReviewLog};
use crate::findings::Finding;
use crate::review::codes;
use crate::rules::RulesError;
use crate::toml_text::{At, Mistake, Text, read_typed};
use crate::units::is_date;
use schemars::JsonSchema;
use serde::Deserialize;

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
    #[expect(dead_code, reason = "the page writes it for whoever reads the file")]
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
    let schema = schemars::schema_for!(AnswersFile).to_value();
    let file: AnswersFile = read_typed(text, &schema)?;
    let mut mistakes: Vec<Mistake> = Vec::new();
    for row in &file.answer {
        let row = &row.value;
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
pub(super) fn proposed(log: &ReviewLog, questions: &[Question]) -> String {
    let mut out = String::from(
        "# Proposed by reviewers. Nothing here is in force: take what you accept over into job.toml, and answer the mark in\n# review/answers.toml. Two tables for one opening are two proposals.\n",
    );
    let line = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
    let open = |mark: &&Mark| mark.status != MarkStatus::Closed;
    for mark in log.marks.iter().filter(open) {
        if let Some(proposal) = &mark.proposal {
            let who = mark.reviewer.as_deref().unwrap_or("not named");
            out.push_str(&format!(
                "\n# {} on {}, by {}: {}\n{proposal}",
                mark.id,
                mark.sheet.as_deref().unwrap_or("no sheet"),
                line(who),
                line(&mark.text)
            ));
        }
    }
    for question in questions.iter().filter(|it| !it.answer.trim().is_empty()) {
        out.push_str(&format!(
            "\n# Question {} ({} {}): {}\n#   answer: {}\n",
            line(&question.number),
            line(&question.code),
            line(&question.about),
            line(&question.asked),
            line(&question.answer)
        ));
    }
    out
}
