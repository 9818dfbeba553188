//! The few places of joints among which two walls over each other have a least layout.
//!
//! ```text
//!   upper  ├──────────────┼►───────────┤      of all least layouts the one whose joints lie farthest right: each is stopped by
//!   lower  ├────────┼►─────────┼►──────┤      a width of one of its panels, a forbidden stretch, or a joint of the other wall
//! ```
//!
//! So a joint lies where an allowed stretch of one price ends; or one of the greatest widths of a price after the joint, jamb or end
//! before it; or one of the least widths before the joint, jamb or end after it; or as far right of a joint of the other wall as still
//! stands over it. A joint that is stopped by the one before it does not stop that one: chains of widths go on one way.

use super::{Search, Start};
use crate::layout::run::{End, grid};
use crate::units::Length;
use std::collections::BTreeMap;

/// What a place may stop: joints after it, joints before it, and joints of the other wall. A joint that only the other wall's stops
/// does not stop that one again.
type Stops = [bool; 3];

/// Joints of both searches that are enough; `None` where there are more than `most` of one.
///
/// - `start`: where 0 of the lower wall lies along the upper one; `within`: how far aside a joint still stands over another.
pub(crate) fn places_of_pair(
    [lower, upper]: [(&Search<'_>, &End); 2],
    (start, within): (Length, Length),
    most: usize,
) -> Option<[Vec<usize>; 2]> {
    let walls = [lower, upper];
    let all = walls.map(|(search, _)| {
        let joints = search.joints.iter().enumerate();
        let open = joints.filter(|(_, cost)| cost.is_some());
        open.map(|(k, _)| k).collect::<Vec<_>>()
    });
    if all.iter().all(|joints| joints.len() <= most) {
        return Some(all);
    }
    if walls.iter().any(|(search, _)| !search.is_priced_in_bands()) {
        return None;
    }
    let shift = [start + within, within - start];
    let mut known: [BTreeMap<usize, Stops>; 2] = [BTreeMap::new(), BTreeMap::new()];
    let mut waiting: Vec<(usize, usize, Stops)> = Vec::new();
    for (wall, (search, left)) in walls.iter().enumerate() {
        search.first_places(left, |k, stops| waiting.push((wall, k, stops)));
    }
    while let Some((wall, k, stops)) = waiting.pop() {
        let search = walls[wall].0;
        if search.joints.get(k).is_none_or(Option::is_none) {
            continue;
        }
        let own = known[wall].entry(k).or_default();
        let fresh = [0, 1, 2].map(|i: usize| stops[i] && !own[i]);
        *own = [0, 1, 2].map(|i: usize| stops[i] || own[i]);
        if known[wall].len() > most {
            return None;
        }
        if fresh[0] {
            let start = search.start_at_joint(k);
            search.after(&start, |k| waiting.push((wall, k, [true, false, true])));
        }
        if fresh[1] {
            search.before_joint(k, |k| waiting.push((wall, k, [false, true, true])));
        }
        let other = 1 - wall;
        if fresh[2]
            && let Some(k) = walls[other].0.last_up_to(search.place(k) + shift[wall])
        {
            waiting.push((other, k, [true, true, false]));
        }
    }
    Some(known.map(|places| places.into_keys().collect()))
}

impl Search<'_> {
    /// True when a panel's price depends on its width and its openings alone.
    fn is_priced_in_bands(&self) -> bool {
        let cost = &self.run.rules.cost;
        cost.off_module == 0
            && cost.uneven_legs == 0
            && self.run.issued.all() == super::Cost::default()
    }

    /// The last joint that lies no farther than `at`.
    fn last_up_to(&self, at: Length) -> Option<usize> {
        let steps = (at - self.first).steps_of(grid(self.run.rules));
        usize::try_from(steps).ok()
    }

    /// Ends of allowed stretches, joints that must be, and what the ends of the run and the openings stop.
    fn first_places(&self, left: &End, mut found: impl FnMut(usize, Stops)) {
        let run = self.run;
        for k in 0..self.joints.len() {
            if self.joints.get(k + 1) != self.joints.get(k) {
                found(k, [true; 3]);
            }
        }
        let fixed = run.fixed.iter().filter_map(|joint| self.last_up_to(*joint));
        fixed.for_each(|k| found(k, [true; 3]));
        let jambs = (0..run.openings.len()).map(|i| self.start_at_jamb(i));
        for start in jambs.chain([self.start_at_end(left)]) {
            self.after(&start, |k| found(k, [true, false, true]));
        }
        let right = &run.right;
        let ends = run
            .openings
            .iter()
            .map(|hole| (hole.from, Length::ZERO, Length::ZERO));
        for end in ends.chain([(right.at, right.extra, right.least)]) {
            self.before(end, |k| found(k, [false, true, true]));
        }
    }

    /// Joints one of the greatest widths of a price after a start.
    fn after(&self, start: &Start, mut found: impl FnMut(usize)) {
        let gap = self.run.rules.joints.gap;
        for held in 0.. {
            let Some(reach) = self.reach(start, held) else {
                break;
            };
            for band in &self.bands[start.opening][held] {
                let to = (start.at + band.to - start.extra).min(reach.to);
                if to >= reach.from
                    && let Some(k) = self.last_up_to(to + gap)
                {
                    found(k);
                }
            }
        }
    }

    fn before_joint(&self, k: usize, found: impl FnMut(usize)) {
        let end = self.place(k) - self.run.rules.joints.gap;
        self.before((end, Length::ZERO, Length::ZERO), found);
    }

    /// Joints one of the least widths of a price before the end of a panel, which adds `extra` and is `least` wide or more.
    fn before(&self, (end, extra, least): (Length, Length, Length), mut found: impl FnMut(usize)) {
        let holes = &self.run.openings;
        let least = least.max(self.run.rules.joints.least_panel);
        let next = holes.partition_point(|hole| hole.to <= end);
        for held in 0..=next {
            let first = next - held;
            let Some(bands) = self.bands[first].get(held) else {
                break;
            };
            let from = first.checked_sub(1).map(|i| holes[i].to);
            for band in bands.iter().filter(|band| band.to - extra >= least) {
                let at = end - (band.from - extra).max(least);
                let is_between =
                    from.is_none_or(|from| at > from) && (held == 0 || at < holes[first].from);
                if is_between && let Some(k) = self.last_up_to(at) {
                    found(k);
                }
            }
        }
    }
}
