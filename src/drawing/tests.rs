//! Whole drawings, from bytes to strokes.

use super::testing::{Draft, read_inches};
use super::*;
use crate::findings::Severity;
use geo::Coord;
use std::f64::consts::{FRAC_PI_2, PI};

fn at(x: f64, y: f64) -> Coord<f64> {
    Coord { x, y }
}

/// Ends of the strokes, arcs by start and end, rounded to a billionth.
fn ends(drawing: &Drawing) -> Vec<[Coord<f64>; 2]> {
    let round = |at: Coord<f64>| Coord {
        x: (at.x * 1e9).round() / 1e9 + 0.0,
        y: (at.y * 1e9).round() / 1e9 + 0.0,
    };
    drawing
        .strokes
        .iter()
        .map(|stroke| match stroke.curve {
            Curve::Line { start, end } => [round(start), round(end)],
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => [start_angle, start_angle + sweep].map(|angle| {
                round(Coord {
                    x: centre.x + radius * angle.cos(),
                    y: centre.y + radius * angle.sin(),
                })
            }),
        })
        .collect()
}

fn source<'a>(drawing: &'a Drawing, stroke: &Stroke) -> &'a Source {
    &drawing.sources[stroke.source.0 as usize]
}

fn codes_of(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|finding| finding.code.name()).collect()
}

fn small() -> Draft {
    Draft::default()
        .variable("$ACADVER, 1 AC1015")
        .layer("A-WALL", 0, 7)
        .rectangle("A-WALL", [0.0, 0.0], [288.0, 192.0])
        .entity("ARC, 8 A-DOOR, 10 48, 20 6.5, 40 36, 50 0, 51 90")
        .entity("TEXT, 8 0, 10 60, 20 60, 40 6, 1 HALL")
}

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
    assert!(refused(Draft::default().entity("IMAGE, 8 0, 10 0, 20 0")).contains("pictures only"));
    assert!(
        refused(Draft::default().entity("LINE, 8 0, 67 1, 10 0, 20 0, 11 5, 21 0"))
            .contains("paper space")
    );
    assert!(refused(Draft::default().entity("POINT, 8 0, 10 0, 20 0")).contains("1 POINT"));
}

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

#[test]
fn blocks_unfold_nested_scaled_turned_and_mirrored() {
    let drawing = Draft::default()
        .block(
            "LEAF",
            "10 1, 20 0, 30 0",
            &["LINE, 8 0, 10 1, 20 0, 11 4, 21 0"],
        )
        .block(
            "DOOR",
            "10 0, 20 0",
            &["INSERT, 8 A-LEAF, 2 LEAF, 10 0, 20 2, 50 90"],
        )
        .entity("INSERT, 8 A-DOOR, 2 DOOR, 10 100, 20 50, 41 -2, 42 2")
        .read()
        .output;
    // (3, 0) from the base point, turned to (0, 3), moved to (0, 2)-(0, 5), scaled by (-2, 2), moved.
    assert_eq!(ends(&drawing), [[at(100.0, 54.0), at(100.0, 60.0)]]);
    let own = source(&drawing, &drawing.strokes[0]);
    assert_eq!(own.handle, "103/102/101");
    assert_eq!(own.blocks, ["DOOR", "LEAF"]);
    assert_eq!(own.layer, "A-LEAF");
    let [door, leaf] = drawing.placements.as_slice() else {
        panic!("{:?}", drawing.placements);
    };
    assert_eq!((door.name.as_str(), door.at), ("DOOR", at(100.0, 50.0)));
    assert!(door.scale[0] * door.scale[1] < 0.0);
    assert_eq!((leaf.parent, leaf.at), (Some(0), at(100.0, 54.0)));
    assert_eq!(door.bounds, Some([at(100.0, 54.0), at(100.0, 60.0)]));
}

