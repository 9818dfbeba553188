//! Curved walls: two arcs about one centre, a wall's thickness apart, taken as chords so that the outline closes.
//!
//! ```text
//!    ╭───╮  ──►  ╱▔╲      each chord is a wall of its own and is refused later: panels are straight
//! ```

use crate::drawing::{Curve, Drawing, SourceIndex};
use crate::plan::axis::{cross, distance, dot};
use crate::plan::lines::chords::Chorded;
use crate::plan::lines::layers::{Known, Meaning, meaning};
use crate::plan::walls::runs::Run;
use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;
use std::f64::consts::TAU;

/// A curved wall.
#[derive(Clone, Debug)]
pub(in crate::plan) struct CurvedWall {
    pub centre: Coord<f64>,
    /// Of its inner and its outer face.
    pub radii: [f64; 2],
    /// Angle where it starts, and the angle it sweeps counter-clockwise, radians.
    pub from: f64,
    pub sweep: f64,
    pub sources: [SourceIndex; 2],
}

/// An arc, counter-clockwise.
struct Round {
    centre: Coord<f64>,
    radius: f64,
    from: f64,
    sweep: f64,
    source: SourceIndex,
}

/// Radii of curved walls, inches: less is a swing or a column, more is a road.
const RADII: (f64, f64) = (20.0, 2400.0);
/// Thickness of curved walls, inches.
const THICKNESS: (f64, f64) = (2.75, 16.0);
/// A curved wall sweeps at least this, radians (14 degrees).
const LEAST_SWEEP: f64 = 0.25;
/// Each chord sweeps at most this, radians (15 degrees).
const STEP: f64 = 0.262;
/// Centres of the two faces are one within this, inches, beyond the drawing's slack.
const ONE_CENTRE: f64 = 0.3;

