//! Lines round a building that are faces of no wall: the edge of its roof, its slab, its paving.
//!
//! ```text
//!   ┌───────────────────────┐   the next two lines behind it are a wall's, with its jambs between
//!   │ ┌──────┬┬──────────┐  │   them, and nothing from there ends at the edge: jambs would, were it
//!   │ │ ┌────┴┴────────┐ │  │   a face
//! ```

use super::axis::{Axis, Interval, covered, distance, joined};
use super::groups::Groups;
use super::layers::Meaning;
use super::nearby::Nearby;
use super::rails::around;
use super::segments::{NearEnd, Segment};
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
    // Behind the edge of a roof there may be that of a slab: the inner one goes first. Sides without openings follow the others.
    let mut known = Vec::new();
    loop {
        let before = chains.len();
        chains.retain(|chain| {
            let Some(mut kinds) = edge(segments, tree, chain, (&known, reach)) else {
                return true;
            };
            for i in &chain.members {
                (segments[*i].face, segments[*i].is_broken) = (0.0, true);
            }
            known.append(&mut kinds);
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
}

/// Long chains of lines, closed or not.
fn chains(segments: &[Segment], ends: &[NearEnd], reach: f64) -> Vec<Chain> {
    let mut groups = Groups::new(segments.len());
    let mut met = vec![[false; 2]; segments.len()];
    for it in ends {
        let (own, other, end) = (it.own(), it.other(), it.end(segments));
        let mut corners = [segments[other].a, segments[other].b].into_iter();
        if corners.any(|p| distance(p, end) <= 2.0 * reach) {
            groups.join(own, other);
            met[own][usize::from(end == segments[own].b)] = true;
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
    long.map(|members| Chain {
        is_closed: members.iter().all(|i| met[*i] == [true, true]),
        members,
    })
    .collect()
}

/// How thick the walls are behind a chain that is the edge of something round them: they stand behind it, and nothing from there
/// ends at it. `None` when it is none.
///
/// - `known`: how thick walls behind other edges are.
fn edge(
    segments: &[Segment],
    tree: &Nearby,
    chain: &Chain,
    (known, reach): (&[f64], f64),
) -> Option<Vec<f64>> {
    let sides = (chain.members.iter()).map(|i| behind(segments, tree, chain, *i, reach));
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
    /// Lines along it: how far behind, and from where to where.
    along: Vec<(f64, Interval)>,
    /// Lines across: how far behind they begin and end, and where.
    across: Vec<(f64, f64, f64)>,
    /// How many long lines pass over it.
    n_over: usize,
}

/// What lies behind a line of a chain: within it where it is closed, else on the side where more runs along it. `None` when
/// something from there ends at the line.
fn behind(
    segments: &[Segment],
    tree: &Nearby,
    chain: &Chain,
    i: usize,
    reach: f64,
) -> Option<Behind> {
    let own = &segments[i];
    let (axis, long) = (Axis::through(own.a, own.b)?, own.length());
    let back = Axis::through(own.b, own.a)?;
    let look = |axis: &Axis| beside(segments, tree, &chain.members, (axis, long), reach);
    if chain.is_closed {
        let is_left = lies_within(segments, &chain.members, axis.point(long / 2.0, 0.4));
        return look(if is_left { &axis } else { &back });
    }
    let runs = |it: &Option<Behind>| {
        let it = it.as_ref();
        it.map_or(0.0, |it| {
            it.along.iter().map(|(_, part)| part.1 - part.0).sum()
        })
    };
    let (left, right) = (look(&axis), look(&back));
    if runs(&left) >= runs(&right) {
        left
    } else {
        right
    }
}

/// What lies to the left of a line. `None` when something from there ends at it.
fn beside(
    segments: &[Segment],
    tree: &Nearby,
    chain: &[usize],
    (axis, long): (&Axis, f64),
    reach: f64,
) -> Option<Behind> {
    let corners = [
        (0.0, -STUB),
        (long, -STUB),
        (0.0, OFF.1 + JAMB.1),
        (long, OFF.1 + JAMB.1),
    ];
    let area = around(&corners.map(|(s, d)| axis.point(s, d)), 0.0)?;
    let mut it = Behind {
        long,
        ..Behind::default()
    };
    let mut is_touched = false;
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
                it.along.push((f64::midpoint(near, far), part));
            }
            return;
        }
        let at = s[usize::from(d[1].abs() < d[0].abs())];
        let over = s[0] + (s[1] - s[0]) * d[0] / (d[0] - d[1]);
        let is_over = near < -PAST && far > PAST && (0.0..=long).contains(&over);
        it.n_over += usize::from(is_over && other.face > 0.0);
        if near <= reach && near >= -STUB && far > reach {
            let end = if d[0] < d[1] { other.a } else { other.b };
            is_touched |= (-reach..=long + reach).contains(&at)
                && (near >= -reach || !goes_on(segments, tree, (j, end), reach));
        } else if near >= OFF.0
            && sine > 1.0 - ALONG
            && (JAMB.0..=JAMB.1).contains(&other.length())
            && (0.0..=long).contains(&at)
        {
            it.across.push((near, far, at));
        }
    });
    (!is_touched).then_some(it)
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
    /// How long each line across is that ends at a line along the chain on both sides.
    fn jambs(&self, reach: f64) -> impl Iterator<Item = f64> {
        let ends_at = move |d: f64, s: f64| {
            self.along.iter().any(|(own, part)| {
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
    fn walled(&self, kinds: &[f64], reach: f64) -> f64 {
        let mut parts = Vec::new();
        for (near, p) in self.along.iter().filter(|it| it.0 <= OFF.1) {
            let hidden = self.along.iter().filter(|it| it.0 < near - 2.0 * reach);
            let hidden = joined(hidden.map(|it| it.1).collect(), 0.0);
            for (far, q) in &self.along {
                let is_wall = kinds.iter().any(|it| (far - near - it).abs() <= ALIKE);
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
        covered(&joined(parts, 0.0), 0.0, self.long)
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
