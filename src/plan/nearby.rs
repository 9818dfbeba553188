//! What lies near a place: boxes packed once into a tree, and asked many times.
//!
//! ```text
//!   ┌─┬──┐ ┌──┬┐      sixteen boxes near each other lie in one, sixteen of those in one: strips by number from left to
//!   ├─┼─┬┘ └┬─┤│      right, each from the bottom up, so that one thing far away spoils nothing
//!   └─┘ └───┴─┴┘
//! ```
//!
//! Why not `rstar` here: recovery asks a million times of what never changes, and a third of its time went into that
//! crate's iterators. What is asked seldom, or grows while it is asked, stays with `rstar`.

use geo::Coord;
use rstar::{AABB, Envelope};

/// So many lie in one box of the level above: a processor compares that many at once.
const IN_ONE: usize = 16;

/// Boxes by where they lie; each is known by its number.
#[derive(Clone, Debug, Default)]
pub(super) struct Nearby {
    /// Level by level, from the things themselves up to the one bunch of boxes that hold all.
    levels: Vec<Vec<Bunch>>,
    /// The things, as they stand in the lowest level.
    boxes: Vec<AABB<[f64; 2]>>,
    /// Their numbers.
    numbers: Vec<usize>,
}

/// Boxes side by side in memory: from left, from below, to the right and to above turned about, each rounded outwards.
/// What is missing is no number, which meets nothing.
#[derive(Clone, Debug)]
struct Bunch([[f32; IN_ONE]; 4]);

impl Bunch {
    fn of(boxes: &[AABB<[f64; 2]>]) -> Self {
        let mut all = [[f32::NAN; IN_ONE]; 4];
        for (i, own) in boxes.iter().enumerate() {
            let (low, high) = (own.lower(), own.upper());
            for (side, value) in [low[0], low[1], -high[0], -high[1]].into_iter().enumerate() {
                all[side][i] = below(value);
            }
        }
        Self(all)
    }

    /// Which of them may share a point with an area, given by [`beyond`]: the lowest bit of each byte.
    fn meeting(&self, beyond: [f32; 4]) -> u128 {
        let [left, low, right, high] = &self.0;
        let mut hits = [0_u8; IN_ONE];
        for (i, hit) in hits.iter_mut().enumerate() {
            *hit = u8::from(
                (left[i] <= beyond[0])
                    & (low[i] <= beyond[1])
                    & (right[i] <= beyond[2])
                    & (high[i] <= beyond[3]),
            );
        }
        u128::from_le_bytes(hits)
    }
}

/// What a box that meets an area does not lie beyond, rounded outwards.
fn beyond(area: &AABB<[f64; 2]>) -> [f32; 4] {
    let (low, high) = (area.lower(), area.upper());
    [high[0], high[1], -low[0], -low[1]].map(|it| -below(-it))
}

/// The next number of half the digits that is not above.
#[expect(
    clippy::cast_possible_truncation,
    reason = "what the rounding adds is taken off again"
)]
fn below(value: f64) -> f32 {
    let near = value as f32;
    if f64::from(near) > value {
        near.next_down()
    } else {
        near
    }
}

impl Nearby {
    /// Packs boxes, each with its number.
    pub(super) fn new(boxes: impl Iterator<Item = (AABB<[f64; 2]>, usize)>) -> Self {
        let all: Vec<_> = boxes.collect();
        let order = arranged(&all);
        let boxes: Vec<_> = order.iter().map(|i| all[*i].0).collect();
        let numbers = order.iter().map(|i| all[*i].1).collect();
        let mut levels: Vec<Vec<Bunch>> = Vec::new();
        let mut above = boxes.clone();
        while above.len() > 1 || levels.is_empty() && !above.is_empty() {
            let parts = above.chunks(IN_ONE);
            levels.push(parts.clone().map(Bunch::of).collect());
            above = parts
                .map(|part| part.iter().skip(1).fold(part[0], |a, b| a.merged(b)))
                .collect();
        }
        Self {
            levels,
            boxes,
            numbers,
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
        self.any_box(area, &mut |own, i| do_meet(own, area) && is_it(i))
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
        self.any_box(&area, &mut |own, i| {
            let [x, y] = own.lower();
            let (x, y) = (x - p.x, y - p.y);
            x * x + y * y <= reach * reach && is_it(i)
        })
    }

    /// True when one of the boxes that may meet an area is what is looked for.
    fn any_box(
        &self,
        area: &AABB<[f64; 2]>,
        is_it: &mut impl FnMut(&AABB<[f64; 2]>, usize) -> bool,
    ) -> bool {
        !self.levels.is_empty() && self.any_in(self.levels.len() - 1, 0, beyond(area), is_it)
    }

    fn any_in(
        &self,
        level: usize,
        bunch: usize,
        beyond: [f32; 4],
        is_it: &mut impl FnMut(&AABB<[f64; 2]>, usize) -> bool,
    ) -> bool {
        let mut hits = self.levels[level][bunch].meeting(beyond);
        while hits != 0 {
            let i = bunch * IN_ONE + (hits.trailing_zeros() / 8) as usize;
            hits &= hits - 1;
            let found = if level == 0 {
                is_it(&self.boxes[i], self.numbers[i])
            } else {
                self.any_in(level - 1, i, beyond, is_it)
            };
            if found {
                return true;
            }
        }
        false
    }
}

/// True when two boxes share a point.
fn do_meet(a: &AABB<[f64; 2]>, b: &AABB<[f64; 2]>) -> bool {
    let (low, high) = (a.lower(), a.upper());
    let (from, to) = (b.lower(), b.upper());
    (low[0] <= to[0]) & (high[0] >= from[0]) & (low[1] <= to[1]) & (high[1] >= from[1])
}

/// The places of boxes in an order in which what lies together stands side by side: strips of whole bunches of bunches, as
/// wide as their bunches are high.
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
    let whole = IN_ONE * IN_ONE;
    let strip = (order.len() * IN_ONE).isqrt().next_multiple_of(whole);
    for part in order.chunks_mut(strip.max(whole)) {
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
