//! Plans and bounds against brute force on tiny problems, and what must hold of every plan on random ones.

use super::super::model::{Bar, BarPlan, Effort, Length1, Unfit};
use super::super::numbers::Chance;
use super::{check_bar_bound, cut_bars, replay_bars};
use std::collections::BTreeMap;

const QUICK: Effort = Effort(500_000);

fn bar(length: i64, cost: i64) -> Bar {
    Bar {
        length,
        on_hand: None,
        cost,
    }
}

fn drawn(chance: &mut Chance, from: i64, to: i64) -> i64 {
    let span = usize::try_from(to - from + 1).unwrap();
    from + i64::try_from(chance.below(span)).unwrap()
}

/// Least cost, then fewest bars, by trying every filling of the next bar.
fn least(bars: &[Bar], lengths: &[i64], kerf: i64, end_trim: i64) -> (i64, i64) {
    let n = lengths.len();
    let length = |set: usize| -> i64 {
        let chosen = (0..n).filter(|at| set >> at & 1 == 1);
        chosen.map(|at| lengths[at] + kerf).sum()
    };
    let holds = |bar: &Bar, set: usize| length(set) <= bar.length - 2 * end_trim + kerf;
    // Stock used of each kind is part of the state.
    let mut reached: BTreeMap<(usize, Vec<u32>), (i64, i64)> = BTreeMap::new();
    reached.insert((0, vec![0; bars.len()]), (0, 0));
    let full = (1usize << n) - 1;
    let mut best = (i64::MAX, i64::MAX);
    while let Some(((set, used), price)) = reached.pop_first() {
        if set == full {
            best = best.min(price);
            continue;
        }
        let rest = full ^ set;
        let first = rest & rest.wrapping_neg();
        let mut part = rest;
        while part > 0 {
            for (kind, bar) in bars.iter().enumerate() {
                let some = bar.on_hand.is_none_or(|have| used[kind] < have);
                if part & first != 0 && some && holds(bar, part) {
                    let mut used = used.clone();
                    used[kind] += u32::from(bar.on_hand.is_some());
                    let next = (price.0 + bar.cost, price.1 + 1);
                    let entry = reached.entry((set | part, used)).or_insert(next);
                    *entry = next.min(*entry);
                }
            }
            part = (part - 1) & rest;
        }
    }
    best
}

#[track_caller]
fn held(bars: &[Bar], pieces: &[Length1], kerf: i64, end_trim: i64) -> BarPlan {
    let plan = cut_bars(bars, pieces, kerf, end_trim, QUICK).unwrap();
    replay_bars(bars, pieces, kerf, end_trim, &plan.bars).unwrap();
    assert!(check_bar_bound(bars, pieces, kerf, end_trim, &plan.bound));
    plan
}

#[test]
fn few_pieces_are_cut_at_the_least_cost_that_brute_force_finds() {
    let mut chance = Chance::new(1);
    for case in 0..80 {
        let (kerf, end_trim) = (drawn(&mut chance, 0, 2), drawn(&mut chance, 0, 2));
        let mut bars = vec![bar(drawn(&mut chance, 28, 40), 30)];
        if case % 2 == 0 {
            bars.push(bar(drawn(&mut chance, 40, 60), 45));
            bars.push(Bar {
                on_hand: Some(1),
                ..bar(drawn(&mut chance, 10, 25), 2)
            });
        }
        let n = drawn(&mut chance, 1, 8);
        let lengths: Vec<i64> = (0..n).map(|_| drawn(&mut chance, 4, 22)).collect();
        let pieces: Vec<Length1> = lengths
            .iter()
            .map(|it| Length1 {
                length: *it,
                count: 1,
            })
            .collect();
        let plan = held(&bars, &pieces, kerf, end_trim);
        let cost: i64 = plan.bars.iter().map(|it| bars[it.bar].cost).sum();
        let count = i64::try_from(plan.bars.len()).unwrap();
        let expected = least(&bars, &lengths, kerf, end_trim);
        assert_eq!(
            (cost, count),
            expected,
            "case {case}: {lengths:?} from {bars:?}"
        );
        assert!(plan.bound.cost <= cost);
        assert!(i64::from(plan.bound.bars) <= count);
    }
}

/// Falkenauer's triplets: every bar is filled by three pieces without rest, and nothing else is as good.
#[test]
fn triplets_are_found_and_proved() {
    let mut chance = Chance::new(2);
    for _ in 0..3 {
        let mut pieces = Vec::new();
        for _ in 0..30 {
            let a = drawn(&mut chance, 380, 490);
            let b = drawn(&mut chance, 250, (1000 - a) / 2);
            let lengths = [a, b, 1000 - a - b];
            pieces.extend(lengths.map(|length| Length1 { length, count: 1 }));
        }
        let bars = [bar(1000, 1)];
        let plan = cut_bars(&bars, &pieces, 0, 0, Effort(20_000_000)).unwrap();
        replay_bars(&bars, &pieces, 0, 0, &plan.bars).unwrap();
        assert_eq!((plan.bars.len(), plan.bound.bars), (30, 30));
    }
}

