//! What the issue before was built to: the same plan, turned, moved or in another unit, raises the same building.
//!
//! ```text
//!   issued       ●────────┤ 36 1/2" ├──────●        drawn again   ●────────┤ 36 33/64" ├─────●   within `AS_ISSUED`: 36 1/2" stays
//! ```
//!
//! A size is rounded to the grid from a corner; from another corner, or on another grid, the same size is rounded otherwise.
//! Nobody makes a panel anew for that.

use super::codes;
use super::model::{RoughOpening, Tee};
use crate::findings::{Finding, Place};
use crate::geometry::tolerance::{AS_ISSUED, WALL_TO_WALL};
use crate::geometry::{Frame, ShopRect};
use crate::units::{Length, counted};
use geo::Coord;

/// Ends of a face lie on those of an issued one within this, inches: more than any rounding, less than a step in a wall.
pub const SAME_CORNER: f64 = 0.125;
/// Cosine of the greatest angle between a face and itself: one degree.
const PARALLEL: f64 = 0.999_8;

/// The faces of the issue before, laid over this plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AsIssued {
    /// Outside faces of its walls.
    pub faces: Vec<IssuedFace>,
}

/// An outside face as it was built.
#[derive(Clone, Debug, PartialEq)]
pub struct IssuedFace {
    /// Id of the storey.
    pub storey: String,
    /// Where it stands on this plan.
    pub frame: Frame,
    /// Corner to corner.
    pub length: Length,
    /// Rough openings: along the face and above the deck.
    pub openings: Vec<ShopRect>,
    /// Stretches that walls take which meet it inside.
    pub tees: Vec<[Length; 2]>,
}

/// An issued face under a face of this plan.
#[derive(Clone, Copy, Debug)]
pub(super) struct Under<'a> {
    face: &'a IssuedFace,
    /// The issued length where both corners stayed.
    pub(super) length: Option<Length>,
    /// From the issued left corner to this one's, along.
    shift: Length,
}

impl AsIssued {
    /// The issued face that shares a corner with this one and lies along it; one that shares both before others.
    pub(super) fn under(&self, storey: &str, frame: &Frame, length: Length) -> Option<Under<'_>> {
        let is_near = |a: Coord<f64>, b: Coord<f64>| (a.x - b.x).hypot(a.y - b.y) <= SAME_CORNER;
        let end = |frame: &Frame, length: Length| frame.point(length.to_inches(), 0.0);
        let faces = self.faces.iter().filter_map(|face| {
            let (a, b) = (face.frame.along, frame.along);
            if face.storey != storey || a.x * b.x + a.y * b.y < PARALLEL {
                return None;
            }
            let at_left = is_near(face.frame.origin, frame.origin);
            let at_right = is_near(end(&face.frame, face.length), end(frame, length));
            let shift = if at_left {
                Length::ZERO
            } else {
                length - face.length
            };
            (at_left || at_right).then_some(Under {
                face,
                length: (at_left && at_right).then_some(face.length),
                shift,
            })
        });
        faces.min_by_key(|it| it.length.is_none())
    }
}

