//! Storeys searched together: the least of all walls over each other, or what is proved of it.
//!
//! ```text
//!   storey by storey ──► as dear as each wall alone? ──► proved
//!                             │ no
//!                             ▼
//!   every way to end at the corners, each pair of walls walked side by side ──► proved, or a bound and the gap
//! ```
//!
//! Method: walls that stand over each other are one problem, with every ring they belong to. Each wall alone, free of what its joints
//! stand over, is a bound; where the layout found storey by storey costs no more, it is the least. Else, where each wall stands over
//! one other at most and the corners are few (`MOST_CORNERS`), all states of the corners are tried: a pair of walls counts as free of
//! each other until it is on the best way, is walked then (`pairs.rs`), and the best is sought again. Last, each ring is searched once
//! more beside the others as they are, as long as one of them has changed. What is cheaper than the best way found is nowhere: its cost is the
//! bound; without it, the walls alone are.

use super::corners::is_square;
use super::cost::Cost;
use super::pairs::{Over, Walked, walk};
use super::ring::{Chosen, Problem, Ring, RingProblem, Score, add};
use super::run::Run;
use super::search::{Chain, Search, places_of_pair};
use super::solution::Solution;
use super::stacked::Neighbours;
use std::collections::BTreeMap;

/// More square corners than this are not tried in every state.
const MOST_CORNERS: usize = 12;
/// More places for joints than this are not walked in a wall.
const MOST_PLACES: usize = 3_500;
/// Steps of pairs of walls that are looked at in a building, shared alike by its groups of walls over each other.
const EFFORT: usize = 20_000_000;
/// How often each ring is searched again at most, on average.
const ROUNDS: usize = 4;

/// Walls that cannot be panelled, refused wishes, cost in rules and money and issued panels not kept.
type Total = (u32, u32, (i64, i64, i64));

/// Walls over each other whose layout may not be the least.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Unproved {
    /// Walls of the building.
    pub(crate) walls: Vec<usize>,
    /// Cents of all.
    pub(crate) cost: i64,
    /// Below this nothing is.
    pub(crate) bound: i64,
}

/// Searches walls over each other together; `chosen` is what was found storey by storey.
pub(crate) fn together(
    asked: &Problem<'_>,
    rings: &[Ring],
    chosen: Vec<Chosen>,
) -> (Vec<Chosen>, Vec<Unproved>) {
    let mut chosen: Vec<Option<Chosen>> = chosen.into_iter().map(Some).collect();
    let mut unproved = Vec::new();
    if asked.rules.alignment.cents > 0 {
        let groups = groups(asked, rings);
        let effort = EFFORT / groups.len().max(1);
        for rings in groups {
            let group = Group {
                asked,
                rings,
                effort,
            };
            unproved.extend(group.search(&mut chosen));
        }
    }
    (chosen.into_iter().flatten().collect(), unproved)
}

/// Rings whose walls stand over each other, from the lowest up; only those of more than one storey.
fn groups<'a>(asked: &Problem<'_>, rings: &'a [Ring]) -> Vec<Vec<&'a Ring>> {
    let ring_of = |wall: usize| rings.iter().position(|ring| ring.walls.contains(&wall));
    let mut group: Vec<usize> = (0..rings.len()).collect();
    for (upper, ring) in rings.iter().enumerate() {
        let below = ring.walls.iter().flat_map(|wall| asked.stacks.below(*wall));
        for lower in below.filter_map(|(wall, _)| ring_of(*wall)) {
            let (from, to) = (
                group[upper].max(group[lower]),
                group[upper].min(group[lower]),
            );
            group
                .iter_mut()
                .filter(|it| **it == from)
                .for_each(|it| *it = to);
        }
    }
    let mut found: BTreeMap<usize, Vec<&Ring>> = BTreeMap::new();
    for (ring, group) in rings.iter().zip(group) {
        found.entry(group).or_default().push(ring);
    }
    let storey = |ring: &&Ring| {
        let walls = ring.walls.iter();
        let walls = walls.filter_map(|wall| asked.building.walls.get(*wall));
        walls.map(|wall| wall.storey_index).min()
    };
    let mut found: Vec<Vec<&Ring>> = found
        .into_values()
        .filter(|rings| rings.len() > 1)
        .collect();
    found.iter_mut().for_each(|rings| rings.sort_by_key(storey));
    found
}

