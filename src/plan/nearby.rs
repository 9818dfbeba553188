//! What lies near a place: boxes packed once into a tree, and asked many times.
//!
//! ```text
//!   ┌─┬──┐ ┌──┬┐      eight boxes near each other lie in one, eight of those in one: halved by number along the longer
//!   ├─┼─┬┘ └┬─┤│      side, so that one thing far away spoils nothing
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
    /// Level by level, from the things themselves up to the one box round all.
    levels: Vec<Vec<AABB<[f64; 2]>>>,
    /// The number of each box of the lowest level.
    numbers: Vec<usize>,
}

/// The middle of a box, and its number.
type Middle = ([f64; 2], usize);

impl Nearby {
    /// Packs boxes, each with its number.
    pub(super) fn new(boxes: impl Iterator<Item = (AABB<[f64; 2]>, usize)>) -> Self {
        let boxes: Vec<_> = boxes.collect();
        let mut middles: Vec<Middle> = boxes
            .iter()
            .enumerate()
            .map(|(i, (area, _))| (area.center(), i))
            .collect();
        arrange(&mut middles);
        let mut below: Vec<_> = middles.iter().map(|(_, i)| boxes[*i].0).collect();
        let mut levels = Vec::new();
        while below.len() > 1 {
            let above = below
                .chunks(IN_ONE)
                .map(|part| part.iter().skip(1).fold(part[0], |a, b| a.merged(b)))
                .collect();
            levels.push(std::mem::replace(&mut below, above));
        }
        levels.push(below);
        Self {
            levels,
            numbers: middles.iter().map(|(_, i)| boxes[*i].1).collect(),
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
        self.any_box(area, &mut |_, i| is_it(i))
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

    fn any_box(
        &self,
        area: &AABB<[f64; 2]>,
        is_it: &mut impl FnMut(&AABB<[f64; 2]>, usize) -> bool,
    ) -> bool {
        let Some(top) = self.levels.last() else {
            return false;
        };
        self.any_in(self.levels.len() - 1, 0, top.len(), area, is_it)
    }

    fn any_in(
        &self,
        level: usize,
        from: usize,
        to: usize,
        area: &AABB<[f64; 2]>,
        is_it: &mut impl FnMut(&AABB<[f64; 2]>, usize) -> bool,
    ) -> bool {
        // First all eight, then those that meet: which of them do is nothing a processor can foresee.
        let boxes = &self.levels[level];
        let (mut hits, mut n) = ([0; IN_ONE], 0);
        for (i, own) in (from..to).zip(&boxes[from..to]) {
            hits[n] = i;
            n += usize::from(do_meet(own, area));
        }
        for &i in &hits[..n] {
            let found = if level == 0 {
                is_it(&boxes[i], self.numbers[i])
            } else {
                let last = ((i + 1) * IN_ONE).min(self.levels[level - 1].len());
                self.any_in(level - 1, i * IN_ONE, last, area, is_it)
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

/// Puts what lies together side by side: whole boxes of every level, the last one excepted.
fn arrange(list: &mut [Middle]) {
    let mut full = IN_ONE;
    while full * IN_ONE < list.len() {
        full *= IN_ONE;
    }
    part(list, full);
}

/// Halves a list along its longer side until each part fills one box.
fn part(list: &mut [Middle], full: usize) {
    if list.len() <= full {
        if full > IN_ONE {
            part(list, full / IN_ONE);
        }
        return;
    }
    let all = list
        .iter()
        .skip(1)
        .fold(AABB::from_point(list[0].0), |all, it| {
            all.merged(&AABB::from_point(it.0))
        });
    let (low, high) = (all.lower(), all.upper());
    let side = usize::from(high[1] - low[1] > high[0] - low[0]);
    let half = list.len().div_ceil(full) / 2 * full;
    list.select_nth_unstable_by(half, |p, q| {
        p.0[side].total_cmp(&q.0[side]).then(p.1.cmp(&q.1))
    });
    let (before, after) = list.split_at_mut(half);
    part(before, full);
    part(after, full);
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
