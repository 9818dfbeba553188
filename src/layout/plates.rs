//! Plates of a wall from stock lengths: no joint near a panel joint or near a joint of the next plate.
//!
//! Method: dynamic programming over an inch grid of allowed joints; fewest pieces first, then least length bought. The top
//! plate is cut first, the cap keeps away from its joints, the sole only from panel joints. Source of the offset: R602.3.2
//! for plate joints, common practice for panel joints.

use super::{PlateRun, PlateUse, WallEnd};
use crate::rules::{PlantRules, SoleAtDoors};
use crate::units::Length;

/// What a wall's plates are cut for, run axes.
#[derive(Clone, Debug)]
pub(crate) struct PlateProblem<'a> {
    pub(crate) rules: &'a PlantRules,
    pub(crate) length: Length,
    pub(crate) section: &'a str,
    pub(crate) cap_section: &'a str,
    pub(crate) left: WallEnd,
    pub(crate) right: WallEnd,
    /// Thickness of the walls met at the left and at the right.
    pub(crate) neighbours: [Length; 2],
    /// Middles of the panel joints.
    pub(crate) panel_joints: Vec<Length>,
    /// Rough jambs of openings that reach the deck.
    pub(crate) doors: Vec<(Length, Length)>,
    /// Rough jambs of openings that reach the top plate.
    pub(crate) full_height: Vec<(Length, Length)>,
}

/// The plates, and those whose joints had to break the rule.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plates {
    /// Without marks.
    pub(crate) pieces: Vec<PlateRun>,
    /// Plates for which no joints keep the distance.
    pub(crate) broken: Vec<PlateUse>,
}

/// Cuts sole, top and cap plates.
pub(crate) fn plates(problem: &PlateProblem<'_>) -> Plates {
    let mut made = Plates::default();
    let sole = match problem.rules.plates.sole_at_doors {
        SoleAtDoors::Stops => without((Length::ZERO, problem.length), &problem.doors),
        SoleAtDoors::RunsThrough => vec![(Length::ZERO, problem.length)],
    };
    lay(
        problem,
        PlateUse::Sole,
        &sole,
        &problem.panel_joints,
        &mut made,
    );
    let top = without((Length::ZERO, problem.length), &problem.full_height);
    let top_joints = lay(
        problem,
        PlateUse::Top,
        &top,
        &problem.panel_joints,
        &mut made,
    );
    if problem.rules.plates.has_cap {
        let avoid: Vec<Length> = problem
            .panel_joints
            .iter()
            .chain(&top_joints)
            .copied()
            .collect();
        lay(
            problem,
            PlateUse::Cap,
            &[cap_span(problem)],
            &avoid,
            &mut made,
        );
    }
    made
}

/// The cap of the butting wall runs over the wall that runs through, so that corners are tied across.
fn cap_span(problem: &PlateProblem<'_>) -> (Length, Length) {
    let lap = |end: WallEnd, thickness: Length| match end {
        WallEnd::Butt => thickness,
        WallEnd::Through => -thickness,
        WallEnd::Mitre { .. } | WallEnd::Free => Length::ZERO,
    };
    let [left, right] = problem.neighbours;
    (
        Length::ZERO - lap(problem.left, left),
        problem.length + lap(problem.right, right),
    )
}

fn without(span: (Length, Length), holes: &[(Length, Length)]) -> Vec<(Length, Length)> {
    let mut spans = Vec::new();
    let mut from = span.0;
    for (a, b) in holes {
        if *a > from {
            spans.push((from, *a));
        }
        from = from.max(*b);
    }
    if from < span.1 {
        spans.push((from, span.1));
    }
    spans
}

