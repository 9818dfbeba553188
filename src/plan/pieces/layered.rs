//! Walls drawn in layers: which lines between the faces are a wall's own, learned where they end together at a jamb.
//!
//! ```text
//!   ═══════════╗            ╔═══════╗            the same lines at the same depths: wall, however short the piece
//!   ───────────╢  ───────── ╟───────╢  ──────    others: glass
//!   ═══════════╝            ╚═══════╝
//! ```

use crate::plan::axis::{Interval, covered, joined};
use crate::plan::pieces::bands::{Band, LEAST_SOLID, Span};
use crate::plan::pieces::claims::{Faces, Side};
use crate::plan::pieces::solids::Candidate;
use std::collections::BTreeMap;

/// Lines over this share of a span are layers of the wall, when the wall is layered at all.
const LAYERED: f64 = 0.85;
/// A wall is layered when at least this many of its ends show the layers closed by one jamb.
const WITNESSES: usize = 3;

/// One way of building up a wall.
struct BuildUp {
    thickness: f64,
    /// Offsets of the lines between layers from the middle, rising; the wall may lie the other way round.
    lines: Vec<f64>,
}

/// The layered walls of a drawing.
pub(super) struct Layered {
    list: Vec<BuildUp>,
    /// Thicknesses within this are one, inches.
    loose: f64,
    /// Lines within this of each other are at one depth, inches.
    exact: f64,
}

/// Lines within this are at one depth, inches, beyond twice the drawing's slack: panes lie an eighth of an inch beside such lines.
const ONE_DEPTH: f64 = 0.03;

impl Layered {
    /// Learns them from pieces of wall that end at one jamb, all lines with them.
    ///
    /// - `loose`: thicknesses within this are one, inches.
    pub(super) fn learn(bands: &[Band], loose: f64, slack: f64) -> Self {
        let exact = (ONE_DEPTH + 2.0 * slack).min(loose);
        let mut seen: Vec<BuildUp> = Vec::new();
        for band in bands {
            for span in &band.spans {
                let exact = span.jambs.iter().flatten().filter(|j| j.is_exact).count();
                let both = span.jambs.iter().all(Option::is_some);
                let lines = layer_lines(span);
                if exact == 1
                    && !both
                    && !lines.is_empty()
                    && span.u1 - span.u0 > 2.0 * band.thickness
                {
                    seen.push(BuildUp {
                        thickness: band.thickness,
                        lines,
                    });
                }
            }
        }
        let known = |it: &BuildUp| {
            let alike = seen.iter().filter(|other| {
                (other.thickness - it.thickness).abs() <= loose
                    && is_same(&it.lines, &other.lines, exact)
            });
            alike.count() >= WITNESSES
        };
        let keep: Vec<bool> = seen.iter().map(known).collect();
        let mut keep = keep.into_iter();
        let mut list = seen;
        list.retain(|_| keep.next().unwrap_or(false));
        Self { list, loose, exact }
    }

    /// The lines between layers, where a span of this thickness has no others than a known wall has.
    pub(super) fn lines_of(&self, span: &Span, thickness: f64) -> Option<Vec<f64>> {
        let lines = layer_lines(span);
        let is_known = |it: &BuildUp| {
            (it.thickness - thickness).abs() <= self.loose && is_part(&lines, &it.lines, self.exact)
        };
        (!lines.is_empty() && self.list.iter().any(is_known)).then_some(lines)
    }
}

/// What fuller pieces cover more of than this is one of them less its outermost layer, as a share.
const FULLER: f64 = 0.6;

/// For each candidate whether it is a layered wall less an outer layer: thicker ones with more lines lie on the same side of one of its
/// faces over most of it.
pub(super) fn lacks_a_layer(
    bands: &[Band],
    candidates: &[Candidate],
    faces: &[Faces],
) -> Vec<bool> {
    let mut on_side: BTreeMap<Side, Vec<(usize, Interval)>> = BTreeMap::new();
    let listed = candidates.iter().enumerate();
    for (i, _) in listed.filter(|it| !it.1.layers.is_empty()) {
        for (side, own) in faces[i] {
            on_side.entry(side).or_default().push((i, own));
        }
    }
    let mut lacks = vec![false; candidates.len()];
    // One layer alone, which may go on round the corner where the whole wall ends.
    for (i, c) in candidates.iter().enumerate() {
        if on_side.is_empty() || !c.layers.is_empty() {
            continue;
        }
        lacks[i] = faces[i].into_iter().any(|(side, own)| {
            on_side
                .get(&side)
                .into_iter()
                .flatten()
                .any(|(whole, its)| {
                    let thick = bands[candidates[*whole].band].thickness;
                    let shared = own.1.min(its.1) - own.0.max(its.0);
                    thick > bands[c.band].thickness
                        && shared >= LEAST_SOLID
                        && own.1 - own.0 - shared <= thick
                        && shared >= LAYERED * (its.1 - its.0)
                })
        });
    }
    for list in on_side.values() {
        for (i, own) in list {
            let is_fuller = |other: usize| {
                let (one, other) = (&candidates[*i], &candidates[other]);
                other.layers.len() > one.layers.len()
                    && bands[other.band].thickness > bands[one.band].thickness
            };
            let fuller = list.iter().filter(|it| is_fuller(it.0)).map(|it| it.1);
            let cover = joined(fuller.collect(), 0.0);
            lacks[*i] |= covered(&cover, own.0, own.1) > FULLER * (own.1 - own.0);
        }
    }
    lacks
}

