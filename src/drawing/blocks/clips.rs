//! Insertions of which only a part is shown: what lies outside the border is left out, as the drawing shows it.
//!
//! ```text
//!   SPATIAL_FILTER ──owner──► dictionary ──owner──► dictionary ──owner──► INSERT
//!   border, and how it goes back into the block's own coordinates
//! ```
//!
//! Lines, arcs and areas are cut at the border; texts and dimensions belong to the side that their middle lies on. A hole in a border comes as a
//! border that runs in along a line and back out along it: points are inside by the number of sides that they lie left of.

use crate::drawing::blocks::unfold::{Around, Unfolding};
use crate::drawing::entities::affine::Affine;
use crate::drawing::entities::curves::{FlatCurve, plain_curves};
use crate::drawing::finish::chords;
use crate::drawing::model::Curve;
use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};
use std::collections::BTreeMap;

/// How near to a border is on it, as a share of its size.
const NEAR: f64 = 1e-9;
/// Areas are cut on a raster of the plane: their corners come back this many times as far off.
const ON_RASTER: f64 = 1000.0;

/// A border as it stands in the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::drawing) struct Border {
    /// Handle of the dictionary that it stands in.
    pub(in crate::drawing) owner: Option<u64>,
    /// Its corners; two are those of a rectangle.
    pub(in crate::drawing) corners: Vec<[f64; 2]>,
    /// All numbers of group 40: at their end two matrices of three rows, the first of which goes to the block.
    pub(in crate::drawing) numbers: Vec<f64>,
    /// Group 71.
    pub(in crate::drawing) is_on: bool,
}

/// The borders by the handle of their insertion, and how many belong to none.
///
/// - `owners`: of each dictionary its owner.
pub(in crate::drawing) fn by_insertion(
    borders: Vec<Border>,
    owners: &BTreeMap<u64, u64>,
) -> (BTreeMap<u64, Border>, usize) {
    let mut found = BTreeMap::new();
    let mut n_lost = 0;
    for border in borders.into_iter().filter(|it| it.is_on) {
        let insertion = border
            .owner
            .and_then(|it| owners.get(&it))
            .and_then(|it| owners.get(it));
        match insertion {
            Some(handle) if border.in_block().is_some() => {
                found.insert(*handle, border);
            }
            _ => n_lost += 1,
        }
    }
    (found, n_lost)
}

impl Border {
    /// Its corners in the block's coordinates; `None` where it is no border.
    fn in_block(&self) -> Option<Vec<[f64; 2]>> {
        let from = self.numbers.len().checked_sub(24)?;
        let row = |at: usize| self.numbers.get(from + 4 * at..from + 4 * at + 4);
        let (across, up) = (row(0)?, row(1)?);
        let turned = |[x, y]: [f64; 2]| {
            [across, up].map(|row| match row {
                [a, b, _, d] => a * x + b * y + d,
                _ => f64::NAN,
            })
        };
        let corners: Vec<[f64; 2]> = match self.corners.as_slice() {
            [a, b] => vec![*a, [b[0], a[1]], *b, [a[0], b[1]]],
            more if more.len() > 2 => more.to_vec(),
            _ => return None,
        };
        let corners: Vec<[f64; 2]> = corners.into_iter().map(turned).collect();
        corners
            .iter()
            .flatten()
            .all(|it| it.is_finite())
            .then_some(corners)
    }

    /// The border where its insertion is placed.
    pub(in crate::drawing) fn placed(&self, place: &Affine) -> Option<Clip> {
        let corners = self.in_block()?;
        let corners: Vec<Coord<f64>> = corners
            .iter()
            .map(|it| place.flat([it[0], it[1], 0.0]))
            .collect();
        let size = |pick: fn(&Coord<f64>) -> f64| {
            let all = corners.iter().map(pick);
            let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |m, it| {
                (m.0.min(it), m.1.max(it))
            });
            high - low
        };
        let size = size(|p| p.x).max(size(|p| p.y));
        (size > 0.0).then_some(Clip {
            near: size * NEAR,
            fit: size * 1e-5,
            least: size * size * NEAR * ON_RASTER,
            corners,
        })
    }
}

