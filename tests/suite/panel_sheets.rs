//! Panel sheets and elevations of all samples: nothing stands on anything, and every panel and wall has exactly one sheet.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::{Sheet, to_svg};
use panelwright::documents::{
    ElevationInput, PanelSheetInput, PdfFiles, TitleFacts, elevation_sheets, panel_sheets,
};
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::plan::Plan;
use panelwright::rules::{PanelPaper, PlantRules};
use std::collections::BTreeMap;

/// Draws the sheets of every sample, and expects all there is to draw, without overlaps.
#[track_caller]
fn check(
    draw: impl Fn(&Made, &PlantRules, &TitleFacts) -> Vec<Sheet>,
    is_complete: impl Fn(&Made, &[Sheet]) -> bool,
) {
    let rules = PlantRules::default();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let facts = TitleFacts {
            building: (*case).to_owned(),
            ..TitleFacts::default()
        };
        let sheets = draw(&made, &rules, &facts);
        assert!(is_complete(&made, &sheets), "{case}");
        for sheet in &sheets {
            assert_eq!(overlaps(sheet), [], "{case} {}", sheet.name);
        }
    }
}

#[test]
fn nothing_stands_on_anything_on_panel_sheets() {
    check(
        |made, rules, facts| {
            panel_sheets(&PanelSheetInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                rules,
                facts,
                issue: &panelwright::documents::IssueFacts::default(),
                north_deg: Some(0.0),
            })
        },
        |made, sheets| {
            // Lists go on on further sheets.
            let is_drawing = |it: &&Sheet| !it.number.contains('.');
            sheets.iter().filter(is_drawing).count() == made.fabrication.panels.len()
        },
    );
}

/// The words in a group of a sheet's SVG, by its id.
fn words(document: &roxmltree::Document<'_>, group: &str) -> Vec<String> {
    let node = document
        .descendants()
        .find(|it| it.attribute("id") == Some(group));
    said(node.into_iter().flat_map(|it| it.descendants()))
}

/// Whoever lays a blank on the saw or sets a panel reads which face is up, which end and where it stands: a mirrored or upturned
/// panel is scrap.
#[test]
fn every_panel_sheet_of_every_size_says_the_face_which_way_is_up_and_where_it_stands() {
    for paper in [PanelPaper::AnsiB, PanelPaper::Letter, PanelPaper::A4] {
        let rules = PlantRules::default();
        let mut facts = TitleFacts::default();
        facts.sheets.panels = paper;
        let (mut all, mut without, mut placed) = (0, Vec::new(), BTreeMap::new());
        for (case, plan) in SAMPLES {
            let made = sample_package(case, plan);
            let sheets = panel_sheets(&PanelSheetInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                rules: &rules,
                facts: &facts,
                issue: &panelwright::documents::IssueFacts::default(),
                north_deg: None,
            });
            for sheet in sheets {
                assert_eq!(overlaps(&sheet), [], "{case} {paper:?} {}", sheet.name);
                let svg = String::from_utf8(to_svg(&sheet)).unwrap();
                let document = roxmltree::Document::parse(&svg).unwrap();
                let title = words(&document, "face");
                assert_eq!(
                    title,
                    ["OUTSIDE FACE", "UP"],
                    "{case} {paper:?} {}",
                    sheet.name
                );
                let is_plan =
                    |it: roxmltree::Node<'_, '_>| it.attribute("id") == Some("small-plan");
                let mark = sheet.name.split('-').next_back().unwrap();
                let has_plan = document.descendants().any(is_plan);
                *placed.entry(format!("{case} {mark}")).or_insert(false) |= has_plan;
                if sheet.number.contains('.') {
                    continue;
                }
                let drawing = words(&document, "labels");
                let says = |wanted: &str| drawing.iter().any(|it| it == wanted);
                assert!(
                    says("UP") || !says("OUTSIDE FACE"),
                    "{case} {paper:?} {}",
                    sheet.name
                );
                all += 1;
                if !says("UP") {
                    without.push(format!("{case} {}", sheet.name));
                }
            }
        }
        let placeless: Vec<_> = placed.iter().filter(|(_, has_plan)| !**has_plan).collect();
        assert!(placeless.is_empty(), "{paper:?}: {placeless:#?} of {all}");
        // On a small panel every stretch may hold a number of the parts table: the title block says it.
        assert!(
            without.len() * 20 <= all,
            "{paper:?}: {without:#?} of {all}"
        );
    }
}

