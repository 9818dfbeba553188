//! Who runs through at each corner: the exact least over the whole ring of walls.
//!
//! Method: at each square corner one of two walls runs through, so a wall has up to four runs (left and right end). All are
//! solved; then a dynamic program walks round the ring over the state of the corner just passed, once for each state of the
//! first corner. Exact, and linear in the number of walls. The order of the ring never changes a wall's cost, so the optimum of
//! the storey is the sum that this finds. Storeys follow from the lowest up, each given the joints below it; `together.rs` then looks
//! at walls over each other at once.
//!
//! Among equal costs who runs through alternates round the building: each wall runs through at one end and butts at the other, as far as
//! that costs nothing more. Where it does, the longer wall runs through; among equals again the one that stands first in the walk: the next
//! one slides against it, and the last panel of the walk still has room to move.

use super::corners::{Ends, Role, RunEnd, ends, is_square};
use super::cost::Cost;
use super::run::{Run, grid};
use super::search::Search;
use super::solution::{Blocked, Solution};
use super::stacked::{Neighbours, Stacks};
use super::{CornerWish, LayoutOptions, WallWishes};
use crate::building::{Building, PanelWall};
use crate::rules::PlantRules;
use crate::units::Length;
use std::collections::BTreeSet;

/// The chosen run of one wall.
#[derive(Clone, Debug)]
pub(crate) struct Chosen {
    pub(crate) ends: Ends,
    /// `None` when the run cannot be panelled.
    pub(crate) solution: Option<Solution>,
    /// True when the wall cannot be panelled with all wished joints, and was panelled without them.
    pub(crate) is_without_wishes: bool,
    /// Joints of the storeys over and under it.
    pub(crate) beside: Neighbours,
    /// Cents by which the wall may be dearer than what is proved of it and the walls over and under it.
    pub(crate) gap: i64,
    /// Wished joints and locked panels that this run refuses.
    pub(crate) refused: u32,
}

impl Chosen {
    /// Cents of the wall itself, without what joints above it pay for standing over none.
    pub(crate) fn own_cents(&self, rules: &PlantRules) -> i64 {
        self.solution.as_ref().map_or(0, |solution| {
            let above = self.beside.paid_above(solution.joints(), rules);
            solution.cost.whole_cents() - above
        })
    }

    /// The wishes that this layout keeps.
    pub(crate) fn honoured(&self, wished: &WallWishes) -> WallWishes {
        if self.is_without_wishes {
            wished.without_joints()
        } else {
            wished.clone()
        }
    }
}

/// Walls that follow one another by their right corners, left to right as seen from outside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Ring {
    pub(crate) walls: Vec<usize>,
    /// True when the last is followed by the first.
    pub(crate) is_closed: bool,
}

/// Compared field by field: walls that cannot be panelled, refused wishes, cost in rules and money and issued panels not kept, walls that
/// run through or butt at both their square corners, corners where the shorter wall runs through, those where the later one does, then what
/// decides among equals inside the walls.
pub(crate) type Score = (u32, u32, (i64, i64, i64), [u32; 3], Cost);

/// All rings and chains of the building, in the order of their first walls.
pub(crate) fn rings(building: &Building) -> Vec<Ring> {
    let mut seen = BTreeSet::new();
    let mut rings = Vec::new();
    for first in 0..building.walls.len() {
        if seen.contains(&first) {
            continue;
        }
        let mut walls = vec![first];
        let mut is_closed = false;
        while let Some(next) = walls.last().and_then(|last| follower(building, *last)) {
            is_closed = next == first;
            if is_closed {
                break;
            }
            walls.push(next);
        }
        let mut head = first;
        while !is_closed && let Some(before) = leader(building, head) {
            walls.insert(0, before);
            head = before;
        }
        seen.extend(walls.iter().copied());
        rings.push(Ring { walls, is_closed });
    }
    rings
}

/// The wall at the right corner, where both walls say so.
fn follower(building: &Building, wall: usize) -> Option<usize> {
    let next = building.walls.get(wall)?.right.with?;
    (building.walls.get(next)?.left.with == Some(wall)).then_some(next)
}

/// The wall at the left corner, where both walls say so.
fn leader(building: &Building, wall: usize) -> Option<usize> {
    let before = building.walls.get(wall)?.left.with?;
    (building.walls.get(before)?.right.with == Some(wall)).then_some(before)
}

/// The best run of each wall, in the building's order.
pub(crate) fn choose(asked: &Problem<'_>, rings: &[Ring]) -> Vec<Chosen> {
    let building = asked.building;
    let mut chosen: Vec<Option<Chosen>> = vec![None; building.walls.len()];
    // From the lowest storey up: what stands below is known then.
    let storey = |ring: &&Ring| {
        let walls = ring
            .walls
            .iter()
            .filter_map(|wall| building.walls.get(*wall));
        walls.map(|wall| wall.storey_index).min()
    };
    let mut rings: Vec<&Ring> = rings.iter().collect();
    rings.sort_by_key(storey);
    for ring in rings {
        let problem = RingProblem::new(asked, ring, |wall| {
            asked.stacks.neighbours(asked.rules, wall, &chosen)
        });
        for (wall, choice) in ring.walls.iter().zip(problem.best()) {
            chosen[*wall] = Some(choice);
        }
    }
    chosen.into_iter().flatten().collect()
}

