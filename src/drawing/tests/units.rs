//! Which unit a drawing is in.

use super::*;
use crate::findings::Severity;

/// A one-room plan in a unit: walls of 6.5 in, two swings, lettering, drawn by someone who thinks in that unit.
fn plan_in(unit: DrawingUnit, header: &str) -> Draft {
    let per_inch = 1.0 / unit.inches();
    let (length, width, wall, leaf) = if unit.is_metric() {
        (7400.0, 5000.0, 165.0, 900.0)
    } else {
        (288.0 * 25.4, 192.0 * 25.4, 6.5 * 25.4, 36.0 * 25.4)
    };
    let of = |millimetres: f64| millimetres / 25.4 * per_inch;
    Draft::default()
        .variable(header)
        .rectangle("0", [0.0, 0.0], [of(length), of(width)])
        .rectangle(
            "0",
            [of(wall), of(wall)],
            [of(length - wall), of(width - wall)],
        )
        .entity(&format!(
            "ARC, 8 0, 10 {0}, 20 {0}, 40 {1}, 50 0, 51 90",
            of(wall),
            of(leaf)
        ))
        .entity(&format!("TEXT, 8 0, 10 0, 20 0, 40 {}, 1 HALL", of(150.0)))
}

#[test]
fn the_unit_is_found_whatever_the_header_says() {
    for unit in DrawingUnit::ALL {
        for (number, header) in [
            (0, None),
            (1, Some(DrawingUnit::Inch)),
            (4, Some(DrawingUnit::Millimetre)),
            (6, Some(DrawingUnit::Metre)),
        ] {
            let text = plan_in(unit, &format!("$INSUNITS, 70 {number}")).text();
            let outcome =
                read_drawing(text.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
            let scale = &outcome.output.scale;
            let is_asked = codes_of(&outcome.findings).contains(&"DRAW-02");
            assert!(
                scale.unit == unit || is_asked,
                "{unit:?} was taken for {:?}",
                scale.unit
            );
            if header == Some(unit) {
                assert!(!is_asked, "{unit:?} is asked though the header agrees");
            }
            let mut told = outcome.findings.iter();
            let told = told.find(|it| it.code.name() == "DRAW-03");
            // Where a dimension is, it is what to look at.
            let has_dimension = !outcome.output.dimensions.is_empty();
            let is_shown = |it: &Finding| it.place.at.is_some() == has_dimension;
            assert!(told.is_none_or(is_shown));
            let is_told = told.is_some();
            assert_eq!(is_told, header.is_some_and(|header| header != scale.unit));
        }
    }
}

#[test]
fn a_unit_that_nothing_tells_is_a_fault_unless_it_is_stated() {
    let text = Draft::default().line("0", [0.0, 0.0], [100.0, 0.0]).text();
    let asked = read_drawing(text.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
    let [finding] = asked.findings.as_slice() else {
        panic!("{:?}", asked.findings);
    };
    assert_eq!(
        (finding.code, finding.severity),
        (codes::UNKNOWN_UNIT, Severity::Fault)
    );
    // With no dimension to look at it is asked in the middle of what is drawn.
    let half = asked.output.scale.inches_per_unit * 50.0;
    assert_eq!(finding.place.at, Some([half, 0.0]));
    let text = Draft::default()
        .line("0", [0.0, 0.0], [100.0, 0.0])
        .entity("DIMENSION, 8 DIM, 70 0, 10 0, 20 -20, 13 0, 23 0, 14 36, 24 0, 50 0")
        .text();
    let measured = read_drawing(text.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
    let told = measured
        .findings
        .iter()
        .find(|it| it.code == codes::UNKNOWN_UNIT);
    let quarter = measured.output.scale.inches_per_unit * 18.0;
    assert_eq!(told.and_then(|it| it.place.at), Some([quarter, 0.0]));
    let text = Draft::default().line("0", [0.0, 0.0], [100.0, 0.0]).text();
    let options = DrawingOptions {
        unit: Some(DrawingUnit::Centimetre),
        ..DrawingOptions::default()
    };
    let stated = read_drawing(text.as_bytes(), "plan.dxf", &options).unwrap();
    assert!(stated.findings.is_empty());
    assert_eq!(
        ends(&stated.output),
        [[at(0.0, 0.0), at(100.0 / 2.54, 0.0)].map(|at| Coord {
            x: (at.x * 1e9).round() / 1e9,
            y: at.y,
        })]
    );
}

#[test]
fn a_header_that_is_wrong_is_shown_at_the_longest_dimension() {
    let text = plan_in(DrawingUnit::Inch, "$INSUNITS, 70 4")
        .entity("DIMENSION, 8 DIM, 70 0, 10 0, 20 -20, 13 0, 23 0, 14 144, 24 0, 50 0")
        .entity("DIMENSION, 8 DIM, 70 0, 10 0, 20 -20, 13 0, 23 0, 14 36, 24 0, 50 0")
        .text();
    let read = read_drawing(text.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
    let mut findings = read.findings.iter();
    let told = findings.find(|it| it.code.name() == "DRAW-03").unwrap();
    assert_eq!(told.place.at, Some([72.0, 0.0]));
}

/// A plan of inches shrunk to a scale, with dimensions that say its full size times `wrong`.
fn shrunk(one_to: f64, wrong: f64) -> Draft {
    let of = |inches: f64| inches / one_to;
    let plan = Draft::default()
        .variable("$INSUNITS, 70 1")
        .rectangle("0", [0.0, 0.0], [of(288.0), of(192.0)])
        .rectangle("0", [of(6.5), of(6.5)], [of(281.5), of(185.5)])
        .entity(&format!(
            "ARC, 8 0, 10 {0}, 20 {0}, 40 {1}, 50 0, 51 90",
            of(6.5),
            of(36.0)
        ));
    [288.0, 192.0, 144.0, 60.0].iter().fold(plan, |it, inches| {
        let feet = inches * wrong / 12.0;
        it.entity(&format!(
            "DIMENSION, 8 0, 70 0, 10 0, 20 -9, 13 0, 23 0, 14 {}, 24 0, 50 0, 1 {feet}'",
            of(*inches)
        ))
    })
}

#[test]
fn a_drawing_at_a_scale_is_told_by_its_dimensions() {
    let read = |draft: Draft| {
        let bytes = draft.text();
        read_drawing(bytes.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap()
    };
    for one_to in [48.0, 96.0, 64.0] {
        let outcome = read(shrunk(one_to, 1.0));
        let told = outcome
            .findings
            .iter()
            .find(|it| it.code == codes::DRAWN_AT);
        let told = told.unwrap_or_else(|| panic!("1:{one_to}: {:?}", outcome.findings));
        assert_eq!(told.severity, Severity::Doubt);
        assert!(told.place.at.is_some());
        assert!((outcome.output.scale.inches_per_unit / one_to - 1.0).abs() < 1e-12);
        let longest = outcome.output.dimensions.iter().map(|it| it.measured);
        assert!((longest.fold(0.0, f64::max) - 288.0).abs() < 1e-6);
    }
    let full = read(shrunk(1.0, 1.0));
    assert_eq!(full.output.scale.unit, DrawingUnit::Inch);
    assert!(full.findings.is_empty(), "{:?}", full.findings);
}

#[test]
fn dimensions_that_no_scale_explains_are_a_fault_unless_doors_say_otherwise() {
    let read = |draft: Draft| {
        let bytes = draft.text();
        read_drawing(bytes.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap()
    };
    // 25.4 inches to the unit is nothing that anybody draws in.
    let findings = read(shrunk(25.4, 1.0)).findings;
    let asked = findings.iter().find(|it| it.code == codes::UNKNOWN_UNIT);
    let asked = asked.unwrap_or_else(|| panic!("{findings:?}"));
    assert_eq!(asked.severity, Severity::Fault);
    assert!(asked.message.contains("times what is drawn"), "{asked:?}");
    // A door 36 in wide at full size: the texts are wrong, and `plan` names each.
    let outcome = read(shrunk(1.0, 2.0));
    assert_eq!(outcome.output.scale.inches_per_unit, 1.0);
    let codes = codes_of(&outcome.findings);
    assert!(!codes.contains(&"DRAW-17"), "{codes:?}");
}

#[test]
fn two_bare_rectangles_are_asked_about_where_their_wall_is_one_in_two_units() {
    let read = |[w, h, t]: [f64; 3], header: &str| {
        let text = Draft::default()
            .variable(header)
            .rectangle("0", [0.0, 0.0], [w, h])
            .rectangle("0", [t, t], [w - t, h - t])
            .text();
        let options = DrawingOptions::default();
        let outcome = read_drawing(text.as_bytes(), "plan.dxf", &options).unwrap();
        codes_of(&outcome.findings).contains(&"DRAW-02")
    };
    // 0.3 is a wall in metres, and of 3.6 in one in feet; 8 is one of inches, and a partition of 80 mm.
    assert!(read([10.0, 8.0, 0.3], "$MEASUREMENT, 70 0"));
    assert!(read([400.0, 300.0, 8.0], "$MEASUREMENT, 70 0"));
    // A house of 30 ft with walls of 6 1/2 in is one in inches only, and a header is asked first.
    assert!(!read([360.0, 288.0, 6.5], "$MEASUREMENT, 70 0"));
    assert!(!read([400.0, 300.0, 8.0], "$INSUNITS, 70 1"));
}

/// A house with a door of 36 in, so many units to the inch, in a block placed at a scale, with a note under it.
fn placed(at: f64, note: &str, header: &str) -> Draft {
    let mut draft = Draft::default().variable(header);
    if !note.is_empty() {
        draft = draft.entity(&format!("TEXT, 8 0, 10 1, 20 -1, 40 0.1, 1 {note}"));
    }
    let of = |inches: f64| inches * at;
    draft
        .rectangle("0", [0.0, 0.0], [of(288.0), of(192.0)])
        .rectangle("0", [of(6.5), of(6.5)], [of(281.5), of(185.5)])
        .entity(&format!(
            "ARC, 8 0, 10 {0}, 20 {0}, 40 {1}, 50 0, 51 90",
            of(6.5),
            of(36.0)
        ))
}

#[test]
fn a_drawing_without_dimensions_is_at_the_scale_of_its_note_where_doors_have_their_size_there() {
    let read = |draft: Draft| {
        let bytes = draft.text();
        let outcome =
            read_drawing(bytes.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
        let told = codes_of(&outcome.findings).contains(&"DRAW-17");
        (outcome.output.scale.inches_per_unit, told)
    };
    let note = "M 1:50";
    let (inches, told) = read(placed(25.4 / 50.0, note, "$INSUNITS, 70 4"));
    assert!(told && (inches * 25.4 - 50.0).abs() < 1e-9, "{inches}");
    // Of a drawing in full size the note says how it is printed.
    assert_eq!(read(placed(1.0, note, "$INSUNITS, 70 1")), (1.0, false));
    assert!(!read(placed(25.4, note, "$INSUNITS, 70 4")).1);
    let quarter = "SCALE: 1/4\" = 1'-0\"";
    assert_eq!(read(placed(1.0, quarter, "$INSUNITS, 70 1")), (1.0, false));
}

#[test]
fn a_page_without_arcs_and_dimensions_is_at_the_scale_at_which_what_is_written_is_drawn() {
    let read = |per_inch: f64| {
        let of = |inches: f64| inches * per_inch;
        let mut draft = Draft::default()
            .rectangle("0", [0.0, 0.0], [of(288.0), of(192.0)])
            .rectangle("0", [of(6.5), of(6.5)], [of(281.5), of(185.5)])
            .entity(&format!("LINE, 8 0, 10 0, 20 0, 11 {}, 21 0", of(144.0)));
        for text in ["24'-0\"", "22'-11\"", "16'-0\"", "SCALE: 1/4\" = 1'-0\""] {
            draft = draft.entity(&format!("TEXT, 8 0, 10 0, 20 0, 40 {}, 1 {text}", of(6.0)));
        }
        let bytes = draft.text();
        let outcome =
            read_drawing(bytes.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
        let told = codes_of(&outcome.findings).contains(&"DRAW-17");
        told.then_some(outcome.output.scale.inches_per_unit * per_inch)
    };
    // A page in inches, in millimetres and in points.
    for per_inch in [1.0 / 48.0, 25.4 / 48.0, 72.0 / 48.0] {
        let found = read(per_inch).unwrap_or_default();
        assert!((found - 1.0).abs() < 1e-9, "{per_inch}: {found}");
    }
    assert_eq!(read(1.0), None);
}

#[test]
fn a_plan_in_a_block_placed_at_a_scale_of_plans_is_drawn_at_that_scale() {
    let sides = |low: f64, wide: f64, high: f64| {
        let [x, y] = [low + wide, low + high];
        [
            [low, low, x, low],
            [x, low, x, y],
            [x, y, low, y],
            [low, y, low, low],
        ]
    };
    let mut entities: Vec<String> = (sides(0.0, 288.0, 192.0).into_iter())
        .chain(sides(6.5, 275.0, 179.0))
        .map(|[a, b, c, d]| format!("LINE, 8 0, 10 {a}, 20 {b}, 11 {c}, 21 {d}"))
        .collect();
    entities.push("ARC, 8 0, 10 6.5, 20 6.5, 40 36, 50 0, 51 90".to_owned());
    let entities: Vec<&str> = entities.iter().map(String::as_str).collect();
    for one_to in [48.0, 96.0] {
        let text = Draft::default()
            .variable("$INSUNITS, 70 1")
            .block("PLAN", "10 0, 20 0", &entities)
            .entity(&format!(
                "INSERT, 8 0, 2 PLAN, 10 3, 20 3, 41 {0}, 42 {0}, 43 {0}",
                1.0 / one_to
            ))
            .text();
        let options = DrawingOptions::default();
        let outcome = read_drawing(text.as_bytes(), "plan.dxf", &options).unwrap();
        let codes = codes_of(&outcome.findings);
        assert!(codes.contains(&"DRAW-17"), "{codes:?}");
        let inches = outcome.output.scale.inches_per_unit;
        assert!((inches / one_to - 1.0).abs() < 1e-9, "{inches}");
    }
}

#[test]
fn a_plan_at_a_scale_that_looks_like_another_unit_is_asked_about_or_told_by_its_note() {
    // A quarter inch to the foot: 48 in to the unit, and 39.37 in are a metre.
    let read = |per_unit: f64, note: Option<&str>| {
        let of = |inches: f64| inches / per_unit;
        let mut plan = Draft::default().variable("$INSUNITS, 70 0");
        for (x, wide, wall) in [(0.0, 288.0, 6.5), (400.0, 192.0, 4.5)] {
            plan = plan
                .rectangle("0", [of(x), 0.0], [of(x + wide), of(192.0)])
                .rectangle(
                    "0",
                    [of(x + wall), of(wall)],
                    [of(x + wide - wall), of(192.0 - wall)],
                )
                .entity(&format!(
                    "ARC, 8 0, 10 {}, 20 {}, 40 {}, 50 0, 51 90",
                    of(x + wall),
                    of(wall),
                    of(36.0)
                ));
        }
        if let Some(note) = note {
            plan = plan.entity(&format!("TEXT, 8 0, 10 0, 20 -1, 40 {}, 1 {note}", of(6.0)));
        }
        let bytes = plan.text();
        read_drawing(bytes.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap()
    };
    let asked = read(48.0, None);
    let told = codes_of(&asked.findings);
    assert!(told.contains(&"DRAW-02"), "{told:?}");
    let noted = read(48.0, Some("SCALE: 1/4\" = 1'-0\""));
    assert!((noted.output.scale.inches_per_unit - 48.0).abs() < 1e-9);
    assert!(codes_of(&noted.findings).contains(&"DRAW-17"));
    // Full size a note says how it is printed.
    for per_unit in [1.0, 1.0 / 25.4, 1.0 / 0.0254] {
        let full = read(per_unit, Some("SCALE: 1/4\" = 1'-0\""));
        let codes = codes_of(&full.findings);
        assert!(
            !codes.contains(&"DRAW-17") && !codes.contains(&"DRAW-02"),
            "{codes:?}"
        );
    }
}

/// A page in points of a plan at 1:100, its dimensions drawn by lines with numbers in metres over them, so many times too large.
fn page(times: f64) -> Draft {
    let of = |millimetres: f64| millimetres / 25.4 * 0.72;
    let mut draft = Draft::default()
        .rectangle("0", [0.0, 0.0], [of(7400.0), of(5000.0)])
        .rectangle("0", [of(240.0), of(240.0)], [of(7160.0), of(4760.0)]);
    let cuts: [f64; 8] = [0.0, 900.0, 2200.0, 3300.0, 4800.0, 5600.0, 6600.0, 7400.0];
    for pair in cuts.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        draft = draft.line("0", [of(a), of(-800.0)], [of(b), of(-800.0)]);
        for x in [a, b] {
            draft = draft.line("0", [of(x), of(-200.0)], [of(x), of(-900.0)]);
        }
        let number = format!("{:.2}", (b - a) / 1000.0 * times).replace('.', ",");
        let (x, y) = (of(f64::midpoint(a, b) - 200.0), of(-770.0));
        draft = draft.entity(&format!(
            "TEXT, 8 0, 10 {x}, 20 {y}, 40 {}, 1 {number}",
            of(150.0)
        ));
    }
    draft
}

#[test]
fn dimensions_drawn_by_lines_say_how_large_a_page_is() {
    let read = |draft: &Draft| {
        read_drawing(
            draft.text().as_bytes(),
            "plan.dxf",
            &DrawingOptions::default(),
        )
        .unwrap()
    };
    let found = read(&page(1.0));
    let inches = found.output.scale.inches_per_unit;
    assert!((inches - 100.0 / 72.0).abs() < 1e-9, "{inches}");
    assert!(codes_of(&found.findings).contains(&"DRAW-17"));
    // No plan is drawn at 1:130.
    let odd = read(&page(1.3));
    assert!(!codes_of(&odd.findings).contains(&"DRAW-17"));
}
