//! Which panels must not be cut, and why.
//!
//! A fault holds every panel it touches: the one whose mark it names, those that have or border the opening it names, those of the
//! wall it names. A fault that names a storey and nothing in it holds the storey; one that names nothing holds everything, because
//! nobody can say what it spares. An element that is no wall or opening of the panels, such as an interior wall, holds nothing.

use super::{FabricateOptions, FabricatedPanel, Hold, codes};
use crate::building::Building;
use crate::findings::{Finding, Place, Severity};
use crate::layout::{Layout, PanelEdge};
use crate::rules::Issue;

/// Puts every hold on its panels.
///
/// - `findings`: this room's own; a note is added when the whole package is issued for review.
pub(super) fn hold(
    panels: &mut [FabricatedPanel],
    building: &Building,
    layout: &Layout,
    findings: &mut Vec<Finding>,
    options: &FabricateOptions<'_>,
) {
    for panel in panels.iter_mut() {
        let touched = Touched::of(panel, building, layout);
        let mut holds = Vec::new();
        for finding in options.earlier.iter().chain(findings.iter()) {
            if finding.severity == Severity::Fault && touched.by(&finding.place, building) {
                add(&mut holds, finding.code.name(), &finding.message);
            }
        }
        for (id, is_held) in touched.elements(building) {
            // Where the fault itself is known, its own words are the better reason.
            if is_held && holds.is_empty() {
                let reason = format!("{id} is on hold by an open question of the plan");
                add(&mut holds, codes::HELD_BEFORE.name(), &reason);
            }
        }
        if options.issue == Issue::Review {
            let reason = "issued for review, not for production";
            add(&mut holds, codes::ISSUED_FOR_REVIEW.name(), reason);
        }
        panel.holds = holds;
    }
    if options.issue == Issue::Review {
        findings.push(Finding::note(
            codes::ISSUED_FOR_REVIEW,
            Place::default(),
            "the job is issued for review: every panel is on HOLD",
            "set issue = \"production\" in job.toml when the review is done",
        ));
    }
}

fn add(holds: &mut Vec<Hold>, code: &str, reason: &str) {
    let hold = Hold {
        code: code.to_owned(),
        reason: reason.to_owned(),
    };
    if !holds.contains(&hold) {
        holds.push(hold);
    }
}

/// What a panel has to do with.
struct Touched<'a> {
    mark: &'a str,
    wall: usize,
    /// Indices into the wall's openings, cut in the panel or beside it.
    openings: Vec<usize>,
}

impl<'a> Touched<'a> {
    fn of(panel: &'a FabricatedPanel, building: &Building, layout: &Layout) -> Self {
        let mut openings: Vec<usize> = panel.openings.iter().map(|o| o.opening).collect();
        if let Some(laid) = layout.panels.get(panel.panel) {
            for edge in [laid.left, laid.right] {
                if let PanelEdge::Jamb { opening } = edge {
                    openings.push(opening);
                }
            }
        }
        openings.sort_unstable();
        openings.dedup();
        let known = building
            .walls
            .get(panel.wall)
            .map_or(0, |w| w.openings.len());
        openings.retain(|index| *index < known);
        Self {
            mark: &panel.mark,
            wall: panel.wall,
            openings,
        }
    }

    /// Wall and openings by id, with what the building says of them.
    fn elements<'b>(&self, building: &'b Building) -> Vec<(&'b str, bool)> {
        let Some(wall) = building.walls.get(self.wall) else {
            return Vec::new();
        };
        let openings = self.openings.iter().filter_map(|i| wall.openings.get(*i));
        std::iter::once((wall.id.as_str(), wall.on_hold))
            .chain(openings.map(|o| (o.id.as_str(), o.on_hold)))
            .collect()
    }

    fn by(&self, place: &Place, building: &Building) -> bool {
        if let Some(mark) = &place.panel {
            return mark == self.mark;
        }
        let storey = building.walls.get(self.wall).map(|wall| &wall.storey);
        if place.storey.is_some() && place.storey.as_ref() != storey {
            return false;
        }
        match &place.element {
            Some(element) => self.elements(building).iter().any(|(id, _)| id == element),
            None => true,
        }
    }
}
