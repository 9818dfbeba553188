//! How many trucks the stacks themselves ask for: what is set later and smaller carries nothing, and takes deck of its own.
//!
//! ```text
//!   a panel lies on the deck, or on one that is set later and no smaller than the overhang allows; on each lie so many at most as fit
//!   side by side: a matching. The panels that no matching lifts off the deck take so much of it, however they are stacked.
//! ```
//!
//! Looked at are all panels, then only those above a third and above half of the deck's width: on none of these lie more than two of the
//! first or one of the second. The last are counted a second time as wide as the deck, for no two of them stand side by side
//! (compare [`super::bound`]). Heights are not looked at. A run may be cut at its early end without asking for more, for those panels lie on top; at its late end it may not, so all
//! runs are looked at. All in whole numbers.

use super::model::LoadedPanel;
use crate::rules::ShippingRules;
use crate::units::Length;

/// Where more panels than this may ride on one truck, what they lie on is not looked at.
const MOST: usize = 1_000;

/// The fewest trucks for panels in the order of erection.
///
/// - `most`: how many panels from one on may ride together by all else that is known.
pub(super) fn fewest(
    panels: &[LoadedPanel],
    shipping: &ShippingRules,
    most: impl Fn(usize) -> usize,
) -> usize {
    let reach: Vec<usize> = (0..panels.len()).map(|from| from + most(from)).collect();
    if (0..).zip(&reach).any(|(from, end)| end - from > MOST) {
        return 0;
    }
    let mut best = vec![0_usize];
    for end in 1..=panels.len() {
        let mut decks = Measure::ALL.map(|it| Deck::new(panels, it, shipping));
        let mut fewest = usize::MAX;
        for from in (0..end).rev() {
            let mut rides = true;
            for deck in &mut decks {
                rides &= deck.add(panels, from, end, shipping);
            }
            let is_reached = reach.get(from).is_some_and(|it| *it >= end);
            // One panel rides in any case, if need be beyond the limits.
            if from + 1 < end && !rides {
                break;
            }
            if from + 1 == end || is_reached {
                fewest = fewest.min(best.get(from).copied().unwrap_or_default() + 1);
            } else if from > 0 {
                break;
            }
        }
        best.push(fewest);
    }
    best.last().copied().unwrap_or_default()
}

/// Which panels are looked at, and how wide they count.
#[derive(Clone, Copy, Debug)]
struct Measure {
    /// Those wider than this part of the deck; 0: all.
    part: i64,
    /// True when each counts as wide as the deck.
    is_whole: bool,
}

impl Measure {
    const ALL: [Self; 4] = [
        Self::above(0, false),
        Self::above(3, false),
        Self::above(2, false),
        Self::above(2, true),
    ];

    const fn above(part: i64, is_whole: bool) -> Self {
        Self { part, is_whole }
    }

    fn counts(self, panel: &LoadedPanel, deck_width: Length) -> bool {
        self.part == 0 || panel.width * self.part > deck_width
    }
}

/// A matching of panels with those they lie on, of the greatest area, kept so while earlier panels are added.
struct Deck {
    /// Area of each panel; none of those that are not looked at.
    areas: Vec<Option<i128>>,
    whole: i128,
    /// Area of panels that lie on the deck.
    taken: i128,
    /// By panel: those that lie on it, and how many fit.
    carries: Vec<Vec<usize>>,
    fit: Vec<usize>,
}

/// A panel that could lie on the deck in the new one's stead: the one before it on the way there, and what it lies on.
type Step = (usize, Option<usize>, usize);

