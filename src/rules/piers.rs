//! Strips of wall beside framed openings that are too narrow for foam: piers of solid lumber between the skins.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Piers of solid lumber.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PierRules {
    /// Least width of a strip between two framed openings, or between one and the end of a run; at least two studs.
    /// Default: 3 in.
    pub least: Length,
    /// Cost of each, whole cents. Default: 6,000.
    pub cents: i64,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PiersFile {
    least: LengthKey,
    cents: Key<i64>,
}

/// Two pieces of 2x lumber, to the widest panel.
const STRIP: RangeInclusive<Length> = Length::inches(3)..=Length::feet(8);

/// Takes over what the group gives.
pub(super) fn apply_piers(file: &PiersFile, to: &mut PierRules, checks: &mut Checks<'_>) {
    checks.length("piers.least", &mut to.least, &file.least, &STRIP);
    checks.number(
        "piers.cents",
        &mut to.cents,
        &file.cents,
        &(0..=100_000_000),
    );
}
