//! Pieces that want one face: of each group that hangs together the best choice, exactly, and how sure each piece in it is.
//!
//! ```text
//!   ═══════════ a      ab, bc and ac want three faces between them, and a face has one wall:
//!   ═══════════ b      of all choices that one is taken whose walls are worth most, length times score.
//!   ═══════════ c      What the best choice without a wall is worth less is that wall's margin
//! ```
//!
//! Method: branch and bound over the pieces of a group, the better ranked first: each takes what those before it leave of its
//! faces, or is left out. What is ranked first stands unless another choice is truly better. Groups are small: one piece mostly,
//! seldom more than ten. Where the work runs out, the best choice found stands, and margins are those of the ranked choice.

use crate::plan::axis::{Few, Interval, moved};
use crate::plan::groups::Groups;
use crate::plan::lines::rails::Rails;
use crate::plan::pieces::bands::{Band, LEAST_SOLID};
use crate::plan::pieces::claims::Faces;
use crate::plan::pieces::solids::{Candidate, without};
use crate::side_by_side::one_each;

/// A piece that loses more than this share of itself to better ones is no wall.
const KEPT: f64 = 0.6;
/// Pieces that share less of a face than this want another one, inches.
const SHARED: f64 = 0.05;
/// A choice is better than another by at least this share.
const BETTER: f64 = 1e-4;
/// Steps of one search, times the pieces of its group.
const WORK: usize = 200_000;

/// What may be wall, and how well.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    pub rails: &'a Rails,
    pub bands: &'a [Band],
    pub candidates: &'a [Candidate],
    /// What each wants.
    pub faces: &'a [Faces],
    /// What an inch of each is worth as a wall.
    pub scores: &'a [f64],
}

/// What was decided about a candidate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Settled {
    pub is_wall: bool,
    /// By how much of its own worth it is better to have it than not: 0 to 1.
    pub margin: f64,
}

impl Wanted<'_> {
    /// Decides about every candidate.
    ///
    /// - `sharing`: which hang together by the faces they want.
    /// - `order`: all candidates, the best first.
    pub(super) fn settle(&self, sharing: Groups, order: &[usize]) -> Vec<Settled> {
        let mut settled = vec![
            Settled {
                is_wall: true,
                margin: 1.0
            };
            self.candidates.len()
        ];
        let groups = several(sharing, order);
        let found = one_each(groups.len(), |k| self.best(&groups[k]));
        for (group, own) in groups.iter().zip(found) {
            for (i, it) in group.iter().zip(own) {
                settled[*i] = it;
            }
        }
        settled
    }

    /// The best choice of a group, and each piece's margin in it.
    fn best(&self, group: &[usize]) -> Vec<Settled> {
        let mut search = Search::new(self, group, None, WORK / group.len());
        search.go(0, 0.0);
        // Enough for one choice, as ranked, where looking at all of them took too long.
        let work = match search.left {
            0 => group.len() + 1,
            _ => WORK / group.len(),
        };
        let (best, choice) = (search.best, search.choice);
        let margin = |k: usize, own: f64| {
            let mut search = Search::new(self, group, Some(k), work);
            search.go(0, 0.0);
            ((best - search.best) / own.max(1e-9)).clamp(0.0, 1.0)
        };
        let settled = choice.iter().enumerate().map(|(k, own)| Settled {
            is_wall: own.is_some(),
            margin: own.map_or(0.0, |own| margin(k, own)),
        });
        settled.collect()
    }

    /// The faces of a part of a candidate.
    pub(super) fn faces_of(&self, i: usize, part: Interval) -> Faces {
        let c = &self.candidates[i];
        if part == (c.u0, c.u1) {
            return self.faces[i];
        }
        let axis = &self.bands[c.band].axis;
        self.faces[i].map(|(side, _)| (side, moved(part, axis, &self.rails.list[side.0].axis)))
    }

    /// What is left of a candidate where parts of its faces are taken; `None` where that is too little of it.
    pub(super) fn left<'t, T: Iterator<Item = &'t Interval>>(
        &self,
        i: usize,
        taken: impl Fn(usize) -> T,
    ) -> Option<Few<Interval>> {
        let c = &self.candidates[i];
        let mut parts: Few<Interval> = Few::from_elem((c.u0, c.u1), 1);
        for ((rail, _), own) in &self.faces[i] {
            let holes = taken(*rail).filter(|it| it.1 > own.0 - 1.0 && it.0 < own.1 + 1.0);
            for hole in holes {
                let axis = &self.bands[c.band].axis;
                let hole = moved(*hole, &self.rails.list[*rail].axis, axis);
                parts = parts
                    .into_iter()
                    .flat_map(|part| without(part, hole))
                    .collect();
            }
        }
        let left: f64 = parts.iter().map(|(a, b)| b - a).sum();
        parts.retain(|(a, b)| *b - *a >= LEAST_SOLID);
        (left >= KEPT * (c.u1 - c.u0)).then_some(parts)
    }
}

/// Candidates that hang together by the faces they want.
pub(super) fn sharing(faces: &[Faces]) -> Groups {
    let mut wants: Vec<(usize, f64, f64, usize)> = Vec::new();
    for (i, faces) in faces.iter().enumerate() {
        wants.extend(faces.map(|((rail, _), (from, to))| (rail, from, to, i)));
    }
    wants.sort_unstable_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)));
    let mut groups = Groups::new(faces.len());
    for (k, (rail, _, to, i)) in wants.iter().enumerate() {
        let rest = wants[k + 1..].iter();
        for (.., j) in rest.take_while(|it| it.0 == *rail && it.1 < to - SHARED) {
            groups.join(*i, *j);
        }
    }
    groups
}

