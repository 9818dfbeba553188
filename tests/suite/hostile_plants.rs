//! Plants, leftovers and jobs at odd limits: whatever they ask, nothing panics, every conflict is a finding, and the proofs hold.

use crate::house::{house_with, package};
use crate::kit::sample_file;
use panelwright::documents::PdfFiles;
use panelwright::package::{InputFile, MakeError, MakeOptions, make};
use panelwright::rules::{ChaseMade, PlantRules, read_rules};
use panelwright::stock::{Leftover, Leftovers, plan_stock};
use panelwright::units::Length;
use panelwright::verify::verify_package;
use std::collections::BTreeSet;

/// A whole number from 0 up to `n`, by a linear congruence (the constants of Knuth's MMIX).
fn chance(state: &mut u64, n: usize) -> usize {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    usize::try_from(*state >> 33).unwrap() % n
}

/// One of some lengths, inches.
fn one_of(state: &mut u64, inches: &[i64]) -> Length {
    Length::inches(inches[chance(state, inches.len())])
}

/// A plant that nobody would run, and that the rules allow.
fn odd_plant(state: &mut u64) -> PlantRules {
    let mut rules = PlantRules::default();
    rules.chases.made = [ChaseMade::Core, ChaseMade::Panel][chance(state, 2)];
    let stock = &mut rules.stock;
    stock.kerf = one_of(state, &[0, 0, 1, 12]);
    stock.board_kerf = one_of(state, &[0, 12]);
    stock.board_trim = one_of(state, &[0, 0, 1, 12]);
    stock.wire_kerf = one_of(state, &[0, 12]);
    stock.billet_skin = one_of(state, &[0, 1, 12]);
    stock.slab_trim = one_of(state, &[0, 0, 1, 12]);
    stock.least_core_strip = one_of(state, &[0, 6, 12]);
    stock.lumber_kerf = one_of(state, &[0, 12]);
    stock.lumber_trim = one_of(state, &[0, 12]);
    stock.spline_lengths = vec![one_of(state, &[1, 96, 720])];
    stock.least_width = one_of(state, &[0, 1, 720]);
    stock.least_length = one_of(state, &[0, 1, 720]);
    stock.batch = u32::try_from(chance(state, 3)).unwrap();
    stock.batch_window = u32::try_from(chance(state, 2)).unwrap();
    stock.effort = [1, 1000, 100_000][chance(state, 3)];
    for board in &mut stock.boards {
        board.length = one_of(state, &[1, 97, 288, 720]);
        board.width = one_of(state, &[1, 48, 97, 720]);
    }
    for billet in &mut stock.billets {
        billet.length = one_of(state, &[24, 360]);
        billet.width = one_of(state, &[13, 24, 48, 720]);
        billet.height = one_of(state, &[1, 6, 48]);
    }
    for line in &mut rules.lines {
        line.made_to_length = chance(state, 2) == 0;
        line.trim = one_of(state, &[0, 0, 1]);
    }
    rules
}

#[test]
fn plants_at_odd_limits_are_proved_and_whatever_fits_nothing_is_told() {
    let mut state = 5;
    let (mut told, mut placed) = (0, 0);
    for round in 0..8 {
        let house = house_with(odd_plant(&mut state));
        let made = plan_stock(
            &house.layout,
            &house.fabrication,
            &house.rules,
            &Leftovers::default(),
        );
        let plan = &made.output;
        placed += plan.blanks.len();
        let codes: BTreeSet<&str> = made.findings.iter().map(|it| it.code.name()).collect();
        let is_told = ["STOCK-01", "STOCK-02"].iter().any(|it| codes.contains(it));
        assert_eq!(
            is_told,
            !plan.unplaced.is_empty(),
            "round {round}: {codes:?}"
        );
        told += usize::from(is_told);
        // Core joints that no slab avoids would put their panels on HOLD: the package is proved without them here.
        let jointed = codes.contains("STOCK-04");
        let outcome = verify_package(&package(&house)).unwrap();
        let failed: Vec<String> = outcome
            .findings
            .iter()
            .filter(|it| !(jointed && it.message.contains("a joint of the core")))
            .map(ToString::to_string)
            .collect();
        assert_eq!(failed, Vec::<String>::new(), "round {round}");
    }
    assert!(told > 0 && placed > 0, "{told} told, {placed} placed");
}

