//! The fewest trucks that carry the panels in their order: worked out apart from what `loads` does.

use crate::units::Length;
use crate::verify::readers::loads::{Limits, Loaded, LoadsFile};
use std::collections::BTreeSet;

/// Where more panels than this may ride on one truck, what they lie on is not looked at.
const MOST: usize = 1_000;

/// By weight and room first, truck by truck; where more are claimed, by what cannot be stacked too.
pub(super) fn fewest_trucks(file: &LoadsFile) -> usize {
    let stacks = file.trucks.iter().flat_map(|truck| &truck.stacks);
    let mut panels: Vec<&Loaded> = stacks.flat_map(|stack| &stack.panels).collect();
    panels.sort_by_key(|it| (it.erection, &it.mark));
    let loose = file.trucks.first().map_or(0.0, |it| it.loose_lb);
    let room = Room::new(&panels, &file.limits, loose);
    let (mut trucks, mut from) = (0, 0);
    while from < panels.len() {
        (trucks, from) = (trucks + 1, room.end(from));
    }
    if file.bound <= trucks {
        trucks
    } else {
        fewest_by_stacking(&panels, &file.limits, &room).max(trucks)
    }
}

/// What there is on a truck, and what each panel takes of it.
struct Room<'a> {
    panels: &'a [&'a Loaded],
    loose_lb: f64,
    weight_lb: f64,
    /// For each pair of thresholds.
    taken: Vec<Vec<i128>>,
    whole: i128,
}

impl<'a> Room<'a> {
    fn new(panels: &'a [&'a Loaded], limits: &Limits, loose_lb: f64) -> Self {
        let nm = |it: Length| i128::from(it.to_nanometres());
        let clear = limits.height.0;
        let deck = [nm(limits.length.0), nm(limits.width.0)];
        // Heights that layers can reach, from the ground up.
        let layers: BTreeSet<i128> = panels.iter().map(|it| nm(it.thickness.0)).collect();
        let (mut reached, mut level) = (0, BTreeSet::from([0_i128]));
        while !level.is_empty() && level.len() < 5_000 {
            reached = level.iter().copied().fold(reached, i128::max);
            let higher = level
                .iter()
                .flat_map(|at| layers.iter().map(move |it| at + it));
            level = higher.filter(|it| *it <= nm(clear)).collect();
        }
        if !level.is_empty() {
            reached = nm(clear);
        }
        let halves = |side: usize| {
            let sizes = panels.iter().map(|it| sides(it)[side]);
            let mut all: BTreeSet<i128> = sizes.filter(|it| it * 2 <= deck[side]).collect();
            all.extend([0, deck[side] / 2]);
            all
        };
        let pairs: Vec<[i128; 2]> = halves(0)
            .iter()
            .flat_map(|a| halves(1).into_iter().map(move |b| [*a, b]))
            .collect();
        let counts = |it: &Loaded, [a, b]: [i128; 2]| {
            let side = |at: usize, least: i128| match sides(it)[at] {
                long if long > deck[at] - least => deck[at].max(long),
                short if short < least => 0,
                other => other,
            };
            side(0, a) * side(1, b) * nm(it.thickness.0)
        };
        let taken = pairs
            .iter()
            .map(|pair| panels.iter().map(|it| counts(it, *pair)).collect());
        Self {
            panels,
            loose_lb,
            weight_lb: limits.weight_lb,
            taken: taken.collect(),
            whole: deck[0] * deck[1] * reached,
        }
    }

    /// Up to which panel a truck that begins with one may reach at most.
    fn end(&self, from: usize) -> usize {
        let mut weight = if from == 0 { self.loose_lb } else { 0.0 };
        let mut end = from;
        let weights = self.panels.iter().skip(from).map(|it| it.weight_lb);
        for pounds in weights {
            weight += pounds;
            if weight > self.weight_lb {
                break;
            }
            end += 1;
        }
        for taken in &self.taken {
            let mut sum = 0;
            let run = taken.iter().take(end).skip(from);
            let fits = run.take_while(|it| {
                sum += **it;
                sum <= self.whole
            });
            end = from + fits.count();
        }
        end.max(from + 1)
    }
}

/// What no later panel carries takes deck. Of every run the panels that lie on others are matched with them, the largest areas first,
/// on each as many as fit side by side: all panels; those wider than a third and than half of the deck; and these once more as wide as the deck.
fn fewest_by_stacking(panels: &[&Loaded], limits: &Limits, room: &Room<'_>) -> usize {
    let ends: Vec<usize> = (0..panels.len()).map(|from| room.end(from)).collect();
    if (0..).zip(&ends).any(|(from, end)| end - from > MOST) {
        return 0;
    }
    let deck = [limits.length.0, limits.width.0].map(|it| i128::from(it.to_nanometres()));
    let mut fewest = vec![0_usize];
    for end in 1..=panels.len() {
        let mut best = usize::MAX;
        let mut runs = [(0, false), (3, false), (2, false), (2, true)]
            .map(|of| Run::new(panels, limits, end, of));
        for from in (0..end).rev() {
            let mut is_room = true;
            for run in &mut runs {
                run.put_under(from);
                is_room &= run.on_deck() <= deck[0] * deck[1];
            }
            let is_reached = ends.get(from).is_some_and(|it| *it >= end);
            if from + 1 < end && (!is_room || (!is_reached && from > 0)) {
                break;
            }
            if is_reached {
                best = best.min(fewest.get(from).map_or(usize::MAX, |it| it + 1));
            }
        }
        fewest.push(best);
    }
    fewest.last().copied().unwrap_or_default()
}

