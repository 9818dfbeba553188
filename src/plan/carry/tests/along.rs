//! Places along a wall that grew, was parted by a wing, or turned: kept, or told.

use super::*;

fn wall(id: &str, start: [f64; 2], end: [f64; 2]) -> Wall {
    Wall {
        id: id.to_owned(),
        is_exterior: id.starts_with('X'),
        start: start.into(),
        end: end.into(),
        thickness: 6.0,
        ..Wall::default()
    }
}

fn opening(id: &str, wall: &str, x: f64, near: f64) -> Opening {
    Opening {
        id: id.to_owned(),
        wall: wall.to_owned(),
        centre: Coord { x, y: 0.0 },
        near: near - 18.0,
        width: 36.0,
        ..Opening::default()
    }
}

/// A house 40 ft by 25 ft, a window 10 ft from the left end of its south wall, a partition 25 ft from there.
fn shell() -> Storey {
    Storey {
        id: "S1".to_owned(),
        walls: vec![
            wall("X1", [0.0, 0.0], [480.0, 0.0]),
            wall("X2", [480.0, 0.0], [480.0, 300.0]),
            wall("X3", [480.0, 300.0], [0.0, 300.0]),
            wall("X4", [0.0, 300.0], [0.0, 0.0]),
            wall("I1", [300.0, 0.0], [300.0, 300.0]),
        ],
        openings: vec![opening("O1", "X1", 120.0, 120.0)],
        ..Storey::default()
    }
}

/// The house with a wing before its south wall from 160 to 260: the wall is three pieces, the one in the midst inside.
fn with_wing() -> Storey {
    let mut now = shell();
    now.walls[0] = wall("X1", [0.0, 0.0], [160.0, 0.0]);
    now.walls.extend([
        wall("X5", [160.0, 0.0], [160.0, -120.0]),
        wall("X6", [160.0, -120.0], [260.0, -120.0]),
        wall("X7", [260.0, -120.0], [260.0, 0.0]),
        wall("X8", [260.0, 0.0], [480.0, 0.0]),
        wall("I2", [160.0, 0.0], [260.0, 0.0]),
    ]);
    now
}

/// Where a window that is added at a place of the south wall goes, from where the house lies now.
fn added(old: &Storey, now: &Storey, at: [f64; 2]) -> Option<Coord<f64>> {
    said(
        old,
        now,
        at,
        CorrectionIntent::Opening {
            kind: OpeningKind::Window,
            width: Some(24.0),
        },
    )
}

fn said(old: &Storey, now: &Storey, at: [f64; 2], intent: CorrectionIntent) -> Option<Coord<f64>> {
    let earlier = EarlierPlan {
        storeys: vec![old.clone()],
    };
    let plan = Plan {
        storeys: vec![now.clone()],
        ..Plan::default()
    };
    let corrections = [PlanCorrection {
        anchor: CorrectionAnchor::Point { at, storey: None },
        intent,
        ..correction("")
    }];
    let mut findings = Vec::new();
    let located = carry(&earlier, &plan, &corrections, &mut findings);
    let n_orphans = findings
        .iter()
        .filter(|it| it.code == codes::ORPHAN_CORRECTION);
    assert_eq!(located.len() + n_orphans.count(), 1);
    located.first().map(|it| it.at)
}

#[track_caller]
fn check(found: Option<Coord<f64>>, x: f64, y: f64) {
    let d = found.unwrap() - Coord { x, y };
    assert!(d.x.hypot(d.y) < 1e-6, "{found:?}");
}

#[test]
fn of_a_wall_that_a_wing_parts_each_piece_has_its_own_places() {
    let (old, now) = (shell(), with_wing());
    check(added(&old, &now, [60.0, 0.0]), 60.0, 0.0);
    check(added(&old, &now, [440.0, 0.0]), 440.0, 0.0);
    // What is inside now is no place for what was said of an exterior wall.
    assert_eq!(added(&old, &now, [200.0, 0.0]), None);
}

#[test]
fn an_opening_of_a_wall_that_a_wing_parts_is_known_by_its_place_where_it_stays_outside() {
    let (mut old, mut now) = (shell(), with_wing());
    for (id, x) in [("O2", 210.0), ("O3", 400.0)] {
        old.openings.push(opening(id, "X1", x, x));
    }
    now.openings.push(opening("O4", "I2", 210.0, 50.0));
    now.openings.push(opening("O5", "X8", 400.0, 140.0));
    check(added(&old, &now, [400.0, 0.0]), 400.0, 0.0);
    assert_eq!(added(&old, &now, [210.0, 0.0]), None);
    // One as wide a foot beside it is another.
    now.openings.pop();
    now.openings.push(opening("O5", "X8", 412.0, 152.0));
    assert_eq!(added(&old, &now, [400.0, 0.0]), None);
}

#[test]
fn a_place_is_kept_from_what_stayed_and_not_from_a_window_that_moved_alone() {
    let old = shell();
    let mut now = shell();
    now.openings[0] = opening("O1", "X1", 132.0, 132.0);
    check(added(&old, &now, [180.0, 0.0]), 180.0, 0.0);
    // Two feet longer between the partition and the right end: near the end it goes with the end.
    let mut longer = shell();
    for wall in &mut longer.walls {
        for p in [&mut wall.start, &mut wall.end] {
            p.x += if p.x > 400.0 { 24.0 } else { 0.0 };
        }
    }
    check(added(&old, &longer, [200.0, 0.0]), 200.0, 0.0);
    check(added(&old, &longer, [440.0, 0.0]), 464.0, 0.0);
}

#[test]
fn what_is_said_of_a_wall_along_several_rooms_stays_at_its_room_and_side_however_it_turned() {
    let mut old = shell();
    old.walls.push(wall("I2", [300.0, 150.0], [480.0, 150.0]));
    let over = |p: Coord<f64>| Coord {
        x: 700.0 - p.x,
        y: 900.0 - p.y,
    };
    let mut now = old.clone();
    for wall in &mut now.walls {
        (wall.start, wall.end) = (over(wall.end), over(wall.start));
    }
    for opening in &mut now.openings {
        opening.centre = over(opening.centre);
        opening.near = 480.0 - opening.near - opening.width;
    }
    for at in [[301.0, 60.0], [299.0, 240.0]] {
        let found = said(&old, &now, at, CorrectionIntent::Exterior);
        let wanted = over(at.into());
        check(found, wanted.x, wanted.y);
    }
}
