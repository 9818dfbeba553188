//! How much wall the same two faces carry in line: a short pier beside a window is part of a long wall.
//!
//! ```text
//!   ═══════╡ ╞══╡ ╞═══════      three bands of one thickness in one line, parted by openings: each speaks for the others
//! ```

use super::bands::Band;
use super::groups::Groups;
use super::nearby::Nearby;
use super::rails::around;
use super::solids::Candidate;

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
        if c.n_exact > 0 {
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
    for (k, one) in listed.iter().enumerate() {
        let (p, q) = line(*one, REACH);
        let Some(area) = around(&[p, q], 1.0) else {
            continue;
        };
        index.visit(&area, |j| {
            if j > k && are_in_line(bands, *one, listed[j], slack) {
                groups.join(one.0, listed[j].0);
            }
        });
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
