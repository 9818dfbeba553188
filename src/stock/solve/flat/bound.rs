//! Bounds that take no search: area, and the best pair of dual feasible functions, for all pieces or batch by batch.

use super::super::model::{BatchProof, Bound, DualFunction, Piece, Proof, Saw, Scope, Sheet};
use super::super::numbers::{real, real_wide};
use super::check::proved;
use super::dual::{candidates, worth};
use std::collections::BTreeSet;

/// Functions tried along each axis.
const MOST_FUNCTIONS: usize = 200;
/// Pairs whose bound is worked out exactly.
const MOST_PAIRS: usize = 4;

/// The bound that takes no search.
pub(super) fn quick(sheets: &[Sheet], pieces: &[Piece], saw: &Saw) -> Bound {
    let all: Vec<&Piece> = pieces.iter().filter(|it| it.count > 0).collect();
    let whole = vec![best(sheets, pieces, &all, saw, None)];
    let mut bound = stated(sheets, pieces, saw, whole);
    if let Some(window) = saw.window {
        let apart = stated(
            sheets,
            pieces,
            saw,
            batches_apart(sheets, pieces, saw, window),
        );
        if (apart.sheets, apart.cost) > (bound.sheets, bound.cost) {
            bound = apart;
        }
    }
    bound
}

/// Takes values for the proof where they prove more; they hold for plans of edge-to-edge cuts.
pub(super) fn improve(
    sheets: &[Sheet],
    pieces: &[Piece],
    saw: &Saw,
    values: &[i64],
    bound: &mut Bound,
) {
    let proof = BatchProof {
        batch: None,
        proof: Proof::Values(values.to_vec()),
    };
    let by_values = stated(sheets, pieces, saw, vec![proof]);
    if (by_values.sheets, by_values.cost) > (bound.sheets, bound.cost)
        && by_values.sheets >= bound.sheets
        && by_values.cost >= bound.cost
    {
        *bound = by_values;
    }
}

/// What proofs prove, with their scope.
pub(super) fn stated(
    sheets: &[Sheet],
    pieces: &[Piece],
    saw: &Saw,
    proofs: Vec<BatchProof>,
) -> Bound {
    let (count, cost) = proved(sheets, pieces, saw, &proofs);
    let guillotine = |it: &BatchProof| matches!(it.proof, Proof::Values(_));
    let scope = if proofs.iter().any(guillotine) {
        Scope::AnyGuillotine
    } else {
        Scope::AnyCutting
    };
    Bound {
        sheets: count,
        cost,
        scope,
        proofs,
    }
}

/// Batches further apart than the window share no sheet, so their bounds add up: the heaviest such choice.
fn batches_apart(sheets: &[Sheet], pieces: &[Piece], saw: &Saw, window: u32) -> Vec<BatchProof> {
    let batches: BTreeSet<u32> = pieces
        .iter()
        .filter(|it| it.count > 0)
        .map(|it| it.batch)
        .collect();
    // Best sum over the batches up to each: its weight, and the proofs.
    let mut best_up_to: Vec<(u32, u64, Vec<BatchProof>)> = Vec::new();
    for batch in batches {
        let chosen: Vec<&Piece> = pieces
            .iter()
            .filter(|it| it.count > 0 && it.batch == batch)
            .collect();
        let own = best(sheets, pieces, &chosen, saw, Some(batch));
        let weight = u64::from(proved(sheets, pieces, saw, std::slice::from_ref(&own)).0);
        let far = |it: &&(u32, u64, Vec<BatchProof>)| batch - it.0 > window;
        let before = best_up_to.iter().rev().find(far).cloned();
        let (_, sum, mut proofs) = before.unwrap_or_default();
        proofs.push(own);
        let with = (batch, sum + weight, proofs);
        let without = best_up_to.last().cloned().unwrap_or_default();
        best_up_to.push(if with.1 > without.1 {
            with
        } else {
            (batch, without.1, without.2)
        });
    }
    best_up_to.pop().map(|it| it.2).unwrap_or_default()
}

