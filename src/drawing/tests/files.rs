//! How a file is written, where it ends, what it holds.

use super::*;

#[test]
fn every_way_to_write_a_file_gives_the_same_drawing() {
    let text = small().text();
    let expected = small().read().output;
    assert_eq!(expected.strokes.len(), 5);
    let variants: Vec<(&str, Vec<u8>)> = vec![
        ("CRLF", text.replace('\n', "\r\n").into_bytes()),
        ("CR", text.replace('\n', "\r").into_bytes()),
        ("mark", [b"\xEF\xBB\xBF", text.as_bytes()].concat()),
        ("indented", text.replace("\n10\n", "\n 10\n").into_bytes()),
        (
            "trailing blanks",
            text.replace("LINE\n", "LINE   \n").into_bytes(),
        ),
        ("lower case", text.replace("LINE\n", "line\n").into_bytes()),
        ("after the end", [text.as_bytes(), b"rubbish"].concat()),
    ];
    for (name, bytes) in variants {
        let drawing = read_inches(&bytes).unwrap().output;
        assert_eq!(drawing.strokes, expected.strokes, "{name}");
        assert_eq!(drawing.texts, expected.texts, "{name}");
        assert_eq!(drawing.sources, expected.sources, "{name}");
    }
    for is_wide in [true, false] {
        let drawing = read_inches(&small().binary(is_wide)).unwrap().output;
        assert_eq!(drawing.strokes, expected.strokes, "binary, wide {is_wide}");
        assert_eq!(drawing.version, "AC1015");
    }
}

#[test]
fn a_file_without_its_end_mark_is_read_with_a_note() {
    let text = small().text().replace("0\nEOF\n", "");
    let outcome = read_inches(text.as_bytes()).unwrap();
    assert_eq!(outcome.output.strokes.len(), 5);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-09"]);
}

#[test]
fn a_file_that_breaks_off_inside_its_entities_is_refused_with_the_line() {
    let text = small().text();
    let cut = text.find("ARC").unwrap() + 20;
    let error = read_inches(&text.as_bytes()[..cut]).unwrap_err();
    let DrawingError::Truncated {
        section,
        line,
        last,
        ..
    } = &error
    else {
        panic!("{error}");
    };
    assert_eq!(section, "ENTITIES");
    assert_eq!(*line, text[..cut].lines().count());
    assert_eq!(last, "LINE 104");
    assert!(error.to_string().contains("breaks off after line"));
}

#[test]
fn every_cut_of_a_file_is_refused_or_whole() {
    let text = small().text();
    let whole = small().read().output;
    let entities_end = text.rfind("0\nENDSEC").unwrap() + "0\nENDSEC".len();
    for cut in 0..text.len() {
        match read_inches(&text.as_bytes()[..cut]) {
            Ok(outcome) => {
                assert!(cut >= entities_end, "cut at {cut} of {}", text.len());
                assert_eq!(outcome.output.strokes, whole.strokes);
            }
            Err(error) => assert!(cut < entities_end || cut == 0, "{cut}: {error}"),
        }
    }
}

#[test]
fn a_drawing_without_lines_says_why() {
    let refused = |draft: Draft| {
        read_inches(draft.text().as_bytes())
            .unwrap_err()
            .to_string()
    };
    assert!(refused(Draft::default()).contains("the drawing is empty"));
    assert!(
        refused(Draft::default().entity("IMAGE, 8 0, 10 0, 20 0"))
            .contains("a picture of a plan only")
    );
    assert!(refused(Draft::default().entity("PDFUNDERLAY, 8 0, 10 0, 20 0")).contains("a PDF"));
    assert!(
        refused(Draft::default().entity("ACAD_PROXY_ENTITY, 8 0, 90 498"))
            .contains("1 objects of another program")
    );
    assert!(
        refused(
            Draft::default()
                .block("SITE", "70 4, 1 site.dwg", &[])
                .entity("INSERT, 8 0, 2 SITE, 10 0, 20 0")
        )
        .contains("the plan is in the external drawing 'site.dwg'")
    );
    assert!(
        refused(Draft::default().entity("TEXT, 8 0, 67 1, 10 0, 20 0, 40 5, 1 SHEET"))
            .contains("paper space")
    );
    // A picture on a sheet is the plan too where nothing else is.
    assert!(
        refused(Draft::default().entity("IMAGE, 8 0, 67 1, 10 0, 20 0"))
            .contains("a picture of a plan")
    );
    assert!(refused(Draft::default().entity("POINT, 8 0, 10 0, 20 0")).contains("1 POINT"));
}

#[test]
fn names_are_read_in_their_code_page() {
    let mut bytes = small()
        .variable("$DWGCODEPAGE, 3 ANSI_936")
        .line("??", [0.0, 0.0], [1.0, 0.0])
        .text()
        .into_bytes();
    let place = bytes.windows(2).position(|pair| pair == b"??").unwrap();
    bytes.splice(place..place + 2, [0xC7, 0xBD]);
    let drawing = read_inches(&bytes).unwrap().output;
    assert_eq!(source(&drawing, &drawing.strokes[5]).layer, "墙");
}

#[test]
fn what_cannot_be_read_is_counted_with_its_reason() {
    let drawing = small()
        .entity("POINT, 8 0, 10 0, 20 0")
        .entity("LEADER, 8 0, 10 0, 20 0")
        .entity("WIDGET, 8 0, 10 0, 20 0")
        .entity("LINE, 8 0, 67 1, 10 0, 20 0, 11 5, 21 0")
        .read()
        .output;
    for row in &drawing.census.rows {
        assert_eq!(row.reason.is_empty(), row.found == row.read, "{row:?}");
    }
    let total: usize = drawing.census.rows.iter().map(|row| row.found).sum();
    assert_eq!((total, drawing.census.in_paper_space), (10, 1));
}
