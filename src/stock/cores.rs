//! A blank's core in pieces no larger than a slab: where they meet, and where none may meet.
//!
//! ```text
//!   rows along the blank          a column turned where rows would meet over an opening
//!   ┌──────────────────┐          ┌────────┬─────┬───┐
//!   │        2         │          │   2    │     │ 5 │      ░ a lintel: no joint in it, along or across
//!   ├──────────────────┤ joint    ├────────┤ ░3░ ├───┤
//!   │        1         │          │   1    │     │ 4 │
//!   └──────────────────┘          └────────┴─────┴───┘
//! ```
//!
//! Columns and their rows are found by dynamic programming over the places where a joint can be of use: as far from the last as a slab
//! reaches, or at the side of what is kept clear. Fewest joints through lintels first, then fewest thin strips, fewest turned pieces,
//! fewest pieces; of equals the one with fewest joints over openings that a header spans. Trying all places was refused: pushing every
//! joint of a plan as far as it goes ends at one of these.

use crate::geometry::ShopRect;
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// Where a core joint weakens what carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct KeepClear {
    /// On the blank.
    pub(super) rect: ShopRect,
    /// True where the panel itself carries over an opening; false where a header does and its foam only fills.
    pub(super) is_lintel: bool,
    /// Index into `Blank::panels`.
    pub(super) panel: usize,
}

/// What slabs allow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slab {
    /// Along it.
    pub(super) length: Length,
    /// Across it.
    pub(super) width: Length,
    /// A strip narrower than this is thin.
    pub(super) least: Length,
}

/// A piece of a core.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct CorePiece {
    /// On the blank.
    pub(super) rect: ShopRect,
    /// True when it lies across the blank as it lay along the slab.
    pub(super) is_turned: bool,
}

/// A core in pieces.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct CorePlan {
    pub(super) pieces: Vec<CorePiece>,
    pub(super) cost: Cost,
}

/// What speaks against a plan, the worst first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    /// Joints through lintels.
    lintels: usize,
    thin: usize,
    turned: usize,
    pieces: usize,
    /// Joints through what stands over other openings.
    heads: usize,
}

impl Cost {
    const fn plus(self, other: Self) -> Self {
        Self {
            lintels: self.lintels + other.lintels,
            heads: self.heads + other.heads,
            thin: self.thin + other.thin,
            turned: self.turned + other.turned,
            pieces: self.pieces + other.pieces,
        }
    }
}

/// Beyond so many slabs in a row a core is pieced as it comes.
const MOST_SLABS: i64 = 64;

/// Pieces a core of a blank, `length` along it and `width` across; `None` when the slab has no size.
pub(super) fn piece_core(
    (length, width): (Length, Length),
    slab: Slab,
    keep: &[KeepClear],
) -> Option<CorePlan> {
    if slab.length <= Length::ZERO || slab.width <= Length::ZERO || width <= Length::ZERO {
        return None;
    }
    let mut rows = Rows {
        width,
        slab,
        keep,
        known: BTreeMap::new(),
    };
    let across = |it: &KeepClear| [it.rect.x0, it.rect.x1];
    let crossed = |x: Length| crossed(keep, x, across);
    // One way for a core without openings, which is most of them and has nothing to search.
    let sides: Vec<Length> = keep.iter().flat_map(across).collect();
    let mut reach = vec![slab.length];
    if !keep.is_empty() && length < slab.width * MOST_SLABS {
        reach.push(slab.width);
    }
    let stops = divide(&places(length, &reach, &sides), |from, to| {
        let row = rows.best(from, to)?;
        Some(row.cost.plus(crossed(from)))
    })?;
    let mut plan = CorePlan::default();
    for column in stops.windows(2) {
        let [from, to] = [column[0], column[1]];
        let row = rows.best(from, to)?;
        plan.cost = plan.cost.plus(row.cost).plus(crossed(from));
        for side in row.stops.windows(2) {
            plan.pieces.push(CorePiece {
                rect: ShopRect::new(from, side[0], to, side[1]),
                is_turned: row.is_turned,
            });
        }
    }
    Some(plan)
}

