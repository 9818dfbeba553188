//! Breaks in walls: where both faces stop and go on together, something is let through.
//!
//! ```text
//!   ─────────    ─────────      the same stretch is missing on two parallel lines,
//!   ─────────    ─────────      and it is wider than they lie apart: no other wall, an opening
//! ```

use geo::Coord;

/// A break is at least this many times as wide as the wall is thick: less is another wall that comes in.
const WIDER: f64 = 1.6;
/// A wall's other face is among this many lines further on in order.
const BESIDE: usize = 24;

/// A break in a line: direction, offset, from, to.
#[derive(Clone, Copy, Debug)]
struct Break {
    bin: i32,
    off: f64,
    from: f64,
    to: f64,
}

/// A line as its direction (in quarter degrees), its distance from the origin, and its extent along the direction.
pub(super) type Strip = (i32, f64, f64, f64);

/// Widths of breaks that two parallel lines share, sorted, in the lines' unit.
///
/// - `strips`: by direction, distance and start.
pub(super) fn break_widths(strips: &[Strip]) -> Vec<f64> {
    let extent = strips.iter().map(|it| it.3 - it.2).fold(0.0, f64::max);
    let breaks: Vec<Break> = breaks(strips, extent * 2e-4);
    let mut widths = Vec::new();
    for (i, it) in breaks.iter().enumerate() {
        let width = it.to - it.from;
        let loose = 0.02 * width;
        let other = breaks
            .iter()
            .skip(i + 1)
            .take(BESIDE)
            .take_while(|other| other.bin == it.bin && (other.off - it.off) * WIDER <= width)
            .any(|other| {
                other.off - it.off > loose
                    && (other.from - it.from).abs() < loose
                    && (other.to - it.to).abs() < loose
            });
        if other {
            widths.push(width);
        }
    }
    widths.sort_by(f64::total_cmp);
    widths
}

/// What is drawn in a wall has both its faces on either side within this share of its own length, and each goes past it at both ends.
const WITHIN: f64 = 0.5;
const PAST: f64 = 0.05;

/// Widths of what lies between two longer lines, sorted: where faces run on over openings, glass lies so.
///
/// - `strips`: by direction, distance and start.
pub(super) fn enclosed_widths(strips: &[Strip]) -> Vec<f64> {
    let is_past = |face: &Strip, it: &Strip| {
        let (long, off) = (it.3 - it.2, (face.1 - it.1).abs());
        face.0 == it.0
            && off > PAST * PAST * long
            && off < WITHIN * long
            && face.2 < it.2 - PAST * long
            && face.3 > it.3 + PAST * long
    };
    let enclosed = strips.iter().enumerate().filter(|&(i, it)| {
        let (before, after) = strips.split_at(i);
        let mut before = before.iter().rev().take(BESIDE);
        let mut after = after.iter().skip(1).take(BESIDE);
        before.any(|face| is_past(face, it)) && after.any(|face| is_past(face, it))
    });
    // Panes beside each other and leaves that slide past one another fill one opening.
    let mut openings: Vec<Strip> = Vec::new();
    for (_, it) in enclosed {
        let mut known = openings.iter_mut().rev().take(BESIDE);
        let own = known.find(|own| {
            let is_near = own.0 == it.0 && it.1 - own.1 < WITHIN * (it.3 - it.2);
            is_near && it.2 < own.3 && it.3 > own.2
        });
        match own {
            Some(own) => (own.2, own.3) = (own.2.min(it.2), own.3.max(it.3)),
            None => openings.push(*it),
        }
    }
    let mut lengths: Vec<f64> = openings.iter().map(|it| it.3 - it.2).collect();
    lengths.sort_by(f64::total_cmp);
    lengths
}

/// The breaks of each line, by direction and offset.
fn breaks(strips: &[Strip], loose: f64) -> Vec<Break> {
    let mut list = Vec::new();
    for group in strips.chunk_by(|a, b| a.0 == b.0 && b.1 - a.1 <= loose) {
        let mut parts: Vec<(f64, f64)> = group.iter().map(|it| (it.2, it.3)).collect();
        parts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (Some(first), Some(place)) = (parts.first(), group.first()) else {
            continue;
        };
        let mut end = first.1;
        for (from, to) in parts {
            if from > end + loose {
                list.push(Break {
                    bin: place.0,
                    off: place.1,
                    from: end,
                    to: from,
                });
            }
            end = end.max(to);
        }
    }
    list
}

/// A line seen from an origin.
pub(super) fn strip(origin: Coord<f64>, start: Coord<f64>, end: Coord<f64>) -> Strip {
    let (dx, dy) = (end.x - start.x, end.y - start.y);
    let mut angle = dy.atan2(dx).to_degrees().rem_euclid(180.0);
    if angle >= 179.875 {
        angle -= 180.0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "between 0 and 720 by construction"
    )]
    let bin = (angle * 4.0).round() as i32;
    let (sin, cos) = angle.to_radians().sin_cos();
    let along = |point: Coord<f64>| (point.x - origin.x) * cos + (point.y - origin.y) * sin;
    let across = (start.x - origin.x) * -sin + (start.y - origin.y) * cos;
    let (a, b) = (along(start), along(end));
    (bin, across, a.min(b), a.max(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_door_breaks_both_faces_and_a_partition_one() {
        let faces = [
            (0.0, 0.0, 100.0),
            (0.0, 136.0, 300.0),
            (6.0, 0.0, 40.0),
            (6.0, 44.5, 100.0),
            (6.0, 136.0, 300.0),
        ];
        let strips: Vec<Strip> = faces.map(|(off, from, to)| (0, off, from, to)).to_vec();
        assert_eq!(break_widths(&strips), [36.0]);
    }

    #[test]
    fn glass_lies_between_faces_that_run_on_over_it_and_a_layer_does_not() {
        let lines = [
            (0.0, 0.0, 300.0),
            (2.0, 2.0, 298.0),
            (3.0, 100.0, 136.0),
            (3.5, 100.0, 136.0),
            (4.0, 200.0, 230.0),
            (4.5, 220.0, 248.0),
            (6.0, 6.0, 294.0),
        ];
        let strips: Vec<Strip> = lines.map(|(off, from, to)| (0, off, from, to)).to_vec();
        assert_eq!(enclosed_widths(&strips), [36.0, 48.0]);
    }
}
