//! What sheets say of heights, parts and openings is what the data says, on all sheets of all samples; ids are unique, and what
//! a sheet names is found on the page.

use crate::kit::{SAMPLES, sample_package, sheet_words};
use panelwright::documents::paper::{Group, Item};
use panelwright::layout::PanelKind;
use panelwright::package::Made;
use panelwright::units::{Inches, Length};
use std::collections::BTreeSet;

/// The words of all sheets of a panel, as they stand in the package.
fn panel_words(made: &Made, mark: &str) -> String {
    let ending = format!("-{mark}.svg");
    let files = made.documents.files.keys();
    let own = files.filter(|it| it.starts_with("sheets/Z-4") && it.ends_with(&ending));
    let words: Vec<String> = own.map(|it| sheet_words(made, it)).collect();
    assert!(!words.is_empty(), "{mark} has no sheet");
    words.join(" ")
}

/// All groups of a layer, itself too.
fn groups(group: &Group) -> Vec<&Group> {
    let inner = group.items.iter().filter_map(|it| match it {
        Item::Group(inner) => Some(inner),
        Item::Shape(_) | Item::Text(_) => None,
    });
    std::iter::once(group)
        .chain(inner.flat_map(groups))
        .collect()
}

fn fact<'a>(group: &'a Group, name: &str) -> Option<&'a str> {
    let found = group.data.iter().find(|(key, _)| key == name);
    found.map(|(_, value)| value.as_str())
}

#[test]
fn no_id_stands_twice_on_a_sheet() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for it in &made.sheets {
            let mut seen = BTreeSet::new();
            for group in it.sheet.layers.iter().flat_map(groups) {
                let is_new = group.id.is_empty() || seen.insert(&group.id);
                assert!(is_new, "{case} {}: {} twice", it.path, group.id);
            }
        }
    }
}

#[test]
fn a_panel_sheet_says_how_high_the_deck_lies_on_it() {
    let mut n_below = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            let foot = made.layout.panels[panel.panel].rect.y0;
            let words = panel_words(&made, &panel.mark);
            let is_said = |it: &str| words.contains(it);
            if foot < Length::ZERO {
                let deck = Inches(Length::ZERO - foot);
                assert!(
                    is_said(&format!("y 0 = {deck} below the deck")),
                    "{case} {}",
                    panel.mark
                );
                assert!(is_said(&format!(" {deck} DECK")), "{case} {}", panel.mark);
                n_below += 1;
            } else {
                let zero = if foot == Length::ZERO {
                    "y 0 = floor"
                } else {
                    "y 0 = panel bottom"
                };
                assert!(is_said(zero), "{case} {}", panel.mark);
                assert!(!is_said(" DECK "), "{case} {}", panel.mark);
            }
        }
    }
    assert!(n_below > 3, "{n_below} panels reach below a deck");
}

/// A wall that stands on the deck here and on a step there is named at neither detail: its panels are.
#[test]
fn details_of_feet_name_the_panels_that_stand_so() {
    let mut n_told = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let foot = |index: usize| {
            let panel = &made.fabrication.panels[index];
            made.layout.panels[panel.panel].rect.y0 + panel.skin_drop
        };
        let full = |wall: usize| {
            let panels = made.fabrication.panels.iter().enumerate();
            panels
                .filter(|(_, it)| it.wall == wall && it.kind == PanelKind::Wall)
                .map(|(index, _)| index)
                .collect::<Vec<_>>()
        };
        for it in made.sheets.iter().filter(|it| it.path.contains("-details")) {
            for group in it.sheet.layers.iter().flat_map(groups) {
                let Some(at) = fact(group, "at").filter(|_| group.title == "FOOT OF THE WALL")
                else {
                    continue;
                };
                for place in at.split(' ') {
                    let wall = made.building.walls.iter().position(|it| it.id == place);
                    let Some(wall) = wall else {
                        let panels = &made.fabrication.panels;
                        assert!(panels.iter().any(|it| it.mark == place), "{case}: {place}");
                        n_told += 1;
                        continue;
                    };
                    let on_deck = |index: &usize| foot(*index) == Length::ZERO;
                    let all = full(wall);
                    let n_deck = all.iter().filter(|it| on_deck(it)).count();
                    let is_one = n_deck == 0 || n_deck == all.len();
                    assert!(is_one, "{case}: {place} has both feet, and is named at one");
                }
            }
        }
    }
    assert!(n_told > 3, "{n_told}");
}

