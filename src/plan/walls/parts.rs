//! Walls and openings as the plan hands them on, made from what was traced.
//!
//! ```text
//!   Part { run, from, to } ──► Wall        Judged { u0, u1, kind } ──► Opening, along its wall
//! ```

use crate::drawing::SourceIndex;
use crate::plan::assemble::{Part, Traced};
use crate::plan::axis::distance;
use crate::plan::enclosure::network::directed;
use crate::plan::walls::openings::Judged;
use crate::plan::walls::runs::Run;
use crate::plan::{Hinge, Opening, OpeningKind, Swing, Wall, WallLayer};

/// The wall that a part of a run is.
pub(in crate::plan) fn wall(it: &Traced<'_>, part: &Part, number: usize) -> Wall {
    let run = &it.runs[part.run];
    let point = |u: f64| run.axis.point(u, 0.0) + it.lines.origin;
    let kind = if part.is_exterior { 'X' } else { 'I' };
    Wall {
        id: format!("{kind}{number}"),
        is_exterior: part.is_exterior,
        start: point(part.from),
        end: point(part.to),
        thickness: run.thickness,
        layers: wall_layers(run, part),
        sources: handles(it, &wall_sources(it, part)),
        confidence: wall_confidence(it, part),
        alternatives: Vec::new(),
    }
}

/// A thickness as common as this, as a share of the commonest, is surely a wall's.
const SURE: f64 = 0.2;
/// A wall this many times as long as it is thick is surely no furniture.
const LONG: f64 = 4.0;

/// How sure a wall is: by how common its thickness is, its length, whether it meets others, and how much better the plan is with
/// it than with what else wants its faces.
fn wall_confidence(it: &Traced<'_>, part: &Part) -> f64 {
    let run = &it.runs[part.run];
    let base = (0.9 + 0.1 * run.support.sqrt()).min(0.999);
    let is_sure = run.support >= SURE
        && (part.to - part.from).abs() >= LONG * run.thickness
        && !it.network.free[part.run].contains(&true);
    // Worth hardly more than what else may stand there, it is as likely as that.
    let by_margin = 1.0 - 0.5 * (1.0 - run.margin).powi(4);
    if run.is_curtain || run.curve.is_some() {
        by_margin.min(0.9)
    } else if part.is_exterior || is_sure {
        base.min(by_margin)
    } else {
        base.min(0.98).min(by_margin)
    }
}

/// A layer bears where it is this many times as thick as every other: sheathing and cladding are thinner than a core.
const CORE: f64 = 1.25;
/// Boards, cladding, plaster, an air gap are no thicker, inches: they bear nothing. Common practice, no source.
const BOARD: f64 = 2.0;

/// Layers as thick to this are the same, inches.
const SAME: f64 = 1.0 / 16.0;

/// True where one layer alone is thicker than boards are: nobody need say that it bears.
pub(in crate::plan) fn bears_clearly(layers: &[WallLayer]) -> bool {
    let thick = |it: &&WallLayer| it.thickness > BOARD;
    layers.iter().filter(thick).count() == 1
}

/// Layers from the outside in: from the right of the walk to its left.
fn wall_layers(run: &Run, part: &Part) -> Vec<WallLayer> {
    if run.layers.is_empty() {
        return Vec::new();
    }
    let half = run.thickness / 2.0;
    let mut cuts: Vec<f64> = run
        .layers
        .iter()
        .map(|d| if part.to >= part.from { *d } else { -*d })
        .collect();
    cuts.extend([-half, half]);
    cuts.sort_by(f64::total_cmp);
    let mut layers: Vec<WallLayer> = cuts
        .windows(2)
        .map(|w| WallLayer {
            thickness: w[1] - w[0],
            is_structural: false,
        })
        .collect();
    let thickest =
        (0..layers.len()).max_by(|&p, &q| layers[p].thickness.total_cmp(&layers[q].thickness));
    if let Some(core) = thickest {
        let is_core = layers
            .iter()
            .enumerate()
            .all(|(i, layer)| i == core || layer.thickness * CORE <= layers[core].thickness);
        layers[core].is_structural = is_core || bears_clearly(&layers);
    }
    layers
}

/// Walls in the same layers: whether those of the second stand in the other order.
pub(in crate::plan) fn same_layers(a: &Wall, b: &Wall) -> Option<bool> {
    let is_same = |p: &WallLayer, q: &WallLayer| (p.thickness - q.thickness).abs() < SAME;
    let (own, other) = (&a.layers, &b.layers);
    if own.len() != other.len() {
        return None;
    }
    let pairs = |turned: bool| {
        own.iter().enumerate().all(|(i, layer)| {
            let at = if turned { other.len() - 1 - i } else { i };
            is_same(layer, &other[at])
        })
    };
    [false, true].into_iter().find(|turned| pairs(*turned))
}

