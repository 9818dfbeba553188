//! Values of the trade that a drafter knows by heart, each looked up in a package made from words; its source stands beside it.
//!
//! Where the values of layout that are not here are looked up, row by row:
//!
//! | value | test |
//! |---|---|
//! | limits of IRC R610.2; SIP header of R610.8; chases of R610.7; rules of a checker | `rule_list.rs` |
//! | IRC R602.7(1): every cell, interpolation, 0.70, outside the table | `src/rules/header_table.rs` |
//! | foam back by 1-1/2 at plates, studs, bucks; 3/4, 1-1/2 and the slot of each spline | `src/fabrication/lumber/ends.rs`, `src/fabrication/mod.rs` |
//! | corners: odd ones bevelled by half the turn, inside ones, tees | `src/layout/tests.rs`, `src/layout/corners.rs`, `kinds.rs` |
//! | 24 in between plate joints, caps that lap | `src/layout/plates.rs`, `kinds.rs` |
//! | both bucks; notch, legs, bridge and sole of a door; jacks; pier of solid lumber | `src/fabrication/lumber/bucks.rs`, `headers.rs`, `piers.rs` |
//! | chases at 16 and 44 in, 4 ft apart, 6 in from the latch, stopped at a window | `src/fabrication/chases/mod.rs` |
//! | blank of 8 ft x 24 ft, axis upright; what a height of 9 ft leaves | `src/layout/price.rs` |
//! | heights of a stack, platform and hung floor | `src/building/raise/tests.rs`, `kinds.rs` |
//!
//! No values of layout: tolerances, facing and foam properties, adhesive, fasteners' penetration, R-values, creep (materials); thickness
//! tables R610.5(1) and (2), whose cells nobody here knows (the engineer's); everything of roofs, hips and valleys; press times, trucks and
//! labels (`quotes.rs`, `proofs_of_loads.rs`, `labels.rs`).

use panelwright::documents::PdfFiles;
use panelwright::fabrication::Lumber;
use panelwright::layout::{PlateUse, WallEnd};
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::rules::PlantRules;
use panelwright::units::Length;
use std::sync::OnceLock;

/// 28 ft x 16 ft in 6-1/2 in panels 8 ft high; the south wall butts at both corners and has a door 3068 and a window 5 ft wide.
fn house() -> &'static Made {
    static MADE: OnceLock<Made> = OnceLock::new();
    MADE.get_or_init(|| {
        let file = |name: &str, text: &str| InputFile {
            name: name.to_owned(),
            bytes: text.as_bytes().to_vec(),
        };
        let plan = "name = 'House'\nthickness = '6 1/2'\nrun = [\"south: E 28'\", \"east: N 16'\", \"north: W 28'\", \"close\"]\n\
            [[opening]]\nwall = 'south'\nkind = 'door'\nfrom = \"4'\"\nsize = '3068'\n\
            [[opening]]\nwall = 'south'\nkind = 'window'\nfrom = \"17'\"\nwidth = \"5'\"\nheight = \"3'\"\nsill = \"3'\"\n";
        let job = "name = 'House'\nassembly = '6-1/2'\n[wall]\nheight = \"8'-0\\\"\"\n[[opening]]\nkind = 'window'\nheader = '2-2x10'\n\
            [[layout]]\nat = [\"14'\", 0]\nleft = 'butt'\nright = 'butt'\n";
        let options = MakeOptions {
            job: Some(file("job.toml", job)),
            pdf: PdfFiles::LeftOut,
            ..MakeOptions::default()
        };
        make(&[file("sketch.toml", plan)], &options, &mut |_| {})
            .unwrap_or_else(|error| panic!("{error}"))
    })
}

fn south() -> (usize, &'static panelwright::layout::WallLayout) {
    let made = house();
    let walls = made.building.walls.iter();
    let index = walls
        .enumerate()
        .find(|(_, it)| !it.openings.is_empty())
        .map(|(index, _)| index);
    let index = index.unwrap();
    (index, &made.layout.walls[index])
}

