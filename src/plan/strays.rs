//! Sizes that found no opening of their width: one may be missing on the drawing.
//!
//! ```text
//!   ═══════════════════     a wall with nothing in it
//!          4040             up to 4 ft off: asked, where no other opening is near that it could belong to
//! ```
//!
//! Packed digits are surely an opening's. Two lengths may be the size of a room, a tub or a pad: they are asked close to an outside
//! wall only, and from inside closer still.

use super::assemble::Traced;
use super::axis::Axis;
use super::callouts::Callout;
use super::openings::{Judged, nearness};
use super::outline::contains;
use super::runs::Run;
use super::symbols::{BESIDE, Place};
use super::{Storey, Wall};
use geo::Coord;

/// A size on the plan that found no opening of its width, with the nearest opening if one is near.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stray {
    pub callout: usize,
    pub beside: Option<usize>,
    /// True when it stands off the walls, or may be something else's: it is asked beside an outside wall alone.
    pub is_far: bool,
}

/// A size stands this near a wall's axis that it belongs to for sure, inches.
const NEAR: f64 = BESIDE / 2.0;
/// A size in two lengths inside the building stands this near the face of its wall, inches: a tub's stands farther off.
const INSIDE: f64 = 12.0;

/// Sizes that found no opening of their width.
pub(super) fn strays(
    runs: &[Run],
    place: &Place<'_>,
    list: &[Judged],
    used: &[bool],
) -> Vec<Stray> {
    let mut strays = Vec::new();
    for (i, callout) in place.callouts.iter().enumerate() {
        // A bare number may be anything.
        let is_size = callout.readings.iter().any(|it| it.height.is_some());
        if used[i] || !is_size {
            continue;
        }
        let beside = list
            .iter()
            .enumerate()
            .filter(|(_, judged)| judged.callout.is_none() && callout.is_packed)
            .map(|(k, judged)| (nearness(runs, judged, callout), k))
            .filter(|(far, _)| *far < NEAR)
            .min_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        let is_at_wall = |reach: f64| {
            runs.iter().any(|run| {
                let (s, d) = (run.axis.s(callout.at), run.axis.d(callout.at));
                d.abs() < reach + run.thickness / 2.0 && s > run.u0 && s < run.u1
            })
        };
        let is_near = callout.is_packed
            && runs.iter().any(|run| {
                let (s, d) = (run.axis.s(callout.at), run.axis.d(callout.at));
                d.abs() < NEAR && s > run.u0 && s < run.u1
            });
        if is_near || beside.is_some() || is_at_wall(BESIDE) {
            strays.push(Stray {
                callout: i,
                beside: beside.map(|(_, k)| k),
                is_far: !is_near && beside.is_none(),
            });
        }
    }
    strays
}

/// True when a size off the walls is none of a solid outside wall: another wall is nearer, an opening is near that it could belong
/// to, or it is two lengths that may be something else's.
pub(super) fn could_be_of_another(it: &Traced<'_>, storey: &Storey, callout: &Callout) -> bool {
    let at = callout.at + it.lines.origin;
    let mut walls: Vec<(f64, &Wall)> = storey
        .walls
        .iter()
        .filter_map(|wall| Some((off(wall, at)?, wall)))
        .collect();
    walls.sort_by(|p, q| p.0.total_cmp(&q.0));
    let Some((far, wall)) = walls.first() else {
        return true;
    };
    let is_inside = contains(&storey.outline, at);
    let reach = match (callout.is_packed, is_inside) {
        (true, _) => BESIDE,
        (false, false) => NEAR,
        (false, true) => INSIDE,
    };
    if !wall.is_exterior || *far > reach {
        return true;
    }
    storey.openings.iter().any(|opening| {
        let d = opening.centre - at;
        let is_untold = opening.tag.is_none();
        let mut readings = callout.readings.iter();
        let fits = readings.any(|it| (it.width - opening.width).abs() < 3.1);
        (is_untold || fits) && d.x.hypot(d.y) < opening.width / 2.0 + 1.5 * BESIDE
    })
}

/// How far a point lies from the nearer face of a wall; `None` beyond its ends.
fn off(wall: &Wall, p: Coord<f64>) -> Option<f64> {
    let axis = Axis::through(wall.start, wall.end)?;
    let long = axis.s(wall.end);
    let s = axis.s(p);
    (s > 0.0 && s < long).then(|| (axis.d(p).abs() - wall.thickness / 2.0).max(0.0))
}
