//! The search on small runs, drawn as they come out.

use super::*;
use crate::building::{Building, PanelWall};
use crate::layout::corners::{Role, ends};
use crate::layout::search::oracle::Oracle;
use crate::layout::stacked::Neighbours;
use crate::layout::testing::{Numbers, free_wall};
use crate::rules::PlantRules;
use crate::units::square_feet;

/// The best run of a wall with free ends.
fn solve(wall: &PanelWall, rules: &PlantRules) -> Result<Solution, Blocked> {
    let ends = ends(
        &Building::default(),
        rules,
        wall,
        Role::Through,
        Role::Through,
    );
    let run = Run::new(wall, &ends, rules, None, &Neighbours::default());
    let search = Search::new(&run, run.left.at, run.left.at)?;
    search
        .solve(&run.left)
        .ok_or_else(|| search.blocked(&run.left))
}

fn on_grid(numerator: i64, denominator: i64) -> PlantRules {
    PlantRules {
        grid: Length::fraction(0, numerator, denominator),
        ..PlantRules::default()
    }
}

/// The least cost of a layout, by trying everything.
fn try_everything(wall: &PanelWall, rules: &PlantRules) -> Option<Cost> {
    Oracle::new(wall, rules).least((&[], 0))
}

#[test]
fn preferences_at_a_price_cost_what_trying_everything_costs() {
    let mut rules = on_grid(1, 2);
    rules.cost.off_module = 700;
    rules.cost.unequal = 310;
    rules.cost.uneven_legs = 450;
    let mut numbers = Numbers(8);
    let mut moved = 0;
    for _ in 0..150 {
        let (length, openings) = numbers.wall();
        let wall = free_wall(length, &openings, &rules);
        let found = solve(&wall, &rules).ok();
        let costs = found.as_ref().map(|s| s.cost);
        assert_eq!(
            costs,
            try_everything(&wall, &rules),
            "{length} {openings:?}"
        );
        let plain = solve(&wall, &on_grid(1, 2)).ok();
        moved += i32::from(found.map(|s| s.panels) != plain.map(|s| s.panels));
    }
    assert!(moved > 30, "{moved} layouts follow the preferences");
}

#[test]
fn the_search_costs_what_trying_everything_costs() {
    let rules = on_grid(1, 2);
    let mut numbers = Numbers(7);
    let (mut solved, mut framed) = (0, 0);
    for _ in 0..400 {
        let (length, openings) = numbers.wall();
        let wall = free_wall(length, &openings, &rules);
        let found = solve(&wall, &rules).ok().map(|s| s.cost);
        assert_eq!(
            found,
            try_everything(&wall, &rules),
            "{length} {openings:?}"
        );
        solved += i32::from(found.is_some());
        framed += found.map_or(0, |found| found.framed_by_need());
    }
    assert!(
        solved > 200 && framed > 20,
        "{solved} solved, {framed} framed by need"
    );
}

#[test]
fn the_reported_cost_is_that_of_the_panels_reported() {
    let rules = on_grid(1, 16);
    let mut numbers = Numbers(3);
    for _ in 0..60 {
        let (length, openings) = numbers.wall();
        let wall = free_wall(length, &openings, &rules);
        let Ok(solution) = solve(&wall, &rules) else {
            continue;
        };
        let mut wall_of_joints = wall.clone();
        wall_of_joints.openings.clear();
        let assembly = &rules.assemblies[wall.assembly];
        let pricer = crate::layout::price::Pricer::new(&rules, Some(assembly), Length::inches(108));
        let mut cents = 0;
        let mut reached = Length::ZERO;
        for piece in &solution.panels {
            let held = wall
                .openings
                .iter()
                .filter(|o| o.from >= piece.from && o.to <= piece.to);
            let area = held.map(|o| square_feet(o.width(), o.height())).sum();
            cents += pricer.price(piece.to - piece.from, area).unwrap().cents;
            if piece.to - piece.from < rules.joints.least_panel {
                assert!(
                    [piece.left, piece.right]
                        .iter()
                        .any(|s| matches!(s, Side::Jamb(_)))
                );
                cents += rules.piers.cents;
            }
            match piece.left {
                Side::End => assert_eq!(piece.from, Length::ZERO),
                Side::Joint => {
                    assert_eq!(piece.from - reached, rules.joints.gap);
                    cents += rules.cost.joint_ft * 9;
                    let near = rules.joints.from_opening_preferred;
                    let is_near = |o: &crate::building::RoughOpening| {
                        piece.from > o.from - near && reached < o.to + near
                    };
                    cents += if wall.openings.iter().any(is_near) {
                        rules.cost.near_opening
                    } else {
                        0
                    };
                }
                Side::Jamb(i) => {
                    assert_eq!(
                        (reached, piece.from),
                        (wall.openings[i].from, wall.openings[i].to)
                    );
                    cents += rules.cost.framed_opening;
                }
            }
            reached = piece.to;
        }
        assert_eq!(reached, wall.face_length);
        assert_eq!(cents, solution.cost.whole_cents(), "{length} {openings:?}");
    }
}

