//! A second issue keeps its head: marks, bytes, revision letters, locked panels.

use crate::kit::{panelwright, sample_file, scratch, sheet_words};
use panelwright::documents::paper::{overlaps, to_svg};
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::review::{Fate, compare_packages, overlay_sheets, part_fates};
use panelwright::units::Length;
use std::collections::BTreeMap;

pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// The shelter of the napkin, its sketch and its job edited, after an earlier issue if there is one.
pub(crate) fn shelter(edits: &[(&str, &str)], job: &str, earlier: Option<&Files>) -> Made {
    let mut sketch = sample_file("napkin", "sketch.toml");
    for (from, to) in edits {
        let text = sketch.text().replace(from, to);
        assert_ne!(text, sketch.text(), "{from} is not in the sketch");
        sketch.bytes = text.into_bytes();
    }
    let mut job_file = sample_file("napkin", "job.toml");
    job_file.bytes.extend_from_slice(job.as_bytes());
    let options = MakeOptions {
        job: Some(job_file),
        earlier: earlier.cloned(),
        ..MakeOptions::default()
    };
    make(&[sketch], &options, &mut |_| {}).unwrap()
}

/// The window of the south wall, half a foot farther right.
pub(crate) const MOVED_WINDOW: (&str, &str) = ("from = \"15'\"", "from = \"15'-6\\\"\"");
/// Four feet more to the east.
pub(crate) const LONGER: [(&str, &str); 2] = [
    ("south: E 24'", "south: E 28'"),
    ("north: W 24'", "north: W 28'"),
];

fn marks(made: &Made) -> Vec<&str> {
    made.fabrication
        .panels
        .iter()
        .map(|panel| panel.mark.as_str())
        .collect()
}

fn words(fates: &Made) -> Vec<&'static str> {
    fates.fates.iter().map(|row| row.fate.name()).collect()
}

pub(crate) fn codes(made: &Made) -> Vec<&'static str> {
    made.findings
        .iter()
        .map(|finding| finding.code.name())
        .collect()
}

/// Files of panels: sheets and outlines.
pub(crate) fn of_panels(files: &Files) -> Files {
    let is_one = |name: &str| name.starts_with("sheets/Z-4") || (name.starts_with("outlines/W"));
    files
        .iter()
        .filter(|(name, _)| is_one(name))
        .map(|(name, bytes)| (name.clone(), bytes.clone()))
        .collect()
}

#[test]
fn a_second_issue_of_the_same_plan_keeps_every_mark_and_every_byte() {
    let first = shelter(&[], "", None).documents.files;
    let second = shelter(&[], "", Some(&first));
    assert!(words(&second).iter().all(|word| *word == "same"));
    assert_eq!(of_panels(&second.documents.files), of_panels(&first));
    let text = String::from_utf8_lossy(&second.documents.files["manifest.json"]).into_owned();
    assert!(text.contains("\"issue\": 1"), "{text}");
}

#[test]
fn a_moved_window_changes_its_wall_and_nothing_else() {
    let first = shelter(&[], "", None);
    let second = shelter(&[MOVED_WINDOW], "", Some(&first.documents.files));
    assert!(second.proofs.is_proved());
    let changed: Vec<&str> = second
        .fates
        .iter()
        .filter(|row| matches!(row.fate, Fate::Changed(_)))
        .map(|row| second.fabrication.panels[row.new.unwrap()].mark.as_str())
        .collect();
    assert!(!changed.is_empty());
    let files = &second.documents.files;
    let before = of_panels(&first.documents.files);
    for panel in &second.fabrication.panels {
        let is_changed = changed.contains(&panel.mark.as_str());
        assert_eq!(
            panel.revision,
            if is_changed { "A" } else { "" },
            "{}",
            panel.mark
        );
        let name = if is_changed {
            format!("outlines/{}-A.dxf", panel.mark)
        } else {
            format!("outlines/{}.dxf", panel.mark)
        };
        assert!(files.contains_key(&name), "{name}");
        let south = first.building.walls[panel.wall].frame.out().y < -0.5;
        assert!(south || !is_changed, "{} changed", panel.mark);
        if !is_changed {
            assert_eq!(files.get(&name), before.get(&name), "{name}");
        }
    }
    let sheet = String::from_utf8_lossy(&files["sheets/Z-091-revised-panels.svg"]).into_owned();
    assert!(changed.iter().all(|mark| sheet.contains(*mark)));
}

