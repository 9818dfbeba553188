//! Plans and bounds against brute force on tiny problems, and what must hold of every plan on random ones.

use super::super::model::{
    Bound, CutPlan, Effort, FirstCut, Piece, Proof, Saw, Scope, Sheet, Unfit,
};
use super::super::numbers::Chance;
use super::check::{proved, scope};
use super::problem::Problem;
use super::table::Table;
use super::{check_bound, cut_sheets, replay};

const QUICK: Effort = Effort(30_000);

fn sheet(width: i64, height: i64) -> Sheet {
    Sheet {
        width,
        height,
        on_hand: None,
        cost: 1,
    }
}

fn piece(width: i64, height: i64, count: u32) -> Piece {
    Piece {
        width,
        height,
        count,
        may_turn: false,
        batch: 0,
    }
}

fn saw(kerf: i64, trim: i64, first_cut: FirstCut) -> Saw {
    Saw {
        kerf,
        trim,
        first_cut,
        window: None,
    }
}

fn drawn(chance: &mut Chance, from: i64, to: i64) -> i64 {
    let span = usize::try_from(to - from + 1).unwrap();
    from + i64::try_from(chance.below(span)).unwrap()
}

/// Whether pieces, in any order and slots, make one sheet of three stages: every order is tried.
fn fits_one_sheet(rest: &mut Vec<(i64, i64, bool)>, front: [i64; 5], whole: (i64, i64)) -> bool {
    let [start, edge, low, high, x] = front;
    if rest.is_empty() {
        return true;
    }
    for at in 0..rest.len() {
        let (w, h, may_turn) = rest.remove(at);
        for (w, h) in [(w, h), (h, w)]
            .into_iter()
            .take(if may_turn { 2 } else { 1 })
        {
            let beside = [start, edge.max(x + w), low, high.max(low + h), x + w];
            let row = [start, edge.max(start + w), high, high + h, start + w];
            let strip = [edge, edge + w, 0, h, edge + w];
            for next in [beside, row, strip] {
                let inside = next[1] <= whole.0 && next[3] <= whole.1;
                if inside && fits_one_sheet(rest, next, whole) {
                    rest.insert(at, (w, h, may_turn));
                    return true;
                }
            }
        }
        rest.insert(at, (w, h, may_turn));
    }
    false
}

/// Fewest sheets, by trying every division of the pieces.
fn fewest(pieces: &[(i64, i64, bool)], whole: (i64, i64), first_cut: FirstCut) -> usize {
    let n = pieces.len();
    let turned: Vec<_> = pieces.iter().map(|(w, h, t)| (*h, *w, *t)).collect();
    let fits: Vec<bool> = (0..1usize << n)
        .map(|set| {
            let of = |all: &[(i64, i64, bool)]| {
                let chosen = (0..n).filter(|at| set >> at & 1 == 1);
                chosen.map(|at| all[at]).collect::<Vec<_>>()
            };
            let upright = || fits_one_sheet(&mut of(pieces), [0; 5], whole);
            let level = || fits_one_sheet(&mut of(&turned), [0; 5], (whole.1, whole.0));
            match first_cut {
                FirstCut::AlongHeight => upright(),
                FirstCut::AlongWidth => level(),
                FirstCut::Either => upright() || level(),
            }
        })
        .collect();
    let mut best = vec![usize::MAX; 1 << n];
    best[0] = 0;
    for set in 1..1usize << n {
        let mut part = set;
        while part > 0 {
            if fits[part] && best[set ^ part] < usize::MAX {
                best[set] = best[set].min(best[set ^ part] + 1);
            }
            part = (part - 1) & set;
        }
    }
    best[(1 << n) - 1]
}

