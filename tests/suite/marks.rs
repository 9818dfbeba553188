//! A reviewer's marks come back into the log, whatever the file went through.

use crate::kit::{panelwright, sample_package, scratch, snapshot};
use panelwright::findings::{Finding, Outcome};
use panelwright::package::InputFile;
use panelwright::review::{Mark, MarkKind, MarkStatus, Review, read_marks};
use panelwright::rules::read_job;
use std::collections::BTreeMap;
use std::fs;

pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// The sheet with a window that most of these tests mark.
pub(crate) const SHEET: &str = "sheets/Z-4110-W110.svg";

pub(crate) fn package() -> Files {
    sample_package("napkin", "sketch.toml").documents.files
}

pub(crate) fn sheet(files: &Files, name: &str) -> String {
    String::from_utf8(files[name].clone()).unwrap()
}

pub(crate) fn file(name: &str, text: impl Into<Vec<u8>>) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.into(),
    }
}

pub(crate) fn read(files: &Files, marked: &[InputFile]) -> Outcome<Review> {
    read_marks(files, marked).unwrap()
}

/// A package with the marks that its reviewer drew on the page, read into its log.
pub(crate) fn marked() -> Files {
    let mut files = package();
    let one = file("one.svg", with(&sheet(&files, SHEET), PAGE));
    files.extend(read(&files, &[one]).output.files);
    files
}

/// The marks of one edited sheet.
pub(crate) fn marks_of(files: &Files, text: &str) -> Vec<Mark> {
    let read = read(files, &[file("marked.svg", text)]);
    assert_eq!(read.output.n_refused, 0, "{:?}", read.findings);
    read.output.log.marks
}

/// What each mark of a log says.
pub(crate) fn texts(read: &Outcome<Review>) -> Vec<&str> {
    let marks = read.output.log.marks.iter();
    marks.map(|it| it.text.as_str()).collect()
}

pub(crate) fn codes(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|it| it.code.name()).collect()
}

