//! Cuts a plan of bars again, and proves its bound again, knowing nothing of how they were found.

use super::super::filling::{Holder, filled};
use super::super::model::{Bar, BarBound, BarUse, Length1};
use super::super::numbers::common_divisor;
use super::tried::none_costs_less;
use crate::stock::solve::tally::tally;
use std::collections::BTreeMap;

/// Cells of a table: longer bars are looked at on a coarser grid, pieces rounded down, so no filling is missed.
const MOST_CELLS: i64 = 1 << 15;

/// Whether the values given prove the bound: see [`BarBound`].
#[must_use]
pub fn check_bar_bound(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
    bound: &BarBound,
) -> bool {
    let (count, _) = proved(bars, pieces, kerf, end_trim, &bound.count_values);
    let (_, by_values) = proved(bars, pieces, kerf, end_trim, &bound.cost_values);
    let is_tried = bound.is_tried
        && none_costs_less(
            bars,
            pieces,
            (kerf, end_trim),
            &bound.cost_values,
            bound.cost,
        );
    let cost = if is_tried { bound.cost } else { by_values };
    bound.bars <= count.max(bars_of_cost(bars, cost)) && bound.cost <= cost
}

/// Fewest bars that cost so much: none costs more than the dearest.
pub(super) fn bars_of_cost(bars: &[Bar], cost: i64) -> u32 {
    let usable = bars.iter().filter(|it| it.on_hand != Some(0));
    let dearest = usable.map(|it| it.cost).max().unwrap_or(0);
    let whole = cost.checked_div(dearest).unwrap_or(0);
    let part = cost.checked_rem(dearest).unwrap_or(0);
    u32::try_from(whole + i64::from(part > 0)).unwrap_or(0)
}

/// Fewest bars and least cost that the values prove; nothing when they are not values of these pieces.
pub(super) fn proved(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
    values: &[i64],
) -> (u32, i64) {
    values_of(bars, pieces, (kerf, end_trim), values)
        .map_or((0, 0), |it| filled(it.total, it.holders))
}

/// Values as a proof uses them.
pub(super) struct Values {
    /// Of all pieces.
    pub(super) total: i128,
    /// By length with its kerf: value and number of pieces.
    pub(super) lengths: BTreeMap<i64, (i64, u64)>,
    /// Usable bars, in the order given.
    pub(super) holders: Vec<Holder>,
}

/// What values come to; `None` when they are not values of these pieces.
pub(super) fn values_of(
    bars: &[Bar],
    pieces: &[Length1],
    (kerf, end_trim): (i64, i64),
    values: &[i64],
) -> Option<Values> {
    if values.len() != pieces.len() || values.iter().any(|it| *it < 0) {
        return None;
    }
    let both = pieces.iter().zip(values);
    let total = both.map(|(it, value)| i128::from(it.count) * i128::from(*value));
    let total: i128 = total.sum();
    // Pieces of one length are as good as the best valued of them, and as many as all of them.
    let mut lengths: BTreeMap<i64, (i64, u64)> = BTreeMap::new();
    for (it, value) in pieces.iter().zip(values) {
        let entry = lengths.entry(it.length + kerf).or_default();
        *entry = (entry.0.max(*value), entry.1 + u64::from(it.count));
    }
    let usable = bars.iter().filter(|it| it.on_hand != Some(0));
    let nets = usable.clone().map(|it| it.length - 2 * end_trim + kerf);
    let longest = nets.clone().max().filter(|it| *it > 0)?;
    let sides = lengths.keys().copied().chain(nets.clone());
    let unit = sides.fold(0, common_divisor).max(1);
    let grid = unit * (longest / unit / MOST_CELLS + 1);
    let table = most_by_length(&lengths, longest / grid, grid);
    let holders = usable.zip(nets).map(|(it, net)| Holder {
        most: usize::try_from(net / grid)
            .ok()
            .and_then(|at| table.get(at))
            .map_or(0, |it| i128::from(*it)),
        cost: it.cost,
        on_hand: it.on_hand,
    });
    let holders = holders.collect();
    Some(Values {
        total,
        lengths,
        holders,
    })
}

/// The most that pieces within each number of cells are worth.
pub(super) fn most_by_length(
    lengths: &BTreeMap<i64, (i64, u64)>,
    cells: i64,
    grid: i64,
) -> Vec<i64> {
    let n = usize::try_from(cells + 1).unwrap_or(1);
    let mut table = vec![0i64; n];
    for (length, (value, count)) in lengths {
        let step = usize::try_from(length / grid).unwrap_or(usize::MAX);
        let fit = match step {
            0 => *count,
            _ => (*count).min(u64::try_from((n - 1) / step).unwrap_or(0)),
        };
        for _ in 0..fit {
            for at in (step..n).rev() {
                table[at] = table[at].max(table[at - step].saturating_add(*value));
            }
        }
    }
    table
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
    let have = bars.iter().map(|bar| bar.on_hand);
    tally(
        "bars",
        have.zip(used),
        pieces.iter().map(|it| it.count).zip(made),
    )
}
