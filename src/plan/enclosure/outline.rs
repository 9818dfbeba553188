//! Outlines from rings: the faces of walls, met at their corners.
//!
//! ```text
//!   ring of centre lines ──► each moved by half its thickness ──► neighbours met ──► corners
//! ```
//!
//! Faces are exact, so corners are exact; a centre-line crossing is derived and never used here.

use crate::plan::axis::Axis;
use crate::plan::enclosure::faces::Side;
use crate::plan::enclosure::network::{Network, directed};
use crate::plan::walls::runs::Run;
use geo::Coord;

/// Consecutive sides of one run, walked one way.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Stretch {
    pub run: usize,
    /// Along the run's axis; `from > to` when walked against it.
    pub from: f64,
    pub to: f64,
}

/// Faces in line that differ by less are one face, inches.
const SAME_FACE: f64 = 1.0 / 32.0;

/// Joins the sides of a ring that follow one another along one run.
pub(in crate::plan) fn stretches(network: &Network, sides: &[Side]) -> Vec<Stretch> {
    let mut list: Vec<Stretch> = Vec::new();
    for side in sides {
        let (from, to) = (
            network.stops[side.run][side.from].0,
            network.stops[side.run][side.to].0,
        );
        match list.last_mut() {
            Some(last) if last.run == side.run && (last.to > last.from) == (to > from) => {
                last.to = to;
            }
            _ => list.push(Stretch {
                run: side.run,
                from,
                to,
            }),
        }
    }
    // The walk may have started inside a stretch.
    if list.len() > 1
        && let (Some(first), Some(last)) = (list.first().copied(), list.last().copied())
        && first.run == last.run
        && (first.to > first.from) == (last.to > last.from)
    {
        list[0].from = last.from;
        list.pop();
    }
    list
}

/// The polygon of faces on the left (`1.0`) or right (`-1.0`) of the walk.
pub(in crate::plan) fn polygon(runs: &[Run], stretches: &[Stretch], left: f64) -> Vec<Coord<f64>> {
    let faces: Vec<Axis> = stretches
        .iter()
        .map(|it| {
            let run = &runs[it.run];
            let axis = directed(run, it.from, it.to);
            Axis {
                origin: axis.point(0.0, left * run.thickness / 2.0),
                ..axis
            }
        })
        .collect();
    let n = faces.len();
    let mut points = Vec::new();
    for i in 0..n {
        let (before, after) = (&faces[(i + n - 1) % n], &faces[i]);
        let sine = before.sine(after);
        if sine.abs() > 0.035 {
            points.extend(after.meets_at(before).map(|s| after.point(s, 0.0)));
            continue;
        }
        // In line: one face, or a step.
        let foot = before.point(before.s(after.origin), 0.0);
        if before.d(after.origin).abs() > SAME_FACE {
            points.push(foot);
            points.push(after.origin);
        }
    }
    points
}

/// Twice the signed area of a polygon, square inches.
pub(in crate::plan) fn doubled_area(points: &[Coord<f64>]) -> f64 {
    let Some(base) = points.first() else {
        return 0.0;
    };
    points
        .iter()
        .zip(points.iter().cycle().skip(1))
        .map(|(p, q)| (p.x - base.x) * (q.y - base.y) - (q.x - base.x) * (p.y - base.y))
        .sum()
}

/// A point inside a polygon, off its sides: the middle of its widest level cut.
pub(in crate::plan) fn point_within(points: &[Coord<f64>]) -> Option<Coord<f64>> {
    let mut heights: Vec<f64> = points.iter().map(|p| p.y).collect();
    heights.sort_by(f64::total_cmp);
    let steps = heights.windows(2).filter(|pair| pair[1] - pair[0] > 1e-6);
    let cuts = steps.flat_map(|pair| {
        let y = f64::midpoint(pair[0], pair[1]);
        let sides = points.iter().zip(points.iter().cycle().skip(1));
        let crossed = sides.filter(|(a, b)| (a.y > y) != (b.y > y));
        let mut xs: Vec<f64> = crossed
            .map(|(a, b)| (b.x - a.x) * (y - a.y) / (b.y - a.y) + a.x)
            .collect();
        xs.sort_by(f64::total_cmp);
        let cuts = xs
            .chunks_exact(2)
            .map(|x| (x[1] - x[0], y, f64::midpoint(x[0], x[1])));
        cuts.collect::<Vec<_>>()
    });
    cuts.max_by(|p, q| p.0.total_cmp(&q.0).then(q.1.total_cmp(&p.1)))
        .map(|(_, y, x)| Coord { x, y })
}

/// True when a point lies inside a polygon.
pub(in crate::plan) fn contains(points: &[Coord<f64>], p: Coord<f64>) -> bool {
    let mut inside = false;
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
    }
    inside
}
