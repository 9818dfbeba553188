//! The drawing office's own files: every panel by its mark, sizes as on the sheets, the architect's dimensions beneath.

use crate::kit::{SAMPLES, sample_file, sample_package};
use panelwright::documents::paper::{Group, Item};
use panelwright::package::Made;
use panelwright::units::Inches;

/// Text and layer of each TEXT of a DXF of ours, by group codes.
fn texts(dxf: &str) -> Vec<(String, String)> {
    let lines: Vec<&str> = dxf.lines().map(str::trim).collect();
    let pairs: Vec<(&str, &str)> = lines.chunks_exact(2).map(|it| (it[0], it[1])).collect();
    let mut found = Vec::new();
    let (mut is_text, mut layer) = (false, "");
    for (code, value) in pairs {
        match code {
            "0" => is_text = value == "TEXT",
            "8" => layer = value,
            "1" if is_text => found.push((layer.to_owned(), value.to_owned())),
            _ => {}
        }
    }
    found
}

#[test]
fn key_plans_for_the_drawing_office_name_every_panel_and_round_as_the_sheets_do() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let files = made.documents.files.iter();
        let plans = files.filter(|(name, _)| name.starts_with("cad/") && name.contains("key-plan"));
        let all: Vec<(String, String)> = plans
            .flat_map(|(_, bytes)| texts(&String::from_utf8_lossy(bytes)))
            .collect();
        for panel in &made.fabrication.panels {
            let is_named = all.iter().any(|(layer, words)| {
                layer == "Z-WALL-IDEN" && words.split(' ').next() == Some(panel.mark.as_str())
            });
            assert!(is_named, "{case} {}", panel.mark);
        }
        let sizes: Vec<&String> = all
            .iter()
            .map(|it| &it.1)
            .filter(|it| it.contains("R.O."))
            .collect();
        assert!(!sizes.is_empty(), "{case}");
        for words in sizes {
            assert!(
                !words.contains('~') && !words.contains("/64"),
                "{case}: {words}"
            );
        }
    }
}

/// The workshop's plan is 12 m by 7.2 m and its dimensions say so.
#[test]
fn the_architects_dimensions_go_back_with_the_rest_of_the_drawing() {
    let made = sample_package("workshop", "plan.dxf");
    let file = &made.documents.files["cad/Z-101-key-plan.dxf"];
    let all = texts(&String::from_utf8_lossy(file));
    for wanted in ["12000", "7200"] {
        let is_there = all
            .iter()
            .any(|(layer, words)| layer.starts_with("plan$0$") && words == wanted);
        assert!(is_there, "{wanted}");
    }
}

/// A text's box as a drawing program sets it, about its middle: width by letters (0.8 of the height each, from memory).
struct TextBox {
    layer: String,
    words: String,
    at: [f64; 2],
    half: [f64; 2],
}

/// Every level or upright TEXT of a DXF of ours.
fn boxes(dxf: &str) -> Vec<TextBox> {
    let lines: Vec<&str> = dxf.lines().map(str::trim).collect();
    let mut found = Vec::new();
    let mut fields = std::collections::BTreeMap::new();
    for pair in lines.chunks_exact(2) {
        if pair[0] != "0" {
            fields.insert(pair[0], pair[1]);
            continue;
        }
        let is_text = fields.insert("kind", pair[1]) == Some("TEXT");
        let number = |code: &str| fields.get(code).map_or(0.0, |it| it.parse().unwrap());
        if is_text {
            let (height, turn): (f64, f64) = (number("40"), number("50"));
            let letters = u32::try_from(fields["1"].chars().count()).unwrap();
            let wide = f64::from(letters) * height * 0.8 / 2.0;
            let is_upright = (turn.abs() - 90.0).abs() < 1e-6;
            if is_upright || turn == 0.0 {
                found.push(TextBox {
                    layer: fields["8"].to_owned(),
                    words: fields["1"].to_owned(),
                    at: [number("11"), number("21")],
                    half: if is_upright {
                        [height / 2.0, wide]
                    } else {
                        [wide, height / 2.0]
                    },
                });
            }
        }
        fields.retain(|code, _| *code == "kind");
    }
    found
}

