//! What general editors do to a sheet of their own accord is no mark; a line through no text says what it goes through; a size
//! drawn anew says what it was, though nobody wrote it down.

use crate::marks::{SHEET, codes, edited, file, marks_of, package, read, sheet, texts, with};
use panelwright::review::{Mark, MarkKind};

/// The lines of a layer, with its own first and last line.
fn layer(text: &str, id: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let starts = |line: &&str| line.starts_with(&format!("<g id=\"{id}\""));
    let from = lines.iter().position(starts).unwrap();
    let mut depth = 0_i32;
    let mut layer = String::new();
    for line in &lines[from..] {
        depth += i32::from(line.starts_with("<g")) - i32::from(line.starts_with("</g>"));
        layer.push_str(line);
        layer.push('\n');
        if depth == 0 {
            break;
        }
    }
    layer
}

fn kinds(marks: &[Mark]) -> Vec<MarkKind> {
    marks.iter().map(|it| it.kind).collect()
}

#[test]
fn a_copied_layer_a_new_ground_and_lost_masks_are_no_marks() {
    let files = package();
    let text = sheet(&files, SHEET);
    for id in ["ordinates", "panel", "strip"] {
        let copy = layer(&text, id).replace("id=\"", "id=\"copy-");
        assert!(copy.lines().count() > 20, "{id}");
        assert_eq!(marks_of(&files, &with(&text, &copy)), [], "a copy of {id}");
    }
    let ground = "<rect fill=\"#fff\" x=\"-50\" y=\"-50\" width=\"800\" height=\"800\"/>";
    let grounded = edited(
        &text,
        "<g id=\"frame\"",
        &format!("{ground}<g id=\"frame\""),
    );
    assert_eq!(marks_of(&files, &grounded), []);
    let unmasked: Vec<&str> = text
        .lines()
        .filter(|it| !it.starts_with("<rect class=\"wht\""))
        .collect();
    assert!(unmasked.len() < text.lines().count() - 3);
    assert_eq!(marks_of(&files, &unmasked.join("\n")), []);
}

#[test]
fn a_hidden_layer_is_one_mark() {
    let files = package();
    let hidden = edited(
        &sheet(&files, SHEET),
        "<g id=\"ordinates\"",
        "<g style=\"display:none\" id=\"ordinates\"",
    );
    let marks = marks_of(&files, &hidden);
    assert_eq!(kinds(&marks), [MarkKind::Deleted], "{marks:#?}");
    assert!(
        marks[0].text.ends_with("layer \"ordinates\""),
        "{}",
        marks[0].text
    );
}

/// Two arrows, a remark beside one of them and another far off, in a group at the root.
const LAYER: &str = r##"<defs><marker id="head"><path d="M0 0L4 2L0 4z"/></marker></defs><g id="layer"><path d="M190 90L120 100" style="marker:url(#head)" stroke="#f00"/><text x="192" y="91" font-size="5">Why?</text><path d="M190 95L120 110" style="marker-end:url(#head)" stroke="#f00"/><text x="40" y="200" font-size="5">Far off</text></g>"##;

#[test]
fn an_added_group_at_the_root_of_plain_svg_is_a_layer_of_many_marks() {
    let files = package();
    let marked = with(&sheet(&files, SHEET), LAYER);
    for text in [marked.replace("id=\"layer\"", ""), marked] {
        let marks = marks_of(&files, &text);
        let told: Vec<(MarkKind, &str)> =
            marks.iter().map(|it| (it.kind, it.text.as_str())).collect();
        let expected = [
            (MarkKind::Arrow, "Why?"),
            (MarkKind::Arrow, ""),
            (MarkKind::Text, "Far off"),
        ];
        assert_eq!(told, expected);
    }
}

