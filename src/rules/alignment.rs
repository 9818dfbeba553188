//! Storeys over each other: what it costs when a joint stands over none, openings nearly in line, joints under jacks.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;

/// Joints and openings of one storey over those of the storey below.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AlignmentRules {
    /// How far aside a joint still stands over one below. Default: 1 in.
    pub within: Length,
    /// Cost of each joint of an upper storey that stands over none, whole cents. Default: 0.
    pub cents: i64,
    /// How far apart openings over each other still stand nearly in line. Default: 2 in.
    pub openings_within: Length,
    /// What is done about those. Default: ask.
    pub openings: StackedOpenings,
    /// Joints under the jacks of an opening above. Default: none.
    pub under_jacks: UnderJacks,
}

/// Openings that stand nearly in line with one of the storey below.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum StackedOpenings {
    /// They stay, and it is asked.
    #[default]
    #[serde(rename = "ask")]
    Ask,
    /// They are moved into line.
    #[serde(rename = "move")]
    Move,
}

/// Joints under the jacks of an opening of the storey above.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum UnderJacks {
    /// No joint.
    #[default]
    #[serde(rename = "clear")]
    Clear,
    /// Joints as anywhere.
    #[serde(rename = "any")]
    Any,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AlignmentFile {
    within: LengthKey,
    cents: Key<i64>,
    openings_within: LengthKey,
    openings: Key<StackedOpenings>,
    under_jacks: Key<UnderJacks>,
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
    let range = Length::ZERO..=Length::feet(1);
    let given = &file.openings_within;
    checks.length(
        "alignment.openings_within",
        &mut to.openings_within,
        given,
        &range,
    );
    Checks::take(&mut to.openings, &file.openings);
    Checks::take(&mut to.under_jacks, &file.under_jacks);
}
