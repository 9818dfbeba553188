//! Elevations and sections without a title: drawings that look like walls and are none.
//!
//! ```text
//!   ┏━━━━━━┯━━━━━┓        ___/\___
//!   ┃ BED  ╱ BATH┃       |▦ | ▦ ▦ |      beside a plan whose rooms are named, what has no name in it, no hung door and
//!   ┗━━━━━━┷━╍╍━━┛     ──┴──┴─────┴──    hardly a window is a picture of the building: left out, and asked
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::enclosure::outline::contains;
use crate::plan::inside::rooms::{names, texts_like_names};
use crate::plan::nearby::Area;
use crate::plan::storeys::clusters::Clusters;
use crate::plan::storeys::views::{ByTitle, views_by_title};
use crate::plan::{Storey, codes};
use geo::Coord;

/// A plan beside it names at least so many rooms.
const NAMED: usize = 3;
/// What has so many openings with something drawn in them is a plan, named or not.
const OPENINGS: usize = 3;

/// Walls that close nowhere are a storey rather than a detail from so many inches in all: 20 ft.
const WALLS: f64 = 240.0;
/// Names stand in a drawing or beside its walls within this, inches.
const REACH: f64 = 60.0;

/// Asks about walls beside the plans that close nowhere, where a name stands among them that a room of the plans has too.
///
/// - `storeys`: those of this drawing.
pub(in crate::plan) fn ask_about_open_drawings(
    it: &Traced<'_>,
    clusters: &Clusters,
    storeys: &[&Storey],
    findings: &mut Vec<Finding>,
) {
    let is_in = |p: Coord<f64>| storeys.iter().any(|own| contains(&own.outline, p));
    // What is left out by its title was said.
    let is_left = |p: Coord<f64>| {
        let mut left = it.beside.iter();
        left.any(|own| contains(own, p - it.lines.origin))
    };
    let named: Vec<(&str, Coord<f64>)> = texts_like_names(it.drawing).collect();
    let (inside, beside): (Vec<_>, Vec<_>) = named.into_iter().partition(|it| is_in(it.1));
    let known = |name: &str| inside.iter().any(|it| it.0.eq_ignore_ascii_case(name));
    let mut corners: Vec<Vec<Coord<f64>>> = vec![Vec::new(); clusters.is_plan.len()];
    let mut long = vec![0.0; corners.len()];
    for (run, own) in it.runs.iter().zip(&clusters.of) {
        if let Some(list) = corners.get_mut(*own) {
            list.extend(run.corners().map(|p| p + it.lines.origin));
            long[*own] += run.u1 - run.u0;
        }
    }
    let kinds = views_by_title(&it.views.titles, &corners);
    for ((corners, long), kind) in corners.iter().zip(long).zip(kinds) {
        let area = Area::around(corners, REACH).filter(|_| long >= WALLS && kind.is_plan());
        let Some(area) = area.filter(|_| !corners.iter().any(|p| is_in(*p) || is_left(*p))) else {
            continue;
        };
        let names = beside
            .iter()
            .filter(|it| area.meets(&Area::of(it.1, it.1)) && known(it.0));
        let Some((name, at)) = names.min_by(|p, q| p.0.cmp(q.0)) else {
            continue;
        };
        findings.push(Finding::doubt(
            codes::OPEN_DRAWING,
            Where::file(&it.drawing.file).with_at(at.x, at.y),
            format!("walls that close nowhere stand beside the plan, {name} among them: left out"),
            "if they are a storey of single lines that closes, say so in the job by [[correction]] at a point in it, is = \"single lines\"; if it is open, close its walls in the drawing, or give it a drawing of its own; else nothing",
        ));
    }
}

/// Takes out of the plans of a sheet what is a picture of the building, with a doubt for each.
pub(in crate::plan) fn leave_pictures(
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

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered_among};

    /// Places asked about: a house with a window and a bath, and right of it two walls that meet, with a word between them.
    fn asked(word: &str) -> Vec<[f64; 2]> {
        let mut lines = open_shell(100.0, 148.0);
        lines.push([100.0, 3.0, 148.0, 3.0]);
        let walls = [
            [720.0, 0.0, 960.0, 0.0],
            [720.0, 6.0, 954.0, 6.0],
            [960.0, 0.0, 960.0, 180.0],
            [954.0, 6.0, 954.0, 180.0],
            [720.0, 0.0, 720.0, 6.0],
            [954.0, 180.0, 960.0, 180.0],
        ];
        lines.extend(walls);
        let words = [("BATH", [180.0, 120.0]), (word, [900.0, 60.0])];
        let found = recovered_among(&lines, &[], &words);
        let open = found.findings.iter();
        let open = open.filter(|it| it.code == codes::OPEN_DRAWING);
        open.filter_map(|it| it.place.at).collect()
    }

    #[test]
    fn walls_that_close_nowhere_are_asked_about_where_a_room_of_the_plan_is_named_among_them() {
        assert_eq!(asked("Bath"), [[900.0, 60.0]]);
        assert!(asked("BRICK").is_empty());
    }
}
