//! What glass and doors hold: between two jambs of a wall that goes on beyond them stands no thinner wall.
//!
//! ```text
//!    ────────┬───────┬─────────
//!      wall  │═══════│  wall        face and glass, or glass and glass, are as far apart as a thin wall's faces: they are none
//!    ────────┴───────┴─────────
//! ```

use crate::plan::answers::questions::LEAST_POST;
use crate::plan::axis::Axis;
use crate::plan::lines::rails::{Rails, around};
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::{Band, Span};
use crate::plan::pieces::solids::Candidate;
use crate::plan::pieces::thicknesses::Thicknesses;
use crate::plan::walls::bonds::NARROWEST;
use crate::plan::walls::piers::breaks_at;
use crate::side_by_side::one_each;
use geo::Coord;

/// A thickness at least this common, as a share of the commonest, is a wall's that may hold openings.
const KNOWN: f64 = 0.06;
/// The wall beside an opening is at least this long, inches.
const STUB: f64 = 2.0;
/// What stands in an opening ends within this of its jambs and faces, inches.
const WITHIN: f64 = 0.6;
/// A strip beside a wall is as thick as it within this, inches, and shares one of its faces.
const BESIDE: f64 = 0.15;

/// The place of an opening in a wall.
pub(in crate::plan) struct Held {
    /// From one jamb to the other.
    pub axis: Axis,
    pub width: f64,
    pub thickness: f64,
    /// True when both jambs end at both faces.
    pub is_exact: bool,
    /// The band that it is an opening of.
    band: usize,
}

/// Takes out candidates that lie in an opening of a thicker wall of a known thickness, and hands on these openings. So goes what
/// lies along an opening and shuts it off, as thick as its wall: a line drawn a wall's thickness off one of the faces.
///
/// - `is_opening`: true for a span between two jambs that is an opening; beside it the drawing's slack.
pub(in crate::plan) fn without_held(
    rails: &Rails,
    bands: &[Band],
    candidates: &mut Vec<Candidate>,
    thicknesses: &Thicknesses,
    (is_opening, slack): (&dyn Fn(usize, usize) -> bool, f64),
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
            if is_known && !is_opening(index, k) {
                held.extend(between_piers(rails, (band, index), span, slack));
            }
            if n_beside > 0 && (is_known || is_whole()) && is_opening(index, k) {
                held.push(Held {
                    axis: Axis {
                        origin: band.axis.point(span.u0, 0.0),
                        ..band.axis
                    },
                    width: span.u1 - span.u0,
                    thickness: band.thickness,
                    is_exact: span.jambs.iter().flatten().filter(|it| it.is_exact).count() == 2,
                    band: index,
                });
            }
        }
    }
    let tree = Nearby::new(held.iter().enumerate().filter_map(|(i, it)| {
        let ends = [it.axis.origin, it.axis.point(it.width, 0.0)];
        Some((around(&ends, it.thickness)?, i))
    }));
    // Of two strips side by side that with more openings is the wall.
    let mut n_held = vec![0_usize; bands.len()];
    for it in &held {
        n_held[it.band] += 1;
    }
    let is_shut_by = |held: &Held, c: &Candidate, corners: &[Coord<f64>; 4]| {
        n_held[held.band] > n_held[c.band] && shuts(held, bands[c.band].thickness, corners)
    };
    let stays = |c: &Candidate| {
        let band = &bands[c.band];
        let half = band.thickness / 2.0;
        let corners = [(c.u0, -half), (c.u0, half), (c.u1, half), (c.u1, -half)]
            .map(|(u, d)| band.axis.point(u, d));
        let Some(area) = around(&corners, 0.0) else {
            return true;
        };
        !tree.any(&area, |i| {
            let it = &held[i];
            is_in(it, band.thickness, &corners) || is_shut_by(it, c, &corners)
        })
    };
    let all: &[Candidate] = candidates;
    let stay = one_each(all.len(), |i| stays(&all[i]));
    let mut stay = stay.into_iter();
    candidates.retain(|_| stay.next().unwrap_or(true));
    held
}

