//! Rooms and overall dimensions before and after, for each line that may be held, worked out by hand.

use super::*;
use crate::plan::Room;

/// 28'-0" x 16'-0" over walls drawn so thick, and one stick partition of 4 in, its west face 120 in from the outside of the west wall:
/// two rooms.
///
/// ```text
///   ╔═══════════╤════════════════════╗
///   ║ R1 STUDY  │ R2 KITCHEN         ║ 16'-0"
///   ╚═══════════╧════════════════════╝
///   |◄── 120 ──►|◄4►|                     28'-0"
/// ```
fn two_rooms(thickness: f64) -> Plan {
    let mut storey = storey(&HOUSE, thickness);
    let room = |id: &str, name: &str, x: [f64; 2]| Room {
        id: id.to_owned(),
        name: name.to_owned(),
        outline: [
            (x[0], thickness),
            (x[1], thickness),
            (x[1], 192.0 - thickness),
            (x[0], 192.0 - thickness),
        ]
        .map(|(x, y)| Coord { x, y })
        .to_vec(),
        ..Room::default()
    };
    storey.rooms = vec![
        room("R1", "STUDY", [thickness, 120.0]),
        room("R2", "KITCHEN", [124.0, 336.0 - thickness]),
    ];
    storey.walls.push(Wall {
        id: "N1".to_owned(),
        start: Coord {
            x: 122.0,
            y: thickness,
        },
        end: Coord {
            x: 122.0,
            y: 192.0 - thickness,
        },
        thickness: 4.0,
        ..Wall::default()
    });
    plan(storey)
}

#[track_caller]
fn check_sizes(thickness: f64, job: &str, expected: &str) {
    let raised = raise(&two_rooms(thickness), job);
    let told: Vec<&Finding> = raised
        .findings
        .iter()
        .filter(|it| it.code == codes::SIZES_CHANGE)
        .collect();
    assert_eq!(told.len(), 1, "{job}");
    assert_eq!(told[0].severity, Severity::Note);
    let (_, sizes) = told[0].message.split_once("drawn: ").unwrap();
    assert_eq!(sizes, expected, "{job}");
    // What is told is what is built.
    let overall = raised.output.walls[0].face_length.feet_inches().to_string();
    assert!(
        sizes
            .split("; ")
            .next()
            .unwrap()
            .contains(&format!("{overall} x ")),
        "{overall}"
    );
}

/// Drawn 6 in thick, made 6-1/2 in: 1/2 in thicker. STUDY is drawn 120 - 6 = 114 in = 9'-6" by 192 - 12 = 180 in = 15'-0", KITCHEN
/// 336 - 6 - 124 = 206 in = 17'-2" by 15'-0".
///
/// - Outside held: each inside face moves 1/2 in into the room. Across each room has one such wall, so 9'-5 1/2" and 17'-1 1/2"; deep
///   it has two, so 15'-0" - 1" = 14'-11". 28'-0" x 16'-0" stays.
/// - Inside held: rooms stay; overall grows by 1/2 in at each of two walls: 28'-1" x 16'-1".
/// - Centre held: 1/4 in each way: 28'-0 1/2" x 16'-0 1/2"; STUDY 113-3/4 = 9'-5 3/4" by 179-1/2 = 14'-11 1/2"; KITCHEN 205-3/4 = 17'-1 3/4".
#[test]
fn a_thicker_panel_with_each_line_held() {
    for (hold, sizes) in [
        (
            "outside",
            "overall stays 28'-0\" x 16'-0\"; R1 STUDY 9'-6\" x 15'-0\" as drawn, 9'-5 1/2\" x 14'-11\" made; \
             R2 KITCHEN 17'-2\" x 15'-0\" as drawn, 17'-1 1/2\" x 14'-11\" made",
        ),
        (
            "inside",
            "overall 28'-0\" x 16'-0\" as drawn, 28'-1\" x 16'-1\" made; R1 STUDY stays 9'-6\" x 15'-0\"; \
             R2 KITCHEN stays 17'-2\" x 15'-0\"",
        ),
        (
            "centre",
            "overall 28'-0\" x 16'-0\" as drawn, 28'-0 1/2\" x 16'-0 1/2\" made; R1 STUDY 9'-6\" x 15'-0\" as drawn, \
             9'-5 3/4\" x 14'-11 1/2\" made; R2 KITCHEN 17'-2\" x 15'-0\" as drawn, 17'-1 3/4\" x 14'-11 1/2\" made",
        ),
    ] {
        check_sizes(
            6.0,
            &format!("assembly = '6-1/2'\n[wall]\nhold = '{hold}'\n"),
            sizes,
        );
    }
}

