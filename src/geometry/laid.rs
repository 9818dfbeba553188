//! How much of some faces lies on others once moved: by this storeys are laid over storeys, and issues over issues.

use super::tolerance::ON_FACE;

/// A turn about the origin, then a shift: inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Cosine of the turn.
    pub cos: f64,
    /// Its sine; counter-clockwise.
    pub sin: f64,
    /// Shift.
    pub shift: [f64; 2],
}

impl Motion {
    /// No motion.
    pub const NONE: Self = Self::shift([0.0, 0.0]);

    /// A shift alone.
    #[must_use]
    pub const fn shift(shift: [f64; 2]) -> Self {
        Self {
            cos: 1.0,
            sin: 0.0,
            shift,
        }
    }

    /// A direction, moved.
    #[must_use]
    pub fn turn(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [x * self.cos - y * self.sin, x * self.sin + y * self.cos]
    }

    /// The turn, degrees, counter-clockwise.
    #[must_use]
    pub fn degrees(&self) -> f64 {
        self.sin.atan2(self.cos).to_degrees()
    }

    /// A point, moved.
    #[must_use]
    pub fn point(&self, p: [f64; 2]) -> [f64; 2] {
        let [x, y] = self.turn(p);
        [x + self.shift[0], y + self.shift[1]]
    }
}

/// A straight face with its outside on one side: inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Face {
    /// Where it starts.
    pub start: [f64; 2],
    /// Where it ends.
    pub end: [f64; 2],
}

impl Face {
    /// Its length.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.end[0] - self.start[0]).hypot(self.end[1] - self.start[1])
    }
}

/// Inches of moved faces that lie on others, the outside on the same side; no face counts for more than its length.
#[must_use]
pub fn laid(own: &[Face], base: &[Face], motion: &Motion) -> f64 {
    own.iter()
        .map(|face| {
            let (a, b) = (motion.point(face.start), motion.point(face.end));
            let shared: f64 = base.iter().map(|other| shared(a, b, other)).sum();
            shared.min(face.length())
        })
        .sum()
}

/// Inches that the line from `a` to `b` shares with a face.
fn shared(a: [f64; 2], b: [f64; 2], other: &Face) -> f64 {
    let length = other.length();
    if length < 1e-9 {
        return 0.0;
    }
    let along = [
        (other.end[0] - other.start[0]) / length,
        (other.end[1] - other.start[1]) / length,
    ];
    let from_start = |p: [f64; 2]| {
        let [x, y] = [p[0] - other.start[0], p[1] - other.start[1]];
        (
            x * along[0] + y * along[1],
            (y * along[0] - x * along[1]).abs(),
        )
    };
    let ((s, off_a), (t, off_b)) = (from_start(a), from_start(b));
    if off_a > ON_FACE || off_b > ON_FACE || t <= s {
        return 0.0;
    }
    (t.min(length) - s.max(0.0)).max(0.0)
}
