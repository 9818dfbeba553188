//! Doors that are no leaf swung between two jambs: they fold, slide into their wall, or hang between two lights.
//!
//! ```text
//!   ──┐/\\    /\\┌──      ──────┬─────┐     ┌──        ──┬──┬     ┬──┬──
//!     │                   │ ▭▭▭▭▭▭▭▭       │            │══│  ◜  │══│
//!   ──┘          └──      ──────┴─────┘     └──        ──┴──┴     ┴──┴──
//!        folds             slides into its wall         between lights: one rough opening
//! ```

use crate::drawing::SourceIndex;
use crate::plan::answers::questions::LEAST_POST;
use crate::plan::axis::{Axis, Interval, distance};
use crate::plan::lines::symbols::{ALONG, AT_HINGE, Hung, Place};
use crate::plan::nearby::Found;
use crate::plan::pieces::bands::IN_POCKET;

/// Leaves of one door are as long as each other within this, inches.
const ALIKE: f64 = 1.0;
/// Leaves are at most this thick, inches: 2 1/4 in is the thickest made; common practice, no source.
const THICK: f64 = 2.6;
/// A folding leaf is at least this wide, inches: four fill 3 ft less the frame.
const NARROWEST_LEAF: f64 = 7.0;
/// Leaves together are as wide as their opening within this, inches: frames take up to 2 in a side.
const FITS: f64 = 4.5;
/// A light beside a door is at most this wide, inches: wider, it is as likely a window of its own. Source: common practice, no source.
const WIDEST_LIGHT: f64 = 24.0;
/// And at least this wide; a shorter piece beside the door is a pier. Glass lies off both faces of the wall by at least this, inches.
const NARROWEST_LIGHT: f64 = 6.0;
const OFF_FACE: f64 = 0.4;
/// Where two leaves fold, they stand out of the wall by more than this, inches.
const OUT: f64 = 1.0;

/// The leaves of a folding door in the opening from `axis.origin` over `width`: two meet out of the wall, one hangs on a jamb, the
/// other runs along the wall, and two or four are as wide as the opening.
///
/// - `at_jambs`: lines near its jambs, from `Place::at_jambs`.
pub(super) fn folding_leaves(
    place: &Place<'_>,
    axis: &Axis,
    width: f64,
    thickness: f64,
    at_jambs: &[Found; 2],
) -> Option<[SourceIndex; 2]> {
    let half = thickness / 2.0;
    let lines = &place.lines.segments;
    let slack = place.lines.slack;
    let mut jambs = [0.0, width].into_iter().zip(at_jambs);
    jambs.find_map(|(jamb, near)| {
        near.iter().find_map(|&i| {
            let own = &lines[i];
            let is_hinge = |p| (axis.s(p) - jamb).abs() < AT_HINGE && axis.d(p).abs() < half + OUT;
            let tip = match (is_hinge(own.a), is_hinge(own.b)) {
                (true, false) => own.b,
                (false, true) => own.a,
                _ => return None,
            };
            let long = own.length();
            let fills = |n: f64| (n * long - width).abs() < FITS;
            if long < NARROWEST_LEAF
                || !(fills(2.0) || fills(4.0))
                || axis.d(tip).abs() < half + OUT
            {
                return None;
            }
            let beside = place.segments_near(tip, THICK + slack).into_iter();
            let mut beside = beside.filter(|k| *k != i);
            let other = beside.find(|k| {
                let it = &lines[*k];
                let (near, foot) = if distance(it.a, tip) < distance(it.b, tip) {
                    (it.a, it.b)
                } else {
                    (it.b, it.a)
                };
                let into = (axis.s(foot) - jamb).abs();
                distance(near, tip) < THICK + slack
                    && (it.length() - long).abs() < ALIKE
                    && axis.d(foot).abs() < half + OUT
                    && (0.0..=width).contains(&axis.s(foot))
                    && into > 0.2 * long
            })?;
            Some([own.source, lines[other].source])
        })
    })
}

/// True for a line along an opening that lies in it and in the wall at one end, at least a third of the opening deep: a side of a pocket
/// with its leaf.
pub(super) fn is_in_pocket((from, to): Interval, width: f64) -> bool {
    let deep = (width / 3.0).max(IN_POCKET);
    let is_in = |beyond: f64, inside: f64| beyond >= deep && (IN_POCKET..width).contains(&inside);
    to - from <= 2.0 * width && (is_in(-from, to) || is_in(to - width, width - from))
}