impl Unfolding<'_> {
    /// True for something whose middle no insertion around it shows; it is counted.
    pub(in crate::drawing) fn is_clipped(
        &mut self,
        around: &Around,
        middle: Option<Coord<f64>>,
    ) -> bool {
        let is_outside =
            middle.is_some_and(|middle| around.clips.iter().any(|clip| !clip.shows(middle)));
        self.flat.n_clipped += usize::from(is_outside);
        is_outside
    }

    /// What the insertions around an area show of it; it is counted when that is not all.
    pub(in crate::drawing) fn shown_rings(
        &mut self,
        around: &Around,
        rings: Vec<Vec<FlatCurve>>,
    ) -> Vec<Vec<FlatCurve>> {
        let mut shown = rings;
        let mut is_cut = false;
        for clip in &around.clips {
            if let Some(part) = clip.cut_area(&shown) {
                shown = part;
                is_cut = true;
            }
        }
        self.flat.n_clipped += usize::from(is_cut);
        shown
    }
}

/// A border in the drawing's plane.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) struct Clip {
    corners: Vec<Coord<f64>>,
    /// What lies so near to the border is inside.
    near: f64,
    /// How near arcs and chords come to other curves that are cut.
    fit: f64,
    /// Smaller areas are what the raster leaves.
    least: f64,
}

impl Clip {
    fn sides(&self) -> impl Iterator<Item = (Coord<f64>, Coord<f64>)> {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(next.copied())
    }

    /// True for a point inside or on the border.
    pub(in crate::drawing) fn shows(&self, p: Coord<f64>) -> bool {
        let mut is_inside = false;
        for (a, b) in self.sides() {
            let (along, off) = (b - a, p - a);
            let length = along.x.hypot(along.y);
            if length > 0.0 {
                let share = (off.x * along.x + off.y * along.y) / (length * length);
                let foot = a + along * share.clamp(0.0, 1.0);
                if (p - foot).x.hypot((p - foot).y) <= self.near {
                    return true;
                }
            }
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + along.x * (off.y / along.y) {
                is_inside = !is_inside;
            }
        }
        is_inside
    }

    /// What of a curve is shown.
    pub(in crate::drawing) fn cut(&self, curve: &FlatCurve) -> Vec<FlatCurve> {
        match curve {
            FlatCurve::Plain(curve) => self.cut_plain(curve),
            bent => {
                let pieces = plain_curves(bent, self.fit);
                let shown: Vec<Vec<FlatCurve>> =
                    pieces.iter().map(|it| self.cut_plain(&it.0)).collect();
                // A curve that is shown whole keeps its exact shape.
                let is_whole = shown
                    .iter()
                    .zip(&pieces)
                    .all(|(own, it)| *own == [FlatCurve::Plain(it.0)]);
                if is_whole {
                    vec![bent.clone()]
                } else {
                    shown.into_iter().flatten().collect()
                }
            }
        }
    }

    /// What of an area is shown, filled where an odd number of its rings lie around; `None` when that is all of it.
    fn cut_area(&self, rings: &[Vec<FlatCurve>]) -> Option<Vec<Vec<FlatCurve>>> {
        let corners = rings.iter().map(|ring| chords(ring, 1.0, self.fit));
        let corners: Vec<Vec<Coord<f64>>> = corners.filter(|it| it.len() > 2).collect();
        let area = MultiPolygon::new(corners.iter().map(|it| polygon(it)).collect());
        let border = polygon(&self.corners);
        let shown = area.intersection(&border);
        let lost = area.xor(&shown).unsigned_area();
        if lost <= self.least {
            return None;
        }
        let known: Vec<Coord<f64>> = corners
            .iter()
            .flatten()
            .chain(&self.corners)
            .copied()
            .collect();
        let ring = |line: &LineString<f64>| {
            let all: Vec<Coord<f64>> = line.coords().map(|p| self.known(*p, &known)).collect();
            let sides = all.iter().zip(all.iter().skip(1)).filter(|(a, b)| a != b);
            let side = |(a, b): (&Coord<f64>, &Coord<f64>)| {
                FlatCurve::Plain(Curve::Line { start: *a, end: *b })
            };
            sides.map(side).collect::<Vec<_>>()
        };
        let parts = shown.iter().filter(|it| it.unsigned_area() > self.least);
        let lines = parts.flat_map(|it| std::iter::once(it.exterior()).chain(it.interiors()));
        Some(lines.map(ring).filter(|it| it.len() > 2).collect())
    }

