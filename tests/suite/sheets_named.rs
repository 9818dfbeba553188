//! What is drawn says which it is: panels and openings by `data-`, marks on HOLD, places in the order of erection, scales.

use crate::kit::{
    SAMPLES, make_sample_under, sample_file, sample_package, sample_under, sheet_words,
};
use panelwright::package::Made;
use roxmltree::{Document, Node};
use std::collections::BTreeSet;

/// The sheets of a series: file and words of each.
fn series<'a>(made: &'a Made, start: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
    let own = made.sheets.iter();
    let own = own.filter(move |it| it.sheet.number.starts_with(start));
    own.map(|it| {
        let bytes = &made.documents.files[&it.path];
        (it.path.as_str(), std::str::from_utf8(bytes).unwrap())
    })
}

/// What groups with something drawn in them name; what leads somewhere is drawn within its link.
fn drawn<'a>(document: &'a Document<'_>, name: &str) -> BTreeSet<&'a str> {
    // A white rectangle masks what a word stands on.
    let is_outline = |it: Node<'_, '_>| it.attribute("class") != Some("wht");
    let is_shape = |it: Node<'_, '_>| {
        let name = it.tag_name().name();
        ["polygon", "path"].contains(&name) || name == "rect" && is_outline(it)
    };
    let is_drawn = |it: Node<'_, '_>| {
        it.children()
            .any(|it| is_shape(it) || it.has_tag_name("a") && it.children().any(is_shape))
    };
    let groups = document.descendants().filter(|it| is_drawn(*it));
    groups.filter_map(|it| it.attribute(name)).collect()
}

#[test]
fn every_opening_and_panel_of_plans_and_elevations_is_named_where_it_is_drawn() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let walls = made.building.walls.iter();
        let openings: BTreeSet<&str> = walls
            .flat_map(|wall| wall.openings.iter().map(|it| it.id.as_str()))
            .collect();
        let panels = made.fabrication.panels.iter();
        let panels: BTreeSet<&str> = panels.map(|it| it.mark.as_str()).collect();
        assert!(!openings.is_empty() && !panels.is_empty());
        for start in ["Z-1", "Z-2"] {
            let [mut seen, mut made_of] = [BTreeSet::new(), BTreeSet::new()];
            for (path, svg) in series(&made, start) {
                let document = Document::parse(svg).unwrap();
                let own = |name: &str| -> BTreeSet<String> {
                    drawn(&document, name)
                        .into_iter()
                        .map(str::to_owned)
                        .collect()
                };
                seen.extend(own("data-opening"));
                made_of.extend(own("data-panel"));
                let ids = document.descendants().filter_map(|it| it.attribute("id"));
                let mut known = BTreeSet::new();
                assert!(ids.into_iter().all(|id| known.insert(id)), "{case} {path}");
            }
            let all = |list: &BTreeSet<&str>, seen: &BTreeSet<String>| {
                let missing: Vec<&&str> = list.iter().filter(|it| !seen.contains(**it)).collect();
                assert!(missing.is_empty(), "{case} {start}: {missing:?}");
            };
            all(&openings, &seen);
            if start == "Z-2" {
                all(&panels, &made_of);
            }
        }
    }
}

#[test]
fn every_panel_on_hold_says_so_on_its_elevation() {
    for (case, plan) in SAMPLES {
        let mut job = sample_file(case, "job.toml");
        job.bytes = ["issue = \"review\"\n".as_bytes(), &job.bytes].concat();
        let made = make_sample_under(case, plan, job);
        for panel in &made.fabrication.panels {
            assert!(panel.is_held());
            let mark = panel.mark.as_str();
            let above = format!("{mark} HOLD");
            let says = |svg: &str| {
                let document = Document::parse(svg).unwrap();
                let words = |node: Node<'_, '_>| -> Vec<String> {
                    let texts = node.descendants().filter(Node::is_text);
                    texts
                        .filter_map(|it| it.text())
                        .map(str::to_owned)
                        .collect()
                };
                let own = document.descendants();
                let own = own.filter(|it| it.attribute("data-panel") == Some(mark));
                own.flat_map(words).any(|it| it.contains("HOLD"))
                    || words(document.root()).contains(&above)
            };
            let mut elevations = series(&made, "Z-2");
            assert!(elevations.any(|(_, svg)| says(svg)), "{case} {mark}");
        }
    }
}

#[test]
fn the_place_in_the_order_of_erection_is_told_with_how_many_there_are() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let count = made.fabrication.panels.len();
        for panel in &made.fabrication.panels {
            let ending = format!("-{}.svg", panel.mark);
            let own = made.sheets.iter().find(|it| it.path.ends_with(&ending));
            let words = sheet_words(&made, &own.unwrap().path);
            let place = format!("ERECT {} OF {count}", panel.erection);
            assert!(words.contains(&place), "{case} {}: {place}", panel.mark);
        }
        let elevations = series(&made, "Z-2");
        let said: Vec<String> = elevations
            .map(|(path, _)| sheet_words(&made, path))
            .collect();
        assert!(
            said.iter().all(|it| it.contains(&format!(" OF {count}"))),
            "{case}"
        );
    }
}

#[test]
fn no_small_blank_stands_alone_in_a_band_and_each_says_its_scale() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for (path, svg) in series(&made, "Z-7") {
            let document = Document::parse(svg).unwrap();
            let ids = document.descendants().filter_map(|it| it.attribute("id"));
            let bands = ids.filter(|it| it.starts_with("blank-")).count();
            assert_ne!(bands, 1, "{case} {path}");
            let words = sheet_words(&made, path);
            if bands > 0 {
                let scales = words.matches(" = 1'-0\"").count();
                assert!(scales >= bands, "{case} {path}: {scales} of {bands}");
            }
        }
    }
}

/// 18'-11" of wall and its numbers take less than the 300 mm of an ANSI B field at 1/4" = 1'-0".
#[test]
fn a_gable_is_not_parted_where_it_has_room() {
    let made = sample_under("lookout", "plan.dxf", "[sheets]\nplans = \"ANSI B\"\n");
    let words = |(path, _): (&str, &str)| sheet_words(&made, path);
    let said: Vec<String> = series(&made, "Z-2").map(words).collect();
    let gables: Vec<&String> = said.iter().filter(|it| it.contains("Slope")).collect();
    assert!(!gables.is_empty());
    for words in gables {
        assert!(!words.contains(", PART "), "{words}");
        assert!(words.contains("SCALE 1/4\" = 1'-0\""), "{words}");
    }
}
