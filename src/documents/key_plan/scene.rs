//! One storey as its key plan sees it: walls with their runs, panels as bodies, the architect's interior.

use super::KeyPlanInput;
use crate::building::{BuildingStorey, PanelWall, RoughOpening};
use crate::documents::left_out::is_left_out;
use crate::documents::paper::Spot;
use crate::documents::paper::frame::Paper;
use crate::documents::paper::style::Lettering;
use crate::documents::plan_view::{PlanView, level_turn};
use crate::fabrication::FabricatedPanel;
use crate::layout::{Panel, PanelKind, RunPiece, WallEnd, WallLayout};
use crate::plan::{Storey, Swing};
use crate::units::Length;
use geo::Coord;

/// One storey.
pub(super) struct Scene<'a> {
    /// Everything.
    pub(super) input: &'a KeyPlanInput<'a>,
    /// The storey.
    pub(super) storey: &'a BuildingStorey,
    /// Number of the sheet, from 1.
    pub(super) number: usize,
    /// Its walls in the order of the outline.
    pub(super) walls: Vec<SceneWall<'a>>,
    /// Those of which no panels are made.
    pub(super) missing: Vec<SceneWall<'a>>,
    /// The architect's storey in building coordinates.
    pub(super) plan: Option<Storey>,
    /// How far the building is turned to lie level, radians.
    pub(super) turn: f64,
}

/// A wall with its run.
#[derive(Clone, Copy)]
pub(super) struct SceneWall<'a> {
    /// The wall.
    pub(super) wall: &'a PanelWall,
    /// Its run.
    pub(super) layout: &'a WallLayout,
    /// Thickness of its panels, inches.
    pub(super) thickness: f64,
}

/// A panel of a wall's run.
#[derive(Clone, Copy)]
pub(super) struct ScenePanel<'a> {
    /// Where it stands.
    pub(super) panel: &'a Panel,
    /// How it is made; `None` when it could not be.
    pub(super) made: Option<&'a FabricatedPanel>,
    /// Left and right edge along the wall, inches from its left corner.
    pub(super) ends: [f64; 2],
}

impl<'a> Scene<'a> {
    /// `None` when no panel stands on the storey.
    pub(super) fn new(input: &'a KeyPlanInput<'a>, index: usize) -> Option<Self> {
        let storey = input.building.storeys.get(index)?;
        let walls: Vec<SceneWall<'_>> = input
            .layout
            .walls
            .iter()
            .filter_map(|layout| {
                let wall = input.building.walls.get(layout.wall)?;
                let assembly = input.rules.assemblies.get(wall.assembly)?;
                (wall.storey_index == index).then(|| SceneWall {
                    wall,
                    layout,
                    thickness: assembly.thickness().to_inches(),
                })
            })
            .collect();
        let (missing, walls): (Vec<_>, Vec<_>) =
            walls.into_iter().partition(|it| is_left_out(it.layout));
        if walls.is_empty() {
            return None;
        }
        let faces: Vec<_> = walls
            .iter()
            .map(|it| {
                (
                    it.wall.frame.origin,
                    it.face(it.wall.face_length.to_inches(), 0.0),
                )
            })
            .collect();
        Some(Self {
            input,
            storey,
            number: index + 1,
            turn: level_turn(&faces),
            plan: input
                .plan
                .storeys
                .iter()
                .find(|it| it.id == storey.id)
                .map(in_building),
            walls,
            missing,
        })
    }

    /// To which side an opening's leaf swings, as the architect drew it.
    pub(super) fn swing(&self, opening: &RoughOpening) -> Option<Swing> {
        let storey = self.plan.as_ref()?;
        let drawn = storey.openings.iter().find(|it| it.id == opening.id)?;
        drawn.swing
    }

    /// The paper it is drawn on.
    pub(super) const fn paper(&self) -> Paper {
        Paper::of_plans(&self.input.facts.sheets)
    }

    /// Between two strings, mm: two texts over their line where one finds no room between its ticks, and air.
    pub(super) fn lane(&self) -> f64 {
        self.lettering().note * 3.0 + 4.0
    }

    /// Cap heights on that paper.
    pub(super) const fn lettering(&self) -> Lettering {
        self.paper().lettering
    }

    /// Corners of the outside faces, inches.
    pub(super) fn corners(&self) -> Vec<Coord<f64>> {
        self.walls
            .iter()
            .chain(&self.missing)
            .flat_map(|it| {
                [
                    it.wall.frame.origin,
                    it.face(it.wall.face_length.to_inches(), 0.0),
                ]
            })
            .collect()
    }