/// The words of those nodes that are texts.
fn said<'a>(nodes: impl Iterator<Item = roxmltree::Node<'a, 'a>>) -> Vec<String> {
    let texts = nodes.filter(|it| it.has_tag_name("text"));
    texts
        .filter_map(|it| it.text())
        .map(str::to_owned)
        .collect()
}

/// Every text of a sheet.
fn texts(sheet: &Sheet) -> Vec<String> {
    let svg = String::from_utf8(to_svg(sheet)).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    said(document.descendants())
}

#[test]
fn panel_sheets_say_why_by_rule_and_their_legend_names_every_sign() {
    let rules = PlantRules::default();
    let (mut told, mut all) = (0, 0);
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let sheets = panel_sheets(&PanelSheetInput {
            building: &made.building,
            layout: &made.layout,
            fabrication: &made.fabrication,
            rules: &rules,
            facts: &TitleFacts::default(),
            issue: &panelwright::documents::IssueFacts::default(),
            north_deg: Some(0.0),
        });
        let drawings = sheets.iter().filter(|it| !it.number.contains('.'));
        for (sheet, panel) in drawings.zip(&made.fabrication.panels) {
            let words = texts(sheet);
            // Plates close the top and the bottom of every panel: their sign is the last of the legend.
            assert!(
                words.iter().any(|it| it == "lumber"),
                "{case} {}",
                sheet.name
            );
            all += 1;
            if words.iter().any(|it| it.starts_with("WHY IT IS SO")) {
                told += 1;
                let joined = words.join(" ");
                let place = &made.layout.panels[panel.panel];
                for reason in place
                    .reasons
                    .iter()
                    .filter(|it| !it.about.ends_with("spline"))
                {
                    let rule = reason.rule.rsplit('/').next().unwrap();
                    let rule = format!("[{rule}]");
                    assert!(joined.contains(&rule), "{case} {} {rule}", sheet.name);
                }
            }
        }
    }
    // Where notes and sections need the room, the further sheet and `panelwright explain` say why.
    assert!(told * 10 >= all * 9, "{told} of {all}");
}

#[test]
fn a_narrow_panel_keeps_every_sign() {
    // A foot of panel between two doors, and a strip of another width before them.
    for from in [12, 23] {
        let mut text = "name = \"Pier\"\nthickness = \"6 1/2\\\"\"\nrun = [\"south: E 30'\", \"east: N 16'\", \"north: W 30'\", \"west: close\"]\n".to_owned();
        for from in [from, from + 120] {
            text.push_str(&format!(
                "\n[[opening]]\nwall = \"south\"\nkind = \"garage_door\"\nfrom = \"{from}\\\"\"\nsize = \"9070\"\n"
            ));
        }
        let sketch = InputFile {
            name: "sketch.toml".to_owned(),
            bytes: text.into_bytes(),
        };
        let options = MakeOptions {
            pdf: PdfFiles::LeftOut,
            ..MakeOptions::default()
        };
        let made = make(&[sketch], &options, &mut |_| {}).unwrap();
        for it in made
            .sheets
            .iter()
            .filter(|it| it.sheet.number.starts_with("Z-4"))
        {
            assert_eq!(overlaps(&it.sheet), [], "{from} {}", it.path);
            let words = texts(&it.sheet).join(" ");
            assert!(!words.contains("no free place"), "{from} {}", it.path);
        }
    }
}

#[test]
fn nothing_stands_on_anything_on_elevations() {
    check(
        |made, rules, facts| {
            elevation_sheets(&ElevationInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                rules,
                facts,
                plan: &Plan::default(),
            })
        },
        |made, sheets| {
            let own = |sheet: &Sheet| {
                let data = sheet.data.iter().find(|(key, _)| key == "elevation");
                data.map_or("", |(_, walls)| walls.as_str()).to_owned()
            };
            let shown: Vec<String> = sheets.iter().map(own).collect();
            let shown = shown.join(" ");
            let walls: Vec<&str> = made
                .building
                .walls
                .iter()
                .map(|it| it.id.as_str())
                .collect();
            shown.split(' ').collect::<Vec<_>>() == walls
        },
    );
}

