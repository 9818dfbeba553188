//! The exact search for the cheapest run: dynamic programming from the right end.
//!
//! Method: (1) nodes are the places where a panel may start: the left end, every allowed joint on the grid, the far jamb
//! of every opening that may be framed; (2) from the right, the cost of finishing from a node is the least over all panels
//! that may start there of panel + joint + cost of finishing from its end; (3) a panel's cost is constant between a few
//! widths, so for each such band of widths the least is a minimum over a sliding window, kept in a monotone queue.
//!
//! Order of cost: number of nodes times number of bands. A plain double loop would do the same in nodes times widths; it
//! stands in the tests as the oracle. Among equal costs the panel that reaches farthest wins, so whole widths come first
//! from the left and the remainder stands at the right end.

use super::run::Run;
use crate::units::Length;
use std::collections::VecDeque;

/// The cheapest run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Solution {
    /// Cost in cents, bevelled ends included.
    pub(crate) cost: i64,
    /// Panels from left to right.
    pub(crate) panels: Vec<Piece>,
    /// Openings framed between panels.
    pub(crate) framed: Vec<usize>,
}

/// A full-height panel of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    pub(crate) from: Length,
    pub(crate) to: Length,
    pub(crate) left: Side,
    pub(crate) right: Side,
}

/// What bounds a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    /// The end of the run.
    End,
    /// A joint.
    Joint,
    /// The jamb of an opening that is framed.
    Jamb(usize),
}

/// Why there is no run: how far panels reach, and the first place they cannot reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Blocked {
    /// Left edge of the stretch that no panel can fill.
    pub(crate) from: Length,
    /// Right edge of it.
    pub(crate) to: Length,
}

/// A place where a panel may end and the next one start.
#[derive(Clone, Copy, Debug)]
struct Node {
    /// Right edge of the panel that ends here.
    end: Length,
    /// Left edge of the panel that starts here.
    start: Length,
    /// Right end of the module of the panel that ends here: at a joint the gap belongs to it.
    module_end: Length,
    side: Side,
    /// Cost of passing it.
    cost: i64,
}

/// The cheapest run, or why there is none.
pub(crate) fn solve(run: &Run<'_>) -> Result<Solution, Blocked> {
    let nodes = nodes(run);
    let finish = finish_costs(run, &nodes);
    let Some(Some((first_cost, _))) = finish.first() else {
        return Err(blocked(run, &nodes, &finish));
    };
    let mut panels = Vec::new();
    let mut framed = Vec::new();
    let mut at = 0;
    while let Some(Some((_, next))) = finish.get(at)
        && *next > at
        && let (Some(here), Some(there)) = (nodes.get(at), nodes.get(*next))
    {
        panels.push(Piece {
            from: here.start,
            to: there.end,
            left: here.side,
            right: there.side,
        });
        if let Side::Jamb(opening) = there.side {
            framed.push(opening);
        }
        at = *next;
    }
    Ok(Solution {
        cost: *first_cost + run.fixed_cost,
        panels,
        framed,
    })
}

fn nodes(run: &Run<'_>) -> Vec<Node> {
    let (gap, grid) = (run.rules.joints.gap, run.rules.grid);
    let mut nodes = vec![Node {
        end: Length::ZERO,
        start: Length::ZERO,
        module_end: Length::ZERO,
        side: Side::End,
        cost: 0,
    }];
    let steps = run.length.steps_of(grid);
    let mut blocked = run.forbidden.iter().peekable();
    let mut reach = Length::nanometres(i64::MIN / 4);
    for step in 1..=steps {
        let start = grid * step;
        // Intervals are sorted by their start: all that start left of the joint's right side, and how far they reach.
        while let Some(next) = blocked.peek()
            && next.from < start
        {
            reach = reach.max(next.to);
            blocked.next();
        }
        if start < run.length && start - gap >= reach && start > gap {
            nodes.push(Node {
                end: start - gap,
                start,
                module_end: start,
                side: Side::Joint,
                cost: run.joint_cost(start),
            });
        }
    }
    for (index, (from, to)) in run.openings.iter().enumerate() {
        let leg = run.rules.openings.least_leg;
        let has_leg =
            index == 0 || run.must_frame[index - 1] || run.openings[index - 1].1 + leg <= *from;
        if run.may_frame[index] && has_leg && *from > Length::ZERO && *to < run.length {
            nodes.push(Node {
                end: *from,
                start: *to,
                module_end: *from,
                side: Side::Jamb(index),
                cost: run.rules.cost.framed_opening,
            });
        }
    }
    nodes.push(Node {
        end: run.length,
        start: run.length,
        module_end: run.length,
        side: Side::End,
        cost: 0,
    });
    nodes.sort_by_key(|node| (node.start, node.end));
    nodes
}