impl Under<'_> {
    /// Gives an opening that lies where an issued one lay its sides; true when one of them differs.
    ///
    /// - `middle`: where its middle is drawn along the wall, inches: jambs farther from there than proofs allow are not kept.
    pub(super) fn keep_opening(&self, rough: &mut RoughOpening, middle: f64) -> bool {
        let sides = |it: &ShopRect| [it.x0 + self.shift, it.x1 + self.shift, it.y0, it.y1];
        let own = [rough.from, rough.to, rough.sill, rough.head];
        let mut issued = self.face.openings.iter().map(sides);
        let is_there = |it: &[Length; 4]| {
            let own_size = [rough.width(), rough.sill, rough.head];
            let drawn = f64::midpoint(it[0].to_inches(), it[1].to_inches()) - middle;
            is_same(&[it[1] - it[0], it[2], it[3]], &own_size) && drawn.abs() <= WALL_TO_WALL
        };
        let Some(kept) = issued.find(is_there) else {
            return false;
        };
        [rough.from, rough.to, rough.sill, rough.head] = kept;
        let grown = [
            (kept[1] - kept[0]) - (own[1] - own[0]),
            (kept[3] - kept[2]) - (own[3] - own[2]),
        ];
        for (unit, by) in rough.unit.iter_mut().zip(grown) {
            *unit += by;
        }
        kept != own
    }

    /// Gives walls that meet the face where they met it the stretches they took; returns how many differ.
    pub(super) fn keep_tees(&self, tees: &mut [Tee]) -> usize {
        let mut n_kept = 0;
        for tee in tees {
            let own = [tee.from, tee.to];
            let mut issued = self.face.tees.iter().map(|it| it.map(|at| at + self.shift));
            if let Some(kept) = issued.find(|it| is_same(it, &own)) {
                [tee.from, tee.to] = kept;
                n_kept += usize::from(kept != own);
            }
        }
        n_kept
    }

    /// The side of a wall that met the face here when it was issued, or `at`.
    pub(super) fn side_of_tee(&self, at: Length) -> Length {
        let sides = self.face.tees.iter().flatten();
        let mut sides = sides.map(|side| *side + self.shift);
        sides.find(|side| is_same(&[*side], &[at])).unwrap_or(at)
    }
}

/// True for sizes that differ by rounding alone.
pub(super) fn is_same(a: &[Length], b: &[Length]) -> bool {
    let mut pairs = a.iter().zip(b);
    pairs.all(|(a, b)| (*a - *b).abs().to_inches() <= AS_ISSUED)
}

/// The issued length of every face of an outline, however far from what is drawn; `None` where there is none.
pub(super) fn issued_lengths(
    issued: &AsIssued,
    storey: &str,
    faces: impl Iterator<Item = (Frame, Length)>,
) -> Vec<Option<Length>> {
    faces
        .map(|(frame, length)| issued.under(storey, &frame, length)?.length)
        .collect()
}

/// Says how many walls, openings and stretches of tees are built as issued, though they would be rounded otherwise now.
pub(super) fn told(n_kept: usize) -> Option<Finding> {
    (n_kept > 0).then(|| {
        Finding::note(
            codes::KEPT_AS_ISSUED,
            Place::default(),
            format!(
                "{} of walls and openings built as in the issue before, though by the drawing alone they would now be rounded otherwise, by 1/64\" at most",
                counted(n_kept, "size")
            ),
            "nothing to do: that is rounding, as of a plan turned round or saved in another unit",
        )
    })
}

/// How far each of some lines moves so that pairs of them stand as wished; `None` for one that no wish is about.
///
/// - `wished`: two lines, and by how much the second moves away from the first; the first line of a chain stays.
pub(super) fn moves(
    n_lines: usize,
    mut wished: Vec<(usize, usize, Length)>,
) -> Vec<Option<Length>> {
    wished.sort_unstable();
    let mut moved: Vec<Option<Length>> = vec![None; n_lines];
    for (first, ..) in &wished {
        if moved[*first].is_some() {
            continue;
        }
        moved[*first] = Some(Length::ZERO);
        let mut is_new = true;
        while std::mem::take(&mut is_new) {
            for (a, b, by) in &wished {
                match (moved[*a], moved[*b]) {
                    (Some(at), None) => moved[*b] = Some(at + *by),
                    (None, Some(at)) => moved[*a] = Some(at - *by),
                    _ => continue,
                }
                is_new = true;
            }
        }
    }
    moved
}

