//! Puts a storey over another: by the outside faces that stand over each other, else by their lower left corners.
//!
//! ```text
//!     ┌────┐
//!   ┌─┤ S2 ├──┐      the move that lays the greatest length of S2's faces on faces of S1;
//!   │ └────┴──┤      of moves that lay as much, the one nearest to corner on corner
//!   └── S1 ───┘
//! ```

use crate::geometry::tolerance::ON_FACE;
use crate::geometry::{Face, Motion, laid};
use geo::Coord;

/// The move from one outline's drawing place to its place over another.
pub(super) fn register(base: &[Coord<f64>], own: &[Coord<f64>]) -> Coord<f64> {
    let plain = lower_left(base) - lower_left(own);
    if !plain.x.is_finite() || !plain.y.is_finite() {
        return Coord { x: 0.0, y: 0.0 };
    }
    let (below, above) = (faces(base), faces(own));
    let laid = |d: Coord<f64>| laid(&above, &below, &Motion::shift([d.x, d.y]));
    let mut best = (laid(plain), 0.0, plain);
    for p in base {
        for q in own {
            let shift = *p - *q;
            let d = shift - plain;
            let far = d.x.hypot(d.y);
            let length = laid(shift);
            if length > best.0 + ON_FACE || length > best.0 - ON_FACE && far < best.1 {
                best = (length, far, shift);
            }
        }
    }
    best.2
}

fn lower_left(points: &[Coord<f64>]) -> Coord<f64> {
    points.iter().fold(
        Coord {
            x: f64::INFINITY,
            y: f64::INFINITY,
        },
        |m, p| Coord {
            x: m.x.min(p.x),
            y: m.y.min(p.y),
        },
    )
}

/// The sides of an outline.
fn faces(points: &[Coord<f64>]) -> Vec<Face> {
    points
        .iter()
        .zip(points.iter().cycle().skip(1))
        .map(|(a, b)| Face {
            start: [a.x, a.y],
            end: [b.x, b.y],
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Vec<Coord<f64>> {
        [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
            .map(Coord::from)
            .to_vec()
    }

    #[test]
    fn an_upper_storey_stands_where_most_of_its_faces_have_faces_below() {
        // An L below; above it only the right part, whose lower left corner is not the L's.
        let base: Vec<Coord<f64>> = [
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 200.0),
            (200.0, 200.0),
            (200.0, 100.0),
            (0.0, 100.0),
        ]
        .map(Coord::from)
        .to_vec();
        let own = rectangle(1000.0, 500.0, 100.0, 200.0);
        let shift = register(&base, &own);
        assert_eq!((shift.x, shift.y), (-800.0, -500.0));
    }

    #[test]
    fn equal_storeys_stand_corner_on_corner() {
        let shift = register(
            &rectangle(0.0, 0.0, 300.0, 200.0),
            &rectangle(900.0, 5.0, 300.0, 200.0),
        );
        assert_eq!((shift.x, shift.y), (-900.0, -5.0));
    }
}
