//! Plans drawn by one line: which are taken for such, and what comes of them.

use crate::findings::{Finding, Outcome, Severity};
use crate::plan::trial::{
    Swing, corrected, drawing, open_shell, recovered_among, recovered_with, sides,
};
use crate::plan::{
    CorrectionAnchor, CorrectionIntent, OpeningKind, Plan, PlanCorrection, PlanCorrections,
    SingleLines, codes, recover_plan,
};
use std::f64::consts::FRAC_PI_2;

/// A house of single lines, 30 ft by 20 ft: a door in the lower wall at 100 in, a window's box in the upper wall, a partition
/// with a door.
fn sketch() -> (Vec<[f64; 4]>, Vec<Swing>) {
    let lines = vec![
        [0.0, 0.0, 100.0, 0.0],
        [136.0, 0.0, 360.0, 0.0],
        [360.0, 0.0, 360.0, 240.0],
        [360.0, 240.0, 0.0, 240.0],
        [0.0, 240.0, 0.0, 0.0],
        // The leaf of the door.
        [100.0, 0.0, 100.0, 36.0],
        // A window over a line that runs on.
        [60.0, 237.0, 108.0, 237.0],
        [60.0, 243.0, 108.0, 243.0],
        [60.0, 237.0, 60.0, 243.0],
        [108.0, 237.0, 108.0, 243.0],
        // A partition with its door.
        [200.0, 0.0, 200.0, 100.0],
        [200.0, 130.0, 200.0, 240.0],
        [200.0, 130.0, 230.0, 130.0],
        // A counter along a wall.
        [200.0, 215.0, 360.0, 215.0],
    ];
    let swings = vec![
        Swing {
            centre: [100.0, 0.0],
            radius: 36.0,
            start: 0.0,
        },
        Swing {
            centre: [200.0, 130.0],
            radius: 30.0,
            start: -FRAC_PI_2,
        },
    ];
    (lines, swings)
}

fn asked(findings: &[Finding]) -> Vec<&str> {
    let open = findings.iter().filter(|it| it.severity != Severity::Note);
    open.map(|it| it.code.name()).collect()
}

#[test]
fn a_plan_of_single_lines_is_walls_of_an_assumed_thickness_and_is_asked_about_once() {
    let (lines, swings) = sketch();
    let found = recovered_with(&lines, &swings);
    assert_eq!(asked(&found.findings), [codes::SINGLE_LINE.name()]);
    let storey = &found.output.storeys[0];
    let low = storey.outline.iter().map(|p| p.x).fold(0.0, f64::min);
    assert_eq!((storey.outline.len(), low), (4, -3.25));
    let thick: Vec<(bool, f64)> = storey
        .walls
        .iter()
        .map(|wall| (wall.is_exterior, wall.thickness))
        .collect();
    let mut wanted = vec![(true, 6.5); 4];
    wanted.push((false, 4.5));
    assert_eq!(thick, wanted);
    let kinds: Vec<(OpeningKind, f64, f64)> = storey
        .openings
        .iter()
        .map(|it| (it.kind, it.centre.x, it.width))
        .collect();
    assert_eq!(
        kinds,
        [
            (OpeningKind::Door, 118.0, 36.0),
            (OpeningKind::Window, 84.0, 48.0),
            (OpeningKind::Door, 200.0, 30.0)
        ]
    );
    assert!(storey.walls.iter().all(|wall| !wall.sources.is_empty()));
}

#[test]
fn a_flat_box_on_a_single_line_is_a_window() {
    let (mut lines, swings) = sketch();
    for l in &mut lines {
        for y in [1, 3] {
            // The window's box 1 in deep in place of 6.
            l[y] = match l[y] {
                237.0 => 239.5,
                243.0 => 240.5,
                other => other,
            };
        }
    }
    let found = recovered_with(&lines, &swings);
    let openings = found.output.storeys[0].openings.iter();
    let windows = openings.filter(|it| it.kind == OpeningKind::Window);
    let windows: Vec<[f64; 2]> = windows.map(|it| [it.centre.x, it.width]).collect();
    assert_eq!(windows, [[84.0, 48.0]]);
}