#[test]
fn plates_that_stayed_keep_their_marks_when_one_before_them_is_parted() {
    let first = shelter(&[], "", None);
    // A door where a window was parts the sole plate of the south wall.
    let door = (
        "kind = \"window\"\nfrom = \"15'\"",
        "kind = \"door\"\nfrom = \"15'\"",
    );
    let second = shelter(&[door], "", Some(&first.documents.files));
    let plates = |made: &Made| -> Vec<(usize, String, [Length; 2])> {
        let walls = made.layout.walls.iter();
        let all = walls.flat_map(|wall| wall.plates.iter().map(move |it| (wall.wall, it)));
        all.map(|(wall, it)| (wall, it.mark.clone(), [it.from, it.to]))
            .collect()
    };
    let (before, after) = (plates(&first), plates(&second));
    for (wall, mark, ends) in &after {
        let was = before.iter().find(|it| it.1 == *mark);
        assert!(
            was.is_none_or(|it| it.0 == *wall && it.2 == *ends),
            "{mark}"
        );
    }
    let stayed = after.iter().filter(|it| before.contains(it)).count();
    assert_eq!(stayed, before.len() - 1, "{before:?}\n{after:?}");
}

#[test]
fn a_window_moved_by_eighteen_inches_changes_only_the_panels_it_touches() {
    let first = shelter(&[], "", None);
    let edit = ("from = \"15'\"", "from = \"16'-6\\\"\"");
    let second = shelter(&[edit], "", Some(&first.documents.files));
    assert!(second.proofs.is_proved());
    // Touched is a panel of the south wall that the window, as it was or as it is now, comes nearer to than a joint may be.
    let holes = |made: &Made| -> Vec<[Length; 2]> {
        let south = made.building.walls.iter();
        let south = south.filter(|wall| wall.frame.out().y < -0.5);
        south
            .flat_map(|wall| wall.openings.iter().map(|hole| [hole.from, hole.to]))
            .collect()
    };
    let moved: Vec<[Length; 2]> = [holes(&first), holes(&second)].concat();
    let same: Vec<[Length; 2]> = holes(&first)
        .into_iter()
        .filter(|hole| holes(&second).contains(hole))
        .collect();
    let keep = Length::inches(6);
    let touched = |made: &Made, panel: &panelwright::layout::Panel| {
        let run = &made.layout.walls[panel.wall];
        let south = made.building.walls[panel.wall].frame.out().y < -0.5;
        let (from, to) = (run.from + panel.rect.x0, run.from + panel.rect.x1);
        let under = |hole: &&[Length; 2]| from < hole[1] + keep && to > hole[0] - keep;
        south
            && moved
                .iter()
                .filter(|it| !same.contains(it))
                .any(|it| under(&it))
    };
    let panels = first.layout.panels.iter();
    let most = panels.filter(|panel| touched(&first, panel)).count();
    let mut n_changed = 0;
    for row in &second.fates {
        match row.fate {
            Fate::Same | Fate::Redrawn => {}
            // A new panel stands in the wall of the window.
            Fate::New => {
                let panel = &second.layout.panels[row.new.unwrap()];
                let wall = &second.building.walls[panel.wall];
                assert!(wall.frame.out().y < -0.5, "{} is new", panel.mark);
            }
            Fate::Changed(_) | Fate::Retired => {
                n_changed += 1;
                let panel = &first.layout.panels[row.old.unwrap()];
                assert!(touched(&first, panel), "{} changed", panel.mark);
            }
        }
    }
    assert!(n_changed > 0 && n_changed <= most, "{n_changed}, {most}");
    assert!(codes(&second).contains(&"LAY-16"));
}

