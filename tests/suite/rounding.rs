//! A plan that comes back in other clothes is the same plan: sizes stay as issued where rounding alone would change them.

use crate::kit::sample_file;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use std::collections::BTreeMap;

/// The cottage saved by somebody who draws in millimetres: what the saw and the reader see is the same building.
fn in_millimetres(plan: &InputFile) -> InputFile {
    let text = plan.text();
    let lines: Vec<&str> = text.lines().collect();
    let mut out: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    let mut is_drawn = false;
    let mut i = 0;
    while i + 1 < lines.len() {
        let (code, value) = (lines[i].trim(), lines[i + 1].trim());
        if code == "2" && ["ENTITIES", "BLOCKS", "OBJECTS"].contains(&value) {
            is_drawn = value != "OBJECTS";
        }
        let code: u32 = code.parse().unwrap();
        let is_length = matches!(code, 10..=14 | 20..=24 | 30..=34 | 40);
        if is_drawn && is_length {
            let inches: f64 = value.parse().unwrap();
            out[i + 1] = format!("{:.6}", inches * 25.4);
        }
        if value == "$INSUNITS" {
            assert_eq!(lines[i + 3].trim(), "1");
            "4".clone_into(&mut out[i + 3]);
        }
        i += 2;
    }
    InputFile {
        name: plan.name.clone(),
        bytes: out.join("\n").into_bytes(),
    }
}

fn cottage(plan: InputFile, earlier: Option<&BTreeMap<String, Vec<u8>>>) -> Made {
    let options = MakeOptions {
        job: Some(sample_file("cottage", "job.toml")),
        earlier: earlier.cloned(),
        ..MakeOptions::default()
    };
    make(&[plan], &options, &mut |_| {}).unwrap()
}

fn panels_of(made: &Made) -> BTreeMap<&String, &Vec<u8>> {
    let files = made.documents.files.iter();
    let own = files.filter(|(name, _)| name.starts_with("sheets/Z-4"));
    own.collect()
}

#[test]
fn a_plan_saved_in_millimetres_keeps_every_panel_and_its_sheet() {
    let plan = sample_file("cottage", "plan.dxf");
    let metric = in_millimetres(&plan);
    let first = cottage(plan, None);
    let anew = cottage(metric.clone(), None);
    let widths =
        |made: &Made| -> Vec<_> { made.fabrication.panels.iter().map(|it| it.width).collect() };
    assert_ne!(
        widths(&anew),
        widths(&first),
        "rounding changes nothing here"
    );

    let second = cottage(metric, Some(&first.documents.files));
    let fates: Vec<&str> = second.fates.iter().map(|it| it.fate.name()).collect();
    assert!(fates.iter().all(|it| *it == "same"), "{fates:?}");
    assert!(panels_of(&second) == panels_of(&first));
    assert!(second.proofs.is_proved());
    let told = second
        .findings
        .iter()
        .filter(|it| it.code.name() == "BLDG-65");
    assert_eq!(told.count(), 1);
}