/// Lintels that lie in no one piece.
pub(super) fn broken<'a>(
    pieces: &'a [CorePiece],
    keep: &'a [KeepClear],
) -> impl Iterator<Item = &'a KeepClear> {
    keep.iter().filter(|it| {
        let own = it.rect;
        let holds =
            |r: ShopRect| r.x0 <= own.x0 && r.y0 <= own.y0 && r.x1 >= own.x1 && r.y1 >= own.y1;
        it.is_lintel && !pieces.iter().any(|piece| holds(piece.rect))
    })
}

/// What a joint at a place goes through.
fn crossed(keep: &[KeepClear], at: Length, sides: impl Fn(&KeepClear) -> [Length; 2]) -> Cost {
    let mut cost = Cost::default();
    for it in keep {
        let [low, high] = sides(it);
        if low < at && at < high {
            if it.is_lintel {
                cost.lintels += 1;
            } else {
                cost.heads += 1;
            }
        }
    }
    cost
}

/// Where joints can be of use between 0 and `whole`, both ends among them.
fn places(whole: Length, reach: &[Length], sides: &[Length]) -> Vec<Length> {
    let mut from: BTreeSet<Length> = [Length::ZERO, whole].into();
    from.extend(
        sides
            .iter()
            .filter(|it| Length::ZERO < **it && **it < whole),
    );
    for step in reach {
        let bases = if whole > *step * MOST_SLABS {
            [Length::ZERO].into()
        } else {
            from.clone()
        };
        for base in bases {
            let mut at = base + *step;
            while at < whole {
                from.insert(at);
                // Without sides this is the one row of joints there is.
                at += *step;
            }
            let mut at = base - *step;
            while at > Length::ZERO && !sides.is_empty() {
                from.insert(at);
                at -= *step;
            }
        }
    }
    from.into_iter().collect()
}

/// The cheapest way from the first place to the last; of equals the one with the longest first piece.
fn divide(
    places: &[Length],
    mut cost: impl FnMut(Length, Length) -> Option<Cost>,
) -> Option<Vec<Length>> {
    let last = places.len().checked_sub(1)?;
    let mut best: Vec<Option<(Cost, usize)>> = vec![None; places.len()];
    best[last] = Some((Cost::default(), last));
    for from in (0..last).rev() {
        let mut found: Option<(Cost, usize)> = None;
        for to in from + 1..=last {
            // What does not reach here reaches no farther place.
            let Some(own) = cost(places[from], places[to]) else {
                break;
            };
            let Some((rest, _)) = best[to] else { continue };
            let sum = own.plus(rest);
            if found.is_none_or(|(least, _)| sum <= least) {
                found = Some((sum, to));
            }
        }
        best[from] = found;
    }
    let mut stops = vec![places[0]];
    let mut at = 0;
    while at < last {
        let (_, next) = best[at]?;
        stops.push(places[next]);
        at = next;
    }
    Some(stops)
}

/// The rows of a column.
#[derive(Clone, Debug)]
struct Row {
    stops: Vec<Length>,
    is_turned: bool,
    cost: Cost,
}

/// Rows of columns, each searched once for all columns that cross the same openings.
struct Rows<'a> {
    width: Length,
    slab: Slab,
    keep: &'a [KeepClear],
    known: BTreeMap<(Vec<usize>, bool, bool), Option<Row>>,
}

