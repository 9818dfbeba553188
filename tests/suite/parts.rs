//! Parts of a panel as the plant's paper gives them: bridges, press cycles, who fits what, panels that share a drawing.

use crate::kit::{SAMPLES, rows, sample_package, sample_under};
use panelwright::estimate::quantities;
use panelwright::fabrication::FabricatedPanel;
use panelwright::loads::LoadPlan;
use panelwright::package::Made;
use panelwright::rules::PlantRules;
use panelwright::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// PS 20: a 2x8 is 7-1/4 in wide. A cap of 6-1/2 in is one ripped, and so is the lining of an opening: both are bought as 2x8 in the
/// lengths that sawn lumber comes in, cut from one bar beside what stays as wide as it is, and paid for by the board foot.
#[test]
fn what_is_ripped_says_to_what_and_is_bought_as_what_it_is_ripped_from() {
    let made = sample_under("workshop", "plan.dxf", "[openings]\nbuck = 'lining'\n");
    let caps = rows(&made, "plates").into_iter();
    let mut caps = caps.filter(|row| row["use"] == "cap plate").peekable();
    assert!(caps.peek().is_some());
    assert!(caps.all(|row| row["section"] == "2x8 ripped to 6 1/2"));
    let pieces = made.fabrication.panels.iter().flat_map(|it| &it.lumber);
    let lining = pieces.clone().filter(|it| it.usage.ends_with("lining"));
    assert!(lining.clone().all(|it| it.section == "2x8 ripped to 6 1/2"));
    let bars = rows(&made, "bars");
    assert!(bars.iter().all(|row| !row["section"].contains("ripped")));
    let of = |mark: &str| bars.iter().find(|row| row["mark"] == mark).unwrap();
    let header = pieces.clone().find(|it| it.section == "2x8").unwrap();
    assert_eq!(of(&header.mark)["section"], "2x8");
    let ripped = of(&lining.clone().next().unwrap().mark);
    assert_eq!(ripped["section"], "2x8");
    assert!(ripped["bar length (in)"].parse::<f64>().unwrap() <= 240.0);
    let lines = quantities(
        &made.building,
        &made.fabrication,
        &LoadPlan::default(),
        &PlantRules::default(),
    );
    let odd = lines.iter().find(|it| it.item == "other members").unwrap();
    let fillers = pieces.filter(|it| it.section.starts_with("EPS"));
    let fillers: f64 = fillers.map(|it| it.length.to_inches() / 12.0).sum();
    let odd: f64 = odd.quantity.to_string().parse().unwrap();
    assert!((odd - fillers).abs() < 0.01, "{odd} {fillers}");
}

/// By hand: a bar of 20 ft trimmed by 1 in at each end gives 238 in.
#[test]
fn no_plate_is_longer_than_a_bar_with_its_ends_trimmed_off() {
    let made = sample_under("workshop", "plan.dxf", "[stock]\nlumber_trim = '1'\n");
    let mut plates = made.fabrication.plates.iter();
    assert!(plates.all(|it| it.length <= Length::inches(238)));
    assert!(made.stock.unplaced.is_empty(), "{:?}", made.stock.unplaced);
}

#[test]
fn a_sole_plate_under_doors_says_what_the_site_cuts_out_of_it() {
    let stopping = sample_under("bunkhouse", "plan.dxf", "");
    assert!(
        rows(&stopping, "plates")
            .iter()
            .all(|row| row["cut out on site (in)"].is_empty() && row["fitted"] == "loose")
    );
    let through = "[plates]\nsole_at_doors = \"runs through\"\n";
    let made = sample_under("bunkhouse", "plan.dxf", through);
    let mut n_doors = 0;
    for (run, wall) in made
        .layout
        .walls
        .iter()
        .map(|run| (run, &made.building.walls[run.wall]))
    {
        // By hand: each door's rough width, from its left jamb to its right one.
        let doors = wall.openings.iter().filter(|it| wall.is_door(it));
        let wanted: Vec<_> = doors
            .map(|it| [it.from - run.from, it.to - run.from])
            .collect();
        n_doors += wanted.len();
        let plates = made
            .fabrication
            .plates
            .iter()
            .filter(|it| it.wall == run.wall);
        let cut: Vec<_> = plates.clone().flat_map(|it| it.cut_out.clone()).collect();
        let total = |spans: &[[Length; 2]]| {
            spans
                .iter()
                .fold(Length::ZERO, |sum, [from, to]| sum + (*to - *from))
        };
        assert_eq!(total(&cut), total(&wanted), "{}", wall.id);
        for plate in plates.filter(|it| !it.cut_out.is_empty()) {
            let listed = rows(&made, "plates")
                .into_iter()
                .find(|row| row["mark"] == plate.mark);
            let listed = listed.unwrap();
            assert_eq!(listed["use"], "sole plate");
            assert_eq!(listed["fitted"], "site");
            assert_eq!(
                listed["cut out on site (in)"].split("; ").count(),
                plate.cut_out.len()
            );
        }
    }
    assert!(n_doors > 0);
}

