//! The wall an elevation shows, or the part of a long one between two match lines, with its panels in order from the left.

use super::ElevationInput;
use crate::building::{PanelWall, RoughOpening};
use crate::documents::left_out::is_left_out;
use crate::documents::paper::frame::Paper;
use crate::documents::paper::style::Lettering;
use crate::documents::plan_view::grid_on_wall;
use crate::fabrication::{FabricatedPanel, WallPlate};
use crate::geometry::ShopRect;
use crate::layout::{Panel, PlateUse, RunPiece, WallEnd, WallLayout};
use crate::units::Length;

/// A wall with panels, or one that cannot be panelled.
#[derive(Clone, Debug)]
pub(super) struct Subject<'a> {
    pub(super) input: &'a ElevationInput<'a>,
    pub(super) index: usize,
    pub(super) wall: &'a PanelWall,
    pub(super) run: &'a WallLayout,
    /// Its panels from left to right, header and sill panels too.
    pub(super) panels: Vec<(&'a Panel, &'a FabricatedPanel)>,
    /// Where what is shown begins and ends, in run axes.
    pub(super) from: Length,
    pub(super) to: Length,
    /// Which part it is and of how many.
    pub(super) part: [usize; 2],
    /// Where a part goes on at its left and right: sheet and view.
    pub(super) goes_on: [String; 2],
}

impl<'a> Subject<'a> {
    /// The wall; `None` when it has neither panels nor any length.
    pub(super) fn new(input: &'a ElevationInput<'a>, index: usize) -> Option<Self> {
        let wall = input.building.walls.get(index)?;
        let run = input.layout.walls.iter().find(|run| run.wall == index)?;
        let mut panels: Vec<(&Panel, &FabricatedPanel)> = input
            .fabrication
            .panels
            .iter()
            .filter(|made| made.wall == index)
            .filter_map(|made| Some((input.layout.panels.get(made.panel)?, made)))
            .collect();
        panels.sort_by_key(|(laid, _)| (laid.rect.x0, laid.rect.y0));
        let is_shown = !panels.is_empty() || is_left_out(run) && run.length() > Length::ZERO;
        is_shown.then_some(Self {
            input,
            index,
            wall,
            run,
            panels,
            from: Length::ZERO,
            to: run.length(),
            part: [1, 1],
            goes_on: Default::default(),
        })
    }

    /// True when no panel is made of it.
    pub(super) const fn is_left_out(&self) -> bool {
        is_left_out(self.run)
    }

    /// The wall in parts no longer than that, parted at joints that no panel crosses; whole where there is none.
    pub(super) fn parts(self, longest: Length) -> Vec<Self> {
        let is_free = |at: &Length| {
            let crosses = |rect: &ShopRect| rect.x0 < *at && *at < rect.x1;
            !self.panels.iter().any(|(laid, _)| crosses(&laid.rect))
        };
        let gap_end = |piece: &RunPiece| match piece {
            RunPiece::Gap { to, .. } => Some(*to),
            RunPiece::Panel { .. } | RunPiece::Opening { .. } => None,
        };
        let mut cuts: Vec<Length> = self.run.run.iter().filter_map(gap_end).collect();
        cuts.retain(is_free);
        cuts.push(self.to);
        let ends = evenly(self.from, &cuts, longest);
        let count = ends.len() - 1;
        let pairs = ends.windows(2).zip(1..);
        pairs
            .map(|(pair, number)| Self {
                from: pair[0],
                to: pair[1],
                part: [number, count],
                panels: self
                    .panels
                    .iter()
                    .filter(|(laid, _)| pair[0] <= laid.rect.x0 && laid.rect.x0 < pair[1])
                    .copied()
                    .collect(),
                ..self.clone()
            })
            .collect()
    }

    /// True when it ends at a match line at its left, at its right.
    pub(super) const fn is_cut(&self) -> [bool; 2] {
        let [number, count] = self.part;
        [number > 1, number < count]
    }

    /// What of a stretch of the run is shown: cut at match lines, whole beyond the wall's own ends.
    pub(super) fn shown(&self, from: Length, to: Length) -> Option<[Length; 2]> {
        let [left, right] = self.is_cut();
        let from = if left { from.max(self.from) } else { from };
        let to = if right { to.min(self.to) } else { to };
        (from < to).then_some([from, to])
    }

