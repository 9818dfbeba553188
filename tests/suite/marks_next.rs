//! Marks go on to the next issue with what they are about; what is gone is listed.

use crate::kit::sample_file;
use crate::marks::{Files, PAGE, SHEET, edited, file, marked, package, read, sheet, with};
use panelwright::package::{MakeOptions, make};

/// The shelter made again after an issue, with the sketch edited.
fn next(edits: &[(&str, &str)], earlier: &Files) -> panelwright::package::Made {
    let mut sketch = sample_file("napkin", "sketch.toml");
    for (from, to) in edits {
        sketch.bytes = edited(&sketch.text(), from, to).into_bytes();
    }
    let options = MakeOptions {
        job: Some(sample_file("napkin", "job.toml")),
        earlier: Some(earlier.clone()),
        ..MakeOptions::default()
    };
    make(&[sketch], &options, &mut |_| {}).unwrap()
}

#[test]
fn open_marks_go_on_to_the_next_issue_with_their_panel_and_closed_ones_are_listed_once() {
    let mut files = marked();
    files.insert(
        "review/answers.toml".to_owned(),
        b"[[answer]]\nmark = \"M2\"\nstatus = \"closed\"\nanswer = \"It is 82\"\ndate = \"2026-11-27\"\n".to_vec(),
    );
    // The window of the north wall half a foot farther: the panel is another, the opening stands elsewhere on it.
    let second = next(&[("from = \"6'-6\\\"\"", "from = \"7'\"")], &files);
    let texts = second.documents.files;
    let review = sheet(&texts, "sheets/Z-092-review.svg");
    for word in [
        "M1",
        "M2",
        "OPEN",
        "CLOSED",
        "J. Field",
        "It is 82",
        "2026-11-27",
        "Is this door right?",
    ] {
        assert!(review.contains(word), "{word}");
    }
    let again = sheet(&texts, SHEET);
    assert!(
        again.contains("id=\"carried-M1\"") && again.contains(">M1 OPEN<"),
        "not drawn"
    );
    assert!(!again.contains("carried-M2"), "a closed mark is drawn");
    let log: panelwright::review::ReviewLog =
        serde_json::from_slice(&texts["review/log.json"]).unwrap();
    // The stamp holds for the issue it was put on.
    assert_eq!(log.marks.len(), 3);
    assert!(
        !again.contains("APPROVED AS NOTED"),
        "a stamp is drawn on another issue"
    );
    let cloud = &log.marks[0];
    assert_eq!(cloud.sheet.as_deref(), Some("Z-4110-W110"));
    assert!(cloud.carried_from.as_deref().unwrap().starts_with("M1 of "));
    // The cloud stands round the opening, wherever that is now.
    let rect = |text: &str| -> f64 {
        let line = text
            .lines()
            .skip_while(|line| !line.contains("opening-O3"))
            .find(|line| line.starts_with("<rect"))
            .unwrap()
            .to_owned();
        line.split(" x=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap()
            .parse()
            .unwrap()
    };
    let (was, now) = (rect(&sheet(&files, SHEET)), rect(&again));
    assert!((now - was).abs() > 1.0, "the opening did not move on paper");
    let shift = cloud.area.unwrap()[0] - 90.0;
    let bulge = read(&files, &[]).output.log.marks[0].area.unwrap()[0] - 90.0;
    assert!(
        (shift - bulge - (now - was)).abs() < 1.0,
        "{shift} {bulge} {}",
        now - was
    );
    assert!(!texts["manifest.json"].windows(7).any(|it| it == b"review/"));
    // The issue after: what is drawn as carried is no new mark, and goes on again.
    let mark = read(&texts, &[file("same.svg", again)]);
    assert_eq!((mark.output.n_added, mark.output.n_refused), (0, 0));
    let third = next(&[("from = \"6'-6\\\"\"", "from = \"7'\"")], &texts);
    let third_sheet = sheet(&third.documents.files, SHEET);
    assert!(third_sheet.contains("carried-M1"));
    let log: panelwright::review::ReviewLog =
        serde_json::from_slice(&third.documents.files["review/log.json"]).unwrap();
    assert!((log.marks[0].area.unwrap()[0] - cloud.area.unwrap()[0]).abs() < 0.01);
    // All closed: the sheet is clean again, and the log starts empty; its next mark takes a number that none bore.
    let mut closed = third.documents.files;
    let all: String = (1..6)
        .map(|n| format!("[[answer]]\nmark = \"M{n}\"\nstatus = \"closed\"\n"))
        .collect();
    closed.insert("review/answers.toml".to_owned(), all.into_bytes());
    let fourth = next(&[("from = \"6'-6\\\"\"", "from = \"7'\"")], &closed);
    assert!(!sheet(&fourth.documents.files, SHEET).contains("carried-"));
    let fourth = fourth.documents.files;
    let log: panelwright::review::ReviewLog =
        serde_json::from_slice(&fourth["review/log.json"]).unwrap();
    assert_eq!((log.marks.len(), log.last), (0, 5));
    let word = "<g id=\"review\"><g data-mark=\"text\"><text x=\"60\" y=\"200\" font-size=\"4\">new</text></g></g>";
    let one = file("one.svg", with(&sheet(&fourth, SHEET), word));
    assert_eq!(read(&fourth, &[one]).output.log.marks[0].id, "M6");
}

#[test]
fn a_mark_stays_with_its_opening_where_another_comes_before_it() {
    let files = marked();
    // Another window in the south wall, drawn before the one in the north wall.
    let more = "from = \"15'\"\nsize = \"4030\"\n";
    let another = format!(
        "{more}\n[[opening]]\nwall = \"south\"\nkind = \"window\"\nfrom = \"10'\"\nsize = \"2030\"\n"
    );
    let made = next(&[(more, &another)], &files);
    let texts = &made.documents.files;
    let plan = sheet(texts, "plan.json");
    let plan: serde_json::Value = serde_json::from_str(&plan).unwrap();
    let openings = plan["storeys"][0]["openings"].as_array().unwrap();
    let north = openings.iter().find(|it| it["wall"] == "X3").unwrap();
    assert_eq!(north["id"], "O3", "its name went on");
    let log: panelwright::review::ReviewLog =
        serde_json::from_slice(&texts["review/log.json"]).unwrap();
    for mark in &log.marks {
        assert!(
            mark.opening.as_deref().is_none_or(|it| it == "O3"),
            "{mark:?}"
        );
    }
    let edit = log.marks.iter().find(|it| it.proposal.is_some()).unwrap();
    let proposal = edit.proposal.as_deref().unwrap();
    assert!(proposal.contains("id = \"O3\""), "{proposal}");
}

#[test]
fn a_mark_whose_opening_is_gone_is_told_and_proposes_nothing() {
    let files = marked();
    let window = "\n[[opening]]\nwall = \"north\"\nkind = \"window\"\nfrom = \"6'-6\\\"\"\nsize = \"3030\"\n";
    let made = next(&[(window, "")], &files);
    let told = |it: &&panelwright::findings::Finding| {
        it.code.name() == "REV-14" && it.message.contains("O3 of the issue before")
    };
    assert!(made.findings.iter().any(|it| told(&it)), "not told");
    let log: panelwright::review::ReviewLog =
        serde_json::from_slice(&made.documents.files["review/log.json"]).unwrap();
    assert!(!log.marks.is_empty());
    assert!(
        log.marks
            .iter()
            .all(|it| it.proposal.is_none() && it.opening.is_none())
    );
}

#[test]
fn a_mark_whose_panel_is_gone_is_listed_not_lost() {
    let files = package();
    // The joint of the longest wall goes with the house four feet shorter.
    let shorter = [
        ("south: E 24'", "south: E 20'"),
        ("north: W 24'", "north: W 20'"),
    ];
    let retired: Vec<String> = next(&shorter, &files)
        .fates
        .iter()
        .filter(|it| it.new.is_none())
        .map(|it| {
            panelwright::review::Issued::read(&files).unwrap().panels[it.old.unwrap()]
                .mark
                .clone()
        })
        .collect();
    let gone = retired.first().expect("no panel is retired");
    let name = files
        .keys()
        .find(|name| name.ends_with(&format!("-{gone}.svg")))
        .unwrap();
    let mut files = files.clone();
    let one = file("one.svg", with(&sheet(&files, name), PAGE));
    files.extend(read(&files, &[one]).output.files);
    let made = next(&shorter, &files);
    assert_eq!(
        made.findings
            .iter()
            .filter(|it| it.code.name() == "REV-14")
            .count(),
        4
    );
    let review = sheet(&made.documents.files, "sheets/Z-092-review.svg");
    assert!(review.contains(">gone;"), "not listed");
    let log: panelwright::review::ReviewLog =
        serde_json::from_slice(&made.documents.files["review/log.json"]).unwrap();
    assert_eq!(log.marks.len(), 4);
    assert!(log.marks.iter().all(|it| it.sheet.is_none()));
}

#[test]
fn a_proposal_that_the_job_took_over_and_an_answer_without_a_date_say_so_on_the_review_sheet() {
    let mut files = marked();
    files.insert(
        "review/answers.toml".to_owned(),
        b"[[answer]]\nmark = \"M3\"\nanswer = \"It is\"\n".to_vec(),
    );
    let row = |more: &str| {
        let mut job = sample_file("napkin", "job.toml");
        job.bytes.extend_from_slice(more.as_bytes());
        let options = MakeOptions {
            job: Some(job),
            earlier: Some(files.clone()),
            ..MakeOptions::default()
        };
        let made = make(
            &[sample_file("napkin", "sketch.toml")],
            &options,
            &mut |_| {},
        );
        sheet(&made.unwrap().documents.files, "sheets/Z-092-review.svg")
    };
    let before = row("");
    assert!(before.contains(">It is<") && before.contains(">no date<"));
    assert!(!before.contains("now]"));
    let after = row("\n[[opening]]\nid = \"O3\"\nrough_width = \"40\\\"\"\n");
    assert!(after.contains("now]"), "no hint");
}
