//! What lies behind a line that may be the edge of a roof or a slab: lines along it and lines across.
//!
//! ```text
//!   ───────────────────   the line
//!   ─────┐     ┌───────   lines along it, and their ends
//!   ─────┘     └───────   lines across: jambs
//! ```

use crate::plan::axis::{Axis, Interval, covered, distance, dot, joined};
use crate::plan::lines::edges::Chain;
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::Segment;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::solids::without;
use geo::Coord;

/// The first face behind it lies so far off, inches.
const OFF: (f64, f64) = (0.8, 42.0);
/// Lines across a wall, its jambs, are so long, inches: as walls are thick.
pub(super) const JAMB: (f64, f64) = (2.5, 20.0);
/// Jambs of one length, within this, inches, are of one kind of wall.
pub(super) const ALIKE: f64 = 0.2;
/// What stands before it stands so near, inches.
const BEFORE: f64 = 20.0;
/// An opening is at most so wide, inches: what lies between its jambs counts as wall.
const OPENING: f64 = 240.0;
/// Free pieces that cross near their ends, inches, are meant to meet there.
const CORNER: f64 = 15.0;
/// A line that ends so little past the chain ends at it, inches.
const STUB: f64 = 3.0;
/// A line that goes on for so much on either side passes over it, inches.
const PAST: f64 = 12.0;
/// Sine within which lines run along each other.
pub(super) const ALONG: f64 = 0.02;
/// Nearer the upright than this sine, a line across may be a jamb; at a corner of the chain, further from it, the hip of a roof.
const UPRIGHT: f64 = 0.99;
const HIP: f64 = 0.9;
/// Chords of a swing turn by less than this cosine.
const SMOOTH: f64 = 0.95;

/// What is known of the ends of all lines.
pub(super) struct Ends {
    /// True for lines of chains that end at nothing.
    pub free: Vec<bool>,
    /// For each end whether no other line lies there.
    pub loose: Vec<[bool; 2]>,
}

/// What lies behind one line of a chain, and along how much of it lines stand before it.
pub(super) fn both_sides(
    segments: &[Segment],
    (tree, ends): (&Nearby, &Ends),
    chain: &Chain,
    i: usize,
    reach: f64,
) -> Option<(Behind, f64)> {
    let own = &segments[i];
    let (axis, back) = (Axis::through(own.a, own.b)?, Axis::through(own.b, own.a)?);
    let long = own.length();
    let look = |axis: &Axis| beside(segments, (tree, ends), &chain.members, (axis, long), reach);
    let (left, right) = (look(&axis), look(&back));
    let (behind, before) = if left.speaks(reach) >= right.speaks(reach) {
        (left, right)
    } else {
        (right, left)
    };
    let before = before.along.iter().filter(|it| it.0 <= BEFORE && !it.2);
    let before = joined(before.map(|it| it.1).collect(), 0.0);
    (!behind.is_touched).then(|| (behind, covered(&before, 0.0, long)))
}

/// What lies behind one line of a chain.
#[derive(Default)]
pub(super) struct Behind {
    /// How long the line is, inches.
    pub long: f64,
    /// Lines along it: how far behind, from where to where, and whether they are of a chain that ends at nothing.
    along: Vec<(f64, Interval, bool)>,
    /// Lines across: how far behind they begin and end, and where.
    across: Vec<(f64, f64, f64)>,
    /// How many long lines pass over it.
    pub n_over: usize,
    /// True when something from there ends at it.
    pub is_touched: bool,
    /// True when a line along it and the line itself end at one place, both at nothing: faces on both sides of an opening.
    pub ends_alike: bool,
}

/// What lies behind a line of a chain: within it where it is closed, else on the side where more runs along it. `None` when
/// something from there ends at the line.
pub(super) fn behind(
    segments: &[Segment],
    (tree, ends): (&Nearby, &Ends),
    chain: &Chain,
    i: usize,
    reach: f64,
) -> Option<Behind> {
    let own = &segments[i];
    let (axis, long) = (Axis::through(own.a, own.b)?, own.length());
    let back = Axis::through(own.b, own.a)?;
    let look = |axis: &Axis| {
        let it = beside(segments, (tree, ends), &chain.members, (axis, long), reach);
        (!it.is_touched).then_some(it)
    };
    if chain.is_closed {
        let is_left = lies_within(segments, &chain.members, axis.point(long / 2.0, 0.4));
        let axis = if is_left { axis } else { back };
        // A narrow box has the wall that it stands at behind it, not within.
        return look(&axis).map(|mut it| {
            it.along.retain(|(d, part, _)| {
                let middle = axis.point(f64::midpoint(part.0, part.1), *d);
                lies_within(segments, &chain.members, middle)
            });
            it
        });
    }
    let (left, right) = (look(&axis), look(&back));
    let runs = |it: &Option<Behind>| it.as_ref().map_or(0.0, Behind::runs);
    if runs(&left) >= runs(&right) {
        left
    } else {
        right
    }
}

