//! Quotes: one page without overlaps, ranges that hold what is likely, options that answer what was assumed, loads that are kept.

use crate::kit::{SAMPLES, sample_file, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::{Item, Sheet};
use panelwright::documents::{PdfFiles, QuoteInput, TitleFacts, quote_sheet, quote_text};
use panelwright::estimate::{Quote, Sure};
use panelwright::package::{InputFile, MakeOptions, make};
use panelwright::quote::{QuoteOptions, Quoted, quote};
use std::collections::BTreeSet;

fn prices() -> InputFile {
    InputFile {
        name: "prices.toml".to_owned(),
        bytes: std::fs::read(crate::kit::root().join("sample-drawings/prices.toml")).unwrap(),
    }
}

fn quoted(case: &str, plan: &str, options: &QuoteOptions) -> Quoted {
    quote(&[sample_file(case, plan)], options).unwrap_or_else(|error| panic!("{case}: {error}"))
}

#[test]
fn a_quote_is_one_page_that_says_what_text_and_file_say_with_and_without_job_and_prices() {
    for (case, plan) in SAMPLES {
        for (job, prices) in [
            (None, None),
            (None, Some(prices())),
            (Some(sample_file(case, "job.toml")), Some(prices())),
        ] {
            let make = MakeOptions {
                job,
                ..MakeOptions::default()
            };
            let made = quoted(
                case,
                plan,
                &QuoteOptions {
                    make,
                    prices,
                    ..QuoteOptions::default()
                },
            );
            let [low, likely, high] = made.quote.range;
            assert!(low <= likely && likely <= high, "{case}");
            let swings: Vec<_> = made
                .quote
                .assumed
                .iter()
                .map(panelwright::estimate::Assumed::swing)
                .collect();
            assert!(swings.is_sorted_by(|a, b| a >= b), "{case}: {swings:?}");
            let sheet = quote_sheet(&QuoteInput {
                quote: &made.quote,
                building: &made.building,
                fabrication: &made.fabrication,
                rules: &made.rules,
                facts: &TitleFacts::default(),
                source: &made.source,
            });
            assert_eq!(overlaps(&sheet), [], "{case}");
            assert_eq!(named_walls(&sheet), walls_of(&made), "{case}");
            same_amounts(case, &made);
        }
    }
}

/// The names below the elevations of a quote.
fn named_walls(sheet: &Sheet) -> Vec<String> {
    let views = sheet.layers.iter().find(|it| it.id == "views").unwrap();
    let words = views.items.iter().filter_map(|it| match it {
        Item::Text(text) => Some(text.words.clone()),
        _ => None,
    });
    words
        .filter(|it| !it.ends_with("NOT FOR CONSTRUCTION"))
        .collect()
}

/// The names of the walls that have panels.
fn walls_of(made: &Quoted) -> Vec<String> {
    let has_panels = |index: usize| made.fabrication.panels.iter().any(|it| it.wall == index);
    let walls = made.building.walls.iter().enumerate();
    walls
        .filter(|(index, _)| has_panels(*index))
        .map(|(_, it)| it.name.clone())
        .collect()
}

/// A girder on a post, a nailer and a wall that runs through are in the job, and so in what the customer pays.
#[test]
fn a_quote_counts_what_the_package_of_the_same_job_has() {
    let plan = "name = 'Sketch'\nthickness = '6 1/2'\nrun = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\n";
    let job = "assembly = '6-1/2'\n[wall]\nheight = \"8'-0\\\"\"\n[[layout]]\nid = 'X1'\n\
        points = [{ at = \"5'\", width = '3-1/2', what = 'girder', post = '3-2x6' }]\n\
        nailers = [{ from = \"8'\", to = \"14'\", height = '56', section = '2x6', what = 'cabinets' }]\njoints = [\"10'\"]\n";
    let file = |name: &str, text: &str| InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let plan = [file("sketch.toml", plan)];
    let options = MakeOptions {
        job: Some(file("job.toml", job)),
        prices: Some(prices()),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    let made = make(&plan, &options, &mut |_| {}).unwrap();
    let options = QuoteOptions {
        make: options,
        prices: Some(prices()),
        ..QuoteOptions::default()
    };
    let quoted = quote(&plan, &options).unwrap();
    assert_eq!(quoted.fabrication, made.fabrication);
    let uses = |it: &str| {
        let mut lumber = quoted.fabrication.panels.iter().flat_map(|it| &it.lumber);
        lumber.any(|piece| piece.usage == it)
    };
    assert!(uses("post") && uses("nailer"));
}

#[test]
fn amounts_add_up_to_what_is_likely_and_money_needs_prices() {
    let with = quoted(
        "napkin",
        "sketch.toml",
        &QuoteOptions {
            prices: Some(prices()),
            ..QuoteOptions::default()
        },
    );
    let sum = with.quote.lines.iter().filter_map(|line| line.amount).sum();
    assert_eq!(with.quote.range.get(1), Some(&sum));
    let without = quoted("napkin", "sketch.toml", &QuoteOptions::default());
    assert!(without.quote.lines.iter().all(|line| line.amount.is_none()));
}

#[test]
fn stating_a_height_answers_the_assumption_and_a_foot_moves_what_it_says() {
    let option = |height: Option<&str>| QuoteOptions {
        wall_height: height.map(str::to_owned),
        ..QuoteOptions::default()
    };
    let open = quoted("napkin", "sketch.toml", &option(None)).quote;
    let height = open
        .assumed
        .iter()
        .find(|it| it.option == "--wall-height")
        .unwrap();
    let stated = quoted("napkin", "sketch.toml", &option(Some("9'-0\""))).quote;
    assert!(stated.assumed.iter().all(|it| it.option != "--wall-height"));
    assert_eq!(stated.range[1], open.range[1] + height.high);
}

#[test]
fn a_figure_is_assumed_only_of_what_it_moves_and_no_line_it_moves_is_counted() {
    // The tags of this plan state the heights of its windows; what nobody states is where their heads are.
    let open = quoted("bunkhouse", "plan.dxf", &QuoteOptions::default()).quote;
    let options: BTreeSet<&str> = open.assumed.iter().map(|it| &*it.option).collect();
    assert!(options.contains("--window-head"), "{options:?}");
    assert!(!options.contains("--window-height"), "{options:?}");
    assert!(!options.contains("--door-height"), "{options:?}");
    let sure = |quote: &Quote, item: &str| {
        let mut lines = quote.lines.iter();
        lines.find(|it| it.item == item).map(|it| it.sure)
    };
    assert_eq!(sure(&open, "6-1/2 panels, gross"), Some(Sure::OnAssumed));
    assert_eq!(sure(&open, "rough openings"), Some(Sure::Counted));

    // The job states wall height, assembly and heads; no engineer has sized the headers.
    let make = MakeOptions {
        job: Some(sample_file("bunkhouse", "job.toml")),
        ..MakeOptions::default()
    };
    let stated = QuoteOptions {
        make,
        ..QuoteOptions::default()
    };
    let stated = quoted("bunkhouse", "plan.dxf", &stated).quote;
    assert_eq!(sure(&stated, "6-1/2 panels, gross"), Some(Sure::Counted));
    for item in ["headers, not sized", "lumber of studs and bucks"] {
        assert_eq!(sure(&stated, item), Some(Sure::OnAssumed), "{item}");
    }
    assert!(stated.assumed.iter().any(|it| it.option == "--header"));
}

#[test]
fn every_panel_lies_on_one_truck_in_reverse_order_within_the_limits() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let file: serde_json::Value =
            serde_json::from_slice(&made.documents.files["loads.json"]).unwrap();
        let (limits, mut seen) = (&file["limits"], BTreeSet::new());
        let number = |value: &serde_json::Value| value.as_f64().unwrap();
        let mut before = 0;
        for truck in file["trucks"].as_array().unwrap() {
            assert!(
                number(&truck["weight_lb"]) <= number(&limits["weight_lb"]),
                "{case}"
            );
            let mut here: Vec<u64> = Vec::new();
            for stack in truck["stacks"].as_array().unwrap() {
                assert!(
                    number(&stack["height"]) <= number(&limits["height"]),
                    "{case}"
                );
                assert!(
                    number(&stack["at"][0]) + number(&stack["length"]) <= number(&limits["length"]),
                    "{case}"
                );
                assert!(
                    number(&stack["at"][1]) + number(&stack["width"]) <= number(&limits["width"]),
                    "{case}"
                );
                let panels = stack["panels"].as_array().unwrap();
                let order: Vec<u64> = panels
                    .iter()
                    .map(|it| it["erection"].as_u64().unwrap())
                    .collect();
                assert!(order.is_sorted_by(|a, b| a > b), "{case}: {order:?}");
                here.extend(order);
                for panel in panels {
                    assert!(
                        seen.insert(panel["mark"].as_str().unwrap().to_owned()),
                        "{case}: {panel}"
                    );
                }
            }
            assert!(here.iter().all(|it| *it > before), "{case}");
            before = here.into_iter().max().unwrap();
        }
        let marks: BTreeSet<String> = made
            .fabrication
            .panels
            .iter()
            .map(|it| it.mark.clone())
            .collect();
        assert_eq!(seen, marks, "{case}");
    }
}

