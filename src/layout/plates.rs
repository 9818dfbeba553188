//! Cuts plates from stock lengths: no joint near a panel joint or near a joint of the next plate.
//!
//! Method: of every least-cost cut there is one whose joints cannot be pushed farther right: each stands at the end of an
//! allowed stretch, a stock length from the piece before it, or a least piece from the one after it. Those places are few;
//! dynamic programming over them gives, exactly, the fewest pieces, then the least length bought, then the farthest joints.
//! Top plate and cap keep away from each other's joints: both orders are cut, and the better sum is taken; where that sum is more
//! than what both would cost alone, the two are cut together (`plate_pairs.rs`), or the gap is said. Source of the offset: IRC R602.3.2 for plate joints, common practice for
//! panel joints.

use super::PlateUse;
use super::plate_pairs::cut_together;
use crate::rules::PlateRules;
use crate::units::Length;

/// From where to where.
pub(crate) type Span = (Length, Length);

/// What a wall's plates are cut for, run axes.
#[derive(Clone, Debug)]
pub(crate) struct PlateProblem<'a> {
    pub(crate) rules: &'a PlateRules,
    pub(crate) sole: Vec<Span>,
    pub(crate) top: Vec<Span>,
    pub(crate) cap: Vec<Span>,
    /// Middles of the panel joints.
    pub(crate) panel_joints: Vec<Length>,
}

/// The pieces, and the spans for which no joints keep the distance.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plates {
    pub(crate) pieces: Vec<(PlateUse, Span)>,
    pub(crate) broken: Vec<(PlateUse, Span)>,
    /// Where it is not proved that top plate and cap cannot be had for less: pieces and length bought, and below what none can be.
    pub(crate) gap: Option<[(usize, Length); 2]>,
}

/// Spans that break the rule, pieces, length bought: less is better, field by field.
type PlateCost = (usize, usize, Length);

/// More places than this are not looked at: the span is then cut without regard to its neighbours, and reported.
const MOST_PLACES: usize = 4_000;

/// Cuts sole, top and cap plates.
pub(crate) fn cut_plates(problem: &PlateProblem<'_>) -> Plates {
    let mut made = Plates::default();
    let panels = &problem.panel_joints;
    lay(problem, PlateUse::Sole, panels, &mut made);
    let orders = [
        [PlateUse::Top, PlateUse::Cap],
        [PlateUse::Cap, PlateUse::Top],
    ];
    let tried = orders.map(|[first, second]| {
        let mut pair = Plates::default();
        let (one, joints) = lay(problem, first, panels, &mut pair);
        let avoid: Vec<Length> = panels.iter().copied().chain(joints).collect();
        let (two, _) = lay(problem, second, &avoid, &mut pair);
        ((one.0 + two.0, one.1 + two.1, one.2 + two.2), pair)
    });
    let [(top_first, a), (cap_first, b)] = tried;
    let cost = top_first.min(cap_first);
    let mut best = if top_first <= cap_first { a } else { b };
    let alone = [PlateUse::Top, PlateUse::Cap]
        .map(|plate| lay(problem, plate, panels, &mut Plates::default()).0);
    let bound = (alone[0].1 + alone[1].1, alone[0].2 + alone[1].2);
    let is_broken = cost.0 > 0;
    if is_broken || (cost.1, cost.2) != bound {
        match cut_together(problem) {
            Some((found, pieces)) if is_broken || found < (cost.1, cost.2) => {
                best.pieces = pieces;
                best.broken.clear();
            }
            Some((found, _)) if found == (cost.1, cost.2) => {}
            _ if is_broken => {}
            _ => best.gap = Some([(cost.1, cost.2), bound]),
        }
    }
    best.pieces.sort_by_key(|(plate, _)| *plate);
    best.broken.sort_by_key(|(plate, _)| *plate);
    made.pieces.extend(best.pieces);
    made.broken.extend(best.broken);
    made.gap = best.gap;
    made
}

