//! Outside walls that do not close: the shortest lines that would close them, each shown as a question.
//!
//! ```text
//!   ━━━━━━━━┓ a        candidates: from a loose end to another one, or straight on to a wall;
//!           ·          sets of them are tried by rising length until the walls as thick as the outside
//!   ━━━━━━━━┛ b        lie on or in one ring: a to b
//! ```
//!
//! Nothing is closed by it: it says only where to look.

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::axis::{Axis, covered, distance, joined};
use crate::plan::codes;
use crate::plan::enclosure::faces::rings;
use crate::plan::enclosure::network::network;
use crate::plan::enclosure::outline::{contains, polygon, stretches};
use crate::plan::nearby::{Area, rank};
use crate::plan::walls::runs::{RARE, Run};
use geo::Coord;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Gaps are at most this wide, inches: 40 ft.
const WIDEST: f64 = 480.0;
/// Ends nearer than this are no gap, inches.
const NARROWEST: f64 = 3.0;
/// Of each end so many ways on are tried, and so many sets of them in all.
const WAYS: usize = 4;
const TRIALS: usize = 120;
/// A drawing with more walls than this is shown its nearest loose ends only.
const MOST_RUNS: usize = 400;
/// At most so many gaps are shown at once.
const MOST_GAPS: usize = 4;
/// Walls are as thick as the outside where they are as thick within this, inches.
const ALIKE: f64 = 0.25;
/// The outside's thickness is the greatest of at least this share of all wall.
const SHARE: f64 = 0.15;
/// Walls close where at least this share of those as thick as the outside lies on or in one ring.
const CLOSED: f64 = 0.97;
/// A gap that ends at a thin wall counts as so many times as long: the outside is likelier to be open.
const THIN: f64 = 3.0;

/// A line that may be missing.
#[derive(Clone, Copy)]
struct Way {
    from: Coord<f64>,
    to: Coord<f64>,
    /// Numbers of the loose ends it takes; the second where it goes to another one.
    ends: [Option<usize>; 2],
    cost: f64,
}

/// A loose end of a run.
struct End {
    run: usize,
    at: Coord<f64>,
    /// The run's direction, outwards.
    out: Coord<f64>,
    is_thick: bool,
}

/// The faults of an outline that does not close: one for each line of the shortest set that closes it, else for the two loose ends
/// nearest each other.
///
/// - `is_near`: runs of this drawing on the sheet; `is_asked`: those of them that are open.
pub(in crate::plan) fn ask_about_gap(
    it: &Traced<'_>,
    storey: &str,
    is_near: &dyn Fn(usize) -> bool,
    is_asked: &dyn Fn(usize) -> bool,
) -> Vec<Finding> {
    let own: Vec<usize> = (0..it.runs.len())
        .filter(|&run| is_near(run) && !it.network.stops[run].is_empty())
        .collect();
    let mut gaps = completion(it, &own);
    if gaps.is_empty() {
        gaps.extend(nearest(it, is_asked));
    }
    let place = || Where {
        storey: Some(storey.to_owned()),
        file: Some(it.drawing.file.clone()),
        ..Where::default()
    };
    let fault = |place: Where, message| {
        let said = place.at.map_or_else(String::new, |[x, y]| format!(
            ", or write in job.toml: [[correction]] at = [{x:.1}, {y:.1}] is = \"wall\", or at a point in line with a wall \"door\", \"window\", \"opening\" or \"garage_door\", with width where it does not fill the gap"
        ));
        let hint = format!("draw the missing wall or opening there{said}");
        Finding::fault(codes::NO_OUTLINE, place, message, hint)
    };
    if gaps.is_empty() {
        let asked = own.iter().copied().filter(|run| is_asked(*run));
        let Some((side, at)) = barest_side(it, &asked.collect::<Vec<_>>()) else {
            return vec![fault(place(), "the outside walls do not close".to_owned())];
        };
        let at = at + it.lines.origin;
        let message = format!(
            "the outside walls do not close, and no two of their ends lie so that a wall between would close them: least wall is drawn along the {side}"
        );
        return vec![fault(place().with_at(at.x, at.y), message)];
    }
    let n_gaps = gaps.len();
    let all: f64 = gaps.iter().map(|(p, q)| distance(*p, *q)).sum();
    let shown = gaps.into_iter().map(|(p, q)| {
        let far = distance(p, q);
        let (p, q) = (p + it.lines.origin, q + it.lines.origin);
        let middle = (p + q) / 2.0;
        let place = place()
            .with_at(middle.x, middle.y)
            .with_between([p.x, p.y], [q.x, q.y]);
        let mut message = format!(
            "the outside walls do not close: a gap of {far:.1} in from ({:.1}, {:.1}) to ({:.1}, {:.1})",
            p.x, p.y, q.x, q.y
        );
        if n_gaps > 1 {
            message += &format!("; with this and the others, {n_gaps} of {all:.1} in together, they would");
        }
        fault(place, message)
    });
    shown.collect()
}

