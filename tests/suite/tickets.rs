//! Small panel sheets keep everything: what the drawing has no room for stands in the lists of the next page.

use crate::hostile_sheets::{made, opening, sketch};
use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::{Sheet, to_svg};
use panelwright::documents::{IssueFacts, PanelSheetInput, TitleFacts, panel_sheet};
use panelwright::package::Made;
use panelwright::rules::{PanelPaper, PlantRules, ScaleList};
use panelwright::units::Inches;

/// The sheets of each panel, by its index.
fn drawn(made: &Made, paper: PanelPaper, scales: ScaleList) -> Vec<Vec<Sheet>> {
    let rules = PlantRules::default();
    let mut facts = TitleFacts::default();
    facts.sheets.panels = paper;
    facts.sheets.scales = scales;
    let input = PanelSheetInput {
        building: &made.building,
        layout: &made.layout,
        fabrication: &made.fabrication,
        rules: &rules,
        facts: &facts,
        issue: &IssueFacts::default(),
        north_deg: Some(0.0),
    };
    let panels = 0..made.fabrication.panels.len();
    panels.map(|panel| panel_sheet(&input, panel)).collect()
}

/// All words of sheets with one kind of space between.
fn words(sheets: &[Sheet]) -> String {
    let svgs = sheets
        .iter()
        .map(|it| String::from_utf8(to_svg(it)).unwrap());
    let mut all = Vec::new();
    for svg in svgs {
        let document = roxmltree::Document::parse(&svg).unwrap();
        let texts = document.descendants().filter(|it| it.has_tag_name("text"));
        all.extend(texts.filter_map(|it| it.text()).map(str::to_owned));
    }
    all.join(" ").replace('\u{a0}', " ")
}

