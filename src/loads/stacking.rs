//! Stacks a run of panels on one truck, the last first.
//!
//! ```text
//!   ┌──────┬──────┬────────┐   the deck from above: a bay takes all of its width, lanes lie beside each other in a bay, and in a lane
//!   │  A   │  B   │        │   stacks stand one behind the other
//!   ├──────┴──────┤   D    │
//!   │      C      │        │   a panel goes on the stack whose top it leaves least of, else where it takes the least deck
//!   └─────────────┴────────┘   or beside what lies on top, where both lie on one
//! ```
//!
//! Where going by that alone does not do, a search tries every place for each panel and goes on with those places from which the rest
//! gets furthest by it. Its work is counted: the same panels give the same stacks.

use super::level::level;
use super::model::{LoadedPanel, Stack};
use super::pile::Pile;
use crate::rules::ShippingRules;
use crate::units::Length;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// Places that the search goes on with from one panel to the next.
const BEAM: usize = 16;

/// Stacks one behind the other.
#[derive(Clone, Copy, Debug, Default)]
struct Lane {
    bay: usize,
    length: Length,
    width: Length,
}

/// Some panels of the run, stacked.
#[derive(Clone, Debug, Default)]
struct State {
    /// True when panels may lie side by side on one.
    may_fork: bool,
    piles: Vec<Pile>,
    lanes: Vec<Lane>,
    bays: usize,
    /// The pile of each panel and its column there, the last of the run first.
    carried: Vec<(usize, usize)>,
}

/// One place for the next panel.
#[derive(Clone, Debug)]
struct Way {
    /// The pile it lies on, or the next one.
    pile: usize,
    /// Its column; the first where the pile does not fork.
    column: usize,
    /// As it then is.
    becomes: Pile,
    /// The lane as it then is; the pile says which.
    lane: Lane,
    /// What it leaves of the top it lies on; on the deck what of that is then taken, and how much wider lanes grow.
    cost: [Length; 2],
}

impl State {
    /// Length of deck taken with one lane so, which may be a new one; `None` where the deck has not so much.
    fn deck(&self, changed: usize, lane: Lane, shipping: &ShippingRules) -> Option<Length> {
        let others = self.lanes.iter().enumerate();
        let others = others.filter(|(index, _)| *index != changed);
        let lanes: Vec<Lane> = others.map(|(_, it)| *it).chain([lane]).collect();
        let mut deck = Length::ZERO;
        for bay in 0..self.bays.max(lane.bay + 1) {
            let own = lanes.iter().filter(|it| it.bay == bay);
            let (length, width) = own.fold((Length::ZERO, Length::ZERO), |(length, width), it| {
                (length.max(it.length), width + it.width)
            });
            if width > shipping.deck_width {
                return None;
            }
            deck += length;
        }
        (deck <= shipping.deck_length).then_some(deck)
    }

    /// Where a panel may go, the best first: on a stack before on the deck.
    fn ways(&self, run: &[LoadedPanel], at: usize, shipping: &ShippingRules) -> Vec<Way> {
        let Some(panel) = run.get(at) else {
            return Vec::new();
        };
        let mut on_stacks = Vec::new();
        for (index, pile) in self.piles.iter().enumerate() {
            for (column, becomes, left) in pile.places(run, (at, panel), shipping, self.may_fork) {
                let Some(mut lane) = self.lanes.get(pile.lane).copied() else {
                    continue;
                };
                lane.length += becomes.length - pile.length;
                lane.width = lane.width.max(becomes.width);
                if self.deck(pile.lane, lane, shipping).is_some() {
                    on_stacks.push(Way {
                        pile: index,
                        column,
                        becomes,
                        lane,
                        cost: [left, Length::ZERO],
                    });
                }
            }
        }
        on_stacks.sort_by_key(|way| way.cost);
        let behind = self.lanes.iter().copied().enumerate();
        let empty = |bay| Lane {
            bay,
            ..Lane::default()
        };
        // Beside the lanes of each bay, then behind them all.
        let beside = (0..=self.bays).map(|bay| (self.lanes.len(), empty(bay)));
        let on_deck = behind.chain(beside).filter_map(|(place, mut lane)| {
            let was = lane.width;
            lane.length += panel.length;
            lane.width = was.max(panel.width);
            let deck = self.deck(place, lane, shipping)?;
            Some(Way {
                pile: self.piles.len(),
                column: 0,
                becomes: Pile::of(panel, at, place),
                lane,
                cost: [deck, lane.width - was],
            })
        });
        let mut on_deck: Vec<Way> = on_deck.collect();
        on_deck.sort_by_key(|way| way.cost);
        on_stacks.extend(on_deck);
        on_stacks
    }

    fn go(&mut self, way: &Way) {
        let at = way.becomes.lane;
        match self.lanes.get_mut(at) {
            Some(lane) => *lane = way.lane,
            None => self.lanes.push(way.lane),
        }
        self.bays = self.bays.max(way.lane.bay + 1);
        match self.piles.get_mut(way.pile) {
            Some(pile) => *pile = way.becomes.clone(),
            None => self.piles.push(way.becomes.clone()),
        }
        self.carried.push((way.pile, way.column));
    }

