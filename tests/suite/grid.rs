//! The architect's grid: read from its bubbles, drawn on key plans, elevations and for the drawing office, in nobody's way.

use crate::kit::sample_file;
use panelwright::documents::PdfFiles;
use panelwright::documents::paper::{overlaps, to_svg};
use panelwright::package::{InputFile, Made, MakeOptions, make};
use std::fmt::Write;

/// A line on the layer of the grid from its bubble on, and the bubble with a name.
fn grid_line(text: &mut String, name: &str, from: (f64, f64), to: (f64, f64)) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = dx.hypot(dy);
    let (x, y) = (from.0 - dx / length * 9.0, from.1 - dy / length * 9.0);
    let entities = [
        format!(
            "LINE\n8\nA-GRID\n10\n{}\n20\n{}\n11\n{}\n21\n{}",
            from.0, from.1, to.0, to.1
        ),
        format!("CIRCLE\n8\nA-GRID\n10\n{x}\n20\n{y}\n40\n9"),
        format!(
            "TEXT\n8\nA-GRID\n10\n{}\n20\n{}\n40\n6\n1\n{name}",
            x - 2.0,
            y - 3.0
        ),
    ];
    for entity in entities {
        write!(text, "0\n{entity}\n").unwrap();
    }
}

/// The bunkhouse, 44 ft by 28 ft, with a grid over it.
fn with_grid() -> Made {
    let plan = sample_file("bunkhouse", "plan.dxf");
    let text = String::from_utf8(plan.bytes).unwrap().replace("\r\n", "\n");
    let (head, rest) = text.split_once("ENTITIES\n").unwrap();
    let mut drawn = format!("{head}ENTITIES\n");
    for (name, x) in [
        ("1", 0.0),
        ("2", 180.0),
        ("2.1", 190.0),
        ("3", 360.0),
        ("4", 528.0),
    ] {
        grid_line(&mut drawn, name, (x, 520.0), (x, -40.0));
    }
    for (name, y) in [("A", 0.0), ("B", 336.0)] {
        grid_line(&mut drawn, name, (-260.0, y), (560.0, y));
    }
    drawn.push_str(rest);
    let plan = InputFile {
        bytes: drawn.into_bytes(),
        ..plan
    };
    let options = MakeOptions {
        job: Some(sample_file("bunkhouse", "job.toml")),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[plan], &options, &mut |_| {}).unwrap()
}

#[test]
fn the_architects_grid_stands_on_plans_elevations_and_in_the_drawing_offices_files() {
    let made = with_grid();
    let plain = crate::kit::sample_package("bunkhouse", "plan.dxf");
    assert_eq!(made.layout.panels, plain.layout.panels, "a grid is no wall");
    let file = |name: &str| String::from_utf8_lossy(&made.documents.files[name]).into_owned();
    let plan: serde_json::Value = serde_json::from_str(&file("plan.json")).unwrap();
    let grid = plan["storeys"][0]["grid"].as_array().unwrap();
    let names: Vec<&str> = grid.iter().filter_map(|it| it["name"].as_str()).collect();
    assert_eq!(names, ["1", "2", "3", "4", "A", "B", "2.1"]);
    assert_eq!(grid[1]["start"], serde_json::json!([180.0, 520.0]));
    assert_eq!(grid[1]["sources"].as_array().map(Vec::len), Some(3));

    for it in &made.sheets {
        assert_eq!(overlaps(&it.sheet), [], "{}", it.path);
    }
    let sheet = |number: &str| {
        let found = made.sheets.iter().find(|it| it.sheet.number == number);
        String::from_utf8(to_svg(&found.unwrap().sheet)).unwrap()
    };
    let key_plan = sheet("Z-101");
    for name in names {
        assert!(
            key_plan.contains(&format!("<g data-grid=\"{name}\">")),
            "{name}"
        );
    }
    // From line to line: 180, 10, 170, 168 inches; 28 ft the other way.
    let strings: Vec<&str> = key_plan.split("id=\"string-grid-").skip(1).collect();
    assert_eq!(strings.len(), 2);
    for words in ["15'-0\"", "14'-2\"", "14'-0\""] {
        assert!(strings[0].contains(&format!(">{words}</text>")), "{words}");
    }
    assert!(strings[1].contains(">28'-0\"</text>"));

    let south = made
        .building
        .walls
        .iter()
        .position(|wall| wall.frame.along.x.abs() > 0.99 && wall.frame.origin.y.abs() < 1.0);
    let south = &made.building.walls[south.unwrap()].id;
    let shows = |sheet: &panelwright::documents::paper::Sheet| {
        let data = sheet.data.iter().find(|(key, _)| key == "elevation");
        data.is_some_and(|(_, walls)| walls.split(' ').any(|wall| wall == south))
    };
    let on = made.sheets.iter().find(|it| shows(&it.sheet)).unwrap();
    let all = sheet(&on.sheet.number);
    // Its own grid, up to that of the next wall or the next layer.
    let own = all.split(&format!("id=\"grid-{south}\"")).nth(1).unwrap();
    let elevation = own.split("id=\"grid-").next().unwrap();
    let elevation = elevation.split("id=\"wall\"").next().unwrap();
    for name in ["1", "2", "2.1", "3", "4"] {
        assert!(
            elevation.contains(&format!("<g data-grid=\"{name}\">")),
            "{name}"
        );
    }
    assert!(!elevation.contains("<g data-grid=\"A\">"));
    let cad = made
        .documents
        .files
        .keys()
        .filter(|it| it.starts_with("cad/"));
    for name in cad {
        assert!(file(name).contains("Z-GRID-IDEN"), "{name}");
    }
}