/// The groups of two and more, the best of each first.
fn several(mut groups: Groups, order: &[usize]) -> Vec<Vec<usize>> {
    let mut members = vec![Vec::new(); order.len()];
    for i in order {
        members[groups.least(*i)].push(*i);
    }
    members.retain(|it| it.len() > 1);
    members
}

/// A search for the best choice of a group.
struct Search<'a> {
    wanted: &'a Wanted<'a>,
    group: &'a [usize],
    /// One that is not to be taken.
    barred: Option<usize>,
    /// What all from a place on are worth at most.
    most: Vec<f64>,
    /// Faces taken so far.
    taken: Vec<(usize, Interval)>,
    /// What each is worth where it stands now; none for one left out.
    now: Vec<Option<f64>>,
    best: f64,
    choice: Vec<Option<f64>>,
    /// Steps that are left.
    left: usize,
}

impl<'a> Search<'a> {
    fn new(wanted: &'a Wanted<'a>, group: &'a [usize], barred: Option<usize>, work: usize) -> Self {
        let mut most = vec![0.0; group.len() + 1];
        for (k, i) in group.iter().enumerate().rev() {
            let c = &wanted.candidates[*i];
            most[k] = most[k + 1] + (c.u1 - c.u0) * wanted.scores[*i];
        }
        Self {
            wanted,
            group,
            barred,
            most,
            taken: Vec::new(),
            now: vec![None; group.len()],
            best: f64::NEG_INFINITY,
            choice: vec![None; group.len()],
            left: work,
        }
    }

    /// Decides about all from a place on, where those before are worth so much.
    fn go(&mut self, k: usize, worth: f64) {
        let most = worth + self.most[k];
        if self.left == 0 || most <= self.best + BETTER * self.best.abs() {
            return;
        }
        self.left -= 1;
        let Some(&i) = self.group.get(k) else {
            self.best = worth;
            self.choice.clone_from(&self.now);
            return;
        };
        let parts = (self.barred != Some(k)).then(|| {
            let taken = &self.taken;
            let on = |rail: usize| {
                let own = taken.iter().filter(move |it| it.0 == rail);
                own.map(|it| &it.1)
            };
            self.wanted.left(i, on)
        });
        if let Some(parts) = parts.flatten().filter(|it| !it.is_empty()) {
            let before = self.taken.len();
            for part in &parts {
                let faces = self.wanted.faces_of(i, *part);
                self.taken.extend(faces.map(|(side, own)| (side.0, own)));
            }
            let long: f64 = parts.iter().map(|(a, b)| b - a).sum();
            let own = long * self.wanted.scores[i];
            self.now[k] = Some(own);
            self.go(k + 1, worth + own);
            self.now[k] = None;
            self.taken.truncate(before);
        }
        self.go(k + 1, worth);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::lines::segments::lines;
    use crate::plan::pieces::bands::{THICKEST, bands};
    use crate::plan::pieces::claims::faces;
    use crate::plan::trial::drawing;

    /// Decides between pieces of four parallel lines 0, 6, 10 and 16 in up: each between two of them, with what an inch is worth.
    fn settled(wanted: &[([f64; 2], f64)]) -> Vec<Settled> {
        let heights = [0.0, 6.0, 10.0, 16.0];
        let all = heights.map(|y| [0.0, y, 100.0, y]);
        let lines = lines(&drawing(&all, &[], &[]));
        let rails = Rails::new(&lines.segments, &lines.index, lines.slack);
        let (bands, _) = bands(&rails, THICKEST, lines.slack);
        let height = |rail: usize| rails.list[rail].axis.origin.y + lines.origin.y;
        let between = |[low, high]: [f64; 2]| {
            let is_it = |band: &Band| {
                let [p, q] = [height(band.rails.0), height(band.rails.1)];
                (p.min(q) - low).abs() < 0.1 && (p.max(q) - high).abs() < 0.1
            };
            let band = bands.iter().position(is_it).unwrap();
            let span = &bands[band].spans[0];
            Candidate::closed(band, span.u0, span.u1)
        };
        let candidates: Vec<_> = wanted.iter().map(|it| between(it.0)).collect();
        let scores: Vec<f64> = wanted.iter().map(|it| it.1).collect();
        let mut order: Vec<usize> = (0..wanted.len()).collect();
        order.sort_by(|p, q| scores[*q].total_cmp(&scores[*p]));
        let faces = faces(&rails, &bands, &candidates);
        let wanted = Wanted {
            rails: &rails,
            bands: &bands,
            candidates: &candidates,
            faces: &faces,
            scores: &scores,
        };
        wanted.settle(sharing(&faces), &order)
    }

    #[test]
    fn two_walls_are_worth_more_than_a_better_one_between_them() {
        let (lower, gap, upper) = ([0.0, 6.0], [6.0, 10.0], [10.0, 16.0]);
        let found = settled(&[(lower, 1.0), (gap, 1.5), (upper, 1.0)]);
        assert_eq!(
            found.iter().map(|it| it.is_wall).collect::<Vec<_>>(),
            [true, false, true]
        );
        // 200 with both; without one of them the gap is the best, 150.
        assert!((found[0].margin - 0.5).abs() < 1e-9, "{found:?}");
        let found = settled(&[(lower, 1.0), (gap, 2.5), (upper, 1.0)]);
        assert!(found[1].is_wall && !found[0].is_wall && !found[2].is_wall);
        assert!((found[1].margin - 0.2).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn what_wants_no_face_of_another_is_sure() {
        let found = settled(&[([0.0, 6.0], 1.0), ([10.0, 16.0], 0.5)]);
        assert!(found.iter().all(|it| it.is_wall && it.margin >= 1.0));
    }
}
