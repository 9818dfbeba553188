//! Elevations and sections without a title: drawings that look like walls and are none.
//!
//! ```text
//!   ┏━━━━━━┯━━━━━┓        ___/\___
//!   ┃ BED  ╱ BATH┃       |▦ | ▦ ▦ |      beside a plan whose rooms are named, what has no name in it, no hung door and
//!   ┗━━━━━━┷━╍╍━━┛     ──┴──┴─────┴──    hardly a window is a picture of the building: left out, and asked
//! ```

use super::assemble::Traced;
use super::clusters::Clusters;
use super::codes;
use super::nearby::Area;
use super::rooms::names;
use super::views::{ByTitle, views_by_title};
use crate::findings::{Finding, Place as Where};
use geo::Coord;

/// A plan beside it names at least so many rooms.
const NAMED: usize = 3;
/// What has so many openings with something drawn in them is a plan, named or not.
const OPENINGS: usize = 3;

/// Takes out of the plans of a sheet what is a picture of the building, with a doubt for each.
pub(super) fn leave_pictures(
    it: &Traced<'_>,
    clusters: &mut Clusters,
    findings: &mut Vec<Finding>,
) {
    if clusters.is_plan.iter().filter(|is| **is).count() < 2 {
        return;
    }
    let mut corners: Vec<Vec<Coord<f64>>> = vec![Vec::new(); clusters.is_plan.len()];
    let mut n_openings = vec![0; corners.len()];
    let mut has_door = vec![false; corners.len()];
    for (run, own) in it.runs.iter().zip(&clusters.of) {
        if let Some(list) = corners.get_mut(*own) {
            list.extend(run.corners().map(|p| p + it.lines.origin));
        }
    }
    for judged in it.openings {
        let own = clusters.of[judged.run];
        if own < corners.len() && judged.evidence.is_drawn() {
            n_openings[own] += 1;
            has_door[own] |= judged.evidence.is_hung();
        }
    }
    let named: Vec<Coord<f64>> = names(it.drawing).collect();
    let n_names = |own: usize| {
        Area::around(&corners[own], 0.0).map_or(0, |area| {
            let inside = named.iter().filter(|p| area.meets(&Area::of(**p, **p)));
            inside.count()
        })
    };
    let counts: Vec<usize> = (0..corners.len()).map(n_names).collect();
    let is_named = |own: usize| clusters.is_plan[own] && counts[own] >= NAMED;
    if !(0..corners.len()).any(is_named) {
        return;
    }
    let kinds = views_by_title(&it.views.titles, &corners);
    for own in 0..corners.len() {
        let is_picture = clusters.is_plan[own]
            && counts[own] == 0
            && !has_door[own]
            && n_openings[own] < OPENINGS
            && kinds[own] != ByTitle::Plan;
        let Some(area) = Area::around(&corners[own], 0.0).filter(|_| is_picture) else {
            continue;
        };
        clusters.is_plan[own] = false;
        let at = (area.low + area.high) / 2.0;
        findings.push(Finding::doubt(
            codes::PICTURE,
            Where::file(&it.drawing.file).with_at(at.x, at.y),
            "a drawing without a title, a named room or a hung door stands beside the plan: taken as an elevation or a section, and left out",
            "if it is a floor plan, write its title below it, or give it a drawing of its own; else nothing",
        ));
    }
}
