//! A wall with free ends by trying everything, straight from the rules: what tests compare searches with.
//!
//! Written without `Run`, `Pricer`'s bands or `Search`.

use crate::building::{PanelWall, RoughOpening};
use crate::layout::cost::Cost;
use crate::layout::price::Pricer;
use crate::rules::PlantRules;
use crate::units::{Length, square_feet};

/// The boundaries of a wall and what stands between them.
pub(crate) struct Oracle<'a> {
    wall: &'a PanelWall,
    rules: &'a PlantRules,
    pricer: Pricer<'a>,
    /// The left end, joints and openings, the right end.
    stops: Vec<Stop>,
}

/// A boundary between panels.
#[derive(Clone, Copy)]
struct Stop {
    /// Right edge of the panel before.
    right: Length,
    /// Left edge of the panel after.
    left: Length,
    by_need: i32,
    cents: i64,
    is_joint: bool,
}

impl<'a> Oracle<'a> {
    pub(crate) fn new(wall: &'a PanelWall, rules: &'a PlantRules) -> Self {
        let (length, gap) = (wall.face_length, rules.joints.gap);
        let height = wall.stack.panel_top - wall.stack.panel_bottom;
        let keep = rules.joints.from_opening.max(rules.openings.least_leg);
        let near = rules.joints.from_opening_preferred;
        let end = |at: Length| Stop {
            right: at,
            left: at,
            by_need: 0,
            cents: 0,
            is_joint: false,
        };
        let mut stops = vec![end(Length::ZERO)];
        let mut joint = rules.grid;
        while joint < length {
            let left = joint - gap;
            let is_free = |o: &RoughOpening| joint <= o.from - keep || left >= o.to + keep;
            if wall.openings.iter().all(is_free) {
                let is_near = |o: &RoughOpening| joint > o.from - near && left < o.to + near;
                let near = if wall.openings.iter().any(is_near) {
                    rules.cost.near_opening
                } else {
                    0
                };
                stops.push(Stop {
                    right: left,
                    left: joint,
                    by_need: 0,
                    cents: rules.cost.joint_ft * 9 + near,
                    is_joint: true,
                });
            }
            joint += rules.grid;
        }
        stops.extend(wall.openings.iter().map(|o| Stop {
            right: o.from,
            left: o.to,
            by_need: i32::from(o.width() <= rules.openings.whole_up_to),
            cents: rules.cost.framed_opening,
            is_joint: false,
        }));
        stops.sort_by_key(|stop| (stop.left, stop.right));
        stops.push(end(length));
        let assembly = rules.assemblies.get(wall.assembly);
        Self {
            wall,
            rules,
            pricer: Pricer::new(rules, assembly, height).for_run(length),
            stops,
        }
    }

    /// The least cost where so many panels were issued, and these of them, from and to, could be kept.
    pub(crate) fn least(&self, (issued, n_issued): (&[(Length, Length)], usize)) -> Option<Cost> {
        let one = Cost::of_issued(self.rules.revisions.issued_panel);
        let last = self.stops.len() - 1;
        let mut least: Vec<Option<Cost>> = vec![None; self.stops.len()];
        least[last] = Some(Cost::default());
        for here in (0..last).rev() {
            let ends = here + 1..=last;
            let costs = ends.filter_map(|there| {
                let (from, to) = (self.stops[here].left, self.stops[there].right);
                let kept = if issued.contains(&(from, to)) {
                    -one
                } else {
                    Cost::default()
                };
                Some(self.panel(here, there)? + kept + least[there]?)
            });
            least[here] = costs.min();
        }
        Some((0..n_issued).fold(least[0]?, |sum, _| sum + one))
    }

    /// Every layout there is: openings framed by need and cents, and its joints.
    pub(crate) fn every(&self) -> Vec<((i64, i64), Vec<Length>)> {
        let last = self.stops.len() - 1;
        let mut found = Vec::new();
        let mut waiting = vec![(0, Cost::default(), Vec::new())];
        while let Some((here, cost, joints)) = waiting.pop() {
            if here == last {
                found.push(((cost.framed_by_need(), cost.whole_cents()), joints));
                continue;
            }
            for there in here + 1..=last {
                if let Some(panel) = self.panel(here, there) {
                    let stop = self.stops[there];
                    let mut joints = joints.clone();
                    joints.extend(stop.is_joint.then_some(stop.left));
                    waiting.push((there, cost + panel, joints));
                }
            }
        }
        found
    }

    /// The cost of the panel between two boundaries, the right one included; `None` where there can be none.
    fn panel(&self, here: usize, there: usize) -> Option<Cost> {
        let (wall, rules) = (self.wall, self.rules);
        let last = self.stops.len() - 1;
        let from = self.stops[here].left;
        let Stop {
            right: to,
            by_need,
            cents,
            ..
        } = self.stops[there];
        let (width, gap) = (to - from, rules.joints.gap);
        let whole = |o: &&RoughOpening| o.from >= from && o.to <= to;
        let held: Vec<_> = wall.openings.iter().filter(whole).collect();
        let mut openings = wall.openings.iter();
        let is_cut = openings.any(|o| o.from < to && o.to > from && !whole(&o));
        let leg = rules.openings.least_leg;
        let is_legged = held.iter().all(|o| {
            o.from - from >= leg && to - o.to >= leg && o.width() <= rules.openings.whole_up_to
        });
        // A strip that touches a framed opening and no joint may be a pier.
        let is_strip = width < rules.joints.least_panel;
        let is_pier = !self.stops[here].is_joint
            && !self.stops[there].is_joint
            && (here, there) != (0, last)
            && held.is_empty()
            && width >= rules.piers.least;
        if is_cut || !is_legged || (is_strip && !is_pier) {
            return None;
        }
        let pier = if is_strip { rules.piers.cents } else { 0 };
        let area = held.iter().map(|o| square_feet(o.width(), o.height()));
        let panel = self.pricer.price(width, area.sum())?.cents;
        let module = Length::inches(24);
        let fills = |width: Length| width.floor_to(module) == width;
        let is_module = fills(width + gap) || (there == last && fills(width));
        let legs = held.first().zip(held.last());
        let uneven = legs.map_or(Length::ZERO, |(a, b)| (a.from - from - (to - b.to)).abs());
        let is_alone = fills(width + gap) || (fills(width) && (here == 0 || there == last));
        let off = if is_alone || is_strip {
            0
        } else {
            rules.cost.off_module
        };
        let soft = off + rules.cost.uneven_legs * uneven.steps_of(Length::inches(6));
        let cost = Cost::cents(panel + pier + cents + soft)
            .with_framed(by_need)
            .with_off_module(i32::from(!is_module));
        Some(cost.with_uneven(uneven))
    }
}
