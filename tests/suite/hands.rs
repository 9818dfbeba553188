//! One unsymmetrical wall of each sample, worked by hand: which opening is nearer the left end, seen from outside?

use crate::kit::sample_package;
use panelwright::building::PanelWall;
use panelwright::units::Length;

/// Checks the rough openings of the wall that looks towards `out`, from its left end as seen from outside, and that the
/// panels that hold them stand in the world where the architect drew them.
///
/// - `expected`: left jamb and right jamb of each rough opening along the wall, in order.
/// - `first_jamb`: where the first left jamb stands in the drawing, inches.
#[track_caller]
fn check(
    case: &str,
    plan: &str,
    out: (f64, f64),
    expected: &[(Length, Length)],
    first_jamb: (f64, f64),
) {
    let made = sample_package(case, plan);
    let looks = |wall: &&PanelWall| {
        let o = wall.frame.out();
        (o.x - out.0).abs() < 1e-9
            && (o.y - out.1).abs() < 1e-9
            && wall.openings.len() == expected.len()
    };
    let wall = made
        .building
        .walls
        .iter()
        .find(looks)
        .expect("the wall is there");
    let jambs: Vec<(Length, Length)> = wall.openings.iter().map(|o| (o.from, o.to)).collect();
    assert_eq!(jambs, expected);
    let jamb = wall.frame.point(jambs[0].0.to_inches(), 0.0);
    let miss = (jamb.x - first_jamb.0).hypot(jamb.y - first_jamb.1);
    assert!(
        miss < 1.0 / 64.0,
        "the left jamb of the first opening is {miss} in off"
    );
    // The panel with the first opening: its own left jamb, carried into the world by `placed` alone, is the same point.
    let opening = &wall.openings[0].id;
    let in_panel = made.fabrication.panels.iter().find_map(|panel| {
        let hole = panel.openings.iter().find(|o| o.id == *opening)?;
        let x = hole.rough.x0.to_inches();
        Some((
            panel.placed.origin[0] + panel.placed.x[0] * x,
            panel.placed.origin[1] + panel.placed.x[1] * x,
        ))
    });
    let (x, y) = in_panel.expect("a panel holds the first opening");
    let miss = (x - first_jamb.0).hypot(y - first_jamb.1);
    assert!(
        miss < 1.0 / 64.0,
        "in its panel the left jamb is {miss} in off"
    );
}

fn inches(whole: i64, num: i64, den: i64) -> Length {
    Length::fraction(whole, num, den)
}

/// The bunkhouse's south wall runs along y = 0. Standing south of it and looking north, west is on the left, so the wall
/// starts at x = 0. The architect drew the 3040 window from x = 30 to 66: unit 36, rough 36 1/2, centred at 48, so 29 3/4
/// to 66 1/4. The door 3068 from 300 to 336: rough 38 about 318, 299 to 337. The 6040 from 396 to 468: rough 72 1/2 about
/// 432, 395 3/4 to 468 1/4, which leaves 59 3/4 to the right end at 528. The small window is nearer the left end.
#[test]
fn the_bunkhouse_has_its_small_window_near_the_left_end() {
    let expected = [
        (inches(29, 3, 4), inches(66, 1, 4)),
        (Length::inches(299), Length::inches(337)),
        (inches(395, 3, 4), inches(468, 1, 4)),
    ];
    check(
        "bunkhouse",
        "plan.dxf",
        (0.0, -1.0),
        &expected,
        (29.75, 0.0),
    );
}

/// The cottage's east wall runs along x = 384 from y = 0 to 204. Standing east of it and looking west, south is on the
/// left. The door 3068 is drawn from y = 30 to 66: rough 38 about 48, 29 to 67. The window 4030 from 114 to 162: rough
/// 48 1/2 about 138, 113 3/4 to 162 1/4. The door, 29 in from the left end, is nearer to it than the window.
#[test]
fn the_cottage_has_its_door_near_the_left_end_of_the_east_wall() {
    let expected = [
        (Length::inches(29), Length::inches(67)),
        (inches(113, 3, 4), inches(162, 1, 4)),
    ];
    check("cottage", "plan.dxf", (1.0, 0.0), &expected, (384.0, 29.0));
}

/// The workshop's south wall, in millimetres: a garage door from 900 to 3600, one from 4800 to 9600 (drawn widths are rough
/// by the plant's rule), and a door from 10200 to 11100 that gets 2 in (50.8 mm): 10174.6 to 11125.4, to the half
/// millimetre 10174.5 to 11125.5 or as near as the bridge's step allows. The smaller garage door is nearer the left end.
#[test]
fn the_workshop_has_its_smaller_garage_door_near_the_left_end() {
    let made = sample_package("workshop", "plan.dxf");
    let south = made
        .building
        .walls
        .iter()
        .find(|wall| wall.openings.len() == 3)
        .expect("the south wall");
    let jambs: Vec<(f64, f64)> = south
        .openings
        .iter()
        .map(|o| (o.from.to_millimetres(), o.to.to_millimetres()))
        .collect();
    let expected = [(900.0, 3600.0), (4800.0, 9600.0), (10174.6, 11125.4)];
    for ((from, to), (a, b)) in jambs.iter().zip(expected) {
        assert!(
            (from - a).abs() <= 0.25 && (to - b).abs() <= 0.25,
            "{jambs:?}"
        );
    }
    assert_eq!(jambs.len(), expected.len());
}
