//! Walls drawn by one line: sketches, schematics, axes of a model, plans of escape routes.
//!
//! ```text
//!   ───────   ──┬──      chains of lines in line over doors and windows that are drawn ──► network ──► closed?
//!      ◟        │        what closes, has openings and no fellow a wall's thickness aside is walls of an assumed thickness
//! ```
//!
//! Looked at where walls of two faces close no outline, and for a storey beside the one that they close: elsewhere single lines are
//! everything else.

mod chains;
mod marks;
mod storeys;
mod walls;

pub(super) use storeys::{Double, single_storeys};

use super::enclosure::courts::is_open;
use super::enclosure::faces::{Ring, rings};
use super::enclosure::network::{Network, network};
use super::lines::rails::Rails;
use super::lines::symbols::Place;
use super::walls::runs::Run;
use super::{DrawnLine, SingleLines, codes};
use crate::drawing::Drawing;
use crate::findings::{Finding, Place as Where};
use geo::Coord;

/// A storey encloses at least this, square inches: 120 square feet.
const LEAST_STOREY: f64 = 17_280.0;
/// Where walls of two faces run along more than this share of the lines, these are faces, not walls.
const DOUBLED: f64 = 0.4;

/// True when walls with an opening enclose as much as a storey: a sheet's border has none.
pub(super) fn encloses(rings: &[Ring], runs: &[Run]) -> bool {
    rings.iter().any(|ring| {
        let mut sides = ring.sides.iter();
        -ring.area >= LEAST_STOREY && sides.any(|side| !runs[side.run].cells.is_empty())
    })
}

/// The walls that single lines are; `None` where they close no building with openings, or are faces of walls.
///
/// - `double`: the walls of two faces that were found.
pub(super) fn single_walls(
    rails: &Rails,
    double: &[Run],
    (place, drawing): (&Place<'_>, &Drawing),
    how: &SingleLines,
) -> Option<Vec<Run>> {
    let closed = closed(rails, (place, drawing))?;
    let courts = courts(drawing, place.lines.origin);
    let all: Vec<&Run> = closed.runs.iter().collect();
    (!is_doubled(&all, double))
        .then(|| walls::thick(&closed.runs, &closed.network, (&closed.rings, &courts), how))
}

/// Chains of which each hangs together with a closed outline that has an opening.
struct Closed {
    runs: Vec<Run>,
    network: Network,
    rings: Vec<Ring>,
}

fn closed(rails: &Rails, (place, drawing): (&Place<'_>, &Drawing)) -> Option<Closed> {
    let (slack, origin) = (place.lines.slack, place.lines.origin);
    let texts = drawing.texts.iter();
    let names: Vec<Coord<f64>> = texts
        .filter(|text| text.content.chars().any(char::is_alphabetic))
        .map(|text| text.middle - origin)
        .collect();
    let mut runs = chains::chains(rails, place, slack);
    loop {
        let network = network(&runs);
        let rings = rings(&network);
        let is_wall = walls::is_wall(&runs, &network, &rings, LEAST_STOREY);
        if !is_wall.contains(&true) {
            return None;
        }
        if !is_wall.contains(&false) {
            if walls::without_porches(&mut runs, &network, &rings, &names) {
                continue;
            }
            return Some(Closed {
                runs,
                network,
                rings,
            });
        }
        let mut keep = is_wall.into_iter();
        runs.retain(|_| keep.next().unwrap_or(false));
    }
}

/// Where words stand that name a place under the sky.
fn courts(drawing: &Drawing, origin: Coord<f64>) -> Vec<Coord<f64>> {
    let open = drawing.texts.iter().filter(|text| is_open(&text.content));
    open.map(|text| text.middle - origin).collect()
}

/// True when walls of two faces run along so much of chains that these are faces.
fn is_doubled(runs: &[&Run], double: &[Run]) -> bool {
    let solid = runs
        .iter()
        .flat_map(|run| walls::solid_parts(run, &run.axis));
    let all: f64 = solid.map(|(a, b)| b - a).sum();
    let beside: f64 = runs.iter().map(|run| walls::doubled(run, double)).sum();
    beside >= DOUBLED * all
}

/// What is assumed about single lines, once for a plan: a doubt, or a note where the job says it.
///
/// - `network`: of the runs; `origin`: where their axes begin, drawing coordinates.
pub(super) fn say(
    runs: &[Run],
    network: &Network,
    (file, storey): (&str, Option<&str>),
    origin: Coord<f64>,
    how: &SingleLines,
) -> Finding {
    let stands = |i: usize| !network.stops[i].is_empty();
    let long = |i: usize| runs[i].u1 - runs[i].u0;
    let longest = (0..runs.len())
        .filter(|&i| stands(i))
        .max_by(|&p, &q| long(p).total_cmp(&long(q)).then(q.cmp(&p)));
    let mut place = Where {
        storey: storey.map(str::to_owned),
        file: Some(file.to_owned()),
        ..Where::default()
    };
    if let Some(run) = longest.map(|i| &runs[i]) {
        let p = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0) + origin;
        place = place.with_at(p.x, p.y);
    }
    let line = match how.line {
        DrawnLine::Centre => "the centre line",
        DrawnLine::Outside => "the outside face",
        DrawnLine::Inside => "the inside face",
    };
    let message = format!(
        "walls are drawn by one line: {line} of an exterior wall {:.2} in thick, the centre line of an interior one {:.2} in thick",
        how.exterior, how.interior
    );
    if how.is_stated {
        Finding::note(
            codes::SINGLE_LINE,
            place,
            message,
            "nothing: the job says so",
        )
    } else {
        Finding::doubt(
            codes::SINGLE_LINE,
            place,
            message,
            "say in the job what is meant: drawn_line, drawn_thickness and drawn_partition of [wall]; until then this is assumed",
        )
    }
}

#[cfg(test)]
mod tests;
