//! Finds a free place for every label: candidate places scored against what stands on the sheet already.
//!
//! ```text
//!   requests, each with candidates ──► cost against fixed obstacles (once) ──► greedy in order ──► rounds of second thoughts
//!                                                                                             ──► exchanges between two
//! ```
//!
//! Method: every label brings candidate places with a cost of their own; a place on something hard (our text, our heavy
//! lines) is refused, one on something soft (the architect's lines) costs. Labels choose in order, then each chooses again
//! with the others standing, until nothing moves or the rounds are used up. At last a label takes a place that one other holds
//! where that one can move and both together stand the better for it: within counted work, no exchange of two saves anything
//! that is worth it. Work is never timed. Cost: the number of candidates times obstacles near them. A label with no free candidate gets none: the caller says so in a table.
//! Refused: exact search over all labels together, since sheets hold hundreds of labels of which nearly all are free.

mod exchange;

use super::LabelBox;
use crate::documents::paper::Area;
use rstar::{AABB, Envelope, RTree, RTreeObject, SelectionFunction};

/// Rounds of second thoughts. More change little: labels move only where a neighbour has moved away.
const ROUNDS: usize = 4;

/// What a label must not, or had better not, stand on.
#[derive(Clone, Copy, Debug)]
struct Obstacle {
    area: LabelBox,
    extent: Area,
    kind: Kind,
}

impl Obstacle {
    fn new(area: LabelBox, kind: Kind) -> Self {
        let extent = area.extent();
        Self { area, extent, kind }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    /// Text, or a label placed before: neither labels nor leaders may touch it.
    Text,
    /// A line: labels may not touch it, a leader may cross it at a cost.
    Line,
    /// Costs a label that stands on it; leaders do not mind.
    Soft(f64),
    /// Words that are not ours: cost a label that stands on them, and a leader across them.
    Words(f64),
}

/// What a leader pays for each line it crosses: as much as standing so many mm farther away.
const CROSSING: f64 = 2.0;

impl RTreeObject for Obstacle {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        envelope(&self.extent)
    }
}

fn envelope(extent: &Area) -> AABB<[f64; 2]> {
    AABB::from_corners([extent.x0, extent.y0], [extent.x1, extent.y1])
}

/// Finds the obstacles that a box overlaps. The box round a long slanting leader holds half the sheet, so that branches of the tree
/// are held against the leader itself.
struct Under<'a> {
    area: &'a LabelBox,
    extent: AABB<[f64; 2]>,
    is_upright: bool,
}

impl<'a> Under<'a> {
    fn new(area: &'a LabelBox) -> Self {
        Self {
            area,
            extent: envelope(&area.extent()),
            is_upright: area.upright_half().is_some(),
        }
    }
}

impl SelectionFunction<Obstacle> for Under<'_> {
    fn should_unpack_parent(&self, branch: &AABB<[f64; 2]>) -> bool {
        self.extent.intersects(branch) && (self.is_upright || self.area.may_overlap(branch))
    }

    fn should_unpack_leaf(&self, leaf: &Obstacle) -> bool {
        self.extent.intersects(&leaf.envelope()) && leaf.area.overlaps(self.area)
    }
}

/// Everything that stands on the sheet before labels are placed.
#[derive(Clone, Debug, Default)]
pub(crate) struct Obstacles {
    items: Vec<Obstacle>,
    window: Option<Area>,
}

impl Obstacles {
    /// Nothing stands anywhere; labels must stay inside a window.
    pub(crate) const fn inside(window: Area) -> Self {
        Self {
            items: Vec::new(),
            window: Some(window),
        }
    }

    /// The same things with another window.
    pub(crate) fn within(self, window: Area) -> Self {
        Self {
            window: Some(window),
            ..self
        }
    }

    /// A text or the like: no label and no leader may touch it.
    pub(crate) fn add_text(&mut self, area: LabelBox) {
        self.items.push(Obstacle::new(area, Kind::Text));
    }

    /// A line: no label may touch it, leaders cross it unwillingly.
    pub(crate) fn add_line(&mut self, area: LabelBox) {
        self.items.push(Obstacle::new(area, Kind::Line));
    }

    /// A label that was placed: its boxes are texts, its leader a line.
    pub(crate) fn add_label(&mut self, label: &impl Standing) {
        for area in label.boxes() {
            self.add_text(*area);
        }
        for line in label.lines() {
            self.add_line(*line);
        }
    }

    /// Takes over what stands in another list.
    pub(crate) fn join(&mut self, other: &Self) {
        self.items.extend_from_slice(&other.items);
    }

    /// Something a label had better not touch, at a cost.
    pub(crate) fn add_soft(&mut self, area: LabelBox, cost: f64) {
        self.items.push(Obstacle::new(area, Kind::Soft(cost)));
    }

