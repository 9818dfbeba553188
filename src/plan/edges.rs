//! Lines round a building that are faces of no wall: the edge of its roof, its slab, its paving.
//!
//! ```text
//!   ┌───────────────────────┐   the next two lines behind it are a wall's, with its jambs between
//!   │ ┌──────┬┬──────────┐  │   them, and nothing from there ends at the edge: jambs would, were it
//!   │ │ ┌────┴┴────────┐ │  │   a face
//! ```
//!
//! Method: chains of lines are held against the jambs behind them. What ends at nothing, neither at a corner nor at another line, is no
//! face of a wall that closes: fewer jambs, or those of other walls, speak against it.

use super::axis::{Axis, Interval, covered, distance, joined};
use super::groups::Groups;
use super::layers::Meaning;
use super::nearby::Nearby;
use super::rails::around;
use super::segments::{NearEnd, Segment, off};
use super::solids::without;
use geo::Coord;

/// A chain has at most so many lines.
const SIDES: usize = 400;
/// Its longest is at least this long, inches.
const LONG: f64 = 120.0;
/// The first face behind it lies so far off, inches.
const OFF: (f64, f64) = (0.8, 42.0);
/// Lines across a wall, its jambs, are so long, inches: as walls are thick.
const JAMB: (f64, f64) = (2.5, 20.0);
/// Jambs of one length, within this, inches, are of one kind of wall.
const ALIKE: f64 = 0.2;
/// So many jambs of a kind show what walls are like, and so many of all kinds that there are walls.
const OF_A_KIND: usize = 2;
const SHOWN: usize = 4;
/// Walls behind it stand along this share of a chain at least: openings leave gaps.
const SHARE: f64 = 0.4;
/// The same along a chain that ends at nothing; and where no jamb is drawn at all.
const FREE_SHARE: f64 = 0.25;
const BARE_SHARE: f64 = 0.7;
/// Lines on both sides of a chain that ends at nothing, within this, inches, for more than this share of it: it stands among them.
const AMONG: (f64, f64) = (20.0, 0.4);
/// Lines at both ends of a jamb are so many times as long: those of a post are not.
const BEYOND: f64 = 1.5;
/// An opening is at most so wide, inches: what lies between its jambs counts as wall.
const OPENING: f64 = 240.0;
/// Free pieces that cross near their ends, inches, are meant to meet there.
const CORNER: f64 = 15.0;
/// A line that ends so little past the chain ends at it, inches.
const STUB: f64 = 3.0;
/// More lines than that, which go on for so much on either side, inches, are joints of tiles, and it is one of them.
const OVER: usize = 5;
const PAST: f64 = 12.0;
/// Sine within which lines run along each other.
const ALONG: f64 = 0.02;

/// Marks edges as lines that bound nothing.
///
/// - `ends`: where lines end at others.
pub(super) fn edges(segments: &mut [Segment], tree: &Nearby, ends: &[NearEnd], slack: f64) {
    let reach = slack + 0.05;
    let mut chains = chains(segments, ends, reach);
    let mut free = vec![false; segments.len()];
    for chain in chains.iter().filter(|it| it.is_free) {
        for i in &chain.members {
            free[*i] = true;
        }
    }
    // Behind the edge of a roof there may be that of a slab: the inner one goes first. Sides without openings follow the others.
    let mut known = Vec::new();
    leave(segments, &mut chains, |segments, chain| {
        let mut kinds = edge(segments, (tree, &free), chain, (&known, reach))?;
        known.append(&mut kinds);
        Some(())
    });
    chains.retain(|it| it.is_free);
    if chains.is_empty() {
        return;
    }
    known.extend(kinds_of_jambs(segments, tree, reach));
    leave(segments, &mut chains, |segments, chain| {
        free_edge(segments, (tree, &free), chain, (&known, reach)).then_some(())
    });
}

/// Marks the chains that are edges, again and again until none is found.
fn leave(
    segments: &mut [Segment],
    chains: &mut Vec<Chain>,
    mut is_edge: impl FnMut(&[Segment], &Chain) -> Option<()>,
) {
    loop {
        let before = chains.len();
        chains.retain(|chain| {
            if is_edge(segments, chain).is_none() {
                return true;
            }
            for i in &chain.members {
                (segments[*i].face, segments[*i].is_broken) = (0.0, true);
            }
            false
        });
        if chains.len() == before {
            return;
        }
    }
}

/// Lines that hang together by their ends.
struct Chain {
    /// By rising number.
    members: Vec<usize>,
    /// True when each end meets another.
    is_closed: bool,
    /// True when it is not closed, and its ends lie at no line.
    is_free: bool,
}

