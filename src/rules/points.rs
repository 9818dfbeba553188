//! What stands under point loads and beam pockets: blocking that no rule sizes.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Blocking at point loads.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PointRules {
    /// What stands under a load for which the job names no post. Default: a stack.
    pub unnamed: UnnamedPost,
    /// Play of a beam in its pocket at each side. Default: 1/8 in.
    pub pocket_play: Length,
}

/// What stands under a point load for which the job names no post.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum UnnamedPost {
    /// Studs side by side, at least as wide as the load.
    #[default]
    #[serde(rename = "stack")]
    Stack,
    /// Nothing.
    #[serde(rename = "none")]
    Nothing,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PointsFile {
    unnamed: Key<UnnamedPost>,
    pocket_play: LengthKey,
}

/// Room beside a beam.
const PLAY: RangeInclusive<Length> = Length::ZERO..=Length::inches(2);

/// Takes over what the group gives.
pub(super) fn apply_points(file: &PointsFile, to: &mut PointRules, checks: &mut Checks<'_>) {
    Checks::take(&mut to.unnamed, &file.unnamed);
    let (target, given) = (&mut to.pocket_play, &file.pocket_play);
    checks.length("points.pocket_play", target, given, &PLAY);
}
