//! What may follow a start: every panel that may stand there, sought as the least of a few stretches of joints.
//!
//! ```text
//!   start ├──────── held openings ────────┤ reach.from ░░░░░ joints of one price ░░░░░ next opening, or the end
//! ```

use super::{LESS_PLACE, Next, PLAIN, PLUS_PLACE, Search, Start};
use crate::layout::cost::Cost;
use crate::layout::issued::{IssuedEdge, Keepable};
use crate::rules::CostRules;
use crate::units::Length;

impl Search<'_> {
    /// The least cost of everything from `start` to the right end, and where its panel ends.
    pub(super) fn best_from(&self, start: &Start) -> (Cost, Next) {
        let mut best = Best::default();
        let leg = self.run.rules.openings.least_leg;
        let issued = self.run.issued.at(start.at);
        for held in 0.. {
            let Some(reach) = self.reach(start, held) else {
                break;
            };
            self.look_at_joints(&reach, &mut best);
            self.look_at_modules(&reach, &mut best);
            self.look_at_issued(&reach, issued, &mut best);
            match self.run.openings.get(start.opening + held) {
                Some(hole) if !reach.is_stopped && (held == 0 || hole.from >= reach.from + leg) => {
                    self.look_at_jamb(&reach, hole.from, &mut best);
                }
                None if !reach.is_stopped => self.look_at_end(&reach, &mut best),
                Some(_) | None => {}
            }
        }
        (best.cost, best.next)
    }

    /// Panels from `start` that hold exactly `held` openings; `None` when there are none of these, nor of more.
    pub(super) fn reach(&self, start: &Start, held: usize) -> Option<Reach> {
        let run = self.run;
        let (from, leg) = match held.checked_sub(1) {
            None => (start.at, None),
            Some(more) => {
                let first = run.openings.get(start.opening)?;
                let last = run.openings.get(start.opening + more)?;
                let leg = first.from - start.at;
                let fits = leg >= start.leg && last.to - start.at < run.widest;
                if !fits || held >= self.bands[start.opening].len() {
                    return None;
                }
                (last.to, Some(leg))
            }
        };
        let next = run.openings.get(start.opening + held);
        let to = next.map_or(run.right.at, |hole| hole.from);
        // A joint that the drafter fixed ends every panel that comes to it.
        let stop = run.fixed.iter().find(|joint| **joint > start.at);
        let stop = stop.map(|joint| *joint - run.rules.joints.gap);
        let is_stopped = stop.is_some_and(|stop| stop < to);
        let to = stop.map_or(to, |stop| stop.min(to));
        (to >= from).then_some(Reach {
            start: *start,
            held,
            from,
            to,
            is_stopped,
            leg,
        })
    }

    /// Panels that end at a joint: for each band of widths, the least of a stretch of joints.
    fn look_at_joints(&self, reach: &Reach, best: &mut Best) {
        let (start, rules) = (&reach.start, self.run.rules);
        let gap = rules.joints.gap;
        for band in &self.bands[start.opening][reach.held] {
            let from = (start.at + (band.from - start.extra).max(start.least)).max(reach.from);
            let to = (start.at + band.to - start.extra).min(reach.to);
            let (from, to) = (from + gap, to + gap);
            let panel = Cost::cents(band.cents.saturating_add(rules.cost.off_module));
            let panel = panel.with_off_module(1);
            match reach.leg {
                Some(leg) if rules.cost.uneven_legs > 0 => {
                    // The right leg grows with the joint: its price is flat between whole steps of difference.
                    let even = reach.from + leg + gap;
                    for (low, high, cents) in leg_stretches(from, to, even, rules.cost.uneven_legs)
                    {
                        let panel = panel + Cost::cents(cents);
                        self.look_at_legs(low, high, (even, panel), best);
                    }
                }
                Some(leg) => {
                    self.look_at_legs(from, to, (reach.from + leg + gap, panel), best);
                }
                None => self.look_at_stretch(PLAIN, from, to, panel, best),
            }
        }
    }

    /// Panels with openings that end at a joint of a stretch; their legs are even where it lies at `even`.
    fn look_at_legs(
        &self,
        from: Length,
        to: Length,
        (even, panel): (Length, Cost),
        best: &mut Best,
    ) {
        if !self.minds_legs {
            self.look_at_stretch(PLAIN, from, to, panel, best);
            return;
        }
        let shorter = panel.with_uneven(even);
        self.look_at_stretch(LESS_PLACE, from, to.min(even), shorter, best);
        let longer = panel.with_uneven(-even);
        self.look_at_stretch(PLUS_PLACE, from.max(even), to, longer, best);
    }

    fn look_at_stretch(
        &self,
        column: usize,
        from: Length,
        to: Length,
        panel: Cost,
        best: &mut Best,
    ) {
        if from <= to
            && let Some((low, high)) = self.joints_between(from, to)
            && let Some((k, rest)) = self.finish[column].least(low, high)
        {
            best.offer(rest + panel, self.place(k), Next::Joint(k));
        }
    }

    /// The few panels that are whole modules; the first of a run may be one without the gap after it.
    fn look_at_modules(&self, reach: &Reach, best: &mut Best) {
        let (run, start) = (self.run, &reach.start);
        let mut joint = start.at + run.half_module;
        while joint - run.rules.joints.gap <= reach.to
            && joint - start.at <= run.widest + run.half_module
        {
            self.look_at_joint(reach, joint, best);
            if start.is_end && run.rules.cost.off_module > 0 {
                self.look_at_joint(reach, joint + run.rules.joints.gap, best);
            }
            joint += run.half_module;
        }
    }

    /// The one panel that was issued from this start.
    fn look_at_issued(&self, reach: &Reach, issued: Option<&Keepable>, best: &mut Best) {
        let gap = self.run.rules.joints.gap;
        if let Some([from, to]) = issued.map(Keepable::ends)
            && let Some((k, _)) = self.joints_between(from + gap, to + gap)
        {
            self.look_at_joint(reach, self.place(k), best);
        }
    }

    fn look_at_joint(&self, reach: &Reach, joint: Length, best: &mut Best) {
        let end = joint - self.run.rules.joints.gap;
        if (reach.from..=reach.to).contains(&end)
            && let Some((k, _)) = self.joints_between(joint, joint)
            && let Some(panel) = self.panel(reach, end, Length::ZERO, (reach.start.least, None))
        {
            let (_, rest) = self.finish[PLAIN].least(k, k).unwrap_or((k, Cost::NEVER));
            best.offer(rest + panel, joint, Next::Joint(k));
        }
    }

    pub(super) fn look_at_jamb(&self, reach: &Reach, end: Length, best: &mut Best) {
        let run = self.run;
        let i = reach.start.opening + reach.held;
        if self.bar > 0 && run.openings[i].to < self.place(self.bar) {
            return;
        }
        if let Some(panel) = self.panel(reach, end, Length::ZERO, self.least_at_jamb(&reach.start))
        {
            let by_need = i32::from(!run.openings[i].must_frame);
            let framed = Cost::cents(run.rules.cost.framed_opening).with_framed(by_need);
            best.offer(panel + framed + self.beyond[i].0, end, Next::Jamb(i));
        }
    }

    pub(super) fn look_at_end(&self, reach: &Reach, best: &mut Best) {
        let end = &self.run.right;
        let leg = end.at - reach.from;
        let start = &reach.start;
        let pier = end.pier.filter(|_| start.is_jamb);
        let has_joint = !start.is_jamb && !start.is_end;
        let least = if has_joint {
            end.least
        } else {
            end.strip.max(start.strip)
        };
        if (reach.held == 0 || leg >= end.leg)
            && let Some(panel) = self.panel(reach, end.at, end.extra, (least, pier))
        {
            best.offer(panel + Cost::cents(end.cents), end.at, Next::End);
        }
    }

    /// Least width of a panel from `start` to a jamb, and of a pier.
    pub(super) fn least_at_jamb(&self, start: &Start) -> (Length, Option<Length>) {
        (start.strip, Some(self.run.rules.piers.least))
    }

    /// The cost of one panel from the reach's start to `end`, whose right end adds `extra` to the longer skin; `least` is its
    /// least width, below it the strip may be a `pier` as wide as its right end asks for.
    pub(super) fn panel(
        &self,
        reach: &Reach,
        end: Length,
        extra: Length,
        (least, pier): (Length, Option<Length>),
    ) -> Option<Cost> {
        let (run, start) = (self.run, &reach.start);
        let width = end - start.at;
        if width < least || self.is_post(reach, end) {
            return self.pier(reach, width, pier);
        }
        let longer = width + start.extra + extra;
        let bands = &self.bands[start.opening][reach.held];
        let band = bands
            .iter()
            .find(|band| band.from <= longer && longer <= band.to)?;
        let uneven = reach
            .leg
            .map_or(Length::ZERO, |leg| (end - reach.from - leg).abs());
        let is_last = end == run.right.at;
        let prices = &run.rules.cost;
        let cents = band
            .cents
            .saturating_add(run.off_module_cents(width, start.is_end || is_last))
            .saturating_add(
                prices
                    .uneven_legs
                    .saturating_mul(uneven.steps_of(CostRules::STEP)),
            );
        let off_module = i32::from(!run.is_module(width, is_last));
        let kept = self.kept(reach, end);
        let cost = Cost::cents(cents).with_off_module(off_module) + kept;
        Some(if self.minds_legs {
            cost.with_uneven(uneven)
        } else {
            cost
        })
    }

    /// True for the strip between a run's end and glass that goes round that corner.
    fn is_post(&self, reach: &Reach, end: Length) -> bool {
        let (start, holes) = (&reach.start, &self.run.openings);
        if start.is_end {
            let next = holes.get(start.opening);
            return next.is_some_and(|hole| hole.from == end && hole.at_post[0]);
        }
        let last = start.opening.checked_sub(1).and_then(|i| holes.get(i));
        let is_last = start.is_jamb && end == self.run.right.at;
        is_last && last.is_some_and(|hole| hole.at_post[1])
    }

    /// The cost of a pier of solid lumber beside a framed opening; `least` is what its right end asks for.
    fn pier(&self, reach: &Reach, width: Length, least: Option<Length>) -> Option<Cost> {
        let run = self.run;
        let least = reach.start.pier?.max(least?);
        let panel = run.pricer.price(width, 0.0)?;
        let cents = panel.cents.saturating_add(run.rules.piers.cents);
        let is_pier = reach.held == 0 && width >= least;
        let kept = self.kept(reach, reach.start.at + width);
        is_pier.then(|| Cost::cents(cents).with_off_module(1) + kept)
    }

    /// What the panel from the reach's start to `end` gives back where it is as issued.
    fn kept(&self, reach: &Reach, end: Length) -> Cost {
        let (run, start) = (self.run, &reach.start);
        let Some(issued) = run.issued.at(start.at) else {
            return Cost::default();
        };
        let left = if start.is_end {
            IssuedEdge::End
        } else if start.is_jamb {
            IssuedEdge::Jamb
        } else {
            IssuedEdge::Joint
        };
        let next = run.openings.get(start.opening + reach.held);
        let right = if next.is_some_and(|hole| hole.from == end) {
            IssuedEdge::Jamb
        } else if end == run.right.at {
            IssuedEdge::End
        } else {
            IssuedEdge::Joint
        };
        issued.kept(end, [left, right])
    }
}