struct Run<'a> {
    panels: &'a [&'a Loaded],
    overhang: i128,
    end: usize,
    /// By panel; below 0 for one that is not looked at.
    areas: Vec<i128>,
    /// By panel: for each place side by side on it, which one lies there.
    carries: Vec<Vec<Option<usize>>>,
    /// Panels of the run.
    all: Vec<usize>,
}

impl<'a> Run<'a> {
    /// - `least`, `is_whole`: only panels wider than one of so many parts of the deck, 0 for all; counted as wide as the deck.
    fn new(
        panels: &'a [&'a Loaded],
        limits: &Limits,
        end: usize,
        (least, is_whole): (i128, bool),
    ) -> Self {
        let nm = |it: Length| i128::from(it.to_nanometres());
        let (deck, overhang) = (nm(limits.width.0), nm(limits.overhang.0));
        let is_counted = |wide: i128| least == 0 || wide * least > deck;
        let widths = panels.iter().map(|it| sides(it)[1]);
        let narrowest = widths.filter(|it| is_counted(*it)).min();
        let narrowest = narrowest.unwrap_or(deck).max(1);
        let area = |it: &&Loaded| match sides(it) {
            [_, wide] if !is_counted(wide) => -1,
            [long, wide] if is_whole => long * wide.max(deck),
            [long, wide] => long * wide,
        };
        let places = |it: &&Loaded| {
            let wide = sides(it)[1];
            let room = if wide + overhang > deck {
                deck.max(wide)
            } else {
                wide + overhang
            };
            vec![None; usize::try_from(room / narrowest).unwrap_or(1).max(1)]
        };
        Self {
            panels,
            overhang,
            end,
            areas: panels.iter().map(area).collect(),
            carries: panels.iter().map(places).collect(),
            all: Vec::new(),
        }
    }

    fn area(&self, panel: usize) -> i128 {
        self.areas.get(panel).copied().unwrap_or_default()
    }

    fn lies(&self, upper: usize, below: usize) -> bool {
        let pair = self.panels.get(upper).zip(self.panels.get(below));
        pair.is_some_and(|(upper, below)| {
            let (upper, below) = (sides(upper), sides(below));
            (0..2).all(|side| {
                upper.get(side) <= below.get(side).map(|it| it + self.overhang).as_ref()
            })
        })
    }

    /// Takes one more panel into the run, the first to be set.
    fn put_under(&mut self, new: usize) {
        if self.area(new) < 0 {
            return;
        }
        self.all.push(new);
        let mut seen = vec![false; self.panels.len()];
        let mut met = vec![new];
        if !self.lifted(new, None, &mut seen, &mut met) {
            // Whichever of those that could change places is the smallest stays on the deck.
            let least = met.into_iter().min_by_key(|it| self.area(*it));
            if let Some(least) = least.filter(|it| *it != new) {
                let mut seen = vec![false; self.panels.len()];
                self.lifted(new, Some(least), &mut seen, &mut Vec::new());
            }
        }
    }

    /// Finds a place on another panel, its own or, with `instead`, that of another; those in the way find another place before.
    fn lifted(
        &mut self,
        upper: usize,
        instead: Option<usize>,
        seen: &mut [bool],
        met: &mut Vec<usize>,
    ) -> bool {
        for below in upper + 1..self.end {
            if seen.get(below) != Some(&false) || !self.lies(upper, below) {
                continue;
            }
            if let Some(seen) = seen.get_mut(below) {
                *seen = true;
            }
            let places = self.carries.get(below).cloned().unwrap_or_default();
            let empty = places.iter().position(Option::is_none);
            let free = empty.or_else(|| {
                places.iter().position(|it| {
                    it.is_some_and(|other| {
                        Some(other) == instead || {
                            met.push(other);
                            self.lifted(other, instead, seen, met)
                        }
                    })
                })
            });
            let place = free.and_then(|free| self.carries.get_mut(below)?.get_mut(free));
            if let Some(place) = place {
                *place = Some(upper);
                return true;
            }
        }
        false
    }

    /// Area of what lies on nothing.
    fn on_deck(&self) -> i128 {
        let carried = self.carries.iter().flatten().flatten();
        let carried: i128 = carried.map(|it| self.area(*it)).sum();
        self.all.iter().map(|it| self.area(*it)).sum::<i128>() - carried
    }
}

fn sides(panel: &Loaded) -> [i128; 2] {
    [panel.length.0, panel.width.0].map(|it| i128::from(it.to_nanometres()))
}
