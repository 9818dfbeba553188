//! What the stock plan's lists and sentences say: the order of lamination, and what no plan can go below.

use crate::house::{House, house_with, package, package_with};
use crate::kit::{SAMPLES, sample_package};
use panelwright::rules::{ChaseMade, PlantRules};
use panelwright::stock::{Leftover, Leftovers, StockPlan, plan_stock};
use panelwright::units::Length;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

fn planned(house: &House, leftovers: &Leftovers) -> StockPlan {
    plan_stock(&house.layout, &house.fabrication, &house.rules, leftovers).output
}

/// The rows of a list by the names of its columns.
fn rows(house: &House, list: &str) -> Vec<BTreeMap<String, String>> {
    let files = package(house);
    let mut reader = csv::Reader::from_reader(files[list].as_slice());
    reader.deserialize().map(Result::unwrap).collect()
}

#[test]
fn tickets_are_grouped_by_assembly_and_line_and_press_cycles_are_counted() {
    let mut rules = PlantRules::default();
    rules.dispatch.press.blanks = 3;
    rules.dispatch.press.minutes = 4.0;
    let house = house_with(rules);
    let tickets = rows(&house, "lists/lamination.csv");
    assert_eq!(
        tickets.len(),
        planned(&house, &Leftovers::default()).blanks.len()
    );
    // By hand: each group in one piece; its blanks by threes, the last of them alone or two; four minutes a cycle.
    let mut groups: Vec<((&str, &str), u32)> = Vec::new();
    for it in &tickets {
        let group = (it["assembly"].as_str(), it["line"].as_str());
        match groups.last_mut() {
            Some((last, n)) if *last == group => *n += 1,
            _ => groups.push((group, 1)),
        }
    }
    let each: BTreeSet<_> = groups.iter().map(|it| it.0).collect();
    assert_eq!(each.len(), groups.len(), "a group comes back: {groups:?}");
    assert!(each.len() > 1, "{groups:?}");
    let mut expected = Vec::new();
    let mut cycles = 0;
    for (_, n) in &groups {
        expected.extend((0..*n).map(|at| cycles + at / 3 + 1));
        cycles += n.div_ceil(3);
    }
    let said = |it: &BTreeMap<String, String>| it["press cycle"].parse::<u32>().unwrap();
    assert_eq!(tickets.iter().map(said).collect::<Vec<_>>(), expected);
    for it in &tickets {
        let minutes: f64 = it["dry after (min)"].parse().unwrap();
        assert!((minutes - 4.0 * f64::from(said(it))).abs() < 1e-9, "{it:?}");
    }
}

#[test]
fn a_ticket_gives_each_chase_of_the_core_from_the_blanks_datum() {
    let mut rules = PlantRules::default();
    rules.chases.made = ChaseMade::Core;
    let house = house_with(rules);
    let plan = planned(&house, &Leftovers::default());
    let tickets = rows(&house, "lists/lamination.csv");
    let mut n = 0;
    for (blank, ticket) in plan.blanks.iter().zip(&tickets) {
        assert_eq!(ticket["blank"], blank.sheet.name);
        let said = ticket["chases in core (in)"]
            .split("; ")
            .filter(|it| !it.is_empty());
        let said: Vec<&str> = said.collect();
        assert_eq!(said.len(), blank.chases.len(), "{ticket:?}");
        for ([from, to], words) in blank.chases.iter().zip(said) {
            // A line runs from edge to edge of the blank: its place from the datum is all there is to say.
            let (axis, place, ends, side) = if from.x == to.x {
                ("x", from.x, (from.y, to.y), blank.sheet.width)
            } else {
                ("y", from.y, (from.x, to.x), blank.sheet.length)
            };
            assert_eq!(ends, (Length::ZERO, side));
            let (said_axis, inches) = words.split_once(' ').unwrap();
            let inches: f64 = inches.parse().unwrap();
            assert_eq!(said_axis, axis);
            assert!((inches - place.to_inches()).abs() < 1e-4, "{words}");
            n += 1;
        }
    }
    assert!(n > 0);
}

/// Every sentence says that its count or amount is the least there is, or how far it may be from it.
#[test]
fn each_count_is_said_to_be_the_least_or_the_gap_is() {
    let house = house_with(PlantRules::default());
    let plan = planned(&house, &Leftovers::default());
    let mut by_count = 0;
    for it in &plan.tallies {
        let words = &it.sentence;
        assert!(it.kept.is_sign_positive(), "{}: -0 kept", it.what);
        assert_eq!(it.is_proven, !words.contains(": gap "), "{words}");
        let bound = it.bound.unwrap();
        assert!(bound <= it.count, "{words}");
        if words.contains("fewer") {
            let said = format!("none can do with fewer than {bound} (");
            assert!(
                words.starts_with(&it.count.to_string()) && words.contains(&said),
                "{words}"
            );
            by_count += 1;
        } else {
            assert!(
                words.contains("none of these sizes can do with less than"),
                "{words}"
            );
        }
    }
    assert!(by_count > 0);
}