    /// Panels of a wall that are seen in plan: full-height ones, from left to right.
    pub(super) fn panels(&self, wall: &SceneWall<'a>) -> Vec<ScenePanel<'a>> {
        wall.layout
            .run
            .iter()
            .filter_map(|piece| match piece {
                RunPiece::Panel { panel, from, to } => self.panel(*panel, wall, [*from, *to]),
                RunPiece::Gap { .. } | RunPiece::Opening { .. } => None,
            })
            .collect()
    }

    /// Headers and sills of a wall.
    pub(super) fn infills(&self, wall: &SceneWall<'a>) -> Vec<ScenePanel<'a>> {
        let panels = self.input.layout.panels.iter().enumerate();
        panels
            .filter(|(_, it)| it.wall == wall.layout.wall && it.kind != PanelKind::Wall)
            .filter_map(|(index, it)| self.panel(index, wall, [it.rect.x0, it.rect.x1]))
            .collect()
    }

    fn panel(
        &self,
        index: usize,
        wall: &SceneWall<'a>,
        [from, to]: [Length; 2],
    ) -> Option<ScenePanel<'a>> {
        let panel = self.input.layout.panels.get(index)?;
        let made = self
            .input
            .fabrication
            .panels
            .iter()
            .find(|it| it.panel == index);
        Some(ScenePanel {
            panel,
            made,
            ends: [
                (wall.layout.from + from).to_inches(),
                (wall.layout.from + to).to_inches(),
            ],
        })
    }

    /// All panels of a wall, infills included, in the order of erection.
    pub(super) fn in_order(&self, wall: &SceneWall<'a>) -> Vec<ScenePanel<'a>> {
        let mut all = self.panels(wall);
        all.extend(self.infills(wall));
        all.sort_by_key(|it| it.panel.erection);
        all
    }
}

impl ScenePanel<'_> {
    /// True when it must not be cut.
    pub(super) fn is_held(&self) -> bool {
        self.made.is_none_or(FabricatedPanel::is_held)
    }
}

impl<'a> SceneWall<'a> {
    /// A point `along` the outside face from the left corner and `out` of it, inches.
    pub(super) fn face(&self, along: f64, out: f64) -> Coord<f64> {
        self.wall.frame.point(along, out)
    }

    /// Printed name.
    pub(super) fn name(&self) -> &'a str {
        if self.wall.name.is_empty() {
            &self.wall.id
        } else {
            &self.wall.name
        }
    }

    /// Unit vectors on paper along the wall and out of it.
    pub(super) fn axes(&self, view: &PlanView) -> (Coord<f64>, Coord<f64>) {
        (
            view.paper_vector(self.wall.frame.along),
            view.paper_vector(self.wall.frame.out()),
        )
    }

    /// A panel's body: outer left, outer right, inner right, inner left. Bevelled at mitred ends of the run.
    pub(super) fn body(&self, ends: [f64; 2]) -> [Coord<f64>; 4] {
        let [from, to] = ends;
        let run_from = self.layout.from.to_inches();
        let run_to = self.layout.to.to_inches();
        let back = |end: WallEnd| match end {
            WallEnd::Mitre { bevel_deg } => self.thickness * bevel_deg.to_radians().tan(),
            WallEnd::Through | WallEnd::Butt | WallEnd::Filled { .. } | WallEnd::Free => 0.0,
        };
        let is_at = |a: f64, b: f64| (a - b).abs() < crate::geometry::tolerance::WALL_TO_WALL;
        let left = if is_at(from, run_from) {
            back(self.layout.left_end)
        } else {
            0.0
        };
        let right = if is_at(to, run_to) {
            back(self.layout.right_end)
        } else {
            0.0
        };
        [
            self.face(from, 0.0),
            self.face(to, 0.0),
            self.face(to - right, -self.thickness),
            self.face(from + left, -self.thickness),
        ]
    }

    /// The whole run as a body.
    pub(super) fn run_body(&self) -> [Coord<f64>; 4] {
        self.body([self.layout.from.to_inches(), self.layout.to.to_inches()])
    }

    /// The opening's hole through the wall.
    pub(super) fn hole(&self, opening: &RoughOpening) -> [Coord<f64>; 4] {
        let (from, to) = (opening.from.to_inches(), opening.to.to_inches());
        [
            self.face(from, 0.0),
            self.face(to, 0.0),
            self.face(to, -self.thickness),
            self.face(from, -self.thickness),
        ]
    }
}

/// Points on paper.
pub(super) fn on_paper(points: &[Coord<f64>], view: &PlanView) -> Vec<Spot> {
    points.iter().map(|p| view.paper(*p)).collect()
}

/// A storey of the plan with everything moved to building coordinates.
fn in_building(storey: &Storey) -> Storey {
    let to_building = storey.to_building;
    let moved = |p: Coord<f64>| to_building.point(p);
    let mut storey = storey.clone();
    for wall in &mut storey.walls {
        wall.start = moved(wall.start);
        wall.end = moved(wall.end);
    }
    for opening in &mut storey.openings {
        opening.centre = moved(opening.centre);
    }
    for room in &mut storey.rooms {
        for p in &mut room.outline {
            *p = moved(*p);
        }
    }
    for line in &mut storey.grid {
        line.start = moved(line.start);
        line.end = moved(line.end);
    }
    storey
}
