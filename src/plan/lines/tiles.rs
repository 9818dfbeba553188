//! Joints of tiles and boards: lines that are faces of no wall.
//!
//! ```text
//!   ─┬─┬─┬─┬─┬─     six lines or more side by side, each as far from the next: walls do not stand so
//!   ─┼─┼─┼─┼─┼─
//! ```
//!
//! Rows of lines that are alike and near each other are found before (`noise.rs`). Here the rest, with longer gaps and cut by
//! walls: where walls have two faces only joints that are drawn by both their edges, where they have one line all.

use crate::plan::axis::{Axis, Interval, covered};
use crate::plan::lines::rails::Rails;
use crate::side_by_side::one_each;

/// Joints lie so far apart, inches: from a board to a slab of 5 ft. Source: common practice, no source.
const APART: (f64, f64) = (2.5, 60.0);
/// So many lines equally far apart are a row, the one looked at among them.
const ROW: usize = 6;
/// Joints drawn by both their edges, so wide, inches, are a row from so many on, its first and last too.
const JOINT: (f64, f64) = (0.1, 1.0);
const TWINS: usize = 3;
/// What counts as equally far: this share of the gap, and inches for the joints' own width.
const LOOSE: (f64, f64) = (0.01, 0.8);
/// A line beside covers this much on either side of a place, inches.
const REACH: f64 = 3.0;
/// Places looked at along a line, as shares of it.
const PLACES: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];
/// Shorter lines are pieces of something else, inches.
const LEAST: f64 = 60.0;

/// Faces of walls are looked for among what is left when this is gone: for each rail its parts that are joints with both edges
/// drawn, within a row.
pub(in crate::plan) fn joints(rails: &Rails) -> Vec<Vec<Interval>> {
    one_each(rails.list.len(), |i| {
        let rail = &rails.list[i];
        let long = rail.face_cover.iter().filter(|(a, b)| b - a >= LEAST);
        long.filter(|part| {
            let middle = rail.axis.point(f64::midpoint(part.0, part.1), 0.0);
            has_twin(&beside(rails, &rail.axis, middle, JOINT.1))
                && is_mostly(
                    &rail.axis,
                    **part,
                    |beside| has_twin(beside) && row(beside, true) >= ROW,
                    rails,
                )
        })
        .copied()
        .collect()
    })
}

/// True when most of a line of a plan drawn by single lines lies among others, equally far apart.
///
/// - `part`: the part of rail number `rail` that is asked about.
pub(in crate::plan) fn is_joint(rails: &Rails, rail: usize, part: Interval) -> bool {
    let is_one = |beside: &[f64]| {
        row(beside, true) >= ROW || has_twin(beside) && row(beside, false) >= TWINS
    };
    is_mostly(&rails.list[rail].axis, part, is_one, rails)
}

fn is_mostly(
    axis: &Axis,
    (u0, u1): Interval,
    is_one: impl Fn(&[f64]) -> bool,
    rails: &Rails,
) -> bool {
    #[expect(clippy::cast_precision_loss, reason = "a handful")]
    let wide = APART.1 * (ROW - 1) as f64;
    let places = PLACES
        .iter()
        .map(|share| axis.point(u0 + share * (u1 - u0), 0.0));
    let n = places
        .filter(|at| is_one(&beside(rails, axis, *at, wide)))
        .count();
    2 * n > PLACES.len()
}

/// How far to the left of a place on a line others cross its square, by rising distance.
fn beside(rails: &Rails, axis: &Axis, place: geo::Coord<f64>, wide: f64) -> Vec<f64> {
    let u = axis.s(place);
    let across = [axis.point(u, -wide), axis.point(u, wide)];
    let mut list: Vec<f64> = rails
        .near(&across, 0.0)
        .into_iter()
        .map(|i| &rails.list[i])
        .filter(|it| axis.sine(&it.axis).abs() < 0.02)
        .filter(|it| {
            let s = it.axis.s(place);
            covered(&it.cover, s - REACH, s + REACH) > REACH
        })
        .map(|it| axis.d(it.axis.point(it.axis.s(place), 0.0)))
        .collect();
    list.sort_by(f64::total_cmp);
    list
}

fn has_twin(beside: &[f64]) -> bool {
    beside
        .iter()
        .any(|d| (JOINT.0..=JOINT.1).contains(&d.abs()))
}

/// How many lines are in the longest row with the one looked at.
///
/// - `is_within`: that one stands between two of them.
fn row(beside: &[f64], is_within: bool) -> usize {
    let follow = |sign: f64, gap: f64| {
        let loose = LOOSE.0 * gap + LOOSE.1;
        let mut at = 0.0;
        let mut n = 0;
        while n < ROW {
            let mut list = beside.iter().map(|d| sign * d);
            let Some(next) = list.find(|d| (d - at - gap).abs() <= loose) else {
                break;
            };
            (at, n) = (next, n + 1);
        }
        n
    };
    // What stands between two joints, a bench or a wall, is in no row.
    let gaps = beside.iter().map(|d| d.abs());
    gaps.filter(|gap| (APART.0..=APART.1).contains(gap))
        .map(|gap| (follow(1.0, gap), follow(-1.0, gap)))
        .filter(|(right, left)| !is_within || *right > 0 && *left > 0)
        .map(|(right, left)| right + left + 1)
        .max()
        .unwrap_or(1)
}
