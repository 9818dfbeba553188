//! What a quote takes where no price book says it.

use super::checks::Checks;
use super::plant_file::Key;
use schemars::JsonSchema;
use serde::Deserialize;

/// Quotes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct QuoteRules {
    /// By how much each open question widens the range, each way, per cent. Default: 1.5.
    pub open_question: f64,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct QuoteFile {
    open_question: Key<f64>,
}

/// Takes over what the group gives.
pub(super) fn apply_quote(file: &QuoteFile, to: &mut QuoteRules, checks: &mut Checks<'_>) {
    let (target, given) = (&mut to.open_question, &file.open_question);
    checks.number("quote.open_question", target, given, &(0.0..=50.0));
}
