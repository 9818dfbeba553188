//! The linear programme over patterns: each type covered, no more bars of a kind than there are. Revised simplex, dense inverse.

use super::numbers::real;

/// Reduced prices above this are nothing.
const EPSILON: f64 = 1e-9;
/// Pivots between two fresh inverses.
const REFRESH: usize = 120;

/// A kind of sheet or bar, as the programme sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stock {
    /// What one costs the programme.
    pub(super) price: f64,
    /// How many there are.
    pub(super) on_hand: Option<u32>,
}

/// What is cut from one sheet or bar: how many of which types.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cut {
    pub(super) kind: usize,
    pub(super) pieces: Vec<(usize, u32)>,
}

/// A column of the programme.
#[derive(Debug, Clone)]
enum Column {
    /// As many sheets or bars cut so.
    Cut(usize),
    /// More of a type than needed.
    Surplus(usize),
    /// Fewer of a type than needed, at a price that is always too high.
    Missing(usize),
    /// Bars of a kind not used.
    Unused(usize),
}

/// The programme with its basis.
#[derive(Debug)]
pub(super) struct Master {
    kinds: Vec<Stock>,
    pub(super) patterns: Vec<Cut>,
    /// Row of each type that is needed at all, and of each limited kind.
    rows: Vec<Option<usize>>,
    limited: Vec<Option<usize>>,
    n_rows: usize,
    right: Vec<f64>,
    basis: Vec<Column>,
    inverse: Vec<f64>,
    level: Vec<f64>,
    missing_price: f64,
    pivots: usize,
    pub(super) work: u64,
}

impl Master {
    /// Starts with everything missing.
    pub(super) fn new(kinds: &[Stock], demand: &[u32], patterns: Vec<Cut>) -> Self {
        let mut n_rows = 0;
        let (mut right, mut basis, mut rows) = (Vec::new(), Vec::new(), Vec::new());
        for n in demand {
            rows.push((*n > 0).then_some(n_rows));
            if *n > 0 {
                right.push(real(i64::from(*n)));
                basis.push(Column::Missing(n_rows));
                n_rows += 1;
            }
        }
        let mut limited = Vec::new();
        for it in kinds {
            limited.push(it.on_hand.map(|_| n_rows));
            if let Some(have) = it.on_hand {
                right.push(real(i64::from(have)));
                basis.push(Column::Unused(n_rows));
                n_rows += 1;
            }
        }
        let dearest = kinds.iter().map(|it| it.price).fold(1.0, f64::max);
        let mut inverse = vec![0.0; n_rows * n_rows];
        for row in 0..n_rows {
            inverse[row * n_rows + row] = 1.0;
        }
        Self {
            kinds: kinds.to_vec(),
            patterns,
            rows,
            limited,
            n_rows,
            level: right.clone(),
            right,
            basis,
            inverse,
            missing_price: dearest * 20.0,
            pivots: 0,
            work: 0,
        }
    }

    /// How many bars of each pattern the programme uses now.
    pub(super) fn used(&self) -> Vec<(usize, f64)> {
        let both = self.basis.iter().zip(&self.level);
        let cuts = both.filter_map(|(column, level)| match column {
            Column::Cut(at) if *level > EPSILON => Some((*at, *level)),
            _ => None,
        });
        cuts.collect()
    }

    /// Price of the programme's answer.
    pub(super) fn level_price(&self) -> f64 {
        let both = self.basis.iter().zip(&self.level);
        both.map(|(column, level)| self.price(column) * level).sum()
    }

    /// Price of each row.
    fn row_prices(&self) -> Vec<f64> {
        let n = self.n_rows;
        let mut prices = vec![0.0; n];
        for (row, column) in self.basis.iter().enumerate() {
            let price = self.price(column);
            if price != 0.0 {
                let line = &self.inverse[row * n..(row + 1) * n];
                for (sum, it) in prices.iter_mut().zip(line) {
                    *sum += price * it;
                }
            }
        }
        prices
    }

    /// What a piece of each type is worth, and what a bar of each kind must be worth to be cut: its price and its scarcity.
    pub(super) fn prices(&self) -> (Vec<f64>, Vec<f64>) {
        let prices = self.row_prices();
        (self.worths(&prices), self.hurdles(&prices))
    }

    fn worths(&self, prices: &[f64]) -> Vec<f64> {
        let worth = |row: &Option<usize>| row.map_or(0.0, |row| prices[row]);
        self.rows.iter().map(worth).collect()
    }

    fn hurdles(&self, prices: &[f64]) -> Vec<f64> {
        let kinds = self.kinds.iter().zip(&self.limited);
        let hurdle = kinds.map(|(kind, row)| kind.price - row.map_or(0.0, |row| prices[row]));
        hurdle.collect()
    }

    /// Solves over the patterns there are.
    pub(super) fn solve(&mut self) {
        // Each pivot is one step down; what rounding makes of ties ends here.
        for _ in 0..50 * (self.n_rows + self.patterns.len() / 16) + 100 {
            let prices = self.row_prices();
            let Some(column) = self.entering(&prices) else {
                return;
            };
            if !self.enter(column) {
                return;
            }
        }
    }

