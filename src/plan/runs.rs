//! Solid pieces in one line joined into runs, over openings and where other walls meet.
//!
//! ```text
//!   ┌─────┐      ┌──────   ─────────┐        between two neighbours in line:
//!   │     │  ◠   │         │        │        two jambs, or a symbol → opening
//!   └─────┘      └──────┐  └────────┘        another wall in between → the run goes on
//!         opening       junction              neither → two runs
//! ```

use super::axis::{Axis, dot};
use super::bands::THICKEST;
use super::rails::{Rails, around};
use super::solids::Solid;
use super::symbols::{Evidence, Place};
use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

/// The span of an opening along a run.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    pub u0: f64,
    pub u1: f64,
    pub evidence: Evidence,
    /// False when a jamb is missing at an end.
    pub has_jambs: bool,
}

/// A straight run of wall.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Centre line.
    pub axis: Axis,
    pub thickness: f64,
    pub u0: f64,
    pub u1: f64,
    pub cells: Vec<Cell>,
    pub rails: Vec<usize>,
    pub layers: Vec<f64>,
    pub support: f64,
    /// True where a full-thickness line closes the end.
    pub capped: [bool; 2],
}

impl Run {
    /// The four corners of its body.
    pub(super) fn corners(&self) -> [Coord<f64>; 4] {
        let h = self.thickness / 2.0;
        [
            self.axis.point(self.u0, -h),
            self.axis.point(self.u1, -h),
            self.axis.point(self.u1, h),
            self.axis.point(self.u0, h),
        ]
    }
}

/// Openings are at least this wide, inches.
pub(super) const NARROWEST: f64 = 10.0;
/// And at most this wide, inches: a vehicle door of 20 ft.
pub(super) const WIDEST: f64 = 246.0;
/// A break of both faces up to this is a drafting error, inches.
const BREAK: f64 = 3.0;

/// Joins solids into runs.
pub(super) fn runs(rails: &Rails, solids: &[Solid], place: &Place<'_>, slack: f64) -> Vec<Run> {
    let tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>> = RTree::bulk_load(
        solids
            .iter()
            .enumerate()
            .map(|(i, solid)| {
                let (p, q) = (
                    solid.axis.point(solid.u0, 0.0),
                    solid.axis.point(solid.u1, 0.0),
                );
                GeomWithData::new(Rectangle::from_corners([p.x, p.y], [q.x, q.y]), i)
            })
            .collect(),
    );
    let next: Vec<Option<Link>> = (0..solids.len())
        .map(|i| neighbour(&tree, solids, i, true, slack))
        .collect();
    let previous: Vec<Option<Link>> = (0..solids.len())
        .map(|i| neighbour(&tree, solids, i, false, slack))
        .collect();
    let mut bonds: Vec<Bond> = Vec::new();
    for (i, link) in next.iter().enumerate() {
        let Some(link) = link else { continue };
        let back = if link.same_way {
            &previous[link.to]
        } else {
            &next[link.to]
        };
        let is_mutual = back.as_ref().is_some_and(|b| b.to == i);
        if is_mutual && (link.same_way || i < link.to) {
            bonds.extend(bond(
                rails,
                &tree,
                solids,
                (i, true),
                (link.to, !link.same_way),
                place,
                slack,
            ));
        }
    }
    for (i, link) in previous.iter().enumerate() {
        let Some(link) = link else { continue };
        // Backwards neighbours that run the other way have not been seen from the front.
        if !link.same_way && i < link.to && previous[link.to].as_ref().is_some_and(|b| b.to == i) {
            bonds.extend(bond(
                rails,
                &tree,
                solids,
                (i, false),
                (link.to, false),
                place,
                slack,
            ));
        }
    }
    without_frames(chains(solids, &bonds))
}

/// The nearest solid in line beyond an end.
struct Link {
    to: usize,
    gap: f64,
    /// True when it runs the same way.
    same_way: bool,
}

/// Two solids that belong to one run, and what is between them.
struct Bond {
    a: usize,
    b: usize,
    cell: Option<(Coord<f64>, Coord<f64>, Evidence, bool)>,
}

