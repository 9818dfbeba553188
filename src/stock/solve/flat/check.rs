//! What a proof proves, worked out from what was given and nothing that a search made.
//!
//! Whole values of pieces and the most of one sheet, as in [`Proof`]; all in 128-bit integers.

use super::super::filling::{Holder, filled};
use super::super::model::{BatchProof, Bound, DualFunction, Piece, Proof, Saw, Scope, Sheet};
use super::dual::{is_valid, worth};
use std::collections::BTreeSet;

/// Whether the bound's proofs prove it: its sheets and cost are no more than they show, and its scope no wider.
#[must_use]
pub fn check_bound(sheets: &[Sheet], pieces: &[Piece], saw: &Saw, bound: &Bound) -> bool {
    let apart = |proofs: &[BatchProof]| batches_are_apart(saw, proofs);
    if !apart(&bound.proofs) || !apart(&bound.cost_proofs) {
        return false;
    }
    let (count, _) = proved(sheets, pieces, saw, &bound.proofs);
    let (_, cost) = proved(sheets, pieces, saw, &bound.cost_proofs);
    bound.sheets <= count
        && bound.cost <= cost
        && bound.scope >= scope(&bound.proofs)
        && bound.cost_scope >= scope(&bound.cost_proofs)
}

/// What a bound's proofs prove of other costs of the same sheets: no plan costs less, in the scope of both.
#[must_use]
pub fn cost_bound(sheets: &[Sheet], pieces: &[Piece], saw: &Saw, bound: &Bound) -> i64 {
    let of = |proofs: &[BatchProof]| proved(sheets, pieces, saw, proofs).1;
    of(&bound.proofs).max(of(&bound.cost_proofs))
}

/// For which plans proofs hold: values are of edge-to-edge cuttings.
pub(super) fn scope(proofs: &[BatchProof]) -> Scope {
    if proofs.iter().any(|it| matches!(it.proof, Proof::Values(_))) {
        Scope::AnyGuillotine
    } else {
        Scope::AnyCutting
    }
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

/// Places along an axis at most: where pieces add up to more lengths, sides are rounded down to a grid, so no filling is missed.
const MOST_PLACES: usize = 320;

/// Lengths that pieces side by side add up to, rising, from 0; in units of a grid, 1 where there are few enough.
struct Lengths {
    grid: i64,
    sums: Vec<i64>,
}

impl Lengths {
    fn of(sides: &[i64], longest: i64) -> Self {
        let mut grid = 1;
        loop {
            let mut sums = BTreeSet::from([0]);
            let mut open = vec![0];
            while let Some(at) = open.pop() {
                for side in sides {
                    let sum = at + side / grid;
                    if sum <= longest / grid && sums.len() <= MOST_PLACES && sums.insert(sum) {
                        open.push(sum);
                    }
                }
            }
            if sums.len() <= MOST_PLACES {
                let sums = sums.into_iter().collect();
                return Self { grid, sums };
            }
            grid *= 2;
        }
    }

    /// Place of the longest of them within a length.
    fn place(&self, length: i64) -> usize {
        let within = self.sums.partition_point(|it| *it <= length / self.grid);
        within.saturating_sub(1)
    }

    /// Of each, the places of each shorter one and of the longest within what then is left.
    fn parts(&self) -> Vec<Vec<(usize, usize)>> {
        let part = |whole: &i64| {
            let first = self.sums.iter().take_while(|it| *it <= whole).enumerate();
            let both = first.map(|(a, it)| (a, self.place((whole - it) * self.grid)));
            both.skip(1).collect()
        };
        self.sums.iter().map(part).collect()
    }
}

/// Worth of each piece as given, and the most of each kind of sheet: dynamic programming over every cut that leaves pieces side by
/// side on one side of it; what is left over between them can always be pushed to the other.
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
    let lying: Vec<(i64, i64, i64)> = pieces
        .iter()
        .zip(values)
        .flat_map(|(it, value)| {
            let (w, h) = (it.width + saw.kerf, it.height + saw.kerf);
            let turned = it.may_turn.then_some((h, w, *value));
            std::iter::once((w, h, *value)).chain(turned)
        })
        .collect();
    let longest = |side: fn(&(i64, i64, &Sheet)) -> i64| usable.iter().map(side).max();
    let sides: Vec<i64> = lying.iter().map(|it| it.0).collect();
    let across = Lengths::of(&sides, longest(|it| it.0).unwrap_or(0));
    let sides: Vec<i64> = lying.iter().map(|it| it.1).collect();
    let up = Lengths::of(&sides, longest(|it| it.1).unwrap_or(0));
    let mut most = vec![vec![0i64; up.sums.len()]; across.sums.len()];
    for (w, h, value) in &lying {
        let fits = |lengths: &Lengths, side: i64| {
            let last = lengths
                .sums
                .last()
                .is_some_and(|it| side / lengths.grid <= *it);
            last.then(|| lengths.place(side))
        };
        if let (Some(x), Some(y)) = (fits(&across, *w), fits(&up, *h)) {
            most[x][y] = most[x][y].max(*value);
        }
    }
    let (parts_across, parts_up) = (across.parts(), up.parts());
    for x in 0..across.sums.len() {
        for y in 0..up.sums.len() {
            let mut best = most[x][y];
            if x > 0 {
                best = best.max(most[x - 1][y]);
            }
            if y > 0 {
                best = best.max(most[x][y - 1]);
            }
            for (a, rest) in parts_across[x].iter().filter(|it| it.0 < x) {
                best = best.max(most[*a][y].saturating_add(most[*rest][y]));
            }
            for (b, rest) in parts_up[y].iter().filter(|it| it.0 < y) {
                best = best.max(most[x][*b].saturating_add(most[x][*rest]));
            }
            most[x][y] = best;
        }
    }
    let each = values.iter().map(|it| i128::from((*it).max(0)));
    let most = usable
        .iter()
        .map(|it| i128::from(most[across.place(it.0)][up.place(it.1)]));
    (each.collect(), most.collect())
}
