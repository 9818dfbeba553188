//! Puts a storey over another: by the outside faces that stand over each other, else by their lower left corners.
//!
//! ```text
//!     ┌────┐
//!   ┌─┤ S2 ├──┐      the move that lays the greatest length of S2's faces on faces of S1;
//!   │ └────┴──┤      of moves that lay as much, the one nearest to corner on corner
//!   └── S1 ───┘
//! ```

use geo::Coord;

/// Faces lie on each other within this, inches.
const ON_FACE: f64 = 0.5;

/// The move from one outline's drawing place to its place over another.
pub(super) fn register(base: &[Coord<f64>], own: &[Coord<f64>]) -> Coord<f64> {
    let plain = lower_left(base) - lower_left(own);
    if !plain.x.is_finite() || !plain.y.is_finite() {
        return Coord { x: 0.0, y: 0.0 };
    }
    let mut best = (laid(base, own, plain), 0.0, plain);
    for p in base {
        for q in own {
            let shift = *p - *q;
            let d = shift - plain;
            let far = d.x.hypot(d.y);
            let length = laid(base, own, shift);
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

fn edges(points: &[Coord<f64>]) -> impl Iterator<Item = (Coord<f64>, Coord<f64>)> + '_ {
    points
        .iter()
        .zip(points.iter().cycle().skip(1))
        .map(|(a, b)| (*a, *b))
}

/// Inches of one outline's faces that lie on the other's once moved, the outside on the same side.
fn laid(base: &[Coord<f64>], own: &[Coord<f64>], shift: Coord<f64>) -> f64 {
    let mut sum = 0.0;
    for (a, b) in edges(own) {
        let (a, b) = (a + shift, b + shift);
        for (p, q) in edges(base) {
            let d = q - p;
            let length = d.x.hypot(d.y);
            if length < 1e-9 {
                continue;
            }
            let along = d / length;
            let (s, t) = (
                (a.x - p.x) * along.x + (a.y - p.y) * along.y,
                (b.x - p.x) * along.x + (b.y - p.y) * along.y,
            );
            let aside = |r: Coord<f64>| ((r.y - p.y) * along.x - (r.x - p.x) * along.y).abs();
            if aside(a) <= ON_FACE && aside(b) <= ON_FACE && t > s {
                sum += (t.min(length) - s.max(0.0)).max(0.0);
            }
        }
    }
    sum
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
