//! The one bridge from the survey world to the shop world: corners of a whole outline, snapped together.
//!
//! ```text
//!   drawn, f64, jitter            turned to the building's square        snapped                exact
//!     ┌──────────┐ 324.004          faces of one line share it     x ∈ {0, 120, 324}       length = 324 - 120
//!     │     ┌────┘ 119.998   ──►    (within SHARED_FACE)      ──►  steps from the datum ──►  = 17'-0"
//!     └─────┘
//! ```
//!
//! 1. The dominant direction is that of the greatest length of faces that agree with it or its square.
//! 2. Faces square to it lie on x or y lines; lines within `SHARED_FACE` become one, at their mean weighted by length.
//! 3. Lines are moved to whole steps from the least one, the datum, and corners are where lines cross.
//!
//! Lengths of square faces are therefore differences of shared lines: parallel chains have equal sums and the outline closes
//! to the nanometre. A face at any other angle keeps its corners within half a step, and its length is the nearest step.
//! Where an earlier issue was built to a length that differs by rounding alone, lines are moved until faces have that.
//! Refused: rounding each wall's length by itself, which opens outlines by a step for each corner.

use super::as_issued::{halfway, moves};
use super::outline::distance;
use crate::geometry::Frame;
use crate::geometry::tolerance::{AS_ISSUED, SHARED_FACE, SQUARE_ANGLE_DEG, SQUARE_DRIFT};
use crate::units::Length;
use geo::Coord;

/// The step for drawings in inches or feet: a mark on the tape.
pub(super) const INCH_STEP: Length = Length::TAPE_STEP;
/// The step for metric drawings, half a millimetre: below 1/32 in, so that nothing moves by 1/64 in on its account.
pub(super) const METRIC_STEP: Length = Length::nanometres(500_000);

/// One face of an outline in both worlds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SnappedFace {
    /// Where it stands.
    pub(super) frame: Frame,
    /// Corner to corner: exact for square faces, else the nearest step. Zero or less when offsets ate it up.
    pub(super) length: Length,
    /// How far its first corner moved on account of snapping, inches; offsets do not count.
    pub(super) moved: f64,
}

/// Which lines of the turned outline a face lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Run {
    /// Along x, at one y; `true` when it runs towards +x.
    AlongX(bool),
    /// Along y, at one x; `true` when it runs towards +y.
    AlongY(bool),
    /// Neither.
    Odd,
}

/// Snaps an outline.
///
/// - `corners`: from `true_corners`, counter-clockwise, building coordinates, inches.
/// - `outward`: how far each face (from its corner to the next) moves outwards, for panels thicker than the wall drawn;
///   one for each corner.
/// - `step`: above zero.
/// - Returns one face for each corner; empty when there are fewer than three.
pub(super) fn snap_outline(
    corners: &[Coord<f64>],
    outward: &[Length],
    step: Length,
) -> Vec<SnappedFace> {
    snap_as_issued(corners, outward, step, &[])
}

