//! Skins that differ in thickness and material, and panels with one skin, from words to proved files.
//!
//! ```text
//!   ══ treated plywood 1/2      ══ OSB 7/16
//!   ░░                          ░░
//!   ── OSB 7/16                    bare: bears nothing
//! ```

use crate::kit::{rows, sample_file};
use panelwright::documents::PdfFiles;
use panelwright::findings::Severity;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::rules::Face;
use panelwright::units::Length;

const COMMON: &str = "lumber = '2x6'\ncore = '5-5/8'\ncore_material = 'EPS'\ncore_density = 1.0\nskin_material = 'OSB'\nskin_density = 40.0\n";
const BOARDS: &str = "[[stock.boards]]\nmaterial = 'OSB'\nthickness = '7/16'\nlength = '24 ft'\nwidth = '8 ft'\n\
    [[stock.boards]]\nmaterial = 'treated plywood'\nthickness = '1/2'\nlength = '20 ft'\nwidth = '8 ft'\n\
    [[stock.boards]]\nmaterial = 'treated plywood'\nthickness = '1/2'\nlength = '10 ft'\nwidth = '5 ft'\n";
fn made(skins: &str, more: &str, job: &str) -> Made {
    let text = |name: &str, text: String| InputFile {
        name: name.to_owned(),
        bytes: text.into_bytes(),
    };
    let rules = format!(
        "default_assembly = 'A'\n[[assemblies]]\nname = 'A'\n{COMMON}{skins}{BOARDS}{more}"
    );
    let job = format!(
        "name = 'Skins'\nnumber = 'J-1'\nassembly = 'A'\n[wall]\nheight = \"9'-0\\\"\"\n{job}[[opening]]\ntag = '6040'\nheader = '2-2x10'\n"
    );
    let prices = String::from_utf8(sample_file(".", "prices.toml").bytes).unwrap();
    let prices = prices.replace(
        "\"OSB 7/16\" = \"0.62\"",
        "\"OSB 7/16\" = \"1.00\", \"treated plywood 1/2\" = \"3.00\"",
    );
    let options = MakeOptions {
        job: Some(text("job.toml", job)),
        rules: Some(text("plant.toml", rules)),
        prices: Some(text("prices.toml", prices)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    let plan = sample_file("bunkhouse", "plan.dxf");
    let made = make(&[plan], &options, &mut |_| {}).unwrap_or_else(|error| panic!("{error}"));
    let broken = made.proofs.proofs.iter().find(|proof| proof.n_failed > 0);
    assert!(broken.is_none(), "{:?}", broken.map(|it| it.statement));
    made
}

fn text<'a>(made: &'a Made, name: &str) -> &'a str {
    std::str::from_utf8(&made.documents.files[name]).unwrap()
}

const FOUNDATION: &str = "outer_skin = '1/2'\ninner_skin = '7/16'\nouter_skin_material = 'treated plywood'\nouter_skin_density = 36.0\n";

