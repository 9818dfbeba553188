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

use crate::side_by_side::{both_of_many, one_of_many, side_by_side};
use geo::Coord;
use smallvec::SmallVec;

/// So many lie in one box of the level above: a processor compares that many at once.
const IN_ONE: usize = 16;
/// Fewer are put in order by one thread before a second one is awake.
const FEW: usize = 2048;
/// More levels than things that fit into a memory have.
const LEVELS: usize = 12;

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Area {
    pub low: Coord<f64>,
    pub high: Coord<f64>,
}

impl Area {
    /// The box of two points.
    pub(super) fn of(a: Coord<f64>, b: Coord<f64>) -> Self {
        Self {
            low: lowest(a, b),
            high: highest(a, b),
        }
    }

    /// The box of some points, grown by a margin.
    pub(super) fn around(points: &[Coord<f64>], margin: f64) -> Option<Self> {
        let first = *points.first()?;
        let by = Coord {
            x: margin,
            y: margin,
        };
        Some(Self {
            low: points.iter().fold(first, |a, b| lowest(a, *b)) - by,
            high: points.iter().fold(first, |a, b| highest(a, *b)) + by,
        })
    }

    /// True when two boxes share a point.
    pub(super) fn meets(&self, other: &Self) -> bool {
        (self.low.x <= other.high.x)
            & (self.high.x >= other.low.x)
            & (self.low.y <= other.high.y)
            & (self.high.y >= other.low.y)
    }

    /// True when another box lies within this one and touches none of its sides.
    pub(super) fn holds(&self, other: &Self) -> bool {
        self.low.x < other.low.x
            && self.high.x > other.high.x
            && self.low.y < other.low.y
            && self.high.y > other.high.y
    }
}

fn lowest(a: Coord<f64>, b: Coord<f64>) -> Coord<f64> {
    Coord {
        x: a.x.min(b.x),
        y: a.y.min(b.y),
    }
}

fn highest(a: Coord<f64>, b: Coord<f64>) -> Coord<f64> {
    Coord {
        x: a.x.max(b.x),
        y: a.y.max(b.y),
    }
}

/// What was found near a place: mostly few.
pub(super) type Found = SmallVec<[usize; IN_ONE]>;

/// Boxes by where they lie; each is known by its number.
#[derive(Clone, Debug, Default)]
pub(super) struct Nearby {
    /// Level by level, from the things themselves up to the one bunch of boxes that hold all.
    levels: Vec<Vec<Bunch>>,
    /// The things, as they stand in the lowest level.
    boxes: Vec<Area>,
    /// Their numbers.
    numbers: Vec<usize>,
}

/// Boxes side by side in memory: from left, from below, to the right and to above turned about, each rounded outwards.
/// What is missing is no number, which meets nothing.
#[derive(Clone, Debug)]
struct Bunch([[f32; IN_ONE]; 4]);

impl Bunch {
    fn of(boxes: &[Area]) -> Self {
        let mut all = [[f32::NAN; IN_ONE]; 4];
        for (i, own) in boxes.iter().enumerate() {
            let (low, high) = (own.low, own.high);
            for (side, value) in [low.x, low.y, -high.x, -high.y].into_iter().enumerate() {
                all[side][i] = below(value);
            }
        }
        Self(all)
    }

    /// Which of them may share a point with an area, given by [`beyond`]: a bit for each, from the lowest.
    fn meeting(&self, beyond: [f32; 4]) -> u32 {
        let [left, low, right, high] = &self.0;
        let mut hits = 0;
        for i in 0..IN_ONE {
            let hit = (left[i] <= beyond[0])
                & (low[i] <= beyond[1])
                & (right[i] <= beyond[2])
                & (high[i] <= beyond[3]);
            hits |= u32::from(hit) << i;
        }
        hits
    }
}

/// What a box that meets an area does not lie beyond, rounded outwards.
fn beyond(area: &Area) -> [f32; 4] {
    let (low, high) = (area.low, area.high);
    [
        -below(-high.x),
        -below(-high.y),
        -below(low.x),
        -below(low.y),
    ]
}