/// A new window before the door: every id after it moves on by one.
const NEW_WINDOW: (&str, &str) = (
    "[[opening]]\nwall = \"south\"\nkind = \"door\"",
    "[[opening]]\nwall = \"south\"\nkind = \"window\"\nfrom = \"1'-6\\\"\"\nsize = \"2030\"\n\n[[opening]]\nwall = \"south\"\nkind = \"door\"",
);

#[test]
fn walls_and_openings_of_a_sketch_are_called_as_they_were_and_entries_stay_with_them() {
    let job = "\n[[opening]]\nid = \"O1\"\nheight = \"74\"\n[[wall.only]]\nid = \"X1\"\nname = \"Front\"\n";
    let first = shelter(&[], job, None);
    let openings = |made: &Made| -> Vec<String> {
        let openings = made.building.walls.iter().flat_map(|it| &it.openings);
        let all = openings.map(|it| format!("{} {:?} {:?}", it.id, it.kind, it.unit));
        all.collect()
    };
    // The window of the new sketch comes before the door, and takes the next free number.
    let second = shelter(&[NEW_WINDOW], job, Some(&first.documents.files));
    let (was, is) = (openings(&first), openings(&second));
    assert!(was.iter().all(|it| is.contains(it)), "{was:?}\n{is:?}");
    let new: Vec<&String> = is.iter().filter(|it| !was.contains(it)).collect();
    assert!(new.len() == 1 && new[0].starts_with("O4 "), "{new:?}");
    let told = codes(&second);
    assert!(
        !told
            .iter()
            .any(|it| ["REV-16", "REV-17", "REV-18"].contains(it)),
        "{told:?}"
    );
}

pub(crate) fn told(made: &Made, code: &str) -> Vec<String> {
    let found = made.findings.iter().filter(|it| it.code.name() == code);
    found.map(|it| it.message.clone()).collect()
}

#[test]
fn an_entry_whose_opening_is_gone_is_left_out_and_told() {
    let job = "\n[[opening]]\nid = \"O1\"\nheader = \"none\"\n";
    let first = shelter(&[NEW_WINDOW], job, None);
    let second = shelter(&[], job, Some(&first.documents.files));
    let lost = told(&second, "REV-18");
    assert_eq!(lost.len(), 1, "the window is gone: {lost:?}");
    assert!(
        lost[0].contains("O1") && lost[0].contains("left out"),
        "{}",
        lost[0]
    );
}

#[test]
fn a_retired_mark_is_never_used_again() {
    let first = shelter(&LONGER, "", None);
    let n_first = first.fabrication.panels.len();
    let shorter = shelter(&[], "", Some(&first.documents.files));
    let retired: Vec<String> = marks(&first)
        .into_iter()
        .filter(|mark| !marks(&shorter).contains(mark))
        .map(str::to_owned)
        .collect();
    assert!(!retired.is_empty(), "{n_first} panels, none went");
    let again = shelter(&LONGER, "", Some(&shorter.documents.files));
    for mark in &retired {
        assert!(!marks(&again).contains(&mark.as_str()), "{mark} came back");
    }
    assert!(words(&again).contains(&"new"));
    assert!(again.proofs.is_proved());
}

