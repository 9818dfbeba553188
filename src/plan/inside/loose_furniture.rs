//! Furniture drawn like walls: boxes that stand free in a house, as large as furniture, in line with no wall.
//!
//! ```text
//!   ┏━━━━━━━━━━━━━━━━┓
//!   ┃ ▭     ═══ ═════┫      a shelf, a sofa: no wall;  in line with a wall: it may be one, and is asked about
//!   ┃                ┃
//!   ┗━━━━━━━━━━━━━━━━┛
//! ```
//!
//! It is left out with a note. That a low wall or a divider stands there the job says: `is = "wall"` at a point in it.

use crate::drawing::Drawing;
use crate::findings::{Finding, Place as Where};
use crate::plan::answers::obey::Located;
use crate::plan::enclosure::faces::Ring;
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline::contains;
use crate::plan::enclosure::shells::LEAST_STOREY;
use crate::plan::groups::Groups;
use crate::plan::inside::rooms::names;
use crate::plan::lines::rails::around;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::pieces::bands::FURRING;
use crate::plan::walls::runs::Run;
use crate::plan::{CorrectionIntent, codes};
use geo::Coord;
use std::cell::LazyCell;
use std::collections::BTreeMap;

/// So many walls close round a place.
const RING: usize = 4;
/// Furniture is at most this long in each direction, inches: 8 ft.
const FURNITURE: f64 = 96.0;
/// Its sides are no thicker than this, inches.
const THIN: f64 = 8.0;
/// A wall in line within this and no farther than the other may go on in it, inches.
const IN_LINE: f64 = 1.0;
const ALONG: f64 = 144.0;
/// Parallel within this sine.
const PARALLEL: f64 = 0.02;
/// It stands at least so far off every wall, inches: what leans on one is a counter, or a wall that ends short.
const OFF: f64 = 9.0;

