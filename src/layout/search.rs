//! The exact search for the least cost of a run: dynamic programming over its joints, from the right end to the left.
//!
//! ```text
//!   left end      joint k (on the grid)       framed opening        right end
//!     ├───────────────┼──────────────────────┤           ├───────────────┤
//!          panel      finish[k]: least cost of all that lies to the right, joint included
//! ```
//!
//! Method: the cost of finishing from a joint is the least, over every panel that may start there, of panel + cost of
//! finishing from where it ends. A panel's price is flat between a few widths (`price.rs`), and which openings it holds
//! changes only where it passes one; so its right end is sought not width by width but as the least of a few stretches of
//! `finish` (`least.rs`). For a panel with openings the difference of its two legs, which only decides between equals, falls
//! and then rises with its width: two more columns keep `finish` less and plus the joint's place.
//!
//! Order of cost: joints × (bands × openings in reach) questions of constant cost, and joints × log(widest) to fill. Exact:
//! nothing is left out. Among equals in every field of the cost the panel that reaches farthest wins, so whole modules come
//! first from the left and the remainder stands at the right end. The plain double loop stands in the tests as the oracle.
//!
//! The left end is not part of the table: one table answers for every way in which the run may begin, as long as the joints
//! lie on the same grid.

use super::cost::Cost;
use super::least::Column;
use super::price::Band;
use super::run::{End, Run, grid};
use super::solution::{Blocked, Piece, Side, Solution};
use crate::rules::CostRules;
use crate::units::Length;

mod blocked;
mod over;

pub(crate) use over::Before;

/// More joints than this are not searched: a wall of 1,300 ft on the default grid.
const MOST_JOINTS: usize = 250_000;

impl Closed {
    /// The first joint of the stretch.
    pub(crate) fn first(&self) -> usize {
        self.first
    }
}

/// Where a panel ends and what comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Next {
    Nothing,
    Joint(usize),
    Jamb(usize),
    End,
}

/// Where a panel starts.
#[derive(Clone, Copy, Debug)]
struct Start {
    at: Length,
    /// The first opening to its right.
    opening: usize,
    leg: Length,
    least: Length,
    /// Least width of a pier of solid lumber from here to a framed opening.
    pier: Option<Length>,
    is_jamb: bool,
    is_end: bool,
    extra: Length,
}

/// Least costs from every joint of a run to its right end.
#[derive(Clone, Debug)]
pub(crate) struct Search<'a> {
    run: &'a Run<'a>,
    /// Where joint 0 lies; joint k lies `k` steps of the grid farther.
    first: Length,
    /// What passing each joint costs; `None` where no joint may lie.
    joints: Vec<Option<Cost>>,
    /// Cost of finishing, the joint included: as it is, less its place, plus its place.
    finish: [Column; 3],
    next: Vec<Next>,
    /// Cost of finishing from the far jamb of each opening.
    beyond: Vec<(Cost, Next)>,
    /// Bands by first opening and number of openings held.
    bands: Vec<Vec<Vec<Band>>>,
    /// Joints from 0 up to, not including, this one have to be filled again.
    stale: usize,
    /// No panel ends at a joint before this one, nor at an opening that lies before it.
    bar: usize,
    /// False when the difference of legs does not count: a third of the work.
    minds_legs: bool,
}

/// A stretch of joints that was closed: the first, and what passing each cost.
#[derive(Clone, Debug)]
pub(crate) struct Closed {
    first: usize,
    costs: Vec<Option<Cost>>,
}

const PLAIN: usize = 0;
const LESS_PLACE: usize = 1;
const PLUS_PLACE: usize = 2;

impl<'a> Search<'a> {
    /// Fills the table for a run whose joints lie on the grid from `datum`, and none left of `leftmost`.
    ///
    /// # Errors
    /// [`Blocked`] when the run cannot be searched at all.
    pub(crate) fn new(run: &'a Run<'a>, datum: Length, leftmost: Length) -> Result<Self, Blocked> {
        Self::filled(run, (datum, leftmost), true)
    }

