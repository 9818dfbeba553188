//! Layouts of small buildings, drawn and counted.

use super::price::widest;
use super::testing::{add_door, add_window, rectangle};
use super::*;
use crate::building::Building;
use crate::units::Length;

pub(super) fn laid(building: &Building) -> Outcome<Layout> {
    lay_out(building, &PlantRules::default(), &LayoutOptions::default())
}

/// Each panel as `mark wall width`, in the order of erection.
#[track_caller]
fn check(building: &Building, expected: &[&str]) {
    let layout = laid(building).output;
    let found: Vec<String> = layout
        .panels
        .iter()
        .map(|panel| {
            let kind = if panel.kind == PanelKind::Wall {
                ""
            } else {
                panel.kind.name()
            };
            let words = format!(
                "{} {} {} {kind}",
                panel.mark,
                building.walls[panel.wall].id,
                panel.rect.width()
            );
            words.trim_end().to_owned()
        })
        .collect();
    assert_eq!(found, expected);
}

/// Every promise of this room, looked up in its output.
#[track_caller]
pub(super) fn keeps_its_promises(
    building: &Building,
    rules: &PlantRules,
    options: &LayoutOptions,
) -> Layout {
    let layout = lay_out(building, rules, options).output;
    let (gap, keep) = (
        rules.joints.gap,
        rules.joints.from_opening.max(rules.openings.least_leg),
    );
    for laid in layout.walls.iter().filter(|laid| !laid.run.is_empty()) {
        let wall = &building.walls[laid.wall];
        let mut reached = Length::ZERO;
        for piece in &laid.run {
            let (from, to) = match piece {
                RunPiece::Panel { from, to, .. }
                | RunPiece::Gap { from, to }
                | RunPiece::Opening { from, to, .. } => (*from, *to),
            };
            assert_eq!(from, reached, "pieces of {} tile the run", wall.id);
            reached = to;
            match piece {
                RunPiece::Panel { panel, from, to } => {
                    let panel = &layout.panels[*panel];
                    assert_eq!(
                        (panel.wall, panel.rect.x0, panel.rect.x1),
                        (laid.wall, *from, *to)
                    );
                    let least = rules.joints.least_panel;
                    assert!(*to - *from >= least || panel.is_pier);
                    assert!(*to - *from <= widest(rules, panel.rect.height()));
                    let place = (laid.from + *from, laid.from + *to);
                    let bounds = wall.profile.bounds(place.0, place.1);
                    assert_eq!((panel.rect.y0, panel.rect.y1), (bounds.y0, bounds.y1));
                }
                RunPiece::Gap { from, to } => {
                    assert_eq!(*to - *from, gap);
                    let (left, right) = (laid.from + *from, laid.from + *to);
                    for opening in &wall.openings {
                        assert!(right <= opening.from - keep || left >= opening.to + keep);
                    }
                    for tee in &wall.tees {
                        let keep = rules.joints.from_tee;
                        assert!(right <= tee.from - keep || left >= tee.to + keep);
                    }
                }
                RunPiece::Opening { opening, from, to } => {
                    let hole = &wall.openings[*opening];
                    assert_eq!((laid.from + *from, laid.from + *to), (hole.from, hole.to));
                }
            }
        }
        assert_eq!(reached, laid.length());
        for (i, opening) in wall.openings.iter().enumerate() {
            let held = layout
                .panels
                .iter()
                .filter(|p| p.wall == laid.wall && p.openings.contains(&i));
            let framed = laid
                .run
                .iter()
                .filter(|p| matches!(p, RunPiece::Opening { opening, .. } if *opening == i));
            assert_eq!(
                held.count() + framed.count(),
                1,
                "{} stands in one panel or between two",
                opening.id
            );
        }
    }
    for (i, panel) in layout.panels.iter().enumerate() {
        let mut n_loose = 0;
        for edge in [panel.left, panel.right] {
            if let PanelEdge::Spline { with, fit } = edge {
                let back = [layout.panels[with].left, layout.panels[with].right];
                n_loose += usize::from(fit == SplineFit::Loose);
                let fit = match fit {
                    SplineFit::Carries => SplineFit::Receives,
                    SplineFit::Receives => SplineFit::Carries,
                    SplineFit::Loose => SplineFit::Loose,
                };
                assert!(
                    back.contains(&PanelEdge::Spline { with: i, fit }),
                    "one side of each joint carries its spline, or it is loose"
                );
            }
        }
        let told = panel.reasons.iter();
        let told = told.filter(|it| it.about.ends_with("spline") && it.words.contains("loose"));
        assert_eq!(told.count(), n_loose, "a loose spline is told");
        let braced = panel
            .reasons
            .iter()
            .filter(|it| it.about == "bracing")
            .count();
        let is_free = [panel.left, panel.right].contains(&PanelEdge::Free);
        assert_eq!(
            braced > 0,
            panel.erection == 1.into() || is_free,
            "{}",
            panel.mark
        );
        assert!(
            !panel.reasons.is_empty() && panel.reasons.iter().all(|r| !r.words.is_empty()),
            "{:?}",
            panel.reasons
        );
    }
    layout
}

