//! Door leaves drawn without their swing.
//!
//! ```text
//!   ─────┐│leaf       ─────┐ ╱ leaf        from a jamb out of the wall, as long as the opening is wide or half of it,
//!   ─────┘│           ─────┘╱              and nothing but its own thickness or a chord at its tip
//! ```

use crate::drawing::SourceIndex;
use crate::plan::axis::{Axis, distance};
use crate::plan::lines::segments::{Lines, Segment, off};
use crate::plan::lines::symbols::{AT_HINGE, Arc, Place};
use crate::plan::nearby::{Found, Nearby};
use crate::side_by_side::in_stretches;
use geo::Coord;

/// A leaf that hangs in an opening.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Leaf {
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
const AT_JAMB: f64 = AT_HINGE;
/// It is as long as the opening is wide within this, inches: frames take up to 2 in a side.
const FITS: f64 = 4.5;
/// A leaf drawn from jamb to jamb is as long as the opening is wide within this, inches.
const EXACT: f64 = 1.0;
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
pub(in crate::plan) fn quieten_leaves(lines: &mut Lines, arcs: &[Arc]) {
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
    let swung = |it: &Segment| {
        let (a, b, long) = (it.a, it.b, it.length());
        (WIDTHS.0..=WIDTHS.1).contains(&long) && (is_leaf(a, b, long) || is_leaf(b, a, long))
    };
    let leaves = which(&lines.segments, swung);
    // The ends of a thick leaf.
    let ends = leaves.iter().map(|i| &lines.segments[*i]);
    let ends = Nearby::points(ends.flat_map(|it| [it.a, it.b]));
    let is_end = |p: Coord<f64>| ends.any_within(p, near, |_| true);
    let thick = |it: &Segment| it.length() < THICK && is_end(it.a) && is_end(it.b);
    for i in which(&lines.segments, thick).into_iter().chain(leaves) {
        lines.segments[i].face = 0.0;
    }
}

/// The numbers of the lines that are of a kind.
fn which(segments: &[Segment], is_it: impl Fn(&Segment) -> bool + Sync) -> Vec<usize> {
    in_stretches(segments.len(), |part| {
        part.filter(|i| is_it(&segments[*i])).collect()
    })
}

