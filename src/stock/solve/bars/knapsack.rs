//! The most that one bar can hold of pieces with whole values: dynamic programming over lengths, one table for all kinds of bar.

use super::problem::{Pattern, Problem};

/// Cells of a table: longer bars are looked at on a coarser grid, pieces rounded up, so what is found fits.
const MOST_CELLS: i64 = 1 << 14;

/// The most valuable patterns: one for each kind of bar, with its value.
///
/// `most` of each type lie on a bar at most. Cost: added to `work`.
pub(super) fn best_patterns(
    problem: &Problem,
    most: &[u32],
    values: &[i64],
    work: &mut u64,
) -> Vec<(i64, Pattern)> {
    let longest = problem.kinds.iter().map(|it| it.length).max().unwrap_or(0);
    let grid = (longest / MOST_CELLS).max(0) + 1;
    let cells = usize::try_from(longest / grid).unwrap_or(0);
    // Bundles of 1, 2, 4, ... pieces: type, count, length in cells, value.
    let mut bundles: Vec<(usize, u32, usize, i64)> = Vec::new();
    for (of, it) in problem.types.iter().enumerate() {
        let fit = u32::try_from(longest / it.length).unwrap_or(u32::MAX);
        let mut left = most[of].min(fit);
        let mut n = 1;
        while left > 0 && values[of] > 0 {
            let take = left.min(n);
            let length = (it.length + grid - 1) / grid * i64::from(take);
            if let Ok(length) = usize::try_from(length)
                && length <= cells
            {
                bundles.push((of, take, length, values[of] * i64::from(take)));
            }
            left -= take;
            n *= 2;
        }
    }
    let width = cells + 1;
    *work += u64::try_from(bundles.len() * width / 128).unwrap_or(0) + 1;
    let mut best = vec![0i64; width];
    let mut taken = vec![false; bundles.len() * width];
    for (row, (_, _, length, value)) in bundles.iter().enumerate() {
        let taken = &mut taken[row * width..(row + 1) * width];
        for at in (*length..width).rev() {
            let with = best[at - length] + value;
            if with > best[at] {
                best[at] = with;
                taken[at] = true;
            }
        }
    }
    let mut found = Vec::new();
    for (kind, bar) in problem.kinds.iter().enumerate() {
        let mut at = usize::try_from(bar.length / grid).unwrap_or(0).min(cells);
        let value = best[at];
        let mut counts = vec![0; problem.types.len()];
        for (row, (of, n, length, _)) in bundles.iter().enumerate().rev() {
            if taken[row * width + at] {
                counts[*of] += n;
                at -= length;
            }
        }
        let pieces = counts.into_iter().enumerate().filter(|it| it.1 > 0);
        let pieces = pieces.collect();
        found.push((value, Pattern { kind, pieces }));
    }
    found
}
