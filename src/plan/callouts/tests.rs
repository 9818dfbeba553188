//! Sizes as they are written, and what looks like one.

use super::*;

#[track_caller]
fn check(text: &str, width: f64, height: f64) {
    let list = readings(text);
    assert!(
        list.iter().any(|it| (it.width - width).abs() < 0.02
            && it.height.is_some_and(|h| (h - height).abs() < 0.02)),
        "{text}: {list:?}"
    );
}

#[test]
fn sizes_are_read_in_the_spellings_of_the_trade() {
    // Source: house-plan FAQ for 3068, 4050 and 2668; metric values are 25.4 mm to the inch.
    check("3068", 36.0, 80.0);
    check("4050", 48.0, 60.0);
    check("2668", 30.0, 80.0);
    check("16070 O.H. DOOR", 192.0, 84.0);
    check("6068 S.G.D.", 72.0, 80.0);
    check("5050 XO", 60.0, 60.0);
    check("2'-6\" x 6'-8\"", 30.0, 80.0);
    check("2-6 x 6-8", 30.0, 80.0);
    check("2′-6″ x 6′-8″", 30.0, 80.0);
    check("2’–6” × 6’–8”", 30.0, 80.0);
    check("30x68", 36.0, 80.0);
    check("(2) 2868", 32.0, 80.0);
    check("900 x 2100", 35.433, 82.677);
    check("2'6\"x6'8\"", 30.0, 80.0);
    check("2'-6 1/2\" x 6'-8\"", 30.5, 80.0);
    check("2-8 x 6-8 x 1 3/8", 32.0, 80.0);
    check("3'-0\"W x 5'-0\"H", 36.0, 60.0);
    check("16070 OHD", 192.0, 84.0);
    check("21068", 34.0, 80.0);
    check("PR 2668", 30.0, 80.0);
    check("PR 2668", 60.0, 80.0);
    check("(2) 2868", 64.0, 80.0);
    check("2868 LH", 32.0, 80.0);
    check("90/210", 35.433, 82.677);
    check("0,90 x 2,10", 35.433, 82.677);
    check("3050 DH", 36.0, 60.0);
    // Decimetres, as modules of doors in northern Europe.
    check("9x21", 35.433, 82.677);
    check("10X21", 39.370, 82.677);
    // The rest of the trade table's suffixes, with a blank and without.
    for suffix in [
        "SH", "DH", "SL", "CSMT", "FX", "AWN", "SGD", "BF", "PKT", "OH",
    ] {
        check(&format!("3050 {suffix}"), 36.0, 60.0);
        check(&format!("3050{suffix}"), 36.0, 60.0);
    }
    check("5040/FX", 60.0, 48.0);
    check("3040 (EGRESS)", 36.0, 48.0);
    check("2-2668", 60.0, 80.0);
    check("(3) 2050", 72.0, 60.0);
    check("3/0 x 6/8", 36.0, 80.0);
    check("30/68", 36.0, 80.0);
    check("2/0 6/8", 24.0, 80.0);
    check("2-8 6-8", 32.0, 80.0);
    check("3°-0° x 6°-8°", 36.0, 80.0);
    check("3⁰ x 6⁸", 36.0, 80.0);
    check("36 X 80", 36.0, 80.0);
    check("36\" X 80\"", 36.0, 80.0);
    check("TW 4'-0\" x 4'-0\"", 48.0, 48.0);
    check("R.O. 2'-6\" x 4'-0\"", 30.0, 48.0);
    check("2'-6\" x 4'-0\" R.O.", 30.0, 48.0);
    check("DK 90/210", 35.433, 82.677);
    check("P 80x210", 31.496, 82.677);
    check("V1 120/120", 47.244, 47.244);
    check("88,5/213", 34.843, 83.858);
    check("88⁵/213⁵", 34.843, 84.055);
    check("88 5/213 5", 34.843, 84.055);
    check("101/126 BRH 90", 39.764, 49.606);
    check("B=1200 H=1400", 47.244, 55.118);
    check("L 120 x H 140", 47.244, 55.118);
    check("W 36\" x H 80\"", 36.0, 80.0);
    check("6068 SGD", 72.0, 80.0);
    check("16x7", 192.0, 84.0);
    check("9X7 GARAGE DOOR", 108.0, 84.0);
    check("16 x 8 OHD", 192.0, 96.0);
    check("TWIN 2050", 48.0, 60.0);
    check("2050 MULL", 24.0, 60.0);
    check("4050 T.G.", 48.0, 60.0);
    check("4-0/5-0", 48.0, 60.0);
    check("900*2100", 35.433, 82.677);
    check("1200х1500", 47.244, 59.055);
    check("1200 (B) x 1500 (H)", 47.244, 59.055);
    check("9x21 EI30", 35.433, 82.677);
    check("90/210 T30", 35.433, 82.677);
    check("P1 90x210", 35.433, 82.677);
    check("M-1 900x2100", 35.433, 82.677);
    check("DØR 9x21", 35.433, 82.677);
    check("88⁵/2.13⁵", 34.843, 84.055);
    check("1,01/76", 39.764, 29.921);
    check("BRH 90 126/126", 49.606, 49.606);
    check("120x125 all. 900", 47.244, 49.213);
    check("150x120/90", 59.055, 47.244);
    check("1,50x1,20/0,90", 59.055, 47.244);
    check("V1 1.40x1.20", 55.118, 47.244);
    check("W3 1800 x 1200", 70.866, 47.244);
    check("48/60", 48.0, 60.0);
    check("32/80", 32.0, 80.0);
}

