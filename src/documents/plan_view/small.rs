//! A storey small enough for a strip: each panelled wall one body, turned level, drawn as large as its room allows.

use super::{extent_of, level_turn, turned};
use crate::building::Building;
use crate::documents::left_out::is_left_out;
use crate::documents::paper::{Area, Spot, spot};
use crate::layout::Layout;
use crate::rules::PlantRules;
use crate::units::Length;
use geo::Coord;

/// The walls of one storey as seen from above.
pub(crate) struct SmallPlan {
    /// How far the plan is turned so that most walls lie level, radians counter-clockwise.
    pub(crate) turn: f64,
    /// Index into `Building::walls` and the corners of its run, from the outer face inwards. Building inches.
    pub(crate) bodies: Vec<(usize, [Coord<f64>; 4])>,
    /// The same of walls of which no panels are made.
    pub(crate) missing: Vec<(usize, [Coord<f64>; 4])>,
    extent: Area,
}

impl SmallPlan {
    /// The plan of a storey; nothing where no wall stands on it.
    pub(crate) fn of(
        building: &Building,
        layout: &Layout,
        rules: &PlantRules,
        storey: usize,
    ) -> Option<Self> {
        let walls = building.walls.iter().zip(&layout.walls).enumerate();
        let walls = walls
            .filter(|(_, (wall, run))| wall.storey_index == storey && run.length() > Length::ZERO)
            .map(|(index, (wall, run))| (index, wall, run));
        let walls: Vec<_> = walls.collect();
        let lines = walls.iter().map(|(_, wall, _)| {
            let end = wall.frame.point(wall.face_length.to_inches(), 0.0);
            (wall.frame.origin, end)
        });
        let turn = level_turn(&lines.collect::<Vec<_>>());
        let bodies = walls.iter().filter_map(|(index, wall, run)| {
            let thickness = rules.assemblies.get(wall.assembly)?.thickness();
            let (from, to) = (run.from.to_inches(), run.to.to_inches());
            let inner = -thickness.to_inches();
            let at = |x: f64, out: f64| wall.frame.point(x, out);
            let ring = [at(from, 0.0), at(to, 0.0), at(to, inner), at(from, inner)];
            Some((*index, ring))
        });
        let all: Vec<(usize, [Coord<f64>; 4])> = bodies.collect();
        let corners = all.iter().flat_map(|it| it.1);
        let extent = extent_of(corners.map(|p| turned(p, turn)))?;
        let is_missing = |index: usize| layout.walls.get(index).is_none_or(is_left_out);
        let (missing, bodies) = all.into_iter().partition(|it| is_missing(it.0));
        Some(Self {
            turn,
            bodies,
            missing,
            extent,
        })
    }

    /// Where a point of the building lies on paper when the plan fills a room.
    pub(crate) fn paper(&self, room: Area) -> impl Fn(Coord<f64>) -> Spot {
        let (turn, centre, middle) = (self.turn, self.extent.middle(), room.middle());
        let [wide, high] = [self.extent.width(), self.extent.height()].map(|it| it.max(1.0));
        let k = (room.width() / wide).min(room.height() / high);
        move |p| {
            let p = turned(p, turn);
            spot(
                middle.x + (p.x - centre.x) * k,
                middle.y - (p.y - centre.y) * k,
            )
        }
    }
}
