//! Walls between rooms that end a few inches short of another wall, and walls round a place that nothing opens into.
//!
//! ```text
//!   ━━━━━━━━━━┓
//!             ┃           ┌────────┐
//!             ┗━━━        │ ┌────┐ │     no wall's thickness fits between: the rooms on both sides are one, asked
//!   ──────── ?            │ └────┘ │     as large as a bath or a bed, no door: taken as walls, asked
//!                         └────────┘
//! ```

use crate::drawing::Text;
use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Part, Traced};
use crate::plan::axis::{Axis, distance};
use crate::plan::enclosure::faces::{Ring, Side};
use crate::plan::enclosure::outline::{
    Stretch, contains, doubled_area, point_within, polygon, stretches,
};
use crate::plan::inside::rooms::is_name;
use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::{FURRING, THINNEST};
use crate::plan::walls::runs::Run;
use crate::plan::{Storey, Wall, codes};
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};

/// Nobody passes between a wall's end and another wall that stand nearer than this, inches.
const PASSAGE: f64 = 8.0;
/// And what is nearer than this is drawn to meet it, inches, beyond the drawing's slack.
const MEETS: f64 = 0.5;
/// What is asked within this is asked once, inches.
const SAME: f64 = 96.0;
/// A shorter piece is a post or a bit of casing, inches.
const LEAST: f64 = 18.0;

/// A doubt at each end of an inner wall that stands a little off another wall.
pub(in crate::plan) fn ask_about_loose_ends(
    it: &Traced<'_>,
    (parts, rooms): (&[Part], &[&Ring]),
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    let inner = parts
        .iter()
        .zip(&storey.walls)
        .filter(|it| !it.0.is_exterior);
    let loose: Vec<_> = inner
        .filter(|(part, _)| {
            (part.to - part.from).abs() >= LEAST && it.runs[part.run].thickness >= FURRING
        })
        .flat_map(|(part, wall)| [0, 1].map(|side| (part, wall, side)))
        .filter(|(part, _, side)| it.network.free[part.run][*side] && is_last(it, part, *side))
        .collect();
    if loose.is_empty() {
        return;
    }
    let bodies: Vec<Option<(Axis, [f64; 2])>> =
        (0..it.runs.len()).map(|run| body(it, run)).collect();
    let boxes = (0..).zip(it.runs).filter(|it| bodies[it.0].is_some());
    let tree =
        Nearby::new(boxes.filter_map(|(i, run)| Some((around(&run.corners(), run.thickness)?, i))));
    let near_walls = loose.into_iter().filter_map(|(part, wall, side)| {
        let run = &it.runs[part.run];
        let u = [run.u0, run.u1][side];
        let half = run.thickness / 2.0;
        let ends = [-half, 0.0, half].map(|d| run.axis.point(u, d));
        let near = tree.sorted(&around(&ends, PASSAGE)?).into_iter();
        let gaps = near.filter(|i| *i != part.run).filter_map(|i| {
            let (axis, [low, high]) = bodies[i].as_ref()?;
            let half = it.runs[i].thickness / 2.0;
            let gap = ends.map(|p| {
                let (s, d) = (axis.s(p), axis.d(p).abs());
                (low - s).max(s - high).max(0.0).hypot((d - half).max(0.0))
            });
            Some(gap.into_iter().fold(f64::INFINITY, f64::min))
        });
        let gap = gaps.fold(f64::INFINITY, f64::min);
        let is_off = gap > MEETS + it.lines.slack && gap <= PASSAGE;
        is_off.then_some((part.run, wall, ends[1]))
    });
    let near_walls: Vec<(usize, &Wall, Coord<f64>)> = near_walls.collect();
    let chains = chains(it, rooms, near_walls.iter().map(|it| it.0));
    let beside = rooms_beside(it, rooms, near_walls.iter().map(|it| it.0));
    for (i, (run, wall, end)) in near_walls.iter().enumerate() {
        // Walls that hang together and end off others with both ends go round a place too.
        let mut others = chains.iter().enumerate().filter(|it| it.0 != i);
        let goes_round = !chains[i].is_empty() && others.any(|it| it.1.contains(run));
        if !goes_round && !parts_a_room(it, &beside, *run, *end) {
            continue;
        }
        let at = *end + it.lines.origin;
        // What is asked beside it, a swing in a wall that was not found, is the same fault.
        let others = findings.iter().filter(|said| said.code != codes::LOOSE_END);
        let is_asked = others.filter_map(|said| said.place.at);
        let mut is_asked = is_asked.map(|[x, y]| distance(at, Coord { x, y }));
        if is_asked.any(|off| off < SAME) {
            continue;
        }
        findings.push(Finding::doubt(
            codes::LOOSE_END,
            Where::element(&storey.id, &wall.id)
                .with_at(at.x, at.y)
                .with_sources(wall.sources.iter()),
            "a wall between rooms ends a few inches off another wall and meets none: what lies on both sides of it is taken as one room",
            "draw it up to the wall if it ends there; nothing, if it stands free",
        ));
    }
}