#[test]
fn a_mirrored_wall_costs_the_same() {
    let rules = on_grid(1, 16);
    let mut numbers = Numbers(21);
    for _ in 0..60 {
        let (length, openings) = numbers.wall();
        let mirrored: Vec<(i64, i64)> = openings
            .iter()
            .rev()
            .map(|(a, b)| (length - b, length - a))
            .collect();
        let cost = |openings: &[(i64, i64)]| {
            let solution = solve(&free_wall(length, openings, &rules), &rules);
            solution
                .ok()
                .map(|s| (s.cost.framed_by_need(), s.cost.whole_cents()))
        };
        assert_eq!(cost(&openings), cost(&mirrored), "{length} {openings:?}");
    }
}

#[test]
fn the_mirrored_layout_is_among_the_optima_of_the_mirrored_wall() {
    let rules = on_grid(1, 16);
    let mut numbers = Numbers(22);
    let mut judged = 0;
    for _ in 0..40 {
        let (length, openings) = numbers.wall();
        let Ok(solution) = solve(&free_wall(length, &openings, &rules), &rules) else {
            continue;
        };
        let mirrored: Vec<(i64, i64)> = openings
            .iter()
            .rev()
            .map(|(a, b)| (length - b, length - a))
            .collect();
        let wall = free_wall(length, &mirrored, &rules);
        // A joint is named by where its right panel starts: mirrored, that is where its left panel ended.
        let joints = solution.joints();
        let wishes = crate::layout::WallWishes {
            joints: joints
                .map(|joint| Length::inches(length) - joint + rules.joints.gap)
                .collect(),
            ..crate::layout::WallWishes::default()
        };
        let none = Building::default();
        let ends = ends(&none, &rules, &wall, Role::Through, Role::Through);
        let run = Run::new(&wall, &ends, &rules, Some(&wishes), &Neighbours::default());
        assert_eq!(run.refused, [], "{length} {openings:?}");
        let search = Search::new(&run, run.left.at, run.left.at).unwrap();
        let kept = search.solve(&run.left).unwrap().cost;
        assert_eq!(
            (kept.framed_by_need(), kept.whole_cents()),
            (solution.cost.framed_by_need(), solution.cost.whole_cents()),
            "{length} {openings:?}"
        );
        judged += 1;
    }
    assert!(judged > 20, "{judged}");
}

#[test]
fn a_forbidden_stretch_never_lowers_the_cost() {
    let rules = on_grid(1, 8);
    let mut numbers = Numbers(5);
    for _ in 0..60 {
        let (length, openings) = numbers.wall();
        let mut wall = free_wall(length, &openings, &rules);
        let before = solve(&wall, &rules);
        let from = Length::inches(numbers.below(length));
        let to = from + Length::inches(1 + numbers.below(40));
        wall.tees.push(crate::building::Tee {
            wall: "X9".to_owned(),
            from,
            to,
        });
        match (before, solve(&wall, &rules)) {
            (Ok(before), Ok(after)) => assert!(before.cost <= after.cost, "{length} {openings:?}"),
            (Err(_), after) => assert!(after.is_err()),
            (Ok(_), Err(_)) => {}
        }
    }
}

