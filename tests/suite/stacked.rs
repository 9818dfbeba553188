//! Openings of storeys over each other, from two sketches to a proved package.

use panelwright::documents::PdfFiles;
use panelwright::findings::{Finding, Severity};
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::units::Length;
use panelwright::verify::verify_package;

fn text(name: &str, text: &str) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    }
}

/// 24 ft x 16 ft in two storeys, a 3 ft window in the south wall of each; these inches from its left corner.
fn house([lower, upper]: [Option<&str>; 2], job: &str, rules: &str) -> Made {
    let storey = |name: &str, from: Option<&str>| {
        let window = from.map(|from| {
            format!("[[opening]]\nwall = 'south'\nkind = 'window'\nfrom = '{from}'\nwidth = \"3'\"\nheight = \"4'\"\nsill = \"2'-6\\\"\"\n")
        });
        let outline = "run = [\"south: E 24'\", \"east: N 16'\", \"north: W 24'\", \"close\"]";
        let words = format!(
            "name = '{name}'\nthickness = '6 1/2'\n{outline}\n{}",
            window.unwrap_or_default()
        );
        text(&format!("{name}.toml"), &words)
    };
    let job = format!(
        "name = 'Stacked'\nnumber = 'J-1'\nassembly = '6-1/2'\n{job}[wall]\nheight = \"8'-0\\\"\"\n[[storey]]\nid = 'S2'\nfloor_depth = '12'\n"
    );
    let options = MakeOptions {
        job: Some(text("job.toml", &job)),
        rules: (!rules.is_empty()).then(|| text("plant.toml", rules)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    let plans = [storey("First", lower), storey("Second", upper)];
    make(&plans, &options, &mut |_| {}).unwrap_or_else(|error| panic!("{error}"))
}

fn told<'a>(made: &'a Made, code: &str) -> Vec<&'a Finding> {
    let all = made.findings.iter();
    all.filter(|it| it.code.name() == code).collect()
}

/// Where the window of the upper south wall stands.
fn upper(made: &Made) -> [Length; 2] {
    let walls = made.building.walls.iter();
    let mut upper = walls.filter(|wall| wall.storey_index == 1);
    let opening = upper.find_map(|wall| wall.openings.first()).unwrap();
    [opening.from, opening.to]
}

#[track_caller]
fn is_proved(made: &Made) {
    let failed = verify_package(&made.documents.files).unwrap().findings;
    assert!(failed.is_empty(), "{failed:?}");
}

/// By hand: 36 in and 1/2 in of allowance from 72 in: 71 3/4 to 108 1/4; an inch farther right 72 3/4 to 109 1/4.
#[test]
fn openings_nearly_over_each_other_are_asked_about_with_both_places() {
    let made = house([Some("72"), Some("73")], "", "");
    let asked = told(&made, "BLDG-57");
    let [asked] = asked.as_slice() else {
        panic!("{asked:?}");
    };
    assert_eq!(asked.severity, Severity::Doubt);
    for words in [
        "6'-0 3/4\" to 9'-1 1/4\"",
        "5'-11 3/4\" to 9'-0 1/4\"",
        "1\" apart",
    ] {
        assert!(asked.message.contains(words), "{}", asked.message);
    }
    assert_eq!(upper(&made)[0], Length::fraction(72, 3, 4));
    is_proved(&made);
    // In line, or farther aside than the rule says, or left by the job: no question.
    for (aside, job) in [
        ("72", ""),
        ("75", ""),
        ("73", "[[opening]]\nid = 'O2'\nin_line = false\n"),
    ] {
        let made = house([Some("72"), Some(aside)], job, "");
        assert!(told(&made, "BLDG-57").is_empty(), "{aside}");
    }
}

#[test]
fn the_upper_one_is_moved_into_line_where_job_or_plant_says_so() {
    let by_job = "[[opening]]\nid = 'O2'\nin_line = true\n";
    let by_plant = "[alignment]\nopenings = 'move'\n";
    for (job, rules) in [(by_job, ""), ("", by_plant)] {
        let made = house([Some("72"), Some("73")], job, rules);
        let [moved] = told(&made, "BLDG-57")[..] else {
            panic!("it is told once");
        };
        assert_eq!(moved.severity, Severity::Note);
        let expected =
            [(71, 3), (108, 1)].map(|(whole, quarters)| Length::fraction(whole, quarters, 4));
        assert_eq!(upper(&made), expected);
        is_proved(&made);
        // The architect sees both numbers.
        let sheets = made.documents.files.iter();
        let mut sheets = sheets.filter(|(name, _)| name.contains("Z-022"));
        let sheet = String::from_utf8_lossy(sheets.next().unwrap().1).into_owned();
        assert!(
            sheet.contains("moved into line with O1 below"),
            "{sheet:.300}"
        );
        // A package that says less than it moved, or moved it out of line, is seen.
        let text = String::from_utf8_lossy(&made.documents.files["panels.json"]).into_owned();
        for (said, instead) in [
            ("\"by\": -1.0", "\"by\": -0.5"),
            ("\"over\": \"O1\"", "\"over\": \"O2x\""),
        ] {
            assert!(text.contains(said), "{said}");
            let mut files = made.documents.files.clone();
            files.insert(
                "panels.json".to_owned(),
                text.replace(said, instead).into_bytes(),
            );
            let proofs = verify_package(&files).unwrap().output.proofs;
            let jambs = proofs
                .iter()
                .find(|it| it.code.name() == "PROOF-03")
                .unwrap();
            assert!(jambs.n_failed > 0, "{instead}");
        }
    }
}

/// By hand: one jack of 1 1/2 in beside each rough jamb of 72 3/4 to 109 1/4 (openings.headers: 2-2x8, one jack).
#[test]
fn no_joint_lies_under_the_jacks_of_an_opening_above() {
    let wish = "[[layout]]\nid = 'X1'\njoints = ['72']\n";
    let refused = |rules: &str| {
        let made = house([None, Some("73")], wish, rules);
        is_proved(&made);
        let told = told(&made, "LAY-09");
        told.first().map(|it| it.message.clone())
    };
    let words = refused("").unwrap();
    assert!(
        words.contains("under the jacks of O1 in the storey above"),
        "{words}"
    );
    assert_eq!(refused("[alignment]\nunder_jacks = 'any'\n"), None);
    // Over the window below they bear on its header: told, once for each pair.
    let made = house([Some("84"), Some("60")], "", "");
    let [over] = told(&made, "LAY-26")[..] else {
        panic!("it is told once");
    };
    assert!(over.message.contains("jacks of O2") && over.message.contains("over O1"));
    assert!(told(&house([Some("72"), Some("72")], "", ""), "LAY-26").is_empty());
}
