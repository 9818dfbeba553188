//! Exchanges between two labels: one takes the place of the other where both together stand the better for it.

use super::{Search, Standing, around};
use crate::documents::paper::Area;

/// Rounds of exchanges between two, and how many places that another holds a label asks for in each.
const EXCHANGES: usize = 4;
const ASKED_FOR: usize = 48;

/// What a label without a place costs: more than any place.
const NOWHERE: f64 = 1e6;

/// An exchange that saves less is none: places swapped for nothing would make sheets differ for nothing.
const SAVING: f64 = 0.5;

impl<K: Standing> Search<'_, K> {
    /// The one label that stands where a candidate of another would; none where nobody does, or more than one.
    fn lone_blocker(
        &self,
        candidate: (usize, usize),
        chosen: &[Option<usize>],
        standing: &[Option<Area>],
    ) -> Option<usize> {
        let mut all = self.blockers(candidate, chosen, standing);
        all.next().filter(|_| all.next().is_none())
    }

    /// Lets labels take places that one other holds, where both together stand the better for it, until none does.
    pub(super) fn exchange(&mut self, turns: &[usize], chosen: &mut [Option<usize>]) {
        let stands = |search: &Self, index: usize, place: Option<usize>| {
            place.and_then(|it| around(&search.requests[index][it]))
        };
        let mut standing: Vec<Option<Area>> = (chosen.iter().enumerate())
            .map(|(index, place)| stands(self, index, *place))
            .collect();
        for _ in 0..EXCHANGES {
            let mut moved = false;
            for index in turns.iter().copied() {
                let held = chosen[index];
                let now = self.cost_of(index, held);
                let mut asked = 0;
                let mut rank = 0;
                while let Some(number) = self.orders[index].at(rank) {
                    rank += 1;
                    if asked == ASKED_FOR || self.requests[index][number].cost() > now - SAVING {
                        break;
                    }
                    let Some(cost) = self.weigh(index, number).filter(|it| *it < now - SAVING)
                    else {
                        continue;
                    };
                    let Some(other) = self.lone_blocker((index, number), chosen, &standing) else {
                        continue;
                    };
                    asked += 1;
                    let was = chosen[other];
                    chosen[index] = Some(number);
                    standing[index] = stands(self, index, Some(number));
                    chosen[other] = None;
                    standing[other] = None;
                    let next = self.best_for(other, chosen, &standing);
                    let saved = now - cost + self.cost_of(other, was) - self.cost_of(other, next);
                    let is_better = saved > SAVING;
                    if !is_better {
                        chosen[index] = held;
                        standing[index] = stands(self, index, held);
                    }
                    chosen[other] = if is_better { next } else { was };
                    standing[other] = stands(self, other, chosen[other]);
                    if is_better {
                        moved = true;
                        break;
                    }
                }
            }
            if !moved {
                break;
            }
        }
    }

    /// What it costs that a label stands where it does.
    fn cost_of(&mut self, index: usize, place: Option<usize>) -> f64 {
        place
            .and_then(|it| self.weigh(index, it))
            .unwrap_or(NOWHERE)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Candidate, Obstacles, place};
    use super::*;
    use crate::documents::plan_view::LabelBox;

    /// Candidates at chosen places of a row, each with its cost.
    fn at(places: &[(f64, f64)]) -> Vec<Candidate> {
        let candidate = |(x, cost): &(f64, f64)| Candidate {
            boxes: vec![LabelBox::upright(&Area::new(*x, 0.0, *x + 0.9, 0.9))],
            lines: Vec::new(),
            cost: *cost,
        };
        places.iter().map(candidate).collect()
    }

    #[track_caller]
    fn check(requests: &[Vec<Candidate>], expected: &[Option<usize>]) {
        assert_eq!(place(requests, &Obstacles::default()).chosen, expected);
    }

    #[test]
    fn no_exchange_of_two_shortens_the_sum() {
        // The first takes its best place, which is the only near one of the second.
        let first = at(&[(5.0, 1.0), (6.0, 3.0)]);
        let second = at(&[(5.0, 2.0), (9.0, 40.0)]);
        let all = [first.clone(), second.clone()];
        check(&all, &[Some(1), Some(0)]);
        check(&[second, first], &[Some(0), Some(1)]);
        // What is saved is too little to swap for.
        let (first, second) = (at(&[(5.0, 1.0), (6.0, 3.0)]), at(&[(5.0, 1.0), (7.0, 3.2)]));
        check(&[first, second], &[Some(0), Some(1)]);
    }
}
