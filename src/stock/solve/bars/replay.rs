//! Cuts a plan of bars again, and proves its bound again, knowing nothing of how they were found.

use super::super::model::{Bar, BarBound, BarUse, Length1};

/// Whether the values given prove the bound: see [`BarBound`].
#[must_use]
pub fn check_bar_bound(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
    bound: &BarBound,
) -> bool {
    let (count, cost) = proved(bars, pieces, kerf, end_trim, bound);
    bound.bars <= count && bound.cost <= cost
}

/// Fewest bars and least cost that the values prove.
pub(super) fn proved(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
    _bound: &BarBound,
) -> (u32, i64) {
    let total: i128 = pieces
        .iter()
        .map(|it| i128::from(it.length + kerf) * i128::from(it.count))
        .sum();
    let longest = bars.iter().map(|it| it.length - 2 * end_trim + kerf).max();
    let longest = i128::from(longest.unwrap_or(1).max(1));
    let cheapest = bars.iter().map(|it| it.cost).min().unwrap_or(0);
    let count = u32::try_from((total + longest - 1) / longest).unwrap_or(u32::MAX);
    (count, cheapest.saturating_mul(i64::from(count)))
}

/// Cuts all bars again and counts the pieces.
///
/// # Errors
/// What does not agree: a bar that is overfull, an offcut of another length, a count that is not the one needed.
pub fn replay_bars(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
    plan: &[BarUse],
) -> Result<(), String> {
    let mut made = vec![0u32; pieces.len()];
    let mut used = vec![0u32; bars.len()];
    for (number, cut) in plan.iter().enumerate() {
        let bar = bars.get(cut.bar);
        let bar = bar.ok_or_else(|| format!("bar {number}: its kind is not there"))?;
        used[cut.bar] += 1;
        let end = bar.length - end_trim;
        let mut at = end_trim;
        for (place, index) in cut.pieces.iter().enumerate() {
            let piece = pieces.get(*index);
            let piece = piece.ok_or_else(|| format!("bar {number}: piece {index} is not there"))?;
            at += if place > 0 { kerf } else { 0 };
            at += piece.length;
            made[*index] += 1;
        }
        if at > end {
            return Err(format!(
                "bar {number}: its pieces end at {at}, beyond {end}"
            ));
        }
        let rest = if cut.pieces.is_empty() {
            end - at
        } else {
            (end - at - kerf).max(0)
        };
        if rest != cut.offcut {
            return Err(format!("bar {number}: {rest} is left, not {}", cut.offcut));
        }
    }
    for (index, (bar, used)) in bars.iter().zip(used).enumerate() {
        if bar.on_hand.is_some_and(|have| used > have) {
            return Err(format!(
                "{used} bars of kind {index} are more than there are"
            ));
        }
    }
    for (index, (piece, made)) in pieces.iter().zip(made).enumerate() {
        if piece.count != made {
            let needed = piece.count;
            return Err(format!(
                "piece {index} is made {made} times, {needed} are needed"
            ));
        }
    }
    Ok(())
}
