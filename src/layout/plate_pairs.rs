//! Top plate and cap cut together, so that no joint of one is near a joint of the other: exact.
//!
//! ```text
//!   cap  ├─────────────c──────────────┤      state: the last joint of each plate
//!   top  ├──────t───────────t►────────┤      the plate that lags behind goes on
//! ```
//!
//! Method: of every least-cost pair there is one none of whose joints can be pushed farther right; so each stands where an allowed
//! stretch ends, a stock length from the joint before it, a least piece before the one after it, or the rule's distance before a joint
//! of the other plate. The closure of these places is finite; a dynamic program walks over pairs of last joints, the plate that lags
//! going on. A joint that the lagging plate sets lies beyond the other plate's earlier joints by at least what its own last one does,
//! so only the other plate's last joint is looked at.

use super::PlateUse;
use super::plates::{PlateProblem, Span, bought};
use crate::units::Length;
use std::collections::BTreeSet;

/// Pieces and length bought.
type Cost = (usize, Length);

/// More pairs of places than this are not looked at.
const MOST_PAIRS: usize = 1_000_000;

/// The least cost of both plates and their pieces; `None` where a plate is parted, there are too many places, or no pair keeps the
/// distance.
pub(super) fn cut_together(problem: &PlateProblem<'_>) -> Option<(Cost, Vec<(PlateUse, Span)>)> {
    let ([top], [cap]) = (problem.top.as_slice(), problem.cap.as_slice()) else {
        return None;
    };
    let spans = [*top, *cap];
    let [tops, caps] = stops(problem, spans)?;
    let pair = Pair {
        problem,
        stops: [tops, caps],
    };
    pair.solve()
}

struct Pair<'a> {
    problem: &'a PlateProblem<'a>,
    /// Start, places for joints, end: of the top plate and of the cap.
    stops: [Vec<Length>; 2],
}

impl Pair<'_> {
    fn solve(&self) -> Option<(Cost, Vec<(PlateUse, Span)>)> {
        let [n_tops, n_caps] = [0, 1].map(|plate: usize| self.stops[plate].len());
        let at = |state: [usize; 2]| state[0] * n_caps + state[1];
        // By state: cost so far and the state before it. States are taken by the place of the joint that lags, so each is
        // final when it is taken: a step moves the lagging joint only.
        let mut known: Vec<Option<(Cost, [usize; 2])>> = vec![None; n_tops * n_caps];
        known[0] = Some(((0, Length::ZERO), [0, 0]));
        let mut order: Vec<[usize; 2]> = (0..n_tops)
            .flat_map(|t| (0..n_caps).map(move |c| [t, c]))
            .collect();
        order.sort_by_key(|state| {
            let [t, c] = [0, 1].map(|plate: usize| self.stops[plate][state[plate]]);
            (t + c, *state)
        });
        for state in order {
            let Some((cost, _)) = known[at(state)] else {
                continue;
            };
            let plate = self.lagging(state);
            for next in state[plate] + 1..self.stops[plate].len() {
                let Some(price) = self.piece(plate, state, next) else {
                    continue;
                };
                let mut after = state;
                after[plate] = next;
                let sum = (cost.0 + 1, cost.1 + price);
                let slot = &mut known[at(after)];
                if slot.is_none_or(|(least, _)| sum < least) {
                    *slot = Some((sum, state));
                }
            }
        }
        let mut state = [n_tops - 1, n_caps - 1];
        let (cost, _) = known[at(state)]?;
        let mut pieces = Vec::new();
        while state != [0, 0] {
            let (_, before) = known[at(state)]?;
            let plate = usize::from(before[0] == state[0]);
            let usage = [PlateUse::Top, PlateUse::Cap][plate];
            let stops = &self.stops[plate];
            pieces.push((usage, (stops[before[plate]], stops[state[plate]])));
            state = before;
        }
        pieces.sort();
        Some((cost, pieces))
    }

    /// The plate that goes on: the one whose last joint lies farther left, if it has not come to its end.
    fn lagging(&self, state: [usize; 2]) -> usize {
        let is_done = |plate: usize| state[plate] + 1 == self.stops[plate].len();
        let [t, c] = [0, 1].map(|plate: usize| self.stops[plate][state[plate]]);
        usize::from(is_done(0) || (!is_done(1) && c < t))
    }

    /// Stock bought for the piece up to stop `next`; `None` where there is none so long, or its end is no place for a joint.
    fn piece(&self, plate: usize, state: [usize; 2], next: usize) -> Option<Length> {
        let rules = self.problem.rules;
        let (stops, others) = (&self.stops[plate], &self.stops[1 - plate]);
        let other = state[1 - plate];
        let length = stops[next] - stops[state[plate]];
        let is_joint = |at: usize, of: &[Length]| at > 0 && at + 1 < of.len();
        let is_near = is_joint(next, stops)
            && is_joint(other, others)
            && (stops[next] - others[other]).abs() < rules.joint_offset;
        let is_whole = state[plate] == 0 && next + 1 == stops.len();
        if is_near || (length < rules.least_piece && !is_whole) {
            return None;
        }
        bought(length, rules)
    }
}