fn neighbour(
    tree: &RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    solids: &[Solid],
    i: usize,
    ahead: bool,
    slack: f64,
) -> Option<Link> {
    let solid = &solids[i];
    let (end, sign) = if ahead {
        (solid.u1, 1.0)
    } else {
        (solid.u0, -1.0)
    };
    let (p, q) = (
        solid.axis.point(end - sign * 0.5, 0.0),
        solid.axis.point(end + sign * WIDEST, 0.0),
    );
    let area = around(&[p, q], 1.0)?;
    let lateral = 0.12 + 1.5 * slack;
    tree.locate_in_envelope_intersecting(&area)
        .map(|it| it.data)
        .filter(|&j| j != i)
        .filter_map(|j| {
            let other = &solids[j];
            let same_way = dot(solid.axis.along, other.axis.along) > 0.0;
            let short = (other.u1 - other.u0).min(solid.u1 - solid.u0).max(1.0);
            if solid.axis.sine(&other.axis).abs() > (0.006 + 2.0 * slack / short).min(0.12)
                || (other.thickness - solid.thickness).abs() > 0.15 + 2.0 * slack
            {
                return None;
            }
            let ends = [other.u0, other.u1].map(|u| solid.axis.s(other.axis.point(u, 0.0)));
            let near = if ahead {
                ends[0].min(ends[1])
            } else {
                -ends[0].max(ends[1])
            };
            let far = if ahead {
                ends[0].max(ends[1])
            } else {
                -ends[0].min(ends[1])
            };
            let gap = near - sign * end;
            let at = if ahead == same_way {
                other.u0
            } else {
                other.u1
            };
            // A skew that both share moves the neighbour aside in proportion to the way there.
            let long = (solid.u1 - solid.u0).max(other.u1 - other.u0).max(1.0);
            let aside = lateral * (1.0 + (gap.max(0.0) / long).min(2.0));
            let d = solid.axis.d(other.axis.point(at, 0.0)).abs();
            let back = other.axis.d(solid.axis.point(end, 0.0)).abs();
            (gap > -1.0 && far > sign * end && gap <= WIDEST && d.min(back) <= aside).then_some(
                Link {
                    to: j,
                    gap,
                    same_way,
                },
            )
        })
        .min_by(|p, q| p.gap.total_cmp(&q.gap).then(p.to.cmp(&q.to)))
}

/// Judges what is between two neighbours in line; `true` means the end of that solid at its `u1`.
fn bond(
    rails: &Rails,
    tree: &RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    solids: &[Solid],
    (i, i_end): (usize, bool),
    (j, j_end): (usize, bool),
    place: &Place<'_>,
    slack: f64,
) -> Option<Bond> {
    let (a, b) = (&solids[i], &solids[j]);
    let jamb_a = a.jambs[usize::from(i_end)];
    let jamb_b = b.jambs[usize::from(j_end)];
    let from = a
        .axis
        .point(jamb_a.unwrap_or(if i_end { a.u1 } else { a.u0 }), 0.0);
    let to = b
        .axis
        .point(jamb_b.unwrap_or(if j_end { b.u1 } else { b.u0 }), 0.0);
    let joined = |cell| Some(Bond { a: i, b: j, cell });
    let Some(axis) = Axis::through(from, to) else {
        return joined(None);
    };
    let width = axis.s(to);
    if width < LEAST_BREAK {
        return joined(None);
    }
    let jambs = jamb_a.is_some() && jamb_b.is_some();
    let crossing = crossed(tree, solids, (i, j), &axis, width, a.thickness);
    if width <= THICKEST * 1.5
        && crossing
        && !(jambs && width >= NARROWEST && place.look(&axis, width, a.thickness).speaks())
    {
        return joined(None);
    }
    let evidence = place.look(&axis, width, a.thickness);
    if width >= NARROWEST - slack && (jambs || evidence.speaks()) && !crossing {
        return joined(Some((from, to, evidence, jambs)));
    }
    if width <= BREAK {
        return joined(None);
    }
    // One face drawn through: a wall meets the other face there.
    let through = [a.rails.0, a.rails.1].iter().any(|&r| {
        let rail = &rails.list[r];
        let (s, t) = (rail.axis.s(from), rail.axis.s(to));
        super::axis::covered(&rail.face_cover, s.min(t), s.max(t)) > 0.95 * width
    });
    if width <= THICKEST * 1.5 && through && !jambs {
        joined(None)
    } else {
        None
    }
}

