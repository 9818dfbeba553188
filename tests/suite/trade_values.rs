//! Values of the trade that a drafter knows by heart, each looked up in a package made from words; its source stands beside it.

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
