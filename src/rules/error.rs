//! Why a rules or job file is refused: every mistake with its line, what was found and what would be right.

use super::codes;
use crate::findings::Finding;
use crate::toml_text::Mistake;

/// A file that cannot be taken as it is.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", self.to_lines())]
pub struct RulesError {
    /// Every mistake found, in the order of the file; at least one.
    pub mistakes: Vec<Mistake>,
}

impl From<Vec<Mistake>> for RulesError {
    fn from(mistakes: Vec<Mistake>) -> Self {
        Self { mistakes }
    }
}

impl RulesError {
    fn to_lines(&self) -> String {
        let lines: Vec<String> = self.mistakes.iter().map(ToString::to_string).collect();
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
