//! Corrections of a job go with the building from issue to issue, or it is told that they may not.

use crate::draft::{House, Lie, Sheet, Side};
use crate::revisions::{Files, told};
use panelwright::documents::PdfFiles;
use panelwright::findings::Severity;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use serde_json::Value;

const TURNED: Lie = Lie {
    turn_deg: 90.0,
    shift: (2000.0, -700.0),
    handle: 0x900,
    ..Lie::STRAIGHT
};
const TURNED_AGAIN: Lie = Lie {
    turn_deg: -30.0,
    shift: (-900.0, 4000.0),
    handle: 0x50,
    ..Lie::STRAIGHT
};

/// A house 30 ft by 20 ft with two rooms, a door and three windows.
fn house() -> House {
    House {
        width: 360.0,
        depth: 240.0,
        partitions: vec![130.0],
        openings: vec![
            (Side::South, 40.0, 36.0, true),
            (Side::South, 220.0, 48.0, false),
            (Side::East, 60.0, 30.0, false),
            (Side::North, 200.0, 24.0, false),
        ],
    }
}

/// The package of a house as it lies on the sheet, with a dimension before the house or after it.
fn issue(lie: Lie, corrections: &str, before: Option<&Files>, dimensions: &[&str]) -> Made {
    let mut sheet = Sheet::new(lie);
    for words in dimensions.iter().filter(|it| it.starts_with("2'")) {
        // From corner to jamb of the window in the south wall: 18'-4" as drawn.
        sheet.dimension((0.0, 0.0), (40.0, 0.0), -40.0, words);
    }
    for words in dimensions.iter().filter(|it| !it.starts_with("2'")) {
        sheet.dimension((0.0, 0.0), (220.0, 0.0), -80.0, words);
    }
    sheet.house(&house());
    let file = |name: &str, text: &str| InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let job = format!("assembly = '6-1/2'\n[wall]\nheight = 108\n{corrections}");
    let options = MakeOptions {
        job: Some(file("job.toml", &job)),
        earlier: before.cloned(),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[file("plan.dxf", &sheet.dxf())], &options, &mut |_| {}).unwrap()
}

/// Kind and width of the opening whose middle is at a place of the house; `None` where there is none.
fn opening_at(made: &Made, lie: Lie, x: f64, y: f64) -> Option<(String, f64)> {
    let plan: Value = serde_json::from_slice(&made.documents.files["plan.json"]).unwrap();
    let (x, y) = lie.at(x, y);
    let all = plan["storeys"][0]["openings"].as_array().unwrap().clone();
    let found = all.iter().find(|it| {
        let centre = |i: usize| it["centre"][i].as_f64().unwrap();
        (centre(0) - x).hypot(centre(1) - y) < 0.1
    })?;
    let kind = found["kind"].as_str().unwrap().to_owned();
    Some((kind, found["width"].as_f64().unwrap()))
}

/// The window of the east wall is a door, and one of 20 in was missed in the north wall.
const CORRECTIONS: &str = "[[correction]]\nat = [357, 75]\nis = 'door'\nwidth = 32\n\
    [[correction]]\nat = [60.1234567890123, 237]\nis = 'window'\nwidth = 20\n";

fn is_obeyed(made: &Made, lie: Lie) -> bool {
    let door = opening_at(made, lie, 356.75, 75.0);
    let window = opening_at(made, lie, 60.123, 236.75);
    door == Some(("door".to_owned(), 32.0)) && window == Some(("window".to_owned(), 20.0))
}

#[test]
fn of_the_same_job_points_go_with_the_building_from_issue_to_issue() {
    let first = issue(Lie::STRAIGHT, CORRECTIONS, None, &[]);
    assert!(is_obeyed(&first, Lie::STRAIGHT));
    let second = issue(TURNED, CORRECTIONS, Some(&first.documents.files), &[]);
    assert!(is_obeyed(&second, TURNED), "{:?}", told(&second, "PLAN-08"));
    // The third issue knows the plan on which the job was written, not only the one before it.
    let third = issue(
        TURNED_AGAIN,
        CORRECTIONS,
        Some(&second.documents.files),
        &[],
    );
    assert!(
        is_obeyed(&third, TURNED_AGAIN),
        "{:?}",
        told(&third, "PLAN-08")
    );
    assert_eq!(told(&third, "PLAN-34").len(), 1);
}

