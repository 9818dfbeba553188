//! The wall an elevation shows, with its panels in order from the left.

use super::ElevationInput;
use crate::building::{PanelWall, RoughOpening};
use crate::documents::paper::frame::Paper;
use crate::documents::plan_view::grid_on_wall;
use crate::fabrication::{FabricatedPanel, WallPlate};
use crate::layout::{Panel, RunPiece, WallLayout};
use crate::units::Length;

/// A wall with panels.
#[derive(Clone, Debug)]
pub(super) struct Subject<'a> {
    pub(super) input: &'a ElevationInput<'a>,
    pub(super) index: usize,
    pub(super) wall: &'a PanelWall,
    pub(super) run: &'a WallLayout,
    /// Its panels from left to right, header and sill panels too.
    pub(super) panels: Vec<(&'a Panel, &'a FabricatedPanel)>,
}

impl<'a> Subject<'a> {
    /// The wall; `None` when it has no panels.
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
        (!panels.is_empty()).then_some(Self {
            input,
            index,
            wall,
            run,
            panels,
        })
    }

    /// The paper it is drawn on.
    pub(super) const fn paper(&self) -> Paper {
        Paper::of_plans(&self.input.facts.sheets)
    }

    pub(super) fn length(&self) -> Length {
        self.run.length()
    }

    /// Height of the next storey's deck above this one's.
    pub(super) fn next_deck(&self) -> Option<Length> {
        let storeys = &self.input.building.storeys;
        let own = storeys.get(self.wall.storey_index)?;
        let next = storeys.get(self.wall.storey_index + 1)?;
        Some(next.floor - own.floor)
    }

    /// The highest level drawn above the deck: the caps, or the next deck.
    pub(super) fn highest(&self) -> Length {
        let deck = self.next_deck().unwrap_or(Length::ZERO);
        self.wall.stack.cap_top.max(deck)
    }

    /// `Z-201`, `Z-202`… by the wall's place in the building.
    pub(super) fn number(&self) -> String {
        format!("Z-{:03}", 201 + self.index)
    }

    /// `WALL X1`, or with the name it has.
    pub(super) fn title(&self) -> String {
        if self.wall.name == self.wall.id {
            format!("WALL {}", self.wall.id)
        } else {
            format!("{} WALL ({})", self.wall.name.to_uppercase(), self.wall.id)
        }
    }

    /// Rough openings with their jambs in run axes.
    pub(super) fn openings(&self) -> impl Iterator<Item = (&'a RoughOpening, Length, Length)> + '_ {
        let from = self.run.from;
        self.wall
            .openings
            .iter()
            .map(move |opening| (opening, opening.from - from, opening.to - from))
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
            .collect()
    }

    /// Middles of the joints.
    pub(super) fn joints(&self) -> Vec<Length> {
        let gap = |piece: &RunPiece| match piece {
            RunPiece::Gap { from, to } => Some(*from + (*to - *from).half()),
            RunPiece::Panel { .. } | RunPiece::Opening { .. } => None,
        };
        self.run.run.iter().filter_map(gap).collect()
    }

    /// The wall's plates.
    pub(super) fn plates(&self) -> impl Iterator<Item = &'a WallPlate> + '_ {
        let plates = &self.input.fabrication.plates;
        plates.iter().filter(|plate| plate.wall == self.index)
    }
}
