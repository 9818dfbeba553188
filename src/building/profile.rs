//! The face of a wall between its base and its top.
//!
//! ```text
//!            ●            top: a line of points, sloped or level; two points at one x are a step
//!         ●     ●
//!         │     │
//!     ●───●     └───●
//!     │             │     base: from each point's x on, at its level
//!     └────┐        │
//!          └────────┘
//! ```
//!
//! Points are exact. Where an upright cut meets a slope between them, its height is taken to the nearest nanometre: far within
//! `tolerance::SLOPE_CUT`, which the proofs allow there.

use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::Length;
use std::collections::BTreeSet;

/// Base and top of a wall's panels. Wall axes: x along the outside face from the left corner, y above the storey's deck.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WallProfile {
    /// From each point's x on the base lies at its y; the first also holds left of it. Rising in x, never empty.
    pub base: Vec<ShopPoint>,
    /// From left to right, x never falling, at least two. The first and last stretch go on beyond the wall's corners.
    pub top: Vec<ShopPoint>,
}

/// A straight stretch of a wall's top.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TopStretch {
    /// Left end.
    pub from: ShopPoint,
    /// Right end, farther right.
    pub to: ShopPoint,
}

impl TopStretch {
    /// Rise for each inch to the right.
    #[must_use]
    pub fn slope(&self) -> f64 {
        (self.to.y - self.from.y).to_inches() / (self.to.x - self.from.x).to_inches()
    }

    /// Degrees from level; positive rises to the right.
    #[must_use]
    pub fn degrees(&self) -> f64 {
        self.slope().atan().to_degrees()
    }

    /// True when it does not rise.
    #[must_use]
    pub fn is_level(&self) -> bool {
        self.from.y == self.to.y
    }

    /// Height at x, also beyond its ends.
    #[must_use]
    pub fn at(&self, x: Length) -> Length {
        let nm = |length: Length| i128::from(length.to_nanometres());
        let run = nm(self.to.x - self.from.x);
        let rise = nm(self.to.y - self.from.y) * nm(x - self.from.x);
        if run == 0 || rise == 0 {
            return self.from.y;
        }
        let rounded = (rise * 2 + run).div_euclid(run * 2);
        self.from.y + Length::nanometres(i64::try_from(rounded).unwrap_or_default())
    }

    /// What something `square` to the stretch measures upright: `square` by the cosine of the slope. Exact when level.
    #[must_use]
    pub fn upright(&self, square: Length) -> Length {
        if self.is_level() {
            return square;
        }
        let inches = square.to_inches() * self.slope().hypot(1.0);
        Length::nearest(inches, Length::nanometres(1)).unwrap_or(square)
    }
}

impl WallProfile {
    /// A plain wall.
    #[must_use]
    pub fn level(bottom: Length, top: Length, length: Length) -> Self {
        Self {
            base: vec![ShopPoint::new(Length::ZERO, bottom)],
            top: vec![
                ShopPoint::new(Length::ZERO, top),
                ShopPoint::new(length, top),
            ],
        }
    }

    /// True when top and base are level from end to end.
    #[must_use]
    pub fn is_level(&self) -> bool {
        let level = |points: &[ShopPoint]| points.windows(2).all(|pair| pair[0].y == pair[1].y);
        level(&self.base) && level(&self.top)
    }

    /// True when some stretch of the top rises.
    #[must_use]
    pub fn is_sloped(&self) -> bool {
        self.stretches().any(|stretch| !stretch.is_level())
    }

