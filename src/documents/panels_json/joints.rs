//! What each joint takes, and the rows of fixings that panels have too.

use super::inches;
use crate::building::Building;
use crate::fabrication::{Fixing, Joint};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct FixingRow<'a> {
    #[serde(rename = "use")]
    usage: &'a str,
    item: &'a str,
    count: u32,
    rule: &'a str,
}

/// What one joint takes.
#[derive(Serialize)]
pub(super) struct JointRow<'a> {
    joint: &'a str,
    kind: &'static str,
    storey: &'a str,
    wall: &'a str,
    panels: &'a [String],
    length: f64,
    fixings: Vec<FixingRow<'a>>,
    sealant_in: f64,
}

pub(super) fn joint_row<'a>(building: &'a Building, joint: &'a Joint) -> JointRow<'a> {
    let wall = building.walls.get(joint.wall);
    JointRow {
        joint: &joint.name,
        kind: joint.kind.name(),
        storey: wall.map_or("", |wall| &wall.storey),
        wall: wall.map_or("", |wall| &wall.id),
        panels: &joint.panels,
        length: inches(joint.length),
        fixings: joint.fixings.iter().map(fixing_row).collect(),
        sealant_in: inches(joint.sealant),
    }
}

pub(super) fn fixing_row(fixing: &Fixing) -> FixingRow<'_> {
    FixingRow {
        usage: &fixing.usage,
        item: &fixing.item,
        count: fixing.count,
        rule: &fixing.rule,
    }
}