fn wall_sources(it: &Traced<'_>, part: &Part) -> Vec<SourceIndex> {
    let run = &it.runs[part.run];
    let (low, high) = (
        part.from.min(part.to) - run.thickness,
        part.from.max(part.to) + run.thickness,
    );
    let mut list = Vec::new();
    for &rail in &run.rails {
        let rail = &it.rails.list[rail];
        let [from, to] = [low, high].map(|u| rail.axis.s(run.axis.point(u, 0.0)));
        let beside = run.thickness;
        for &(a, b, segment) in rail.pieces_in(from.min(to) - beside, from.max(to) + beside) {
            let (p, q) = (
                run.axis.s(rail.axis.point(a, 0.0)),
                run.axis.s(rail.axis.point(b, 0.0)),
            );
            if it.lines.segments[segment].face >= 0.3 && p.max(q) > low && p.min(q) < high {
                list.push(it.lines.segments[segment].source);
            }
        }
    }
    list
}

/// The opening of a wall.
pub(in crate::plan) fn opening(
    it: &Traced<'_>,
    part: &Part,
    wall: &Wall,
    judged: &Judged,
    number: usize,
) -> Opening {
    let run = &it.runs[part.run];
    let walk = directed(run, part.from, part.to);
    let (p, q) = (
        run.axis.point(judged.u0, 0.0),
        run.axis.point(judged.u1, 0.0),
    );
    let near = walk.s(p).min(walk.s(q));
    let is_forward = part.to >= part.from;
    let callout = judged
        .callout
        .map(|(i, reading)| (&it.place.callouts[i], reading));
    let mut sources = judged.evidence.sources.clone();
    sources.extend(callout.iter().flat_map(|(c, _)| &c.sources));
    // Hinge at the start, opening to the left, width of the leaf: by swings, else by leaves.
    let swings = judged.evidence.swings.iter();
    let mut hung: Vec<(bool, bool, f64)> = swings
        .map(|it_hung| {
            let radius = it.place.arcs[it_hung.arc].radius;
            (it_hung.at_start, it_hung.to_left, radius)
        })
        .collect();
    let leaves = judged.evidence.leaves.iter();
    hung.extend(leaves.map(|leaf| (leaf.at_start, leaf.to_left, leaf.width)));
    let one = if hung.len() == 1 { hung.first() } else { None };
    Opening {
        id: format!("O{number}"),
        wall: wall.id.clone(),
        kind: judged.kind,
        centre: (p + q) / 2.0 + it.lines.origin,
        near,
        width: distance(p, q),
        tag: callout.map(|(c, _)| c.text.clone()),
        height: callout
            .filter(|(c, _)| !c.is_rough)
            .and_then(|(_, reading)| reading.height),
        sill: callout.and_then(|(c, _)| c.sill),
        rough: callout
            .filter(|(c, _)| c.is_rough)
            .and_then(|(_, reading)| Some([reading.width, reading.height?])),
        leaf: hung.first().map(|(_, _, width)| *width),
        hinge: one.map(|(at_start, _, _)| {
            if *at_start == is_forward {
                Hinge::Start
            } else {
                Hinge::End
            }
        }),
        // The inside, and of an interior wall the left, is on the left of the walk.
        swing: hung.first().map(|(_, to_left, _)| {
            if *to_left == is_forward {
                Swing::In
            } else {
                Swing::Out
            }
        }),
        sources: handles(it, &sources),
        confidence: confidence(judged),
        ..Opening::default()
    }
}

fn confidence(judged: &Judged) -> f64 {
    let base: f64 = match (judged.kind, judged.is_bare(), judged.has_jambs) {
        (_, _, false) => 0.8,
        (OpeningKind::Opening, true, _) => 0.7,
        (_, true, _) => 0.85,
        _ => 0.985,
    };
    if judged.callout.is_some() {
        (base + 0.01).min(0.995)
    } else {
        base
    }
}

/// Handles of sources, sorted, each once.
pub(in crate::plan) fn handles(it: &Traced<'_>, sources: &[SourceIndex]) -> Vec<String> {
    let mut handles: Vec<&String> = sources
        .iter()
        .filter_map(|index| it.drawing.sources.get(index.0 as usize))
        .map(|source| &source.handle)
        .collect();
    handles.sort_unstable();
    handles.dedup();
    handles.into_iter().cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layered(thick: &[f64]) -> Wall {
        let layer = |thickness: &f64| WallLayer {
            thickness: *thickness,
            is_structural: false,
        };
        Wall {
            layers: thick.iter().map(layer).collect(),
            ..Wall::default()
        }
    }

    #[test]
    fn one_layer_thicker_than_boards_bears() {
        for (thick, expected) in [
            (&[1.0, 5.5, 0.5][..], true),
            (&[3.625, 1.0, 5.625], false),
            (&[0.5, 0.75], false),
        ] {
            assert_eq!(bears_clearly(&layered(thick).layers), expected, "{thick:?}");
        }
    }

    #[test]
    fn the_same_layers_are_known_in_either_order() {
        let wall = layered(&[1.0, 5.5, 0.5]);
        assert_eq!(same_layers(&wall, &layered(&[1.02, 5.5, 0.5])), Some(false));
        assert_eq!(same_layers(&wall, &layered(&[0.5, 5.5, 1.0])), Some(true));
        assert_eq!(same_layers(&wall, &layered(&[1.2, 5.5, 0.5])), None);
        assert_eq!(same_layers(&wall, &layered(&[1.0, 5.5])), None);
    }
}
