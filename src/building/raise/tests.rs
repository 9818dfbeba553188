//! Plans made by hand, raised, and compared with what a drafter would write.

mod layers;
mod sizes;
mod skins;
use super::*;
use crate::building::{RoughOpening, SizeOrigin};
use crate::findings::Severity;
use crate::plan::{Hinge, Opening, OpeningKind, Wall};
use crate::rules::{HeaderMember, read_job};

/// A storey whose outline is the ring of points, with one wall of a thickness behind each face.
fn storey(ring: &[(f64, f64)], thickness: f64) -> Storey {
    let outline: Vec<Coord<f64>> = ring.iter().map(|p| Coord { x: p.0, y: p.1 }).collect();
    let n_points = outline.len();
    let faces: Vec<Frame> = (0..n_points)
        .map(|i| Frame::from_points(outline[i], outline[(i + 1) % n_points]).unwrap())
        .collect();
    // Centre lines meet where the shifted faces cross.
    let centre = |i: usize| {
        let (a, b) = (faces[(i + n_points - 1) % n_points], faces[i]);
        let sine = a.along.x * b.along.y - a.along.y * b.along.x;
        let half = -thickness / 2.0;
        let (p, q) = (a.point(0.0, half), b.point(0.0, half));
        let between = q - p;
        p + a.along * ((between.x * b.along.y - between.y * b.along.x) / sine)
    };
    let walls = (0..n_points)
        .map(|i| Wall {
            id: format!("X{}", i + 1),
            is_exterior: true,
            start: centre(i),
            end: centre((i + 1) % n_points),
            thickness,
            sources: vec![format!("A{i}")],
            confidence: 1.0,
            ..Wall::default()
        })
        .collect();
    Storey {
        id: "S1".to_owned(),
        file: "plan.dxf".to_owned(),
        outline,
        walls,
        ..Storey::default()
    }
}

/// An opening in the n-th wall of a storey, its middle `along` from the left corner of the face.
fn add_opening(storey: &mut Storey, wall: usize, kind: OpeningKind, along: f64, width: f64) {
    let n_points = storey.outline.len();
    let face = Frame::from_points(storey.outline[wall], storey.outline[(wall + 1) % n_points]);
    let thickness = storey.walls[wall].thickness;
    storey.openings.push(Opening {
        id: format!("O{}", storey.openings.len() + 1),
        wall: storey.walls[wall].id.clone(),
        kind,
        centre: face.unwrap().point(along, -thickness / 2.0),
        width,
        sources: vec!["B1".to_owned()],
        confidence: 1.0,
        ..Opening::default()
    });
}

fn plan(storey: Storey) -> Plan {
    Plan {
        inches_per_unit: 1.0,
        unit_confidence: 1.0,
        storeys: vec![storey],
        ..Plan::default()
    }
}

fn raise(plan: &Plan, job: &str) -> Outcome<Building> {
    let job = read_job(job, "job.toml").unwrap().output;
    raise_building(plan, &job, &PlantRules::default())
}

/// `O1 door 22..60 x 0..82`: an opening in one line.
fn line(opening: &RoughOpening) -> String {
    let (from, to, sill, head) = (opening.from, opening.to, opening.sill, opening.head);
    let (id, kind, header) = (&opening.id, opening.kind.name(), opening.header.name());
    format!("{id} {kind} {from}..{to} x {sill}..{head} {header}").replace('"', "")
}

/// Raises a plan and compares the openings of its first wall, one line each.
#[track_caller]
fn check_openings(storey: Storey, job: &str, expected: &[&str]) -> Outcome<Building> {
    let raised = raise(&plan(storey), job);
    let lines: Vec<String> = raised.output.walls[0].openings.iter().map(line).collect();
    assert_eq!(lines, expected);
    raised
}

/// The codes of findings at least as grave as a severity, sorted, each once.
fn codes_of(raised: &Outcome<Building>, severity: Severity) -> Vec<&'static str> {
    let mut codes: Vec<&str> = raised
        .findings
        .iter()
        .filter(|finding| finding.severity >= severity)
        .map(|finding| finding.code.name())
        .collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

const HOUSE: [(f64, f64); 4] = [(0.0, 0.0), (336.0, 0.0), (336.0, 192.0), (0.0, 192.0)];
const COMPLETE: &str = "assembly = '6-1/2'\n[wall]\nheight = \"9'\"\nhold = 'outside'\n\
    [loads]\nground_snow_psf = 40\nwind_mph = 115\nexposure = 'B'\nseismic = 'B'\n";

