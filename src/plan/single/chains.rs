//! Lines in line made into chains, over the openings between them.
//!
//! ```text
//!   ──────  ◜  ─────      a swing, a window or nothing at all between two ends: one chain with an opening
//!   ─────┐     ┌────      two corners with nothing drawn between them: two chains
//! ```

use super::super::axis::{Axis, Interval, covered, distance};
use super::super::groups::Groups;
use super::super::lines::rails::{Rails, around};
use super::super::lines::symbols::{Evidence, Place};
use super::super::lines::tiles::is_joint;
use super::super::nearby::Nearby;
use super::super::walls::bonds::{NARROWEST, WIDEST};
use super::super::walls::ends::add_end_openings;
use super::super::walls::runs::{Cell, Run};
use super::marks::{jambs, mark_doors, mark_windows};

/// A line of a wall is at least this long, inches: less is a tick or a part of a symbol.
const LEAST_PIECE: f64 = 3.0;
/// A chain without an opening is at least this long, inches.
const LEAST_CHAIN: f64 = 12.0;
/// Symbols of windows are at most this deep across a line, inches.
pub(super) const SYMBOL: f64 = 14.0;
/// The two sides of a box are at least this far apart, inches: closer, one line is drawn twice.
const LEAST_BOX: f64 = 0.7;
/// Two ends are in line within this, inches, beyond the drawing's slack.
const IN_LINE: f64 = 0.3;
/// Ends closer than this meet, inches, beyond the drawing's slack.
const MEETS: f64 = 1.0;
/// A bare gap between two free ends wider than this is no opening, inches: 12 ft.
const BARE: f64 = 144.0;
/// A chain is taken as thin as this until it is known to be a wall, inches: what is drawn ends at its very line.
const LINE: f64 = 0.5;
/// How common the thickness of such a wall is: assumed, so never sure.
const ASSUMED: f64 = 0.25;

/// A line drawn through: part of a rail.
#[derive(Clone, Copy)]
struct Piece {
    rail: usize,
    u0: f64,
    u1: f64,
}

/// All chains of a drawing.
pub(super) fn chains(rails: &Rails, place: &Place<'_>, slack: f64) -> Vec<Run> {
    let mut pieces: Vec<Piece> = rails
        .list
        .iter()
        .enumerate()
        .flat_map(|(rail, it)| {
            let long = it.face_cover.iter().filter(|(a, b)| b - a >= LEAST_PIECE);
            long.map(move |&(u0, u1)| Piece { rail, u0, u1 })
        })
        .collect();
    let are_none: Vec<bool> = pieces
        .iter()
        .map(|it| is_side_of_box(rails, it, slack) || is_joint(rails, it.rail, (it.u0, it.u1)))
        .collect();
    let mut are_none = are_none.iter();
    pieces.retain(|_| !are_none.next().copied().unwrap_or(false));
    let bridges = bridges(rails, &pieces, place, slack);
    let mut runs = joined(rails, &pieces, &bridges);
    mark_windows(rails, &mut runs, place, slack);
    mark_doors(&mut runs, place, slack);
    drop_symbols(&mut runs, slack);
    runs.retain(|run| !run.cells.is_empty() || run.u1 - run.u0 >= LEAST_CHAIN);
    drop_beside(&mut runs);
    for i in 0..runs.len() {
        runs[i].capped = [runs[i].u0, runs[i].u1].map(|u| {
            let end = runs[i].axis.point(u, 0.0);
            (0..runs.len()).all(|j| j == i || off(&runs[j], end) > MEETS + slack)
        });
    }
    add_end_openings(rails, &mut runs, &[], place, slack);
    runs
}

/// True when a line faces another that begins and ends where it does, closer than any corridor: the two sides of a window's box
/// or of a leaf, the panes of a window.
fn is_side_of_box(rails: &Rails, piece: &Piece, slack: f64) -> bool {
    let own = &rails.list[piece.rail];
    let ends = [own.axis.point(piece.u0, 0.0), own.axis.point(piece.u1, 0.0)];
    rails.near(&ends, SYMBOL).into_iter().any(|i| {
        let other = &rails.list[i];
        let d = other.axis.d(ends[0]).abs();
        if own.axis.sine(&other.axis).abs() > 0.03 || !(LEAST_BOX..=SYMBOL).contains(&d) {
            return false;
        }
        let [p, q] = ends.map(|p| other.axis.s(p));
        let (from, to) = (p.min(q), p.max(q));
        let near = MEETS + slack;
        let fits = |(a, b): &Interval| (a - from).abs() <= near && (b - to).abs() <= near;
        other.cover.iter().any(fits)
    })
}

/// How far a point lies off a run's line.
fn off(run: &Run, p: geo::Coord<f64>) -> f64 {
    let u = run.axis.s(p).clamp(run.u0, run.u1);
    distance(run.axis.point(u, 0.0), p)
}

