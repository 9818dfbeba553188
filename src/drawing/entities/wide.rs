//! Wide polylines: the two faces and the ends that they really draw.

use crate::drawing::entities::curves::bulge_arc;
use crate::drawing::entities::shape::Vertex;

/// A piece of a face: from, to, bulge between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::drawing) struct FacePiece {
    /// First end.
    pub(in crate::drawing) from: [f64; 2],
    /// Last end.
    pub(in crate::drawing) to: [f64; 2],
    /// See [`Vertex::bulge`].
    pub(in crate::drawing) bulge: f64,
}

/// One segment of the centre line with its widths.
#[derive(Clone, Copy, Debug)]
struct Segment {
    from: [f64; 2],
    to: [f64; 2],
    bulge: f64,
    widths: [f64; 2],
}

/// Mitres longer than this many half widths are cut off, as CAD programs do for corners sharper than about 28 degrees
/// (common practice, no source).
const MITRE_LIMIT: f64 = 4.0;

/// True when some segment has a width.
pub(in crate::drawing) fn is_wide(vertices: &[Vertex]) -> bool {
    vertices
        .iter()
        .any(|vertex| vertex.start_width > 0.0 || vertex.end_width > 0.0)
}

/// Faces and ends of a wide polyline, in its own plane; segments without a width come as themselves.
pub(in crate::drawing) fn faces(vertices: &[Vertex], is_closed: bool) -> Vec<FacePiece> {
    let segments = segments(vertices, is_closed);
    let Some(first) = segments.first() else {
        return Vec::new();
    };
    let [width, _] = first.widths;
    let is_even = segments.iter().all(|segment| {
        segment
            .widths
            .iter()
            .all(|own| (own - width).abs() <= width * 1e-9)
    });
    if is_even && width > 0.0 {
        band(&segments, is_closed, width / 2.0)
    } else {
        segments.iter().flat_map(single).collect()
    }
}

fn segments(vertices: &[Vertex], is_closed: bool) -> Vec<Segment> {
    let closing = if is_closed { vertices.first() } else { None };
    let next = vertices.iter().skip(1).chain(closing);
    vertices
        .iter()
        .zip(next)
        .map(|(from, to)| Segment {
            from: [from.at[0], from.at[1]],
            to: [to.at[0], to.at[1]],
            bulge: from.bulge,
            widths: [from.start_width, from.end_width],
        })
        .filter(|segment| distance(segment.from, segment.to) > 0.0)
        .collect()
}

/// Unit normals to the left at both ends.
fn normals(segment: &Segment) -> [[f64; 2]; 2] {
    let (dx, dy) = (
        segment.to[0] - segment.from[0],
        segment.to[1] - segment.from[1],
    );
    let length = dx.hypot(dy);
    let left = [-dy / length, dx / length];
    if segment.bulge == 0.0 {
        return [left; 2];
    }
    // The tangent at an end is off the chord by half the swept angle.
    let half = 2.0 * segment.bulge.atan();
    let turn = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        [left[0] * cos - left[1] * sin, left[0] * sin + left[1] * cos]
    };
    [turn(-half), turn(half)]
}

fn shifted(at: [f64; 2], normal: [f64; 2], by: f64) -> [f64; 2] {
    [at[0] + normal[0] * by, at[1] + normal[1] * by]
}

/// A segment alone: a quadrilateral, a triangle or the piece of a ring.
fn single(segment: &Segment) -> Vec<FacePiece> {
    let [start, end] = segment.widths.map(|width| width / 2.0);
    let straight = |from, to| FacePiece {
        from,
        to,
        bulge: 0.0,
    };
    if start <= 0.0 && end <= 0.0 {
        return vec![FacePiece {
            from: segment.from,
            to: segment.to,
            bulge: segment.bulge,
        }];
    }
    let [at_start, at_end] = normals(segment);
    let left = [
        shifted(segment.from, at_start, start),
        shifted(segment.to, at_end, end),
    ];
    let right = [
        shifted(segment.from, at_start, -start),
        shifted(segment.to, at_end, -end),
    ];
    let bend = |ends: [[f64; 2]; 2]| FacePiece {
        from: ends[0],
        to: ends[1],
        bulge: segment.bulge,
    };
    let mut pieces = vec![bend(left), bend(right)];
    if start > 0.0 {
        pieces.push(straight(left[0], right[0]));
    }
    if end > 0.0 {
        pieces.push(straight(left[1], right[1]));
    }
    pieces
}

/// A band of even width with mitred corners.
fn band(segments: &[Segment], is_closed: bool, half: f64) -> Vec<FacePiece> {
    let mut pieces = Vec::new();
    let mut ends = Vec::new();
    for side in [half, -half] {
        let chain = side_chain(segments, is_closed, side);
        if let (Some(first), Some(last)) = (chain.first(), chain.last()) {
            ends.push([first.from, last.to]);
        }
        pieces.extend(chain);
    }
    if let ([left, right], false) = (ends.as_slice(), is_closed) {
        for (from, to) in left.iter().zip(right) {
            pieces.push(FacePiece {
                from: *from,
                to: *to,
                bulge: 0.0,
            });
        }
    }
    pieces
}

