//! Wrong input to an estimate: one message that says where, what and what to do; nothing quoted that was not meant.

use crate::kit::sample_file;
use panelwright::documents::quote_text;
use panelwright::package::{InputFile, MakeOptions};
use panelwright::quote::{QuoteOptions, quote};

/// What an estimate of the napkin says when it refuses.
fn refusal(options: &QuoteOptions) -> String {
    match quote(&[sample_file("napkin", "sketch.toml")], options) {
        Ok(made) => panic!("quoted: {:?} of {options:?}", made.quote.range),
        Err(error) => error.to_string(),
    }
}

fn text_file(name: &str, text: &str) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    }
}

#[test]
fn an_option_that_cannot_be_taken_is_named_with_what_would_be_right() {
    let given = |text: &str| Some(text.to_owned());
    let none = QuoteOptions::default;
    for (options, words) in [
        (
            QuoteOptions {
                wall_height: given("tall"),
                ..none()
            },
            ["--wall-height tall: ", "12'-6 1/2\""],
        ),
        // Inches, as everywhere; so few were meant as feet.
        (
            QuoteOptions {
                wall_height: given("9"),
                ..none()
            },
            ["--wall-height 9: ", "write \"9'\" for feet"],
        ),
        (
            QuoteOptions {
                door_height: given("6.75"),
                ..none()
            },
            ["--door-height 6.75: ", "write \"6.75'\" for feet"],
        ),
        (
            QuoteOptions {
                window_height: given("-3\""),
                ..none()
            },
            ["--window-height -3\": ", "must lie between"],
        ),
        (
            QuoteOptions {
                window_head: given(""),
                ..none()
            },
            ["--window-head ", "it is empty"],
        ),
        (
            QuoteOptions {
                header: given("a beam"),
                ..none()
            },
            ["--header a beam: ", "leave the option out"],
        ),
        (
            QuoteOptions {
                assemblies: vec!["6-1/3".to_owned()],
                ..none()
            },
            ["--assembly 6-1/3: ", "did you mean '6-1/2'?"],
        ),
        (
            QuoteOptions {
                assemblies: vec!["6-1/2".to_owned(), "straw bale".to_owned()],
                ..none()
            },
            ["--assembly straw bale: ", "take one of 4-1/2, 6-1/2"],
        ),
    ] {
        let said = refusal(&options);
        for words in words {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
        assert_eq!(said.lines().count(), 1, "{said}");
        assert!(!said.contains("delete the line"), "{said}");
    }
    // With its unit the same figure is taken: a sill wall may be as low as that.
    let low = QuoteOptions {
        wall_height: given("9\""),
        ..none()
    };
    quote(&[sample_file("napkin", "sketch.toml")], &low).unwrap();
}

#[test]
fn a_broken_price_book_job_or_rules_file_is_refused_with_its_line() {
    let book = |text: &str| {
        let text = format!("name = 'x'\ncurrency = '$'\n{text}\n[panels]\n'6-1/2' = '7.25'\n");
        QuoteOptions {
            prices: Some(text_file("book.toml", &text)),
            ..QuoteOptions::default()
        }
    };
    let dated = |text: &str| book(&format!("date = '2026-01-01'\n{text}"));
    let made_by = |make| QuoteOptions {
        make,
        ..QuoteOptions::default()
    };
    let unknown = "wallheight = 8";
    for (options, words) in [
        (book(""), ["book.toml:1: ", "has no 'date'"]),
        (book("date = 'soon'"), ["book.toml:3: ", "write YYYY-MM-DD"]),
        (
            dated("[materials]\nscrew = 0.25"),
            ["book.toml:5: ", "an amount in quotes"],
        ),
        (
            dated("[materials]\nscrew = '-1'"),
            ["book.toml:5: ", "lies outside 0 to"],
        ),
        (
            dated("[material]\nscrew = '1'"),
            ["book.toml:4: ", "did you mean 'materials'?"],
        ),
        (
            dated("[range]\nprices = '900'"),
            ["book.toml:5: ", "write 0 to 100"],
        ),
        (
            made_by(MakeOptions {
                job: Some(text_file("job.toml", unknown)),
                ..MakeOptions::default()
            }),
            ["job.toml:1: ", "there is no key 'wallheight'"],
        ),
        (
            made_by(MakeOptions {
                rules: Some(text_file("plant.toml", unknown)),
                ..MakeOptions::default()
            }),
            ["plant.toml:1: ", "there is no key 'wallheight'"],
        ),
    ] {
        let said = refusal(&options);
        for words in words {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
    }
}

#[test]
fn an_assembly_of_the_job_that_the_plant_does_not_make_never_stands_on_a_quote() {
    let options = QuoteOptions {
        make: MakeOptions {
            job: Some(text_file("job.toml", "assembly = 'straw'")),
            ..MakeOptions::default()
        },
        ..QuoteOptions::default()
    };
    let made = quote(&[sample_file("napkin", "sketch.toml")], &options).unwrap();
    assert_eq!(made.quote.assembly, "6-1/2");
    let choices = made.quote.choices.iter().map(|it| it.assembly.as_str());
    assert!(choices.clone().all(|it| it != "straw"), "{:?}", made.quote);
    let mut said = made.quote.questions.iter().map(|it| it.words());
    assert!(said.any(|it| it.contains("makes no assembly 'straw'")));
}

#[test]
fn what_has_no_price_is_said_on_page_and_in_text() {
    let book = "name = 'x'\ndate = '2026-01-01'\ncurrency = '$'\n[panels]\n'6-1/2' = '7.25'\n";
    let options = QuoteOptions {
        prices: Some(text_file("book.toml", book)),
        ..QuoteOptions::default()
    };
    let made = quote(&[sample_file("napkin", "sketch.toml")], &options).unwrap();
    let left_out = &made.quote.without_price;
    assert!(left_out.len() > 5, "{left_out:?}");
    let text = quote_text(&made.quote);
    assert!(text.contains("NOT IN THE SUM"), "{text}");
    assert!(left_out.iter().all(|it| text.matches(it).count() >= 2));
    let documents = made.documents(None).unwrap();
    let page = String::from_utf8_lossy(&documents.files["quote.svg"]).into_owned();
    assert_eq!(page.matches(">no price<").count(), left_out.len());
    let n = left_out.len();
    assert!(page.contains(&format!("{n} ITEMS HAVE NO PRICE: NOT IN THE SUM")));
}

#[test]
fn what_is_stated_and_changes_nothing_is_told_and_moves_no_price() {
    let book = std::fs::read_to_string(crate::kit::root().join("sample-drawings/prices.toml"));
    let book = book.unwrap();
    let named = |text: &str| text_file("prices.toml", text);
    let plain = QuoteOptions {
        prices: Some(named(&book)),
        ..QuoteOptions::default()
    };
    let level = QuoteOptions {
        window_head: Some("7'".to_owned()),
        ..plain.clone()
    };
    let of =
        |options: &QuoteOptions| quote(&[sample_file("napkin", "sketch.toml")], options).unwrap();
    let before = of(&level);
    assert_eq!(before.quote.idle, Vec::<String>::new());
    // Tags of the sketch state the heights of its windows, 4030 and 3030, and the door's, 3068; heads are stated.
    let more = QuoteOptions {
        window_height: Some("5'".to_owned()),
        door_height: Some("7'".to_owned()),
        prices: Some(named(
            &book.replace("[panels]", "[panels]\n'7-1/2' = '5.00'"),
        )),
        ..level
    };
    let after = of(&more);
    assert_eq!(after.quote.range, before.quote.range);
    let text = quote_text(&after.quote);
    for words in ["--window-height", "--door-height", "panels '7-1/2'"] {
        let told = after.quote.idle.iter().filter(|it| it.contains(words));
        assert_eq!(told.count(), 1, "{words}: {:?}", after.quote.idle);
        assert!(text.contains(words), "{words}");
    }
    let told = after
        .findings
        .iter()
        .filter(|it| it.code.name() == "EST-02");
    assert_eq!(told.count(), 3);
    // Where no head is stated windows hang level with doors; a header carries over them all.
    let taken = QuoteOptions {
        door_height: Some("7'".to_owned()),
        header: Some("2-2x10".to_owned()),
        miles: Some(20),
        ..plain
    };
    assert_eq!(of(&taken).quote.idle, Vec::<String>::new());
    // Without prices nobody is paid by the mile; one load is no loads.
    let lone = QuoteOptions {
        miles: Some(20),
        ..QuoteOptions::default()
    };
    let lone = of(&lone).quote;
    assert_eq!(lone.idle.len(), 1, "{:?}", lone.idle);
    let text = quote_text(&lone);
    let loads = text
        .lines()
        .find(|it| it.starts_with("truck loads"))
        .unwrap();
    assert!(loads.contains(" 1 load "), "{loads}");
}