/// Long chains of lines, closed or not.
fn chains(segments: &[Segment], ends: &[NearEnd], reach: f64) -> Vec<Chain> {
    let mut groups = Groups::new(segments.len());
    let mut met = vec![[false; 2]; segments.len()];
    let mut held = vec![[false; 2]; segments.len()];
    for it in ends {
        let (own, other, end) = (it.own(), it.other(), it.end(segments));
        let which = usize::from(end == segments[own].b);
        let mut corners = [segments[other].a, segments[other].b].into_iter();
        if corners.any(|p| distance(p, end) <= 2.0 * reach) {
            groups.join(own, other);
            met[own][which] = true;
        } else {
            held[own][which] |= off(&segments[other], end) <= 2.0 * reach;
        }
    }
    let members = groups.members().into_iter();
    let long = members.filter(|list| {
        list.len() <= SIDES
            && list.iter().any(|i| segments[*i].length() >= LONG)
            && list
                .iter()
                .all(|i| segments[*i].face > 0.0 && segments[*i].meaning != Meaning::Wall)
    });
    long.map(|members| {
        let is_closed = members.iter().all(|i| met[*i] == [true, true]);
        Chain {
            is_closed,
            is_free: !is_closed && members.iter().all(|i| held[*i] == [false, false]),
            members,
        }
    })
    .collect()
}

/// How thick walls are that have jambs, anywhere: lines across from one line to another, both of them longer.
fn kinds_of_jambs(segments: &[Segment], tree: &Nearby, reach: f64) -> Vec<f64> {
    let is_at = |own: usize, p: Coord<f64>| {
        let (long, way) = (
            segments[own].length(),
            Axis::through(segments[own].a, segments[own].b),
        );
        around(&[p], 2.0 * reach)
            .zip(way)
            .is_some_and(|(area, way)| {
                tree.any(&area, |k| {
                    let other = &segments[k];
                    let across = Axis::through(other.a, other.b);
                    other.face > 0.0
                        && other.length() >= BEYOND * long
                        && off(other, p) <= 2.0 * reach
                        && across.is_some_and(|it| it.sine(&way).abs() > 1.0 - ALONG)
                })
            })
    };
    let is_long = |it: &Segment| (JAMB.0..=JAMB.1).contains(&it.length());
    let jambs = (segments.iter().enumerate())
        .filter(|(i, it)| it.face > 0.0 && is_long(it) && is_at(*i, it.a) && is_at(*i, it.b));
    let mut jambs: Vec<f64> = jambs.map(|(_, it)| it.length()).collect();
    jambs.sort_by(f64::total_cmp);
    let kinds = jambs.chunk_by(|p, q| q - p <= ALIKE);
    let kinds = kinds.filter(|it| it.len() >= SHOWN);
    kinds.map(|it| it[it.len() / 2]).collect()
}

/// True for a chain that ends at nothing, at which nothing from behind ends, with a wall behind it that is as thick as others are;
/// where no jamb is drawn at all, with two lines behind it that go along most of it. What stands among other lines is none.
///
/// - `known`: how thick walls are.
fn free_edge(
    segments: &[Segment],
    (tree, free): (&Nearby, &[bool]),
    chain: &Chain,
    (known, reach): (&[f64], f64),
) -> bool {
    let sides =
        (chain.members.iter()).map(|i| both_sides(segments, (tree, free), chain, *i, reach));
    let Some(sides) = sides.collect::<Option<Vec<_>>>() else {
        return false;
    };
    let long: f64 = sides.iter().map(|it| it.0.long).sum();
    let n_over: usize = sides.iter().map(|it| it.0.n_over).sum();
    let among: f64 = sides.iter().map(|it| it.1).sum();
    if n_over > OVER || among > AMONG.1 * long {
        return false;
    }
    let walled = |kinds: &[f64]| {
        sides
            .iter()
            .map(|it| it.0.walled(kinds, reach))
            .sum::<f64>()
    };
    if !known.is_empty() {
        return walled(known) >= FREE_SHARE * long;
    }
    let mut apart: Vec<f64> = sides.iter().flat_map(|it| it.0.apart()).collect();
    apart.sort_by(f64::total_cmp);
    apart.dedup_by(|p, q| *p - *q <= ALIKE);
    apart.iter().any(|it| walled(&[*it]) >= BARE_SHARE * long)
}

