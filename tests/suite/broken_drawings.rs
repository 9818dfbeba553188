//! Cut, swapped, doubled and garbled lines in each sample: never a panic, always either a package or a refusal.

use crate::kit::{SAMPLES, sample_file};
use panelwright::package::{InputFile, MakeOptions, trace};

/// A small generator of numbers with a fixed seed: the same mutations every time.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % n.max(1)
    }
}

fn mutated(lines: &[&str], numbers: &mut Numbers) -> String {
    let mut lines: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    for _ in 0..=numbers.below(4) {
        let (i, j) = (numbers.below(lines.len()), numbers.below(lines.len()));
        match numbers.below(6) {
            0 => lines.swap(i, j),
            1 => drop(lines.remove(i)),
            2 => lines.insert(i, lines[j].clone()),
            3 => lines[i] = "1e308".to_owned(),
            4 => lines[i] = "-9999999999999999999".to_owned(),
            _ => lines.truncate(i.max(1)),
        }
    }
    lines.join("\n")
}

#[test]
fn broken_samples_never_panic() {
    let mut numbers = Numbers(2607);
    for (case, plan) in SAMPLES.iter().filter(|(_, plan)| plan.ends_with(".dxf")) {
        let whole = String::from_utf8_lossy(&sample_file(case, plan).bytes).into_owned();
        let lines: Vec<&str> = whole.lines().collect();
        for _ in 0..60 {
            let input = InputFile {
                name: "broken.dxf".to_owned(),
                bytes: mutated(&lines, &mut numbers).into_bytes(),
            };
            if let Err(error) = trace(&[input], &MakeOptions::default(), &mut |_| {}) {
                assert!(
                    error.to_string().contains("broken.dxf"),
                    "the refusal names the file: {error}"
                );
            }
        }
    }
}