#[test]
fn an_array_of_a_block_has_a_placement_for_each_cell() {
    let drawing = Draft::default()
        .block("POST", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0"])
        .entity("INSERT, 8 0, 2 POST, 10 0, 20 0, 50 90, 70 3, 71 2, 44 10, 45 20")
        .read()
        .output;
    let places: Vec<Coord<f64>> = drawing.placements.iter().map(|place| place.at).collect();
    // Columns and rows are counted along the turned axes.
    let expected = [(0, 0), (0, 10), (0, 20), (-20, 0), (-20, 10), (-20, 20)];
    assert_eq!(
        places,
        expected.map(|(x, y)| at(f64::from(x), f64::from(y)))
    );
    assert_eq!(drawing.strokes.len(), 6);
}

#[test]
fn a_swing_in_a_mirrored_block_stays_an_arc_and_sweeps_the_other_way() {
    let drawing = Draft::default()
        .block(
            "DOOR",
            "10 0, 20 0",
            &["ARC, 8 0, 10 0, 20 0, 40 36, 50 0, 51 90"],
        )
        .entity("INSERT, 8 0, 2 DOOR, 10 0, 20 0, 41 -1")
        .entity("INSERT, 8 0, 2 DOOR, 10 0, 20 0, 41 2, 42 1")
        .read()
        .output;
    let Curve::Arc {
        radius,
        start_angle,
        sweep,
        ..
    } = drawing.strokes[0].curve
    else {
        panic!("{:?}", drawing.strokes[0]);
    };
    assert_eq!(radius, 36.0);
    assert!((start_angle - PI).abs() < 1e-12 && (sweep + FRAC_PI_2).abs() < 1e-12);
    // Scaled unevenly it is an ellipse, drawn by arcs that say so.
    assert!(drawing.strokes.len() > 2);
    assert!(
        drawing.strokes[1..]
            .iter()
            .all(|stroke| stroke.is_approximate)
    );
    let path = ends(&drawing);
    assert_eq!(path[1][0], at(72.0, 0.0));
    assert_eq!(path.last().unwrap()[1], at(0.0, 36.0));
}

#[test]
fn an_object_drawn_from_below_is_mirrored() {
    // DXF reference, arbitrary axis algorithm: with extrusion (0, 0, -1) the object's x runs to the left.
    let drawing = Draft::default()
        .entity("LWPOLYLINE, 8 0, 90 2, 70 0, 10 10, 20 5, 10 20, 20 5, 210 0, 220 0, 230 -1")
        .entity("CIRCLE, 8 0, 10 7, 20 1, 40 2, 210 0, 220 0, 230 -1")
        .read()
        .output;
    assert_eq!(ends(&drawing)[0], [at(-10.0, 5.0), at(-20.0, 5.0)]);
    assert!(
        matches!(drawing.strokes[1].curve, Curve::Arc { centre, .. } if centre == at(-7.0, 1.0))
    );
}

#[test]
fn a_block_inside_itself_ends_with_a_finding() {
    let outcome = Draft::default()
        .block(
            "A",
            "10 0, 20 0",
            &[
                "LINE, 8 0, 10 0, 20 0, 11 1, 21 0",
                "INSERT, 8 0, 2 B, 10 1, 20 0",
            ],
        )
        .block("B", "10 0, 20 0", &["INSERT, 8 0, 2 A, 10 1, 20 0"])
        .entity("INSERT, 8 0, 2 A, 10 0, 20 0")
        .read();
    assert_eq!(outcome.output.strokes.len(), 1);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-05"]);
}

#[test]
fn blocks_that_would_unfold_for_ever_end_with_a_fault() {
    let mut draft =
        Draft::default().block("B0", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0"]);
    for level in 1..12 {
        let insert = format!("INSERT, 8 0, 2 B{}, 10 1, 20 0", level - 1);
        draft = draft.block(&format!("B{level}"), "10 0, 20 0", &[insert.as_str(); 10]);
    }
    let outcome = draft.entity("INSERT, 8 0, 2 B11, 10 0, 20 0").read();
    let [finding] = outcome.findings.as_slice() else {
        panic!("{:?}", outcome.findings);
    };
    assert_eq!(
        (finding.code, finding.severity),
        (codes::TOO_MUCH, Severity::Fault)
    );
    let array = Draft::default()
        .block("A", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0"])
        .entity("INSERT, 8 0, 2 A, 10 0, 20 0, 70 32767, 71 32767, 44 1, 45 1")
        .read();
    assert_eq!(codes_of(&array.findings), ["DRAW-06"]);
}

#[test]
fn a_block_that_is_not_in_the_file_is_named() {
    let outcome = small().entity("INSERT, 8 0, 2 GONE, 10 0, 20 0").read();
    assert_eq!(codes_of(&outcome.findings), ["DRAW-04"]);
    assert!(outcome.findings[0].message.contains("'GONE'"));
}

#[test]
fn hidden_layers_are_kept_and_marked() {
    let drawing = Draft::default()
        .layer("FROZEN", 1, 7)
        .layer("OFF", 0, -7)
        .layer("LOCKED", 4, 7)
        .block(
            "B",
            "10 0, 20 0",
            &["LINE, 8 LOCKED, 10 0, 20 0, 11 1, 21 0"],
        )
        .line("FROZEN", [0.0, 0.0], [1.0, 0.0])
        .line("OFF", [0.0, 0.0], [1.0, 0.0])
        .line("LOCKED", [0.0, 0.0], [1.0, 0.0])
        .entity("LINE, 8 0, 60 1, 10 0, 20 0, 11 1, 21 0")
        .entity("INSERT, 8 FROZEN, 2 B, 10 0, 20 0")
        .entity("INSERT, 8 OFF, 2 B, 10 0, 20 0")
        .read()
        .output;
    let hidden: Vec<bool> = drawing
        .strokes
        .iter()
        .map(|stroke| source(&drawing, stroke).is_hidden)
        .collect();
    // An insertion on a frozen layer hides all that is in it; one on a layer that is off only what takes its layer.
    assert_eq!(hidden, [true, true, false, true, true, false]);
    let states: Vec<(&str, bool, bool, bool)> = drawing
        .layers
        .iter()
        .map(|layer| {
            (
                layer.name.as_str(),
                layer.is_off,
                layer.is_frozen,
                layer.is_locked,
            )
        })
        .collect();
    assert!(states.contains(&("FROZEN", false, true, false)));
    assert!(states.contains(&("LOCKED", false, false, true)));
}

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
fn layers_of_bound_references_lose_their_prefix_and_keep_their_state() {
    let drawing = small()
        .layer("site$0$A-WALL", 1, 7)
        .line("site$0$A-WALL", [0.0, 0.0], [1.0, 0.0])
        .read()
        .output;
    let own = source(&drawing, &drawing.strokes[5]);
    assert_eq!((own.layer.as_str(), own.is_hidden), ("A-WALL", true));
    let counts: Vec<(&str, usize)> = drawing
        .layers
        .iter()
        .map(|layer| (layer.name.as_str(), layer.count))
        .filter(|(name, _)| name.ends_with("WALL"))
        .collect();
    assert_eq!(counts, [("A-WALL", 4), ("site$0$A-WALL", 1)]);
}

#[test]
fn an_external_reference_is_named() {
    let outcome = small().block("SITE", "70 4, 1 ../site.dwg", &[]).read();
    assert_eq!(outcome.output.census.references, ["../site.dwg"]);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-07"]);
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

/// A one-room plan in a unit: walls of 6.5 in, two swings, lettering, drawn by someone who thinks in that unit.
fn plan_in(unit: DrawingUnit, header: &str) -> Draft {
    let per_inch = 1.0 / unit.inches();
    let (length, width, wall, leaf) = if unit.is_metric() {
        (7400.0, 5000.0, 165.0, 900.0)
    } else {
        (288.0 * 25.4, 192.0 * 25.4, 6.5 * 25.4, 36.0 * 25.4)
    };
    let of = |millimetres: f64| millimetres / 25.4 * per_inch;
    Draft::default()
        .variable(header)
        .rectangle("0", [0.0, 0.0], [of(length), of(width)])
        .rectangle(
            "0",
            [of(wall), of(wall)],
            [of(length - wall), of(width - wall)],
        )
        .entity(&format!(
            "ARC, 8 0, 10 {0}, 20 {0}, 40 {1}, 50 0, 51 90",
            of(wall),
            of(leaf)
        ))
        .entity(&format!("TEXT, 8 0, 10 0, 20 0, 40 {}, 1 HALL", of(150.0)))
}

#[test]
fn the_unit_is_found_whatever_the_header_says() {
    for unit in DrawingUnit::ALL {
        for (number, header) in [
            (0, None),
            (1, Some(DrawingUnit::Inch)),
            (4, Some(DrawingUnit::Millimetre)),
            (6, Some(DrawingUnit::Metre)),
        ] {
            let text = plan_in(unit, &format!("$INSUNITS, 70 {number}")).text();
            let outcome =
                read_drawing(text.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
            let scale = &outcome.output.scale;
            let is_asked = codes_of(&outcome.findings).contains(&"DRAW-02");
            assert!(
                scale.unit == unit || is_asked,
                "{unit:?} was taken for {:?}",
                scale.unit
            );
            if header == Some(unit) {
                assert!(!is_asked, "{unit:?} is asked though the header agrees");
            }
            let is_told = codes_of(&outcome.findings).contains(&"DRAW-03");
            assert_eq!(is_told, header.is_some_and(|header| header != scale.unit));
        }
    }
}

#[test]
fn a_unit_that_nothing_tells_is_a_fault_unless_it_is_stated() {
    let text = Draft::default().line("0", [0.0, 0.0], [100.0, 0.0]).text();
    let asked = read_drawing(text.as_bytes(), "plan.dxf", &DrawingOptions::default()).unwrap();
    let [finding] = asked.findings.as_slice() else {
        panic!("{:?}", asked.findings);
    };
    assert_eq!(
        (finding.code, finding.severity),
        (codes::UNKNOWN_UNIT, Severity::Fault)
    );
    let options = DrawingOptions {
        unit: Some(DrawingUnit::Centimetre),
    };
    let stated = read_drawing(text.as_bytes(), "plan.dxf", &options).unwrap();
    assert!(stated.findings.is_empty());
    assert_eq!(
        ends(&stated.output),
        [[at(0.0, 0.0), at(100.0 / 2.54, 0.0)].map(|at| Coord {
            x: (at.x * 1e9).round() / 1e9,
            y: at.y,
        })]
    );
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