#[test]
fn a_question_widens_the_range_with_prices_and_without_and_stands_in_order() {
    // Drawn 4 1/2 thick and quoted in panels of 6 1/2: nobody has said which it is to be.
    let sketch = |name: &str| {
        InputFile {
        name: name.to_owned(),
        bytes: b"name = 'House'\nthickness = '4 1/2'\nrun = [\"E 28'\", \"N 16'\", \"W 28'\", \"close\"]\n".to_vec(),
    }
    };
    for prices in [None, Some(prices())] {
        let options = QuoteOptions {
            prices,
            ..QuoteOptions::default()
        };
        let made = quote(&[sketch("some/where/sketch.toml")], &options);
        let made = made.unwrap_or_else(|error| panic!("{error}"));
        let it = &made.quote;
        assert_eq!(it.n_questions(), 1, "{:?}", it.questions);
        let [low, likely, high] = it.range;
        let swing = it.questions_swing();
        // 1.5 per cent by the plant's rule and by the sample's price book.
        let part =
            likely * panelwright::estimate::decimal(1.5) / panelwright::estimate::decimal(100.0);
        assert_eq!(swing, panelwright::estimate::to_whole(part));
        let up = it
            .assumed
            .iter()
            .map(|it| it.high)
            .sum::<rust_decimal::Decimal>();
        let down = it
            .assumed
            .iter()
            .map(|it| it.low)
            .sum::<rust_decimal::Decimal>();
        assert_eq!((high, low), (likely + up + swing, likely + down - swing));
        // In the text as on the page: among the figures, where what it moves puts it.
        let text = quote_text(it);
        let above = it.assumed.iter().filter(|it| it.swing() >= swing);
        let lines: Vec<&str> = text.lines().collect();
        let is_range = |it: &&str| it.starts_with("low ");
        let first = lines.iter().position(is_range).unwrap() + 1;
        let at = first + above.count();
        assert!(lines[at].starts_with("open question"), "{text}");
        // On the page the question stands among the figures, where what it moves puts it, and the file names the quote.
        assert_eq!(made.source, "sketch.toml");
        let documents = made
            .documents(None)
            .unwrap_or_else(|error| panic!("{error}"));
        let page = String::from_utf8_lossy(&documents.files["quote.svg"]).into_owned();
        assert!(page.contains("1 open question widens the range by"));
        // What it is made from stands on it: a revised plan is known by its digest.
        let digest = it.plans[0].sha256.clone();
        assert_eq!((it.plans.len(), digest.len()), (1, 64));
        assert!(page.contains(&format!("sketch.toml (SHA-256 {}…)", &digest[..12])));
        let json = String::from_utf8_lossy(&documents.files["quote.json"]).into_owned();
        assert!(json.contains(&digest) && json.contains("\"storeys\""));
        assert!(page.matches("NOT FOR CONSTRUCTION").count() >= 3);
        // Its row may be broken into lines.
        assert!(page.contains("question<") && page.contains("thicker: the"));
    }
}