struct Group<'a> {
    asked: &'a Problem<'a>,
    rings: Vec<&'a Ring>,
    effort: usize,
}

/// A wall, its ring and its place in it.
#[derive(Clone, Copy)]
struct Seat {
    wall: usize,
    ring: usize,
    place: usize,
}

/// An upper wall over a lower one.
struct Pair {
    lower: Seat,
    upper: Seat,
    over: Over,
    /// By the states of the four corners: what is known of it.
    walked: BTreeMap<[usize; 4], Walked>,
}

/// States of every corner of every ring, the one before the first wall first.
type States = Vec<Vec<usize>>;

/// The states of the corners and the pairs as walked.
type Way = (States, Vec<Pair>);

impl Group<'_> {
    fn search(&self, chosen: &mut Vec<Option<Chosen>>) -> Option<Unproved> {
        self.refresh(chosen);
        let alone: Vec<RingProblem<'_>> = self
            .rings
            .iter()
            .map(|ring| RingProblem::new(self.asked, ring, |_| Neighbours::default()))
            .collect();
        let scores = alone.iter().filter_map(RingProblem::least);
        let free = scores.fold(Score::default(), |sum, (score, _)| add(sum, score));
        let mut bound = total_of(free);
        if self.total(chosen) > bound && self.asked.stacks.is_coupled {
            self.again(chosen, bound, self.carrying());
            let known = self.total(chosen);
            let ways = self.pairs().filter(|_| known > bound);
            if let Some((least, way)) = ways.and_then(|it| self.every_way(&alone, it, known)) {
                bound = least;
                if let Some((states, pairs)) = way {
                    let mut tried = chosen.clone();
                    self.set(&alone, (&states, &pairs), &mut tried);
                    self.again(&mut tried, bound, vec![true; self.rings.len()]);
                    if self.total(&tried) < known {
                        *chosen = tried;
                    }
                }
            }
        }
        self.prove(chosen, bound)
    }

    fn walls(&self) -> impl DoubleEndedIterator<Item = usize> + '_ {
        self.rings
            .iter()
            .flat_map(|ring| ring.walls.iter().copied())
    }

    /// What the walls know of each other, and their costs with it.
    fn refresh(&self, chosen: &mut [Option<Chosen>]) {
        let rules = self.asked.rules;
        for wall in self.walls() {
            let beside = self.asked.stacks.neighbours(rules, wall, chosen);
            let Some(Some(choice)) = chosen.get_mut(wall) else {
                continue;
            };
            if let Some(solution) = &mut choice.solution {
                let before = choice.beside.total(solution.joints(), rules);
                let now = beside.total(solution.joints(), rules);
                solution.cost += Cost::cents(now - before);
            }
            choice.beside = beside;
        }
    }

    /// What all walls cost, each joint over none counted once.
    fn total(&self, chosen: &[Option<Chosen>]) -> Total {
        let walls = self.walls().filter_map(|wall| chosen.get(wall)?.as_ref());
        walls.fold(Total::default(), |sum, choice| {
            let Some(solution) = &choice.solution else {
                return (sum.0 + 1, sum.1 + choice.refused, sum.2);
            };
            let cost = solution.cost;
            let above = choice
                .beside
                .paid_above(solution.joints(), self.asked.rules);
            let (framed, cents, issued) = sum.2;
            let money = (
                framed + cost.framed_by_need(),
                cents.saturating_add(cost.whole_cents() - above),
                issued + cost.issued_not_kept(),
            );
            (sum.0, sum.1 + choice.refused, money)
        })
    }

    /// Searches each open ring beside the others as they are until none gets cheaper, or all costs no more than the bound. A ring is open
    /// again only when another one has changed: beside the same it is the same.
    fn again(&self, chosen: &mut Vec<Option<Chosen>>, bound: Total, mut is_open: Vec<bool>) {
        for _ in 0..ROUNDS * self.rings.len() {
            let highest = is_open.iter().rposition(|it| *it);
            let Some(ring) = highest.filter(|_| self.total(chosen) > bound) else {
                return;
            };
            is_open[ring] = false;
            let stacks = self.asked.stacks;
            let walls = self.rings[ring];
            let problem = RingProblem::new(self.asked, walls, |wall| {
                stacks.neighbours(self.asked.rules, wall, chosen)
            });
            let mut tried = chosen.clone();
            for (wall, choice) in walls.walls.iter().zip(problem.best()) {
                tried[*wall] = Some(choice);
            }
            self.refresh(&mut tried);
            if self.total(&tried) < self.total(chosen) {
                *chosen = tried;
                is_open.fill(true);
                is_open[ring] = false;
            }
        }
    }

    /// Which rings were searched without regard to all that stands on them: those that something stands on.
    fn carrying(&self) -> Vec<bool> {
        let stacks = self.asked.stacks;
        let carries = |ring: &&Ring| {
            let mut walls = ring.walls.iter();
            walls.any(|wall| stacks.above(*wall).next().is_some())
        };
        self.rings.iter().map(carries).collect()
    }

    /// The pairs of walls, where each wall stands over or under one other at most.
    fn pairs(&self) -> Option<Vec<Pair>> {
        let seat = |wall: usize| {
            self.rings.iter().enumerate().find_map(|(ring, it)| {
                let place = it.walls.iter().position(|own| *own == wall)?;
                Some(Seat { wall, ring, place })
            })
        };
        let mut pairs = Vec::new();
        for wall in self.walls() {
            let below = self.asked.stacks.below(wall);
            let n_above = self.asked.stacks.above(wall).count();
            match below {
                _ if below.len() + n_above > 1 => return None,
                [(lower, start)] => pairs.push(Pair {
                    lower: seat(*lower)?,
                    upper: seat(wall)?,
                    over: Over {
                        start: *start,
                        within: self.asked.rules.alignment.within,
                        cents: self.asked.rules.alignment.cents,
                    },
                    walked: BTreeMap::new(),
                }),
                _ => {}
            }
        }
        Some(pairs)
    }

    /// The least of all states of the corners, or what it is no less than; and the way, where it is less than what is `known`.
    fn every_way(
        &self,
        alone: &[RingProblem<'_>],
        mut pairs: Vec<Pair>,
        known: Total,
    ) -> Option<(Total, Option<Way>)> {
        let corners = self.corners();
        if corners.len() > MOST_CORNERS {
            return None;
        }
        let mut effort = self.effort;
        loop {
            let mut best: Option<(Score, States)> = None;
            for choice in 0..1_usize << corners.len() {
                let states = self.states(&corners, choice);
                let sum = score_of(alone, &states, &pairs);
                if best.as_ref().is_none_or(|(least, _)| sum < *least) {
                    best = Some((sum, states));
                }
            }
            let (score, states) = best?;
            let least = total_of(score);
            if least >= known {
                return Some((known, None));
            }
            let mut is_settled = true;
            for i in 0..pairs.len() {
                let key = pairs[i].key(&states);
                let before = match pairs[i].walked.get(&key) {
                    None => 0,
                    Some(Walked::AtLeast(excess)) => *excess,
                    Some(Walked::Least { .. } | Walked::Unproved(_)) => continue,
                };
                // As much as this would be no better than what is known.
                let sum = total_of(score_of(alone, &states, &pairs));
                let is_alike = (sum.0, sum.1, sum.2.0) == (known.0, known.1, known.2.0);
                let most = if is_alike {
                    known.2.1.saturating_sub(sum.2.1 - before)
                } else {
                    i64::MAX
                };
                let walked = self.walked(alone, &states, (&pairs[i], most), &mut effort);
                is_settled &= walked.excess() == before;
                pairs[i].walked.insert(key, walked);
            }
            if is_settled {
                // Where no pair could be walked that way is each wall alone, which says nothing of walls over each other.
                let is_walked = |pair: &Pair| {
                    let walked = pair.walked.get(&pair.key(&states));
                    matches!(walked, Some(Walked::Least { .. }))
                };
                let is_new = pairs.iter().any(is_walked);
                return Some((least, is_new.then_some((states, pairs))));
            }
        }
    }

    /// The square corners: ring and place, where the corner before the first wall has place 0.
    fn corners(&self) -> Vec<(usize, usize)> {
        let walls = &self.asked.building.walls;
        let rings = self.rings.iter().enumerate();
        let all = rings.flat_map(|(r, ring)| {
            let lefts = ring.walls.iter().enumerate();
            let lefts = lefts.filter(|(_, wall)| is_square(&walls[**wall].left));
            let last = ring.walls.last().filter(|_| !ring.is_closed);
            let last = last.filter(|wall| is_square(&walls[**wall].right));
            let lefts = lefts.map(move |(place, _)| (r, place));
            lefts.chain(last.map(|_| (r, ring.walls.len())))
        });
        all.collect()
    }

    /// The states of all corners, one bit for each square one.
    fn states(&self, corners: &[(usize, usize)], choice: usize) -> States {
        let rings = self.rings.iter();
        let mut states: States = rings.map(|ring| vec![0; ring.walls.len() + 1]).collect();
        for (bit, (ring, place)) in corners.iter().enumerate() {
            states[*ring][*place] = choice >> bit & 1;
        }
        for (ring, states) in self.rings.iter().zip(&mut states) {
            if ring.is_closed
                && let Some(first) = states.first().copied()
                && let Some(last) = states.last_mut()
            {
                *last = first;
            }
        }
        states
    }

    /// Walks a pair of walls that end as the states say.
    fn walked(
        &self,
        alone: &[RingProblem<'_>],
        states: &States,
        (pair, most): (&Pair, i64),
        effort: &mut usize,
    ) -> Walked {
        let run = |seat: Seat| {
            let choice = chosen_of(alone, states, seat);
            choice
                .solution
                .as_ref()
                .map(|_| self.run(seat.wall, choice, &Neighbours::default()))
        };
        let (Some(lower), Some(upper)) = (run(pair.lower), run(pair.upper)) else {
            return Walked::Unproved(0);
        };
        let (Ok(low), Ok(high)) = (
            Search::plain(&lower, lower.left.at),
            Search::plain(&upper, upper.left.at),
        ) else {
            return Walked::Unproved(0);
        };
        let over = pair.over;
        let both = [(&low, &lower.left), (&high, &upper.left)];
        let Some([lows, highs]) = places_of_pair(both, (over.start, over.within), MOST_PLACES)
        else {
            return Walked::Unproved(0);
        };
        let mut chains = [
            Chain::new(&low, (&lower.left, most), lows),
            Chain::new(&high, (&upper.left, most), highs),
        ];
        let [low, high] = &mut chains;
        walk([low, high], (over, most), effort)
    }

    fn run(&self, wall: usize, choice: &Chosen, beside: &Neighbours) -> Run<'_> {
        let wall = &self.asked.building.walls[wall];
        let wished = self.asked.options.walls.get(&wall.id);
        let wished = wished.map(|wished| choice.honoured(wished));
        Run::new(
            wall,
            &choice.ends,
            self.asked.rules,
            wished.as_ref(),
            beside,
        )
    }

    /// The layout of a way: the lower wall of each pair under the joints that the walk found, the upper one over it.
    fn set(
        &self,
        alone: &[RingProblem<'_>],
        (states, pairs): (&States, &[Pair]),
        chosen: &mut [Option<Chosen>],
    ) {
        for (ring, it) in self.rings.iter().enumerate() {
            for (place, wall) in it.walls.iter().enumerate() {
                let seat = Seat {
                    wall: *wall,
                    ring,
                    place,
                };
                chosen[*wall] = Some(chosen_of(alone, states, seat).clone());
            }
        }
        for pair in pairs {
            let Some(Walked::Least { upper, .. }) = pair.walked.get(&pair.key(states)) else {
                continue;
            };
            let under = Neighbours {
                below: None,
                above: upper.iter().map(|x| *x - pair.over.start).collect(),
            };
            self.solve(pair.lower.wall, &under, chosen);
            let stacks = self.asked.stacks;
            let over = stacks.neighbours(self.asked.rules, pair.upper.wall, chosen);
            self.solve(pair.upper.wall, &over, chosen);
        }
        self.refresh(chosen);
    }

    /// Searches one wall again, its ends as they are.
    fn solve(&self, wall: usize, beside: &Neighbours, chosen: &mut [Option<Chosen>]) {
        let Some(Some(choice)) = chosen.get(wall) else {
            return;
        };
        let run = self.run(wall, choice, beside);
        let search = Search::new(&run, run.left.at, run.left.at).ok();
        let solution: Option<Solution> = search.and_then(|search| search.solve(&run.left));
        if let (Some(solution), Some(Some(choice))) = (solution, chosen.get_mut(wall)) {
            choice.solution = Some(solution);
            choice.beside = beside.clone();
        }
    }

    /// Hands the gap between cost and bound to the walls, from the highest down.
    fn prove(&self, chosen: &mut [Option<Chosen>], bound: Total) -> Option<Unproved> {
        let total = self.total(chosen);
        let (cost, bound) = (total.2.1, bound.2.1.min(total.2.1));
        if total.2.0 == 0 && cost == bound {
            return None;
        }
        let mut left = cost - bound;
        let rules = self.asked.rules;
        for wall in self.walls().collect::<Vec<_>>().into_iter().rev() {
            if let Some(Some(choice)) = chosen.get_mut(wall) {
                choice.gap = left.clamp(0, choice.own_cents(rules).max(0));
                left -= choice.gap;
            }
        }
        (cost > bound).then(|| Unproved {
            walls: self.walls().collect(),
            cost,
            bound,
        })
    }
}

impl Pair {
    fn key(&self, states: &States) -> [usize; 4] {
        let (low, high) = (&states[self.lower.ring], &states[self.upper.ring]);
        let (l, u) = (self.lower.place, self.upper.place);
        [low[l], low[l + 1], high[u], high[u + 1]]
    }
}

impl Walked {
    fn excess(&self) -> i64 {
        match self {
            Self::Least { excess, .. } | Self::AtLeast(excess) | Self::Unproved(excess) => *excess,
        }
    }
}

fn chosen_of<'a>(alone: &'a [RingProblem<'_>], states: &States, seat: Seat) -> &'a Chosen {
    let own = &states[seat.ring];
    &alone[seat.ring].variants[seat.place][own[seat.place]][own[seat.place + 1]]
}

/// The score of all walls between corners in these states, as far as pairs are walked.
fn score_of(alone: &[RingProblem<'_>], states: &States, pairs: &[Pair]) -> Score {
    let mut sum = Score::default();
    for (ring, own) in alone.iter().zip(states) {
        for (i, sides) in own.windows(2).enumerate() {
            sum = add(sum, ring.score(i, sides[0], sides[1]));
        }
    }
    for pair in pairs {
        let walked = pair.walked.get(&pair.key(states));
        let excess = walked.map_or(0, Walked::excess);
        sum.2.1 = sum.2.1.saturating_add(excess);
        sum.4 += Cost::cents(excess);
    }
    sum
}

fn total_of(score: Score) -> Total {
    (score.0, score.1, score.2)
}
