//! Traces and key plans: nothing on anything, marks, strings, holds, gaps, questions.

use crate::kit::sample_file;
use geo::Coord;
use panelwright::building::raise_building;
use panelwright::documents::paper::{Form, Group, Item, Sheet, overlaps, to_svg};
use panelwright::documents::{
    KeyPlanInput, TitleFacts, key_plan_sheets, plan_json, trace_files, trace_sheets,
};
use panelwright::drawing::{
    Curve, Dimension, Drawing, DrawingOptions, Source, SourceIndex, Stroke, read_drawing,
};
use panelwright::fabrication::{FabricateOptions, fabricate};
use panelwright::findings::{Code, Finding, Place};
use panelwright::layout::{Layout, LayoutOptions, PanelKind, lay_out};
use panelwright::package::{InputFile, MakeOptions, make};
use panelwright::plan::{
    GridLine, Hinge, Opening, OpeningKind, Plan, PlanCorrections, Room, Storey, Swing, Wall,
    recover_plan,
};
use panelwright::rules::{Job, PlantRules};

const THICKNESS: f64 = 6.5;

/// An opening: its wall from 0, its near jamb along the wall's outside face, its width, what it is.
type Hole = (usize, f64, f64, OpeningKind);

/// A plan by its outside corners, counter-clockwise, everything turned about the origin.
fn plan_of(corners: &[(f64, f64)], holes: &[Hole], turn_deg: f64) -> Plan {
    let (sine, cosine) = turn_deg.to_radians().sin_cos();
    let turned = |x: f64, y: f64| Coord {
        x: x * cosine - y * sine,
        y: x * sine + y * cosine,
    };
    let n = corners.len();
    let corner = |i: usize| turned(corners[i % n].0, corners[i % n].1);
    let along = |i: usize| {
        let d = corner(i + 1) - corner(i);
        d / d.x.hypot(d.y)
    };
    // Centre lines meet where the outside faces, moved in by half the thickness, meet.
    let node = |i: usize| {
        let (a, b) = (along(i + n - 1), along(i));
        let inwards = |d: Coord<f64>| Coord { x: -d.y, y: d.x } * (THICKNESS / 2.0);
        let (p, q) = (corner(i) + inwards(a), corner(i) + inwards(b));
        let d = q - p;
        p + a * ((d.x * b.y - d.y * b.x) / (a.x * b.y - a.y * b.x))
    };
    let walls: Vec<Wall> = (0..n)
        .map(|i| Wall {
            id: format!("X{}", i + 1),
            is_exterior: true,
            start: node(i),
            end: node(i + 1),
            thickness: THICKNESS,
            confidence: 1.0,
            ..Wall::default()
        })
        .collect();
    let openings = holes
        .iter()
        .zip(1..)
        .map(|((wall, from, width, kind), number)| {
            let d = along(*wall);
            let lead = corner(*wall) - walls[*wall].start;
            let near = from + lead.x * d.x + lead.y * d.y;
            let is_door = *kind == OpeningKind::Door;
            Opening {
                id: format!("O{number}"),
                wall: walls[*wall].id.clone(),
                kind: *kind,
                centre: walls[*wall].start + d * (near + width / 2.0),
                near,
                width: *width,
                tag: Some("3040".to_owned()),
                height: Some(if is_door { 80.0 } else { 48.0 }),
                hinge: is_door.then_some(Hinge::Start),
                swing: is_door.then_some(Swing::In),
                confidence: 1.0,
                ..Opening::default()
            }
        })
        .collect();
    Plan {
        inches_per_unit: 1.0,
        unit_confidence: 1.0,
        storeys: vec![Storey {
            id: "S1".to_owned(),
            name: "FIRST FLOOR PLAN".to_owned(),
            outline: (0..n).map(corner).collect(),
            walls,
            openings,
            rooms: vec![Room {
                id: "R1".to_owned(),
                name: "COMMON ROOM".to_owned(),
                outline: vec![
                    turned(20.0, 20.0),
                    turned(180.0, 20.0),
                    turned(180.0, 150.0),
                    turned(20.0, 150.0),
                ],
                area_sq_ft: 144.4,
                ..Room::default()
            }],
            ..Storey::default()
        }],
        ..Plan::default()
    }
}