/// The best proof without search for some pieces.
fn best(
    sheets: &[Sheet],
    pieces: &[Piece],
    chosen: &[&Piece],
    saw: &Saw,
    batch: Option<u32>,
) -> BatchProof {
    let area = BatchProof {
        batch,
        proof: Proof::Area,
    };
    let pairs = best_pairs(sheets, chosen, saw);
    let proofs = pairs.into_iter().map(|(along, up)| BatchProof {
        batch,
        proof: Proof::DualFunctions { along, up },
    });
    let mut best = (
        proved(sheets, pieces, saw, std::slice::from_ref(&area)),
        area,
    );
    for it in proofs {
        let value = proved(sheets, pieces, saw, std::slice::from_ref(&it));
        if value > best.0 {
            best = (value, it);
        }
    }
    best.1
}

/// The pairs of functions under which the pieces are worth most in sheets of the largest kind.
fn best_pairs(sheets: &[Sheet], pieces: &[&Piece], saw: &Saw) -> Vec<(DualFunction, DualFunction)> {
    let usable = sheets.iter().filter(|it| it.on_hand != Some(0));
    let inner = |side: i64| side - 2 * saw.trim + saw.kerf;
    let width = usable.clone().map(|it| inner(it.width)).max().unwrap_or(0);
    let height = usable.map(|it| inner(it.height)).max().unwrap_or(0);
    if width <= 0 || height <= 0 {
        return Vec::new();
    }
    let along = Shares::of(pieces, saw.kerf, width, |it| (it.width, it.height));
    let up = Shares::of(pieces, saw.kerf, height, |it| (it.height, it.width));
    let counts: Vec<f64> = pieces.iter().map(|it| real(i64::from(it.count))).collect();
    let turns = pieces.iter().any(|it| it.may_turn);
    let mut found: Vec<(f64, usize, usize)> = Vec::new();
    for (a, (flat, turned)) in along.rows.iter().enumerate() {
        for (b, (upright, lying)) in up.rows.iter().enumerate() {
            let mut sum = 0.0;
            for i in 0..pieces.len() {
                let mut each = flat[i] * upright[i];
                if turns && pieces[i].may_turn {
                    each = each.min(turned[i] * lying[i]);
                }
                sum += each * counts[i];
            }
            found.push((sum, a, b));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    found.truncate(MOST_PAIRS);
    let pair = |it: &(f64, usize, usize)| (along.functions[it.1], up.functions[it.2]);
    found.iter().map(pair).collect()
}

/// Of each function, the share of the whole that each piece is worth, as it lies and turned.
struct Shares {
    functions: Vec<DualFunction>,
    rows: Vec<(Vec<f64>, Vec<f64>)>,
}

impl Shares {
    fn of(pieces: &[&Piece], kerf: i64, whole: i64, sides: impl Fn(&Piece) -> (i64, i64)) -> Self {
        let lengths: Vec<(i64, i64)> = pieces
            .iter()
            .map(|it| {
                let (side, other) = sides(it);
                (side + kerf, other + kerf)
            })
            .collect();
        let mut own: Vec<i64> = lengths.iter().map(|it| it.0).collect();
        let turned = pieces.iter().zip(&lengths).filter(|(it, _)| it.may_turn);
        own.extend(turned.map(|(_, it)| it.1));
        own.retain(|it| *it <= whole);
        let functions = candidates(&own, whole, MOST_FUNCTIONS);
        let share = |function: DualFunction, length: i64| {
            if length > whole {
                // Lies this way on no sheet.
                return f64::INFINITY;
            }
            real_wide(worth(function, whole, length)) / real_wide(worth(function, whole, whole))
        };
        let rows = functions
            .iter()
            .map(|function| {
                let flat = lengths.iter().map(|it| share(*function, it.0)).collect();
                let turned = lengths.iter().map(|it| share(*function, it.1)).collect();
                (flat, turned)
            })
            .collect();
        Self { functions, rows }
    }
}