/// What lies behind one line of a chain, and along how much of it lines stand before it.
fn both_sides(
    segments: &[Segment],
    (tree, free): (&Nearby, &[bool]),
    chain: &Chain,
    i: usize,
    reach: f64,
) -> Option<(Behind, f64)> {
    let own = &segments[i];
    let (axis, back) = (Axis::through(own.a, own.b)?, Axis::through(own.b, own.a)?);
    let long = own.length();
    let look = |axis: &Axis| beside(segments, (tree, free), &chain.members, (axis, long), reach);
    let (left, right) = (look(&axis), look(&back));
    let (behind, before) = if left.runs() >= right.runs() {
        (left, right)
    } else {
        (right, left)
    };
    let before = before.along.iter().filter(|it| it.0 <= AMONG.0 && !it.2);
    let before = joined(before.map(|it| it.1).collect(), 0.0);
    (!behind.is_touched).then(|| (behind, covered(&before, 0.0, long)))
}

/// How thick the walls are behind a chain that is the edge of something round them: they stand behind it, and nothing from there
/// ends at it. `None` when it is none.
///
/// - `known`: how thick walls behind other edges are.
fn edge(
    segments: &[Segment],
    (tree, free): (&Nearby, &[bool]),
    chain: &Chain,
    (known, reach): (&[f64], f64),
) -> Option<Vec<f64>> {
    let sides = (chain.members.iter()).map(|i| behind(segments, (tree, free), chain, *i, reach));
    let sides = sides.collect::<Option<Vec<Behind>>>()?;
    if sides.iter().map(|it| it.n_over).sum::<usize>() > OVER {
        return None;
    }
    let mut jambs: Vec<f64> = sides.iter().flat_map(|side| side.jambs(reach)).collect();
    jambs.sort_by(f64::total_cmp);
    let kinds = jambs.chunk_by(|p, q| q - p <= ALIKE);
    let kinds: Vec<&[f64]> = kinds.filter(|it| it.len() >= OF_A_KIND).collect();
    let kinds: Vec<f64> = match kinds.iter().map(|it| it.len()).sum::<usize>() {
        SHOWN.. => kinds.iter().map(|it| it[it.len() / 2]).collect(),
        _ => known.to_vec(),
    };
    let long: f64 = sides.iter().map(|it| it.long).sum();
    let walled: f64 = sides.iter().map(|it| it.walled(&kinds, reach)).sum();
    (walled >= SHARE * long).then_some(kinds)
}

/// What lies behind one line of a chain.
#[derive(Default)]
struct Behind {
    long: f64,
    /// Lines along it: how far behind, from where to where, and whether they end at nothing either.
    along: Vec<(f64, Interval, bool)>,
    /// Lines across: how far behind they begin and end, and where.
    across: Vec<(f64, f64, f64)>,
    /// How many long lines pass over it.
    n_over: usize,
    /// True when something from there ends at it.
    is_touched: bool,
}

/// What lies behind a line of a chain: within it where it is closed, else on the side where more runs along it. `None` when
/// something from there ends at the line.
fn behind(
    segments: &[Segment],
    (tree, free): (&Nearby, &[bool]),
    chain: &Chain,
    i: usize,
    reach: f64,
) -> Option<Behind> {
    let own = &segments[i];
    let (axis, long) = (Axis::through(own.a, own.b)?, own.length());
    let back = Axis::through(own.b, own.a)?;
    let look = |axis: &Axis| {
        let it = beside(segments, (tree, free), &chain.members, (axis, long), reach);
        (!it.is_touched).then_some(it)
    };
    if chain.is_closed {
        let is_left = lies_within(segments, &chain.members, axis.point(long / 2.0, 0.4));
        return look(if is_left { &axis } else { &back });
    }
    let runs = |it: &Option<Behind>| it.as_ref().map_or(0.0, Behind::runs);
    let (left, right) = (look(&axis), look(&back));
    if runs(&left) >= runs(&right) {
        left
    } else {
        right
    }
}

