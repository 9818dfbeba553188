//! Corners: who runs through, and where runs end there.

use super::corners::{Role, ends};
use super::demands::pier_at_opening;
use super::run::Run;
use super::search::Search;
use super::solution::Side;
use super::stacked::Neighbours;
use super::testing::{add_window, building, rectangle};
use super::tests::{keeps_its_promises, laid};
use super::*;
use crate::units::Length;

#[test]
fn twenty_eight_feet_with_two_butts_leave_twenty_six_eleven() {
    // Trade rule (derived): out to out less one panel thickness at each butt; 28'-0" and 6-1/2 in give 26'-11".
    let layout = laid(&rectangle(528, 336, &PlantRules::default())).output;
    let butting = layout
        .walls
        .iter()
        .filter(|laid| laid.left_end == WallEnd::Butt && laid.right_end == WallEnd::Butt);
    let butting: Vec<String> = butting
        .map(|laid| laid.length().feet_inches().to_string())
        .collect();
    assert_eq!(butting, ["26'-11\"", "26'-11\""]);
}

/// What each wall does at its left and right corner.
fn corners_of(layout: &Layout) -> Vec<[WallEnd; 2]> {
    let walls = layout.walls.iter();
    walls.map(|it| [it.left_end, it.right_end]).collect()
}

#[test]
fn who_runs_through_alternates_round_the_building_where_that_costs_no_more() {
    use WallEnd::{Butt, Through};
    let rules = PlantRules::default();
    // 272 + 6 1/2 as 96 + 96 + 80 or 86 1/2, 160 as 96 + 64 or 57 1/2: each wall is ripped once however its corners go.
    let house = rectangle(272, 160, &rules);
    let layout = laid(&house).output;
    assert_eq!(corners_of(&layout), [[Butt, Through]; 4]);
    // Seen from another first wall too: no wall is preferred.
    let turned = building(&[[0, 0], [160, 0], [160, 272], [0, 272]], &rules);
    assert_eq!(corners_of(&laid(&turned).output), [[Butt, Through]; 4]);
    // The job fixes one corner: the others follow it round.
    let wish = WallWishes {
        right: Some(CornerWish::Butts),
        ..WallWishes::default()
    };
    let options = LayoutOptions {
        walls: [("X1".to_owned(), wish)].into(),
        ..LayoutOptions::default()
    };
    let fixed = lay_out(&house, &rules, &options).output;
    assert_eq!(corners_of(&fixed), [[Through, Butt]; 4]);
    let cost = |layout: &Layout| layout.walls.iter().map(|it| it.cost_cents).sum::<i64>();
    assert_eq!(cost(&fixed), cost(&layout));
    keeps_its_promises(&house, &rules, &options);
}

#[test]
fn at_an_inside_corner_the_run_through_wall_passes_it_by_the_others_thickness() {
    // An L: X3 runs west to the inside corner at (240, 240), X4 north from it. The square between their bodies lies inside of
    // both faces: one of the two fills it, and passes the corner by 6 1/2.
    let rules = PlantRules::default();
    let house = building(
        &[
            [0, 0],
            [480, 0],
            [480, 240],
            [240, 240],
            [240, 480],
            [0, 480],
        ],
        &rules,
    );
    let layout = laid(&house).output;
    let (before, after) = (&layout.walls[2], &layout.walls[3]);
    let thickness = Length::fraction(6, 1, 2);
    match (before.right_end, after.left_end) {
        (WallEnd::Through, WallEnd::Butt) => {
            assert_eq!(
                (before.to, after.from),
                (Length::inches(240) + thickness, Length::ZERO)
            );
        }
        (WallEnd::Butt, WallEnd::Through) => {
            assert_eq!((before.to, after.from), (Length::inches(240), -thickness));
        }
        other => panic!("one runs through and the other butts: {other:?}"),
    }
    keeps_its_promises(&house, &rules, &LayoutOptions::default());
}

#[test]
fn at_a_bay_both_walls_are_bevelled_by_half_the_turn() {
    let rules = PlantRules::default();
    let house = building(
        &[
            [0, 0],
            [100, 0],
            [160, -60],
            [260, -60],
            [320, 0],
            [420, 0],
            [420, 300],
            [0, 300],
        ],
        &rules,
    );
    let layout = laid(&house).output;
    let bevel = |end: WallEnd| match end {
        WallEnd::Mitre { bevel_deg } => bevel_deg,
        other => panic!("{other:?}"),
    };
    // Walking counter-clockwise the first turn of the bay is to the right: an inside corner, the outer skin is the shorter.
    assert!((bevel(layout.walls[0].right_end) + 22.5).abs() < 1e-9);
    assert!((bevel(layout.walls[1].left_end) + 22.5).abs() < 1e-9);
    assert!((bevel(layout.walls[1].right_end) - 22.5).abs() < 1e-9);
    assert!((bevel(layout.walls[2].left_end) - 22.5).abs() < 1e-9);
    assert_eq!(layout.walls[2].length(), Length::inches(100));
    keeps_its_promises(&house, &rules, &LayoutOptions::default());
}

#[test]
fn between_a_covered_corner_and_a_framed_door_a_strip_is_priced_as_what_is_built_there() {
    // Walls of 10-1/4 in: the one that runs through is covered by that, and a joint keeps 3 in more away, 13-1/4. A strip from the end to
    // a door has no joint: from 12 in on it is a panel, below that solid lumber at 60 dollars more, and behind the other wall nothing.
    let rules = PlantRules::default();
    let assemblies = &rules.assemblies;
    let assembly = assemblies
        .iter()
        .position(|it| it.name == "10-1/4")
        .unwrap();
    let built = |sixteenths: i64| {
        let strip = Length::fraction(0, sixteenths, 16);
        let mut house = rectangle(300, 300, &rules);
        for wall in &mut house.walls {
            wall.assembly = assembly;
        }
        let mut wall = house.walls[0].clone();
        add_window(&mut wall, 0, 109);
        (wall.openings[0].from, wall.openings[0].to) = (strip, strip + Length::inches(109));
        wall.face_length = strip + Length::inches(109 + 48);
        let ends = ends(&house, &rules, &wall, Role::Through, Role::Through);
        assert_eq!(ends.left.cover, Length::fraction(10, 1, 4));
        let run = Run::new(&wall, &ends, &rules, None, &Neighbours::default());
        let found = Search::new(&run, run.left.at, run.left.at).unwrap();
        let found = found.solve(&run.left)?;
        let (first, last) = (found.panels.first()?, found.panels.last()?);
        assert_eq!((first.right, last.left), (Side::Jamb(0), Side::Jamb(0)));
        let is_pier = pier_at_opening::is_pier(&wall, &rules, first);
        // The mirrored run asks the same of its other end.
        let mirrored = run.mirrored();
        let other = Search::new(&mirrored, mirrored.left.at, mirrored.left.at).unwrap();
        let other = other.solve(&mirrored.left)?.cost.whole_cents();
        assert_eq!(other, found.cost.whole_cents());
        Some((is_pier, found.cost.whole_cents()))
    };
    assert_eq!(built(10 * 16 + 3), None);
    let (is_pier, panel) = built(14 * 16).unwrap();
    assert!(!is_pier);
    for sixteenths in 12 * 16..=13 * 16 + 4 {
        assert_eq!(built(sixteenths), Some((false, panel)));
    }
    for sixteenths in [10 * 16 + 4, 11 * 16, 11 * 16 + 15] {
        assert_eq!(built(sixteenths), Some((true, panel + rules.piers.cents)));
    }
}