#[test]
fn of_a_drawing_that_stayed_nothing_is_carried_and_nothing_said() {
    let first = issue(Lie::STRAIGHT, CORRECTIONS, None, &[]);
    let second = issue(
        Lie::STRAIGHT,
        CORRECTIONS,
        Some(&first.documents.files),
        &[],
    );
    assert!(is_obeyed(&second, Lie::STRAIGHT));
    assert_eq!(told(&second, "PLAN-34"), [""; 0]);
    let edited = format!("{CORRECTIONS}# edited\n");
    let third = issue(Lie::STRAIGHT, &edited, Some(&second.documents.files), &[]);
    assert!(is_obeyed(&third, Lie::STRAIGHT));
    assert_eq!(told(&third, "REV-16"), [""; 0]);
}

#[test]
fn of_a_job_that_was_edited_since_what_would_hold_elsewhere_is_told() {
    let first = issue(Lie::STRAIGHT, CORRECTIONS, None, &[]);
    // Moved by four feet to the west: both points are in a wall or an opening still, or in none.
    let moved = Lie {
        shift: (-48.0, 0.0),
        ..Lie::STRAIGHT
    };
    let edited = format!("{CORRECTIONS}# edited\n");
    let second = issue(moved, &edited, Some(&first.documents.files), &[]);
    let doubts = told(&second, "REV-16");
    assert_eq!(doubts.len(), 2, "{doubts:?}");
    let east = "was about the window 2'-6\" wide";
    assert!(
        doubts[0].contains(east) && doubts[0].contains("at = [308.750, 75.000]"),
        "{}",
        doubts[0]
    );
    assert!(
        doubts[1].contains("at = [12.123, 237.000]"),
        "{}",
        doubts[1]
    );
    // What was not in the job of the issue before was written for this drawing: only a note says so.
    let (x, y) = moved.at(357.0, 75.0);
    let new = format!("[[correction]]\nat = [{x}, {y}]\nis = 'door'\nwidth = 32\n");
    let bare = issue(Lie::STRAIGHT, "", None, &[]);
    let second = issue(moved, &new, Some(&bare.documents.files), &[]);
    assert_eq!(
        opening_at(&second, moved, 356.75, 75.0),
        Some(("door".to_owned(), 32.0))
    );
    let found = second.findings.iter();
    let doubts =
        found.filter(|it| it.code.to_string() == "REV-16" && it.severity != Severity::Note);
    assert_eq!(doubts.count(), 0);
    // The same point, edited in what it says only, may be of either drawing.
    let first = issue(Lie::STRAIGHT, CORRECTIONS, None, &[]);
    let other = CORRECTIONS.replace("width = 32", "width = 34");
    let second = issue(moved, &other, Some(&first.documents.files), &[]);
    let found = second.findings.iter();
    let doubts =
        found.filter(|it| it.code.to_string() == "REV-16" && it.severity == Severity::Doubt);
    assert_eq!(doubts.count(), 2);
}

#[test]
fn a_trusted_dimension_is_that_which_measures_what_it_did_whatever_its_handle() {
    // The first dimension of a sheet has the first handle: of two, the shorter.
    let trusted = "[[correction]]\ndimension = '100'\nis = 'trusted'\n";
    let first = issue(Lie::STRAIGHT, trusted, None, &["18'-2\""]);
    assert!(
        opening_at(&first, Lie::STRAIGHT, 242.0, 3.25).is_some(),
        "moved by 2 in"
    );
    let moved = Lie {
        shift: (500.0, 300.0),
        ..Lie::STRAIGHT
    };
    let before = Some(&first.documents.files);
    let second = issue(moved, trusted, before, &["2'-11\"", "18'-2\""]);
    assert!(
        opening_at(&second, moved, 242.0, 3.25).is_some(),
        "{:?}",
        second.findings
    );
    assert!(
        opening_at(&second, moved, 58.0, 3.25).is_some(),
        "the door stays"
    );
    // One that said what is drawn is known as well.
    let agreed = issue(Lie::STRAIGHT, trusted, None, &["18'-4\""]);
    let before_it = Some(&agreed.documents.files);
    let found = issue(moved, trusted, before_it, &["2'-11\"", "18'-4\""]);
    assert_eq!(told(&found, "PLAN-08"), [""; 0]);
    assert!(opening_at(&found, moved, 58.0, 3.25).is_some());
    let changed = issue(moved, trusted, before_it, &["2'-11\"", "18'-2\""]);
    let orphan = told(&changed, "PLAN-08");
    assert!(orphan[0].contains("and was 220\""), "{orphan:?}");
    // Where nothing measures that any more, nothing else is trusted.
    let third = issue(moved, trusted, before, &["2'-11\""]);
    assert!(opening_at(&third, moved, 244.0, 3.25).is_some());
    assert!(opening_at(&third, moved, 58.0, 3.25).is_some());
    assert_eq!(told(&third, "PLAN-08").len(), 1);
}