/// Drawn 7-3/16 in thick, made 6-1/2 in: 11/16 in thinner. STUDY is drawn 120 - 7-3/16 = 112-13/16 in = 9'-4 13/16" by
/// 192 - 14-3/8 = 177-5/8 in = 14'-9 5/8", KITCHEN 336 - 7-3/16 - 124 = 204-13/16 in = 17'-0 13/16".
///
/// - Outside held: inside faces move 11/16 in out of the room: 113-1/2 = 9'-5 1/2", 177-5/8 + 1-3/8 = 179 = 14'-11", 205-1/2 = 17'-1 1/2".
/// - Inside held: overall loses 11/16 in at each of two walls, 1-3/8 in: 27'-10 5/8" x 15'-10 5/8".
/// - Centre held: 11/32 in each way: 336 - 11/16 = 27'-11 5/16"; 15'-11 5/16"; STUDY 112-13/16 + 11/32 = 113-5/32 = 9'-5 5/32" by
///   177-5/8 + 11/16 = 178-5/16 = 14'-10 5/16"; KITCHEN 205-5/32 = 17'-1 5/32".
/// - The sheathing's outside held, below 3/4 in of siding: the outside moves 3/4 in inwards at each wall: 336 - 1-1/2 = 27'-10 1/2",
///   15'-10 1/2". The inside lies 3/4 + 6-1/2 = 7-1/4 in from the drawn outside, 1/16 in into the room: 9'-4 3/4", 14'-9 1/2", 17'-0 3/4".
#[test]
fn a_thinner_panel_with_each_line_held_and_a_named_layer() {
    for (hold, sizes) in [
        (
            "hold = 'outside'",
            "overall stays 28'-0\" x 16'-0\"; R1 STUDY 9'-4 13/16\" x 14'-9 5/8\" as drawn, 9'-5 1/2\" x 14'-11\" made; \
             R2 KITCHEN 17'-0 13/16\" x 14'-9 5/8\" as drawn, 17'-1 1/2\" x 14'-11\" made",
        ),
        (
            "hold = 'inside'",
            "overall 28'-0\" x 16'-0\" as drawn, 27'-10 5/8\" x 15'-10 5/8\" made; R1 STUDY stays 9'-4 13/16\" x 14'-9 5/8\"; \
             R2 KITCHEN stays 17'-0 13/16\" x 14'-9 5/8\"",
        ),
        (
            "hold = 'centre'",
            "overall 28'-0\" x 16'-0\" as drawn, 27'-11 5/16\" x 15'-11 5/16\" made; R1 STUDY 9'-4 13/16\" x 14'-9 5/8\" as drawn, \
             9'-5 5/32\" x 14'-10 5/16\" made; R2 KITCHEN 17'-0 13/16\" x 14'-9 5/8\" as drawn, 17'-1 5/32\" x 14'-10 5/16\" made",
        ),
        (
            "hold = 'outside'\nhold_layer = 'sheathing'\n\
             layers = [['siding', '3/4'], ['sheathing', '7/16'], ['stud', '5-1/2'], ['drywall', '1/2']]",
            "overall 28'-0\" x 16'-0\" as drawn, 27'-10 1/2\" x 15'-10 1/2\" made; R1 STUDY 9'-4 13/16\" x 14'-9 5/8\" as drawn, \
             9'-4 3/4\" x 14'-9 1/2\" made; R2 KITCHEN 17'-0 13/16\" x 14'-9 5/8\" as drawn, 17'-0 3/4\" x 14'-9 1/2\" made",
        ),
    ] {
        check_sizes(
            7.1875,
            &format!("assembly = '6-1/2'\n[wall]\n{hold}\n"),
            sizes,
        );
    }
}

