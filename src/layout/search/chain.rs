//! A run as steps between few places, each with what it costs above the least: how two walls are walked side by side.
//!
//! ```text
//!   stop 0          1     2        3                 last
//!     ├─────────────┼─────┼────────┤         ├───────┤      left end, joints that may be, far jambs, right end
//! ```

use super::{PLAIN, Search, Start};
use crate::layout::cost::Cost;
use crate::layout::run::End;
use crate::units::Length;

/// Where a panel may start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stop {
    /// Where it lies; the right end beyond all.
    pub(crate) at: Length,
    pub(crate) is_joint: bool,
}

/// Stops of a run and the steps from each, looked up when first asked for.
#[derive(Debug)]
pub(crate) struct Chain<'a> {
    search: &'a Search<'a>,
    left: &'a End,
    most: i64,
    /// Joints of the search that are stops.
    places: Vec<usize>,
    /// Stops: the left end, the joints, the far jambs, the right end.
    pub(crate) stops: Vec<Stop>,
    steps: Vec<Option<Vec<(usize, i64)>>>,
}

impl<'a> Chain<'a> {
    /// The steps of a run that starts at `left`, its joints among `places`, rising; none that is dearer by `most` or more.
    pub(crate) fn new(
        search: &'a Search<'a>,
        (left, most): (&'a End, i64),
        places: Vec<usize>,
    ) -> Self {
        let stop = |at, is_joint| Stop { at, is_joint };
        let joints = places.iter().map(|k| stop(search.place(*k), true));
        let jambs = search.run.openings.iter().map(|hole| stop(hole.to, false));
        let mut stops = vec![stop(left.at, false)];
        stops.extend(joints.chain(jambs));
        stops.push(stop(Length::nanometres(i64::MAX / 4), false));
        Self {
            search,
            left,
            most,
            places,
            steps: vec![None; stops.len()],
            stops,
        }
    }

    /// The steps from a stop, and by how many cents the least layout with each is dearer than the least without.
    pub(crate) fn steps(&mut self, stop: usize) -> &[(usize, i64)] {
        if self.steps.get(stop).is_some_and(Option::is_none) {
            self.steps[stop] = Some(self.steps_from(stop));
        }
        let known = self.steps.get(stop).and_then(Option::as_ref);
        known.map_or(&[], Vec::as_slice)
    }

    fn steps_from(&self, stop: usize) -> Vec<(usize, i64)> {
        let (search, run) = (self.search, self.search.run);
        let last = self.stops.len() - 1;
        let (start, least) = match stop.checked_sub(1) {
            None => {
                let start = search.start_at_end(self.left);
                (start, search.best_from(&start).0)
            }
            Some(i) if i < self.places.len() => {
                let k = self.places[i];
                let passed = search.joints[k].unwrap_or(Cost::NEVER);
                (search.start_at_joint(k), search.finish_at(k) + -passed)
            }
            Some(i) => {
                let hole = i - self.places.len();
                if hole >= run.openings.len() {
                    return Vec::new();
                }
                (search.start_at_jamb(hole), search.beyond[hole].0)
            }
        };
        if !least.is_possible() {
            return Vec::new();
        }
        let mut found = Vec::new();
        search.ends_from(
            &start,
            |end, cost| {
                let next = match end {
                    super::Next::Joint(k) => self.places.binary_search(&k).ok().map(|i| i + 1),
                    super::Next::Jamb(i) => Some(1 + self.places.len() + i),
                    super::Next::End => Some(last),
                    super::Next::Nothing => None,
                };
                let more = cost.is_possible().then(|| (cost + -least).cents_more());
                if let (Some(next), Some(Some(more))) = (next, more)
                    && more < self.most
                {
                    found.push((next, more));
                }
            },
            &self.places,
        );
        found
    }
}

impl Search<'_> {
    /// Cost of finishing from a joint, the joint included.
    fn finish_at(&self, k: usize) -> Cost {
        let found = self.finish[PLAIN].least(k, k);
        found.map_or(Cost::NEVER, |it| it.1)
    }

    /// Every end of a panel from `start`, at a joint among `places`, a jamb or the right end, with the least cost of all from there.
    fn ends_from(&self, start: &Start, mut each: impl FnMut(super::Next, Cost), places: &[usize]) {
        let run = self.run;
        let gap = run.rules.joints.gap;
        let leg = run.rules.openings.least_leg;
        for held in 0.. {
            let Some(reach) = self.reach(start, held) else {
                break;
            };
            let to = reach.to.min(start.at + run.widest);
            if let Some((low, high)) = self.joints_between(reach.from + gap, to + gap) {
                let first = places.partition_point(|k| *k < low);
                let near = places[first..].iter().take_while(|k| **k <= high);
                for k in near {
                    let end = self.place(*k) - gap;
                    let least = (reach.start.least, None);
                    if let Some(panel) = self.panel(&reach, end, Length::ZERO, least) {
                        each(super::Next::Joint(*k), panel + self.finish_at(*k));
                    }
                }
            }
            let mut best = super::look::Best::default();
            match run.openings.get(start.opening + held) {
                Some(hole) if !reach.is_stopped && (held == 0 || hole.from >= reach.from + leg) => {
                    self.look_at_jamb(&reach, hole.from, &mut best);
                }
                None if !reach.is_stopped => self.look_at_end(&reach, &mut best),
                Some(_) | None => {}
            }
            each(best.next, best.cost);
        }
    }
}
