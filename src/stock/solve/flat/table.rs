//! The most that pieces of whole values are worth on a rectangle cut from edge to edge, in any number of stages.
//!
//! ```text
//!   V(x, y) = most of: a piece that fits · V(a, y) + V(x - a, y) · V(x, b) + V(x, y - b)
//! ```
//!
//! Only cuts at sums of piece sides are looked at; a piece may be cut more often than it is needed, so the most is never too
//! low. Sides are whole cells of a grid, rounded down: what fits exactly fits in cells. Cost: cells times sums.

use super::problem::Problem;

/// Cells along an axis at most.
pub(super) const MOST_CELLS: i64 = 320;

/// The table's axes, and how pieces lie in it.
#[derive(Debug)]
pub(super) struct Table {
    grid: i64,
    /// Sums of piece sides up to the longest sheet, rising, from 0.
    across: Vec<usize>,
    up: Vec<usize>,
    /// Place in the sums of the longest one within each number of cells.
    within_across: Vec<usize>,
    within_up: Vec<usize>,
    /// Type, and least place across and up.
    lying: Vec<(usize, usize, usize)>,
    value: Vec<i64>,
    /// Type that is best alone within each cell.
    alone: Vec<Option<usize>>,
}

impl Table {
    /// Lays out the table for a problem.
    pub(super) fn new(problem: &Problem) -> Self {
        let width = problem.kinds.iter().map(|it| it.width).max().unwrap_or(1);
        let height = problem.kinds.iter().map(|it| it.height).max().unwrap_or(1);
        let grid = width.max(height) / MOST_CELLS + 1;
        let cells = |side: i64| usize::try_from(side / grid).unwrap_or(0);
        let uses = &problem.uses[0];
        let across = sums(uses.iter().map(|it| cells(it.w)), cells(width));
        let up = sums(uses.iter().map(|it| cells(it.h)), cells(height));
        let within_across = within(&across, cells(width));
        let within_up = within(&up, cells(height));
        let lying = uses
            .iter()
            .map(|it| (it.of, within_across[cells(it.w)], within_up[cells(it.h)]))
            .collect();
        let n = across.len() * up.len();
        Self {
            grid,
            across,
            up,
            within_across,
            within_up,
            lying,
            value: vec![0; n],
            alone: vec![None; n],
        }
    }

    /// Fills the table for these values of the types; steps taken are added to `work`.
    pub(super) fn fill(&mut self, values: &[i64], work: &mut u64) {
        let n_up = self.up.len();
        self.value.fill(0);
        self.alone.fill(None);
        for (of, i, j) in &self.lying {
            let at = i * n_up + j;
            if values[*of] > self.value[at] {
                self.value[at] = values[*of];
                self.alone[at] = Some(*of);
            }
        }
        for i in 0..self.across.len() {
            for j in 0..n_up {
                let at = i * n_up + j;
                let smaller = [(i > 0).then(|| at - n_up), (j > 0).then(|| at - 1)];
                for from in smaller.into_iter().flatten() {
                    if self.value[from] > self.value[at] {
                        self.value[at] = self.value[from];
                        self.alone[at] = None;
                    }
                }
                self.value[at] = self.value[at].max(self.best_cut(i, j));
            }
        }
        let cells = self.value.len() * (self.across.len() + n_up);
        *work += u64::try_from(cells / 60).unwrap_or(0) + 1;
    }

    fn best_cut(&self, i: usize, j: usize) -> i64 {
        let n_up = self.up.len();
        let mut best = 0;
        let (x, y) = (self.across[i], self.up[j]);
        for (a, side) in self.across.iter().enumerate().skip(1) {
            if 2 * side > x {
                break;
            }
            let rest = self.within_across[x - side];
            best = best.max(self.value[a * n_up + j] + self.value[rest * n_up + j]);
        }
        for (b, side) in self.up.iter().enumerate().skip(1) {
            if 2 * side > y {
                break;
            }
            let rest = self.within_up[y - side];
            best = best.max(self.value[i * n_up + b] + self.value[i * n_up + rest]);
        }
        best
    }

    /// The most of a kind of sheet, and how many of each type are worth it.
    pub(super) fn best(&self, problem: &Problem, kind: usize) -> (i64, Vec<(usize, u32)>) {
        let kind = &problem.kinds[kind];
        let cells = |side: i64| usize::try_from(side / self.grid).unwrap_or(0);
        let i = self.within_across[cells(kind.width)];
        let j = self.within_up[cells(kind.height)];
        let mut counts = vec![0; problem.types.len()];
        let mut open = vec![(i, j)];
        while let Some((i, j)) = open.pop() {
            open.extend(self.parts(i, j, &mut counts));
        }
        let pieces = counts.into_iter().enumerate().filter(|it| it.1 > 0);
        (self.value[i * self.up.len() + j], pieces.collect())
    }

    /// The rectangles that make up the value of one; a piece is counted.
    fn parts(&self, i: usize, j: usize, counts: &mut [u32]) -> Vec<(usize, usize)> {
        let n_up = self.up.len();
        let value = |i: usize, j: usize| self.value[i * n_up + j];
        let whole = value(i, j);
        if whole == 0 {
            return Vec::new();
        }
        if i > 0 && value(i - 1, j) == whole {
            return vec![(i - 1, j)];
        }
        if j > 0 && value(i, j - 1) == whole {
            return vec![(i, j - 1)];
        }
        let (x, y) = (self.across[i], self.up[j]);
        let cuts = self.across.iter().enumerate().skip(1);
        for (a, side) in cuts.take_while(|it| 2 * it.1 <= x) {
            let rest = self.within_across[x - side];
            if value(a, j) + value(rest, j) == whole {
                return vec![(a, j), (rest, j)];
            }
        }
        let cuts = self.up.iter().enumerate().skip(1);
        for (b, side) in cuts.take_while(|it| 2 * it.1 <= y) {
            let rest = self.within_up[y - side];
            if value(i, b) + value(i, rest) == whole {
                return vec![(i, b), (i, rest)];
            }
        }
        if let Some(of) = self.alone[i * n_up + j] {
            counts[of] += 1;
        }
        Vec::new()
    }
}

/// All sums of sides up to a length, rising, from 0.
fn sums(sides: impl Iterator<Item = usize>, longest: usize) -> Vec<usize> {
    let mut reached = vec![false; longest + 1];
    reached[0] = true;
    for side in sides.filter(|it| *it > 0) {
        for at in side..=longest {
            reached[at] |= reached[at - side];
        }
    }
    (0..=longest).filter(|at| reached[*at]).collect()
}

/// Place in the sums of the longest one within each length.
fn within(sums: &[usize], longest: usize) -> Vec<usize> {
    let mut place = 0;
    (0..=longest)
        .map(|length| {
            while sums.get(place + 1).is_some_and(|next| *next <= length) {
                place += 1;
            }
            place
        })
        .collect()
}
