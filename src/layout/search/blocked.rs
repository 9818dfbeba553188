//! What stops a run that cannot be finished.

use super::look::Reach;
use super::{Next, Search, Start};
use crate::layout::run::End;
use crate::layout::solution::Blocked;
use crate::units::Length;

/// No more stretches than this are told of one wall.
const MOST: usize = 5;

impl Search<'_> {
    /// Where panels stop when the run cannot be finished: each stretch from where they reach to where one could begin again.
    pub(crate) fn blocked(&self, left: &End) -> Blocked {
        let mut gaps: Vec<[Length; 2]> = Vec::new();
        let mut start = Some(self.start_at_end(left));
        while let Some(from) = start.filter(|_| gaps.len() < MOST) {
            let Some(reached) = self.reached(from) else {
                break;
            };
            let joints = (0..self.joints.len()).filter(|k| self.joints[*k].is_some());
            let mut beyond =
                joints.filter(|k| self.place(*k) > reached + self.run.rules.joints.least_panel);
            let next = beyond.next();
            gaps.push([reached, next.map_or(self.run.right.at, |k| self.place(k))]);
            start = next.map(|k| self.start_at_joint(k));
        }
        Blocked::Gaps(gaps)
    }

    /// How far panels reach from a start; `None` when they reach the right end.
    fn reached(&self, from: Start) -> Option<Length> {
        let mut reached = from.at;
        let mut waiting = vec![from];
        let mut unseen = Unseen::all(self.joints.len());
        let mut ends: Vec<Length> = Vec::new();
        let leg = self.run.rules.openings.least_leg;
        while let Some(start) = waiting.pop() {
            reached = reached.max(start.at);
            if self.best_from(&start).1 == Next::End {
                return None;
            }
            for held in 0.. {
                let Some(reach) = self.reach(&start, held) else {
                    break;
                };
                for (low, high) in self.stretches(&reach) {
                    while let Some(k) = unseen.take(low, high) {
                        if self.joints[k].is_some() {
                            waiting.push(self.start_at_joint(k));
                        }
                    }
                }
                if let Some(hole) = self.run.openings.get(start.opening + held)
                    && !reach.is_stopped
                    && (held == 0 || hole.from >= reach.from + leg)
                    && !ends.contains(&hole.from)
                    && self
                        .panel(&reach, hole.from, Length::ZERO, self.least_at_jamb(&start))
                        .is_some()
                {
                    ends.push(hole.from);
                    waiting.push(self.start_at_jamb(start.opening + held));
                }
            }
        }
        Some(reached)
    }

    /// The joints at which a panel of this reach may end, as stretches.
    fn stretches(&self, reach: &Reach) -> impl Iterator<Item = (usize, usize)> {
        let (start, gap) = (&reach.start, self.run.rules.joints.gap);
        let bands = self.bands[start.opening][reach.held].iter();
        bands.filter_map(move |band| {
            let from = (start.at + (band.from - start.extra).max(start.least)).max(reach.from);
            let to = (start.at + band.to - start.extra).min(reach.to);
            self.joints_between(from + gap, to + gap)
        })
    }
}

/// Joints not seen yet: each is taken once, and what was taken is skipped.
struct Unseen {
    /// For each joint the next one not taken, itself included, as far as known.
    next: Vec<usize>,
}

impl Unseen {
    fn all(count: usize) -> Self {
        Self {
            next: (0..=count).collect(),
        }
    }

    /// Takes the first joint from `low` to `high` that was not taken.
    fn take(&mut self, low: usize, high: usize) -> Option<usize> {
        let mut at = low;
        while self.next.get(at).is_some_and(|next| *next != at) {
            let skip = self.next[at];
            self.next[at] = self.next[skip];
            at = skip;
        }
        let is_there = at <= high && at + 1 < self.next.len();
        is_there.then(|| {
            self.next[at] = at + 1;
            at
        })
    }
}