/// By how much lines move so that those farthest to both sides of where they are drawn are equally far: whichever line is the
/// datum, as it is another one in a plan turned round, the building then stands in the same place over its drawing.
pub(super) fn halfway(off: impl Iterator<Item = f64>) -> f64 {
    let ends = off.fold(None, |ends: Option<(f64, f64)>, it| {
        let (low, high) = ends.unwrap_or((it, it));
        Some((low.min(it), high.max(it)))
    });
    ends.map_or(0.0, |(low, high)| f64::midpoint(low, high))
}

#[cfg(test)]
mod tests {
    use super::super::bridge::{INCH_STEP, METRIC_STEP, SnappedFace, snap_as_issued, snap_outline};
    use super::*;

    /// A house whose lines lie between the marks of the tape.
    const CORNERS: [(f64, f64); 6] = [
        (0.0, 0.0),
        (324.010, 0.0),
        (324.010, 120.006),
        (200.006, 120.006),
        (200.006, 240.010),
        (0.0, 240.010),
    ];

    fn turned(degrees: f64, [x, y]: [f64; 2]) -> Vec<Coord<f64>> {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let corners = CORNERS.iter();
        corners
            .map(|p| Coord {
                x: p.0 * cosine - p.1 * sine + x,
                y: p.0 * sine + p.1 * cosine + y,
            })
            .collect()
    }

    #[test]
    fn an_outline_turned_moved_or_metric_is_built_as_issued() {
        let still = [Length::ZERO; 6];
        let lengths =
            |faces: &[SnappedFace]| -> Vec<Length> { faces.iter().map(|it| it.length).collect() };
        let first = lengths(&snap_outline(&turned(0.0, [0.0; 2]), &still, INCH_STEP));
        let issued: Vec<Option<Length>> = first.iter().copied().map(Some).collect();
        let mut n_other = 0;
        for (degrees, shift, step) in [
            (180.0, [0.0; 2], INCH_STEP),
            (90.0, [0.0; 2], INCH_STEP),
            (17.3, [0.0; 2], INCH_STEP),
            (0.0, [1e6, -1e6], INCH_STEP),
            (0.0, [0.0; 2], METRIC_STEP),
        ] {
            let corners = turned(degrees, shift);
            n_other += usize::from(lengths(&snap_outline(&corners, &still, step)) != first);
            let now = snap_as_issued(&corners, &still, step, &issued);
            assert_eq!(lengths(&now), first, "turned by {degrees}");
        }
        assert!(n_other > 1, "nothing was rounded otherwise");
    }

    #[test]
    fn an_outline_built_as_issued_stands_over_its_drawing_whichever_way_that_is_turned() {
        let still = [Length::ZERO; 6];
        let first = snap_outline(&turned(0.0, [0.0; 2]), &still, INCH_STEP);
        let issued: Vec<Option<Length>> = first.iter().map(|it| Some(it.length)).collect();
        for degrees in [0.0, 90.0, 180.0, 270.0] {
            let corners = turned(degrees, [0.0; 2]);
            let now = snap_as_issued(&corners, &still, INCH_STEP, &issued);
            for (face, drawn) in now.iter().zip(&corners) {
                let off = face.frame.origin - *drawn;
                let off = off.x.abs().max(off.y.abs());
                assert!(off < 1.0 / 128.0, "{degrees}: {off}");
            }
        }
    }

    #[test]
    fn a_wall_drawn_longer_is_no_rounding() {
        let still = [Length::ZERO; 6];
        let mut corners = turned(0.0, [0.0; 2]);
        let first = snap_outline(&corners, &still, INCH_STEP);
        let issued: Vec<Option<Length>> = first.iter().map(|it| Some(it.length)).collect();
        corners[1].x += 0.0625;
        corners[2].x += 0.0625;
        let now = snap_as_issued(&corners, &still, INCH_STEP, &issued);
        let grown = Length::fraction(0, 1, 16);
        assert_eq!(now[0].length, first[0].length + grown);
        assert_eq!(now[2].length, first[2].length + grown);
        assert_eq!(now[4].length, first[4].length);
    }
}
