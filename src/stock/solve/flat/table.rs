//! The most that pieces of whole values are worth on a rectangle cut from edge to edge, in any number of stages.
//!
//! ```text
//!   V(x, y) = most of: a piece that fits · V(a, y) + V(x - a, y) · V(x, b) + V(x, y - b)
//! ```
//!
//! Only cuts at sums of piece sides are looked at; a piece may be cut more often than it is needed, so the most is never too
//! low. Where there are too many sums, sides are rounded down to a grid: what fits exactly fits there. Cost: cells times sums.

use super::problem::Problem;

/// Sums along an axis at most.
pub(super) const MOST_SUMS: usize = 320;

/// Sums of piece sides up to the longest sheet, rising, from 0: exact where there are few enough, else of sides rounded down to a
/// grid.
#[derive(Debug)]
struct Axis {
    grid: i64,
    sums: Vec<i64>,
    /// Of each sum, of each shorter one up to its half: the place of the longest sum within what is left.
    rests: Vec<Vec<usize>>,
}

impl Axis {
    fn of(sides: &[i64], longest: i64) -> Self {
        let mut grid = 1;
        let sums = loop {
            let sides = sides.iter().map(|it| it / grid);
            match sums(sides, longest / grid) {
                Some(sums) => break sums,
                None => grid *= 2,
            }
        };
        let rests = |whole: &i64| {
            let halves = sums.iter().take_while(|it| *it * 2 <= *whole);
            halves.map(|it| place(&sums, whole - it)).collect()
        };
        Self {
            grid,
            rests: sums.iter().map(rests).collect(),
            sums,
        }
    }

    fn place(&self, length: i64) -> usize {
        place(&self.sums, length / self.grid)
    }

    /// Both places for each cut of a sum into a shorter one, up to its half, and the rest.
    fn cuts(&self, at: usize) -> impl Iterator<Item = (usize, usize)> + '_ {
        let rests = self.rests.get(at).into_iter().flatten();
        rests.copied().enumerate().skip(1)
    }
}

/// The table's axes, and how pieces lie in it.
#[derive(Debug)]
pub(super) struct Table {
    across: Axis,
    up: Axis,
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
        let uses = &problem.uses[0];
        let sides: Vec<i64> = uses.iter().map(|it| it.w).collect();
        let across = Axis::of(&sides, width);
        let sides: Vec<i64> = uses.iter().map(|it| it.h).collect();
        let up = Axis::of(&sides, height);
        let lying = uses
            .iter()
            .map(|it| (it.of, across.place(it.w), up.place(it.h)))
            .collect();
        let n = across.sums.len() * up.sums.len();
        Self {
            across,
            up,
            lying,
            value: vec![0; n],
            alone: vec![None; n],
        }
    }

    /// Fills the table for these values of the types; steps taken are added to `work`.
    pub(super) fn fill(&mut self, values: &[i64], work: &mut u64) {
        let n_up = self.up.sums.len();
        self.value.fill(0);
        self.alone.fill(None);
        for (of, i, j) in &self.lying {
            let at = i * n_up + j;
            if values[*of] > self.value[at] {
                self.value[at] = values[*of];
                self.alone[at] = Some(*of);
            }
        }
        for i in 0..self.across.sums.len() {
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
        let cells = self.value.len() * (self.across.sums.len() + n_up);
        *work += u64::try_from(cells / 60).unwrap_or(0) + 1;
    }

    fn best_cut(&self, i: usize, j: usize) -> i64 {
        let n_up = self.up.sums.len();
        let value = |i: usize, j: usize| self.value[i * n_up + j];
        let across = self
            .across
            .cuts(i)
            .map(|(a, rest)| value(a, j) + value(rest, j));
        let up = self
            .up
            .cuts(j)
            .map(|(b, rest)| value(i, b) + value(i, rest));
        across.max().unwrap_or(0).max(up.max().unwrap_or(0))
    }

    /// The most of a kind of sheet, and how many of each type are worth it.
    pub(super) fn best(&self, problem: &Problem, kind: usize) -> (i64, Vec<(usize, u32)>) {
        let kind = &problem.kinds[kind];
        let (i, j) = (self.across.place(kind.width), self.up.place(kind.height));
        let mut counts = vec![0; problem.types.len()];
        let mut open = vec![(i, j)];
        while let Some((i, j)) = open.pop() {
            open.extend(self.parts(i, j, &mut counts));
        }
        let pieces = counts.into_iter().enumerate().filter(|it| it.1 > 0);
        (self.value[i * self.up.sums.len() + j], pieces.collect())
    }

    /// The rectangles that make up the value of one; a piece is counted.
    fn parts(&self, i: usize, j: usize, counts: &mut [u32]) -> Vec<(usize, usize)> {
        let n_up = self.up.sums.len();
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
        for (a, rest) in self.across.cuts(i) {
            if value(a, j) + value(rest, j) == whole {
                return vec![(a, j), (rest, j)];
            }
        }
        for (b, rest) in self.up.cuts(j) {
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

/// All sums of sides up to a length, rising, from 0; none where there are too many.
fn sums(sides: impl Iterator<Item = i64>, longest: i64) -> Option<Vec<i64>> {
    let mut sides: Vec<i64> = sides.filter(|it| *it > 0).collect();
    sides.sort_unstable();
    sides.dedup();
    let mut all = vec![0];
    for side in sides {
        // Any number of this side more than each sum so far.
        let mut more = Vec::new();
        for sum in &all {
            let mut at = sum + side;
            while at <= longest {
                more.push(at);
                at += side;
            }
        }
        all.extend(more);
        all.sort_unstable();
        all.dedup();
        if all.len() > MOST_SUMS {
            return None;
        }
    }
    Some(all)
}

/// Place of the longest sum within a length.
fn place(sums: &[i64], length: i64) -> usize {
    sums.partition_point(|it| *it <= length).saturating_sub(1)
}