#[test]
fn what_stands_with_a_size_is_read_with_it() {
    use crate::plan::OpeningKind::{Door, GarageDoor, Window};
    let told = |text: &str| sizes::size(text).map(|it| (it.kind, it.is_packed, it.is_rough));
    assert_eq!(told("3050SH"), Some((Some(Window), true, false)));
    assert_eq!(told("2868 PKT"), Some((Some(Door), true, false)));
    assert_eq!(told("9070OH"), Some((Some(GarageDoor), true, false)));
    assert_eq!(told("5040/FX"), Some((Some(Window), true, false)));
    assert_eq!(told("3068"), Some((None, true, false)));
    assert_eq!(told("3068 R.O."), Some((None, true, true)));
    assert_eq!(told("RO 36 X 80"), Some((None, false, true)));
    let sill = |text: &str| {
        let sill = sizes::size(text).and_then(|it| it.sill);
        sill.map(|it| (it * 100.0).round() / 100.0)
    };
    assert_eq!(sill("101/126 BRH 90"), Some(35.43));
    assert_eq!(sill("1,01/1,26 BRH=0,90"), Some(35.43));
    assert_eq!(sill("1200 x 1400 ALLÈGE 900"), Some(35.43));
    assert_eq!(sill("3050 SILL 36"), Some(36.0));
    assert_eq!(sill("3'-0\" x 4'-0\" SILL HT. 2'-8\""), Some(32.0));
    assert_eq!(sill("3050"), None);
}

#[test]
fn digits_that_can_be_parted_in_two_ways_keep_both() {
    let widths = |text: &str| -> Vec<f64> {
        let list = readings(text).into_iter().filter(|it| it.height.is_some());
        list.map(|it| it.width.round()).collect()
    };
    assert_eq!(widths("21068"), [34.0]);
    assert_eq!(widths("16070"), [192.0]);
    assert_eq!(widths("36 X 80"), [42.0, 36.0]);
    // 6'-8" is a door's height, and 68 in is none.
    assert_eq!(widths("30x68"), [36.0]);
}

#[test]
fn a_size_in_two_parts_is_one_and_a_column_of_numbers_is_none() {
    use crate::plan::trial::drawing;
    let found = |words: &[(&str, [f64; 2])]| -> Vec<String> {
        let drawing = drawing(&[], &[], words);
        let list = callouts(&drawing, Coord::default()).into_iter();
        list.map(|it| it.text).collect()
    };
    // Letters are 6 in high.
    assert_eq!(
        found(&[("88", [0.0, 9.0]), ("213", [0.0, 0.0])]),
        ["88/213"]
    );
    assert_eq!(
        found(&[("2'-6\"", [0.0, 9.0]), ("3'-0\"", [1.0, 0.0])]),
        ["2'-6\" x 3'-0\""]
    );
    assert!(found(&[("88", [0.0, 30.0]), ("213", [0.0, 0.0])]).is_empty());
    assert!(found(&[("88", [0.0, 9.0]), ("213", [20.0, 0.0])]).is_empty());
    let column = [
        ("88", [0.0, 18.0]),
        ("213", [0.0, 9.0]),
        ("101", [0.0, 0.0]),
    ];
    assert!(found(&column).is_empty());
    assert!(found(&[("KITCHEN", [0.0, 9.0]), ("213", [0.0, 0.0])]).is_empty());
}

