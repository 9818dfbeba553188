//! Joints over joints: what it costs when a joint of an upper storey does not stand over one of the storey below.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;

/// Joints of one storey over those of the storey below.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AlignmentRules {
    /// How far aside a joint still stands over one below. Default: 1 in.
    pub within: Length,
    /// Cost of each joint of an upper storey that stands over none, whole cents. Default: 0.
    pub cents: i64,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AlignmentFile {
    within: LengthKey,
    cents: Key<i64>,
}

/// Takes over what the group gives.
pub(super) fn apply_alignment(
    file: &AlignmentFile,
    to: &mut AlignmentRules,
    checks: &mut Checks<'_>,
) {
    let range = Length::ZERO..=Length::feet(4);
    checks.length("alignment.within", &mut to.within, &file.within, &range);
    let range = 0..=100_000_000;
    checks.number("alignment.cents", &mut to.cents, &file.cents, &range);
}
