//! What goes to the architect and comes back: plain words, openings that can be pointed at, jambs that move when they are asked to.

use crate::kit::{SAMPLES, make_sample_under, make_sample_with, sample_file, sample_package};
use panelwright::building::Building;
use panelwright::documents::paper::page::extent;
use panelwright::documents::paper::{Area, Form, Group, Item};
use panelwright::package::{InputFile, Made};
use panelwright::review::read_marks;
use panelwright::units::{Inches, Length};
use serde_json::Value;

fn text(made: &Made, path: &str) -> String {
    String::from_utf8(made.documents.files[path].clone()).unwrap()
}

/// The bunkhouse with more in its job.
fn bunkhouse(more: &str) -> Made {
    make_sample_with("bunkhouse", "plan.dxf", more)
}

/// Rough jambs of an opening from its wall's left corner.
fn jambs(building: &Building, id: &str) -> [Length; 2] {
    let mut openings = building.walls.iter().flat_map(|wall| &wall.openings);
    let it = openings.find(|it| it.id == id).unwrap();
    [it.from, it.to]
}

#[test]
fn an_edited_jamb_once_taken_over_stands_where_the_reviewer_asks() {
    let first = bunkhouse("");
    let panels: Value = serde_json::from_str(&text(&first, "panels.json")).unwrap();
    // The first panel that holds an opening between its own edges.
    let (mark, id, left) = panels["panels"]
        .as_array()
        .unwrap()
        .iter()
        .find_map(|panel| {
            let opening = &panel["openings"].as_array()?.first()?;
            let side = |i: usize| opening["rough"][i].as_f64();
            let inside = side(0)? > 1.0 && side(2)? < panel["width"].as_f64()? - 1.0;
            let left = Length::nearest(side(0)?, Length::TAPE_STEP)?;
            inside.then(|| (panel["mark"].as_str(), opening["id"].as_str(), left))
        })
        .unwrap();
    let (mark, id) = (mark.unwrap(), id.unwrap());
    let name = first.documents.files.keys();
    let name = name
        .clone()
        .find(|it| it.ends_with(&format!("-{mark}.svg")))
        .unwrap();
    let now = left - Length::inches(2);
    let edit = format!(
        "<g id=\"review\"><g data-mark=\"dimension\" data-was=\"{}\" data-now=\"{}\"><text x=\"3\" y=\"3\" font-size=\"4\">?</text></g></g></svg>",
        Inches(left),
        Inches(now)
    );
    let marked = InputFile {
        name: "marked.svg".to_owned(),
        bytes: text(&first, name).replace("</svg>", &edit).into_bytes(),
    };
    let review = read_marks(&first.documents.files, &[marked])
        .unwrap()
        .output;
    let proposal = review.log.marks[0].proposal.clone().unwrap();
    assert!(proposal.contains("is = \"moved\""), "{proposal}");

    let second = bunkhouse(&format!("\n{proposal}"));
    let (was, is) = (jambs(&first.building, id), jambs(&second.building, id));
    assert_eq!(is, was.map(|it| it - Length::inches(2)), "{proposal}");
    assert!(second.is_complete(), "{:?}", second.findings);
    let told = text(&second, "sheets/Z-021-architect.svg");
    assert!(told.contains("moved by hand: please confirm"), "{told}");
}

#[test]
fn an_opening_moved_in_a_sketch_moves_too_and_what_is_no_sketchs_business_is_reported() {
    let more = "\n[[correction]]\nid = \"O1\"\nis = \"moved\"\nmiddle = \"60\"\n[[correction]]\nid = \"X1\"\nis = \"not a wall\"\n";
    let made = make_sample_with("napkin", "sketch.toml", more);
    let [from, to] = jambs(&made.building, "O1");
    assert_eq!((from + to).half(), Length::inches(60));
    let orphans = made
        .findings
        .iter()
        .filter(|it| it.code.name() == "PLAN-08");
    assert_eq!(orphans.count(), 1);
}

#[test]
fn the_architect_reads_no_codes_and_no_keys() {
    let mut n_questions = 0;
    for (sample, plan) in SAMPLES {
        let made = sample_package(sample, plan);
        let sheets = made
            .sheets
            .iter()
            .filter(|it| it.path.contains("-architect"));
        for sheet in sheets {
            let svg = text(&made, &sheet.path);
            n_questions += svg.matches("data-asked=").count();
            for word in [
                "[[",
                ".toml",
                "BLDG-",
                "PLAN-",
                "LAY-",
                "FAB-",
                "DRAW-",
                "openings.",
                "`",
            ] {
                assert!(!svg.contains(word), "{sample}: {word}");
            }
        }
    }
    assert!(n_questions > 5);
}

