//! Tells the layout which panels were issued before, and where they would stand in the walls as they are now.
//!
//! ```text
//!   old package: run of each wall ──► moved onto the new building ──► the wall it lies on, else the parallel one nearest to it
//! ```

use super::issued::{Issued, IssuedPanel, IssuedWall};
use super::lineage::{MOVED, PARALLEL, STAYED};
use super::registration::{Motion, register};
use super::revise::locked;
use crate::building::{Building, PanelWall, SAME_CORNER};
use crate::geometry::ShopRect;
use crate::layout::{IssuedEdge, IssuedPanel as Keepable, Layout, LayoutOptions, WallLayout};
use crate::rules::Job;
use crate::units::Length;
use geo::Coord;
use serde_json::Value;

/// Adds the wall panels of the earlier issue to what the layout heeds.
///
/// - `free`: a layout of the building that knows of no earlier issue: where its walls run.
/// - Nothing is added when the earlier issue does not lie over this building, nor of walls that are gone.
pub fn heed_issue(
    old: &Issued,
    (building, free): (&Building, &Layout),
    job: &Job,
    options: &mut LayoutOptions,
) {
    let Some(motion) = register(&old.walls, &runs(building, free)) else {
        return;
    };
    for wall in &old.walls {
        for (i, piece) in wall.run.iter().enumerate() {
            let Some(panel) = piece.mark.as_ref().and_then(|mark| old.panel(mark)) else {
                continue;
            };
            let placed = Placed {
                motion: &motion,
                wall,
                panel,
                ends: [piece.from, piece.to],
                edges: edges(wall, i),
            };
            if let Some(now) = placed.wall_now(building, free)
                && let Some(mut keepable) = placed.on(now)
            {
                keepable.is_locked = locked(job, &panel.mark).is_some();
                let wishes = options.walls.entry(now.id.clone()).or_default();
                wishes.issued.push(keepable);
                let first = wishes.stood_from.get_or_insert(panel.erection);
                *first = panel.erection.min(*first);
            }
        }
    }
}

/// The runs of a layout, as a package of it would tell them.
fn runs(building: &Building, layout: &Layout) -> Vec<IssuedWall> {
    let pairs = building.walls.iter().zip(&layout.walls);
    pairs
        .map(|(wall, run)| {
            let start = wall.frame.point(run.from.to_inches(), 0.0);
            IssuedWall {
                id: wall.id.clone(),
                storey: wall.storey.clone(),
                origin: [start.x, start.y, 0.0],
                along: [wall.frame.along.x, wall.frame.along.y],
                length: run.length().to_inches(),
                run: Vec::new(),
                openings: (wall.openings.iter())
                    .map(|it| [it.from, it.to].map(|at| (at - run.from).to_inches()))
                    .collect(),
                plates: Vec::new(),
                built: None,
            }
        })
        .collect()
}

/// What the panel at place `i` of a run ends at.
fn edges(wall: &IssuedWall, i: usize) -> [IssuedEdge; 2] {
    let edge = |neighbour: Option<usize>| match neighbour.and_then(|i| wall.run.get(i)) {
        None => IssuedEdge::End,
        Some(piece) if piece.is_gap => IssuedEdge::Joint,
        Some(_) => IssuedEdge::Jamb,
    };
    [edge(i.checked_sub(1)), edge(Some(i + 1))]
}

/// An issued panel of a wall, on the way to the new building.
struct Placed<'a> {
    motion: &'a Motion,
    wall: &'a IssuedWall,
    panel: &'a IssuedPanel,
    ends: [f64; 2],
    edges: [IssuedEdge; 2],
}

impl Placed<'_> {
    /// Where a point of the old building lies along and beside a wall of the new one.
    fn local(&self, now: &PanelWall, point: [f64; 2]) -> (f64, f64) {
        let [x, y] = self.motion.point(point);
        now.frame.local(Coord { x, y })
    }

    /// The old wall's point so far along its run.
    fn point(&self, along: f64) -> [f64; 2] {
        let ([x, y, _], [dx, dy]) = (self.wall.origin, self.wall.along);
        [x + dx * along, y + dy * along]
    }

    /// The wall that the panel stands in now: of those it lies on the one that has most of it, else the nearest parallel one
    /// that has at least half of it.
    fn wall_now<'b>(&self, building: &'b Building, free: &Layout) -> Option<&'b PanelWall> {
        let along = self.motion.turn(self.wall.along);
        let pairs = building.walls.iter().zip(&free.walls);
        let near = pairs.filter_map(|(wall, run): (&PanelWall, &WallLayout)| {
            let same = along[0] * wall.frame.along.x + along[1] * wall.frame.along.y;
            if wall.storey != self.wall.storey || same < PARALLEL {
                return None;
            }
            let (from, out) = self.local(wall, self.point(self.ends[0]));
            let width = self.ends[1] - self.ends[0];
            let low = from.max(run.from.to_inches());
            let high = (from + width).min(run.to.to_inches());
            let share = (high - low) / width;
            let off = out.abs();
            let is_its = if off <= STAYED {
                share > 0.0
            } else {
                off <= MOVED && share >= 0.5
            };
            // Walls it lies on come first, by share; then those that moved, by distance.
            let rank = if off <= STAYED { -share } else { off };
            is_its.then_some((rank, wall))
        });
        let nearest = near.min_by(|a, b| a.0.total_cmp(&b.0));
        nearest.map(|(_, wall)| wall)
    }

    /// What brings the corner that stayed exactly onto the wall's: a drawing in another unit rounds corners otherwise, and one
    /// motion for all walls leaves each a little beside its own.
    fn slide(&self, now: &PanelWall) -> f64 {
        let Some(built) = &self.wall.built else {
            return 0.0;
        };
        let corners = built.corners.map(Length::to_inches);
        let [left, right] = corners.map(|at| self.local(now, self.point(at)).0);
        let to_right = now.face_length.to_inches() - right;
        let mut either = [-left, to_right].into_iter();
        either.find(|by| by.abs() <= SAME_CORNER).unwrap_or(0.0)
    }

    /// The panel along that wall; `None` when the file does not say where it stands.
    fn on(&self, now: &PanelWall) -> Option<Keepable> {
        let exact = |inches: f64| Length::nearest(inches, Length::nanometres(1));
        let rect = |[x0, y0, x1, y1]: [f64; 4]| {
            Some(ShopRect::new(
                exact(x0)?,
                exact(y0)?,
                exact(x1)?,
                exact(y1)?,
            ))
        };
        let slide = self.slide(now);
        let from = self.local(now, self.point(self.ends[0])).0 + slide;
        let width = self.ends[1] - self.ends[0];
        let [x, y, z] = self.panel.origin;
        let left = self.local(now, [x, y]).0 + slide;
        let bottom = z - self.wall.origin[2];
        let holes = self.panel.data["openings"].as_array();
        let holes = holes.into_iter().flatten().map(|hole| {
            let side = |i: usize| hole["rough"][i].as_f64();
            rect([
                side(0)? + left,
                side(1)? + bottom,
                side(2)? + left,
                side(3)? + bottom,
            ])
        });
        Some(Keepable {
            rect: rect([from, bottom, from + width, bottom + self.panel.height])?,
            edges: self.edges,
            assembly: text(&self.panel.data["assembly"]),
            openings: holes.collect::<Option<_>>()?,
            is_locked: false,
        })
    }
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}
