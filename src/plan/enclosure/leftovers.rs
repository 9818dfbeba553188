//! Openings that no storey took: the outline closed without them, so part of the building may be missing.
//!
//! ```text
//!   ┏━━━━━━━┓ ─ ─ ─ ┐
//!   ┃       ┃       ╪ ?     a window between jambs outside the outline, or in its wall and not among its openings: asked
//!   ┗━━━━━━━┛ ─ ─ ─ ┘
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::axis::{Axis, distance};
use crate::plan::enclosure::completion::outside_thickness;
use crate::plan::enclosure::outbuildings::is_of_outbuilding;
use crate::plan::enclosure::outline::contains;
use crate::plan::inside::niches::left_behind;
use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::walls::caps::facing;
use crate::plan::walls::openings::middle_of;
use crate::plan::walls::runs::RARE;
use crate::plan::{Storey, codes};
use geo::Coord;

/// What lies further than this outside every outline is another drawing, inches: 20 ft.
const FAR: f64 = 240.0;
/// One question answers for what lies within this of it, inches.
const NEAR: f64 = 24.0;

/// A wall outside is about as thick as those found: from the thinnest less a fifth to the thickest and half of it.
const LIKE_WALL: (f64, f64) = (0.8, 1.5);

/// Two strips share a place from this on, inches: walls that touch do not.
const OVER: f64 = 0.5;

/// Doubts about openings of walls that no storey took.
pub(in crate::plan) fn ask_about_leftovers(
    it: &Traced<'_>,
    storeys: &[&Storey],
    findings: &mut Vec<Finding>,
) {
    let openings: Vec<_> = storeys.iter().flat_map(|it| &it.openings).collect();
    let places = Nearby::new(
        openings
            .iter()
            .enumerate()
            .filter_map(|(i, it)| Some((around(&[it.centre], it.width / 2.0)?, i))),
    );
    // One whose middle lies within a reach, and within half of its own width more or not.
    let is_near = |p: Coord<f64>, reach: f64, is_whole: bool| {
        around(&[p], reach + 1.0).is_some_and(|area| {
            places.any(&area, |i| {
                let half = if is_whole {
                    openings[i].width / 2.0
                } else {
                    0.0
                };
                distance(openings[i].centre, p) <= reach + half
            })
        })
    };
    let mut asked: Vec<Coord<f64>> = Vec::new();
    for judged in it.openings {
        let run = &it.runs[judged.run];
        if judged.is_bare() || judged.is_recess() || left_behind(it, judged).is_some() {
            continue;
        }
        let middle = middle_of(it.runs, judged) + it.lines.origin;
        if is_near(middle, run.thickness, false) || lies_over_wall(storeys, middle, run.thickness) {
            continue;
        }
        let is_wall = run.support >= RARE && !it.network.stops[judged.run].is_empty();
        if is_wall
            || judged.has_jambs && judged.evidence.is_drawn() && is_left_out(storeys, middle, 0.0)
        {
            asked.push(middle);
        }
    }
    for held in it.held.iter().filter(|it| it.is_exact) {
        let middle = held.axis.point(held.width / 2.0, 0.0) + it.lines.origin;
        let is_known = asked.iter().any(|p| distance(*p, middle) <= NEAR);
        if !is_known
            && !is_near(middle, held.width / 2.0, true)
            && is_left_out(storeys, middle, held.thickness)
        {
            asked.push(middle);
        }
    }
    // Whatever became of the walls, jambs with glass or a leaf between them are an opening.
    let outside = || {
        storeys
            .iter()
            .flat_map(|it| &it.walls)
            .filter(|wall| wall.is_exterior)
    };
    let least = outside()
        .map(|it| it.thickness)
        .fold(f64::INFINITY, f64::min);
    let most = outside().map(|it| it.thickness).fold(0.0, f64::max);
    for own in facing(it.place, (LIKE_WALL.0 * least, LIKE_WALL.1 * most)) {
        let middle = own.middle + it.lines.origin;
        let is_known = asked.iter().any(|p| distance(*p, middle) <= NEAR);
        if !is_known
            && !is_near(middle, own.width / 2.0, true)
            && !is_of_glass(it, own.middle)
            && is_left_out(storeys, middle, own.thickness)
        {
            asked.push(middle);
        }
    }
    asked.retain(|p| !is_of_outbuilding(it.beside, *p - it.lines.origin));
    findings.extend(asked.into_iter().map(|p| left_over(it, p)));
}

fn left_over(it: &Traced<'_>, at: Coord<f64>) -> Finding {
    Finding::doubt(
        codes::LEFT_OVER,
        Where {
            file: Some(it.drawing.file.clone()),
            ..Where::default()
        }
        .with_at(at.x, at.y),
        "an opening stands in a wall that belongs to no closed outline: left out",
        "if it belongs to the building, close the walls round it in the drawing; else nothing",
    )
}