#[track_caller]
pub(crate) fn edited(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// The sheet with something more at its end.
pub(crate) fn with(text: &str, more: &str) -> String {
    let end = text.rfind("</svg>").unwrap();
    format!("{}{more}{}", &text[..end], &text[end..])
}

/// Marks as the page saves them.
pub(crate) const PAGE: &str = r##"<g id="review" data-reviewer="J. Field" data-time="2026-11-26T14:05:00Z">
<g data-mark="cloud" id="mark-1" data-text="Move the joint"><path d="M90 85A5 5 0 0 1 160 85A5 5 0 0 1 160 155A5 5 0 0 1 90 155A5 5 0 0 1 90 85Z" fill="none" stroke="#a3241a"/><text x="90" y="163" font-size="4.2">Move the joint</text></g>
<g data-mark="arrow" id="mark-2"><path d="M60 60L44 93M46 90L44 93L44 89" fill="none" stroke="#a3241a"/></g>
<g data-mark="text" id="mark-3"><text x="110" y="200" font-size="4.9">Is this door right?</text></g>
<g data-mark="dimension" id="mark-4" data-was="36 1/2&quot;" data-now="40&quot;"><path d="M97.5 120L155.4 120" fill="none" stroke="#a3241a"/><text x="126" y="118" font-size="4.9">40"</text></g>
<g data-mark="stamp" id="mark-5" data-stamp="approved as noted"><rect x="30" y="170" width="76" height="22"/><text x="68" y="178" font-size="5.6">APPROVED AS NOTED</text></g>
</g>
"##;

#[test]
fn marks_of_the_page_come_back_whole() {
    let files = package();
    let marks = marks_of(&files, &with(&sheet(&files, SHEET), PAGE));
    let kinds: Vec<MarkKind> = marks.iter().map(|it| it.kind).collect();
    assert_eq!(
        kinds,
        [
            MarkKind::Cloud,
            MarkKind::Arrow,
            MarkKind::Text,
            MarkKind::Dimension,
            MarkKind::Stamp
        ]
    );
    for (mark, number) in marks.iter().zip(1..) {
        assert_eq!(mark.id, format!("M{number}"));
        assert_eq!(mark.panel.as_deref(), Some("W110"));
        assert_eq!(mark.wall.as_deref(), Some("X3"));
        assert_eq!(mark.reviewer.as_deref(), Some("J. Field"));
        assert_eq!(mark.time.as_deref(), Some("2026-11-26T14:05:00Z"));
        assert_eq!(mark.status, MarkStatus::Open);
        assert_eq!(mark.package.len(), 64);
    }
    assert_eq!(marks[0].opening.as_deref(), Some("O3"));
    assert_eq!(marks[0].text, "Move the joint");
    assert_eq!(marks[1].touches.as_deref(), Some("dimension 82"));
    assert_eq!(marks[1].at, Some([44.0, 93.0]));
    assert_eq!(marks[2].text, "Is this door right?");
    assert_eq!(marks[3].text, "36 1/2\" should be 40\"");
    assert_eq!(marks[4].text, "approved as noted");
    let proposal = marks[3].proposal.as_deref().unwrap();
    assert!(
        proposal.starts_with("[[opening]]\nid = \"O3\"\nrough_width = \"40\\\"\""),
        "{proposal}"
    );
}

#[test]
fn each_mark_of_the_page_keeps_its_own_reviewer_and_time() {
    let files = package();
    let own = "id=\"mark-2\" data-reviewer=\"B. Second\" data-time=\"2026-11-25T08:00:00Z\"";
    let more = edited(PAGE, "id=\"mark-2\"", own);
    let marks = marks_of(&files, &with(&sheet(&files, SHEET), &more));
    let by = |n: usize| (marks[n].reviewer.as_deref(), marks[n].time.as_deref());
    assert_eq!(by(0), (Some("J. Field"), Some("2026-11-26T14:05:00Z")));
    assert_eq!(by(1), (Some("B. Second"), Some("2026-11-25T08:00:00Z")));
}

#[test]
fn both_sizes_of_a_unit_crossed_out_without_a_word_of_what_they_were_are_proposed() {
    let files = package();
    let text = sheet(&files, SHEET);
    let unit = text.lines().find(|line| line.contains(">UNIT ")).unwrap();
    let at = |name: &str| -> f64 {
        let rest = unit.split_once(&format!(" {name}=\"")).unwrap().1;
        rest.split_once('"').unwrap().0.parse().unwrap()
    };
    let (x, y) = (at("x"), at("y") - 1.2);
    let mark = format!(
        "<g id=\"review\"><g data-mark=\"dimension\" data-now=\"40 × 44\"><path d=\"M{} {y}L{} {y}\" fill=\"none\" stroke=\"#a3241a\"/></g></g>",
        x - 20.0,
        x + 20.0
    );
    let marks = marks_of(&files, &with(&text, &mark));
    assert_eq!(marks[0].text, "UNIT 3'-0\" × 3'-0\" should be 40 × 44");
    assert_eq!(
        marks[0].proposal.as_deref(),
        Some("[[opening]]\nid = \"O3\"\nwidth = \"40\\\"\"\nheight = \"44\\\"\"\n")
    );
}

#[test]
fn the_same_file_twice_adds_nothing_and_a_later_save_only_what_is_new() {
    let mut files = package();
    let before = files.clone();
    let one = file("Z-4110-W110.marked.svg", with(&sheet(&files, SHEET), PAGE));
    let first = read(&files, &[one.clone(), one.clone()]).output;
    assert_eq!((first.n_added, first.log.marks.len()), (5, 5));
    assert!(first.files.keys().all(|name| name.starts_with("review/")));
    files.extend(first.files.clone());
    let again = read(&files, std::slice::from_ref(&one)).output;
    assert_eq!(again.n_added, 0);
    assert_eq!(again.log, first.log);
    assert_eq!(
        again.files["review/log.json"],
        first.files["review/log.json"]
    );
    let more = PAGE.replace(
        "\n</g>\n",
        "<g data-mark=\"text\" id=\"mark-6\"><text x=\"60\" y=\"200\" font-size=\"4\">One more</text></g>\n</g>\n",
    );
    let later = read(
        &files,
        &[file("later.svg", with(&sheet(&files, SHEET), &more))],
    )
    .output;
    assert_eq!(later.n_added, 1);
    assert_eq!(later.log.marks[5].text, "One more");
    files.retain(|name, _| !name.starts_with("review/"));
    assert_eq!(files, before);
}

#[test]
fn an_unmarked_sheet_of_every_kind_has_no_marks() {
    let files = package();
    let sheets: Vec<InputFile> = files
        .iter()
        .filter(|(name, _)| name.ends_with(".svg"))
        .map(|(name, bytes)| file(name, bytes.clone()))
        .collect();
    assert!(sheets.len() > 15);
    let read = read(&files, &sheets);
    assert_eq!(read.findings, []);
    assert_eq!(read.output.log.marks, []);
}

#[test]
fn what_an_editor_moves_deletes_restyles_or_rewrites_is_a_mark() {
    let files = package();
    let text = sheet(&files, SHEET);
    let words = ">36 1/2 wide × 36 1/2 high</text>";
    let text = edited(&text, words, ">42 wide × 36 1/2 high</text>");
    // Moved: the note on the spline. Deleted: the caption of the opening. Restyled: the opening itself.
    let moved = edited(
        &text,
        "x=\"221.001\" y=\"70.232\">fitted<",
        "x=\"231.001\" y=\"90.232\">fitted<",
    );
    let caption = moved
        .lines()
        .find(|line| line.contains("ROUGH OPENING"))
        .unwrap();
    let deleted = moved.replace(&format!("{caption}\n"), "");
    let opening = deleted
        .lines()
        .skip_while(|line| !line.contains("opening-O3"))
        .find(|line| line.starts_with("<rect"))
        .unwrap();
    let red = opening.replace("<rect ", "<rect style=\"stroke:#ff0000\" ");
    let all = deleted.replace(opening, &red);
    let marks = marks_of(&files, &all);
    let kinds: Vec<MarkKind> = marks.iter().map(|it| it.kind).collect();
    assert_eq!(
        kinds,
        [
            MarkKind::ChangedText,
            MarkKind::Moved,
            MarkKind::Deleted,
            MarkKind::Restyled
        ]
    );
    assert!(
        marks[1].text.contains("10.0 mm right, 20.0 mm down"),
        "{}",
        marks[1].text
    );
    assert!(marks[1].text.contains("fitted"));
    assert!(marks[2].text.contains("ROUGH OPENING"));
    assert_eq!(marks[3].opening.as_deref(), Some("O3"));
    assert!(
        marks[0]
            .proposal
            .as_deref()
            .unwrap()
            .contains("rough_width = \"42\\\"\""),
        "{:?}",
        marks[0]
    );
}

#[test]
fn what_an_editor_draws_is_known_by_its_shape() {
    let files = package();
    let mut scribble = String::from("M60 190");
    let mut cloud = String::from("M90 85");
    for n in 1..=12 {
        scribble.push_str(&format!("L{} {}", 60 + n * 2, 190 + (n % 2) * 3));
    }
    let corners = [
        (125, 85),
        (160, 85),
        (160, 120),
        (160, 155),
        (125, 155),
        (90, 155),
        (90, 120),
        (90, 85),
    ];
    for (x, y) in corners {
        cloud.push_str(&format!("A18 18 0 1 1 {x} {y}"));
    }
    let pixel = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mP8z8BQDwAEhQGAhKmMIQAAAABJRU5ErkJggg==";
    let drawn = format!(
        "<g inkscape:groupmode=\"layer\" id=\"layer7\"><path d=\"{cloud}\" style=\"fill:none;stroke:#00f\"/>\
         <path d=\"M215 190L212.5 158\" style=\"fill:none;stroke:#00f;marker-end:url(#head)\"/>\
         <path d=\"{scribble}\" style=\"fill:none;stroke:#00f\"/>\
         <path d=\"M34 93L42 92.4\" style=\"fill:none;stroke:#00f\"/><text x=\"34\" y=\"90\" font-size=\"4\">84</text>\
         <image x=\"250\" y=\"240\" width=\"20\" height=\"15\" href=\"data:image/png;base64,{pixel}\"/></g>"
    );
    let read = read(
        &files,
        &[file("drawn.svg", with(&sheet(&files, SHEET), &drawn))],
    );
    let marks = &read.output.log.marks;
    let of = |kind| marks.iter().find(|it| it.kind == kind);
    assert_eq!(marks.len(), 5, "{marks:#?}");
    assert_eq!(of(MarkKind::Cloud).unwrap().opening.as_deref(), Some("O3"));
    let arrow = of(MarkKind::Arrow).unwrap();
    assert_eq!(arrow.at, Some([212.5, 158.0]));
    assert_eq!(arrow.touches.as_deref(), Some("text CHASE Ø1 1/2"));
    assert!(of(MarkKind::Handwriting).is_some());
    // A number struck out and another beside it is an edited dimension.
    let edit = of(MarkKind::Dimension).unwrap();
    assert!(
        edit.proposal
            .as_deref()
            .unwrap()
            .contains("head = \"84\\\"\""),
        "{edit:?}"
    );
    let image = of(MarkKind::Image).unwrap();
    let picture = String::from_utf8(read.output.files[&image.picture].clone()).unwrap();
    assert!(picture.contains(pixel));
}

/// As an editor that knows nothing of ours would save it: no ids, no data, no layers, no small print; in points.
fn stripped(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines().filter(|line| !line.contains("  Z-4110  rev")) {
        let mut line = line.to_owned();
        for name in [" id=\"", " data-", " inkscape:"] {
            while let Some(at) = line.find(name) {
                let quote = line[at..].find('"').unwrap() + at + 1;
                let end = line[quote..].find('"').unwrap() + quote + 1;
                line.replace_range(at..end, "");
            }
        }
        out.push_str(&line);
        out.push('\n');
    }
    let head = out.find("<rect class=\"wht\"").unwrap();
    let (start, rest) = out.split_at(head);
    let root = start.find("<svg").unwrap();
    let root_end = start[root..].find('>').unwrap() + root + 1;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1224 792\">{}<g transform=\"scale(2.834645669)\">{}</g></svg>",
        &start[root_end..],
        rest.replace("</svg>", "")
    )
}