/// A cottage in an L with a bay at 45 degrees.
const COTTAGE: [(f64, f64); 7] = [
    (0.0, 0.0),
    (420.0, 0.0),
    (420.0, 200.0),
    (260.0, 200.0),
    (260.0, 300.0),
    (200.0, 360.0),
    (0.0, 360.0),
];

const COTTAGE_HOLES: [Hole; 8] = [
    (0, 30.0, 36.0, OpeningKind::Window),
    (0, 200.0, 72.0, OpeningKind::Window),
    (0, 330.0, 36.0, OpeningKind::Door),
    (1, 80.0, 36.0, OpeningKind::Window),
    (2, 60.0, 36.0, OpeningKind::Door),
    (4, 20.0, 36.0, OpeningKind::Window),
    (5, 60.0, 48.0, OpeningKind::Window),
    (6, 200.0, 36.0, OpeningKind::Window),
];

/// A court open to the north, with a garage door.
const COURT: [(f64, f64); 8] = [
    (0.0, 0.0),
    (720.0, 0.0),
    (720.0, 480.0),
    (480.0, 480.0),
    (480.0, 240.0),
    (240.0, 240.0),
    (240.0, 480.0),
    (0.0, 480.0),
];

/// A long hall with forty windows.
fn hall() -> Plan {
    let holes: Vec<Hole> = (0..20)
        .flat_map(|i| {
            let from = 40.0 + 110.0 * f64::from(i);
            [
                (0, from, 36.0, OpeningKind::Window),
                (2, from, 48.0, OpeningKind::Window),
            ]
        })
        .collect();
    let corners = [(0.0, 0.0), (2240.0, 0.0), (2240.0, 700.0), (0.0, 700.0)];
    plan_of(&corners, &holes, 0.0)
}

fn facts() -> TitleFacts {
    TitleFacts {
        project: "Larksedge Fen Reserve".to_owned(),
        building: "Field station".to_owned(),
        number: "J-2611".to_owned(),
        date: "2026-11-25".to_owned(),
        ..TitleFacts::default()
    }
}

/// The key plans of a plan, and the layout they show. Findings go into fabrication: panels they touch are held.
fn key_plans(plan: &Plan, findings: &[Finding]) -> (Vec<Sheet>, Layout) {
    let (rules, job) = (PlantRules::default(), Job::default());
    let building = raise_building(plan, &job, &rules).output;
    let layout = lay_out(&building, &rules, &LayoutOptions::default()).output;
    let options = FabricateOptions {
        earlier: findings,
        ..FabricateOptions::default()
    };
    let fabrication = fabricate(&building, &layout, &rules, &options).output;
    let sheets = key_plan_sheets(&KeyPlanInput {
        building: &building,
        layout: &layout,
        fabrication: &fabrication,
        plan,
        rules: &rules,
        facts: &facts(),
        north_deg: Some(0.0),
    });
    (sheets, layout)
}

/// All words in groups whose id begins so, in drawing order.
fn words_in(groups: &[Group], id: &str) -> Vec<String> {
    fn all(group: &Group, words: &mut Vec<String>) {
        for item in &group.items {
            match item {
                Item::Group(inner) => all(inner, words),
                Item::Text(text) => words.push(text.words.clone()),
                Item::Shape(_) => {}
            }
        }
    }
    fn find(group: &Group, id: &str, words: &mut Vec<String>) {
        if group.id.starts_with(id) {
            all(group, words);
            return;
        }
        for item in &group.items {
            if let Item::Group(inner) = item {
                find(inner, id, words);
            }
        }
    }
    let mut words = Vec::new();
    for group in groups {
        find(group, id, &mut words);
    }
    words
}

#[track_caller]
fn check_clear(sheets: &[Sheet], name: &str) {
    assert!(!sheets.is_empty(), "{name} has no sheet");
    for sheet in sheets {
        assert_eq!(overlaps(sheet), [], "{name}, {}", sheet.name);
    }
}

