//! A reviewer's marks as data: what `review/log.json` holds.

use serde::{Deserialize, Serialize};

/// The schema of the log.
pub const LOG_SCHEMA: &str = "panelwright.review/1";

/// What stands on paper for the date of an answer that has none.
pub(super) const NO_DATE: &str = "no date";

/// Every mark that came back for a package, in the order in which they came.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReviewLog {
    /// Which form this is.
    pub schema: String,
    /// The marks.
    pub marks: Vec<Mark>,
    /// The highest number that a mark of an earlier issue bore; 0 for none.
    #[serde(default, skip_serializing_if = "is_none")]
    pub last: usize,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
const fn is_none(last: &usize) -> bool {
    *last == 0
}

impl ReviewLog {
    /// The highest number that a mark bore, in this issue or an earlier one.
    pub(super) fn last_number(&self) -> usize {
        let number = |mark: &Mark| mark.id.strip_prefix('M')?.parse().ok();
        let numbers = self.marks.iter().filter_map(number);
        numbers.fold(self.last, usize::max)
    }
}

impl Default for ReviewLog {
    fn default() -> Self {
        Self {
            schema: LOG_SCHEMA.to_owned(),
            marks: Vec::new(),
            last: 0,
        }
    }
}

/// One mark.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// `M1`, `M2` and on; never used again, in no issue of the job.
    pub id: String,
    /// Name of the sheet; `None` when the file could be laid over none.
    pub sheet: Option<String>,
    /// SHA-256 of the manifest of the package it answers.
    pub package: String,
    /// File it came in, without its folder.
    pub source: String,
    /// What it is.
    pub kind: MarkKind,
    /// Who made it, where the file says.
    pub reviewer: Option<String>,
    /// When, where the file says: ISO 8601.
    pub time: Option<String>,
    /// Panel it is about.
    pub panel: Option<String>,
    /// Opening it is about.
    pub opening: Option<String>,
    /// Wall it is about.
    pub wall: Option<String>,
    /// What of the sheet it touches, in words.
    pub touches: Option<String>,
    /// What it says; of a changed text, what it was and is.
    pub text: String,
    /// Left, top, right, bottom, millimetres on the sheet; `None` without a sheet.
    pub area: Option<[f64; 4]>,
    /// Where it points: the tip of an arrow, else its middle.
    pub at: Option<[f64; 2]>,
    /// What became of it.
    pub status: MarkStatus,
    /// The drafter's answer.
    pub answer: Option<String>,
    /// Date of the answer, `YYYY-MM-DD`.
    pub answered_on: Option<String>,
    /// What it would change, in the form of `job.toml`; nothing is accepted by silence.
    pub proposal: Option<String>,
    /// Its picture, relative to the package.
    pub picture: String,
    /// Mark and package of the issue before in which it was made.
    pub carried_from: Option<String>,
    /// What it is known by, so that the same file read twice adds nothing.
    pub key: String,
}

impl Mark {
    /// True when it goes on to the next issue: it is not closed, and no stamp, which holds for the issue it was put on alone.
    pub(super) fn goes_on(&self) -> bool {
        self.status != MarkStatus::Closed && self.kind != MarkKind::Stamp
    }
}

/// What a mark is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum MarkKind {
    /// A cloud round something.
    Cloud,
    /// An arrow to something.
    Arrow,
    /// A text.
    Text,
    /// A dimension that should be another.
    Dimension,
    /// A stamp.
    Stamp,
    /// A line through something.
    Strike,
    /// A colour laid over something.
    Highlight,
    /// Written or drawn by hand.
    Handwriting,
    /// A picture.
    Image,
    /// Another shape.
    #[default]
    Shape,
    /// Something of the sheet stands elsewhere.
    Moved,
    /// Something of the sheet is gone.
    Deleted,
    /// A text of the sheet says something else.
    #[serde(rename = "changed text")]
    ChangedText,
    /// Something of the sheet has another ink.
    Restyled,
}

impl MarkKind {
    /// The word in the log.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cloud => "cloud",
            Self::Arrow => "arrow",
            Self::Text => "text",
            Self::Dimension => "dimension",
            Self::Stamp => "stamp",
            Self::Strike => "strike",
            Self::Highlight => "highlight",
            Self::Handwriting => "handwriting",
            Self::Image => "image",
            Self::Shape => "shape",
            Self::Moved => "moved",
            Self::Deleted => "deleted",
            Self::ChangedText => "changed text",
            Self::Restyled => "restyled",
        }
    }
}

/// What became of a mark.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum MarkStatus {
    /// Nobody answered.
    #[default]
    Open,
    /// Answered; the reviewer has not agreed yet.
    Answered,
    /// Done with.
    Closed,
}

impl MarkStatus {
    /// The word in the log.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Answered => "answered",
            Self::Closed => "closed",
        }
    }
}
