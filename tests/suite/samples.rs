//! One test for each thing every sample must hold, whatever it draws.

use crate::kit::{SAMPLES, make_sample_package, sample_file, sample_package};
use panelwright::package::{MakeOptions, make};

#[test]
fn the_same_input_gives_the_same_bytes() {
    for (case, plan) in SAMPLES {
        assert_eq!(
            sample_package(case, plan).documents,
            make_sample_package(case, plan).documents,
            "{case}"
        );
    }
}

#[test]
fn every_mark_stands_in_outlines_or_in_held_and_never_in_both() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            let stands = |folder: &str| {
                made.documents
                    .files
                    .contains_key(&format!("{folder}/{}.dxf", panel.mark))
            };
            assert_eq!(stands("held"), panel.is_held(), "{case} {}", panel.mark);
            assert_eq!(
                stands("outlines"),
                !panel.is_held(),
                "{case} {}",
                panel.mark
            );
        }
    }
}

#[test]
fn a_package_for_review_holds_every_panel() {
    let mut job = sample_file("bunkhouse", "job.toml");
    job.bytes
        .splice(0..0, b"issue = \"review\"\n".iter().copied());
    let options = MakeOptions {
        job: Some(job),
        ..MakeOptions::default()
    };
    let made = make(
        &[sample_file("bunkhouse", "plan.dxf")],
        &options,
        &mut |_| {},
    )
    .unwrap();
    assert!(
        !made.fabrication.panels.is_empty()
            && made.fabrication.panels.iter().all(|panel| panel.is_held())
    );
    assert!(
        !made
            .documents
            .files
            .keys()
            .any(|name| name.starts_with("outlines/W"))
    );
}

/// The bunkhouse's job names a header: lists, sheets and data say by which line of which file, not in whose folder.
#[test]
fn no_file_of_a_package_says_in_which_folder_its_job_lay() {
    let mut job = sample_file("bunkhouse", "job.toml");
    job.name = "/somebody/jobs/job.toml".to_owned();
    let mut plan = sample_file("bunkhouse", "plan.dxf");
    plan.name = "/somebody/jobs/plan.dxf".to_owned();
    let options = MakeOptions {
        job: Some(job),
        ..MakeOptions::default()
    };
    let made = make(&[plan], &options, &mut |_| {}).unwrap();
    for (name, bytes) in &made.documents.files {
        let found = bytes.windows(9).any(|it| it == b"/somebody");
        assert!(!found, "{name}");
    }
}
