//! What lies near a place: boxes packed once into a tree, and asked many times.
//!
//! ```text
//!   ┌─┬──┐ ┌──┬┐      eight boxes near each other lie in one, eight of those in one: strips by number from left to right,
//!   ├─┼─┬┘ └┬─┤│      each from the bottom up, so that one thing far away spoils nothing
//!   └─┘ └───┴─┴┘
//! ```
//!
//! Why not `rstar` here: recovery asks a million times of what never changes, and a third of its time went into that
//! crate's iterators. What is asked seldom, or grows while it is asked, stays with `rstar`.

use geo::Coord;
use rstar::{AABB, Envelope};

/// So many lie in one box of the level above.
const IN_ONE: usize = 8;

/// Boxes by where they lie; each is known by its number.
#[derive(Clone, Debug, Default)]
pub(super) struct Nearby {
    /// Level by level, from the things themselves up to the one eight of boxes that hold all.
    levels: Vec<Vec<Eight>>,
    /// The number of each box of the lowest level.
    numbers: Vec<usize>,
}

/// Eight boxes, side by side in memory so that they are compared at once; what is missing is no number and meets nothing.
#[derive(Clone, Debug)]
struct Eight {
    low: [[f64; IN_ONE]; 2],
    high: [[f64; IN_ONE]; 2],
}

impl Eight {
    fn of(boxes: &[AABB<[f64; 2]>]) -> Self {
        let mut all = Self {
            low: [[f64::NAN; IN_ONE]; 2],
            high: [[f64::NAN; IN_ONE]; 2],
        };
        for (i, own) in boxes.iter().enumerate() {
            let (low, high) = (own.lower(), own.upper());
            for side in 0..2 {
                (all.low[side][i], all.high[side][i]) = (low[side], high[side]);
            }
        }
        all
    }

    /// Which of them share a point with an area: the lowest bit of each byte.
    fn meeting(&self, area: &AABB<[f64; 2]>) -> u64 {
        let (from, to) = (area.lower(), area.upper());
        let mut hits = [0_u8; IN_ONE];
        for (i, hit) in hits.iter_mut().enumerate() {
            let meets = (self.low[0][i] <= to[0])
                & (self.high[0][i] >= from[0])
                & (self.low[1][i] <= to[1])
                & (self.high[1][i] >= from[1]);
            *hit = u8::from(meets);
        }
        u64::from_le_bytes(hits)
    }
}

impl Nearby {
    /// Packs boxes, each with its number.
    pub(super) fn new(boxes: impl Iterator<Item = (AABB<[f64; 2]>, usize)>) -> Self {
        let boxes: Vec<_> = boxes.collect();
        let order = arranged(&boxes);
        let mut below: Vec<_> = order.iter().map(|i| boxes[*i].0).collect();
        let mut levels = Vec::new();
        while !below.is_empty() {
            levels.push(below.chunks(IN_ONE).map(Eight::of).collect());
            if below.len() <= IN_ONE {
                break;
            }
            below = below
                .chunks(IN_ONE)
                .map(|part| part.iter().skip(1).fold(part[0], |a, b| a.merged(b)))
                .collect();
        }
        Self {
            levels,
            numbers: order.iter().map(|i| boxes[*i].1).collect(),
        }
    }

    /// Packs points, numbered in their order.
    pub(super) fn points(points: impl Iterator<Item = Coord<f64>>) -> Self {
        Self::new(
            points
                .enumerate()
                .map(|(i, p)| (AABB::from_point([p.x, p.y]), i)),
        )
    }

    /// Packs straight lines, numbered in their order.
    pub(super) fn lines(lines: impl Iterator<Item = (Coord<f64>, Coord<f64>)>) -> Self {
        Self::new(
            lines
                .enumerate()
                .map(|(i, (a, b))| (AABB::from_corners([a.x, a.y], [b.x, b.y]), i)),
        )
    }

    /// Hands on the number of each box that meets an area, in no order that means anything.
    pub(super) fn visit(&self, area: &AABB<[f64; 2]>, mut visit: impl FnMut(usize)) {
        self.any(area, |i| {
            visit(i);
            false
        });
    }

    /// True when one of the boxes that meet an area is what is looked for.
    pub(super) fn any(&self, area: &AABB<[f64; 2]>, mut is_it: impl FnMut(usize) -> bool) -> bool {
        self.any_box(area, &mut |_, _, i| is_it(i))
    }