/// An electrician who reads "end to end" feeds a wire from one end.
#[test]
fn a_level_chase_that_an_opening_parts_is_never_called_whole() {
    let mut n_parted = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for panel in &made.fabrication.panels {
            let chases = panel.chases.iter().filter(|it| it.from.y == it.to.y);
            let heights: std::collections::BTreeSet<_> = chases.map(|it| it.from.y).collect();
            let is_parted = |height| {
                let mut holes = panel.openings.iter().map(|it| it.skin_hole);
                holes.any(|hole| hole.y0 < height && height < hole.y1)
            };
            let parted = heights.iter().filter(|it| is_parted(**it)).count();
            let name = format!("-{}", panel.mark);
            let mut sheets = made.sheets.iter().map(|it| &it.sheet);
            let sheet = sheets.find(|it| it.name.ends_with(&name)).unwrap();
            let text = String::from_utf8(to_svg(sheet)).unwrap();
            let said = |words: &str| text.matches(words).count();
            assert!(said(">stops at lumber<") >= parted, "{case}{name}");
            let all = said(">stops at lumber<") + said(">end to end<");
            assert_eq!(all, heights.len(), "{case}{name}");
            if panel.openings.is_empty() && panel.core.outline.0.len() == 4 {
                assert_eq!(said(">stops at lumber<"), 0, "{case}{name}");
            }
            n_parted += parted;
        }
    }
    assert!(n_parted > 20, "{n_parted}");
}

/// Numbers of a cell, ranges spelled out.
fn spelled_out(cell: &str) -> Option<Vec<usize>> {
    let mut all = Vec::new();
    for words in cell.split(", ") {
        let (first, last) = words.split_once('–').unwrap_or((words, words));
        let [first, last] = [first, last].map(|it| it.parse::<usize>().ok());
        all.extend(first?..=last?);
    }
    Some(all)
}

/// The rows of the parts tables on a sheet: numbers, and the other words that stand beside them.
fn part_rows(sheet: &Sheet, head: &str) -> Vec<(Vec<usize>, Vec<String>)> {
    let svg = String::from_utf8(to_svg(sheet)).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let number = |it: &roxmltree::Node<'_, '_>, name| it.attribute(name)?.parse::<f64>().ok();
    let texts = document.descendants().filter(|it| it.has_tag_name("text"));
    let texts: Vec<(f64, f64, String)> = texts
        .filter_map(|it| Some((number(&it, "x")?, number(&it, "y")?, it.text()?.to_owned())))
        .collect();
    let Some((left, _, _)) = texts.iter().find(|(_, _, words)| words == head) else {
        return Vec::new();
    };
    let mut cells: Vec<(f64, String)> = Vec::new();
    for (_, y, words) in texts.iter().filter(|(x, _, _)| x == left) {
        match cells.last_mut() {
            Some((_, before)) if before.ends_with(',') => *before = format!("{before} {words}"),
            _ => cells.push((*y, words.clone())),
        }
    }
    let rows = cells.into_iter().filter_map(|(row, cell)| {
        let beside = texts.iter().filter(|(x, y, _)| x > left && *y == row);
        Some((spelled_out(&cell)?, beside.map(|it| it.2.clone()).collect()))
    });
    rows.collect()
}

/// A framer who holds the piece marked W101-3 looks for 3 on the sheet of W101, and finds that piece and its length.
#[test]
fn every_piece_stands_in_its_panels_parts_table_by_the_number_of_its_mark() {
    let mut seen = 0;
    for paper in [PanelPaper::AnsiB, PanelPaper::Letter] {
        let mut facts = TitleFacts::default();
        facts.sheets.panels = paper;
        for (case, plan) in SAMPLES {
            let made = sample_package(case, plan);
            let sheets = panel_sheets(&PanelSheetInput {
                building: &made.building,
                layout: &made.layout,
                fabrication: &made.fabrication,
                rules: &PlantRules::default(),
                facts: &facts,
                issue: &panelwright::documents::IssueFacts::default(),
                north_deg: None,
            });
            for panel in &made.fabrication.panels {
                let own = |it: &&Sheet| it.name.ends_with(&format!("-{}", panel.mark));
                let head = format!("{}-", panel.mark);
                let rows = sheets.iter().filter(own);
                let rows: Vec<_> = rows.flat_map(|sheet| part_rows(sheet, &head)).collect();
                for piece in &panel.lumber {
                    let number: usize = piece.mark.replace(&head, "").parse().unwrap();
                    let length = panelwright::units::Inches(piece.length).to_string();
                    let tells = |(numbers, beside): &(Vec<usize>, Vec<String>)| {
                        numbers.contains(&number) && beside.contains(&length)
                    };
                    assert!(
                        rows.iter().any(tells),
                        "{case} {paper:?} {}, {length} long, not in {rows:#?}",
                        piece.mark
                    );
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 1000, "{seen}");
}
