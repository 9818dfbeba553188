//! The turn and the move that lay an earlier plan on this one.

use super::ways::told;
use crate::geometry::Motion;
use crate::plan::{Opening, Storey, Wall};
use geo::Coord;

/// A point of the earlier plan on this one.
pub(super) fn moved(motion: &Motion, p: Coord<f64>) -> Coord<f64> {
    motion.point([p.x, p.y]).into()
}

/// A direction of the earlier plan on this one.
pub(super) fn turned(motion: &Motion, p: Coord<f64>) -> Coord<f64> {
    motion.turn([p.x, p.y]).into()
}

/// Walls that propose: the longest of the earlier plan and of this one.
const PROPOSERS: (usize, usize) = (14, 48);
/// Walls that score.
const SCORERS: (usize, usize) = (40, 120);
/// A proposal's wall may have grown or shrunk by this, inches.
const GROWN: f64 = 60.0;
/// Laid on each other: lines within this, inches.
const ON_LINE: f64 = 0.75;
/// Openings within this, inches.
const ON_PLACE: f64 = 1.5;
/// The best must lay at least this share of what there is.
const LEAST: f64 = 0.4;
/// And this share more than any other turn and move.
const MARGIN: f64 = 0.03;
/// Two proposals are the same within this: sine of the turn, and inches of the middle.
const SAME: (f64, f64) = (0.01, 8.0);

/// Ways that are told apart by more than walls, at most.
const MOST_WAYS: usize = 8;

/// Two moves are one building stretched: walls along the stretch, by the sine of their turn, are not counted, and of the rest no
/// more than this share is laid by both.
const STRETCHED: (f64, f64) = (0.5, 0.15);

pub(super) fn unit(wall: &Wall) -> Option<(f64, Coord<f64>)> {
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    (length > 1.0).then(|| (length, d / length))
}

pub(super) fn dot(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.x + a.y * b.y
}

pub(super) fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// The longest walls, longest first, by place in the list where they are alike.
fn longest(storey: &Storey, most: usize) -> Vec<&Wall> {
    let mut walls: Vec<&Wall> = storey.walls.iter().collect();
    let length = |wall: &Wall| unit(wall).map_or(0.0, |it| it.0);
    walls.sort_by(|a, b| length(b).total_cmp(&length(a)));
    walls.truncate(most);
    walls
}

/// Why an earlier storey is laid on none of this plan's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unlaid {
    /// Each storey of this plan is taken by another.
    NoStoreyLeft,
    TooLittle,
    TwoWays,
    /// Its mirror image lies better than itself.
    Mirrored,
}

impl Unlaid {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::NoStoreyLeft => "this plan has no storey left for it",
            Self::TooLittle => {
                "too little of the earlier plan is found in this one to carry corrections over"
            }
            Self::TwoWays => {
                "the earlier plan lies on this one in two ways that fit alike, as on a building that is the same from both ends, and neither its handles nor its rooms nor its place tell which"
            }
            Self::Mirrored => {
                "this plan is the mirror image of the earlier one, and what is said of left and right ends would be wrong"
            }
        }
    }
}

/// How an earlier storey lies on one of this plan.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Laying {
    /// The share of it that is laid.
    pub(super) share: f64,
    pub(super) motion: Motion,
    /// Other ways that fit alike, where nothing but its place tells.
    pub(super) others: Vec<Motion>,
}

/// The turn and move that lay most of `old` on `now`, and the share laid.
pub(super) fn estimate(old: &Storey, now: &Storey) -> Result<(f64, Motion), Unlaid> {
    laying(old, now).map(|it| (it.share, it.motion))
}

/// As [`estimate`], with the ways that fit alike.
pub(super) fn laying(old: &Storey, now: &Storey) -> Result<Laying, Unlaid> {
    let laid = match estimate_as_it_is(old, now) {
        Err(Unlaid::TwoWays) => told(old, now, &ways(old, now)).ok_or(Unlaid::TwoWays),
        laid => laid.map(|(share, motion)| Laying {
            share,
            motion,
            others: Vec::new(),
        }),
    };
    // A turn never mirrors: where the mirror image lies better, what the turn matches are other walls that happen to fit.
    let as_it_is = laid.as_ref().map_or(0.0, |it| it.share);
    let mirrored = mirrored(old);
    let (scored, _) = scored(&mirrored, now);
    let best = scored.iter().map(|it| it.0).fold(0.0, f64::max);
    if best >= LEAST && best > as_it_is + MARGIN && laid != Err(Unlaid::TwoWays) {
        return Err(Unlaid::Mirrored);
    }
    laid
}

