//! The architect's grid where it crosses a wall.

use crate::geometry::Frame;
use crate::plan::Storey;
use crate::units::Length;

/// A grid line at a flatter angle than this to a wall does not cross it: sine of 10 degrees.
const FLATTEST: f64 = 0.17;
/// A line along the face of the wall round a corner still crosses the wall at its end, inches.
const BEYOND: f64 = 1.0;

/// Where grid lines cross the outside face of a wall: names and how far along from the wall's left corner, rising.
///
/// - `storey`: as recovered, in its drawing's coordinates; `frame` and `length` of the wall in the building's.
/// - A grid line is taken to go on beyond its ends, as the eye takes it.
pub(crate) fn grid_on_wall(
    storey: &Storey,
    frame: &Frame,
    length: Length,
) -> Vec<(String, Length)> {
    let mut found: Vec<(String, Length)> = Vec::new();
    for line in &storey.grid {
        let [start, end] = [line.start, line.end].map(|p| storey.to_building.point(p));
        let ((along, out), (far_along, far_out)) = (frame.local(start), frame.local(end));
        let (run, rise) = (far_along - along, far_out - out);
        if rise.abs() < FLATTEST * run.hypot(rise) || rise == 0.0 {
            continue;
        }
        let at = along - out * run / rise;
        if at < -BEYOND || at > length.to_inches() + BEYOND {
            continue;
        }
        let Some(at) = Length::nearest(at, Length::nanometres(1)) else {
            continue;
        };
        found.push((line.name.clone(), at));
    }
    found.sort_by(|a, b| a.1.cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
    found.dedup();
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::GridLine;
    use geo::Coord;

    #[test]
    fn lines_cross_a_wall_where_they_would_if_they_went_on() {
        let line = |name: &str, from: (f64, f64), to: (f64, f64)| GridLine {
            name: name.to_owned(),
            start: from.into(),
            end: to.into(),
            ..GridLine::default()
        };
        let storey = Storey {
            grid: vec![
                line("C", (100.0, -50.0), (100.0, -20.0)),
                line("A", (0.0, -50.0), (0.0, 200.0)),
                line("1", (-50.0, 0.0), (200.0, 0.0)),
                line("F", (300.0, -50.0), (300.0, 200.0)),
            ],
            ..Storey::default()
        };
        let frame = Frame {
            origin: Coord { x: 0.0, y: 0.0 },
            along: Coord { x: 1.0, y: 0.0 },
        };
        let found = grid_on_wall(&storey, &frame, Length::inches(240));
        let expected = [
            ("A".to_owned(), Length::ZERO),
            ("C".to_owned(), Length::inches(100)),
        ];
        assert_eq!(found, expected);
    }
}
