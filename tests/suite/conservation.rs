//! Nothing is lost between stock and panels: random buildings from fixed seeds, added up apart from the program's own proofs.

use crate::house::{House, opening, package, plan_of, raised, walls};
use panelwright::plan::OpeningKind;
use panelwright::rules::{ChaseMade, PlantRules};
use panelwright::verify::verify_package;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

type Files = BTreeMap<String, Vec<u8>>;

/// Numbers that look drawn by chance and are the same in every run.
struct Chance(u64);

impl Chance {
    /// A whole number of so many, from 0.
    fn below(&mut self, n: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        u32::try_from(self.0 >> 33).unwrap() % n
    }

    fn inches(&mut self, from: u32, to: u32) -> f64 {
        f64::from(from + self.below(to - from + 1))
    }
}

/// A rectangle or an L with windows and a door, under drawn rules.
fn building(seed: u64) -> House {
    let mut chance = Chance(seed);
    let (long, deep) = (chance.inches(240, 480), chance.inches(200, 330));
    let mut outline = vec![(0.0, 0.0), (long, 0.0), (long, deep)];
    if chance.below(2) == 0 {
        let (x, y) = (long - chance.inches(96, 130), deep - chance.inches(80, 100));
        outline.truncate(2);
        outline.extend([(long, y), (x, y), (x, deep)]);
    }
    outline.push((0.0, deep));
    let walls = walls(&outline);
    let mut openings = Vec::new();
    for (number, wall) in walls.iter().enumerate() {
        let length = (wall.end.x - wall.start.x).hypot(wall.end.y - wall.start.y);
        if length < 150.0 {
            continue;
        }
        let near = chance.inches(40, 60);
        let (kind, wide, tag) = match chance.below(3) {
            0 => (OpeningKind::Door, 36.0, "3068"),
            1 => (OpeningKind::Window, 48.0, "4040"),
            _ => (OpeningKind::Window, 36.0, "3040"),
        };
        let name = format!("O{}", number + 1);
        openings.push(opening(&name, wall, kind, near, wide, tag));
    }
    let mut rules = PlantRules::default();
    if chance.below(2) == 0 {
        rules.chases.made = ChaseMade::Panel;
    }
    for line in &mut rules.lines {
        line.made_to_length = chance.below(2) == 0;
    }
    raised(plan_of(&outline, walls, openings), rules)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn all<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap()
}

fn area(at: &Value) -> f64 {
    let side = |i: usize| number(&at[i]);
    (side(2) - side(0)) * (side(3) - side(1))
}

/// What is neither piece nor offcut of a sheet is trim and kerf: not less than nothing, not more than every cut in full.
#[track_caller]
fn check_sheet(sheet: &Value, pieces: &str) {
    let [length, width, trim, kerf] =
        ["length", "width", "trim", "kerf"].map(|it| number(&sheet[it]));
    let inside = (length - 2.0 * trim) * (width - 2.0 * trim);
    let parts = all(sheet, pieces).iter().chain(all(sheet, "offcuts"));
    let parts: f64 = parts.map(|it| area(&it["at"])).sum();
    let through = all(sheet, "cuts").iter();
    let through = through.filter(|it| it["kind"].is_null() || it["kind"] == "through");
    let dust: f64 = through
        .map(|it| {
            let along = |i: usize| number(&it["to"][i]) - number(&it["from"][i]);
            along(0).hypot(along(1)) * kerf
        })
        .sum();
    let lost = inside - parts;
    assert!(lost > -1e-6 && lost < dust + 1e-6, "{lost} of {dust}");
}

fn marks(files: &Files, list: &str) -> BTreeSet<String> {
    let mut reader = csv::Reader::from_reader(files[list].as_slice());
    let rows = reader.deserialize::<BTreeMap<String, String>>();
    rows.map(|row| row.unwrap()["mark"].clone()).collect()
}

#[test]
fn boards_blanks_foam_and_parts_add_up_on_random_buildings() {
    for seed in 0..8 {
        let house = building(seed);
        let files = package(&house);
        let outcome = verify_package(&files).unwrap();
        let messages: Vec<String> = outcome.findings.iter().map(ToString::to_string).collect();
        assert_eq!(messages, Vec::<String>::new(), "seed {seed}");

        let stock: Value = serde_json::from_slice(&files["stock.json"]).unwrap();
        assert!(all(&stock, "unplaced").is_empty(), "seed {seed}");
        for (list, pieces) in [("boards", "pieces"), ("slabs", "pieces")] {
            all(&stock, list)
                .iter()
                .for_each(|it| check_sheet(it, pieces));
        }
        // Two panels nose to tail share a rectangle: such a blank is left to the program's proof.
        let blanks = all(&stock, "blanks").iter();
        let plain = |it: &&Value| {
            all(it, "panels")
                .iter()
                .all(|it| it["paired_with"].is_null())
        };
        blanks
            .filter(plain)
            .for_each(|it| check_sheet(it, "panels"));

        // Skins of blanks are what boards are cut into.
        let blanks = all(&stock, "blanks").iter();
        let skins: f64 = blanks
            .map(|it| 2.0 * number(&it["length"]) * number(&it["width"]))
            .sum();
        let pieces = all(&stock, "boards")
            .iter()
            .flat_map(|it| all(it, "pieces"));
        let cut: f64 = pieces.map(|it| area(&it["at"])).sum();
        assert!((skins - cut).abs() < 1e-6, "seed {seed}: {skins} of {cut}");
        for foam in all(&stock, "foam") {
            let part = |key: &str| number(&foam[key]);
            let parts = [
                "panels",
                "kept",
                "rests",
                "wire",
                "blank_offcuts",
                "grindings",
            ];
            let sum: f64 = parts.iter().map(|it| part(&format!("{it}_cu_ft"))).sum();
            let cut = part("billets_cu_ft") + part("slabs_cu_ft");
            assert!((cut - sum).abs() < 1e-6, "seed {seed}");
        }

        // The same panels in lists, outlines and on blanks; each panel's skins in the list, as large as they are.
        let panels: Value = serde_json::from_slice(&files["panels.json"]).unwrap();
        let free = all(&panels, "panels")
            .iter()
            .filter(|it| it["hold"] == false);
        let free: BTreeSet<String> = free
            .map(|it| it["mark"].as_str().unwrap().to_owned())
            .collect();
        let on_blanks = all(&stock, "blanks")
            .iter()
            .flat_map(|it| all(it, "panels"));
        let on_blanks: Vec<String> = on_blanks
            .map(|it| it["mark"].as_str().unwrap().to_owned())
            .collect();
        assert_eq!(on_blanks.len(), free.len(), "seed {seed}");
        assert_eq!(on_blanks.into_iter().collect::<BTreeSet<_>>(), free);
        assert_eq!(marks(&files, "lists/saw.csv"), free);
        let outlines = files.keys().filter_map(|it| {
            let name = it.strip_prefix("outlines/")?;
            name.strip_suffix(".dxf").map(str::to_owned)
        });
        assert_eq!(outlines.collect::<BTreeSet<_>>(), free);
    }
}
