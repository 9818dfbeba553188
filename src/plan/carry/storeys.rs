//! Which storey of this plan each earlier one is: all together, so that none takes the place of another.
//!
//! ```text
//!   earlier   G   U             G fits where U is better than where it grew to, but U then fits nowhere as well:
//!   now       G+  U             the pairs that fit best in sum
//! ```

use super::rigid::{Unlaid, estimate, moved};
use crate::findings::base_name;
use crate::geometry::Motion;
use crate::plan::Storey;
use geo::Coord;
use std::collections::BTreeSet;

/// A storey of the same title is that storey, however well another fits that has grown into its shape.
const TITLED: f64 = 1.0;
/// One of the same number comes before one that fits no better.
const NUMBERED: f64 = 0.05;
/// Drawn in a file of the same name, of several.
const FILED: f64 = 0.3;
/// Drawn by the same entities, at most.
const DRAWN: f64 = 0.3;
/// Two storeys of one sheet moved with it.
const TOGETHER: f64 = 0.2;
/// Storeys moved together when they did within this, inches: a building may be laid by either end of what was stretched.
const SAME_MOVE: f64 = 72.0;
/// And were turned by the same within this sine.
const SAME_TURN: f64 = 0.02;
/// All ways to pair storeys are tried of up to so many: of more, each takes the best that is left.
const ALL_WAYS: usize = 7;

/// How well each earlier storey lies on each of this plan.
pub(super) struct Fits<'a> {
    old: &'a [Storey],
    /// For each earlier storey and each of this plan its worth and how it lies.
    of: Vec<Vec<Result<(f64, Motion), Unlaid>>>,
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
            let (score, motion) = estimate(a, b)?;
            Ok((score + likeness(a, b, are_files_apart), motion))
        };
        let row = |a: &Storey| now.iter().map(|b| of(a, b)).collect();
        Self {
            old,
            of: old.iter().map(row).collect(),
        }
    }

    /// For each earlier storey the one of this plan that it is, and how it lies there.
    pub(super) fn joint(&self) -> Vec<Result<(usize, Motion), Unlaid>> {
        let n_now = self.of.first().map_or(0, Vec::len);
        let numbers = if self.of.len().max(n_now) > ALL_WAYS {
            self.one_by_one()
        } else {
            let mut trial = Trial {
                taken: Vec::new(),
                best: None,
            };
            self.try_all(&mut trial, 0.0);
            trial.best.map(|it| it.1).unwrap_or_default()
        };
        let all = self.of.iter().zip(&numbers);
        all.map(|(row, number)| match number {
            Some(number) => row[*number].map(|(_, motion)| (*number, motion)),
            None => Err(why_not(row)),
        })
        .collect()
    }

    /// Each earlier storey in turn takes the best that is left.
    fn one_by_one(&self) -> Vec<Option<usize>> {
        let mut taken = Vec::new();
        for row in &self.of {
            let mut best: Option<(f64, usize)> = None;
            for (number, fit) in row.iter().enumerate() {
                if let Ok((score, _)) = fit
                    && !taken.contains(&Some(number))
                    && best.is_none_or(|(known, _)| *score > known)
                {
                    best = Some((*score, number));
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
            let Ok((score, motion)) = fit else { continue };
            if trial.taken.contains(&Some(number)) {
                continue;
            }
            let more = score + self.together(&trial.taken, index, motion);
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
            let Some(Ok((_, other))) = to.map(|to| &self.of[number][to]) else {
                continue;
            };
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
fn why_not(row: &[Result<(f64, Motion), Unlaid>]) -> Unlaid {
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
