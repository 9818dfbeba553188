//! Which storey of this plan each earlier one is: all together, so that none takes the place of another.
//!
//! ```text
//!   earlier   G   U             G fits where U is better than where it grew to, but U then fits nowhere as well:
//!   now       G+  U             the pairs that fit best in sum
//! ```
//!
//! What fits nearly as well is kept, so that what would go elsewhere by it is told.

use super::rigid::{Laying, Unlaid, laid_within, laying, moved};
use super::ways::same_rooms;
use crate::findings::base_name;
use crate::geometry::Motion;
use crate::plan::Storey;
use geo::Coord;
use std::collections::BTreeSet;

/// A storey of the same title is that storey, however well another fits that has grown into its shape.
const TITLED: f64 = 2.0;
/// One of the same number comes before one that fits no better.
const NUMBERED: f64 = 0.05;
/// Drawn in a file of the same name, of several.
const FILED: f64 = 0.3;
/// Drawn by the same entities, at most.
const DRAWN: f64 = 0.3;
/// Its walls between rooms and its openings lie on others, at most: outlines of storeys are more alike than what is within.
const WITHIN: f64 = 0.4;
/// Rooms of the same names lie in the same places, at most.
const ROOMS: f64 = 0.3;
/// Two storeys of one sheet moved with it.
const TOGETHER: f64 = 0.2;
/// Storeys moved together when they did within this, inches: a building may be laid by either end of what was stretched.
const SAME_MOVE: f64 = 72.0;
/// And were turned by the same within this sine.
const SAME_TURN: f64 = 0.02;
/// All ways to pair storeys are tried of up to so many: of more, each takes the best that is left, then they change places while
/// that is better.
const ALL_WAYS: usize = 7;
/// Other pairs fit nearly as well within this. It is less than what storeys that are alike have by place and number.
const CLOSE: f64 = 0.25;

/// For each earlier storey the one of this plan that it is, and how it lies there.
pub(super) type Joint = Vec<Result<(usize, Motion), Unlaid>>;

/// How well each earlier storey lies on each of this plan.
pub(super) struct Fits<'a> {
    old: &'a [Storey],
    /// For each earlier storey and each of this plan its worth and how it lies.
    of: Vec<Vec<Result<Fit, Unlaid>>>,
}

struct Fit {
    worth: f64,
    motion: Motion,
    /// Other ways in which it lies there as well.
    others: Vec<Motion>,
}

/// What is being tried: for each earlier storey so far the one of this plan.
struct Trial {
    taken: Vec<Option<usize>>,
    best: Option<(f64, Vec<Option<usize>>)>,
}

impl<'a> Fits<'a> {
    /// Lays every earlier storey on every storey of this plan.
    pub(super) fn of(old: &'a [Storey], now: &[Storey]) -> Self {
        let are_files_apart = [old, now].iter().all(|it| has_files(it));
        let of = |a: &Storey, b: &Storey| {
            let Laying {
                share,
                motion,
                others,
            } = laying(a, b)?;
            let within = WITHIN * laid_within(a, b, &motion) + ROOMS * same_rooms(a, b, &motion);
            Ok(Fit {
                worth: share + within + likeness(a, b, are_files_apart),
                motion,
                others,
            })
        };
        let row = |a: &Storey| now.iter().map(|b| of(a, b)).collect();
        Self {
            old,
            of: old.iter().map(row).collect(),
        }
    }

    /// The pairs that fit best in sum.
    pub(super) fn joint(&self) -> Joint {
        self.laid(&self.best())
    }

    /// What fits nearly as well as [`Self::joint`]: other pairs, or a storey another way round on its place.
    pub(super) fn rivals(&self) -> Vec<Joint> {
        let best = self.best();
        let least = self.sum(&best).unwrap_or(0.0) - CLOSE;
        let close = self.changed(&best).into_iter();
        let close = close.filter(|it| self.sum(it).is_some_and(|sum| sum > least));
        let mut rivals: Vec<Joint> = close.map(|it| self.laid(&it)).collect();
        let joint = self.laid(&best);
        for (index, number) in best.iter().enumerate() {
            let Some((number, Ok(fit))) = number.map(|it| (it, &self.of[index][it])) else {
                continue;
            };
            for motion in &fit.others {
                let mut other = joint.clone();
                other[index] = Ok((number, *motion));
                rivals.push(other);
            }
        }
        rivals
    }

    fn laid(&self, numbers: &[Option<usize>]) -> Joint {
        let all = self.of.iter().zip(numbers);
        all.map(|(row, number)| match number {
            Some(number) => match &row[*number] {
                Ok(fit) => Ok((*number, fit.motion)),
                Err(why) => Err(*why),
            },
            None => Err(why_not(row)),
        })
        .collect()
    }

    fn best(&self) -> Vec<Option<usize>> {
        let n_now = self.of.first().map_or(0, Vec::len);
        if self.of.len().max(n_now) > ALL_WAYS {
            return self.bettered(self.one_by_one());
        }
        let mut trial = Trial {
            taken: Vec::new(),
            best: None,
        };
        self.try_all(&mut trial, 0.0);
        trial.best.map(|it| it.1).unwrap_or_default()
    }

    /// Two storeys change places, or one takes a free one, as long as that is better.
    fn bettered(&self, mut numbers: Vec<Option<usize>>) -> Vec<Option<usize>> {
        let mut sum = self.sum(&numbers).unwrap_or(0.0);
        loop {
            let changed = self.changed(&numbers).into_iter();
            let better = changed.filter_map(|it| Some((self.sum(&it)?, it)));
            match better.max_by(|a, b| a.0.total_cmp(&b.0)) {
                Some((more, it)) if more > sum + 1e-9 => (sum, numbers) = (more, it),
                _ => return numbers,
            }
        }
    }

