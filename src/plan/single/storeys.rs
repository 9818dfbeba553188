//! A storey drawn by single lines beside one that is drawn by both faces of its walls.
//!
//! ```text
//!   ┏━━━┯━━━┓   ┌───┬───┐
//!   ┃   │   ┃   │   │   │      closed, with openings, on no wall of two faces; a plan by its title, by a door and names
//!   ┗━━━┷━╍━┛   └──╯┴───┘      in it, or by the job: walls of an assumed thickness
//! ```

use super::super::answers::obey::Located;
use super::super::enclosure::faces::Ring;
use super::super::enclosure::network::{Network, network};
use super::super::enclosure::outline::contains;
use super::super::inside::rooms::names;
use super::super::lines::rails::Rails;
use super::super::lines::symbols::Place;
use super::super::nearby::Area;
use super::super::storeys::several::lower_left;
use super::super::storeys::views::{ByTitle, views_by_title};
use super::super::walls::runs::Run;
use super::super::{CorrectionIntent, SingleLines, codes, enclosure::faces};
use super::{LEAST_STOREY, closed, courts, is_doubled, walls};
use crate::drawing::{Drawing, ViewKind, ViewTitle};
use crate::findings::{Finding, Place as Where};
use geo::Coord;
use std::collections::BTreeSet;

/// A plan without a title has at least so many names in it, and a door that hangs.
const NAMES: usize = 2;
/// Radii of swings, inches.
const SWINGS: std::ops::RangeInclusive<f64> = 15.0..=52.0;
/// Another drawing lies farther than this from one, inches: 8 ft.
const BESIDE: f64 = 96.0;
/// What lies within this of a storey of single lines belongs to it, inches: sills, panes, posts.
const ABOUT: f64 = 12.0;

/// What walls of two faces gave.
pub(in crate::plan) struct Double<'a> {
    pub runs: &'a [Run],
    pub network: &'a Network,
    pub rings: &'a [Ring],
}

/// Storeys of single lines.
pub(in crate::plan) struct SingleStoreys {
    /// Their walls.
    pub walls: Vec<Run>,
    /// Where they lie: what else was found there is none of their walls.
    pub areas: Vec<Area>,
    /// The lower left corners of what closes too and has a door that hangs, where nothing says that it is a plan.
    pub left: Vec<Coord<f64>>,
}

/// A closed part of the chains.
struct Part {
    /// Its number in the network.
    own: usize,
    /// The outline of its largest ring.
    outline: Vec<Coord<f64>>,
    area: f64,
    said: ByTitle,
}