/// One side of a band, pieces in order; corners mitred or, where a mitre would be too long, cut off.
fn side_chain(segments: &[Segment], is_closed: bool, side: f64) -> Vec<FacePiece> {
    let mut chain: Vec<FacePiece> = segments
        .iter()
        .filter_map(|segment| {
            let [at_start, at_end] = normals(segment);
            // Inside of an arc tighter than the band there is no face.
            if let Some((_, radius, _, sweep)) = bulge_arc(segment.from, segment.to, segment.bulge)
                && sweep.signum() * side >= radius
            {
                return None;
            }
            Some(FacePiece {
                from: shifted(segment.from, at_start, side),
                to: shifted(segment.to, at_end, side),
                bulge: segment.bulge,
            })
        })
        .collect();
    let count = chain.len();
    let mut joints = Vec::new();
    let last = if is_closed {
        count
    } else {
        count.saturating_sub(1)
    };
    for at in 0..last {
        let after = (at + 1) % count;
        let (Some(&before), Some(&next)) = (chain.get(at), chain.get(after)) else {
            continue;
        };
        if distance(before.to, next.from) <= side.abs() * 1e-9 {
            continue;
        }
        let corner = (before.bulge == 0.0 && next.bulge == 0.0)
            .then(|| crossing(&before, &next))
            .flatten()
            .filter(|corner| distance(*corner, before.to) <= MITRE_LIMIT * side.abs());
        match corner {
            Some(corner) => {
                if let Some(piece) = chain.get_mut(at) {
                    piece.to = corner;
                }
                if let Some(piece) = chain.get_mut(after) {
                    piece.from = corner;
                }
            }
            None => joints.push((at, before.to, next.from)),
        }
    }
    for (at, from, to) in joints.into_iter().rev() {
        chain.insert(
            at + 1,
            FacePiece {
                from,
                to,
                bulge: 0.0,
            },
        );
    }
    chain
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Where the lines of two straight pieces cross; `None` when they are parallel.
fn crossing(a: &FacePiece, b: &FacePiece) -> Option<[f64; 2]> {
    let p = [a.to[0] - a.from[0], a.to[1] - a.from[1]];
    let q = [b.to[0] - b.from[0], b.to[1] - b.from[1]];
    let turn = p[0] * q[1] - p[1] * q[0];
    if turn.abs() <= p[0].hypot(p[1]) * q[0].hypot(q[1]) * 1e-9 {
        return None;
    }
    let gap = [b.from[0] - a.to[0], b.from[1] - a.to[1]];
    let share = (gap[0] * q[1] - gap[1] * q[0]) / turn;
    Some([a.to[0] + p[0] * share, a.to[1] + p[1] * share])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wide(at: [f64; 2], width: f64) -> Vertex {
        Vertex {
            at: [at[0], at[1], 0.0],
            bulge: 0.0,
            start_width: width,
            end_width: width,
        }
    }

    #[test]
    fn a_closed_band_has_two_mitred_rings() {
        let square = [[0.0, 0.0], [100.0, 0.0], [100.0, 80.0], [0.0, 80.0]].map(|at| wide(at, 6.0));
        let pieces = faces(&square, true);
        assert_eq!(pieces.len(), 8);
        assert_eq!((pieces[0].from, pieces[0].to), ([3.0, 3.0], [97.0, 3.0]));
        assert_eq!(
            (pieces[4].from, pieces[4].to),
            ([-3.0, -3.0], [103.0, -3.0])
        );
    }

    #[test]
    fn an_open_band_has_ends() {
        let pieces = faces(&[wide([0.0, 0.0], 4.0), wide([50.0, 0.0], 4.0)], false);
        assert_eq!(pieces.len(), 4);
        assert_eq!((pieces[2].from, pieces[2].to), ([0.0, 2.0], [0.0, -2.0]));
        assert_eq!((pieces[3].from, pieces[3].to), ([50.0, 2.0], [50.0, -2.0]));
    }

    #[test]
    fn an_arrow_head_is_a_triangle() {
        let mut head = [wide([0.0, 0.0], 4.0), wide([10.0, 0.0], 0.0)];
        head[0].end_width = 0.0;
        let pieces = faces(&head, false);
        assert_eq!(pieces.len(), 3);
        assert_eq!(pieces[0].to, [10.0, 0.0]);
    }

    #[test]
    fn a_bent_band_keeps_its_sweep() {
        let mut ring = [wide([0.0, 0.0], 2.0), wide([20.0, 0.0], 2.0)];
        ring[0].bulge = 1.0;
        let pieces = faces(&ring, false);
        // The half circle runs below the chord; left of its direction is the inner side, radius 9 of 10.
        assert_eq!(pieces[0].bulge, 1.0);
        assert!((distance(pieces[0].from, pieces[0].to) - 18.0).abs() < 1e-9);
        assert!((distance(pieces[1].from, pieces[1].to) - 22.0).abs() < 1e-9);
    }
}