    /// A corner that was there before, else the point itself: cutting works on a raster of the plane.
    fn known(&self, p: Coord<f64>, corners: &[Coord<f64>]) -> Coord<f64> {
        let far = |q: &Coord<f64>| (q.x - p.x).hypot(q.y - p.y);
        let nearest = corners.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
        nearest
            .copied()
            .filter(|it| far(it) <= ON_RASTER * self.near)
            .unwrap_or(p)
    }

    fn cut_plain(&self, curve: &Curve) -> Vec<FlatCurve> {
        let mut marks: Vec<f64> = vec![0.0, 1.0];
        for side in self.sides() {
            marks.extend(crossings(curve, side));
        }
        marks.sort_by(f64::total_cmp);
        // Neighbouring stretches that are shown are one.
        let mut shown: Vec<(f64, f64)> = Vec::new();
        for (from, to) in marks.iter().copied().zip(marks.iter().copied().skip(1)) {
            if to - from <= 1e-12 || !self.shows(curve.at(f64::midpoint(from, to))) {
                continue;
            }
            match shown.last_mut() {
                Some(last) if from - last.1 <= 1e-12 => last.1 = to,
                _ => shown.push((from, to)),
            }
        }
        let part = |(from, to)| FlatCurve::Plain(stretch(curve, from, to));
        shown.into_iter().map(part).collect()
    }
}

fn polygon(corners: &[Coord<f64>]) -> Polygon<f64> {
    Polygon::new(LineString::new(corners.to_vec()), Vec::new())
}

/// A part of a curve; the whole of it unchanged to the last bit.
fn stretch(curve: &Curve, from: f64, to: f64) -> Curve {
    if from <= 0.0 && to >= 1.0 {
        return *curve;
    }
    match *curve {
        Curve::Line { .. } => Curve::Line {
            start: curve.at(from),
            end: curve.at(to),
        },
        Curve::Arc {
            centre,
            radius,
            start_angle,
            sweep,
        } => Curve::Arc {
            centre,
            radius,
            start_angle: start_angle + sweep * from,
            sweep: sweep * (to - from),
        },
    }
}

