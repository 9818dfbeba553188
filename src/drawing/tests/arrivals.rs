//! What arrives seldom: clipped blocks, hidden and constant attributes, meshes, objects of other programs, blocks placed nowhere,
//! storeys over each other.

use super::*;
use crate::drawing::testing::pairs;
use crate::findings::Severity;

#[test]
fn a_clipped_block_is_cut_at_its_border() {
    // DXF reference, SPATIAL_FILTER: two corners are a rectangle; the first matrix goes to the block, here 2 to the right.
    let matrix = |x: f64| {
        let rows = [
            [1.0, 0.0, 0.0, x],
            [0.0, 1.0, 0.0, 0.0],
            [0.0, 0.0, 1.0, 0.0],
        ];
        let numbers = rows.concat();
        let numbers: Vec<String> = numbers.iter().map(|it| format!("40 {it}")).collect();
        numbers.join(", ")
    };
    let draft = Draft::default()
        .block(
            "B",
            "10 0, 20 0",
            &[
                "LINE, 8 0, 10 0, 20 5, 11 20, 21 5",
                "LINE, 8 0, 10 0, 20 50, 11 20, 21 50",
                "TEXT, 8 0, 10 40, 20 5, 40 1, 1 OUT",
            ],
        )
        .entity("INSERT, 8 0, 2 B, 10 100, 20 0")
        .text();
    let objects = |owner: &str| {
        pairs(&format!(
            "0 SECTION, 2 OBJECTS, 0 DICTIONARY, 5 A1, 102 {{ACAD_REACTORS, 330 FF, 102 }}, 330 {owner}, 0 DICTIONARY, 5 A2, 330 A1, \
             0 SPATIAL_FILTER, 5 A3, 330 A2, 70 2, 10 0, 20 0, 10 10, 20 10, 71 1, {}, {}, 0 ENDSEC, 0 EOF",
            matrix(2.0),
            matrix(0.0)
        ))
    };
    let read = |owner: &str| {
        let text = draft.replace("0\nEOF\n", &objects(owner));
        read_inches(text.as_bytes()).unwrap()
    };
    // The three things of the block have the first handles.
    let clipped = read("104");
    assert_eq!(ends(&clipped.output), [[at(102.0, 5.0), at(112.0, 5.0)]]);
    assert!(clipped.output.texts.is_empty());
    assert!(
        clipped.findings[0].message.contains("3 things"),
        "{:?}",
        clipped.findings
    );
    // A border of nothing clips nothing, and is told.
    let whole = read("999");
    assert_eq!(whole.output.strokes.len(), 2);
    assert_eq!(codes_of(&whole.findings), ["DRAW-10"]);
    assert_eq!(whole.findings[0].severity, Severity::Doubt);
}

#[test]
fn constant_attributes_are_shown_and_invisible_ones_are_not() {
    let drawing = small()
        .block(
            "TAG",
            "10 0, 20 0",
            &[
                "ATTDEF, 8 0, 10 0, 20 0, 40 5, 1 3068, 3 WHAT SIZE?, 2 SIZE, 70 2",
                "ATTDEF, 8 0, 10 0, 20 0, 40 5, 1 NONE, 3 WHAT MAKER?, 2 MAKER, 70 1",
            ],
        )
        .entity("INSERT, 8 0, 66 1, 2 TAG, 10 60, 20 20")
        .entity("ATTRIB, 8 0, 10 60, 20 20, 40 5, 1 2868, 2 MAKER, 70 1")
        .entity("SEQEND, 8 0")
        .read()
        .output;
    let texts: Vec<(&str, bool)> = drawing
        .texts
        .iter()
        .map(|text| {
            let source = &drawing.sources[text.source.0 as usize];
            (text.content.as_str(), source.is_hidden)
        })
        .collect();
    assert_eq!(texts, [("HALL", false), ("3068", false), ("2868", true)]);
}

