//! A place along a wall: kept from what stands along it in both plans.
//!
//! ```text
//!   was   ├──────┤▒▒├─────●──────────┤          ● 60 in beyond the window's middle
//!   is    ├──────┤▒▒├─────●────┬     ┌───────┤   so it is still, though a wing parts the wall
//! ```
//!
//! Marks are openings that were found again, walls that meet this one in both plans, and ends. A mark counts where the turn and move
//! of the plan lays it on itself, where two of them moved by the same, or where it is the corner of the same two walls; one that moved
//! alone, as the end of a wall that was cut off or a window that was shifted, says nothing of the place beside it.

use super::Carried;
use super::rigid::{cross, dot, moved, turned, unit};
use crate::plan::Wall;
use geo::Coord;

/// Marks are where they were within this, inches.
const STILL: f64 = 1.0;
/// A wall meets another within this of its face, inches.
const MEETS: f64 = 2.0;
/// Sine of the angle below which walls do not meet.
const ASKEW: f64 = 0.1;
/// Pieces of one wall are alike in thickness within this, inches.
const AS_THICK: f64 = 1.0;

/// What stands along a wall: where the turn and move lays it, and where it is, along the wall as it is now.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Mark {
    was: f64,
    is: f64,
    /// Is it where the wall ends at a wall that was found again?
    is_corner: bool,
}

impl Mark {
    fn by(&self) -> f64 {
        self.is - self.was
    }

    /// True when it lies on itself, another moved as it did, or it is a corner.
    fn counts(&self, all: &[Self]) -> bool {
        let as_this = all.iter().filter(|it| (it.by() - self.by()).abs() < STILL);
        self.is_corner || self.by().abs() < STILL || as_this.count() > 1
    }
}