/// For each of some runs the runs that hang together with it and nowhere with the side of a room; none for one at such a side.
fn chains(
    it: &Traced<'_>,
    rooms: &[&Ring],
    runs: impl Iterator<Item = usize>,
) -> Vec<BTreeSet<usize>> {
    let runs: Vec<usize> = runs.collect();
    if runs.is_empty() {
        return Vec::new();
    }
    let sides = rooms.iter().flat_map(|ring| &ring.sides);
    let taken: BTreeSet<usize> = sides.map(|side| first_node(it, side)).collect();
    let mut at: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (run, stops) in it.network.stops.iter().enumerate() {
        for stop in stops {
            at.entry(stop.1).or_default().push(run);
        }
    }
    let chain = |run: usize| {
        let mut chain = BTreeSet::from([run]);
        let mut open = vec![run];
        while let Some(run) = open.pop() {
            for stop in &it.network.stops[run] {
                if taken.contains(&stop.1) {
                    return BTreeSet::new();
                }
                let met = at.get(&stop.1).map_or(&[][..], Vec::as_slice);
                open.extend(met.iter().filter(|other| chain.insert(**other)));
            }
        }
        chain
    };
    runs.into_iter().map(chain).collect()
}

/// What a loose end leaves open to each other is at least this large on both sides, square inches: 8 sq ft, a closet or a bath.
const ROOM: f64 = 8.0 * 144.0;

/// The rooms that have some runs' stops on their edge, by the stop's node: a look at each room for each run took a fifth of a large plan's time.
fn rooms_beside<'a>(
    it: &Traced<'_>,
    rooms: &[&'a Ring],
    runs: impl Iterator<Item = usize>,
) -> BTreeMap<usize, Vec<&'a Ring>> {
    let stops = runs.flat_map(|run| &it.network.stops[run]);
    let mut beside: BTreeMap<usize, Vec<&Ring>> = stops.map(|stop| (stop.1, Vec::new())).collect();
    if beside.is_empty() {
        return beside;
    }
    for ring in rooms {
        for side in &ring.sides {
            if let Some(own) = beside.get_mut(&first_node(it, side)) {
                own.push(ring);
            }
        }
    }
    beside
}

/// The node where a side begins.
fn first_node(it: &Traced<'_>, side: &Side) -> usize {
    it.network.stops[side.run][side.from].1
}

/// True when a run that would go on from its loose end to the nearest side of the room it stands in would make two rooms of it.
fn parts_a_room(
    it: &Traced<'_>,
    beside: &BTreeMap<usize, Vec<&Ring>>,
    run: usize,
    end: Coord<f64>,
) -> bool {
    let stops = &it.network.stops[run];
    let is_own = |node: usize| stops.iter().any(|stop| stop.1 == node);
    let mut rooms = stops.iter().flat_map(|stop| &beside[&stop.1]);
    rooms.any(|ring| {
        let nodes: Vec<usize> = ring.sides.iter().map(|side| first_node(it, side)).collect();
        // The wall stands on the room's edge with its other end, or another wall of its own does.
        let Some(from) = nodes.iter().position(|node| is_own(*node)) else {
            return false;
        };
        let around: Vec<Coord<f64>> = nodes.iter().map(|node| it.network.nodes[*node]).collect();
        if !contains(&around, end) {
            return false;
        }
        let n = around.len();
        let off = |i: usize| {
            Axis::through(around[i], around[(i + 1) % n]).map_or(f64::INFINITY, |axis| {
                let long = distance(around[i], around[(i + 1) % n]);
                let s = axis.s(end).clamp(0.0, long);
                distance(end, axis.point(s, 0.0))
            })
        };
        let Some(to) = (0..n).min_by(|p, q| off(*p).total_cmp(&off(*q))) else {
            return false;
        };
        // Round from where the wall stands to where it would go, and back along it.
        let count = (to + n - from) % n + 1;
        let mut half: Vec<Coord<f64>> = (0..count).map(|k| around[(from + k) % n]).collect();
        half.push(end);
        let area = doubled_area(&half).abs() / 2.0;
        area.min(ring.area - area) >= ROOM
    })
}

