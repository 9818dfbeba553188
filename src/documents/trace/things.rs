//! What is no wall, named on the trace: furniture, stairs, roof lines and the like, where it is asked for.

use super::labels::{LEVEL, Label, plain};
use super::sign::Sign;
use crate::documents::paper::Area;
use crate::documents::paper::style::Lettering;
use crate::documents::plan_view::{Candidate, LabelBox, PlanView};
use crate::plan::{Unclaimed, UnclaimedKind};
use std::collections::BTreeMap;

/// What is smaller on paper is counted in the legend alone, mm.
const LEAST: f64 = 2.0;

/// The word for each thing: on it, else beside it with a leader.
pub(super) fn thing_labels(
    things: &[Unclaimed],
    view: &PlanView,
    lettering: &Lettering,
    window: &Area,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for thing in things {
        let foot = view.paper(thing.at);
        let [low, high] = thing.bounds.map(|p| view.paper(p));
        let size = (high.x - low.x).abs().max((high.y - low.y).abs());
        if !window.holds(&Area::of(foot, foot)) || size < LEAST {
            continue;
        }
        let sign = Sign::Thing(thing.kind.name());
        let (width, height) = sign.size(lettering);
        let mut label = Label::new(sign, *lettering, Vec::new());
        let middle = (low + high) / 2.0;
        label.push(
            plain(middle),
            Candidate {
                boxes: vec![LabelBox::about(middle, width, height, LEVEL)],
                lines: Vec::new(),
                cost: 0.0,
            },
        );
        label.push_round(foot, [width, height], &[3.0, 6.0, 10.0, 16.0, 24.0]);
        labels.push(label);
    }
    labels
}

/// How many there are of each kind.
pub(super) fn thing_words(things: &[Unclaimed]) -> String {
    let mut counts: BTreeMap<UnclaimedKind, usize> = BTreeMap::new();
    for thing in things {
        *counts.entry(thing.kind).or_default() += 1;
    }
    let words = counts
        .iter()
        .map(|(kind, count)| format!("{} {count}", kind.name()));
    format!(
        "No wall, by kind: {}.",
        words.collect::<Vec<_>>().join(", ")
    )
}