impl Deck {
    fn new(panels: &[LoadedPanel], measure: Measure, shipping: &ShippingRules) -> Self {
        let deck = shipping.deck_width;
        let counted = |it: &&LoadedPanel| measure.counts(it, deck);
        let narrowest = panels.iter().filter(counted).map(|it| it.width).min();
        let narrowest = narrowest.unwrap_or(deck).max(Length::nanometres(1));
        let area = |it: &LoadedPanel| {
            let width = if measure.is_whole {
                it.width.max(deck)
            } else {
                it.width
            };
            nm(it.length) * nm(width)
        };
        let fit = |it: &LoadedPanel| {
            // What lies on it is a part of a stack, and no stack is wider than the deck.
            let room = (it.width + shipping.overhang).min(deck.max(it.width));
            usize::try_from(room.steps_of(narrowest)).map_or(1, |it| it.max(1))
        };
        Self {
            areas: panels
                .iter()
                .map(|it| counted(&it).then(|| area(it)))
                .collect(),
            whole: nm(shipping.deck_length) * nm(deck),
            taken: 0,
            carries: vec![Vec::new(); panels.len()],
            fit: panels.iter().map(fit).collect(),
        }
    }

    /// Adds the panel before all others of the run; false when the deck has no longer room.
    fn add(
        &mut self,
        panels: &[LoadedPanel],
        new: usize,
        end: usize,
        shipping: &ShippingRules,
    ) -> bool {
        let area_of = |it: usize| self.areas.get(it).copied().flatten();
        let Some(own) = area_of(new) else {
            return true;
        };
        self.taken += own;
        let mut steps: Vec<Step> = vec![(new, None, new)];
        let free = self.reach(&mut steps, panels, end, shipping);
        let (mut step, mut below) = match free {
            Some((last, below)) => {
                self.taken -= own;
                (Some(last), below)
            }
            None => {
                // The smallest of them goes onto the deck; the one before it takes its place.
                let least = steps.iter().copied().min_by_key(|it| area_of(it.0));
                let Some((dropped, before @ Some(_), below)) = least else {
                    return self.taken <= self.whole;
                };
                self.taken += area_of(dropped).unwrap_or_default() - own;
                self.take_off(below, dropped);
                (before, below)
            }
        };
        while let Some((upper, before, freed)) = step.and_then(|it| steps.get(it)).copied() {
            if before.is_some() {
                self.take_off(freed, upper);
            }
            if let Some(carried) = self.carries.get_mut(below) {
                carried.push(upper);
            }
            (step, below) = (before, freed);
        }
        self.taken <= self.whole
    }

    /// Looks for room below, changing places; the last step and what it then lies on, or none after all steps there are.
    fn reach(
        &self,
        steps: &mut Vec<Step>,
        panels: &[LoadedPanel],
        end: usize,
        shipping: &ShippingRules,
    ) -> Option<(usize, usize)> {
        let mut seen = vec![false; panels.len()];
        let mut at = 0;
        while let Some((upper, _, _)) = steps.get(at).copied() {
            for below in upper + 1..end {
                if seen.get(below) != Some(&false) || !lies(panels, upper, below, shipping) {
                    continue;
                }
                if let Some(seen) = seen.get_mut(below) {
                    *seen = true;
                }
                let carried = self.carries.get(below)?;
                if carried.len() < self.fit.get(below).copied().unwrap_or(1) {
                    return Some((at, below));
                }
                steps.extend(carried.iter().map(|other| (*other, Some(at), below)));
            }
            at += 1;
        }
        None
    }

    fn take_off(&mut self, below: usize, upper: usize) {
        if let Some(carried) = self.carries.get_mut(below) {
            carried.retain(|it| *it != upper);
        }
    }
}

/// True when a panel may lie right on one that is set later.
fn lies(panels: &[LoadedPanel], upper: usize, below: usize, shipping: &ShippingRules) -> bool {
    let pair = panels.get(upper).zip(panels.get(below));
    pair.is_some_and(|(upper, below)| {
        upper.length <= below.length + shipping.overhang
            && upper.width <= below.width + shipping.overhang
    })
}

fn nm(length: Length) -> i128 {
    i128::from(length.to_nanometres())
}