/// An opening between two pieces in line, from the one's end to the other's.
struct Bridge {
    pieces: [usize; 2],
    from: geo::Coord<f64>,
    to: geo::Coord<f64>,
    evidence: Evidence,
}

fn end_of(rails: &Rails, piece: &Piece, side: usize) -> geo::Coord<f64> {
    let u = if side == 0 { piece.u0 } else { piece.u1 };
    rails.list[piece.rail].axis.point(u, 0.0)
}

fn bridges(rails: &Rails, pieces: &[Piece], place: &Place<'_>, slack: f64) -> Vec<Bridge> {
    let both = |i: usize| [0, 1].map(|side| end_of(rails, &pieces[i], side));
    let tree = Nearby::points((0..pieces.len()).flat_map(both));
    // The nearest end in line beyond each end.
    let next = |i: usize, side: usize| -> Option<(usize, usize, f64)> {
        let own = &rails.list[pieces[i].rail].axis;
        let sign = if side == 0 { -1.0 } else { 1.0 };
        let start = end_of(rails, &pieces[i], side);
        let axis = Axis {
            origin: start,
            along: own.along * sign,
        };
        let area = around(&[start, axis.point(WIDEST, 0.0)], 2.0)?;
        (tree.sorted(&area).into_iter())
            .map(|k| (k / 2, k % 2))
            .filter(|(j, _)| *j != i)
            .filter_map(|(j, other)| {
                let p = end_of(rails, &pieces[j], other);
                let (s, d) = (axis.s(p), axis.d(p).abs());
                let far = axis.s(end_of(rails, &pieces[j], 1 - other));
                let sine = own.sine(&rails.list[pieces[j].rail].axis).abs();
                let in_line = d <= IN_LINE + slack + 0.004 * s && sine < 0.02 + slack / 12.0;
                (in_line && s > 0.0 && far > s).then_some((j, other, s))
            })
            .min_by(|p, q| p.2.total_cmp(&q.2).then(p.0.cmp(&q.0)))
    };
    let mut list = Vec::new();
    for i in 0..pieces.len() {
        for side in 0..2 {
            let Some((j, other, width)) = next(i, side) else {
                continue;
            };
            let is_mutual = next(j, other).is_some_and(|back| back.0 == i && back.1 == side);
            if j < i || !is_mutual || !(NARROWEST..=WIDEST).contains(&width) {
                continue;
            }
            let (from, to) = (
                end_of(rails, &pieces[i], side),
                end_of(rails, &pieces[j], other),
            );
            let Some(axis) = Axis::through(from, to) else {
                continue;
            };
            let evidence = place.look(&axis, width, SYMBOL / 2.0);
            if evidence.is_drawn() || is_bare_gap(rails, pieces, &axis, width, slack) {
                let (a, b) = jambs(rails, &axis, width, &evidence, place);
                list.push(Bridge {
                    pieces: [i, j],
                    from: axis.point(a, 0.0),
                    to: axis.point(b, 0.0),
                    evidence,
                });
            }
        }
    }
    list
}

/// True when nothing meets either end of a gap, and nothing crosses it.
fn is_bare_gap(rails: &Rails, pieces: &[Piece], axis: &Axis, width: f64, slack: f64) -> bool {
    let reach = MEETS + slack;
    let is_met = pieces.iter().any(|piece| {
        let rail = &rails.list[piece.rail];
        if axis.sine(&rail.axis).abs() < 0.2 {
            return false;
        }
        let Some(u) = axis.meets(&rail.axis) else {
            return false;
        };
        let v = rail.axis.s(axis.point(u, 0.0));
        u > -reach && u < width + reach && v > piece.u0 - reach && v < piece.u1 + reach
    });
    width <= BARE && !is_met
}

/// Pieces joined over their bridges.
fn joined(rails: &Rails, pieces: &[Piece], bridges: &[Bridge]) -> Vec<Run> {
    let mut groups = Groups::new(pieces.len());
    for bridge in bridges {
        let [a, b] = bridge.pieces;
        groups.join(a, b);
    }
    let members = groups.members();
    let mut own: Vec<Vec<&Bridge>> = vec![Vec::new(); pieces.len()];
    for bridge in bridges {
        own[groups.least(bridge.pieces[0])].push(bridge);
    }
    members
        .iter()
        .zip(&own)
        .filter_map(|(list, bridges)| chain(rails, pieces, list, bridges))
        .collect()
}

