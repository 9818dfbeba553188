//! Sizes and swings that found no opening: one may be missing on the drawing.
//!
//! ```text
//!   ═══════════════════     a wall with nothing in it
//!          4040             up to 4 ft off: asked, where no other opening is near that it could belong to
//! ```
//!
//! Packed digits are surely an opening's. Two lengths may be the size of a room, a tub or a landing: they are asked where no opening is
//! near at all, and from inside close to the wall only.

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::axis::{Axis, covered, distance};
use crate::plan::callouts::{Callout, Reading};
use crate::plan::enclosure::leftovers::is_left_out;
use crate::plan::enclosure::outbuildings::is_of_outbuilding;
use crate::plan::enclosure::outline::contains;
use crate::plan::lines::rails::{Way, around};
use crate::plan::lines::symbols::{Arc, BESIDE, Place};
use crate::plan::nearby::{Area, Nearby};
use crate::plan::walls::openings::{Judged, lone_swings, middle_of, nearness};
use crate::plan::walls::parts::handles;
use crate::plan::walls::runs::Run;
use crate::plan::{Storey, Wall, codes};
use geo::Coord;
use std::cell::LazyCell;
use std::collections::BTreeMap;

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

/// A doorway within this of the outline may be one of its doors, inches.
const AT_EDGE: f64 = 9.0;
/// A swing may hang beyond the end of its wall by less, inches.
const AT_END: f64 = 6.0;
/// Walls go on beside a door within this, inches, and are at most so deep.
const BESIDE_DOOR: f64 = 60.0;
const DEEP: f64 = 15.0;

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
fn could_be_of_another(it: &Traced<'_>, storey: &Storey, callout: &Callout) -> bool {
    let at = callout.at + it.lines.origin;
    let walls = storey.walls.iter();
    let walls = walls.filter_map(|wall| Some((off(wall, at)?, wall)));
    let Some((far, wall)) = walls.min_by(|p, q| p.0.total_cmp(&q.0)) else {
        return true;
    };
    let is_inside = contains(&storey.outline, at);
    let reach = match (callout.is_packed, is_inside) {
        (false, true) => INSIDE,
        _ => BESIDE,
    };
    if !wall.is_exterior || far > reach {
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

/// Doubts about sizes and swings that found no opening.
pub(in crate::plan) fn ask_about_strays(
    it: &Traced<'_>,
    storey: &Storey,
    asked: &[usize],
    findings: &mut Vec<Finding>,
) {
    if storey.outline.is_empty() {
        return;
    }
    let grown = |p: Coord<f64>| {
        let step = 48.0;
        [
            (0.0, 0.0),
            (step, 0.0),
            (-step, 0.0),
            (0.0, step),
            (0.0, -step),
        ]
        .iter()
        .any(|(x, y)| contains(&storey.outline, p + Coord { x: *x, y: *y }))
    };
    // Which opening of the storey each of those judged is.
    let mut own: BTreeMap<usize, &str> = BTreeMap::new();
    for (k, opening) in asked.iter().zip(&storey.openings) {
        own.entry(*k).or_insert(&opening.id);
    }
    for stray in it.strays {
        let callout = &it.place.callouts[stray.callout];
        let at = callout.at + it.lines.origin;
        if !grown(at) {
            continue;
        }
        if stray.is_far && could_be_of_another(it, storey, callout) {
            continue;
        }
        let sources = handles(it, &callout.sources);
        let beside = stray.beside.and_then(|k| Some((k, own.get(&k)?)));
        findings.push(match beside {
            Some((k, id)) => {
                let middle = middle_of(it.runs, &it.openings[k]) + it.lines.origin;
                let drawn = it.openings[k].width();
                let off = |reading: &&Reading| (reading.width - drawn).abs();
                let nearest = callout.readings.iter();
                let nearest = nearest.min_by(|p, q| off(p).total_cmp(&off(q)));
                let says = nearest.map_or_else(
                    || "otherwise".to_owned(),
                    |it| format!("{:.2} in", it.width),
                );
                Finding::doubt(
                    codes::CALL_OUT_WIDTH,
                    Where::element(&storey.id, id)
                        .with_at(middle.x, middle.y)
                        .with_sources(sources),
                    format!(
                        "{id} is drawn {drawn:.2} in wide, and the size {} beside it says {says}",
                        callout.text
                    ),
                    "check which is right; the jambs as drawn are taken",
                )
            }
            None => Finding::doubt(
                codes::CALL_OUT_ALONE,
                Where {
                    storey: Some(storey.id.clone()),
                    ..Where::default()
                }
                .with_at(at.x, at.y)
                .with_sources(sources),
                format!(
                    "the size {} stands beside no opening of that width",
                    callout.text
                ),
                "check whether an opening is missing there; none is made",
            ),
        });
    }
    ask_about_swings(it, storey, &grown, findings);
}

/// Doubts about swings that hang on no opening: beside a wall, or where the outline leaves something out.
fn ask_about_swings(
    it: &Traced<'_>,
    storey: &Storey,
    grown: &dyn Fn(Coord<f64>) -> bool,
    findings: &mut Vec<Finding>,
) {
    let mut asked: Vec<Coord<f64>> = Vec::new();
    let walls = LazyCell::new(|| {
        let walls = it.runs.iter().enumerate();
        let walls = walls.filter(|(i, _)| !it.network.stops[*i].is_empty());
        Nearby::new(walls.filter_map(|(i, run)| {
            let ends = [run.u0 - AT_END, run.u1 + AT_END].map(|u| run.axis.point(u, 0.0));
            Some((around(&ends, run.thickness)?, i))
        }))
    });
    for arc in lone_swings(it.place, it.openings) {
        let arc = &it.place.arcs[arc];
        let hinge = arc.centre + it.lines.origin;
        let near_wall = walls.any(&Area::of(arc.centre, arc.centre), |i| {
            let run = &it.runs[i];
            let (s, d) = (run.axis.s(arc.centre), run.axis.d(arc.centre).abs());
            d < run.thickness && s > run.u0 - AT_END && s < run.u1 + AT_END
        });
        let at = doorway(it, arc) + it.lines.origin;
        let is_beyond = is_left_out(&[storey], at, AT_EDGE);
        let is_own = !is_of_outbuilding(it.beside, at - it.lines.origin);
        if !(near_wall && grown(hinge) || is_beyond && is_own) {
            continue;
        }
        // Two leaves of one door are one question.
        if asked.iter().any(|p| distance(*p, at) < arc.radius) {
            continue;
        }
        asked.push(at);
        findings.push(Finding::doubt(
            codes::SWING_ALONE,
            Where {
                storey: Some(storey.id.clone()),
                ..Where::default()
            }
            .with_at(at.x, at.y)
            .with_sources(handles(it, &[arc.source])),
            "a swing hangs on no opening",
            "check whether a door is missing there; none is made",
        ));
    }
}

/// The middle of the doorway that a swing closes: of its two ends, the one towards which walls go on.
fn doorway(it: &Traced<'_>, arc: &Arc) -> Coord<f64> {
    let out = arc.middle - arc.centre;
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let ends = [half, -half].map(|sine| Coord {
        x: half * out.x - sine * out.y,
        y: sine * out.x + half * out.y,
    });
    let walls = ends.map(|end| {
        let Some(axis) = Axis::through(arc.centre, arc.centre + end) else {
            return 0.0;
        };
        let far = [-BESIDE_DOOR, arc.radius + BESIDE_DOOR].map(|s| axis.point(s, 0.0));
        let is_along = |way: &Way| way.sine_from(&axis).abs() < 0.1;
        let beside = it.rails.near_line(far, DEEP, is_along).into_iter();
        let length = |index: usize| {
            let rail = &it.rails.list[index];
            let cover = rail.along(&rail.face_cover, &axis);
            let own = [
                (-BESIDE_DOOR, -1.0),
                (arc.radius + 1.0, arc.radius + BESIDE_DOOR),
            ];
            let sum = own.map(|(from, to)| covered(&cover, from, to));
            sum[0] + sum[1]
        };
        beside.map(length).sum::<f64>()
    });
    let end = if walls[1] > walls[0] {
        ends[1]
    } else {
        ends[0]
    };
    arc.centre + end / 2.0
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
