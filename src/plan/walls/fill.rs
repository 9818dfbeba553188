//! Closes gaps between walls where the job says that a wall or an opening stands.
//!
//! ```text
//!   ━━━━━━━   ×   ━━━━━━━      straight on to a wall in line, or to one that lies across
//!   ━━━━━━━━━ × ┓              or both on to the corner where they meet
//!               ┃
//!               ┃
//! ```
//!
//! The gap is the shortest at the point; a point in a wall closes none: what is said there is said of the wall.

use crate::plan::CorrectionIntent;
use crate::plan::answers::obey::Located;
use crate::plan::axis::{Axis, Interval, distance, dot};
use crate::plan::enclosure::network::{Network, network};
use crate::plan::lines::symbols::Evidence;
use crate::plan::walls::runs::{Cell, Run};
use geo::Coord;

/// Gaps are at most this wide, inches: 40 ft.
const WIDEST: f64 = 480.0;
/// How far beside the gap the point may lie, inches.
const BESIDE: f64 = 3.0;
/// Walls are in line when the sine of the angle between them is below this.
const IN_LINE: f64 = 0.03;
/// Walls are one wall where they are as thick and in line within this, inches.
const ONE_WALL: f64 = 0.25;

/// An end of a run.
#[derive(Clone, Copy)]
struct End {
    run: usize,
    side: usize,
    at: Coord<f64>,
    /// The run's direction, outwards.
    out: Coord<f64>,
    is_free: bool,
}

/// How a gap closes.
#[derive(Clone, Copy)]
enum Way {
    /// To an end in line.
    Facing(End, End),
    /// Straight on to a wall that lies across.
    Across(End, usize, f64),
    /// Both on to a corner: how far each goes.
    Corner(End, End, [f64; 2]),
    /// From one end to another, at a slant.
    Slanted(End, End),
}