fn chain(rails: &Rails, pieces: &[Piece], list: &[usize], bridges: &[&Bridge]) -> Option<Run> {
    let long = |i: usize| pieces[i].u1 - pieces[i].u0;
    let longest = list
        .iter()
        .copied()
        .reduce(|p, q| if long(q) > long(p) { q } else { p })?;
    let rough = Axis {
        origin: end_of(rails, &pieces[longest], 0),
        ..rails.list[pieces[longest].rail].axis
    };
    // One way round for all: to the right, or straight up.
    let flip = rough.along.x < -1e-9 || (rough.along.x.abs() <= 1e-9 && rough.along.y < 0.0);
    let rough = Axis {
        along: if flip {
            rough.along * -1.0
        } else {
            rough.along
        },
        ..rough
    };
    let ends = list
        .iter()
        .flat_map(|&i| [0, 1].map(|side| (end_of(rails, &pieces[i], side), long(i))));
    let axis = rough.fitted(ends)?;
    let places = list
        .iter()
        .flat_map(|&i| [0, 1].map(|side| axis.s(end_of(rails, &pieces[i], side))));
    let (u0, u1) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
        (low.min(s), high.max(s))
    });
    let mut cells: Vec<Cell> = bridges
        .iter()
        .map(|it| cell(&axis, it.from, it.to, it.evidence.clone()))
        .collect();
    cells.sort_by(|p, q| p.u0.total_cmp(&q.u0));
    let mut own: Vec<usize> = list.iter().map(|&i| pieces[i].rail).collect();
    own.sort_unstable();
    own.dedup();
    Some(Run {
        axis,
        thickness: LINE,
        u0,
        u1,
        cells,
        rails: own,
        layers: Vec::new(),
        support: ASSUMED,
        capped: [false, false],
        n_solids: list.len(),
        longest: long(longest),
        is_curtain: false,
        curve: None,
        margin: 1.0,
    })
}

/// An opening between two points; what was seen from the one to the other is turned the run's way.
pub(super) fn cell(
    axis: &Axis,
    from: geo::Coord<f64>,
    to: geo::Coord<f64>,
    evidence: Evidence,
) -> Cell {
    let (p, q) = (axis.s(from), axis.s(to));
    Cell {
        u0: p.min(q),
        u1: p.max(q),
        evidence: if q < p { evidence.turned() } else { evidence },
        has_jambs: true,
        in_corner: false,
    }
}

/// Drops chains that are part of a symbol: glass along an opening, the ends of a window's box, a leaf without its swing.
fn drop_symbols(runs: &mut Vec<Run>, slack: f64) {
    let near = MEETS + slack;
    let is_part = |run: &Run, host: &Run, cell: &Cell| {
        let ends = [run.u0, run.u1].map(|u| run.axis.point(u, 0.0));
        let is_inside = ends.iter().all(|p| {
            let (s, d) = (host.axis.s(*p), host.axis.d(*p).abs());
            s > cell.u0 - near && s < cell.u1 + near && d < SYMBOL
        });
        let is_leaf = cell.evidence.leaves.iter().any(|leaf| {
            let jamb = host
                .axis
                .point(if leaf.at_start { cell.u0 } else { cell.u1 }, 0.0);
            let hangs = ends.iter().any(|p| distance(*p, jamb) < near);
            hangs && (run.u1 - run.u0 - leaf.width).abs() < near
        });
        is_inside || is_leaf
    };
    let gone: Vec<bool> = runs
        .iter()
        .map(|run| {
            let mut hosts = runs
                .iter()
                .flat_map(|host| host.cells.iter().map(move |c| (host, c)));
            run.cells.is_empty() && hosts.any(|(host, cell)| is_part(run, host, cell))
        })
        .collect();
    let mut gone = gone.iter();
    runs.retain(|_| !gone.next().copied().unwrap_or(false));
}

/// A line without an opening that runs along a longer one this near is a counter, a wardrobe, a tub or a tread, inches.
const BESIDE: f64 = 31.0;

fn drop_beside(runs: &mut Vec<Run>) {
    let has_fellow = |i: usize| {
        let run = &runs[i];
        let long = run.u1 - run.u0;
        runs.iter().enumerate().any(|(j, other)| {
            if j == i || run.axis.sine(&other.axis).abs() > 0.02 {
                return false;
            }
            let ends = [run.u0, run.u1].map(|u| run.axis.point(u, 0.0));
            let d = other
                .axis
                .d(run.axis.point(f64::midpoint(run.u0, run.u1), 0.0))
                .abs();
            let [p, q] = ends.map(|p| other.axis.s(p));
            let cover: [Interval; 1] = [(other.u0, other.u1)];
            let shared = covered(&cover, p.min(q), p.max(q));
            let is_longer = other.u1 - other.u0 > long + 1.0 || !other.cells.is_empty() || j < i;
            d > 0.0 && d <= BESIDE && shared >= 0.9 * long && is_longer
        })
    };
    let gone: Vec<bool> = (0..runs.len())
        .map(|i| runs[i].cells.is_empty() && has_fellow(i))
        .collect();
    let mut gone = gone.iter();
    runs.retain(|_| !gone.next().copied().unwrap_or(false));
}
