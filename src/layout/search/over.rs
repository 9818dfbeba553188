//! The best run when joints are closed only right of a cut: what lies left of it is taken from a table filled from the other end.
//!
//! ```text
//!   left end                     cut ░░closed░░                     right end
//!     ├────┼──────┼──────┼─────│───────────┼───────┼───────┤
//!       before: filled once     one panel goes over        finish: filled down to the cut
//! ```
//!
//! Every run has one last panel that starts left of the cut. Its start is a joint, a jamb or the end, so the least over these few
//! starts, each with the least cost before it and the least cost after it, is the least of all.

use super::{End, Next, PLAIN, Search, Start};
use crate::layout::cost::Cost;
use crate::layout::run::Run;
use crate::layout::solution::{Blocked, Piece, Side, Solution};
use crate::units::Length;

/// The table of a run seen from inside: least costs of everything left of a joint or an opening.
#[derive(Debug)]
pub(crate) struct Before<'a> {
    search: Search<'a>,
    /// What is `x` here is `sum - x` in the run.
    sum: Length,
}

impl<'a> Before<'a> {
    /// Fills it; `mirrored` is the mirrored run.
    ///
    /// # Errors
    /// As [`Search::new`].
    pub(crate) fn new(mirrored: &'a Run<'a>) -> Result<Self, Blocked> {
        let (left, right) = (mirrored.left.at, mirrored.right.at);
        let datum = right + mirrored.rules.joints.gap;
        let search = Search::filled(mirrored, (datum, left), false)?;
        Ok(Self {
            search,
            sum: left + right,
        })
    }

    /// Index here of the joint whose right panel starts at `joint`.
    fn joint(&self, joint: Length) -> Option<usize> {
        let here = self.sum + self.search.run.rules.joints.gap - joint;
        self.search.joints_between(here, here).map(|(k, _)| k)
    }

    /// Index here of an opening of the run.
    fn opening(&self, i: usize) -> usize {
        self.search.run.openings.len() - 1 - i
    }

    /// The least cost of everything left of a start, and the panels there.
    fn cost(&self, place: Begin) -> Cost {
        let search = &self.search;
        let left = match place {
            Begin::End => Cost::cents(search.run.right.cents),
            Begin::Joint(joint) => self.joint(joint).map_or(Cost::NEVER, |k| {
                search.finish[PLAIN]
                    .least(k, k)
                    .map_or(Cost::NEVER, |it| it.1)
            }),
            Begin::Jamb(i) => {
                let by_need = i32::from(!search.run.openings[self.opening(i)].must_frame);
                let framed = Cost::cents(search.run.rules.cost.framed_opening);
                framed.with_framed(by_need) + search.beyond[self.opening(i)].0
            }
        };
        left + search.run.paid_first()
    }

    fn panels(&self, place: Begin) -> Vec<Piece> {
        let search = &self.search;
        let traced = match place {
            Begin::End => Vec::new(),
            Begin::Joint(joint) => self.joint(joint).map_or_else(Vec::new, |k| {
                search.trace((search.start_at_joint(k), Side::Joint), search.next[k])
            }),
            Begin::Jamb(i) => {
                let i = self.opening(i);
                search.trace((search.start_at_jamb(i), Side::Jamb(i)), search.beyond[i].1)
            }
        };
        let side = |side: Side| match side {
            Side::Jamb(i) => Side::Jamb(self.opening(i)),
            Side::End | Side::Joint => side,
        };
        let back = traced.iter().rev().map(|piece| Piece {
            from: self.sum - piece.to,
            to: self.sum - piece.from,
            left: side(piece.right),
            right: side(piece.left),
        });
        back.collect()
    }
}

/// Where the panel over the cut starts.
#[derive(Clone, Copy)]
enum Begin {
    End,
    /// By where its right panel starts.
    Joint(Length),
    Jamb(usize),
}

impl Search<'_> {
    /// The cheapest run that starts at `left` while joints are closed from joint `cut` on only; what is stale left of the cut stays
    /// stale. `before` is of the same run with no joint closed.
    pub(crate) fn solve_over(
        &mut self,
        cut: usize,
        before: &Before<'_>,
        left: &End,
    ) -> Option<Solution> {
        if self.stale > cut {
            self.fill(cut..self.stale);
            self.stale = cut;
        }
        self.bar = cut;
        let best = self.best_over(cut, before, left);
        self.bar = 0;
        let (cost, place, start, next) = best?;
        let side = match place {
            Begin::End => Side::End,
            Begin::Joint(_) => Side::Joint,
            Begin::Jamb(i) => Side::Jamb(i),
        };
        let mut panels = before.panels(place);
        panels.extend(self.trace((start, side), next));
        Some(Solution { cost, panels })
    }

    fn best_over(
        &self,
        cut: usize,
        before: &Before<'_>,
        left: &End,
    ) -> Option<(Cost, Begin, Start, Next)> {
        let place = self.place(cut);
        // A framed opening that lies across the cut may be the next thing after the panel.
        let mut across = self.run.openings.iter().filter(|hole| hole.to >= place);
        let ends = across.next().map_or(place, |hole| hole.from.min(place));
        let nearest = ends - self.run.rules.joints.gap - self.run.widest;
        let low = (0..cut).rev().take_while(|k| self.place(*k) >= nearest);
        let joints = low.filter(|k| self.joints[*k].is_some());
        let joints = joints.map(|k| (Begin::Joint(self.place(k)), self.start_at_joint(k)));
        let holes = self.run.openings.iter().enumerate();
        let holes = holes.filter(|(_, hole)| hole.to < place && hole.to >= nearest);
        let jambs = holes.map(|(i, _)| (Begin::Jamb(i), self.start_at_jamb(i)));
        let end = (Begin::End, self.start_at_end(left));
        let mut best: Option<(Cost, Begin, Start, Next)> = None;
        for (from, start) in std::iter::once(end).chain(joints).chain(jambs) {
            let ahead = before.cost(from);
            // What is kept right of here gives back no more than all of it.
            let given_back = self.run.paid_first();
            if !ahead.is_possible() || best.as_ref().is_some_and(|it| it.0 + given_back < ahead) {
                continue;
            }
            let (rest, next) = self.best_from(&start);
            let sum = ahead + rest;
            if sum.is_possible() && best.as_ref().is_none_or(|it| sum < it.0) {
                best = Some((sum, from, start, next));
            }
        }
        best
    }
}