    /// Words that neither a label nor its leader had better touch, at a cost.
    pub(crate) fn add_words(&mut self, area: LabelBox, cost: f64) {
        self.items.push(Obstacle::new(area, Kind::Words(cost)));
    }
}

/// Whatever holds a place that a label might take.
pub(crate) trait Standing {
    /// Text, balloon and the like: may touch nothing hard and no other label.
    fn boxes(&self) -> &[LabelBox];
    /// Leaders, dimension lines: they may cross lines, but neither text nor another label.
    fn lines(&self) -> &[LabelBox];
    /// Cost of the place itself: distance, habit.
    fn cost(&self) -> f64;
}

/// A place a label might take: all its boxes, and what it costs to be there.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Candidate {
    /// Text, balloon and the like: may touch nothing hard and no other label.
    pub(crate) boxes: Vec<LabelBox>,
    /// Leaders, dimension lines: they may cross lines, but neither text nor another label.
    pub(crate) lines: Vec<LabelBox>,
    /// Cost of the place itself: distance, habit.
    pub(crate) cost: f64,
}

impl Standing for Candidate {
    fn boxes(&self) -> &[LabelBox] {
        &self.boxes
    }

    fn lines(&self) -> &[LabelBox] {
        &self.lines
    }

    fn cost(&self) -> f64 {
        self.cost
    }
}

/// Where the labels stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Placements {
    /// For each request the candidate chosen; `None` where none was free.
    pub(crate) chosen: Vec<Option<usize>>,
    /// How many candidates were weighed, over all rounds.
    pub(crate) weighed: usize,
}

/// How often labels that found no place are tried again before the others.
const RETRIES: usize = 6;

/// Chooses a candidate for each request. See the file's head for the method. Where some find none, they are placed before
/// the others and the rest again after them, as often as [`RETRIES`]; what leaves the fewest without a place is taken, the
/// first such.
///
/// - `requests`: the more important first; a label keeps its place against those after it.
pub(crate) fn place<C: AsRef<[K]>, K: Standing>(
    requests: &[C],
    obstacles: &Obstacles,
) -> Placements {
    let tree = RTree::bulk_load(obstacles.items.clone());
    let requests: Vec<&[K]> = requests.iter().map(AsRef::as_ref).collect();
    let mut search = Search {
        own: requests
            .iter()
            .map(|it| vec![Weighed::NotYet; it.len()])
            .collect(),
        orders: requests.iter().map(|it| Order::of(it)).collect(),
        requests,
        tree,
        window: obstacles.window,
        weighed: 0,
    };
    let mut turns: Vec<usize> = (0..search.requests.len()).collect();
    let mut best = search.run(&turns);
    for _ in 0..RETRIES {
        let is_left = |index: &usize| best[*index].is_none();
        // What has no candidate at all never finds a place.
        let hopeful = |index: &usize| is_left(index) && !search.requests[*index].is_empty();
        if !turns.iter().any(hopeful) {
            break;
        }
        let (mut first, rest): (Vec<usize>, Vec<usize>) = turns.iter().partition(|it| is_left(it));
        first.extend(rest);
        if first == turns {
            break;
        }
        turns = first;
        let next = search.run(&turns);
        let left = |chosen: &[Option<usize>]| chosen.iter().filter(|it| it.is_none()).count();
        if left(&next) < left(&best) {
            best = next;
        }
    }
    search.exchange(&turns, &mut best);
    Placements {
        chosen: best,
        weighed: search.weighed,
    }
}

/// Requests with what is known of their candidates.
struct Search<'a, K> {
    requests: Vec<&'a [K]>,
    /// For each request its candidates, the cheapest first.
    orders: Vec<Order>,
    own: Vec<Vec<Weighed>>,
    tree: RTree<Obstacle>,
    window: Option<Area>,
    weighed: usize,
}

