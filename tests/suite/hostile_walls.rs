//! Walls that ask for trouble, from a sketch to proved files: each gives a sound package, or a fault that names it while the rest goes on.

use crate::kinds::{JOB, SKETCH, check_sound, made, text};
use crate::kit::sheet_words;
use crate::sheets::on_its_paper;
use panelwright::layout::{PlateUse, RunPiece, WallEnd, WallLayout};
use panelwright::package::Made;
use panelwright::units::Length;
use std::collections::BTreeSet;

/// A house of 50 ft x 25 ft with these openings.
fn house(openings: &str, job: &str) -> Made {
    let outline = "run = [\"E 50'\", \"N 25'\", \"W 50'\", 'close']\n";
    let plan = text("plan.toml", &format!("{SKETCH}{outline}{openings}"));
    made(plan, &format!("{JOB}{job}"), "")
}

fn garage_door(wall: usize, from: &str, width: &str) -> String {
    format!(
        "[[opening]]\nwall = {wall}\nkind = 'garage_door'\nfrom = '{from}'\nwidth = '{width}'\nheight = '84'\n"
    )
}

/// X1 has no panels and LAY-01 says so of it alone; every other wall is whole, nothing of it is on HOLD, and all proofs hold.
#[track_caller]
fn check_rest_goes_on(made: &Made) {
    // Nobody names what carries over the wide doors.
    check_sound(made, &["LAY-01", "BLDG-15"]);
    let faults = made.findings.iter().filter(|it| it.code.name() == "LAY-01");
    let named: Vec<_> = faults.map(|it| it.place.element.as_deref()).collect();
    assert_eq!(named, [Some("X1")]);
    let walls: BTreeSet<&str> = made
        .layout
        .panels
        .iter()
        .map(|it| made.building.walls[it.wall].id.as_str())
        .collect();
    assert_eq!(walls, BTreeSet::from(["X2", "X3", "X4"]));
    let files = &made.documents.files;
    for panel in &made.fabrication.panels {
        assert!(!panel.is_held(), "{}", panel.mark);
        assert!(files.contains_key(&format!("outlines/{}.dxf", panel.mark)));
    }
    assert!(!made.is_complete());
    // Whoever stands on the site reads it on every sheet that shows where the wall is missing, and none of them is released.
    for (sheet, words) in [
        ("Z-000-cover", "X1: no panels made"),
        ("Z-101-key-plan", "X1: no panels made"),
        ("Z-101-key-plan", "X1 is not made: brace X4"),
        ("Z-201-X1-X2", "X1: NO PANELS MADE"),
        ("Z-201-X1-X2", "X1 is not made: brace"),
        ("Z-501-details", "X1: no panels made"),
        ("Z-501-details", "X1 is not made: brace until it is held"),
        ("Z-601-schedules", "X1: no panels made"),
    ] {
        let text = sheet_words(made, &format!("sheets/{sheet}.svg"));
        assert!(text.contains(words), "{sheet}");
        assert!(!text.contains("not on hold"), "{sheet}");
    }
    assert!(sheet_words(made, "sheets/Z-202-X3-X4.svg").contains("not on hold"));
    // Nothing is drawn off its paper, though it would reach to what is not there.
    for it in &made.sheets {
        on_its_paper(&it.sheet);
    }
    // No cap reaches over where that wall would stand.
    for id in ["X2", "X4"] {
        let wall = made.building.walls.iter().position(|it| it.id == id);
        let wall = &made.layout.walls[wall.unwrap()];
        let caps = wall.plates.iter().filter(|it| it.plate == PlateUse::Cap);
        let caps: Vec<[Length; 2]> = caps.map(|it| [it.from, it.to]).collect();
        let (first, last) = (caps.first().unwrap()[0], caps.last().unwrap()[1]);
        let end = if id == "X2" {
            first
        } else {
            last - wall.length()
        };
        assert_eq!(end, Length::ZERO, "{id}");
    }
}

