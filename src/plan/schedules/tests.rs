//! Schedules as offices write them: numbers in their own unit, types for tags, tags without bubbles.

use super::*;
use crate::drawing::{Drawing, DrawingUnit, Scale, SourceIndex, Text};
use crate::findings::Finding;
use crate::plan::{Opening, Storey, codes};

/// Texts in columns 60 apart under a title, and tags on the plan far to the left, none of them in a bubble.
fn sheet(unit: DrawingUnit, rows: &[&[&str]], on_plan: &[&str]) -> Drawing {
    let text = |content: &str, x: f64, y: f64| Text {
        content: content.to_owned(),
        at: (x, y).into(),
        middle: (
            x + 2.4 * f64::from(u32::try_from(content.chars().count()).unwrap()),
            y + 3.0,
        )
            .into(),
        height: 6.0,
        angle: 0.0,
        tag: None,
        is_underlined: false,
        placement: None,
        source: SourceIndex(0),
    };
    let mut texts = vec![text("DOOR SCHEDULE", 1000.0, 520.0)];
    for (line, row) in (0_u32..).zip(rows) {
        for (column, content) in (0_u32..).zip(*row) {
            texts.push(text(
                content,
                1000.0 + 60.0 * f64::from(column),
                500.0 - 14.0 * f64::from(line),
            ));
        }
    }
    for (number, tag) in (0_u32..).zip(on_plan) {
        texts.push(text(tag, 100.0 * f64::from(number), 0.0));
    }
    Drawing {
        scale: Scale {
            unit,
            inches_per_unit: unit.inches(),
            ..Scale::default()
        },
        texts,
        sources: vec![crate::drawing::Source::default()],
        ..Drawing::default()
    }
}

/// Widths and heights of the first schedule, tenths of an inch.
fn sizes(unit: DrawingUnit, rows: &[&[&str]]) -> Vec<[f64; 2]> {
    let tenth = |it: Option<f64>| (it.unwrap() * 10.0).round() / 10.0;
    let found = schedules(&sheet(unit, rows, &[]));
    let rows = found[0].rows.iter();
    rows.map(|row| [tenth(row.width), tenth(row.height)])
        .collect()
}

#[test]
fn bare_numbers_are_in_the_unit_in_which_all_are_sizes_of_openings() {
    use DrawingUnit::{Inch, Millimetre};
    let with = |a: [&str; 2], b: [&str; 2]| -> Vec<Vec<String>> {
        [
            ["MARK", "WIDTH", "HEIGHT"],
            ["D1", a[0], a[1]],
            ["D2", b[0], b[1]],
        ]
        .map(|row| row.map(str::to_owned).to_vec())
        .to_vec()
    };
    for (unit, a, b) in [
        (Inch, ["36", "80"], ["32", "80"]),
        (Inch, ["914", "2032"], ["813", "2032"]),
        (Inch, ["91.4", "203.2"], ["81.3", "203.2"]),
        (Inch, ["0.914", "2.032"], ["0.813", "2.032"]),
        (Inch, ["3.0", "6.667"], ["2.667", "6.667"]),
        (Millimetre, ["914", "2032"], ["813", "2032"]),
        (Millimetre, ["91,4", "203,2"], ["81,3", "203,2"]),
        (Millimetre, ["0,914", "2,032"], ["0,813", "2,032"]),
    ] {
        let owned = with(a, b);
        let rows: Vec<Vec<&str>> = owned
            .iter()
            .map(|row| row.iter().map(String::as_str).collect())
            .collect();
        let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
        assert_eq!(sizes(unit, &rows), [[36.0, 80.0], [32.0, 80.0]], "{a:?}");
    }
}

/// Tags of four doors beside which a tag stands each.
fn tags_of_doors(rows: &[&[&str]], on_plan: &[&str]) -> Vec<Option<String>> {
    let drawing = sheet(DrawingUnit::Inch, rows, on_plan);
    let found = schedules(&drawing);
    let openings = (0_u32..)
        .zip(on_plan)
        .map(|(number, _)| Opening {
            id: format!("O{number}"),
            centre: (100.0 * f64::from(number), 20.0).into(),
            width: 36.0,
            ..Opening::default()
        })
        .collect();
    let mut storeys = vec![Storey {
        openings,
        ..Storey::default()
    }];
    let mut findings: Vec<Finding> = Vec::new();
    apply_schedules(&drawing, &found, &mut storeys, &mut findings);
    storeys[0]
        .openings
        .iter()
        .map(|it| it.tag.clone())
        .collect()
}

#[test]
fn tags_of_letters_and_digits_need_no_bubble_and_bare_numbers_do() {
    let heads: &[&str] = &["MARK", "WIDTH", "HEIGHT"];
    let own = |tag: &'static str| Some(tag.to_owned());
    let rows: &[&[&str]] = &[heads, &["D1", "36", "80"], &["D-02", "32", "80"]];
    assert_eq!(
        tags_of_doors(rows, &["D1", "D-02"]),
        [own("D1"), own("D-02")]
    );
    let rows: &[&[&str]] = &[heads, &["1", "36", "80"], &["2", "32", "80"]];
    assert_eq!(tags_of_doors(rows, &["1", "2"]), [None, None]);
}