/// True when a part goes to that end of its run.
fn is_last(it: &Traced<'_>, part: &Part, side: usize) -> bool {
    let stops = &it.network.stops[part.run];
    let (Some(first), Some(last)) = (stops.first(), stops.last()) else {
        return false;
    };
    let (low, high) = (part.from.min(part.to), part.from.max(part.to));
    [(low - first.0).abs(), (high - last.0).abs()][side] < MEETS
}

/// The body of a run of the plan: it goes on past the corners where it meets others.
fn body(it: &Traced<'_>, run: usize) -> Option<(Axis, [f64; 2])> {
    let stops = &it.network.stops[run];
    let (first, last) = (stops.first()?.0, stops.last()?.0);
    let own = &it.runs[run];
    // Thin partitions bound no rooms.
    if own.thickness < THINNEST {
        return None;
    }
    let on = [0, 1].map(|side| {
        if it.network.free[run][side] {
            0.0
        } else {
            own.thickness / 2.0
        }
    });
    let ends = [own.u0.min(first - on[0]), own.u1.max(last + on[1])];
    Some((own.axis, ends))
}

/// Baths and beds, their walls counted: long and short side, inches. Source: common sizes of both, no source.
const FIXTURES: [[(f64, f64); 2]; 2] = [[(52.0, 76.0), (26.0, 46.0)], [(70.0, 92.0), (34.0, 88.0)]];
/// No fixture takes more, its walls counted, square inches.
const LARGEST: f64 = 92.0 * 88.0;
/// Walls round a fixture are no thicker than this, inches.
const THIN: f64 = 8.0;
/// A place is as rectangular as this, as a share.
const SQUARE: f64 = 0.97;

/// A doubt at each place of the size of a bath or a bed that nothing opens into and that has walls of its own on two sides at least.
pub(in crate::plan) fn ask_about_boxes(
    it: &Traced<'_>,
    rooms: &[&Ring],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    let is_small = |ring: &&&Ring| ring.area <= LARGEST;
    for ring in rooms.iter().filter(is_small) {
        let walk = stretches(it.network, &ring.sides);
        let Some((long, short)) = closed_box(it, &walk) else {
            continue;
        };
        let is_one =
            |[a, b]: &[(f64, f64); 2]| (a.0..=a.1).contains(&long) && (b.0..=b.1).contains(&short);
        let outline = polygon(it.runs, &walk, 1.0);
        let is_in = |text: &Text| contains(&outline, text.middle - it.lines.origin);
        let mut texts = it.drawing.texts.iter();
        if !FIXTURES.iter().any(is_one) || texts.any(|text| is_in(text) && is_name(&text.content)) {
            continue;
        }
        let Some(at) = point_within(&outline).map(|p| p + it.lines.origin) else {
            continue;
        };
        findings.push(Finding::doubt(
            codes::CLOSED_BOX,
            Where {
                storey: Some(storey.id.clone()),
                ..Where::default()
            }
            .with_at(at.x, at.y),
            format!(
                "walls close round a place of {long:.0} by {short:.0} in that nothing opens into: a bath or a bed is drawn so; taken as walls"
            ),
            "say in the job that its walls are none, if it is furniture; nothing, if it is a shaft or a chase",
        ));
    }
}