#[test]
fn a_plain_house_has_four_walls_that_follow_each_other() {
    // 28 ft x 16 ft with 6-1/2 in walls and 9 ft panels: 108 in, 9'-1 1/2" to the top of the cap (trade practice, no source).
    let raised = raise(&plan(storey(&HOUSE, 6.5)), COMPLETE);
    assert_eq!(raised.findings, Vec::new());
    let walls = &raised.output.walls;
    let lengths: Vec<String> = walls
        .iter()
        .map(|wall| wall.face_length.feet_inches().to_string())
        .collect();
    assert_eq!(lengths, ["28'-0\"", "16'-0\"", "28'-0\"", "16'-0\""]);
    assert_eq!(walls[0].stack.panel_top, Length::inches(108));
    assert_eq!(
        walls[0].stack.cap_top.feet_inches().to_string(),
        "9'-1 1/2\""
    );
    for (index, wall) in walls.iter().enumerate() {
        assert_eq!(wall.right.with, Some((index + 1) % 4));
        assert_eq!(wall.left.with, Some((index + 3) % 4));
        assert_eq!(wall.right.kind, CornerKind::Outside);
        assert!((wall.right.turn_deg - 90.0).abs() < 1e-9);
    }
    assert_eq!(walls[1].frame.out(), (1.0, 0.0).into());
}

#[test]
fn a_height_to_the_cap_or_ceiling_takes_the_cap_off_the_panel() {
    for to in ["cap", "ceiling"] {
        let job = format!("[wall]\nheight = \"9'\"\nto = '{to}'");
        let raised = raise(&plan(storey(&HOUSE, 6.5)), &job);
        let stack = raised.output.walls[0].stack;
        assert_eq!(stack.panel_top, Length::fraction(106, 1, 2));
        assert_eq!(stack.cap_top, Length::inches(108));
    }
}

#[test]
fn without_a_job_every_default_taken_is_a_doubt() {
    let mut bare = storey(&HOUSE, 6.5);
    add_opening(&mut bare, 0, OpeningKind::Door, 100.0, 36.0);
    add_opening(&mut bare, 0, OpeningKind::Window, 200.0, 48.0);
    // 36 in door: 38 in rough, 80 in: 82 in rough (trade guides); window heads line up with door heads (NAVEDTRA 14044).
    let raised = check_openings(
        bare,
        "",
        &[
            "O1 door 81..119 x 0..82 2-2x8",
            "O2 window 175 3/4..224 1/4 x 33 1/2..82 2-2x8",
        ],
    );
    assert_eq!(
        raised.output.walls[0].openings[0].height_origin,
        SizeOrigin::Assumed
    );
    assert_eq!(
        codes_of(&raised, Severity::Doubt),
        ["BLDG-05", "BLDG-07", "BLDG-10", "BLDG-15"]
    );
    assert_eq!(codes_of(&raised, Severity::Fault), Vec::<&str>::new());
}

#[test]
fn the_job_says_more_of_an_id_than_of_a_tag_than_of_a_kind() {
    let mut house = storey(&HOUSE, 6.5);
    for along in [60.0, 150.0, 240.0] {
        add_opening(&mut house, 0, OpeningKind::Window, along, 36.0);
    }
    house.openings[1].tag = Some("3040".to_owned());
    house.openings[1].height = Some(48.0);
    let job = "[[opening]]\nid = 'O3'\nheight = 24\n[[opening]]\nkind = 'window'\nhead = 84\nheight = 60\n\
        [[opening]]\ntag = '3040'\nsill = 40\nheader = '2-2x10'\n";
    let raised = check_openings(
        house,
        job,
        &[
            "O1 window 41 3/4..78 1/4 x 23 1/2..84 2-2x8",
            "O2 window 131 3/4..168 1/4 x 40..84 2-2x10",
            "O3 window 221 3/4..258 1/4 x 59 1/2..84 2-2x8",
        ],
    );
    let named = &raised.output.walls[0].openings[1];
    assert!(named.header_from_job);
    assert_eq!(named.header_rule, "job.toml:8");
    assert_eq!(named.height_origin, SizeOrigin::Job);
}