/// The quantity of a line, or nothing.
fn quantity(made: &Quoted, item: &str) -> f64 {
    let line = made.quote.lines.iter().find(|it| it.item == item);
    line.map_or(0.0, |it| it.quantity.to_string().parse().unwrap())
}

#[test]
fn a_member_that_finds_no_room_is_paid_for_all_the_same() {
    // Heads at 82 in, as the doors': under a top plate of 84 - 1 1/2 in there is no room for any member. By hand from the plant's table,
    // 2-2x8 up to 50 in with a jack at each end: 38 + 3, 48 1/2 + 3 and 36 1/2 + 3 in, twice, at 2 x 8 / 144 of a board foot an inch.
    let by_hand = 2.0 * 16.0 / 144.0 * (41.0 + 51.5 + 39.5);
    let at = |height: &str| {
        let options = QuoteOptions {
            wall_height: Some(height.to_owned()),
            prices: Some(prices()),
            ..QuoteOptions::default()
        };
        quoted("napkin", "sketch.toml", &options)
    };
    for height in ["7'", "9'"] {
        let found = quantity(&at(height), "headers, not sized");
        assert!((found - by_hand).abs() < 0.006, "{height}: {found}");
    }
    // So a head that rises into the plate is no saving: what it moves is not the price of the members.
    let made = at("8'");
    let head = made
        .quote
        .assumed
        .iter()
        .find(|it| it.option == "--window-head");
    let headers = made
        .quote
        .lines
        .iter()
        .find(|it| it.item == "headers, not sized");
    let amount = headers.and_then(|it| it.amount).unwrap();
    assert!(head.unwrap().swing() * rust_decimal::Decimal::from(2) < amount);
}

