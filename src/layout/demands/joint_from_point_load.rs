//! Joints keep off point loads, beam pockets, electrical boxes and chases that the job places: the rule `joints.from_point_load`.

use super::Forbidden;
use crate::rules::{PlantRules, PointLoad, WiringBox};
use crate::units::Length;

/// The stretch round each point load.
pub(crate) fn forbidden<'a>(
    points: &'a [PointLoad],
    rules: &PlantRules,
) -> impl Iterator<Item = Forbidden> + 'a {
    let keep_off = rules.joints.from_point_load;
    points.iter().map(move |point| Forbidden {
        from: point.at - point.width.half() - keep_off,
        to: point.at + point.width.half() + keep_off,
        rule: "joints.from_point_load",
        words: format!("no joint under {} or within {keep_off} of it", point.what),
    })
}

/// The stretch round each electrical box: a box in a joint would part the spline.
pub(crate) fn round_boxes<'a>(
    boxes: &'a [WiringBox],
    rules: &PlantRules,
) -> impl Iterator<Item = Forbidden> + 'a {
    let keep_off = rules.joints.from_point_load;
    boxes.iter().map(move |it| Forbidden {
        from: it.at - it.size[0].half() - keep_off,
        to: it.at + it.size[0].half() + keep_off,
        rule: "joints.from_point_load",
        words: format!(
            "no joint through the box for {} or within {keep_off} of it",
            it.what
        ),
    })
}

/// The stretch round each upright chase of the job.
pub(crate) fn round_chases<'a>(
    chases: &'a [Length],
    rules: &PlantRules,
) -> impl Iterator<Item = Forbidden> + 'a {
    let keep_off = rules.joints.from_point_load + rules.chases.diameter.half();
    chases.iter().map(move |at| Forbidden {
        from: *at - keep_off,
        to: *at + keep_off,
        rule: "joints.from_point_load",
        words: format!("no joint within {keep_off} of the chase that the job places at {at}"),
    })
}
