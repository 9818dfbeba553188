//! Panels that are larger than their place: left long at an end to be trimmed on site, or with an outer skin that drops below.
//! Common practice, no source.

use crate::house::{House, house_of, house_with, package};
use panelwright::fabrication::{FabricatedPanel, Fitted};
use panelwright::layout::RunPiece;
use panelwright::rules::{Job, PlantRules};
use panelwright::units::Length;
use panelwright::verify::verify_package;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

type Files = BTreeMap<String, Vec<u8>>;

fn failing(files: &Files) -> BTreeSet<&'static str> {
    let proofs = verify_package(files).unwrap().output.proofs;
    let failed = proofs.iter().filter(|proof| proof.n_failed > 0);
    failed.map(|proof| proof.code.name()).collect()
}

/// `panels.json` with one number changed; only the proofs that read it can fail, beside that of the manifest.
fn broken(files: &Files, change: impl FnOnce(&mut Value)) -> BTreeSet<&'static str> {
    let mut files = files.clone();
    let mut value: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    change(&mut value);
    files.insert("panels.json".to_owned(), value.to_string().into_bytes());
    failing(&files)
}

fn rows(files: &Files, list: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(files[list].as_slice());
    reader.deserialize().map(Result::unwrap).collect()
}

/// The house whose last panel of each run is left 1 in long: X1, X4 and X5 end square at their right, X2 and X3 bevelled.
fn long_house() -> House {
    let mut rules = PlantRules::default();
    rules.joints.make_up = Length::inches(1);
    house_with(rules)
}

fn make_ups(house: &House) -> Vec<&FabricatedPanel> {
    let panels = house.fabrication.panels.iter();
    panels.filter(|it| it.make_up > Length::ZERO).collect()
}

#[test]
fn the_panel_that_closes_each_run_is_left_long_and_still_closes_the_wall() {
    let house = long_house();
    let files = package(&house);
    assert_eq!(failing(&files), BTreeSet::new());
    let mut walls: Vec<usize> = make_ups(&house).iter().map(|it| it.wall).collect();
    walls.sort_unstable();
    assert_eq!(walls, [0, 3, 4]);
    for made in make_ups(&house) {
        let run = &house.layout.walls[made.wall].run;
        let Some(RunPiece::Panel { panel, from, to }) = run.last() else {
            panic!("a run ends in {:?}", run.last());
        };
        assert_eq!(*panel, made.panel);
        assert_eq!(made.width, *to - *from + Length::inches(1));
        assert_eq!(made.outer_skin.outline.bounds().unwrap().x1, made.width);
        assert_eq!(made.inner_skin.outline.bounds().unwrap().x1, made.width);
        // The foam stands back for the panel as drawn, and what closes its end comes loose.
        let trim = made.width - Length::inches(1);
        let foam = made.core_pieces().filter_map(|it| it.outline.bounds());
        let reach = foam.map(|it| it.x1).max().unwrap();
        assert_eq!(trim - reach, Length::fraction(1, 1, 2));
        let last = made.lumber.iter().find(|it| it.rect.x1 == trim).unwrap();
        assert_eq!(
            (last.usage.as_str(), last.fitted),
            ("end stud", Fitted::Site)
        );
        assert!(
            made.notes
                .iter()
                .any(|it| it.contains("trim both skins to fit on site, up to 1\""))
        );
        let of_mark = |row: &&BTreeMap<String, String>| row["mark"] == made.mark;
        let rows = rows(&files, "lists/erection.csv");
        let row = rows.iter().find(of_mark).unwrap();
        assert_eq!(row["trim on site, up to (in)"].parse::<f64>().unwrap(), 1.0);
        let folder = if made.is_held() { "held" } else { "outlines" };
        let outline = &files[&format!("{folder}/{}.dxf", made.mark)];
        let outline = String::from_utf8_lossy(outline);
        assert!(outline.contains("make-up: the right end"), "{}", made.mark);
    }
    // No panel is wider than its blank with it.
    let widest = make_ups(&house).iter().map(|it| it.width).max();
    assert!(widest <= Some(Length::feet(8)));
    // The walls that have none are named, with the reason.
    let told: Vec<&str> = house
        .findings
        .iter()
        .filter(|it| it.code.name() == "LAY-23")
        .map(|it| it.message.as_str())
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told.iter()
            .all(|it| it.ends_with("its right end is bevelled")),
        "{told:?}"
    );
}

