//! Writes plans of the generator with their truth: `cargo run --release --example plans -- FOLDER FROM TO`.
#![expect(clippy::print_stderr, reason = "it says what it needs")]

#[path = "generator/mod.rs"]
mod generator;

use generator::plan::Plan;
use std::path::Path;

fn main() -> std::io::Result<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [folder, from, to] = words.as_slice() else {
        eprintln!("plans FOLDER FROM TO");
        return Ok(());
    };
    let number = |word: &String| word.parse::<u64>().unwrap_or(0);
    for seed in number(from)..number(to) {
        let plan = Plan::of(seed);
        let file = Path::new(folder).join(plan.name());
        std::fs::write(file.with_extension("dxf"), plan.dxf())?;
        std::fs::write(file.with_extension("truth.json"), plan.json().to_string())?;
    }
    Ok(())
}
