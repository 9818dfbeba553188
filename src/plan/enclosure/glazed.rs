//! Rooms of glass by their name, in whose outside walls no glass is drawn.
//!
//! ```text
//!   ┃  SUN ROOM  ┃
//!   ┗━━━━━━━━━━━━┛      walls of glass drawn as walls, or windows left out: asked at each of them, none is made
//! ```

use crate::findings::{Finding, Place};
use crate::plan::enclosure::outline::contains;
use crate::plan::{OpeningKind, Room, Storey, Wall, codes};
use geo::Coord;

/// Words in names of rooms of glass, in nine languages. Source: common practice, no source.
const OF_GLASS: [&str; 23] = [
    "SUN ROOM",
    "SUNROOM",
    "SUN PORCH",
    "SUN SPACE",
    "SUNSPACE",
    "SOLARIUM",
    "CONSERVATORY",
    "ORANGERY",
    "GREENHOUSE",
    "GREEN HOUSE",
    "WINTER GARDEN",
    "FLORIDA ROOM",
    "SEASON ROOM",
    "WINTERGARTEN",
    "JARDIN D'HIVER",
    "INVERNADERO",
    "GALERÍA ACRISTALADA",
    "GIARDINO D'INVERNO",
    "JARDIM DE INVERNO",
    "TALVIPUUTARHA",
    "VIHERHUONE",
    "ЗИМНИЙ САД",
    "阳光房",
];

/// A door at least this wide is glass that slides or folds, inches.
const GLASS_DOOR: f64 = 48.0;
/// Beyond a wall's face, inches: a point there lies in the room beside it.
const BESIDE: f64 = 4.0;
/// A wall bounds a room where one of these shares of it does.
const SHARES: [f64; 9] = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];

/// A doubt at each outside wall of a room of glass where none is drawn.
pub(in crate::plan) fn ask_about_rooms_of_glass(storey: &Storey, findings: &mut Vec<Finding>) {
    for room in storey.rooms.iter().filter(|it| is_of_glass(&it.name)) {
        let outside = storey.walls.iter().filter(|it| it.is_exterior);
        let own: Vec<(&Wall, Coord<f64>)> = outside
            .filter_map(|wall| Some((wall, along(wall, room)?)))
            .collect();
        let is_glazed = storey.openings.iter().any(|opening| {
            let is_glass = match opening.kind {
                OpeningKind::Door => opening.width >= GLASS_DOOR,
                OpeningKind::Window | OpeningKind::Opening => true,
                OpeningKind::GarageDoor => false,
            };
            let mut walls = own.iter().map(|it| it.0);
            is_glass
                && walls
                    .any(|wall| wall.id == opening.wall && is_beside(wall, room, opening.centre))
        });
        if is_glazed {
            continue;
        }
        for (wall, at) in own {
            findings.push(Finding::doubt(
                codes::NO_OPENING,
                Place::element(&storey.id, &wall.id).with_at(at.x, at.y),
                format!(
                    "{} is a room of glass by its name, and no glass is drawn in {}: none is made",
                    room.name, wall.id
                ),
                "if it has windows, draw them; if it is glass between posts, say in the job that its walls are none; else nothing",
            ));
        }
    }
}

/// True when a room is of glass by its name.
pub(in crate::plan) fn is_of_glass(name: &str) -> bool {
    let upper = name.to_uppercase().replace(['-', '’'], " ");
    let upper = upper
        .replace("D HIVER", "D'HIVER")
        .replace("D INVERNO", "D'INVERNO");
    OF_GLASS.iter().any(|word| upper.contains(word))
}

/// The middle of what of a wall bounds a room.
fn along(wall: &Wall, room: &Room) -> Option<Coord<f64>> {
    let points = SHARES.map(|share| wall.start + (wall.end - wall.start) * share);
    let own: Vec<Coord<f64>> = points
        .into_iter()
        .filter(|p| is_beside(wall, room, *p))
        .collect();
    Some((*own.first()? + *own.last()?) / 2.0)
}

/// True when a room lies beside a point of a wall.
fn is_beside(wall: &Wall, room: &Room, p: Coord<f64>) -> bool {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y).max(1e-9);
    let off = Coord { x: -d.y, y: d.x } * ((wall.thickness / 2.0 + BESIDE) / length);
    contains(&room.outline, p + off) || contains(&room.outline, p - off)
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered_among};

    /// Where a room to the right of a house is asked about; a window in its lower wall, or none.
    fn asked(name: &str, has_window: bool) -> Vec<[f64; 2]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend([[240.0, 6.0, 240.0, 234.0], [244.0, 6.0, 244.0, 234.0]]);
        if has_window {
            lines.extend([280.0, 316.0].map(|x| [x, 0.0, x, 6.0]));
            lines.push([280.0, 3.0, 316.0, 3.0]);
        }
        let words = [("LIVING", [120.0, 120.0]), (name, [300.0, 120.0])];
        let found = recovered_among(&lines, &[], &words).findings;
        let own = found.iter().filter(|it| it.code == codes::NO_OPENING);
        own.filter_map(|it| it.place.at).collect()
    }

    #[test]
    fn a_room_of_glass_without_glass_is_asked_about_at_each_outside_wall() {
        for name in [
            "SUN ROOM",
            "4-Season Room",
            "Wintergarten",
            "JARDIN D’HIVER",
        ] {
            assert_eq!(asked(name, false).len(), 3, "{name}");
            assert!(asked(name, true).is_empty(), "{name}");
        }
        assert!(asked("STORAGE", false).is_empty());
    }
}