/// All curved walls of a drawing, centred on an origin.
pub(in crate::plan) fn curves(
    drawing: &Drawing,
    origin: Coord<f64>,
    chorded: &[Chorded],
) -> Vec<CurvedWall> {
    let mut arcs = rounds(drawing, origin, chorded);
    arcs.sort_by(|p, q| {
        let key = |it: &Round| [it.radius, it.centre.x, it.centre.y, it.from];
        let (k, l) = (key(p), key(q));
        k.iter()
            .zip(&l)
            .map(|(x, y)| x.total_cmp(y))
            .find(|order| order.is_ne())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let tree = RTree::bulk_load(
        arcs.iter()
            .enumerate()
            .map(|(i, it)| GeomWithData::new([it.centre.x, it.centre.y], i))
            .collect(),
    );
    let mut list = Vec::new();
    let mut used = vec![false; arcs.len()];
    for (i, inner) in arcs.iter().enumerate() {
        let outer = tree
            .locate_within_distance([inner.centre.x, inner.centre.y], ONE_CENTRE * ONE_CENTRE)
            .map(|it: &GeomWithData<[f64; 2], usize>| it.data)
            .filter(|&j| {
                !used[j] && (THICKNESS.0..=THICKNESS.1).contains(&(arcs[j].radius - inner.radius))
            })
            .filter_map(|j| {
                let (from, sweep) = shared(inner, &arcs[j])?;
                (sweep >= LEAST_SWEEP).then_some((j, from, sweep))
            })
            .min_by(|p, q| {
                arcs[p.0]
                    .radius
                    .total_cmp(&arcs[q.0].radius)
                    .then(p.0.cmp(&q.0))
            });
        if let Some((j, from, sweep)) = outer.filter(|_| !used[i]) {
            (used[i], used[j]) = (true, true);
            list.push(CurvedWall {
                centre: inner.centre,
                radii: [inner.radius, arcs[j].radius],
                from,
                sweep,
                sources: [inner.source, arcs[j].source],
            });
        }
    }
    list
}

fn rounds(drawing: &Drawing, origin: Coord<f64>, chorded: &[Chorded]) -> Vec<Round> {
    let mut meanings = Known::new(meaning);
    let mut may_be_wall = |index: SourceIndex| {
        drawing.sources.get(index.0 as usize).is_some_and(|source| {
            !source.is_hidden
                && matches!(
                    meanings.get(&source.layer),
                    Meaning::Wall | Meaning::Unknown | Meaning::Window
                )
        })
    };
    let drawn = drawing
        .strokes
        .iter()
        .filter_map(|stroke| match stroke.curve {
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => Some(Round {
                centre: centre - origin,
                radius,
                from: if sweep < 0.0 {
                    start_angle + sweep
                } else {
                    start_angle
                },
                sweep: sweep.abs(),
                source: stroke.source,
            }),
            Curve::Line { .. } => None,
        });
    let chains = chorded.iter().filter_map(|it| {
        let (first, second) = (*it.points.first()?, *it.points.get(1)?);
        let is_left = cross(first - it.centre, second - first) > 0.0;
        let start = if is_left { first } else { *it.points.last()? };
        Some(Round {
            centre: it.centre,
            radius: it.radius,
            from: (start.y - it.centre.y).atan2(start.x - it.centre.x),
            sweep: it.sweep,
            source: it.source,
        })
    });
    drawn
        .chain(chains)
        .filter(|it| {
            (RADII.0..=RADII.1).contains(&it.radius)
                && (LEAST_SWEEP..TAU - 0.05).contains(&it.sweep)
                && may_be_wall(it.source)
        })
        .collect()
}

/// The longest stretch of angle that two arcs share: its start and sweep.
fn shared(a: &Round, b: &Round) -> Option<(f64, f64)> {
    let ahead = (b.from - a.from).rem_euclid(TAU);
    [ahead, ahead - TAU]
        .into_iter()
        .map(|start| {
            let (low, high) = (start.max(0.0), (start + b.sweep).min(a.sweep));
            (a.from + low, high - low)
        })
        .filter(|(_, sweep)| *sweep > 0.0)
        .max_by(|p, q| p.1.total_cmp(&q.1))
}

impl CurvedWall {
    /// Over both faces.
    fn thickness(&self) -> f64 {
        self.radii[1] - self.radii[0]
    }

    /// Radius of its centre line.
    pub(in crate::plan) fn middle(&self) -> f64 {
        f64::midpoint(self.radii[0], self.radii[1])
    }

    /// The chords of both faces: start, end, entity.
    pub(in crate::plan) fn chords(&self) -> Vec<(Coord<f64>, Coord<f64>, SourceIndex)> {
        let mut n = 2_u32;
        while self.sweep / f64::from(n) > STEP {
            n += 1;
        }
        let step = self.sweep / f64::from(n);
        (0..n)
            .flat_map(|k| [(k, 0), (k, 1)])
            .map(|(k, face)| {
                let at = |k: u32| {
                    let angle = self.from + f64::from(k) * step;
                    self.centre
                        + Coord {
                            x: angle.cos(),
                            y: angle.sin(),
                        } * self.radii[face]
                };
                (at(k), at(k + 1), self.sources[face])
            })
            .collect()
    }

    /// True when a short line is a chord of one of its faces.
    pub(in crate::plan) fn has_chord(&self, a: Coord<f64>, b: Coord<f64>) -> bool {
        self.radii.iter().any(|radius| {
            let on =
                |p: Coord<f64>| (distance(p, self.centre) - radius).abs() < 0.05 + 0.004 * radius;
            // Its middle lies inside the circle: a line along a radius or beside it is none.
            on(a)
                && on(b)
                && dot((a + b) / 2.0 - self.centre, b - a).abs() < 0.1 * distance(a, b) * radius
                && distance(a, b) < 0.6 * radius
        })
    }

    /// True when a run is one of its chords.
    fn has_run(&self, run: &Run) -> bool {
        let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0) - self.centre;
        let off = middle.x.hypot(middle.y);
        let length = run.u1 - run.u0;
        off < self.middle() + 0.5
            && off > self.middle() * 0.985 - 0.5
            && (run.thickness - self.thickness()).abs() < 0.5
            && dot(middle, run.axis.along).abs() < 0.05 * off
            && length < 0.3 * self.radii[1]
    }
}

/// Marks the runs that are chords of curved walls.
pub(in crate::plan) fn mark_curves(runs: &mut [Run], curves: &[CurvedWall]) {
    for run in runs {
        run.curve = curves
            .iter()
            .find(|it| it.has_run(run))
            .map(CurvedWall::middle);
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered};

    #[test]
    fn a_curved_end_of_a_house_closes_it_and_is_refused() {
        // A house 30 ft long, its right end a half circle of 120 in radius, both faces drawn by 30 chords.
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
            let at = |k: i32| {
                let angle = f64::from(k - 15) * 6.0_f64.to_radians();
                (240.0 + radius * angle.cos(), 120.0 + radius * angle.sin())
            };
            for k in 0..30 {
                let ((x0, y0), (x1, y1)) = (at(k), at(k + 1));
                lines.push([x0, y0, x1, y1]);
            }
        }
        let found = recovered(&lines);
        let storey = &found.output.storeys[0];
        assert!(storey.outline.len() > 10, "{:?}", found.findings);
        let refused = found
            .findings
            .iter()
            .filter(|f| f.code == codes::CURVED)
            .count();
        assert_eq!(refused, 12);
        assert_eq!(storey.walls.iter().filter(|w| w.is_exterior).count(), 15);
    }
}