#[test]
fn a_cut_panel_that_would_change_is_held_and_named() {
    let first = shelter(&[], "", None);
    let second = shelter(&[MOVED_WINDOW], "", Some(&first.documents.files));
    let changed = second
        .fates
        .iter()
        .find(|row| matches!(row.fate, Fate::Changed(_)))
        .and_then(|row| row.new)
        .unwrap();
    let mark = second.fabrication.panels[changed].mark.clone();
    let job = format!("\n[[panel]]\nmark = \"{mark}\"\nstatus = \"cut\"\n");
    let locked = shelter(&[MOVED_WINDOW], &job, Some(&first.documents.files));
    let fault = locked
        .findings
        .iter()
        .find(|finding| finding.code.name() == "REV-02")
        .unwrap();
    assert!(
        fault.message.contains(&mark) && fault.message.contains("cut"),
        "{}",
        fault.message
    );
    assert!(locked.fabrication.panels[changed].is_held());
    assert!(
        locked
            .documents
            .files
            .contains_key(&format!("held/{mark}-A.dxf"))
    );
    // Locked and unchanged is no fault.
    let quiet = shelter(&[], &job, Some(&first.documents.files));
    assert!(
        !codes(&quiet).iter().any(|code| code.starts_with("REV")),
        "{:?}",
        codes(&quiet)
    );
    assert_eq!(
        quiet
            .fabrication
            .panels
            .iter()
            .filter(|panel| panel.is_held())
            .count(),
        0
    );
}

#[test]
fn a_panel_that_does_not_exist_is_said() {
    let made = shelter(
        &[],
        "\n[[panel]]\nmark = \"W999\"\nstatus = \"cut\"\n",
        None,
    );
    assert!(codes(&made).contains(&"REV-06"));
}

#[test]
fn another_building_shares_no_panel() {
    let shelter = shelter(&[], "", None).documents.files;
    let options = MakeOptions {
        job: Some(sample_file("cottage", "job.toml")),
        earlier: Some(shelter),
        ..MakeOptions::default()
    };
    let made = make(&[sample_file("cottage", "plan.dxf")], &options, &mut |_| {}).unwrap();
    assert!(codes(&made).contains(&"REV-01"));
}

/// The cottage's plan, turned a quarter and moved far, its entities numbered anew: every x, y pair of the file's lines; drawn
/// `scale` times as large.
fn turned(plan: &InputFile, scale: f64) -> InputFile {
    let text = plan.text();
    let lines: Vec<&str> = text.lines().collect();
    let mut out: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    let mut in_entities = false;
    let mut i = 0;
    while i + 1 < lines.len() {
        let (code, value) = (lines[i].trim(), lines[i + 1].trim());
        if code == "2" && ["ENTITIES", "BLOCKS", "OBJECTS"].contains(&value) {
            in_entities = value == "ENTITIES";
        }
        let is_x = matches!(code, "10" | "11" | "13" | "14");
        if in_entities && is_x && i + 3 < lines.len() {
            let y_code: u32 = lines[i + 2].trim().parse().unwrap();
            assert_eq!(y_code, code.parse::<u32>().unwrap() + 10);
            let x: f64 = value.parse().unwrap();
            let y: f64 = lines[i + 3].trim().parse().unwrap();
            out[i + 1] = format!("{}", (5000.0 - y) * scale);
            out[i + 3] = format!("{}", (1200.0 + x) * scale);
        }
        // Radii, heights of letters, lengths of dimensions.
        if in_entities && matches!(code, "40" | "42") {
            let size: f64 = value.parse().unwrap();
            out[i + 1] = format!("{}", size * scale);
        }
        if code == "9" && value == "$INSUNITS" && scale > 1.0 {
            "4".clone_into(&mut out[i + 3]);
        }
        if in_entities && code == "50" {
            let degrees: f64 = value.parse().unwrap();
            out[i + 1] = format!("{}", (degrees + 90.0) % 360.0);
        }
        if in_entities && code == "51" {
            let degrees: f64 = value.parse().unwrap();
            out[i + 1] = format!("{}", (degrees + 90.0) % 360.0);
        }
        i += 2;
    }
    InputFile {
        name: plan.name.clone(),
        bytes: out.join("\n").into_bytes(),
    }
}

/// Two issues of the cottage, the second of its plan turned, north with it, moved and so many times as large, both with what more
/// the job says.
fn turned_cottage(more: &str, scale: f64) -> (Made, Made) {
    turned_cottage_with_north("left", more, scale)
}

