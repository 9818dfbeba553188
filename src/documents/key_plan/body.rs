//! Panels as they lie on paper, and which of them a mark without a leader is read for: the nearest.

use super::scene::{Scene, ScenePanel, SceneWall};
use crate::documents::paper::Spot;
use crate::documents::plan_view::PlanView;

/// So much nearer, mm, is its own panel than any other to the middle of a mark without a leader.
const CLEARLY: f64 = 0.3;

/// Bodies farther apart than this are in no mark's way, mm.
const FAR: f64 = 70.0;

/// Nearer than this to a panel that is not its own a mark is taken for that one's, mm: farther, in a crowd, it is one of many and its
/// leader says whose it is.
const BESIDE: f64 = 8.0;

/// A panel on paper: a rectangle along its wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    middle: Spot,
    along: Spot,
    /// Half its length and half its thickness, mm.
    half: [f64; 2],
}

/// All panels of the storey, headers and sills too.
pub(super) fn bodies(scene: &Scene<'_>, view: &PlanView) -> Vec<Body> {
    let walls = scene.walls.iter();
    walls
        .flat_map(|wall| {
            let panels = scene.panels(wall).into_iter().chain(scene.infills(wall));
            panels.map(|panel| Body::of(wall, &panel, view))
        })
        .collect()
}

impl Body {
    pub(super) fn of(wall: &SceneWall<'_>, panel: &ScenePanel<'_>, view: &PlanView) -> Self {
        let [from, to] = panel.ends;
        let inwards = -wall.thickness / 2.0;
        Self {
            middle: view.paper(wall.face(f64::midpoint(from, to), inwards)),
            along: wall.axes(view).0,
            half: [to - from, wall.thickness].map(|it| view.millimetres(it) / 2.0),
        }
    }

    /// How far a point is from it, mm.
    fn distance(&self, at: Spot) -> f64 {
        let from = at - self.middle;
        let along = from.x * self.along.x + from.y * self.along.y;
        let across = from.x * self.along.y - from.y * self.along.x;
        let beyond = |offset: f64, half: f64| (offset.abs() - half).max(0.0);
        beyond(along, self.half[0]).hypot(beyond(across, self.half[1]))
    }

    /// True for another panel that a mark of this one could be taken for. What stands over or under the same opening is not:
    /// the mark says which.
    pub(super) fn is_beside(&self, other: &Self) -> bool {
        let between = other.middle - self.middle;
        let apart = between.x.hypot(between.y);
        apart > 1e-6 && apart - self.half[0] - other.half[0] < FAR
    }

    /// True when a mark of a size, its middle there, is nearer to this panel than to any other: by its middle and by its edge.
    pub(super) fn is_nearest(&self, others: &[&Self], at: Spot, size: [f64; 2]) -> bool {
        let [x, y] = size.map(|it| it / 2.0);
        let edge = [-1.0, -0.5, 0.0, 0.5, 1.0].map(|part| part * x);
        let edge = edge
            .into_iter()
            .flat_map(|x| [-y, 0.0, y].map(|y| at + Spot { x, y }));
        let edge: Vec<Spot> = edge.collect();
        let from_edge = |body: &Self| {
            let all = edge.iter().map(|it| body.distance(*it));
            all.fold(f64::INFINITY, f64::min)
        };
        let (middle, nearest) = (self.distance(at), from_edge(self));
        let is_farther = |other: &&Self| {
            other.distance(at) >= middle + CLEARLY && from_edge(other) >= nearest - 1e-6
        };
        others.iter().all(is_farther)
    }

    /// True when a mark there stands beside another panel and not as near to this one.
    pub(super) fn is_taken_for(&self, others: &[&Self], at: Spot) -> bool {
        let own = self.distance(at);
        let mut beside = others.iter().map(|it| it.distance(at));
        beside.any(|it| it < BESIDE && it + CLEARLY < own)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::spot;

    #[test]
    fn a_mark_is_its_own_panels_only_where_no_other_is_as_near() {
        let body = |x: f64, half: f64| Body {
            middle: spot(x, 0.0),
            along: spot(1.0, 0.0),
            half: [half, 2.0],
        };
        let (own, next) = (body(0.0, 6.0), body(12.5, 6.0));
        let size = [16.0, 6.0];
        assert!(own.is_nearest(&[&next], spot(0.0, 9.0), size));
        assert!(!own.is_nearest(&[&next], spot(8.0, 9.0), size));
        assert!(own.is_taken_for(&[&next], spot(12.0, 7.0)));
        assert!(!own.is_taken_for(&[&next], spot(0.0, 9.0)));
        // Two narrow ones under one mark.
        let (own, next) = (body(0.0, 1.0), body(2.2, 1.0));
        assert!(!own.is_nearest(&[&next], spot(0.0, 9.0), size));
        assert!(own.is_beside(&next) && !own.is_beside(&own));
        assert!(!own.is_beside(&body(200.0, 6.0)));
        // A bay at 45 degrees whose wall comes to stand under the mark.
        let bay = Body {
            middle: spot(6.0, 12.0),
            along: spot(0.5_f64.sqrt(), 0.5_f64.sqrt()),
            half: [6.0, 2.0],
        };
        assert!(!body(0.0, 6.0).is_nearest(&[&bay], spot(4.0, 9.0), size));
    }
}