/// What lies to the left of a line.
fn beside(
    segments: &[Segment],
    (tree, free): (&Nearby, &[bool]),
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
            if near >= OFF.0 && other.face > 0.0 && part.1 > part.0 {
                it.along.push((f64::midpoint(near, far), part, free[j]));
            }
            return;
        }
        let at = s[usize::from(d[1].abs() < d[0].abs())];
        let over = s[0] + (s[1] - s[0]) * d[0] / (d[0] - d[1]);
        let is_over = near < -PAST && far > PAST && (0.0..=long).contains(&over);
        it.n_over += usize::from(is_over && other.face > 0.0);
        let is_corner = free[j] && free[chain[0]] && (at <= CORNER || at >= long - CORNER);
        if is_corner {
            return;
        }
        if near <= reach && near >= -STUB && far > reach {
            let end = if d[0] < d[1] { other.a } else { other.b };
            it.is_touched |= (-reach..=long + reach).contains(&at)
                && (near >= -reach || !goes_on(segments, tree, (j, end), reach));
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

/// True for a point within a closed chain: a ray from it crosses the chain an odd number of times.
fn lies_within(segments: &[Segment], chain: &[usize], p: Coord<f64>) -> bool {
    let crossings = chain.iter().filter(|i| {
        let (a, b) = (segments[**i].a, segments[**i].b);
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossings.count() % 2 == 1
}

impl Behind {
    /// How much runs along the line.
    fn runs(&self) -> f64 {
        self.along.iter().map(|(_, part, _)| part.1 - part.0).sum()
    }

    /// How far lines that go along most of it lie from each other, where that is as thick as walls are.
    fn apart(&self) -> impl Iterator<Item = f64> {
        let held = || self.along.iter().filter(|it| !it.2);
        held()
            .flat_map(move |near| held().map(move |far| far.0 - near.0))
            .filter(|it| (JAMB.0..=JAMB.1).contains(it))
    }

    /// How long each line across is that ends at a line along the chain on both sides.
    fn jambs(&self, reach: f64) -> impl Iterator<Item = f64> {
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

    /// Along how much of the line the first two behind it lie a wall's thickness apart, with what lies between jambs there.
    fn walled(&self, kinds: &[f64], reach: f64) -> f64 {
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
        let is_jamb = |s: f64| {
            let mut jambs = self.across.iter().filter(|it| is_kind(it.1 - it.0));
            jambs.any(|it| it.0 <= OFF.1 && (it.2 - s).abs() <= 2.0 * reach)
        };
        let mut parts = joined(parts, 0.0);
        parts.dedup_by(|next, last| {
            let is_opening = next.0 - last.1 <= OPENING && is_jamb(last.1) && is_jamb(next.0);
            if is_opening {
                last.1 = last.1.max(next.1);
            }
            is_opening
        });
        covered(&parts, 0.0, self.long)
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, recovered, shell, sides};

    /// A house with a window in its lower and its upper wall and a partition with a door's gap, everything drawn by lines.
    fn house() -> Vec<[f64; 4]> {
        let mut lines = open_shell(60.0, 96.0);
        lines.retain(|l| l[1] < 200.0 || l[3] < 200.0);
        for (y, end) in [(240.0, 0.0), (234.0, 6.0)] {
            lines.extend([[end, y, 260.0, y], [308.0, y, 360.0 - end, y]]);
        }
        lines.extend([260.0, 308.0].map(|x| [x, 234.0, x, 240.0]));
        for (from, to, y) in [(60.0, 96.0, 3.0), (260.0, 308.0, 237.0)] {
            lines.extend([y - 0.5, y + 0.5].map(|y| [from, y, to, y]));
        }
        for x in [200.0, 204.5] {
            lines.extend([[x, 6.0, x, 100.0], [x, 132.0, x, 234.0]]);
        }
        lines.extend([100.0, 132.0].map(|y| [200.0, y, 204.5, y]));
        lines
    }

    #[test]
    fn an_edge_round_the_house_is_no_face_however_far_off() {
        let alone = recovered(&house()).output;
        for off in [2.0, 3.5, 4.5, 5.0, 6.0, 9.0, 16.0, 24.0, 36.0] {
            let mut lines = house();
            lines.extend(sides(-off, -off, 360.0 + off, 240.0 + off));
            let found = recovered(&lines).output;
            assert_eq!(
                exterior_openings(&found),
                exterior_openings(&alone),
                "{off}"
            );
            assert_eq!(found.storeys[0].outline, alone.storeys[0].outline, "{off}");
        }
    }

    #[test]
    fn the_outer_face_of_walls_without_jambs_stays_one() {
        let mut lines = shell();
        for x in [200.0, 204.5] {
            lines.extend([[x, 6.0, x, 100.0], [x, 132.0, x, 234.0]]);
        }
        lines.extend([100.0, 132.0].map(|y| [200.0, y, 204.5, y]));
        let storey = &recovered(&lines).output.storeys[0];
        let outside = storey.walls.iter().filter(|it| it.is_exterior);
        assert!(outside.clone().all(|it| it.thickness == 6.0));
        assert_eq!(outside.count(), 4);
    }
}