/// Start, places where a joint of a least-cost pair may have to stand, and end, of both plates.
fn stops(problem: &PlateProblem<'_>, spans: [Span; 2]) -> Option<[Vec<Length>; 2]> {
    let rules = problem.rules;
    let is_allowed = |plate: usize, x: Length| {
        let (from, to) = spans[plate];
        let mut joints = problem.panel_joints.iter();
        x > from && x < to && joints.all(|joint| (x - *joint).abs() >= rules.joint_offset)
    };
    let mut found = [BTreeSet::new(), BTreeSet::new()];
    let mut new: Vec<(usize, Length)> = Vec::new();
    for (plate, span) in spans.iter().enumerate() {
        new.push((plate, span.0));
        new.push((plate, span.1 - rules.least_piece));
        let joints = problem.panel_joints.iter();
        new.extend(joints.map(|joint| (plate, *joint - rules.joint_offset)));
    }
    while let Some((plate, x)) = new.pop() {
        if (x != spans[plate].0 && !is_allowed(plate, x)) || !found[plate].insert(x) {
            continue;
        }
        if found[0].len() * found[1].len() > MOST_PAIRS {
            return None;
        }
        new.extend(rules.stock_lengths.iter().map(|stock| (plate, x + *stock)));
        new.push((plate, x - rules.least_piece));
        if x != spans[plate].0 {
            new.push((1 - plate, x - rules.joint_offset));
        }
    }
    Some([0, 1].map(|plate: usize| {
        let mut stops: Vec<Length> = found[plate].iter().copied().collect();
        stops.push(spans[plate].1);
        stops
    }))
}

#[cfg(test)]
mod tests {
    use super::super::plates::cut_plates;
    use super::*;
    use crate::layout::testing::Numbers;
    use crate::rules::{PlantRules, PlateRules};

    /// The least cost of both plates by trying every pair of last joints on every foot.
    fn every_foot(feet: usize, avoid: &[Length], rules: &PlateRules) -> Option<Cost> {
        let at = |i: usize| Length::feet(i64::try_from(i).unwrap());
        let is_open = |i: usize| {
            let mut joints = avoid.iter();
            joints.all(|joint| (at(i) - *joint).abs() >= rules.joint_offset)
        };
        // All ways to cut one plate.
        let mut ways: Vec<(Vec<usize>, Cost)> = Vec::new();
        let mut waiting = vec![(vec![0_usize], (0, Length::ZERO))];
        while let Some((stops, cost)) = waiting.pop() {
            let last = *stops.last().unwrap();
            for next in last + 1..=feet {
                let piece = at(next - last);
                let Some(price) = bought(piece, rules).filter(|_| piece >= rules.least_piece)
                else {
                    continue;
                };
                let sum = (cost.0 + 1, cost.1 + price);
                let mut stops = stops.clone();
                if next == feet {
                    ways.push((stops.split_off(1), sum));
                } else if is_open(next) {
                    stops.push(next);
                    waiting.push((stops, sum));
                }
            }
        }
        let pairs = ways.iter().flat_map(|a| ways.iter().map(move |b| (a, b)));
        let apart = pairs.filter(|((a, _), (b, _))| {
            a.iter().all(|x| {
                b.iter()
                    .all(|y| (at(*x) - at(*y)).abs() >= rules.joint_offset)
            })
        });
        apart.map(|((_, a), (_, b))| (a.0 + b.0, a.1 + b.1)).min()
    }

    #[test]
    fn top_plate_and_cap_cost_together_what_trying_every_foot_costs() {
        let mut rules = PlantRules::default().plates;
        rules.stock_lengths = vec![Length::feet(8), Length::feet(10)];
        let mut numbers = Numbers(41);
        let (mut together, mut impossible) = (0, 0);
        for _ in 0..60 {
            let feet = 9 + usize::try_from(numbers.below(14)).unwrap();
            let length = Length::feet(i64::try_from(feet).unwrap());
            let mut avoid = Vec::new();
            let mut x = 3 + numbers.below(5);
            while Length::feet(x) < length {
                avoid.push(Length::feet(x));
                x += 4 + numbers.below(6);
            }
            let span = vec![(Length::ZERO, length)];
            let problem = PlateProblem {
                rules: &rules,
                sole: Vec::new(),
                top: span.clone(),
                cap: span,
                panel_joints: avoid.clone(),
            };
            let found = cut_together(&problem).map(|(cost, _)| cost);
            assert_eq!(found, every_foot(feet, &avoid, &rules), "{feet} {avoid:?}");
            let made = cut_plates(&problem);
            if let Some(found) = found {
                let lengths = made.pieces.iter().map(|(_, (a, b))| *b - *a);
                let bought: Length = lengths.map(|it| bought(it, &rules).unwrap()).sum();
                assert_eq!((made.pieces.len(), bought), found, "{feet} {avoid:?}");
                assert_eq!(made.gap, None);
                together += 1;
            } else {
                impossible += 1;
            }
        }
        assert!(together > 10, "{together} together, {impossible} not");
    }
}
