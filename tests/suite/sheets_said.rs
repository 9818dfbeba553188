//! What drawings say beside their lines arrives in the plan: schedules by their tags, dimensions against geometry, titles, and
//! corrections that outlive a revision.

use crate::draft::{House, Lie, OUTSIDE, Sheet, Side};
use crate::kit::{SAMPLES, sample_file};
use panelwright::documents::plan_json;
use panelwright::drawing::{DrawingOptions, DrawingUnit, read_drawing};
use panelwright::findings::Finding;
use panelwright::plan::{
    CorrectionAnchor, CorrectionIntent, Opening, OpeningKind, Plan, PlanCorrection,
    PlanCorrections, read_earlier_plan, recover_plan,
};

fn house() -> House {
    House {
        width: 480.0,
        depth: 300.0,
        partitions: vec![150.0, 330.0],
        openings: vec![
            (Side::South, 48.0, 36.0, true),
            (Side::South, 200.0, 48.0, false),
            (Side::South, 390.0, 30.0, false),
            (Side::North, 60.0, 48.0, false),
            (Side::North, 230.0, 36.0, false),
            (Side::West, 120.0, 36.0, false),
            (Side::East, 90.0, 36.0, true),
            (Side::Partition(0), 90.0, 32.0, true),
            (Side::Partition(1), 180.0, 32.0, true),
        ],
    }
}

fn plan_of(
    sheet: &Sheet,
    unit: DrawingUnit,
    corrections: &PlanCorrections,
) -> (Plan, Vec<Finding>) {
    let options = DrawingOptions {
        unit: Some(unit),
        ..DrawingOptions::default()
    };
    let drawing = read_drawing(sheet.dxf().as_bytes(), "plan.dxf", &options)
        .unwrap()
        .output;
    let recovered = recover_plan(&[drawing], corrections);
    (recovered.output, recovered.findings)
}

fn plain(sheet: &Sheet) -> (Plan, Vec<Finding>) {
    plan_of(sheet, DrawingUnit::Inch, &PlanCorrections::default())
}

fn codes(findings: &[Finding], of: &[&str]) -> Vec<&'static str> {
    findings
        .iter()
        .map(|finding| finding.code.name())
        .filter(|code| of.contains(code))
        .collect()
}

/// The opening whose middle is at a point of the straight sheet.
#[track_caller]
fn opening(plan: &Plan, x: f64, y: f64) -> &Opening {
    plan.storeys[0]
        .openings
        .iter()
        .find(|it| (it.centre.x - x).hypot(it.centre.y - y) < 4.0)
        .unwrap_or_else(|| panic!("no opening at {x}, {y}: {:?}", plan.storeys[0].openings))
}

/// A grid of lines with a text in each cell: rows from the top down.
fn grid(sheet: &mut Sheet, (x, y): (f64, f64), widths: &[f64], rows: &[&[&str]], has_lines: bool) {
    let pitch = 14.0;
    let total: f64 = widths.iter().sum();
    for (r, row) in (0_i32..).zip(rows) {
        let top = y - f64::from(r) * pitch;
        let mut left = x;
        for (width, words) in widths.iter().zip(*row) {
            sheet.text((left + width / 2.0, top - pitch / 2.0), 5.0, words);
            left += width;
        }
        if has_lines {
            sheet.line("A-ANNO", (x, top), (x + total, top));
        }
    }
    if has_lines {
        let foot = y - pitch * f64::from(u32::try_from(rows.len()).unwrap());
        sheet.line("A-ANNO", (x, foot), (x + total, foot));
        let mut left = x;
        sheet.line("A-ANNO", (x, y), (x, foot));
        for width in widths {
            left += width;
            sheet.line("A-ANNO", (left, y), (left, foot));
        }
    }
}