#[track_caller]
fn held(sheets: &[Sheet], pieces: &[Piece], saw: &Saw, effort: Effort) -> CutPlan {
    let plan = cut_sheets(sheets, pieces, saw, effort).unwrap();
    replay(sheets, pieces, saw, &plan.sheets).unwrap();
    assert!(check_bound(sheets, pieces, saw, &plan.bound));
    let cost: i64 = plan.sheets.iter().map(|it| sheets[it.sheet].cost).sum();
    assert!(plan.bound.sheets <= u32::try_from(plan.sheets.len()).unwrap());
    assert!(plan.bound.cost <= cost);
    plan
}

#[test]
fn few_pieces_are_cut_from_as_few_sheets_as_brute_force_finds() {
    let mut chance = Chance::new(1);
    for case in 0..120 {
        let first_cut = [
            FirstCut::AlongHeight,
            FirstCut::AlongWidth,
            FirstCut::Either,
        ][case % 3];
        let whole = (drawn(&mut chance, 6, 10), drawn(&mut chance, 6, 10));
        let n = drawn(&mut chance, 3, 5);
        let pieces: Vec<Piece> = (0..n)
            .map(|_| Piece {
                may_turn: case % 2 == 0,
                ..piece(drawn(&mut chance, 2, 6), drawn(&mut chance, 2, 6), 1)
            })
            .collect();
        let bare: Vec<_> = pieces
            .iter()
            .map(|it| (it.width, it.height, it.may_turn))
            .collect();
        let expected = fewest(&bare, whole, first_cut);
        let sheets = [sheet(whole.0, whole.1)];
        let plan = held(&sheets, &pieces, &saw(0, 0, first_cut), QUICK);
        assert_eq!(
            plan.sheets.len(),
            expected,
            "case {case}: {pieces:?} on {whole:?}"
        );
    }
}

#[test]
fn every_plan_replays_with_kerf_trim_turns_windows_and_leftovers() {
    let mut chance = Chance::new(2);
    for case in 0..80 {
        let kerf = drawn(&mut chance, 0, 3);
        let mut sheets = vec![Sheet {
            cost: 100,
            ..sheet(drawn(&mut chance, 60, 90), drawn(&mut chance, 60, 120))
        }];
        if case % 2 == 0 {
            sheets.push(Sheet {
                on_hand: Some(2),
                cost: 5,
                ..sheet(drawn(&mut chance, 20, 50), drawn(&mut chance, 20, 50))
            });
            sheets.push(Sheet {
                cost: 45,
                ..sheet(drawn(&mut chance, 56, 60), drawn(&mut chance, 56, 60))
            });
        }
        let saw = Saw {
            kerf,
            trim: drawn(&mut chance, 0, 3),
            first_cut: [
                FirstCut::AlongHeight,
                FirstCut::AlongWidth,
                FirstCut::Either,
            ][case % 3],
            window: [None, Some(0), Some(1)][case / 3 % 3],
        };
        let n = drawn(&mut chance, 1, 12);
        let pieces: Vec<Piece> = (0..n)
            .map(|_| Piece {
                width: drawn(&mut chance, 3, 50),
                height: drawn(&mut chance, 3, 50),
                count: u32::try_from(drawn(&mut chance, 0, 3)).unwrap(),
                may_turn: chance.below(2) == 0,
                batch: u32::try_from(drawn(&mut chance, 0, 4)).unwrap(),
            })
            .collect();
        let plan = held(&sheets, &pieces, &saw, QUICK);
        let again = cut_sheets(&sheets, &pieces, &saw, QUICK).unwrap();
        assert_eq!(plan, again, "the same input gives the same plan");
        let first = held(&sheets, &pieces, &saw, Effort(0));
        let cost =
            |plan: &CutPlan| -> i64 { plan.sheets.iter().map(|it| sheets[it.sheet].cost).sum() };
        assert!(cost(&plan) <= cost(&first));
    }
}