#[test]
fn nothing_stands_on_anything_on_key_plans_of_every_shape() {
    let small = [(0.0, 0.0), (288.0, 0.0), (288.0, 192.0), (0.0, 192.0)];
    let court = [
        (3, 60.0, 36.0, OpeningKind::Window),
        (4, 60.0, 72.0, OpeningKind::Window),
        (7, 100.0, 192.0, OpeningKind::GarageDoor),
    ];
    for (name, plan) in [
        (
            "small",
            plan_of(&small, &[(0, 120.0, 36.0, OpeningKind::Door)], 0.0),
        ),
        ("cottage", plan_of(&COTTAGE, &COTTAGE_HOLES, 0.0)),
        ("turned", plan_of(&COTTAGE, &COTTAGE_HOLES, 15.0)),
        ("upside down", plan_of(&COTTAGE, &COTTAGE_HOLES, 180.0)),
        ("court", plan_of(&COURT, &court, 0.0)),
        ("hall", hall()),
    ] {
        check_clear(&key_plans(&plan, &[]).0, name);
        check_clear(&trace_sheets(&[], &plan, &[], &facts(), false), name);
    }
}

#[test]
fn sample_drawings_have_clear_sheets() {
    for case in ["bunkhouse", "cottage", "workshop"] {
        let path = format!(
            "{}/sample-drawings/{case}/plan.dxf",
            env!("CARGO_MANIFEST_DIR")
        );
        let bytes = std::fs::read(path).unwrap();
        let mut findings = Vec::new();
        let drawing = read_drawing(&bytes, "plan.dxf", &DrawingOptions::default())
            .unwrap()
            .into_output(&mut findings);
        let drawings = [drawing];
        let plan = recover_plan(&drawings, &PlanCorrections::default()).into_output(&mut findings);
        check_clear(
            &trace_sheets(&drawings, &plan, &findings, &facts(), false),
            case,
        );
        let (sheets, layout) = key_plans(&plan, &findings);
        assert_eq!(sheets.is_empty(), layout.panels.is_empty(), "{case}");
        for sheet in sheets {
            assert_eq!(overlaps(&sheet), [], "{case}");
        }
    }
}

/// On ANSI B a building of many short walls has more signs than places near: the others stand farther off, with leaders.
#[test]
fn key_plans_on_small_paper_leave_out_no_sign() {
    for (case, plan) in [
        ("workshop", "plan.dxf"),
        ("bunkhouse", "plan.dxf"),
        ("napkin", "sketch.toml"),
        ("cottage", "plan.dxf"),
    ] {
        let rules = InputFile {
            name: "plant.toml".to_owned(),
            bytes: b"[sheets]\nplans = \"ANSI B\"\n".to_vec(),
        };
        let options = MakeOptions {
            job: Some(sample_file(case, "job.toml")),
            rules: Some(rules),
            ..MakeOptions::default()
        };
        let made = make(&[sample_file(case, plan)], &options, &mut |_| {}).unwrap();
        let files = made.documents.files.iter();
        let mut plans = files.filter(|(name, _)| name.ends_with("key-plan.svg"));
        let (_, svg) = plans.next().unwrap();
        let svg = String::from_utf8_lossy(svg);
        assert!(!svg.contains("found no free place"), "{case}");
    }
}

/// Every shape of a group, and of those within it.
fn forms_in(group: &Group, id: &str) -> Vec<Form> {
    let of = |item: &Item| match item {
        Item::Group(inner) if group.id == id => forms_in(inner, &inner.id),
        Item::Group(inner) => forms_in(inner, id),
        Item::Shape(shape) if group.id == id => vec![shape.form.clone()],
        Item::Shape(_) | Item::Text(_) => Vec::new(),
    };
    group.items.iter().flat_map(of).collect()
}

