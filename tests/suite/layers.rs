//! Walls drawn in layers: which one bears is told, asked or answered, and panels stand where it was drawn.

use crate::draft::{Lie, Sheet};
use panelwright::findings::Severity;
use panelwright::package::{InputFile, Made, MakeOptions, make};

const WIDTH: f64 = 360.0;
const DEPTH: f64 = 264.0;

/// A house of one room, a line at each depth from the outside face in, a window in each wall whose jambs go through all of them.
fn drawing(depths: &[f64]) -> InputFile {
    let mut sheet = Sheet::new(Lie::STRAIGHT);
    let (first, last) = (depths[0], depths[depths.len() - 1]);
    let walls = [
        ((0.0, 0.0), (1.0, 0.0), WIDTH),
        ((WIDTH, 0.0), (0.0, 1.0), DEPTH),
        ((WIDTH, DEPTH), (-1.0, 0.0), WIDTH),
        ((0.0, DEPTH), (0.0, -1.0), DEPTH),
    ];
    for ((x, y), (dx, dy), length) in walls {
        // Along the wall from its outside corner, and in from the outside face.
        let at = |s: f64, d: f64| (x + s * dx - d * dy, y + s * dy + d * dx);
        let (from, to) = (length / 2.0 - 18.0, length / 2.0 + 18.0);
        for depth in depths {
            sheet.line("A-WALL", at(*depth, *depth), at(from, *depth));
            sheet.line("A-WALL", at(to, *depth), at(length - depth, *depth));
        }
        for jamb in [from, to] {
            sheet.line("A-WALL", at(jamb, first), at(jamb, last));
        }
        for depth in [last - 3.0, last - 2.0] {
            sheet.line("A-GLAZ", at(from, depth), at(to, depth));
        }
    }
    InputFile {
        name: "plan.dxf".to_owned(),
        bytes: sheet.dxf().into_bytes(),
    }
}

fn made(depths: &[f64], more: &str) -> Made {
    let job = format!("assembly = '6-1/2'\nunit = 'inch'\n{more}");
    let options = MakeOptions {
        job: Some(InputFile {
            name: "job.toml".to_owned(),
            bytes: job.into_bytes(),
        }),
        ..MakeOptions::default()
    };
    make(&[drawing(depths)], &options, &mut |_| {}).unwrap()
}

/// How PLAN-12 is said, if at all.
fn told(made: &Made) -> Vec<Severity> {
    let all = made.findings.iter();
    all.filter(|it| it.code.name() == "PLAN-12")
        .map(|it| it.severity)
        .collect()
}

fn held(made: &Made) -> usize {
    let panels = made.fabrication.panels.iter();
    panels.filter(|panel| panel.is_held()).count()
}

/// The longest wall, inches.
fn longest(made: &Made) -> f64 {
    let walls = made.building.walls.iter();
    walls
        .map(|wall| wall.face_length.to_inches())
        .fold(0.0, f64::max)
}

/// Brick 3-5/8 in, 1 in of air, studs and boards 5-5/8 in.
const VENEER: [f64; 4] = [0.0, 3.625, 4.625, 10.25];
/// Cladding 1 in, studs 5-1/2 in, board 1/2 in.
const CLAD: [f64; 4] = [0.0, 1.0, 6.5, 7.0];

#[test]
fn brick_before_studs_is_asked_about_and_holds_its_panels_until_it_is_answered() {
    let open = made(&VENEER, "");
    assert_eq!(told(&open), [Severity::Doubt]);
    assert!(held(&open) > 0);
    assert_eq!(held(&open), open.fabrication.panels.len());
    assert_eq!(longest(&open), WIDTH);
    let answer = "[[correction]]\nat = [60, 5]\nis = 'core'\nlayer = 3\n";
    let answered = made(&VENEER, answer);
    assert!(told(&answered).is_empty());
    assert_eq!(held(&answered), 0);
    // Panels stand behind brick and air on both sides.
    assert_eq!(longest(&answered), WIDTH - 2.0 * 4.625);
    let brick = made(&VENEER, &answer.replace('3', "1"));
    assert_eq!((held(&brick), longest(&brick)), (0, WIDTH));
}

#[test]
fn the_job_may_say_which_line_of_the_whole_wall_stays() {
    let said = made(&VENEER, "[wall]\nhold = 'outside'\n");
    assert_eq!((held(&said), longest(&said)), (0, WIDTH));
    let named = made(&VENEER, "[wall]\nhold_layer = '2'\n");
    assert_eq!((held(&named), longest(&named)), (0, WIDTH - 2.0 * 3.625));
}

#[test]
fn studs_between_boards_bear_without_a_question() {
    let clad = made(&CLAD, "");
    assert_eq!(told(&clad), [Severity::Note]);
    assert_eq!((held(&clad), longest(&clad)), (0, WIDTH - 2.0));
    let whole = made(&CLAD, "[wall]\nhold_layer = 'whole'\n");
    assert_eq!((held(&whole), longest(&whole)), (0, WIDTH));
    // As thick as the panels, the layers are the panel's own.
    let own = made(&[0.0, 0.4375, 6.0625, 6.5], "");
    assert_eq!((held(&own), longest(&own)), (0, WIDTH));
}
