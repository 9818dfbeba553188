//! Two issues side by side, as a foreman reads them: one judgement everywhere, each reason named, what is alike told once.

use crate::kit::{sample_file, sheet_words};
use crate::revisions::{Files, LONGER, MOVED_WINDOW, shelter};
use panelwright::documents::PdfFiles;
use panelwright::documents::paper::scale::ARCHITECT;
use panelwright::documents::paper::{Form, Item, Spot, overlaps, to_svg};
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::review::{Comparison, Verdict, compare_packages, overlay_sheets, part_fates};

const SHEET: &str = "sheets/Z-091-revised-panels.svg";

/// The cottage, its job edited, under plant rules or the shipped ones.
fn cottage(edit: (&str, &str), rules: Option<&str>, earlier: Option<&Files>) -> Made {
    let mut job = sample_file("cottage", "job.toml");
    job.bytes = job.text().replace(edit.0, edit.1).into_bytes();
    let options = MakeOptions {
        job: Some(job),
        rules: rules.map(|text| InputFile {
            name: "plant.toml".to_owned(),
            bytes: text.as_bytes().to_vec(),
        }),
        earlier: earlier.cloned(),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[sample_file("cottage", "plan.dxf")], &options, &mut |_| {}).unwrap()
}

const GAP: &str = "[joints]\ngap = \"3/16\"\n";

/// The cottage and its second issue with a wider gap between panels.
fn with_another_gap() -> (Comparison, Made) {
    let first = cottage(("", ""), None, None).documents.files;
    let second = cottage(("", ""), Some(GAP), Some(&first));
    (
        compare_packages(&first, &second.documents.files).unwrap(),
        second,
    )
}

/// Skins and core of every panel go the way that the table says of the panel.
#[track_caller]
fn parts_go_with_their_panels(compared: &Comparison) {
    const FACES: [&str; 3] = ["outer skin", "inner skin", "core"];
    let parts = part_fates(compared);
    for (row, verdict) in compared.rows() {
        let plain = |i: usize| {
            let mark = compared.marks(row)[i].clone();
            mark.split('-').next().unwrap_or_default().to_owned()
        };
        let (old, new) = (plain(0), plain(1));
        for face in FACES {
            let own = parts.iter().filter(|it| {
                it.stuff == face
                    && (!old.is_empty() && it.old == old || !new.is_empty() && it.new == new)
            });
            let mut what: Vec<&str> = own.map(|it| it.what).collect();
            what.sort_unstable();
            let is_right = match verdict {
                Verdict::Keep | Verdict::NewSheet => what.is_empty(),
                Verdict::Refit => what == ["reuse"],
                Verdict::Recut { .. } => what == ["recut"] || what == ["reuse"],
                Verdict::Scrap { .. } => what == ["cut new", "scrap"],
                Verdict::CutNew => what == ["cut new"],
                Verdict::Retire => what == ["scrap"],
            };
            assert!(is_right, "{old} {new} {face}: {what:?}, {verdict:?}");
        }
    }
}

#[test]
fn skins_and_core_go_the_way_of_their_panel() {
    let (compared, _) = with_another_gap();
    let count =
        |is_it: fn(&Verdict) -> bool| compared.verdicts.iter().filter(|it| is_it(it)).count();
    assert!(count(|it| matches!(it, Verdict::Recut { .. })) > 4);
    assert!(count(|it| matches!(it, Verdict::Refit)) > 0);
    parts_go_with_their_panels(&compared);
    let first = shelter(&[], "", None).documents.files;
    for edits in [vec![MOVED_WINDOW], LONGER.to_vec()] {
        let second = shelter(&edits, "", Some(&first)).documents.files;
        parts_go_with_their_panels(&compare_packages(&first, &second).unwrap());
        parts_go_with_their_panels(&compare_packages(&second, &first).unwrap());
    }
}

#[test]
fn a_panel_that_cannot_be_recut_says_what_grows_or_moves() {
    let first = shelter(&[], "", None).documents.files;
    let told = |edits: &[(&str, &str)]| {
        let second = shelter(edits, "", Some(&first)).documents.files;
        compare_packages(&first, &second).unwrap().text()
    };
    let moved = told(&[MOVED_WINDOW]);
    assert!(moved.contains("opening O2 6\" farther right"), "{moved}");
    for line in told(&LONGER).lines().filter(|it| it.contains("scrap: it")) {
        assert!(line.contains("before ("), "{line}");
    }
    let higher = cottage(("", ""), None, None).documents.files;
    let second = cottage(("8'-0", "8'-6"), None, Some(&higher));
    let compared = compare_packages(&higher, &second.documents.files).unwrap();
    let text = compared.text();
    assert!(text.contains("higher by 6\""), "{text}");
    for (_, verdict) in compared.rows() {
        assert!(matches!(verdict, Verdict::Scrap { hindrances, .. } if !hindrances.is_empty()));
    }
}