#[test]
fn a_wall_higher_than_any_blank_is_left_out_and_the_rest_goes_on() {
    let window = "[[opening]]\nwall = 1\nkind = 'window'\nfrom = \"5'\"\nwidth = \"3'\"\nheight = \"4'\"\nsill = '36'\n";
    let made = house(window, "[[wall.only]]\nid = 'X1'\nheight = \"26'-0\\\"\"\n");
    check_rest_goes_on(&made);
    // Its window is ordered all the same.
    let list = String::from_utf8(made.documents.files["lists/openings.csv"].clone()).unwrap();
    assert!(
        list.lines().any(|row| row.starts_with("O1,window")),
        "{list}"
    );
}

#[test]
fn a_wall_between_whose_doors_nothing_can_stand_is_left_out_and_the_rest_goes_on() {
    let doors = garage_door(1, "100", "108") + &garage_door(1, "210", "108");
    check_rest_goes_on(&house(&doors, ""));
}

#[test]
fn a_wall_of_one_panel_may_be_square_at_its_left_end_and_bevelled_at_its_right() {
    // A dormer's notch: 8 ft west, then southwest and northwest by 5'-10 3/4", each wall one panel.
    let outline =
        "run = [\"E 33'\", \"N 25'\", \"W 8'\", \"SW 70.75\", \"NW 70.75\", \"W 200\", 'close']\n";
    let plan = text("plan.toml", &format!("{SKETCH}{outline}"));
    let made = made(plan, JOB, "");
    check_sound(&made, &[]);
    let is_such = |it: &WallLayout| {
        let is_bevelled = matches!(it.right_end, WallEnd::Mitre { .. });
        it.run.len() == 1 && it.left_end != it.right_end && is_bevelled
    };
    assert!(made.layout.walls.iter().any(is_such));
}

#[test]
fn joints_lie_on_the_steps_of_a_wall_or_clear_of_them() {
    // A foundation that steps twice, with a door between; over the other long wall a top that steps.
    let door = "[[opening]]\nwall = 1\nkind = 'door'\nfrom = '300'\nsize = '3068'\n\
        [[opening]]\nwall = 1\nkind = 'window'\nfrom = '60'\nwidth = '36'\nheight = '48'\nsill = '34'\n";
    let job = "[[wall.only]]\nid = 'X1'\nbase = [['0', '0'], [\"12'-0\\\"\", '-16'], [\"20'-0\\\"\", '-32']]\n\
        [[wall.only]]\nid = 'X3'\ntop = [['0', \"8'-0\\\"\"], [\"14'-0\\\"\", \"8'-0\\\"\"], [\"14'-0\\\"\", \"10'-0\\\"\"], [\"50'-0\\\"\", \"10'-0\\\"\"]]\n";
    let made = house(door, job);
    check_sound(&made, &[]);
    let steps = [("X1", vec![144, 240]), ("X3", vec![168])];
    let keep = Length::inches(6);
    for (id, steps) in steps {
        let wall = made
            .building
            .walls
            .iter()
            .position(|it| it.id == id)
            .unwrap();
        let wall = &made.layout.walls[wall];
        let gaps = wall.run.iter().filter_map(|piece| match piece {
            RunPiece::Gap { from, to } => Some([wall.from + *from, wall.from + *to]),
            RunPiece::Panel { .. } | RunPiece::Opening { .. } => None,
        });
        let gaps: Vec<[Length; 2]> = gaps.collect();
        assert!(gaps.len() > 3);
        for step in steps.into_iter().map(Length::inches) {
            let is_clear = |[from, to]: &[Length; 2]| {
                *from == step || *to == step || *to <= step - keep || *from >= step + keep
            };
            assert!(gaps.iter().all(is_clear), "{id} {gaps:?}");
        }
    }
}

