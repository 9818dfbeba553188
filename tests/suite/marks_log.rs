//! The log as a sheet, and files that are refused before they cost much.

use crate::marks::{PAGE, SHEET, codes, edited, file, marked, package, read, sheet, with};
use panelwright::review::{MarkStatus, read_marks};

#[test]
fn the_log_is_a_sheet_too_with_every_mark_its_picture_and_its_answer() {
    let mut files = marked();
    files.insert(
        "review/answers.toml".to_owned(),
        b"[[answer]]\nmark = \"M2\"\nstatus = \"closed\"\nanswer = \"It is 82\"\ndate = \"2026-11-27\"\n".to_vec(),
    );
    files.extend(read(&files, &[]).output.files);
    let log = sheet(&files, "review/log.svg");
    let texts: Vec<String> = roxmltree::Document::parse(&log)
        .unwrap()
        .descendants()
        .filter(|it| it.has_tag_name("text"))
        .filter_map(|it| it.text().map(str::to_owned))
        .collect();
    for words in [
        "M1 OPEN, cloud",
        "M2 CLOSED, arrow",
        "M5 OPEN, stamp",
        "Z-4110-W110, W110, O3, X3",
        "J. Field,",
        "Answer: 2026-11-27, It is 82",
        "5 marks came back, 4 of them open.",
        // Whose log it is, as the job says.
        "Job J-2610",
    ] {
        let is_there = texts.iter().any(|it| it.starts_with(words));
        assert!(is_there, "{words}: {texts:?}");
    }
    // The picture of the cloud: its red strokes, and grey ones of the sheet it stands on.
    let cloud = log.split("M1 OPEN").next().unwrap();
    assert!(cloud.matches("<line ").count() + cloud.matches("<path ").count() > 20);
    // More than a sheet holds goes on the next.
    let words = |n: usize| {
        format!(
            "<g data-mark=\"text\"><text x=\"{}\" y=\"200\" font-size=\"4\">no {n}</text></g>",
            60 + n
        )
    };
    let many: String = (0..9).map(words).collect();
    let more = format!("<g id=\"review\">{many}</g>");
    files.extend(
        read(
            &files,
            &[file("two.svg", with(&sheet(&files, SHEET), &more))],
        )
        .output
        .files,
    );
    assert!(sheet(&files, "review/log-2.svg").contains("M14 OPEN"));
}

/// A PDF of one page whose trailer holds the dictionary of its lock itself.
fn locked_pdf() -> Vec<u8> {
    let mut text = String::from("%PDF-1.4\n");
    let mut places = Vec::new();
    for (number, body) in [
        "<</Type/Catalog/Pages 2 0 R>>",
        "<</Type/Pages/Kids[3 0 R]/Count 1>>",
        "<</Type/Page/Parent 2 0 R/MediaBox[0 0 90 90]/Resources<<>>>>",
    ]
    .iter()
    .enumerate()
    {
        places.push(text.len());
        text.push_str(&format!("{} 0 obj{body}endobj\n", number + 1));
    }
    let start = text.len();
    text.push_str("xref\n0 4\n0000000000 65535 f \n");
    for place in places {
        text.push_str(&format!("{place:010} 00000 n \n"));
    }
    let key = "5A".repeat(32);
    text.push_str(&format!(
        "trailer<</Size 4/Root 1 0 R/ID[<{key}><{key}>]/Encrypt<</Filter/Standard/V 2/R 3/Length 128/P -4/O<{key}>/U<{key}>>>>>\nstartxref\n{start}\n%%EOF\n"
    ));
    text.into_bytes()
}

#[test]
fn a_locked_pdf_is_refused_wherever_its_lock_stands() {
    let read = read(&package(), &[file("locked.pdf", locked_pdf())]);
    assert_eq!(read.output.n_refused, 1);
    let fault = &read.findings[0];
    assert_eq!(fault.code.name(), "REV-07");
    assert!(fault.message.contains("locked"), "{}", fault.message);
}

#[test]
fn a_sheet_with_thousands_of_lines_added_is_refused_and_not_sorted_through() {
    let files = package();
    let line = |n: usize| {
        let (x, y) = (n % 400, n / 400 * 3);
        format!("<path d=\"M{x} {y}L{x} {}\" stroke=\"#f00\"/>", y + 1)
    };
    let lines: String = (0..6000).map(line).collect();
    let read = read(
        &files,
        &[file("many.svg", with(&sheet(&files, SHEET), &lines))],
    );
    assert_eq!((read.output.n_refused, read.output.n_added), (1, 0));
    assert!(read.findings[0].message.contains("another drawing"));
}

#[test]
fn a_log_that_somebody_altered_names_no_file_but_its_own() {
    let files = marked();
    let text = sheet(&files, "review/log.json");
    for (from, to, why) in [
        (
            "\"review/M1.svg\"",
            "\"../../evil.svg\"",
            "the picture of M1",
        ),
        (
            "\"id\": \"M2\"",
            "\"id\": \"M1\"",
            "mark M1 stands there twice",
        ),
        ("\"id\": \"M2\"", "\"id\": \"../M2\"", "no mark's number"),
    ] {
        let mut files = files.clone();
        files.insert("review/log.json".into(), edited(&text, from, to).into());
        let error = read_marks(&files, &[]).unwrap_err().to_string();
        assert!(error.contains(why), "{error}");
    }
}

#[test]
fn a_package_altered_by_hand_says_so_when_marks_are_read() {
    let mut files = package();
    let one = file("one.svg", with(&sheet(&files, SHEET), PAGE));
    let altered = sheet(&files, SHEET).replacen("OUTSIDE", "INSIDE", 1);
    files.insert(SHEET.to_owned(), altered.into());
    let read_altered = read(&files, std::slice::from_ref(&one));
    assert!(codes(&read_altered.findings).contains(&"REV-22"));
    files.remove(SHEET);
    let gone = read(&files, &[one]);
    assert_eq!(codes(&gone.findings), ["REV-07"]);
    let what = &gone.findings[0].message;
    assert!(what.contains("whose file is gone"), "{what}");
}

#[test]
fn of_two_answers_to_a_mark_the_last_holds_and_that_is_told() {
    let mut files = marked();
    let answers = "[[answer]]\nmark = \"M1\"\nstatus = \"closed\"\n[[answer]]\nmark = \"M1\"\nanswer = \"No\"\n";
    files.insert("review/answers.toml".into(), answers.into());
    let read = read(&files, &[]);
    assert_eq!(codes(&read.findings), ["REV-26"]);
    assert_eq!(read.output.log.marks[0].status, MarkStatus::Answered);
}