#[test]
fn strings_stand_beyond_doors_that_swing_out() {
    let small = [(0.0, 0.0), (288.0, 0.0), (288.0, 192.0), (0.0, 192.0)];
    let mut plan = plan_of(&small, &[(0, 120.0, 36.0, OpeningKind::Door)], 0.0);
    plan.storeys[0].openings[0].swing = Some(Swing::Out);
    let sheet = &key_plans(&plan, &[]).0[0];
    let forms = |id: &str| -> Vec<Form> {
        let layers = sheet.layers.iter();
        layers.flat_map(|it| forms_in(it, id)).collect()
    };
    // y grows down the sheet; the wall with the door is the lower one.
    let arc = forms("opening-O1").into_iter().find_map(|it| match it {
        Form::Polyline(points) => points.into_iter().map(|p| p.y).reduce(f64::max),
        _ => None,
    });
    let string = forms("string-below-1").into_iter().find_map(|it| match it {
        Form::Line(from, to) if from.y == to.y => Some(from.y),
        _ => None,
    });
    assert!(string.unwrap() > arc.unwrap() + 1.0, "{string:?} {arc:?}");
}

#[test]
fn every_full_height_panel_has_its_mark_and_number_once_and_the_first_is_start() {
    let (sheets, layout) = key_plans(&plan_of(&COTTAGE, &COTTAGE_HOLES, 0.0), &[]);
    let words = words_in(&sheets[0].layers, "marks");
    let mut found: Vec<&String> = words.iter().collect();
    found.sort();
    let mut expected: Vec<String> = layout
        .panels
        .iter()
        .filter(|it| it.kind == PanelKind::Wall)
        .flat_map(|it| [it.mark.clone(), it.erection.to_string()])
        .collect();
    expected.sort();
    assert_eq!(found, expected.iter().collect::<Vec<_>>());
    assert!(words_in(&sheets[0].layers, "start").contains(&"START".to_owned()));
}

#[test]
fn lengths_that_a_string_has_no_room_for_stand_in_the_notes() {
    let corners = [(0.0, 0.0), (288.0, 0.0), (288.0, 192.0), (0.0, 192.0)];
    let mut plan = plan_of(&corners, &[], 0.0);
    let line = |i: u32| {
        let x = f64::from(i) * 2.3125;
        GridLine {
            name: i.to_string(),
            start: Coord { x, y: 200.0 },
            end: Coord { x, y: -10.0 },
            ..GridLine::default()
        }
    };
    plan.storeys[0].grid = (0..12).map(line).collect();
    let (sheets, _) = key_plans(&plan, &[]);
    let words = words_in(&sheets[0].layers, "").join(" ");
    let notes = words.split("lengths of the grid").nth(1).expect(&words);
    assert!(notes.contains("too short"), "{notes}");
    // Three or more alike in a row are told once, with how many.
    let (before, _) = notes.rsplit_once("2 5/16\"").expect(notes);
    let counted = before.split("2 5/16\"").map(|it| {
        let many = it.trim_end().strip_suffix('×').map(str::trim_end);
        let many = many.and_then(|it| it.rsplit(' ').next());
        many.map_or(1, |it| it.parse::<usize>().unwrap())
    });
    assert!(counted.sum::<usize>() >= 9, "{notes}");
    check_clear(&sheets, "a close grid");
}

#[test]
fn headers_and_sills_stand_on_the_plan_or_at_least_in_the_table() {
    let garage = [
        (4, 60.0, 72.0, OpeningKind::Window),
        (7, 100.0, 192.0, OpeningKind::GarageDoor),
    ];
    let (sheets, layout) = key_plans(&plan_of(&COURT, &garage, 0.0), &[]);
    let strip = words_in(&sheets[0].layers, "strip").join(" ");
    let plan = words_in(&sheets[0].layers, "infill-marks").join(" ");
    let infills: Vec<_> = layout
        .panels
        .iter()
        .filter(|it| it.kind != PanelKind::Wall)
        .collect();
    assert!(!infills.is_empty());
    for panel in infills {
        assert!(
            plan.contains(&panel.mark) || strip.contains(&panel.mark),
            "{}",
            panel.mark
        );
    }
}

