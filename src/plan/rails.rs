//! Lines of one direction, gathered into rails: what may be a face of a wall.
//!
//! ```text
//!   ─────  ────────      one rail: two covered intervals, one offset
//! ```

use crate::drawing::{Curve, Drawing, SourceIndex};
use geo::Coord;

/// A straight piece of the drawing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment {
    pub(super) a: Coord<f64>,
    pub(super) b: Coord<f64>,
    pub(super) source: SourceIndex,
}

/// Lines of one direction in their own axes: u along, v to the left of it.
#[derive(Clone, Debug)]
pub(super) struct Family {
    /// Unit direction, angle in [0, π).
    pub(super) along: Coord<f64>,
    /// Rails by rising offset.
    pub(super) rails: Vec<Rail>,
}

/// Collinear lines.
#[derive(Clone, Debug)]
pub(super) struct Rail {
    /// Offset, the mean by length.
    pub(super) v: f64,
    /// Pieces by rising start.
    pub(super) pieces: Vec<Piece>,
    /// Covered intervals, joined over drafting gaps.
    pub(super) cover: Vec<(f64, f64)>,
}

/// One line of a rail.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) u0: f64,
    pub(super) u1: f64,
    pub(super) v: f64,
    pub(super) source: SourceIndex,
}

/// Directions within this belong together, radians: skew of drafting is hundredths of a degree.
const SAME_DIRECTION: f64 = 0.0035;
/// Lines within this offset are one rail, inches: jitter of drafting, less than any two lines meant to be apart.
const SAME_RAIL: f64 = 0.2;
/// Gaps within a line no longer than this are drafting errors, inches.
const DRAFTING_GAP: f64 = 1.0;

impl Family {
    pub(super) fn across(&self) -> Coord<f64> {
        Coord {
            x: -self.along.y,
            y: self.along.x,
        }
    }

    /// Along and across of a point.
    pub(super) fn local(&self, p: Coord<f64>) -> (f64, f64) {
        let n = self.across();
        (
            p.x * self.along.x + p.y * self.along.y,
            p.x * n.x + p.y * n.y,
        )
    }

    pub(super) fn point(&self, u: f64, v: f64) -> Coord<f64> {
        self.along * u + self.across() * v
    }
}

impl Rail {
    /// How much of an interval is covered, inches.
    pub(super) fn covered(&self, from: f64, to: f64) -> f64 {
        self.cover
            .iter()
            .map(|(a, b)| (b.min(to) - a.max(from)).max(0.0))
            .sum()
    }

    /// Offset of the pieces that lie in an interval, by length; the rail's own where none does.
    pub(super) fn offset(&self, from: f64, to: f64) -> f64 {
        let (sum, length) = self.pieces.iter().fold((0.0, 0.0), |(sum, length), piece| {
            let share = (piece.u1.min(to) - piece.u0.max(from)).max(0.0);
            (sum + piece.v * share, length + share)
        });
        if length > 0.0 { sum / length } else { self.v }
    }
}

/// Visible straight lines that may be walls, centred on `origin`.
pub(super) fn segments(drawing: &Drawing, origin: Coord<f64>) -> Vec<Segment> {
    drawing
        .strokes
        .iter()
        .filter_map(|stroke| {
            let source = drawing.sources.get(stroke.source.0 as usize)?;
            let dashed = ["DASH", "HIDDEN", "CENTER", "CENTRE", "PHANTOM", "DOT"];
            let line_type = source.line_type.to_uppercase();
            if source.is_hidden || dashed.iter().any(|word| line_type.contains(word)) {
                return None;
            }
            match stroke.curve {
                Curve::Line { start, end } => Some(Segment {
                    a: start - origin,
                    b: end - origin,
                    source: stroke.source,
                }),
                Curve::Arc { .. } => None,
            }
        })
        .filter(|s| (s.b.x - s.a.x).hypot(s.b.y - s.a.y) > 1e-6)
        .collect()
}

