//! The boxes of carried marks stand on nothing, by their marks or with a leader, and say what had no place.

use crate::hostile_sheets::clear;
use crate::kit::sample_file;
use crate::marks::{Files, PAGE, SHEET, file, package, read, sheet, with};
use panelwright::documents::paper::page::extent;
use panelwright::documents::paper::{Area, Form, Group, Item, Sheet};
use panelwright::package::{MakeOptions, make};

/// Farther from its mark than this no box stands without a leader, mm.
const NEAR: f64 = 4.0;

/// The shelter's next issue, with marks on one sheet and a line more in its job.
fn next(marks: &str, job_more: &str) -> (Sheet, Files) {
    let mut files = package();
    let one = file("one.svg", with(&sheet(&files, SHEET), marks));
    files.extend(read(&files, &[one]).output.files);
    let mut job = sample_file("napkin", "job.toml");
    job.bytes.extend_from_slice(job_more.as_bytes());
    let options = MakeOptions {
        job: Some(job),
        earlier: Some(files),
        ..MakeOptions::default()
    };
    let sketch = sample_file("napkin", "sketch.toml");
    let made = make(&[sketch], &options, &mut |_| {}).unwrap();
    let mut shown = made.sheets.iter().filter(|it| it.path == SHEET);
    let shown = shown.next().unwrap().sheet.clone();
    (shown, made.documents.files)
}

fn carried(sheet: &Sheet) -> Vec<&Group> {
    let layer = sheet.layers.iter().find(|it| it.id == "carried-marks");
    let items = layer.unwrap().items.iter();
    items
        .filter_map(|it| match it {
            Item::Group(group) => Some(group),
            Item::Shape(_) | Item::Text(_) => None,
        })
        .collect()
}

/// The sheet less what the reviewer drew: boxes, leaders and words that stay are left.
fn without_strokes(sheet: &Sheet) -> Sheet {
    let mut sheet = sheet.clone();
    for layer in sheet
        .layers
        .iter_mut()
        .filter(|it| it.id == "carried-marks")
    {
        for item in &mut layer.items {
            if let Item::Group(group) = item {
                group.items.retain(|it| !matches!(it, Item::Shape(_)));
            }
        }
    }
    sheet
}

fn apart(a: &Area, b: &Area) -> f64 {
    let gap = |low: f64, high: f64| f64::max(low, high).max(0.0);
    gap(a.x0 - b.x1, b.x0 - a.x1).hypot(gap(a.y0 - b.y1, b.y0 - a.y1))
}

fn words(group: &Group) -> Vec<&str> {
    let items = group.items.iter();
    items
        .flat_map(|it| match it {
            Item::Text(text) => vec![text.words.as_str()],
            Item::Group(inner) => words(inner),
            Item::Shape(_) => Vec::new(),
        })
        .collect()
}

/// Every mark with a box that is clear, by it or with a leader.
#[track_caller]
fn check(sheet: &Sheet, n_marks: usize) {
    let marks = carried(sheet);
    assert_eq!(marks.len(), n_marks);
    for mark in marks {
        let (own, mut inner): (Vec<Item>, Vec<Item>) =
            (mark.items.iter().cloned()).partition(|it| !matches!(it, Item::Group(_)));
        let Some(Item::Group(tag)) = inner.pop() else {
            panic!("{} has no box", mark.id);
        };
        let is_leader =
            |it: &Item| matches!(it, Item::Shape(it) if matches!(it.form, Form::Line(..)));
        let drawn = Group {
            items: own,
            ..Group::default()
        };
        let gap = extent(&drawn).map_or(0.0, |it| apart(&it, &extent(&tag).unwrap()));
        assert!(
            gap < NEAR || tag.items.iter().any(is_leader),
            "{} stands {gap} mm from its mark",
            mark.id
        );
    }
    clear("carried", [without_strokes(sheet)]);
}

#[test]
fn boxes_of_carried_marks_stand_on_nothing_and_by_their_marks() {
    let (sheet, _) = next(PAGE, "");
    check(&sheet, 4);
}

#[test]
fn a_long_remark_over_the_drawing_gives_its_first_words_and_the_review_sheet() {
    let said =
        "Is this the right window? ".to_owned() + &"It stands too far to the left. ".repeat(12);
    let lines: String = (0..9)
        .map(|n| format!("<tspan x=\"90\" y=\"{}\">{said}</tspan>", 110 + 7 * n))
        .collect();
    let remark = format!(
        "<g id=\"review\"><g data-mark=\"cloud\"><path d=\"M90 85L160 85L160 105L90 105Z\"/><text font-size=\"4.2\">{lines}</text></g></g>"
    );
    let (next_sheet, files) = next(&remark, "");
    check(&next_sheet, 1);
    let marks = carried(&next_sheet);
    let shown = words(marks.first().unwrap());
    assert_eq!(shown.first(), Some(&"M1 OPEN"), "{shown:?}");
    assert_eq!(shown.last(), Some(&"see Z-092"), "{shown:?}");
    assert_eq!(
        shown[1..shown.len() - 1].join(" "),
        "Is this the right window? It stands too…"
    );
    let review = sheet(&files, "sheets/Z-092-review.svg");
    assert!(review.contains("M1"));
}

#[test]
fn a_size_that_the_job_took_over_is_struck_no_more() {
    let (before, _) = next(PAGE, "");
    let (after, files) = next(
        PAGE,
        "\n[[opening]]\nid = \"O3\"\nrough_width = \"40\\\"\"\n",
    );
    let of = |sheet: &Sheet, id: &str| carried(sheet).into_iter().find(|it| it.id == id).cloned();
    let n_strokes = |group: &Group| {
        let items = group.items.iter();
        items.filter(|it| matches!(it, Item::Shape(_))).count()
    };
    let dimension = carried(&before)
        .into_iter()
        .find(|it| it.title.contains("40"))
        .unwrap()
        .clone();
    assert!(n_strokes(&dimension) > 0);
    let now = of(&after, &dimension.id).unwrap();
    assert_eq!(n_strokes(&now), 0);
    assert!(words(&now).iter().any(|it| it.ends_with("TAKEN OVER")));
    check(&after, 4);
    let review = sheet(&files, "sheets/Z-092-review.svg");
    assert!(review.contains(">TAKEN OVER<"));
}
