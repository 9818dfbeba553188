//! Walls that moved too far to be known by their place are known by what they meet; what two readings explain alike is let go.
//!
//! ```text
//!   N ──┬─────┬────        N ──┬──────────┬──      a: left over on both plans, between N and M on both, to the right of the
//!       │     a       ►        │          b        wall found again, with the same openings; nothing else is so: b is a
//!   M ──┴─────┴────        M ──┴──────────┴──
//! ```
//!
//! A wall that grew at one end is read two ways: what meets it kept its distance from the one end or from the other. Where both
//! readings find something alike, only the order of all can tell; where that says otherwise, nothing is matched.

use super::rigid::{cross, dot, moved, turned, unit};
use crate::geometry::Motion;
use crate::plan::{Opening, Storey, Wall};
use geo::Coord;

/// Ends that lie farther from another wall than both half thicknesses and this do not meet it, inches.
const MEETS: f64 = 1.0;
/// Sine of the turn above which a wall crosses another.
const CROSSES: f64 = 0.17;
/// Sine of the turn, and inches of thickness, above which it is another wall.
const OTHER: (f64, f64) = (0.02, 1.0);
/// Places and widths within this are the same, inches.
const ALIKE: f64 = 1.5;
/// Walls nearer to each other than this along a third stand in line, inches.
const IN_LINE: f64 = 2.0;

/// Where along another wall an end meets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    AtStart,
    Between,
    AtEnd,
}

/// What the end of a wall meets.
#[derive(Clone, Copy, Debug)]
struct Seat {
    /// The wall met.
    on: usize,
    role: Role,
    /// How far along it.
    at: f64,
}

/// What both ends of every wall of a storey meet.
fn seats(storey: &Storey) -> Vec<[Vec<Seat>; 2]> {
    let met = |own: usize, end: Coord<f64>| -> Vec<Seat> {
        let wall = &storey.walls[own];
        let others = storey.walls.iter().enumerate();
        others
            .filter_map(|(on, other)| {
                let ((_, from), (length, to)) = (unit(wall)?, unit(other)?);
                let d = end - other.start;
                let (at, aside) = (dot(to, d), cross(to, d));
                let slack = f64::midpoint(wall.thickness, other.thickness) + MEETS;
                let beyond = (-at).max(at - length).max(0.0);
                if on == own || cross(from, to).abs() < CROSSES || aside.hypot(beyond) > slack {
                    return None;
                }
                let role = match (at <= slack, at >= length - slack) {
                    (true, _) => Role::AtStart,
                    (_, true) => Role::AtEnd,
                    _ => Role::Between,
                };
                Some(Seat { on, role, at })
            })
            .collect()
    };
    let walls = storey.walls.iter().enumerate();
    walls
        .map(|(own, wall)| [wall.start, wall.end].map(|end| met(own, end)))
        .collect()
}

/// The openings of a wall from its start.
fn along<'a>(storey: &'a Storey, wall: &Wall) -> Vec<(usize, &'a Opening)> {
    let all = storey.openings.iter().enumerate();
    let mut own: Vec<_> = all.filter(|(_, it)| it.wall == wall.id).collect();
    own.sort_by(|a, b| a.1.near.total_cmp(&b.1.near));
    own
}

fn is_alike(a: &Opening, b: &Opening) -> bool {
    a.kind == b.kind && (a.width - b.width).abs() <= ALIKE
}

/// True when a wall of the earlier storey runs the other way now.
fn is_turned(a: &Wall, b: &Wall, rigid: &Motion) -> bool {
    let ways = unit(a).zip(unit(b));
    ways.is_some_and(|((_, from), (_, to))| dot(turned(rigid, from), to) < 0.0)
}

/// Two storeys, the earlier one first, and what meets what on each.
pub(super) struct Both<'a> {
    old: &'a Storey,
    now: &'a Storey,
    rigid: &'a Motion,
    seats: [Vec<[Vec<Seat>; 2]>; 2],
}

impl<'a> Both<'a> {
    pub(super) fn of(old: &'a Storey, now: &'a Storey, rigid: &'a Motion) -> Self {
        Self {
            old,
            now,
            rigid,
            seats: [old, now].map(seats),
        }
    }

