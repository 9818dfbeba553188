//! Writes plans of the generator with their truth: `cargo run --release --example plans -- FOLDER FROM TO`, with `traps` or `single`
//! after it those with traps on their sheet or of single lines.
#![expect(clippy::print_stderr, reason = "it says what it needs")]

#[path = "generator/mod.rs"]
mod generator;

use generator::plan::Plan;
use std::path::Path;

fn main() -> std::io::Result<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let (folder, from, to, of): (_, _, _, fn(u64) -> Plan) = match words.as_slice() {
        [folder, from, to] => (folder, from, to, Plan::of),
        [folder, from, to, kind] if kind == "traps" => (folder, from, to, Plan::of_traps),
        [folder, from, to, kind] if kind == "single" => (folder, from, to, Plan::of_single_lines),
        _ => {
            eprintln!("plans FOLDER FROM TO [traps|single]");
            return Ok(());
        }
    };
    let number = |word: &String| word.parse::<u64>().unwrap_or(0);
    for seed in number(from)..number(to) {
        let plan = of(seed);
        let file = Path::new(folder).join(plan.name());
        std::fs::write(file.with_extension("dxf"), plan.dxf())?;
        std::fs::write(file.with_extension("truth.json"), plan.json().to_string())?;
    }
    Ok(())
}