#[test]
fn skins_that_differ_are_cut_weighed_priced_and_named_each_as_its_own() {
    let made = made(FOUNDATION, "", "");
    let skins = rows(&made, "skins");
    for row in &skins {
        let wanted = if row["face"] == "outer" {
            ("treated plywood", "0.5")
        } else {
            ("OSB", "0.4375")
        };
        assert_eq!(
            (row["material"].as_str(), row["thickness (in)"].as_str()),
            wanted
        );
    }
    assert_eq!(skins.len(), made.fabrication.panels.len() * 2);
    // Each board holds skins of one face alone, and no piece is longer or wider than its own kind of board.
    let is_skin = |row: &std::collections::BTreeMap<String, String>| row["piece"] != "offcut";
    for row in rows(&made, "boards").into_iter().filter(is_skin) {
        let (face, room) = if row["material"] == "OSB" {
            ("inner", 288.0)
        } else {
            ("outer", 240.0)
        };
        assert!(row["piece"].ends_with(face), "{row:?}");
        assert!(row["stock length (in)"].parse::<f64>().unwrap() <= room);
    }
    for row in rows(&made, "lamination") {
        assert_eq!(
            [
                &row["upper material"],
                &row["lower material"],
                &row["glue lines"]
            ],
            ["treated plywood 1/2", "OSB 7/16", "2"]
        );
        assert!(row["upper skin"].contains("outer") && row["lower skin"].contains("inner"));
    }
    // By hand: a panel without openings weighs its faces, 36 pcf x 1/2 in and 40 pcf x 7/16 in, foam and lumber.
    let plain = made
        .fabrication
        .panels
        .iter()
        .find(|it| it.openings.is_empty())
        .unwrap();
    let even = super_weight(plain, 36.0 * 0.5 + 40.0 * 0.4375);
    assert!(
        (plain.weight_lb - even).abs() < 0.01,
        "{} {even}",
        plain.weight_lb
    );
    // Boards are wasted at their own material's price.
    for (what, dollars) in [("OSB 7/16", 1.0), ("treated plywood 1/2", 3.0)] {
        let tally = made
            .stock
            .tallies
            .iter()
            .find(|it| it.kind == "boards" && it.what.starts_with(what));
        let tally = tally.unwrap();
        let cents = tally.waste() * dollars * 100.0;
        let said = f64::from(i32::try_from(tally.waste_cents.unwrap()).unwrap());
        assert!((said - cents).abs() <= 1.0, "{what}");
    }
    let sheet = made
        .documents
        .files
        .keys()
        .find(|it| it.contains("sheets/") && it.contains("W103"));
    let sheet = text(&made, sheet.unwrap());
    for words in [
        "Skin, outer",
        "treated plywood 1/2",
        "Skin, inner",
        "OSB 7/16",
        "TREATED",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
    let outline = made
        .documents
        .files
        .keys()
        .find(|it| it.contains("outlines/") && it.contains("W103"));
    let outline = text(&made, outline.unwrap()).replace("\r\n", "\n");
    assert!(
        outline.contains("outer face treated plywood 1/2"),
        "{outline}"
    );
    // ANSI/APA PRS 610.1 (ballot of June 2009, 1.1): facings are of the same type and thickness.
    let beyond = made
        .findings
        .iter()
        .filter(|it| it.code.name() == "BLDG-19");
    assert!(
        beyond
            .into_iter()
            .any(|it| it.message.contains("unequal skins"))
    );
}

/// Pounds by hand: both skins together in pcf x in, foam of 1 pcf less chases, and plant-fitted lumber as listed.
fn super_weight(panel: &panelwright::fabrication::FabricatedPanel, skins: f64) -> f64 {
    let face = panel.outer_skin.square_inches() / 1728.0 * skins;
    let core: f64 = panel
        .core_pieces()
        .map(|it| it.square_inches())
        .sum::<f64>()
        * 5.625;
    let bored: f64 = panel
        .chases
        .iter()
        .map(|it| {
            let [dx, dy] = [it.to.x - it.from.x, it.to.y - it.from.y].map(Length::to_inches);
            dx.hypot(dy) * std::f64::consts::PI * 0.75 * 0.75
        })
        .sum();
    let fitted = panel.lumber.iter().filter(|it| it.fitted.name() == "plant");
    let lumber: f64 = fitted.map(|it| it.weight_lb).sum();
    face + (core - bored) / 1728.0 + lumber
}

#[test]
fn a_panel_with_one_skin_has_one_of_everything_and_says_that_it_bears_nothing() {
    let liner = "outer_skin = '7/16'\ninner_skin = 0\n";
    let made = made(liner, "", "bears = false\n");
    assert!(
        made.findings
            .iter()
            .all(|it| it.severity != Severity::Fault)
    );
    assert!(made.findings.iter().any(|it| it.code.name() == "BLDG-56"));
    let panels = &made.fabrication.panels;
    assert_eq!(rows(&made, "skins").len(), panels.len());
    assert!(
        rows(&made, "skins")
            .iter()
            .all(|row| row["face"] == "outer")
    );
    assert!(
        rows(&made, "boards")
            .iter()
            .all(|row| row["piece"].ends_with("outer") || row["piece"] == "offcut")
    );
    for row in rows(&made, "lamination") {
        assert_eq!(
            [
                &row["lower skin"],
                &row["lower material"],
                &row["glue lines"]
            ],
            ["", "bare", "1"]
        );
        assert_eq!(row["thickness (in)"], "6.0625");
    }
    for panel in panels {
        assert_eq!(panel.face_up, Face::Outer);
        let splines = panel
            .lumber
            .iter()
            .filter(|it| it.usage.starts_with("spline"));
        assert!(
            splines
                .into_iter()
                .all(|it| it.section == "2x6" && it.rule == "joints.liner_spline")
        );
        let said = panel
            .notes
            .iter()
            .filter(|it| it.contains("one skin, the inner face is bare"));
        assert_eq!(said.count(), 1, "{:?}", panel.notes);
    }
    // Nails go through the one skin: half of those of the same panels with two.
    let count = |made: &Made| -> u32 {
        let fixings = made.fabrication.panels.iter().flat_map(|it| &it.fixings);
        fixings
            .filter(|it| it.usage.starts_with("plates"))
            .map(|it| it.count)
            .sum()
    };
    let both = self::made("outer_skin = '7/16'\ninner_skin = '7/16'\n", "", "");
    assert_eq!(both.fabrication.panels.len(), panels.len());
    assert_eq!(count(&both), count(&made) * 2);
    for (name, file) in made
        .documents
        .files
        .iter()
        .filter(|it| it.0.starts_with("outlines/") && it.0.ends_with(".dxf"))
    {
        let words = String::from_utf8_lossy(file);
        assert!(words.contains("bare=inner"), "{name}");
        assert!(words.contains("inner face bare"), "{name}");
    }
}

#[test]
fn a_bare_outer_face_lies_down_and_the_file_is_mirrored() {
    let made = made(
        "outer_skin = 0\ninner_skin = '7/16'\n",
        "",
        "bears = false\n",
    );
    assert!(
        made.fabrication
            .panels
            .iter()
            .all(|it| it.face_up == Face::Inner)
    );
    assert!(
        rows(&made, "skins")
            .iter()
            .all(|row| row["face"] == "inner")
    );
    assert!(
        rows(&made, "lamination")
            .iter()
            .all(|row| row["lower material"] == "bare")
    );
}

#[test]
fn one_skin_is_refused_where_a_wall_bears() {
    let liner = "outer_skin = '7/16'\ninner_skin = 0\n";
    let codes = |made: &Made, wall: &str| -> Vec<String> {
        let faults = made
            .findings
            .iter()
            .filter(|it| it.severity == Severity::Fault);
        let here = faults.filter(|it| it.place.element.as_deref() == Some(wall));
        here.map(|it| it.code.name().to_owned()).collect()
    };
    let bearing = made(liner, "", "");
    assert!(bearing.fabrication.panels.iter().all(|it| it.is_held()));
    assert_eq!(codes(&bearing, "X1"), ["BLDG-55"]);
    // What the job has bear on a wall that it says does not bear.
    let loads = "bears = false\n[[loads.bearing]]\nwall = 'X1'\ncarries = 'roof trusses'\n";
    let loaded = made(liner, "", loads);
    assert_eq!(codes(&loaded, "X1"), ["BLDG-55"]);
    assert!(codes(&loaded, "X2").is_empty());
    // A beam on it, and an outer skin that is to drop where there is none.
    let beam = "bears = false\n[[layout]]\nid = 'X1'\npoints = [{ at = \"4'-0\\\"\", width = '3-1/2', what = 'girder', post = '2-2x6' }]\n";
    let beamed = made(liner, "", beam);
    assert!(
        beamed
            .findings
            .iter()
            .any(|it| it.severity == Severity::Fault
                && it.message.contains("one skin bears nothing"))
    );
    let dropped = made(
        "outer_skin = 0\ninner_skin = '7/16'\n",
        "",
        "bears = false\nskin_drop = '4'\n",
    );
    assert_eq!(codes(&dropped, "X1"), ["BLDG-55"]);
}
