//! Large jobs: a hall of a hundred panels; a wall of forty openings and key plans on every paper.

use crate::hostile_sheets::{clear, made, opening, sheets, sketch};
use crate::kit::{SAMPLES, sample_file, sample_package, sheet_words};
use crate::sheets::unsaid;
use geo::{Coord, Distance, Euclidean, LineString, Polygon};
use panelwright::documents::paper::{Area, Form, Group, Item, Sheet};
use panelwright::documents::{
    ElevationInput, KeyPlanInput, TitleFacts, elevation_sheets, key_plan_sheets,
};
use panelwright::drawing::{Drawing, DrawingOptions, read_drawing};
use panelwright::plan::{Plan, PlanCorrections, recover_plan};
use panelwright::rules::{PlanPaper, PlantRules, ScaleList, SheetRules};
use std::collections::BTreeMap;

const JOB: &str = "assembly = \"6-1/2\"\n[wall]\nheight = \"9'\"\n";

#[test]
fn the_cutting_sheets_of_a_hall_name_all_that_is_cut_alike_and_stay_on_their_paper() {
    let hall = made(sketch([300, 160], ""), JOB, "");
    assert!(hall.fabrication.panels.len() > 100);
    let is_cutting = |sheet: &Sheet| sheet.number.starts_with("Z-7");
    clear("hall", sheets(&hall).filter(is_cutting));
    let field = |sheet: &Sheet| Area::new(0.0, 0.0, sheet.width, sheet.height);
    let mut said = String::new();
    for it in hall.sheets.iter().filter(|it| is_cutting(&it.sheet)) {
        for text in texts(&it.sheet.layers) {
            assert!(field(&it.sheet).holds(&text.1), "{} {}", it.path, text.0);
        }
        said.push_str(&sheet_words(&hall, &it.path));
    }
    let stock = &hall.stock;
    assert!(stock.bars.len() > 100);
    for bar in &stock.bars {
        assert!(said.contains(&bar.name), "{}", bar.name);
        for (mark, _) in &bar.pieces {
            assert!(said.contains(mark.as_str()), "{} {mark}", bar.name);
        }
    }
}

/// All groups, those within others too.
fn groups(layers: &[Group]) -> Vec<&Group> {
    let mut found: Vec<&Group> = layers.iter().collect();
    let mut next = 0;
    while let Some(group) = found.get(next).copied() {
        found.extend(group.items.iter().filter_map(|it| match it {
            Item::Group(inner) => Some(inner),
            Item::Shape(_) | Item::Text(_) => None,
        }));
        next += 1;
    }
    found
}

/// Of eighty pieces all numbers went into running text.
#[test]
fn of_a_wall_of_forty_openings_every_number_stands_at_its_piece_on_every_paper() {
    let openings: String = (0..40)
        .map(|number| opening("south", "window", 36 + number * 45, "2030"))
        .collect();
    let made = made(sketch([158, 24], &openings), JOB, "");
    let rules = PlantRules::default();
    let mut in_rows = 0;
    for (paper, scales) in papers() {
        let facts = facts_of(paper, scales);
        let input = ElevationInput {
            building: &made.building,
            layout: &made.layout,
            fabrication: &made.fabrication,
            rules: &rules,
            facts: &facts,
            plan: &Plan::default(),
        };
        let drawn = elevation_sheets(&input);
        let name = format!("forty {paper:?} {scales:?}");
        for sheet in &drawn {
            assert_eq!(
                unsaid(sheet).0,
                Vec::<String>::new(),
                "{name} {}",
                sheet.name
            );
            for group in groups(&sheet.layers) {
                let is_string = group.id.starts_with("string-openings")
                    || group.id.starts_with("string-modules");
                if !is_string {
                    continue;
                }
                let is_ring = |it: &Item| matches!(it, Item::Group(_));
                let has_rings = group.items.iter().any(is_ring);
                assert!(!has_rings, "{name} {}: {}", sheet.name, group.title);
                let is_bent = |it: &Item| matches!(it, Item::Shape(it) if matches!(it.form, Form::Polyline(_)));
                in_rows += usize::from(group.items.iter().any(is_bent));
            }
        }
        // Every panel once: the parts are those of one parting.
        for panel in &made.fabrication.panels {
            let id = format!("panel-{}", panel.mark);
            let all = drawn.iter().flat_map(|it| groups(&it.layers));
            assert_eq!(
                all.filter(|it| it.id == id).count(),
                1,
                "{name} {}",
                panel.mark
            );
        }
        clear(&name, drawn);
    }
    assert!(in_rows > 0, "numbers in more rows than one");
}

/// All texts of groups with where they stand.
fn texts(groups: &[Group]) -> Vec<(String, Area)> {
    let mut found = Vec::new();
    let mut groups: Vec<&Group> = groups.iter().collect();
    while let Some(group) = groups.pop() {
        for item in &group.items {
            match item {
                Item::Group(inner) => groups.push(inner),
                Item::Text(text) => found.push((text.words.clone(), text.area())),
                Item::Shape(_) => {}
            }
        }
    }
    found
}

const PAPERS: [PlanPaper; 6] = [
    PlanPaper::AnsiB,
    PlanPaper::A3,
    PlanPaper::AnsiD,
    PlanPaper::ArchC,
    PlanPaper::ArchD,
    PlanPaper::A1,
];

/// Each paper with both lists of scales.
fn papers() -> impl Iterator<Item = (PlanPaper, ScaleList)> {
    let lists = [ScaleList::Imperial, ScaleList::Metric];
    PAPERS
        .into_iter()
        .flat_map(move |paper| lists.map(|scales| (paper, scales)))
}