/// The share of the walls between rooms and of the openings that a turn and move lays on others.
pub(super) fn laid_within(old: &Storey, now: &Storey, motion: &Motion) -> f64 {
    let mut inner = old.clone();
    inner.walls.retain(|it| !it.is_exterior);
    let scene = Scene {
        old: &inner,
        now,
        old_walls: longest(&inner, SCORERS.0),
        new_walls: longest(now, SCORERS.1),
    };
    scene.score(motion) / scene.possible().max(1e-9)
}

/// A storey with its left and right changed over; only where things stand is of use.
fn mirrored(storey: &Storey) -> Storey {
    let over = |p: Coord<f64>| Coord { x: -p.x, y: p.y };
    let mut out = storey.clone();
    for wall in &mut out.walls {
        (wall.start, wall.end) = (over(wall.end), over(wall.start));
    }
    for opening in &mut out.openings {
        opening.centre = over(opening.centre);
    }
    out
}

/// Every turn and move that two walls propose, with the share it lays.
fn scored<'a>(old: &'a Storey, now: &'a Storey) -> (Vec<(f64, Motion)>, Scene<'a>) {
    let scene = Scene {
        old,
        now,
        old_walls: longest(old, SCORERS.0),
        new_walls: longest(now, SCORERS.1),
    };
    let possible = scene.possible();
    let mut scored: Vec<(f64, Motion)> = Vec::new();
    for a in longest(old, PROPOSERS.0) {
        for b in longest(now, PROPOSERS.1) {
            for rigid in proposals(a, b) {
                let score = scene.score(&rigid) / possible.max(1e-9);
                if score >= LEAST / 2.0 {
                    scored.push((score, rigid));
                }
            }
        }
    }
    (scored, scene)
}

fn estimate_as_it_is(old: &Storey, now: &Storey) -> Result<(f64, Motion), Unlaid> {
    let (scored, scene) = scored(old, now);
    let mut best: Option<(f64, Motion)> = None;
    for (score, rigid) in &scored {
        if best.as_ref().is_none_or(|(known, _)| score > known) {
            best = Some((*score, *rigid));
        }
    }
    let Some((score, rigid)) = best.filter(|(score, _)| *score >= LEAST) else {
        return Err(Unlaid::TooLittle);
    };
    let rival = scored
        .iter()
        .filter(|(_, other)| !is_same_place(old, &rigid, other) && !scene.is_stretch(&rigid, other))
        .map(|(score, _)| *score)
        .fold(0.0, f64::max);
    if rival > score - MARGIN {
        return Err(Unlaid::TwoWays);
    }
    let refined = scene.refine(&scene.refine(&rigid));
    Ok((score, refined))
}

/// The turns and moves that lay the earlier storey on this one as well as any other, the best first.
fn ways(old: &Storey, now: &Storey) -> Vec<(f64, Motion)> {
    let (mut scored, scene) = scored(old, now);
    scored.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut ways: Vec<(f64, Motion)> = Vec::new();
    for (score, rigid) in &scored {
        let best = ways.first().map_or(*score, |it| it.0);
        let is_known = |(_, known): &(f64, Motion)| {
            is_same_place(old, known, rigid) || scene.is_stretch(known, rigid)
        };
        if *score <= best - MARGIN || ways.len() == MOST_WAYS {
            break;
        }
        if !ways.iter().any(is_known) {
            ways.push((*score, *rigid));
        }
    }
    let refined = |(score, rigid)| (score, scene.refine(&scene.refine(&rigid)));
    ways.into_iter().map(refined).collect()
}

/// True when two turns and moves take a storey to one place.
pub(super) fn is_same_place(old: &Storey, a: &Motion, b: &Motion) -> bool {
    let ends = old.walls.iter().flat_map(|it| [it.start, it.end]);
    let (sum, n) = ends.fold((Coord { x: 0.0, y: 0.0 }, 0.0), |(sum, n), p| {
        (sum + p, n + 1.0)
    });
    let middle = if n > 0.0 { sum / n } else { sum };
    let turn = (a.sin * b.cos - a.cos * b.sin).abs();
    let is_same_way = a.cos * b.cos + a.sin * b.sin >= 0.0;
    let d = moved(a, middle) - moved(b, middle);
    turn <= SAME.0 && is_same_way && d.x.hypot(d.y) <= SAME.1
}