/// Thicknesses rarer than this, as a share of the commonest, need more to speak for them.
pub(super) const RARE: f64 = 0.06;
/// A run shorter than this many thicknesses is a stub.
const STUB: f64 = 1.5;
/// A frame may stand this far out of its wall, inches.
const FRAME_SLACK: f64 = 1.0;
/// Ends closer than this are one, inches.
const LEAST_BREAK: f64 = 0.02;

/// True when another solid, not in line, stands across the gap.
fn crossed(
    tree: &RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    solids: &[Solid],
    pair: (usize, usize),
    axis: &Axis,
    width: f64,
    thickness: f64,
) -> bool {
    let ends = [axis.point(0.0, 0.0), axis.point(width, 0.0)];
    let Some(area): Option<AABB<[f64; 2]>> = around(&ends, THICKEST) else {
        return false;
    };
    tree.locate_in_envelope_intersecting(&area)
        .map(|it| it.data)
        .any(|k| {
            let other = &solids[k];
            let sine = axis.sine(&other.axis).abs();
            if k == pair.0 || k == pair.1 || sine < 0.3 {
                return false;
            }
            let Some(u) = axis.meets(&other.axis) else {
                return false;
            };
            let v = other.axis.s(axis.point(u, 0.0));
            let reach = thickness / 2.0 + 1.5;
            let half = other.thickness / 2.0 / sine;
            // It fills the gap, reaches the wall, and is more than a post inside it.
            let fills = u - half < 3.0 && u + half > width - 3.0;
            let meets = v > other.u0 - reach && v < other.u1 + reach;
            let goes_beyond = other.u0 < v - reach || other.u1 > v + reach;
            fills && meets && goes_beyond
        })
}

/// Runs that stand inside an opening of a better supported run are its frame.
fn without_frames(runs: Vec<Run>) -> Vec<Run> {
    let cells: Vec<(usize, AABB<[f64; 2]>)> = runs
        .iter()
        .enumerate()
        .flat_map(|(i, run)| {
            run.cells.iter().filter_map(move |cell| {
                let half = run.thickness / 2.0;
                let corners = [
                    run.axis.point(cell.u0, -half),
                    run.axis.point(cell.u1, half),
                    run.axis.point(cell.u0, half),
                    run.axis.point(cell.u1, -half),
                ];
                Some((i, around(&corners, FRAME_SLACK)?))
            })
        })
        .collect();
    let is_frame = |k: usize, run: &Run| {
        cells.iter().any(|(i, area)| {
            *i != k
                && runs[*i].support >= run.support
                && run.corners().iter().all(|p| {
                    let host = &runs[*i];
                    let (s, d) = (host.axis.s(*p), host.axis.d(*p).abs());
                    d <= host.thickness / 2.0 + FRAME_SLACK
                        && host
                            .cells
                            .iter()
                            .any(|cell| s > cell.u0 - FRAME_SLACK && s < cell.u1 + FRAME_SLACK)
                        && area.distance_2(&[p.x, p.y]) <= 0.0
                })
        })
    };
    // A stub of a rare thickness is two faces that happen to lie opposite one another.
    let is_stub = |run: &Run| run.support < RARE && run.u1 - run.u0 < STUB * run.thickness;
    let keep: Vec<bool> = runs
        .iter()
        .enumerate()
        .map(|(k, run)| !is_stub(run) && !is_frame(k, run))
        .collect();
    runs.into_iter()
        .zip(keep)
        .filter(|(_, keep)| *keep)
        .map(|(run, _)| run)
        .collect()
}

