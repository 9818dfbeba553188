//! How long four hundred panel sheets take: `cargo bench --bench sheets`. Figures, no verdict: no test depends on a clock.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

mod square;

use panelwright::documents::paper::{Sheet, to_svg};
use panelwright::documents::pdf::PdfFacts;
use panelwright::documents::{PanelSheetInput, PdfFiles, TitleFacts, panel_sheets, to_pdf};
use panelwright::package::{MakeOptions, make};
use panelwright::rules::PlantRules;
use std::time::Instant;

fn main() {
    let options = MakeOptions {
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    let start = Instant::now();
    let made =
        make(&[square::sketch(800)], &options, &mut |_| {}).expect("a sketch that can be made");
    let files: usize = made.documents.files.values().map(Vec::len).sum();
    let page = made.documents.files.get("index.html").map_or(0, Vec::len);
    println!(
        "whole package without PDF: {} panels, {:.2} s, {:.1} MB, of it index.html {:.1} MB",
        made.fabrication.panels.len(),
        start.elapsed().as_secs_f64(),
        megabytes(files),
        megabytes(page)
    );
    let rules = PlantRules::default();
    let input = PanelSheetInput {
        building: &made.building,
        layout: &made.layout,
        fabrication: &made.fabrication,
        rules: &rules,
        facts: &TitleFacts::default(),
        issue: &panelwright::documents::IssueFacts::default(),
        north_deg: None,
    };
    let start = Instant::now();
    let sheets = panel_sheets(&input);
    let drawn = start.elapsed().as_secs_f64();
    let bytes: usize = sheets.iter().map(|sheet| to_svg(sheet).len()).sum();
    println!(
        "{} panel sheets as SVG: {drawn:.2} s drawn, {:.2} s in all, {:.1} MB",
        sheets.len(),
        start.elapsed().as_secs_f64(),
        megabytes(bytes)
    );
    let pages: Vec<&Sheet> = sheets.iter().collect();
    let start = Instant::now();
    let pdf = to_pdf(&pages, &PdfFacts::default()).expect("a PDF");
    println!(
        "the same as one PDF: {:.2} s, {:.1} MB",
        start.elapsed().as_secs_f64(),
        megabytes(pdf.len())
    );
}

#[expect(clippy::cast_precision_loss, reason = "a figure to read")]
fn megabytes(bytes: usize) -> f64 {
    bytes as f64 / 1e6
}
