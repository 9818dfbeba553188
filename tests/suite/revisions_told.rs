//! What a second issue says of what changed, and why.

use crate::kit::sample_file;
use crate::revisions::{LONGER, MOVED_WINDOW, codes, of_panels, shelter};
use panelwright::layout::PanelEdge;
use panelwright::package::{Made, MakeOptions, make};
use panelwright::review::compare_packages;
use std::collections::BTreeMap;

/// Every word of a sheet in a row: a cell may part a sentence over several lines.
fn told(made: &Made, sheet: &str) -> String {
    let sheet = String::from_utf8_lossy(&made.documents.files[sheet]).into_owned();
    let document = roxmltree::Document::parse(&sheet).unwrap();
    let texts = document.descendants().filter(|it| it.has_tag_name("text"));
    texts
        .filter_map(|it| it.text())
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn a_moved_window_is_named_on_the_sheet_of_changes_and_in_the_finding() {
    let first = shelter(&[], "", None);
    let second = shelter(&[MOVED_WINDOW], "", Some(&first.documents.files));
    let words = told(&second, "sheets/Z-091-revised-panels.svg");
    assert!(
        words.contains("on the plan, window O2 is 6\" farther right"),
        "{words}"
    );
    assert!(!words.contains("drawn by entities"), "{words}");
    let changed = second.findings.iter().find(|it| it.code.name() == "REV-04");
    let message = &changed.unwrap().message;
    assert!(
        message.ends_with("(on the plan, window O2 is 6\" farther right)"),
        "{message}"
    );
}

#[test]
fn a_window_that_a_correction_moved_is_said_to_be() {
    let first = shelter(&[], "", None);
    let job = "\n[[correction]]\nid = \"O2\"\nis = \"window\"\nwidth = \"54\"\n";
    let second = shelter(&[], job, Some(&first.documents.files));
    let words = told(&second, "sheets/Z-091-revised-panels.svg");
    assert!(
        words.contains("by a correction, window O2 is 54\" wide"),
        "{words}"
    );
}

#[test]
fn a_job_that_names_ids_of_no_plan_says_so_at_a_first_issue_alone() {
    let job = "\n[[opening]]\nid = \"O1\"\nheader = \"none\"\n";
    let first = shelter(&[], job, None);
    let note = first.findings.iter().find(|it| it.code.name() == "REV-20");
    assert!(note.unwrap().message.contains("O1 by the ids"));
    let second = shelter(&[], job, Some(&first.documents.files));
    assert!(!codes(&second).contains(&"REV-20"));
    assert!(!codes(&shelter(&[], "", None)).contains(&"REV-20"));
}

/// The lines of the plan are the same: what changed is the job.
#[test]
fn a_panel_that_the_job_changed_says_so() {
    let first = shelter(&[], "", None);
    let job = "\n[[opening]]\nid = \"O1\"\nheight = \"74\"\n";
    let second = shelter(&[], job, Some(&first.documents.files));
    let told = told(&second, "sheets/Z-091-revised-panels.svg");
    let cause = "opening O1, height: 74\"";
    let findings: Vec<&str> = (second.findings.iter())
        .filter(|it| it.code.name() == "REV-04")
        .map(|it| it.message.as_str())
        .collect();
    assert!(!told.contains("not as it was"), "{told}");
    assert!(
        findings.iter().any(|it| it.contains(cause)),
        "{findings:?}\n{told}"
    );
}

/// The shelter with a job edited, after an issue of the job as it was.
fn with_job(from: &str, to: &str) -> (Made, Made) {
    let first = shelter(&[], "", None);
    let mut job = sample_file("napkin", "job.toml");
    let text = job.text().replace(from, to);
    assert_ne!(text, job.text(), "{from} is not in the job");
    job.bytes = text.into_bytes();
    let options = MakeOptions {
        job: Some(job),
        earlier: Some(first.documents.files.clone()),
        ..MakeOptions::default()
    };
    let sketch = sample_file("napkin", "sketch.toml");
    let second = make(&[sketch], &options, &mut |_| {}).unwrap();
    (first, second)
}

#[test]
fn a_sheet_that_names_the_job_otherwise_is_drawn_anew_without_a_letter() {
    let (first, second) = with_job("name = \"Shelter\"", "name = \"Boathouse\"");
    assert!(second.fates.iter().all(|it| it.fate.name() == "redrawn"));
    let files = &second.documents.files;
    for panel in &second.fabrication.panels {
        assert_eq!(panel.revision, "");
        let ending = format!("-{}.svg", panel.mark);
        let own = files.iter().filter(|(name, _)| name.ends_with(&ending));
        for (name, bytes) in own {
            let text = String::from_utf8_lossy(bytes);
            assert!(text.contains("BOATHOUSE, job J-2610"), "{name}");
        }
        let outline = format!("outlines/{}.dxf", panel.mark);
        assert_eq!(files.get(&outline), first.documents.files.get(&outline));
    }
    let told = told(&second, "sheets/Z-091-revised-panels.svg");
    assert!(told.contains("BOATHOUSE"), "{told}");
    let compared = compare_packages(&first.documents.files, files).unwrap();
    assert_eq!(compared.fates, second.fates);
}

#[test]
fn a_north_that_was_not_said_before_is_printed() {
    let north = "drawn_by = \"pw\"\nnorth = \"up\"";
    let (_, second) = with_job("drawn_by = \"pw\"", north);
    assert!(second.fates.iter().all(|it| it.fate.name() == "redrawn"));
}

#[test]
fn a_sheet_that_was_changed_since_is_drawn_anew_and_told() {
    let first = shelter(&[], "", None);
    let is_sheet = |it: &&String| it.starts_with("sheets/Z-4");
    let sheet = first.documents.files.keys().find(is_sheet).unwrap().clone();
    let mut altered = first.documents.files.clone();
    altered.insert(sheet.clone(), b"<svg/>".to_vec());
    let second = shelter(&[], "", Some(&altered));
    let told = second.findings.iter().find(|it| it.code.name() == "REV-22");
    assert!(told.unwrap().message.contains(&sheet));
    // Drawn anew it names this issue's package; the others are those of the first.
    let [mut of_second, mut of_first] = [&second, &first].map(|it| of_panels(&it.documents.files));
    assert!(of_second.remove(&sheet).unwrap().len() > 1000);
    of_first.remove(&sheet);
    assert!(of_second == of_first);
}

#[test]
fn a_new_panel_moves_no_other_in_the_order_of_erection() {
    let first = shelter(&[], "", None);
    let second = shelter(&LONGER, "", Some(&first.documents.files));
    let new = second.fates.iter().filter(|it| it.old.is_none()).count();
    assert!(new > 0, "a longer wall has a panel more");
    for row in &second.fates {
        if let (Some(was), Some(is)) = (row.old, row.new) {
            let [was, is] = [
                &first.fabrication.panels[was],
                &second.fabrication.panels[is],
            ];
            assert_eq!(was.erection, is.erection, "{}", is.mark);
        }
    }
    let panels = &second.fabrication.panels;
    assert!(panels.is_sorted_by(|a, b| a.erection < b.erection));
    assert!(panels.iter().any(|it| it.erection.letter > 0));
    assert!(second.proofs.is_proved());
}

/// Words that look like marks of panels.
fn marks_in(words: &str) -> impl Iterator<Item = &str> {
    let names = words.split(|c: char| !c.is_ascii_alphanumeric());
    names.filter(|it| {
        let digits = it.strip_prefix('W');
        digits.is_some_and(|it| it.len() >= 3 && it.bytes().all(|b| b.is_ascii_digit()))
    })
}

#[test]
fn reasons_name_the_neighbours_that_stand_there_in_this_issue() {
    let first = shelter(&[], "", None).documents.files;
    // A third of the south and north walls goes.
    let edits = [
        ("south: E 24'", "south: E 16'"),
        ("north: W 24'", "north: W 16'"),
        ("from = \"15'\"", "from = \"10'\""),
    ];
    let second = shelter(&edits, "", Some(&first));
    let mut n_named = 0;
    for panel in &second.layout.panels {
        let beside = [panel.left, panel.right].map(|edge| match edge {
            PanelEdge::Spline { with, .. } => second.layout.panels[with].mark.as_str(),
            _ => "",
        });
        for reason in &panel.reasons {
            for mark in marks_in(&reason.words) {
                assert!(beside.contains(&mark), "{}: {}", panel.mark, reason.words);
                n_named += 1;
            }
        }
    }
    assert!(n_named > 4);
    // What went is named nowhere but where it is told.
    let standing = |mark: &str| second.layout.panels.iter().any(|it| it.mark == mark);
    for finding in second
        .findings
        .iter()
        .filter(|it| it.code.name() == "LAY-08")
    {
        assert!(
            marks_in(&finding.message).all(standing),
            "{}",
            finding.message
        );
    }
}

#[test]
fn a_sheet_that_is_kept_says_the_same_in_its_file_and_on_the_page() {
    let first = shelter(&[], "", None).documents.files;
    let second = shelter(&[MOVED_WINDOW], "", Some(&first)).documents.files;
    let page = String::from_utf8(second["index.html"].clone()).unwrap();
    let root = |text: &str| {
        let facts = ["sheet", "package", "revision"].map(|name| {
            let (_, after) = text.split_once(&format!(" data-{name}=\"")).unwrap();
            after.split_once('"').unwrap().0.to_owned()
        });
        (facts[0].clone(), [facts[1].clone(), facts[2].clone()])
    };
    let shown: BTreeMap<String, [String; 2]> = page
        .split("<svg ")
        .filter(|it| it.contains(" data-sheet=\"Z-4"))
        .map(root)
        .collect();
    let sheets = second
        .iter()
        .filter(|(name, _)| name.starts_with("sheets/Z-4"));
    let mut n_kept = 0;
    for (name, bytes) in sheets {
        let (number, facts) = root(std::str::from_utf8(bytes).unwrap());
        assert_eq!(shown[&number], facts, "{name}");
        n_kept += usize::from(first.get(name) == Some(bytes));
    }
    assert!(
        n_kept > 0 && n_kept < shown.len(),
        "{n_kept} of {}",
        shown.len()
    );
}