#[test]
fn an_assumed_head_leaves_a_stated_height_stated() {
    let mut house = storey(&HOUSE, 6.5);
    for along in [60.0, 150.0, 240.0] {
        add_opening(&mut house, 0, OpeningKind::Window, along, 36.0);
    }
    house.openings[0].height = Some(48.0);
    house.openings[1].sill = Some(30.0);
    let raised = check_openings(
        house,
        "[[opening]]\nid = 'O3'\nhead = 84\n",
        &[
            "O1 window 41 3/4..78 1/4 x 33 1/2..82 2-2x8",
            "O2 window 131 3/4..168 1/4 x 30..82 2-2x8",
            "O3 window 221 3/4..258 1/4 x 35 1/2..84 2-2x8",
        ],
    );
    let (plan, job, assumed) = (SizeOrigin::Plan, SizeOrigin::Job, SizeOrigin::Assumed);
    let openings = raised.output.walls[0].openings.iter();
    let from: Vec<_> = openings
        .map(|it| (it.height_origin, it.head_origin))
        .collect();
    // A height between a stated sill and an assumed head is as assumed as the head.
    assert_eq!(from, [(plan, assumed), (assumed, assumed), (assumed, job)]);
}

#[test]
fn a_sill_alone_keeps_heads_level_unless_it_stands_above_them() {
    let mut house = storey(&HOUSE, 6.5);
    add_opening(&mut house, 0, OpeningKind::Window, 60.0, 36.0);
    add_opening(&mut house, 0, OpeningKind::Window, 150.0, 36.0);
    house.openings[1].height = Some(12.0);
    let job = "[wall]\nheight = 120\n[[opening]]\nid = 'O1'\nsill = 44\n[[opening]]\nid = 'O2'\nsill = 90\n";
    check_openings(
        house,
        job,
        &[
            "O1 window 41 3/4..78 1/4 x 44..82 2-2x8",
            "O2 window 131 3/4..168 1/4 x 90..102 1/2 2-2x8",
        ],
    );
}

#[test]
fn three_sizes_of_the_same_weight_that_disagree_are_a_doubt() {
    let mut house = storey(&HOUSE, 6.5);
    add_opening(&mut house, 0, OpeningKind::Window, 100.0, 36.0);
    let job = "[[opening]]\nid = 'O1'\nsill = 30\nhead = 84\nrough_height = 50\n";
    let raised = check_openings(house, job, &["O1 window 81 3/4..118 1/4 x 34..84 2-2x8"]);
    assert!(codes_of(&raised, Severity::Doubt).contains(&"BLDG-11"));
}

#[test]
fn openings_that_cannot_be_are_faults_and_the_rest_goes_on() {
    let mut house = storey(&HOUSE, 6.5);
    add_opening(&mut house, 0, OpeningKind::Door, 10.0, 36.0);
    add_opening(&mut house, 0, OpeningKind::Window, 100.0, 36.0);
    add_opening(&mut house, 0, OpeningKind::Window, 130.0, 36.0);
    add_opening(&mut house, 0, OpeningKind::Door, 220.0, 36.0);
    add_opening(&mut house, 0, OpeningKind::Window, 300.0, 36.0);
    house.openings[3].height = Some(120.0);
    let raised = check_openings(
        house,
        COMPLETE,
        &[
            "O2 window 81 3/4..118 1/4 x 33 1/2..82 2-2x8",
            "O4 door 201..239 x 0..106 1/2 engineer",
            "O5 window 281 3/4..318 1/4 x 33 1/2..82 2-2x8",
        ],
    );
    assert_eq!(
        codes_of(&raised, Severity::Fault),
        ["BLDG-12", "BLDG-13", "BLDG-14", "BLDG-42"]
    );
    let wall = &raised.output.walls[0];
    assert!(wall.on_hold);
    let held: Vec<bool> = wall
        .openings
        .iter()
        .map(|opening| opening.on_hold)
        .collect();
    assert_eq!(held, [true, true, false]);
    assert!(!raised.output.walls[1].on_hold);
}