    /// The straight stretches of the top, left to right, without steps.
    pub fn stretches(&self) -> impl Iterator<Item = TopStretch> + '_ {
        let pairs = self.top.windows(2);
        pairs
            .map(|pair| TopStretch {
                from: pair[0],
                to: pair[1],
            })
            .filter(|stretch| stretch.from.x < stretch.to.x)
    }

    /// The stretch over x: at a vertex the one on its left if `is_left`, else on its right.
    #[must_use]
    pub fn stretch(&self, x: Length, is_left: bool) -> Option<TopStretch> {
        let mut last = None;
        for stretch in self.stretches() {
            if x < stretch.to.x || (is_left && x == stretch.to.x) {
                return Some(stretch);
            }
            last = Some(stretch);
        }
        last
    }

    /// Height of the top at x, from the left or from the right of it.
    #[must_use]
    pub fn top_at(&self, x: Length, is_left: bool) -> Length {
        self.stretch(x, is_left)
            .map_or(Length::ZERO, |stretch| stretch.at(x))
    }

    /// Height of the base at x, from the left or from the right of it.
    #[must_use]
    pub fn base_at(&self, x: Length, is_left: bool) -> Length {
        let reached = |step: &&ShopPoint| step.x < x || (step.x == x && !is_left);
        let step = self.base.iter().take_while(reached).last();
        step.or(self.base.first())
            .map_or(Length::ZERO, |step| step.y)
    }

    /// Where its base or its top steps, each once, rising.
    pub fn steps(&self) -> impl Iterator<Item = Length> {
        let tops = self.top.windows(2).filter(|it| it[0].x == it[1].x);
        let bases = self.base.windows(2).filter(|it| it[0].y != it[1].y);
        let all: BTreeSet<Length> = tops.chain(bases).map(|it| it[1].x).collect();
        all.into_iter()
    }

    /// Points of the top from `x0` to `x1`, both cut points included, left to right.
    #[must_use]
    pub fn top_between(&self, x0: Length, x1: Length) -> Vec<ShopPoint> {
        let mut points = vec![ShopPoint::new(x0, self.top_at(x0, false))];
        let inside = |point: &&ShopPoint| x0 < point.x && point.x < x1;
        points.extend(self.top.iter().filter(inside).copied());
        points.push(ShopPoint::new(x1, self.top_at(x1, true)));
        straightened(points)
    }

    /// Points of the base from `x0` to `x1`, left to right, with both ends of each step.
    #[must_use]
    pub fn base_between(&self, x0: Length, x1: Length) -> Vec<ShopPoint> {
        let mut points = vec![ShopPoint::new(x0, self.base_at(x0, false))];
        for step in self.base.iter().filter(|step| x0 < step.x && step.x < x1) {
            points.push(ShopPoint::new(step.x, self.base_at(step.x, true)));
            points.push(*step);
        }
        points.push(ShopPoint::new(x1, self.base_at(x1, true)));
        straightened(points)
    }

    /// The highest and the lowest place of the top from `x0` to `x1`.
    #[must_use]
    pub fn top_range(&self, x0: Length, x1: Length) -> [Length; 2] {
        range(&self.top_between(x0, x1))
    }

    /// The highest and the lowest level of the base from `x0` to `x1`.
    #[must_use]
    pub fn base_range(&self, x0: Length, x1: Length) -> [Length; 2] {
        range(&self.base_between(x0, x1))
    }

    /// How far from `x0` to `x1` the underside of a plate lies above the deck, highest and lowest; the plate is as thick as
    /// `square` and lies along the top.
    #[must_use]
    pub fn underside(&self, x0: Length, x1: Length, square: Length) -> [Length; 2] {
        let inside = self.top.iter().map(|point| point.x);
        let places = inside.filter(|x| x0 < *x && *x < x1).chain([x0, x1]);
        let below = |x: Length, is_left: bool| {
            let stretch = self.stretch(x, is_left);
            stretch.map_or(Length::ZERO, |it| it.at(x) - it.upright(square))
        };
        let (mut high, mut low) = (None::<Length>, None::<Length>);
        for x in places {
            // Where two stretches meet in a ridge, both plates end there and the lower underside counts.
            let sides = match x {
                _ if x == x0 => [below(x, false); 2],
                _ if x == x1 => [below(x, true); 2],
                _ => [below(x, true), below(x, false)],
            };
            let here = sides[0].min(sides[1]);
            high = Some(high.map_or(here, |it| it.max(here)));
            low = Some(low.map_or(here, |it| it.min(here)));
        }
        [high.unwrap_or_default(), low.unwrap_or_default()]
    }

    /// The smallest upright rectangle about the wall from `x0` to `x1`.
    #[must_use]
    pub fn bounds(&self, x0: Length, x1: Length) -> ShopRect {
        let [_, low] = self.base_range(x0, x1);
        let [high, _] = self.top_range(x0, x1);
        ShopRect::new(x0, low, x1, high)
    }

    /// The wall's face within a rectangle, counter-clockwise from its lower left.
    ///
    /// The rectangle's bottom counts where it lies above the whole base, its top where it lies below the whole top.
    #[must_use]
    pub fn within(&self, rect: &ShopRect) -> ShopRing {
        let flat = |y: Length| vec![ShopPoint::new(rect.x0, y), ShopPoint::new(rect.x1, y)];
        let mut base = self.base_between(rect.x0, rect.x1);
        if base.iter().all(|point| point.y <= rect.y0) {
            base = flat(rect.y0);
        }
        let mut top = self.top_between(rect.x0, rect.x1);
        if top.iter().all(|point| point.y >= rect.y1) {
            top = flat(rect.y1);
        }
        top.reverse();
        base.extend(top);
        base.dedup();
        ShopRing(base)
    }
}

