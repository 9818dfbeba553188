//! Sheets in paper space: read in place of the model, or naming what it shows.

use super::*;

/// A small plan on a sheet, as lines of the block of that sheet or of the section of entities.
fn on_paper(width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for low in [0.0, 6.5] {
        let (right, top) = (width - low, 192.0 - low);
        let corners = [(low, low), (right, low), (right, top), (low, top)];
        for (number, (x, y)) in corners.iter().enumerate() {
            let (to_x, to_y) = corners[(number + 1) % 4];
            lines.push(format!(
                "LINE, 8 A-WALL, 67 1, 10 {x}, 20 {y}, 11 {to_x}, 21 {to_y}"
            ));
        }
    }
    // Enough to be a plan beside a few stray lines.
    lines.extend((0..64).map(|n| format!("LINE, 8 A-FURN, 67 1, 10 {n}, 20 90, 11 {n}, 21 99")));
    lines
}

fn with_entities(draft: Draft, entities: &[String]) -> Draft {
    entities.iter().fold(draft, |it, entity| it.entity(entity))
}

#[test]
fn stray_things_in_the_model_do_not_hide_the_sheet() {
    let sheet = with_entities(Draft::default(), &on_paper(288.0));
    for stray in [
        "POINT, 8 0, 10 0, 20 0",
        "TEXT, 8 0, 10 0, 20 0, 40 6, 1 SCRATCH",
        "LINE, 8 0, 10 0, 20 0, 11 9, 21 0",
    ] {
        let outcome = sheet.clone().entity(stray).read();
        assert_eq!(outcome.output.strokes.len(), 72, "{stray}");
        let own = outcome
            .findings
            .iter()
            .find(|it| it.code == codes::ON_SHEET);
        assert!(own.unwrap().message.contains("1 stray"), "{stray}");
        let row = outcome
            .output
            .census
            .rows
            .iter()
            .find(|row| row.space == "model");
        assert_eq!(row.unwrap().reason, "beside sheets that hold the drawing");
    }
    // A block may hold a whole plan, and a sheet with a border is none.
    let block = sheet
        .block("PLAN", "10 0, 20 0", &["LINE, 8 0, 10 0, 20 0, 11 9, 21 0"])
        .entity("INSERT, 8 0, 2 PLAN, 10 0, 20 0");
    assert_eq!(block.read().output.strokes.len(), 1);
    let border = Draft::default()
        .entity("LINE, 8 0, 67 1, 10 0, 20 0, 11 34, 21 0")
        .entity("LINE, 8 0, 10 0, 20 0, 11 9, 21 0");
    assert_eq!(border.read().output.strokes.len(), 1);
}

#[test]
fn every_sheet_that_holds_a_drawing_is_read_beside_the_one_before() {
    let second = on_paper(240.0);
    let second: Vec<&str> = second.iter().map(String::as_str).collect();
    let draft = with_entities(Draft::default(), &on_paper(288.0))
        .block("*Paper_Space", "330 1B", &[])
        .block("*Paper_Space0", "330 2B", &second)
        .block(
            "*Paper_Space1",
            "330 3B",
            &["LINE, 8 0, 10 0, 20 0, 11 1, 21 0"],
        );
    let layout = |name: &str, tab: i32, owner: &str| {
        format!(
            "0\nLAYOUT\n5\nF{tab}\n330\n1A\n100\nAcDbPlotSettings\n1\nplotter\n71\n7\n100\nAcDbLayout\n1\n{name}\n71\n{tab}\n330\n{owner}\n"
        )
    };
    let objects = format!(
        "0\nSECTION\n2\nOBJECTS\n{}{}{}0\nENDSEC\n0\nEOF\n",
        layout("A102", 2, "2B"),
        layout("A101", 1, "1B"),
        layout("COVER", 3, "3B")
    );
    let text = draft.text().replace("0\nEOF\n", &objects);
    let outcome = read_inches(text.as_bytes()).unwrap();
    let drawing = outcome.output;
    assert_eq!(drawing.strokes.len(), 144);
    let (low, high) = drawing
        .strokes
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(low, high), it| {
            let Curve::Line { start, end } = it.curve else {
                return (low, high);
            };
            (low.min(start.x.min(end.x)), high.max(start.x.max(end.x)))
        });
    // The second stands a quarter of its width to the right.
    assert_eq!((low, high), (0.0, 288.0 + 240.0 / 4.0 + 240.0));
    let own = outcome
        .findings
        .iter()
        .find(|it| it.code == codes::ON_SHEET);
    let message = &own.unwrap().message;
    assert!(
        message.contains("side by side: 'A101', 'A102', as"),
        "{message}"
    );
}

/// A window 10 by 8 on paper, centred at 6, 8, that shows 384 of the model around 140, 90.
const WINDOW: &str = "VIEWPORT, 8 0, 67 1, 10 6, 20 8, 40 10, 41 8, 68 2, 69 2, 12 140, 22 90, 16 0, 26 0, 36 1, 45 384";

