//! Outer skins that drop below their panels.

use super::*;

/// 10'-2 1/8" from deck to deck in all: a floor of 12-5/8 in on caps of 1-1/2 in leaves 14-1/8 in over the panels below.
#[test]
fn a_skin_that_reaches_onto_the_panels_below_is_a_fault() {
    let told = |drop: &str| {
        let job = format!(
            "{COMPLETE}[[storey]]\nid = 'S2'\nfloor_depth = '12-5/8'\n[[wall.only]]\nid = 'X1'\nskin_drop = '{drop}'\n"
        );
        raise(&two_storeys(), &job)
    };
    let codes = |drop: &str| -> Vec<&'static str> {
        let all = told(drop).findings;
        let of_skins = all.iter().map(|it| it.code.name());
        of_skins
            .filter(|it| matches!(*it, "BLDG-52" | "BLDG-53"))
            .collect()
    };
    assert_eq!(codes("0"), Vec::<&str>::new());
    // The lowest storey stands on nothing that it could reach.
    let low = told("36").output;
    assert!(!low.walls[0].on_hold && low.walls[0].skin_drop == Length::feet(3));
    let upper = |drop: &str| {
        let id = told("0").output.walls.last().unwrap().id.clone();
        let job = format!(
            "{COMPLETE}[[storey]]\nid = 'S2'\nfloor_depth = '12-5/8'\n[[wall.only]]\nid = '{id}'\nskin_drop = '{drop}'\n"
        );
        raise(&two_storeys(), &job)
    };
    let fits = upper("14-1/8");
    assert!(!fits.output.walls.last().unwrap().on_hold);
    let reaches = upper("14-3/16");
    assert!(reaches.output.walls.last().unwrap().on_hold);
    let fault = reaches
        .findings
        .iter()
        .find(|it| it.code.name() == "BLDG-53");
    assert!(
        fault
            .unwrap()
            .message
            .contains("end 14 1/8\" under its deck")
    );
}
