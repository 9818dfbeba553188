//! No joint between pieces of a core goes through a lintel: ANSI/APA PRS 610.1, committee ballot of June 2009, as quoted in the trade:
//! "core joints may not occur between supports".

use crate::house::{House, house_with, opening, package, plan_of, raised_for, walls};
use crate::kit::sample_file;
use panelwright::documents::PdfFiles;
use panelwright::fabrication::FabricatedPanel;
use panelwright::findings::Severity;
use panelwright::geometry::{ShopPoint, ShopRect};
use panelwright::layout::PanelKind;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::plan::OpeningKind;
use panelwright::rules::{ChaseMade, HeaderMember, PlantRules, read_job};
use panelwright::stock::{Leftover, Leftovers, StockPlan, plan_stock, stock_text};
use panelwright::units::Length;
use panelwright::verify::verify_package;
use serde_json::Value;
use std::collections::BTreeSet;

/// The bunkhouse with no header over its windows: every panel carries over its own.
fn own_headers(rules: &str) -> Made {
    let mut job = sample_file("bunkhouse", "job.toml");
    job.bytes
        .extend_from_slice(b"\n[[opening]]\nkind = 'window'\nheader = 'none'\n");
    let options = MakeOptions {
        job: Some(job),
        rules: Some(InputFile {
            name: "plant.toml".to_owned(),
            bytes: rules.as_bytes().to_vec(),
        }),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(
        &[sample_file("bunkhouse", "plan.dxf")],
        &options,
        &mut |_| {},
    )
    .unwrap()
}

/// A header panel, and over each opening of a panel, up to its top, where no header lies in it.
fn carried(panel: &FabricatedPanel) -> Vec<ShopRect> {
    let has_header = panel.lumber.iter().any(|it| it.usage == "header");
    if panel.kind == PanelKind::Header && !has_header {
        let (wide, high) = (panel.width, panel.height);
        return vec![ShopRect::new(Length::ZERO, Length::ZERO, wide, high)];
    }
    let over = panel.openings.iter().filter(|_| !has_header);
    over.map(|it| ShopRect::new(it.rough.x0, it.rough.y1, it.rough.x1, panel.height))
        .collect()
}

/// Marks of panels with a core joint where they carry, walked in 1/4 in steps along each joint.
fn jointed(stock: &StockPlan, panels: &[FabricatedPanel]) -> Vec<String> {
    let mut found = Vec::new();
    for blank in &stock.blanks {
        for placed in &blank.panels {
            let panel = &panels[placed.panel];
            for rect in carried(panel) {
                let corners = [(rect.x0, rect.y0), (rect.x1, rect.y1)];
                let [a, b] = corners.map(|(x, y)| placed.on.point(ShopPoint::new(x, y)));
                let is_in = |x: f64, y: f64| {
                    let (x0, x1) = (a.x.min(b.x).to_inches(), a.x.max(b.x).to_inches());
                    let (y0, y1) = (a.y.min(b.y).to_inches(), a.y.max(b.y).to_inches());
                    x0 < x && x < x1 && y0 < y && y < y1
                };
                for [from, to] in &blank.core_joints {
                    let [p, q] = [from, to].map(|it| (it.x.to_inches(), it.y.to_inches()));
                    let steps = 4.0 * (q.0 - p.0).hypot(q.1 - p.1);
                    let mut at = 0.0;
                    while at <= steps {
                        let share = at / steps;
                        if is_in(p.0 + (q.0 - p.0) * share, p.1 + (q.1 - p.1) * share) {
                            found.push(panel.mark.clone());
                            break;
                        }
                        at += 1.0;
                    }
                }
            }
        }
    }
    found
}

#[test]
fn a_panel_that_carries_over_its_window_has_one_piece_of_core_there() {
    let made = own_headers("");
    let panels = &made.fabrication.panels;
    let n = panels.iter().filter(|it| !carried(it).is_empty()).count();
    assert!(n > 4, "{n} panels carry over a window");
    assert_eq!(jointed(&made.stock, panels), Vec::<String>::new());
    assert!(made.findings.iter().all(|it| it.code.name() != "STOCK-04"));
    assert!(made.proofs.proofs.iter().all(|it| it.n_failed == 0));
    // Slabs 4 ft wide in blanks 8 ft wide: there are joints, and the proof sees one that is moved under a window's head.
    let joints = made.stock.blanks.iter().map(|it| it.core_joints.len());
    assert!(joints.sum::<usize>() > 4);
    let mut files = made.documents.files.clone();
    let mut stock: Value = serde_json::from_slice(&files["stock.json"]).unwrap();
    for blank in stock["blanks"].as_array_mut().unwrap() {
        let (long, wide) = (
            blank["length"].clone(),
            blank["width"].as_f64().unwrap() / 2.0,
        );
        blank["core_joints"] = serde_json::json!([[[0.0, wide], [long, wide]]]);
    }
    files.insert("stock.json".to_owned(), stock.to_string().into_bytes());
    let failed = verify_package(&files).unwrap().findings;
    let told = failed
        .iter()
        .find(|it| it.message.contains("a joint of the core"));
    assert_eq!(told.unwrap().code.name(), "PROOF-13");
}

#[test]
fn where_no_slab_is_wide_enough_the_panel_is_held_and_on_no_blank() {
    // 2 ft wide slabs: over a window 36 1/2 in wide under 26 in of panel none is whole.
    let billets =
        "[[stock.billets]]\nmaterial = 'EPS'\nlength = \"30'\"\nwidth = \"2'\"\nheight = \"4'\"\n";
    let made = own_headers(billets);
    let faults: Vec<_> = made
        .findings
        .iter()
        .filter(|it| it.code.name() == "STOCK-04")
        .collect();
    assert!(!faults.is_empty());
    assert!(faults.iter().all(|it| it.severity == Severity::Fault));
    for fault in &faults {
        let mark = fault.place.panel.as_ref().unwrap();
        let panel = made
            .fabrication
            .panels
            .iter()
            .find(|it| it.mark == *mark)
            .unwrap();
        assert!(panel.holds.iter().any(|it| it.code == "STOCK-04"), "{mark}");
        assert!(made.stock.held.contains(mark) && made.stock.blank_of(mark).is_none());
        assert!(
            made.documents
                .files
                .contains_key(&format!("held/{mark}.dxf"))
        );
    }
    assert!(!made.is_complete());
    assert_eq!(
        jointed(&made.stock, &made.fabrication.panels),
        Vec::<String>::new()
    );
    assert!(made.proofs.proofs.iter().all(|it| it.n_failed == 0));
}

fn bare_house() -> House {
    let mut rules = PlantRules::default();
    for rule in &mut rules.openings.headers {
        rule.member = HeaderMember::None;
        rule.jacks = 0;
    }
    // With chases in the core no leftover is used at all.
    rules.chases.made = ChaseMade::Panel;
    house_with(rules)
}

#[test]
fn what_carries_is_cut_from_a_leftover_only_where_its_core_is_known_to_be_whole() {
    let house = bare_house();
    let panels = &house.fabrication.panels;
    let assembly = house.rules.assemblies[panels[0].assembly].name.clone();
    let left = |has_whole_core| {
        let all = (0..40).map(|number| Leftover {
            name: format!("J{number}"),
            kind: "blank",
            what: assembly.clone(),
            length: Length::feet(10),
            width: Length::feet(8),
            has_whole_core,
            ..Leftover::default()
        });
        Leftovers { all: all.collect() }
    };
    let on_old = |leftovers: &Leftovers| -> Vec<bool> {
        let plan = plan_stock(&house.layout, &house.fabrication, &house.rules, leftovers).output;
        let old = plan
            .blanks
            .iter()
            .filter(|it| !it.sheet.leftover.is_empty());
        let placed = old.flat_map(|it| &it.panels);
        placed
            .map(|it| !carried(&panels[it.panel]).is_empty())
            .collect()
    };
    let whole = on_old(&left(true));
    assert!(
        whole.iter().any(|it| *it),
        "what carries lies on whole leftovers"
    );
    let unsure = on_old(&left(false));
    assert!(unsure.iter().all(|it| !*it), "and on no other");
}

#[test]
fn an_offcut_says_whether_a_joint_runs_through_its_core() {
    let mut rules = PlantRules::default();
    for line in &mut rules.lines {
        line.made_to_length = false;
    }
    rules.chases.made = ChaseMade::Panel;
    let house = house_with(rules);
    let plan = plan_stock(
        &house.layout,
        &house.fabrication,
        &house.rules,
        &Leftovers::default(),
    );
    let plan = plan.output;
    let mut kinds = [0, 0];
    for blank in &plan.blanks {
        for offcut in blank.sheet.offcuts.iter().filter(|it| it.is_kept) {
            let left = plan
                .leftovers
                .iter()
                .find(|it| it.name == offcut.name)
                .unwrap();
            let r = offcut.rect;
            let crosses = blank.core_joints.iter().any(|[a, b]| {
                let along = a.y == b.y;
                if along {
                    r.y0 < a.y && a.y < r.y1 && a.x.min(b.x) < r.x1 && a.x.max(b.x) > r.x0
                } else {
                    r.x0 < a.x && a.x < r.x1 && a.y.min(b.y) < r.y1 && a.y.max(b.y) > r.y0
                }
            });
            assert_eq!(left.has_whole_core, !crosses, "{}", left.name);
            kinds[usize::from(crosses)] += 1;
        }
    }
    assert!(kinds.iter().sum::<usize>() > 0, "{kinds:?}");
    let written = stock_text(&plan.leftovers);
    assert_eq!(
        written.matches("whole_core = true").count(),
        plan.leftovers.iter().filter(|it| it.has_whole_core).count()
    );
}

#[test]
fn whatever_slabs_are_on_hand_a_panel_is_told_just_where_its_lintel_is_jointed() {
    let (mut told, mut whole) = (0, 0);
    for inches in [12, 20, 24, 27, 30, 34, 40, 48, 60, 96] {
        let mut house = bare_house();
        for billet in &mut house.rules.stock.billets {
            billet.width = Length::inches(inches);
        }
        let models = (&house.layout, &house.fabrication, &house.rules);
        let made = plan_stock(models.0, models.1, models.2, &Leftovers::default());
        let faults = made
            .findings
            .iter()
            .filter(|it| it.code.name() == "STOCK-04");
        let faults: BTreeSet<String> = faults.filter_map(|it| it.place.panel.clone()).collect();
        let panels = &house.fabrication.panels;
        let jointed: BTreeSet<String> = jointed(&made.output, panels).into_iter().collect();
        assert_eq!(jointed, faults, "slabs {inches} in wide");
        told += usize::from(!faults.is_empty());
        whole += usize::from(faults.is_empty());
    }
    assert!(told > 0 && whole > 0, "{told} told, {whole} whole");
}

/// A shed whose long walls have a window too wide for a slab as it lies, and whose short ones a low slot with five feet of panel over it.
fn shed(made: ChaseMade) -> House {
    let outline = [(0.0, 0.0), (66.0, 0.0), (66.0, 36.0), (0.0, 36.0)];
    let walls = walls(&outline);
    let window = |id, wall: usize, near, width| {
        opening(id, &walls[wall], OpeningKind::Window, near, width, "fixed")
    };
    let openings = vec![
        window("O1", 0, 10.75, 38.0),
        window("O2", 1, 11.25, 7.0),
        window("O3", 3, 11.25, 7.0),
    ];
    let job = "[[opening]]\nkind = 'window'\nheader = 'none'\n\
        [[opening]]\nid = 'O1'\nhead = 82\nrough_height = 40\n\
        [[opening]]\nid = 'O2'\nhead = 36\nrough_height = 10\n\
        [[opening]]\nid = 'O3'\nhead = 36\nrough_height = 10\n";
    let job = read_job(job, "job.toml").unwrap().output;
    let mut rules = PlantRules::default();
    rules.lines.retain(|line| line.width > Length::inches(48));
    rules.stock.billets[0].width = Length::inches(36);
    rules.chases.made = made;
    raised_for(plan_of(&outline, walls, openings), rules, &job)
}

#[test]
fn panels_whose_lintels_no_core_of_one_blank_has_whole_lie_on_blanks_of_their_own() {
    for made in [ChaseMade::Panel, ChaseMade::Core] {
        let house = shed(made);
        let none = Leftovers::default();
        let plan = plan_stock(&house.layout, &house.fabrication, &house.rules, &none);
        let told: Vec<String> = plan.findings.iter().map(ToString::to_string).collect();
        assert!(told.iter().all(|it| !it.contains("STOCK-04")), "{told:?}");
        let panels = &house.fabrication.panels;
        assert_eq!(jointed(&plan.output, panels), Vec::<String>::new());
        let placed = plan.output.blanks.iter().map(|it| it.panels.len());
        assert_eq!(placed.sum::<usize>(), panels.len());
        // What has no lintel still shares a blank.
        assert!(plan.output.blanks.iter().any(|it| it.panels.len() > 1));
        let proved = verify_package(&package(&house)).unwrap();
        assert_eq!(proved.findings, []);
    }
}