impl<K: Standing> Search<'_, K> {
    /// Places the requests in turn, round after round until nothing moves.
    fn run(&mut self, turns: &[usize]) -> Vec<Option<usize>> {
        let mut chosen: Vec<Option<usize>> = vec![None; self.requests.len()];
        let mut standing: Vec<Option<Area>> = vec![None; self.requests.len()];
        for round in 0..=ROUNDS {
            let mut moved = false;
            for index in turns.iter().copied() {
                let next = self.best_for(index, &chosen, &standing);
                moved |= next != chosen[index];
                chosen[index] = next;
                standing[index] = next.and_then(|it| around(&self.requests[index][it]));
            }
            if !moved && round > 0 {
                break;
            }
        }
        chosen
    }

    /// The cheapest candidate of a request that is clear of where the others stand.
    ///
    /// - `standing`: the box round each that stands, so that those far away are passed over quickly.
    fn best_for(
        &mut self,
        index: usize,
        chosen: &[Option<usize>],
        standing: &[Option<Area>],
    ) -> Option<usize> {
        let candidates = self.requests[index];
        let mut best: Option<(f64, usize)> = None;
        let mut rank = 0;
        while let Some(number) = self.orders[index].at(rank) {
            rank += 1;
            let candidate = &candidates[number];
            if best.is_some_and(|(least, _)| candidate.cost() >= least) {
                break;
            }
            let Some(cost) = self.weigh(index, number) else {
                continue;
            };
            if best.is_some_and(|(least, _)| cost >= least) {
                continue;
            }
            let free = (self.blockers((index, number), chosen, standing).next()).is_none();
            if free {
                best = Some((cost, number));
            }
        }
        best.map(|(_, number)| number)
    }

    /// What a candidate costs on the sheet; `None` when it is refused.
    fn weigh(&mut self, index: usize, number: usize) -> Option<f64> {
        self.weighed += 1;
        let known = &mut self.own[index][number];
        if *known == Weighed::NotYet {
            let candidate = &self.requests[index][number];
            *known = cost_on_sheet(candidate, &self.tree, self.window.as_ref())
                .map_or(Weighed::Refused, Weighed::Costs);
        }
        match *known {
            Weighed::Costs(cost) => Some(cost),
            Weighed::NotYet | Weighed::Refused => None,
        }
    }

    /// The labels that stand where a candidate of another would.
    fn blockers<'b>(
        &'b self,
        (index, number): (usize, usize),
        chosen: &'b [Option<usize>],
        standing: &'b [Option<Area>],
    ) -> impl Iterator<Item = usize> + 'b {
        let candidate = &self.requests[index][number];
        let own = around(candidate);
        let is_near = move |other: usize| {
            standing[other].is_some_and(|it| own.is_some_and(|own| own.meets(&it)))
        };
        (0..chosen.len()).filter(move |other| {
            *other != index
                && is_near(*other)
                && chosen[*other]
                    .and_then(|place| self.requests[*other].get(place))
                    .is_some_and(|it| !are_apart(candidate, it))
        })
    }
}

/// What is known of a candidate's cost against the fixed things.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Weighed {
    NotYet,
    Refused,
    Costs(f64),
}

/// The candidates from the cheapest by itself: the search stops where none left can be better than what it has. Mostly one of the
/// first is taken, so that the rest is sorted only as far as it is looked at.
struct Order {
    costs: Vec<(f64, usize)>,
    /// So many of them, the cheapest, are sorted.
    sorted: usize,
}

impl Order {
    /// So many are sorted at first, then as many times more.
    const FIRST: usize = 32;
    const MORE: usize = 4;

    fn of(candidates: &[impl Standing]) -> Self {
        let costs = candidates.iter().enumerate();
        Self {
            costs: costs.map(|(index, it)| (it.cost(), index)).collect(),
            sorted: 0,
        }
    }

    /// The candidate at a rank; equal costs keep their order.
    fn at(&mut self, rank: usize) -> Option<usize> {
        if rank >= self.sorted && rank < self.costs.len() {
            let by_cost =
                |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
            let more = (self.sorted * Self::MORE).max(Self::FIRST);
            let rest = self.costs.get_mut(self.sorted..).unwrap_or_default();
            if more < rest.len() {
                rest.select_nth_unstable_by(more, by_cost);
            }
            let end = more.min(rest.len());
            rest[..end].sort_unstable_by(by_cost);
            self.sorted += end;
        }
        self.costs.get(rank).map(|it| it.1)
    }
}

/// What it costs to stand there, from the fixed things alone; `None` when it is refused.
fn cost_on_sheet(
    candidate: &impl Standing,
    tree: &RTree<Obstacle>,
    window: Option<&Area>,
) -> Option<f64> {
    let mut cost = candidate.cost();
    for area in candidate.boxes() {
        let extent = area.extent();
        if let Some(window) = window
            && !window.holds(&extent)
        {
            return None;
        }
        for obstacle in tree.locate_with_selection_function(Under::new(area)) {
            match obstacle.kind {
                Kind::Text | Kind::Line => return None,
                Kind::Soft(extra) | Kind::Words(extra) => cost += extra,
            }
        }
    }
    for leader in candidate.lines() {
        for obstacle in tree.locate_with_selection_function(Under::new(leader)) {
            match obstacle.kind {
                Kind::Text => return None,
                Kind::Line => cost += CROSSING,
                Kind::Words(extra) => cost += extra,
                Kind::Soft(_) => {}
            }
        }
    }
    Some(cost)
}