impl Rows<'_> {
    /// Along the blank or turned, whichever costs less; `None` for a column longer than any piece.
    fn best(&mut self, from: Length, to: Length) -> Option<Row> {
        let along = self.row(from, to, false);
        let turned = self.row(from, to, true);
        match (along, turned) {
            (Some(a), Some(b)) => Some(if b.cost < a.cost { b } else { a }),
            (a, b) => a.or(b),
        }
    }

    fn row(&mut self, from: Length, to: Length, is_turned: bool) -> Option<Row> {
        let (along, across) = if is_turned {
            (self.slab.width, self.slab.length)
        } else {
            (self.slab.length, self.slab.width)
        };
        if to - from > along {
            return None;
        }
        let crossing = self.keep.iter().enumerate();
        let crossing = crossing.filter(|(_, it)| it.rect.x0 < to && from < it.rect.x1);
        let own: Vec<usize> = crossing.map(|(index, _)| index).collect();
        let is_thin = to - from < self.slab.least;
        let key = (own, is_turned, is_thin);
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let found = self.search(&key.0, across, is_turned, is_thin);
        self.known.insert(key, found.clone());
        found
    }

    fn search(&self, own: &[usize], across: Length, is_turned: bool, is_thin: bool) -> Option<Row> {
        let keep: Vec<KeepClear> = own.iter().map(|index| self.keep[*index]).collect();
        let sides = |it: &KeepClear| [it.rect.y0, it.rect.y1];
        let (width, least) = (self.width, self.slab.least);
        let price = |from: Length, to: Length| {
            (to - from <= across).then(|| Cost {
                thin: usize::from(is_thin || to - from < least),
                turned: usize::from(is_turned),
                pieces: 1,
                ..crossed(&keep, from, sides)
            })
        };
        let edges: Vec<Length> = keep.iter().flat_map(sides).collect();
        // A strip that would be thin is made as wide as it must be.
        let own = [least, width - least];
        let thick = edges.iter().flat_map(|it| [*it - least, *it + least]);
        let all: Vec<Length> = edges.iter().copied().chain(thick).chain(own).collect();
        let stops = divide(&places(width, &[across], &all), price)?;
        let mut cost = Cost::default();
        for side in stops.windows(2) {
            cost = cost.plus(price(side[0], side[1])?);
        }
        Some(Row {
            stops,
            is_turned,
            cost,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SLAB: Slab = Slab {
        length: Length::inches(360),
        width: Length::inches(48),
        least: Length::inches(6),
    };

    fn lintel(x0: i64, y0: i64, x1: i64, y1: i64) -> KeepClear {
        let [x0, y0, x1, y1] = [x0, y0, x1, y1].map(Length::inches);
        KeepClear {
            rect: ShopRect::new(x0, y0, x1, y1),
            is_lintel: true,
            panel: 0,
        }
    }

    /// Pieces as `x0 y0 x1 y1`, turned ones with a `t`.
    fn said(plan: &CorePlan) -> Vec<String> {
        let pieces = plan.pieces.iter();
        let words = pieces.map(|it| {
            let r = it.rect;
            let sides = [r.x0, r.y0, r.x1, r.y1].map(Length::to_inches);
            let [a, b, c, d] = sides;
            format!("{a} {b} {c} {d}{}", if it.is_turned { "t" } else { "" })
        });
        words.collect()
    }

    #[track_caller]
    fn check(size: (i64, i64), keep: &[KeepClear], expected: &[&str], lintels: usize) {
        let size = (Length::inches(size.0), Length::inches(size.1));
        let plan = piece_core(size, SLAB, keep).unwrap();
        assert_eq!(said(&plan), expected);
        assert_eq!(plan.cost.lintels, lintels);
    }

    #[test]
    fn a_core_without_openings_lies_in_rows_as_wide_as_slabs() {
        check((108, 96), &[], &["0 0 108 48", "0 48 108 96"], 0);
        check((108, 40), &[], &["0 0 108 40"], 0);
        // A last row of 2 in would be thin: it takes 4 in from its neighbour.
        let three = ["0 0 108 48", "0 48 108 92", "0 92 108 98"];
        check((108, 98), &[], &three, 0);
    }

    #[test]
    fn over_a_window_the_core_is_one_piece() {
        // A panel 8 ft wide stands on the blank, its window 36 in wide in the middle, head at 82: rows would meet over it.
        let window = lintel(82, 30, 108, 66);
        let rows = ["0 0 108 30", "0 30 108 78", "0 78 108 96"];
        check((108, 96), &[window], &rows, 0);
        // 60 in wide is more than a slab: the piece over it is turned.
        let wide = lintel(82, 18, 108, 78);
        let turned = ["0 0 82 48", "0 48 82 96", "82 0 108 96t"];
        check((108, 96), &[wide], &turned, 0);
        // Wide and deep: no slab has such a piece.
        let size = (Length::inches(200), Length::inches(96));
        let deep = piece_core(size, SLAB, &[lintel(100, 10, 200, 80)]).unwrap();
        assert_eq!(deep.cost.lintels, 1);
    }

    fn chance(state: &mut u64, n: i64) -> i64 {
        *state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        i64::try_from((*state >> 33) % u64::try_from(n).unwrap()).unwrap()
    }

    /// Lintels that a line through a piece's side goes through, found from the pieces alone.
    fn joints_through(plan: &[ShopRect], keep: &[KeepClear]) -> usize {
        let meet = |it: &&KeepClear| {
            let holds = |r: &ShopRect| {
                let k = it.rect;
                r.x0 <= k.x0 && r.y0 <= k.y0 && r.x1 >= k.x1 && r.y1 >= k.y1
            };
            !plan.iter().any(holds)
        };
        keep.iter().filter(meet).count()
    }

    /// Columns of rows at random places, each as long as slabs allow, or `None`.
    fn thrown((length, width): (i64, i64), slab: (i64, i64), state: &mut u64) -> Vec<ShopRect> {
        let mut all = Vec::new();
        let mut x = 0;
        while x < length {
            let turned = chance(state, 2) == 0;
            let (along, across) = if turned { (slab.1, slab.0) } else { slab };
            let next = (x + 1 + chance(state, along)).min(length);
            let mut y = 0;
            while y < width {
                let end = (y + 1 + chance(state, across)).min(width);
                let [a, b, c, d] = [x, y, next, end].map(Length::inches);
                all.push(ShopRect::new(a, b, c, d));
                y = end;
            }
            x = next;
        }
        all
    }

    #[test]
    fn on_random_blanks_no_joint_goes_through_a_lintel_that_any_thrown_plan_keeps_whole() {
        let mut state = 7;
        let mut whole = 0;
        for _ in 0..60 {
            let size = (24 + chance(&mut state, 100), 24 + chance(&mut state, 72));
            let slab = (30 + chance(&mut state, 90), 12 + chance(&mut state, 36));
            let n = chance(&mut state, 3) + 1;
            let keep: Vec<KeepClear> = (0..n)
                .map(|_| {
                    let (x, y) = (
                        chance(&mut state, size.0 - 8),
                        chance(&mut state, size.1 - 8),
                    );
                    let wide = (8 + chance(&mut state, 40)).min(size.0 - x);
                    let high = (8 + chance(&mut state, 40)).min(size.1 - y);
                    lintel(x, y, x + wide, y + high)
                })
                .collect();
            let made = Slab {
                length: Length::inches(slab.0),
                width: Length::inches(slab.1),
                least: Length::inches(3),
            };
            let (length, width) = (Length::inches(size.0), Length::inches(size.1));
            let plan = piece_core((length, width), made, &keep).unwrap();
            let rects: Vec<ShopRect> = plan.pieces.iter().map(|it| it.rect).collect();
            // The pieces are the core, and each is cut from a slab.
            let area = |r: &ShopRect| r.width().to_inches() * r.height().to_inches();
            let sum: f64 = rects.iter().map(area).sum();
            assert!((sum - length.to_inches() * width.to_inches()).abs() < 1e-6);
            for (index, it) in plan.pieces.iter().enumerate() {
                let (a, b) = (it.rect.width(), it.rect.height());
                let (a, b) = if it.is_turned { (b, a) } else { (a, b) };
                assert!(a <= made.length && b <= made.width, "{it:?}");
                let others = rects[..index].iter();
                assert!(
                    others
                        .into_iter()
                        .all(|other| other.common(&it.rect).is_none())
                );
            }
            let through = joints_through(&rects, &keep);
            assert_eq!(through == 0, plan.cost.lintels == 0, "{keep:?}");
            whole += usize::from(through == 0);
            if through > 0 {
                for _ in 0..300 {
                    let other = thrown(size, slab, &mut state);
                    assert!(
                        joints_through(&other, &keep) > 0,
                        "{size:?} {slab:?} {keep:?}"
                    );
                }
            }
        }
        assert!(
            whole > 20,
            "{whole} of 60 cores are whole over their lintels"
        );
    }
}