#[test]
fn headers_are_named_and_never_sized() {
    let mut house = storey(&HOUSE, 6.5);
    add_opening(&mut house, 0, OpeningKind::Window, 30.0, 20.0);
    add_opening(&mut house, 0, OpeningKind::GarageDoor, 150.0, 108.0);
    let raised = check_openings(
        house,
        COMPLETE,
        &[
            "O1 window 19 3/4..40 1/4 x 33 1/2..82 none",
            "O2 garage_door 96..204 x 0..84 engineer",
        ],
    );
    let not_sized: Vec<&str> = raised
        .findings
        .iter()
        .filter(|finding| finding.code == codes::HEADER_NOT_SIZED)
        .map(|finding| finding.message.as_str())
        .collect();
    assert_eq!(not_sized.len(), 2);
    let held = raised.output.walls[0].openings.iter().map(|it| it.on_hold);
    assert!(
        held.eq([false, true]),
        "nobody names a member over the garage door"
    );
    assert!(
        not_sized
            .iter()
            .all(|message| message.ends_with("not sized: engineer"))
    );
    assert_eq!(
        raised.output.walls[0].openings[1].header,
        HeaderMember::Engineer
    );

    let mut wide = storey(
        &[(0.0, 0.0), (480.0, 0.0), (480.0, 192.0), (0.0, 192.0)],
        6.5,
    );
    add_opening(&mut wide, 0, OpeningKind::Opening, 240.0, 360.0);
    let raised = raise(&plan(wide), COMPLETE);
    assert!(codes_of(&raised, Severity::Fault).contains(&"BLDG-16"));
    assert!(raised.output.walls[0].openings[0].on_hold);
}

#[test]
fn over_an_opening_up_to_the_top_plate_only_the_job_can_say_that_plates_carry() {
    for (words, severity, is_held) in [
        ("", Severity::Fault, true),
        ("header = 'none'", Severity::Doubt, false),
    ] {
        let mut house = storey(&HOUSE, 6.5);
        add_opening(&mut house, 0, OpeningKind::Window, 100.0, 36.0);
        let job = format!("{COMPLETE}\n[[opening]]\nid = 'O1'\nhead = 106.5\nheight = 60\n{words}");
        let raised = raise(&plan(house), &job);
        assert!(codes_of(&raised, severity).contains(&"BLDG-42"), "{words}");
        assert_eq!(raised.output.walls[0].openings[0].on_hold, is_held);
    }
}

#[test]
fn an_ell_has_one_inside_corner_and_a_bay_has_odd_ones() {
    let ell = [
        (0.0, 0.0),
        (324.0, 0.0),
        (324.0, 120.0),
        (180.0, 120.0),
        (180.0, 240.0),
        (0.0, 240.0),
    ];
    let raised = raise(&plan(storey(&ell, 6.5)), COMPLETE);
    let kinds: Vec<CornerKind> = raised
        .output
        .walls
        .iter()
        .map(|wall| wall.right.kind)
        .collect();
    assert_eq!(
        kinds
            .iter()
            .filter(|kind| **kind == CornerKind::Inside)
            .count(),
        1
    );
    assert_eq!(kinds[2], CornerKind::Inside);

    let bay = [
        (0.0, 0.0),
        (120.0, 0.0),
        (144.0, -24.0),
        (216.0, -24.0),
        (240.0, 0.0),
        (360.0, 0.0),
        (360.0, 240.0),
        (0.0, 240.0),
    ];
    let raised = raise(&plan(storey(&bay, 6.5)), COMPLETE);
    let turns: Vec<f64> = raised
        .output
        .walls
        .iter()
        .map(|w| w.right.turn_deg.round())
        .collect();
    assert_eq!(turns, [-45.0, 45.0, 45.0, -45.0, 90.0, 90.0, 90.0, 90.0]);
    assert_eq!(raised.output.walls[0].right.kind, CornerKind::Odd);
}

#[test]
fn a_turned_house_has_the_same_walls_and_openings_in_wall_coordinates() {
    let raised_at = |degrees: f64| {
        let (s, c) = f64::to_radians(degrees).sin_cos();
        let ring: Vec<(f64, f64)> = HOUSE
            .iter()
            .map(|(x, y)| (x * c - y * s + 5000.3, x * s + y * c - 812.7))
            .collect();
        let mut house = storey(&ring, 6.5);
        add_opening(&mut house, 1, OpeningKind::Window, 61.375, 36.0);
        raise(&plan(house), COMPLETE).output
    };
    let straight = raised_at(0.0);
    for degrees in [15.0, 33.3, 90.0, 200.0] {
        let turned = raised_at(degrees);
        for (a, b) in straight.walls.iter().zip(&turned.walls) {
            assert_eq!(a.face_length, b.face_length);
            assert_eq!(a.openings, b.openings);
        }
    }
}