/// The sides, walls counted, of a box that nothing opens into and that has walls of its own on two sides.
fn closed_box(it: &Traced<'_>, walk: &[Stretch]) -> Option<(f64, f64)> {
    let run = |own: &Stretch| &it.runs[own.run];
    let first = walk.first().filter(|_| (4..=6).contains(&walk.len()))?;
    let ends = |own: &Stretch| (own.from.min(own.to), own.from.max(own.to));
    let is_open = |own: &Stretch| {
        let (low, high) = ends(own);
        let run = run(own);
        let mut cells = run.cells.iter().map(|it| f64::midpoint(it.u0, it.u1));
        run.is_curtain || run.thickness > THIN || cells.any(|u| u > low && u < high)
    };
    if walk.iter().any(is_open) {
        return None;
    }
    let outline = polygon(it.runs, walk, 1.0);
    let axis: &Axis = &run(first).axis;
    let reach = |of: &dyn Fn(Coord<f64>) -> f64| {
        let all = outline.iter().map(|p| of(*p));
        let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |m, v| {
            (m.0.min(v), m.1.max(v))
        });
        high - low
    };
    let mut sides = [reach(&|p| axis.s(p)), reach(&|p| axis.d(p))];
    if doubled_area(&outline) / 2.0 < SQUARE * sides[0] * sides[1] {
        return None;
    }
    // Walls of its own end at its corners.
    let is_own = |own: &&Stretch| {
        let (low, high) = ends(own);
        let it: &Run = run(own);
        it.u0 > low - THIN && it.u1 < high + THIN
    };
    let own: Vec<&Stretch> = walk.iter().filter(is_own).collect();
    for it in &own {
        // A wall along the first axis adds to the other side.
        let across = usize::from(run(it).axis.sine(axis).abs() < 0.5);
        sides[across] += run(it).thickness;
    }
    (own.len() >= 2).then(|| (sides[0].max(sides[1]), sides[0].min(sides[1])))
}

#[cfg(test)]
mod tests {
    use crate::findings::Code;
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered, recovered_among, sides};

    fn house() -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines
    }

    /// Where a code is said.
    fn said(lines: &[[f64; 4]], code: Code) -> Vec<[f64; 2]> {
        let found = recovered(lines).findings;
        let own = found.iter().filter(|it| it.code == code);
        own.filter_map(|it| it.place.at).collect()
    }

    #[test]
    fn a_partition_that_ends_a_little_off_a_wall_is_asked_about() {
        // From the left wall towards the right one, and so far off it.
        let asked = |off: f64| {
            let mut lines = house();
            let end = 354.0 - off;
            for y in [120.0, 124.0] {
                lines.push([6.0, y, end, y]);
            }
            lines.push([end, 120.0, end, 124.0]);
            said(&lines, codes::LOOSE_END)
        };
        assert_eq!(asked(4.0), [[350.0, 122.0]]);
        assert!(asked(0.0).is_empty());
        assert!(asked(36.0).is_empty());
    }

    #[test]
    fn a_bath_of_boxes_within_each_other_is_asked_about() {
        // As thick as the house's walls.
        let boxed = |x: f64, y: f64, wide: f64, high: f64| {
            let mut lines = house();
            lines.extend(sides(x, y, x + wide, y + high));
            lines.extend(sides(x + 6.0, y + 6.0, x + wide - 6.0, y + high - 6.0));
            // In line with lines of something else, it is not known for furniture by standing free.
            for y in [y, y + high] {
                lines.push([x + wide + 20.0, y, x + wide + 60.0, y]);
            }
            lines
        };
        let asked = |x, y, wide, high| said(&boxed(x, y, wide, high), codes::CLOSED_BOX).len();
        assert_eq!(asked(40.0, 100.0, 60.0, 30.0), 1);
        // Against a wall, the sides of the box end where its inner line is: off that wall.
        let against = boxed(6.0, 100.0, 60.0, 30.0);
        assert_eq!(said(&against, codes::LOOSE_END).len(), 2);
        // A shaft is smaller, and one with a name is one.
        assert_eq!(asked(40.0, 100.0, 45.0, 30.0), 0);
        let named = recovered_among(
            &boxed(40.0, 100.0, 60.0, 30.0),
            &[],
            &[("SHAFT", [70.0, 115.0])],
        );
        assert!(!named.findings.iter().any(|it| it.code == codes::CLOSED_BOX));
    }
}