/// The side of what some walls cover along which the least of them is drawn, and its middle.
fn barest_side(it: &Traced<'_>, own: &[usize]) -> Option<(&'static str, Coord<f64>)> {
    let ends = |run: usize| {
        let run = &it.runs[run];
        [run.u0, run.u1].map(|u| run.axis.point(u, 0.0))
    };
    let all: Vec<Coord<f64>> = own.iter().flat_map(|run| ends(*run)).collect();
    let area = Area::around(&all, 0.0)?;
    let (low, high) = (area.low, area.high);
    let corner = |x: f64, y: f64| Coord { x, y };
    let sides = [
        ("left", corner(low.x, low.y), corner(low.x, high.y)),
        ("right", corner(high.x, low.y), corner(high.x, high.y)),
        ("bottom", corner(low.x, low.y), corner(high.x, low.y)),
        ("top", corner(low.x, high.y), corner(high.x, high.y)),
    ];
    // A quarter of the way inside a wall may stand back, as an L does.
    let barest = sides.into_iter().filter_map(|(name, a, b)| {
        let axis = Axis::through(a, b)?;
        let deep = match name {
            "left" | "right" => high.x - low.x,
            _ => high.y - low.y,
        };
        let cover = own.iter().filter_map(|run| {
            let [p, q] = ends(*run);
            let is_along = [p, q].iter().all(|it| axis.d(*it).abs() <= deep / 4.0);
            let (s, t) = (axis.s(p), axis.s(q));
            is_along.then_some((s.min(t), s.max(t)))
        });
        let long = distance(a, b);
        let share = covered(&joined(cover.collect(), 1.0), 0.0, long) / long;
        Some((share, name, (a + b) / 2.0))
    });
    let barest = barest.min_by(|p, q| p.0.total_cmp(&q.0));
    barest.map(|it| (it.1, it.2))
}

/// The two loose ends nearest each other.
fn nearest(it: &Traced<'_>, is_asked: &dyn Fn(usize) -> bool) -> Option<(Coord<f64>, Coord<f64>)> {
    let own = (0..it.runs.len()).filter(|run| is_asked(*run));
    let own: Vec<usize> = own
        .filter(|run| !it.network.stops[*run].is_empty())
        .collect();
    let ends = loose(it, &own, f64::INFINITY);
    let mut best: Option<(f64, Coord<f64>, Coord<f64>)> = None;
    for (i, p) in ends.iter().enumerate() {
        for q in &ends[i + 1..] {
            let far = distance(p.at, q.at);
            if far > 12.0 && best.is_none_or(|(d, _, _)| far < d) {
                best = Some((far, p.at, q.at));
            }
        }
    }
    best.map(|(_, p, q)| (p, q))
}

/// The loose ends of runs.
///
/// - `thick`: walls at least so thick are as thick as the outside.
fn loose(it: &Traced<'_>, own: &[usize], thick: f64) -> Vec<End> {
    let mut ends = Vec::new();
    for &run in own {
        let body = &it.runs[run];
        for (side, u, sign) in [(0, body.u0, -1.0), (1, body.u1, 1.0)] {
            if it.network.free[run][side] {
                ends.push(End {
                    run,
                    at: body.axis.point(u, 0.0),
                    out: body.axis.along * sign,
                    is_thick: body.thickness >= thick,
                });
            }
        }
    }
    ends
}