#[test]
fn what_looks_like_a_size_and_is_none_is_not_read() {
    for text in [
        // Makers' codes and tags.
        "TW3046",
        "CW145",
        "DHP3056",
        "3046TW",
        "C24",
        "W12X26",
        "W 12X26",
        "HSS 6X6X1/4",
        "L4X4X1/4",
        "A1 594 X 841",
        "SIZE 24 X 36",
        "S-3050",
        "A-3068",
        "A3.1",
        "101",
        "101A",
        "D101",
        "R30/21",
        // Room numbers, days, scales, telephones, layers.
        "ROOM 2668",
        "RM 101/102",
        "11/26",
        "10/24",
        "3/15/26",
        "2026-11-29",
        "1/4\" = 1'-0\"",
        "1/48",
        "1:50",
        "1/50",
        "SCALE 1/100",
        "555-3068",
        "(555) 555-3068",
        "A-WALL-3068",
        "WALL_2868",
        "SHEET 2-2",
        "REV 2 11/29",
        "NO. 3068",
        // Timber, plates, tiles, fire and slopes.
        "2X10",
        "2x6 @ 16 O.C.",
        "(2) 2X10",
        "(2) 1 3/4 X 9 1/4",
        "(3) 2X12 HDR",
        "6X6 POST",
        "12X12",
        "16X16",
        "12 X 14",
        "1/2 X 3/4",
        "3/4",
        "5/8 X 3/4",
        "12/12",
        "8/12",
        "EI 30/60",
        "F 90/120",
        "REI 60/120",
        "T 30",
        "4 X 8 OSB",
        "C1 40X40",
        "Z1 120X120",
        "P1 60X60",
        "C1 300X600",
        "8X8",
        "16X8",
        "9 X 7",
        "10X7 DECK",
        "2*4",
        "EI30",
        "T30",
        // Rooms, levels and counts.
        "12'-0\" x 14'-0\"",
        "BED 10'-0\" x 9'-0\"",
        "+3.05",
        "EL. 101'-0\"",
        "3050 SF",
        "12,5 m²",
        "16R 17.5/29",
        "17R @ 7 1/2\"",
        "1-2 3-4",
        "2 1/2",
        "36",
        "36\"",
        "3'-0\"",
        "6 8",
    ] {
        assert!(readings(text).is_empty(), "{text}: {:?}", readings(text));
    }
}

#[test]
fn notes_are_no_sizes() {
    for text in [
        "LIVING",
        "13'8 x 14' BEDROOM",
        "9 x 21",
        "9x18",
        "101A",
        "2 CAR GARAGE",
        "SHEET 3 OF 12",
        "24/7",
        "1/2",
        "5.00 X 3.60",
        "12/25/2026",
        "",
    ] {
        assert!(readings(text).is_empty(), "{text}");
    }
}

#[test]
fn a_size_beside_an_opening_of_another_width_is_told_with_both_numbers() {
    use crate::findings::Severity;
    use crate::plan::codes::CALL_OUT_WIDTH;
    use crate::plan::trial::{open_shell, recovered_among};
    let written = |width: f64, size: &str| {
        let mut lines = open_shell(100.0, 100.0 + width);
        lines.push([100.0, 3.0, 100.0 + width, 3.0]);
        let plan = recovered_among(&lines, &[], &[(size, [110.0, -12.0])]);
        let own = plan.findings.into_iter();
        let own = own.filter(|it| it.code == CALL_OUT_WIDTH);
        own.map(|it| (it.severity, it.message)).collect::<Vec<_>>()
    };
    let told = |width: f64| written(width, "3068");
    assert_eq!(told(36.0), []);
    // 91 cm are 35.83 in.
    assert_eq!(written(36.0, "91/203"), []);
    assert_eq!(written(36.0, "0,91 x 2,03"), []);
    assert_eq!(written(36.25, "91/203").len(), 1);
    assert_eq!(told(36.0 + 1.0 / 32.0), []);
    for (width, drawn, severity) in [
        (36.5, "36.50 in", Severity::Note),
        (35.5, "35.50 in", Severity::Note),
        (38.0, "38.00 in", Severity::Doubt),
    ] {
        let told = told(width);
        let [(own, message)] = &told[..] else {
            panic!("{width}: {told:?}");
        };
        assert_eq!(*own, severity, "{message}");
        assert!(
            message.contains(drawn) && message.contains("36.00 in"),
            "{message}"
        );
    }
}

#[test]
fn the_size_of_a_room_below_its_name_is_no_openings() {
    let sizes = |above: &str, size: &str| -> usize {
        let words = [(above, [100.0, 110.0]), (size, [100.0, 100.0])];
        let drawing = crate::plan::trial::drawing(&[], &[], &words);
        callouts(&drawing, Coord::zero()).len()
    };
    assert_eq!(sizes("STORE", "1.2 x 1.75"), 0);
    assert_eq!(sizes("Window", "1.2 x 1.75"), 1);
    assert_eq!(sizes("STORE", "3068"), 1);
    let words = [("STORE", [110.0, 100.0]), ("1.2 x 1.75", [100.0, 100.0])];
    let mut drawing = crate::plan::trial::drawing(&[], &[], &words);
    for text in &mut drawing.texts {
        text.angle = -std::f64::consts::FRAC_PI_2;
    }
    assert!(callouts(&drawing, Coord::zero()).is_empty());
}