    /// The numbers of the boxes that meet an area, rising.
    pub(super) fn sorted(&self, area: &AABB<[f64; 2]>) -> Vec<usize> {
        let mut found = Vec::new();
        self.visit(area, |i| found.push(i));
        found.sort_unstable();
        found
    }

    /// Hands on the number of each point within a distance of another.
    pub(super) fn visit_within(&self, p: Coord<f64>, reach: f64, mut visit: impl FnMut(usize)) {
        self.any_within(p, reach, |i| {
            visit(i);
            false
        });
    }

    /// True when one of the points within a distance of another is what is looked for.
    pub(super) fn any_within(
        &self,
        p: Coord<f64>,
        reach: f64,
        mut is_it: impl FnMut(usize) -> bool,
    ) -> bool {
        let area = AABB::from_corners([p.x - reach, p.y - reach], [p.x + reach, p.y + reach]);
        self.any_box(&area, &mut |own, at, i| {
            let (x, y) = (own.low[0][at] - p.x, own.low[1][at] - p.y);
            x * x + y * y <= reach * reach && is_it(i)
        })
    }

    fn any_box(
        &self,
        area: &AABB<[f64; 2]>,
        is_it: &mut impl FnMut(&Eight, usize, usize) -> bool,
    ) -> bool {
        !self.levels.is_empty() && self.any_in(self.levels.len() - 1, 0, area, is_it)
    }

    /// Hands on the boxes below one eight that meet an area: the eight, the place in it and the number.
    fn any_in(
        &self,
        level: usize,
        eight: usize,
        area: &AABB<[f64; 2]>,
        is_it: &mut impl FnMut(&Eight, usize, usize) -> bool,
    ) -> bool {
        let own = &self.levels[level][eight];
        let mut hits = own.meeting(area);
        while hits != 0 {
            let at = (hits.trailing_zeros() / 8) as usize;
            hits &= hits - 1;
            let i = eight * IN_ONE + at;
            let found = if level == 0 {
                is_it(own, at, self.numbers[i])
            } else {
                self.any_in(level - 1, i, area, is_it)
            };
            if found {
                return true;
            }
        }
        false
    }
}

/// The places of boxes in an order in which what lies together stands side by side: strips of whole eights of eights.
fn arranged(boxes: &[(AABB<[f64; 2]>, usize)]) -> Vec<usize> {
    let mut order: Vec<([f64; 2], usize)> = boxes
        .iter()
        .enumerate()
        .map(|(i, (area, _))| (area.center(), i))
        .collect();
    let by = |side: usize| {
        move |p: &([f64; 2], usize), q: &([f64; 2], usize)| {
            p.0[side].total_cmp(&q.0[side]).then(p.1.cmp(&q.1))
        }
    };
    order.sort_unstable_by(by(0));
    let eights = order.len().div_ceil(IN_ONE * IN_ONE);
    let strip = eights.div_ceil(eights.isqrt().max(1)) * IN_ONE * IN_ONE;
    for part in order.chunks_mut(strip.max(1)) {
        part.sort_unstable_by(by(1));
    }
    order.into_iter().map(|(_, i)| i).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_found_is_what_a_look_at_every_box_finds() {
        // Boxes of many sizes, one far away, some upon each other.
        let at = |i: u32, by: u32, of: u32| f64::from(i * by % of);
        for n in [0, 1, 7, 8, 9, 65, 700] {
            let boxes: Vec<_> = (0..n)
                .map(|i| {
                    let (x, y) = (at(i, 37, 211), at(i, 53, 97));
                    let far = if i == 5 { 1e9 } else { 0.0 };
                    AABB::from_corners([x, y], [x + at(i, 7, 31) + far, y + at(i, 11, 5)])
                })
                .collect();
            let tree = Nearby::new(boxes.iter().copied().zip(0..));
            for i in 0..60 {
                let (x, y) = (at(i, 41, 211), at(i, 29, 97));
                let area = AABB::from_corners([x, y], [x + at(i, 3, 40), y + 2.0]);
                let expected: Vec<usize> = (0..boxes.len())
                    .filter(|&k| boxes[k].intersects(&area))
                    .collect();
                assert_eq!(tree.sorted(&area), expected);
            }
        }
    }

    #[test]
    fn points_within_a_distance_are_found() {
        let tree = Nearby::points((0..100).map(|i| (f64::from(i), 0.0).into()));
        let mut found = Vec::new();
        tree.visit_within((50.0, 3.0).into(), 5.0, |i| found.push(i));
        found.sort_unstable();
        assert_eq!(found, (46..=54).collect::<Vec<_>>());
    }
}
