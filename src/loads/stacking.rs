//! Stacks a run of panels on one truck, the last first: a beam search over where each panel goes.
//!
//! ```text
//!   panel ──┬── on the stack whose top it leaves least of        the states with the least deck and the least left of tops
//!           ├── on another stack that carries it                 go on, so many at a time
//!           ├── beside a stack, on the deck
//!           └── behind all, on the deck
//! ```
//!
//! A beam of one is the first fit; a wider one is tried where more trucks are used than the bound asks for. The work is counted by the
//! beam's width: the same panels give the same stacks.

use super::model::{LoadedPanel, Stack};
use crate::rules::ShippingRules;
use crate::units::Length;

/// Panels lying on each other, by their places in the run, from the bottom up.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Pile {
    /// Which bay it stands in.
    bay: usize,
    length: Length,
    width: Length,
    height: Length,
    panels: Vec<usize>,
}

/// Some panels of the run, stacked.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    /// Deck used up along the truck.
    deck: Length,
    /// Sum of what panels leave of the tops they lie on.
    left: Length,
    piles: Vec<Pile>,
    bays: usize,
}

impl State {
    /// Length and width of a bay.
    fn bay(&self, bay: usize) -> (Length, Length) {
        let own = self.piles.iter().filter(|pile| pile.bay == bay);
        own.fold((Length::ZERO, Length::ZERO), |(length, width), pile| {
            (length.max(pile.length), width + pile.width)
        })
    }

    /// Enters the deck used; `None` when the truck has not so much.
    fn on_deck(mut self, shipping: &ShippingRules) -> Option<Self> {
        self.deck = Length::ZERO;
        for bay in 0..self.bays {
            let (length, width) = self.bay(bay);
            if width > shipping.deck_width {
                return None;
            }
            self.deck += length;
        }
        (self.deck <= shipping.deck_length).then_some(self)
    }
}

/// Stacks a run of panels on one truck; `None` when no stacks are found for all.
///
/// - `beam`: how many states go on from one panel to the next.
pub(super) fn stacked(
    run: &[LoadedPanel],
    shipping: &ShippingRules,
    loose_lb: f64,
    beam: usize,
) -> Option<Vec<Stack>> {
    let weigh = |sum, panel: &LoadedPanel| sum + panel.weight_lb;
    let too_high = |panel: &LoadedPanel| panel.thickness > shipping.clear_height();
    if run.iter().fold(loose_lb, weigh) > shipping.payload || run.iter().any(too_high) {
        return None;
    }
    let mut states = vec![State::default()];
    for at in (0..run.len()).rev() {
        let mut next: Vec<State> = Vec::new();
        for state in &states {
            let mut ways = ways(state, run, at, shipping);
            // The first fit alone where only one state goes on; all ways otherwise.
            ways.truncate(if beam == 1 { 1 } else { usize::MAX });
            next.extend(ways);
        }
        next.sort_unstable();
        next.dedup();
        next.truncate(beam);
        states = next;
    }
    states.first().map(|state| placed(state, run, shipping))
}

/// Where a panel may go, the best first.
fn ways(state: &State, run: &[LoadedPanel], at: usize, shipping: &ShippingRules) -> Vec<State> {
    let Some(panel) = run.get(at) else {
        return Vec::new();
    };
    let holds = |below: usize| {
        let below = run.get(below);
        below.is_some_and(|below| {
            panel.length <= below.length + shipping.overhang
                && panel.width <= below.width + shipping.overhang
        })
    };
    let apart = |a: Length, b: Length| (a - b).max(b - a);
    let mut carried: Vec<(Length, usize, State)> = Vec::new();
    for (place, pile) in state.piles.iter().enumerate() {
        let (Some(&first), Some(&last)) = (pile.panels.first(), pile.panels.last()) else {
            continue;
        };
        let height = pile.height + panel.thickness;
        if !holds(first) || !holds(last) || height > shipping.clear_height() {
            continue;
        }
        let left = run.get(last).map_or(Length::ZERO, |top| {
            apart(top.length, panel.length) + apart(top.width, panel.width)
        });
        let mut more = state.clone();
        more.left += left;
        if let Some(pile) = more.piles.get_mut(place) {
            pile.height = height;
            pile.length = pile.length.max(panel.length);
            pile.width = pile.width.max(panel.width);
            pile.panels.push(at);
        }
        carried.extend(more.on_deck(shipping).map(|more| (left, place, more)));
    }
    carried.sort_by_key(|(left, place, _)| (*left, *place));
    let beside = (0..state.bays).filter(|bay| {
        let (length, width) = state.bay(*bay);
        panel.length <= length && width + panel.width <= shipping.deck_width
    });
    let new = beside.chain([state.bays]).filter_map(|bay| {
        let mut more = state.clone();
        more.bays = more.bays.max(bay + 1);
        more.piles.push(Pile {
            bay,
            length: panel.length,
            width: panel.width,
            height: panel.thickness,
            panels: vec![at],
        });
        more.on_deck(shipping)
    });
    let new: Vec<State> = new.collect();
    carried.into_iter().map(|it| it.2).chain(new).collect()
}

/// The stacks from the headboard and in the middle of the deck, bay by bay.
fn placed(state: &State, run: &[LoadedPanel], shipping: &ShippingRules) -> Vec<Stack> {
    let mut corners = Vec::new();
    let mut x = Length::ZERO;
    for bay in 0..state.bays {
        let (length, width) = state.bay(bay);
        corners.push((x, (shipping.deck_width - width).half()));
        x += length;
    }
    let stacks = state.piles.iter().map(|pile| {
        let (x, y) = corners.get(pile.bay).copied().unwrap_or_default();
        if let Some(corner) = corners.get_mut(pile.bay) {
            corner.1 += pile.width;
        }
        let panels = pile.panels.iter().filter_map(|at| run.get(*at));
        Stack {
            x,
            y,
            length: pile.length,
            width: pile.width,
            height: pile.height,
            panels: panels.cloned().collect(),
            ..Stack::default()
        }
    });
    stacks.collect()
}