/// What lies to the left of a line.
fn beside(
    segments: &[Segment],
    (tree, ends): (&Nearby, &Ends),
    chain: &[usize],
    (axis, long): (&Axis, f64),
    reach: f64,
) -> Behind {
    let corners = [
        (0.0, -STUB),
        (long, -STUB),
        (0.0, OFF.1 + JAMB.1),
        (long, OFF.1 + JAMB.1),
    ];
    let mut it = Behind {
        long,
        ..Behind::default()
    };
    let Some(area) = around(&corners.map(|(s, d)| axis.point(s, d)), 0.0) else {
        return it;
    };
    tree.visit(&area, |j| {
        let other = &segments[j];
        let Some(way) = Axis::through(other.a, other.b) else {
            return;
        };
        let (s, d) = (
            [other.a, other.b].map(|p| axis.s(p)),
            [other.a, other.b].map(|p| axis.d(p)),
        );
        let (near, far) = (d[0].min(d[1]), d[0].max(d[1]));
        let sine = axis.sine(&way).abs();
        if other.is_broken || chain.binary_search(&j).is_ok() {
            return;
        }
        if sine < ALONG {
            let part = (s[0].min(s[1]).max(0.0), s[0].max(s[1]).min(long));
            let is_at_end = |k: usize| s[k].abs() <= reach || (s[k] - long).abs() <= reach;
            it.ends_alike |= (OFF.0..=JAMB.1).contains(&near)
                && other.face > 0.0
                && !ends.free[j]
                && (0..2).any(|k| ends.loose[j][k] && is_at_end(k));
            if near >= OFF.0 && other.face > 0.0 && part.1 > part.0 {
                it.along
                    .push((f64::midpoint(near, far), part, ends.free[j]));
            }
            return;
        }
        let at = s[usize::from(d[1].abs() < d[0].abs())];
        let over = s[0] + (s[1] - s[0]) * d[0] / (d[0] - d[1]);
        let is_over = near < -PAST && far > PAST && (0.0..=long).contains(&over);
        it.n_over += usize::from(is_over && other.face > 0.0);
        let is_corner =
            ends.free[j] && ends.free[chain[0]] && (at <= CORNER || at >= long - CORNER);
        if is_corner {
            return;
        }
        if near <= reach && near >= -STUB && far > reach {
            let end = if d[0] < d[1] { other.a } else { other.b };
            let is_hip = sine < HIP && (at.abs() <= reach || (at - long).abs() <= reach);
            let passes = if near >= -reach {
                is_hip || (sine < UPRIGHT && bends_on(segments, tree, (j, end), reach))
            } else {
                goes_on(segments, tree, (j, end), reach)
            };
            it.is_touched |= (-reach..=long + reach).contains(&at) && !passes;
        } else if near >= OFF.0
            && sine > 1.0 - ALONG
            && (JAMB.0..=JAMB.1).contains(&other.length())
            && (0.0..=long).contains(&at)
        {
            it.across.push((near, far, at));
        }
    });
    it
}

/// True when another line begins where a line ends: a swing drawn by chords passes over, a jamb that is too long does not.
fn goes_on(
    segments: &[Segment],
    tree: &Nearby,
    (own, end): (usize, Coord<f64>),
    reach: f64,
) -> bool {
    let is_there = |p: Coord<f64>| distance(p, end) <= reach;
    around(&[end], reach).is_some_and(|area| {
        tree.any(&area, |k| {
            k != own && (is_there(segments[k].a) || is_there(segments[k].b))
        })
    })
}