/// Doubts about the openings of walls as thick as the outside where nothing closes.
///
/// - `own`: the runs of the drawing on the sheet that may be a plan.
pub(in crate::plan) fn ask_about_unclosed(
    it: &Traced<'_>,
    own: &[usize],
    findings: &mut Vec<Finding>,
) {
    let Some(thick) = outside_thickness(it, own) else {
        return;
    };
    let told = it.openings.iter().filter(|judged| {
        let is_thick = it.runs[judged.run].thickness >= thick;
        is_thick && own.binary_search(&judged.run).is_ok() && judged.evidence.is_drawn()
    });
    let mut asked: Vec<Coord<f64>> = told.map(|judged| middle_of(it.runs, judged)).collect();
    let held = it.held.iter().filter(|it| it.is_exact);
    let held = held.filter(|it| it.thickness >= thick);
    let held = held.map(|it| it.axis.point(it.width / 2.0, 0.0));
    let facing = facing(it.place, (thick, LIKE_WALL.1 * thick));
    for p in held.chain(facing.into_iter().map(|it| it.middle)) {
        if !asked.iter().any(|q| distance(*q, p) <= NEAR) {
            asked.push(p);
        }
    }
    findings.extend(
        asked
            .into_iter()
            .map(|p| left_over(it, p + it.lines.origin)),
    );
}

/// True when a strip of this thickness about a point outside shares its place with an exterior wall along which it runs: glass and
/// the edge of a roof before it are no wall.
fn lies_over_wall(storeys: &[&Storey], p: Coord<f64>, thickness: f64) -> bool {
    storeys.iter().any(|storey| {
        let mut outside = storey.walls.iter().filter(|wall| wall.is_exterior);
        !contains(&storey.outline, p)
            && outside.any(|wall| {
                Axis::through(wall.start, wall.end).is_some_and(|axis| {
                    let (s, d) = (axis.s(p), axis.d(p).abs());
                    let is_along = s > 0.0 && s < distance(wall.start, wall.end);
                    is_along && d < f64::midpoint(thickness, wall.thickness) - OVER
                })
            })
    })
}

/// True when a point lies in a wall of glass between posts: that is a fault already.
fn is_of_glass(it: &Traced<'_>, p: Coord<f64>) -> bool {
    it.runs.iter().filter(|run| run.is_curtain).any(|run| {
        let (s, d) = (run.axis.s(p), run.axis.d(p).abs());
        d < run.thickness && s > run.u0 && s < run.u1
    })
}

/// True when a point lies outside every outline and near one, or less than a depth inside one.
pub(in crate::plan) fn is_left_out(storeys: &[&Storey], p: Coord<f64>, thickness: f64) -> bool {
    let edge = |storey: &Storey| {
        let ring = &storey.outline;
        let sides = ring.iter().zip(ring.iter().cycle().skip(1));
        sides
            .map(|(a, b)| off(*a, *b, p))
            .fold(f64::INFINITY, f64::min)
    };
    let shells = storeys.iter().filter(|it| !it.outline.is_empty());
    let (mut is_near, mut is_inside) = (false, false);
    for storey in shells {
        let far = edge(storey);
        is_near |= far <= FAR;
        is_inside |= contains(&storey.outline, p) && far > thickness;
    }
    is_near && !is_inside
}

/// Distance of a point from a side.
fn off(a: Coord<f64>, b: Coord<f64>, p: Coord<f64>) -> f64 {
    Axis::through(a, b).map_or(distance(a, p), |axis| {
        let s = axis.s(p).clamp(0.0, distance(a, b));
        distance(axis.point(s, 0.0), p)
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered, sides};

    /// Where openings are asked about as left over.
    fn asked(lines: &[[f64; 4]]) -> Vec<[f64; 2]> {
        let found = recovered(lines).findings;
        let own = found.iter().filter(|it| it.code == codes::LEFT_OVER);
        own.filter_map(|it| it.place.at).collect()
    }

    #[test]
    fn where_nothing_closes_each_opening_of_a_thick_wall_is_asked_about() {
        // Of a house only the lower wall is there.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| l[1] < 7.0 && l[3] < 7.0);
        assert_eq!(asked(&lines), [[118.0, 3.0]]);
    }

    #[test]
    fn glass_and_the_edge_of_a_roof_make_no_opening_that_is_left_over() {
        // Two windows with double glass in the lower and in the upper wall; eaves 18 in off all round, drawn through.
        let mut lines = sides(-18.0, -18.0, 378.0, 258.0);
        lines.extend([[0.0, 0.0, 0.0, 240.0], [6.0, 6.0, 6.0, 234.0]]);
        lines.extend([[360.0, 0.0, 360.0, 240.0], [354.0, 6.0, 354.0, 234.0]]);
        for (outer, inner) in [(0.0, 6.0), (240.0, 234.0)] {
            for (y, low, high) in [(outer, 0.0, 360.0), (inner, 6.0, 354.0)] {
                lines.extend([[low, y, 60.0, y], [108.0, y, 240.0, y]]);
                lines.push([288.0, y, high, y]);
            }
            for (a, b) in [(60.0, 108.0), (240.0, 288.0)] {
                lines.extend([[a, outer, a, inner], [b, outer, b, inner]]);
                for off in [-0.5, 0.5] {
                    let y = f64::midpoint(outer, inner) + off;
                    lines.push([a, y, b, y]);
                }
            }
        }
        let found = recovered(&lines);
        assert_eq!(found.output.storeys[0].openings.len(), 4);
        assert!(found.findings.iter().all(|it| it.code != codes::LEFT_OVER));
    }
}