/// Openings in a span by their glass, where no jambs are drawn: both faces break where it ends, and go on bare.
fn between_piers(
    rails: &Rails,
    (band, index): (&Band, usize),
    span: &Span,
    slack: f64,
) -> impl Iterator<Item = Held> {
    let is_broken = move |u: f64| breaks_at(rails, band.rails, &band.axis, u, slack);
    let glass = span.glass(LEAST_POST).into_iter();
    let glass = glass.filter(move |(from, to)| {
        to - from >= NARROWEST
            && from - span.u0 >= STUB
            && span.u1 - to >= STUB
            && is_broken(*from)
            && is_broken(*to)
    });
    glass.map(move |(from, to)| Held {
        axis: Axis {
            origin: band.axis.point(from, 0.0),
            ..band.axis
        },
        width: to - from,
        thickness: band.thickness,
        is_exact: false,
        band: index,
    })
}

/// True when a solid piece of the same band ends where the opening begins, or the other way round.
fn touches(beside: &Span, opening: &Span) -> bool {
    let near = (beside.u1 - opening.u0)
        .abs()
        .min((beside.u0 - opening.u1).abs());
    near < WITHIN && beside.u1 - beside.u0 >= STUB
}

/// True when a strip lies along the whole of an opening, as thick as its wall and on one of its faces.
fn shuts(held: &Held, thickness: f64, corners: &[Coord<f64>; 4]) -> bool {
    if !held.is_exact || (thickness - held.thickness).abs() > BESIDE {
        return false;
    }
    let range = |values: [f64; 4]| {
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        (least, values.into_iter().fold(f64::NEG_INFINITY, f64::max))
    };
    let (from, to) = range(corners.map(|p| held.axis.s(p)));
    let (low, high) = range(corners.map(|p| held.axis.d(p)));
    let half = held.thickness / 2.0;
    let is_beside = (low - half).abs() <= BESIDE || (high + half).abs() <= BESIDE;
    is_beside && from < WITHIN && to > held.width - WITHIN
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
    use crate::plan::trial::{
        Swing, exterior_openings, open_shell, pieces, recovered, recovered_with, shell, sides,
    };

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
    fn a_line_a_walls_thickness_off_makes_no_wall_that_shuts_the_windows_off() {
        // Windows in three walls; the line inside is broken at the door only, whose jambs reach it.
        let mut lines = sides(0.0, 0.0, 360.0, 288.0);
        lines.extend(sides(6.0, 6.0, 354.0, 282.0));
        lines.retain(|l| !(l[1] < 7.0 && l[3] < 7.0));
        for (y, low, high) in [(0.0, 0.0, 360.0), (6.0, 6.0, 354.0), (12.0, 12.0, 348.0)] {
            lines.extend([[low, y, 60.0, y], [96.0, y, high, y]]);
        }
        lines.extend([60.0, 96.0].map(|x| [x, 0.0, x, 12.0]));
        lines.extend([[12.0, 12.0, 12.0, 276.0], [348.0, 12.0, 348.0, 276.0]]);
        lines.push([12.0, 276.0, 348.0, 276.0]);
        for x in [180.0, 228.0] {
            lines.push([x, 0.0, x, 6.0]);
        }
        lines.extend([2.4, 3.6].map(|y| [180.0, y, 228.0, y]));
        for x in [0.0, 354.0] {
            lines.extend([100.0, 148.0].map(|y| [x, y, x + 6.0, y]));
            lines.extend([2.4, 3.6].map(|d| [x + d, 100.0, x + d, 148.0]));
        }
        let swing = Swing {
            centre: [60.0, 6.0],
            radius: 36.0,
            start: 0.0,
        };
        let found = recovered_with(&lines, &[swing]);
        let wanted = [
            [3.0, 124.0, 48.0],
            [78.0, 3.0, 36.0],
            [204.0, 3.0, 48.0],
            [357.0, 124.0, 48.0],
        ];
        assert_eq!(exterior_openings(&found.output), wanted);
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
