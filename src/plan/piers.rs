//! Piers in a gap: where jambs part what is drawn from a piece with both faces and nothing in it, that piece is wall.
//!
//! ```text
//!   ─────┬───────┬─────┬───────┬─────
//!    wall│ ═════ │  ?  │ ═════ │ wall       the piece in the middle was lost to furniture that borrowed one of its faces
//!   ─────┴───────┴─────┴───────┴─────
//! ```

use super::axis::{Axis, covered};
use super::bands::jambs_and_leaves_between;
use super::bonds::NARROWEST;
use super::rails::Rails;
use super::symbols::{Evidence, Place};

/// Less than this beside a jamb is a frame or a casing, inches.
pub(super) const LEAST_PIER: f64 = 3.0;
/// Both faces of a pier are drawn over this share of it.
const FACED: f64 = 0.9;

/// An opening of a gap: from, to, and what speaks for it.
pub(super) type Part = (f64, f64, Evidence);

/// The openings of a gap from `axis.origin` over `width`, where piers part it; `None` where none does.
///
/// - `faces`: rails of the walls on both sides of the gap.
pub(super) fn between_piers(
    rails: &Rails,
    faces: &[usize],
    (axis, width): (&Axis, f64),
    thickness: f64,
    place: &Place<'_>,
    slack: f64,
) -> Option<Vec<Part>> {
    let inside = (LEAST_PIER, width - LEAST_PIER);
    let lines = jambs_and_leaves_between(rails, axis, thickness, inside, slack);
    if lines.is_empty() {
        return None;
    }
    let look = |from: f64, to: f64| {
        let own = Axis {
            origin: axis.point(from, 0.0),
            ..*axis
        };
        place.look(&own, to - from, thickness)
    };
    let is_faced = |from: f64, to: f64, side: f64| {
        faces.iter().any(|&index| {
            let rail = &rails.list[index];
            let (p, q) = (axis.point(from, 0.0), axis.point(to, 0.0));
            let (s, t) = (rail.axis.s(p), rail.axis.s(q));
            let is_on_side = axis.d(rail.axis.point(s, 0.0)) * side > 0.0;
            is_on_side && covered(&rail.face_cover, s.min(t), s.max(t)) >= FACED * (to - from)
        })
    };
    let ends = [0.0].into_iter().chain(lines).chain([width]);
    let cuts: Vec<f64> = ends.collect();
    let mut openings: Vec<(f64, f64)> = Vec::new();
    let mut n_piers = 0;
    for pair in cuts.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let is_pier = to - from >= LEAST_PIER
            && [1.0, -1.0].iter().all(|side| is_faced(from, to, *side))
            && !look(from, to).speaks();
        match openings.last_mut() {
            _ if is_pier => n_piers += 1,
            Some(last) if last.1 >= from => last.1 = to,
            _ => openings.push((from, to)),
        }
    }
    let openings: Vec<Part> = openings
        .into_iter()
        .map(|(from, to)| (from, to, look(from, to)))
        .collect();
    let is_whole = |it: &Part| it.1 - it.0 >= NARROWEST && it.2.is_drawn();
    (n_piers > 0 && !openings.is_empty() && openings.iter().all(is_whole)).then_some(openings)
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{Swing, exterior_openings, open_shell, recovered, recovered_with};

    #[test]
    fn a_pier_that_furniture_borrows_a_face_from_parts_two_windows() {
        // Windows from 100 to 136 and from 150 to 186; a cabinet's edge 4 in off the inner face, along the pier.
        let mut lines = open_shell(100.0, 186.0);
        for x in [136.0, 150.0] {
            lines.push([x, 0.0, x, 6.0]);
        }
        for y in [0.0, 6.0] {
            lines.push([136.0, y, 150.0, y]);
        }
        for (from, to) in [(100.0, 136.0), (150.0, 186.0)] {
            lines.extend([2.0, 4.0].map(|y| [from, y, to, y]));
        }
        lines.extend([[120.0, 10.0, 170.0, 10.0], [170.0, 10.0, 170.0, 40.0]]);
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[118.0, 3.0, 36.0], [168.0, 3.0, 36.0]]);
    }

    #[test]
    fn a_leaf_in_line_with_its_jamb_leaves_the_pier_beside_it() {
        // A window from 100 to 136, a pier of 6 in, a door from 142 to 178 whose leaf stands open in line with its jamb.
        let mut lines = open_shell(100.0, 178.0);
        for x in [136.0, 142.0] {
            lines.push([x, 0.0, x, 6.0]);
        }
        for y in [0.0, 6.0] {
            lines.push([136.0, y, 142.0, y]);
        }
        lines.extend([0.0, 3.0, 6.0].map(|y| [100.0, y, 136.0, y]));
        lines.push([142.0, 0.0, 142.0, -36.0]);
        let swing = Swing {
            centre: [142.0, 0.0],
            radius: 36.0,
            start: -std::f64::consts::FRAC_PI_2,
        };
        let openings = exterior_openings(&recovered_with(&lines, &[swing]).output);
        assert_eq!(openings, [[118.0, 3.0, 36.0], [160.0, 3.0, 36.0]]);
    }
}