/// The turns and moves that lay one wall on another: both ways round, by their starts, ends and middles.
fn proposals(a: &Wall, b: &Wall) -> Vec<Motion> {
    let (Some((old_length, from)), Some((length, to))) = (unit(a), unit(b)) else {
        return Vec::new();
    };
    if (old_length - length).abs() > GROWN || (a.thickness - b.thickness).abs() > 0.8 {
        return Vec::new();
    }
    let mut list = Vec::new();
    for way in [1.0, -1.0] {
        let to = to * way;
        let (sin, cos) = (cross(from, to), dot(from, to));
        let (start, end) = if way > 0.0 {
            (b.start, b.end)
        } else {
            (b.end, b.start)
        };
        let turn = Motion {
            sin,
            cos,
            ..Motion::NONE
        };
        let mut pairs = vec![(a.start, start)];
        if (old_length - length).abs() > 0.25 {
            pairs.push((a.end, end));
            pairs.push(((a.start + a.end) / 2.0, (start + end) / 2.0));
        }
        list.extend(pairs.into_iter().map(|(p, q)| Motion {
            shift: (q - turned(&turn, p)).into(),
            ..turn
        }));
    }
    list
}

/// One equation of the move: a wall's middle goes onto the line through a point.
struct Row {
    middle: Coord<f64>,
    point: Coord<f64>,
    normal: Coord<f64>,
    weight: f64,
}

struct Scene<'a> {
    old: &'a Storey,
    now: &'a Storey,
    old_walls: Vec<&'a Wall>,
    new_walls: Vec<&'a Wall>,
}

