//! Walls that stand over each other, and what the joints of one cost the other.
//!
//! ```text
//!   upper   ├──────┼───────┼────┤     each joint of an upper wall that stands over none costs alignment.cents,
//!   lower ├────────┼───────┼────┤     and each that does gives it back to the joint below
//! ```
//!
//! A wall is searched with the storeys over and under it as they are; `together.rs` says which walls are searched when, and what that
//! proves.

use super::ring::Chosen;
use super::run::grid;
use crate::building::{Building, PanelWall, lies_over};
use crate::rules::PlantRules;
use crate::units::Length;

/// Which walls stand over which.
#[derive(Clone, Debug)]
pub(crate) struct Stacks {
    /// For each wall those below it, with what is 0 there along this wall.
    below: Vec<Vec<(usize, Length)>>,
    /// False where storeys are laid out one by one from the lowest up: nothing is asked of joints over each other, or so much leeway
    /// given that one joint serves two.
    pub(crate) is_coupled: bool,
}

impl Stacks {
    pub(crate) fn new(building: &Building, rules: &PlantRules) -> Self {
        let walls = building.walls.iter();
        let below = walls.map(|wall| walls_below(building, rules, wall));
        let (asked, least) = (&rules.alignment, rules.joints.least_panel);
        Self {
            below: below.collect(),
            is_coupled: asked.cents > 0 && asked.within * 2 < least,
        }
    }

    /// The walls below a wall, each with what is 0 there along this wall.
    pub(crate) fn below(&self, wall: usize) -> &[(usize, Length)] {
        self.below.get(wall).map_or(&[], Vec::as_slice)
    }

    /// The walls above a wall, each with what is 0 here along that one.
    pub(crate) fn above(&self, wall: usize) -> impl Iterator<Item = (usize, Length)> + '_ {
        let all = self.below.iter().enumerate();
        all.flat_map(move |(upper, lowers)| {
            let here = lowers.iter().filter(move |(lower, _)| *lower == wall);
            here.map(move |(_, start)| (upper, *start))
        })
    }

    /// The joints over and under a wall, as far as they are chosen.
    pub(crate) fn neighbours(
        &self,
        rules: &PlantRules,
        wall: usize,
        chosen: &[Option<Chosen>],
    ) -> Neighbours {
        let joints = |wall: usize| {
            let chosen = chosen.get(wall).and_then(Option::as_ref);
            let solution = chosen.and_then(|it| it.solution.as_ref());
            solution.into_iter().flat_map(super::Solution::joints)
        };
        let under = |wall: usize, but: Option<usize>| {
            let walls = self.below(wall).iter();
            let walls = walls.filter(|(lower, _)| Some(*lower) != but);
            let mut all: Vec<Length> = walls
                .flat_map(|(lower, start)| joints(*lower).map(|x| x + *start))
                .collect();
            all.sort_unstable();
            all
        };
        let mut above = Vec::new();
        for (upper, start) in self.above(wall).filter(|_| self.is_coupled) {
            let others = under(upper, Some(wall));
            let open = joints(upper).filter(|x| !is_near(&others, *x, rules.alignment.within));
            above.extend(open.map(|x| x - start));
        }
        above.sort_unstable();
        Neighbours {
            below: (!self.below(wall).is_empty()).then(|| under(wall, None)),
            above,
        }
    }
}

/// The joints over and under a wall, along it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Neighbours {
    /// Joints of the walls below, rising; `None` where none stands below.
    pub(crate) below: Option<Vec<Length>>,
    /// Joints of the walls above that stand over no other wall's joint, rising.
    pub(crate) above: Vec<Length>,
}

impl Neighbours {
    /// The same seen from inside.
    pub(crate) fn mirrored(&self, mirror: impl Fn(&[Length]) -> Vec<Length>) -> Self {
        Self {
            below: self.below.as_deref().map(&mirror),
            above: mirror(&self.above),
        }
    }

    /// True when a joint stands over one of the wall below, or no wall stands there.
    pub(crate) fn is_over_joint(&self, joint: Length, rules: &PlantRules) -> bool {
        let below = self.below.as_deref();
        below.is_none_or(|below| is_near(below, joint, rules.alignment.within))
    }

    /// Whole cents of a joint: what it costs over none, less what the one above it gives back.
    pub(crate) fn cents(&self, joint: Length, rules: &PlantRules) -> i64 {
        let asked = &rules.alignment;
        let aside = i64::from(!self.is_over_joint(joint, rules));
        let first = self.above.partition_point(|x| *x < joint - asked.within);
        let served = self.above[first..].iter();
        let served = served.take_while(|x| **x <= joint + asked.within).count();
        let served = i64::try_from(served).unwrap_or(i64::MAX);
        asked.cents.saturating_mul(aside - served)
    }

    /// Whole cents of the joints above if none stands under any: paid first, and given back by those that do.
    pub(crate) fn all(&self, rules: &PlantRules) -> i64 {
        let above = i64::try_from(self.above.len()).unwrap_or(i64::MAX);
        rules.alignment.cents.saturating_mul(above)
    }

    /// Whole cents of a wall with these joints for the joints over and under it.
    pub(crate) fn total(&self, joints: impl Iterator<Item = Length>, rules: &PlantRules) -> i64 {
        joints.fold(self.all(rules), |sum, joint| {
            sum.saturating_add(self.cents(joint, rules))
        })
    }

    /// Whole cents of that which the walls above pay.
    pub(crate) fn paid_above(
        &self,
        joints: impl Iterator<Item = Length>,
        rules: &PlantRules,
    ) -> i64 {
        let own = Self {
            below: None,
            above: self.above.clone(),
        };
        own.total(joints, rules)
    }
}

/// True when some of these rising places is no farther than `within`.
fn is_near(places: &[Length], at: Length, within: Length) -> bool {
    let next = places.partition_point(|other| *other < at - within);
    places.get(next).is_some_and(|other| *other <= at + within)
}

/// The walls below a wall, each with what is 0 there along this wall.
fn walls_below(building: &Building, rules: &PlantRules, wall: &PanelWall) -> Vec<(usize, Length)> {
    let others = building.walls.iter().enumerate();
    let over = others.filter_map(|(i, other)| Some((i, lies_over(wall, other, grid(rules))?)));
    over.collect()
}
