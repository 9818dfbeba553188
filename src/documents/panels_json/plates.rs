//! The plates of a wall, and who cuts them.

use super::{CutRow, cuts, inches, nine};
use crate::fabrication::WallPlate;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct PlateRow<'a> {
    mark: &'a str,
    #[serde(rename = "use")]
    usage: &'static str,
    section: &'a str,
    grade: &'a str,
    from: f64,
    to: f64,
    bottom: f64,
    bottom_to: f64,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cut_out: Vec<[f64; 2]>,
    length: f64,
    end_cuts: [CutRow; 2],
    fitted: &'static str,
    weight_lb: f64,
}

pub(super) fn plate_row(plate: &WallPlate) -> PlateRow<'_> {
    PlateRow {
        mark: &plate.mark,
        usage: plate.plate.name(),
        section: &plate.section,
        grade: &plate.grade,
        from: inches(plate.from),
        to: inches(plate.to),
        bottom: inches(plate.bottom),
        bottom_to: inches(plate.bottom_to),
        cut_out: plate.cut_out.iter().map(|it| it.map(inches)).collect(),
        length: inches(plate.length),
        end_cuts: cuts(plate.end_cuts),
        fitted: plate.fitted().name(),
        weight_lb: nine(plate.weight_lb),
    }
}