#[test]
fn a_turned_building_has_the_same_strings_and_says_how_it_was_turned() {
    let strings = |turn: f64| {
        let (sheets, _) = key_plans(&plan_of(&COTTAGE, &COTTAGE_HOLES, turn), &[]);
        let title = words_in(&sheets[0].layers, "view-title").join(" ");
        (words_in(&sheets[0].layers, "string"), title)
    };
    let (level, title) = strings(0.0);
    assert!(!title.contains("Turned"));
    let (turned, title) = strings(15.0);
    assert_eq!(level, turned);
    assert!(title.contains("Turned 15.0° clockwise"), "{title}");
    // 28'-0" less a butt of 6 1/2 in at each end is 26'-11": corner lengths worked by hand. Here 35'-0" less one butt.
    assert!(level.contains(&"35'-0\"".to_owned()) && level.contains(&"30'-0\"".to_owned()));
}

#[test]
fn a_panel_on_hold_says_so_beside_its_mark_and_in_the_title_block() {
    let fault = Finding::fault(
        Code::new("PLAN-99"),
        Place::element("S1", "O6"),
        "the opening has no size",
        "give it one",
    );
    let plan = plan_of(&COTTAGE, &COTTAGE_HOLES, 0.0);
    let (sheets, layout) = key_plans(&plan, &[fault]);
    let bay = layout
        .panels
        .iter()
        .find(|it| it.wall == 4 && it.kind == PanelKind::Wall)
        .unwrap();
    let strip = words_in(&sheets[0].layers, "strip").join(" ");
    assert!(
        strip.contains(&format!("{}: see panel sheets", bay.mark)),
        "{strip}"
    );
    check_clear(&sheets, "held");
}

/// A drawing with one source and some lines.
fn drawing_of(lines: impl IntoIterator<Item = [f64; 4]>) -> Drawing {
    Drawing {
        file: "plan.dxf".to_owned(),
        sources: vec![Source {
            handle: "2F".to_owned(),
            kind: "LINE".to_owned(),
            layer: "A-WALL".to_owned(),
            ..Source::default()
        }],
        strokes: lines
            .into_iter()
            .map(|[x0, y0, x1, y1]| Stroke {
                curve: Curve::Line {
                    start: Coord { x: x0, y: y0 },
                    end: Coord { x: x1, y: y1 },
                },
                source: SourceIndex(0),
                part: 0,
                is_face: false,
                is_approximate: false,
            })
            .collect(),
        ..Drawing::default()
    }
}

#[test]
fn an_open_exterior_shows_its_gap_and_every_question_stands_on_the_drawing_and_beside_it() {
    let mut plan = plan_of(&COTTAGE, &COTTAGE_HOLES, 0.0);
    let storey = &mut plan.storeys[0];
    storey.outline.clear();
    storey.walls[6].end.y += 40.0;
    let findings = [
        Finding::doubt(
            Code::new("PLAN-98"),
            Place::element("S1", "O2"),
            "O2 has no tag",
            "taken as drawn",
        ),
        Finding::fault(
            Code::new("PLAN-97"),
            Place::element("S1", "X7"),
            "the exterior does not close",
            "draw what is missing",
        ),
    ];
    let mut drawing = drawing_of([[0.0, 0.0, 420.0, 0.0]]);
    for (text, y) in [("34'-0\"", -40.0), ("", -70.0)] {
        drawing.dimensions.push(Dimension {
            from: Coord { x: 0.0, y: 0.0 },
            to: Coord { x: 420.0, y: 0.0 },
            direction: Some(0.0),
            measured: 420.0,
            stated: None,
            override_text: text.to_owned(),
            shown_text: String::new(),
            text_at: Coord { x: 210.0, y },
            source: SourceIndex(0),
        });
    }
    let sheets = trace_sheets(&[drawing], &plan, &findings, &facts(), false);
    check_clear(&sheets, "open");
    let layers = &sheets[0].layers;
    let on_drawing = words_in(layers, "questions");
    assert!(
        on_drawing.contains(&"GAP 3'-4\"".to_owned()),
        "{on_drawing:?}"
    );
    assert!(on_drawing.contains(&"1".to_owned()) && on_drawing.contains(&"2".to_owned()));
    assert_eq!(words_in(layers, "conflicts"), ["!", "drawn 35'-0\""]);
    let strip = words_in(layers, "strip").join(" ");
    for words in [
        "STOP. X7",
        "The exterior does not close.",
        "O2 in X1",
        "right as taken",
        "until answered: 1",
        "2 read, 1 agree, 1 conflict",
        "outline DOES NOT CLOSE",
    ] {
        assert!(strip.contains(words), "{words}: {strip}");
    }
}