/// The shortest lines with which the walls as thick as the outside lie on or in one ring; none where no few do.
fn completion(it: &Traced<'_>, own: &[usize]) -> Vec<(Coord<f64>, Coord<f64>)> {
    if own.len() > MOST_RUNS {
        return Vec::new();
    }
    let Some(thick) = outside_thickness(it, own) else {
        return Vec::new();
    };
    let ends = loose(it, own, thick);
    let ways = ways(it, own, &ends);
    // Sets of ways by rising sum: each is followed by the one with the next way more, and by the one with its last way changed.
    let mut open = BinaryHeap::new();
    if let Some(first) = ways.first() {
        open.push(Reverse((rank(first.cost), vec![0_usize])));
    }
    let cost = |set: &[usize]| rank(set.iter().map(|way| ways[*way].cost).sum());
    let mut trials = 0;
    while let Some(Reverse((_, set))) = open.pop() {
        let Some(last) = set.last().copied() else {
            continue;
        };
        if last + 1 < ways.len() {
            let mut changed = set.clone();
            changed.pop();
            changed.push(last + 1);
            open.push(Reverse((cost(&changed), changed)));
            if set.len() < MOST_GAPS {
                let mut more = set.clone();
                more.push(last + 1);
                open.push(Reverse((cost(&more), more)));
            }
        }
        let mut taken: Vec<usize> = set
            .iter()
            .flat_map(|way| ways[*way].ends)
            .flatten()
            .collect();
        let n_taken = taken.len();
        taken.sort_unstable();
        taken.dedup();
        if taken.len() < n_taken {
            continue;
        }
        let lines: Vec<Way> = set.iter().map(|way| ways[*way]).collect();
        if close(it, own, &lines, &ends, thick) {
            return lines.iter().map(|way| (way.from, way.to)).collect();
        }
        trials += 1;
        if trials >= TRIALS {
            break;
        }
    }
    Vec::new()
}

/// The greatest thickness that enough of the walls have.
pub(in crate::plan) fn outside_thickness(it: &Traced<'_>, own: &[usize]) -> Option<f64> {
    let length = |run: &Run| run.u1 - run.u0;
    let all: f64 = own.iter().map(|run| length(&it.runs[*run])).sum();
    let common = own.iter().map(|run| &it.runs[*run]).filter(|run| {
        let alike = own
            .iter()
            .map(|other| &it.runs[*other])
            .filter(|other| (other.thickness - run.thickness).abs() <= ALIKE);
        run.support >= RARE && alike.map(length).sum::<f64>() >= SHARE * all
    });
    let thickest = common.map(|run| run.thickness).reduce(f64::max)?;
    Some(thickest - 2.0 * ALIKE)
}

/// What may be missing at each loose end, the cheapest first.
fn ways(it: &Traced<'_>, own: &[usize], ends: &[End]) -> Vec<Way> {
    let mut all: Vec<Way> = Vec::new();
    for (i, end) in ends.iter().enumerate() {
        let factor = |is_thick: bool| if is_thick { 1.0 } else { THIN };
        let to_ends = ends
            .iter()
            .enumerate()
            .filter(|(j, other)| *j != i && other.run != end.run);
        let to_ends = to_ends.map(|(j, other)| Way {
            from: end.at,
            to: other.at,
            ends: [Some(i), Some(j)],
            cost: distance(end.at, other.at) * factor(end.is_thick) * factor(other.is_thick),
        });
        let ahead = Axis {
            origin: end.at,
            along: end.out,
        };
        let to_walls = own.iter().filter(|run| **run != end.run).filter_map(|run| {
            let other = &it.runs[*run];
            let u = ahead.meets(&other.axis)?;
            let to = ahead.point(u, 0.0);
            let v = other.axis.s(to);
            (u > 0.0 && v >= other.u0 && v <= other.u1).then(|| Way {
                from: end.at,
                to,
                ends: [Some(i), None],
                cost: u * factor(end.is_thick),
            })
        });
        let mut list: Vec<Way> = to_ends.chain(to_walls).collect();
        list.retain(|way| (NARROWEST..=WIDEST).contains(&distance(way.from, way.to)));
        list.sort_by(|p, q| p.cost.total_cmp(&q.cost));
        // From one end to another and back is one way.
        let known = all.len();
        list.truncate(WAYS);
        for way in list {
            let back = [way.ends[1], way.ends[0]];
            if !all[..known]
                .iter()
                .any(|it| it.ends[1].is_some() && it.ends == back)
            {
                all.push(way);
            }
        }
    }
    all.sort_by(|p, q| p.cost.total_cmp(&q.cost));
    all
}

