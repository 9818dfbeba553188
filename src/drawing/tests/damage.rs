//! Damaged and hostile files.

use super::*;

#[test]
fn a_damaged_entity_is_named_and_the_others_are_read() {
    let text = small()
        .line("A-WALL", [500.0, 0.0], [600.0, 0.0])
        .text()
        .replace("\n500\n", "\nfive hundred\n");
    let outcome = read_inches(text.as_bytes()).unwrap();
    assert_eq!(outcome.output.strokes.len(), 5);
    let [finding] = outcome.findings.as_slice() else {
        panic!("{:?}", outcome.findings);
    };
    assert_eq!(finding.code, codes::BROKEN_ENTITY);
    assert_eq!(finding.place.sources, ["107"]);
    let line = text
        .lines()
        .take_while(|line| *line != "five hundred")
        .count();
    assert!(
        finding
            .message
            .contains(&format!("'five hundred' on line {}", line + 1))
    );
    let row = outcome
        .output
        .census
        .rows
        .iter()
        .find(|row| row.kind == "LINE")
        .unwrap();
    assert_eq!((row.found, row.read), (5, 4));
    assert!(row.reason.contains("damaged"));
}

#[test]
fn one_of_many_that_the_entity_reader_refuses_is_found_by_halving() {
    // A width before the first vertex is something that the `dxf` crate cannot place.
    let mut draft = Draft::default();
    for number in 0..100 {
        draft = if number == 63 {
            draft.entity("LWPOLYLINE, 8 0, 41 3, 10 0, 20 0, 10 5, 20 0")
        } else {
            draft.line("0", [0.0, f64::from(number)], [10.0, f64::from(number)])
        };
    }
    let outcome = draft.read();
    assert_eq!(outcome.output.strokes.len(), 99);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-01"]);
    assert_eq!(outcome.findings[0].place.sources, ["140"]);
}

/// A step of a fixed sequence of numbers (Numerical Recipes, "quick and dirty" generator of 32 bits).
fn next_random(state: &mut u32) -> usize {
    *state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
    usize::try_from(*state >> 8).unwrap()
}

#[test]
fn no_damage_makes_the_reader_panic() {
    let draft = small()
        .block("B", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0", "SPLINE, 8 0, 70 8, 71 2, 40 0, 40 0, 40 0, 40 1, 40 1, 40 1, 10 0, 20 0, 10 5, 20 5, 10 9, 20 0"])
        .entity("INSERT, 8 0, 66 1, 2 B, 10 30, 20 0, 41 2, 50 30, 70 2, 71 2, 44 5, 45 5")
        .entity("ATTRIB, 8 0, 10 30, 20 2, 40 4, 1 A1, 2 MARK")
        .entity("SEQEND, 8 0")
        .entity("ELLIPSE, 8 0, 10 0, 20 0, 11 9, 21 0, 40 0.5, 41 0, 42 6.28")
        .entity("LWPOLYLINE, 8 0, 90 3, 70 1, 43 4, 10 0, 20 0, 42 0.5, 10 50, 20 0, 10 0, 20 40")
        .entity("HATCH, 8 0, 30 0, 2 SOLID, 91 1, 92 1, 93 2, 72 2, 10 0, 20 0, 40 5, 50 0, 51 180, 73 1, 72 1, 10 -5, 20 0, 11 5, 21 0, 97 0, 75 0")
        .entity("MLINE, 8 0, 10 0, 20 0, 71 1, 72 2, 73 2, 11 0, 21 0, 12 1, 22 0, 13 0, 23 1, 74 2, 41 0, 41 0, 75 0, 74 2, 41 -6, 41 0, 75 0, 11 90, 21 0, 12 1, 22 0, 13 0, 23 1, 74 2, 41 0, 41 0, 75 0, 74 2, 41 -6, 41 0, 75 0")
        .entity("DIMENSION, 8 0, 70 0, 10 0, 20 9, 13 0, 23 0, 14 9, 24 0, 50 0");
    let options = DrawingOptions::default();
    let text = draft.text();
    let lines: Vec<&str> = text.lines().collect();
    let words = [
        "0",
        "",
        "-1",
        "1e308",
        "nan",
        "99999999999",
        "LINE",
        "INSERT",
        "SEQEND",
        "ENDSEC",
        "BLOCK",
        "B",
        "ä",
        "10",
    ];
    let mut state = 1;
    for _ in 0..1500 {
        let mut changed: Vec<&str> = lines.clone();
        for _ in 0..=next_random(&mut state) % 3 {
            let at = next_random(&mut state) % changed.len();
            match next_random(&mut state) % 4 {
                0 => {
                    changed.remove(at);
                }
                1 => changed.insert(at, words[next_random(&mut state) % words.len()]),
                2 => changed[at] = words[next_random(&mut state) % words.len()],
                _ => {
                    let other = next_random(&mut state) % changed.len();
                    changed.swap(at, other);
                }
            }
        }
        let _ = read_drawing(changed.join("\n").as_bytes(), "mutant.dxf", &options);
    }
    for bytes in [text.into_bytes(), draft.binary(true), draft.binary(false)] {
        for _ in 0..1000 {
            let mut changed = bytes.clone();
            for _ in 0..=next_random(&mut state) % 3 {
                let at = next_random(&mut state) % changed.len();
                changed[at] ^= 1 << (next_random(&mut state) % 8);
            }
            let _ = read_drawing(&changed, "mutant.dxf", &options);
        }
    }
}