/// Cuts every span of one plate; returns what it costs and its joints.
fn lay(
    problem: &PlateProblem<'_>,
    plate: PlateUse,
    avoid: &[Length],
    made: &mut Plates,
) -> (PlateCost, Vec<Length>) {
    let spans = match plate {
        PlateUse::Sole => &problem.sole,
        PlateUse::Top => &problem.top,
        PlateUse::Cap => &problem.cap,
    };
    let rules = problem.rules;
    let mut cost = (0, 0, Length::ZERO);
    let mut joints = Vec::new();
    for span in spans {
        let cuts = cut(*span, avoid, rules).unwrap_or_else(|| {
            made.broken.push((plate, *span));
            cost.0 += 1;
            chop(*span, rules)
        });
        let stops = std::iter::once(span.0)
            .chain(cuts.iter().copied())
            .chain([span.1]);
        let stops: Vec<Length> = stops.collect();
        for pair in stops.windows(2) {
            made.pieces.push((plate, (pair[0], pair[1])));
            cost.1 += 1;
            cost.2 += bought(pair[1] - pair[0], rules).unwrap_or_default();
        }
        joints.extend(cuts);
    }
    (cost, joints)
}

/// The shortest stock that gives a piece.
pub(super) fn bought(piece: Length, rules: &PlateRules) -> Option<Length> {
    rules
        .stock_lengths
        .iter()
        .copied()
        .filter(|stock| *stock >= piece)
        .min()
}

/// Without regard to any joint: full lengths from the left.
fn chop(span: Span, rules: &PlateRules) -> Vec<Length> {
    let longest = rules
        .stock_lengths
        .iter()
        .max()
        .copied()
        .unwrap_or_default();
    let mut joints = Vec::new();
    let mut at = span.0 + longest;
    while longest > Length::ZERO && at < span.1 && joints.len() < MOST_PLACES {
        joints.push(at);
        at += longest;
    }
    joints
}

/// The joints of one span that keep their distance from `avoid`; `None` when there are none such.
fn cut(span: Span, avoid: &[Length], rules: &PlateRules) -> Option<Vec<Length>> {
    if bought(span.1 - span.0, rules).is_some() {
        return Some(Vec::new());
    }
    let mut stops = vec![span.0];
    stops.extend(places(span, avoid, rules)?);
    stops.push(span.1);
    let last = stops.len() - 1;
    // From the right: pieces, length bought, and the next stop.
    let mut best: Vec<Option<(usize, Length, usize)>> = vec![None; stops.len()];
    best[last] = Some((0, Length::ZERO, last));
    for here in (0..last).rev() {
        let options = (here + 1..=last).rev().filter_map(|next| {
            let piece = stops[next] - stops[here];
            let (pieces, length, _) = best[next].filter(|_| piece >= rules.least_piece)?;
            Some((pieces + 1, length + bought(piece, rules)?, next))
        });
        best[here] = options.min_by_key(|(pieces, length, next)| (*pieces, *length, last - *next));
    }
    let mut joints = Vec::new();
    let mut at = best[0]?.2;
    while at != last {
        joints.push(stops[at]);
        at = best[at]?.2;
    }
    Some(joints)
}

