//! Where the view of the panel, its lanes and the sections lie in the field of the sheet.
//!
//! ```text
//!   tall                              wide (header and sill panels)
//!   ┌──────────────────┬───────┐      ┌──────────────────────────┐
//!   │   top ordinates  │  A-A  │      │      top ordinates       │
//!   │ l ┌───────┐ r    │       │      │ l ┌───────────────────┐ r│
//!   │ e │ panel │ i    │       │      │   └───────────────────┘  │
//!   │ f │       │ g    ├───────┤      │     bottom ordinates     │
//!   │ t └───────┘ h    │  B-B  │      ├───────────┬──────────────┤
//!   │  bottom   t      │       │      │    A-A    │     B-B      │
//!   │  title           │ edges │      │  title    │       edges  │
//!   └──────────────────┴───────┘      └───────────┴──────────────┘
//! ```
//!
//! A ticket has the view over the whole width; its lists, and sections where those leave room, stand on a page of their own.

use super::broken::{PanelView, broken};
use super::subject::Subject;
use crate::documents::paper::scale::{ARCHITECT, Scale, scales};
use crate::documents::paper::{Area, spot};

/// Lanes about the panel, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lanes {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

/// The field divided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Arrangement {
    /// Scale of the view.
    pub(super) scale: Scale,
    /// The panel on paper: origin of its axes, lower left.
    pub(super) view: PanelView,
    /// The panel's outline on paper.
    pub(super) panel: Area,
    /// Panel and lanes.
    pub(super) stage: Area,
    /// Sections A-A and B-B with their titles; a ticket has none.
    pub(super) sections: Option<[Area; 2]>,
    /// Are the planes of A-A and B-B marked on the view?
    pub(super) marks: [bool; 2],
    /// Legend of edge symbols.
    pub(super) legend: Area,
    /// Title of the view.
    pub(super) title: Area,
}

/// Height of the band for the title of the view.
const TITLE: f64 = 17.0;
/// The same on a ticket.
const TICKET_TITLE: f64 = 14.0;
/// Width of the sections' column.
const COLUMN: f64 = 73.0;
/// Height of the legend of edge symbols.
const LEGEND: f64 = 15.0;
/// Height of the lower half of a wide sheet.
const LOWER: f64 = 128.0;
/// The view is never larger than 1 1/2" = 1'-0".
const LARGEST: f64 = 8.0;

/// A view broken in its length is as wide as one likes: this much of the room is for words at the right, mm.
const BESIDE_BROKEN: f64 = 14.0;

/// Panels wider than this part of their height lie in the wide arrangement.
const WIDE: f64 = 1.25;

/// Divides the field for a panel.
///
/// - `field`: what the sheet has for view and sections.
pub(super) fn arrange(subject: &Subject<'_>, lanes: &Lanes, field: Area) -> Arrangement {
    let is_ticket = subject.is_ticket();
    let (width, height) = (
        subject.panel.width.to_inches(),
        subject.panel.height.to_inches(),
    );
    let is_wide = !is_ticket && width > WIDE * height;
    let stage = if is_wide {
        Area::new(field.x0, field.y0, field.x1, field.y1 - LOWER)
    } else if is_ticket {
        field
    } else {
        Area::new(field.x0, field.y0, field.x1 - COLUMN, field.y1)
    };
    let title_height = match (is_wide, is_ticket) {
        (true, _) => 0.0,
        (_, true) => TICKET_TITLE,
        _ => TITLE,
    };
    let room = Area::new(
        stage.x0 + lanes.left,
        stage.y0 + lanes.top,
        stage.x1 - lanes.right,
        stage.y1 - lanes.bottom - title_height,
    );
    let fits = |scale: &&Scale| {
        let k = scale.per_inch();
        // A hair of tolerance: 108 in at 3/4" is 171.45 mm, and so may the room be.
        scale.ratio >= LARGEST
            && width * k <= room.width() + 0.1
            && height * k <= room.height() + 0.1
    };
    let list = scales(subject.input.facts.sheets.scales);
    let scale = list
        .iter()
        .find(fits)
        .or(list.last())
        .copied()
        .unwrap_or(ARCHITECT[0]);
    let size = [room.width(), room.height()];
    let (scale, mut view) = broken(subject, list, scale, size, BESIDE_BROKEN)
        .unwrap_or_else(|| (scale, PanelView::whole(scale.per_inch())));
    let (wide, high) = (view.wide(width), view.high(height));
    let is_broken = view.breaks().next().is_some();
    let beside = if is_broken {
        0.0
    } else {
        (room.width() - wide) / 2.0
    };
    view.origin = spot(
        room.x0 + beside.max(0.0),
        room.y1 - ((room.height() - high) / 2.0).max(0.0),
    );
    let panel = view.area(0.0, 0.0, width, height);
    let (sections, legend, title) = if is_wide {
        let lower = Area::new(field.x0, stage.y1, field.x1, field.y1);
        let middle = lower.x0 + lower.width() * 0.5;
        (
            Some([
                // Heights with fractions stand left of the section: they need more room beside the frame.
                Area::new(lower.x0 + 6.0, lower.y0, middle, lower.y1 - TITLE),
                Area::new(middle, lower.y0, lower.x1, lower.y1 - LEGEND),
            ]),
            Area::new(middle, lower.y1 - LEGEND, lower.x1, lower.y1),
            Area::new(lower.x0, lower.y1 - TITLE, middle, lower.y1),
        )
    } else if is_ticket {
        let middle = field.x0 + field.width() * 0.56;
        (
            None,
            Area::new(middle, stage.y1 - TICKET_TITLE, field.x1, field.y1),
            Area::new(field.x0, stage.y1 - TICKET_TITLE, middle, field.y1),
        )
    } else {
        let x = stage.x1;
        let split = field.y1 - LEGEND - 92.0;
        (
            Some([
                Area::new(x, field.y0, field.x1, split),
                Area::new(x, split, field.x1, field.y1 - LEGEND),
            ]),
            Area::new(x, field.y1 - LEGEND, field.x1, field.y1),
            Area::new(stage.x0, stage.y1 - TITLE, stage.x1, stage.y1),
        )
    };
    Arrangement {
        scale,
        view,
        panel,
        stage: Area::new(stage.x0, stage.y0, stage.x1, stage.y1 - title_height),
        sections,
        marks: [sections.is_some(); 2],
        legend,
        title,
    }
}
