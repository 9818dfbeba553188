//! Gives walls and openings the ids they had in the issue before, so that what did not change is called as it was.
//!
//! ```text
//!   X1 X2 X3  O1 O2     as numbered in this drawing
//!   X3 X1 X7  O2 O9     X3, X1, O2 found again in the issue before; X7 and O9 are new: the next free numbers of the job
//! ```

use super::rigid::{Unlaid, estimate};
use super::storeys::Fits;
use super::{Carried, EarlierPlan};
use crate::geometry::Motion;
use crate::plan::{Plan, Storey};
use std::collections::BTreeMap;

/// The plan of the issue before, whose ids go on: before its corrections, and after them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IssuedNames {
    /// Its ids are those that corrections use.
    pub before_corrections: EarlierPlan,
    /// Its ids are those that the rest of the job uses.
    pub as_issued: EarlierPlan,
}

/// Names given out, storey by storey.
#[derive(Clone, Default)]
pub(in crate::plan) struct Names<'a> {
    /// The plan whose ids go on; `None` at a first issue.
    earlier: Option<&'a EarlierPlan>,
    /// By letter the highest number given so far.
    last: BTreeMap<char, usize>,
    /// By its id the storey of it that each of this plan is; of those not named here the one of the same id.
    pairs: BTreeMap<String, usize>,
}

/// By its id the storey of the issue before that each of this plan is, where they are numbered otherwise than they were; else
/// nothing.
pub(in crate::plan) fn renumbered(
    issued: Option<&IssuedNames>,
    plan: &Plan,
) -> BTreeMap<String, usize> {
    let earlier = issued.map_or(&[][..], |it| &it.before_corrections.storeys);
    if earlier.len().max(plan.storeys.len()) < 2 {
        return BTreeMap::new();
    }
    let found = Fits::of(earlier, &plan.storeys).joint().into_iter();
    let pairs = found.enumerate().filter_map(|(old, now)| {
        let (now, _) = now.ok()?;
        Some((plan.storeys[now].id.clone(), old))
    });
    let pairs: BTreeMap<String, usize> = pairs.collect();
    if pairs.iter().all(|(now, old)| earlier[*old].id == *now) {
        return BTreeMap::new();
    }
    pairs
}

impl<'a> Names<'a> {
    /// Names go on from that plan of the two, and new numbers from both.
    pub(in crate::plan) fn of(issued: Option<&'a IssuedNames>, is_corrected: bool) -> Self {
        let Some(issued) = issued else {
            return Self::default();
        };
        let both = [&issued.before_corrections, &issued.as_issued];
        let mut last = BTreeMap::new();
        for id in both.iter().flat_map(|it| &it.storeys).flat_map(ids) {
            if let Some((letter, number)) = parted(id) {
                let known = last.entry(letter).or_insert(0);
                *known = number.max(*known);
            }
        }
        Self {
            earlier: Some(both[usize::from(is_corrected)]),
            last,
            pairs: BTreeMap::new(),
        }
    }

    /// Names go on from the storeys that [`renumbered`] says.
    pub(in crate::plan) fn paired(mut self, pairs: &BTreeMap<String, usize>) -> Self {
        self.pairs.clone_from(pairs);
        self
    }

    /// Renames the walls and openings of a storey.
    pub(in crate::plan) fn give(&mut self, storey: &mut Storey) {
        let Some(earlier) = self.earlier else {
            return;
        };
        let mut known: BTreeMap<String, String> = BTreeMap::new();
        if let Some((number, motion)) = self.laid(earlier, storey) {
            let Carried {
                earlier: old,
                matches,
                ..
            } = Carried::laid(&earlier.storeys[number], storey, motion);
            let walls = old.walls.iter().zip(&matches.walls);
            let walls =
                walls.filter_map(|(was, now)| Some((&storey.walls[(*now)?].id, was.id.clone())));
            let openings = old.openings.iter().zip(&matches.openings);
            let openings = openings
                .filter_map(|(was, now)| Some((&storey.openings[(*now)?].id, was.id.clone())));
            // What is outside now and was inside is called by another letter.
            let is_alike = |now: &str, was: &str| now.chars().next() == was.chars().next();
            let found = walls
                .chain(openings)
                .filter(|(now, was)| is_alike(now, was));
            known = found.map(|(now, was)| (now.clone(), was)).collect();
        }
        let own: Vec<String> = ids(storey).map(str::to_owned).collect();
        for id in own {
            if !known.contains_key(&id)
                && let Some((letter, _)) = parted(&id)
            {
                let last = self.last.entry(letter).or_insert(0);
                *last += 1;
                known.insert(id, format!("{letter}{last}"));
            }
        }
        for wall in &mut storey.walls {
            rename(&mut wall.id, &known);
        }
        for opening in &mut storey.openings {
            rename(&mut opening.id, &known);
            rename(&mut opening.wall, &known);
        }
    }

    /// The storey of the issue before that this one is, and how it lies on it. Where no turn and move is sure, as in a building
    /// that is the same from both ends, the one of the same id where it stood; on a mirrored one nothing is found.
    fn laid(&self, earlier: &EarlierPlan, now: &Storey) -> Option<(usize, Motion)> {
        let number = self.pairs.get(&now.id).copied().or_else(|| {
            let is_free = |it: &usize| !self.pairs.values().any(|taken| taken == it);
            let same = earlier.storeys.iter().position(|it| it.id == now.id);
            same.filter(is_free)
        })?;
        match estimate(earlier.storeys.get(number)?, now) {
            Ok((_, motion)) => Some((number, motion)),
            Err(Unlaid::Mirrored) => None,
            Err(_) => Some((number, Motion::NONE)),
        }
    }
}

/// An id by the names given.
fn rename(id: &mut String, names: &BTreeMap<String, String>) {
    if let Some(name) = names.get(id) {
        id.clone_from(name);
    }
}

fn ids(storey: &Storey) -> impl Iterator<Item = &str> {
    let walls = storey.walls.iter().map(|it| it.id.as_str());
    walls.chain(storey.openings.iter().map(|it| it.id.as_str()))
}

/// Letter and number of an id; `None` for an id of another make.
fn parted(id: &str) -> Option<(char, usize)> {
    let mut letters = id.chars();
    let letter = letters.next()?;
    Some((letter, letters.as_str().parse().ok()?))
}