/// Cuts each span and returns the joints.
fn lay(
    problem: &PlateProblem<'_>,
    plate: PlateUse,
    spans: &[(Length, Length)],
    avoid: &[Length],
    made: &mut Plates,
) -> Vec<Length> {
    let section = if plate == PlateUse::Cap {
        problem.cap_section
    } else {
        problem.section
    };
    let mut joints = Vec::new();
    for (from, to) in spans {
        let rules = &problem.rules.plates;
        let cuts = cut(
            *from,
            *to,
            avoid,
            rules.joint_offset,
            rules.least_piece,
            &rules.stock_lengths,
        )
        .unwrap_or_else(|| {
            if !made.broken.contains(&plate) {
                made.broken.push(plate);
            }
            cut(
                *from,
                *to,
                &[],
                Length::ZERO,
                Length::ZERO,
                &rules.stock_lengths,
            )
            .unwrap_or_default()
        });
        let stops: Vec<Length> = std::iter::once(*from)
            .chain(cuts.iter().copied())
            .chain([*to])
            .collect();
        for pair in stops.windows(2) {
            made.pieces.push(PlateRun {
                mark: String::new(),
                plate,
                section: section.to_owned(),
                from: pair[0],
                to: pair[1],
            });
        }
        joints.extend(cuts);
    }
    joints
}

/// The joints of one span: fewest pieces, then least length bought, then the farthest first joint.
fn cut(
    from: Length,
    to: Length,
    avoid: &[Length],
    offset: Length,
    least: Length,
    stock: &[Length],
) -> Option<Vec<Length>> {
    let longest = stock.last().copied()?;
    if to - from <= longest {
        return Some(Vec::new());
    }
    let inch = Length::inches(1);
    let bought = |piece: Length| {
        stock
            .iter()
            .find(|length| **length >= piece)
            .map(|length| length.steps_of(inch))
    };
    let mut stops = vec![from];
    stops.extend(
        (1..=(to - from).steps_of(inch))
            .map(|step| from + inch * step)
            .filter(|x| *x < to && avoid.iter().all(|joint| (*x - *joint).abs() >= offset)),
    );
    stops.push(to);
    let last = stops.len() - 1;
    // From the right: pieces, inches bought, and the next stop.
    let mut best: Vec<Option<(i64, i64, usize)>> = vec![None; stops.len()];
    best[last] = Some((0, 0, last));
    for here in (0..last).rev() {
        let options = (here + 1..=last).rev().filter_map(|next| {
            let piece = stops[next] - stops[here];
            let (pieces, inches, _) = best[next].filter(|_| piece >= least)?;
            Some((pieces + 1, inches + bought(piece)?, next))
        });
        best[here] = options
            .min_by_key(|(pieces, inches, next)| (*pieces, *inches, std::cmp::Reverse(*next)));
    }
    let mut joints = Vec::new();
    let mut at = best[0]?.2;
    while at != last {
        joints.push(stops[at]);
        at = best[at]?.2;
    }
    Some(joints)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joints_keep_two_feet_from_panel_joints() {
        let rules = PlantRules::default();
        let panel_joints: Vec<Length> = (1..11).map(|i| Length::inches(48 * i)).collect();
        let joints = cut(
            Length::ZERO,
            Length::inches(528),
            &panel_joints,
            rules.plates.joint_offset,
            rules.plates.least_piece,
            &rules.plates.stock_lengths,
        )
        .unwrap();
        assert_eq!(joints.len(), 2, "44 ft from 20 ft stock: three pieces");
        for joint in &joints {
            assert!(
                panel_joints
                    .iter()
                    .all(|other| (*joint - *other).abs() >= Length::inches(24))
            );
        }
    }

    #[test]
    fn what_cannot_keep_its_distance_says_so() {
        let avoid: Vec<Length> = (0..60).map(|i| Length::inches(10 * i)).collect();
        let stock = [Length::inches(240)];
        assert_eq!(
            cut(
                Length::ZERO,
                Length::inches(500),
                &avoid,
                Length::inches(24),
                Length::ZERO,
                &stock
            ),
            None
        );
    }
}