/// The same, faces having the lengths that they were issued with; `issued` has one for each corner, or is empty.
pub(super) fn snap_as_issued(
    corners: &[Coord<f64>],
    outward: &[Length],
    step: Length,
    issued: &[Option<Length>],
) -> Vec<SnappedFace> {
    if corners.len() < 3 || outward.len() != corners.len() {
        return Vec::new();
    }
    let turn = dominant_direction(corners);
    let turned: Vec<Coord<f64>> = corners.iter().map(|point| rotated(*point, -turn)).collect();
    let mut lines = Lines::new(&turned, step);
    let still = vec![Length::ZERO; corners.len()];
    let unmoved = lines.corners(&still);
    lines.keep(outward, issued);
    let placed = lines.corners(outward);
    let n_corners = corners.len();
    (0..n_corners)
        .filter_map(|index| {
            let next = (index + 1) % n_corners;
            let (start, end) = (*placed.get(index)?, *placed.get(next)?);
            let world = |corner: [Length; 2]| rotated(lines.world(corner), turn);
            let apart = distance(world(start), world(end));
            let (frame, length) = match *lines.runs.get(index)? {
                Run::AlongX(forward) => square_face(world(start), end[0] - start[0], forward, turn),
                Run::AlongY(forward) => square_face(
                    world(start),
                    end[1] - start[1],
                    forward,
                    turn + std::f64::consts::FRAC_PI_2,
                ),
                Run::Odd => {
                    let frame = Frame::from_points(world(start), world(end))?;
                    (frame, Length::nearest(apart, step)?)
                }
            };
            // What meets a slanted face ends where that is drawn: it is as issued only where that is no farther off than rounding.
            let beside = [(index + n_corners - 1) % n_corners, index, next];
            let is_free = beside
                .iter()
                .any(|it| lines.runs.get(*it) == Some(&Run::Odd));
            let kept = issued.get(index).copied().flatten();
            let kept = kept.filter(|it| is_free && (it.to_inches() - apart).abs() <= AS_ISSUED);
            let length = kept.unwrap_or(length);
            let drawn = *corners.get(index)?;
            Some(SnappedFace {
                frame,
                length,
                moved: distance(world(*unmoved.get(index)?), drawn),
            })
        })
        .collect()
}

/// A face along a square direction, its length signed by its run.
fn square_face(
    origin: Coord<f64>,
    difference: Length,
    forward: bool,
    direction: f64,
) -> (Frame, Length) {
    let sign = if forward { 1.0 } else { -1.0 };
    let unit = rotated(Coord { x: sign, y: 0.0 }, direction);
    let length = if forward { difference } else { -difference };
    (
        Frame {
            origin,
            along: unit,
        },
        length,
    )
}

/// Turns a point about the origin; exact for no turn and for quarter turns.
fn rotated(point: Coord<f64>, angle: f64) -> Coord<f64> {
    let (sine, cosine) = exact_sine_cosine(angle);
    Coord {
        x: point.x * cosine - point.y * sine,
        y: point.x * sine + point.y * cosine,
    }
}

/// Sine and cosine, with what is within rounding of 0, 1 and −1 set to it.
fn exact_sine_cosine(angle: f64) -> (f64, f64) {
    let clean = |value: f64| {
        let whole = value.round();
        if (value - whole).abs() < 1e-15 {
            whole
        } else {
            value
        }
    };
    let (sine, cosine) = angle.sin_cos();
    (clean(sine), clean(cosine))
}

/// The direction most of the length agrees with, radians in (−45°, 45°].
pub(super) fn dominant_direction(corners: &[Coord<f64>]) -> f64 {
    let quarter = std::f64::consts::FRAC_PI_2;
    // The nearest turn of an angle to a square direction, in (−45°, 45°].
    let folded = |angle: f64| angle - (angle / quarter - 1e-12).round() * quarter;
    let n_corners = corners.len();
    let faces: Vec<(f64, f64)> = corners
        .iter()
        .zip(corners.iter().cycle().skip(1))
        .take(n_corners)
        .map(|(a, b)| (folded((b.y - a.y).atan2(b.x - a.x)), distance(*a, *b)))
        .collect();
    let near = SQUARE_ANGLE_DEG.to_radians();
    let mut best = (0.0, 0.0);
    for (candidate, _) in &faces {
        let mut length = 0.0;
        let mut drift = 0.0;
        for (angle, face) in &faces {
            let difference = folded(angle - candidate);
            if difference.abs() <= near {
                length += face;
                drift += difference * face;
            }
        }
        // A face of the same length later in the outline does not displace the first.
        if length > best.0 + 1e-6 {
            best = (length, candidate + drift / length);
        }
    }
    // Rounding of a drawing's own coordinates is no turn.
    if best.1.abs() < 1e-9 { 0.0 } else { best.1 }
}