#[test]
fn a_finer_grid_never_costs_more() {
    let (coarse, fine) = (on_grid(1, 1), on_grid(1, 4));
    let mut numbers = Numbers(13);
    for _ in 0..60 {
        let (length, openings) = numbers.wall();
        let wall = free_wall(length, &openings, &coarse);
        if let Ok(on_coarse) = solve(&wall, &coarse) {
            let on_fine = solve(&wall, &fine).unwrap();
            assert!(on_fine.cost <= on_coarse.cost, "{length} {openings:?}");
        }
    }
}

#[test]
fn closing_a_stretch_of_a_filled_table_is_searching_anew() {
    let rules = on_grid(1, 4);
    let mut numbers = Numbers(17);
    for _ in 0..40 {
        let (length, openings) = numbers.wall();
        let mut wall = free_wall(length, &openings, &rules);
        let ends = ends(
            &Building::default(),
            &rules,
            &wall,
            Role::Through,
            Role::Through,
        );
        let run = Run::new(&wall, &ends, &rules, None, &Neighbours::default());
        let mut search = Search::new(&run, run.left.at, run.left.at).unwrap();
        let before = search.solve(&run.left);
        let from = Length::inches(numbers.below(length));
        let to = from + Length::inches(30);
        let again = search.close(from, to);
        search.refill();
        let closed = search.solve(&run.left);
        search.open(again);
        search.refill();
        assert_eq!(search.solve(&run.left), before, "opened again");
        // The same by a wall that meets there: its rule keeps off by 3 in, and forbids the gap left of the joint too.
        let keep = rules.joints.from_tee;
        let tee = crate::building::Tee {
            wall: "X9".to_owned(),
            from: from + keep,
            to: to - rules.joints.gap - keep,
        };
        wall.tees.push(tee);
        assert_eq!(
            closed,
            solve(&wall, &rules).ok(),
            "{length} {openings:?} {from}"
        );
    }
}

#[test]
fn what_is_closed_right_of_a_cut_costs_what_searching_anew_costs() {
    let rules = on_grid(1, 4);
    let mut numbers = Numbers(29);
    let (mut solved, mut impossible) = (0, 0);
    for _ in 0..60 {
        let (length, openings) = numbers.wall();
        let wall = free_wall(length, &openings, &rules);
        let none = Building::default();
        let ends = ends(&none, &rules, &wall, Role::Through, Role::Through);
        let run = Run::new(&wall, &ends, &rules, None, &Neighbours::default());
        let mut plain = Search::plain(&run, run.left.at).unwrap();
        let mirrored = run.mirrored();
        let before = Before::new(&mirrored).unwrap();
        // From the right, and the first stays closed while the second is looked at.
        let from = length / 2 + numbers.below(length / 2);
        let first = plain.close(Length::inches(from), Length::inches(from + 14));
        let from = numbers.below(length / 2);
        let second = plain.close(Length::inches(from), Length::inches(from + 20));
        let cut = first.first().min(second.first());
        let over = plain.solve_over(cut, &before, &run.left);
        plain.refill();
        let anew = plain.solve(&run.left);
        let cents = |it: &Solution| (it.cost.framed_by_need(), it.cost.whole_cents());
        assert_eq!(
            over.as_ref().map(cents),
            anew.as_ref().map(cents),
            "{length} {openings:?}"
        );
        let Some(over) = over else {
            impossible += 1;
            continue;
        };
        let mut reached = run.left.at;
        for piece in &over.panels {
            match piece.left {
                Side::End => assert_eq!(piece.from, reached),
                Side::Joint => assert_eq!(piece.from - reached, rules.joints.gap),
                Side::Jamb(i) => {
                    let hole = &run.openings[i];
                    assert_eq!((reached, piece.from), (hole.from, hole.to));
                }
            }
            reached = piece.to;
        }
        assert_eq!(reached, run.right.at);
        solved += 1;
    }
    assert!(solved > 20, "{solved}, and {impossible} cannot be cut");
}