fn scheduled(door_rows: &[&[&str]], window_rows: &[&[&str]]) -> Sheet {
    let mut sheet = Sheet::new(Lie::STRAIGHT);
    sheet.house(&house());
    sheet.text((240.0, -60.0), 9.0, "FLOOR PLAN");
    for (x, y, tag) in [
        (66.0, -16.0, "1"),
        (496.0, 108.0, "1"),
        (128.0, 106.0, "2"),
        (308.0, 195.0, "2"),
    ] {
        sheet.bubble((x, y), tag, false);
    }
    for (x, y, tag) in [
        (224.0, -16.0, "A"),
        (405.0, -16.0, "B"),
        (84.0, 318.0, "A"),
        (248.0, 318.0, "C"),
        (-18.0, 138.0, "C"),
    ] {
        sheet.bubble((x, y), tag, true);
    }
    sheet.text((760.0, 300.0), 8.0, "DOOR SCHEDULE");
    grid(
        &mut sheet,
        (640.0, 290.0),
        &[40.0, 70.0, 70.0, 40.0, 110.0],
        door_rows,
        true,
    );
    sheet.text((760.0, 150.0), 8.0, "FENSTERLISTE");
    grid(
        &mut sheet,
        (640.0, 140.0),
        &[40.0, 110.0, 120.0, 70.0],
        window_rows,
        false,
    );
    sheet
}

const DOORS: &[&[&str]] = &[
    &["NO.", "WIDTH", "HEIGHT", "QTY", "REMARKS"],
    &["1", "3'-0\"", "6'-8\"", "2", "INSULATED"],
    &["2", "2'-8\"", "6'-8\"", "2", ""],
];
const WINDOWS: &[&[&str]] = &[
    &["NR.", "SIZE", "R.O.", "Brüstung"],
    &["A", "4'-0\" x 4'-0\"", "4'-0 1/2\" x 4'-0 1/2\"", "36\""],
    &["B", "2'-6\" x 3'-0\"", "2'-6 1/2\" x 3'-0 1/2\"", "48\""],
    &["C", "3'-0\" x 4'-0\"", "3'-0 1/2\" x 4'-0 1/2\"", "36\""],
];

const SAID: &[&str] = &["PLAN-38", "PLAN-39", "PLAN-40"];

#[test]
fn schedules_with_and_without_lines_give_openings_what_the_plan_does_not_say() {
    let (plan, findings) = plain(&scheduled(DOORS, WINDOWS));
    assert_eq!(codes(&findings, SAID), [""; 0], "{findings:#?}");
    let read = codes(&findings, &["PLAN-41"]).len();
    assert_eq!(read, 2, "{findings:#?}");
    let door = opening(&plan, 66.0, OUTSIDE / 2.0);
    assert_eq!(
        (door.kind, door.height, door.tag.as_deref()),
        (OpeningKind::Door, Some(80.0), Some("1"))
    );
    let window = opening(&plan, 224.0, OUTSIDE / 2.0);
    assert_eq!(
        (window.height, window.sill, window.rough),
        (Some(48.0), Some(36.0), Some([48.5, 48.5]))
    );
    let small = opening(&plan, 405.0, OUTSIDE / 2.0);
    assert_eq!(
        (small.height, small.sill, small.tag.as_deref()),
        (Some(36.0), Some(48.0), Some("B"))
    );
    assert_eq!(
        opening(&plan, OUTSIDE / 2.0, 138.0).tag.as_deref(),
        Some("C")
    );
    assert_eq!(plan.storeys.len(), 1);
    assert_eq!(plan.storeys[0].name, "FLOOR PLAN");
}

#[test]
fn what_a_schedule_contradicts_is_said_with_all_numbers_and_nothing_is_overwritten() {
    let doors: &[&[&str]] = &[
        DOORS[0],
        &["1", "2'-10\"", "6'-8\"", "2", ""],
        &["2", "3'-0\"", "6'-8\"", "3", ""],
        &["3", "3'-0\"", "6'-8\"", "1", ""],
    ];
    let (plan, findings) = plain(&scheduled(doors, WINDOWS));
    // Doors 1 are drawn 2 in wider than their row, as a rough opening may be; doors 2 are drawn narrower than theirs, and there are
    // two where three are counted; of door 3 there is none.
    assert_eq!(
        codes(&findings, SAID),
        ["PLAN-38", "PLAN-38", "PLAN-39", "PLAN-39"],
        "{findings:#?}"
    );
    assert_eq!(opening(&plan, 66.0, OUTSIDE / 2.0).width, 36.0);
    let narrow = findings
        .iter()
        .find(|it| it.code.name() == "PLAN-38")
        .unwrap();
    assert!(
        narrow.message.contains("36\"") && narrow.message.contains("32\""),
        "{narrow:?}"
    );
}

