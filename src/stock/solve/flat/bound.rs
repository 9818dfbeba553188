//! Bounds that take no search: area, and the best pair of dual feasible functions, for all pieces or batch by batch.

use super::super::model::{BatchProof, Bound, DualFunction, Piece, Proof, Saw, Scope, Sheet};
use super::super::numbers::{real, real_wide};
use super::check::{proved, scope};
use super::dual::{candidates, worth};
use std::collections::BTreeSet;

/// Functions tried along each axis.
const MOST_FUNCTIONS: usize = 200;
/// Pairs whose bound is worked out exactly.
const MOST_PAIRS: usize = 4;

/// What a proof is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Aim {
    Count,
    Cost,
}

impl Aim {
    /// What matters, first.
    fn of(self, (count, cost): (u32, i64)) -> (i64, i64) {
        match self {
            Self::Count => (i64::from(count), cost),
            Self::Cost => (cost, i64::from(count)),
        }
    }
}

/// The bound that takes no search.
pub(super) fn quick(sheets: &[Sheet], pieces: &[Piece], saw: &Saw) -> Bound {
    let mut bound = Bound {
        sheets: 0,
        cost: 0,
        scope: Scope::AnyCutting,
        cost_scope: Scope::AnyCutting,
        proofs: Vec::new(),
        cost_proofs: Vec::new(),
    };
    let all: Vec<&Piece> = pieces.iter().filter(|it| it.count > 0).collect();
    for aim in [Aim::Count, Aim::Cost] {
        let whole = vec![best(sheets, pieces, &all, saw, None, aim)];
        take(sheets, pieces, saw, whole, &mut bound);
        if let Some(window) = saw.window {
            let apart = batches_apart(sheets, pieces, saw, window, aim);
            take(sheets, pieces, saw, apart, &mut bound);
        }
    }
    bound
}

/// Takes values for proofs where they prove more; they hold for plans of edge-to-edge cuts.
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
    take(sheets, pieces, saw, vec![proof], bound);
}

/// Takes proofs for what they prove more of: the count, the cost, or both.
fn take(sheets: &[Sheet], pieces: &[Piece], saw: &Saw, proofs: Vec<BatchProof>, bound: &mut Bound) {
    let (count, cost) = proved(sheets, pieces, saw, &proofs);
    if count > bound.sheets {
        bound.sheets = count;
        bound.scope = scope(&proofs);
        bound.proofs.clone_from(&proofs);
    }
    if cost > bound.cost {
        bound.cost = cost;
        bound.cost_scope = scope(&proofs);
        bound.cost_proofs = proofs;
    }
}

/// Batches further apart than the window share no sheet, so their bounds add up: the heaviest such choice.
fn batches_apart(
    sheets: &[Sheet],
    pieces: &[Piece],
    saw: &Saw,
    window: u32,
    aim: Aim,
) -> Vec<BatchProof> {
    let batches: BTreeSet<u32> = pieces
        .iter()
        .filter(|it| it.count > 0)
        .map(|it| it.batch)
        .collect();
    // Best sum over the batches up to each: its weight, and the proofs.
    let mut best_up_to: Vec<(u32, i64, Vec<BatchProof>)> = Vec::new();
    for batch in batches {
        let chosen: Vec<&Piece> = pieces
            .iter()
            .filter(|it| it.count > 0 && it.batch == batch)
            .collect();
        let own = best(sheets, pieces, &chosen, saw, Some(batch), aim);
        let weight = aim
            .of(proved(sheets, pieces, saw, std::slice::from_ref(&own)))
            .0;
        let far = |it: &&(u32, i64, Vec<BatchProof>)| batch - it.0 > window;
        let before = best_up_to.iter().rev().find(far).cloned();
        let (_, sum, mut proofs) = before.unwrap_or_default();
        proofs.push(own);
        let with = (batch, sum.saturating_add(weight), proofs);
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
    aim: Aim,
) -> BatchProof {
    let area = BatchProof {
        batch,
        proof: Proof::Area,
    };
    let pairs = best_pairs(sheets, chosen, saw, aim);
    let proofs = pairs.into_iter().map(|(along, up)| BatchProof {
        batch,
        proof: Proof::DualFunctions { along, up },
    });
    let value_of = |it: &BatchProof| aim.of(proved(sheets, pieces, saw, std::slice::from_ref(it)));
    let mut best = (value_of(&area), area);
    for it in proofs {
        let value = value_of(&it);
        if value > best.0 {
            best = (value, it);
        }
    }
    best.1
}

/// The pairs of functions under which the pieces are worth most in sheets of the largest kind; for the cost, in the kind in which
/// that much is cheapest.
fn best_pairs(
    sheets: &[Sheet],
    pieces: &[&Piece],
    saw: &Saw,
    aim: Aim,
) -> Vec<(DualFunction, DualFunction)> {
    let inner = |side: i64| side - 2 * saw.trim + saw.kerf;
    let usable: Vec<(i64, i64, f64)> = sheets
        .iter()
        .filter(|it| it.on_hand != Some(0))
        .map(|it| (inner(it.width), inner(it.height), real(it.cost.max(1))))
        .filter(|it| it.0 > 0 && it.1 > 0)
        .collect();
    let width = usable.iter().map(|it| it.0).max().unwrap_or(0);
    let height = usable.iter().map(|it| it.1).max().unwrap_or(0);
    if width <= 0 || height <= 0 {
        return Vec::new();
    }
    let along = Shares::of(pieces, saw.kerf, width, |it| (it.width, it.height));
    let up = Shares::of(pieces, saw.kerf, height, |it| (it.height, it.width));
    let widths: Vec<i64> = usable.iter().map(|it| it.0).collect();
    let heights: Vec<i64> = usable.iter().map(|it| it.1).collect();
    let (wide, high) = (along.wholes(width, &widths), up.wholes(height, &heights));
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
            if aim == Aim::Cost {
                let kinds = wide[a].iter().zip(&high[b]).zip(&usable);
                let rates = kinds.map(|((along, up), kind)| kind.2 / (along * up).max(1e-12));
                sum *= rates.fold(f64::INFINITY, f64::min);
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
    /// Of each function, the share of the whole that each of some lengths is worth.
    fn wholes(&self, whole: i64, lengths: &[i64]) -> Vec<Vec<f64>> {
        let row = |function: &DualFunction| {
            let most = real_wide(worth(*function, whole, whole));
            let lengths = lengths.iter();
            lengths
                .map(|it| real_wide(worth(*function, whole, *it)) / most)
                .collect()
        };
        self.functions.iter().map(row).collect()
    }

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