#[test]
fn a_remark_on_a_hidden_layer_is_told_and_what_shows_in_it_is_read() {
    let files = package();
    let text = sheet(&files, SHEET);
    let remark = "<text x=\"90\" y=\"90\" font-size=\"5\">Not seen</text>";
    let shown = "<text x=\"90\" y=\"120\" font-size=\"5\" visibility=\"visible\">Seen</text>";
    for (how, expected) in [
        ("style=\"display:none\"", vec![]),
        ("opacity=\"0\"", vec![]),
        ("visibility=\"hidden\"", vec!["Seen"]),
    ] {
        let group = format!("<g {how}>{remark}{shown}</g>");
        let read = read(&files, &[file("hidden.svg", with(&text, &group))]);
        assert_eq!(texts(&read), expected, "{how}");
        let told: Vec<&str> = read.findings.iter().map(|it| it.message.as_str()).collect();
        assert!(
            told.len() == 1 && told[0].contains("\"Not seen\""),
            "{how}: {told:?}"
        );
        assert_eq!(codes(&read.findings), ["REV-08"]);
    }
    // What was issued is the sheet's own, hidden or not.
    let hidden = edited(
        &text,
        "<g id=\"ordinates\"",
        "<g style=\"display:none\" id=\"ordinates\"",
    );
    let read = read(&files, &[file("hidden.svg", hidden)]);
    assert_eq!(codes(&read.findings), [""; 0]);
}

#[test]
fn a_colour_space_of_the_editors_own_restyles_nothing() {
    let files = package();
    let text = sheet(&files, SHEET)
        .replace("#000", "#231f20")
        .replace("#b3261e", "#b2271f");
    assert_eq!(marks_of(&files, &text), []);
}

/// The one mark that a drawing on the sheet makes.
fn one(drawn: &str) -> Mark {
    let files = package();
    let marks = marks_of(&files, &with(&sheet(&files, SHEET), drawn));
    assert_eq!(marks.len(), 1, "{marks:#?}");
    marks[0].clone()
}

fn line(d: &str) -> String {
    format!("<path d=\"{d}\" style=\"fill:none;stroke:#00f;stroke-width:0.7\"/>")
}

#[test]
fn a_line_through_no_text_strikes_what_it_crosses() {
    for (d, touches) in [
        ("M46 88L46 97", "dimension 82"),
        ("M102 138L112 144", "opening O3"),
        ("M95 190L105 205", "line of chases"),
        ("M46 210L54 210", "line of panel W110"),
    ] {
        let mark = one(&line(d));
        let said = (mark.kind, mark.touches.as_deref(), mark.text.as_str());
        let words = format!("struck out: {touches}");
        assert_eq!(
            said,
            (MarkKind::Strike, Some(touches), words.as_str()),
            "{d}"
        );
    }
    // Two lines through each other are one cross; a line on bare paper strikes nothing.
    let cross = one(&(line("M94 190L106 204") + &line("M94 204L106 190")));
    assert_eq!(
        (cross.kind, cross.touches.as_deref()),
        (MarkKind::Strike, Some("line of chases"))
    );
    assert_eq!(one(&line("M20 16L40 16")).kind, MarkKind::Shape);
}

#[test]
fn a_corrected_dimension_without_its_data_says_what_it_was() {
    let drawn = format!(
        "<g>{}<text x=\"126\" y=\"120\" font-size=\"4.9\">40\"</text></g>",
        line("M97.5 122L155.4 122")
    );
    let mark = one(&drawn);
    assert_eq!(mark.kind, MarkKind::Dimension, "{mark:#?}");
    let proposal = mark.proposal.unwrap_or_default();
    assert!(
        proposal.starts_with("[[opening]]\nid = \"O3\"\nrough_width = \"40\\\"\""),
        "{proposal}"
    );
    // With its data, and only what it was left out.
    let drawn = format!(
        "<g id=\"review\"><g data-mark=\"dimension\" data-now=\"40&quot;\">{}<text x=\"126\" y=\"120\" font-size=\"4.9\">40\"</text></g></g>",
        line("M97.5 122L155.4 122")
    );
    let mark = one(&drawn);
    assert_eq!(mark.text, "36 1/2 wide should be 40\"");
    assert!(
        mark.proposal
            .unwrap_or_default()
            .contains("rough_width = \"40\\\"\"")
    );
}

