//! Headers of panel and of LVL by rule, from words to lists, sheets and a quote.

use panelwright::documents::PdfFiles;
use panelwright::estimate::Line;
use panelwright::fabrication::Lumber;
use panelwright::findings::Severity;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::quote::{QuoteOptions, quote};
use panelwright::units::Length;

const JOB: &str =
    "name = 'Headers'\nnumber = 'J-1'\nassembly = '6-1/2'\n[wall]\nheight = \"9'-0\\\"\"\n";
const LOADS: &str = "[loads]\nground_snow_psf = 50\nbuilding_width = \"16'\"\n[[loads.bearing]]\nwall = 'X1'\ncarries = 'roof'\nsupports = 'roof'\n";
const PANEL: &str = "[[openings.headers]]\nup_to = \"10'\"\nmember = 'SIP 11-7/8'\njacks = 1\n";

/// A house of 28 ft x 16 ft with a window of this width in its south wall.
fn sketch(width: &str) -> InputFile {
    text(
        "sketch.toml",
        &format!(
            "name = 'House'\nthickness = '6 1/2'\nrun = [\"south: E 28'\", \"east: N 16'\", \"north: W 28'\", \"close\"]\n\
             [[opening]]\nwall = 'south'\nkind = 'window'\nfrom = \"11'\"\nwidth = {width:?}\nheight = \"3'\"\nsill = \"3'\"\n"
        ),
    )
}

fn text(name: &str, text: &str) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    }
}