/// Beside leftovers the new stock is bounded: the bound is no more than the plan takes, and no more than without them.
#[test]
fn beside_leftovers_the_new_stock_is_bounded() {
    let house = house_with(PlantRules::default());
    let without = planned(&house, &Leftovers::default());
    let bar = &without.bars[0];
    let leftovers = Leftovers {
        all: vec![Leftover {
            name: "J7".to_owned(),
            kind: "bar",
            what: bar.section.clone(),
            grade: bar.grade.clone(),
            length: bar.length,
            ..Leftover::default()
        }],
    };
    let with = planned(&house, &leftovers);
    let own =
        |it: &&panelwright::stock::Bar| (&it.section, &it.grade) == (&bar.section, &bar.grade);
    let new = |plan: &StockPlan| -> f64 {
        let bars = plan.bars.iter().filter(own);
        let new = bars.filter(|it| it.leftover.is_empty());
        new.map(|it| it.length.to_inches() / 12.0).sum()
    };
    let what = format!("{} {}", bar.section, bar.grade);
    let tally = with.tallies.iter().find(|it| it.what == what).unwrap();
    let words = &tally.sentence;
    assert!(
        words.contains(&format!("{:.1} ft of new stock", new(&with))),
        "{words}"
    );
    let least = words.split("less of it than ").nth(1).unwrap();
    let least: f64 = least.split(' ').next().unwrap().parse().unwrap();
    assert!(
        least <= new(&with) + 0.05 && new(&with) <= new(&without),
        "{words}"
    );
    assert_eq!(tally.is_proven, new(&with) - least < 0.1, "{words}");
}

#[test]
fn no_two_kinds_of_thing_in_the_shop_share_the_letters_their_marks_begin_with() {
    let mut kinds: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    for (case, plan) in SAMPLES {
        let files = sample_package(case, plan).documents.files;
        let read = |name: &str| -> Value { serde_json::from_slice(&files[name]).unwrap() };
        let mut take = |kind: &'static str, value: &Value| {
            let mark = value.as_str().unwrap();
            let letters = mark.split(|it: char| it.is_ascii_digit()).next().unwrap();
            assert!(!letters.is_empty(), "{case}: {mark}");
            kinds.entry(letters.to_owned()).or_default().insert(kind);
        };
        let (stock, panels, plan) = (read("stock.json"), read("panels.json"), read("plan.json"));
        let all = |value: &Value| value.as_array().cloned().unwrap_or_default();
        for (list, key) in [
            ("blanks", "blank"),
            ("boards", "board"),
            ("slabs", "slab"),
            ("billets", "billet"),
            ("lumber", "bar"),
        ] {
            for it in all(&stock[list]) {
                take(list, &it[key]);
            }
        }
        for panel in all(&panels["panels"]) {
            take("panels and what is theirs", &panel["mark"]);
            for part in all(&panel["lumber"]) {
                take("panels and what is theirs", &part["mark"]);
            }
        }
        for wall in all(&panels["walls"]) {
            for plate in all(&wall["plates"]) {
                let kind = match plate["use"].as_str().unwrap() {
                    "sole plate" => "sole plates",
                    "top plate" => "top plates",
                    _ => "cap plates",
                };
                take(kind, &plate["mark"]);
            }
        }
        for storey in all(&plan["storeys"]) {
            take("storeys", &storey["id"]);
            for (list, kind) in [("openings", "openings"), ("rooms", "rooms")] {
                for it in all(&storey[list]) {
                    take(kind, &it["id"]);
                }
            }
            for wall in all(&storey["walls"]) {
                let kind = if wall["exterior"] == true {
                    "exterior walls"
                } else {
                    "interior walls"
                };
                take(kind, &wall["id"]);
            }
        }
        for bundle in all(&read("loads.json")["bundles"]) {
            let kind = if bundle["panel"].is_null() {
                "bundles of plates"
            } else {
                "panels and what is theirs"
            };
            take(kind, &bundle["bundle"]);
        }
    }
    let shared: Vec<_> = kinds.iter().filter(|it| it.1.len() > 1).collect();
    assert!(shared.is_empty(), "{shared:?}");
    assert_eq!(kinds.len(), 15, "{kinds:?}");
}

#[test]
fn what_is_kept_bears_one_name_on_what_it_is_cut_from_on_the_rack_and_in_the_file() {
    let house = house_with(PlantRules::default());
    let plan = planned(&house, &Leftovers::default());
    let rack = rows(&house, "lists/leftovers.csv");
    let names: Vec<&str> = rack.iter().map(|it| it["kept as"].as_str()).collect();
    let file = panelwright::stock::stock_text(&plan.leftovers);
    let read = panelwright::stock::read_stock(&file, "leftovers.toml").unwrap();
    assert_eq!(read.all, plan.leftovers);
    let written: Vec<&str> = read.all.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(names, written);
    for (list, key, piece, size) in [
        ("boards", "board", "piece", ["along x (in)", "along y (in)"]),
        ("slabs", "slab", "piece", ["along x (in)", "along y (in)"]),
        (
            "billets",
            "billet",
            "slab",
            ["billet length (in)", "billet width (in)"],
        ),
    ] {
        let all = rows(&house, &format!("lists/{list}.csv"));
        let kept = || all.iter().filter(|it| !it["kept as"].is_empty());
        assert!(kept().count() > 0, "{list}");
        for row in kept() {
            assert_eq!(row[piece], "offcut");
            let mut same = rack.iter().filter(|it| it["kept as"] == row["kept as"]);
            let on_rack = same.next().unwrap();
            assert_eq!(on_rack["cut from"], row[key]);
            assert_eq!(on_rack["kind"], key);
            assert_eq!(on_rack["thickness (in)"], row["thickness (in)"]);
            let lies = ["length (in)", "width (in)"].map(|it| &on_rack[it]);
            assert_eq!(lies, size.map(|it| &row[it]));
            assert!(same.next().is_none());
        }
    }
}