#[test]
fn words_of_ours_stand_on_no_others_in_the_drawing_offices_key_plan() {
    let mut wrong = Vec::new();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for (name, bytes) in &made.documents.files {
            if !name.starts_with("cad/") || !name.contains("key-plan") {
                continue;
            }
            let all = boxes(&String::from_utf8_lossy(bytes));
            // Names of the grid stand on the architect's own: they are the same.
            let is_ours = |it: &TextBox| it.layer.starts_with("Z-") && it.layer != "Z-GRID-IDEN";
            assert!(
                all.iter().filter(|it| is_ours(it)).count() > 10,
                "{case} {name}"
            );
            for (i, a) in all.iter().enumerate() {
                for b in all.iter().skip(i + 1).filter(|b| is_ours(a) || is_ours(b)) {
                    let apart = |n: usize| (a.at[n] - b.at[n]).abs() - a.half[n] - b.half[n];
                    if apart(0).max(apart(1)) < 0.0 {
                        wrong.push(format!("{case} {name}: {} on {}", a.words, b.words));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Closed rings of a layer: the corners of each.
fn rings(dxf: &str, wanted: &str) -> Vec<Vec<[f64; 2]>> {
    let lines: Vec<&str> = dxf.lines().map(str::trim).collect();
    let mut found: Vec<Vec<[f64; 2]>> = Vec::new();
    let (mut is_ring, mut is_wanted) = (false, false);
    for pair in lines.chunks_exact(2) {
        match pair[0] {
            "0" => is_ring = pair[1] == "LWPOLYLINE",
            "8" => {
                is_wanted = is_ring && pair[1] == wanted;
                if is_wanted {
                    found.push(Vec::new());
                }
            }
            "10" if is_wanted => found
                .last_mut()
                .unwrap()
                .push([pair[1].parse().unwrap(), 0.0]),
            "20" if is_wanted => {
                let corner = found.last_mut().unwrap().last_mut().unwrap();
                corner[1] = pair[1].parse().unwrap();
            }
            _ => {}
        }
    }
    found
}

/// Is a point within a ring: an odd number of sides lie to its right.
fn holds(ring: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    let crosses = |(a, b): &(&[f64; 2], &[f64; 2])| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1])
    };
    sides.filter(crosses).count() % 2 == 1
}

#[test]
fn elevations_for_the_drawing_office_say_what_their_sheets_say() {
    let mut n_chased = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for (index, wall) in made.building.walls.iter().enumerate() {
            let ending = format!("-{}.dxf", wall.id);
            let is_own = |name: &&String| name.starts_with("cad/Z-2") && name.ends_with(&ending);
            let Some(name) = made.documents.files.keys().find(is_own) else {
                continue;
            };
            let dxf = String::from_utf8_lossy(&made.documents.files[name]).into_owned();
            let all = boxes(&dxf);
            let outlines = rings(&dxf, "Z-ELEV-OTLN");
            // Every mark with all of its letters within one panel, and in none of its openings.
            let openings = rings(&dxf, "Z-ELEV-OPNG");
            for panel in made.fabrication.panels.iter().filter(|it| it.wall == index) {
                let is_mark = |it: &&TextBox| it.words.split(' ').next() == Some(&panel.mark);
                let mark = all.iter().find(is_mark).unwrap();
                let [x, y] = mark.at;
                let [w, h] = mark.half.map(|it| it * 0.99);
                let corners = [
                    [x - w, y - h],
                    [x + w, y - h],
                    [x + w, y + h],
                    [x - w, y + h],
                ];
                let is_in = |ring: &Vec<[f64; 2]>| corners.iter().all(|it| holds(ring, *it));
                assert!(outlines.iter().any(is_in), "{case} {name} {}", panel.mark);
                let meets = |ring: &Vec<[f64; 2]>| corners.iter().any(|it| holds(ring, *it));
                assert!(!openings.iter().any(meets), "{case} {name} {}", panel.mark);
                n_chased += panel.chases.len();
                assert!(
                    panel.chases.is_empty() || dxf.contains("Z-ELEV-CHAS"),
                    "{name}"
                );
            }
            for opening in &wall.openings {
                let size = [
                    format!("R.O. {}\"", Inches(opening.width())),
                    format!("x {}\"", Inches(opening.height())),
                ];
                for words in size {
                    assert!(all.iter().any(|it| it.words == words), "{name} {words}");
                }
            }
            for plate in made.fabrication.plates.iter().filter(|it| it.wall == index) {
                let is_own = |it: &&TextBox| it.words.split(' ').next() == Some(&plate.mark);
                assert!(all.iter().any(|it| is_own(&it)), "{name} {}", plate.mark);
            }
            // The strings of the sheet, length by length.
            let said: Vec<String> = sheet_strings(&made, &wall.id);
            assert!(!said.is_empty(), "{name}");
            for words in said {
                let is_there = |it: &TextBox| it.layer == "Z-ELEV-DIMS" && it.words == words;
                assert!(all.iter().any(is_there), "{case} {name} {words}");
            }
            for (i, a) in all.iter().enumerate() {
                for b in all.iter().skip(i + 1) {
                    let apart = |n: usize| (a.at[n] - b.at[n]).abs() - a.half[n] - b.half[n];
                    assert!(
                        apart(0).max(apart(1)) >= 0.0,
                        "{case} {name}: {} on {}",
                        a.words,
                        b.words
                    );
                }
            }
        }
    }
    assert!(n_chased > 0);
}

/// What the strings under a wall say on its sheets.
fn sheet_strings(made: &Made, wall: &str) -> Vec<String> {
    let sheets = made
        .sheets
        .iter()
        .filter(|it| it.sheet.number.starts_with("Z-2"));
    let mut found = Vec::new();
    for sheet in sheets {
        let mut groups: Vec<&Group> = sheet.sheet.layers.iter().collect();
        while let Some(group) = groups.pop() {
            let is_string = ["openings", "modules", "overall"]
                .map(|it| format!("string-{it}-{wall}"))
                .contains(&group.id);
            for item in &group.items {
                match item {
                    Item::Group(inner) => groups.push(inner),
                    Item::Text(text) if is_string && text.words.contains('\'') => {
                        found.push(text.words.clone());
                    }
                    _ => {}
                }
            }
        }
    }
    found
}

/// The header says inches, and the drawing is in millimetres: the key plan says and is the same.
#[test]
fn the_unit_of_a_key_plan_is_that_of_the_drawings_header() {
    for (case, plan) in SAMPLES.iter().filter(|it| it.1.ends_with(".dxf")) {
        let made = sample_package(case, plan);
        let unit = |dxf: &str| {
            let mut lines = dxf
                .lines()
                .map(str::trim)
                .skip_while(|it| *it != "$INSUNITS");
            lines.nth(2).map(str::to_owned)
        };
        let drawn = sample_file(case, plan).text().into_owned();
        let Some(stated) = unit(&drawn).filter(|it| it != "0") else {
            continue;
        };
        let ours = String::from_utf8_lossy(&made.documents.files["cad/Z-101-key-plan.dxf"]);
        assert_eq!(unit(&ours).as_deref(), Some(stated.as_str()), "{case}");
    }
}
