//! What reviewers draw with any editor is taken for what it is: rings, markers, white boxes with another number on them; and what an
//! editor's rounding, cropping and cutting do to a sheet is no mark.

use crate::marks::{SHEET, codes, edited, file, marks_of, package, read, sheet, texts, with};
use panelwright::review::{Mark, MarkKind};

/// The one mark that a drawing on the sheet makes.
#[track_caller]
fn one(drawn: &str) -> Mark {
    let files = package();
    let marks = marks_of(&files, &with(&sheet(&files, SHEET), drawn));
    assert_eq!(marks.len(), 1, "{marks:#?}");
    marks[0].clone()
}

/// A value of the text of the sheet that says some words.
fn place_of(text: &str, words: &str) -> [f64; 2] {
    let line = text.lines().find(|it| it.contains(words)).unwrap();
    let value = |name: &str| -> f64 {
        let rest = line.split_once(&format!(" {name}=\"")).unwrap().1;
        rest.split_once('"').unwrap().0.parse().unwrap()
    };
    [value("x"), value("y")]
}

#[test]
fn rings_are_shapes_round_what_they_hold_and_scribbles_are_handwriting() {
    let line = |d: &str| format!("<path d=\"{d}\" fill=\"none\" stroke=\"#00f\"/>");
    let mut by_hand = String::from("M156 109");
    for n in 1..=40 {
        let turn = f64::from(n) * 0.155;
        let shake = f64::from(n % 3) * 0.3;
        by_hand.push_str(&format!(
            "L{:.2} {:.2}",
            126.0 + 32.0 * turn.cos() + shake,
            107.0 + 8.0 * turn.sin()
        ));
    }
    for drawn in [
        "<ellipse cx=\"126\" cy=\"107\" rx=\"34\" ry=\"8\" fill=\"none\" stroke=\"#00f\"/>"
            .to_owned(),
        line("M92 107A34 8 0 1 1 92 107.1"),
        line(&by_hand),
    ] {
        let mark = one(&drawn);
        assert_eq!(mark.kind, MarkKind::Shape, "{drawn}");
        let touches = mark.touches.unwrap_or_default();
        assert!(touches.contains("36 1/2 wide"), "{drawn}: {touches}");
    }
    let scribble = "M60 190L62 197L64 190L66 197L68 190L70 197L72 190L74 197L76 190L78 197";
    assert_eq!(one(&line(scribble)).kind, MarkKind::Handwriting);
}

#[test]
fn what_is_read_through_is_a_highlight() {
    for drawn in [
        "<rect x=\"97\" y=\"104\" width=\"60\" height=\"6\" fill=\"#ff0\" fill-opacity=\".4\"/>",
        "<rect x=\"97\" y=\"104\" width=\"60\" height=\"6\" fill=\"rgba(255,255,0,.4)\"/>",
        "<g opacity=\"50%\"><path d=\"M97 107H157\" fill=\"none\" stroke=\"#ff0\" stroke-width=\"5\"/></g>",
        "<rect x=\"97\" y=\"104\" width=\"60\" height=\"6\" style=\"fill:#ff0;mix-blend-mode:multiply\"/>",
    ] {
        let mark = one(drawn);
        assert_eq!(mark.kind, MarkKind::Highlight, "{drawn}");
        let touches = mark.touches.unwrap_or_default();
        assert!(touches.contains("36 1/2 wide"), "{drawn}: {touches}");
    }
    let solid =
        "<rect x=\"97\" y=\"104\" width=\"60\" height=\"6\" fill=\"none\" stroke=\"#f00\"/>";
    assert_eq!(one(solid).kind, MarkKind::Shape);
}