#[test]
fn every_opening_and_every_row_of_a_schedule_can_be_pointed_at() {
    let made = sample_package("bunkhouse", "plan.dxf");
    let schedules = text(&made, "sheets/Z-601-schedules.svg");
    let plan = text(&made, "sheets/Z-101-key-plan.svg");
    for wall in &made.building.walls {
        for opening in &wall.openings {
            let fact = format!("data-opening=\"{}\"", opening.id);
            assert!(schedules.contains(&fact), "{fact}");
            // Its sign on the plan leads to the panel that holds it.
            let sign = format!("{fact} data-panel=\"");
            let at = plan.find(&sign).unwrap() + sign.len();
            let mark = plan[at..].split('"').next().unwrap();
            let holder = made.fabrication.panels.iter().find(|it| it.mark == mark);
            let ids = holder.unwrap().openings.iter().map(|it| it.id.as_str());
            assert!(ids.clone().any(|id| id == opening.id), "{mark}");
        }
    }
    for panel in &made.fabrication.panels {
        assert!(schedules.contains(&format!("data-panel=\"{}\"", panel.mark)));
        let own = made
            .sheets
            .iter()
            .find(|it| it.path.ends_with(&format!("-{}.svg", panel.mark)));
        let own = text(&made, &own.unwrap().path);
        for opening in panel
            .openings
            .iter()
            .filter(|it| it.skin_hole.x0 < it.skin_hole.x1)
        {
            assert!(
                own.contains(&format!("id=\"opening-{}\"", opening.id)),
                "{}",
                panel.mark
            );
        }
        let cut = made
            .sheets
            .iter()
            .filter(|it| it.sheet.number.starts_with("Z-7"));
        let named = |it: &str| {
            it.split("data-panel=\"").skip(1).any(|rest| {
                rest.split('"')
                    .next()
                    .unwrap_or("")
                    .split(' ')
                    .any(|mark| mark == panel.mark)
            })
        };
        let times = cut.filter(|it| named(&text(&made, &it.path))).count();
        assert_eq!(times, 1, "{}", panel.mark);
    }
}

/// Every text of a group on paper.
fn places(group: &Group) -> Vec<Area> {
    let one = |item: &Item| {
        let alone = Group {
            items: vec![item.clone()],
            ..Group::default()
        };
        extent(&alone)
    };
    let found = group.items.iter().flat_map(|item| match item {
        Item::Group(inner) => places(inner),
        Item::Text(_) => one(item).into_iter().collect(),
        Item::Shape(_) => Vec::new(),
    });
    found.collect()
}

/// `W105` written across the architect's `6040` is neither.
#[test]
fn names_on_the_architects_plan_stand_beside_the_architects_words() {
    let (mut names, mut wrong) = (0, Vec::new());
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for it in made
            .sheets
            .iter()
            .filter(|it| it.path.ends_with("-architect.svg"))
        {
            let layer = |id: &str| {
                let found = it.sheet.layers.iter().find(|it| it.id == id);
                found.map(places).unwrap_or_default()
            };
            let architects = layer("architect");
            for name in layer("names") {
                names += 1;
                if architects
                    .iter()
                    .any(|words| words.grown(-0.2).meets(&name))
                {
                    wrong.push(format!("{case} {} {name:?}", it.path));
                }
            }
        }
    }
    assert!(names > 40, "{names}");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Every dot and circle of a group on paper.
fn circles(group: &Group) -> Vec<Area> {
    let found = group.items.iter().flat_map(|item| match item {
        Item::Group(inner) => circles(inner),
        Item::Shape(shape) => match shape.form {
            Form::Circle(at, radius) => {
                vec![Area::new(at.x, at.y, at.x, at.y).grown(radius)]
            }
            _ => Vec::new(),
        },
        Item::Text(_) => Vec::new(),
    });
    found.collect()
}

/// A dot in the middle of a room stood on the room's name.
#[test]
fn no_dot_and_no_number_stands_on_the_architects_words() {
    let (mut numbers, mut wrong) = (0, Vec::new());
    for (case, plan) in SAMPLES {
        let mut job = sample_file(case, "job.toml");
        let text = String::from_utf8(job.bytes).unwrap();
        job.bytes = text.replace("\"6-1/2\"", "\"8-1/4\"").into_bytes();
        let made = make_sample_under(case, plan, job);
        for it in made
            .sheets
            .iter()
            .filter(|it| it.path.ends_with("-architect.svg"))
        {
            let layer = |id: &str| it.sheet.layers.iter().find(|it| it.id == id);
            let words = layer("architect").map(places).unwrap_or_default();
            for circle in layer("numbers").map(circles).unwrap_or_default() {
                numbers += 1;
                if words.iter().any(|words| words.grown(-0.2).meets(&circle)) {
                    wrong.push(format!("{case} {} {circle:?}", it.path));
                }
            }
        }
    }
    assert!(numbers > 30, "{numbers}");
    assert!(wrong.is_empty(), "{wrong:#?}");
}
