//! Storeys drawn over each other in one model, each with openings of its own.

use panelwright::package::{InputFile, MakeOptions, trace};
use serde_json::Value;

/// A house of 6 in walls, 30 ft by 20 ft, with one window of its own in the lower wall, drawn at a height on layers of a storey.
fn house(window: [i32; 2], height: i32, prefix: &str) -> String {
    let mut text = String::new();
    let mut line = |a: [i32; 2], b: [i32; 2]| {
        text += &format!(
            "0\nLINE\n8\n{prefix}WALL\n10\n{}\n20\n{}\n30\n{height}\n11\n{}\n21\n{}\n31\n{height}\n",
            a[0], a[1], b[0], b[1]
        );
    };
    for (y, start, end) in [(0, 0, 360), (6, 6, 354)] {
        line([start, y], [window[0], y]);
        line([window[1], y], [end, y]);
        line([window[0], y], [window[1], y]);
        line([start, 240 - y], [end, 240 - y]);
        line([start, y], [start, 240 - y]);
        line([end, y], [end, 240 - y]);
    }
    for x in window {
        line([x, 0], [x, 6]);
    }
    line([window[0], 3], [window[1], 3]);
    // A partition of its own.
    for x in [window[0] + 80, window[0] + 84] {
        line([x, 6], [x, 234]);
    }
    text
}

fn traced(entities: &str) -> (Value, Vec<String>) {
    let header = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n";
    let file = format!("{header}0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n");
    let input = InputFile {
        name: "plan.dxf".to_owned(),
        bytes: file.into_bytes(),
    };
    let (documents, findings) = trace(&[input], &MakeOptions::default(), &mut |_| {}).unwrap();
    let codes = findings
        .iter()
        .map(|it| it.code.name().to_owned())
        .collect();
    (
        serde_json::from_slice(&documents.files["plan.json"]).unwrap(),
        codes,
    )
}

/// The widths of the openings of each storey, whole inches.
fn widths(plan: &Value) -> Vec<Vec<i64>> {
    let storeys = plan["storeys"].as_array().unwrap();
    let width = |it: &Value| {
        format!("{:.0}", it["width"].as_f64().unwrap())
            .parse()
            .unwrap()
    };
    storeys
        .iter()
        .map(|it| {
            it["openings"]
                .as_array()
                .unwrap()
                .iter()
                .map(width)
                .collect()
        })
        .collect()
}

#[test]
fn storeys_told_by_height_or_layer_are_recovered_each_for_itself() {
    for (below, above) in [((0, ""), (108, "")), ((0, "L1-"), (0, "L2-"))] {
        let mut entities = house([60, 100], below.0, below.1);
        entities += &house([150, 200], above.0, above.1);
        let (plan, codes) = traced(&entities);
        assert_eq!(widths(&plan), [[40], [50]], "{below:?} {above:?}");
        assert!(codes.iter().any(|it| it == "DRAW-18"), "{codes:?}");
    }
}

#[test]
fn what_lies_at_another_height_and_is_no_storey_stays_where_it_is() {
    // A counter and shelves: they do not close by themselves.
    let mut entities = house([60, 100], 0, "");
    for x in 0..20 {
        let x = 200 + 5 * x;
        entities +=
            &format!("0\nLINE\n8\nSHELF\n10\n{x}\n20\n20\n30\n36\n11\n{x}\n21\n200\n31\n36\n");
    }
    let (plan, _) = traced(&entities);
    assert_eq!(widths(&plan), [[40]]);
}