#[test]
fn what_is_no_wall_stands_in_the_plan_with_its_kind_and_handles() {
    let plan = plan_of(&COTTAGE, &COTTAGE_HOLES, 0.0);
    let table = [
        [200.0, 100.0, 240.0, 100.0],
        [240.0, 100.0, 240.0, 130.0],
        [240.0, 130.0, 200.0, 130.0],
        [200.0, 130.0, 200.0, 100.0],
    ];
    let mut drawing = drawing_of(table);
    drawing.file.clone_from(&plan.storeys[0].file);
    let json = plan_json(&plan, &[drawing], &[]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let things = json["not_walls"].as_array().unwrap();
    assert_eq!(things.len(), 1);
    assert_eq!(things[0]["kind"], "furniture");
    assert_eq!(things[0]["by"], "shape");
    assert_eq!(things[0]["storey"], "S1");
    assert_eq!(
        things[0]["bounds"],
        serde_json::json!([[200.0, 100.0], [240.0, 130.0]])
    );
    assert!(!things[0]["sources"].as_array().unwrap().is_empty());
}

#[test]
fn each_storey_has_its_own_sheet_and_the_same_input_gives_the_same_bytes() {
    let mut plan = plan_of(&COTTAGE, &COTTAGE_HOLES, 15.0);
    let mut upper = plan.storeys[0].clone();
    upper.id = "S2".to_owned();
    upper.file = "upper.dxf".to_owned();
    plan.storeys.push(upper);
    let files = trace_files(&[], &plan, &[], &facts(), false);
    let names: Vec<_> = files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["trace.svg", "trace-S2.svg"]);
    assert_eq!(files, trace_files(&[], &plan, &[], &facts(), false));
    let bytes = || -> Vec<Vec<u8>> { key_plans(&plan, &[]).0.iter().map(to_svg).collect() };
    assert_eq!(bytes(), bytes());
}

#[test]
fn a_drawing_without_walls_is_shown_and_a_great_many_lines_make_a_file_no_greater_than_a_reader_can_see()
 {
    // Two hundred thousand lines within four feet by four: at most a sheet's worth of them differ on paper.
    let lines = (0..200_000_u32).map(|i| {
        let x = f64::from(i % 1000) * 0.048;
        let y = f64::from(i / 1000 % 200) * 0.24;
        [x, y, x + 0.048, y]
    });
    let files = trace_files(&[drawing_of(lines)], &Plan::default(), &[], &facts(), false);
    assert_eq!(files.len(), 1);
    assert!(files[0].1.len() < 5_000_000, "{} bytes", files[0].1.len());
    let elsewhere = (0..1000_u32).map(|i| {
        let y = f64::from(i);
        [1e7, y, 1e7 + 5.0, y]
    });
    let near = drawing_of(elsewhere.chain([[0.0, 0.0, 420.0, 0.0]]));
    let plan = plan_of(&COTTAGE, &COTTAGE_HOLES, 0.0);
    let zoomed = trace_files(&[near], &plan, &[], &facts(), false);
    // With one line there, so that both have a row of what was not used.
    let one = [[1e7, 0.0, 1e7 + 5.0, 0.0], [0.0, 0.0, 420.0, 0.0]];
    let bare = trace_files(&[drawing_of(one)], &plan, &[], &facts(), false);
    assert!(
        zoomed[0].1.len() < bare[0].1.len() + 200,
        "what lies outside the zoom is not in the file"
    );
}
