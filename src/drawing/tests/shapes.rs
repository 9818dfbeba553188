//! What each kind of entity gives.

use super::*;
use std::f64::consts::{FRAC_PI_2, PI};

#[test]
fn bulges_are_exact_arcs_and_widths_are_two_faces() {
    let drawing = Draft::default()
        .entity("LWPOLYLINE, 8 0, 90 2, 70 0, 10 0, 20 0, 42 1, 10 20, 20 0")
        .entity("LWPOLYLINE, 8 0, 90 2, 70 0, 43 6.5, 10 0, 20 0, 10 100, 20 0")
        .entity("POLYLINE, 8 0, 66 1, 70 1, 40 2, 41 2")
        .entity("VERTEX, 8 0, 10 0, 20 0")
        .entity("VERTEX, 8 0, 10 50, 20 0")
        .entity("VERTEX, 8 0, 10 0, 20 40")
        .entity("SEQEND, 8 0")
        .read()
        .output;
    assert!(matches!(
        drawing.strokes[0].curve,
        Curve::Arc { centre, radius, sweep, .. }
            if centre == at(10.0, 0.0) && radius == 10.0 && (sweep - PI).abs() < 1e-12
    ));
    let faces = drawing
        .strokes
        .iter()
        .filter(|stroke| stroke.is_face)
        .count();
    // Two sides and two ends; then two rings of three.
    assert_eq!(faces, 4 + 6);
    assert_eq!(ends(&drawing)[1], [at(0.0, 3.25), at(100.0, 3.25)]);
    let parts: Vec<u32> = drawing.strokes[1..5]
        .iter()
        .map(|stroke| stroke.part)
        .collect();
    assert_eq!(parts, [0, 1, 2, 3]);
    let rows: Vec<(&str, usize)> = drawing
        .census
        .rows
        .iter()
        .map(|row| (row.kind.as_str(), row.found))
        .collect();
    assert_eq!(rows, [("LWPOLYLINE", 2), ("POLYLINE", 1)]);
}

#[test]
fn dimensions_are_measured_from_their_points_in_every_release() {
    let picture = [
        "MTEXT, 8 0, 10 0, 20 0, 40 3, 1 12'-0\"",
        "LINE, 8 0, 10 0, 20 0, 11 9, 21 0",
    ];
    let outcome = small()
        .block("*D1", "70 1, 10 0, 20 0", &picture)
        .entity("DIMENSION, 8 DIM, 2 *D1, 10 0, 20 300, 11 72, 21 300, 70 0, 13 0, 23 0, 14 144, 24 9, 50 0, 1 12'-1\"")
        .entity("DIMENSION, 8 DIM, 100 AcDbDimension, 70 33, 42 5, 1 <>, 13 0, 23 0, 14 3, 24 4")
        .entity("DIMENSION, 8 DIM, 70 4, 10 0, 20 0, 15 3, 25 4")
        .entity("DIMENSION, 8 DIM, 70 0, 10 0, 20 0")
        .read();
    let [rotated, aligned, radius] = outcome.output.dimensions.as_slice() else {
        panic!("{:?}", outcome.output.dimensions);
    };
    assert_eq!((rotated.measured, rotated.direction), (144.0, Some(0.0)));
    assert_eq!(
        (rotated.override_text.as_str(), rotated.shown_text.as_str()),
        ("12'-1\"", "12'-0\"")
    );
    assert_eq!((aligned.measured, aligned.stated), (5.0, Some(5.0)));
    assert_eq!(aligned.override_text, "");
    assert_eq!((radius.measured, radius.direction), (5.0, None));
    // The picture is no stroke, and is named.
    assert_eq!(outcome.output.strokes.len(), 5);
    let row = outcome
        .output
        .census
        .rows
        .iter()
        .find(|row| row.space == "block")
        .unwrap();
    assert!(row.reason.contains("picture of a dimension"));
    assert_eq!(codes_of(&outcome.findings), ["DRAW-01"]);
}

