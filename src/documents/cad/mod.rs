//! Key plans and elevations for a drawing office: `cad/*.dxf`, R2000, text as text, in the architect's unit.
//!
//! ```text
//!   key plan: the architect's coordinates, so that it lies exactly over the drawing it came from
//!   elevation: x along the wall from its left corner seen from outside, y up from the deck
//! ```
//!
//! Layers are named as the US National CAD Standard does (discipline, major, minor; from memory): discipline `Z` is shop
//! drawings. What the architect drew lies on layers named as a bound reference names them, `plan$0$A-WALL`: they never
//! mix with the architect's own when the file is laid over the drawing.
//!
//! *Promises.* Coordinates of the architect's lines are those of the drawing, and `$INSUNITS` is what its header says, right or
//! wrong, so that the office's program scales neither against the other; where the header says nothing, it is the unit that
//! was recovered. Panels are the exact lengths of the building. An elevation says the numbers of its sheet.
//!
//! *Does not do.* Sheets and title blocks: those are `sheets/`.

mod background;
mod elevation;
mod key_plan;
mod words;
mod writer;

use super::elevation::elevation_numbers;
use super::{Models, TitleFacts};
use crate::drawing::{Drawing, DrawingUnit};
use crate::plan::Storey;
use geo::Coord;
use writer::{CadDrawing, write};

/// All files by their paths.
#[must_use]
pub(super) fn cad_files(models: &Models<'_>, facts: &TitleFacts) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    let storeys = models.building.storeys.iter().enumerate();
    for (index, storey) in storeys {
        if models
            .building
            .walls
            .iter()
            .all(|wall| wall.storey != storey.id)
        {
            continue;
        }
        let name = format!("cad/Z-{:03}-key-plan.dxf", 101 + index);
        files.push((name, write(&key_plan::key_plan(models, index))));
    }
    let input = models.elevations(facts);
    let numbers = elevation_numbers(&input);
    for (index, number) in numbers {
        let Some(wall) = models.building.walls.get(index) else {
            continue;
        };
        let name = format!("cad/{number}-{}.dxf", wall.id);
        files.push((name, write(&elevation::elevation(models, &input, index))));
    }
    files
}

/// An empty drawing in the unit of the storey's own drawing.
fn empty(models: &Models<'_>, storey: Option<&Storey>) -> CadDrawing {
    let drawing = drawing_of(models, storey);
    let plan = models.trace.plan;
    let unit = drawing.map_or(plan.unit, |it| it.scale.unit);
    let inches = drawing.map_or(plan.inches_per_unit, |it| it.scale.inches_per_unit);
    // What the header says, though the drawing be in another unit: so it comes in at the size of the drawing it lies over.
    let stated = drawing.and_then(|it| it.scale.header).unwrap_or(unit);
    CadDrawing {
        units: match stated {
            DrawingUnit::Inch => 1,
            DrawingUnit::Foot => 2,
            DrawingUnit::Millimetre => 4,
            DrawingUnit::Centimetre => 5,
            DrawingUnit::Metre => 6,
        },
        is_metric: unit.is_metric(),
        inches_per_unit: if inches > 0.0 { inches } else { 1.0 },
        ..CadDrawing::default()
    }
}

fn drawing_of<'a>(models: &Models<'a>, storey: Option<&Storey>) -> Option<&'a Drawing> {
    let drawings = models.trace.drawings;
    let own = storey.and_then(|storey| drawings.iter().find(|it| it.file == storey.file));
    own.or(drawings.first())
}

/// A point of the building in the drawing of its storey, inches: moved back, then turned back.
fn in_drawing(storey: Option<&Storey>, point: Coord<f64>) -> Coord<f64> {
    storey.map_or(point, |storey| super::changes::in_drawing(storey, point))
}