/// The box round all that a candidate draws.
fn around(candidate: &impl Standing) -> Option<Area> {
    let all = candidate.boxes().iter().chain(candidate.lines());
    all.map(LabelBox::extent).reduce(|a, b| {
        let [low, _, high, _] = b.corners();
        a.with(low).with(high)
    })
}

/// True when no box of the one touches the other; their lines may cross.
fn are_apart<K: Standing>(a: &K, b: &K) -> bool {
    let touch = |x: &LabelBox, y: &LabelBox| x.extent().meets(&y.extent()) && x.overlaps(y);
    let meet = |first: &[LabelBox], second: &[LabelBox]| {
        first.iter().any(|x| second.iter().any(|y| touch(x, y)))
    };
    !meet(a.boxes(), b.boxes()) && !meet(a.boxes(), b.lines()) && !meet(a.lines(), b.boxes())
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Coord;

    /// Candidates at whole millimetres to the right, one square millimetre each, cheaper the nearer.
    fn row(n_places: u32) -> Vec<Candidate> {
        (0..n_places)
            .map(f64::from)
            .map(|x| Candidate {
                boxes: vec![LabelBox::upright(&Area::new(x, 0.0, x + 0.9, 0.9))],
                lines: Vec::new(),
                cost: x,
            })
            .collect()
    }

    #[track_caller]
    fn check(requests: &[Vec<Candidate>], obstacles: &Obstacles, expected: &[Option<usize>]) {
        assert_eq!(place(requests, obstacles).chosen, expected);
    }

    #[test]
    fn labels_stand_side_by_side_and_the_first_has_the_best_place() {
        check(
            &[row(3), row(3), row(3)],
            &Obstacles::default(),
            &[Some(0), Some(1), Some(2)],
        );
    }

    #[test]
    fn candidates_come_from_the_cheapest_though_not_all_are_sorted() {
        let costs = (0..1000_u32).map(|i| f64::from(i * 7919 % 1000 / 3));
        let many: Vec<Candidate> = costs
            .map(|cost| Candidate {
                boxes: Vec::new(),
                lines: Vec::new(),
                cost,
            })
            .collect();
        let mut sorted: Vec<usize> = (0..many.len()).collect();
        sorted.sort_by(|a, b| many[*a].cost.total_cmp(&many[*b].cost));
        let mut order = Order::of(&many);
        assert_eq!(order.at(0), Some(sorted[0]));
        assert!(order.sorted < 100);
        let found: Vec<usize> = (0..).map_while(|rank| order.at(rank)).collect();
        assert_eq!(found, sorted);
    }

    #[test]
    fn what_lies_under_a_box_is_found_at_any_angle() {
        let obstacles: Vec<Obstacle> = (0..900_u32)
            .map(|i| {
                let at = |n: u32| f64::from(n) * 3.1;
                let (centre, turn) = (
                    Coord {
                        x: at(i % 30),
                        y: at(i / 30),
                    },
                    f64::from(i % 7),
                );
                let axis = Coord {
                    x: turn.cos(),
                    y: turn.sin(),
                };
                Obstacle::new(LabelBox::about(centre, 2.0, 0.4, axis), Kind::Line)
            })
            .collect();
        let tree = RTree::bulk_load(obstacles.clone());
        for turn in 0..12_u32 {
            let (y, x) = (f64::from(turn) * 0.53).sin_cos();
            let middle = Coord { x: 45.0, y: 46.1 };
            let leader = LabelBox::about(middle, 80.0, 0.3, Coord { x, y });
            let found = tree
                .locate_with_selection_function(Under::new(&leader))
                .count();
            let all = obstacles.iter().filter(|it| it.area.overlaps(&leader));
            assert_eq!(found, all.count(), "{turn}");
            assert!(found > 0, "{turn}");
        }
    }

    #[test]
    fn a_label_without_a_free_place_gets_none() {
        check(&[row(1), row(1)], &Obstacles::default(), &[Some(0), None]);
    }

    #[test]
    fn what_found_no_place_is_placed_before_the_others() {
        // The first would take the only place of the second.
        check(
            &[row(2), row(1)],
            &Obstacles::default(),
            &[Some(1), Some(0)],
        );
    }

    #[test]
    fn hard_things_are_avoided_and_soft_ones_weighed() {
        let mut obstacles = Obstacles::inside(Area::new(0.0, 0.0, 10.0, 10.0));
        obstacles.add_text(LabelBox::upright(&Area::new(0.5, 0.5, 0.6, 0.6)));
        obstacles.add_soft(LabelBox::upright(&Area::new(1.5, 0.5, 1.6, 0.6)), 5.0);
        check(&[row(4)], &obstacles, &[Some(2)]);
    }
}