#[test]
fn bars_on_large_paper_reach_across_the_sheet() {
    let made = sample_under("bunkhouse", "plan.dxf", "[sheets]\nshop = \"ARCH D\"\n");
    let mut files = made.documents.files.iter();
    let (_, sheet) = files
        .find(|(name, _)| name.ends_with("-lumber.svg"))
        .unwrap();
    let svg = String::from_utf8_lossy(sheet);
    let document = roxmltree::Document::parse(&svg).unwrap();
    let bars = document
        .descendants()
        .find(|it| it.attribute("id") == Some("bars"))
        .unwrap();
    let numbers = |it: roxmltree::Node<'_, '_>| {
        let [x, width] = ["x", "width"].map(|name| it.attribute(name)?.parse::<f64>().ok());
        Some(x? + width?)
    };
    let right = bars.descendants().filter_map(numbers).fold(0.0, f64::max);
    // ARCH D is 914.4 mm wide, its strip for title and notes 140 mm.
    assert!(right > 0.8 * (914.4 - 140.0), "the bars end at {right} mm");
}

#[test]
fn a_doors_bridge_is_lifted_weighed_listed_and_drawn_and_gone_where_the_plant_wants_none() {
    let with = sample_under("bunkhouse", "plan.dxf", "");
    let without = sample_under("bunkhouse", "plan.dxf", "[openings]\ndoor_bridge = 0\n");
    let mut n_bridges = 0;
    let pairs = with
        .fabrication
        .panels
        .iter()
        .zip(&without.fabrication.panels);
    for (panel, bare) in pairs {
        let bridges = panel
            .lumber
            .iter()
            .filter(|it| it.usage.starts_with("bridge"));
        let weight: f64 = bridges.clone().map(|it| it.weight_lb).sum();
        assert!(
            (panel.weight_lb - bare.weight_lb - weight).abs() < 1e-9,
            "{}",
            panel.mark
        );
        for bridge in bridges {
            n_bridges += 1;
            assert!(weight > 1.0);
            let listed = rows(&with, "lumber")
                .into_iter()
                .find(|row| row["mark"] == bridge.mark);
            assert_eq!(listed.unwrap()["use"], "bridge, cut out on site");
            let special = rows(&with, "specials").into_iter().find(|row| {
                row["panel"] == panel.mark
                    && row["special"] == "bridge, cut out on site"
                    && row["where"].starts_with(&format!("{}, ", bridge.mark))
            });
            let long = special.unwrap()["length (in)"].parse::<f64>().unwrap();
            assert!((long - bridge.length.to_inches()).abs() < 1e-3);
            let sheet = |made: &Made| {
                let mut files = made.documents.files.iter();
                let own = files.find(|(name, _)| {
                    name.starts_with("sheets/") && name.contains(&format!("-{}.svg", panel.mark))
                });
                own.map(|(_, bytes)| String::from_utf8_lossy(bytes).into_owned())
            };
            assert!(
                sheet(&with).unwrap().contains("cut out on site"),
                "{}",
                panel.mark
            );
            assert!(!sheet(&without).unwrap().contains("cut out on site"));
        }
    }
    assert!(n_bridges > 0);
}

#[test]
fn press_cycles_hold_what_the_press_takes_and_never_mix() {
    // Common practice, no source: glue is dry after four minutes in a holding press.
    let made = sample_under(
        "workshop",
        "plan.dxf",
        "[press]\nblanks = 2\nminutes = 4.0\n",
    );
    let tickets = rows(&made, "lamination");
    assert!(tickets.len() > 3);
    let mut cycles: BTreeMap<u32, Vec<(String, String)>> = BTreeMap::new();
    for ticket in &tickets {
        let cycle: u32 = ticket["press cycle"].parse().unwrap();
        let made = (ticket["assembly"].clone(), ticket["line"].clone());
        cycles.entry(cycle).or_default().push(made);
        let dry: f64 = ticket["dry after (min)"].parse().unwrap();
        assert!((dry - 4.0 * f64::from(cycle)).abs() < 1e-9);
    }
    for (cycle, blanks) in &cycles {
        assert!(blanks.len() <= 2, "{cycle}");
        assert!(
            blanks.iter().all(|it| *it == blanks[0]),
            "{cycle}: {blanks:?}"
        );
    }
    // Groups by assembly and line: each is begun once.
    let order: Vec<_> = tickets
        .iter()
        .map(|it| (&it["assembly"], &it["line"]))
        .collect();
    let begun = 1 + order.windows(2).filter(|pair| pair[0] != pair[1]).count();
    assert_eq!(begun, order.iter().collect::<BTreeSet<_>>().len());
    let last = cycles.keys().next_back().copied();
    assert_eq!(last, u32::try_from(cycles.len()).ok());
}

#[test]
fn every_piece_says_who_fits_it_and_equal_panels_share_a_drawing_but_no_mark() {
    let mut n_equal = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        for row in rows(&made, "lumber") {
            assert!(
                ["plant", "loose", "site"].contains(&row["fitted"].as_str()),
                "{case}: {row:?}"
            );
        }
        let marks: Vec<&str> = made
            .fabrication
            .panels
            .iter()
            .map(|it| it.mark.as_str())
            .collect();
        assert_eq!(
            marks.iter().collect::<BTreeSet<_>>().len(),
            marks.len(),
            "{case}"
        );
        let by_mark = |mark: &str| made.fabrication.panels.iter().find(|it| it.mark == mark);
        for panel in &made.fabrication.panels {
            let Some(twin) = panel.same_as.as_deref().and_then(by_mark) else {
                continue;
            };
            n_equal += 1;
            let drawn = |it: &FabricatedPanel| {
                (
                    it.outer_skin.clone(),
                    it.inner_skin.clone(),
                    it.core.clone(),
                    it.chases.clone(),
                )
            };
            assert_eq!(drawn(panel), drawn(twin), "{case}: {}", panel.mark);
            assert!((panel.weight_lb - twin.weight_lb).abs() < 1e-9);
        }
    }
    assert!(n_equal > 0);
}