/// The leaves of the opening from `axis.origin` over `width`: one of its width, or two of half of it.
///
/// - `at_jambs`: lines near its jambs, from `Place::at_jambs`.
pub(in crate::plan) fn leaves(
    place: &Place<'_>,
    axis: &Axis,
    width: f64,
    thickness: f64,
    at_jambs: &[Found; 2],
) -> Vec<Leaf> {
    let half = thickness / 2.0;
    let mut single = Vec::new();
    let mut double = Vec::new();
    let jambs = [(0.0, true), (width, false)];
    for ((jamb, at_start), found) in jambs.into_iter().zip(at_jambs) {
        for &i in found {
            let segment = &place.lines.segments[i];
            let near =
                |p: Coord<f64>| (axis.s(p) - jamb).abs() < AT_JAMB && axis.d(p).abs() < half + 1.0;
            let (hinge, end) = match (near(segment.a), near(segment.b)) {
                (true, false) => (segment.a, segment.b),
                (false, true) => (segment.b, segment.a),
                _ => continue,
            };
            if !may_open(axis, half, hinge, end) {
                continue;
            }
            let fitting = |tip: Coord<f64>| {
                let long = distance(hinge, tip);
                let (is_single, is_double) = (
                    (long - width).abs() < FITS,
                    (2.0 * long - width).abs() < 2.0 * FITS,
                );
                let (s, d) = (axis.s(tip), axis.d(tip));
                let is_open = d.abs() > (half + OUT).max(OPENED * long)
                    && s > -AT_JAMB
                    && s < width + AT_JAMB;
                let is_leaf = (WIDTHS.0..=WIDTHS.1).contains(&long)
                    && (is_single || is_double)
                    && is_open
                    && is_free(place, axis, (width, half), (hinge, tip));
                let leaf = Leaf {
                    at_start,
                    to_left: d > 0.0,
                    width: long,
                    leans: (s - jamb).abs() > 0.2 * long,
                    source: segment.source,
                };
                is_leaf.then_some((is_single, leaf))
            };
            match fitting(end).or_else(|| fitting(drawn_on(place, hinge, end))) {
                Some((true, leaf)) => single.push(leaf),
                Some((false, leaf)) => double.push(leaf),
                None => {}
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

/// False for a line that, however far it goes on, is no leaf: too long, or hardly out of the wall where the longest leaf ends.
fn may_open(axis: &Axis, half: f64, hinge: Coord<f64>, end: Coord<f64>) -> bool {
    let long = distance(hinge, end);
    let (from, to) = (axis.d(hinge), axis.d(end));
    let most = from.abs() + (to - from).abs() * (WIDTHS.1 / long).max(1.0);
    long <= WIDTHS.1 + ROUNDING && most + ROUNDING > half + OUT
}

/// More than any rounding adds, inches.
const ROUNDING: f64 = 1e-3;

/// A leaf drawn in pieces goes on over a gap of at most this, inches.
const PIECES: f64 = 1.0;

/// Where a leaf ends that begins with a line from its hinge: drafted, it may be drawn in two pieces, or in part twice.
fn drawn_on(place: &Place<'_>, hinge: Coord<f64>, end: Coord<f64>) -> Coord<f64> {
    let Some(axis) = Axis::through(hinge, end) else {
        return end;
    };
    let loose = place.lines.slack + 0.05;
    let mut tip = axis.s(end);
    let reach = PIECES + loose;
    for i in place.segments_near(end, reach) {
        let other = &place.lines.segments[i];
        let ends = [other.a, other.b];
        let [p, q] = ends.map(|p| axis.s(p));
        let is_on = ends.iter().all(|p| axis.d(*p).abs() <= loose);
        let goes_on = p.min(q) > loose && p.min(q) < tip + reach && p.max(q) > tip;
        if is_on && goes_on && p.max(q) <= WIDTHS.1 {
            tip = p.max(q);
        }
    }
    axis.point(tip, 0.0)
}

/// True when nothing meets the tip of a leaf but its own end and what leads back to a jamb.
fn is_free(
    place: &Place<'_>,
    axis: &Axis,
    (width, half): (f64, f64),
    (hinge, tip): (Coord<f64>, Coord<f64>),
) -> bool {
    let reach = 0.3 + place.lines.slack;
    let long = distance(hinge, tip);
    let Some(own) = Axis::through(hinge, tip) else {
        return false;
    };
    // A leaf of the opening's own width may lie in line with a piece of furniture that begins where it does or before.
    let fits = (long - width).abs().min((2.0 * long - width).abs()) < EXACT;
    place.segments_near(tip, reach).into_iter().all(|i| {
        let other = &place.lines.segments[i];
        if other.is_broken || off(other, tip) > reach || other.length() < THICK {
            return true;
        }
        let [p, q] = [other.a, other.b].map(|p| own.s(p));
        let is_along = [other.a, other.b].iter().all(|p| own.d(*p).abs() <= reach);
        if is_along && (p.max(q) <= long + reach || fits && p.min(q) < long - THICK) {
            return true;
        }
        let (near, far) = if distance(other.a, tip) < distance(other.b, tip) {
            (other.a, other.b)
        } else {
            (other.b, other.a)
        };
        let far = drawn_on(place, near, far);
        let (s, d) = (axis.s(far), axis.d(far).abs());
        // Chords of two leaves meet in the middle.
        let is_half = (2.0 * long - width).abs() < 2.0 * FITS;
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

    #[test]
    fn a_leaf_and_its_chord_drawn_in_pieces_make_a_door() {
        let mut lines = open_shell(100.0, 136.0);
        lines.extend([[100.0, 0.0, 136.0, 0.0], [100.0, 6.0, 136.0, 6.0]]);
        lines.extend([[100.0, 6.0, 100.0, 20.0], [100.0, 20.5, 100.0, 42.0]]);
        lines.extend([[100.0, 42.0, 118.2, 23.8], [118.0, 24.0, 136.0, 6.0]]);
        assert_eq!(kinds(&lines), [OpeningKind::Door]);
    }

    #[test]
    fn a_leaf_in_line_with_a_bed_is_one() {
        let mut lines = open_shell(100.0, 136.0);
        lines.extend([[100.0, 0.0, 136.0, 0.0], [100.0, 6.0, 136.0, 6.0]]);
        lines.extend([[100.0, 6.0, 100.0, 42.0], [100.0, 42.0, 136.0, 6.0]]);
        lines.extend(crate::plan::trial::sides(100.0, 22.0, 160.0, 102.0));
        assert_eq!(kinds(&lines), [OpeningKind::Door]);
    }

    #[test]
    fn a_leaf_between_a_door_and_a_pier_hangs_in_the_one_it_fits() {
        // Window, pier of 36.5 in, door of 36 in over which both faces run on.
        let mut lines = open_shell(100.0, 208.5);
        for x in [136.0, 172.5] {
            lines.push([x, 0.0, x, 6.0]);
        }
        for y in [0.0, 6.0] {
            lines.push([136.0, y, 208.5, y]);
        }
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.push([172.5, 6.0, 172.5, 42.0]);
        assert_eq!(kinds(&lines), [OpeningKind::Window, OpeningKind::Door]);
    }
}
