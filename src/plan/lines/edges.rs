//! Lines round a building that are faces of no wall: the edge of its roof, its slab, its paving.
//!
//! ```text
//!   ┌───────────────────────┐   the next two lines behind it are a wall's, with its jambs between
//!   │ ┌──────┬┬──────────┐  │   them, and nothing from there ends at the edge: jambs would, were it
//!   │ │ ┌────┴┴────────┐ │  │   a face
//! ```
//!
//! Method: chains of lines are held against the jambs behind them. What ends at nothing, neither at a corner nor at another line, is
//! hardly a face of a wall that closes: there fewer jambs will do, or those of other walls.

use crate::plan::axis::{Axis, distance};
use crate::plan::groups::Groups;
use crate::plan::lines::behind::{ALIKE, ALONG, Behind, Ends, JAMB, behind, both_sides};
use crate::plan::lines::layers::Meaning;
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::{NearEnd, Segment, off};
use crate::plan::nearby::Nearby;
use crate::side_by_side::in_stretches;
use geo::Coord;

/// A chain has at most so many lines.
const SIDES: usize = 400;
/// Its longest is at least this long, inches.
const LONG: f64 = 120.0;
/// So many jambs of a kind show what walls are like, and so many of all kinds that there are walls.
const OF_A_KIND: usize = 2;
const SHOWN: usize = 4;
/// Walls behind it stand along this share of a chain at least: openings leave gaps.
const SHARE: f64 = 0.4;
/// The same along a chain that ends at nothing; and where no jamb is drawn at all.
const FREE_SHARE: f64 = 0.25;
const BARE_SHARE: f64 = 0.7;
/// What has lines before it along more than this share stands among lines, not round a building.
const AMONG: f64 = 0.4;
/// Lines at both ends of a jamb are so many times as long: those of a post are not.
const BEYOND: f64 = 1.5;
/// More lines than that that pass over it are joints of tiles, and it is one of them.
const OVER: usize = 5;

