//! Hatches: parallel lines clipped to closed contours.
//!
//! Method: turn the contours so that the hatch lies along x, cut each scan line with every side, sort, take every second
//! span (even-odd rule), turn back. Scan lines stand on multiples of the spacing from the paper's origin, so that hatches
//! of neighbouring areas line up.

use super::model::{Spot, spot};
use super::style::Hatch;

/// The lines of a hatch within closed contours, in order from one side to the other.
#[must_use]
pub fn hatch_lines(hatch: &Hatch, contours: &[Vec<Spot>]) -> Vec<(Spot, Spot)> {
    // Paper has y down: counter-clockwise as seen is a negative turn of the axes.
    let (sin, cos) = (-hatch.angle).to_radians().sin_cos();
    let turned: Vec<Vec<Spot>> = contours
        .iter()
        .map(|ring| {
            ring.iter()
                .map(|p| spot(p.x * cos + p.y * sin, p.y * cos - p.x * sin))
                .collect()
        })
        .collect();
    let across = turned.iter().flatten().map(|p| p.y);
    let low = across.clone().fold(f64::INFINITY, f64::min);
    let high = across.fold(f64::NEG_INFINITY, f64::max);
    if !low.is_finite() || !high.is_finite() || hatch.spacing <= 0.0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut row = (low / hatch.spacing).ceil();
    while row * hatch.spacing < high {
        let y = row * hatch.spacing;
        let mut cuts: Vec<f64> = turned
            .iter()
            .flat_map(|ring| sides(ring))
            .filter(|(a, b)| (a.y <= y) != (b.y <= y))
            .map(|(a, b)| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
            .collect();
        cuts.sort_by(f64::total_cmp);
        for span in cuts.chunks_exact(2) {
            let &[from, to] = span else { continue };
            let back = |x: f64| spot(x * cos - y * sin, x * sin + y * cos);
            lines.push((back(from), back(to)));
        }
        row += 1.0;
    }
    lines
}

fn sides(ring: &[Spot]) -> impl Iterator<Item = (Spot, Spot)> + '_ {
    ring.iter()
        .copied()
        .zip(ring.iter().copied().cycle().skip(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::model::Area;
    use crate::documents::paper::style::Pen;

    #[test]
    fn a_hatch_stays_inside_and_spares_a_hole() {
        let hatch = Hatch {
            angle: 45.0,
            spacing: 1.0,
            stroke: Pen::Hair.full(),
        };
        let outside = Area::new(10.0, 10.0, 30.0, 20.0);
        let hole = Area::new(15.0, 12.0, 20.0, 18.0);
        let lines = hatch_lines(
            &hatch,
            &[outside.corners().to_vec(), hole.corners().to_vec()],
        );
        let length: f64 = lines
            .iter()
            .map(|(a, b)| (*b - *a).x.hypot((*b - *a).y))
            .sum();
        // Area over spacing: Cauchy's formula for parallel chords, within one chord.
        assert!((length - (200.0 - 30.0)).abs() < 12.0, "{length}");
        for (a, b) in lines {
            let middle = (a + b) / 2.0;
            let point = Area::of(middle, middle);
            assert!(outside.grown(1e-9).holds(&point) && !hole.grown(-1e-9).holds(&point));
            assert!(
                (a.x - b.x) * (a.y - b.y) < 0.0,
                "rises to the right as seen"
            );
        }
    }
}