    /// Those stacks that do not fork, levelled.
    fn levelled(mut self, run: &[LoadedPanel], shipping: &ShippingRules) -> Self {
        let plain: Vec<usize> = (0..self.piles.len())
            .filter(|index| self.piles.get(*index).is_some_and(|it| !it.forks()))
            .collect();
        let panel_of = |place: usize| run.len() - 1 - place;
        let mut stacks: Vec<Vec<usize>> = Vec::new();
        for pile in &plain {
            let places = self.carried.iter().zip(0..);
            let own = places.filter(|(it, _)| it.0 == *pile);
            stacks.push(own.map(|(_, place)| panel_of(place)).collect());
        }
        level(&mut stacks, run, shipping);
        for (pile, own) in plain.into_iter().zip(&stacks) {
            for at in own {
                if let Some(carried) = self.carried.get_mut(panel_of(*at)) {
                    *carried = (pile, 0);
                }
            }
            if let Some(it) = self.piles.get_mut(pile) {
                *it = Pile::of_all(run, own, it.lane);
            }
        }
        self
    }

    /// The rest of the run, each panel at its best place, as far as that goes.
    fn finished(mut self, run: &[LoadedPanel], shipping: &ShippingRules) -> Self {
        while let Some(at) = run.len().checked_sub(self.carried.len() + 1) {
            let Some(way) = self.ways(run, at, shipping).into_iter().next() else {
                break;
            };
            self.go(&way);
        }
        self
    }
}

/// Stacks a run of panels on one truck; `None` when no stacks are found for all. Stacks that do not fork are tried first: they are
/// strapped and unloaded more easily.
///
/// - `effort`: how many ways to finish the searches may look at; they take what they use. None left: each panel at its best place.
pub(super) fn stacked(
    run: &[LoadedPanel],
    shipping: &ShippingRules,
    loose_lb: f64,
    effort: &mut usize,
) -> Option<Vec<Stack>> {
    let weigh = |sum, panel: &LoadedPanel| sum + panel.weight_lb;
    let too_high = |panel: &LoadedPanel| panel.thickness > shipping.clear_height();
    if run.iter().fold(loose_lb, weigh) > shipping.payload || run.iter().any(too_high) {
        return None;
    }
    let empty = [false, true].map(|may_fork| State {
        may_fork,
        ..State::default()
    });
    let mut first = empty.iter().map(|it| it.clone().finished(run, shipping));
    let found = first.find(|it| it.carried.len() == run.len());
    let found = found.or_else(|| {
        let mut empty = empty.iter();
        empty.find_map(|it| searched(it, run, shipping, effort))
    })?;
    Some(placed(&found.levelled(run, shipping), run, shipping))
}

/// The search from one state on.
fn searched(
    empty: &State,
    run: &[LoadedPanel],
    shipping: &ShippingRules,
    effort: &mut usize,
) -> Option<State> {
    let mut states = vec![empty.clone()];
    for at in (0..run.len()).rev() {
        let mut next = Vec::new();
        let mut seen = BTreeSet::new();
        for state in &states {
            for way in state.ways(run, at, shipping) {
                let mut more = state.clone();
                more.go(&way);
                let mut key = more.piles.clone();
                key.sort_unstable();
                if !seen.insert(key) {
                    continue;
                }
                *effort = effort.checked_sub(1)?;
                let finished = more.clone().finished(run, shipping);
                let reached = finished.carried.len();
                if reached == run.len() {
                    return Some(finished);
                }
                let deck = more.deck(way.becomes.lane, way.lane, shipping);
                next.push(((Reverse(reached), deck), more));
            }
        }
        next.sort_by_key(|it| it.0);
        next.truncate(BEAM);
        states = next.into_iter().map(|(_, state)| state).collect();
    }
    None
}

/// The stacks from the headboard, bay by bay, each bay in the middle of the deck and each stack in the middle of its lane.
fn placed(state: &State, run: &[LoadedPanel], shipping: &ShippingRules) -> Vec<Stack> {
    let mut corners = vec![(Length::ZERO, Length::ZERO); state.lanes.len()];
    let mut x = Length::ZERO;
    for bay in 0..state.bays {
        let own = || state.lanes.iter().zip(0..).filter(|it| it.0.bay == bay);
        let width: Length = own().map(|(lane, _)| lane.width).sum();
        let mut y = (shipping.deck_width - width).half();
        for (lane, index) in own() {
            if let Some(corner) = corners.get_mut::<usize>(index) {
                *corner = (x, y);
            }
            y += lane.width;
        }
        x += own().map(|(lane, _)| lane.length).max().unwrap_or_default();
    }
    let mut stacks: Vec<Stack> = Vec::new();
    for (index, pile) in state.piles.iter().enumerate() {
        let (x, mut y) = corners.get(pile.lane).copied().unwrap_or_default();
        let lane = state.lanes.get(pile.lane).copied().unwrap_or_default();
        y += (lane.width - pile.width).half();
        if let Some(corner) = corners.get_mut(pile.lane) {
            corner.0 += pile.length;
        }
        let places = state.carried.iter().zip((0..run.len()).rev());
        let own = places.filter(|(place, _)| place.0 == index);
        let own = own.map(|(place, panel)| (place.1, panel));
        stacks.push(Stack {
            x,
            y,
            ..pile.stack(run, own)
        });
    }
    stacks.sort_by_key(|stack| (stack.x, stack.y));
    stacks
}
