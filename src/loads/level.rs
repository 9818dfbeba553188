//! Levels the stacks of a truck: what one has too much of goes onto a lower one.
//!
//! ```text
//!   ┌──┐                     a panel goes from one stack onto another, between those set before and after it there, where both stay as they
//!   ├──┤                     may lie; no stack gets longer or wider, and none is piled up that is narrower than the one it came from
//!   ├──┤ ┌──┐   ┌──┐ ┌──┐
//!   └──┘ └──┘   └──┘ └──┘    a stack that stands high on one side of the deck leans in every bend
//! ```

use super::model::LoadedPanel;
use crate::rules::ShippingRules;
use crate::units::Length;

/// Moves panels between stacks while that brings two heights nearer to each other, the most first. The squares of all heights add up
/// to less each time: it ends.
///
/// - `stacks`: places in the run, from the bottom up, so falling. None is left empty.
pub(super) fn level(stacks: &mut [Vec<usize>], run: &[LoadedPanel], shipping: &ShippingRules) {
    while let Some((from, at, to)) = best_move(stacks, run, shipping) {
        let Some(panel) = stacks.get_mut(from).map(|it| it.remove(at)) else {
            return;
        };
        if let Some(stack) = stacks.get_mut(to) {
            put(stack, panel);
        }
    }
}

/// Which stack a panel leaves, its place there, and where it goes.
fn best_move(
    stacks: &[Vec<usize>],
    run: &[LoadedPanel],
    shipping: &ShippingRules,
) -> Option<(usize, usize, usize)> {
    let sizes: Vec<[Length; 3]> = stacks.iter().map(|it| size(it, run)).collect();
    let mut best: Option<(Length, (usize, usize, usize))> = None;
    for (from, stack) in stacks.iter().enumerate() {
        for (to, other) in stacks.iter().enumerate() {
            let (Some([_, wide, high]), Some([_, room, low])) = (sizes.get(from), sizes.get(to))
            else {
                continue;
            };
            if *wide > *room + shipping.overhang {
                continue;
            }
            for (at, panel) in stack.iter().enumerate() {
                let thickness = run.get(*panel).map_or(Length::ZERO, |it| it.thickness);
                let gain = *high - *low - thickness;
                if gain <= Length::ZERO || best.as_ref().is_some_and(|it| it.0 >= gain) {
                    continue;
                }
                let (mut left, mut grown) = (stack.clone(), other.clone());
                left.remove(at);
                put(&mut grown, *panel);
                if lies(&left, run, shipping) && lies(&grown, run, shipping) {
                    let [long, wide, _] = size(&grown, run);
                    if sizes
                        .get(to)
                        .is_some_and(|it| long <= it[0] && wide <= it[1])
                    {
                        best = Some((gain, (from, at, to)));
                    }
                }
            }
        }
    }
    best.map(|it| it.1)
}

/// Into its place: what is set later lies lower.
fn put(stack: &mut Vec<usize>, panel: usize) {
    let at = stack.iter().take_while(|it| **it > panel).count();
    stack.insert(at, panel);
}

/// Length, width and height.
fn size(stack: &[usize], run: &[LoadedPanel]) -> [Length; 3] {
    let panels = stack.iter().filter_map(|at| run.get(*at));
    panels.fold([Length::ZERO; 3], |[long, wide, high], it| {
        [long.max(it.length), wide.max(it.width), high + it.thickness]
    })
}

/// True when nothing overhangs what it lies on, nor the lowest, by more than the rule.
fn lies(stack: &[usize], run: &[LoadedPanel], shipping: &ShippingRules) -> bool {
    let over = shipping.overhang;
    let panels: Vec<&LoadedPanel> = stack.iter().filter_map(|at| run.get(*at)).collect();
    let holds = |low: &LoadedPanel, it: &LoadedPanel| {
        it.length <= low.length + over && it.width <= low.width + over
    };
    let on_next = panels.iter().zip(panels.iter().skip(1));
    let on_first = panels
        .first()
        .is_none_or(|low| panels.iter().all(|it| holds(low, it)));
    on_first && on_next.into_iter().all(|(low, it)| holds(low, it))
}
