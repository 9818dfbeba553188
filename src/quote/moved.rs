//! What an assumed figure moves: heights of openings that nobody stated, and the lines of a quote that differ when one does.

use super::{QuoteOptions, Run};
use crate::building::{RoughOpening, SizeOrigin};
use crate::estimate::quantities;
use crate::plan::OpeningKind;
use crate::rules::PlantRules;
use crate::units::Length;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// A height of openings that may be assumed.
pub(super) struct Figure {
    pub(super) kind: OpeningKind,
    pub(super) option: &'static str,
    pub(super) is_typed: bool,
    pub(super) is_head: bool,
}

impl Figure {
    /// Where an opening has it from.
    pub(super) const fn origin(&self, opening: &RoughOpening) -> SizeOrigin {
        if self.is_head {
            opening.head_origin
        } else {
            opening.height_origin
        }
    }

    /// What the figure decides of an opening.
    pub(super) fn of(&self, opening: &RoughOpening) -> Length {
        if self.is_head {
            opening.head
        } else {
            opening.height()
        }
    }
}

pub(super) fn figures(options: &QuoteOptions) -> [Figure; 3] {
    let figure = |kind, option, typed: &Option<String>, is_head| Figure {
        kind,
        option,
        is_typed: typed.is_some(),
        is_head,
    };
    let (door, window) = (OpeningKind::Door, OpeningKind::Window);
    [
        figure(door, "--door-height", &options.door_height, false),
        figure(window, "--window-height", &options.window_height, false),
        figure(window, "--window-head", &options.window_head, true),
    ]
}

pub(super) fn openings_of(run: &Run) -> impl Iterator<Item = &RoughOpening> {
    run.building.walls.iter().flat_map(|wall| &wall.openings)
}

/// Which quantities an assumed figure moves.
pub(super) struct Moved {
    before: BTreeMap<String, Decimal>,
    pub(super) items: BTreeSet<String>,
}

impl Moved {
    pub(super) fn new(run: &Run, rules: &PlantRules) -> Self {
        Self {
            before: by_item(run, rules),
            items: BTreeSet::new(),
        }
    }

    /// Takes in what differs when a figure does.
    pub(super) fn compare(&mut self, run: &Run, rules: &PlantRules) {
        let after = by_item(run, rules);
        let differs = self
            .before
            .iter()
            .filter(|(item, n)| after.get(*item) != Some(n));
        self.items.extend(differs.map(|(item, _)| item.clone()));
    }
}

fn by_item(run: &Run, rules: &PlantRules) -> BTreeMap<String, Decimal> {
    let lines = quantities(&run.building, &run.fabrication, &run.loads, rules);
    lines.into_iter().map(|it| (it.item, it.quantity)).collect()
}
