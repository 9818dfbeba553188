//! How a panel lies on its blank: which way its top points.
//!
//! ```text
//!   stands, 0         stands, 180       lies, 0           lies, 180
//!   ┌─────────┐       ┌─────────┐       ┌─────────┐       ┌─────────┐
//!   │      UP►│       │◄UP      │       │   ▲UP   │       │   ▼UP   │      ► x, along the blank
//!   └─────────┘       └─────────┘       └─────────┘       └─────────┘
//! ```
//!
//! A quarter-turn between stands and lies is fixed by the strength axis; a half-turn keeps it.

use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::Length;

/// How a panel lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Attitude {
    /// True when the panel's height runs along the blank.
    pub stands: bool,
    /// True when it is turned by a half-turn.
    pub is_turned: bool,
}

impl Attitude {
    /// The turn in degrees, as written: 0 or 180.
    #[must_use]
    pub const fn degrees(self) -> u32 {
        if self.is_turned { 180 } else { 0 }
    }

    /// Which way on the blank the panel's top points: `+x`, `-x`, `+y`, `-y`.
    #[must_use]
    pub const fn up(self) -> &'static str {
        match (self.stands, self.is_turned) {
            (true, false) => "+x",
            (true, true) => "-x",
            (false, false) => "+y",
            (false, true) => "-y",
        }
    }

    /// The attitude after a half-turn.
    #[must_use]
    pub const fn turned(self) -> Self {
        Self {
            stands: self.stands,
            is_turned: !self.is_turned,
        }
    }

    /// What a panel of this size takes up on the blank: along x and along y.
    #[must_use]
    pub const fn size(self, width: Length, height: Length) -> (Length, Length) {
        if self.stands {
            (height, width)
        } else {
            (width, height)
        }
    }
}

/// From a panel's axes, seen from the face that lies up, to the blank's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnBlank {
    /// How the panel lies.
    pub attitude: Attitude,
    /// The panel's bounding rectangle in its own axes, seen from the face that lies up.
    pub extent: ShopRect,
    /// Lower left corner of its place on the blank.
    pub at: ShopPoint,
    /// The panel's width, when x is mirrored because its inner face lies up.
    pub mirror: Option<Length>,
}

impl OnBlank {
    /// A point of the panel (its axes, seen from outside) on the blank.
    #[must_use]
    pub fn point(&self, point: ShopPoint) -> ShopPoint {
        let point = seen(point, self.mirror);
        let (x, y) = (point.x - self.extent.x0, point.y - self.extent.y0);
        let (width, height) = (self.extent.width(), self.extent.height());
        let (x, y) = match (self.attitude.stands, self.attitude.is_turned) {
            (false, false) => (x, y),
            (false, true) => (width - x, height - y),
            (true, false) => (y, width - x),
            (true, true) => (height - y, x),
        };
        self.at.moved(x, y)
    }

    /// A contour of the panel on the blank, turning the same way.
    #[must_use]
    pub fn ring(&self, ring: &ShopRing) -> ShopRing {
        let moved = ShopRing(ring.0.iter().map(|point| self.point(*point)).collect());
        if self.mirror.is_some() {
            moved.reversed()
        } else {
            moved
        }
    }

    /// Its place on the blank.
    #[must_use]
    pub fn rect(&self) -> ShopRect {
        let (along, across) = self
            .attitude
            .size(self.extent.width(), self.extent.height());
        ShopRect::new(self.at.x, self.at.y, self.at.x + along, self.at.y + across)
    }
}

/// A point seen from the face that lies up: x is mirrored about the panel's width when that is the inner face.
pub(super) fn seen(point: ShopPoint, mirror: Option<Length>) -> ShopPoint {
    match mirror {
        Some(width) => ShopPoint::new(width - point.x, point.y),
        None => point,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_stays_inside_its_place_and_is_never_mirrored_by_a_turn() {
        let extent = ShopRect::new(
            Length::ZERO,
            Length::ZERO,
            Length::inches(48),
            Length::inches(108),
        );
        let flag = ShopRing(vec![
            ShopPoint::new(Length::ZERO, Length::ZERO),
            ShopPoint::new(Length::inches(48), Length::ZERO),
            ShopPoint::new(Length::inches(40), Length::inches(108)),
        ]);
        for (stands, is_turned) in [(false, false), (false, true), (true, false), (true, true)] {
            for mirror in [None, Some(Length::inches(48))] {
                let on = OnBlank {
                    attitude: Attitude { stands, is_turned },
                    extent,
                    at: ShopPoint::new(Length::inches(3), Length::inches(5)),
                    mirror,
                };
                let placed = on.ring(&flag);
                assert_eq!(placed.doubled_area(), flag.doubled_area());
                assert_eq!(placed.bounds(), Some(on.rect()));
            }
        }
    }

    #[test]
    fn the_top_points_where_it_says() {
        let extent = ShopRect::new(
            Length::ZERO,
            Length::ZERO,
            Length::inches(4),
            Length::inches(9),
        );
        for (attitude, top) in [
            (
                Attitude {
                    stands: true,
                    is_turned: false,
                },
                "+x",
            ),
            (
                Attitude {
                    stands: true,
                    is_turned: true,
                },
                "-x",
            ),
            (
                Attitude {
                    stands: false,
                    is_turned: false,
                },
                "+y",
            ),
            (
                Attitude {
                    stands: false,
                    is_turned: true,
                },
                "-y",
            ),
        ] {
            let on = OnBlank {
                attitude,
                extent,
                at: ShopPoint::default(),
                mirror: None,
            };
            let foot = on.point(ShopPoint::new(Length::inches(2), Length::ZERO));
            let head = on.point(ShopPoint::new(Length::inches(2), Length::inches(9)));
            let by = (head.x - foot.x, head.y - foot.y);
            let nine = Length::inches(9);
            let expected = match attitude.up() {
                "+x" => (nine, Length::ZERO),
                "-x" => (-nine, Length::ZERO),
                "+y" => (Length::ZERO, nine),
                _ => (Length::ZERO, -nine),
            };
            assert_eq!(by, expected, "{top}");
            assert_eq!(attitude.up(), top);
        }
    }
}
