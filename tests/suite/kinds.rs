//! Walls, corners and splines of every kind, from words to proved files.

use crate::kit::{rows, sample_file, sheet_words};
use panelwright::building::WallRole;
use panelwright::documents::PdfFiles;
use panelwright::documents::paper::overlap::overlaps;
use panelwright::estimate::quantities;
use panelwright::fabrication::Fitted;
use panelwright::findings::{Finding, Severity};
use panelwright::layout::{PanelKind, PlateUse, RunPiece, WallEnd};
use panelwright::loads::LoadPlan;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::rules::{PlantRules, SplineKind};
use panelwright::units::Length;
use std::collections::BTreeSet;

pub(crate) fn text(name: &str, text: &str) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    }
}

pub(crate) fn made(plan: InputFile, job: &str, rules: &str) -> Made {
    let options = MakeOptions {
        job: Some(text("job.toml", job)),
        rules: (!rules.is_empty()).then(|| text("plant.toml", rules)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[plan], &options, &mut |_| {}).unwrap_or_else(|error| panic!("{error}"))
}

/// All proofs hold, and nothing is on HOLD but what these codes hold.
#[track_caller]
pub(crate) fn check_sound(made: &Made, faults: &[&str]) {
    let broken = made.proofs.proofs.iter().find(|proof| proof.n_failed > 0);
    let told = |it: &&Finding| it.code.name().starts_with("PROOF");
    assert!(
        broken.is_none(),
        "{:?}",
        made.findings.iter().find(told).map(|it| &it.message)
    );
    let other = made
        .findings
        .iter()
        .find(|it| it.severity == Severity::Fault && !faults.contains(&it.code.name()));
    assert!(other.is_none(), "{other:?}");
    if faults.is_empty() {
        assert!(made.fabrication.panels.iter().all(|panel| !panel.is_held()));
    }
}

pub(crate) const SKETCH: &str = "name = 'Sketch'\nthickness = '6 1/2'\n";
pub(crate) const JOB: &str =
    "name = 'Kinds'\nnumber = 'J-1'\nassembly = '6-1/2'\n[wall]\nheight = \"8'-0\\\"\"\n";

fn bunkhouse(more: &str) -> Made {
    let plan = sample_file("bunkhouse", "plan.dxf");
    made(plan, &format!("{JOB}{more}"), "")
}

/// I1 runs from the south to the north wall with two doors, I3 meets it from the west, I6 ends I5 in a corner: all of panels.
const INTERIOR: &str = "[[wall.only]]\nid = 'I1'\npanels = 'bearing'\n[[wall.only]]\nid = 'I3'\npanels = 'partition'\nassembly = '4-1/2'\n\
    [[wall.only]]\nid = 'I2'\npanels = 'party'\n[[wall.only]]\nid = 'I5'\npanels = 'partition'\n[[wall.only]]\nid = 'I6'\npanels = 'partition'\n";

#[test]
fn interior_walls_of_panels_stand_between_the_walls_they_meet() {
    let made = bunkhouse(INTERIOR);
    check_sound(&made, &[]);
    let wall = |id: &str| {
        let index = made.building.walls.iter().position(|it| it.id == id);
        let index = index.unwrap_or_else(|| panic!("{id} is not raised"));
        (&made.building.walls[index], &made.layout.walls[index])
    };
    // By hand: drawn 27'-5" deep outside, 6-1/2 in panels: 329 1/2 - 6 1/2 = 323 between the faces of X1 and X3.
    let (first, run) = wall("I1");
    assert_eq!(first.role, WallRole::Bearing);
    assert_eq!(run.length(), Length::inches(323));
    assert_eq!([run.left_end, run.right_end], [WallEnd::Butt; 2]);
    // I3 is drawn from the face of X4 at 6 1/2 to I1, whose centre line at 156 is held: its near face stands at 152 3/4.
    let (third, run) = wall("I3");
    assert_eq!(run.length(), Length::fraction(146, 1, 4));
    assert_eq!(third.frame.origin.y.min(120.0), 117.75);
    let (_, run) = wall("I5");
    // From the face of I1 at 159 1/4 past I6, whose centre line is at 252, to its far face at 255 1/4.
    assert_eq!(run.length(), Length::inches(96));
    assert!([run.left_end, run.right_end].contains(&WallEnd::Free));
    let host = wall("X1").0;
    assert!(
        host.tees
            .iter()
            .any(|tee| tee.wall == "I1" && tee.to - tee.from == Length::fraction(6, 1, 2))
    );
    // The host's panel says so, and has the screws: 96 in at 24.
    let index = made.building.walls.iter().position(|it| it.id == "X1");
    let mut panels = made.fabrication.panels.iter();
    let met = panels.find(|it| {
        Some(it.wall) == index && it.notes.iter().any(|note| note.contains("panel wall I1"))
    });
    let screws = met
        .unwrap()
        .fixings
        .iter()
        .find(|it| it.usage.starts_with("tee"));
    assert_eq!(screws.map(|it| it.count), Some(4));
    assert!(made.findings.iter().any(|it| it.code.name() == "BLDG-44"));
    // Interior walls follow the walls round them in the order of erection.
    let building = &made.building;
    let erected = |is_interior: bool| {
        made.layout
            .panels
            .iter()
            .filter(move |it| (building.walls[it.wall].role != WallRole::Exterior) == is_interior)
    };
    let last = erected(false).map(|it| it.erection).max();
    assert!(erected(true).all(|it| Some(it.erection) > last));
}

/// IRC R602.3.2: plates overlap at intersections with bearing partitions. By hand: I1's cap is its 323 in and 6 1/2 in at each end.
#[test]
fn the_cap_of_a_bearing_wall_laps_over_the_walls_it_meets() {
    let caps = |made: &Made, id: &str| -> Vec<[Length; 2]> {
        let index = made.building.walls.iter().position(|it| it.id == id);
        let plates = &made.layout.walls[index.unwrap()].plates;
        let caps = plates.iter().filter(|it| it.plate == PlateUse::Cap);
        caps.map(|it| [it.from, it.to]).collect()
    };
    let made = bunkhouse(INTERIOR);
    let own = caps(&made, "I1");
    let (first, last) = (own.first().unwrap()[0], own.last().unwrap()[1]);
    assert_eq!(
        [first, last],
        [-Length::fraction(6, 1, 2), Length::fraction(329, 1, 2)]
    );
    // So the sheet of I1 does not ask for what ties it otherwise; that of the partition does.
    let note = "Its caps are not lapped";
    let files = made.documents.files.keys();
    let sheets = files.filter(|it| it.starts_with("sheets/Z-20") && it.contains("-I"));
    let words = sheets.map(|it| sheet_words(&made, it)).collect::<String>();
    for (role, is_tied) in [("Bearing", false), ("Partition", true)] {
        let own = words
            .split(&format!("{role} wall inside the building"))
            .nth(1);
        let own = own.unwrap_or_else(|| panic!("{role} in {words}"));
        let own = own.split("wall inside the building").next().unwrap();
        assert_eq!(own.contains(note), is_tied, "{role}: {own}");
    }
    // The cap of X1 is parted just there: no two caps lie over each other, and PROOF-10 holds.
    let host = made
        .building
        .walls
        .iter()
        .position(|it| it.id == "X1")
        .unwrap();
    let origin = made.layout.walls[host].from;
    let tee = made.building.walls[host]
        .tees
        .iter()
        .find(|it| it.wall == "I1")
        .unwrap();
    let parted = [tee.from - origin, tee.to - origin];
    let own = caps(&made, "X1");
    assert!(
        own.windows(2).any(|it| [it[0][1], it[1][0]] == parted),
        "{own:?} {parted:?}"
    );
    // A partition's cap ends at the face, and nobody need be told.
    let partition = caps(&made, "I5");
    assert!(partition[0][0] >= Length::ZERO);
    let told = |made: &Made| {
        made.findings
            .iter()
            .filter(|it| it.code.name() == "LAY-21")
            .count()
    };
    let plan = sample_file("bunkhouse", "plan.dxf");
    let job = format!("{JOB}{INTERIOR}");
    let ends = self::made(plan, &job, "[plates]\ncap_at_tees = 'ends'\n");
    check_sound(&ends, &[]);
    assert_eq!(caps(&ends, "I1")[0][0], Length::ZERO);
    assert!(told(&ends) > told(&made), "{} {}", told(&ends), told(&made));
}

#[test]
fn a_stud_stands_behind_each_wall_that_meets_where_the_plant_wants_it() {
    let plan = sample_file("bunkhouse", "plan.dxf");
    let made = made(plan, JOB, "[corners]\ntee = 'stud'\n");
    check_sound(&made, &[]);
    let pieces = made.fabrication.panels.iter().flat_map(|it| &it.lumber);
    let n_studs = pieces.filter(|it| it.usage == "tee stud").count();
    let n_tees: usize = made.building.walls.iter().map(|it| it.tees.len()).sum();
    assert!(n_tees > 0);
    assert_eq!(n_studs, n_tees);
}

#[test]
fn an_exterior_wall_is_no_party_wall_and_the_job_is_told() {
    let plan = sample_file("bunkhouse", "plan.dxf");
    let job = format!("{JOB}[[wall.only]]\nid = 'X1'\npanels = 'party'\n");
    let made = made(plan, &job, "");
    check_sound(&made, &[]);
    let message = "X1 is an exterior wall";
    assert!(made.findings.iter().any(|it| it.message.contains(message)));
}

#[test]
fn odd_corners_end_square_with_a_wedge_where_the_plant_wants_it() {
    // 45 degrees out and, at the notch, 45 degrees in.
    let runs =
        "run = [\"E 24'\", \"NE 8'\", \"N 10'\", \"W 10'\", \"SW 4'\", \"W 10'\", \"close\"]\n";
    let plan = text("sketch.toml", &format!("{SKETCH}{runs}"));
    let made = made(plan, JOB, "[corners]\nodd = 'square'\n");
    check_sound(&made, &[]);
    let fillers: Vec<_> = made
        .fabrication
        .panels
        .iter()
        .flat_map(|it| &it.lumber)
        .filter(|it| it.usage == "corner filler")
        .collect();
    assert!(fillers.len() >= 6, "{}", fillers.len());
    // 6 1/2 x tan 22.5 = 2.692; from the deck to the top of the cap: 97 1/2.
    let wide = fillers.iter().map(|it| it.rect.width().to_inches());
    assert!(wide.clone().any(|it| (it - 2.692_388).abs() < 1e-5));
    assert!(
        fillers
            .iter()
            .all(|it| it.length == Length::fraction(97, 1, 2))
    );
    // What butts nowhere is cut square: no bevel is left.
    let edges = made.fabrication.panels.iter().flat_map(|it| &it.edges);
    let bevels = edges.filter(|it| it.bevel_deg != 0.0).count();
    assert_eq!(bevels, 0);
}

#[test]
fn every_spline_goes_through_the_whole_line() {
    for kind in SplineKind::ALL {
        let rules = format!("[joints]\nspline = '{}'\n", kind.name());
        let made = made(sample_file("napkin", "sketch.toml"), JOB, &rules);
        let broken = made.proofs.proofs.iter().find(|it| it.n_failed > 0);
        assert!(broken.is_none(), "{}: {broken:?}", kind.name());
        let faults: Vec<_> = made
            .findings
            .iter()
            .filter(|it| it.severity == Severity::Fault)
            .collect();
        assert!(faults.is_empty(), "{}: {faults:?}", kind.name());
    }
}

/// Every wall butts at its right, so the ring closes between two panels that stand.
#[test]
fn the_panel_that_closes_a_run_has_the_spline_that_the_plant_closes_runs_with() {
    let plan = format!("{SKETCH}run = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\n");
    let walls = ["X1", "X2", "X3", "X4"];
    let fixed = walls.map(|id| format!("[[layout]]\nid = '{id}'\nright = 'butt'\n"));
    let job = format!("{JOB}{}", fixed.concat());
    for (rules, loose, kinds) in [
        ("", vec!["spline"], 1),
        (
            "[joints]\nclosing = 'surface'\n",
            vec!["spline, outer", "spline, inner"],
            2,
        ),
    ] {
        let made = made(text("sketch.toml", &plan), &job, rules);
        check_sound(&made, &[]);
        let lumber = made.fabrication.panels.iter().flat_map(|it| &it.lumber);
        let found = lumber.filter(|it| it.fitted == Fitted::Loose && it.usage.contains("spline"));
        assert_eq!(found.map(|it| it.usage.as_str()).collect::<Vec<_>>(), loose);
        // The quote prices each kind by its own feet; all joints together are as long as before.
        let lines = quantities(
            &made.building,
            &made.fabrication,
            &LoadPlan::default(),
            &PlantRules::default(),
        );
        let joints = lines.iter().filter(|it| it.item.starts_with("joints, "));
        assert_eq!(joints.count(), kinds);
    }
}

#[test]
fn panels_stop_where_glass_runs_round_a_corner() {
    let plan = format!(
        "{SKETCH}run = [\"south: E 24'\", \"east: N 16'\", \"north: W 24'\", \"close\"]\n\
         [[opening]]\nwall = 'south'\nkind = 'window'\nfrom = \"19'\"\nwidth = \"5'\"\nheight = \"4'\"\nsill = \"3'\"\n\
         [[opening]]\nwall = 'east'\nkind = 'window'\nfrom = '0'\nwidth = \"6'\"\nheight = \"4'\"\nsill = \"3'\"\n"
    );
    // Nobody says that panels stop: the glass ends at a post that nobody sized, which holds the panels beside it alone.
    let asked = made(text("sketch.toml", &plan), JOB, "");
    let named = |made: &Made, code: &str| {
        let findings = made.findings.iter();
        findings.filter(|it| it.code.name() == code).count()
    };
    assert_eq!(named(&asked, "BLDG-54"), 2);
    assert_eq!(named(&asked, "PROOF-03"), 0);
    let held = asked.fabrication.panels.iter().filter(|it| it.is_held());
    let held: BTreeSet<usize> = held.map(|it| it.wall).collect();
    assert_eq!(held, BTreeSet::from([0, 1]));
    let job = format!(
        "{JOB}[[wall.only]]\nid = 'X1'\nto = \"18'-11 3/4\\\"\"\n[[wall.only]]\nid = 'X2'\nfrom = \"6'-0 1/4\\\"\"\n"
    );
    let made = made(text("sketch.toml", &plan), &job, "");
    check_sound(&made, &[]);
    assert_eq!(named(&made, "BLDG-45"), 2);
    let walls = &made.layout.walls;
    assert_eq!([walls[0].right_end, walls[1].left_end], [WallEnd::Free; 2]);
    assert_eq!(walls[0].to, Length::fraction(227, 3, 4));
    assert_eq!(walls[1].from, Length::fraction(72, 1, 4));
}

#[test]
fn a_knee_wall_beside_a_full_one_takes_screws_only_as_high_as_it_stands() {
    let plan = format!("{SKETCH}run = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\n");
    let job = format!("{JOB}[[wall.only]]\nid = 'X2'\nheight = \"3'-0\\\"\"\n");
    let made = made(text("sketch.toml", &plan), &job, "");
    check_sound(&made, &[]);
    let screws = |wall: usize| -> Vec<u32> {
        let panels = made.fabrication.panels.iter().filter(|it| it.wall == wall);
        let fixings = panels.flat_map(|it| &it.fixings);
        let corner = fixings.filter(|it| it.usage.starts_with("corner"));
        corner.map(|it| it.count).collect()
    };
    // 36 in at 24 o.c. are two, 96 in four; each corner is counted once.
    let all: u32 = (0..4).flat_map(screws).sum();
    assert_eq!(all, 2 + 2 + 4 + 4);
}

#[test]
fn a_router_leaves_its_radius_standing_and_the_saw_list_counts_the_corners() {
    let rules = "[saw]\ncorners = 'tool radius'\ntool_radius = '3/8'\n";
    let made = made(sample_file("napkin", "sketch.toml"), JOB, rules);
    check_sound(&made, &[]);
    let files = &made.documents.files;
    let read = |name: &str| String::from_utf8_lossy(&files[name]).into_owned();
    let mut outlines = files.keys().filter(|name| name.starts_with("outlines/W"));
    assert!(outlines.any(|name| read(name).contains("tool radius=0.375")));
    // A window has four corners in each of two skins; none is said to be cut by the machine.
    let saw = read("lists/saw.csv");
    let column = saw
        .lines()
        .next()
        .unwrap()
        .split(',')
        .position(|it| it == "corners by hand");
    let counts = saw
        .lines()
        .skip(1)
        .map(|row| row.split(',').nth(column.unwrap()).unwrap());
    assert!(
        counts.clone().any(|count| count == "8"),
        "{:?}",
        counts.collect::<Vec<_>>()
    );
}

#[test]
fn a_chase_that_the_job_asks_for_stands_there_or_is_told() {
    let plan = format!("{SKETCH}run = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\n");
    let job = format!("{JOB}[[layout]]\nid = 'X1'\nchases = [\"2'-1\\\"\", \"400'\"]\n");
    let made = made(text("sketch.toml", &plan), &job, "");
    check_sound(&made, &[]);
    let first = made.fabrication.panels.iter().flat_map(|panel| {
        let run = &made.layout.walls[panel.wall];
        let from = run.from + made.layout.panels[panel.panel].rect.x0;
        let asked = panel.chases.iter().filter(|it| it.rule == "layout.chases");
        asked.map(move |it| from + it.from.x)
    });
    assert_eq!(first.collect::<Vec<_>>(), [Length::inches(25)]);
    let beyond = made
        .findings
        .iter()
        .find(|it| it.message.contains("no full panel of X1"));
    assert!(beyond.is_some());
}

/// A plan of lines, each from x, y to x, y, in inches.
fn drawn(lines: &[[f64; 4]]) -> InputFile {
    let mut dxf =
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
            .to_owned();
    for [x0, y0, x1, y1] in lines {
        dxf.push_str(&format!(
            "0\nLINE\n8\nWALLS\n10\n{x0}\n20\n{y0}\n11\n{x1}\n21\n{y1}\n"
        ));
    }
    dxf.push_str("0\nENDSEC\n0\nEOF\n");
    text("plan.dxf", &dxf)
}

/// A wall that runs at 60 degrees from the south to the north wall. By hand: 179 in between the faces are 179 / cos 30 = 206.69 along
/// it; its ends are bevelled by 30 degrees, so one face is 6.5 tan 30 = 3.753 farther on, and it takes 6.5 / cos 30 = 7.506 of each host.
#[test]
fn an_interior_wall_that_meets_askew_is_bevelled_to_the_face() {
    let (slope, half) = (30_f64.to_radians().tan(), 3.25 / 30_f64.to_radians().cos());
    let foot = |side: f64| 100.0 + side * half;
    let head = |side: f64| foot(side) + 179.0 * slope;
    let mut lines = vec![
        [0.0, 0.0, 288.0, 0.0],
        [288.0, 0.0, 288.0, 192.0],
        [288.0, 192.0, 0.0, 192.0],
        [0.0, 192.0, 0.0, 0.0],
        [6.5, 6.5, foot(-1.0), 6.5],
        [foot(1.0), 6.5, 281.5, 6.5],
        [281.5, 6.5, 281.5, 185.5],
        [281.5, 185.5, head(1.0), 185.5],
        [head(-1.0), 185.5, 6.5, 185.5],
        [6.5, 185.5, 6.5, 6.5],
    ];
    lines.extend([-1.0, 1.0].map(|side| [foot(side), 6.5, head(side), 185.5]));
    let job = format!("unit = 'inch'\n{JOB}[[wall.only]]\nid = 'I1'\npanels = 'bearing'\n");
    let made = made(drawn(&lines), &job, "");
    check_sound(&made, &[]);
    let walls = &made.building.walls;
    let index = walls.iter().position(|it| it.id == "I1").unwrap();
    let laid = &made.layout.walls[index];
    assert!(
        (laid.length().to_inches() - 206.69).abs() < 1.0 / 64.0,
        "{}",
        laid.length()
    );
    for end in [laid.left_end, laid.right_end] {
        let WallEnd::Mitre { bevel_deg } = end else {
            panic!("{end:?}")
        };
        assert!((bevel_deg.abs() - 30.0).abs() < 0.01, "{bevel_deg}");
    }
    let tees = walls.iter().flat_map(|it| &it.tees);
    let widths: Vec<f64> = tees.map(|it| (it.to - it.from).to_inches()).collect();
    assert!(
        widths.len() == 2 && widths.iter().all(|it| (it - 7.506).abs() < 1.0 / 32.0),
        "{widths:?}"
    );
    // Its cap ends there, and that is told once for each end.
    let told = made.findings.iter().filter(|it| it.code.name() == "LAY-21");
    assert_eq!(told.filter(|it| it.message.contains("askew")).count(), 2);
    let sharp = self::made(drawn(&lines), &job, "[corners]\ntee_least_angle = 61.0\n");
    assert!(
        sharp
            .findings
            .iter()
            .any(|it| it.code.name() == "BLDG-43" && it.message.contains("tee_least_angle"))
    );
}

/// Platform, then hung. By hand: 96 in of panel, 1-1/2 of cap and 12-5/8 of floor put the second deck at 110 1/8; 97-1/2 more put the
/// hung third one at 207 5/8.
#[test]
fn three_storeys_stack_with_a_floor_on_the_caps_and_one_hung_inside() {
    let storey = |name: &str| {
        text(
            &format!("{name}.toml"),
            &format!(
                "name = '{name}'\nthickness = '6 1/2'\nrun = [\"south: E 24'\", \"east: N 16'\", \"north: W 24'\", \"close\"]\n\
                 [[opening]]\nwall = 'south'\nkind = 'window'\nfrom = \"6'\"\nwidth = \"3'\"\nheight = \"4'\"\nsill = \"2'-6\\\"\"\n"
            ),
        )
    };
    let job = format!(
        "{JOB}[[storey]]\nid = 'S2'\nfloor_depth = '12-5/8'\n[[storey]]\nid = 'S3'\nfloor_kind = 'hung'\n"
    );
    let options = MakeOptions {
        job: Some(text("job.toml", &job)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    let plans = ["First", "Second", "Third"].map(storey);
    let made = make(&plans, &options, &mut |_| {}).unwrap_or_else(|error| panic!("{error}"));
    check_sound(&made, &[]);
    let storeys = &made.building.storeys;
    let floors: Vec<String> = storeys.iter().map(|it| it.floor.to_string()).collect();
    assert_eq!(floors, ["0\"", "110 1/8\"", "207 5/8\""]);
    assert_eq!(storeys[1].floor_depth, Length::fraction(12, 5, 8));
    assert_eq!(storeys[2].floor_depth, Length::ZERO);
    // Marks say the storey; a storey is set when the one below stands; each panel stands on its own deck.
    let mut before = 0;
    for panel in &made.fabrication.panels {
        let wall = &made.building.walls[panel.wall];
        assert!(wall.storey_index >= before, "{}", panel.mark);
        before = wall.storey_index;
        assert!(
            panel.mark.starts_with(&format!("W{}", before + 1)),
            "{}",
            panel.mark
        );
        if panel.kind == PanelKind::Wall {
            let deck = storeys[before].floor.to_inches();
            assert!(
                (panel.placed.origin[2] - deck).abs() < 1e-9,
                "{}",
                panel.mark
            );
        }
    }
    assert_eq!(before, 2);
    // IRC R610.2 (2018) reaches to two storeys.
    assert!(
        made.findings
            .iter()
            .any(|it| it.code.name() == "BLDG-19" && it.message.contains("3 storeys"))
    );
    // The same joints in all three: each storey is laid out over the one below.
    let joints = |storey: usize| -> Vec<Vec<Length>> {
        let walls = made.layout.walls.iter();
        let own = walls.filter(|it| made.building.walls[it.wall].storey_index == storey);
        own.map(|it| {
            let starts = it.run.iter().filter_map(|piece| match piece {
                RunPiece::Gap { to, .. } => Some(*to),
                _ => None,
            });
            starts.collect()
        })
        .collect()
    };
    assert_eq!(joints(0), joints(1));
    assert_eq!(joints(1), joints(2));
}

/// Blocking under a load, a post with its pocket and a box go through every proof; only the inner skin is open there.
#[test]
fn pockets_boxes_and_blocking_are_proved_with_the_panel_they_lie_in() {
    let plan = format!("{SKETCH}run = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\n");
    let job = format!(
        "{JOB}[[layout]]\nid = 'X1'\npoints = [\n\
         {{ at = \"4'-0\\\"\", width = '3-1/2', what = 'girder', post = '3-2x6', pocket = ['70', '9-1/2'] }},\n\
         {{ at = \"13'-0\\\"\", width = '5', what = 'ridge beam', pocket = ['80', '9-1/2'] }}]\n\
         boxes = [{{ at = \"7'-0\\\"\", height = '16', size = ['2-1/4', '3-3/4'], what = 'receptacle' }}]\n"
    );
    let made = made(text("sketch.toml", &plan), &job, "");
    check_sound(&made, &[]);
    let panels = made.fabrication.panels.iter();
    let mut cuts: Vec<&str> = panels
        .flat_map(|it| &it.inner_cuts)
        .map(|it| it.what.as_str())
        .collect();
    cuts.sort_unstable();
    assert_eq!(cuts, ["girder", "receptacle", "ridge beam"]);
    for panel in &made.fabrication.panels {
        let outline = &made.documents.files[&format!("outlines/{}.dxf", panel.mark)];
        let outline = String::from_utf8_lossy(outline);
        for cut in &panel.inner_cuts {
            let words = format!("cut from the inner face, for {}:", cut.what);
            assert!(outline.contains(&words), "{}: {words}", panel.mark);
        }
    }
    // Who sets the wall sees from outside where a beam will bear.
    let elevation = sheet_words(&made, "sheets/Z-201-X1-X4.svg");
    for words in [
        "GIRDER POCKET",
        "RIDGE BEAM POCKET",
        "AT 5'-10\"",
        "POST 3-2x6 UNDER GIRDER",
        "BLOCKING 4-2x6 UNDER RIDGE BEAM",
    ] {
        assert!(elevation.contains(words), "{words} not in {elevation}");
    }
    assert!(!elevation.contains("RECEPTACLE"), "a box bears nothing");
    for it in &made.sheets {
        assert_eq!(overlaps(&it.sheet), [], "{}", it.path);
    }
    let listed = String::from_utf8_lossy(&made.documents.files["lists/framing.csv"]).into_owned();
    assert!(listed.contains(",blocking,2x6,"), "{listed}");
    // The saw's operator is told of just the panels whose inner face is cut as well; corners by hand have their own column.
    let specials = rows(&made, "specials");
    for row in rows(&made, "saw") {
        let panels = made.fabrication.panels.iter();
        let panel = panels.clone().find(|it| it.mark == row["mark"]).unwrap();
        let of = |what: &str| {
            let own = specials.iter().filter(|it| it["panel"] == panel.mark);
            let own = own.filter(|it| it["special"].starts_with(what));
            own.map(|it| it["where"].clone()).collect::<Vec<_>>()
        };
        let is_special = !panel.inner_cuts.is_empty();
        assert_eq!(row["special"], if is_special { "yes" } else { "no" });
        assert_eq!(of("cut from").len(), panel.inner_cuts.len());
        for cut in &panel.inner_cuts {
            let words = format!("inner skin, {}", cut.what);
            assert!(of("finish corners").contains(&words), "{words}");
        }
    }
}
