//! How many trucks any plan needs that keeps the order of erection: whole numbers, a proof.
//!
//! ```text
//!   erection 1 2 3 … n      a truck carries a run of the order; a run that is too heavy, or fuller than the room above the deck,
//!            └──┘└───┘      rides on no truck; parts of a run that rides do too, so the longest runs are the fewest
//! ```
//!
//! The room: at every height the panels are rectangles side by side on the deck. For a threshold, sides shorter than it count
//! nothing and sides longer than the deck less it count as the whole deck (a dual feasible function, Fekete and Schepers 2001); the
//! sum of such areas times thicknesses is at most that of the deck times the greatest height that thicknesses can add up to.

use super::model::LoadedPanel;
use crate::rules::ShippingRules;
use crate::units::Length;
use std::collections::BTreeSet;

/// Sums of thicknesses looked at before the clear height itself is taken.
const MOST_SUMS: usize = 20_000;

/// What no truck of these panels goes beyond.
pub(super) struct Room {
    weight: f64,
    /// For each pair of thresholds what each panel takes, and what there is.
    measures: Vec<(Vec<i128>, i128)>,
}

impl Room {
    /// The room for panels in the order of erection.
    pub(super) fn new(panels: &[LoadedPanel], shipping: &ShippingRules) -> Self {
        let (length, width) = (shipping.deck_length, shipping.deck_width);
        let height = reached_height(panels, shipping.clear_height());
        let whole = nm(length) * nm(width) * nm(height);
        let along = thresholds(panels.iter().map(|it| it.length), length);
        let across = thresholds(panels.iter().map(|it| it.width), width);
        let mut measures = Vec::new();
        for &x in &along {
            for &y in &across {
                let taken = panels.iter().map(|it| {
                    let area = counted(it.length, length, x) * counted(it.width, width, y);
                    area * nm(it.thickness)
                });
                measures.push((taken.collect(), whole));
            }
        }
        Self {
            weight: shipping.payload,
            measures,
        }
    }

    /// How many panels from one on may ride on a truck that carries so much besides: more never do. At least one.
    pub(super) fn most(&self, panels: &[LoadedPanel], from: usize, loose_lb: f64) -> usize {
        let rest = panels.iter().skip(from);
        let by_weight = longest(rest.map(|it| it.weight_lb), loose_lb, |it| {
            *it <= self.weight
        });
        let by_room = self.measures.iter().map(|(taken, whole)| {
            let rest = taken.iter().skip(from).copied();
            longest(rest, 0, |it| it <= whole)
        });
        by_room.fold(by_weight, usize::min).max(1)
    }

    /// The fewest trucks.
    pub(super) fn fewest(&self, panels: &[LoadedPanel], loose_lb: f64) -> usize {
        let (mut from, mut trucks) = (0, 0);
        while from < panels.len() {
            let loose = if trucks == 0 { loose_lb } else { 0.0 };
            from += self.most(panels, from, loose);
            trucks += 1;
        }
        trucks
    }
}

fn nm(length: Length) -> i128 {
    i128::from(length.to_nanometres())
}

/// How many fit before a sum breaks its limit.
fn longest<N: std::ops::AddAssign>(
    all: impl Iterator<Item = N>,
    mut sum: N,
    fits: impl Fn(&N) -> bool,
) -> usize {
    let mut count = 0;
    for one in all {
        sum += one;
        if !fits(&sum) {
            break;
        }
        count += 1;
    }
    count
}

/// Thresholds up to half the deck: none, a hair above half of it less one, and every side of a panel that is shorter.
fn thresholds(sides: impl Iterator<Item = Length>, whole: Length) -> BTreeSet<Length> {
    let mut found: BTreeSet<Length> = sides.filter(|it| *it * 2 <= whole).collect();
    // What is left beside a panel that is longer than half.
    found.insert(Length::ZERO);
    found.insert(Length::nanometres(whole.to_nanometres() / 2));
    found
}

/// What a side counts with a threshold of at most half the whole.
fn counted(side: Length, whole: Length, threshold: Length) -> i128 {
    if side > whole - threshold {
        nm(whole).max(nm(side))
    } else if side < threshold {
        0
    } else {
        nm(side)
    }
}

/// The greatest height within the limit that thicknesses add up to.
fn reached_height(panels: &[LoadedPanel], limit: Length) -> Length {
    let kinds: BTreeSet<Length> = panels.iter().map(|it| it.thickness).collect();
    let kinds: Vec<Length> = kinds.into_iter().filter(|it| *it > Length::ZERO).collect();
    let mut sums = BTreeSet::from([Length::ZERO]);
    let mut open = vec![Length::ZERO];
    while let Some(at) = open.pop() {
        for kind in &kinds {
            let sum = at + *kind;
            if sum <= limit && sums.insert(sum) {
                open.push(sum);
            }
        }
        if sums.len() > MOST_SUMS {
            return limit;
        }
    }
    sums.last().copied().unwrap_or(limit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::PlantRules;
    use crate::units::Erection;

    fn panels(n: u32, length: i64, width: i64, pounds: f64) -> Vec<LoadedPanel> {
        let panel = |erection: u32| LoadedPanel {
            mark: format!("W{erection}"),
            erection: Erection::from(erection),
            length: Length::inches(length),
            width: Length::inches(width),
            thickness: Length::fraction(6, 1, 2),
            weight_lb: pounds,
            ..LoadedPanel::default()
        };
        (1..=n).map(panel).collect()
    }

    fn fewest(panels: &[LoadedPanel], loose_lb: f64) -> usize {
        let shipping = PlantRules::default().dispatch.shipping;
        Room::new(panels, &shipping).fewest(panels, loose_lb)
    }

    #[test]
    fn weight_height_and_deck_each_bound_the_trucks() {
        // By hand: 48 ft of deck take two stacks of 24 ft, one abreast on 102 in; 98 in clear take 15 of 6 1/2 in: 30 to a truck.
        assert_eq!(fewest(&panels(30, 288, 96, 100.0), 0.0), 1);
        assert_eq!(fewest(&panels(31, 288, 96, 100.0), 0.0), 2);
        // 60 in wide goes once across as well; 25 ft long once along: 15 to a truck.
        assert_eq!(fewest(&panels(31, 288, 60, 100.0), 0.0), 2);
        assert_eq!(fewest(&panels(16, 300, 96, 100.0), 0.0), 2);
        // 48,000 lb: 48 of 1,000; loose goods count on the first truck.
        assert_eq!(fewest(&panels(48, 48, 48, 1_000.0), 0.0), 1);
        assert_eq!(fewest(&panels(48, 48, 48, 1_000.0), 1.0), 2);
        assert_eq!(fewest(&[], 0.0), 0);
    }
}