#[test]
fn a_title_under_a_window_stands_under_the_plan_it_shows() {
    let titles = |entities: &[&str]| -> Vec<(String, Coord<f64>)> {
        let draft = entities
            .iter()
            .fold(small(), |it, entity| it.entity(entity));
        let titles = view_titles(&draft.read().output);
        titles.into_iter().map(|it| (it.text, it.at)).collect()
    };
    let title = "TEXT, 8 0, 67 1, 10 4, 20 3.5, 40 0.25, 1 FIRST FLOOR PLAN";
    let found = titles(&[WINDOW, title]);
    let [(text, at)] = found.as_slice() else {
        panic!("{found:?}")
    };
    assert_eq!(text, "FIRST FLOOR PLAN");
    // 48 to 1: its left end is 2 left of the middle of the window and 4.5 below.
    let left = at.x - 0.5 * 16.0 * 0.8 * 12.0;
    assert!((left - (140.0 - 96.0)).abs() < 1e-6, "{at:?}");
    assert!((at.y - 6.0 - (90.0 - 216.0)).abs() < 1e-6, "{at:?}");
    // In a window turned by a quarter, what is below on paper is to the left in the model.
    let found = titles(&[&format!("{WINDOW}, 51 90"), title]);
    assert!((found[0].1.x - (90.0 - 216.0)).abs() < 7.0, "{found:?}");
    // Neither where it stands beside the window, nor a sheet's schedule, nor with the window off.
    let beside = title.replace("10 4,", "10 14,");
    assert!(titles(&[WINDOW, &beside]).is_empty());
    assert!(titles(&[WINDOW, &title.replace("FIRST FLOOR PLAN", "DOOR SCHEDULE")]).is_empty());
    assert!(titles(&[&WINDOW.replace("68 2", "68 0"), title]).is_empty());
}

#[test]
fn storeys_over_each_other_are_told_apart_by_what_their_windows_freeze() {
    let own = |layer: &str, high: f64| {
        let draft = Draft::default().rectangle(layer, [0.0, 0.0], [288.0, high]);
        draft
            .rectangle(layer, [6.5, 6.5], [281.5, high - 6.5])
            .entities
    };
    let window = |frozen: &str, title: &str| {
        let draft = Draft::default()
            .entity(&format!("{WINDOW}, 331 {frozen}"))
            .entity(&format!(
                "TEXT, 8 0, 67 1, 10 4, 20 3.5, 40 0.25, 1 {title}"
            ));
        draft.entities
    };
    let text = |last: &str, first: &str, shared: &str| {
        let layers =
            "0\nLAYER\n5\nA1\n2\n1-WALL\n70\n0\n62\n7\n0\nLAYER\n5\nA2\n2\n2-WALL\n70\n0\n62\n7\n";
        let mut draft = Draft::default();
        draft.layers.push_str(layers);
        draft
            .blocks
            .push_str(&format!("0\nBLOCK\n2\n*Paper_Space0\n{first}0\nENDBLK\n"));
        draft.entities = own("1-WALL", 192.0) + &own("2-WALL", 150.0) + shared + last;
        draft.text()
    };
    let (first, second) = (
        window("A2", "FIRST FLOOR PLAN"),
        window("A1", "SECOND FLOOR PLAN"),
    );
    let outcome = read_inches(text(&second, &first, "").as_bytes()).unwrap();
    let told = outcome
        .findings
        .iter()
        .find(|it| it.code == codes::OVER_EACH_OTHER);
    assert!(told.is_some(), "{:?}", outcome.findings);
    let drawing = outcome.output;
    let shown: Vec<[Coord<f64>; 2]> = drawing
        .strokes
        .iter()
        .zip(ends(&drawing))
        .filter(|(stroke, _)| !source(&drawing, stroke).is_hidden)
        .map(|it| it.1)
        .collect();
    assert_eq!(shown.len(), 16);
    assert!(shown[..8].iter().flatten().all(|p| p.x <= 288.0));
    assert!(
        shown[8..]
            .iter()
            .flatten()
            .all(|p| p.x >= 360.0 && p.y <= 150.0)
    );
    let titles: Vec<(String, bool)> = view_titles(&drawing)
        .into_iter()
        .map(|it| (it.text, it.at.x > 360.0))
        .collect();
    let expected = [("FIRST FLOOR PLAN", false), ("SECOND FLOOR PLAN", true)];
    assert_eq!(
        titles,
        expected.map(|(name, is_right)| (name.to_owned(), is_right))
    );
    // Windows that show the same walls with other things in them show one storey.
    let shared = own("0", 192.0);
    let one = read_inches(text(&second, &first, &shared).as_bytes()).unwrap();
    assert!(!codes_of(&one.findings).contains(&"DRAW-18"));
    assert_eq!(one.output.strokes.len(), 24);
}