    /// The paper it is drawn on.
    pub(super) const fn paper(&self) -> Paper {
        Paper::of_plans(&self.input.facts.sheets)
    }

    /// Cap heights on that paper.
    pub(super) const fn lettering(&self) -> Lettering {
        self.paper().lettering
    }

    /// How much of the wall is shown.
    pub(super) fn length(&self) -> Length {
        self.to - self.from
    }

    /// How far panels reach below the deck.
    pub(super) fn depth(&self) -> Length {
        let skin = self.wall.stack.panel_bottom - self.wall.skin_drop;
        -skin.min(Length::ZERO)
    }

    /// The leftmost point of its plates, at most its own left end: a cap may lap over the wall at the left.
    pub(super) fn leftmost(&self) -> Length {
        let ends = self.plates().filter_map(|it| self.shown(it.from, it.to));
        ends.map(|[from, _]| from)
            .min()
            .map_or(self.from, |it| it.min(self.from))
    }

    /// Height of the next storey's deck above this one's.
    pub(super) fn next_deck(&self) -> Option<Length> {
        let storeys = &self.input.building.storeys;
        let own = storeys.get(self.wall.storey_index)?;
        let next = storeys.get(self.wall.storey_index + 1)?;
        Some(next.floor - own.floor)
    }

    /// The highest places of its panels and of its cap, which on a slope measures more upright than square to it.
    pub(super) fn tops(&self) -> [Length; 2] {
        let stack = &self.wall.stack;
        let square = stack.cap_top - stack.panel_top;
        let (from, to) = (self.run.from + self.from, self.run.from + self.to);
        let stretches = self.wall.profile.stretches();
        let highest = stretches.map(|it| {
            let [left, right] = [from.max(it.from.x), to.min(it.to.x)];
            let panel = it.at(left).max(it.at(right));
            (left < right).then(|| [panel, panel + it.upright(square)])
        });
        let none = [stack.panel_top, stack.cap_top];
        highest
            .flatten()
            .reduce(|a, b| [a[0].max(b[0]), a[1].max(b[1])])
            .unwrap_or(none)
    }

    /// The highest level drawn above the deck: the caps, or the next deck.
    pub(super) fn highest(&self) -> Length {
        let deck = self.next_deck().unwrap_or(Length::ZERO);
        self.wall.stack.cap_top.max(deck)
    }

    /// `WALL X1`, or with the name it has.
    pub(super) fn title(&self) -> String {
        let name = if self.wall.name == self.wall.id {
            format!("WALL {}", self.wall.id)
        } else {
            format!("{} WALL ({})", self.wall.name.to_uppercase(), self.wall.id)
        };
        match self.part {
            [_, 1] => name,
            [number, count] => format!("{name}, PART {number} OF {count}"),
        }
    }

    /// True when its cap laps over the wall it meets at each end that meets one.
    pub(super) fn has_lapped_cap(&self) -> bool {
        let caps = self.run.plates.iter();
        let caps: Vec<_> = caps.filter(|it| it.plate == PlateUse::Cap).collect();
        let left =
            self.run.left_end == WallEnd::Free || caps.iter().any(|it| it.from < Length::ZERO);
        let end = self.run.length();
        let right = self.run.right_end == WallEnd::Free || caps.iter().any(|it| it.to > end);
        left && right
    }

    /// What names it on a sheet: `X1`, of a part `X1-2`.
    pub(super) fn key(&self) -> String {
        match self.part {
            [_, 1] => self.wall.id.clone(),
            [number, _] => format!("{}-{number}", self.wall.id),
        }
    }

