//! A DWG gives the plan that the DXF beside it gives.
//!
//! No DWG of anybody stands in the project: each is written here from a sample DXF by acadrust (crates.io), whose reader of DXF and
//! writer of DWG are not the program's own reader of DXF.

use crate::kit::{SAMPLES, sample_file};
use acadrust::types::DxfVersion;
use acadrust::{DwgWriter, DxfReader};
use panelwright::drawing::{Drawing, DrawingOptions, read_drawing};
use panelwright::plan::{Plan, PlanCorrections, recover_plan};
use std::io::Cursor;

const VERSIONS: [DxfVersion; 8] = [
    DxfVersion::AC1012,
    DxfVersion::AC1014,
    DxfVersion::AC1015,
    DxfVersion::AC1018,
    DxfVersion::AC1021,
    DxfVersion::AC1024,
    DxfVersion::AC1027,
    DxfVersion::AC1032,
];

/// The sample as a DWG of a version.
fn dwg(bytes: &[u8], version: DxfVersion) -> Vec<u8> {
    let mut document = DxfReader::from_reader(Cursor::new(bytes.to_vec()))
        .unwrap()
        .read()
        .unwrap();
    document.version = version;
    DwgWriter::write_to_vec(&document).unwrap()
}

fn read(bytes: &[u8], name: &str) -> Drawing {
    read_drawing(bytes, name, &DrawingOptions::default())
        .unwrap_or_else(|error| panic!("{error}"))
        .output
}

/// The plan without its sources, whose handles an R12 file does not have, with lengths to a millionth of an inch.
fn shape(drawing: Drawing) -> Vec<String> {
    let plan: Plan = recover_plan(&[drawing], &PlanCorrections::default()).output;
    let round = |value: f64| (value * 1e6).round() / 1e6 + 0.0;
    let mut lines = Vec::new();
    for storey in &plan.storeys {
        lines.push(format!("{} {}", storey.id, storey.name));
        for wall in &storey.walls {
            let numbers = [
                wall.start.x,
                wall.start.y,
                wall.end.x,
                wall.end.y,
                wall.thickness,
            ];
            lines.push(format!("{} {:?}", wall.id, numbers.map(round)));
        }
        for it in &storey.openings {
            let numbers = [it.near, it.width, it.height.unwrap_or(0.0)].map(round);
            lines.push(format!(
                "{} {} {:?} {numbers:?} {:?} {:?}",
                it.id, it.wall, it.kind, it.tag, it.hinge
            ));
        }
        for room in &storey.rooms {
            lines.push(format!("{} {}", room.id, room.name));
        }
    }
    lines
}

#[test]
fn a_dwg_of_every_release_gives_the_plan_of_its_dxf() {
    for (case, plan) in SAMPLES.iter().filter(|(_, plan)| plan.ends_with(".dxf")) {
        let dxf = sample_file(case, plan).bytes;
        let expected = read(&dxf, "plan.dxf");
        let counts = |drawing: &Drawing| {
            [
                drawing.strokes.len(),
                drawing.texts.len(),
                drawing.dimensions.len(),
                drawing.fills.len(),
                drawing.placements.len(),
            ]
        };
        let wanted = counts(&expected);
        let shape_of_dxf = shape(expected);
        for version in VERSIONS {
            let drawing = read(&dwg(&dxf, version), "plan.dwg");
            assert_eq!(counts(&drawing), wanted, "{case} {version:?}");
            assert_eq!(drawing.version, version.as_str(), "{case}");
            assert!(
                drawing
                    .census
                    .rows
                    .iter()
                    .all(|row| row.reason != "not converted from DWG"),
                "{case} {version:?}: {:?}",
                drawing.census.rows
            );
            assert_eq!(shape(drawing), shape_of_dxf, "{case} {version:?}");
        }
    }
}

#[test]
fn handles_layers_and_their_states_are_those_of_the_dwg() {
    let dxf = sample_file("bunkhouse", "plan.dxf").bytes;
    let (ours, theirs) = (
        read(&dwg(&dxf, DxfVersion::AC1027), "plan.dwg"),
        read(&dxf, "plan.dxf"),
    );
    let handles = |drawing: &Drawing| {
        let mut list: Vec<(String, String, String)> = drawing
            .sources
            .iter()
            .map(|it| (it.handle.clone(), it.kind.clone(), it.layer.clone()))
            .collect();
        list.sort();
        list
    };
    assert_eq!(handles(&ours), handles(&theirs));
    for layer in &theirs.layers {
        let own = ours.layers.iter().find(|it| it.name == layer.name).unwrap();
        assert_eq!(own, layer);
    }
}

#[test]
fn a_release_that_is_not_read_is_refused_by_its_name() {
    for (bytes, expected) in [
        (&b"AC1006\0\0\0\0"[..], "AC1006, release 10"),
        (b"AC2.10\0\0\0\0", "AC2.10, an unknown release"),
        (b"AC1099\0\0\0\0", "AC1099, an unknown release"),
        (b"AC1027\0\0\0\0", "AC1027, release 2013"),
    ] {
        let error = read_drawing(bytes, "plan.dwg", &DrawingOptions::default()).unwrap_err();
        assert!(error.to_string().contains(expected), "{error}");
    }
}

#[test]
fn a_dwg_cut_or_garbled_anywhere_is_refused_or_read_and_never_ends_the_program() {
    let whole = dwg(
        &sample_file("cottage", "plan.dxf").bytes,
        DxfVersion::AC1024,
    );
    for share in 1..24 {
        let cut = whole.len() * share / 24;
        drop(read_drawing(
            &whole[..cut],
            "plan.dwg",
            &DrawingOptions::default(),
        ));
        let mut garbled = whole.clone();
        for (at, byte) in garbled.iter_mut().enumerate().skip(cut).take(16) {
            *byte ^= u8::try_from(at % 251).unwrap() | 1;
        }
        drop(read_drawing(
            &garbled,
            "plan.dwg",
            &DrawingOptions::default(),
        ));
    }
}