#[test]
fn texts_keep_their_lines_and_attributes_their_tags() {
    let drawing = small()
        .block(
            "TAG",
            "10 0, 20 0",
            &[
                "CIRCLE, 8 0, 10 0, 20 0, 40 5",
                "ATTDEF, 8 0, 10 0, 20 0, 2 MARK",
            ],
        )
        .entity("MTEXT, 8 0, 10 0, 20 100, 40 6, 71 1, 50 90, 1 KITCHEN\\P{\\H0.5x;12'-0\" x 9'}")
        .entity("INSERT, 8 0, 66 1, 2 TAG, 10 30, 20 0")
        .entity("ATTRIB, 8 0, 10 30, 20 2, 40 4, 1 A1, 2 MARK, 72 1, 11 31, 21 2")
        .entity("SEQEND, 8 0")
        .read()
        .output;
    let texts: Vec<&str> = drawing
        .texts
        .iter()
        .map(|text| text.content.as_str())
        .collect();
    assert_eq!(texts, ["HALL", "KITCHEN", "12'-0\" x 9'", "A1"]);
    // The text reads upwards: its second line stands 10 in to the right of the first.
    let second = &drawing.texts[2];
    assert!((second.angle - FRAC_PI_2).abs() < 1e-12);
    assert!((second.at.x - 10.0).abs() < 1e-9 && (second.at.y - 100.0).abs() < 1e-9);
    let mark = &drawing.texts[3];
    assert_eq!(
        (mark.tag.as_deref(), mark.placement, mark.at),
        (Some("MARK"), Some(0), at(31.0, 2.0))
    );
    assert_eq!(
        drawing.placements[0].attributes,
        [("MARK".to_owned(), "A1".to_owned())]
    );
}

#[test]
fn hatches_solids_and_wipeouts_are_areas() {
    let drawing = small()
        .entity("HATCH, 8 0, 10 0, 20 0, 30 0, 2 ANSI31, 70 0, 91 1, 92 2, 72 0, 73 1, 93 4, 10 0, 20 0, 10 9, 20 0, 10 9, 20 5, 10 0, 20 5, 97 0, 75 0")
        .entity("SOLID, 8 0, 10 0, 20 0, 11 4, 21 0, 12 0, 22 3, 13 4, 23 3")
        .entity("TRACE, 8 0, 10 0, 20 0, 11 4, 21 0, 12 0, 22 3, 13 4, 23 3")
        .entity("WIPEOUT, 8 0, 10 10, 20 20, 11 8, 21 0, 12 0, 22 8, 13 1, 23 1, 71 1, 91 2, 14 -0.5, 24 -0.5, 14 0.5, 24 0.5")
        .read()
        .output;
    let kinds: Vec<(FillKind, usize)> = drawing
        .fills
        .iter()
        .map(|fill| (fill.kind, fill.rings[0].len()))
        .collect();
    assert_eq!(
        kinds,
        [
            (FillKind::Hatch, 4),
            (FillKind::Solid, 4),
            (FillKind::Solid, 4),
            (FillKind::Wipeout, 4)
        ]
    );
    assert_eq!(drawing.fills[0].pattern, "ANSI31");
    assert!(drawing.fills[3].rings[0].contains(&at(10.0, 28.0)));
    // A trace is a wide line: its sides are faces. A solid is only an area.
    assert_eq!(
        drawing
            .strokes
            .iter()
            .filter(|stroke| stroke.is_face)
            .count(),
        4
    );
}

#[test]
fn lines_of_releases_nine_and_ten_are_lines() {
    let drawing = Draft::default()
        .entity("3DLINE, 8 WALLS, 10 1, 20 2, 30 9, 11 5, 21 2, 31 9")
        .read()
        .output;
    assert_eq!(ends(&drawing), [[at(1.0, 2.0), at(5.0, 2.0)]]);
    let row = &drawing.census.rows[0];
    assert_eq!((row.kind.as_str(), row.read), ("3DLINE", 1));
}
