//! Moves an opening along its wall, measured as it is set out on site: from the wall's left corner, seen from outside.
//!
//! ```text
//!    corner ●━━━━━━━━━━━━┫    ┣━━━━━━━━   outside face
//!           ├── middle ────┤
//! ```

use crate::plan::answers::meant::opening_meant;
use crate::plan::answers::obey::put_in_order;
use crate::plan::{Storey, Wall};
use geo::Coord;

/// A wall's outside face lies this near to its edge of the outline, inches.
const ON_FACE: f64 = 1.0;

/// Moves the opening at a point; `None` when there is none, or it cannot stand there.
///
/// - `middle`: from the left corner of its wall to its middle, inches.
pub(super) fn move_opening(storey: &mut Storey, at: Coord<f64>, middle: f64) -> Option<()> {
    let index = opening_meant(storey, at)?;
    let opening = storey.openings.get(index)?;
    let wall = storey.walls.iter().find(|it| it.id == opening.wall)?;
    let (length, along) = direction(wall)?;
    let corner = left_corner(&storey.outline, wall, along)?;
    let from = corner - wall.start;
    let centre = from.x * along.x + from.y * along.y + middle;
    let half = opening.width / 2.0;
    if centre < half || centre + half > length {
        return None;
    }
    let place = wall.start + along * centre;
    let opening = storey.openings.get_mut(index)?;
    opening.near = centre - half;
    opening.centre = place;
    opening.confidence = 1.0;
    put_in_order(storey);
    Some(())
}

/// Length and direction of a wall's centre line.
fn direction(wall: &Wall) -> Option<(f64, Coord<f64>)> {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    (length > 0.0).then(|| (length, d / length))
}

/// Where the outside face of a wall begins: the start of its edge of the outline, which runs with the outside on its right.
fn left_corner(outline: &[Coord<f64>], wall: &Wall, along: Coord<f64>) -> Option<Coord<f64>> {
    let out = Coord {
        x: along.y,
        y: -along.x,
    };
    let face = (wall.start + wall.end) / 2.0 + out * (wall.thickness / 2.0);
    let ends = outline.iter().cycle().skip(1);
    outline.iter().zip(ends).find_map(|(a, b)| {
        let (edge, to) = (*b - *a, face - *a);
        let length = edge.x.hypot(edge.y);
        let is_along = edge.x * along.x + edge.y * along.y > 0.999 * length;
        let (s, d) = (to.x * along.x + to.y * along.y, to.x * out.x + to.y * out.y);
        (is_along && (0.0..=length).contains(&s) && d.abs() <= ON_FACE).then_some(*a)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Opening;

    fn at(x: f64, y: f64) -> Coord<f64> {
        Coord { x, y }
    }

    /// The south wall of a square of 20 ft with 6 1/2 in walls: a window with its middle at 48 and a door at 120.
    fn storey() -> Storey {
        let opening = |id: &str, middle: f64, width: f64| Opening {
            id: id.to_owned(),
            wall: "X1".to_owned(),
            centre: at(middle, 3.25),
            near: middle - 3.25 - width / 2.0,
            width,
            ..Opening::default()
        };
        Storey {
            outline: vec![
                at(0.0, 0.0),
                at(240.0, 0.0),
                at(240.0, 240.0),
                at(0.0, 240.0),
            ],
            walls: vec![Wall {
                id: "X1".to_owned(),
                is_exterior: true,
                start: at(3.25, 3.25),
                end: at(236.75, 3.25),
                thickness: 6.5,
                ..Wall::default()
            }],
            openings: vec![opening("O1", 48.0, 36.0), opening("O2", 120.0, 38.0)],
            ..Storey::default()
        }
    }

    #[test]
    fn its_middle_stands_where_it_is_told_to_from_the_corner_and_the_order_follows() {
        let mut moved = storey();
        move_opening(&mut moved, at(48.0, 3.25), 180.0).unwrap();
        let ids: Vec<&str> = moved.openings.iter().map(|it| it.id.as_str()).collect();
        assert_eq!(ids, ["O2", "O1"]);
        let it = &moved.openings[1];
        assert_eq!(it.centre, at(180.0, 3.25));
        assert!((it.near - (180.0 - 3.25 - 18.0)).abs() < 1e-9);
        assert_eq!(it.width, 36.0);
    }

    #[test]
    fn nothing_moves_out_of_its_wall_or_in_a_wall_without_an_outside() {
        let mut same = storey();
        assert_eq!(move_opening(&mut same, at(48.0, 3.25), 230.0), None);
        assert_eq!(move_opening(&mut same, at(90.0, 3.25), 180.0), None);
        same.outline.clear();
        assert_eq!(move_opening(&mut same, at(48.0, 3.25), 60.0), None);
    }
}
