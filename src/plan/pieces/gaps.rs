//! The room between two walls that stand close: its two faces are those of the walls on either side.
//!
//! ```text
//!   ═══════════ 1
//!     wall                two walls leave no line over; the gap between them, taken for a wall,
//!   ═══════════ 2         would leave lines 1 and 4 to nothing
//!     gap
//!   ═══════════ 3
//!     wall
//!   ═══════════ 4
//! ```
//!
//! Walls of a known thickness are believed; of another one, both must be equally thick and each as likely as the gap between them.

use crate::plan::axis::{Interval, covered, joined};
use crate::plan::lines::rails::Rails;
use crate::plan::pieces::claims::{Claims, Faces, Side};
use crate::plan::pieces::solids::Candidate;
use crate::side_by_side::one_each;

/// A thickness at least this common, as a share of the commonest, is a wall's.
const KNOWN: f64 = 0.26;
/// What is less than this apart along one face is one wall with an opening in it, inches.
const OPENING: f64 = 120.0;
/// Walls on both sides cover at least this share of a gap.
const COVERED: f64 = 0.75;

/// For each candidate whether it is the gap between two others.
///
/// - `worth`: how well each may be a wall, 0 to 1.
pub(super) fn gaps(
    rails: &Rails,
    candidates: &[Candidate],
    faces: &[Faces],
    worth: &[f64],
    beside: &Claims,
) -> Vec<bool> {
    let mut claims: Vec<[Vec<Interval>; 2]> = vec![Default::default(); rails.list.len()];
    for (faces, worth) in faces.iter().zip(worth) {
        if *worth >= KNOWN {
            for ((rail, is_left), own) in *faces {
                claims[rail][usize::from(is_left)].push(own);
            }
        }
    }
    for list in claims.iter_mut().flatten().filter(|it| it.len() > 1) {
        *list = joined(std::mem::take(list), OPENING);
    }
    let is_faced = |&((rail, is_left), own): &(Side, Interval)| {
        let list = &claims[rail][usize::from(!is_left)];
        covered(list, own.0, own.1) >= COVERED * (own.1 - own.0)
    };
    let is_gap = |i: usize| {
        faces[i].iter().all(is_faced)
            || beside.is_between_leaves(&candidates[i], &faces[i], worth[i])
    };
    one_each(candidates.len(), is_gap)
}
