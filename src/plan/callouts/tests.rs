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
    check("6068 SGD", 72.0, 80.0);
}

#[test]
fn notes_are_no_sizes() {
    for text in [
        "LIVING",
        "13'8 x 14' BEDROOM",
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