/// True when the walls as thick as the outside lie on or in one ring once these lines are walls too.
fn close(it: &Traced<'_>, own: &[usize], lines: &[Way], ends: &[End], thick: f64) -> bool {
    let mut runs: Vec<Run> = own.iter().map(|run| it.runs[*run].clone()).collect();
    for way in lines {
        let Some(axis) = Axis::through(way.from, way.to) else {
            return false;
        };
        let Some(end) = way.ends[0].map(|end| &it.runs[ends[end].run]) else {
            return false;
        };
        let long = distance(way.from, way.to);
        runs.push(Run {
            axis,
            u0: 0.0,
            u1: long,
            longest: long,
            capped: [false, false],
            cells: Vec::new(),
            curve: None,
            ..end.clone()
        });
    }
    let network = network(&runs);
    let outlines = rings(&network);
    let outer = outlines.iter().filter(|ring| ring.area < 0.0);
    let Some(outer) = outer.min_by(|p, q| p.area.total_cmp(&q.area)) else {
        return false;
    };
    let outline = polygon(&runs, &stretches(&network, &outer.sides), 1.0);
    let (mut all, mut inside) = (0.0, 0.0);
    for (run, stops) in runs.iter().zip(&network.stops).take(own.len()) {
        if run.thickness < thick {
            continue;
        }
        for pair in stops.windows(2) {
            let middle = run.axis.point(f64::midpoint(pair[0].0, pair[1].0), 0.0);
            all += pair[1].0 - pair[0].0;
            if contains(&outline, middle) {
                inside += pair[1].0 - pair[0].0;
            }
        }
    }
    inside >= CLOSED * all && all > 0.0
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::recovered;

    /// The gaps shown of a house whose left and right walls are open between two heights, with partitions whose ends stand nearer
    /// each other than those.
    fn shown(left: [f64; 2], right: [f64; 2]) -> Vec<[f64; 3]> {
        let mut lines = Vec::new();
        for (y, from, to) in [
            (0.0, 0.0, 480.0),
            (6.0, 6.0, 474.0),
            (300.0, 0.0, 480.0),
            (294.0, 6.0, 474.0),
        ] {
            lines.push([from, y, to, y]);
        }
        for (outer, inner, gap) in [(0.0, 6.0, left), (480.0, 474.0, right)] {
            for (x, low, high) in [(outer, 0.0, 300.0), (inner, 6.0, 294.0)] {
                lines.extend([[x, low, x, gap[0]], [x, gap[1], x, high]]);
            }
        }
        for (x, low, high) in [(300.0, 6.0, 120.0), (330.0, 125.0, 294.0)] {
            lines.extend([[x, low, x, high], [x + 4.0, low, x + 4.0, high]]);
        }
        for x in [100.0, 136.0] {
            lines.push([x, 0.0, x, 6.0]);
        }
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let found = recovered(&lines).findings;
        let gaps = found.iter().filter(|it| it.code == codes::NO_OUTLINE);
        let mut gaps: Vec<[f64; 3]> = gaps
            .filter_map(|it| {
                let [x, y] = it.place.at?;
                let [p, q] = it.place.between?;
                Some([x, y, (p[1] - q[1]).abs()])
            })
            .collect();
        gaps.sort_by(|p, q| p[0].total_cmp(&q[0]));
        gaps
    }

    #[test]
    fn the_gap_in_the_outside_is_shown_not_the_nearest_ends() {
        assert_eq!(
            shown([150.0, 150.0], [100.0, 160.0]),
            [[477.0, 130.0, 60.0]]
        );
    }

    #[test]
    fn every_gap_that_must_close_is_shown() {
        let both = [[3.0, 160.0, 120.0], [477.0, 130.0, 60.0]];
        assert_eq!(shown([100.0, 220.0], [100.0, 160.0]), both);
    }
}