#[test]
fn a_white_box_over_a_size_with_another_on_it_is_an_edited_dimension() {
    let files = package();
    let text = sheet(&files, SHEET);
    let [x, y] = place_of(&text, ">82<");
    let ground = |ink: &str| {
        format!(
            "<rect x=\"{}\" y=\"{}\" width=\"9\" height=\"5.4\" {ink}/>",
            x - 7.0,
            y - 4.0
        )
    };
    let words = |words: &str| {
        format!(
            "<text x=\"{}\" y=\"{y}\" font-size=\"4\" fill=\"#f00\">{words}</text>",
            x - 5.0
        )
    };
    for drawn in [
        ground("fill=\"#fff\"") + &words("84"),
        format!(
            "<g>{}{}</g>",
            ground("fill=\"white\" stroke=\"#f00\""),
            words("84")
        ),
    ] {
        let mark = one(&drawn);
        assert_eq!(
            (mark.kind, mark.text.as_str()),
            (MarkKind::Dimension, "82 should be 84"),
            "{drawn}"
        );
        let proposal = mark.proposal.unwrap_or_default();
        assert!(proposal.contains("head = \"84\\\"\""), "{proposal}");
    }
    let covered = one(&ground("fill=\"#fff\""));
    assert_eq!(
        (covered.kind, covered.text.as_str()),
        (MarkKind::Deleted, "covered: \"82\"")
    );
    let verify = one(&(ground("fill=\"#fff\"") + &words("SEE")));
    assert_eq!(
        (verify.kind, verify.text.as_str()),
        (MarkKind::ChangedText, "\"82\" is covered by \"SEE\"")
    );
    // One over much of the sheet is no correction of a size.
    let wide = one(
        "<rect x=\"30\" y=\"60\" width=\"250\" height=\"180\" fill=\"#fff\"/><text x=\"100\" y=\"100\" font-size=\"6\">84</text>",
    );
    assert_eq!((wide.kind, wide.proposal), (MarkKind::Deleted, None));
    // A box that is read through covers nothing.
    let clear = one(&ground("fill=\"#fff\" fill-opacity=\".5\" stroke=\"#f00\""));
    assert_eq!(clear.kind, MarkKind::Shape);
}

#[test]
fn a_size_taken_off_and_another_written_in_its_place_is_an_edited_dimension() {
    let files = package();
    let text = sheet(&files, SHEET);
    let [x, y] = place_of(&text, ">82<");
    let line = text.lines().find(|it| it.contains(">82<")).unwrap();
    let without = text.replace(&format!("{line}\n"), "");
    let words = format!(
        "<text x=\"{}\" y=\"{y}\" font-size=\"5\">84</text>",
        x - 6.0
    );
    let marks = marks_of(&files, &with(&without, &words));
    let said: Vec<(MarkKind, &str)> = marks.iter().map(|it| (it.kind, it.text.as_str())).collect();
    assert_eq!(said, [(MarkKind::Dimension, "82 should be 84")]);
    let proposal = marks[0].proposal.as_deref().unwrap_or_default();
    assert!(proposal.contains("head = \"84\\\"\""), "{proposal}");
    let beside = one("<text x=\"500\" y=\"120\" font-size=\"4\">out here</text>");
    assert_eq!(
        beside.touches.as_deref(),
        Some("nothing: it stands beside the paper")
    );
}

/// Every number that is drawn cut to so many digits, the style sheet left as it is.
fn cut_to(text: &str, digits: usize, is_rounded: bool) -> String {
    let (head, body) = text.split_once("</style>").unwrap();
    let mut out = format!("{head}</style>");
    let mut rest = body;
    while let Some(at) = rest.find('.') {
        let is_digit = |c: &char| c.is_ascii_digit();
        let n_after = rest[at + 1..].chars().take_while(is_digit).count();
        let n_before = rest[..at].chars().rev().take_while(is_digit).count();
        let (from, to) = (at - n_before, at + 1 + n_after);
        out.push_str(&rest[..from]);
        match rest[from..to].parse::<f64>() {
            Ok(value) if n_after > digits && n_before > 0 && is_rounded => {
                out.push_str(&format!("{value:.digits$}"));
            }
            Ok(_) if n_after > digits && n_before > 0 => out.push_str(&rest[from..at + 1 + digits]),
            _ => out.push_str(&rest[from..to]),
        }
        rest = &rest[to..];
    }
    out + rest
}

#[test]
fn a_sheet_whose_numbers_an_editor_cut_has_no_marks() {
    let files = package();
    for name in [SHEET, "sheets/Z-101-key-plan.svg", "sheets/Z-201-X1-X4.svg"] {
        let text = sheet(&files, name);
        for (digits, is_rounded) in [(2, true), (1, true), (1, false)] {
            let cut = cut_to(&text, digits, is_rounded);
            assert_ne!(cut, text);
            let marks = marks_of(&files, &cut);
            assert_eq!(marks, [], "{name} cut to {digits}, rounded: {is_rounded}");
        }
    }
}