#[test]
fn a_stripped_sheet_in_points_finds_its_sheet_by_geometry() {
    let files = package();
    let text = with(
        &sheet(&files, SHEET),
        "<text x=\"110\" y=\"200\" font-size=\"4.9\">Who trims this?</text>",
    );
    let read = read(&files, &[file("plain.svg", stripped(&text))]);
    assert_eq!(codes(&read.findings), [""; 0], "{:?}", read.findings);
    let marks = &read.output.log.marks;
    // The small print went with the rest of what was stripped.
    let text: Vec<&Mark> = marks
        .iter()
        .filter(|it| it.kind == MarkKind::Text)
        .collect();
    assert_eq!(text.len(), 1, "{marks:#?}");
    assert_eq!(text[0].sheet.as_deref(), Some("Z-4110-W110"));
    assert_eq!(text[0].panel.as_deref(), Some("W110"));
    let deleted = marks.iter().filter(|it| it.kind == MarkKind::Deleted);
    let deleted: Vec<&str> = deleted.map(|it| it.text.as_str()).collect();
    assert_eq!(deleted.len(), 1, "{marks:#?}");
    assert!(deleted[0].contains("Z-4110 rev 0"), "{deleted:?}");
}

#[test]
fn what_is_no_sheet_is_kept_and_listed_and_another_packages_sheet_is_refused() {
    let files = package();
    let foreign = "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" width=\"100\" height=\"100\"><path d=\"M1 1L9 9\" stroke=\"red\"/></svg>";
    let other = sheet(&files, SHEET).replace("data-package=\"", "data-package=\"00");
    let read = read(
        &files,
        &[file("doodle.svg", foreign), file("other.svg", other)],
    );
    assert_eq!(codes(&read.findings), ["REV-09", "REV-07"]);
    assert_eq!(read.output.log.marks.len(), 1);
    let kept = &read.output.log.marks[0];
    assert_eq!(
        (kept.sheet.as_deref(), kept.source.as_str()),
        (None, "doodle.svg")
    );
    assert!(read.output.files.contains_key(&kept.picture));
}

