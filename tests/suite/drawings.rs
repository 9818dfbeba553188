//! Every sample plan is read whole, in the unit it is drawn in.

use panelwright::drawing::{DrawingOptions, DrawingUnit, read_drawing};
use std::path::Path;

#[track_caller]
fn check(sample: &str, unit: DrawingUnit) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-drawings")
        .join(sample)
        .join("plan.dxf");
    let bytes = std::fs::read(&path).unwrap();
    let outcome = read_drawing(&bytes, "plan.dxf", &DrawingOptions::default()).unwrap();
    let drawing = outcome.output;
    assert_eq!(drawing.scale.unit, unit, "{:#?}", drawing.scale.votes);
    let codes: Vec<&str> = outcome
        .findings
        .iter()
        .map(|finding| finding.code.name())
        .filter(|code| *code != "DRAW-03")
        .collect();
    assert!(codes.is_empty(), "{codes:?}");
    let told = outcome.findings.len() == 1;
    assert_eq!(told, drawing.scale.header != Some(unit));
    for row in drawing
        .census
        .rows
        .iter()
        .filter(|row| row.space == "model")
    {
        assert_eq!(row.read, row.found, "{row:?}");
    }
}

#[test]
fn the_samples_are_read_whole_and_in_their_units() {
    check("bunkhouse", DrawingUnit::Inch);
    check("cottage", DrawingUnit::Inch);
    // Its header says inches.
    check("workshop", DrawingUnit::Millimetre);
}