impl Scene<'_> {
    fn possible(&self) -> f64 {
        let walls: f64 = self
            .old_walls
            .iter()
            .filter_map(|wall| unit(wall))
            .map(|it| it.0)
            .sum();
        let openings: f64 = self.old.openings.iter().map(|it| it.width).sum();
        walls + openings
    }

    /// True when two moves of one turn lay two parts of a building each: it was stretched between them, and either will do. Where
    /// both lay the same, as in a row of equal houses of which one is gone, no one can tell.
    fn is_stretch(&self, a: &Motion, b: &Motion) -> bool {
        let apart = Coord::from(a.shift) - Coord::from(b.shift);
        let size = apart.x.hypot(apart.y);
        let turn = (a.sin * b.cos - a.cos * b.sin).abs();
        if turn > SAME.0 || a.cos * b.cos + a.sin * b.sin < 0.0 || size <= SAME.1 {
            return false;
        }
        let mut laid = [0.0, 0.0, 0.0];
        let mut add = |weight: f64, by: [bool; 2]| {
            let own = [by[0], by[1], by[0] && by[1]];
            for (sum, is_laid) in laid.iter_mut().zip(own) {
                *sum += if is_laid { weight } else { 0.0 };
            }
        };
        for wall in &self.old_walls {
            let Some((length, along)) = unit(wall) else {
                continue;
            };
            // A wall along the stretch lies on its own line either way.
            if cross(turned(a, along), apart).abs() > STRETCHED.0 * size {
                add(length, [a, b].map(|it| self.laid(wall, it).is_some()));
            }
        }
        for opening in &self.old.openings {
            add(opening.width, [a, b].map(|it| self.is_laid(opening, it)));
        }
        laid[2] <= STRETCHED.1 * laid[0].min(laid[1])
    }

    fn is_laid(&self, opening: &Opening, rigid: &Motion) -> bool {
        let at = moved(rigid, opening.centre);
        self.now.openings.iter().any(|other| {
            let d = other.centre - at;
            d.x.hypot(d.y) <= ON_PLACE && (other.width - opening.width).abs() <= ON_PLACE
        })
    }

    /// Inches of wall and of openings that are laid on others.
    fn score(&self, rigid: &Motion) -> f64 {
        let walls: f64 = self
            .old_walls
            .iter()
            .filter_map(|wall| self.laid(wall, rigid).map(|it| it.0))
            .sum();
        let openings: f64 = self
            .old
            .openings
            .iter()
            .filter(|it| self.is_laid(it, rigid))
            .map(|it| it.width)
            .sum();
        walls + openings
    }

    /// How much of a wall is laid on one other, and on which.
    fn laid(&self, wall: &Wall, rigid: &Motion) -> Option<(f64, &Wall)> {
        let (length, _) = unit(wall)?;
        let (start, end) = (moved(rigid, wall.start), moved(rigid, wall.end));
        let mut best: Option<(f64, &Wall)> = None;
        for other in &self.new_walls {
            if (other.thickness - wall.thickness).abs() > 0.8 {
                continue;
            }
            let Some((other_length, along)) = unit(other) else {
                continue;
            };
            let (p, q) = (start - other.start, end - other.start);
            if cross(along, p).abs() > ON_LINE || cross(along, q).abs() > ON_LINE {
                continue;
            }
            let (a, b) = (dot(along, p), dot(along, q));
            let shared = a.max(b).min(other_length) - a.min(b).max(0.0);
            if shared >= 0.5 * length.min(other_length)
                && best.is_none_or(|(known, _)| shared > known)
            {
                best = Some((shared.min(length), other));
            }
        }
        best
    }

    /// A better turn and move from all walls that are laid: the turn by their mean, the move by least squares across them.
    fn refine(&self, rigid: &Motion) -> Motion {
        let (mut sin, mut cos) = (0.0, 0.0);
        let mut rows: Vec<Row> = Vec::new();
        for wall in &self.old_walls {
            let (Some((_, other)), Some((length, from))) = (self.laid(wall, rigid), unit(wall))
            else {
                continue;
            };
            let Some((_, to)) = unit(other) else { continue };
            let way = dot(turned(rigid, from), to).signum();
            sin += length * cross(from, to * way);
            cos += length * dot(from, to * way);
            let normal = Coord { x: -to.y, y: to.x };
            rows.push(Row {
                middle: (wall.start + wall.end) / 2.0,
                point: other.start,
                normal,
                weight: length,
            });
        }
        let size = sin.hypot(cos);
        if size <= 0.0 {
            return *rigid;
        }
        let turn = Motion {
            sin: sin / size,
            cos: cos / size,
            ..Motion::NONE
        };
        // normal · (turned middle + shift − point) = 0, weighed by length.
        let (mut xx, mut xy, mut yy, mut bx, mut by) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for Row {
            middle,
            point,
            normal,
            weight,
        } in rows
        {
            let gap = dot(normal, point - turned(&turn, middle));
            xx += weight * normal.x * normal.x;
            xy += weight * normal.x * normal.y;
            yy += weight * normal.y * normal.y;
            bx += weight * normal.x * gap;
            by += weight * normal.y * gap;
        }
        let det = xx * yy - xy * xy;
        if det <= 1e-6 * (xx + yy) * (xx + yy) {
            return *rigid;
        }
        Motion {
            shift: [(bx * yy - by * xy) / det, (by * xx - bx * xy) / det],
            ..turn
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A row of houses of these widths, each with a window and a door on its street front only: it looks another way from behind.
    fn row(widths: &[f64]) -> Storey {
        const DEPTH: f64 = 300.0;
        let wall = |from: [f64; 2], to: [f64; 2]| Wall {
            start: from.into(),
            end: to.into(),
            thickness: 6.5,
            ..Wall::default()
        };
        let mut storey = Storey::default();
        let mut left = 0.0;
        storey.walls.push(wall([left, DEPTH], [left, 0.0]));
        for width in widths {
            let right = left + width;
            storey.walls.extend([
                wall([left, 0.0], [right, 0.0]),
                wall([right, DEPTH], [left, DEPTH]),
                wall([right, 0.0], [right, DEPTH]),
            ]);
            storey
                .openings
                .extend([(40.0, 36.0), (150.0, 72.0)].map(|(at, width)| Opening {
                    centre: Coord {
                        x: left + at,
                        y: 0.0,
                    },
                    width,
                    ..Opening::default()
                }));
            left = right;
        }
        storey
    }

    #[test]
    fn in_a_row_with_one_house_gone_nobody_can_tell_which() {
        for (before, after) in [(3, 2), (4, 3), (2, 3)] {
            let [before, after] = [before, after].map(|n| row(&vec![240.0; n]));
            assert_eq!(estimate_as_it_is(&before, &after), Err(Unlaid::TwoWays));
        }
        // The same row lies on itself, though moved by one house most of it does so too.
        let same = row(&[240.0; 3]);
        let (share, motion) = estimate(&same, &same).unwrap();
        assert!(share > 0.99, "{share}");
        assert!(motion.shift[0].abs() + motion.shift[1].abs() < 1e-6);
        // Houses that differ say which is gone.
        let (_, motion) = estimate(&row(&[240.0, 300.0, 264.0]), &row(&[300.0, 264.0])).unwrap();
        assert!((motion.shift[0] + 240.0).abs() < 1e-6, "{motion:?}");
    }

    #[test]
    fn a_house_made_longer_in_its_middle_is_laid_by_either_end() {
        let (_, motion) =
            estimate(&row(&[240.0, 180.0, 264.0]), &row(&[240.0, 204.0, 264.0])).unwrap();
        let by_an_end = [0.0, 24.0]
            .iter()
            .any(|it| (motion.shift[0] - it).abs() < 1e-6);
        assert!(by_an_end, "{motion:?}");
    }
}