/// The lines of a turned outline, in whole steps from the datum.
struct Lines<'a> {
    turned: &'a [Coord<f64>],
    runs: Vec<Run>,
    /// For a square face the place of its line across its run; `None` for odd ones.
    across: Vec<Option<Length>>,
    /// The same as drawn, from the datum, inches.
    drawn: Vec<Option<f64>>,
    /// Faces that share a line, line by line.
    shared: Vec<Vec<usize>>,
    datum: Coord<f64>,
    step: Length,
}

impl<'a> Lines<'a> {
    fn new(turned: &'a [Coord<f64>], step: Length) -> Self {
        let faces: Vec<(Coord<f64>, Coord<f64>)> = turned
            .iter()
            .copied()
            .zip(turned.iter().copied().cycle().skip(1))
            .take(turned.len())
            .collect();
        let runs: Vec<Run> = faces.iter().map(|(a, b)| run(*a, *b)).collect();
        let mut x_lines = Vec::new();
        let mut y_lines = Vec::new();
        for (index, ((a, b), run)) in faces.iter().zip(&runs).enumerate() {
            let length = distance(*a, *b);
            match run {
                Run::AlongX(_) => y_lines.push((f64::midpoint(a.y, b.y), length, index)),
                Run::AlongY(_) => x_lines.push((f64::midpoint(a.x, b.x), length, index)),
                Run::Odd => {}
            }
        }
        let least =
            |pick: fn(&Coord<f64>) -> f64| turned.iter().map(pick).fold(f64::INFINITY, f64::min);
        let x_groups = shared(x_lines);
        let y_groups = shared(y_lines);
        let datum = Coord {
            x: x_groups
                .first()
                .map_or_else(|| least(|p| p.x), |line| line.0),
            y: y_groups
                .first()
                .map_or_else(|| least(|p| p.y), |line| line.0),
        };
        let mut across = vec![None; turned.len()];
        let mut drawn = vec![None; turned.len()];
        let mut shared = Vec::new();
        for (groups, from) in [(x_groups, datum.x), (y_groups, datum.y)] {
            for (at, members) in groups {
                for index in &members {
                    if let (Some(place), Some(line)) =
                        (across.get_mut(*index), drawn.get_mut(*index))
                    {
                        *place = Length::nearest(at - from, step);
                        *line = Some(at - from);
                    }
                }
                shared.push(members);
            }
        }
        Self {
            turned,
            runs,
            across,
            drawn,
            shared,
            datum,
            step,
        }
    }

    /// How far a square face's line lies beyond where it is drawn, inches.
    fn rounded_by(&self, face: usize) -> f64 {
        let place = self.across.get(face).copied().flatten();
        let drawn = self.drawn.get(face).copied().flatten();
        place.map_or(0.0, Length::to_inches) - drawn.unwrap_or_default()
    }

    /// Moves lines until faces between two of them have their issued lengths: from the datum, or the first such line, on.
    fn keep(&mut self, outward: &[Length], issued: &[Option<Length>]) {
        let n_corners = self.turned.len();
        let group = |face: usize| self.shared.iter().position(|it| it.contains(&face));
        // Two lines, and by how much the second has to move away from the first.
        let mut wished: Vec<(usize, usize, Length)> = Vec::new();
        for (face, length) in issued.iter().enumerate() {
            let [before, after] = [(face + n_corners - 1) % n_corners, (face + 1) % n_corners];
            let ends = [self.line(before, outward), self.line(after, outward)];
            if let (Some(length), [Some(from), Some(to)]) = (*length, ends)
                && let (Some(a), Some(b)) = (group(before), group(after))
            {
                let is_forward = matches!(
                    self.runs.get(face),
                    Some(Run::AlongX(true) | Run::AlongY(true))
                );
                let by = if is_forward { length } else { -length } - (to - from);
                let off = by.to_inches() + self.rounded_by(after) - self.rounded_by(before);
                if off.abs() <= AS_ISSUED {
                    wished.push((a, b, by));
                }
            }
        }
        let moved = moves(self.shared.len(), wished);
        let is_any_kept = moved.iter().any(Option::is_some);
        for (members, by) in self.shared.iter().zip(moved) {
            for face in members {
                if let (Some(Some(place)), Some(by)) = (self.across.get_mut(*face), by) {
                    *place += by;
                }
            }
        }
        if is_any_kept && !self.runs.contains(&Run::Odd) {
            let off = |is_x: bool| {
                let faces = self.runs.iter().enumerate();
                let faces = faces.filter(|(_, run)| matches!(run, Run::AlongY(_)) == is_x);
                halfway(faces.map(|(face, _)| self.rounded_by(face)))
            };
            let (x, y) = (off(true), off(false));
            self.datum = self.datum - Coord { x, y };
        }
    }