/// For each node the least cost of everything to its right, and the node where its panel ends; `None` when unreachable.
fn finish_costs(run: &Run<'_>, nodes: &[Node]) -> Vec<Option<(i64, usize)>> {
    let mut finish: Vec<Option<(i64, usize)>> = vec![None; nodes.len()];
    let Some(last) = nodes.len().checked_sub(1) else {
        return finish;
    };
    finish[last] = Some((0, last));
    let steps = run.cost_steps();
    let mut bands: Vec<Band> = steps
        .windows(2)
        .filter_map(|pair| Some(Band::new(pair[0], pair[1], run.panel_cost(pair[0])?.1)))
        .collect();
    // Panel ends sorted from the right; a jamb's end lies left of its start, so ends have an order of their own.
    let mut by_end: Vec<usize> = (1..nodes.len()).collect();
    by_end.sort_by_key(|index| std::cmp::Reverse((nodes[*index].module_end, *index)));
    for here in (0..last).rev() {
        let Node { start, side, .. } = nodes[here];
        let limit = limit(run, start, side);
        if let Side::Jamb(_) = side {
            // Few, and their limit may lie left of a joint's: looked at one by one.
            let ends = (here + 1..nodes.len())
                .filter(|end| nodes[*end].end <= limit && nodes[*end].end > start);
            let totals = ends.filter_map(|end| {
                let panel = run.panel_cost(nodes[end].module_end - start)?.1;
                let (rest, _) = finish[end]?;
                Some((
                    panel + nodes[end].cost + rest,
                    std::cmp::Reverse(nodes[end].module_end),
                    end,
                ))
            });
            finish[here] = totals.min().map(|(total, _, end)| (total, end));
            continue;
        }
        let mut best: Option<(i64, Length, usize)> = None;
        for band in &mut bands {
            band.advance(start, limit, nodes, &by_end, &finish);
            if let Some((rest, end)) = band.least() {
                let total = rest + band.cost;
                let reach = nodes[end].module_end;
                if best.is_none_or(|(cost, far, _)| total < cost || (total == cost && reach > far))
                {
                    best = Some((total, reach, end));
                }
            }
        }
        finish[here] = best.map(|(cost, _, end)| (cost, end));
    }
    finish
}

/// How far a panel that starts here may reach: to the first opening that it may not hold whole.
fn limit(run: &Run<'_>, start: Length, side: Side) -> Length {
    let leg = if matches!(side, Side::Jamb(_)) {
        run.rules.openings.least_leg
    } else {
        Length::ZERO
    };
    let openings = run.openings.iter().zip(&run.must_frame);
    let stops =
        openings.filter(|((from, _), must)| *from >= start && (**must || *from < start + leg));
    stops
        .map(|((from, _), _)| *from)
        .min()
        .unwrap_or(run.length)
}

/// Panels whose widths cost the same: a window over panel ends that slides left with the panel's start.
struct Band {
    least: Length,
    /// First width of the next band.
    beyond: Length,
    cost: i64,
    /// Position in `by_end` of the next end to take in.
    next: usize,
    /// Node indices, costs rising from front to back.
    queue: VecDeque<(i64, usize)>,
}

impl Band {
    fn new(least: Length, beyond: Length, cost: i64) -> Self {
        Self {
            least,
            beyond,
            cost,
            next: 0,
            queue: VecDeque::new(),
        }
    }

    /// Moves the window to panels that start at `start`.
    fn advance(
        &mut self,
        start: Length,
        limit: Length,
        nodes: &[Node],
        by_end: &[usize],
        finish: &[Option<(i64, usize)>],
    ) {
        while let Some(index) = by_end.get(self.next)
            && nodes[*index].module_end >= start + self.least
        {
            self.next += 1;
            if let Some((rest, _)) = finish[*index] {
                let total = rest + nodes[*index].cost;
                // On equal cost the farther end, already in the queue, stays.
                while self.queue.back().is_some_and(|(cost, _)| *cost > total) {
                    self.queue.pop_back();
                }
                self.queue.push_back((total, *index));
            }
        }
        // Starts move left, and with them the limit: what is out of reach now stays out of reach.
        let reach = limit.min(start + self.beyond - Length::nanometres(1));
        while self
            .queue
            .front()
            .is_some_and(|(_, index)| nodes[*index].module_end > reach)
        {
            self.queue.pop_front();
        }
    }

    fn least(&self) -> Option<(i64, usize)> {
        self.queue.front().copied()
    }
}