/// Where values alone leave a gap, trying out closes it, and a cost one higher is not proved.
#[test]
fn what_values_do_not_prove_is_proved_by_trying_out() {
    let mut chance = Chance::new(4);
    let mut tried = 0;
    for case in 0..60 {
        let mut bars = vec![bar(3072, 1700), bar(2304, drawn(&mut chance, 900, 1500))];
        bars.push(Bar {
            on_hand: Some(2),
            ..bar(drawn(&mut chance, 640, 1600), 10)
        });
        let pieces: Vec<Length1> = (0..6)
            .map(|_| Length1 {
                length: drawn(&mut chance, 224, 2080),
                count: u32::try_from(drawn(&mut chance, 1, 3)).unwrap(),
            })
            .collect();
        let plan = held(&bars, &pieces, 2, 4);
        let cost: i64 = plan.bars.iter().map(|it| bars[it.bar].cost).sum();
        assert_eq!(
            plan.bound.cost, cost,
            "case {case}: {pieces:?} from {bars:?}"
        );
        tried += u32::from(plan.bound.is_tried);
        let mut more = plan.bound;
        more.cost += 1;
        assert!(!check_bar_bound(&bars, &pieces, 2, 4, &more), "case {case}");
    }
    assert!(tried > 0);
}

#[test]
fn lengths_off_every_grid_are_cut_and_bounded_too() {
    let mut chance = Chance::new(3);
    let pieces: Vec<Length1> = (0..40)
        .map(|_| Length1 {
            length: drawn(&mut chance, 300_000_001, 2_400_000_007),
            count: 2,
        })
        .collect();
    let bars = [bar(6_096_000_000, 9), bar(4_876_800_000, 7)];
    let plan = held(&bars, &pieces, 3_175_000, 6_350_000);
    let cost: i64 = plan.bars.iter().map(|it| bars[it.bar].cost).sum();
    let first = cut_bars(&bars, &pieces, 3_175_000, 6_350_000, Effort(0)).unwrap();
    let first: i64 = first.bars.iter().map(|it| bars[it.bar].cost).sum();
    assert!(plan.bound.cost <= cost && cost <= first);
}

#[test]
fn a_broken_plan_or_bound_is_refused() {
    let pieces = [(700, 3), (450, 5), (120, 9)].map(|(length, count)| Length1 { length, count });
    let bars = [bar(2000, 1)];
    let plan = held(&bars, &pieces, 3, 5);
    type Breaks = fn(&mut BarPlan);
    let breaks: [(&str, Breaks); 4] = [
        ("a piece missing", |it| {
            it.bars[0].pieces.pop();
        }),
        ("another offcut", |it| it.bars[0].offcut += 1),
        ("a bar missing", |it| {
            it.bars.pop();
        }),
        ("another piece", |it| it.bars[0].pieces[0] = 7),
    ];
    for (name, how) in breaks {
        let mut broken = plan.clone();
        how(&mut broken);
        assert!(
            replay_bars(&bars, &pieces, 3, 5, &broken.bars).is_err(),
            "{name}"
        );
    }
    let mut more = plan.bound.clone();
    more.bars += 1;
    assert!(!check_bar_bound(&bars, &pieces, 3, 5, &more));
    let mut worthless = plan.bound;
    worthless.count_values = vec![0; pieces.len()];
    worthless.cost_values = vec![0; pieces.len()];
    assert!(!check_bar_bound(&bars, &pieces, 3, 5, &worthless));
}

#[test]
fn what_cannot_be_cut_is_said() {
    let cut =
        |bars: &[Bar], length, count| cut_bars(bars, &[Length1 { length, count }], 1, 1, QUICK);
    assert_eq!(cut(&[bar(10, 1)], 9, 1), Err(Unfit::Piece { piece: 0 }));
    let one = Bar {
        on_hand: Some(1),
        ..bar(10, 1)
    };
    assert_eq!(cut(&[one], 8, 2), Err(Unfit::RunsOut { piece: 0 }));
    assert!(matches!(cut(&[bar(0, 1)], 8, 2), Err(Unfit::Size { .. })));
    assert!(matches!(cut(&[bar(10, 1)], 0, 2), Err(Unfit::Size { .. })));
    assert!(cut(&[bar(10, 1)], 3, 0).unwrap().bars.is_empty());
}