/// A 16 ft x 24 ft house with 9 ft walls in 6-1/2 in panels is a normal small job (common practice, no source).
///
/// By hand, out to out 288 x 192 in. The long walls run through at both ends: 288 in = three jumbo modules of 96 in: 95 7/8 net
/// and a gap of 1/8, twice, and 96 at the end, where no joint follows. The short walls butt at both ends: 192 - 2 x 6 1/2 =
/// 179 in: one module of 96 (95 7/8 + 1/8), and 83 left. Ten panels; of each pair of equal walls both are alike.
///
/// The price (shipped figures, cents): a jumbo 5000 + 8 ft x 9 ft x 420 (its blank is made to length) = 35 240, and 2500 for the
/// machine, 244 lb being above 150: 37 740. A joint 9 ft x 500 = 4500. So a long wall 3 x 37 740 + 2 x 4500 = 122 220; a short one
/// 2 x 37 740 + 4500 + 1500 for ripping to 83 = 81 480. The other way round (192 = 96 + 96, 275 = 96 + 96 + 83) costs 79 980 and
/// 123 720: the same sum, and then the longer walls run through. Any wall that runs through at one end only (281 1/2
/// and 185 1/2) is ripped once each: four rips instead of two.
///
/// The walk starts where the wall to the left of the corner runs through, lowest on the drawing: at the south-east corner, so
/// the east wall stands first and the south wall's last panel, W110, still has room to slide along.
#[test]
fn a_sixteen_by_twenty_four_house_has_ten_panels() {
    let rules = PlantRules::default();
    let house = rectangle(288, 192, &rules);
    check(
        &house,
        &[
            "W101 X2 95 7/8\"",
            "W102 X2 83\"",
            "W103 X3 95 7/8\"",
            "W104 X3 95 7/8\"",
            "W105 X3 96\"",
            "W106 X4 95 7/8\"",
            "W107 X4 83\"",
            "W108 X1 95 7/8\"",
            "W109 X1 95 7/8\"",
            "W110 X1 96\"",
        ],
    );
    let outcome = laid(&house);
    assert_eq!(outcome.findings, []);
    let cents: Vec<i64> = outcome
        .output
        .walls
        .iter()
        .map(|laid| laid.cost_cents)
        .collect();
    assert_eq!(cents, [122_220, 81_480, 122_220, 81_480]);
    keeps_its_promises(&house, &rules, &LayoutOptions::default());
}

