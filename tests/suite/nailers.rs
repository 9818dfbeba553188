//! Nailers behind what a plan draws, from its lines to the piece in the panel, the list and the sheet.

use crate::draft::{House, Lie, Sheet, Side};
use panelwright::documents::PdfFiles;
use panelwright::fabrication::Lumber;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::units::Length;

/// A house 30 ft by 20 ft with base cabinets and a label along its north wall, and a deck outside its south wall.
fn drawn() -> String {
    let house = House {
        width: 360.0,
        depth: 240.0,
        partitions: Vec::new(),
        openings: vec![
            (Side::South, 40.0, 36.0, true),
            (Side::East, 60.0, 48.0, false),
        ],
    };
    let mut sheet = Sheet::new(Lie::STRAIGHT);
    sheet.house(&house);
    // 24 in off the inner face of the north wall, which lies at 240 - 6 1/2.
    sheet.line("A-CASEWORK", (60.0, 209.5), (156.0, 209.5));
    sheet.line("A-CASEWORK", (60.0, 209.5), (60.0, 233.5));
    sheet.line("A-CASEWORK", (156.0, 209.5), (156.0, 233.5));
    for x in [120.0, 300.0] {
        sheet.line("A-FLOR", (x, 0.0), (x, -120.0));
    }
    sheet.line("A-FLOR", (120.0, -120.0), (300.0, -120.0));
    sheet.text((210.0, -60.0), 6.0, "DECK");
    sheet.text((180.0, 120.0), 6.0, "KITCHEN");
    sheet.dxf()
}

fn made(wall: &str) -> Made {
    let job = format!("assembly = '6-1/2'\n[wall]\nheight = 108\n{wall}");
    let file = |name: &str, text: &str| InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let options = MakeOptions {
        job: Some(file("job.toml", &job)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[file("plan.dxf", &drawn())], &options, &mut |_| {}).unwrap()
}

fn pieces<'a>(made: &'a Made, usage: &'a str) -> impl Iterator<Item = &'a Lumber> {
    let panels = made.fabrication.panels.iter();
    panels
        .flat_map(|it| &it.lumber)
        .filter(move |it| it.usage == usage)
}

#[test]
fn cabinets_and_a_deck_of_the_plan_are_backed_where_the_job_asks_and_only_there() {
    let plain = made("");
    assert_eq!(
        pieces(&plain, "nailer").count() + pieces(&plain, "outer nailer").count(),
        0
    );
    let asked = made("nailers = ['cabinets', 'decks']\nledger_height = 14\n");
    assert!(asked.proofs.proofs.iter().all(|it| it.n_failed == 0));
    // 96 in of cabinets and 180 in of deck, less what stands in the way at the panels' joints: a spline of 3 in at most at each.
    for (usage, drawn, height) in [("nailer", 96, 32), ("outer nailer", 180, 14)] {
        let sum: Length = pieces(&asked, usage).map(|it| it.length).sum();
        let least = Length::inches(drawn) - Length::inches(16);
        assert!(
            least <= sum && sum <= Length::inches(drawn),
            "{usage}: {sum}"
        );
        for it in pieces(&asked, usage) {
            assert_eq!((it.rect.y0 + it.rect.y1).half(), Length::inches(height));
        }
        let list = String::from_utf8_lossy(&asked.documents.files["lists/lumber.csv"]).into_owned();
        assert!(list.contains(&format!(",{usage},")), "{usage} is listed");
    }
    // Each is told with the handles of its lines; the deck with what nobody sized.
    let told: Vec<_> = asked
        .findings
        .iter()
        .filter(|it| it.code.name() == "LAY-28")
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().all(|it| !it.place.sources.is_empty()));
    // And every panel with such a board is traced to those lines, no other.
    for (usage, drawn) in [("nailer", "base cabinets"), ("outer nailer", "deck")] {
        let told = told.iter().find(|it| it.message.contains(drawn));
        let lines = &told
            .unwrap_or_else(|| panic!("{drawn}: {told:?}"))
            .place
            .sources;
        for panel in &asked.fabrication.panels {
            let has_one = panel.lumber.iter().any(|it| it.usage == usage);
            let is_traced = lines.iter().all(|it| panel.sources.contains(it));
            assert_eq!(has_one, is_traced, "{}: {usage}", panel.mark);
        }
    }
    let not_sized = asked
        .findings
        .iter()
        .filter(|it| it.code.name() == "FAB-35")
        .count();
    assert!(not_sized > 0);
    assert!(
        asked.fabrication.panels.iter().all(|it| !it.is_held()),
        "a doubt holds nothing"
    );
    let plan = String::from_utf8_lossy(&asked.documents.files["plan.json"]).into_owned();
    assert!(plan.contains("\"base cabinets\"") && plan.contains("\"deck\""));
}