/// The house with the dimension chains of its south side; `shift` is added to what the n-th of them says, sixteenths.
fn dimensioned(planted: &[(usize, i32)], points_off: f64) -> (Sheet, Vec<String>) {
    let mut sheet = Sheet::new(Lie::STRAIGHT);
    sheet.house(&house());
    let stops = [0.0, 48.0, 84.0, 200.0, 248.0, 390.0, 420.0, 480.0];
    let mut handles = Vec::new();
    let said = |number: usize, from: f64, to: f64| -> String {
        let off: i32 = planted
            .iter()
            .filter(|it| it.0 == number)
            .map(|it| it.1)
            .sum();
        if planted.is_empty() {
            return String::new();
        }
        let sixteenths = (to - from) * 16.0 + f64::from(off);
        let (feet, rest) = ((sixteenths / 192.0).floor(), sixteenths % 192.0);
        format!("{feet}'-{} {}/16\"", (rest / 16.0).floor(), rest % 16.0)
    };
    for (number, pair) in stops.windows(2).enumerate() {
        let words = said(number, pair[0], pair[1]);
        handles.push(sheet.dimension((pair[0], 0.0), (pair[1], 0.0), -40.0, &words));
    }
    let words = said(7, 0.0, 480.0);
    handles.push(sheet.dimension((0.0, 0.0), (480.0 + points_off, 0.0), -60.0, &words));
    (sheet, handles)
}

const DIMENSIONS: &[&str] = &["PLAN-30", "PLAN-31", "PLAN-32"];

#[test]
fn every_planted_dimension_conflict_is_found_and_none_is_invented() {
    let (sheet, _) = dimensioned(&[], 0.0);
    let (_, findings) = plain(&sheet);
    assert_eq!(codes(&findings, DIMENSIONS), [""; 0], "{findings:#?}");
    for number in 0..8 {
        for off in [-24, -2, 2, 3, 90] {
            let (sheet, handles) = dimensioned(&[(number, off)], 0.0);
            let (_, findings) = plain(&sheet);
            let own: Vec<&Finding> = findings
                .iter()
                .filter(|it| it.code.name() == "PLAN-30")
                .collect();
            assert_eq!(own.len(), 1, "{number} {off}: {findings:#?}");
            assert_eq!(own[0].place.sources, [handles[number].clone()]);
            assert!(own[0].place.at.is_some());
            // The chain does not add up either, and says so once.
            assert_eq!(codes(&findings, &["PLAN-32"]).len(), 1, "{number} {off}");
        }
        // A sixteenth is the finest a plan is read to.
        let (sheet, _) = dimensioned(&[(number, 1)], 0.0);
        assert_eq!(codes(&plain(&sheet).1, DIMENSIONS), [""; 0]);
    }
    let (sheet, _) = dimensioned(&[], 0.25);
    assert_eq!(codes(&plain(&sheet).1, DIMENSIONS), ["PLAN-31"]);
}

#[test]
fn the_samples_have_no_dimension_conflict_but_those_their_readmes_name() {
    for (case, file) in SAMPLES.iter().filter(|(_, file)| file.ends_with(".dxf")) {
        let bytes = sample_file(case, file).bytes;
        let drawing = read_drawing(&bytes, file, &DrawingOptions::default())
            .unwrap()
            .output;
        let findings = recover_plan(&[drawing], &PlanCorrections::default()).findings;
        assert_eq!(
            codes(&findings, DIMENSIONS),
            [""; 0],
            "{case}: {findings:#?}"
        );
    }
}

fn correction(id: &str, intent: CorrectionIntent) -> PlanCorrection {
    PlanCorrection {
        anchor: CorrectionAnchor::Id(id.to_owned()),
        intent,
        file: "job.toml".to_owned(),
        line: 1,
    }
}

