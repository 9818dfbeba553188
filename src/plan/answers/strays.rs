//! Sizes that found no opening of their width: one may be missing on the drawing.
//!
//! ```text
//!   ═══════════════════     a wall with nothing in it
//!          4040             up to 4 ft off: asked, where no other opening is near that it could belong to
//! ```
//!
//! Packed digits are surely an opening's. Two lengths may be the size of a room, a tub or a landing: they are asked where no opening is
//! near at all, and from inside close to the wall only.

use crate::plan::assemble::Traced;
use crate::plan::axis::Axis;
use crate::plan::callouts::Callout;
use crate::plan::enclosure::outline::contains;
use crate::plan::lines::symbols::{BESIDE, Place};
use crate::plan::walls::openings::{Judged, nearness};
use crate::plan::walls::runs::Run;
use crate::plan::{Storey, Wall};
use geo::Coord;

/// A size on the plan that found no opening of its width, with the nearest opening if one is near.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Stray {
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
pub(in crate::plan) fn strays(
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
pub(in crate::plan) fn could_be_of_another(
    it: &Traced<'_>,
    storey: &Storey,
    callout: &Callout,
) -> bool {
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
        (false, true) => INSIDE,
        _ => BESIDE,
    };
    if !wall.is_exterior || *far > reach {
        return true;
    }
    storey.openings.iter().any(|opening| {
        let d = opening.centre - at;
        let is_untold = opening.tag.is_none();
        let mut readings = callout.readings.iter();
        let fits = readings.any(|it| (it.width - opening.width).abs() < 3.1);
        (is_untold || fits || !callout.is_packed) && d.x.hypot(d.y) < opening.width / 2.0 + BESIDE
    })
}

/// How far a point lies from the nearer face of a wall; `None` beyond its ends.
fn off(wall: &Wall, p: Coord<f64>) -> Option<f64> {
    let axis = Axis::through(wall.start, wall.end)?;
    let long = axis.s(wall.end);
    let s = axis.s(p);
    (s > 0.0 && s < long).then(|| (axis.d(p).abs() - wall.thickness / 2.0).max(0.0))
}

#[cfg(test)]
mod tests {
    use crate::plan::codes::CALL_OUT_ALONE;
    use crate::plan::trial::{open_shell, recovered_among};

    /// How often a size beside a house is asked whose one opening, 36 in wide, stands in the lower wall at 100.
    fn asked(size: &str, at: [f64; 2]) -> usize {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let plan = recovered_among(&lines, &[], &[("3050", [108.0, -12.0]), (size, at)]);
        let own = plan.findings.iter();
        own.filter(|it| it.code == CALL_OUT_ALONE).count()
    }

    #[test]
    fn a_size_off_a_solid_outside_wall_is_asked() {
        // Beside the right wall, 12 to 46 in off it; farther, it is a note.
        for x in [372.0, 385.0, 396.0] {
            assert_eq!(asked("4040", [x, 120.0]), 1, "{x}");
            assert_eq!(asked("4'-0\" x 4'-0\"", [x - 30.0, 120.0]), 1, "{x}");
        }
        assert_eq!(asked("4040", [440.0, 120.0]), 0);
        assert_eq!(asked("4040", [300.0, 200.0]), 1);
    }

    #[test]
    fn a_size_that_may_be_another_thing_s_is_not_asked() {
        // Of the opening that is called out already, as a landing before it is, or of a room.
        assert_eq!(asked("3050", [108.0, -40.0]), 0);
        assert_eq!(asked("4'-0\" x 4'-0\"", [100.0, -40.0]), 0);
        assert_eq!(asked("4'-0\" x 4'-0\"", [200.0, 120.0]), 0);
        assert_eq!(asked("5'-0\" x 3'-0\"", [290.0, 120.0]), 0);
    }

    #[test]
    fn a_rough_opening_s_size_goes_to_the_opening_as_that() {
        let told = |size: &str| {
            let mut lines = open_shell(100.0, 136.0);
            lines.push([100.0, 3.0, 136.0, 3.0]);
            let found = recovered_among(&lines, &[], &[(size, [104.0, -12.0])]);
            let opening = found.output.storeys[0].openings[0].clone();
            (opening.rough, opening.height, opening.sill)
        };
        assert_eq!(told("R.O. 38 X 50"), (Some([38.0, 50.0]), None, None));
        assert_eq!(told("3050 SILL 24"), (None, Some(60.0), Some(24.0)));
    }
}
