//! What stops a run that cannot be finished.

use super::Search;
use super::look::Reach;
use crate::layout::run::End;
use crate::layout::solution::Blocked;
use crate::units::Length;

impl Search<'_> {
    /// How far panels reach from the left when the run cannot be finished, and the next place where one could end.
    pub(crate) fn blocked(&self, left: &End) -> Blocked {
        let mut reached = left.at;
        let mut waiting = vec![self.start_at_end(left)];
        let mut unseen = Unseen::all(self.joints.len());
        let mut ends: Vec<Length> = Vec::new();
        while let Some(start) = waiting.pop() {
            reached = reached.max(start.at);
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
                    && !ends.contains(&hole.from)
                    && self
                        .panel(&reach, hole.from, Length::ZERO, self.least_at_jamb())
                        .is_some()
                {
                    ends.push(hole.from);
                    waiting.push(self.start_at_jamb(start.opening + held));
                }
            }
        }
        let joints = (0..self.joints.len()).filter(|k| self.joints[*k].is_some());
        let next = joints
            .map(|k| self.place(k))
            .find(|at| *at > reached + self.run.rules.joints.least_panel);
        Blocked::Gap {
            reached,
            next: next.unwrap_or(self.run.right.at),
        }
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
