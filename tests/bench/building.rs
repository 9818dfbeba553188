//! How long a building of four hundred panels takes, room by room, and how near its stock is to what no plan can go below:
//! `cargo bench --bench building`. Figures, no verdict. Seconds are of this process on a processor, not of the clock on the wall.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

mod square;

use panelwright::documents::{PdfFiles, blank_files, lists, outline_files};
use panelwright::fabrication::{FabricateOptions, fabricate};
use panelwright::loads::plan_loads;
use panelwright::package::{MakeOptions, make};
use panelwright::rules::PlantRules;
use panelwright::stock::{Leftovers, plan_stock};

fn main() {
    let options = MakeOptions {
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    let made =
        make(&[square::sketch(800)], &options, &mut |_| {}).expect("a sketch that can be made");
    let (building, layout, rules) = (&made.building, &made.layout, PlantRules::default());
    let start = on_processor();
    let fabrication = fabricate(building, layout, &rules, &FabricateOptions::default()).output;
    let parts = on_processor();
    let loads = plan_loads(building, &fabrication, &rules).output;
    let loaded = on_processor();
    let stock = plan_stock(layout, &fabrication, &rules, &Leftovers::default()).output;
    let planned = on_processor();
    let listed = lists(building, &fabrication, &loads, &stock, &rules).len();
    let after_lists = on_processor();
    let outlines = outline_files(&fabrication, &stock, &rules).len();
    let blanks = blank_files(&stock, &fabrication, &rules).len();
    let end = on_processor();
    let n = fabrication.panels.len();
    println!(
        "{n} panels: parts {:.2} s, {listed} lists {:.2} s, {outlines} outlines and {blanks} blanks {:.2} s, loads {:.2} s, stock at default effort {:.2} s",
        parts - start,
        after_lists - planned,
        end - after_lists,
        loaded - parts,
        planned - loaded,
    );
    let quick = (parts - start) + (end - planned);
    let panels = f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    println!(
        "parts, lists and outlines {quick:.2} s: {:.0} panels a second; {}",
        panels / quick,
        loads.sentence()
    );
    for tally in &stock.tallies {
        let gap = tally.count.saturating_sub(tally.bound.unwrap_or_default());
        let is_proven = if tally.is_proven { "proved" } else { "open" };
        println!(
            "  {} {}: gap {gap} in number, {is_proven}: {}",
            tally.kind, tally.what, tally.sentence
        );
    }
}

/// Seconds this thread has been on a processor.
fn on_processor() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let first = text.split_whitespace().next();
    first
        .and_then(|it| it.parse::<f64>().ok())
        .unwrap_or(f64::NAN)
        / 1e9
}
