//! Curves that came through as straight walls: facets, each turned a little from the one before.
//!
//! ```text
//!    ▁▂▃▄▅   four or more walls in a row, turning the same way by a few degrees ──► a fault each: panels are straight
//! ```
//!
//! Arcs and fine chords are known by `curves`; this is the net under it, for coarse chords and for chords parted by windows.

use crate::findings::{Finding, Place};
use crate::plan::{Storey, Wall, codes};

/// Walls in a row that turn the same way make a curve from this number on.
const FEWEST: usize = 4;
/// Degrees from wall to wall: less is drafting, more is a polygon that is meant, such as a bay.
const TURN: (f64, f64) = (1.0, 20.0);

/// A fault for every exterior wall that is a facet of a curve and is not known as one yet.
pub(in crate::plan) fn refuse_facets(storey: &Storey, findings: &mut Vec<Finding>) {
    let walls: Vec<&Wall> = storey.walls.iter().filter(|it| it.is_exterior).collect();
    let n = walls.len();
    if n < FEWEST {
        return;
    }
    let turns: Vec<f64> = (0..n).map(|i| turn(walls[i], walls[(i + 1) % n])).collect();
    let bends = |i: usize, sign: f64| (TURN.0..TURN.1).contains(&(turns[i % n] * sign));
    let mut is_facet = vec![false; n];
    for first in 0..n {
        for sign in [1.0, -1.0] {
            let in_row = (0..n).take_while(|k| bends(first + k, sign)).count();
            if in_row + 1 < FEWEST {
                continue;
            }
            let row: Vec<usize> = (0..=in_row).map(|k| (first + k) % n).collect();
            let mut lengths: Vec<f64> = row.iter().map(|&i| length(walls[i])).collect();
            lengths.sort_by(f64::total_cmp);
            // The straight walls on either side of a curve turn into it, and are much longer than its chords.
            let most = 2.0 * lengths[lengths.len() / 2];
            for i in row {
                is_facet[i] |= length(walls[i]) <= most;
            }
        }
    }
    for (wall, _) in walls.iter().zip(is_facet).filter(|(_, is)| *is) {
        let is_known = findings.iter().any(|it| {
            it.code == codes::CURVED && it.place.element.as_deref() == Some(wall.id.as_str())
        });
        if is_known {
            continue;
        }
        let middle = (wall.start + wall.end) / 2.0;
        findings.push(Finding::fault(
            codes::FACET,
            Place::element(&storey.id, &wall.id)
                .with_at(middle.x, middle.y)
                .with_sources(wall.sources.iter()),
            format!(
                "{} and its neighbours turn by a few degrees each: a curved wall drawn as chords",
                wall.id
            ),
            "panels are straight: have the curve framed on site; if it is to be built of straight pieces, say of each that it is exterior, by [[correction]] in job.toml",
        ));
    }
}

fn length(wall: &Wall) -> f64 {
    let d = wall.end - wall.start;
    d.x.hypot(d.y)
}

/// Degrees from one wall's direction to the next one's, left above zero.
fn turn(from: &Wall, to: &Wall) -> f64 {
    let (a, b) = (from.end - from.start, to.end - to.start);
    (a.x * b.y - a.y * b.x)
        .atan2(a.x * b.x + a.y * b.y)
        .to_degrees()
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered};

    /// A house whose right end is a half circle of 120 in radius in this many chords: how many walls are refused as curved, and
    /// how many exterior walls there are.
    fn refused(n: u32) -> (usize, usize) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| !(l[0] > 350.0 && l[2] > 350.0));
        for line in &mut lines {
            for x in [0, 2] {
                if line[x] > 350.0 {
                    line[x] = 240.0;
                }
            }
        }
        for radius in [114.0, 120.0] {
            let at = |k: u32| {
                let angle = std::f64::consts::PI * (f64::from(k) / f64::from(n) - 0.5);
                (240.0 + radius * angle.cos(), 120.0 + radius * angle.sin())
            };
            for k in 0..n {
                let ((x0, y0), (x1, y1)) = (at(k), at(k + 1));
                lines.push([x0, y0, x1, y1]);
            }
        }
        let found = recovered(&lines);
        let refused = found
            .findings
            .iter()
            .filter(|f| [codes::CURVED, codes::FACET].contains(&f.code))
            .count();
        let walls = &found.output.storeys[0].walls;
        (refused, walls.iter().filter(|w| w.is_exterior).count())
    }

    #[test]
    fn coarse_chords_are_refused_and_a_polygon_is_not() {
        // Chords of 25 in and of 37 in; then a half hexagon.
        for n in [15, 10] {
            let (refused, walls) = refused(n);
            assert!(
                refused >= 10 && refused + 3 >= walls,
                "{n}: {refused} of {walls}"
            );
        }
        assert_eq!(refused(3), (0, 6));
    }
}