/// The same house with three windows in its south wall, which is 288 in and runs through at both ends.
///
/// By hand: windows from 40 to 70, 130 to 178 and 230 to 266, 44 in high; joints keep 6 in off, 12 in to be free of a surcharge.
/// Without openings the joints stand at 96 and 192: 96 is 26 from the first window (less the gap) and 34 from the second, 192 is
/// 14 from the second (less the gap) and 38 from the third. All clear, all whole modules: no joint moves. No window makes its
/// panel light enough to set by hand: the largest takes 48 x 44 in = 14.7 of 72 sq ft, and 57.3 x 3.385 = 194 lb. Even ripped to
/// 83 in it would weigh (62.2 - 14.7) x 3.385 = 161 lb: nothing is gained by ripping.
#[test]
fn openings_that_leave_the_modules_clear_move_no_joint() {
    let rules = PlantRules::default();
    let mut house = rectangle(288, 192, &rules);
    add_window(&mut house.walls[0], 40, 70);
    add_window(&mut house.walls[0], 130, 178);
    add_window(&mut house.walls[0], 230, 266);
    let layout = laid(&house).output;
    assert_eq!(layout.walls[0].cost_cents, 122_220);
    let held: Vec<(&str, &[usize])> = layout
        .panels
        .iter()
        .filter(|p| p.wall == 0)
        .map(|p| (p.mark.as_str(), p.openings.as_slice()))
        .collect();
    assert_eq!(held, [("W108", &[0][..]), ("W109", &[1]), ("W110", &[2])]);
    keeps_its_promises(&house, &rules, &LayoutOptions::default());
}

#[test]
fn a_wide_opening_has_its_sill_and_header_panel_after_both_neighbours() {
    // Window 90 to 190: wider than 84. Left of it 90 in; right of it 98 if the wall ran through, two panels; so it butts there:
    // 288 - 6 1/2 - 190 = 91 1/2, one panel. At its left corner it runs through or butts for the same price (90 or 83 1/2).
    let rules = PlantRules::default();
    let mut house = rectangle(288, 192, &rules);
    add_window(&mut house.walls[0], 90, 190);
    let layout = laid(&house).output;
    let south: Vec<(&str, PanelKind)> = layout
        .panels
        .iter()
        .filter(|p| p.wall == 0)
        .map(|p| (p.mark.as_str(), p.kind))
        .collect();
    assert_eq!(
        south,
        [
            ("W101", PanelKind::Wall),
            ("W102", PanelKind::Wall),
            ("W103", PanelKind::Sill),
            ("W104", PanelKind::Header)
        ]
    );
    let header = layout
        .panels
        .iter()
        .find(|p| p.kind == PanelKind::Header)
        .unwrap();
    assert_eq!(
        // Run axes: the run starts where the wall to the left leaves off.
        (
            header.rect.x0 + layout.walls[0].from,
            header.rect.x1 + layout.walls[0].from
        ),
        (Length::fraction(90, 1, 8), Length::fraction(189, 7, 8))
    );
    assert_eq!(
        (header.rect.y0, header.rect.y1),
        (Length::inches(80), Length::inches(108))
    );
    keeps_its_promises(&house, &rules, &LayoutOptions::default());
}

#[test]
fn a_wall_that_cannot_be_panelled_is_named_and_the_rest_goes_on() {
    let rules = PlantRules::default();
    let mut house = rectangle(288, 192, &rules);
    add_window(&mut house.walls[1], 3, 100);
    let outcome = laid(&house);
    let faults: Vec<_> = outcome
        .findings
        .iter()
        .filter(|f| f.code == codes::NO_LAYOUT)
        .collect();
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].place.element.as_deref(), Some("X2"));
    assert!(outcome.output.walls[1].run.is_empty() && !outcome.output.walls[0].run.is_empty());
}

#[test]
fn a_wall_that_cannot_be_panelled_says_where_panels_stop() {
    let rules = PlantRules::default();
    let mut house = rectangle(288, 192, &rules);
    // Between them is room for no leg of a panel that holds the first.
    add_window(&mut house.walls[0], 60, 120);
    add_window(&mut house.walls[0], 122, 222);
    let outcome = laid(&house);
    let mut findings = outcome.findings.iter();
    let fault = findings.find(|f| f.code == codes::NO_LAYOUT).unwrap();
    assert!(
        fault.message.contains("panels reach") && fault.message.contains("none can go on"),
        "{}",
        fault.message
    );
}

