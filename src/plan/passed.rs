//! Lines round a building: what lies between them and its faces goes on past the jambs of its openings, as no wall does.
//!
//! ```text
//!   ──────────────────────────────   the edge of a roof or of a slab
//!
//!   ═════════╗       ╔════════════   a wall that ends at jambs takes its faces first, whether what passes them is
//!       wall ║       ║ wall          taken for a wall of its own or for a layer of this one
//!   ═════════╝       ╚════════════
//! ```

use super::axis::{Interval, moved};
use super::bands::{Band, FURRING};
use super::bonds::NARROWEST;
use super::claims::Faces;
use super::rails::Rails;
use super::solids::Candidate;
use super::thicknesses::Thicknesses;

/// What comes last is worth this share of what it would be: it takes nothing from others.
const LAST: f64 = 0.01;
/// A jamb is passed where a piece goes on by more, inches.
const PAST: f64 = 1.0;

/// Where jambs stand on each rail, by rising place.
pub(super) struct Jambs(Vec<Vec<f64>>);

impl Jambs {
    pub(super) fn of(rails: &Rails, bands: &[Band], candidates: &[Candidate]) -> Self {
        let mut list = vec![Vec::new(); rails.list.len()];
        for c in candidates {
            let band = &bands[c.band];
            for u in c.jambs.into_iter().flatten() {
                for rail in [band.rails.0, band.rails.1] {
                    list[rail].push(moved((u, u), &band.axis, &rails.list[rail].axis).0);
                }
            }
        }
        for own in &mut list {
            own.sort_by(f64::total_cmp);
        }
        Self(list)
    }

    /// The share that a candidate is worth, and what its layers are.
    ///
    /// - `layered`: what its layers are worth where it is a wall.
    pub(super) fn passed(
        &self,
        c: &Candidate,
        (band, faces): (&Band, &Faces),
        thicknesses: &Thicknesses,
        layered: f64,
    ) -> (f64, f64) {
        let thick = band.thickness;
        let goes_past = || faces.iter().any(|it| self.goes_past(it.0.0, it.1));
        if thicknesses.is_beyond(thick) || c.n_exact() == 0 && goes_past() {
            return (LAST, 0.0);
        }
        let is_bare = !thicknesses.is_seen(thick) && thick > FURRING && c.layers.is_empty();
        (if is_bare { LAST } else { 1.0 }, layered)
    }

    /// True when a piece of a rail goes past both jambs of an opening.
    fn goes_past(&self, rail: usize, (from, to): Interval) -> bool {
        let own = &self.0[rail];
        let first = own.partition_point(|it| *it <= from + PAST);
        let last = own.partition_point(|it| *it < to - PAST);
        last > first && own[last - 1] - own[first] >= NARROWEST
    }
}