/// - `north`: where it points on the turned plan.
fn turned_cottage_with_north(north: &str, more: &str, scale: f64) -> (Made, Made) {
    let plan = sample_file("cottage", "plan.dxf");
    let options = |earlier: Option<BTreeMap<String, Vec<u8>>>| {
        let mut job = sample_file("cottage", "job.toml");
        if earlier.is_some() {
            let now = format!("north = \"{north}\"");
            job.bytes = job.text().replace("north = \"up\"", &now).into_bytes();
        }
        job.bytes.extend_from_slice(more.as_bytes());
        MakeOptions {
            job: Some(job),
            earlier,
            ..MakeOptions::default()
        }
    };
    let first = make(std::slice::from_ref(&plan), &options(None), &mut |_| {}).unwrap();
    let files = first.documents.files.clone();
    let second = make(&[turned(&plan, scale)], &options(Some(files)), &mut |_| {}).unwrap();
    let fates = words(&second);
    assert!(
        fates.iter().all(|word| ["same", "redrawn"].contains(word)),
        "{fates:?}"
    );
    (first, second)
}

#[test]
fn a_turned_and_moved_plan_finds_its_panels() {
    let (first, second) = turned_cottage("", 1.0);
    let files = &first.documents.files;
    let mut before = marks(&first);
    let mut after = marks(&second);
    before.sort_unstable();
    after.sort_unstable();
    assert_eq!(before, after);
    // Walls and openings are called as they were, so nothing of a panel is drawn again.
    let later = &second.documents.files;
    assert_eq!(of_panels(files), of_panels(later));
    assert!(second.fates.iter().all(|it| it.fate.name() == "same"));
    let compared = compare_packages(files, &second.documents.files).unwrap();
    assert_eq!(compared.fates, second.fates);
}

/// Where north did not turn with the plan the building stands otherwise to it, and every small plan says so.
#[test]
fn a_turned_plan_whose_north_stayed_has_its_sheets_drawn_anew() {
    let (_, second) = turned_cottage_with_north("up", "", 1.0);
    assert!(second.fates.iter().all(|it| it.fate.name() == "redrawn"));
    let told = sheet_words(&second, "sheets/Z-091-revised-panels.svg");
    assert!(told.contains("another north arrow"), "{told}");
    assert!(!told.contains("another key plan"), "{told}");
    assert!(!told.contains("printed"), "{told}");
}

#[test]
fn a_plan_drawn_again_in_millimetres_is_laid_out_as_it_was_issued() {
    let (_, second) = turned_cottage("", 25.4);
    assert_eq!(second.building.walls.len(), 10);
    assert!(
        !codes(&second).contains(&"LAY-16"),
        "every panel is made as it was"
    );
}

/// A box cut into the inner skin of one wall shows whether the entry found its wall.
#[test]
fn a_layout_entry_that_names_its_wall_by_a_point_follows_it_over_a_turned_plan() {
    let entry = "\n[[layout]]\nat = [0, 180]\n\
                 boxes = [{ at = \"10'\", height = 16, size = [2, 4], what = \"receptacle\" }]\n";
    // The job is as it was, so that its entries were written for the plan before.
    let (first, second) = turned_cottage_with_north("up", entry, 1.0);
    let boxed = |made: &Made| -> Vec<String> {
        let panels = made.fabrication.panels.iter();
        let boxed = panels.filter(|it| it.inner_skin.holes.len() > it.outer_skin.holes.len());
        boxed.map(|it| it.mark.clone()).collect()
    };
    assert_eq!(boxed(&first), ["W112"]);
    assert_eq!(boxed(&second), boxed(&first));
}