/// The stretch that stops a run: from where panels reach when laid from the right, to the last place reached.
fn blocked(run: &Run<'_>, nodes: &[Node], finish: &[Option<(i64, usize)>]) -> Blocked {
    let reached = nodes
        .iter()
        .zip(finish)
        .find(|(_, finish)| finish.is_some())
        .map_or(run.length, |(node, _)| node.end);
    let widest = super::run::widest(run.rules, run.height);
    Blocked {
        from: (reached - widest).max(Length::ZERO),
        to: reached,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::run::Forbidden;
    use crate::rules::PlantRules;

    fn run<'a>(rules: &'a PlantRules, length: i64, openings: &[(i64, i64)]) -> Run<'a> {
        let openings: Vec<_> = openings
            .iter()
            .map(|(a, b)| (Length::inches(*a), Length::inches(*b)))
            .collect();
        let keep = rules.joints.from_opening;
        let forbidden = openings
            .iter()
            .map(|(a, b)| Forbidden {
                from: *a - keep,
                to: *b + keep,
                rule: "joints.from_opening",
                words: String::new(),
            })
            .collect();
        let wide = |(a, b): &(Length, Length)| *b - *a > rules.openings.whole_up_to;
        Run {
            rules,
            length: Length::inches(length),
            height: Length::inches(108),
            may_frame: vec![true; openings.len()],
            must_frame: openings.iter().map(wide).collect(),
            openings,
            forbidden,
            pounds_per_sq_ft: 3.385,
            fixed_cost: 0,
        }
    }

    /// Every way to cut the run, by trying all panels from every node: the oracle for the sliding windows.
    fn brute(run: &Run<'_>) -> Option<i64> {
        let nodes = nodes(run);
        let last = nodes.len() - 1;
        let mut least: Vec<Option<i64>> = vec![None; nodes.len()];
        least[last] = Some(0);
        for here in (0..last).rev() {
            let limit = limit(run, nodes[here].start, nodes[here].side);
            least[here] = (0..nodes.len())
                .filter(|end| {
                    nodes[*end].end > nodes[here].start && nodes[*end].end <= limit && *end != here
                })
                .filter_map(|end| {
                    Some(
                        run.panel_cost(nodes[end].module_end - nodes[here].start)?.1
                            + nodes[end].cost
                            + least[end]?,
                    )
                })
                .min();
        }
        least[0]
    }

    #[test]
    fn the_search_costs_what_trying_everything_costs() {
        let rules = PlantRules {
            grid: Length::fraction(0, 1, 2),
            ..PlantRules::default()
        };
        let mut seed = 7_u64;
        let mut below = |n: i64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            i64::try_from(seed >> 33).unwrap() % n
        };
        let mut solved = 0;
        for _ in 0..300 {
            let length = 40 + below(500);
            let mut openings = Vec::new();
            let mut x = below(60);
            while x + 24 < length && openings.len() < 6 {
                let to = x + 20 + below(120);
                if to + 2 < length {
                    openings.push((x, to));
                }
                x = to + 3 + below(90);
            }
            let run = run(&rules, length, &openings);
            assert_eq!(
                solve(&run).ok().map(|s| s.cost),
                brute(&run),
                "{length} {openings:?}"
            );
            solved += usize::from(solve(&run).is_ok());
        }
        assert!(solved > 100, "most random walls can be panelled: {solved}");
    }

    #[test]
    fn a_plain_wall_takes_whole_panels_first_and_the_rest_at_its_right_end() {
        let rules = PlantRules::default();
        let solution = solve(&run(&rules, 323, &[])).unwrap();
        let widths: Vec<String> = solution
            .panels
            .iter()
            .map(|p| (p.to - p.from).to_string())
            .collect();
        // 26'-11": three jumbo modules of 96 (net 95 7/8) and 35 in left.
        assert_eq!(widths, ["95 7/8\"", "95 7/8\"", "95 7/8\"", "35\""]);
    }

    #[test]
    fn a_garage_door_is_framed_between_panels() {
        let rules = PlantRules::default();
        let solution = solve(&run(&rules, 400, &[(100, 292)])).unwrap();
        assert_eq!(solution.framed, [0]);
        assert!(
            solution.panels.iter().any(|p| p.right == Side::Jamb(0))
                && solution.panels.iter().any(|p| p.left == Side::Jamb(0))
        );
    }

    #[test]
    fn a_run_that_cannot_be_cut_says_where() {
        let rules = PlantRules::default();
        // Windows so close that no joint fits over 10 feet.
        let openings: Vec<(i64, i64)> = (0..8).map(|i| (20 + i * 30, 42 + i * 30)).collect();
        let mut run = run(&rules, 300, &openings);
        run.may_frame = vec![false; 8];
        let blocked = solve(&run).unwrap_err();
        assert!(blocked.from < blocked.to);
    }
}