#[test]
fn every_piece_of_a_panel_can_be_pointed_at_on_its_sheets() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            let ending = format!("-{}.svg", panel.mark);
            let own = made.sheets.iter().filter(|it| it.path.ends_with(&ending));
            let layers = own.flat_map(|it| &it.sheet.layers);
            let parts = layers.flat_map(groups).filter_map(|it| fact(it, "part"));
            let parts: Vec<&str> = parts.flat_map(|it| it.split(' ')).collect();
            for lumber in &panel.lumber {
                let is_named = parts.contains(&lumber.mark.as_str());
                assert!(is_named, "{case}: {} is named nowhere", lumber.mark);
            }
            // In its row, where it is drawn, and at its balloon.
            let own = made.sheets.iter().filter(|it| it.path.ends_with(&ending));
            let layers = own.flat_map(|it| &it.sheet.layers);
            let ids: Vec<&str> = layers.flat_map(groups).map(|it| it.id.as_str()).collect();
            for kind in ["lumber-", "balloon-"] {
                let is_there = ids.iter().any(|it| it.starts_with(kind));
                assert!(is_there, "{case} {}: no {kind}", panel.mark);
            }
        }
    }
}

#[test]
fn what_carries_over_an_opening_beside_a_panel_has_its_places() {
    let made = sample_package("workshop", "plan.dxf");
    let beside = panel_words(&made, "W115");
    assert!(beside.contains("82 11/16 JACK"), "{beside}");
    assert!(beside.contains("96 1/16 HEADER"), "{beside}");
    let over = panel_words(&made, "W118");
    assert!(over.contains("-3 1/8 LUMBER"), "{over}");
    assert!(over.contains("191 7/8 LUMBER"), "{over}");
}

#[test]
fn every_opening_of_a_panel_says_what_it_is_and_its_unit() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            let words = panel_words(&made, &panel.mark).to_lowercase();
            for opening in &panel.openings {
                let rough = &made.building.walls[panel.wall].openings[opening.opening];
                let [wide, high] = rough.unit.map(|it| it.feet_inches().to_string());
                let unit = format!("unit {wide} × {high}");
                assert!(
                    words.contains(&unit),
                    "{case} {}: {unit} of {}",
                    panel.mark,
                    opening.id
                );
            }
        }
    }
}

#[test]
fn a_panel_sheet_names_its_wall_by_id_and_explains_its_clouds() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            let words = panel_words(&made, &panel.mark);
            let wall = &made.building.walls[panel.wall].id;
            let cell = words.split("WALL ").skip(1);
            let mut named = cell.filter(|it| it.split([' ', '…']).next() == Some(wall));
            assert!(named.next().is_some(), "{case} {}: {wall}", panel.mark);
            let explains = words.contains("Cloud: what is on HOLD");
            assert_eq!(explains, panel.is_held(), "{case} {}", panel.mark);
        }
    }
}

#[test]
fn whatever_has_a_mark_is_found_on_the_page() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let page = String::from_utf8_lossy(&made.documents.files["index.html"]).into_owned();
        let facts = page.split("id=\"facts\">").nth(1).unwrap();
        let facts = facts.split("</script>").next().unwrap();
        let facts: serde_json::Value = serde_json::from_str(facts).unwrap();
        let mut known: BTreeSet<&str> = BTreeSet::new();
        for sheet in facts["sheets"].as_array().unwrap() {
            known.extend(sheet["panel"].as_str());
            for list in ["marks", "words"] {
                known.extend(
                    sheet[list]
                        .as_array()
                        .unwrap()
                        .iter()
                        .filter_map(|it| it.as_str()),
                );
            }
        }
        let parts = made.fabrication.panels.iter().flat_map(|it| &it.lumber);
        let plates = made.fabrication.plates.iter().map(|it| it.mark.as_str());
        let blanks = made.stock.blanks.iter().map(|it| it.sheet.name.as_str());
        let marks = parts.map(|it| it.mark.as_str()).chain(plates);
        for mark in marks.chain(blanks.take(1)) {
            assert!(known.contains(mark), "{case}: {mark} is not found");
        }
        assert!(!known.contains("1"), "{case}");
    }
}