    /// These pairs with two storeys in each other's place, or one in a free place.
    fn changed(&self, numbers: &[Option<usize>]) -> Vec<Vec<Option<usize>>> {
        let n_now = self.of.first().map_or(0, Vec::len);
        let mut all = Vec::new();
        for i in 0..numbers.len() {
            for j in i + 1..numbers.len() {
                let mut other = numbers.to_vec();
                other.swap(i, j);
                all.push(other);
            }
            for free in (0..n_now).filter(|it| !numbers.contains(&Some(*it))) {
                let mut other = numbers.to_vec();
                other[i] = Some(free);
                all.push(other);
            }
        }
        all.retain(|it| it != numbers);
        all
    }

    /// How well these pairs fit in sum; `None` where a storey does not lie on its own.
    fn sum(&self, numbers: &[Option<usize>]) -> Option<f64> {
        let mut sum = 0.0;
        for (index, number) in numbers.iter().enumerate() {
            let Some(number) = number else { continue };
            let fit = self.of[index][*number].as_ref().ok()?;
            sum += fit.worth + self.together(&numbers[..index], index, &fit.motion);
        }
        Some(sum)
    }

    /// Each earlier storey in turn takes the best that is left.
    fn one_by_one(&self) -> Vec<Option<usize>> {
        let mut taken = Vec::new();
        for row in &self.of {
            let mut best: Option<(f64, usize)> = None;
            for (number, fit) in row.iter().enumerate() {
                if let Ok(Fit { worth, .. }) = fit
                    && !taken.contains(&Some(number))
                    && best.is_none_or(|(known, _)| *worth > known)
                {
                    best = Some((*worth, number));
                }
            }
            taken.push(best.map(|it| it.1));
        }
        taken
    }

    fn try_all(&self, trial: &mut Trial, sum: f64) {
        let index = trial.taken.len();
        let Some(row) = self.of.get(index) else {
            if trial.best.as_ref().is_none_or(|(known, _)| sum > *known) {
                trial.best = Some((sum, trial.taken.clone()));
            }
            return;
        };
        for (number, fit) in row.iter().enumerate() {
            let Ok(fit) = fit else { continue };
            if trial.taken.contains(&Some(number)) {
                continue;
            }
            let more = fit.worth + self.together(&trial.taken, index, &fit.motion);
            trial.taken.push(Some(number));
            self.try_all(trial, sum + more);
            trial.taken.pop();
        }
        trial.taken.push(None);
        self.try_all(trial, sum);
        trial.taken.pop();
    }

    /// What it is worth that storeys of one sheet, or of sheets with one origin, moved as one.
    fn together(&self, taken: &[Option<usize>], index: usize, motion: &Motion) -> f64 {
        let own = &self.old[index];
        let middle = middle(own);
        let mut worth = 0.0;
        for (number, to) in taken.iter().enumerate() {
            let Some(Ok(other)) = to.map(|to| &self.of[number][to]) else {
                continue;
            };
            let other = &other.motion;
            let turn = (motion.sin * other.cos - motion.cos * other.sin).abs();
            let is_same_way = motion.cos * other.cos + motion.sin * other.sin > 0.0;
            let d = moved(motion, middle) - moved(other, middle);
            if self.old[number].file == own.file
                && turn < SAME_TURN
                && is_same_way
                && d.x.hypot(d.y) < SAME_MOVE
            {
                worth += TOGETHER;
            }
        }
        worth
    }
}

/// Why a storey lies on none.
fn why_not(row: &[Result<Fit, Unlaid>]) -> Unlaid {
    let last = row.iter().filter_map(|fit| fit.as_ref().err()).next_back();
    last.copied().unwrap_or(Unlaid::NoStoreyLeft)
}

fn has_files(storeys: &[Storey]) -> bool {
    let files: BTreeSet<&str> = storeys.iter().map(|it| base_name(&it.file)).collect();
    files.len() == storeys.len() && files.len() > 1
}

/// What a storey of an earlier plan has over others that fit as well.
fn likeness(old: &Storey, now: &Storey, are_files_apart: bool) -> f64 {
    let worth = |holds: bool, worth: f64| if holds { worth } else { 0.0 };
    let is_filed = are_files_apart && base_name(&old.file) == base_name(&now.file);
    worth(!old.name.is_empty() && old.name == now.name, TITLED)
        + worth(old.id == now.id, NUMBERED)
        + worth(is_filed, FILED)
        + DRAWN * drawn_alike(old, now)
}

/// The share of the earlier walls that are drawn by entities which draw a wall of the storey now.
#[expect(
    clippy::cast_precision_loss,
    reason = "plans have far fewer than 2^53 walls"
)]
fn drawn_alike(old: &Storey, now: &Storey) -> f64 {
    let handles = |storey: &'_ Storey| -> BTreeSet<String> {
        let walls = storey.walls.iter();
        walls.flat_map(|it| it.sources.iter().cloned()).collect()
    };
    let known = handles(now);
    let own = handles(old);
    if own.is_empty() {
        return 0.0;
    }
    own.intersection(&known).count() as f64 / own.len() as f64
}

fn middle(storey: &Storey) -> Coord<f64> {
    let ends = storey.walls.iter().flat_map(|it| [it.start, it.end]);
    let (sum, n) = ends.fold((Coord { x: 0.0, y: 0.0 }, 0.0), |(sum, n), p| {
        (sum + p, n + 1.0)
    });
    if n > 0.0 { sum / n } else { sum }
}
