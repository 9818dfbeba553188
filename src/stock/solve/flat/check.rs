//! What a proof proves, worked out from what was given and nothing that a search made.
//!
//! Whole values of pieces and the most of one sheet, as in [`Proof`]; all in 128-bit integers.

use super::super::filling::{Holder, filled};
use super::super::model::{BatchProof, Bound, DualFunction, Piece, Proof, Saw, Scope, Sheet};
use super::super::numbers::common_divisor;
use super::dual::{is_valid, worth};

/// Whether the bound's proofs prove it: its sheets and cost are no more than they show, and its scope no wider.
#[must_use]
pub fn check_bound(sheets: &[Sheet], pieces: &[Piece], saw: &Saw, bound: &Bound) -> bool {
    if !batches_are_apart(saw, &bound.proofs) {
        return false;
    }
    let (count, cost) = proved(sheets, pieces, saw, &bound.proofs);
    let guillotine = |it: &BatchProof| matches!(it.proof, Proof::Values(_));
    let scope = if bound.proofs.iter().any(guillotine) {
        Scope::AnyGuillotine
    } else {
        Scope::AnyCutting
    };
    bound.sheets <= count && bound.cost <= cost && bound.scope >= scope
}

/// Proofs add up only for batches that share no sheet.
fn batches_are_apart(saw: &Saw, proofs: &[BatchProof]) -> bool {
    let mut batches: Vec<Option<u32>> = proofs.iter().map(|it| it.batch).collect();
    batches.sort_unstable();
    batches.windows(2).all(|pair| match (pair, saw.window) {
        ([Some(a), Some(b)], Some(window)) => b - a > window,
        _ => false,
    })
}

/// Least count of sheets and least cost that the proofs show.
pub(super) fn proved(
    sheets: &[Sheet],
    pieces: &[Piece],
    saw: &Saw,
    proofs: &[BatchProof],
) -> (u32, i64) {
    let (mut count, mut cost) = (0u32, 0i64);
    for it in proofs {
        let chosen: Vec<&Piece> = pieces
            .iter()
            .filter(|piece| it.batch.is_none_or(|batch| piece.batch == batch))
            .collect();
        let (n, c) = one(sheets, &chosen, saw, &it.proof);
        count = count.saturating_add(n);
        cost = cost.saturating_add(c);
    }
    (count, cost)
}

/// One proof: worth of all pieces, and the most of each kind of sheet.
fn one(sheets: &[Sheet], pieces: &[&Piece], saw: &Saw, proof: &Proof) -> (u32, i64) {
    let inner = |side: i64| side - 2 * saw.trim + saw.kerf;
    let usable: Vec<(i64, i64, &Sheet)> = sheets
        .iter()
        .filter(|it| it.on_hand != Some(0))
        .map(|it| (inner(it.width), inner(it.height), it))
        .filter(|(width, height, _)| *width > 0 && *height > 0)
        .collect();
    let (each, most): (Vec<i128>, Vec<i128>) = match proof {
        Proof::Area => by_functions(&usable, pieces, saw, DualFunction::Same, DualFunction::Same),
        Proof::DualFunctions { along, up } => by_functions(&usable, pieces, saw, *along, *up),
        Proof::Values(values) => by_values(&usable, pieces, saw, values),
    };
    let counts = pieces.iter().map(|it| i128::from(it.count));
    let total = each.iter().zip(counts).map(|(each, n)| each * n).sum();
    let holders = most.into_iter().zip(&usable).map(|(most, it)| Holder {
        most,
        cost: it.2.cost,
        on_hand: it.2.on_hand,
    });
    filled(total, holders.collect())
}

/// Worth of each piece, at least of the ways it may lie, and the most of each kind of sheet. The functions are those of the widest
/// and the highest sheet; being superadditive they hold in smaller ones with their own length for the whole.
fn by_functions(
    usable: &[(i64, i64, &Sheet)],
    pieces: &[&Piece],
    saw: &Saw,
    along: DualFunction,
    up: DualFunction,
) -> (Vec<i128>, Vec<i128>) {
    let width = usable.iter().map(|it| it.0).max().unwrap_or(0);
    let height = usable.iter().map(|it| it.1).max().unwrap_or(0);
    if !is_valid(along, width) || !is_valid(up, height) {
        return (Vec::new(), Vec::new());
    }
    let value = |w: i64, h: i64| {
        let lies = w <= width && h <= height;
        lies.then(|| worth(along, width, w) * worth(up, height, h))
    };
    let each = pieces.iter().map(|it| {
        let (w, h) = (it.width + saw.kerf, it.height + saw.kerf);
        let turned = if it.may_turn { value(h, w) } else { None };
        value(w, h).into_iter().chain(turned).min().unwrap_or(0)
    });
    let most = usable
        .iter()
        .map(|it| worth(along, width, it.0) * worth(up, height, it.1));
    (each.collect(), most.collect())
}

/// Cells along an axis at most: larger sheets are looked at on a coarser grid, sides rounded down, so no filling is missed.
const MOST_CELLS: i64 = 320;

/// Worth of each piece as given, and the most of each kind of sheet: dynamic programming over every cell and every cut.
///
/// A piece may be cut more often than it is needed, so the most is never too low.
fn by_values(
    usable: &[(i64, i64, &Sheet)],
    pieces: &[&Piece],
    saw: &Saw,
    values: &[i64],
) -> (Vec<i128>, Vec<i128>) {
    if values.len() != pieces.len() {
        return (Vec::new(), Vec::new());
    }
    let sides = |it: &Piece| (it.width + saw.kerf, it.height + saw.kerf);
    let whole = usable.iter().map(|it| (it.0, it.1));
    let all = whole.chain(pieces.iter().map(|it| sides(it)));
    let unit = all
        .flat_map(|it| [it.0, it.1])
        .fold(0, common_divisor)
        .max(1);
    let longest = usable.iter().map(|it| it.0.max(it.1)).max().unwrap_or(0);
    let grid = unit * (longest / unit / MOST_CELLS + 1);
    let cells = |side: i64| usize::try_from(side / grid).unwrap_or(0);
    let width = usable.iter().map(|it| cells(it.0)).max().unwrap_or(0);
    let height = usable.iter().map(|it| cells(it.1)).max().unwrap_or(0);
    let mut most = vec![vec![0i64; height + 1]; width + 1];
    for (it, value) in pieces.iter().zip(values) {
        let (w, h) = sides(it);
        let turned = it.may_turn.then_some((h, w));
        for (w, h) in [Some((w, h)), turned].into_iter().flatten() {
            if let Some(cell) = most.get_mut(cells(w)).and_then(|it| it.get_mut(cells(h))) {
                *cell = (*value).max(*cell);
            }
        }
    }
    for x in 0..=width {
        for y in 0..=height {
            let mut best = most[x][y];
            if x > 0 {
                best = best.max(most[x - 1][y]);
            }
            if y > 0 {
                best = best.max(most[x][y - 1]);
            }
            for a in 1..=x / 2 {
                best = best.max(most[a][y].saturating_add(most[x - a][y]));
            }
            for b in 1..=y / 2 {
                best = best.max(most[x][b].saturating_add(most[x][y - b]));
            }
            most[x][y] = best;
        }
    }
    let each = values.iter().map(|it| i128::from((*it).max(0)));
    let most = usable
        .iter()
        .map(|it| i128::from(most[cells(it.0)][cells(it.1)]));
    (each.collect(), most.collect())
}
