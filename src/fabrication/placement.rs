//! Where a panel stands in the building.
//!
//! ```text
//!            y ▲
//!              │        z up, x along the wall's outside face from left to right,
//!              └──► x   x × y = out
//!             origin
//! ```

use super::Placement;
use super::brief::PanelBrief;

/// Lower left corner of the outer face, and the panel's axes, in building coordinates.
pub(super) fn place(brief: &PanelBrief<'_>) -> Placement {
    let frame = brief.wall.frame;
    let along = brief.run.from + brief.panel.rect.x0;
    let corner = frame.point(along.to_inches(), 0.0);
    let floor = brief
        .building
        .storeys
        .get(brief.wall.storey_index)
        .map(|storey| storey.floor)
        .unwrap_or_default();
    Placement {
        origin: [
            corner.x,
            corner.y,
            (floor + brief.panel.rect.y0).to_inches(),
        ],
        x: [frame.along.x, frame.along.y, 0.0],
        y: [0.0, 0.0, 1.0],
    }
}