#[test]
fn foam_that_one_job_leaves_is_cut_first_in_the_next() {
    let house = house_with(PlantRules::default());
    let first = planned(&house, &Leftovers::default());
    let foam = ["slab", "billet"];
    let all = first.leftovers.iter();
    let mut all: Vec<Leftover> = all.filter(|it| foam.contains(&it.kind)).cloned().collect();
    let kinds: Vec<&str> = all.iter().map(|it| it.kind).collect();
    assert!(foam.iter().all(|it| kinds.contains(it)), "{kinds:?}");
    // What these slabs leave is shorter than a panel is high, and the billet holds no more than a slab; another job left more.
    let mut slabs = all.iter();
    let slab = slabs.find(|it| it.kind == "slab").unwrap().clone();
    all.push(Leftover {
        name: "J7".to_owned(),
        length: Length::feet(20),
        width: Length::feet(4),
        ..slab
    });
    let mut billets = all.iter();
    let billet = billets.find(|it| it.kind == "billet").unwrap().clone();
    all.push(Leftover {
        name: "J8".to_owned(),
        thickness: Length::inches(30),
        ..billet
    });
    let second = planned(&house, &Leftovers { all: all.clone() });
    let slabs = second.slabs.iter().filter(|it| !it.leftover.is_empty());
    let billets = second.billets.iter().filter(|it| !it.leftover.is_empty());
    assert!(slabs.count() > 0 && billets.count() > 0);
    let new = |plan: &StockPlan| {
        let billets = plan.billets.iter();
        billets.filter(|it| it.leftover.is_empty()).count()
    };
    assert!(new(&second) < new(&first));
    // What is used is on the rack no longer; all else is.
    for it in &all {
        let slabs = second.slabs.iter().map(|slab| &slab.leftover);
        let billets = second.billets.iter().map(|billet| &billet.leftover);
        let is_used = slabs.chain(billets).any(|name| *name == it.name);
        let is_kept = second.leftovers.iter().any(|kept| kept.name == it.name);
        assert_ne!(is_used, is_kept, "{it:?}");
    }
    let tally = second.tallies.iter().find(|it| it.kind == "billets");
    assert!(tally.unwrap().sentence.contains("of new stock"));
}

#[test]
fn a_package_with_leftovers_of_every_kind_in_use_is_proved() {
    // Chases made in the panel: what is laminated already takes any panel.
    let mut rules = PlantRules::default();
    rules.chases.made = ChaseMade::Panel;
    let house = house_with(rules);
    let first = planned(&house, &Leftovers::default());
    let blank = &first.blanks[0].sheet;
    let slab = &first.slabs[0];
    let bar = first.bars.iter().max_by_key(|it| it.pieces.len()).unwrap();
    let of = |name: &str, kind, what: &str, [thickness, length, width]: [Length; 3]| Leftover {
        name: name.to_owned(),
        kind,
        what: what.to_owned(),
        thickness,
        length,
        width,
        ..Leftover::default()
    };
    let board = &first.boards[0];
    let billet = &first.billets[0];
    let none = Length::ZERO;
    let assembly = house.rules.assemblies[first.blanks[0].assembly]
        .name
        .clone();
    let all = vec![
        Leftover {
            has_whole_core: true,
            ..of("J1", "blank", &assembly, [none, blank.length, blank.width])
        },
        of(
            "J2",
            "board",
            &board.what,
            [board.thickness, board.length, board.width],
        ),
        of(
            "J3",
            "slab",
            &slab.what,
            [slab.thickness, slab.length, slab.width],
        ),
        of(
            "J4",
            "billet",
            &billet.what,
            [billet.height, billet.length, billet.width],
        ),
        Leftover {
            grade: bar.grade.clone(),
            ..of("J5", "bar", &bar.section, [none, bar.length, none])
        },
    ];
    let leftovers = Leftovers { all };
    let plan = planned(&house, &leftovers);
    let kept: BTreeSet<&str> = plan.leftovers.iter().map(|it| it.name.as_str()).collect();
    for name in ["J1", "J2", "J3", "J4", "J5"] {
        assert!(!kept.contains(name), "{name} is not used");
    }
    let report = panelwright::verify::verify_package(&package_with(&house, &leftovers)).unwrap();
    assert_eq!(report.findings, []);
}
