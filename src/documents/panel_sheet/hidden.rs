//! Level and upright lines, each stretch once: dashes laid over dashes would print as a full line.

use crate::geometry::{ShopPoint, ShopRing};
use crate::units::Length;
use std::collections::BTreeMap;

/// Which way a line runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Run {
    Level,
    Upright,
}

type Stretch = (Length, Length);

/// Lines collected so far.
#[derive(Clone, Debug, Default)]
pub(super) struct HiddenLines {
    /// By direction and position: what is covered, rising, apart.
    covered: BTreeMap<(Run, Length), Vec<Stretch>>,
}

impl HiddenLines {
    /// A contour that is drawn otherwise: nothing hidden runs along it.
    pub(super) fn cover(&mut self, ring: &ShopRing) {
        for (a, b) in ring.sides() {
            if let Some((key, stretch)) = line(a, b) {
                join(self.covered.entry(key).or_default(), stretch);
            }
        }
    }

    /// The stretches of a contour that nothing else has drawn: they are to be drawn.
    pub(super) fn add(&mut self, ring: &ShopRing) -> Vec<(ShopPoint, ShopPoint)> {
        let mut lines = Vec::new();
        for (a, b) in ring.sides() {
            let Some((key, stretch)) = line(a, b) else {
                if a != b {
                    lines.push((a, b));
                }
                continue;
            };
            let covered = self.covered.entry(key).or_default();
            for (from, to) in left_over(covered, stretch) {
                lines.push(match key.0 {
                    Run::Level => (ShopPoint::new(from, key.1), ShopPoint::new(to, key.1)),
                    Run::Upright => (ShopPoint::new(key.1, from), ShopPoint::new(key.1, to)),
                });
            }
            join(covered, stretch);
        }
        lines
    }
}

fn line(a: ShopPoint, b: ShopPoint) -> Option<((Run, Length), Stretch)> {
    if a == b {
        None
    } else if a.y == b.y {
        Some(((Run::Level, a.y), (a.x.min(b.x), a.x.max(b.x))))
    } else if a.x == b.x {
        Some(((Run::Upright, a.x), (a.y.min(b.y), a.y.max(b.y))))
    } else {
        None
    }
}

/// What of a stretch is not covered, in order.
fn left_over(covered: &[Stretch], stretch: Stretch) -> Vec<Stretch> {
    let (mut from, to) = stretch;
    let mut left = Vec::new();
    for (a, b) in covered {
        if *b <= from || *a >= to {
            continue;
        }
        if *a > from {
            left.push((from, *a));
        }
        from = from.max(*b);
    }
    if from < to {
        left.push((from, to));
    }
    left
}

fn join(covered: &mut Vec<Stretch>, stretch: Stretch) {
    let (mut from, mut to) = stretch;
    covered.retain(|(a, b)| {
        let apart = *b < from || *a > to;
        if !apart {
            from = from.min(*a);
            to = to.max(*b);
        }
        apart
    });
    covered.push((from, to));
    covered.sort();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::ShopRect;

    fn rect(x0: i64, y0: i64, x1: i64, y1: i64) -> ShopRing {
        ShopRect::new(
            Length::inches(x0),
            Length::inches(y0),
            Length::inches(x1),
            Length::inches(y1),
        )
        .ring()
    }

    #[track_caller]
    fn check(covered: &[ShopRing], added: &[ShopRing], expected: &[&str]) {
        let mut hidden = HiddenLines::default();
        covered.iter().for_each(|ring| hidden.cover(ring));
        let found: Vec<String> = added
            .iter()
            .flat_map(|ring| hidden.add(ring))
            .map(|(a, b)| {
                let n = |length: Length| length.to_inches();
                format!("{} {} {} {}", n(a.x), n(a.y), n(b.x), n(b.y))
            })
            .collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn a_stud_in_a_corner_shows_one_side_only() {
        check(&[rect(0, 0, 10, 10)], &[rect(0, 0, 2, 10)], &["2 0 2 10"]);
    }

    #[test]
    fn a_side_shared_in_part_is_drawn_where_it_is_free() {
        check(
            &[],
            &[rect(0, 0, 4, 4), rect(4, 0, 8, 6)],
            &[
                "0 0 4 0", "4 0 4 4", "0 4 4 4", "0 0 0 4", "4 0 8 0", "8 0 8 6", "4 6 8 6",
                "4 4 4 6",
            ],
        );
    }
}