/// The storeys of single lines of a drawing whose other walls are `double`.
///
/// - `titles`: of the sheet's views; `met`: for each correction whether it was obeyed in a drawing.
pub(in crate::plan) fn single_storeys(
    rails: &Rails,
    double: &Double<'_>,
    (place, drawing, titles): (&Place<'_>, &Drawing, &[ViewTitle]),
    (located, met): (&[Located<'_>], &mut [bool]),
    how: &SingleLines,
) -> Option<SingleStoreys> {
    let origin = place.lines.origin;
    let said: Vec<(usize, Coord<f64>)> = (located.iter().enumerate())
        .filter(|(_, it)| it.correction.intent == CorrectionIntent::SingleLines)
        .filter(|(_, it)| it.is_drawn_in(&drawing.file))
        .map(|(i, it)| (i, it.at - origin))
        .collect();
    let known: Vec<Vec<Coord<f64>>> = (double.rings.iter())
        .filter(|ring| -ring.area >= LEAST_STOREY)
        .filter(|ring| {
            let mut sides = ring.sides.iter();
            sides.any(|side| !double.runs[side.run].cells.is_empty())
        })
        .map(|ring| corners(double.network, ring))
        .collect();
    let is_known = |p: Coord<f64>| known.iter().any(|own| contains(own, p));
    let words: Vec<Coord<f64>> = names(drawing).map(|p| p - origin).collect();
    let hinges: Vec<Coord<f64>> = (place.arcs.iter())
        .filter(|arc| SWINGS.contains(&arc.radius))
        .map(|arc| arc.centre)
        .collect();
    let n_plans = titles.iter().filter(|it| it.kind == ViewKind::Plan).count();
    let boxes: Vec<Area> = known
        .iter()
        .filter_map(|it| Area::around(it, BESIDE))
        .collect();
    let is_beside = |p: &Coord<f64>| !boxes.iter().any(|it| it.meets(&Area::of(*p, *p)));
    let is_hinted = hinges.iter().any(is_beside);
    if said.is_empty() && n_plans <= known.len() && !is_hinted {
        return None;
    }
    let mut all = closed(rails, (place, drawing))?;
    let part = walls::parts(&all.network);
    let mut parts = closed_parts(&all.network, &all.rings, &part);
    parts.retain(|it| {
        let runs: Vec<&Run> = (all.runs.iter().zip(&part))
            .filter(|own| *own.1 == it.own)
            .map(|own| own.0)
            .collect();
        let holds = |p: &Coord<f64>| contains(&it.outline, *p);
        let overlaps = it.outline.iter().any(|p| is_known(*p)) || known.iter().flatten().any(holds);
        !overlaps && !is_doubled(&runs, double.runs)
    });
    tell(&mut parts, &known, titles, origin);
    let count = |list: &[Coord<f64>], it: &Part| {
        let inside = list.iter().filter(|p| contains(&it.outline, **p));
        inside.count()
    };
    let mut left = Vec::new();
    parts.retain(|it| {
        let mut is_taken = it.said == ByTitle::Plan;
        is_taken |= it.said.is_plan() && count(&words, it) >= NAMES && count(&hinges, it) > 0;
        for (i, _) in said.iter().filter(|own| contains(&it.outline, own.1)) {
            met[*i] = true;
            is_taken = true;
        }
        if !is_taken && it.said.is_plan() && count(&hinges, it) > 0 {
            left.push(lower_left(&it.outline));
        }
        is_taken
    });
    let taken: BTreeSet<usize> = parts.iter().map(|it| it.own).collect();
    let mut keep = part.iter().map(|own| taken.contains(own));
    all.runs.retain(|_| keep.next() == Some(true));
    if all.runs.is_empty() && left.is_empty() {
        return None;
    }
    let own = network(&all.runs);
    let rings = faces::rings(&own);
    let areas = parts
        .iter()
        .filter_map(|it| Area::around(&it.outline, ABOUT));
    Some(SingleStoreys {
        areas: areas.collect(),
        left,
        walls: walls::thick(&all.runs, &own, (&rings, &courts(drawing, origin)), how),
    })
}

impl SingleStoreys {
    /// A doubt at each that is left out.
    pub(in crate::plan) fn ask(&self, file: &str, origin: Coord<f64>) -> Vec<Finding> {
        let ask = |p: &Coord<f64>| {
            let at = *p + origin;
            Finding::doubt(
                codes::OPEN_DRAWING,
                Where::file(file).with_at(at.x, at.y),
                "single lines with doors close beside the plan, and no title and no names say that they are one: left out",
                "if they are a storey, write its title under it, or say so in the job by [[correction]] at a point in it, is = \"single lines\"; else nothing",
            )
        };
        self.left.iter().map(ask).collect()
    }

    /// True for what was found where one of them lies.
    pub(in crate::plan) fn holds(&self, run: &Run) -> bool {
        let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
        let middle = Area::of(middle, middle);
        self.areas.iter().any(|area| area.meets(&middle))
    }
}

fn corners(network: &Network, ring: &Ring) -> Vec<Coord<f64>> {
    let sides = ring.sides.iter();
    sides.map(|side| walls::node(network, side)).collect()
}

/// The closed parts, the largest first.
fn closed_parts(network: &Network, rings: &[Ring], part: &[usize]) -> Vec<Part> {
    let mut list: Vec<Part> = rings
        .iter()
        .filter(|ring| -ring.area >= LEAST_STOREY)
        .filter_map(|ring| {
            Some(Part {
                own: part[ring.sides.first()?.run],
                outline: corners(network, ring),
                area: -ring.area,
                said: ByTitle::Untold,
            })
        })
        .collect();
    list.sort_by(|p, q| q.area.total_cmp(&p.area).then(p.own.cmp(&q.own)));
    let mut seen = BTreeSet::new();
    list.retain(|it| seen.insert(it.own));
    list
}

/// Says what each part is by its title, beside the outlines that are known.
fn tell(parts: &mut [Part], known: &[Vec<Coord<f64>>], titles: &[ViewTitle], origin: Coord<f64>) {
    let laid = |list: &[Coord<f64>]| list.iter().map(|p| *p + origin).collect();
    let outlines: Vec<Vec<Coord<f64>>> = (known.iter().map(|it| laid(it)))
        .chain(parts.iter().map(|it| laid(&it.outline)))
        .collect();
    let kinds = views_by_title(titles, &outlines);
    for (part, said) in parts.iter_mut().zip(kinds.into_iter().skip(known.len())) {
        part.said = said;
    }
}