    /// All corners, with each face moved outwards by its offset.
    fn corners(&self, outward: &[Length]) -> Vec<[Length; 2]> {
        let n_corners = self.turned.len();
        (0..n_corners)
            .map(|index| self.corner((index + n_corners - 1) % n_corners, index, outward))
            .collect()
    }

    /// Where the faces `before` and `after` meet.
    fn corner(&self, before: usize, after: usize, outward: &[Length]) -> [Length; 2] {
        let measured = self.measured_corner(before, after, outward);
        let snapped = |value: f64| Length::nearest(value, self.step).unwrap_or_default();
        let mut corner = [snapped(measured.x), snapped(measured.y)];
        for face in [before, after] {
            match (self.runs.get(face), self.line(face, outward)) {
                (Some(Run::AlongX(_)), Some(at)) => corner[1] = at,
                (Some(Run::AlongY(_)), Some(at)) => corner[0] = at,
                _ => {}
            }
        }
        corner
    }

    /// The line of a square face, moved outwards: to the right of its run.
    fn line(&self, face: usize, outward: &[Length]) -> Option<Length> {
        let at = (*self.across.get(face)?)?;
        let by = *outward.get(face)?;
        Some(match self.runs.get(face)? {
            Run::AlongX(true) | Run::AlongY(false) => at - by,
            Run::AlongX(false) | Run::AlongY(true) => at + by,
            Run::Odd => return None,
        })
    }

    /// The corner of two faces as measured from the datum: where their lines cross, or the drawn point if they hardly do.
    fn measured_corner(&self, before: usize, after: usize, outward: &[Length]) -> Coord<f64> {
        let drawn = self
            .turned
            .get(after)
            .map_or(Coord { x: 0.0, y: 0.0 }, |point| *point - self.datum);
        let (Some(a), Some(b)) = (
            self.measured_line(before, outward),
            self.measured_line(after, outward),
        ) else {
            return drawn;
        };
        let sine = a.along.x * b.along.y - a.along.y * b.along.x;
        if sine.abs() < 0.02 {
            return drawn;
        }
        let between = b.origin - a.origin;
        let along = (between.x * b.along.y - between.y * b.along.x) / sine;
        a.point(along, 0.0)
    }

    /// A face's line from the datum, moved outwards.
    fn measured_line(&self, face: usize, outward: &[Length]) -> Option<Frame> {
        let start = *self.turned.get(face)? - self.datum;
        let end = *self.turned.get((face + 1) % self.turned.len())? - self.datum;
        let drawn = Frame::from_points(start, end)?;
        let moved = match (self.runs.get(face)?, self.line(face, outward)) {
            (Run::AlongX(forward), Some(at)) => {
                let x = if *forward { 1.0 } else { -1.0 };
                Frame {
                    origin: Coord {
                        x: start.x,
                        y: at.to_inches(),
                    },
                    along: Coord { x, y: 0.0 },
                }
            }
            (Run::AlongY(forward), Some(at)) => {
                let y = if *forward { 1.0 } else { -1.0 };
                Frame {
                    origin: Coord {
                        x: at.to_inches(),
                        y: start.y,
                    },
                    along: Coord { x: 0.0, y },
                }
            }
            _ => Frame {
                origin: drawn.point(0.0, outward.get(face)?.to_inches()),
                along: drawn.along,
            },
        };
        Some(moved)
    }