#[test]
fn a_make_up_that_is_not_one_is_seen() {
    let house = long_house();
    let files = package(&house);
    let index = make_ups(&house)[0].panel;
    let set = |value: f64| {
        broken(&files, |file| {
            file["panels"][index]["make_up"] = value.into();
        })
    };
    assert!(set(0.5).contains("PROOF-01"), "its place is not filled");
    // Foam and stud of a panel that is not left long reach its end.
    let other = house
        .fabrication
        .panels
        .iter()
        .position(|it| it.make_up == Length::ZERO);
    let found = broken(&files, |file| {
        file["panels"][other.unwrap()]["make_up"] = 1.0.into();
    });
    assert!(found.contains("PROOF-02"), "{found:?}");
}

#[test]
fn a_dropped_outer_skin_is_longer_than_what_bears_and_is_asked_about() {
    let drop = Length::fraction(10, 1, 2);
    let job = Job {
        skin_drop: drop,
        ..Job::default()
    };
    let house = house_of(&job);
    let files = package(&house);
    assert_eq!(failing(&files), BTreeSet::new());
    let plain = house_of(&Job::default());
    let asked = house.findings.iter().find(|it| it.code.name() == "BLDG-52");
    assert!(asked.unwrap().message.ends_with("not sized: engineer"));
    assert!(plain.findings.iter().all(|it| it.code.name() != "BLDG-52"));
    let mut n_doors = 0;
    for made in &house.fabrication.panels {
        let bounds = |face: &panelwright::fabrication::PartFace| face.outline.bounds().unwrap();
        let (outer, inner) = (bounds(&made.outer_skin), bounds(&made.inner_skin));
        assert_eq!((outer.y0, outer.y1), (Length::ZERO, made.height));
        if made.kind == panelwright::layout::PanelKind::Header {
            assert_eq!((made.skin_drop, inner.y0), (Length::ZERO, Length::ZERO));
            continue;
        }
        assert_eq!(
            (made.skin_drop, inner.y0, inner.y1),
            (drop, drop, made.height)
        );
        assert!(
            made.notes
                .iter()
                .any(|it| it.contains("does not bear there: not sized"))
        );
        // It stands so much lower, and nothing but that skin reaches below the deck.
        assert_eq!(made.placed.origin[2], -drop.to_inches());
        assert!(made.lumber.iter().all(|it| it.rect.y0 >= drop));
        let foam = made.core_pieces().filter_map(|it| it.outline.bounds());
        assert!(foam.into_iter().all(|it| it.y0 > drop));
        n_doors += made
            .openings
            .iter()
            .filter(|it| it.skin_hole.y0 == Length::ZERO)
            .count();
    }
    assert_eq!(n_doors, 1);
    let height = |files: &Files, mark: &str| -> f64 {
        let rows = rows(files, "lists/panels.csv");
        let row = rows.iter().find(|row| row["mark"] == mark).unwrap();
        row["height (in)"].parse().unwrap()
    };
    let (mark, with) = (
        &house.fabrication.panels[0].mark,
        height(&files, &house.fabrication.panels[0].mark),
    );
    assert_eq!(with - height(&package(&plain), mark), 10.5);
    // A wall that says nothing of its skin is not the wall that is made.
    let found = broken(&files, |file| {
        for wall in file["walls"].as_array_mut().unwrap() {
            wall["skin_drop"] = 0.0.into();
        }
    });
    assert!(found.contains("PROOF-02"), "{found:?}");
}