fn options(job: &str, rules: &str) -> MakeOptions {
    MakeOptions {
        job: Some(text("job.toml", &format!("{JOB}{job}"))),
        rules: Some(text("plant.toml", rules)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    }
}

fn made(width: &str, job: &str, rules: &str) -> Made {
    let made = make(&[sketch(width)], &options(job, rules), &mut |_| {});
    let made = made.unwrap_or_else(|error| panic!("{error}"));
    assert!(made.proofs.proofs.iter().all(|proof| proof.n_failed == 0));
    made
}

fn headers(made: &Made) -> Vec<&Lumber> {
    let panels = made.fabrication.panels.iter();
    let pieces = panels.flat_map(|it| &it.lumber);
    pieces.filter(|it| it.usage == "header").collect()
}

fn list(made: &Made, name: &str) -> String {
    String::from_utf8_lossy(&made.documents.files[&format!("lists/{name}.csv")]).into_owned()
}

fn told(made: &Made, code: &str) -> Option<(Severity, String)> {
    let found = made.findings.iter().find(|it| it.code.name() == code);
    found.map(|it| (it.severity, it.message.clone()))
}

fn notes(made: &Made) -> String {
    let panels = made.fabrication.panels.iter();
    let notes: Vec<&str> = panels
        .flat_map(|it| &it.notes)
        .map(String::as_str)
        .collect();
    notes.join("\n")
}

#[test]
fn a_header_of_panel_is_one_strip_over_the_jacks_and_nobody_sized_it() {
    let made = made("3'", "", PANEL);
    let found = headers(&made);
    let [header] = found.as_slice() else {
        panic!("{} headers", found.len());
    };
    assert_eq!(header.section, "SIP 11 7/8 x 5 5/8");
    assert_eq!(header.grade, "OSB on EPS");
    // Rough opening 36 1/2 and a jack of 1 1/2 at each end; between the skins of 7/16.
    assert_eq!(header.length, Length::fraction(39, 1, 2));
    assert_eq!(
        header.depth,
        [Length::fraction(0, 7, 16), Length::fraction(6, 1, 16)]
    );
    // By hand: 39.5 x 11.875 = 469.06 sq in; 7/8 of skin at 40 pcf and 4 3/4 of foam at 1 pcf: 9.50 + 1.29 lb.
    assert!(
        (header.weight_lb - 10.790).abs() < 0.001,
        "{}",
        header.weight_lb
    );
    let notes = notes(&made);
    assert!(
        notes.contains(
            "strength axis of its skins along the span, no joint in its core: not sized: engineer"
        ),
        "{notes}"
    );
    assert!(list(&made, "openings").contains("SIP 11 7/8 (not sized: engineer)"));
    assert!(list(&made, "framing").contains("SIP 11 7/8 x 5 5/8"));
    // It is cut from the bars that are no sawn lumber.
    let bars = list(&made, "bars");
    assert!(bars.contains("SIP 11 7/8 x 5 5/8"), "{bars}");
    assert!(told(&made, "BLDG-15").is_some_and(|(severity, _)| severity == Severity::Doubt));
}

#[test]
fn beyond_its_rule_a_header_of_panel_is_left_to_the_engineer_or_to_the_lumber_table() {
    // IRC R610.8 from memory: openings wider than 4 ft are framed by R602.7.
    let wide = made("5'", "", PANEL);
    assert!(headers(&wide).is_empty());
    let (severity, words) = told(&wide, "BLDG-46").unwrap();
    assert_eq!(severity, Severity::Doubt);
    assert!(
        words.ends_with("over 4'-0\" at most: not sized: engineer"),
        "{words}"
    );
    assert!(
        notes(&wide)
            .contains("is not named, only head buck and jacks are drawn: not sized: engineer")
    );
    // Nobody names what carries: its panels are not cut.
    assert!(told(&wide, "BLDG-15").is_some_and(|(severity, _)| severity == Severity::Fault));
    let panels = &wide.fabrication.panels;
    let over: Vec<_> = panels.iter().filter(|it| !it.openings.is_empty()).collect();
    assert!(!over.is_empty() && over.iter().all(|it| !it.holds.is_empty()));
    // 2018 IRC Table R602.7(1), roof and ceiling, 50 psf, between 12 and 24 ft of width, tops not braced: 0.70. At 16 ft 2-2x10 spans
    // 0.70 x 85 = 59.5 in, 2-2x12 0.70 x 99 2/3 = 69.8 in; the rough opening is 60 1/2.
    let by_table = made("5'", LOADS, PANEL);
    assert!(headers(&by_table).iter().all(|it| it.section == "2x12"));
    assert_eq!(headers(&by_table).len(), 2);
    assert!(told(&by_table, "BLDG-40").is_some());
    assert!(told(&by_table, "BLDG-46").is_none());
    // The job's word stands, and the limit is told all the same.
    let job = "[[opening]]\nkind = 'window'\nheader = 'SIP 9-1/2'\n";
    let shallow = made("3'", job, "");
    assert_eq!(headers(&shallow)[0].section, "SIP 9 1/2 x 5 5/8");
    assert!(
        told(&shallow, "BLDG-46")
            .is_some_and(|(_, words)| words.contains("11 7/8\" deep at least"))
    );
}

#[test]
fn a_row_that_the_plant_typed_in_covers_a_header_of_panel_and_is_named() {
    let row = "[sip_headers]\nspans = [{ source = 'report 7', assembly = '6-1/2', supports = 'roof', snow_psf = 50, \
               building_width = \"24'\", depth = '11-7/8', span = \"4'\", jacks = 2 }]\n";
    let made = made("3'", LOADS, &format!("{row}{PANEL}"));
    assert_eq!(headers(&made)[0].length, Length::fraction(42, 1, 2));
    assert!(notes(&made).contains("by sip_headers.spans: report 7: confirm the adopted edition"));
    assert!(list(&made, "openings").contains("SIP 11 7/8 (sip_headers.spans: report 7)"));
    assert!(told(&made, "BLDG-15").is_none());
}

#[test]
fn plies_of_lvl_have_their_own_grade_and_weight_and_are_sold_by_the_foot() {
    let job = "[[opening]]\nkind = 'window'\nheader = '2-LVL 1-3/4x9-1/2'\n";
    let made = made("3'", job, "");
    let found = headers(&made);
    assert_eq!(found.len(), 2);
    for ply in &found {
        assert_eq!((&*ply.section, &*ply.grade), ("LVL 1-3/4x9-1/2", "LVL"));
        // By hand: 39.5 x 9.5 x 1.75 cu in at 42 pcf (from memory).
        let pounds = 39.5 * 9.5 * 1.75 / 1728.0 * 42.0;
        assert!((ply.weight_lb - pounds).abs() < 1e-9);
    }
    let options = QuoteOptions {
        make: options(job, ""),
        ..QuoteOptions::default()
    };
    let quoted = quote(&[sketch("3'")], &options).unwrap_or_else(|error| panic!("{error}"));
    let line = |item: &str| {
        let mut lines = quoted.quote.lines.iter();
        lines.find(|it: &&Line| it.item == item).cloned()
    };
    // Two plies of 39 1/2 in: 6.58 ft.
    let lvl = line("plies of LVL, not sized").unwrap();
    assert_eq!(
        (lvl.quantity.to_string().as_str(), lvl.unit),
        ("6.58", "ft")
    );
    assert_eq!(line("headers, not sized"), None);
}