/// Closes the gaps of one drawing at which the job says that something stands.
///
/// - `met`: for each correction whether it was obeyed in a drawing; `file`: that drawing; `origin`: where the runs' axes begin, drawing coordinates.
pub(in crate::plan) fn close_gaps(
    runs: &mut Vec<Run>,
    located: &[Located<'_>],
    (file, origin): (&str, Coord<f64>),
    met: &mut [bool],
) {
    let all = located.iter().zip(met);
    for (it, is_met) in all.filter(|(it, _)| it.is_drawn_in(file)) {
        let width = match it.correction.intent {
            CorrectionIntent::Wall => None,
            CorrectionIntent::Opening { width, .. } => Some(width),
            _ => continue,
        };
        let point = it.at - origin;
        if runs.iter().any(|run| is_in(run, point)) {
            continue;
        }
        let network = network(runs);
        let ends = ends(runs, &network);
        if let Some(way) = shortest(runs, &network, &ends, point, width.is_none()) {
            close(runs, way, point, width);
            *is_met = true;
        }
    }
}

fn is_in(run: &Run, point: Coord<f64>) -> bool {
    let s = run.axis.s(point);
    s >= run.u0 && s <= run.u1 && run.axis.d(point).abs() <= run.thickness / 2.0 + BESIDE
}

fn ends(runs: &[Run], network: &Network) -> Vec<End> {
    let stays = (0..runs.len()).filter(|run| !network.stops[*run].is_empty());
    let both = stays.flat_map(|run| [(run, 0, -1.0), (run, 1, 1.0)]);
    let ends = both.map(|(run, side, sign)| {
        let body = &runs[run];
        let u = if side == 0 { body.u0 } else { body.u1 };
        End {
            run,
            side,
            at: body.axis.point(u, 0.0),
            out: body.axis.along * sign,
            is_free: network.free[run][side],
        }
    });
    ends.collect()
}

/// The shortest gap at a point: straight on before round a corner, round a corner before at a slant.
fn shortest(
    runs: &[Run],
    network: &Network,
    ends: &[End],
    point: Coord<f64>,
    is_wall: bool,
) -> Option<Way> {
    let mut best: Option<((u8, f64), Way)> = None;
    let mut offer = |class: u8, long: f64, way: Way| {
        let is_better = best
            .is_none_or(|((known, length), _)| class < known || class == known && long < length);
        if long <= WIDEST && is_better {
            best = Some(((class, long), way));
        }
    };
    for (i, end) in ends.iter().enumerate() {
        let ahead = ray(end);
        let s = ahead.s(point);
        let reach = runs[end.run].thickness / 2.0 + BESIDE;
        if s > 0.0 && s <= WIDEST && ahead.d(point).abs() <= reach {
            for other in ends.iter().filter(|it| it.run != end.run) {
                let to = ahead.s(other.at);
                let aside = (runs[end.run].thickness + runs[other.run].thickness) / 2.0;
                let faces =
                    ahead.sine(&ray(other)).abs() < IN_LINE && dot(end.out, other.out) < 0.0;
                if faces && to >= s && ahead.d(other.at).abs() < aside {
                    offer(0, to, Way::Facing(*end, *other));
                }
            }
            for (run, body) in runs.iter().enumerate() {
                let is_other = run != end.run && !network.stops[run].is_empty();
                if let Some(u) = ahead.meets(&body.axis).filter(|u| is_other && *u >= s) {
                    let v = body.axis.s(ahead.point(u, 0.0));
                    if end.is_free && v >= body.u0 && v <= body.u1 {
                        offer(0, u, Way::Across(*end, run, u));
                    }
                }
            }
        }
        for other in ends[i + 1..].iter().filter(|it| it.run != end.run) {
            if !(end.is_free && other.is_free) {
                continue;
            }
            let back = ray(other);
            let meet = ahead.meets(&back).zip(back.meets(&ahead));
            let slant = distance(end.at, other.at);
            if let Some((u, v)) = meet.filter(|(u, v)| *u >= 0.0 && *v >= 0.0) {
                let corner = ahead.point(u, 0.0);
                let on_legs = is_near(point, end.at, corner) || is_near(point, corner, other.at);
                if on_legs || is_wall && is_near(point, end.at, other.at) {
                    offer(1, u + v, Way::Corner(*end, *other, [u, v]));
                }
            } else if is_near(point, end.at, other.at) {
                offer(2, slant, Way::Slanted(*end, *other));
            }
        }
    }
    best.map(|(_, way)| way)
}

/// The line straight on from an end.
const fn ray(end: &End) -> Axis {
    Axis {
        origin: end.at,
        along: end.out,
    }
}

fn is_near(point: Coord<f64>, from: Coord<f64>, to: Coord<f64>) -> bool {
    Axis::through(from, to).is_some_and(|axis| {
        let s = axis.s(point);
        s > 0.0 && s < distance(from, to) && axis.d(point).abs() <= 2.0 * BESIDE
    })
}

/// - `width`: of the opening that stands there, `Some(None)` for one that fills the gap; `None` for a wall.
fn close(runs: &mut Vec<Run>, way: Way, point: Coord<f64>, width: Option<Option<f64>>) {
    let cell = |axis: &Axis, span: Interval| width.map(|width| opening(axis, span, point, width));
    match way {
        Way::Facing(end, other) => {
            let (a, b) = (runs[end.run].clone(), runs[other.run].clone());
            let is_one = (a.thickness - b.thickness).abs() <= ONE_WALL
                && a.axis.d(b.axis.point(b.u0, 0.0)).abs() <= ONE_WALL
                && a.axis.d(b.axis.point(b.u1, 0.0)).abs() <= ONE_WALL
                && a.curve.is_none()
                && b.curve.is_none();
            if is_one {
                let span = span(a.axis.s(end.at), a.axis.s(other.at));
                let mut joined = a.joined(&b);
                joined.cells.extend(cell(&joined.axis, span));
                joined.cells.sort_by(|p, q| p.u0.total_cmp(&q.u0));
                runs[end.run] = joined;
                runs.remove(other.run);
            } else {
                runs.extend(between(&a, end.at, other.at).map(|mut run| {
                    run.cells.extend(cell(&run.axis, (run.u0, run.u1)));
                    run
                }));
            }
        }
        Way::Across(end, run, u) => {
            let sine = ray(&end).sine(&runs[run].axis).abs();
            let face = (u - runs[run].thickness / 2.0 / sine).max(0.0);
            let to = ray(&end).point(face, 0.0);
            lengthen(&mut runs[end.run], end.side, to, cell);
        }
        Way::Corner(end, other, [u, v]) => {
            let corner = ray(&end).point(u, 0.0);
            let on_first = !is_near(point, corner, other.at);
            let inset = |own: &End, far: f64, by: &End| {
                let (half, sine) = (runs[by.run].thickness / 2.0, ray(own).sine(&ray(by)).abs());
                ray(own).point((far - half / sine).max(0.0), 0.0)
            };
            let (to_first, to_other) = (inset(&end, u, &other), inset(&other, v, &end));
            for (own, to, is_here) in [(end, to_first, on_first), (other, to_other, !on_first)] {
                lengthen(&mut runs[own.run], own.side, to, |axis, span| {
                    cell(axis, span).filter(|_| is_here)
                });
            }
        }
        Way::Slanted(end, other) => {
            let slanted = between(&runs[end.run], end.at, other.at);
            runs.extend(slanted.map(|mut run| {
                run.cells.extend(cell(&run.axis, (run.u0, run.u1)));
                run
            }));
        }
    }
}

/// An opening in a gap: about the point, where it does not fill the gap.
fn opening(axis: &Axis, (from, to): Interval, point: Coord<f64>, width: Option<f64>) -> Cell {
    let wide = width.map_or(to - from, |width| width.min(to - from));
    // As wide as the gap, rounding may leave less than nothing beside it.
    let u0 = (axis.s(point) - wide / 2.0).clamp(from, (to - wide).max(from));
    Cell {
        u0,
        u1: u0 + wide,
        // Said, not bare: a wide one would else part the wall.
        evidence: Evidence {
            is_filled: true,
            ..Evidence::default()
        },
        has_jambs: true,
        in_corner: false,
    }
}

fn span(p: f64, q: f64) -> Interval {
    (p.min(q), p.max(q))
}

/// A piece of wall like another one from place to place.
pub(in crate::plan) fn between(like: &Run, from: Coord<f64>, to: Coord<f64>) -> Option<Run> {
    let long = distance(from, to);
    Some(Run {
        axis: Axis::through(from, to)?,
        u0: 0.0,
        u1: long,
        longest: long,
        capped: [false, false],
        cells: Vec::new(),
        curve: None,
        is_curtain: false,
        ..like.clone()
    })
}

/// Takes an end on to a place, with what stands on the way.
fn lengthen(
    run: &mut Run,
    side: usize,
    to: Coord<f64>,
    cell: impl Fn(&Axis, Interval) -> Option<Cell>,
) {
    let u = run.axis.s(to);
    let was = if side == 0 { run.u0 } else { run.u1 };
    run.cells.extend(cell(&run.axis, span(was, u)));
    run.cells.sort_by(|p, q| p.u0.total_cmp(&q.u0));
    run.capped[side] = false;
    if side == 0 {
        run.u0 = u;
    } else {
        run.u1 = u;
    }
}

#[cfg(test)]
mod tests {
    use crate::findings::Outcome;
    use crate::plan::trial::{corrected, exterior_openings, open_shell, shell};
    use crate::plan::{CorrectionIntent, OpeningKind, Plan, codes};

    const DOOR: CorrectionIntent = CorrectionIntent::Opening {
        kind: OpeningKind::Door,
        width: None,
    };

    /// The house of 30 ft by 20 ft without some of its lower right corner.
    fn without_corner() -> Vec<[f64; 4]> {
        let mut lines = shell();
        lines.retain(|l| l[1].max(l[3]) > 7.0 && (l[0] < 353.0 || l[2] < 353.0));
        for (from, to, y) in [(0.0, 300.0, 0.0), (6.0, 300.0, 6.0)] {
            lines.push([from, y, to, y]);
        }
        for (x, high) in [(354.0, 234.0), (360.0, 240.0)] {
            lines.push([x, 60.0, x, high]);
        }
        lines
    }

    /// An open end of a wall in the lower side, with no jambs drawn: its gap is asked about.
    fn gap() -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 300.0);
        lines.retain(|l| (l[0] - l[2]).abs() > 0.1 || l[0] < 7.0 || l[0] > 353.0);
        lines
    }

    fn is_settled(made: &Outcome<Plan>) -> bool {
        let open = [codes::NO_OUTLINE, codes::ORPHAN_CORRECTION];
        made.output.storeys[0].outline.len() == 4
            && !made.findings.iter().any(|it| open.contains(&it.code))
    }

    #[test]
    fn a_gap_of_the_outline_is_closed_by_what_the_job_says_stands_there() {
        let at = [200.0, 3.0];
        let open = corrected(&gap(), &[], (at, None), None);
        assert!(open.findings.iter().any(|it| it.code == codes::NO_OUTLINE));
        let wall = corrected(&gap(), &[], (at, None), Some(CorrectionIntent::Wall));
        assert!(is_settled(&wall) && exterior_openings(&wall.output).is_empty());
        let door = corrected(&gap(), &[], (at, None), Some(DOOR));
        assert!(is_settled(&door));
        assert_eq!(exterior_openings(&door.output), [[200.0, 3.0, 200.0]]);
        assert_eq!(door.output.storeys[0].openings[0].kind, OpeningKind::Door);
        let narrow = CorrectionIntent::Opening {
            kind: OpeningKind::Window,
            width: Some(48.0),
        };
        let window = corrected(&gap(), &[], ([150.0, 3.0], None), Some(narrow));
        assert!(is_settled(&window));
        assert_eq!(exterior_openings(&window.output), [[150.0, 3.0, 48.0]]);
    }

    #[test]
    fn a_missing_corner_is_closed_at_the_point_that_the_question_shows() {
        let lines = without_corner();
        let open = corrected(&lines, &[], ([0.0, 0.0], None), None);
        let asked = open.findings.iter().find(|it| it.code == codes::NO_OUTLINE);
        let at = asked.and_then(|it| it.place.at).unwrap();
        assert!(is_settled(&corrected(
            &lines,
            &[],
            (at, None),
            Some(CorrectionIntent::Wall)
        )));
        // An opening stands in one of the two walls.
        let door = corrected(&lines, &[], ([330.0, 3.0], None), Some(DOOR));
        assert!(is_settled(&door));
        assert_eq!(exterior_openings(&door.output), [[327.0, 3.0, 54.0]]);
    }

    #[test]
    fn what_is_said_away_from_every_wall_closes_nothing() {
        let made = corrected(&gap(), &[], ([200.0, 130.0], None), Some(DOOR));
        let orphan = |it: &crate::findings::Finding| it.code == codes::ORPHAN_CORRECTION;
        assert!(made.findings.iter().any(orphan));
        assert!(made.findings.iter().any(|it| it.code == codes::NO_OUTLINE));
    }
}
