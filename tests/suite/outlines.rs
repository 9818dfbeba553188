//! Outline files: both versions, both units, both faces, on HOLD. That other programs read them is checked in `tests/outside`.

use crate::house::{House, house, house_with};
use panelwright::documents::{outline_dxf, outline_files};
use panelwright::fabrication::Hold;
use panelwright::rules::{Face, PlantRules, SawUnit, SawVersion};

/// The pairs of a file.
fn pairs(bytes: &[u8]) -> Vec<(u16, String)> {
    let text = std::str::from_utf8(bytes).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines.len().is_multiple_of(2));
    lines
        .chunks(2)
        .map(|pair| (pair[0].trim().parse().unwrap(), pair[1].to_owned()))
        .collect()
}

/// Points of every polyline with its layer, R12 or R2000.
fn contours(bytes: &[u8]) -> Vec<(String, Vec<(f64, f64)>)> {
    let mut found: Vec<(String, Vec<(f64, f64)>)> = Vec::new();
    let mut kind = String::new();
    let mut x = 0.0;
    for (code, value) in pairs(bytes) {
        match code {
            0 => kind = value,
            8 if kind.ends_with("POLYLINE") => found.push((value, Vec::new())),
            10 => x = value.parse().unwrap(),
            20 if kind == "VERTEX" || kind == "LWPOLYLINE" => {
                let y = value.parse().unwrap();
                found.last_mut().unwrap().1.push((x, y));
            }
            _ => {}
        }
    }
    found
}

fn doubled_area(points: &[(f64, f64)]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum()
}

fn made(version: SawVersion, unit: SawUnit, face_up: Face) -> House {
    let mut rules = PlantRules::default();
    rules.saw.version = version;
    rules.saw.unit = unit;
    rules.saw.face_up = face_up;
    house_with(rules)
}

fn outline(house: &House, mark: &str) -> Vec<u8> {
    let mut panels = house.fabrication.panels.iter();
    outline_dxf(
        panels.find(|panel| panel.mark == mark).unwrap(),
        &house.rules,
    )
}

#[test]
fn outer_contours_turn_left_and_holes_turn_right_whatever_lies_up() {
    for face in [Face::Outer, Face::Inner] {
        for version in [SawVersion::R12, SawVersion::R2000] {
            let house = made(version, SawUnit::Inch, face);
            let mut n_holes = 0;
            for panel in &house.fabrication.panels {
                for (layer, points) in contours(&outline_dxf(panel, &house.rules)) {
                    let area = doubled_area(&points);
                    match layer.as_str() {
                        "OUTLINE" => assert!(area > 0.0, "{}", panel.mark),
                        "OPENING" => {
                            n_holes += 1;
                            assert!(area < 0.0, "{}", panel.mark);
                        }
                        _ => {}
                    }
                }
            }
            // The windows O1 and O3; the door is a notch, the garage door is framed between panels.
            assert_eq!(n_holes, 2);
        }
    }
}

#[test]
fn both_versions_say_the_same_and_millimetres_are_exact() {
    let inch = made(SawVersion::R12, SawUnit::Inch, Face::Outer);
    let metric = made(SawVersion::R2000, SawUnit::Millimetre, Face::Outer);
    for panel in &inch.fabrication.panels {
        let [a, b] = [&inch, &metric].map(|house| contours(&outline(house, &panel.mark)));
        assert_eq!(a.len(), b.len());
        for ((layer, points), (other_layer, millimetres)) in a.iter().zip(&b) {
            assert_eq!(layer, other_layer);
            for (p, q) in points.iter().zip(millimetres) {
                assert!((p.0 * 25.4 - q.0).abs() < 1e-6 && (p.1 * 25.4 - q.1).abs() < 1e-6);
            }
        }
    }
}

#[test]
fn an_inner_face_up_is_the_mirror_image_and_says_so() {
    let outer = made(SawVersion::R12, SawUnit::Inch, Face::Outer);
    let inner = made(SawVersion::R12, SawUnit::Inch, Face::Inner);
    // X2 has the window O3, nearer to its right end seen from outside.
    let mut panels = outer.fabrication.panels.iter();
    let panel = panels
        .find(|panel| panel.wall == 1 && !panel.openings.is_empty())
        .unwrap();
    let left_of_hole = |house: &House| {
        let found = contours(&outline(house, &panel.mark));
        let hole = &found
            .iter()
            .find(|(layer, _)| layer == "OPENING")
            .unwrap()
            .1;
        hole.iter().map(|point| point.0).fold(f64::MAX, f64::min)
    };
    let hole = panel.openings[0].skin_hole;
    assert_eq!(left_of_hole(&outer), hole.x0.to_inches());
    let mirrored = panel.width - hole.x1;
    assert_eq!(left_of_hole(&inner), mirrored.to_inches());
    let text = String::from_utf8(outline(&inner, &panel.mark)).unwrap();
    assert!(text.contains("face up: inner; x is mirrored") && text.contains("x mirrored=yes"));
}

#[test]
fn the_face_below_is_drawn_only_where_it_differs_vertex_by_vertex() {
    let house = house();
    // The wall X3 is bevelled at both ends and has only one panel; X1 is square at its left end.
    let first_of = |wall: usize| {
        let mut panels = house.fabrication.panels.iter();
        &panels.find(|panel| panel.wall == wall).unwrap().mark
    };
    let bevelled = contours(&outline(&house, first_of(2)));
    let of = |layer: &str| bevelled.iter().find(|it| it.0 == layer).map(|it| &it.1);
    let (up, under) = (of("OUTLINE").unwrap(), of("UNDER").unwrap());
    assert_eq!(up.len(), under.len());
    assert!(
        up.iter()
            .zip(under)
            .all(|(a, b)| (a.0 - b.0).abs() < 6.5 && a.1 == b.1)
    );
    let square = contours(&outline(&house, first_of(0)));
    assert!(square.iter().all(|(layer, _)| layer != "UNDER"));
}

#[test]
fn a_held_panel_stands_in_held_with_every_layer_named_so_and_not_in_the_index() {
    let mut house = house();
    house.fabrication.panels[1].holds.push(Hold {
        code: "FAB-00".to_owned(),
        reason: "the door O2 is a question".to_owned(),
    });
    let stock = panelwright::stock::StockPlan::default();
    let files = outline_files(&house.fabrication, &stock, &house.rules);
    assert!(files.contains_key("held/W102.dxf") && !files.contains_key("outlines/W102.dxf"));
    let layers = pairs(&files["held/W102.dxf"])
        .into_iter()
        .filter(|pair| pair.0 == 8);
    assert!(
        layers
            .map(|pair| pair.1)
            .all(|layer| layer.starts_with("HOLD-"))
    );
    let index = String::from_utf8(files["outlines/index.csv"].clone()).unwrap();
    assert!(index.contains("\n2,W103,") && !index.contains("W102"));
    let text = String::from_utf8(files["held/W102.dxf"].clone()).unwrap();
    assert!(text.contains("DO NOT CUT") && text.contains("the door O2 is a question"));
}

#[test]
fn notes_stand_outside_the_panel() {
    let house = house();
    for panel in &house.fabrication.panels {
        let mut layer = String::new();
        for (code, value) in pairs(&outline_dxf(panel, &house.rules)) {
            match code {
                8 => layer = value,
                10 if layer == "NOTE" => {
                    assert!(value.parse::<f64>().unwrap() > panel.width.to_inches());
                }
                _ => {}
            }
        }
    }
}