#[test]
fn what_comes_apart_alike_is_cut_alike() {
    // Slabs 360 x 48 of pieces as wide as they are: however the search laid a slab, it is cut from the datum on.
    let pieces = [piece(108, 48, 36), piece(47, 48, 3)];
    let sheets = [sheet(360, 48)];
    let plan = held(&sheets, &pieces, &saw(1, 0, FirstCut::Either), QUICK);
    for sheet in &plan.sheets {
        let at: Vec<i64> = sheet.cuts.iter().map(|cut| cut.from.0).collect();
        assert!(at.is_sorted(), "{at:?}");
        assert!(sheet.cuts.iter().all(|cut| cut.stage == 1));
    }
}

#[test]
fn a_length_in_a_smaller_unit_changes_nothing_but_the_unit() {
    let coarse = held(
        &[sheet(100, 70)],
        &[piece(33, 20, 7), piece(48, 31, 4)],
        &saw(1, 2, FirstCut::Either),
        QUICK,
    );
    let nano = 1_587_500;
    let fine = held(
        &[sheet(100 * nano, 70 * nano)],
        &[
            piece(33 * nano, 20 * nano, 7),
            piece(48 * nano, 31 * nano, 4),
        ],
        &saw(nano, 2 * nano, FirstCut::Either),
        QUICK,
    );
    let places = |plan: &CutPlan, unit: i64| -> Vec<(i64, i64)> {
        let placed = plan.sheets.iter().flat_map(|it| &it.pieces);
        placed.map(|it| (it.x / unit, it.y / unit)).collect()
    };
    assert_eq!(places(&coarse, 1), places(&fine, nano));
    assert_eq!(coarse.bound.sheets, fine.bound.sheets);
}

#[test]
fn a_broken_plan_is_not_replayed() {
    let sheets = [sheet(100, 70)];
    let pieces = [piece(33, 20, 7), piece(48, 31, 4), piece(10, 50, 2)];
    let saw = saw(1, 2, FirstCut::Either);
    let whole = held(&sheets, &pieces, &saw, QUICK).sheets;
    type Breaks = fn(&mut super::CutSheet);
    let breaks: [(&str, Breaks); 7] = [
        ("a piece missing", |it| {
            it.pieces.pop();
        }),
        ("a piece moved", |it| it.pieces[0].x += 1),
        ("a piece turned", |it| it.pieces[0].turned = true),
        ("a cut missing", |it| {
            it.cuts.pop();
        }),
        ("a cut moved", |it| it.cuts[0].from.0 += 1),
        ("cuts in another order", |it| it.cuts.reverse()),
        ("an offcut missing", |it| {
            it.offcuts.pop();
        }),
    ];
    for (name, how) in breaks {
        let mut plan = whole.clone();
        how(&mut plan[0]);
        assert!(replay(&sheets, &pieces, &saw, &plan).is_err(), "{name}");
    }
    assert!(replay(&sheets, &pieces, &saw, &whole[1..]).is_err());
    let twice: Vec<_> = whole.iter().chain(&whole).cloned().collect();
    assert!(replay(&sheets, &pieces, &saw, &twice).is_err());
}

#[test]
fn a_bound_above_what_its_proof_shows_is_refused() {
    let sheets = [sheet(100, 100)];
    let pieces = [piece(51, 51, 5), piece(30, 30, 3)];
    let saw = saw(0, 0, FirstCut::Either);
    let plan = held(&sheets, &pieces, &saw, QUICK);
    assert_eq!((plan.bound.sheets, plan.sheets.len()), (5, 5));
    let more = Bound {
        sheets: 6,
        ..plan.bound.clone()
    };
    assert!(!check_bound(&sheets, &pieces, &saw, &more));
    let mut doubled = plan.bound.clone();
    doubled.sheets = 10;
    doubled.proofs.extend(plan.bound.proofs);
    assert!(!check_bound(&sheets, &pieces, &saw, &doubled));
}

