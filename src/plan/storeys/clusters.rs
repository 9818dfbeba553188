//! Drawings side by side on one sheet: runs that lie near one another are one drawing, and the heaviest are the plans.
//!
//! ```text
//!   ┌───┐ ┌──┐        ∧
//!   │ ┌─┘ │  │      ┌─┴─┐      plans hold most wall of the usual thicknesses; elevations, details and legends hold little
//!   └─┴───┴──┘      └───┘
//! ```

use crate::drawing::ViewTitle;
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::shells::Shell;
use crate::plan::lines::rails::around;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::storeys::views::{ByTitle, views_by_title};
use crate::plan::walls::runs::Run;
use geo::Coord;

/// Walls of one drawing lie within this of another, inches: 8 ft.
const APART: f64 = 96.0;
/// A drawing with at least this share of the heaviest one's wall is a plan too.
const LIKE_PLAN: f64 = 0.35;

/// The drawings of a sheet.
pub(in crate::plan) struct Clusters {
    /// For each run its cluster.
    pub of: Vec<usize>,
    /// For each cluster whether it may be a plan.
    pub is_plan: Vec<bool>,
}

impl Clusters {
    /// What lies in one of some areas is a plan, however thin its walls are known.
    pub(in crate::plan) fn take(&mut self, runs: &[Run], areas: &[Area]) {
        for (run, own) in runs.iter().zip(&self.of) {
            let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
            let middle = Area::of(middle, middle);
            if areas.iter().any(|area| area.meets(&middle))
                && let Some(is_plan) = self.is_plan.get_mut(*own)
            {
                *is_plan = true;
            }
        }
    }

    /// What holds plans that are left out, and none of those taken, is no plan of the building.
    pub(in crate::plan) fn leave(&mut self, left: &[&Shell<'_>], taken: &[&Shell<'_>]) {
        let own = |shell: &&Shell<'_>| shell.ring.sides.first().map(|it| self.of[it.run]);
        let kept: Vec<usize> = taken.iter().filter_map(own).collect();
        let lost: Vec<usize> = left.iter().filter_map(own).collect();
        for lost in lost.into_iter().filter(|it| !kept.contains(it)) {
            if let Some(is_plan) = self.is_plan.get_mut(lost) {
                *is_plan = false;
            }
        }
    }
}

/// Parts the runs of a sheet into drawings. What has the title of a plan is one, however little wall it holds.
pub(in crate::plan) fn clusters(
    runs: &[Run],
    network: &Network,
    titles: &[ViewTitle],
    origin: Coord<f64>,
) -> Clusters {
    let areas: Vec<_> = runs
        .iter()
        .map(|run| around(&run.corners(), APART / 2.0))
        .collect();
    let index = Nearby::new(
        areas
            .iter()
            .enumerate()
            .filter(|(i, _)| !network.stops[*i].is_empty())
            .filter_map(|(i, area)| Some(((*area)?, i))),
    );
    let mut of = vec![usize::MAX; runs.len()];
    let mut weights: Vec<f64> = Vec::new();
    for first in 0..runs.len() {
        if of[first] != usize::MAX || network.stops[first].is_empty() {
            continue;
        }
        let own = weights.len();
        weights.push(0.0);
        of[first] = own;
        let mut open = vec![first];
        while let Some(i) = open.pop() {
            weights[own] += (runs[i].u1 - runs[i].u0) * runs[i].support;
            let Some(area) = areas[i] else { continue };
            index.visit(&area, |near| {
                if of[near] == usize::MAX {
                    of[near] = own;
                    open.push(near);
                }
            });
        }
    }
    // A border and a legend have no openings.
    let mut has_openings = vec![false; weights.len()];
    for (run, own) in runs.iter().zip(&of).filter(|(_, own)| **own != usize::MAX) {
        has_openings[*own] |= !run.cells.is_empty();
    }
    if has_openings.contains(&true) {
        for (weight, _) in weights
            .iter_mut()
            .zip(&has_openings)
            .filter(|(_, has)| !**has)
        {
            *weight = 0.0;
        }
    }
    let most = weights.iter().copied().fold(0.0, f64::max);
    let mut is_plan: Vec<bool> = weights
        .iter()
        .map(|w| *w > 0.0 && *w >= LIKE_PLAN * most)
        .collect();
    for own in titled(runs, &of, &weights, titles, origin) {
        is_plan[own] = true;
    }
    Clusters { of, is_plan }
}

