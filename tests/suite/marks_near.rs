//! Marks on key plans stand before their panels, or have a leader that an eye can follow.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::page::extent;
use panelwright::documents::paper::{Area, Form, Group, Item, Sheet, Spot};
use panelwright::package::{InputFile, Made, MakeOptions, make};

/// Farther from its panel than this no mark stands without a leader, mm.
const BEFORE: f64 = 6.0;
/// Farther than this no mark of a panel stands on a sheet with room.
const WITH_LEADER: f64 = 25.0;

/// A house with a porch and a bay: short walls beside each other that want the same white paper for their marks.
const JOGS: &str = r#"
name = "Jogs"
thickness = "6 1/2\""
run = [
    "a: E 13'-10\"", "b: S 2'", "c: E 12'-6\"", "d: N 2'", "e: E 2'-4\"", "f: N 4'-3 1/2\"", "g: E 7'-2\"", "h: S 21'-3 1/2\"",
    "i: E 22'-2\"", "j: N 47'", "k: W 58'", "l: close",
]

[[opening]]
wall = "g"
kind = "door"
from = "3'-6\""
size = "3068"
"#;

fn groups<'a>(group: &'a Group, start: &str, found: &mut Vec<&'a Group>) {
    for item in &group.items {
        if let Item::Group(inner) = item {
            if inner.id.starts_with(start) {
                found.push(inner);
            }
            groups(inner, start, found);
        }
    }
}

fn all<'a>(sheet: &'a Sheet, start: &str) -> Vec<&'a Group> {
    let mut found = Vec::new();
    for layer in &sheet.layers {
        groups(layer, start, &mut found);
    }
    found
}

/// Between two boxes, mm.
fn apart(a: &Area, b: &Area) -> f64 {
    let gap = |low: f64, high: f64| f64::max(low, high).max(0.0);
    gap(a.x0 - b.x1, b.x0 - a.x1).hypot(gap(a.y0 - b.y1, b.y0 - a.y1))
}

/// What a mark takes on paper without its leader, and whether it has one.
fn label(mark: &Group) -> (Area, bool) {
    let is_leader =
        |item: &Item| matches!(item, Item::Shape(it) if matches!(it.form, Form::Line(..)));
    let mut own = mark.clone();
    own.items.retain(|item| !is_leader(item));
    (extent(&own).unwrap(), own.items.len() < mark.items.len())
}

#[test]
fn every_mark_stands_before_its_panel_or_has_a_short_leader() {
    let sketch = InputFile {
        name: "jogs.toml".to_owned(),
        bytes: JOGS.as_bytes().to_vec(),
    };
    let jogs = make(&[sketch], &MakeOptions::default(), &mut |_| {}).unwrap();
    let samples = SAMPLES
        .iter()
        .map(|(case, plan)| (*case, sample_package(case, plan)));
    let (mut n_marks, mut wrong) = (0, Vec::new());
    for (case, made) in samples.chain([("jogs", jogs)]) {
        for it in made.sheets.iter().filter(|it| it.path.contains("key-plan")) {
            let panels = all(&it.sheet, "panel-");
            for mark in all(&it.sheet, "mark-") {
                let name = mark.id.trim_start_matches("mark-");
                // Headers and sills stand in openings and have no body of their own.
                let own = panels.iter().find(|it| it.id == format!("panel-{name}"));
                let Some(body) = own.and_then(|it| extent(it)) else {
                    continue;
                };
                n_marks += 1;
                let (area, has_leader) = label(mark);
                let away = apart(&area, &body);
                let most = if has_leader { WITH_LEADER } else { BEFORE };
                if away > most {
                    wrong.push(format!("{case} {name}: {away:.1} mm, leader {has_leader}"));
                }
            }
        }
    }
    assert!(n_marks > 100, "{n_marks}");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The leader of a mark, where it has one.
fn leader(mark: &Group) -> Option<[Spot; 2]> {
    mark.items.iter().find_map(|item| match item {
        Item::Shape(it) => match it.form {
            Form::Line(from, to) => Some([from, to]),
            _ => None,
        },
        Item::Group(_) | Item::Text(_) => None,
    })
}

fn cross([a, b]: &[Spot; 2], [c, d]: &[Spot; 2]) -> bool {
    let side = |p: &Spot, q: &Spot, r: &Spot| {
        ((q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)).signum()
    };
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// A long house with forty windows in one wall.
fn forty_windows(rules: &str) -> Made {
    let mut text = "name = \"Long\"\nthickness = \"6 1/2\\\"\"\n\
                    run = [\"south: E 160'\", \"east: N 16'\", \"north: W 160'\", \"west: close\"]\n"
        .to_owned();
    for i in 0..40 {
        let window = format!(
            "[[opening]]\nwall = \"south\"\nkind = \"window\"\nfrom = \"{}'\"\nsize = \"2030\"\n",
            1 + 4 * i
        );
        text.push_str(&window);
    }
    let file = |name: &str, text: &str| InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let options = MakeOptions {
        rules: Some(file("plant.toml", rules)),
        ..MakeOptions::default()
    };
    make(&[file("long.toml", &text)], &options, &mut |_| {}).unwrap()
}

/// Forty windows in one wall, on paper on which no mark is as narrow as its panel: fifty-four pairs of leaders crossed each other.
#[test]
fn leaders_of_a_crowded_plan_hardly_cross() {
    let made = forty_windows("[sheets]\nplans = \"ANSI B\"\n");
    for it in &made.sheets {
        assert_eq!(overlaps(&it.sheet), [], "{}", it.path);
    }
    let plan = made.sheets.iter().find(|it| it.path.contains("key-plan"));
    let plan = &plan.unwrap().sheet;
    let leaders: Vec<[Spot; 2]> = all(plan, "mark-").into_iter().filter_map(leader).collect();
    let pairs = leaders.iter().enumerate();
    let crossing = pairs.flat_map(|(n, a)| leaders[..n].iter().filter(|b| cross(a, b)));
    let crossing = crossing.count();
    assert!(leaders.len() > 10, "{}", leaders.len());
    assert!(crossing <= 4, "{crossing} of {}", leaders.len());
}

/// The notes of an elevation ran over its title block: they hold what eighty pieces of its strings had no room to print.
#[test]
fn forty_windows_in_a_wall_leave_their_elevations_clear() {
    let made = forty_windows("[sheets]\nplans = \"ARCH C\"\n");
    for it in &made.sheets {
        assert_eq!(overlaps(&it.sheet), [], "{}", it.path);
    }
}