    fn entering(&mut self, prices: &[f64]) -> Option<Column> {
        let mut best = (-EPSILON * self.missing_price, None);
        let (worths, hurdles) = (self.worths(prices), self.hurdles(prices));
        for (at, it) in self.patterns.iter().enumerate() {
            let pieces = it.pieces.iter();
            let worth: f64 = pieces
                .map(|(of, n)| worths[*of] * real(i64::from(*n)))
                .sum();
            let reduced = hurdles[it.kind] - worth;
            if reduced < best.0 {
                best = (reduced, Some(Column::Cut(at)));
            }
        }
        for row in self.rows.iter().flatten() {
            if prices[*row] < best.0 {
                best = (prices[*row], Some(Column::Surplus(*row)));
            }
        }
        for row in self.limited.iter().flatten() {
            if -prices[*row] < best.0 {
                best = (-prices[*row], Some(Column::Unused(*row)));
            }
        }
        self.work += u64::try_from(self.patterns.len() / 16).unwrap_or(0);
        best.1
    }

    fn price(&self, column: &Column) -> f64 {
        match column {
            Column::Cut(at) => self.kinds[self.patterns[*at].kind].price,
            Column::Missing(_) => self.missing_price,
            Column::Surplus(_) | Column::Unused(_) => 0.0,
        }
    }

    /// The column's entries: row and number.
    fn entries(&self, column: &Column) -> Vec<(usize, f64)> {
        match column {
            Column::Cut(at) => {
                let it = &self.patterns[*at];
                let pieces = it.pieces.iter();
                let entry = |(of, n): &(usize, u32)| Some((self.rows[*of]?, real(i64::from(*n))));
                let mut entries: Vec<(usize, f64)> = pieces.filter_map(entry).collect();
                entries.extend(self.limited[it.kind].map(|row| (row, 1.0)));
                entries
            }
            Column::Surplus(row) => vec![(*row, -1.0)],
            Column::Missing(row) | Column::Unused(row) => vec![(*row, 1.0)],
        }
    }

    /// Brings a column into the basis; `false` when nothing would leave.
    fn enter(&mut self, column: Column) -> bool {
        let n = self.n_rows;
        let entries = self.entries(&column);
        let mut change = vec![0.0; n];
        for (row, sum) in change.iter_mut().enumerate() {
            let line = &self.inverse[row * n..(row + 1) * n];
            *sum = entries.iter().map(|(at, it)| line[*at] * it).sum();
        }
        let mut leaving: Option<(f64, usize)> = None;
        for (row, it) in change.iter().enumerate() {
            if *it > 1e-8 {
                let ratio = self.level[row].max(0.0) / it;
                // Of equal ratios the largest pivot: smaller rounding.
                let better = leaving.is_none_or(|(best, at)| {
                    ratio < best - 1e-12 || ratio <= best + 1e-12 && *it > change[at]
                });
                if better {
                    leaving = Some((ratio, row));
                }
            }
        }
        let Some((ratio, out)) = leaving else {
            return false;
        };
        let pivot = change[out];
        let (before, rest) = self.inverse.split_at_mut(out * n);
        let (line, after) = rest.split_at_mut(n);
        for it in line.iter_mut() {
            *it /= pivot;
        }
        let other = before.chunks_exact_mut(n).chain(after.chunks_exact_mut(n));
        let others = change.iter().enumerate().filter(|(row, _)| *row != out);
        for (other, (_, factor)) in other.zip(others) {
            if *factor != 0.0 {
                for (it, by) in other.iter_mut().zip(line.iter()) {
                    *it -= factor * by;
                }
            }
        }
        for (row, it) in change.iter().enumerate() {
            self.level[row] -= ratio * it;
        }
        self.level[out] = ratio;
        self.basis[out] = column;
        self.work += u64::try_from(n * n / 96).unwrap_or(0) + 1;
        self.pivots += 1;
        if self.pivots.is_multiple_of(REFRESH) {
            self.refresh();
        }
        true
    }

    /// A fresh inverse of the basis, by elimination with the largest pivot.
    fn refresh(&mut self) {
        let n = self.n_rows;
        let mut matrix = vec![0.0; n * n];
        for (at, column) in self.basis.iter().enumerate() {
            for (row, it) in self.entries(column) {
                matrix[row * n + at] = it;
            }
        }
        let mut inverse = vec![0.0; n * n];
        for row in 0..n {
            inverse[row * n + row] = 1.0;
        }
        for at in 0..n {
            let size = |row: &usize| matrix[row * n + at].abs();
            let Some(pivot) = (at..n).max_by(|a, b| size(a).total_cmp(&size(b))) else {
                return;
            };
            if size(&pivot) < 1e-9 {
                // Too close to singular: the inverse in hand is the better one.
                return;
            }
            for column in 0..n {
                matrix.swap(at * n + column, pivot * n + column);
                inverse.swap(at * n + column, pivot * n + column);
            }
            let by = matrix[at * n + at];
            for column in 0..n {
                matrix[at * n + column] /= by;
                inverse[at * n + column] /= by;
            }
            for row in (0..n).filter(|row| *row != at) {
                let factor = matrix[row * n + at];
                if factor != 0.0 {
                    for column in 0..n {
                        matrix[row * n + column] -= factor * matrix[at * n + column];
                        inverse[row * n + column] -= factor * inverse[at * n + column];
                    }
                }
            }
        }
        self.inverse = inverse;
        self.work += u64::try_from(n * n * n / 96).unwrap_or(0);
        for row in 0..n {
            let line = &self.inverse[row * n..(row + 1) * n];
            self.level[row] = line.iter().zip(&self.right).map(|(a, b)| a * b).sum();
        }
    }
}