/// Takes out what stands free and is furniture by its shape; a note at each.
pub(in crate::plan) fn leave_furniture(
    runs: &mut Vec<Run>,
    network: &Network,
    rings: &[Ring],
    (drawing, origin): (&Drawing, Coord<f64>),
    (located, met): (&[Located<'_>], &mut [bool]),
) -> Vec<Finding> {
    let outlines: Vec<Vec<Coord<f64>>> = (rings.iter())
        .filter(|ring| -ring.area >= LEAST_STOREY)
        .map(|ring| {
            let sides = ring.sides.iter();
            sides
                .map(|side| network.nodes[network.stops[side.run][side.from].1])
                .collect()
        })
        .collect();
    let mut gone = vec![false; runs.len()];
    let mut findings = Vec::new();
    // Asked for where something may be furniture, which is seldom.
    let words = LazyCell::new(|| names(drawing).map(|p| p - origin).collect::<Vec<_>>());
    let walls = LazyCell::new(|| {
        let walls = runs.iter().enumerate();
        Nearby::new(walls.filter_map(|(i, run)| Some((around(&run.corners(), 0.0)?, i))))
    });
    for list in together(runs, network) {
        let own = || list.iter().map(|&i| &runs[i]);
        let corners: Vec<Coord<f64>> = own().flat_map(Run::corners).collect();
        let is_thin = |run: &Run| (FURRING..=THIN).contains(&run.thickness);
        let is_bare = |run: &Run| run.cells.is_empty() && !run.is_curtain && run.curve.is_none();
        // A ring of walls may be a shaft.
        let is_closed =
            (2..RING).contains(&list.len()) || own().all(|run| run.capped == [true, true]);
        let Some(area) = around(&corners, 0.0).filter(|_| {
            is_closed
                && own().all(|run| is_thin(run) && is_bare(run) && run.u1 - run.u0 <= FURNITURE)
        }) else {
            continue;
        };
        let middle = (area.low + area.high) / 2.0;
        let is_within = || {
            let mut outlines = outlines.iter();
            outlines.any(|it| corners.iter().all(|p| contains(it, *p)))
        };
        let holds = |p: Coord<f64>| area.meets(&Area::of(p, p));
        let is_large = (area.high.x - area.low.x).max(area.high.y - area.low.y) > FURNITURE;
        if is_large
            || stands_by(runs, &walls, &list)
            || !is_within()
            || words.iter().any(|p| holds(*p))
        {
            continue;
        }
        let mut said = located.iter().enumerate().filter(|(_, it)| {
            let is_it = matches!(
                it.correction.intent,
                CorrectionIntent::Wall | CorrectionIntent::Interior
            );
            is_it && it.is_drawn_in(&drawing.file) && holds(it.at - origin)
        });
        if let Some((said, _)) = said.next() {
            met[said] = true;
            continue;
        }
        for i in &list {
            gone[*i] = true;
        }
        let at = middle + origin;
        findings.push(Finding::note(
            codes::CLOSED_BOX,
            Where::file(&drawing.file).with_at(at.x, at.y),
            format!(
                "a box of {:.1} by {:.1} in stands free, meets no wall and is in line with none: taken as furniture",
                area.high.x - area.low.x,
                area.high.y - area.low.y
            ),
            "nothing, if it is furniture; is = \"wall\" at a point in it, if it is a low wall or a divider",
        ));
    }
    let mut gone = gone.into_iter();
    runs.retain(|_| gone.next() != Some(true));
    findings
}

/// The runs that hang together, each list by number.
fn together(runs: &[Run], network: &Network) -> Vec<Vec<usize>> {
    let mut groups = Groups::new(runs.len());
    let mut at: BTreeMap<usize, usize> = BTreeMap::new();
    for (run, stops) in network.stops.iter().enumerate() {
        for stop in stops {
            let first = *at.entry(stop.1).or_insert(run);
            groups.join(first, run);
        }
    }
    groups
        .members()
        .into_iter()
        .filter(|it| !it.is_empty())
        .collect()
}

/// True where another wall is near, or one in line may go on in one of these.
fn stands_by(runs: &[Run], walls: &Nearby, list: &[usize]) -> bool {
    list.iter().map(|&i| &runs[i]).any(|own| {
        let near = around(&own.corners(), OFF);
        let [from, to] = [own.u0, own.u1].map(|u| own.axis.point(u, 0.0));
        let is_beside = |i: usize| {
            let it = &runs[i];
            let meets = near
                .zip(around(&it.corners(), 0.0))
                .is_some_and(|(a, b)| a.meets(&b));
            let is_parallel = own.axis.sine(&it.axis).abs() < PARALLEL;
            let off = it.axis.d(from).abs().max(it.axis.d(to).abs());
            let (p, q) = (it.axis.s(from), it.axis.s(to));
            let apart = (p.min(q) - it.u1).max(it.u0 - p.max(q));
            !list.contains(&i) && (meets || is_parallel && off < IN_LINE && apart < ALONG)
        };
        let reach = around(&own.corners(), ALONG + OFF);
        reach.is_some_and(|area| walls.any(&area, is_beside))
    })
}

#[cfg(test)]
mod tests {
    use crate::findings::Severity;
    use crate::plan::trial::{corrected, open_shell, sides};
    use crate::plan::{CorrectionIntent, codes};

    /// Inner walls, and how it is asked about them, of a house whose partition is 4 1/2 in thick, with boxes in it.
    fn told(boxes: &[[f64; 4]], intent: Option<CorrectionIntent>) -> (usize, Option<Severity>) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend([[250.0, 6.0, 250.0, 234.0], [254.5, 6.0, 254.5, 234.0]]);
        for [x0, y0, x1, y1] in boxes {
            lines.extend(sides(*x0, *y0, *x1, *y1));
        }
        let found = corrected(&lines, &[], ([115.0, 82.0], None), intent);
        let walls = found.output.storeys.iter().flat_map(|it| &it.walls);
        let mut said = found.findings.iter();
        (
            walls.filter(|it| !it.is_exterior).count(),
            said.find(|it| it.code == codes::CLOSED_BOX)
                .map(|it| it.severity),
        )
    }

    #[test]
    fn a_shelf_that_stands_free_is_furniture_and_a_low_wall_where_the_job_says_so() {
        let shelf = [80.0, 80.0, 150.0, 84.5];
        assert_eq!(told(&[shelf], None), (1, Some(Severity::Note)));
        assert_eq!(told(&[shelf], Some(CorrectionIntent::Wall)).0, 2);
        // In line with the stub of a wall it may be one: asked.
        let stub = [190.0, 79.25, 250.0, 85.25];
        assert_eq!(told(&[shelf, stub], None), (3, Some(Severity::Doubt)));
        // Longer than furniture.
        assert_eq!(told(&[[80.0, 80.0, 200.0, 84.5]], None).0, 2);
    }
}