fn lumber(usage: &str) -> Vec<&'static Lumber> {
    let panels = house().fabrication.panels.iter();
    let pieces = panels.flat_map(|it| &it.lumber);
    pieces.filter(|it| it.usage == usage).collect()
}

#[test]
fn a_panel_is_its_core_and_two_skins() {
    // Cores: ICC-ES evaluation report on OSB/EPS panels, reissued 2020, section 3.2.1; panels: derived, as the press has them.
    let rules = PlantRules::default();
    let named = |name: &str| {
        let mut all = rules.assemblies.iter();
        all.find(|it| it.name == name).map(|it| it.thickness())
    };
    for (name, inches, eighths) in [
        ("4-1/2", 4, 4),
        ("6-1/2", 6, 4),
        ("8-1/4", 8, 2),
        ("10-1/4", 10, 2),
        ("12-1/4", 12, 2),
        ("4-3/8", 4, 3),
        ("6-3/8", 6, 3),
        ("8-1/8", 8, 1),
        ("10-1/8", 10, 1),
        ("12-1/8", 12, 1),
    ] {
        let expected = Length::fraction(inches, eighths, 8);
        assert_eq!(named(name), Some(expected), "{name}");
    }
}

#[test]
fn a_wall_that_butts_twice_is_its_out_to_out_less_two_thicknesses() {
    // Derived: 28'-0" with two butts against 6-1/2 in leaves 26'-11".
    let (_, laid) = south();
    assert_eq!([laid.left_end, laid.right_end], [WallEnd::Butt; 2]);
    assert_eq!(laid.length().feet_inches().to_string(), "26'-11\"");
    // IRC R602.3.2: its cap laps over both walls that run through, so it is as long as the out to out.
    let caps = laid.plates.iter().filter(|it| it.plate == PlateUse::Cap);
    let covered: Length = caps.map(|it| it.to - it.from).sum();
    assert_eq!(covered, Length::feet(28));
    // Common practice: 8'-0" of panel and 1-1/2 in of cap.
    let stack = house().building.walls[0].stack;
    assert_eq!(stack.cap_top, Length::fraction(97, 1, 2));
}

#[test]
fn plate_joints_stand_two_feet_apart_and_from_panel_joints() {
    // IRC R602.3.2 for plates; from panel joints common practice, no source.
    let offset = Length::inches(24);
    let mut n_joints = 0;
    for laid in &house().layout.walls {
        let joints = |plate: PlateUse| -> Vec<Length> {
            let pieces = laid.plates.iter().filter(|it| it.plate == plate);
            pieces.map(|it| it.from).skip(1).collect()
        };
        let (top, cap) = (joints(PlateUse::Top), joints(PlateUse::Cap));
        n_joints += top.len() + cap.len();
        let is_clear =
            |x: &Length, others: &[Length]| others.iter().all(|it| (*x - *it).abs() >= offset);
        assert!(top.iter().all(|x| is_clear(x, &cap)), "{top:?} {cap:?}");
    }
    assert!(n_joints > 0, "no wall is longer than its stock");
}

#[test]
fn a_header_bears_on_its_jacks_by_their_thickness() {
    // Common practice, no source: the rough opening and 3 in for each pair of jacks.
    let (index, _) = south();
    let mut expected: Vec<Length> = house().building.walls[index]
        .openings
        .iter()
        .map(|it| it.width() + Length::inches(3) * i64::from(it.jacks))
        .collect();
    let mut lengths: Vec<Length> = lumber("header").iter().map(|it| it.length).collect();
    lengths.dedup();
    expected.sort_unstable();
    lengths.sort_unstable();
    assert_eq!(lengths, expected);
    // A door 3068 with one jack at each end: 38 + 3; the window 60-1/2 wide with two: 60-1/2 + 6.
    assert_eq!(lengths, [Length::inches(41), Length::fraction(66, 1, 2)]);
}

