//! The drawing office's own files: every panel by its mark, sizes as on the sheets, the architect's dimensions beneath.

use crate::kit::{SAMPLES, sample_package};

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
