//! Piers in a gap: where jambs part what is drawn from a piece with both faces and nothing in it, that piece is wall.
//!
//! ```text
//!   ─────┬───────┬─────┬───────┬─────
//!    wall│ ═════ │  ?  │ ═════ │ wall       the piece in the middle was lost to furniture that borrowed one of its faces
//!   ─────┴───────┴─────┴───────┴─────
//! ```
//!
//! Where no jambs are drawn, glass on both sides of it and both faces broken at its ends say as much.

use crate::plan::answers::questions::LEAST_POST;
use crate::plan::axis::{Axis, Interval, common, covered, joined};
use crate::plan::lines::rails::Rails;
use crate::plan::lines::symbols::{Evidence, Place};
use crate::plan::pieces::bands::jambs_and_leaves_between;
use crate::plan::walls::bonds::NARROWEST;

/// Less than this beside a jamb is a frame or a casing, inches.
pub(in crate::plan) const LEAST_PIER: f64 = 3.0;
/// Two studs are a pier too where the lines of both faces are broken at both its ends: wider than this, inches.
const THIN_PIER: f64 = LEAST_POST;
/// Both faces of a pier are drawn over this share of it.
const FACED: f64 = 0.9;

/// An opening of a gap: from, to, and what speaks for it.
pub(in crate::plan) type Part = (f64, f64, Evidence);

/// The openings of a gap from `axis.origin` over `width`, where piers part it; `None` where none does.
///
/// - `faces`: rails of the walls on both sides of the gap.
pub(in crate::plan) fn between_piers(
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
    let ends = [0.0].into_iter().chain(lines).chain([width]);
    let cuts: Vec<f64> = ends.collect();
    let mut openings: Vec<(f64, f64)> = Vec::new();
    let mut n_piers = 0;
    for pair in cuts.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let is_pier = to - from >= LEAST_PIER
            && is_faced(rails, faces, axis, (from, to))
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

/// True when a face on either side of the gap is drawn over a part of it.
fn is_faced(rails: &Rails, faces: &[usize], axis: &Axis, (from, to): Interval) -> bool {
    [1.0, -1.0].iter().all(|side| {
        faces.iter().any(|&index| {
            let rail = &rails.list[index];
            let (p, q) = (axis.point(from, 0.0), axis.point(to, 0.0));
            let (s, t) = (rail.axis.s(p), rail.axis.s(q));
            let is_on_side = axis.d(rail.axis.point(s, 0.0)) * side > 0.0;
            is_on_side && covered(&rail.face_cover, s.min(t), s.max(t)) >= FACED * (to - from)
        })
    })
}

/// A face is broken and glass ends at a pier within this, inches, beyond twice the drawing's slack.
const BROKEN: f64 = 0.1;
/// True when a line of both faces of a strip ends at a place along it.
pub(in crate::plan) fn breaks_at(
    rails: &Rails,
    faces: (usize, usize),
    axis: &Axis,
    u: f64,
    slack: f64,
) -> bool {
    let near = BROKEN + 2.0 * slack;
    [faces.0, faces.1].iter().all(|rail| {
        let rail = &rails.list[*rail];
        let s = rail.axis.s(axis.point(u, 0.0));
        let mut pieces = rail.pieces_in(s - near, s + near);
        pieces.any(|it| (it.0 - s).abs().min((it.1 - s).abs()) <= near)
    })
}

/// Glass lies off both faces by at least this, inches.
const OFF_FACE: f64 = 0.4;

/// The same of a gap without jambs, where piers stand between glass: the glass ends there, and so do the lines of both faces.
pub(in crate::plan) fn between_glass(
    rails: &Rails,
    faces: &[usize],
    (axis, width): (&Axis, f64),
    thickness: f64,
    place: &Place<'_>,
    slack: f64,
) -> Option<Vec<Part>> {
    let ends = [axis.point(0.0, 0.0), axis.point(width, 0.0)];
    let half = thickness / 2.0;
    let glass = rails
        .near_line(ends, half, |way| way.sine_from(axis).abs() < ALONG)
        .into_iter()
        .map(|i| &rails.list[i])
        .filter(|rail| {
            let [p, q] = rail.ends().map(|p| axis.d(p).abs());
            p.max(q) < half - OFF_FACE - slack
        })
        .flat_map(|rail| common(&rail.along(&rail.cover, axis), &[(0.0, width)]));
    let glass = joined(glass.collect(), THIN_PIER);
    let is_broken = |at: f64| {
        [1.0, -1.0].iter().all(|side| {
            faces.iter().any(|&index| {
                let rail = &rails.list[index];
                let s = rail.axis.s(axis.point(at, 0.0));
                let near = BROKEN + 2.0 * slack;
                let mut pieces = rail.pieces_in(s - near, s + near);
                axis.d(rail.axis.point(s, 0.0)) * side > 0.0
                    && pieces.any(|it| (it.0 - s).abs().min((it.1 - s).abs()) <= near)
            })
        })
    };
    let mut cuts = vec![0.0];
    for pair in glass.windows(2) {
        let pier = (pair[0].1, pair[1].0);
        if is_faced(rails, faces, axis, pier) && is_broken(pier.0) && is_broken(pier.1) {
            cuts.extend([pier.0, pier.1]);
        }
    }
    cuts.push(width);
    let openings: Vec<Part> = cuts
        .chunks_exact(2)
        .map(|it| {
            let own = Axis {
                origin: axis.point(it[0], 0.0),
                ..*axis
            };
            (it[0], it[1], place.look(&own, it[1] - it[0], thickness))
        })
        .collect();
    let is_whole = |it: &Part| it.1 - it.0 >= NARROWEST && it.2.is_drawn();
    (openings.len() > 1 && openings.iter().all(is_whole)).then_some(openings)
}

/// Glass runs along its wall within this sine.
const ALONG: f64 = 0.02;

#[cfg(test)]
mod tests {
    use crate::plan::trial::{
        Swing, exterior_openings, open_shell, recovered, recovered_with, shell, sides,
    };

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

    #[test]
    fn a_pier_between_glass_needs_no_jambs() {
        // A window from 100 to 148, a pier of 12 in or of two studs, a window; the edge of a roof 16 in off the wall borrows the pier's face.
        for (pier, has_roof) in [(12.0, true), (3.0, false)] {
            let next = 148.0 + pier;
            let mut lines = shell();
            lines.retain(|l| !(l[1] < 7.0 && l[3] < 7.0));
            for (y, low, high) in [(0.0, 0.0, 360.0), (6.0, 6.0, 354.0)] {
                let ends = [low, 100.0, 148.0, next, next + 48.0, high];
                lines.extend(ends.windows(2).map(|it| [it[0], y, it[1], y]));
            }
            if has_roof {
                lines.extend(sides(-16.0, -16.0, 376.0, 256.0));
            }
            lines.extend([100.0, next].map(|x| [x, 3.0, x + 48.0, 3.0]));
            let openings = exterior_openings(&recovered(&lines).output);
            assert_eq!(openings, [[124.0, 3.0, 48.0], [next + 24.0, 3.0, 48.0]]);
        }
    }
}
