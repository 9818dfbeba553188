//! Which walls part heated rooms from rooms that are not, by the rooms' names.

use crate::findings::{Finding, Place};
use crate::plan::enclosure::outline::contains;
use crate::plan::{Room, Storey, Wall, codes};
use geo::Coord;

/// Words in names of rooms and roofed places that are not heated, in nine languages. Source: common practice, no source.
const UNHEATED: [&str; 46] = [
    "GARAGE",
    "CARPORT",
    "PORCH",
    "PATIO",
    "DECK",
    "BALCONY",
    "TERRACE",
    "VERANDA",
    "BREEZEWAY",
    "LANAI",
    "SHED",
    "STELLPLATZ",
    "TERRASSE",
    "BALKON",
    "LOGGIA",
    "SCHUPPEN",
    "GARAJE",
    "COCHERA",
    "PORCHE",
    "TERRAZA",
    "BALCON",
    "BALCÓN",
    "ABRI",
    "PORTICO",
    "AUTORIMESSA",
    "TERRAZZO",
    "BALCONE",
    "GARAGEM",
    "VARANDA",
    "TERRAÇO",
    "ALPENDRE",
    "VARANDIM",
    "AUTOTALLI",
    "AUTOKATOS",
    "KUISTI",
    "TERASSI",
    "PARVEKE",
    "ГАРАЖ",
    "НАВЕС",
    "КРЫЛЬЦО",
    "ТЕРРАСА",
    "БАЛКОН",
    "ВЕРАНДА",
    "车库",
    "门廊",
    "阳台",
];

/// Those of them in which vehicles stand.
const FOR_VEHICLES: [&str; 13] = [
    "GARAGE",
    "CARPORT",
    "STELLPLATZ",
    "GARAJE",
    "COCHERA",
    "ABRI",
    "AUTORIMESSA",
    "GARAGEM",
    "AUTOTALLI",
    "AUTOKATOS",
    "ГАРАЖ",
    "НАВЕС",
    "车库",
];

/// Those of them that are a roof on posts, open in front.
const CARPORTS: [&str; 4] = ["CARPORT", "ABRI", "AUTOKATOS", "НАВЕС"];

/// Those of them that are rooms of the building where walls enclose them.
const ROOMS: [&str; 3] = ["BREEZEWAY", "SHED", "SCHUPPEN"];

/// Beyond a wall's face, inches: a point there lies in the room beside it.
const BESIDE: f64 = 4.0;

/// True when a room's name says that it is not heated.
pub(in crate::plan) fn is_unheated(name: &str) -> bool {
    let upper = name.to_uppercase();
    UNHEATED.iter().any(|word| upper.contains(word))
}

/// True when a room's name says that vehicles stand in it.
pub(in crate::plan) fn holds_vehicles(name: &str) -> bool {
    let upper = name.to_uppercase();
    FOR_VEHICLES.iter().any(|word| upper.contains(word))
}

/// True when a room's name says that vehicles stand there under a roof, and no door closes it.
pub(in crate::plan) fn is_carport(name: &str) -> bool {
    let upper = name.to_uppercase();
    CARPORTS.iter().any(|word| upper.contains(word))
}

/// True when a name says that a place is outdoors, under a roof or not: a patio, a porch, a terrace, a deck, a balcony.
pub(in crate::plan) fn is_outdoors(name: &str) -> bool {
    let upper = name.to_uppercase();
    is_unheated(name) && !holds_vehicles(name) && !ROOMS.iter().any(|word| upper.contains(word))
}

/// A note for each wall with an unheated room on one side and a heated one, or the outside, on the other.
pub(in crate::plan) fn note_unheated(storey: &Storey, findings: &mut Vec<Finding>) {
    if !storey.rooms.iter().any(|room| is_unheated(&room.name)) {
        return;
    }
    for wall in &storey.walls {
        let Some(words) = words(storey, wall) else {
            continue;
        };
        let middle = (wall.start + wall.end) / 2.0;
        findings.push(Finding::note(
            codes::UNHEATED,
            Place::element(&storey.id, &wall.id).with_at(middle.x, middle.y),
            words,
            "check insulation, air seal and fire separation of this wall against the local code",
        ));
    }
}

fn words(storey: &Storey, wall: &Wall) -> Option<String> {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    if length < 1.0 {
        return None;
    }
    let left = Coord { x: -d.y, y: d.x } / length;
    let off = left * (wall.thickness / 2.0 + BESIDE);
    let room_at = |p: Coord<f64>| storey.rooms.iter().find(|room| contains(&room.outline, p));
    let mut unheated_side: Option<&Room> = None;
    for share in [0.5, 0.25, 0.75, 0.1, 0.9] {
        let p = wall.start + d * share;
        let sides = [room_at(p + off), room_at(p - off)];
        let cold = sides.iter().flatten().find(|room| is_unheated(&room.name));
        let Some(cold) = cold else { continue };
        unheated_side = unheated_side.or(Some(cold));
        let warm = sides
            .iter()
            .flatten()
            .find(|room| !room.name.is_empty() && !is_unheated(&room.name));
        if let Some(warm) = warm {
            return Some(format!(
                "{} stands between {}, which is not heated by its name, and {}",
                wall.id, cold.name, warm.name
            ));
        }
    }
    let cold = unheated_side?;
    wall.is_exterior.then(|| {
        format!(
            "{} encloses {}, which is not heated by its name",
            wall.id, cold.name
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_unheated_rooms_are_known_in_nine_languages() {
        for name in [
            "GARAGE",
            "Covered Porch",
            "Terrasse",
            "GARAJE",
            "Abri voiture",
            "Autorimessa",
            "Varanda",
            "AUTOKATOS",
            "Гараж",
            "车库",
        ] {
            assert!(is_unheated(name), "{name}");
        }
        for name in ["KITCHEN", "Wohnzimmer", "", "BATH"] {
            assert!(!is_unheated(name), "{name}");
        }
    }

    #[test]
    fn a_wall_between_garage_and_kitchen_is_noted_and_the_garages_outside_walls() {
        let square = |x: f64| -> Vec<Coord<f64>> {
            [(x, 0.0), (x + 100.0, 0.0), (x + 100.0, 100.0), (x, 100.0)]
                .map(Coord::from)
                .to_vec()
        };
        let room = |name: &str, x: f64| Room {
            name: name.to_owned(),
            outline: square(x),
            ..Room::default()
        };
        let wall = |id: &str, is_exterior: bool, x: f64| Wall {
            id: id.to_owned(),
            is_exterior,
            start: (x, 0.0).into(),
            end: (x, 100.0).into(),
            thickness: 6.0,
            ..Wall::default()
        };
        let storey = Storey {
            id: "S1".to_owned(),
            walls: vec![
                wall("X1", true, -3.0),
                wall("I1", false, 103.0),
                wall("X2", true, 209.0),
            ],
            rooms: vec![room("GARAGE", 0.0), room("KITCHEN", 106.0)],
            ..Storey::default()
        };
        let mut findings = Vec::new();
        note_unheated(&storey, &mut findings);
        let said: Vec<&str> = findings.iter().map(|it| it.message.as_str()).collect();
        assert_eq!(
            said,
            [
                "X1 encloses GARAGE, which is not heated by its name",
                "I1 stands between GARAGE, which is not heated by its name, and KITCHEN"
            ]
        );
    }
}