#[test]
fn batches_out_of_reach_of_each_other_share_no_sheet_and_their_bounds_add_up() {
    let sheets = [sheet(10, 10)];
    let pieces = [0, 1, 2].map(|batch| Piece {
        batch,
        ..piece(2, 2, 2)
    });
    let together = held(&sheets, &pieces, &saw(0, 0, FirstCut::Either), QUICK);
    assert_eq!((together.sheets.len(), together.bound.sheets), (1, 1));
    for (window, expected) in [(0, 3), (1, 2), (2, 1)] {
        let saw = Saw {
            window: Some(window),
            ..saw(0, 0, FirstCut::Either)
        };
        let plan = held(&sheets, &pieces, &saw, QUICK);
        assert_eq!(
            (plan.sheets.len(), plan.bound.sheets),
            (expected, u32::try_from(expected).unwrap())
        );
    }
}

/// The search's table and the checker's are written apart: their most agrees for any values.
#[test]
fn the_table_of_the_search_and_that_of_the_check_find_the_same_most() {
    let mut chance = Chance::new(3);
    for _ in 0..40 {
        let sheets = [sheet(
            drawn(&mut chance, 10, 40),
            drawn(&mut chance, 10, 40),
        )];
        let pieces: Vec<Piece> = (0..6)
            .map(|_| Piece {
                may_turn: chance.below(2) == 0,
                ..piece(drawn(&mut chance, 3, 10), drawn(&mut chance, 3, 10), 1)
            })
            .collect();
        let saw = saw(drawn(&mut chance, 0, 1), 0, FirstCut::Either);
        let problem = Problem::read(&sheets, &pieces, &saw).unwrap();
        let mut of_pieces = vec![0; pieces.len()];
        let of_types: Vec<i64> = problem
            .types
            .iter()
            .map(|it| {
                let value = drawn(&mut chance, 1, 100);
                for (piece, _) in &it.members {
                    of_pieces[*piece] = value;
                }
                value
            })
            .collect();
        let mut table = Table::new(&problem);
        table.fill(&of_types, &mut 0);
        let (most, counts) = table.best(&problem, 0);
        let made: i64 = counts
            .iter()
            .map(|(of, n)| of_types[*of] * i64::from(*n))
            .sum();
        assert_eq!(made, most);
        let total: i64 = pieces
            .iter()
            .zip(&of_pieces)
            .map(|(it, v)| i64::from(it.count) * v)
            .sum();
        let proof = Proof::Values(of_pieces);
        let proofs = vec![super::super::model::BatchProof { batch: None, proof }];
        let (count, _) = proved(&sheets, &pieces, &saw, &proofs);
        assert_eq!(i64::from(count), (total + most - 1) / most);
        assert_eq!(scope(&proofs), Scope::AnyGuillotine);
    }
}

#[test]
fn what_cannot_be_cut_is_said() {
    let saw = saw(1, 1, FirstCut::Either);
    let cut = |sheets: &[Sheet], pieces: &[Piece]| cut_sheets(sheets, pieces, &saw, QUICK);
    let large = cut(&[sheet(10, 10)], &[piece(2, 2, 1), piece(9, 2, 1)]);
    assert_eq!(large, Err(Unfit::Piece { piece: 1 }));
    let few = Sheet {
        on_hand: Some(1),
        ..sheet(10, 10)
    };
    assert_eq!(
        cut(&[few], &[piece(8, 8, 2)]),
        Err(Unfit::RunsOut { piece: 0 })
    );
    assert!(matches!(cut(&[sheet(10, 0)], &[]), Err(Unfit::Size { .. })));
    assert!(matches!(
        cut(&[sheet(10, 10)], &[piece(-1, 3, 1)]),
        Err(Unfit::Size { .. })
    ));
    let huge = piece(3, 3, u32::MAX);
    assert!(matches!(
        cut(&[sheet(10, 10)], &[huge]),
        Err(Unfit::Size { .. })
    ));
    let nothing = cut(&[sheet(10, 10)], &[piece(3, 3, 0)]).unwrap();
    assert!(nothing.sheets.is_empty() && nothing.bound.sheets == 0);
}
