//! Blocks, layers, references.

use super::*;
use crate::findings::Severity;
use std::f64::consts::{FRAC_PI_2, PI};

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
    let message = &outcome.findings[0].message;
    assert!(message.ends_with("'A' holds 'B' holds 'A'"), "{message}");
}

#[test]
fn blocks_that_would_unfold_for_ever_end_with_a_fault() {
    let mut draft =
        Draft::default().block("B0", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0"]);
    for level in 1..12 {
        let insert = format!("INSERT, 8 0, 2 B{}, 10 1, 20 0", level - 1);
        draft = draft.block(&format!("B{level}"), "10 0, 20 0", &[insert.as_str(); 10]);
    }
    let draft = draft.entity("INSERT, 8 0, 2 B11, 10 0, 20 0");
    let outcome = draft.line("0", [0.0, 0.0], [5.0, 0.0]).read();
    let [finding] = outcome.findings.as_slice() else {
        panic!("{:?}", outcome.findings);
    };
    // By hand: eleven times a one. What stands after it is read.
    let message = &finding.message;
    let said = "'B11' placed here unfolds to 111111111111 insertions";
    assert!(message.contains(said), "{message}");
    let way = "by way of 'B10' > 'B9' > 'B8' > 'B7' > 'B6' > 'B5' > 'B4' > 'B3' > 'B2' > 'B1',";
    assert!(message.contains(way), "{message}");
    assert!(finding.place.line.is_some());
    assert_eq!(outcome.output.strokes.len(), 1);
    assert_eq!(
        (finding.code, finding.severity),
        (codes::TOO_MUCH, Severity::Fault)
    );
    let array = Draft::default()
        .block("A", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0"])
        .entity("INSERT, 8 0, 2 A, 10 0, 20 0, 70 32767, 71 32767, 44 1, 45 1");
    // Alone in the file, it is why nothing is drawn.
    let refused = read_inches(array.text().as_bytes());
    let refused = refused.unwrap_err().to_string();
    assert!(
        refused.contains("'A' placed here unfolds to 1073676289"),
        "{refused}"
    );
    let array = array.line("0", [0.0, 0.0], [5.0, 0.0]).read();
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

/// A drawing that places `SITE` at (100, 0) turned a quarter, read with these files beside it.
fn with_beside(beside: &[(&str, &str)]) -> Outcome<Drawing> {
    let text = small()
        .layer("SITE|A-BEAM", 1, 7)
        .block("SITE", "70 4, 1 ..\\\\base\\\\Site.dwg", &[])
        .entity("INSERT, 8 A-REF, 2 SITE, 10 100, 20 0, 50 90")
        .text();
    let references: Vec<Reference<'_>> = beside
        .iter()
        .map(|(name, text)| Reference {
            name,
            bytes: text.as_bytes(),
        })
        .collect();
    let options = DrawingOptions {
        unit: Some(DrawingUnit::Inch),
        references: &references,
        ..DrawingOptions::default()
    };
    read_drawing(text.as_bytes(), "draft.dxf", &options).unwrap()
}

#[test]
fn an_external_reference_beside_the_file_is_unfolded_where_it_is_placed() {
    let site = Draft::default()
        .line("A-WALL", [0.0, 0.0], [10.0, 0.0])
        .line("0", [0.0, 5.0], [10.0, 5.0])
        .line("A-BEAM", [0.0, 6.0], [10.0, 6.0])
        .text();
    let outcome = with_beside(&[("site.dxf", &site)]);
    let drawing = outcome.output;
    assert_eq!(codes_of(&outcome.findings), ["DRAW-14"]);
    assert!(drawing.census.references.is_empty());
    let strokes = &drawing.strokes[5..];
    assert_eq!(strokes.len(), 3);
    let own: Vec<(&str, bool)> = strokes
        .iter()
        .map(|stroke| {
            let source = source(&drawing, stroke);
            (source.layer.as_str(), source.is_hidden)
        })
        .collect();
    // Layer 0 takes the insertion's layer; a layer frozen in the drawing itself hides the reference's.
    assert_eq!(own, [("A-WALL", false), ("A-REF", false), ("A-BEAM", true)]);
    let Curve::Line { start, end } = strokes[0].curve else {
        panic!("{:?}", strokes[0]);
    };
    assert!((start.x - 100.0).abs() < 1e-9 && (end.x - 100.0).abs() < 1e-9);
    assert!((end.y - 10.0).abs() < 1e-9);
    let row = drawing
        .census
        .rows
        .iter()
        .find(|row| row.space == "reference");
    assert_eq!(row.map(|row| (row.found, row.read)), Some((3, 3)));
}

#[test]
fn references_in_a_circle_and_ones_that_are_no_drawing_end() {
    let site = Draft::default()
        .block("SITE", "70 4, 1 site.dwg", &[])
        .block("BACK", "70 4, 1 draft.dwg", &[])
        .block("BASE", "70 4, 1 base.dwg", &[])
        .line("A-WALL", [0.0, 0.0], [10.0, 0.0])
        .entity("INSERT, 8 0, 2 SITE, 10 0, 20 0")
        .entity("INSERT, 8 0, 2 BACK, 10 0, 20 0")
        .entity("INSERT, 8 0, 2 BASE, 10 0, 20 0")
        .text();
    let base = Draft::default()
        .block("SITE", "70 4, 1 site.dwg", &[])
        .line("A-WALL", [0.0, 1.0], [10.0, 1.0])
        .entity("INSERT, 8 0, 2 SITE, 10 0, 20 0")
        .text();
    let outcome = with_beside(&[("SITE.DWG", &site), ("base.dxf", &base)]);
    assert_eq!(outcome.output.strokes.len(), 5 + 2);
    let outcome = with_beside(&[("site.dwg", "%PDF-1.7 no drawing")]);
    assert_eq!(outcome.output.strokes.len(), 5);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-07", "DRAW-07"]);
}

#[test]
fn an_object_of_another_program_is_drawn_by_its_picture_or_named() {
    // One record, a polyline (type 6) of two points from (0, 0) to (12, 0): 68 bytes.
    let line = "44000000 01000000 3C000000 06000000 02000000".replace(' ', "")
        + &"0".repeat(48)
        + "0000000000002840"
        + &"0".repeat(32);
    let outcome = small()
        .entity(&format!(
            "ACAD_PROXY_ENTITY, 8 A-WALL, 90 498, 92 68, 310 {line}"
        ))
        .entity("ACAD_PROXY_ENTITY, 8 A-WALL, 90 498")
        .read();
    assert_eq!(outcome.output.strokes.len(), 6);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-15"]);
    let row = outcome
        .output
        .census
        .rows
        .iter()
        .find(|row| row.kind == "ACAD_PROXY_ENTITY")
        .unwrap();
    assert_eq!((row.found, row.read), (2, 1));
}

#[test]
fn a_line_type_comes_from_the_entity_its_layer_or_its_block() {
    let drawing = Draft::default()
        .layer("A-OVER", 0, 7)
        .block(
            "B",
            "10 0, 20 0",
            &[
                "LINE, 8 0, 6 BYBLOCK, 10 0, 20 0, 11 1, 21 0",
                "LINE, 8 0, 6 DASHED, 10 0, 20 0, 11 1, 21 0",
                "LINE, 8 0, 10 0, 20 0, 11 1, 21 0",
            ],
        )
        .entity("INSERT, 8 A-OVER, 6 HIDDEN, 2 B, 10 0, 20 0")
        .read()
        .output;
    let types: Vec<&str> = drawing
        .strokes
        .iter()
        .map(|stroke| source(&drawing, stroke).line_type.as_str())
        .collect();
    assert_eq!(types, ["HIDDEN", "DASHED", ""]);
}
