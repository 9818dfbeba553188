//! Entries of the job that name openings, on a plan whose ids are others.

use crate::kit::sample_file;
use crate::revisions::told;
use panelwright::package::{InputFile, Made, MakeOptions, make};

/// The bunkhouse with windows that corrections add in its south wall, and an entry of the job for one of them.
fn bunkhouse_with(
    windows: &[u32],
    entry: &str,
    earlier: Option<&Made>,
    plan: Option<&Made>,
) -> Made {
    let mut job = sample_file("bunkhouse", "job.toml");
    if plan.is_some() {
        let says = b"corrected_plan = \"plan.json\"\n";
        job.bytes.splice(0..0, says.iter().copied());
    }
    for at in windows {
        let more = format!("\n[[correction]]\nat = [{at}, 3]\nis = \"window\"\nwidth = 24\n");
        job.bytes.extend_from_slice(more.as_bytes());
    }
    let entry = format!("\n[[opening]]\nid = \"{entry}\"\nsill = \"50\"\nhead = \"70\"\n");
    job.bytes.extend_from_slice(entry.as_bytes());
    let options = MakeOptions {
        job: Some(job),
        earlier: earlier.map(|it| it.documents.files.clone()),
        earlier_plan: plan.map(|it| InputFile {
            name: "plan.json".to_owned(),
            bytes: it.documents.files["plan.json"].clone(),
        }),
        ..MakeOptions::default()
    };
    make(
        &[sample_file("bunkhouse", "plan.dxf")],
        &options,
        &mut |_| {},
    )
    .unwrap()
}

#[test]
fn an_entry_that_would_mean_another_opening_is_told_with_both_places() {
    // What a correction adds is numbered in the order of the job: the new one before takes its name.
    let first = bunkhouse_with(&[200], "O17", None, None);
    let second = bunkhouse_with(&[120, 200], "O17", Some(&first), None);
    let told = told(&second, "REV-16");
    assert_eq!(told.len(), 1, "only the entry: {told:?}");
    for words in ["O17 is the window", "it was the window", "that is O18 now"] {
        assert!(told[0].contains(words), "{}", told[0]);
    }
}

#[test]
fn entries_written_on_an_earlier_plan_go_where_their_openings_went() {
    let first = bunkhouse_with(&[120, 200], "O18", None, None);
    let second = bunkhouse_with(&[200, 120], "O18", Some(&first), Some(&first));
    let carried = told(&second, "REV-17");
    assert!(
        carried.len() == 1 && carried[0].contains("[[opening]] O18 is O17"),
        "{carried:?}"
    );
    assert!(told(&second, "REV-16").is_empty(), "nothing is in doubt");
}
