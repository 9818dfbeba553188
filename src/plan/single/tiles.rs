//! Joints of tiles and boards among the lines of a plan drawn by one line.
//!
//! ```text
//!   ─┬─┬─┬─┬─┬─     six lines or more side by side, each as far from the next: walls do not stand so
//!   ─┼─┼─┼─┼─┼─
//! ```
//!
//! Walls of two faces are told from tiles by their thickness; a wall of one line has none.

use super::super::axis::{Axis, covered};
use super::super::rails::Rails;

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

/// True when most of a line lies among others, equally far apart on both its sides.
///
/// - `u0`, `u1`: the part of rail number `rail` that is asked about.
pub(super) fn is_joint(rails: &Rails, rail: usize, (u0, u1): (f64, f64)) -> bool {
    let axis = &rails.list[rail].axis;
    let among = PLACES
        .iter()
        .filter(|share| is_among(rails, axis, u0 + *share * (u1 - u0)))
        .count();
    2 * among > PLACES.len()
}

/// True when the line at one place of it lies in a row and not at its end.
fn is_among(rails: &Rails, axis: &Axis, u: f64) -> bool {
    let place = axis.point(u, 0.0);
    #[expect(clippy::cast_precision_loss, reason = "a handful")]
    let wide = APART.1 * (ROW - 1) as f64;
    let across = [axis.point(u, -wide), axis.point(u, wide)];
    let mut beside: Vec<f64> = rails
        .near(&across, 0.0)
        .into_iter()
        .map(|i| &rails.list[i])
        .filter(|it| axis.sine(&it.axis).abs() < 0.02)
        .filter(|it| {
            let s = it.axis.s(place);
            covered(&it.face_cover, s - REACH, s + REACH) > REACH
        })
        .map(|it| axis.d(it.axis.point(it.axis.s(place), 0.0)))
        .collect();
    beside.sort_by(f64::total_cmp);
    let follow = |sign: f64, gap: f64| {
        let loose = LOOSE.0 * gap + LOOSE.1;
        let mut at = 0.0;
        let mut n = 0;
        while n < ROW {
            let next = beside
                .iter()
                .map(|d| sign * d)
                .find(|d| (d - at - gap).abs() <= loose);
            let Some(next) = next else { break };
            (at, n) = (next, n + 1);
        }
        n
    };
    let is_twin = beside
        .iter()
        .any(|d| (JOINT.0..=JOINT.1).contains(&d.abs()));
    // What stands between two joints, a bench or a wall, is in no row.
    let gaps = beside.iter().map(|d| d.abs());
    let mut gaps = gaps.filter(|gap| (APART.0..=APART.1).contains(gap));
    gaps.any(|gap| {
        let (right, left) = (follow(1.0, gap), follow(-1.0, gap));
        let n = right + left + 1;
        n >= ROW && right > 0 && left > 0 || is_twin && n >= TWINS
    })
}