#[test]
fn splines_reach_from_plate_to_plate_and_corner_screws_through_the_panel() {
    // Derived: 96 - 1-1/2 - 1-1/2 = 93.
    let splines = lumber("spline");
    assert!(!splines.is_empty());
    assert!(splines.iter().all(|it| it.length == Length::inches(93)));
    // Trade press, 2006: 8 in screws for 6-1/2 in panels.
    let fixings = house().fabrication.panels.iter().flat_map(|it| &it.fixings);
    let corner: Vec<&str> = fixings
        .filter(|it| it.usage.starts_with("corner"))
        .map(|it| it.item.as_str())
        .collect();
    assert!(
        !corner.is_empty() && corner.iter().all(|it| it.ends_with(" 8 in")),
        "{corner:?}"
    );
}

#[test]
fn a_door_called_3068_gets_38_by_82() {
    // Trade guides agree on 2 in; 3068 is 36 in x 80 in.
    let (index, _) = south();
    let mut openings = house().building.walls[index].openings.iter();
    let door = openings.find(|it| it.sill == Length::ZERO).unwrap();
    assert_eq!(
        [door.width(), door.height()],
        [Length::inches(38), Length::inches(82)]
    );
}

#[test]
fn panels_stand_an_eighth_apart_and_clear_of_jambs_and_corners() {
    // Gap: APA advice for sheet edges. 6 in from a jamb, no panel below 12 in: common practice, no source.
    use panelwright::layout::RunPiece;
    let made = house();
    let mut n_gaps = 0;
    for (wall, laid) in made.building.walls.iter().zip(&made.layout.walls) {
        for piece in &laid.run {
            match piece {
                RunPiece::Gap { from, to } => {
                    n_gaps += 1;
                    assert_eq!(*to - *from, Length::fraction(0, 1, 8));
                    let [left, right] = [laid.from + *from, laid.from + *to];
                    let is_clear = wall.openings.iter().all(|opening| {
                        right <= opening.from - Length::inches(6)
                            || left >= opening.to + Length::inches(6)
                    });
                    assert!(is_clear, "{} at {left}", wall.id);
                }
                RunPiece::Panel { from, to, .. } => {
                    assert!(*to - *from >= Length::inches(12));
                    // A jumbo blank with its axis upright: 8 ft at most.
                    assert!(*to - *from <= Length::feet(8));
                }
                RunPiece::Opening { .. } => {}
            }
        }
    }
    assert!(n_gaps > 0);
}

#[test]
fn a_cap_is_ripped_from_the_next_wider_lumber_and_plates_are_as_wide_as_the_core() {
    // PS 20: 2x6 is 5-1/2 in wide, 2x8 is 7-1/4 in. A cap of 6-1/2 in comes from a 2x8 (derived; an owner-builder's log rips one).
    for laid in &house().layout.walls {
        for plate in &laid.plates {
            let expected = match plate.plate {
                PlateUse::Sole | PlateUse::Top => "2x6",
                PlateUse::Cap => "2x8",
            };
            assert_eq!(plate.section, expected, "{}", plate.mark);
        }
    }
}

#[test]
fn chases_run_where_electricians_look_for_them() {
    // 16 in and 44 in above the floor, 1-1/2 in wide: makers' pages and a trade paper of 2016.
    let chases = house().fabrication.panels.iter().flat_map(|it| &it.chases);
    let level = chases.clone().filter(|it| it.from.y == it.to.y);
    let mut heights: Vec<Length> = level.map(|it| it.from.y).collect();
    heights.sort_unstable();
    heights.dedup();
    assert_eq!(heights, [16, 44].map(Length::inches));
    let bore = Length::fraction(1, 1, 2);
    assert!(chases.into_iter().all(|it| it.diameter == bore));
}