#[test]
fn a_stamp_stripped_of_its_data_is_a_stamp() {
    let files = package();
    let stamp = "<g><rect x=\"60\" y=\"195\" width=\"76\" height=\"22\" fill=\"#fff\" stroke=\"#a3241a\"/>\
                 <text x=\"98\" y=\"204\" font-size=\"5.6\" text-anchor=\"middle\">APPROVED AS NOTED</text>\
                 <text x=\"98\" y=\"212\" font-size=\"4\" text-anchor=\"middle\">J. Field, 2026-11-28</text></g>";
    let marks = marks_of(&files, &with(&sheet(&files, SHEET), stamp));
    let kinds: Vec<MarkKind> = marks.iter().map(|it| it.kind).collect();
    assert_eq!(kinds, [MarkKind::Stamp], "{marks:#?}");
    assert!(
        marks[0].text.starts_with("APPROVED AS NOTED"),
        "{}",
        marks[0].text
    );
}

#[test]
fn a_sheet_saved_at_another_resolution_is_not_restyled() {
    let files = package();
    for name in [SHEET, "sheets/Z-101-key-plan.svg"] {
        let text = sheet(&files, name);
        let head = text.find("viewBox=\"").unwrap();
        let view: Vec<f64> = text[head + 9..]
            .split('"')
            .next()
            .unwrap()
            .split(' ')
            .map(|it| it.parse().unwrap())
            .collect();
        let (from, to) = (text.find("<svg").unwrap(), text.find("<title>").unwrap());
        for dots in [72.0, 90.0, 300.0] {
            let scale = dots / 25.4;
            let root = format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" width=\"{w:.3}\" height=\"{h:.3}\" viewBox=\"0 0 {w:.3} {h:.3}\"><g transform=\"scale({scale:.6})\">",
                w = view[2] * scale,
                h = view[3] * scale
            );
            let there = format!(
                "{}{root}{}",
                &text[..from],
                &text[to..].replace("</svg>", "</g></svg>")
            );
            let marks = marks_of(&files, &there);
            assert_eq!(marks, [], "{name} at {dots} dots to the inch");
        }
    }
}