    /// The same in which the difference of legs does not decide between equals.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub(crate) fn plain(run: &'a Run<'a>, datum: Length) -> Result<Self, Blocked> {
        Self::filled(run, (datum, datum), false)
    }

    fn filled(
        run: &'a Run<'a>,
        (datum, leftmost): (Length, Length),
        minds_legs: bool,
    ) -> Result<Self, Blocked> {
        if run.widest <= Length::ZERO {
            return Err(Blocked::Height);
        }
        let step = grid(run.rules);
        let first = datum + (leftmost - datum).floor_to(step) + step;
        let count = (run.right.at - first)
            .steps_of(step)
            .saturating_add(1)
            .max(0);
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        if count > MOST_JOINTS {
            return Err(Blocked::Size);
        }
        let reach = usize::try_from(run.widest.steps_of(step) + 2).unwrap_or(usize::MAX);
        let column = Column::new(count, reach);
        let of_legs = Column::new(if minds_legs { count } else { 0 }, reach);
        let mut search = Self {
            run,
            first,
            joints: vec![None; count],
            finish: [column, of_legs.clone(), of_legs],
            next: vec![Next::Nothing; count],
            beyond: vec![(Cost::NEVER, Next::Nothing); run.openings.len()],
            bands: bands(run),
            stale: 0,
            bar: 0,
            minds_legs,
        };
        search.open_joints();
        search.fill(0..count);
        Ok(search)
    }

    /// The cheapest run that starts at `left`; `None` when there is none.
    pub(crate) fn solve(&self, left: &End) -> Option<Solution> {
        let start = self.start_at_end(left);
        let (rest, next) = self.best_from(&start);
        let cost = rest + Cost::cents(left.cents);
        if !cost.is_possible() {
            return None;
        }
        let panels = self.trace((start, Side::End), next);
        Some(Solution { cost, panels })
    }

    /// The panels from a start to the right end, the first one ending as `next` says.
    fn trace(&self, (mut start, mut side): (Start, Side), mut next: Next) -> Vec<Piece> {
        let mut panels = Vec::new();
        loop {
            let (to, right, after) = match next {
                Next::Joint(k) => {
                    let at = self.place(k);
                    let after = (self.start_at_joint(k), self.next[k]);
                    (at - self.run.rules.joints.gap, Side::Joint, Some(after))
                }
                Next::Jamb(i) => {
                    let after = (self.start_at_jamb(i), self.beyond[i].1);
                    (self.run.openings[i].from, Side::Jamb(i), Some(after))
                }
                Next::End | Next::Nothing => (self.run.right.at, Side::End, None),
            };
            let from = start.at;
            panels.push(Piece {
                from,
                to,
                left: side,
                right,
            });
            match after {
                Some(after) => (start, next, side) = (after.0, after.1, right),
                None => return panels,
            }
        }
    }

    /// Closes a stretch: no joint starts a panel strictly between `from` and `to`. Returns what to open again.
    pub(crate) fn close(&mut self, from: Length, to: Length) -> Closed {
        let step = grid(self.run.rules);
        let first = (from - self.first).steps_of(step).saturating_add(1).max(0);
        let first = usize::try_from(first)
            .unwrap_or(usize::MAX)
            .min(self.joints.len());
        let last = (to - self.first).ceil_to(step).steps_of(step).max(0);
        let last = usize::try_from(last)
            .unwrap_or(0)
            .clamp(first, self.joints.len());
        let costs = self.joints[first..last].iter_mut().map(Option::take);
        let closed = Closed {
            first,
            costs: costs.collect(),
        };
        self.stale = self.stale.max(last);
        closed
    }

    /// Opens a stretch again.
    pub(crate) fn open(&mut self, closed: Closed) {
        self.stale = self.stale.max(closed.first + closed.costs.len());
        let places = closed.first..;
        for (k, cost) in places.zip(closed.costs) {
            self.joints[k] = cost;
        }
    }

    /// Fills what closing and opening have made stale.
    pub(crate) fn refill(&mut self) {
        let stale = std::mem::take(&mut self.stale);
        self.fill(0..stale);
    }

    fn place(&self, k: usize) -> Length {
        self.first + grid(self.run.rules) * i64::try_from(k).unwrap_or(i64::MAX)
    }

    /// The joints from `from` to `to`, both included.
    fn joints_between(&self, from: Length, to: Length) -> Option<(usize, usize)> {
        let step = grid(self.run.rules);
        let low = (from - self.first).ceil_to(step).steps_of(step).max(0);
        let high = (to - self.first).steps_of(step);
        let low = usize::try_from(low).ok()?.max(self.bar);
        let range = (low, usize::try_from(high).ok()?);
        (range.0 <= range.1 && range.0 < self.joints.len()).then_some(range)
    }

    /// Marks where joints may lie and what they cost.
    fn open_joints(&mut self) {
        let (run, gap) = (self.run, self.run.rules.joints.gap);
        let mut reach = Length::nanometres(i64::MIN / 4);
        let mut zones = run.forbidden.iter().peekable();
        for k in 0..self.joints.len() {
            let joint = self.place(k);
            // Zones lie from left to right: all that start left of the gap's right side, and how far they reach.
            while let Some(zone) = zones.next_if(|zone| zone.from < joint) {
                reach = reach.max(zone.to);
            }
            if joint - gap >= reach && joint < run.right.at {
                self.joints[k] = Some(Cost::cents(run.joint_cents(joint)));
            }
        }
    }

    /// Fills the table for these joints, and for the openings that end between them; what lies right of them is filled already.
    fn fill(&mut self, joints: std::ops::Range<usize>) {
        let run = self.run;
        let count = joints.end;
        let filled = if count < self.joints.len() {
            self.place(count)
        } else {
            run.right.at
        };
        let mut opening = run.openings.partition_point(|hole| hole.to < filled);
        for k in joints.clone().rev() {
            let joint = self.place(k);
            while let Some(i) = opening.checked_sub(1)
                && run.openings[i].to >= joint
            {
                self.beyond[i] = self.best_from(&self.start_at_jamb(i));
                opening = i;
            }
            let (cost, next) = match self.joints[k] {
                Some(joint_cost) => {
                    let (rest, next) = self.best_from(&self.start_at_joint(k));
                    (rest + joint_cost, next)
                }
                None => (Cost::NEVER, Next::Nothing),
            };
            self.next[k] = next;
            self.finish[PLAIN].put(k, cost);
            if self.minds_legs && !run.openings.is_empty() {
                self.finish[LESS_PLACE].put(k, cost.with_uneven(-joint));
                self.finish[PLUS_PLACE].put(k, cost.with_uneven(joint));
            }
        }
        for i in (0..opening).rev().filter(|_| joints.start == 0) {
            self.beyond[i] = self.best_from(&self.start_at_jamb(i));
        }
    }

    fn start_at_end(&self, left: &End) -> Start {
        Start {
            at: left.at,
            opening: 0,
            leg: left.leg,
            least: left.least,
            pier: left.pier,
            is_jamb: false,
            is_end: true,
            extra: left.extra,
        }
    }

    fn start_at_joint(&self, k: usize) -> Start {
        let at = self.place(k);
        Start {
            at,
            opening: self.run.openings.partition_point(|hole| hole.from < at),
            leg: Length::ZERO,
            least: self.run.rules.joints.least_panel,
            pier: None,
            is_jamb: false,
            is_end: false,
            extra: Length::ZERO,
        }
    }

    fn start_at_jamb(&self, i: usize) -> Start {
        Start {
            at: self.run.openings[i].to,
            opening: i + 1,
            leg: self.run.rules.openings.least_leg,
            least: self.run.rules.joints.least_panel,
            pier: Some(self.run.rules.piers.least),
            is_jamb: true,
            is_end: false,
            extra: Length::ZERO,
        }
    }

    /// The least cost of everything from `start` to the right end, and where its panel ends.
    fn best_from(&self, start: &Start) -> (Cost, Next) {
        let mut best = Best::default();
        let leg = self.run.rules.openings.least_leg;
        for held in 0.. {
            let Some(reach) = self.reach(start, held) else {
                break;
            };
            self.look_at_joints(&reach, &mut best);
            self.look_at_modules(&reach, &mut best);
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
    fn reach(&self, start: &Start, held: usize) -> Option<Reach> {
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

    fn look_at_jamb(&self, reach: &Reach, end: Length, best: &mut Best) {
        let run = self.run;
        let i = reach.start.opening + reach.held;
        if self.bar > 0 && run.openings[i].to < self.place(self.bar) {
            return;
        }
        if let Some(panel) = self.panel(reach, end, Length::ZERO, self.least_at_jamb()) {
            let by_need = i32::from(!run.openings[i].must_frame);
            let framed = Cost::cents(run.rules.cost.framed_opening).with_framed(by_need);
            best.offer(panel + framed + self.beyond[i].0, end, Next::Jamb(i));
        }
    }

    fn look_at_end(&self, reach: &Reach, best: &mut Best) {
        let end = &self.run.right;
        let leg = end.at - reach.from;
        let pier = end.pier.filter(|_| reach.start.is_jamb);
        if (reach.held == 0 || leg >= end.leg)
            && let Some(panel) = self.panel(reach, end.at, end.extra, (end.least, pier))
        {
            best.offer(panel + Cost::cents(end.cents), end.at, Next::End);
        }
    }

    /// Least width of a panel that ends at a jamb, and of a pier.
    fn least_at_jamb(&self) -> (Length, Option<Length>) {
        let rules = self.run.rules;
        (rules.joints.least_panel, Some(rules.piers.least))
    }

    /// The cost of one panel from the reach's start to `end`, whose right end adds `extra` to the longer skin and asks for a
    /// least width, or for that of a pier.
    fn panel(
        &self,
        reach: &Reach,
        end: Length,
        extra: Length,
        (least, pier): (Length, Option<Length>),
    ) -> Option<Cost> {
        let (run, start) = (self.run, &reach.start);
        let width = end - start.at;
        if width < start.least.max(least) {
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
        let cost = Cost::cents(cents).with_off_module(off_module);
        Some(if self.minds_legs {
            cost.with_uneven(uneven)
        } else {
            cost
        })
    }

    /// The cost of a pier of solid lumber beside a framed opening; `least` is what its right end asks for.
    fn pier(&self, reach: &Reach, width: Length, least: Option<Length>) -> Option<Cost> {
        let run = self.run;
        let least = reach.start.pier?.max(least?);
        let panel = run.pricer.price(width, 0.0)?;
        let cents = panel.cents.saturating_add(run.rules.piers.cents);
        let is_pier = reach.held == 0 && width >= least;
        is_pier.then(|| Cost::cents(cents).with_off_module(1))
    }
}

/// Panels from one start that hold the same openings.
struct Reach {
    start: Start,
    held: usize,
    /// Right jamb of the last opening held, or the start.
    from: Length,
    /// Where the next opening begins, or the run or the stretch up to a fixed joint ends.
    to: Length,
    /// True when a fixed joint ends the stretch.
    is_stopped: bool,
    /// Left leg, when an opening is held.
    leg: Option<Length>,
}

/// The best found so far; of equals the one that reaches farthest.
struct Best {
    cost: Cost,
    reach: Length,
    next: Next,
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

/// Flat bands of width for each first opening and number of openings held.
fn bands(run: &Run<'_>) -> Vec<Vec<Vec<Band>>> {
    let plain = run.pricer.bands(0.0);
    let holes = &run.openings;
    let of_first = |first: usize| {
        let mut area = 0.0;
        let mut sets = vec![plain.clone()];
        for hole in holes.iter().skip(first) {
            if hole.must_frame || hole.to - holes[first].from >= run.widest {
                break;
            }
            area += hole.area;
            sets.push(run.pricer.bands(area));
        }
        sets
    };
    (0..=holes.len()).map(of_first).collect()
}

#[cfg(test)]
mod tests;
