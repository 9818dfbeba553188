//! What glass and doors hold: between two jambs of a wall that goes on beyond them stands no thinner wall.
//!
//! ```text
//!    ────────┬───────┬─────────
//!      wall  │═══════│  wall        face and glass, or glass and glass, are as far apart as a thin wall's faces: they are none
//!    ────────┴───────┴─────────
//! ```

use super::axis::Axis;
use super::bands::{Band, Span};
use super::nearby::Nearby;
use super::rails::around;
use super::solids::Candidate;
use super::thicknesses::Thicknesses;
use crate::side_by_side::one_each;
use geo::Coord;

/// A thickness at least this common, as a share of the commonest, is a wall's that may hold openings.
const KNOWN: f64 = 0.06;
/// The wall beside an opening is at least this long, inches.
const STUB: f64 = 2.0;
/// What stands in an opening ends within this of its jambs and faces, inches.
const WITHIN: f64 = 0.6;

/// The place of an opening in a wall.
pub(super) struct Held {
    /// From one jamb to the other.
    pub axis: Axis,
    pub width: f64,
    pub thickness: f64,
    /// True when both jambs end at both faces.
    pub is_exact: bool,
}

/// Takes out candidates that lie in an opening of a thicker wall of a known thickness, and hands on these openings.
///
/// - `is_opening`: true for a span between two jambs that is an opening.
pub(super) fn without_held(
    bands: &[Band],
    candidates: &mut Vec<Candidate>,
    thicknesses: &Thicknesses,
    is_opening: &dyn Fn(usize, usize) -> bool,
) -> Vec<Held> {
    let mut held = Vec::new();
    for (index, band) in bands.iter().enumerate() {
        let is_known = thicknesses.support(band.thickness) >= KNOWN;
        for (k, span) in band.spans.iter().enumerate() {
            let n_beside = [k.checked_sub(1), Some(k + 1)]
                .into_iter()
                .flatten()
                .filter(|beside| *beside < band.spans.len() && !is_opening(index, *beside))
                .filter(|beside| touches(&band.spans[*beside], span))
                .count();
            // A thickness of one wall alone is rare: there a window drawn whole, with wall on both sides of it, says so.
            let is_whole = || {
                n_beside == 2
                    && span
                        .jambs
                        .iter()
                        .flatten()
                        .filter(|it| it.is_exact && it.has_own_line)
                        .count()
                        == 2
            };
            if n_beside > 0 && (is_known || is_whole()) && is_opening(index, k) {
                held.push(Held {
                    axis: Axis {
                        origin: band.axis.point(span.u0, 0.0),
                        ..band.axis
                    },
                    width: span.u1 - span.u0,
                    thickness: band.thickness,
                    is_exact: span.jambs.iter().flatten().filter(|it| it.is_exact).count() == 2,
                });
            }
        }
    }
    let tree = Nearby::new(held.iter().enumerate().filter_map(|(i, it)| {
        let ends = [it.axis.origin, it.axis.point(it.width, 0.0)];
        Some((around(&ends, it.thickness)?, i))
    }));
    let stays = |c: &Candidate| {
        let band = &bands[c.band];
        let half = band.thickness / 2.0;
        let corners = [(c.u0, -half), (c.u0, half), (c.u1, half), (c.u1, -half)]
            .map(|(u, d)| band.axis.point(u, d));
        let Some(area) = around(&corners, 0.0) else {
            return true;
        };
        !tree.any(&area, |i| is_in(&held[i], band.thickness, &corners))
    };
    let all: &[Candidate] = candidates;
    let stay = one_each(all.len(), |i| stays(&all[i]));
    let mut stay = stay.into_iter();
    candidates.retain(|_| stay.next().unwrap_or(true));
    held
}

/// True when a solid piece of the same band ends where the opening begins, or the other way round.
fn touches(beside: &Span, opening: &Span) -> bool {
    let near = (beside.u1 - opening.u0)
        .abs()
        .min((beside.u0 - opening.u1).abs());
    near < WITHIN && beside.u1 - beside.u0 >= STUB
}

/// Thinner than the wall, or a piece of the opening's own faces: a bit of line beside one of them makes a pair with the other.
fn is_in(held: &Held, thickness: f64, corners: &[Coord<f64>; 4]) -> bool {
    let ends = corners.iter().map(|p| held.axis.s(*p));
    let (from, to) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |m, s| {
        (m.0.min(s), m.1.max(s))
    });
    let is_piece = (thickness - held.thickness).abs() <= WITHIN
        && from > -WITHIN
        && to < held.width + WITHIN
        && to - from < held.width / 2.0;
    let is_across = |p: &Coord<f64>| held.axis.d(*p).abs() < held.thickness / 2.0 + WITHIN;
    (thickness < held.thickness - WITHIN || is_piece)
        && from > -WITHIN
        && to < held.width + WITHIN
        && corners.iter().all(is_across)
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, pieces, recovered, shell, sides};

    /// Openings that are held in walls of a thickness: middle and width.
    fn held(lines: &[[f64; 4]], thickness: f64) -> Vec<[f64; 3]> {
        let found = pieces(lines);
        let own = found.held.iter().filter(|it| it.thickness == thickness);
        own.map(|it| {
            let middle = it.axis.point(it.width / 2.0, 0.0) + found.lines.origin;
            [middle.x, middle.y, it.width]
        })
        .collect()
    }

    #[test]
    fn glass_and_a_face_are_no_thinner_wall() {
        let mut lines = shell();
        lines.extend([
            [100.0, 0.0, 100.0, 6.0],
            [136.0, 0.0, 136.0, 6.0],
            [100.0, 3.0, 136.0, 3.0],
        ]);
        assert_eq!(held(&lines, 6.0), [[118.0, 3.0, 36.0]]);
        assert!(pieces(&lines).solids.iter().all(|it| it.thickness == 6.0));
    }

    #[test]
    fn bits_of_line_beside_a_window_are_no_pier_in_it() {
        let mut lines = open_shell(100.0, 148.0);
        lines.extend([0.0, 3.0, 6.0].map(|y| [100.0, y, 148.0, y]));
        lines.extend([[120.0, 5.98, 121.0, 5.98], [130.0, 0.02, 131.0, 0.02]]);
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[124.0, 3.0, 48.0]]);
    }

    /// A large house of 6 in walls; a wall of 10 in, the only one so thick, goes up from its lower wall, glass between jambs in it.
    fn rare(top: f64) -> Vec<[f64; 4]> {
        let mut lines = sides(0.0, 0.0, 1080.0, 720.0);
        lines.extend(sides(6.0, 6.0, 1074.0, 714.0));
        lines.extend([
            [300.0, 6.0, 300.0, top],
            [310.0, 6.0, 310.0, top],
            [300.0, top, 310.0, top],
            [300.0, 30.0, 310.0, 30.0],
            [300.0, 66.0, 310.0, 66.0],
            [305.0, 30.0, 305.0, 66.0],
        ]);
        lines
    }

    #[test]
    fn a_rare_wall_holds_a_window_with_wall_on_both_sides_of_it() {
        assert_eq!(held(&rare(86.0), 10.0), [[305.0, 48.0, 36.0]]);
        assert!(held(&rare(66.0), 10.0).is_empty());
    }
}