/// By wall: the west wall's inside is held, the others' outside. Drawn 6 in, made 6-1/2 in. Overall across grows by the west wall's
/// 1/2 in; STUDY keeps 9'-6" across and loses 1 in deep; KITCHEN loses 1/2 in across. The partition made of 6-1/2 in panels about its
/// centre line is 2-1/2 in thicker, 1-1/4 in into each room: STUDY 112-3/4 = 9'-4 3/4", KITCHEN 206 - 1/2 - 1-1/4 = 204-1/4 = 17'-0 1/4".
#[test]
fn one_wall_may_hold_another_line_and_panels_inside_move_rooms_too() {
    let west =
        "assembly = '6-1/2'\n[wall]\nhold = 'outside'\n[[wall.only]]\nid = 'X4'\nhold = 'inside'\n";
    check_sizes(
        6.0,
        west,
        "overall 28'-0\" x 16'-0\" as drawn, 28'-0 1/2\" x 16'-0\" made; R1 STUDY 9'-6\" x 15'-0\" as drawn, 9'-6\" x 14'-11\" made; \
         R2 KITCHEN 17'-2\" x 15'-0\" as drawn, 17'-1 1/2\" x 14'-11\" made",
    );
    check_sizes(
        6.0,
        &format!("{west}[[wall.only]]\nid = 'N1'\npanels = 'partition'\nassembly = '6-1/2'\n"),
        "overall 28'-0\" x 16'-0\" as drawn, 28'-0 1/2\" x 16'-0\" made; R1 STUDY 9'-6\" x 15'-0\" as drawn, 9'-4 3/4\" x 14'-11\" made; \
         R2 KITCHEN 17'-2\" x 15'-0\" as drawn, 17'-0 1/4\" x 14'-11\" made",
    );
}

#[test]
fn a_thicker_panel_moves_the_faces_that_are_not_held_and_says_so() {
    // 6 in walls drawn, 6-1/2 in panels: outside held keeps 28'-0", inside held makes it 28'-1", the centre 28'-0 1/2".
    for (hold, length) in [("outside", 336), ("inside", 337)] {
        let job = format!("assembly = '6-1/2'\n[wall]\nheight = 96\nhold = '{hold}'");
        let mut house = storey(&HOUSE, 6.0);
        add_opening(&mut house, 0, OpeningKind::Door, 100.0, 36.0);
        let raised = raise(&plan(house), &job);
        let wall = &raised.output.walls[0];
        assert_eq!(wall.face_length, Length::inches(length));
        let middle = wall.frame.point(
            f64::midpoint(
                wall.openings[0].from.to_inches(),
                wall.openings[0].to.to_inches(),
            ),
            0.0,
        );
        assert!((middle.x - 100.0).abs() < 1e-9);
        let told = raised
            .findings
            .iter()
            .find(|finding| finding.code == codes::THICKNESS_DIFFERS)
            .unwrap();
        assert_eq!(told.severity, Severity::Note);
        assert!(told.message.contains("1/2\" thicker"), "{}", told.message);
    }
    let centre = raise(&plan(storey(&HOUSE, 6.0)), "[wall]\nhold = 'centre'");
    assert_eq!(
        centre.output.walls[0].face_length,
        Length::fraction(336, 1, 2)
    );
}