/// Follows the bonds and makes a run of each chain.
fn chains(solids: &[Solid], bonds: &[Bond]) -> Vec<Run> {
    let mut group: Vec<usize> = (0..solids.len()).collect();
    let root = |group: &[usize], mut i: usize| {
        while group[i] != i {
            i = group[i];
        }
        i
    };
    for bond in bonds {
        let (p, q) = (root(&group, bond.a), root(&group, bond.b));
        group[p.max(q)] = p.min(q);
    }
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); solids.len()];
    let mut cells: Vec<Vec<usize>> = vec![Vec::new(); solids.len()];
    for i in 0..solids.len() {
        members[root(&group, i)].push(i);
    }
    for (k, bond) in bonds.iter().enumerate() {
        cells[root(&group, bond.a)].push(k);
    }
    members
        .iter()
        .zip(&cells)
        .filter(|(list, _)| !list.is_empty())
        .filter_map(|(list, cells)| run(solids, list, cells, bonds))
        .collect()
}

fn run(solids: &[Solid], list: &[usize], cells: &[usize], bonds: &[Bond]) -> Option<Run> {
    let axis = fitted(solids, list)?;
    let total: f64 = list.iter().map(|&i| solids[i].u1 - solids[i].u0).sum();
    let thickness = list
        .iter()
        .map(|&i| solids[i].thickness * (solids[i].u1 - solids[i].u0))
        .sum::<f64>()
        / total;
    let support = list.iter().map(|&i| solids[i].support).fold(0.0, f64::max);
    let mut rails = Vec::new();
    let (mut low, mut high) = ((f64::INFINITY, false), (f64::NEG_INFINITY, false));
    let mut layers: Vec<f64> = Vec::new();
    for &i in list {
        let it = &solids[i];
        let same = dot(it.axis.along, axis.along) > 0.0;
        let ends = [(it.u0, it.jambs[0]), (it.u1, it.jambs[1])].map(|(u, jamb)| {
            (
                axis.s(it.axis.point(jamb.unwrap_or(u), 0.0)),
                jamb.is_some(),
            )
        });
        let (first, last) = if ends[0].0 <= ends[1].0 {
            (ends[0], ends[1])
        } else {
            (ends[1], ends[0])
        };
        if first.0 < low.0 {
            low = first;
        }
        if last.0 > high.0 {
            high = last;
        }
        rails.extend([it.rails.0, it.rails.1]);
        if layers.is_empty() {
            layers = it
                .layers
                .iter()
                .map(|d| if same { *d } else { -*d })
                .collect();
        }
    }
    rails.sort_unstable();
    rails.dedup();
    layers.sort_by(f64::total_cmp);
    let mut openings: Vec<Cell> = cells
        .iter()
        .filter_map(|&k| bonds[k].cell.as_ref())
        .map(|(from, to, evidence, has_jambs)| {
            let (p, q) = (axis.s(*from), axis.s(*to));
            Cell {
                u0: p.min(q),
                u1: p.max(q),
                evidence: evidence.clone(),
                has_jambs: *has_jambs,
            }
        })
        .collect();
    openings.sort_by(|p, q| p.u0.total_cmp(&q.u0));
    Some(Run {
        axis,
        thickness,
        u0: low.0,
        u1: high.0,
        cells: openings,
        rails,
        layers,
        support,
        capped: [low.1, high.1],
    })
}

/// The line of least squares through the middles of the solids, weighed by length.
fn fitted(solids: &[Solid], list: &[usize]) -> Option<Axis> {
    let longest = list.iter().copied().reduce(|p, q| {
        let length = |i: usize| solids[i].u1 - solids[i].u0;
        if length(q) > length(p) { q } else { p }
    })?;
    let rough = Axis {
        origin: solids[longest].axis.point(solids[longest].u0, 0.0),
        ..solids[longest].axis
    };
    // One way round for all: to the right, or straight up.
    let flip = rough.along.x < -1e-9 || (rough.along.x.abs() <= 1e-9 && rough.along.y < 0.0);
    let rough = if flip {
        Axis {
            along: rough.along * -1.0,
            ..rough
        }
    } else {
        rough
    };
    let ends = list.iter().flat_map(|&i| {
        let it = &solids[i];
        [it.u0, it.u1].map(|u| (it.axis.point(u, 0.0), it.u1 - it.u0))
    });
    rough.fitted(ends)
}