    /// Rough openings with their jambs in run axes.
    pub(super) fn openings(&self) -> impl Iterator<Item = (&'a RoughOpening, Length, Length)> + '_ {
        let from = self.run.from;
        self.wall
            .openings
            .iter()
            .map(move |opening| (opening, opening.from - from, opening.to - from))
            .filter(|(_, from, to)| self.from <= *from && *to <= self.to)
    }

    /// Where modules begin and end: at a joint the gap belongs to the panel on its left.
    pub(super) fn module_ends(&self) -> Vec<Length> {
        let mut ends = vec![Length::ZERO];
        for piece in &self.run.run {
            match piece {
                RunPiece::Panel { to, .. } => ends.push(*to),
                RunPiece::Gap { to, .. } => {
                    // The gap moves the end of the module before it.
                    ends.pop();
                    ends.push(*to);
                }
                RunPiece::Opening { to, .. } => ends.push(*to),
            }
        }
        ends.dedup();
        ends.retain(|end| (self.from..=self.to).contains(end));
        ends
    }

    /// Where the architect's grid crosses it, in run axes.
    pub(super) fn grid(&self) -> Vec<(String, Length)> {
        let storeys = &self.input.plan.storeys;
        let Some(storey) = storeys.iter().find(|it| it.id == self.wall.storey) else {
            return Vec::new();
        };
        let found = grid_on_wall(storey, &self.wall.frame, self.wall.face_length);
        let from = self.run.from;
        found
            .into_iter()
            .map(|(name, at)| (name, at - from))
            .filter(|(_, at)| {
                let [left, right] = self.is_cut();
                !(left && *at < self.from || right && *at > self.to)
            })
            .collect()
    }

    /// Middles of the joints.
    pub(super) fn joints(&self) -> Vec<Length> {
        let gap = |piece: &RunPiece| match piece {
            RunPiece::Gap { from, to } => Some(*from + (*to - *from).half()),
            RunPiece::Panel { .. } | RunPiece::Opening { .. } => None,
        };
        let all = self.run.run.iter().filter_map(gap);
        all.filter(|at| (self.from..=self.to).contains(at))
            .collect()
    }

    /// The wall's plates.
    pub(super) fn plates(&self) -> impl Iterator<Item = &'a WallPlate> + '_ {
        let plates = &self.input.fabrication.plates;
        plates.iter().filter(|plate| plate.wall == self.index)
    }
}

/// Where a wall is parted: in the fewest parts no longer than `longest`, as even as joints allow.
///
/// - `cuts`: where it may be parted, from the left, and its right end.
fn evenly(from: Length, cuts: &[Length], longest: Length) -> Vec<Length> {
    let parted = |longest: Length| {
        let mut ends = vec![from];
        for pair in cuts.windows(2) {
            if ends.last().is_some_and(|last| pair[1] - *last > longest) {
                ends.push(pair[0]);
            }
        }
        ends.extend(cuts.last());
        ends
    };
    let fewest = parted(longest);
    let starts = std::iter::once(&from).chain(cuts);
    let lengths = starts.flat_map(|a| cuts.iter().map(move |b| *b - *a));
    let mut lengths: Vec<Length> = lengths
        .filter(|it| Length::ZERO < *it && *it < longest)
        .collect();
    lengths.sort_unstable();
    lengths.dedup();
    let is_as_few = |it: &Length| {
        let ends = parted(*it);
        ends.len() <= fewest.len() && ends.windows(2).all(|pair| pair[1] - pair[0] <= *it)
    };
    lengths.into_iter().find(is_as_few).map_or(fewest, parted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wall_is_parted_evenly_in_the_fewest_parts() {
        let feet = |it: i64| Length::fraction(12 * it, 0, 1);
        let modules = |ends: &[i64]| ends.iter().map(|it| feet(*it)).collect::<Vec<_>>();
        // 300 ft of 8 ft panels in parts of 96 ft: three of 80 ft and 60 ft, not 96 three times and 12.
        let mut cuts: Vec<i64> = (1..38).map(|it| 8 * it).collect();
        cuts.push(300);
        let found = evenly(Length::ZERO, &modules(&cuts), feet(96));
        assert_eq!(found, modules(&[0, 80, 160, 240, 300]));
        let found = evenly(Length::ZERO, &modules(&[7, 15, 19]), feet(15));
        assert_eq!(found, modules(&[0, 7, 19]));
        // One part, and a piece longer than any part may be.
        let found = evenly(Length::ZERO, &modules(&[7, 15, 19]), feet(20));
        assert_eq!(found, modules(&[0, 19]));
        let found = evenly(Length::ZERO, &modules(&[7, 40, 47]), feet(20));
        assert_eq!(found, modules(&[0, 7, 40, 47]));
    }
}