/// True when two such lines, by their offset, are the sides of one box.
pub(super) fn are_two_sides(pockets: &[(f64, Interval)]) -> bool {
    pockets.windows(2).any(|pair| {
        let [(d, p), (e, q)] = pair else {
            return false;
        };
        let ends_alike = (p.0 - q.0).abs() < ALIKE && (p.1 - q.1).abs() < ALIKE;
        ends_alike && (e - d).abs() <= THICK
    })
}

/// A door that hangs between posts within an opening.
pub(super) struct BetweenLights {
    pub swings: Vec<Hung>,
    /// From post to post.
    pub width: f64,
}

/// Where one swing starts and ends along an opening.
struct Swung {
    arc: usize,
    hinge: f64,
    latch: f64,
    to_left: bool,
}

/// The door in the opening from `axis.origin` over `width` that hangs on a post within it: lines cross at both its ends, nearer the
/// glass than any pier of a wall is thick, and glass fills what it leaves of the opening.
pub(super) fn door_between_lights(
    place: &Place<'_>,
    axis: &Axis,
    width: f64,
    thickness: f64,
) -> Option<BetweenLights> {
    let middle = axis.point(width / 2.0, 0.0);
    let half = thickness / 2.0;
    let near = place.arcs_near(middle, width / 2.0 + thickness);
    let swung = near.into_iter().filter_map(|arc| {
        let it = &place.arcs[arc];
        let (hinge, at) = (axis.s(it.centre), axis.s(it.middle));
        let latch = hinge + it.radius.copysign(at - hinge);
        let is_within = [hinge, latch]
            .iter()
            .all(|s| (-AT_HINGE..=width + AT_HINGE).contains(s));
        let is_here = axis.d(it.centre).abs() < thickness * 0.6 + AT_HINGE && is_within;
        is_here.then_some(Swung {
            arc,
            hinge,
            latch,
            to_left: axis.d(it.middle) > axis.d(it.centre),
        })
    });
    let swung: Vec<Swung> = swung.collect();
    if swung.is_empty() {
        return None;
    }
    let near = place.segments_near(middle, width / 2.0);
    let lines: Vec<[(f64, f64); 2]> = near
        .into_iter()
        .map(|i| &place.lines.segments[i])
        .map(|it| [it.a, it.b].map(|p| (axis.s(p), axis.d(p))))
        .collect();
    let edge = half + 0.3 + place.lines.slack;
    let is_in_wall = |it: &[(f64, f64); 2]| it.iter().all(|p| p.1.abs() <= edge);
    // A post, drawn whole or by the line on which the door hangs.
    let is_post = |u: f64| {
        u.abs() < AT_HINGE
            || (u - width).abs() < AT_HINGE
            || lines.iter().any(|it| {
                let [p, q] = it;
                let across = (p.1 - q.1).abs();
                is_in_wall(it)
                    && across >= 0.4 * thickness
                    && (p.0 - q.0).abs() < 0.1 * across
                    && (f64::midpoint(p.0, q.0) - u).abs() < AT_HINGE
            })
    };
    let is_glazed = |from: f64, to: f64| {
        let post = LEAST_POST + 0.75;
        lines.iter().any(|it| {
            let [p, q] = it;
            let (low, high) = (p.0.min(q.0), p.0.max(q.0));
            p.1.abs().max(q.1.abs()) <= half - OFF_FACE - place.lines.slack
                && (p.1 - q.1).abs() <= 0.03 * (high - low) + 2.0 * place.lines.slack
                && (low - from).abs() <= post
                && (high - to).abs() <= post
                && high - low >= ALONG * (to - from)
        })
    };
    let fits = |from: f64, to: f64| {
        let lights = [(0.0, from), (to, width)];
        let lights = lights.iter().filter(|it| it.1 - it.0 > AT_HINGE);
        let mut n_lights = 0;
        for (from, to) in lights {
            let is_as_wide = (NARROWEST_LIGHT..=WIDEST_LIGHT).contains(&(to - from));
            if !is_as_wide || !is_glazed(*from, *to) {
                return false;
            }
            n_lights += 1;
        }
        n_lights > 0
    };
    let hung = |it: &Swung| Hung {
        arc: it.arc,
        at_start: it.hinge < it.latch,
        to_left: it.to_left,
    };
    let one = swung.iter().find_map(|it| {
        let (from, to) = (it.hinge.min(it.latch), it.hinge.max(it.latch));
        let is_door = is_post(from) && is_post(to) && fits(from, to);
        is_door.then(|| BetweenLights {
            swings: vec![hung(it)],
            width: to - from,
        })
    });
    one.or_else(|| {
        let pairs = swung
            .iter()
            .flat_map(|it| swung.iter().map(move |q| (it, q)));
        let mut pairs = pairs.filter(|(p, q)| p.hinge < p.latch && q.latch < q.hinge);
        pairs.find_map(|(p, q)| {
            let is_door = (p.latch - q.latch).abs() < 2.0 * AT_HINGE
                && is_post(p.hinge)
                && is_post(q.hinge)
                && fits(p.hinge, q.hinge);
            is_door.then(|| BetweenLights {
                swings: vec![hung(p), hung(q)],
                width: q.hinge - p.hinge,
            })
        })
    })
}

