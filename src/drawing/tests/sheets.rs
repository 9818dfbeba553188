//! Paper space, tables and multiple lines.

use super::*;

const WINDOW: &str = "VIEWPORT, 8 0, 67 1, 10 0, 20 0, 40 10, 41 8, 69 2, 45 384";

#[test]
fn a_sheet_is_read_where_the_model_is_empty_and_says_so() {
    let sheet = Draft::default()
        .entity("LINE, 8 A-WALL, 67 1, 10 0, 20 0, 11 288, 21 0")
        .entity("LINE, 8 A-WALL, 67 1, 10 0, 20 6, 11 288, 21 6")
        .entity(WINDOW);
    let outcome = sheet.read();
    assert_eq!(outcome.output.strokes.len(), 2);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-16"]);
    let row = |kind: &str| {
        let rows = &outcome.output.census.rows;
        let row = rows.iter().find(|row| row.kind == kind).unwrap();
        (row.space.clone(), row.found, row.read)
    };
    assert_eq!(row("LINE"), ("paper".to_owned(), 2, 2));
    assert_eq!(row("VIEWPORT"), ("paper".to_owned(), 1, 0));
    // Without a stated unit nothing shows its scale.
    let alone = read_drawing(
        sheet.text().as_bytes(),
        "draft.dxf",
        &DrawingOptions::default(),
    );
    let findings = alone.unwrap().findings;
    let own = findings
        .iter()
        .find(|it| it.code == codes::ON_SHEET)
        .unwrap();
    assert_eq!(own.severity, crate::findings::Severity::Fault);
}

#[test]
fn what_lies_on_the_sheet_is_left_out_beside_a_model() {
    let drawing = small()
        .entity("LINE, 8 BORDER, 67 1, 10 0, 20 0, 11 34, 21 0")
        .entity(WINDOW)
        .read()
        .output;
    assert_eq!(drawing.strokes.len(), small().read().output.strokes.len());
    assert_eq!(drawing.census.in_paper_space, 2);
}

#[test]
fn the_scale_of_a_window_speaks_for_the_unit() {
    let favoured = |scale: f64| -> Vec<DrawingUnit> {
        let window = format!("VIEWPORT, 8 0, 67 1, 40 10, 41 1, 69 2, 45 {scale}");
        let sheet_itself = "VIEWPORT, 8 0, 67 1, 40 10, 41 1, 69 1, 45 1";
        let drawing = small().entity(&window).entity(sheet_itself);
        let outcome = read_drawing(
            drawing.text().as_bytes(),
            "draft.dxf",
            &DrawingOptions::default(),
        );
        let votes = outcome.unwrap().output.scale.votes;
        let own = votes
            .iter()
            .find(|vote| vote.evidence == "scales of viewports");
        let own = own.unwrap().log_likelihood;
        let units = DrawingUnit::ALL.into_iter().zip(own);
        units
            .filter(|(_, vote)| *vote > 0.0)
            .map(|it| it.0)
            .collect()
    };
    // 1/4" to the foot in inches and in feet; 1:100 in millimetres and in metres.
    assert_eq!(favoured(48.0), [DrawingUnit::Inch]);
    assert_eq!(favoured(4.0), [DrawingUnit::Foot]);
    assert_eq!(favoured(100.0), [DrawingUnit::Millimetre]);
    assert_eq!(favoured(0.1), [DrawingUnit::Metre]);
}

#[test]
fn a_table_without_its_picture_is_read_from_its_cells() {
    let drawing = small()
        .entity("ACAD_TABLE, 8 0, 2 *T1, 10 400, 20 100, 30 0, 11 1, 21 0, 31 0, 91 2, 92 2, 141 9, 141 9, 142 30, 142 40, 171 1, 1 MARK, 140 4, 171 1, 1 SIZE, 171 1, 1 A, 171 1, 302 3068")
        .read()
        .output;
    let texts: Vec<(&str, Coord<f64>)> = drawing
        .texts
        .iter()
        .skip(1)
        .map(|text| (text.content.as_str(), text.middle))
        .collect();
    let names: Vec<&str> = texts.iter().map(|text| text.0).collect();
    assert_eq!(names, ["MARK", "SIZE", "A", "3068"]);
    let last = texts[3].1;
    assert!(
        (last.x - 450.0).abs() < 1.0 && (last.y - 86.5).abs() < 1.0,
        "{last:?}"
    );
    // Three lines across and three down.
    assert_eq!(
        drawing.strokes.len(),
        small().read().output.strokes.len() + 6
    );
}

#[test]
fn a_style_caps_the_ends_of_a_multiple_line() {
    let wall = "MLINE, 8 0, 2 WALL, 71 1, 72 2, 73 2, 11 0, 21 0, 12 1, 22 0, 13 0, 23 1, 74 2, 41 0, 41 0, 75 0, 74 2, 41 -6, 41 0, 75 0, 11 90, 21 0, 12 1, 22 0, 13 0, 23 1, 74 2, 41 0, 41 0, 75 0, 74 2, 41 -6, 41 0, 75 0";
    let read = |style: i64, text: &str| {
        let file = Draft::default().entity(text).text();
        let objects = format!(
            "0\nSECTION\n2\nOBJECTS\n0\nMLINESTYLE\n2\nWall\n70\n{style}\n0\nENDSEC\n0\nEOF\n"
        );
        let file = file.replace("0\nEOF\n", &objects);
        ends(&read_inches(file.as_bytes()).unwrap().output)
    };
    assert_eq!(read(0, wall).len(), 2);
    let capped = read(16 + 256, wall);
    assert_eq!(capped.len(), 4);
    assert!(capped.contains(&[at(90.0, -6.0), at(90.0, 0.0)]));
    // Both caps suppressed in the line itself.
    assert_eq!(read(16 + 256, &wall.replace("71 1", "71 13")).len(), 2);
}

#[test]
fn islands_of_a_hatch_are_rings_of_its_own() {
    let drawing = small()
        .entity("HATCH, 8 0, 10 0, 20 0, 30 0, 2 SOLID, 70 1, 71 0, 91 2, 92 3, 72 0, 73 1, 93 4, 10 0, 20 0, 10 99, 20 0, 10 99, 20 50, 10 0, 20 50, 97 0, 92 16, 93 4, 72 1, 10 6, 20 6, 11 93, 21 6, 72 1, 10 93, 20 6, 11 93, 21 44, 72 1, 10 93, 20 44, 11 6, 21 44, 72 1, 10 6, 20 44, 11 6, 21 6, 97 0, 75 0, 76 1, 98 0")
        .read()
        .output;
    let sizes: Vec<usize> = drawing.fills[0].rings.iter().map(Vec::len).collect();
    assert_eq!(sizes, [4, 4]);
}

#[test]
fn a_wide_polyline_with_a_corner_is_two_mitred_faces_and_two_ends() {
    let drawing = Draft::default()
        .entity("LWPOLYLINE, 8 0, 90 3, 70 0, 43 6, 10 0, 20 0, 10 100, 20 0, 10 100, 20 80")
        .read()
        .output;
    let all = ends(&drawing);
    assert_eq!(all.len(), 6);
    for corner in [at(97.0, 3.0), at(103.0, -3.0)] {
        assert_eq!(all.iter().flatten().filter(|p| **p == corner).count(), 2);
    }
}
