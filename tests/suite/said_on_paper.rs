//! What a person at the station or on site reads on paper: the caution beside each lift, the dunnage of each truck, how sure each number of
//! a quote is, where core joints lie.

use crate::kit::{SAMPLES, sample_file, sample_package};
use panelwright::documents::paper::to_svg;
use panelwright::documents::{QuoteInput, TitleFacts, quote_sheet};
use panelwright::fabrication::Lift;
use panelwright::package::{InputFile, Made, MakeOptions};
use panelwright::quote::{QuoteOptions, quote};
use serde_json::Value;
use std::collections::BTreeMap;

/// All words of a file that is a sheet, with one space between.
fn words(made: &Made, is_wanted: impl Fn(&str) -> bool) -> Vec<(String, String)> {
    let files = made.documents.files.iter();
    let sheets = files.filter(|(name, _)| name.starts_with("sheets/") && is_wanted(name));
    let read = sheets.map(|(name, bytes)| {
        let text = String::from_utf8_lossy(bytes);
        let document = roxmltree::Document::parse(&text).unwrap();
        let texts = document.descendants().filter(roxmltree::Node::is_text);
        let said: Vec<&str> = texts.filter_map(|it| it.text()).map(str::trim).collect();
        (name.clone(), said.join(" "))
    });
    read.collect()
}

/// What hurts people when panels are lifted. Common practice, no source.
#[test]
fn beside_every_lift_stands_its_caution() {
    let mut by_lift: BTreeMap<Lift, usize> = BTreeMap::new();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            *by_lift.entry(panel.lift).or_default() += 1;
            let name = format!("-{}.svg", panel.mark);
            let own = words(&made, |it| it.ends_with(&name));
            let [(_, sheet), ..] = own.as_slice() else {
                panic!("{case}: no sheet of {}", panel.mark);
            };
            assert!(sheet.contains(panel.lift.name()), "{case}: {}", panel.mark);
            let caution = match panel.lift {
                Lift::Hand => "Set by hand by a crew; never lift by a buck.",
                Lift::Forklift | Lift::Crane => "nobody beneath; never lift by a buck.",
            };
            assert!(sheet.contains(caution), "{case}: {}: {sheet}", panel.mark);
            let folder = if panel.is_held() { "held" } else { "outlines" };
            let outline = &made.documents.files[&format!("{folder}/{}.dxf", panel.mark)];
            let outline = String::from_utf8_lossy(outline);
            let told = format!("caution: {:.0} lb, lifted by", panel.weight_lb);
            assert!(outline.contains(&told), "{case}: {}", panel.mark);
        }
    }
    // Both ways of lifting are among the samples, or nothing was looked at.
    assert!(
        by_lift.contains_key(&Lift::Hand) && by_lift.len() > 1,
        "{by_lift:?}"
    );
}

/// 4 in dunnage near both ends of a stack and at 4 ft at most between: a stack of 96 in has 88 in between the outer two, so one more
/// in the middle, three; common practice, no source.
#[test]
fn each_load_sheet_counts_its_dunnage_and_its_tie_downs() {
    let mut n_trucks = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let loads: Value = serde_json::from_slice(&made.documents.files["loads.json"]).unwrap();
        let sheets = words(&made, |it| it.contains("-truck-"));
        for truck in loads["trucks"].as_array().unwrap() {
            n_trucks += 1;
            let (mut dunnage, mut straps) = (0, 0);
            for stack in truck["stacks"].as_array().unwrap() {
                let between = stack["length"].as_f64().unwrap() - 8.0;
                let mut n = 2;
                while between / f64::from(n - 1) > 48.0 {
                    n += 1;
                }
                dunnage += n;
                straps += stack["tie_downs"].as_u64().unwrap();
            }
            let count = format!("{dunnage} pieces, 4\" high");
            let held = format!("{straps} or more");
            let is_said = |it: &&(String, String)| it.1.contains(&count) && it.1.contains(&held);
            assert!(
                sheets.iter().any(|it| is_said(&it)),
                "{case}: no load sheet says {count}, {held}: {sheets:?}"
            );
        }
    }
    assert!(n_trucks > 0);
}

#[test]
fn a_quote_says_of_every_number_how_sure_it_is() {
    let prices = InputFile {
        name: "prices.toml".to_owned(),
        bytes: std::fs::read(crate::kit::root().join("sample-drawings/prices.toml")).unwrap(),
    };
    for prices in [None, Some(prices)] {
        let options = QuoteOptions {
            make: MakeOptions::default(),
            prices,
            ..QuoteOptions::default()
        };
        let made = quote(&[sample_file("napkin", "sketch.toml")], &options).unwrap();
        let sheet = quote_sheet(&QuoteInput {
            quote: &made.quote,
            building: &made.building,
            fabrication: &made.fabrication,
            rules: &made.rules,
            facts: &TitleFacts::default(),
            source: &made.source,
        });
        let svg = String::from_utf8(to_svg(&sheet)).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let texts = document.descendants().filter(roxmltree::Node::is_text);
        let said: Vec<&str> = texts.filter_map(|it| it.text()).map(str::trim).collect();
        assert!(said.contains(&"How sure"), "{said:?}");
        let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
        for line in &made.quote.lines {
            *kinds.entry(line.sure.words()).or_default() += 1;
        }
        assert!(kinds.len() > 1, "{kinds:?}");
        for (words, n) in kinds {
            let printed = said.iter().filter(|it| **it == words).count();
            assert!(printed >= n, "{words}: {printed} of {n}");
        }
    }
}