#[test]
fn walls_of_two_faces_that_do_not_close_are_not_taken_for_single_lines() {
    // The whole right wall is missing but for one line that closes it.
    let mut lines = open_shell(100.0, 136.0);
    lines.retain(|l| !(l[0] > 353.0 && l[2] > 353.0 && l[0] < 355.0));
    lines.push([100.0, 6.0, 100.0, 42.0]);
    let swing = Swing {
        centre: [100.0, 6.0],
        radius: 36.0,
        start: 0.0,
    };
    let found = recovered_with(&lines, &[swing]);
    assert!(!asked(&found.findings).contains(&codes::SINGLE_LINE.name()));
    assert!(asked(&found.findings).contains(&codes::NO_OUTLINE.name()));
}

#[test]
fn a_frame_round_nothing_is_no_building() {
    let lines = sides(0.0, 0.0, 400.0, 300.0);
    let found = recovered_with(&lines, &[]);
    assert_eq!(asked(&found.findings), [codes::NO_WALLS.name()]);
}

#[test]
fn a_leaf_beside_a_wall_and_a_stub_are_no_window() {
    // A double door 12 in from the lower left corner: its left leaf stands open as far from the left wall as its stub is long,
    // and ends level with the foot of a window in that wall.
    let (mut lines, mut swings) = sketch();
    lines.retain(|l| *l != [0.0, 0.0, 100.0, 0.0]);
    lines.extend([
        [0.0, 0.0, 12.0, 0.0],
        [48.0, 0.0, 100.0, 0.0],
        [12.0, 0.0, 12.0, 36.0],
        [-2.5, 36.0, 2.5, 36.0],
        [-2.5, 72.0, 2.5, 72.0],
        [-2.5, 36.0, -2.5, 72.0],
        [2.5, 36.0, 2.5, 72.0],
    ]);
    swings.push(Swing {
        centre: [12.0, 0.0],
        radius: 36.0,
        start: 0.0,
    });
    let plan = recovered_with(&lines, &swings).output;
    let left = plan.storeys[0]
        .openings
        .iter()
        .filter(|it| it.centre.x < 1.0);
    let left: Vec<[f64; 2]> = left.map(|it| [it.centre.y, it.width]).collect();
    assert_eq!(left, [[54.0, 36.0]]);
}

#[test]
fn walls_round_a_courtyard_are_exterior_ones() {
    let (mut lines, swings) = sketch();
    lines.extend(sides(60.0, 80.0, 160.0, 170.0));
    lines.push([0.0, 120.0, 60.0, 120.0]);
    let found = recovered_among(&lines, &swings, &[("COURTYARD", [110.0, 122.0])]);
    let storey = &found.output.storeys[0];
    let round = storey.walls.iter().filter(|it| {
        let middle = (it.start + it.end) / 2.0;
        (55.0..165.0).contains(&middle.x) && (75.0..175.0).contains(&middle.y)
    });
    let round: Vec<(bool, f64)> = round.map(|it| (it.is_exterior, it.thickness)).collect();
    assert_eq!(round, [(true, 6.5); 4]);
}

#[test]
fn tiles_are_no_walls_of_one_line() {
    let (mut lines, swings) = sketch();
    let bare = recovered_with(&lines, &swings).output.storeys.remove(0);
    // Joints of 3/8 in every 3 ft both ways, in the house and out of it, cut off by nothing.
    for edge in [-0.1875, 0.1875] {
        for i in 0..=20 {
            let x = -190.0 + 36.0 * f64::from(i) + edge;
            lines.push([x, -150.0, x, 354.0]);
        }
        for j in 0..=14 {
            let y = -150.0 + 36.0 * f64::from(j) + edge;
            lines.push([-190.0, y, 530.0, y]);
        }
    }
    let tiled = recovered_with(&lines, &swings).output.storeys.remove(0);
    assert_eq!(tiled.walls.len(), bare.walls.len());
    assert_eq!(tiled.openings.len(), bare.openings.len());
    assert_eq!(tiled.outline, bare.outline);
}

