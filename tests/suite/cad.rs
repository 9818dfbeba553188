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
