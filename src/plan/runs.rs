//! Runs of wall: pairs of rails a wall's thickness apart, cut into solid pieces and openings.
//!
//! ```text
//!   ───────┐      ┌────────   ──────────    solid where both faces are drawn and nothing stands between
//!          │  ◠   │               │
//!   ───────┘      └──────── ───┘  └─────    an opening lies between two full-thickness jambs;
//!          opening             junction     a short break without jambs is where another wall meets
//! ```

use super::rails::{Family, Segment};
use crate::drawing::SourceIndex;

/// Walls are at least this thick, inches: less is casing, glazing, a leaf.
const THINNEST: f64 = 3.0;
/// And at most this thick, inches; more is a room.
const THICKEST: f64 = 16.0;
/// Thicknesses within this are one kind of wall, inches.
const SAME_THICKNESS: f64 = 0.15;
/// A solid piece is at least this long, inches.
const LEAST_SOLID: f64 = 1.0;
/// A jamb stands within this of the end of a solid piece, inches.
const AT_JAMB: f64 = 0.6;
/// Share of the thickness a jamb must span.
const FULL_THICKNESS: f64 = 0.9;
/// Openings are at least and at most this wide, inches.
const OPENING: (f64, f64) = (10.0, 260.0);

/// A straight run of wall in its family's axes.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub(super) family: usize,
    pub(super) rails: (usize, usize),
    /// Offsets of the two faces.
    pub(super) v: (f64, f64),
    /// Solid from here …
    pub(super) u0: f64,
    /// … to here, openings and junctions included.
    pub(super) u1: f64,
    pub(super) openings: Vec<Cell>,
    pub(super) sources: Vec<SourceIndex>,
}

impl Run {
    pub(super) fn thickness(&self) -> f64 {
        self.v.1 - self.v.0
    }

    pub(super) fn middle(&self) -> f64 {
        (self.v.0 + self.v.1) / 2.0
    }
}

/// The span of an opening.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cell {
    pub(super) u0: f64,
    pub(super) u1: f64,
}

/// A line across: where, and from which offset to which.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cross {
    pub(super) u: f64,
    pub(super) v0: f64,
    pub(super) v1: f64,
    pub(super) source: SourceIndex,
}

/// Lines across a family, by rising u.
pub(super) fn crosses(family: &Family, segments: &[Segment]) -> Vec<Cross> {
    let mut crosses: Vec<Cross> = segments
        .iter()
        .filter_map(|s| {
            let ((ua, va), (ub, vb)) = (family.local(s.a), family.local(s.b));
            let height = (vb - va).abs();
            let is_across = height > 1.0 && (ub - ua).abs() <= 0.02 * height + 0.12;
            is_across.then(|| Cross {
                u: (ua + ub) / 2.0,
                v0: va.min(vb),
                v1: va.max(vb),
                source: s.source,
            })
        })
        .collect();
    crosses.sort_by(|p, q| p.u.total_cmp(&q.u));
    crosses
}

/// The jamb nearest to `u` within reach, over the full thickness.
fn jamb(crosses: &[Cross], u: f64, v: (f64, f64)) -> Option<Cross> {
    let slack = (1.0 - FULL_THICKNESS) * (v.1 - v.0);
    let from = crosses.partition_point(|c| c.u < u - AT_JAMB);
    crosses[from..]
        .iter()
        .take_while(|c| c.u <= u + AT_JAMB)
        .filter(|c| c.v0 <= v.0 + slack && c.v1 >= v.1 - slack)
        .min_by(|p, q| (p.u - u).abs().total_cmp(&(q.u - u).abs()))
        .copied()
}

/// A solid piece of a pair of rails.
#[derive(Clone, Copy, Debug)]
struct Solid {
    family: usize,
    low: usize,
    high: usize,
    u0: f64,
    u1: f64,
    thickness: f64,
}

/// All runs of all families.
pub(super) fn runs(families: &[Family], crosses: &[Vec<Cross>]) -> Vec<Run> {
    let mut solids = Vec::new();
    for (index, family) in families.iter().enumerate() {
        for low in 0..family.rails.len() {
            for high in low + 1..family.rails.len() {
                let thickness = family.rails[high].v - family.rails[low].v;
                if thickness > THICKEST {
                    break;
                }
                if thickness >= THINNEST {
                    solids.extend(solid_pieces(family, low, high).into_iter().map(|(u0, u1)| {
                        Solid {
                            family: index,
                            low,
                            high,
                            u0,
                            u1,
                            thickness,
                        }
                    }));
                }
            }
        }
    }
    let chosen = resolve(solids);
    let mut runs = Vec::new();
    let mut start = 0;
    for i in 1..=chosen.len() {
        let same = i < chosen.len()
            && (chosen[i].family, chosen[i].low, chosen[i].high)
                == (chosen[start].family, chosen[start].low, chosen[start].high);
        if !same {
            if let Some(group) = chosen.get(start..i)
                && let Some(first) = group.first()
            {
                chain(
                    &families[first.family],
                    &crosses[first.family],
                    group,
                    &mut runs,
                );
            }
            start = i;
        }
    }
    runs
}