#[test]
fn corrections_outlive_a_drawing_turned_moved_in_another_unit_with_lines_moved_and_other_handles() {
    let mut first = Sheet::new(Lie::STRAIGHT);
    first.house(&house());
    let (old, findings) = plain(&first);
    let old_json = plan_json(&old, &[], &findings);
    let id = |x: f64, y: f64| opening(&old, x, y).id.clone();
    let partition = old.storeys[0]
        .walls
        .iter()
        .find(|wall| !wall.is_exterior && wall.start.x > 300.0)
        .unwrap()
        .id
        .clone();
    let list = vec![
        correction(
            &id(224.0, OUTSIDE / 2.0),
            CorrectionIntent::Opening {
                kind: OpeningKind::Door,
                width: Some(40.0),
            },
        ),
        correction(
            &id(84.0, 300.0 - OUTSIDE / 2.0),
            CorrectionIntent::NotAnOpening,
        ),
        correction(&partition, CorrectionIntent::NotAWall),
        PlanCorrection {
            anchor: CorrectionAnchor::Point {
                at: [300.0, 3.0],
                storey: None,
            },
            ..correction(
                "",
                CorrectionIntent::Opening {
                    kind: OpeningKind::Window,
                    width: Some(24.0),
                },
            )
        },
    ];
    // The architect moved a partition by 9 in, a window by 5 in and a door by 3 in, and drew in millimetres, turned and moved.
    let mut revised = house();
    revised.partitions[0] += 9.0;
    revised.openings[2].1 += 5.0;
    revised.openings[6].1 -= 3.0;
    let lie = Lie {
        turn_deg: 30.0,
        shift: (12_000.0, -4_000.0),
        inches_per_unit: 1.0 / 25.4,
        handle: 0x9A0,
    };
    let mut second = Sheet::new(lie);
    second.house(&revised);
    let second = second.turned_over();
    let corrections = PlanCorrections {
        list,
        earlier: Some(read_earlier_plan(&old_json, "plan.json").unwrap()),
        ..PlanCorrections::default()
    };
    let (plan, findings) = plan_of(&second, DrawingUnit::Millimetre, &corrections);
    assert_eq!(codes(&findings, &["PLAN-08"]), [""; 0], "{findings:#?}");
    let at = |x: f64, y: f64| {
        let (x, y) = lie.at(x, y);
        plan.storeys[0]
            .openings
            .iter()
            .find(|it| (it.centre.x - x).hypot(it.centre.y - y) < 2.0)
    };
    let door = at(224.0, OUTSIDE / 2.0).unwrap();
    assert_eq!((door.kind, door.width), (OpeningKind::Door, 40.0));
    assert!(at(84.0, 300.0 - OUTSIDE / 2.0).is_none());
    let window = at(300.0, OUTSIDE / 2.0).unwrap();
    assert_eq!((window.kind, window.width), (OpeningKind::Window, 24.0));
    // The other partition went: two rooms are left, and what was not corrected is as drawn.
    assert_eq!(
        plan.storeys[0]
            .walls
            .iter()
            .filter(|wall| !wall.is_exterior)
            .count(),
        1
    );
    assert_eq!(plan.storeys[0].openings.len(), 9 - 1 - 1 + 1);
    // Its plan.json remembers the plan before corrections, whose ids the job uses.
    let json = plan_json(&plan, &[], &findings);
    let earlier = read_earlier_plan(&json, "plan.json").unwrap();
    assert_eq!(earlier.storeys[0].openings.len(), 9);
}

#[test]
fn a_wall_called_exterior_leaves_the_porch_beyond_it_outside() {
    let mut sheet = Sheet::new(Lie::STRAIGHT);
    sheet.house(&house());
    sheet.text((70.0, 200.0), 8.0, "PORCH");
    sheet.text((240.0, 200.0), 8.0, "LIVING");
    let (before, findings) = plain(&sheet);
    assert!(!codes(&findings, &["PLAN-35"]).is_empty(), "{findings:#?}");
    let wall = before.storeys[0]
        .walls
        .iter()
        .find(|wall| !wall.is_exterior && wall.start.x < 200.0)
        .unwrap();
    let corrections = PlanCorrections {
        list: vec![correction(&wall.id, CorrectionIntent::Exterior)],
        ..PlanCorrections::default()
    };
    let (after, findings) = plan_of(&sheet, DrawingUnit::Inch, &corrections);
    assert_eq!(
        codes(&findings, &["PLAN-08", "PLAN-37"]),
        ["PLAN-37"],
        "{findings:#?}"
    );
    let left = after.storeys[0]
        .outline
        .iter()
        .map(|p| p.x)
        .fold(f64::INFINITY, f64::min);
    assert!(
        (left - 150.0).abs() < 1e-6,
        "{:?}",
        after.storeys[0].outline
    );
    assert_eq!(
        after.storeys[0].rooms.len(),
        before.storeys[0].rooms.len() - 1
    );
}