/// True when a line goes on past its end by another that turns off a little: a swing drawn by chords, one of which ends there.
fn bends_on(
    segments: &[Segment],
    tree: &Nearby,
    (own, end): (usize, Coord<f64>),
    reach: f64,
) -> bool {
    let way = |i: usize| {
        let (a, b) = (segments[i].a, segments[i].b);
        let is_first = distance(a, end) <= distance(b, end);
        let (near, far) = if is_first { (a, b) } else { (b, a) };
        (distance(near, end) <= reach).then(|| Axis::through(near, far))?
    };
    let Some((area, from)) = around(&[end], reach).zip(way(own)) else {
        return false;
    };
    tree.any(&area, |k| {
        k != own && way(k).is_some_and(|it| dot(it.along, from.along) <= -SMOOTH)
    })
}

/// True for a point within a closed chain: a ray from it crosses the chain an odd number of times.
fn lies_within(segments: &[Segment], chain: &[usize], p: Coord<f64>) -> bool {
    let crossings = chain.iter().filter(|i| {
        let (a, b) = (segments[**i].a, segments[**i].b);
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossings.count() % 2 == 1
}

impl Behind {
    /// How many jambs there are, and how much runs along the line: what is drawn before a house, as its dimensions are, may
    /// run along more of it than its walls.
    fn speaks(&self, reach: f64) -> (usize, f64) {
        (self.jambs(reach).count(), self.runs())
    }

    /// How much runs along the line, inches.
    fn runs(&self) -> f64 {
        let runs = self.along.iter().map(|(_, part, _)| part.1 - part.0);
        runs.sum()
    }

    /// How far lines that go along most of it lie from each other, where that is as thick as walls are.
    pub(super) fn apart(&self) -> impl Iterator<Item = f64> {
        let held = || self.along.iter().filter(|it| !it.2);
        held()
            .flat_map(move |near| held().map(move |far| far.0 - near.0))
            .filter(|it| (JAMB.0..=JAMB.1).contains(it))
    }

    /// How long each line across is that ends at a line along the chain on both sides.
    pub(super) fn jambs(&self, reach: f64) -> impl Iterator<Item = f64> {
        let ends_at = move |d: f64, s: f64| {
            self.along.iter().any(|(own, part, _)| {
                (own - d).abs() <= 2.0 * reach && part.0 - reach <= s && s <= part.1 + reach
            })
        };
        let jambs = self
            .across
            .iter()
            .filter(move |(from, to, s)| *from <= OFF.1 && ends_at(*from, *s) && ends_at(*to, *s));
        jambs.map(|(from, to, _)| to - from)
    }

    /// Along how much of the line the first two behind it lie a wall's thickness apart.
    pub(super) fn walled(&self, kinds: &[f64], reach: f64) -> f64 {
        covered(&self.walls(kinds, reach), 0.0, self.long)
    }

    /// The same with what lies between the jambs of openings.
    pub(super) fn walled_with_openings(&self, kinds: &[f64], reach: f64) -> f64 {
        let is_kind = |long: f64| kinds.iter().any(|it| (long - it).abs() <= ALIKE);
        let is_jamb = |s: f64| {
            let mut jambs = self.across.iter().filter(|it| is_kind(it.1 - it.0));
            jambs.any(|it| it.0 <= OFF.1 && (it.2 - s).abs() <= 2.0 * reach)
        };
        let mut parts = self.walls(kinds, reach);
        parts.dedup_by(|next, last| {
            let is_opening = next.0 - last.1 <= OPENING && is_jamb(last.1) && is_jamb(next.0);
            if is_opening {
                last.1 = last.1.max(next.1);
            }
            is_opening
        });
        covered(&parts, 0.0, self.long)
    }

    /// Where the first two lines behind it lie a wall's thickness apart.
    fn walls(&self, kinds: &[f64], reach: f64) -> Vec<Interval> {
        let is_kind = |long: f64| kinds.iter().any(|it| (long - it).abs() <= ALIKE);
        let mut parts = Vec::new();
        for (near, p, _) in self.along.iter().filter(|it| it.0 <= OFF.1) {
            let hidden = self.along.iter().filter(|it| it.0 < near - 2.0 * reach);
            let hidden = joined(hidden.map(|it| it.1).collect(), 0.0);
            for (far, q, _) in &self.along {
                let is_wall = is_kind(far - near);
                let shared = (p.0.max(q.0), p.1.min(q.1));
                if is_wall && shared.1 > shared.0 {
                    let mut open = vec![shared];
                    for part in &hidden {
                        open = open.into_iter().flat_map(|it| without(it, *part)).collect();
                    }
                    parts.extend(open);
                }
            }
        }
        joined(parts, 0.0)
    }
}