    /// A corner in the turned world, inches.
    fn world(&self, corner: [Length; 2]) -> Coord<f64> {
        Coord {
            x: self.datum.x + corner[0].to_inches(),
            y: self.datum.y + corner[1].to_inches(),
        }
    }
}

/// Which way a face of the turned outline runs.
fn run(start: Coord<f64>, end: Coord<f64>) -> Run {
    let (dx, dy) = (end.x - start.x, end.y - start.y);
    let limit = |length: f64| {
        // A short face may drift, but not so much that it is plainly slanted.
        let drift = SQUARE_DRIFT.min(length * 0.02);
        drift.max(length * SQUARE_ANGLE_DEG.to_radians().tan())
    };
    if dy.abs() <= limit(dx.abs()) {
        Run::AlongX(dx > 0.0)
    } else if dx.abs() <= limit(dy.abs()) {
        Run::AlongY(dy > 0.0)
    } else {
        Run::Odd
    }
}

/// Lines that lie within `SHARED_FACE` of the next become one, at their mean weighted by length; rising.
fn shared(mut lines: Vec<(f64, f64, usize)>) -> Vec<(f64, Vec<usize>)> {
    lines.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let mut groups: Vec<Vec<(f64, f64, usize)>> = Vec::new();
    for line in lines {
        match groups.last_mut() {
            Some(group)
                if group
                    .last()
                    .is_some_and(|last| line.0 - last.0 <= SHARED_FACE) =>
            {
                group.push(line);
            }
            _ => groups.push(vec![line]),
        }
    }
    groups
        .into_iter()
        .map(|group| {
            let first = group.first().map_or(0.0, |line| line.0);
            let weight: f64 = group.iter().map(|line| line.1).sum();
            // Summing differences keeps a lone line, and equal ones, where they are to the last bit.
            let drift: f64 = group.iter().map(|line| (line.0 - first) * line.1).sum();
            let members = group.iter().map(|line| line.2).collect();
            (first + drift / weight, members)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::outline::true_corners;
    use super::*;

    /// Snaps an outline in inches and compares the lengths of its faces, which must close to the nanometre if all are square.
    #[track_caller]
    fn check(outline: &[(f64, f64)], step: Length, expected: &[&str]) -> Vec<SnappedFace> {
        let outline: Vec<Coord<f64>> = outline.iter().map(|p| Coord { x: p.0, y: p.1 }).collect();
        let corners = true_corners(&outline);
        let faces = snap_outline(&corners, &vec![Length::ZERO; corners.len()], step);
        let lengths: Vec<String> = faces.iter().map(|f| f.length.to_string()).collect();
        assert_eq!(lengths, expected);
        faces
    }

    fn turned(outline: &[(f64, f64)], degrees: f64) -> Vec<(f64, f64)> {
        let (s, c) = degrees.to_radians().sin_cos();
        outline
            .iter()
            .map(|(x, y)| (x * c - y * s + 1000.013, x * s + y * c - 77.7))
            .collect()
    }

    const HOUSE: [(f64, f64); 4] = [(0.0, 0.0), (336.0, 0.0), (336.0, 192.0), (0.0, 192.0)];

    #[test]
    fn a_drawn_rectangle_keeps_its_feet_and_inches() {
        let faces = check(&HOUSE, INCH_STEP, &["336\"", "192\"", "336\"", "192\""]);
        assert_eq!(faces[0].length.feet_inches().to_string(), "28'-0\"");
        assert!(faces.iter().all(|face| face.moved == 0.0));
        assert_eq!(faces[2].frame.along, (-1.0, 0.0).into());
        assert_eq!(faces[2].frame.origin, (336.0, 192.0).into());
    }

    #[test]
    fn a_rectangle_turned_by_fifteen_degrees_has_the_same_exact_lengths() {
        for degrees in [15.0, 45.0, 137.0, -30.0, 90.0] {
            let faces = check(
                &turned(&HOUSE, degrees),
                INCH_STEP,
                &["336\"", "192\"", "336\"", "192\""],
            );
            for face in &faces {
                assert!(face.moved < 1e-9, "{degrees}: {}", face.moved);
            }
        }
    }

    #[test]
    fn a_metric_wall_of_six_metres_is_six_metres() {
        let mm = |x: f64, y: f64| (x / 25.4, y / 25.4);
        let outline = [
            mm(17.0, 3.0),
            mm(6017.0, 3.0),
            mm(6017.0, 4203.0),
            mm(17.0, 4203.0),
        ];
        let faces = check(
            &outline,
            METRIC_STEP,
            &["~236 7/32\"", "~165 23/64\"", "~236 7/32\"", "~165 23/64\""],
        );
        assert_eq!(faces[0].length, Length::millimetres(6000));
        assert_eq!(faces[1].length, Length::millimetres(4200));
    }

    #[test]
    fn an_ell_with_jitter_closes_and_its_parallel_chains_agree() {
        // Lines broken, doubled and a hair off: as drafted.
        let faces = check(
            &[
                (0.0, 0.004),
                (200.0, 0.0),
                (323.99, -0.003),
                (324.01, 120.0),
                (180.006, 119.995),
                (180.0, 240.004),
                (0.002, 240.0),
            ],
            INCH_STEP,
            &["324\"", "120\"", "144\"", "120\"", "180\"", "240\""],
        );
        assert_eq!(faces[0].length, faces[2].length + faces[4].length);
        assert_eq!(faces[5].length, faces[1].length + faces[3].length);
        assert!(faces.iter().all(|face| face.moved < 1.0 / 64.0));
    }

    #[test]
    fn a_bay_at_45_degrees_meets_its_neighbours_within_a_sixty_fourth() {
        let faces = check(
            &[
                (0.0, 0.0),
                (120.0, 0.0),
                (144.0, -24.0),
                (216.0, -24.0),
                (240.0, 0.0),
                (360.0, 0.0),
                (360.0, 240.0),
                (0.0, 240.0),
            ],
            INCH_STEP,
            &[
                "120\"",
                "33 15/16\"",
                "72\"",
                "33 15/16\"",
                "120\"",
                "240\"",
                "360\"",
                "240\"",
            ],
        );
        for (face, next) in faces.iter().zip(faces.iter().cycle().skip(1)) {
            let end = face.frame.point(face.length.to_inches(), 0.0);
            assert!(distance(end, next.frame.origin) <= crate::geometry::tolerance::WALL_TO_WALL);
        }
    }

    #[test]
    fn thicker_panels_move_faces_out_and_corners_follow() {
        let corners: Vec<Coord<f64>> = HOUSE.iter().map(|p| Coord { x: p.0, y: p.1 }).collect();
        let half = Length::fraction(0, 1, 2);
        let faces = snap_outline(&corners, &[half; 4], INCH_STEP);
        assert_eq!(faces[0].length, Length::inches(337));
        assert_eq!(faces[0].frame.origin, (-0.5, -0.5).into());
        assert!(faces[0].moved == 0.0);
        let one = snap_outline(
            &corners,
            &[half, Length::ZERO, Length::ZERO, Length::ZERO],
            INCH_STEP,
        );
        assert_eq!(one[1].length, Length::fraction(192, 1, 2));
        assert_eq!(one[0].length, Length::inches(336));
    }
}
