//! The search beside panels that were issued before, against trying everything.

use super::oracle::Oracle;
use super::*;
use crate::building::{Building, PanelWall};
use crate::layout::corners::{Ends, Role, ends};
use crate::layout::stacked::Neighbours;
use crate::layout::testing::{Numbers, free_wall, issued};
use crate::layout::{IssuedEdge, WallWishes};
use crate::rules::PlantRules;

fn free_ends(wall: &PanelWall, rules: &PlantRules) -> Ends {
    let none = Building::default();
    ends(&none, rules, wall, Role::Through, Role::Through)
}

fn solve(wall: &PanelWall, rules: &PlantRules, wishes: &WallWishes) -> Option<Solution> {
    let ends = free_ends(wall, rules);
    let run = Run::new(wall, &ends, rules, Some(wishes), &Neighbours::default());
    let search = Search::new(&run, run.left.at, run.left.at).ok()?;
    search.solve(&run.left)
}

/// The panels of a solution as issued.
fn issue(wall: &PanelWall, rules: &PlantRules, solution: &Solution) -> WallWishes {
    let edge = |side: Side| match side {
        Side::End => IssuedEdge::End,
        Side::Joint => IssuedEdge::Joint,
        Side::Jamb(_) => IssuedEdge::Jamb,
    };
    let panels = solution.panels.iter();
    let panels = panels.map(|piece| {
        let edges = [edge(piece.left), edge(piece.right)];
        issued(wall, rules, [piece.from, piece.to], edges)
    });
    WallWishes {
        issued: panels.collect(),
        ..WallWishes::default()
    }
}

/// A random wall with what was issued of it, and the same wall with one window moved.
fn revised(
    numbers: &mut Numbers,
    rules: &PlantRules,
) -> Option<(PanelWall, WallWishes, PanelWall)> {
    let (length, openings) = numbers.wall();
    let wall = free_wall(length, &openings, rules);
    // Issued was not the best: the drafter kept a stretch clear then.
    let from = Length::inches(numbers.below(length));
    let clear = WallWishes {
        keep_clear: vec![[from, from + Length::inches(30)]],
        ..WallWishes::default()
    };
    let wishes = issue(&wall, rules, &solve(&wall, rules, &clear)?);
    let mut moved = wall.clone();
    let count = i64::try_from(moved.openings.len()).unwrap_or(1).max(1);
    let which = usize::try_from(numbers.below(count)).unwrap_or_default();
    let by = Length::inches(numbers.below(5) - 2);
    if let Some(hole) = moved.openings.get_mut(which) {
        (hole.from, hole.to) = (hole.from + by, hole.to + by);
    }
    Some((wall, wishes, moved))
}

#[test]
fn issued_panels_cost_what_trying_everything_costs() {
    let mut rules = PlantRules {
        grid: Length::fraction(0, 1, 2),
        ..PlantRules::default()
    };
    let mut numbers = Numbers(31);
    let (mut judged, mut kept, mut lost) = (0, 0, 0);
    for case in 0..240 {
        rules.revisions.issued_panel = [0, 900, 10_000][case % 3];
        let Some((_, wishes, moved)) = revised(&mut numbers, &rules) else {
            continue;
        };
        let holes = |from: Length, to: Length| {
            let inside = moved.openings.iter();
            let inside = inside.filter(move |hole| hole.to > from && hole.from < to);
            inside.map(|hole| (hole.from, hole.to)).collect::<Vec<_>>()
        };
        let could_be: Vec<(Length, Length)> = wishes
            .issued
            .iter()
            .filter(|panel| {
                let before = panel.openings.iter().map(|hole| (hole.x0, hole.x1));
                before.collect::<Vec<_>>() == holes(panel.rect.x0, panel.rect.x1)
            })
            .map(|panel| (panel.rect.x0, panel.rect.x1))
            .collect();
        let tried = Oracle::new(&moved, &rules).least((&could_be, wishes.issued.len()));
        let found = solve(&moved, &rules, &wishes);
        assert_eq!(found.as_ref().map(|it| it.cost), tried, "case {case}");
        if let Some(found) = found {
            judged += 1;
            lost += found.cost.issued_not_kept();
            kept += i64::try_from(wishes.issued.len()).unwrap() - found.cost.issued_not_kept();
        }
    }
    assert!(
        judged > 100 && kept > 200 && lost > 50,
        "{judged} {kept} {lost}"
    );
}

#[test]
fn what_was_issued_stays_while_the_wall_does() {
    let rules = PlantRules::default();
    let mut numbers = Numbers(37);
    for _ in 0..40 {
        let Some((wall, _, moved)) = revised(&mut numbers, &rules) else {
            continue;
        };
        // A first issue, a revision of it, and that again: the revision need not be the best free layout, and stays.
        let first = solve(&wall, &rules, &WallWishes::default()).unwrap();
        let Some(second) = solve(&moved, &rules, &issue(&wall, &rules, &first)) else {
            continue;
        };
        let again = solve(&moved, &rules, &issue(&moved, &rules, &second)).unwrap();
        assert_eq!(again.panels, second.panels);
        assert_eq!(again.cost.issued_not_kept(), 0);
    }
}

#[test]
fn issued_panels_cost_the_same_seen_from_inside_and_right_of_a_cut() {
    let rules = PlantRules {
        grid: Length::fraction(0, 1, 4),
        ..PlantRules::default()
    };
    let mut numbers = Numbers(41);
    let mut judged = 0;
    for _ in 0..60 {
        let Some((_, wishes, moved)) = revised(&mut numbers, &rules) else {
            continue;
        };
        let ends = free_ends(&moved, &rules);
        let run = Run::new(&moved, &ends, &rules, Some(&wishes), &Neighbours::default());
        let mirrored = run.mirrored();
        let cents =
            |it: Option<Solution>| it.map(|it| (it.cost.framed_by_need(), it.cost.whole_cents()));
        let mut plain = Search::plain(&run, run.left.at).unwrap();
        let own = cents(plain.solve(&run.left));
        let datum = mirrored.right.at + rules.joints.gap;
        let inside = Search::filled(&mirrored, (datum, mirrored.left.at), false).unwrap();
        assert_eq!(own, cents(inside.solve(&mirrored.left)));
        let before = Before::new(&mirrored).unwrap();
        let from = Length::inches(numbers.below(moved.face_length.steps_of(Length::inches(1))));
        let cut = plain.close(from, from + Length::inches(14)).first();
        let over = cents(plain.solve_over(cut, &before, &run.left));
        plain.refill();
        assert_eq!(over, cents(plain.solve(&run.left)));
        judged += i32::from(over.is_some());
    }
    assert!(judged > 20, "{judged}");
}