#[test]
fn a_ticket_says_every_part_opening_neighbour_and_note_and_sends_nobody_to_a_file() {
    let mut lost = Vec::new();
    for (paper, scales) in [
        (PanelPaper::Letter, ScaleList::Imperial),
        (PanelPaper::A4, ScaleList::Metric),
    ] {
        for (case, plan) in SAMPLES {
            let made = sample_package(case, plan);
            let sheets = drawn(&made, paper, scales);
            for (panel, sheets) in made.fabrication.panels.iter().zip(&sheets) {
                let said = words(sheets);
                let name = format!("{paper:?} {case} {}", panel.mark);
                let mut wanted: Vec<String> = Vec::new();
                for it in &panel.openings {
                    let (w, h) = (it.rough.width(), it.rough.height());
                    wanted.push(it.id.clone());
                    wanted.push(format!("{} × {}", Inches(w), Inches(h)));
                }
                wanted.extend(panel.lumber.iter().map(|it| Inches(it.length).to_string()));
                wanted.extend(
                    panel
                        .lumber
                        .iter()
                        .map(|it| format!("{}, {}", Inches(it.rect.x0), Inches(it.rect.y0))),
                );
                wanted.extend(panel.inner_cuts.iter().map(|it| it.what.to_lowercase()));
                wanted.push(format!("{:.0} lb", panel.weight_lb));
                let low = said.to_lowercase();
                for words in wanted {
                    if !low.contains(&words.to_lowercase()) {
                        lost.push(format!("{name}: {words}"));
                    }
                }
                for elsewhere in ["panels.json", "found no free place", "more: see"] {
                    if said.contains(elsewhere) {
                        lost.push(format!("{name}: {elsewhere}"));
                    }
                }
                for sheet in sheets {
                    assert_eq!(overlaps(sheet), [], "{name} {}", sheet.name);
                }
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

/// 8 ft by 9 ft at 1/2" = 1'-0" is 4 in by 4 1/2 in of the 8 1/2 by 11.
#[test]
fn a_panel_of_eight_by_nine_feet_is_drawn_at_a_half_inch_to_the_foot_on_a_ticket() {
    let made = sample_package("workshop", "plan.dxf");
    for (paper, scales, least) in [
        (PanelPaper::Letter, ScaleList::Imperial, 24.0),
        (PanelPaper::A4, ScaleList::Metric, 20.0),
    ] {
        let sheets = drawn(&made, paper, scales);
        for (panel, sheets) in made.fabrication.panels.iter().zip(&sheets) {
            let is_usual = panel.width.to_inches() < 96.0 && panel.height.to_inches() <= 108.0;
            if !is_usual || panel.is_held() {
                continue;
            }
            let scale = sheets[0].data.iter().find(|it| it.0 == "scale").unwrap();
            let ratio: f64 = scale.1.trim_start_matches("1:").parse().unwrap();
            assert!(ratio <= least, "{paper:?} {} {ratio}", panel.mark);
        }
    }
}

/// How long a stretch left out is, inches.
fn length(words: &str) -> f64 {
    let mut ends = words.split(' ').map(|it| it.parse::<f64>().unwrap());
    let from = ends.next().unwrap();
    ends.next().unwrap() - from
}

/// Whole, the header of 15'-9" would be drawn at 1/4" = 1'-0", seven of the paper's eight inches empty.
#[test]
fn a_long_header_on_a_ticket_is_broken_where_nothing_is_and_drawn_at_twice_the_scale() {
    let made = sample_package("workshop", "plan.dxf");
    let mut seen = 0;
    for (paper, scales, least) in [
        (PanelPaper::Letter, ScaleList::Imperial, 24.0),
        (PanelPaper::A4, ScaleList::Metric, 20.0),
    ] {
        let sheets = drawn(&made, paper, scales);
        for (panel, sheets) in made.fabrication.panels.iter().zip(&sheets) {
            let datum = |key: &str| sheets[0].data.iter().find(|it| it.0 == key).map(|it| &it.1);
            let Some(broken) = datum("broken") else {
                continue;
            };
            seen += 1;
            let ratio: f64 = datum("scale")
                .unwrap()
                .trim_start_matches("1:")
                .parse()
                .unwrap();
            assert!(ratio <= least, "{paper:?} {} {ratio}", panel.mark);
            assert!(
                words(sheets).contains(", broken"),
                "{paper:?} {}",
                panel.mark
            );
            let [gravity, _] = panel.centre_of_gravity;
            let picks = panel.pick_points.iter().map(|it| it.x.to_inches());
            let shown: Vec<f64> = picks.chain([gravity]).collect();
            for stretch in broken.split(", ") {
                let ends: Vec<f64> = stretch.split(' ').map(|it| it.parse().unwrap()).collect();
                assert!(
                    shown.iter().all(|x| *x < ends[0] || ends[1] < *x),
                    "{stretch}"
                );
            }
        }
    }
    assert!(seen >= 2, "{seen}");
}

/// Of 23 ft most is empty between chases, centre of gravity and picks; whole it was drawn at 1:50 on a ticket, at 1/4" on ANSI B.
#[test]
fn a_tall_panel_is_broken_in_its_height_where_nothing_is_and_drawn_at_twice_the_scale() {
    let rules = "[[lines]]\nname = \"tall\"\nwidth = \"8'\"\nlength = \"24'\"\ntrim = 0\nstrength_axis = \"long\"\nwall_axis = \"either\"\nreport = \"none, a test\"\nmade_to_length = true\npanel_cents = 100\nblank_sq_ft_cents = 1\n";
    let job = "assembly = \"6-1/2\"\n[wall]\nheight = \"23'\"\n";
    let windows = opening("south", "window", 60, "3040");
    let hall = made(sketch([28, 20], &windows), job, rules);
    let mut seen = 0;
    for (paper, scales) in [
        (PanelPaper::AnsiB, ScaleList::Imperial),
        (PanelPaper::A3, ScaleList::Metric),
        (PanelPaper::Letter, ScaleList::Imperial),
        (PanelPaper::A4, ScaleList::Metric),
    ] {
        let sheets = drawn(&hall, paper, scales);
        for (panel, sheets) in hall.fabrication.panels.iter().zip(&sheets) {
            let datum = |key: &str| sheets[0].data.iter().find(|it| it.0 == key).map(|it| &it.1);
            let scale = datum("scale").unwrap();
            let ratio: f64 = scale.trim_start_matches("1:").parse().unwrap();
            let name = format!("{paper:?} {}", panel.mark);
            // Round a window there is less that may go.
            let least = if panel.openings.is_empty() {
                24.0
            } else {
                50.0
            };
            assert!(ratio <= least, "{name} {scale}");
            for sheet in sheets {
                assert_eq!(overlaps(sheet), [], "{name} {}", sheet.name);
            }
            let Some(broken) = datum("broken-up") else {
                continue;
            };
            seen += 1;
            let chases = panel.chases.iter().flat_map(|it| [it.from.y, it.to.y]);
            let picks = panel.pick_points.iter().map(|it| it.y);
            let holes = panel
                .openings
                .iter()
                .flat_map(|it| [it.skin_hole.y0, it.skin_hole.y1]);
            let shown = chases.chain(picks).chain(holes).map(|it| it.to_inches());
            let shown: Vec<f64> = shown.chain([panel.centre_of_gravity[1]]).collect();
            for stretch in broken.split(", ") {
                let ends: Vec<f64> = stretch.split(' ').map(|it| it.parse().unwrap()).collect();
                assert!(
                    shown.iter().all(|y| *y < ends[0] || ends[1] < *y),
                    "{name} {stretch}"
                );
            }
        }
    }
    assert!(seen >= 8, "{seen}");
}

/// A hatch shows where the foam stands back only if lines cross the band: one in each 2 mm of it at least.
#[test]
fn tickets_have_sections_where_their_lists_leave_room_and_nothing_stands_on_anything() {
    for (paper, scales) in [
        (PanelPaper::Letter, ScaleList::Imperial),
        (PanelPaper::A4, ScaleList::Metric),
    ] {
        let (mut with, mut all) = (0, 0);
        for (case, plan) in SAMPLES {
            let made = sample_package(case, plan);
            for sheets in drawn(&made, paper, scales) {
                let said = words(&sheets);
                all += 1;
                with += usize::from(said.contains("SECTION A-A") || said.contains("SECTION B-B"));
                // A section says where it is cut, by the numbers of the view.
                assert_eq!(
                    said.contains("SECTION A-A"),
                    said.contains("At x "),
                    "{case}"
                );
                assert_eq!(
                    said.contains("SECTION B-B"),
                    said.contains("At y "),
                    "{case}"
                );
                for sheet in &sheets {
                    assert_eq!(overlaps(sheet), [], "{case} {}", sheet.name);
                }
            }
        }
        assert!(with * 2 >= all, "{paper:?}: {with} of {all}");
    }
}

#[test]
fn recesses_are_hatched_at_every_scale() {
    let mut scales_seen = Vec::new();
    for paper in [PanelPaper::AnsiB, PanelPaper::Letter] {
        for (case, plan) in SAMPLES {
            let made = sample_package(case, plan);
            let sheets = drawn(&made, paper, ScaleList::Imperial);
            for (panel, sheets) in made.fabrication.panels.iter().zip(&sheets) {
                let recessed = panel.edges.iter().filter(|it| it.recess.to_inches() >= 1.5);
                if recessed.count() < 4 {
                    continue;
                }
                let sheet = &sheets[0];
                let scale = sheet.data.iter().find(|it| it.0 == "scale").unwrap();
                let ratio: f64 = scale.1.trim_start_matches("1:").parse().unwrap();
                let svg = String::from_utf8(to_svg(sheet)).unwrap();
                let document = roxmltree::Document::parse(&svg).unwrap();
                let is_recess = |it: &roxmltree::Node<'_, '_>| it.attribute("id") == Some("recess");
                let group = document.descendants().find(is_recess).unwrap();
                let paths = group.descendants().filter_map(|it| it.attribute("d"));
                let lines: usize = paths.map(|it| it.matches('M').count()).sum();
                // What is left out of a broken view has no hatch.
                let broken = sheet.data.iter().find(|it| it.0 == "broken");
                let left_out: f64 = broken.map_or(0.0, |it| it.1.split(", ").map(length).sum());
                let shown = (panel.width + panel.height).to_inches() - left_out;
                let round = 2.0 * shown * 25.4 / ratio;
                let least = round / 2.0;
                let n_lines = f64::from(u32::try_from(lines).unwrap());
                // At large scales the pitch is wider than the band is long in 2 mm.
                if ratio >= 24.0 {
                    assert!(n_lines >= least, "{case} {} {ratio}: {lines}", panel.mark);
                    scales_seen.push(scale.1.clone());
                }
            }
        }
    }
    scales_seen.sort();
    scales_seen.dedup();
    assert!(scales_seen.len() > 1, "{scales_seen:?}");
}

/// The angle beside each bevelled edge, with an arrow from the outer skin's edge to the inner skin's: the cottage's bay.
#[test]
fn bevelled_ends_have_an_arrow_with_the_angle() {
    let made = sample_package("cottage", "plan.dxf");
    let mut arrows = 0;
    for paper in [PanelPaper::AnsiB, PanelPaper::A3, PanelPaper::Letter] {
        let sheets = drawn(&made, paper, ScaleList::Imperial);
        for (panel, sheets) in made.fabrication.panels.iter().zip(&sheets) {
            let svg = String::from_utf8(to_svg(&sheets[0])).unwrap();
            let bevelled = panel.edges.iter().filter(|it| it.bevel_deg != 0.0).count();
            let told = svg.matches("<title>Bevel: from").count();
            assert_eq!(told, bevelled, "{paper:?} {}", panel.mark);
            if bevelled > 0 {
                assert!(svg.contains(">22 1/2°<"), "{paper:?} {}", panel.mark);
            }
            arrows += told;
        }
    }
    assert!(arrows > 3, "{arrows}");
}