#[test]
fn the_program_revises_and_compares() {
    let folder = scratch("revisions");
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    let sketch = "sample-drawings/napkin/sketch.toml";
    let job = "sample-drawings/napkin/job.toml";
    let first = panelwright(&["make", sketch, "--job", job, "--out", &path("a")]);
    assert!(
        first.status.success(),
        "{}",
        String::from_utf8_lossy(&first.stderr)
    );
    let second = panelwright(&[
        "make",
        sketch,
        "--job",
        job,
        "--revise",
        &path("a"),
        "--out",
        &path("b"),
    ]);
    assert!(
        second.status.success(),
        "{}",
        String::from_utf8_lossy(&second.stderr)
    );
    let compared = panelwright(&["compare", &path("a"), &path("b")]);
    let text = String::from_utf8_lossy(&compared.stdout).into_owned();
    assert!(
        text.contains("0 redrawn, 0 changed, 0 new, 0 retired"),
        "{text}"
    );
    let drawn = panelwright(&["compare", &path("a"), &path("b"), "--out", &path("over")]);
    assert_eq!(drawn.status.code(), Some(0));
    for name in ["Z-093-overlay.svg", "parts.csv", "comparison.json"] {
        assert!(folder.join("over").join(name).is_file(), "{name}");
    }
    let refused = panelwright(&["compare", &path("a"), &path("nothing")]);
    assert_eq!(refused.status.code(), Some(2));
    let no_package = panelwright(&["make", sketch, "--revise", "docs", "--out", &path("c")]);
    assert_eq!(no_package.status.code(), Some(2));
    assert!(!folder.join("c").exists());
}

#[test]
fn two_issues_are_drawn_over_each_other_with_the_fate_of_every_part() {
    let first = shelter(&[], "", None).documents.files;
    let second = shelter(&[MOVED_WINDOW, LONGER[0], LONGER[1]], "", Some(&first));
    let second = second.documents.files;
    let compared = compare_packages(&first, &second).unwrap();
    let sheets = overlay_sheets(&compared);
    assert!(sheets.len() > 1);
    for sheet in &sheets {
        assert_eq!(overlaps(sheet), [], "{}", sheet.name);
        let svg = String::from_utf8(to_svg(sheet)).unwrap();
        assert!(svg.contains("Over issue 0"), "{}", sheet.name);
    }
    let parts = part_fates(&compared);
    // Counted from the files: every piece of lumber of a panel that is not the same, once on its side.
    let count = |files: &Files, marks: &[String]| -> usize {
        let text = String::from_utf8_lossy(&files["panels.json"]).into_owned();
        let all: serde_json::Value = serde_json::from_str(&text).unwrap();
        let panels = all["panels"].as_array().unwrap().iter();
        panels
            .filter(|it| marks.iter().any(|mark| it["mark"] == mark.as_str()))
            .map(|it| it["lumber"].as_array().unwrap().len())
            .sum()
    };
    let differ = compared
        .fates
        .iter()
        .filter(|row| !matches!(row.fate, Fate::Same | Fate::Redrawn));
    let mark = |side: usize| -> Vec<String> {
        let marks = differ.clone().map(|row| compared.marks(row)[side].clone());
        let plain = marks.map(|it| it.split('-').next().unwrap().to_owned());
        plain.filter(|it| !it.is_empty()).collect()
    };
    let faces = ["outer skin", "inner skin", "core"];
    let lumber = || {
        parts
            .iter()
            .filter(|it| !faces.contains(&it.stuff.as_str()))
    };
    let there = lumber().filter(|it| !it.old.is_empty()).count();
    let wanted = lumber().filter(|it| !it.new.is_empty()).count();
    assert_eq!(there, count(&first, &mark(0)));
    assert_eq!(wanted, count(&second, &mark(1)));
    for it in lumber().filter(|it| it.what == "recut") {
        assert!(it.from_in > it.to_in, "{it:?}");
    }
    for it in lumber().filter(|it| it.what == "reuse") {
        assert!((it.from_in - it.to_in).abs() <= 0.001, "{it:?}");
    }
}

#[test]
fn cut_panels_that_nobody_compared_are_a_doubt() {
    let cut = "\n[[panel]]\nmark = \"W101\"\nstatus = \"cut\"\n";
    let first = shelter(&[], cut, None);
    assert!(codes(&first).contains(&"REV-19"));
    let files = shelter(&[], "", None).documents.files;
    let second = shelter(&[], cut, Some(&files));
    assert!(!codes(&second).contains(&"REV-19"));
}