#[test]
fn a_plain_wall_takes_whole_modules_first_and_the_rest_at_its_right_end() {
    // 26'-11": three jumbo modules of 96 in (net 95 7/8 and the gap) and 35 in left.
    let rules = PlantRules::default();
    let solution = solve(&free_wall(323, &[], &rules), &rules).unwrap();
    let widths: Vec<String> = solution
        .panels
        .iter()
        .map(|p| (p.to - p.from).to_string())
        .collect();
    assert_eq!(widths, ["95 7/8\"", "95 7/8\"", "95 7/8\"", "35\""]);
}

#[test]
fn two_garage_doors_with_nine_inches_between_stand_beside_a_pier() {
    // 9 in is less than a panel may be narrow, and more than two studs: a pier, at its price (shipped: 6000 cents).
    let rules = PlantRules::default();
    let solution = solve(&free_wall(500, &[(100, 209), (218, 327)], &rules), &rules).unwrap();
    let widths: Vec<Length> = solution.panels.iter().map(|p| p.to - p.from).collect();
    assert!(widths.contains(&Length::inches(9)), "{widths:?}");
    let dear = PlantRules {
        piers: crate::rules::PierRules {
            cents: 7_000,
            ..rules.piers.clone()
        },
        ..rules.clone()
    };
    let wall = free_wall(500, &[(100, 209), (218, 327)], &rules);
    let cents = |rules: &PlantRules| solve(&wall, rules).unwrap().cost.whole_cents();
    assert_eq!(cents(&dear) - cents(&rules), 1_000);
}

#[test]
fn a_garage_door_is_framed_between_panels() {
    let rules = PlantRules::default();
    let solution = solve(&free_wall(400, &[(100, 292)], &rules), &rules).unwrap();
    assert!(solution.panels.iter().any(|p| p.right == Side::Jamb(0)));
    assert!(solution.panels.iter().any(|p| p.left == Side::Jamb(0)));
    assert_eq!(solution.cost.framed_by_need(), 0);
}

#[test]
fn a_run_that_cannot_be_cut_says_where() {
    // The last window ends 2 in from the wall's end: too near for a leg of 6 in. Framed it would leave 2 in, less than a pier.
    let rules = PlantRules::default();
    let blocked = solve(&free_wall(300, &[(150, 190), (260, 298)], &rules), &rules).unwrap_err();
    let gap = [Length::inches(298), Length::inches(300)];
    assert_eq!(blocked, Blocked::Gaps(vec![gap]));
}

#[test]
fn every_stretch_that_cannot_be_cut_is_said_in_one_go() {
    // Twice two garage doors with 2 in between: less than a pier. Far apart, so each stands for itself.
    let rules = PlantRules::default();
    let doors = [(100, 209), (211, 320), (500, 609), (611, 720)];
    let blocked = solve(&free_wall(900, &doors, &rules), &rules).unwrap_err();
    let Blocked::Gaps(gaps) = blocked else {
        panic!("{blocked:?}");
    };
    let reached: Vec<Length> = gaps.iter().map(|gap| gap[0]).collect();
    assert_eq!(reached, [209, 609].map(Length::inches), "{gaps:?}");
    // One alone is said alone, and with nothing between the doors mended nothing is said at all.
    let one = [(100, 209), (211, 320), (500, 609)];
    let Err(Blocked::Gaps(gaps)) = solve(&free_wall(900, &one, &rules), &rules) else {
        panic!("it can be cut");
    };
    assert_eq!(gaps.len(), 1, "{gaps:?}");
}

#[test]
fn a_wall_too_high_or_too_long_is_not_searched() {
    let rules = PlantRules::default();
    let mut high = free_wall(300, &[], &rules);
    high.stack.panel_top = Length::inches(300);
    assert_eq!(solve(&high, &rules), Err(Blocked::Height));
    assert_eq!(
        solve(&free_wall(400_000, &[], &rules), &rules),
        Err(Blocked::Size)
    );
}
