//! Solid pieces in one line joined into runs, over openings and where other walls meet.
//!
//! ```text
//!   ┌─────┐      ┌──────   ─────────┐        between two neighbours in line:
//!   │     │  ◠   │         │        │        two jambs, or a symbol → opening
//!   └─────┘      └──────┐  └────────┘        another wall in between → the run goes on
//!         opening       junction              neither → two runs
//! ```

use crate::plan::axis::{Axis, dot};
use crate::plan::groups::Groups;
use crate::plan::lines::rails::Rails;
use crate::plan::lines::symbols::{Evidence, Place};
use crate::plan::pieces::solids::Solid;
use crate::plan::walls::bonds::{Bond, Linked};
use crate::plan::walls::columns::without_columns;
use crate::plan::walls::frames::{no_walls, without_frames};
use crate::plan::walls::reveals::with_reveals;
use crate::side_by_side::in_stretches;
use geo::Coord;

/// The span of an opening along a run.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Cell {
    pub u0: f64,
    pub u1: f64,
    pub evidence: Evidence,
    /// False when a jamb is missing at an end.
    pub has_jambs: bool,
    /// True when it runs into a corner with another opening: no wall stands there.
    pub in_corner: bool,
}

/// A straight run of wall.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Run {
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
    /// How many solid pieces it has, and the longest of them.
    pub n_solids: usize,
    pub longest: f64,
    /// True for a wall of glass between posts.
    pub is_curtain: bool,
    /// Radius of the centre line, for a chord of a curved wall.
    pub curve: Option<f64>,
    /// How much better the plan is with its pieces than without, by their length: 0 to 1.
    pub margin: f64,
}

impl Run {
    /// The four corners of its body.
    pub(in crate::plan) fn corners(&self) -> [Coord<f64>; 4] {
        let h = self.thickness / 2.0;
        [
            self.axis.point(self.u0, -h),
            self.axis.point(self.u1, -h),
            self.axis.point(self.u1, h),
            self.axis.point(self.u0, h),
        ]
    }
}

impl Run {
    /// Goes on from one of its ends to a place along its axis, with an opening that runs into the corner there.
    pub(in crate::plan) fn open_into_corner(&mut self, side: usize, to: f64, evidence: Evidence) {
        let end = [self.u0, self.u1][side];
        let cell = Cell {
            u0: end.min(to),
            u1: end.max(to),
            evidence,
            has_jambs: true,
            in_corner: true,
        };
        if side == 0 {
            self.u0 = to;
            self.cells.insert(0, cell);
        } else {
            self.u1 = to;
            self.cells.push(cell);
        }
        self.capped[side] = false;
    }

    /// This run and another one in line as one.
    pub(in crate::plan) fn joined(mut self, other: &Self) -> Self {
        let is_turned = dot(self.axis.along, other.axis.along) < 0.0;
        let on_own = |p: f64, q: f64| {
            let [p, q] = [p, q].map(|u| self.axis.s(other.axis.point(u, 0.0)));
            (p.min(q), p.max(q))
        };
        let (low, high) = on_own(other.u0, other.u1);
        let cells: Vec<Cell> = (other.cells.iter())
            .map(|it| {
                let (u0, u1) = on_own(it.u0, it.u1);
                let mut cell = it.clone();
                if is_turned {
                    cell.evidence = cell.evidence.turned();
                }
                Cell { u0, u1, ..cell }
            })
            .collect();
        let mut capped = other.capped;
        if is_turned {
            capped.reverse();
        }
        if low < self.u0 {
            (self.u0, self.capped[0]) = (low, capped[0]);
        }
        if high > self.u1 {
            (self.u1, self.capped[1]) = (high, capped[1]);
        }
        self.cells.extend(cells);
        self.rails.extend(&other.rails);
        self.rails.sort_unstable();
        self.rails.dedup();
        self.support = self.support.max(other.support);
        self.n_solids += other.n_solids;
        self.longest = self.longest.max(other.longest);
        self
    }
}

/// Joins solids into runs.
pub(in crate::plan) fn runs(
    rails: &Rails,
    solids: Vec<Solid>,
    place: &Place<'_>,
    slack: f64,
) -> Vec<Run> {
    // A post or a frame in an opening would lead its own chain through the wall: it goes before the chains are made.
    let mut linked = Linked::new(without_columns(solids, slack), slack);
    linked.judge(rails, place, slack);
    for _ in 0..2 {
        let gone = no_walls(&linked.solids, &linked.bonds());
        if gone.is_empty() {
            break;
        }
        linked.leave_out(&gone, slack);
        linked.judge(rails, place, slack);
    }
    let whole = with_reveals(chains(&linked.solids, &linked.bonds()), place, slack);
    without_frames(rails, whole, slack)
}

/// Thicknesses rarer than this, as a share of the commonest, need more to speak for them.
pub(in crate::plan) const RARE: f64 = 0.06;

/// Follows the bonds and makes a run of each chain.
fn chains(solids: &[Solid], bonds: &[&Bond]) -> Vec<Run> {
    let mut groups = Groups::new(solids.len());
    for bond in bonds {
        groups.join(bond.a, bond.b);
    }
    let members = groups.members();
    let mut cells: Vec<Vec<usize>> = vec![Vec::new(); solids.len()];
    for (k, bond) in bonds.iter().enumerate() {
        cells[groups.least(bond.a)].push(k);
    }
    in_stretches(members.len(), |part| {
        (members[part.clone()].iter().zip(&cells[part]))
            .filter(|(list, _)| !list.is_empty())
            .filter_map(|(list, cells)| run(solids, list, cells, bonds))
            .collect()
    })
}

fn run(solids: &[Solid], list: &[usize], cells: &[usize], bonds: &[&Bond]) -> Option<Run> {
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
        .flat_map(|&k| &bonds[k].cells)
        .map(|it| {
            let (p, q) = (axis.s(it.from), axis.s(it.to));
            Cell {
                u0: p.min(q),
                u1: p.max(q),
                evidence: it.evidence.clone(),
                has_jambs: it.has_jambs,
                in_corner: false,
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
        n_solids: list.len(),
        longest: list
            .iter()
            .map(|&i| solids[i].u1 - solids[i].u0)
            .fold(0.0, f64::max),
        is_curtain: false,
        curve: None,
        margin: list
            .iter()
            .map(|&i| solids[i].margin * (solids[i].u1 - solids[i].u0))
            .sum::<f64>()
            / total,
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