#[test]
fn what_is_alike_is_told_once_and_no_line_is_long() {
    let first = shelter(&[], "", None).documents.files;
    let second = shelter(&LONGER, "", Some(&first));
    let compared = compare_packages(&first, &second.documents.files).unwrap();
    let text = compared.text();
    assert!(text.lines().all(|it| it.chars().count() <= 110), "{text}");
    // Of all panels that have nothing else to tell.
    let alone = "replace its sheet\n    another key plan";
    assert_eq!(text.matches(alone).count(), 1, "{text}");
    let sheet = sheet_words(&second, SHEET);
    let alone = "cut as before another key plan";
    assert_eq!(sheet.matches(alone).count(), 1, "{sheet}");
    assert!(
        sheet.contains("longer at its"),
        "why the plan is another: {sheet}"
    );
    assert!(!sheet.contains("not as it was: sketch.toml"), "{sheet}");
}

#[test]
fn new_rules_are_told_by_the_keys_they_set_otherwise() {
    let (compared, second) = with_another_gap();
    let told = "in plant.toml, which is new, joints.gap is \"3/16\" and was \"1/8\" by default";
    assert_eq!(compared.inputs, [told]);
    let sheet = sheet_words(&second, SHEET);
    // A foreman reads no keys, and each cause once.
    let plain = "gap between skins at a joint: 3/16\", was 1/8\"";
    assert_eq!(sheet.matches(plain).count(), 1, "{sheet}");
    for key in ["joints.gap", "plant.toml", "not as it was"] {
        assert!(!sheet.contains(key), "{key}: {sheet}");
    }
}

#[test]
fn an_overlay_says_whose_it_is_and_is_drawn_at_a_scale_that_a_rule_has() {
    let (compared, _) = with_another_gap();
    for sheet in overlay_sheets(&compared) {
        let svg = String::from_utf8(to_svg(&sheet)).unwrap();
        let ratio: f64 = sheet.data[0].1.trim_start_matches("1:").parse().unwrap();
        let scale = ARCHITECT
            .iter()
            .find(|it| (it.ratio - ratio).abs() < 1e-9)
            .unwrap();
        for words in ["J-2608", scale.name] {
            let shown = words.replace('"', "&quot;");
            assert!(svg.contains(words) || svg.contains(&shown), "{words}");
        }
        // A panel measures what the scale says, as it is and as it was.
        let all = compared.new.panels.iter().chain(&compared.old.panels);
        let widths: Vec<f64> = all.map(|it| it.width * scale.per_inch()).collect();
        let drawn = polygons(&sheet.layers[0].items);
        let is_to_scale = |it: &f64| widths.iter().any(|width| (it - width).abs() < 1e-6);
        assert!(drawn.iter().any(is_to_scale), "{}: {drawn:?}", sheet.number);
    }
}

/// The length of the first side of every polygon.
fn polygons(items: &[Item]) -> Vec<f64> {
    let side = |points: &[Spot]| (points[1].x - points[0].x).hypot(points[1].y - points[0].y);
    let of = |item: &Item| match item {
        Item::Group(group) => polygons(&group.items),
        Item::Shape(shape) => match &shape.form {
            Form::Polygon(points) if points.len() > 3 => vec![side(points)],
            _ => Vec::new(),
        },
        Item::Text(_) => Vec::new(),
    };
    items.iter().flat_map(of).collect()
}

/// Where two walls meet at an inner corner, what is said of their panels stands side by side.
#[test]
fn names_on_the_overlay_stand_clear_of_each_other() {
    let (compared, _) = with_another_gap();
    for sheet in overlay_sheets(&compared) {
        assert_eq!(overlaps(&sheet), [], "{}", sheet.name);
    }
}

#[test]
fn a_changed_panel_that_is_cut_says_so_on_the_sheet_of_changes() {
    let first = shelter(&[], "", None).documents.files;
    let all: String = (101..=111)
        .map(|n| format!("\n[[panel]]\nmark = \"W{n}\"\nstatus = \"cut\"\n"))
        .collect();
    let second = shelter(&[MOVED_WINDOW], &all, Some(&first));
    let sheet = sheet_words(&second, SHEET);
    assert!(
        sheet.contains("on HOLD: it is cut already [REV-02]"),
        "{sheet}"
    );
    let fault = second.findings.iter().find(|it| it.code.name() == "REV-02");
    let hint = &fault.unwrap().hint;
    assert!(
        hint.contains("cannot be recut (opening O2 6\" farther right)"),
        "{hint}"
    );
}