#[test]
fn answers_close_marks_and_a_wrong_answers_file_is_refused_with_its_line() {
    let mut files = package();
    let one = file("one.svg", with(&sheet(&files, SHEET), PAGE));
    files.extend(read(&files, &[one]).output.files);
    let answers = "[[answer]]\nmark = \"M1\"\nstatus = \"closed\"\nanswer = \"Joint moved\"\ndate = \"2026-11-27\"\n\n[[answer]]\nmark = \"M3\"\nanswer = \"It is a window\"\n\n[[answer]]\nmark = \"M99\"\n\n[[question]]\nnumber = \"3\"\ncode = \"BLDG-10\"\nabout = \"plan.dxf\"\nasked = \"How high?\"\nanswer = \"All heads 82\"\n";
    files.insert("review/answers.toml".to_owned(), answers.into());
    let answered = read(&files, &[]);
    assert_eq!(codes(&answered.findings), ["REV-12"]);
    let marks = &answered.output.log.marks;
    assert_eq!(marks[0].status, MarkStatus::Closed);
    assert_eq!(marks[0].answer.as_deref(), Some("Joint moved"));
    assert_eq!(marks[0].answered_on.as_deref(), Some("2026-11-27"));
    assert_eq!(marks[2].status, MarkStatus::Answered);
    assert_eq!(marks[1].status, MarkStatus::Open);
    let proposed =
        String::from_utf8(answered.output.files["review/proposed.toml"].clone()).unwrap();
    assert!(proposed.contains("All heads 82"), "{proposed}");
    // What is proposed is what a job says.
    let job = read_job(&proposed, "proposed.toml").unwrap().output;
    assert_eq!(job.openings.len(), 1, "{proposed}");
    files.insert(
        "review/answers.toml".to_owned(),
        b"[[answer]]\nmark = \"M1\"\nstate = \"closed\"\n".to_vec(),
    );
    let refused = read_marks(&files, &[]).unwrap_err().to_string();
    assert!(refused.contains("review/answers.toml:3"), "{refused}");
    files.insert("review/log.json".to_owned(), b"{\"marks\": 7}".to_vec());
    files.remove("review/answers.toml");
    let refused = read_marks(&files, &[]).unwrap_err().to_string();
    assert!(refused.contains("review/log.json"), "{refused}");
}

#[test]
fn the_program_reads_marks_and_touches_no_issued_file() {
    let folder = scratch("marks");
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    let sketch = "sample-drawings/napkin/sketch.toml";
    let job = "sample-drawings/napkin/job.toml";
    let made = panelwright(&[
        "make",
        sketch,
        "--job",
        job,
        "--no-pdf",
        "--out",
        &path("a"),
    ]);
    assert!(made.status.success());
    let before = snapshot(&folder.join("a"));
    let good = fs::read_to_string(folder.join("a").join(SHEET)).unwrap();
    fs::write(path("one.svg"), with(&good, PAGE)).unwrap();
    fs::write(path("bad.svg"), "<!DOCTYPE a [<!ENTITY b \"c\">]><svg/>").unwrap();
    let run = |files: &[&str]| {
        let mut arguments = vec!["marks".to_owned(), path("a")];
        arguments.extend(files.iter().map(|it| path(it)));
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        panelwright(&arguments)
    };
    let refused = run(&["bad.svg"]);
    assert_eq!(refused.status.code(), Some(2));
    assert_eq!(snapshot(&folder.join("a")), before);
    let read = run(&["one.svg"]);
    assert_eq!(
        read.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&read.stdout)
    );
    let said = String::from_utf8_lossy(&read.stdout).into_owned();
    assert!(said.contains("5 new marks"), "{said}");
    assert_eq!(run(&["one.svg", "bad.svg"]).status.code(), Some(1));
    let after = snapshot(&folder.join("a"));
    let review = folder.join("a/review");
    let issued: Vec<_> = after
        .iter()
        .filter(|(name, _)| !name.starts_with(&review))
        .cloned()
        .collect();
    assert_eq!(issued, before);
    assert!(after.len() >= before.len() + 7);
    assert_eq!(panelwright(&["verify", &path("a")]).status.code(), Some(0));
    assert_eq!(run(&["nothing.svg"]).status.code(), Some(2));
}
