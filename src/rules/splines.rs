//! What joins two panels: the kinds of spline, and their sizes.

use super::PlantRules;
use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// How two panels are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
pub enum SplineKind {
    /// Two strips of skin in slots behind the skins.
    #[serde(rename = "surface")]
    Surface,
    /// A strip of panel as thick as the core.
    #[serde(rename = "block")]
    Block,
    /// One piece of 2x lumber shared by both panels.
    #[serde(rename = "single lumber")]
    SingleLumber,
    /// Two pieces of 2x lumber, one in each panel.
    #[serde(rename = "double lumber")]
    DoubleLumber,
    /// Two flanges of lumber against the skins with foam between them: half of it in each panel.
    #[serde(rename = "thermal post")]
    ThermalPost,
    /// An I-joist as deep as the core: half of its flanges in each panel, the foam between them cut to its web.
    #[serde(rename = "I-joist")]
    IJoist,
}

/// The spline at the panel that closes a run between two that stand: nothing can slide there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum ClosingSpline {
    /// The plant's own kind, loose.
    #[default]
    #[serde(rename = "loose")]
    Loose,
    /// Surface strips, loose.
    #[serde(rename = "surface")]
    Surface,
}

impl SplineKind {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Surface,
        Self::Block,
        Self::SingleLumber,
        Self::DoubleLumber,
        Self::ThermalPost,
        Self::IJoist,
    ];

    /// How far a spline reaches into the panel that slides onto it.
    #[must_use]
    pub fn reach(self, rules: &PlantRules) -> Length {
        let widest = match self {
            Self::Surface => rules.splines.surface_width,
            Self::Block => rules.splines.block_width,
            Self::SingleLumber => rules.plates.thickness,
            // One piece in each panel, flush with its edge.
            Self::DoubleLumber => Length::ZERO,
            Self::ThermalPost => rules.splines.post_width,
            Self::IJoist => rules.splines.i_joist_flange,
        };
        widest.half()
    }

    /// The word in `plant.toml` and on sheets.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Surface => "surface",
            Self::Block => "block",
            Self::SingleLumber => "single lumber",
            Self::DoubleLumber => "double lumber",
            Self::ThermalPost => "thermal post",
            Self::IJoist => "I-joist",
        }
    }
}

/// Sizes of splines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SplineRules {
    /// Width of a block spline. Default: 3 in; half of it is each panel's recess.
    pub block_width: Length,
    /// Width of surface strips. Default: 3 in.
    pub surface_width: Length,
    /// Depth of the slots for them behind each skin. Default: 1/2 in.
    pub surface_slot: Length,
    /// Extra width of each slot beyond half a strip or flange. Default: 1/8 in.
    pub surface_play: Length,
    /// Width of a thermal post along the wall. Default: 3-1/2 in.
    pub post_width: Length,
    /// Thickness of each of its flanges, from the skin inwards. Default: 1-1/2 in.
    pub post_flange: Length,
    /// Width of an I-joist's flanges along the wall. Default: 2-1/2 in.
    pub i_joist_flange: Length,
    /// Thickness of its flanges, from the skin inwards. Default: 1-1/2 in.
    pub i_joist_flange_depth: Length,
    /// Thickness of its web. Default: 3/8 in.
    pub i_joist_web: Length,
    /// Weight of its material, pounds per cubic foot. Default: 38.
    pub i_joist_density: f64,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SplinesFile {
    block_width: LengthKey,
    surface_width: LengthKey,
    surface_slot: LengthKey,
    surface_play: LengthKey,
    post_width: LengthKey,
    post_flange: LengthKey,
    i_joist_flange: LengthKey,
    i_joist_flange_depth: LengthKey,
    i_joist_web: LengthKey,
    i_joist_density: Key<f64>,
}

/// From nothing to a foot.
const SMALL: RangeInclusive<Length> = Length::ZERO..=Length::feet(1);
/// A part that has a size.
const PART: RangeInclusive<Length> = Length::TAPE_STEP..=Length::feet(1);

/// Takes over what the group gives.
pub(super) fn apply_splines(from: &SplinesFile, to: &mut SplineRules, checks: &mut Checks<'_>) {
    let mut small = |key: &str, target: &mut Length, given| {
        checks.length(key, target, given, &SMALL);
    };
    small(
        "splines.block_width",
        &mut to.block_width,
        &from.block_width,
    );
    let (target, given) = (&mut to.surface_width, &from.surface_width);
    small("splines.surface_width", target, given);
    small(
        "splines.surface_slot",
        &mut to.surface_slot,
        &from.surface_slot,
    );
    small(
        "splines.surface_play",
        &mut to.surface_play,
        &from.surface_play,
    );
    let mut part = |key: &str, target: &mut Length, given| {
        checks.length(key, target, given, &PART);
    };
    part("splines.post_width", &mut to.post_width, &from.post_width);
    part(
        "splines.post_flange",
        &mut to.post_flange,
        &from.post_flange,
    );
    let (target, given) = (&mut to.i_joist_flange, &from.i_joist_flange);
    part("splines.i_joist_flange", target, given);
    let (target, given) = (&mut to.i_joist_flange_depth, &from.i_joist_flange_depth);
    part("splines.i_joist_flange_depth", target, given);
    part(
        "splines.i_joist_web",
        &mut to.i_joist_web,
        &from.i_joist_web,
    );
    let (target, given) = (&mut to.i_joist_density, &from.i_joist_density);
    checks.number("splines.i_joist_density", target, given, &(1.0..=100.0));
}
