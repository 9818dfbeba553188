//! A pile: what may go on it next, and the stack that it is in the end.
//!
//! ```text
//!   ┌────┐          from its end: it grows panel by panel until two or more of one thickness lie side by side on one; from there
//!   ├────┼──────┐   on column by column, none wider than its lowest panel, so that columns never meet
//!   ├────┼──────┤
//!   ├────┴──────┤
//!   └───────────┘
//! ```

use super::model::{LoadedPanel, Stack};
use crate::rules::ShippingRules;
use crate::units::Length;

/// Panels lying on each other; each is named by its place in the run.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pile {
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) height: Length,
    /// Which lane it stands in.
    pub(super) lane: usize,
    /// The lowest panel.
    bottom: usize,
    /// The one on top; where it forks the lowest of the first column.
    top: usize,
    /// What the top lies on; where it forks what all columns stand on.
    under: Option<usize>,
    /// How high that is.
    foot: Length,
    /// Side by side, two or more; none where it does not fork.
    columns: Vec<Column>,
}

/// Panels on each other beside others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Column {
    width: Length,
    /// Above the pile's underside.
    height: Length,
    /// The one on top.
    top: usize,
}

/// A place for the next panel: its column, the pile as it then is, and what it leaves of what it lies on.
type Place = (usize, Pile, Length);

impl Pile {
    /// A panel on the deck.
    pub(super) fn of(panel: &LoadedPanel, at: usize, lane: usize) -> Self {
        Self {
            length: panel.length,
            width: panel.width,
            height: panel.thickness,
            lane,
            bottom: at,
            top: at,
            ..Self::default()
        }
    }

    /// Panels on each other in one column, from the bottom up.
    pub(super) fn of_all(run: &[LoadedPanel], own: &[usize], lane: usize) -> Self {
        let mut panels = own.iter().filter_map(|at| Some((run.get(*at)?, *at)));
        let Some((lowest, at)) = panels.next() else {
            return Self::default();
        };
        let first = Self::of(lowest, at, lane);
        panels.fold(first, |pile, (panel, at)| pile.grown(panel, at))
    }

    /// True where panels lie side by side.
    pub(super) const fn forks(&self) -> bool {
        !self.columns.is_empty()
    }

    /// With one more on top of all.
    fn grown(&self, panel: &LoadedPanel, at: usize) -> Self {
        Self {
            height: self.height + panel.thickness,
            top: at,
            under: Some(self.top),
            foot: self.height,
            ..self.widened(panel.length, panel.width)
        }
    }

    /// Every place for the next panel.
    pub(super) fn places(
        &self,
        run: &[LoadedPanel],
        (at, panel): (usize, &LoadedPanel),
        shipping: &ShippingRules,
        may_fork: bool,
    ) -> Vec<Place> {
        let over = shipping.overhang;
        let lies = |on: usize| {
            let on = run
                .get(on)
                .filter(|on| panel.length <= on.length + over && panel.width <= on.width + over)?;
            Some(apart(on.length, panel.length) + apart(on.width, panel.width))
        };
        if lies(self.bottom).is_none() {
            return Vec::new();
        }
        let mut found = Vec::new();
        if may_fork {
            found.extend(self.beside(run, (at, panel), over));
        }
        if self.columns.is_empty()
            && let Some(left) = lies(self.top)
        {
            found.push((0, self.grown(panel, at), left));
        }
        for (index, column) in self.columns.iter().enumerate() {
            let Some(left) = lies(column.top).filter(|_| panel.width <= column.width) else {
                continue;
            };
            let height = column.height + panel.thickness;
            let mut grown = self.widened(panel.length, Length::ZERO);
            grown.height = grown.height.max(height);
            if let Some(column) = grown.columns.get_mut(index) {
                (column.height, column.top) = (height, at);
            }
            found.push((index, grown, left));
        }
        found.retain(|(_, pile, _)| pile.height <= shipping.clear_height());
        found
    }

    /// Beside what lies on the last but one, where both have one thickness and it has the width.
    fn beside(
        &self,
        run: &[LoadedPanel],
        (at, panel): (usize, &LoadedPanel),
        over: Length,
    ) -> Option<Place> {
        let (first, under) = (run.get(self.top)?, run.get(self.under?)?);
        let lowest = run.get(self.bottom)?;
        let mut columns = self.columns.clone();
        if columns.is_empty() {
            columns.push(Column {
                width: first.width,
                height: self.height,
                top: self.top,
            });
        }
        let width = columns.iter().map(|it| it.width).sum::<Length>() + panel.width;
        let has_room = panel.length <= under.length + over
            && width <= under.width.min(lowest.width) + over
            && panel.thickness == first.thickness;
        if !has_room {
            return None;
        }
        let column = columns.len();
        let height = self.foot + panel.thickness;
        columns.push(Column {
            width: panel.width,
            height,
            top: at,
        });
        let grown = Self {
            height: self.height.max(height),
            columns,
            ..self.widened(panel.length, width)
        };
        // What is left beside is left in any case: a layer that is filled costs nothing.
        Some((column, grown, Length::ZERO))
    }

    fn widened(&self, length: Length, width: Length) -> Self {
        Self {
            length: self.length.max(length),
            width: self.width.max(width),
            ..self.clone()
        }
    }

    /// The pile as a stack, each panel in the middle of what it lies on.
    ///
    /// - `own`: column and place in the run of each of its panels, from the bottom up.
    pub(super) fn stack(
        &self,
        run: &[LoadedPanel],
        own: impl Iterator<Item = (usize, usize)>,
    ) -> Stack {
        let forks = !self.columns.is_empty();
        let beside: Length = self.columns.iter().map(|it| it.width).sum();
        // By column: how high it is, and its layers.
        let mut grown = vec![(Length::ZERO, 0_u32); self.columns.len().max(1)];
        let mut is_forked = false;
        let mut panels = Vec::new();
        for (column, at) in own {
            let Some(panel) = run.get(at) else { continue };
            let from = if is_forked { column } else { 0 };
            let (bottom, layer) = grown.get(from).copied().unwrap_or_default();
            let (start, room) = if is_forked {
                let before = self.columns.iter().take(column).map(|it| it.width);
                let start = (self.width - beside).half() + before.sum::<Length>();
                let own = self.columns.get(column);
                (start, own.map_or(panel.width, |it| it.width))
            } else {
                (Length::ZERO, self.width)
            };
            panels.push(LoadedPanel {
                layer: layer + 1,
                column: if is_forked { column + 1 } else { 0 },
                bottom,
                across: start + (room - panel.width).half(),
                ..panel.clone()
            });
            if let Some(it) = grown.get_mut(from) {
                *it = (bottom + panel.thickness, layer + 1);
            }
            if forks && self.under == Some(at) {
                is_forked = true;
                let foot = grown.first().copied().unwrap_or_default();
                grown.fill(foot);
            }
        }
        let mut heights = grown.iter().map(|it| it.0);
        let first = heights.next();
        Stack {
            length: self.length,
            width: self.width,
            height: self.height,
            panels,
            columns: self.columns.len(),
            is_level: heights.all(|it| Some(it) == first),
            ..Stack::default()
        }
    }
}

fn apart(a: Length, b: Length) -> Length {
    (a - b).max(b - a)
}
