//! Walls that meet a panel's face: how they are held there.
//!
//! ```text
//!   ═══════╦═╦═══════        screws   through this panel into the end stud of a panel wall that meets it
//!   ░░░░░░░║▓║░░░░░░░        stud     one in the core, plate to plate, in the middle of what meets (corners.tee)
//!   ═══════╩╦╩═══════
//!           ║ the wall that meets
//! ```

use super::Fixing;
use super::brief::PanelBrief;
use super::fixings::count_at;
use super::joints::{Charge, JointName};
use crate::building::{CornerKind, PanelWall};
use crate::layout::PanelKind;
use crate::rules::TeeStud;
use crate::units::{Inches, Length};

/// A wall that meets a panel.
pub(super) struct TeeAt<'a> {
    id: &'a str,
    /// Its nearer and farther side, panel axes.
    sides: [Length; 2],
    /// The wall, where it is made of panels.
    guest: Option<&'a PanelWall>,
}

impl TeeAt<'_> {
    /// Its middle, panel axes.
    pub(super) fn middle(&self) -> Length {
        (self.sides[0] + self.sides[1]).half()
    }

    /// What it is, for the sheet.
    pub(super) fn name(&self) -> String {
        match self.guest {
            Some(wall) if wall.name == wall.id => format!("panel wall {}", wall.id),
            Some(wall) => format!("panel wall {} ({})", wall.name, wall.id),
            None => format!("partition {}", self.id),
        }
    }
}

/// The walls whose middle meets this panel.
pub(super) fn tees<'a>(brief: &PanelBrief<'a>) -> Vec<TeeAt<'a>> {
    if brief.panel.kind != PanelKind::Wall {
        return Vec::new();
    }
    let (along, building) = (brief.along(), brief.building);
    let meets = |wall: &PanelWall| {
        [wall.left, wall.right]
            .iter()
            .any(|it| it.kind == CornerKind::Tee && it.with == Some(brief.panel.wall))
    };
    let all = brief.wall.tees.iter().map(|tee| TeeAt {
        id: &tee.wall,
        sides: [tee.from - along, tee.to - along],
        guest: building.walls.iter().find(|wall| {
            wall.id == tee.wall && wall.storey_index == brief.wall.storey_index && meets(wall)
        }),
    });
    all.filter(|tee| Length::ZERO <= tee.middle() && tee.middle() < brief.width)
        .collect()
}

/// True when a stud stands in the core behind what meets.
pub(super) fn has_stud(brief: &PanelBrief<'_>) -> bool {
    brief.rules.corners.tee == TeeStud::Stud
}

/// What the sheet says of each; a partition without a stud is the framer's.
pub(super) fn notes(brief: &PanelBrief<'_>) -> Vec<String> {
    let corners = &brief.rules.corners;
    let stud = if has_stud(brief) {
        "stud in the core behind it"
    } else {
        "no lumber behind it"
    };
    tees(brief)
        .iter()
        .filter(|tee| tee.guest.is_some() || has_stud(brief))
        .map(|tee| {
            let [from, to] = tee.sides;
            let held = match tee.guest {
                Some(_) => format!(
                    "site: screws + at {} o.c. through this panel into its end stud, 2 beads",
                    Inches(corners.screw_spacing)
                ),
                None => "site: nail its end stud to it through the skin".to_owned(),
            };
            format!(
                "{} meets it from {} to {} from the left end; {stud}; {held}",
                tee.name(),
                Inches(from),
                Inches(to)
            )
        })
        .collect()
}

/// Screws through the panel into the panel walls that meet it.
pub(super) fn screws(brief: &PanelBrief<'_>) -> Vec<Charge> {
    let corners = &brief.rules.corners;
    let guests = tees(brief);
    let guests = guests.iter().filter_map(|tee| tee.guest);
    let height = |wall: &PanelWall| {
        let top = brief.y_of(wall.stack.panel_top).min(brief.height);
        top - brief.y_of(wall.stack.panel_bottom).max(Length::ZERO)
    };
    guests
        .map(|wall| Charge {
            joint: JointName::tee(brief, &wall.id),
            length: height(wall),
            fixing: Some(Fixing {
                usage: "tee, through the panel into the end stud that meets it".to_owned(),
                item: format!(
                    "panel screw {} in",
                    Inches(brief.assembly.thickness() + corners.screw_bite)
                ),
                count: count_at(height(wall), corners.screw_spacing),
                rule: "corners.screw_spacing".to_owned(),
            }),
            bead: Length::ZERO,
        })
        .collect()
}