#[test]
fn meshes_helices_and_pictures_of_foreign_objects_are_lines() {
    let square = "92 4, 10 0, 20 0, 30 0, 10 9, 20 0, 30 0, 10 9, 20 7, 30 0, 10 0, 20 7, 30 0";
    let spline =
        "70 8, 71 1, 72 4, 73 2, 40 0, 40 0, 40 1, 40 1, 10 0, 20 30, 30 0, 10 8, 20 30, 30 0";
    let outcome = Draft::default()
        .entity(&format!(
            "MESH, 8 0, {square}, 93 5, 90 4, 90 0, 90 1, 90 2, 90 3, 94 0"
        ))
        .entity(&format!(
            "HELIX, 8 0, 100 AcDbSpline, {spline}, 100 AcDbHelix, 10 77, 20 77, 30 0, 40 3"
        ))
        // A polyline of two points, as proxies carry it.
        .entity(&format!("AEC_WALL, 8 0, 92 68, 310 {}", picture()))
        .entity("AEC_DOOR, 8 0")
        .entity("REGION, 8 0, 70 1")
        .read();
    let ends = ends(&outcome.output);
    assert_eq!(ends.len(), 6, "{ends:?}");
    assert_eq!(
        ends[4..],
        [[at(0.0, 30.0), at(8.0, 30.0)], [at(1.0, 2.0), at(5.0, 2.0)]]
    );
    assert_eq!(codes_of(&outcome.findings), ["DRAW-19"]);
    assert!(
        outcome.findings[0]
            .message
            .ends_with("1 AEC_DOOR, 1 REGION")
    );
}

/// A picture with one polyline from (1, 2) to (5, 2), in hexadecimal.
fn picture() -> String {
    let mut record: Vec<u8> = Vec::new();
    for number in [60_u32, 6, 2] {
        record.extend(number.to_le_bytes());
    }
    for number in [1.0_f64, 2.0, 0.0, 5.0, 2.0, 0.0] {
        record.extend(number.to_le_bytes());
    }
    let mut bytes = 68_u32.to_le_bytes().to_vec();
    bytes.extend(1_u32.to_le_bytes());
    bytes.extend(record);
    bytes.iter().map(|byte| format!("{byte:02X}")).collect()
}

#[test]
fn a_block_placed_nowhere_is_read_where_there_is_nothing_else() {
    let side = "LINE, 8 0, 10 0, 20 0, 11 10, 21 0";
    let draft = Draft::default()
        .block("PLAN", "10 0, 20 0", &[side; 9])
        .block("INNER", "10 0, 20 0", &[side; 9])
        .block(
            "OUTER",
            "10 0, 20 0",
            &[&["INSERT, 8 0, 2 INNER, 10 0, 20 5"][..], &[side; 8][..]].concat(),
        );
    let outcome = draft.read();
    assert_eq!(outcome.output.strokes.len(), 9 + 9 + 8);
    assert_eq!(codes_of(&outcome.findings), ["DRAW-16"]);
    assert!(
        outcome.findings[0].message.contains("'PLAN', 'OUTER'"),
        "{:?}",
        outcome.findings
    );
    // Beside a model it stays where it is.
    let beside = draft.line("0", [0.0, 0.0], [1.0, 0.0]).read();
    assert_eq!(beside.output.strokes.len(), 1);
}

#[test]
fn a_letter_that_two_pieces_of_a_text_share_is_read_whole() {
    let text = small()
        .variable("$DWGCODEPAGE, 3 ANSI_936")
        .entity("MTEXT, 8 0, 10 0, 20 0, 40 5, 3 KIT#, 1 @CHEN")
        .text();
    let mut bytes = text.into_bytes();
    for (mark, byte) in [(b'#', 0xC7), (b'@', 0xBD)] {
        let place = bytes.iter().position(|it| *it == mark).unwrap();
        bytes[place] = byte;
    }
    let drawing = read_inches(&bytes).unwrap().output;
    assert!(
        drawing.texts.iter().any(|it| it.content == "KIT墙CHEN"),
        "{:?}",
        drawing.texts
    );
}

/// A house of sixteen lines and more.
fn house(draft: Draft, more: &str) -> Draft {
    (0..20).fold(draft, |draft, i| {
        let x = f64::from(i) * 10.0;
        draft.entity(&format!(
            "LINE, 8 {more}, 10 {x}, 20 {i}, 11 {}, 21 300",
            x + f64::from(i)
        ))
    })
}

