//! The page's answers: taken in as a file, kept beside the drafter's, and proposed as the job would say them.

use crate::marks::{Files, file, package, read};
use panelwright::rules::read_job;
use serde_json::Value;

/// The question of a code as the page saves it, with an answer.
fn question(files: &Files, code: &str, answer: &str) -> String {
    let findings: Value = serde_json::from_slice(&files["findings.json"]).unwrap();
    let asked = findings.as_array().unwrap().iter();
    let asked = asked
        .filter(|it| it["code"] == code)
        .map(|it| &it["message"]);
    let asked = asked.map(|it| it.as_str().unwrap()).next().unwrap();
    let seen = format!("{}{}.", asked[..1].to_uppercase(), &asked[1..]);
    let quoted = |words: &str| serde_json::to_string(words).unwrap();
    format!(
        "\n[[question]]\nnumber = \"4\"\ncode = \"{code}\"\nabout = \"sketch.toml\"\nasked = {}\nanswer = {}\n",
        quoted(&seen),
        quoted(answer)
    )
}

fn head(files: &Files) -> String {
    let manifest: Value = serde_json::from_slice(&files["manifest.json"]).unwrap();
    format!("package = {}\nrevision = \"0\"\n", manifest["package"])
}

/// What is proposed after the page's file was read.
fn proposed(files: &Files, answers: String) -> String {
    let read = read(files, &[file("answers.toml", answers)]).output;
    assert_eq!((read.n_refused, read.n_answers), (0, 1));
    String::from_utf8(read.files["review/proposed.toml"].clone()).unwrap()
}

#[test]
fn an_answer_about_heads_is_proposed_for_every_opening_it_was_asked_about() {
    let files = package();
    let all = head(&files) + &question(&files, "BLDG-10", "All heads 80\"");
    let text = proposed(&files, all);
    let job = read_job(&text, "proposed.toml").unwrap().output;
    assert_eq!(job.openings.len(), 2, "{text}");
    for id in ["O2", "O3"] {
        let table = format!("[[opening]]\nid = \"{id}\" ");
        assert!(text.contains(&table), "{text}");
    }
    assert_eq!(text.matches("\nhead = \"80\\\"\"\n").count(), 2, "{text}");
    assert!(
        text.contains("# Question 4 (BLDG-10 sketch.toml): "),
        "{text}"
    );
    // Without "all", of two openings, and in other words: a form, and nothing that a copy would put in force.
    for answer in ["head 80\"", "ask the owner", "all doors 80\" high"] {
        let text = proposed(&files, head(&files) + &question(&files, "BLDG-10", answer));
        let job = read_job(&text, "proposed.toml").unwrap().output;
        assert!(
            job.openings.is_empty() && job.corrections.list.is_empty(),
            "{text}"
        );
        assert!(text.contains(&format!("#   answer: {answer}\n")), "{text}");
        assert!(text.contains("\n# [[opening]]\n# id = \"O3\" "), "{text}");
    }
}

#[test]
fn the_answers_of_the_page_are_kept_beside_those_of_the_drafter_once() {
    let mut files = package();
    let own = "# mine\n[[answer]]\nmark = \"M9\"";
    files.insert("review/answers.toml".to_owned(), own.into());
    let came = head(&files) + &question(&files, "BLDG-10", "All heads 80\"");
    let page = || file("answers.toml", came.clone());
    let first = read(&files, &[page(), page()]).output;
    assert_eq!(first.n_answers, 1);
    files.extend(first.files);
    let kept = String::from_utf8(files["review/answers.toml"].clone()).unwrap();
    assert!(kept.starts_with(own), "{kept}");
    let again = read(&files, &[page()]).output;
    assert_eq!(again.n_answers, 0);
    assert!(!again.files.contains_key("review/answers.toml"));
    let alone = read(&files, &[]).output;
    let text = |it: &Files| it["review/proposed.toml"].clone();
    assert_eq!(text(&alone.files), text(&files));
    assert_eq!(text(&again.files), text(&files));
}

#[test]
fn a_later_answer_replaces_an_earlier_one_that_is_listed() {
    let files = package();
    let at = |answer: &str, time: &str| {
        let asked = question(&files, "BLDG-10", answer);
        let time = Some(time).filter(|it| !it.is_empty());
        let time = time.map_or_else(String::new, |it| format!("time = \"{it}\"\n"));
        file("answers.toml", head(&files) + &asked + &time)
    };
    let (monday, friday) = ("2026-11-23T09:00:00Z", "2026-11-27T09:00:00Z");
    for (first, second, holds) in [
        (("All heads 80\"", monday), ("All heads 84\"", friday), "84"),
        (("All heads 80\"", friday), ("All heads 84\"", monday), "80"),
        (("All heads 80\"", ""), ("All heads 84\"", ""), "84"),
    ] {
        let read = read(&files, &[at(first.0, first.1), at(second.0, second.1)]);
        let text = String::from_utf8(read.output.files["review/proposed.toml"].clone()).unwrap();
        let heads = text.matches("\nhead = ").count();
        let held = format!("\nhead = \"{holds}\\\"\"\n");
        assert_eq!((heads, text.matches(&held).count()), (2, 2), "{text}");
        assert_eq!(
            text.matches("\n#   replaced: All heads 8").count(),
            1,
            "{text}"
        );
        assert_eq!(crate::marks::codes(&read.findings), ["REV-26"]);
        let kept = String::from_utf8(read.output.files["review/answers.toml"].clone()).unwrap();
        assert_eq!(kept.matches("[[question]]").count(), 2, "{kept}");
    }
}

#[test]
fn a_file_that_is_not_the_pages_is_refused_and_says_why() {
    let files = package();
    let asked = question(&files, "BLDG-10", "All heads 80\"");
    for (text, why) in [
        (
            format!("package = \"0123456789ab\"\n{asked}"),
            "which this is not",
        ),
        (
            "[[answer]]\nmark = \"M1\"\n".to_owned(),
            "review/answers.toml of the package",
        ),
        ("[wall]\nheight = 96\n".to_owned(), "from the page again"),
        (head(&files), "answer boxes"),
    ] {
        let refused = read(&files, &[file("answers.toml", text)]);
        assert_eq!(refused.output.n_refused, 1);
        assert!(!refused.output.files.contains_key("review/answers.toml"));
        let told = &refused.findings[0];
        assert_eq!(told.code.name(), "REV-07");
        let words = format!("{}; {}", told.message, told.hint);
        assert!(words.contains(why), "{words}");
    }
}
