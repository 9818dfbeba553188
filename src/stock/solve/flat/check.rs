//! What a proof proves, worked out from what was given and nothing that a search made.
//!
//! Let pieces be worth whole values, in all `T`, and let a sheet of kind `k` never hold more than `V_k`. Then any plan of `n_k`
//! sheets has `sum V_k n_k >= T`. The least count is that of the largest `V_k` first, the least cost that of the cheapest value
//! first (a knapsack to be filled, taken in fractions and rounded up). All in 128-bit integers.

use super::super::model::{BatchProof, Bound, DualFunction, Piece, Proof, Saw, Scope, Sheet};
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
        Proof::Values(_) => (Vec::new(), Vec::new()),
    };
    let counts = pieces.iter().map(|it| i128::from(it.count));
    let total = each.iter().zip(counts).map(|(each, n)| each * n).sum();
    let most = most.into_iter().zip(usable.iter().map(|it| it.2));
    filled(total, most.collect())
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

/// Fewest sheets and least cost to hold a worth.
pub(super) fn filled(total: i128, mut most: Vec<(i128, &Sheet)>) -> (u32, i64) {
    most.retain(|it| it.0 > 0);
    most.sort_by_key(|it| std::cmp::Reverse(it.0));
    let (mut rest, mut count) = (total, 0i128);
    for (most, sheet) in &most {
        let n = (rest + most - 1) / most;
        let n = sheet.on_hand.map_or(n, |have| n.min(i128::from(have)));
        count += n.max(0);
        rest -= n.max(0) * most;
    }
    // Cheapest worth first: cost / most rises.
    most.sort_by(|a, b| (i128::from(a.1.cost) * b.0).cmp(&(i128::from(b.1.cost) * a.0)));
    let (mut rest, mut cost) = (total, 0i128);
    for (most, sheet) in &most {
        if rest <= 0 {
            break;
        }
        let have = sheet.on_hand.map_or(i128::MAX, |it| i128::from(it) * most);
        let part = rest.min(have);
        rest -= part;
        let each = i128::from(sheet.cost);
        // The last part may be a fraction of a sheet; rounding it up rounds the whole sum up once.
        cost += if rest > 0 {
            part / most * each
        } else {
            (part * each + most - 1) / most
        };
    }
    (
        u32::try_from(count).unwrap_or(u32::MAX),
        i64::try_from(cost).unwrap_or(i64::MAX),
    )
}
