//! One test for each thing every sample must hold, whatever it draws.

use crate::kit::{SAMPLES, make_sample_package, sample_file, sample_package};
use panelwright::documents::PdfFiles;
use panelwright::package::{MakeOptions, make};
use std::collections::BTreeSet;

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

/// A header of the job and an opening that a correction adds name the job's line; findings name the files.
#[test]
fn the_same_input_in_another_folder_gives_the_same_bytes() {
    let documents = |folder: &str| {
        let file = |name: &str| {
            let mut file = sample_file("workshop", name);
            file.name = format!("{folder}{name}");
            file
        };
        let mut job = file("job.toml");
        let more = b"[[correction]]\nat = [200, 3]\nis = 'window'\nwidth = 24\n[[wall.only]]\nid = 'X99'\nassembly = '4-1/2'\n";
        job.bytes.extend_from_slice(more);
        let options = MakeOptions {
            job: Some(job),
            pdf: PdfFiles::LeftOut,
            ..MakeOptions::default()
        };
        let made = make(&[file("plan.dxf")], &options, &mut |_| {});
        made.unwrap_or_else(|error| panic!("{error}")).documents
    };
    let (here, there) = (documents(""), documents("C:\\jobs\\2609/"));
    for (name, bytes) in &here.files {
        assert!(there.files.get(name) == Some(bytes), "{name}");
    }
    assert_eq!(here.files.len(), there.files.len());
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
    // The page says what they share once.
    let page = String::from_utf8_lossy(&made.documents.files["index.html"]).into_owned();
    let facts = page.split_once("id=\"facts\">").unwrap().1;
    let facts = facts.split_once("</script>").unwrap().0;
    let facts: serde_json::Value = serde_json::from_str(facts).unwrap();
    let held = facts["held"].as_array().unwrap();
    let reasons: BTreeSet<&str> = held
        .iter()
        .map(|it| it["reason"].as_str().unwrap())
        .collect();
    assert_eq!(reasons.len(), held.len());
    let told = held.iter().map(|it| it["panels"].as_array().unwrap().len());
    assert_eq!(told.sum::<usize>(), made.fabrication.panels.len());
    assert!(held.len() < made.fabrication.panels.len());
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