/// What is laid out, and how.
#[derive(Clone, Copy)]
pub(crate) struct Problem<'a> {
    pub(crate) building: &'a Building,
    pub(crate) rules: &'a PlantRules,
    pub(crate) options: &'a LayoutOptions,
    pub(crate) stacks: &'a Stacks,
}

/// State of a corner: who runs through, the wall before it or the one after it.
const BEFORE: usize = 0;
const AFTER: usize = 1;
const STATES: [usize; 2] = [BEFORE, AFTER];

fn right_role(state: usize) -> Role {
    if state == BEFORE {
        Role::Through
    } else {
        Role::Butt
    }
}

fn left_role(state: usize) -> Role {
    if state == BEFORE {
        Role::Butt
    } else {
        Role::Through
    }
}

/// A ring with every run that its walls may have.
pub(crate) struct RingProblem<'a> {
    building: &'a Building,
    options: &'a LayoutOptions,
    pub(crate) ring: &'a Ring,
    /// By wall of the ring, state of its left corner, state of its right corner.
    pub(crate) variants: Vec<[[Chosen; 2]; 2]>,
}

impl<'a> RingProblem<'a> {
    /// Searches each wall in each way to end, beside what stands over and under it.
    pub(crate) fn new(
        asked: &Problem<'a>,
        ring: &'a Ring,
        beside: impl Fn(usize) -> Neighbours,
    ) -> Self {
        let (building, options) = (asked.building, asked.options);
        let walls = ring.walls.iter();
        let walls = walls.filter_map(|index| Some((*index, building.walls.get(*index)?)));
        let variants = walls.map(|(index, wall)| {
            let beside = beside(index);
            let asked_here = Asked {
                wall,
                wishes: options.walls.get(&wall.id),
                beside: &beside,
            };
            kept_variants(building, asked.rules, asked_here)
        });
        Self {
            building,
            options,
            ring,
            variants: variants.collect(),
        }
    }

    /// The best run of each wall.
    pub(crate) fn best(self) -> Vec<Chosen> {
        let states = self.least().map_or_else(Vec::new, |(_, states)| states);
        let state = |i: usize| states.get(i).copied().unwrap_or(BEFORE);
        let chosen = self.variants.into_iter().enumerate();
        chosen
            .map(|(i, [from_before, from_after])| {
                let side = if state(i) == BEFORE {
                    from_before
                } else {
                    from_after
                };
                let [before, after] = side;
                if state(i + 1) == BEFORE {
                    before
                } else {
                    after
                }
            })
            .collect()
    }

    /// The least score of the ring, and the state of each corner, the one before the first wall first.
    pub(crate) fn least(&self) -> Option<(Score, Vec<usize>)> {
        let mut best: Option<(Score, Vec<usize>)> = None;
        for first in STATES {
            // The state of the corner before the first wall; a closed ring must come back to it.
            let mut reached: [Option<(Score, Vec<usize>)>; 2] = [None, None];
            reached[first] = Some((Score::default(), vec![first]));
            for i in 0..self.variants.len() {
                let mut next: [Option<(Score, Vec<usize>)>; 2] = [None, None];
                for left in STATES {
                    let Some((sum, path)) = &reached[left] else {
                        continue;
                    };
                    for right in STATES {
                        let total = add(*sum, self.score(i, left, right));
                        if next[right].as_ref().is_none_or(|(least, _)| total < *least) {
                            let path = path.iter().copied().chain([right]);
                            next[right] = Some((total, path.collect()));
                        }
                    }
                }
                reached = next;
            }
            for (last, end) in reached.into_iter().enumerate() {
                let is_better = |(sum, _): &(Score, Vec<usize>)| {
                    best.as_ref().is_none_or(|(least, _)| sum < least)
                };
                if (last == first || !self.ring.is_closed)
                    && let Some(end) = end.filter(is_better)
                {
                    best = Some(end);
                }
            }
        }
        best
    }

    /// The score of one wall between corners in these states.
    pub(crate) fn score(&self, i: usize, left: usize, right: usize) -> Score {
        let walls = &self.ring.walls;
        let wall = &self.building.walls[walls[i]];
        let next = &self.building.walls[walls[(i + 1) % walls.len()]];
        let shorter = match right {
            BEFORE => wall.face_length < next.face_length,
            _ => next.face_length < wall.face_length,
        };
        let [left_is_square, right_is_square] = [&wall.left, &wall.right].map(is_square);
        let ends_alike = left_role(left) == right_role(right);
        let wishes = self.options.walls.get(&wall.id);
        let breaks = |wish: Option<CornerWish>, role: Role| {
            wish.is_some_and(|wish| (wish == CornerWish::RunsThrough) != (role == Role::Through))
        };
        let chosen = &self.variants[i][left][right];
        let refused = chosen.refused
            + u32::from(breaks(wishes.and_then(|w| w.left), left_role(left)))
            + u32::from(breaks(wishes.and_then(|w| w.right), right_role(right)));
        let (unpanelled, cost) = match &chosen.solution {
            Some(solution) => (0, solution.cost),
            None => (1, Cost::default()),
        };
        (
            unpanelled,
            refused,
            (
                cost.framed_by_need(),
                cost.whole_cents(),
                cost.issued_not_kept(),
            ),
            [
                left_is_square && right_is_square && ends_alike,
                right_is_square && shorter,
                right_is_square && right == AFTER,
            ]
            .map(u32::from),
            cost,
        )
    }
}