#[test]
fn a_door_whose_foundation_rises_in_it_is_a_fault_that_holds_its_panel_alone() {
    let door = "[[opening]]\nwall = 1\nkind = 'door'\nfrom = '300'\nsize = '3068'\n";
    let base = "[[wall.only]]\nid = 'X1'\nbase = [['0', '0'], [\"12'-0\\\"\", '-16'], [\"26'-0\\\"\", '16']]\n";
    let made = house(door, base);
    check_sound(&made, &["BLDG-14"]);
    let mut faults = made
        .findings
        .iter()
        .filter(|it| it.code.name() == "BLDG-14");
    let said = &faults.next().unwrap().message;
    assert!(
        said.contains("O1") && said.contains("room from 16\""),
        "{said}"
    );
    let held = made.fabrication.panels.iter().filter(|it| it.is_held());
    let walls: Vec<usize> = held.map(|it| it.wall).collect();
    assert!(!walls.is_empty() && walls.len() <= 2, "{walls:?}");
    assert!(walls.iter().all(|it| made.building.walls[*it].id == "X1"));
}

/// By hand: 9 in 12 from 84 in at the corner to the ridge 150 in away makes 196-1/2; a cap of 1-1/2 in is 1-1/2 x 5/4 = 1-7/8 upright.
#[test]
fn on_a_slope_the_height_to_the_top_counts_the_cap_as_it_stands() {
    let job = "[[wall.only]]\nid = 'X2'\nheight = '84'\npitch = '9'\n";
    let made = house("", job);
    let text = sheet_words(&made, "sheets/Z-201-X1-X2.svg");
    for words in [
        "16'-4 1/2\" HIGHEST PANEL",
        "1 7/8\" CAP",
        "16'-6 3/8\" DECK TO TOP",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

/// A plan that draws one tag's rough openings among units: by hand, 36 as drawn stays 36, and a unit of 36 gets 1/2 in.
#[test]
fn what_a_drawn_width_is_may_be_said_by_tag() {
    let window = |from: &str, tag: &str| {
        format!(
            "[[opening]]\nwall = 1\nkind = 'window'\nfrom = '{from}'\nwidth = '36'\nheight = '48'\nsill = '34'\ntag = '{tag}'\n"
        )
    };
    let openings = window("60", "A") + &window("160", "B");
    let made = house(&openings, "[[opening]]\ntag = 'B'\ndrawn = 'rough'\n");
    check_sound(&made, &[]);
    let holes = made.building.walls.iter().flat_map(|it| &it.openings);
    let widths: Vec<Length> = holes
        .map(panelwright::building::RoughOpening::width)
        .collect();
    assert_eq!(widths, [Length::fraction(36, 1, 2), Length::inches(36)]);
}

/// 4 in of wall stand between the inside corner and the window, and the other wall ends behind this one: no post is asked for. By hand: the
/// strip reaches past the corner by 6 1/2 and gives 1/4 to the rough opening, 10 1/4 in, so its middle has the other wall before it.
#[test]
fn a_window_beside_an_inside_corner_runs_over_no_wall() {
    let outline = "run = [\"E 30'\", \"N 12'\", \"W 10'\", \"N 14'\", \"W 20'\", 'close']\n";
    for (wall, from) in [(4, "4"), (3, "20")] {
        let window = format!(
            "[[opening]]\nwall = {wall}\nkind = 'window'\nfrom = '{from}'\nwidth = '96'\nheight = '48'\nsill = '34'\n"
        );
        let plan = text("plan.toml", &format!("{SKETCH}{outline}{window}"));
        let made = made(plan, JOB, "");
        check_sound(&made, &[]);
        let mut holes = made.building.walls.iter().flat_map(|it| &it.openings);
        assert_eq!(holes.next().unwrap().width(), Length::fraction(96, 1, 2));
        let strip = Length::fraction(10, 1, 4);
        let mut panels = made.layout.panels.iter();
        assert!(panels.any(|it| it.is_pier && it.rect.width() == strip));
    }
}