#[test]
fn the_drafters_joint_is_kept_exactly_or_refused_with_its_rule() {
    let rules = PlantRules::default();
    let mut house = rectangle(288, 192, &rules);
    add_window(&mut house.walls[0], 130, 178);
    let wish = |joint: i64| {
        let wishes = WallWishes {
            joints: vec![Length::inches(joint)],
            left: Some(CornerWish::RunsThrough),
            ..WallWishes::default()
        };
        let options = LayoutOptions {
            walls: [("X1".to_owned(), wishes)].into(),
            ..LayoutOptions::default()
        };
        lay_out(&house, &rules, &options)
    };
    let kept = wish(70);
    assert_eq!(kept.findings, []);
    assert!(
        kept.output.walls[0]
            .run
            .iter()
            .any(|p| matches!(p, RunPiece::Panel { from, .. } if *from == Length::inches(70)))
    );
    let refused = wish(181);
    let words: Vec<&str> = refused
        .findings
        .iter()
        .filter(|f| f.code == codes::WISH_REFUSED)
        .map(|f| f.message.as_str())
        .collect();
    assert_eq!(words.len(), 1);
    assert!(words[0].contains("joints.from_opening"), "{words:?}");
}

#[test]
fn the_wish_to_run_through_at_a_corner_is_kept() {
    let rules = PlantRules::default();
    let house = rectangle(288, 192, &rules);
    let wishes = WallWishes {
        left: Some(CornerWish::Butts),
        right: Some(CornerWish::Butts),
        ..WallWishes::default()
    };
    let options = LayoutOptions {
        walls: [("X1".to_owned(), wishes)].into(),
        ..LayoutOptions::default()
    };
    let outcome = lay_out(&house, &rules, &options);
    assert_eq!(outcome.findings, []);
    assert_eq!(
        (
            outcome.output.walls[0].left_end,
            outcome.output.walls[0].right_end
        ),
        (WallEnd::Butt, WallEnd::Butt)
    );
}

#[test]
fn more_than_ninety_nine_panels_take_four_digits() {
    let rules = PlantRules::default();
    let layout = laid(&rectangle(2400, 3000, &rules)).output;
    assert!(layout.panels.len() > 99);
    assert_eq!(layout.panels[0].mark, "W1001");
    assert!(
        layout
            .panels
            .windows(2)
            .all(|pair| pair[0].mark < pair[1].mark)
    );
}

#[test]
fn alternatives_differ_from_all_better_ones_and_cost_no_less() {
    let rules = PlantRules::default();
    let mut house = rectangle(480, 192, &rules);
    add_door(&mut house.walls[0], 100, 138);
    add_window(&mut house.walls[0], 200, 260);
    let options = LayoutOptions {
        alternatives: 5,
        ..LayoutOptions::default()
    };
    let layout = lay_out(&house, &rules, &options).output;
    let laid = &layout.walls[0];
    assert_eq!(laid.alternatives.len(), 5);
    let best = laid.run.iter().filter_map(|p| match p {
        RunPiece::Gap { to, .. } => Some(*to),
        _ => None,
    });
    let mut better: Vec<Vec<Length>> = vec![best.collect()];
    let mut cents = laid.cost_cents;
    for (cost, joints) in &laid.alternatives {
        assert!(*cost >= cents);
        cents = *cost;
        for other in &better {
            assert!(
                other
                    .iter()
                    .any(|a| joints.iter().all(|b| (*a - *b).abs() >= options.apart))
            );
        }
        better.push(joints.clone());
    }
}