/// Where a joint of a least-cost cut may have to stand, rising; `None` when there are too many to look at.
fn places(span: Span, avoid: &[Length], rules: &PlateRules) -> Option<Vec<Length>> {
    let is_allowed = |x: Length| {
        x > span.0
            && x < span.1
            && avoid
                .iter()
                .all(|joint| (x - *joint).abs() >= rules.joint_offset)
    };
    let mut found = std::collections::BTreeSet::new();
    let ends = avoid.iter().map(|joint| *joint - rules.joint_offset);
    let mut new: Vec<Length> = ends.chain([span.1 - rules.least_piece]).collect();
    new.push(span.0);
    new.retain(|x| *x == span.0 || is_allowed(*x));
    while let Some(x) = new.pop() {
        if !found.insert(x) {
            continue;
        }
        if found.len() > MOST_PLACES {
            return None;
        }
        let after = rules.stock_lengths.iter().map(|stock| x + *stock);
        new.extend(
            after
                .chain([x - rules.least_piece])
                .filter(|x| is_allowed(*x)),
        );
    }
    found.remove(&span.0);
    Some(found.into_iter().collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::PlantRules;

    fn inches(values: &[i64]) -> Vec<Length> {
        values.iter().map(|value| Length::inches(*value)).collect()
    }

    #[test]
    fn joints_keep_two_feet_from_panel_joints_and_from_the_next_plates_joints() {
        // 44 ft of 8 ft modules and 20 ft stock: three pieces of each plate.
        let rules = PlantRules::default().plates;
        let span = vec![(Length::ZERO, Length::inches(528))];
        let problem = PlateProblem {
            rules: &rules,
            sole: span.clone(),
            top: span.clone(),
            cap: span,
            panel_joints: inches(&[96, 192, 288, 384, 480]),
        };
        let made = cut_plates(&problem);
        assert_eq!(made.broken, []);
        let joints = |plate: PlateUse| -> Vec<Length> {
            let of = made.pieces.iter().filter(|(which, _)| *which == plate);
            of.skip(1).map(|(_, (from, _))| *from).collect()
        };
        let (sole, top, cap) = (
            joints(PlateUse::Sole),
            joints(PlateUse::Top),
            joints(PlateUse::Cap),
        );
        assert_eq!([sole.len(), top.len(), cap.len()], [2, 2, 2]);
        let apart = |a: &[Length], b: &[Length]| {
            a.iter()
                .all(|x| b.iter().all(|y| (*x - *y).abs() >= Length::inches(24)))
        };
        assert!(apart(&sole, &problem.panel_joints) && apart(&top, &problem.panel_joints));
        assert!(apart(&cap, &problem.panel_joints) && apart(&cap, &top));
    }

    #[test]
    fn four_foot_modules_leave_one_place_in_the_middle_of_each_panel() {
        let rules = PlantRules::default().plates;
        let joints: Vec<Length> = (1..11).map(|i| Length::inches(48 * i)).collect();
        let cuts = cut((Length::ZERO, Length::inches(528)), &joints, &rules).unwrap();
        // Odd multiples of 24 in are free. 18, 16 and 10 ft make up 44 ft with nothing left.
        assert_eq!(cuts, inches(&[216, 408]));
    }

    #[test]
    fn few_places_cost_no_more_than_every_inch() {
        // Oracle: the same cost by dynamic programming over every inch. All data are whole inches.
        let rules = PlantRules::default().plates;
        let mut seed = 11_u64;
        let mut below = |n: i64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            i64::try_from(seed >> 33).unwrap() % n
        };
        let mut cut_ones = 0;
        for _ in 0..200 {
            let length = 250 + below(500);
            let mut avoid = Vec::new();
            let mut x = 20 + below(90);
            while x < length {
                avoid.push(Length::inches(x));
                x += 30 + below(70);
            }
            let span = (Length::ZERO, Length::inches(length));
            let cost = |joints: &[Length]| {
                let stops: Vec<Length> = [span.0]
                    .iter()
                    .chain(joints)
                    .chain([&span.1])
                    .copied()
                    .collect();
                let pieces = stops
                    .windows(2)
                    .map(|p| bought(p[1] - p[0], &rules).unwrap());
                (stops.len() - 1, pieces.sum::<Length>())
            };
            let found = cut(span, &avoid, &rules).map(|joints| cost(&joints));
            assert_eq!(
                found,
                every_inch(length, &avoid, &rules),
                "{length} {avoid:?}"
            );
            cut_ones += usize::from(found.is_some());
        }
        assert!(cut_ones > 100, "{cut_ones}");
    }

    fn every_inch(length: i64, avoid: &[Length], rules: &PlateRules) -> Option<(usize, Length)> {
        let n = usize::try_from(length).unwrap();
        let at = |i: usize| Length::inches(i64::try_from(i).unwrap());
        let mut best: Vec<Option<(usize, Length)>> = vec![None; n + 1];
        best[n] = Some((0, Length::ZERO));
        for here in (0..n).rev() {
            let is_open = here == 0
                || avoid
                    .iter()
                    .all(|a| (at(here) - *a).abs() >= rules.joint_offset);
            let options = (here + 1..=n).filter_map(|next| {
                let piece = at(next - here);
                let (pieces, sum) = best[next].filter(|_| piece >= rules.least_piece && is_open)?;
                Some((pieces + 1, sum + bought(piece, rules)?))
            });
            best[here] = options.min();
        }
        best[0]
    }

    #[test]
    fn what_cannot_keep_its_distance_says_so_and_is_cut_all_the_same() {
        let rules = PlantRules::default().plates;
        let problem = PlateProblem {
            rules: &rules,
            sole: vec![(Length::ZERO, Length::inches(500))],
            top: Vec::new(),
            cap: Vec::new(),
            panel_joints: (1..50).map(|i| Length::inches(10 * i)).collect(),
        };
        let made = cut_plates(&problem);
        assert_eq!(made.broken.len(), 1);
        assert_eq!(made.pieces.len(), 3);
    }
}
