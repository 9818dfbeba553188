//! How much wall the same two faces carry in line: a short pier beside a window is part of a long wall.
//!
//! ```text
//!   ═══════╡ ╞══╡ ╞═══════      three bands of one thickness in one line, parted by openings: each speaks for the others
//! ```

use crate::plan::groups::Groups;
use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::Band;
use crate::plan::pieces::solids::Candidate;
use crate::side_by_side::in_stretches;

/// Bands of one wall are parted by at most this, inches.
const REACH: f64 = 120.0;
/// Axes of one wall lie within this of each other, and its thicknesses, inches, beyond the drawing's slack.
const ASIDE: f64 = 0.12;

/// For each band the length of its candidates, and of those in line with it: all end at jambs.
pub(super) fn in_line(bands: &[Band], candidates: &[Candidate], slack: f64) -> Vec<f64> {
    let mut own = vec![0.0_f64; bands.len()];
    let mut ends: Vec<Option<(f64, f64)>> = vec![None; bands.len()];
    for c in candidates {
        own[c.band] += c.u1 - c.u0;
        if c.n_exact() > 0 {
            let (low, high) = ends[c.band].unwrap_or((c.u0, c.u1));
            ends[c.band] = Some((low.min(c.u0), high.max(c.u1)));
        }
    }
    let listed: Vec<(usize, (f64, f64))> = ends
        .iter()
        .enumerate()
        .filter_map(|(band, ends)| Some((band, (*ends)?)))
        .collect();
    let line = |(band, (low, high)): (usize, (f64, f64)), margin: f64| {
        let axis = &bands[band].axis;
        (
            axis.point(low - margin, 0.0),
            axis.point(high + margin, 0.0),
        )
    };
    let index = Nearby::lines(listed.iter().map(|it| line(*it, 0.0)));
    let mut groups = Groups::new(bands.len());
    let pairs = in_stretches(listed.len(), |part| {
        let mut pairs = Vec::new();
        for k in part {
            let (p, q) = line(listed[k], REACH);
            let Some(area) = around(&[p, q], 1.0) else {
                continue;
            };
            index.visit(&area, |j| {
                if j > k && are_in_line(bands, listed[k], listed[j], slack) {
                    pairs.push((listed[k].0, listed[j].0));
                }
            });
        }
        pairs
    });
    for (a, b) in pairs {
        groups.join(a, b);
    }
    let mut sums = vec![0.0_f64; bands.len()];
    for (band, own) in own.iter().enumerate() {
        sums[groups.least(band)] += own;
    }
    (0..bands.len())
        .map(|band| sums[groups.least(band)])
        .collect()
}

type Stretch = (usize, (f64, f64));

fn are_in_line(bands: &[Band], (a, ends): Stretch, (b, others): Stretch, slack: f64) -> bool {
    let (one, other) = (&bands[a], &bands[b]);
    let short = (ends.1 - ends.0).min(others.1 - others.0).max(1.0);
    if (one.thickness - other.thickness).abs() > ASIDE + 2.0 * slack
        || one.axis.sine(&other.axis).abs() > (0.006 + 2.0 * slack / short).min(0.12)
    {
        return false;
    }
    let far = [others.0, others.1].map(|u| other.axis.point(u, 0.0));
    let [p, q] = far.map(|p| one.axis.s(p));
    let gap = (p.min(q) - ends.1).max(ends.0 - p.max(q));
    let aside = far.map(|p| one.axis.d(p).abs());
    gap > 0.0 && gap <= REACH && aside[0].min(aside[1]) <= ASIDE + 1.5 * slack
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::trial::pieces;

    /// For pieces of wall from left to right, each from one place to another, its lower face's height and its thickness: how much
    /// wall each has in line.
    fn of_walls(walls: &[[f64; 4]]) -> Vec<f64> {
        let mut lines = Vec::new();
        for [from, to, low, thick] in walls {
            let high = low + thick;
            lines.extend([[*from, *low, *to, *low], [*from, high, *to, high]]);
            lines.extend([[*from, *low, *from, high], [*to, *low, *to, high]]);
        }
        let found = pieces(&lines);
        let is_along = |it: &&Band| it.axis.along.x.abs() > 0.9;
        let mut bands: Vec<Band> = found.bands.iter().filter(is_along).cloned().collect();
        bands.sort_by(|p, q| {
            let start = |it: &Band| it.axis.point(it.spans[0].u0, 0.0).x;
            start(p).total_cmp(&start(q))
        });
        let spans = bands.iter().enumerate();
        let candidates: Vec<Candidate> = spans
            .map(|(band, it)| Candidate::closed(band, it.spans[0].u0, it.spans[0].u1))
            .collect();
        in_line(&bands, &candidates, found.lines.slack)
    }

    #[test]
    fn a_pier_between_windows_has_the_wall_on_both_sides_of_it() {
        let long = |thick: f64| [0.0, 100.0, 0.0, thick];
        let after = |low: f64, thick: f64| [172.0, 300.0, low, thick];
        assert_eq!(
            of_walls(&[long(6.0), [130.0, 142.0, 0.0, 6.0], after(0.0, 6.0)]),
            [240.0; 3]
        );
        // Another thickness, another line, too far off: alone.
        assert_eq!(of_walls(&[long(6.0), after(0.0, 8.0)]), [100.0, 128.0]);
        assert_eq!(of_walls(&[long(6.0), after(1.0, 6.0)]), [100.0, 128.0]);
        assert_eq!(
            of_walls(&[long(6.0), [230.0, 300.0, 0.0, 6.0]]),
            [100.0, 70.0]
        );
    }
}