    /// Lets go of walls whose place along a wall that grew at one end is explained by another wall as well.
    pub(super) fn let_go(&self, walls: &mut [Option<usize>]) {
        let mut doubtful = Vec::new();
        for (on, to) in walls.iter().enumerate() {
            let Some(to) = *to else { continue };
            let Some(grown) = self.grown(on, to) else {
                continue;
            };
            let places = [(0, on), (1, to)].map(|(side, on)| self.meeting(side, on, to));
            let is_alike = |a: usize, b: usize| self.is_one(a, b);
            doubtful.extend(grown.doubtful(&places, &is_alike, walls));
        }
        for index in doubtful {
            walls[index] = None;
        }
    }

    /// Walls that meet one somewhere between its ends, by how far along the wall of this storey they do.
    fn meeting(&self, side: usize, on: usize, frame: usize) -> Vec<(f64, usize)> {
        let (storey, wall) = ([self.old, self.now][side], &self.now.walls[frame]);
        let mut found: Vec<(f64, usize)> = Vec::new();
        for (index, ends) in self.seats[side].iter().enumerate() {
            let it = &storey.walls[index];
            for (seats, end) in ends.iter().zip([it.start, it.end]) {
                let is_met = |seat: &Seat| seat.on == on && seat.role == Role::Between;
                if seats.iter().any(is_met) {
                    found.push((self.place(side, end, wall), index));
                }
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found
    }

    /// How far along a wall of this storey a point of either lies.
    fn place(&self, side: usize, at: Coord<f64>, wall: &Wall) -> f64 {
        let at = match side {
            0 => moved(self.rigid, at),
            _ => at,
        };
        unit(wall).map_or(0.0, |(_, to)| dot(to, at - wall.start))
    }

    /// How far the lower and the upper end of a wall went along it.
    pub(super) fn went(&self, was: usize, now: usize) -> Option<Went> {
        let (a, b) = (&self.old.walls[was], &self.now.walls[now]);
        let (length, _) = unit(b)?;
        let [p, q] = [a.start, a.end].map(|end| self.place(0, end, b));
        Some(Went([-p.min(q), length - p.max(q)]))
    }

    fn grown(&self, was: usize, now: usize) -> Option<Went> {
        self.went(was, now).filter(Went::is_stretched)
    }

    /// True when a wall of the earlier storey may be one of this, wherever it stands.
    fn is_one(&self, a: usize, b: usize) -> bool {
        let (a, b) = (&self.old.walls[a], &self.now.walls[b]);
        let ways = unit(a).zip(unit(b));
        a.is_exterior == b.is_exterior
            && (a.thickness - b.thickness).abs() <= OTHER.1
            && ways.is_some_and(|((_, from), (_, to))| {
                cross(turned(self.rigid, from), to).abs() <= OTHER.0
            })
    }

    /// Matches what is left over by what it meets: one at a time, each only where nothing else may be meant on either plan.
    pub(super) fn match_left_over(&self, walls: &mut [Option<usize>]) {
        loop {
            let old: Vec<usize> = (0..walls.len()).filter(|i| walls[*i].is_none()).collect();
            let now: Vec<usize> = (0..self.now.walls.len())
                .filter(|i| !walls.contains(&Some(*i)))
                .collect();
            let fitting: Vec<(usize, usize)> = (old.iter())
                .flat_map(|a| now.iter().map(|b| (*a, *b)))
                .filter(|(a, b)| self.fits(*a, *b, walls))
                .collect();
            let is_only = |it: &&(usize, usize)| {
                let rivals = fitting.iter().filter(|own| own.0 == it.0 || own.1 == it.1);
                rivals.count() == 1
            };
            let Some((a, b)) = fitting.iter().find(is_only).copied() else {
                return;
            };
            walls[a] = Some(b);
        }
    }

    /// True when both ends meet walls found again, in the same way and order, and the openings are the same or both are corners.
    fn fits(&self, a: usize, b: usize, walls: &[Option<usize>]) -> bool {
        if !self.is_one(a, b) {
            return false;
        }
        let is_over = is_turned(&self.old.walls[a], &self.now.walls[b], self.rigid);
        let mut are_corners = true;
        for end in 0..2 {
            let was = &self.seats[0][a][end];
            let now = &self.seats[1][b][if is_over { 1 - end } else { end }];
            let is_known = |seat: &&Seat| walls.contains(&Some(seat.on));
            let found: Vec<&Seat> = was.iter().filter(|it| walls[it.on].is_some()).collect();
            if found.is_empty() || found.len() != now.iter().filter(is_known).count() {
                return false;
            }
            let is_kept = |seat: &&Seat| {
                now.iter().any(|it| {
                    walls[seat.on] == Some(it.on) && self.is_seated_alike(seat, it, walls)
                })
            };
            if !found.iter().all(is_kept) {
                return false;
            }
            are_corners &= found.iter().all(|seat| seat.role != Role::Between);
        }
        are_corners || self.has_the_same_openings(a, b, is_over)
    }

    /// True when two ends meet the same wall at its same end, or on the same side of each wall found again that meets it too.
    fn is_seated_alike(&self, was: &Seat, now: &Seat, walls: &[Option<usize>]) -> bool {
        let (a, b) = (&self.old.walls[was.on], &self.now.walls[now.on]);
        let is_over = is_turned(a, b, self.rigid);
        let role = match (was.role, is_over) {
            (Role::AtStart, true) => Role::AtEnd,
            (Role::AtEnd, true) => Role::AtStart,
            (role, _) => role,
        };
        let beside = |side: usize, own: usize, on: usize| {
            let seats = self.seats[side][own].iter().flatten();
            let met: Vec<f64> = seats.filter(|it| it.on == on).map(|it| it.at).collect();
            met.first().copied()
        };
        let sign = if is_over { -1.0 } else { 1.0 };
        let is_kept = |(own, to): (usize, &Option<usize>)| {
            let pair = beside(0, own, was.on).zip(to.and_then(|to| beside(1, to, now.on)));
            pair.is_none_or(|(before, after)| {
                let (before, after) = (sign * (was.at - before), now.at - after);
                before.abs().min(after.abs()) < IN_LINE || before * after > 0.0
            })
        };
        role == now.role && walls.iter().enumerate().all(is_kept)
    }

    fn has_the_same_openings(&self, a: usize, b: usize, is_over: bool) -> bool {
        let mut was = along(self.old, &self.old.walls[a]);
        let now = along(self.now, &self.now.walls[b]);
        if is_over {
            was.reverse();
        }
        let mut pairs = was.iter().zip(&now);
        was.len() == now.len() && pairs.all(|((_, a), (_, b))| is_alike(a, b))
    }
}

/// How far the lower and the upper end of a wall went along it, inches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Went(pub(super) [f64; 2]);

impl Went {
    fn is_stretched(&self) -> bool {
        (self.0[0] - self.0[1]).abs() > ALIKE
    }

    /// What of this storey is alike and as far from one of the ends as something of the earlier one was.
    fn readings(
        &self,
        (at, was): (f64, usize),
        now: &[(f64, usize)],
        is_alike: &dyn Fn(usize, usize) -> bool,
    ) -> Vec<usize> {
        let is_there = |place: f64| (self.0.iter()).any(|by| (at + by - place).abs() <= ALIKE);
        let found = now
            .iter()
            .filter(|(place, i)| is_there(*place) && is_alike(was, *i));
        found.map(|it| it.1).collect()
    }

    /// What was matched to another than a reading says, or has two, and not to the one that the order of all says.
    fn doubtful(
        &self,
        [old, now]: &[Vec<(f64, usize)>; 2],
        is_alike: &dyn Fn(usize, usize) -> bool,
        matched: &[Option<usize>],
    ) -> Vec<usize> {
        let is_whole = old.len() == now.len();
        let is_in_order = is_whole && old.iter().zip(now).all(|(a, b)| is_alike(a.1, b.1));
        let in_order = |place: usize| is_in_order.then(|| now[place].1);
        let all = old.iter().enumerate();
        let doubtful = all.filter(|(place, it)| {
            let own = matched[it.1];
            let readings = || self.readings(**it, now, is_alike);
            own.is_some()
                && own != in_order(*place)
                && readings().into_iter().any(|other| own != Some(other))
        });
        doubtful.map(|(_, it)| it.1).collect()
    }
}