#[test]
fn a_metric_workshop_is_whole_in_millimetres() {
    let mm = |x: f64, y: f64| (x / 25.4, y / 25.4);
    let ring = [
        mm(0.0, 0.0),
        mm(6000.0, 0.0),
        mm(6000.0, 9000.0),
        mm(0.0, 9000.0),
    ];
    let mut shop = storey(&ring, 165.1 / 25.4);
    add_opening(
        &mut shop,
        0,
        OpeningKind::GarageDoor,
        3000.0 / 25.4,
        2400.0 / 25.4,
    );
    let mut plan = plan(shop);
    plan.unit = DrawingUnit::Millimetre;
    let raised = raise(&plan, COMPLETE);
    let wall = &raised.output.walls[0];
    assert_eq!(wall.face_length, Length::millimetres(6000));
    assert_eq!(wall.openings[0].from, Length::millimetres(1800));
    assert_eq!(wall.openings[0].to, Length::millimetres(4200));
}

#[test]
fn interior_walls_that_end_on_a_wall_are_tees_and_a_door_keeps_its_hinge() {
    let mut house = storey(&HOUSE, 6.5);
    house.walls.push(Wall {
        id: "I1".to_owned(),
        start: Coord { x: 150.0, y: 3.25 },
        end: Coord {
            x: 150.0,
            y: 188.75,
        },
        thickness: 4.5,
        ..Wall::default()
    });
    add_opening(&mut house, 0, OpeningKind::Door, 60.0, 36.0);
    house.openings[0].hinge = Some(Hinge::Start);
    // The same wall drawn the other way round: its start is the face's right end.
    let south = &mut house.walls[0];
    std::mem::swap(&mut south.start, &mut south.end);
    let raised = raise(&plan(house), COMPLETE);
    let wall = &raised.output.walls[0];
    assert_eq!(wall.tees.len(), 1);
    assert_eq!(wall.tees[0].from, Length::fraction(147, 3, 4));
    assert_eq!(wall.tees[0].to, Length::fraction(152, 1, 4));
    assert_eq!(wall.openings[0].hinge, Some(Hinge::End));
    assert_eq!(raised.output.walls[2].tees.len(), 1);
}

#[test]
fn what_the_prescriptive_rules_do_not_cover_is_told_with_its_source() {
    // Limits: IRC R610.2 (2018): 10 ft walls, 60 ft x 40 ft, 70 psf, seismic A to C; 4-1/2 and 6-1/2 in: ANSI/APA PRS 610.1.
    let long = [(0.0, 0.0), (732.0, 0.0), (732.0, 300.0), (0.0, 300.0)];
    let job = "assembly = '8-1/4'\n[wall]\nheight = \"11'\"\n[loads]\nground_snow_psf = 80\nwind_mph = 150\n\
        exposure = 'C'\nseismic = 'D0'\n";
    let job = read_job(job, "job.toml").unwrap().output;
    let mut rules = PlantRules::default();
    rules.chases.horizontal.push(Length::inches(72));
    let raised = raise_building(&plan(storey(&long, 8.25)), &job, &rules);
    let beyond: Vec<&str> = raised
        .findings
        .iter()
        .filter(|finding| finding.code == codes::OUTSIDE_PRESCRIPTIVE)
        .map(|finding| finding.message.as_str())
        .collect();
    let quoted = beyond.iter().filter(|words| words.contains("IRC R610.2"));
    // And three horizontal chases, where IRC R610.7 as remembered allows two.
    assert_eq!((quoted.count(), beyond.len()), (6, 7), "{beyond:#?}");
}

#[test]
fn an_open_outline_and_an_unknown_deck_are_faults() {
    let mut open = storey(&HOUSE, 6.5);
    open.outline.clear();
    let raised = raise(&plan(open), COMPLETE);
    assert_eq!(codes_of(&raised, Severity::Fault), ["BLDG-01"]);
    assert!(raised.output.walls.is_empty());

    let mut two = plan(storey(&HOUSE, 6.5));
    let mut upper = storey(&HOUSE, 6.5);
    upper.id = "S2".to_owned();
    for wall in &mut upper.walls {
        wall.id = wall.id.replace('X', "X1");
    }
    two.storeys.push(upper);
    let raised = raise(&two, COMPLETE);
    assert_eq!(codes_of(&raised, Severity::Fault), ["BLDG-09"]);
    assert!(raised.output.walls[4].on_hold && !raised.output.walls[0].on_hold);
    let stated = format!("{COMPLETE}[[storey]]\nid = 'S2'\nfloor = \"9'-11 1/4\\\"\"\n");
    let raised = raise(&two, &stated);
    assert_eq!(raised.findings, Vec::new());
    assert_eq!(
        raised.output.storeys[1].floor.feet_inches().to_string(),
        "9'-11 1/4\""
    );
    assert_eq!(raised.output.walls[4].right.with, Some(5));
}

