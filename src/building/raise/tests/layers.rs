//! A named layer of the architect's wall is held.

use super::*;

/// 7-3/16 in drawn: siding 3/4, sheathing 7/16, stud 5-1/2, drywall 1/2; panels are 6-1/2 in thick. By hand: the sheathing's outside
/// held takes 3/4 off each side of 28'-0"; the stud's inside lies 6-11/16 in, so the face lies 3/16 in; the stud's centre lies 3-15/16
/// in, so the face lies 11/16 in.
#[test]
fn a_named_layer_is_held_and_what_it_does_is_told() {
    let layers = "layers = [['siding', '3/4'], ['sheathing', '7/16'], ['stud', '5-1/2'], ['drywall', '1/2']]";
    let raised = |hold: &str, layer: &str| {
        let job = format!(
            "assembly = '6-1/2'\n[wall]\nhold = '{hold}'\nhold_layer = '{layer}'\n{layers}\n"
        );
        raise(&plan(storey(&HOUSE, 7.1875)), &job)
    };
    for (hold, layer, in_by, words) in [
        (
            "outside",
            "sheathing",
            Length::fraction(0, 3, 4),
            "the outside face moves 3/4\" inwards and the inside face moves 1/16\" into",
        ),
        (
            "inside",
            "Stud",
            Length::fraction(0, 3, 16),
            "the outside face moves 3/16\" inwards and the inside face moves 1/2\" out of",
        ),
        (
            "centre",
            "stud",
            Length::fraction(0, 11, 16),
            "the outside face moves 11/16\" inwards and the inside face stays",
        ),
    ] {
        let found = raised(hold, layer);
        let length = found.output.walls[0].face_length;
        assert_eq!(length, Length::inches(336) - in_by * 2, "{hold} {layer}");
        let told = found
            .findings
            .iter()
            .find(|it| it.code == codes::THICKNESS_DIFFERS)
            .unwrap();
        assert!(
            told.severity == Severity::Note && told.message.contains(words),
            "{}",
            told.message
        );
    }
    let unknown = raised("outside", "brick");
    assert!(codes_of(&unknown, Severity::Fault).contains(&"BLDG-50"));
    assert!(unknown.output.walls.iter().all(|wall| wall.on_hold));
    // The drawing's own layers go by number; layers that do not add up are told.
    let mut house = storey(&HOUSE, 7.0);
    for wall in &mut house.walls {
        let layer = |thickness: f64| crate::plan::WallLayer {
            thickness,
            is_structural: false,
        };
        wall.layers = vec![layer(1.0), layer(5.5), layer(0.5)];
    }
    let numbered = raise(
        &plan(house.clone()),
        "assembly = '6-1/2'\n[wall]\nhold_layer = '2'\n",
    );
    assert_eq!(numbered.output.walls[0].face_length, Length::inches(334));
    let job = format!("assembly = '6-1/2'\n[wall]\nhold_layer = 'stud'\n{layers}\n");
    assert!(codes_of(&raise(&plan(house), &job), Severity::Doubt).contains(&"BLDG-51"));
}
