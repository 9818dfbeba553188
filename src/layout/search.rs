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
use crate::units::Length;

mod blocked;
mod chain;
mod look;
mod over;
mod places;

pub(crate) use chain::{Chain, Stop};
pub(crate) use over::Before;
pub(crate) use places::places_of_pair;

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
    /// Least width of a panel from here to a joint, and to where there is none.
    least: Length,
    strip: Length,
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
        let cost = rest + Cost::cents(left.cents) + self.run.paid_first();
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
            strip: left.strip,
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
            strip: self.run.rules.joints.least_panel,
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
            strip: self.run.rules.joints.least_panel,
            pier: Some(self.run.rules.piers.least),
            is_jamb: true,
            is_end: false,
            extra: Length::ZERO,
        }
    }
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
pub(crate) mod oracle;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_of_issued;
