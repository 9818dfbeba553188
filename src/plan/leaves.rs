//! Door leaves drawn without their swing.
//!
//! ```text
//!   ─────┐│leaf       ─────┐ ╱ leaf        from a jamb out of the wall, as long as the opening is wide or half of it,
//!   ─────┘│           ─────┘╱              and nothing but its own thickness or a chord at its tip
//! ```

use super::axis::{Axis, distance};
use super::nearby::Nearby;
use super::segments::{Lines, Segment, off};
use super::symbols::{Arc, Place};
use crate::drawing::SourceIndex;
use geo::Coord;

/// A leaf that hangs in an opening.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leaf {
    /// True when it hangs on the jamb at the start of the opening.
    pub at_start: bool,
    /// True when it opens to the left of the axis.
    pub to_left: bool,
    /// As drawn, inches.
    pub width: f64,
    /// True when it leans over the opening; square to the wall it may hang in what lies on the other side of its jamb.
    pub leans: bool,
    pub source: SourceIndex,
}

/// A leaf hangs within this of its jamb, inches.
const AT_JAMB: f64 = 2.5;
/// It is as long as the opening is wide within this, inches: frames take up to 2 in a side.
const FITS: f64 = 4.5;
/// Leaves are this wide, inches; common practice, no source.
const WIDTHS: (f64, f64) = (15.0, 52.0);
/// Leaves are at most this thick, inches: 2 1/4 in is the thickest made; common practice, no source.
const THICK: f64 = 2.6;
/// Its tip stands off the wall's middle by at least this share of its width.
const OPENED: f64 = 0.3;
/// And out of the wall by more than this, inches: a face that is off by a little is no leaf.
const OUT: f64 = 1.0;

/// A leaf runs from the centre of its swing to the arc within this, inches, beyond the drawing's slack.
const ON_SWING: f64 = 0.5;

/// Marks leaves that have their swing drawn as no faces: open beside a wall, one would look like a partition with it.
pub(super) fn quieten_leaves(lines: &mut Lines, arcs: &[Arc]) {
    let near = ON_SWING + lines.slack;
    let tree = Nearby::points(arcs.iter().map(|arc| arc.centre));
    let is_leaf = |hinge: Coord<f64>, tip: Coord<f64>, long: f64| {
        tree.any_within(hinge, THICK, |i| {
            let arc = &arcs[i];
            // The other side of a thick leaf is as long, and as far off as the leaf is thick.
            let off = if distance(hinge, arc.centre) < near {
                near
            } else {
                THICK
            };
            (long - arc.radius).abs() < near
                && (distance(tip, arc.centre) - arc.radius).abs() < off
                && distance(tip, arc.middle) < arc.radius
        })
    };
    let mut ends = Vec::new();
    for segment in &mut lines.segments {
        let long = segment.length();
        let (a, b) = (segment.a, segment.b);
        if (WIDTHS.0..=WIDTHS.1).contains(&long) && (is_leaf(a, b, long) || is_leaf(b, a, long)) {
            segment.face = 0.0;
            ends.extend([a, b]);
        }
    }
    // The ends of a thick leaf.
    let ends = Nearby::points(ends.into_iter());
    let is_end = |p: Coord<f64>| ends.any_within(p, near, |_| true);
    for segment in &mut lines.segments {
        if segment.length() < THICK && is_end(segment.a) && is_end(segment.b) {
            segment.face = 0.0;
        }
    }
}

