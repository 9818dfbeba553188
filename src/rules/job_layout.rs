//! `[[layout]]` of `job.toml`: what the drafter wishes of one wall's panels, and what bears on it.

use super::checks::Checks;
use super::job_inserts::{
    BoxFile, Nailer, NailerFile, PointFile, PointLoad, WiringBox, nailer, point, wiring_box,
};
use super::plant_file::{Key, LengthKey};
use super::read_job::anchor;
use crate::plan::CorrectionAnchor;
use crate::toml_text::{At, LengthValue, PlaceValue};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Places along a wall.
pub(super) const ALONG: RangeInclusive<Length> = Length::feet(-20)..=Length::feet(2000);
/// Widths and measures.
pub(super) const SIZE: RangeInclusive<Length> = Length::TAPE_STEP..=Length::feet(2000);

/// What the job says about the layout of one wall. Places run along its outside face from its left corner as seen from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct JobLayout {
    /// Which wall.
    pub anchor: CorrectionAnchor,
    /// Joints that must be, by where their right panel starts.
    pub joints: Vec<Length>,
    /// Panels that must be, from where to where.
    pub locked: Vec<[Length; 2]>,
    /// Stretches without joints.
    pub keep_clear: Vec<[Length; 2]>,
    /// What the wall does at its left corner.
    pub left: Option<CornerWord>,
    /// What it does at its right corner.
    pub right: Option<CornerWord>,
    /// Point loads and beam pockets.
    pub points: Vec<PointLoad>,
    /// Electrical boxes.
    pub boxes: Vec<WiringBox>,
    /// Boards behind the inner skin.
    pub nailers: Vec<Nailer>,
    /// Middles of upright chases.
    pub chases: Vec<Length>,
    /// Measured on site, corner to corner.
    pub measured: Option<Length>,
    /// Who accepts that it differs from the plan, and what is done about it on site.
    pub measured_accepted: Option<String>,
    /// Line of the job file.
    pub line: usize,
}

/// What a wall does at a square corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum CornerWord {
    /// It runs through.
    #[serde(rename = "through")]
    Through,
    /// It butts.
    #[serde(rename = "butt")]
    Butt,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LayoutFile {
    /// Wall by its id in the plan.
    pub(super) id: Key<String>,
    /// Or a point on its outside face, drawing coordinates.
    pub(super) at: Key<[PlaceValue; 2]>,
    /// Storey of the point.
    pub(super) storey: Key<String>,
    /// Joints that must be.
    #[serde(default)]
    joints: Vec<At<LengthValue>>,
    /// Panels that must be, from where to where.
    #[serde(default)]
    locked: Vec<At<[LengthValue; 2]>>,
    /// Stretches without joints.
    #[serde(default)]
    keep_clear: Vec<At<[LengthValue; 2]>>,
    /// What the wall does at its left corner.
    left: Key<CornerWord>,
    /// What it does at its right corner.
    right: Key<CornerWord>,
    /// Point loads and beam pockets.
    #[serde(default)]
    points: Vec<At<PointFile>>,
    /// Electrical boxes, cut into the inner skin.
    #[serde(default)]
    boxes: Vec<At<BoxFile>>,
    /// Boards flat behind the inner skin.
    #[serde(default)]
    nailers: Vec<At<NailerFile>>,
    /// Middles of upright chases.
    #[serde(default)]
    chases: Vec<At<LengthValue>>,
    /// Measured on site, corner to corner.
    measured: LengthKey,
    /// Who accepts that it differs from the plan, and what is done about it on site.
    measured_accepted: Key<String>,
}

/// Takes one entry over; `None`, with a mistake, when it does not say which wall it is for.
pub(super) fn layout(at: &At<LayoutFile>, checks: &mut Checks<'_>) -> Option<JobLayout> {
    let file = &at.value;
    let anchor = anchor(
        "layout",
        (&file.id, &file.at, &file.storey),
        at.offset,
        checks,
    )?;
    let joints = file.joints.iter();
    let joints = joints.map(|it| checks.one_length("layout.joints", it, &ALONG));
    let joints = joints.collect();
    let points = file.points.iter().map(|it| point(&it.value, checks));
    let points = points.collect();
    let boxes = file.boxes.iter().map(|it| wiring_box(&it.value, checks));
    let boxes = boxes.collect();
    let nailers = file.nailers.iter().map(|it| nailer(&it.value, checks));
    let nailers = nailers.collect();
    let chases = file.chases.iter();
    let chases = chases.map(|it| checks.one_length("layout.chases", it, &ALONG));
    let chases = chases.collect();
    if let (Some(given), None) = (&file.measured_accepted, &file.measured) {
        checks.refuse(
            given.offset,
            "measured_accepted stands without measured: nothing is there to accept",
            "give what the foundation measures beside it, as measured = \"16'-0 1/2\\\"\"",
        );
    }
    let accepted = file.measured_accepted.as_ref().map(|it| it.value.trim());
    Some(JobLayout {
        anchor,
        joints,
        locked: stretches("layout.locked", &file.locked, checks),
        keep_clear: stretches("layout.keep_clear", &file.keep_clear, checks),
        left: file.left.as_ref().map(|it| it.value),
        right: file.right.as_ref().map(|it| it.value),
        points,
        boxes,
        nailers,
        chases,
        measured: file
            .measured
            .as_ref()
            .map(|it| checks.one_length("layout.measured", it, &SIZE)),
        measured_accepted: accepted.filter(|it| !it.is_empty()).map(str::to_owned),
        line: checks.text.line(at.offset),
    })
}

fn stretches(
    key: &str,
    given: &[At<[LengthValue; 2]>],
    checks: &mut Checks<'_>,
) -> Vec<[Length; 2]> {
    let mut taken = Vec::new();
    for it in given {
        let [from, to] = [it.value[0].0, it.value[1].0];
        if from >= to {
            checks.refuse(
                it.offset,
                format!("{key}: {from} is not left of {to}"),
                "write each stretch from left to right, as [\"4'-0\\\"\", \"12'-0\\\"\"]",
            );
        }
        taken.push([from, to]);
    }
    taken
}
