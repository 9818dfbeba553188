//! Who states a size, and whose word holds.

use crate::plan::Opening;
use crate::rules::{Job, JobOpening, OpeningMatch};
use crate::units::Length;

/// How well founded a size is, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    /// The job, of this very opening.
    JobId,
    /// The job, of its tag.
    JobTag,
    /// The job, of its kind.
    JobKind,
    /// The plan: drawn, tagged or scheduled.
    Plan,
    /// The plant's defaults.
    Assumed,
}

impl Rank {
    /// In messages.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::JobId | Self::JobTag | Self::JobKind => "job",
            Self::Plan => "plan",
            Self::Assumed => "plant rules",
        }
    }
}

/// A value, and who states it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stated<T> {
    pub(super) value: T,
    pub(super) rank: Rank,
    /// Line of the job file; 0 when not the job.
    pub(super) line: usize,
}

/// What the job says of an opening: an id wins over a tag, a tag over a kind, and of equals the later entry.
pub(super) fn said<T>(
    job: &Job,
    opening: &Opening,
    pick: impl Fn(&JobOpening) -> Option<T>,
) -> Option<Stated<T>> {
    let mut best: Option<Stated<T>> = None;
    for entry in &job.openings {
        let rank = match &entry.which {
            OpeningMatch::Id(id) if *id == opening.id => Rank::JobId,
            OpeningMatch::Tag(tag) if has_tag(opening, tag) => Rank::JobTag,
            OpeningMatch::Kind(kind) if *kind == opening.kind => Rank::JobKind,
            _ => continue,
        };
        if let Some(value) = pick(entry)
            && best.as_ref().is_none_or(|best| rank <= best.rank)
        {
            best = Some(Stated {
                value,
                rank,
                line: entry.line,
            });
        }
    }
    best
}

/// True when the plan shows this tag beside the opening; case and blanks do not count.
pub(super) fn has_tag(opening: &Opening, tag: &str) -> bool {
    opening
        .tag
        .as_ref()
        .is_some_and(|own| own.trim().eq_ignore_ascii_case(tag.trim()))
}

/// A size in the plan, inches, to the nearest step.
pub(super) fn stated_by_plan(inches: Option<f64>, step: Length) -> Option<Stated<Length>> {
    Some(Stated {
        value: Length::nearest(inches?, step)?,
        rank: Rank::Plan,
        line: 0,
    })
}