fn apart(draft: &Draft, apart: bool) -> Outcome<Drawing> {
    let options = DrawingOptions {
        unit: Some(DrawingUnit::Inch),
        apart,
        ..DrawingOptions::default()
    };
    read_drawing(draft.text().as_bytes(), "draft.dxf", &options).unwrap()
}

#[test]
fn storeys_over_each_other_seem_so_by_layers_blocks_and_heights() {
    let shifted = |draft: &Draft| -> Vec<f64> {
        let drawing = apart(draft, true).output;
        let mut left: Vec<f64> = ends(&drawing)
            .iter()
            .map(|it| it[0].x.min(it[1].x))
            .collect();
        left.sort_by(f64::total_cmp);
        left
    };
    let layers = house(house(Draft::default(), "L1-WALL"), "L2-WALL");
    let heights = house(
        house(Draft::default(), "0, 30 0, 31 0"),
        "0, 30 108, 31 108",
    )
    .entity("TEXT, 8 0, 10 50, 20 50, 30 108, 40 5, 1 BED");
    let lines: Vec<String> = (0..20)
        .map(|i| format!("LINE, 8 0, 10 {0}, 20 {i}, 11 {1}, 21 300", i * 10, i * 11))
        .collect();
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let blocks = Draft::default()
        .block("FIRST FLOOR", "10 0, 20 0", &lines)
        .block("SECOND FLOOR", "10 0, 20 0", &lines)
        .entity("INSERT, 8 0, 2 SECOND FLOOR, 10 0, 20 0")
        .entity("INSERT, 8 0, 2 FIRST FLOOR, 10 0, 20 0");
    for (draft, by) in [(layers, "layers"), (heights, "heights"), (blocks, "blocks")] {
        let as_one = apart(&draft, false).output;
        assert!(as_one.stacked.unwrap().contains(by), "{:?}", as_one.stacked);
        assert_eq!(as_one.strokes.len(), 40);
        // The house is 209 in wide: the second stands a quarter more to the right.
        let left = shifted(&draft);
        assert!((left[20] - 209.0 * 1.25).abs() < 1e-6, "{by}: {left:?}");
        assert_eq!(codes_of(&apart(&draft, true).findings), ["DRAW-18"]);
    }
    // Foot and head of the same walls, an upright at a corner, are one storey.
    let equal = house(
        house(Draft::default(), "0, 30 0, 31 0"),
        "0, 30 108, 31 108",
    );
    let wires = equal
        .clone()
        .entity("LINE, 8 0, 10 0, 20 0, 30 0, 11 0, 21 0, 31 108");
    assert_eq!(apart(&wires, false).output.stacked, None);
    // Without any upright these are two equal storeys, and their heights those of their decks.
    assert!(
        apart(&equal, false)
            .output
            .stacked
            .unwrap()
            .contains("heights")
    );
    let two = apart(&equal, true);
    let floors: Vec<f64> = two.output.levels.iter().map(|it| it.floor).collect();
    assert_eq!(floors, [0.0, 108.0]);
    assert_eq!(two.output.floor_at(0.0), Some(0.0));
    assert_eq!(two.output.floor_at(209.0 * 1.25), Some(108.0));
    assert!(
        two.findings[0].message.contains("108.00 in"),
        "{}",
        two.findings[0].message
    );
    // One block placed at two heights, too.
    let placed = Draft::default()
        .block("HOUSE", "10 0, 20 0", &lines)
        .entity("INSERT, 8 0, 2 HOUSE, 10 0, 20 0, 30 0")
        .entity("INSERT, 8 0, 2 HOUSE, 10 0, 20 0, 30 120");
    let two = apart(&placed, true).output;
    let floors: Vec<f64> = two.levels.iter().map(|it| it.floor).collect();
    assert_eq!(floors, [0.0, 120.0]);
    // Steps of a foot are none of storeys.
    let low = house(house(Draft::default(), "0, 30 0, 31 0"), "0, 30 12, 31 12");
    assert!(apart(&low, true).output.levels.is_empty());
}