#[test]
fn parts_that_do_not_add_up_as_printed_are_told() {
    // On a grid of 1/40 in each of the two parts is a little less than a half sixteenth too long, their sum more.
    let rules = PlantRules {
        grid: Length::fraction(0, 1, 40),
        ..PlantRules::default()
    };
    let mut house = Building {
        walls: vec![testing::free_wall(110, &[], &rules)],
        ..Building::default()
    };
    let told = |house: &Building, joint: Length| {
        let wishes = WallWishes {
            joints: vec![joint],
            ..WallWishes::default()
        };
        let options = LayoutOptions {
            walls: [("X1".to_owned(), wishes)].into(),
            ..LayoutOptions::default()
        };
        let findings = lay_out(house, &rules, &options).findings;
        findings.iter().any(|it| it.code == codes::PRINTED_SUM)
    };
    let part = Length::inches(48) + Length::fraction(0, 1, 40);
    assert!(!told(&house, part));
    house.walls[0].face_length = part * 2;
    house.walls[0].profile =
        crate::building::WallProfile::level(Length::ZERO, Length::inches(108), part * 2);
    assert!(told(&house, part));
}

/// A wall over another, whose joint at 48 in is fixed; the upper one's joint may stand anywhere.
fn stacked(rules: &PlantRules, offset: f64) -> (Outcome<Layout>, Building) {
    let lower = testing::free_wall(120, &[], rules);
    let mut upper = crate::building::PanelWall {
        id: "X2".to_owned(),
        storey_index: 1,
        ..testing::free_wall(120, &[], rules)
    };
    upper.frame.origin.y = offset;
    let house = Building {
        storeys: vec![crate::building::BuildingStorey::default(); 2],
        walls: vec![lower, upper],
        ..Building::default()
    };
    let wishes = WallWishes {
        joints: vec![Length::inches(60)],
        keep_clear: [[0, 59], [62, 119]]
            .map(|zone| zone.map(Length::inches))
            .to_vec(),
        ..WallWishes::default()
    };
    let options = LayoutOptions {
        walls: [("X1".to_owned(), wishes)].into(),
        ..LayoutOptions::default()
    };
    (lay_out(&house, rules, &options), house)
}

#[test]
fn an_upper_joint_stands_over_a_lower_one_where_that_costs_no_more() {
    // Alone the upper wall takes a whole module of 96 in first. At 500 dollars a joint that stands over none it pays rips.
    let mut rules = PlantRules::default();
    rules.alignment.cents = 50_000;
    rules.alignment.within = Length::ZERO;
    let joints = |laid: &Layout| -> Vec<Length> {
        let panels = laid.panels.iter().filter(|panel| panel.wall == 1);
        panels.skip(1).map(|panel| panel.rect.x0).collect()
    };
    let (over, house) = stacked(&rules, 0.0);
    assert_eq!(joints(&over.output), [Length::inches(60)]);
    let joint = &over
        .output
        .panels
        .iter()
        .find(|it| it.wall == 1)
        .unwrap()
        .reasons;
    assert!(
        joint
            .iter()
            .any(|it| it.words.contains("over a joint of the wall below"))
    );
    // A wall that stands 2 ft behind stands over none, and pays nothing.
    let (behind, _) = stacked(&rules, 24.0);
    assert_eq!(joints(&behind.output), [Length::inches(96)]);
    let alone = Building {
        walls: vec![house.walls[0].clone()],
        ..Building::default()
    };
    let alone = lay_out(&alone, &rules, &LayoutOptions::default()).output;
    assert_eq!(behind.output.walls[1].cost_cents, alone.walls[0].cost_cents);
}

#[test]
fn random_houses_keep_every_promise() {
    let rules = PlantRules::default();
    let mut numbers = testing::Numbers(99);
    for _ in 0..25 {
        let (width, depth) = (150 + numbers.below(400), 150 + numbers.below(300));
        let mut house = rectangle(width, depth, &rules);
        for (wall, length) in house.walls.iter_mut().zip([width, depth, width, depth]) {
            let (_, openings) = numbers.wall();
            for (from, to) in openings
                .into_iter()
                .filter(|(from, to)| *from > 20 && *to < length - 20)
            {
                add_window(wall, from, to);
            }
        }
        keeps_its_promises(&house, &rules, &LayoutOptions::default());
    }
}