/// Both together.
pub(crate) fn add(a: Score, b: Score) -> Score {
    (
        a.0 + b.0,
        a.1 + b.1,
        (a.2.0 + b.2.0, a.2.1.saturating_add(b.2.1), a.2.2 + b.2.2),
        [0, 1, 2].map(|i| a.3[i] + b.3[i]),
        a.4 + b.4,
    )
}

/// A wall, and what is known and wished of it.
#[derive(Clone, Copy)]
struct Asked<'a> {
    wall: &'a PanelWall,
    wishes: Option<&'a WallWishes>,
    beside: &'a Neighbours,
}

/// As [`variants`]; where no run keeps all wishes together, without the wished joints, so that the wall is panelled at all. Where
/// that does not help either, the wishes are not what stops it.
fn kept_variants(building: &Building, rules: &PlantRules, asked: Asked<'_>) -> [[Chosen; 2]; 2] {
    let made = variants(building, rules, asked);
    let is_blocked = made.iter().flatten().all(|it| it.solution.is_none());
    let Some(fewer) = asked
        .wishes
        .filter(|_| is_blocked)
        .map(WallWishes::without_joints)
    else {
        return made;
    };
    let wishes = Some(&fewer);
    let mut without = variants(building, rules, Asked { wishes, ..asked });
    if without.iter().flatten().all(|it| it.solution.is_none()) {
        return made;
    }
    for chosen in without.iter_mut().flatten() {
        chosen.is_without_wishes = true;
    }
    without
}

/// The best run of a wall for each state of its two corners.
fn variants(building: &Building, rules: &PlantRules, asked: Asked<'_>) -> [[Chosen; 2]; 2] {
    let ends_of = |left: usize, right: usize| {
        let roles = (left_role(left), right_role(right));
        ends(building, rules, asked.wall, roles.0, roles.1)
    };
    let solved = |right: usize| {
        let pair = STATES.map(|left| ends_of(left, right));
        both_lefts(rules, asked, pair)
    };
    let [before_before, after_before] = solved(BEFORE);
    let [before_after, after_after] = if ends_of(BEFORE, AFTER) == ends_of(BEFORE, BEFORE) {
        [before_before.clone(), after_before.clone()]
    } else {
        solved(AFTER)
    };
    [[before_before, before_after], [after_before, after_after]]
}

/// Runs that end alike at the right: one search answers for both ways to begin, where their joints lie on the same grid.
fn both_lefts(rules: &PlantRules, asked: Asked<'_>, pair: [Ends; 2]) -> [Chosen; 2] {
    let made = solved_lefts(rules, asked, pair);
    let is_blocked = |it: &Chosen| it.solution.is_none() && it.ends.right.make_up > Length::ZERO;
    if !made.iter().any(is_blocked) {
        return made;
    }
    // No last panel can be left long: each is made to its place.
    let plain = solved_lefts(rules, asked, pair.map(Ends::without_make_up));
    let [[a, b], [c, d]] = [made, plain];
    [(a, c), (b, d)].map(|(made, plain)| if is_blocked(&made) { plain } else { made })
}

fn solved_lefts(rules: &PlantRules, asked: Asked<'_>, [first, second]: [Ends; 2]) -> [Chosen; 2] {
    let run = Run::new(asked.wall, &first, rules, asked.wishes, asked.beside);
    let leftmost = first.left.at.min(second.left.at);
    let search = Search::new(&run, first.left.at, leftmost);
    let chosen = |ends: Ends, search: &Result<Search<'_>, Blocked>, run: &Run<'_>| Chosen {
        ends,
        solution: search
            .as_ref()
            .ok()
            .and_then(|search| search.solve(&run.left)),
        is_without_wishes: false,
        beside: asked.beside.clone(),
        gap: 0,
        refused: u32::try_from(run.refused.len()).unwrap_or(u32::MAX),
    };
    let before = chosen(first, &search, &run);
    if second == first {
        return [before.clone(), before];
    }
    let other = Run::new(asked.wall, &second, rules, asked.wishes, asked.beside);
    let is_alike = other.fixed == run.fixed && other.pricer.share == run.pricer.share;
    let after = if is_alike && is_on_grid(&first.left, &second.left, rules) {
        chosen(second, &search, &other)
    } else {
        let own = Search::new(&other, second.left.at, second.left.at);
        chosen(second, &own, &other)
    };
    [before, after]
}

/// True when joints counted from one end lie where joints counted from the other do.
fn is_on_grid(a: &RunEnd, b: &RunEnd, rules: &PlantRules) -> bool {
    let apart = a.at - b.at;
    apart.floor_to(grid(rules)) == apart
}