#[test]
fn names_the_plan_does_not_have_are_doubts_with_their_lines() {
    let job = "assembly = '6-1/4'\n[[wall.only]]\nid = 'X9'\nheight = 96\n[[opening]]\nid = 'O7'\nheight = 80\n";
    let raised = raise(&plan(storey(&HOUSE, 6.5)), job);
    let lines: Vec<Option<usize>> = raised
        .findings
        .iter()
        .filter(|finding| finding.code == codes::JOB_NAMES_NOTHING)
        .map(|finding| finding.place.line)
        .collect();
    assert_eq!(lines, [Some(2), Some(5)]);
    assert_eq!(codes_of(&raised, Severity::Fault), ["BLDG-06"]);
    assert!(raised.output.walls.iter().all(|wall| wall.on_hold));
}

#[test]
fn an_upper_storey_drawn_elsewhere_stands_over_the_lower_one() {
    // The upper plan lies 1000 in to the right on the sheet and a quarter turn round.
    let lower = storey(&HOUSE, 6.5);
    let ring: Vec<(f64, f64)> = HOUSE.iter().map(|(x, y)| (1000.0 + y, 500.0 - x)).collect();
    let mut upper = storey(&ring, 6.5);
    upper.id = "S2".to_owned();
    for wall in &mut upper.walls {
        wall.id = wall.id.replace('X', "Y");
    }
    upper.to_building = ToBuilding {
        shift: [500.0, -1000.0],
        turn_deg: 90.0,
        floor: 120.0,
    };
    add_opening(&mut upper, 0, OpeningKind::Window, 100.0, 36.0);
    let mut both = plan(lower);
    both.storeys.push(upper.clone());
    let raised = raise(&both, COMPLETE);
    assert_eq!(codes_of(&raised, Severity::Fault), Vec::<&str>::new());
    let (below, above) = (&raised.output.walls[0], &raised.output.walls[4]);
    let gap = below.frame.origin - above.frame.origin;
    assert!(gap.x.hypot(gap.y) < 1e-9, "{gap:?}");
    assert_eq!(above.face_length, below.face_length);
    assert_eq!(above.openings[0].from, Length::fraction(81, 3, 4));
    assert_eq!(raised.output.storeys[1].floor, Length::inches(120));
    let there = to_building(&upper.to_building, upper.outline[0]);
    let back = to_drawing(&upper.to_building, there);
    assert!(
        (back.x - upper.outline[0].x).abs() < 1e-9 && (back.y - upper.outline[0].y).abs() < 1e-9
    );
}

/// The house with a second storey of the same outline.
fn two_storeys() -> Plan {
    let mut both = plan(storey(&HOUSE, 6.5));
    let mut upper = storey(&HOUSE, 6.5);
    upper.id = "S2".to_owned();
    for wall in &mut upper.walls {
        wall.id = wall.id.replace('X', "Y");
    }
    both.storeys.push(upper);
    both
}

#[test]
fn a_deck_lies_on_the_caps_below_by_the_depth_of_its_floor() {
    // 9'-0" panels and a 1 1/2" cap (trade rule, derived), then 12 5/8" of floor, or none where the floor hangs inside.
    let deck = |keys: &str| {
        let job = format!("{COMPLETE}[[storey]]\nid = 'S2'\n{keys}\n");
        raise(&two_storeys(), &job).output.storeys[1]
            .floor
            .feet_inches()
            .to_string()
    };
    assert_eq!(deck("floor_depth = '12-5/8'"), "10'-2 1/8\"");
    assert_eq!(deck("floor_kind = 'hung'"), "9'-1 1/2\"");
}

#[test]
fn a_gable_rises_by_its_pitch_and_a_top_that_stops_short_is_a_fault() {
    // X2 is 16 ft wide: 6:12 over 8 ft of run is 4 ft.
    let wall = |keys: &str| {
        let job = format!("{COMPLETE}[[wall.only]]\nid = 'X2'\n{keys}\n");
        raise(&plan(storey(&HOUSE, 6.5)), &job).output.walls[1].clone()
    };
    assert_eq!(wall("pitch = 6").stack.panel_top, Length::feet(13));
    let level = wall("top = [[0, 96], [100, 120]]");
    assert!(level.on_hold && level.profile.is_level());
}
