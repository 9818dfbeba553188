//! How many trucks the stacks themselves ask for: what is set later and smaller carries nothing, and takes deck of its own.
//!
//! ```text
//!   a panel lies on the deck, or on one that is set later and no smaller than the overhang allows; on each lies one at most:
//!   a matching. The panels that no matching lifts off the deck take so much of it, however they are stacked.
//! ```
//!
//! Areas are counted as in [`super::bound`]: as they are, and with sides above half the deck's width as all of it. Heights are not
//! looked at. A run may be cut at its early end without asking for more, for those panels lie on top; at its late end it may not, so all
//! runs are looked at. All in whole numbers.

use super::model::LoadedPanel;
use crate::rules::ShippingRules;
use crate::units::Length;
use std::cmp::Ordering;

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
        let mut decks = [false, true].map(|is_wide| Deck::new(shipping, is_wide));
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

/// A matching of panels with those they lie on, of the greatest area, kept so while earlier panels are added.
struct Deck {
    is_wide: bool,
    whole: i128,
    /// Area of panels that lie on the deck.
    taken: i128,
    /// By panel: the one it lies on, and the one that lies on it.
    lies_on: Vec<Option<usize>>,
    carries: Vec<Option<usize>>,
}

impl Deck {
    fn new(shipping: &ShippingRules, is_wide: bool) -> Self {
        Self {
            is_wide,
            whole: nm(shipping.deck_length) * nm(shipping.deck_width),
            taken: 0,
            lies_on: Vec::new(),
            carries: Vec::new(),
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
        self.lies_on.resize(panels.len(), None);
        self.carries.resize(panels.len(), None);
        let (is_wide, deck_width) = (self.is_wide, shipping.deck_width);
        let area = |index: usize| {
            let panel = panels.get(index);
            panel.map_or(0, |it| area(it, is_wide, deck_width))
        };
        self.taken += area(new);
        // Panels that could lie on the deck in the new one's stead, each with the one below it that lets it.
        let mut from: Vec<(usize, Option<usize>, usize)> = vec![(new, None, new)];
        let mut seen = vec![false; panels.len()];
        let (mut at, mut free) = (0, None);
        while let Some((upper, _, _)) = from.get(at).copied() {
            for below in upper + 1..end {
                if seen.get(below) != Some(&false) || !lies(panels, upper, below, shipping) {
                    continue;
                }
                if let Some(seen) = seen.get_mut(below) {
                    *seen = true;
                }
                match self.carries.get(below).copied().flatten() {
                    Some(other) => from.push((other, Some(at), below)),
                    None => {
                        free = Some((at, below));
                        break;
                    }
                }
            }
            if free.is_some() {
                break;
            }
            at += 1;
        }
        let Some((last, below)) = free.or_else(|| {
            let least = (0..from.len()).min_by_key(|it| from.get(*it).map(|it| area(it.0)));
            // The smallest of them goes onto the deck; the one that took its place below hands it on.
            let (_, before, below) = least.and_then(|it| from.get(it)).copied()?;
            Some((before?, below))
        }) else {
            return self.taken <= self.whole;
        };
        let dropped = self.carries.get(below).copied().flatten();
        self.taken -= area(new) - dropped.map_or(0, area);
        if let Some(dropped) = dropped
            && let Some(it) = self.lies_on.get_mut(dropped)
        {
            *it = None;
        }
        let (mut step, mut below) = (Some(last), below);
        while let Some((upper, before, freed)) = step.and_then(|it| from.get(it)).copied() {
            if let (Some(on), Some(carried)) =
                (self.lies_on.get_mut(upper), self.carries.get_mut(below))
            {
                *on = Some(below);
                *carried = Some(upper);
            }
            (step, below) = (before, freed);
        }
        self.taken <= self.whole
    }
}

fn area(panel: &LoadedPanel, is_wide: bool, deck_width: Length) -> i128 {
    let width = match (is_wide, (panel.width * 2).cmp(&deck_width)) {
        (true, Ordering::Greater) => panel.width.max(deck_width),
        (true, Ordering::Less) => Length::ZERO,
        _ => panel.width,
    };
    nm(panel.length) * nm(width)
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
