//! What titles of drawings say.

use super::*;

fn words(list: &[(&str, f64)]) -> Vec<String> {
    let texts = list.iter().map(|(content, height)| Text {
        content: (*content).to_owned(),
        at: Coord::default(),
        middle: Coord::default(),
        height: *height,
        angle: 0.0,
        tag: None,
        is_underlined: false,
        placement: None,
        source: crate::drawing::SourceIndex(0),
    });
    let drawing = Drawing {
        texts: texts.collect(),
        ..Drawing::default()
    };
    let titles = view_titles(&drawing);
    titles.into_iter().map(|it| it.text).collect()
}

#[test]
fn titles_as_large_as_other_words_count_where_none_is_larger() {
    let alike = [
        ("FLOOR PLAN", 6.0),
        ("LIVING", 6.0),
        ("SOUTH ELEVATION", 6.0),
    ];
    assert_eq!(words(&alike), ["FLOOR PLAN", "SOUTH ELEVATION"]);
    let large = [("FLOOR PLAN", 9.0), ("LIVING", 6.0), ("DOOR DETAIL", 6.0)];
    assert_eq!(words(&large), ["FLOOR PLAN"]);
    // Nor do small notes.
    let small = [("LIVING", 6.0), ("BATH", 6.0), ("WALL SECTION", 3.0)];
    assert!(words(&small).is_empty());
}

#[test]
fn the_name_of_a_storey_is_a_title_where_its_letters_are_larger() {
    let large = [("LEVEL 1", 9.0), ("LIVING", 6.0), ("BASEMENT", 6.0)];
    assert_eq!(words(&large), ["LEVEL 1"]);
    let alike = [("CELLAR", 6.0), ("LIVING", 6.0)];
    assert!(words(&alike).is_empty());
}

#[test]
fn a_line_under_it_makes_a_title_of_a_small_text() {
    let text = |content: &str, y: f64, height: f64| Text {
        content: content.to_owned(),
        at: Coord { x: 0.0, y },
        middle: Coord { x: 20.0, y },
        height,
        angle: 0.0,
        tag: None,
        is_underlined: false,
        placement: None,
        source: crate::drawing::SourceIndex(0),
    };
    let line = |from: [f64; 2], to: [f64; 2]| Stroke {
        curve: Curve::Line {
            start: from.into(),
            end: to.into(),
        },
        source: crate::drawing::SourceIndex(0),
        part: 0,
        is_face: false,
        is_approximate: false,
    };
    let mut drawing = Drawing {
        texts: vec![
            text("WALL SECTION", 100.0, 9.0),
            text("FLOOR PLAN", 0.0, 5.0),
            text("NOTES", 50.0, 5.0),
        ],
        ..Drawing::default()
    };
    let names = |drawing: &Drawing| -> Vec<String> {
        view_titles(drawing).into_iter().map(|it| it.text).collect()
    };
    assert_eq!(names(&drawing), ["WALL SECTION"]);
    // The line of a table is longer, one through the text no line under it.
    drawing.strokes = vec![
        line([-300.0, -5.0], [300.0, -5.0]),
        line([0.0, 0.0], [40.0, 0.0]),
    ];
    assert_eq!(names(&drawing), ["WALL SECTION"]);
    drawing.strokes.push(line([0.0, -5.0], [40.0, -5.0]));
    assert_eq!(names(&drawing), ["WALL SECTION", "FLOOR PLAN"]);
}

#[test]
fn titles_name_their_views_in_the_usual_languages() {
    use ViewKind::{Detail, Elevation, OtherPlan, Plan, Schedule, Section};
    for (text, kind) in [
        ("FIRST FLOOR PLAN", Plan),
        ("Erdgeschoss", Plan),
        ("PLANTA BAJA", Plan),
        ("RDC", Plan),
        ("一层平面图", Plan),
        ("План 1 этажа", Plan),
        ("ROOF PLAN", OtherPlan),
        ("REFLECTED CEILING PLAN", OtherPlan),
        ("FIRST FLOOR ELECTRICAL PLAN", OtherPlan),
        ("Elektroplan EG", OtherPlan),
        ("PLANTA DE INSTALACIONES", OtherPlan),
        ("Plan électrique RDC", OtherPlan),
        ("PIANTA IMPIANTI", OtherPlan),
        ("План потолка", OtherPlan),
        ("天花平面图", OtherPlan),
        ("总平面图", OtherPlan),
        ("NORTH ELEVATION", Elevation),
        ("Ansicht Süd", Elevation),
        ("Façade nord", Elevation),
        ("Фасад 1-5", Elevation),
        ("SECTION A-A", Section),
        ("Coupe BB", Section),
        ("WALL DETAIL", Detail),
        ("DOOR SCHEDULE", Schedule),
        ("Fensterliste", Schedule),
        ("%%UWINDOW SCHEDULE", Schedule),
        ("EG", Plan),
        ("1. OG", Plan),
        ("NIVEAU 0", Plan),
        ("PLANTA DO RÉS-DO-CHÃO", Plan),
        ("BEGANE GROND", Plan),
        ("Eerste verdieping", Plan),
        ("RZUT PARTERU", Plan),
        ("1. etasje", Plan),
        ("PLAN 1", Plan),
        ("STUEPLAN", Plan),
        ("PŮDORYS 1.NP", Plan),
        ("RZUT DACHU", OtherPlan),
        ("Situationsplan", OtherPlan),
        ("Takplan", OtherPlan),
        ("Voorgevel", Elevation),
        ("ELEWACJA POŁUDNIOWA", Elevation),
        ("Fasad mot söder", Elevation),
        ("POHLED JIŽNÍ", Elevation),
        ("Doorsnede A-A", Section),
        ("PRZEKRÓJ A-A", Section),
        ("SEKTION A-A", Section),
        ("Snitt B-B", Section),
        ("TÜRENLISTE", Schedule),
        ("NOMENCLATURE DES PORTES", Schedule),
        ("TABELLA FINESTRE", Schedule),
        ("CARPINTERÍA PUERTAS", Schedule),
        ("KOZIJNENSTAAT", Schedule),
        ("ZESTAWIENIE OKIEN", Schedule),
        ("FÖNSTERFÖRTECKNING", Schedule),
        ("VINDUESSKEMA", Schedule),
        ("VÝPIS OKEN", Schedule),
    ] {
        assert_eq!(view_kind(text), Some(kind), "{text}");
    }
    for text in ["SEE DETAIL 5", "KITCHEN", "siehe Schnitt A", ""] {
        assert_eq!(view_kind(text), None, "{text}");
    }
}