#[test]
fn words_are_bounded_and_hide_nothing() {
    let files = package();
    let long = "word ".repeat(2000);
    let drawn = format!(
        "<g id=\"review\" data-reviewer=\"J. \u{202e}dleiF\"><g data-mark=\"text\"><text x=\"60\" y=\"200\" font-size=\"4\">make it \u{202e}04\u{200b}</text></g>\
         <g data-mark=\"cloud\" data-text=\"{long}\"><path d=\"M90 85A5 5 0 0 1 160 85A5 5 0 0 1 160 155A5 5 0 0 1 90 155A5 5 0 0 1 90 85Z\" fill=\"none\" stroke=\"red\"/></g></g>"
    );
    let read = read(
        &files,
        &[file("words.svg", with(&sheet(&files, SHEET), &drawn))],
    );
    assert_eq!(codes(&read.findings), ["REV-08"]);
    let said = &read.findings[0].message;
    assert!(
        said.contains("2 × text with hidden control characters")
            && said.contains("1 text cut at its longest"),
        "{said}"
    );
    let marks = &read.output.log.marks;
    assert_eq!(
        (marks[0].text.as_str(), marks[0].reviewer.as_deref()),
        ("make it 04", Some("J. dleiF"))
    );
    assert_eq!(marks[1].text.chars().count(), 2001);
    let all: Vec<u8> = read.output.files.values().flatten().copied().collect();
    assert!(
        !String::from_utf8(all)
            .unwrap()
            .contains(['\u{202e}', '\u{200b}'])
    );
}

/// The same sheet on a page that an editor turned clockwise by so many quarters, all that is drawn under one transform.
fn turned(text: &str, quarters: usize) -> String {
    let (wide, high) = (431.8, 279.4);
    let (to, size) = match quarters {
        1 => (format!("translate({high} 0) rotate(90)"), [high, wide]),
        2 => (
            format!("translate({wide} {high}) rotate(180)"),
            [wide, high],
        ),
        _ => (format!("translate(0 {wide}) rotate(-90)"), [high, wide]),
    };
    let page = format!(
        "height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" width=\"{w}mm\"",
        w = size[0],
        h = size[1]
    );
    let was = "height=\"279.4mm\" viewBox=\"0 0 431.8 279.4\" width=\"431.8mm\"";
    let text = edited(text, was, &page);
    let opened = edited(
        &text,
        "<g id=\"frame\"",
        &format!("<g transform=\"{to}\"><g id=\"frame\""),
    );
    edited(&opened, "</svg>", "</g></svg>")
}

#[test]
fn a_turned_page_is_turned_back() {
    let files = package();
    let text = with(&sheet(&files, SHEET), &line("M46 88L46 97"));
    let straight = marks_of(&files, &text);
    for quarters in 1..4 {
        let marks = marks_of(&files, &turned(&text, quarters));
        assert_eq!(kinds(&marks), [MarkKind::Strike], "{quarters}: {marks:#?}");
        assert_eq!(marks[0].touches, straight[0].touches, "{quarters}");
        for (a, b) in marks[0].area.iter().zip(&straight[0].area) {
            assert!(
                a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.01),
                "{a:?} {b:?}"
            );
        }
    }
}

#[test]
fn a_sheet_without_its_styles_has_the_marks_drawn_on_it_and_says_that_inks_are_lost() {
    let files = package();
    let text = sheet(&files, SHEET);
    let (before, after) = text.split_once("<style>").unwrap();
    let bare = format!("{before}{}", after.split_once("</style>").unwrap().1);
    let read_bare = read(
        &files,
        &[file("bare.svg", with(&bare, &line("M46 88L46 97")))],
    );
    assert_eq!(codes(&read_bare.findings), ["REV-23"]);
    assert_eq!(kinds(&read_bare.output.log.marks), [MarkKind::Strike]);
}