/// Offsets of the lines between the faces that run over all of a span, rising.
fn layer_lines(span: &Span) -> Vec<f64> {
    let mut lines: Vec<f64> = span
        .inner
        .iter()
        .filter(|(_, list)| covered(list, span.u0, span.u1) >= LAYERED * (span.u1 - span.u0))
        .map(|(d, _)| *d)
        .collect();
    lines.sort_by(f64::total_cmp);
    lines
}

/// True when two lists of offsets agree, one way round or the other.
fn is_same(a: &[f64], b: &[f64], loose: f64) -> bool {
    let near = |(p, q): (&f64, f64)| (p - q).abs() <= loose;
    a.len() == b.len()
        && (a.iter().zip(b.iter().copied()).all(near)
            || a.iter().zip(b.iter().rev().map(|d| -d)).all(near))
}

/// True when every one of some offsets is one of others, one way round or the other: the thinnest layer may be lost.
fn is_part(some: &[f64], of: &[f64], loose: f64) -> bool {
    let all = |sign: f64| {
        some.iter()
            .all(|d| of.iter().any(|other| (d - sign * other).abs() <= loose))
    };
    some.len() + 1 >= of.len() && (all(1.0) || all(-1.0))
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, pieces, recovered, sides};

    /// A house of 7 in walls, half an inch outside and half an inch inside drawn as layers, with partitions of 6 1/2 in and one of 4 in
    /// that meets its lower wall beside a door.
    #[test]
    fn a_wall_less_its_outer_layer_is_no_wall() {
        let mut lines = Vec::new();
        for d in [0.0, 0.5, 6.5, 7.0] {
            let (x1, y1) = (480.0 - d, 240.0 - d);
            lines.extend([[x1, d, x1, y1], [x1, y1, d, y1], [d, y1, d, d]]);
            lines.extend([[d, d, 60.0, d], [100.0, d, 140.0, d], [340.0, d, x1, d]]);
            // The partition parts the inner face and the layer behind it.
            let parts = if d > 6.0 {
                vec![[212.0, 221.0], [225.0, 252.0]]
            } else {
                vec![[212.0, 252.0]]
            };
            lines.extend(parts.into_iter().map(|it| [it[0], d, it[1], d]));
        }
        for x in [60.0, 100.0, 140.0, 212.0, 252.0, 340.0] {
            lines.push([x, 0.0, x, 7.0]);
        }
        for (from, to) in [(60.0, 100.0), (140.0, 212.0), (252.0, 340.0)] {
            lines.push([from, 3.5, to, 3.5]);
        }
        for (x, thick, end) in [
            (40.0, 6.5, 233.0),
            (110.0, 6.5, 233.0),
            (360.0, 6.5, 233.0),
            (221.0, 4.0, 233.0),
        ] {
            lines.extend([[x, 7.0, x, end], [x + thick, 7.0, x + thick, end]]);
        }
        let found = pieces(&lines);
        let low = found.solids.iter().filter(|it| {
            let middle = it.axis.point(f64::midpoint(it.u0, it.u1), 0.0) + found.lines.origin;
            middle.y < 7.0 && it.axis.along.x.abs() > 0.9
        });
        let thicknesses: Vec<f64> = low.map(|it| it.thickness).collect();
        // The lines between the layers of a whole piece are none of its faces: what they make with each other goes later.
        assert!(thicknesses.contains(&7.0), "{thicknesses:?}");
        assert!(!thicknesses.contains(&6.5), "{thicknesses:?}");
    }

    #[test]
    fn panes_that_end_beside_the_lines_between_layers_are_glass() {
        // Brick, air, sheathing, studs and gypsum; each pane lies 0.16 to 0.4 in beside such a line, 0.125 in, or on it.
        for (depths, panes) in [
            ([0.0, 3.5, 4.25, 4.6875, 8.1875, 8.6875], [3.84375, 4.84375]),
            ([0.0, 3.5, 4.25, 5.25, 8.75, 9.25], [4.125, 5.125]),
            // On such lines.
            ([0.0, 4.0, 6.0, 7.0, 12.5, 13.0], [6.0, 7.0]),
        ] {
            let thick = depths[5];
            let mut lines = Vec::new();
            for d in depths {
                let (x1, y1) = (480.0 - d, 336.0 - d);
                lines.extend([[x1, d, x1, y1], [d, y1, d, d]]);
                for (from, to) in [(d, 48.0), (96.0, 180.0), (240.0, 320.0), (392.0, x1)] {
                    lines.extend([[from, d, to, d], [from, y1, to, y1]]);
                }
            }
            let windows = [(48.0, 96.0), (180.0, 240.0), (320.0, 392.0)];
            for (from, to) in windows {
                for y in [0.0, 336.0 - thick] {
                    lines.extend([from, to].map(|x| [x, y, x, y + thick]));
                    let depths = [0.0, panes[0], panes[1], thick];
                    lines.extend(depths.map(|d| [from, y + d, to, y + d]));
                }
            }
            let found = exterior_openings(&recovered(&lines).output);
            let wanted = windows.map(|(from, to)| (f64::midpoint(from, to), to - from));
            let middles = [thick / 2.0, 336.0 - thick / 2.0];
            let wanted = wanted.map(|(x, wide)| middles.map(|y| [x, y, wide]));
            assert_eq!(found, wanted.concat());
        }
    }

    #[test]
    fn a_veneered_wall_is_one_wall_though_partitions_are_as_thick_as_its_studs() {
        // Brick, air, sheathing, studs of 5 1/2 in and gypsum of 1/2 in.
        let mut lines = Vec::new();
        for d in [0.0, 3.625, 4.625, 5.125, 10.625, 11.125] {
            let (x1, y1) = (480.0 - d, 336.0 - d);
            lines.extend([[x1, d, x1, y1], [d, y1, d, d]]);
            for (from, to) in [(d, 48.0), (96.0, 180.0), (240.0, 320.0), (392.0, x1)] {
                lines.extend([[from, d, to, d], [from, y1, to, y1]]);
            }
        }
        for (from, to) in [(48.0, 96.0), (180.0, 240.0), (320.0, 392.0)] {
            for y in [0.0, 324.875] {
                lines.extend([from, to].map(|x| [x, y, x, y + 11.125]));
                let depths = [0.0, 5.0625, 6.0625, 11.125];
                lines.extend(depths.map(|d| [from, y + d, to, y + d]));
            }
        }
        for x in [120.0, 260.0, 360.0] {
            lines.extend([x, x + 5.5].map(|x| [x, 11.125, x, 324.875]));
        }
        let found = recovered(&lines).output;
        let wanted = [72.0, 210.0, 356.0].map(|x| [[x, 5.5625], [x, 330.4375]]);
        let openings = exterior_openings(&found);
        let places: Vec<[f64; 2]> = openings.iter().map(|it| [it[0], it[1]]).collect();
        assert_eq!(places, wanted.concat());
        let outside = found.storeys[0]
            .walls
            .iter()
            .find(|it| it.is_exterior)
            .unwrap();
        assert_eq!(outside.layers.len(), 5, "{:?}", outside.layers);
    }

    /// A house of 6 in walls with sheathing of 1 in, three windows in its lower wall, piers of 20 in between.
    #[test]
    fn a_layered_pier_between_windows_is_wall() {
        let mut lines = Vec::new();
        for d in [0.0, 1.0, 6.0] {
            let (x1, y1) = (360.0 - d, 240.0 - d);
            lines.extend([[x1, d, x1, y1], [x1, y1, d, y1], [d, y1, d, d]]);
            let cuts = [d, 100.0, 136.0, 156.0, 192.0, 212.0, 248.0, x1];
            lines.extend(cuts.chunks(2).map(|c| [c[0], d, c[1], d]));
        }
        // Two more openings show how the other walls end.
        lines.retain(|l| !(l[0] >= 354.0 && l[2] >= 354.0));
        for (x, from) in [(360.0, 0.0), (359.0, 1.0), (354.0, 6.0)] {
            lines.extend([[x, from, x, 80.0], [x, 116.0, x, 240.0 - from]]);
        }
        lines.extend([80.0, 116.0].map(|y| [354.0, y, 360.0, y]));
        lines.push([357.0, 80.0, 357.0, 116.0]);
        for (x0, x1) in [(100.0, 136.0), (156.0, 192.0), (212.0, 248.0)] {
            lines.extend(sides(x0, 0.0, x1, 6.0));
            lines.push([x0, 3.0, x1, 3.0]);
        }
        let widths: Vec<f64> = exterior_openings(&recovered(&lines).output)
            .iter()
            .map(|it| it[2])
            .collect();
        assert_eq!(widths, [36.0; 4]);
    }
}
