//! The least of any stretch of a column of costs, asked while the column is still growing.
//!
//! ```text
//!   k      0 1 2 3 4 5 6 7      level l holds, for each k, where the least of the 2^l entries from k on lies;
//!   level 2    [2 . . 5]        any stretch is covered by two such blocks, one from each of its ends
//!              [3 . . 6]
//! ```
//!
//! Filled from the last entry to the first. A question costs two looks, an entry costs one look per level. (A monotone queue
//! is enough for one window that slides; a panel with openings needs a different window for each set of openings.)

use super::cost::Cost;

/// Costs by joint, with the least of every stretch.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    costs: Vec<Cost>,
    levels: Vec<Vec<u32>>,
}

impl Column {
    /// A column of `length` impossible entries that will be asked for stretches of up to `longest`.
    pub(crate) fn new(length: usize, longest: usize) -> Self {
        let longest = longest.clamp(1, length.max(1));
        let count = usize::BITS - longest.leading_zeros();
        Self {
            costs: vec![Cost::NEVER; length],
            levels: (0..count).map(|_| vec![0; length]).collect(),
        }
    }

    /// Sets entry `k`; all entries after it must be set already.
    pub(crate) fn put(&mut self, k: usize, cost: Cost) {
        let Some(slot) = self.costs.get_mut(k) else {
            return;
        };
        *slot = cost;
        let mut least = u32::try_from(k).unwrap_or(u32::MAX);
        for level in 0..self.levels.len() {
            if level > 0 {
                let second = k + (1 << (level - 1));
                if let Some(other) = self.levels[level - 1].get(second) {
                    least = self.better(least, *other);
                }
            }
            self.levels[level][k] = least;
        }
    }

    /// Where the least entry from `from` to `to` (both included) lies, the farthest of equals, and what it is.
    pub(crate) fn least(&self, from: usize, to: usize) -> Option<(usize, Cost)> {
        let to = to.min(self.costs.len().checked_sub(1)?);
        let length = (to + 1).checked_sub(from).filter(|length| *length > 0)?;
        let level = (usize::BITS - 1 - length.leading_zeros()) as usize;
        let level = level.min(self.levels.len() - 1);
        let block = &self.levels[level];
        let mut best = block[from];
        // One more block is enough unless the stretch is longer than announced.
        let mut at = from;
        while at + (1 << level) <= to {
            at = (at + (1 << level)).min(to + 1 - (1 << level));
            best = self.better(best, block[at]);
        }
        let best = best as usize;
        Some((best, self.costs[best]))
    }

    fn better(&self, near: u32, far: u32) -> u32 {
        if self.costs[far as usize] <= self.costs[near as usize] {
            far
        } else {
            near
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stretch_gives_its_least_and_the_farthest_of_equals() {
        let values = [5, 3, 8, 3, 9, 1, 1, 7, 2, 6, 3, 3, 0];
        let mut column = Column::new(values.len(), 5);
        for (k, value) in values.iter().enumerate().rev() {
            column.put(k, Cost::cents(*value));
        }
        for from in 0..values.len() {
            for to in from..values.len() {
                let expected = (from..=to).min_by_key(|k| (values[*k], std::cmp::Reverse(*k)));
                let found = column.least(from, to).map(|(k, _)| k);
                assert_eq!(found, expected, "{from} to {to}");
            }
        }
        assert_eq!(column.least(4, 3), None);
    }
}
