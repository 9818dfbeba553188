//! Labels along a line: order kept, a least distance between them, moved as little as possible.
//!
//! Method: with the room each label needs subtracted, the wanted places must not fall; isotonic regression (pool adjacent
//! violators) gives the places with the least sum of squared moves. Source: Barlow, Bartholomew, Bremner and Brunk,
//! *Statistical Inference under Order Restrictions*, 1972 (from memory). Linear time. Pushing labels apart one by one was
//! refused: the last of a row wanders far.

/// Places for labels.
///
/// - `wanted`: where each would like its middle, rising.
/// - `sizes`: how much of the line each takes, same count.
/// - `low`, `high`: the line's ends; labels stay between them while they fit, else start at `low`.
/// - Returns the middles, rising, at least half the two sizes apart.
#[must_use]
pub fn spread(wanted: &[f64], sizes: &[f64], low: f64, high: f64) -> Vec<f64> {
    let mut offsets = Vec::with_capacity(wanted.len());
    let (mut offset, mut before) = (0.0, None);
    for size in sizes {
        if let Some(before) = before {
            offset += f64::midpoint(before, *size);
        }
        offsets.push(offset);
        before = Some(*size);
    }
    let first = low + sizes.first().copied().unwrap_or(0.0) / 2.0;
    let last = high - sizes.last().copied().unwrap_or(0.0) / 2.0 - offset;
    // Clamping the unbounded answer gives the bounded one (the cost is separable and convex).
    let mut pools: Vec<(f64, f64)> = Vec::new();
    for (want, offset) in wanted.iter().zip(&offsets) {
        let mut pool = (want - offset, 1.0);
        while let Some((mean, count)) = pools.last().copied()
            && mean > pool.0
        {
            pools.pop();
            let total = count + pool.1;
            pool = ((mean * count + pool.0 * pool.1) / total, total);
        }
        pools.push(pool);
    }
    let mut flat = Vec::with_capacity(wanted.len());
    for (mean, count) in pools {
        let mut left = count;
        while left > 0.5 {
            flat.push(mean.min(last).max(first));
            left -= 1.0;
        }
    }
    flat.iter()
        .zip(&offsets)
        .map(|(mean, offset)| mean + offset)
        .collect()
}

/// The same for labels of one size.
#[must_use]
pub fn spread_evenly(wanted: &[f64], pitch: f64, low: f64, high: f64) -> Vec<f64> {
    spread(wanted, &vec![pitch; wanted.len()], low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(wanted: &[f64], pitch: f64, expected: &[f64]) {
        let found = spread_evenly(wanted, pitch, 0.0, 100.0);
        let close = found.len() == expected.len()
            && found
                .iter()
                .zip(expected)
                .all(|(a, b)| (a - b).abs() < 1e-9);
        assert!(close, "{found:?}");
    }

    #[test]
    fn labels_with_room_stay_where_they_are() {
        check(&[10.0, 20.0, 50.0], 4.0, &[10.0, 20.0, 50.0]);
    }

    #[test]
    fn a_close_pair_parts_by_the_same_on_both_sides() {
        check(&[10.0, 11.0, 50.0], 4.0, &[8.5, 12.5, 50.0]);
    }

    #[test]
    fn a_row_at_the_end_is_pushed_inwards() {
        check(&[0.0, 1.0], 4.0, &[2.0, 6.0]);
        check(&[99.0, 100.0, 100.0], 4.0, &[90.0, 94.0, 98.0]);
    }

    #[test]
    fn labels_of_unequal_size_keep_half_of_both_apart() {
        let found = spread(&[50.0, 50.0], &[10.0, 2.0], 0.0, 100.0);
        assert!((found[1] - found[0] - 6.0).abs() < 1e-9, "{found:?}");
    }
}