/// Where both rails are drawn and no rail between them is.
fn solid_pieces(family: &Family, low: usize, high: usize) -> Vec<(f64, f64)> {
    let mut pieces = Vec::new();
    for a in &family.rails[low].cover {
        for b in &family.rails[high].cover {
            let (u0, u1) = (a.0.max(b.0), a.1.min(b.1));
            if u1 - u0 >= LEAST_SOLID {
                pieces.push((u0, u1));
            }
        }
    }
    for between in &family.rails[low + 1..high] {
        for cover in &between.cover {
            pieces = pieces
                .into_iter()
                .flat_map(|piece| without(piece, *cover))
                .collect();
        }
    }
    pieces.retain(|(u0, u1)| u1 - u0 >= LEAST_SOLID);
    pieces.sort_by(|p, q| p.0.total_cmp(&q.0));
    pieces
}

fn without(piece: (f64, f64), hole: (f64, f64)) -> Vec<(f64, f64)> {
    if hole.1 <= piece.0 || hole.0 >= piece.1 {
        return vec![piece];
    }
    [(piece.0, hole.0), (hole.1, piece.1)]
        .into_iter()
        .filter(|(a, b)| b > a)
        .collect()
}

/// A face has a wall on one side only: pieces of the commonest thicknesses take their faces first.
fn resolve(mut solids: Vec<Solid>) -> Vec<Solid> {
    let mut by_thickness: Vec<(f64, f64)> =
        solids.iter().map(|s| (s.thickness, s.u1 - s.u0)).collect();
    by_thickness.sort_by(|p, q| p.0.total_cmp(&q.0));
    let weight = |thickness: f64| -> f64 {
        let from = by_thickness.partition_point(|(t, _)| *t < thickness - SAME_THICKNESS);
        by_thickness[from..]
            .iter()
            .take_while(|(t, _)| *t <= thickness + SAME_THICKNESS)
            .map(|(_, length)| length)
            .sum()
    };
    let mut ranked: Vec<(f64, Solid)> =
        solids.drain(..).map(|s| (weight(s.thickness), s)).collect();
    ranked.sort_by(|(p, a), (q, b)| {
        q.total_cmp(p)
            .then((b.u1 - b.u0).total_cmp(&(a.u1 - a.u0)))
            .then(a.family.cmp(&b.family))
            .then(a.low.cmp(&b.low))
            .then(a.u0.total_cmp(&b.u0))
    });
    // Faces taken: family, rail, interval.
    let mut taken: std::collections::BTreeMap<(usize, usize), Vec<(f64, f64)>> =
        std::collections::BTreeMap::new();
    let mut chosen: Vec<Solid> = Vec::new();
    for (_, solid) in ranked {
        let mut parts = vec![(solid.u0, solid.u1)];
        for rail in [solid.low, solid.high] {
            for hole in taken.get(&(solid.family, rail)).into_iter().flatten() {
                parts = parts
                    .into_iter()
                    .flat_map(|part| without(part, *hole))
                    .collect();
            }
        }
        // What is left of a piece that lost most of itself was never a wall.
        let left: f64 = parts.iter().map(|(a, b)| b - a).sum();
        if left < 0.6 * (solid.u1 - solid.u0) {
            continue;
        }
        for (u0, u1) in parts.into_iter().filter(|(a, b)| b - a >= LEAST_SOLID) {
            for rail in [solid.low, solid.high] {
                taken
                    .entry((solid.family, rail))
                    .or_default()
                    .push((u0, u1));
            }
            chosen.push(Solid { u0, u1, ..solid });
        }
    }
    chosen.sort_by(|a, b| {
        (a.family, a.low, a.high)
            .cmp(&(b.family, b.low, b.high))
            .then(a.u0.total_cmp(&b.u0))
    });
    chosen
}

/// Joins the solid pieces of one pair of rails over openings and junctions.
fn chain(family: &Family, crosses: &[Cross], solids: &[Solid], runs: &mut Vec<Run>) {
    let mut open: Option<Run> = None;
    for solid in solids {
        let v = (family.rails[solid.low].v, family.rails[solid.high].v);
        if let Some(run) = &mut open {
            let gap = solid.u0 - run.u1;
            let jambs = (jamb(crosses, run.u1, v), jamb(crosses, solid.u0, v));
            let is_opening =
                (OPENING.0..=OPENING.1).contains(&gap) && jambs.0.is_some() && jambs.1.is_some();
            if is_opening || gap <= THICKEST {
                if let (true, (Some(left), Some(right))) = (is_opening, jambs) {
                    run.openings.push(Cell {
                        u0: left.u,
                        u1: right.u,
                    });
                    run.sources.extend([left.source, right.source]);
                }
                run.u1 = solid.u1;
                continue;
            }
        }
        runs.extend(open.replace(Run {
            family: solid.family,
            rails: (solid.low, solid.high),
            v,
            u0: solid.u0,
            u1: solid.u1,
            openings: Vec::new(),
            sources: Vec::new(),
        }));
    }
    runs.extend(open);
    for run in runs.iter_mut() {
        if run.sources.is_empty() || run.family == solids[0].family {
            let (low, high) = (
                &family.rails[run.rails.0.min(family.rails.len() - 1)],
                &family.rails[run.rails.1.min(family.rails.len() - 1)],
            );
            if run.family == solids[0].family && run.rails == (solids[0].low, solids[0].high) {
                run.v = (low.offset(run.u0, run.u1), high.offset(run.u0, run.u1));
                let within = |p: &&super::rails::Piece| p.u1 > run.u0 && p.u0 < run.u1;
                let found: Vec<SourceIndex> = low
                    .pieces
                    .iter()
                    .chain(&high.pieces)
                    .filter(within)
                    .map(|p| p.source)
                    .collect();
                run.sources.extend(found);
                run.sources.sort_unstable();
                run.sources.dedup();
            }
        }
    }
}