#[test]
fn a_wall_without_panels_is_counted_by_its_area_and_said() {
    // No line makes panels of 40 ft. By hand: two walls of 24 ft and two of 16 ft, from corner to corner.
    let by_hand = 2.0 * (24.0 + 16.0) * 40.0;
    for prices in [None, Some(prices())] {
        let options = QuoteOptions {
            wall_height: Some("40'".to_owned()),
            prices,
            ..QuoteOptions::default()
        };
        let made = quoted("napkin", "sketch.toml", &options);
        let found = quantity(&made, "6-1/2 panels, gross");
        assert!((found - by_hand).abs() < 0.01, "{found}, not {by_hand}");
        let mut said = made.quote.questions.iter().map(|it| it.words());
        let words = "of it only the area is counted; and 3 more like it";
        assert!(said.any(|it| it.contains("cannot be panelled") && it.contains(words)));
        let likely: f64 = made.quote.range[1].to_string().parse().unwrap();
        let rate = if made.quote.prices.is_some() {
            7.25
        } else {
            1.0
        };
        assert!(likely > found * rate - 1.0, "{likely}");
    }
}

/// `12345` as people write it: `12,345`; said here anew, so that the program's own way is held against another.
fn parted(digits: &str) -> String {
    let groups: Vec<String> = digits
        .as_bytes()
        .rchunks(3)
        .map(|it| String::from_utf8_lossy(it).into_owned())
        .collect();
    groups.into_iter().rev().collect::<Vec<_>>().join(",")
}

/// Page, text and file show the same amounts, and how sure each number is.
fn same_amounts(case: &str, made: &Quoted) {
    let has_prices = made.quote.prices.is_some();
    let documents = made.documents(None).unwrap_or_else(|it| panic!("{it}"));
    let page = String::from_utf8_lossy(&documents.files["quote.svg"]).into_owned();
    let text = quote_text(&made.quote);
    let file: serde_json::Value = serde_json::from_slice(&documents.files["quote.json"]).unwrap();
    // Whole in the file, and the same digits on page and in text: nothing rounds after it.
    let said = |value: &serde_json::Value| {
        let digits = value.as_str().unwrap().trim_start_matches('-').to_owned();
        assert!(
            digits.bytes().all(|it| it.is_ascii_digit()),
            "{case}: {digits}"
        );
        if has_prices {
            format!("${}", parted(&digits))
        } else {
            format!("{} sq ft", parted(&digits))
        }
    };
    let both = |words: &str| {
        assert!(
            page.contains(&format!(">{words}<")),
            "{case}: page: {words}"
        );
        assert!(text.contains(words), "{case}: text: {words}");
    };
    for name in ["low", "likely", "high"] {
        both(&said(&file[name]));
    }
    let lines = file["lines"].as_array().unwrap();
    assert!(lines.len() < 26, "{case}: the page cuts its table off");
    let rows: Vec<&str> = text.lines().collect();
    for (line, row) in lines.iter().zip(rows) {
        let sure = line["sure"].as_str().unwrap();
        assert!(
            row.starts_with(line["item"].as_str().unwrap()),
            "{case}: {row}"
        );
        assert!(row.ends_with(sure), "{case}: {row}");
        if !line["amount"].is_null() {
            assert!(row.contains(&said(&line["amount"])), "{case}: {row}");
            both(&said(&line["amount"]));
        }
    }
    for sure in ["counted", "on assumed figures", "question open", "by rate"] {
        let n = lines.iter().filter(|it| it["sure"] == sure).count();
        assert_eq!(
            page.matches(&format!(">{sure}<")).count(),
            n,
            "{case}: {sure}"
        );
    }
    for it in file["assumed"].as_array().unwrap() {
        for (side, sign) in [("low", '−'), ("high", '+')] {
            if it[side] != "0" {
                both(&format!("{sign}{}", said(&it[side])));
            }
        }
    }
    for it in file["assemblies"].as_array().unwrap() {
        both(&parted(it["sq_ft"].as_str().unwrap()));
        if !it["likely"].is_null() {
            both(&said(&it["likely"]));
        }
    }
}
