//! Which opening a point means.
//!
//! ```text
//!   ═══╡   ● ╞════   in its wall, between its jambs: this one, however wide another beside it is
//!   ═══╡     ╞════
//!          ●         off every wall: the nearest
//! ```

use crate::plan::answers::obey::BESIDE;
use crate::plan::{Opening, Storey, Wall};
use geo::Coord;

/// A wall's face is drawn this surely, inches.
const ON_FACE: f64 = 1.0;

/// The opening that a point means: of those in whose wall it lies, between their jambs, the nearest; off every wall the nearest of
/// all. A point in a wall means no opening of another.
pub(in crate::plan) fn opening_meant(storey: &Storey, at: Coord<f64>) -> Option<usize> {
    let is_in_a_wall = storey.walls.iter().any(|wall| is_within(wall, at));
    let openings = storey.openings.iter().enumerate();
    let found = openings.filter(|it| near(it.1, at)).filter_map(|(i, it)| {
        let wall = storey.walls.iter().find(|wall| wall.id == it.wall);
        let is_beside = !wall.is_some_and(|wall| is_within(wall, at));
        let d = it.centre - at;
        (!is_beside || !is_in_a_wall).then(|| (is_beside, d.x.hypot(d.y), i))
    });
    let nearest = found.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    nearest.map(|it| it.2)
}

/// True when a point is as near to an opening's middle as its jambs are, or a little farther.
pub(in crate::plan) fn near(opening: &Opening, at: Coord<f64>) -> bool {
    let d = opening.centre - at;
    d.x.hypot(d.y) <= opening.width / 2.0 + BESIDE
}

/// True when a point lies between a wall's faces and its ends.
fn is_within(wall: &Wall, at: Coord<f64>) -> bool {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    if length <= 0.0 {
        return false;
    }
    let (d, r) = (d / length, at - wall.start);
    let (along, aside) = (r.x * d.x + r.y * d.y, (d.x * r.y - d.y * r.x).abs());
    (-ON_FACE..=length + ON_FACE).contains(&along) && aside <= wall.thickness / 2.0 + ON_FACE
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A corner: a wall with a window of 24 in at its end, and a garage door of 192 in in the other.
    fn corner() -> Storey {
        let wall = |id: &str, end: [f64; 2]| Wall {
            id: id.to_owned(),
            start: Coord { x: 0.0, y: 0.0 },
            end: end.into(),
            thickness: 6.0,
            ..Wall::default()
        };
        let opening = |id: &str, wall: &str, centre: [f64; 2], width: f64| Opening {
            id: id.to_owned(),
            wall: wall.to_owned(),
            centre: centre.into(),
            width,
            ..Opening::default()
        };
        Storey {
            walls: vec![wall("X1", [240.0, 0.0]), wall("X2", [0.0, 300.0])],
            openings: vec![
                opening("O1", "X1", [110.0, 0.0], 192.0),
                opening("O2", "X2", [0.0, 20.0], 24.0),
            ],
            ..Storey::default()
        }
    }

    fn meant(x: f64, y: f64) -> Option<&'static str> {
        let storey = corner();
        let index = opening_meant(&storey, Coord { x, y })?;
        Some(if storey.openings[index].id == "O1" {
            "O1"
        } else {
            "O2"
        })
    }

    #[test]
    fn a_point_in_a_wall_means_an_opening_of_that_wall_however_wide_another_is() {
        let storey = corner();
        let middle = Coord { x: 0.0, y: 20.0 };
        assert!(near(&storey.openings[0], Coord { x: 12.0, y: 0.0 }));
        // Both are as near as their jambs: 112 in from the one's middle, 99 in allowed.
        assert!(!near(&storey.openings[0], middle));
        let mut wide = corner();
        wide.openings[0].centre.x = 90.0;
        assert!(near(&wide.openings[0], middle), "the wider one reaches it");
        assert_eq!(opening_meant(&wide, middle), Some(1));
        // In the other wall, beyond its window, the wide one is not meant either.
        let beyond = Coord { x: 0.0, y: 40.0 };
        assert!(near(&wide.openings[0], beyond));
        assert_eq!(opening_meant(&wide, beyond), None);
    }

    #[test]
    fn a_point_off_every_wall_means_the_nearest() {
        assert_eq!(meant(110.0, 50.0), Some("O1"));
        assert_eq!(meant(12.0, 20.0), Some("O2"));
        assert_eq!(meant(110.0, 150.0), None);
    }
}