#[test]
fn leftovers_of_no_use_are_handed_on_and_change_nothing() {
    let house = house_with(PlantRules::default());
    let models = (&house.layout, &house.fabrication, &house.rules);
    let plain = plan_stock(models.0, models.1, models.2, &Leftovers::default()).output;
    let assembly = house.rules.assemblies[house.fabrication.panels[0].assembly]
        .name
        .clone();
    let sliver = Length::nanometres(1);
    let kinds = [
        ("blank", assembly.as_str()),
        ("blank", "no such assembly"),
        ("board", "OSB"),
        ("slab", "EPS"),
        ("billet", "EPS"),
        ("bar", "2x6"),
        ("bar", "no such section"),
    ];
    let all = kinds
        .iter()
        .enumerate()
        .map(|(number, (kind, what))| Leftover {
            // One bears the name that an offcut of this job would bear.
            name: if number == 0 {
                "B01-1".to_owned()
            } else {
                format!("J{number}")
            },
            kind,
            what: (*what).to_owned(),
            grade: "SPF No. 2".to_owned(),
            // A billet as large as new ones, and too low for a slab between its trims.
            thickness: match *kind {
                "board" => Length::fraction(0, 7, 16),
                "slab" => Length::fraction(5, 5, 8),
                "billet" => sliver,
                _ => Length::ZERO,
            },
            length: if *kind == "billet" {
                Length::feet(30)
            } else {
                sliver
            },
            width: match *kind {
                "bar" => Length::ZERO,
                "billet" => Length::feet(4),
                _ => sliver,
            },
            ..Leftover::default()
        });
    let all: Vec<Leftover> = all.collect();
    let leftovers = Leftovers { all: all.clone() };
    let plan = plan_stock(models.0, models.1, models.2, &leftovers).output;
    assert_eq!(plan.blanks.len(), plain.blanks.len());
    assert_eq!(plan.boards.len(), plain.boards.len());
    assert_eq!(plan.bars.len(), plain.bars.len());
    assert_eq!(plan.slabs.len(), plain.slabs.len());
    assert_eq!(plan.billets.len(), plain.billets.len());
    for it in &all {
        let same = plan.leftovers.iter().filter(|kept| kept.name == it.name);
        assert_eq!(same.count(), 1, "{} is handed on once", it.name);
    }
}

fn text(name: &str, text: &str) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    }
}

/// Things a job may ask of one wall that cannot all be, and the codes of which one at least must tell it.
const CONTRADICTIONS: [(&str, &[&str]); 7] = [
    (
        "joints = [60, 61]\nlocked = [[50, 100]]\nkeep_clear = [[0, 200]]\n",
        &["LAY-09"],
    ),
    (
        "points = [{ at = 60, width = 4, what = 'girder', post = '9-2x6', pocket = [2, 3] }]\n",
        &["FAB-16"],
    ),
    (
        "points = [{ at = 30, width = 4, what = 'a', post = '2-2x6' }, { at = 31, width = 4, what = 'b', post = '2-2x6' }]\n",
        &["FAB-16"],
    ),
    (
        "nailers = [{ from = -100, to = 5000, height = 1, section = '2x12', what = 'shelf' }]\n",
        &["FAB-16"],
    ),
    (
        "nailers = [{ from = 10, to = 90, height = 60, section = '9x9', what = 'shelf', face = 'outer' }]\n",
        &["FAB-16"],
    ),
    (
        "boxes = [{ at = 30, height = 700, size = [2, 3], what = 'lamp' }]\nchases = [30, 30, 31]\n",
        &["FAB-16", "FAB-09", "FAB-08"],
    ),
    ("measured = 1\n", &["LAY-12"]),
];

#[test]
fn jobs_that_contradict_themselves_are_told_and_proved() {
    for (wish, codes) in CONTRADICTIONS {
        let job =
            format!("assembly = '6-1/2'\n[wall]\nheight = 108\n[[layout]]\nid = 'X1'\n{wish}");
        let options = MakeOptions {
            job: Some(text("job.toml", &job)),
            pdf: PdfFiles::LeftOut,
            ..MakeOptions::default()
        };
        let sketch = sample_file("napkin", "sketch.toml");
        match make(&[sketch], &options, &mut |_| {}) {
            Err(MakeError::Rules(refused)) => {
                assert!(refused.to_string().starts_with("job.toml:"), "{refused}");
            }
            Err(other) => panic!("{wish}: {other}"),
            Ok(made) => {
                let found: BTreeSet<&str> = made.findings.iter().map(|it| it.code.name()).collect();
                let is_told = codes.iter().any(|it| found.contains(it));
                assert!(is_told, "{wish}: {found:?}");
                let broken = made.proofs.proofs.iter().find(|it| it.n_failed > 0);
                assert!(broken.is_none(), "{wish}: {broken:?}");
            }
        }
    }
}

#[test]
fn a_plant_whose_rules_contradict_each_other_is_refused_with_its_line() {
    for rules in [
        "[stock]\nkerf = -1\n",
        "[stock]\nbatch_window = -1\n",
        "[[stock.boards]]\nmaterial = 'OSB'\nthickness = '7/16'\nlength = 0\nwidth = 48\n",
        "[[stock.billets]]\nmaterial = 'EPS'\nlength = 360\nwidth = 'wide'\nheight = 48\n",
        "[stock]\nleast_core_strip = \"40'\"\n",
        "[nailers]\nbase_heights = [40, 30]\n",
    ] {
        let refused = read_rules(rules, "plant.toml").unwrap_err().to_string();
        assert!(refused.starts_with("plant.toml:"), "{refused}");
    }
}