/// The leaves of the opening from `axis.origin` over `width`: one of its width, or two of half of it.
pub(super) fn leaves(place: &Place<'_>, axis: &Axis, width: f64, thickness: f64) -> Vec<Leaf> {
    let half = thickness / 2.0;
    let mut single = Vec::new();
    let mut double = Vec::new();
    for (jamb, at_start) in [(0.0, true), (width, false)] {
        let middle = axis.point(jamb, 0.0);
        for i in place.segments_near(middle, half + AT_JAMB) {
            let segment = &place.lines.segments[i];
            let long = segment.length();
            let (is_single, is_double) = (
                (long - width).abs() < FITS,
                (2.0 * long - width).abs() < 2.0 * FITS,
            );
            if !(WIDTHS.0..=WIDTHS.1).contains(&long) || !(is_single || is_double) {
                continue;
            }
            let near =
                |p: Coord<f64>| (axis.s(p) - jamb).abs() < AT_JAMB && axis.d(p).abs() < half + 1.0;
            let tip = match (near(segment.a), near(segment.b)) {
                (true, false) => segment.b,
                (false, true) => segment.a,
                _ => continue,
            };
            let (s, d) = (axis.s(tip), axis.d(tip));
            let is_open =
                d.abs() > (half + OUT).max(OPENED * long) && s > -AT_JAMB && s < width + AT_JAMB;
            if is_open && is_free(place, axis, (width, half), tip, segment) {
                let leaf = Leaf {
                    at_start,
                    to_left: d > 0.0,
                    width: long,
                    leans: (s - jamb).abs() > 0.2 * long,
                    source: segment.source,
                };
                if is_single {
                    single.push(leaf);
                } else {
                    double.push(leaf);
                }
            }
        }
    }
    // Both sides of a thick leaf are one leaf.
    single.truncate(1);
    double.dedup_by_key(|leaf| leaf.at_start);
    if single.is_empty() && double.len() == 2 {
        double
    } else {
        single
    }
}

/// True when nothing meets the tip of a leaf but its own end and what leads back to a jamb.
fn is_free(
    place: &Place<'_>,
    axis: &Axis,
    (width, half): (f64, f64),
    tip: Coord<f64>,
    leaf: &Segment,
) -> bool {
    let reach = 0.3 + place.lines.slack;
    place.segments_near(tip, reach).into_iter().all(|i| {
        let other = &place.lines.segments[i];
        let is_same = other.source == leaf.source && other.a == leaf.a && other.b == leaf.b;
        if is_same || other.is_broken || off(other, tip) > reach || other.length() < THICK {
            return true;
        }
        let (near, far) = if distance(other.a, tip) < distance(other.b, tip) {
            (other.a, other.b)
        } else {
            (other.b, other.a)
        };
        let (s, d) = (axis.s(far), axis.d(far).abs());
        // Chords of two leaves meet in the middle.
        let is_half = (2.0 * leaf.length() - width).abs() < 2.0 * FITS;
        let to_middle = if is_half {
            (s - width / 2.0).abs()
        } else {
            f64::INFINITY
        };
        let to_end = s.abs().min((s - width).abs()).min(to_middle);
        let back = to_end < 2.0 * AT_JAMB && d < half + AT_JAMB;
        distance(near, tip) < THICK && back
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::OpeningKind;
    use crate::plan::trial::{open_shell, recovered};

    fn kinds(lines: &[[f64; 4]]) -> Vec<OpeningKind> {
        let plan = recovered(lines).output;
        plan.storeys[0].openings.iter().map(|it| it.kind).collect()
    }

    #[test]
    fn a_leaf_without_a_swing_makes_a_door() {
        for tip in [[100.0, 42.0], [125.5, 31.5]] {
            let mut lines = open_shell(100.0, 136.0);
            lines.push([100.0, 6.0, tip[0], tip[1]]);
            assert_eq!(kinds(&lines), [OpeningKind::Door]);
        }
    }

    #[test]
    fn two_leaves_make_a_door_over_which_both_faces_run_on() {
        let mut lines = open_shell(100.0, 160.0);
        lines.extend([[100.0, 0.0, 160.0, 0.0], [100.0, 6.0, 160.0, 6.0]]);
        lines.extend([[100.0, 6.0, 100.0, 36.0], [160.0, 6.0, 160.0, 36.0]]);
        assert_eq!(kinds(&lines), [OpeningKind::Door]);
        // With a chord from each tip to the middle.
        lines.extend([[100.0, 36.0, 130.0, 6.0], [160.0, 36.0, 130.0, 6.0]]);
        assert_eq!(kinds(&lines), [OpeningKind::Door]);
    }

    #[test]
    fn a_line_that_goes_on_from_its_tip_is_no_leaf() {
        let mut lines = open_shell(100.0, 136.0);
        lines.extend([[100.0, 6.0, 100.0, 42.0], [60.0, 42.0, 180.0, 42.0]]);
        assert_eq!(kinds(&lines), [OpeningKind::Opening]);
    }
}