/// Panels from one start that hold the same openings.
pub(super) struct Reach {
    pub(super) start: Start,
    pub(super) held: usize,
    /// Right jamb of the last opening held, or the start.
    pub(super) from: Length,
    /// Where the next opening begins, or the run or the stretch up to a fixed joint ends.
    pub(super) to: Length,
    /// True when a fixed joint ends the stretch.
    pub(super) is_stopped: bool,
    /// Left leg, when an opening is held.
    pub(super) leg: Option<Length>,
}

/// The best found so far; of equals the one that reaches farthest.
pub(super) struct Best {
    pub(super) cost: Cost,
    reach: Length,
    pub(super) next: Next,
}

impl Default for Best {
    fn default() -> Self {
        Self {
            cost: Cost::NEVER,
            reach: Length::ZERO,
            next: Next::Nothing,
        }
    }
}

impl Best {
    fn offer(&mut self, cost: Cost, reach: Length, next: Next) {
        let is_better = cost < self.cost || (cost == self.cost && reach > self.reach);
        if cost.is_possible() && (is_better || self.next == Next::Nothing) {
            *self = Self { cost, reach, next };
        }
    }
}

/// The parts of a stretch of joints between which the difference of legs passes a whole step, with what that costs.
fn leg_stretches(
    from: Length,
    to: Length,
    even: Length,
    price: i64,
) -> impl Iterator<Item = (Length, Length, i64)> {
    let (step, nm) = (CostRules::STEP, Length::nanometres(1));
    let most = (to - even)
        .max(even - from)
        .max(Length::ZERO)
        .steps_of(step);
    let parts = (-most..=most).map(move |k| {
        let low = if k > 0 {
            even + step * k
        } else {
            even + step * (k - 1) + nm
        };
        let high = if k < 0 {
            even + step * k
        } else {
            even + step * (k + 1) - nm
        };
        (low.max(from), high.min(to), price.saturating_mul(k.abs()))
    });
    parts.filter(|(low, high, _)| low <= high)
}