/// Without points in the middle of level or upright stretches.
fn straightened(points: Vec<ShopPoint>) -> Vec<ShopPoint> {
    let mut kept: Vec<ShopPoint> = Vec::with_capacity(points.len());
    for point in points {
        if let [.., a, b] = kept.as_slice()
            && ((a.y == b.y && b.y == point.y) || (a.x == b.x && b.x == point.x))
        {
            kept.pop();
        }
        if kept.last() != Some(&point) {
            kept.push(point);
        }
    }
    kept
}

fn range(points: &[ShopPoint]) -> [Length; 2] {
    let ys = points.iter().map(|point| point.y);
    [
        ys.clone().max().unwrap_or_default(),
        ys.min().unwrap_or_default(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: i64, y: i64) -> ShopPoint {
        ShopPoint::new(Length::inches(x), Length::inches(y))
    }

    fn rect(x0: i64, y0: i64, x1: i64, y1: i64) -> ShopRect {
        let [x0, y0, x1, y1] = [x0, y0, x1, y1].map(Length::inches);
        ShopRect::new(x0, y0, x1, y1)
    }

    /// A 28 ft gable at 6:12 over 8 ft walls: rise 7'-0" (derived from the slope; trade.md 5.2), on a base stepped down 16 in.
    fn gable() -> WallProfile {
        WallProfile {
            base: vec![p(0, 0), p(120, -16)],
            top: vec![p(0, 96), p(168, 180), p(336, 96)],
        }
    }

    #[test]
    fn a_cut_meets_the_slope_and_the_step() {
        let face = gable().within(&gable().bounds(Length::inches(96), Length::inches(192)));
        let expected = [
            p(96, 0),
            p(120, 0),
            p(120, -16),
            p(192, -16),
            p(192, 168),
            p(168, 180),
            p(96, 144),
        ];
        assert_eq!(face.0, expected);
        assert!(face.doubled_area() > 0);
    }

    #[test]
    fn a_header_keeps_the_slope_and_a_sill_the_step() {
        let header = gable().within(&rect(200, 90, 240, 164));
        assert_eq!(header.0, [p(200, 90), p(240, 90), p(240, 144), p(200, 164)]);
        let sill = gable().within(&rect(100, -16, 140, 30));
        assert_eq!(
            sill.0,
            [
                p(100, 0),
                p(120, 0),
                p(120, -16),
                p(140, -16),
                p(140, 30),
                p(100, 30)
            ]
        );
    }

    #[test]
    fn a_slope_goes_on_beyond_the_corner_and_measures_square_by_its_cosine() {
        assert_eq!(
            gable().top_at(Length::inches(-6), false),
            Length::inches(93)
        );
        // 6:12, 10-1/4 thick: 11.46 upright (trade.md 2.7, derived).
        let stretch = gable().stretches().next().unwrap();
        let upright = stretch.upright(Length::fraction(10, 1, 4)).to_inches();
        assert!((upright - 11.46).abs() < 0.005, "{upright}");
        assert!((stretch.degrees() - 26.565).abs() < 0.001);
    }

    #[test]
    fn a_step_of_the_top_has_two_heights() {
        let wall = WallProfile {
            base: vec![p(0, 0)],
            top: vec![p(0, 96), p(50, 96), p(50, 120), p(100, 120)],
        };
        let at = Length::inches(50);
        assert_eq!(
            [wall.top_at(at, true), wall.top_at(at, false)],
            [96, 120].map(Length::inches)
        );
        assert_eq!(wall.bounds(Length::ZERO, at).y1, Length::inches(96));
    }
}