/// The shares of a curve at which it meets a side.
fn crossings(curve: &Curve, (a, b): (Coord<f64>, Coord<f64>)) -> Vec<f64> {
    let along = b - a;
    match *curve {
        Curve::Line { start, end } => {
            let own = end - start;
            let turn = own.x * along.y - own.y * along.x;
            if turn == 0.0 {
                return Vec::new();
            }
            let off = a - start;
            let share = (off.x * along.y - off.y * along.x) / turn;
            let on_side = (off.x * own.y - off.y * own.x) / turn;
            let is_met = (0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&on_side);
            is_met.then_some(share).into_iter().collect()
        }
        Curve::Arc {
            centre,
            radius,
            start_angle,
            sweep,
        } => {
            let off = a - centre;
            let square = along.x * along.x + along.y * along.y;
            let middle = -(off.x * along.x + off.y * along.y);
            let inner =
                middle * middle - square * (off.x * off.x + off.y * off.y - radius * radius);
            if square <= 0.0 || inner < 0.0 {
                return Vec::new();
            }
            [-1.0, 1.0]
                .map(|sign: f64| (middle + sign * inner.sqrt()) / square)
                .into_iter()
                .filter(|on_side| (0.0..=1.0).contains(on_side))
                .map(|on_side| {
                    let p = off + along * on_side;
                    let turn = (p.y.atan2(p.x) - start_angle) * sweep.signum();
                    turn.rem_euclid(std::f64::consts::TAU) / sweep.abs()
                })
                .filter(|share| *share < 1.0)
                .collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::blocks::pieces::ring_of;

    fn square() -> Clip {
        let border = Border {
            corners: vec![[0.0, 0.0], [10.0, 10.0]],
            numbers: [
                [1.0, 0.0, 0.0, 5.0],
                [0.0, 1.0, 0.0, 0.0],
                [0.0, 0.0, 1.0, 0.0],
            ]
            .concat()
            .repeat(2),
            ..Border::default()
        };
        border.placed(&Affine::IDENTITY).unwrap()
    }

    #[test]
    fn lines_and_arcs_are_cut_at_the_border() {
        let line = |x: f64| Curve::Line {
            start: (x, 5.0).into(),
            end: (x + 20.0, 5.0).into(),
        };
        let clip = square();
        let shown = clip.cut(&FlatCurve::Plain(line(0.0)));
        let expected = Curve::Line {
            start: (5.0, 5.0).into(),
            end: (15.0, 5.0).into(),
        };
        assert_eq!(shown, [FlatCurve::Plain(expected)]);
        assert!(clip.cut(&FlatCurve::Plain(line(20.0))).is_empty());
        let arc = Curve::Arc {
            centre: (5.0, 0.0).into(),
            radius: 4.0,
            start_angle: 0.0,
            sweep: std::f64::consts::PI,
        };
        let [FlatCurve::Plain(Curve::Arc { sweep, .. })] = clip.cut(&FlatCurve::Plain(arc))[..]
        else {
            panic!("half of the arc is inside");
        };
        assert!((sweep - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
        // Along the border is inside.
        let edge = Curve::Line {
            start: (5.0, 10.0).into(),
            end: (15.0, 10.0).into(),
        };
        assert_eq!(clip.cut(&FlatCurve::Plain(edge)), [FlatCurve::Plain(edge)]);
    }

    #[test]
    fn areas_are_cut_at_the_border() {
        let ring = |x: f64, y: f64, w: f64, h: f64| {
            let corners = [
                [x, y, 0.0],
                [x + w, y, 0.0],
                [x + w, y + h, 0.0],
                [x, y + h, 0.0],
            ];
            ring_of(&corners, &Affine::IDENTITY)
        };
        // The border runs from 5 to 15 across and from 0 to 10 up.
        let clip = square();
        let box_of = |rings: &[Vec<FlatCurve>]| {
            let corners = chords(&rings[0], 1.0, 1e-3);
            let all = |pick: fn(&Coord<f64>) -> f64| {
                let all = corners.iter().map(pick);
                all.fold((f64::INFINITY, f64::NEG_INFINITY), |m, it| {
                    (m.0.min(it), m.1.max(it))
                })
            };
            (all(|p| p.x), all(|p| p.y), corners.len())
        };
        // A wall across it.
        let shown = clip.cut_area(&[ring(-20.0, 3.0, 60.0, 6.0)]).unwrap();
        assert_eq!(shown.len(), 1);
        assert_eq!(box_of(&shown), ((5.0, 15.0), (3.0, 9.0), 4));
        // All of it, none of it, and more than all of it with a hole.
        assert!(clip.cut_area(&[ring(6.0, 1.0, 2.0, 2.0)]).is_none());
        assert!(
            clip.cut_area(&[ring(16.0, 1.0, 2.0, 2.0)])
                .unwrap()
                .is_empty()
        );
        let both = [ring(-50.0, -50.0, 200.0, 200.0), ring(7.0, 2.0, 2.0, 2.0)];
        let shown = clip.cut_area(&both).unwrap();
        assert_eq!(shown.len(), 2);
        assert_eq!(box_of(&shown), ((5.0, 15.0), (0.0, 10.0), 4));
    }
}
