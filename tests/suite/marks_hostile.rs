//! Marked files that were made to do harm, or came to it, cost nothing and get nothing in.

use crate::marks::{PAGE, SHEET, codes, file, marks_of, package, read, sheet, with};

#[test]
fn nothing_hostile_is_read_run_or_followed() {
    let files = package();
    let good = sheet(&files, SHEET);
    let laughs = "<?xml version=\"1.0\"?><!DOCTYPE svg [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;\">]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>&b;</text></svg>";
    let outside = "<!DOCTYPE svg [<!ENTITY f SYSTEM \"file:///etc/passwd\">]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>&f;</text></svg>";
    let deep = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\">{}{}</svg>",
        "<g>".repeat(300_000),
        "</g>".repeat(300_000)
    );
    let mut doubling = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><g id=\"u0\"><path d=\"M0 0L1 1\" stroke=\"red\"/></g>",
    );
    for n in 1..30 {
        doubling.push_str(&format!("<g id=\"u{n}\">"));
        for _ in 0..90 {
            doubling.push_str(&format!("<use href=\"#u{}\"/>", n - 1));
        }
        doubling.push_str("</g>");
    }
    doubling.push_str("</svg>");
    let round =
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><g id=\"a\"><use href=\"#a\"/></g></svg>";
    let huge = "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0A1e300 1e300 0 0 1 9 9L1e308 1e308\" stroke=\"red\"/><rect width=\"1e300\" height=\"9\"/></svg>";
    // Its depth hides behind a tag that looks as if it closed itself.
    let hidden = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\">{}{}</svg>",
        "<g id=\"/>\">".repeat(300_000),
        "</g>".repeat(300_000)
    );
    let long = format!("<text font-size=\"4\">{}</text>", "word ".repeat(60_000));
    let again = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><defs><g id=\"a\">{long}</g></defs>{}</svg>",
        "<use href=\"#a\"/>".repeat(100_000)
    );
    let mut endless = b"<svg xmlns=\"http://www.w3.org/2000/svg\">".to_vec();
    endless.resize(65 << 20, b' ');
    let refused: [(&str, Vec<u8>, &str); 10] = [
        ("laughs", laughs.into(), "entities"),
        ("outside", outside.into(), "entities"),
        ("deep", deep.into(), "nests"),
        ("hidden", hidden.into(), "nests"),
        ("again", again.into(), "unfolds"),
        ("doubling", doubling.into(), "unfolds"),
        ("endless", endless, "larger"),
        ("html", "<html><svg/></html>".into(), "no SVG"),
        ("cut", good.as_bytes()[..good.len() / 2].to_vec(), "no SVG"),
        ("dots", vec![0x89, b'P', b'N', b'G', 0xff, 0xfe], "picture"),
    ];
    for (name, bytes, why) in refused {
        let read = read(&files, &[file(&format!("{name}.svg"), bytes)]);
        assert_eq!(codes(&read.findings), ["REV-07"], "{name}");
        assert!(
            read.findings[0].message.contains(why),
            "{name}: {}",
            read.findings[0].message
        );
        assert_eq!(
            (read.output.n_refused, read.output.n_added),
            (1, 0),
            "{name}"
        );
    }
    for text in [round, huge] {
        assert_eq!(read(&files, &[file("odd.svg", text)]).output.n_refused, 0);
    }
    let acting = with(
        &good.replace(
            "<rect class=\"wht\" height=\"279.4\"",
            "<rect onload=\"alert(1)\" class=\"wht\" height=\"279.4\"",
        ),
        "<script>alert(2)</script><a href=\"file:///etc/passwd\"><text x=\"60\" y=\"190\" font-size=\"4\" fill=\"url(http://example.com/#a)\">look</text></a><a href=\"javascript:alert(3)\"><text x=\"60\" y=\"200\" font-size=\"4\" onclick=\"alert(4)\">press</text></a>\
         <foreignObject width=\"9\" height=\"9\"><body xmlns=\"http://www.w3.org/1999/xhtml\"><script>alert(5)</script></body></foreignObject>\
         <image href=\"http://example.com/track.png\" x=\"60\" y=\"210\" width=\"9\" height=\"9\"/><use href=\"other.svg#x\"/>\
         <image href=\"data:image/svg+xml;base64,PHN2Zy8+\" x=\"80\" y=\"210\" width=\"9\" height=\"9\"/>\
         <style>@import url(http://example.com/a.css); .x{fill:url(file:///etc/passwd)}</style>",
    );
    let acting = acting.replacen(
        "<svg ",
        "<?xml-stylesheet type=\"text/css\" href=\"http://example.com/b.css\"?><svg ",
        1,
    );
    let read = read(&files, &[file("acting.svg", acting)]);
    assert_eq!(codes(&read.findings), ["REV-08"]);
    let said = &read.findings[0].message;
    for what in [
        "3 × script",
        "2 × event handler",
        "1 foreign object",
        "6 × reference outside",
        "1 link outside",
        "1 style sheet of another file",
    ] {
        assert!(said.contains(what), "{what}: {said}");
    }
    let kept: Vec<u8> = read.output.files.values().flatten().copied().collect();
    let kept = String::from_utf8(kept).unwrap();
    for word in [
        "alert",
        "example.com",
        "passwd",
        "onclick",
        "svg+xml",
        "foreignObject",
    ] {
        assert!(!kept.contains(word), "{word}");
    }
    assert!(kept.contains("press"));
}

/// A style sheet of two thousand rules that each say one thing a thousand times, for twenty thousand groups: what it costs is
/// what it says, not how often it says it.
#[test]
fn a_style_sheet_that_repeats_itself_is_read_once() {
    let files = package();
    let rule = format!("g{{{}}}", "fill:red;".repeat(1000));
    let more = format!(
        "<style>{}</style>{}<text x=\"60\" y=\"200\" font-size=\"4\" data-a=\">\">ok</text>",
        rule.repeat(2000),
        "<g/>".repeat(20_000)
    );
    let marks = marks_of(&files, &with(&sheet(&files, SHEET), &more));
    assert_eq!(marks.len(), 1, "{marks:#?}");
    assert_eq!(marks[0].text, "ok");
}

#[test]
fn any_part_of_a_marked_sheet_cut_or_garbled_never_panics() {
    let files = package();
    let good = with(&sheet(&files, SHEET), PAGE);
    let style = good.find("<style>").unwrap();
    let style_end = good.find("</style>").unwrap();
    // Without the font, which is most of the bytes and none of the drawing.
    let lean = format!("{}{}", &good[..style], &good[style_end + 8..]);
    let bytes = lean.as_bytes();
    let mut seed: u64 = 12;
    for _ in 0..60 {
        let mut copy = bytes.to_vec();
        for _ in 0..12 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            let at = usize::try_from(seed >> 33).unwrap() % copy.len();
            copy[at] = b"<>\"'&/e9-. M"[usize::try_from(seed >> 20).unwrap() % 12];
        }
        let read = read(&files, &[file("garbled.svg", copy)]);
        assert!(read.output.n_refused <= 1);
    }
}
