//! Why a rules or job file is refused: every mistake with its line, what was found and what would be right.

use super::codes;
use crate::findings::{Finding, Place};

/// A file that cannot be taken as it is.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", self.to_lines())]
pub struct RulesError {
    /// Every mistake found, in the order of the file; at least one.
    pub mistakes: Vec<Mistake>,
}

/// One mistake.
#[derive(Clone, Debug, PartialEq)]
pub struct Mistake {
    /// File and line.
    pub place: Place,
    /// What was found.
    pub message: String,
    /// What would be right.
    pub hint: String,
}

impl RulesError {
    fn to_lines(&self) -> String {
        let lines: Vec<String> = self
            .mistakes
            .iter()
            .map(|mistake| format!("{}: {}: {}", mistake.place, mistake.message, mistake.hint))
            .collect();
        lines.join("\n")
    }

    /// The mistakes as faults, for `findings.json`.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        self.mistakes
            .iter()
            .map(|mistake| {
                Finding::fault(
                    codes::REFUSED,
                    mistake.place.clone(),
                    mistake.message.clone(),
                    mistake.hint.clone(),
                )
            })
            .collect()
    }
}