/// A number of half the digits that is not above, and not far below; what is greater than all such numbers is as good as the
/// greatest, so that order stays.
#[expect(
    clippy::cast_possible_truncation,
    reason = "what the rounding adds is taken off again"
)]
fn below(value: f64) -> f32 {
    let near = value.clamp(-GREATEST, GREATEST) as f32;
    near - near.abs() * f32::EPSILON - f32::MIN_POSITIVE
}

/// Near the greatest number of half the digits.
const GREATEST: f64 = 1e38;

impl Nearby {
    /// Packs boxes, each with its number.
    pub(super) fn new(boxes: impl Iterator<Item = (Area, usize)>) -> Self {
        let all: Vec<_> = boxes.collect();
        let order = arranged(&all);
        let boxes: Vec<_> = order.iter().map(|i| all[*i].0).collect();
        let numbers = order.iter().map(|i| all[*i].1).collect();
        let mut levels: Vec<Vec<Bunch>> = Vec::new();
        let mut above = boxes.clone();
        while above.len() > 1 || levels.is_empty() && !above.is_empty() {
            let parts: Vec<&[Area]> = above.chunks(IN_ONE).collect();
            let (bunches, around) = both_of_many(
                parts.len(),
                || one_of_many(parts.len(), |i| Bunch::of(parts[i])),
                || one_of_many(parts.len(), |i| around(parts[i])),
            );
            levels.push(bunches);
            above = around;
        }
        Self {
            levels,
            boxes,
            numbers,
        }
    }

    /// Packs points, numbered in their order.
    pub(super) fn points(points: impl Iterator<Item = Coord<f64>>) -> Self {
        Self::new(points.enumerate().map(|(i, p)| (Area::of(p, p), i)))
    }

    /// Packs straight lines, numbered in their order.
    pub(super) fn lines(lines: impl Iterator<Item = (Coord<f64>, Coord<f64>)>) -> Self {
        Self::new(lines.enumerate().map(|(i, (a, b))| (Area::of(a, b), i)))
    }

    /// Hands on the number of each box that meets an area, in no order that means anything.
    pub(super) fn visit(&self, area: &Area, mut visit: impl FnMut(usize)) {
        self.any_box(area, &mut |own, i| {
            if own.meets(area) {
                visit(i);
            }
            false
        });
    }

    /// True when one of the boxes that meet an area is what is looked for.
    pub(super) fn any(&self, area: &Area, mut is_it: impl FnMut(usize) -> bool) -> bool {
        self.any_box(area, &mut |own, i| own.meets(area) && is_it(i))
    }

    /// The numbers of the boxes that meet an area, rising.
    pub(super) fn sorted(&self, area: &Area) -> Found {
        let mut found = Found::new();
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
        let by = Coord { x: reach, y: reach };
        let area = Area {
            low: p - by,
            high: p + by,
        };
        self.any_box(&area, &mut |own, i| {
            let Coord { x, y } = own.low - p;
            x * x + y * y <= reach * reach && is_it(i)
        })
    }

    /// True when one of the boxes that may meet an area is what is looked for.
    ///
    /// Level by level down to the things and on to the next bunch, without calls: most bunches hold one or two that are near.
    #[inline]
    fn any_box(&self, area: &Area, is_it: &mut impl FnMut(&Area, usize) -> bool) -> bool {
        let beyond = beyond(area);
        let Some(top) = self.levels.len().checked_sub(1) else {
            return false;
        };
        // Of each level the first number of the bunch looked at, and which of it are still to come.
        let mut open = [(0, 0_u32); LEVELS];
        let (mut level, mut bunch) = (top, 0);
        loop {
            let mut hits = self.levels[level][bunch].meeting(beyond);
            let first = bunch * IN_ONE;
            if level > 0 {
                open[level] = (first, hits);
            } else {
                while hits != 0 {
                    let i = first + hits.trailing_zeros() as usize;
                    hits &= hits - 1;
                    if is_it(&self.boxes[i], self.numbers[i]) {
                        return true;
                    }
                }
                level = 1;
            }
            while level <= top && open[level].1 == 0 {
                level += 1;
            }
            if level > top {
                return false;
            }
            let (first, hits) = &mut open[level];
            bunch = *first + hits.trailing_zeros() as usize;
            *hits &= *hits - 1;
            level -= 1;
        }
    }
}

