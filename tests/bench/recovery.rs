//! How long reading and recovery take: `cargo bench --bench recovery`. Figures, no verdict: no test depends on a clock.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

#[path = "../plans/generator/mod.rs"]
mod generator;

use generator::house::{House, Wish};
use generator::plan::Plan;
use generator::plane::point;
use generator::random::Random;
use generator::sheet::{Lie, Writing};
use generator::style::{Level, Style, Walls};
use panelwright::drawing::{DrawingOptions, DrawingUnit, read_drawing};
use panelwright::plan::{PlanCorrections, recover_plan};
use std::time::{Duration, Instant};

fn main() {
    let wished: Vec<String> = std::env::args().skip(1).collect();
    for (name, side) in [("5 k", 1500.0), ("50 k", 4600.0), ("500 k", 15_450.0)] {
        for turn in [0.0_f64, 12.5] {
            let is_wished = wished.is_empty()
                || wished
                    .iter()
                    .any(|it| it == "--bench" || name.starts_with(it.as_str()));
            if is_wished && (side < 10_000.0 || turn == 0.0) {
                measure(name, side, turn);
            }
        }
    }
}

/// A house of one storey with many rooms, furnished, all on one layer.
fn measure(name: &str, side: f64, turn: f64) {
    let mut random = Random::new(7);
    let wish = Wish {
        metric: false,
        even: true,
        layered: false,
        square: true,
        told: true,
        longest_room: 200.0,
        size: Some((side, side)),
    };
    let house = House::invent(&mut random, &wish);
    let style = Style {
        walls: Walls::Lines,
        names: ["0"; 9],
        furniture: true,
        dimensions: true,
        run_on: false,
        unbroken: false,
        blocks: true,
        nested: false,
        errors: None,
        lie: Lie {
            mirrored: false,
            turn: turn.to_radians(),
            shift: point(0.0, 0.0),
        },
        writing: Writing {
            inches_per_unit: 1.0,
            unit_code: 1,
            version: "AC1015",
        },
        ..Style::choose(&mut random, Level::Easy, false)
    };
    let plan = Plan::drawn(7, &house, style, &mut random);
    let dxf = plan.dxf();
    let options = DrawingOptions {
        unit: Some(DrawingUnit::Inch),
        ..DrawingOptions::default()
    };
    let mut best = [Duration::MAX; 2];
    let mut counts = [0; 3];
    for _ in 0..3 {
        let start = Instant::now();
        let Ok(read) = read_drawing(dxf.as_bytes(), "plan.dxf", &options) else {
            println!("{name}: refused");
            return;
        };
        best[0] = best[0].min(start.elapsed());
        let drawings = [read.output];
        let start = Instant::now();
        let found = recover_plan(&drawings, &PlanCorrections::default()).output;
        best[1] = best[1].min(start.elapsed());
        let storeys = &found.storeys;
        counts = [
            drawings[0].strokes.len(),
            storeys.iter().map(|it| it.walls.len()).sum(),
            storeys.iter().map(|it| it.openings.len()).sum(),
        ];
    }
    println!(
        "{name}, turned {turn}: {} segments, {} walls of {}, {} openings of {}: reading {:.0} ms, recovery {:.0} ms",
        counts[0],
        counts[1],
        plan.truth.walls.len(),
        counts[2],
        plan.truth.openings.len(),
        best[0].as_secs_f64() * 1000.0,
        best[1].as_secs_f64() * 1000.0
    );
}