#[test]
fn types_are_tags_where_they_stand_on_the_plan_and_numbers_do_not() {
    let own = |tag: &'static str| Some(tag.to_owned());
    // No other column has tags.
    let rows: &[&[&str]] = &[
        &["TYPE", "WIDTH", "HEIGHT", "QTY"],
        &["P1", "36", "80", "1"],
        &["P2", "32", "80", "1"],
    ];
    assert_eq!(tags_of_doors(rows, &["P2", "P1"]), [own("P2"), own("P1")]);
    // One that might hold tags holds counts.
    let rows: &[&[&str]] = &[
        &["TIPO", "ANCHO", "ALTO", "Nº"],
        &["P1", "36", "80", "1"],
        &["P2", "32", "80", "1"],
    ];
    assert_eq!(tags_of_doors(rows, &["P2", "P1"]), [own("P2"), own("P1")]);
    // Types that are only types stay so.
    let rows: &[&[&str]] = &[
        &["MARK", "TYPE", "WIDTH", "HEIGHT"],
        &["D1", "A1", "36", "80"],
        &["D2", "A1", "32", "80"],
    ];
    assert_eq!(tags_of_doors(rows, &["D2", "D1"]), [own("D2"), own("D1")]);
}

#[test]
fn a_size_in_one_column_is_read_in_the_usual_languages() {
    use DrawingUnit::{Inch, Millimetre};
    let cm = |w: f64, h: f64| [w / 2.54, h / 2.54].map(|it| (it * 10.0).round() / 10.0);
    type Rows = &'static [&'static [&'static str]];
    let cases: [(DrawingUnit, Rows, [f64; 2]); 6] = [
        (
            Millimetre,
            &[
                &["REP", "DIMENSIONS (L x H)", "TYPE"],
                &["F1", "122 x 124", "OF"],
            ],
            cm(122.0, 124.0),
        ),
        (
            Millimetre,
            &[&["POS.", "MASSE (B x H)", "TYP"], &["F1", "101/126", "DK"]],
            cm(101.0, 126.0),
        ),
        (
            Millimetre,
            &[
                &["CLAVE", "MEDIDAS (A x H)", "CANT."],
                &["V1", "1,20 x 1,10", "2"],
            ],
            cm(120.0, 110.0),
        ),
        (
            Inch,
            &[
                &["MARK", "SIZE W x H", "TYPE"],
                &["A", "3'-0\" x 5'-0\"", "CSMT"],
            ],
            [36.0, 60.0],
        ),
        (
            Inch,
            &[&["TYPE", "SIZE (WxH)", "QTY"], &["A", "3/0 x 5/0", "2"]],
            [36.0, 60.0],
        ),
        (
            Inch,
            &[&["NO.", "DIM. (W x H)"], &["1", "36 X 80"]],
            [36.0, 80.0],
        ),
    ];
    for (unit, rows, expected) in cases {
        assert_eq!(sizes(unit, rows), [expected], "{rows:?}");
    }
}

#[test]
fn tags_that_stand_nowhere_on_the_plan_are_asked_about_together_from_three_on() {
    let rows: &[&[&str]] = &[
        &["MARK", "WIDTH", "HEIGHT"],
        &["D1", "36", "80"],
        &["D2", "32", "80"],
        &["D3", "30", "80"],
        &["D4", "28", "80"],
    ];
    for (rows, asked) in [(&rows[..3], 1), (&rows[..4], 2), (rows, 1)] {
        let drawing = sheet(DrawingUnit::Inch, rows, &["D1"]);
        let opening = Opening {
            id: "O1".to_owned(),
            centre: (0.0, 20.0).into(),
            width: 36.0,
            ..Opening::default()
        };
        let mut storeys = vec![Storey {
            openings: vec![opening],
            ..Storey::default()
        }];
        let mut findings: Vec<Finding> = Vec::new();
        let found = schedules(&drawing);
        apply_schedules(&drawing, &found, &mut storeys, &mut findings);
        let alone = findings.iter().filter(|it| it.code == codes::TAG_ALONE);
        assert_eq!(alone.count(), asked, "{findings:?}");
    }
}

#[test]
fn a_number_beside_a_tag_is_how_many_there_are() {
    let rows: [&[&str]; 3] = [
        &["Sigla", "N.", "Largh.", "Altezza"],
        &["A", "3", "120", "150"],
        &["B", "1", "90", "120"],
    ];
    let found = schedules(&sheet(DrawingUnit::Millimetre, &rows, &[]));
    let tags = found[0].rows.iter().map(|row| row.tag.as_str());
    assert_eq!(tags.collect::<Vec<_>>(), ["A", "B"]);
    // Alone it is the tag.
    let rows: [&[&str]; 2] = [&["N.", "Largh.", "Altezza"], &["3", "120", "150"]];
    let found = schedules(&sheet(DrawingUnit::Millimetre, &rows, &[]));
    assert_eq!(found[0].rows[0].tag, "3");
}