fn facts_of(plans: PlanPaper, scales: ScaleList) -> TitleFacts {
    TitleFacts {
        sheets: SheetRules {
            plans,
            scales,
            ..SheetRules::default()
        },
        ..TitleFacts::default()
    }
}

/// What the architect drew; nothing for a sketch.
fn plan_of(case: &str, file: &str) -> Plan {
    let drawn = sample_file(case, file);
    let read = read_drawing(&drawn.bytes, file, &DrawingOptions::default());
    let drawings: Vec<Drawing> = read.into_iter().map(|it| it.output).collect();
    if drawings.is_empty() {
        return Plan::default();
    }
    recover_plan(&drawings, &PlanCorrections::default()).output
}

/// The key plans of every sample on every paper, at both lists of scales.
fn key_plans() -> Vec<(String, Sheet)> {
    let mut all = Vec::new();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let drawn = plan_of(case, plan);
        let rules = PlantRules::default();
        for (paper, scales) in papers() {
            let facts = facts_of(paper, scales);
            let input = KeyPlanInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                plan: &drawn,
                rules: &rules,
                facts: &facts,
                north_deg: None,
            };
            let sheets = key_plan_sheets(&input).into_iter();
            let name = |sheet: &Sheet| format!("{case} {paper:?} {scales:?} {}", sheet.number);
            all.extend(sheets.map(|it| (name(&it), it)));
        }
    }
    all
}

fn polygon(corners: &[Coord<f64>]) -> Polygon {
    Polygon::new(LineString::new(corners.to_vec()), Vec::new())
}

#[test]
fn a_mark_without_a_leader_stands_nearest_to_its_own_panel_on_every_paper() {
    let mut wrong = Vec::new();
    let (mut n_plain, mut n_led) = (0, 0);
    for (name, sheet) in key_plans() {
        let mut bodies: BTreeMap<String, Polygon> = BTreeMap::new();
        let mut marks: Vec<&Group> = Vec::new();
        let mut groups: Vec<&Group> = sheet.layers.iter().collect();
        while let Some(group) = groups.pop() {
            for item in &group.items {
                match item {
                    Item::Group(inner) => groups.push(inner),
                    Item::Shape(shape) => {
                        let mark = group.id.strip_prefix("panel-");
                        if let (Some(mark), Form::Polygon(corners)) = (mark, &shape.form) {
                            bodies.insert(mark.to_owned(), polygon(corners));
                        }
                    }
                    Item::Text(_) => {}
                }
            }
            if group.id.starts_with("mark-") {
                marks.push(group);
            }
        }
        for group in marks {
            let mark = group.id.trim_start_matches("mark-");
            // Headers and sills have no body of their own in plan.
            let Some(own) = bodies.get(mark) else {
                continue;
            };
            let is_line =
                |item: &Item| matches!(item, Item::Shape(it) if matches!(it.form, Form::Line(..)));
            if group.items.first().is_some_and(is_line) {
                n_led += 1;
                continue;
            }
            n_plain += 1;
            let area = texts(std::slice::from_ref(group))
                .into_iter()
                .find(|it| it.0 == mark)
                .map(|it| it.1)
                .unwrap();
            let corners = [
                Coord {
                    x: area.x0,
                    y: area.y0,
                },
                Coord {
                    x: area.x1,
                    y: area.y0,
                },
                Coord {
                    x: area.x1,
                    y: area.y1,
                },
                Coord {
                    x: area.x0,
                    y: area.y1,
                },
            ];
            let letters = polygon(&corners);
            let far = |body: &Polygon| Euclidean.distance(body, &letters);
            let others = bodies.iter().filter(|it| it.0 != mark);
            let nearest = others.min_by(|a, b| far(a.1).total_cmp(&far(b.1)));
            let Some((other, body)) = nearest else {
                continue;
            };
            if far(body) < far(own) - 0.3 {
                wrong.push(format!("{name}: {mark} stands at {other}"));
            }
        }
    }
    assert!(n_plain > 100 && n_led > 10, "{n_plain} {n_led}");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Of a bay and the narrow panels beside it each stood under the other's mark.
#[test]
fn marks_round_a_bay_stand_in_the_order_of_their_panels() {
    for paper in ["AnsiB", "A3"] {
        let name = format!("cottage {paper} Imperial Z-101");
        let sheet = key_plans().into_iter().find(|it| it.0 == name).unwrap().1;
        let words = texts(&sheet.layers);
        // The tables, at the right of the plan, name them too.
        let middle = |mark: &str| {
            let own = words.iter().filter(|it| it.0 == mark);
            let places = own.map(|it| f64::midpoint(it.1.x0, it.1.x1));
            places.fold(f64::INFINITY, f64::min)
        };
        let marks = ["W115", "W116", "W117", "W118", "W119", "W120", "W121"];
        let places = marks.map(middle);
        assert!(places.is_sorted(), "{paper} {places:?}");
    }
}

#[test]
fn a_key_plan_has_its_openings_or_says_which_sheet_has_them() {
    let mut n_elsewhere = 0;
    for (name, sheet) in key_plans() {
        let words = texts(&sheet.layers);
        let has = |what: &str| words.iter().any(|it| it.0.contains(what));
        let has_table = has("ROUGH SIZE IN INCHES");
        let is_told = has("Z-601");
        assert!(has_table || is_told, "{name}");
        n_elsewhere += usize::from(!has_table);
    }
    assert!(n_elsewhere > 0);
}