/// A house of two faces with a word in each of its rooms, and the sketch 60 ft to its right, with words under both and in the sketch.
fn beside(under: [&str; 2], inside: &[&str], intent: Option<CorrectionIntent>) -> Outcome<Plan> {
    const ASIDE: f64 = 720.0;
    let mut lines = open_shell(100.0, 136.0);
    lines.push([100.0, 3.0, 136.0, 3.0]);
    let (single, swings) = sketch();
    lines.extend(
        single
            .iter()
            .map(|l| [l[0] + ASIDE, l[1], l[2] + ASIDE, l[3]]),
    );
    let swings: Vec<Swing> = swings
        .into_iter()
        .map(|it| Swing {
            centre: [it.centre[0] + ASIDE, it.centre[1]],
            ..it
        })
        .collect();
    let mut words = vec![("HALL", [180.0, 120.0])];
    for (text, x) in under.into_iter().zip([180.0, ASIDE + 180.0]) {
        words.push((text, [x, -30.0]));
    }
    for (text, x) in inside.iter().zip([60.0, 280.0]) {
        words.push((text, [ASIDE + x, 60.0]));
    }
    let list = intent.map(|intent| PlanCorrection {
        anchor: CorrectionAnchor::Point {
            at: [ASIDE + 60.0, 60.0],
            storey: None,
        },
        intent,
        file: "job.toml".to_owned(),
        line: 1,
    });
    let corrections = PlanCorrections {
        list: list.into_iter().collect(),
        single_lines: SingleLines {
            exterior: 6.5,
            interior: 4.5,
            ..SingleLines::default()
        },
        ..PlanCorrections::default()
    };
    recover_plan(&[drawing(&lines, &swings, &words)], &corrections)
}

#[test]
fn a_storey_of_single_lines_beside_one_of_two_faces_is_told_by_its_title_its_names_or_the_job() {
    let counts = |found: &Outcome<Plan>| -> Vec<(usize, usize)> {
        let storeys = found.output.storeys.iter();
        storeys
            .map(|it| (it.walls.len(), it.openings.len()))
            .collect()
    };
    let both = [(4, 1), (5, 3)];
    let titles = ["%%uFIRST FLOOR PLAN", "%%uSECOND FLOOR PLAN"];
    let titled = beside(titles, &[], None);
    assert_eq!(counts(&titled), both);
    assert!(asked(&titled.findings).contains(&codes::SINGLE_LINE.name()));
    let named = beside(["", ""], &["BATH", "BED"], None);
    assert_eq!(counts(&named), both);
    assert!(asked(&named.findings).contains(&codes::SEVERAL_PLANS.name()));
    // Nothing says what it is: the job does.
    let nameless = beside(["", ""], &[], None);
    assert_eq!(counts(&nameless), [(4, 1)]);
    assert_eq!(asked(&nameless.findings), [codes::OPEN_DRAWING.name()]);
    let said = beside(["", ""], &[], Some(CorrectionIntent::SingleLines));
    assert_eq!(counts(&said), both);
    // A picture of the building is none.
    let other = ["%%uFIRST FLOOR PLAN", "%%uSOUTH ELEVATION"];
    assert_eq!(counts(&beside(other, &["BATH", "BED"], None)), [(4, 1)]);
}

#[test]
fn a_correction_that_finds_no_single_lines_is_reported() {
    let lines = open_shell(100.0, 136.0);
    let at = ([180.0, 120.0], None);
    let found = corrected(&lines, &[], at, Some(CorrectionIntent::SingleLines));
    let lost = found.findings.iter();
    let mut lost = lost.filter(|it| it.code == codes::ORPHAN_CORRECTION);
    assert!(
        lost.next()
            .is_some_and(|it| it.message.contains("single lines"))
    );
}

#[test]
fn panes_alone_on_either_side_of_a_line_that_runs_on_are_a_window() {
    let (mut lines, swings) = sketch();
    lines.retain(|l| !(l[0] == l[2] && (l[1], l[3]) == (237.0, 243.0)));
    for l in &mut lines {
        for y in [1, 3] {
            l[y] = match l[y] {
                237.0 => 239.5,
                243.0 => 240.5,
                other => other,
            };
        }
    }
    let found = recovered_with(&lines, &swings);
    let openings = found.output.storeys[0].openings.iter();
    let windows = openings.filter(|it| it.kind == OpeningKind::Window);
    let windows: Vec<[f64; 2]> = windows.map(|it| [it.centre.x, it.width]).collect();
    assert_eq!(windows, [[84.0, 48.0]]);
}