impl Carried<'_> {
    /// A place in a wall of the earlier plan, kept from the nearest mark along it, and on its side.
    pub(super) fn along(
        &self,
        index: usize,
        at: Coord<f64>,
    ) -> Result<(Coord<f64>, String), String> {
        let old = &self.earlier.walls[index];
        let found = self.matches.walls.get(index).copied().flatten();
        let own = found.and_then(|now| self.kept((index, old), now, at, false));
        // Of a wall that was parted another piece may have the place.
        let pieces = (0..self.now.walls.len()).filter(|now| Some(*now) != found);
        let mut pieces = pieces.filter_map(|now| self.kept((index, old), now, at, true));
        let place = own.or_else(|| pieces.next());
        place.map(|at| (at, self.now.id.clone())).ok_or_else(|| {
            if found.is_none() {
                return self.no_wall(index);
            }
            format!(
                "is about a place of wall {} of the earlier plan that the wall no longer has, or that nothing beside it tells",
                old.id
            )
        })
    }

    /// Where the place is in a wall of this plan; `None` where the wall has it not.
    ///
    /// - `is_piece`: the wall is another than the one that was found again; it must lie where the old one lay.
    fn kept(
        &self,
        (index, old): (usize, &Wall),
        now: usize,
        at: Coord<f64>,
        is_piece: bool,
    ) -> Option<Coord<f64>> {
        let wall = &self.now.walls[now];
        let (length, along) = unit(wall)?;
        let (_, old_along) = unit(old)?;
        let to = moved(&self.rigid, at) - wall.start;
        let on_line = |p: Coord<f64>| cross(along, moved(&self.rigid, p) - wall.start).abs();
        if is_piece {
            let is_in_line = on_line(old.start) < STILL && on_line(old.end) < STILL;
            let is_alike = (old.thickness - wall.thickness).abs() < AS_THICK
                && old.is_exterior == wall.is_exterior;
            if !is_in_line || !is_alike {
                return None;
            }
        }
        let marks = self.marks((index, old), now, is_piece);
        let counting = marks.iter().filter(|it| it.counts(&marks));
        let place = dot(along, to);
        let away = |mark: &Mark| (mark.was - place).abs();
        let mark = counting.min_by(|a, b| away(a).total_cmp(&away(b)))?;
        let u = place + mark.by();
        if !(0.0..=length).contains(&u) || is_piece && mark.by().abs() >= STILL {
            return None;
        }
        // Its side, as the plan lies now.
        let aside = cross(old_along, at - old.start);
        let way = dot(turned(&self.rigid, old_along), along);
        let half = wall.thickness / 2.0;
        let aside = (aside * way.signum()).clamp(-half, half);
        let left = Coord {
            x: -along.y,
            y: along.x,
        };
        Some(wall.start + along * u + left * aside)
    }

    /// The opening that stands where an earlier one stood, as wide, in a wall that runs as its own did: of a wall that was parted.
    pub(super) fn opening_in_place(&self, index: usize) -> Option<usize> {
        let was = &self.earlier.openings[index];
        let old = self.earlier.walls.iter().find(|it| it.id == was.wall)?;
        let (_, old_along) = unit(old)?;
        let way = turned(&self.rigid, old_along);
        let at = moved(&self.rigid, was.centre);
        let is_it = |now: &usize| {
            let it = &self.now.openings[*now];
            let d = it.centre - at;
            let wall = self.now.walls.iter().find(|wall| wall.id == it.wall);
            let is_in_line = wall.is_some_and(|wall| {
                let runs = unit(wall).is_some_and(|(_, along)| cross(along, way).abs() < ASKEW);
                runs && wall.is_exterior == old.is_exterior
            });
            let is_known = self.matches.openings.contains(&Some(*now));
            !is_known
                && is_in_line
                && it.kind == was.kind
                && d.x.hypot(d.y) < STILL
                && (it.width - was.width).abs() < STILL
        };
        let mut all = (0..self.now.openings.len()).filter(is_it);
        all.next().filter(|_| all.next().is_none())
    }

    /// What stands along a wall in both plans.
    fn marks(&self, (index, old): (usize, &Wall), now: usize, is_piece: bool) -> Vec<Mark> {
        let wall = &self.now.walls[now];
        let Some((length, along)) = unit(wall) else {
            return Vec::new();
        };
        let place = |p: Coord<f64>| dot(along, moved(&self.rigid, p) - wall.start);
        let mut marks = Vec::new();
        for (number, opening) in self.earlier.openings.iter().enumerate() {
            let found = self.matches.openings.get(number).copied().flatten();
            let found = found.map(|now| &self.now.openings[now]);
            if let Some(it) = found.filter(|it| opening.wall == old.id && it.wall == wall.id) {
                marks.push(Mark {
                    was: place(opening.centre),
                    is: it.near + it.width / 2.0,
                    is_corner: false,
                });
            }
        }
        for (number, other) in self.earlier.walls.iter().enumerate() {
            let Some(it) = self.matches.walls.get(number).copied().flatten() else {
                continue;
            };
            if number == index || it == now {
                continue;
            }
            let met = meeting(old, other).zip(meeting(wall, &self.now.walls[it]));
            if let Some(((was, was_end), (is, is_end))) = met {
                marks.push(Mark {
                    was: place(was),
                    is: dot(along, is - wall.start),
                    is_corner: was_end && is_end,
                });
            }
        }
        // An end is known by where it is: it has no name of its own.
        let ends = [old.start, old.end].map(place);
        let ends = [ends[0].min(ends[1]), ends[0].max(ends[1])];
        let is_as_long = !is_piece && (ends[1] - ends[0] - length).abs() < STILL;
        for (was, is) in ends.into_iter().zip([0.0, length]) {
            if is_as_long || (was - is).abs() < STILL {
                marks.push(Mark {
                    was,
                    is,
                    is_corner: false,
                });
            }
        }
        marks
    }
}

/// Where the centre lines of two walls cross, when they meet there, and whether the first ends there.
fn meeting(a: &Wall, b: &Wall) -> Option<(Coord<f64>, bool)> {
    let ((a_length, along), (b_length, other)) = (unit(a)?, unit(b)?);
    let across = cross(along, other);
    if across.abs() < ASKEW {
        return None;
    }
    let d = b.start - a.start;
    let (s, t) = (cross(d, other) / across, cross(d, along) / across);
    let reach = |thickness: f64| thickness / 2.0 / across.abs() + MEETS;
    let holds = |place: f64, length: f64, reach: f64| (-reach..=length + reach).contains(&place);
    let (own, others) = (reach(b.thickness), reach(a.thickness));
    let is_end = s < own || s > a_length - own;
    (holds(s, a_length, own) && holds(t, b_length, others)).then(|| (a.start + along * s, is_end))
}