/// The box that holds some.
fn around(part: &[Area]) -> Area {
    part.iter().skip(1).fold(part[0], |a, b| Area {
        low: lowest(a.low, b.low),
        high: highest(a.high, b.high),
    })
}

/// The places of boxes in an order in which what lies together stands side by side: strips of whole bunches of bunches, as
/// wide as their bunches are high.
fn arranged(boxes: &[(Area, usize)]) -> Vec<usize> {
    let middle = |i: usize| (boxes[i].0.low + boxes[i].0.high) / 2.0;
    let mut order = one_of_many(boxes.len(), |i| Placed::of(middle(i).x, i));
    let whole = IN_ONE * IN_ONE;
    let strip = (order.len() * IN_ONE).isqrt().next_multiple_of(whole);
    let strip = strip.max(whole);
    part(&mut order, strip);
    let strips: Vec<&[Placed]> = order.chunks(strip).collect();
    let from_below = |strip: &&[Placed]| {
        let own = strip.iter().map(|it| it.number());
        let mut own: Vec<Placed> = own.map(|i| Placed::of(middle(i).y, i)).collect();
        own.sort_unstable();
        own
    };
    let sorted = match boxes.len() {
        FEW.. => side_by_side(&strips, from_below),
        _ => strips.iter().map(from_below).collect(),
    };
    sorted.iter().flatten().map(|it| it.number()).collect()
}

/// Where a box lies along one direction, roughly, and its number: one whole number, which is compared and moved at once.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Placed(u64);

/// So many bits hold the number of a box.
const NUMBER: u32 = 32;

impl Placed {
    fn of(value: f64, number: usize) -> Self {
        let bits = below(value).to_bits();
        let rising = if bits.cast_signed() < 0 {
            !bits
        } else {
            bits ^ (1 << 31)
        };
        Self(u64::from(rising) << NUMBER | number as u64)
    }

    fn number(self) -> usize {
        #[expect(clippy::cast_possible_truncation, reason = "it was put in so")]
        let number = self.0 as u32;
        number as usize
    }
}

/// Where a number stands among all numbers, as `total_cmp` has them: whole numbers are sorted in half the time.
pub(super) fn rank(value: f64) -> i64 {
    let bits = value.to_bits().cast_signed();
    if bits < 0 { bits ^ i64::MAX } else { bits }
}

/// Parts boxes into strips of so many from left to right, in no order within a strip.
fn part(boxes: &mut [Placed], strip: usize) {
    let count = boxes.len();
    let middle = count.div_ceil(strip) / 2 * strip;
    if middle > 0 {
        boxes.select_nth_unstable(middle);
        let (left, right) = boxes.split_at_mut(middle);
        both_of_many(count, || part(left, strip), || part(right, strip));
    }
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
                    let size = Coord::from((at(i, 7, 31) + far, at(i, 11, 5)));
                    Area::of((x, y).into(), Coord::from((x, y)) + size)
                })
                .collect();
            let tree = Nearby::new(boxes.iter().copied().zip(0..));
            for i in 0..60 {
                let (x, y) = (at(i, 41, 211), at(i, 29, 97));
                let area = Area::of((x, y).into(), (x + at(i, 3, 40), y + 2.0).into());
                let expected: Vec<usize> = (0..boxes.len())
                    .filter(|&k| boxes[k].meets(&area))
                    .collect();
                assert_eq!(tree.sorted(&area).as_slice(), expected);
            }
        }
    }

    #[test]
    fn rounding_keeps_below_and_in_order() {
        let values = [
            -1e300,
            -1e38,
            -7.1,
            -1e-50,
            0.0,
            1e-300,
            0.1,
            7.1,
            16_777_217.0,
            1e38,
            1e300,
        ];
        assert!(values.is_sorted_by(|a, b| below(*a) <= below(*b)));
        for value in values.into_iter().filter(|it| it.abs() <= GREATEST) {
            assert!(f64::from(below(value)) < value, "{value}");
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