#[test]
fn a_line_without_end_is_a_mark_of_bounded_size_and_told() {
    let files = package();
    let mut d = String::from("M100 100");
    for n in 0..600_000 {
        d.push_str(&format!("L{} {}", 100 + n % 37, 100 + (n * 7) % 41));
    }
    let drawn = format!("<path d=\"{d}\" fill=\"none\" stroke=\"#f00\"/>");
    let read = read(
        &files,
        &[file("long.svg", with(&sheet(&files, SHEET), &drawn))],
    );
    assert_eq!(codes(&read.findings), ["REV-08"]);
    let said = &read.findings[0].message;
    assert!(said.contains("1 part of a line of more points"), "{said}");
    let marks = &read.output.log.marks;
    assert_eq!(marks.len(), 1);
    assert_eq!(marks[0].opening.as_deref(), Some("O3"));
    let size: usize = read.output.files.values().map(Vec::len).sum();
    assert!(size < 2_000_000, "{size}");
}

#[test]
fn a_cropped_page_is_laid_where_it_belongs_and_what_is_cut_off_is_no_mark() {
    let files = package();
    let text = sheet(&files, SHEET);
    let note = "<text x=\"110\" y=\"120\" font-size=\"4\">note</text>";
    let marked = with(&text, note);
    let page = "height=\"279.4mm\" viewBox=\"0 0 431.8 279.4\" width=\"431.8mm\"";
    for other in [
        "height=\"100mm\" viewBox=\"80 70 100 100\" width=\"100mm\"",
        "height=\"279.4mm\" viewBox=\"80 70 215.9 139.7\" width=\"431.8mm\"",
    ] {
        let marks = marks_of(&files, &edited(&marked, page, other));
        assert_eq!(marks.len(), 1, "{other}: {marks:#?}");
        let [x0, .., y1] = marks[0].area.unwrap();
        assert!(
            (x0 - 110.0).abs() < 1.0 && (y1 - 120.0).abs() < 2.0,
            "{other}: {:?}",
            marks[0].area
        );
    }
    let clip = "<defs><clipPath id=\"cut\"><rect x=\"80\" y=\"70\" width=\"100\" height=\"100\"/></clipPath></defs>";
    let drawn = format!(
        "{clip}<g clip-path=\"url(#cut)\">{note}<text x=\"300\" y=\"220\" font-size=\"4\">unseen</text></g>"
    );
    let read = read(&files, &[file("cut.svg", with(&text, &drawn))]);
    assert_eq!(texts(&read), ["note"]);
    assert!(
        read.findings[0].message.contains("1 thing that is cut off"),
        "{:?}",
        read.findings
    );
    // In a frame of another scale.
    let inner = edited(
        &marked,
        page,
        "height=\"139.7\" viewBox=\"0 0 431.8 279.4\" width=\"215.9\"",
    );
    let inner = inner.split_once("<svg").unwrap().1;
    let framed = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"215.9mm\" height=\"139.7mm\" viewBox=\"0 0 215.9 139.7\"><svg{inner}</svg>"
    );
    let marks = marks_of(&files, &framed);
    assert_eq!(marks.len(), 1, "{marks:#?}");
}

#[test]
fn a_sheet_in_other_letters_or_packed_is_read() {
    let files = package();
    let marked = with(
        &sheet(&files, SHEET),
        "<text x=\"110\" y=\"120\" font-size=\"4\">is this <tspan style=\"display:none\">not </tspan>tr\u{e8}s right?</text>",
    );
    let wide: Vec<u8> = std::iter::once(0xfeff)
        .chain(marked.encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    std::io::Write::write_all(&mut packer, marked.as_bytes()).unwrap();
    for (name, bytes) in [
        ("wide.svg", wide),
        ("packed.svgz", packer.finish().unwrap()),
    ] {
        let read = read(&files, &[file(name, bytes)]);
        assert_eq!(read.findings, [], "{name}");
        assert_eq!(
            read.output.log.marks[0].text, "is this tr\u{e8}s right?",
            "{name}"
        );
    }
}