/// Drawings with openings that stand over the title of a plan; one that shares it with a larger one does not.
fn titled(
    runs: &[Run],
    of: &[usize],
    weights: &[f64],
    titles: &[ViewTitle],
    origin: Coord<f64>,
) -> Vec<usize> {
    let mut corners: Vec<Vec<Coord<f64>>> = vec![Vec::new(); weights.len()];
    for (run, own) in runs.iter().zip(of).filter(|(_, own)| **own != usize::MAX) {
        corners[*own].extend(run.corners().map(|p| p + origin));
    }
    let mut own: Vec<usize> = (0..weights.len()).filter(|i| weights[*i] > 0.0).collect();
    own.sort_by(|p, q| weights[*q].total_cmp(&weights[*p]));
    let places: Vec<Vec<Coord<f64>>> = own.iter().map(|i| corners[*i].clone()).collect();
    let kinds = views_by_title(titles, &places);
    let told = own.into_iter().zip(kinds);
    told.filter(|(_, kind)| *kind == ByTitle::Plan)
        .map(|it| it.0)
        .collect()
}

/// A border stands at least this far off the plan, inches.
const SHEET: f64 = 36.0;

/// True when points lie far beyond an outline on all four sides.
pub(in crate::plan) fn surrounds(points: &[Coord<f64>], outline: &[Coord<f64>]) -> bool {
    lies_beyond(points, outline, SHEET)
}

/// True when points lie beyond an outline on all four sides, however little.
pub(in crate::plan) fn lies_round(points: &[Coord<f64>], outline: &[Coord<f64>]) -> bool {
    lies_beyond(points, outline, 0.0)
}

fn lies_beyond(points: &[Coord<f64>], outline: &[Coord<f64>], least: f64) -> bool {
    let range = |list: &[Coord<f64>], of: &dyn Fn(&Coord<f64>) -> f64| {
        list.iter().map(of).fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(low, high): (f64, f64), v| (low.min(v), high.max(v)),
        )
    };
    let is_beyond = |of: &dyn Fn(&Coord<f64>) -> f64| {
        let (own, other) = (range(points, of), range(outline, of));
        own.0 < other.0 - least && own.1 > other.1 + least
    };
    is_beyond(&|p| p.x) && is_beyond(&|p| p.y)
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered, recovered_among, sides};

    /// A plan with partitions, and 40 ft beside it one with less than a third of its wall; each has a window in its lower wall.
    fn two_plans() -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for x in [60.0, 160.0, 220.0, 290.0] {
            lines.extend([[x, 6.0, x, 234.0], [x + 6.0, 6.0, x + 6.0, 234.0]]);
        }
        for (d, low) in [(0.0, 0.0), (6.0, 6.0)] {
            let (left, right, high) = (840.0 + d, 1010.0 - d, 160.0 - d);
            lines.extend([[left, low, left, high], [right, low, right, high]]);
            lines.extend([[left, high, right, high], [left, low, 890.0, low]]);
            lines.push([926.0, low, right, low]);
        }
        for x in [890.0, 926.0] {
            lines.push([x, 0.0, x, 6.0]);
        }
        lines.push([890.0, 3.0, 926.0, 3.0]);
        lines
    }

    fn names(words: &[(&str, [f64; 2])]) -> Vec<String> {
        let found = recovered_among(&two_plans(), &[], words);
        let storeys = found.output.storeys.into_iter();
        storeys
            .filter(|it| !it.outline.is_empty())
            .map(|it| it.name)
            .collect()
    }

    #[test]
    fn a_small_drawing_is_a_storey_where_it_stands_over_the_title_of_a_plan() {
        // All words are equally high here: titles are underlined.
        let main = ("%%uFIRST FLOOR PLAN", [180.0, -30.0]);
        let loft = ("%%uSECOND FLOOR PLAN", [925.0, -30.0]);
        let detail = ("%%uSECTION A", [925.0, -30.0]);
        let first = "FIRST FLOOR PLAN";
        assert_eq!(names(&[main, loft]), [first, "SECOND FLOOR PLAN"]);
        assert_eq!(names(&[main, detail]), [first]);
        assert_eq!(names(&[main]), [first]);
    }

    #[test]
    fn a_small_closed_drawing_beside_an_open_plan_is_not_the_plan() {
        // The plan lacks its right wall; 40 ft aside stands a closed shed of other lines.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| !(l[0] > 350.0 && l[2] > 350.0));
        for (x0, y0, x1, y1) in [(900.0, 0.0, 1040.0, 140.0), (903.5, 3.5, 1036.5, 136.5)] {
            lines.extend(sides(x0, y0, x1, y1));
        }
        let found = recovered(&lines);
        assert!(
            found
                .findings
                .iter()
                .any(|f| f.code == codes::NO_OUTLINE && f.place.at.is_some())
        );
        let mut outlines = found.output.storeys.iter().flat_map(|s| &s.outline);
        assert!(outlines.all(|p| p.x < 500.0));
    }
}
