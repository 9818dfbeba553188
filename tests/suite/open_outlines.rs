//! Buildings that do not close: a package that says so, and a quote without a bound above.

use panelwright::documents::quote_text;
use panelwright::findings::Severity;
use panelwright::package::{InputFile, MakeOptions, make};
use panelwright::quote::{QuoteOptions, quote};
use panelwright::verify::verify_package;

/// A house of 30 by 24 ft with walls of 6 1/2 in; of its lower wall 10 ft are missing.
fn gaping_house() -> InputFile {
    house(&[
        [0.0, 0.0, 100.0, 0.0],
        [220.0, 0.0, 360.0, 0.0],
        [360.0, 0.0, 360.0, 288.0],
        [360.0, 288.0, 0.0, 288.0],
        [0.0, 288.0, 0.0, 0.0],
        [6.5, 6.5, 100.0, 6.5],
        [220.0, 6.5, 353.5, 6.5],
        [353.5, 6.5, 353.5, 281.5],
        [353.5, 281.5, 6.5, 281.5],
        [6.5, 281.5, 6.5, 6.5],
    ])
}

/// Three walls of a house of 60 by 24 ft: its front is wider than any gap that is closed.
fn open_house() -> InputFile {
    house(&[
        [720.0, 0.0, 720.0, 288.0],
        [720.0, 288.0, 0.0, 288.0],
        [0.0, 288.0, 0.0, 0.0],
        [713.5, 0.0, 713.5, 281.5],
        [713.5, 281.5, 6.5, 281.5],
        [6.5, 281.5, 6.5, 0.0],
    ])
}

fn house(lines: &[[f64; 4]]) -> InputFile {
    let mut text =
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
            .to_owned();
    for [x0, y0, x1, y1] in lines {
        text += &format!("0\nLINE\n8\n0\n10\n{x0}\n20\n{y0}\n11\n{x1}\n21\n{y1}\n");
    }
    InputFile {
        name: "open.dxf".to_owned(),
        bytes: (text + "0\nENDSEC\n0\nEOF\n").into_bytes(),
    }
}

#[test]
fn a_package_of_a_building_that_does_not_close_is_proved_and_says_what_to_answer() {
    let made = make(&[open_house()], &MakeOptions::default(), &mut |_| {}).unwrap();
    assert!(made.fabrication.panels.is_empty() && !made.is_complete());
    assert!(made.proofs.is_proved());
    let faults = made
        .findings
        .iter()
        .filter(|it| it.severity == Severity::Fault);
    let faults: Vec<&str> = faults.map(|it| it.code.name()).collect();
    assert_eq!(faults, ["PLAN-02", "BLDG-01"]);
    // Silent, it is not proved.
    let mut files = made.documents.files;
    files.insert("findings.json".to_owned(), b"[]".to_vec());
    let proved = verify_package(&files).unwrap();
    let tiling = proved
        .findings
        .iter()
        .find(|it| it.code.name() == "PROOF-01")
        .unwrap();
    assert!(tiling.hint.contains("BLDG-01"), "{}", tiling.hint);
}

#[test]
fn a_quote_of_a_building_that_does_not_close_has_no_bound_above_and_says_why() {
    let quoted = quote(&[open_house()], &QuoteOptions::default()).unwrap();
    let said = quoted.quote.uncounted.join("; ");
    assert!(
        said.contains("storey S1")
            && said.contains("PLAN-02")
            && said.contains("a gap of 713.5 in"),
        "{said}"
    );
    assert_eq!(
        quoted.quote.n_questions(),
        0,
        "what has no bound is no question that widens one"
    );
    let text = quote_text(&quoted.quote);
    assert!(
        text.contains("high no bound") && text.contains("NO BOUND ABOVE: storey S1"),
        "{text}"
    );
    let files = quoted.documents(None).unwrap().files;
    let value: serde_json::Value = serde_json::from_slice(&files["quote.json"]).unwrap();
    assert!(value["high"].is_null() && value["uncounted"].as_array().unwrap().len() == 2);
    let sheet = String::from_utf8(files["quote.svg"].clone()).unwrap();
    assert!(sheet.contains("no bound"));
}

#[test]
fn a_gap_that_is_taken_as_an_opening_holds_the_panels_at_it_and_is_a_question_of_the_quote() {
    let made = make(&[gaping_house()], &MakeOptions::default(), &mut |_| {}).unwrap();
    assert!(made.proofs.is_proved() && !made.is_complete());
    let gap = made.findings.iter().find(|it| it.code.name() == "PLAN-02");
    let gap = gap.unwrap();
    assert_eq!(gap.severity, Severity::Fault);
    let taken = gap.place.element.as_ref().unwrap();
    let walls = made.building.walls.iter();
    let front = walls.filter(|wall| wall.openings.iter().any(|it| it.id == *taken));
    assert_eq!(front.count(), 1);
    let held = made.fabrication.panels.iter().filter(|it| it.is_held());
    let n_held = held.count();
    assert!(n_held > 0 && n_held < made.fabrication.panels.len());
    let quoted = quote(&[gaping_house()], &QuoteOptions::default()).unwrap();
    assert!(quoted.quote.uncounted.is_empty() && quoted.quote.n_questions() > 0);
}