/// Marks edges as lines that bound nothing.
///
/// - `meeting`: where lines end at others.
pub(super) fn edges(segments: &mut [Segment], tree: &Nearby, meeting: Meeting, slack: f64) {
    let reach = reach(slack);
    let (mut chains, loose) = chains(segments, meeting);
    let mut near = Ends {
        free: vec![false; segments.len()],
        loose,
    };
    for chain in chains.iter().filter(|it| it.is_free) {
        for i in &chain.members {
            near.free[*i] = true;
        }
    }
    // Behind the edge of a roof there may be that of a slab: the inner one goes first. Sides without openings follow the others.
    let mut known = Vec::new();
    leave(segments, &mut chains, |segments, chain| {
        let mut kinds = edge(segments, (tree, &near), chain, (&known, reach))?;
        known.append(&mut kinds);
        Some(())
    });
    chains.retain(|it| it.is_free);
    if chains.is_empty() {
        return;
    }
    known.extend(kinds_of_jambs(segments, tree, reach));
    leave(segments, &mut chains, |segments, chain| {
        free_edge(segments, (tree, &near), chain, (&known, reach)).then_some(())
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
pub(super) struct Chain {
    /// By rising number.
    pub members: Vec<usize>,
    /// True when each end meets another.
    pub is_closed: bool,
    /// True when it is not closed, and its ends lie at no line.
    is_free: bool,
}

/// How far apart ends lie that meet, inches.
fn reach(slack: f64) -> f64 {
    slack + 0.05
}

/// Where lines end at others, whatever they may be.
pub(super) struct Meeting {
    /// What hangs together by its ends.
    groups: Groups,
    /// For each end of each line whether it meets the end of another, and whether it does not and lies at another.
    met: Vec<[bool; 2]>,
    held: Vec<[bool; 2]>,
}

impl Meeting {
    /// Looks at each end and what lies near it.
    pub(super) fn of(segments: &[Segment], ends: &[NearEnd], slack: f64) -> Self {
        let reach = reach(slack);
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
        Self { groups, met, held }
    }
}

/// Long chains of lines, closed or not; and for each end of each line whether no other lies there.
fn chains(segments: &[Segment], meeting: Meeting) -> (Vec<Chain>, Vec<[bool; 2]>) {
    let Meeting {
        mut groups,
        met,
        held,
    } = meeting;
    let members = groups.members().into_iter();
    let long = members.filter(|list| {
        list.len() <= SIDES
            && list.iter().any(|i| segments[*i].length() >= LONG)
            && list
                .iter()
                .all(|i| segments[*i].face > 0.0 && segments[*i].meaning != Meaning::Wall)
    });
    let chains = long.map(|members| {
        let is_closed = members.iter().all(|i| met[*i] == [true, true]);
        Chain {
            is_closed,
            is_free: !is_closed && members.iter().all(|i| held[*i] == [false, false]),
            members,
        }
    });
    let chains = chains.collect();
    let both = met.iter().zip(&held);
    let loose = both.map(|(met, held)| [0, 1].map(|k| !met[k] && !held[k]));
    (chains, loose.collect())
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
    let is_jamb = |i: &usize| {
        let it = &segments[*i];
        it.face > 0.0 && is_long(it) && is_at(*i, it.a) && is_at(*i, it.b)
    };
    let kinds = of_a_kind(in_stretches(segments.len(), |part| {
        let jambs = part.filter(is_jamb);
        jambs.map(|i| segments[i].length()).collect()
    }));
    let kinds = kinds.into_iter().filter(|it| it.0 >= SHOWN);
    kinds.map(|it| it.1).collect()
}

/// True for a chain that ends at nothing, at which nothing from behind ends, with a wall behind it that is as thick as others are;
/// where no jamb is drawn at all, with two lines behind it that go along most of it. What stands among other lines is none.
///
/// - `known`: how thick walls are.
fn free_edge(
    segments: &[Segment],
    (tree, ends): (&Nearby, &Ends),
    chain: &Chain,
    (known, reach): (&[f64], f64),
) -> bool {
    let sides =
        (chain.members.iter()).map(|i| both_sides(segments, (tree, ends), chain, *i, reach));
    let Some(sides) = sides.collect::<Option<Vec<_>>>() else {
        return false;
    };
    let long: f64 = sides.iter().map(|it| it.0.long).sum();
    let n_over: usize = sides.iter().map(|it| it.0.n_over).sum();
    let among: f64 = sides.iter().map(|it| it.1).sum();
    let ends_alike = sides.iter().any(|it| it.0.ends_alike);
    if n_over > OVER || among > AMONG * long || ends_alike {
        return false;
    }
    let walled = |kinds: &[f64]| {
        sides
            .iter()
            .map(|it| it.0.walled_with_openings(kinds, reach))
            .sum::<f64>()
    };
    let shown = sides.iter().flat_map(|it| it.0.jambs(reach)).collect();
    let own = of_a_kind(shown).into_iter().map(|it| it.1);
    let kinds: Vec<f64> = known.iter().copied().chain(own).collect();
    if !kinds.is_empty() {
        return walled(&kinds) >= FREE_SHARE * long;
    }
    let mut apart: Vec<f64> = sides.iter().flat_map(|it| it.0.apart()).collect();
    apart.sort_by(f64::total_cmp);
    apart.dedup_by(|p, q| *p - *q <= ALIKE);
    apart.iter().any(|it| walled(&[*it]) >= BARE_SHARE * long)
}

/// Lengths that are alike, where there are two or more: how many, and the middle one.
fn of_a_kind(mut list: Vec<f64>) -> Vec<(usize, f64)> {
    list.sort_by(f64::total_cmp);
    let kinds = list.chunk_by(|p, q| q - p <= ALIKE);
    let kinds = kinds.filter(|it| it.len() >= OF_A_KIND);
    kinds.map(|it| (it.len(), it[it.len() / 2])).collect()
}

/// How thick the walls are behind a chain that is the edge of something round them: they stand behind it, and nothing from there
/// ends at it. `None` when it is none.
///
/// - `known`: how thick walls behind other edges are.
fn edge(
    segments: &[Segment],
    (tree, ends): (&Nearby, &Ends),
    chain: &Chain,
    (known, reach): (&[f64], f64),
) -> Option<Vec<f64>> {
    let sides = (chain.members.iter()).map(|i| behind(segments, (tree, ends), chain, *i, reach));
    let sides = sides.collect::<Option<Vec<Behind>>>()?;
    if sides.iter().map(|it| it.n_over).sum::<usize>() > OVER {
        return None;
    }
    let kinds = of_a_kind(sides.iter().flat_map(|side| side.jambs(reach)).collect());
    let kinds: Vec<f64> = match kinds.iter().map(|it| it.0).sum::<usize>() {
        SHOWN.. => kinds.iter().map(|it| it.1).collect(),
        _ => known.to_vec(),
    };
    let long: f64 = sides.iter().map(|it| it.long).sum();
    let walled: f64 = sides.iter().map(|it| it.walled(&kinds, reach)).sum();
    (walled >= SHARE * long).then_some(kinds)
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

    /// Four free pieces round the house, so far off, each ending so much short of the corner.
    fn pieces_round(off: f64, short: f64) -> Vec<[f64; 4]> {
        let (x0, y0, x1, y1) = (-off, -off, 360.0 + off, 240.0 + off);
        vec![
            [x0 + short, y0, x1 - short, y0],
            [x1, y0 + short, x1, y1 - short],
            [x1 - short, y1, x0 + short, y1],
            [x0, y1 - short, x0, y0 + short],
        ]
    }

    #[test]
    fn free_pieces_round_the_house_are_no_faces() {
        let alone = recovered(&house()).output;
        for off in [2.0, 3.5, 5.0, 6.0, 9.0, 16.0, 36.0] {
            // Short of the corner or crossing there.
            for short in [5.0, -5.0] {
                let mut lines = house();
                lines.extend(pieces_round(off, short));
                let found = recovered(&lines).output;
                assert_eq!(
                    exterior_openings(&found),
                    exterior_openings(&alone),
                    "{off} {short}"
                );
                assert_eq!(found.storeys[0].outline, alone.storeys[0].outline);
            }
        }
    }

    #[test]
    fn free_pieces_round_walls_without_an_opening_are_no_faces() {
        let mut lines = shell();
        let alone = recovered(&lines).output;
        lines.extend(pieces_round(4.0, 7.0));
        let found = recovered(&lines).output;
        assert_eq!(found.storeys[0].outline, alone.storeys[0].outline);
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