#[cfg(test)]
mod tests {
    use crate::findings::Severity;
    use crate::plan::OpeningKind;
    use crate::plan::trial::{Swing, open_shell, recovered_with, sides};

    /// What an opening from 100 on is, and how many doubts there are.
    fn kind(to: f64, lines: &[[f64; 4]], swings: &[Swing]) -> (OpeningKind, usize) {
        let mut all = open_shell(100.0, to);
        all.extend(lines);
        let found = recovered_with(&all, swings);
        let openings = &found.output.storeys[0].openings;
        assert_eq!(openings.len(), 1);
        assert!((openings[0].width - (to - 100.0)).abs() < 0.01);
        let asked = found.findings.iter();
        let asked = asked.filter(|it| it.severity == Severity::Doubt);
        (openings[0].kind, asked.count())
    }

    #[test]
    fn leaves_that_fold_are_a_door() {
        let two = [[100.0, 3.0, 115.0, 18.0], [115.0, 18.0, 130.0, 3.0]];
        // 21.2 in each, 42.4 in together.
        assert_eq!(kind(142.0, &two, &[]), (OpeningKind::Door, 0));
        let four = [
            [100.0, 3.0, 106.0, 12.0],
            [106.0, 12.0, 112.0, 3.0],
            [142.0, 3.0, 136.0, 12.0],
            [136.0, 12.0, 130.0, 3.0],
        ];
        assert_eq!(kind(142.0, &four, &[]), (OpeningKind::Door, 0));
        // Of another width they are none.
        assert_eq!(kind(170.0, &two, &[]), (OpeningKind::Opening, 1));
    }

    #[test]
    fn a_pocket_with_its_leaf_is_a_door_that_slides_into_the_wall() {
        let pocket = sides(66.0, 2.3, 118.0, 3.7);
        assert_eq!(kind(136.0, &pocket, &[]).0, OpeningKind::Door);
        // Two lines that end apart are no box.
        let side = |d: f64, from: f64| (d, (from, 18.0));
        assert!(super::are_two_sides(&[side(-0.7, -34.0), side(0.7, -34.0)]));
        assert!(!super::are_two_sides(&[
            side(-0.7, -34.0),
            side(0.7, -20.0)
        ]));
    }

    #[test]
    fn a_door_between_two_lights_is_one_opening_and_a_door() {
        let swing = |x: f64| Swing {
            centre: [x, 6.0],
            radius: 36.0,
            start: 0.0,
        };
        for post in [[1.0, 5.0], [0.0, 6.0]] {
            let mut lines = vec![[100.0, 3.0, 113.5, 3.0], [152.5, 3.0, 166.0, 3.0]];
            for x in [113.5, 151.0] {
                lines.extend(sides(x, post[0], x + 1.5, post[1]));
            }
            let found = kind(166.0, &lines, &[swing(115.0)]);
            assert_eq!(found, (OpeningKind::Door, 0), "{post:?}");
        }
        // With one light.
        let mut lines = vec![[137.5, 3.0, 154.0, 3.0]];
        lines.extend(sides(136.0, 1.0, 137.5, 5.0));
        assert_eq!(kind(154.0, &lines, &[swing(100.0)]), (OpeningKind::Door, 0));
    }
}