/// Groups segments by direction and offset.
pub(super) fn families(segments: &[Segment]) -> Vec<Family> {
    let mut by_angle: Vec<(f64, f64, &Segment)> = segments
        .iter()
        .map(|s| {
            let d = s.b - s.a;
            (
                d.y.atan2(d.x).rem_euclid(std::f64::consts::PI),
                d.x.hypot(d.y),
                s,
            )
        })
        .filter(|(_, length, _)| *length > 0.5)
        .collect();
    by_angle.sort_by(|p, q| p.0.total_cmp(&q.0));
    // The circle of directions is cut at its widest gap, so that 0 and π stay together.
    let n = by_angle.len();
    let gap_after =
        |i: usize| (by_angle[(i + 1) % n].0 - by_angle[i].0).rem_euclid(std::f64::consts::PI);
    let Some(cut) = (0..n).max_by(|i, j| gap_after(*i).total_cmp(&gap_after(*j))) else {
        return Vec::new();
    };
    by_angle.rotate_left((cut + 1) % n);
    let mut groups: Vec<Vec<(f64, f64, &Segment)>> = Vec::new();
    for item in by_angle {
        match groups.last_mut() {
            Some(group) if angle_between(group[group.len() - 1].0, item.0) < SAME_DIRECTION => {
                group.push(item)
            }
            _ => groups.push(vec![item]),
        }
    }
    let mut families: Vec<Family> = groups.iter().map(|group| family(group)).collect();
    families.sort_by(|a, b| {
        a.along
            .y
            .atan2(a.along.x)
            .total_cmp(&b.along.y.atan2(b.along.x))
    });
    families
}

fn angle_between(a: f64, b: f64) -> f64 {
    let d = (a - b).abs().rem_euclid(std::f64::consts::PI);
    d.min(std::f64::consts::PI - d)
}

fn family(group: &[(f64, f64, &Segment)]) -> Family {
    // The longest lines set the direction: their ends are farthest apart.
    let reference = group[0].0;
    let (sum, weight) = group
        .iter()
        .fold((0.0, 0.0), |(sum, weight), (angle, length, _)| {
            let turn = (angle - reference + std::f64::consts::FRAC_PI_2)
                .rem_euclid(std::f64::consts::PI)
                - std::f64::consts::FRAC_PI_2;
            (sum + turn * length * length, weight + length * length)
        });
    let mut angle = (reference + sum / weight).rem_euclid(std::f64::consts::PI);
    if angle > std::f64::consts::PI - 1e-9 {
        angle = 0.0;
    }
    let along = Coord {
        x: angle.cos(),
        y: angle.sin(),
    };
    let mut family = Family {
        along,
        rails: Vec::new(),
    };
    let mut pieces: Vec<Piece> = group
        .iter()
        .map(|(_, _, s)| {
            let ((ua, va), (ub, vb)) = (family.local(s.a), family.local(s.b));
            Piece {
                u0: ua.min(ub),
                u1: ua.max(ub),
                v: (va + vb) / 2.0,
                source: s.source,
            }
        })
        .collect();
    pieces.sort_by(|p, q| p.v.total_cmp(&q.v).then(p.u0.total_cmp(&q.u0)));
    let mut start = 0;
    for i in 1..=pieces.len() {
        if i == pieces.len() || pieces[i].v - pieces[i - 1].v > SAME_RAIL {
            family.rails.push(rail(&pieces[start..i]));
            start = i;
        }
    }
    family
}

fn rail(pieces: &[Piece]) -> Rail {
    let mut pieces = pieces.to_vec();
    pieces.sort_by(|p, q| p.u0.total_cmp(&q.u0).then(p.u1.total_cmp(&q.u1)));
    let length: f64 = pieces.iter().map(|p| p.u1 - p.u0).sum();
    let v = pieces.iter().map(|p| p.v * (p.u1 - p.u0)).sum::<f64>() / length;
    let mut cover: Vec<(f64, f64)> = Vec::new();
    for piece in &pieces {
        match cover.last_mut() {
            Some(last) if piece.u0 <= last.1 + DRAFTING_GAP => last.1 = last.1.max(piece.u1),
            _ => cover.push((piece.u0, piece.u1)),
        }
    }
    Rail { v, pieces, cover }
}
